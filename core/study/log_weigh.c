/* Features seen against features foretold. */
#include <string.h>

#include "study/diagnose_inside.h"
#include "study/log_judge_inside.h"

/* Fitted on generated logs of other seeds and sites than those of the test (tests/logs/log_truth.c, "fit"). */
#define TEMPERATURE 0.15
/* A hypothesis foretells what is not seen at all: so often, it would have been (own choices). */
#define MISSED       3.0
#define MISSED_MOST  36.0
#define MISSED_COUNT 10
/* It says nothing of what is seen: then any value is as likely as another, over so many times the smallest of them (own
 * choices): of pressures, whose scale a site is built for, and of all else. Peak of Student's density: 3/8. */
#define ANY_PRESSURE 1.4
#define ANY_OTHER    4.0
#define PEAK         0.375
/* In mean squares of the spread: the features lie within what the best of it foretells (own choice). */
#define EXPLAINED    4.0
#define TWIN_SPREADS 0.7

double pw_log_spread(const pw_log_bank *bank, int32_t f)
{
    const double own = pw_log_feature_of((pw_log_feature)f)->spread;
    return pw_sqrt(own * own + bank->variance[f]);
}

bool pw_log_foretold(const pw_log_supposed *s, int32_t fine, int32_t use, int32_t f, double *out)
{
    const int32_t below = fine / PW_LOG_STEPS, above = below + 1 < s->severity_count ? below + 1 : below;
    const double part = (double)(fine % PW_LOG_STEPS) / PW_LOG_STEPS;
    const pw_log_features *a = &s->cell[below][use].mean, *b = &s->cell[above][use].mean;
    if (a->known[f] && b->known[f]) {
        *out = a->value[f] + part * (b->value[f] - a->value[f]);
        return true;
    }
    const pw_log_features *near = part < 0.5 ? a : b;
    *out = near->value[f];
    return near->known[f];
}

int32_t pw_log_fine_count(const pw_log_supposed *s)
{
    return (s->severity_count - 1) * PW_LOG_STEPS + 1;
}

/* Log of Student's density with four degrees of freedom, less what is the same for all. */
static double log_t4(double z)
{
    return -2.5 * pw_log(1.0 + 0.25 * z * z);
}

double pw_log_of_feature(const pw_log_bank *bank, const pw_log_features *seen, const pw_log_supposed *s, int32_t fine,
                         int32_t use, int32_t f, double *square)
{
    double foretold;
    const bool known = pw_log_foretold(s, fine, use, f, &foretold);
    *square = 0.0;
    if (!seen->able[f] || (!seen->known[f] && !known)) {
        return 0.0;
    }
    if (!known) {
        const bool pressure = pw_log_feature_of((pw_log_feature)f)->dimension == PW_DIM_PRESSURE;
        return pw_log(pw_min(pw_log_spread(bank, f) / (PEAK * (pressure ? ANY_PRESSURE : ANY_OTHER)), 1.0));
    }
    if (!seen->known[f]) {
        return s->cell[fine / PW_LOG_STEPS][use].mean.count[f] >= MISSED_COUNT ? -MISSED : 0.0;
    }
    const double z = (pw_log_compared((pw_log_feature)f, seen->value[f]) - foretold) / pw_log_spread(bank, f);
    *square = z * z;
    return log_t4(z);
}

static double log_cell(const pw_log_bank *bank, const pw_log_features *seen, const pw_log_supposed *s, int32_t fine,
                       int32_t use, double *misfit)
{
    double sum = 0.0, missed = 0.0, squares = 0.0, n = 0.0;
    for (int32_t f = 0; f < PW_LOG_FEATURES; f++) {
        double square;
        const double one = pw_log_of_feature(bank, seen, s, fine, use, f, &square);
        if (seen->known[f]) {
            sum += one;
        } else {
            missed -= one;
        }
        if (seen->able[f] && seen->known[f]) {
            squares += pw_min(square, 100.0);
            n += 1.0;
        }
    }
    *misfit = n > 0.0 ? squares / n : 0.0;
    return sum - pw_min(missed, MISSED_MOST);
}

static double severity_at(const pw_log_supposed *s, int32_t fine)
{
    const int32_t below = fine / PW_LOG_STEPS, above = below + 1 < s->severity_count ? below + 1 : below;
    const double part = (double)(fine % PW_LOG_STEPS) / PW_LOG_STEPS, a = s->severity[below], b = s->severity[above];
    return a > 0.0 && b > 0.0 ? a * pw_exp(part * pw_log(b / a)) : a + part * (b - a);
}

/* Severity between which 90 % lie, and the likeliest; returns the fine place of that. */
static void estimate(const pw_log_supposed *s, const double *weight, int32_t count, int32_t best, pw_estimate *out)
{
    double sum = 0.0, so_far = 0.0;
    int32_t low = -1, high = -1;
    for (int32_t i = 0; i < count; i++) {
        sum += weight[i];
    }
    for (int32_t i = 0; i < count; i++) {
        so_far += weight[i];
        low = low < 0 && so_far >= 0.05 * sum ? i : low;
        high = high < 0 && so_far >= 0.95 * sum ? i : high;
    }
    const double a = severity_at(s, low < 0 ? 0 : low), b = severity_at(s, high < 0 ? count - 1 : high);
    out->best = severity_at(s, best);
    out->low = pw_min(pw_min(a, b), out->best);
    out->high = pw_max(pw_max(a, b), out->best);
}

/* Log of the mean over severity and use. */
static double weigh_one(const pw_log_bank *bank, const pw_log_features *seen, const pw_log_supposed *s,
                        double temperature, pw_log_place *place, pw_log_hypothesis *out)
{
    double log_of[PW_LOG_FINE], weight[PW_LOG_FINE], top = -PW_INF;
    const int32_t count = pw_log_fine_count(s);
    double best = -PW_INF;
    out->misfit = PW_INF;
    for (int32_t i = 0; i < count; i++) {
        double sum = 0.0, log_use[PW_LOG_USES], most = -PW_INF;
        for (int32_t use = 0; use < PW_LOG_USES; use++) {
            double misfit;
            log_use[use] = log_cell(bank, seen, s, i, use, &misfit);
            out->misfit = pw_min(out->misfit, misfit);
            most = pw_max(most, log_use[use]);
            if (log_use[use] > best) {
                best = log_use[use];
                *place = (pw_log_place){i, use};
            }
        }
        for (int32_t use = 0; use < PW_LOG_USES; use++) {
            sum += pw_use_weight[use] * pw_exp(log_use[use] - most);
        }
        log_of[i] = most + pw_log(sum);
        top = pw_max(top, log_of[i]);
    }
    double sum = 0.0;
    for (int32_t i = 0; i < count; i++) {
        weight[i] = pw_exp(temperature * (log_of[i] - top));
        sum += pw_exp(log_of[i] - top);
    }
    out->has_severity = s->has_severity;
    if (s->has_severity) {
        estimate(s, weight, count, place->fine, &out->severity);
    }
    return top + pw_log(sum / (double)count);
}

/* ---- what speaks for it ---- */

static void add_evidence(pw_log_hypothesis *h, pw_log_evidence one)
{
    for (int32_t i = 0; i < PW_LOG_EVIDENCE; i++) {
        if (i >= h->evidence_count || one.weight > h->evidence[i].weight) {
            const pw_log_evidence pushed = i < h->evidence_count ? h->evidence[i] : one;
            if (i >= h->evidence_count) {
                h->evidence[i] = one;
                h->evidence_count++;
                return;
            }
            h->evidence[i] = one;
            one = pushed;
        }
    }
}

static void evidence(const pw_log_bank *bank, const pw_log_features *seen, const pw_log_ranked *mine,
                     const pw_log_ranked *other, pw_log_hypothesis *out)
{
    for (int32_t f = 0; f < PW_LOG_FEATURES; f++) {
        double square, a = 0.0, b = 0.0;
        const double ours =
            pw_log_of_feature(bank, seen, mine->supposed, mine->place.fine, mine->place.use, f, &square);
        const double theirs =
            pw_log_of_feature(bank, seen, other->supposed, other->place.fine, other->place.use, f, &square);
        const bool both = pw_log_foretold(mine->supposed, mine->place.fine, mine->place.use, f, &a) &&
                          pw_log_foretold(other->supposed, other->place.fine, other->place.use, f, &b);
        if (both && seen->known[f] && ours - theirs > 0.5) {
            add_evidence(out,
                         (pw_log_evidence){(pw_log_feature)f, seen->value[f], pw_log_uncompared((pw_log_feature)f, a),
                                           pw_log_uncompared((pw_log_feature)f, b), ours - theirs});
        }
    }
}

/* No feature of the log would differ between the two. */
static bool twins(const pw_log_bank *bank, const pw_log_features *seen, const pw_log_ranked *a, const pw_log_ranked *b)
{
    for (int32_t f = 0; f < PW_LOG_FEATURES; f++) {
        double one = 0.0, other = 0.0;
        const bool first = pw_log_foretold(a->supposed, a->place.fine, a->place.use, f, &one);
        const bool second = pw_log_foretold(b->supposed, b->place.fine, b->place.use, f, &other);
        if (seen->able[f] && seen->known[f] &&
            (first != second || (first && pw_abs(one - other) > TWIN_SPREADS * pw_log_spread(bank, f)))) {
            return false;
        }
    }
    return true;
}

void pw_log_rank(const pw_log_bank *bank, const pw_log_features *seen, double temperature, pw_log_verdict *out,
                 pw_log_ranked *ranked)
{
    double log_of[PW_LOG_HYPOTHESES], top = -PW_INF, sum = 0.0, least = PW_INF;
    const double t = temperature > 0.0 ? temperature : TEMPERATURE;
    out->count = bank->count;
    out->features = *seen;
    for (int32_t i = 0; i < bank->count; i++) {
        const pw_log_supposed *s = &bank->supposed[i];
        pw_log_hypothesis *h = &out->hypotheses[i];
        memset(h, 0, sizeof *h);
        h->fault = s->fault;
        h->more_use = s->more_use;
        ranked[i].supposed = s;
        log_of[i] = pw_log(s->prior) + t * weigh_one(bank, seen, s, t, &ranked[i].place, h);
        top = pw_max(top, log_of[i]);
        least = pw_min(least, h->misfit);
    }
    for (int32_t i = 0; i < bank->count; i++) {
        sum += pw_exp(log_of[i] - top);
    }
    for (int32_t i = 0; i < bank->count; i++) {
        out->hypotheses[i].probability = pw_exp(log_of[i] - top) / sum;
    }
    for (int32_t i = 1; i < bank->count; i++) {
        for (int32_t k = i; k > 0 && out->hypotheses[k].probability > out->hypotheses[k - 1].probability; k--) {
            const pw_log_hypothesis h = out->hypotheses[k];
            const pw_log_ranked r = ranked[k];
            out->hypotheses[k] = out->hypotheses[k - 1];
            out->hypotheses[k - 1] = h;
            ranked[k] = ranked[k - 1];
            ranked[k - 1] = r;
        }
    }
    out->explained = least < EXPLAINED;
}

void pw_log_weigh(const pw_log_bank *bank, const pw_log_features *seen, double temperature, pw_log_verdict *out)
{
    pw_log_ranked ranked[PW_LOG_HYPOTHESES];
    pw_log_rank(bank, seen, temperature, out, ranked);
    int32_t healthy = 0;
    for (int32_t i = 0; i < out->count; i++) {
        healthy = out->hypotheses[i].fault == PW_FAULT_NONE && !out->hypotheses[i].more_use ? i : healthy;
    }
    for (int32_t i = 0; i < out->count; i++) {
        const int32_t against = i != healthy ? healthy : i == 0 ? 1 : 0;
        if (out->count > 1) {
            evidence(bank, seen, &ranked[i], &ranked[against], &out->hypotheses[i]);
        }
        out->hypotheses[i].twin = i > 0 && twins(bank, seen, &ranked[0], &ranked[i]);
    }
}
