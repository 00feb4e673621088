/* Formulas of core/formula for pw_reckon: vessels, cycling, leaks, bores. */
#include "door/reckon_inside.h"

#include <stddef.h>

#include "base/num.h"
#include "formula/bore.h"
#include "formula/orifice.h"
#include "formula/vessel.h"

static pw_status drawdown(pw_reckoning *r)
{
    r->out[0] = pw_vessel_drawdown(r->in[0], r->in[1], r->in[2], r->in[3], r->in[4]);
    r->out[1] = r->out[0] * r->in[5];
    return PW_OK;
}

static pw_status acceptance(pw_reckoning *r)
{
    r->out[0] = pw_vessel_acceptance(r->in[0], r->in[1], r->in[2]);
    return PW_OK;
}

/* A tank without an air cell: air and water share it, `residual` of water is left at cut-in. */
static pw_status plain_tank(pw_reckoning *r)
{
    const double air = 1.0 - r->in[0];
    r->out[0] = air * pw_vessel_acceptance(r->in[1], r->in[2], r->in[3]);
    r->out[1] = r->out[0] > 0.0 ? r->in[4] / r->out[0] : PW_INF;
    return PW_OK;
}

static pw_status vessel_pressure(pw_reckoning *r)
{
    r->out[0] = pw_vessel_pa(r->in[0], r->in[1], r->in[3], r->in[4], r->in[5], r->in[2], &r->out[1]);
    return PW_OK;
}

static pw_status vessel_water(pw_reckoning *r)
{
    r->out[0] = pw_vessel_water_m3(r->in[0], r->in[1], r->in[3], r->in[4], r->in[5], r->in[2]);
    return PW_OK;
}

static pw_status starts(pw_reckoning *r)
{
    const double usable = r->in[0];
    const double pump = r->in[1];
    const double draw = r->in[2];
    const double hz = pw_cycle_starts_hz(usable, pump, draw);
    r->out[0] = hz < PW_INF ? hz * 3600.0 : PW_INF;
    r->out[1] = draw > 0.0 ? usable / draw : PW_INF;
    r->out[2] = draw < pump ? usable / (pump - draw) : PW_INF;
    r->out[3] = hz > 0.0 ? 1.0 / hz : PW_INF;
    r->out[4] = pw_cycle_most_hz(usable, pump) * 3600.0;
    return PW_OK;
}

static pw_status volume_for_starts(pw_reckoning *r)
{
    r->out[0] = pw_cycle_volume_m3(r->in[0], r->in[1] / 3600.0);
    r->out[1] = 3600.0 / r->in[1];
    return PW_OK;
}

static pw_status leak_time(pw_reckoning *r)
{
    if (r->in[4] < r->in[1]) {
        return pw_problem_add(r->problems, PW_CONFLICT, "given.low pressure", NULL, "at or above the precharge", NULL);
    }
    const double area = pw_hole_cd_area_m2(r->in[5], r->in[6]);
    r->out[0] = pw_vessel_leak_time_s(r->in[0], r->in[1], r->in[2], r->in[7], area, r->in[3], r->in[4]);
    return PW_OK;
}

static pw_status hole(pw_reckoning *r)
{
    r->out[0] = pw_hole_m3s(pw_hole_cd_area_m2(r->in[0], r->in[1]), r->in[2], r->in[3]);
    return PW_OK;
}

static pw_status orifice(pw_reckoning *r)
{
    r->out[0] = pw_orifice_m3s(pw_hole_cd_area_m2(r->in[0], r->in[1]), r->in[2], &r->out[1]);
    return PW_OK;
}

static pw_status leak_ratio(pw_reckoning *r)
{
    r->out[0] = pw_leak_ratio(r->in[0], r->in[1], r->in[2]);
    return PW_OK;
}

static pw_status bore_inflow(pw_reckoning *r)
{
    r->out[0] = pw_bore_inflow_m3s(r->in[0], r->in[1], r->in[2], NULL);
    return PW_OK;
}

static pw_status bore_drawdown(pw_reckoning *r)
{
    r->out[0] = pw_bore_drawdown_m(r->in[0], r->in[1], r->in[2]);
    return PW_OK;
}

static pw_status well_function(pw_reckoning *r)
{
    r->out[0] = pw_well_function(r->in[0]);
    return PW_OK;
}

static pw_status theis(pw_reckoning *r)
{
    r->out[0] = pw_theis_drawdown_m(r->in[0], r->in[1], r->in[2], r->in[3], r->in[4], 0.0);
    r->out[1] = r->in[5] * r->in[0] * r->in[0];
    r->out[2] = r->out[0] + r->out[1];
    return PW_OK;
}

/* clang-format off */
#define AIR PW_MAY("air pressure", PRESSURE, 1e4, 2e5, PW_ATM_PA)
#define PRECHARGE PW_NEED("precharge", PRESSURE, 0, 1e7)
#define EXPONENT PW_MAY("exponent", NONE, 1, 1.4, 1)
#define SIZE PW_NEED("volume", VOLUME, 1e-6, 1e4)
#define CHARGE PW_MAY("air share", FRACTION, 0, 1, 1)

const pw_formula pw_formulas_store[] = {
    {"vessel drawdown",
     {PRECHARGE, PW_NEED("cut-in", PRESSURE, 0, 1e7), PW_NEED("cut-out", PRESSURE, 0, 1e7), EXPONENT, AIR,
      PW_MAY("volume", VOLUME, 0, 1e4, 0)},
     {PW_GIVE("drawdown", FRACTION), PW_GIVE("usable volume", VOLUME)},
     drawdown},
    {"vessel acceptance",
     {PRECHARGE, PW_NEED("cut-out", PRESSURE, 0, 1e7), AIR},
     {PW_GIVE("acceptance", FRACTION)},
     acceptance},
    {"tank without air cell",
     {PW_NEED("residual", FRACTION, 0, 0.99), PW_NEED("cut-in", PRESSURE, 0, 1e7),
      PW_NEED("cut-out", PRESSURE, 0, 1e7), AIR, PW_NEED("withdrawal", VOLUME, 0, 1e4)},
     {PW_GIVE("drawdown", FRACTION), PW_GIVE("volume", VOLUME)},
     plain_tank},
    {"vessel pressure",
     {SIZE, PRECHARGE, PW_NEED("water", VOLUME, -1e4, 1e4), EXPONENT, CHARGE, AIR},
     {PW_GIVE("pressure", PRESSURE), PW_GIVE_IN("slope", "Pa/m3")},
     vessel_pressure},
    {"vessel water",
     {SIZE, PRECHARGE, PW_NEED("pressure", PRESSURE, -1e5, 1e9), EXPONENT, CHARGE, AIR},
     {PW_GIVE("water", VOLUME)},
     vessel_water},
    {"starts",
     {PW_NEED("usable volume", VOLUME, 1e-9, 1e4), PW_NEED("pump flow", FLOW, 1e-9, 1e3),
      PW_NEED("draw", FLOW, 0, 1e3)},
     {PW_GIVE("starts", RATE), PW_GIVE("off time", TIME), PW_GIVE("on time", TIME), PW_GIVE("cycle", TIME),
      PW_GIVE("most starts", RATE)},
     starts},
    {"volume for starts",
     {PW_NEED("pump flow", FLOW, 1e-9, 1e3), PW_NEED("starts", RATE, 1e-6, 1e5)},
     {PW_GIVE("usable volume", VOLUME), PW_GIVE("shortest cycle", TIME)},
     volume_for_starts},
    {"vessel leak time",
     {SIZE, PRECHARGE, AIR, PW_NEED("high pressure", PRESSURE, 1, 1e7), PW_NEED("low pressure", PRESSURE, 1, 1e7),
      PW_NEED("hole", LENGTH, 1e-6, 1), PW_MAY("discharge coefficient", NONE, 0.01, 1, 0.6),
      PW_MAY_IN("density", "kg/m3", 1, 2e4, 998.2)},
     {PW_GIVE("time", TIME)},
     leak_time},
    {"hole",
     {PW_NEED("bore", LENGTH, 0, 10), PW_MAY("discharge coefficient", NONE, 0.01, 1, 0.6),
      PW_NEED("pressure", PRESSURE, -1e8, 1e8), PW_MAY_IN("density", "kg/m3", 1, 2e4, 998.2)},
     {PW_GIVE("flow", FLOW)},
     hole},
    {"orifice",
     {PW_NEED("bore", LENGTH, 0, 10), PW_MAY("discharge coefficient", NONE, 0.01, 1, 0.6),
      PW_NEED("head", LENGTH, -1e5, 1e5)},
     {PW_GIVE("flow", FLOW), PW_GIVE_IN("slope", "m2/s")},
     orifice},
    {"leak ratio",
     {PW_NEED("pressure before", PRESSURE, 1, 1e8), PW_NEED("pressure after", PRESSURE, 1, 1e8),
      PW_NEED("exponent", NONE, 0, 3)},
     {PW_GIVE("ratio", NONE)},
     leak_ratio},
    {"bore inflow",
     {PW_NEED("drawdown", LENGTH, -1e3, 1e3), PW_NEED("specific capacity", SPECIFIC_CAPACITY, 0, 10),
      PW_NEED("yield", FLOW, 0, 10)},
     {PW_GIVE("flow", FLOW)},
     bore_inflow},
    {"bore drawdown",
     {PW_NEED("flow", FLOW, 0, 10), PW_NEED("specific capacity", SPECIFIC_CAPACITY, 0, 10),
      PW_NEED("yield", FLOW, 0, 10)},
     {PW_GIVE("drawdown", LENGTH)},
     bore_drawdown},
    {"well function",
     {PW_NEED("u", NONE, 1e-300, 700)},
     {PW_GIVE("W", NONE)},
     well_function},
    {"well drawdown",
     {PW_NEED("flow", FLOW, 0, 100), PW_NEED_IN("transmissivity", "m2/s", 1e-12, 100),
      PW_NEED("storage", NONE, 1e-9, 1), PW_NEED("radius", LENGTH, 1e-3, 1e5), PW_NEED("time", TIME, 1, 1e11),
      PW_MAY_IN("well loss", "s2/m5", 0, 1e12, 0)},
     {PW_GIVE("aquifer drawdown", LENGTH), PW_GIVE("well loss drawdown", LENGTH), PW_GIVE("drawdown", LENGTH)},
     theis},
};
/* clang-format on */
const int32_t pw_formulas_store_count = (int32_t)(sizeof pw_formulas_store / sizeof pw_formulas_store[0]);
