/* Storages: the heads that bores, vessels and tanks give to the network, and how their contents change by themselves.
 *
 * States are volumes of water (m3), so that the mass balance is a sum: a bore's casing above the intake, a vessel, a tank.
 */
#include "base/num.h"
#include "model/model_impl.h"
#include "water/bore.h"
#include "water/tank.h"
#include "water/vessel.h"

/* The intake takes in air over the last 0.3 m above it (vortex; common practice, no source). */
#define INTAKE_BAND_M 0.3
/* The outlet of a tank runs part full over its last 5 cm. */
#define TANK_BAND_M 0.05
/* Overflow as a broad-crested weir 0.2 m wide, q = 1.7 b h^1.5 (handbook coefficient, from memory): what matters is that it
 * carries any inflow within a few centimetres. */
#define WEIR_M2S (1.7 * 0.2)

static double casing_m2(const pw_source *source)
{
    return 0.25 * PW_PI * source->bore_m.v * source->bore_m.v;
}

int32_t pw_model_state_count(const pw_model *model)
{
    return model->state_count;
}

double pw_model_bore_m(const pw_model *model, int32_t source, double volume_m3)
{
    return volume_m3 / casing_m2(&model->site->sources[source]);
}

double pw_model_tank_m(const pw_model *model, int32_t tank, double volume_m3)
{
    return volume_m3 / model->site->tanks[tank].area_m2.v;
}

static double air_of(const pw_model *model, const pw_condition *condition, int32_t vessel)
{
    return pw_max(condition->vessel_air[vessel], model->vessel_elastic[vessel]);
}

double pw_model_vessel_pa(const pw_model *model, const pw_condition *condition, int32_t vessel, double volume_m3)
{
    const pw_vessel *made = &model->site->vessels[vessel];
    return pw_vessel_pa(made->volume_m3.v, made->precharge_pa.v, made->polytropic.v, air_of(model, condition, vessel),
                        model->atmosphere_pa, volume_m3, NULL);
}

double pw_model_vessel_m3(const pw_model *model, const pw_condition *condition, int32_t vessel, double pressure_pa)
{
    const pw_vessel *made = &model->site->vessels[vessel];
    return pw_vessel_water_m3(made->volume_m3.v, made->precharge_pa.v, made->polytropic.v, air_of(model, condition, vessel),
                              model->atmosphere_pa, pressure_pa);
}

void pw_condition_healthy(const pw_model *model, pw_condition *out)
{
    (void)model;
    out->leak_count = 0;
    for (int32_t i = 0; i < PW_MAX_LEAKS; i++) {
        out->leaks[i].place = 0;
        out->leaks[i].area_m2 = 0.0;
    }
    for (int32_t i = 0; i < PW_MAX_SOURCES; i++) {
        out->source_yield[i] = 1.0;
    }
    for (int32_t i = 0; i < PW_MAX_VESSELS; i++) {
        out->vessel_air[i] = 1.0;
    }
    for (int32_t i = 0; i < PW_MAX_TANKS; i++) {
        out->float_passing[i] = 0.0;
    }
    for (int32_t i = 0; i < PW_MAX_LINES; i++) {
        out->line_open[i] = 1.0;
    }
    for (int32_t i = 0; i < PW_MAX_PUMPS; i++) {
        out->pump_open[i] = 1.0;
        out->welded[i] = false;
    }
    for (int32_t i = 0; i < PW_MAX_SENSORS; i++) {
        out->chatter_hz[i] = 0.0;
    }
}

void pw_model_start(const pw_model *model, double vessel_pa, double *state)
{
    const pw_site *site = model->site;
    pw_condition healthy;
    pw_condition_healthy(model, &healthy);
    for (int32_t s = 0; s < site->source_count; s++) {
        if (model->state_of_source[s] >= 0) {
            const pw_source *source = &site->sources[s];
            state[model->state_of_source[s]] = casing_m2(source) * pw_max(source->intake_m.v - source->standing_m.v, 0.0);
        }
    }
    for (int32_t v = 0; v < site->vessel_count; v++) {
        state[model->bore_count + v] = pw_model_vessel_m3(model, &healthy, v, vessel_pa);
    }
    for (int32_t t = 0; t < site->tank_count; t++) {
        state[model->bore_count + site->vessel_count + t] = site->tanks[t].start_m.v * site->tanks[t].area_m2.v;
    }
}

double pw_store_bore_inflow(const pw_model *model, const pw_condition *condition, int32_t source, double volume_m3)
{
    const pw_source *made = &model->site->sources[source];
    const double part = condition->source_yield[source];
    const double over = pw_model_bore_m(model, source, volume_m3);
    const double drawdown = made->intake_m.v - made->standing_m.v - over;
    if (part <= 0.0) {
        return 0.0;
    }
    return pw_bore_inflow_m3s(drawdown, part * made->capacity_m2s.v, part * made->yield_m3s.v, NULL);
}

double pw_store_spill(const pw_model *model, int32_t tank, double volume_m3)
{
    const double over = pw_model_tank_m(model, tank, volume_m3) - model->site->tanks[tank].depth_m.v;
    return over > 0.0 ? WEIR_M2S * over * pw_sqrt(over) : 0.0;
}

/* Head of a source's water, and how much of the intake it covers. */
static double source_head(const pw_model *model, const pw_condition *condition, int32_t s, const double *state, double *wet)
{
    const pw_source *source = &model->site->sources[s];
    const double place_m = model->site->places[source->place].level_m.v;
    const double part = condition->source_yield[s];
    *wet = 1.0;
    if (source->kind == PW_SOURCE_MAINS) {
        return place_m + part * source->pressure_pa.v / model->pa_per_m;
    }
    if (source->kind == PW_SOURCE_OPEN) {
        /* An open water that runs dry falls towards the intake: the covered height scales with what is left. */
        const double over = part * pw_max(source->intake_m.v - source->standing_m.v, INTAKE_BAND_M);
        *wet = pw_intake_wet(over, INTAKE_BAND_M, NULL);
        return place_m - source->intake_m.v + over;
    }
    const double over = pw_model_bore_m(model, s, state[model->state_of_source[s]]);
    *wet = pw_intake_wet(over, INTAKE_BAND_M, NULL);
    return place_m - source->intake_m.v + over;
}

static double node_head(const pw_model *model, const pw_condition *condition, int32_t n, const double *state)
{
    const pw_node *at = &model->nodes[n];
    if (at->vessel >= 0) {
        const double water = state[model->bore_count + at->vessel];
        return at->level_m + pw_model_vessel_pa(model, condition, at->vessel, water) / model->pa_per_m;
    }
    if (at->tank >= 0 && !at->inlet) {
        return at->level_m + pw_model_tank_m(model, at->tank, state[model->bore_count + model->site->vessel_count + at->tank]);
    }
    return at->level_m;
}

void pw_store_setting(const pw_model *model, const pw_condition *condition, const pw_drive *drive, const double *state, setting *out)
{
    const pw_site *site = model->site;
    double source_wet[PW_MAX_SOURCES];
    out->condition = condition;
    out->drive = drive;
    for (int32_t n = 0; n < model->node_count; n++) {
        const pw_node *at = &model->nodes[n];
        if (at->unknown >= 0) {
            continue;
        }
        out->given_head_m[n] = at->source >= 0 ? source_head(model, condition, at->source, state, &source_wet[at->source])
                                               : node_head(model, condition, n, state);
    }
    for (int32_t t = 0; t < site->tank_count; t++) {
        const pw_tank *tank = &site->tanks[t];
        const double depth = pw_model_tank_m(model, t, state[model->bore_count + site->vessel_count + t]);
        out->tank_wet[t] = pw_intake_wet(depth, TANK_BAND_M, NULL);
        out->float_open[t] = tank->float_valve ? pw_float_opening(depth, tank->closes_m.v, tank->band_m.v,
                                                                  condition->float_passing[t], NULL)
                                               : 1.0;
    }
    for (int32_t p = 0; p < site->pump_count; p++) {
        const int32_t source = model->pumps[p].source;
        out->pump_wet[p] = source >= 0 ? source_wet[source] : 1.0;
    }
}
