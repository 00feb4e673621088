/* Demand to design flow: who uses the water, what of it happens together, and how much it is in a day. */
#include "formula/demand.h"
#include "study/size_inside.h"

typedef struct tally {
    double units[2];             /* Hunter, by flush; of all uses under pressure */
    double sum_m3s, largest_m3s; /* EN 806-3 draw-offs */
    double people_m3s;           /* busiest hour */
    double added_m3s;            /* stock, zones, stated flows */
    double daily_m3;
} tally;

static double units_of(const pw_use *use)
{
    double units = 0.0;
    for (int32_t i = 0; i < PW_FIXTURE_COUNT; i++) {
        units += use->fixtures[i].v * pw_fixture_units((pw_fixture)i, use->flush);
    }
    return units;
}

static void loadings_of(const pw_use *use, double *units, double *largest_m3s)
{
    *units = 0.0;
    *largest_m3s = 0.0;
    for (int32_t i = 0; i < PW_LOADING_COUNT; i++) {
        const pw_loading_row *row = pw_loading_at(i);
        *units += use->loadings[i].v * row->units;
        if (use->loadings[i].v > 0.0) {
            *largest_m3s = pw_max(*largest_m3s, row->draw_m3s);
        }
    }
}

/* Flow of people, fixtures or loading units: three views of the same taps, of which the largest counts. */
static double taps_m3s(double tank_units, double valve_units, double sum_m3s, double largest_m3s, double people_m3s)
{
    const double hunter = pw_hunter_m3s(tank_units, PW_FLUSH_TANK) + pw_hunter_m3s(valve_units, PW_FLUSH_VALVE);
    return pw_max(hunter, pw_max(pw_simultaneous_m3s(sum_m3s, largest_m3s), people_m3s));
}

static double stock_of(size_work *w, const pw_use *use, const char *at, tally *t)
{
    double daily = 0.0;
    for (int32_t i = 0; i < PW_STOCK_COUNT; i++) {
        daily += use->stock[i].v * pw_stock_m3((pw_stock)i, true);
    }
    if (daily <= 0.0) {
        return 0.0;
    }
    const double flow = daily / use->drinking_s.v;
    size_add(w, PW_SIZE_DEMAND, size_id(w, "stock, ", at), pw_fact_of("size.stock-at", pw_named(at)), PW_DIM_FLOW,
             flow * w->demand_factor,
             pw_fact_of("size.stock-how", size_q(w, PW_DIM_VOLUME, daily), size_q(w, PW_DIM_TIME, use->drinking_s.v)),
             pw_fact_of("size.stock-source"));
    t->daily_m3 += daily;
    return flow;
}

static double zones_of(size_work *w, const pw_use *use, const char *at, tally *t)
{
    if (!(use->zones.v > 0.0) || !(use->zone_m3s.v > 0.0)) {
        return 0.0;
    }
    const double at_once = pw_min(use->zones_at_once.v, use->zones.v);
    const double flow = at_once * use->zone_m3s.v;
    size_add(w, PW_SIZE_DEMAND, size_id(w, "zones, ", at), pw_fact_of("size.zones-at", pw_named(at)), PW_DIM_FLOW,
             flow * w->demand_factor,
             pw_fact_of("size.zones-how", size_n(w, at_once), size_n(w, use->zones.v),
                        size_q(w, PW_DIM_FLOW, use->zone_m3s.v)),
             pw_fact_of("size.the-sheet"));
    t->daily_m3 += use->zones.v * use->zone_m3s.v * use->zone_s.v;
    return flow;
}

/* One use: its own design flow, and its parts for the tally of all. */
static double use_of(size_work *w, const pw_use *use, bool pressured, tally *all)
{
    const char *at = w->site->outlets[use->outlet].name;
    const double units = units_of(use);
    double loading = 0.0;
    double largest = 0.0;
    tally mine = {{0}, 0, 0, 0, 0, 0};
    loadings_of(use, &loading, &largest);
    const double people = pw_people_m3s(use->people.v, use->person_m3s.v, use->peak_factor.v);
    mine.units[use->flush] = units;
    const double hunter = pw_hunter_m3s(units, use->flush);
    const double together = pw_simultaneous_m3s(loading * 1e-4, largest);
    if (units > 0.0) {
        size_add_in(w, PW_SIZE_DEMAND, size_id(w, "fixture units, ", at),
                    pw_fact_of("size.fixture-units-at", pw_named(at)), "units", units, pw_fact_of("size.fixtures-sum"),
                    pw_fact_of("size.fixtures-source"));
        size_add(w, PW_SIZE_DEMAND, size_id(w, "hunter, ", at), pw_fact_of("size.hunter-at", pw_named(at)), PW_DIM_FLOW,
                 hunter * w->demand_factor,
                 pw_fact_of("size.hunter-how", pw_truth(use->flush == PW_FLUSH_VALVE), size_n(w, units)),
                 pw_fact_of("size.hunter-source"));
    }
    if (loading > 0.0) {
        size_add_in(w, PW_SIZE_DEMAND, size_id(w, "loading units, ", at),
                    pw_fact_of("size.loading-units-at", pw_named(at)), "units", loading, pw_fact_of("size.loading-sum"),
                    pw_fact_of("size.loading-table"));
        size_add(w, PW_SIZE_DEMAND, size_id(w, "loading flow, ", at), pw_fact_of("size.loading-flow-at", pw_named(at)),
                 PW_DIM_FLOW, together * w->demand_factor, pw_fact_of("size.loading-how", size_n(w, loading * 0.1)),
                 pw_fact_of("size.loading-source"));
    }
    if (people > 0.0) {
        size_add(w, PW_SIZE_DEMAND, size_id(w, "people, ", at), pw_fact_of("size.people-at", pw_named(at)), PW_DIM_FLOW,
                 people * w->demand_factor,
                 pw_fact_of("size.people-how", size_n(w, use->people.v), size_n(w, use->person_m3s.v * 86400e3),
                            size_n(w, use->peak_factor.v)),
                 pw_fact_of("size.people-source"));
        mine.daily_m3 += pw_people_daily_m3(use->people.v, use->person_m3s.v);
    }
    const double added = stock_of(w, use, at, &mine) + zones_of(w, use, at, &mine) + use->flow_m3s.v;
    if (pressured) {
        all->units[use->flush] += units;
        all->sum_m3s += loading * 1e-4;
        all->largest_m3s = pw_max(all->largest_m3s, largest);
        all->people_m3s += people;
        all->added_m3s += added;
    }
    all->daily_m3 += mine.daily_m3 > 0.0 ? mine.daily_m3 : w->draws->daily_m3[use->outlet];
    if (!pressured) {
        const double daily = mine.daily_m3 > 0.0 ? mine.daily_m3 : w->draws->daily_m3[use->outlet];
        all->added_m3s += daily / w->site->design.pumping_s.v; /* the tank spreads it over the pumping time */
    }
    return pw_max(hunter, pw_max(together, people)) + added;
}

/* Outlets that no use speaks of: by the demand of the sheet. */
static void by_demand(size_work *w, const bool *used, tally *all, double *rest_m3s)
{
    const pw_site *site = w->site;
    bool any = false;
    for (int32_t o = 0; o < site->outlet_count; o++) {
        if (used[o]) {
            continue;
        }
        w->outlet_m3s[o] = w->draws->peak_m3s[o];
        w->by_demand[o] = true;
        all->daily_m3 += w->draws->daily_m3[o];
        if (w->outlet_m3s[o] > 0.0) {
            size_add(w, PW_SIZE_DEMAND, size_id(w, "drawn, ", site->outlets[o].name),
                     pw_fact_of("size.drawn-at", pw_named(site->outlets[o].name)), PW_DIM_FLOW,
                     w->outlet_m3s[o] * w->demand_factor, pw_fact_of("size.drawn-how"),
                     pw_fact_of("size.drawn-source"));
        }
        if (w->pressured[o]) {
            any = any || w->outlet_m3s[o] > 0.0;
        } else {
            all->added_m3s += w->draws->daily_m3[o] / site->design.pumping_s.v;
        }
    }
    *rest_m3s = any ? w->draws->together_m3s : 0.0;
}

static bool any_behind_tank(const size_work *w)
{
    for (int32_t o = 0; o < w->site->outlet_count; o++) {
        if (!w->pressured[o] && w->outlet_m3s[o] > 0.0) {
            return true;
        }
    }
    return false;
}

/* Less than this is no use of water: 0.1 L/min (own choice). */
#define NOTHING_M3S (0.1e-3 / 60.0)

static void put_totals(size_work *w, const tally *all, double at_once, double together, double rest)
{
    pw_sizing *out = w->out;
    const pw_design *design = &w->site->design;
    const bool tanks = any_behind_tank(w);
    size_add(w, PW_SIZE_DEMAND, "all at once", pw_fact_of("size.all-at-once"), PW_DIM_FLOW, at_once,
             pw_fact_of("size.all-at-once-how"), pw_fact_of("size.all-at-once-source"));
    size_add(w, PW_SIZE_DEMAND, "together", tanks ? pw_fact_of("size.together-tanks") : pw_fact_of("size.together"),
             PW_DIM_FLOW, together,
             pw_fact_of("size.together-how", size_q(w, PW_DIM_FLOW, rest), size_q(w, PW_DIM_FLOW, all->added_m3s)),
             pw_fact_of("size.together-source"));
    size_add(w, PW_SIZE_DEMAND, "daily volume", pw_fact_of("size.daily-volume"), PW_DIM_VOLUME, out->daily_m3,
             pw_fact_of("size.daily-how"), pw_fact_of("size.the-sheet"));
    const double mean = out->daily_m3 / design->pumping_s.v;
    size_add(w, PW_SIZE_DEMAND, "mean pumping flow", pw_fact_of("size.mean-flow"), PW_DIM_FLOW, mean,
             pw_fact_of("size.mean-flow-how", size_q(w, PW_DIM_VOLUME, out->daily_m3),
                        size_q(w, PW_DIM_TIME, design->pumping_s.v)),
             pw_fact_of("size.definition"));
    const double stated = design->flow_m3s.v * w->demand_factor;
    const double wanted = stated > 0.0 ? stated : pw_max(together, mean);
    const bool nothing = wanted < NOTHING_M3S;
    double best = 0.0;
    /* nobody says what is wanted: the rest is about the pump as it is, at its own best flow, and the verdict says so */
    out->design_flow_m3s = nothing ? pw_max(size_machine_best_m3s(&w->machine, w->pa_per_m, &best), 1e-7) : wanted;
    size_add(w, PW_SIZE_DEMAND, "design flow", pw_fact_of("size.design-flow"), PW_DIM_FLOW, out->design_flow_m3s,
             nothing ? pw_fact_of("size.flow-for-want")
             : stated > 0.0
                 ? pw_fact_of("size.stated-in-sheet")
                 : (together >= mean ? pw_fact_of("size.together-is-more") : pw_fact_of("size.mean-is-more")),
             pw_fact_of("size.larger-of-two"));
    if (nothing) {
        size_check(w, "demand", -1.0, pw_fact_of("size.check-demand", size_q(w, PW_DIM_FLOW, out->design_flow_m3s)));
    }
}

pw_status size_demand(size_work *w)
{
    const pw_site *site = w->site;
    const double factor = w->demand_factor;
    tally all = {{0}, 0, 0, 0, 0, 0};
    bool used[PW_MAX_OUTLETS] = {false};
    double rest = 0.0;
    for (int32_t o = 0; o < site->outlet_count; o++) {
        w->outlet_m3s[o] = 0.0;
        w->by_demand[o] = false;
    }
    for (int32_t u = 0; u < site->design.use_count; u++) {
        const pw_use *use = &site->design.uses[u];
        w->outlet_m3s[use->outlet] += use_of(w, use, w->pressured[use->outlet], &all);
        used[use->outlet] = true;
    }
    by_demand(w, used, &all, &rest);
    double at_once = 0.0;
    for (int32_t o = 0; o < site->outlet_count; o++) {
        w->outlet_m3s[o] *= factor;
        w->out->outlet_m3s[o] = w->outlet_m3s[o];
        at_once += w->pressured[o] ? w->outlet_m3s[o] : 0.0;
    }
    const double taps = taps_m3s(all.units[0], all.units[1], all.sum_m3s, all.largest_m3s, all.people_m3s);
    w->out->daily_m3 = all.daily_m3 * factor;
    put_totals(w, &all, at_once, (taps + rest + all.added_m3s) * factor, rest);
    return PW_OK;
}
