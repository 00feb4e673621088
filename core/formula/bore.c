#include "formula/bore.h"

#include <stddef.h>
#include <stdint.h>

#include "base/num.h"

#define BLEND       0.1 /* of the yield, to both sides of the corner */
#define EULER_GAMMA 0.57721566490153286061

double pw_bore_inflow_m3s(double drawdown_m, double capacity_m2s, double yield_m3s, double *slope)
{
    const double straight = capacity_m2s * drawdown_m;
    const double low = (1.0 - BLEND) * yield_m3s;
    const double high = (1.0 + BLEND) * yield_m3s;
    double inflow = yield_m3s;
    double share = 0.0;
    if (straight <= low) {
        inflow = straight;
        share = 1.0;
    } else if (straight < high) {
        const double over = straight - low;
        const double width = high - low;
        inflow = straight - 0.5 * over * over / width;
        share = 1.0 - over / width;
    }
    if (slope != NULL) {
        *slope = share * capacity_m2s;
    }
    return inflow;
}

double pw_bore_drawdown_m(double flow_m3s, double capacity_m2s, double yield_m3s)
{
    if (!(capacity_m2s > 0.0) || !(flow_m3s < yield_m3s)) {
        return flow_m3s <= 0.0 && capacity_m2s > 0.0 ? flow_m3s / capacity_m2s : PW_INF;
    }
    const double low = (1.0 - BLEND) * yield_m3s;
    double straight = flow_m3s;
    if (flow_m3s > low) {
        /* over - over^2/(2 width) = flow - low, the smaller root */
        const double width = 2.0 * BLEND * yield_m3s;
        straight = low + width - pw_sqrt(pw_max(width * width - 2.0 * width * (flow_m3s - low), 0.0));
    }
    return straight / capacity_m2s;
}

double pw_covered_depth_m(double depth_m, double standing_m, double intake_m)
{
    return pw_min(depth_m, pw_max(intake_m - PW_INTAKE_COVER_M, standing_m));
}

double pw_intake_room_m(double intake_m, double depth_m)
{
    return intake_m - PW_INTAKE_COVER_M - depth_m;
}

double pw_intake_wet(double over_m, double band_m, double *slope)
{
    const double band = pw_max(band_m, 1e-4);
    const double t = pw_clamp(over_m / band, 0.0, 1.0);
    if (slope != NULL) {
        *slope = 6.0 * t * (1.0 - t) / band;
    }
    return t * t * (3.0 - 2.0 * t);
}

double pw_well_function(double u)
{
    if (!(u > 0.0)) {
        return PW_INF;
    }
    if (u <= 1.0) {
        /* -gamma - ln u - sum (-u)^k / (k k!) */
        double term = 1.0;
        double sum = 0.0;
        for (int32_t k = 1; k <= 30; k++) {
            term *= -u / k;
            sum += term / k;
        }
        return -EULER_GAMMA - pw_log(u) - sum;
    }
    /* Continued fraction of Lentz: e^-u / (u + 1 - 1/(u + 3 - 4/(u + 5 - ...))) */
    double b = u + 1.0;
    double c = 1e300;
    double d = 1.0 / b;
    double product = d;
    for (int32_t k = 1; k <= 200; k++) {
        const double a = -(double)k * k;
        b += 2.0;
        d = 1.0 / (a * d + b);
        c = b + a / c;
        const double factor = c * d;
        product *= factor;
        if (pw_abs(factor - 1.0) < 1e-16) {
            break;
        }
    }
    return product * pw_exp(-u);
}

double pw_theis_drawdown_m(double flow_m3s, double transmissivity_m2s, double storage, double radius_m, double time_s,
                           double well_loss_s2m5)
{
    const double u = radius_m * radius_m * storage / (4.0 * transmissivity_m2s * time_s);
    return flow_m3s / (4.0 * PW_PI * transmissivity_m2s) * pw_well_function(u) + well_loss_s2m5 * flow_m3s * flow_m3s;
}

double pw_tested_capacity_m2s(double flow_m3s, double drawdown_m, double time_s, double casing_m2)
{
    double low = 1e-7;
    double high = pw_max(flow_m3s / drawdown_m, low);
    for (int32_t i = 0; i < 60; i++) { /* the drawdown after this time falls as the capacity rises */
        const double mid = 0.5 * (low + high);
        const double after_m = flow_m3s / mid * (1.0 - pw_exp(-pw_min(mid * time_s / casing_m2, 700.0)));
        *(after_m > drawdown_m ? &low : &high) = mid;
    }
    return high;
}
