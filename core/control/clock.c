/* The clock of the week: reading, printing and asking about windows of time. Edges are exact to the millisecond.
 */
#include "control/parts.h"

#include <stddef.h>
#include <string.h>

enum { DAY_S = 86400, DAY_MS = 86400000, ALL_DAYS = 0x7f };

const char *const pw_day_names[7] = {"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"};

/* ---- asking ---- */

static bool has_day(const pw_term *term, uint32_t day)
{
    return (term->days >> day % 7 & 1u) != 0;
}

bool pw_clock_inside(const pw_term *term, uint32_t week_ms)
{
    uint32_t day = week_ms / DAY_MS;
    uint32_t in_day_ms = week_ms % DAY_MS;
    bool after_from = in_day_ms >= term->from_s * 1000u;
    bool before_to = in_day_ms < term->to_s * 1000u;
    if (term->from_s < term->to_s) {
        return has_day(term, day) && after_from && before_to;
    }
    return (has_day(term, day) && after_from) || (has_day(term, day + 6) && before_to);
}

static void nearer(uint32_t *left_ms, uint32_t edge_s, uint32_t week_ms)
{
    uint32_t edge_ms = edge_s * 1000u % PW_WEEK_MS;
    uint32_t away_ms = edge_ms > week_ms ? edge_ms - week_ms : edge_ms + PW_WEEK_MS - week_ms;
    *left_ms = away_ms < *left_ms ? away_ms : *left_ms;
}

uint32_t pw_clock_left(const pw_term *term, uint32_t week_ms)
{
    uint32_t left_ms = PW_WEEK_MS;
    for (uint32_t day = 0; day < 7; day++) {
        if (has_day(term, day)) {
            uint32_t to_s = term->from_s < term->to_s ? term->to_s : term->to_s + DAY_S;
            nearer(&left_ms, day * DAY_S + term->from_s, week_ms);
            nearer(&left_ms, day * DAY_S + to_s, week_ms);
        }
    }
    return left_ms;
}

/* ---- reading ---- */

static bool read_time_of_day(pw_reader *reader, uint32_t *out_s)
{
    char word[16];
    size_t length = 0;
    double seconds = 0;
    pw_reader_skip(reader);
    while (reader->at + length < reader->length && length < sizeof word - 1) {
        char c = reader->text[reader->at + length];
        if (!((c >= '0' && c <= '9') || c == ':')) {
            break;
        }
        word[length] = c;
        length++;
    }
    word[length] = 0;
    if (!pw_clock_read(word, &seconds)) {
        return pw_reader_fail(reader, PW_WORD, reader->at, length > 0 ? word : NULL, pw_fact_of("typed.a-time-of-day"),
                              pw_no_fact());
    }
    *out_s = (uint32_t)seconds;
    pw_reader_number(reader, out_s, reader->at, length, 0, DAY_S);
    reader->at += length;
    return true;
}

static int32_t take_day(pw_reader *reader)
{
    for (int32_t day = 0; day < 7; day++) {
        if (pw_reader_take(reader, pw_day_names[day])) {
            return day;
        }
    }
    return -1;
}

/* A comma or "and" with another day behind it. */
static bool take_joint(pw_reader *reader)
{
    pw_reader ahead = *reader;
    pw_reader_skip(&ahead);
    bool comma = ahead.at < ahead.length && ahead.text[ahead.at] == ',';
    ahead.at += comma ? 1 : 0;
    bool joined = pw_reader_take(&ahead, "and") || comma;
    pw_reader behind = ahead;
    if (!joined || (!comma && take_day(&behind) < 0)) {
        return false;
    }
    reader->at = ahead.at;
    return true;
}

static bool read_days(pw_reader *reader, uint8_t *out)
{
    static const char *const words[] = {"Monday", "Tuesday",  "Wednesday", "Thursday",
                                        "Friday", "Saturday", "Sunday",    NULL};
    do {
        int32_t first = take_day(reader);
        if (first < 0) {
            return pw_reader_fail_words(reader, pw_fact_of("typed.a-weekday"), words);
        }
        int32_t last = first;
        if (pw_reader_take(reader, "to")) {
            last = take_day(reader);
            if (last < 0) {
                return pw_reader_fail_words(reader, pw_fact_of("typed.a-weekday"), words);
            }
        }
        for (int32_t day = first; day != last; day = (day + 1) % 7) {
            *out |= (uint8_t)(1u << day);
        }
        *out |= (uint8_t)(1u << last);
    } while (take_joint(reader));
    return true;
}

static bool read_clock(pw_reader *reader, const pw_sentence *sentence, pw_term *term, size_t begin)
{
    (void)sentence, (void)begin;
    static const char *const form[] = {"between", "not between", NULL};
    static const char *const joint[] = {"and", NULL};
    term->above = !pw_reader_take(reader, "not between");
    if (term->above && !pw_reader_take(reader, "between")) {
        return pw_reader_fail_one_of(reader, form);
    }
    if (!read_time_of_day(reader, &term->from_s)) {
        return false;
    }
    if (!pw_reader_take(reader, "and")) {
        return pw_reader_fail_words(reader, pw_fact_of("typed.and-time-of-day"), joint);
    }
    pw_reader_skip(reader);
    size_t at = reader->at;
    if (!read_time_of_day(reader, &term->to_s)) {
        return false;
    }
    if (term->from_s == term->to_s || term->from_s == DAY_S) {
        return pw_reader_fail(reader, PW_RANGE, at, NULL, pw_fact_of("typed.another-time"), pw_no_fact());
    }
    term->days = ALL_DAYS;
    if (pw_reader_take(reader, "on")) {
        term->days = 0;
        return read_days(reader, &term->days);
    }
    return true;
}

/* ---- printing ---- */

/* Days from first on that follow each other. */
static int32_t run_of_days(const pw_term *term, int32_t first)
{
    int32_t last = first;
    while (last < 6 && has_day(term, (uint32_t)last + 1)) {
        last++;
    }
    return last;
}

static void put_days(const pw_term *term, pw_text *text)
{
    const char *names[7][2];
    int32_t count = 0;
    for (int32_t day = 0; day < 7; day++) {
        if (!has_day(term, (uint32_t)day)) {
            continue;
        }
        int32_t last = run_of_days(term, day);
        bool span = last >= day + 2;
        names[count][0] = pw_day_names[day];
        names[count][1] = span ? pw_day_names[last] : NULL;
        count++;
        day = span ? last : day;
    }
    for (int32_t i = 0; i < count; i++) {
        pw_text_put(text, i == 0 ? " on " : i + 1 == count ? " and " : ", ");
        pw_text_put(text, names[i][0]);
        if (names[i][1] != NULL) {
            pw_text_puts(text, " to ", names[i][1], (const char *)NULL);
        }
    }
}

static pw_fact clock_fact(pw_arena *arena, const pw_settings *settings, const pw_term *term)
{
    (void)settings;
    pw_facts days;
    pw_facts_init(&days, arena);
    for (int32_t day = 0; term->days != ALL_DAYS && day < 7; day++) {
        if (!has_day(term, (uint32_t)day)) {
            continue;
        }
        const int32_t last = run_of_days(term, day);
        const bool span = last >= day + 2;
        pw_tell(&days, "sentence.days", pw_weekday(day), span ? pw_weekday(last) : pw_named(""));
        day = span ? last : day;
    }
    return pw_fact_of(term->above ? "sentence.time-between" : "sentence.time-not-between", pw_clock(term->from_s),
                      pw_clock(term->to_s), pw_list(&days, PW_JOIN_AND));
}

void pw_clock_put(const pw_term *term, pw_text *text)
{
    pw_text_put(text, term->above ? "time between " : "time not between ");
    pw_time_of_day_put(text, term->from_s);
    pw_text_put(text, " and ");
    pw_time_of_day_put(text, term->to_s);
    if (term->days != ALL_DAYS) {
        put_days(term, text);
    }
}

/* ---- the row ---- */

static void put_clock(const pw_settings *settings, const pw_term *term, pw_text *text)
{
    (void)settings;
    pw_clock_put(term, text);
}

static bool clock_holds(const pw_form_moment *at, const pw_term *term)
{
    return pw_clock_inside(term, at->m->control->week_ms) == term->above;
}

static void clock_due(const pw_form_moment *at, const pw_term *term, uint32_t *due_ms)
{
    pw_sooner(due_ms, pw_clock_left(term, at->m->control->week_ms));
}

static const pw_number_form numbers[] = {{"from", "sentence.number-from", offsetof(pw_term, from_s), PW_NUMBER_CLOCK},
                                         {"to", "sentence.number-to", offsetof(pw_term, to_s), PW_NUMBER_CLOCK},
                                         {NULL, NULL, 0, 0}};

const pw_term_form pw_form_CLOCK = {.words = "time",
                                    .usual = {{.above = true, .from_s = 79200, .to_s = 21600, .days = ALL_DAYS}},
                                    .usual_count = 1,
                                    .noun = "clock",
                                    .numbers = numbers,
                                    .opposite = PW_TERM_CLOCK,
                                    .read = read_clock,
                                    .put = put_clock,
                                    .fact = clock_fact,
                                    .holds = clock_holds,
                                    .due = clock_due,
                                    .advise = pw_advice_clock};

/* ---- setting ---- */

void pw_control_clock(pw_control *control, uint32_t now_ms, uint32_t week_ms)
{
    control->clock_at_ms = now_ms;
    control->week_ms = week_ms % PW_WEEK_MS;
}
