#include "element/bore.h"

#include "base/num.h"
#include "formula/bore.h"
#include "formula/friction.h"

static const pw_condition_slot slots[] = {
    PW_SLOT_EACH(source_yield, PW_SLOT_NUMBER, "", 1.0, 0.0, PW_INF),
    PW_SLOT_EACH(source_fall_m, PW_SLOT_NUMBER, "m", 0.0, -PW_INF, PW_INF),
};

pw_condition_slots pw_bore_slots(void)
{
    return (pw_condition_slots){"bore", slots, sizeof slots / sizeof slots[0]};
}

double pw_bore_over_m(const pw_source *source, double volume_m3)
{
    return volume_m3 / pw_bore_area_m2(source->bore_m.v);
}

double pw_bore_rest_m3(const pw_source *source, const pw_condition *condition, int32_t item)
{
    const double standing_m = source->standing_m.v + condition->source_fall_m[item];
    return pw_bore_area_m2(source->bore_m.v) * (source->intake_m.v - standing_m);
}

double pw_bore_gives_m3s(const pw_source *source, const pw_condition *condition, int32_t item, double volume_m3)
{
    const double part = condition->source_yield[item];
    const double over = pw_bore_over_m(source, volume_m3);
    const double drawdown = source->intake_m.v - (source->standing_m.v + condition->source_fall_m[item]) - over;
    if (part <= 0.0) {
        return 0.0;
    }
    return pw_bore_inflow_m3s(drawdown, part * source->capacity_m2s.v, part * source->yield_m3s.v, NULL);
}

/* A main that fails gives no more over its last centimetres of pressure. */
static double main_over_m(const pw_source *source, double part, double pa_per_m, double *wet)
{
    const double over = part * source->pressure_pa.v / pa_per_m;
    *wet = part < 1.0 ? pw_intake_wet(over, PW_INTAKE_COVER_M, NULL) : 1.0;
    return over;
}

/* An open water that runs dry falls towards the intake: the covered height scales with what is left. */
static double open_over_m(const pw_source *source, double part, double fall_m)
{
    const double covered_m = source->intake_m.v - (source->standing_m.v + fall_m);
    return part * pw_max(covered_m, fall_m > 0.0 ? 0.0 : PW_INTAKE_COVER_M);
}

double pw_source_head_m(const pw_source *source, const pw_condition *condition, int32_t item, double place_m,
                        double pa_per_m, double volume_m3, double *wet)
{
    const double part = condition->source_yield[item];
    if (source->kind == PW_SOURCE_MAINS) {
        return place_m + main_over_m(source, part, pa_per_m, wet);
    }
    const double over = source->kind == PW_SOURCE_OPEN ? open_over_m(source, part, condition->source_fall_m[item])
                                                       : pw_bore_over_m(source, volume_m3);
    *wet = pw_intake_wet(over, PW_INTAKE_COVER_M, NULL);
    return place_m - source->intake_m.v + over;
}
