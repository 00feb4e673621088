/* Sentences in words: the English of say is the sheet's own language, for 5,000 random sentences of every form; German
 * has every form as well, and no English in it.
 */
#include "unit/control/kit.h"

#include "unit/control/kit_random.h"

#include "say/say.h"

enum { SENTENCES = 5000 };

static char text[4096];

static const char *told(pw_arena *arena, pw_language language, const pw_settings *settings)
{
    static const pw_units units = {PW_SHOW_KPA, PW_SHOW_LPM, false};
    const pw_voice voice = {language, &units};
    const pw_fact fact = pw_settings_fact(arena, settings, 0);
    return pw_say_words(arena, &voice, &fact);
}

static void english_is_the_language_of_the_sheet(void **state)
{
    (void)state;
    maker m = {.odd_spacing = true};
    int32_t good = 0;
    pw_random_seed(&m.random, 20250607, 1);
    for (int32_t i = 0; good < SENTENCES; i++) {
        assert_true(i < 2 * SENTENCES);
        m.at = text;
        m.end = text + 900;
        m.plain = i % 2 == 1;
        if (!m.plain && pick(&m, 3) == 0) {
            say(&m, "bore pump: ");
        }
        say_sentence(&m, (pw_sentence_kind)pick(&m, PW_SENTENCE_COUNT));
        say(&m, "");
        pw_arena arena = kit_arena();
        pw_settings *settings = NULL;
        const char *const sentences[] = {text, "start when level below -400 m", "stop when level above 400 m"};
        if (pw_settings_read(&arena, sentences, 3, m.plain ? plain_signals : bench_signals,
                             m.plain ? PLAIN_SIGNALS : BENCH_SIGNALS, m.plain ? plain_pumps : bench_pumps,
                             m.plain ? 1 : 2, "settings", &settings, &kit_problems) != PW_OK) {
            continue;
        }
        char words[4096];
        strcpy(words, kit_words(settings, 0));
        assert_string_equal(told(&arena, PW_ENGLISH, settings), words);
        const char *german = told(&arena, PW_GERMAN, settings);
        assert_non_null(german);
        static const char *const english[] = {" when ", " below ", " above ", " after ", "pressure", " for ", "[", "{"};
        for (size_t k = 0; k < sizeof english / sizeof english[0]; k++) {
            if (strstr(german, english[k]) != NULL) {
                fail_msg("%s: %s", words, german);
            }
        }
        good++;
    }
}

static void a_sentence_in_german(void **state)
{
    (void)state;
    static const struct {
        const char *sheet, *german;
    } cases[] = {
        {"start when pressure below 250 kPa for 1 s", "Einschalten, wenn Druck unter 250 kPa für 1 s"},
        {"lock out when starts reach 15 in 1 h", "Sperren, wenn 15 Starts in 1 h erreicht"},
        {"lock out when level below 2.5 m and running for 2 h",
         "Sperren, wenn Füllstand unter 2,5 m und Pumpe läuft seit 2 h"},
        {"run only while time between 06:00 and 20:00 on Monday to Friday",
         "Nur laufen, solange Uhrzeit zwischen 06:00 und 20:00 am Montag bis Freitag"},
        {"retry after 1 min, then 1 h up to 2 times", "Neuer Versuch nach 1 min, dann 1 h, höchstens 2-mal"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        pw_arena arena = kit_arena();
        pw_settings *settings = NULL;
        const char *const sentences[] = {cases[i].sheet, "start when level below -400 m",
                                         "stop when level above 400 m"};
        if (pw_settings_read(&arena, sentences, 3, plain_signals, PLAIN_SIGNALS, plain_pumps, 1, "settings", &settings,
                             &kit_problems) != PW_OK) {
            kit_show_problems();
        }
        assert_string_equal(told(&arena, PW_GERMAN, settings), cases[i].german);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(english_is_the_language_of_the_sheet),
                                       cmocka_unit_test(a_sentence_in_german)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
