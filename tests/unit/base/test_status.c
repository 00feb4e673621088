/* Statuses, problems, copying of text, near matches, and the arena. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/status.h"
#include "english.h"

static void every_status_has_words(void **state)
{
    (void)state;
    for (int i = 0; i < PW_STATUS_COUNT; i++) {
        assert_true(strlen(pw_status_id((pw_status)i)) > 1);
        assert_true(strlen(english_fact(pw_fact_of(pw_status_message((pw_status)i)))) > 5);
        for (int j = 0; j < i; j++) {
            assert_string_not_equal(pw_status_id((pw_status)i), pw_status_id((pw_status)j));
        }
    }
    assert_string_equal(pw_status_id(PW_RANGE), "range");
    assert_string_equal(pw_status_id((pw_status)-1), "unknown");
    assert_string_equal(pw_status_id(PW_STATUS_COUNT), "unknown");
    assert_non_null(english_fact(pw_fact_of(pw_status_message((pw_status)1000))));
}

static void problems_are_kept_then_counted(void **state)
{
    (void)state;
    static pw_problems problems;
    memset(&problems, 0, sizeof problems);
    assert_int_equal(pw_problem_add(&problems, PW_RANGE, "pump.head", "-3 m", "0 m to 500 m", NULL), PW_RANGE);
    assert_int_equal(pw_warning_add(&problems, PW_UNIT, NULL, "3", "3 m", "give a unit"), PW_UNIT);
    assert_int_equal(problems.count, 2);
    assert_int_equal(problems.errors, 1);
    assert_false(problems.items[0].warning);
    assert_true(problems.items[1].warning);
    assert_string_equal(problems.items[0].path, "pump.head");
    assert_string_equal(english(&problems.items[0].hint), "");
    assert_string_equal(problems.items[1].path, "");
    for (int i = 0; i < PW_MAX_PROBLEMS; i++) {
        pw_problem_add(&problems, PW_MISSING, "x", "", "", "");
    }
    assert_int_equal(problems.count, PW_MAX_PROBLEMS);
    assert_int_equal(problems.lost, 2);
    assert_int_equal(problems.errors, 1 + PW_MAX_PROBLEMS);
    assert_int_equal(pw_problem_add(NULL, PW_MEMORY, NULL, NULL, NULL, NULL), PW_MEMORY);
}

static void copies_are_cut_between_characters(void **state)
{
    (void)state;
    char small[6];
    assert_string_equal(pw_copy(small, 6, "abcdefgh"), "abcde");
    assert_string_equal(pw_copy(small, 6, "abc"), "abc");
    assert_string_equal(pw_copy(small, 6, NULL), "");
    assert_string_equal(pw_copy(small, 6, "abcd\xc3\xa9"), "abcd"); /* e acute, two bytes, does not fit */
    assert_string_equal(pw_copy(small, 6, "abc\xc3\xa9"), "abc\xc3\xa9");
    assert_string_equal(pw_copy(small, 6, "ab\xf0\x9f\x98\x80"), "ab");
    assert_string_equal(pw_copy(small, 1, "ab"), "");
    small[0] = 'x';
    pw_copy(small, 0, "ab");
    assert_int_equal(small[0], 'x');
}

static void near_matches(void **state)
{
    (void)state;
    static const char *const words[] = {"pressure", "precharge", "volume", "cut-in", "a"};
    assert_int_equal(pw_near_match("presure", words, 5), 0);
    assert_int_equal(pw_near_match("PRESSURE", words, 5), 0);
    assert_int_equal(pw_near_match("prehcarge", words, 5), 1); /* a swap counts one */
    assert_int_equal(pw_near_match("volum", words, 5), 2);
    assert_int_equal(pw_near_match("cutin", words, 5), 3);
    assert_int_equal(pw_near_match("temperature", words, 5), -1);
    assert_int_equal(pw_near_match("", words, 5), -1);
    assert_int_equal(pw_near_match(NULL, words, 5), -1);
    char longest[200];
    memset(longest, 'a', sizeof longest);
    longest[199] = '\0';
    assert_int_equal(pw_near_match(longest, words, 5), -1);
    /* distance over 1 + length/3 is not near: 8 letters allow 3 */
    assert_int_equal(pw_near_match("pxexxure", words, 1), 0);
    assert_int_equal(pw_near_match("pxexxurx", words, 1), -1);
}

static void arena_gives_out_from_the_front(void **state)
{
    (void)state;
    static uint8_t block[1024 + 3];
    memset(block, 0xAA, sizeof block);
    pw_arena arena;
    pw_arena_init(&arena, block + 3, 1024);
    size_t mark = pw_arena_mark(&arena);
    double *numbers = PW_NEW(&arena, 10, double);
    assert_non_null(numbers);
    assert_int_equal((uintptr_t)numbers % 16, 0);
    for (int i = 0; i < 10; i++) {
        assert_true(numbers[i] == 0.0);
        numbers[i] = 1.0;
    }
    char *text = pw_strdup(&arena, "hello", 4);
    assert_string_equal(text, "hell");
    assert_null(pw_alloc(&arena, SIZE_MAX / 2, 4)); /* the product overflows */
    assert_null(pw_alloc(&arena, 2000, 1));
    assert_null(pw_strdup(&arena, "x", SIZE_MAX));
    size_t peak = arena.peak;
    pw_arena_back(&arena, mark);
    assert_true(arena.peak == peak && peak > 0);
    assert_ptr_equal(PW_NEW(&arena, 10, double), numbers);
    assert_true(numbers[0] == 0.0); /* zeroed again */
    int given = 0;
    while (pw_alloc(&arena, 1, 16)) {
        given++;
    }
    assert_true(given > 50 && given <= 64);
    assert_true(arena.used <= arena.size);
    pw_arena_init(&arena, block + 1, 2); /* too small to align */
    assert_null(pw_alloc(&arena, 1, 1));
    pw_arena_init(&arena, NULL, 0);
    assert_null(pw_alloc(&arena, 1, 1));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_status_has_words),
        cmocka_unit_test(problems_are_kept_then_counted),
        cmocka_unit_test(copies_are_cut_between_characters),
        cmocka_unit_test(near_matches),
        cmocka_unit_test(arena_gives_out_from_the_front),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
