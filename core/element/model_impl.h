/* Private to core/element: the site as equations.
 *
 * Nodes: one per place, then one per tank for its inlet (water falls in freely, so the line ends at the inlet's height
 * and not at the water level). A node with a storage has a given head; the others are the unknowns. Links: one per
 * line, then one per pump. Each obeys  head(from) - head(to) = loss(flow),  loss rising with flow. Newton on flows and
 * heads together, the flows eliminated, leaves a symmetric positive definite system in the unknown heads (Todini and
 * Pilati, "A gradient method for the solution of looped pipe networks", 1988, from memory): after each step the sum of
 * flows at every place is zero up to rounding.
 */
#ifndef PW_ELEMENT_MODEL_IMPL_H
#define PW_ELEMENT_MODEL_IMPL_H

#include "base/sparse.h"
#include "element/model.h"
#include "formula/motor.h"
#include "formula/curve.h"
#include "formula/pump.h"
#include "formula/water.h"

enum {
    PW_MAX_NODES = PW_MAX_PLACES + PW_MAX_TANKS,
    PW_MAX_LINKS = PW_MAX_LINES + PW_MAX_PUMPS,
    PW_TABLE_OCTAVE_BITS = 6, /* 64 intervals for each doubling of the flow */
    PW_TABLE_OCTAVES = 14
};

/* A closed link lets this little through, so that no place is ever cut off from every given head: 1e-14 m3/s per metre
 * is 30 mL in a year under 100 m, a billionth of what a site pumps. */
#define PW_CLOSED_S_M2 1e14
/* An outlet, pump or valve that needs no pressure still fades over this head, so that flows stop at empty rather than
 * jump. */
#define PW_FADE_M 0.05

typedef struct law_table {
    double low_m3s, high_m3s; /* outside: the full formula */
    int64_t first_bits;       /* index of low in units of 2^(52 - PW_TABLE_OCTAVE_BITS) of the double's bits */
    int32_t count;
    const double *loss_m; /* count + 1 */
    const double *slope;  /* count + 1 */
} law_table;

typedef struct line_law {
    double laminar_s_m2, trickle_m3s; /* below the table: loss = laminar Q + k Q sqrt(Q^2 + trickle^2) */
    double bore_m, length_m, rough_m, hazen_c, k_sum;
    bool hazen;
    double velocity_k;              /* metres of head per (m3/s)^2 for a loss coefficient of one: 1 / (2 g A^2) */
    double float_k;                 /* metres per (m3/s)^2 of the open float valve, 0: none */
    int32_t into_tank, out_of_tank; /* tank, -1 */
    int32_t out_of_source;          /* -1 */
    law_table table;
} line_law;

typedef struct pump_law {
    pw_curve head, power, npsh;          /* against flow; npsh.n == 0: unknown */
    double speed, zero_head_m, most_m3s; /* largest flow of the curve at this speed */
    double through_k;                    /* loss of a stopped pump with water driven through it, metres per (m3/s)^2 */
    double throttle_k;    /* of a full-bore valve at the pump's outlet at half opening: metres per (m3/s)^2 */
    int32_t source, tank; /* that it draws from directly, -1 */
    uint32_t from_sources, from_tanks; /* bits: that feed it through suction lines */
    bool lifts;                        /* stands over the open water that it draws from */
    bool falls;     /* draws directly from a tank or a main, whose water could run through it by itself */
    double needs_m; /* NPSH required about its best point */
    pw_motor_data motor;
} pump_law;

typedef struct pw_node {
    double level_m;                        /* of the place (or inlet) above the datum */
    int32_t unknown;                       /* number of the unknown head within its cluster, -1: given */
    int32_t source, vessel, tank, elastic; /* storage here, -1 */
    bool inlet;                            /* a tank's inlet: head is the inlet's height */
} pw_node;

typedef struct link_ends {
    int32_t from, to;
} link_ends;

/* Storages cut the network into clusters that know of each other only through the given heads: links whose unknown
 * places hang together, or one link between two given heads. Each is solved by itself. */
typedef struct cluster {
    int32_t first_link, link_count; /* in cluster_links */
    int32_t first_node, node_count; /* in cluster_nodes: its unknown places */
    int32_t given;                  /* the one given head it hangs on, -1 when there are more */
    bool has_pump;
    pw_sparse *plan; /* NULL when there are no unknown places */
} cluster;

struct pw_model {
    const pw_site *site;
    bool exact;
    double table_error;
    pw_water water;
    double atmosphere_pa, pa_per_m; /* density times g */
    int32_t node_count, link_count, unknown_count, bore_count, elastic_count, state_count;
    double elastic_m3pa[PW_MAX_PUMPS]; /* give of each elastic main */
    double elastic_m3[PW_MAX_PUMPS];   /* what its pipes hold */
    int32_t elastic_place[PW_MAX_PUMPS];
    int32_t state_of_source[PW_MAX_SOURCES]; /* -1: no state */
    pw_node nodes[PW_MAX_NODES];
    link_ends links[PW_MAX_LINKS];
    line_law lines[PW_MAX_LINES];
    pump_law pumps[PW_MAX_PUMPS];
    double vessel_elastic[PW_MAX_VESSELS];    /* least gas fraction: stands for the stretch of the pipes */
    const double *vessel_gas[PW_MAX_VESSELS]; /* table of absolute pressure and slope against filling, healthy charge;
                                                 NULL: exact */
    int32_t cluster_count;
    cluster clusters[PW_MAX_LINKS];
    int32_t cluster_links[PW_MAX_LINKS], cluster_nodes[PW_MAX_NODES]; /* lists, cluster after cluster */
};

struct pw_warm {
    bool known;
    double flow_m3s[PW_MAX_LINKS];
    double gain[PW_MAX_LINKS]; /* d flow / d head difference at the last solution */
    double head_m[PW_MAX_NODES];
};

/* What the laws need of this moment. */
typedef struct setting {
    const pw_condition *condition;
    const pw_drive *drive;
    double given_head_m[PW_MAX_NODES]; /* of nodes with a storage or inlet */
    double float_open[PW_MAX_TANKS];
    double tank_wet[PW_MAX_TANKS];     /* 1 .. 0 as a tank runs empty */
    double source_wet[PW_MAX_SOURCES]; /* likewise */
    double pump_wet[PW_MAX_PUMPS];
    double suction_m[PW_MAX_PUMPS]; /* pump with a blocked intake: head that can be lost in it, above 0 */
} setting;

/* law.c: head lost in link l at this flow, and its slope (> 0). */
void pw_law_link(const pw_model *model, const setting *at, int32_t link, double flow_m3s, double *loss_m,
                 double *slope);
/* Flow out of node through its outlets and leaks at this head, and its slope (>= 0). */
double pw_law_taken(const pw_model *model, const setting *at, int32_t node, double head_m, double *slope);
/* Whether anything could be taken at this node, whatever its head. */
bool pw_law_wanted(const pw_model *model, const setting *at, int32_t node);
double pw_law_outlet(const pw_model *model, int32_t outlet, double wanted_m3s, double head_m, double *slope);
double pw_law_leak(const pw_model *model, const pw_leak *leak, double head_m, double *slope);
pw_status pw_law_tables(pw_arena *arena, pw_model *model);

/* feeds.c: the stores that feed a pump through suction lines, and how far water covers the outlet of what feeds it: 1
 * .. 0, of several the best. */
void pw_feeds_find(const pw_model *model, int32_t pump, pump_law *law);
double pw_feeds_wet(const pump_law *law, const setting *at);

/* store.c: tables of the gas law for the reduced form */
enum { PW_GAS_PARTS = 1024 };
#define PW_GAS_MOST 0.9 /* the table ends where the vessel is nine tenths full of water */
pw_status pw_store_tables(pw_arena *arena, pw_model *model);
/* store.c: heads that the storages give. */
void pw_store_setting(const pw_model *model, const pw_condition *condition, const pw_drive *drive, const double *state,
                      setting *out);
double pw_store_bore_inflow(const pw_model *model, const pw_condition *condition, int32_t source, double volume_m3);
double pw_store_spill(const pw_model *model, int32_t tank, double volume_m3);

/* network.c */
typedef struct solution {
    const double *flow_m3s; /* per link, in the warm start */
    const double *head_m;   /* per node */
    double imbalance_m3s;
    int32_t iterations, worst; /* Newton steps of all clusters; node that did not settle */
} solution;
bool pw_network_link(const pw_model *model, const setting *at, int32_t link, pw_warm *warm, int32_t *steps);
bool pw_network_places(const pw_model *model, const setting *at, const cluster *c, pw_warm *warm, solution *out);
bool pw_network_surely(const pw_model *model, const setting *at, const cluster *c, pw_warm *warm, solution *out);
pw_status pw_network_solve(const pw_model *model, const setting *at, pw_warm *warm, solution *out);

#endif
