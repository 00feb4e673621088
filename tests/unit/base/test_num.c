/* Elementary functions: error bounds against long double, published values, exact cases. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/num.h"
#include "base/random.h"

enum { TRIES = 200000 };

/* Distance of got from the true value, in units of the last place of the true value. */
static double ulps(double got, long double want)
{
    double near = fabs((double)want);
    int exponent;
    frexp(near < 0x1p-1022 ? 0x1p-1022 : near, &exponent);
    return (double)(fabsl((long double)got - want) / ldexpl(1.0L, exponent - 53));
}

static double between(pw_random *random, double low, double high)
{
    return low + (high - low) * pw_random_unit(random);
}

static void keep_worst(double *worst, double error)
{
    if (!(error <= *worst)) {
        *worst = error;
    }
}

static void assert_worst(const char *name, double worst, double bound)
{
    print_message("%s: at most %.3f ulp\n", name, worst);
    assert_true(worst < bound);
}

static void exp_stays_under_one_ulp(void **state)
{
    (void)state;
    pw_random random;
    pw_random_seed(&random, 1, 1);
    double worst = 0.0;
    for (int i = 0; i < TRIES; i++) {
        double wide = between(&random, -707.0, 709.7), narrow = between(&random, -1.0, 1.0);
        double tiny = narrow * 1e-9;
        keep_worst(&worst, ulps(pw_exp(wide), expl(wide)));
        keep_worst(&worst, ulps(pw_exp(narrow), expl(narrow)));
        keep_worst(&worst, ulps(pw_exp(tiny), expl(tiny)));
    }
    assert_worst("exp", worst, 0.6);
    worst = 0.0;
    for (int i = 0; i < TRIES; i++) { /* results below the normal range */
        double x = between(&random, -745.0, -708.0);
        keep_worst(&worst, ulps(pw_exp(x), expl(x)));
    }
    assert_worst("exp, subnormal", worst, 1.0);
}

static void log_stays_under_one_ulp(void **state)
{
    (void)state;
    pw_random random;
    pw_random_seed(&random, 1, 2);
    double worst = 0.0, worst10 = 0.0;
    for (int i = 0; i < TRIES; i++) {
        double tries[4] = {pw_exp(between(&random, -740.0, 709.0)), between(&random, 0.5, 2.0),
                           1.0 + between(&random, -1e-3, 1e-3), 1.0 + between(&random, -1e-9, 1e-9)};
        for (int j = 0; j < 4; j++) {
            keep_worst(&worst, ulps(pw_log(tries[j]), logl(tries[j])));
            keep_worst(&worst10, ulps(pw_log10(tries[j]), log10l(tries[j])));
        }
    }
    assert_worst("log", worst, 0.6);
    assert_worst("log10", worst10, 0.6);
}

static void pow_stays_under_two_ulp(void **state)
{
    (void)state;
    pw_random random;
    pw_random_seed(&random, 1, 3);
    double worst = 0.0;
    for (int i = 0; i < TRIES; i++) {
        double base = pw_exp(between(&random, -30.0, 30.0));
        double most = 700.0 / (fabs(pw_log(base)) + 1e-3);
        double exponent = between(&random, -most, most);
        keep_worst(&worst, ulps(pw_pow(base, exponent), powl(base, exponent)));
        double near = 1.0 + between(&random, -1e-6, 1e-6), large = between(&random, -1e8, 1e8);
        keep_worst(&worst, ulps(pw_pow(near, large), powl(near, large)));
        double trade = between(&random, 1e-6, 10.0);
        keep_worst(&worst, ulps(pw_pow(trade, 1.852), powl(trade, (long double)1.852)));
        keep_worst(&worst, ulps(pw_pow(trade, 4.871), powl(trade, (long double)4.871)));
    }
    assert_worst("pow", worst, 0.7);
}

static void sine_and_cosine_stay_under_two_ulp(void **state)
{
    (void)state;
    pw_random random;
    pw_random_seed(&random, 1, 4);
    double worst = 0.0;
    for (int i = 0; i < TRIES; i++) {
        double tries[3] = {between(&random, -1.0e6, 1.0e6), between(&random, -4.0, 4.0), between(&random, -1e-5, 1e-5)};
        for (int j = 0; j < 3; j++) {
            long double s = sinl(tries[j]), c = cosl(tries[j]);
            double es = ulps(pw_sin(tries[j]), s), ec = ulps(pw_cos(tries[j]), c);
            /* near a multiple of pi/2 the result is small and 1e-16 absolute is what is promised */
            keep_worst(&worst, fabsl(pw_sin(tries[j]) - s) < 1e-16L && es > 2.0 ? 0.0 : es);
            keep_worst(&worst, fabsl(pw_cos(tries[j]) - c) < 1e-16L && ec > 2.0 ? 0.0 : ec);
        }
    }
    assert_worst("sin, cos", worst, 2.0);
    for (int n = 1; n < 600000; n += 977) { /* next to the multiples of pi/2: the hard cases of the reduction */
        double x = n * 1.57079632679489661923;
        assert_true(fabsl(pw_sin(x) - sinl(x)) < 1.2e-16L);
        assert_true(fabsl(pw_cos(x) - cosl(x)) < 1.2e-16L);
    }
}

static void tanh_stays_under_two_ulp(void **state)
{
    (void)state;
    pw_random random;
    pw_random_seed(&random, 1, 5);
    double worst = 0.0;
    for (int i = 0; i < TRIES; i++) {
        double tries[3] = {between(&random, -25.0, 25.0), between(&random, -1.2, 1.2), between(&random, -1e-4, 1e-4)};
        for (int j = 0; j < 3; j++) {
            keep_worst(&worst, ulps(pw_tanh(tries[j]), tanhl(tries[j])));
        }
    }
    assert_worst("tanh", worst, 2.0);
}

/* Abramowitz and Stegun, Handbook of Mathematical Functions, table 1.1 and chapter 4 (from memory). */
static void published_values(void **state)
{
    (void)state;
    assert_true(ulps(pw_exp(1.0), 2.71828182845904523536L) < 0.6);
    assert_true(ulps(pw_exp(-1.0), 0.36787944117144232160L) < 0.6);
    assert_true(ulps(pw_log(2.0), 0.69314718055994530942L) < 0.6);
    assert_true(ulps(pw_log(10.0), 2.30258509299404568402L) < 0.6);
    assert_true(ulps(pw_log10(2.71828182845904523536), 0.43429448190325182765L) < 1.1); /* e itself is rounded */
    assert_true(ulps(pw_log10(2.0), 0.30102999566398119521L) < 0.6);
    assert_true(ulps(pw_pow(2.0, 0.5), 1.41421356237309504880L) < 0.7);
    assert_true(ulps(pw_pow(10.0, 0.5), 3.16227766016837933200L) < 0.7);
    assert_true(ulps(pw_sin(1.0), 0.84147098480789650665L) < 1.0);
    assert_true(ulps(pw_cos(1.0), 0.54030230586813971740L) < 1.0);
    assert_true(ulps(pw_tanh(1.0), 0.76159415595576488812L) < 1.0);
}

static void exact_where_the_answer_is_exact(void **state)
{
    (void)state;
    assert_true(pw_exp(0.0) == 1.0);
    assert_true(pw_log(1.0) == 0.0);
    assert_true(pw_sin(0.0) == 0.0);
    assert_true(pw_cos(0.0) == 1.0);
    assert_true(pw_tanh(0.0) == 0.0);
    assert_true(pw_tanh(100.0) == 1.0);
    assert_true(pw_tanh(-100.0) == -1.0);
    double ten = 1.0;
    for (int i = 0; i <= 22; i++) { /* 10^22 is the last power of ten that is a double */
        assert_true(pw_log10(ten) == (double)i);
        assert_true(pw_pow(10.0, (double)i) == ten);
        ten *= 10.0;
    }
    for (int i = -1074; i <= 1023; i++) {
        assert_true(pw_pow(2.0, (double)i) == ldexp(1.0, i));
    }
    for (int i = 1; i < 1000; i++) {
        assert_true(pw_pow((double)i, 2.0) == (double)i * i);
        assert_true(pw_pow((double)i, 1.0) == (double)i);
        assert_true(pw_pow((double)i * i, 0.5) == (double)i);
    }
}

static void edges_follow_the_header(void **state)
{
    (void)state;
    assert_true(isinf(pw_exp(709.79)));
    assert_true(isinf(pw_exp(1e300)));
    assert_true(pw_exp(-746.0) == 0.0);
    assert_true(pw_exp(-1e300) == 0.0);
    assert_true(pw_exp(-745.0) > 0.0);
    assert_true(pw_log(0.0) == -INFINITY);
    assert_true(isnan(pw_log(-1.0)));
    assert_true(ulps(pw_log(4.9406564584124654e-324), logl(4.9406564584124654e-324)) < 0.6);
    assert_true(pw_pow(0.0, 2.0) == 0.0);
    assert_true(pw_pow(0.0, 0.0) == 1.0);
    assert_true(pw_pow(5.0, 0.0) == 1.0);
    assert_true(isinf(pw_pow(10.0, 309.0)));
    assert_true(pw_pow(10.0, -330.0) == 0.0);
    assert_true(pw_pow(10.0, 1e300) > 1e308);
    assert_true(pw_pow(10.0, -1e300) == 0.0);
    assert_true(pw_pow(1.5, 1e-300) == 1.0);
    assert_true(pw_is_finite(pw_sin(1e300)));
    assert_true(fabs(pw_sin(1e300)) <= 1.0);
    assert_true(pw_sin(INFINITY) == 0.0);
    assert_false(pw_is_finite(INFINITY));
    assert_false(pw_is_finite(NAN));
    assert_true(pw_is_finite(1.7976931348623157e308));
}

static void small_ones(void **state)
{
    (void)state;
    assert_true(pw_min(1.0, 2.0) == 1.0 && pw_min(2.0, 1.0) == 1.0);
    assert_true(pw_max(1.0, 2.0) == 2.0 && pw_max(2.0, 1.0) == 2.0);
    assert_true(pw_clamp(5.0, 0.0, 1.0) == 1.0 && pw_clamp(-5.0, 0.0, 1.0) == 0.0 && pw_clamp(0.5, 0.0, 1.0) == 0.5);
    assert_true(pw_floor(-1.5) == -2.0 && pw_ceil(-1.5) == -1.0);
    assert_true(pw_sqrt(2.25) == 1.5 && pw_abs(-3.0) == 3.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(exp_stays_under_one_ulp),
        cmocka_unit_test(log_stays_under_one_ulp),
        cmocka_unit_test(pow_stays_under_two_ulp),
        cmocka_unit_test(sine_and_cosine_stay_under_two_ulp),
        cmocka_unit_test(tanh_stays_under_two_ulp),
        cmocka_unit_test(published_values),
        cmocka_unit_test(exact_where_the_answer_is_exact),
        cmocka_unit_test(edges_follow_the_header),
        cmocka_unit_test(small_ones),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
