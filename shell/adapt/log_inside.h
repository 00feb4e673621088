/* Private to shell/adapt: a logger's file in work. */
#ifndef PW_ADAPT_LOG_INSIDE_H
#define PW_ADAPT_LOG_INSIDE_H

#include "adapt/log_file.h"

typedef struct pw_log_piece {
    const char *at;
    size_t length;
} pw_log_piece;

/* log_plan.c: what the head of a file says. */
pw_status pw_log_make_plan(const char *path, const char *head, size_t length, const pw_log_ask *ask, pw_log_plan *plan,
                           size_t *data_at, pw_problems *problems);
/* log_words.c: a heading's signal and unit. -1: none. */
int32_t pw_log_signal_of(const char *heading);
bool pw_log_says_time(const char *heading);
/* Unit within a heading: "flow (L/min)", "pressure [bar]", "drawdown_ft", "Leistung kW"; "" none. */
void pw_log_unit_of(const char *heading, char *out, size_t size);
bool pw_log_unit_read(const char *unit, pw_dimension dimension, double *factor, double *zero);
/* "NAME=what unit" in three; false: it has no =. */
bool pw_log_asked_split(const char *asked, char *name, char *what, char *unit, size_t size);

/* log_fields.c: cut a line into fields; returns how many, at most `most`. */
int32_t pw_log_cut(const char *line, size_t length, char separator, pw_log_piece *out, int32_t most);
/* The end of the field that begins at `at`: a separator within quotes belongs to it. */
const char *pw_log_field_end(const char *at, const char *end, char separator, bool quoted);
/* Without the blanks, quotes and carriage returns at its ends. */
pw_log_piece pw_log_trimmed(const char *from, const char *to);
/* Digits with at most one decimal sign, and what else pw_csv_number reads; false: no number. */
bool pw_log_number(const char *at, size_t length, bool decimal_comma, double *out);

#endif
