/* Big whole numbers, only for the cases of numtext.c that its fast way leaves open. Private to base. */
#ifndef PW_BASE_BIGINT_H
#define PW_BASE_BIGINT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct pw_exact {
    uint64_t whole; /* floor */
    int32_t half;   /* fraction against one half: -1 below, 0 equal, 1 above */
    bool exact;     /* no fraction */
} pw_exact;

enum { PW_BIGINT_DIGITS = 800 }; /* more digits cannot decide: a point half way between two doubles has at most 767 */

/* m 2^e 10^k exactly; m < 2^56, -1080 <= e <= 971, -330 <= k <= 350, and the value below 2^63. */
pw_exact pw_bigint_scale(uint64_t m, int32_t e, int32_t k);
/* Nearest whole number to m 2^e 10^k, ties to even, as decimal digits; m < 2^53, e >= -127, 0 <= k <= 19; out at least
 * 340 bytes. Returns the number of digits. */
size_t pw_bigint_round(uint64_t m, int32_t e, int32_t k, char *out);
/* Sign of digits 10^q - m 2^e; count <= PW_BIGINT_DIGITS digits '0'..'9', the value between 1e-345 and 1e310. */
int32_t pw_bigint_compare(const char *digits, int32_t count, int32_t q, uint64_t m, int32_t e);

#endif
