/* What advice may say on which site: it never speaks of what the site does not have. And words for chosen cases. */
#include "load.h"
#include "told.h"

#include "vocabulary.h"

/* What a sentence of this order tells of a pump; in the arena of the kit. */
static const char *advice_of(kit *k, const pw_settings *settings, int32_t sentence, int32_t pump)
{
    pw_facts facts;
    pw_facts_init(&facts, &k->arena);
    pw_settings_advise(settings, &k->plant->facts, sentence, pump, 0, &facts);
    const char *words = told_lines(&k->arena, &facts);
    assert_non_null(words);
    return words;
}

/* Advice of the first sentence of the order that begins with these words. */
static const char *advice_on(kit *k, const char *begins)
{
    for (int32_t i = 0; i < pw_settings_count(k->plant->settings); i++) {
        pw_text words;
        pw_text_init(&words, &k->arena);
        pw_settings_put(k->plant->settings, i, &words);
        if (strncmp(words.data, begins, strlen(begins)) == 0) {
            return advice_of(k, k->plant->settings, i, 0);
        }
    }
    fail_msg("no sentence begins with %s", begins);
    return "";
}

/* Reads the site's order with one more sentence, which needs not be wise. */
static const pw_settings *with_sentence(kit *k, const char *sentence)
{
    const char *sentences[PW_MAX_SENTENCES], *pumps[PW_MAX_PUMPS];
    pw_settings *settings = NULL;
    const int32_t count = k->site->sentence_count;
    for (int32_t i = 0; i < count; i++) {
        sentences[i] = k->site->sentences[i];
    }
    sentences[count] = sentence;
    for (int32_t p = 0; p < k->site->pump_count; p++) {
        pumps[p] = k->site->pumps[p].name;
    }
    if (pw_settings_read(&k->arena, sentences, count + 1, k->plant->signals, k->plant->signal_count, pumps,
                         k->site->pump_count, "settings", &settings, NULL) != PW_OK) {
        fail_msg("not read: %s", sentence);
    }
    return settings;
}

/* Every lock out that this site could have, with and without "stopped" beside it, for every pump. */
static void never_speaks_of_what_is_not_there(void **state)
{
    (void)state;
    static const char *const forms[][2][2] = {
        [PW_SIGNAL_PRESSURE] = {{"pressure at ", " below 50 kPa"}, {"pressure at ", " above 900 kPa"}},
        [PW_SIGNAL_FLOW] = {{"no flow at ", ""}, {"flow at ", ""}},
        [PW_SIGNAL_LEVEL] = {{"level of ", " below 0.1 m"}, {"level of ", " above 3 m"}},
        [PW_SIGNAL_PROBE] = {{"probe ", " dry"}, {"probe ", " wet"}},
        [PW_SIGNAL_CONTACT] = {{"contact ", " open"}, {"contact ", " closed"}},
        [PW_SIGNAL_CURRENT] = {{"current of ", " below 0.5 A"}, {"current of ", " above 80 A"}},
        [PW_SIGNAL_WINDING] = {{"winding of ", " above 140 degC"}, {"winding of ", " above 141 degC"}},
        [PW_SIGNAL_SUPPLY] = {{"supply below 5 V", NULL}, {"supply above 600 V", NULL}},
        [PW_SIGNAL_PHASES] = {{"phase missing", NULL}, {"phases complete", NULL}},
    };
    static const char *const counted[] = {"starts reach 99 in 1 h", "running for 50 h", "running for 40 h in 90 h",
                                          "stopped for 99 h", "time between 01:00 and 02:00"};
    enum { COUNTED = sizeof counted / sizeof counted[0] };
    for (int32_t s = 0; vocabulary_sites[s] != NULL; s++) {
        kit k;
        golden_load(&k, vocabulary_sites[s]);
        golden_build(&k, vocabulary_sites[s]);
        const size_t mark = pw_arena_mark(&k.arena);
        for (int32_t i = 0; i < 4 * k.plant->signal_count + COUNTED; i++) {
            char sentence[512];
            const bool of_signal = i < 4 * k.plant->signal_count;
            const pw_signal *signal = &k.plant->signals[i / 4 < k.plant->signal_count ? i / 4 : 0];
            if (of_signal && signal->kind == PW_SIGNAL_PHASES && k.site->supply_phases != 3) {
                continue; /* the sentence itself speaks of them */
            }
            if (of_signal) {
                const char *const *form = forms[signal->kind][i % 2];
                const bool named = form[1] != NULL;
                snprintf(sentence, sizeof sentence, "lock out when %s%s%s%s", form[0], named ? signal->name : "",
                         named ? form[1] : "", i % 4 > 1 ? " and stopped" : "");
            } else {
                snprintf(sentence, sizeof sentence, "lock out when %s", counted[i - 4 * k.plant->signal_count]);
            }
            const pw_settings *settings = with_sentence(&k, sentence);
            for (int32_t pump = 0; pump < k.site->pump_count; pump++) {
                const char *said = advice_of(&k, settings, pw_settings_count(settings) - 1, pump);
                assert_non_null(strstr(said, "Check third: "));
                vocabulary_check(&k, vocabulary_sites[s], said);
            }
            pw_arena_back(&k.arena, mark);
        }
        kit_close(&k);
    }
}

static void words_for_chosen_cases(void **state)
{
    (void)state;
    static const struct {
        const char *site, *sentence, *says, *not ;
    } cases[] = {
        {"nursery", "lock out when starts", "first: check the precharge of the vessel, with the pump switched off",
         "tank"},
        {"nursery", "lock out when running", "first: look for an outlet left open, a leak, or a float valve",
         "first: see that"},
        {"irrigation", "lock out when starts", "first: watch the contact", "cut-in"},
        {"irrigation", "lock out when running for", "first: see what holds the contact", "cut-out"},
        {"irrigation", "lock out when running and pressure", "first: see that the contactor closes", "dip"},
        {"irrigation", "lock out when no flow", "first: see that water covers the strainer and nothing blocks it",
         "bore"},
        {"irrigation", "warn by relay lamp at the gate when stopped", "first: switch the pump off at its isolator",
         "phase"},
        {"house", "lock out when no flow", "the strainer is blocked or gas comes with the water", "float"},
        {"house", "lock out when no flow", "second: see that the contactor closes", "float"},
        {"tap-stand", "lock out when current above", "first: measure the voltage at the motor", "phase"},
        {"tap-stand", "lock out when current below", "third: measure the voltage at the motor", "shaft"},
        {"tap-stand", "lock out when supply", "panels", "generator"},
        {"tap-stand", "lock out when running",
         "first: see that the motor really turns and that water comes into the tank", "cut-out"},
        {"tap-stand", "warn by relay red flag when level", "first: look into the tank", "bore"},
        {"stock-water", "lock out when running and pressure", "walk the line to the tank", "outlet"},
        {"stock-water", "lock out when current above", "run capacitor", "phase"},
        {"stock-water", "lock out when pressure above", "first: see that every valve in the delivery line is open",
         "vessel"},
        {"transfer", "lock out when probe tower alarm", "first: see that the pump really went off", "float valve"},
        {"transfer", "warn by relay office when probe ground low", "second: see that its float valve opens", "outlet"},
        {"transfer", "warn by relay office when probe ground alarm", "first: see that its float valve shuts",
         "contactor"},
        {"transfer", "lock out when running for 5 h", "longer in all", "one go"},
        {"hill-tank", "lock out when running and pressure", "walk the line to the tank", "outlet"},
        {"flats", "warn by relay porter when pressure at intake", "first: read a gauge before the pump", "burst"},
        {"flats", "warn by relay porter when pressure at manifold", "second: walk the lines for a burst", "supplier"},
        {"flats", "lock out when pressure at manifold above", "third: check the precharge", "float"},
        {"flats", "lock out when phase missing", "first: measure all three phases", "capacitor"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        kit k;
        golden_load(&k, cases[i].site);
        golden_build(&k, cases[i].site);
        const char *said = advice_on(&k, cases[i].sentence);
        if (strstr(said, cases[i].says) == NULL || strstr(said, cases[i].not ) != NULL) {
            fail_msg("%s, %s: %s", cases[i].site, cases[i].sentence, said);
        }
        kit_close(&k);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(never_speaks_of_what_is_not_there),
        cmocka_unit_test(words_for_chosen_cases),
    };
    return cmocka_run_group_tests_name("golden: advice", tests, NULL, NULL);
}
