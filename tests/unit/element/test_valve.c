/* Valves against hand formulas: k (1/x^2 - 1) for a gate with linear trim, k/x^2 for a passing flap, the K of a seat's
 * jet for a float valve (1/0.6^2 on the seat's velocity).
 */
#include "kit.h"

#include "element/valve.h"

static void gate(void **state)
{
    (void)state;
    double loss = 0.0, slope = 0.0;
    pw_gate_loss(1000.0, 1.0, 0.1, &loss, &slope);
    assert_true(loss == 0.0 && slope == 0.0);
    pw_gate_loss(1000.0, 0.5, 0.1, &loss, &slope); /* three times k on top */
    NEAR(loss, 3000.0 * 0.01, 1e-15);
    NEAR(slope, 2.0 * 3000.0 * 0.1, 1e-15);
    loss = slope = 0.0;
    pw_gate_loss(1000.0, 0.1, -0.1, &loss, &slope); /* ninety-nine times, against backflow */
    NEAR(loss, -99e3 * 0.01, 1e-14);
    assert_true(slope > 0.0);
    assert_true(pw_valve_shut(0.0) && pw_valve_shut(0.9e-6) && !pw_valve_shut(1e-6));
}

static void shut(void **state)
{
    (void)state;
    double loss, slope;
    pw_shut_loss(1e-12, &loss, &slope);
    NEAR(loss, 100.0, 1e-12); /* 100 m drive a billionth of a litre per second through it: 30 mL in a year */
    NEAR(1e-12 * 365.0 * 86400.0, 3.2e-5, 0.02);
    NEAR(slope, 1e14, 1e-15);
}

static void non_return(void **state)
{
    (void)state;
    double loss = 0.0, slope = 0.0;
    assert_true(pw_non_return_holds(true, 0.0, -1e-9));
    assert_false(pw_non_return_holds(true, 0.0, 0.0));   /* open at rest */
    assert_false(pw_non_return_holds(true, 0.01, -1.0)); /* passes */
    assert_false(pw_non_return_holds(false, 0.0, -1.0));
    pw_non_return_loss(500.0, 0.2, 0.3, &loss, &slope);
    assert_true(loss == 0.0 && slope == 0.0); /* nothing forward */
    pw_non_return_loss(500.0, 0.2, -0.3, &loss, &slope);
    NEAR(loss, -500.0 * 25.0 * 0.09, 1e-14);
    NEAR(slope, 2.0 * 500.0 * 25.0 * 0.3, 1e-14);
}

static void float_valve(void **state)
{
    (void)state;
    pw_tank tank = {.float_valve = true};
    pw_condition condition;
    tank.closes_m.v = 1.0;
    tank.band_m.v = 0.2;
    tank.valve_bore_m.v = 0.02;
    pw_condition_as_built(&condition);
    assert_true(pw_float_open(&tank, &condition, 0, 0.8) == 1.0);
    NEAR(pw_float_open(&tank, &condition, 0, 0.9), 0.5, 1e-14); /* half way by symmetry of the smooth step */
    assert_true(pw_float_open(&tank, &condition, 0, 1.0) == 0.0);
    condition.float_passing[0] = 0.1;
    NEAR(pw_float_open(&tank, &condition, 0, 1.2), 0.1, 1e-14);
    condition.float_most[0] = 0.3;
    NEAR(pw_float_open(&tank, &condition, 0, 0.0), 0.3, 1e-14);
    assert_true(pw_float_open(&tank, &condition, 1, 0.0) == 1.0); /* the other tank's is well */
    /* a jet of velocity v from the seat: v^2/2g / 0.6^2 with v = Q/A */
    const double area = 0.25 * PW_PI * 0.02 * 0.02;
    NEAR(pw_float_k_s2m5(&tank), 1.0 / (0.36 * 2.0 * PW_G * area * area), 1e-3);
    tank.float_valve = false;
    assert_true(pw_float_k_s2m5(&tank) == 0.0);
    assert_true(pw_float_open(&tank, &condition, 1, 99.0) == 1.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(gate), cmocka_unit_test(shut), cmocka_unit_test(non_return),
                                       cmocka_unit_test(float_valve)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
