/* Formulas of core/study for pw_reckon: pumps, suction, pipes, fittings. */
#include "door/reckon_inside.h"

#include <stddef.h>
#include <string.h>

#include "base/num.h"
#include "formula/demand.h"
#include "formula/fitting.h"
#include "formula/tables.h"
#include "formula/atmosphere.h"
#include "formula/friction.h"
#include "formula/pipe.h"
#include "formula/pump.h"
#include "formula/surge.h"
#include "formula/water.h"

static pw_status least_flow(pw_reckoning *r)
{
    r->out[0] = pw_least_flow_m3s(r->in[0], r->in[2], r->in[3], r->in[1]);
    return PW_OK;
}

static pw_status warming(pw_reckoning *r)
{
    r->out[0] = r->in[0] * (1.0 - r->in[1]) / (r->in[2] * r->in[3]);
    return PW_OK;
}

static pw_status largest_lift(pw_reckoning *r)
{
    pw_water water;
    pw_water_at(r->in[1], &water);
    r->out[0] = pw_largest_lift_m(pw_atmosphere_pa(r->in[0]), water.vapour_pa, water.density_kgm3, r->in[2], r->in[3],
                                  r->in[4]);
    return PW_OK;
}

static pw_status grade(pw_reckoning *r)
{
    const pw_grade *g = pw_grade_find(r->text[0]);
    if (g == NULL) {
        return pw_problem_add(r->problems, PW_WORD, "given.grade", r->text[0],
                              "class 1, class 2, 1B, 1E, 1U, 2B, 2U or 3B", NULL);
    }
    r->out[0] = g->flow_low;
    r->out[1] = g->flow_high;
    r->out[2] = g->head_low;
    r->out[3] = g->head_high;
    r->out[4] = g->power_high;
    r->out[5] = g->efficiency_low;
    return PW_OK;
}

static pw_status k_of_kv(pw_reckoning *r)
{
    const double k = pw_k_of_kv(r->in[0], r->in[1]);
    r->out[0] = k;
    r->out[1] = k / r->in[2];
    r->out[2] = k / r->in[2] * r->in[1];
    return PW_OK;
}

static pw_status kv_of_k(pw_reckoning *r)
{
    r->out[0] = pw_sqrt(pw_k_of_kv(1.0, r->in[1]) / r->in[0]);
    return PW_OK;
}

static pw_status two_k(pw_reckoning *r)
{
    r->out[0] = r->in[0] / pw_max(r->in[3], 1.0) + r->in[1] * (1.0 + 0.0254 / r->in[2]);
    return PW_OK;
}

static pw_status three_k(pw_reckoning *r)
{
    r->out[0] = r->in[0] / pw_max(r->in[4], 1.0) + r->in[1] * (1.0 + r->in[2] / pw_pow(r->in[3] / 0.0254, 0.3));
    return PW_OK;
}

static pw_status equivalent(pw_reckoning *r)
{
    const char *names[16];
    int32_t count = 0;
    while (count < 16 && pw_equivalent_fitting(count) != NULL) {
        names[count] = pw_equivalent_fitting(count);
        count++;
    }
    r->out[0] = pw_equivalent_m(r->text[0], r->in[1] / 0.0254);
    if (r->out[0] > 0.0) {
        return PW_OK;
    }
    const int32_t near = pw_near_match(r->text[0], names, count);
    if (near < 0 || strcmp(names[near], r->text[0]) != 0) {
        return pw_problem_add(
            r->problems, PW_REFERENCE, "given.fitting", r->text[0],
            "elbow 45, elbow 90, elbow 90 long, tee branch, butterfly valve, gate valve or non-return "
            "valve",
            near >= 0 ? names[near] : NULL);
    }
    return pw_problem_add(r->problems, PW_RANGE, "given.size", NULL, "a nominal size of the table, 3/4 to 6 in", NULL);
}

static pw_status rating(pw_reckoning *r)
{
    r->out[0] = pw_pipe_rating_pa(r->in[0], r->in[1], r->in[2]);
    return PW_OK;
}

static pw_status aged(pw_reckoning *r)
{
    pw_pipe_size size;
    const pw_status status = pw_reckon_pipe(r, r->text[0], &size);
    if (status != PW_OK) {
        return status;
    }
    r->out[0] = size.rough_m;
    r->out[1] = pw_aged_rough_m(size.name, size.rough_m);
    return PW_OK;
}

/* Joukowsky: rho a v. A valve that takes longer than the wave needs there and back makes less: about that part of it
 * (Michaud's 2 rho L v / t). */
static pw_status hammer(pw_reckoning *r)
{
    pw_water water;
    pw_pipe_size size;
    pw_water_at(r->in[4], &water);
    double wave = r->in[2];
    if (r->text[5] != NULL) {
        const pw_status status = pw_reckon_pipe(r, r->text[5], &size);
        if (status != PW_OK) {
            return status;
        }
        wave = pw_wave_speed_ms(&water, size.bore_m, size.wall_m, size.modulus_pa, 1.0);
    }
    if (!(wave > 0.0)) {
        return pw_problem_add(r->problems, PW_MISSING, "given.wave speed", NULL, "`wave speed` or `pipe`", NULL);
    }
    const double there_and_back_s = 2.0 * r->in[1] / wave;
    const double part = r->in[3] > there_and_back_s ? there_and_back_s / r->in[3] : 1.0;
    r->out[0] = part * water.density_kgm3 * wave * r->in[0];
    r->out[1] = r->out[0] / (water.density_kgm3 * PW_G);
    r->out[2] = wave;
    r->out[3] = there_and_back_s;
    return PW_OK;
}

static pw_status energy(pw_reckoning *r)
{
    const double kwh_m3 = 998.2 * PW_G * r->in[0] / (r->in[1] * r->in[2]) / 3.6e6;
    r->out[0] = kwh_m3;
    r->out[1] = kwh_m3 * r->in[3] * 3.6e6;
    r->out[2] = kwh_m3 * r->in[3] * r->in[4];
    return PW_OK;
}

static pw_status bore_for(pw_reckoning *r)
{
    r->out[0] = pw_sqrt(4.0 * r->in[0] / (PW_PI * r->in[1]));
    return PW_OK;
}

static pw_status people(pw_reckoning *r)
{
    r->out[0] = r->in[0] * r->in[1] * 86400.0;
    r->out[1] = r->in[0] * r->in[1] * r->in[2];
    return PW_OK;
}

/* clang-format off */
const pw_formula pw_formulas_size_pump[] = {
    {"least flow",
     {PW_NEED("power", POWER, 0, 1e7), PW_NEED("rise", TEMPERATURE_RISE, 0.01, 100),
      PW_MAY_IN("density", "kg/m3", 1, 2000, 998.2), PW_MAY_IN("heat capacity", "J/(kg K)", 1, 1e5, 4184)},
     {PW_GIVE("flow", FLOW)},
     least_flow},
    {"warming by losses",
     {PW_NEED("power", POWER, 0, 1e8), PW_NEED("efficiency", FRACTION, 0, 1),
      PW_NEED_IN("mass flow", "kg/s", 1e-9, 1e6),
      PW_MAY_IN("heat capacity", "J/(kg K)", 1, 1e5, 4184)},
     {PW_GIVE("rise", TEMPERATURE_RISE)},
     warming},
    {"largest suction lift",
     {PW_MAY("altitude", LENGTH, -450, 5500, 0), PW_MAY("temperature", TEMPERATURE, 0, 100, 15),
      PW_NEED("required", LENGTH, 0, 50), PW_MAY("margin", LENGTH, 0, 50, 0), PW_MAY("losses", LENGTH, 0, 1000, 0)},
     {PW_GIVE("lift", LENGTH)},
     largest_lift},
    {"acceptance grade",
     {PW_WORDS("grade")},
     {PW_GIVE("least flow", FRACTION), PW_GIVE("most flow", FRACTION), PW_GIVE("least head", FRACTION),
      PW_GIVE("most head", FRACTION), PW_GIVE("most power", FRACTION), PW_GIVE("least efficiency", FRACTION)},
     grade},
    {"loss coefficient of a flow coefficient",
     {PW_NEED_IN("Kv", "m3/h", 1e-6, 1e6), PW_NEED("bore", LENGTH, 1e-3, 3),
      PW_MAY("friction factor", NONE, 1e-3, 1, 0.02)},
     {PW_GIVE("K", NONE), PW_GIVE("L/D", NONE), PW_GIVE("length", LENGTH)},
     k_of_kv},
    {"flow coefficient of a loss coefficient",
     {PW_NEED("K", NONE, 1e-9, 1e9), PW_NEED("bore", LENGTH, 1e-3, 3)},
     {PW_GIVE_IN("Kv", "m3/h")},
     kv_of_k},
    {"fitting by 2K",
     {PW_NEED("K1", NONE, 0, 1e5), PW_NEED("K infinite", NONE, 0, 1e4), PW_NEED("bore", LENGTH, 1e-4, 3),
      PW_NEED("reynolds", NONE, 0, 1e12)},
     {PW_GIVE("K", NONE)},
     two_k},
    {"fitting by 3K",
     {PW_NEED("K1", NONE, 0, 1e5), PW_NEED("Ki", NONE, 0, 1e4), PW_NEED("Kd", NONE, 0, 100),
      PW_NEED("bore", LENGTH, 1e-4, 3),
      PW_NEED("reynolds", NONE, 0, 1e12)},
     {PW_GIVE("K", NONE)},
     three_k},
    {"equivalent length",
     {PW_WORDS("fitting"), PW_NEED("size", LENGTH, 0.01, 1)},
     {PW_GIVE("length", LENGTH)},
     equivalent},
    {"pipe rating",
     {PW_NEED("SDR", NONE, 2, 100), PW_MAY("strength", PRESSURE, 1e5, 1e9, 1e7), PW_MAY("safety", NONE, 1, 10, 1.25)},
     {PW_GIVE("rating", PRESSURE)},
     rating},
    {"water hammer",
     {PW_NEED("velocity", VELOCITY, 0, 100), PW_NEED("length", LENGTH, 0, 1e6),
      PW_MAY("wave speed", VELOCITY, 0, 2000, 0), PW_MAY("closing time", TIME, 0, 1e5, 0),
      PW_MAY("temperature", TEMPERATURE, 0, 100, 20), PW_MAYBE_WORDS("pipe")},
     {PW_GIVE("pressure rise", PRESSURE), PW_GIVE("head rise", LENGTH), PW_GIVE("wave speed", VELOCITY),
      PW_GIVE("there and back", TIME)},
     hammer},
    {"energy of pumping",
     {PW_NEED("head", LENGTH, 0, 1e5), PW_NEED("efficiency", FRACTION, 1e-6, 1),
      PW_MAY("motor efficiency", FRACTION, 1e-6, 1, 1), PW_MAY("volume", VOLUME, 0, 1e12, 1),
      PW_MAY("price", NONE, 0, 1e6, 0)},
     {PW_GIVE_IN("energy for each m3", "kWh/m3"), PW_GIVE("energy", ENERGY), PW_GIVE("cost", NONE)},
     energy},
    {"bore for a velocity",
     {PW_NEED("flow", FLOW, 0, 1e3), PW_NEED("velocity", VELOCITY, 1e-6, 100)},
     {PW_GIVE("bore", LENGTH)},
     bore_for},
    {"people",
     {PW_NEED("people", NONE, 0, 1e7), PW_MAY("each person", FLOW, 0, 1, 310e-3 / 86400.0),
      PW_MAY("peak factor", NONE, 1, 100, 4)},
     {PW_GIVE("daily volume", VOLUME), PW_GIVE("busiest hour", FLOW)},
     people},
    {"aged pipe",
     {PW_WORDS("pipe")},
     {PW_GIVE("new", LENGTH), PW_GIVE("aged", LENGTH)},
     aged},
};
/* clang-format on */
const int32_t pw_formulas_size_pump_count = (int32_t)(sizeof pw_formulas_size_pump / sizeof pw_formulas_size_pump[0]);
