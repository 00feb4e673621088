/* Integrate the storages from one event to the next.
 *
 * Method: Dormand and Prince 5(4) with its continuous extension of order 4 (Hairer, Norsett, Wanner, Solving Ordinary
 * Differential Equations I, 2nd ed. 1993, II.5 and II.6), step sizes in whole milliseconds. Runge-Kutta steps keep
 * linear sums of the states, so the mass balance closes to rounding whatever the step. Where something settles within
 * milliseconds the steps are implicit: stiff.c. Three things need no steps: a bore that recovers with nothing drawn
 * from it (linear below nine tenths of its yield), the cooling of a stopped motor (both exponentials in closed form),
 * and flows that are the same at both ends of a stretch. Events: after each step the watches are compared with their
 * truth at its beginning; when one changed, the first whole millisecond at which any differs is found by interpolation
 * with bisection as a fallback. A watch that goes over its threshold and back within one step is not seen: steps are
 * held to a third of what a storage can take up, which makes that a matter of milliseconds.
 */
#include "base/num.h"
#include "sim/step.h"

#include <string.h>

#define DEFAULT_TOLERANCE 1e-8
#define STIFF_TOLERANCE   1e-6
#define STABLE            2.0 /* the method is stable up to 3.3; a step that accuracy holds short comes to tenths */
enum { SHORT_STEPS = 40 };
#define STIFF_MS 1000 /* what was stiff is taken to be so for this long, whatever happens meanwhile */

static const double A[6][6] = {{1.0 / 5.0},
                               {3.0 / 40.0, 9.0 / 40.0},
                               {44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0},
                               {19372.0 / 6561.0, -25360.0 / 2187.0, 64448.0 / 6561.0, -212.0 / 729.0},
                               {9017.0 / 3168.0, -355.0 / 33.0, 46732.0 / 5247.0, 49.0 / 176.0, -5103.0 / 18656.0},
                               {35.0 / 384.0, 0.0, 500.0 / 1113.0, 125.0 / 192.0, -2187.0 / 6784.0, 11.0 / 84.0}};
/* fifth order minus fourth order */
static const double E[STAGES] = {71.0 / 57600.0,      0.0,          -71.0 / 16695.0, 71.0 / 1920.0,
                                 -17253.0 / 339200.0, 22.0 / 525.0, -1.0 / 40.0};
/* where the stages are looked at: parts of the step */
static const double C[4] = {1.0 / 5.0, 3.0 / 10.0, 4.0 / 5.0, 8.0 / 9.0};
/* continuous extension */
static const double D[STAGES] = {-12715105075.0 / 11282082432.0,  0.0,
                                 87487479700.0 / 32700410799.0,   -10690763975.0 / 1880347072.0,
                                 701980252875.0 / 199316789632.0, -1453857185.0 / 822651844.0,
                                 69997945.0 / 29380423.0};

/* ---- steps ---- */

static double tolerance_of(const pw_sim *run)
{
    return run->options.tolerance > 0.0 ? run->options.tolerance : DEFAULT_TOLERANCE;
}

/* What settles quickly need not be followed so closely while it does. */
static double stiff_tolerance(double tolerance)
{
    return pw_max(tolerance, STIFF_TOLERANCE);
}

/* Longest step before a storage has changed by a third of what it can still take up or give. */
static double longest_s(const pw_sim *run)
{
    double longest = 1e7;
    for (int32_t i = 0; i < run->storages; i++) {
        const double rate = run->k[0][i];
        const double room = rate > 0.0 ? run->scale[i] - run->now.y[i] : run->now.y[i];
        const double allowed = 0.35 * pw_max(room, 0.02 * run->scale[i]);
        if (pw_abs(rate) * longest > allowed) {
            longest = allowed / pw_abs(rate);
        }
    }
    return longest;
}

/* Nothing pumps and all rates are the same at the far end: the stretch is a straight line. */
static bool try_line(pw_sim *run, stretch *step)
{
    double far[MOST_Y];
    for (int32_t i = 0; i < run->y_count; i++) {
        run->trial.y[i] = run->now.y[i] + step->h_s * run->k[0][i];
    }
    pw_step_close(run, step, step->h_s, run->trial.y);
    if (pw_run_moment(run, &run->trial) != PW_OK) {
        return false;
    }
    pw_step_rates(run, step, run->trial.y, &run->trial.moment, far);
    for (int32_t i = 0; i < run->storages; i++) {
        if (pw_abs(far[i] - run->k[0][i]) > 1e-12 + 1e-9 * pw_abs(run->k[0][i])) {
            return false;
        }
    }
    for (int32_t i = run->lags; i < run->sums; i++) { /* a reading that lags creeps: no line, unless it is there */
        if (pw_abs(step->h_s * run->k[0][i]) > 1e-3) {
            return false;
        }
    }
    step->form = STRETCH_LINE;
    return true;
}

/* One Dormand-Prince step of h_s into `trial`. error: in units of the tolerance. */
static pw_status try_curve(pw_sim *run, stretch *step, double tolerance, double *error)
{
    step->form = STRETCH_CURVE;
    for (int32_t s = 0; s < 6; s++) {
        for (int32_t i = 0; i < run->y_count; i++) {
            double sum = 0.0;
            for (int32_t j = 0; j <= s; j++) {
                sum += A[s][j] * run->k[j][i];
            }
            run->trial.y[i] = run->now.y[i] + step->h_s * sum;
        }
        if (s == 5) {
            pw_step_close(run, step, step->h_s, run->trial.y);
        }
        const pw_status status = pw_run_moment(run, &run->trial);
        if (status != PW_OK) {
            return status;
        }
        pw_step_rates(run, step, run->trial.y, &run->trial.moment, run->k[s + 1]);
        if (s < 4) {
            pw_sim_tell_on_the_way(run, C[s]);
        }
    }
    *error = 0.0;
    for (int32_t i = 0; i < run->sums; i++) {
        double sum = 0.0;
        for (int32_t s = 0; s < STAGES; s++) {
            sum += E[s] * run->k[s][i];
        }
        const double allowed = tolerance * (run->scale[i] + pw_abs(run->now.y[i]));
        *error = pw_max(*error, pw_abs(step->h_s * sum) / allowed);
    }
    return PW_OK;
}

/* y at part theta of the step, which was a line or a curve. */
static void inside(const pw_sim *run, const stretch *step, double theta, double *y)
{
    const double h = step->h_s;
    for (int32_t i = 0; i < run->y_count; i++) {
        if (step->form == STRETCH_LINE) {
            y[i] = run->now.y[i] + theta * h * run->k[0][i];
            continue;
        }
        double change = 0.0;
        double fifth = 0.0;
        for (int32_t s = 0; s < STAGES; s++) {
            if (s < 6) {
                change += A[5][s] * run->k[s][i];
            }
            fifth += D[s] * run->k[s][i];
        }
        const double difference = h * change;
        const double spline = h * run->k[0][i] - difference;
        const double fourth = difference - h * run->k[6][i] - spline;
        const double rest = 1.0 - theta;
        y[i] = run->now.y[i] + theta * (difference + rest * (spline + theta * (fourth + rest * h * fifth)));
    }
    pw_step_close(run, step, theta * h, y);
}

/* ---- crossings ---- */

typedef struct bracket {
    int64_t low_ms, high_ms;
    double low[MOST_WATCHES], high[MOST_WATCHES];
} bracket;

static bool changed(const pw_sim *run, const point *at, double *values)
{
    bool any = false;
    for (int32_t i = 0; i < run->watch_count; i++) {
        values[i] = pw_watch_value(run, &run->watches[i], at);
        any = any || pw_watch_truth(&run->watches[i], values[i]) != run->watches[i].holds;
    }
    return any;
}

/* Earliest crossing by a straight line between the ends of the bracket, in whole milliseconds. */
static int64_t guess(const pw_sim *run, const bracket *b)
{
    double earliest = 1.0;
    for (int32_t i = 0; i < run->watch_count; i++) {
        const watch *w = &run->watches[i];
        if (pw_watch_truth(w, b->high[i]) == w->holds) {
            continue;
        }
        const double span = b->high[i] - b->low[i];
        const double part = span != 0.0 ? (w->threshold - b->low[i]) / span : 0.5;
        if (part >= 0.0 && part < earliest) {
            earliest = part;
        }
    }
    const double width = (double)(b->high_ms - b->low_ms);
    int64_t at = b->low_ms + (int64_t)pw_ceil(earliest * width);
    at = at > b->low_ms ? at : b->low_ms + 1;
    return at < b->high_ms ? at : b->high_ms - 1;
}

/* `trial` at_ms after the beginning of the step. A stiff step is taken anew, shorter: rates at its ends say nothing of
 * what lies between, and a curve through them swings to pressures that never were. */
static pw_status look_inside(pw_sim *run, const stretch *step, int64_t at_ms)
{
    if (step->form != STRETCH_STIFF) {
        inside(run, step, (double)at_ms * 1e-3 / step->h_s, run->trial.y);
        return pw_run_moment(run, &run->trial);
    }
    stretch part = *step;
    double error = 0.0;
    part.h_s = (double)at_ms * 1e-3;
    return pw_step_stiff(run, &part, stiff_tolerance(tolerance_of(run)), &error);
}

/* The step's end has another truth somewhere: shorten it to the first such millisecond. `trial` is then that point. */
static pw_status locate(pw_sim *run, const stretch *step, int64_t *h_ms)
{
    bracket b;
    point *end = &run->trial;
    double values[MOST_WATCHES];
    b.low_ms = 0;
    b.high_ms = *h_ms;
    (void)changed(run, end, b.high);
    for (int32_t i = 0; i < run->watch_count; i++) {
        b.low[i] = pw_watch_value(run, &run->watches[i], &run->now);
    }
    double y_end[MOST_Y];
    memcpy(y_end, end->y, sizeof y_end);
    int64_t held_ms = *h_ms; /* what `trial` holds */
    for (int32_t round = 0; b.high_ms - b.low_ms > 1; round++) {
        const int64_t at_ms = round % 4 == 3 ? b.low_ms + (b.high_ms - b.low_ms) / 2 : guess(run, &b);
        const pw_status status = look_inside(run, step, at_ms);
        if (status != PW_OK) {
            return status;
        }
        held_ms = at_ms;
        const bool crossed = changed(run, end, values);
        double *side = crossed ? b.high : b.low;
        for (int32_t i = 0; i < run->watch_count; i++) {
            side[i] = values[i];
        }
        if (crossed) {
            b.high_ms = at_ms;
        } else {
            b.low_ms = at_ms;
        }
    }
    pw_status status = PW_OK;
    if (held_ms != b.high_ms && b.high_ms == *h_ms) {
        memcpy(end->y, y_end, sizeof y_end);
        status = pw_run_moment(run, end);
    } else if (held_ms != b.high_ms) {
        status = look_inside(run, step, b.high_ms);
    }
    *h_ms = b.high_ms;
    return status;
}

pw_status pw_integrate_look(pw_sim *run, int64_t at_ms)
{
    return look_inside(run, run->looked_into, at_ms);
}

/* Observers look into the step; what they see leaves nothing behind, so a run is the same to the last bit with and
 * without them. */
static void show_within(pw_sim *run, const stretch *step, int64_t h_ms)
{
    if (run->observers != NULL) {
        run->looked_into = step;
        run->looked_h_s = step->h_s;
        pw_sim_tell_within(run, h_ms);
        run->looked_into = NULL;
    }
}

static bool pumping(const pw_sim *run)
{
    for (int32_t p = 0; p < run->thermals; p++) {
        if (run->drive.speed[p] > 0.0) {
            return true;
        }
    }
    return false;
}

static int64_t whole_ms(double h_s, int64_t most_ms)
{
    const int64_t h_ms = h_s < 1e9 ? (int64_t)(h_s * 1e3) : most_ms;
    return h_ms < 1 ? 1 : h_ms < most_ms ? h_ms : most_ms;
}

/* Steps that stay short although the rest of the stretch is long: something settles quickly (an empty vessel at an open
 * pipe, a main without a vessel) and the explicit method only follows it for its own stability. That is so where the
 * rates at the step's last two looks, both at its end, differ by much more than the contents do: step times rate of
 * settling over STABLE (Hairer and Wanner, Solving Ordinary Differential Equations II, IV.2). A millisecond that is too
 * long for it says the same at once: it would swing over and back for ever. */
static void notice_stiffness(pw_sim *run, int64_t h_ms, int64_t left_ms, double error)
{
    const bool short_step = left_ms > 20 * h_ms;
    double rates = 0.0, contents = 0.0;
    for (int32_t i = 0; i < run->storages; i++) {
        double moved = 0.0;
        for (int32_t s = 0; s < 6; s++) {
            moved += (A[5][s] - (s < 5 ? A[4][s] : 0.0)) * run->k[s][i];
        }
        const double turned = run->k[6][i] - run->k[5][i];
        rates += turned * turned;
        contents += moved * moved;
    }
    run->short_steps += short_step ? 1 : 0;
    const bool tight = short_step && rates > STABLE * STABLE * contents;
    if (run->short_steps > SHORT_STEPS || tight || error > 1.0) {
        run->stiff = true;
        run->stiff_until_ms = run->t_ms + STIFF_MS;
    }
}

/* By how much the next step may be longer, or the same one tried shorter; order: of the error's power. */
static double step_factor(pw_status status, double error, double settings)
{
    return status != PW_OK ? 0.25 : pw_clamp(0.9 * pw_pow(pw_max(error, 1e-9), -1.0 / settings), 0.2, 10.0);
}

/* The longest step of either method, from long to short, whose error is within the tolerance; error: of that step. */
static pw_status try_lengths(pw_sim *run, stretch *step, double tolerance, int64_t left_ms, double *h_s, double *error)
{
    for (;;) {
        const int64_t h_ms = whole_ms(*h_s, left_ms);
        step->h_s = (double)h_ms * 1e-3;
        const pw_status status = run->stiff ? pw_step_stiff(run, step, stiff_tolerance(tolerance), error)
                                            : try_curve(run, step, tolerance, error);
        if (status != PW_OK && h_ms <= 1) { /* thrown to where there are no flows */
            *error = PW_INF;
            return PW_OK;
        }
        *h_s = step->h_s * step_factor(status, *error, run->stiff ? 3.0 : 5.0);
        if (status == PW_OK && (*error <= 1.0 || h_ms <= 1)) {
            return PW_OK;
        }
    }
}

/* How long the next step may be. One that was cut short by the next event says nothing about it. */
static void keep_hint(double *hint_s, double h_s, bool cut_short)
{
    *hint_s = cut_short ? pw_max(*hint_s, h_s) : h_s;
}

/* A millisecond that one method cannot take well (error), or not at all, by the other one. */
static pw_status the_other_way(pw_sim *run, stretch *step, double tolerance, double error)
{
    const point kept = run->trial;
    const stretch_form form = step->form;
    double other = 0.0;
    if (form == STRETCH_STIFF) {
        return try_curve(run, step, tolerance, &other);
    }
    const pw_status status = pw_step_stiff(run, step, stiff_tolerance(tolerance), &other);
    if (status == PW_OK || !(error < PW_INF)) {
        return status;
    }
    run->trial = kept;
    step->form = form;
    return PW_OK;
}

/* A curved step into `trial`, at most left_ms and most_s long. */
static pw_status step_along(pw_sim *run, stretch *step, double tolerance, int64_t left_ms, double most_s)
{
    double *hint_s = run->stiff ? &run->stiff_hint_s : &run->step_hint_s[pumping(run) ? 1 : 0];
    double h_s = pw_min(most_s, *hint_s), error = 0.0;
    const pw_status status = try_lengths(run, step, tolerance, left_ms, &h_s, &error);
    if (status != PW_OK) {
        return status;
    }
    const int64_t h_ms = (int64_t)pw_floor(step->h_s * 1e3 + 0.5);
    keep_hint(hint_s, h_s, h_ms >= left_ms);
    if (!run->stiff) {
        notice_stiffness(run, h_ms, left_ms, error);
    } else if (error < PW_INF) {
        return PW_OK;
    }
    return error > 1.0 ? the_other_way(run, step, tolerance, error) : PW_OK;
}

/* One accepted step, at most to until_ms: a straight line where nothing curves it, cut at the first crossing. */
static pw_status one_step(pw_sim *run, int64_t until_ms, int64_t *h_ms, bool *crossed)
{
    const double tolerance = tolerance_of(run);
    const int64_t left_ms = until_ms - run->t_ms;
    stretch step;
    pw_sim_tell_on_the_way(run, 0.0);
    pw_step_quiet(run, &step);
    pw_step_rates(run, &step, run->now.y, &run->now.moment, run->k[0]);
    const double most_s = pw_min((double)left_ms * 1e-3, longest_s(run));
    step.h_s = (double)whole_ms(most_s, left_ms) * 1e-3;
    if (run->stiff || pumping(run) || !try_line(run, &step)) {
        const pw_status status = step_along(run, &step, tolerance, left_ms, most_s);
        if (status != PW_OK) {
            return status;
        }
    }
    double values[MOST_WATCHES];
    *h_ms = (int64_t)pw_floor(step.h_s * 1e3 + 0.5);
    *crossed = changed(run, &run->trial, values);
    const pw_status status = *crossed ? locate(run, &step, h_ms) : PW_OK;
    if (status == PW_OK) {
        show_within(run, &step, *h_ms);
    }
    return status;
}

/* Every round takes a step, and a stretch may take very many: asked here, a stop is heeded within milliseconds. */
static bool cancel_asked(const pw_sim *run)
{
    const pw_sim_options *options = &run->options;
    return run->segments % 256 == 255 && options->cancelled != NULL &&
           options->cancelled(options->user, (double)run->t_ms / run->advance_until_ms);
}

pw_status pw_integrate(pw_sim *run, int64_t until_ms)
{
    while (run->t_ms < until_ms) {
        int64_t h_ms = 1;
        bool crossed = false;
        const pw_status status = one_step(run, until_ms, &h_ms, &crossed);
        if (status != PW_OK) {
            return status;
        }
        if (cancel_asked(run)) {
            return PW_CANCELLED;
        }
        pw_sim_made(run, h_ms);
        if (crossed) {
            return PW_OK;
        }
        if (run->t_ms < until_ms && pw_sim_stops(run)) {
            run->phase = PHASE_UNDER_WAY;
            return PW_OK;
        }
    }
    return PW_OK;
}
