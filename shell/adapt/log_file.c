/* Reading on: a block of the file in memory, lines cut where they stand, only the fields that are of use looked at. */
#include "adapt/log_file.h"

#include <stdlib.h>
#include <string.h>

#include "adapt/log_inside.h"
#include "base/num.h"

enum { BLOCK = 1 << 20, STAMP = 40 };

struct pw_log_file {
    pw_log_source source;
    char *block;
    size_t at, end;
    bool over;
    pw_log_plan plan;
    pw_log_lines lines;
    int32_t sequence[PW_LOG_MOST_USED + 3], sequence_count; /* columns to look at, rising */
    int32_t part[PW_LOG_MOST_USED + 3];                     /* of each the column of the plan, -1: another one */
    bool plain; /* the time stands first, no clock, no filter, nothing joined */
    bool joins;
    char stamp[STAMP]; /* the last time that was read as a whole, and its moment less minutes and seconds */
    size_t stamp_length;
    double stamp_base_s, zone_s;
    bool any_zone;
};

/* ---- times ---- */

static unsigned two(const char *at)
{
    const unsigned a = (unsigned)(unsigned char)at[0] - '0', b = (unsigned)(unsigned char)at[1] - '0';
    return a <= 9 && b <= 9 ? 10 * a + b : 1000;
}

/* "...:MM:SS" of the same hour as before. */
static bool same_hour(const pw_log_file *f, const char *at, size_t length, double *out)
{
    if (length != f->stamp_length || length < 6 || memcmp(at, f->stamp, length - 5) != 0) {
        return false;
    }
    const unsigned minute = two(at + length - 5), second = two(at + length - 2);
    *out = f->stamp_base_s + 60.0 * (double)minute + (double)second;
    return minute < 60 && second < 60 && at[length - 3] == ':' && at[length - 6] == ':';
}

static bool whole_time(pw_log_file *f, const char *words, double *out)
{
    pw_csv_moment moment;
    const size_t length = strlen(words);
    if (!pw_csv_time(words, f->plan.month_first ? PW_CSV_MONTH_FIRST : PW_CSV_DAY_FIRST, &moment)) {
        return false;
    }
    *out = moment.seconds;
    if (moment.zoned) {
        f->zone_s = f->any_zone ? f->zone_s : moment.zone_s;
        f->any_zone = true;
        *out += f->zone_s - moment.zone_s; /* as the first row's clock would show it */
    } else if (!moment.dated) {
        *out *= f->plan.time_factor;
    }
    f->stamp_length = 0;
    if (moment.dated && !moment.counted && !moment.zoned && length >= 8 && length < STAMP && words[length - 3] == ':' &&
        words[length - 6] == ':' && two(words + length - 5) < 60 && two(words + length - 2) < 60) {
        memcpy(f->stamp, words, length);
        f->stamp_length = length;
        f->stamp_base_s = *out - 60.0 * (double)two(words + length - 5) - (double)two(words + length - 2);
    }
    return true;
}

static bool time_of(pw_log_file *f, const pw_log_piece *date, const pw_log_piece *clock, double *out)
{
    char words[PW_LOG_NAME];
    if (clock == NULL && !f->plan.dated && pw_log_number(date->at, date->length, f->plan.decimal_comma, out)) {
        *out *= f->plan.time_factor;
        return true;
    }
    if (clock == NULL && same_hour(f, date->at, date->length, out)) {
        return true;
    }
    const size_t second = clock != NULL ? clock->length + 1 : 0;
    if (date->length == 0 || date->length + second >= sizeof words) {
        return false;
    }
    memcpy(words, date->at, date->length);
    if (clock != NULL) {
        words[date->length] = ' ';
        memcpy(words + date->length + 1, clock->at, clock->length);
    }
    words[date->length + second] = '\0';
    return strlen(words) == date->length + second && whole_time(f, words, out);
}

/* ---- rows ---- */

static void look_in_sequence(pw_log_file *f)
{
    const pw_log_plan *plan = &f->plan;
    int32_t wanted[PW_LOG_MOST_USED + 3], count = 0;
    wanted[count++] = plan->time_at;
    if (plan->clock_at >= 0) {
        wanted[count++] = plan->clock_at;
    }
    if (plan->only_at >= 0) {
        wanted[count++] = plan->only_at;
    }
    for (int32_t i = 0; i < plan->count; i++) {
        wanted[count++] = plan->column[i].at;
        f->joins = f->joins || plan->column[i].joined;
    }
    for (int32_t i = 0; i < count; i++) { /* rising, each once */
        int32_t least = -1;
        for (int32_t k = 0; k < count; k++) {
            const int32_t last = f->sequence_count > 0 ? f->sequence[f->sequence_count - 1] : -1;
            if (wanted[k] > last && (least < 0 || wanted[k] < least)) {
                least = wanted[k];
            }
        }
        if (least >= 0) {
            f->sequence[f->sequence_count++] = least;
        }
    }
    for (int32_t k = 0; k < f->sequence_count; k++) {
        f->part[k] = -1;
        for (int32_t i = 0; i < plan->count; i++) {
            f->part[k] = plan->column[i].at == f->sequence[k] ? i : f->part[k];
        }
    }
    f->plain = plan->time_at == 0 && plan->clock_at < 0 && plan->only_at < 0 && !f->joins && plan->separator != ' ';
}

/* Only the columns of use: piece k is that of sequence[k]; returns how many there are. */
static int32_t cut_wanted(const pw_log_file *f, const char *at, const char *end, pw_log_piece *out)
{
    const char separator = f->plan.separator;
    int32_t column = 0, k = 0;
    while (separator == ' ' && at < end && *at == ' ') {
        at++;
    }
    while (k < f->sequence_count && at <= end) {
        const char *stop = pw_log_field_end(at, end, separator, f->plan.quoted);
        if (column == f->sequence[k]) {
            out[k++] = pw_log_trimmed(at, stop);
        }
        column++;
        at = stop + 1;
        while (separator == ' ' && at < end && *at == ' ') {
            at++;
        }
    }
    return k;
}

static const pw_log_piece *piece_of(const pw_log_file *f, const pw_log_piece *pieces, int32_t count, int32_t column)
{
    for (int32_t k = 0; k < count; k++) {
        if (f->sequence[k] == column) {
            return &pieces[k];
        }
    }
    return NULL;
}

/* ---- rows as most files write them ---- */

static inline uint64_t eight(const char *at)
{
    uint64_t out;
    memcpy(&out, at, sizeof out);
    return out;
}

/* The same bytes? length: 8 .. 16; overlapping words, for a call costs more than the comparison. */
static inline bool same_bytes(const char *a, const char *b, size_t length)
{
    return eight(a) == eight(b) && eight(a + length - 8) == eight(b + length - 8);
}

/* Digits with one decimal sign from at on; moves it behind the last. false: something else stands there. */
static inline bool quick_number(const char **at, const char *end, char sign, double *out)
{
    static const double power[] = {1.0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                   1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
    const char *p = *at;
    const bool minus = p < end && *p == '-';
    int64_t digits = 0;
    p += minus ? 1 : 0;
    const char *const first = p;
    unsigned digit;
    while (p < end && (digit = (unsigned)(unsigned char)*p - '0') <= 9) {
        digits = digits * 10 + (int64_t)digit;
        p++;
    }
    ptrdiff_t count = p - first, behind = 0;
    if (p < end && *p == sign) {
        p++;
        const char *const part = p;
        while (p < end && (digit = (unsigned)(unsigned char)*p - '0') <= 9) {
            digits = digits * 10 + (int64_t)digit;
            p++;
        }
        behind = p - part;
        count += behind;
    }
    if (count == 0 || count > 15) {
        return false;
    }
    const double value = (double)digits / power[behind];
    *out = minus ? -value : value;
    *at = p;
    return true;
}

/* A row whose time is of the hour before, with plain numbers in its columns of use: read from left to right, once.
 * false: the row is another one, and is read the careful way; row is half written then. */
static bool quick_row(const pw_log_file *f, const char *line, const char *end, pw_log_row *row)
{
    const pw_log_plan *plan = &f->plan;
    const size_t stamp = f->stamp_length;
    const char separator = plan->separator, sign = plan->decimal_comma ? ',' : '.';
    if (!f->plain || stamp < 13 || stamp > 21 || (size_t)(end - line) <= stamp || line[stamp] != separator ||
        !same_bytes(line, f->stamp, stamp - 5) || line[stamp - 3] != ':') {
        return false;
    }
    const unsigned minute = two(line + stamp - 5), second = two(line + stamp - 2);
    if (minute > 59 || second > 59) {
        return false;
    }
    row->t_s = f->stamp_base_s + (double)(60 * minute + second);
    for (int32_t s = 0; s < PW_LOG_SIGNALS; s++) {
        row->value[s] = PW_LOG_MISSING;
    }
    const char *at = line + stamp + 1;
    int32_t column = 1;
    for (int32_t k = 1; k < f->sequence_count; k++) {
        for (; column < f->sequence[k]; column++) {
            at = memchr(at, separator, (size_t)(end - at));
            if (at == NULL) {
                return false;
            }
            at++;
        }
        const pw_log_column *of = &plan->column[f->part[k]];
        double value;
        if (!quick_number(&at, end, sign, &value) || (at < end && *at != separator && *at != '\r')) {
            return false;
        }
        row->value[of->signal] = (value - of->zero) * of->factor;
        at += at < end ? 1 : 0;
        column++;
    }
    return true;
}

/* ---- all other rows ---- */

/* More columns of one signal: what flows, is taken up or counted is added, and known only where all are; states are
 * averaged over those that are there; one that runs is enough. */
static void join(pw_log_signal signal, double value, int32_t before, double *all)
{
    switch (signal) {
    case PW_LOG_PRESSURE:
    case PW_LOG_LEVEL:
        *all = value - value != 0.0 ? *all : *all - *all != 0.0 ? value : *all + (value - *all) / (double)(before + 1);
        break;
    case PW_LOG_RUNNING:
    case PW_LOG_VIBRATION: *all = *all >= value || value - value != 0.0 ? *all : value; break;
    default: *all += value;
    }
}

static void take_columns(const pw_log_file *f, const pw_log_piece *pieces, int32_t count, pw_log_row *row)
{
    const pw_log_plan *plan = &f->plan;
    int32_t joined[PW_LOG_SIGNALS] = {0};
    for (int32_t i = 0; i < plan->count; i++) {
        const pw_log_column *column = &plan->column[i];
        const pw_log_piece *piece = piece_of(f, pieces, count, column->at);
        double value;
        const bool good =
            piece != NULL && piece->length > 0 && pw_log_number(piece->at, piece->length, plan->decimal_comma, &value);
        const double si = good ? (value - column->zero) * column->factor : PW_LOG_MISSING;
        if (column->joined) {
            join(column->signal, si, joined[column->signal], &row->value[column->signal]);
        } else {
            row->value[column->signal] = si;
        }
        joined[column->signal] += si - si == 0.0 ? 1 : 0;
    }
}

static bool read_row(pw_log_file *f, const char *line, const char *end, pw_log_row *row)
{
    if (quick_row(f, line, end, row)) {
        return true;
    }
    static const pw_log_piece none = {"", 0};
    pw_log_piece pieces[PW_LOG_MOST_USED + 3];
    const pw_log_plan *plan = &f->plan;
    const int32_t count = cut_wanted(f, line, end, pieces);
    const pw_log_piece *time = piece_of(f, pieces, count, plan->time_at);
    const pw_log_piece *clock = plan->clock_at >= 0 ? piece_of(f, pieces, count, plan->clock_at) : NULL;
    if (plan->only_at >= 0) {
        const pw_log_piece *only = piece_of(f, pieces, count, plan->only_at);
        const size_t length = strlen(plan->only);
        if (only == NULL || only->length != length || memcmp(only->at, plan->only, length) != 0) {
            f->lines.other++;
            return false;
        }
    }
    if (time == NULL || !time_of(f, time, plan->clock_at >= 0 && clock == NULL ? &none : clock, &row->t_s)) {
        f->lines.bad_time++;
        f->lines.first_bad_line = f->lines.first_bad_line > 0 ? f->lines.first_bad_line : f->lines.read;
        return false;
    }
    for (int32_t s = 0; s < PW_LOG_SIGNALS; s++) {
        row->value[s] = PW_LOG_MISSING;
    }
    take_columns(f, pieces, count, row);
    return true;
}

/* More of the file behind what is left; a line longer than the block is cut. */
static void refill(pw_log_file *f)
{
    memmove(f->block, f->block + f->at, f->end - f->at);
    f->end -= f->at;
    f->at = 0;
    const int64_t got = f->source.read(f->source.user, f->block + f->end, BLOCK - f->end);
    f->lines.broken = f->lines.broken || got < 0;
    f->over = got <= 0;
    f->end += got > 0 ? (size_t)got : 0;
}

bool pw_log_file_next(pw_log_file *f, pw_log_row *row)
{
    for (;;) {
        char *line = f->block + f->at;
        char *stop = f->at < f->end ? memchr(line, '\n', f->end - f->at) : NULL;
        if (stop == NULL && !f->over && f->end - f->at < BLOCK) {
            refill(f);
            continue;
        }
        if (stop == NULL && f->at == f->end) {
            return false;
        }
        stop = stop != NULL ? stop : f->block + f->end;
        f->at = (size_t)(stop - f->block) + (stop < f->block + f->end ? 1 : 0);
        f->lines.read++;
        if (stop == line || *line == '#' || *line == '\r') {
            f->lines.empty++;
        } else if (read_row(f, line, stop, row)) {
            return true;
        }
    }
}

/* ---- open and close ---- */

/* Headings and some rows (own choice). */
enum { LIVE_LINES = 8 };

static int32_t lines_in(const pw_log_file *f)
{
    int32_t count = 0;
    for (size_t i = 0; i < f->end; i++) {
        count += f->block[i] == '\n' ? 1 : 0;
    }
    return count;
}

static pw_status begin(pw_log_file *f, const char *path, const pw_log_ask *ask, pw_problems *problems)
{
    size_t data_at = 0;
    while (!f->over && f->end < PW_LOG_HEAD && !(f->source.live && lines_in(f) >= LIVE_LINES)) {
        refill(f);
    }
    const size_t head = f->end < PW_LOG_HEAD ? f->end : PW_LOG_HEAD;
    const pw_status status = pw_log_make_plan(path, f->block, head, ask, &f->plan, &data_at, problems);
    for (size_t i = 0; i < data_at && status == PW_OK; i++) {
        f->lines.read += f->block[i] == '\n' ? 1 : 0;
    }
    f->at = data_at;
    look_in_sequence(f);
    return status;
}

pw_log_file *pw_log_open(const char *name, const pw_log_source *source, const pw_log_ask *ask, pw_problems *problems)
{
    pw_log_file *f = calloc(1, sizeof *f);
    if (f != NULL) {
        f->source = *source;
        f->block = malloc(BLOCK);
    }
    if (f == NULL || f->block == NULL) {
        pw_problem_tell(problems, PW_MEMORY, name, pw_no_fact(), pw_fact_of("input.more-memory"), pw_no_fact());
    } else if (begin(f, name, ask, problems) == PW_OK) {
        return f;
    }
    pw_log_close(f);
    return NULL;
}

const pw_log_plan *pw_log_plan_of(const pw_log_file *file)
{
    return &file->plan;
}

pw_log_lines pw_log_lines_of(const pw_log_file *file)
{
    return file->lines;
}

void pw_log_close(pw_log_file *f)
{
    if (f == NULL) {
        return;
    }
    free(f->block);
    free(f);
}
