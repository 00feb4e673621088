/* Shared by the files that write programs (logic*.c), and by nobody else.
 *
 * Both languages get the same program (logic_step.c), with TON and TOF in both: structured text has them, the C gets
 * them as two small functions. What differs is how words are spelt (logic_pen.c) and the frame around the program
 * (logic_frame.c).
 *
 * Names in the programs: what belongs to pump n ends in _n, to its row i in _n_i; state[n] is 0 stopped, 1 running,
 * 2 locked out.
 */
#ifndef PW_CONTROL_LOGIC_PARTS_H
#define PW_CONTROL_LOGIC_PARTS_H

#include "control/logic.h"
#include "control/parts.h"

typedef struct logic_pen {
    const pw_settings *settings;
    const pw_table *table;
    pw_text *out;
    bool structured;     /* structured text; else C */
    int32_t first, last; /* pumps of the program */
    int32_t depth;       /* of the next line */
    const char *name;    /* of the program */
} logic_pen;

/* ---- logic_pen.c: words ---- */

/* Words as the language spells them: "$if @state[%d] $is 2$then". $ is followed by a word of the pen's table, @ by a
 * variable; %d an int32_t, %s a text, %t a time in ms (uint32_t), %n a number without sign (uint32_t). */
void logic_put(logic_pen *p, const char *form, ...);
/* The same as a line of its own, indented as blocks begin and end. */
void logic_line(logic_pen *p, const char *form, ...);
void logic_indent(logic_pen *p);
void logic_for(logic_pen *p, const char *variable, const char *from, int32_t to);
/* From 0 up to below a variable, whose name has the number of the pump in it. */
void logic_for_below(logic_pen *p, const char *variable, const char *end, int32_t pump);
/* "row_0_3(IN := " and ", PT := T#5ms);": what is counted stands between them. */
void logic_call(logic_pen *p, const char *block, const char *form, ...);
void logic_called(logic_pen *p, uint32_t time_ms);
/* A timer without an end begins anew. */
void logic_restart(logic_pen *p, const char *timer, int32_t pump);
/* Name of a thing as both languages allow it: letters, digits and single low lines, a letter first. */
void logic_put_name(pw_text *out, const char *name);
#define LOGIC_LONG_MS PW_LONGEST_MS /* PT of timers that are only read: the longest time of a sentence */

/* ---- logic_terms.c: conditions ---- */

/* "in_3_pressure": the number keeps names apart that are spelt alike. */
void logic_put_input_name(logic_pen *p, int32_t signal);
/* The condition of a row of a pump as an expression; fresh: as it would stand in the first moment of a run. */
void logic_put_row(logic_pen *p, int32_t pump, int32_t row, bool fresh);
/* Every signal that a row of the pumps looks at; does one look at the clock of the week? */
bool logic_looks_at(const logic_pen *p, int32_t signal);
bool logic_looks_at_clock(const logic_pen *p);

/* ---- logic_step.c: the program ---- */

/* A ring of the last starts of a pump: those that a condition with one window or "start at most" counts. */
typedef struct logic_ring {
    int32_t row, term; /* -1: of "start at most" */
    int32_t count;
    uint32_t window_ms;
} logic_ring;
/* Rings of a pump from 0; false: there is no such one. */
bool logic_ring_of(const logic_pen *p, int32_t pump, int32_t number, logic_ring *out);

/* Number of a row's or the limit's ring; term -1: of "start at most". */
int32_t logic_ring_number(const logic_pen *p, int32_t pump, int32_t row, int32_t term);
bool logic_shares(const logic_pen *p, int32_t pump); /* the work with others */
void logic_put_pump(logic_pen *p, int32_t pump);     /* the step of one pump */
void logic_put_timers(logic_pen *p);
void logic_put_stopped(logic_pen *p, int32_t pump);   /* it stops now */
void logic_put_no_starts(logic_pen *p, int32_t pump); /* those that were counted are forgotten */
uint32_t logic_row_ms(const pw_row *row);             /* PT of the row's timer */
void logic_put_before(logic_pen *p);                  /* timers, what a person releases, the sequence of the pumps */
void logic_put_behind(logic_pen *p);                  /* the change of the work */

/* ---- logic_past.c: parts of windows, starts in a row, power cuts ---- */
bool logic_has_share(const logic_pen *p); /* does any row count a part of a window? */
void logic_put_passed(logic_pen *p);      /* once a scan */
/* The windows of a pump up to now, with everything as it was in the scan before. */
void logic_put_pass(logic_pen *p, int32_t pump);
void logic_put_forget(logic_pen *p, int32_t pump, int32_t row);
/* "sum + going >= T#5m": the condition of such a row, as an expression. */
void logic_put_share_due(logic_pen *p, int32_t pump, int32_t row);
/* The conditions of a pump on starts in several windows in a row, from 0; NULL: there is no such one. */
const pw_term *logic_series_of(const logic_pen *p, int32_t pump, int32_t number);
int32_t logic_series_number(const logic_pen *p, int32_t pump, const pw_term *term);
void logic_put_series(logic_pen *p, int32_t pump);
void logic_put_series_start(logic_pen *p, int32_t pump);
bool logic_keeps(const logic_pen *p); /* does a lock out of any pump outlast a power cut? */
void logic_put_power(logic_pen *p);   /* what is left when the power comes back */

/* ---- logic_frame.c: what stands around it ---- */
void logic_put_program(logic_pen *p);

#endif
