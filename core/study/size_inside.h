/* Private to core/study: one calculation under way, and what its parts share. */
#ifndef PW_STUDY_SIZE_INSIDE_H
#define PW_STUDY_SIZE_INSIDE_H

#include "base/num.h"
#include "formula/motor.h"
#include "study/size.h"
#include "element/pump.h"
#include "formula/curve.h"
#include "formula/pump.h"
#include "formula/water.h"

/* A pump by itself, as core/element has it. */
typedef pw_pump_law size_machine;

/* Flows of the sheet's demand over a simulated year. Worked out once, also for the changed calculations. */
typedef struct size_draws {
    double peak_m3s[PW_MAX_OUTLETS]; /* exceeded in a thousandth of the time */
    double daily_m3[PW_MAX_OUTLETS];
    double together_m3s; /* of the outlets under pressure without a use: exceeded in a thousandth of the time */
} size_draws;

typedef struct size_work {
    pw_arena *arena;
    const pw_plant *plant;
    pw_site *site; /* a copy that may have been changed */
    const pw_size_options *options;
    pw_problems *problems;
    pw_sizing *out;
    const size_draws *draws;
    double demand_factor; /* sense: everything drawn times this */
    size_machine machine;
    pw_water water;
    double air_pa, pa_per_m;
    bool failed;          /* the arena was used up */
    int32_t source;       /* that the pump draws from, -1 */
    double store_level_m; /* what the pump lifts to: the vessel, the tank's inlet, or its own delivery */
    const char *store_name;
    bool pressured[PW_MAX_OUTLETS];    /* fed by pump and vessel, not through a tank */
    double outlet_m3s[PW_MAX_OUTLETS]; /* design flow of each outlet */
    bool by_demand[PW_MAX_OUTLETS];    /* judged by the sheet's demand, for want of a use */
    double worst_m3s[PW_MAX_OUTLETS];  /* what draws together when the need is highest */
    bool falls[PW_MAX_LINES];          /* lines that carry their flow with pumps off and outlets shut */
    bool behind[PW_MAX_PLACES];        /* under the pump's pressure */
    int32_t summit;                    /* highest air behind the pump in the last solution, as pw_model_summit; -1 */
    double summit_m;                   /* its level */
    double way_pa;             /* least pressure in it along lines behind the pump that carried water; PW_INF: none */
    bool by_ground;            /* the ground on the way asks for more than the outlets, in the last surplus_m */
    bool need_by_ground;       /* need_pa is set by it */
    double need_pa;            /* pressure at the pump's delivery that serves all outlets at their design flows */
    double most_flow_m3s;      /* of all duties */
    double vessel_flow_m3s[5]; /* pump flow from cut-in to cut-out, usual case */
    double vessel_starts_h;    /* most, of the vessel that is there */
} size_work;

/* One state of the site: what the system asks of the pump. */
typedef enum size_case { SIZE_EASY, SIZE_USUAL, SIZE_HARD } size_case;

/* lines.c */
pw_size_line *size_add(size_work *w, pw_size_part part, const char *id, pw_fact what, pw_dimension dimension,
                       double value, pw_fact how, pw_fact source);
/* The same with a unit of its own. */
pw_size_line *size_add_in(size_work *w, pw_size_part part, const char *id, pw_fact what, const char *unit, double value,
                          pw_fact how, pw_fact source);
/* size_formulas.c: id of the formula behind a line, or "". */
const char *size_formula_of(pw_size_part part, const char *id);
/* Id of a line that there is for each of several things: "flow, rising main". "" when out of memory. */
const char *size_id(size_work *w, const char *kind, const char *name);
/* Values of facts; "no limit" for what has none. */
pw_value size_q(size_work *w, pw_dimension dimension, double si);
pw_value size_n(size_work *w, double number); /* three significant digits */
pw_value size_h(size_work *w, double head_m); /* heads stay in m or ft */
pw_value size_nested(size_work *w, pw_fact fact);
const char *size_money(size_work *w); /* the sheet's currency, or "money" */
void size_check(size_work *w, const char *id, double margin, pw_fact words);
/* The same for a guide that does not bind this motor. */
void size_guide(size_work *w, const char *id, double margin, pw_fact words);

/* machine.c */
bool size_machine_of(const pw_pump *pump, double pa_per_m, double barometer_m, size_machine *out);
double size_machine_head(const size_machine *m, double flow_m3s);
double size_machine_shaft_w(const size_machine *m, double flow_m3s);
double size_machine_efficiency(const size_machine *m, double flow_m3s, double pa_per_m);
double size_machine_npsh_m(const size_machine *m, double flow_m3s); /* -1: not known */
/* Flow of best efficiency and that efficiency. */
double size_machine_best_m3s(const size_machine *m, double pa_per_m, double *efficiency);
/* Flow where the pump meets a system curve (rising); 0 when it cannot reach the first point. */
double size_machine_meet(const size_machine *m, const pw_curve *system);

/* draws.c */
pw_status size_draws_of(size_work *w, size_draws *out);

/* The parts, in this order. Each adds its lines. */
pw_status size_reach(size_work *w);      /* system.c: kind, source, which outlets are under pressure */
pw_status size_demand(size_work *w);     /* demand.c */
pw_status size_lines(size_work *w);      /* pipes.c: flow of each line, need_pa, pipe sizes */
pw_status size_head(size_work *w);       /* head.c: design head, system curves */
pw_status size_duty(size_work *w);       /* duty.c */
pw_status size_suction(size_work *w);    /* suction.c */
pw_status size_standstill(size_work *w); /* standstill.c */
pw_status size_vessel(size_work *w);     /* vessel.c */
pw_status size_electric(size_work *w);   /* electric.c */
pw_status size_energy(size_work *w);     /* energy.c */
void size_weakest(size_work *w);         /* lines.c */
pw_status size_sense(size_work *w);      /* sense.c */
/* size.c: all parts but the year and sense, on w->site. */
pw_status size_all(size_work *w);

/* system.c */
/* A copy of the site as the case says: pipes aged or new, water at its lowest or as stated, mains low. */
pw_site *size_site_of(size_work *w, size_case which);
/* Head that the pump must give for this flow with vessels held at pressure_pa; PW_INF when the source cannot give it.
 */
pw_status size_system_head(size_work *w, size_case which, double flow_m3s, double pressure_pa, double *head_m);
/* Points of it from 0 to most_m3s (fewer when the source ends before). */
pw_status size_system_curve(size_work *w, size_case which, double pressure_pa, double most_m3s, int32_t count,
                            pw_size_curve *out);
/* How far the water of the source stands below the place in this case, at rest (negative for mains: pressure as
 * height). */
double size_water_depth_m(const size_work *w, size_case which);
double size_drawdown_m(const size_work *w, double flow_m3s);
/* Pressure of the order as head at the pump's delivery place in words: cut-in and cut-out, or what the outlets need. */
double size_low_pa(const size_work *w);
double size_high_pa(const size_work *w);
#define SIZE_PLENTY_PA 3e6 /* every outlet gets its flow */
/* One solution with the bores at rest: heads at the places. */
pw_status size_solve(size_work *w, pw_site *site, double pressure_pa, const pw_drive *drive, pw_moment *out);
/* How much more head the delivery place has than the outlets need, least over all that draw; and than the ground does
 * that the water crosses on its way to them, where the line of heads must not dip under the pipe. */
double size_surplus_m(size_work *w, const pw_moment *at, const double *draws);
/* Flows of all lines (size_flows.c): with the outlets drawing their design flows (pipes aged, water low), and with the
 * pump at work. Sets need_pa. */
pw_status size_line_flows(size_work *w, pw_moment *drawn, pw_moment *pumped);
/* The pump at work in this case; bores settle. */
pw_status size_duty_at(size_work *w, size_case which, double pressure_pa, pw_size_duty *out);

#endif
