/* What acts by a condition: start, stop, lock out, warn, keep running, run only while. */
#include "control/action.h"

#include <stddef.h>

#include <string.h>

/* CONDITION [for TIME [in TIME]] */
static bool read_watch(pw_reader *reader, pw_sentence *sentence, int32_t begun)
{
    static const char *const with_time[] = {"for", "and", "or", NULL};
    static const char *const nothing[] = {NULL};
    (void)begun;
    if (!pw_reader_condition(reader, sentence)) {
        return false;
    }
    if (!pw_reader_take(reader, "for")) {
        return pw_reader_finish(reader, "for, and, or", with_time);
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
    return pw_reader_finish(reader, sentence->within_ms > 0 ? "" : "in", nothing);
}

/* CONDITION: as long as it holds, so there is no time to wait. */
static bool read_while(pw_reader *reader, pw_sentence *sentence, int32_t begun)
{
    static const char *const joined[] = {"and", "or", NULL};
    (void)begun;
    return pw_reader_condition(reader, sentence) && pw_reader_finish(reader, "and, or", joined);
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
    return read_watch(reader, sentence, 0);
}

static bool read_warn(pw_reader *reader, pw_sentence *sentence, int32_t begun)
{
    return begun == 1 ? read_relay(reader, sentence) : read_watch(reader, sentence, 0);
}

static void put_watch(const pw_settings *settings, const pw_sentence *sentence, pw_text *text)
{
    pw_text_puts(text, pw_action_of(sentence->kind)->begins[0], " ", (const char *)NULL);
    pw_condition_put(settings, sentence, text);
}

static void put_warn(const pw_settings *settings, const pw_sentence *sentence, pw_text *text)
{
    if (sentence->relay < 0) {
        put_watch(settings, sentence, text);
        return;
    }
    pw_text_puts(text, "warn by relay ", settings->relays[sentence->relay], " when ", (const char *)NULL);
    pw_condition_put(settings, sentence, text);
}

static pw_fact watch_fact(pw_arena *arena, const pw_settings *settings, const pw_sentence *sentence)
{
    return pw_fact_of(pw_action_of(sentence->kind)->id,
                      pw_fact_inside(arena, pw_condition_fact(arena, settings, sentence)));
}

static pw_fact warn_fact(pw_arena *arena, const pw_settings *settings, const pw_sentence *sentence)
{
    return pw_fact_of("sentence.warn", pw_fact_inside(arena, pw_condition_fact(arena, settings, sentence)),
                      pw_named(sentence->relay >= 0 ? settings->relays[sentence->relay] : ""));
}

static const pw_number_form watch_numbers[] = {
    {"wait", "sentence.number-wait", offsetof(pw_sentence, time_ms), PW_NUMBER_TIME},
    {"within", "sentence.number-within", offsetof(pw_sentence, within_ms), PW_NUMBER_TIME},
    {NULL, NULL, 0, 0}};

const pw_action pw_action_START = {.name = "start",
                                   .numbers = watch_numbers,
                                   .begins = {"start when"},
                                   .shapes = {"start when {condition} for {time}"},
                                   .id = "sentence.start",
                                   .row = true,
                                   .read = read_watch,
                                   .put = put_watch,
                                   .fact = watch_fact};

const pw_action pw_action_STOP = {.name = "stop",
                                  .numbers = watch_numbers,
                                  .begins = {"stop when"},
                                  .shapes = {"stop when {condition} for {time}"},
                                  .shown_above = true,
                                  .id = "sentence.stop",
                                  .row = true,
                                  .read = read_watch,
                                  .put = put_watch,
                                  .fact = watch_fact};

const pw_action pw_action_LOCK = {.name = "lock out",
                                  .numbers = watch_numbers,
                                  .begins = {"lock out when"},
                                  .shapes = {"lock out when {condition} for {time}"},
                                  .id = "sentence.lock-out",
                                  .row = true,
                                  .read = read_watch,
                                  .put = put_watch,
                                  .fact = watch_fact};

const pw_action pw_action_WARN = {
    .name = "warn",
    .numbers = watch_numbers,
    .begins = {"warn when", "warn by relay"},
    .shapes = {"warn when {condition} for {time}", "warn by relay horn when {condition} for {time}"},
    .id = "sentence.warn",
    .row = true,
    .read = read_warn,
    .put = put_warn,
    .fact = warn_fact};

/* A stop sentence turned round. */
const pw_action pw_action_ONLY = {.name = "only while",
                                  .numbers = watch_numbers,
                                  .begins = {"run only while"},
                                  .shapes = {"run only while {condition}"},
                                  .shown_above = true,
                                  .id = "sentence.run-only",
                                  .row = true,
                                  .turned = true,
                                  .read = read_while,
                                  .put = put_watch,
                                  .fact = watch_fact};

const pw_action pw_action_HOLD_ON = {.name = "hold-on",
                                     .numbers = watch_numbers,
                                     .begins = {"keep running while"},
                                     .shapes = {"keep running while {condition}"},
                                     .id = "sentence.hold-on",
                                     .row = true,
                                     .read = read_while,
                                     .put = put_watch,
                                     .fact = watch_fact};
