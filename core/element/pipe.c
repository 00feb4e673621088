#include "element/pipe.h"

#include <string.h>

#include "base/num.h"
#include "formula/filter.h"
#include "element/valve.h"
#include "formula/fitting.h"
#include "formula/friction.h"

/* Slower than this an air pocket holds the water: only the curve's smoothness depends on it (own choice). */
#define POCKET_CREEP_MS 1e-4

/* A pipe as wide as it is long would carry litres a second on the last digit of a head. Each takes this much, a
 * centimetre at 1 m3/s (own choice). */
#define LEAST_S_M2 1e-2

enum {
    OCTAVE_BITS = 6, /* 64 intervals for each doubling of the flow */
    OCTAVES = 14
};

static const pw_condition_slot slots[] = {
    PW_SLOT_EACH(line_friction, PW_SLOT_NUMBER, "", 1.0, 0.0, PW_INF),
    PW_SLOT_EACH(filter_rise, PW_SLOT_NUMBER, "", 1.0, 0.0, PW_INF),
    PW_SLOT_EACH(filter_clogged, PW_SLOT_NUMBER, "", 1.0, 0.0, PW_INF),
    PW_SLOT_EACH(line_pocket_m, PW_SLOT_NUMBER, "m", 0.0, 0.0, PW_INF),
    PW_SLOT_EACH(line_air, PW_SLOT_FLAG, "", 0.0, 0.0, 1.0),
    PW_SLOT_EACH(place_air, PW_SLOT_FLAG, "", 0.0, 0.0, 1.0),
};

pw_condition_slots pw_pipe_slots(void)
{
    return (pw_condition_slots){"pipe", slots, sizeof slots / sizeof slots[0]};
}

static void formula(const pw_pipe *pipe, double flow, double *loss, double *slope)
{
    if (pipe->hazen) {
        pw_hazen_loss(pipe->bore_m, pipe->length_m, pipe->hazen_c, pipe->k_sum, flow, loss, slope);
    } else {
        pw_pipe_loss(pipe->bore_m, pipe->length_m, pipe->rough_m, pipe->k_sum, pipe->water, flow, loss, slope);
    }
}

void pw_pipe_of(const pw_line *line, const pw_water *water, pw_pipe *out)
{
    memset(out, 0, sizeof *out);
    out->water = water;
    out->bore_m = line->bore_m.v;
    out->length_m = line->length_m.v;
    out->rough_m = line->rough_m.v;
    out->hazen_c = line->hazen_c.v;
    out->hazen = line->friction == PW_FRICTION_HAZEN;
    out->k_sum = line->extra_k.v;
    for (int32_t f = 0; f < line->fitting_count; f++) {
        out->k_sum += line->fittings[f].count * pw_fitting_k_turbulent(line->fittings[f].kind, line->bore_m.v);
    }
    out->velocity_k = pw_square_loss_s2m5(1.0, pw_bore_area_m2(line->bore_m.v));
    double loss_m;
    formula(out, 0.0, &loss_m, &out->still_s_m2);
}

static int64_t table_index(double flow)
{
    int64_t bits;
    memcpy(&bits, &flow, sizeof bits);
    return bits >> (52 - OCTAVE_BITS);
}

static double table_flow(int64_t index)
{
    const int64_t bits = index << (52 - OCTAVE_BITS);
    double flow;
    memcpy(&flow, &bits, sizeof flow);
    return flow;
}

/* Cubic Hermite through loss and slope at the ends of an interval. */
static void from_table(const pw_pipe_table *table, double size, double *loss, double *slope)
{
    const int64_t index = table_index(size);
    const int64_t i = index - table->first_bits;
    const double left = table_flow(index);
    const double width = table_flow(index + 1) - left;
    const double t = (size - left) / width;
    const double y0 = table->loss_m[i];
    const double y1 = table->loss_m[i + 1];
    const double s0 = table->slope[i] * width;
    const double s1 = table->slope[i + 1] * width;
    const double c2 = 3.0 * (y1 - y0) - 2.0 * s0 - s1;
    const double c3 = s0 + s1 - 2.0 * (y1 - y0);
    *loss = y0 + t * (s0 + t * (c2 + t * c3));
    *slope = (s0 + t * (2.0 * c2 + t * 3.0 * c3)) / width;
}

/* Laminar flow below the table: Hagen-Poiseuille plus fittings, as the formula has them. */
static void trickle(const pw_pipe *pipe, double flow, double *loss, double *slope)
{
    const double k = pipe->k_sum * pipe->velocity_k;
    const double root = pw_sqrt(flow * flow + pipe->trickle_m3s * pipe->trickle_m3s);
    *loss = flow * (pipe->laminar_s_m2 + k * root);
    *slope = pipe->laminar_s_m2 + k * (root + flow * flow / root);
}

void pw_pipe_friction(const pw_pipe *pipe, double flow_m3s, double *loss_m, double *slope)
{
    const double size = pw_abs(flow_m3s);
    if (pipe->table.count == 0 || size >= pipe->table.high_m3s || (pipe->hazen && size < pipe->table.low_m3s)) {
        formula(pipe, flow_m3s, loss_m, slope);
        return;
    }
    if (size < pipe->table.low_m3s) {
        trickle(pipe, flow_m3s, loss_m, slope);
        return;
    }
    from_table(&pipe->table, size, loss_m, slope);
    if (flow_m3s < 0.0) {
        *loss_m = -*loss_m;
    }
}

void pw_line_loss(const pw_pipe *pipe, const pw_line_now *now, double flow_m3s, double *loss_m, double *slope)
{
    const bool dry = pw_valve_shut(now->wet) && flow_m3s > 0.0;
    const bool held = (now->one_way && flow_m3s < 0.0) || pw_non_return_holds(now->non_return, now->back, flow_m3s);
    if (pw_valve_shut(now->open) || dry || pw_valve_shut(now->float_open) || held) {
        pw_shut_loss(flow_m3s, loss_m, slope);
        return;
    }
    pw_pipe_friction(pipe, flow_m3s, loss_m, slope);
    const double share = now->share > 0.0 ? now->share : 1.0;
    if (now->share > 0.0) {
        *loss_m *= now->share;
        *slope *= now->share;
    }
    const double wide_s_m2 = pw_max(LEAST_S_M2 - pipe->still_s_m2 * share, 0.0);
    *loss_m += wide_s_m2 * flow_m3s;
    *slope += wide_s_m2;
    if (now->friction != 1.0) {
        *loss_m *= now->friction;
        *slope *= now->friction;
    }
    if (now->non_return) {
        pw_non_return_loss(pipe->velocity_k, now->back, flow_m3s, loss_m, slope);
    }
    pw_gate_loss(pipe->velocity_k, now->open, flow_m3s, loss_m, slope);
    if (flow_m3s > 0.0) {
        pw_gate_loss(pipe->velocity_k, now->wet, flow_m3s, loss_m, slope);
    }
    if (now->pocket_m > 0.0) {
        pw_pocket_loss(now->pocket_m, POCKET_CREEP_MS * pw_bore_area_m2(pipe->bore_m), flow_m3s, loss_m, slope);
    }
    if (now->filter_m > 0.0) {
        double rises;
        *loss_m += pw_filter_loss(now->filter_m, now->filter_m3s, now->filter_n, flow_m3s, &rises);
        *slope += rises;
    }
    if (now->float_k > 0.0) {
        pw_add_square(now->float_k / (now->float_open * now->float_open), flow_m3s, loss_m, slope);
    }
    *slope = pw_max(*slope, 1e-3);
}

/* ---- tables ---- */

static double check_table(const pw_pipe *pipe, double worst)
{
    for (int32_t part = 1; part <= 8 && !pipe->hazen; part++) {
        const double flow = pipe->table.low_m3s * 0.125 * (double)part * 0.999;
        double exact;
        double slope;
        double quick;
        formula(pipe, flow, &exact, &slope);
        trickle(pipe, flow, &quick, &slope);
        worst = pw_max(worst, pw_abs(quick - exact) / exact);
    }
    for (int32_t i = 0; i < pipe->table.count; i++) {
        const double left = table_flow(pipe->table.first_bits + i);
        const double right = table_flow(pipe->table.first_bits + i + 1);
        for (int32_t part = 1; part < 4; part++) {
            const double flow = left + (right - left) * (0.25 * (double)part);
            double exact;
            double slope;
            double looked_up;
            formula(pipe, flow, &exact, &slope);
            from_table(&pipe->table, flow, &looked_up, &slope);
            worst = pw_max(worst, pw_abs(looked_up - exact) / exact);
        }
    }
    return worst;
}

/* From a laminar trickle (Reynolds about 500: below it the formula is a line, and cheap) to about 10 m/s. */
pw_status pw_pipe_tabulate(pw_arena *arena, pw_pipe *pipe, double *worst_error)
{
    const double area = pw_bore_area_m2(pipe->bore_m);
    const double kinematic = pipe->water->viscosity_pas / pipe->water->density_kgm3;
    const int64_t first = table_index(500.0 * kinematic / pipe->bore_m * area);
    int64_t last = table_index(10.0 * area);
    if (last > first + ((int64_t)OCTAVES << OCTAVE_BITS)) {
        last = first + ((int64_t)OCTAVES << OCTAVE_BITS);
    }
    const int32_t count = (int32_t)(last - first);
    double *loss = PW_NEW(arena, count + 1, double);
    double *slope = PW_NEW(arena, count + 1, double);
    if (loss == NULL || slope == NULL) {
        return PW_MEMORY;
    }
    for (int32_t i = 0; i <= count; i++) {
        formula(pipe, table_flow(first + i), &loss[i], &slope[i]);
    }
    double loss_at_rest;
    pw_pipe_loss(pipe->bore_m, pipe->length_m, pipe->rough_m, 0.0, pipe->water, 0.0, &loss_at_rest,
                 &pipe->laminar_s_m2);
    pipe->trickle_m3s = 1e-4 * area;
    pipe->table.first_bits = first;
    pipe->table.low_m3s = table_flow(first);
    pipe->table.high_m3s = table_flow(first + count);
    pipe->table.loss_m = loss;
    pipe->table.slope = slope;
    pipe->table.count = count;
    if (worst_error != NULL) {
        *worst_error = check_table(pipe, *worst_error);
    }
    return PW_OK;
}
