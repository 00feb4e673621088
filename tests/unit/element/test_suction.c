/* Suction against a hand calculation: NPSH of a pump that lifts, by the air's push, vapour pressure, height and the
 * Darcy loss of its pipe with Colebrook's factor; where a column of water ends. Water at 20 degC: 998.21 kg/m3,
 * 2.3392 kPa (IAPWS), 1.0016 mPa s (IAPWS 2008).
 */
#include "kit.h"

#include "base/arena.h"
#include "element/model_impl.h"

static uint8_t block[16 * 1024 * 1024];

/* height over the place, suction keys */
static const char pond[] =
    "{\"site\":\"Pond\",\"invented\":true,\"altitude\":\"0 m\",\"water\":\"20 degC\",\"places\":[{\"name\":\"pond\","
    "\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"2 m\"}],\"sources\":[{\"name\":\"pond\",\"at\":\"pond\","
    "\"kind\":\"open\",\"standing water level\":\"1 m\",\"intake\":\"3 m\"}],\"pumps\":[{\"name\":\"pump\",\"from\":"
    "\"pond\",\"to\":\"shed\",\"curve\":[{\"flow\":\"0 L/min\",\"head\":\"40 m\",\"power\":\"500 W\"},{\"flow\":\"50 "
    "L/min\",\"head\":\"35 m\",\"power\":\"600 W\"},{\"flow\":\"100 L/min\",\"head\":\"10 m\",\"power\":\"700 W\"}],"
    "\"motor\":{\"power\":\"1.1 kW\",\"phases\":1,\"voltage\":\"230 V\"}%s}],\"vessels\":[{\"name\":\"vessel\",\"at\":"
    "\"shed\",\"volume\":\"100 L\",\"precharge\":\"50 kPa\"}],\"outlets\":[{\"name\":\"tap\",\"at\":\"shed\","
    "\"needs\":\"10 kPa\"}],\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\"}],\"settings\":["
    "\"start when pressure below 100 kPa\",\"stop when pressure above 200 kPa\"]}";
static const char own_pipe[] = ",\"suction height\":\"2 m\",\"suction bore\":\"40 mm\",\"suction length\":\"8 m\"";

static pw_model *load(const char *keys)
{
    char text[4096];
    pw_arena arena;
    pw_problems problems = {0};
    const pw_json *json = NULL;
    pw_site *site = NULL;
    pw_model *model = NULL;
    snprintf(text, sizeof text, pond, keys);
    pw_arena_init(&arena, block, sizeof block);
    assert_int_equal(pw_json_read(&arena, text, strlen(text), &json, &problems), PW_OK);
    assert_int_equal(pw_site_read(&arena, json, "", &site, &problems), PW_OK);
    assert_int_equal(pw_model_build(&arena, site, true, &model, &problems), PW_OK);
    return model;
}

/* Darcy-Weisbach with Colebrook's factor, iterated here: 0.05 mm of plastic or new steel, and the K of what sits in it.
 */
static double lost_m(double flow_m3s, double bore_m, double length_m, double k)
{
    const double v = flow_m3s / (0.25 * PW_PI * bore_m * bore_m);
    const double re = 998.21 * v * bore_m / 1.0016e-3;
    double root = 7.0; /* 1 / sqrt(f) */
    for (int32_t i = 0; i < 50; i++) {
        root = -2.0 * pw_log(0.05e-3 / (3.7 * bore_m) + 2.51 * root / re) / pw_log(10.0);
    }
    return (length_m / (bore_m * root * root) + k) * v * v / (2.0 * PW_G);
}

static void npsh_of_a_pump_that_lifts(void **state)
{
    (void)state;
    pw_model *model = load(own_pipe);
    const pw_suction_law *law = pw_model_suction_law(model, 0);
    pw_condition condition;
    pw_suction_figure got;
    assert_true(law->own_pipe && law->lifts && !law->deep && law->foot_valve);
    NEAR(law->eye_m, 2.0, 1e-14);
    const double water_m = pw_model_water_head_m(model, 0, 0.0);
    NEAR(water_m, -1.0, 1e-14);
    NEAR(pw_model_water_head_m(model, 0, 99.0), -3.0, 1e-14); /* never below the intake */
    pw_condition_healthy(model, &condition);
    const double flow = 60e-3 / 60.0;
    pw_model_suction(model, &condition, 0, flow, water_m, &got);
    const double k = PW_SUCTION_ENTRY_K + PW_SUCTION_ELBOW_K + PW_SUCTION_STRAINER_K + PW_SUCTION_FOOT_VALVE_K;
    const double air_m = (101325.0 - 2339.2) / (998.21 * PW_G);
    NEAR(got.over_m, -3.0, 1e-14);
    NEAR(got.loss_m, lost_m(flow, 0.040, 8.0, k), 2e-3);
    NEAR(got.column_m, air_m - 3.0, 2e-4);
    NEAR(got.available_m, air_m - 3.0 - lost_m(flow, 0.040, 8.0, k), 5e-4);
    assert_true(got.assumed && got.required_m == law->assumed_m); /* its curve says nothing of NPSH */
    pw_model_suction(model, &condition, 0, 0.0, water_m, &got);
    assert_true(got.loss_m == 0.0 && got.available_m == got.column_m);
}

/* All of the column with 0.3 m of the air's push left, half of it with half of that (a smooth step), none with none. */
static void where_the_column_ends(void **state)
{
    (void)state;
    pw_model *model = load(own_pipe);
    const double end_m = 2.0 - pw_suction_rest_m(model, 0, 2.0); /* head of the water at which nothing is left */
    NEAR(end_m, 2.0 - 10.112, 1e-3);
    assert_true(pw_suction_wet(model, 0, end_m - 1e-9) == 0.0);
    NEAR(pw_suction_wet(model, 0, end_m + 0.15), 0.5, 1e-9);
    assert_true(pw_suction_wet(model, 0, end_m + 0.3 + 1e-9) == 1.0);
}

static void one_that_hangs_in_the_water(void **state)
{
    (void)state;
    pw_model *lifts = load(own_pipe);
    double loss, slope;
    double low, high, ignored;
    pw_suction_pipe(lifts, 0, 1e-3, &loss, &slope);
    pw_suction_pipe(lifts, 0, 1e-3 - 1e-8, &low, &ignored);
    pw_suction_pipe(lifts, 0, 1e-3 + 1e-8, &high, &ignored);
    SLOPE_FITS(low, high, 2e-8, slope, 1e-5);
    pw_model *bare = load(",\"suction height\":\"-2 m\",\"suction bore\":\"200 mm\",\"suction length\":\"0.1 m\"");
    const pw_suction_law *law = pw_model_suction_law(bare, 0);
    NEAR(law->eye_m, -2.0, 1e-14); /* a metre under the water: it needs no prime */
    assert_false(law->lifts);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(npsh_of_a_pump_that_lifts),
        cmocka_unit_test(where_the_column_ends),
        cmocka_unit_test(one_that_hangs_in_the_water),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
