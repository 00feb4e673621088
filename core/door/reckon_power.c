/* Formulas of core/formula for pw_reckon: motors, cables, heat. */
#include "door/reckon_inside.h"

#include <stddef.h>

#include "base/num.h"
#include "formula/cable.h"
#include "formula/motor.h"
#include "formula/thermal.h"

pw_status pw_reckon_phases(pw_reckoning *r, double phases)
{
    if (phases != 0.0 && phases != 1.0 && phases != 3.0) {
        return pw_problem_add(r->problems, PW_RANGE, "given.phases", NULL, "0 (DC), 1 or 3", NULL);
    }
    return PW_OK;
}

static pw_status motor_load(pw_reckoning *r)
{
    const pw_motor_data motor = {r->in[0], r->in[1], (int32_t)r->in[2], r->in[3], 0.0, r->in[4], r->in[5]};
    const pw_status status = pw_reckon_phases(r, r->in[2]);
    if (status == PW_OK) {
        const double volts = r->in[7] > 0.0 ? r->in[7] : r->in[1];
        pw_motor_load(&motor, r->in[6], volts, &r->out[0], &r->out[1], &r->out[2], &r->out[3]);
    }
    return status;
}

static pw_status motor_current(pw_reckoning *r)
{
    const pw_status status = pw_reckon_phases(r, r->in[2]);
    if (status == PW_OK) {
        r->out[0] = pw_motor_current_a((int32_t)r->in[2], r->in[0], r->in[1], r->in[3], r->in[4]);
    }
    return status;
}

static pw_status locked_rotor(pw_reckoning *r)
{
    const pw_status status = pw_reckon_phases(r, r->in[2]);
    if (status == PW_OK) {
        r->out[0] = pw_locked_rotor_kva_per_hp((int32_t)r->in[2], r->in[0], r->in[1], r->in[3]);
        r->words[1][0] = pw_locked_rotor_letter(r->out[0]);
    }
    return status;
}

static pw_status cable(pw_reckoning *r)
{
    r->out[0] = pw_cable_ohm_m(r->in[0]);
    if (!(r->out[0] > 0.0)) {
        return pw_problem_add(r->problems, PW_RANGE, "given.section", NULL, "a section of IEC 60228: 0.5 to 120 mm2",
                              "for instance 1.5, 2.5, 4, 6 or 10");
    }
    r->out[1] = r->out[0] * pw_copper_factor(r->in[1]);
    return PW_OK;
}

static pw_status copper(pw_reckoning *r)
{
    r->out[0] = pw_copper_factor(r->in[0]);
    r->out[1] = pw_copper_correction(r->in[0]);
    return PW_OK;
}

static pw_status cable_drop(pw_reckoning *r)
{
    const pw_status status = pw_reckon_phases(r, r->in[0]);
    const double ohm_m = pw_cable_ohm_m(r->in[4]) * pw_copper_factor(r->in[5]);
    if (status != PW_OK) {
        return status;
    }
    if (!(ohm_m > 0.0)) {
        return pw_problem_add(r->problems, PW_RANGE, "given.section", NULL, "a section of IEC 60228: 0.5 to 120 mm2",
                              "for instance 1.5, 2.5, 4, 6 or 10");
    }
    r->out[0] = pw_cable_drop_v((int32_t)r->in[0], r->in[2], r->in[3], ohm_m, r->in[7], r->in[6]);
    r->out[1] = r->out[0] / r->in[1];
    return PW_OK;
}

static pw_status trip_time(pw_reckoning *r)
{
    const pw_thermal thermal = {r->in[0], r->in[1], r->in[2], r->in[2]};
    r->out[0] = pw_thermal_trip_s(&thermal, pw_thermal_settled(&thermal, r->in[4]), r->in[3]);
    return PW_OK;
}

static pw_status winding(pw_reckoning *r)
{
    const pw_thermal thermal = {r->in[0], r->in[1], r->in[2], r->in[2]};
    const double start = pw_thermal_settled(&thermal, r->in[4]);
    const double theta = pw_thermal_step(&thermal, start, r->in[3], true, r->in[5]);
    r->out[0] = theta;
    r->out[1] = pw_winding_c(&thermal, theta, r->in[6], r->in[7]);
    return PW_OK;
}

static pw_status heating(pw_reckoning *r)
{
    const pw_casing casing = {r->in[1], r->in[2], r->in[3], r->in[4]};
    r->out[0] = pw_heating_c(&casing, r->in[0], r->in[5], r->in[6]);
    return PW_OK;
}

static pw_status heating_time(pw_reckoning *r)
{
    const pw_casing casing = {r->in[1], r->in[2], r->in[3], r->in[4]};
    r->out[0] = pw_heating_time_s(&casing, r->in[0], r->in[5], r->in[6]);
    return PW_OK;
}

/* clang-format off */
#define PHASES PW_NEED("phases", NONE, 0, 3)
#define BODY                                                                                                     \
    PW_NEED("power", POWER, 0, 1e7), PW_NEED_IN("mass", "kg", 1e-6, 1e6),                                        \
        PW_MAY_IN("heat capacity", "J/(kg K)", 1, 1e5, 4184), PW_MAY_IN("heat loss", "W/K", 0, 1e6, 0),          \
        PW_MAY("surroundings", TEMPERATURE, -50, 200, 20), PW_NEED("start temperature", TEMPERATURE, -50, 200)
#define RELAY                                                                                                    \
    PW_NEED("full-load current", CURRENT, 1e-6, 1e5), PW_NEED("service factor", NONE, 0.5, 2),                   \
        PW_NEED("time constant", TIME, 1e-3, 1e6), PW_NEED("current", CURRENT, 0, 1e6),                          \
        PW_MAY("preload", CURRENT, 0, 1e6, 0)

const pw_formula pw_formulas_power[] = {
    {"motor load",
     {PW_NEED("rated power", POWER, 1e-3, 1e7), PW_NEED("rated voltage", VOLTAGE, 1, 1e5), PHASES,
      PW_MAY("full-load current", CURRENT, 0, 1e5, 0), PW_NEED("efficiency", FRACTION, 0.01, 0.999),
      PW_MAY("power factor", FRACTION, 0.05, 1, 0.85), PW_NEED("shaft power", POWER, 0, 1e7),
      PW_MAY("voltage", VOLTAGE, 0, 1e5, 0)},
     {PW_GIVE("input power", POWER), PW_GIVE("current", CURRENT), PW_GIVE("efficiency", FRACTION),
      PW_GIVE("power factor", FRACTION)},
     motor_load},
    {"motor current",
     {PW_NEED("shaft power", POWER, 0, 1e7), PW_NEED("voltage", VOLTAGE, 1, 1e5), PHASES,
      PW_NEED("efficiency", FRACTION, 0.01, 1), PW_MAY("power factor", FRACTION, 0.05, 1, 1)},
     {PW_GIVE("current", CURRENT)},
     motor_current},
    {"locked rotor letter",
     {PW_NEED("power", POWER, 1, 1e7), PW_NEED("voltage", VOLTAGE, 1, 1e5), PHASES,
      PW_NEED("current", CURRENT, 0, 1e6)},
     {PW_GIVE_IN("start power", "kVA/hp"), PW_GIVE("letter", NONE)},
     locked_rotor},
    {"cable",
     {PW_NEED_IN("section", "mm2", 0.1, 1000), PW_MAY("temperature", TEMPERATURE, -50, 120, 20)},
     {PW_GIVE_IN("resistance at 20 degC", "ohm/m"), PW_GIVE_IN("resistance", "ohm/m")},
     cable},
    {"copper",
     {PW_NEED("temperature", TEMPERATURE, -50, 150)},
     {PW_GIVE("factor", NONE), PW_GIVE("correction to 20 degC", NONE)},
     copper},
    {"cable drop",
     {PHASES, PW_NEED("voltage", VOLTAGE, 1, 1e5), PW_NEED("current", CURRENT, 0, 1e5),
      PW_NEED("length", LENGTH, 0, 1e5), PW_NEED_IN("section", "mm2", 0.1, 1000),
      PW_MAY("temperature", TEMPERATURE, -50, 120, 70), PW_MAY("power factor", FRACTION, 0, 1, 1),
      PW_MAY_IN("reactance", "ohm/m", 0, 0.01, 0.08e-3)},
     {PW_GIVE("drop", VOLTAGE), PW_GIVE("share", FRACTION)},
     cable_drop},
    {"thermal trip",
     {RELAY},
     {PW_GIVE("time", TIME)},
     trip_time},
    {"winding",
     {RELAY, PW_NEED("time", TIME, 0, 1e9), PW_MAY("surroundings", TEMPERATURE, -50, 100, 20),
      PW_NEED("rise", TEMPERATURE_RISE, 0, 300)},
     {PW_GIVE("heat", NONE), PW_GIVE("temperature", TEMPERATURE)},
     winding},
    {"heating",
     {BODY, PW_NEED("time", TIME, 0, 1e9)},
     {PW_GIVE("temperature", TEMPERATURE)},
     heating},
    {"heating time",
     {BODY, PW_NEED("end temperature", TEMPERATURE, -50, 400)},
     {PW_GIVE("time", TIME)},
     heating_time},
};
/* clang-format on */
const int32_t pw_formulas_power_count = (int32_t)(sizeof pw_formulas_power / sizeof pw_formulas_power[0]);
