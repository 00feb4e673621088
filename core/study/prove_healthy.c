/* The healthy site, judged before any fault: what goes wrong in its simulated years without one. */
#include <string.h>

#include "base/num.h"
#include "study/prove_inside.h"

/* A site that stops more often than this for nothing fails its users (own choice). */
#define STOPS_A_YEAR 1.0
/* What users notice (own choice): one part in a hundred of what they want. */
#define MISSED_PART 0.01
/* Running with next to no flow, on the mean day: minutes, not seconds of run-on (common practice). */
#define DEADHEAD_DAY_S 600.0
/* Of its running: the first seconds of a run, at the lowest pressure, are borne (own choice). */
#define CAVITATES_PART 0.1

static void add_year(const pw_plant *plant, const pw_outcome *year, pw_healthy *out)
{
    const double lasted_s = year->burnt_s > 0.0 ? year->burnt_s : year->seconds;
    out->known = true;
    out->years += lasted_s / PW_HEALTHY_YEAR_S;
    out->false_stops += year->false_stops;
    out->hunts = out->hunts || year->ending == PW_END_HUNTING;
    out->burns = out->burns || year->burnt_s > 0.0;
    out->wanted_m3 += year->wanted_m3;
    out->missing_m3 += year->missing_m3;
    out->dry_s = pw_max(out->dry_s, year->dry_s);
    if (lasted_s > 0.0) {
        out->deadhead_day_s = pw_max(out->deadhead_day_s, year->deadhead_s * 86400.0 / lasted_s);
    }
    if (year->run_s > 0.0) {
        out->cavitates_part = pw_max(out->cavitates_part, year->cavitates_s / year->run_s);
    }
    out->winding_max_c = pw_max(out->winding_max_c, year->winding_max_c);
    out->water_max_c = pw_max(out->water_max_c, year->water_max_c);
    out->pressure_top_pa = pw_max(out->pressure_top_pa, year->pressure_top_pa);
    out->most_starts_in_hour = pw_max(out->most_starts_in_hour, year->most_starts_in_hour);
    for (int32_t s = 0; s < pw_settings_count(plant->settings) && s < PW_MAX_SENTENCES; s++) {
        out->stops_by[s] += year->false_by[s];
    }
}

static void fail(pw_healthy *out, pw_ailment ailment, bool is)
{
    out->fails |= is ? 1u << ailment : 0u;
}

static void judge(const pw_site *site, pw_healthy *out)
{
    fail(out, PW_AIL_HUNTS, out->hunts);
    fail(out, PW_AIL_BURNS, out->burns);
    fail(out, PW_AIL_FALSE_STOPS, (double)out->false_stops > STOPS_A_YEAR * out->years);
    fail(out, PW_AIL_MISSING, out->missing_m3 > MISSED_PART * out->wanted_m3);
    fail(out, PW_AIL_DRY, out->dry_s > site->limits.dry_run_s.v);
    fail(out, PW_AIL_DEADHEAD, out->deadhead_day_s > DEADHEAD_DAY_S);
    fail(out, PW_AIL_HOT_WATER, out->water_max_c > PW_SCALD_C);
    fail(out, PW_AIL_WINDING, out->winding_max_c > pw_outcome_winding_limit_c(site));
    fail(out, PW_AIL_PRESSURE, out->pressure_top_pa > site->limits.highest_pa.v);
    fail(out, PW_AIL_CAVITATES, out->cavitates_part > CAVITATES_PART);
    fail(out, PW_AIL_STARTS, out->most_starts_in_hour > site->limits.starts_per_hour.v);
}

void prove_healthy(pw_proof *proof)
{
    pw_healthy *out = &proof->healthy;
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        if (proof->jobs->jobs[i].kind == PW_JOB_HEALTHY) {
            add_year(proof->plant, &proof->outcomes[i], out);
        }
    }
    if (out->known) {
        judge(proof->plant->site, out);
    }
}

void prove_healthy_moved(const pw_proof *proof, int32_t job, pw_healthy *out)
{
    memset(out, 0, sizeof *out);
    add_year(proof->plant, &proof->outcomes[job], out);
    judge(proof->plant->site, out);
}

int32_t pw_proof_edge_stops(const pw_proof *proof)
{
    int32_t stops = 0;
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        stops += proof->jobs->jobs[i].kind == PW_JOB_MARGIN ? proof->outcomes[i].false_stops : 0;
    }
    return stops;
}

const char *pw_ailment_id(pw_ailment ailment)
{
    static const char *const ids[PW_AILMENTS] = {"hunting",      "burnt motor",  "false stops", "missing water",
                                                 "dry running",  "dead-heading", "hot water",   "hot winding",
                                                 "overpressure", "cavitation",   "starts"};
    return ids[ailment];
}
