/* Every example of docs/door.md: each request is asked, and every member its answer shows must be in the real one. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/json.h"
#include "door/door.h"
#include "english.h"

enum { MEMORY = 256 * 1024 * 1024, MOST_TEXT = 1 << 20 };

static char *read_page(void)
{
    FILE *file = fopen(PW_SOURCE_DIR "/docs/door.md", "rb");
    assert_non_null(file);
    char *text = calloc(1, MOST_TEXT);
    size_t length = fread(text, 1, MOST_TEXT - 1, file);
    fclose(file);
    assert_true(length > 1000 && length < MOST_TEXT - 1);
    return text;
}

/* Body of the next fenced block from *at whose first line is ```json KIND; the kind is copied. NULL: no more. */
static char *next_block(const char **at, char *kind, size_t kind_size)
{
    const char *fence = strstr(*at, "```json ");
    if (!fence) {
        return NULL;
    }
    const char *name = fence + strlen("```json ");
    const char *line_end = strchr(name, '\n');
    assert_true((size_t)(line_end - name) < kind_size);
    memcpy(kind, name, line_end - name);
    kind[line_end - name] = 0;
    const char *end = strstr(line_end, "\n```");
    assert_non_null(end);
    char *body = calloc(1, end - line_end + 1);
    memcpy(body, line_end + 1, end - line_end);
    *at = end + 4;
    return body;
}

/* The request with the site in place of "SITE". */
static char *with_site(const char *request, const char *site)
{
    const char *mark = strstr(request, "\"SITE\"");
    char *out = calloc(1, strlen(request) + strlen(site) + 1);
    if (!mark) {
        return strcpy(out, request);
    }
    memcpy(out, request, mark - request);
    strcat(out, site);
    strcat(out, mark + strlen("\"SITE\""));
    return out;
}

/* Is everything that `shown` shows in `real`? Prints where not. Numbers to 12 digits. */
static bool holds(const pw_json *shown, const pw_json *real, const char *path)
{
    char inner[512];
    bool same = real && shown->kind == real->kind;
    if (same && shown->kind == PW_JSON_NUMBER) {
        same = fabs(shown->number - real->number) <= 1e-12 * fabs(shown->number);
    }
    if (same && shown->kind == PW_JSON_STRING) {
        same = strcmp(shown->string, real->string) == 0;
    }
    if (same && shown->kind == PW_JSON_BOOL) {
        same = shown->truth == real->truth;
    }
    if (!same) {
        print_error("%s: shown %s, really %s\n", path,
                    shown->string ? shown->string : english_fact(pw_fact_of(pw_json_kind_message(shown->kind))),
                    !real ? "absent"
                          : (real->string ? real->string : english_fact(pw_fact_of(pw_json_kind_message(real->kind)))));
        return false;
    }
    int32_t index = 0;
    for (const pw_json *member = shown->first; member; member = member->next) {
        bool list = shown->kind == PW_JSON_ARRAY;
        snprintf(inner, sizeof inner, "%s%s%s[%d]", path, list ? "" : ".", list ? "" : member->key, (int)index);
        same = holds(member, list ? pw_json_at(real, index) : pw_json_get(real, member->key), inner) && same;
        index++;
    }
    if (shown->kind == PW_JSON_ARRAY && shown->count == 0) {
        same = same && real->count == 0; /* an empty list means an empty list */
    }
    return same;
}

static bool example_holds(void *memory, const char *request, const char *answer)
{
    pw_arena arena;
    pw_arena_init(&arena, memory, MEMORY);
    size_t length = 0;
    const char *got = pw_door(&arena, request, strlen(request), NULL, &length);
    assert_non_null(got);
    assert_int_equal(strlen(got), length);
    const pw_json *real = NULL, *shown = NULL;
    assert_int_equal(pw_json_read(&arena, got, length, &real, NULL), PW_OK);
    assert_int_equal(pw_json_read(&arena, answer, strlen(answer), &shown, NULL), PW_OK);
    bool same = holds(shown, real, "");
    if (!same) {
        print_error("the request was: %.300s\nthe answer began: %.600s\n", request, got);
    }
    return same;
}

static void every_example_of_the_page_is_true(void **state)
{
    (void)state;
    char *page = read_page(), *site = NULL, *request = NULL;
    void *memory = malloc(MEMORY);
    assert_non_null(memory);
    char kind[32];
    int asked = 0, wrong = 0;
    const char *at = page;
    for (char *body = next_block(&at, kind, sizeof kind); body; body = next_block(&at, kind, sizeof kind)) {
        if (strcmp(kind, "site") == 0) {
            assert_null(site);
            site = body;
        } else if (strcmp(kind, "request") == 0) {
            assert_null(request); /* each request has an answer */
            assert_non_null(site);
            request = with_site(body, site);
            free(body);
        } else {
            assert_string_equal(kind, "answer");
            assert_non_null(request);
            wrong += example_holds(memory, request, body) ? 0 : 1;
            asked++;
            free(request);
            free(body);
            request = NULL;
        }
    }
    assert_null(request);
    assert_int_equal(wrong, 0);
    assert_true(asked >= 15);
    free(site);
    free(memory);
    free(page);
}

/* Each request and each key of "about" stands on the page. */
static void the_page_names_every_request_and_key(void **state)
{
    (void)state;
    char *page = read_page();
    void *memory = malloc(MEMORY);
    pw_arena arena;
    pw_arena_init(&arena, memory, MEMORY);
    size_t length;
    const char *got = pw_door(&arena, "{\"do\":\"about\"}", 14, NULL, &length);
    const pw_json *about;
    assert_int_equal(pw_json_read(&arena, got, length, &about, NULL), PW_OK);
    const pw_json *requests = pw_json_get(about, "requests");
    assert_true(requests->count >= 11);
    for (const pw_json *r = requests->first; r; r = r->next) {
        char want[128];
        snprintf(want, sizeof want, "{\"do\": \"%s\"", pw_json_get(r, "do")->string);
        assert_non_null(strstr(page, want));
        for (const pw_json *key = pw_json_get(r, "keys")->first; key; key = key->next) {
            snprintf(want, sizeof want, "`%s`", pw_json_get(key, "key")->string);
            assert_non_null(strstr(page, want));
        }
    }
    free(memory);
    free(page);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_example_of_the_page_is_true),
        cmocka_unit_test(the_page_names_every_request_and_key),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
