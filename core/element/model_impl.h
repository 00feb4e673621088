/* Private to core/element: the site as equations.
 *
 * Nodes: one per place, then one per tank for its inlet (water falls in freely, so the line ends at the inlet's height
 * and not at the water level), then one per high point of the ground between a line's ends, where the line is cut in
 * parts. A node with a storage has a given head; the others are the unknowns. Links: one per
 * line, then one per pump. Each obeys  head(from) - head(to) = loss(flow),  loss rising with flow. Newton on flows and
 * heads together, the flows eliminated, leaves a symmetric positive definite system in the unknown heads (Todini and
 * Pilati, "A gradient method for the solution of looped pipe networks", 1988, from memory): after each step the sum of
 * flows at every place is zero up to rounding.
 *
 * Every law is continuous with a continuous or one-sided slope that is above zero, so that the network has exactly one
 * solution and Newton finds it. The laws are the elements' (pipe.h, pump.h, vessel.h, ...); kinds.c has a table of what
 * the network, the moment and the states ask of each kind of them.
 */
#ifndef PW_ELEMENT_MODEL_IMPL_H
#define PW_ELEMENT_MODEL_IMPL_H

#include "base/sparse.h"
#include "element/elastic.h"
#include "element/model.h"
#include "element/motor.h"
#include "element/outlet.h"
#include "element/pipe.h"
#include "element/pump.h"
#include "element/vessel.h"
#include "formula/water.h"

enum {
    PW_MAX_NODES = PW_MAX_PLACES + PW_MAX_TANKS + PW_MAX_HIGHS,
    PW_MAX_LINKS = PW_MAX_LINES + PW_MAX_HIGHS + PW_MAX_PUMPS
};

/* What a line's ends mean for it. */
typedef struct line_ends {
    int32_t into_tank, out_of_tank; /* tank, -1 */
    int32_t out_of_source;          /* -1 */
    double float_k;                 /* of the open float valve at its end, 0: none */
} line_ends;

/* What feeds a pump. */
typedef struct pump_feed {
    int32_t source, tank;              /* that it draws from directly, -1 */
    uint32_t from_sources, from_tanks; /* bits: that feed it through suction lines */
    bool lifts;                        /* stands over the open water that it draws from */
    bool falls; /* draws directly from a tank or a main, whose water could run through it by itself */
} pump_feed;

typedef struct pw_node {
    double level_m;                        /* of the place (or inlet) above the datum */
    int32_t unknown;                       /* number of the unknown head within its cluster, -1: given */
    int32_t source, vessel, tank, elastic; /* storage here, -1 */
    bool inlet;                            /* a tank's inlet: head is the inlet's height */
    int32_t line;                          /* that has this high point, -1: none */
    double pushed_m; /* a deep ejector pushes water up here, this far at most, whatever the air does; else 0 */
} pw_node;

typedef enum link_kind_id { LINK_LINE, LINK_PUMP, LINK_KINDS } link_kind_id;
typedef enum store_kind_id { STORE_BORE, STORE_VESSEL, STORE_TANK, STORE_MAIN, STORE_KINDS } store_kind_id;

typedef struct pw_link {
    int32_t from, to; /* nodes */
    link_kind_id kind;
    int32_t item; /* line or pump */
    /* of a line that high points cut in parts: its part of the whole length, 1 uncut; the first part has its gate and
     * its non-return valve, the last one its float valve and its free end */
    double share;
    bool first, last;
} pw_link;

/* A high point of the ground between a line's ends: over the straight line between the points on both sides of it. */
typedef struct pw_high {
    int32_t line;
    double part; /* of the line's length, from its beginning */
    double height_m;
} pw_high;

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
    double torn_pa; /* gauge pressure below which water is vapour here: none of it hangs on a lower one */
    int32_t spot_count;
    int16_t spots[PW_MAX_SPOTS]; /* those that the site has (spot.c), rising */
    pw_high highs[PW_MAX_HIGHS]; /* line by line, from the line's beginning on */
    int32_t high_count;          /* nodes of high points; they follow those of the inlets */
    int32_t node_count, link_count, unknown_count, bore_count, elastic_count, state_count;
    int32_t first_state[STORE_KINDS];
    int32_t source_of_bore[PW_MAX_SOURCES];
    int32_t state_of_source[PW_MAX_SOURCES]; /* -1: no state */
    int32_t elastic_place[PW_MAX_PUMPS];
    pw_node nodes[PW_MAX_NODES];
    pw_link links[PW_MAX_LINKS];
    pw_pipe pipes[PW_MAX_LINES];
    line_ends line_ends[PW_MAX_LINES];
    int32_t filter_of_line[PW_MAX_LINES]; /* -1: none */
    pw_pump_law pumps[PW_MAX_PUMPS];
    pw_motor_cable cables[PW_MAX_PUMPS];
    pump_feed feeds[PW_MAX_PUMPS];
    pw_suction_law suctions[PW_MAX_PUMPS];
    pw_vessel_law vessels[PW_MAX_VESSELS];
    pw_elastic mains[PW_MAX_PUMPS];
    /* The same with the places of vessels and mains among the unknown: for a moment ahead. Only the network, which
     * knows clusters and unknowns, looks into it. */
    pw_model *ahead;
    int32_t cluster_count;
    cluster clusters[PW_MAX_LINKS];
    int32_t cluster_links[PW_MAX_LINKS], cluster_nodes[PW_MAX_NODES]; /* lists, cluster after cluster */
};

/* Which way led to the solution of a cluster: what was needed is needed again, most likely. */
typedef enum solved_by { BY_NEWTON, BY_SURELY, BY_GROUND } solved_by;

struct pw_warm {
    bool known;
    double driven; /* part of their speed that a limited power left the pumps; 0: not known */
    double flow_m3s[PW_MAX_LINKS];
    double gain[PW_MAX_LINKS]; /* d flow / d head difference at the last solution */
    double head_m[PW_MAX_NODES];
    solved_by way[PW_MAX_LINKS]; /* each cluster, last time */
    solved_by way_ahead[PW_MAX_LINKS];
    double under_m[PW_MAX_NODES]; /* by ground: how far the unknown of a place stood below its floor */
};

/* One that takes water at a place: an open outlet, or a hole. */
typedef struct taker {
    int32_t place;
    const pw_outlet *outlet; /* or */
    const pw_leak *leak;
    double wanted_m3s; /* by the outlet */
} taker;

/* What the elements are at this moment. */
typedef struct setting {
    const pw_condition *condition;
    const pw_drive *drive;
    const double *state;
    double given_head_m[PW_MAX_NODES]; /* of nodes with a storage or inlet */
    double floor_m[PW_MAX_NODES];      /* no head of the others is lower: there is vapour, or air at 0 gauge */
    double float_open[PW_MAX_TANKS];
    double tank_wet[PW_MAX_TANKS];     /* 1 .. 0 as a tank runs empty */
    double source_wet[PW_MAX_SOURCES]; /* likewise */
    pw_line_now lines[PW_MAX_LINES];
    pw_pump_now pumps[PW_MAX_PUMPS];
    int32_t taker_count;
    taker takers[PW_MAX_OUTLETS + PW_MAX_LEAKS]; /* outlets by number, then holes */
} setting;

/* Head lost in a filter at the flow of its sheet, as clogged as it is now (ask.c). */
double pw_filter_at_m(const pw_model *model, const pw_condition *condition, int32_t filter);

/* ---- kinds.c ---- */

typedef struct link_kind {
    int32_t (*count)(const pw_site *site);
    /* places of the sheet at its ends */
    void (*places)(const pw_site *site, int32_t item, int32_t *from, int32_t *to);
    /* its part of the setting; what the storages give is there already */
    void (*now)(const pw_model *model, int32_t item, setting *at);
    /* head lost at this flow and its slope (> 0) */
    void (*loss)(const pw_model *model, const setting *at, const pw_link *link, double flow_m3s, double *loss_m,
                 double *slope);
    double (*cold_m3s)(const pw_model *model, int32_t item); /* where Newton begins without a better guess */
} link_kind;
extern const link_kind pw_link_kinds[LINK_KINDS];

/* A store has a state: a volume of water, m3, so that the mass balance is a sum. */
typedef struct store_kind {
    int32_t (*count)(const pw_model *model);
    int32_t (*node)(const pw_model *model, int32_t item);  /* whose head it gives, and whose flows fill it */
    int32_t (*inlet)(const pw_model *model, int32_t item); /* further node whose flows fill it; NULL: none */
    double (*head_m)(const pw_model *model, int32_t item, double volume_m3, setting *at);
    /* the volume at a head, and how it rises with it; NULL: not among what is told ahead */
    double (*holds_m3)(const pw_model *model, int32_t item, double head_m, const setting *at, double *rises_m2);
    double (*start_m3)(const pw_model *model, const pw_condition *healthy, int32_t item, double vessel_pa);
    double (*scale_m3)(const pw_model *model, int32_t item);
    /* what it gains from outside the site's water, m3/s, told in the moment; NULL: nothing */
    double (*gains_m3s)(const pw_model *model, const pw_condition *condition, int32_t item, double volume_m3,
                        pw_moment *told);
} store_kind;
extern const store_kind pw_store_kinds[STORE_KINDS];

static inline void pw_link_loss(const pw_model *model, const setting *at, int32_t link, double flow_m3s, double *loss_m,
                                double *slope)
{
    const pw_link *made = &model->links[link];
    pw_link_kinds[made->kind].loss(model, at, made, flow_m3s, loss_m, slope);
}

/* setting.c: what all elements are at this moment. */
void pw_setting_of(const pw_model *model, const pw_condition *condition, const pw_drive *drive, const double *state,
                   setting *out);
/* Flow out of a node through its outlets and holes at this head, and its slope (>= 0). */
double pw_taken_m3s(const pw_model *model, const setting *at, int32_t node, double head_m, double *slope);
double pw_taker_m3s(const pw_model *model, const taker *who, double head_m, double *slope);
/* Whether anything could be taken at this node, whatever its head. */
bool pw_taken_wanted(const setting *at, int32_t node);

/* ahead.c: the sibling of a model that is complete but for it. */
pw_status pw_ahead_of(pw_arena *arena, pw_model *model);
/* A moment ahead: what the store at a node takes up on the way, m3/s, and how that rises with the head; 0 where none
 * is. */
double pw_ahead_taken_m3s(const pw_model *model, const setting *at, int32_t node, double head_m, double *slope);
static inline bool pw_ahead_stores(const pw_model *model, const setting *at, int32_t node)
{
    return at->drive->ahead_s > 0.0 && (model->nodes[node].vessel >= 0 || model->nodes[node].elastic >= 0);
}
static inline solved_by *pw_warm_way(const pw_model *model, pw_warm *warm, const cluster *c)
{
    return (model->ahead != NULL ? warm->way : warm->way_ahead) + (c - model->clusters);
}
pw_status pw_clusters_of(pw_arena *arena, pw_model *model); /* build.c */

/* ground.c: the high points of all lines; false: more than there is room for. */
bool pw_ground_highs(pw_model *model);
/* Floors of all heads: at vapour pressure, or at 0 gauge where air is in or something is open. */
void pw_ground_floors(const pw_model *model, setting *at);

/* feeds.c: the stores that feed a pump, and how far water covers the outlet of what feeds it: 1 .. 0, of several the
 * best. */
void pw_feeds_find(const pw_model *model, int32_t pump, pump_feed *out);
double pw_feeds_wet(const pump_feed *feed, const setting *at);

/* spot.c: after nodes and high points are known */
void pw_spots_find(pw_model *model);

/* suction.c */
void pw_suction_of(const pw_model *model, int32_t pump, pw_suction_law *out);
/* Marks the nodes that deep ejectors push water up to; all suctions are known. */
void pw_suction_pushed(pw_model *model);
/* NPSH available with nothing flowing; how far a column of water stands up to the eye, 1 .. 0. */
double pw_suction_rest_m(const pw_model *model, int32_t pump, double water_head_m);
double pw_suction_wet(const pw_model *model, int32_t pump, double water_head_m);
/* Lost in a suction pipe of its own; from the store to the eye. */
void pw_suction_pipe(const pw_model *model, int32_t pump, double flow_m3s, double *loss_m, double *slope);
void pw_suction_loss(const pw_model *model, const setting *at, int32_t pump, double flow_m3s, double *loss_m,
                     double *slope);

static inline int32_t pw_high_node(const pw_model *model, int32_t high)
{
    return model->site->place_count + model->site->tank_count + high;
}

/* moment.c: with nothing that limits the power. supply.c: with the power of the condition. Both as pw_model_moment. */
pw_status pw_moment_at(const pw_model *model, const pw_condition *condition, const pw_drive *drive, const double *state,
                       pw_warm *warm, pw_moment *out, pw_problems *problems);
pw_status pw_supply_moment(const pw_model *model, const pw_condition *condition, const pw_drive *drive,
                           const double *state, pw_warm *warm, pw_moment *out, pw_problems *problems);

/* spot.c: air goes where what flows now carries it away; true: somewhere. */
bool pw_spots_clear(const pw_model *model, pw_condition *condition, const pw_drive *drive, const double *state,
                    const pw_moment *moment);

/* supply.c: what a supply that gives way stands at with nothing switched on. */
void pw_supply_rest(const pw_model *model, const pw_condition *condition, pw_moment *out);

/* network.c */
enum { PW_NEWTON_STEPS = 60 };
typedef struct solution {
    const double *flow_m3s; /* per link, in the warm start */
    const double *head_m;   /* per node */
    double imbalance_m3s;
    int32_t iterations, worst; /* Newton steps of all clusters; node that did not settle */
} solution;
bool pw_network_link(const pw_model *model, const setting *at, int32_t link, pw_warm *warm, int32_t *steps);
bool pw_network_link_finely(const pw_model *model, const setting *at, int32_t link, pw_warm *warm, int32_t *steps);
/* In so many steps at most. */
bool pw_network_places(const pw_model *model, const setting *at, const cluster *c, int32_t most_steps, pw_warm *warm,
                       solution *out);
/* Again: a few steps from where it was solved last time. */
bool pw_network_ground(const pw_model *model, const setting *at, const cluster *c, bool again, pw_warm *warm,
                       solution *out);
/* From the heads that are there, or with `begin` from the places' own levels. */
bool pw_network_surely(const pw_model *model, const setting *at, const cluster *c, bool begin, pw_warm *warm,
                       solution *out);
pw_status pw_network_solve(const pw_model *model, const setting *at, pw_warm *warm, solution *out);

#endif
