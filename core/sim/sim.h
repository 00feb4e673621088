/* A running simulation as a value: created, advanced, copied.
 *
 * It lies in one block of memory, sized to the site, and points at nothing that changes: plant, settings and what a
 * fault of the settings had typed are constant and shared. So a copy is a copy of that block; from then on original and
 * copy know nothing of each other.
 *
 * What holds
 *  - A copy goes on byte for byte like the original, whatever became of the original.
 *  - A simulation records nothing. Observers do, and they never change it: the path is the same to the last bit with
 *    any set of them, or none.
 *  - Time is whole milliseconds since Monday 00:00. Everything due at t is taken when the simulation goes on from t.
 *  - pw_sim_advance cuts the step under way at its end. A simulation that was advanced to 10:00 and then to 12:00 is
 *    therefore the same as another one that was, and differs in its last digits from one that went to 12:00 at once.
 *    pw_sim_next does not cut.
 *  - After anything but PW_OK a simulation can only be given back, with the memory it lies in.
 */
#ifndef PW_SIM_SIM_H
#define PW_SIM_SIM_H

#include "fault/fault.h"
#include "sim/plant.h"

typedef struct pw_sim pw_sim;

enum { PW_MAX_FAULTS_AT_ONCE = 2 };

/* ---- events ---- */

typedef enum pw_entry_kind {
    PW_ENTRY_BEGIN,   /* simulation begins */
    PW_ENTRY_START,   /* pump starts: item pump, sentence why */
    PW_ENTRY_STOP,    /* pump stops: a = run seconds, b = volume pumped m3 */
    PW_ENTRY_LOCK,    /* locked out: item pump, sentence which */
    PW_ENTRY_WARN,    /* watch warns */
    PW_ENTRY_HELD,    /* a start waits: a = what for (pw_control_wait) */
    PW_ENTRY_RELEASE, /* a person released the lock out */
    PW_ENTRY_RETRY,   /* the settings released it by themselves */
    PW_ENTRY_FAULT,   /* a fault begins: item its number, a = severity, b = kind */
    PW_ENTRY_DRAW,    /* a draw begins: item outlet, a = wanted flow m3/s */
    PW_ENTRY_DRAW_END,
    PW_ENTRY_FLOW,    /* flow switch made: item sensor */
    PW_ENTRY_NO_FLOW, /* flow switch broke */
    PW_ENTRY_DRY,     /* pump begins to suck air: item pump, a = 1: it stands too high over its water for any to rise */
    PW_ENTRY_DRY_END,
    PW_ENTRY_CAVITATES, /* NPSH falls below what the pump requires: item pump, a = available, b = required, m */
    PW_ENTRY_CAVITATES_END,
    PW_ENTRY_SHORT,     /* an outlet gets clearly less than wanted (under 80 %): item outlet */
    PW_ENTRY_SHORT_END, /* a = seconds that it lasted; it ends with the draw, too */
    PW_ENTRY_SPILL,     /* a tank overflows: item tank */
    PW_ENTRY_SPILL_END,
    PW_ENTRY_HUNTING,    /* more than PW_HUNT_STARTS starts of one pump in an hour: told by the totals (observe.h) */
    PW_ENTRY_FAULT_END,  /* the fault is over: the supply is back, the frost is gone */
    PW_ENTRY_STALL,      /* pump is switched on and does not turn: item pump */
    PW_ENTRY_NO_PRIME,   /* pump starts without water in it: item pump */
    PW_ENTRY_PRIME_LOST, /* air or steam has driven the water out of it: item pump */
    PW_ENTRY_NO_CLOSE,   /* contactor does not follow a call to start: item pump */
    PW_ENTRY_SLAM,       /* its non-return valve slams: item pump, a = surge Pa, b = half its period s */
    PW_ENTRY_TYPED,      /* the settings as now typed are refused by their reader: the old ones stay */
    PW_ENTRY_HOT,        /* the water in a pump passes PW_SCALD_C: item pump, a = degC */
    PW_ENTRY_BOILS,      /* it boils: a = degC, the boiling point at the pressure in the pump */
    PW_ENTRY_HOT_END,    /* it has cooled */
    PW_ENTRY_BURNT,      /* the motor burnt out: item pump, a = degC of its winding */
    PW_ENTRY_RESET,      /* a person reset the counters of starts and run time of every pump */
    PW_ENTRY_AIR_IN,     /* air comes into a pipe: item spot (pw_model_spot), a = gauge Pa; likewise the next three */
    PW_ENTRY_AIR_OUT,    /* it has gone */
    PW_ENTRY_TORN,       /* nothing but vapour is left there: the column separates */
    PW_ENTRY_SIPHON,     /* water is drawn over a high point by what falls behind it */
    PW_ENTRY_CLEANED,    /* a filter is cleaned: item filter */
    PW_ENTRY_END,
    PW_ENTRY_COUNT
} pw_entry_kind;

/* Water of this temperature scalds within seconds (common practice; the same as sizing takes). */
#define PW_SCALD_C 60.0
/* A winding this far above the limit of its insulation has burnt out. By the rule that 10 K halve the life of the
 * insulation (Montsinger 1930, from memory) the 20,000 h of an insulation class are 20 h there; enamel of classes 130
 * to 155 softens and shorts near 200 to 270 degC (cut-through test of IEC 60317, from memory). Own choice from both. */
#define PW_BURNT_OVER_K 100.0

typedef struct pw_event {
    int64_t t_ms;
    pw_entry_kind kind;
    int32_t item, sentence; /* -1 none */
    double a, b;
    const pw_settings *settings; /* that `sentence` is one of; NULL: the plant's own */
} pw_event;

/* ---- observers ---- */

/* Moments within one round of a simulation at which the site stands still for a look. */
typedef enum pw_at {
    PW_AT_SETTLED,   /* flows and pressures are those of this moment */
    PW_AT_STEPPED,   /* the controller has been stepped; pumps still stand as they were */
    PW_AT_SWITCHING, /* pumps are about to follow it */
    PW_AT_SWITCHED,  /* they have, and all has settled */
    PW_AT_SURGE,     /* a pressure wave turns: pw_sim_surge_pa */
    PW_AT_ROUND_END  /* all is taken that was due; now time goes on */
} pw_at;

/* Looks on. Embedded as the first member of whatever records; each function may be NULL and must not change the
 * simulation. `stop` may be set in any of them: the simulation then returns before time goes on, without having cut
 * anything short, and clears it when it is asked to go on. */
typedef struct pw_observer pw_observer;
struct pw_observer {
    void (*event)(pw_observer *self, pw_sim *sim, const pw_event *event);
    void (*at)(pw_observer *self, pw_sim *sim, pw_at when);
    /* A step is being tried; what is looked at on the way to its end, `part` of it from its beginning: nearly so, for
     * it costs nothing. Parts rise; one that does not begins another try, and part 0 another step. For those inside
     * core/sim. */
    void (*on_the_way)(pw_observer *self, pw_sim *sim, double part);
    /* A step of h_ms was found; the simulation stands at its beginning. pw_sim_look shows any moment within. */
    void (*within)(pw_observer *self, pw_sim *sim, int64_t h_ms);
    /* The step is made: the simulation stands at its end; nothing switched since from_ms. */
    void (*passed)(pw_observer *self, pw_sim *sim, int64_t from_ms);
    bool stop;
    pw_observer *next; /* set by pw_sim_attach */
};

/* Told in the sequence in which they were attached. An observer must outlive the simulation, or be detached. */
void pw_sim_attach(pw_sim *sim, pw_observer *observer);
void pw_sim_detach(pw_sim *sim, pw_observer *observer);
/* By an observer that found something out: the others are told. */
void pw_sim_pass_on(pw_sim *sim, const pw_event *event);
/* Only from pw_observer.within: calls `show` while the simulation stands at_ms (0 .. h_ms) after the beginning of the
 * step, on the curve that the integrator took, warm water and all. false: no solution there. */
bool pw_sim_look(pw_sim *sim, int64_t at_ms, void (*show)(void *user, const pw_sim *sim), void *user);

/* ---- create, advance, copy ---- */

typedef struct pw_sim_options {
    int64_t begin_ms;    /* time of the week at which it begins, 0 Monday 00:00; all other times count from there too */
    uint64_t seed;       /* of the random demands */
    double reference_pa; /* for leaks; 0: the plant's */
    int64_t release_after_ms; /* a person releases a lock out after this long; 0 never */
    double tolerance;         /* of the integrator, relative; 0: 1e-8 */
    const bool *keep;         /* which sentences are in force (pw_table_build); NULL all */
    /* Asked every few hundred steps; done: part of the present advance. True ends it with PW_CANCELLED. */
    bool (*cancelled)(void *user, double done);
    void *user;
    const int64_t *reset_ms; /* moments at which a person resets the counters of every pump, rising */
    int32_t reset_count;
} pw_sim_options;

/* The simulation stands at begin_ms, at rest, nothing taken yet that is due there. The arena keeps it, with the
 * compiled settings; what options point at must outlive it. */
pw_status pw_sim_create(pw_arena *arena, const pw_plant *plant, const pw_sim_options *options, pw_sim **out,
                        pw_problems *problems);
/* To until_ms, or until an observer stops it: then pw_sim_time_ms is less, or the observer's stop is set. */
pw_status pw_sim_advance(pw_sim *sim, int64_t until_ms, pw_problems *problems);
/* Takes what is due and goes on to the next moment at which something is, at the latest to until_ms. A later call with
 * the same until_ms goes on as pw_sim_advance would have. */
pw_status pw_sim_next(pw_sim *sim, int64_t until_ms, pw_problems *problems);

/* Bytes that a copy takes. */
size_t pw_sim_size(const pw_sim *sim);
/* A copy in memory of the caller's: pw_sim_size bytes, aligned to 16. No observer is attached to it. */
pw_sim *pw_sim_copy_into(const pw_sim *sim, void *memory);
/* In an arena; NULL without memory. */
pw_sim *pw_sim_copy(const pw_sim *sim, pw_arena *arena);
/* A copy under other settings, read against the same plant: the controller begins anew, as one that was just typed
 * anew does; pumps stop unless it starts them. */
pw_status pw_sim_copy_under(const pw_sim *sim, pw_arena *arena, const pw_settings *settings, const bool *keep,
                            pw_sim **out, pw_problems *problems);
/* Is the state of both the same, byte for byte? Settings must be shared; observers do not count. */
bool pw_sim_same(const pw_sim *a, const pw_sim *b);

/* A fault from its onset on; onset_ms at or after the present time (PW_RANGE otherwise), PW_MAX_FAULTS_AT_ONCE in all
 * (PW_LIMIT). The arena keeps what a fault of the settings has typed. */
pw_status pw_sim_befall(pw_sim *sim, pw_arena *arena, const pw_fault *fault, pw_problems *problems);

/* What the reader said to a fault of the settings as it was typed; NULL: there was none. */
typedef struct pw_retyped {
    bool refused;                /* the old settings stay */
    bool warned;                 /* taken, with a warning that the settings as they should be do not get */
    bool about_it;               /* that warning is about a sentence that was typed otherwise */
    const pw_settings *settings; /* as typed; NULL: refused */
} pw_retyped;
const pw_retyped *pw_sim_retyped(const pw_sim *sim);

/* ---- what can be asked of it, at any time; SI ---- */

const pw_plant *pw_sim_plant(const pw_sim *sim);
int64_t pw_sim_time_ms(const pw_sim *sim);
const pw_moment *pw_sim_moment(const pw_sim *sim);
const pw_drive *pw_sim_drive(const pw_sim *sim);
const pw_condition *pw_sim_condition(const pw_sim *sim);
bool pw_sim_powered(const pw_sim *sim); /* the controller has its supply */
/* Does the condition of this sentence hold for this pump, as of the controller's last step? */
bool pw_sim_holds(const pw_sim *sim, int32_t pump, int32_t sentence);
bool pw_sim_locked(const pw_sim *sim, int32_t pump);
double pw_sim_pressure(const pw_sim *sim); /* at the first pressure sensor's place, else behind the first pump */
double pw_sim_surge_pa(const pw_sim *sim); /* PW_AT_SURGE: the pressure that the wave reaches behind its pump */
double pw_sim_winding_c(const pw_sim *sim, int32_t pump);
double pw_sim_water_c(const pw_sim *sim, int32_t pump); /* inside it */
double pw_sim_tank_m(const pw_sim *sim, int32_t tank);
double pw_sim_bore_m(const pw_sim *sim, int32_t source); /* over the intake; of a bore */
int64_t pw_sim_segments(const pw_sim *sim);              /* steps made */
int64_t pw_sim_evaluations(const pw_sim *sim);           /* solutions of the network */
int64_t pw_sim_solves(const pw_sim *sim);                /* steps of Newton, or of the slower ways, in all of them */

/* Something that has a value at every moment. */
typedef enum pw_quantity_of {
    PW_OF_PLACE_PRESSURE, /* Pa gauge */
    PW_OF_PUMP_FLOW,      /* m3/s */
    PW_OF_LINE_FLOW,
    PW_OF_OUTLET_FLOW,
    PW_OF_TANK_DEPTH, /* m */
    PW_OF_BORE_WATER, /* m over the intake of a source that is a bore */
    PW_OF_CURRENT,    /* A, of a pump */
    PW_OF_POWER,      /* W, electrical, of a pump */
    PW_OF_WINDING,    /* degC, of a pump */
    PW_OF_WATER,      /* degC, inside a pump */
    PW_OF_RUNNING,    /* 1 on, 0 off, of a pump */
    PW_OF_READING     /* what a sensor tells */
} pw_quantity_of;
typedef struct pw_watched {
    pw_quantity_of of;
    int32_t item;
} pw_watched;
double pw_sim_value(const pw_sim *sim, pw_watched what);

#endif
