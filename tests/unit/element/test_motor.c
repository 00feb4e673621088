/* A motor against the definition of power (P = m V I cos phi eta), and a stalled one against its name plate. */
#include "kit.h"

#include "element/motor.h"

static pw_motor_data motor_of(int32_t phases)
{
    pw_motor made;
    memset(&made, 0, sizeof made);
    made.power_w.v = 1500.0;
    made.voltage_v.v = 400.0;
    made.phases = phases;
    made.locked_rotor_a.v = 21.0;
    made.efficiency.v = 0.8;
    made.power_factor.v = 0.85;
    return pw_motor_of(&made);
}

static void at_rated_load(void **state)
{
    (void)state;
    const pw_motor_data motor = motor_of(3);
    pw_condition condition;
    double input_w, current_a;
    pw_condition_as_built(&condition);
    pw_motor_draw(&motor, &condition, 0, 400.0, 1500.0, &input_w, &current_a);
    NEAR(input_w, 1500.0 / 0.8, 1e-9);
    NEAR(current_a, 1500.0 / (pw_sqrt(3.0) * 400.0 * 0.85 * 0.8), 1e-9);
    condition.pump_amps[0] = pw_sqrt(3.0);
    double more_a;
    pw_motor_draw(&motor, &condition, 0, 400.0, 1500.0, &input_w, &more_a);
    NEAR(more_a, pw_sqrt(3.0) * current_a, 1e-14);
    NEAR(input_w, 1875.0, 1e-9);
}

static void stalled(void **state)
{
    (void)state;
    const pw_motor_data motor = motor_of(3), direct = motor_of(0);
    pw_condition condition;
    double input_w, current_a;
    pw_condition_as_built(&condition);
    condition.stalled[1] = true;
    condition.supply = 0.9;
    pw_motor_draw(&motor, &condition, 1, 400.0, 1500.0, &input_w, &current_a);
    NEAR(current_a, 0.9 * 21.0, 1e-14);
    NEAR(input_w, 0.6 * pw_sqrt(3.0) * 360.0 * 0.9 * 21.0, 1e-14);
    condition.phase_lost = true; /* two windings in series between two lines */
    pw_motor_draw(&motor, &condition, 1, 400.0, 0.0, &input_w, &current_a);
    NEAR(current_a, 0.9 * 21.0 * pw_sqrt(3.0) / 2.0, 1e-14);
    condition.phase_lost = false;
    pw_motor_draw(&direct, &condition, 1, 400.0, 0.0, &input_w, &current_a);
    NEAR(input_w, 360.0 * 0.9 * 21.0, 1e-14);
}

static void when_it_stalls(void **state)
{
    (void)state;
    const pw_motor_data motor = motor_of(3), direct = motor_of(0);
    assert_false(pw_motor_stalls(&motor, 400.0, 1.0));
    assert_false(pw_motor_stalls(&motor, 400.0, 0.65)); /* 2.4 v^2 > 1 from 0.645 on */
    assert_true(pw_motor_stalls(&motor, 400.0, 0.64));
    assert_true(pw_motor_stalls(&motor, 230.0, 1.0)); /* at the wrong supply */
    assert_false(pw_motor_stalls(&direct, 400.0, 0.3));
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(at_rated_load), cmocka_unit_test(stalled),
                                       cmocka_unit_test(when_it_stalls)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
