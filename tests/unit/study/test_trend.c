/* Trends: a line without scatter is found exactly, noise is no drift, limits are reached when they should be. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/num.h"
#include "study/trend.h"

/* 180 kPa that falls by 10 Pa a day, read each 100 days in no order: 171 kPa is 900 days from the beginning. */
static void line_is_followed(void **state)
{
    (void)state;
    static const double day[] = {300.0, 0.0, 200.0, 100.0};
    static const double value[] = {177000.0, 180000.0, 178000.0, 179000.0};
    pw_trend trend;
    pw_trend_of(day, value, 4, 171000.0, 189000.0, &trend);
    assert_int_equal(trend.finding, PW_TREND_CROSSES);
    assert_float_equal(trend.slope, -10.0, 1e-9);
    assert_float_equal(trend.error, 0.0, 1e-9);
    assert_true(trend.limit == 171000.0 && trend.last_day == 300.0);
    assert_float_equal(trend.days, 600.0, 1e-6);
    assert_float_equal(trend.soonest_days, 600.0, 1e-3);
}

/* Hand calculation: y = 0, 1, 1, 2 at x = 0, 1, 2, 3: slope 0.6, rests -0.1, 0.3, -0.3, 0.1 (sum of squares 0.2), error
 * of the slope sqrt(0.2 / 2 / 5) = 0.1414; the line stands at 1.9. Limit 3.1: 2 days, from 1.359 to 3.783. */
static void scatter_widens_the_time(void **state)
{
    (void)state;
    static const double day[] = {0.0, 1.0, 2.0, 3.0}, value[] = {0.0, 1.0, 1.0, 2.0};
    pw_trend trend;
    pw_trend_of(day, value, 4, -PW_INF, 3.1, &trend);
    assert_int_equal(trend.finding, PW_TREND_CROSSES);
    assert_float_equal(trend.slope, 0.6, 1e-12);
    assert_float_equal(trend.error, 0.141421356, 1e-8);
    assert_float_equal(trend.days, 2.0, 1e-9);
    assert_float_equal(trend.soonest_days, 1.2 / 0.882842712, 1e-6);
    assert_float_equal(trend.latest_days, 1.2 / 0.317157288, 1e-6);
}

static void other_findings(void **state)
{
    (void)state;
    static const double day[] = {0.0, 1.0, 2.0, 3.0}, noise[] = {1.0, 1.3, 0.9, 1.2}, rise[] = {0.0, 1.0, 2.0, 3.0};
    static const double same[] = {5.0, 5.0, 5.0};
    pw_trend trend;
    pw_trend_of(day, noise, 4, 0.0, 2.0, &trend);
    assert_int_equal(trend.finding, PW_TREND_STEADY);
    pw_trend_of(day, rise, 4, 0.0, PW_INF, &trend);
    assert_int_equal(trend.finding, PW_TREND_DRIFTS);
    pw_trend_of(day, rise, 4, 0.0, 2.5, &trend);
    assert_true(trend.finding == PW_TREND_CROSSES && trend.days == 0.0);
    pw_trend_of(day, rise, 2, 0.0, 2.0, &trend);
    assert_int_equal(trend.finding, PW_TREND_FEW);
    pw_trend_of(same, rise, 3, 0.0, 2.0, &trend);
    assert_int_equal(trend.finding, PW_TREND_FEW);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(line_is_followed), cmocka_unit_test(scatter_widens_the_time),
                                       cmocka_unit_test(other_findings)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
