/* One moment: solve the network, then everything that follows from its flows and heads. */
#include "base/num.h"
#include "model/model_impl.h"
#include "water/vessel.h"

static void pump_load(const pw_model *model, int32_t i, bool runs, pw_moment *out)
{
    const pump_law *law = &model->pumps[i];
    out->shaft_w[i] = 0.0;
    out->input_w[i] = 0.0;
    out->current_a[i] = 0.0;
    if (!runs) {
        return;
    }
    const double speed = law->speed;
    const double cube = speed * speed * speed;
    const double flow = pw_clamp(out->pump_m3s[i] / speed, 0.0, 1.3 * law->most_m3s / speed);
    /* A pump sucking air moves less water: its hydraulic power falls with the wetness, its losses stay (own choice). */
    const double part = 0.35 + 0.65 * out->pump_wet[i];
    out->shaft_w[i] = pw_max(part * cube * pw_curve_at(&law->power, flow, NULL), 0.0);
    pw_motor_load(&law->motor, out->shaft_w[i], model->site->supply_v.v, &out->input_w[i], &out->current_a[i], NULL, NULL);
}

static void taken_at(const pw_model *model, const setting *at, const double *head_m, double *sum, pw_moment *out)
{
    const pw_site *site = model->site;
    double slope;
    for (int32_t o = 0; o < site->outlet_count; o++) {
        const int32_t place = site->outlets[o].place;
        out->outlet_m3s[o] = pw_law_outlet(model, o, at->drive->draw_m3s[o], head_m[place], &slope);
        sum[place] -= out->outlet_m3s[o];
    }
    for (int32_t l = 0; l < at->condition->leak_count; l++) {
        const int32_t place = at->condition->leaks[l].place;
        out->leak_m3s[l] = pw_law_leak(model, &at->condition->leaks[l], head_m[place], &slope);
        sum[place] -= out->leak_m3s[l];
    }
}

static void storage_rates(const pw_model *model, const pw_condition *condition, const double *state, const double *sum,
                          pw_moment *out)
{
    const pw_site *site = model->site;
    for (int32_t s = 0; s < site->source_count; s++) {
        const double drawn = -sum[site->sources[s].place];
        const int32_t number = model->state_of_source[s];
        if (number >= 0) {
            out->source_m3s[s] = pw_store_bore_inflow(model, condition, s, state[number]);
            out->rate_m3s[number] = out->source_m3s[s] - drawn;
        } else {
            out->source_m3s[s] = drawn;
        }
    }
    for (int32_t v = 0; v < site->vessel_count; v++) {
        out->rate_m3s[model->bore_count + v] = sum[site->vessels[v].place];
    }
    for (int32_t t = 0; t < site->tank_count; t++) {
        const int32_t number = model->bore_count + site->vessel_count + t;
        out->spill_m3s[t] = pw_store_spill(model, t, state[number]);
        out->rate_m3s[number] = sum[site->tanks[t].place] + sum[site->place_count + t] - out->spill_m3s[t];
    }
}

static pw_status unsettled(const pw_model *model, const solution *solved, pw_problems *problems)
{
    const int32_t place = solved->worst < model->site->place_count ? solved->worst
                                                                   : model->site->tanks[model->nodes[solved->worst].tank].place;
    return pw_problem_add(problems, PW_NO_SOLUTION, "places", model->site->places[place].name,
                          "pressures that settle: look at the lines and valves around this place", "");
}

pw_status pw_model_moment(const pw_model *model, const pw_condition *condition, const pw_drive *drive, const double *state,
                          pw_warm *warm, pw_moment *out, pw_problems *problems)
{
    const pw_site *site = model->site;
    setting at;
    solution solved;
    double sum[PW_MAX_NODES];
    pw_store_setting(model, condition, drive, state, &at);
    const pw_status status = pw_network_solve(model, &at, warm, &solved);
    if (status != PW_OK) {
        return unsettled(model, &solved, problems);
    }
    out->imbalance_m3s = solved.imbalance_m3s;
    out->iterations = solved.iterations;
    for (int32_t n = 0; n < model->node_count; n++) {
        sum[n] = 0.0;
    }
    for (int32_t l = 0; l < model->link_count; l++) {
        sum[model->links[l].from] -= solved.flow_m3s[l];
        sum[model->links[l].to] += solved.flow_m3s[l];
    }
    for (int32_t p = 0; p < site->place_count; p++) {
        out->place_pa[p] = (solved.head_m[p] - model->nodes[p].level_m) * model->pa_per_m;
    }
    for (int32_t l = 0; l < site->line_count; l++) {
        out->line_m3s[l] = solved.flow_m3s[l];
    }
    for (int32_t p = 0; p < site->pump_count; p++) {
        const int32_t link = site->line_count + p;
        out->pump_m3s[p] = solved.flow_m3s[link];
        out->pump_head_m[p] = solved.head_m[model->links[link].to] - solved.head_m[model->links[link].from];
        out->pump_wet[p] = at.pump_wet[p];
        pump_load(model, p, drive->run[p], out);
    }
    taken_at(model, &at, solved.head_m, sum, out);
    storage_rates(model, condition, state, sum, out);
    return PW_OK;
}

pw_status pw_model_duty(const pw_model *model, pw_arena *scratch, int32_t pump, double pressure_pa, pw_duty *out,
                        pw_problems *problems)
{
    const pw_site *site = model->site;
    const pump_law *law = &model->pumps[pump];
    pw_condition condition;
    pw_drive drive = {{false}, {0}};
    double state[PW_MAX_STATES];
    pw_moment moment;
    const size_t mark = pw_arena_mark(scratch);
    pw_warm *warm = pw_warm_new(scratch, model);
    if (warm == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", "the duty point", "more memory for the core", "");
    }
    pw_condition_healthy(model, &condition);
    pw_model_start(model, pressure_pa, state);
    drive.run[pump] = true;
    pw_status status = PW_OK;
    const int32_t bore = law->source >= 0 ? model->state_of_source[law->source] : -1;
    const double rest = bore >= 0 ? state[bore] : 0.0;
    /* The bore settles where it gives what the pump takes: bisection on its content, falling flow against rising inflow. */
    double low = 0.0;
    double high = rest;
    for (int32_t step = 0; step < 60 && status == PW_OK; step++) {
        status = pw_model_moment(model, &condition, &drive, state, warm, &moment, problems);
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
    const double place_head = moment.place_pa[site->pumps[pump].to] / model->pa_per_m;
    const double rest_m = bore >= 0 ? pw_model_bore_m(model, law->source, rest - state[bore]) : 0.0;
    out->flow_m3s = moment.pump_m3s[pump];
    out->head_m = moment.pump_head_m[pump];
    out->drawdown_m = rest_m;
    out->static_m = moment.pump_head_m[pump] - rest_m;
    out->pressure_pa = place_head * model->pa_per_m;
    out->shaft_w = moment.shaft_w[pump];
    out->input_w = moment.input_w[pump];
    out->current_a = moment.current_a[pump];
    out->efficiency = out->shaft_w > 0.0 ? model->pa_per_m * out->flow_m3s * out->head_m / out->shaft_w : 0.0;
    const double inlet_pa = moment.place_pa[site->pumps[pump].from];
    const double over = law->source >= 0 && site->sources[law->source].kind == PW_SOURCE_BORE
                            ? pw_model_bore_m(model, law->source, state[bore])
                            : inlet_pa / model->pa_per_m;
    out->npsh_available_m = (model->atmosphere_pa - model->water.vapour_pa) / model->pa_per_m + over;
    out->npsh_required_m = law->npsh.n > 0 ? pw_curve_within(&law->npsh, out->flow_m3s) : -1.0;
    out->kwh_per_m3 = out->flow_m3s > 1e-9 ? out->input_w / out->flow_m3s / 3.6e6 : 0.0;
    return PW_OK;
}
