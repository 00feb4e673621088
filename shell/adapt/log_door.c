#include "adapt/log_door.h"

#include <stdlib.h>
#include <string.h>

#include "adapt/doorway.h"
#include "adapt/log_file.h"
#include "adapt/side_door.h"
#include "base/num.h"

enum { MOST_STEPS = 4000, USUAL_STEPS = 600 };

/* ---- bytes in memory as a source ---- */

typedef struct held {
    const char *at;
    size_t left;
} held;

static int64_t read_held(void *user, char *out, size_t most)
{
    held *h = (held *)user;
    const size_t n = h->left < most ? h->left : most;
    memcpy(out, h->at, n);
    h->at += n;
    h->left -= n;
    return (int64_t)n;
}

/* ---- the request ---- */

typedef struct asked {
    pw_log_ask columns;
    int32_t steps;
    const char *judge; /* NULL: none */
    pw_voice voice;
} asked;

static asked read_request(const pw_json *request, const pw_units *units)
{
    asked out = {.steps = USUAL_STEPS, .judge = pw_side_text(request, "judge", NULL), .voice = {PW_ENGLISH, units}};
    const char *language = pw_side_text(request, "language", NULL);
    const pw_json *steps = request != NULL ? pw_json_get(request, "steps") : NULL;
    const pw_json *columns = request != NULL ? pw_json_get(request, "columns") : NULL;
    if (language != NULL) {
        (void)pw_language_read(language, &out.voice.language);
    }
    if (steps != NULL && steps->kind == PW_JSON_NUMBER && steps->number >= 1.0 && steps->number <= MOST_STEPS) {
        out.steps = (int32_t)steps->number;
    }
    out.columns.only = pw_side_text(request, "only", NULL);
    for (const pw_json *one = columns != NULL ? columns->first : NULL; one != NULL; one = one->next) {
        if (one->kind == PW_JSON_STRING && out.columns.count < PW_LOG_MOST_ASKED) {
            out.columns.columns[out.columns.count] = one->string;
            out.columns.count++;
        }
    }
    return out;
}

/* ---- rows ---- */

/* What is drawn, and what the diagnosis looks at. */
typedef struct taken {
    double from_s, until_s;
    int64_t rows;
    int32_t steps;
    double *low, *high; /* PW_LOG_SIGNALS x steps */
    pw_record *record;  /* NULL: not asked for */
} taken;

static void note(taken *t, const pw_log_row *row)
{
    const double length_s = t->until_s - t->from_s;
    const double at = length_s > 0.0 ? (row->t_s - t->from_s) / length_s * (double)t->steps : 0.0;
    const int32_t step = at >= (double)t->steps ? t->steps - 1 : at > 0.0 ? (int32_t)at : 0;
    for (int32_t s = 0; s < PW_LOG_SIGNALS; s++) {
        const double value = row->value[s];
        const int32_t i = s * t->steps + step;
        if (value < PW_INF && value > -PW_INF) {
            t->low[i] = pw_min(t->low[i], value);
            t->high[i] = pw_max(t->high[i], value);
        }
    }
}

/* From when to when the rows reach: they may step back. */
static void reach(taken *t, const pw_log_row *row)
{
    t->from_s = t->rows == 0 ? row->t_s : pw_min(t->from_s, row->t_s);
    t->until_s = t->rows == 0 ? row->t_s : pw_max(t->until_s, row->t_s);
    t->rows++;
}

static void take_all(pw_log_file *file, taken *t, bool first)
{
    pw_log_row row;
    while (pw_log_file_next(file, &row)) {
        if (first) {
            reach(t, &row);
            continue;
        }
        note(t, &row);
        if (t->record != NULL) {
            pw_door_log_take(t->record, &row);
        }
    }
}

/* ---- the answer ---- */

static void put_plan(pw_json_writer *w, const pw_log_plan *plan)
{
    const char separator[2] = {plan->separator, '\0'};
    pw_json_open(w, "plan", '{');
    pw_json_string(w, "separator", separator);
    pw_json_bool(w, "decimal_comma", plan->decimal_comma);
    pw_json_int(w, "heading_line", plan->heading_line);
    pw_json_int(w, "columns_seen", plan->columns_seen);
    pw_json_string(w, "time", plan->time_name);
    pw_json_bool(w, "dated", plan->dated);
    pw_json_bool(w, "month_first", plan->month_first);
    pw_json_bool(w, "either_order", plan->either_order);
    pw_json_open(w, "columns", '[');
    for (int32_t i = 0; i < plan->count; i++) {
        const pw_log_column *column = &plan->column[i];
        pw_json_open(w, NULL, '{');
        pw_json_string(w, "name", column->name);
        pw_json_string(w, "signal", pw_log_signal_id(column->signal));
        pw_json_string(w, "unit", column->unit);
        pw_json_bool(w, "guessed", column->unit_guessed);
        pw_json_number(w, "first", column->first);
        pw_json_close(w, '}');
    }
    pw_json_close(w, ']');
    pw_json_int(w, "unused_count", plan->unused_count);
    pw_json_open(w, "unused", '[');
    for (int32_t i = 0; i < plan->unused_count && i < 6; i++) {
        pw_json_string(w, NULL, plan->unused[i]);
    }
    pw_json_close(w, ']');
    pw_json_close(w, '}');
}

static void put_lines(pw_json_writer *w, const pw_log_lines *lines)
{
    pw_json_open(w, "lines", '{');
    pw_json_int(w, "read", lines->read);
    pw_json_int(w, "empty", lines->empty);
    pw_json_int(w, "bad_time", lines->bad_time);
    pw_json_int(w, "other", lines->other);
    pw_json_int(w, "first_bad_line", lines->first_bad_line);
    pw_json_close(w, '}');
}

static void put_side(pw_json_writer *w, const char *key, const double *values, int32_t count)
{
    pw_json_open(w, key, '[');
    for (int32_t i = 0; i < count; i++) {
        if (values[i] < PW_INF && values[i] > -PW_INF) {
            pw_json_number(w, NULL, values[i]);
        } else {
            pw_json_null(w, NULL);
        }
    }
    pw_json_close(w, ']');
}

static void put_drawn(pw_json_writer *w, const pw_log_plan *plan, const taken *t)
{
    pw_json_open(w, "drawn", '{');
    pw_json_number(w, "from_s", t->from_s);
    pw_json_number(w, "until_s", t->until_s);
    pw_json_open(w, "signals", '[');
    for (int32_t i = 0; i < plan->count; i++) {
        const pw_log_signal signal = plan->column[i].signal;
        pw_json_open(w, NULL, '{');
        pw_json_string(w, "signal", pw_log_signal_id(signal));
        put_side(w, "low", &t->low[(int32_t)signal * t->steps], t->steps);
        put_side(w, "high", &t->high[(int32_t)signal * t->steps], t->steps);
        pw_json_close(w, '}');
    }
    pw_json_close(w, ']');
    pw_json_close(w, '}');
}

/* Both passes over the file: from when to when, then what is drawn and judged. false: problems were added, or no
 * memory. */
static bool read_twice(pw_arena *arena, const asked *ask, const held *bytes, taken *t, pw_log_plan *plan,
                       pw_log_lines *lines, pw_problems *problems)
{
    const int32_t cells = PW_LOG_SIGNALS * ask->steps;
    t->steps = ask->steps;
    t->low = PW_NEW(arena, cells, double);
    t->high = PW_NEW(arena, cells, double);
    if (t->low == NULL || t->high == NULL) {
        return false;
    }
    for (int32_t i = 0; i < cells; i++) {
        t->low[i] = PW_INF;
        t->high[i] = -PW_INF;
    }
    for (int32_t pass = 0; pass < 2; pass++) {
        held h = *bytes;
        const pw_log_source source = {.read = read_held, .user = &h};
        pw_log_file *file = pw_log_open("file", &source, &ask->columns, problems);
        if (file == NULL) {
            return false;
        }
        *plan = *pw_log_plan_of(file);
        if (pass == 1 && ask->judge != NULL) {
            bool has[PW_LOG_SIGNALS] = {false};
            for (int32_t i = 0; i < plan->count; i++) {
                has[plan->column[i].signal] = true;
            }
            void *memory = PW_NEW(arena, pw_door_log_size(), char);
            t->record = memory != NULL ? pw_door_log_begin(memory, has) : NULL;
        }
        take_all(file, t, pass == 0);
        *lines = pw_log_lines_of(file);
        pw_log_close(file);
    }
    return true;
}

static void put_answer(void *user, pw_json_writer *w, const pw_json *request, pw_problems *problems)
{
    const held *file = (const held *)user;
    const pw_units units = pw_units_metric();
    const asked ask = read_request(request, &units);
    pw_arena *arena = w->text->arena;
    taken t = {0};
    pw_log_lines lines;
    pw_log_plan *plan = PW_NEW(arena, 1, pw_log_plan);
    const bool good = plan != NULL && read_twice(arena, &ask, file, &t, plan, &lines, problems);
    pw_json_open(w, NULL, '{');
    pw_json_bool(w, "ok", good);
    if (good) {
        put_plan(w, plan);
        put_lines(w, &lines);
        pw_json_int(w, "rows", t.rows);
        put_drawn(w, plan, &t);
        if (t.record != NULL && t.rows >= 3) {
            pw_door_log_end(t.record);
            char *answer = pw_doorway_log(ask.judge, strlen(ask.judge), NULL, t.record);
            pw_json_string(w, "diagnosis", answer);
            free(answer);
        }
    } else {
        pw_side_put_problems(w, "problems", &ask.voice, problems);
    }
    pw_json_close(w, '}');
}

char *pw_log_door(const char *request, size_t length, const char *bytes, size_t count)
{
    held file = {bytes, count};
    return pw_side_answer(request, length, pw_door_log_size() + ((size_t)24 << 20), put_answer, &file);
}
