#include "formula/water.h"

#include <stddef.h>
#include <stdint.h>

#include "base/num.h"

#define GAS_JKGK 461.526 /* specific gas constant of water, IF97 */
#define KELVIN   273.15

/* IF97 region 1, Table 2: exponents I, J and coefficients n. */
typedef struct term {
    int8_t i, j;
    double n;
} term;

static const term region1[34] = {
    {0, -2, 0.14632971213167},        {0, -1, -0.84548187169114},       {0, 0, -3.7563603672040},
    {0, 1, 3.3855169168385},          {0, 2, -0.95791963387872},        {0, 3, 0.15772038513228},
    {0, 4, -0.016616417199501},       {0, 5, 0.81214629983568e-3},      {1, -9, 0.28319080123804e-3},
    {1, -7, -0.60706301565874e-3},    {1, -1, -0.018990068218419},      {1, 0, -0.032529748770505},
    {1, 1, -0.021841717175414},       {1, 3, -0.52838357969930e-4},     {2, -3, -0.47184321073267e-3},
    {2, 0, -0.30001780793026e-3},     {2, 1, 0.47661393906987e-4},      {2, 3, -0.44141845330846e-5},
    {2, 17, -0.72694996297594e-15},   {3, -4, -0.31679644845054e-4},    {3, 0, -0.28270797985312e-5},
    {3, 6, -0.85205128120103e-9},     {4, -5, -0.22425281908000e-5},    {4, -2, -0.65171222895601e-6},
    {4, 10, -0.14341729937924e-12},   {5, -8, -0.40516996860117e-6},    {8, -11, -0.12734301741641e-8},
    {8, -6, -0.17424871230634e-9},    {21, -29, -0.68762131295531e-18}, {23, -31, 0.14478307828521e-19},
    {29, -38, 0.26335782662795e-22},  {30, -39, -0.11947622640071e-22}, {31, -40, 0.18228094581404e-23},
    {32, -41, -0.93537087292458e-25},
};

/* IF97 region 4, Table 34. */
static const double region4[10] = {
    1167.0521452767, -724213.16703206, -17.073846940092, 12020.824702470,   -3232555.0322333,
    14.915108613530, -4823.2657361591, 405113.40542057,  -0.23855557567849, 650.17534844798,
};

/* IAPWS R12-08, Table 2: H[i][j] on (1/T - 1)^i (rho - 1)^j. */
static const double viscosity_h[6][7] = {
    {0.520094, 0.222531, -0.281378, 0.161913, -0.0325372, 0, 0},
    {0.0850895, 0.999115, -0.906851, 0.257399, 0, 0, 0},
    {-1.08374, 1.88797, -0.772479, 0, 0, 0, 0},
    {-0.289555, 1.26613, -0.489837, 0, 0.0698452, 0, -0.00435673},
    {0, 0, -0.257040, 0, 0, 0.00872102, 0},
    {0, 0.120573, 0, 0, 0, 0, -0.000593264},
};

static double power_of(double x, int32_t n)
{
    double product = 1.0;
    double factor = n < 0 ? 1.0 / x : x;
    for (int32_t left = n < 0 ? -n : n; left > 0; left >>= 1) {
        if (left & 1) {
            product *= factor;
        }
        factor *= factor;
    }
    return product;
}

/* Derivatives of the dimensionless Gibbs energy gamma(pi, tau) that the properties need. */
typedef struct gibbs {
    double p, pp, tt, pt;
} gibbs;

static gibbs gibbs_at(double pi, double tau)
{
    const double a = 7.1 - pi;
    const double b = tau - 1.222;
    gibbs sum = {0, 0, 0, 0};
    for (int32_t k = 0; k < 34; k++) {
        const int32_t i = region1[k].i;
        const int32_t j = region1[k].j;
        const double n = region1[k].n;
        sum.tt += n * j * (j - 1) * power_of(a, i) * power_of(b, j - 2);
        if (i >= 1) {
            sum.p -= n * i * power_of(a, i - 1) * power_of(b, j);
            sum.pt -= n * i * j * power_of(a, i - 1) * power_of(b, j - 1);
        }
        if (i >= 2) {
            sum.pp += n * i * (i - 1) * power_of(a, i - 2) * power_of(b, j);
        }
    }
    return sum;
}

double pw_water_viscosity_pas(double temperature_c, double density_kgm3)
{
    const double t = (temperature_c + KELVIN) / 647.096;
    const double r = density_kgm3 / 322.0;
    const double x = 1.0 / t - 1.0;
    const double y = r - 1.0;
    const double dilute = 100.0 * pw_sqrt(t) / (1.67752 + (2.20462 + (0.6366564 - 0.241605 / t) / t) / t);
    double sum = 0.0;
    for (int32_t i = 0; i < 6; i++) {
        double inner = 0.0;
        for (int32_t j = 6; j >= 0; j--) {
            inner = inner * y + viscosity_h[i][j];
        }
        sum += power_of(x, i) * inner;
    }
    return dilute * pw_exp(r * sum) * 1e-6;
}

double pw_vapour_pa(double temperature_c)
{
    const double *n = region4;
    const double t = pw_clamp(temperature_c, 0.0, 350.0) + KELVIN;
    const double theta = t + n[8] / (t - n[9]);
    const double a = (theta + n[0]) * theta + n[1];
    const double b = (n[2] * theta + n[3]) * theta + n[4];
    const double c = (n[5] * theta + n[6]) * theta + n[7];
    const double root = 2.0 * c / (-b + pw_sqrt(b * b - 4.0 * a * c));
    return root * root * root * root * 1e6;
}

double pw_boiling_c(double absolute_pa)
{
    const double *n = region4;
    const double p = pw_clamp(absolute_pa, 611.213, 16.5e6) * 1e-6;
    const double beta = pw_sqrt(pw_sqrt(p));
    const double e = (beta + n[2]) * beta + n[5];
    const double f = (n[0] * beta + n[3]) * beta + n[6];
    const double g = (n[1] * beta + n[4]) * beta + n[7];
    const double d = 2.0 * g / (-f - pw_sqrt(f * f - 4.0 * e * g));
    const double sum = n[9] + d;
    return 0.5 * (sum - pw_sqrt(sum * sum - 4.0 * (n[8] + n[9] * d))) - KELVIN;
}

bool pw_water_state(double temperature_c, double absolute_pa, pw_water *out)
{
    if (!(temperature_c >= 0.0 && temperature_c <= 100.0) || !(absolute_pa >= 0.0 && absolute_pa <= 10e6)) {
        return false;
    }
    const double t = temperature_c + KELVIN;
    const double pi = absolute_pa / 16.53e6;
    const double tau = 1386.0 / t;
    const gibbs g = gibbs_at(pi, tau);
    const double across = g.p - tau * g.pt;
    out->temperature_c = temperature_c;
    out->density_kgm3 = 16.53e6 / (g.p * GAS_JKGK * t);
    out->viscosity_pas = pw_water_viscosity_pas(temperature_c, out->density_kgm3);
    out->vapour_pa = pw_vapour_pa(temperature_c);
    out->sound_ms = pw_sqrt(GAS_JKGK * t * g.p * g.p / (across * across / (tau * tau * g.tt) - g.pp));
    out->bulk_pa = out->density_kgm3 * out->sound_ms * out->sound_ms;
    out->cp_jkgk = -tau * tau * g.tt * GAS_JKGK;
    return true;
}

/* Marczak 1997, one atmosphere, 0 .. 95 C. IF97 has the sound speed 0.19 % too high at 60 C and one atmosphere. */
static double sound_marczak_ms(double t)
{
    return 1402.385 + t * (5.038813 + t * (-5.799136e-2 + t * (3.287156e-4 + t * (-1.398845e-6 + t * 2.787860e-9))));
}

bool pw_water_at(double temperature_c, pw_water *out)
{
    const bool inside = temperature_c >= 0.0 && temperature_c <= 100.0;
    double held = inside ? temperature_c : 20.0;
    if (!inside && pw_is_finite(temperature_c)) {
        held = pw_clamp(temperature_c, 0.0, 100.0);
    }
    pw_water_state(held, pw_max(PW_ATM_PA, pw_vapour_pa(held)), out);
    out->sound_ms = sound_marczak_ms(held);
    out->bulk_pa = out->density_kgm3 * out->sound_ms * out->sound_ms;
    return inside;
}

double pw_pa_per_m(double density_kgm3)
{
    return density_kgm3 * PW_G;
}
