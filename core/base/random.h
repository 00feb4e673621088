/* Random numbers from a seed. The stream is part of the file format of results: never change it.
 * Generator: PCG-XSH-RR 64/32 (O'Neill, HMC-CS-2014-0905), seeded through SplitMix64.
 */
#ifndef PW_BASE_RANDOM_H
#define PW_BASE_RANDOM_H

#include <stdint.h>

typedef struct pw_random {
    uint64_t state, stream;
} pw_random;

/* Same seed and stream, same numbers. Different streams of one seed are independent. */
void pw_random_seed(pw_random *random, uint64_t seed, uint64_t stream);
uint32_t pw_random_u32(pw_random *random);
/* in [0, 1), 53 bits */
double pw_random_unit(pw_random *random);
/* exponential with the given mean > 0 */
double pw_random_exponential(pw_random *random, double mean);
/* standard normal (Marsaglia polar) */
double pw_random_normal(pw_random *random);
/* lognormal with the given mean > 0 and coefficient of variation >= 0 */
double pw_random_lognormal(pw_random *random, double mean, double cv);

#endif
