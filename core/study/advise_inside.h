/* Shared by the files of advice only. */
#ifndef PW_STUDY_ADVISE_INSIDE_H
#define PW_STUDY_ADVISE_INSIDE_H

#include "study/advise.h"

/* Windows of the clock in which a quiet site is watched closer, s after midnight. */
enum { ADVISE_NIGHTS = 3 };
extern const uint32_t advise_nights[ADVISE_NIGHTS][2];
extern const double advise_slacks[PW_SLACKS];

/* ---- the plan while it is made (advise_plan.c, advise_forms.c) ---- */

typedef struct advise_planner {
    pw_arena *arena;
    pw_advise_plan *plan;
    const char *probes[PW_MAX_PROBES];
    int32_t room; /* for probes */
    bool failed;
} advise_planner;

/* All families that the options and the site allow, with their limits and probes. */
void advise_families(advise_planner *m);
/* Does this sensor, or the current of this pump, count? */
bool advise_counts(const advise_planner *m, const char *name);
/* A text that is finished; "" and failed where the memory ran out. */
const char *advise_text(advise_planner *m, const pw_text *text);

/* ---- the rest ---- */

/* After so many starts of one pump a fault is not followed further: a limit of 120 starts at most that has not acted by
 * then does not at that pace either (own choice). */
enum { ADVISE_MOST_STARTS = 400 };

/* A stretch in which the condition of a probe held. */
typedef struct advise_span {
    int64_t from_ms, to_ms; /* INT64_MAX: still */
    int64_t run_ms;         /* when that run began */
    bool by_stop;           /* it ended because the pump stopped */
    bool anew;              /* of runs: starts before it are forgotten */
} advise_span;
typedef struct advise_spans {
    int32_t count, capacity;
    advise_span *at;
} advise_spans;

/* What a simulation showed: for each probe and pump its stretches, and what was lost when. Probe `probe_count` of the
 * plan is "running". */
typedef struct advise_seen {
    pw_observer observer;
    pw_arena *arena;
    const pw_advise_plan *plan;
    const pw_tally *tally;
    int64_t onset_ms;
    double dry_limit_s;
    bool failed;
    bool holds[PW_MAX_PROBES + 1][PW_MAX_PUMPS], anew[PW_MAX_PUMPS];
    advise_spans spans[PW_MAX_PROBES + 1][PW_MAX_PUMPS];
    int64_t draw_ms[PW_MAX_OUTLETS]; /* since when something is drawn there; -1 nothing is */
    advise_spans draws;              /* of a healthy year: each stretch in which one outlet was drawn from */
    int32_t mark_count, mark_capacity;
    int64_t *mark_ms;
    double *mark_m3;
    int64_t harm_ms;
    bool early[PW_MAX_SENTENCES];       /* it told something before the onset */
    int64_t trial_ms[PW_MAX_SENTENCES]; /* first time a watch told something from the onset on; -1 */
} advise_seen;
void advise_seen_begin(advise_seen *seen, pw_arena *arena, const pw_advise_plan *plan, const pw_tally *tally,
                       int64_t onset_ms, bool marks);
/* A copy that goes on by itself; NULL without memory. */
advise_seen *advise_seen_copy(const advise_seen *seen, pw_arena *arena, const pw_tally *tally);
/* First moment from `from_ms` up to `end_ms` at which a sentence with this limit, that much stricter (advise_slacks),
 * would have acted; -1 never. */
int64_t advise_first_ms(const advise_seen *seen, int32_t limit, int32_t slack, int64_t from_ms, int64_t end_ms);
/* Likewise of a limit of running time, had the pump run as long as anything was drawn. */
int64_t advise_drawn_ms(const advise_seen *seen, int32_t limit, int32_t slack, int64_t end_ms);
double advise_lost_m3(const advise_seen *seen, int64_t t_ms);

/* Is that sentence one of those that stay, and does it count as a catch? */
bool advise_stays(const pw_advise_plan *plan, int32_t sentence);

/* The tables of the choice: loss of each fault under each limit, and the healthy years that it stops at each slack. */
enum { ADVISE_WORDS = PW_MAX_ADVISE_YEARS / 64 };
typedef struct advise_years {
    uint64_t bits[ADVISE_WORDS];
} advise_years;
typedef struct advise_tables {
    const pw_advise_plan *plan;
    int32_t faults, years;
    const int32_t *jobs;              /* of the faults */
    const double *weight;             /* of each fault, a year */
    double *loss;                     /* limits x faults */
    double *stays;                    /* of each fault, by what stays */
    advise_years *stopped[PW_SLACKS]; /* of each limit */
    double *near_a;                   /* of each limit: false stops a year that are to be feared beside those counted */
    advise_years kept;                /* stopped by what stays */
} advise_tables;

typedef struct advise_choice {
    int32_t pick[PW_MAX_FAMILIES]; /* limit, -1 none */
    double cost_a, gap_a;
    bool there;
} advise_choice;
int32_t advise_count_years(const advise_years *years);
/* The least cost with at most `allowed` years stopped. without: a family that is left out, -1 none. */
pw_status advise_search(pw_arena *arena, const advise_tables *tables, int32_t allowed, int32_t without,
                        advise_choice *out);
/* Loss of one fault under a choice. */
double advise_loss(const advise_tables *tables, const int32_t *pick, int32_t fault);

/* Everything that assembling works with. */
typedef struct advise_maker {
    pw_arena *arena;
    const pw_advise_plan *plan;
    const pw_reach *reaches;
    pw_advice *out;
    advise_tables tables;
    int32_t *years; /* their jobs */
} advise_maker;
void advise_fill_stays(advise_maker *m); /* advise_assemble.c: what faults cost with nothing but what stays */
/* advise_list.c: the list to type, from what was chosen and held. */
pw_status advise_make_list(advise_maker *m, pw_problems *problems);
/* advise_near.c: times stricter (PW_SLACKS) that a limit could be and stop no healthy year more: 0 none. */
int32_t advise_distance(const advise_tables *tables, int32_t limit);
/* Likewise of a present watch with a family: at least; of all that is chosen together. */
int32_t advise_present_distance(const advise_maker *m, int32_t sentence);
int32_t advise_whole_distance(const advise_maker *m, const int32_t *pick);
/* False stops a year to be feared at that distance. */
double advise_near_a(const advise_maker *m, int32_t distance);
/* advise_pick.c: the choice, with what is held noted in m->out; limits that differ in their main number alone. */
pw_status advise_choose(advise_maker *m, advise_choice *best);
bool advise_alike(const pw_advise_plan *plan, const pw_limit *a, const pw_limit *b);

#endif
