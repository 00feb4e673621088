/* Which assumption moves each result most: the whole calculation again with one assumption changed, for all of them. */
#include <string.h>

#include "study/size_inside.h"
#include "formula/atmosphere.h"
#include "formula/bore.h"
#include "formula/fitting.h"
#include "site/params.h"

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

static void demand(size_work *w)
{
    w->demand_factor = 1.1;
}

static void pump_efficiency(size_work *w)
{
    pw_pump *pump = &w->site->pumps[w->out->pump];
    for (int32_t i = 0; i < pump->point_count; i++) {
        pump->curve[i].efficiency.v *= 0.95;
        pump->curve[i].power_w.v /= 0.95;
    }
}

static void motor_efficiency(size_work *w)
{
    pw_motor *motor = &w->site->pumps[w->out->pump].motor;
    motor->efficiency.v *= 0.95;
    if (!motor->full_load_a.given) {
        motor->full_load_a.v /= 0.95;
    }
}

static void required(size_work *w)
{
    pw_pump *pump = &w->site->pumps[w->out->pump];
    w->site->design.suction.unknown_npsh_m.v *= 1.1;
    for (int32_t i = 0; i < pump->point_count; i++) {
        pump->curve[i].npsh_m.v *= 1.1;
    }
}

/* One assumption, changed: numbers by their path (any item of a list is [], [p] the pump that is sized), or what moves
 * several unlike numbers at once. */
typedef struct assumption {
    const char *words;
    change apply;     /* NULL: by path */
    const char *path; /* NULL: by apply */
    double times, plus;
} assumption;

static const assumption assumptions[] = {
    {"size.more-friction", friction, NULL, 0, 0},
    {"size.water-lower", water_level, NULL, 0, 0},
    {"size.capacity-less", NULL, "sources[].specific capacity", 0.9, 0},
    {"size.more-demand", demand, NULL, 0, 0},
    {"size.needs-more", NULL, "outlets[].needs", 1.1, 0},
    {"size.pump-less-head", NULL, "pumps[p].curve[].head", 0.95, 0},
    {"size.pump-less-efficiency", pump_efficiency, NULL, 0, 0},
    {"size.warmer", NULL, "water", 1, 10},
    {"size.higher", NULL, "altitude", 1, 500},
    {"size.less-voltage", NULL, "supply.voltage", 0.9, 0},
    {"size.motor-less-efficiency", motor_efficiency, NULL, 0, 0},
    {"size.start-current-more", NULL, "pumps[p].motor.locked-rotor current", 1.1, 0},
    {"size.start-time-more", NULL, "pumps[p].motor.starting time", 2, 0},
    {"size.winding-rise-more", NULL, "pumps[p].motor.winding rise", 1.1, 0},
    {"size.precharge-less", NULL, "vessels[].precharge", 0.9, 0},
    {"size.gas-exponent", NULL, "vessels[].gas exponent", 1, 0.1},
    {"size.cable-longer", NULL, "design.cable.length", 1.1, 0},
    {"size.dry-season", NULL, "design.season", 1.5, 0},
    {"size.half-water", NULL, "design.water in the pump", 0.5, 0},
    {"size.npsh-more", required, NULL, 0, 0},
    {"size.fault-more", NULL, "design.cable.fault current", 1.2, 0},
    {"size.conductor-warmer", NULL, "design.cable.conductor temperature", 1, 20},
    {"size.generator-reactance", NULL, "design.cable.generator reactance", 1.1, 0},
    {"size.fewer-starts", NULL, "design.starts per hour", 0.9, 0},
};

/* Is it this path, with [] for any number and [p] for the pump's? */
static bool is_path(const char *path, const char *wanted, int32_t pump)
{
    while (*wanted != '\0' && *path != '\0') {
        if (wanted[0] == '[' && path[0] == '[') {
            int32_t index = 0;
            for (path++; *path >= '0' && *path <= '9'; path++) {
                index = index * 10 + (*path - '0');
            }
            if (wanted[1] == 'p' && index != pump) {
                return false;
            }
            wanted += wanted[1] == 'p' ? 2 : 1;
        }
        if (*wanted != *path) {
            return false;
        }
        wanted++;
        path++;
    }
    return *wanted == *path;
}

static void change_numbers(size_work *w, const assumption *one, const pw_param *params, int32_t count)
{
    for (int32_t i = 0; i < count; i++) {
        if (is_path(params[i].path, one->path, w->out->pump)) {
            pw_param_put(w->site, &params[i], one->times * params[i].si + one->plus);
        }
    }
}

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
    pw_param *params = NULL;
    int32_t count = 0;
    if (pw_params_list(w->arena, w->plant->site, &params, &count) != PW_OK) {
        return PW_MEMORY;
    }
    const size_t mark = pw_arena_mark(w->arena);
    for (int32_t i = 0; i < (int32_t)(sizeof assumptions / sizeof assumptions[0]); i++) {
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
        if (assumptions[i].apply != NULL) {
            assumptions[i].apply(other);
        } else {
            change_numbers(other, &assumptions[i], params, count);
        }
        const pw_status status = size_all(other);
        if (status == PW_MEMORY || other->failed) {
            return PW_MEMORY;
        }
        for (int32_t l = 0; l < w->out->line_count && status == PW_OK; l++) {
            compare(&w->out->lines[l], w->out, sizing, assumptions[i].words);
        }
        pw_arena_back(w->arena, mark);
        if (w->options->cancelled != NULL && w->options->cancelled(w->options->user, 1.0)) {
            return PW_CANCELLED;
        }
    }
    return PW_OK;
}
