/* The likelihood of what was read under one hypothesis: over severities, tried and between, and over what people
 * draw. */
#include "base/num.h"
#include "study/diagnose_inside.h"

int32_t pw_reading_uses(const pw_reading *reading)
{
    return reading->kind == PW_READING_COUNTERS ? PW_USES : 1;
}

/* The last severity tried at or below a place that another one lies above; 0 when there is only one. */
int32_t pw_trial_below(const pw_trial *t, double place)
{
    int32_t below = 0;
    while (below + 2 < t->severity_count && t->place[below + 1] <= place) {
        below++;
    }
    return below;
}

/* How far a place lies from one severity tried to the next, 0 .. 1. */
static double part_of(const pw_trial *t, int32_t below, double place)
{
    return t->severity_count > 1 ? (place - t->place[below]) / (t->place[below + 1] - t->place[below]) : 0.0;
}

void pw_trial_mean(const pw_trial *t, int32_t reading, int32_t use, double place, double out[2])
{
    const int32_t below = pw_trial_below(t, place), above = t->severity_count > 1 ? below + 1 : below;
    const double part = part_of(t, below, place);
    for (int32_t k = 0; k < 2; k++) {
        const double a = t->mean[reading][use][below][k], b = t->mean[reading][use][above][k];
        out[k] = a + part * (b - a);
    }
}

double pw_trial_severity(const pw_trial *t, double place)
{
    if (t->severity_count == 1) {
        return t->severity[0];
    }
    const int32_t below = pw_trial_below(t, place);
    const double part = part_of(t, below, place), a = t->severity[below], b = t->severity[below + 1];
    return a > 0.0 && b > 0.0 ? a * pw_exp(part * pw_log(b / a)) : a + part * (b - a);
}

/* Log of the normal density at what was read, and its squared distance in spreads. */
static double log_normal(const pw_diagnosing *w, const pw_trial *t, int32_t reading, const double mean[2],
                         double *misfit)
{
    const pw_reading *read = &w->out->readings[reading];
    const pw_outcome_of_reading seen = pw_reading_outcome(read);
    const double *spread = t->spread[reading];
    double error[2];
    pw_reading_error(read, mean, error);
    const double a = spread[0] + error[0], d0 = seen.y[0] - mean[0];
    if (pw_reading_is_gauge(read->kind)) {
        *misfit = d0 * d0 / a;
        return -0.5 * (*misfit + pw_log(6.283185307179586 * a));
    }
    const double b = spread[1], c = spread[2] + error[1], d1 = seen.y[1] - mean[1];
    const double determinant = a * c - b * b; /* above 0: the errors are added to a sum of squares */
    *misfit = (c * d0 * d0 - 2.0 * b * d0 * d1 + a * d1 * d1) / determinant;
    return -0.5 * (*misfit + pw_log(determinant)) - pw_log(6.283185307179586);
}

double pw_trial_log_sum(double a, double b)
{
    const double top = pw_max(a, b), low = pw_min(a, b);
    return top == -PW_INF ? top : top + pw_log(1.0 + pw_exp(low - top));
}

/* Over the uses: what people draw is the same for all readings. */
static double log_likelihood(const pw_diagnosing *w, const pw_trial *t, double place, double *misfit)
{
    double sum = -PW_INF, best = -PW_INF;
    *misfit = PW_INF;
    for (int32_t use = 0; use < PW_USES; use++) {
        double log_here = pw_log(pw_use_weight[use]), far = 0.0;
        for (int32_t r = 0; r < w->out->reading_count; r++) {
            double mean[2], apart;
            pw_trial_mean(t, r, pw_reading_uses(&w->out->readings[r]) > 1 ? use : 0, place, mean);
            log_here += log_normal(w, t, r, mean, &apart);
            far += apart;
        }
        if (log_here > best) {
            best = log_here;
            *misfit = far;
        }
        sum = pw_trial_log_sum(sum, log_here);
    }
    return sum;
}

void pw_trial_weigh(pw_diagnosing *w, pw_trial *t)
{
    t->fine_count = (int32_t)t->place[t->severity_count - 1] * PW_STEPS_BETWEEN + 1;
    t->log_evidence = -PW_INF;
    for (int32_t i = 0; i < t->fine_count; i++) {
        t->fine_likelihood[i] = log_likelihood(w, t, (double)i / PW_STEPS_BETWEEN, &t->fine_misfit[i]);
        t->log_evidence = pw_trial_log_sum(t->log_evidence, t->fine_likelihood[i]);
    }
    t->log_evidence += pw_log(t->prior / (double)t->fine_count);
}

double pw_trial_quantile(const pw_trial *t, double share)
{
    double sum = -PW_INF, so_far = 0.0;
    for (int32_t i = 0; i < t->fine_count; i++) {
        sum = pw_trial_log_sum(sum, t->fine_likelihood[i]);
    }
    for (int32_t i = 0; i < t->fine_count; i++) {
        so_far += pw_exp(t->fine_likelihood[i] - sum);
        if (so_far >= share) {
            return (double)i / PW_STEPS_BETWEEN;
        }
    }
    return (double)(t->fine_count - 1) / PW_STEPS_BETWEEN;
}

double pw_trial_likeliest(const pw_trial *t)
{
    int32_t best = 0;
    for (int32_t i = 1; i < t->fine_count; i++) {
        best = t->fine_likelihood[i] > t->fine_likelihood[best] ? i : best;
    }
    return (double)best / PW_STEPS_BETWEEN;
}
