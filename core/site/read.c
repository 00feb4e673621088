/* The reader of the site sheet: JSON to pw_site, by the table.
 *
 * Three passes, each over the whole sheet, so that all problems come out at once:
 *   read   what stands there: kinds of value, units, ranges, names, references, unknown and missing keys
 *   fill   what does not stand there: defaults, each recorded with its reason (fill.c)
 *   check  what must agree between keys (check.c)
 */
#include <assert.h>
#include <string.h>

#include "site/table.h"

_Static_assert(sizeof(pw_source_kind) == sizeof(int32_t), "kinds are stored as int32_t");
_Static_assert(sizeof(pw_demand_kind) == sizeof(int32_t), "kinds are stored as int32_t");

static void wrong_kind(pw_sheet_reader *reader, const pw_row *row, const pw_json *json, pw_fact expected)
{
    pw_fact hint = pw_no_fact();
    if (json->kind == PW_JSON_BOOL &&
        (row->type == PW_ROW_NAME || row->type == PW_ROW_TEXT || row->type == PW_ROW_REFERENCE)) {
        hint = pw_fact_of("sheet.quote-word", pw_named(json->truth ? "yes" : "no"));
    } else if (row->example != NULL) {
        hint = pw_fact_of("input.for-instance", pw_named(row->example));
    }
    pw_sheet_error(reader, PW_TYPE, pw_sheet_found(json), expected, hint);
}

static void check_range(pw_sheet_reader *reader, const pw_row *row, const pw_json *json, pw_field *field)
{
    if (field->v >= row->low && field->v <= row->high) {
        return;
    }
    pw_sheet_error(
        reader, PW_RANGE, pw_verbatim(json->string),
        pw_fact_of("sheet.from-to", pw_quantity(row->dimension, row->low), pw_quantity(row->dimension, row->high)),
        pw_no_fact());
    field->v = PW_UNKNOWN;
    field->given = false;
}

static void read_quantity(pw_sheet_reader *reader, const pw_row *row, const pw_json *json, pw_field *field)
{
    field->v = PW_UNKNOWN;
    field->given = false;
    if (json->kind != PW_JSON_STRING && json->kind != PW_JSON_NUMBER) {
        const bool plain = row->dimension == PW_DIM_NONE || row->dimension == PW_DIM_FRACTION;
        wrong_kind(reader, row, json,
                   pw_fact_of(plain ? "sheet.plain-quantity" : "sheet.quantity-as-text",
                              pw_word(pw_dimension_message(row->dimension))));
        return;
    }
    double si = 0;
    pw_status status = pw_quantity_read(json->string, row->dimension, &si, reader->problems, reader->path);
    if (status != PW_OK) {
        pw_sheet_count_error(reader, status);
        return;
    }
    field->v = si;
    field->given = true;
    check_range(reader, row, json, field);
}

static void read_words(pw_sheet_reader *reader, const pw_row *row, const pw_json *json, char *out, int32_t size)
{
    if (json->kind != PW_JSON_STRING && json->kind != PW_JSON_NUMBER) {
        wrong_kind(reader, row, json, row->type == PW_ROW_NAME ? pw_fact_of("sheet.name") : pw_fact_of("sheet.text"));
        return;
    }
    if (json->length >= (size_t)size) {
        pw_sheet_error(reader, PW_LIMIT, pw_verbatim(json->string),
                       pw_fact_of("sheet.at-most-bytes", pw_count(size - 1)), pw_fact_of("sheet.shorten"));
        return;
    }
    bool blank = true;
    for (size_t i = 0; i < json->length; i++) {
        unsigned char byte = (unsigned char)json->string[i];
        unsigned char next = (unsigned char)json->string[i + 1]; /* a NUL stands behind the text */
        if (byte < 0x20 || byte == 0x7f || (byte == 0xc2 && next >= 0x80 && next < 0xa0)) {
            pw_sheet_error(reader, PW_SYNTAX, pw_verbatim(json->string), pw_fact_of("sheet.one-line"), pw_no_fact());
            return;
        }
        blank = blank && byte == ' ';
    }
    bool edge = !blank && (json->string[0] == ' ' || json->string[json->length - 1] == ' ');
    if (row->type == PW_ROW_NAME && (blank || edge)) {
        pw_sheet_error(reader, PW_RANGE, pw_verbatim(json->string), pw_fact_of("sheet.name-no-space"), pw_no_fact());
        return;
    }
    pw_copy(out, size, json->string);
}

static void read_yes_no(pw_sheet_reader *reader, const pw_row *row, const pw_json *json, bool *out)
{
    if (json->kind == PW_JSON_BOOL) {
        *out = json->truth;
        return;
    }
    bool word = json->kind == PW_JSON_STRING && (strcmp(json->string, "yes") == 0 || strcmp(json->string, "no") == 0);
    if (!word) {
        wrong_kind(reader, row, json, pw_fact_of("sheet.yes-or-no"));
        return;
    }
    *out = json->string[0] == 'y';
}

static void read_phases(pw_sheet_reader *reader, const pw_row *row, const pw_json *json, void *item)
{
    bool text = json->kind == PW_JSON_STRING || json->kind == PW_JSON_NUMBER;
    const char *word = text ? json->string : "";
    int32_t phases = -1;
    if (strcmp(word, "1") == 0 || strcmp(word, "3") == 0) {
        phases = word[0] - '0';
    } else if (strcmp(word, "DC") == 0 || strcmp(word, "dc") == 0) {
        phases = 0;
    } else {
        pw_sheet_error(reader, text ? PW_RANGE : PW_TYPE, pw_sheet_found(json), pw_fact_of("sheet.phases"),
                       pw_no_fact());
    }
    pw_int_set(item, row->offset, phases);
}

static void read_choice(pw_sheet_reader *reader, const pw_row *row, const pw_json *json, void *item)
{
    int32_t count = 0;
    pw_choices choices = {{0}, 0, 0};
    bool text = json->kind == PW_JSON_STRING;
    for (; row->words[count] != NULL; count++) {
        if (text && strcmp(json->string, row->words[count]) == 0) {
            pw_int_set(item, row->offset, count);
            return;
        }
        pw_choices_add(&choices, row->words[count]);
    }
    pw_sheet_error(reader, text ? PW_RANGE : PW_TYPE, pw_sheet_found(json), pw_choices_fact(&choices),
                   text ? pw_near_fact(json->string, row->words, count) : pw_no_fact());
    pw_int_set(item, row->offset, -1);
}

int32_t pw_sheet_target_names(const pw_site *site, pw_target target, const char *names[PW_MAX_LINES])
{
    int32_t count = 0;
    switch (target) {
    case PW_TO_PLACES:
        for (; count < site->place_count; count++) {
            names[count] = site->places[count].name;
        }
        break;
    case PW_TO_LINES:
        for (; count < site->line_count; count++) {
            names[count] = site->lines[count].name;
        }
        break;
    case PW_TO_PUMPS:
        for (; count < site->pump_count; count++) {
            names[count] = site->pumps[count].name;
        }
        break;
    case PW_TO_FILTERS:
        for (; count < site->filter_count; count++) {
            names[count] = site->filters[count].name;
        }
        break;
    default:
        for (; count < site->outlet_count; count++) {
            names[count] = site->outlets[count].name;
        }
        break;
    }
    return count;
}

static void read_reference(pw_sheet_reader *reader, const pw_row *row, const pw_json *json, void *item)
{
    static const char *const lists[PW_TARGET_COUNT] = {"places", "lines", "pumps", "outlets", "filters"};
    if (json->kind != PW_JSON_STRING && json->kind != PW_JSON_NUMBER) {
        reader->dangling = true;
        wrong_kind(reader, row, json, pw_fact_of("sheet.name"));
        return;
    }
    const char *names[PW_MAX_LINES];
    int32_t count = pw_sheet_target_names(reader->site, row->target, names);
    pw_choices choices = {{0}, 0, 0};
    bool nameless = false; /* one whose own name could not be read may be the one that is meant */
    for (int32_t i = 0; i < count; i++) {
        if (strcmp(names[i], json->string) == 0) {
            pw_int_set(item, row->offset, i);
            return;
        }
        nameless = nameless || names[i][0] == '\0';
        pw_choices_add(&choices, names[i]);
    }
    reader->dangling = true;
    if (nameless || reader->broken[row->target]) {
        return;
    }
    pw_sheet_error(reader, PW_REFERENCE, pw_verbatim(json->string),
                   count > 0 ? pw_fact_of("sheet.name-from", pw_named(lists[row->target]), pw_named(choices.names),
                                          pw_count(choices.more))
                             : pw_fact_of("sheet.name-from-empty", pw_named(lists[row->target])),
                   pw_near_fact(json->string, names, count));
}

static bool mark_broken(pw_sheet_reader *reader, const pw_row *row)
{
    const pw_block *lists[PW_TARGET_COUNT] = {&pw_block_place, &pw_block_line, &pw_block_pump, &pw_block_outlet,
                                              &pw_block_filter};
    for (int32_t i = 0; i < PW_TARGET_COUNT; i++) {
        if (row->block == lists[i]) {
            reader->broken[i] = true;
        }
    }
    return false;
}

static bool list_is_sound(pw_sheet_reader *reader, const pw_row *row, const pw_json *json)
{
    if (json->kind != PW_JSON_ARRAY) {
        pw_sheet_error(reader, PW_TYPE, pw_sheet_found(json), pw_fact_of("sheet.list"), pw_fact_of("sheet.dash-items"));
        return mark_broken(reader, row);
    }
    if (json->count > row->most) {
        pw_sheet_error(reader, PW_LIMIT, pw_fact_of("sheet.value", pw_count(json->count)),
                       pw_fact_of("sheet.at-most-of-them", pw_count(row->most)), pw_no_fact());
        return mark_broken(reader, row);
    }
    if (json->count < row->least) {
        pw_sheet_error(reader, PW_MISSING, pw_fact_of("sheet.value", pw_count(json->count)),
                       pw_fact_of("sheet.at-least", pw_count(row->least)), pw_no_fact());
        (void)mark_broken(reader, row); /* what is there is read all the same: all problems come at once */
    }
    return true;
}

static void read_list(pw_sheet_reader *reader, const pw_row *row, const pw_json *json, void *item)
{
    if (!list_is_sound(reader, row, json)) {
        return;
    }
    uint8_t *array = (uint8_t *)item + row->offset;
    int32_t index = 0;
    for (const pw_json *entry = json->first; entry != NULL; entry = entry->next) {
        int32_t mark = pw_path_index(reader, index);
        pw_sheet_read_block(reader, row->block, entry, array + (size_t)index * row->item_size);
        index++;
        pw_int_set(item, row->count_offset, index);
        pw_path_back(reader, mark);
    }
}

static void read_row(pw_sheet_reader *reader, const pw_row *row, const pw_json *json, void *item)
{
    uint8_t *at = (uint8_t *)item + row->offset;
    pw_field passive[PW_WORDS_SIZE / sizeof(pw_field) + 1]; /* the trace's file is only looked at */
    double clock = 0;
    switch (row->type) {
    case PW_ROW_QUANTITY: read_quantity(reader, row, json, (pw_field *)(void *)at); break;
    case PW_ROW_CLOCK:
        pw_sheet_read_clock(reader, json, &clock);
        *(pw_field *)(void *)at = (pw_field){.v = clock, .given = clock != PW_UNKNOWN};
        break;
    case PW_ROW_NAME: read_words(reader, row, json, (char *)at, PW_NAME_SIZE); break;
    case PW_ROW_TEXT: read_words(reader, row, json, (char *)at, PW_WORDS_SIZE); break;
    case PW_ROW_YES_NO: read_yes_no(reader, row, json, (bool *)(void *)at); break;
    case PW_ROW_PHASES: read_phases(reader, row, json, item); break;
    case PW_ROW_CHOICE: read_choice(reader, row, json, item); break;
    case PW_ROW_REFERENCE: read_reference(reader, row, json, item); break;
    case PW_ROW_GROUP:
        pw_sheet_read_block(reader, row->block, json,
                            row->block == &pw_block_trace_file ? (void *)passive : (void *)at);
        break;
    case PW_ROW_LIST: read_list(reader, row, json, item); break;
    default: pw_sheet_read_special(reader, row, json, item); break;
    }
}

/* A key as it stands in a block, or its list: `filter` for `filters`. */
static const pw_row *row_of_key(const pw_block *block, const char *key)
{
    const size_t length = strlen(key);
    for (int32_t i = 0; i < block->row_count; i++) {
        const char *known = block->rows[i].key;
        if (strncmp(known, key, length) == 0 && (known[length] == '\0' || strcmp(known + length, "s") == 0)) {
            return &block->rows[i];
        }
    }
    return NULL;
}

/* Where a key that is unknown here has its place: at the top of the sheet, under `design`, or beside this block. */
static pw_fact belongs_elsewhere(const pw_block *block, const char *key)
{
    const pw_row *top = block != &pw_block_site ? row_of_key(&pw_block_site, key) : NULL;
    if (top != NULL) {
        return pw_fact_of("sheet.key-at-top", pw_named(top->key));
    }
    static const pw_block *const others[] = {&pw_block_design, &pw_block_supply, &pw_block_limits, &pw_block_pump,
                                             &pw_block_motor,  &pw_block_line,   &pw_block_lift};
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        const pw_row *row = others[i] != block ? row_of_key(others[i], key) : NULL;
        if (row != NULL) {
            return pw_fact_of("sheet.key-belongs", pw_named(row->key), pw_named(others[i]->id));
        }
    }
    return pw_no_fact();
}

void pw_sheet_unknown_key(pw_sheet_reader *reader, const pw_block *block, const pw_json *member, int32_t kind)
{
    const char *keys[64] = {NULL};
    int32_t count = 0;
    const pw_row *other = NULL;
    pw_choices choices = {{0}, 0, 0};
    for (int32_t i = 0; i < block->row_count; i++) {
        const pw_row *row = &block->rows[i];
        if (pw_row_applies(row, kind)) {
            pw_choices_add(&choices, row->key);
            keys[count++] = row->key;
        } else if (strcmp(row->key, member->key) == 0) {
            other = row;
        }
    }
    pw_fact hint = pw_near_fact(member->key, keys, count);
    if (other != NULL && kind >= 0) {
        hint = pw_fact_of("sheet.kind-has-no-key", pw_named(block->kind->words[kind]));
    } else if (hint.id == NULL) {
        hint = belongs_elsewhere(block, member->key);
    }
    int32_t mark = pw_path_key(reader, member->key);
    pw_sheet_error(reader, PW_UNKNOWN_KEY, pw_verbatim(member->key), pw_choices_fact(&choices), hint);
    pw_path_back(reader, mark);
}

static bool key_known(const pw_block *block, const char *key, int32_t kind)
{
    for (int32_t i = 0; i < block->row_count; i++) {
        const pw_row *row = &block->rows[i];
        bool applies = kind < 0 || pw_row_applies(row, kind);
        if (applies && (strcmp(row->key, key) == 0 || (row->was != NULL && strcmp(row->was, key) == 0))) {
            return true;
        }
    }
    return false;
}

/* What was given for a row, under its key or under the older name of it, which is told; both at once is a slip. */
static const pw_json *value_of(pw_sheet_reader *reader, const pw_row *row, const pw_json *json)
{
    const pw_json *value = pw_json_get(json, row->key);
    const pw_json *old = row->was != NULL ? pw_json_get(json, row->was) : NULL;
    if (old == NULL) {
        return value;
    }
    const pw_fact hint = pw_fact_of("input.older-name", pw_named(row->was), pw_named(row->key));
    if (value != NULL) {
        pw_sheet_error_at(reader, row->was, PW_DUPLICATE, pw_verbatim(row->was), pw_verbatim(row->key), hint);
        return value;
    }
    pw_sheet_warning_at(reader, row->was, pw_verbatim(row->was), pw_verbatim(row->key), hint);
    return old;
}

/* The kind decides which keys there are, so it is read before the others. */
static int32_t read_kind(pw_sheet_reader *reader, const pw_block *block, const pw_json *json, void *item)
{
    const pw_row *row = block->kind;
    if (row == NULL) {
        return 0;
    }
    const pw_json *value = pw_json_get(json, row->key);
    if (value != NULL) {
        int32_t mark = pw_path_key(reader, row->key);
        read_choice(reader, row, value, item);
        pw_path_back(reader, mark);
    } else if (row->need == PW_NEEDED) {
        pw_int_set(item, row->offset, -1);
    } else {
        pw_int_set(item, row->offset, block->kind_of(json));
    }
    return pw_block_kind(block, item);
}

static void missing_key(pw_sheet_reader *reader, const pw_row *row)
{
    int32_t mark = pw_path_key(reader, row->key);
    pw_sheet_error(reader, PW_MISSING, pw_fact_of("sheet.nothing"), pw_sheet_key_fact(row), pw_sheet_example_fact(row));
    pw_path_back(reader, mark);
}

/* A number that is needed and not there is not known; those of other kinds stay 0. */
static void missing_value(const pw_row *row, void *item)
{
    if (row->type == PW_ROW_QUANTITY || row->type == PW_ROW_CLOCK) {
        ((pw_field *)(void *)((uint8_t *)item + row->offset))->v = PW_UNKNOWN;
    }
}

/* Nothing is known yet: what stays so is either filled later or was reported. */
static void preset(const pw_block *block, void *item)
{
    for (int32_t i = 0; i < block->row_count; i++) {
        const pw_row *row = &block->rows[i];
        if (row->need == PW_NEEDED && row->kinds == 0) {
            missing_value(row, item);
        }
        if (row->type == PW_ROW_REFERENCE || row->type == PW_ROW_PHASES || row == block->kind) {
            pw_int_set(item, row->offset, -1);
        } else if (row->type == PW_ROW_GROUP && row->need != PW_MAY) {
            preset(row->block, (uint8_t *)item + row->offset); /* two deep at most: pump, motor */
        }
    }
}

void pw_sheet_read_block(pw_sheet_reader *reader, const pw_block *block, const pw_json *json, void *item)
{
    preset(block, item);
    if (json->kind != PW_JSON_OBJECT) {
        const bool file = block == &pw_block_trace_file && json->kind == PW_JSON_STRING;
        pw_sheet_error(
            reader, PW_TYPE, pw_sheet_found(json), pw_fact_of("sheet.keys-with-values"),
            file ? pw_fact_of("input.for-instance", pw_named("{file: flow.csv, time: time, flow: flow, unit: L/min}"))
                 : pw_fact_of("sheet.block-help", pw_row_text(block->help)));
        reader->dangling = true;
        return;
    }
    for (const pw_json *member = json->first; member != NULL; member = member->next) {
        if (member->key[0] == '\0') {
            pw_sheet_error(reader, PW_UNKNOWN_KEY, pw_fact_of("sheet.empty-key"), pw_fact_of("sheet.a-key"),
                           pw_no_fact());
        }
    }
    int32_t kind = read_kind(reader, block, json, item);
    for (int32_t i = 0; i < block->row_count; i++) {
        const pw_row *row = &block->rows[i];
        const pw_json *value = row->was == NULL ? pw_json_get(json, row->key) : value_of(reader, row, json);
        if (!pw_row_applies(row, kind)) {
            continue;
        }
        if (value == NULL && row->need == PW_NEEDED) {
            missing_value(row, item);
            missing_key(reader, row);
            mark_broken(reader, row);
            reader->dangling = reader->dangling || row->type == PW_ROW_REFERENCE;
        } else if (value != NULL && row != block->kind) {
            int32_t mark = pw_path_key(reader, row->key);
            read_row(reader, row, value, item);
            pw_path_back(reader, mark);
        }
    }
    for (const pw_json *member = json->first; member != NULL; member = member->next) {
        if (member->key[0] != '\0' && !key_known(block, member->key, kind)) {
            pw_sheet_unknown_key(reader, block, member, kind);
        }
    }
    pw_sheet_check_item(reader, block, json, item);
}

pw_status pw_site_read(pw_arena *arena, const pw_json *json, const char *base_path, pw_site **out,
                       pw_problems *problems)
{
    pw_site *part;
    return pw_site_read_part(arena, json, base_path, out, &part, problems);
}

pw_status pw_site_read_part(pw_arena *arena, const pw_json *json, const char *base_path, pw_site **out, pw_site **part,
                            pw_problems *problems)
{
    *out = NULL;
    *part = NULL;
    if (json == NULL) {
        return pw_problem_tell(problems, PW_MISSING, base_path, pw_fact_of("sheet.nothing"),
                               pw_fact_of("sheet.a-sheet"), pw_no_fact());
    }
    pw_sheet_reader reader = {.arena = arena, .problems = problems};
    reader.site = PW_NEW(arena, 1, pw_site);
    if (reader.site == NULL) {
        return pw_problem_add(problems, PW_MEMORY, base_path, NULL, NULL, NULL);
    }
    reader.site->sheet = json;
    pw_copy(reader.path, PW_PATH_SIZE, base_path == NULL ? "" : base_path);
    reader.path_length = (int32_t)strlen(reader.path);
    pw_sheet_read_block(&reader, &pw_block_site, json, reader.site);
    if (!reader.no_memory && json->kind == PW_JSON_OBJECT) {
        pw_sheet_fill(&reader, json);
        pw_sheet_check(&reader, json);
    }
    if (reader.no_memory) {
        return pw_problem_add(problems, PW_MEMORY, base_path, NULL, NULL, NULL);
    }
    *part = reader.site;
    if (reader.errors > 0) {
        return reader.first;
    }
    *out = reader.site;
    return PW_OK;
}
