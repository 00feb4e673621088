#include "study/fit.h"

#include <string.h>

#include "study/fit_inside.h"
#include "study/log_foretell.h"

/* Features are not independent: for where the least squares lie they count for half, so that what was usual before
 * does not outweigh what was seen; for how surely, for less still. By how often the intervals held the truth on
 * generated sites (tests/logs/fit_truth.c). */
#define INDEPENDENT 0.5
#define SURE        0.12
/* A feature that the log has and the simulation has not, in squares of a spread: as much as one that fits, for a few
 * days hold too few of what a longer log holds enough of (own choice). */
#define MISSED 1.0
/* Refused: the log leaves more than this part of the usual spread (own choice). */
#define NARROWED 0.6
/* One cannot be parted from another (own choice). */
#define TOGETHER 0.8
/* 5 % and 95 % of the normal distribution. */
#define NINETY 1.645
/* Half of a step of differences, in usual spreads: far over what rows and draws do by chance, which would pass for
 * knowledge, near enough to be straight (own choice). */
#define DIFFERENCE 0.5
#define EXPLAINED  4.0
/* A shorter log holds too little of a day (own choice). */
#define LEAST_S 21600.0

enum { DAYS = 3, ROUNDS = 6, RETRIES = 3 };

typedef double vector[PW_FIT_UNKNOWNS];
typedef struct matrix {
    double at[PW_FIT_UNKNOWNS][PW_FIT_UNKNOWNS];
} matrix;

typedef struct fitter {
    pw_arena *arena;
    const pw_site *site;
    const pw_record *log;
    pw_fit *out;
    pw_log_bank_options asks;
    pw_log_rig rig;
    pw_problems *lost; /* of sites that were only tried */
    double leak_step_m3s;
    double parts_seen; /* days of the log, for how far its features are off by chance */
    double y[PW_LOG_FEATURES];
    pw_log_features now; /* foretold at x */
    vector x;
    bool held[PW_FIT_UNKNOWNS]; /* not moved */
    double slope[PW_FIT_UNKNOWNS][PW_LOG_FEATURES];
    int32_t made, planned;
    const pw_fit_options *options;
} fitter;

static bool ask_to_stop(void *user, double done)
{
    const fitter *f = (const fitter *)user;
    (void)done;
    const double part = (double)f->made / (double)f->planned;
    return f->options->cancelled != NULL && f->options->cancelled(f->options->user, pw_min(part, 1.0));
}

bool pw_fit_invert(int32_t count, double a[PW_FIT_UNKNOWNS][PW_FIT_UNKNOWNS],
                   double out[PW_FIT_UNKNOWNS][PW_FIT_UNKNOWNS])
{
    double work[PW_FIT_UNKNOWNS][2 * PW_FIT_UNKNOWNS];
    for (int32_t i = 0; i < count; i++) {
        for (int32_t k = 0; k < count; k++) {
            work[i][k] = a[i][k];
            work[i][count + k] = i == k ? 1.0 : 0.0;
        }
    }
    for (int32_t i = 0; i < count; i++) { /* no exchange of rows: its pivots are positive */
        if (!(work[i][i] > 0.0)) {
            return false;
        }
        const double pivot = 1.0 / work[i][i];
        for (int32_t k = 0; k < 2 * count; k++) {
            work[i][k] *= pivot;
        }
        for (int32_t r = 0; r < count; r++) {
            const double part = work[r][i];
            for (int32_t k = 0; k < 2 * count && r != i; k++) {
                work[r][k] -= part * work[i][k];
            }
        }
    }
    for (int32_t i = 0; i < count; i++) {
        memcpy(out[i], &work[i][count], (size_t)count * sizeof out[i][0]);
    }
    return true;
}

/* ---- one simulation ---- */

static double leak_of(const fitter *f, double x)
{
    return f->leak_step_m3s * (pw_exp(pw_max(x, 0.0)) - 1.0);
}

static double number_at(const pw_fit_value *value, double x)
{
    return pw_clamp(value->param.si * pw_exp(value->power * x), value->param.low, value->param.high);
}

static int32_t changes_at(const fitter *f, const vector x, pw_param_change *out, pw_fault *leak)
{
    int32_t count = 0;
    *leak = (pw_fault){.kind = PW_FAULT_NONE, .where = -1};
    for (int32_t i = 0; i < f->out->unknown_count; i++) {
        const pw_fit_unknown *u = &f->out->unknowns[i];
        if (u->leak && leak_of(f, x[i]) > 0.0) {
            *leak = (pw_fault){.kind = PW_FAULT_SLOW_LEAK, .severity = leak_of(f, x[i]), .where = -1};
        }
        for (int32_t k = u->from; k < u->from + u->count && x[i] != 0.0; k++) {
            const pw_fit_value *value = &f->out->values[k];
            out[count].param = &value->param;
            out[count].si = number_at(value, x[i]);
            count++;
        }
    }
    return count;
}

/* Features with these unknowns; a site that cannot be, or not be simulated, is PW_NO_SOLUTION or the like. */
static pw_status foretell(fitter *f, const vector x, pw_log_features *out)
{
    const size_t mark = pw_arena_mark(f->arena);
    pw_param_change changes[PW_FIT_VALUES];
    pw_fault leak;
    const int32_t count = changes_at(f, x, changes, &leak);
    pw_site *site = NULL;
    pw_plant *plant = NULL;
    memset(f->lost, 0, sizeof *f->lost);
    pw_status status = pw_site_change(f->arena, f->site, changes, count, "site", &site, f->lost);
    status = status == PW_OK ? pw_plant_build(f->arena, site, false, &plant, f->lost) : status;
    status = status == PW_OK ? pw_log_foretell(&f->rig, plant, &leak, out) : status;
    pw_arena_back(f->arena, mark);
    f->made++;
    return status;
}

/* ---- how far it is off ---- */

static double spread_of(const fitter *f, int32_t feature, bool longer)
{
    const pw_log_feature_row *row = pw_log_feature_of((pw_log_feature)feature);
    const double chance = longer ? 0.0 : 1.0 / f->parts_seen;
    /* a time between two rows is known to a row: a uniform error of each end, in the log and in what is foretold */
    const bool timed = row->dimension == PW_DIM_TIME && f->out->seen.known[feature];
    const double rows = timed ? f->rig.step_s / (f->out->seen.value[feature] + row->add) : 0.0;
    return pw_sqrt(row->spread * row->spread + rows * rows / 3.0 +
                   pw_log_rig_variance(&f->rig, feature) * (chance + 1.0 / DAYS));
}

static bool counted(const fitter *f, const pw_log_features *foretold, int32_t feature)
{
    return f->out->seen.known[feature] && foretold->known[feature];
}

static double usual_weight(const fitter *f, int32_t i)
{
    const double usual = f->out->unknowns[i].usual;
    return 1.0 / (usual * usual);
}

static double sum_of(const fitter *f, const vector x, const pw_log_features *foretold)
{
    double sum = 0.0;
    for (int32_t k = 0; k < PW_LOG_FEATURES; k++) {
        if (counted(f, foretold, k)) {
            const double z = (f->y[k] - foretold->value[k]) / spread_of(f, k, false);
            sum += INDEPENDENT * 5.0 * pw_log(1.0 + 0.25 * z * z);
        } else if (f->out->seen.known[k]) {
            sum += INDEPENDENT * MISSED;
        }
    }
    for (int32_t i = 0; i < f->out->unknown_count; i++) {
        sum += usual_weight(f, i) * x[i] * x[i];
    }
    return sum;
}

static double misfit(const fitter *f, const pw_log_features *foretold)
{
    double sum = 0.0, n = 0.0;
    for (int32_t k = 0; k < PW_LOG_FEATURES; k++) {
        if (counted(f, foretold, k)) {
            const double z = (f->y[k] - foretold->value[k]) / spread_of(f, k, false);
            sum += pw_min(z * z, 100.0);
            n += 1.0;
        }
    }
    return n > 0.0 ? sum / n : 0.0;
}

/* Weight of a feature as the steps see it: that of Student's density, falling with its distance. */
static double weight_of(const fitter *f, int32_t k)
{
    const double spread = spread_of(f, k, false), z = (f->y[k] - f->now.value[k]) / spread;
    return 5.0 / (4.0 + z * z) / (spread * spread);
}

/* What is foretold on one side of x; nothing where the site cannot be. */
static pw_status beside(fitter *f, int32_t unknown, double step, pw_log_features *out, double *at)
{
    vector x;
    memcpy(x, f->x, sizeof x);
    x[unknown] += step;
    x[unknown] = f->out->unknowns[unknown].leak ? pw_max(x[unknown], 0.0) : x[unknown];
    *at = x[unknown];
    const pw_status status = foretell(f, x, out);
    if (status != PW_OK) {
        memset(out, 0, sizeof *out);
    }
    return status == PW_CANCELLED || status == PW_MEMORY ? status : PW_OK;
}

/* Straight from one side to the other; where one is missing, from x. */
static pw_status find_slopes(fitter *f)
{
    for (int32_t i = 0; i < f->out->unknown_count; i++) {
        pw_log_features below, above;
        double low, high;
        const double step = DIFFERENCE * f->out->unknowns[i].usual;
        pw_status status = beside(f, i, -step, &below, &low);
        status = status == PW_OK ? beside(f, i, step, &above, &high) : status;
        if (status != PW_OK) {
            return status;
        }
        for (int32_t k = 0; k < PW_LOG_FEATURES; k++) {
            const double a = below.known[k] ? below.value[k] : f->now.value[k], from = below.known[k] ? low : f->x[i];
            const double b = above.known[k] ? above.value[k] : f->now.value[k], to = above.known[k] ? high : f->x[i];
            f->slope[i][k] = f->now.known[k] && to > from ? (b - a) / (to - from) : 0.0;
        }
    }
    return PW_OK;
}

/* The curvature of half the sum, with so much of the data counted. */
static void curvature(const fitter *f, double part, matrix *out)
{
    const int32_t n = f->out->unknown_count;
    memset(out, 0, sizeof *out);
    for (int32_t i = 0; i < n; i++) {
        out->at[i][i] = usual_weight(f, i);
        for (int32_t j = 0; j < n; j++) {
            for (int32_t k = 0; k < PW_LOG_FEATURES; k++) {
                out->at[i][j] +=
                    counted(f, &f->now, k) ? part * weight_of(f, k) * f->slope[i][k] * f->slope[j][k] : 0.0;
            }
        }
    }
}

/* The step from x, with so much of its usual weight added against overshooting; what is held stays. */
static bool step_of(const fitter *f, double damping, vector out)
{
    const int32_t n = f->out->unknown_count;
    matrix a, inverse;
    vector down;
    curvature(f, INDEPENDENT, &a);
    for (int32_t i = 0; i < n; i++) {
        down[i] = -usual_weight(f, i) * f->x[i];
        for (int32_t k = 0; k < PW_LOG_FEATURES; k++) {
            down[i] += counted(f, &f->now, k)
                           ? INDEPENDENT * weight_of(f, k) * f->slope[i][k] * (f->y[k] - f->now.value[k])
                           : 0.0;
        }
        a.at[i][i] += damping * usual_weight(f, i);
    }
    for (int32_t i = 0; i < n; i++) {
        for (int32_t j = 0; j < n && f->held[i]; j++) {
            a.at[i][j] = a.at[j][i] = i == j ? 1.0 : 0.0;
        }
        down[i] = f->held[i] ? 0.0 : down[i];
    }
    if (!pw_fit_invert(n, a.at, inverse.at)) {
        return false;
    }
    for (int32_t i = 0; i < n; i++) {
        out[i] = 0.0;
        for (int32_t j = 0; j < n; j++) {
            out[i] += inverse.at[i][j] * down[j];
        }
        out[i] = pw_clamp(out[i], -f->out->unknowns[i].usual, f->out->unknowns[i].usual);
    }
    return true;
}

/* ---- least squares ---- */

/* One step downhill; *moved: how far, in usual spreads, 0: nowhere is better. */
static pw_status go_down(fitter *f, double *damping, double *moved)
{
    const double from = sum_of(f, f->x, &f->now);
    *moved = 0.0;
    for (int32_t attempt = 0; attempt < RETRIES; attempt++) {
        pw_log_features there;
        vector step, x;
        double far = 0.0;
        if (!step_of(f, *damping, step)) {
            return PW_OK;
        }
        memcpy(x, f->x, sizeof x);
        for (int32_t i = 0; i < f->out->unknown_count; i++) {
            x[i] += step[i];
            x[i] = f->out->unknowns[i].leak ? pw_max(x[i], 0.0) : x[i];
            far = pw_max(far, pw_abs(x[i] - f->x[i]) / f->out->unknowns[i].usual);
        }
        const pw_status status = foretell(f, x, &there);
        if (status == PW_CANCELLED || status == PW_MEMORY) {
            return status;
        }
        if (status == PW_OK && sum_of(f, x, &there) < from) {
            memcpy(f->x, x, sizeof x);
            f->now = there;
            *damping *= 0.25;
            *moved = far;
            return PW_OK;
        }
        *damping = pw_max(4.0 * *damping, 1.0);
    }
    return PW_OK;
}

static pw_status descend(fitter *f)
{
    double damping = 0.1, moved = 1.0;
    pw_status status = PW_OK;
    for (int32_t round = 0; round < ROUNDS && moved > 0.02 && status == PW_OK; round++) {
        status = find_slopes(f);
        status = status == PW_OK ? go_down(f, &damping, &moved) : status;
    }
    return status;
}

/* ---- what is told, and what would tell the rest ---- */

/* What one more signal, or a longer log, would leave of an unknown's spread. */
static double left_by(const fitter *f, int32_t unknown, pw_log_signal more, bool longer)
{
    const int32_t n = f->out->unknown_count;
    bool has[PW_LOG_SIGNALS];
    matrix a, inverse;
    memcpy(has, f->log->has, sizeof has);
    if (!longer) {
        has[more] = true;
    }
    memset(&a, 0, sizeof a);
    for (int32_t k = 0; k < PW_LOG_FEATURES; k++) {
        const pw_log_feature feature = (pw_log_feature)k;
        const bool old = counted(f, &f->now, k);
        const bool gained =
            f->now.known[k] && pw_log_feature_able(has, feature) && !pw_log_feature_able(f->log->has, feature);
        const double spread = spread_of(f, k, longer), weight = SURE * 1.25 / (spread * spread);
        for (int32_t i = 0; i < n && (old || gained); i++) {
            for (int32_t j = 0; j < n; j++) {
                a.at[i][j] += weight * f->slope[i][k] * f->slope[j][k];
            }
        }
    }
    for (int32_t i = 0; i < n; i++) {
        a.at[i][i] += usual_weight(f, i);
    }
    return pw_fit_invert(n, a.at, inverse.at) ? pw_sqrt(inverse.at[unknown][unknown]) : PW_INF;
}

static void find_next(const fitter *f, int32_t unknown)
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

static pw_estimate factor_of(const fitter *f, const pw_fit_unknown *u)
{
    const double low = u->x - NINETY * u->deviation, high = u->x + NINETY * u->deviation;
    if (u->leak) {
        return (pw_estimate){leak_of(f, low), leak_of(f, u->x), leak_of(f, high)};
    }
    return (pw_estimate){pw_exp(low), pw_exp(u->x), pw_exp(high)};
}

/* Runs of so few rows are known too roughly to tell a pump or a vessel by them (own choice). */
#define ROWS_OF_RUN 3.0
static bool too_coarse(const fitter *f)
{
    const pw_log_features *seen = &f->out->seen;
    return seen->known[PW_FOUND_RUN_USUAL] && seen->value[PW_FOUND_RUN_USUAL] < ROWS_OF_RUN * f->log->step_s;
}

/* Spreads after the log, by the curvature; more than the features' own where they fit badly. */
static void judge_unknowns(fitter *f)
{
    matrix a, inverse;
    const double worse = pw_max(misfit(f, &f->now), 1.0);
    curvature(f, SURE, &a);
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
static pw_status settle_refused(fitter *f)
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
    pw_status status = foretell(f, f->x, &f->now);
    if (status == PW_OK) {
        status = go_down(f, &damping, &moved);
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

static void put_values(fitter *f)
{
    for (int32_t i = 0; i < f->out->unknown_count; i++) {
        pw_fit_unknown *u = &f->out->unknowns[i];
        u->x = u->off ? f->x[i] : u->x;
        u->factor = factor_of(f, u);
        for (int32_t k = u->from; k < u->from + u->count && u->off; k++) {
            const pw_fit_value *value = &f->out->values[k];
            f->out->values[k].is = pw_clamp(to_digits(number_at(value, u->x)), value->param.low, value->param.high);
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

static pw_status begin(fitter *f, pw_problems *problems)
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
    pw_status status = pw_log_rig_make(&f->rig, f->arena, &f->asks, DAYS, f->lost);
    status = status == PW_OK ? pw_plant_build(f->arena, f->site, false, &plant, problems) : status;
    if (status != PW_OK) {
        return status;
    }
    f->rig.stop = ask_to_stop;
    f->rig.user = f;
    f->leak_step_m3s = PW_FIT_LEAK_STEP * plant->full_m3s;
    f->parts_seen = pw_max(f->asks.length_s / f->rig.part_s, 1.0);
    f->planned = 1 + ROUNDS * (2 * out->unknown_count + 1);
    for (int32_t k = 0; k < PW_LOG_FEATURES; k++) {
        f->y[k] = out->seen.known[k] ? pw_log_compared((pw_log_feature)k, out->seen.value[k]) : 0.0;
    }
    return PW_OK;
}

static pw_status work(fitter *f)
{
    pw_fit *out = f->out;
    pw_log_features before;
    pw_status status = foretell(f, f->x, &before);
    f->now = before;
    status = status == PW_OK ? descend(f) : status;
    if (status != PW_OK) {
        return status;
    }
    judge_unknowns(f);
    status = settle_refused(f);
    put_values(f);
    out->misfit_before = misfit(f, &before);
    out->misfit_after = misfit(f, &f->now);
    out->explained = out->misfit_after < EXPLAINED;
    for (int32_t k = 0; k < PW_LOG_FEATURES; k++) {
        out->spread[k] = spread_of(f, k, false);
    }
    uncompare(&before, &out->before);
    uncompare(&f->now, &out->after);
    out->simulated_ms = f->rig.simulated_ms;
    return status;
}

pw_status pw_fit_log(pw_arena *arena, const pw_site *site, const pw_record *log, const pw_fit_options *options,
                     pw_fit **out, pw_problems *problems)
{
    fitter *f = PW_NEW(arena, 1, fitter);
    *out = PW_NEW(arena, 1, pw_fit);
    if (f == NULL || *out == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", "", "", "");
    }
    *f = (fitter){.arena = arena, .site = site, .log = log, .options = options, .out = *out};
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
