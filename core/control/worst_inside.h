/* Shared by the files that look for the worst (worst*.c) and their test, by nobody else. */
#ifndef PW_CONTROL_WORST_INSIDE_H
#define PW_CONTROL_WORST_INSIDE_H

#include "control/parts.h"
#include "control/worst.h"

/* ---- zones (worst_zone.c) ---- */

/* x_i - x_j <= d[i * n + j], in ms; clock 0 is always 0. Closed: no bound can be drawn tighter by others. */
#define WORST_INF (INT64_MAX / 4)
void zone_zero(int64_t *d, int32_t n);
/* And x_i - x_j <= most. false: nothing is left, d is spoilt. */
bool zone_and(int64_t *d, int32_t n, int32_t i, int32_t j, int64_t most);
void zone_reset(int64_t *d, int32_t n, int32_t x);
void zone_free(int64_t *d, int32_t n, int32_t x);
void zone_copy_clock(int64_t *d, int32_t n, int32_t to, int32_t from);
/* One millisecond or more goes by; longer: not just one. */
void zone_pass(int64_t *d, int32_t n, bool longer);
bool zone_within(const int64_t *inner, const int64_t *outer, int32_t n);
/* Forget what no guard can tell: clock x is compared with at most low[x] from below, high[x] from above. */
void zone_widen(int64_t *d, int32_t n, const int64_t *low, const int64_t *high);

/* ---- the machine (worst_step.c) ---- */

/* Clocks; behind them a timer for each row that needs one. */
enum { CLOCK_ZERO, CLOCK_RUN, CLOCK_STOP, CLOCK_LOCK, CLOCK_WISH, CLOCK_POWER, CLOCK_MEASURE, CLOCK_FIRST };
enum { MOST_CLOCKS = 48, MOST_CELLS = 24, MOST_INPUTS = 24, MOST_DECISIONS = 60 };

/* MEASURE_LOCKED: starts, with all lock outs, none of which is released. MEASURE_MIRROR: nothing, and no sentence is
 * left away (for the test of the mirrored step). */
typedef enum worst_measure {
    MEASURE_NOTHING,
    MEASURE_MIRROR,
    MEASURE_STARTS,
    MEASURE_LOCKED,
    MEASURE_RUN,
    MEASURE_DRY
} worst_measure;

/* Something that the world decides anew at each step: readings of a signal of which each tells another story, or
 * (signal -1) what is left out of account. */
typedef struct worst_input {
    int16_t signal;
    int32_t count;
    double values[MOST_CELLS];
} worst_input;

typedef struct worst_row {
    const pw_row *row;
    int8_t timer;                /* clock; 0 none */
    int8_t share;                /* input that tells whether a part of a window is due; -1 none */
    int8_t inputs[PW_MAX_TERMS]; /* input that a term looks at; -1 none */
} worst_row;

typedef struct worst_model {
    const pw_settings *settings;
    const pw_table *whole;
    const pw_pump_table *table;
    int32_t pump;
    worst_measure measure;
    const pw_term *dry; /* of MEASURE_DRY */
    int8_t dry_input;
    int32_t row_count;
    worst_row rows[PW_MAX_SENTENCES];
    int32_t input_count;
    worst_input inputs[MOST_INPUTS];
    int8_t role_input; /* -1 none */
    int64_t choices;   /* products of the inputs */
    int32_t clocks;    /* n of the zones */
    int16_t most_retries;
    bool keeps_run; /* the age of the start matters at standstill, too */
    uint64_t left_out;
    bool too_large;
    int64_t low[MOST_CLOCKS], high[MOST_CLOCKS];
} worst_model;

/* What is not a clock. All bytes are set, so that two can be compared. */
typedef struct worst_state {
    uint64_t holds, stale;
    int16_t retries, counted; /* starts measured; 0: the hour has not begun */
    int8_t retry;
    uint8_t state;
    uint8_t has_stopped, stop_wanted, dry, spare[5];
} worst_state;

/* What a step did with the clocks, in its sequence. */
typedef enum worst_deed {
    DEED_OLD,   /* found that the clock is at least ms old */
    DEED_YOUNG, /* or less */
    DEED_UNTIL, /* the clock is at most ms old when the next step comes */
    DEED_RESET  /* set it to zero */
} worst_deed;
typedef struct worst_asked {
    uint8_t deed, clock;
    int64_t ms;
} worst_asked;
enum { MOST_ASKED = 400 };

/* One way of one step. */
typedef struct worst_way {
    const worst_model *m;
    worst_state s;
    int64_t *d;
    double inputs[MOST_INPUTS];
    uint64_t due;
    uint64_t bits; /* answers to the questions that the zone leaves open, in their order */
    int32_t decided, used;
    bool failed;        /* more open questions than MOST_DECISIONS */
    bool dead;          /* nothing left (the hour is over) */
    bool started;       /* a start that stood */
    int64_t span_ms;    /* a start that counts: since the one that was chosen, at least; else -1 */
    bool waits;         /* a start is due and held back by time alone */
    bool urgent;        /* the next step comes in 1 ms */
    worst_asked *asked; /* NULL: not wanted */
    int32_t asked_count;
    bool begins;    /* the hour begins with this start; dead when there is none */
    int16_t way_by; /* of a start that is due: the stop sentence in its way; -1 none */
} worst_way;

static inline bool worst_counts(const worst_model *m)
{
    return m->measure == MEASURE_STARTS || m->measure == MEASURE_LOCKED;
}

bool worst_model_build(worst_model *m, const pw_settings *settings, const pw_table *table, int32_t pump,
                       worst_measure measure, const pw_term *dry, int16_t dry_sentence);
/* Is this term a limit of starts by itself: the N-th start within its window is locked out at once? */
bool worst_limits_starts(const pw_row *row, int32_t k);
void worst_begin(const worst_model *m, worst_state *s, int64_t *d);
/* The inputs of a choice, from 0 to m->choices - 1. */
void worst_choose(const worst_model *m, int64_t choice, double *inputs);
/* The step with these inputs; then what bounds the time to the next one, and that time. s, d: in and out. */
void worst_step(worst_way *w);
/* Time goes by up to the next step. */
void worst_pass(worst_way *w);

/* A reading of each signal at which what was left away does not hold. */
void worst_still(const worst_model *m, double *signals);

/* ---- the search (worst_search.c) ---- */

typedef struct worst_node {
    worst_state s;
    int32_t parent, next; /* -1 none; of the same hash */
    int64_t choice;
    uint64_t bits;
    int32_t decided;
    bool begins, covered; /* another node stands for it */
    int64_t *d;
} worst_node;

/* How far a search goes besides its ways: nodes, and how often one is held against another for each way. */
enum { WORST_NODES = 20000, WORST_HASH = 8192, WORST_COMPARED = 5 };
typedef struct worst_search {
    const worst_model *m;
    pw_arena *arena;
    const double *lowest; /* inputs that stay at this value; PW_INF: as they like. NULL: all of them as they like */
    bool to_start;        /* stop at the first running pump */
    size_t bytes;         /* that its zones may take */
    int32_t most_ways;
    int32_t count, compared, ways;
    worst_node *nodes;
    int32_t heads[WORST_HASH];
    int64_t *scratch;
    bool too_large, started;
    uint64_t stale; /* start sentences that waited for a new call anywhere; what stood in the way of a start last */
    int16_t way_by;
    int64_t most;  /* of what is measured; WORST_INF no limit */
    int32_t where; /* the node that has it; -1 none */
    /* of so many starts: the shortest time from the first to the last, and a node behind the last; PW_NEVER_MS none */
    int64_t span_ms[PW_WORST_STARTS + 2];
    int32_t span_node[PW_WORST_STARTS + 2];
} worst_search;
/* From the beginning, or from this state and zone. What was found lies in the arena: the caller goes back. false: there
 * was no memory to begin with. */
bool worst_search_run(worst_search *q, const worst_state *from, const int64_t *zone);
/* Is there an earlier node of the same state, whatever its zone? */
bool worst_seen_before(const worst_search *q, int32_t node);

/* ---- the day book (worst_book.c) ---- */

/* The path to the node that has the most (q->where), as moments, driven through the real step: answer->reached when
 * that does what was found. */
bool worst_show(const worst_search *q, pw_worst_answer *answer);
/* The same for so many starts, which keep to these limits: no more than `count` in `window_ms`. */
typedef struct worst_limit {
    int32_t count;
    int64_t window_ms;
} worst_limit;
enum { WORST_LIMITS = 16 };
bool worst_show_starts(const worst_search *q, int32_t starts, const worst_limit *limits, int32_t limit_count,
                       pw_worst_answer *answer);
/* The path to a standstill, and 30 days more at these inputs, in which nothing starts. */
bool worst_show_stuck(const worst_search *q, int32_t node, const double *still, pw_worst_answer *answer);

#endif
