/* Formulas behind faults, orders and proofs for pw_reckon: a motor off its voltage, heat, rare events, limits. */
#include "door/reckon_inside.h"

#include <stddef.h>

#include "base/num.h"
#include "study/prove.h"
#include "formula/rare.h"
#include "formula/motor.h"
#include "formula/thermal.h"
#include "formula/tank.h"

static pw_status motor_at_voltage(pw_reckoning *r)
{
    const pw_status status = pw_reckon_phases(r, r->in[0]);
    if (status != PW_OK) {
        return status;
    }
    const pw_motor_data motor = {.voltage_v = 1.0, .phases = (int32_t)r->in[0], .locked_rotor_a = r->in[3]};
    r->out[0] = pw_motor_torque(r->in[1]);
    r->out[1] = pw_motor_speed(motor.phases, r->in[1]);
    r->out[2] = pw_motor_start_s(r->in[2], r->in[1]);
    r->out[3] = pw_motor_start_a(&motor, r->in[1]);
    return PW_OK;
}

static pw_status single_phasing(pw_reckoning *r)
{
    r->out[0] = r->in[0] * pw_motor_single_phased_turning();
    r->out[1] = r->in[1] * pw_motor_single_phased_standing();
    return PW_OK;
}

static pw_status rare_events(pw_reckoning *r)
{
    if (r->in[0] != pw_floor(r->in[0])) {
        return pw_problem_add(r->problems, PW_RANGE, "given.events", NULL, "a whole number", NULL);
    }
    r->out[0] = pw_poisson_upper((int32_t)r->in[0], r->in[1]);
    r->out[1] = r->out[0] / r->in[2];
    return PW_OK;
}

static pw_limits_check leak_of(const pw_reckoning *r)
{
    const pw_limits_check check = {.known = true, .pump_m3s = r->in[0], .drawdown_m3 = r->in[1]};
    return check;
}

static pw_status turns_of_leak(pw_reckoning *r)
{
    const pw_limits_check check = leak_of(r);
    r->out[0] = pw_limits_starts_per_hour(&check, r->in[2]);
    r->out[1] = pw_limits_run_s(&check, r->in[2]);
    return PW_OK;
}

static pw_status leaks_of_limits(pw_reckoning *r)
{
    pw_limits_check check = leak_of(r);
    check.has_starts = true;
    check.starts_needed_per_hour = r->in[2];
    check.has_run = true;
    check.run_s = r->in[3];
    pw_limits_solve(&check);
    r->out[0] = check.starts_from_m3s;
    r->out[1] = check.starts_to_m3s;
    r->out[2] = check.run_from_m3s;
    r->out[3] = check.most_starts_per_hour;
    return PW_OK;
}

static pw_status cooling(pw_reckoning *r)
{
    const pw_thermal thermal = {1.0, 1.0, r->in[0], r->in[0]};
    r->out[0] = pw_thermal_cool_s(&thermal, r->in[1], r->in[2]);
    return PW_OK;
}

static pw_status start_heat(pw_reckoning *r)
{
    const pw_thermal thermal = {r->in[0], r->in[1], r->in[2], r->in[2]};
    r->out[0] = pw_thermal_start(&thermal, r->in[3], r->in[4]);
    return PW_OK;
}

static pw_status tank_depth(pw_reckoning *r)
{
    r->out[0] = pw_tank_depth_m(r->in[0], r->in[1]);
    return PW_OK;
}

static pw_status float_valve(pw_reckoning *r)
{
    r->out[0] = pw_float_opening(r->in[0], r->in[1], r->in[2], r->in[3], NULL);
    return PW_OK;
}

/* clang-format off */
#define PUMP_AND_STORE PW_NEED("pump flow", FLOW, 1e-9, 1e3), PW_NEED("usable volume", VOLUME, 1e-9, 1e4)

const pw_formula pw_formulas_fault[] = {
    {"motor at a voltage",
     {PW_NEED("phases", NONE, 0, 3), PW_NEED("voltage", FRACTION, 0.01, 1.5), PW_MAY("start time", TIME, 0, 1e3, 1),
      PW_MAY("starting current", CURRENT, 0, 1e6, 0)},
     {PW_GIVE("torque", FRACTION), PW_GIVE("speed", FRACTION), PW_GIVE("start time", TIME),
      PW_GIVE("starting current", CURRENT)},
     motor_at_voltage},
    {"one phase gone",
     {PW_MAY("current", CURRENT, 0, 1e6, 0), PW_MAY("starting current", CURRENT, 0, 1e6, 0)},
     {PW_GIVE("current", CURRENT), PW_GIVE("standing current", CURRENT)},
     single_phasing},
    {"bound of rare events",
     {PW_NEED("events", NONE, 0, 1e6), PW_MAY("confidence", FRACTION, 0.01, 0.9999, 0.95),
      PW_MAY("years", NONE, 1e-3, 1e6, 1)},
     {PW_GIVE("most events", NONE), PW_GIVE("most a year", NONE)},
     rare_events},
    {"turns of a leak",
     {PUMP_AND_STORE, PW_NEED("leak", FLOW, 0, 1e3)},
     {PW_GIVE("starts", RATE), PW_GIVE("run", TIME)},
     turns_of_leak},
    {"leaks that limits see",
     {PUMP_AND_STORE, PW_NEED("starts", RATE, 0, 1e5), PW_NEED("longest run", TIME, 1e-3, 1e9)},
     {PW_GIVE("starts from", FLOW), PW_GIVE("starts to", FLOW), PW_GIVE("run from", FLOW),
      PW_GIVE("most starts", RATE)},
     leaks_of_limits},
    {"cooling of a winding",
     {PW_NEED("time constant", TIME, 1e-3, 1e6), PW_NEED("heat", NONE, 0, 100), PW_NEED("end heat", NONE, 0, 100)},
     {PW_GIVE("time", TIME)},
     cooling},
    {"heat of a start",
     {PW_NEED("full-load current", CURRENT, 1e-6, 1e5), PW_NEED("service factor", NONE, 0.5, 2),
      PW_NEED("time constant", TIME, 1e-3, 1e6), PW_NEED("starting current", CURRENT, 0, 1e6),
      PW_NEED("start time", TIME, 0, 1e3)},
     {PW_GIVE("heat", NONE)},
     start_heat},
    {"tank depth",
     {PW_NEED("area", AREA, 1e-6, 1e6), PW_NEED("volume", VOLUME, 0, 1e6)},
     {PW_GIVE("depth", LENGTH)},
     tank_depth},
    {"float valve",
     {PW_NEED("depth", LENGTH, 0, 100), PW_NEED("closes", LENGTH, 0, 100), PW_NEED("band", LENGTH, 0, 100),
      PW_MAY("passing", FRACTION, 0, 1, 0)},
     {PW_GIVE("opening", FRACTION)},
     float_valve},
};
/* clang-format on */
const int32_t pw_formulas_fault_count = (int32_t)(sizeof pw_formulas_fault / sizeof pw_formulas_fault[0]);
