/* Random numbers: the stream is part of the format of results, so its goldens must never change. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/random.h"

enum { MANY = 200000 };

/* The first round of the PCG paper's pcg32 demo, seeded with state 42 and sequence 54 (from memory). */
static void the_generator_is_the_published_one(void **state)
{
    (void)state;
    static const uint32_t published[6] = {0xa15c02b7u, 0x7b47f409u, 0xba1d3330u, 0x83d2f293u, 0xbfa4784bu, 0xcbed606eu};
    pw_random random = {0, (54u << 1) | 1u};
    pw_random_u32(&random);
    random.state += 42u;
    pw_random_u32(&random);
    for (int i = 0; i < 6; i++) {
        assert_int_equal(pw_random_u32(&random), published[i]);
    }
}

static void the_stream_never_changes(void **state)
{
    (void)state;
    static const uint32_t golden[4] = {0x6063799cu, 0x0e00bd4au, 0xb2eb996cu, 0xf275baf8u};
    pw_random random;
    pw_random_seed(&random, 2024, 3);
    for (int i = 0; i < 4; i++) {
        assert_int_equal(pw_random_u32(&random), golden[i]);
    }
    assert_true(pw_random_unit(&random) == 0.089989323848989167);
    assert_true(pw_random_exponential(&random, 2.0) == 1.2387862075940763);
    assert_true(pw_random_normal(&random) == -0.054607512249435962);
    assert_true(pw_random_lognormal(&random, 3.0, 0.5) == 2.3797612235510357);
}

static void seeds_and_streams_differ(void **state)
{
    (void)state;
    for (uint64_t seed = 0; seed < 20; seed++) {
        for (uint64_t stream = 0; stream < 20; stream++) {
            pw_random a, b, c, d;
            pw_random_seed(&a, seed, stream);
            pw_random_seed(&b, seed, stream);
            pw_random_seed(&c, seed, stream + 1);
            pw_random_seed(&d, stream, seed);
            int same_c = 0, same_d = 0;
            for (int i = 0; i < 64; i++) {
                uint32_t x = pw_random_u32(&a);
                assert_int_equal(x, pw_random_u32(&b));
                same_c += x == pw_random_u32(&c);
                same_d += x == pw_random_u32(&d);
            }
            assert_true(same_c < 3);
            assert_true(seed == stream || same_d < 3); /* seed and stream are not the same thing */
        }
    }
}

/* Means and variances within five standard errors of theory. */
static void the_distributions_have_their_moments(void **state)
{
    (void)state;
    pw_random random;
    pw_random_seed(&random, 7, 7);
    double unit = 0, unit2 = 0, expo = 0, expo2 = 0, normal = 0, normal2 = 0, normal4 = 0, logn = 0, logn2 = 0;
    for (int i = 0; i < MANY; i++) {
        double u = pw_random_unit(&random);
        assert_true(u >= 0.0 && u < 1.0);
        unit += u;
        unit2 += u * u;
        double e = pw_random_exponential(&random, 3.0);
        assert_true(e >= 0.0 && isfinite(e));
        expo += e;
        expo2 += e * e;
        double z = pw_random_normal(&random);
        normal += z;
        normal2 += z * z;
        normal4 += z * z * z * z;
        double l = pw_random_lognormal(&random, 4.0, 0.5);
        assert_true(l > 0.0 && isfinite(l));
        logn += l;
        logn2 += l * l;
    }
    double n = MANY, root = sqrt(n);
    assert_true(fabs(unit / n - 0.5) < 5.0 * sqrt(1.0 / 12.0) / root);
    assert_true(fabs(unit2 / n - 1.0 / 3.0) < 5.0 * sqrt(4.0 / 45.0) / root);
    assert_true(fabs(expo / n - 3.0) < 5.0 * 3.0 / root);
    assert_true(fabs(expo2 / n - 18.0) < 5.0 * sqrt(20.0) * 9.0 / root);
    assert_true(fabs(normal / n) < 5.0 / root);
    assert_true(fabs(normal2 / n - 1.0) < 5.0 * sqrt(2.0) / root);
    assert_true(fabs(normal4 / n - 3.0) < 5.0 * sqrt(96.0) / root);
    double mean = logn / n, variance = logn2 / n - mean * mean;
    assert_true(fabs(mean - 4.0) < 5.0 * 2.0 / root);
    assert_true(fabs(sqrt(variance) / mean - 0.5) < 0.01);
    pw_random same = random;
    assert_true(fabs(pw_random_lognormal(&same, 4.0, 0.0) - 4.0) < 1e-14); /* no variation: the mean */
}

/* Chi-squared of 256 equal boxes for high and low bits; 99.999 % point for 255 degrees of freedom is about 361
 * (computed by the Wilson-Hilferty approximation). */
static void the_bits_are_even(void **state)
{
    (void)state;
    pw_random random;
    pw_random_seed(&random, 99, 0);
    int high[256] = {0}, low[256] = {0};
    for (int i = 0; i < MANY; i++) {
        uint32_t x = pw_random_u32(&random);
        high[x >> 24]++;
        low[x & 255u]++;
    }
    double a = 0, b = 0, want = MANY / 256.0;
    for (int i = 0; i < 256; i++) {
        a += (high[i] - want) * (high[i] - want) / want;
        b += (low[i] - want) * (low[i] - want) / want;
    }
    assert_true(a < 361.0 && b < 361.0 && a > 160.0 && b > 160.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_generator_is_the_published_one),
        cmocka_unit_test(the_stream_never_changes),
        cmocka_unit_test(seeds_and_streams_differ),
        cmocka_unit_test(the_distributions_have_their_moments),
        cmocka_unit_test(the_bits_are_even),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
