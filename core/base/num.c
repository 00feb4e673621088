/* Elementary functions with the same bits on every machine: only + - * / and comparisons, in a fixed order.
 *
 * Methods: own code and derivations. Every constant of the tables was computed to 80 digits with decimal arithmetic and
 * split into two doubles.
 *
 *   log   x = 2^k m; m lies within 1/64 of c = i/32. With s = (m - c)/(m + c), log m = log c + 2 atanh s
 *         (Abramowitz and Stegun 4.1.28). s is carried in two parts, so the sum has about 66 good bits.
 *   exp   x = (32 q + j) ln2/32 + r, |r| <= ln2/64; exp x = 2^q 2^(j/32) exp r, Taylor series for exp r - 1.
 *   pow   exp(y log x) with both numbers of the two-part logarithm.
 *   sin   reduction by pi/2 in three parts of 33, 33 and 53 bits (the first two products are exact up to |n| < 2^20),
 *         Taylor series.
 *   tanh  Lambert's continued fraction (Abramowitz and Stegun 4.5.70) below 1, 1 - 2/(exp 2x + 1) above.
 */
#include "base/num.h"

#include <math.h>
#include <string.h>

typedef struct two {
    double high, low; /* value = high + low, |low| at most half an ulp of high */
} two;

static uint64_t bits_of(double x)
{
    uint64_t bits;
    memcpy(&bits, &x, sizeof bits);
    return bits;
}

static double from_bits(uint64_t bits)
{
    double x;
    memcpy(&x, &bits, sizeof x);
    return x;
}

/* The leading 26 bits: products of two such numbers are exact. */
static double leading(double x)
{
    return from_bits(bits_of(x) & 0xFFFFFFFFF8000000u);
}

bool pw_is_finite(double x)
{
    return (bits_of(x) & 0x7FF0000000000000u) != 0x7FF0000000000000u;
}

/* log 2, the first part a multiple of 2^-42 so that k times it is exact */
static const double LN2_HIGH = 0x1.62e42fefa3800p-1, LN2_LOW = 0x1.ef35793c76730p-45;

/* log(i/32), i = 22..46: the first part a multiple of 2^-42, so that it adds exactly to k LN2_HIGH */
enum { LOG_FIRST = 22 };
static const two LOG_TABLE[25] = {
    {-0x1.7fafa3bd81000p-2, -0x1.46fb79bf6d4cbp-44}, /* 22/32 */
    {-0x1.522ae0738a000p-2, -0x1.ebe708164c759p-45}, /* 23/32 */
    {-0x1.269621134e000p-2, 0x1.1b61f10522625p-44},  /* 24/32 */
    {-0x1.f991c6cb3c000p-3, 0x1.90d04cd7cc834p-44},  /* 25/32 */
    {-0x1.a93ed3c8ae000p-3, 0x1.8724350562169p-45},  /* 26/32 */
    {-0x1.5bf406b544000p-3, 0x1.27023eb68981cp-46},  /* 27/32 */
    {-0x1.1178e8227e000p-3, -0x1.1ef78ce2d07f2p-45}, /* 28/32 */
    {-0x1.9335e5d594000p-4, -0x1.3115c3abd47dap-45}, /* 29/32 */
    {-0x1.08598b59e4000p-4, 0x1.7e5dd7009902cp-46},  /* 30/32 */
    {-0x1.0415d89e78000p-5, 0x1.dddc7f461c516p-44},  /* 31/32 */
    {0x0.0p+0, 0x0.0p+0},                            /* 32/32 */
    {0x1.f829b0e780000p-6, 0x1.980267c7e09e4p-45},   /* 33/32 */
    {0x1.f0a30c0118000p-5, -0x1.d599e83368e91p-45},  /* 34/32 */
    {0x1.6f0d28ae58000p-4, -0x1.4b4641b664613p-44},  /* 35/32 */
    {0x1.e27076e2b0000p-4, -0x1.a342c2af0003cp-45},  /* 36/32 */
    {0x1.29552f8200000p-3, -0x1.5b967f4471dfcp-44},  /* 37/32 */
    {0x1.5ff3070a7a000p-3, -0x1.8586f183bebf2p-44},  /* 38/32 */
    {0x1.9525a9cf46000p-3, -0x1.297137d9f158fp-44},  /* 39/32 */
    {0x1.c8ff7c79aa000p-3, -0x1.7794f689f8434p-45},  /* 40/32 */
    {0x1.fb9186d5e4000p-3, -0x1.d572aab993c87p-47},  /* 41/32 */
    {0x1.1675cababa000p-2, 0x1.8380e731f55c4p-44},   /* 42/32 */
    {0x1.2e8e2bae12000p-2, -0x1.67b1e99b72bd8p-45},  /* 43/32 */
    {0x1.4618bc21c6000p-2, -0x1.3d82f484c84ccp-46},  /* 44/32 */
    {0x1.5d1bdbf581000p-2, -0x1.8d6bdc9c7c238p-44},  /* 45/32 */
    {0x1.739d7f6bbd000p-2, 0x1.a7389314feb50p-52},   /* 46/32 */
};

/* log x in two parts; x > 0 and finite. */
static two log_two(double x)
{
    int32_t k = 0;
    if (x < 0x1p-1022) {
        x *= 0x1p54;
        k = -54;
    }
    uint64_t bits = bits_of(x);
    k += (int32_t)(bits >> 52) - 1023;
    double m = from_bits((bits & 0x000FFFFFFFFFFFFFu) | 0x3FF0000000000000u); /* 1 <= m < 2 */
    if (m > 1.4140625) { /* 45.25/32: the middle is near 1 in both directions, so that k = 0 around 1 */
        m *= 0.5;
        k++;
    }
    int32_t row = (int32_t)(m * 32.0 + 0.5);
    double c = (double)row * 0.03125;
    two part = LOG_TABLE[row - LOG_FIRST];
    /* s = (m - c)/(m + c): any 26-bit start is corrected by its exact remainder */
    double top = m - c;
    double sum = m + c;
    double over = 1.0 / sum;
    double sum_high = leading(sum);
    double sum_low = m - (sum_high - c);
    double s_high = leading(top * over);
    double s_low = ((top - s_high * sum_high) - s_high * sum_low) * over;
    double s = s_high + s_low;
    double q = s * s;
    /* 2 atanh s - 2 s = 2 s^3 (1/3 + s^2/5 + ...); |s| <= 1/88, the first term left out is below 2^-71 of s */
    double rest = s * q * (2.0 / 3.0 + q * (2.0 / 5.0 + q * (2.0 / 7.0 + q * (2.0 / 9.0 + q * (2.0 / 11.0)))));
    double big = (double)k * LN2_HIGH + part.high;
    double twice = 2.0 * s_high;
    double high = big + twice;
    double back = high - big;
    double lost = (big - (high - back)) + (twice - back);
    double low = lost + (((double)k * LN2_LOW + part.low) + (2.0 * s_low + rest));
    two out;
    out.high = high + low;
    out.low = low - (out.high - high);
    return out;
}

double pw_log(double x)
{
    if (!(x > 0.0)) {
        return x == 0.0 ? -HUGE_VAL : from_bits(0x7FF8000000000000u);
    }
    return pw_is_finite(x) ? log_two(x).high : x;
}

double pw_log10(double x)
{
    /* 1/ln 10 in two parts */
    static const double INV_HIGH = 0x1.bcb7b1526e50ep-2, INV_LOW = 0x1.95355baaafad3p-57;
    if (!(x > 0.0) || !pw_is_finite(x)) {
        return pw_log(x);
    }
    two l = log_two(x);
    double a = leading(l.high), b = l.high - a;
    double c = leading(INV_HIGH), d = INV_HIGH - c;
    double high = l.high * INV_HIGH;
    double low = ((a * c - high) + a * d + b * c) + b * d;
    return high + (low + (l.high * INV_LOW + l.low * INV_HIGH));
}

/* 2^(j/32) in two parts */
static const two EXP_TABLE[32] = {
    {0x1.0000000000000p+0, 0x0.0p+0},
    {0x1.059b0d3158574p+0, 0x1.d73e2a475b465p-55},
    {0x1.0b5586cf9890fp+0, 0x1.8a62e4adc610bp-54},
    {0x1.11301d0125b51p+0, -0x1.6c51039449b3ap-54},
    {0x1.172b83c7d517bp+0, -0x1.19041b9d78a76p-55},
    {0x1.1d4873168b9aap+0, 0x1.e016e00a2643cp-54},
    {0x1.2387a6e756238p+0, 0x1.9b07eb6c70573p-54},
    {0x1.29e9df51fdee1p+0, 0x1.612e8afad1255p-55},
    {0x1.306fe0a31b715p+0, 0x1.6f46ad23182e4p-55},
    {0x1.371a7373aa9cbp+0, -0x1.63aeabf42eae2p-54},
    {0x1.3dea64c123422p+0, 0x1.ada0911f09ebcp-55},
    {0x1.44e086061892dp+0, 0x1.89b7a04ef80d0p-59},
    {0x1.4bfdad5362a27p+0, 0x1.d4397afec42e2p-56},
    {0x1.5342b569d4f82p+0, -0x1.07abe1db13cadp-55},
    {0x1.5ab07dd485429p+0, 0x1.6324c054647adp-54},
    {0x1.6247eb03a5585p+0, -0x1.383c17e40b497p-54},
    {0x1.6a09e667f3bcdp+0, -0x1.bdd3413b26456p-54},
    {0x1.71f75e8ec5f74p+0, -0x1.16e4786887a99p-55},
    {0x1.7a11473eb0187p+0, -0x1.41577ee04992fp-55},
    {0x1.82589994cce13p+0, -0x1.d4c1dd41532d8p-54},
    {0x1.8ace5422aa0dbp+0, 0x1.6e9f156864b27p-54},
    {0x1.93737b0cdc5e5p+0, -0x1.75fc781b57ebcp-57},
    {0x1.9c49182a3f090p+0, 0x1.c7c46b071f2bep-56},
    {0x1.a5503b23e255dp+0, -0x1.d2f6edb8d41e1p-54},
    {0x1.ae89f995ad3adp+0, 0x1.7a1cd345dcc81p-54},
    {0x1.b7f76f2fb5e47p+0, -0x1.5584f7e54ac3bp-56},
    {0x1.c199bdd85529cp+0, 0x1.11065895048ddp-55},
    {0x1.cb720dcef9069p+0, 0x1.503cbd1e949dbp-56},
    {0x1.d5818dcfba487p+0, 0x1.2ed02d75b3707p-55},
    {0x1.dfc97337b9b5fp+0, -0x1.1a5cd4f184b5cp-54},
    {0x1.ea4afa2a490dap+0, -0x1.e9c23179c2893p-54},
    {0x1.f50765b6e4540p+0, 0x1.9d3e12dd8a18bp-54},
};

/* x 2^q without a wrong overflow on the way; x in [1, 4) */
static double scale(double x, int32_t q)
{
    if (q > 1023) {
        return x * 0x1p1023 * from_bits((uint64_t)q << 52);
    }
    if (q < -1022) {
        return x * from_bits((uint64_t)(q + 60 + 1023) << 52) * 0x1p-60;
    }
    return x * from_bits((uint64_t)(q + 1023) << 52);
}

/* exp(high + low), |low| tiny */
static double exp_two(double high, double low)
{
    /* ln2/32, the first part short, and its inverse */
    static const double STEP_HIGH = 0x1.62e42fefa0000p-6, STEP_LOW = 0x1.cf79abc9e3b3ap-45;
    static const double STEPS = 0x1.71547652b82fep+5;
    if (high > 709.8) {
        return HUGE_VAL;
    }
    if (high < -745.2) {
        return 0.0;
    }
    double n = floor(high * STEPS + 0.5);
    double r = ((high - n * STEP_HIGH) - n * STEP_LOW) + low;
    int32_t steps = (int32_t)n;
    int32_t j = steps & 31;
    int32_t q = (steps - j) / 32;
    double r2 = r * r;
    /* exp r - 1 up to r^7/5040; the next term is below 2^-67 */
    double p =
        r +
        r2 * (0.5 + r * (1.0 / 6.0 + r * (1.0 / 24.0 + r * (1.0 / 120.0 + r * (1.0 / 720.0 + r * (1.0 / 5040.0))))));
    two t = EXP_TABLE[j];
    return scale(t.high + (t.low + t.high * p), q);
}

double pw_exp(double x)
{
    if (!(x == x)) {
        return x;
    }
    return exp_two(x, 0.0);
}

double pw_pow(double base, double exponent)
{
    if (exponent == 0.0 || base == 1.0) {
        return 1.0;
    }
    if (base == 0.0) {
        return exponent > 0.0 ? 0.0 : HUGE_VAL;
    }
    if (!(base > 0.0) || !(exponent == exponent)) {
        return from_bits(0x7FF8000000000000u);
    }
    if (!pw_is_finite(base)) {
        return exponent > 0.0 ? base : 0.0;
    }
    two l = log_two(base);
    double high = exponent * l.high;
    if (!(fabs(high) < 800.0)) {
        return high > 0.0 ? HUGE_VAL : 0.0;
    }
    if (fabs(high) < 0x1p-60) {
        return 1.0; /* and the split below cannot underflow in a way that matters */
    }
    double a = leading(exponent), b = exponent - a;
    double c = leading(l.high), d = l.high - c;
    double low = ((a * c - high) + a * d + b * c) + b * d;
    return exp_two(high, low + exponent * l.low);
}

/* pi/2 in three parts of 33, 33 and 53 bits */
static const double HALF_PI_1 = 0x1.921fb54400000p+0, HALF_PI_2 = 0x1.0b4611a600000p-34,
                    HALF_PI_3 = 0x1.3198a2e037073p-69;
static const double TWO_OVER_PI = 0x1.45f306dc9c883p-1;

enum { TAYLOR = 8 };

/* Horner: c[0] + q (c[1] + q (...)) */
static double series(const double *c, double q)
{
    double sum = c[TAYLOR - 1];
    for (int32_t i = TAYLOR - 2; i >= 0; i--) {
        sum = c[i] + q * sum;
    }
    return sum;
}

/* sin(r + low) for |r| <= pi/4: Taylor up to r^17; the next term is below 2^-62 */
static double sin_series(double r, double low)
{
    static const double c[TAYLOR] = {
        -1.0 / 6.0,        1.0 / 120.0,        -1.0 / 5040.0,          1.0 / 362880.0,
        -1.0 / 39916800.0, 1.0 / 6227020800.0, -1.0 / 1307674368000.0, 1.0 / 355687428096000.0};
    double q = r * r;
    return r + (r * q * series(c, q) + low * (1.0 - 0.5 * q));
}

static double cos_series(double r, double low)
{
    static const double c[TAYLOR] = {
        1.0 / 24.0,        -1.0 / 720.0,         1.0 / 40320.0,          -1.0 / 3628800.0,
        1.0 / 479001600.0, -1.0 / 87178291200.0, 1.0 / 20922789888000.0, -1.0 / 6402373705728000.0};
    double q = r * r;
    double half = 0.5 * q;
    double one = 1.0 - half;
    return one + (((1.0 - one) - half) + (q * q * series(c, q) - r * low));
}

/* sin(x + turn pi/2) */
static double turned_sin(double x, int32_t turn)
{
    if (!pw_is_finite(x)) {
        return 0.0; /* no NaN leaves; callers never do this */
    }
    if (fabs(x) > 1.0e6) {
        x = fmod(x, 6.28318530717958647692); /* outside the promised range: finite, not accurate */
    }
    double n = floor(x * TWO_OVER_PI + 0.5);
    double a = (x - n * HALF_PI_1) - n * HALF_PI_2;
    double b = n * HALF_PI_3;
    double r = a - b;
    double low = (a - r) - b;
    int32_t quarter = ((int32_t)n + turn) & 3;
    double value = (quarter & 1) != 0 ? cos_series(r, low) : sin_series(r, low);
    return (quarter & 2) != 0 ? -value : value;
}

double pw_sin(double x)
{
    return turned_sin(x, 0);
}

double pw_cos(double x)
{
    return turned_sin(x, 1);
}

double pw_tanh(double x)
{
    double size = fabs(x);
    double value = 1.0;
    if (size < 1.0) {
        /* x/(1 + u) with u = x^2/(3 + x^2/(5 + ... + x^2/23)), from the back */
        double q = x * x;
        double below = 23.0;
        for (double odd = 21.0; odd > 2.0; odd -= 2.0) {
            below = odd + q / below;
        }
        double u = q / below;
        return x - x * (u / (1.0 + u));
    }
    if (size < 22.0) { /* above, the difference from 1 is below half an ulp */
        value = 1.0 - 2.0 / (pw_exp(2.0 * size) + 1.0);
    }
    if (!(x == x)) {
        return x;
    }
    return x < 0.0 ? -value : value;
}
