/* A pump behind a hill: what sizing, duty and check say of it, against hand calculation and one another.
 *
 * Line and siphon: rows H6 and H7 of a collection of check values (bore 51.4 mm, smooth, 15 degC, 200 m
 * from the summit down to an open end 12 m lower: -8.01 m at the summit with 2.0 L/s by Colebrook, 1.0 L/s does not
 * fill the pipe); computed there with python3-fluids, and here by Colebrook's equation. The velocity that clears
 * the falling pipe: Wisner, Mohsen and Kouwen 1975 (from memory). Water at 15 degC: 999.10 kg/m3, 1.1375 mPa s (IAPWS).
 */
#include "farm.h"

#include <math.h>

#include "study/size_doubts.h"

#define PI 3.14159265358979323846
#define G  9.80665

#define HILL_HEAD                                                                                               \
    "{\"site\":\"Hill\",\"invented\":true,\"places\":[{\"name\":\"dam\",\"level\":\"0 m\"},{\"name\":\"shed\"," \
    "\"level\":\"0 m\"},{\"name\":\"tank\",\"level\":\"16 m\"}],\"sources\":[{\"name\":\"dam\",\"at\":\"dam\"," \
    "\"kind\":\"open\",\"standing water level\":\"0 m\",\"intake\":\"2 m\"}],"
#define HILL_PUMP(a, b, c, d)                                                                                    \
    "\"pumps\":[{\"name\":\"pump\",\"from\":\"dam\",\"to\":\"shed\",\"curve\":["                                 \
    "{\"flow\":\"0 L/s\",\"head\":\"" a "\"},{\"flow\":\"1.3 L/s\",\"head\":\"" b "\",\"efficiency\":\"50 %\"}," \
    "{\"flow\":\"2 L/s\",\"head\":\"" c "\",\"efficiency\":\"50 %\"},{\"flow\":\"3 L/s\",\"head\":\"" d          \
    "\",\"efficiency\":\"40 %\"}],\"motor\":{\"power\":\"2.2 kW\"}}],"
#define HILL_REST(flow)                                                                                                \
    "\"lines\":[{\"name\":\"main\",\"from\":\"shed\",\"to\":\"tank\",\"pipe\":\"PE100 63 SDR 11\",\"length\":\"300 "   \
    "m\","                                                                                                             \
    "\"profile\":[{\"distance\":\"100 m\",\"height\":\"30 m\"}]}],\"tanks\":[{\"name\":\"tank\",\"at\":\"tank\","      \
    "\"area\":\"10 m2\",\"depth\":\"2 m\",\"starts at\":\"0.5 m\",\"inlet\":\"2 m\"}],\"sensors\":[{\"name\":"         \
    "\"level\",\"kind\":\"level\",\"at\":\"tank\"}],\"settings\":[\"start when level below 0.6 m\",\"stop when level " \
    "above 1.8 m\"],\"design\":{\"flow\":\"" flow                                                                      \
    "\",\"season\":\"0 m\",\"aged roughness\":\"0.0015 mm\",\"suction\":{\"pump\":\"submerged\"}}}"
#define HILL(a, b, c, d, flow) HILL_HEAD HILL_PUMP(a, b, c, d) HILL_REST(flow)

/* Darcy-Weisbach with Colebrook's friction factor. */
static double lost_m(double length_m, double flow_m3s)
{
    const double bore_m = 0.0514;
    const double speed = flow_m3s / (PI / 4.0 * bore_m * bore_m);
    const double reynolds = 999.10 * speed * bore_m / 1.1375e-3;
    double root = 7.0; /* 1 / sqrt(f) */
    for (int i = 0; i < 60; i++) {
        root = -2.0 * log10(1.5e-6 / bore_m / 3.7 + 2.51 / reynolds * root);
    }
    return length_m / bore_m * speed * speed / (2.0 * G) / (root * root);
}

static pw_duty duty_of(kit *k)
{
    pw_duty duty = {0};
    assert_int_equal(pw_model_duty(k->plant->model, &k->arena, 0, 0.0, &duty, &k->problems), PW_OK);
    return duty;
}

static void slow_water_leaves_the_air(void **state)
{
    (void)state;
    static const char json[] = HILL("40 m", "34 m", "24 m", "8 m", "1 L/s");
    kit k;
    const pw_sizing *s = farm_size(&k, json, false);
    const double expected = 30.0 + lost_m(100.0, 1e-3);
    close_to(farm_value(s, PW_SIZE_HEAD, "static lift"), 18.0, 1e-9, "to the inlet");
    close_to(farm_value(s, PW_SIZE_HEAD, "usual head"), expected, 2e-3, "over the summit");
    close_to(farm_value(s, PW_SIZE_HEAD, "fill head"), expected, 2e-3, "to fill it");
    close_to(s->design_head_m, expected, 2e-3, "design head");
    close_to(farm_value(s, PW_SIZE_HEAD, "friction"), lost_m(100.0, 1e-3), 0.02, "up to the summit");
    assert_null(pw_size_find(s, PW_SIZE_HEAD, "running head"));
    kit_close(&k);
}

static void quick_water_makes_a_siphon(void **state)
{
    (void)state;
    static const char json[] = HILL("40 m", "34 m", "24 m", "8 m", "2 L/s");
    kit k;
    const pw_sizing *s = farm_size(&k, json, false);
    const double running = 18.0 + lost_m(300.0, 2e-3);
    close_to(farm_value(s, PW_SIZE_HEAD, "usual head"), running, 2e-3, "as a siphon");
    close_to(farm_value(s, PW_SIZE_HEAD, "running head"), running, 2e-3, "at the design flow");
    /* the pipe clears from 1.31 L/s on; the last flow below that at which the head is looked at is 1.25 L/s */
    const double fill = farm_value(s, PW_SIZE_HEAD, "fill head");
    assert_true(fill >= 30.0 + lost_m(100.0, 1.25e-3) - 0.02 && fill <= 30.0 + lost_m(100.0, 1.31e-3) + 0.02);
    close_to(s->design_head_m, fill, 1e-12, "the larger of the two");
    close_to(farm_value(s, PW_SIZE_HEAD, "friction"), lost_m(300.0, 2e-3), 0.01, "all the way");
    const pw_duty duty = duty_of(&k);
    assert_int_equal(duty.way, PW_DUTY_SIPHON);
    close_to(duty.flow_m3s, 2e-3, 5e-3, "where the curve meets the siphon");
    close_to(duty.summit_pa / (999.10 * G), -8.01, 0.015, "gauge head at the summit, H6");
    close_to(duty.static_m, 18.0, 5e-3, "static to the inlet");
    kit_close(&k);
}

static void a_pump_that_cannot_clear_lifts_over(void **state)
{
    (void)state;
    static const char json[] = HILL("32 m", "30.2 m", "24 m", "8 m", "0.5 L/s");
    kit k;
    kit_load(&k, json, false);
    const pw_duty duty = duty_of(&k);
    assert_int_equal(duty.way, PW_DUTY_OVER);
    close_to(duty.head_m, 30.0 + lost_m(100.0, duty.flow_m3s), 2e-3, "lifted to the summit");
    close_to(duty.static_m, 30.0, 2e-3, "static to the summit");
    assert_true(duty.flow_m3s > 0.5e-3 && duty.flow_m3s < 1.31e-3);
    kit_close(&k);
}

static bool told_at(const kit *k, const char *path)
{
    for (int32_t i = 0; i < k->problems.count; i++) {
        if (strcmp(k->problems.items[i].path, path) == 0) {
            return true;
        }
    }
    return false;
}

static void below_the_summit_nothing_passes(void **state)
{
    (void)state;
    static const char json[] = HILL("29 m", "25 m", "20 m", "8 m", "1 L/s");
    kit k;
    const pw_sizing *s = farm_size(&k, json, false);
    assert_true(s->duties[0].flow_m3s == 0.0);
    bool told = false;
    for (int32_t i = 0; i < s->check_count; i++) {
        told = told || (strcmp(s->checks[i].id, "high point") == 0 && s->checks[i].margin < 0.0);
    }
    assert_true(told);
    const pw_duty duty = duty_of(&k);
    assert_int_equal(duty.way, PW_DUTY_BLOCKED);
    close_to(duty.reach_m, 29.0, 1e-6, "as high as its shut-off head");
    assert_int_equal(pw_size_doubts(&k.arena, k.plant, &k.problems), PW_OK);
    assert_true(told_at(&k, "site.lines[0].profile"));
    kit_close(&k);
}

static void a_pump_over_the_summit_is_not_questioned(void **state)
{
    (void)state;
    static const char json[] = HILL("40 m", "34 m", "24 m", "8 m", "1 L/s");
    kit k;
    kit_load(&k, json, false);
    assert_int_equal(pw_size_doubts(&k.arena, k.plant, &k.problems), PW_OK);
    assert_false(told_at(&k, "site.lines[0].profile"));
    kit_close(&k);
}

/* Without a store the line of heads is kept above the ground: 35 m half way, an outlet at 10 m that needs 10 m. */
static void outlets_behind_a_rise(void **state)
{
    (void)state;
    static const char json[] =
        "{\"site\":\"Rise\",\"invented\":true,\"places\":[{\"name\":\"dam\",\"level\":\"0 m\"},{\"name\":\"shed\","
        "\"level\":\"0 m\"},{\"name\":\"field\",\"level\":\"10 m\"}],\"sources\":[{\"name\":\"dam\",\"at\":\"dam\","
        "\"kind\":\"open\",\"standing water level\":\"0 m\",\"intake\":\"2 m\"}]," HILL_PUMP(
            "60 m", "52 m", "48 m",
            "36 m") "\"lines\":[{\"name\":\"main\",\"from\":\"shed\",\"to\":\"field\",\"pipe\":\"PE100 63 SDR "
                    "11\",\"length\":"
                    "\"300 m\",\"over\":\"35 "
                    "m\"}],\"outlets\":[{\"name\":\"sprinklers\",\"at\":\"field\",\"needs\":\"100 kPa\"}],"
                    "\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\"}],\"settings\":[\"start "
                    "when pressure "
                    "below 200 kPa\",\"stop when pressure above 500 "
                    "kPa\"],\"demand\":[{\"outlet\":\"sprinklers\",\"flow\":\"90 L/min\","
                    "\"for\":\"4 h\",\"at\":\"06:00\"}],\"design\":{\"season\":\"0 m\",\"aged roughness\":\"0.0015 "
                    "mm\",\"suction\":"
                    "{\"pump\":\"submerged\"}}}";
    kit k;
    const pw_sizing *s = farm_size(&k, json, false);
    close_to(farm_value(s, PW_SIZE_HEAD, "usual head"), 35.0 + lost_m(150.0, 1.5e-3), 2e-3, "over the rise");
    close_to(farm_value(s, PW_SIZE_HEAD, "needed pressure"), (35.0 + lost_m(150.0, 1.5e-3)) * 999.10 * G, 3e-3,
             "at the pump");
    kit_close(&k);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slow_water_leaves_the_air),
        cmocka_unit_test(quick_water_makes_a_siphon),
        cmocka_unit_test(a_pump_that_cannot_clear_lifts_over),
        cmocka_unit_test(below_the_summit_nothing_passes),
        cmocka_unit_test(a_pump_over_the_summit_is_not_questioned),
        cmocka_unit_test(outlets_behind_a_rise),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
