/* JSON in and out. Rules: RFC 8259 (from memory), RFC 3629 for UTF-8 (from memory). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/json.h"
#include "base/random.h"
#include "english.h"

static uint8_t block[4 << 20];
static pw_problems problems;

static const pw_json *read_n(pw_arena *arena, const char *text, size_t length, pw_status expected)
{
    const pw_json *value = (const pw_json *)block;
    memset(&problems, 0, sizeof problems);
    pw_arena_init(arena, block, sizeof block);
    /* an exact copy on the heap, so that a sanitizer sees one byte too many */
    char *copy = malloc(length + 1);
    char *exact = malloc(length ? length : 1);
    memcpy(copy, text, length);
    memcpy(exact, text, length);
    pw_status status = pw_json_read(arena, exact, length, &value, &problems);
    copy[length] = '\0';
    if (status != expected) {
        fail_msg("<%s>: %s, not %s (%s)", copy, pw_status_id(status), pw_status_id(expected),
                 english(&problems.items[0].found));
    }
    assert_int_equal(problems.count, status == PW_OK ? 0 : 1);
    assert_int_equal(value == NULL, status != PW_OK);
    free(copy);
    free(exact);
    return value;
}

static const pw_json *read_ok(pw_arena *arena, const char *text)
{
    return read_n(arena, text, strlen(text), PW_OK);
}

static const char *written(pw_arena *arena, const pw_json *value, int32_t indent)
{
    pw_text text;
    pw_json_writer writer;
    pw_text_init(&text, arena);
    pw_json_writer_init(&writer, &text, indent);
    pw_json_value(&writer, NULL, value);
    assert_false(text.failed);
    return text.data;
}

static void values(void **state)
{
    (void)state;
    pw_arena arena;
    assert_int_equal(read_ok(&arena, "null")->kind, PW_JSON_NULL);
    assert_true(read_ok(&arena, " true ")->truth);
    assert_false(read_ok(&arena, "\t\r\nfalse")->truth);
    const pw_json *number = read_ok(&arena, "-12.5e-3");
    assert_int_equal(number->kind, PW_JSON_NUMBER);
    assert_true(number->number == -0.0125);
    assert_string_equal(number->string, "-12.5e-3");
    assert_true(read_ok(&arena, "0")->number == 0);
    assert_true(read_ok(&arena, "1e-999")->number == 0);
    const pw_json *text = read_ok(&arena, "\"a\\\"\\\\\\/\\b\\f\\n\\r\\t\\u00e9\\ud83d\\ude00\\u20ACz\"");
    assert_string_equal(text->string, "a\"\\/\b\f\n\r\t\xC3\xA9\xF0\x9F\x98\x80\xE2\x82\xACz");
    assert_int_equal(text->length, strlen(text->string));
    assert_int_equal(read_ok(&arena, "\"\"")->length, 0);
    assert_int_equal(read_ok(&arena, "[]")->count, 0);
    assert_int_equal(read_ok(&arena, "{}")->count, 0);
}

static void trees(void **state)
{
    (void)state;
    pw_arena arena;
    const pw_json *root = read_ok(&arena, "{\"a\": [1, {\"b\": \"x\"}, []],\n  \"\\u0063\": {\"d\": null},\n\"\": 3}");
    assert_int_equal(root->count, 3);
    const pw_json *list = pw_json_get(root, "a");
    assert_int_equal(list->kind, PW_JSON_ARRAY);
    assert_int_equal(list->count, 3);
    assert_true(pw_json_at(list, 0)->number == 1);
    assert_string_equal(pw_json_get(pw_json_at(list, 1), "b")->string, "x");
    assert_int_equal(pw_json_at(list, 2)->count, 0);
    assert_null(pw_json_at(list, 3));
    assert_null(pw_json_at(list, -1));
    assert_null(pw_json_at(root, 0));
    assert_null(pw_json_at(NULL, 0));
    const pw_json *inner = pw_json_get(root, "c");
    assert_int_equal(inner->line, 2);
    assert_int_equal(inner->column, 13);
    assert_int_equal(pw_json_get(inner, "d")->kind, PW_JSON_NULL);
    assert_null(pw_json_get(root, "nope"));
    assert_null(pw_json_get(NULL, "a"));
    assert_null(pw_json_get(list, "a"));
    assert_true(pw_json_get(root, "")->number == 3);
    assert_int_equal(pw_json_get(root, "")->line, 3);
    for (int kind = PW_JSON_NULL; kind <= PW_JSON_OBJECT; kind++) {
        assert_true(strlen(english_fact(pw_fact_of(pw_json_kind_message((pw_json_kind)kind)))) > 3);
    }
}

/* Everything that must be refused, with its place. What jsmn by itself lets pass is marked. */
static const struct {
    const char *text;
    pw_status status;
    int32_t line, column;
    const char *found;
} refusals[] = {
    {"", PW_SYNTAX, 1, 1, "the end of the text"},
    {"  \n ", PW_SYNTAX, 2, 2, "the end of the text"},
    {"{", PW_SYNTAX, 1, 2, "the end of the text"},
    {"[1, 2", PW_SYNTAX, 1, 6, "the end of the text"},
    {"{\"a\": 1", PW_SYNTAX, 1, 8, "the end of the text"},
    {"{\"a\"", PW_SYNTAX, 1, 5, "the end of the text"},
    {"{\"a\":", PW_SYNTAX, 1, 6, "the end of the text"},
    {"nope", PW_SYNTAX, 1, 1, "nope"},   /* jsmn passes */
    {"{a:1}", PW_SYNTAX, 1, 2, "a"},     /* jsmn passes */
    {"{\"a\" 1}", PW_SYNTAX, 1, 6, "1"}, /* jsmn passes */
    {"[1,,2]", PW_SYNTAX, 1, 4, ","},    /* jsmn passes */
    {"[1 2]", PW_SYNTAX, 1, 4, "2"},     /* jsmn passes */
    {"[1,]", PW_SYNTAX, 1, 4, "]"},      /* jsmn passes */
    {"[,1]", PW_SYNTAX, 1, 2, ","},
    {"{\"a\":1,}", PW_SYNTAX, 1, 8, "}"},
    {"{\"a\":1 \"b\":2}", PW_SYNTAX, 1, 8, "a text in double quotes"},
    {"{\"a\":}", PW_SYNTAX, 1, 6, "}"},
    {"{:1}", PW_SYNTAX, 1, 2, ":"},
    {"{1:2}", PW_SYNTAX, 1, 2, "1"},
    {"{\"a\":1:2}", PW_SYNTAX, 1, 7, ":"},
    {"{[]:1}", PW_SYNTAX, 1, 2, "["},
    {"[1]]", PW_SYNTAX, 1, 4, "]"},
    {"1 2", PW_SYNTAX, 1, 3, "2"},
    {"{} x", PW_SYNTAX, 1, 4, "x"},
    {"[1}", PW_SYNTAX, 1, 3, "}"},
    {"{\"a\":1]", PW_SYNTAX, 1, 7, "]"},
    {"]", PW_SYNTAX, 1, 1, "]"},
    {":", PW_SYNTAX, 1, 1, ":"},
    {"[tru]", PW_SYNTAX, 1, 2, "tru"},
    {"[truely]", PW_SYNTAX, 1, 2, "truely"},
    {"True", PW_SYNTAX, 1, 1, "True"},
    {"NaN", PW_SYNTAX, 1, 1, "NaN"},
    {"-Infinity", PW_SYNTAX, 1, 1, "-Infinity"},
    {"[01]", PW_SYNTAX, 1, 2, "01"},
    {"[1.]", PW_SYNTAX, 1, 2, "1."},
    {"[.5]", PW_SYNTAX, 1, 2, ".5"},
    {"[+1]", PW_SYNTAX, 1, 2, "+1"},
    {"[-]", PW_SYNTAX, 1, 2, "-"},
    {"[1e]", PW_SYNTAX, 1, 2, "1e"},
    {"[1e+]", PW_SYNTAX, 1, 2, "1e+"},
    {"[0x10]", PW_SYNTAX, 1, 2, "0x10"},
    {"[1.2.3]", PW_SYNTAX, 1, 2, "1.2.3"},
    {"[1e999]", PW_RANGE, 1, 2, "1e999"},
    {"[-1e999]", PW_RANGE, 1, 2, "-1e999"},
    {"'a'", PW_SYNTAX, 1, 1, "'"},
    {"// x\n1", PW_SYNTAX, 1, 1, "/"},
    {"1 /* x */", PW_SYNTAX, 1, 3, "/"},
    {"\"abc", PW_SYNTAX, 1, 1, "a text that never ends"},
    {"\"abc\\", PW_SYNTAX, 1, 5, "a backslash that begins no escape"},
    {"\"abc\\\"", PW_SYNTAX, 1, 1, "a text that never ends"},
    {"\"a\\x\"", PW_SYNTAX, 1, 3, "a backslash that begins no escape"},
    {"\"a\\u12\"", PW_SYNTAX, 1, 3, "a \\u escape that names no character"},
    {"\"a\\u12g4\"", PW_SYNTAX, 1, 3, "a \\u escape that names no character"},
    {"\"\\ud83d\"", PW_SYNTAX, 1, 2, "a \\u escape that names no character"},
    {"\"\\ud83dx\\ude00\"", PW_SYNTAX, 1, 2, "a \\u escape that names no character"},
    {"\"\\ud83d\\u0041\"", PW_SYNTAX, 1, 2, "a \\u escape that names no character"},
    {"\"\\ude00\"", PW_SYNTAX, 1, 2, "a \\u escape that names no character"},
    {"\"\\u0000\"", PW_SYNTAX, 1, 2, "\\u0000"},
    {"\"a\nb\"", PW_SYNTAX, 1, 3, "an end of line inside a text"},
    {"\"a\tb\"", PW_SYNTAX, 1, 3, "a control character inside a text"},
    {"\"\xC3\"", PW_SYNTAX, 1, 2, "the byte 0xc3"},
    {"\"\xC0\x80\"", PW_SYNTAX, 1, 2, "the byte 0xc0"},
    {"\"\xE0\x80\x80\"", PW_SYNTAX, 1, 2, "the byte 0xe0"},
    {"\"\xED\xA0\x80\"", PW_SYNTAX, 1, 2, "the byte 0xed"},
    {"\"\xF4\x90\x80\x80\"", PW_SYNTAX, 1, 2, "the byte 0xf4"},
    {"\"\xF0\x80\x80\x80\"", PW_SYNTAX, 1, 2, "the byte 0xf0"},
    {"\"\xFF\"", PW_SYNTAX, 1, 2, "the byte 0xff"},
    {"\"\x80\"", PW_SYNTAX, 1, 2, "the byte 0x80"},
    {"\xEF\xBB\xBF{}", PW_SYNTAX, 1, 1, "a byte order mark"},
    {"\xC2\xA0{}", PW_SYNTAX, 1, 1, "the byte 0xc2"},
    {"[1,\n 2,\n \"\xC3\xA9\xC3\xA9\" x]", PW_SYNTAX, 3, 7, "x"}, /* columns are characters */
    {"{\"a\":1,\n\"b\":2,\n \"a\":3}", PW_DUPLICATE, 3, 6, "a"},
    {"{\"a\":1,\"\\u0061\":3}", PW_DUPLICATE, 1, 17, "a"},
    {"[{\"x\":{\"k\":1,\"k\":1}}]", PW_DUPLICATE, 1, 18, "k"},
};

static void refused(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; i++) {
        pw_arena arena;
        read_n(&arena, refusals[i].text, strlen(refusals[i].text), refusals[i].status);
        const pw_problem *problem = &problems.items[0];
        if (problem->line != refusals[i].line || problem->column != refusals[i].column ||
            strcmp(english(&problem->found), refusals[i].found) != 0) {
            fail_msg("<%s>: %d:%d <%s>", refusals[i].text, problem->line, problem->column, english(&problem->found));
        }
        assert_true(strlen(english(&problem->expected)) > 0);
        assert_int_equal(arena.used, 0); /* nothing is kept of a refused text */
    }
    pw_arena arena;
    read_n(&arena, "[1\0]", 4, PW_SYNTAX);
    read_n(&arena, "\"a\0b\"", 5, PW_SYNTAX);
    read_n(&arena, "1\0", 2, PW_SYNTAX);
    const pw_json *value;
    assert_int_equal(pw_json_read(&arena, "[", 1, &value, NULL), PW_SYNTAX);
}

static void depth_and_size(void **state)
{
    (void)state;
    char text[80];
    pw_arena arena;
    memset(text, '[', 33);
    memset(text + 33, ']', 33);
    read_n(&arena, text + 1, 64, PW_OK);
    read_n(&arena, text, 66, PW_LIMIT);
    assert_int_equal(problems.items[0].column, 33);
    const pw_json *value;
    pw_arena_init(&arena, block, sizeof block);
    assert_int_equal(pw_json_read(&arena, "1", (size_t)PW_MAX_INPUT + 1, &value, &problems), PW_LIMIT);
}

/* A block of the room that is told is enough, for lists of the shortest values as for long texts. */
static void room_is_enough(void **state)
{
    (void)state;
    static const char *const texts[] = {"0", "[]", "[0,0,0,0,0,0,0,0]",
                                        "{\"a\":[1,2,{\"b\":\"text\"}],\"c\":[[],{},null]}",
                                        "\"a text, longer than its numbers\""};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        pw_arena arena;
        const pw_json *value = NULL;
        const size_t room = pw_json_room(texts[i], strlen(texts[i]));
        uint8_t *lent = malloc(room);
        assert_non_null(lent);
        pw_arena_init(&arena, lent, room);
        assert_int_equal(pw_json_read(&arena, texts[i], strlen(texts[i]), &value, NULL), PW_OK);
        free(lent);
    }
    assert_int_equal(pw_json_room("[1,", 3), 0);
    assert_int_equal(pw_json_room("1", (size_t)PW_MAX_INPUT + 1), 0);
}

/* A block one allocation too small is told as such, and never written over. */
static void small_blocks(void **state)
{
    (void)state;
    const char *text = "{\"a\":[1,2,{\"b\":\"text\"}],\"c\":[[],{},null,true]}";
    size_t needed = 0;
    for (size_t size = 0; size < 8000 && needed == 0; size += 16) {
        pw_arena arena;
        const pw_json *value;
        uint8_t *small = malloc(size ? size : 1);
        pw_arena_init(&arena, small, size);
        memset(&problems, 0, sizeof problems);
        pw_status status = pw_json_read(&arena, text, strlen(text), &value, &problems);
        if (status == PW_OK) {
            needed = size;
        } else {
            assert_int_equal(status, PW_MEMORY);
            assert_null(value);
            assert_int_equal(arena.used, 0);
        }
        free(small);
    }
    assert_true(needed > 500);
}

/* Long lists and objects take time in proportion (jsmn without parent links is quadratic, a pairwise key check too). */
static void large(void **state)
{
    (void)state;
    enum { COUNT = 60000 };
    size_t size = COUNT * 24 + 10;
    char *text = malloc(size);
    size_t n = 0;
    text[n++] = '{';
    for (int i = 0; i < COUNT; i++) {
        const char *between = i ? "," : "";
        n += (size_t)snprintf(text + n, size - n, "%s\"k%d\":[%d]", between, (i * 7919) % COUNT, i);
    }
    text[n++] = '}';
    size_t room = (size_t)64 << 20;
    void *memory = malloc(room);
    pw_arena arena;
    pw_arena_init(&arena, memory, room);
    const pw_json *value;
    assert_int_equal(pw_json_read(&arena, text, n, &value, NULL), PW_OK);
    assert_int_equal(value->count, COUNT);
    assert_true(pw_json_at(pw_json_get(value, "k7919"), 0)->number == 1);
    text[2] = 'k';
    memcpy(text + n - 1, ",\"k3\":0}", 8);
    assert_int_equal(pw_json_read(&arena, text, n + 7, &value, NULL), PW_DUPLICATE);
    free(memory);
    free(text);
}

static void writer(void **state)
{
    (void)state;
    pw_arena arena;
    pw_text text;
    pw_json_writer w;
    pw_arena_init(&arena, block, sizeof block);
    pw_text_init(&text, &arena);
    pw_json_writer_init(&w, &text, 0);
    pw_json_open(&w, NULL, '{');
    pw_json_string(&w, "s", "a\"\\\n\r\t\b\x01\x7F\xC3\xA9/");
    pw_json_string(&w, "n", NULL);
    pw_json_number(&w, "x", 0.1);
    double zero = 0;
    pw_json_number(&w, "nan", zero / zero);
    pw_json_number(&w, "inf", 1 / zero);
    pw_json_int(&w, "i", INT64_MIN);
    pw_json_bool(&w, "t", true);
    pw_json_null(&w, "0");
    pw_json_open(&w, "e", '[');
    pw_json_close(&w, ']');
    pw_json_open(&w, "l", '[');
    pw_json_int(&w, NULL, 1);
    pw_json_open(&w, NULL, '{');
    pw_json_close(&w, '}');
    pw_json_bool(&w, NULL, false);
    pw_json_close(&w, ']');
    pw_json_string(&w, "bad\xFF", "\xC3(\xED\xA0\x80");
    pw_json_close(&w, '}');
    assert_string_equal(text.data,
                        "{\"s\":\"a\\\"\\\\\\n\\r\\t\\u0008\\u0001\x7F\xC3\xA9/\",\"n\":null,\"x\":0.1,\"nan\":null,"
                        "\"inf\":null,\"i\":-9223372036854775808,\"t\":true,\"0\":null,\"e\":[],\"l\":[1,{},false],"
                        "\"bad\xEF\xBF\xBD\":\"\xEF\xBF\xBD(\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\"}");
    pw_arena other;
    char copy[400];
    strcpy(copy, text.data);
    read_n(&other, copy, strlen(copy), PW_OK);
    pw_text_init(&text, &other);
    pw_json_writer_init(&w, &text, 2);
    pw_json_open(&w, NULL, '{');
    pw_json_int(&w, "a", 1);
    pw_json_open(&w, "b", '[');
    pw_json_int(&w, NULL, 2);
    pw_json_close(&w, ']');
    pw_json_open(&w, "c", '{');
    pw_json_close(&w, '}');
    pw_json_close(&w, '}');
    assert_string_equal(text.data, "{\n  \"a\": 1,\n  \"b\": [\n    2\n  ],\n  \"c\": {}\n}");
}

/* Random trees: write, read, write again: the same text. */
static void put_random(pw_json_writer *w, pw_random *random, const char *key, int depth)
{
    uint32_t pick = pw_random_u32(random) % (depth > 5 ? 5 : 7);
    switch (pick) {
    case 0: pw_json_null(w, key); break;
    case 1: pw_json_bool(w, key, pw_random_u32(random) & 1); break;
    case 2: pw_json_number(w, key, pw_random_normal(random) * 1e6); break;
    case 3: pw_json_int(w, key, (int32_t)pw_random_u32(random)); break;
    case 4: {
        char text[12] = "";
        for (int i = 0; i < 11; i++) {
            text[i] = (char)(pw_random_u32(random) % 127 + 1);
        }
        pw_json_string(w, key, text);
        break;
    }
    default: {
        int count = (int)(pw_random_u32(random) % 5);
        pw_json_open(w, key, pick == 5 ? '[' : '{');
        for (int i = 0; i < count; i++) {
            char name[8];
            snprintf(name, sizeof name, "k%d\"", i);
            put_random(w, random, pick == 5 ? NULL : name, depth + 1);
        }
        pw_json_close(w, pick == 5 ? ']' : '}');
        break;
    }
    }
}

static void random_trees(void **state)
{
    (void)state;
    static uint8_t first_block[1 << 20];
    pw_random random;
    pw_random_seed(&random, 5, 0);
    for (int i = 0; i < 400; i++) {
        pw_arena first, arena;
        pw_text text;
        pw_json_writer w;
        pw_arena_init(&first, first_block, sizeof first_block);
        pw_text_init(&text, &first);
        pw_json_writer_init(&w, &text, i % 3);
        put_random(&w, &random, NULL, 0);
        assert_false(text.failed);
        const pw_json *value = read_n(&arena, text.data, text.length, PW_OK);
        assert_string_equal(written(&arena, value, i % 3), text.data);
    }
}

static void writing_too_deep(void **state)
{
    (void)state;
    pw_arena arena;
    const pw_json *value = read_ok(&arena, "[[[[]]]]");
    pw_text text;
    pw_json_writer w;
    pw_text_init(&text, &arena);
    pw_json_writer_init(&w, &text, 0);
    for (int i = 0; i < 30; i++) {
        pw_json_open(&w, NULL, '[');
    }
    pw_json_value(&w, NULL, value);
    assert_true(text.failed);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values),         cmocka_unit_test(trees),        cmocka_unit_test(refused),
        cmocka_unit_test(depth_and_size), cmocka_unit_test(small_blocks), cmocka_unit_test(large),
        cmocka_unit_test(writer),         cmocka_unit_test(random_trees), cmocka_unit_test(writing_too_deep),
        cmocka_unit_test(room_is_enough),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
