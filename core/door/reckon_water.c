/* Formulas of core/formula for pw_reckon: water itself, lines, fittings, pumps. */
#include "door/reckon_inside.h"

#include <stddef.h>

#include "base/num.h"
#include "formula/atmosphere.h"
#include "formula/curve.h"
#include "formula/pump.h"
#include "formula/surge.h"
#include "formula/fitting.h"
#include "formula/friction.h"
#include "formula/pipe.h"
#include "formula/water.h"

#define TINY       1e-12
#define HUGE_VALUE 1e12

static pw_status water(pw_reckoning *r)
{
    pw_water w;
    pw_water_at(r->in[0], &w);
    r->out[0] = w.density_kgm3;
    r->out[1] = w.viscosity_pas;
    r->out[2] = w.vapour_pa;
    r->out[3] = w.sound_ms;
    r->out[4] = w.bulk_pa;
    r->out[5] = w.cp_jkgk;
    return PW_OK;
}

static pw_status water_under_pressure(pw_reckoning *r)
{
    pw_water w;
    if (!pw_water_state(r->in[0], r->in[1], &w)) {
        return pw_problem_add(r->problems, PW_RANGE, "given.temperature", NULL, "0 to 100 degC, up to 10 MPa", NULL);
    }
    r->out[0] = 1.0 / w.density_kgm3;
    r->out[1] = w.density_kgm3;
    r->out[2] = w.sound_ms;
    r->out[3] = w.cp_jkgk;
    return PW_OK;
}

static pw_status viscosity(pw_reckoning *r)
{
    r->out[0] = pw_water_viscosity_pas(r->in[0], r->in[1]);
    return PW_OK;
}

static pw_status vapour(pw_reckoning *r)
{
    r->out[0] = pw_vapour_pa(r->in[0]);
    return PW_OK;
}

static pw_status boiling(pw_reckoning *r)
{
    r->out[0] = pw_boiling_c(r->in[0]);
    return PW_OK;
}

static pw_status air(pw_reckoning *r)
{
    r->out[0] = pw_atmosphere_pa(r->in[0]);
    return PW_OK;
}

static pw_status friction_factor(pw_reckoning *r)
{
    r->out[0] = pw_friction_factor(r->in[0], r->in[1]);
    return PW_OK;
}

static pw_status swamee_jain(pw_reckoning *r)
{
    r->out[0] = pw_friction_swamee_jain(r->in[0], r->in[1]);
    return PW_OK;
}

static pw_status haaland(pw_reckoning *r)
{
    r->out[0] = pw_friction_haaland(r->in[0], r->in[1]);
    return PW_OK;
}

/* Another liquid when density and viscosity are given (0: water at the temperature). */
static pw_water liquid(double temperature_c, double density_kgm3, double viscosity_pas)
{
    pw_water w;
    pw_water_at(temperature_c, &w);
    if (density_kgm3 > 0.0) {
        w.density_kgm3 = density_kgm3;
    }
    if (viscosity_pas > 0.0) {
        w.viscosity_pas = viscosity_pas;
    }
    return w;
}

pw_status pw_reckon_pipe(pw_reckoning *r, const char *name, pw_pipe_size *out)
{
    return pw_pipe_find(name, out)
               ? PW_OK
               : pw_problem_add(r->problems, PW_REFERENCE, "given.pipe", name, "a pipe of the pipe table",
                                "for instance PE100 40 SDR 11, steel DN40, copper 22 x 0.9");
}

/* Bore and roughness of a pipe of the table, where they were not given. */
static pw_status of_table(pw_reckoning *r, const char *pipe, double *bore_m, double *rough_m, double *hazen_c)
{
    pw_pipe_size size;
    if (pipe == NULL) {
        return *bore_m > 0.0 ? PW_OK
                             : pw_problem_add(r->problems, PW_MISSING, "given.bore", NULL, "`bore` or `pipe`", NULL);
    }
    const pw_status status = pw_reckon_pipe(r, pipe, &size);
    if (status != PW_OK) {
        return status;
    }
    *bore_m = *bore_m > 0.0 ? *bore_m : size.bore_m;
    *rough_m = *rough_m > 0.0 ? *rough_m : size.rough_m;
    *hazen_c = *hazen_c > 0.0 ? *hazen_c : size.hazen_c;
    return PW_OK;
}

static pw_status pipe_loss(pw_reckoning *r)
{
    double unused = 1.0;
    const pw_status status = of_table(r, r->text[8], &r->in[0], &r->in[2], &unused);
    if (status != PW_OK) {
        return status;
    }
    const pw_water w = liquid(r->in[5], r->in[6], r->in[7]);
    pw_pipe_loss(r->in[0], r->in[1], r->in[2], r->in[3], &w, r->in[4], &r->out[0], &r->out[5]);
    r->out[1] = r->out[0] * w.density_kgm3 * PW_G;
    r->out[2] = r->in[4] / pw_bore_area_m2(r->in[0]);
    r->out[3] = pw_reynolds(r->in[0], &w, r->in[4]);
    r->out[4] = r->out[3] > 0.0 ? pw_friction_factor(r->out[3], r->in[2] / r->in[0]) : PW_INF;
    return PW_OK;
}

static pw_status hazen(pw_reckoning *r)
{
    double unused = 0.0;
    const pw_status status = of_table(r, r->text[5], &r->in[0], &unused, &r->in[2]);
    if (status != PW_OK) {
        return status;
    }
    if (!(r->in[2] > 0.0)) {
        return pw_problem_add(r->problems, PW_MISSING, "given.coefficient", NULL, "`coefficient` or `pipe`", NULL);
    }
    pw_hazen_loss(r->in[0], r->in[1], r->in[2], r->in[3], r->in[4], &r->out[0], NULL);
    r->out[1] = r->in[4] / pw_bore_area_m2(r->in[0]);
    return PW_OK;
}

static pw_status fitting(pw_reckoning *r)
{
    const int32_t kind = pw_fitting_find(r->text[0]);
    if (kind < 0) {
        const char *names[64];
        const int32_t count = pw_fitting_count();
        for (int32_t i = 0; i < count && i < 64; i++) {
            names[i] = pw_fitting_name(i);
        }
        const int32_t near = pw_near_match(r->text[0], names, count < 64 ? count : 64);
        return pw_problem_add(r->problems, PW_REFERENCE, "given.fitting", r->text[0], "the name of a fitting",
                              near >= 0 ? names[near] : NULL);
    }
    r->out[0] = pw_fitting_k(kind, r->in[1], r->in[2]);
    r->out[1] = pw_fitting_k_turbulent(kind, r->in[1]);
    pw_copy(r->words[2], 64, pw_fitting_name(kind));
    pw_copy(r->words[3], 64, pw_fitting_row(kind)->source);
    return PW_OK;
}

static pw_status pipe(pw_reckoning *r)
{
    pw_pipe_size size;
    const pw_status status = pw_reckon_pipe(r, r->text[0], &size);
    if (status != PW_OK) {
        return status;
    }
    pw_copy(r->words[0], 64, size.name);
    r->out[1] = size.bore_m;
    r->out[2] = size.outer_m;
    r->out[3] = size.wall_m;
    r->out[4] = size.rough_m;
    r->out[5] = size.modulus_pa;
    r->out[6] = size.hazen_c;
    return PW_OK;
}

static pw_status wave_speed(pw_reckoning *r)
{
    pw_water w = liquid(r->in[0], r->in[5], 0.0);
    if (r->in[6] > 0.0) {
        w.bulk_pa = r->in[6];
    }
    r->out[0] = pw_wave_speed_ms(&w, r->in[1], r->in[2], r->in[3], r->in[4]);
    r->out[1] = w.density_kgm3 * r->out[0];
    return PW_OK;
}

static pw_status curve_of(pw_reckoning *r, int32_t x, int32_t y, bool head, pw_curve *out)
{
    if (r->list_count[x] != r->list_count[y]) {
        return pw_problem_add(r->problems, PW_CONFLICT, "given", NULL, "two lists of the same length", NULL);
    }
    const bool built = head ? pw_curve_build_head(r->list_count[x], r->list[x], r->list[y], out)
                            : pw_curve_build(r->list_count[x], r->list[x], r->list[y], out);
    if (!built) {
        const char *expected = head ? "2 points or more, flow rising, head never rising" : "2 points or more, x rising";
        return pw_problem_add(r->problems, PW_RANGE, "given", NULL, expected, NULL);
    }
    return PW_OK;
}

static pw_status curve(pw_reckoning *r)
{
    pw_curve c;
    const pw_status status = curve_of(r, 0, 1, false, &c);
    if (status == PW_OK) {
        r->out[0] = pw_curve_at(&c, r->in[2], &r->out[1]);
    }
    return status;
}

static pw_status pump_head(pw_reckoning *r)
{
    pw_curve c;
    const pw_status status = curve_of(r, 0, 1, true, &c);
    if (status == PW_OK) {
        r->out[0] = pw_pump_head(&c, r->in[2], r->in[3], &r->out[1]);
    }
    return status;
}

static pw_status pump_duty(pw_reckoning *r)
{
    pw_curve c;
    const pw_status status = curve_of(r, 0, 1, true, &c);
    if (status == PW_OK) {
        const double flow = pw_pump_duty_m3s(&c, (int32_t)r->in[3], (int32_t)r->in[4], r->in[2], r->in[5], r->in[6]);
        r->out[0] = flow;
        r->out[1] = r->in[5] + r->in[6] * flow * flow;
    }
    return status;
}

static pw_status affinity(pw_reckoning *r)
{
    const double ratio = r->in[1] / r->in[0];
    r->out[0] = r->in[2] * ratio;
    r->out[1] = r->in[3] * ratio * ratio;
    r->out[2] = r->in[4] * ratio * ratio * ratio;
    return PW_OK;
}

static pw_status specific_speed(pw_reckoning *r)
{
    r->out[0] = pw_specific_speed(r->in[0], r->in[1], r->in[2]);
    return PW_OK;
}

static pw_status pump_power(pw_reckoning *r)
{
    const pw_water w = liquid(r->in[5], r->in[6], 0.0);
    const double water_w = w.density_kgm3 * PW_G * r->in[0] * r->in[1];
    r->out[0] = water_w;
    r->out[1] = water_w / r->in[2];
    r->out[2] = r->out[1] / (r->in[3] * r->in[4]);
    return PW_OK;
}

static pw_status pump_rise(pw_reckoning *r)
{
    r->out[0] = pw_pump_rise_k(r->in[0], r->in[1], r->in[2]);
    return PW_OK;
}

static pw_status npsh(pw_reckoning *r)
{
    pw_water w;
    pw_water_at(r->in[6], &w); /* what is not given is that of the altitude and the temperature */
    r->in[0] = r->in[0] > 0.0 ? r->in[0] : pw_atmosphere_pa(r->in[5]);
    r->in[1] = r->in[1] > 0.0 ? r->in[1] : w.vapour_pa;
    r->in[2] = r->in[2] > 0.0 ? r->in[2] : w.density_kgm3;
    r->out[0] = pw_npsh_available_m(r->in[0], r->in[1], r->in[2], r->in[3], r->in[4]);
    return PW_OK;
}

/* clang-format off */
const pw_formula pw_formulas_water[] = {
    {"water",
     {PW_NEED("temperature", TEMPERATURE, 0, 100)},
     {PW_GIVE_IN("density", "kg/m3"), PW_GIVE_IN("viscosity", "Pa s"), PW_GIVE("vapour pressure", PRESSURE),
      PW_GIVE("sound speed", VELOCITY), PW_GIVE("bulk modulus", PRESSURE), PW_GIVE_IN("heat capacity", "J/(kg K)")},
     water},
    {"water under pressure",
     {PW_NEED("temperature", TEMPERATURE, 0, 100), PW_NEED("absolute pressure", PRESSURE, 0, 1e7)},
     {PW_GIVE_IN("specific volume", "m3/kg"), PW_GIVE_IN("density", "kg/m3"), PW_GIVE("sound speed", VELOCITY),
      PW_GIVE_IN("heat capacity", "J/(kg K)")},
     water_under_pressure},
    {"viscosity",
     {PW_NEED("temperature", TEMPERATURE, 0, 100), PW_NEED_IN("density", "kg/m3", 900, 1100)},
     {PW_GIVE_IN("viscosity", "Pa s")},
     viscosity},
    {"vapour pressure",
     {PW_NEED("temperature", TEMPERATURE, 0, 350)},
     {PW_GIVE("vapour pressure", PRESSURE)},
     vapour},
    {"boiling point",
     {PW_NEED("absolute pressure", PRESSURE, 611.213, 16.5e6)},
     {PW_GIVE("temperature", TEMPERATURE)},
     boiling},
    {"air pressure",
     {PW_NEED("altitude", LENGTH, -2000, 11000)},
     {PW_GIVE("absolute pressure", PRESSURE)},
     air},
    {"friction factor",
     {PW_NEED("reynolds", NONE, TINY, HUGE_VALUE), PW_MAY("relative roughness", NONE, 0, 0.1, 0)},
     {PW_GIVE("friction factor", NONE)},
     friction_factor},
    {"friction factor, Swamee and Jain",
     {PW_NEED("reynolds", NONE, 2300, HUGE_VALUE), PW_MAY("relative roughness", NONE, 0, 0.1, 0)},
     {PW_GIVE("friction factor", NONE)},
     swamee_jain},
    {"friction factor, Haaland",
     {PW_NEED("reynolds", NONE, 2300, HUGE_VALUE), PW_MAY("relative roughness", NONE, 0, 0.1, 0)},
     {PW_GIVE("friction factor", NONE)},
     haaland},
    {"pipe loss",
     {PW_MAY("bore", LENGTH, 1e-4, 20, 0), PW_NEED("length", LENGTH, 0, 1e6), PW_MAY("roughness", LENGTH, 0, 0.1, 0),
      PW_MAY("loss coefficient", NONE, 0, 1e9, 0), PW_NEED("flow", FLOW, -1e3, 1e3),
      PW_MAY("temperature", TEMPERATURE, 0, 100, 20), PW_MAY_IN("density", "kg/m3", 0, 2e4, 0),
      PW_MAY_IN("viscosity", "Pa s", 0, 1e3, 0), PW_MAYBE_WORDS("pipe")},
     {PW_GIVE("head loss", LENGTH), PW_GIVE("pressure loss", PRESSURE), PW_GIVE("velocity", VELOCITY),
      PW_GIVE("reynolds", NONE), PW_GIVE("friction factor", NONE), PW_GIVE_IN("slope", "s/m2")},
     pipe_loss},
    {"pipe loss, Hazen and Williams",
     {PW_MAY("bore", LENGTH, 1e-4, 20, 0), PW_NEED("length", LENGTH, 0, 1e6), PW_MAY("coefficient", NONE, 20, 200, 0),
      PW_MAY("loss coefficient", NONE, 0, 1e9, 0), PW_NEED("flow", FLOW, -1e3, 1e3), PW_MAYBE_WORDS("pipe")},
     {PW_GIVE("head loss", LENGTH), PW_GIVE("velocity", VELOCITY)},
     hazen},
    {"fitting",
     {PW_WORDS("fitting"), PW_NEED("bore", LENGTH, 1e-3, 5), PW_MAY("reynolds", NONE, 1, HUGE_VALUE, 1e5)},
     {PW_GIVE("loss coefficient", NONE), PW_GIVE("turbulent loss coefficient", NONE), PW_GIVE("name", NONE),
      PW_GIVE("source", NONE)},
     fitting},
    {"pipe",
     {PW_WORDS("pipe")},
     {PW_GIVE("name", NONE), PW_GIVE("bore", LENGTH), PW_GIVE("outer diameter", LENGTH), PW_GIVE("wall", LENGTH),
      PW_GIVE("roughness", LENGTH), PW_GIVE("modulus", PRESSURE), PW_GIVE("hazen coefficient", NONE)},
     pipe},
    {"wave speed",
     {PW_MAY("temperature", TEMPERATURE, 0, 100, 20), PW_NEED("bore", LENGTH, 1e-4, 20),
      PW_MAY("wall", LENGTH, 0, 1, 0), PW_MAY("modulus", PRESSURE, 0, 1e13, 0), PW_MAY("restraint", NONE, 0, 2, 1),
      PW_MAY_IN("density", "kg/m3", 0, 2e4, 0), PW_MAY("bulk modulus", PRESSURE, 0, 1e11, 0)},
     {PW_GIVE("wave speed", VELOCITY), PW_GIVE_IN("pressure per velocity", "Pa s/m")},
     wave_speed},
    {"curve",
     {PW_LIST("x", NONE, -1e300, 1e300), PW_LIST("y", NONE, -1e300, 1e300), PW_NEED("at", NONE, -1e300, 1e300)},
     {PW_GIVE("value", NONE), PW_GIVE("slope", NONE)},
     curve},
    {"pump head",
     {PW_LIST("flows", FLOW, 0, 1e3), PW_LIST("heads", LENGTH, 0, 1e5), PW_MAY("speed", FRACTION, 0, 4, 1),
      PW_NEED("flow", FLOW, -1e3, 1e3)},
     {PW_GIVE("head", LENGTH), PW_GIVE_IN("slope", "s/m2")},
     pump_head},
    {"pump duty",
     {PW_LIST("flows", FLOW, 0, 1e3), PW_LIST("heads", LENGTH, 0, 1e5), PW_MAY("speed", FRACTION, 0, 4, 1),
      PW_MAY("parallel", NONE, 1, 100, 1), PW_MAY("series", NONE, 1, 100, 1),
      PW_NEED("static head", LENGTH, -1e4, 1e4), PW_NEED_IN("system coefficient", "s2/m5", 0, 1e15)},
     {PW_GIVE("flow", FLOW), PW_GIVE("head", LENGTH)},
     pump_duty},
    {"affinity",
     {PW_NEED("speed", SPEED, 1, 1e6), PW_NEED("new speed", SPEED, 0, 1e6), PW_MAY("flow", FLOW, 0, 1e3, 0),
      PW_MAY("head", LENGTH, 0, 1e5, 0), PW_MAY("power", POWER, 0, 1e9, 0)},
     {PW_GIVE("flow", FLOW), PW_GIVE("head", LENGTH), PW_GIVE("power", POWER)},
     affinity},
    {"specific speed",
     {PW_NEED("speed", SPEED, 1, 1e6), PW_NEED("flow", FLOW, TINY, 1e3), PW_NEED("head", LENGTH, 1e-6, 1e5)},
     {PW_GIVE("specific speed", NONE)},
     specific_speed},
    {"pump power",
     {PW_NEED("flow", FLOW, 0, 1e3), PW_NEED("head", LENGTH, 0, 1e5), PW_NEED("efficiency", FRACTION, 1e-6, 1),
      PW_MAY("motor efficiency", FRACTION, 1e-6, 1, 1), PW_MAY("drive efficiency", FRACTION, 1e-6, 1, 1),
      PW_MAY("temperature", TEMPERATURE, 0, 100, 20), PW_MAY_IN("density", "kg/m3", 0, 2e4, 0)},
     {PW_GIVE("water power", POWER), PW_GIVE("shaft power", POWER), PW_GIVE("input power", POWER)},
     pump_power},
    {"temperature rise",
     {PW_NEED("head", LENGTH, 0, 1e5), PW_NEED("efficiency", FRACTION, 1e-6, 1),
      PW_MAY_IN("heat capacity", "J/(kg K)", 1, 1e5, 4184)},
     {PW_GIVE("rise", TEMPERATURE_RISE)},
     pump_rise},
    {"suction head available",
     {PW_MAY("absolute pressure", PRESSURE, 0, 1e8, 0), PW_MAY("vapour pressure", PRESSURE, 0, 1e7, 0),
      PW_MAY_IN("density", "kg/m3", 0, 2e4, 0), PW_NEED("water over pump", LENGTH, -1e3, 1e3),
      PW_MAY("suction loss", LENGTH, 0, 1e4, 0), PW_MAY("altitude", LENGTH, -450, 5500, 0),
      PW_MAY("temperature", TEMPERATURE, 0, 100, 20)},
     {PW_GIVE("head", LENGTH)},
     npsh},
};
/* clang-format on */
const int32_t pw_formulas_water_count = (int32_t)(sizeof pw_formulas_water / sizeof pw_formulas_water[0]);
