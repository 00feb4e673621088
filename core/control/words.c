/* The state of a pump in plain words: what it does, why, what it waits for and how long; after a lock out also what
 * went wrong and what to look at. One statement a line.
 */
#include "control/teller.h"

void pw_tell_span(const pw_teller *t, uint32_t span_ms)
{
    pw_units units = pw_units_metric();
    pw_quantity_put(t->text, &units, PW_DIM_TIME, span_ms / 1000.0);
}

void pw_tell_age_ms(const pw_teller *t, uint32_t age_ms)
{
    if (age_ms >= PW_LONG_AGO_MS) {
        pw_text_put(t->text, "more than ");
        age_ms = PW_LONG_AGO_MS;
    }
    pw_tell_span(t, age_ms);
}

void pw_tell_age(const pw_teller *t, pw_moment since)
{
    pw_tell_age_ms(t, pw_moment_age(since, t->now_ms));
}

void pw_tell_because(const pw_teller *t, int16_t sentence)
{
    if (sentence >= 0) {
        pw_text_put(t->text, ", because of \"");
        pw_settings_put(t->settings, sentence, t->text);
        pw_text_put(t->text, "\"");
    }
    pw_text_put(t->text, ".\n");
}

bool pw_tell_applies(const pw_teller *t, const pw_row *row)
{
    return row->role < 0 || pw_control_role(t->whole, t->control, t->number) == row->role;
}

/* The first window of time that keeps a condition from holding. */
static const pw_term *clock_term(const pw_teller *t, const pw_row *row, uint32_t *left_ms)
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

static const pw_term *ignored_term(const pw_teller *t, const pw_row *row, uint32_t *left_ms)
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

/* One condition that is waited for, with its timer. */
static void put_waited(const pw_teller *t, const pw_row *row, const char *lead)
{
    uint64_t mask = (uint64_t)1 << row->sentence;
    uint32_t left_ms = 0;
    pw_text_put(t->text, lead);
    pw_condition_put(t->settings, &t->settings->sentences[row->sentence], t->text);
    uint32_t clock_ms = 0;
    const pw_term *ignored = ignored_term(t, row, &left_ms);
    const pw_term *later = row->turned ? NULL : clock_term(t, row, &clock_ms);
    if ((t->pump->due & mask) != 0) {
        pw_text_put(t->text, row->turned ? " (does not hold now)" : " (holds now)");
    } else if ((t->pump->stale & mask) != 0) {
        pw_text_put(t->text, " (holds since before the rest was over: it must cease, and begin anew)");
    } else if (row->share >= 0) {
        pw_text_put(t->text, " (so far ");
        pw_tell_span(t, pw_share_held(&t->pump->shares[row->share]));
        pw_text_put(t->text, ")");
    } else if (later != NULL) {
        pw_text_put(t->text, " (the time changes in ");
        pw_tell_span(t, clock_ms);
        pw_text_put(t->text, ")");
    } else if (row->turned) {
        pw_text_put(t->text, " (holds now)");
    } else if ((t->pump->holds & mask) != 0) {
        uint32_t held_ms = t->now_ms - t->pump->since_ms[row->sentence];
        pw_text_put(t->text, " (holds now, ");
        pw_tell_span(t, held_ms < row->time_ms ? row->time_ms - held_ms : 0);
        pw_text_put(t->text, " to go)");
    } else if (ignored != NULL) {
        pw_text_put(t->text, " (");
        pw_term_put(t->settings, ignored, t->text);
        pw_text_put(t->text, " is ignored for another ");
        pw_tell_span(t, left_ms);
        pw_text_put(t->text, ")");
    }
    pw_text_put(t->text, ".\n");
}

static void put_all_waited(const pw_teller *t, uint8_t kind, const char *lead)
{
    for (int32_t i = 0; i < t->table->row_count; i++) {
        const pw_row *row = &t->table->rows[i];
        if (row->kind == kind && pw_tell_applies(t, row)) {
            put_waited(t, row, row->turned ? "It runs only while " : lead);
        }
    }
}

static void put_left(const pw_teller *t, const char *before, uint32_t left_ms, const char *after)
{
    if (left_ms > 0) {
        pw_text_put(t->text, before);
        pw_tell_span(t, left_ms);
        pw_text_put(t->text, after);
    }
}

static void put_running(const pw_teller *t)
{
    pw_text_put(t->text, " has been running for ");
    pw_tell_age(t, t->pump->start);
    pw_tell_because(t, t->pump->started_by);
    pw_tell_supply(t);
    put_left(t, "It runs at least another ", pw_least_run_left(t->table, t->pump, t->now_ms), ".\n");
    put_left(t, "It is told to stop and runs on for another ", pw_run_on_left(t->table, t->pump, t->now_ms), ".\n");
    put_all_waited(t, PW_SENTENCE_STOP, "It stops when ");
    put_all_waited(t, PW_SENTENCE_HOLD_ON, "It keeps running while ");
    put_all_waited(t, PW_SENTENCE_LOCK, "It locks out when ");
}

static void put_clock_left(const pw_teller *t, int16_t sentence)
{
    for (int32_t i = 0; i < t->table->row_count; i++) {
        uint32_t left_ms = 0;
        const pw_row *row = &t->table->rows[i];
        if (row->sentence == sentence && row->turned && clock_term(t, row, &left_ms) != NULL) {
            pw_text_put(t->text, ", for another ");
            pw_tell_span(t, left_ms);
        }
    }
}

/* What a start that is wanted still waits for. */
static void put_in_the_way(const pw_teller *t)
{
    int16_t sentence = t->pump->in_the_way;
    if (sentence >= 0) {
        pw_text_put(t->text, "It may not start now: \"");
        pw_settings_put(t->settings, sentence, t->text);
        pw_text_put(t->text, "\" is in the way");
        put_clock_left(t, sentence);
        pw_text_put(t->text, ".\n");
    }
    put_left(t, "It waits for another ", pw_power_left(t->table, t->control, t->now_ms),
             ", because the power came on.\n");
    put_left(t, "It waits for another ", pw_apart_left(t->whole, t->control, t->number, t->now_ms),
             ", because another pump has just started.\n");
}

bool pw_tell_has_start(const pw_teller *t)
{
    for (int32_t i = 0; i < t->table->row_count; i++) {
        if (t->table->rows[i].kind == PW_SENTENCE_START && pw_tell_applies(t, &t->table->rows[i])) {
            return true;
        }
    }
    return false;
}

/* It ran when the supply went: it has stood since then, though its rest counts from the return. */
static void put_cut(const pw_teller *t)
{
    if (t->pump->cut_ms > 0) {
        pw_text_put(t->text, " has been stopped for ");
        pw_tell_age_ms(t, pw_moment_age(t->pump->stop, t->now_ms) + t->pump->cut_ms);
        pw_text_put(t->text, ", because the supply was lost.\n");
    } else {
        pw_text_put(t->text, " has been stopped since the supply was lost.\n");
    }
}

static void put_stopped(const pw_teller *t)
{
    if (t->pump->cut) {
        put_cut(t);
    } else if (t->pump->has_stopped) {
        pw_text_put(t->text, " has been stopped for ");
        pw_tell_age(t, t->pump->stop);
        pw_tell_because(t, t->pump->stopped_by);
    } else {
        pw_text_put(t->text, " is stopped and has not run yet.\n");
    }
    pw_tell_release(t);
    pw_tell_supply(t);
    put_left(t, "It rests for another ", pw_rest_left(t->table, t->pump, t->now_ms), ".\n");
    put_in_the_way(t);
    put_all_waited(t, PW_SENTENCE_START, "It starts when ");
    if (!pw_tell_has_start(t)) {
        pw_text_put(t->text, "It stands by: it moves up when another pump is locked out.\n");
    }
}

static void put_locked(const pw_teller *t)
{
    if (pw_moment_age(t->pump->lock, t->now_ms) == 0) {
        pw_text_put(t->text, " has just been locked out");
    } else {
        pw_text_put(t->text, " has been locked out for ");
        pw_tell_age(t, t->pump->lock);
    }
    pw_tell_because(t, t->pump->locked_by);
    pw_tell_supply(t);
    pw_settings_put_advice(t->settings, t->facts, t->pump->locked_by, t->number, t->pump->locked_terms, t->text);
    if (t->pump->retry < 0) {
        pw_text_put(t->text, "It stays locked out until a person releases it.\n");
        return;
    }
    const pw_retry *retry = &t->table->retries[t->pump->retry];
    pw_text_put(t->text, "It is released by itself in ");
    pw_tell_span(t, pw_retry_left(t->table, t->pump, t->now_ms));
    if (retry->times > 0) {
        pw_text_put(t->text, " (retry ");
        pw_text_int(t->text, t->pump->retries + 1);
        pw_text_put(t->text, " of ");
        pw_text_int(t->text, retry->times);
        pw_text_put(t->text, ")");
    }
    pw_text_put(t->text, ".\n");
}

void pw_control_words(const pw_settings *settings, const pw_site_facts *facts, const pw_table *table,
                      const pw_control *control, int32_t pump, uint32_t now_ms, const pw_units *units, pw_text *text)
{
    const pw_teller t = {.settings = settings,
                         .facts = facts,
                         .whole = table,
                         .control = control,
                         .table = &table->pumps[pump],
                         .pump = &control->pumps[pump],
                         .number = pump,
                         .now_ms = now_ms,
                         .units = units,
                         .text = text};
    pw_text_put(text, settings->pumps[pump]);
    if (control->lost) {
        pw_tell_lost(&t);
        return;
    }
    int32_t role = pw_control_role(table, control, pump);
    if (role >= 0) {
        pw_text_puts(text, " (", pw_role_name(role), ")", (const char *)NULL);
    }
    switch (t.pump->state) {
    case PW_PUMP_RUNNING: put_running(&t); break;
    case PW_PUMP_LOCKED: put_locked(&t); break;
    default: put_stopped(&t); break;
    }
    for (int32_t i = 0; i < t.table->row_count; i++) {
        const pw_row *row = &t.table->rows[i];
        if (row->kind == PW_SENTENCE_WARN && (t.pump->due >> row->sentence & 1u) != 0) {
            pw_text_put(text, "It warns: ");
            pw_condition_put(settings, &settings->sentences[row->sentence], text);
            if (row->relay >= 0) {
                pw_text_puts(text, "; relay ", settings->relays[row->relay], " is closed", (const char *)NULL);
            }
            pw_text_put(text, ".\n");
        }
    }
    pw_tell_readings(&t);
    pw_tell_counts(&t);
}
