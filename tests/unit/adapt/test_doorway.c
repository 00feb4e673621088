/* The door with memory: a request that needs more than was lent first is asked again, and nothing breaks at any size.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "adapt/doorway.h"

/* A corpus file is a request that is known to be answered well. */
static char *request_of(const char *name, size_t *length)
{
    char path[256];
    snprintf(path, sizeof path, "%s/tests/fuzz/corpus/door/%s", PW_SOURCE_DIR, name);
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    char *text = malloc(1 << 16);
    *length = fread(text, 1, 1 << 16, file);
    fclose(file);
    return text;
}

static const char *const names[] = {
    "check_everything", "duty_everything", "run_everything", "prove", "reckon", "schema", "what"};
enum { NAMES = sizeof names / sizeof names[0] };

static void little_memory_is_enough_in_the_end(void **state)
{
    (void)state;
    for (size_t i = 0; i < NAMES; i++) {
        size_t length;
        char *request = request_of(names[i], &length);
        char *plain = pw_doorway(request, length, NULL);
        char *grown = pw_doorway_within(request, length, NULL, 100, PW_DOORWAY_MOST);
        assert_non_null(plain);
        assert_non_null(grown);
        assert_string_equal(plain, grown);
        assert_int_equal(strncmp(plain, "{\"ok\":true", 10) == 0, strcmp(names[i], "what") != 0);
        free(plain);
        free(grown);
        free(request);
    }
}

/* Sizes from nothing to plenty: the whole answer, or the one problem, or no answer at all. */
static void every_size_is_told(void **state)
{
    (void)state;
    for (size_t i = 0; i < NAMES; i++) {
        size_t length;
        char *request = request_of(names[i], &length);
        char *plain = pw_doorway(request, length, NULL);
        int refused = 0, whole = 0;
        for (size_t size = 64; size < PW_DOORWAY_FIRST; size += size / 5) {
            char *answer = pw_doorway_within(request, length, NULL, size, size);
            if (answer && strcmp(answer, plain) == 0) {
                whole++;
            } else {
                assert_true(!answer || strstr(answer, "memory") != NULL);
                assert_true(!answer || strncmp(answer, "{\"ok\":false", 11) == 0);
                assert_int_equal(whole, 0); /* more memory never spoils an answer */
                refused++;
            }
            free(answer);
        }
        assert_true(refused > 0 && whole > 0);
        free(plain);
        free(request);
    }
}

static int asked;

static bool count_and_stop(void *user)
{
    (void)user;
    asked++;
    return true;
}

/* A stop is a stop: it is not taken for a lack of memory and asked again. */
static void a_stop_is_not_tried_again(void **state)
{
    (void)state;
    size_t length;
    char *request = request_of("prove", &length);
    pw_door_host host = {NULL, NULL, count_and_stop};
    char *answer = pw_doorway(request, length, &host);
    assert_non_null(answer);
    assert_non_null(strstr(answer, "cancelled"));
    assert_true(asked >= 1 && asked < 10);
    free(answer);
    free(request);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(little_memory_is_enough_in_the_end),
        cmocka_unit_test(every_size_is_told),
        cmocka_unit_test(a_stop_is_not_tried_again),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
