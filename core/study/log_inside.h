/* Private to core/study: a log being taken. */
#ifndef PW_STUDY_LOG_INSIDE_H
#define PW_STUDY_LOG_INSIDE_H

#include <string.h>

#include "study/log.h"

/* log_blocks.c */
void pw_log_blocks_reach(pw_record *log, double t_s);
void pw_log_trend_take(pw_record *log, const pw_log_row *row);
/* log_runs.c: starts, stops, rests, falls. gap: nobody looked between the row before and this one. */
void pw_log_runs_take(pw_record *log, const pw_log_row *row, double step_s, bool gap);
/* log_meter.c: counters to flows (replaced in the row); flow that never ends; hours. */
void pw_log_counters_take(pw_record *log, pw_log_row *row, bool gap);
void pw_log_meter_take(pw_record *log, const pw_log_row *row, double step_s, bool gap);
void pw_log_meter_end(pw_record *log);

/* log_found.c: what a feature does of itself from block to block, in its compared form; floor: part of the least spread
 * of its row. */
double pw_log_own_spread(const pw_log_features *each, int32_t count, pw_log_feature feature, double floor);
double pw_log_count_variance(const pw_log_features *a, const pw_log_features *b, pw_log_feature f);
/* The blocks that differ most from all those before them, by one of these features. */
void pw_log_change_among(const pw_record *log, double floor, const bool *only, int32_t *from, int32_t *to,
                         double *apart);

/* Cheap and monotonous above 0, which is all that a bin needs: the number's exponent and the first bits behind it. */
static inline double pw_log_rough(double x)
{
    int64_t bits;
    memcpy(&bits, &x, sizeof bits);
    return (double)bits * (1.0 / 4503599627370496.0) - 1023.0; /* 2^52 */
}

/* pw_sketch_add, where every row goes. What lies below the lowest, and not above 0, is in the first bin. */
static inline void pw_log_sketch(pw_sketch *sketch, const pw_log_scale *scale, double value)
{
    const double at = value > 0.0 ? (pw_log_rough(value) - scale->low) * scale->scale + 1.0 : 0.0;
    const int32_t bin = at >= (double)PW_LOG_BINS ? PW_LOG_BINS - 1 : at > 1.0 ? (int32_t)at : 0;
    if (sketch->bin[bin] < UINT32_MAX) {
        sketch->bin[bin]++;
        sketch->sum[bin] += value;
        sketch->count++;
    }
}

/* The block of now; a value of this moment. */
static inline pw_log_block *pw_log_now(pw_record *log)
{
    return &log->block[log->block_count - 1];
}

static inline void pw_log_note(pw_record *log, pw_log_raw raw, double value)
{
    pw_log_sketch(&pw_log_now(log)->sketch[raw], &log->scale[raw], value);
}

static inline bool pw_log_there(double value)
{
    return value - value == 0.0; /* neither infinite nor not a number */
}

#endif
