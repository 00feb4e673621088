#include "formula/orifice.h"

#include <stddef.h>

#include "base/num.h"
#include "formula/friction.h"

#define SMALL_HEAD_M 1e-3

double pw_orifice_m3s(double cd_area_m2, double head_m, double *slope)
{
    const double scale = cd_area_m2 * pw_sqrt(2.0 * PW_G);
    const double square = head_m * head_m + SMALL_HEAD_M * SMALL_HEAD_M;
    const double root = pw_sqrt(pw_sqrt(square)); /* about sqrt(|head|) */
    if (slope != NULL) {
        *slope = scale * (0.5 * head_m * head_m + SMALL_HEAD_M * SMALL_HEAD_M) / (root * square);
    }
    return scale * head_m / root;
}

double pw_hole_m3s(double cd_area_m2, double pressure_pa, double density_kgm3)
{
    const double speed = pw_sqrt(2.0 * pw_abs(pressure_pa) / density_kgm3);
    return pressure_pa < 0.0 ? -cd_area_m2 * speed : cd_area_m2 * speed;
}

double pw_hole_cd_area_m2(double bore_m, double cd)
{
    return cd * pw_bore_area_m2(bore_m);
}

double pw_orifice_cd_area_m2(double flow_m3s, double head_m)
{
    return flow_m3s / pw_sqrt(2.0 * PW_G * head_m);
}

double pw_tap_m3s(double full_m3s, double need_m, double head_m, double *slope)
{
    const double small = 0.05;
    const double x = head_m / need_m;
    *slope = 0.0;
    if (full_m3s <= 0.0 || x <= 0.0) {
        return 0.0;
    }
    if (x >= 1.0) {
        return full_m3s;
    }
    if (x >= small) {
        const double root = pw_sqrt(x);
        *slope = full_m3s * 0.5 / (root * need_m);
        return full_m3s * root;
    }
    /* a x + b x^2 with the value and slope of the root at `small` */
    const double root = pw_sqrt(small);
    const double a = 1.5 / root;
    const double b = -0.5 / (small * root);
    *slope = full_m3s * (a + 2.0 * b * x) / need_m;
    return full_m3s * x * (a + b * x);
}

double pw_leak_ratio(double before_pa, double after_pa, double exponent)
{
    if (!(before_pa > 0.0) || !(after_pa > 0.0)) {
        return 0.0;
    }
    const double ratio = after_pa / before_pa;
    return exponent == 0.5 ? pw_sqrt(ratio) : pw_pow(ratio, exponent);
}
