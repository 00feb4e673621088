/* Curves: through the points, no bump, C1, inverse; pumps by affinity, side by side and one after another. */
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
#include "unit/formula/kit.h"
#include "formula/curve.h"
#include "formula/pump.h"

/* Random points; `way` -1: y never rises, 0: any. */
static int32_t points(pw_random *random, int way, double *x, double *y)
{
    const int32_t n = 2 + (int32_t)(pw_random_unit(random) * (PW_MAX_CURVE - 2));
    x[0] = way < 0 ? 0.0 : -3.0 * pw_random_unit(random);
    y[0] = 60.0 * pw_random_unit(random) + 20.0;
    for (int32_t i = 1; i < n; i++) {
        x[i] = x[i - 1] + 0.01 + pow(pw_random_unit(random), 3.0);
        const double step = pw_random_unit(random) < 0.2 ? 0.0 : 10.0 * pow(pw_random_unit(random), 4.0);
        y[i] = way < 0 || pw_random_unit(random) < 0.5 ? y[i - 1] - step : y[i - 1] + step;
    }
    return n;
}

static void goes_through_points_without_bumps(void **state)
{
    double x[PW_MAX_CURVE];
    double y[PW_MAX_CURVE];
    pw_curve c;
    pw_random random;
    (void)state;
    pw_random_seed(&random, 11, 1);
    for (int run = 0; run < 500; run++) {
        const int32_t n = points(&random, 0, x, y);
        assert_true(pw_curve_build(n, x, y, &c));
        for (int32_t i = 0; i + 1 < n; i++) {
            ASSERT_NEAR(pw_curve_at(&c, x[i], NULL), y[i], 1e-14, 1e-14);
            const double low = pw_min(y[i], y[i + 1]);
            const double high = pw_max(y[i], y[i + 1]);
            const double way = y[i + 1] - y[i];
            for (int j = 1; j < 20; j++) {
                double slope;
                const double value = pw_curve_at(&c, x[i] + (x[i + 1] - x[i]) * j / 20.0, &slope);
                assert_true(value >= low - 1e-12 && value <= high + 1e-12);
                assert_true(slope * way >= -1e-9 * (1.0 + fabs(way)));
            }
        }
    }
}

static void slope_is_the_slope_and_has_no_jump(void **state)
{
    double x[PW_MAX_CURVE];
    double y[PW_MAX_CURVE];
    pw_curve c;
    pw_random random;
    (void)state;
    pw_random_seed(&random, 12, 1);
    for (int run = 0; run < 300; run++) {
        const int32_t n = points(&random, -1, x, y);
        assert_true(pw_curve_build_head(n, x, y, &c));
        for (int32_t i = 0; i < n; i++) {
            double before;
            double after;
            pw_curve_at(&c, x[i] - 1e-13, &before);
            pw_curve_at(&c, x[i] + 1e-13, &after);
            ASSERT_NEAR(after, before, 1e-6, 1e-6);
        }
        for (int j = 0; j < 50; j++) {
            const double at = x[0] - 1.0 + (x[n - 1] - x[0] + 2.0) * pw_random_unit(&random);
            double slope;
            pw_curve_at(&c, at, &slope);
            const double h = 1e-6;
            const double quotient = (pw_curve_at(&c, at + h, NULL) - pw_curve_at(&c, at - h, NULL)) / (2.0 * h);
            ASSERT_NEAR(quotient, slope, 2e-3, 2e-3);
            assert_true(slope <= 1e-12);
        }
        double end;
        pw_curve_at(&c, x[n - 1] + 5.0, &end);
        assert_true(end <= (y[n - 1] - y[n - 2]) / (x[n - 1] - x[n - 2]) + 1e-12);
    }
}

static void inverse_comes_back(void **state)
{
    double x[PW_MAX_CURVE];
    double y[PW_MAX_CURVE];
    pw_curve c;
    pw_random random;
    (void)state;
    pw_random_seed(&random, 13, 1);
    for (int run = 0; run < 300; run++) {
        const int32_t n = points(&random, -1, x, y);
        assert_true(pw_curve_build_head(n, x, y, &c));
        const double want = y[0] - (y[0] - y[n - 1] + 3.0) * pw_random_unit(&random);
        if (want > y[n - 1] || c.slope[n - 1] < -1e-6) {
            ASSERT_NEAR(pw_curve_at(&c, pw_curve_inverse(&c, want), NULL), want, 1e-9, 1e-9);
        }
        assert_true(pw_curve_inverse(&c, y[0] + 1.0) == x[0]);
    }
}

static void bad_points_are_refused(void **state)
{
    const double x[] = {0.0, 1.0, 1.0};
    const double y[] = {3.0, 2.0, 1.0};
    const double rising[] = {3.0, 4.0, 1.0};
    const double good[] = {0.0, 1.0, 2.0};
    const double broken[] = {0.0, NAN, 2.0};
    pw_curve c;
    (void)state;
    assert_false(pw_curve_build(3, x, y, &c));
    assert_false(pw_curve_build(1, good, y, &c));
    assert_false(pw_curve_build(PW_MAX_CURVE + 1, good, y, &c));
    assert_false(pw_curve_build(3, broken, y, &c));
    assert_false(pw_curve_build(3, good, broken, &c));
    assert_false(pw_curve_build_head(3, good, rising, &c));
    assert_true(pw_curve_build(3, good, rising, &c));
    ASSERT_NEAR(pw_curve_within(&c, 9.0), 1.0, 1e-15, 0.0);
}

static void parabola(pw_curve *c)
{
    double x[28];
    double y[28];
    for (int i = 0; i < 26; i++) {
        x[i] = 0.25e-3 * i;
        y[i] = 60.0 - 1.5e6 * x[i] * x[i];
    }
    assert_true(pw_curve_build_head(26, x, y, c));
}

static void affinity_moves_the_whole_curve(void **state)
{
    pw_curve c;
    double slope;
    (void)state;
    parabola(&c);
    for (double s = 0.3; s < 1.3; s += 0.1) {
        for (double q = 0.0; q < 5e-3; q += 0.4e-3) {
            const double head = pw_pump_head(&c, s, s * q, &slope);
            ASSERT_NEAR(head, s * s * pw_curve_at(&c, q, NULL), 1e-12, 1e-12);
            const double quotient =
                (pw_pump_head(&c, s, s * q + 1e-8, NULL) - pw_pump_head(&c, s, s * q - 1e-8, NULL)) / 2e-8;
            ASSERT_NEAR(quotient, slope, 1e-4, 0.5);
        }
    }
    assert_true(pw_pump_head(&c, 0.0, 1e-3, &slope) == 0.0 && slope == 0.0);
}

static void duty_balances_pump_and_system(void **state)
{
    pw_curve c;
    pw_random random;
    (void)state;
    parabola(&c);
    pw_random_seed(&random, 14, 1);
    for (int run = 0; run < 500; run++) {
        const double still = -10.0 + 60.0 * pw_random_unit(&random);
        const double k = pow(10.0, 3.0 + 5.0 * pw_random_unit(&random));
        const double speed = 0.5 + pw_random_unit(&random);
        const double q = pw_pump_duty_m3s(&c, 2, 1, speed, still, k);
        const double head = pw_pump_head(&c, speed, 0.5 * q, NULL);
        if (q > 0.0) {
            ASSERT_NEAR(head, still + k * q * q, 1e-10, 1e-10);
        } else {
            assert_true(speed * speed * 60.0 <= still);
        }
    }
    assert_true(pw_pump_duty_m3s(&c, 1, 1, 0.0, 10.0, 1e5) == 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(goes_through_points_without_bumps),
        cmocka_unit_test(slope_is_the_slope_and_has_no_jump),
        cmocka_unit_test(inverse_comes_back),
        cmocka_unit_test(bad_points_are_refused),
        cmocka_unit_test(affinity_moves_the_whole_curve),
        cmocka_unit_test(duty_balances_pump_and_system),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
