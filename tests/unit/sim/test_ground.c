/* Pipes over ground against closed forms: siphon, line of heads, falling flow behind a summit, a rising main that
 * drains.
 * Sources: Bernoulli and the hydraulic grade line as in any hydraulics text (own derivation from the loss of the line);
 * Torricelli for the draining of a straight column; Wisner, Mohsen and Kouwen 1975 for the air (from memory); vapour
 * pressure of water 2.339 kPa at 20 degC (IAPWS tables, from memory); standard atmosphere 101.325 kPa and 83.5 kPa at
 * 1,600 m (ISO 2533, computed).
 */
#include "run_kit.h"

#include "base/num.h"
#include "element/elastic.h"
#include "element/vessel.h"
#include "element/valve.h"
#include "formula/friction.h"
#include "formula/surge.h"

#define BORE   0.05
#define LENGTH 200.0

typedef struct ground {
    kit k;
    pw_condition condition;
    pw_drive drive;
    double state[PW_MAX_STATES];
    pw_warm *warm;
    pw_moment moment;
    double pa_per_m;
} ground;

/* A dam at 0 m, a line out of it over `high` into a tank whose inlet stands at end_m + 1 m; and a pump elsewhere. */
static void open_siphon(ground *g, const char *high, double end_m, double altitude_m)
{
    char json[4000];
    memset(g, 0, sizeof *g);
    snprintf(json, sizeof json,
             "{\"site\":\"siphon\",\"invented\":true,\"water\":\"20 degC\",\"altitude\":\"%.0f m\",\"places\":["
             "{\"name\":\"dam\",\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"0 m\"},{\"name\":\"low\",\"level\":"
             "\"%.3f m\"}],\"sources\":[{\"name\":\"dam\",\"at\":\"dam\",\"kind\":\"open\",\"standing water "
             "level\":\"0 m\",\"intake\":\"2 m\"}],\"pumps\":[{\"name\":\"p\",\"from\":\"dam\",\"to\":\"shed\","
             "\"curve\":[{\"flow\":\"0 L/min\",\"head\":\"40 m\",\"power\":\"1 kW\"},{\"flow\":\"50 "
             "L/min\",\"head\":\"30 m\",\"power\":\"1 kW\"},{\"flow\":\"90 L/min\",\"head\":\"10 m\",\"power\":\"1 "
             "kW\"}],\"motor\":{\"power\":\"1.1 kW\"}}],\"lines\":[{\"name\":\"line\",\"from\":\"dam\",\"to\":\"low\","
             "\"bore\":\"50 mm\",\"roughness\":\"0.01 mm\",\"length\":\"200 m\"%s}],\"tanks\":[{\"name\":\"low\","
             "\"at\":\"low\",\"area\":\"4 m2\",\"depth\":\"2 m\",\"starts at\":\"0.5 m\",\"inlet\":\"1 m\"}],"
             "\"outlets\":[{\"name\":\"farm\",\"at\":\"low\",\"needs\":\"0 kPa\"}],\"sensors\":[{\"name\":\"level\","
             "\"kind\":\"level\",\"at\":\"low\"}],\"settings\":[\"start when level below 0.1 m\",\"stop when level "
             "above 1.9 m\"]}",
             altitude_m, end_m, high);
    kit_load(&g->k, json, true);
    g->pa_per_m = pw_model_pa_per_m(g->k.plant->model);
    g->warm = pw_warm_new(&g->k.arena, g->k.plant->model);
    pw_condition_healthy(g->k.plant->model, &g->condition);
    pw_model_start(g->k.plant->model, 0.0, g->state);
}

static void solve(ground *g)
{
    assert_int_equal(
        pw_model_moment(g->k.plant->model, &g->condition, &g->drive, g->state, g->warm, &g->moment, &g->k.problems),
        PW_OK);
}

/* Loss of a part of the line by the formula. */
static double lost_m(const ground *g, double part, double flow_m3s)
{
    double loss_m;
    pw_pipe_loss(BORE, LENGTH, 1e-5, 0.0, pw_model_water(g->k.plant->model), flow_m3s, &loss_m, NULL);
    return part * loss_m;
}

static void test_a_siphon_runs_full(void **state)
{
    (void)state;
    ground g;
    open_siphon(&g, ",\"over\":\"4 m\",\"over after\":\"50 m\"", -9.0, 0.0);
    solve(&g);
    const double flow = g.moment.line_m3s[0];
    assert_true(near(lost_m(&g, 1.0, flow), 8.0, 1e-8)); /* from the dam to the inlet, whatever lies between */
    assert_true(near(g.moment.high_pa[0], (0.0 - 4.0 - lost_m(&g, 0.25, flow)) * g.pa_per_m, 1e-8));
    pw_spot spot;
    pw_model_spot(g.k.plant->model, &g.condition, &g.drive, g.state, &g.moment, PW_MAX_PLACES, &spot);
    assert_true(spot.siphons && !spot.torn && !spot.enters);
    kit_close(&g.k);
}

/* The summit so high that a full pipe would need less than vapour: the head to the summit alone sets the flow. */
static void test_vapour_limits_it(void **state)
{
    (void)state;
    static const double altitude_m[] = {0.0, 1600.0};
    static const double torn_pa[] = {2339.0 - 101325.0, 2339.0 - 83524.0};
    for (int i = 0; i < 2; i++) {
        ground g, low;
        const char *high = i == 0 ? ",\"over\":\"9 m\",\"over after\":\"100 m\"" : ",\"over\":\"7.5 m\"";
        const double summit_m = i == 0 ? 9.0 : 7.5;
        open_siphon(&g, high, -30.0, altitude_m[i]);
        open_siphon(&low, "", -30.0, altitude_m[i]);
        solve(&g);
        solve(&low);
        const double flow = g.moment.line_m3s[0];
        assert_true(near(g.moment.high_pa[0], torn_pa[i], 2e-4));
        assert_true(near(lost_m(&g, 0.5, flow), 0.0 - summit_m - torn_pa[i] / g.pa_per_m, 2e-2));
        assert_true(near(lost_m(&g, 0.5, flow), 0.0 - summit_m - g.moment.high_pa[0] / g.pa_per_m, 1e-7));
        assert_true(flow < 0.5 * low.moment.line_m3s[0]);
        assert_true(near(lost_m(&low, 1.0, low.moment.line_m3s[0]), 29.0, 1e-8));
        assert_true(near(g.moment.rate_m3s[pw_model_tank_state(g.k.plant->model, 0)], flow, 1e-9)); /* all arrives */
        pw_spot spot;
        pw_model_spot(g.k.plant->model, &g.condition, &g.drive, g.state, &g.moment, PW_MAX_PLACES, &spot);
        assert_true(spot.torn);
        kit_close(&g.k);
        kit_close(&low.k);
    }
}

/* Air at the summit: water comes as far as its own head lifts it, and what falls behind does not pull. */
static void test_air_at_the_summit(void **state)
{
    (void)state;
    ground g;
    open_siphon(&g, ",\"over\":\"4 m\",\"over after\":\"50 m\"", -9.0, 0.0);
    g.condition.line_air[0] = true;
    solve(&g);
    assert_true(pw_abs(g.moment.line_m3s[0]) < 1e-12);
    assert_true(pw_abs(g.moment.high_pa[0]) < 1e-6);
    kit_close(&g.k);
    open_siphon(&g, ",\"over\":\"-1 m\",\"over after\":\"50 m\"", -25.0, 0.0);
    g.condition.line_air[0] = true;
    solve(&g);
    assert_true(near(lost_m(&g, 0.25, g.moment.line_m3s[0]), 1.0, 1e-7));
    assert_true(pw_abs(g.moment.high_pa[0]) < 1e-6);
    pw_spot spot; /* 1 m in 50 m of pipe gives more than the clearing velocity: the air will go */
    pw_model_spot(g.k.plant->model, &g.condition, &g.drive, g.state, &g.moment, PW_MAX_PLACES, &spot);
    const double velocity = g.moment.line_m3s[0] / pw_bore_area_m2(BORE);
    const double clearing = pw_air_clearing_ms(BORE, 23.0 / 150.0);
    assert_int_equal(spot.clears, velocity >= clearing);
    assert_true(near(spot.clears_s, pw_max(150.0 / velocity, 10.0), 1e-9));
    kit_close(&g.k);
}

/* The line of heads falls evenly: pressures at two summits of a profile. */
static void test_pressure_along_a_profile(void **state)
{
    (void)state;
    ground g;
    open_siphon(&g,
                ",\"profile\":[{\"distance\":\"40 m\",\"height\":\"-1 m\"},{\"distance\":\"80 m\",\"height\":\"-6 "
                "m\"},{\"distance\":\"150 m\",\"height\":\"-3 m\"}]",
                -9.0, 0.0);
    solve(&g);
    const double flow = g.moment.line_m3s[0];
    assert_true(near(lost_m(&g, 1.0, flow), 8.0, 1e-8));
    assert_true(near(g.moment.high_pa[1], (3.0 - lost_m(&g, 0.75, flow)) * g.pa_per_m, 1e-7));
    kit_close(&g.k);
}

static void test_clearing_velocity(void **state)
{
    (void)state;
    assert_true(near(pw_air_clearing_ms(0.05, 1.0), 0.752750, 1e-5)); /* sqrt(9.80665 x 0.05) x 1.075 */
    assert_true(near(pw_air_clearing_ms(0.05, 0.0), 0.577692, 1e-5)); /* x 0.825 */
    assert_true(near(pw_air_clearing_ms(0.1, 0.25), 0.940771, 1e-5)); /* sqrt(0.980665) x 0.95 */
}

/* An air pocket takes its own height of any flow, and holds back whatever has less to drive it. */
static void test_an_air_pocket_binds(void **state)
{
    (void)state;
    ground g;
    open_siphon(&g, "", -9.0, 0.0);
    g.condition.line_pocket_m[0] = 3.0;
    solve(&g);
    assert_true(near(lost_m(&g, 1.0, g.moment.line_m3s[0]), 5.0, 1e-4));
    g.condition.line_pocket_m[0] = 9.0;
    solve(&g);
    assert_true(g.moment.line_m3s[0] < 1e-3 * pw_bore_area_m2(BORE));
    kit_close(&g.k);
}

/* ---- rising main ---- */

static const char rising[] =
    "{\"site\":\"rising\",\"invented\":true,\"water\":\"20 degC\",\"altitude\":\"0 m\",\"places\":[{\"name\":\"dam\","
    "\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"0 m\"},{\"name\":\"top\",\"level\":\"%s m\"},{\"name\":\"tank\","
    "\"level\":\"29 m\"}],\"sources\":[{\"name\":\"dam\",\"at\":\"dam\",\"kind\":\"open\",\"standing water "
    "level\":\"0 m\",\"intake\":\"2 m\"}],\"pumps\":[{\"name\":\"p\",\"from\":\"dam\",\"to\":\"shed\",\"curve\":[{"
    "\"flow\":\"0 L/min\",\"head\":\"40 m\",\"power\":\"1 kW\"},{\"flow\":\"50 L/min\",\"head\":\"36 m\",\"power\":\"1 "
    "kW\"},{\"flow\":\"90 L/min\",\"head\":\"10 m\",\"power\":\"1 kW\"}],\"motor\":{\"power\":\"1.1 kW\"}}],\"lines\":["
    "{\"name\":\"up\",\"from\":\"shed\",\"to\":\"top\",\"bore\":\"50 mm\",\"roughness\":\"0.01 mm\",\"length\":\"300 "
    "m\"},{\"name\":\"on\",\"from\":\"top\",\"to\":\"tank\",\"bore\":\"50 mm\",\"roughness\":\"0.01 "
    "mm\",\"length\":\"100 m\"}],\"tanks\":[{\"name\":\"tank\",\"at\":\"tank\",\"area\":\"4 m2\",\"depth\":\"2 "
    "m\",\"starts at\":\"1 m\",\"inlet\":\"1 m\"}],\"outlets\":[{\"name\":\"farm\",\"at\":\"tank\",\"needs\":\"0 "
    "kPa\"}],\"sensors\":[{\"name\":\"level\",\"kind\":\"level\",\"at\":\"tank\"},{\"name\":\"pressure\",\"kind\":"
    "\"pressure\",\"at\":\"shed\"}],\"settings\":[\"%s when level below %s m\",\"stop when level above 1.9 m\"]}";

static void test_a_pump_does_not_lift_over_what_it_cannot(void **state)
{
    (void)state;
    char json[4000];
    kit k;
    pw_run_options options;
    snprintf(json, sizeof json, rising, "75", "start", "1.5");
    kit_load(&k, json, true);
    memset(&options, 0, sizeof options);
    options.length_ms = 7200000;
    options.entry_capacity = 100;
    const pw_daybook *book = kit_run(&k, &options);
    assert_true(pw_abs(book->totals.stored_change_m3 - book->totals.source_m3) < 1e-9);
    assert_true(pw_abs(book->totals.balance_m3) < 1e-9);
    /* the pump fills the rising pipe to its shut-off head, 40 of 75 m in 300 m of pipe, and no drop arrives */
    assert_true(book->totals.pumped_m3 < pw_bore_area_m2(BORE) * 300.0 * 40.0 / 75.0 + 1e-3);
    assert_true(near(book->totals.pressure_max_pa, 40.0 * pw_model_pa_per_m(k.plant->model), 1e-3));
    kit_close(&k);
}

/* A hole at the foot of a straight rising main: sqrt(h) falls in proportion to time (Torricelli); the pipe holds
 * A L / h for each metre of height. */
static void test_a_main_drains_by_torricelli(void **state)
{
    (void)state;
    char json[4000];
    kit k;
    pw_run_options options;
    snprintf(json, sizeof json, rising, "22.5", "start", "0.1");
    kit_load(&k, json, true);
    memset(&options, 0, sizeof options);
    options.length_ms = 3600000;
    options.entry_capacity = 100;
    options.sample_ms = 60000;
    options.sample_capacity = 100;
    options.reference_pa = 200e3;
    options.fault_count = 1;
    options.faults[0] = (pw_fault){.kind = PW_FAULT_SLOW_LEAK, .where = -1, .severity = 10.0 / 60000.0};
    options.faults[0].onset_ms = 0;
    const pw_daybook *book = kit_run(&k, &options);
    const double pa_per_m = pw_model_pa_per_m(k.plant->model);
    const double per_m_m2 = pw_bore_area_m2(BORE) * 400.0 / 30.0;
    const double outflow = 10.0 / 60000.0 / pw_sqrt(200e3 / pa_per_m); /* m3/s for each root of a metre */
    for (int32_t i = 10; i <= 40; i += 10) {
        const double root = pw_sqrt(30.0) - 0.5 * outflow / per_m_m2 * (double)(book->samples[i].t_ms) * 1e-3;
        assert_true(near((double)book->samples[i].pressure_pa / pa_per_m, root * root, 5e-3));
    }
    assert_true(pw_abs(book->totals.balance_m3) < 1e-9);
    kit_close(&k);
}

static void test_the_column_of_a_main(void **state)
{
    (void)state;
    char json[4000];
    kit k;
    pw_column column;
    snprintf(json, sizeof json, rising, "22.5", "start", "0.1");
    kit_load(&k, json, true);
    const double pa_per_m = pw_model_pa_per_m(k.plant->model);
    pw_column_of(k.site, k.site->pumps[0].to, pa_per_m, &column);
    pw_elastic main = {.give_m3pa = 1e-9, .holds_m3 = 1.0, .torn_pa = -99e3, .column = column};
    const double whole = pw_bore_area_m2(BORE) * 400.0;
    assert_true(near(column.top_pa, 30.0 * pa_per_m, 1e-12));
    assert_true(near(column.out_m3[0], whole, 1e-12));
    assert_true(near(column.out_m3[16], 0.5 * whole, 1e-12));
    assert_true(column.out_m3[32] == 0.0);
    assert_true(near(pw_elastic_pa(&main, pw_elastic_m3(&main, 100e3)), 100e3, 1e-12));
    assert_true(near(pw_elastic_pa(&main, pw_elastic_m3(&main, 1000.0)), 1000.0, 1e-9));
    assert_true(near(pw_elastic_pa(&main, 350e3 * 1e-9), 350e3, 1e-14)); /* full: it only stretches */
    assert_true(pw_elastic_pa(&main, -whole - 1e-6) < -900.0);           /* empty: no more comes out */
    assert_true(pw_elastic_drained(&main, pw_elastic_m3(&main, 100e3)) && !pw_elastic_drained(&main, 350e3 * 1e-9));
    kit_close(&k);
}

/* A vessel whose gas is lost stands open to the air: no pressure below it however little water is left. */
static void test_lost_gas_goes_no_further_than_the_air(void **state)
{
    (void)state;
    pw_vessel vessel;
    pw_vessel_law law;
    pw_condition condition;
    memset(&vessel, 0, sizeof vessel);
    vessel.volume_m3.v = 0.1;
    vessel.precharge_pa.v = 200e3;
    vessel.polytropic.v = 1.0;
    pw_condition_as_built(&condition);
    pw_vessel_law_of(&vessel, 101325.0, 1e-9, &law);
    assert_true(near(pw_vessel_gauge_pa(&law, &condition, 0, 0.05), 2.0 * 301325.0 - 101325.0, 1e-9)); /* Boyle */
    condition.vessel_air[0] = 0.1;
    const double low = pw_vessel_gauge_pa(&law, &condition, 0, 0.01);
    assert_true(low >= 0.0 && low < 1000.0);
    assert_true(pw_vessel_gauge_pa(&law, &condition, 0, 0.02) > low);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_siphon_runs_full),
        cmocka_unit_test(test_vapour_limits_it),
        cmocka_unit_test(test_air_at_the_summit),
        cmocka_unit_test(test_pressure_along_a_profile),
        cmocka_unit_test(test_clearing_velocity),
        cmocka_unit_test(test_an_air_pocket_binds),
        cmocka_unit_test(test_a_pump_does_not_lift_over_what_it_cannot),
        cmocka_unit_test(test_a_main_drains_by_torricelli),
        cmocka_unit_test(test_the_column_of_a_main),
        cmocka_unit_test(test_lost_gas_goes_no_further_than_the_air),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
