/* "retry after 5 min up to 3 times", "release by itself after 24 h": a lock out that the settings release. */
#include "control/action.h"

#include <stddef.h>

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
    return pw_reader_finish(reader, sentence->term_count > 0 ? "" : words[0],
                            sentence->term_count > 0 ? &words[1] : words);
}

static bool read_times(pw_reader *reader, pw_sentence *sentence)
{
    for (;;) {
        if (sentence->wait_count == PW_MAX_WAITS) {
            return pw_reader_fail(reader, PW_LIMIT, reader->at, NULL, pw_fact_of("typed.most-times"), pw_no_fact());
        }
        if (!pw_reader_time(reader, &sentence->waits_ms[sentence->wait_count])) {
            return false;
        }
        sentence->wait_count++;
        pw_reader_comma(reader);
        if (!pw_reader_take(reader, "then")) {
            break;
        }
    }
    if (!pw_reader_need(reader, "up to") ||
        !pw_reader_whole(reader, 1, PW_MAX_RETRIES, "typed.number-range", &sentence->times)) {
        return false;
    }
    if (!pw_reader_take(reader, "times") && !pw_reader_take(reader, "time")) {
        return pw_reader_need(reader, "times");
    }
    return read_locked_by(reader, sentence);
}

static bool read_retry(pw_reader *reader, pw_sentence *sentence, int32_t begun)
{
    if (begun == 0) {
        return read_times(reader, sentence);
    }
    sentence->wait_count = 1;
    return pw_reader_time(reader, &sentence->waits_ms[0]) && read_locked_by(reader, sentence);
}

static void put_retry(const pw_settings *settings, const pw_sentence *sentence, pw_text *text)
{
    pw_text_put(text, sentence->times > 0 ? "retry after " : "release by itself after ");
    for (int32_t i = 0; i < sentence->wait_count; i++) {
        pw_text_put(text, i > 0 ? ", then " : "");
        pw_text_span(text, sentence->waits_ms[i]);
    }
    if (sentence->times > 0) {
        pw_text_put(text, " up to ");
        pw_text_int(text, sentence->times);
        pw_text_put(text, sentence->times == 1 ? " time" : " times");
    }
    if (sentence->term_count > 0) {
        pw_text_put(text, " when locked out by ");
        pw_term_put(settings, &sentence->terms[0], text);
    }
}

static pw_fact retry_fact(pw_arena *arena, const pw_settings *settings, const pw_sentence *sentence)
{
    pw_facts waits;
    pw_facts_init(&waits, arena);
    for (int32_t i = 0; i < sentence->wait_count; i++) {
        pw_tell(&waits, i > 0 ? "sentence.then" : "base.value", pw_duration(sentence->waits_ms[i]));
    }
    const pw_value by = sentence->term_count > 0
                            ? pw_fact_inside(arena, pw_term_fact(arena, settings, &sentence->terms[0]))
                            : pw_named("");
    const pw_value list = pw_list(&waits, PW_JOIN_NOTHING);
    return sentence->times > 0 ? pw_fact_of("sentence.retry", list, pw_count(sentence->times), by)
                               : pw_fact_of("sentence.release", list, by);
}

static const pw_number_form numbers[] = {
    {"wait", "sentence.number-retry", offsetof(pw_sentence, waits_ms), PW_NUMBER_TIME},
    {"times", "sentence.number-times", offsetof(pw_sentence, times), PW_NUMBER_COUNT},
    {NULL, NULL, 0, 0}};

const pw_action pw_action_RETRY = {
    .name = "retry",
    .numbers = numbers,
    .begins = {"retry after", "release by itself after"},
    .shapes = {"retry after 5 min, then 30 min, then 2 h up to 3 times", "release by itself after {time}"},
    .usual_ms = 7200000,
    .id = "sentence.retry",
    .meant_in = 1u << PW_SENTENCE_LOCK,
    .meant = "typed.lock-to-release",
    .meant_hint = "typed.no-lock-fits",
    .read = read_retry,
    .put = put_retry,
    .fact = retry_fact};
