/* Sketches, the stretches that they belong to, and what is drawn. */
#include <string.h>

#include "study/log_inside.h"

static const double lowest[PW_LOG_RAWS] = {
#define PW_LOG_RAW(name, low, high) low,
#include "study/log_rows.inc"
#undef PW_LOG_RAW
};
static const double highest[PW_LOG_RAWS] = {
#define PW_LOG_RAW(name, low, high) high,
#include "study/log_rows.inc"
#undef PW_LOG_RAW
};

/* ---- sketches ---- */

pw_log_scale pw_log_scale_of(pw_log_raw raw)
{
    const double low = pw_log_rough(lowest[raw]), high = pw_log_rough(highest[raw]);
    return (pw_log_scale){low, (double)(PW_LOG_BINS - 1) / (high - low)};
}

void pw_sketch_add(pw_sketch *sketch, const pw_log_scale *scale, double value)
{
    pw_log_sketch(sketch, scale, value);
}

void pw_sketch_join(pw_sketch *to, const pw_sketch *from)
{
    for (int32_t i = 0; i < PW_LOG_BINS; i++) {
        if (from->bin[i] <= UINT32_MAX - to->bin[i]) {
            to->bin[i] += from->bin[i];
            to->sum[i] += from->sum[i];
            to->count += from->bin[i];
        }
    }
}

double pw_sketch_quantile(const pw_sketch *sketch, double part)
{
    const double wanted = part * (double)sketch->count;
    double so_far = 0.0, last = 0.0;
    for (int32_t i = 0; i < PW_LOG_BINS; i++) {
        if (sketch->bin[i] == 0) {
            continue;
        }
        so_far += (double)sketch->bin[i];
        last = sketch->sum[i] / (double)sketch->bin[i];
        if (so_far >= wanted) {
            return last;
        }
    }
    return last;
}

/* ---- stretches ---- */

/* The first stretches, in rows; they double as the log grows (own choice). */
enum { FIRST_ROWS = 64 };
static const double least_block_s = 10.0;

static void join_pairs(pw_record *log)
{
    for (int32_t i = 0; i < PW_LOG_BLOCKS / 2; i++) {
        pw_log_block *to = &log->block[i];
        const pw_log_block *second = &log->block[2 * i + 1];
        if (i > 0) {
            *to = log->block[2 * i];
        }
        for (int32_t k = 0; k < PW_LOG_RAWS; k++) {
            pw_sketch_join(&to->sketch[k], &second->sketch[k]);
        }
        to->covered_s += second->covered_s;
        to->on_s += second->on_s;
        to->starts += second->starts;
    }
    memset(&log->block[PW_LOG_BLOCKS / 2], 0, PW_LOG_BLOCKS / 2 * sizeof log->block[0]);
    log->block_count = PW_LOG_BLOCKS / 2;
    log->block_s *= 2.0;
}

void pw_log_blocks_reach(pw_record *log, double t_s)
{
    if (t_s < log->block_until_s) {
        return;
    }
    if (log->block_count == 0) {
        log->block_s = pw_max(FIRST_ROWS * log->step_s, least_block_s);
        log->block_count = 1;
    }
    /* far ahead, so that a clock that jumps by years costs no more than a few joinings */
    while (t_s - log->first_s >= log->block_s * (double)PW_LOG_BLOCKS) {
        log->block_count = PW_LOG_BLOCKS;
        join_pairs(log);
    }
    while (t_s - log->first_s >= log->block_s * (double)log->block_count) {
        log->block_count++;
    }
    log->block_until_s = log->first_s + log->block_s * (double)log->block_count;
}

double pw_log_block_begin_s(const pw_record *log, int32_t block)
{
    return log->first_s + log->block_s * (double)block;
}

/* ---- what is drawn ---- */

static void halve_trend(pw_log_trend *trend)
{
    for (int32_t s = 0; s < PW_LOG_SIGNALS; s++) {
        for (int32_t i = 0; i < PW_LOG_TREND; i++) {
            const int32_t a = 2 * i, b = 2 * i + 1;
            const bool first = b < PW_LOG_TREND && trend->any[s][a], second = b < PW_LOG_TREND && trend->any[s][b];
            trend->any[s][i] = first || second;
            if (first || second) {
                const float low = first ? trend->low[s][a] : trend->low[s][b];
                const float high = first ? trend->high[s][a] : trend->high[s][b];
                trend->low[s][i] = second && trend->low[s][b] < low ? trend->low[s][b] : low;
                trend->high[s][i] = second && trend->high[s][b] > high ? trend->high[s][b] : high;
            }
        }
    }
    trend->count = (trend->count + 1) / 2;
    trend->width_s *= 2.0;
}

/* The stretch of a moment, with room for it. */
static void reach(pw_log_trend *trend, double first_s, double t_s)
{
    while (t_s - first_s >= trend->width_s * PW_LOG_TREND) {
        halve_trend(trend);
    }
    trend->at = (int32_t)((t_s - first_s) / trend->width_s);
    trend->count = trend->at + 1 > trend->count ? trend->at + 1 : trend->count;
    trend->from_s = first_s + trend->width_s * (double)trend->at;
    trend->until_s = trend->from_s + trend->width_s;
}

void pw_log_trend_take(pw_record *log, const pw_log_row *row)
{
    pw_log_trend *trend = &log->trend;
    trend->width_s = trend->width_s > 0.0 ? trend->width_s : pw_max(log->step_s, 1e-3);
    if (!(row->t_s >= trend->from_s && row->t_s < trend->until_s)) {
        reach(trend, log->first_s, row->t_s);
    }
    const int32_t at = trend->at;
    for (int32_t i = 0; i < log->used_count; i++) {
        const int32_t s = log->used[i];
        if (!pw_log_there(row->value[s])) {
            continue;
        }
        const float value = (float)row->value[s];
        if (!trend->any[s][at]) {
            trend->any[s][at] = true;
            trend->low[s][at] = trend->high[s][at] = value;
        } else if (value < trend->low[s][at]) {
            trend->low[s][at] = value;
        } else if (value > trend->high[s][at]) {
            trend->high[s][at] = value;
        }
    }
}
