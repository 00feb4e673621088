/* Facts into words: places, choices, plurals, lists, capitals, the decimal comma; what is not known shows. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "say/catalogue.h"

static uint8_t block[1 << 20];
static pw_arena arena;
static pw_units units;

static const char *said(pw_language language, pw_fact fact)
{
    const pw_voice voice = {language, &units};
    return pw_say_words(&arena, &voice, &fact);
}

static const char *filled(pw_language language, const char *words, pw_fact fact)
{
    const pw_voice voice = {language, &units};
    pw_text text;
    pw_text_init(&text, &arena);
    say_template_put(&text, &voice, &fact, words);
    return text.data;
}

static int begin(void **state)
{
    (void)state;
    pw_arena_init(&arena, block, sizeof block);
    units = pw_units_metric();
    return 0;
}

static void values_are_said_in_both_languages(void **state)
{
    (void)state;
    static const char en[] = "{0} {0:thing|things} of {1}{2? at {^2}, in all|}.";
    static const char de[] = "{0} {0:Ding|Dinge} mit {1}{2? bei {^2}, insgesamt|}.";
    const pw_fact fact = pw_fact_of("", pw_count(1), pw_quantity(PW_DIM_FLOW, 1.5e-3 / 60.0), pw_named("ärger"));
    assert_string_equal(filled(PW_ENGLISH, en, fact), "1 thing of 1.5 L/min at Ärger, in all.");
    assert_string_equal(filled(PW_GERMAN, de, fact), "1 Ding mit 1,5 L/min bei Ärger, insgesamt.");
    const pw_fact many = pw_fact_of("", pw_count(2), pw_quantity(PW_DIM_TIME, 5400.0), pw_named(""));
    assert_string_equal(filled(PW_ENGLISH, en, many), "2 things of 1 h 30 min.");
    assert_string_equal(filled(PW_GERMAN, de, many), "2 Dinge mit 1 h 30 min.");
}

static void lists_are_joined(void **state)
{
    (void)state;
    pw_facts list;
    pw_facts_init(&list, &arena);
    for (int32_t i = 0; i < 3; i++) {
        pw_tell(&list, "base.value", pw_weekday(i));
    }
    assert_string_equal(said(PW_ENGLISH, pw_fact_of("base.value", pw_list(&list, PW_JOIN_AND))),
                        "Monday, Tuesday and Wednesday");
    assert_string_equal(said(PW_GERMAN, pw_fact_of("base.value", pw_list(&list, PW_JOIN_OR))),
                        "Montag, Dienstag oder Mittwoch");
    assert_string_equal(said(PW_GERMAN, pw_fact_of("base.value", pw_list(&list, PW_JOIN_SPACE))),
                        "Montag Dienstag Mittwoch");
    assert_string_equal(said(PW_GERMAN, pw_fact_of("base.value", pw_clock(23400))), "06:30");
    assert_string_equal(said(PW_GERMAN, pw_fact_of("base.value", pw_number(12.345, 3))), "12,3");
    assert_string_equal(said(PW_GERMAN, pw_fact_of("base.value", pw_exactly(PW_DIM_PRESSURE, 250500.0))), "250,5 kPa");
    assert_string_equal(said(PW_GERMAN, pw_fact_of("base.value", pw_quantity(PW_DIM_TIME, 1.0 / 0.0))), "unbekannt");
}

static void what_is_missing_shows(void **state)
{
    (void)state;
    assert_string_equal(said(PW_ENGLISH, pw_fact_of("base.not-there")), "[base.not-there]");
    assert_string_equal(said(PW_ENGLISH, pw_no_fact()), "");
    assert_null(
        said(PW_ENGLISH, pw_fact_of("base.value", pw_nested(NULL)))); /* memory ran out while facts were found */
    pw_language language = PW_GERMAN;
    assert_false(pw_language_read("fr", &language));
    assert_int_equal(language, PW_GERMAN);
    assert_true(pw_language_read("en", &language));
    assert_int_equal(language, PW_ENGLISH);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test_setup(values_are_said_in_both_languages, begin),
                                       cmocka_unit_test_setup(lists_are_joined, begin),
                                       cmocka_unit_test_setup(what_is_missing_shows, begin)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
