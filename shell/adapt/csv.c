/* Rows and fields of a CSV file. The form is RFC 4180 where files keep to it, and lenient where they do not: spaces
 * around quotes, any mix of line ends. One pass, no copies, no allocation. */
#include "adapt/csv.h"

#include <string.h>

#include "base/num.h"

enum { NUMBER_SIZE = 64 };

void pw_csv_begin(pw_csv *csv, const char *bytes, size_t length, char separator)
{
    csv->bytes = bytes;
    csv->length = length;
    csv->at = length >= 3 && memcmp(bytes, "\xef\xbb\xbf", 3) == 0 ? 3 : 0;
    csv->separator = separator;
    csv->line = 1;
}

static bool at_line_end(const pw_csv *csv)
{
    return csv->at >= csv->length || csv->bytes[csv->at] == '\n' || csv->bytes[csv->at] == '\r';
}

/* Step over \n, \r\n or a lone \r. */
static void pass_line_end(pw_csv *csv)
{
    if (csv->at >= csv->length) {
        return;
    }
    bool two = csv->bytes[csv->at] == '\r' && csv->at + 1 < csv->length && csv->bytes[csv->at + 1] == '\n';
    csv->at += two ? 2 : 1;
    csv->line++;
}

static bool is_space(char c)
{
    return c == ' ' || c == '\t';
}

/* Blanks part fields singly or in any number, then also tabs do. */
static bool at_separator(const pw_csv *csv)
{
    const char c = csv->bytes[csv->at];
    return c == csv->separator || (csv->separator == ' ' && c == '\t');
}

static void pass_spaces(pw_csv *csv)
{
    while (csv->at < csv->length && is_space(csv->bytes[csv->at]) &&
           (csv->separator == ' ' || csv->bytes[csv->at] != csv->separator)) {
        csv->at++;
    }
}

/* After the opening quote. line_start moves along with line ends inside the quotes. */
static bool read_quoted(pw_csv *csv, pw_csv_field *field, size_t *line_start)
{
    field->start = csv->bytes + csv->at;
    while (csv->at < csv->length) {
        if (csv->bytes[csv->at] != '"') {
            bool ends = at_line_end(csv);
            if (ends) {
                pass_line_end(csv);
                *line_start = csv->at;
            } else {
                csv->at++;
            }
            continue;
        }
        if (csv->at + 1 < csv->length && csv->bytes[csv->at + 1] == '"') {
            field->escaped = true;
            csv->at += 2;
            continue;
        }
        field->length = (size_t)(csv->bytes + csv->at - field->start);
        csv->at++;
        return true;
    }
    field->length = (size_t)(csv->bytes + csv->at - field->start);
    return false;
}

static void pass_to_separator(pw_csv *csv)
{
    while (!at_line_end(csv) && !at_separator(csv)) {
        csv->at++;
    }
}

/* One field; csv->at is left at the separator or line end. False: its quote is never closed. */
static bool read_field(pw_csv *csv, pw_csv_field *field, size_t *line_start)
{
    pass_spaces(csv);
    field->escaped = false;
    field->line = csv->line;
    field->column = (int32_t)(csv->at - *line_start) + 1;
    if (csv->at < csv->length && csv->bytes[csv->at] == '"') {
        size_t quote = csv->at;
        csv->at++;
        bool closed = read_quoted(csv, field, line_start);
        pass_spaces(csv);
        if (closed && !at_line_end(csv) && !at_separator(csv) && csv->separator != ' ') {
            pass_to_separator(
                csv); /* text behind the quote: the field stands as it is written, and will not read as a number */
            field->start = csv->bytes + quote;
            field->length = csv->at - quote;
            field->escaped = false;
        }
        return closed;
    }
    field->start = csv->bytes + csv->at;
    pass_to_separator(csv);
    field->length = (size_t)(csv->bytes + csv->at - field->start);
    return true;
}

bool pw_csv_next(pw_csv *csv, pw_csv_row *row)
{
    if (csv->at >= csv->length) {
        return false;
    }
    size_t line_start = csv->at;
    row->count = 0;
    row->line = csv->line;
    row->blank = true;
    row->unclosed = false;
    row->comment = false;
    for (;;) {
        pw_csv_field field;
        row->unclosed = !read_field(csv, &field, &line_start);
        if (field.length > 0) {
            row->comment = row->comment || (row->count == 0 && field.start[0] == '#');
            row->blank = false;
        }
        if (row->count < PW_CSV_MAX_FIELDS) {
            row->fields[row->count] = field;
        }
        row->count++;
        if (row->unclosed || at_line_end(csv)) {
            break;
        }
        csv->at += at_separator(csv) ? 1 : 0; /* blanks behind a quote are passed already */
        if (csv->separator == ' ') {
            pass_spaces(csv);
            if (at_line_end(csv)) {
                break;
            }
        }
    }
    pass_line_end(csv);
    return true;
}

char *pw_csv_text(const pw_csv_field *field, char *out, size_t size)
{
    size_t from = 0, to = field->length, length = 0;
    while (from < to && is_space(field->start[from])) {
        from++;
    }
    while (to > from && is_space(field->start[to - 1])) {
        to--;
    }
    for (size_t i = from; i < to && length + 1 < size; i++) {
        out[length] = field->start[i] == '\0' ? '?' : field->start[i];
        length++;
        if (field->escaped && field->start[i] == '"') {
            i++;
        }
    }
    out[length] = '\0';
    return out;
}

/* Into the form of a JSON number: no plus, a digit before and after the point. False: two signs, or too long. */
static bool to_plain(const char *text, bool decimal_comma, char *out)
{
    size_t length = 0;
    const char *at = text;
    if (*at == '+') {
        at++;
    } else if (*at == '-') {
        out[length++] = '-';
        at++;
    }
    if (*at == '+' || *at == '-') {
        return false;
    }
    if (*at == '.' || (decimal_comma && *at == ',')) {
        out[length++] = '0';
    }
    /* zeros in front, as in "007", are no JSON; the last one before the point stays */
    while (at[0] == '0' && at[1] >= '0' && at[1] <= '9') {
        at++;
    }
    for (; *at != '\0'; at++) {
        if (length + 3 > NUMBER_SIZE) {
            return false;
        }
        bool point = *at == '.' || (decimal_comma && *at == ',');
        bool digit_follows = at[1] >= '0' && at[1] <= '9';
        out[length++] = point ? '.' : *at;
        if (point && !digit_follows) {
            out[length++] = '0';
        }
    }
    out[length] = '\0';
    return true;
}

bool pw_csv_number(const char *text, bool decimal_comma, double *out)
{
    char plain[NUMBER_SIZE + 2];
    bool lone_point = strpbrk(text, "0123456789") == NULL;
    if (lone_point || !to_plain(text, decimal_comma, plain)) {
        return false;
    }
    size_t length = strlen(plain);
    return length > 0 && pw_num_read(plain, length, out) == length;
}
