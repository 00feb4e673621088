/* Times that a pump keeps to: rest, run at least, run on, starts apart, after power on; what is ignored after a start;
 * lock outs over a power cut.
 */
#include "control/action.h"

#include <stddef.h>

/* [TIME [after]] */
static bool read_timed(pw_reader *reader, pw_sentence *sentence, int32_t begun)
{
    static const char *const end[] = {NULL};
    const char *after = pw_action_of(sentence->kind)->after;
    (void)begun;
    return pw_reader_time(reader, &sentence->time_ms) && (after == NULL || pw_reader_need(reader, after)) &&
           pw_reader_finish(reader, "", end);
}

static void put_timed(const pw_settings *settings, const pw_sentence *sentence, pw_text *text)
{
    const pw_action *action = pw_action_of(sentence->kind);
    (void)settings;
    pw_text_puts(text, action->begins[0], " ", (const char *)NULL);
    pw_text_span(text, sentence->time_ms);
    if (action->after != NULL) {
        pw_text_puts(text, " ", action->after, (const char *)NULL);
    }
}

static pw_fact timed_fact(pw_arena *arena, const pw_settings *settings, const pw_sentence *sentence)
{
    (void)arena, (void)settings;
    return pw_fact_of(pw_action_of(sentence->kind)->id, pw_duration(sentence->time_ms));
}

static uint32_t left(uint32_t age_ms, uint32_t of_ms)
{
    return age_ms < of_ms ? of_ms - age_ms : 0;
}

/* rest */

static bool read_rest(pw_reader *reader, pw_sentence *sentence, int32_t begun)
{
    (void)begun;
    static const char *const words[] = {"then wait for a new call", NULL};
    if (!pw_reader_time(reader, &sentence->time_ms) || !pw_reader_need(reader, "after stop")) {
        return false;
    }
    const bool comma = pw_reader_comma(reader);
    sentence->new_call = pw_reader_take(reader, "then wait for a new call");
    if (comma && !sentence->new_call) {
        return pw_reader_fail_words(reader, pw_verbatim(words[0]), words);
    }
    return pw_reader_finish(reader, words[0], words);
}

static void put_rest(const pw_settings *settings, const pw_sentence *sentence, pw_text *text)
{
    put_timed(settings, sentence, text);
    pw_text_put(text, sentence->new_call ? ", then wait for a new call" : "");
}

static pw_fact rest_fact(pw_arena *arena, const pw_settings *settings, const pw_sentence *sentence)
{
    (void)arena, (void)settings;
    return pw_fact_of("sentence.rest", pw_duration(sentence->time_ms), pw_truth(sentence->new_call));
}

static void build_rest(const pw_sentence *sentence, pw_table *table, pw_pump_table *pump)
{
    (void)table;
    if (sentence->new_call && sentence->time_ms > pump->new_call_ms) {
        pump->new_call_ms = sentence->time_ms;
    }
}

/* Nothing is owed before the first stop. */
static uint32_t rest_left(const pw_table *table, const pw_control *control, int32_t pump, uint32_t now_ms)
{
    const pw_pump_control *one = &control->pumps[pump];
    return one->has_stopped ? left(pw_moment_age(one->stop, now_ms), table->pumps[pump].set[PW_SENTENCE_REST].ms) : 0;
}

static const pw_number_form rest_numbers[] = {
    {"rest", "sentence.number-rest", offsetof(pw_sentence, time_ms), PW_NUMBER_TIME}, {NULL, NULL, 0, 0}};

const pw_action pw_action_REST = {.name = "rest",
                                  .numbers = rest_numbers,
                                  .begins = {"rest"},
                                  .shapes = {"rest {time} after stop"},
                                  .usual_ms = 10000,
                                  .after = "after stop",
                                  .id = "sentence.rest",
                                  .one_time = true,
                                  .read = read_rest,
                                  .put = put_rest,
                                  .fact = rest_fact,
                                  .build = build_rest,
                                  .start_left = rest_left,
                                  .held = "day.held-rest",
                                  .waits = "control.rests"};

/* after power on */

static uint32_t power_left(const pw_table *table, const pw_control *control, int32_t pump, uint32_t now_ms)
{
    return left(pw_moment_age(control->power, now_ms), table->pumps[pump].set[PW_SENTENCE_POWER_ON].ms);
}

static const pw_number_form power_on_numbers[] = {
    {"wait", "sentence.number-power-on", offsetof(pw_sentence, time_ms), PW_NUMBER_TIME}, {NULL, NULL, 0, 0}};

const pw_action pw_action_POWER_ON = {.name = "power on",
                                      .numbers = power_on_numbers,
                                      .begins = {"wait"},
                                      .shapes = {"wait {time} after power on"},
                                      .usual_ms = 30000,
                                      .after = "after power on",
                                      .id = "sentence.power-on",
                                      .one_time = true,
                                      .read = read_timed,
                                      .put = put_timed,
                                      .fact = timed_fact,
                                      .start_left = power_left,
                                      .held = "day.held-power",
                                      .waits = "control.waits-power"};

/* apart from the starts of the others */

static uint32_t apart_left(const pw_table *table, const pw_control *control, int32_t pump, uint32_t now_ms)
{
    uint32_t longest_ms = 0;
    for (int32_t p = 0; p < table->pump_count; p++) {
        const uint32_t left_ms =
            left(pw_moment_age(control->pumps[p].start, now_ms), table->pumps[pump].set[PW_SENTENCE_APART].ms);
        longest_ms = p != pump && left_ms > longest_ms ? left_ms : longest_ms;
    }
    return longest_ms;
}

static const pw_number_form apart_numbers[] = {
    {"apart", "sentence.number-apart", offsetof(pw_sentence, time_ms), PW_NUMBER_TIME}, {NULL, NULL, 0, 0}};

const pw_action pw_action_APART = {.name = "apart",
                                   .numbers = apart_numbers,
                                   .begins = {"start pumps at least"},
                                   .shapes = {"start pumps at least {time} apart"},
                                   .usual_ms = 10000,
                                   .after = "apart",
                                   .id = "sentence.apart",
                                   .sets_whole = true,
                                   .one_time = true,
                                   .read = read_timed,
                                   .put = put_timed,
                                   .fact = timed_fact,
                                   .start_left = apart_left,
                                   .held = "day.held-apart",
                                   .waits = "control.waits-apart"};

/* within a run */

static const pw_number_form least_run_numbers[] = {
    {"run at least", "sentence.number-least-run", offsetof(pw_sentence, time_ms), PW_NUMBER_TIME}, {NULL, NULL, 0, 0}};

const pw_action pw_action_LEAST_RUN = {.name = "least run",
                                       .numbers = least_run_numbers,
                                       .begins = {"run at least"},
                                       .shapes = {"run at least {time}"},
                                       .usual_ms = 30000,
                                       .id = "sentence.least-run",
                                       .one_time = true,
                                       .within_run = true,
                                       .read = read_timed,
                                       .put = put_timed,
                                       .fact = timed_fact};

static const pw_number_form run_on_numbers[] = {
    {"run on", "sentence.number-run-on", offsetof(pw_sentence, time_ms), PW_NUMBER_TIME}, {NULL, NULL, 0, 0}};

const pw_action pw_action_RUN_ON = {.name = "run-on",
                                    .numbers = run_on_numbers,
                                    .begins = {"run on"},
                                    .shapes = {"run on {time} after stop condition"},
                                    .usual_ms = 30000,
                                    .after = "after stop condition",
                                    .id = "sentence.run-on",
                                    .one_time = true,
                                    .within_run = true,
                                    .read = read_timed,
                                    .put = put_timed,
                                    .fact = timed_fact};

static bool read_ignore(pw_reader *reader, pw_sentence *sentence, int32_t begun)
{
    (void)begun;
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
    return pw_reader_need(reader, "for") && pw_reader_time(reader, &sentence->time_ms) &&
           pw_reader_need(reader, "after start") && pw_reader_finish(reader, "", end);
}

static void put_ignore(const pw_settings *settings, const pw_sentence *sentence, pw_text *text)
{
    pw_text_put(text, "ignore ");
    pw_term_put(settings, &sentence->terms[0], text);
    pw_text_put(text, " for ");
    pw_text_span(text, sentence->time_ms);
    pw_text_put(text, " after start");
}

static pw_fact ignore_fact(pw_arena *arena, const pw_settings *settings, const pw_sentence *sentence)
{
    return pw_fact_of("sentence.ignore", pw_fact_inside(arena, pw_term_fact(arena, settings, &sentence->terms[0])),
                      pw_duration(sentence->time_ms));
}

static const pw_number_form ignore_numbers[] = {
    {"ignore", "sentence.number-ignore", offsetof(pw_sentence, time_ms), PW_NUMBER_TIME}, {NULL, NULL, 0, 0}};

const pw_action pw_action_IGNORE = {.name = "ignore",
                                    .numbers = ignore_numbers,
                                    .begins = {"ignore"},
                                    .shapes = {"ignore {condition} for {time} after start"},
                                    .usual_ms = 15000,
                                    .of_signals = true,
                                    .id = "sentence.ignore",
                                    .within_run = true,
                                    .meant_in = 1u << PW_SENTENCE_STOP | 1u << PW_SENTENCE_LOCK |
                                                1u << PW_SENTENCE_WARN | 1u << PW_SENTENCE_HOLD_ON,
                                    .meant = "typed.very-condition",
                                    .meant_hint = "typed.nothing-to-ignore",
                                    .read = read_ignore,
                                    .put = put_ignore,
                                    .fact = ignore_fact};

/* over a power cut */

static bool read_keep(pw_reader *reader, pw_sentence *sentence, int32_t begun)
{
    static const char *const end[] = {NULL};
    (void)sentence, (void)begun;
    return pw_reader_finish(reader, "", end);
}

static void put_keep(const pw_settings *settings, const pw_sentence *sentence, pw_text *text)
{
    (void)settings;
    pw_text_put(text, pw_action_of(sentence->kind)->begins[0]);
}

static pw_fact keep_fact(pw_arena *arena, const pw_settings *settings, const pw_sentence *sentence)
{
    (void)arena, (void)settings, (void)sentence;
    return pw_fact_of("sentence.keep-locks");
}

const pw_action pw_action_KEEP_LOCKS = {.name = "keep lock outs",
                                        .begins = {"keep lock outs over a power cut"},
                                        .shapes = {"keep lock outs over a power cut"},
                                        .id = "sentence.keep-locks",
                                        .read = read_keep,
                                        .put = put_keep,
                                        .fact = keep_fact};
