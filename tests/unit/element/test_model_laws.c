/* The model as a whole against hand calculation: a duty with each of its parts, a tank that spills, suction with hot
 * water, what a pump makes against a shut valve. Water at 16 degC: 998.94 kg/m3, 1.8184 kPa; at 60 degC: 983.20 kg/m3,
 * 19.946 kPa (IAPWS tables).
 */
#include "kit.h"

#include <math.h>

#include "element/model.h"
#include "english.h"
#include "formula/curve.h"

#define LPM (1e-3 / 60.0)

static uint8_t block[32 * 1024 * 1024];
static pw_arena arena;
static pw_problems problems;
static pw_site *site;
static pw_model *model;

/* %s: water temperature, open part of the non-return, ... */
static const char sheet[] =
    "{\"site\":\"Hill\",\"invented\":true,\"altitude\":\"0 m\",\"water\":\"16 degC\",\"places\":[{\"name\":\"bore "
    "head\",\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"2 m\"},{\"name\":\"hill\",\"level\":\"12 m\"}],"
    "\"sources\":[{\"name\":\"bore\",\"at\":\"bore head\",\"kind\":\"bore\",\"standing water level\":\"14 m\","
    "\"specific capacity\":\"14 L/min per m\",\"yield\":\"150 L/min\",\"casing\":\"150 mm\",\"intake\":\"38 m\"}],"
    "\"pumps\":[{\"name\":\"pump\",\"from\":\"bore head\",\"to\":\"shed\",\"non-return valve\":true,\"curve\":["
    "{\"flow\":\"0 L/min\",\"head\":\"86 m\",\"power\":\"800 W\"},{\"flow\":\"30 L/min\",\"head\":\"76 m\",\"power\":"
    "\"800 W\"},{\"flow\":\"60 L/min\",\"head\":\"49 m\",\"power\":\"800 W\"}],\"motor\":{\"power\":\"1.1 "
    "kW\",\"phases\":1,\"voltage\":\"230 V\"}}],\"lines\":[{\"name\":\"rise\",\"from\":\"shed\",\"to\":\"hill\","
    "\"bore\":\"32 mm\",\"length\":\"300 m\",\"friction\":\"Hazen-Williams\",\"Hazen-Williams C\":140}],\"tanks\":["
    "{\"name\":\"tank\",\"at\":\"hill\",\"area\":\"2 m2\",\"depth\":\"1.6 m\",\"starts at\":\"1.2 m\",\"inlet\":\"1.7 "
    "m\"}],\"outlets\":[{\"name\":\"taps\",\"at\":\"hill\",\"needs\":\"0 kPa\"}],\"sensors\":[{\"name\":\"level\","
    "\"kind\":\"level\",\"at\":\"hill\"}],\"settings\":[\"start when level below 0.8 m\",\"stop when level above 1.3 "
    "m\"]}";
static const char pond[] =
    "{\"site\":\"Pond\",\"invented\":true,\"altitude\":\"0 m\",\"water\":\"%s\",\"places\":[{\"name\":\"pond\","
    "\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"0 m\"}],\"sources\":[{\"name\":\"pond\",\"at\":\"pond\","
    "\"kind\":\"open\",\"standing water level\":\"0 m\",\"intake\":\"2 m\"}],\"pumps\":[{\"name\":\"pump\",\"from\":"
    "\"pond\",\"to\":\"shed\",\"curve\":[{\"flow\":\"0 L/min\",\"head\":\"40 m\",\"power\":\"500 W\"},{\"flow\":\"50 "
    "L/min\",\"head\":\"35 m\",\"power\":\"600 W\"},{\"flow\":\"100 L/min\",\"head\":\"10 m\",\"power\":\"700 W\"}],"
    "\"motor\":{\"power\":\"1.1 kW\",\"phases\":1,\"voltage\":\"230 V\"}}],\"vessels\":[{\"name\":\"vessel\",\"at\":"
    "\"shed\",\"volume\":\"100 L\",\"precharge\":\"50 kPa\",\"gas exponent\":1}],\"outlets\":[{\"name\":\"tap\","
    "\"at\":\"shed\",\"needs\":\"10 kPa\"}],\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":"
    "\"shed\",\"from\":\"0 kPa\",\"to\":\"1000 kPa\"}],\"settings\":[\"start when pressure below 100 kPa\",\"stop when "
    "pressure above 200 kPa\"]}";

static void load(const char *text)
{
    const pw_json *json = NULL;
    pw_arena_init(&arena, block, sizeof block);
    memset(&problems, 0, sizeof problems);
    assert_int_equal(pw_json_read(&arena, text, strlen(text), &json, &problems), PW_OK);
    const pw_status read = pw_site_read(&arena, json, "", &site, &problems);
    for (int32_t i = 0; read != PW_OK && i < problems.count; i++) {
        print_error("%s: %s\n", problems.items[i].path, english(&problems.items[i].expected));
    }
    assert_int_equal(read, PW_OK);
    assert_int_equal(pw_model_build(&arena, site, true, &model, &problems), PW_OK);
}

static pw_moment solved(const pw_condition *condition, const pw_drive *drive, const double *state)
{
    pw_moment moment;
    pw_warm *warm = pw_warm_new(&arena, model);
    memset(&moment, 0, sizeof moment);
    assert_int_equal(pw_model_moment(model, condition, drive, state, warm, &moment, &problems), PW_OK);
    return moment;
}

/* From the water 14 m down, drawn down by Q / (14 L/min per m), to the inlet 13.7 m up, and Hazen and Williams between.
 * What the pump gives there is its efficiency times its 800 W. */
static void duty(void **state)
{
    (void)state;
    load(sheet);
    const double weight = 998.94 * 9.80665;
    pw_duty d;
    assert_int_equal(pw_model_duty(model, &arena, 0, 0.0, &d, &problems), PW_OK);
    const double q = d.flow_m3s;
    assert_true(q > 30.0 * LPM && q < 60.0 * LPM);
    const double friction = 10.67 * 300.0 * pow(q / 140.0, 1.852) / pow(0.032, 4.8704);
    const double drawdown = q / (14.0 * LPM);
    NEAR(d.drawdown_m, drawdown, 1e-4);
    NEAR(d.friction_m, friction, 1e-4);
    NEAR(d.static_m, 14.0 + 12.0 + 1.7, 1e-4);
    NEAR(d.head_m, 27.7 + drawdown + friction, 1e-4);
    NEAR(d.pressure_pa, (13.7 - 2.0 + friction) * weight, 1e-4);
    NEAR(d.shaft_w, 800.0, 1e-9);
    NEAR(d.efficiency, weight * q * d.head_m / 800.0, 1e-4);
    NEAR(d.kwh_per_m3, d.input_w / q / 3.6e6, 1e-9);
    NEAR(d.npsh_available_m, (101325.0 - 1818.4) / weight + 38.0 - 14.0 - drawdown, 1e-4);
    assert_true(d.npsh_required_m < 0.0); /* the curve does not say */
}

/* 86 m of head, the water 14 m down, the place 2 m up. */
static void shut_off(void **state)
{
    (void)state;
    load(sheet);
    NEAR(pw_model_shut_off_pa(model, 0), (86.0 - 14.0 - 2.0) * 998.94 * 9.80665, 1e-4);
    NEAR(pw_model_boiling_c(model, 0.0), 99.97, 1e-4);                           /* at one atmosphere */
    NEAR(pw_model_boiling_c(model, 374.83e3 / (998.94 * 9.80665)), 150.0, 5e-5); /* 476.16 kPa: steam tables */
}

/* A weir of 0.2 m with water 0.1 m over it: 1.7 b h^1.5. */
static void spill(void **state)
{
    (void)state;
    load(sheet);
    pw_condition condition;
    pw_drive drive;
    double y[PW_MAX_STATES];
    memset(&drive, 0, sizeof drive);
    pw_condition_healthy(model, &condition);
    pw_model_start(model, 0.0, y);
    const int32_t tank = pw_model_tank_state(model, 0);
    NEAR(y[tank], 2.4, 1e-12); /* 1.2 m over 2 m2 */
    y[tank] = 2.0 * 1.7;
    const pw_moment m = solved(&condition, &drive, y);
    NEAR(m.spill_m3s[0], 1.7 * 0.2 * pow(0.1, 1.5), 1e-12);
    NEAR(m.rate_m3s[tank], -m.spill_m3s[0], 1e-6);
    NEAR(m.place_pa[2], 1.7 * 998.94 * 9.80665, 1e-4);
    y[tank] = 2.0 * 1.59;
    assert_true(solved(&condition, &drive, y).spill_m3s[0] == 0.0);
    drive.draw_m3s[0] = 1e-3; /* a tank that gives a litre a second loses it */
    NEAR(solved(&condition, &drive, y).rate_m3s[tank], -1e-3, 1e-6);
}

/* Flow at which a pump of this head, with a suction that loses k Q^2 of rest_m and asks for 3 m of NPSH, makes up_m: it
 * keeps part x (2 - x) of its head, x = NPSH / (3 m / (1 - sqrt 0.03)), which is 97 % at 3 m. By bisection. */
static double cavitating_m3s(double head_m, double k, double rest_m, double up_m)
{
    double low = 0.0, high = sqrt(rest_m / k);
    for (int32_t i = 0; i < 60; i++) {
        const double q = 0.5 * (low + high);
        const double x = fmin((rest_m - k * q * q) / 3.0 * (1.0 - sqrt(0.03)), 1.0);
        *(x * (2.0 - x) * head_m - k * q * q > up_m ? &low : &high) = q;
    }
    return low;
}

/* An intake with a twentieth of its area free, k = 0.01 H0/Qmax^2 (1/0.05^2 - 1): what air pressure, 2 m of water over
 * it and vapour pressure leave is lost in it until too little NPSH stays for the pump to make the vessel's 60 kPa. Its
 * head between the points at 0 and 50 L/min lies between 40 m and the chord. Hot water less than cold. */
static void choked_intake(void **state)
{
    (void)state;
    static const struct {
        const char *water;
        double density, vapour;
    } rows[] = {{"16 degC", 998.94, 1818.4}, {"60 degC", 983.20, 19946.0}};
    for (size_t i = 0; i < 2; i++) {
        char text[4000];
        pw_condition condition;
        pw_drive drive;
        double y[PW_MAX_STATES];
        snprintf(text, sizeof text, pond, rows[i].water);
        load(text);
        memset(&drive, 0, sizeof drive);
        pw_condition_healthy(model, &condition);
        condition.pump_intake[0] = 0.05;
        drive.speed[0] = 1.0;
        pw_model_start(model, 60e3, y);
        const double weight = rows[i].density * 9.80665;
        const double rest_m = (101325.0 - rows[i].vapour) / weight + 2.0, up_m = 60e3 / weight;
        const double k = 399.0 * 0.01 * 40.0 / pow(100.0 * LPM, 2.0);
        const double most = cavitating_m3s(40.0, k, rest_m, up_m);
        const double least = cavitating_m3s(40.0 - 5.0 * most / (50.0 * LPM), k, rest_m, up_m);
        const double flow = solved(&condition, &drive, y).pump_m3s[0];
        assert_true(flow > least * (1.0 - 1e-4) && flow < most * (1.0 + 1e-4) && least > 0.98 * most);
    }
}

/* Pressure at a place is counted from its own level; a vessel's from what its gas holds. */
static void levels(void **state)
{
    (void)state;
    char text[4000];
    pw_condition condition;
    pw_drive drive;
    double y[PW_MAX_STATES];
    snprintf(text, sizeof text, pond, "16 degC");
    load(text);
    memset(&drive, 0, sizeof drive);
    pw_condition_healthy(model, &condition);
    pw_model_start(model, 150e3, y);
    /* Boyle: 100 L (1 - 151.325 / 251.325) of water */
    NEAR(y[pw_model_vessel_state(model, 0)], 0.1 * (1.0 - 151.325 / 251.325), 1e-9);
    NEAR(solved(&condition, &drive, y).place_pa[1], 150e3, 1e-6);
    condition.vessel_air[0] = 0.5; /* half the gas takes half the room at the same pressure */
    NEAR(pw_model_vessel_m3(model, &condition, 0, 150e3), 0.1 * (1.0 - 0.5 * 151.325 / 251.325), 1e-9);
    condition.vessel_air[0] = 1.0;
    condition.vessel_extra_pa[0] = 30e3;
    NEAR(pw_model_vessel_m3(model, &condition, 0, 150e3), 0.1 * (1.0 - 181.325 / 251.325), 1e-9);
}

/* A load of 1.3 on a pump that takes 800 W at any flow. */
static void load_of_a_fault(void **state)
{
    (void)state;
    load(sheet);
    pw_condition condition;
    pw_drive drive;
    double y[PW_MAX_STATES];
    memset(&drive, 0, sizeof drive);
    drive.speed[0] = 1.0;
    pw_condition_healthy(model, &condition);
    pw_model_start(model, 0.0, y);
    NEAR(solved(&condition, &drive, y).shaft_w[0], 800.0, 1e-9);
    condition.pump_load[0] = 1.3;
    NEAR(solved(&condition, &drive, y).shaft_w[0], 1040.0, 1e-9);
    condition.stalled[0] = true;
    assert_true(solved(&condition, &drive, y).shaft_w[0] == 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(duty),          cmocka_unit_test(shut_off), cmocka_unit_test(spill),
        cmocka_unit_test(choked_intake), cmocka_unit_test(levels),   cmocka_unit_test(load_of_a_fault),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
