/* Storages: the heads that bores, vessels and tanks give to the network, and how their contents change by themselves.
 *
 * States are volumes of water (m3), so that the mass balance is a sum: a bore's casing above the intake, a vessel, a
 * tank.
 */
#include <string.h>

#include "base/num.h"
#include "element/model_impl.h"
#include "formula/bore.h"
#include "formula/friction.h"
#include "formula/tank.h"
#include "formula/vessel.h"

/* The outlet of a tank runs part full over its last 5 cm. */
#define TANK_BAND_M 0.05
/* A pump that lifts too high gives up over the last metre of suction (own choice); a blocked intake keeps this much to
 * suck with. */
#define SUCTION_BAND_M  1.0
#define LEAST_SUCTION_M 0.1
/* Overflow as a broad-crested weir: what matters is that it carries any inflow within a few centimetres. */
#define OVERFLOW_M 0.2

static double casing_m2(const pw_source *source)
{
    return pw_bore_area_m2(source->bore_m.v);
}

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
    return model->bore_count + vessel;
}

int32_t pw_model_tank_state(const pw_model *model, int32_t tank)
{
    return model->bore_count + model->site->vessel_count + tank;
}

static int32_t elastic_state(const pw_model *model, int32_t elastic)
{
    return model->bore_count + model->site->vessel_count + model->site->tank_count + elastic;
}

double pw_model_state_scale(const pw_model *model, int32_t state)
{
    const pw_site *site = model->site;
    int32_t i = state;
    if (i < model->bore_count) {
        int32_t s = 0;
        while (model->state_of_source[s] != i) {
            s++;
        }
        const pw_source *source = &site->sources[s];
        return pw_max(casing_m2(source) * (source->intake_m.v - source->standing_m.v), 1e-3);
    }
    i -= model->bore_count;
    if (i < site->vessel_count) {
        return site->vessels[i].volume_m3.v;
    }
    i -= site->vessel_count;
    return i < site->tank_count
               ? site->tanks[i].area_m2.v * site->tanks[i].depth_m.v
               : 1e6 * model->elastic_m3pa[i - site->tank_count] + model->elastic_m3[i - site->tank_count];
}

/* Gauge pressure of an elastic main: in proportion above 0; below, the column tears and the pressure nears -90 kPa
 * while its pipes run empty; once they are, it falls on, so that no more comes out of nothing. */
static double elastic_pa(const pw_model *model, int32_t elastic, double volume_m3)
{
    const double torn_pa = 90e3;
    const double give = model->elastic_m3pa[elastic];
    if (volume_m3 >= 0.0) {
        return volume_m3 / give;
    }
    const double beyond = pw_min(volume_m3 + model->elastic_m3[elastic], 0.0);
    return -torn_pa * (1.0 - pw_exp(volume_m3 / (give * torn_pa))) + beyond / give;
}

double pw_model_bore_m(const pw_model *model, int32_t source, double volume_m3)
{
    return volume_m3 / casing_m2(&model->site->sources[source]);
}

double pw_model_tank_m(const pw_model *model, int32_t tank, double volume_m3)
{
    return pw_tank_depth_m(model->site->tanks[tank].area_m2.v, volume_m3);
}

static double air_of(const pw_model *model, const pw_condition *condition, int32_t vessel)
{
    return pw_max(condition->vessel_air[vessel], model->vessel_elastic[vessel]);
}

static double gas_formula(const pw_model *model, int32_t vessel, double air, double extra_pa, double volume_m3,
                          double *slope)
{
    const pw_vessel *made = &model->site->vessels[vessel];
    return pw_vessel_pa(made->volume_m3.v, made->precharge_pa.v + extra_pa, made->polytropic.v, air,
                        model->atmosphere_pa, volume_m3, slope);
}

/* Absolute pressure of a healthy charge against the filling, cubic Hermite in PW_GAS_PARTS parts. Less air scales it:
 * the same gas law for a smaller amount, air^n. */
static double gas_table(const double *table, double filling)
{
    const double width = PW_GAS_MOST / (double)PW_GAS_PARTS;
    const double place = filling / width;
    const int32_t i = (int32_t)place;
    const double t = place - (double)i;
    const double *at = table + 2 * i;
    const double rise = at[2] - at[0];
    const double s0 = at[1] * width;
    const double s1 = at[3] * width;
    return at[0] + t * (s0 + t * (3.0 * rise - 2.0 * s0 - s1 + t * (s0 + s1 - 2.0 * rise)));
}

double pw_model_vessel_pa(const pw_model *model, const pw_condition *condition, int32_t vessel, double volume_m3)
{
    const double air = air_of(model, condition, vessel);
    const double extra = condition->vessel_extra_pa[vessel];
    const double filling = volume_m3 / model->site->vessels[vessel].volume_m3.v;
    if (model->vessel_gas[vessel] != NULL && filling >= 0.0 && filling < PW_GAS_MOST) {
        const pw_vessel *made = &model->site->vessels[vessel];
        const double charge = made->precharge_pa.v + model->atmosphere_pa;
        return pw_vessel_pressure_part(air, made->polytropic.v, charge, extra) *
                   gas_table(model->vessel_gas[vessel], filling) -
               model->atmosphere_pa;
    }
    return gas_formula(model, vessel, air, extra, volume_m3, NULL);
}

pw_status pw_store_tables(pw_arena *arena, pw_model *model)
{
    for (int32_t v = 0; v < model->site->vessel_count; v++) {
        const double volume = model->site->vessels[v].volume_m3.v;
        double *table = PW_NEW(arena, 2 * (PW_GAS_PARTS + 1), double);
        if (table == NULL) {
            return PW_MEMORY;
        }
        for (int32_t i = 0; i <= PW_GAS_PARTS; i++) {
            const double filling = PW_GAS_MOST * (double)i / (double)PW_GAS_PARTS;
            double slope;
            table[2 * i] = gas_formula(model, v, 1.0, 0.0, filling * volume, &slope) + model->atmosphere_pa;
            table[2 * i + 1] = slope * volume;
        }
        for (int32_t i = 0; i < PW_GAS_PARTS; i++) { /* between the points */
            const double filling = PW_GAS_MOST * ((double)i + 0.5) / (double)PW_GAS_PARTS;
            const double exact = gas_formula(model, v, 1.0, 0.0, filling * volume, NULL) + model->atmosphere_pa;
            model->table_error = pw_max(model->table_error, pw_abs(gas_table(table, filling) - exact) / exact);
        }
        model->vessel_gas[v] = table;
    }
    return PW_OK;
}

double pw_model_vessel_m3(const pw_model *model, const pw_condition *condition, int32_t vessel, double pressure_pa)
{
    const pw_vessel *made = &model->site->vessels[vessel];
    const double charge_pa = made->precharge_pa.v + condition->vessel_extra_pa[vessel];
    return pw_vessel_water_m3(made->volume_m3.v, charge_pa, made->polytropic.v, air_of(model, condition, vessel),
                              model->atmosphere_pa, pressure_pa);
}

void pw_condition_healthy(const pw_model *model, pw_condition *out)
{
    (void)model;
    memset(out, 0, sizeof *out);
    for (int32_t i = 0; i < PW_MAX_SOURCES; i++) {
        out->source_yield[i] = 1.0;
    }
    for (int32_t i = 0; i < PW_MAX_VESSELS; i++) {
        out->vessel_air[i] = 1.0;
    }
    for (int32_t i = 0; i < PW_MAX_TANKS; i++) {
        out->float_most[i] = 1.0;
    }
    for (int32_t i = 0; i < PW_MAX_LINES; i++) {
        out->line_open[i] = 1.0;
        out->line_friction[i] = 1.0;
    }
    for (int32_t i = 0; i < PW_MAX_PUMPS; i++) {
        out->pump_open[i] = 1.0;
        out->pump_intake[i] = 1.0;
        out->pump_head[i] = 1.0;
        out->pump_flow[i] = 1.0;
        out->pump_load[i] = 1.0;
        out->pump_speed[i] = 1.0;
        out->pump_amps[i] = 1.0;
        out->sag[i] = 1.0;
    }
    out->supply = 1.0;
}

double pw_model_bore_rest_m3(const pw_model *model, const pw_condition *condition, int32_t source)
{
    const pw_source *made = &model->site->sources[source];
    const double standing_m = made->standing_m.v + condition->source_fall_m[source];
    return casing_m2(made) * (made->intake_m.v - standing_m);
}

void pw_model_start(const pw_model *model, double vessel_pa, double *state)
{
    const pw_site *site = model->site;
    pw_condition healthy;
    pw_condition_healthy(model, &healthy);
    for (int32_t s = 0; s < site->source_count; s++) {
        if (model->state_of_source[s] >= 0) {
            state[model->state_of_source[s]] = pw_max(pw_model_bore_rest_m3(model, &healthy, s), 0.0);
        }
    }
    for (int32_t v = 0; v < site->vessel_count; v++) {
        state[model->bore_count + v] = pw_model_vessel_m3(model, &healthy, v, vessel_pa);
    }
    for (int32_t t = 0; t < site->tank_count; t++) {
        state[model->bore_count + site->vessel_count + t] = site->tanks[t].start_m.v * site->tanks[t].area_m2.v;
    }
    for (int32_t e = 0; e < model->elastic_count; e++) {
        state[elastic_state(model, e)] = model->elastic_m3pa[e] * vessel_pa;
    }
}

double pw_store_bore_inflow(const pw_model *model, const pw_condition *condition, int32_t source, double volume_m3)
{
    const pw_source *made = &model->site->sources[source];
    const double part = condition->source_yield[source];
    const double over = pw_model_bore_m(model, source, volume_m3);
    const double drawdown = made->intake_m.v - (made->standing_m.v + condition->source_fall_m[source]) - over;
    if (part <= 0.0) {
        return 0.0;
    }
    return pw_bore_inflow_m3s(drawdown, part * made->capacity_m2s.v, part * made->yield_m3s.v, NULL);
}

double pw_store_spill(const pw_model *model, int32_t tank, double volume_m3)
{
    const double over = pw_model_tank_m(model, tank, volume_m3) - model->site->tanks[tank].depth_m.v;
    return pw_weir_m3s(OVERFLOW_M, over);
}

/* Head of a source's water, and how much of the intake it covers. */
static double source_head(const pw_model *model, const pw_condition *condition, int32_t s, const double *state,
                          double *wet)
{
    const pw_source *source = &model->site->sources[s];
    const double place_m = model->site->places[source->place].level_m.v;
    const double part = condition->source_yield[s];
    *wet = 1.0;
    if (source->kind == PW_SOURCE_MAINS) { /* a main that fails gives no more over its last centimetres of pressure */
        const double over = part * source->pressure_pa.v / model->pa_per_m;
        *wet = part < 1.0 ? pw_intake_wet(over, PW_INTAKE_COVER_M, NULL) : 1.0;
        return place_m + over;
    }
    if (source->kind == PW_SOURCE_OPEN) {
        /* An open water that runs dry falls towards the intake: the covered height scales with what is left. */
        const double standing_m = source->standing_m.v + condition->source_fall_m[s];
        const double over =
            part * pw_max(source->intake_m.v - standing_m, condition->source_fall_m[s] > 0.0 ? 0.0 : PW_INTAKE_COVER_M);
        *wet = pw_intake_wet(over, PW_INTAKE_COVER_M, NULL);
        return place_m - source->intake_m.v + over;
    }
    const double over = pw_model_bore_m(model, s, state[model->state_of_source[s]]);
    *wet = pw_intake_wet(over, PW_INTAKE_COVER_M, NULL);
    return place_m - source->intake_m.v + over;
}

static double node_head(const pw_model *model, const pw_condition *condition, int32_t n, const double *state)
{
    const pw_node *at = &model->nodes[n];
    if (at->vessel >= 0) {
        const double water = state[model->bore_count + at->vessel];
        return at->level_m + pw_model_vessel_pa(model, condition, at->vessel, water) / model->pa_per_m;
    }
    if (at->elastic >= 0) {
        return at->level_m + elastic_pa(model, at->elastic, state[elastic_state(model, at->elastic)]) / model->pa_per_m;
    }
    if (at->tank >= 0 && !at->inlet) {
        return at->level_m +
               pw_model_tank_m(model, at->tank, state[model->bore_count + model->site->vessel_count + at->tank]);
    }
    return at->level_m;
}

/* What a pump can still suck with: air pressure and the water above it, less vapour pressure and what the pump itself
 * needs. Worked out only where a fault makes it matter: a blocked intake, or a water level that has fallen under a
 * pump that lifts. */
static void suction(const pw_model *model, const pw_condition *condition, int32_t p, setting *out)
{
    const pump_law *law = &model->pumps[p];
    const bool lifts = law->lifts && condition->source_fall_m[law->source] > 0.0;
    if (condition->pump_empty[p]) {
        out->pump_wet[p] = 0.0;
    }
    if (condition->pump_intake[p] >= 1.0 && !lifts) {
        return;
    }
    const int32_t place = model->site->pumps[p].from;
    double eye_m = model->site->places[place].level_m.v;
    if (law->source >= 0 && !law->lifts) {
        eye_m -= model->site->sources[law->source].intake_m.v; /* it hangs in the water */
    }
    const double over_m = model->nodes[place].unknown < 0 ? out->given_head_m[place] - eye_m : 0.0;
    const double left_m =
        pw_npsh_available_m(model->atmosphere_pa, model->water.vapour_pa, model->water.density_kgm3, over_m, 0.0) -
        law->needs_m;
    out->suction_m[p] = pw_max(left_m, LEAST_SUCTION_M);
    if (lifts) {
        out->pump_wet[p] *= pw_intake_wet(left_m, SUCTION_BAND_M, NULL);
    }
}

void pw_store_setting(const pw_model *model, const pw_condition *condition, const pw_drive *drive, const double *state,
                      setting *out)
{
    const pw_site *site = model->site;
    out->condition = condition;
    out->drive = drive;
    for (int32_t n = 0; n < model->node_count; n++) {
        const pw_node *at = &model->nodes[n];
        if (at->unknown >= 0) {
            continue;
        }
        out->given_head_m[n] = at->source >= 0
                                   ? source_head(model, condition, at->source, state, &out->source_wet[at->source])
                                   : node_head(model, condition, n, state);
    }
    for (int32_t t = 0; t < site->tank_count; t++) {
        const pw_tank *tank = &site->tanks[t];
        const double depth = pw_model_tank_m(model, t, state[model->bore_count + site->vessel_count + t]);
        out->tank_wet[t] = pw_intake_wet(depth, TANK_BAND_M, NULL);
        out->float_open[t] = tank->float_valve ? pw_float_opening(depth, tank->closes_m.v, tank->band_m.v,
                                                                  condition->float_passing[t], NULL)
                                               : 1.0;
        out->float_open[t] = pw_min(out->float_open[t], condition->float_most[t]);
    }
    for (int32_t p = 0; p < site->pump_count; p++) {
        out->pump_wet[p] = pw_feeds_wet(&model->pumps[p], out);
        suction(model, condition, p, out);
    }
}
