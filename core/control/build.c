/* From an order to its table: each sentence becomes one row for each pump it is for, with everything resolved that can
 * be resolved before the first step.
 */
#include "control/action.h"

/* "no flow" and a current below a limit tell of a running pump only: a pump at rest has neither. Where a group asks for
 * a stopped pump in so many words, or a pump is to be started, the words are taken as they stand. */
static bool needs_run(const pw_sentence *sentence, int32_t k)
{
    const pw_term *term = &sentence->terms[k];
    bool tells = !term->above && pw_form_of(term->kind)->tells_of_running;
    if (!tells || sentence->kind == PW_SENTENCE_START) {
        return false;
    }
    int32_t first = k;
    while (first > 0 && !sentence->terms[first].or_before) {
        first--;
    }
    for (int32_t i = first; i < sentence->term_count && (i == first || !sentence->terms[i].or_before); i++) {
        if (sentence->terms[i].kind == PW_TERM_STOPPED) {
            return false;
        }
    }
    return true;
}

/* Speaks of the pump that its sentence is applied to. */
static bool is_own(const pw_term *term, int16_t signal)
{
    if (pw_form_of(term->kind)->signal) {
        return signal < 0;
    }
    return term->kind != PW_TERM_CLOCK && term->of_pump < 0;
}

static bool build_row(pw_arena *arena, const pw_settings *settings, const bool *keep, int32_t i, int32_t pump,
                      pw_row *row)
{
    const pw_sentence *sentence = &settings->sentences[i];
    pw_term *terms = PW_NEW(arena, sentence->term_count, pw_term);
    if (terms == NULL) {
        return false;
    }
    row->sentence = (int16_t)i;
    row->kind = sentence->kind;
    row->term_count = sentence->term_count;
    row->time_ms = sentence->time_ms;
    row->role = sentence->role;
    row->relay = sentence->relay;
    row->share = -1;
    row->turned = pw_action_of(sentence->kind)->turned;
    row->of_pump = sentence->pump >= 0 || sentence->role >= 0;
    row->terms = terms;
    if (row->turned) {
        row->kind = PW_SENTENCE_STOP;
    }
    if (sentence->within_ms > 0) {
        row->part_ms = (sentence->within_ms + PW_SHARE_PARTS - 1) / PW_SHARE_PARTS;
        row->parts = (sentence->within_ms + row->part_ms - 1) / row->part_ms;
    }
    for (int32_t k = 0; k < sentence->term_count; k++) {
        pw_term *term = &terms[k];
        *term = sentence->terms[k];
        term->signal = (int16_t)pw_term_signal(settings, &sentence->terms[k], pump);
        term->needs_run = !row->turned && needs_run(sentence, k);
        term->ignore_ms = sentence->kind == PW_SENTENCE_START || row->turned
                              ? 0
                              : pw_term_ignore_ms(settings, keep, &sentence->terms[k], pump);
        bool own = is_own(term, sentence->terms[k].signal);
        row->of_pump = row->of_pump || own || term->needs_run || term->ignore_ms > 0;
    }
    return true;
}

static bool retry_fits(const pw_settings *settings, const pw_sentence *retry, const pw_sentence *lock, int32_t pump)
{
    for (int32_t k = 0; k < lock->term_count && retry->term_count > 0; k++) {
        if (pw_term_same(settings, &retry->terms[0], &lock->terms[k], pump)) {
            return true;
        }
    }
    return retry->term_count == 0;
}

/* A retry that names its lock out goes before one that does not; among equals the first sentence wins. */
static void build_retries(const pw_settings *settings, const bool *keep, int32_t pump, pw_pump_table *out)
{
    for (int32_t i = 0; i < settings->count; i++) {
        out->retry_of[i] = -1;
    }
    for (int32_t named = 1; named >= 0; named--) {
        for (int32_t i = 0; i < settings->count; i++) {
            const pw_sentence *sentence = &settings->sentences[i];
            bool fits = sentence->kind == PW_SENTENCE_RETRY && (keep == NULL || keep[i]) &&
                        pw_sentence_for(sentence, pump) && (sentence->term_count > 0) == (named == 1);
            if (!fits) {
                continue;
            }
            pw_retry *retry = &out->retries[out->retry_count];
            retry->sentence = (int16_t)i;
            retry->times = sentence->times;
            retry->wait_count = sentence->wait_count;
            for (int32_t k = 0; k < sentence->wait_count; k++) {
                retry->waits_ms[k] = sentence->waits_ms[k];
            }
            for (int32_t k = 0; k < settings->count; k++) {
                const pw_sentence *lock = &settings->sentences[k];
                if (lock->kind == PW_SENTENCE_LOCK && out->retry_of[k] < 0 &&
                    retry_fits(settings, sentence, lock, pump)) {
                    out->retry_of[k] = out->retry_count;
                }
            }
            out->retry_count++;
        }
    }
}

/* Of several sentences of a kind the longest time counts. */
static void set_times(const pw_sentence *sentence, pw_table *table, pw_pump_table *out)
{
    pw_set *set = &out->set[sentence->kind];
    const pw_action *action = pw_action_of(sentence->kind);
    if (!set->there || sentence->time_ms > set->ms) {
        *set = (pw_set){.there = true, .times = sentence->times, .ms = sentence->time_ms};
    }
    if (action->build != NULL) {
        action->build(sentence, table, out);
    }
}

static bool build_pump(pw_arena *arena, const pw_settings *settings, const bool *keep, int32_t pump, pw_table *table)
{
    pw_pump_table *out = &table->pumps[pump];
    out->rows = PW_NEW(arena, settings->count + 1, pw_row);
    if (out->rows == NULL) {
        return false;
    }
    for (int32_t i = 0; i < settings->count; i++) {
        const pw_sentence *sentence = &settings->sentences[i];
        if (!pw_sentence_for(sentence, pump) || (keep != NULL && !keep[i])) {
            continue;
        }
        if (!pw_action_of(sentence->kind)->row) {
            set_times(sentence, table, out);
            continue;
        }
        pw_row *row = &out->rows[out->row_count];
        if (!build_row(arena, settings, keep, i, pump, row)) {
            return false;
        }
        row->share = row->parts > 0 ? (int8_t)out->share_count : -1;
        out->share_count += row->parts > 0 ? 1 : 0;
        out->row_count++;
    }
    build_retries(settings, keep, pump, out);
    return true;
}

static void add_crossing(pw_table *table, const pw_term *term)
{
    double threshold = pw_form_of(term->kind)->yes_no ? 0.5 : term->threshold;
    for (int32_t i = 0; i < table->crossing_count; i++) {
        const pw_crossing *known = &table->crossings[i];
        if (known->signal == term->signal && known->threshold == threshold && known->above == term->above) {
            return;
        }
    }
    pw_crossing *fresh = &table->crossings[table->crossing_count];
    fresh->signal = term->signal;
    fresh->threshold = threshold;
    fresh->above = term->above;
    table->crossing_count++;
}

static bool build_crossings(pw_arena *arena, pw_table *table)
{
    int32_t most = 0;
    for (int32_t pump = 0; pump < table->pump_count; pump++) {
        for (int32_t i = 0; i < table->pumps[pump].row_count; i++) {
            most += table->pumps[pump].rows[i].term_count;
        }
    }
    table->crossings = PW_NEW(arena, most + 1, pw_crossing);
    if (table->crossings == NULL) {
        return false;
    }
    for (int32_t pump = 0; pump < table->pump_count; pump++) {
        for (int32_t i = 0; i < table->pumps[pump].row_count; i++) {
            const pw_row *row = &table->pumps[pump].rows[i];
            for (int32_t k = 0; k < row->term_count; k++) {
                if (pw_form_of(row->terms[k].kind)->signal) {
                    add_crossing(table, &row->terms[k]);
                }
            }
        }
    }
    return true;
}

/* What the pumps have to do with each other. */
static void build_team(const pw_settings *settings, const bool *keep, pw_table *table)
{
    for (int32_t i = 0; i < settings->count; i++) {
        const pw_sentence *sentence = &settings->sentences[i];
        if (keep != NULL && !keep[i]) {
            continue;
        }
        table->coupled = table->coupled || pw_action_of(sentence->kind)->sets_whole;
        for (int32_t k = 0; k < sentence->term_count; k++) {
            table->coupled = table->coupled || sentence->terms[k].of_pump >= 0;
        }
    }
}

pw_status pw_table_build(pw_arena *arena, const pw_settings *settings, const bool *keep, pw_table **out,
                         pw_problems *problems)
{
    *out = NULL;
    pw_table *table = PW_NEW(arena, 1, pw_table);
    pw_pump_table *pumps = PW_NEW(arena, settings->pump_count + 1, pw_pump_table);
    bool built = table != NULL && pumps != NULL;
    if (built) {
        table->signal_count = settings->signal_count;
        table->pump_count = settings->pump_count;
        table->pumps = pumps;
    }
    for (int32_t pump = 0; built && pump < settings->pump_count; pump++) {
        built = build_pump(arena, settings, keep, pump, table);
    }
    built = built && build_crossings(arena, table);
    if (built) {
        build_team(settings, keep, table);
    }
    if (!built) {
        return pw_problem_add(problems, PW_MEMORY, "settings", NULL, NULL, NULL);
    }
    *out = table;
    return PW_OK;
}

int32_t pw_table_crossings(const pw_table *table, pw_crossing *out, int32_t capacity)
{
    for (int32_t i = 0; i < table->crossing_count && i < capacity; i++) {
        out[i] = table->crossings[i];
    }
    return table->crossing_count;
}
