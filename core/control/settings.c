/* An order: its sentences read, printed back and asked about. */
#include "control/parts.h"

#include <string.h>

#include "base/num.h"

void pw_settings_path(const char *base_path, int32_t sentence, char *out)
{
    char digits[32];
    pw_num_text(sentence, digits);
    pw_copy(out, PW_PATH_SIZE - 8, base_path != NULL ? base_path : "");
    size_t length = strlen(out);
    out[length] = '[';
    pw_copy(out + length + 1, 6, digits);
    length = strlen(out);
    out[length] = ']';
    out[length + 1] = 0;
}

static bool copy_names(pw_arena *arena, pw_settings *settings, const pw_signal *signals, int32_t signal_count,
                       const char *const *pumps, int32_t pump_count)
{
    settings->signals = PW_NEW(arena, signal_count + 1, pw_signal);
    settings->pumps = pw_alloc(arena, (size_t)pump_count + 1, PW_NAME_SIZE);
    if (settings->signals == NULL || settings->pumps == NULL) {
        return false;
    }
    settings->signal_count = signal_count;
    settings->pump_count = pump_count;
    for (int32_t i = 0; i < signal_count; i++) {
        settings->signals[i].kind = signals[i].kind;
        pw_copy(settings->signals[i].name, PW_NAME_SIZE, signals[i].name);
    }
    for (int32_t i = 0; i < pump_count; i++) {
        pw_copy(settings->pumps[i], PW_NAME_SIZE, pumps[i]);
    }
    return true;
}

static pw_status check_counts(int32_t count, int32_t signal_count, int32_t pump_count, const char *path,
                              pw_problems *problems)
{
    if (count > PW_MAX_SENTENCES) {
        return pw_problem_tell(problems, PW_LIMIT, path, pw_fact_of("typed.more-sentences"),
                               pw_fact_of("typed.most-sentences"), pw_no_fact());
    }
    if (signal_count > PW_MAX_SIGNALS) {
        return pw_problem_tell(problems, PW_LIMIT, path, pw_fact_of("typed.more-signals"),
                               pw_fact_of("typed.most-signals"), pw_no_fact());
    }
    if (pump_count > PW_MAX_PUMPS) {
        return pw_problem_tell(problems, PW_LIMIT, path, pw_fact_of("typed.more-pumps"), pw_fact_of("typed.most-pumps"),
                               pw_no_fact());
    }
    return PW_OK;
}

/* Keeps where the numbers of sentence i stand. */
static bool keep_numbers(pw_arena *arena, pw_settings *settings, int32_t i, const pw_reader *reader)
{
    pw_number_place *all = PW_NEW(arena, settings->number_count + reader->number_count, pw_number_place);
    if (all == NULL) {
        return false;
    }
    if (settings->number_count > 0) {
        memcpy(all, settings->numbers, (size_t)settings->number_count * sizeof *all);
    }
    for (int32_t n = 0; n < reader->number_count; n++) {
        all[settings->number_count + n] = reader->numbers[n];
        all[settings->number_count + n].sentence = (int16_t)i;
    }
    settings->numbers = all;
    settings->number_count += reader->number_count;
    return true;
}

static pw_status read_one(pw_arena *arena, pw_settings *settings, int32_t i, const char *text, const char *path,
                          pw_sentence *out, bool *kind_known, pw_problems *problems)
{
    pw_number_place numbers[PW_MAX_NUMBERS];
    pw_reader reader = {.settings = settings,
                        .relays = settings,
                        .text = text != NULL ? text : "",
                        .path = path,
                        .problems = problems,
                        .sentence = out,
                        .numbers = numbers};
    reader.length = strlen(reader.text);
    if (reader.length > PW_MAX_SENTENCE_SIZE) {
        *kind_known = false;
        return pw_problem_tell(problems, PW_LIMIT, path, pw_fact_of("typed.longer"), pw_fact_of("typed.most-bytes"),
                               pw_no_fact());
    }
    pw_reader_sentence(&reader, out, kind_known);
    if (!keep_numbers(arena, settings, i, &reader)) {
        return pw_problem_add(problems, PW_MEMORY, path, NULL, NULL, NULL);
    }
    return reader.status;
}

/* Sentences for a role are for every pump that shares the work. */
static void resolve_roles(pw_settings *settings)
{
    uint8_t members = 0;
    for (int32_t i = 0; i < settings->count; i++) {
        members |= settings->sentences[i].kind == PW_SENTENCE_SHARE ? settings->sentences[i].pumps : 0;
    }
    for (int32_t i = 0; i < settings->count; i++) {
        if (settings->sentences[i].role >= 0) {
            settings->sentences[i].pumps = members;
        }
    }
}

pw_status pw_settings_read(pw_arena *arena, const char *const *sentences, int32_t count, const pw_signal *signals,
                           int32_t signal_count, const char *const *pumps, int32_t pump_count, const char *base_path,
                           pw_settings **out, pw_problems *problems)
{
    *out = NULL;
    pw_status status = check_counts(count, signal_count, pump_count, base_path, problems);
    if (status != PW_OK) {
        return status;
    }
    pw_settings *settings = PW_NEW(arena, 1, pw_settings);
    pw_sentence *read = PW_NEW(arena, count + 1, pw_sentence);
    if (settings == NULL || read == NULL || !copy_names(arena, settings, signals, signal_count, pumps, pump_count)) {
        return pw_problem_add(problems, PW_MEMORY, base_path, NULL, NULL, NULL);
    }
    settings->sentences = read;
    bool all_known = true;
    for (int32_t i = 0; i < count; i++) {
        char path[PW_PATH_SIZE];
        bool kind_known = false;
        pw_settings_path(base_path, i, path);
        pw_status one = read_one(arena, settings, i, sentences[i], path, &read[i], &kind_known, problems);
        all_known = all_known && kind_known;
        status = status != PW_OK ? status : one;
    }
    settings->count = count;
    resolve_roles(settings);
    pw_settings_check(settings, all_known, base_path, status == PW_OK, arena, problems, &status);
    if (status == PW_OK) {
        *out = settings;
    }
    return status;
}

int32_t pw_settings_count(const pw_settings *settings)
{
    return settings->count;
}

pw_sentence_kind pw_settings_kind(const pw_settings *settings, int32_t sentence)
{
    return (pw_sentence_kind)settings->sentences[sentence].kind;
}

bool pw_settings_is_watch(const pw_settings *settings, int32_t sentence)
{
    uint8_t kind = settings->sentences[sentence].kind;
    return kind == PW_SENTENCE_LOCK || kind == PW_SENTENCE_WARN;
}

int32_t pw_settings_relay_count(const pw_settings *settings)
{
    return settings->relay_count;
}

const char *pw_settings_relay(const pw_settings *settings, int32_t relay)
{
    return settings->relays[relay];
}

int32_t pw_settings_closes(const pw_settings *settings, int32_t sentence)
{
    return settings->sentences[sentence].relay;
}

const pw_term *pw_first_pressure(const pw_settings *settings, pw_sentence_kind kind)
{
    for (int32_t i = 0; i < settings->count; i++) {
        const pw_sentence *sentence = &settings->sentences[i];
        for (int32_t k = 0; sentence->kind == kind && k < sentence->term_count; k++) {
            const pw_term *term = &sentence->terms[k];
            if (term->kind == PW_TERM_PRESSURE && pw_sentence_acts(kind, term->above)) {
                return term;
            }
        }
    }
    return NULL;
}

bool pw_settings_pressure(const pw_settings *settings, int32_t sentence, int32_t number, int32_t *signal, double *pa,
                          bool *above)
{
    const pw_sentence *read = &settings->sentences[sentence];
    for (int32_t k = 0; k < read->term_count; k++) {
        const pw_term *term = &read->terms[k];
        if (term->kind != PW_TERM_PRESSURE) {
            continue;
        }
        if (number == 0) {
            *signal = term->signal;
            *pa = term->threshold;
            *above = term->above;
            return true;
        }
        number--;
    }
    return false;
}

bool pw_settings_limit(const pw_settings *settings, int32_t sentence, int32_t *starts, double *window_s,
                       double *running_s)
{
    *starts = 0;
    *window_s = 0;
    *running_s = 0;
    if (!pw_settings_is_watch(settings, sentence)) {
        return false;
    }
    const pw_sentence *read = &settings->sentences[sentence];
    for (int32_t k = 0; k < read->term_count; k++) {
        const pw_term *term = &read->terms[k];
        if (term->kind == PW_TERM_STARTS && *starts == 0 && term->in_a_row == 1) {
            *starts = term->count;
            *window_s = term->time_ms / 1000.0;
        }
        if (term->kind == PW_TERM_RUNNING && *running_s == 0 && term->of_pump < 0 && read->within_ms == 0) {
            /* "running for 90 min", or "running" alone in a condition with a time of its own */
            *running_s = (term->time_ms > 0 ? term->time_ms : read->time_ms) / 1000.0;
        }
    }
    return *starts > 0 || *running_s > 0;
}

bool pw_settings_needs_all(const pw_settings *settings, int32_t sentence)
{
    const pw_sentence *read = &settings->sentences[sentence];
    for (int32_t k = 1; k < read->term_count; k++) {
        if (!read->terms[k].or_before) {
            return true;
        }
    }
    return false;
}

bool pw_settings_look(const pw_settings *settings, int32_t sentence, int32_t number, pw_look *out)
{
    const pw_sentence *read = &settings->sentences[sentence];
    if (number < 0 || number >= read->term_count) {
        return false;
    }
    const pw_term *term = &read->terms[number];
    const uint32_t time_ms = term->time_ms > 0 || read->within_ms > 0 ? term->time_ms : read->time_ms;
    *out = (pw_look){.kind = (pw_term_kind)term->kind,
                     .above = term->above,
                     .signal = term->signal,
                     .threshold = term->threshold,
                     .time_s = time_ms / 1000.0};
    for (int32_t k = 0; k < read->term_count; k++) {
        out->at_rest = out->at_rest || read->terms[k].kind == PW_TERM_STOPPED;
    }
    return true;
}

double pw_settings_starts_limit_h(const pw_settings *settings, int32_t *starts, double *window_s)
{
    double limit_h = PW_INF;
    for (int32_t i = 0; i < settings->count; i++) {
        int32_t count;
        double in_s, running_s;
        if (settings->sentences[i].kind == PW_SENTENCE_LOCK &&
            pw_settings_limit(settings, i, &count, &in_s, &running_s) && count > 0 && in_s >= 600.0 &&
            3600.0 * count / in_s < limit_h) {
            limit_h = 3600.0 * count / in_s;
            *starts = count;
            *window_s = in_s;
        }
    }
    return limit_h;
}

double pw_settings_rest_s(const pw_settings *settings)
{
    uint32_t longest_ms = 0;
    for (int32_t i = 0; i < settings->count; i++) {
        const pw_sentence *sentence = &settings->sentences[i];
        if (sentence->kind == PW_SENTENCE_REST && sentence->time_ms > longest_ms) {
            longest_ms = sentence->time_ms;
        }
    }
    return longest_ms / 1000.0;
}

/* Which signal a term speaks of, for one pump */

int32_t pw_term_signal(const pw_settings *settings, const pw_term *term, int32_t pump)
{
    if (!pw_form_of(term->kind)->signal || term->signal >= 0) {
        return term->signal;
    }
    pw_reader whole = {.settings = settings, .text = settings->pumps[pump], .length = strlen(settings->pumps[pump])};
    for (int32_t i = 0; i < settings->signal_count; i++) {
        if (settings->signals[i].kind == (pw_signal_kind)term->kind &&
            pw_reader_name(&whole, 0, settings->signals[i].name) == whole.length) {
            return i;
        }
    }
    return -1;
}

bool pw_term_same(const pw_settings *settings, const pw_term *a, const pw_term *b, int32_t pump)
{
    return a->kind == b->kind && a->above == b->above && a->threshold == b->threshold && a->count == b->count &&
           a->time_ms == b->time_ms && a->of_pump == b->of_pump && a->in_a_row == b->in_a_row && a->days == b->days &&
           a->from_s == b->from_s && a->to_s == b->to_s &&
           pw_term_signal(settings, a, pump) == pw_term_signal(settings, b, pump);
}

bool pw_sentence_for(const pw_sentence *sentence, int32_t pump)
{
    return (sentence->pumps >> pump & 1u) != 0;
}

uint32_t pw_term_ignore_ms(const pw_settings *settings, const bool *keep, const pw_term *term, int32_t pump)
{
    uint32_t longest_ms = 0;
    for (int32_t i = 0; i < settings->count; i++) {
        const pw_sentence *sentence = &settings->sentences[i];
        if (sentence->kind == PW_SENTENCE_IGNORE && (keep == NULL || keep[i]) && pw_sentence_for(sentence, pump) &&
            pw_term_same(settings, &sentence->terms[0], term, pump) && sentence->time_ms > longest_ms) {
            longest_ms = sentence->time_ms;
        }
    }
    return longest_ms;
}
