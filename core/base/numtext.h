/* Shared by numtext.c and numread.c: powers of ten with 128 bits. Private to base. */
#ifndef PW_BASE_NUMTEXT_H
#define PW_BASE_NUMTEXT_H

#include <stdint.h>

typedef struct pw_wide {
    uint64_t high, low;
} pw_wide;

/* m 10^k as (high 2^64 + low) 2^two, first bit set, cut: at most 7 units of the last place too small. m > 0, -351 <= k <= 350. */
pw_wide pw_times_power(uint64_t m, int32_t k, int32_t *two);

#endif
