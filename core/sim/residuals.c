/* Residuals: a log of one quantity against what the simulation says at the same moments. */
#include "sim/observers.h"

#include "base/num.h"

#include <string.h>

static void compare(void *user, const pw_sim *sim)
{
    pw_residuals *r = user;
    const double residual = r->measured[r->next] - pw_sim_value(sim, r->what);
    if (r->residual != NULL) {
        r->residual[r->next] = residual;
    }
    r->sum += residual;
    r->sum_of_squares += residual * residual;
    r->largest = pw_max(r->largest, pw_abs(residual));
    r->compared++;
}

/* Those due at an event are looked at when all has settled, before time goes on. */
static void at(pw_observer *self, pw_sim *sim, pw_at when)
{
    pw_residuals *r = (pw_residuals *)(void *)self;
    while (when == PW_AT_ROUND_END && r->next < r->count && r->t_ms[r->next] <= pw_sim_time_ms(sim)) {
        compare(r, sim);
        r->next++;
    }
}

static void within(pw_observer *self, pw_sim *sim, int64_t h_ms)
{
    pw_residuals *r = (pw_residuals *)(void *)self;
    const int64_t begin_ms = pw_sim_time_ms(sim);
    while (r->next < r->count && r->t_ms[r->next] < begin_ms + h_ms) {
        (void)pw_sim_look(sim, r->t_ms[r->next] - begin_ms, compare, r);
        r->next++;
    }
}

void pw_residuals_begin(pw_residuals *r, const pw_sim *sim, pw_watched what, const int64_t *t_ms,
                        const double *measured, int32_t count, double *out)
{
    memset(r, 0, sizeof *r);
    r->observer = (pw_observer){.at = at, .within = within};
    r->what = what;
    r->t_ms = t_ms;
    r->measured = measured;
    r->count = count;
    r->residual = out;
    while (r->next < count && t_ms[r->next] < pw_sim_time_ms(sim)) {
        r->next++;
    }
    for (int32_t i = 0; out != NULL && i < count; i++) {
        out[i] = 0.0;
    }
}
