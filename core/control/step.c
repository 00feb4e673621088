/* The step: what a controller does, once, with the values of this moment. No allocation, no loop without a bound.
 *
 *                    start()             Each pump has its own machine.
 *      +---------+ ------------> +---------+
 *      | STOPPED |               | RUNNING |   start()    a start sentence is due, rested, no stop in the way
 *      +---------+ <------------ +---------+   stop()     a stop sentence is due, nothing holds it back
 *        |     ^      stop()          |        lock_out() a lock out sentence is due: from any state but LOCKED
 *        |     |                      |        unlock()   a person (pw_control_release), or a retry that is due
 *        |     | unlock()             |
 *        |   +--------+               |
 *        +-> | LOCKED | <-------------+
 *            +--------+   lock_out()
 *      lock_out()
 *
 * "Resting" is STOPPED with a part of the rest still to go: pw_action_REST.start_left() > 0.
 *
 * Invariants, tested by random driving (tests/unit/control/test_driving.c):
 *
 *  1. A pump runs in state RUNNING only; so a locked pump never runs.
 *  2. In one step a lock out goes before a stop, a stop before a start.
 *  3. Between a stop, also one by a lock out, and the next start lies at least the rest. Nothing is owed before the
 *     first stop.
 *  4. A pump runs for at least "run at least", unless a lock out ends it.
 *  5. After an ordinary stop there is no start in the same step, after a start no ordinary stop; a lock out may follow
 *     a start in its own step, so that the N-th start itself meets "starts reach N".
 *  6. A pump does not start into a stop sentence without a time that holds now, or with a window that is due, as it
 * would hold in the first moment of running, unless "keep running while" would overrule it. (The stop wins.)
 *  7. A timer runs from the moment its whole condition begins to hold, also when the state of the pump made it hold; it
 *     is due from the very moment the time is up; it falls to zero as soon as the condition does not hold (TON of
 *     IEC 61131-3).
 *     A condition "for TIME in TIME" is due while it held so long in its window (share.c).
 *  8. With inputs constant, nothing changes before next_due_ms: a step sooner gives the same outputs and no event.
 *  9. Every age is right over a wrap of the clock: an age is frozen at "long ago" (111 h, more than any time of a
 *     sentence) before it could wrap, which asks for a step at least every 20 days; next_due_ms sees to it.
 * 10. "starts reach N in T" holds from the N-th start until the oldest of the last N is T old: it counts the starts of
 *     (now - T, now]. A release forgets them.
 * 11. Pumps are looked at in their sequence (pw_team_sequence: the lower role first), and each sees the others as they
 *     then are. What a change of one means for those before it follows one millisecond later: next_due_ms is then 1.
 * 12. Each kind of event happens at most once for a pump in one step, so they all fit; a warning that would not fit is
 *     told one millisecond later.
 */
#include "control/parts.h"

#include <assert.h>
#include <string.h>

_Static_assert(5 * PW_MAX_PUMPS <= PW_MAX_CONTROL_EVENTS, "events other than warnings must fit");

static uint64_t bit(int32_t sentence)
{
    return (uint64_t)1 << sentence;
}

static void tell(pw_outputs *out, pw_control_event_kind kind, int16_t pump, int16_t sentence)
{
    assert(out->event_count < PW_MAX_CONTROL_EVENTS);
    pw_control_event *event = &out->events[out->event_count];
    event->kind = kind;
    event->pump = pump;
    event->sentence = sentence;
    event->held_by = PW_SENTENCE_COUNT;
    out->event_count++;
}

/* Moments and ages */

static void freeze(pw_moment *then, uint32_t now_ms)
{
    then->long_ago = pw_moment_age(*then, now_ms) == PW_LONG_AGO_MS;
}

/* What holds in a rest with "then wait for a new call" does not count until it has ceased to hold. */
static bool is_stale(const pw_moment_view *m, const pw_row *row, bool holds)
{
    pw_pump_control *pump = m->pump;
    uint64_t mask = bit(row->sentence);
    if (row->kind != PW_SENTENCE_START || !holds) {
        pump->stale &= ~mask;
        return false;
    }
    bool rests = pump->has_stopped && pw_moment_age(pump->stop, m->now_ms) < m->table->new_call_ms;
    pump->stale |= rests ? mask : 0;
    return (pump->stale & mask) != 0;
}

static void look_share(const pw_moment_view *m, const pw_row *row, bool holds)
{
    pw_pump_control *pump = m->pump;
    uint64_t mask = bit(row->sentence);
    pump->holds = holds ? pump->holds | mask : pump->holds & ~mask;
    bool due = pw_share_held(&pump->shares[row->share]) >= row->time_ms && pw_row_is_for(m, row);
    due = !is_stale(m, row, due) && due;
    pump->due = due ? pump->due | mask : pump->due & ~mask;
}

/* Conditions and timers at this moment: invariant 7. A stop sentence is looked at while the pump runs. */
static void look(const pw_moment_view *m)
{
    pw_pump_control *pump = m->pump;
    for (int32_t i = 0; i < m->table->row_count; i++) {
        const pw_row *row = &m->table->rows[i];
        uint64_t mask = bit(row->sentence);
        bool while_running = row->kind == PW_SENTENCE_STOP || row->kind == PW_SENTENCE_HOLD_ON;
        bool looked_at = (!while_running || pump->state == PW_PUMP_RUNNING) && pw_row_is_for(m, row);
        bool holds = looked_at && pw_row_holds(m, row, false);
        if (row->share >= 0) {
            look_share(m, row, holds);
            continue;
        }
        if (is_stale(m, row, holds) || !holds) {
            pump->holds &= ~mask;
            pump->due &= ~mask;
            continue;
        }
        if ((pump->holds & mask) == 0) {
            pump->since_ms[row->sentence] = m->now_ms;
            pump->holds |= mask;
        }
        if (m->now_ms - pump->since_ms[row->sentence] >= row->time_ms) {
            pump->due |= mask; /* stays until the condition falls, so an old since_ms may wrap */
        }
    }
}

/* Windows and counters up to now, with everything as it was since the last step. */
static void pass(const pw_moment_view *m)
{
    pw_pump_control *pump = m->pump;
    for (int32_t i = 0; i < m->table->row_count; i++) {
        const pw_row *row = &m->table->rows[i];
        if (row->share >= 0) {
            pw_share_pass(&pump->shares[row->share], row, (pump->holds & bit(row->sentence)) != 0, m->now_ms);
        }
    }
    pw_count_run(pump, m->now_ms);
}

/* First row of a kind that is due; NULL none. */
static const pw_row *first_row_due(const pw_moment_view *m, uint8_t kind)
{
    for (int32_t i = 0; i < m->table->row_count; i++) {
        const pw_row *row = &m->table->rows[i];
        if (row->kind == kind && (m->pump->due & bit(row->sentence)) != 0) {
            return row;
        }
    }
    return NULL;
}

/* Its sentence; -1 none. */
static int16_t first_due(const pw_moment_view *m, uint8_t kind)
{
    const pw_row *row = first_row_due(m, kind);
    return row != NULL ? row->sentence : -1;
}

/* A stop sentence that keeps this stopped pump from starting; -1 none. */
static int16_t stop_in_the_way(const pw_moment_view *m)
{
    int16_t stop = -1;
    for (int32_t i = 0; i < m->table->row_count; i++) {
        const pw_row *row = &m->table->rows[i];
        if (!pw_row_is_for(m, row)) {
            continue;
        }
        if (row->kind == PW_SENTENCE_HOLD_ON && pw_row_holds(m, row, true)) {
            return -1;
        }
        bool stops = row->kind == PW_SENTENCE_STOP && row->share < 0 && row->time_ms == 0 && pw_row_holds(m, row, true);
        bool share = row->kind == PW_SENTENCE_STOP && row->share >= 0 && (m->pump->due & bit(row->sentence)) != 0;
        stop = stop < 0 && (stops || share) ? row->sentence : stop;
    }
    return stop;
}

static uint32_t start_left(const pw_moment_view *m)
{
    pw_sentence_kind by;
    return pw_start_left(m->whole, m->control, m->number, m->now_ms, &by);
}

uint32_t pw_run_on_left(const pw_pump_table *table, const pw_pump_control *pump, uint32_t now_ms)
{
    uint32_t age_ms = now_ms - pump->wish_ms;
    const uint32_t run_on_ms = table->set[PW_SENTENCE_RUN_ON].ms;
    return pump->stop_wanted && age_ms < run_on_ms ? run_on_ms - age_ms : 0;
}

uint32_t pw_least_run_left(const pw_pump_table *table, const pw_pump_control *pump, uint32_t now_ms)
{
    uint32_t ran_ms = pw_moment_age(pump->start, now_ms);
    const uint32_t least_ms = table->set[PW_SENTENCE_LEAST_RUN].ms;
    return ran_ms < least_ms ? least_ms - ran_ms : 0;
}

/* What a running pump that is told to stop waits for. */
static uint32_t stop_left(const pw_moment_view *m)
{
    uint32_t least_ms = pw_least_run_left(m->table, m->pump, m->now_ms);
    uint32_t on_ms = pw_run_on_left(m->table, m->pump, m->now_ms);
    return least_ms > on_ms ? least_ms : on_ms;
}

/* The stop sentence that is due and not overruled by a hold-on; -1 none. Keeps the run-on's timer. */
static int16_t wish_to_stop(const pw_moment_view *m)
{
    pw_pump_control *pump = m->pump;
    bool wish = pump->state == PW_PUMP_RUNNING && first_due(m, PW_SENTENCE_HOLD_ON) < 0;
    int16_t sentence = wish ? first_due(m, PW_SENTENCE_STOP) : -1;
    if (sentence >= 0 && !pump->stop_wanted) {
        pump->wish_ms = m->now_ms;
    }
    pump->stop_wanted = sentence >= 0;
    return sentence;
}

static int16_t wish_to_start(const pw_moment_view *m)
{
    int16_t sentence = m->pump->state == PW_PUMP_STOPPED ? first_due(m, PW_SENTENCE_START) : -1;
    return sentence >= 0 && stop_in_the_way(m) < 0 ? sentence : -1;
}

/* Transitions */

static void start(const pw_moment_view *m, int16_t sentence)
{
    pw_pump_control *pump = m->pump;
    pump->state = PW_PUMP_RUNNING;
    pump->start = pw_moment_now(m->now_ms);
    pump->started_by = sentence;
    pump->held_told = false;
    pump->waits_since_cut = false;
    pump->over_cut = PW_CUT_NO_LOCK;
    pump->unlocked = PW_UNLOCKED_NOT;
    pw_start_push(pump, m->now_ms);
    tell(m->out, PW_CONTROL_STARTED, m->number, sentence);
}

static void stop(const pw_moment_view *m, int16_t sentence)
{
    pw_pump_control *pump = m->pump;
    pump->state = PW_PUMP_STOPPED;
    pump->stop = pw_moment_now(m->now_ms);
    pump->has_stopped = true;
    pump->stopped_by = sentence;
    pump->held_told = false;
    pump->cut = false;
    tell(m->out, PW_CONTROL_STOPPED, m->number, sentence);
}

static void lock_out(const pw_moment_view *m, const pw_row *row)
{
    pw_pump_control *pump = m->pump;
    const int16_t sentence = row->sentence;
    pump->locked_terms = pw_row_terms(m, row); /* before the lock out itself changes what holds */
    pump->unlocked = PW_UNLOCKED_NOT;
    pump->over_cut = PW_CUT_NO_LOCK;
    tell(m->out, PW_CONTROL_LOCKED, m->number, sentence);
    if (pump->state == PW_PUMP_RUNNING) {
        stop(m, sentence);
    }
    pump->state = PW_PUMP_LOCKED;
    pump->lock = pw_moment_now(m->now_ms);
    pump->locked_by = sentence;
    int16_t retry = m->table->retry_of[sentence];
    bool left = retry >= 0 && (m->table->retries[retry].times == 0 || pump->retries < m->table->retries[retry].times);
    pump->retry = left ? retry : -1;
}

static uint32_t retry_wait(const pw_pump_table *table, const pw_pump_control *pump)
{
    const pw_retry *retry = &table->retries[pump->retry];
    int32_t last = retry->wait_count - 1;
    return retry->waits_ms[pump->retries < last ? pump->retries : last];
}

uint32_t pw_retry_left(const pw_pump_table *table, const pw_pump_control *pump, uint32_t now_ms)
{
    uint32_t wait_ms = retry_wait(table, pump);
    uint32_t age_ms = pw_moment_age(pump->lock, now_ms);
    return age_ms < wait_ms ? wait_ms - age_ms : 0;
}

static void release_or_retry(const pw_moment_view *m)
{
    pw_pump_control *pump = m->pump;
    if (pump->released) {
        pump->released = false;
        tell(m->out, PW_CONTROL_RELEASED, m->number, -1);
    }
    if (pump->state == PW_PUMP_LOCKED && pump->retry >= 0 && pw_retry_left(m->table, pump, m->now_ms) == 0) {
        int16_t sentence = m->table->retries[pump->retry].sentence;
        pump->retries = (int16_t)(pump->retries < PW_MAX_RETRIES ? pump->retries + 1 : PW_MAX_RETRIES);
        pw_unlock(m->whole, m->control, m->number, PW_UNLOCKED_BY_SETTINGS, m->now_ms);
        tell(m->out, PW_CONTROL_RETRIED, m->number, sentence);
    }
}

/* At most one start or one ordinary stop: invariant 5. Returns whether there was one. */
static bool start_or_stop(const pw_moment_view *m)
{
    pw_pump_control *pump = m->pump;
    int16_t wish = wish_to_stop(m);
    if (wish >= 0 && stop_left(m) == 0) {
        pw_team_stopped(m);
        stop(m, wish);
        pump->retries = 0; /* a run that ended as it should */
        pump->stop_wanted = false;
        return true;
    }
    wish = wish_to_start(m);
    if (wish >= 0 && start_left(m) == 0) {
        start(m, wish);
        return true;
    }
    return false;
}

static bool lock_if_due(const pw_moment_view *m)
{
    const pw_row *row = m->pump->state != PW_PUMP_LOCKED ? first_row_due(m, PW_SENTENCE_LOCK) : NULL;
    if (row != NULL) {
        lock_out(m, row);
    }
    return row != NULL;
}

static void step_pump(const pw_moment_view *m)
{
    pw_pump_control *pump = m->pump;
    const bool ran = pump->state == PW_PUMP_RUNNING;
    freeze(&pump->start, m->now_ms);
    freeze(&pump->stop, m->now_ms);
    freeze(&pump->lock, m->now_ms);
    freeze(&pump->unlock, m->now_ms);
    pw_starts_drop_old(pump, m->now_ms);
    pass(m);
    release_or_retry(m);
    look(m);
    if (lock_if_due(m)) {
        look(m); /* what the new state makes hold begins to count now */
    } else if (start_or_stop(m)) {
        look(m);
        if (lock_if_due(m)) {
            look(m);
        }
    }
    /* a start that met its own limit never reached the motor; invariant 5: no stop and start in one step */
    pump->counted_starts += !ran && pump->state == PW_PUMP_RUNNING ? 1 : 0;
    wish_to_stop(m);
    pump->in_the_way = pump->state == PW_PUMP_STOPPED ? stop_in_the_way(m) : -1;
    int16_t wish = wish_to_start(m);
    pw_sentence_kind by = PW_SENTENCE_COUNT;
    if (wish >= 0 && pw_start_left(m->whole, m->control, m->number, m->now_ms, &by) > 0 && !pump->held_told) {
        pump->held_told = true;
        tell(m->out, PW_CONTROL_HELD, m->number, wish);
        m->out->events[m->out->event_count - 1].held_by = by;
    }
}

/* Warnings: one that has nothing to do with the pump it was looked at for is told once, for the first pump. */
static bool tell_warnings(const pw_table *table, pw_control *control, pw_outputs *out)
{
    bool all_told = true;
    uint64_t earlier = 0;
    for (int32_t p = 0; p < table->pump_count; p++) {
        pw_pump_control *pump = &control->pumps[p];
        for (int32_t i = 0; i < table->pumps[p].row_count; i++) {
            const pw_row *row = &table->pumps[p].rows[i];
            uint64_t mask = bit(row->sentence);
            if (row->kind != PW_SENTENCE_WARN) {
                continue;
            }
            bool warns = (pump->due & mask) != 0;
            bool tells = warns && (pump->told & mask) == 0 && (row->of_pump || (earlier & mask) == 0);
            out->warned |= warns ? mask : 0;
            out->relays |= warns && row->relay >= 0 ? 1u << row->relay : 0;
            earlier |= warns ? mask : 0;
            if (tells && out->event_count == PW_MAX_CONTROL_EVENTS) {
                all_told = false;
                continue;
            }
            if (tells) {
                tell(out, PW_CONTROL_WARNED, (int16_t)p, row->sentence);
            }
            pump->told = warns ? pump->told | mask : pump->told & ~mask;
        }
    }
    return all_told;
}

/* Next due: the earliest moment at which time alone changes something. */

static uint32_t due_of_pump(const pw_moment_view *m)
{
    const pw_pump_control *pump = m->pump;
    uint32_t due_ms = PW_STEP_MS;
    for (int32_t i = 0; i < m->table->row_count; i++) {
        const pw_row *row = &m->table->rows[i];
        uint64_t mask = bit(row->sentence);
        if (row->share >= 0) {
            pw_sooner(&due_ms, pw_share_left(&pump->shares[row->share], row, (pump->holds & mask) != 0, m->now_ms));
        }
        bool idle = row->share >= 0 || (row->kind == PW_SENTENCE_START && pump->state != PW_PUMP_STOPPED) ||
                    (row->kind == PW_SENTENCE_LOCK && pump->state == PW_PUMP_LOCKED);
        if (!idle && (pump->holds & mask) != 0 && (pump->due & mask) == 0) {
            pw_sooner(&due_ms, row->time_ms - (m->now_ms - pump->since_ms[row->sentence]));
        }
        for (int32_t k = 0; k < row->term_count; k++) {
            pw_term_due(m, &row->terms[k], &due_ms);
        }
    }
    if (pump->stop_wanted) {
        pw_sooner(&due_ms, stop_left(m));
    }
    if (wish_to_start(m) >= 0) {
        pw_sooner(&due_ms, start_left(m));
    }
    if (pump->state == PW_PUMP_LOCKED && pump->retry >= 0) {
        pw_sooner(&due_ms, pw_retry_left(m->table, pump, m->now_ms));
    }
    return due_ms;
}

/* The time of the week, what is seen, and moments too far back for the clock. */
static void tick(const pw_table *table, pw_control *control, const double *inputs, uint32_t now_ms)
{
    control->week_ms = (uint32_t)(((uint64_t)control->week_ms + (now_ms - control->clock_at_ms)) % PW_WEEK_MS);
    control->clock_at_ms = now_ms;
    freeze(&control->power, now_ms);
    freeze(&control->change, now_ms);
    memcpy(control->seen, inputs, (size_t)table->signal_count * sizeof inputs[0]);
}

/* Any pump started, stopped, was locked out or released, even if its state is the same again. */
static bool any_changed(const pw_outputs *out)
{
    for (int32_t i = 0; i < out->event_count; i++) {
        if (out->events[i].kind != PW_CONTROL_WARNED && out->events[i].kind != PW_CONTROL_HELD) {
            return true;
        }
    }
    return false;
}

void pw_control_step(const pw_table *table, pw_control *control, const double *inputs, uint32_t now_ms, pw_outputs *out)
{
    memset(out, 0, sizeof *out);
    out->next_due_ms = PW_STEP_MS;
    for (int32_t p = 0; p < PW_MAX_PUMPS; p++) {
        out->locked_by[p] = -1;
    }
    tick(table, control, inputs, now_ms);
    int16_t sequence[PW_MAX_PUMPS];
    pw_team_sequence(table, control, sequence);
    for (int32_t i = 0; i < table->pump_count; i++) {
        const int16_t p = sequence[i];
        pw_pump_control *pump = &control->pumps[p];
        const pw_moment_view m = {.whole = table,
                                  .control = control,
                                  .table = &table->pumps[p],
                                  .pump = pump,
                                  .inputs = inputs,
                                  .now_ms = now_ms,
                                  .number = p,
                                  .out = out};
        step_pump(&m);
        out->run[p] = pump->state == PW_PUMP_RUNNING;
        out->locked[p] = pump->state == PW_PUMP_LOCKED;
        out->locked_by[p] = out->locked[p] ? pump->locked_by : -1;
        pw_sooner(&out->next_due_ms, due_of_pump(&m));
    }
    bool changed = pw_team_change(table, control, now_ms) || any_changed(out);
    pw_sooner(&out->next_due_ms, pw_team_due(table, control, now_ms));
    bool all_told = tell_warnings(table, control, out);
    if (!all_told || (changed && table->coupled)) {
        out->next_due_ms = 1;
    }
}
