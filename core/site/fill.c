/* Second pass over a site sheet: what was not given. Each number that stands in is recorded with its reason (invariant
 * S6). */
#include <string.h>

#include "site/table.h"

static void record(pw_sheet_reader *reader, const pw_row *row, double si)
{
    pw_site *site = reader->site;
    if (row->surface && site->design.suction.stand != PW_STAND_SURFACE) {
        return; /* a pump in the water has no suction pipe */
    }
    int32_t *count = reader->in_design ? &site->design_default_count : &site->default_count;
    pw_default *list = reader->in_design ? site->design_defaults : site->defaults;
    if (*count >= (reader->in_design ? PW_MAX_DESIGN_DEFAULTS : PW_MAX_DEFAULTS)) {
        pw_sheet_error(reader, PW_LIMIT, pw_fact_of("sheet.too-many-defaults"), pw_fact_of("sheet.state-more"),
                       pw_no_fact());
        return;
    }
    pw_default *entry = &list[*count];
    pw_copy(entry->path, PW_PATH_SIZE, reader->path);
    entry->si = si;
    entry->truth = row->type == PW_ROW_YES_NO;
    entry->clock = row->type == PW_ROW_CLOCK;
    entry->dimension = row->dimension;
    entry->reason = row->reason;
    *count += 1;
}

static void store(const pw_row *row, void *item, double si)
{
    uint8_t *at = (uint8_t *)item + row->offset;
    if (row->type == PW_ROW_YES_NO) {
        *(bool *)(void *)at = si != 0;
    } else if (row->type == PW_ROW_PHASES) {
        pw_int_set(item, row->offset, si == PW_UNKNOWN ? -1 : (int32_t)si);
    } else {
        *(pw_field *)(void *)at = (pw_field){.v = si, .given = false};
    }
}

static void fill_number(pw_sheet_reader *reader, const pw_row *row, void *item)
{
    double si = row->need == PW_DERIVED ? row->derive(reader->site, item) : row->value;
    if (si == PW_NOT_USED) {
        store(row, item, row->value);
        return;
    }
    if (si == PW_UNKNOWN) {
        bool needed = reader->errors == 0; /* else it may be a consequence of an error that was reported */
        if (needed) {
            pw_sheet_error(reader, PW_MISSING, pw_fact_of("sheet.nothing"), pw_sheet_key_fact(row),
                           pw_sheet_example_fact(row));
        }
        store(row, item, PW_UNKNOWN);
        return;
    }
    bool ranged = row->type == PW_ROW_QUANTITY;
    if (ranged && !(si >= row->low && si <= row->high)) {
        if (reader->errors == 0) {
            pw_sheet_error(reader, PW_RANGE,
                           pw_fact_of("sheet.worked-out", pw_quantity(row->dimension, si), pw_row_text(row->reason)),
                           pw_fact_of("sheet.possible-value"), pw_fact_of("sheet.state-it"));
        }
        store(row, item, PW_UNKNOWN);
        return;
    }
    store(row, item, si);
    record(reader, row, si);
}

/* Keys that are not numbers. */
static void fill_other(const pw_site *site, const pw_row *row, void *item)
{
    if (row->type == PW_ROW_CHOICE && (row->need == PW_DEFAULT || row->need == PW_DERIVED)) {
        pw_int_set(item, row->offset, (int32_t)(row->need == PW_DERIVED ? row->derive(site, item) : row->value));
    } else if (row->type == PW_ROW_DAYS) {
        ((uint8_t *)item)[row->offset] = (uint8_t)row->value;
    }
}

static void fill_block(pw_sheet_reader *reader, const pw_block *block, const pw_json *json, void *item);

static void fill_list(pw_sheet_reader *reader, const pw_row *row, const pw_json *json, void *item)
{
    int32_t count = pw_int_at(item, row->count_offset);
    for (int32_t i = 0; i < count; i++) {
        const pw_json *entry = pw_json_at(json, i);
        int32_t mark = pw_path_index(reader, i);
        fill_block(reader, row->block, entry, (uint8_t *)item + row->offset + (size_t)i * row->item_size);
        pw_path_back(reader, mark);
    }
}

static void fill_row(pw_sheet_reader *reader, const pw_row *row, const pw_json *json, void *item)
{
    int32_t mark = pw_path_key(reader, row->key);
    bool number = row->type == PW_ROW_QUANTITY || row->type == PW_ROW_CLOCK || row->type == PW_ROW_YES_NO ||
                  row->type == PW_ROW_PHASES;
    bool from_pipe = json == NULL && row->type == PW_ROW_QUANTITY &&
                     ((const pw_field *)(const void *)((uint8_t *)item + row->offset))->given;
    if (row->type == PW_ROW_LIST) {
        fill_list(reader, row, json, item);
    } else if (row->type == PW_ROW_GROUP && row->block != &pw_block_trace_file &&
               (json != NULL || row->need == PW_DEFAULT)) {
        reader->in_design = reader->in_design || row->block == &pw_block_design;
        fill_block(reader, row->block, json, (uint8_t *)item + row->offset);
        reader->in_design = reader->in_design && row->block != &pw_block_design;
    } else if (json == NULL && number && (row->need == PW_DEFAULT || row->need == PW_DERIVED) && !from_pipe) {
        fill_number(reader, row, item);
    } else if (json == NULL) {
        fill_other(reader->site, row, item);
    }
    pw_path_back(reader, mark);
}

static void fill_block(pw_sheet_reader *reader, const pw_block *block, const pw_json *json, void *item)
{
    int32_t kind = pw_block_kind(block, item);
    if (kind < 0) {
        return; /* its keys are not known */
    }
    for (int32_t i = 0; i < block->row_count; i++) {
        if (pw_row_applies(&block->rows[i], kind) && &block->rows[i] != block->kind) {
            fill_row(reader, &block->rows[i], pw_json_get(json, block->rows[i].key), item);
        }
    }
}

void pw_sheet_fill(pw_sheet_reader *reader, const pw_json *json)
{
    fill_block(reader, &pw_block_site, json, reader->site);
}
