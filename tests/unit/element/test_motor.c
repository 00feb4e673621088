/* A motor against the definition of power (P = m V I cos phi eta), and a stalled one against its name plate. */
#include "kit.h"

#include "element/motor.h"

static const pw_motor_cable no_cable = {0};

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
    pw_motor_draw(&motor, &no_cable, &condition, 0, 400.0, 1500.0, &input_w, &current_a);
    NEAR(input_w, 1500.0 / 0.8, 1e-9);
    NEAR(current_a, 1500.0 / (pw_sqrt(3.0) * 400.0 * 0.85 * 0.8), 1e-9);
    condition.pump_amps[0] = pw_sqrt(3.0);
    double more_a;
    pw_motor_draw(&motor, &no_cable, &condition, 0, 400.0, 1500.0, &input_w, &more_a);
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
    pw_motor_draw(&motor, &no_cable, &condition, 1, 400.0, 1500.0, &input_w, &current_a);
    NEAR(current_a, 0.9 * 21.0, 1e-14);
    NEAR(input_w, pw_motor_start_factor(3, motor.power_w) * pw_sqrt(3.0) * 360.0 * 0.9 * 21.0, 1e-14);
    condition.phase_lost = true; /* two windings in series between two lines */
    pw_motor_draw(&motor, &no_cable, &condition, 1, 400.0, 0.0, &input_w, &current_a);
    NEAR(current_a, 0.9 * 21.0 * pw_sqrt(3.0) / 2.0, 1e-14);
    condition.phase_lost = false;
    pw_motor_draw(&direct, &no_cable, &condition, 1, 400.0, 0.0, &input_w, &current_a);
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

/* At the end of a long cable: what reaches the motor is the supply less the drop of what it then takes, and the
 * copper's heat is paid for; a start gets the part of a voltage divider. */
static void on_a_cable(void **state)
{
    (void)state;
    const pw_motor_data motor = motor_of(3);
    const pw_motor_cable cable = {150.0, 8.866e-3, 0.08e-3};
    pw_condition condition;
    double near_w, near_a, far_w, far_a, at_w, at_a, factor;
    pw_condition_as_built(&condition);
    pw_motor_draw(&motor, &no_cable, &condition, 0, 400.0, 1500.0, &near_w, &near_a);
    pw_motor_draw(&motor, &cable, &condition, 0, 400.0, 1500.0, &far_w, &far_a);
    double volts = 400.0; /* by hand: the voltage that its own current leaves */
    for (int32_t i = 0; i < 60; i++) {
        pw_motor_load(&motor, 1500.0, volts, &at_w, &at_a, NULL, &factor);
        volts = 400.0 - pw_sqrt(3.0) * at_a * 150.0 * (8.866e-3 * factor + 0.08e-3 * pw_sqrt(1.0 - factor * factor));
    }
    assert_true(volts < 398.0 && far_w > near_w);
    NEAR(far_a, at_a, 1e-6);
    NEAR(far_w, at_w + 3.0 * at_a * at_a * 8.866e-3 * 150.0, 1e-6);
    const double part = pw_motor_start_part(&motor, &cable);
    assert_true(part < 1.0 && part > 0.5);
    condition.stalled[0] = true;
    pw_motor_draw(&motor, &cable, &condition, 0, 400.0, 0.0, &far_w, &far_a);
    NEAR(far_a, part * 21.0, 1e-12);
    assert_true(pw_motor_start_part(&motor, &no_cable) == 1.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(at_rated_load), cmocka_unit_test(on_a_cable),
                                       cmocka_unit_test(stalled), cmocka_unit_test(when_it_stalls)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
