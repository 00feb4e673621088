/* "start at most 6 times in 1 h": one start more waits until the first of them is that old. Where starting less often
 * costs nothing (a tank that fills), this spares the motor and needs no person; a lock out by starts tells of what
 * is wrong.
 */
#include "control/action.h"

#include <stddef.h>

static bool read_at_most(pw_reader *reader, pw_sentence *sentence, int32_t begun)
{
    static const char *const end[] = {NULL};
    (void)begun;
    if (!pw_reader_whole(reader, 1, PW_MAX_STARTS, "typed.starts-range", &sentence->times)) {
        return false;
    }
    return (pw_reader_take(reader, "time") || pw_reader_need(reader, "times")) && pw_reader_need(reader, "in") &&
           pw_reader_time(reader, &sentence->time_ms) && pw_reader_finish(reader, "", end);
}

static void put_at_most(const pw_settings *settings, const pw_sentence *sentence, pw_text *text)
{
    (void)settings;
    pw_text_put(text, "start at most ");
    pw_text_int(text, sentence->times);
    pw_text_put(text, sentence->times == 1 ? " time in " : " times in ");
    pw_text_span(text, sentence->time_ms);
}

static pw_fact at_most_fact(pw_arena *arena, const pw_settings *settings, const pw_sentence *sentence)
{
    (void)arena, (void)settings;
    return pw_fact_of("sentence.at-most", pw_count(sentence->times), pw_duration(sentence->time_ms));
}

static uint32_t at_most_left(const pw_table *table, const pw_control *control, int32_t pump, uint32_t now_ms)
{
    const pw_set *set = &table->pumps[pump].set[PW_SENTENCE_AT_MOST];
    const pw_pump_control *one = &control->pumps[pump];
    if (!set->there || one->start_count < set->times) {
        return 0;
    }
    const uint32_t age_ms = now_ms - pw_start_before(one, set->times - 1);
    return age_ms < set->ms ? set->ms - age_ms : 0;
}

static const pw_number_form numbers[] = {
    {"times", "sentence.number-most-starts", offsetof(pw_sentence, times), PW_NUMBER_COUNT},
    {"window", "sentence.number-window", offsetof(pw_sentence, time_ms), PW_NUMBER_TIME},
    {NULL, NULL, 0, 0}};

const pw_action pw_action_AT_MOST = {.name = "at most",
                                     .numbers = numbers,
                                     .begins = {"start at most"},
                                     .shapes = {"start at most 6 times in {time}"},
                                     .usual_ms = 3600000,
                                     .id = "sentence.at-most",
                                     .one_time = true,
                                     .read = read_at_most,
                                     .put = put_at_most,
                                     .fact = at_most_fact,
                                     .start_left = at_most_left,
                                     .held = "day.held-at-most",
                                     .waits = "control.waits-at-most"};
