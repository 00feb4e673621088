/* Numbers: the few functions whose bits must be the same on every machine, and numbers as text.
 *
 * libm differs between native and WebAssembly (exp and pow in 0.06 % of arguments), so the core uses these, and only
 * sqrt, fabs, floor, ceil, trunc, fmod from <math.h>, which are exact everywhere. Other core files include this header,
 * never <math.h>.
 * Error bounds are tested against long double and published values in tests/unit/base.
 */
#ifndef PW_BASE_NUM_H
#define PW_BASE_NUM_H

#include <math.h> /* sqrt, fabs, floor, ceil below and nothing else; others include this header instead */
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define PW_PI     3.14159265358979323846
#define PW_G      9.80665   /* m/s2, standard acceleration of gravity, ISO 80000-3 */
#define PW_ATM_PA 101325.0  /* Pa, standard atmosphere, ISO 2533 */
#define PW_INF    (1.0e308) /* "for ever", finite on purpose so that no NaN can grow from it */

/* x any; under 1 ulp. Overflow gives +infinity, underflow 0. */
double pw_exp(double x);
/* x > 0; under 1 ulp; x == 0 gives -infinity; x < 0 gives NaN (callers never do). */
double pw_log(double x);
double pw_log10(double x);
/* base > 0, or 0 with exponent > 0; under 2 ulp. */
double pw_pow(double base, double exponent);
/* radians, |x| up to 1e6; under 2 ulp or 1e-16 absolute. */
double pw_sin(double x);
double pw_cos(double x);
double pw_tanh(double x);
/* exact in IEEE 754 on every machine */
static inline double pw_sqrt(double x)
{
    return sqrt(x);
}
static inline double pw_abs(double x)
{
    return fabs(x);
}
static inline double pw_floor(double x)
{
    return floor(x);
}
static inline double pw_ceil(double x)
{
    return ceil(x);
}
static inline double pw_min(double a, double b)
{
    return a < b ? a : b;
}
static inline double pw_max(double a, double b)
{
    return a > b ? a : b;
}
static inline double pw_clamp(double x, double low, double high)
{
    return x < low ? low : (x > high ? high : x);
}
bool pw_is_finite(double x);

/* Shortest decimal text that reads back as the same double; out at least 32 bytes; returns the length.
 * Integers below 1e15 print without exponent and point; not-finite prints "null". -0 prints "0". */
size_t pw_num_text(double value, char *out);
/* Fixed decimals, correctly rounded (half to even of the exact binary value); out at least 352 bytes. */
size_t pw_num_fixed(double value, int decimals, char *out);
/* Significant digits, no trailing zeros; exponent form only outside 1e-6 .. 1e15; out at least 40 bytes. */
size_t pw_num_digits(double value, int digits, char *out);
/* Read a JSON number (RFC 8259 grammar) at text; correctly rounded. Returns the bytes read, 0 when there is no number
 * or it is not finite. Independent of locale. */
size_t pw_num_read(const char *text, size_t length, double *out);

#endif
