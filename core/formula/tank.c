#include "formula/tank.h"

#include <stddef.h>

#include "base/num.h"

double pw_tank_depth_m(double area_m2, double volume_m3)
{
    return pw_max(volume_m3, 0.0) / area_m2;
}

double pw_float_opening(double depth_m, double closes_m, double band_m, double passing, double *slope)
{
    const double band = pw_max(band_m, 1e-4);
    const double least = pw_clamp(passing, 0.0, 1.0);
    const double t = pw_clamp((closes_m - depth_m) / band, 0.0, 1.0);
    if (slope != NULL) {
        *slope = -(1.0 - least) * 6.0 * t * (1.0 - t) / band;
    }
    return least + (1.0 - least) * t * t * (3.0 - 2.0 * t);
}

double pw_tank_spill_m3s(double depth_m, double overflow_m, double net_inflow_m3s)
{
    return depth_m >= overflow_m ? pw_max(net_inflow_m3s, 0.0) : 0.0;
}
