/* Implicit steps for stretches in which something settles quickly.
 *
 * Method: the singly diagonally implicit method of order 3 by Alexander (SIAM J. Numer. Anal. 14, 1977, from memory;
 * order and stability tested in tests/unit/sim), L-stable and stiffly accurate. Each stage asks for V with
 *
 *     V = base + h g f(V),    base = y + h sum a_ij f_j
 *
 * which is one network (element/ahead.c): its solution is unique however sharp the laws turn, and needs no Jacobian. So
 * no step ends beyond a non-return valve that shuts or a store that is empty. What a bore or a tank does to the lines
 * that leave it (they fall dry, a float valve shuts) is not within the network: those contents are found around it,
 * each by secants between bounds, for each falls the slower the lower it is. The error is the difference to the order 2
 * of the first two stages. All sums are linear in the stages' rates, so the water balance closes to rounding.
 */
#include "base/num.h"
#include "sim/step.h"

enum { IMPLICIT_STAGES = 3, MOST_TRIES = 30 };
#define GAMMA     0.43586652150845899942
#define OUTER     1e-3 /* part of the tolerance that contents around the network are found to */
#define NOT_FOUND 8.0  /* error of a step in which they were not: another, half as long */

static const double NODE[IMPLICIT_STAGES] = {GAMMA, 0.5 * (1.0 + GAMMA), 1.0};
static const double PART[IMPLICIT_STAGES][IMPLICIT_STAGES] = {
    {GAMMA, 0.0, 0.0},
    {0.5 * (1.0 - GAMMA), GAMMA, 0.0},
    {-0.25 * (6.0 * GAMMA * GAMMA - 16.0 * GAMMA + 1.0), 0.25 * (6.0 * GAMMA * GAMMA - 20.0 * GAMMA + 5.0), GAMMA}};
/* order 2 */
static const double EMBEDDED[IMPLICIT_STAGES] = {1.0 - (1.0 - 2.0 * GAMMA) / (1.0 - GAMMA),
                                                 (1.0 - 2.0 * GAMMA) / (1.0 - GAMMA), 0.0};

typedef struct stage {
    const stretch *step;
    double ahead_s, after_s; /* h g; from the beginning of the step */
    const double *base;
    double *k;
} stage;

/* The content of a store outside the network while it is being found. */
typedef struct search {
    bool looked;
    double low, high, at, before, excess, slope;
} search;

/* Rate at which something beside the storages fades by itself: a winding's heat, a reading that lags. */
static double fades(const pw_sim *run, int32_t i)
{
    const int32_t pump = i - run->storages;
    if (pump < run->thermals) {
        return run->drive.speed[pump] > 0.0 ? 1.0 / run->thermal[pump].heat_time_s : 0.0;
    }
    for (int32_t s = 0; i < run->sums && s < run->plant->site->sensor_count; s++) {
        if (run->lag_of[s] == i && run->condition.sensor_lag_s[s] > 0.0) {
            return 1.0 / run->condition.sensor_lag_s[s];
        }
    }
    return 0.0;
}

/* The rates of a stage with the outer contents as they stand in `trial`, and what comes of them there. */
static pw_status look(pw_sim *run, const stage *s)
{
    for (int32_t i = 0; i < run->y_count; i++) {
        if (!(i < run->storages && pw_model_state_stands(run->plant->model, i))) {
            run->trial.y[i] = s->base[i];
        }
    }
    run->drive.ahead_s = s->ahead_s;
    const pw_status status = pw_run_moment(run, &run->trial);
    run->drive.ahead_s = 0.0;
    if (status != PW_OK) {
        return status;
    }
    pw_step_rates(run, s->step, run->trial.y, &run->trial.moment, s->k);
    for (int32_t i = run->storages; i < run->sums; i++) {
        s->k[i] /= 1.0 + s->ahead_s * fades(run, i);
    }
    for (int32_t i = 0; i < run->y_count; i++) {
        run->trial.y[i] = s->base[i] + s->ahead_s * s->k[i];
    }
    pw_step_close(run, s->step, s->after_s, run->trial.y);
    return PW_OK;
}

/* Where to look next: what was asked about is too much by `excess`, which rises at least as fast as it does. */
static void narrow(search *s, double excess)
{
    const double moved = s->at - s->before;
    s->slope = s->looked && moved != 0.0 ? pw_max((excess - s->excess) / moved, 1.0) : 1.0;
    if (s->looked && !(s->low < s->high)) { /* the others have moved since */
        s->low = -PW_INF;
        s->high = PW_INF;
    }
    s->low = excess > 0.0 ? s->low : s->at;
    s->high = excess > 0.0 ? s->at : s->high;
    s->before = s->at;
    s->excess = excess;
    s->looked = true;
    s->at -= excess / s->slope;
    if (s->low > -PW_INF && s->high < PW_INF && !(s->at > s->low && s->at < s->high)) {
        s->at = 0.5 * (s->low + s->high);
    }
}

/* One stage into `trial` and its rates. found: the outer contents were, to a thousandth of the tolerance. */
static pw_status solve(pw_sim *run, const stage *s, double tolerance, bool *found)
{
    search outer[PW_MAX_STATES];
    for (int32_t i = 0; i < run->storages; i++) {
        run->trial.y[i] = s->base[i] + s->ahead_s * s->k[i];
        outer[i] = (search){.low = -PW_INF, .high = PW_INF};
    }
    pw_step_close(run, s->step, s->after_s, run->trial.y);
    for (int32_t tries = 0; tries < MOST_TRIES; tries++) {
        for (int32_t i = 0; i < run->storages; i++) {
            outer[i].at = run->trial.y[i];
        }
        const pw_status status = look(run, s);
        if (status != PW_OK) {
            return status;
        }
        *found = true;
        for (int32_t i = 0; i < run->storages; i++) {
            const double excess = outer[i].at - run->trial.y[i];
            const double allowed = OUTER * tolerance * (run->scale[i] + pw_abs(run->now.y[i]));
            if (pw_model_state_stands(run->plant->model, i) && pw_abs(excess) > allowed) {
                *found = false;
            }
        }
        if (*found) {
            return PW_OK;
        }
        for (int32_t i = 0; i < run->storages; i++) {
            narrow(&outer[i], outer[i].at - run->trial.y[i]);
            run->trial.y[i] = outer[i].at;
        }
    }
    return look(run, s);
}

pw_status pw_step_stiff(pw_sim *run, stretch *step, double tolerance, double *error)
{
    double k[IMPLICIT_STAGES][MOST_Y];
    double base[MOST_Y];
    bool all = true;
    step->form = STRETCH_STIFF;
    pw_sim_tell_on_the_way(run, 0.0); /* what settles does not turn, and these steps are as short as it needs */
    for (int32_t n = 0; n < IMPLICIT_STAGES; n++) {
        bool found = false;
        const stage one = {
            .step = step, .ahead_s = GAMMA * step->h_s, .after_s = NODE[n] * step->h_s, .base = base, .k = k[n]};
        for (int32_t i = 0; i < run->y_count; i++) {
            base[i] = run->now.y[i];
            for (int32_t j = 0; j < n; j++) {
                base[i] += step->h_s * PART[n][j] * k[j][i];
            }
            k[n][i] = n > 0 ? k[n - 1][i] : run->k[0][i]; /* where the search begins */
        }
        const pw_status status = solve(run, &one, tolerance, &found);
        if (status != PW_OK) {
            return status;
        }
        all = all && found;
    }
    *error = all ? 0.0 : NOT_FOUND;
    for (int32_t i = 0; i < run->sums; i++) {
        double sum = 0.0;
        for (int32_t n = 0; n < IMPLICIT_STAGES; n++) {
            sum += (PART[IMPLICIT_STAGES - 1][n] - EMBEDDED[n]) * k[n][i];
        }
        const double allowed = tolerance * (run->scale[i] + pw_abs(run->now.y[i]));
        *error = pw_max(*error, pw_abs(step->h_s * sum) / allowed);
    }
    return PW_OK;
}
