/* Motors, heat, cables: own data met, slow twins agree, nothing escapes to infinity. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/num.h"
#include "formula/cable.h"
#include "formula/motor.h"
#include "formula/thermal.h"
#include "unit/formula/kit.h"

static const pw_motor_data small = {1100.0, 230.0, 1, 7.9, 34.0, 0.72, 0.9};
static const pw_motor_data three = {4000.0, 400.0, 3, 0.0, 60.0, 0.86, 0.83};
static const pw_motor_data direct = {500.0, 48.0, 0, 0.0, 40.0, 0.8, 1.0};

static void motor_meets_its_rating(void **state)
{
    double input;
    double current;
    double efficiency;
    double factor;
    (void)state;
    pw_motor_load(&small, 1100.0, 230.0, &input, &current, &efficiency, &factor);
    ASSERT_NEAR(current, 7.9, 1e-12, 0.0); /* the measured current wins over the power factor */
    ASSERT_NEAR(efficiency, 0.72, 1e-12, 0.0);
    ASSERT_NEAR(factor, 1100.0 / 0.72 / (230.0 * 7.9), 1e-12, 0.0);
    pw_motor_load(&three, 4000.0, 400.0, &input, &current, &efficiency, &factor);
    ASSERT_NEAR(factor, 0.83, 1e-12, 0.0);
    ASSERT_NEAR(current, pw_motor_current_a(3, 4000.0, 400.0, 0.86, 0.83), 1e-12, 0.0);
    pw_motor_load(&direct, 500.0, 48.0, &input, &current, &efficiency, &factor);
    ASSERT_NEAR(current, 500.0 / 0.8 / 48.0, 1e-12, 0.0);
    assert_true(factor == 1.0);
}

/* A full-load current that cannot carry the power only sets the scale. */
static void odd_data_keep_the_full_load_current(void **state)
{
    pw_motor_data odd = small;
    double current;
    double factor;
    (void)state;
    odd.full_load_a = 5.0;
    pw_motor_load(&odd, 1100.0, 230.0, NULL, &current, NULL, &factor);
    ASSERT_NEAR(current, 5.0, 1e-12, 0.0);
    assert_true(factor > 0.0 && factor <= 1.0);
}

static void no_load_current_is_a_third_to_a_half(void **state)
{
    double current;
    double full;
    double input;
    (void)state;
    pw_motor_load(&three, 0.0, 400.0, &input, &current, NULL, NULL);
    pw_motor_load(&three, 4000.0, 400.0, NULL, &full, NULL, NULL);
    assert_true(current > 0.3 * full && current < 0.5 * full);
    ASSERT_NEAR(input, 0.36 * (4000.0 / 0.86 - 4000.0), 1e-12, 0.0);
}

static void load_curve_is_sound(void **state)
{
    const pw_motor_data *motors[] = {&small, &three, &direct};
    (void)state;
    for (int m = 0; m < 3; m++) {
        double last_input = -1.0;
        double last_current = 0.0;
        double best_load = 0.0;
        double best = 0.0;
        for (int i = 0; i <= 150; i++) {
            double input;
            double current;
            double efficiency;
            double factor;
            pw_motor_load(motors[m], motors[m]->power_w * i / 100.0, motors[m]->voltage_v, &input, &current,
                          &efficiency, &factor);
            assert_true(input > last_input && current > last_current);
            assert_true(efficiency >= 0.0 && efficiency < 1.0 && factor > 0.0 && factor <= 1.0);
            last_input = input;
            last_current = current;
            if (efficiency > best) {
                best = efficiency;
                best_load = i / 100.0;
            }
        }
        ASSERT_NEAR(best_load, 0.75, 0.0, 0.011);
    }
}

static void low_voltage_costs_current(void **state)
{
    double rated;
    double low;
    double high;
    (void)state;
    pw_motor_load(&three, 4000.0, 400.0, NULL, &rated, NULL, NULL);
    pw_motor_load(&three, 4000.0, 340.0, NULL, &low, NULL, NULL);
    pw_motor_load(&three, 0.0, 440.0, NULL, &high, NULL, NULL);
    assert_true(low > 1.1 * rated && low < 1.3 * rated);
    pw_motor_load(&three, 0.0, 400.0, NULL, &low, NULL, NULL);
    assert_true(high > low);
    pw_motor_load(&three, 4000.0, 0.0, &rated, &low, NULL, &high);
    assert_true(rated == 0.0 && low == 0.0 && high == 0.0);
    ASSERT_NEAR(pw_motor_start_a(&three, 200.0), 30.0, 1e-12, 0.0);
    assert_true(pw_motor_start_a(&three, -5.0) == 0.0);
}

static void heat_steps_add_up(void **state)
{
    const pw_thermal t = {10.0, 1.05, 600.0, 1800.0};
    double theta = 0.3;
    (void)state;
    for (int i = 0; i < 1000; i++) {
        theta = pw_thermal_step(&t, theta, 15.0, true, 0.37);
    }
    ASSERT_NEAR(theta, pw_thermal_step(&t, 0.3, 15.0, true, 370.0), 1e-11, 0.0);
    assert_true(pw_thermal_step(&t, 0.5, 0.0, false, 0.0) == 0.5);
    assert_true(pw_thermal_step(&t, 0.5, 0.0, false, -1.0) == 0.5);
    assert_true(pw_thermal_step(&t, 0.5, 0.0, false, 100.0) > pw_thermal_step(&t, 0.5, 0.0, true, 100.0));
}

static void trip_time_is_when_the_heat_reaches_one(void **state)
{
    const pw_thermal t = {10.0, 1.05, 600.0, 1800.0};
    (void)state;
    for (double amps = 10.6; amps < 80.0; amps *= 1.1) {
        for (double before = 0.0; before < 1.0; before += 0.13) {
            const double trip = pw_thermal_trip_s(&t, before, amps);
            ASSERT_NEAR(pw_thermal_step(&t, before, amps, true, trip), 1.0, 1e-12, 0.0);
        }
    }
    assert_true(pw_thermal_trip_s(&t, 0.0, 10.5) == PW_INF);
    assert_true(pw_thermal_trip_s(&t, 0.0, 0.0) == PW_INF);
    assert_true(pw_thermal_trip_s(&t, 1.0, 10.5) == 0.0);
    assert_true(pw_thermal_trip_s(&t, 1.7, 0.0) == 0.0);
}

static void it_cools_and_starts_heat(void **state)
{
    const pw_thermal t = {10.0, 1.05, 600.0, 1800.0};
    const double wait = pw_thermal_cool_s(&t, 0.9, 0.4);
    (void)state;
    ASSERT_NEAR(pw_thermal_step(&t, 0.9, 0.0, false, wait), 0.4, 1e-12, 0.0);
    assert_true(pw_thermal_cool_s(&t, 0.3, 0.4) == 0.0);
    assert_true(pw_thermal_cool_s(&t, 0.3, 0.0) == PW_INF);
    /* 1 s at 4.3 times full load, short against tau: about (4.3/1.05)^2/600 */
    ASSERT_NEAR(pw_thermal_start(&t, 43.0, 1.0), 43.0 * 43.0 / (10.5 * 10.5) / 600.0, 0.001, 0.0);
    /* at full load for ever the winding stands at its rise */
    ASSERT_NEAR(pw_winding_c(&t, pw_thermal_settled(&t, 10.0), 20.0, 60.0), 80.0, 1e-12, 0.0);
}

static void still_water_heats(void **state)
{
    double c = 20.0;
    (void)state;
    for (int i = 0; i < 60000; i++) {
        c += 0.01 * (750.0 - 4.0 * (c - 20.0)) / (1.5 * 4184.0);
    }
    ASSERT_NEAR(pw_heating_c(&(pw_casing){1.5, 4184.0, 4.0, 20.0}, 750.0, 20.0, 600.0), c, 1e-5, 0.0);
    const double time = pw_heating_time_s(&(pw_casing){1.5, 4184.0, 4.0, 20.0}, 750.0, 20.0, 77.0);
    ASSERT_NEAR(pw_heating_c(&(pw_casing){1.5, 4184.0, 4.0, 20.0}, 750.0, 20.0, time), 77.0, 1e-12, 0.0);
    assert_true(pw_heating_time_s(&(pw_casing){1.0, 4184.0, 0.0, 20.0}, 0.0, 20.0, 21.0) == PW_INF);
    assert_true(pw_heating_time_s(&(pw_casing){1.0, 4184.0, 4.0, 20.0}, 300.0, 20.0, 95.0) == PW_INF);
    assert_true(pw_heating_time_s(&(pw_casing){1.0, 4184.0, 4.0, 20.0}, 300.0, 50.0, 50.0) == 0.0);
}

static void cable_table_is_in_order(void **state)
{
    (void)state;
    for (int32_t i = 0; i < pw_cable_count(); i++) {
        const double ohm_m = pw_cable_ohm_m(pw_cable_section_mm2(i));
        /* copper is 17.24 ohm mm2/km; stranding and tolerance add 3 to 8 % */
        assert_true(ohm_m * pw_cable_section_mm2(i) > 17.2e-3 && ohm_m * pw_cable_section_mm2(i) < 19.5e-3);
        assert_true(i == 0 || pw_cable_section_mm2(i) > pw_cable_section_mm2(i - 1));
    }
    assert_true(pw_cable_ohm_m(3.0) == 0.0);
    assert_true(pw_cable_section_mm2(-1) == 0.0 && pw_cable_section_mm2(pw_cable_count()) == 0.0);
    assert_true(pw_copper_factor(20.0) == 1.0 && pw_copper_correction(20.0) == 1.0);
    ASSERT_NEAR(pw_cable_drop_v(1, 10.0, 50.0, 5e-3, 0.0, 1.0), pw_cable_drop_v(0, 10.0, 50.0, 5e-3, 0.0, 0.0), 1e-15,
                0.0);
    assert_true(pw_is_finite(pw_cable_drop_v(3, 10.0, 50.0, 5e-3, 8e-5, 1.7)));
}

static void letters_go_up(void **state)
{
    char last = 'A';
    (void)state;
    assert_int_equal(pw_locked_rotor_letter(-3.0), 'A');
    for (double kva = 0.0; kva < 30.0; kva += 0.01) {
        const char letter = pw_locked_rotor_letter(kva);
        assert_true(letter >= last && letter <= 'V' && letter != 'I' && letter != 'O' && letter != 'Q');
        last = letter;
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(motor_meets_its_rating),
        cmocka_unit_test(odd_data_keep_the_full_load_current),
        cmocka_unit_test(no_load_current_is_a_third_to_a_half),
        cmocka_unit_test(load_curve_is_sound),
        cmocka_unit_test(low_voltage_costs_current),
        cmocka_unit_test(heat_steps_add_up),
        cmocka_unit_test(trip_time_is_when_the_heat_reaches_one),
        cmocka_unit_test(it_cools_and_starts_heat),
        cmocka_unit_test(still_water_heats),
        cmocka_unit_test(cable_table_is_in_order),
        cmocka_unit_test(letters_go_up),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
