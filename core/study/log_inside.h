/* Private to core/study: a log being taken. */
#ifndef PW_STUDY_LOG_INSIDE_H
#define PW_STUDY_LOG_INSIDE_H

#include "study/log.h"

/* log_blocks.c: a value of this moment; the block of now. */
void pw_log_note(pw_record *log, pw_log_raw raw, double value);
pw_log_block *pw_log_now(pw_record *log);
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

static inline bool pw_log_there(double value)
{
    return value - value == 0.0; /* neither infinite nor not a number */
}

#endif
