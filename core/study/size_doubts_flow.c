/* What of a plant does not go with the flow of its pumps. The thresholds are own choices, as in size_doubts.c. */
#include "study/doubts_inside.h"

#include <string.h>

#include "base/num.h"
#include "formula/friction.h"

/* A bore that gives less than this part of the largest flow of its pump. */
#define HARDLY 0.1

void doubt_find_duties(doubt *d)
{
    for (int32_t i = 0; i < d->site->pump_count; i++) {
        pw_duty *duty = &d->works[i];
        const pw_pump *pump = &d->site->pumps[i];
        const double most_m3s = pump->speed.v * pump->curve[pump->point_count - 1].flow_m3s.v;
        pw_acts_at acts = {.pa = 0.0};
        (void)pw_plant_acts_at(d->plant, PW_SENTENCE_START, i, &acts);
        if (pw_model_duty(d->plant->model, d->arena, i, acts.pa, duty, NULL) != PW_OK) {
            memset(duty, 0, sizeof *duty);
        }
        /* fed straight into outlets: no duty of its own; held down by its bore: that is told by itself */
        d->duty_m3s[i] = duty->flow_m3s > 0.0 ? pw_max(duty->flow_m3s, 0.3 * most_m3s) : most_m3s;
    }
}

void doubt_switches(doubt *d)
{
    const pw_site *site = d->site;
    double all_m3s = 0.0;
    for (int32_t i = 0; i < site->pump_count; i++) {
        all_m3s += d->duty_m3s[i];
    }
    for (int32_t i = 0; i < site->sensor_count; i++) {
        const pw_sensor *sensor = &site->sensors[i];
        if (sensor->kind != PW_SENSOR_FLOW) {
            continue;
        }
        const double flow_m3s = sensor->pump >= 0 ? d->duty_m3s[sensor->pump] : all_m3s;
        const double makes_m3s = sensor->makes_ms.v * pw_bore_area_m2(sensor->bore_m.v);
        if (makes_m3s > flow_m3s) {
            pw_warning_tell(d->problems, PW_CONFLICT, doubt_path(d, "sensors", i, "bore"),
                            pw_fact_of("check.switch-makes", pw_quantity(PW_DIM_LENGTH, sensor->bore_m.v),
                                       pw_quantity(PW_DIM_FLOW, makes_m3s)),
                            pw_fact_of("check.bore-for-switch", pw_quantity(PW_DIM_FLOW, flow_m3s),
                                       pw_quantity(PW_DIM_VELOCITY, sensor->makes_ms.v)),
                            pw_fact_of("check.switch-never-makes"));
        }
    }
}

/* The least that a pump gives at work is what it gives just before it stops: a draw of that size keeps it there. */
void doubt_least_flows(doubt *d)
{
    const double stops_pa = pw_max(d->plant->cut_out_pa, d->plant->cut_in_pa);
    for (int32_t i = 0; i < d->site->pump_count; i++) {
        const pw_field *least = &d->site->pumps[i].least_m3s;
        pw_duty duty;
        if (!least->given || pw_model_duty(d->plant->model, d->arena, i, stops_pa, &duty, NULL) != PW_OK ||
            !(duty.flow_m3s > 0.0) || duty.flow_m3s >= least->v) {
            continue;
        }
        pw_warning_tell(d->problems, PW_CONFLICT, doubt_path(d, "pumps", i, "least flow"),
                        pw_fact_of("check.pump-gives-at", pw_quantity(PW_DIM_FLOW, duty.flow_m3s),
                                   pw_quantity(PW_DIM_PRESSURE, stops_pa)),
                        pw_fact_of("check.at-least-flow", pw_quantity(PW_DIM_FLOW, least->v)),
                        pw_fact_of("check.under-least-flow"));
    }
}

void doubt_bores(doubt *d)
{
    const pw_site *site = d->site;
    for (int32_t s = 0; s < site->source_count; s++) {
        const pw_source *source = &site->sources[s];
        double asked_m3s = 0.0;
        for (int32_t i = 0; i < site->pump_count; i++) {
            const pw_pump *pump = &site->pumps[i];
            if (pump->from == source->place) {
                asked_m3s = pw_max(asked_m3s, pump->speed.v * pump->curve[pump->point_count - 1].flow_m3s.v);
            }
        }
        if (source->kind != PW_SOURCE_BORE) {
            continue;
        }
        const double drawn_m3s = source->capacity_m2s.v * (source->intake_m.v - source->standing_m.v);
        const bool by_yield = source->yield_m3s.given && source->yield_m3s.v < drawn_m3s;
        const double most_m3s = by_yield ? source->yield_m3s.v : drawn_m3s;
        if (most_m3s < HARDLY * asked_m3s) {
            pw_warning_tell(
                d->problems, PW_CONFLICT, doubt_path(d, "sources", s, by_yield ? "yield" : "specific capacity"),
                by_yield ? pw_fact_of("check.value", pw_quantity(PW_DIM_FLOW, most_m3s))
                         : pw_fact_of("check.bore-gives", pw_quantity(PW_DIM_SPECIFIC_CAPACITY, source->capacity_m2s.v),
                                      pw_quantity(PW_DIM_FLOW, most_m3s)),
                pw_fact_of("check.more-beside-pump", pw_quantity(PW_DIM_FLOW, asked_m3s)),
                pw_fact_of("check.bore-runs-dry"));
        }
    }
}

/* Pressure at its delivery while a pump works: just before it stops, or at its lower pressure where it never gets so
 * far. 0: nothing takes water there. */
static double works_at_pa(doubt *d, int32_t pump)
{
    pw_duty last;
    pw_acts_at stops = {.pa = 0.0};
    const pw_duty *usual = &d->works[pump];
    const bool ends = pw_plant_acts_at(d->plant, PW_SENTENCE_STOP, pump, &stops) &&
                      pw_model_duty(d->plant->model, d->arena, pump, stops.pa, &last, NULL) == PW_OK &&
                      last.flow_m3s > 0.0;
    const double usual_pa = usual->flow_m3s > 0.0 ? usual->pressure_pa : 0.0;
    return ends ? pw_max(last.pressure_pa, usual_pa) : usual_pa;
}

/* What pumps bring to their delivery at work, beside what the weakest part stands. Against a shut valve more stands
 * there, which the sizing tells. The rating is the site's, so only the pump that brings most is named. */
void doubt_rating(doubt *d)
{
    const pw_field *stands = &d->site->limits.highest_pa;
    double most_pa = stands->v;
    int32_t by = -1;
    for (int32_t i = 0; i < d->site->pump_count; i++) {
        const double works_pa = works_at_pa(d, i);
        by = works_pa > most_pa ? i : by;
        most_pa = pw_max(most_pa, works_pa);
    }
    if (by >= 0) {
        pw_warning_tell(
            d->problems, PW_CONFLICT, "site.limits.highest pressure",
            pw_fact_of("check.part-stands", pw_quantity(PW_DIM_PRESSURE, stands->v), pw_truth(!stands->given)),
            pw_fact_of("check.pump-brings", pw_quantity(PW_DIM_PRESSURE, most_pa), pw_named(d->site->pumps[by].name)),
            pw_fact_of("check.part-gives-way"));
    }
}

/* A pump over its water: whether air pressure pushes any up to it, and whether its NPSH is there at its duty, the water
 * drawn down by that. What a pump gives that only outlets take is for the sizing to say. */
void doubt_suction(doubt *d)
{
    const pw_model *model = d->plant->model;
    pw_condition healthy;
    pw_condition_healthy(model, &healthy);
    for (int32_t p = 0; p < d->site->pump_count; p++) {
        const double water_m = pw_model_water_head_m(model, p, 0.0);
        const pw_duty *duty = &d->works[p];
        pw_suction_figure at;
        if (water_m >= PW_INF || d->site->pumps[p].lift_count > 0) {
            continue;
        }
        pw_model_suction(model, &healthy, p, duty->flow_m3s, water_m, &at);
        if (at.column_m <= 0.0) {
            pw_warning_tell(d->problems, PW_CONFLICT, doubt_path(d, "pumps", p, "suction height"),
                            pw_fact_of("check.lifts-by", pw_head(-at.over_m)),
                            pw_fact_of("check.lifts-at-most", pw_head(at.column_m - at.over_m)),
                            pw_fact_of("check.no-water-up"));
        } else if (duty->flow_m3s > 0.0 && duty->npsh_available_m < at.required_m && !at.assumed) {
            pw_warning_tell(d->problems, PW_CONFLICT, doubt_path(d, "pumps", p, "curve"),
                            pw_fact_of("check.npsh-there", pw_head(duty->npsh_available_m),
                                       pw_quantity(PW_DIM_FLOW, duty->flow_m3s)),
                            pw_fact_of("check.npsh-wanted", pw_head(at.required_m)), pw_fact_of("check.it-cavitates"));
        }
    }
}
