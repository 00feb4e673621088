/* Property: whatever sentence is read, its canonical words read again as the very same sentence, and print the same
 * words. 20,000 random sentences, fixed seed, any case and spacing, all units. Then 200,000 damaged ones: refused or
 * read, never worse.
 */
#include "control/action.h"
#include "kit.h"

#include "kit_random.h"
#include "english.h"

enum { SENTENCES = 20000, DAMAGED = 200000 };

static char text[4096];

static pw_status read_one(pw_arena *arena, const char *sentence, bool plain, pw_settings **settings)
{
    const char *const sentences[] = {sentence, "start when level below -400 m", "stop when level above 400 m"};
    return pw_settings_read(arena, sentences, 3, plain ? plain_signals : bench_signals,
                            plain ? PLAIN_SIGNALS : BENCH_SIGNALS, plain ? plain_pumps : bench_pumps, plain ? 1 : 2,
                            "settings", settings, &kit_problems);
}

static void make(maker *m, int32_t i)
{
    m->at = text;
    m->end = text + 900;
    const pw_sentence_kind kind = (pw_sentence_kind)pick(m, PW_SENTENCE_COUNT);
    m->plain = i % 2 == 1 && kind != PW_SENTENCE_SHARE; /* where there is one pump */
    if (!m->plain && !pw_action_of((uint8_t)kind)->sets_whole && pick(m, 3) == 0) {
        say(m, pick(m, 2) ? "bore pump: " : "feed pump : ");
    }
    say_sentence(m, kind);
    say(m, pick(m, 10) == 0 ? "." : pick(m, 10) == 0 ? " " : "");
}

static void words_read_back_the_same(void **state)
{
    (void)state;
    maker m = {.odd_spacing = true};
    int32_t good = 0;
    int32_t kinds[PW_SENTENCE_COUNT] = {0};
    pw_random_seed(&m.random, 20240131, 1);
    for (int32_t i = 0; good < SENTENCES; i++) {
        assert_true(i < 2 * SENTENCES);
        make(&m, i);
        pw_arena arena = kit_arena();
        pw_settings *first = NULL;
        pw_settings *second = NULL;
        pw_status status = read_one(&arena, text, m.plain, &first);
        if (status == PW_RANGE || status == PW_REFERENCE || status == PW_LIMIT) {
            continue; /* a zero pressure differential, feed pump's winding, too long: rightly refused */
        }
        if (status != PW_OK) {
            printf("%s\n", text);
            kit_show_problems();
        }
        assert_int_equal(status, PW_OK);
        char words[4096];
        strcpy(words, kit_words(first, 0));
        assert_int_equal(read_one(&arena, words, m.plain, &second), PW_OK);
        assert_memory_equal(&first->sentences[0], &second->sentences[0], sizeof(pw_sentence));
        assert_string_equal(words, kit_words(second, 0));
        kinds[first->sentences[0].kind]++;
        good++;
    }
    for (int32_t k = 0; k < PW_SENTENCE_COUNT; k++) {
        assert_true(kinds[k] > SENTENCES / 20);
    }
}

/* Cut, doubled, swapped and strange bytes. Every refusal says where and what. */
static void damaged_sentences_do_no_harm(void **state)
{
    (void)state;
    maker m = {.odd_spacing = true};
    int32_t refused = 0;
    pw_random_seed(&m.random, 77, 2);
    for (int32_t i = 0; i < DAMAGED; i++) {
        make(&m, i);
        size_t length = strlen(text);
        for (uint32_t k = 0; k <= pick(&m, 3) && length > 2; k++) {
            size_t at = pick(&m, (uint32_t)length - 1);
            switch (pick(&m, 4)) {
            case 0: text[at] = (char)(1 + pick(&m, 255)); break;
            case 1: text[at] = 0; break;
            case 2: memmove(text + at, text + at + 1, strlen(text + at)); break;
            default: text[at] = " .,:0-eE"[pick(&m, 8)]; break;
            }
            length = strlen(text);
        }
        pw_arena arena = kit_arena();
        pw_settings *settings = NULL;
        pw_status status = read_one(&arena, text, m.plain, &settings);
        assert_int_equal(status == PW_OK, settings != NULL);
        assert_int_equal(status == PW_OK, kit_problems.errors == 0);
        if (status == PW_OK) {
            char words[4096];
            pw_settings *second = NULL;
            strcpy(words, kit_words(settings, 0));
            assert_int_equal(read_one(&arena, words, m.plain, &second), PW_OK);
            assert_memory_equal(&settings->sentences[0], &second->sentences[0], sizeof(pw_sentence));
        } else {
            refused++;
            assert_true(english(&kit_problems.items[0].found)[0] != 0);
            assert_true(english(&kit_problems.items[0].expected)[0] != 0);
            assert_true(kit_problems.items[0].column <= (int32_t)strlen(text) + 1);
        }
    }
    assert_true(refused > DAMAGED / 4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(words_read_back_the_same),
        cmocka_unit_test(damaged_sentences_do_no_harm),
    };
    return cmocka_run_group_tests_name("settings: words print back", tests, NULL, NULL);
}
