/* A logger's file, of any length, row by row: CSV in most of its forms, in constant memory.
 *
 * What its columns are is guessed from the headings and the first rows, told (pw_log_plan), and can be said instead
 * (pw_log_ask). A broken row is counted and passed over; any bytes are safe.
 */
#ifndef PW_ADAPT_LOG_FILE_H
#define PW_ADAPT_LOG_FILE_H

#include "adapt/csv.h"
#include "base/logged.h"

enum {
    PW_LOG_MOST_COLUMNS = 16384,
    PW_LOG_MOST_ASKED = 64,
    PW_LOG_MOST_USED = 64,
    PW_LOG_NAME = 96,
    PW_LOG_HEAD = 1 << 20
};

typedef struct pw_log_ask {
    int32_t count;
    const char *columns[PW_LOG_MOST_ASKED]; /* "NAME=pressure kPa", "NAME=time s", "column 3=flow L/min", "NAME=-" */
    const char *only;                       /* "NAME=text": rows that have it there; NULL all */
} pw_log_ask;

typedef struct pw_log_column {
    int32_t at; /* from 0 */
    pw_log_signal signal;
    char name[PW_LOG_NAME], unit[24];
    double factor, zero; /* SI = (value - zero) * factor */
    bool asked, unit_guessed;
    bool joined;  /* more of a signal that an earlier column has: added to it, or averaged with it */
    double first; /* of the first row, SI */
} pw_log_column;

typedef struct pw_log_plan {
    char separator;
    bool decimal_comma, quoted;
    int32_t heading_line, columns_seen;         /* 0: columns by number only */
    int32_t time_at, clock_at;                  /* clock_at: a clock in a column of its own, -1 */
    char time_name[PW_LOG_NAME], time_unit[24]; /* unit: of plain numbers, "" none */
    bool dated, month_first, either_order;      /* either_order: day and month could be exchanged */
    double time_factor;                         /* of plain numbers, to s */
    int32_t only_at;
    char only[PW_LOG_NAME];
    int32_t count; /* columns used */
    pw_log_column column[PW_LOG_MOST_USED];
    int32_t unused_count; /* columns that are of no use, the first of them by name */
    char unused[6][PW_LOG_NAME];
} pw_log_plan;

typedef struct pw_log_file pw_log_file;

/* Where the bytes come from: so many were read, 0 at the end, less than 0 when it could not go on. */
typedef struct pw_log_source {
    int64_t (*read)(void *user, char *out, size_t most);
    void *user;
    bool live; /* it grows while it is read: what it is is told from its first lines, and not from its first megabyte */
} pw_log_source;

/* name: for messages. NULL: a problem was told. */
pw_log_file *pw_log_open(const char *name, const pw_log_source *source, const pw_log_ask *ask, pw_problems *problems);
const pw_log_plan *pw_log_plan_of(const pw_log_file *file);
/* The next row; false at the end. A source that is live is waited for. */
bool pw_log_file_next(pw_log_file *file, pw_log_row *row);
/* Lines read, and those passed over: blank or comment, time not read, other rows (only). */
typedef struct pw_log_lines {
    int64_t read, empty, bad_time, other, first_bad_line;
    bool broken; /* it could not be read to its end */
} pw_log_lines;
pw_log_lines pw_log_lines_of(const pw_log_file *file);
void pw_log_close(pw_log_file *file);

#endif
