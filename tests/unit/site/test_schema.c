/* Schema, reference page and reader come from one table; here they are held to each other, and the files in data/ and
 * docs/ to them. PW_REWRITE=1 in the environment writes the two files anew. */
#include "unit/site/kit.h"
#include "unit/site/validate.h"

static const pw_json *schema_of(void)
{
    pw_text text;
    pw_text_init(&text, &kit_arena);
    pw_site_schema(&text);
    assert_false(text.failed);
    return kit_json(text.data);
}

static bool fits(const char *sheet, validation *why)
{
    return valid(schema_of(), kit_json(sheet), "", why);
}

static void good_sheets_fit(void **state)
{
    (void)state;
    const char *const sheets[] = {least_sheet, full_sheet};
    for (int i = 0; i < 2; i++) {
        kit_begin();
        validation why = {"", ""};
        if (!fits(sheets[i], &why)) {
            fail_msg("sheet %d does not fit the schema at %s: %s", i, why.path, why.why);
        }
    }
}

/* What an editor should mark; the reader refuses each as well. */
static void wrong_sheets_do_not_fit(void **state)
{
    (void)state;
    static const char *const edits[][2] = {
        {"\"site\":\"full\",", ""},
        {"\"site\":\"full\"", "\"site\":true"},
        {"\"outlets\":[", "\"outlet\":[],\"outlets\":["},
        {"\"water\":\"16 degC\"", "\"water\":16"},
        {"\"altitude\":\"240 m\"", "\"altitude\":240"},
        {"\"altitude\":\"240 m\"", "\"altitude\":\"high\""},
        {"\"kind\":\"mains\"", "\"kind\":\"main\""},
        {"\"pressure\":\"350 kPa\"", "\"pressure\":\"350 kPa\",\"yield\":\"9 L/min\""},
        {",\"pressure\":\"350 kPa\"", ""},
        {"\"height\":\"2 m\"", "\"height\":true"},
        {",\"height\":\"2 m\"", ""},
        {"\"at\":\"08:00\"", "\"at\":\"8 am\""},
        {"\"at\":\"08:00\"", "\"at\":\"24:01\""},
        {"\"elbow 90\":5", "\"elbow 90\":1.5"},
        {"\"from\":\"22:00\"", "\"form\":\"22:00\""},
        {"\"phases\":3,\"frequency\"", "\"phases\":2,\"frequency\""},
        {"[1,0.5,0.5,0.5,1,", "[0.5,0.5,0.5,1,"},
        {"\"Monday\"", "\"monday\""},
        {"\"starts per hour\":30", "\"starts per hour\":\"30 kPa\""},
        {"\"resolution\":\"10 mm\"", "\"resolution\":10"},
        {",\"unit\":\"L/s\"", ""},
    };
    for (size_t i = 0; i < sizeof edits / sizeof edits[0]; i++) {
        const char *sheet = kit_edit(full_sheet, edits[i][0], edits[i][1]);
        kit_begin();
        if (fits(sheet, NULL)) {
            fail_msg("the schema takes %s", edits[i][1]);
        }
        assert_null(kit_read(sheet));
    }
}

/* Never stricter than the reader: every unit of the table in every spelling shape, for a key of its dimension. */
static void takes_what_the_reader_takes(void **state)
{
    (void)state;
    int32_t count = 0;
    const pw_unit *units = pw_unit_table(&count);
    kit_begin();
    const pw_json *altitude = pw_json_get(pw_json_get(schema_of(), "properties"), "altitude");
    static const char *const shapes[] = {"12 ", "12", "1.5e2 ", " 0 ", "-3 ", "0.25 "};
    int32_t tried = 0;
    for (int32_t i = 0; i < count; i++) {
        for (size_t k = 0; k < sizeof shapes / sizeof shapes[0]; k++) {
            char words[64];
            char text[96];
            double si = 0;
            snprintf(words, sizeof words, "%s%s%s", shapes[k], units[i].name, k == 5 ? " " : "");
            if (pw_quantity_read(words, units[i].dimension, &si, NULL, "") != PW_OK) {
                continue;
            }
            snprintf(text, sizeof text, "\"%s\"", words);
            if (!valid(altitude, kit_json(text), "", NULL)) {
                fail_msg("the pattern refuses \"%s\"", words);
            }
            tried++;
        }
    }
    assert_true(tried > 3 * count);
    static const char *const others[] = {"\"1 h 30 min\"", "\"16 °C\"", "\"20 litres per minute\"",
                                         "\"3 m³/h\"",     "0",         "\"0\""};
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        assert_true(valid(altitude, kit_json(others[i]), "", NULL));
    }
}

/* Every example of the table is taken: by its row's form in the schema, and by the reader within the row's range. */
static void check_example(const pw_block *block, const pw_row *row, const pw_json *rule)
{
    if (row->type == PW_ROW_LIST || row->type == PW_ROW_GROUP) {
        return;
    }
    if (row->example == NULL) {
        fail_msg("%s: %s has no example", block->id, row->key);
    }
    char text[512];
    bool json = row->example[0] == '[' || row->example[0] == '{';
    snprintf(text, sizeof text, json ? "%s" : "\"%s\"", row->example);
    if (rule->kind == PW_JSON_OBJECT && !valid(rule, kit_json(text), "", NULL)) {
        fail_msg("%s: the schema refuses the example of %s", block->id, row->key);
    }
    if (row->type == PW_ROW_QUANTITY) {
        double si = 0;
        assert_int_equal(pw_quantity_read(row->example, row->dimension, &si, NULL, ""), PW_OK);
        assert_true(si >= row->low && si <= row->high);
        assert_true(row->need != PW_DEFAULT || (row->value >= row->low && row->value <= row->high));
    }
}

static const pw_json *rule_of(const pw_json *schema, const pw_block *block, int32_t index)
{
    const pw_row *row = &block->rows[index];
    const pw_json *rule = pw_json_get(pw_json_get(schema, "properties"), row->key);
    if (rule == NULL) {
        fail_msg("%s: the schema does not know %s", block->id, row->key);
    }
    for (int32_t kind = 0; rule->kind == PW_JSON_BOOL && kind < 8; kind++) { /* its form stands under its kind */
        const pw_json *then = pw_json_get(pw_json_at(pw_json_get(schema, "allOf"), kind), "then");
        const pw_json *own = pw_json_get(pw_json_get(then, "properties"), row->key);
        if (pw_row_applies(row, kind) && own != NULL) {
            return own;
        }
    }
    return rule;
}

/* Table and schema, key by key, both ways. */
static void compare(const pw_block *block, const pw_json *schema)
{
    for (int32_t i = 0; i < block->row_count; i++) {
        const pw_row *row = &block->rows[i];
        const pw_json *rule = rule_of(schema, block, i);
        assert_non_null(pw_json_get(rule, "description"));
        check_example(block, row, rule);
        bool reasoned = row->need != PW_DEFAULT && row->need != PW_DERIVED;
        assert_true(reasoned || row->type == PW_ROW_GROUP || strlen(row->reason) > 10);
        if (row->type == PW_ROW_GROUP) {
            compare(row->block, rule);
        } else if (row->type == PW_ROW_LIST) {
            compare(row->block, pw_json_get(rule, "items"));
        }
    }
    const pw_json *properties = pw_json_get(schema, "properties");
    for (const pw_json *key = properties->first; key != NULL; key = key->next) {
        bool known = false;
        for (int32_t i = 0; i < block->row_count; i++) {
            known = known || strcmp(block->rows[i].key, key->key) == 0;
        }
        if (!known) {
            fail_msg("%s: the table does not know %s", block->id, key->key);
        }
    }
}

static void schema_and_table_know_the_same_keys(void **state)
{
    (void)state;
    kit_begin();
    compare(&pw_block_site, schema_of());
}

/* The reader takes every key that the schema has: the full sheet, which reads without a problem, has each of them for
 * each kind. */
static bool stated(const pw_block *block, const pw_row *row, const pw_json *items)
{
    for (const pw_json *item = items; item != NULL; item = item->next) {
        int32_t kind = 0;
        const pw_json *word = block->kind == NULL ? NULL : pw_json_get(item, block->kind->key);
        while (word != NULL && strcmp(block->kind->words[kind], word->string) != 0) {
            kind++;
        }
        if (pw_row_applies(row, kind) && pw_json_get(item, row->key) != NULL) {
            return true;
        }
    }
    return false;
}

static void check_stated(const pw_block *block, const pw_json *items)
{
    for (int32_t i = 0; i < block->row_count; i++) {
        const pw_row *row = &block->rows[i];
        if (!stated(block, row, items)) {
            fail_msg("the full sheet lacks %s of %s", row->key, block->id);
        }
        for (const pw_json *item = items; item != NULL && row->block != NULL; item = item->next) {
            const pw_json *value = pw_json_get(item, row->key);
            if (value != NULL) {
                pw_json alone = *value; /* a group is one item */
                alone.next = NULL;
                check_stated(row->block, row->type == PW_ROW_LIST ? value->first : &alone);
                break;
            }
        }
    }
}

static void full_sheet_states_every_key(void **state)
{
    (void)state;
    kit_read_ok(full_sheet);
    check_stated(&pw_block_site, kit_json(full_sheet));
}

static char *read_file(const char *name)
{
    char path[512];
    snprintf(path, sizeof path, "%s/%s", PW_SOURCE_DIR, name);
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        fail_msg("cannot read %s", path);
    }
    static char text[1u << 20];
    text[fread(text, 1, sizeof text - 1, file)] = '\0';
    fclose(file);
    return text;
}

static void write_file(const char *name, const char *before, size_t before_length, const char *text, const char *after)
{
    char path[512];
    snprintf(path, sizeof path, "%s/%s", PW_SOURCE_DIR, name);
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    fwrite(before, 1, before_length, file);
    fputs(text, file);
    fputs(after, file);
    fclose(file);
}

static void schema_file_is_current(void **state)
{
    (void)state;
    kit_begin();
    pw_text text;
    pw_text_init(&text, &kit_arena);
    pw_site_schema(&text);
    assert_false(text.failed);
    if (getenv("PW_REWRITE") != NULL) {
        write_file("data/site.schema.json", "", 0, text.data, "");
    }
    if (strcmp(read_file("data/site.schema.json"), text.data) != 0) {
        fail_msg("data/site.schema.json is not what the program says; run this test with PW_REWRITE=1");
    }
}

static void reference_page_is_current(void **state)
{
    (void)state;
    static const char begin[] = "<!-- the tables from here on are written by tests/unit/site/test_schema.c -->\n\n";
    kit_begin();
    pw_text text;
    pw_text_init(&text, &kit_arena);
    pw_site_reference(&text);
    assert_false(text.failed);
    static char page[1u << 20];
    strcpy(page, read_file("docs/site-sheet.md"));
    char *at = strstr(page, begin);
    assert_non_null(at);
    at += sizeof begin - 1;
    if (getenv("PW_REWRITE") != NULL) {
        write_file("docs/site-sheet.md", page, (size_t)(at - page), text.data, "");
    } else if (strcmp(at, text.data) != 0) {
        fail_msg("the tables of docs/site-sheet.md are not those of the program; run this test with PW_REWRITE=1");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(good_sheets_fit),
        cmocka_unit_test(wrong_sheets_do_not_fit),
        cmocka_unit_test(takes_what_the_reader_takes),
        cmocka_unit_test(schema_and_table_know_the_same_keys),
        cmocka_unit_test(full_sheet_states_every_key),
        cmocka_unit_test(schema_file_is_current),
        cmocka_unit_test(reference_page_is_current),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
