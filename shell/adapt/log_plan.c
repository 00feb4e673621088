/* What the head of a logger's file says: separator, decimal sign, headings, time, signals and their units. */
#include <stdlib.h>
#include <string.h>

#include "adapt/log_inside.h"
#include "base/num.h"
#include "base/units.h"

enum { HEAD_LINES = 100, LOOKED_AT = 40 };

typedef struct head {
    const char *line[HEAD_LINES];
    size_t length[HEAD_LINES];
    int32_t count;
} head;

typedef struct table {
    pw_log_piece *piece; /* PW_LOG_MOST_COLUMNS of the headings, then as many of a row */
    const head *lines;
    pw_log_plan *plan;
    int32_t first;   /* line of the first row */
    int32_t heading; /* line of the headings, -1 none */
    int32_t columns;
} table;

static void cut_lines(const char *bytes, size_t length, head *out)
{
    const char *at = bytes, *end = bytes + length;
    while (at < end && out->count < HEAD_LINES) {
        const char *stop = memchr(at, '\n', (size_t)(end - at));
        if (stop == NULL && out->count > 0 && length >= PW_LOG_HEAD) {
            return; /* cut in its middle */
        }
        stop = stop != NULL ? stop : end;
        size_t size = (size_t)(stop - at);
        size -= size > 0 && at[size - 1] == '\r' ? 1 : 0;
        out->line[out->count] = at;
        out->length[out->count] = size;
        out->count++;
        at = stop + 1;
    }
}

static char *text_of(const pw_log_piece *piece, char *out, size_t size)
{
    const size_t length = piece->length + 1 < size ? piece->length : size - 1;
    memcpy(out, piece->at, length);
    out[length] = '\0';
    for (size_t i = 0; i < length; i++) {
        out[i] = out[i] == '\0' ? '?' : out[i];
    }
    return out;
}

static bool as_time(const pw_log_piece *piece, pw_csv_order order, pw_csv_moment *out)
{
    char words[PW_LOG_NAME];
    return pw_csv_time(text_of(piece, words, sizeof words), order, out);
}

static bool dated(const pw_log_piece *piece)
{
    pw_csv_moment moment;
    return (as_time(piece, PW_CSV_DAY_FIRST, &moment) && moment.dated) ||
           (as_time(piece, PW_CSV_MONTH_FIRST, &moment) && moment.dated);
}

static bool is_number(const pw_log_piece *piece, bool comma)
{
    double value;
    return pw_log_number(piece->at, piece->length, comma, &value);
}

/* Fields of a line that are numbers or dates, less those that are neither nor empty. */
static int32_t data_rank(const head *lines, int32_t line, char separator, bool comma, pw_log_piece *room)
{
    const int32_t count = pw_log_cut(lines->line[line], lines->length[line], separator, room, PW_LOG_MOST_COLUMNS);
    int32_t good = 0;
    for (int32_t i = 0; i < count; i++) {
        good += is_number(&room[i], comma) || dated(&room[i]) ? 1 : 0;
    }
    return count >= 2 && good >= 2 ? good : 0;
}

/* The separator under which most fields of the first rows are numbers or dates. */
static void find_separator(table *t)
{
    static const char separators[] = {';', '\t', ',', '|', ' '};
    int64_t most = 0;
    t->first = -1;
    for (size_t s = 0; s < sizeof separators; s++) {
        for (int comma = 0; comma < (separators[s] == ',' ? 1 : 2); comma++) {
            int64_t sum = 0;
            int32_t first = -1;
            for (int32_t i = 0; i < t->lines->count && i < LOOKED_AT; i++) {
                const int32_t rank = data_rank(t->lines, i, separators[s], comma != 0, t->piece);
                first = first < 0 && rank > 0 ? i : first;
                sum += rank;
            }
            if (sum > most) {
                most = sum;
                t->first = first;
                t->plan->separator = separators[s];
                t->plan->decimal_comma = comma != 0;
            }
        }
    }
}

static void find_heading(table *t)
{
    t->heading = -1;
    t->columns = pw_log_cut(t->lines->line[t->first], t->lines->length[t->first], t->plan->separator,
                            t->piece + PW_LOG_MOST_COLUMNS, PW_LOG_MOST_COLUMNS);
    for (int32_t i = t->first - 1; i >= 0 && t->heading < 0; i--) {
        const int32_t count =
            pw_log_cut(t->lines->line[i], t->lines->length[i], t->plan->separator, t->piece, PW_LOG_MOST_COLUMNS);
        /* dates and clocks between blanks have one heading */
        t->heading = count >= 2 && count >= t->columns - 1 && count <= t->columns + 1 ? i : -1;
    }
    if (t->heading >= 0) {
        (void)pw_log_cut(t->lines->line[t->heading], t->lines->length[t->heading], t->plan->separator, t->piece,
                         PW_LOG_MOST_COLUMNS);
        t->plan->heading_line = t->heading + 1;
        if (t->piece[0].length > 0 && t->piece[0].at[0] == '#') {
            t->piece[0].at++;
            t->piece[0].length--;
        }
    }
    t->plan->columns_seen = t->columns;
}

static char *name_of(const table *t, int32_t at, char *out)
{
    if (t->heading < 0) {
        char digits[32];
        digits[pw_num_text((double)(at + 1), digits)] = '\0';
        pw_log_piece piece = {digits, strlen(digits)};
        memcpy(out, "column ", 7);
        text_of(&piece, out + 7, PW_LOG_NAME - 7);
        return out;
    }
    return text_of(&t->piece[at], out, PW_LOG_NAME);
}

/* A column by its heading or as "column 3"; -1. */
static int32_t find_column(const table *t, const char *name)
{
    char own[PW_LOG_NAME];
    for (int32_t i = 0; t->heading >= 0 && i < t->columns; i++) {
        if (strcmp(name_of(t, i, own), name) == 0) {
            return i;
        }
    }
    if (strncmp(name, "column ", 7) == 0) {
        double at;
        if (pw_log_number(name + 7, strlen(name + 7), false, &at) && at >= 1.0 && at <= (double)t->columns) {
            return (int32_t)at - 1;
        }
    }
    return -1;
}

static const pw_log_piece *row_of(const table *t)
{
    return t->piece + PW_LOG_MOST_COLUMNS;
}

static pw_status wrong(pw_problems *problems, const char *path, int32_t line, pw_status status, pw_fact found,
                       pw_fact expected, pw_fact hint)
{
    const int32_t at = problems->count;
    pw_problem_tell(problems, status, path, found, expected, hint);
    if (at < problems->count) {
        problems->items[at].line = line;
        problems->items[at].column = 1;
    }
    return status;
}

/* ---- time ---- */

static bool is_clock(const pw_log_piece *piece)
{
    return piece->length >= 4 && piece->length <= 12 && memchr(piece->at, ':', piece->length) != NULL &&
           piece->at[0] >= '0' && piece->at[0] <= '9' && memchr(piece->at, '-', piece->length) == NULL &&
           memchr(piece->at, '/', piece->length) == NULL;
}

static void take_time(table *t, int32_t at, const char *unit)
{
    pw_log_plan *plan = t->plan;
    double factor = 1.0, zero;
    char heading[PW_LOG_NAME], own[24];
    plan->time_at = at;
    plan->clock_at = -1;
    name_of(t, at, plan->time_name);
    plan->dated = dated(&row_of(t)[at]);
    pw_log_unit_of(name_of(t, at, heading), own, sizeof own);
    if (!plan->dated && pw_log_unit_read(unit[0] != '\0' ? unit : own, PW_DIM_TIME, &factor, &zero)) {
        plan->time_factor = factor;
        const pw_log_piece taken = {unit[0] != '\0' ? unit : own, strlen(unit[0] != '\0' ? unit : own)};
        text_of(&taken, plan->time_unit, sizeof plan->time_unit);
    }
    if (plan->dated && at + 1 < t->columns && memchr(row_of(t)[at].at, ':', row_of(t)[at].length) == NULL &&
        is_clock(&row_of(t)[at + 1])) {
        plan->clock_at = at + 1;
    }
}

static pw_status find_time(table *t, const char *path, pw_problems *problems)
{
    char heading[PW_LOG_NAME];
    int32_t found = -1;
    for (int32_t i = 0; i < t->columns && found < 0; i++) {
        found = dated(&row_of(t)[i]) ? i : -1;
    }
    for (int32_t i = 0; i < t->columns && found < 0; i++) {
        found = t->heading >= 0 && pw_log_says_time(name_of(t, i, heading)) &&
                        is_number(&row_of(t)[i], t->plan->decimal_comma)
                    ? i
                    : -1;
    }
    if (found < 0) {
        return wrong(problems, path, t->first + 1, PW_MISSING, pw_fact_of("log.no-time"), pw_fact_of("log.wants-time"),
                     pw_fact_of("log.say-time"));
    }
    take_time(t, found, "");
    return PW_OK;
}

/* a/b/year: which is the month is told by the first row in which one of them is beyond 12. */
static void find_order(table *t)
{
    bool slashed = false, day_first = false, month_first = false;
    for (int32_t i = t->first; i < t->lines->count; i++) {
        pw_csv_moment moment;
        const int32_t count = pw_log_cut(t->lines->line[i], t->lines->length[i], t->plan->separator,
                                         t->piece + PW_LOG_MOST_COLUMNS, PW_LOG_MOST_COLUMNS);
        if (t->plan->time_at >= count) {
            continue;
        }
        (void)as_time(&row_of(t)[t->plan->time_at], PW_CSV_DAY_FIRST, &moment);
        slashed = slashed || moment.slashed;
        day_first = day_first || (moment.slashed && moment.first > 12);
        month_first = month_first || (moment.slashed && moment.second > 12);
    }
    t->plan->month_first = month_first && !day_first;
    t->plan->either_order = slashed && !month_first && !day_first;
    (void)pw_log_cut(t->lines->line[t->first], t->lines->length[t->first], t->plan->separator,
                     t->piece + PW_LOG_MOST_COLUMNS, PW_LOG_MOST_COLUMNS);
}

/* ---- signals ---- */

/* The unit of a heading that has none: what the trade writes most, by the size of the first value. */
static const char *usual_unit(pw_log_signal signal, double value)
{
    static const char *const usual[PW_LOG_SIGNALS] = {"kPa", "L/min", "L", "A", "W", "m", "", "", "", "h"};
    if (signal == PW_LOG_PRESSURE) {
        return value > 25.0 ? "kPa" : "bar";
    }
    return usual[signal];
}

static pw_status take_column(table *t, int32_t at, pw_log_signal signal, const char *unit, bool asked, const char *path,
                             pw_problems *problems)
{
    pw_log_plan *plan = t->plan;
    char heading[PW_LOG_NAME], own[24];
    double value = 0.0;
    const pw_dimension dimension = pw_log_signal_dimension(signal);
    bool joined = false;
    for (int32_t i = 0; i < plan->count; i++) {
        joined = joined || plan->column[i].signal == signal;
    }
    if ((joined && !asked) || plan->count == PW_LOG_MOST_USED) {
        return PW_OK; /* the first one is taken, but for more that were asked for */
    }
    pw_log_column *column = &plan->column[plan->count];
    memset(column, 0, sizeof *column);
    column->joined = joined;
    pw_log_unit_of(name_of(t, at, heading), own, sizeof own);
    (void)pw_log_number(row_of(t)[at].at, row_of(t)[at].length, plan->decimal_comma, &value);
    const char *taken = unit[0] != '\0' ? unit : own;
    if (!pw_log_unit_read(taken, dimension, &column->factor, &column->zero)) {
        if (unit[0] != '\0') {
            return wrong(problems, path, 0, PW_UNIT, pw_verbatim(unit),
                         pw_fact_of("log.unit-of", pw_word(pw_dimension_message(dimension))), pw_no_fact());
        }
        taken = usual_unit(signal, value);
        column->unit_guessed = pw_log_unit_read(taken, dimension, &column->factor, &column->zero);
    }
    const pw_log_piece piece = {taken, strlen(taken)};
    text_of(&piece, column->unit, sizeof column->unit);
    memcpy(column->name, heading, sizeof column->name);
    column->at = at;
    column->signal = signal;
    column->asked = asked;
    column->first = (value - column->zero) * column->factor;
    plan->count++;
    return PW_OK;
}

static pw_status take_asked(table *t, const pw_log_ask *ask, bool *kept_out, const char *path, pw_problems *problems)
{
    for (int32_t i = 0; i < ask->count; i++) {
        char name[PW_LOG_NAME], what[PW_LOG_NAME], unit[PW_LOG_NAME];
        if (!pw_log_asked_split(ask->columns[i], name, what, unit, PW_LOG_NAME)) {
            return wrong(problems, path, 0, PW_SYNTAX, pw_verbatim(ask->columns[i]), pw_fact_of("log.wants-column"),
                         pw_no_fact());
        }
        const int32_t at = find_column(t, name);
        if (at < 0) {
            return wrong(problems, path, t->heading + 1, PW_REFERENCE, pw_verbatim(name),
                         pw_fact_of("log.wants-heading"), pw_fact_of("log.by-number"));
        }
        kept_out[at] = true;
        if (strcmp(what, "time") == 0) {
            take_time(t, at, unit);
            continue;
        }
        for (int32_t s = 0; s < PW_LOG_SIGNALS; s++) {
            if (strcmp(what, pw_log_signal_id((pw_log_signal)s)) == 0) {
                const pw_status status = take_column(t, at, (pw_log_signal)s, unit, true, path, problems);
                if (status != PW_OK) {
                    return status;
                }
            }
        }
    }
    return PW_OK;
}

static pw_status take_only(table *t, const char *only, const char *path, pw_problems *problems)
{
    const char *equals = only != NULL ? strchr(only, '=') : NULL;
    char name[PW_LOG_NAME];
    t->plan->only_at = -1;
    if (only == NULL) {
        return PW_OK;
    }
    const pw_log_piece piece = {only, equals != NULL ? (size_t)(equals - only) : 0};
    t->plan->only_at = find_column(t, text_of(&piece, name, sizeof name));
    if (equals == NULL || t->plan->only_at < 0) {
        return wrong(problems, path, t->heading + 1, PW_REFERENCE, pw_verbatim(only), pw_fact_of("log.wants-only"),
                     pw_no_fact());
    }
    const pw_log_piece text = {equals + 1, strlen(equals + 1)};
    text_of(&text, t->plan->only, sizeof t->plan->only);
    return PW_OK;
}

static pw_status take_rest(table *t, const bool *kept_out, const char *path, pw_problems *problems)
{
    pw_log_plan *plan = t->plan;
    pw_status status = PW_OK;
    for (int32_t i = 0; i < t->columns && status == PW_OK; i++) {
        char heading[PW_LOG_NAME];
        if (kept_out[i] || i == plan->time_at || i == plan->clock_at || i == plan->only_at) {
            continue;
        }
        const int32_t signal = t->heading >= 0 ? pw_log_signal_of(name_of(t, i, heading)) : -1;
        const int32_t before = plan->count;
        if (signal >= 0) {
            status = take_column(t, i, (pw_log_signal)signal, "", false, path, problems);
        }
        if (plan->count == before) {
            if (plan->unused_count < (int32_t)(sizeof plan->unused / sizeof plan->unused[0])) {
                name_of(t, i, plan->unused[plan->unused_count]);
            }
            plan->unused_count++;
        }
    }
    if (status == PW_OK && plan->count == 0) {
        return wrong(problems, path, t->heading + 1, PW_MISSING, pw_fact_of("log.no-signal"),
                     pw_fact_of("log.wants-signal"), pw_fact_of("log.say-signal"));
    }
    return status;
}

static pw_status plan_of(table *t, const pw_log_ask *ask, const char *path, pw_problems *problems)
{
    bool *kept_out = calloc(PW_LOG_MOST_COLUMNS, sizeof *kept_out);
    bool told_time = false;
    if (kept_out == NULL) {
        return wrong(problems, path, 0, PW_MEMORY, pw_no_fact(), pw_fact_of("input.more-memory"), pw_no_fact());
    }
    t->plan->time_at = t->plan->clock_at = t->plan->only_at = -1;
    t->plan->time_factor = 1.0;
    pw_status status = take_asked(t, ask, kept_out, path, problems);
    told_time = t->plan->time_at >= 0;
    status = status == PW_OK && !told_time ? find_time(t, path, problems) : status;
    status = status == PW_OK ? take_only(t, ask->only, path, problems) : status;
    if (status == PW_OK) {
        find_order(t);
        status = take_rest(t, kept_out, path, problems);
    }
    free(kept_out);
    return status;
}

pw_status pw_log_make_plan(const char *path, const char *bytes, size_t length, const pw_log_ask *ask, pw_log_plan *plan,
                           size_t *data_at, pw_problems *problems)
{
    head lines = {.count = 0};
    const size_t mark = length >= 3 && memcmp(bytes, "\xef\xbb\xbf", 3) == 0 ? 3 : 0;
    if (length >= 2 && (memcmp(bytes, "\xff\xfe", 2) == 0 || memcmp(bytes, "\xfe\xff", 2) == 0)) {
        return wrong(problems, path, 1, PW_SYNTAX, pw_fact_of("input.csv-utf16"), pw_fact_of("input.csv-utf8"),
                     pw_fact_of("input.csv-save-utf8"));
    }
    cut_lines(bytes + mark, length - mark, &lines);
    table t = {.piece = calloc(2 * (size_t)PW_LOG_MOST_COLUMNS, sizeof(pw_log_piece)), .lines = &lines, .plan = plan};
    if (t.piece == NULL) {
        return wrong(problems, path, 0, PW_MEMORY, pw_no_fact(), pw_fact_of("input.more-memory"), pw_no_fact());
    }
    find_separator(&t);
    pw_status status;
    if (t.first < 0) {
        status =
            wrong(problems, path, 1, PW_SYNTAX, length == 0 ? pw_fact_of("input.csv-empty") : pw_fact_of("log.no-rows"),
                  pw_fact_of("input.csv-rows-of-fields"), pw_no_fact());
    } else {
        plan->quoted = memchr(bytes, '"', length) != NULL;
        find_heading(&t);
        *data_at = (size_t)(lines.line[t.first] - bytes);
        status = plan_of(&t, ask, path, problems);
    }
    free(t.piece);
    return status;
}
