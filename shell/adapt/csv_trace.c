/* A measured flow from a CSV file: find the columns, read the rows, turn them into steps of flow. */
#include <stdlib.h>
#include <string.h>

#include "adapt/csv_inside.h"
#include "base/num.h"

#define DAY_S        86400.0
#define LEAST_STEP_S 0.001
/* Clocks of loggers jitter: a row holds until the next one when that comes within so many steps. */
#define JITTER_STEPS 1.5

/* ---- rows ---- */

static void begin_rows(const pw_csv_reader *r, pw_csv *csv)
{
    pw_csv_begin(csv, r->bytes, r->length, r->out->separator);
    csv->at = r->data_at;
    csv->line = r->data_line;
}

/* From the first to the last moment of a file, read in one order of day and month. */
typedef struct span {
    double from_s, to_s;
} span;

static void widen(span *out, double moment_s)
{
    out->from_s = pw_min(out->from_s, moment_s);
    out->to_s = pw_max(out->to_s, moment_s);
}

/* In a/b/year the day comes first, unless some row only makes sense the other way round. Where all rows fit both ways,
 * the way in which they lie closer together: days that follow each other would be months apart the other way. */
static void find_settings(pw_csv_reader *r)
{
    pw_csv csv;
    pw_csv_row row;
    bool slashed = false, day_first = false, month_first = false;
    span by_day = {1e300, -1e300}, by_month = by_day;
    begin_rows(r, &csv);
    while (pw_csv_next(&csv, &row)) {
        pw_csv_moment moment, other;
        if (r->time_at >= pw_csv_kept(&row)) {
            continue;
        }
        const bool read = pw_csv_row_time(r, &row, PW_CSV_DAY_FIRST, &moment);
        slashed = slashed || moment.slashed;
        day_first = day_first || (moment.slashed && moment.first > 12);
        if (moment.slashed && moment.first <= 12 && moment.second > 12) {
            month_first = true;
        }
        if (read) {
            widen(&by_day, moment.seconds);
        }
        if (!moment.slashed && read) { /* the same either way */
            widen(&by_month, moment.seconds);
        } else if (moment.slashed && !day_first && !month_first &&
                   pw_csv_row_time(r, &row, PW_CSV_MONTH_FIRST, &other)) {
            widen(&by_month, other.seconds);
        }
    }
    r->out->guessed_settings = slashed && !day_first && !month_first;
    if (r->out->guessed_settings) {
        month_first = by_month.to_s - by_month.from_s < by_day.to_s - by_day.from_s;
    }
    r->settings = month_first && !day_first ? PW_CSV_MONTH_FIRST : PW_CSV_DAY_FIRST;
}

static void skip(pw_csv_reader *r, pw_csv_skip reason, int32_t line, int32_t column)
{
    if (r->out->skipped[reason] == 0) {
        r->out->skipped_line[reason] = line;
        r->out->skipped_column[reason] = column;
    }
    r->out->skipped[reason]++;
}

static bool keep_row(pw_csv_reader *r, double time_s, double value, double end_s)
{
    if (r->count == r->capacity) {
        int64_t larger = r->capacity == 0 ? 4096 : r->capacity * 2;
        double *times = realloc(r->time_s, sizeof *times * (size_t)larger);
        if (times == NULL) {
            return false;
        }
        r->time_s = times;
        double *values = realloc(r->value, sizeof *values * (size_t)larger);
        if (values == NULL) {
            return false;
        }
        r->value = values;
        double *ends = realloc(r->end_s, sizeof *ends * (size_t)larger);
        if (ends == NULL) {
            return false;
        }
        r->end_s = ends;
        r->capacity = larger;
    }
    r->time_s[r->count] = time_s;
    r->value[r->count] = value;
    r->end_s[r->count] = end_s;
    r->last_s = time_s;
    r->count++;
    return true;
}

/* The core's time is whole milliseconds: rows within one are rows of the same time. */
static double whole_ms(double seconds)
{
    return pw_floor(seconds * 1000.0 + 0.5) / 1000.0;
}

/* Seconds by the clock on the wall of the first row: a later change of the zone is taken out. */
static double wall_s(pw_csv_reader *r, const pw_csv_moment *moment)
{
    if (!moment->zoned) {
        return moment->seconds;
    }
    if (!r->any_zone) {
        r->any_zone = true;
        r->first_zone_s = moment->zone_s;
    }
    return moment->seconds - moment->zone_s + r->first_zone_s;
}

/* A row that is passed over still says until when the logger wrote. */
static void note_time(pw_csv_reader *r, const pw_csv_row *row)
{
    pw_csv_moment moment;
    if (r->count > 0 && r->time_at < pw_csv_kept(row) && pw_csv_row_time(r, row, r->settings, &moment)) {
        const double time_s = whole_ms(wall_s(r, &moment));
        r->last_s = time_s - r->time_s[0] <= PW_CSV_MAX_DAYS * DAY_S ? time_s : r->last_s;
    }
}

/* Is it a row of another home, pump or meter of this file? */
static bool of_others(const pw_csv_reader *r, const pw_csv_row *row)
{
    char words[PW_CSV_WORD];
    return r->keep_at >= 0 && (r->keep_at >= pw_csv_kept(row) ||
                               strcmp(pw_csv_text(&row->fields[r->keep_at], words, sizeof words), r->ask->only) != 0);
}

/* Seconds: a number of the unit that was asked for, or "0:07:30". */
static bool read_length(const pw_csv_reader *r, const char *words, double *out)
{
    if (pw_csv_number(words, r->decimal_comma, out)) {
        *out *= r->lasts_factor;
        return true;
    }
    return pw_csv_clock_length(words, out);
}

/* DRAW: when this one ends. False: its field cannot be read. */
static bool read_end(pw_csv_reader *r, const pw_csv_row *row, double time_s, double *out)
{
    char words[PW_CSV_WORD];
    double length;
    *out = time_s;
    if (r->lasts_at >= 0) {
        const bool read = r->lasts_at < pw_csv_kept(row) &&
                          read_length(r, pw_csv_text(&row->fields[r->lasts_at], words, sizeof words), &length) &&
                          length >= 0.0 && length <= PW_CSV_MAX_DAYS * DAY_S;
        *out += read ? length : 0.0;
        return read;
    }
    if (r->end_at >= 0) {
        pw_csv_reader of_end = *r;
        pw_csv_moment moment;
        of_end.time_at = r->end_at;
        const bool read = r->end_at < pw_csv_kept(row) && pw_csv_row_time(&of_end, row, r->settings, &moment);
        *out = read ? whole_ms(wall_s(r, &moment)) : time_s;
        return read && *out >= time_s;
    }
    return true;
}

/* A draw may begin before the row above it: draws are sorted later. Else times rise. */
static bool goes_back(const pw_csv_reader *r, double time_s)
{
    return r->out->taken != PW_CSV_DRAW && time_s < r->time_s[r->count - 1];
}

/* One row of data. False: no memory. */
static bool take_row(pw_csv_reader *r, const pw_csv_row *row)
{
    char words[PW_CSV_WORD];
    pw_csv_moment moment;
    double value;
    if (row->blank) {
        skip(r, PW_CSV_BLANK, row->line, 1);
        return true;
    }
    if (row->comment) {
        skip(r, PW_CSV_COMMENT, row->line, 1);
        return true;
    }
    if (of_others(r, row)) {
        skip(r, PW_CSV_OTHER, row->line, 1);
        return true;
    }
    note_time(r, row);
    int32_t furthest = r->time_at > r->flow_at ? r->time_at : r->flow_at;
    if (furthest >= pw_csv_kept(row)) {
        skip(r, PW_CSV_SHORT, row->line, 1);
        return true;
    }
    const pw_csv_field *time = &row->fields[r->time_at], *flow = &row->fields[r->flow_at];
    if (!pw_csv_row_time(r, row, r->settings, &moment)) {
        skip(r, PW_CSV_TIME, time->line, time->column);
        return true;
    }
    const bool quoted = flow->start > r->bytes && flow->start[-1] == '"'; /* "1,5" between commas */
    if (!pw_csv_number(pw_csv_text(flow, words, sizeof words), r->decimal_comma || quoted, &value)) {
        skip(r, PW_CSV_VALUE, flow->line, flow->column);
        return true;
    }
    if (value < 0.0) {
        skip(r, PW_CSV_NEGATIVE, flow->line, flow->column);
        return true;
    }
    /* of an amount only what no second could bring is odd here; its flow is looked at when its step is known */
    if (r->out->taken != PW_CSV_REGISTER &&
        value * r->factor > (r->out->amounts ? PW_CSV_MOST_M3S * DAY_S : PW_CSV_MOST_M3S)) {
        skip(r, PW_CSV_HIGH, flow->line, flow->column);
        return true;
    }
    double time_s = whole_ms(wall_s(r, &moment)), end_s;
    if (!read_end(r, row, time_s, &end_s)) {
        skip(r, PW_CSV_TIME, row->line, 1);
        return true;
    }
    if (r->count == 0) {
        r->out->dated = moment.dated;
        r->out->epoch = moment.dated && moment.counted && r->ask->zone == NULL;
    } else if (goes_back(r, time_s)) {
        skip(r, PW_CSV_BACK, time->line, time->column);
        return true;
    } else if (r->out->taken != PW_CSV_DRAW && time_s == r->time_s[r->count - 1]) {
        skip(r, PW_CSV_SAME, time->line, time->column);
        double before = r->out->taken == PW_CSV_AMOUNT ? r->value[r->count - 1] : 0.0;
        r->value[r->count - 1] = before + value;
        return true;
    }
    return keep_row(r, time_s, value, end_s);
}

static pw_status read_rows(pw_csv_reader *r)
{
    pw_csv csv;
    pw_csv_row row;
    begin_rows(r, &csv);
    while (pw_csv_next(&csv, &row)) {
        if (row.unclosed) {
            const pw_csv_field *last = &row.fields[pw_csv_kept(&row) - 1];
            return pw_csv_complain(r, PW_SYNTAX, last->line, last->column, pw_fact_of("input.csv-open-quote"),
                                   pw_fact_of("input.double-quote"), pw_no_fact());
        }
        if (!take_row(r, &row)) {
            return pw_csv_no_memory(r);
        }
    }
    r->out->rows = r->count;
    if (r->count > 0 && r->out->dated) {
        const double day = pw_floor(r->time_s[0] / DAY_S) + 3.0; /* 1970-01-01 was a Thursday */
        r->out->first_weekday = (int32_t)(day - 7.0 * pw_floor(day / 7.0));
    }
    return PW_OK;
}

/* ---- steps of flow ---- */

static int compare_doubles(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The usual step between rows: the median. 0: fewer than two rows, or no memory. */
static double usual_step_s(const pw_csv_reader *r)
{
    if (r->count < 2) {
        return 0.0;
    }
    size_t gaps = (size_t)(r->count - 1);
    double *gap_s = malloc(sizeof *gap_s * gaps);
    if (gap_s == NULL) {
        return 0.0;
    }
    for (size_t i = 0; i < gaps; i++) {
        gap_s[i] = r->time_s[i + 1] - r->time_s[i];
    }
    qsort(gap_s, gaps, sizeof *gap_s, compare_doubles);
    double median_s = gap_s[gaps / 2];
    free(gap_s);
    return median_s;
}

/* From time_s on flow_m3s. Equal flows join; a step shorter than a millisecond gives way to the next. */
static void push(pw_csv_trace *out, double time_s, double flow_m3s)
{
    double whole_s = whole_ms(time_s);
    if (out->count > 0 && out->times_s[out->count - 1] >= whole_s) {
        out->count--;
    }
    if (out->count > 0 && out->flows_m3s[out->count - 1] == flow_m3s) {
        return;
    }
    out->times_s[out->count] = whole_s;
    out->flows_m3s[out->count] = flow_m3s;
    out->count++;
}

static pw_status build_steps(pw_csv_reader *r, double usual_s)
{
    pw_csv_trace *out = r->out;
    double first_s = r->time_s[0];
    double base_s = out->dated ? pw_floor(first_s / DAY_S) * DAY_S : pw_min(first_s, 0.0);
    double step_s = out->step_s, end_s = first_s;
    double last_s = step_s > 0.0 ? step_s : usual_s; /* of the last row */
    push(out, 0.0, 0.0);
    for (int64_t i = 0; i < r->count; i++) {
        double after_s = r->has_stop ? r->stop_s : pw_max(r->time_s[i], r->last_s) + last_s;
        double next_s = i + 1 < r->count ? r->time_s[i + 1] : after_s;
        double gap_s = next_s - r->time_s[i];
        bool silence = step_s > 0.0 && gap_s > JITTER_STEPS * step_s;
        double hold_s = silence ? step_s : gap_s;
        double flow_m3s = r->value[i] * r->factor / (out->amounts ? hold_s : 1.0);
        push(out, r->time_s[i] - base_s, flow_m3s);
        end_s = r->time_s[i] + hold_s;
        out->volume_m3 += flow_m3s * hold_s;
        out->peak_m3s = pw_max(out->peak_m3s, flow_m3s);
        if (silence) {
            push(out, end_s - base_s, 0.0);
            out->silent_s += gap_s - hold_s;
            end_s = r->time_s[i] + gap_s;
        }
        if (flow_m3s > PW_CSV_MOST_M3S) {
            return pw_csv_complain(r, PW_RANGE, 0, 0, pw_fact_of("input.csv-flow-high"),
                                   pw_fact_of("input.csv-flow-of-site"), pw_fact_of("input.csv-unit-right"));
        }
        if (out->count > PW_CSV_MAX_CHANGES) {
            return pw_csv_complain(r, PW_LIMIT, 0, 0, pw_fact_of("input.csv-many-changes"),
                                   pw_fact_of("input.csv-changes-at-most", pw_count(PW_CSV_MAX_CHANGES)),
                                   pw_fact_of("input.csv-cut-file"));
        }
    }
    double length_s = end_s - base_s;
    double whole_s = out->dated ? pw_ceil(length_s / DAY_S - 1e-9) * DAY_S : length_s;
    out->padded_s = out->dated ? first_s - base_s + whole_s - length_s : 0.0;
    push(out, length_s, 0.0);
    if (out->times_s[out->count - 1] < whole_s) {
        out->times_s[out->count] = whole_s; /* the end, even when nothing flows before it */
        out->flows_m3s[out->count] = 0.0;
        out->count++;
    }
    return PW_OK;
}

static void note_gaps(pw_csv_reader *r, double usual_s)
{
    r->out->usual_s = usual_s;
    for (int64_t i = 0; i + 1 < r->count; i++) {
        r->out->longest_gap_s = pw_max(r->out->longest_gap_s, r->time_s[i + 1] - r->time_s[i]);
    }
}

static pw_status make_steps(pw_csv_reader *r)
{
    pw_csv_trace *out = r->out;
    if (out->taken == PW_CSV_DRAW) {
        return pw_csv_draws(r);
    }
    r->rising = pw_csv_rises(r);
    double usual_s = usual_step_s(r);
    note_gaps(r, usual_s);
    if (out->taken == PW_CSV_REGISTER) {
        pw_csv_register(r);
    } else if (out->stamps_end) {
        pw_csv_ends_to_begins(r, r->ask->step_s > 0.0 ? r->ask->step_s : usual_s);
    }
    if (out->taken == PW_CSV_REGISTER && r->count < 1) {
        return pw_csv_complain(r, PW_MISSING, r->data_line, 1, pw_fact_of("input.csv-single-row"),
                               pw_fact_of("input.csv-two-readings"), pw_no_fact());
    }
    out->step_s = r->ask->step_s > 0.0 ? r->ask->step_s : (out->taken == PW_CSV_AMOUNT ? usual_s : 0.0);
    if ((out->step_s > 0.0 ? out->step_s : usual_s) < LEAST_STEP_S) {
        return pw_csv_complain(r, PW_MISSING, r->data_line, 1, pw_fact_of("input.csv-single-row"),
                               pw_fact_of("input.csv-two-rows"), pw_no_fact());
    }
    if (r->time_s[r->count - 1] - r->time_s[0] > PW_CSV_MAX_DAYS * DAY_S) {
        return pw_csv_complain(r, PW_RANGE, r->data_line, 1, pw_fact_of("input.csv-years-apart"),
                               pw_fact_of("input.csv-shorter"), pw_no_fact());
    }
    /* each row may end with a step to nothing; begin and end add three */
    size_t most = 2 * (size_t)r->count + 4;
    out->times_s = calloc(most, sizeof *out->times_s);
    out->flows_m3s = calloc(most, sizeof *out->flows_m3s);
    if (out->times_s == NULL || out->flows_m3s == NULL) {
        return pw_csv_no_memory(r);
    }
    return build_steps(r, usual_s);
}

static pw_status read_all(pw_csv_reader *r)
{
    if (r->length > PW_CSV_MAX_BYTES) {
        return pw_csv_complain(r, PW_LIMIT, 0, 0,
                               pw_fact_of("input.csv-large-file", pw_count(PW_CSV_MAX_BYTES / (1024 * 1024))),
                               pw_fact_of("input.csv-smaller-file"), pw_no_fact());
    }
    if (r->length >= 2 && (memcmp(r->bytes, "\xff\xfe", 2) == 0 || memcmp(r->bytes, "\xfe\xff", 2) == 0)) {
        return pw_csv_complain(r, PW_SYNTAX, 1, 1, pw_fact_of("input.csv-utf16"), pw_fact_of("input.csv-utf8"),
                               pw_fact_of("input.csv-save-utf8"));
    }
    pw_status status = pw_csv_read_unit(r);
    status = status == PW_OK ? pw_csv_read_ways(r) : status;
    status = status == PW_OK ? pw_csv_find_columns(r) : status;
    if (status == PW_OK) {
        find_settings(r);
        status = read_rows(r);
    }
    if (status == PW_OK) {
        status = r->count == 0 ? pw_csv_no_rows(r) : pw_csv_refuse_most(r);
        status = status == PW_OK ? make_steps(r) : status;
    }
    return status;
}

pw_status pw_csv_trace_read(const char *file, const char *bytes, size_t length, const pw_csv_ask *ask,
                            pw_csv_trace *out, pw_problems *problems)
{
    pw_csv_reader r = {.file = file, .bytes = bytes, .length = length, .ask = ask, .problems = problems, .out = out};
    memset(out, 0, sizeof *out);
    out->first_weekday = -1;
    pw_status status = read_all(&r);
    free(r.time_s);
    free(r.value);
    free(r.end_s);
    if (status != PW_OK) {
        pw_csv_trace_free(out);
        return status;
    }
    pw_csv_tell(&r);
    return PW_OK;
}

void pw_csv_trace_free(pw_csv_trace *trace)
{
    free(trace->times_s);
    free(trace->flows_m3s);
    trace->times_s = NULL;
    trace->flows_m3s = NULL;
    trace->count = 0;
}
