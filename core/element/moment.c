/* One moment: solve the network, then everything that follows from its flows and heads. */
#include "base/num.h"
#include "element/model_impl.h"
#include "element/motor.h"
#include "element/supply.h"
#include "element/valve.h"
#include "formula/pump.h"

#define OVER_BORE_PA (-90e3) /* told of the air over a bore's water; nothing hangs on it */

static void pump_load(const pw_model *model, const setting *at, int32_t i, pw_moment *out)
{
    const pw_pump_law *law = &model->pumps[i];
    out->shaft_w[i] = 0.0;
    out->input_w[i] = 0.0;
    out->current_a[i] = 0.0;
    if (!(at->drive->speed[i] > 0.0)) {
        return;
    }
    if (!at->condition->stalled[i]) {
        out->shaft_w[i] = pw_pump_load_w(law, &at->pumps[i], at->condition->pump_load[i], out->pump_m3s[i]);
    }
    pw_motor_draw(&law->motor, &model->cables[i], at->condition, i, model->site->supply_v.v, out->shaft_w[i],
                  &out->input_w[i], &out->current_a[i]);
}

/* How its suction stands: by the head at the place that it draws from, whatever way the water came there. */
static void suction_of(const pw_model *model, const setting *at, const double *head_m, int32_t p, pw_moment *out)
{
    const pw_suction_law *law = &model->suctions[p];
    const pw_pump_law *pump = &model->pumps[p];
    const double speed = at->pumps[p].speed;
    const double from_m = head_m[model->site->pumps[p].from];
    double own_m;
    double slope;
    pw_suction_pipe(model, p, out->pump_m3s[p], &own_m, &slope);
    out->pump_head_m[p] += own_m;
    out->npsh_m[p] = 0.0;
    out->npsh_needs_m[p] = 0.0;
    out->pump_keeps[p] = 1.0;
    out->suction_m[p] = 0.0;
    const double flow = pw_max(out->pump_m3s[p], 0.0);
    if (!at->pumps[p].turns) {
        return;
    }
    pw_pump_now now = at->pumps[p];
    double intake_m = 0.0;
    if (now.intake < 1.0 && !pw_valve_shut(now.intake)) {
        pw_add_square(pw_gate_k_s2m5(pump->throttle_k, now.intake), flow, &intake_m, &slope);
    }
    const double needs_m = pw_pump_npsh_m(pump, flow / pw_max(speed, 1e-3));
    now.available_m = pw_suction_rest_m(model, p, from_m) - own_m - intake_m;
    out->npsh_m[p] = now.available_m;
    out->npsh_needs_m[p] = pw_affinity_head_m(needs_m < 0.0 ? law->assumed_m : needs_m, speed);
    out->pump_keeps[p] = pw_pump_keeps(pump, &now, flow, NULL);
    const bool known = law->store >= 0;
    out->suction_m[p] = own_m + (known ? pw_max(head_m[law->store] - from_m, 0.0) : 0.0);
}

/* What is taken at each place. The network balances to 1e-10 of its flow; that last bit goes to an outlet or leak of
 * the place, so that what leaves is what arrives to the last digit and sums over a year do not drift. */
static void taken_at(const pw_model *model, const setting *at, const double *head_m, double *sum, pw_moment *out)
{
    const pw_site *site = model->site;
    double *rest[PW_MAX_NODES] = {NULL};
    double slope;
    for (int32_t o = 0; o < site->outlet_count; o++) {
        out->outlet_m3s[o] = 0.0;
    }
    for (int32_t i = 0; i < at->taker_count; i++) {
        const taker *who = &at->takers[i];
        double *told = who->outlet != NULL ? &out->outlet_m3s[who->outlet - site->outlets]
                                           : &out->leak_m3s[who->leak - at->condition->leaks];
        *told = pw_taker_m3s(model, who, head_m[who->place], &slope);
        sum[who->place] -= *told;
        rest[who->place] = pw_abs(*told) > 0.0 ? told : rest[who->place];
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
    for (int32_t kind = 0; kind < STORE_KINDS; kind++) {
        const store_kind *store = &pw_store_kinds[kind];
        for (int32_t i = 0; i < store->count(model); i++) {
            const int32_t number = model->first_state[kind] + i;
            double gains_m3s = sum[store->node(model, i)];
            gains_m3s += store->inlet != NULL ? sum[store->inlet(model, i)] : 0.0;
            gains_m3s += store->gains_m3s != NULL ? store->gains_m3s(model, condition, i, state[number], out) : 0.0;
            out->rate_m3s[number] = gains_m3s;
        }
    }
    for (int32_t s = 0; s < model->site->source_count; s++) {
        if (model->state_of_source[s] < 0) {
            out->source_m3s[s] = -sum[model->site->sources[s].place];
        }
    }
}

static pw_status unsettled(const pw_model *model, const solution *solved, pw_problems *problems)
{
    const pw_node *node = &model->nodes[solved->worst];
    const int32_t place = solved->worst < model->site->place_count ? solved->worst
                          : node->tank >= 0                        ? model->site->tanks[node->tank].place
                                                                   : model->site->lines[node->line].to; /* high point */
    return pw_problem_tell(problems, PW_NO_SOLUTION, "places", pw_verbatim(model->site->places[place].name),
                           pw_fact_of("input.pressures-settle"), pw_no_fact());
}

pw_status pw_moment_at(const pw_model *model, const pw_condition *condition, const pw_drive *drive, const double *state,
                       pw_warm *warm, pw_moment *out, pw_problems *problems)
{
    const pw_site *site = model->site;
    setting at;
    solution solved;
    double sum[PW_MAX_NODES];
    pw_setting_of(model, condition, drive, state, &at);
    const pw_model *network = drive->ahead_s > 0.0 ? model->ahead : model;
    const pw_status status = pw_network_solve(network, &at, warm, &solved);
    if (status != PW_OK) {
        return unsettled(model, &solved, problems);
    }
    out->driven = 1.0;
    out->supply = condition->supply;
    out->frequency = 1.0;
    out->battery_a = 0.0;
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
        const pw_node *here = &model->nodes[p];
        out->place_pa[p] = (solved.head_m[p] - here->level_m) * model->pa_per_m;
        /* the pipe in a well, whose pressure nobody computes; a vessel or main that has run empty, whose law falls on
         * so that it ends the flow: vapour stays */
        if (here->pushed_m > 0.0 || here->vessel >= 0 || here->elastic >= 0) {
            out->place_pa[p] = pw_max(out->place_pa[p], model->torn_pa);
        }
        if (here->source >= 0 &&
            model->state_of_source[here->source] >= 0) { /* a bore's place is over its water, not in it */
            out->place_pa[p] = pw_max(out->place_pa[p], OVER_BORE_PA);
        }
    }
    for (int32_t e = 0; e < model->elastic_count; e++) { /* an empty pipe that is open to the air */
        double *empty_pa = &out->place_pa[model->elastic_place[e]];
        *empty_pa = model->mains[e].column.top_pa > 0.0 ? pw_max(*empty_pa, 0.0) : *empty_pa;
    }
    for (int32_t h = 0; h < model->high_count; h++) {
        const int32_t n = pw_high_node(model, h);
        out->high_pa[h] = (solved.head_m[n] - model->nodes[n].level_m) * model->pa_per_m;
        if (model->nodes[n].pushed_m > 0.0) {
            out->high_pa[h] = pw_max(out->high_pa[h], model->torn_pa);
        }
    }
    for (int32_t link = 0; link < model->link_count; link++) {
        const int32_t p = model->links[link].item;
        if (model->links[link].kind == LINK_LINE) {
            out->line_m3s[p] = model->links[link].first ? solved.flow_m3s[link] : out->line_m3s[p];
            continue;
        }
        out->pump_m3s[p] = solved.flow_m3s[link];
        out->pump_head_m[p] = solved.head_m[model->links[link].to] - solved.head_m[model->links[link].from];
        out->pump_wet[p] = pw_pump_filled(&model->pumps[p], &at.pumps[p], out->pump_m3s[p]);
        suction_of(model, &at, solved.head_m, p, out);
        pump_load(model, &at, p, out);
    }
    taken_at(model, &at, solved.head_m, sum, out);
    storage_rates(model, condition, state, sum, out);
    return PW_OK;
}

pw_status pw_model_moment(const pw_model *model, const pw_condition *condition, const pw_drive *drive,
                          const double *state, pw_warm *warm, pw_moment *out, pw_problems *problems)
{
    const bool gives_way = pw_supply_gives_way(model->site);
    bool any = false;
    for (int32_t p = 0; p < model->site->pump_count && (gives_way || condition->power_w < PW_INF); p++) {
        any = any || (drive->speed[p] > 0.0 && !drive->asks[p]);
    }
    if (any) {
        return pw_supply_moment(model, condition, drive, state, warm, out, problems);
    }
    const pw_status status = pw_moment_at(model, condition, drive, state, warm, out, problems);
    if (gives_way) {
        pw_supply_rest(model, condition, out);
    }
    return status;
}
