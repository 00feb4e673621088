/* Powers of ten with 128 bits, for numtext.c and numread.c. Private to base. */
#ifndef PW_BASE_TENPOWER_H
#define PW_BASE_TENPOWER_H

#include <stdint.h>

typedef struct pw_wide {
    uint64_t high, low;
} pw_wide;

/* a b, all 128 bits */
pw_wide pw_multiply(uint64_t a, uint64_t b);
/* zero bits above the first one; x > 0 */
int32_t pw_top_zeros(uint64_t x);
/* m 10^k as (high 2^64 + low) 2^two, first bit set, cut: at most 7 units of the last place too small.
 * m > 0, -351 <= k <= 350. */
pw_wide pw_times_power(uint64_t m, int32_t k, int32_t *two);

#endif
