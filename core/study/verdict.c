#include "study/verdict.h"

#include "site/topology.h"

#define LOW_CHARGE 0.35 /* of the cut-in; own choice, wide enough that no sound vessel is questioned */
/* Water this near to the intake lets air in: the band in which a bore gives less is a few centimetres wide. */
#define AT_INTAKE_M 0.25

pw_npsh_verdict pw_npsh_judge(double available_m, double required_m, double margin_m)
{
    if (required_m < 0.0) {
        return PW_NPSH_NOT_STATED;
    }
    if (available_m < required_m) {
        return PW_NPSH_SHORT;
    }
    return available_m < required_m + margin_m ? PW_NPSH_CLOSE : PW_NPSH_ENOUGH;
}

bool pw_duty_at_intake(const pw_site *site, int32_t pump, const pw_duty *duty)
{
    static const pw_walk_rules one_water = {.way = PW_WALK_JOINED, .ends = PW_TANKS};
    pw_reach before = {0};
    pw_walk(site, &one_water, site->pumps[pump].from, &before);
    for (int32_t s = 0; s < site->source_count; s++) {
        const pw_source *source = &site->sources[s];
        const double stands_m = source->intake_m.v - source->standing_m.v;
        if (source->kind == PW_SOURCE_BORE && before.at[source->place] && stands_m > 0.0) {
            return duty->drawdown_m > stands_m - AT_INTAKE_M;
        }
    }
    return false;
}

pw_charge_verdict pw_charge_judge(double precharge_pa, double cut_in_pa)
{
    if (!(cut_in_pa > 0.0)) {
        return PW_CHARGE_NOT_KNOWN;
    }
    if (precharge_pa > cut_in_pa) {
        return PW_CHARGE_HIGH;
    }
    return cut_in_pa - precharge_pa > LOW_CHARGE * cut_in_pa ? PW_CHARGE_LOW : PW_CHARGE_GOOD;
}

double pw_cut_in_at_vessel(const pw_plant *plant, int32_t vessel)
{
    const pw_site *site = plant->site;
    pw_acts_at acts;
    if (!pw_plant_acts_at(plant, PW_SENTENCE_START, -1, &acts) || !(acts.pa > 0.0)) {
        return 0.0;
    }
    const double up_m = pw_plant_acts_m(plant, &acts) - site->places[site->vessels[vessel].place].level_m.v;
    return acts.pa + up_m * pw_model_pa_per_m(plant->model);
}
