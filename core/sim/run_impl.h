/* Private to core/sim: one simulation under way.
 *
 * One round (sim.c is this loop):
 *
 *     take what is due -> moment -> sensors -> control step -> moment again if a pump changed
 *          ^                                                            |
 *          +---- integrate to the next due time, or to the first <------+
 *                crossing of a watch
 *
 * Invariants
 *  R1  t_ms is whole milliseconds and rises by at least 1 each round, so every advance ends.
 *  R2  `moment` is always of (t_ms, y, drive, condition) when a step begins.
 *  R3  A watch's `holds` is the truth at t_ms; a step ends at the first whole millisecond at which some watch has
 *      another truth.
 *  R4  What the controller decides from the inputs at t_ms acts from t_ms on; it sees the consequence at t_ms + 1.
 *  R5  Sums are integrals of the same rates and weights as the states: source = delivered + leaked + spilled + stored.
 *  R6  All that the future depends on lies in the block of pw_sim before `trial`, and in the parts behind it; what
 *      begins with `trial` is written before it is read. Pointers lead into the block itself (pw_sim_parts) or to what
 *      never changes.
 */
#ifndef PW_SIM_RUN_IMPL_H
#define PW_SIM_RUN_IMPL_H

#include "formula/thermal.h"
#include "sim/demand.h"
#include "sim/sim.h"

/* The sums: of the site, then what each pump pumped (m3), then what each took in (J). */
enum { SUM_SOURCE, SUM_DELIVERED, SUM_LEAKED, SUM_SPILLED, SUM_PUMPS };

/* The vector that is integrated: storages, winding heat of each pump, readings that lag behind the truth, sums, then
 * the water that passed each filter, and the charge of a battery. */
enum {
    MOST_FAULTS = PW_MAX_FAULTS_AT_ONCE,
    MOST_Y = PW_MAX_STATES + PW_MAX_PUMPS + MOST_FAULTS + SUM_PUMPS + 2 * PW_MAX_PUMPS + PW_MAX_FILTERS + 1,
    MOST_CROSSINGS = PW_MAX_SENTENCES * 8, /* eight conditions in a sentence at most: control/parts.h */
    MOST_WATCHES = MOST_CROSSINGS + PW_MAX_SENSORS + 6 * PW_MAX_PUMPS + PW_MAX_OUTLETS + PW_MAX_TANKS + PW_MAX_FILTERS,
    STAGES = 7
};

/* Something whose crossing ends a step. */
typedef enum watch_kind {
    WATCH_SIGNAL,    /* an order's threshold on a signal, as the true value at which the sensor's reading passes it */
    WATCH_FLOW,      /* a flow switch about to change */
    WATCH_SWITCH,    /* a pressure switch about to change */
    WATCH_FILTER,    /* a filter has clogged by one part more */
    WATCH_DRY,       /* pump sucks air */
    WATCH_PRIME,     /* a pump that stands over its water is full of air */
    WATCH_CAVITATES, /* NPSH falls below what the pump requires */
    WATCH_DEAD,      /* pump runs with next to no flow */
    WATCH_BURNT,     /* winding is hotter than it can be */
    WATCH_SHORT,     /* outlet gets under 80 % */
    WATCH_SPILL      /* tank overflows */
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

/* How far one fault has come (course.c). */
typedef struct fault_state {
    pw_fault fault;
    pw_fault_course course;
    int32_t parts;                /* that have come about; 0: not begun */
    int64_t part_due_ms, over_ms; /* INT64_MAX: none */
    bool over;
} fault_state;

/* Air at one spot (air.c). */
typedef enum air_told { AIR_TOLD_NOTHING, AIR_TOLD_AIR, AIR_TOLD_TORN, AIR_TOLD_SIPHON } air_told;
typedef struct air_state {
    bool there;
    air_told told;    /* last, in the day book */
    int64_t clear_ms; /* when it will have gone; INT64_MAX: it does not go */
} air_state;

/* The water inside one pump (warmth.c). */
typedef struct warmth {
    double water_c;
    double heat_w, through_m3s; /* at the beginning of the stretch */
    bool hot, boils;            /* now */
    bool ruined;                /* it has boiled once */
} warmth;

/* What faults do to one pump and its contactor (contactor.c). */
typedef struct pump_state {
    bool ordered;         /* by the output, at the last step */
    bool refused;         /* the contactor does not follow this order */
    int64_t orders;       /* to start, since the onset */
    bool pulled_in;       /* contactor has been closed since it was welded */
    bool stuck;           /* the motor does not turn until it is switched off */
    int64_t up_ms;        /* it runs up until then; INT64_MAX: it is up */
    bool loses_prime;     /* air or steam has driven its water out: at the next round it is empty */
    bool empty;           /* it lost its prime */
    bool burnt;           /* its motor burnt out: it never turns again */
    double start_heat;    /* that the present run's start brought at once */
    int64_t rest_from_ms; /* of its suction pipe */
    double surge_pa;      /* of a slamming valve, next half period */
    int64_t surge_due_ms; /* INT64_MAX: none */
} pump_state;

/* One filter (filters.c). */
typedef struct filter_state {
    double clean_m3;    /* sum of its water when it was clean: below 0 for one that begins dirty */
    int32_t part;       /* of its volume that has passed, in hundredths of what fills it */
    int64_t cleaned_ms; /* next time; INT64_MAX: never */
} filter_state;

/* Where a simulation was left. */
typedef enum phase {
    PHASE_BEGIN,    /* nothing has been told yet */
    PHASE_TAKE,     /* what is due at t_ms has not been taken */
    PHASE_LEAVE,    /* it has */
    PHASE_UNDER_WAY /* within a stretch up to stretch_until_ms, between two steps */
} phase;

struct pw_sim {
    /* shared, constant */
    const pw_plant *plant;
    const pw_table *table;
    const pw_settings *settings_in_force; /* of events; NULL: the plant's */
    const pw_table *typed_table;          /* of the settings as a fault has them typed; NULL */
    const pw_settings *typed_settings;
    const pw_retyped *retyped; /* NULL: no such fault */
    pw_sim_options options;
    /* into the block: behind this structure */
    pw_control *control;
    pw_demand_state *demand;
    pw_warm *warm, *sample_warm; /* looks leave no trace in what starts the next solution */
    watch *watches;
    int32_t watch_capacity;
    size_t parts_size, block_size; /* of the parts that are copied; of all */
    pw_observer *observers;        /* not copied */

    /* the state from here on */
    int64_t t_ms;
    phase phase;
    int64_t stretch_until_ms;
    int32_t storages, thermals, lags, sums, y_count; /* y: storages | heats | lags (from number `lags` on) | sums */
    double scale[MOST_Y];                            /* what a state can hold: for the error norm */
    point now;                                       /* y and moment at t_ms */
    pw_condition condition;
    pw_drive drive;
    pw_outputs outputs;
    pw_thermal thermal[PW_MAX_PUMPS];
    int32_t watch_count;
    bool made[PW_MAX_SENSORS];   /* flow and pressure switches as the water moves them */
    bool shaken[PW_MAX_SENSORS]; /* chatter: reads the opposite just now */
    int64_t toggle_ms[PW_MAX_SENSORS];
    bool dry[PW_MAX_PUMPS], cavitates[PW_MAX_PUMPS], dead[PW_MAX_PUMPS], shortage[PW_MAX_OUTLETS],
        spilling[PW_MAX_TANKS];
    int64_t run_from_ms[PW_MAX_PUMPS], short_from_ms[PW_MAX_OUTLETS];
    double run_from_m3[PW_MAX_PUMPS]; /* pumped sum when this run began */
    int32_t resets_done;
    int64_t control_due_ms, release_ms;
    int32_t fault_count;
    fault_state faults[MOST_FAULTS];
    pump_state pumps[PW_MAX_PUMPS];
    warmth warmth[PW_MAX_PUMPS];
    filter_state filters[PW_MAX_FILTERS];
    air_state air[PW_MAX_SPOTS];
    int32_t lag_of[PW_MAX_SENSORS];  /* number in y of its lagging reading, -1 none */
    double held[PW_MAX_SENSORS];     /* reading of a sensor that is held as it was */
    double surge_pa[PW_MAX_SENSORS]; /* on top of the truth at this moment, from a slamming valve */
    double peak_pa;                  /* of the wave that turned last, behind its pump */
    int64_t supply_due_ms;           /* the course of the supply changes; INT64_MAX: never */
    bool powerless;                  /* supply lost: nothing runs, nothing is controlled */
    double rest_m3[PW_MAX_STATES];   /* storages at the beginning: what a healthy bore recovers to */
    double step_hint_s[2];           /* what went well before: at rest, pumping */
    bool stiff;                      /* until the next event after stiff_until_ms */
    int64_t stiff_until_ms;
    double stiff_hint_s;
    int32_t short_steps; /* explicit ones of this stretch */
    int64_t segments, evaluations, solves;

    /* work space from here on: not copied */
    point trial; /* at the end of the step being tried */
    double k[STAGES][MOST_Y];
    double inputs[PW_MAX_SIGNALS];
    const void *looked_into; /* the stretch that pw_sim_look looks into */
    int64_t looked_h_ms;
    double looked_h_s;       /* of the step before a crossing cut it */
    double advance_until_ms; /* for `done` */
};

/* sensors.c */
void pw_sensors_watch(pw_sim *run);  /* list the watches once */
void pw_sensors_settle(pw_sim *run); /* flow switches and markers at `now`; refreshes every watch's truth */
void pw_sensors_read(pw_sim *run);   /* inputs of the control step */
double pw_sensors_told(const pw_sim *run, int32_t sensor);  /* what it tells now */
double pw_sensors_truth(const pw_sim *run, int32_t sensor); /* of a pressure sensor: the pressure at its place */
double pw_watch_value(const pw_sim *run, const watch *w, const point *at);
bool pw_watch_truth(const watch *w, double value);
int64_t pw_contact_next(const pw_sensor *sensor, int64_t t_ms);

/* integrate.c: carry `now` to until_ms or to the first crossing; t_ms moves. When an observer stops it before, `phase`
 * is PHASE_UNDER_WAY. The tests put another integrator in its place (tests/twin), so nothing else of integrate.c is
 * called from outside, but for pw_integrate_look. */
pw_status pw_integrate(pw_sim *run, int64_t until_ms);
/* `trial` at_ms after the beginning of the step that is being looked into. */
pw_status pw_integrate_look(pw_sim *run, int64_t at_ms);

/* course.c: faults that begin, grow and end, and the day's course of the supply. */
void pw_course_set_up(pw_sim *run);
void pw_course_add(pw_sim *run, const pw_fault *fault);
int64_t pw_course_due(const pw_sim *run); /* next moment at which one changes anything; INT64_MAX none */
bool pw_course_take(pw_sim *run);         /* what is due at t_ms; true when the condition changed */
void pw_course_impose(pw_sim *run);       /* put what pumps suffer into the condition */

/* filters.c: filters clog with the water that passes, and are cleaned. */
void pw_filters_begin(pw_sim *run);
void pw_filters_impose(const pw_sim *run, pw_condition *condition); /* into one that was made anew */
int64_t pw_filters_due(const pw_sim *run);
bool pw_filters_take(pw_sim *run); /* at t_ms; true: one is another part clogged, or clean again */
double pw_filters_passed_m3(const pw_sim *run, int32_t filter, const point *at); /* since it was clean */
double pw_filters_next_m3(const pw_sim *run, int32_t filter); /* that which clogs it by one part more */

/* contactor.c: pumps follow the outputs, as far as contactors, supply and motors let them. */
bool pw_contactor_switch(pw_sim *run);               /* true when any pump changed */
int64_t pw_contactor_due(const pw_sim *run);         /* a motor is up, a surge turns; INT64_MAX none */
void pw_contactor_take(pw_sim *run);                 /* what is due at t_ms */
void pw_contactor_supply(pw_sim *run, int32_t pump); /* its voltage changed while it is switched on */
void pw_contactor_release(pw_sim *run);              /* a person was there: pumps are primed again */

/* reference.c: fill in the plant's reference pressure and full flow. */
pw_status pw_plant_reference(pw_arena *arena, pw_plant *plant);

/* settings.c: the settings as this fault has them typed. PW_OK also when their reader refuses them. */
pw_status pw_settings_type(pw_arena *arena, pw_sim *run, const pw_fault *fault);

/* sim.c: the moment that belongs to at->y under the present drive and condition. */
pw_status pw_run_moment(pw_sim *run, point *at);
pw_status pw_sim_say(pw_sim *run, pw_status status, pw_problems *problems); /* why it went wrong, in words */
/* The step of h_ms from `now` to `trial` is made. */
void pw_sim_made(pw_sim *run, int64_t h_ms);
int64_t pw_sim_next_due(const pw_sim *run,
                        int64_t until_ms); /* the next moment at which anything is, that a clock knows */
bool pw_sim_stops(const pw_sim *run);      /* some observer asks for it */
void pw_sim_begin_control(pw_sim *run, const pw_table *table, const pw_settings *settings);
double pw_sim_pumped(const pw_sim *run, int32_t pump, double from_m3); /* since that sum; below 0.1 mL none */

/* observe.c: tell the observers. */
int32_t pw_sim_pressure_place(const pw_sim *run); /* of pw_sim_pressure */
void pw_sim_tell(pw_sim *run, pw_entry_kind kind, int32_t item, int32_t sentence, double a, double b);
void pw_sim_tell_at(pw_sim *run, pw_at when);
void pw_sim_tell_on_the_way(pw_sim *run, double part); /* it stands in `trial` */
void pw_sim_tell_within(pw_sim *run, int64_t h_ms);
void pw_sim_tell_passed(pw_sim *run, int64_t from_ms);

/* air.c: air in the pipes. */
void pw_air_begin(pw_sim *run);
void pw_air_impose(pw_sim *run);       /* into a condition that was made anew */
bool pw_air_settle(pw_sim *run);       /* at `now`; true: it came or went, and the moment has to be solved again */
void pw_air_tell(pw_sim *run);         /* what is there once the moment has been solved again */
int64_t pw_air_due(const pw_sim *run); /* when some will have gone; INT64_MAX: none */

/* warmth.c: the water inside the pumps. */
void pw_warmth_begin(pw_sim *run);
void pw_warmth_mark(pw_sim *run);              /* what warms it from here on: after each event */
void pw_warmth_pass(pw_sim *run, double dt_s); /* `now` is the end of the stretch, t_ms still its beginning */
void pw_warmth_look(pw_sim *run, double dt_s); /* likewise, but nothing is told or marked: for a sample within it */

/* Numbers in y of what a pump pumped and took in. */
static inline int32_t pw_pumped_at(const pw_sim *run, int32_t pump)
{
    return run->sums + SUM_PUMPS + pump;
}
static inline int32_t pw_filtered_at(const pw_sim *run, int32_t filter)
{
    return run->sums + SUM_PUMPS + 2 * run->thermals + filter;
}
static inline int32_t pw_charge_at(const pw_sim *run)
{
    return pw_filtered_at(run, run->plant->site->filter_count);
}
static inline int32_t pw_energy_at(const pw_sim *run, int32_t pump)
{
    return run->sums + SUM_PUMPS + run->thermals + pump;
}

#endif
