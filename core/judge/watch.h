/* One proposal being written, for judge_propose only. Each watch fills it in and tells whether it fits the trial. */
#ifndef PW_JUDGE_WATCH_H
#define PW_JUDGE_WATCH_H

#include "judge/inside.h"

#define A_FIFTH      1.2
#define RATHER_DRY_S 10.0 /* the trial ran dry for longer: a watch on it has something to see */

/* One proposal being written: the sentence, another one that it needs, and why. */
typedef struct judge_proposal {
    char sentence[512], first[512]; /* first: "ignore ...", "" none */
    char why[256];
    int32_t instead_of; /* number of the sentence that it takes the place of, from 1; 0 none */
} judge_proposal;

/* A watch, or with `any` any sentence, that looks so at such a signal (-1: at any of the kind); at_rest: of a pump that
 * is stopped. */
bool judge_looks(const judge_trial *t, pw_term_kind kind, bool above, bool at_rest, bool any, int32_t signal);
/* The flow switch that the pump's water passes: its own, else one in a line; -1 none that works. */
int32_t judge_flow_switch(const judge_trial *t);
/* "lock out when " or "warn when ". */
const char *judge_verb(const judge_trial *t);
void judge_put(char *out, size_t size, const char *words);
void judge_put_quantity(const judge_trial *t, char *out, size_t size, pw_dimension dimension, double si);
void judge_put_number(char *out, size_t size, double value);

#define SAY(field, words)                  judge_put(p->field, sizeof p->field, words)
#define SAY_QUANTITY(field, dimension, si) judge_put_quantity(t, p->field, sizeof p->field, dimension, si)
#define SAY_NUMBER(field, value)           judge_put_number(p->field, sizeof p->field, value)

bool judge_watch_no_flow(const judge_trial *t, judge_proposal *p);
bool judge_watch_run_limit(const judge_trial *t, judge_proposal *p);
bool judge_watch_starts_limit(const judge_trial *t, judge_proposal *p);
bool judge_watch_high_pressure(const judge_trial *t, judge_proposal *p);
bool judge_watch_standing(const judge_trial *t, judge_proposal *p);
bool judge_watch_tank_high(const judge_trial *t, judge_proposal *p);
bool judge_watch_tank_low(const judge_trial *t, judge_proposal *p);
bool judge_watch_low_current(const judge_trial *t, judge_proposal *p);
bool judge_watch_high_current(const judge_trial *t, judge_proposal *p);
bool judge_watch_hot_winding(const judge_trial *t, judge_proposal *p);
bool judge_watch_low_supply(const judge_trial *t, judge_proposal *p);
bool judge_watch_lost_phase(const judge_trial *t, judge_proposal *p);
bool judge_watch_current_at_rest(const judge_trial *t, judge_proposal *p);

#endif
