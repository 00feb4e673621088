/* One proposal being written, for prove_propose only. Each watch fills it in and tells whether it fits the trial. */
#ifndef PW_STUDY_PROPOSE_WATCH_H
#define PW_STUDY_PROPOSE_WATCH_H

#include "study/prove_inside.h"

#define A_FIFTH      1.2
#define RATHER_DRY_S 10.0 /* the trial ran dry for longer: a watch on it has something to see */

/* One proposal being written: the sentence, another one that it needs, and why. */
typedef struct prove_proposal {
    char sentence[512],
        first[512];     /* first: "ignore ...", "" none. A watch writes into `sentence` only for whom it is */
    char when[512];     /* its condition, without the words before; "" of a warning made a lock out */
    bool locks;         /* lock out; else warn */
    pw_fact why;        /* no fact: it needs none */
    uint8_t by;         /* pw_fault_seen_by */
    double at;          /* limits of starts, run time and pressure: where; lower is stricter. 0: no limit */
    int32_t instead_of; /* number of the sentence that it takes the place of, from 1; 0 none */
} prove_proposal;

/* A watch, or with `any` any sentence, that looks so at such a signal (-1: at any of the kind); at_rest: of a pump that
 * is stopped. */
bool prove_looks(const prove_trial *t, pw_term_kind kind, bool above, bool at_rest, bool any, int32_t signal);
/* The flow switch that the pump's water passes: its own, else one in a line; -1 none that works. */
int32_t prove_flow_switch(const prove_trial *t);
/* Can a lock out end this trial, and is it worth one? Else a warning is. */
bool prove_locks(const prove_trial *t);
void prove_put(char *out, size_t size, const char *words);
void prove_put_quantity(const prove_trial *t, char *out, size_t size, pw_dimension dimension, double si);
void prove_put_number(char *out, size_t size, double value);

/* Watches that would see this trial, the most telling first. All fields are set; returns how many. */
enum { PROVE_CANDIDATES = 2 };
int32_t prove_candidates(const prove_trial *t, prove_proposal *out);
/* A warning that saw this trial, made a lock out: could that end it? */
bool prove_may_lock(const prove_trial *t);

#define SAY(field, words)                  prove_put(p->field, sizeof p->field, words)
#define SAY_QUANTITY(field, dimension, si) prove_put_quantity(t, p->field, sizeof p->field, dimension, si)
#define SAY_NUMBER(field, value)           prove_put_number(p->field, sizeof p->field, value)

bool prove_watch_no_flow(const prove_trial *t, prove_proposal *p);
bool prove_watch_run_limit(const prove_trial *t, prove_proposal *p);
bool prove_watch_starts_limit(const prove_trial *t, prove_proposal *p);
bool prove_watch_high_pressure(const prove_trial *t, prove_proposal *p);
bool prove_watch_standing(const prove_trial *t, prove_proposal *p);
bool prove_watch_tank_high(const prove_trial *t, prove_proposal *p);
bool prove_watch_tank_low(const prove_trial *t, prove_proposal *p);
bool prove_watch_low_current(const prove_trial *t, prove_proposal *p);
bool prove_watch_high_current(const prove_trial *t, prove_proposal *p);
bool prove_watch_hot_winding(const prove_trial *t, prove_proposal *p);
bool prove_watch_low_supply(const prove_trial *t, prove_proposal *p);
bool prove_watch_lost_phase(const prove_trial *t, prove_proposal *p);
bool prove_watch_current_at_rest(const prove_trial *t, prove_proposal *p);

#endif
