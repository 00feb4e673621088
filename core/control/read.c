/* Reading sentences: the grammar of docs/settings.md, one function a rule, no recursion. */
#include "control/parts.h"

#include <string.h>

/* Sentence forms: kind, the words it begins with, what must follow them. */
#define FORM_LIST(X)                                 \
    X(START, "start when")                           \
    X(STOP, "stop when")                             \
    X(LOCK, "lock out when")                         \
    X(WARN, "warn when")                             \
    X(WARN, "warn by relay")                         \
    X(ONLY, "run only while")                        \
    X(SHARE, "share the work between")               \
    X(APART, "start pumps at least")                 \
    X(POWER_ON, "wait")                              \
    X(KEEP_LOCKS, "keep lock outs over a power cut") \
    X(IGNORE, "ignore")                              \
    X(REST, "rest")                                  \
    X(LEAST_RUN, "run at least")                     \
    X(RUN_ON, "run on")                              \
    X(HOLD_ON, "keep running while")                 \
    X(RETRY, "retry after")                          \
    X(RETRY, "release by itself after")

typedef struct form {
    uint8_t kind;
    const char *words;
} form;

static const form forms[] = {
#define PW_X(kind, words) {PW_SENTENCE_##kind, words},
    FORM_LIST(PW_X)
#undef PW_X
};
enum { FORM_COUNT = sizeof forms / sizeof forms[0] };

/* Sentences */

/* before: the words that may stand here besides, "" for none. */
static bool read_end(pw_reader *reader, const char *before, const char *const *words)
{
    const pw_fact expected = before[0] != 0 ? pw_fact_of("typed.or-end", pw_named(before)) : pw_fact_of("typed.end");
    return pw_reader_end(reader) || pw_reader_fail_words(reader, expected, words);
}

static bool need(pw_reader *reader, const char *phrase)
{
    const char *const words[] = {phrase, NULL};
    return pw_reader_take(reader, phrase) || pw_reader_fail_words(reader, pw_verbatim(phrase), words);
}

static bool read_watch(pw_reader *reader, pw_sentence *sentence)
{
    static const char *const with_time[] = {"for", "and", "or", NULL};
    static const char *const joined[] = {"and", "or", NULL};
    static const char *const nothing[] = {NULL};
    if (!pw_reader_condition(reader, sentence)) {
        return false;
    }
    if (sentence->kind == PW_SENTENCE_HOLD_ON || sentence->kind == PW_SENTENCE_ONLY) {
        return read_end(reader, "and, or", joined);
    }
    if (!pw_reader_take(reader, "for")) {
        return read_end(reader, "for, and, or", with_time);
    }
    if (!pw_reader_time(reader, &sentence->time_ms)) {
        return false;
    }
    pw_reader_skip(reader);
    size_t at = reader->at;
    if (pw_reader_take(reader, "in")) {
        if (!pw_reader_time(reader, &sentence->within_ms)) {
            return false;
        }
        if (sentence->within_ms < sentence->time_ms) {
            return pw_reader_fail(reader, PW_RANGE, at, NULL, pw_fact_of("typed.a-window"), pw_no_fact());
        }
    }
    return read_end(reader, sentence->within_ms > 0 ? "" : "in", nothing);
}

/* The words up to "when": a relay has no other list of names. */
static bool read_relay(pw_reader *reader, pw_sentence *sentence)
{
    static const char *const words[] = {"when", NULL};
    char name[PW_NAME_SIZE] = "";
    pw_reader_skip(reader);
    size_t at = reader->at;
    while (!pw_reader_end(reader) && pw_reader_name(reader, reader->at, "when") == 0) {
        char word[PW_WORDS_SIZE];
        pw_reader_word(reader, reader->at, word, sizeof word);
        if (strlen(name) + strlen(word) + 2 > sizeof name) {
            return pw_reader_fail(reader, PW_LIMIT, at, NULL, pw_fact_of("typed.relay-bytes"), pw_no_fact());
        }
        pw_append(name, sizeof name, name[0] != 0 ? " " : "");
        pw_append(name, sizeof name, word);
        reader->at += strlen(word);
    }
    if (name[0] == 0) {
        return pw_reader_fail(reader, PW_MISSING, at, NULL, pw_fact_of("typed.relay-name"), pw_no_fact());
    }
    if (!pw_reader_take(reader, "when")) {
        return pw_reader_fail_words(reader, pw_verbatim(words[0]), words);
    }
    pw_settings *settings = reader->relays;
    int32_t relay = 0;
    pw_reader whole = {.settings = settings, .text = name, .length = strlen(name)};
    while (relay < settings->relay_count && pw_reader_name(&whole, 0, settings->relays[relay]) != whole.length) {
        relay++;
    }
    if (relay == PW_MAX_RELAYS) {
        return pw_reader_fail(reader, PW_LIMIT, at, NULL, pw_fact_of("typed.most-relays"), pw_no_fact());
    }
    if (relay == settings->relay_count) {
        pw_copy(settings->relays[relay], PW_NAME_SIZE, name);
        settings->relay_count++;
    }
    sentence->relay = (int8_t)relay;
    return read_watch(reader, sentence);
}

static int32_t take_pump(pw_reader *reader)
{
    int32_t best = -1;
    size_t best_used = 0;
    pw_reader_skip(reader);
    for (int32_t i = 0; i < reader->settings->pump_count; i++) {
        size_t used = pw_reader_name(reader, reader->at, reader->settings->pumps[i]);
        if (used > best_used) {
            best = i;
            best_used = used;
        }
    }
    reader->at += best_used;
    return best;
}

static bool fail_pump(pw_reader *reader)
{
    const char *names[PW_MAX_PUMPS];
    for (int32_t i = 0; i < reader->settings->pump_count; i++) {
        names[i] = reader->settings->pumps[i];
    }
    return pw_reader_fail_name(reader, names, reader->settings->pump_count, "typed.name-of-pump", NULL);
}

/* [","] ["and"] before another pump; "and change over" ends the list. */
static bool take_next_member(pw_reader *reader)
{
    pw_reader_skip(reader);
    bool comma = reader->at < reader->length && reader->text[reader->at] == ',';
    reader->at += comma ? 1 : 0;
    pw_reader ahead = *reader;
    bool joined = pw_reader_take(&ahead, "and");
    pw_reader over = ahead;
    if (pw_reader_take(&over, "change over")) {
        return false;
    }
    reader->at = ahead.at;
    return comma || joined;
}

static bool read_sharing(pw_reader *reader, pw_sentence *sentence)
{
    static const char *const end[] = {"and change over", NULL};
    sentence->pumps = 0;
    do {
        pw_reader_skip(reader);
        size_t at = reader->at;
        int32_t pump = take_pump(reader);
        if (pump < 0) {
            return fail_pump(reader);
        }
        if ((sentence->pumps >> pump & 1u) != 0) {
            return pw_reader_fail(reader, PW_DUPLICATE, at, NULL, pw_fact_of("typed.pump-once"), pw_no_fact());
        }
        sentence->pumps |= (uint8_t)(1u << pump);
        sentence->members[sentence->member_count] = (int8_t)pump;
        sentence->member_count++;
    } while (take_next_member(reader));
    if (sentence->member_count < 2) {
        return pw_reader_fail_words(reader, pw_fact_of("typed.and-pump"), end);
    }
    if (!pw_reader_take(reader, "and change over") && !pw_reader_take(reader, "change over")) {
        return (pw_reader_end(reader) || pw_reader_fail_words(reader, pw_fact_of("typed.after-member"), end));
    }
    if (pw_reader_take(reader, "at every stop")) {
        sentence->every_stop = true;
    } else if (!need(reader, "every") || !pw_reader_time(reader, &sentence->time_ms)) {
        return false;
    }
    return read_end(reader, "", &end[1]);
}

static bool read_rest(pw_reader *reader, pw_sentence *sentence)
{
    static const char *const words[] = {"then wait for a new call", NULL};
    if (!pw_reader_time(reader, &sentence->time_ms) || !need(reader, "after stop")) {
        return false;
    }
    pw_reader_skip(reader);
    bool comma = reader->at < reader->length && reader->text[reader->at] == ',';
    reader->at += comma ? 1 : 0;
    sentence->new_call = pw_reader_take(reader, "then wait for a new call");
    if (comma && !sentence->new_call) {
        return pw_reader_fail_words(reader, pw_verbatim(words[0]), words);
    }
    return read_end(reader, words[0], words);
}

static bool read_ignore(pw_reader *reader, pw_sentence *sentence)
{
    pw_reader_skip(reader);
    size_t at = reader->at;
    if (!pw_reader_term(reader, sentence, &sentence->terms[0])) {
        return false;
    }
    sentence->term_count = 1;
    if (!pw_form_of(sentence->terms[0].kind)->signal) {
        return pw_reader_fail(reader, PW_WORD, at, NULL, pw_fact_of("typed.of-sensor"), pw_no_fact());
    }
    static const char *const end[] = {NULL};
    return need(reader, "for") && pw_reader_time(reader, &sentence->time_ms) && need(reader, "after start") &&
           read_end(reader, "", end);
}

/* when locked out by COND */
static bool read_locked_by(pw_reader *reader, pw_sentence *sentence)
{
    static const char *const words[] = {"when locked out by", NULL};
    if (pw_reader_take(reader, "when locked out by")) {
        if (!pw_reader_term(reader, sentence, &sentence->terms[0])) {
            return false;
        }
        sentence->term_count = 1;
    }
    return sentence->term_count > 0 ? read_end(reader, "", &words[1]) : read_end(reader, words[0], words);
}

static bool read_retry(pw_reader *reader, pw_sentence *sentence)
{
    for (;;) {
        if (sentence->wait_count == PW_MAX_WAITS) {
            return pw_reader_fail(reader, PW_LIMIT, reader->at, NULL, pw_fact_of("typed.most-times"), pw_no_fact());
        }
        if (!pw_reader_time(reader, &sentence->waits_ms[sentence->wait_count])) {
            return false;
        }
        sentence->wait_count++;
        pw_reader_skip(reader);
        bool comma = reader->at < reader->length && reader->text[reader->at] == ',';
        reader->at += comma ? 1 : 0;
        if (!pw_reader_take(reader, "then")) {
            break;
        }
    }
    int32_t times = 0;
    if (!need(reader, "up to") || !pw_reader_whole(reader, 1, PW_MAX_RETRIES, "typed.number-range", &times)) {
        return false;
    }
    sentence->times = (int16_t)times;
    if (!pw_reader_take(reader, "times") && !pw_reader_take(reader, "time")) {
        return need(reader, "times");
    }
    return read_locked_by(reader, sentence);
}

static bool read_after_form(pw_reader *reader, pw_sentence *sentence, const form *found)
{
    static const char *const end[] = {NULL};
    switch (found->kind) {
    case PW_SENTENCE_IGNORE: return read_ignore(reader, sentence);
    case PW_SENTENCE_REST: return read_rest(reader, sentence);
    case PW_SENTENCE_SHARE: return read_sharing(reader, sentence);
    case PW_SENTENCE_APART:
        return pw_reader_time(reader, &sentence->time_ms) && need(reader, "apart") && read_end(reader, "", end);
    case PW_SENTENCE_POWER_ON:
        return pw_reader_time(reader, &sentence->time_ms) && need(reader, "after power on") &&
               read_end(reader, "", end);
    case PW_SENTENCE_KEEP_LOCKS: return read_end(reader, "", end);
    case PW_SENTENCE_WARN: return found->words[5] == 'b' ? read_relay(reader, sentence) : read_watch(reader, sentence);
    case PW_SENTENCE_LEAST_RUN: return pw_reader_time(reader, &sentence->time_ms) && read_end(reader, "", end);
    case PW_SENTENCE_RUN_ON:
        return pw_reader_time(reader, &sentence->time_ms) && need(reader, "after stop condition") &&
               read_end(reader, "", end);
    case PW_SENTENCE_RETRY:
        if (found->words[2] == 't') {
            return read_retry(reader, sentence);
        }
        sentence->wait_count = 1;
        return pw_reader_time(reader, &sentence->waits_ms[0]) && read_locked_by(reader, sentence);
    default: return read_watch(reader, sentence);
    }
}

/* "duty:" before a sentence. */
static size_t read_role(const pw_reader *reader, pw_sentence *sentence)
{
    for (int32_t i = 0; i < PW_MAX_PUMPS; i++) {
        pw_reader ahead = *reader;
        if (pw_reader_take(&ahead, pw_role_name(i))) {
            pw_reader_skip(&ahead);
            if (ahead.at < ahead.length && ahead.text[ahead.at] == ':') {
                sentence->role = (int8_t)i;
                return ahead.at + 1;
            }
        }
    }
    return 0;
}

/* "PUMPNAME:" or a role before a sentence. */
static void read_pump(pw_reader *reader, pw_sentence *sentence)
{
    size_t best = 0;
    for (int32_t i = 0; i < reader->settings->pump_count; i++) {
        pw_reader ahead = *reader;
        if (!pw_reader_take(&ahead, reader->settings->pumps[i])) {
            continue;
        }
        pw_reader_skip(&ahead);
        if (ahead.at < ahead.length && ahead.text[ahead.at] == ':' && ahead.at + 1 > best) {
            best = ahead.at + 1;
            sentence->pump = (int8_t)i;
            sentence->pumps = (uint8_t)(1u << i);
        }
    }
    reader->at = best > 0 ? best : read_role(reader, sentence);
}

/* Take one word of a form at `words`; moves both on. */
static bool take_word(pw_reader *reader, const char **words)
{
    char word[16];
    size_t length = 0;
    while ((*words)[length] != 0 && (*words)[length] != ' ') {
        word[length] = (*words)[length];
        length++;
    }
    word[length] = 0;
    if (!pw_reader_take(reader, word)) {
        return false;
    }
    *words += length + ((*words)[length] == ' ' ? 1 : 0);
    return true;
}

static bool fail_form(pw_reader *reader, pw_sentence *sentence, bool *kind_known)
{
    size_t furthest = reader->at;
    const char *rest[FORM_COUNT + 1];
    int32_t count = 0;
    for (int32_t i = 0; i < (int32_t)FORM_COUNT; i++) {
        pw_reader ahead = *reader;
        const char *words = forms[i].words;
        while (*words != 0 && take_word(&ahead, &words)) {
        }
        if (ahead.at > furthest) {
            furthest = ahead.at;
            count = 0;
        }
        if (ahead.at == furthest) {
            rest[count++] = words;
            sentence->kind = forms[i].kind;
        }
    }
    rest[count] = NULL;
    *kind_known = count == 1;
    const char *colon = memchr(reader->text + reader->at, ':', reader->length - reader->at);
    if (furthest == reader->at && colon != NULL && sentence->pump < 0 && sentence->role < 0 &&
        reader->settings->pump_count > 0) {
        const char *names[PW_MAX_PUMPS];
        for (int32_t i = 0; i < reader->settings->pump_count; i++) {
            names[i] = reader->settings->pumps[i];
        }
        pw_reader before = *reader;
        before.length = (size_t)(colon - reader->text);
        bool answer =
            pw_reader_fail_name(&before, names, reader->settings->pump_count, "typed.pump-before-colon", NULL);
        reader->status = before.status;
        return answer;
    }
    reader->at = furthest;
    return pw_reader_fail_one_of(reader, rest);
}

bool pw_reader_sentence(pw_reader *reader, pw_sentence *sentence, bool *kind_known)
{
    memset(sentence, 0, sizeof *sentence);
    sentence->pump = -1;
    sentence->role = -1;
    sentence->relay = -1;
    sentence->pumps = (uint8_t)((1u << reader->settings->pump_count) - 1u);
    *kind_known = true;
    read_pump(reader, sentence);
    for (int32_t i = 0; i < (int32_t)FORM_COUNT; i++) {
        if (pw_reader_take(reader, forms[i].words)) {
            sentence->kind = forms[i].kind;
            return read_after_form(reader, sentence, &forms[i]);
        }
    }
    return fail_form(reader, sentence, kind_known);
}
