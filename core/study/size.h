/* Sizing: from a site sheet to the pump, pipes, vessel and cable that fit, and the weakest point.
 *
 * Everything is a list of lines, one for each number: what it is, its value, how it was worked out, and its source, as
 * facts. So the summary, the calculation sheet and the JSON answer show the same numbers. Some lines also name the
 * assumption that they are most sensitive to: found by doing the whole calculation again with each assumption changed
 * (sense.c).
 */
#ifndef PW_STUDY_SIZE_H
#define PW_STUDY_SIZE_H

#include "base/text.h"
#include "base/units.h"
#include "sim/run.h"

typedef enum pw_size_part {
    PW_SIZE_DEMAND,
    PW_SIZE_HEAD,
    PW_SIZE_PIPES,
    PW_SIZE_DUTY,
    PW_SIZE_SUCTION,
    PW_SIZE_STANDSTILL, /* the pump against a closed valve */
    PW_SIZE_VESSEL,
    PW_SIZE_ELECTRIC,
    PW_SIZE_ENERGY,
    PW_SIZE_PART_COUNT
} pw_size_part;

typedef struct pw_size_line {
    pw_size_part part;
    const char *id;         /* unique in its part; static or in the arena */
    pw_fact what;           /* what it is */
    pw_dimension dimension; /* of the value */
    const char *unit;       /* a unit without a dimension ("kVA"), or NULL */
    double value;           /* SI; PW_INF: unlimited or not known */
    pw_fact how;            /* the formula with its numbers */
    pw_fact source;         /* of the formula or the value */
    const char *formula;    /* id in the registry of core/formula of the one that gave it, or "" */
    bool electric;          /* a power at the terminals: kW in all units */
    const char *most;       /* sense: id of the assumption that moves it most, NULL when none does */
    double moved;           /* sense: by how much */
} pw_size_line;

/* Name of a pipe that the sheet states by its bore: told as "as in the sheet". */
#define PW_SIZE_OWN_PIPE "own"

/* One pipe size for one line. */
typedef struct pw_size_pipe {
    char name[64];
    double bore_m, velocity_ms, gradient_new, loss_new_m, loss_aged_m;
    double cost;  /* money, PW_INF: no price */
    bool fits;    /* keeps both limits */
    bool present; /* it is the one in the sheet */
} pw_size_pipe;

enum { PW_SIZE_CHOICES = 4 };
typedef struct pw_size_run_of_pipe {
    int32_t line; /* of the site */
    bool falls;   /* nothing pumps or draws: its own pressure fills a tank through it, and a wider pipe fills faster */
    double flow_m3s;
    int32_t count, chosen; /* choices: one smaller, chosen, one larger, and the present one when it is none of them */
    pw_size_pipe choices[PW_SIZE_CHOICES];
} pw_size_run_of_pipe;

typedef struct pw_size_duty {
    const char *words; /* id of a message: "at cut-in, lowest water, aged pipes" */
    double pressure_pa, flow_m3s, head_m, efficiency, shaft_w, input_w, current_a, power_factor, npsh_available_m,
        npsh_required_m /* negative: not known */;
} pw_size_duty;

enum { PW_SIZE_CURVE = 24, PW_SIZE_DUTIES = 8, PW_SIZE_TEMPERATURES = 6, PW_SIZE_ALTITUDES = 4, PW_SIZE_EFFECTS = 10 };

/* Head against flow; y of system curves: metres the pump must give. */
typedef struct pw_size_curve {
    int32_t count;
    double flow_m3s[PW_SIZE_CURVE], head_m[PW_SIZE_CURVE];
} pw_size_curve;

/* What a wrong charge does to the vessel. */
typedef struct pw_size_effect {
    const char *words; /* id of a message */
    double precharge_pa, air, drawdown_m3, starts_h;
} pw_size_effect;

typedef struct pw_size_cable {
    double section_mm2, drop, start_drop; /* of the supply voltage */
    double ampacity_a;                    /* as it is laid */
    bool fault_ok, fits, chosen, present;
} pw_size_cable;

/* A demand on the design and how far it is kept: margin = have/need - 1 (or need/have - 1 where less is better). */
typedef struct pw_size_check {
    const char *id;
    pw_fact words; /* whole sentence */
    double margin;
    bool guide; /* a guide of the trade, no limit of this motor: shown, but not the weakest point */
} pw_size_check;

enum { PW_SIZE_LINES = 200, PW_SIZE_CABLES = 16, PW_SIZE_CHECKS = 128 };

typedef enum pw_size_kind {
    PW_SIZE_WITH_VESSEL, /* the pump fills a pressure vessel */
    PW_SIZE_WITH_TANK,   /* the pump fills tanks */
    PW_SIZE_DIRECT       /* the pump feeds the outlets */
} pw_size_kind;

typedef struct pw_sizing {
    const pw_site *site;
    int32_t pump;
    pw_size_kind kind;
    double cut_in_pa, cut_out_pa; /* 0: none in the order */
    double design_flow_m3s, design_head_m, daily_m3;
    double outlet_m3s[PW_MAX_OUTLETS]; /* design flow of each outlet */
    double worst_m3s[PW_MAX_OUTLETS];  /* drawn together in the case that asks for most pressure */
    int32_t line_count, pipe_count, duty_count, effect_count, cable_count, check_count;
    pw_size_line lines[PW_SIZE_LINES];
    pw_size_run_of_pipe pipes[PW_MAX_LINES];
    pw_size_duty duties[PW_SIZE_DUTIES];
    pw_size_curve pump_curve, efficiency_curve /* head_m holds the efficiency */, easy, usual, hard; /* system curves */
    double temperatures_c[PW_SIZE_TEMPERATURES], altitudes_m[PW_SIZE_ALTITUDES];
    double npsh_m[PW_SIZE_TEMPERATURES][PW_SIZE_ALTITUDES]; /* available at the duty with most flow */
    double npsh_required_m;                                 /* there; negative: not known */
    pw_size_effect effects[PW_SIZE_EFFECTS];
    pw_size_cable cables[PW_SIZE_CABLES];
    pw_size_check checks[PW_SIZE_CHECKS]; /* weakest first, guides last */
    pw_fact weakest;                      /* the weakest point; speaks of the first check that binds */
    bool has_year;
    pw_totals year;
    int64_t year_ms;
} pw_sizing;

typedef struct pw_size_options {
    int32_t pump;      /* which pump */
    int64_t length_ms; /* simulated for the energy; 0: not at all */
    uint64_t seed;
    bool sense;                                 /* look for the assumptions that matter */
    bool (*cancelled)(void *user, double done); /* pw_run_options; NULL never */
    void *user;
} pw_size_options;

/* PW_OK, PW_MEMORY, PW_NO_SOLUTION, PW_CANCELLED, or PW_REFERENCE for a pipe price of an unknown pipe. */
pw_status pw_size(pw_arena *arena, const pw_plant *plant, const pw_size_options *options, pw_sizing **out,
                  pw_problems *problems);

/* All pumps of a site, or the one that was asked for. Pumps that are alike in everything but their names, between the
 * same places, are sized once. */
typedef struct pw_sizings {
    int32_t count;
    pw_sizing *of[PW_MAX_PUMPS];
    int32_t like[PW_MAX_PUMPS]; /* of each pump of the site: which of them; -1: not asked for */
} pw_sizings;
/* options->pump: -1 all. The year is simulated once: it is the whole site's, and stands with the first. */
pw_status pw_size_each(pw_arena *arena, const pw_plant *plant, const pw_size_options *options, pw_sizings *out,
                       pw_problems *problems);

/* NULL when there is no such line. */
const pw_size_line *pw_size_find(const pw_sizing *sizing, pw_size_part part, const char *id);
/* A value of this line, or a change of it: heads in m or ft however small, electrical power in kW, energy for each m3
 * as kWh per 1,000 gal in US units. */
pw_fact pw_size_value(const pw_size_line *line, double value, bool change);
const char *pw_size_part_id(pw_size_part part);      /* "demand" */
const char *pw_size_part_message(pw_size_part part); /* id of "Demand" */

#endif
