/* Model: a site turned into equations.
 *
 * Storages are the states (water volume of each vessel, tank and bore casing); lines and pumps are quasi-steady. A
 * fault changes the `pw_condition` (physics) and never anything the controller could look at directly.
 */
#ifndef PW_ELEMENT_MODEL_H
#define PW_ELEMENT_MODEL_H

#include "base/arena.h"
#include "base/status.h"
#include "element/condition.h"
#include "element/suction.h"
#include "formula/motor.h"
#include "site/site.h"
#include "formula/thermal.h"
#include "formula/water.h"

enum { PW_MAX_STATES = PW_MAX_SOURCES + PW_MAX_VESSELS + PW_MAX_TANKS + PW_MAX_PUMPS };

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
/* The water inside a pump and what it gives its heat to: by the pump's own keys, else the design's, else its motor and
 * where it stands. */
pw_casing pw_model_casing(const pw_model *model, int32_t pump);
/* Boiling point in a pump that makes this head, degC: at the air's pressure of the site and the head on top. */
double pw_model_boiling_c(const pw_model *model, double head_m);
/* Water that a bore's casing holds above the intake when nobody draws, m3; below 0 when the level stands below the
 * intake. */
double pw_model_bore_rest_m3(const pw_model *model, const pw_condition *condition, int32_t source);
/* NPSH of a pump at a flow, running alone, with the water that it draws from at this head (pw_model_water_head_m, or
 * what a simulation has): the one figure of suction. */
void pw_model_suction(const pw_model *model, const pw_condition *condition, int32_t pump, double flow_m3s,
                      double water_head_m, pw_suction_figure *out);
/* Head of that water at rest, below_m lower than the sheet says (a bore never below its intake); PW_INF where another
 * pump feeds it or its suction branches. */
double pw_model_water_head_m(const pw_model *model, int32_t pump, double below_m);
const pw_suction_law *pw_model_suction_law(const pw_model *model, int32_t pump);
/* Does the pump draw from water that stands below it? Only such a pump needs a prime. */
bool pw_model_pump_lifts(const pw_model *model, int32_t pump);
/* Pressure drop of a filter at a flow in its line, as clogged as it is now. */
double pw_model_filter_pa(const pw_model *model, const pw_condition *condition, int32_t filter, double flow_m3s);
/* Surge by stopping a water column of this velocity at the pump's delivery place: Joukowsky's rho a v, and half its
 * period 2 L / a, in the longest line that begins or ends there (bore pumps: at least as long as the intake is deep).
 */
void pw_model_surge(const pw_model *model, int32_t pump, double velocity_ms, double *surge_pa, double *half_s);
/* Gauge pressure at the pump's delivery place with the pump against a shut valve and its source at rest. */
double pw_model_shut_off_pa(const pw_model *model, int32_t pump);
/* Part of the supply voltage that its cable leaves a motor that starts; 1 without a cable. */
double pw_model_start_part(const pw_model *model, int32_t pump);
/* Does the motor no longer carry its load at this part of the supply voltage? */
bool pw_model_stalls(const pw_model *model, int32_t pump, double supply);
/* Shaft power of a pump without water at its full speed. */
double pw_model_dry_w(const pw_model *model, int32_t pump);
/* Motor of a pump, as pw_motor_load wants it (power/motor.h). */
const pw_motor_data *pw_model_motor(const pw_model *model, int32_t pump);
void pw_condition_healthy(const pw_model *model, pw_condition *out);

/* States: bores, then vessels, then tanks, then elastic mains; volumes of water in m3.
 * An elastic main is what the pipes of a delivery without a vessel take up by stretching, at the pump's delivery place:
 * dV/dp = pipe volume / (rho a^2) with the wave speed a after Korteweg, at least 0.1 L per 100 kPa (hoses and trapped
 * air; common practice, no source). Without it the pressure behind a shut valve would have no value of its own. Its
 * state is the water beyond that at 0 gauge; it may be negative: a column that tears, never below -90 kPa. */
int32_t pw_model_state_count(const pw_model *model);
/* A moment ahead leaves this one as it stands in the state (a bore's, a tank's). */
bool pw_model_state_stands(const pw_model *model, int32_t state);
/* A vessel or a main that is closed to the air has given its last drop. */
bool pw_model_runs_empty(const pw_model *model, const double *state);
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
    /* A question instead of a machine: this flow passes the pump, whatever head that takes (pump_head_m of the moment
     * is what the network asks of a pump there); its curve, valves and motor play no part. */
    bool asks[PW_MAX_PUMPS];
    double asks_m3s[PW_MAX_PUMPS];
    double draw_m3s[PW_MAX_OUTLETS]; /* wanted flow at each outlet */
    /* 0: the moment is that of the state. Else vessels and mains are told as they are so long after it, if all flows
     * stay meanwhile as they are then (an implicit step of Euler's): their rates are what they gain on the way there.
     * However fast a small store settles, and however sharply its flows turn, this has one solution. */
    double ahead_s;
} pw_drive;

/* Everything known at one moment. Flows in m3/s along the line's direction. */
typedef struct pw_moment {
    double rate_m3s[PW_MAX_STATES]; /* d state / dt */
    double place_pa[PW_MAX_PLACES]; /* gauge pressure at each place */
    double high_pa[PW_MAX_HIGHS];   /* gauge pressure at each high point between the ends of lines */
    double line_m3s[PW_MAX_LINES];
    double pump_m3s[PW_MAX_PUMPS];
    double pump_head_m[PW_MAX_PUMPS]; /* made by the pump itself: also what its own suction pipe takes */
    double pump_wet[PW_MAX_PUMPS];    /* how full of water it is: 1 .. 0 sucking air, or bound by it */
    /* NPSH at its eye and that required now; part of its head that cavitation leaves it; head lost from the water to
     * its eye. Of a pump that stands still: 0, 0, 1, 0. */
    double npsh_m[PW_MAX_PUMPS], npsh_needs_m[PW_MAX_PUMPS], pump_keeps[PW_MAX_PUMPS], suction_m[PW_MAX_PUMPS];
    double supply;    /* voltage at the pumps' switchgear, as a part of the nominal one */
    double frequency; /* of the supply, as a part of the nominal one */
    double battery_a; /* that a battery gives */
    double driven;    /* part of its speed that each pump keeps with the power that is there: 1 .. 0 */
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

/* Where water is highest and air can stand: a place, or (PW_MAX_PLACES + line) the high points of a line. */
enum { PW_MAX_SPOTS = PW_MAX_PLACES + PW_MAX_LINES };
typedef struct pw_spot {
    bool exists;     /* the place, or a high point of the line */
    double gauge_pa; /* lowest of its pressures */
    bool enters;     /* air comes in now: through a tap or hole there, as its main drains, or up a falling pipe */
    bool clears;     /* what flows carries the air out, or fills the pipe over it */
    double clears_s; /* in this time: the falling pipe has to fill first */
    bool torn;       /* nothing but vapour is there: the column has separated */
    bool siphons;    /* a high point under the pressure of the air, with water flowing over it */
} pw_spot;
void pw_model_spot(const pw_model *model, const pw_condition *condition, const pw_drive *drive, const double *state,
                   const pw_moment *moment, int32_t spot, pw_spot *out);
/* Air stands in it, by its condition. */
bool pw_spot_has_air(const pw_condition *condition, int32_t spot);
void pw_spot_put_air(pw_condition *condition, int32_t spot, bool air);
/* Its name: the place's, or that of the line. The place where it is, or where its line begins. */
const char *pw_spot_name(const pw_site *site, int32_t spot);
int32_t pw_spot_place(const pw_site *site, int32_t spot);
/* Those that the site has, from 0; rising. */
int32_t pw_model_spot_count(const pw_model *model);
int32_t pw_model_spot_at(const pw_model *model, int32_t index);
double pw_model_spot_pa(const pw_model *model, const pw_moment *moment, int32_t spot);
/* Air at every spot where it would be at rest, and what then flows carries away: a site as a pump finds it that has to
 * fill its pipes first. Sets place_air and line_air of the condition. */
pw_status pw_model_air(const pw_model *model, pw_condition *condition, const pw_drive *drive, const double *state,
                       pw_warm *warm, pw_problems *problems);
/* pw_model_settle, with the air that pw_model_air finds: the one way to what a pump works against for any length of
 * time. So a high point above the line of heads counts in full until what flows carries its air away. */
pw_status pw_model_filled(const pw_model *model, pw_condition *condition, const pw_drive *drive, double *state,
                          pw_warm *warm, pw_problems *problems);
/* The highest spot in which air stands, and its level; -1 when there is none. `within`: only places, and lines from
 * places, of which this is true (PW_MAX_PLACES of them); NULL: all. */
int32_t pw_model_summit(const pw_model *model, const pw_condition *condition, const bool *within, double *level_m);

/* Duty of a pump running alone, nothing drawn, every vessel held at pressure_pa (gauge), tanks at their start; a bore
 * and elastic mains have settled. */
typedef enum pw_duty_way {
    PW_DUTY_FLOWS,
    PW_DUTY_OVER,    /* flows: lifted over a high point, behind which air stands */
    PW_DUTY_SIPHON,  /* flows: over a high point as a siphon */
    PW_DUTY_TORN,    /* flows: over a high point so high that nothing but vapour is left there */
    PW_DUTY_SHUT,    /* nothing flows: every way out is shut */
    PW_DUTY_FULL,    /* nothing flows: the float valve of a full tank is shut */
    PW_DUTY_LOW,     /* nothing flows: the shut-off head is below the store */
    PW_DUTY_BLOCKED, /* nothing flows: the shut-off head is below a high point */
    PW_DUTY_DRY      /* nothing flows: no water comes up to the pump */
} pw_duty_way;

typedef struct pw_duty {
    pw_duty_way way;
    int32_t summit;     /* of OVER, SIPHON, TORN, BLOCKED: the spot (pw_model_summit); -1 else */
    double summit_m;    /* its level */
    double summit_pa;   /* of SIPHON and TORN: gauge pressure there */
    double reach_m;     /* of those where nothing flows: level to which the pump lifts water */
    int32_t tank;       /* of FULL: which; -1 else */
    bool vessel;        /* a vessel is held at its delivery; else pressure_pa of the question plays no part */
    double pressure_pa; /* gauge, at the pump's delivery place */
    double flow_m3s, head_m;
    double static_m;   /* level difference and pressure at the store or the delivery place, water at rest */
    double friction_m; /* lost in the suction, and in the lines from the pump to the first vessel or filling tank */
    double suction_m;  /* of that, from the water to the pump's eye */
    double drawdown_m; /* of the bore at this flow; head = static + drawdown */
    double efficiency, shaft_w, input_w, current_a, npsh_available_m,
        npsh_required_m /* negative: the curve does not say */, kwh_per_m3;
} pw_duty;
pw_status pw_model_duty(const pw_model *model, pw_arena *scratch, int32_t pump, double pressure_pa, pw_duty *out,
                        pw_problems *problems);

#endif
