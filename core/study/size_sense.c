/* Which assumption moves each result most: the whole calculation again with one assumption changed, for all of them. */
#include <string.h>

#include "study/size_inside.h"
#include "formula/atmosphere.h"
#include "formula/bore.h"
#include "formula/fitting.h"

typedef void (*change)(size_work *w);

static void friction(size_work *w)
{
    for (int32_t l = 0; l < w->site->line_count; l++) {
        pw_line *line = &w->site->lines[l];
        double k = line->extra_k.v;
        for (int32_t f = 0; f < line->fitting_count; f++) {
            k += line->fittings[f].count * pw_fitting_k_turbulent(line->fittings[f].kind, line->bore_m.v);
        }
        line->length_m.v *= 1.1;
        line->extra_k.v += 0.1 * k;
    }
}

static void water_level(size_work *w)
{
    for (int32_t s = 0; s < w->site->source_count; s++) {
        pw_source *source = &w->site->sources[s];
        source->standing_m.v = pw_covered_depth_m(1.1 * source->standing_m.v, source->standing_m.v, source->intake_m.v);
        source->pressure_pa.v *= 0.9;
    }
}

static void capacity(size_work *w)
{
    for (int32_t s = 0; s < w->site->source_count; s++) {
        w->site->sources[s].capacity_m2s.v *= 0.9;
    }
}

static void demand(size_work *w)
{
    w->demand_factor = 1.1;
}

static void needs(size_work *w)
{
    for (int32_t o = 0; o < w->site->outlet_count; o++) {
        w->site->outlets[o].needs_pa.v *= 1.1;
    }
}

static void pump_head(size_work *w)
{
    pw_pump *pump = &w->site->pumps[w->out->pump];
    for (int32_t i = 0; i < pump->point_count; i++) {
        pump->curve[i].head_m.v *= 0.95;
    }
}

static void pump_efficiency(size_work *w)
{
    pw_pump *pump = &w->site->pumps[w->out->pump];
    for (int32_t i = 0; i < pump->point_count; i++) {
        pump->curve[i].efficiency.v *= 0.95;
        pump->curve[i].power_w.v /= 0.95;
    }
}

static void warmer(size_work *w)
{
    w->site->water_c.v = pw_min(w->site->water_c.v + 10.0, 60.0);
}

static void higher(size_work *w)
{
    w->site->altitude_m.v += 500.0;
}

static void voltage(size_work *w)
{
    w->site->supply_v.v *= 0.9;
}

static void motor_efficiency(size_work *w)
{
    pw_motor *motor = &w->site->pumps[w->out->pump].motor;
    motor->efficiency.v *= 0.95;
    if (!motor->full_load_a.given) {
        motor->full_load_a.v /= 0.95;
    }
}

static void start_current(size_work *w)
{
    w->site->pumps[w->out->pump].motor.locked_rotor_a.v *= 1.1;
}

static void start_time(size_work *w)
{
    w->site->pumps[w->out->pump].motor.start_time_s.v *= 2.0;
}

static void winding_rise(size_work *w)
{
    w->site->pumps[w->out->pump].motor.winding_rise_k.v *= 1.1;
}

static void precharge(size_work *w)
{
    for (int32_t v = 0; v < w->site->vessel_count; v++) {
        w->site->vessels[v].precharge_pa.v *= 0.9;
    }
}

static void gas(size_work *w)
{
    for (int32_t v = 0; v < w->site->vessel_count; v++) {
        w->site->vessels[v].polytropic.v = pw_min(w->site->vessels[v].polytropic.v + 0.1, 1.4);
    }
}

static void cable_length(size_work *w)
{
    w->site->design.cable.length_m.v *= 1.1;
}

static void season(size_work *w)
{
    w->site->design.season_m.v *= 1.5;
}

static void casing(size_work *w)
{
    w->site->design.casing_m3.v *= 0.5;
    w->site->design.casing_m3.given = true;
}

static void required(size_work *w)
{
    pw_pump *pump = &w->site->pumps[w->out->pump];
    w->site->design.suction.unknown_npsh_m.v *= 1.1;
    for (int32_t i = 0; i < pump->point_count; i++) {
        pump->curve[i].npsh_m.v *= 1.1;
    }
}

static void fault(size_work *w)
{
    w->site->design.cable.fault_a.v *= 1.2;
}

static void conductor(size_work *w)
{
    w->site->design.cable.conductor_c.v += 20.0;
}

static void reactance(size_work *w)
{
    w->site->design.cable.reactance.v *= 1.1;
}

static void fewer_starts(size_work *w)
{
    w->site->design.starts_per_hour.v *= 0.9;
}

static const struct {
    const char *words;
    change apply;
} changes[] = {
    {"size.more-friction", friction},
    {"size.water-lower", water_level},
    {"size.capacity-less", capacity},
    {"size.more-demand", demand},
    {"size.needs-more", needs},
    {"size.pump-less-head", pump_head},
    {"size.pump-less-efficiency", pump_efficiency},
    {"size.warmer", warmer},
    {"size.higher", higher},
    {"size.less-voltage", voltage},
    {"size.motor-less-efficiency", motor_efficiency},
    {"size.start-current-more", start_current},
    {"size.start-time-more", start_time},
    {"size.winding-rise-more", winding_rise},
    {"size.precharge-less", precharge},
    {"size.gas-exponent", gas},
    {"size.cable-longer", cable_length},
    {"size.dry-season", season},
    {"size.half-water", casing},
    {"size.npsh-more", required},
    {"size.fault-more", fault},
    {"size.conductor-warmer", conductor},
    {"size.generator-reactance", reactance},
    {"size.fewer-starts", fewer_starts},
};

/* Is this change larger than the one known? Relative, so that different units compare; ties stay. */
static void compare_value(pw_size_line *line, double changed, const char *words)
{
    if (line->value >= PW_INF || changed >= PW_INF) {
        return;
    }
    const double moved = changed - line->value;
    const double scale = pw_max(pw_abs(line->value), 1e-12);
    if (pw_abs(moved) > 1e-4 * scale && pw_abs(moved) > pw_abs(line->moved) * (1.0 + 1e-9)) {
        line->moved = moved;
        line->most = words;
    }
}

static double value_of(const pw_sizing *sizing, pw_size_part part, const char *id)
{
    const pw_size_line *line = pw_size_find(sizing, part, id);
    return line != NULL ? line->value : 0.0;
}

/* The year is simulated once: what a change does to it is told by the day's water and by the usual duty. */
static void compare_year(pw_size_line *line, const pw_sizing *mine, const pw_sizing *other, const char *words)
{
    const double duty = value_of(mine, PW_SIZE_DUTY, "energy of a cubic metre");
    const double flow = value_of(other, PW_SIZE_DUTY, "flow");
    if (!(duty > 0.0) || duty >= PW_INF || !(flow > 0.0) || !(mine->daily_m3 > 0.0)) {
        return;
    }
    const double energy = value_of(other, PW_SIZE_DUTY, "energy of a cubic metre") / duty;
    const double water = other->daily_m3 / mine->daily_m3;
    const double speed = value_of(mine, PW_SIZE_DUTY, "flow") / flow;
    const bool both = strcmp(line->id, "energy") == 0 || strcmp(line->id, "cost") == 0;
    if (both || strcmp(line->id, "energy of a cubic metre") == 0) {
        compare_value(line, line->value * energy * (both ? water : 1.0), words);
    } else if (strcmp(line->id, "pumped") == 0) {
        compare_value(line, line->value * water, words);
    } else if (strcmp(line->id, "running") == 0) {
        compare_value(line, line->value * water * speed, words);
    }
}

static void compare(pw_size_line *line, const pw_sizing *mine, const pw_sizing *other, const char *words)
{
    const pw_size_line *changed = pw_size_find(other, line->part, line->id);
    if (line->part == PW_SIZE_ENERGY) {
        compare_year(line, mine, other, words);
    } else if (changed != NULL) {
        compare_value(line, changed->value, words);
    }
}

pw_status size_sense(size_work *w)
{
    const size_t mark = pw_arena_mark(w->arena);
    for (int32_t i = 0; i < (int32_t)(sizeof changes / sizeof changes[0]); i++) {
        size_work *other = PW_NEW(w->arena, 1, size_work);
        pw_sizing *sizing = PW_NEW(w->arena, 1, pw_sizing);
        pw_site *site = PW_NEW(w->arena, 1, pw_site);
        pw_problems *problems = PW_NEW(w->arena, 1, pw_problems); /* a changed site that has no solution says nothing */
        if (other == NULL || sizing == NULL || site == NULL || problems == NULL) {
            return PW_MEMORY;
        }
        memcpy(site, w->plant->site, sizeof *site);
        other->arena = w->arena;
        other->plant = w->plant;
        other->site = site;
        other->options = w->options;
        other->problems = problems;
        other->out = sizing;
        other->draws = w->draws;
        other->demand_factor = 1.0;
        sizing->site = site;
        sizing->pump = w->out->pump;
        changes[i].apply(other);
        const pw_status status = size_all(other);
        if (status == PW_MEMORY || other->failed) {
            return PW_MEMORY;
        }
        for (int32_t l = 0; l < w->out->line_count && status == PW_OK; l++) {
            compare(&w->out->lines[l], w->out, sizing, changes[i].words);
        }
        pw_arena_back(w->arena, mark);
        if (w->options->cancelled != NULL && w->options->cancelled(w->options->user, 1.0)) {
            return PW_CANCELLED;
        }
    }
    return PW_OK;
}
