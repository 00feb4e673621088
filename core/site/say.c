/* Paths and problems of the sheet reader. */
#include <assert.h>
#include <string.h>

#include "site/table.h"

static void path_add(pw_sheet_reader *reader, const char *piece)
{
    int32_t left = PW_PATH_SIZE - reader->path_length;
    pw_copy(reader->path + reader->path_length, left, piece);
    reader->path_length += (int32_t)strlen(reader->path + reader->path_length);
}

int32_t pw_path_key(pw_sheet_reader *reader, const char *key)
{
    int32_t mark = reader->path_length;
    if (mark > 0) {
        path_add(reader, ".");
    }
    path_add(reader, key);
    return mark;
}

int32_t pw_path_index(pw_sheet_reader *reader, int32_t index)
{
    assert(index >= 0);
    char piece[16];
    int32_t at = (int32_t)sizeof(piece) - 1;
    piece[at--] = '\0';
    piece[at--] = ']';
    do {
        piece[at--] = (char)('0' + index % 10);
        index /= 10;
    } while (index > 0);
    piece[at] = '[';
    int32_t mark = reader->path_length;
    path_add(reader, piece + at);
    return mark;
}

void pw_path_back(pw_sheet_reader *reader, int32_t mark)
{
    reader->path_length = mark;
    reader->path[mark] = '\0';
}

void pw_sheet_count_error(pw_sheet_reader *reader, pw_status status)
{
    if (reader->errors == 0) {
        reader->first = status;
    }
    reader->errors++;
}

void pw_sheet_error(pw_sheet_reader *reader, pw_status status, pw_fact found, pw_fact expected, pw_fact hint)
{
    pw_sheet_count_error(reader, status);
    pw_problem_tell(reader->problems, status, reader->path, found, expected, hint);
}

void pw_sheet_error_at(pw_sheet_reader *reader, const char *key, pw_status status, pw_fact found, pw_fact expected,
                       pw_fact hint)
{
    int32_t mark = pw_path_key(reader, key);
    pw_sheet_error(reader, status, found, expected, hint);
    pw_path_back(reader, mark);
}

void pw_sheet_warning(pw_sheet_reader *reader, pw_fact found, pw_fact expected, pw_fact hint)
{
    pw_warning_tell(reader->problems, PW_CONFLICT, reader->path, found, expected, hint);
}

void pw_sheet_warning_at(pw_sheet_reader *reader, const char *key, pw_fact found, pw_fact expected, pw_fact hint)
{
    int32_t mark = pw_path_key(reader, key);
    pw_sheet_warning(reader, found, expected, hint);
    pw_path_back(reader, mark);
}

pw_fact pw_sheet_key_fact(const pw_row *row)
{
    return pw_fact_of("sheet.key-with-help", pw_named(row->key), pw_row_text(row->help));
}

pw_fact pw_sheet_example_fact(const pw_row *row)
{
    return row->example != NULL ? pw_fact_of("sheet.for-instance-key", pw_named(row->key), pw_named(row->example))
                                : pw_no_fact();
}

bool pw_row_applies(const pw_row *row, int32_t kind)
{
    return row->kinds == 0 || (kind >= 0 && (row->kinds & (1u << kind)) != 0);
}

int32_t pw_int_at(const void *item, uint32_t offset)
{
    int32_t value = 0;
    memcpy(&value, (const uint8_t *)item + offset, sizeof(value));
    return value;
}

void pw_int_set(void *item, uint32_t offset, int32_t value)
{
    memcpy((uint8_t *)item + offset, &value, sizeof(value));
}

int32_t pw_block_kind(const pw_block *block, const void *item)
{
    return block->kind == NULL ? 0 : pw_int_at(item, block->kind->offset);
}

pw_fact pw_sheet_found(const pw_json *json)
{
    if (json->kind == PW_JSON_STRING || json->kind == PW_JSON_NUMBER) {
        return pw_verbatim(json->string);
    }
    if (json->kind == PW_JSON_BOOL) {
        return pw_verbatim(json->truth ? "yes" : "no");
    }
    return json->kind == PW_JSON_NULL ? pw_fact_of("sheet.nothing") : pw_fact_of(pw_json_kind_message(json->kind));
}
