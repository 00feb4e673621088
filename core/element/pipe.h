/* Pipe: head lost by friction and fittings in a line, by the formula or, quicker, from a table of it; and the line that
 * a pipe makes with the valves in it.
 *
 * Positive flow goes from the line's beginning to its end. The loss is odd and C1 in the flow with a slope above zero,
 * also at rest (core/formula/friction.h has the formulas and their sources).
 */
#ifndef PW_ELEMENT_PIPE_H
#define PW_ELEMENT_PIPE_H

#include "base/arena.h"
#include "base/status.h"
#include "element/condition.h"
#include "formula/water.h"
#include "site/site.h"

/* Loss against flow at the steps of a logarithmic grid: 64 intervals for each doubling. */
typedef struct pw_pipe_table {
    double low_m3s, high_m3s; /* outside: the full formula */
    int64_t first_bits;       /* index of low in units of 2^(52 - octave bits) of the double's bits */
    int32_t count;            /* 0: no table, always the formula */
    const double *loss_m;     /* count + 1 */
    const double *slope;      /* count + 1 */
} pw_pipe_table;

typedef struct pw_pipe {
    const pw_water *water;
    double bore_m, length_m, rough_m, hazen_c, k_sum; /* k_sum: fittings and further losses, on its own velocity */
    bool hazen;
    double velocity_k;                /* metres of head per (m3/s)^2 for a loss coefficient of one: 1 / (2 g A^2) */
    double still_s_m2;                /* slope at rest */
    double laminar_s_m2, trickle_m3s; /* below the table: loss = laminar Q + k Q sqrt(Q^2 + trickle^2) */
    pw_pipe_table table;
} pw_pipe;

/* water must outlive it. */
void pw_pipe_of(const pw_line *line, const pw_water *water, pw_pipe *out);
/* From a laminar trickle to about 10 m/s. worst_error, if not NULL, is raised to the largest relative error between the
 * steps. PW_MEMORY when the arena is full. */
pw_status pw_pipe_tabulate(pw_arena *arena, pw_pipe *pipe, double *worst_error);
void pw_pipe_friction(const pw_pipe *pipe, double flow_m3s, double *loss_m, double *slope);

/* A line at one moment: its pipe as it is now, and the valves in it. */
typedef struct pw_line_now {
    double open;     /* of its gate, 0 .. 1 */
    double friction; /* factor on the pipe's loss */
    double share;    /* part of the pipe's length, and of its fittings; 0: all of it */
    double pocket_m; /* height of water that an air pocket behind its high point takes of any flow; 0: none */
    bool one_way;    /* nothing flows back: into a tank over its water */
    bool non_return; /* a valve that lets nothing back but `back` */
    double back;     /* 0 tight .. 1 */
    double wet;      /* how far water covers the outlet that it leads out of, 1 .. 0 */
    double filter_m, filter_m3s, filter_n; /* head lost in its filter at a flow, and the exponent; 0: none */
    double float_k;                        /* of the open float valve at its end, m per (m3/s)^2; 0: none */
    double float_open;                     /* its opening, 1 where there is none */
} pw_line_now;

/* Head lost in the line, and its slope (> 0). */
void pw_line_loss(const pw_pipe *pipe, const pw_line_now *now, double flow_m3s, double *loss_m, double *slope);

pw_condition_slots pw_pipe_slots(void);

#endif
