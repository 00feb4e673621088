/* Numbers of handbooks and closed forms that no other test holds: fittings that have one K, rates of the thermal
 * replica, slips of the pen in constants. Each expected value is written down here.
 */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "formula/atmosphere.h"
#include "formula/bore.h"
#include "formula/curve.h"
#include "formula/fitting.h"
#include "formula/motor.h"
#include "formula/orifice.h"
#include "formula/pump.h"
#include "formula/surge.h"
#include "formula/tables.h"
#include "formula/tank.h"
#include "formula/thermal.h"
#include "formula/vessel.h"

static void near_to(double got, double expected, double relative)
{
    if (!(fabs(got - expected) <= relative * fabs(expected))) {
        fail_msg("got %.12g, expected %.12g", got, expected);
    }
}

/* Entries and exits of textbooks (Idelchik; White 6.9); foot valve, strainer, meter: trade tables, common practice. */
static void fittings_with_one_k(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        double k;
    } rows[] = {{"strainer", 3.0}, {"foot valve", 8.0},       {"water meter", 7.0},    {"coupling", 0.08},
                {"entry", 0.5},    {"entry projecting", 0.8}, {"entry rounded", 0.04}, {"exit", 1.0}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const int32_t kind = pw_fitting_find(rows[i].name);
        assert_true(kind >= 0);
        near_to(pw_fitting_k_turbulent(kind, 0.04), rows[i].k, 1e-12);
        near_to(pw_fitting_k(kind, 0.1, 1e4), rows[i].k, 1e-12); /* whatever the bore and the flow */
    }
    /* Darby's elbow of 2 inches, fully turbulent: 0.14 (1 + 4 / 2^0.3) */
    near_to(pw_fitting_k_turbulent(pw_fitting_find("elbow 90"), 0.0508), 0.14 * (1.0 + 4.0 / 1.231144413), 1e-9);
    near_to(pw_fitting_k(pw_fitting_find("elbow 90"), 0.0508, 1000.0), 0.8 + 0.14 * (1.0 + 4.0 / 1.231144413), 1e-9);
}

/* Heat 0.5 with the motor at rest and 30 min: -0.5 / 1800 a second; running at 80 % of k I_B and 10 min:
 * (0.64 - 0.5) / 600. */
static void thermal_rates(void **state)
{
    (void)state;
    const pw_thermal motor = {.basic_a = 10.0, .k = 1.05, .heat_time_s = 600.0, .cool_time_s = 1800.0};
    near_to(pw_thermal_rate(&motor, 0.5, 0.0, false), -0.5 / 1800.0, 1e-12);
    near_to(pw_thermal_rate(&motor, 0.5, 8.4, true), 0.14 / 600.0, 1e-12);
    near_to(pw_thermal_step(&motor, 0.5, 0.0, false, 1800.0), 0.5 * exp(-1.0), 1e-12);
    near_to(pw_thermal_step(&motor, 0.5, 8.4, true, 600.0), 0.64 - 0.14 * exp(-1.0), 1e-12);
    near_to(pw_winding_c(&motor, 1.0, 20.0, 80.0), 20.0 + 80.0 * 1.05 * 1.05, 1e-12);
    near_to(pw_thermal_cool_s(&motor, 0.8, 0.4), 1800.0 * 0.6931471805599453, 1e-12);
    near_to(pw_thermal_trip_s(&motor, 0.0, 21.0), 600.0 * log(4.0 / 3.0), 1e-12);
}

/* Factors of standards: 125 % of a motor's current for its conductor (NEC 430.22), a quarter more than it runs with for
 * a generator, water over an intake, loss of a float valve, a broad weir. */
static void factors(void **state)
{
    (void)state;
    near_to(PW_CONDUCTOR_FACTOR, 1.25, 1e-12);
    near_to(PW_GENERATOR_SPARE, 1.25, 1e-12);
    near_to(PW_INTAKE_COVER_M, 0.3, 1e-12);
    near_to(pw_intake_room_m(30.0, 20.0), 9.7, 1e-12);
    near_to(pw_covered_depth_m(40.0, 12.0, 30.0), 29.7, 1e-12);
    near_to(pw_weir_m3s(0.2, 0.25), 1.7 * 0.2 * 0.125, 1e-12);
    near_to(pw_intake_wet(0.25, 1.0, NULL), 0.15625, 1e-12); /* 3 t^2 - 2 t^3 */
    near_to(pw_float_opening(1.45, 1.5, 0.1, 0.2, NULL), 0.2 + 0.8 * 0.5, 1e-12);
    near_to(pw_float_opening(1.475, 1.5, 0.1, 0.0, NULL), 0.15625, 1e-12);
    near_to(pw_generator_start_va(10e3, 0.25, 0.3), 10e3 * 0.25 * (1.0 / 0.3 - 1.0), 1e-12);
}

/* Affinity at 90 % of the speed, on a pump of 40 m and 600 W at 1 L/s: 0.9, 0.81, 0.729; a drive at half speed takes an
 * eighth of the power at half the flow. */
static void affinity(void **state)
{
    (void)state;
    near_to(pw_affinity_flow_m3s(1e-3, 0.9), 0.9e-3, 1e-12);
    near_to(pw_affinity_head_m(40.0, 0.9), 32.4, 1e-12);
    near_to(pw_affinity_power_w(600.0, 0.9), 437.4, 1e-12);
    pw_curve power;
    static const double flow[] = {0.0, 1e-3, 2e-3}, watts[] = {400.0, 600.0, 800.0};
    assert_true(pw_curve_build(3, flow, watts, &power));
    near_to(pw_pump_shaft_w(&power, 0.5, 0.5e-3, 1e-3), 600.0 / 8.0, 1e-12);
    near_to(pw_pump_shaft_w(&power, 0.9, 0.9e-3, 1.8e-3), 437.4, 1e-12);
}

/* A motor at half load, full and low voltage: losses 0.36 v^2 + 0.64 (P / P_N v)^2 of the rated ones; the best
 * efficiency at three quarters of the load; current from it and 0.8 v^2 + 0.2 (..)^2 of the reactive power. */
static void motor_losses(void **state)
{
    (void)state;
    const pw_motor_data motor = {.power_w = 1500.0,
                                 .voltage_v = 400.0,
                                 .phases = 3,
                                 .efficiency = 0.75,
                                 .power_factor = 0.8,
                                 .locked_rotor_a = 20.0};
    double input, current, efficiency, factor;
    pw_motor_load(&motor, 750.0, 400.0, &input, &current, &efficiency, &factor);
    near_to(input, 750.0 + 500.0 * (0.36 + 0.16), 1e-12);
    const double reactive = 2000.0 * 0.75 * (0.8 + 0.05); /* tan of cos 0.8 is 0.75 */
    near_to(current, sqrt(input * input + reactive * reactive) / (1.7320508075688772 * 400.0), 1e-12);
    near_to(efficiency, 750.0 / 1010.0, 1e-12);
    near_to(factor, input / sqrt(input * input + reactive * reactive), 1e-12);
    pw_motor_load(&motor, 1200.0, 320.0, &input, &current, NULL, NULL); /* 80 % of the voltage: stretch 1 */
    near_to(input, 1200.0 + 500.0 * (0.36 * 0.64 + 0.64), 1e-12);
    double at_three_quarters, more, less;
    pw_motor_load(&motor, 1125.0, 400.0, NULL, NULL, &at_three_quarters, NULL);
    pw_motor_load(&motor, 1275.0, 400.0, NULL, NULL, &more, NULL);
    pw_motor_load(&motor, 975.0, 400.0, NULL, NULL, &less, NULL);
    assert_true(at_three_quarters > more && at_three_quarters > less);
    near_to(pw_motor_start_a(&motor, 300.0), 15.0, 1e-12);
    near_to(pw_motor_torque(0.8), 0.64, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fittings_with_one_k),
        cmocka_unit_test(thermal_rates),
        cmocka_unit_test(factors),
        cmocka_unit_test(affinity),
        cmocka_unit_test(motor_losses),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
