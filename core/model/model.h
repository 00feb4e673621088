/* Model: a site turned into equations.
 *
 * Storages are the states (water volume of each vessel, tank and bore casing); lines and pumps are quasi-steady. A mishap
 * changes the `pw_condition` (physics) and never anything the controller could look at directly.
 */
#ifndef PW_MODEL_MODEL_H
#define PW_MODEL_MODEL_H

#include "base/arena.h"
#include "base/status.h"
#include "sheet/site.h"

enum {
    PW_MAX_STATES = PW_MAX_SOURCES + PW_MAX_VESSELS + PW_MAX_TANKS,
    PW_MAX_LEAKS = 4
};

/* One hole: flow = Cd A sqrt(2 g head) at its place. */
typedef struct pw_leak {
    int32_t place;
    double area_m2; /* Cd times area */
} pw_leak;

/* The physical condition of the site: as built, unless a mishap changes it. */
typedef struct pw_condition {
    int32_t leak_count;
    pw_leak leaks[PW_MAX_LEAKS];
    double source_yield[PW_MAX_SOURCES];   /* factor on yield and specific capacity, 1 healthy, 0 dry */
    double vessel_air[PW_MAX_VESSELS];     /* fraction of the gas charge still there, 1 .. 0 */
    double float_passing[PW_MAX_TANKS];    /* smallest opening of the float valve, 0 healthy .. 1 stuck open */
    double line_open[PW_MAX_LINES];        /* opening of the line's valve, 1 .. 0 shut */
    double pump_open[PW_MAX_PUMPS];        /* opening of the valve at the pump's outlet, before its delivery place, 1 .. 0 shut */
    bool welded[PW_MAX_PUMPS];             /* contactor welded: runs whatever the output says, once it was pulled in */
    double chatter_hz[PW_MAX_SENSORS];     /* flow switch: changes per second while its pump runs, 0 none */
} pw_condition;

typedef struct pw_model pw_model;

/* Build the model. The site must outlive it. `exact` uses the full formulas everywhere; otherwise line losses come from tables
 * whose relative error is below pw_model_table_error(). Fails when a place cannot be reached or the equations are singular. */
pw_status pw_model_build(pw_arena *arena, const pw_site *site, bool exact, pw_model **out, pw_problems *problems);
double pw_model_table_error(const pw_model *model); /* measured at build: largest relative error of a line's head loss */
const pw_site *pw_model_site(const pw_model *model);
double pw_model_pa_per_m(const pw_model *model); /* density of the site's water times g: pressure of one metre of water */
void pw_condition_healthy(const pw_model *model, pw_condition *out);

/* States: first bores, then vessels, then tanks; volumes of water in m3. */
int32_t pw_model_state_count(const pw_model *model);
void pw_model_start(const pw_model *model, double vessel_pa, double *state); /* rest, vessels at this gauge pressure */
/* Gauge pressure of a vessel's gas / depth of water of a tank or height of the bore's water over its intake, for a volume. */
double pw_model_vessel_pa(const pw_model *model, const pw_condition *condition, int32_t vessel, double volume_m3);
double pw_model_vessel_m3(const pw_model *model, const pw_condition *condition, int32_t vessel, double pressure_pa);
double pw_model_tank_m(const pw_model *model, int32_t tank, double volume_m3);
double pw_model_bore_m(const pw_model *model, int32_t source, double volume_m3);

/* What is switched on or drawn at this moment. */
typedef struct pw_drive {
    bool run[PW_MAX_PUMPS];
    double draw_m3s[PW_MAX_OUTLETS]; /* wanted flow at each outlet */
} pw_drive;

/* Everything known at one moment. Flows in m3/s along the line's direction. */
typedef struct pw_moment {
    double rate_m3s[PW_MAX_STATES];     /* d state / dt */
    double place_pa[PW_MAX_PLACES];     /* gauge pressure at each place */
    double line_m3s[PW_MAX_LINES];
    double pump_m3s[PW_MAX_PUMPS];
    double pump_head_m[PW_MAX_PUMPS];
    double pump_wet[PW_MAX_PUMPS];      /* 1 intake covered .. 0 sucking air */
    double shaft_w[PW_MAX_PUMPS];
    double input_w[PW_MAX_PUMPS];       /* electrical */
    double current_a[PW_MAX_PUMPS];
    double outlet_m3s[PW_MAX_OUTLETS];  /* delivered */
    double leak_m3s[PW_MAX_LEAKS];
    double source_m3s[PW_MAX_SOURCES];  /* entering the site's water: aquifer inflow, or drawn from dam or mains */
    double spill_m3s[PW_MAX_TANKS];     /* over the tank's overflow */
    double imbalance_m3s;               /* largest |sum of flows| at a place: below 1e-9 of the largest flow */
    int32_t iterations;
} pw_moment;

/* Warm start for the network solver: keep one per simulation; zeroed is a cold start. */
typedef struct pw_warm pw_warm;
pw_warm *pw_warm_new(pw_arena *arena, const pw_model *model);

/* Solve the network at this moment. Only entries of things that the site has are written. Returns PW_OK or PW_NO_SOLUTION (with the names of the places that do not settle). */
pw_status pw_model_moment(const pw_model *model, const pw_condition *condition, const pw_drive *drive, const double *state,
                          pw_warm *warm, pw_moment *out, pw_problems *problems);

/* Duty of a pump running alone, nothing drawn, every vessel held at pressure_pa (gauge), tanks at their start; a bore has settled. */
typedef struct pw_duty {
    double pressure_pa; /* gauge, at the pump's delivery place */
    double flow_m3s, head_m;
    double static_m;    /* level difference and pressure at the delivery place, water at rest */
    double drawdown_m;  /* of the bore at this flow; head = static + drawdown */
    double efficiency, shaft_w, input_w, current_a, npsh_available_m,
        npsh_required_m /* negative: the curve does not say */, kwh_per_m3;
} pw_duty;
pw_status pw_model_duty(const pw_model *model, pw_arena *scratch, int32_t pump, double pressure_pa, pw_duty *out,
                        pw_problems *problems);

#endif
