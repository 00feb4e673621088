/* Where the pumps work once everything quick has settled. */
#include "base/num.h"
#include "element/model_impl.h"
#include "formula/pump.h"
#include "site/topology.h"

/* Each elastic main falls with what it loses and rises with what it gets: bisection between a torn column and 10 MPa,
 * one after the other, round by round until none moves (mains of different pumps hardly touch each other). */
pw_status pw_model_settle(const pw_model *model, const pw_condition *condition, const pw_drive *drive, double *state,
                          pw_warm *warm, pw_problems *problems)
{
    const int32_t first = model->first_state[STORE_MAIN];
    pw_moment moment;
    for (int32_t round = 0; round < (model->elastic_count > 1 ? 8 : 1); round++) {
        for (int32_t e = 0; e < model->elastic_count; e++) {
            double low = -1e6 * model->mains[e].give_m3pa - model->mains[e].column.out_m3[0];
            double high = 1e7 * model->mains[e].give_m3pa;
            for (int32_t step = 0; step < 60; step++) {
                state[first + e] = 0.5 * (low + high);
                const pw_status status = pw_model_moment(model, condition, drive, state, warm, &moment, problems);
                if (status != PW_OK) {
                    return status;
                }
                if (moment.rate_m3s[first + e] > 0.0) {
                    low = state[first + e];
                } else {
                    high = state[first + e];
                }
            }
        }
    }
    return PW_OK;
}

/* Level of a spot: of a line's high points the highest. */
static double level_of(const pw_model *model, int32_t spot)
{
    double level_m = -PW_INF;
    if (spot < PW_MAX_PLACES) {
        return model->site->places[spot].level_m.v;
    }
    for (int32_t h = 0; h < model->high_count; h++) {
        level_m = model->highs[h].line == spot - PW_MAX_PLACES ? pw_max(level_m, model->highs[h].height_m) : level_m;
    }
    return level_m;
}

int32_t pw_model_summit(const pw_model *model, const pw_condition *condition, const bool *within, double *level_m)
{
    int32_t highest = -1;
    *level_m = -PW_INF;
    for (int32_t n = 0; n < model->spot_count; n++) {
        const int32_t spot = model->spots[n];
        const bool asked = within == NULL || within[pw_spot_place(model->site, spot)];
        if (asked && pw_spot_has_air(condition, spot) && level_of(model, spot) > *level_m) {
            highest = spot;
            *level_m = level_of(model, spot);
        }
    }
    return highest;
}

/* Mains that stretch have to come to rest over the air before it shows whether the flow carries that away. */
pw_status pw_model_filled(const pw_model *model, pw_condition *condition, const pw_drive *drive, double *state,
                          pw_warm *warm, pw_problems *problems)
{
    pw_moment moment;
    double level_m;
    pw_status status = pw_model_settle(model, condition, drive, state, warm, problems);
    status = status == PW_OK ? pw_model_air(model, condition, drive, state, warm, problems) : status;
    bool cleared = false;
    for (int32_t round = 0; round < 3 && status == PW_OK && pw_model_summit(model, condition, NULL, &level_m) >= 0;
         round++) {
        status = pw_model_settle(model, condition, drive, state, warm, problems);
        status = status == PW_OK ? pw_model_moment(model, condition, drive, state, warm, &moment, problems) : status;
        if (status != PW_OK || !pw_spots_clear(model, condition, drive, state, &moment)) {
            return status;
        }
        cleared = true;
    }
    return status == PW_OK && cleared ? pw_model_settle(model, condition, drive, state, warm, problems) : status;
}

/* What a pump delivers into: places under its pressure, the first vessel there, and of the tanks that its lines lead to
 * the lowest inlet, among those that fill when any does. */
typedef struct delivery {
    pw_reach reach;
    int32_t vessel, tank; /* -1: none */
    double inlet_m;       /* PW_INF: no tank */
} delivery;

static delivery delivery_of(const pw_model *model, const pw_moment *moment, int32_t place)
{
    static const pw_walk_rules under_pressure = {.way = PW_WALK_JOINED, .barred = PW_TANKS};
    const pw_site *site = model->site;
    delivery out = {.vessel = -1, .tank = -1, .inlet_m = PW_INF};
    bool filling = false;
    pw_walk(site, &under_pressure, place, &out.reach);
    for (int32_t v = site->vessel_count - 1; v >= 0; v--) {
        out.vessel = out.reach.at[site->vessels[v].place] ? v : out.vessel;
    }
    for (int32_t l = 0; l < site->line_count; l++) {
        const int32_t to = site->lines[l].to;
        const int32_t tank = model->nodes[to].tank;
        const bool fills = moment->line_m3s[l] > 0.0;
        if (tank < 0 || !out.reach.at[site->lines[l].from] || (filling && !fills)) {
            continue;
        }
        const double inlet_m = site->places[to].level_m.v + site->tanks[tank].inlet_m.v;
        if (inlet_m < out.inlet_m || (fills && !filling)) {
            out.inlet_m = inlet_m;
            out.tank = tank;
        }
        filling = filling || fills;
    }
    const int32_t direct = model->nodes[place].tank; /* straight into a tank */
    if (direct >= 0) {
        out.tank = direct;
        out.inlet_m = site->places[place].level_m.v + site->tanks[direct].inlet_m.v;
    }
    return out;
}

static double head_at(const pw_model *model, const pw_moment *moment, int32_t place)
{
    return model->site->places[place].level_m.v + moment->place_pa[place] / model->pa_per_m;
}

/* Head lost in the lines between the pump and the first store that they lead to: a vessel, or the inlet of a tank that
 * fills, or a high point that the water has to be lifted over before. 0 where there is none: a pump that feeds outlets,
 * or that stands at its store. */
static double lost_to_store_m(const pw_model *model, const pw_moment *moment, const delivery *to, int32_t place,
                              const pw_duty *duty)
{
    const double here_m = head_at(model, moment, place);
    if (to->vessel >= 0) {
        return pw_max(here_m - head_at(model, moment, model->site->vessels[to->vessel].place), 0.0);
    }
    if (to->inlet_m >= PW_INF || model->nodes[place].tank >= 0 || duty->flow_m3s <= 0.0) {
        return 0.0;
    }
    const double lifted_m = duty->way == PW_DUTY_OVER ? pw_max(to->inlet_m, duty->summit_m) : to->inlet_m;
    return pw_max(here_m - lifted_m, 0.0);
}

/* A place that water flows over though the pressure is below that of the air, down to vapour (torn); -1: none. */
static int32_t siphon_of(const pw_model *model, const pw_condition *condition, const pw_drive *drive,
                         const double *state, const pw_moment *moment, const delivery *to, double *gauge_pa, bool *torn)
{
    int32_t lowest = -1;
    *gauge_pa = 0.0;
    *torn = false;
    for (int32_t n = 0; n < model->spot_count; n++) {
        const int32_t i = model->spots[n];
        pw_spot spot;
        pw_model_spot(model, condition, drive, state, moment, i, &spot);
        if (to->reach.at[pw_spot_place(model->site, i)] && (spot.siphons || spot.torn) && spot.gauge_pa < *gauge_pa) {
            lowest = i;
            *gauge_pa = spot.gauge_pa;
            *torn = spot.torn;
        }
    }
    return lowest;
}

/* How the water goes, or why it does not. */
static void find_way(const pw_model *model, const pw_condition *condition, const pw_drive *drive, const double *state,
                     const pw_moment *moment, const delivery *to, int32_t pump, pw_duty *out)
{
    const int32_t place = model->site->pumps[pump].to;
    const double here_m = head_at(model, moment, place);
    out->tank = -1;
    out->reach_m = here_m;
    out->vessel = to->vessel >= 0;
    out->summit = pw_model_summit(model, condition, to->reach.at, &out->summit_m);
    if (out->flow_m3s > 0.0) {
        out->way = out->summit >= 0 ? PW_DUTY_OVER : PW_DUTY_FLOWS;
        if (out->summit < 0) {
            bool torn;
            out->summit = siphon_of(model, condition, drive, state, moment, to, &out->summit_pa, &torn);
            out->summit_m = out->summit >= 0 ? level_of(model, out->summit) : -PW_INF;
            out->way = out->summit < 0 ? PW_DUTY_FLOWS : torn ? PW_DUTY_TORN : PW_DUTY_SIPHON;
        }
        return;
    }
    const double store_m =
        to->vessel >= 0 ? head_at(model, moment, model->site->vessels[to->vessel].place) : to->inlet_m;
    if (model->site->pumps[pump].lift_count == 0 && out->npsh_available_m < 0.0) {
        out->way = PW_DUTY_DRY;
    } else if (out->summit >= 0 && out->summit_m > here_m) {
        out->way = PW_DUTY_BLOCKED;
    } else if (store_m < PW_INF && store_m > here_m) {
        out->way = PW_DUTY_LOW;
    } else if (to->vessel < 0 && to->tank >= 0) {
        out->way = PW_DUTY_FULL;
        out->tank = to->tank;
    } else {
        out->way = to->vessel >= 0 ? PW_DUTY_LOW : PW_DUTY_SHUT;
    }
    out->summit = out->way == PW_DUTY_BLOCKED ? out->summit : -1;
}

/* Less than this part of the last flow of its curve is nothing: where a curve is flat, rounding gives as much. */
#define NOTHING 1e-5

pw_status pw_model_duty(const pw_model *model, pw_arena *scratch, int32_t pump, double pressure_pa, pw_duty *out,
                        pw_problems *problems)
{
    const pw_site *site = model->site;
    const int32_t store = model->suctions[pump].store; /* at the far end of its suction lines */
    const int32_t source = store >= 0 ? model->nodes[store].source : model->feeds[pump].source;
    pw_condition condition;
    pw_drive drive = {0};
    double state[PW_MAX_STATES];
    pw_moment moment;
    const size_t mark = pw_arena_mark(scratch);
    pw_warm *warm = pw_warm_new(scratch, model);
    if (warm == NULL) {
        return pw_problem_tell(problems, PW_MEMORY, "", pw_no_fact(), pw_fact_of("input.more-memory"), pw_no_fact());
    }
    pw_condition_healthy(model, &condition);
    pw_model_start(model, pressure_pa, state);
    drive.speed[pump] = 1.0;
    pw_status status = PW_OK;
    const int32_t bore = source >= 0 ? model->state_of_source[source] : -1;
    const double rest = bore >= 0 ? state[bore] : 0.0;
    /* The bore settles where it gives what the pump takes: bisection on its content, falling flow against rising
     * inflow. */
    double low = 0.0;
    double high = rest;
    for (int32_t step = 0; step < 60 && status == PW_OK; step++) {
        status = step == 0 ? pw_model_filled(model, &condition, &drive, state, warm, problems)
                           : pw_model_settle(model, &condition, &drive, state, warm, problems);
        if (status == PW_OK) {
            status = pw_model_moment(model, &condition, &drive, state, warm, &moment, problems);
        }
        if (status != PW_OK || bore < 0) {
            break;
        }
        if (moment.rate_m3s[bore] > 0.0) {
            low = state[bore];
        } else {
            high = state[bore];
        }
        state[bore] = 0.5 * (low + high);
    }
    pw_arena_back(scratch, mark);
    if (status != PW_OK) {
        return status;
    }
    const int32_t place = site->pumps[pump].to;
    const double rest_m = bore >= 0 ? pw_model_bore_m(model, source, rest - state[bore]) : 0.0;
    const double nothing_m3s = NOTHING * site->pumps[pump].curve[site->pumps[pump].point_count - 1].flow_m3s.v;
    const delivery to = delivery_of(model, &moment, place);
    out->flow_m3s = moment.pump_m3s[pump] > nothing_m3s ? moment.pump_m3s[pump] : 0.0;
    out->npsh_available_m = moment.npsh_m[pump];
    find_way(model, &condition, &drive, state, &moment, &to, pump, out);
    out->head_m = moment.pump_head_m[pump];
    out->drawdown_m = rest_m;
    out->suction_m = moment.suction_m[pump];
    out->friction_m = lost_to_store_m(model, &moment, &to, place, out) + out->suction_m;
    out->static_m = moment.pump_head_m[pump] - rest_m - out->friction_m;
    out->pressure_pa = moment.place_pa[place];
    out->shaft_w = moment.shaft_w[pump];
    out->input_w = moment.input_w[pump];
    out->current_a = moment.current_a[pump];
    out->efficiency = pw_pump_efficiency(model->pa_per_m, out->flow_m3s, out->head_m, out->shaft_w);
    out->npsh_required_m = pw_pump_npsh_m(&model->pumps[pump], out->flow_m3s);
    out->kwh_per_m3 = out->flow_m3s > 1e-9 ? pw_energy_kwh_m3(out->input_w, out->flow_m3s) : 0.0;
    return PW_OK;
}
