/* Which column is which, and what the numbers in it mean. */
#include <string.h>

#include "adapt/csv_inside.h"
#include "base/units.h"

pw_status pw_csv_complain(pw_csv_reader *r, pw_status status, int32_t line, int32_t column, const char *found,
                          const char *expected, const char *hint)
{
    int32_t before = r->problems != NULL ? r->problems->count : 0;
    pw_problem_add(r->problems, status, r->file, found, expected, hint);
    if (r->problems != NULL && r->problems->count > before) {
        r->problems->items[before].line = line;
        r->problems->items[before].column = column;
    }
    return status;
}

/* ---- unit ---- */

pw_status pw_csv_read_unit(pw_csv_reader *r)
{
    char words[PW_WORDS_SIZE];
    const char *unit = r->ask->unit != NULL ? r->ask->unit : "";
    bool has_number = strpbrk(unit, "0123456789") == unit && unit[0] != '\0';
    pw_say(words, has_number ? "" : "1 ", unit, NULL);
    bool flow = pw_quantity_read(words, PW_DIM_FLOW, &r->factor, NULL, "") == PW_OK;
    bool volume = !flow && pw_quantity_read(words, PW_DIM_VOLUME, &r->factor, NULL, "") == PW_OK;
    if (!(flow || volume) || !(r->factor > 0.0)) {
        return pw_csv_complain(r, PW_UNIT, 0, 0, unit,
                               "a unit of flow (\"L/min\") or the volume that one count stands for (\"0.5 L\")",
                               "unit: says what the numbers in the flow column are");
    }
    r->out->amounts = volume;
    return PW_OK;
}

/* ---- columns ---- */

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static bool same_words(const char *a, const char *b)
{
    while (*a != '\0' && lower(*a) == lower(*b)) {
        a++;
        b++;
    }
    return *a == '\0' && *b == '\0';
}

/* "column 3" or "3": 2; else -1. */
static int32_t numbered(const char *name)
{
    static const char word[] = "column ";
    const char *at = name;
    int32_t value = 0;
    if (strncmp(at, word, sizeof word - 1) == 0) {
        at += sizeof word - 1;
    }
    if (*at == '\0' || strlen(at) > 3) {
        return -1;
    }
    for (; *at != '\0'; at++) {
        if (*at < '0' || *at > '9') {
            return -1;
        }
        value = value * 10 + (*at - '0');
    }
    return value >= 1 && value <= PW_CSV_MAX_FIELDS ? value - 1 : -1;
}

int32_t pw_csv_kept(const pw_csv_row *row)
{
    return row->count < PW_CSV_MAX_FIELDS ? row->count : PW_CSV_MAX_FIELDS;
}

/* Place of a heading in the row, -1 when it is not there. A "#" before the first heading does not count. */
static int32_t heading_at(const pw_csv_row *row, const char *name)
{
    char words[PW_CSV_WORD];
    for (int32_t i = 0; i < pw_csv_kept(row); i++) {
        const char *at = pw_csv_text(&row->fields[i], words, sizeof words);
        while (i == 0 && (*at == '#' || *at == ' ')) {
            at++;
        }
        if (same_words(at, name)) {
            return i;
        }
    }
    return -1;
}

static bool is_data(const pw_csv_row *row, int32_t time_at, int32_t flow_at, bool decimal_comma)
{
    char words[PW_CSV_WORD];
    pw_csv_moment moment;
    double value;
    if (row->unclosed || time_at >= pw_csv_kept(row) || flow_at >= pw_csv_kept(row)) {
        return false;
    }
    pw_csv_text(&row->fields[time_at], words, sizeof words);
    if (!pw_csv_time(words, PW_CSV_DAY_FIRST, &moment) && !pw_csv_time(words, PW_CSV_MONTH_FIRST, &moment)) {
        return false;
    }
    return pw_csv_number(pw_csv_text(&row->fields[flow_at], words, sizeof words), decimal_comma, &value);
}

/* Try one separator: headings by name, or else the first row of data when both columns are numbered. */
static bool find_with(pw_csv_reader *r, char separator)
{
    pw_csv csv;
    pw_csv_row row;
    int32_t time_number = numbered(r->ask->time), flow_number = numbered(r->ask->flow);
    bool comma = separator != ',';
    pw_csv_begin(&csv, r->bytes, r->length, separator);
    for (int32_t i = 0; i < PW_CSV_TITLE_ROWS; i++) {
        size_t here = csv.at;
        if (!pw_csv_next(&csv, &row)) {
            return false;
        }
        int32_t time_at = heading_at(&row, r->ask->time), flow_at = heading_at(&row, r->ask->flow);
        bool by_name = time_at >= 0 || flow_at >= 0;
        time_at = time_at < 0 ? time_number : time_at;
        flow_at = flow_at < 0 ? flow_number : flow_at;
        if (time_at < 0 || flow_at < 0) {
            continue;
        }
        if (by_name || is_data(&row, time_at, flow_at, comma)) {
            r->time_at = time_at;
            r->flow_at = flow_at;
            r->out->title_rows = i;
            r->out->heading_line = by_name ? row.line : 0;
            r->out->separator = separator;
            r->decimal_comma = comma;
            r->data_at = by_name ? csv.at : here;
            r->data_line = by_name ? csv.line : row.line;
            return true;
        }
    }
    return false;
}

/* The row that looks most like headings: has one of the two, or else the most fields. */
static bool likely_headings(pw_csv_reader *r, pw_csv_row *best)
{
    static const char separators[] = {',', ';', '\t'};
    int32_t most = 1;
    for (size_t s = 0; s < sizeof separators; s++) {
        pw_csv csv;
        pw_csv_row row;
        pw_csv_begin(&csv, r->bytes, r->length, separators[s]);
        for (int32_t i = 0; i < PW_CSV_TITLE_ROWS && pw_csv_next(&csv, &row); i++) {
            bool one = heading_at(&row, r->ask->time) >= 0 || heading_at(&row, r->ask->flow) >= 0;
            int32_t rank = one ? PW_CSV_MAX_FIELDS + 1 : pw_csv_kept(&row);
            if (rank > most) {
                most = rank;
                *best = row;
            }
        }
    }
    return most > 1;
}

static pw_status no_columns(pw_csv_reader *r)
{
    pw_csv_row row;
    char names[PW_CSV_MAX_FIELDS][PW_CSV_WORD];
    const char *list[PW_CSV_MAX_FIELDS];
    char expected[PW_WORDS_SIZE] = "one of the headings", hint[PW_WORDS_SIZE] = "";
    if (!likely_headings(r, &row)) {
        return pw_csv_complain(r, PW_SYNTAX, 1, 1, r->length == 0 ? "an empty file" : "no such row",
                               "rows of fields with \",\", \";\" or a tab between them", "");
    }
    const char *missing = heading_at(&row, r->ask->time) < 0 ? r->ask->time : r->ask->flow;
    size_t length = strlen(expected);
    for (int32_t i = 0; i < pw_csv_kept(&row); i++) {
        list[i] = pw_csv_text(&row.fields[i], names[i], PW_CSV_WORD);
        if (length < sizeof expected - PW_CSV_WORD - 4) {
            char longer[PW_WORDS_SIZE];
            pw_copy(expected, sizeof expected, pw_say(longer, expected, i == 0 ? ": " : ", ", list[i], NULL));
            length = strlen(expected);
        }
    }
    int32_t near = pw_near_match(missing, list, pw_csv_kept(&row));
    if (near >= 0) {
        pw_say(hint, "did you mean \"", list[near], "\"?", NULL);
    } else {
        pw_say(hint, "a column may also be given by its number: \"column 2\"", NULL);
    }
    return pw_csv_complain(r, PW_REFERENCE, row.line, 1, missing, expected, hint);
}

pw_status pw_csv_find_columns(pw_csv_reader *r)
{
    static const char separators[] = {',', ';', '\t'};
    for (size_t s = 0; s < sizeof separators; s++) {
        if (find_with(r, separators[s])) {
            return PW_OK;
        }
    }
    return no_columns(r);
}
