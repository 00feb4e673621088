/* Extremes within a step: see extremes.h. */
#include "sim/extremes.h"

#include "base/num.h"

#define GOLDEN 0.61803398874989485

double *pw_on_the_way_at(pw_on_the_way *way, double part)
{
    if (way->count > 0 && part <= way->part[way->count - 1]) {
        way->count = 0; /* another try, or another step */
    }
    if (!(part > 0.0) || way->count >= PW_MOST_ON_THE_WAY) {
        return NULL;
    }
    way->part[way->count] = part;
    way->count++;
    return way->value[way->count - 1];
}

/* ---- does it turn, and how high? ---- */

typedef struct course {
    int32_t count;
    double at_ms[PW_MOST_ON_THE_WAY + 2], value[PW_MOST_ON_THE_WAY + 2]; /* times the sign */
} course;

static void add(course *c, double at_ms, double value)
{
    c->at_ms[c->count] = at_ms;
    c->value[c->count] = value;
    c->count++;
}

/* Top of the parabola through three points of rising x, of which the middle one is not below a line through the others;
 * at: where it is, or the middle. */
static double top(const double *x, const double *y, double *at)
{
    const double left = (y[1] - y[0]) / (x[1] - x[0]), right = (y[2] - y[1]) / (x[2] - x[1]);
    const double bend = (right - left) / (x[2] - x[0]);
    *at = x[1];
    if (!(bend < 0.0 && bend > -PW_INF)) {
        return y[1];
    }
    const double slope = left + bend * (x[1] - x[0]); /* at the middle */
    const double away = pw_clamp(-slope / (2.0 * bend), x[0] - x[1], x[2] - x[1]);
    *at = x[1] + away;
    return y[1] + away * (slope + bend * away);
}

#define STILL 1e-8 /* what moves by less in a step, for its size, stands still */

/* It rises first and falls last, or stands higher between than at both ends; highest: about how high at most. */
static bool turns(const course *c, double *highest)
{
    const int32_t last = c->count - 1;
    int32_t best = 0;
    double at_ms, least = c->value[0];
    for (int32_t i = 1; i <= last; i++) {
        best = c->value[i] > c->value[best] ? i : best;
        least = pw_min(least, c->value[i]);
    }
    if (c->value[best] - least < STILL * (1.0 + pw_abs(least))) {
        return false;
    }
    const bool rises = c->value[1] > c->value[0], falls = c->value[last] < c->value[last - 1];
    if (last < 2 || (!(rises && falls) && (best == 0 || best == last))) {
        return false;
    }
    best = best < 1 ? 1 : best > last - 1 ? last - 1 : best;
    const double peak = top(&c->at_ms[best - 1], &c->value[best - 1], &at_ms);
    const double ends = pw_max(c->value[0], c->value[last]);
    *highest = peak + pw_max(peak - ends, 0.0) + 1e-6 * pw_abs(ends);
    return true;
}

/* ---- where ---- */

typedef struct seen {
    pw_quantity_now of;
    int32_t number;
    double sign, value;
} seen;

static void show(void *user, const pw_sim *sim)
{
    seen *s = user;
    s->value = s->sign * s->of(sim, s->number);
}

static double look(pw_sim *sim, seen *s, int64_t at_ms)
{
    s->value = -PW_INF;
    return pw_sim_look(sim, at_ms, show, s) ? s->value : -PW_INF;
}

/* By golden section down to a 64th, or a millisecond; then by the parabola through what was seen. */
static double locate(pw_sim *sim, seen *s, int64_t h_ms)
{
    double x[3] = {0.0, 0.0, (double)h_ms}, y[3], at_ms;
    y[0] = look(sim, s, 0);
    y[2] = look(sim, s, h_ms);
    int64_t middle = (int64_t)((1.0 - GOLDEN) * x[2]);
    x[1] = (double)middle;
    y[1] = look(sim, s, middle);
    while (x[2] - x[0] > pw_max(2.0, (double)h_ms / 64.0)) {
        const bool right = x[2] - x[1] > x[1] - x[0];
        const double step = (1.0 - GOLDEN) * (right ? x[2] - x[1] : x[1] - x[0]);
        const double next = pw_floor(right ? x[1] + pw_max(step, 1.0) : x[1] - pw_max(step, 1.0));
        if (!(next > x[0] && next < x[2]) || next == x[1]) {
            break;
        }
        const double value = look(sim, s, (int64_t)next);
        const bool better = value > y[1];
        const int32_t cut = right == better ? 0 : 2; /* the end that is given up */
        x[cut] = better ? x[1] : next;
        y[cut] = better ? y[1] : value;
        x[1] = better ? next : x[1];
        y[1] = better ? value : y[1];
    }
    const double seen_best = pw_max(y[0], pw_max(y[1], y[2]));
    const double peak = x[0] < x[1] && x[1] < x[2] ? top(x, y, &at_ms) : seen_best;
    return pw_max(seen_best, peak);
}

double pw_extreme_within(pw_sim *sim, int64_t h_ms, const pw_on_the_way *way, pw_quantity_now of, int32_t number,
                         double sign, double begin, double end, double beat)
{
    course c = {0};
    double highest = 0.0;
    add(&c, 0.0, sign * begin);
    for (int32_t i = 0; i < way->count; i++) {
        const double at_ms = way->part[i] * sim->looked_h_s * 1e3;
        if (at_ms < (double)h_ms) {
            add(&c, at_ms, sign * way->value[i][number]);
        }
    }
    add(&c, (double)h_ms, sign * end);
    const double ends = pw_max(sign * begin, sign * end);
    if (h_ms < 3 || !turns(&c, &highest) || !(highest > beat)) {
        return ends;
    }
    seen s = {of, number, sign, 0.0};
    return pw_max(ends, locate(sim, &s, h_ms));
}
