/* Run: one simulation of a site under its control settings from beginning to end, with the usual observers: into a day
 * book.
 */
#ifndef PW_SIM_RUN_H
#define PW_SIM_RUN_H

#include "sim/observers.h"

typedef struct pw_run_options {
    int64_t begin_ms;  /* time of the week at which it begins, 0 Monday 00:00; all other times count from there too */
    int64_t length_ms; /* it ends then */
    uint64_t seed;
    pw_fault faults[2]; /* kind NONE: nothing */
    int32_t fault_count;
    double reference_pa;      /* for leaks; 0: the plant's */
    int64_t release_after_ms; /* a person releases a lock out after this long; 0 never */
    int64_t sample_ms;        /* at most this far apart in the samples; 0: no samples */
    int32_t entry_capacity;   /* entries kept; further ones are counted only (pw_entry_weight). 0 keeps none */
    int32_t sample_capacity;  /* when they fill it they are thinned: they always span the whole time */
    bool sample_places;       /* keep the pressure at each place with each sample */
    bool sample_flows;        /* keep the flow in each line and at each outlet */
    bool stop_at_lock;        /* end the run at the first lock out */
    bool stop_at_watch;       /* end the run when the first watch has fired after the fault */
    double tolerance;         /* of the integrator, relative; 0: 1e-8 */
    const bool *keep;         /* which sentences are in force (pw_table_build); NULL all */
    /* Asked every few hundred steps; done: part of length_ms that is simulated. True ends the run with PW_CANCELLED. */
    bool (*cancelled)(void *user, double done);
    void *user;
    const int64_t *state_ms; /* moments at which the controller is asked for its state, rising */
    int32_t state_count;     /* PW_MAX_STATES_ASKED at most */
    bool tell_locks;         /* ask it in every lock out, too; those asked for above keep their room */
    const int64_t *reset_ms; /* moments at which a person resets the counters of every pump, rising */
    int32_t reset_count;     /* PW_MAX_RESETS at most */
} pw_run_options;

typedef enum pw_ending { PW_END_TIME, PW_END_LOCK, PW_END_WATCH, PW_END_HUNTING } pw_ending;

typedef struct pw_daybook {
    pw_ending ending;
    int64_t length_ms; /* really simulated */
    int32_t entry_count, entries_lost;
    pw_entry *entries;
    int32_t sample_count, samples_lost; /* lost: thinned out */
    int64_t sample_every_ms; /* sample_ms, or longer where samples were thinned: then events bring none of their own */
    pw_sample *samples;
    int32_t column_count, first_place, first_line; /* as in pw_samples */
    float *rows;                                   /* sample_count rows: value r, c is rows[r * column_count + c] */
    pw_totals totals;                              /* whole run */
    pw_pump_totals pumps[PW_MAX_PUMPS];
    pw_totals at_fault; /* up to the onset */
    int64_t burnt_ms;   /* the first motor burnt out; -1: none did */
    int32_t burnt_pump;
    int32_t lock_count;
    pw_firing firings[PW_MAX_SENTENCES];
    int32_t fired[PW_MAX_SENTENCES]; /* how often each watch fired in the whole run */
    int32_t told_count, told_lost;
    pw_told *told; /* states of the controller, in the order of time */
    bool locked_at_end;
    bool typed_refused;  /* a fault of the settings: the order's reader refused it as it was typed */
    bool typed_warned;   /* it took it, with a warning that the settings as they should be do not get */
    bool typed_about_it; /* that warning is about a sentence that was typed otherwise */
} pw_daybook;

/* One simulation. The day book lies in the arena. Same plant, same options: same bits. */
pw_status pw_run(pw_arena *arena, const pw_plant *plant, const pw_run_options *options, pw_daybook **out,
                 pw_problems *problems);

/* One value of the samples, see pw_column_*. */
float pw_sample_value(const pw_daybook *book, int32_t sample, int32_t column);

/* One entry in words: "06:12:04  pump starts (pressure below 250 kPa for 1 s)". Time as day and time of day. */
/* An entry of the day book: its moment, what happened, and both in one line. */
pw_fact pw_entry_when(const pw_entry *entry);
pw_fact pw_entry_fact(pw_arena *arena, const pw_plant *plant, const pw_entry *entry);
pw_fact pw_entry_line(pw_arena *arena, const pw_plant *plant, const pw_entry *entry);
const char *pw_entry_id(int32_t kind); /* "start", "stop", ... for JSON */

#endif
