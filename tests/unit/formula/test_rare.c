/* Upper bound of a Poisson mean against published values and against its own definition. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "formula/rare.h"

/* Source: chi-square table, upper bound = half the 95 % quantile with 2 k + 2 degrees of freedom
 * (5.991, 9.488, 12.592, 21.026, 33.924), as printed in tables of Poisson limits. From memory; the definition below is
 * checked independently. */
static void test_table(void **state)
{
    (void)state;
    static const struct {
        int32_t events;
        double bound;
    } rows[] = {{0, 2.9957}, {1, 4.7439}, {2, 6.2958}, {5, 10.5130}, {10, 16.9622}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        assert_true(fabs(pw_poisson_upper(rows[i].events, 0.95) - rows[i].bound) < 5.1e-5);
    }
}

/* Rule of three: no event in n years gives -ln(0.05) = 2.99573..., about 3 / n (Hanley and Lippman-Hand, JAMA 1983;
 * from memory). */
static void test_rule_of_three(void **state)
{
    (void)state;
    assert_true(fabs(pw_poisson_upper(0, 0.95) - -log(0.05)) < 1e-12 * 3.0);
    assert_true(fabs(pw_poisson_upper(0, 0.99) - -log(0.01)) < 1e-12 * 5.0);
}

/* The definition: summed in long double with the platform's own functions (own derivation). */
static void test_definition(void **state)
{
    (void)state;
    static const double confidences[] = {0.5, 0.8, 0.95, 0.999};
    static const int32_t events[] = {0, 1, 3, 7, 30, 120, 1000, 20000};
    for (size_t c = 0; c < 4; c++) {
        for (size_t e = 0; e < 8; e++) {
            const double m = pw_poisson_upper(events[e], confidences[c]);
            long double sum = 0.0L;
            for (int32_t i = 0; i <= events[e]; i++) {
                sum += expl(i * logl(m) - m - lgammal(i + 1.0L));
            }
            const long double off = fabsl(sum - (1.0L - (long double)confidences[c]));
            if (off > 1e-9L) {
                fail_msg("%d at %g: off by %Lg", (int)events[e], confidences[c], off);
            }
        }
    }
}

static void test_grows(void **state)
{
    (void)state;
    for (int32_t k = 0; k < 200; k++) {
        assert_true(pw_poisson_upper(k + 1, 0.95) > pw_poisson_upper(k, 0.95));
        assert_true(pw_poisson_upper(k, 0.99) > pw_poisson_upper(k, 0.95));
        assert_true(pw_poisson_upper(k, 0.95) > (double)k);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_table), cmocka_unit_test(test_rule_of_three),
                                       cmocka_unit_test(test_definition), cmocka_unit_test(test_grows)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
