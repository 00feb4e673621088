#include "formula/atmosphere.h"

#include "base/num.h"

double pw_atmosphere_pa(double altitude_m)
{
    const double earth_m = 6356766.0;
    const double gas = 287.05287;   /* J/(kg K), dry air */
    const double lapse = 0.0065;    /* K per geopotential metre */
    const double ground_k = 288.15; /* at sea level */
    const double z = pw_clamp(altitude_m, -2000.0, 11000.0);
    const double h = earth_m * z / (earth_m + z);
    return PW_ATM_PA * pw_pow(1.0 - lapse * h / ground_k, PW_G / (gas * lapse));
}
