/* The site at rest: what its pressure vessels and mains hold when nothing has run or flowed for a while.
 *
 * Vessels and elastic mains that open pipe joins have one head and move together: a group. Groups know of each other
 * only through pumps, non-return valves and tanks, so they are brought to rest one after the other, round by round.
 */
#include "base/num.h"
#include "element/model_impl.h"
#include "site/topology.h"

/* A flow below this is none: 0.06 mL/min, far above what a closed link lets through (PW_CLOSED_S_M2, valve.h). */
#define REST_M3S 1e-9
#define HIGH_PA  1e7
enum { ROUNDS = 8, STEPS = 60, MOST_STORES = PW_MAX_VESSELS + PW_MAX_PUMPS };

typedef struct resting {
    const pw_model *model;
    pw_warm *warm;
    double *state;
    pw_condition as_is;        /* healthy */
    pw_condition held;         /* likewise, but with every float valve shut: what fills a tank is no rest of a vessel */
    pw_drive off, on;          /* no pump, every pump; nothing drawn */
    int32_t stores;            /* vessels, then elastic mains */
    int32_t lead[MOST_STORES]; /* first store of the group that each belongs to */
    bool failed;
} resting;

static int32_t node_of(const resting *r, int32_t store)
{
    const int32_t vessels = r->model->site->vessel_count;
    return store < vessels ? r->model->site->vessels[store].place : r->model->elastic_place[store - vessels];
}

static int32_t number_of(const resting *r, int32_t store)
{
    const int32_t vessels = r->model->site->vessel_count;
    return store < vessels ? r->model->first_state[STORE_VESSEL] + store
                           : r->model->first_state[STORE_MAIN] + store - vessels;
}

/* Places that open pipe joins to this one; tanks and sources end it. Returns the highest level among them, the inlets
 * of tanks included. */
static double reach_m(const pw_model *model, int32_t place, pw_reach *reach)
{
    static const pw_walk_rules open_pipe = {.way = PW_WALK_JOINED, .open_pipe = true, .barred = PW_TANKS | PW_SOURCES};
    double most_m = model->nodes[place].level_m;
    pw_walk(model->site, &open_pipe, place, reach);
    for (int32_t i = 0; i < reach->count; i++) {
        most_m = pw_max(most_m, model->nodes[reach->order[i]].level_m);
    }
    for (int32_t t = 0; t < model->site->tank_count; t++) {
        most_m = reach->inlet[t] ? pw_max(most_m, model->nodes[model->site->place_count + t].level_m) : most_m;
    }
    return most_m;
}

static void group_stores(resting *r)
{
    for (int32_t i = 0; i < r->stores; i++) {
        r->lead[i] = i;
        for (int32_t k = 0; k < i && r->lead[i] == i; k++) {
            pw_reach reach = {0};
            (void)reach_m(r->model, node_of(r, k), &reach);
            r->lead[i] = reach.at[node_of(r, i)] ? r->lead[k] : i;
        }
    }
}

/* The whole group at one head; pressure_pa at its lead. */
static void fill_to(resting *r, int32_t lead, double pressure_pa)
{
    const pw_model *model = r->model;
    const int32_t vessels = model->site->vessel_count;
    for (int32_t i = lead; i < r->stores; i++) {
        if (r->lead[i] != lead) {
            continue;
        }
        const double above_m = model->nodes[node_of(r, lead)].level_m - model->nodes[node_of(r, i)].level_m;
        const double here_pa = pressure_pa + above_m * model->pa_per_m;
        r->state[number_of(r, i)] = i < vessels ? pw_model_vessel_m3(model, &r->as_is, i, here_pa)
                                                : pw_elastic_m3(&model->mains[i - vessels], here_pa);
    }
}

/* What the group gains at this pressure, m3/s; it is left so full. */
static double gain_at(resting *r, const pw_condition *condition, const pw_drive *drive, int32_t lead,
                      double pressure_pa)
{
    pw_moment moment;
    double gain_m3s = 0.0;
    fill_to(r, lead, pressure_pa);
    if (pw_model_moment(r->model, condition, drive, r->state, r->warm, &moment, NULL) != PW_OK) {
        r->failed = true;
        return 0.0;
    }
    for (int32_t i = lead; i < r->stores; i++) {
        gain_m3s += r->lead[i] == lead ? moment.rate_m3s[number_of(r, i)] : 0.0;
    }
    return gain_m3s;
}

/* Between a pressure at which it gains more than `least` and a higher one at which it does not: the edge. */
static double edge_pa(resting *r, const pw_condition *condition, const pw_drive *drive, int32_t lead, double least,
                      double low_pa, double high_pa)
{
    for (int32_t step = 0; step < STEPS; step++) {
        const double middle_pa = 0.5 * (low_pa + high_pa);
        if (gain_at(r, condition, drive, lead, middle_pa) > least) {
            low_pa = middle_pa;
        } else {
            high_pa = middle_pa;
        }
    }
    return low_pa;
}

/* Where the group comes to rest, from this pressure on: it falls while it loses, rises while it gains, and stays where
 * it does neither. */
static double rest_pa(resting *r, int32_t lead, double from_pa)
{
    const pw_condition *condition = lead < r->model->site->vessel_count ? &r->held : &r->as_is;
    double at_pa = from_pa;
    if (gain_at(r, &r->as_is, &r->on, lead, at_pa) <= REST_M3S &&
        gain_at(r, &r->as_is, &r->on, lead, 0.0) > REST_M3S) { /* nothing on this site could have brought it there */
        at_pa = pw_min(at_pa, edge_pa(r, &r->as_is, &r->on, lead, REST_M3S, 0.0, at_pa));
    }
    const double gain_m3s = gain_at(r, condition, &r->off, lead, at_pa);
    if (gain_m3s > REST_M3S && gain_at(r, condition, &r->off, lead, HIGH_PA) <= REST_M3S) {
        at_pa = edge_pa(r, condition, &r->off, lead, REST_M3S, at_pa, HIGH_PA);
    } else if (gain_m3s < -REST_M3S && gain_at(r, condition, &r->off, lead, r->model->torn_pa) > -REST_M3S) {
        at_pa = edge_pa(r, condition, &r->off, lead, -REST_M3S, r->model->torn_pa, at_pa);
    }
    fill_to(r, lead, at_pa);
    return at_pa;
}

static void prepare(resting *r)
{
    pw_condition_healthy(r->model, &r->as_is);
    r->held = r->as_is;
    for (int32_t t = 0; t < r->model->site->tank_count; t++) {
        r->held.float_most[t] = r->model->site->tanks[t].float_valve ? 0.0 : 1.0;
    }
    for (int32_t p = 0; p < r->model->site->pump_count; p++) {
        r->on.speed[p] = 1.0;
    }
    r->stores = r->model->site->vessel_count + r->model->elastic_count;
    group_stores(r);
}

void pw_model_rest(const pw_model *model, double pressure_pa, double *state, pw_warm *warm)
{
    double at_pa[MOST_STORES];
    resting r = {.model = model, .warm = warm, .state = state};
    prepare(&r);
    pw_model_start(model, pressure_pa, state);
    for (int32_t i = 0; i < r.stores; i++) {
        pw_reach reach = {0};
        const int32_t node = node_of(&r, i);
        const double full_m = reach_m(model, node, &reach) - model->nodes[node].level_m;
        at_pa[i] = i < model->site->vessel_count ? pressure_pa : pw_max(pressure_pa, full_m * model->pa_per_m);
        if (r.lead[i] == i) {
            fill_to(&r, i, at_pa[i]);
        }
    }
    bool moved = true;
    for (int32_t round = 0; round < ROUNDS && moved && !r.failed; round++) {
        moved = false;
        for (int32_t i = 0; i < r.stores; i++) {
            if (r.lead[i] == i) {
                const double before_pa = at_pa[i];
                at_pa[i] = rest_pa(&r, i, before_pa);
                moved = moved || pw_abs(at_pa[i] - before_pa) > 1.0;
            }
        }
    }
    if (r.failed) {
        pw_model_start(model, pressure_pa, state);
    }
}
