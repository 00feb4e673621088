/* Supplies: courses by straight lines, slip by hand, voltage dividers, a battery's balance of charge. */
#include "kit.h"

#include "element/model_impl.h"
#include "element/supply.h"

#define HOUR_MS 3600000LL

static pw_site site;
static pw_model model;
static pw_condition condition;

static void begin(void)
{
    memset(&site, 0, sizeof site);
    memset(&model, 0, sizeof model);
    model.site = &site;
    site.pump_count = 1;
    site.supply_v.v = 230.0;
    model.pumps[0].motor = (pw_motor_data){.power_w = 1000.0, .voltage_v = 230.0, .phases = 1, .locked_rotor_a = 46.0};
    pw_condition_as_built(&condition);
}

static void a_course_is_the_mean_of_its_stretch(void **state)
{
    (void)state;
    begin();
    assert_true(pw_supply_part(&site, 5 * HOUR_MS) == 1.0 && pw_supply_power_w(&site, 0) == PW_INF);
    assert_true(pw_supply_next_ms(&site, 0) == INT64_MAX);
    site.supply.point_count = 1; /* a single point holds all day */
    site.supply.points[0] = (pw_supply_point){.at_s.v = 3600.0, .voltage_v.v = 207.0};
    NEAR(pw_supply_part(&site, 0), 0.9, 1e-14);
    assert_true(pw_supply_next_ms(&site, 0) == INT64_MAX);
    /* the sun from 6 to 12 to 18 h, 600 W at noon, in steps of 4 %: 25 up, each a mean; under 100 W the drive rests */
    site.supply.solar.point_count = 3;
    site.supply.solar.least_w.v = 100.0;
    for (int32_t i = 0; i < 3; i++) {
        site.supply.solar.points[i] =
            (pw_supply_point){.at_s.v = 3600.0 * (6.0 + 6.0 * i), .power_w.v = i == 1 ? 600.0 : 0.0};
    }
    NEAR(pw_supply_power_w(&site, 12 * HOUR_MS - 1), 600.0 * 49.0 / 50.0, 1e-12); /* the last of them */
    NEAR(pw_supply_power_w(&site, 9 * HOUR_MS), 600.0 * 25.0 / 50.0, 1e-12);      /* the middle one */
    assert_true(pw_supply_power_w(&site, 6 * HOUR_MS + 1) == 0.0);
    assert_int_equal(pw_supply_next_ms(&site, 6 * HOUR_MS), 6 * HOUR_MS + 6 * HOUR_MS / 25);
}

/* 5 % slip at the rated voltage, growing as its inverse square: at 0.8 of it 0.05 / 0.64. */
static void voltage_becomes_speed(void **state)
{
    (void)state;
    begin();
    pw_supply_voltage(&model, 0.8, &condition);
    NEAR(condition.supply, 0.8, 1e-14);
    NEAR(condition.pump_speed[0], (1.0 - 0.05 / 0.64) / 0.95, 1e-12);
    begin();
    model.pumps[0].motor.phases = 0; /* DC: in proportion */
    pw_supply_voltage(&model, 0.8, &condition);
    NEAR(condition.pump_speed[0], 0.8, 1e-12);
    begin();
    pw_supply_voltage(&model, 0.5, &condition); /* it stalls: a speed without a meaning, but never 0 */
    assert_true(condition.pump_speed[0] > 0.0 && condition.pump_speed[0] < 0.1);
}

/* A motor that starts is a divider with what feeds it. */
static void starts_pull_the_voltage_down(void **state)
{
    (void)state;
    begin();
    assert_false(pw_supply_gives_way(&site));
    assert_true(pw_supply_start_part(&model, &condition, 0) == 1.0);
    site.supply.generator.rating_va = (pw_field){5290.0, true}; /* half of 230 V times 46 A */
    site.supply.generator.reactance.v = 0.25;
    assert_true(pw_supply_gives_way(&site) && !pw_supply_drives(&site));
    NEAR(pw_supply_start_part(&model, &condition, 0), 1.0 / 1.5, 1e-12);
    begin();
    site.supply_v.v = 24.0;
    model.pumps[0].motor = (pw_motor_data){.power_w = 300.0, .voltage_v = 24.0, .phases = 0, .locked_rotor_a = 60.0};
    site.supply.battery.full_v = (pw_field){25.6, true};
    site.supply.battery.empty_v.v = 23.6;
    site.supply.battery.ohm.v = 0.1; /* behind it 0.4 ohm of the standing motor */
    condition.charge = 0.2;          /* 24 V at rest */
    NEAR(pw_supply_start_part(&model, &condition, 0), 0.8, 1e-12);
    site.supply.battery.inverter = (pw_field){0.9, true};
    assert_true(pw_supply_start_part(&model, &condition, 0) == 1.0);
}

static void a_battery_counts_its_charge(void **state)
{
    (void)state;
    begin();
    pw_moment moment;
    memset(&moment, 0, sizeof moment);
    moment.battery_a = 10.0;
    assert_true(pw_supply_charge_rate(&site, &condition, &moment) == 0.0); /* there is none */
    site.supply.battery.full_v = (pw_field){26.0, true};
    site.supply.battery.empty_v.v = 22.0;
    site.supply.battery.capacity_ah.v = 100.0;
    site.supply.battery.charging.v = 0.9;
    condition.charge = 0.5;
    NEAR(pw_supply_charge_rate(&site, &condition, &moment) * 36000.0, -1.0, 1e-12); /* 10 A empty 100 Ah in 10 h */
    condition.power_w = 480.0; /* 20 A at 24 V, of which nine tenths come out again */
    NEAR(pw_supply_charge_rate(&site, &condition, &moment) * 360000.0, 18.0 - 10.0, 1e-12);
    condition.charge = 1.0; /* full: it takes no more, but it gives */
    assert_true(pw_supply_charge_rate(&site, &condition, &moment) == 0.0);
    condition.power_w = 0.0;
    assert_true(pw_supply_charge_rate(&site, &condition, &moment) < 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_course_is_the_mean_of_its_stretch),
        cmocka_unit_test(voltage_becomes_speed),
        cmocka_unit_test(starts_pull_the_voltage_down),
        cmocka_unit_test(a_battery_counts_its_charge),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
