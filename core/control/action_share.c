/* "share the work between A and B and change over every 24 h": pumps that stand in for each other (team.c). */
#include "control/action.h"

#include <stddef.h>

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
    const bool comma = pw_reader_comma(reader);
    pw_reader ahead = *reader;
    bool joined = pw_reader_take(&ahead, "and");
    pw_reader over = ahead;
    if (pw_reader_take(&over, "change over")) {
        return false;
    }
    reader->at = ahead.at;
    return comma || joined;
}

static bool read_sharing(pw_reader *reader, pw_sentence *sentence, int32_t begun)
{
    static const char *const end[] = {"and change over", NULL};
    (void)begun;
    sentence->pumps = 0;
    do {
        pw_reader_skip(reader);
        size_t at = reader->at;
        int32_t pump = pw_reader_pump(reader);
        if (pump < 0) {
            return fail_pump(reader);
        }
        if (pw_sentence_for(sentence, pump)) {
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
        return pw_reader_end(reader) || pw_reader_fail_words(reader, pw_fact_of("typed.after-member"), end);
    }
    if (pw_reader_take(reader, "at every stop")) {
        sentence->every_stop = true;
    } else if (!pw_reader_need(reader, "every") || !pw_reader_time(reader, &sentence->time_ms)) {
        return false;
    }
    return pw_reader_finish(reader, "", &end[1]);
}

static void put_sharing(const pw_settings *settings, const pw_sentence *sentence, pw_text *text)
{
    pw_text_put(text, "share the work between ");
    for (int32_t i = 0; i < sentence->member_count; i++) {
        pw_text_put(text, i == 0 ? "" : i + 1 == sentence->member_count ? " and " : ", ");
        pw_text_put(text, settings->pumps[sentence->members[i]]);
    }
    if (sentence->every_stop) {
        pw_text_put(text, " and change over at every stop");
    } else if (sentence->time_ms > 0) {
        pw_text_put(text, " and change over every ");
        pw_text_span(text, sentence->time_ms);
    }
}

static pw_fact sharing_fact(pw_arena *arena, const pw_settings *settings, const pw_sentence *sentence)
{
    pw_facts pumps;
    pw_facts_init(&pumps, arena);
    for (int32_t i = 0; i < sentence->member_count; i++) {
        pw_tell(&pumps, "base.value", pw_named(settings->pumps[sentence->members[i]]));
    }
    return pw_fact_of("sentence.share", pw_list(&pumps, PW_JOIN_AND), pw_truth(sentence->every_stop),
                      sentence->every_stop ? pw_named("") : pw_span_or_none(sentence->time_ms));
}

static void build_sharing(const pw_sentence *sentence, pw_table *table, pw_pump_table *pump)
{
    (void)pump;
    table->member_count = sentence->member_count;
    table->every_stop = sentence->every_stop;
    table->change_ms = sentence->time_ms;
    for (int32_t k = 0; k < sentence->member_count; k++) {
        table->members[k] = sentence->members[k];
    }
}

static const pw_number_form numbers[] = {
    {"change over", "sentence.number-change-over", offsetof(pw_sentence, time_ms), PW_NUMBER_TIME}, {NULL, NULL, 0, 0}};

const pw_action pw_action_SHARE = {.name = "share",
                                   .numbers = numbers,
                                   .begins = {"share the work between"},
                                   .shapes = {"share the work between {pumps} and change over at every stop"},
                                   .id = "sentence.share",
                                   .sets_whole = true,
                                   .read = read_sharing,
                                   .put = put_sharing,
                                   .fact = sharing_fact,
                                   .build = build_sharing};
