/* How far foretold features lie from the log's, and the way downhill from the sheet to the unknowns that fit best. */
#include <string.h>

#include "base/num.h"
#include "study/fit_inside.h"

/* Features are not independent: where the least squares lie they count for half, so that what was usual before does not
 * outweigh what was seen. By how often the intervals held the truth on generated sites (tests/logs/fit_truth.c). */
#define INDEPENDENT 0.5
/* A feature that the log has and the simulation has not, in squares of a spread: as much as one that fits, for a few
 * days hold too few of what a longer log holds enough of (own choice). */
#define MISSED 1.0
/* Half of a step of differences, in usual spreads: far over what rows and draws do by chance, which would pass for
 * knowledge, near enough to be straight (own choice). */
#define DIFFERENCE 0.5

enum { RETRIES = 3 };

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

double fit_leak_of(const fit_work *f, double x)
{
    return f->leak_step_m3s * (pw_exp(pw_max(x, 0.0)) - 1.0);
}

double fit_number_at(const pw_fit_value *value, double x)
{
    return pw_clamp(value->param.si * pw_exp(value->power * x), value->param.low, value->param.high);
}

static int32_t changes_at(const fit_work *f, const fit_vector x, pw_param_change *out, pw_fault *leak)
{
    int32_t count = 0;
    *leak = (pw_fault){.kind = PW_FAULT_NONE, .where = -1};
    for (int32_t i = 0; i < f->out->unknown_count; i++) {
        const pw_fit_unknown *u = &f->out->unknowns[i];
        if (u->leak && fit_leak_of(f, x[i]) > 0.0) {
            *leak = (pw_fault){.kind = PW_FAULT_SLOW_LEAK, .severity = fit_leak_of(f, x[i]), .where = -1};
        }
        for (int32_t k = u->from; k < u->from + u->count && x[i] != 0.0; k++) {
            const pw_fit_value *value = &f->out->values[k];
            out[count].param = &value->param;
            out[count].si = fit_number_at(value, x[i]);
            count++;
        }
    }
    return count;
}

pw_status fit_foretell(fit_work *f, const fit_vector x, pw_log_features *out)
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

double fit_spread_of(const fit_work *f, int32_t feature, bool longer)
{
    const pw_log_feature_row *row = pw_log_feature_of((pw_log_feature)feature);
    const double chance = longer ? 0.0 : 1.0 / f->parts_seen;
    /* a time between two rows is known to a row: a uniform error of each end, in the log and in what is foretold */
    const bool timed = row->dimension == PW_DIM_TIME && f->out->seen.known[feature];
    const double rows = timed ? f->rig.step_s / (f->out->seen.value[feature] + row->add) : 0.0;
    return pw_sqrt(row->spread * row->spread + rows * rows / 3.0 +
                   pw_log_rig_variance(&f->rig, feature) * (chance + 1.0 / FIT_DAYS));
}

bool fit_counted(const fit_work *f, const pw_log_features *foretold, int32_t feature)
{
    return f->out->seen.known[feature] && foretold->known[feature];
}

double fit_usual_weight(const fit_work *f, int32_t i)
{
    const double usual = f->out->unknowns[i].usual;
    return 1.0 / (usual * usual);
}

static double sum_of(const fit_work *f, const fit_vector x, const pw_log_features *foretold)
{
    double sum = 0.0;
    for (int32_t k = 0; k < PW_LOG_FEATURES; k++) {
        if (fit_counted(f, foretold, k)) {
            const double z = (f->y[k] - foretold->value[k]) / fit_spread_of(f, k, false);
            sum += INDEPENDENT * 5.0 * pw_log(1.0 + 0.25 * z * z);
        } else if (f->out->seen.known[k]) {
            sum += INDEPENDENT * MISSED;
        }
    }
    for (int32_t i = 0; i < f->out->unknown_count; i++) {
        sum += fit_usual_weight(f, i) * x[i] * x[i];
    }
    return sum;
}

double fit_misfit(const fit_work *f, const pw_log_features *foretold)
{
    double sum = 0.0, n = 0.0;
    for (int32_t k = 0; k < PW_LOG_FEATURES; k++) {
        if (fit_counted(f, foretold, k)) {
            const double z = (f->y[k] - foretold->value[k]) / fit_spread_of(f, k, false);
            sum += pw_min(z * z, 100.0);
            n += 1.0;
        }
    }
    return n > 0.0 ? sum / n : 0.0;
}

/* Weight of a feature as the steps see it: that of Student's density, falling with its distance. */
static double weight_of(const fit_work *f, int32_t k)
{
    const double spread = fit_spread_of(f, k, false), z = (f->y[k] - f->now.value[k]) / spread;
    return 5.0 / (4.0 + z * z) / (spread * spread);
}

/* What is foretold on one side of x; nothing where the site cannot be. */
static pw_status beside(fit_work *f, int32_t unknown, double step, pw_log_features *out, double *at)
{
    fit_vector x;
    memcpy(x, f->x, sizeof x);
    x[unknown] += step;
    x[unknown] = f->out->unknowns[unknown].leak ? pw_max(x[unknown], 0.0) : x[unknown];
    *at = x[unknown];
    const pw_status status = fit_foretell(f, x, out);
    if (status != PW_OK) {
        memset(out, 0, sizeof *out);
    }
    return status == PW_CANCELLED || status == PW_MEMORY ? status : PW_OK;
}

/* Straight from one side to the other; where one is missing, from x. */
static pw_status find_slopes(fit_work *f)
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

void fit_curvature(const fit_work *f, double part, fit_matrix *out)
{
    const int32_t n = f->out->unknown_count;
    memset(out, 0, sizeof *out);
    for (int32_t i = 0; i < n; i++) {
        out->at[i][i] = fit_usual_weight(f, i);
        for (int32_t j = 0; j < n; j++) {
            for (int32_t k = 0; k < PW_LOG_FEATURES; k++) {
                out->at[i][j] +=
                    fit_counted(f, &f->now, k) ? part * weight_of(f, k) * f->slope[i][k] * f->slope[j][k] : 0.0;
            }
        }
    }
}

/* The step from x, with so much of its usual weight added against overshooting; what is held stays. */
static bool step_of(const fit_work *f, double damping, fit_vector out)
{
    const int32_t n = f->out->unknown_count;
    fit_matrix a, inverse;
    fit_vector down;
    fit_curvature(f, INDEPENDENT, &a);
    for (int32_t i = 0; i < n; i++) {
        down[i] = -fit_usual_weight(f, i) * f->x[i];
        for (int32_t k = 0; k < PW_LOG_FEATURES; k++) {
            down[i] += fit_counted(f, &f->now, k)
                           ? INDEPENDENT * weight_of(f, k) * f->slope[i][k] * (f->y[k] - f->now.value[k])
                           : 0.0;
        }
        a.at[i][i] += damping * fit_usual_weight(f, i);
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

pw_status fit_go_down(fit_work *f, double *damping, double *moved)
{
    const double from = sum_of(f, f->x, &f->now);
    *moved = 0.0;
    for (int32_t attempt = 0; attempt < RETRIES; attempt++) {
        pw_log_features there;
        fit_vector step, x;
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
        const pw_status status = fit_foretell(f, x, &there);
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

pw_status fit_descend(fit_work *f)
{
    double damping = 0.1, moved = 1.0;
    pw_status status = PW_OK;
    for (int32_t round = 0; round < FIT_ROUNDS && moved > 0.02 && status == PW_OK; round++) {
        status = find_slopes(f);
        status = status == PW_OK ? fit_go_down(f, &damping, &moved) : status;
    }
    return status;
}
