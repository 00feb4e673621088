/* The pump against a closed valve: all its power warms the water it holds. */
#include "formula/thermal.h"
#include "study/size_inside.h"

/* Of the changed site: the model asks its own copy. */
static pw_casing size_casing(size_work *w)
{
    const size_t mark = pw_arena_mark(w->arena);
    pw_model *model = NULL;
    pw_casing casing = {1e-3 * w->water.density_kgm3, w->water.cp_jkgk, 0.0, w->site->water_c.v};
    if (pw_model_build(w->arena, w->site, true, &model, w->problems) == PW_OK) {
        casing = pw_model_casing(model, w->out->pump);
    } else {
        w->failed = true;
    }
    pw_arena_back(w->arena, mark);
    return casing;
}

pw_status size_standstill(size_work *w)
{
    const pw_design *design = &w->site->design;
    const double power = size_machine_shaft_w(&w->machine, 0.0);
    const double around = w->site->water_c.v;
    const double cp = w->water.cp_jkgk;
    const pw_casing casing = size_casing(w);
    const double loss = casing.ua_wk;
    const pw_casing no_loss = {casing.mass_kg, cp, 0.0, around};
    const double absolute = w->air_pa + pw_max(size_machine_head(&w->machine, 0.0) * w->pa_per_m, 0.0);
    const double boiling = pw_boiling_c(absolute);
    size_add(w, PW_SIZE_STANDSTILL, "shut-off power", pw_fact_of("size.shut-off-power"), PW_DIM_POWER, power,
             pw_fact_of("size.shut-off-power-how"), pw_fact_of("size.shut-off-power-source"));
    size_add(w, PW_SIZE_STANDSTILL, "warming", pw_fact_of("size.warming"), PW_DIM_TEMPERATURE_RISE,
             casing.mass_kg > 0.0 ? pw_heating_c(&no_loss, power, 0.0, 60.0) : PW_INF,
             pw_fact_of("size.warming-how", size_q(w, PW_DIM_VOLUME, casing.mass_kg / w->water.density_kgm3)),
             pw_fact_of("size.warming-source"));
    size_add(w, PW_SIZE_STANDSTILL, "time to scalding", pw_fact_of("size.time-to-scald"), PW_DIM_TIME,
             pw_heating_time_s(&casing, power, around, PW_SCALD_C),
             pw_fact_of("size.time-to-scald-how", size_q(w, PW_DIM_TEMPERATURE, around), size_n(w, loss)),
             pw_fact_of("size.energy-balance"));
    size_add(w, PW_SIZE_STANDSTILL, "time to 100 degC", pw_fact_of("size.time-to-steam"), PW_DIM_TIME,
             pw_heating_time_s(&casing, power, around, pw_boiling_c(w->air_pa)),
             pw_fact_of("size.time-to-steam-how", size_q(w, PW_DIM_TEMPERATURE, pw_boiling_c(w->air_pa))),
             pw_fact_of("size.time-to-steam-source"));
    size_add(w, PW_SIZE_STANDSTILL, "boiling", pw_fact_of("size.boiling"), PW_DIM_TEMPERATURE, boiling,
             pw_fact_of("size.boiling-how", size_q(w, PW_DIM_PRESSURE, absolute)), pw_fact_of("size.iapws"));
    size_add(w, PW_SIZE_STANDSTILL, "time to boiling", pw_fact_of("size.time-to-boiling"), PW_DIM_TIME,
             pw_heating_time_s(&casing, power, around, boiling), pw_fact_of("size.time-to-boiling-how"),
             pw_fact_of("size.energy-balance"));
    const double least = pw_least_flow_m3s(power, w->water.density_kgm3, cp, design->rise_k.v);
    size_add(w, PW_SIZE_STANDSTILL, "least flow", pw_fact_of("size.least-flow"), PW_DIM_FLOW, least,
             pw_fact_of("size.least-flow-how", size_q(w, PW_DIM_POWER, power),
                        size_q(w, PW_DIM_TEMPERATURE_RISE, design->rise_k.v)),
             pw_fact_of("size.least-flow-source"));
    return PW_OK;
}
