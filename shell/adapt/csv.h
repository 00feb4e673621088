/* Files of loggers and meters in CSV form, as they come: quoted fields, any line ends, a byte order mark, title and
 * comment lines before the headings, "," ";" or tab between the fields, decimal commas, and half a dozen ways to write
 * a time.
 *
 * A broken row is passed over and counted under its reason; nothing is lost silently. Any bytes are safe to read.
 * The form is described in docs/demand.md.
 */
#ifndef PW_ADAPT_CSV_H
#define PW_ADAPT_CSV_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/status.h"
#include "base/text.h"

enum {
    PW_CSV_MAX_FIELDS = 128,     /* of one row; further ones are counted but not kept */
    PW_CSV_TITLE_ROWS = 100,     /* the headings must stand within so many rows */
    PW_CSV_MAX_CHANGES = 200000, /* changes of flow in one trace */
    PW_CSV_MAX_DAYS = 3660,      /* length of one trace */
    PW_CSV_MAX_BYTES = 64 * 1024 * 1024
};

/* ---- rows and fields (csv.c) ---- */

typedef struct pw_csv_field {
    const char *start; /* within the file's bytes, without the quotes */
    size_t length;
    bool escaped;         /* holds "" for " */
    int32_t line, column; /* of its first byte, 1-based, column in bytes */
} pw_csv_field;

typedef struct pw_csv_row {
    int32_t count; /* all fields; kept are at most PW_CSV_MAX_FIELDS */
    int32_t line;
    bool blank, comment; /* nothing but spaces; begins with # */
    bool unclosed;       /* a quote was opened in the last field and never closed */
    pw_csv_field fields[PW_CSV_MAX_FIELDS];
} pw_csv_row;

typedef struct pw_csv {
    const char *bytes;
    size_t length, at;
    char separator;
    int32_t line;
} pw_csv;

void pw_csv_begin(pw_csv *csv, const char *bytes, size_t length, char separator);
/* The next row; false at the end. */
bool pw_csv_next(pw_csv *csv, pw_csv_row *row);
/* Text of a field: spaces around it gone, "" made ", cut to size. Returns out. */
char *pw_csv_text(const pw_csv_field *field, char *out, size_t size);
/* A number: "12", "-1.5", "+.5", "2e3", with decimal_comma also "1,5". False: it is none, or not finite. */
bool pw_csv_number(const char *text, bool decimal_comma, double *out);

/* ---- times (csv_time.c) ---- */

typedef enum pw_csv_order { PW_CSV_DAY_FIRST, PW_CSV_MONTH_FIRST } pw_csv_order;

typedef struct pw_csv_moment {
    double seconds;        /* since 1970-01-01 00:00 of the clock that wrote it; or a plain number as it stands */
    bool dated;            /* a date, or a number of seconds large enough to be one (1e8 and more) */
    bool counted;          /* a plain number */
    bool zoned;            /* it says how far its clock is from UTC ... */
    double zone_s;         /* ... namely so much */
    bool slashed;          /* a/b/year: day or month may come first */
    int32_t first, second; /* a and b of it */
} pw_csv_moment;

/* "1550334979" (seconds; over 1e11 milliseconds), "2019-10-04T13:10:06.5+02:00", "2019/10/04 13:10", "19-10-4
 * 13:10:06", "04/10/2019 13:10" (order says which is the day), "04.10.2019 13:10", "10/4/2019 1:10:06 PM", "4 Oct 2019
 * 13:10", "4-Okt-2019", "October 4, 2019 1:10 PM". Years 1900 to 2199. */
bool pw_csv_time(const char *text, pw_csv_order settings, pw_csv_moment *out);
/* A length of time as hours, minutes and seconds: "0:07:30", "12:00:00.5". False: it is none; of two parts nobody knows
 * which. */
bool pw_csv_clock_length(const char *text, double *seconds);

/* ---- a measured flow (csv_trace.c) ---- */

#define PW_CSV_MOST_M3S 1.0 /* the site sheet takes no larger flow */

typedef struct pw_csv_ask {
    const char *time, *flow; /* headings (case does not matter), or "column 3" */
    const char *unit;        /* a flow ("L/min"): the values are flows that hold until the next row.
                                a volume ("0.15754 L", "mL"): the values count volumes drawn in the row's step */
    double step_s; /* a row holds for this long and no longer: missing rows mean no flow. 0: flows hold until the next
                      row, amounts are spread over the usual step between rows */
    /* All that follows may be NULL. */
    const char *values;             /* "register": the counter's readings, whose differences count */
    const char *stamp;              /* "end": a row stands at the end of its step; "begin", as without it */
    const char *end;                /* heading: a row is one draw, from its time until this ... */
    const char *lasts, *lasts_unit; /* ... or for so long, in this unit (s) */
    const char *column, *only;      /* heading and text: only rows that have it there */
    const char *time_unit;          /* of plain numbers; s */
    const char *zone;               /* "+02:00": numbers of seconds since 1970 are shown by this clock; UTC */
} pw_csv_ask;

/* What a row was taken for. */
typedef enum pw_csv_taken {
    PW_CSV_FLOW,     /* the flow from its time on */
    PW_CSV_AMOUNT,   /* the volume of the step that its time begins, or ends (stamps_end) */
    PW_CSV_REGISTER, /* the reading of a counter */
    PW_CSV_DRAW      /* one draw with begin and end */
} pw_csv_taken;

/* Why a row is passed over: name, and what such rows are called ("rows ..."); NULL: there is nothing odd about it. */
#define PW_CSV_SKIP_LIST(X)               \
    X(BLANK, NULL)                        \
    X(OTHER, NULL)                        \
    X(COMMENT, NULL)                      \
    X(SHORT, "input.csv-row-short")       \
    X(TIME, "input.csv-row-time")         \
    X(VALUE, "input.csv-row-value")       \
    X(NEGATIVE, "input.csv-row-negative") \
    X(HIGH, "input.csv-row-high")         \
    X(BACK, "input.csv-row-back")         \
    X(SAME, "input.csv-row-same")

typedef enum pw_csv_skip {
#define PW_X(name, rows) PW_CSV_##name,
    PW_CSV_SKIP_LIST(PW_X)
#undef PW_X
        PW_CSV_SKIP_COUNT
} pw_csv_skip;

typedef struct pw_csv_trace {
    int32_t count;
    double *times_s;   /* strictly rising from 0; the last one is the end, where the trace starts over */
    double *flows_m3s; /* from its time until the next; the last is 0 */
    int64_t rows;      /* used */
    int64_t skipped[PW_CSV_SKIP_COUNT]; /* rows of equal time are summed (amounts) or the later one is used (flows) */
    int32_t skipped_line[PW_CSV_SKIP_COUNT], skipped_column[PW_CSV_SKIP_COUNT]; /* of the first of each */
    int32_t title_rows;                                                         /* before the headings */
    int32_t heading_line;                                                       /* 0: columns by number */
    char separator;
    bool amounts;          /* volumes and not flows */
    bool dated;            /* time 0 is midnight before the first row, and the end is a midnight */
    bool guessed_settings; /* a/b/year fits both ways: the day was taken to come first */
    double step_s;         /* used; 0: flows held until the next row */
    double silent_s;       /* time within the record that no row covers: taken as no flow */
    double padded_s;       /* time before the first row and after the last that was added, without flow */
    double volume_m3;
    pw_csv_taken taken;
    bool stamps_end;
    bool epoch;            /* times were seconds since 1970, without a zone */
    int32_t first_weekday; /* of time 0, 0 Monday; -1 when not dated */
    int64_t resets;        /* REGISTER: times that it went back */
    int64_t jumps;         /* REGISTER: steps too large to be true, left out */
    double usual_s;        /* median time between rows */
    double longest_gap_s;  /* between two rows */
    double peak_m3s;
} pw_csv_trace;

/* Read a trace from the bytes of a file. `file` is its name for messages: problems have it as path, with line and
 * column in the file. Rows that were passed over for an odd reason give one warning for each reason. out is valid on
 * PW_OK only. */
pw_status pw_csv_trace_read(const char *file, const char *bytes, size_t length, const pw_csv_ask *ask,
                            pw_csv_trace *out, pw_problems *problems);
/* What was read, in two sentences: what a row was taken for, rows used and not, length, water a day; highest flow, step
 * and longest gap between rows. */
pw_fact pw_csv_echo(const pw_csv_trace *trace);
pw_fact pw_csv_echo_more(const pw_csv_trace *trace);
void pw_csv_trace_free(pw_csv_trace *trace);

#endif
