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
    double factor;            /* value to m3/s, or to m3 */
    int32_t time_at, flow_at; /* columns */
    size_t data_at;           /* first row of data ... */
    int32_t data_line;
    pw_csv_order settings;
    bool decimal_comma;
    int64_t count, capacity; /* rows kept */
    double *time_s, *value;
    double last_s; /* time of the last row whose time could be read, kept or not */
    double first_zone_s;
    bool any_zone;
} pw_csv_reader;

/* Add a problem at a place in the file; returns the status. */
pw_status pw_csv_complain(pw_csv_reader *reader, pw_status status, int32_t line, int32_t column, const char *found,
                          const char *expected, const char *hint);
pw_status pw_csv_read_unit(pw_csv_reader *reader);
/* Find separator, columns and the first row of data. */
pw_status pw_csv_find_columns(pw_csv_reader *reader);
/* Fields of a row that were kept. */
int32_t pw_csv_kept(const pw_csv_row *row);

#endif
