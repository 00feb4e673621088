/* Model: a site turned into equations.
 *
 * Storages are the states (water volume of each vessel, tank and bore casing); lines and pumps are quasi-steady. A
 * fault changes the `pw_condition` (physics) and never anything the controller could look at directly.
 */
#ifndef PW_ELEMENT_MODEL_H
#define PW_ELEMENT_MODEL_H

#include "base/arena.h"
#include "base/status.h"
#include "formula/motor.h"
#include "site/site.h"
#include "formula/water.h"

enum { PW_MAX_STATES = PW_MAX_SOURCES + PW_MAX_VESSELS + PW_MAX_TANKS + PW_MAX_PUMPS, PW_MAX_LEAKS = 4 };

/* Part of its shaft power that a pump takes without water, for its own losses (own choice). */
#define PW_DRY_POWER 0.35

/* One hole: flow = Cd A sqrt(2 g head) at its place. With opens_pa above 0 it is a relief valve: shut up to that gauge
 * pressure at its place, full open a tenth above it. */
typedef struct pw_leak {
    int32_t place;
    double area_m2; /* Cd times area */
    double opens_pa;
} pw_leak;

/* What a sensor or contact is held at, whatever is true. */
typedef enum pw_hold { PW_HOLD_FREE, PW_HOLD_AS_IT_IS, PW_HOLD_ON, PW_HOLD_OFF } pw_hold;

/* The physical condition of the site: as built, unless a fault changes it. The first part is what the model needs, the
 * second what a simulation (core/sim) does with it. */
typedef struct pw_condition {
    int32_t leak_count;
    pw_leak leaks[PW_MAX_LEAKS];
    double source_yield[PW_MAX_SOURCES];    /* factor on yield and specific capacity, 1 healthy, 0 dry */
    double source_fall_m[PW_MAX_SOURCES];   /* the standing water level is lower than the sheet says by this much */
    double vessel_air[PW_MAX_VESSELS];      /* fraction of the gas charge still there, 1 .. 0 */
    double vessel_extra_pa[PW_MAX_VESSELS]; /* precharge above that of the sheet */
    double float_passing[PW_MAX_TANKS];     /* smallest opening of the float valve, 0 healthy .. 1 stuck open */
    double float_most[PW_MAX_TANKS];        /* largest opening of the float valve, 1 healthy .. 0 stuck shut */
    double line_open[PW_MAX_LINES];         /* opening of the line's valve, 1 .. 0 shut */
    double line_friction[PW_MAX_LINES];     /* factor on the head lost in the line, 1 as built */
    double line_back[PW_MAX_LINES]; /* opening of the line's non-return valve to water that flows back, 0 tight */
    double
        pump_open[PW_MAX_PUMPS]; /* opening of the valve at the pump's outlet, before its delivery place, 1 .. 0 shut */
    double pump_back[PW_MAX_PUMPS];   /* opening of the pump's non-return valve to water that flows back, 0 tight */
    double pump_intake[PW_MAX_PUMPS]; /* free part of the intake's area, 1 .. 0 blocked */
    double pump_head[PW_MAX_PUMPS];   /* factor on the head of the curve */
    double pump_flow[PW_MAX_PUMPS];   /* factor on the flows of the curve, above 0 */
    double pump_load[PW_MAX_PUMPS];   /* factor on the shaft power */
    double pump_speed[PW_MAX_PUMPS];  /* factor on the speed, by the supply */
    double pump_amps[PW_MAX_PUMPS];   /* factor on the current, by the supply (a phase lost) */
    bool pump_empty[PW_MAX_PUMPS];    /* no water in the pump: it lost its prime */
    bool stalled[PW_MAX_PUMPS];       /* switched on and not turning: locked-rotor current, no head */
    double supply;                    /* factor on the supply voltage */

    bool welded[PW_MAX_PUMPS];        /* contactor welded: runs whatever the output says, once it was pulled in */
    double not_closing[PW_MAX_PUMPS]; /* part of the orders to start that the contactor does not follow */
    double drains_s[PW_MAX_PUMPS];    /* at rest the pump loses its prime in this time; 0 never */
    double
        slam_pa[PW_MAX_PUMPS]; /* surge when the non-return valve shuts after a stop, on both sides of the pressure */
    double slam_half_s[PW_MAX_PUMPS]; /* half its period */
    double sag[PW_MAX_PUMPS];         /* factor on the voltage while a motor starts */
    bool phase_lost, supply_lost;
    double chatter_hz[PW_MAX_SENSORS];  /* flow switch: changes per second while its pump runs, 0 none */
    double sensor_bias[PW_MAX_SENSORS]; /* added to what the sensor tells, Pa or m */
    double
        sensor_lag_s[PW_MAX_SENSORS]; /* time constant of a pressure sensor behind a nearly blocked tapping, 0 none */
    uint8_t sensor_hold[PW_MAX_SENSORS]; /* pw_hold */
} pw_condition;

typedef struct pw_model pw_model;

/* Build the model. The site must outlive it. `exact` uses the full formulas everywhere; otherwise line losses come from
 * tables whose relative error is below pw_model_table_error(). Fails when a place cannot be reached or the equations
 * are singular. */
pw_status pw_model_build(pw_arena *arena, const pw_site *site, bool exact, pw_model **out, pw_problems *problems);
double
pw_model_table_error(const pw_model *model); /* measured at build: largest relative error of a line's head loss */
const pw_site *pw_model_site(const pw_model *model);
double
pw_model_pa_per_m(const pw_model *model); /* density of the site's water times g: pressure of one metre of water */
const pw_water *pw_model_water(const pw_model *model); /* at the site's temperature */
/* Head that a pump makes at this speed (pw_drive) and flow, before a valve at its outlet takes of it. */
double pw_model_inside_m(const pw_model *model, const pw_condition *condition, int32_t pump, double speed,
                         double flow_m3s);
/* Boiling point in a pump that makes this head, degC: at the air's pressure of the site and the head on top. */
double pw_model_boiling_c(const pw_model *model, double head_m);
/* Water that a bore's casing holds above the intake when nobody draws, m3; below 0 when the level stands below the
 * intake. */
double pw_model_bore_rest_m3(const pw_model *model, const pw_condition *condition, int32_t source);
/* Does the pump draw from open water that stands below it? Only such a pump needs a prime. */
bool pw_model_pump_lifts(const pw_model *model, int32_t pump);
/* Surge by stopping a water column of this velocity at the pump's delivery place: Joukowsky's rho a v, and half its
 * period 2 L / a, in the longest line that begins or ends there (bore pumps: at least as long as the intake is deep).
 */
void pw_model_surge(const pw_model *model, int32_t pump, double velocity_ms, double *surge_pa, double *half_s);
/* Gauge pressure at the pump's delivery place with the pump against a shut valve and its source at rest. */
double pw_model_shut_off_pa(const pw_model *model, int32_t pump);
/* Does the motor no longer carry its load at this part of the supply voltage? */
bool pw_model_stalls(const pw_model *model, int32_t pump, double supply);
/* Motor of a pump, as pw_motor_load wants it (power/motor.h). */
const pw_motor_data *pw_model_motor(const pw_model *model, int32_t pump);
void pw_condition_healthy(const pw_model *model, pw_condition *out);

/* States: bores, then vessels, then tanks, then elastic mains; volumes of water in m3.
 * An elastic main is what the pipes of a delivery without a vessel take up by stretching, at the pump's delivery place:
 * dV/dp = pipe volume / (rho a^2) with the wave speed a after Korteweg, at least 0.1 L per 100 kPa (hoses and trapped
 * air; common practice, no source). Without it the pressure behind a shut valve would have no value of its own. Its
 * state is the water beyond that at 0 gauge; it may be negative: a column that tears, never below -90 kPa. */
int32_t pw_model_state_count(const pw_model *model);
int32_t pw_model_bore_count(const pw_model *model);
int32_t pw_model_vessel_state(const pw_model *model, int32_t vessel);
int32_t pw_model_tank_state(const pw_model *model, int32_t tank);
/* What a state can hold, for error norms: a bore's or tank's content, a vessel's volume, an elastic main at 1 MPa. */
double pw_model_state_scale(const pw_model *model, int32_t state);
void pw_model_start(const pw_model *model, double vessel_pa, double *state); /* rest, vessels at this gauge pressure */
/* Gauge pressure of a vessel's gas / depth of water of a tank or height of the bore's water over its intake, for a
 * volume. */
double pw_model_vessel_pa(const pw_model *model, const pw_condition *condition, int32_t vessel, double volume_m3);
double pw_model_vessel_m3(const pw_model *model, const pw_condition *condition, int32_t vessel, double pressure_pa);
double pw_model_tank_m(const pw_model *model, int32_t tank, double volume_m3);
double pw_model_bore_m(const pw_model *model, int32_t source, double volume_m3);

/* What is switched on or drawn at this moment. A pump's speed is a fraction of that which the sheet gives it: 0 off, 1
 * as rated by a contactor, anything from 0 up by a drive; its head, flow and power follow by the affinity laws. */
typedef struct pw_drive {
    double speed[PW_MAX_PUMPS];
    double draw_m3s[PW_MAX_OUTLETS]; /* wanted flow at each outlet */
} pw_drive;

/* Everything known at one moment. Flows in m3/s along the line's direction. */
typedef struct pw_moment {
    double rate_m3s[PW_MAX_STATES]; /* d state / dt */
    double place_pa[PW_MAX_PLACES]; /* gauge pressure at each place */
    double line_m3s[PW_MAX_LINES];
    double pump_m3s[PW_MAX_PUMPS];
    double pump_head_m[PW_MAX_PUMPS];
    double pump_wet[PW_MAX_PUMPS]; /* 1 intake covered .. 0 sucking air */
    double shaft_w[PW_MAX_PUMPS];
    double input_w[PW_MAX_PUMPS]; /* electrical */
    double current_a[PW_MAX_PUMPS];
    double outlet_m3s[PW_MAX_OUTLETS]; /* delivered */
    double leak_m3s[PW_MAX_LEAKS];
    double source_m3s[PW_MAX_SOURCES]; /* entering the site's water: aquifer inflow, or drawn from dam or mains */
    double spill_m3s[PW_MAX_TANKS];    /* over the tank's overflow */
    double imbalance_m3s;              /* largest |sum of flows| at a place: below 1e-9 of the largest flow */
    int32_t iterations;
} pw_moment;

/* Warm start for the network solver: keep one per simulation; zeroed is a cold start. */
typedef struct pw_warm pw_warm;
pw_warm *pw_warm_new(pw_arena *arena, const pw_model *model);
size_t pw_warm_size(void); /* plain data: all zero is a cold start */
void pw_warm_copy(pw_warm *to, const pw_warm *from);

/* Solve the network at this moment. Only entries of things that the site has are written. Returns PW_OK or
 * PW_NO_SOLUTION (with the names of the places that do not settle). */
pw_status pw_model_moment(const pw_model *model, const pw_condition *condition, const pw_drive *drive,
                          const double *state, pw_warm *warm, pw_moment *out, pw_problems *problems);

/* Move the elastic mains (only them) to where they neither fill nor empty under this drive: what a pump without a
 * vessel settles to within seconds. PW_NO_SOLUTION when the network has none. */
pw_status pw_model_settle(const pw_model *model, const pw_condition *condition, const pw_drive *drive, double *state,
                          pw_warm *warm, pw_problems *problems);

/* What pw_model_start gives, at rest: pipes full as far as a non-return valve or a tank holds them, no store above what
 * the pumps and sources can bring it to, and every vessel and main where it neither gains nor loses while nothing runs
 * or is drawn. A float valve that is open does not count against a vessel: filling its tank is no rest. Where the
 * network has no solution it is as pw_model_start leaves it. */
void pw_model_rest(const pw_model *model, double vessel_pa, double *state, pw_warm *warm);

/* Duty of a pump running alone, nothing drawn, every vessel held at pressure_pa (gauge), tanks at their start; a bore
 * and elastic mains have settled. */
typedef struct pw_duty {
    double pressure_pa; /* gauge, at the pump's delivery place */
    double flow_m3s, head_m;
    double static_m;   /* level difference and pressure at the store or the delivery place, water at rest */
    double friction_m; /* lost in the lines from the pump to the first vessel or filling tank; 0 without one */
    double drawdown_m; /* of the bore at this flow; head = static + drawdown */
    double efficiency, shaft_w, input_w, current_a, npsh_available_m,
        npsh_required_m /* negative: the curve does not say */, kwh_per_m3;
} pw_duty;
pw_status pw_model_duty(const pw_model *model, pw_arena *scratch, int32_t pump, double pressure_pa, pw_duty *out,
                        pw_problems *problems);

#endif
