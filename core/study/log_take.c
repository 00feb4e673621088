/* Rows as they come: what cannot be believed is counted and left out; noise and step are learnt from the first rows. */
#include <string.h>

#include "study/log_inside.h"

/* A reading so far beyond all others that its neighbours deny is a jump; one that stands for so long while the pump
 * switches is stuck; no flow on a site is larger (all own choices). */
#define JUMP_OF_SPAN  3.0
#define JUMP_OF_NOISE 30.0
#define STUCK_S       (2.0 * 3600.0)
#define STUCK_ROWS    30
#define GAP_STEPS     3.5

void pw_log_begin(pw_record *log, const bool has[PW_LOG_SIGNALS])
{
    memset(log, 0, sizeof *log);
    memcpy(log->has, has, sizeof log->has);
    for (int32_t s = 0; s < PW_LOG_SIGNALS; s++) {
        pw_log_signal_range((pw_log_signal)s, &log->low[s], &log->high[s]);
        if (has[s]) {
            log->used[log->used_count++] = s;
            log->counts = log->counts || pw_log_is_counter((pw_log_signal)s);
        }
    }
    for (int32_t raw = 0; raw < PW_LOG_RAWS; raw++) {
        log->scale[raw] = pw_log_scale_of((pw_log_raw)raw);
    }
    for (int32_t i = 0; i < 3; i++) {
        for (int32_t s = 0; s < PW_LOG_SIGNALS; s++) {
            log->room[i].value[s] = PW_LOG_MISSING;
        }
    }
    log->block_until_s = -PW_INF;
    log->trend.until_s = -PW_INF;
    log->told_by = has[PW_LOG_RUNNING]    ? PW_LOG_BY_CONTACT
                   : has[PW_LOG_POWER]    ? PW_LOG_BY_POWER
                   : has[PW_LOG_CURRENT]  ? PW_LOG_BY_CURRENT
                   : has[PW_LOG_PRESSURE] ? PW_LOG_BY_TURNS
                                          : PW_LOG_BY_NOTHING;
}

/* The row that waits for its successor. */
static pw_log_row *last_of(pw_record *log)
{
    return &log->room[log->newest];
}

/* ---- learning ---- */

static void sort(double *list, int32_t count)
{
    for (int32_t gap = count / 2; gap > 0; gap /= 2) {
        for (int32_t i = gap; i < count; i++) {
            const double value = list[i];
            int32_t k = i;
            for (; k >= gap && list[k - gap] > value; k -= gap) {
                list[k] = list[k - gap];
            }
            list[k] = value;
        }
    }
}

/* Noise by second differences, whose median size is 1.652 deviations of one reading for the normal distribution
 * (0.6745 sqrt 6). */
static void learn_noise(pw_record *log, int32_t s, double *room)
{
    int32_t count = 0;
    for (int32_t i = 0; i < log->learn_count; i++) {
        if (pw_log_there(log->learn[i].value[s])) {
            room[count] = log->learn[i].value[s];
            count++;
        }
    }
    sort(room, count);
    log->least[s] = count > 0 ? room[count / 200] : 0.0; /* a jump is not among what is usual */
    log->most[s] = count > 0 ? room[count - 1 - count / 200] : 0.0;
    count = 0;
    for (int32_t i = 0; i < log->learn_count; i++) {
        const double value = log->learn[i].value[s];
        if (i >= 2) {
            const double second = value - 2.0 * log->learn[i - 1].value[s] + log->learn[i - 2].value[s];
            if (pw_log_there(second)) {
                room[count] = pw_abs(second);
                count++;
            }
        }
    }
    sort(room, count);
    log->noise[s] = count > 0 ? room[count / 2] / 1.652 : 0.0;
}

static void learn_step(pw_record *log, double *room)
{
    int32_t count = 0;
    for (int32_t i = 1; i < log->learn_count; i++) {
        const double step_s = log->learn[i].t_s - log->learn[i - 1].t_s;
        if (step_s > 0.0) {
            room[count] = step_s;
            count++;
        }
    }
    sort(room, count);
    log->step_s = count > 0 ? room[count / 2] : 1.0;
}

/* ---- one reading ---- */

/* The row as it is believed; signals that the log has not stay missing. */
static void believed(pw_record *log, const pw_log_row *row, pw_log_row *out)
{
    out->t_s = row->t_s;
    for (int32_t i = 0; i < log->used_count; i++) {
        const int32_t s = log->used[i];
        const double value = row->value[s];
        out->value[s] = value;
        if (!(value >= log->low[s] && value <= log->high[s])) {
            *(pw_log_there(value) ? &log->bad.out_of_range : &log->bad.missing) += 1;
            out->value[s] = PW_LOG_MISSING;
        }
    }
}

/* The row before stands between its neighbours: one reading far off that both of them deny. */
static void check_jumps(pw_record *log, const pw_log_row *next)
{
    static const pw_log_signal able[] = {PW_LOG_PRESSURE, PW_LOG_LEVEL};
    pw_log_row *last = last_of(log);
    const pw_log_row *before = &log->room[log->newest == 0 ? 2 : log->newest - 1];
    for (size_t i = 0; i < sizeof able / sizeof able[0]; i++) {
        const int32_t s = able[i];
        const double a = before->value[s], b = last->value[s], c = next->value[s];
        if (!log->has[s] || !pw_log_there(a) || !pw_log_there(b) || !pw_log_there(c)) {
            continue;
        }
        const double span = log->most[s] - log->least[s];
        const double far = pw_max(JUMP_OF_SPAN * span, JUMP_OF_NOISE * log->noise[s]);
        if (pw_abs(b - a) > far && pw_abs(b - c) > far && pw_abs(a - c) < 0.5 * far) {
            log->bad.jumps++;
            last->value[s] = 0.5 * (a + c);
        } else {
            log->least[s] = pw_min(log->least[s], b);
            log->most[s] = pw_max(log->most[s], b);
        }
    }
}

/* A gauge that shows one and the same while the pump starts or stops. */
static void check_stuck(pw_record *log, const pw_log_row *row, double step_s)
{
    const double value = row->value[PW_LOG_PRESSURE];
    if (!log->has[PW_LOG_PRESSURE] || !pw_log_there(value)) {
        return;
    }
    const bool same = log->same_rows > 0 && value == log->same_value;
    if (!same) {
        if (log->same_switched && log->same_s > STUCK_S && log->same_rows > STUCK_ROWS) {
            log->bad.stuck += log->same_rows;
            log->bad.stuck_s += log->same_s;
        }
        log->same_value = value;
        log->same_rows = 0;
        log->same_s = 0.0;
        log->same_switched = false;
    }
    log->same_switched = log->same_switched || (log->same_rows > 0 && log->same_on != (double)log->state.on);
    log->same_on = (double)log->state.on;
    log->same_rows++;
    log->same_s += same ? step_s : 0.0;
}

/* A row whose neighbours are known. */
static void settle(pw_record *log, pw_log_row *row, double before_s)
{
    const double step_s = row->t_s - before_s;
    const bool gap = step_s > GAP_STEPS * log->step_s && step_s > 1.0;
    if (gap) {
        log->bad.gaps++;
        log->bad.gap_s += step_s;
    }
    pw_log_blocks_reach(log, row->t_s);
    pw_log_counters_take(log, row, gap);
    pw_log_trend_take(log, row);
    pw_log_runs_take(log, row, step_s, gap);
    pw_log_meter_take(log, row, step_s, gap);
    check_stuck(log, row, step_s);
    if (pw_log_there(row->value[PW_LOG_PRESSURE])) {
        pw_log_note(log, PW_LOG_ANY_PRESSURE, row->value[PW_LOG_PRESSURE]);
    }
    if (pw_log_there(row->value[PW_LOG_LEVEL])) {
        pw_log_note(log, PW_LOG_LEVEL_RAW, row->value[PW_LOG_LEVEL]);
    }
    log->last_s = row->t_s;
}

static void take(pw_record *log, const pw_log_row *row)
{
    pw_log_row *next = &log->room[log->newest == 2 ? 0 : log->newest + 1];
    believed(log, row, next);
    if (log->waiting == 0) {
        log->first_s = log->last_s = next->t_s;
        for (int32_t i = 0; i < 3; i++) {
            log->room[i] = *next;
        }
    } else {
        check_jumps(log, next);
        settle(log, last_of(log), log->last_s);
    }
    log->newest = log->newest == 2 ? 0 : log->newest + 1;
    log->waiting = 1;
}

static void finish_learning(pw_record *log)
{
    double room[PW_LOG_LEARN];
    log->learnt = true;
    learn_step(log, room);
    for (int32_t s = 0; s < PW_LOG_SIGNALS; s++) {
        if (log->has[s] && log->learn_count > 0) {
            learn_noise(log, s, room);
        }
    }
    for (int32_t i = 0; i < log->learn_count; i++) {
        take(log, &log->learn[i]);
    }
}

/* Time goes on in every row that is taken: one that steps back, or stands, is counted and passed over. A clock that was
 * set back by an hour loses that hour. */
void pw_log_take(pw_record *log, const pw_log_row *row)
{
    const pw_log_row *last = log->learnt            ? last_of(log)
                             : log->learn_count > 0 ? &log->learn[log->learn_count - 1]
                                                    : NULL;
    if (!pw_log_there(row->t_s)) {
        return;
    }
    if (last != NULL && row->t_s <= last->t_s) {
        *(row->t_s < last->t_s ? &log->bad.time_back : &log->bad.time_same) += 1;
        return;
    }
    log->rows++;
    if (log->learnt) {
        take(log, row);
        return;
    }
    log->learn[log->learn_count] = *row;
    log->learn_count++;
    if (log->learn_count == PW_LOG_LEARN) {
        finish_learning(log);
    }
}

void pw_log_end(pw_record *log)
{
    if (!log->learnt) {
        finish_learning(log);
    }
    if (log->waiting > 0) {
        settle(log, last_of(log), log->last_s);
    }
    pw_log_row none = *last_of(log);
    none.value[PW_LOG_PRESSURE] = log->same_value + 1.0;
    check_stuck(log, &none, 0.0); /* the stretch under way ends */
    pw_log_meter_end(log);
}
