/* Text under construction: growth, numbers, escapes, running out of memory. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"

static uint8_t block[1 << 20];

static void pieces_add_up(void **state)
{
    (void)state;
    pw_arena arena;
    pw_arena_init(&arena, block, sizeof block);
    pw_text text;
    pw_text_init(&text, &arena);
    assert_string_equal(text.data, "");
    pw_text_put(&text, "a");
    pw_text_put(&text, NULL);
    pw_text_put(&text, "");
    pw_text_put_n(&text, "bcd", 2);
    pw_text_puts(&text, " ", "x", "yz", NULL);
    pw_text_int(&text, INT64_MIN);
    pw_text_put(&text, " ");
    pw_text_int(&text, 0);
    pw_text_put(&text, " ");
    pw_text_number(&text, 0.1);
    pw_text_put(&text, " ");
    pw_text_fixed(&text, 12.5, 2);
    pw_text_put(&text, " ");
    pw_text_digits(&text, 0.0031999, 3);
    pw_text_put(&text, " ");
    pw_text_number(&text, NAN);
    assert_string_equal(text.data, "abc xyz-9223372036854775808 0 0.1 12.50 0.0032 null");
    assert_int_equal(text.length, strlen(text.data));
    assert_false(text.failed);
}

static void html_is_escaped(void **state)
{
    (void)state;
    pw_arena arena;
    pw_arena_init(&arena, block, sizeof block);
    pw_text text;
    pw_text_init(&text, &arena);
    pw_text_html(&text, "<a href=\"x\">Tom & 'Ann'</a>\xc3\xa9");
    pw_text_html(&text, NULL);
    assert_string_equal(text.data, "&lt;a href=&quot;x&quot;&gt;Tom &amp; &#39;Ann&#39;&lt;/a&gt;\xc3\xa9");
}

static void two_texts_can_grow_in_turn(void **state)
{
    (void)state;
    pw_arena arena;
    pw_arena_init(&arena, block, sizeof block);
    pw_text a, b;
    pw_text_init(&a, &arena);
    pw_text_init(&b, &arena);
    for (int i = 0; i < 2000; i++) {
        pw_text_put(&a, "ab");
        pw_text_put(&b, "xyz");
    }
    assert_int_equal(a.length, 4000);
    assert_int_equal(b.length, 6000);
    for (int i = 0; i < 4000; i++) {
        assert_int_equal(a.data[i], "ab"[i % 2]);
    }
    for (int i = 0; i < 6000; i++) {
        assert_int_equal(b.data[i], "xyz"[i % 3]);
    }
}

static void full_memory_stays_failed(void **state)
{
    (void)state;
    for (size_t size = 0; size < 400; size += 7) {
        pw_arena arena;
        pw_arena_init(&arena, block, size);
        pw_text text;
        pw_text_init(&text, &arena);
        size_t wanted = 0;
        for (int i = 0; i < 100; i++) {
            pw_text_put(&text, "12345");
            wanted += 5;
        }
        assert_true(text.failed);
        assert_int_equal(text.length, strlen(text.data));
        assert_true(text.length < wanted && text.length <= size);
        size_t before = text.length;
        pw_text_put(&text, "x");
        assert_int_equal(text.length, before);
    }
}

static void the_last_block_grows_in_place(void **state)
{
    (void)state;
    pw_arena arena;
    pw_arena_init(&arena, block, 100000);
    pw_text text;
    pw_text_init(&text, &arena);
    for (int i = 0; i < 9000; i++) {
        pw_text_put(&text, "0123456789");
    }
    assert_false(text.failed); /* 90,000 bytes in a block of 100,000: doubling by moving could not */
    assert_int_equal(text.length, 90000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pieces_add_up),
        cmocka_unit_test(html_is_escaped),
        cmocka_unit_test(two_texts_can_grow_in_turn),
        cmocka_unit_test(full_memory_stays_failed),
        cmocka_unit_test(the_last_block_grows_in_place),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
