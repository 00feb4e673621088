/* The JSON Schema of the site sheet (draft 2020-12), from the table. It never refuses what the reader takes; it knows
 * keys, kinds, units by their form, choices and counts, while references, ranges and what must agree are the reader's
 * affair. */
#include <string.h>

#include "site/table.h"
#include "formula/fitting.h"

/* Number and unit. Which units there are is left to the reader, which also takes spelled-out ones. */
#define NUMBER_PATTERN   "-?(0|[1-9][0-9]*)(\\.[0-9]+)?([eE][-+]?[0-9]+)?"
#define QUANTITY_PATTERN "^\\s*" NUMBER_PATTERN "\\s*(1/)?[A-Za-z%/\xC2\xB0].*$"
#define PLAIN_PATTERN    "^\\s*" NUMBER_PATTERN "\\s*$"
#define CLOCK_PATTERN    "^(([01]?[0-9]|2[0-3]):[0-5][0-9](:[0-5][0-9])?|24:00(:00)?)$"

static void put_units(pw_text *text, pw_dimension dimension)
{
    int32_t count = 0;
    const pw_unit *table = pw_unit_table(&count);
    bool any = false;
    for (int32_t i = 0; i < count; i++) {
        if (table[i].dimension == dimension ||
            (dimension == PW_DIM_TEMPERATURE_RISE && strcmp(table[i].name, "K") == 0)) {
            pw_text_puts(text, any ? ", " : " Units: ", table[i].name, NULL);
            any = true;
        }
    }
    pw_text_put(text, any ? "." : "");
}

static const char *dimension_id(pw_dimension dimension)
{
    static const char *const ids[PW_DIM_COUNT] = {
#define PW_X(name, id, si, words) id,
        PW_DIMENSION_LIST(PW_X)
#undef PW_X
    };
    return ids[dimension];
}

static void describe(pw_json_writer *writer, const pw_row *row)
{
    pw_text words;
    pw_text_init(&words, writer->text->arena);
    pw_text_put(&words, row->help);
    if (row->type == PW_ROW_QUANTITY) {
        put_units(&words, row->dimension);
        pw_units units = pw_units_metric();
        pw_text_put(&words, " From ");
        pw_quantity_put(&words, &units, row->dimension, row->low);
        pw_text_put(&words, " to ");
        pw_quantity_put(&words, &units, row->dimension, row->high);
        pw_text_put(&words, ".");
    }
    if (row->reason != NULL && row->reason[0] != '\0') {
        pw_text_put(&words, " Default: ");
        if (row->need == PW_DEFAULT && row->type == PW_ROW_QUANTITY) {
            pw_units units = pw_units_metric();
            pw_quantity_put(&words, &units, row->dimension, row->value);
            pw_text_put(&words, ", ");
        }
        pw_text_puts(&words, row->reason, ".", NULL);
    }
    pw_json_string(writer, "description", words.failed ? "" : words.data);
    if (row->type == PW_ROW_QUANTITY) { /* no keyword of JSON Schema: validators let it pass, forms go by it */
        pw_json_string(writer, "dimension", dimension_id(row->dimension));
    }
}

static void string_form(pw_json_writer *writer, const char *key, const char *pattern)
{
    pw_json_open(writer, key, '{');
    pw_json_string(writer, "type", "string");
    pw_json_string(writer, "pattern", pattern);
    pw_json_close(writer, '}');
}

static void put_quantity(pw_json_writer *writer, const pw_row *row)
{
    bool plain = row->dimension == PW_DIM_NONE || row->dimension == PW_DIM_FRACTION;
    pw_json_open(writer, "anyOf", '[');
    if (row->dimension != PW_DIM_NONE) {
        string_form(writer, NULL, QUANTITY_PATTERN);
    }
    if (plain) {
        string_form(writer, NULL, PLAIN_PATTERN);
        pw_json_open(writer, NULL, '{');
        pw_json_string(writer, "type", "number");
        pw_json_close(writer, '}');
    } else if (row->dimension != PW_DIM_TEMPERATURE && row->low <= 0) { /* 0 needs no unit */
        pw_json_open(writer, NULL, '{');
        pw_json_open(writer, "enum", '[');
        pw_json_int(writer, NULL, 0);
        pw_json_string(writer, NULL, "0");
        pw_json_close(writer, ']');
        pw_json_close(writer, '}');
    }
    pw_json_close(writer, ']');
}

static void put_type(pw_json_writer *writer, const char *type)
{
    pw_json_string(writer, "type", type);
}

/* "enum" of words, ending with NULL. */
static void put_words(pw_json_writer *writer, const char *const *words)
{
    pw_json_open(writer, "enum", '[');
    for (int32_t i = 0; words[i] != NULL; i++) {
        pw_json_string(writer, NULL, words[i]);
    }
    pw_json_close(writer, ']');
}

static void put_name_types(pw_json_writer *writer, int32_t size)
{
    pw_json_open(writer, "type", '[');
    pw_json_string(writer, NULL, "string");
    pw_json_string(writer, NULL, "number");
    pw_json_close(writer, ']');
    if (size > 0) {
        pw_json_int(writer, "maxLength", size - 1);
    }
}

static void put_number_list(pw_json_writer *writer, int32_t least, int32_t most)
{
    put_type(writer, "array");
    pw_json_int(writer, "minItems", least);
    if (most > 0) {
        pw_json_int(writer, "maxItems", most);
    }
    pw_json_open(writer, "items", '{');
    put_type(writer, "number");
    pw_json_int(writer, "minimum", 0);
    pw_json_close(writer, '}');
}

/* Fitting names can be spelled with other case, spaces and hyphens: the known spellings are offered, others not
 * refused. */
static void put_fittings(pw_json_writer *writer)
{
    put_type(writer, "object");
    pw_json_open(writer, "properties", '{');
    for (int32_t i = 0; i < pw_fitting_count(); i++) {
        pw_json_open(writer, pw_fitting_name(i), '{');
        put_type(writer, "integer");
        pw_json_int(writer, "minimum", 0);
        pw_json_close(writer, '}');
    }
    pw_json_close(writer, '}');
    pw_json_open(writer, "additionalProperties", '{');
    put_type(writer, "integer");
    pw_json_close(writer, '}');
}

static void put_windows(pw_json_writer *writer, const pw_row *row)
{
    put_type(writer, "array");
    pw_json_int(writer, "minItems", row->least);
    pw_json_int(writer, "maxItems", row->most);
    pw_json_open(writer, "items", '{');
    put_type(writer, "object");
    pw_json_open(writer, "properties", '{');
    string_form(writer, "from", CLOCK_PATTERN);
    string_form(writer, "to", CLOCK_PATTERN);
    pw_json_close(writer, '}');
    pw_json_open(writer, "required", '[');
    pw_json_string(writer, NULL, "from");
    pw_json_string(writer, NULL, "to");
    pw_json_close(writer, ']');
    pw_json_bool(writer, "additionalProperties", false);
    pw_json_close(writer, '}');
}

static void put_days(pw_json_writer *writer)
{
    put_type(writer, "array");
    pw_json_int(writer, "minItems", 1);
    pw_json_int(writer, "maxItems", 7);
    pw_json_open(writer, "items", '{');
    put_words(writer, pw_sheet_days);
    pw_json_close(writer, '}');
}

static void put_sentences(pw_json_writer *writer, const pw_row *row)
{
    put_type(writer, "array");
    pw_json_int(writer, "minItems", row->least);
    pw_json_int(writer, "maxItems", row->most);
    pw_json_open(writer, "items", '{');
    put_type(writer, "string");
    pw_json_int(writer, "minLength", 1);
    pw_json_close(writer, '}');
}

static void put_block(pw_json_writer *writer, const pw_block *block);

static void put_block_list(pw_json_writer *writer, const pw_row *row)
{
    put_type(writer, "array");
    pw_json_int(writer, "minItems", row->least);
    pw_json_int(writer, "maxItems", row->most);
    pw_json_open(writer, "items", '{');
    put_block(writer, row->block);
    pw_json_close(writer, '}');
}

/* Values that are one of a few. */
static void put_few(pw_json_writer *writer, const pw_row *row)
{
    static const char *const phases[] = {"1", "3", "DC", "dc", NULL};
    static const char *const yes_no[] = {"yes", "no", NULL};
    pw_json_open(writer, "enum", '[');
    if (row->type == PW_ROW_YES_NO) {
        pw_json_bool(writer, NULL, true);
        pw_json_bool(writer, NULL, false);
    } else if (row->type == PW_ROW_PHASES) {
        pw_json_int(writer, NULL, 1);
        pw_json_int(writer, NULL, 3);
    }
    const char *const *words = row->type == PW_ROW_YES_NO ? yes_no : row->type == PW_ROW_PHASES ? phases : row->words;
    for (int32_t i = 0; words[i] != NULL; i++) {
        pw_json_string(writer, NULL, words[i]);
    }
    pw_json_close(writer, ']');
}

/* The form of a value: what stands in the schema of one key beside its description. */
static void put_form(pw_json_writer *writer, const pw_row *row)
{
    switch (row->type) {
    case PW_ROW_QUANTITY: put_quantity(writer, row); break;
    case PW_ROW_CLOCK:
        put_type(writer, "string");
        pw_json_string(writer, "pattern", CLOCK_PATTERN);
        break;
    case PW_ROW_NAME: put_name_types(writer, PW_NAME_SIZE); break;
    case PW_ROW_TEXT: put_name_types(writer, PW_WORDS_SIZE); break;
    case PW_ROW_YES_NO:
    case PW_ROW_PHASES:
    case PW_ROW_CHOICE: put_few(writer, row); break;
    case PW_ROW_REFERENCE: put_name_types(writer, 0); break;
    case PW_ROW_GROUP: put_block(writer, row->block); break;
    case PW_ROW_LIST: put_block_list(writer, row); break;
    case PW_ROW_PIPE: put_type(writer, "string"); break;
    case PW_ROW_FITTINGS: put_fittings(writer); break;
    case PW_ROW_PATTERN: put_number_list(writer, 24, 24); break;
    case PW_ROW_DAYS: put_days(writer); break;
    case PW_ROW_WINDOWS: put_windows(writer, row); break;
    case PW_ROW_TIMES:
    case PW_ROW_FLOWS: put_number_list(writer, 2, 0); break;
    case PW_ROW_SENTENCES: put_sentences(writer, row); break;
    }
}

static void put_example(pw_json_writer *writer, const pw_row *row)
{
    bool text = row->type != PW_ROW_GROUP && row->type != PW_ROW_LIST && row->example != NULL &&
                row->example[0] != '[' && row->example[0] != '{';
    if (text) {
        pw_json_open(writer, "examples", '[');
        pw_json_string(writer, NULL, row->example);
        pw_json_close(writer, ']');
    }
}

static void put_key(pw_json_writer *writer, const pw_row *row)
{
    pw_json_open(writer, row->key, '{');
    describe(writer, row);
    put_form(writer, row);
    put_example(writer, row);
    pw_json_close(writer, '}');
}

/* A key that means different things for different kinds: its rows stand under the kinds, here only the name. */
static bool shared_key(const pw_block *block, int32_t index)
{
    for (int32_t i = 0; i < block->row_count; i++) {
        if (i != index && strcmp(block->rows[i].key, block->rows[index].key) == 0) {
            return true;
        }
    }
    return false;
}

static bool seen_before(const pw_block *block, int32_t index)
{
    for (int32_t i = 0; i < index; i++) {
        if (strcmp(block->rows[i].key, block->rows[index].key) == 0) {
            return true;
        }
    }
    return false;
}

static bool other_kind_only(const pw_block *block, int32_t index, int32_t kind)
{
    for (int32_t i = 0; i < block->row_count; i++) {
        if (strcmp(block->rows[i].key, block->rows[index].key) == 0 && pw_row_applies(&block->rows[i], kind)) {
            return false;
        }
    }
    return true;
}

/* if kind is this, then these keys are needed, those are not known, and shared ones have this form. */
static void put_kind(pw_json_writer *writer, const pw_block *block, int32_t kind)
{
    pw_json_open(writer, NULL, '{');
    pw_json_open(writer, "if", '{');
    pw_json_open(writer, "properties", '{');
    pw_json_open(writer, block->kind->key, '{');
    pw_json_string(writer, "const", block->kind->words[kind]);
    pw_json_close(writer, '}');
    pw_json_close(writer, '}');
    pw_json_open(writer, "required", '[');
    pw_json_string(writer, NULL, block->kind->key);
    pw_json_close(writer, ']');
    pw_json_close(writer, '}');
    pw_json_open(writer, "then", '{');
    pw_json_open(writer, "properties", '{');
    for (int32_t i = 0; i < block->row_count; i++) {
        const pw_row *row = &block->rows[i];
        if (pw_row_applies(row, kind) && shared_key(block, i)) {
            put_key(writer, row);
        } else if (!seen_before(block, i) && other_kind_only(block, i, kind)) {
            pw_json_bool(writer, row->key, false);
        }
    }
    pw_json_close(writer, '}');
    pw_json_open(writer, "required", '[');
    for (int32_t i = 0; i < block->row_count; i++) {
        if (block->rows[i].kinds != 0 && block->rows[i].need == PW_NEEDED && pw_row_applies(&block->rows[i], kind)) {
            pw_json_string(writer, NULL, block->rows[i].key);
        }
    }
    pw_json_close(writer, ']');
    pw_json_close(writer, '}');
    pw_json_close(writer, '}');
}

/* Recursion ends with the table: blocks nest three deep. */
static void put_block(pw_json_writer *writer, const pw_block *block)
{
    put_type(writer, "object");
    pw_json_open(writer, "properties", '{');
    for (int32_t i = 0; i < block->row_count; i++) {
        if (!shared_key(block, i)) {
            put_key(writer, &block->rows[i]);
        } else if (!seen_before(block, i)) {
            pw_json_bool(writer, block->rows[i].key, true);
        }
    }
    pw_json_close(writer, '}');
    pw_json_open(writer, "required", '[');
    for (int32_t i = 0; i < block->row_count; i++) {
        if (block->rows[i].kinds == 0 && block->rows[i].need == PW_NEEDED) {
            pw_json_string(writer, NULL, block->rows[i].key);
        }
    }
    pw_json_close(writer, ']');
    pw_json_bool(writer, "additionalProperties", false);
    if (block->kind != NULL) {
        pw_json_open(writer, "allOf", '[');
        for (int32_t kind = 0; block->kind->words[kind] != NULL; kind++) {
            put_kind(writer, block, kind);
        }
        pw_json_close(writer, ']');
    }
}

void pw_site_schema(pw_text *text)
{
    pw_json_writer writer;
    pw_json_writer_init(&writer, text, 2);
    pw_json_open(&writer, NULL, '{');
    pw_json_string(&writer, "$schema", "https://json-schema.org/draft/2020-12/schema");
    pw_json_string(&writer, "title", "Pumpwright site sheet");
    pw_json_string(&writer, "description",
                   "One small pumping system: sources, pumps, lines, storages, outlets, sensors and its order.");
    put_block(&writer, &pw_block_site);
    pw_json_close(&writer, '}');
    pw_text_put(text, "\n");
}
