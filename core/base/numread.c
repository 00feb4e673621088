/* Reading a JSON number, correctly rounded: nearest double, ties to even.
 *
 * Three ways, the first that decides wins: (1) at most 2^53 as digits and |power of ten| <= 22: both are doubles
 * exactly, one multiplication or division rounds once (W. D. Clinger, PLDI 1990, from memory); (2) the digits times a
 * 128-bit power of ten, whose error is known; (3) comparing big whole numbers with the point half way between two
 * doubles.
 */
#include <string.h>

#include "base/bigint.h"
#include "base/num.h"
#include "base/tenpower.h"

/* A number as written: first 19 significant digits, and where the rest are. */
typedef struct written {
    bool negative;
    uint64_t digits;      /* the first 19 */
    int32_t more;         /* nonzero digits follow */
    int64_t exponent;     /* value = digits 10^exponent (and a little more) */
    size_t length;        /* bytes of text */
    size_t digits_length; /* bytes up to the exponent part */
} written;

static bool is_digit(const char *text, size_t length, size_t at)
{
    return at < length && text[at] >= '0' && text[at] <= '9';
}

static void take_digit(written *w, int32_t *kept, char c, bool after_point)
{
    int64_t step = after_point ? 1 : 0;
    if (*kept == 0 && c == '0') {
        w->exponent -= step; /* leading zero */
    } else if (*kept < 19) {
        w->digits = w->digits * 10 + (uint64_t)(c - '0');
        (*kept)++;
        w->exponent -= step;
    } else {
        w->more = w->more != 0 || c != '0' ? 1 : 0;
        w->exponent += 1 - step;
    }
}

/* The grammar of RFC 8259: -? (0 | [1-9][0-9]*) (. [0-9]+)? ([eE] [+-]? [0-9]+)? */
static bool scan(const char *text, size_t length, written *w)
{
    size_t at = 0;
    int32_t kept = 0;
    memset(w, 0, sizeof *w);
    if (length > 0 && text[0] == '-') {
        w->negative = true;
        at = 1;
    }
    if (!is_digit(text, length, at)) {
        return false;
    }
    if (text[at] == '0') {
        at++;
    } else {
        for (; is_digit(text, length, at); at++) {
            take_digit(w, &kept, text[at], false);
        }
    }
    if (at < length && text[at] == '.' && is_digit(text, length, at + 1)) {
        for (at++; is_digit(text, length, at); at++) {
            take_digit(w, &kept, text[at], true);
        }
    }
    w->digits_length = at;
    if (at < length && (text[at] == 'e' || text[at] == 'E')) {
        size_t next = at + 1;
        bool minus = next < length && text[next] == '-';
        if (next < length && (text[next] == '-' || text[next] == '+')) {
            next++;
        }
        if (is_digit(text, length, next)) {
            int64_t exponent = 0;
            for (; is_digit(text, length, next); next++) {
                exponent = exponent < 1000000000000 ? exponent * 10 + (text[next] - '0') : exponent;
            }
            w->exponent += minus ? -exponent : exponent;
            at = next;
        }
    }
    w->length = at;
    return true;
}

/* Nearest double (as bits, perhaps infinity) from the double at or just below, by exact comparison. */
static uint64_t settle(const char *text, const written *w, uint64_t bits)
{
    char digits[PW_BIGINT_DIGITS];
    int32_t count = 0;
    int32_t kept = 0;
    bool more = false;
    for (size_t at = 0; at < w->digits_length; at++) {
        char c = text[at];
        if (c < '0' || c > '9' || (count == 0 && c == '0')) {
            continue;
        }
        kept++;
        if (count < PW_BIGINT_DIGITS) {
            digits[count] = c;
            count++;
        } else {
            more = more || c != '0';
        }
    }
    /* w->exponent counts from the 19th digit; these digits go further */
    int32_t first = kept < 19 ? kept : 19;
    int32_t q = (int32_t)w->exponent - (count - first);
    while (bits < 0x7FF0000000000000u) {
        uint64_t m = bits & 0x000FFFFFFFFFFFFFu;
        int32_t e = (int32_t)(bits >> 52);
        if (e > 0) {
            m |= 0x0010000000000000u;
        } else {
            e = 1;
        }
        int32_t sign = pw_bigint_compare(digits, count, q, 2 * m + 1, e - 1076);
        if (sign == 0) {
            sign = more || (bits & 1u) != 0 ? 1 : -1;
        }
        if (sign < 0) {
            break;
        }
        bits++;
    }
    return bits;
}

/* Bits of the nearest double; 0 < digits, -351 <= exponent <= 330. */
static uint64_t nearest(const char *text, const written *w)
{
    int32_t two;
    pw_wide product = pw_times_power(w->digits, (int32_t)w->exponent, &two);
    int32_t top = two + 127; /* 2^top <= value */
    if (top > 1023) {
        return 0x7FF0000000000000u;
    }
    int32_t keep = top >= -1022 ? 53 : 53 - (-1022 - top);
    if (keep <= 0) {
        return keep < -1 ? 0 : settle(text, w, 0);
    }
    uint64_t m = product.high >> (64 - keep);
    uint64_t rest = (product.high << keep) | (product.low >> (64 - keep));
    uint64_t half = 0x8000000000000000u;
    /* error in units of rest: 8 of the product's last place; up to 20 of its upper word when digits were left out */
    uint64_t slack = 2 + ((uint64_t)8 >> (64 - keep)) + (w->more != 0 ? (uint64_t)20 << keep : 0);
    uint64_t bits = top >= -1022 ? ((uint64_t)(top + 1023) << 52) + (m - 0x0010000000000000u) : m;
    if (rest > half) {
        return bits + 1;
    }
    if (rest < half - slack) {
        return bits;
    }
    return settle(text, w, bits);
}

size_t pw_num_read(const char *text, size_t length, double *out)
{
    static const double TENS[23] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
                                    1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
    written w;
    if (!scan(text, length, &w)) {
        return 0;
    }
    double value = 0.0;
    if (w.digits == 0 || w.exponent < -351) {
        value = 0.0; /* nothing, or below 1e-332 */
    } else if (w.exponent > 330) {
        return 0;
    } else if (w.more == 0 && w.digits <= 0x0020000000000000u && w.exponent >= -22 && w.exponent <= 22) {
        int32_t q = (int32_t)w.exponent;
        value = q < 0 ? (double)w.digits / TENS[-q] : (double)w.digits * TENS[q];
    } else {
        uint64_t bits = nearest(text, &w);
        if (bits >= 0x7FF0000000000000u) {
            return 0;
        }
        memcpy(&value, &bits, sizeof value);
    }
    *out = w.negative ? -value : value;
    return w.length;
}
