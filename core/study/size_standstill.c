/* The pump against a closed valve: all its power warms the water it holds. */
#include "formula/thermal.h"
#include "study/size_inside.h"

pw_status size_standstill(size_work *w)
{
    const pw_design *design = &w->site->design;
    const double power = size_machine_shaft_w(&w->machine, 0.0);
    const double around = w->site->water_c.v;
    const double loss = design->heat_loss_wk.v;
    const double cp = w->water.cp_jkgk;
    const pw_casing casing = {design->casing_m3.v * w->water.density_kgm3, cp, loss, around};
    const pw_casing no_loss = {casing.mass_kg, cp, 0.0, around};
    const double absolute = w->air_pa + pw_max(size_machine_head(&w->machine, 0.0) * w->pa_per_m, 0.0);
    const double boiling = pw_boiling_c(absolute);
    size_add(w, PW_SIZE_STANDSTILL, "shut-off power", "Power at the shaft with nothing flowing", PW_DIM_POWER, power,
             "the pump's curve at no flow, or a straight line to it",
             "docs/water.md; common practice where the curve is silent");
    size_add(w, PW_SIZE_STANDSTILL, "warming", "The water warms in a minute by", PW_DIM_TEMPERATURE_RISE,
             casing.mass_kg > 0.0 ? pw_heating_c(&no_loss, power, 0.0, 60.0) : PW_INF,
             size_say(w, "P / (m c) with ", size_q(w, PW_DIM_VOLUME, design->casing_m3.v), " in the pump", NULL),
             "energy balance, no loss");
    size_add(w, PW_SIZE_STANDSTILL, "time to scalding", "Time until the water scalds (60 degC)", PW_DIM_TIME,
             pw_heating_time_s(&casing, power, around, PW_SCALD_C),
             size_say(w, "from ", size_q(w, PW_DIM_TEMPERATURE, around), ", heat loss ", size_n(w, loss), " W/K", NULL),
             "energy balance (own derivation)");
    size_add(w, PW_SIZE_STANDSTILL, "time to 100 degC", "Time until it flashes to steam when the pressure is let down",
             PW_DIM_TIME, pw_heating_time_s(&casing, power, around, pw_boiling_c(w->air_pa)),
             size_say(w, "to ", size_q(w, PW_DIM_TEMPERATURE, pw_boiling_c(w->air_pa)),
                      ", boiling at the air's pressure", NULL),
             "energy balance; IAPWS-IF97 boiling point");
    size_add(w, PW_SIZE_STANDSTILL, "boiling", "It boils in the pump at", PW_DIM_TEMPERATURE, boiling,
             size_say(w, "boiling point at ", size_q(w, PW_DIM_PRESSURE, absolute), " absolute, the shut-off pressure",
                      NULL),
             "IAPWS-IF97");
    size_add(w, PW_SIZE_STANDSTILL, "time to boiling", "Time until it boils in the pump", PW_DIM_TIME,
             pw_heating_time_s(&casing, power, around, boiling), "the same, up to that temperature",
             "energy balance (own derivation)");
    const double least = pw_least_flow_m3s(power, w->water.density_kgm3, cp, design->rise_k.v);
    size_add(w, PW_SIZE_STANDSTILL, "least flow", "Least flow for the warming allowed", PW_DIM_FLOW, least,
             size_say(w, "P / (rho c dT) with ", size_q(w, PW_DIM_POWER, power), " and ",
                      size_q(w, PW_DIM_TEMPERATURE_RISE, design->rise_k.v), NULL),
             "energy balance; the pump's maker may ask for more");
    return PW_OK;
}
