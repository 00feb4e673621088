/* Private to shell/adapt: one reading of a CSV trace in work. */
#ifndef PW_ADAPT_CSV_INSIDE_H
#define PW_ADAPT_CSV_INSIDE_H

#include "adapt/csv.h"

enum { PW_CSV_WORD = 96 }; /* bytes of a field that are looked at */

typedef struct pw_csv_reader {
    const char *file, *bytes;
    size_t length;
    const pw_csv_ask *ask;
    pw_problems *problems;
    pw_csv_trace *out;
    double factor;                     /* value to m3/s, or to m3 */
    int32_t time_at, flow_at;          /* columns */
    int32_t end_at, lasts_at, keep_at; /* likewise, -1 when not asked for */
    double lasts_factor, time_factor, zone_s;
    size_t heading_at; /* byte at which the headings begin */
    size_t data_at;    /* first row of data ... */
    int32_t data_line;
    pw_csv_order settings;
    bool decimal_comma;
    int64_t count, capacity; /* rows kept */
    double *time_s, *value;
    double *end_s; /* DRAW: of each row */
    double stop_s; /* end of the record, when it is known (has_stop) */
    bool has_stop;
    bool rising;   /* AMOUNT: values that never fall */
    double last_s; /* time of the last row whose time could be read, kept or not */
    double first_zone_s;
    bool any_zone;
} pw_csv_reader;

/* Add a problem at a place in the file; returns the status. */
pw_status pw_csv_complain(pw_csv_reader *reader, pw_status status, int32_t line, int32_t column, pw_fact found,
                          pw_fact expected, pw_fact hint);
/* The memory ran out. */
pw_status pw_csv_no_memory(pw_csv_reader *reader);
pw_status pw_csv_read_unit(pw_csv_reader *reader);
/* The other keys of the ask: columns aside. */
pw_status pw_csv_read_ways(pw_csv_reader *reader);
/* The time of a row; a clock that stands in the next field belongs to a date without one. */
bool pw_csv_row_time(const pw_csv_reader *reader, const pw_csv_row *row, pw_csv_order order, pw_csv_moment *out);
/* csv_shape.c: readings to amounts, ends to begins, draws to steps; before and instead of the plain steps. */
void pw_csv_register(pw_csv_reader *reader);
void pw_csv_ends_to_begins(pw_csv_reader *reader, double usual_s);
pw_status pw_csv_draws(pw_csv_reader *reader);
/* Any row was of use? Why not. */
pw_status pw_csv_no_rows(pw_csv_reader *reader);
/* Do an amount's values never fall, so that they look like a counter's readings? */
bool pw_csv_rises(const pw_csv_reader *reader);
/* csv_tell.c: a file of which most rows cannot be used; what was read; what looks wrong. */
pw_status pw_csv_refuse_most(pw_csv_reader *reader);
void pw_csv_tell(pw_csv_reader *reader);
/* Find separator, columns and the first row of data. */
pw_status pw_csv_find_columns(pw_csv_reader *reader);
/* Fields of a row that were kept. */
int32_t pw_csv_kept(const pw_csv_row *row);

#endif
