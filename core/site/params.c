/* Numbers of a site by path: one walk over the rows that lists them, one that follows a path. Both end in the same
 * descriptions of a number. The sheet's JSON goes along, because it knows what was given. */
#include "site/params.h"

#include <string.h>

#include "formula/fitting.h"
#include "site/table.h"

/* Where a walk stands. `reader` carries the path and the problems. */
typedef struct walk {
    const pw_site *site;
    pw_sheet_reader reader;
    int32_t base; /* length of the base path, with its dot */
    pw_param *list;
    int32_t count; /* so far; list may be NULL to count only */
} walk;

static walk walk_begin(pw_arena *arena, const pw_site *site, const char *base_path, pw_problems *problems)
{
    walk w = {.site = site, .reader = {.arena = arena, .problems = problems}};
    pw_copy(w.reader.path, PW_PATH_SIZE, base_path == NULL ? "" : base_path);
    w.reader.path_length = (int32_t)strlen(w.reader.path);
    w.base = w.reader.path_length > 0 ? w.reader.path_length + 1 : 0;
    return w;
}

/* ---- one number ---- */

static pw_param begin_param(const walk *w, const pw_row *row, const void *number)
{
    pw_param param = {.dimension = row->dimension, .help = row->help, .reason = ""};
    pw_copy(param.path, PW_PATH_SIZE, w->reader.path + w->base);
    param.offset = (uint32_t)((const uint8_t *)number - (const uint8_t *)w->site);
    return param;
}

static pw_origin origin_of(const pw_site *site, const pw_row *row, const pw_json *json, const void *item, bool known)
{
    if (json != NULL) {
        return PW_ORIGIN_GIVEN;
    }
    if (known) {
        return PW_ORIGIN_PIPE;
    }
    const bool unused = (row->need == PW_DERIVED && row->derive(site, item) == PW_NOT_USED) ||
                        (row->surface && site->design.suction.stand != PW_STAND_SURFACE);
    const bool stands_in = row->need == PW_DEFAULT || row->need == PW_DERIVED;
    return stands_in && !unused ? PW_ORIGIN_DEFAULT : PW_ORIGIN_NONE;
}

/* Quantity, time of day, phases. */
static pw_param field_param(const walk *w, const pw_row *row, const pw_json *json, const void *item)
{
    const uint8_t *at = (const uint8_t *)item + row->offset;
    pw_param param = begin_param(w, row, at);
    const bool phases = row->type == PW_ROW_PHASES;
    const bool clock = row->type == PW_ROW_CLOCK;
    const bool known = !phases && ((const pw_field *)(const void *)at)->given;
    param.form = phases ? PW_PARAM_PHASES : clock ? PW_PARAM_CLOCK : PW_PARAM_QUANTITY;
    param.dimension = clock ? PW_DIM_TIME : phases ? PW_DIM_NONE : row->dimension;
    param.low = phases || clock ? 0 : row->low;
    param.high = phases ? 3 : clock ? PW_DAY_S : row->high;
    param.whole = phases || clock;
    param.origin = origin_of(w->site, row, json, item, known);
    param.reason = param.origin == PW_ORIGIN_DEFAULT ? row->reason : "";
    param.si = pw_param_get(w->site, &param);
    return param;
}

static pw_param hour_param(const walk *w, const pw_row *row, const pw_demand *demand, int32_t hour)
{
    pw_param param = begin_param(w, row, &demand->pattern[hour]);
    param.form = PW_PARAM_PATTERN;
    param.dimension = PW_DIM_NONE;
    param.high = PW_PATTERN_MOST;
    param.origin = PW_ORIGIN_GIVEN;
    param.si = demand->pattern[hour];
    return param;
}

static pw_param window_param(const walk *w, const pw_row *row, const pw_sensor *sensor, int32_t index, bool from)
{
    const int32_t *seconds = from ? &sensor->window_from_s[index] : &sensor->window_to_s[index];
    pw_param param = begin_param(w, row, seconds);
    param.form = PW_PARAM_WINDOW;
    param.dimension = PW_DIM_TIME;
    param.high = PW_DAY_S;
    param.whole = true;
    param.origin = PW_ORIGIN_GIVEN;
    param.si = *seconds;
    return param;
}

/* Which of the line's fittings it is: those with a count of 0 are not kept. */
static pw_param fitting_param(const walk *w, const pw_row *row, const pw_line *line, int32_t kind, bool given)
{
    int32_t index = 0;
    while (index < line->fitting_count && line->fittings[index].kind != kind) {
        index++;
    }
    const bool kept = index < line->fitting_count;
    pw_param param = begin_param(w, row, kept ? &line->fittings[index].count : NULL);
    param.form = PW_PARAM_COUNT;
    param.offset = kept ? param.offset : 0;
    param.dimension = PW_DIM_NONE;
    param.high = PW_FITTINGS_MOST;
    param.whole = true;
    param.origin = given ? PW_ORIGIN_GIVEN : PW_ORIGIN_NONE;
    param.si = kept ? line->fittings[index].count : 0;
    return param;
}

/* ---- all of them ---- */

static void add(walk *w, pw_param param)
{
    if (param.origin == PW_ORIGIN_NONE) {
        return;
    }
    if (w->list != NULL) {
        w->list[w->count] = param;
    }
    w->count++;
}

static void list_block(walk *w, const pw_block *block, const pw_json *json, const void *item);

static void list_fittings(walk *w, const pw_row *row, const pw_json *json, const pw_line *line)
{
    for (const pw_json *member = json == NULL ? NULL : json->first; member != NULL; member = member->next) {
        const int32_t mark = pw_path_key(&w->reader, member->key);
        add(w, fitting_param(w, row, line, pw_fitting_find(member->key), true));
        pw_path_back(&w->reader, mark);
    }
}

static void list_pattern(walk *w, const pw_row *row, const pw_demand *demand)
{
    for (int32_t hour = 0; demand->has_pattern && hour < 24; hour++) {
        const int32_t mark = pw_path_index(&w->reader, hour);
        add(w, hour_param(w, row, demand, hour));
        pw_path_back(&w->reader, mark);
    }
}

static void list_windows(walk *w, const pw_row *row, const pw_sensor *sensor)
{
    for (int32_t i = 0; i < sensor->window_count; i++) {
        for (int32_t end = 0; end < 2; end++) {
            const int32_t mark = pw_path_index(&w->reader, i);
            pw_path_key(&w->reader, end == 0 ? "from" : "to");
            add(w, window_param(w, row, sensor, i, end == 0));
            pw_path_back(&w->reader, mark);
        }
    }
}

static void list_items(walk *w, const pw_row *row, const pw_json *json, const void *item)
{
    const int32_t count = pw_int_at(item, row->count_offset);
    for (int32_t i = 0; i < count; i++) {
        const int32_t mark = pw_path_index(&w->reader, i);
        list_block(w, row->block, pw_json_at(json, i),
                   (const uint8_t *)item + row->offset + (size_t)i * row->item_size);
        pw_path_back(&w->reader, mark);
    }
}

static void list_block(walk *w, const pw_block *block, const pw_json *json, const void *item)
{
    const int32_t kind = pw_block_kind(block, item);
    for (int32_t i = 0; i < block->row_count; i++) {
        const pw_row *row = &block->rows[i];
        if (!pw_row_applies(row, kind)) {
            continue;
        }
        const pw_json *value = pw_json_get(json, row->key);
        const int32_t mark = pw_path_key(&w->reader, row->key);
        switch (row->type) {
        case PW_ROW_QUANTITY:
        case PW_ROW_CLOCK:
        case PW_ROW_PHASES: add(w, field_param(w, row, value, item)); break;
        case PW_ROW_FITTINGS: list_fittings(w, row, value, item); break;
        case PW_ROW_PATTERN: list_pattern(w, row, item); break;
        case PW_ROW_WINDOWS: list_windows(w, row, item); break;
        case PW_ROW_LIST: list_items(w, row, value, item); break;
        case PW_ROW_GROUP:
            if (row->block != &pw_block_trace_file && (value != NULL || row->need != PW_MAY)) {
                list_block(w, row->block, value, (const uint8_t *)item + row->offset);
            }
            break;
        default: break; /* no numbers */
        }
        pw_path_back(&w->reader, mark);
    }
}

pw_status pw_params_list(pw_arena *arena, const pw_site *site, pw_param **out, int32_t *out_count)
{
    walk w = walk_begin(arena, site, "", NULL);
    list_block(&w, &pw_block_site, site->sheet, site);
    *out_count = w.count;
    *out = PW_NEW(arena, w.count, pw_param);
    if (*out == NULL) {
        return PW_MEMORY;
    }
    w.list = *out;
    w.count = 0;
    list_block(&w, &pw_block_site, site->sheet, site);
    return PW_OK;
}

/* ---- one of them, by path ---- */

static bool at_end_of_key(const char *text)
{
    return *text == '.' || *text == '[' || *text == '\0';
}

/* The key at the start of the text: the longest that fits, since some keys are the beginning of others. */
static const pw_row *row_at(const pw_block *block, int32_t kind, const char *text)
{
    const pw_row *found = NULL;
    for (int32_t i = 0; i < block->row_count; i++) {
        const pw_row *row = &block->rows[i];
        const size_t length = strlen(row->key);
        const bool fits = strncmp(row->key, text, length) == 0 && at_end_of_key(text + length);
        if (fits && pw_row_applies(row, kind) && (found == NULL || length > strlen(found->key))) {
            found = row;
        }
    }
    return found;
}

static pw_status no_such_key(walk *w, const pw_block *block, int32_t kind, const char *text)
{
    char key[PW_WORDS_SIZE];
    size_t length = 0;
    while (!at_end_of_key(text + length) && length < sizeof key - 1) {
        length++;
    }
    memcpy(key, text, length);
    key[length] = '\0';
    const pw_json member = {.key = key};
    pw_sheet_unknown_key(&w->reader, block, &member, kind);
    return PW_UNKNOWN_KEY;
}

static pw_status wrong_path(walk *w, pw_fact found, pw_fact expected)
{
    pw_sheet_error(&w->reader, PW_REFERENCE, found, expected, pw_no_fact());
    return PW_REFERENCE;
}

/* The rest of a path, or its end. */
static pw_fact rest_of(const char *text)
{
    return text[0] == '\0' ? pw_fact_of("sheet.end-of-path") : pw_verbatim(text);
}

/* What an item of a list is called: its own name, or that of the first thing that it refers to. */
static const char *item_name(const pw_site *site, const pw_block *block, const void *item)
{
    const pw_row *reference = NULL;
    for (int32_t i = 0; i < block->row_count; i++) {
        const pw_row *row = &block->rows[i];
        if (row->type == PW_ROW_NAME) {
            return (const char *)item + row->offset;
        }
        reference = reference == NULL && row->type == PW_ROW_REFERENCE ? row : reference;
    }
    const char *names[PW_MAX_LINES];
    const int32_t index = reference == NULL ? -1 : pw_int_at(item, reference->offset);
    return index >= 0 && index < pw_sheet_target_names(site, reference->target, names) ? names[index] : "";
}

/* "[3]" or "[a name]" at the start of the text, as long as `used`: which item; -1 none, -2 more than one. */
static int32_t item_at(const pw_site *site, const pw_block *block, const uint8_t *items, size_t size, int32_t count,
                       const char *text, size_t *used)
{
    size_t digits = 1;
    int32_t index = 0;
    while (text[digits] >= '0' && text[digits] <= '9' && index < 100000) {
        index = index * 10 + (text[digits] - '0');
        digits++;
    }
    if (digits > 1 && text[digits] == ']') {
        *used = digits + 1;
        return index < count ? index : -1;
    }
    int32_t found = -1;
    for (int32_t i = 0; i < count; i++) {
        const char *name = block == NULL ? "" : item_name(site, block, items + (size_t)i * size);
        const size_t length = strlen(name);
        if (length > 0 && strncmp(text + 1, name, length) == 0 && text[1 + length] == ']') {
            found = found == -1 ? i : -2;
            *used = length + 2;
        }
    }
    return found;
}

/* The item that stands in brackets at *text, which goes on behind them; -1 after a problem. */
static int32_t take_item(walk *w, const pw_block *block, const void *items, size_t size, int32_t count,
                         const char **text)
{
    size_t used = 0;
    const bool bracket = (*text)[0] == '[';
    const int32_t index = bracket ? item_at(w->site, block, items, size, count, *text, &used) : -1;
    if (index >= 0) {
        *text += used;
        return index;
    }
    pw_choices names = {{0}, 0, 0};
    for (int32_t i = 0; i < count && block != NULL; i++) {
        pw_choices_add(&names, item_name(w->site, block, (const uint8_t *)items + (size_t)i * size));
    }
    if (index == -2) {
        wrong_path(w, pw_fact_of("sheet.more-than-one", pw_named(*text)), pw_fact_of("sheet.its-number"));
    } else {
        wrong_path(w, rest_of(*text),
                   count > 0 ? pw_fact_of("sheet.item-number", pw_count(count - 1), pw_named(names.names),
                                          pw_count(names.more))
                             : pw_fact_of("sheet.empty-list"));
    }
    return -1;
}

/* Takes the dot before a further key. */
static bool take_dot(walk *w, const char **text)
{
    if ((*text)[0] == '.') {
        *text += 1;
        return true;
    }
    (void)wrong_path(w, rest_of(*text), pw_fact_of("sheet.dot-and-key"));
    return false;
}

static pw_status find_in_block(walk *w, const pw_block *block, const pw_json *json, const void *item, const char *text,
                               pw_param *out);

static pw_status find_fitting(walk *w, const pw_row *row, const pw_json *json, const pw_line *line, const char *text,
                              pw_param *out)
{
    if (!take_dot(w, &text)) {
        return PW_REFERENCE;
    }
    const int32_t kind = pw_fitting_find(text);
    if (kind < 0) {
        return pw_sheet_unknown_fitting(&w->reader, text);
    }
    const char *key = pw_fitting_name(kind);
    bool given = false;
    for (const pw_json *member = json == NULL ? NULL : json->first; member != NULL; member = member->next) {
        const bool same = pw_fitting_find(member->key) == kind; /* in the sheet's own spelling */
        key = same ? member->key : key;
        given = given || same;
    }
    pw_path_key(&w->reader, key);
    *out = fitting_param(w, row, line, kind, given);
    return PW_OK;
}

static pw_status find_hour(walk *w, const pw_row *row, const pw_demand *demand, const char *text, pw_param *out)
{
    if (!demand->has_pattern) {
        return wrong_path(w, pw_fact_of("sheet.no-pattern"), pw_fact_of("sheet.pattern-to-change"));
    }
    const int32_t hour = take_item(w, NULL, NULL, 0, 24, &text);
    if (hour < 0 || text[0] != '\0') {
        return hour < 0 ? PW_REFERENCE : wrong_path(w, rest_of(text), pw_fact_of("sheet.end-of-path"));
    }
    pw_path_index(&w->reader, hour);
    *out = hour_param(w, row, demand, hour);
    return PW_OK;
}

static pw_status find_window(walk *w, const pw_row *row, const pw_sensor *sensor, const char *text, pw_param *out)
{
    const int32_t index = take_item(w, NULL, NULL, 0, sensor->window_count, &text);
    if (index < 0) {
        return PW_REFERENCE;
    }
    pw_path_index(&w->reader, index);
    const bool from = strcmp(text, ".from") == 0;
    if (!from && strcmp(text, ".to") != 0) {
        return wrong_path(w, rest_of(text), pw_fact_of("sheet.from-or-to"));
    }
    pw_path_key(&w->reader, text + 1);
    *out = window_param(w, row, sensor, index, from);
    return PW_OK;
}

static pw_status find_in_list(walk *w, const pw_row *row, const pw_json *json, const void *item, const char *text,
                              pw_param *out)
{
    const uint8_t *items = (const uint8_t *)item + row->offset;
    const int32_t count = pw_int_at(item, row->count_offset);
    const int32_t index = take_item(w, row->block, items, row->item_size, count, &text);
    if (index < 0) {
        return PW_REFERENCE;
    }
    pw_path_index(&w->reader, index);
    return take_dot(w, &text) ? find_in_block(w, row->block, pw_json_at(json, index),
                                              items + (size_t)index * row->item_size, text, out)
                              : PW_REFERENCE;
}

static pw_status find_in_block(walk *w, const pw_block *block, const pw_json *json, const void *item, const char *text,
                               pw_param *out)
{
    const int32_t kind = pw_block_kind(block, item);
    const pw_row *row = row_at(block, kind, text);
    if (row == NULL) {
        return no_such_key(w, block, kind, text);
    }
    text += strlen(row->key);
    const pw_json *value = pw_json_get(json, row->key);
    pw_path_key(&w->reader, row->key);
    switch (row->type) {
    case PW_ROW_QUANTITY:
    case PW_ROW_CLOCK:
    case PW_ROW_PHASES:
        if (text[0] != '\0') {
            return wrong_path(w, rest_of(text), pw_fact_of("sheet.end-of-path"));
        }
        *out = field_param(w, row, value, item);
        return PW_OK;
    case PW_ROW_FITTINGS: return find_fitting(w, row, value, item, text, out);
    case PW_ROW_PATTERN: return find_hour(w, row, item, text, out);
    case PW_ROW_WINDOWS: return find_window(w, row, item, text, out);
    case PW_ROW_LIST: return find_in_list(w, row, value, item, text, out);
    case PW_ROW_GROUP:
        return row->block == &pw_block_trace_file
                   ? wrong_path(w, pw_verbatim(row->key), pw_fact_of("sheet.scale-of-trace"))
               : take_dot(w, &text)
                   ? find_in_block(w, row->block, value, (const uint8_t *)item + row->offset, text, out)
                   : PW_REFERENCE;
    default: return wrong_path(w, pw_verbatim(row->key), pw_fact_of("sheet.no-number"));
    }
}

pw_status pw_param_find(pw_arena *arena, const pw_site *site, const char *path, const char *base_path, pw_param *out,
                        pw_problems *problems)
{
    walk w = walk_begin(arena, site, base_path, problems);
    memset(out, 0, sizeof *out);
    return find_in_block(&w, &pw_block_site, site->sheet, site, path, out);
}

/* ---- read and put ---- */

double pw_param_get(const pw_site *site, const pw_param *param)
{
    const uint8_t *at = (const uint8_t *)site + param->offset;
    switch (param->form) {
    case PW_PARAM_QUANTITY:
    case PW_PARAM_CLOCK: return ((const pw_field *)(const void *)at)->v;
    case PW_PARAM_PATTERN: return *(const double *)(const void *)at;
    default: return param->offset == 0 ? 0 : pw_int_at(site, param->offset); /* 0: a fitting that is not there */
    }
}

double pw_param_put(pw_site *site, const pw_param *param, double si)
{
    uint8_t *at = (uint8_t *)site + param->offset;
    si = pw_clamp(si, param->low, param->high);
    switch (param->form) {
    case PW_PARAM_QUANTITY:
    case PW_PARAM_CLOCK: ((pw_field *)(void *)at)->v = si; break;
    case PW_PARAM_PATTERN: *(double *)(void *)at = si; break;
    default:
        if (param->offset != 0) {
            si = pw_floor(si + 0.5);
            pw_int_set(site, param->offset, (int32_t)si);
        }
        break;
    }
    return si;
}
