/* One moment: solve the network, then everything that follows from its flows and heads. */
#include "base/num.h"
#include "element/model_impl.h"
#include "formula/vessel.h"

/* Power factor of a motor that does not turn: its rotor is a short circuit (0.5 to 0.8 in handbooks, from memory). */
#define STALLED_FACTOR 0.6

static void pump_load(const pw_model *model, const pw_condition *condition, int32_t i, double drive_speed,
                      pw_moment *out)
{
    const pump_law *law = &model->pumps[i];
    out->shaft_w[i] = 0.0;
    out->input_w[i] = 0.0;
    out->current_a[i] = 0.0;
    if (!(drive_speed > 0.0)) {
        return;
    }
    const double volts = model->site->supply_v.v * condition->supply;
    if (condition->stalled[i]) {
        const double factor = law->motor.phases == 0 ? 1.0 : STALLED_FACTOR;
        const double part = condition->phase_lost ? pw_motor_single_phased_standing() : 1.0;
        out->current_a[i] = pw_motor_start_a(&law->motor, volts) * part;
        out->input_w[i] = pw_apparent_va(law->motor.phases, volts, out->current_a[i]) * factor;
        return;
    }
    const double part_speed = condition->pump_speed[i] * drive_speed;
    /* A pump sucking air moves less water: its hydraulic power falls with the wetness, its losses stay. */
    const double part = (PW_DRY_POWER + (1.0 - PW_DRY_POWER) * out->pump_wet[i]) * condition->pump_load[i];
    const double flow = out->pump_m3s[i] / condition->pump_flow[i];
    const double most_m3s = pw_affinity_flow_m3s(law->most_m3s, part_speed);
    out->shaft_w[i] = part * pw_pump_shaft_w(&law->power, law->speed * part_speed, flow, most_m3s);
    pw_motor_load(&law->motor, out->shaft_w[i], volts, &out->input_w[i], &out->current_a[i], NULL, NULL);
    out->current_a[i] *= condition->pump_amps[i];
}

/* What is taken at each place. The network balances to 1e-10 of its flow; that last bit goes to an outlet or leak of
 * the place, so that what leaves is what arrives to the last digit and sums over a year do not drift. */
static void taken_at(const pw_model *model, const setting *at, const double *head_m, double *sum, pw_moment *out)
{
    const pw_site *site = model->site;
    double *rest[PW_MAX_NODES] = {NULL};
    double slope;
    for (int32_t o = 0; o < site->outlet_count; o++) {
        const int32_t place = site->outlets[o].place;
        out->outlet_m3s[o] = pw_law_outlet(model, o, at->drive->draw_m3s[o], head_m[place], &slope);
        sum[place] -= out->outlet_m3s[o];
        rest[place] = out->outlet_m3s[o] > 0.0 ? &out->outlet_m3s[o] : rest[place];
    }
    for (int32_t l = 0; l < at->condition->leak_count; l++) {
        const int32_t place = at->condition->leaks[l].place;
        out->leak_m3s[l] = pw_law_leak(model, &at->condition->leaks[l], head_m[place], &slope);
        sum[place] -= out->leak_m3s[l];
        rest[place] = pw_abs(out->leak_m3s[l]) > 0.0 ? &out->leak_m3s[l] : rest[place];
    }
    for (int32_t n = 0; n < site->place_count; n++) {
        if (rest[n] != NULL && model->nodes[n].unknown >= 0) {
            *rest[n] += sum[n];
            sum[n] = 0.0;
        }
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
    for (int32_t e = 0; e < model->elastic_count; e++) {
        out->rate_m3s[model->bore_count + site->vessel_count + site->tank_count + e] = sum[model->elastic_place[e]];
    }
}

static pw_status unsettled(const pw_model *model, const solution *solved, pw_problems *problems)
{
    const int32_t place = solved->worst < model->site->place_count
                              ? solved->worst
                              : model->site->tanks[model->nodes[solved->worst].tank].place;
    return pw_problem_add(problems, PW_NO_SOLUTION, "places", model->site->places[place].name,
                          "pressures that settle: look at the lines and valves around this place", "");
}

pw_status pw_model_moment(const pw_model *model, const pw_condition *condition, const pw_drive *drive,
                          const double *state, pw_warm *warm, pw_moment *out, pw_problems *problems)
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
        /* an empty main, or a place that no water reaches: never below a torn column */
        out->place_pa[p] = pw_max((solved.head_m[p] - model->nodes[p].level_m) * model->pa_per_m, -90e3);
    }
    for (int32_t l = 0; l < site->line_count; l++) {
        out->line_m3s[l] = solved.flow_m3s[l];
    }
    for (int32_t p = 0; p < site->pump_count; p++) {
        const int32_t link = site->line_count + p;
        out->pump_m3s[p] = solved.flow_m3s[link];
        out->pump_head_m[p] = solved.head_m[model->links[link].to] - solved.head_m[model->links[link].from];
        out->pump_wet[p] = at.pump_wet[p];
        pump_load(model, condition, p, drive->speed[p], out);
    }
    taken_at(model, &at, solved.head_m, sum, out);
    storage_rates(model, condition, state, sum, out);
    return PW_OK;
}
