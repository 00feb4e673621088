/* Questions to a model that need no solution of its network. */
#include <string.h>

#include "base/num.h"
#include "element/bore.h"
#include "element/model_impl.h"
#include "element/motor.h"
#include "element/tank.h"
#include "formula/surge.h"
#include "formula/water.h"
#include "site/topology.h"

double pw_model_table_error(const pw_model *model)
{
    return model->table_error;
}

const pw_site *pw_model_site(const pw_model *model)
{
    return model->site;
}

pw_warm *pw_warm_new(pw_arena *arena, const pw_model *model)
{
    (void)model;
    return PW_NEW(arena, 1, pw_warm);
}

size_t pw_warm_size(void)
{
    return sizeof(pw_warm);
}

void pw_warm_copy(pw_warm *to, const pw_warm *from)
{
    *to = *from;
}

double pw_model_pa_per_m(const pw_model *model)
{
    return model->pa_per_m;
}

bool pw_model_pump_lifts(const pw_model *model, int32_t pump)
{
    return model->feeds[pump].lifts;
}

double pw_model_dry_w(const pw_model *model, int32_t pump)
{
    return model->pumps[pump].dry * pw_pump_rated_w(&model->pumps[pump], 0.0);
}

const pw_motor_data *pw_model_motor(const pw_model *model, int32_t pump)
{
    return &model->pumps[pump].motor;
}

bool pw_model_stalls(const pw_model *model, int32_t pump, double supply)
{
    return pw_motor_stalls(&model->pumps[pump].motor, model->site->supply_v.v, supply);
}

double pw_filter_at_m(const pw_model *model, const pw_condition *condition, int32_t filter)
{
    const double rise = condition->filter_rise[filter] * condition->filter_clogged[filter];
    return model->site->filters[filter].clean_pa.v * pw_min(rise, PW_FILTER_SHUT) / model->pa_per_m;
}

double pw_model_filter_pa(const pw_model *model, const pw_condition *condition, int32_t filter, double flow_m3s)
{
    const pw_filter *made = &model->site->filters[filter];
    return pw_filter_loss(pw_filter_at_m(model, condition, filter) * model->pa_per_m, made->at_m3s.v, made->exponent.v,
                          flow_m3s, NULL);
}

double pw_model_start_part(const pw_model *model, int32_t pump)
{
    return pw_motor_start_part(&model->pumps[pump].motor, &model->cables[pump]);
}

double pw_model_shut_off_pa(const pw_model *model, int32_t pump)
{
    const pw_site *site = model->site;
    const int32_t fed_by = model->feeds[pump].source;
    const double from_m = site->places[site->pumps[pump].from].level_m.v;
    const double to_m = site->places[site->pumps[pump].to].level_m.v;
    double over_m = 0.0;
    if (fed_by >= 0) {
        const pw_source *source = &site->sources[fed_by];
        over_m = source->kind == PW_SOURCE_MAINS ? source->pressure_pa.v / model->pa_per_m : -source->standing_m.v;
    }
    return pw_max(model->pumps[pump].zero_head_m + from_m + over_m - to_m, 0.0) * model->pa_per_m;
}

void pw_model_surge(const pw_model *model, int32_t pump, double velocity_ms, double *surge_pa, double *half_s)
{
    const pw_site *site = model->site;
    const int32_t to = site->pumps[pump].to;
    const int32_t source = model->feeds[pump].source;
    double wave_ms = pw_wave_speed_ms(&model->water, 0.03, 0.003, 1e9, 1.0); /* a rising pipe of polyethylene */
    double length_m =
        source >= 0 && site->sources[source].kind == PW_SOURCE_BORE ? site->sources[source].intake_m.v : 1.0;
    int32_t here[PW_MAX_LINES];
    const int32_t count = pw_lines_at(site, to, here);
    for (int32_t i = 0; i < count; i++) {
        const pw_line *line = &site->lines[here[i]];
        if (line->length_m.v > length_m) {
            length_m = line->length_m.v;
            wave_ms = pw_wave_speed_ms(&model->water, line->bore_m.v, line->wall_m.v, line->modulus_pa.v, 1.0);
        }
    }
    *surge_pa = pw_joukowsky_pa(model->water.density_kgm3, wave_ms, pw_max(velocity_ms, 0.0));
    *half_s = pw_wave_return_s(length_m, wave_ms);
}

const pw_water *pw_model_water(const pw_model *model)
{
    return &model->water;
}

double pw_model_inside_m(const pw_model *model, const pw_condition *condition, int32_t pump, double speed,
                         double flow_m3s)
{
    const pw_pump_now now = pw_pump_now_of(condition, pump, speed, 1.0, false);
    return pw_pump_inside_m(&model->pumps[pump], &now, flow_m3s);
}

pw_casing pw_model_casing(const pw_model *model, int32_t pump)
{
    const pw_site *site = model->site;
    const pw_pump *made = &site->pumps[pump];
    const int32_t source = model->feeds[pump].source;
    const bool in_water =
        source >= 0 && site->sources[source].kind != PW_SOURCE_MAINS && !model->suctions[pump].own_pipe;
    const double holds_m3 = made->casing_m3.given          ? made->casing_m3.v
                            : site->design.casing_m3.given ? site->design.casing_m3.v
                                                           : pw_casing_holds_m3(made->motor.power_w.v);
    const double loss_wk = made->heat_loss_wk.given          ? made->heat_loss_wk.v
                           : site->design.heat_loss_wk.given ? site->design.heat_loss_wk.v
                                                             : pw_casing_loss_wk(holds_m3, in_water);
    return (pw_casing){holds_m3 * model->water.density_kgm3, model->water.cp_jkgk, loss_wk, site->water_c.v};
}

double pw_model_boiling_c(const pw_model *model, double head_m)
{
    return pw_boiling_c(model->atmosphere_pa + pw_max(head_m, 0.0) * model->pa_per_m);
}

/* ---- states ---- */

int32_t pw_model_state_count(const pw_model *model)
{
    return model->state_count;
}

int32_t pw_model_bore_count(const pw_model *model)
{
    return model->bore_count;
}

int32_t pw_model_vessel_state(const pw_model *model, int32_t vessel)
{
    return model->first_state[STORE_VESSEL] + vessel;
}

int32_t pw_model_tank_state(const pw_model *model, int32_t tank)
{
    return model->first_state[STORE_TANK] + tank;
}

static int32_t kind_of(const pw_model *model, int32_t state)
{
    int32_t kind = STORE_KINDS - 1;
    while (state < model->first_state[kind]) {
        kind--;
    }
    return kind;
}

bool pw_model_state_stands(const pw_model *model, int32_t state)
{
    return pw_store_kinds[kind_of(model, state)].holds_m3 == NULL;
}

/* Below its last drop the pressure of a store falls by leaps. */
bool pw_model_runs_empty(const pw_model *model, const double *state)
{
    bool empty = false;
    for (int32_t v = 0; v < model->site->vessel_count; v++) {
        empty = empty || state[model->first_state[STORE_VESSEL] + v] < 0.0;
    }
    for (int32_t e = 0; e < model->elastic_count; e++) {
        empty = empty || (state[model->first_state[STORE_MAIN] + e] < 0.0 &&
                          !pw_elastic_drained(&model->mains[e], state[model->first_state[STORE_MAIN] + e]));
    }
    return empty;
}

double pw_model_state_scale(const pw_model *model, int32_t state)
{
    const int32_t kind = kind_of(model, state);
    return pw_store_kinds[kind].scale_m3(model, state - model->first_state[kind]);
}

void pw_model_start(const pw_model *model, double vessel_pa, double *state)
{
    pw_condition healthy;
    pw_condition_healthy(model, &healthy);
    for (int32_t kind = 0; kind < STORE_KINDS; kind++) {
        for (int32_t i = 0; i < pw_store_kinds[kind].count(model); i++) {
            state[model->first_state[kind] + i] = pw_store_kinds[kind].start_m3(model, &healthy, i, vessel_pa);
        }
    }
}

double pw_model_bore_m(const pw_model *model, int32_t source, double volume_m3)
{
    return pw_bore_over_m(&model->site->sources[source], volume_m3);
}

double pw_model_bore_rest_m3(const pw_model *model, const pw_condition *condition, int32_t source)
{
    return pw_bore_rest_m3(&model->site->sources[source], condition, source);
}

double pw_model_tank_m(const pw_model *model, int32_t tank, double volume_m3)
{
    return pw_tank_water_m(&model->site->tanks[tank], volume_m3);
}

double pw_model_vessel_pa(const pw_model *model, const pw_condition *condition, int32_t vessel, double volume_m3)
{
    return pw_vessel_gauge_pa(&model->vessels[vessel], condition, vessel, volume_m3);
}

double pw_model_vessel_m3(const pw_model *model, const pw_condition *condition, int32_t vessel, double pressure_pa)
{
    return pw_vessel_holds_m3(&model->vessels[vessel], condition, vessel, pressure_pa);
}

void pw_condition_healthy(const pw_model *model, pw_condition *out)
{
    (void)model;
    pw_condition_as_built(out);
}
