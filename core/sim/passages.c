/* First passages: when a quantity first stands beyond a level. */
#include "sim/observers.h"

#include "base/num.h"

#include <string.h>

typedef struct seen {
    pw_watched what;
    double value;
} seen;

static void show(void *user, const pw_sim *sim)
{
    seen *s = user;
    s->value = pw_sim_value(sim, s->what);
}

static bool beyond(const pw_passages *p, int32_t i, double value)
{
    return p->upwards[i] ? value > p->level[i] : value < p->level[i];
}

static void pass(pw_passages *p, int32_t i, int64_t t_ms, double value)
{
    p->first_ms[i] = t_ms;
    p->reached[i] = value;
    p->open--;
    p->observer.stop = p->observer.stop || p->stop_at_first || (p->stop_at_last && p->open == 0);
}

static void keep(pw_passages *p, int64_t t_ms, double value)
{
    p->low = pw_min(p->low, value);
    p->high = pw_max(p->high, value);
    for (int32_t i = 0; i < p->level_count; i++) {
        if (p->first_ms[i] < 0 && beyond(p, i, value)) {
            pass(p, i, t_ms, value);
        }
    }
}

/* The first whole millisecond in (low, high] at which level i is passed; it is not at low, and it is at high. */
static void locate(pw_passages *p, pw_sim *sim, int32_t i, int64_t low_ms, int64_t high_ms, double at_high)
{
    const int64_t begin_ms = pw_sim_time_ms(sim);
    double value = at_high;
    while (high_ms - low_ms > 1) {
        seen s = {p->what, 0.0};
        const int64_t middle_ms = low_ms + (high_ms - low_ms) / 2;
        if (!pw_sim_look(sim, middle_ms, show, &s)) {
            break;
        }
        if (beyond(p, i, s.value)) {
            high_ms = middle_ms;
            value = s.value;
        } else {
            low_ms = middle_ms;
        }
    }
    pass(p, i, begin_ms + high_ms, value);
}

static void within(pw_observer *self, pw_sim *sim, int64_t h_ms)
{
    pw_passages *p = (pw_passages *)(void *)self;
    int64_t from_ms = 0;
    for (int32_t part = 1; part <= p->looks && p->open > 0; part++) {
        const int64_t to_ms = h_ms * part / p->looks;
        seen s = {p->what, 0.0};
        if (to_ms == from_ms || !pw_sim_look(sim, to_ms, show, &s)) {
            continue;
        }
        for (int32_t i = 0; i < p->level_count; i++) {
            if (p->first_ms[i] < 0 && beyond(p, i, s.value)) {
                locate(p, sim, i, from_ms, to_ms, s.value);
            }
        }
        from_ms = to_ms;
    }
}

static void at(pw_observer *self, pw_sim *sim, pw_at when)
{
    pw_passages *p = (pw_passages *)(void *)self;
    if (when == PW_AT_SETTLED || when == PW_AT_SWITCHED) {
        keep(p, pw_sim_time_ms(sim), pw_sim_value(sim, p->what));
    }
}

static void passed(pw_observer *self, pw_sim *sim, int64_t from_ms)
{
    (void)from_ms;
    at(self, sim, PW_AT_SETTLED);
}

void pw_passages_begin(pw_passages *p, const pw_sim *sim, pw_watched what, const double *levels, int32_t count)
{
    const double now = pw_sim_value(sim, what);
    memset(p, 0, sizeof *p);
    p->observer = (pw_observer){.at = at, .within = within, .passed = passed};
    p->what = what;
    p->level_count = count < PW_MAX_LEVELS ? count : PW_MAX_LEVELS;
    p->open = p->level_count;
    p->looks = 4;
    p->low = now;
    p->high = now;
    for (int32_t i = 0; i < p->level_count; i++) {
        p->level[i] = levels[i];
        p->upwards[i] = now <= levels[i];
        p->first_ms[i] = -1;
    }
}
