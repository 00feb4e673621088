/* Colebrook and White: x = 1/sqrt(f) solves  F(x) = x + 2 log10(r/3.7 + 2.51 x/Re) = 0.
 * F rises and is concave in x (F' = 1 + (2/ln 10) b/(a + b x) > 1), so Newton from a near guess settles from below
 * without overshooting. Guess: Haaland. Measured: at most 4 steps to 1e-12 over Re 4e3 .. 1e9 and roughness 0 .. 0.1.
 *
 * Between 2300 and 4000 the loss L(Re) = f Re^2 is a Hermite cubic: values 64 Re and Colebrook's, slopes 64 and
 * Colebrook's. With d the chord's slope, both end slopes lie in 0 .. 3d for every roughness (tests/unit/formula),
 * which is the condition of Fritsch and Carlson for a rising cubic.
 */
#include "formula/friction.h"

#include <stddef.h>
#include <stdint.h>

#include "base/num.h"

#define TWO_PER_LN10   0.86858896380650365530 /* 2 / ln 10 */
#define LEAST_LENGTH_M 1e-3
#define STILL_MS       1e-4 /* below this velocity fittings act like a laminar loss */
#define HAZEN_STILL_MS 0.01

double pw_friction_haaland(double reynolds, double relative_roughness)
{
    const double x = -1.8 * pw_log10(pw_pow(relative_roughness / 3.7, 1.11) + 6.9 / reynolds);
    return 1.0 / (x * x);
}

double pw_friction_swamee_jain(double reynolds, double relative_roughness)
{
    const double x = pw_log10(relative_roughness / 3.7 + 5.74 / pw_pow(reynolds, 0.9));
    return 0.25 / (x * x);
}

/* f of Colebrook and White and df/dRe; reynolds >= PW_RE_TURBULENT. */
static double colebrook(double reynolds, double roughness, double *slope)
{
    const double a = roughness / 3.7;
    const double b = 2.51 / reynolds;
    double x = 1.0 / pw_sqrt(pw_friction_haaland(reynolds, roughness));
    for (int32_t step = 0; step < 20; step++) {
        const double inner = a + b * x;
        const double value = x + TWO_PER_LN10 * pw_log(inner);
        const double change = value / (1.0 + TWO_PER_LN10 * b / inner);
        x -= change;
        if (!(pw_abs(change) > 1e-12 * x)) {
            break;
        }
    }
    const double share = TWO_PER_LN10 * b / (a + b * x);
    const double dx = share * x / (reynolds * (1.0 + share));
    *slope = -2.0 * dx / (x * x * x);
    return 1.0 / (x * x);
}

static double between_regimes(double reynolds, double roughness, double *slope)
{
    double turbulent_slope;
    const double f = colebrook(PW_RE_TURBULENT, roughness, &turbulent_slope);
    const double width = PW_RE_TURBULENT - PW_RE_LAMINAR;
    const double low = 64.0 * PW_RE_LAMINAR;
    const double low_slope = 64.0;
    const double high = f * PW_RE_TURBULENT * PW_RE_TURBULENT;
    const double high_slope = PW_RE_TURBULENT * (2.0 * f + PW_RE_TURBULENT * turbulent_slope);
    const double t = (reynolds - PW_RE_LAMINAR) / width;
    const double chord = (high - low) / width;
    const double c2 = 3.0 * chord - 2.0 * low_slope - high_slope;
    const double c3 = low_slope + high_slope - 2.0 * chord;
    const double loss = low + width * t * (low_slope + t * (c2 + t * c3));
    const double loss_slope = low_slope + t * (2.0 * c2 + 3.0 * t * c3);
    const double square = reynolds * reynolds;
    *slope = (loss_slope - 2.0 * loss / reynolds) / square;
    return loss / square;
}

double pw_friction_factor(double reynolds, double relative_roughness, double *df_dre)
{
    const double re = pw_max(reynolds, 1e-12);
    const double roughness = pw_clamp(relative_roughness, 0.0, 0.1);
    double slope = -64.0 / (re * re);
    const double factor = re <= PW_RE_LAMINAR    ? 64.0 / re
                          : re < PW_RE_TURBULENT ? between_regimes(re, roughness, &slope)
                                                 : colebrook(re, roughness, &slope);
    if (df_dre != NULL) {
        *df_dre = slope;
    }
    return factor;
}

double pw_bore_area_m2(double bore_m)
{
    return 0.25 * PW_PI * bore_m * bore_m;
}

double pw_bore_for_m(double flow_m3s, double velocity_ms)
{
    return pw_sqrt(4.0 * flow_m3s / (PW_PI * velocity_ms));
}

double pw_square_loss_s2m5(double k, double area_m2)
{
    return k / (2.0 * PW_G * area_m2 * area_m2);
}

double pw_narrowed_divides(double part)
{
    return part * part * part * part * part;
}

double pw_reynolds(double bore_m, const pw_water *water, double flow_m3s)
{
    return pw_abs(flow_m3s) / pw_bore_area_m2(bore_m) * bore_m * water->density_kgm3 / water->viscosity_pas;
}

/* Head lost in fittings and its slope, for a velocity. */
static double fittings_loss(double k_sum, double velocity_ms, double *slope)
{
    const double size = pw_sqrt(velocity_ms * velocity_ms + STILL_MS * STILL_MS);
    *slope = k_sum * (size + velocity_ms * velocity_ms / size) / (2.0 * PW_G);
    return k_sum * velocity_ms * size / (2.0 * PW_G);
}

void pw_pipe_loss(double bore_m, double length_m, double rough_m, double k_sum, const pw_water *water, double flow_m3s,
                  double *loss_m, double *dloss_dflow)
{
    const double area = pw_bore_area_m2(bore_m);
    const double velocity = flow_m3s / area;
    const double speed = pw_abs(velocity);
    const double re_per_speed = bore_m * water->density_kgm3 / water->viscosity_pas;
    const double re = speed * re_per_speed;
    const double per_length = pw_max(length_m, LEAST_LENGTH_M) / (bore_m * 2.0 * PW_G);
    double friction;
    double friction_slope;
    if (re <= PW_RE_LAMINAR) {
        friction_slope = per_length * 64.0 / re_per_speed;
        friction = friction_slope * velocity;
    } else {
        double df_dre;
        const double f = pw_friction_factor(re, rough_m / bore_m, &df_dre);
        friction = per_length * f * velocity * speed;
        friction_slope = per_length * speed * (2.0 * f + re * df_dre);
    }
    double fitting_slope;
    const double fitting = fittings_loss(k_sum, velocity, &fitting_slope);
    *loss_m = friction + fitting;
    if (dloss_dflow != NULL) {
        *dloss_dflow = (friction_slope + fitting_slope) / area;
    }
}

void pw_hazen_loss(double bore_m, double length_m, double hazen_c, double k_sum, double flow_m3s, double *loss_m,
                   double *dloss_dflow)
{
    const double power = 1.852;
    const double area = pw_bore_area_m2(bore_m);
    const double c = pw_clamp(hazen_c, 20.0, 200.0);
    const double k = 10.67 * pw_max(length_m, LEAST_LENGTH_M) / (pw_pow(c, power) * pw_pow(bore_m, 4.8704));
    const double size = pw_abs(flow_m3s);
    const double still = HAZEN_STILL_MS * area;
    double friction;
    double slope;
    if (size < still) {
        const double at_still = k * pw_pow(still, power - 1.0);
        const double linear = 0.5 * (3.0 - power) * at_still;
        const double cubic = 0.5 * (power - 1.0) * at_still / (still * still);
        friction = flow_m3s * (linear + cubic * flow_m3s * flow_m3s);
        slope = linear + 3.0 * cubic * flow_m3s * flow_m3s;
    } else {
        const double per_flow = k * pw_pow(size, power - 1.0);
        friction = per_flow * flow_m3s;
        slope = power * per_flow;
    }
    double fitting_slope;
    const double fitting = fittings_loss(k_sum, flow_m3s / area, &fitting_slope);
    *loss_m = friction + fitting;
    if (dloss_dflow != NULL) {
        *dloss_dflow = slope + fitting_slope / area;
    }
}
