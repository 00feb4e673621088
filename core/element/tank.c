#include "element/tank.h"

#include "formula/bore.h"
#include "formula/tank.h"

#define OUTLET_BAND_M 0.05
#define OVERFLOW_M    0.2

double pw_tank_water_m(const pw_tank *tank, double volume_m3)
{
    return pw_tank_depth_m(tank->area_m2.v, volume_m3);
}

double pw_tank_wet(double depth_m)
{
    return pw_intake_wet(depth_m, OUTLET_BAND_M, NULL);
}

double pw_tank_spill_m3s(const pw_tank *tank, double volume_m3)
{
    return pw_weir_m3s(OVERFLOW_M, pw_tank_water_m(tank, volume_m3) - tank->depth_m.v);
}
