/* Features read off the sketches of a stretch of a log, and where the log becomes another one. */
#include <string.h>

#include "study/log_inside.h"

static const pw_log_feature_row features[PW_LOG_FEATURES] = {
#define PW_LOG_FEATURE(name, ...) {__VA_ARGS__},
#include "study/log_rows.inc"
#undef PW_LOG_FEATURE
};

const pw_log_feature_row *pw_log_feature_of(pw_log_feature feature)
{
    return &features[feature];
}

double pw_log_compared(pw_log_feature feature, double value)
{
    return pw_log(pw_max(value + features[feature].add, 1e-12));
}

double pw_log_uncompared(pw_log_feature feature, double compared)
{
    return pw_exp(compared) - features[feature].add;
}

static void set(pw_log_features *out, pw_log_feature feature, double value, int64_t count)
{
    out->known[feature] = true;
    out->value[feature] = value;
    out->count[feature] = count;
}

static bool tells_running(const bool *has)
{
    return has[PW_LOG_PRESSURE] || has[PW_LOG_RUNNING] || has[PW_LOG_POWER] || has[PW_LOG_CURRENT] ||
           has[PW_LOG_STARTS];
}

static bool able(const bool *has, pw_log_raw raw)
{
    switch (raw) {
    case PW_LOG_FLOW_ON:
    case PW_LOG_FLOW_LEAST: return has[PW_LOG_FLOW] || has[PW_LOG_VOLUME];
    case PW_LOG_CURRENT_ON: return has[PW_LOG_CURRENT];
    case PW_LOG_POWER_ON: return has[PW_LOG_POWER];
    case PW_LOG_UNSTEADY: return has[PW_LOG_CURRENT] || has[PW_LOG_POWER];
    case PW_LOG_LEVEL_RAW: return has[PW_LOG_LEVEL];
    case PW_LOG_VIBRATION_ON: return has[PW_LOG_VIBRATION];
    case PW_LOG_AT_START:
    case PW_LOG_AT_STOP:
    case PW_LOG_ANY_PRESSURE:
    case PW_LOG_FALL:
    case PW_LOG_FALL_AT_ONCE:
    case PW_LOG_RISE: return has[PW_LOG_PRESSURE];
    default: return tells_running(has);
    }
}

bool pw_log_feature_able(const bool has[PW_LOG_SIGNALS], pw_log_feature feature)
{
    return able(has, features[feature].raw);
}

void pw_log_features_of(const pw_record *log, int32_t from, int32_t to, pw_log_features *out)
{
    pw_sketch all;
    double covered_s = 0.0, on_s = 0.0, starts = 0.0;
    memset(out, 0, sizeof *out);
    for (int32_t b = from; b < to; b++) {
        covered_s += log->block[b].covered_s;
        on_s += log->block[b].on_s;
        starts += log->block[b].starts;
    }
    for (int32_t f = 0; f < PW_LOG_FEATURES; f++) {
        const pw_log_feature_row *row = &features[f];
        out->able[f] = able(log->has, row->raw);
        if (row->raw == PW_LOG_RAWS) {
            continue;
        }
        memset(&all, 0, sizeof all);
        for (int32_t b = from; b < to; b++) {
            pw_sketch_join(&all, &log->block[b].sketch[row->raw]);
        }
        if (all.count >= row->least) {
            set(out, (pw_log_feature)f, pw_sketch_quantile(&all, row->part), all.count);
        }
    }
    if (covered_s > 0.0 && tells_running(log->has)) {
        set(out, PW_FOUND_STARTS_DAY, starts * 86400.0 / covered_s, (int64_t)starts);
    }
    if (covered_s > 0.0 && (log->has[PW_LOG_RAN] || tells_running(log->has))) {
        set(out, PW_FOUND_SHARE, on_s / covered_s, (int64_t)starts);
    }
}

/* ---- another log than before ---- */

/* Spread of a feature over blocks next to each other: what a day does of itself. By the median of the squares, which
 * one change does not move; it is 0.455 variances (chi-squared, one degree of freedom, Abramowitz and Stegun 26.4). */
double pw_log_own_spread(const pw_log_features *each, int32_t count, pw_log_feature f, double floor)
{
    double square[PW_LOG_BLOCKS];
    int32_t n = 0;
    for (int32_t b = 1; b < count; b++) {
        if (each[b].known[f] && each[b - 1].known[f]) {
            const double step = pw_log_compared(f, each[b].value[f]) - pw_log_compared(f, each[b - 1].value[f]);
            int32_t at = n++;
            for (; at > 0 && square[at - 1] > 0.5 * step * step; at--) {
                square[at] = square[at - 1];
            }
            square[at] = 0.5 * step * step;
        }
    }
    const double least = floor * floor * features[f].spread * features[f].spread;
    return pw_sqrt(least + (n > 0 ? square[n / 2] / 0.455 : features[f].spread * features[f].spread));
}

/* A count of starts is as uncertain as counts are. */
double pw_log_count_variance(const pw_log_features *a, const pw_log_features *b, pw_log_feature f)
{
    return f == PW_FOUND_STARTS_DAY ? 1.0 / ((double)a->count[f] + 1.0) + 1.0 / ((double)b->count[f] + 1.0) : 0.0;
}

/* In how many spreads the features before and from a block on differ: root of the mean of the four largest squares. */
static double apart_at(const pw_record *log, const double *spread, int32_t at)
{
    pw_log_features before, within;
    double top[4] = {0.0, 0.0, 0.0, 0.0};
    pw_log_features_of(log, 0, at, &before);
    pw_log_features_of(log, at, log->block_count, &within);
    for (int32_t f = 0; f < PW_LOG_FEATURES; f++) {
        const pw_log_feature feature = (pw_log_feature)f;
        if (!before.known[f] || !within.known[f]) {
            continue;
        }
        const double step = pw_log_compared(feature, within.value[f]) - pw_log_compared(feature, before.value[f]);
        double z = step * step / (spread[f] * spread[f] + pw_log_count_variance(&before, &within, feature));
        z = pw_min(z, 100.0);
        for (int32_t i = 0; i < 4; i++) {
            const double larger = pw_max(top[i], z);
            z = pw_min(top[i], z);
            top[i] = larger;
        }
    }
    return pw_sqrt(0.25 * (top[0] + top[1] + top[2] + top[3]));
}

/* How far the blocks of a stretch lie from those before, in spreads of the difference of the two means. */
static double mean_apart(const pw_log_features *each, int32_t f, double spread, int32_t from, int32_t to)
{
    double sum[2] = {0.0, 0.0}, n[2] = {0.0, 0.0};
    for (int32_t b = 0; b < to; b++) {
        if (each[b].known[f]) {
            sum[b >= from] += pw_log_compared((pw_log_feature)f, each[b].value[f]);
            n[b >= from] += 1.0;
        }
    }
    if (n[0] == 0.0 || n[1] == 0.0) {
        return 0.0;
    }
    return pw_abs(sum[1] / n[1] - sum[0] / n[0]) / (spread * pw_sqrt(1.0 / n[0] + 1.0 / n[1]));
}

/* A stretch that ends before the log does has to be told the more surely (own choice). */
#define OVER_AGAIN 0.8

void pw_log_change_among(const pw_record *log, double floor, const bool *only, int32_t *from, int32_t *to,
                         double *apart)
{
    pw_log_features each[PW_LOG_BLOCKS];
    const int32_t count = log->block_count;
    double best = 0.0;
    *apart = 0.0;
    *from = 0;
    *to = count;
    for (int32_t b = 0; b < count; b++) {
        pw_log_features_of(log, b, b + 1, &each[b]);
    }
    for (int32_t f = 0; f < PW_LOG_FEATURES; f++) {
        const double spread = pw_log_own_spread(each, count, (pw_log_feature)f, floor);
        for (int32_t a = 1; only[f] && a < count; a++) {
            for (int32_t b = a + 1; b <= count; b++) {
                const double far = mean_apart(each, f, spread, a, b), counted = b < count ? OVER_AGAIN * far : far;
                if (counted > best) {
                    best = counted;
                    *apart = far;
                    *from = a;
                    *to = b;
                }
            }
        }
    }
}

/* What follows a change is judged by itself, so it must hold what a day does, night and day: at least a day, of shorter
 * logs the half (own choice). A quiet evening is no change. */
static double least_after_s(const pw_record *log)
{
    return pw_min(86400.0, 0.5 * (log->last_s - log->first_s));
}

int32_t pw_log_change(const pw_record *log, double *apart)
{
    pw_log_features each[PW_LOG_BLOCKS];
    double spread[PW_LOG_FEATURES];
    int32_t best = 0;
    *apart = 0.0;
    for (int32_t b = 0; b < log->block_count; b++) {
        pw_log_features_of(log, b, b + 1, &each[b]);
    }
    for (int32_t f = 0; f < PW_LOG_FEATURES; f++) {
        spread[f] = pw_log_own_spread(each, log->block_count, (pw_log_feature)f, 1.0);
    }
    for (int32_t at = 1; at < log->block_count; at++) {
        if (log->last_s - pw_log_block_begin_s(log, at) < least_after_s(log)) {
            break;
        }
        const double far = apart_at(log, spread, at);
        if (far > *apart) {
            *apart = far;
            best = at;
        }
    }
    return best;
}
