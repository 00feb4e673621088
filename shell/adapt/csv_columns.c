/* Which column is which, and what the numbers in it mean. */
#include <string.h>

#include "adapt/csv_inside.h"
#include "base/units.h"

pw_status pw_csv_complain(pw_csv_reader *r, pw_status status, int32_t line, int32_t column, pw_fact found,
                          pw_fact expected, pw_fact hint)
{
    int32_t before = r->problems != NULL ? r->problems->count : 0;
    pw_problem_tell(r->problems, status, r->file, found, expected, hint);
    if (r->problems != NULL && r->problems->count > before) {
        r->problems->items[before].line = line;
        r->problems->items[before].column = column;
    }
    return status;
}

pw_status pw_csv_no_memory(pw_csv_reader *r)
{
    return pw_csv_complain(r, PW_MEMORY, 0, 0, pw_no_fact(), pw_fact_of("input.more-memory"), pw_no_fact());
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
        return pw_csv_complain(r, PW_UNIT, 0, 0, pw_verbatim(unit), pw_fact_of("input.csv-unit-of-flow"),
                               pw_fact_of("input.csv-say-unit"));
    }
    r->out->amounts = volume;
    return PW_OK;
}

static pw_status read_factor(pw_csv_reader *r, const char *unit, double *out)
{
    char words[PW_WORDS_SIZE];
    *out = 1.0;
    if (unit == NULL) {
        return PW_OK;
    }
    pw_say(words, "1 ", unit, NULL);
    if (pw_quantity_read(words, PW_DIM_TIME, out, NULL, "") == PW_OK && *out > 0.0) {
        return PW_OK;
    }
    return pw_problem_tell(r->problems, PW_UNIT, r->file, pw_verbatim(unit), pw_fact_of("input.csv-unit-of-time"),
                           pw_no_fact());
}

static pw_status bad_word(pw_csv_reader *r, const char *word, const char *expected)
{
    return pw_problem_tell(r->problems, PW_SYNTAX, r->file, pw_verbatim(word),
                           pw_fact_of("input.for-instance", pw_named(expected)), pw_no_fact());
}

/* "+02:00", "-7", "UTC": read as the end of a time. */
static bool read_zone(const char *zone, double *out_s)
{
    char words[PW_CSV_WORD];
    pw_csv_moment moment;
    const bool formed = strlen(zone) < 16;
    pw_say(words, "2000-01-01 00:00", formed ? zone : "?", NULL);
    const bool read = pw_csv_time(words, PW_CSV_DAY_FIRST, &moment) && moment.zoned;
    *out_s = read ? moment.zone_s : 0.0;
    return read;
}

pw_status pw_csv_read_ways(pw_csv_reader *r)
{
    const pw_csv_ask *ask = r->ask;
    pw_csv_trace *out = r->out;
    const bool draws = ask->end != NULL || ask->lasts != NULL;
    out->taken = draws ? PW_CSV_DRAW : out->amounts ? PW_CSV_AMOUNT : PW_CSV_FLOW;
    if (ask->values != NULL && strcmp(ask->values, "register") == 0 && out->amounts && !draws) {
        out->taken = PW_CSV_REGISTER;
    } else if (ask->values != NULL) {
        return bad_word(r, ask->values, "values: register, unit: 1 L");
    }
    out->stamps_end = ask->stamp != NULL && strcmp(ask->stamp, "end") == 0;
    if (ask->stamp != NULL && !out->stamps_end && strcmp(ask->stamp, "begin") != 0) {
        return bad_word(r, ask->stamp, "stamp: end");
    }
    if ((ask->column == NULL) != (ask->only == NULL)) {
        return bad_word(r, ask->column != NULL ? ask->column : ask->only, "column: home, only: A01");
    }
    if (ask->zone != NULL && !read_zone(ask->zone, &r->zone_s)) {
        return bad_word(r, ask->zone, "zone: +02:00");
    }
    const pw_status status = read_factor(r, ask->lasts_unit, &r->lasts_factor);
    return status == PW_OK ? read_factor(r, ask->time_unit, &r->time_factor) : status;
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

/* Does this field hold a clock alone, "13:10" or "13:10:06"? */
static bool is_clock(const pw_csv_field *field)
{
    char words[PW_CSV_WORD], dated[PW_CSV_WORD + 16];
    pw_csv_moment moment;
    pw_csv_text(field, words, sizeof words - 16);
    const size_t digits = strspn(words, "0123456789");
    pw_say(dated, "2000-01-01 ", words, NULL);
    return (digits == 1 || digits == 2) && words[digits] == ':' && pw_csv_time(dated, PW_CSV_DAY_FIRST, &moment);
}

/* Time stands in two fields: a date, and a clock behind it. */
static bool in_two(const pw_csv_row *row, int32_t time_at)
{
    char words[PW_CSV_WORD];
    if (time_at + 1 >= pw_csv_kept(row)) {
        return false;
    }
    pw_csv_text(&row->fields[time_at], words, sizeof words);
    double number;
    return !pw_csv_number(words, true, &number) && strchr(words, ':') == NULL && strpbrk(words, "-/.") != NULL &&
           is_clock(&row->fields[time_at + 1]);
}

static bool time_at(const pw_csv_row *row, int32_t at, pw_csv_order order, pw_csv_moment *out)
{
    char words[PW_CSV_WORD], clock[PW_CSV_WORD], both[PW_WORDS_SIZE];
    pw_csv_text(&row->fields[at], words, sizeof words);
    if (!in_two(row, at)) {
        return pw_csv_time(words, order, out);
    }
    pw_say(both, words, " ", pw_csv_text(&row->fields[at + 1], clock, sizeof clock), NULL);
    return pw_csv_time(both, order, out);
}

/* Days as spreadsheets keep dates, counted from the end of 1899: of the years 1954 to 2105. No record lasts so long. */
#define DAY_S           86400.0
#define SHEET_DAY_1970  25569.0
#define LEAST_SHEET_DAY 20000.0
#define MOST_SHEET_DAY  75000.0

bool pw_csv_row_time(const pw_csv_reader *r, const pw_csv_row *row, pw_csv_order order, pw_csv_moment *out)
{
    if (!time_at(row, r->time_at, order, out)) {
        return false;
    }
    if (!out->dated && r->time_factor == DAY_S && out->seconds >= LEAST_SHEET_DAY && out->seconds < MOST_SHEET_DAY) {
        out->seconds = (out->seconds - SHEET_DAY_1970) * DAY_S;
        out->dated = true;
        out->counted = false;
    } else if (!out->dated) {
        out->seconds *= r->time_factor;
    } else if (out->counted) { /* seconds since 1970 */
        out->seconds += r->zone_s;
    }
    return true;
}

static bool is_data(const pw_csv_row *row, int32_t time, int32_t flow_at, bool decimal_comma)
{
    char words[PW_CSV_WORD];
    pw_csv_moment moment;
    double value;
    if (row->unclosed || time >= pw_csv_kept(row) || flow_at >= pw_csv_kept(row)) {
        return false;
    }
    if (!time_at(row, time, PW_CSV_DAY_FIRST, &moment) && !time_at(row, time, PW_CSV_MONTH_FIRST, &moment)) {
        return false;
    }
    return pw_csv_number(pw_csv_text(&row->fields[flow_at], words, sizeof words), decimal_comma, &value);
}

/* A column that is asked for besides; -1 when none is, -2 when it is not there. */
static int32_t other_at(const pw_csv_row *row, const char *name)
{
    if (name == NULL) {
        return -1;
    }
    const int32_t at = heading_at(row, name), number = numbered(name);
    return at >= 0 ? at : number >= 0 ? number : -2;
}

static bool find_others(pw_csv_reader *r, const pw_csv_row *row)
{
    r->end_at = other_at(row, r->ask->end);
    r->lasts_at = other_at(row, r->ask->lasts);
    r->keep_at = other_at(row, r->ask->column);
    return r->end_at != -2 && r->lasts_at != -2 && r->keep_at != -2;
}

/* Between blanks, date and clock are two fields under one heading: what stands behind moves by one. */
static void shift_behind_clock(pw_csv_reader *r, const pw_csv_row *headings, pw_csv csv)
{
    pw_csv_row row;
    int32_t *const columns[] = {&r->flow_at, &r->end_at, &r->lasts_at, &r->keep_at};
    while (r->out->heading_line > 0 && pw_csv_next(&csv, &row)) {
        if (row.blank || row.comment) {
            continue;
        }
        const bool moved = row.count == headings->count + 1 && in_two(&row, r->time_at);
        for (size_t i = 0; moved && i < sizeof columns / sizeof columns[0]; i++) {
            *columns[i] += *columns[i] > r->time_at ? 1 : 0;
        }
        return;
    }
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
        int32_t time = heading_at(&row, r->ask->time), flow_at = heading_at(&row, r->ask->flow);
        bool by_name = time >= 0 || flow_at >= 0;
        time = time < 0 ? time_number : time;
        flow_at = flow_at < 0 ? flow_number : flow_at;
        if (time < 0 || flow_at < 0 || !find_others(r, &row)) {
            continue;
        }
        if (by_name || is_data(&row, time, flow_at, comma)) {
            r->time_at = time;
            r->flow_at = flow_at;
            r->heading_at = here;
            r->out->title_rows = i;
            r->out->heading_line = by_name ? row.line : 0;
            r->out->separator = separator;
            r->decimal_comma = comma;
            r->data_at = by_name ? csv.at : here;
            r->data_line = by_name ? csv.line : row.line;
            shift_behind_clock(r, &row, csv);
            return true;
        }
    }
    return false;
}

/* The row that looks most like headings: has one of the two, or else the most fields. */
static bool likely_headings(pw_csv_reader *r, pw_csv_row *best)
{
    static const char separators[] = {',', ';', '\t', ' '};
    int32_t most = 1;
    for (size_t s = 0; s < sizeof separators; s++) {
        if (separators[s] == ' ' && most > 1) { /* words of a title are no headings */
            break;
        }
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
    pw_choices headings = {0};
    if (!likely_headings(r, &row)) {
        return pw_csv_complain(r, PW_SYNTAX, 1, 1,
                               r->length == 0 ? pw_fact_of("input.csv-empty") : pw_fact_of("input.csv-no-such-row"),
                               pw_fact_of("input.csv-rows-of-fields"), pw_no_fact());
    }
    const char *asked[] = {r->ask->time, r->ask->flow, r->ask->end, r->ask->lasts, r->ask->column};
    const char *missing = r->ask->flow;
    for (int32_t i = 4; i >= 0; i--) {
        const bool absent = asked[i] != NULL && heading_at(&row, asked[i]) < 0 && numbered(asked[i]) < 0;
        missing = absent ? asked[i] : missing;
    }
    for (int32_t i = 0; i < pw_csv_kept(&row); i++) {
        list[i] = pw_csv_text(&row.fields[i], names[i], PW_CSV_WORD);
        pw_choices_add(&headings, list[i]);
    }
    const pw_fact near = pw_near_fact(missing, list, pw_csv_kept(&row));
    return pw_csv_complain(r, PW_REFERENCE, row.line, 1, pw_verbatim(missing),
                           pw_fact_of("input.csv-one-of-headings", pw_named(headings.names), pw_count(headings.more)),
                           near.id != NULL ? near : pw_fact_of("input.csv-by-number"));
}

pw_status pw_csv_find_columns(pw_csv_reader *r)
{
    static const char separators[] = {',', ';', '\t', ' '};
    for (size_t s = 0; s < sizeof separators; s++) {
        if (find_with(r, separators[s])) {
            return PW_OK;
        }
    }
    return no_columns(r);
}
