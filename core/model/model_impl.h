/* Private to core/model: the site as equations.
 *
 * Nodes: one per place, then one per tank for its inlet (water falls in freely, so the line ends at the inlet's height and not at
 * the water level). A node with a storage has a given head; the others are the unknowns.
 * Links: one per line, then one per pump. Each obeys  head(from) - head(to) = loss(flow),  loss rising with flow.
 * Newton on flows and heads together, the flows eliminated, leaves a symmetric positive definite system in the unknown heads
 * (Todini and Pilati, "A gradient method for the solution of looped pipe networks", 1988, from memory): after each step the sum of
 * flows at every place is zero up to rounding.
 */
#ifndef PW_MODEL_MODEL_IMPL_H
#define PW_MODEL_MODEL_IMPL_H

#include "base/sparse.h"
#include "model/model.h"
#include "power/motor.h"
#include "water/curve.h"
#include "water/water.h"

enum {
    PW_MAX_NODES = PW_MAX_PLACES + PW_MAX_TANKS,
    PW_MAX_LINKS = PW_MAX_LINES + PW_MAX_PUMPS,
    PW_TABLE_OCTAVE_BITS = 6, /* 64 intervals for each doubling of the flow */
    PW_TABLE_OCTAVES = 14
};

/* A closed link lets this little through, so that no place is ever cut off from every given head: 1e-14 m3/s per metre is
 * 30 mL in a year under 100 m, a billionth of what a site pumps. */
#define PW_CLOSED_S_M2 1e14
/* An outlet, pump or valve that needs no pressure still fades over this head, so that flows stop at empty rather than jump. */
#define PW_FADE_M 0.05

typedef struct law_table {
    double low_m3s, high_m3s; /* outside: the full formula */
    int64_t first_bits;       /* index of low in units of 2^(52 - PW_TABLE_OCTAVE_BITS) of the double's bits */
    int32_t count;
    const double *loss_m;     /* count + 1 */
    const double *slope;      /* count + 1 */
} law_table;

typedef struct line_law {
    double bore_m, length_m, rough_m, hazen_c, k_sum;
    bool hazen;
    double velocity_k;  /* metres of head per (m3/s)^2 for a loss coefficient of one: 1 / (2 g A^2) */
    double float_k;     /* metres per (m3/s)^2 of the open float valve, 0: none */
    int32_t into_tank, out_of_tank; /* tank, -1 */
    law_table table;
} line_law;

typedef struct pump_law {
    pw_curve head, power, npsh; /* against flow; power only when known; npsh.n == 0: unknown */
    bool has_power;
    double speed, zero_head_m, most_m3s; /* largest flow of the curve at this speed */
    double through_k;  /* loss of a stopped pump with water driven through it, metres per (m3/s)^2 */
    double throttle_k; /* of a full-bore valve at the pump's outlet at half opening: metres per (m3/s)^2 */
    int32_t source;    /* that it draws from, -1 */
    pw_motor_data motor;
} pump_law;

typedef struct pw_node {
    double level_m;    /* of the place (or inlet) above the datum */
    int32_t unknown;   /* number of the unknown head, -1: given */
    int32_t source, vessel, tank; /* storage here, -1 */
    bool inlet;        /* a tank's inlet: head is the inlet's height */
} pw_node;

typedef struct link_ends {
    int32_t from, to;
} link_ends;

struct pw_model {
    const pw_site *site;
    bool exact;
    double table_error;
    pw_water water;
    double atmosphere_pa, pa_per_m; /* density times g */
    int32_t node_count, link_count, unknown_count, bore_count, state_count;
    int32_t state_of_source[PW_MAX_SOURCES]; /* -1: no state */
    pw_node nodes[PW_MAX_NODES];
    link_ends links[PW_MAX_LINKS];
    line_law lines[PW_MAX_LINES];
    pump_law pumps[PW_MAX_PUMPS];
    double vessel_elastic[PW_MAX_VESSELS]; /* least gas fraction: stands for the stretch of the pipes */
    pw_sparse *plan;
    int32_t edge_link[PW_MAX_LINKS]; /* edge e of the plan is this link */
    int32_t edge_count;
};

struct pw_warm {
    bool known;
    double flow_m3s[PW_MAX_LINKS];
    double head_m[PW_MAX_NODES];
};

/* What the laws need of this moment. */
typedef struct setting {
    const pw_condition *condition;
    const pw_drive *drive;
    double given_head_m[PW_MAX_NODES]; /* of nodes with a storage or inlet */
    double float_open[PW_MAX_TANKS];
    double tank_wet[PW_MAX_TANKS];     /* 1 .. 0 as a tank runs empty */
    double pump_wet[PW_MAX_PUMPS];
} setting;

/* law.c: head lost in link l at this flow, and its slope (> 0). */
void pw_law_link(const pw_model *model, const setting *at, int32_t link, double flow_m3s, double *loss_m, double *slope);
/* Flow out of node through its outlets and leaks at this head, and its slope (>= 0). */
double pw_law_taken(const pw_model *model, const setting *at, int32_t node, double head_m, double *slope);
double pw_law_outlet(const pw_model *model, int32_t outlet, double wanted_m3s, double head_m, double *slope);
double pw_law_leak(const pw_model *model, const pw_leak *leak, double head_m, double *slope);
pw_status pw_law_tables(pw_arena *arena, pw_model *model);

/* store.c: heads that the storages give. */
void pw_store_setting(const pw_model *model, const pw_condition *condition, const pw_drive *drive, const double *state, setting *out);
double pw_store_bore_inflow(const pw_model *model, const pw_condition *condition, int32_t source, double volume_m3);
double pw_store_spill(const pw_model *model, int32_t tank, double volume_m3);

/* network.c */
typedef struct solution {
    const double *flow_m3s; /* per link, in the warm start */
    const double *head_m;   /* per node */
    double imbalance_m3s;
    int32_t iterations, worst; /* worst: node that did not settle */
} solution;
pw_status pw_network_solve(const pw_model *model, const setting *at, pw_warm *warm, solution *out);

#endif
