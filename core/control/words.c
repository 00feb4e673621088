/* The state of a pump as facts: what it does, why, what it waits for and how long; after a lock out also what went
 * wrong and what to look at. One statement each.
 */
#include "control/action.h"
#include "control/teller.h"

pw_value pw_tell_keep(const pw_state_teller *t, pw_fact fact)
{
    return pw_fact_inside(t->out->arena, fact);
}

pw_value pw_tell_span(uint32_t span_ms)
{
    return pw_quantity(PW_DIM_TIME, span_ms / 1000.0);
}

pw_value pw_tell_age_ms(const pw_state_teller *t, uint32_t age_ms)
{
    return age_ms >= PW_LONG_AGO_MS ? pw_tell_keep(t, pw_fact_of("control.more-than", pw_tell_span(PW_LONG_AGO_MS)))
                                    : pw_tell_span(age_ms);
}

pw_value pw_tell_age(const pw_state_teller *t, pw_moment since)
{
    return pw_tell_age_ms(t, pw_moment_age(since, t->now_ms));
}

pw_value pw_tell_sentence(const pw_state_teller *t, int16_t sentence)
{
    return sentence >= 0 ? pw_sentence_value(t->out->arena, t->settings, sentence) : pw_named("");
}

static pw_value condition_of(const pw_state_teller *t, int16_t sentence)
{
    return pw_tell_keep(t, pw_condition_fact(t->out->arena, t->settings, &t->settings->sentences[sentence]));
}

bool pw_tell_applies(const pw_state_teller *t, const pw_row *row)
{
    return row->role < 0 || pw_control_role(t->whole, t->control, t->number) == row->role;
}

/* The first window of time that keeps a condition from holding. */
static const pw_term *clock_term(const pw_state_teller *t, const pw_row *row, uint32_t *left_ms)
{
    uint32_t week_ms = (uint32_t)(((uint64_t)t->control->week_ms + (t->now_ms - t->control->clock_at_ms)) % PW_WEEK_MS);
    for (int32_t k = 0; k < row->term_count; k++) {
        const pw_term *term = &row->terms[k];
        if (term->kind == PW_TERM_CLOCK && pw_clock_inside(term, week_ms) != term->above) {
            *left_ms = pw_clock_left(term, week_ms);
            return term;
        }
    }
    return NULL;
}

static const pw_term *ignored_term(const pw_state_teller *t, const pw_row *row, uint32_t *left_ms)
{
    uint32_t ran_ms = pw_moment_age(t->pump->start, t->now_ms);
    for (int32_t k = 0; k < row->term_count; k++) {
        if (ran_ms < row->terms[k].ignore_ms) {
            *left_ms = row->terms[k].ignore_ms - ran_ms;
            return &row->terms[k];
        }
    }
    return NULL;
}

/* How a condition that is waited for stands, with its timer. */
static pw_fact standing(const pw_state_teller *t, const pw_row *row)
{
    const uint64_t mask = (uint64_t)1 << row->sentence;
    uint32_t left_ms = 0, clock_ms = 0;
    const pw_term *ignored = ignored_term(t, row, &left_ms);
    const pw_term *later = row->turned ? NULL : clock_term(t, row, &clock_ms);
    if ((t->pump->due & mask) != 0) {
        return pw_fact_of(row->turned ? "control.not-now" : "control.now");
    }
    if ((t->pump->stale & mask) != 0) {
        return pw_fact_of("control.stale");
    }
    if (row->share >= 0) {
        return pw_fact_of("control.so-far", pw_tell_span(pw_share_held(&t->pump->shares[row->share])));
    }
    if (later != NULL) {
        return pw_fact_of("control.time-changes", pw_tell_span(clock_ms));
    }
    if (row->turned) {
        return pw_fact_of("control.now");
    }
    if ((t->pump->holds & mask) != 0) {
        const uint32_t held_ms = t->now_ms - t->pump->since_ms[row->sentence];
        return pw_fact_of("control.to-go", pw_tell_span(held_ms < row->time_ms ? row->time_ms - held_ms : 0));
    }
    if (ignored != NULL) {
        return pw_fact_of("control.ignored", pw_tell_keep(t, pw_term_fact(t->out->arena, t->settings, ignored)),
                          pw_tell_span(left_ms));
    }
    return pw_no_fact();
}

static void put_all_waited(const pw_state_teller *t, uint8_t kind, const char *lead)
{
    for (int32_t i = 0; i < t->table->row_count; i++) {
        const pw_row *row = &t->table->rows[i];
        if (row->kind == kind && pw_tell_applies(t, row)) {
            pw_tell(t->out, row->turned ? "control.runs-only-while" : lead, condition_of(t, row->sentence),
                    pw_tell_keep(t, standing(t, row)));
        }
    }
}

static void put_left(const pw_state_teller *t, const char *id, uint32_t left_ms)
{
    if (left_ms > 0) {
        pw_tell(t->out, id, pw_tell_span(left_ms));
    }
}

/* Its name, and its role among those that share the work. */
static pw_value who(const pw_state_teller *t)
{
    const int32_t role = t->control->lost ? -1 : pw_control_role(t->whole, t->control, t->number);
    return pw_tell_keep(t, pw_fact_of("control.who", pw_named(t->settings->pumps[t->number]),
                                      role >= 0 ? pw_tell_keep(t, pw_role_fact(role)) : pw_named("")));
}

static void put_running(const pw_state_teller *t)
{
    pw_tell(t->out, "control.running", who(t), pw_tell_age(t, t->pump->start),
            pw_tell_sentence(t, t->pump->started_by));
    pw_tell_supply(t);
    put_left(t, "control.runs-at-least", pw_least_run_left(t->table, t->pump, t->now_ms));
    put_left(t, "control.runs-on", pw_run_on_left(t->table, t->pump, t->now_ms));
    put_all_waited(t, PW_SENTENCE_STOP, "control.stops-when");
    put_all_waited(t, PW_SENTENCE_HOLD_ON, "control.keeps-running-while");
    put_all_waited(t, PW_SENTENCE_LOCK, "control.locks-out-when");
}

/* How long the time of day still keeps it from starting; no value: it does not. */
static pw_value clock_left(const pw_state_teller *t, int16_t sentence)
{
    for (int32_t i = 0; i < t->table->row_count; i++) {
        uint32_t left_ms = 0;
        const pw_row *row = &t->table->rows[i];
        if (row->sentence == sentence && row->turned && clock_term(t, row, &left_ms) != NULL) {
            return pw_tell_span(left_ms);
        }
    }
    return pw_named("");
}

/* A stop sentence that a start would run into. */
static void put_in_the_way(const pw_state_teller *t)
{
    const int16_t sentence = t->pump->in_the_way;
    if (sentence >= 0) {
        pw_tell(t->out, "control.in-the-way", pw_tell_sentence(t, sentence), clock_left(t, sentence));
    }
}

bool pw_tell_has_start(const pw_state_teller *t)
{
    for (int32_t i = 0; i < t->table->row_count; i++) {
        if (t->table->rows[i].kind == PW_SENTENCE_START && pw_tell_applies(t, &t->table->rows[i])) {
            return true;
        }
    }
    return false;
}

static void put_stopped(const pw_state_teller *t)
{
    const pw_pump_control *pump = t->pump;
    if (pump->cut && pump->cut_ms > 0) { /* it ran when the supply went, though its rest counts from the return */
        pw_tell(t->out, "control.stopped-by-cut", who(t),
                pw_tell_age_ms(t, pw_moment_age(pump->stop, t->now_ms) + pump->cut_ms));
    } else if (pump->cut) {
        pw_tell(t->out, "control.stopped-since-cut", who(t));
    } else if (pump->has_stopped) {
        pw_tell(t->out, "control.stopped", who(t), pw_tell_age(t, pump->stop), pw_tell_sentence(t, pump->stopped_by));
    } else {
        pw_tell(t->out, "control.never-ran", who(t));
    }
    pw_tell_release(t);
    pw_tell_supply(t);
    for (uint8_t kind = PW_SENTENCE_COUNT; kind-- > 0;) {
        const pw_action *action = pw_action_of(kind);
        if (action->start_left != NULL) {
            put_left(t, action->waits, action->start_left(t->whole, t->control, t->number, t->now_ms));
        }
    }
    put_in_the_way(t);
    put_all_waited(t, PW_SENTENCE_START, "control.starts-when");
    if (!pw_tell_has_start(t)) {
        pw_tell(t->out, "control.stands-by");
    }
}

static void put_locked(const pw_state_teller *t)
{
    const bool just = pw_moment_age(t->pump->lock, t->now_ms) == 0;
    pw_tell(t->out, "control.locked-out", who(t), just ? pw_named("") : pw_tell_age(t, t->pump->lock),
            pw_tell_sentence(t, t->pump->locked_by));
    pw_tell_supply(t);
    pw_settings_advise(t->settings, t->facts, t->pump->locked_by, t->number, t->pump->locked_terms, t->out);
    if (t->pump->retry < 0) {
        pw_tell(t->out, "control.until-released");
        return;
    }
    const pw_retry *retry = &t->table->retries[t->pump->retry];
    pw_tell(t->out, "control.released-in", pw_tell_span(pw_retry_left(t->table, t->pump, t->now_ms)),
            pw_count(retry->times > 0 ? t->pump->retries + 1 : 0), pw_count(retry->times));
}

void pw_control_tell(const pw_settings *settings, const pw_site_facts *facts, const pw_table *table,
                     const pw_control *control, int32_t pump, uint32_t now_ms, pw_facts *out)
{
    const pw_state_teller t = {.settings = settings,
                               .facts = facts,
                               .whole = table,
                               .control = control,
                               .table = &table->pumps[pump],
                               .pump = &control->pumps[pump],
                               .number = pump,
                               .now_ms = now_ms,
                               .out = out};
    if (control->lost) {
        pw_tell_lost(&t);
        return;
    }
    switch (t.pump->state) {
    case PW_PUMP_RUNNING: put_running(&t); break;
    case PW_PUMP_LOCKED: put_locked(&t); break;
    default: put_stopped(&t); break;
    }
    for (int32_t i = 0; i < t.table->row_count; i++) {
        const pw_row *row = &t.table->rows[i];
        if (row->kind == PW_SENTENCE_WARN && (t.pump->due >> row->sentence & 1u) != 0) {
            pw_tell(out, "control.warns", condition_of(&t, row->sentence),
                    pw_named(row->relay >= 0 ? settings->relays[row->relay] : ""));
        }
    }
    pw_tell_readings(&t);
    pw_tell_counts(&t);
}
