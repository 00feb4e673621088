/* The step of one pump over zones: step.c once more, asking each age whether it has reached a time instead of reading
 * it. Where a zone holds both answers the step is gone through twice, once for each part (w->bits). Shown equal to the
 * real step on long random input by tests/unit/control/test_worst.c.
 */
#include "control/worst_inside.h"

#include <string.h>

static uint64_t bit(const pw_row *row)
{
    return (uint64_t)1 << row->sentence;
}

static void note(worst_way *w, worst_deed deed, int32_t clock, int64_t ms)
{
    if (w->asked != NULL && w->asked_count < MOST_ASKED) {
        w->asked[w->asked_count] = (worst_asked){(uint8_t)deed, (uint8_t)clock, ms};
        w->asked_count++;
    }
}

/* The answer to an open question on this way; a new one is answered yes first. */
static bool decide(worst_way *w)
{
    if (w->used == MOST_DECISIONS) {
        w->failed = true;
        return true;
    }
    if (w->used == w->decided) {
        w->bits |= (uint64_t)1 << w->used;
        w->decided++;
    }
    w->used++;
    return (w->bits >> (w->used - 1) & 1u) != 0;
}

/* Is this clock at least so old? */
static bool old(worst_way *w, int32_t clock, int64_t ms)
{
    const int32_t n = w->m->clocks;
    if (ms <= 0) {
        return true;
    }
    bool yes = -w->d[clock] >= ms;
    if (!yes && w->d[clock * n] >= ms) {
        yes = decide(w);
        (void)(yes ? zone_and(w->d, n, CLOCK_ZERO, clock, -ms) : zone_and(w->d, n, clock, CLOCK_ZERO, ms - 1));
    }
    note(w, yes ? DEED_OLD : DEED_YOUNG, clock, ms);
    return yes;
}

static void reset(worst_way *w, int32_t clock)
{
    zone_reset(w->d, w->m->clocks, clock);
    note(w, DEED_RESET, clock, 0);
}

/* ---- terms ---- */

static bool term_holds(worst_way *w, const worst_row *row, int32_t k, bool fresh)
{
    const pw_term *term = &row->row->terms[k];
    const bool running = w->s.state == PW_PUMP_RUNNING || fresh;
    if (term->needs_run && (!running || fresh)) {
        return false;
    }
    if (term->ignore_ms > 0 && (fresh || !old(w, CLOCK_RUN, term->ignore_ms))) {
        return false;
    }
    if (row->inputs[k] >= 0) {
        const double value = w->inputs[row->inputs[k]];
        if (!pw_form_of(term->kind)->signal) {
            return (value > 0.5) == (term->kind != PW_TERM_CLOCK || term->above);
        }
        return pw_reading_holds(term, value);
    }
    switch (term->kind) {
    case PW_TERM_RUNNING: return running && (term->time_ms == 0 || (!fresh && old(w, CLOCK_RUN, term->time_ms)));
    case PW_TERM_STOPPED: return !running && old(w, CLOCK_STOP, term->time_ms);
    case PW_TERM_LOCKED: return w->s.state == PW_PUMP_LOCKED && old(w, CLOCK_LOCK, term->time_ms);
    default: return w->s.retries >= term->count; /* PW_TERM_RETRIES: all others are inputs */
    }
}

static bool row_holds(worst_way *w, const worst_row *row, bool fresh)
{
    bool group = true;
    for (int32_t k = 0; k < row->row->term_count; k++) {
        if (row->row->terms[k].or_before) {
            if (group) {
                return !row->row->turned;
            }
            group = true;
        }
        group = group && term_holds(w, row, k, fresh);
    }
    return group != row->row->turned;
}

static bool is_for(const worst_way *w, const pw_row *row)
{
    return row->role < 0 || (int32_t)w->inputs[w->m->role_input] == row->role + 1;
}

/* ---- looking ---- */

static bool is_stale(worst_way *w, const pw_row *row, bool holds)
{
    if (row->kind != PW_SENTENCE_START || !holds) {
        w->s.stale &= ~bit(row);
        return false;
    }
    const int64_t call_ms = w->m->table->new_call_ms;
    /* a pump that runs has rested, and the rest is no shorter than the time for new calls */
    const bool rests = call_ms > 0 && w->s.has_stopped && w->s.state != PW_PUMP_RUNNING && !old(w, CLOCK_STOP, call_ms);
    w->s.stale |= rests ? bit(row) : 0;
    return (w->s.stale & bit(row)) != 0;
}

/* Held all the time it is due whatever was before; less may be enough, as it likes. */
static void look_share(worst_way *w, const worst_row *row, bool holds)
{
    const uint64_t mask = bit(row->row);
    if (holds && (w->s.holds & mask) == 0) {
        reset(w, row->timer);
    }
    w->s.holds = holds ? w->s.holds | mask : w->s.holds & ~mask;
    bool due = is_for(w, row->row) && (w->inputs[row->share] > 0.5 || (holds && old(w, row->timer, row->row->time_ms)));
    due = !is_stale(w, row->row, due) && due;
    w->due = due ? w->due | mask : w->due & ~mask;
}

static void look(worst_way *w)
{
    for (int32_t i = 0; i < w->m->row_count; i++) {
        const worst_row *row = &w->m->rows[i];
        const uint64_t mask = bit(row->row);
        const bool while_running = row->row->kind == PW_SENTENCE_STOP || row->row->kind == PW_SENTENCE_HOLD_ON;
        const bool looked_at = (!while_running || w->s.state == PW_PUMP_RUNNING) && is_for(w, row->row);
        const bool holds = looked_at && row_holds(w, row, false);
        if (row->share >= 0) {
            look_share(w, row, holds);
            continue;
        }
        w->due &= ~mask;
        if (is_stale(w, row->row, holds) || !holds) {
            w->s.holds &= ~mask;
            continue;
        }
        if ((w->s.holds & mask) == 0 && row->timer > 0) {
            reset(w, row->timer);
        }
        w->s.holds |= mask;
        w->due |= row->timer == 0 || old(w, row->timer, row->row->time_ms) ? mask : 0;
    }
}

static const pw_row *first_due(const worst_way *w, uint8_t kind)
{
    for (int32_t i = 0; i < w->m->row_count; i++) {
        if (w->m->rows[i].row->kind == kind && (w->due & bit(w->m->rows[i].row)) != 0) {
            return w->m->rows[i].row;
        }
    }
    return NULL;
}

static int16_t stop_in_the_way(worst_way *w)
{
    int16_t stop = -1;
    for (int32_t i = 0; i < w->m->row_count; i++) {
        const worst_row *row = &w->m->rows[i];
        if (!is_for(w, row->row)) {
            continue;
        }
        if (row->row->kind == PW_SENTENCE_HOLD_ON && row_holds(w, row, true)) {
            return -1;
        }
        if (row->row->kind != PW_SENTENCE_STOP || stop >= 0) {
            continue;
        }
        const bool stops = row->share < 0 && row->row->time_ms == 0 && row_holds(w, row, true);
        const bool share = row->share >= 0 && (w->due & bit(row->row)) != 0;
        stop = stops || share ? row->row->sentence : -1;
    }
    return stop;
}

static bool may_start(worst_way *w)
{
    const pw_set *set = w->m->table->set;
    if (w->s.has_stopped && !old(w, CLOCK_STOP, set[PW_SENTENCE_REST].ms)) {
        return false;
    }
    return old(w, CLOCK_POWER, set[PW_SENTENCE_POWER_ON].ms);
}

static bool may_stop(worst_way *w)
{
    return old(w, CLOCK_RUN, w->m->table->set[PW_SENTENCE_LEAST_RUN].ms) &&
           (!w->s.stop_wanted || old(w, CLOCK_WISH, w->m->table->set[PW_SENTENCE_RUN_ON].ms));
}

static bool wish_to_stop(worst_way *w)
{
    const bool wish = w->s.state == PW_PUMP_RUNNING && first_due(w, PW_SENTENCE_HOLD_ON) == NULL &&
                      first_due(w, PW_SENTENCE_STOP) != NULL;
    if (wish && !w->s.stop_wanted) {
        reset(w, CLOCK_WISH);
    }
    w->s.stop_wanted = wish;
    return wish;
}

static bool wish_to_start(worst_way *w)
{
    if (w->s.state != PW_PUMP_STOPPED || first_due(w, PW_SENTENCE_START) == NULL) {
        return false;
    }
    w->way_by = stop_in_the_way(w);
    return w->way_by < 0;
}

/* ---- transitions ---- */

/* Does the first run tell of all of them (worst_model.c)? */
static bool first_run(const worst_model *m)
{
    return m->measure == MEASURE_RUN || m->measure == MEASURE_DRY;
}

static void start(worst_way *w)
{
    w->s.state = PW_PUMP_RUNNING;
    reset(w, CLOCK_RUN);
    for (int32_t i = 0; first_run(w->m) && w->m->table->retry_count > 0 && i < w->m->row_count; i++) {
        if (w->m->rows[i].row->kind == PW_SENTENCE_LOCK) { /* a release before it may have set them to zero */
            w->s.holds &= ~bit(w->m->rows[i].row);
        }
    }
}

static void stop(worst_way *w)
{
    w->s.state = PW_PUMP_STOPPED;
    w->s.has_stopped = true;
    reset(w, CLOCK_STOP);
}

static bool lock_if_due(worst_way *w)
{
    const pw_row *row = w->s.state != PW_PUMP_LOCKED ? first_due(w, PW_SENTENCE_LOCK) : NULL;
    if (row == NULL) {
        return false;
    }
    if (w->s.state == PW_PUMP_RUNNING) {
        stop(w);
    }
    w->s.state = PW_PUMP_LOCKED;
    reset(w, CLOCK_LOCK);
    const int16_t retry = w->m->table->retry_of[row->sentence];
    const bool left =
        retry >= 0 && (w->m->table->retries[retry].times == 0 || w->s.retries < w->m->table->retries[retry].times);
    w->s.retry = (int8_t)(left ? retry : -1);
    return true;
}

static int64_t retry_wait(const worst_way *w)
{
    const pw_retry *retry = &w->m->table->retries[w->s.retry];
    const int32_t last = retry->wait_count - 1;
    return retry->waits_ms[w->s.retries < last ? w->s.retries : last];
}

static void retry_if_due(worst_way *w)
{
    if (w->s.state != PW_PUMP_LOCKED || w->s.retry < 0 || !old(w, CLOCK_LOCK, retry_wait(w))) {
        return;
    }
    w->s.retries = (int16_t)(w->s.retries < w->m->most_retries ? w->s.retries + 1 : w->m->most_retries);
    w->s.state = PW_PUMP_STOPPED;
    w->s.retry = -1;
    w->s.stale = 0;
    for (int32_t i = 0; i < w->m->row_count; i++) {
        if (w->m->rows[i].row->kind == PW_SENTENCE_LOCK) {
            w->s.holds &= ~bit(w->m->rows[i].row);
        }
    }
}

static bool start_or_stop(worst_way *w)
{
    if (wish_to_stop(w) && may_stop(w)) {
        stop(w);
        w->s.retries = 0;
        w->s.stop_wanted = false;
        return true;
    }
    if (wish_to_start(w) && may_start(w)) {
        start(w);
        return true;
    }
    return false;
}

/* ---- what is measured ---- */

/* Starts count from one that is chosen on, within an hour. */
static void count_starts(worst_way *w)
{
    const worst_model *m = w->m;
    if (w->s.counted > 0) {
        w->dead = !zone_and(w->d, m->clocks, CLOCK_MEASURE, CLOCK_ZERO, PW_WORST_HOUR_MS - 1);
        note(w, DEED_YOUNG, CLOCK_MEASURE, PW_WORST_HOUR_MS);
        w->s.counted = (int16_t)(w->s.counted + (w->started ? 1 : 0));
        w->span_ms = w->started ? -w->d[CLOCK_MEASURE] : -1;
    }
    if (w->begins) {
        w->dead = !w->started || w->s.counted > 0;
        w->s.counted = 1;
        reset(w, CLOCK_MEASURE);
    }
}

static void measure(worst_way *w, bool ran)
{
    const worst_model *m = w->m;
    w->started = !ran && w->s.state == PW_PUMP_RUNNING;
    w->span_ms = -1;
    if (worst_counts(m)) {
        count_starts(w);
        w->dead = w->dead || w->s.state == PW_PUMP_LOCKED;
    }
    if (first_run(m)) {
        w->dead = w->s.state == PW_PUMP_LOCKED || (w->s.state == PW_PUMP_STOPPED && w->s.has_stopped);
    }
    if (m->measure == MEASURE_DRY) {
        const bool dry = w->s.state == PW_PUMP_RUNNING && pw_reading_holds(m->dry, w->inputs[m->dry_input]);
        if (dry && !w->s.dry) {
            reset(w, CLOCK_MEASURE);
        }
        w->s.dry = dry;
    }
}

/* Clocks that nothing asks before they are set again may be as they like. */
static void forget(worst_way *w)
{
    const worst_model *m = w->m;
    const bool runs = w->s.state == PW_PUMP_RUNNING;
    const bool idle[CLOCK_FIRST] = {
        [CLOCK_RUN] = !runs && !m->keeps_run,
        [CLOCK_STOP] = runs,
        [CLOCK_LOCK] = w->s.state != PW_PUMP_LOCKED,
        [CLOCK_WISH] = !w->s.stop_wanted,
        [CLOCK_POWER] = !m->table->set[PW_SENTENCE_POWER_ON].there,
        [CLOCK_MEASURE] = worst_counts(m) ? w->s.counted == 0 : !w->s.dry,
    };
    for (int32_t clock = 1; clock < CLOCK_FIRST; clock++) {
        if (idle[clock]) {
            zone_free(w->d, m->clocks, clock);
        }
    }
    for (int32_t i = 0; i < m->row_count; i++) {
        if (m->rows[i].timer > 0 && (w->s.holds & bit(m->rows[i].row)) == 0) {
            zone_free(w->d, m->clocks, m->rows[i].timer);
        }
    }
}

void worst_step(worst_way *w)
{
    const bool ran = w->s.state == PW_PUMP_RUNNING;
    w->used = 0;
    w->way_by = -1;
    retry_if_due(w);
    look(w);
    if (lock_if_due(w)) {
        look(w);
    } else if (start_or_stop(w)) {
        look(w);
        if (lock_if_due(w)) {
            look(w);
        }
    }
    const bool wish = wish_to_stop(w);
    w->waits = !wish && wish_to_start(w);
    w->urgent = wish ? may_stop(w) : w->waits && may_start(w);
    measure(w, ran);
}

/* ---- time ---- */

/* Time alone changes something when this clock reaches ms. */
static void until(worst_way *w, int64_t *most, int32_t clock, int64_t ms)
{
    if (ms > 0 && !old(w, clock, ms) && ms < most[clock]) {
        most[clock] = ms;
    }
}

static void until_terms(worst_way *w, int64_t *most, const worst_row *row)
{
    for (int32_t k = 0; k < row->row->term_count; k++) {
        const pw_term *term = &row->row->terms[k];
        const bool runs = w->s.state == PW_PUMP_RUNNING;
        if (runs || w->m->keeps_run) {
            until(w, most, CLOCK_RUN, term->ignore_ms);
        }
        if (row->inputs[k] >= 0) {
            continue;
        }
        if (term->kind == PW_TERM_RUNNING && runs) {
            until(w, most, CLOCK_RUN, term->time_ms);
        } else if (term->kind == PW_TERM_STOPPED && !runs) {
            until(w, most, CLOCK_STOP, term->time_ms);
        } else if (term->kind == PW_TERM_LOCKED && w->s.state == PW_PUMP_LOCKED) {
            until(w, most, CLOCK_LOCK, term->time_ms);
        }
    }
}

static void until_times(worst_way *w, int64_t *most)
{
    const pw_set *set = w->m->table->set;
    if (w->s.state == PW_PUMP_RUNNING) {
        until(w, most, CLOCK_RUN, set[PW_SENTENCE_LEAST_RUN].ms);
    }
    if (w->waits) {
        until(w, most, CLOCK_STOP, w->s.has_stopped ? set[PW_SENTENCE_REST].ms : 0);
        until(w, most, CLOCK_POWER, set[PW_SENTENCE_POWER_ON].ms);
    }
    if (w->s.stop_wanted) {
        until(w, most, CLOCK_WISH, set[PW_SENTENCE_RUN_ON].ms);
    }
    if (w->s.state == PW_PUMP_LOCKED && w->s.retry >= 0) {
        until(w, most, CLOCK_LOCK, retry_wait(w));
    }
}

void worst_pass(worst_way *w)
{
    const worst_model *m = w->m;
    int64_t most[MOST_CLOCKS];
    for (int32_t i = 0; i < m->clocks; i++) {
        most[i] = WORST_INF;
    }
    for (int32_t i = 0; i < m->row_count; i++) {
        const worst_row *row = &m->rows[i];
        const uint8_t kind = row->row->kind;
        const bool idle = (kind == PW_SENTENCE_START && w->s.state != PW_PUMP_STOPPED) ||
                          (kind == PW_SENTENCE_LOCK && w->s.state == PW_PUMP_LOCKED);
        if (!idle && row->timer > 0 && (w->s.holds & bit(row->row)) != 0) {
            until(w, most, row->timer, row->row->time_ms);
        }
        until_terms(w, most, row);
    }
    until_times(w, most);
    forget(w);
    zone_pass(w->d, m->clocks, !w->urgent);
    for (int32_t i = 1; i < m->clocks; i++) {
        if (most[i] < WORST_INF) {
            (void)zone_and(w->d, m->clocks, i, CLOCK_ZERO, most[i]);
            note(w, DEED_UNTIL, i, most[i]);
        }
    }
}

void worst_begin(const worst_model *m, worst_state *s, int64_t *d)
{
    static const int32_t long_ago[] = {CLOCK_RUN, CLOCK_LOCK};
    memset(s, 0, sizeof *s);
    s->retry = -1;
    zone_zero(d, m->clocks);
    for (int32_t i = 0; i < 2; i++) {
        zone_free(d, m->clocks, long_ago[i]);
        (void)zone_and(d, m->clocks, CLOCK_ZERO, long_ago[i], -(int64_t)PW_LONG_AGO_MS);
    }
}
