/* Numbers as text, and text as numbers, correctly rounded both ways.
 *
 * Way: the value times a power of ten is computed with 128 bits of that power (tenpower.c), which leaves the result
 * known to within a few units of 2^-64. Where that decides the digits (nearly always), done; where it does not, big
 * whole numbers decide exactly (bigint.c). So the result never depends on the quality of the fast way, only the time
 * does.
 *
 * Shortest digits: the shortest decimal inside the interval that reads back as the same double, and of those the
 * nearest to the value; G. L. Steele, J. L. White, PLDI 1990 (from memory). The use of 128-bit powers is own
 * derivation.
 */
#include "base/num.h"

#include <string.h>

#include "base/bigint.h"
#include "base/tenpower.h"

/* A scaled value: whole + fraction 2^-64, at most 8 units of the fraction too small. */
typedef struct scaled {
    uint64_t whole, fraction;
} scaled;

enum { SLACK = 8 };

/* m 2^e 10^k; must be below 2^63. False when it is not. */
static bool scale_fast(uint64_t m, int32_t e, int32_t k, scaled *out)
{
    if (k < -351 || k > 350) {
        return false;
    }
    int32_t two;
    pw_wide product = pw_times_power(m, k, &two);
    int32_t shift = -(two + e); /* the product is 128 bits; the value is product 2^-shift */
    if (shift < 65 || shift >= 192) {
        return false;
    }
    if (shift < 128) { /* whole = product >> shift, between 1 and 63 bits */
        int32_t s = shift - 64;
        out->whole = product.high >> s;
        out->fraction = (product.high << (64 - s)) | (product.low >> s);
    } else {
        int32_t s = shift - 128;
        out->whole = 0;
        out->fraction = product.high >> s;
    }
    return true;
}

/* m 2^e of a positive finite double */
static void take_apart(double value, uint64_t *m, int32_t *e)
{
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    int32_t exponent = (int32_t)(bits >> 52) & 0x7FF;
    *m = bits & 0x000FFFFFFFFFFFFFu;
    if (exponent == 0) {
        *e = -1074;
        return;
    }
    *m |= 0x0010000000000000u;
    *e = exponent - 1075;
}

/* floor(log10(m 2^e)), perhaps one too small */
static int32_t decimal_exponent(uint64_t m, int32_t e)
{
    int32_t top = e + 63 - pw_top_zeros(m);         /* floor of log2 */
    int64_t scaled_log = (int64_t)top * 1292913986; /* log10(2) 2^32 */
    return (int32_t)(scaled_log >= 0 ? scaled_log >> 32 : -((-scaled_log + 0xFFFFFFFF) >> 32));
}

/* Decimal digits: value = digits 10^exponent, digits without trailing zeros unless 0. */
typedef struct decimal {
    uint64_t digits;
    int32_t exponent;
} decimal;

static void strip_zeros(decimal *d)
{
    while (d->digits != 0 && d->digits % 10 == 0) {
        d->digits /= 10;
        d->exponent++;
    }
}

/* Whole number nearest to m 2^e 10^k, ties to even; the value must be below 2^62. */
static uint64_t nearest_whole(uint64_t m, int32_t e, int32_t k)
{
    scaled s;
    uint64_t half = 0x8000000000000000u;
    if (scale_fast(m, e, k, &s) && (s.fraction > half || s.fraction < half - SLACK)) {
        /* at most SLACK too small: below half stays below half, and above half stays above (or passes the next whole
         * number, which is the one we round to) */
        return s.whole + (s.fraction > half ? 1u : 0u);
    }
    pw_exact exact = pw_bigint_scale(m, e, k);
    bool up = exact.half > 0 || (exact.half == 0 && exact.whole % 2 == 1);
    return exact.whole + (up ? 1u : 0u);
}

/* n digits (1 to 17), correctly rounded */
static decimal round_digits(uint64_t m, int32_t e, int32_t n)
{
    uint64_t limit = 1;
    for (int32_t i = 0; i < n; i++) {
        limit *= 10;
    }
    int32_t k = n - 1 - decimal_exponent(m, e);
    uint64_t whole = nearest_whole(m, e, k);
    if (whole > limit) { /* the exponent was one too small (whole == limit is 1000... and right either way) */
        k--;
        whole = nearest_whole(m, e, k);
    }
    decimal out = {whole, -k};
    strip_zeros(&out);
    return out;
}

/* The interval of values that read back as m 2^e, scaled by 10^k to whole numbers inside it, and the value itself. */
typedef struct bounds {
    uint64_t least, most; /* whole numbers inside */
    uint64_t whole;       /* floor of the value */
    int32_t part;         /* fraction of the value: 0 none, 1 below half, 2 half, 3 above half */
} bounds;

static bool bounds_fast(uint64_t low_m, uint64_t high_m, uint64_t m, int32_t e, int32_t k, bounds *out)
{
    scaled low, high, value;
    uint64_t half = 0x8000000000000000u, end = 0 - (uint64_t)SLACK;
    if (!scale_fast(low_m, e - 2, k, &low) || !scale_fast(high_m, e - 2, k, &high) || !scale_fast(m, e, k, &value)) {
        return false;
    }
    /* none of the three may be so near to a whole number (or the value to a half) that the error matters */
    if (low.fraction == 0 || low.fraction >= end || high.fraction == 0 || high.fraction >= end || value.fraction == 0 ||
        value.fraction >= end || (value.fraction <= half && value.fraction >= half - SLACK)) {
        return false;
    }
    out->least = low.whole + 1;
    out->most = high.whole;
    out->whole = value.whole;
    out->part = value.fraction > half ? 3 : 1;
    return true;
}

static void bounds_exact(uint64_t low_m, uint64_t high_m, uint64_t m, int32_t e, int32_t k, bounds *out)
{
    bool closed = m % 2 == 0; /* ties go to the even one, so its ends read back as it */
    pw_exact low = pw_bigint_scale(low_m, e - 2, k);
    pw_exact high = pw_bigint_scale(high_m, e - 2, k);
    pw_exact value = pw_bigint_scale(m, e, k);
    out->least = low.whole + (low.exact && closed ? 0u : 1u);
    out->most = high.whole - (high.exact && !closed ? 1u : 0u);
    out->whole = value.whole;
    out->part = value.exact ? 0 : 2 + value.half;
}

/* Of the multiples of step inside the bounds, the nearest to the value. */
static uint64_t nearest_inside(const bounds *b, uint64_t step)
{
    uint64_t below = b->whole / step * step;
    uint64_t above = below + step;
    if (below < b->least) {
        return above;
    }
    if (above > b->most) {
        return below;
    }
    int32_t more; /* the value against the middle of the two */
    if (step == 1) {
        more = b->part < 2 ? -1 : b->part - 2;
    } else {
        uint64_t off = b->whole - below, half = step / 2;
        more = off < half ? -1 : (off > half || b->part > 0 ? 1 : 0);
    }
    bool even = (below / step) % 2 == 0;
    return more < 0 || (more == 0 && even) ? below : above;
}

static decimal shortest(uint64_t m, int32_t e)
{
    int32_t k = 16 - decimal_exponent(m, e);
    bool power_of_two = m == 0x0010000000000000u && e > -1074; /* the gap below is half as wide */
    uint64_t low_m = 4 * m - (power_of_two ? 1u : 2u);
    uint64_t high_m = 4 * m + 2;
    bounds b;
    if (!bounds_fast(low_m, high_m, m, e, k, &b)) {
        bounds_exact(low_m, high_m, m, e, k, &b);
    }
    uint64_t step = 1;
    while (step <= b.most / 10 && (b.most / (step * 10)) * (step * 10) >= b.least) {
        step *= 10;
    }
    decimal out = {nearest_inside(&b, step), -k};
    strip_zeros(&out);
    return out;
}

static size_t put_whole(uint64_t value, char *out)
{
    char digits[20];
    size_t count = 0;
    do {
        digits[count] = (char)('0' + value % 10);
        value /= 10;
        count++;
    } while (value > 0);
    for (size_t i = 0; i < count; i++) {
        out[i] = digits[count - 1 - i];
    }
    out[count] = '\0';
    return count;
}

/* Sign, digits, point and exponent. Plain form for 1e-6 <= |value| < 1e15, otherwise with an exponent. */
static size_t put_decimal(bool negative, decimal d, char *out)
{
    char digits[24];
    int32_t count = (int32_t)put_whole(d.digits, digits);
    int32_t point = count + d.exponent; /* digits before the point */
    char *at = out;
    if (negative) {
        *at++ = '-';
    }
    if (point > 15 || point < -5) {
        *at++ = digits[0];
        if (count > 1) {
            *at++ = '.';
            memcpy(at, digits + 1, (size_t)count - 1);
            at += count - 1;
        }
        *at++ = 'e';
        int32_t exponent = point - 1;
        if (exponent < 0) {
            *at++ = '-';
            exponent = -exponent;
        }
        at += put_whole((uint64_t)exponent, at);
        return (size_t)(at - out);
    }
    if (point <= 0) {
        *at++ = '0';
        *at++ = '.';
        for (int32_t i = point; i < 0; i++) {
            *at++ = '0';
        }
        memcpy(at, digits, (size_t)count);
        at += count;
    } else {
        for (int32_t i = 0; i < count || i < point; i++) {
            if (i == point) {
                *at++ = '.';
            }
            *at++ = i < count ? digits[i] : '0';
        }
    }
    *at = '\0';
    return (size_t)(at - out);
}

static size_t put_words(const char *words, char *out)
{
    size_t length = strlen(words);
    memcpy(out, words, length + 1);
    return length;
}

size_t pw_num_text(double value, char *out)
{
    if (!pw_is_finite(value)) {
        return put_words("null", out);
    }
    if (value == 0.0) {
        return put_words("0", out);
    }
    bool negative = value < 0.0;
    double size = pw_abs(value);
    if (size < 1e15 && pw_floor(size) == size) {
        size_t sign = negative ? 1 : 0;
        out[0] = '-';
        return sign + put_whole((uint64_t)size, out + sign);
    }
    uint64_t m;
    int32_t e;
    take_apart(size, &m, &e);
    return put_decimal(negative, shortest(m, e), out);
}

size_t pw_num_digits(double value, int digits, char *out)
{
    if (!pw_is_finite(value)) {
        return put_words("null", out);
    }
    if (value == 0.0) {
        return put_words("0", out);
    }
    int32_t n = digits < 1 ? 1 : (digits > 17 ? 17 : digits);
    uint64_t m;
    int32_t e;
    take_apart(pw_abs(value), &m, &e);
    return put_decimal(value < 0.0, round_digits(m, e, n), out);
}

/* m 10^decimals / 2^-e for -128 < e < 0 in 128 bits, exactly; decimals <= 19 and m < 2^53, so the product fits. */
static bool fixed_small(uint64_t m, int32_t e, uint64_t power, uint64_t *out)
{
    pw_wide product = pw_multiply(m, power);
    int32_t shift = -e;
    uint64_t whole, rest_high, rest_low; /* rest: what was shifted out, against 2^(shift - 1) */
    uint64_t half_high, half_low;
    if (shift < 64) {
        if ((product.high >> shift) != 0) {
            return false;
        }
        whole = (product.high << (64 - shift)) | (product.low >> shift);
        rest_high = 0;
        rest_low = product.low & ((1ull << shift) - 1);
        half_high = 0;
        half_low = 1ull << (shift - 1);
    } else {
        whole = shift == 64 ? product.high : product.high >> (shift - 64);
        rest_high = shift == 64 ? 0 : product.high & ((1ull << (shift - 64)) - 1);
        rest_low = product.low;
        half_high = shift == 64 ? 0 : 1ull << (shift - 65);
        half_low = shift == 64 ? 0x8000000000000000u : 0;
    }
    bool over = rest_high > half_high || (rest_high == half_high && rest_low > half_low);
    bool tie = rest_high == half_high && rest_low == half_low;
    if (whole >= 0x8000000000000000u) {
        return false; /* left to the exact way, so that the sum below cannot overflow */
    }
    *out = whole + (over || (tie && whole % 2 == 1) ? 1u : 0u);
    return true;
}

size_t pw_num_fixed(double value, int decimals, char *out)
{
    if (!pw_is_finite(value)) {
        return put_words("null", out);
    }
    int32_t n = decimals < 0 ? 0 : (decimals > 19 ? 19 : decimals);
    uint64_t power = 1;
    for (int32_t i = 0; i < n; i++) {
        power *= 10;
    }
    uint64_t m;
    int32_t e;
    take_apart(pw_abs(value), &m, &e);
    char digits[352];
    size_t count;
    uint64_t whole = 0;
    bool fits = true;
    if (e >= 0) {
        fits = false;
    } else if (e > -128) {
        fits = fixed_small(m, e, power, &whole);
    } /* else m 10^19 2^-128 < 2^-12: rounds to 0 */
    if (fits) {
        count = put_whole(whole, digits);
    } else {
        count = pw_bigint_round(m, e, n, digits);
    }
    /* leading zeros, so that a digit stands before the point */
    size_t need = (size_t)n + 1;
    if (count < need) {
        memmove(digits + (need - count), digits, count);
        memset(digits, '0', need - count);
        count = need;
    }
    bool nothing = true;
    for (size_t i = 0; i < count; i++) {
        nothing = nothing && digits[i] == '0';
    }
    char *at = out;
    if (value < 0.0 && !nothing) {
        *at++ = '-';
    }
    memcpy(at, digits, count - (size_t)n);
    at += count - (size_t)n;
    if (n > 0) {
        *at++ = '.';
        memcpy(at, digits + (count - (size_t)n), (size_t)n);
        at += n;
    }
    *at = '\0';
    return (size_t)(at - out);
}
