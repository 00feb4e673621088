#include "adapt/csv_pumps.h"

#include <string.h>

#include "adapt/csv.h"
#include "base/json.h"

typedef enum place { OF_PUMP, OF_MOTOR, OF_POINT } place;

typedef struct heading {
    const char *word, *key;
    place place;
    bool number; /* a plain number in JSON */
} heading;

static const heading headings[] = {
    {"name", "name", OF_PUMP, false},
    {"price", "price", OF_PUMP, true},
    {"diameter", "diameter", OF_PUMP, false},
    {"motor power", "power", OF_MOTOR, false},
    {"phases", "phases", OF_MOTOR, false},
    {"voltage", "voltage", OF_MOTOR, false},
    {"motor efficiency", "efficiency", OF_MOTOR, false},
    {"power factor", "power factor", OF_MOTOR, false},
    {"flow", "flow", OF_POINT, false},
    {"head", "head", OF_POINT, false},
    {"efficiency", "efficiency", OF_POINT, false},
    {"power", "power", OF_POINT, false},
    {"NPSH", "NPSH", OF_POINT, false},
};
enum { HEADINGS = sizeof headings / sizeof headings[0], FIELD = 128, COLUMNS = 32 };

typedef struct table {
    int32_t count;
    const heading *column[COLUMNS];
    char unit[COLUMNS][32];
} table;

/* As much of it as there is room for; no formatted printing, which the module of the page does not have. */
static void put_words(char *out, size_t room, const char *words)
{
    const size_t length = strlen(words);
    const size_t kept = length < room ? length : room - 1;
    memcpy(out, words, kept);
    out[kept] = '\0';
}

/* "flow (L/min)" is the heading flow and the unit L/min. */
static bool read_heading(const char *text, table *t)
{
    char word[FIELD];
    put_words(word, sizeof word, text);
    char *open = strchr(word, '(');
    char *shut = open != NULL ? strchr(open, ')') : NULL;
    t->unit[t->count][0] = '\0';
    if (shut != NULL) {
        *shut = '\0';
        put_words(t->unit[t->count], sizeof t->unit[0], open + 1);
        while (open > word && open[-1] == ' ') {
            open--;
        }
        *open = '\0';
    }
    for (int32_t i = 0; i < HEADINGS; i++) {
        if (strcmp(headings[i].word, word) == 0) {
            t->column[t->count] = &headings[i];
            t->count++;
            return true;
        }
    }
    return false;
}

static pw_status wrong(pw_problems *problems, int32_t line, int32_t column, pw_fact found, const char *expected)
{
    const int32_t at = problems->count;
    const pw_status status = pw_problem_tell(problems, PW_SYNTAX, "", found, pw_fact_of(expected), pw_no_fact());
    if (at < problems->count) {
        problems->items[at].line = line;
        problems->items[at].column = column;
    }
    return status;
}

static pw_status read_headings(const pw_csv_row *row, table *t, pw_problems *problems)
{
    t->count = 0;
    for (int32_t i = 0; i < row->count && i < COLUMNS; i++) {
        char text[FIELD];
        pw_csv_text(&row->fields[i], text, sizeof text);
        if (!read_heading(text, t)) {
            return wrong(problems, row->fields[i].line, row->fields[i].column, pw_verbatim(text),
                         "adapt.pump-headings");
        }
    }
    return PW_OK;
}

static void put_fields(pw_json_writer *writer, const table *t, const pw_csv_row *row, place which)
{
    for (int32_t i = 0; i < t->count && i < row->count; i++) {
        char text[FIELD];
        char value[FIELD + 40];
        double number = 0;
        pw_csv_text(&row->fields[i], text, sizeof text);
        if (t->column[i]->place != which || text[0] == '\0') {
            continue;
        }
        const bool plain = pw_csv_number(text, false, &number);
        put_words(value, sizeof value, text);
        if (plain && t->unit[i][0] != '\0') {
            const size_t length = strlen(value);
            value[length] = ' ';
            put_words(value + length + 1, sizeof value - length - 1, t->unit[i]);
        }
        if (t->column[i]->number && plain) {
            pw_json_number(writer, t->column[i]->key, number);
        } else if (plain && t->unit[i][0] == '\0' && strcmp(t->column[i]->key, "name") != 0) {
            pw_json_number(writer, t->column[i]->key, number);
        } else {
            pw_json_string(writer, t->column[i]->key, value);
        }
    }
}

static void name_of(const table *t, const pw_csv_row *row, char out[FIELD])
{
    out[0] = '\0';
    for (int32_t i = 0; i < t->count && i < row->count; i++) {
        if (strcmp(t->column[i]->word, "name") == 0) {
            pw_csv_text(&row->fields[i], out, FIELD);
        }
    }
}

pw_status pw_csv_pumps(pw_arena *arena, const char *bytes, size_t length, pw_text *out, pw_problems *problems)
{
    pw_csv csv;
    pw_json_writer writer;
    char last[FIELD] = "";
    bool open = false;
    table *t = PW_NEW(arena, 1, table);
    pw_csv_row *row = PW_NEW(arena, 1, pw_csv_row);
    if (t == NULL || row == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", "", "", "");
    }
    const char separator = memchr(bytes, ';', length) != NULL ? ';' : ',';
    pw_csv_begin(&csv, bytes, length, separator);
    pw_text_init(out, arena);
    pw_json_writer_init(&writer, out, 0);
    pw_json_open(&writer, NULL, '[');
    while (pw_csv_next(&csv, row)) {
        char name[FIELD];
        if (row->blank || row->comment) {
            continue;
        }
        if (t->count == 0) {
            const pw_status status = read_headings(row, t, problems);
            if (status != PW_OK) {
                return status;
            }
            continue;
        }
        name_of(t, row, name);
        if (!open && name[0] == '\0') {
            return wrong(problems, row->line, 1, pw_fact_of("adapt.no-name"), "adapt.name-first");
        }
        if (name[0] != '\0' && strcmp(name, last) != 0) {
            if (open) {
                pw_json_close(&writer, ']');
                pw_json_close(&writer, '}');
            }
            pw_json_open(&writer, NULL, '{');
            put_fields(&writer, t, row, OF_PUMP);
            pw_json_open(&writer, "motor", '{');
            put_fields(&writer, t, row, OF_MOTOR);
            pw_json_close(&writer, '}');
            pw_json_open(&writer, "curve", '[');
            put_words(last, sizeof last, name);
            open = true;
        }
        pw_json_open(&writer, NULL, '{');
        put_fields(&writer, t, row, OF_POINT);
        pw_json_close(&writer, '}');
    }
    if (open) {
        pw_json_close(&writer, ']');
        pw_json_close(&writer, '}');
    }
    pw_json_close(&writer, ']');
    return out->failed ? PW_MEMORY : PW_OK;
}
