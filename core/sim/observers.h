/* The observers that come with the simulator. Each is a value: copied with the simulation that it is attached to, it
 * goes on recording for the copy. All times are milliseconds of the simulation, all numbers SI.
 */
#ifndef PW_SIM_OBSERVERS_H
#define PW_SIM_OBSERVERS_H

#include "sim/sim.h"

/* ---- totals (tally.c) ---- */

enum { PW_HUNT_STARTS = 1800 }; /* in an hour, one each 2 s: nothing on site bears that for long (own choice) */

/* What one pump did in the whole run. */
typedef struct pw_pump_totals {
    int64_t starts;
    int32_t most_starts_in_hour;
    double run_s, longest_run_s, dry_s, deadhead_s, pumped_m3, energy_j, winding_max_c, water_max_c;
} pw_pump_totals;

typedef struct pw_totals {
    double pumped_m3 /* by pumps that are on, not what runs through one that stands */;
    double delivered_m3, wanted_m3, leaked_m3, spilled_m3, source_m3, stored_change_m3;
    double missing_m3; /* wanted at the outlets and not delivered, 0 or more */
    double balance_m3; /* source - delivered - leaked - spilled - stored change */
    double run_s, dry_s, deadhead_s /* running with next to no flow, intake covered */, energy_j;
    double cavitates_s; /* running with less NPSH than the pump asks for */
    double short_s;     /* time with an outlet under 80 % of what it wants */
    double water_max_c; /* inside a pump */
    double winding_max_c, pressure_max_pa, pressure_min_pa /* first pressure sensor's place */;
    double pressure_top_pa; /* highest at any place, or in front of a pump's shut valve */
    int64_t starts;
    int32_t most_starts_in_hour; /* of one pump */
    double longest_run_s;
    int64_t segments, evaluations;
} pw_totals;

/* Sums at one moment. */
typedef struct pw_sums {
    double source_m3, delivered_m3, leaked_m3, spilled_m3, stored_m3;
    double pumped_m3[PW_MAX_PUMPS], energy_j[PW_MAX_PUMPS];
} pw_sums;

typedef struct pw_start_ring pw_start_ring;
typedef struct pw_on_the_way pw_on_the_way; /* extremes.h */

/* Counts and sums over the whole time and since the first fault began; extremes at events, at the ends of steps, and
 * of pressures and windings also within steps (extremes.h): they do not hang on where the steps end. Stops at hunting,
 * and passes that on. */
typedef struct pw_tally {
    pw_observer observer;
    pw_totals whole, before, since; /* parts that are not sums; those up to the onset; extremes since it */
    pw_sums begin, onset;
    pw_pump_totals each[PW_MAX_PUMPS];
    pw_totals at_fault; /* up to the onset */
    bool begun, hunts;
    int64_t burnt_ms; /* the first motor burnt out; -1: none did */
    int32_t burnt_pump;
    int32_t pump_count;
    int64_t stood_ms[PW_MAX_PUMPS]; /* until when each did not turn, called or not */
    pw_start_ring *starts;          /* of each pump: limits are what its own motor and switchgear stand */
    pw_on_the_way *way;             /* through the step under way */
} pw_tally;

/* From here on; NULL without memory. Attach it, or the copy, with pw_sim_attach(sim, &tally->observer). */
pw_tally *pw_tally_new(pw_arena *arena, const pw_sim *sim);
pw_tally *pw_tally_copy(const pw_tally *tally, pw_arena *arena);
pw_totals pw_tally_totals(const pw_tally *tally, const pw_sim *sim, bool since_onset);
void pw_tally_pumps(const pw_tally *tally, const pw_sim *sim, pw_pump_totals *out);

/* ---- firings (firings.c) ---- */

/* First time each watch (sentence) fired after the fault began, with what it had cost by then. */
typedef struct pw_firing {
    int64_t t_ms;     /* -1: never */
    pw_totals totals; /* since the onset of the fault */
} pw_firing;

typedef struct pw_firings {
    pw_observer observer;
    const pw_tally *tally; /* attached before this one */
    bool stop_at_lock, stop_at_watch;
    bool locked, watched; /* that stop has come */
    int32_t lock_count;
    pw_firing first[PW_MAX_SENTENCES];
    int32_t fired[PW_MAX_SENTENCES]; /* how often each watch fired in the whole run */
    /* NULL, or asked of each firing: one that is expected is counted, and is neither the first nor ends anything. */
    bool (*expected)(const void *user, int32_t sentence, int64_t t_ms);
    const void *user;
} pw_firings;
void pw_firings_begin(pw_firings *firings, const pw_tally *tally);

/* ---- entries of the day book (entries.c, sieve.c) ---- */

/* What goes first when there is not room for all entries. */
typedef enum pw_entry_weight {
    PW_ENTRY_PASSING,   /* draws, flow switches, shortage and hot water that come again: all of them go first */
    PW_ENTRY_ROUTINE,   /* starts, stops and the like: then those of most hours and days */
    PW_ENTRY_TELLING,   /* lock outs, warnings, releases */
    PW_ENTRY_NEVER_LEFT /* begin, end, faults, burnt motors, hunting, and the first of each telling kind */
} pw_entry_weight;

typedef struct pw_entry {
    int64_t t_ms; /* since the start of the simulation */
    int16_t kind, item, sentence;
    int8_t weight;
    int32_t left_out;     /* entries between the one before and this one that were not kept */
    int32_t left_routine; /* those of them that are more than passing */
    double pressure_pa;   /* gauge at the first pressure sensor's place at that moment */
    double a, b;
    const pw_settings *settings; /* that `sentence` is one of; NULL: the plant's own */
} pw_entry;

/* What is kept of the routine: its state is all there is to know, and each step keeps part of what the one before did.
 * Of every so many days the first is kept, of every so many hours one. */
typedef struct pw_sieve {
    bool no_passing;
    int32_t days, hours;
} pw_sieve;

void pw_sieve_open(pw_sieve *sieve); /* all is kept */
bool pw_sieve_keeps(const pw_sieve *sieve, const pw_entry *entry);
/* One step coarser, for a run of this length; false: there is none. */
bool pw_sieve_coarser(pw_sieve *sieve, int64_t length_ms);

typedef struct pw_entries {
    pw_observer observer;
    pw_entry *entries;
    int32_t capacity, count, lost;
    int64_t length_ms; /* of the whole run, for the sieve */
    uint64_t seen;     /* kinds of entries since the last fault began */
    bool routine_over;
    pw_sieve sieve;                 /* what of the routine has room */
    int32_t minor_kept;             /* routine and passing */
    int32_t left_out, left_routine; /* left out since the last entry that was kept */
} pw_entries;
/* Keeps at most `capacity`; further ones are counted only, those of least weight first. 0 keeps none. */
pw_status pw_entries_begin(pw_entries *book, pw_arena *arena, int32_t capacity, int64_t length_ms);

/* ---- samples (samples.c) ---- */

/* For plots: what the site has once. What it has several of stands in columns. */
typedef struct pw_sample {
    int64_t t_ms;
    float pressure_pa, draw_m3s;
} pw_sample;

/* Columns of samples: these for each pump, then the depth of each tank, the water over the intake of each bore; when
 * they were asked for, the pressure at each place, then the flow in each line (along it) and at each outlet; each in
 * the sheet's sequence (pw_column_*). */
typedef enum pw_pump_column {
    PW_PUMP_RUNS,    /* 1 on, 0 off */
    PW_PUMP_FLOW,    /* m3/s, also of water that only passes through it */
    PW_PUMP_CURRENT, /* A */
    PW_PUMP_WINDING, /* degC */
    PW_PUMP_WATER,   /* degC, of the water inside */
    PW_PUMP_COLUMNS
} pw_pump_column;

typedef struct pw_samples {
    pw_observer observer;
    int64_t asked_ms, every_ms; /* at most this far apart; or longer where they were thinned: then events bring none */
    int64_t due_ms;
    int32_t capacity, count, lost; /* when they fill it they are thinned: they always span the whole time */
    pw_sample *samples;
    int32_t column_count;            /* columns of a row */
    int32_t first_place, first_line; /* the first place's and the first line's; as the next one when not asked for */
    float *rows;                     /* `count` rows: value r, c is rows[r * column_count + c] */
} pw_samples;
/* asked_ms 0: none are taken. places: the pressure at each place, too; flows: that in each line and at each outlet. */
pw_status pw_samples_begin(pw_samples *samples, pw_arena *arena, const pw_sim *sim, int64_t asked_ms, int32_t capacity,
                           bool places, bool flows);

/* Number of a column. bore: of the sources that are bores, in their sequence. */
int32_t pw_column_pump(int32_t pump, pw_pump_column column);
int32_t pw_column_tank(const pw_site *site, int32_t tank);
int32_t pw_column_bore(const pw_site *site, int32_t bore);
/* How many there are, with or without the pressure at each place and the flows. */
int32_t pw_column_count(const pw_plant *plant, bool places, bool flows);

/* ---- what the controller tells (told.c) ---- */

enum { PW_MAX_STATES_ASKED = 32, PW_MAX_STATES_TOLD = 256, PW_MAX_RESETS = 32 };
_Static_assert(PW_MAX_STATES_ASKED *PW_MAX_PUMPS < PW_MAX_STATES_TOLD, "what is asked for always finds room");

/* What the controller would tell a person who asks at that moment: what a pump does, why, what it waits for. */
typedef struct pw_told {
    int64_t t_ms;
    int16_t pump;
    bool at_lock;   /* told because it was just locked out; else asked for */
    pw_facts facts; /* in the arena of the run; one statement each */
} pw_told;

/* At the moments asked for, a copy of the simulation is brought there and its controller asked. */
typedef struct pw_teller {
    pw_observer observer;
    pw_arena *arena;
    const int64_t *asked_ms; /* rising */
    int32_t asked_count, asked_done;
    int64_t until_ms; /* the end of the run */
    bool at_locks;    /* in every lock out, too; those asked for keep their room */
    void *copy;       /* room for it */
    int32_t count, lost;
    pw_told *told; /* in the order of time */
} pw_teller;
/* arena: must live as long as what is told. asked_count: PW_MAX_STATES_ASKED at most. */
pw_status pw_teller_begin(pw_teller *teller, pw_arena *arena, const pw_sim *sim, const int64_t *asked_ms,
                          int32_t asked_count, int64_t until_ms, bool at_locks);

/* ---- first passages (passages.c) ---- */

enum { PW_MAX_LEVELS = 16 };

/* First moment at which a quantity stands beyond each level: above it when it began below or at it, else below it.
 * Within a step on the integrator's curve it is located to the whole millisecond, the first at which the level is
 * passed, by bisection: a level that is passed and left again within one step is found only when one of `looks` equal
 * parts of the step shows it. Jumps (a pump starts) are seen at the event. */
typedef struct pw_passages {
    pw_observer observer;
    pw_watched what;
    int32_t level_count;
    double level[PW_MAX_LEVELS];
    bool upwards[PW_MAX_LEVELS];
    int64_t first_ms[PW_MAX_LEVELS]; /* -1: not yet */
    double reached[PW_MAX_LEVELS];   /* the value then */
    int32_t looks;                   /* 1: only the end of each step; default 4 */
    double low, high;                /* least and most at events and ends of steps */
    int32_t open;                    /* levels not passed yet */
    bool stop_at_first, stop_at_last;
} pw_passages;
void pw_passages_begin(pw_passages *passages, const pw_sim *sim, pw_watched what, const double *levels, int32_t count);

/* ---- residuals against a log (residuals.c) ---- */

/* Measured minus simulated at each moment of a series, looked up on the integrator's curve at that very moment; at an
 * event the value after it. */
typedef struct pw_residuals {
    pw_observer observer;
    pw_watched what;
    const int64_t *t_ms; /* rising; those before the beginning are skipped */
    const double *measured;
    int32_t count, next;
    double *residual; /* one for each, 0 until it is there; NULL: only the sums */
    int32_t compared;
    double sum, sum_of_squares, largest; /* the largest size */
} pw_residuals;
void pw_residuals_begin(pw_residuals *residuals, const pw_sim *sim, pw_watched what, const int64_t *t_ms,
                        const double *measured, int32_t count, double *out);

#endif
