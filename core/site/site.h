/* What a site is: plain data, all SI, filled by sheet/read.c from JSON and never changed afterwards.
 *
 * Invariants (read.c guarantees them; everything later leans on them)
 *  S1  every index points into its array; every name is unique within its kind, non-empty, and fits PW_NAME_SIZE
 *  S2  every number is finite and within the range that docs/site-sheet.md states
 *  S3  there is at least one place, one source, one pump, one outlet or tank, and the order has at least one sentence
 *  S4  a pump curve has at least 3 points, flow strictly rising from 0, head never rising
 *  S5  storages (source, vessel, tank) sit on places, at most one storage on a place
 *  S6  a field that was not given holds its default, is marked given == false, and stands in `defaults` with its reason
 */
#ifndef PW_SITE_SITE_H
#define PW_SITE_SITE_H

#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/json.h"
#include "base/limits.h"
#include "base/status.h"
#include "base/units.h"
#include "formula/filter.h"
#include "site/design.h"

typedef struct pw_place {
    char name[PW_NAME_SIZE];
    pw_field level_m; /* height above the site's datum */
} pw_place;

/* bore: water level falls with pumping and is limited by the yield. open: dam, river, big tank at a fixed level.
 * mains: a fixed pressure. */
typedef enum pw_source_kind { PW_SOURCE_BORE, PW_SOURCE_OPEN, PW_SOURCE_MAINS } pw_source_kind;

/* Pump test of a bore: what stands in for its specific capacity. Given or not. */
typedef struct pw_bore_test {
    pw_field flow_m3s;
    pw_field standing_m; /* depth of the water before; else the source's */
    pw_field pumping_m;  /* depth of the water after time_s */
    pw_field time_s;
} pw_bore_test;

typedef struct pw_source {
    char name[PW_NAME_SIZE];
    int32_t place;
    pw_source_kind kind;
    pw_field standing_m;   /* depth of the standing water level below the place, >= 0 (bore, open) */
    pw_bore_test test;     /* (bore) */
    pw_field capacity_m2s; /* specific capacity: inflow per metre of drawdown (bore) */
    pw_field yield_m3s;    /* most the aquifer delivers for long (bore) */
    pw_field bore_m;       /* inner diameter of the casing (bore) */
    pw_field intake_m;     /* depth of the pump intake or foot valve below the place (bore, open) */
    pw_field pressure_pa;  /* gauge, at the place (mains) */
} pw_source;

typedef struct pw_curve_point {
    pw_field flow_m3s, head_m;
    pw_field efficiency; /* of the pump alone, 0..1; given or not */
    pw_field power_w;    /* shaft; given or not; wins over efficiency */
    pw_field npsh_m;     /* required; given or not */
} pw_curve_point;

typedef struct pw_motor {
    pw_field power_w;         /* rated shaft power */
    pw_field voltage_v;       /* rated, between phases for three-phase */
    int32_t phases;           /* 0 DC, 1, 3 */
    pw_field full_load_a;     /* full-load current */
    pw_field locked_rotor_a;  /* starting current */
    pw_field efficiency;      /* at rated load */
    pw_field power_factor;    /* at rated load; 1 for DC */
    pw_field service_factor;  /* k of IEC 60255-149 */
    pw_field heat_time_s;     /* thermal time constant while running */
    pw_field cool_time_s;     /* thermal time constant at rest */
    pw_field start_time_s;    /* time at locked-rotor current per start */
    pw_field winding_limit_c; /* temperature of the winding's insulation class */
    pw_field winding_rise_k;  /* rise over the water at full-load current */
} pw_motor;

/* How its power behaves dry and against a shut valve: core/formula/pump.h has what follows from each. */
typedef enum pw_pump_kind {
    PW_PUMP_CENTRIFUGAL,
    PW_PUMP_REGENERATIVE,
    PW_PUMP_AXIAL,
    PW_PUMP_DISPLACEMENT,
    PW_PUMP_JET,
    PW_PUMP_KINDS
} pw_pump_kind;

/* What a jet pump delivers when it stands this much over the water: points of flow and head over the pump. */
typedef struct pw_jet_point {
    pw_field flow_m3s, head_m;
} pw_jet_point;
typedef struct pw_jet_lift {
    pw_field lift_m;
    int32_t point_count;
    pw_jet_point points[PW_MAX_LIFT_POINTS];
} pw_jet_lift;

/* Ejector of a jet pump: at the pump (shallow well), or down in the well with two pipes. */
typedef struct pw_ejector {
    pw_field nozzle_m, throat_m;                 /* bores; given: there is one */
    pw_field pressure_bore_m, pressure_length_m; /* pipe down to the nozzle; given: deep well */
    pw_field riser_bore_m, riser_length_m;       /* pipe up to the pump */
} pw_ejector;

typedef struct pw_pump {
    char name[PW_NAME_SIZE];
    pw_pump_kind kind;
    pw_field stages;
    bool primes_itself; /* it clears air out of its suction by itself */
    /* Given or not: */
    pw_field suction_height_m; /* of its eye over the place that it draws from */
    pw_field suction_bore_m;   /* own suction pipe; else that of the design */
    pw_field suction_length_m;
    pw_field cable_m; /* length of its own cable, one way; with its section the motor gets less than the supply */
    pw_field cable_mm2;
    pw_field casing_m3;    /* water in it; else by its motor */
    pw_field heat_loss_wk; /* heat that it gives off; else by where it stands */
    pw_ejector ejector;
    int32_t lift_count;
    pw_jet_lift lifts[PW_MAX_LIFTS];
    int32_t from, to; /* places */
    int32_t point_count;
    pw_curve_point curve[PW_MAX_CURVE];
    pw_field speed;     /* fraction of the curve's speed, 1 as printed */
    pw_field least_m3s; /* it may run for long at this and more; unknown where not given */
    bool non_return;    /* built-in or next to the pump */
    pw_motor motor;
} pw_pump;

typedef struct pw_fitting {
    int32_t kind; /* row of the fittings table in water/fitting.h */
    int32_t count;
} pw_fitting;

/* The ground along a line: its pipe lies at this height, so far from the line's beginning. */
typedef struct pw_ground_point {
    pw_field distance_m; /* along the pipe */
    pw_field height_m;   /* above the site's datum, as the levels of places are */
} pw_ground_point;

typedef enum pw_friction { PW_FRICTION_DARCY, PW_FRICTION_HAZEN } pw_friction;

typedef struct pw_line {
    char name[PW_NAME_SIZE]; /* default "FROM-TO" */
    int32_t from, to;
    char pipe[PW_NAME_SIZE]; /* as written, "" when bore was given */
    pw_field bore_m;         /* inner diameter: from the pipe table or given */
    pw_field wall_m;         /* 0 when not known */
    pw_field modulus_pa;     /* of the pipe's material: for wave speed and elasticity */
    pw_field rough_m;        /* absolute roughness */
    pw_field hazen_c;        /* Hazen-Williams coefficient */
    pw_friction friction;
    pw_field length_m;
    int32_t fitting_count;
    pw_fitting fittings[PW_MAX_FITTINGS];
    pw_field extra_k;      /* further loss coefficient on the line's own velocity */
    bool non_return;       /* water can only go from -> to */
    pw_field open;         /* delivery valve, 1 open .. 0 shut */
    pw_field over_m;       /* height of the one high point between its ends, above the datum; given or not */
    pw_field over_after_m; /* its distance from the line's beginning; not given: half way */
    int32_t profile_count; /* points of the ground between its ends, nearest first; none with `over` */
    pw_ground_point profile[PW_MAX_PROFILE];
} pw_line;

typedef struct pw_vessel {
    char name[PW_NAME_SIZE];
    int32_t place;
    pw_field volume_m3;    /* whole vessel */
    pw_field precharge_pa; /* gauge, empty of water */
    pw_field polytropic;   /* exponent n of p V^n, 1 isothermal .. 1.4 adiabatic */
} pw_vessel;

/* Lines whose `to` is the tank's place enter over the top at inlet_m (free discharge, through the float valve if there
 * is one); lines whose `from` is the place leave from the bottom. */
typedef struct pw_tank {
    char name[PW_NAME_SIZE];
    int32_t place;    /* level of the place is the tank's floor */
    pw_field area_m2; /* plan area */
    pw_field depth_m; /* floor to overflow */
    pw_field start_m; /* water depth when the simulation begins */
    pw_field inlet_m; /* height of the inlet above the floor */
    bool float_valve;
    pw_field closes_m;     /* water depth at which the float valve is shut */
    pw_field band_m;       /* it opens over this depth below closes_m */
    pw_field valve_bore_m; /* bore of the float valve's seat */
} pw_tank;

typedef struct pw_outlet {
    char name[PW_NAME_SIZE];
    int32_t place;
    pw_field needs_pa; /* gauge at the place: full flow at and above this, falling with its square root below */
} pw_outlet;

/* A filter in a line, suction or delivery. */
typedef struct pw_filter {
    char name[PW_NAME_SIZE];
    int32_t line;
    pw_field open;             /* open part of a woven screen; given or not */
    pw_field clean_pa, at_m3s; /* drop of the clean filter at this flow */
    pw_field exponent;         /* of the flow */
    pw_clogging clogs;
    pw_field full_pa;            /* drop at the same flow where it counts as full ... */
    pw_field full_m3;            /* ... after so much water; not given, it stays as it is */
    pw_field passed_m3;          /* since it was clean, when the simulation begins */
    pw_field every_s, cleaned_s; /* it is cleaned so often, at this time of the day; every_s not given: never */
} pw_filter;

typedef enum pw_sensor_kind {
    PW_SENSOR_PRESSURE, /* at a place */
    PW_SENSOR_FLOW,     /* flow switch in a line or at a pump's outlet */
    PW_SENSOR_LEVEL,    /* analogue water depth of a tank, or height of water over a bore's intake */
    PW_SENSOR_PROBE,    /* wet or dry at one level of a tank or bore */
    PW_SENSOR_CONTACT,  /* an external contact, closed in stated hours of the day */
    PW_SENSOR_DROP,     /* pressure drop across a filter */
    PW_SENSOR_SWITCH    /* pressure switch: a contact that closes at one pressure and opens at another */
} pw_sensor_kind;

typedef struct pw_sensor {
    char name[PW_NAME_SIZE];
    pw_sensor_kind kind;
    int32_t place;                /* pressure, level, probe: place (of a tank or bore); else -1 */
    int32_t line;                 /* flow switch in a line, else -1 */
    int32_t pump;                 /* flow switch at a pump, else -1 */
    int32_t filter;               /* drop: of which filter, else -1 */
    pw_field low_pa, high_pa;     /* range of a pressure sensor; readings stick at the ends */
    pw_field resolution;          /* Pa or m; 0 is continuous */
    pw_field error;               /* Pa or m; reading minus truth */
    pw_field makes_ms, breaks_ms; /* water velocity at which a flow switch makes / breaks */
    pw_field bore_m;              /* bore at the flow switch */
    pw_field probe_m;             /* probe: water depth of a tank, or height over a bore's intake */
    pw_field closes_pa, opens_pa; /* pressure switch: the one below the other closes on falling pressure, else rising */
    pw_field over_m;              /* pressure switch: its height over its place */
    double error_pa; /* what a pressure reading is out by: 0 as read; a margin of a proof moves it (study/margins.h) */
    int32_t window_count; /* contact: closed in these windows of the day, seconds after midnight */
    int32_t window_from_s[8], window_to_s[8];
} pw_sensor;

typedef enum pw_demand_kind { PW_DEMAND_DRAW, PW_DEMAND_RANDOM, PW_DEMAND_TRACE, PW_DEMAND_HOUSEHOLD } pw_demand_kind;

/* How the days of a demand differ. Household: what is not known is drawn with the seed, a home for each; random: what
 * is not known makes no difference. */
typedef struct pw_habits {
    pw_field people;        /* household: number of persons */
    pw_field daily_m3;      /* household: water of a day with somebody at home, without the long draws */
    pw_field day_cv;        /* standard deviation of a day's level as a part of its mean */
    pw_field weekend;       /* day at the weekend over day of the week */
    pw_field season;        /* height of summer over depth of winter */
    pw_field away;          /* part of the days with nobody at home */
    pw_field away_s;        /* mean length of an absence */
    pw_field long_per_year; /* household: long steady draws (hose, filling, watering) */
    pw_field long_m3s, long_s;
} pw_habits;

typedef struct pw_demand {
    pw_demand_kind kind;
    int32_t outlet;
    pw_field flow_m3s;    /* draw: flow; random: mean flow */
    pw_field flow_cv;     /* random: coefficient of variation of the flow (lognormal) */
    pw_field duration_s;  /* draw: length; random: mean length */
    pw_field duration_cv; /* random: coefficient of variation of the length (lognormal; 1 by default) */
    pw_field at_s;        /* draw: seconds after midnight of the first */
    pw_field every_s;     /* draw: repeats after this time ... */
    pw_field until_s;     /* ... until this time of day; once a day when every was not given */
    uint8_t weekdays;     /* draw, random, household: bit 0 Monday .. bit 6 Sunday; 0x7f every day */
    pw_field per_day;     /* random: mean number a day */
    bool has_pattern;
    double pattern[24]; /* random, household: relative rate by hour of day */
    pw_habits habits;   /* random, household */
    /* trace: flow holds from times_s[i] until times_s[i+1]; starts over after the last */
    int32_t trace_count;
    const double *trace_s, *trace_m3s;
    pw_field trace_scale;
} pw_demand;

/* One point of a day's course, of the voltage or of a solar array's power. */
typedef struct pw_supply_point {
    pw_field at_s; /* after midnight */
    pw_field voltage_v, power_w;
} pw_supply_point;

/* Solar: power that a day gives the pumps, which a drive turns as fast as it allows. There is one: point_count > 0. */
typedef struct pw_solar {
    pw_field least_w; /* with less the drive rests; given or not */
    int32_t point_count;
    pw_supply_point points[PW_MAX_COURSE];
} pw_solar;

/* A generator in place of the mains. There is one: rating_va.given. */
typedef struct pw_generator {
    pw_field rating_va;
    pw_field power_w;   /* of its engine */
    pw_field reactance; /* transient, per unit */
    pw_field droop;     /* of the frequency, from no load to full load */
} pw_generator;

/* A battery that the pumps hang on, by itself or behind an inverter. There is one: full_v.given. With a solar day the
 * panels charge it. */
typedef struct pw_battery {
    pw_field full_v, empty_v; /* at rest */
    pw_field ohm;             /* with its leads */
    pw_field capacity_ah;
    pw_field charge;   /* when the simulation begins, 0 .. 1 */
    pw_field charging; /* part of what goes in that comes out again */
    pw_field inverter; /* its efficiency; given: the pumps have the supply's voltage as long as it works ... */
    pw_field cut_v;    /* ... down to this voltage of the battery */
} pw_battery;

/* What the supply does besides holding its voltage. */
typedef struct pw_supply {
    bool steps; /* a point of a course holds until the next; else straight between them */
    int32_t point_count;
    pw_supply_point points[PW_MAX_COURSE]; /* of each day, straight over midnight from the last to the first */
    pw_solar solar;
    pw_generator generator;
    pw_battery battery;
} pw_supply;

typedef struct pw_limits_of_site {
    pw_field starts_per_hour; /* what motor and switchgear stand */
    pw_field dry_run_s;       /* longest dry running without harm */
    pw_field highest_pa;      /* rating of the weakest part, gauge */
    pw_field lowest_pa;       /* what the users notice as no water, gauge at the outlets */
} pw_limits_of_site;

typedef struct pw_default {
    char path[PW_PATH_SIZE];
    double si;
    pw_dimension dimension;
    const char *reason; /* static text */
    bool truth;         /* a yes or no: si is 1 or 0 */
    bool clock;         /* a time of day: si is seconds after midnight */
} pw_default;

typedef struct pw_site {
    const pw_json *sheet; /* what it was read from: knows which keys were given (site/params.h) */
    char name[PW_NAME_SIZE];
    char note[PW_WORDS_SIZE];
    bool invented;
    pw_field water_c;    /* water temperature */
    pw_field altitude_m; /* of the site */
    pw_field supply_v;
    int32_t supply_phases;
    pw_field supply_hz;
    pw_supply supply;
    int32_t place_count, source_count, pump_count, line_count, vessel_count, tank_count, outlet_count, sensor_count,
        demand_count, filter_count, sentence_count, default_count;
    pw_place places[PW_MAX_PLACES];
    pw_source sources[PW_MAX_SOURCES];
    pw_pump pumps[PW_MAX_PUMPS];
    pw_line lines[PW_MAX_LINES];
    pw_vessel vessels[PW_MAX_VESSELS];
    pw_tank tanks[PW_MAX_TANKS];
    pw_outlet outlets[PW_MAX_OUTLETS];
    pw_filter filters[PW_MAX_FILTERS];
    pw_sensor sensors[PW_MAX_SENSORS];
    pw_demand demands[PW_MAX_DEMANDS];
    const char *sentences[PW_MAX_SENTENCES]; /* the order, as written, in the arena */
    pw_limits_of_site limits;
    pw_default defaults[PW_MAX_DEFAULTS];
    pw_design design;             /* for sizing only */
    int32_t design_default_count; /* those of `design`, kept apart: they do not touch a simulation */
    pw_default design_defaults[PW_MAX_DESIGN_DEFAULTS];
} pw_site;

/* Distance of the point of `over` from the line's beginning: as given, or half way. */
static inline double pw_line_over_after_m(const pw_line *line)
{
    return line->over_after_m.given ? line->over_after_m.v : 0.5 * line->length_m.v;
}

/* Where nothing else is said: does a pump stand over the water of the source that it draws from? Over open water below
 * its place; and no jet pump hangs in a well: its ejector may. */
static inline bool pw_pump_stands_over(const pw_pump *pump, const pw_source *source)
{
    return (source->kind == PW_SOURCE_OPEN && source->standing_m.v > 0.0) ||
           (source->kind != PW_SOURCE_MAINS && pump->kind == PW_PUMP_JET);
}

/* What it is, for people: "yes", "24:00", "12 L/min". */
pw_fact pw_default_fact(const pw_default *taken);

/* Read a site sheet from JSON (docs/site-sheet.md). All problems of the sheet are reported, not only the first.
 *   base_path  put before every path, for instance "site"; may be ""
 * The site lives in the arena and points into the JSON, which must live as long. Returns PW_OK when the site is
 * usable (warnings may have been added). */
pw_status pw_site_read(pw_arena *arena, const pw_json *json, const char *base_path, pw_site **out,
                       pw_problems *problems);

/* The same; a sheet with errors leaves what could be read of it in *part (NULL: nothing), of which only names and
 * sentences may be looked at: so that the sentences' errors can be told together with those of the sheet. */
pw_status pw_site_read_part(pw_arena *arena, const pw_json *json, const char *base_path, pw_site **out, pw_site **part,
                            pw_problems *problems);

/* Fill what a motor does not state (v == 0, given == false), by the defaults of the site sheet; phases -1 and voltage
 * 0: the supply's. For pumps of a catalogue, which are not part of a sheet. */
void pw_motor_defaults(const pw_site *site, pw_motor *motor);

/* The JSON Schema (draft 2020-12) of the site sheet, from the same table as the reader. */
void pw_site_schema(pw_text *text);

#endif
