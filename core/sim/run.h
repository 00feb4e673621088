/* Run: one simulation of a site under its order, event by event, into a day book.
 */
#ifndef PW_SIM_RUN_H
#define PW_SIM_RUN_H

#include "fault/fault.h"
#include "element/model.h"
#include "control/table.h"

typedef enum pw_entry_kind {
    PW_ENTRY_BEGIN,   /* simulation begins */
    PW_ENTRY_START,   /* pump starts: item pump, sentence why */
    PW_ENTRY_STOP,    /* pump stops: a = run seconds, b = volume pumped m3 */
    PW_ENTRY_LOCK,    /* locked out: item pump, sentence which */
    PW_ENTRY_WARN,    /* watch warns */
    PW_ENTRY_HELD,    /* a start waits: a = what for (pw_control_wait) */
    PW_ENTRY_RELEASE, /* a person released the lock out */
    PW_ENTRY_RETRY,   /* the order released it by itself */
    PW_ENTRY_FAULT,   /* the fault begins */
    PW_ENTRY_DRAW,    /* a draw begins: item outlet, a = wanted flow m3/s */
    PW_ENTRY_DRAW_END,
    PW_ENTRY_FLOW,    /* flow switch made: item sensor */
    PW_ENTRY_NO_FLOW, /* flow switch broke */
    PW_ENTRY_DRY,     /* pump begins to suck air: item pump */
    PW_ENTRY_DRY_END,
    PW_ENTRY_SHORT,     /* an outlet gets clearly less than wanted (under 80 %): item outlet */
    PW_ENTRY_SHORT_END, /* a = seconds that it lasted; it ends with the draw, too */
    PW_ENTRY_SPILL,     /* a tank overflows: item tank */
    PW_ENTRY_SPILL_END,
    PW_ENTRY_HUNTING,   /* more than PW_HUNT_STARTS starts of one pump in an hour: the run ends here */
    PW_ENTRY_FAULT_END, /* the fault is over: the supply is back, the frost is gone */
    PW_ENTRY_STALL,     /* pump is switched on and does not turn: item pump */
    PW_ENTRY_NO_PRIME,  /* pump starts without water in it: item pump */
    PW_ENTRY_NO_CLOSE,  /* contactor does not follow an order to start: item pump */
    PW_ENTRY_SLAM,      /* its non-return valve slams: item pump, a = surge Pa, b = half its period s */
    PW_ENTRY_TYPED,     /* the order as now typed is refused by its reader: the old one stays */
    PW_ENTRY_HOT,       /* the water in a pump passes PW_SCALD_C: item pump, a = degC */
    PW_ENTRY_BOILS,     /* it boils: a = degC, the boiling point at the pressure in the pump */
    PW_ENTRY_HOT_END,   /* it has cooled */
    PW_ENTRY_BURNT,     /* the motor burnt out: item pump, a = degC of its winding */
    PW_ENTRY_RESET,     /* a person reset the counters of starts and run time of every pump */
    PW_ENTRY_END,
    PW_ENTRY_COUNT
} pw_entry_kind;

enum { PW_HUNT_STARTS = PW_MAX_STARTS }; /* in an hour: every limit of starts has had its chance to act by then */

/* Water of this temperature scalds within seconds (common practice; the same as sizing takes). */
#define PW_SCALD_C 60.0
/* A winding this far above the limit of its insulation has burnt out. By the rule that 10 K halve the life of the
 * insulation (Montsinger 1930, from memory) the 20,000 h of an insulation class are 20 h there; enamel of classes 130
 * to 155 softens and shorts near 200 to 270 degC (cut-through test of IEC 60317, from memory). Own choice from both. */
#define PW_BURNT_OVER_K 100.0

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
    bool fine;            /* in the second of the entry before it: its words tell the milliseconds */
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

/* For plots: what the site has once. What it has several of stands in the day book's columns. */
typedef struct pw_sample {
    int64_t t_ms;
    float pressure_pa, draw_m3s;
} pw_sample;

/* Columns of samples: these for each pump, then the depth of each tank, the water over the intake of each bore, the
 * pressure at each place when it was asked for; each in the sheet's sequence (pw_column_*). */
typedef enum pw_pump_column {
    PW_PUMP_RUNS,    /* 1 on, 0 off */
    PW_PUMP_FLOW,    /* m3/s, also of water that only passes through it */
    PW_PUMP_CURRENT, /* A */
    PW_PUMP_WINDING, /* degC */
    PW_PUMP_WATER,   /* degC, of the water inside */
    PW_PUMP_COLUMNS
} pw_pump_column;

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
    double short_s;     /* time with an outlet under 80 % of what it wants */
    double water_max_c; /* inside a pump */
    double winding_max_c, pressure_max_pa, pressure_min_pa /* first pressure sensor's place */;
    double pressure_top_pa; /* highest at any place, or in front of a pump's shut valve */
    int64_t starts;
    int32_t most_starts_in_hour; /* of one pump */
    double longest_run_s;
    int64_t segments, evaluations;
} pw_totals;

enum { PW_MAX_STATES_ASKED = 32, PW_MAX_STATES_TOLD = 256, PW_MAX_RESETS = 32 };
_Static_assert(PW_MAX_STATES_ASKED *PW_MAX_PUMPS < PW_MAX_STATES_TOLD, "what is asked for always finds room");

/* What the controller would tell a person who asks at that moment: what a pump does, why, what it waits for. */
typedef struct pw_told {
    int64_t t_ms;
    int16_t pump;
    bool at_lock;      /* told because it was just locked out; else asked for */
    const char *words; /* in the arena of the run; one statement a line */
} pw_told;

/* First time each watch (sentence) fired after the fault began, with what it had cost by then. */
typedef struct pw_firing {
    int64_t t_ms;     /* -1: never */
    pw_totals totals; /* since the onset of the fault */
} pw_firing;

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
    const pw_units *units;   /* of those states; NULL: metric */
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
    int32_t column_count, first_place; /* columns of a row; the first place's, column_count when not asked for */
    float *rows;                       /* sample_count rows: value r, c is rows[r * column_count + c] */
    pw_totals totals;                  /* whole run */
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
    bool typed_refused;              /* a fault of the settings: the order's reader refused it as it was typed */
    bool typed_warned;               /* it took it, with a warning that the settings as they should be do not get */
    bool typed_about_it;             /* that warning is about a sentence that was typed otherwise */
    char typed_words[PW_WORDS_SIZE]; /* what it said; "" nothing */
} pw_daybook;

/* Everything one site needs to be run again and again. */
typedef struct pw_plant {
    const pw_site *site;
    const pw_model *model;
    const pw_settings *settings;
    int32_t signal_count;
    pw_signal signals[PW_MAX_SIGNALS];
    pw_site_facts facts;          /* for the words of the order */
    double cut_in_pa, cut_out_pa; /* pressures of the first start and stop sentence; 0 when there are none */
    /* Leaks are told by their flow at this pressure: the middle of those two, else what the strongest pump's outlet
     * shows while it runs at rest levels; what the strongest pump gives at it. Above 0, both. */
    double reference_pa, full_m3s;
} pw_plant;

/* What words about the site's pumps must know. Lines are followed both ways, up to a tank's water and to another pump;
 * a pressure that lies before one pump and behind another is told for each. */
void pw_site_facts_of(const pw_site *site, pw_site_facts *out);

/* Site to model, signals and order in one call. */
pw_status pw_plant_build(pw_arena *arena, const pw_site *site, bool exact, pw_plant **out, pw_problems *problems);

/* Sentences read against this plant's signals and pumps, with the paths of its sheet. */
pw_status pw_plant_read(pw_arena *arena, const pw_plant *plant, const char *const *sentences, int32_t count,
                        pw_settings **out, pw_problems *problems);

/* One simulation. The day book lies in the arena. Same plant, same options: same bits. */
pw_status pw_run(pw_arena *arena, const pw_plant *plant, const pw_run_options *options, pw_daybook **out,
                 pw_problems *problems);

/* Number of a column in a day book's rows. bore: of the sources that are bores, in their sequence. */
int32_t pw_column_pump(int32_t pump, pw_pump_column column);
int32_t pw_column_tank(const pw_site *site, int32_t tank);
int32_t pw_column_bore(const pw_site *site, int32_t bore);
/* How many there are, with or without the pressure at each place. */
int32_t pw_column_count(const pw_plant *plant, bool places);
float pw_sample_value(const pw_daybook *book, int32_t sample, int32_t column);

/* One entry in words: "06:12:04  pump starts (pressure below 250 kPa for 1 s)". Time as day and time of day. */
void pw_entry_put(const pw_plant *plant, const pw_entry *entry, const pw_units *units, pw_text *text);
const char *pw_entry_id(int32_t kind); /* "start", "stop", ... for JSON */

#endif
