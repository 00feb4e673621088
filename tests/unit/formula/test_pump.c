/* Pumps: affinity, shaft power from efficiencies, what the power does beyond
 * the curve, suction and warming. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/num.h"
#include "formula/atmosphere.h"
#include "formula/pump.h"
#include "formula/thermal.h"
#include "formula/water.h"
#include "unit/formula/kit.h"

static const double flow[] = {0.0, 1e-3, 2e-3, 3e-3};
static const double head[] = {40.0, 36.0, 28.0, 15.0};
static const double efficiency[] = {0.0, 0.45, 0.60, 0.50};

static void affinity_is_one_two_three(void **state)
{
    (void)state;
    for (double ratio = 0.25; ratio < 2.0; ratio += 0.25) { /* exact in binary */
        assert_true(pw_affinity_flow_m3s(2.0, ratio) == 2.0 * ratio);
        assert_true(pw_affinity_head_m(2.0, ratio) == 2.0 * ratio * ratio);
        assert_true(pw_affinity_power_w(2.0, ratio) == 2.0 * ratio * ratio * ratio);
    }
    assert_true(pw_affinity_head_m(30.0, 0.0) == 0.0);
}

/* At the points rho g Q H / eta; at no flow a straight line from the next two,
 * held within 35 and 100 % of the most. */
static void power_from_efficiencies(void **state)
{
    (void)state;
    const double pa_per_m = pw_pa_per_m(1000.0);
    pw_curve power;
    assert_true(pw_pump_power_curve(4, flow, head, efficiency, pa_per_m, false, &power));
    assert_int_equal(power.n, 4);
    for (int i = 1; i < 4; i++) {
        const double shaft = 9806.65 * flow[i] * head[i] / efficiency[i];
        ASSERT_NEAR(pw_curve_at(&power, flow[i], NULL), shaft, 1e-14, 0.0);
        ASSERT_NEAR(pw_pump_efficiency(pa_per_m, flow[i], head[i], shaft), efficiency[i], 1e-14, 0.0);
    }
    const double p1 = power.y[1];
    const double p2 = power.y[2];
    ASSERT_NEAR(power.y[0], p1 - (p2 - p1), 1e-12, 0.0);
    /* so steep that the line would end below: held at 35 % of the largest */
    const double steep[] = {0.0, 0.9, 0.3, 0.4};
    assert_true(pw_pump_power_curve(4, flow, head, steep, pa_per_m, false, &power));
    ASSERT_NEAR(power.y[0], 0.35 * power.y[2], 1e-14, 0.0);
    assert_true(power.y[2] > power.y[1] && power.y[2] > power.y[3]);
    /* one point alone says nothing */
    const double one[] = {0.0, 0.5, 0.01, 0.0};
    assert_false(pw_pump_power_curve(4, flow, head, one, pa_per_m, false, &power));
}

static void shaft_power_goes_with_the_cube(void **state)
{
    (void)state;
    pw_curve power;
    assert_true(pw_pump_power_curve(4, flow, head, efficiency, pw_pa_per_m(1000.0), false, &power));
    for (double speed = 0.5; speed < 1.6; speed += 0.25) {
        const double most = pw_affinity_flow_m3s(3e-3, speed);
        const double at = pw_pump_shaft_w(&power, speed, speed * 1.7e-3, most);
        ASSERT_NEAR(at, speed * speed * speed * pw_curve_at(&power, 1.7e-3, NULL), 1e-14, 0.0);
        /* backwards as at no flow; beyond 1.3 times the last flow as there */
        assert_true(pw_pump_shaft_w(&power, speed, -1e-3, most) == pw_pump_shaft_w(&power, speed, 0.0, most));
        assert_true(pw_pump_shaft_w(&power, speed, 9.0 * most, most) ==
                    pw_pump_shaft_w(&power, speed, 1.3 * most, most));
        assert_true(pw_pump_shaft_w(&power, speed, 1.2 * most, most) !=
                    pw_pump_shaft_w(&power, speed, 1.3 * most, most));
    }
}

/* A pump at its largest lift has just the NPSH that it requires and the margin.
 */
static void lift_and_npsh_agree(void **state)
{
    (void)state;
    pw_water water;
    pw_water_at(25.0, &water);
    const double air = pw_atmosphere_pa(800.0);
    const double lift = pw_largest_lift_m(air, water.vapour_pa, water.density_kgm3, 2.5, 0.5, 0.75);
    ASSERT_NEAR(pw_npsh_available_m(air, water.vapour_pa, water.density_kgm3, -lift, 0.75), 3.0, 1e-14, 0.0);
    ASSERT_NEAR(pw_pa_per_m(1000.0), 9806.65, 1e-15, 0.0);
    ASSERT_NEAR(pw_energy_kwh_m3(3600.0, 1e-3), 1.0, 1e-15, 0.0);
}

/* The casing's equation m c dT/dt = P - (UA + m c x)(T - T0) against small
 * steps, and the times it tells. */
static void casing_settles(void **state)
{
    (void)state;
    const pw_casing casing = {2.0, 4180.0, 3.0, 15.0};
    const double power = 500.0;
    const double changes = 1e-3;
    double rate;
    const double settled = pw_casing_settles_c(&casing, power, changes, &rate);
    ASSERT_NEAR(settled, 15.0 + power / (3.0 + 2.0 * 4180.0 * changes), 1e-14, 0.0);
    double stepped = 20.0;
    for (int i = 0; i < 600000; i++) {
        stepped += 1e-3 * (power - (3.0 + 8360.0 * changes) * (stepped - 15.0)) / 8360.0;
    }
    const double reached = pw_settling(20.0, settled, rate, 600.0);
    ASSERT_NEAR(reached, stepped, 1e-6, 0.0);
    ASSERT_NEAR(pw_settling_time_s(20.0, settled, rate, reached), 600.0, 1e-12, 0.0);
    assert_true(pw_settling_time_s(20.0, settled, rate, settled + 1.0) == PW_INF);
    assert_true(pw_settling_time_s(20.0, settled, rate, 19.0) == 0.0);
    assert_true(pw_settling(20.0, settled, rate, 1e9) == settled);
    /* what the water takes to warm by the least flow is what it is allowed to */
    const double least = pw_least_flow_m3s(power, 1000.0, 4180.0, 8.0);
    ASSERT_NEAR(pw_loss_rise_k(power, 0.0, 1000.0 * least, 4180.0), 8.0, 1e-14, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(affinity_is_one_two_three),
        cmocka_unit_test(power_from_efficiencies),
        cmocka_unit_test(shaft_power_goes_with_the_cube),
        cmocka_unit_test(lift_and_npsh_agree),
        cmocka_unit_test(casing_settles),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
