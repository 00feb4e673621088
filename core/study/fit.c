/* A fit from its log to what is told of each unknown: found, refused, and what would tell the rest. */
#include "study/fit.h"

#include <string.h>

#include "base/num.h"
#include "study/fit_inside.h"

/* How surely the features tell together: for less still than where the least squares lie (fit_down.c), by how often the
 * intervals held the truth on generated sites (tests/logs/fit_truth.c). */
#define SURE 0.12
/* Refused: the log leaves more than this part of the usual spread (own choice). */
#define NARROWED 0.6
/* One cannot be parted from another (own choice). */
#define TOGETHER 0.8
/* 5 % and 95 % of the normal distribution. */
#define NINETY    1.645
#define EXPLAINED 4.0
/* A shorter log holds too little of a day (own choice). */
#define LEAST_S 21600.0

static bool ask_to_stop(void *user, double done)
{
    const fit_work *f = (const fit_work *)user;
    (void)done;
    const double part = (double)f->made / (double)f->planned;
    return f->options->cancelled != NULL && f->options->cancelled(f->options->user, pw_min(part, 1.0));
}

/* ---- what is told, and what would tell the rest ---- */

/* What one more signal, or a longer log, would leave of an unknown's spread. */
static double left_by(const fit_work *f, int32_t unknown, pw_log_signal more, bool longer)
{
    const int32_t n = f->out->unknown_count;
    bool has[PW_LOG_SIGNALS];
    fit_matrix a, inverse;
    memcpy(has, f->log->has, sizeof has);
    if (!longer) {
        has[more] = true;
    }
    memset(&a, 0, sizeof a);
    for (int32_t k = 0; k < PW_LOG_FEATURES; k++) {
        const pw_log_feature feature = (pw_log_feature)k;
        const bool old = fit_counted(f, &f->now, k);
        const bool gained =
            f->now.known[k] && pw_log_feature_able(has, feature) && !pw_log_feature_able(f->log->has, feature);
        const double spread = fit_spread_of(f, k, longer), weight = SURE * 1.25 / (spread * spread);
        for (int32_t i = 0; i < n && (old || gained); i++) {
            for (int32_t j = 0; j < n; j++) {
                a.at[i][j] += weight * f->slope[i][k] * f->slope[j][k];
            }
        }
    }
    for (int32_t i = 0; i < n; i++) {
        a.at[i][i] += fit_usual_weight(f, i);
    }
    return pw_fit_invert(n, a.at, inverse.at) ? pw_sqrt(inverse.at[unknown][unknown]) : PW_INF;
}

static void find_next(const fit_work *f, int32_t unknown)
{
    static const pw_log_signal signals[] = {PW_LOG_PRESSURE, PW_LOG_FLOW, PW_LOG_POWER, PW_LOG_CURRENT, PW_LOG_LEVEL};
    pw_fit_unknown *u = &f->out->unknowns[unknown];
    double best = NARROWED * u->usual;
    for (size_t s = 0; s < sizeof signals / sizeof signals[0]; s++) {
        const double left = f->log->has[signals[s]] ? PW_INF : left_by(f, unknown, signals[s], false);
        if (left < best) {
            best = left;
            u->measure = true;
            u->signal = signals[s];
        }
    }
    u->longer = !u->measure && left_by(f, unknown, PW_LOG_PRESSURE, true) <= NARROWED * u->usual;
}

static pw_estimate factor_of(const fit_work *f, const pw_fit_unknown *u)
{
    const double low = u->x - NINETY * u->deviation, high = u->x + NINETY * u->deviation;
    if (u->leak) {
        return (pw_estimate){fit_leak_of(f, low), fit_leak_of(f, u->x), fit_leak_of(f, high)};
    }
    return (pw_estimate){pw_exp(low), pw_exp(u->x), pw_exp(high)};
}

/* Runs of so few rows are known too roughly to tell a pump or a vessel by them (own choice). */
#define ROWS_OF_RUN 3.0
static bool too_coarse(const fit_work *f)
{
    const pw_log_features *seen = &f->out->seen;
    return seen->known[PW_FOUND_RUN_USUAL] && seen->value[PW_FOUND_RUN_USUAL] < ROWS_OF_RUN * f->log->step_s;
}

/* Spreads after the log, by the curvature; more than the features' own where they fit badly. */
static void judge_unknowns(fit_work *f)
{
    fit_matrix a, inverse;
    const double worse = pw_max(fit_misfit(f, &f->now), 1.0);
    fit_curvature(f, SURE, &a);
    if (!pw_fit_invert(f->out->unknown_count, a.at, inverse.at)) {
        return;
    }
    for (int32_t i = 0; i < f->out->unknown_count; i++) {
        pw_fit_unknown *u = &f->out->unknowns[i];
        double most = TOGETHER;
        u->x = f->x[i];
        u->deviation = pw_min(pw_sqrt(worse * inverse.at[i][i]), u->usual);
        u->finer = !u->leak && too_coarse(f);
        u->told = !u->finer && u->deviation <= NARROWED * u->usual;
        u->off = u->told && pw_abs(u->x) > NINETY * u->deviation;
        u->beside = -1;
        for (int32_t j = 0; j < f->out->unknown_count; j++) {
            const double together =
                pw_abs(inverse.at[i][j]) / pw_sqrt(pw_max(inverse.at[i][i] * inverse.at[j][j], 1e-300));
            if (j != i && together > most) {
                most = together;
                u->beside = j;
            }
        }
        if (!u->told && !u->finer) {
            find_next(f, i);
        }
    }
}

/* The refused go back to what the sheet says, and so does what the sheet says well enough; the others follow: what is
 * written fits by itself. */
static pw_status settle_refused(fit_work *f)
{
    double damping = 0.1, moved = 0.0;
    bool any = false;
    for (int32_t i = 0; i < f->out->unknown_count; i++) {
        f->held[i] = !f->out->unknowns[i].off;
        any = any || (f->held[i] && f->x[i] != 0.0);
        f->x[i] = f->held[i] ? 0.0 : f->x[i];
    }
    if (!any) {
        return PW_OK;
    }
    pw_status status = fit_foretell(f, f->x, &f->now);
    if (status == PW_OK) {
        status = fit_go_down(f, &damping, &moved);
    }
    return status;
}

/* To the digits that a fit deserves: what is written is what was fitted. */
static double to_digits(double value)
{
    double unit = 1.0;
    while (value < 1000.0 * unit) {
        unit *= 0.1;
    }
    while (value >= 10000.0 * unit) {
        unit *= 10.0;
    }
    return pw_floor(value / unit + 0.5) * unit;
}

static void put_values(fit_work *f)
{
    for (int32_t i = 0; i < f->out->unknown_count; i++) {
        pw_fit_unknown *u = &f->out->unknowns[i];
        u->x = u->off ? f->x[i] : u->x;
        u->factor = factor_of(f, u);
        for (int32_t k = u->from; k < u->from + u->count && u->off; k++) {
            const pw_fit_value *value = &f->out->values[k];
            f->out->values[k].is = pw_clamp(to_digits(fit_number_at(value, u->x)), value->param.low, value->param.high);
        }
    }
}

static void uncompare(const pw_log_features *from, pw_log_features *out)
{
    *out = *from;
    for (int32_t k = 0; k < PW_LOG_FEATURES; k++) {
        out->value[k] = from->known[k] ? pw_log_uncompared((pw_log_feature)k, from->value[k]) : 0.0;
    }
}

/* ---- the whole ---- */

static pw_status begin(fit_work *f, pw_problems *problems)
{
    pw_fit *out = f->out;
    double apart;
    pw_plant *plant = NULL;
    const int32_t from = pw_log_present(f->log, &apart);
    if (f->log->last_s - f->log->first_s < LEAST_S) {
        return pw_problem_tell(problems, PW_RANGE, "log",
                               pw_fact_of("base.value", pw_quantity(PW_DIM_TIME, f->log->last_s - f->log->first_s)),
                               pw_fact_of("fit.least-log", pw_quantity(PW_DIM_TIME, LEAST_S)), pw_no_fact());
    }
    pw_log_features_of(f->log, from, f->log->block_count, &out->seen);
    out->seen.known[PW_FOUND_SWING] = out->seen.known[PW_FOUND_SHAKE] = false; /* no unknown moves them */
    out->since_s = pw_log_block_begin_s(f->log, from);
    f->asks = pw_log_bank_asks(f->log, from, f->options->seed);
    pw_status status = pw_log_rig_make(&f->rig, f->arena, &f->asks, FIT_DAYS, f->lost);
    status = status == PW_OK ? pw_plant_build(f->arena, f->site, false, &plant, problems) : status;
    if (status != PW_OK) {
        return status;
    }
    f->rig.stop = ask_to_stop;
    f->rig.user = f;
    f->leak_step_m3s = PW_FIT_LEAK_STEP * plant->full_m3s;
    f->parts_seen = pw_max(f->asks.length_s / f->rig.part_s, 1.0);
    f->planned = 1 + FIT_ROUNDS * (2 * out->unknown_count + 1);
    for (int32_t k = 0; k < PW_LOG_FEATURES; k++) {
        f->y[k] = out->seen.known[k] ? pw_log_compared((pw_log_feature)k, out->seen.value[k]) : 0.0;
    }
    return PW_OK;
}

static pw_status work(fit_work *f)
{
    pw_fit *out = f->out;
    pw_log_features before;
    pw_status status = fit_foretell(f, f->x, &before);
    f->now = before;
    status = status == PW_OK ? fit_descend(f) : status;
    if (status != PW_OK) {
        return status;
    }
    judge_unknowns(f);
    status = settle_refused(f);
    put_values(f);
    out->misfit_before = fit_misfit(f, &before);
    out->misfit_after = fit_misfit(f, &f->now);
    out->explained = out->misfit_after < EXPLAINED;
    for (int32_t k = 0; k < PW_LOG_FEATURES; k++) {
        out->spread[k] = fit_spread_of(f, k, false);
    }
    uncompare(&before, &out->before);
    uncompare(&f->now, &out->after);
    out->simulated_ms = f->rig.simulated_ms;
    return status;
}

pw_status pw_fit_log(pw_arena *arena, const pw_site *site, const pw_record *log, const pw_fit_options *options,
                     pw_fit **out, pw_problems *problems)
{
    fit_work *f = PW_NEW(arena, 1, fit_work);
    *out = PW_NEW(arena, 1, pw_fit);
    if (f == NULL || *out == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", "", "", "");
    }
    *f = (fit_work){.arena = arena, .site = site, .log = log, .options = options, .out = *out};
    f->lost = PW_NEW(arena, 1, pw_problems);
    if (f->lost == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", "", "", "");
    }
    pw_status status = pw_fit_list(arena, site, options, *out, problems);
    status = status == PW_OK ? begin(f, problems) : status;
    if (status != PW_OK) {
        return status;
    }
    status = work(f);
    if (status != PW_OK && status != PW_CANCELLED) { /* the sheet itself could not be simulated */
        *problems = *f->lost;
    }
    return status;
}
