#include "formula/tank.h"

#include <stddef.h>

#include "base/num.h"

#define WEIR 1.7 /* m^0.5/s */

double pw_tank_depth_m(double area_m2, double volume_m3)
{
    return volume_m3 / area_m2;
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

double pw_weir_m3s(double width_m, double over_m)
{
    return over_m > 0.0 ? WEIR * width_m * over_m * pw_sqrt(over_m) : 0.0;
}
