/* "retries reach 3": so often the settings have released a lock out by themselves, with no good run since. A person
 * wants to know of it long before the last retry is used up.
 */
#include "control/parts.h"

#include <stddef.h>

static bool read_retries(pw_reader *reader, const pw_sentence *sentence, pw_term *term, size_t at)
{
    (void)sentence, (void)at;
    return pw_reader_whole(reader, 1, PW_MAX_RETRIES, "typed.retries-range", &term->count);
}

static void put_retries(const pw_settings *settings, const pw_term *term, pw_text *text)
{
    (void)settings;
    pw_text_put(text, "retries reach ");
    pw_text_int(text, term->count);
}

static pw_fact retries_fact(pw_arena *arena, const pw_settings *settings, const pw_term *term)
{
    (void)arena, (void)settings;
    return pw_fact_of("sentence.retries", pw_count(term->count));
}

/* The count stands still at PW_MAX_RETRIES, so every limit within its range is met. */
static bool retries_hold(const pw_form_moment *at, const pw_term *term)
{
    return at->pump->retries >= term->count;
}

static void advise_retries(const pw_advised *a, pw_settings_advice *advice)
{
    (void)a;
    advice->wrong = "advice.retries";
    pw_advice_check(advice, "advice.retries-which");
    pw_advice_check(advice, "advice.retries-recover");
    pw_advice_check(advice, "advice.retries-beside");
}

static const pw_number_form numbers[] = {
    {"retries", "sentence.number-retries", offsetof(pw_term, count), PW_NUMBER_COUNT}, {NULL, NULL, 0, 0}};

const pw_term_form pw_form_RETRIES = {.words = "retries reach",
                                      .usual = {{.count = 3}},
                                      .usual_count = 1,
                                      .noun = "typed.noun-retries",
                                      .numbers = numbers,
                                      .opposite = PW_TERM_RETRIES,
                                      .read = read_retries,
                                      .put = put_retries,
                                      .fact = retries_fact,
                                      .holds = retries_hold,
                                      .advise = advise_retries};
