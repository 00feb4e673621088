/* Random numbers from a seed.
 *
 * Generator: M. E. O'Neill, "PCG: A Family of Simple Fast Space-Efficient Statistically Good Algorithms for Random
 * Number Generation", HMC-CS-2014-0905, the 64/32 XSH-RR member (from memory; the test repeats the output of the
 * paper's demo program).
 * Seeding: SplitMix64, G. L. Steele, D. Lea, C. H. Flood, "Fast Splittable Pseudorandom Number Generators", OOPSLA 2014
 * (from memory).
 */
#include "base/random.h"

#include "base/num.h"

static uint64_t split_mix(uint64_t *state)
{
    *state += 0x9E3779B97F4A7C15u;
    uint64_t z = *state;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

void pw_random_seed(pw_random *random, uint64_t seed, uint64_t stream)
{
    uint64_t of_seed = seed;
    uint64_t of_stream = stream;
    uint64_t mixed = split_mix(&of_seed);
    split_mix(&of_stream); /* its second number: seed and stream must not be interchangeable */
    mixed ^= split_mix(&of_stream);
    random->state = split_mix(&mixed);
    random->stream = split_mix(&mixed) | 1u; /* the increment must be odd */
    pw_random_u32(random);
}

uint32_t pw_random_u32(pw_random *random)
{
    uint64_t old = random->state;
    random->state = old * 6364136223846793005u + random->stream;
    uint32_t shifted = (uint32_t)(((old >> 18) ^ old) >> 27);
    uint32_t turn = (uint32_t)(old >> 59);
    return (shifted >> turn) | (shifted << ((32u - turn) & 31u));
}

double pw_random_unit(pw_random *random)
{
    uint64_t high = pw_random_u32(random) >> 5; /* 27 bits */
    uint64_t low = pw_random_u32(random) >> 6;  /* 26 bits */
    return (double)((high << 26) | low) * 0x1p-53;
}

double pw_random_exponential(pw_random *random, double mean)
{
    return -mean * pw_log(1.0 - pw_random_unit(random)); /* the argument is never 0 */
}

/* G. Marsaglia, T. A. Bray, SIAM Review 6(3), 1964. The second number of each pair is thrown away, so that the
 * generator's state stays two words. */
double pw_random_normal(pw_random *random)
{
    for (;;) {
        double u = 2.0 * pw_random_unit(random) - 1.0;
        double v = 2.0 * pw_random_unit(random) - 1.0;
        double s = u * u + v * v;
        if (s > 0.0 && s < 1.0) {
            return u * pw_sqrt(-2.0 * pw_log(s) / s);
        }
    }
}

/* If ln X is normal with variance w and mean m: E X = exp(m + w/2) and cv^2 = exp(w) - 1 (own derivation). */
double pw_random_lognormal(pw_random *random, double mean, double cv)
{
    double variance = pw_log(1.0 + cv * cv);
    double normal = pw_random_normal(random);
    return mean * pw_exp(pw_sqrt(variance) * normal - 0.5 * variance);
}
