/* Reading sentences: the grammar of docs/orders.md, one function a rule, no recursion. */
#include "order/parts.h"

#include <string.h>

/* Sentence forms: kind, the words it begins with, what must follow them. */
#define FORM_LIST(X)                 \
    X(START, "start when")           \
    X(STOP, "stop when")             \
    X(LOCK, "lock out when")         \
    X(WARN, "warn when")             \
    X(IGNORE, "ignore")              \
    X(REST, "rest")                  \
    X(LEAST_RUN, "run at least")     \
    X(RUN_ON, "run on")              \
    X(HOLD_ON, "keep running while") \
    X(RETRY, "retry after")          \
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

static bool read_end(pw_reader *reader, const char *expected, const char *const *words)
{
    return pw_reader_end(reader) || pw_reader_fail_words(reader, expected, words);
}

static bool need(pw_reader *reader, const char *phrase)
{
    const char *const words[] = {phrase, NULL};
    return pw_reader_take(reader, phrase) || pw_reader_fail_words(reader, phrase, words);
}

static bool read_watch(pw_reader *reader, pw_sentence *sentence)
{
    static const char *const with_time[] = {"for", "and", "or", NULL};
    static const char *const joined[] = {"and", "or", NULL};
    static const char *const nothing[] = {NULL};
    if (!pw_reader_condition(reader, sentence)) {
        return false;
    }
    if (sentence->kind == PW_SENTENCE_HOLD_ON) {
        return read_end(reader, "and, or, or the end of the sentence", joined);
    }
    if (!pw_reader_take(reader, "for")) {
        return read_end(reader, "for, and, or, or the end of the sentence", with_time);
    }
    return pw_reader_time(reader, &sentence->time_ms) && read_end(reader, "the end of the sentence", nothing);
}

static bool read_ignore(pw_reader *reader, pw_sentence *sentence)
{
    pw_reader_skip(reader);
    size_t at = reader->at;
    if (!pw_reader_term(reader, sentence, &sentence->terms[0])) {
        return false;
    }
    sentence->term_count = 1;
    if (sentence->terms[0].kind > PW_TERM_WINDING) {
        return pw_reader_fail(reader, PW_WORD, at, NULL,
                              "what a sensor tells, for instance no flow, or pressure below 100 kPa", NULL);
    }
    static const char *const end[] = {NULL};
    return need(reader, "for") && pw_reader_time(reader, &sentence->time_ms) && need(reader, "after start") &&
           read_end(reader, "the end of the sentence", end);
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
    return read_end(
        reader, sentence->term_count > 0 ? "the end of the sentence" : "when locked out by, or the end of the sentence",
        sentence->term_count > 0 ? &words[1] : words);
}

static bool read_retry(pw_reader *reader, pw_sentence *sentence)
{
    for (;;) {
        if (sentence->wait_count == PW_MAX_WAITS) {
            return pw_reader_fail(reader, PW_LIMIT, reader->at, NULL, "at most 8 times in one sentence", NULL);
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
    if (!need(reader, "up to") || !pw_reader_whole(reader, 1, PW_MAX_RETRIES, "a number from 1 to 1000", &times)) {
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
    case PW_SENTENCE_REST:
        return pw_reader_time(reader, &sentence->time_ms) && need(reader, "after stop") &&
               read_end(reader, "the end of the sentence", end);
    case PW_SENTENCE_LEAST_RUN:
        return pw_reader_time(reader, &sentence->time_ms) && read_end(reader, "the end of the sentence", end);
    case PW_SENTENCE_RUN_ON:
        return pw_reader_time(reader, &sentence->time_ms) && need(reader, "after stop condition") &&
               read_end(reader, "the end of the sentence", end);
    case PW_SENTENCE_RETRY:
        if (found->words[2] == 't') {
            return read_retry(reader, sentence);
        }
        sentence->wait_count = 1;
        return pw_reader_time(reader, &sentence->waits_ms[0]) && read_locked_by(reader, sentence);
    default: return read_watch(reader, sentence);
    }
}

/* "PUMPNAME:" before a sentence. */
static void read_pump(pw_reader *reader, pw_sentence *sentence)
{
    size_t best = 0;
    for (int32_t i = 0; i < reader->order->pump_count; i++) {
        pw_reader ahead = *reader;
        if (!pw_reader_take(&ahead, reader->order->pumps[i])) {
            continue;
        }
        pw_reader_skip(&ahead);
        if (ahead.at < ahead.length && ahead.text[ahead.at] == ':' && ahead.at + 1 > best) {
            best = ahead.at + 1;
            sentence->pump = (int8_t)i;
        }
    }
    reader->at = best;
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
    if (furthest == reader->at && colon != NULL && sentence->pump < 0 && reader->order->pump_count > 0) {
        const char *names[PW_MAX_PUMPS];
        for (int32_t i = 0; i < reader->order->pump_count; i++) {
            names[i] = reader->order->pumps[i];
        }
        pw_reader before = *reader;
        before.length = (size_t)(colon - reader->text);
        bool answer =
            pw_reader_fail_name(&before, names, reader->order->pump_count, "the name of a pump before the colon:");
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
