/* Registry: water itself and the air above it. */
#include <stddef.h>

#include "base/num.h"
#include "formula/atmosphere.h"
#include "formula/rows.h"
#include "formula/water.h"

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
        return pw_rows_refuse(r, "given.temperature", "0 to 100 degC, up to 10 MPa");
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

/* clang-format off */
static const pw_formula rows[] = {
    {.id = "water",
     .title = "Water at one atmosphere",
     .says = "Properties of liquid water by its temperature.",
     .in = {PW_NEED("temperature", TEMPERATURE, 0, 100, "of the water")},
     .out = {PW_GIVE_IN("density", "kg/m3", "mass of a cubic metre"),
             PW_GIVE_IN("viscosity", "Pa s", "dynamic"),
             PW_GIVE("vapour pressure", PRESSURE, "absolute"),
             PW_GIVE("sound speed", VELOCITY, "in unconfined water"),
             PW_GIVE("bulk modulus", PRESSURE, "isentropic: density times sound speed squared"),
             PW_GIVE_IN("heat capacity", "J/(kg K)", "at constant pressure")},
     .source = "IAPWS R7-97(2012) (IF97), region 1; IAPWS R12-08; sound speed Marczak, J. Acoust. Soc. Am. 102 (1997), "
               "from memory",
     .work = water},
    {.id = "water under pressure",
     .title = "Water at a pressure",
     .says = "Properties of liquid water by temperature and absolute pressure.",
     .in = {PW_NEED("temperature", TEMPERATURE, 0, 100, "of the water"),
            PW_NEED("absolute pressure", PRESSURE, 0, 1e7, "of the water")},
     .out = {PW_GIVE_IN("specific volume", "m3/kg", "one over the density"),
             PW_GIVE_IN("density", "kg/m3", "mass of a cubic metre"),
             PW_GIVE("sound speed", VELOCITY, "in unconfined water; up to 0.2 % high"),
             PW_GIVE_IN("heat capacity", "J/(kg K)", "at constant pressure")},
     .source = "IAPWS R7-97(2012) (IF97), region 1",
     .work = water_under_pressure},
    {.id = "viscosity",
     .title = "Viscosity of water",
     .says = "Dynamic viscosity by temperature and density.",
     .in = {PW_NEED("temperature", TEMPERATURE, 0, 100, "of the water"),
            PW_NEED_IN("density", "kg/m3", 900, 1100, "near that of the liquid")},
     .out = {PW_GIVE_IN("viscosity", "Pa s", "dynamic")},
     .source = "IAPWS R12-08, without the critical enhancement",
     .work = viscosity},
    {.id = "vapour pressure",
     .title = "Saturation pressure of water",
     .says = "Absolute pressure at which water of a temperature boils.",
     .in = {PW_NEED("temperature", TEMPERATURE, 0, 350, "of the water")},
     .out = {PW_GIVE("vapour pressure", PRESSURE, "absolute")},
     .source = "IAPWS R7-97(2012) (IF97), region 4, equation 30",
     .work = vapour},
    {.id = "boiling point",
     .title = "Boiling point of water",
     .says = "Temperature at which water boils at an absolute pressure.",
     .in = {PW_NEED("absolute pressure", PRESSURE, 611.213, 16.5e6, "on the water")},
     .out = {PW_GIVE("temperature", TEMPERATURE, "at which it boils")},
     .source = "IAPWS R7-97(2012) (IF97), region 4, equation 31",
     .work = boiling},
    {.id = "air pressure",
     .title = "Air pressure by altitude",
     .says = "Mean absolute air pressure at a height above the sea.",
     .in = {PW_NEED("altitude", LENGTH, -2000, 11000, "above sea level")},
     .out = {PW_GIVE("absolute pressure", PRESSURE, "of the standard atmosphere")},
     .source = "ISO 2533:1975, troposphere",
     .work = air},
};
/* clang-format on */
const pw_formula_table pw_rows_water = {"Water and air", "water", rows, (int32_t)(sizeof rows / sizeof rows[0])};
