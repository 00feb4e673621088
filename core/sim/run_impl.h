/* Private to core/sim: one simulation under way.
 *
 * How a run goes (run.c is this loop)
 *    take what is due -> moment -> sensors -> control step -> moment again if a pump changed -> integrate to the next
 * due time or to the first crossing -> take what is due ... Invariants R1  t_ms is whole milliseconds and rises by at
 * least 1 each round, so a run always ends. R2  `moment` is always of (t_ms, y, drive, condition) when a step begins.
 *  R3  a watch's `holds` is the truth at t_ms; a step ends at the first whole millisecond at which some watch has
 * another truth. R4  what the controller decides from the inputs at t_ms acts from t_ms on; it sees the consequence at
 * t_ms + 1. R5  totals are sums of the same rates and weights as the states: source = delivered + leaked + spilled +
 * stored change.
 */
#ifndef PW_SIM_RUN_IMPL_H
#define PW_SIM_RUN_IMPL_H

#include "formula/thermal.h"
#include "sim/demand.h"
#include "sim/run.h"

/* The sums: of the site, then what each pump pumped (m3), then what each took in (J). */
enum { SUM_SOURCE, SUM_DELIVERED, SUM_LEAKED, SUM_SPILLED, SUM_PUMPS };

/* The vector that is integrated: storages, winding heat of each pump, readings that lag behind the truth, then sums. */
enum {
    MOST_FAULTS = 2,
    MOST_Y = PW_MAX_STATES + PW_MAX_PUMPS + MOST_FAULTS + SUM_PUMPS + 2 * PW_MAX_PUMPS,
    MOST_CROSSINGS = PW_MAX_SENTENCES * 8, /* eight conditions in a sentence at most: control/parts.h */
    MOST_WATCHES = MOST_CROSSINGS + PW_MAX_SENSORS + 4 * PW_MAX_PUMPS + PW_MAX_OUTLETS + PW_MAX_TANKS,
    STAGES = 7,
    STARTS_KEPT = 4096
};

/* Something whose crossing ends a step. */
typedef enum watch_kind {
    WATCH_SIGNAL, /* an order's threshold on a signal, as the true value at which the sensor's reading passes it */
    WATCH_FLOW,   /* a flow switch about to change */
    WATCH_DRY,    /* pump sucks air */
    WATCH_DEAD,   /* pump runs with next to no flow */
    WATCH_BURNT,  /* winding is hotter than it can be */
    WATCH_SHORT,  /* outlet gets under 80 % */
    WATCH_SPILL   /* tank overflows */
} watch_kind;

typedef struct watch {
    watch_kind kind;
    int32_t item; /* signal, sensor, pump, outlet, tank */
    double threshold;
    bool above; /* holds when the value is above (else below) the threshold */
    bool holds;
} watch;

typedef struct point {
    double y[MOST_Y];
    pw_moment moment;
} point;

/* How far one fault of the options has come (course.c). */
typedef struct fault_state {
    pw_fault_course course;
    int32_t parts;                /* that have come about; 0: not begun */
    int64_t part_due_ms, over_ms; /* INT64_MAX: none */
    bool over;
} fault_state;

/* The water inside one pump (warmth.c). */
typedef struct warmth {
    double water_c;
    double heat_w, through_m3s; /* at the beginning of the stretch */
    bool hot, boils;            /* told in the day book */
} warmth;

/* What faults do to one pump and its contactor (contactor.c). */
typedef struct pump_state {
    bool ordered;         /* by the output, at the last step */
    bool refused;         /* the contactor does not follow this order */
    int64_t orders;       /* to start, since the onset */
    bool pulled_in;       /* contactor has been closed since it was welded */
    bool stuck;           /* the motor does not turn until it is switched off */
    int64_t up_ms;        /* it runs up until then; INT64_MAX: it is up */
    bool empty;           /* it lost its prime */
    bool burnt;           /* its motor burnt out: it never turns again */
    double start_heat;    /* that the present run's start brought at once */
    int64_t rest_from_ms; /* of its suction pipe */
    double surge_pa;      /* of a slamming valve, next half period */
    int64_t surge_due_ms; /* INT64_MAX: none */
} pump_state;

/* Starts of one pump: limits are what its own motor and switchgear stand. */
typedef struct pump_starts {
    int64_t at_ms[STARTS_KEPT];             /* ring of start times */
    int64_t count, hour_first, since_first; /* numbers of starts: in all, first of the last hour, since onset */
} pump_starts;

typedef struct run_state {
    const pw_plant *plant;
    const pw_run_options *options;
    const pw_table *table;
    pw_control *control;
    pw_demand_state *demand;
    pw_warm *warm, *sample_warm; /* samples leave no trace in what starts the next solution */
    pw_daybook *book;
    pw_problems *problems;
    int64_t t_ms;
    int32_t storages, thermals, lags, sums, y_count; /* y: storages | heats | lags (from number `lags` on) | sums */
    double scale[MOST_Y];                            /* what a state can hold: for the error norm */
    point now;                                       /* y and moment at t_ms */
    point trial;                                     /* at the end of the step being tried */
    point begin;                                     /* of a millisecond that is taken in parts */
    double k[STAGES][MOST_Y];
    pw_condition condition;
    pw_drive drive;
    pw_outputs outputs;
    pw_thermal thermal[PW_MAX_PUMPS];
    int32_t watch_count;
    watch watches[MOST_WATCHES];
    double inputs[PW_MAX_SIGNALS];
    bool made[PW_MAX_SENSORS];   /* flow switches as the water moves them */
    bool shaken[PW_MAX_SENSORS]; /* chatter: reads the opposite just now */
    int64_t toggle_ms[PW_MAX_SENSORS];
    bool dry[PW_MAX_PUMPS], dead[PW_MAX_PUMPS], shortage[PW_MAX_OUTLETS], spilling[PW_MAX_TANKS];
    int64_t run_from_ms[PW_MAX_PUMPS], short_from_ms[PW_MAX_OUTLETS];
    double run_from_m3[PW_MAX_PUMPS]; /* pumped sum when this run began */
    pw_arena *arena;
    int32_t states_told; /* of those asked for */
    int32_t resets_done;
    uint64_t seen;    /* kinds of entries since the last fault began */
    int64_t entry_ms; /* of the last entry, -1 none */
    bool entry_fine, routine_over;
    pw_sieve sieve;                 /* what of the routine has room */
    int32_t minor_kept;             /* routine and passing */
    int32_t left_out, left_routine; /* left out since the last entry that was kept */
    int64_t control_due_ms, release_ms, sample_due_ms;
    bool begun; /* some fault */
    fault_state faults[MOST_FAULTS];
    pump_state pumps[PW_MAX_PUMPS];
    warmth warmth[PW_MAX_PUMPS];
    int32_t lag_of[PW_MAX_SENSORS];  /* number in y of its lagging reading, -1 none */
    double held[PW_MAX_SENSORS];     /* reading of a sensor that is held as it was */
    double surge_pa[PW_MAX_SENSORS]; /* on top of the truth at this moment, from a slamming valve */
    bool powerless;                  /* supply lost: nothing runs, nothing is controlled */
    const pw_table *typed_table;     /* of the order as a fault of the settings has it; NULL */
    const pw_settings *typed_settings, *settings_in_force; /* of entries; NULL: the plant's */
    double y_start[MOST_Y], y_onset[MOST_Y];
    pw_totals tally, tally_onset; /* the parts that are not in y */
    pw_totals since;              /* maxima since the onset */
    pw_pump_totals each[PW_MAX_PUMPS];
    pump_starts starts[PW_MAX_PUMPS];
    double step_hint_s[2]; /* what went well before: at rest, pumping */
    bool stiff;            /* until the next event after stiff_until_ms */
    int64_t stiff_until_ms;
    double stiff_hint_s;
    int32_t short_steps;
    bool ended;
} run_state;

/* sensors.c */
void pw_sensors_watch(run_state *run);  /* list the watches once */
void pw_sensors_settle(run_state *run); /* flow switches and markers at `now`; refreshes every watch's truth */
void pw_sensors_read(run_state *run);   /* inputs of the control step */
double pw_sensors_told(const run_state *run, int32_t sensor);  /* what it tells now */
double pw_sensors_truth(const run_state *run, int32_t sensor); /* of a pressure sensor: the pressure at its place */
double pw_watch_value(const run_state *run, const watch *w, const point *at);
bool pw_watch_truth(const watch *w, double value);
int64_t pw_contact_next(const pw_sensor *sensor, int64_t t_ms);

/* integrate.c: carry `now` to until_ms or to the first crossing; t_ms moves. The tests put another integrator in its
 * place (tests/twin), so nothing else of integrate.c is called from outside. */
pw_status pw_integrate(run_state *run, int64_t until_ms);

/* course.c: faults that begin, grow and end. */
void pw_course_set_up(run_state *run);
int64_t pw_course_due(const run_state *run); /* next moment at which one changes anything; INT64_MAX none */
bool pw_course_take(run_state *run);         /* what is due at t_ms; true when the condition changed */
void pw_course_impose(run_state *run);       /* put what pumps suffer into the condition */

/* contactor.c: pumps follow the outputs, as far as contactors, supply and motors let them. */
bool pw_contactor_switch(run_state *run);       /* true when any pump changed */
int64_t pw_contactor_due(const run_state *run); /* a motor is up, a surge turns; INT64_MAX none */
void pw_contactor_take(run_state *run);         /* what is due at t_ms */
void pw_contactor_release(run_state *run);      /* a person was there: pumps are primed again */

/* reference.c: fill in the plant's reference pressure and full flow. */
pw_status pw_plant_reference(pw_arena *arena, pw_plant *plant);

/* settings.c: the order as a fault of the settings has it typed. PW_OK also when its reader refuses it. */
pw_status pw_settings_type(pw_arena *arena, run_state *run);

/* run.c: the moment that belongs to at->y under the present drive and condition. */
pw_status pw_run_moment(run_state *run, point *at);

/* warmth.c: the water inside the pumps. */
void pw_warmth_begin(run_state *run);
void pw_warmth_mark(run_state *run);              /* what warms it from here on: after each event */
void pw_warmth_pass(run_state *run, double dt_s); /* `now` is the end of the stretch, t_ms still its beginning */
void pw_warmth_look(run_state *run, double dt_s); /* likewise, but nothing is told or marked: for a sample within it */
double pw_warmth_most_c(const run_state *run);

/* Numbers in y of what a pump pumped and took in. */
static inline int32_t pw_pumped_at(const run_state *run, int32_t pump)
{
    return run->sums + SUM_PUMPS + pump;
}
static inline int32_t pw_energy_at(const run_state *run, int32_t pump)
{
    return run->sums + SUM_PUMPS + run->thermals + pump;
}

/* entries.c */
void pw_book_entry(run_state *run, pw_entry_kind kind, int32_t item, int32_t sentence, double a, double b);

/* samples.c */
pw_status pw_book_columns(run_state *run); /* room for them */
void pw_book_sample(run_state *run);
int64_t pw_book_sample_due(const run_state *run); /* the next that no event brings */

/* daybook.c */
void pw_book_state(run_state *run, int32_t pump, bool at_lock);    /* ask the controller and keep what it tells */
void pw_book_pass(run_state *run, int64_t from_ms, int64_t to_ms); /* account for a stretch of time */
void pw_book_settled(run_state *run); /* look at the pressures of `now`: after an event, at the end of a step */
void pw_book_start(run_state *run, int32_t pump);
pw_totals pw_book_totals(const run_state *run, bool since_onset);
void pw_book_pumps(const run_state *run); /* totals of each pump, at the end */
double pw_book_pressure(const run_state *run);
/* By a pump while it is on, since that sum; below 0.1 mL none. */
double pw_book_pumped(const run_state *run, int32_t pump, double from_m3);
void pw_book_peak(run_state *run, double pressure_pa); /* a surge: counts for the highest pressure */

#endif
