/* A sheet edited in its text: only the value moves. Every way to write a value is tried, and the edited text is read
 * again and must say what was asked for. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "adapt/sheet_edit.h"

static void edits_to(const char *name, const char *text, const char *path, const char *words, const char *expected)
{
    pw_sheet sheet;
    static pw_problems problems;
    memset(&problems, 0, sizeof problems);
    assert_int_equal(pw_sheet_take(text, strlen(text), name, &sheet, &problems), PW_SHEET_READ);
    pw_sheet_edit edit = {path, words, false};
    char *out = pw_sheet_edited(&sheet, &edit, 1);
    assert_non_null(out);
    assert_int_equal(edit.done, strcmp(text, expected) != 0);
    assert_string_equal(out, expected);
    free(out);
    pw_sheet_free(&sheet);
}

static void a_value_gives_way(void **state)
{
    (void)state;
    edits_to("s.yaml", "a:\n  b: 230 kPa   # why\nc: 1\n", "a.b", "183 kPa", "a:\n  b: 183 kPa   # why\nc: 1\n");
    edits_to("s.yaml", "v: [{n: x, p: 2 m}, {n: y, p: 3 m}] # é\n", "v[1].p", "4 m",
             "v: [{n: x, p: 2 m}, {n: y, p: 4 m}] # é\n");
    edits_to("s.yaml", "é: 'x' # ü\nq: \"230 kPa\"\n", "q", "1 kPa", "é: 'x' # ü\nq: \"1 kPa\"\n");
    edits_to("s.yaml", "\xef\xbb\xbfq: 5 m\n", "q", "6 m", "\xef\xbb\xbfq: 6 m\n");
    edits_to("s.yaml", "l:\n  - 3\n  - 4 # b\n", "l[1]", "5", "l:\n  - 3\n  - 5 # b\n");
    edits_to("s.json", "{\"a\": {\"b\": \"2 m\", \"c\": 3}}", "a.b", "4 m", "{\"a\": {\"b\": \"4 m\", \"c\": 3}}");
    edits_to("s.json", "{\"a\": {\"c\": 3}}", "a.c", "4", "{\"a\": {\"c\": \"4\"}}");
}

static void a_key_that_is_not_there_is_added(void **state)
{
    (void)state;
    edits_to("s.yaml", "l:\n  - n: x # first\n    m: 1\n", "l[0].k", "2", "l:\n  - k: 2\n    n: x # first\n    m: 1\n");
    edits_to("s.yaml", "l: [{n: x}]\n", "l[0].k", "2", "l: [{k: 2, n: x}]\n");
    edits_to("s.json", "{\"a\": {\"c\": 3}}", "a.k", "2", "{\"a\": {\"k\": \"2\", \"c\": 3}}");
}

static void what_has_no_place_is_left_alone(void **state)
{
    (void)state;
    edits_to("s.yaml", "l: [{n: x}]\n", "l[1].k", "2", "l: [{n: x}]\n");
    edits_to("s.yaml", "l: [{n: x}]\n", "m.k", "2", "l: [{n: x}]\n");
    edits_to("s.yaml", "l: [{n: x}]\n", "l[0]", "2", "l: [{n: x}]\n");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_value_gives_way),
        cmocka_unit_test(a_key_that_is_not_there_is_added),
        cmocka_unit_test(what_has_no_place_is_left_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
