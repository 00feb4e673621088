/* What is done to a controller between its steps: begin, power cuts, a person's release, counters.
 */
#include "control/parts.h"

#include <string.h>

size_t pw_control_size(void)
{
    return sizeof(pw_control);
}

/* All timers at zero, as at the beginning of everything. */
static void begin_timers(pw_pump_control *pump, uint32_t now_ms)
{
    pump->holds = 0;
    pump->due = 0;
    pump->told = 0;
    pump->stale = 0;
    pump->stop_wanted = false;
    for (int32_t i = 0; i < PW_MAX_SHARES; i++) {
        pw_share_clear(&pump->shares[i]);
        pump->shares[i].part_at_ms = now_ms;
        pump->shares[i].at_ms = now_ms;
    }
}

void pw_control_begin(const pw_table *table, pw_control *control, uint32_t now_ms)
{
    memset(control, 0, sizeof *control);
    control->clock_at_ms = now_ms;
    control->power = pw_moment_now(now_ms);
    pw_team_begin(table, control, now_ms);
    for (int32_t p = 0; p < PW_MAX_PUMPS; p++) {
        pw_pump_control *pump = &control->pumps[p];
        begin_timers(pump, now_ms);
        pump->counted_at_ms = now_ms;
        pump->start = (pw_moment){.at_ms = now_ms, .long_ago = true};
        pump->stop = pw_moment_now(now_ms);
        pump->lock = pump->start;
        pump->unlock = pump->start;
        pump->started_by = -1;
        pump->stopped_by = -1;
        pump->locked_by = -1;
        pump->retry = -1;
        pump->in_the_way = -1;
    }
}

void pw_count_run(pw_pump_control *pump, uint32_t now_ms)
{
    const uint32_t span_ms = now_ms - pump->counted_at_ms;
    pump->counted_run_ms += pump->state == PW_PUMP_RUNNING ? span_ms : 0;
    pump->counted_over_ms += span_ms;
    pump->counted_at_ms = now_ms;
}

void pw_control_lost(const pw_table *table, pw_control *control, uint32_t now_ms)
{
    for (int32_t p = 0; p < table->pump_count; p++) {
        pw_count_run(&control->pumps[p], now_ms);
    }
    control->lost = true;
    control->lost_ms = now_ms;
}

void pw_control_power(const pw_table *table, pw_control *control, uint32_t now_ms)
{
    control->power = pw_moment_now(now_ms);
    control->cut_ms = control->lost ? pw_moment_age(pw_moment_now(control->lost_ms), now_ms) : 0;
    control->lost = false;
    control->was_cut = true;
    for (int32_t p = 0; p < table->pump_count; p++) {
        pw_pump_control *pump = &control->pumps[p];
        begin_timers(pump, now_ms);
        pump->counted_over_ms += now_ms - pump->counted_at_ms;
        pump->counted_at_ms = now_ms;
        pump->held_told = false;
        if (pump->state == PW_PUMP_RUNNING) {
            pump->state = PW_PUMP_STOPPED;
            pump->stop = pw_moment_now(now_ms);
            pump->has_stopped = true;
            pump->stopped_by = -1;
            pump->cut = true;
            pump->cut_ms = control->cut_ms;
        }
        pump->waits_since_cut = true;
        if (pump->state == PW_PUMP_LOCKED) {
            pump->over_cut =
                table->pumps[p].set[PW_SENTENCE_KEEP_LOCKS].there ? PW_CUT_LOCK_KEPT : PW_CUT_LOCK_FORGOTTEN;
        }
        if (!table->pumps[p].set[PW_SENTENCE_KEEP_LOCKS].there) {
            pump->state = PW_PUMP_STOPPED;
            pump->start_count = 0;
            pump->retries = 0;
            pump->retry = -1;
            pump->released = false;
        }
    }
}

/* Also the count of starts and the timers of the lock outs begin anew: else the same sentence would lock at once again.
 */
void pw_unlock(const pw_table *whole, pw_control *control, int32_t p, pw_unlocked by, uint32_t now_ms)
{
    const pw_pump_table *table = &whole->pumps[p];
    pw_pump_control *pump = &control->pumps[p];
    pump->state = PW_PUMP_STOPPED;
    pump->start_count = 0;
    pump->retry = -1;
    pump->stale = 0;
    pump->unlocked = (uint8_t)by;
    pump->unlock = pw_moment_now(now_ms);
    pump->over_cut = PW_CUT_NO_LOCK;
    for (int32_t i = 0; i < table->row_count; i++) {
        if (table->rows[i].kind == PW_SENTENCE_LOCK) {
            pump->holds &= ~((uint64_t)1 << table->rows[i].sentence);
            pump->due &= ~((uint64_t)1 << table->rows[i].sentence);
            if (table->rows[i].share >= 0) {
                pw_share_clear(&pump->shares[table->rows[i].share]);
            }
        }
    }
    pw_team_unlocked(whole, control, p);
}

void pw_control_release(const pw_table *table, pw_control *control, int32_t pump, uint32_t now_ms)
{
    for (int32_t p = 0; p < table->pump_count; p++) {
        pw_pump_control *one = &control->pumps[p];
        if ((pump < 0 || pump == p) && one->state == PW_PUMP_LOCKED) {
            pw_unlock(table, control, p, PW_UNLOCKED_BY_PERSON, now_ms);
            one->retries = 0;
            one->released = true;
        }
    }
}

int32_t pw_control_starts(const pw_table *table, const pw_control *control, int32_t pump, uint32_t now_ms,
                          uint32_t window_ms)
{
    (void)table;
    const pw_pump_control *one = &control->pumps[pump];
    int32_t count = 0;
    while (count < one->start_count && now_ms - pw_start_before(one, count) < window_ms) {
        count++;
    }
    return count;
}

void pw_control_counts(const pw_control *control, int32_t pump, uint32_t now_ms, uint32_t *starts, uint32_t *run_s)
{
    const pw_pump_control *one = &control->pumps[pump];
    uint64_t going_ms = one->state == PW_PUMP_RUNNING ? now_ms - one->counted_at_ms : 0;
    *starts = one->counted_starts;
    *run_s = (uint32_t)((one->counted_run_ms + going_ms) / 1000);
}

void pw_control_counts_reset(pw_control *control, int32_t pump, uint32_t now_ms)
{
    pw_pump_control *one = &control->pumps[pump];
    one->counted_starts = 0;
    one->counted_run_ms = 0;
    one->counted_over_ms = 0;
    one->counted_anew = true;
    one->counted_at_ms = now_ms;
}

bool pw_control_holds(const pw_control *control, int32_t pump, int32_t sentence)
{
    return (control->pumps[pump].holds >> sentence & 1u) != 0;
}
