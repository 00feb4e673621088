/* YAML to JSON: what becomes what, what is refused and where, places of paths, and any bytes at all. */
#include "unit/site/kit.h"
#include "unit/site/validate.h"

#include "adapt/yaml.h"
#include "english.h"

static pw_text json;
static pw_yaml_map map;

static pw_status convert_bytes(const char *text, size_t length)
{
    kit_begin();
    pw_status status = pw_yaml_to_json(&kit_arena, text, length, &json, &map, &kit_problems);
    assert_int_equal(status != PW_OK, kit_problems.errors == 1);
    assert_true(status == PW_OK || kit_problems.items[0].status == status);
    return status;
}

static pw_status convert(const char *text)
{
    return convert_bytes(text, strlen(text));
}

static void becomes(const char *yaml, const char *wanted)
{
    if (convert(yaml) != PW_OK) {
        kit_print_problems();
        fail_msg("refused: %s", yaml);
    }
    assert_string_equal(json.data, wanted);
}

static void values_become_json(void **state)
{
    (void)state;
    becomes("a: 12", "{\"a\":12}");
    becomes("a: -0.5e3", "{\"a\":-500}");
    becomes("a: 08:00", "{\"a\":\"08:00\"}");
    becomes("a: 22:30:00", "{\"a\":\"22:30:00\"}");
    becomes("a: 012", "{\"a\":\"012\"}");
    becomes("a: 0x1F", "{\"a\":\"0x1F\"}");
    becomes("a: 1_000", "{\"a\":\"1_000\"}");
    becomes("a: .5", "{\"a\":\".5\"}");
    becomes("a: +5", "{\"a\":\"+5\"}");
    becomes("a: 1e999", "{\"a\":\"1e999\"}");
    becomes("a: .inf", "{\"a\":\".inf\"}");
    becomes("a: 2020-01-01", "{\"a\":\"2020-01-01\"}");
    becomes("a: yes", "{\"a\":true}");
    becomes("a: No", "{\"a\":false}");
    becomes("a: TRUE", "{\"a\":true}");
    becomes("a: false", "{\"a\":false}");
    becomes("a: 'yes'", "{\"a\":\"yes\"}");
    becomes("a: \"12\"", "{\"a\":\"12\"}");
    becomes("a: on", "{\"a\":\"on\"}");
    becomes("a: n", "{\"a\":\"n\"}");
    becomes("a: null", "{\"a\":\"null\"}");
    becomes("a: ~", "{\"a\":\"~\"}");
    becomes("a:", "{\"a\":null}");
    becomes("a: ''", "{\"a\":\"\"}");
    becomes("a: 45 L/min  # comment", "{\"a\":\"45 L/min\"}");
    becomes("a: 16 \xC2\xB0"
            "C",
            "{\"a\":\"16 \xC2\xB0"
            "C\"}");
    becomes("a: \"\\u00e9\\n\"", "{\"a\":\"\xC3\xA9\\n\"}");
    becomes("yes: 1\n12: 2", "{\"yes\":1,\"12\":2}");
    becomes("\xEF\xBB\xBF"
            "a: 1\r\nb: 2\r\n",
            "{\"a\":1,\"b\":2}");
}

static void shapes_become_json(void **state)
{
    (void)state;
    becomes("- a\n- 1\n-\n  - x\n- {k: v, l: [1, 2]}\n", "[\"a\",1,[\"x\"],{\"k\":\"v\",\"l\":[1,2]}]");
    becomes("a: {}\nb: []", "{\"a\":{},\"b\":[]}");
    becomes("12", "12");
    becomes("a: >\n  two\n  lines\n", "{\"a\":\"two lines\"}");
    becomes("a: |\n  two\n  lines\n", "{\"a\":\"two\\nlines\"}");
    becomes("standing water level: 14 m\nHazen-Williams C: 140",
            "{\"standing water level\":\"14 m\",\"Hazen-Williams C\":140}");
    becomes("---\na: 1\n...\n", "{\"a\":1}");
    becomes("%YAML 1.1\n---\na: 1\n", "{\"a\":1}");
}

typedef struct refusal {
    const char *yaml;
    pw_status status;
    int32_t line, column;
    const char *words; /* part of found, expected or hint */
} refusal;

static const refusal refusals[] = {
    {"", PW_MISSING, 1, 1, "nothing"},
    {"# only a comment\n", PW_MISSING, 1, 1, "nothing"},
    {"a: 1\nb: 2\na: 3\n", PW_DUPLICATE, 3, 1, "given before"},
    {"x: {a: 1, a: 2}", PW_DUPLICATE, 1, 11, "given before"},
    {"a: &here 1\nb: *here\n", PW_UNSUPPORTED, 1, 4, "anchor"},
    {"b: *here\n", PW_UNSUPPORTED, 1, 4, "alias"},
    {"a: &x [1]\n", PW_UNSUPPORTED, 1, 4, "anchor"},
    {"a: &x {b: 1}\n", PW_UNSUPPORTED, 1, 4, "anchor"},
    {"<<: {a: 1}\n", PW_UNSUPPORTED, 1, 1, "merge key"},
    {"a: !!str 1\n", PW_UNSUPPORTED, 1, 4, "tag"},
    {"a: !thing {b: 1}\n", PW_UNSUPPORTED, 1, 4, "tag"},
    {"a: 1\n---\nb: 2\n", PW_UNSUPPORTED, 2, 1, "second document"},
    {"a:\n\tb: 1\n", PW_SYNTAX, 2, 1, "spaces instead of tabs"},
    {"a: [1, 2\nb: 3\n", PW_SYNTAX, 2, 0, NULL},
    {"a: \"open\n", PW_SYNTAX, 0, 0, NULL},
    {"a: b: c\n", PW_SYNTAX, 1, 5, NULL},
    {"a: 1\n  b: 2\n", PW_SYNTAX, 2, 0, NULL},
    {"? [1, 2]\n: x\n", PW_UNSUPPORTED, 1, 3, "as a key"},
    {"{a: 1}: x\n", PW_UNSUPPORTED, 1, 1, "as a key"},
    {": x\n", PW_SYNTAX, 1, 1, NULL},
    {"'': x\n", PW_SYNTAX, 1, 1, "empty key"},
    {"a: \"\\0\"\n", PW_SYNTAX, 1, 4, "\\0"},
    {"\"a\\0b\": 1\n", PW_SYNTAX, 1, 1, NULL},
    {"a: caf\xE9\n", PW_SYNTAX, 1, 7, "UTF-8"},
    {"a: 1\nb: \x01\n", PW_SYNTAX, 2, 4, "control character"},
    {"a: \xED\xA0\x80\n", PW_SYNTAX, 1, 4, "UTF-8"}, /* half of a surrogate pair */
    {"a: \xC0\xAF\n", PW_SYNTAX, 1, 4, "UTF-8"},     /* overlong */
    {"\xFF\xFE"
     "a\n",
     PW_SYNTAX, 1, 1, "UTF-8"},
    {"a: @x\n", PW_SYNTAX, 1, 4, NULL},
};

static void refuses_with_line_and_column(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; i++) {
        const refusal *r = &refusals[i];
        pw_status status = convert(r->yaml);
        const pw_problem *p = &kit_problems.items[0];
        bool words = r->words == NULL || strstr(english(&p->found), r->words) ||
                     strstr(english(&p->expected), r->words) || strstr(english(&p->hint), r->words);
        bool place = p->line >= 1 && p->column >= 1 && (r->line == 0 || p->line == r->line) &&
                     (r->column == 0 || p->column == r->column);
        if (status != r->status || !words || !place) {
            kit_print_problems();
            fail_msg("%s: %s at %d:%d", r->yaml, pw_status_id(status), (int)p->line, (int)p->column);
        }
        assert_string_equal(json.data == NULL ? "" : json.data, "");
        int32_t line = 0, column = 0;
        assert_false(pw_yaml_where(&map, "a", &line, &column));
    }
}

static void nul_bytes_are_refused(void **state)
{
    (void)state;
    assert_int_equal(convert_bytes("a: 1\0b", 6), PW_SYNTAX);
    assert_int_equal(kit_problems.items[0].column, 5);
}

static void nests_so_deep_and_no_deeper(void **state)
{
    (void)state;
    static char text[200001];
    for (int deep = 1; deep < 100000; deep = deep < 40 ? deep + 1 : deep * 10) {
        memset(text, '[', (size_t)deep);
        memset(text + deep, ']', (size_t)deep);
        pw_status status = convert_bytes(text, 2u * (size_t)deep);
        assert_int_equal(status, deep <= PW_MAX_JSON_DEPTH ? PW_OK : PW_LIMIT);
        if (status == PW_OK) {
            kit_json(json.data); /* what it writes, the core reads */
        }
        for (int i = 0; i < deep; i++) { /* the same in block form */
            memcpy(text + 2 * i, "- ", 2);
        }
        memcpy(text + 2 * deep, "x", 1);
        assert_int_equal(convert_bytes(text, 2u * (size_t)deep + 1), deep <= PW_MAX_JSON_DEPTH ? PW_OK : PW_LIMIT);
    }
}

static void keys_in_one_mapping_are_limited(void **state)
{
    (void)state;
    static char text[8192];
    size_t length = 0;
    for (int i = 0; i < 257; i++) {
        length += (size_t)snprintf(text + length, sizeof text - length, "k%d: 1\n", i);
    }
    assert_int_equal(convert(text), PW_LIMIT);
    assert_int_equal(kit_problems.items[0].line, 257);
}

static void is_at(const char *path, int32_t line, int32_t column)
{
    int32_t found_line = 0, found_column = 0;
    assert_true(pw_yaml_where(&map, path, &found_line, &found_column));
    if (found_line != line || found_column != column) {
        fail_msg("%s is at %d:%d, not %d:%d", path, (int)found_line, (int)found_column, (int)line, (int)column);
    }
}

static void finds_places(void **state)
{
    (void)state;
    assert_int_equal(convert("site: S\n"
                             "pumps:\n"
                             "  - name: p\n"
                             "    curve:\n"
                             "      - {flow: 0, head: 9 m}\n"
                             "      - {flow: 1, \xC3\xA9\xC3\xA9: 2, head: 8 m}\n"
                             "a.b: 1\n"
                             "a: {b: 2, 'c[0]': 3, c: [4]}\n"
                             "list: [[1, 2], [3]]\n"),
                     PW_OK);
    is_at("", 1, 1);
    is_at("site", 1, 1);
    is_at("pumps", 2, 1);
    is_at("pumps[0]", 3, 5);
    is_at("pumps[0].name", 3, 5);
    is_at("pumps[0].curve[1].head", 6, 26);
    is_at("a.b", 7, 1); /* the longest key that fits */
    is_at("a.c[0]", 8, 11);
    is_at("list[1][0]", 9, 17);
    /* nearest thing around what is not there */
    is_at("pumps[0].curve[1].power", 6, 9);
    is_at("pumps[0].curve[7].head", 4, 5);
    is_at("pumps[0].motor.power", 3, 5);
    is_at("pumps[99999999999]", 2, 1);
    is_at("sites", 1, 1);
    is_at("pumps[0].cur", 3, 5);
    is_at("nothing[0].here", 1, 1);
    is_at("pumps[", 2, 1);
    is_at("..", 1, 1);
}

static char *read_file(const char *name, size_t *length)
{
    static char text[1u << 20];
    char path[512];
    snprintf(path, sizeof path, "%s/%s", PW_SOURCE_DIR, name);
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        fail_msg("cannot read %s", path);
    }
    *length = fread(text, 1, sizeof text - 1, file);
    fclose(file);
    text[*length] = '\0';
    return text;
}

/* The example goes all the way: YAML, schema, reader; without an error or a warning. */
static void example_reads(void **state)
{
    (void)state;
    size_t length = 0;
    const char *text = read_file("examples/nursery.yaml", &length);
    assert_int_equal(convert_bytes(text, length), PW_OK);
    const pw_json *sheet = kit_json(json.data);
    pw_text words;
    pw_text_init(&words, &kit_arena);
    pw_site_schema(&words);
    validation why = {"", ""};
    if (!valid(kit_json(words.data), sheet, "", &why)) {
        fail_msg("the example does not fit the schema at %s: %s", why.path, why.why);
    }
    pw_site *site = NULL;
    assert_int_equal(pw_site_read(&kit_arena, sheet, "", &site, &kit_problems), PW_OK);
    kit_print_problems();
    assert_int_equal(kit_problems.count, 0);
    assert_string_equal(site->name, "Hillside plant nursery");
    assert_true(site->invented);
    assert_int_equal(site->demands[0].at_s.v, 8 * 3600);
    for (int32_t i = 0; i < site->default_count; i++) {
        int32_t line = 0, column = 0;
        assert_true(pw_yaml_where(&map, site->defaults[i].path, &line, &column));
    }
}

/* The sheet of the reference page is a right one. */
static void page_sheet_reads(void **state)
{
    (void)state;
    size_t length = 0;
    char *page = read_file("docs/site-sheet.md", &length);
    char *begin = strstr(page, "```yaml\n");
    assert_non_null(begin);
    begin += 8;
    char *end = strstr(begin, "```");
    assert_non_null(end);
    assert_int_equal(convert_bytes(begin, (size_t)(end - begin)), PW_OK);
    pw_site *site = NULL;
    pw_status status = pw_site_read(&kit_arena, kit_json(json.data), "", &site, &kit_problems);
    kit_print_problems();
    assert_int_equal(status, PW_OK);
    assert_int_equal(kit_problems.count, 0);
}

static uint32_t next_random(uint32_t *seed)
{
    *seed = *seed * 1664525u + 1013904223u;
    return *seed >> 8;
}

/* The example with bytes changed, cut out or doubled: an answer each time, and JSON when it is yes. */
static void survives_damage(void **state)
{
    (void)state;
    static char text[1u << 16];
    size_t whole = 0;
    const char *example = read_file("examples/nursery.yaml", &whole);
    uint32_t seed = 7;
    int32_t good = 0;
    static const char bytes[] = ":-[]{},#&*!|>'\"%@`?\t\n \\<\x01\x80\xC3\xF0"
                                "0y~";
    for (int32_t round = 0; round < 1500; round++) {
        size_t length = whole < sizeof text ? whole : sizeof text;
        memcpy(text, example, length);
        for (uint32_t k = 0; k <= next_random(&seed) % 3; k++) {
            text[next_random(&seed) % length] = bytes[next_random(&seed) % (sizeof bytes - 1)];
        }
        length = round % 3 == 0 ? next_random(&seed) % length : length;
        if (convert_bytes(text, length) == PW_OK) {
            pw_site *site = NULL;
            pw_site_read(&kit_arena, kit_json(json.data), "", &site, &kit_problems);
            good++;
        }
    }
    assert_in_range(good, 100, 1400);
}

static void survives_small_arenas(void **state)
{
    (void)state;
    size_t length = 0;
    const char *text = read_file("examples/nursery.yaml", &length);
    static uint8_t block[1u << 19];
    bool done = false;
    int32_t refused = 0;
    for (size_t size = 0; size < sizeof block && !done; size += 499) {
        pw_arena arena;
        pw_problems problems = {0};
        pw_arena_init(&arena, block, size);
        pw_status status = pw_yaml_to_json(&arena, text, length, &json, &map, &problems);
        done = status == PW_OK;
        refused += status == PW_MEMORY;
        assert_true(done || status == PW_MEMORY);
        assert_int_equal(done, map.root != NULL);
    }
    assert_true(done);
    assert_true(refused > 20);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values_become_json),
        cmocka_unit_test(shapes_become_json),
        cmocka_unit_test(refuses_with_line_and_column),
        cmocka_unit_test(nul_bytes_are_refused),
        cmocka_unit_test(nests_so_deep_and_no_deeper),
        cmocka_unit_test(keys_in_one_mapping_are_limited),
        cmocka_unit_test(finds_places),
        cmocka_unit_test(example_reads),
        cmocka_unit_test(page_sheet_reads),
        cmocka_unit_test(survives_damage),
        cmocka_unit_test(survives_small_arenas),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
