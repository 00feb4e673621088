/* Conditions on what a pump itself does: its starts, how long it has run or stood. */
#include "control/parts.h"

#include <stddef.h>

/* Of starts, in their window; the range stands in base/limits.h, since a simulation must bear it, too. */
_Static_assert(PW_MAX_STARTS == 3600, "what the words say");

/* ---- starts ---- */

/* "3 times in a row" behind the window; all of them must be remembered. */
static bool read_in_a_row(pw_reader *reader, pw_term *term)
{
    pw_reader_skip(reader);
    size_t at = reader->at;
    if (at >= reader->length || reader->text[at] < '0' || reader->text[at] > '9') {
        return true;
    }
    static const char *const words[] = {"times in a row", NULL};
    if (!pw_reader_whole(reader, 2, PW_MAX_IN_A_ROW, "typed.windows-range", &term->in_a_row)) {
        return false;
    }
    if (!pw_reader_take(reader, "times in a row")) {
        return pw_reader_fail_words(reader, pw_verbatim(words[0]), words);
    }
    if (term->in_a_row * term->count > PW_MAX_STARTS || (uint64_t)term->in_a_row * term->time_ms > PW_LONGEST_MS) {
        return pw_reader_fail(reader, PW_RANGE, at, NULL, pw_fact_of("typed.all-windows"), pw_no_fact());
    }
    return true;
}

static bool read_starts(pw_reader *reader, const pw_sentence *sentence, pw_term *term, size_t at)
{
    (void)sentence, (void)at;
    if (!pw_reader_whole(reader, 1, PW_MAX_STARTS, "typed.starts-range", &term->count)) {
        return false;
    }
    if (!pw_reader_take(reader, "in")) {
        static const char *const words[] = {"in", NULL};
        return pw_reader_fail_words(reader, pw_fact_of("typed.in-time"), words);
    }
    return pw_reader_time(reader, &term->time_ms) && read_in_a_row(reader, term);
}

static void put_starts(const pw_settings *settings, const pw_term *term, pw_text *text)
{
    (void)settings;
    pw_text_put(text, "starts reach ");
    pw_text_int(text, term->count);
    pw_text_put(text, " in ");
    pw_text_span(text, term->time_ms);
    if (term->in_a_row > 1) {
        pw_text_put(text, " ");
        pw_text_int(text, term->in_a_row);
        pw_text_put(text, " times in a row");
    }
}

/* In each of the last windows, going back from now. */
static bool starts_hold(const pw_form_moment *moment, const pw_term *term)
{
    const pw_moment_view *m = moment->m;
    const pw_pump_control *pump = m->pump;
    int32_t at = 0;
    if (term->in_a_row == 1) { /* enough to look at one of them */
        return pump->start_count >= term->count && m->now_ms - pw_start_before(pump, term->count - 1) < term->time_ms;
    }
    for (uint32_t window = 1; window <= (uint32_t)term->in_a_row; window++) {
        int32_t count = 0;
        while (at < pump->start_count && m->now_ms - pw_start_before(pump, at) < window * term->time_ms) {
            at++;
            count++;
        }
        if (count < term->count) {
            return false;
        }
    }
    return true;
}

/* A start leaves one window of the row for the next. With one window only the N-th newest matters. */
static void starts_due(const pw_form_moment *moment, const pw_term *term, uint32_t *due_ms)
{
    const pw_moment_view *m = moment->m;
    if (m->pump->start_count < term->count * term->in_a_row) {
        return;
    }
    int32_t first = term->in_a_row == 1 ? term->count - 1 : 0;
    int32_t last = term->in_a_row == 1 ? term->count - 1 : m->pump->start_count - 1;
    for (int32_t i = first; i <= last; i++) {
        uint32_t age_ms = m->now_ms - pw_start_before(m->pump, i);
        if (age_ms >= (uint32_t)term->in_a_row * term->time_ms) {
            break;
        }
        pw_sooner(due_ms, term->time_ms - age_ms % term->time_ms);
    }
}

/* ---- running, stopped, locked out ---- */

static bool read_state(pw_reader *reader, const pw_sentence *sentence, pw_term *term, size_t at)
{
    (void)sentence, (void)at;
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

static void put_state(const pw_settings *settings, const pw_term *term, pw_text *text)
{
    if (term->of_pump >= 0) {
        pw_text_puts(text, settings->pumps[term->of_pump], " is ", (const char *)NULL);
    }
    pw_text_put(text, pw_form_of(term->kind)->words);
    if (term->time_ms > 0) {
        pw_text_put(text, " for ");
        pw_text_span(text, term->time_ms);
    }
}

static bool running_holds(const pw_form_moment *at, const pw_term *term)
{
    const bool long_enough = !at->fresh && pw_moment_age(at->pump->start, at->m->now_ms) >= term->time_ms;
    return at->running && (term->time_ms == 0 || long_enough);
}

static bool stopped_holds(const pw_form_moment *at, const pw_term *term)
{
    return !at->running && pw_moment_age(at->pump->stop, at->m->now_ms) >= term->time_ms;
}

static bool locked_holds(const pw_form_moment *at, const pw_term *term)
{
    return at->pump->state == PW_PUMP_LOCKED && pw_moment_age(at->pump->lock, at->m->now_ms) >= term->time_ms;
}

static void due_after(uint32_t age_ms, const pw_term *term, uint32_t *due_ms)
{
    if (age_ms < term->time_ms) {
        pw_sooner(due_ms, term->time_ms - age_ms);
    }
}

static void running_due(const pw_form_moment *at, const pw_term *term, uint32_t *due_ms)
{
    if (at->running) {
        due_after(pw_moment_age(at->pump->start, at->m->now_ms), term, due_ms);
    }
}

static void stopped_due(const pw_form_moment *at, const pw_term *term, uint32_t *due_ms)
{
    if (!at->running) {
        due_after(pw_moment_age(at->pump->stop, at->m->now_ms), term, due_ms);
    }
}

static void locked_due(const pw_form_moment *at, const pw_term *term, uint32_t *due_ms)
{
    if (at->pump->state == PW_PUMP_LOCKED) {
        due_after(pw_moment_age(at->pump->lock, at->m->now_ms), term, due_ms);
    }
}

/* ---- the rows ---- */

static pw_fact starts_fact(pw_arena *arena, const pw_settings *settings, const pw_term *term)
{
    (void)arena, (void)settings;
    return term->in_a_row > 1 ? pw_fact_of("sentence.starts-in-a-row", pw_count(term->count),
                                           pw_duration(term->time_ms), pw_count(term->in_a_row))
                              : pw_fact_of("sentence.starts", pw_count(term->count), pw_duration(term->time_ms));
}

static pw_fact state_fact(pw_arena *arena, const pw_settings *settings, const pw_term *term)
{
    (void)arena;
    return pw_fact_of(pw_form_of(term->kind)->told, pw_span_or_none(term->time_ms),
                      pw_named(term->of_pump >= 0 ? settings->pumps[term->of_pump] : ""));
}

#define TIME(name, what)                                       \
    {                                                          \
        name, what, offsetof(pw_term, time_ms), PW_NUMBER_TIME \
    }

static const pw_number_form starts_numbers[] = {
    {"starts", "sentence.number-starts", offsetof(pw_term, count), PW_NUMBER_COUNT},
    TIME("window", "sentence.number-window"),
    {"in a row", "sentence.number-in-a-row", offsetof(pw_term, in_a_row), PW_NUMBER_COUNT},
    {NULL, NULL, 0, 0}};
static const pw_number_form running_numbers[] = {TIME("running", "sentence.number-running"), {NULL, NULL, 0, 0}};
static const pw_number_form stopped_numbers[] = {TIME("stopped", "sentence.number-stopped"), {NULL, NULL, 0, 0}};
static const pw_number_form locked_numbers[] = {TIME("locked out", "sentence.number-locked-out"), {NULL, NULL, 0, 0}};

const pw_term_form pw_form_STARTS = {.words = "starts reach",
                                     .usual = {{.count = 15, .time_ms = 3600000u, .in_a_row = 1}},
                                     .usual_count = 1,
                                     .noun = "typed.noun-starts",
                                     .numbers = starts_numbers,
                                     .opposite = PW_TERM_STARTS,
                                     .read = read_starts,
                                     .put = put_starts,
                                     .fact = starts_fact,
                                     .holds = starts_hold,
                                     .due = starts_due,
                                     .advise = pw_advice_starts};

const pw_term_form pw_form_RUNNING = {.told = "sentence.running",
                                      .words = "running",
                                      .usual = {{.time_ms = 5400000u}},
                                      .usual_count = 1,
                                      .noun = "typed.noun-running",
                                      .of_pump = true,
                                      .side = true,
                                      .numbers = running_numbers,
                                      .opposite = PW_TERM_STOPPED,
                                      .read = read_state,
                                      .put = put_state,
                                      .fact = state_fact,
                                      .holds = running_holds,
                                      .due = running_due,
                                      .advise = pw_advice_running};

const pw_term_form pw_form_STOPPED = {.told = "sentence.stopped",
                                      .words = "stopped",
                                      .usual = {{.time_ms = 86400000u}},
                                      .usual_count = 1,
                                      .noun = "typed.noun-stopped",
                                      .of_pump = true,
                                      .side = true,
                                      .numbers = stopped_numbers,
                                      .opposite = PW_TERM_RUNNING,
                                      .read = read_state,
                                      .put = put_state,
                                      .fact = state_fact,
                                      .holds = stopped_holds,
                                      .due = stopped_due,
                                      .advise = pw_advice_stopped};

const pw_term_form pw_form_LOCKED = {.told = "sentence.locked-out",
                                     .words = "locked out",
                                     .noun = "typed.noun-locked",
                                     .of_pump = true,
                                     .numbers = locked_numbers,
                                     .opposite = PW_TERM_LOCKED,
                                     .read = read_state,
                                     .put = put_state,
                                     .fact = state_fact,
                                     .holds = locked_holds,
                                     .due = locked_due,
                                     .advise = pw_advice_locked};
