/* Reading one condition: the names of signals, what is asked of them, "and" and "or". */
#include "control/parts.h"

#include <string.h>

void pw_append(char *out, size_t out_size, const char *words)
{
    size_t length = strlen(out);
    pw_copy(out + length, (int32_t)(out_size - length), words);
}

/* Names. The text up to the next word of the grammar is what the writer took for a name. */

static const char *const after_name[] = {"above", "below", "wet", "dry", "closed", "open", "for", "and", "or", NULL};

static void name_as_written(pw_reader *reader, char *out, size_t out_size)
{
    pw_reader ahead = *reader;
    out[0] = 0;
    while (!pw_reader_end(&ahead)) {
        for (int32_t i = 0; after_name[i] != NULL; i++) {
            if (pw_reader_name(&ahead, ahead.at, after_name[i]) > 0) {
                return;
            }
        }
        char word[PW_WORDS_SIZE];
        pw_reader_word(&ahead, ahead.at, word, sizeof word);
        if (out[0] != 0) {
            pw_append(out, out_size, " ");
        }
        pw_append(out, out_size, word);
        ahead.at += strlen(word);
    }
}

static int32_t choices(const pw_settings *settings, pw_term_kind kind, const char **names)
{
    int32_t count = 0;
    for (int32_t i = 0; i < settings->signal_count; i++) {
        if (settings->signals[i].kind == (pw_signal_kind)kind) {
            names[count++] = settings->signals[i].name;
        }
    }
    return count;
}

void pw_list_words(const char *lead, const char *const *names, int32_t count, char *out, size_t out_size)
{
    pw_copy(out, (int32_t)out_size, lead);
    for (int32_t i = 0; i < count; i++) {
        pw_append(out, out_size, i == 0 ? " " : i + 1 == count ? " or " : ", ");
        pw_append(out, out_size, names[i]);
    }
}

bool pw_reader_fail_name(pw_reader *reader, const char *const *names, int32_t count, const char *noun)
{
    char found[PW_WORDS_SIZE];
    char expected[PW_WORDS_SIZE];
    char hint[PW_WORDS_SIZE] = "";
    name_as_written(reader, found, sizeof found);
    pw_list_words(noun, names, count, expected, sizeof expected);
    int32_t near = found[0] != 0 ? pw_near_match(found, names, count) : -1;
    if (near >= 0) {
        pw_copy(hint, sizeof hint, "did you mean \"");
        pw_append(hint, sizeof hint, names[near]);
        pw_append(hint, sizeof hint, "\"?");
    }
    return pw_reader_fail(reader, PW_REFERENCE, reader->at, found[0] != 0 ? found : NULL, expected, hint);
}

/* One of these words should stand here: "below or above". */
bool pw_reader_fail_one_of(pw_reader *reader, const char *const *words)
{
    char expected[PW_WORDS_SIZE];
    int32_t count = 0;
    while (words[count] != NULL) {
        count++;
    }
    pw_list_words("", words, count, expected, sizeof expected);
    return pw_reader_fail_words(reader, expected + (expected[0] == ' ' ? 1 : 0), words);
}

/* Longest name of a signal of this kind that stands here; -1 none. then: a word of this list must follow, or NULL. */
static int32_t find_signal(pw_reader *reader, pw_term_kind kind, const char *const *then, size_t *used_out)
{
    const pw_settings *settings = reader->settings;
    int32_t best = -1;
    size_t best_used = 0;
    pw_reader_skip(reader);
    for (int32_t i = 0; i < settings->signal_count; i++) {
        if (settings->signals[i].kind != (pw_signal_kind)kind) {
            continue;
        }
        size_t used = pw_reader_name(reader, reader->at, settings->signals[i].name);
        bool follows = then == NULL;
        pw_reader ahead = *reader;
        ahead.at += used;
        pw_reader_skip(&ahead);
        for (int32_t k = 0; then != NULL && then[k] != NULL; k++) {
            follows = follows || pw_reader_name(&ahead, ahead.at, then[k]) > 0;
        }
        if (used > best_used && follows) {
            best = i;
            best_used = used;
        }
    }
    *used_out = best_used;
    return best;
}

/* The pump's own current or winding: every pump this sentence is for must have the signal. */
static bool own_signal(pw_reader *reader, const pw_sentence *sentence, pw_term *term, size_t at)
{
    term->signal = -1;
    for (int32_t pump = 0; pump < reader->settings->pump_count; pump++) {
        if (pw_sentence_for(sentence, pump) && pw_term_signal(reader->settings, term, pump) < 0) {
            char expected[PW_WORDS_SIZE] = "a measured ";
            pw_append(expected, sizeof expected,
                      term->kind == PW_TERM_CURRENT ? "current of " : "winding temperature of ");
            pw_append(expected, sizeof expected, reader->settings->pumps[pump]);
            return pw_reader_fail(reader, PW_REFERENCE, at, NULL, expected, "this site measures none there");
        }
    }
    return true;
}

/* A name left out: right when there is just one signal of the kind. */
static bool only_signal(pw_reader *reader, const pw_sentence *sentence, pw_term *term, size_t at)
{
    if (term->kind == PW_TERM_CURRENT || term->kind == PW_TERM_WINDING) {
        return own_signal(reader, sentence, term, at);
    }
    const char *names[PW_MAX_SIGNALS];
    char expected[PW_WORDS_SIZE];
    int32_t count = choices(reader->settings, (pw_term_kind)term->kind, names);
    const char *noun = pw_term_noun((pw_term_kind)term->kind);
    if (count == 0) {
        pw_copy(expected, sizeof expected, "a ");
        pw_append(expected, sizeof expected, noun);
        pw_append(expected, sizeof expected, " among the sensors");
        return pw_reader_fail(reader, PW_REFERENCE, at, NULL, expected, "this site has none");
    }
    if (count > 1) {
        pw_copy(expected, sizeof expected, "the name of the ");
        pw_append(expected, sizeof expected, noun);
        pw_append(expected, sizeof expected, ":");
        char lead[PW_WORDS_SIZE];
        pw_copy(lead, sizeof lead, expected);
        pw_list_words(lead, names, count, expected, sizeof expected);
        return pw_reader_fail(reader, PW_MISSING, reader->at, NULL, expected, "there is more than one");
    }
    for (int32_t i = 0; i < reader->settings->signal_count; i++) {
        if (reader->settings->signals[i].kind == (pw_signal_kind)term->kind) {
            term->signal = (int16_t)i;
        }
    }
    return true;
}

/* [at NAME] or [of NAME]; for probes and contacts the bare name. at: the word that asks for the signal. */
static bool read_signal(pw_reader *reader, const pw_sentence *sentence, pw_term *term, const char *const *then,
                        size_t at)
{
    bool bare = term->kind == PW_TERM_PROBE || term->kind == PW_TERM_CONTACT;
    bool named = pw_reader_take(reader, "at") || pw_reader_take(reader, "of");
    size_t used = 0;
    int32_t signal = bare || named ? find_signal(reader, (pw_term_kind)term->kind, then, &used) : -1;
    if (signal >= 0) {
        term->signal = (int16_t)signal;
        reader->at += used;
        return true;
    }
    pw_reader_skip(reader);
    bool state_next = false;
    for (int32_t k = 0; bare && then[k] != NULL; k++) {
        state_next = state_next || pw_reader_name(reader, reader->at, then[k]) > 0;
    }
    if (named || (bare && !state_next)) {
        const char *names[PW_MAX_SIGNALS];
        int32_t count = choices(reader->settings, (pw_term_kind)term->kind, names);
        if (find_signal(reader, (pw_term_kind)term->kind, NULL, &used) >= 0) {
            reader->at += used;
            return pw_reader_fail_one_of(reader, then);
        }
        if (count > 0) {
            char lead[PW_WORDS_SIZE] = "the name of a ";
            pw_append(lead, sizeof lead, pw_term_noun((pw_term_kind)term->kind));
            pw_append(lead, sizeof lead, ":");
            return pw_reader_fail_name(reader, names, count, lead);
        }
    }
    return only_signal(reader, sentence, term, at);
}

/* Conditions */

static const char *const below_above[] = {"below", "above", NULL};
static const char *const above_only[] = {"above", NULL};
static const char *const wet_dry[] = {"wet", "dry", NULL};
static const char *const closed_open[] = {"closed", "open", NULL};

static bool read_threshold(pw_reader *reader, pw_sentence *sentence, pw_term *term, size_t at)
{
    bool winding = term->kind == PW_TERM_WINDING;
    const char *const *words = winding ? above_only : below_above;
    if (!read_signal(reader, sentence, term, words, at)) {
        return false;
    }
    if (pw_reader_take(reader, "above")) {
        term->above = true;
    } else if (winding || !pw_reader_take(reader, "below")) {
        return pw_reader_fail_one_of(reader, words);
    }
    switch (term->kind) {
    case PW_TERM_PRESSURE: return pw_reader_quantity(reader, PW_DIM_PRESSURE, 0, 2.0e6, &term->threshold);
    case PW_TERM_LEVEL: return pw_reader_quantity(reader, PW_DIM_LENGTH, -500, 500, &term->threshold);
    case PW_TERM_CURRENT: return pw_reader_quantity(reader, PW_DIM_CURRENT, 0.01, 1000, &term->threshold);
    case PW_TERM_SUPPLY: return pw_reader_quantity(reader, PW_DIM_VOLTAGE, 1, 1000, &term->threshold);
    default: return pw_reader_quantity(reader, PW_DIM_TEMPERATURE, 0, 300, &term->threshold);
    }
}

static bool read_state(pw_reader *reader, pw_sentence *sentence, pw_term *term, const char *const *words, size_t at)
{
    if (!read_signal(reader, sentence, term, words, at)) {
        return false;
    }
    if (pw_reader_take(reader, words[0])) {
        term->above = true;
        return true;
    }
    if (pw_reader_take(reader, words[1])) {
        return true;
    }
    return pw_reader_fail_one_of(reader, words);
}

/* "3 times in a row" behind the window; all of them must be remembered. */
static bool read_in_a_row(pw_reader *reader, pw_term *term)
{
    pw_reader_skip(reader);
    size_t at = reader->at;
    if (at >= reader->length || reader->text[at] < '0' || reader->text[at] > '9') {
        return true;
    }
    int32_t times = 0;
    static const char *const words[] = {"times in a row", NULL};
    if (!pw_reader_whole(reader, 2, PW_MAX_IN_A_ROW, "a number of windows from 2 to 20", &times)) {
        return false;
    }
    if (!pw_reader_take(reader, "times in a row")) {
        return pw_reader_fail_words(reader, "times in a row", words);
    }
    if (times * term->count > PW_MAX_STARTS || (uint64_t)times * term->time_ms > PW_LONGEST_MS) {
        return pw_reader_fail(reader, PW_RANGE, at, NULL, "at most 1800 starts and 100 h in all the windows together",
                              NULL);
    }
    term->in_a_row = (uint8_t)times;
    return true;
}

static bool read_starts(pw_reader *reader, pw_term *term)
{
    int32_t count = 0;
    if (!pw_reader_whole(reader, 1, PW_MAX_STARTS, "a number of starts from 1 to 1800", &count)) {
        return false;
    }
    term->count = (int16_t)count;
    if (!pw_reader_take(reader, "in")) {
        static const char *const words[] = {"in", NULL};
        return pw_reader_fail_words(reader, "in, then a time", words);
    }
    return pw_reader_time(reader, &term->time_ms) && read_in_a_row(reader, term);
}

static const char *const condition_words[] = {"pressure", "flow",    "no flow",         "level",        "probe",
                                              "contact",  "current", "winding",         "supply",       "phase missing",
                                              "running",  "stopped", "phases complete", "starts reach", "locked out",
                                              "time",     NULL};

static bool fail_condition(pw_reader *reader)
{
    return pw_reader_fail_words(
        reader,
        "a condition: pressure, flow, no flow, level, probe, contact, current, winding, supply, phase missing, "
        "phases complete, starts reach, running, stopped, locked out, time, or the name of a pump and is",
        condition_words);
}

static bool read_flow(pw_reader *reader, pw_sentence *sentence, pw_term *term, size_t at)
{
    if (!read_signal(reader, sentence, term, NULL, at)) {
        return false;
    }
    pw_reader_skip(reader);
    if (pw_reader_name(reader, reader->at, "above") > 0 || pw_reader_name(reader, reader->at, "below") > 0) {
        return pw_reader_fail(reader, PW_WORD, reader->at, NULL, "for, and, or, or the end of the sentence",
                              "flow comes from a flow switch: say \"flow\" or \"no flow\"");
    }
    return true;
}

static bool read_own_state(pw_reader *reader, pw_term *term)
{
    static const struct {
        const char *word;
        uint8_t kind;
    } states[] = {{"running", PW_TERM_RUNNING}, {"stopped", PW_TERM_STOPPED}, {"locked out", PW_TERM_LOCKED}};
    for (size_t i = 0; i < sizeof states / sizeof states[0]; i++) {
        if (!pw_reader_take(reader, states[i].word)) {
            continue;
        }
        term->kind = states[i].kind;
        pw_reader before = *reader;
        if (!pw_reader_take(reader, "for")) {
            return true;
        }
        if (!pw_reader_time(reader, &term->time_ms)) {
            return false;
        }
        if (pw_reader_take(reader, "in")) { /* a window belongs to the whole condition */
            *reader = before;
            term->time_ms = 0;
        }
        return true;
    }
    return false;
}

/* "bore pump is running": the name of a pump before "is"; false and nothing read when there is none. */
static bool take_other_pump(pw_reader *reader, pw_term *term)
{
    for (int32_t i = 0; i < reader->settings->pump_count; i++) {
        pw_reader ahead = *reader;
        if (pw_reader_take(&ahead, reader->settings->pumps[i]) && pw_reader_take(&ahead, "is")) {
            term->of_pump = (int8_t)i;
            reader->at = ahead.at;
            return true;
        }
    }
    return false;
}

static bool read_state_of_pump(pw_reader *reader, pw_term *term)
{
    static const char *const words[] = {"running", "stopped", "locked out", NULL};
    bool other = take_other_pump(reader, term);
    return read_own_state(reader, term) || (other && reader->status == PW_OK && pw_reader_fail_one_of(reader, words));
}

bool pw_reader_term(pw_reader *reader, pw_sentence *sentence, pw_term *term)
{
    pw_reader_skip(reader);
    size_t at = reader->at;
    term->signal = -1;
    term->of_pump = -1;
    term->in_a_row = 1;
    if (read_state_of_pump(reader, term) || reader->status != PW_OK) {
        return reader->status == PW_OK;
    }
    if (pw_reader_take(reader, "no flow")) {
        term->kind = PW_TERM_FLOW;
        return read_flow(reader, sentence, term, at);
    }
    if (pw_reader_take(reader, "flow")) {
        term->kind = PW_TERM_FLOW;
        term->above = true;
        return read_flow(reader, sentence, term, at);
    }
    static const struct {
        const char *word;
        uint8_t kind;
    } measured[] = {{"pressure", PW_TERM_PRESSURE},
                    {"level", PW_TERM_LEVEL},
                    {"current", PW_TERM_CURRENT},
                    {"winding", PW_TERM_WINDING},
                    {"supply", PW_TERM_SUPPLY}};
    for (size_t i = 0; i < sizeof measured / sizeof measured[0]; i++) {
        if (pw_reader_take(reader, measured[i].word)) {
            term->kind = measured[i].kind;
            return read_threshold(reader, sentence, term, at);
        }
    }
    if (pw_reader_take(reader, "probe")) {
        term->kind = PW_TERM_PROBE;
        return read_state(reader, sentence, term, wet_dry, at);
    }
    if (pw_reader_take(reader, "contact")) {
        term->kind = PW_TERM_CONTACT;
        return read_state(reader, sentence, term, closed_open, at);
    }
    if (pw_reader_take(reader, "starts reach")) {
        term->kind = PW_TERM_STARTS;
        return read_starts(reader, term);
    }
    bool missing = pw_reader_take(reader, "phase missing");
    if (missing || pw_reader_take(reader, "phases complete")) {
        term->kind = PW_TERM_PHASES;
        term->above = !missing;
        return only_signal(reader, sentence, term, at);
    }
    if (pw_reader_take(reader, "time")) {
        return pw_reader_clock(reader, term);
    }
    return fail_condition(reader);
}

bool pw_reader_condition(pw_reader *reader, pw_sentence *sentence)
{
    bool or_before = true;
    for (;;) {
        if (sentence->term_count == PW_MAX_TERMS) {
            return pw_reader_fail(reader, PW_LIMIT, reader->at, NULL, "at most 8 conditions in one sentence",
                                  "split the sentence");
        }
        pw_term *term = &sentence->terms[sentence->term_count];
        if (!pw_reader_term(reader, sentence, term)) {
            return false;
        }
        term->or_before = or_before && sentence->term_count > 0;
        sentence->term_count++;
        if (pw_reader_take(reader, "and")) {
            or_before = false;
        } else if (pw_reader_take(reader, "or")) {
            or_before = true;
        } else {
            return true;
        }
    }
}
