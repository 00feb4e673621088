/* What each fault does to the numbers of a pump, a pipe, a vessel, a supply: at a named severity the value that
 * docs/faults.md states, written down here anew. Sources: gas and wear of centrifugal pumps, turning backwards:
 * handbooks, from memory; scale: Darcy and Weisbach, the fifth power of the bore; voltage: slip as one over its square.
 */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "english.h"
#include "fault/fault.h"

#define LPM (1e-3 / 60.0)

static const char sheet[] =
    "{\"site\":\"Hill\",\"invented\":true,\"altitude\":\"0 m\",\"water\":\"16 degC\",\"supply\":{\"voltage\":\"400 V"
    "\",\"phases\":3},\"places\":[{\"name\":\"dam\",\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"2 m\"},{\"name"
    "\":\"house\",\"level\":\"12 m\"},{\"name\":\"cottage\",\"level\":\"-4 m\"},{\"name\":\"well\",\"level\":\"0 m\"}"
    "],\"sources\":[{\"name\":\"dam\",\"at\":\"dam\",\"kind\":\"open\",\"standing water level\":\"1 m\",\"intake\":\""
    "3 m\"},{\"name\":\"bore\",\"at\":\"well\",\"kind\":\"bore\",\"standing water level\":\"14 m\",\"specific capacit"
    "y\":\"14 L/min per m\",\"yield\":\"70 L/min\",\"casing\":\"150 mm\",\"intake\":\"38 m\"}],\"pumps\":[{\"name\":"
    "\"pump\",\"from\":\"dam\",\"to\":\"shed\",\"non-return valve\":true,\"curve\":[{\"flow\":\"0 L/min\",\"head\":\""
    "60 m\",\"power\":\"900 W\"},{\"flow\":\"40 L/min\",\"head\":\"50 m\",\"power\":\"1100 W\"},{\"flow\":\"80 L/min"
    "\",\"head\":\"20 m\",\"power\":\"1300 W\"}],\"motor\":{\"power\":\"1.5 kW\",\"phases\":3,\"voltage\":\"400 V\"}}"
    ",{\"name\":\"bore pump\",\"from\":\"well\",\"to\":\"shed\",\"non-return valve\":true,\"curve\":[{\"flow\":\"0 L/"
    "min\",\"head\":\"60 m\",\"power\":\"900 W\"},{\"flow\":\"40 L/min\",\"head\":\"50 m\",\"power\":\"1100 W\"},{\"f"
    "low\":\"80 L/min\",\"head\":\"20 m\",\"power\":\"1300 W\"}],\"motor\":{\"power\":\"1.5 kW\",\"phases\":3,\"volta"
    "ge\":\"400 V\"}}],\"lines\":[{\"name\":\"house line\",\"from\":\"shed\",\"to\":\"house\",\"bore\":\"32 mm\",\"ro"
    "ughness\":\"0.01 mm\",\"length\":\"50 m\"},{\"name\":\"cottage line\",\"from\":\"shed\",\"to\":\"cottage\",\"bor"
    "e\":\"26 mm\",\"roughness\":\"0.01 mm\",\"length\":\"30 m\"}],\"vessels\":[{\"name\":\"vessel\",\"at\":\"shed\","
    "\"volume\":\"100 L\",\"precharge\":\"180 kPa\"}],\"outlets\":[{\"name\":\"taps\",\"at\":\"house\",\"needs\":\"10"
    "0 kPa\"}],\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\",\"from\":\"0 kPa\",\"to\":\""
    "1000 kPa\"},{\"name\":\"switch\",\"kind\":\"flow switch\",\"pump\":\"pump\",\"bore\":\"32 mm\"},{\"name\":\"bore"
    " switch\",\"kind\":\"flow switch\",\"pump\":\"bore pump\",\"bore\":\"32 mm\"}],\"settings\":[\"start when pressu"
    "re below 250 kPa\",\"stop when pressure above 400 kPa\"]}";

static uint8_t block[32 * 1024 * 1024];
static pw_arena arena;
static pw_problems problems;
static pw_site *site;
static pw_model *model;

static int build(void **unused)
{
    (void)unused;
    const pw_json *json = NULL;
    pw_arena_init(&arena, block, sizeof block);
    pw_status status = pw_json_read(&arena, sheet, strlen(sheet), &json, &problems);
    status = status == PW_OK ? pw_site_read(&arena, json, "", &site, &problems) : status;
    status = status == PW_OK ? pw_model_build(&arena, site, true, &model, &problems) : status;
    for (int32_t i = 0; status != PW_OK && i < problems.count; i++) {
        print_error("%s: expected %s\n", problems.items[i].path, english(&problems.items[i].expected));
    }
    return status == PW_OK ? 0 : -1;
}

static pw_condition with(pw_fault_kind kind, double severity, int32_t where)
{
    pw_condition condition;
    const pw_fault fault = {.kind = kind, .severity = severity, .where = where};
    memset(&condition, 0, sizeof condition);
    pw_condition_healthy(model, &condition);
    pw_fault_apply(model, &fault, 1.0, 300e3, &condition);
    return condition;
}

static void near_to(double got, double expected, const char *what)
{
    if (!(fabs(got - expected) <= 1e-9 * fabs(expected))) {
        fail_msg("%s: %.12g, expected %.12g", what, got, expected);
    }
}

/* 6 % of gas is 0.4 of the 15 % at which the flow breaks off: head less 0.16, water less 6 %, power with the water and
 * less 8 % of it. */
static void gas(void **unused)
{
    (void)unused;
    pw_condition c = with(PW_FAULT_AIR_DRAWN_IN, 0.06, -1);
    near_to(c.pump_head[0], 0.84, "head");
    near_to(c.pump_flow[0], 0.94, "flow");
    near_to(c.pump_load[0], 0.94 * 0.92, "load");
    assert_true(c.chatter_hz[1] == 0.0);
    c = with(PW_FAULT_ENTRAINED_GAS, 0.06, -1); /* of the bore */
    near_to(c.pump_head[1], 0.84, "head");
    near_to(c.chatter_hz[2], 6.0, "changes a second");
    assert_true(c.chatter_hz[1] == 0.0 && c.pump_head[0] == 1.0);
    near_to(with(PW_FAULT_ENTRAINED_GAS, 0.001, -1).chatter_hz[2], 0.5, "a trace");
    near_to(with(PW_FAULT_ENTRAINED_GAS, 0.2, -1).chatter_hz[2], 10.0, "at most");
    c = with(PW_FAULT_AIR_DRAWN_IN, 0.15, -1);
    assert_true(c.pump_head[0] == 0.0); /* the flow breaks off */
    near_to(c.pump_load[0], 0.85 * 0.5, "load at the end");
}

static void worn_clogged_backwards(void **unused)
{
    (void)unused;
    near_to(with(PW_FAULT_WORN, 0.3, -1).pump_head[0], 0.7, "worn");
    pw_condition c = with(PW_FAULT_CLOGGED, 0.4, -1);
    near_to(c.pump_flow[0], 0.4, "flow left");
    near_to(c.pump_load[0], 0.7, "half of the power stays at no flow");
    c = with(PW_FAULT_BACKWARDS, 1.0, -1);
    near_to(c.pump_head[0], 0.5, "head");
    near_to(c.pump_flow[0], 0.5, "flow");
    near_to(c.pump_load[0], 0.7, "load");
    near_to(with(PW_FAULT_OVERLOAD, 0.3, -1).pump_load[0], 1.3, "overload");
    near_to(with(PW_FAULT_LOST_PRIME, 600.0, 0).drains_s[0], 600.0, "drains within");
    near_to(with(PW_FAULT_BLOCKED_INTAKE, 0.25, -1).pump_intake[0], 0.25, "free area");
}

/* A fifth of the bore gone: 1 / 0.8^5 = 3.0518 times the loss. */
static void scale(void **unused)
{
    (void)unused;
    near_to(with(PW_FAULT_SCALED, 0.2, 0).line_friction[0], 3.0517578125, "scaled");
}

static void vessel_and_water(void **unused)
{
    (void)unused;
    near_to(with(PW_FAULT_LOST_AIR, 0.3, -1).vessel_air[0], 0.7, "air left");
    near_to(with(PW_FAULT_HIGH_PRECHARGE, 50e3, -1).vessel_extra_pa[0], 50e3, "precharge");
    near_to(with(PW_FAULT_FALLING_LEVEL, 0.8, 0).source_fall_m[0], 0.8, "fall");
    near_to(with(PW_FAULT_DRY_SOURCE, 0.3, 0).source_yield[0], 0.3, "what it still gives");
}

static void sensors(void **unused)
{
    (void)unused;
    near_to(with(PW_FAULT_READS_HIGH, 25e3, -1).sensor_bias[0], 25e3, "high");
    near_to(with(PW_FAULT_READS_LOW, 25e3, -1).sensor_bias[0], -25e3, "low");
    near_to(with(PW_FAULT_TAPPING, 40.0, -1).sensor_lag_s[0], 40.0, "late");
}

/* Slip 5 % at full load and one over the square of the voltage: at 85 % (1 - 0.05 / 0.7225) / 0.95. */
static void supply(void **unused)
{
    (void)unused;
    pw_condition c = with(PW_FAULT_BROWN_OUT, 0.85, -1);
    near_to(c.supply, 0.85, "voltage");
    near_to(c.pump_speed[0], (1.0 - 0.05 / 0.7225) / 0.95, "speed");
    c = with(PW_FAULT_OVER_VOLTAGE, 0.12, -1);
    near_to(c.supply, 1.12, "voltage");
    near_to(c.pump_speed[0], (1.0 - 0.05 / 1.2544) / 0.95, "speed");
    near_to(with(PW_FAULT_PHASE_LOSS, 1.0, -1).pump_amps[0], 1.7320508075688772, "root of three");
    near_to(with(PW_FAULT_GENERATOR_SAG, 0.7, -1).sag[0], 0.7, "sag");
}

/* Holes: Torricelli at the head of their own place; the house stands 10 m over the sensor, the cottage 6 m under it. A
 * relief valve passes the end of the pump's curve, 80 L/min, at 10 % over its 350 kPa. Water 998.94 kg/m3. */
static void holes(void **unused)
{
    (void)unused;
    const double weight = 998.94 * 9.80665;
    const double up = 300e3 / weight - 10.0, down = 300e3 / weight + 6.0;
    pw_condition c = with(PW_FAULT_SLOW_LEAK, 2.0 * LPM, 2);
    assert_true(fabs(c.leaks[0].area_m2 / (2.0 * LPM / sqrt(2.0 * 9.80665 * up)) - 1.0) < 1e-4);
    c = with(PW_FAULT_BURST, 2.0 * LPM, 3);
    assert_true(fabs(c.leaks[0].area_m2 / (2.0 * LPM / sqrt(2.0 * 9.80665 * down)) - 1.0) < 1e-4);
    c = with(PW_FAULT_RELIEF, 350e3, -1);
    near_to(c.leaks[0].opens_pa, 350e3, "lifts at");
    assert_true(fabs(c.leaks[0].area_m2 / (80.0 * LPM / sqrt(2.0 * 385e3 / 998.94)) - 1.0) < 1e-4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(gas),     cmocka_unit_test(worn_clogged_backwards), cmocka_unit_test(scale),
        cmocka_unit_test(sensors), cmocka_unit_test(vessel_and_water),       cmocka_unit_test(supply),
        cmocka_unit_test(holes),
    };
    return cmocka_run_group_tests(tests, build, NULL);
}
