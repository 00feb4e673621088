/* The network solver against hand-made answers: pump and system curves in closed form, series, parallel and looped
 * lines, valves. Sources: own derivation from the energy equation; pump cases P2, P5 (closed form, computed).
 */
#include "run_kit.h"

#include "base/num.h"

#define SETTINGS "\"settings\":[\"start when pressure below 100 kPa\",\"stop when pressure above 900 kPa\"]}"
#define SENSOR                                                                                                    \
    "\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\",\"from\":\"0 kPa\",\"to\":\"2000 " \
    "kPa\"}],"
#define HEAD "{\"site\":\"network\",\"invented\":true,\"altitude\":\"0 m\",\"water\":\"20 degC\","
#define DAM                                                                                                            \
    "\"sources\":[{\"name\":\"dam\",\"at\":\"dam\",\"kind\":\"open\",\"standing water level\":\"0 m\",\"intake\":\"5 " \
    "m\"}],"

/* H = 60 - 1.5 Q^2 (m, L/s) at 0..6 L/s: 25 points, so that the monotone cubic follows the parabola closely. */
static void parabola_curve(char *out, size_t size)
{
    size_t used = 0;
    for (int i = 0; i <= 24; i++) {
        const double q = 0.25 * i;
        used += (size_t)snprintf(out + used, size - used,
                                 "%s{\"flow\":\"%.2f L/s\",\"head\":\"%.6f m\",\"power\":\"4 kW\"}", i > 0 ? "," : "",
                                 q, 60.0 - 1.5 * q * q);
    }
}

/* A smooth line whose only loss is a coefficient: 1.0 m at 1 L/s squared. Length 1 mm and a huge bore would do; here
 * bore 30 mm. */
static double k_for_loss(double metres_per_ls2, double bore_m)
{
    const double area = 0.25 * PW_PI * bore_m * bore_m;
    const double velocity = 1e-3 / area;
    return metres_per_ls2 / (velocity * velocity / (2.0 * PW_G));
}

static void solve_site(kit *k, bool run, const double *draw, pw_moment *moment)
{
    pw_condition condition;
    pw_drive drive;
    double state[PW_MAX_STATES];
    memset(&drive, 0, sizeof drive);
    drive.speed[0] = run ? 1.0 : 0.0;
    for (int32_t o = 0; o < k->site->outlet_count; o++) {
        drive.draw_m3s[o] = draw != NULL ? draw[o] : 0.0;
    }
    pw_condition_healthy(k->plant->model, &condition);
    pw_model_start(k->plant->model, 300e3, state);
    pw_warm *warm = pw_warm_new(&k->arena, k->plant->model);
    assert_int_equal(pw_model_settle(k->plant->model, &condition, &drive, state, warm, &k->problems), PW_OK);
    const pw_status status = pw_model_moment(k->plant->model, &condition, &drive, state, warm, moment, &k->problems);
    kit_say(k);
    assert_int_equal(status, PW_OK);
}

static void pump_and_system(double speed, double expected_ls, double expected_head_m)
{
    char curve[4000];
    char json[9000];
    kit k;
    pw_moment moment;
    parabola_curve(curve, sizeof curve);
    snprintf(
        json, sizeof json,
        HEAD
        "\"places\":[{\"name\":\"dam\",\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"0 m\"},"
        "{\"name\":\"top\",\"level\":\"19.9 m\"}]," DAM
        "\"pumps\":[{\"name\":\"pump\",\"from\":\"dam\",\"to\":\"shed\",\"speed\":%.3f,\"non-return "
        "valve\":true,\"curve\":[%s],"
        "\"motor\":{\"power\":\"5.5 kW\",\"phases\":3,\"voltage\":\"400 V\"}}],"
        "\"lines\":[{\"name\":\"main\",\"from\":\"shed\",\"to\":\"top\",\"bore\":\"30 mm\",\"roughness\":\"0.001 mm\","
        "\"length\":\"10 mm\",\"extra K\":%.9f}],"
        "\"tanks\":[{\"name\":\"tank\",\"at\":\"top\",\"area\":\"10 m2\",\"depth\":\"1 m\",\"starts at\":\"0.5 "
        "m\",\"inlet\":\"0.1 m\"}]," SENSOR SETTINGS,
        speed, curve, k_for_loss(1.0, 0.030));
    kit_load(&k, json, true);
    solve_site(&k, true, NULL, &moment);
    /* the 10 mm of pipe add 0.2 per mille; the points of the curve 0.1 per mille */
    assert_true(near(moment.pump_m3s[0] * 1e3, expected_ls, 1e-3));
    assert_true(near(moment.pump_head_m[0], expected_head_m, 1e-3));
    assert_true(moment.imbalance_m3s <= 1e-9 * moment.pump_m3s[0]);
    kit_close(&k);
}

static void test_pump_meets_system(void **state)
{
    (void)state;
    pump_and_system(1.0, 4.0, 36.0);       /* P2: 60 - 1.5 Q2 = 20 + Q2 */
    pump_and_system(0.9, 3.3823, 31.4400); /* P5: affinity with the static head kept */
}

/* Two equal lines side by side carry half each; the loss is that of half the flow in one. */
static void test_parallel_lines(void **state)
{
    static const char json[] =
        HEAD "\"places\":[{\"name\":\"dam\",\"level\":\"50 m\"},{\"name\":\"shed\",\"level\":\"0 "
             "m\"},{\"name\":\"end\",\"level\":\"0 m\"}]," DAM
             "\"pumps\":[{\"name\":\"pump\",\"from\":\"dam\",\"to\":\"shed\",\"curve\":[{\"flow\":\"0 "
             "L/s\",\"head\":\"20 m\",\"power\":\"1 kW\"},"
             "{\"flow\":\"1 L/s\",\"head\":\"15 m\",\"power\":\"1 kW\"},{\"flow\":\"2 L/s\",\"head\":\"5 "
             "m\",\"power\":\"1 kW\"}],"
             "\"motor\":{\"power\":\"1.1 kW\",\"phases\":1,\"voltage\":\"230 V\"}}],"
             "\"lines\":[{\"name\":\"a\",\"from\":\"shed\",\"to\":\"end\",\"pipe\":\"PE100 40 SDR "
             "11\",\"length\":\"100 m\"},"
             "{\"name\":\"b\",\"from\":\"end\",\"to\":\"shed\",\"pipe\":\"PE100 40 SDR 11\",\"length\":\"100 m\"}],"
             "\"outlets\":[{\"name\":\"tap\",\"at\":\"end\",\"needs\":\"10 kPa\"}]," SENSOR SETTINGS;
    const double draw = 1e-3;
    kit both;
    pw_moment moment;
    (void)state;
    kit_load(&both, json, true);
    solve_site(&both, true, &draw, &moment);
    assert_true(near(moment.outlet_m3s[0], draw, 1e-9));
    assert_true(near(moment.line_m3s[0], 0.5e-3, 1e-9));
    assert_true(near(moment.line_m3s[1], -0.5e-3, 1e-9)); /* drawn the other way round */
    assert_true(near(moment.pump_m3s[0], 1e-3, 1e-9));
    kit_close(&both);
}

/* A ring of three places with unequal lines: both ways round the ring lose the same head, and each place balances. */
static void test_ring(void **state)
{
    static const char json[] = HEAD
        "\"places\":[{\"name\":\"dam\",\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"0 "
        "m\"},{\"name\":\"b\",\"level\":\"3 m\"},"
        "{\"name\":\"c\",\"level\":\"5 m\"}]," DAM
        "\"pumps\":[{\"name\":\"pump\",\"from\":\"dam\",\"to\":\"shed\",\"curve\":[{\"flow\":\"0 L/s\",\"head\":\"60 "
        "m\",\"power\":\"3 kW\"},"
        "{\"flow\":\"2 L/s\",\"head\":\"50 m\",\"power\":\"3 kW\"},{\"flow\":\"4 L/s\",\"head\":\"25 m\",\"power\":\"3 "
        "kW\"}],"
        "\"motor\":{\"power\":\"3 kW\",\"phases\":3,\"voltage\":\"400 V\"}}],"
        "\"lines\":[{\"name\":\"sb\",\"from\":\"shed\",\"to\":\"b\",\"pipe\":\"PE100 40 SDR 11\",\"length\":\"80 m\"},"
        "{\"name\":\"bc\",\"from\":\"b\",\"to\":\"c\",\"pipe\":\"PE100 25 SDR 11\",\"length\":\"60 m\"},"
        "{\"name\":\"cs\",\"from\":\"c\",\"to\":\"shed\",\"pipe\":\"PE100 32 SDR 11\",\"length\":\"120 m\"}],"
        "\"outlets\":[{\"name\":\"tap b\",\"at\":\"b\",\"needs\":\"50 kPa\"},{\"name\":\"tap "
        "c\",\"at\":\"c\",\"needs\":\"50 kPa\"}]," SENSOR SETTINGS;
    const double draw[2] = {0.4e-3, 0.7e-3};
    for (int exact = 0; exact < 2; exact++) {
        kit k;
        pw_moment moment;
        kit_load(&k, json, exact != 0);
        solve_site(&k, true, draw, &moment);
        const double sb = moment.line_m3s[0];
        const double bc = moment.line_m3s[1];
        const double cs = moment.line_m3s[2];
        assert_true(near(sb - bc, 0.4e-3, 1e-9));
        assert_true(near(bc - cs, 0.7e-3, 1e-9));
        assert_true(near(moment.pump_m3s[0], 1.1e-3, 1e-9));
        assert_true(cs < 0.0); /* water reaches c from both sides */
        /* the heads found from the flows by the friction law alone, around both ways */
        assert_true(moment.place_pa[1] > moment.place_pa[2] && moment.place_pa[2] > moment.place_pa[3]);
        assert_true(moment.imbalance_m3s < 1e-9 * 1.1e-3);
        kit_close(&k);
    }
    (void)state;
}

/* The tables of the reduced form against the formulas, over random draws: within the error that the model states. */
static void test_table_error_is_honest(void **state)
{
    static const char json[] =
        HEAD "\"places\":[{\"name\":\"dam\",\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"0 "
             "m\"},{\"name\":\"end\",\"level\":\"0 m\"}]," DAM
             "\"pumps\":[{\"name\":\"pump\",\"from\":\"dam\",\"to\":\"shed\",\"curve\":[{\"flow\":\"0 "
             "L/s\",\"head\":\"60 m\",\"power\":\"3 kW\"},"
             "{\"flow\":\"2 L/s\",\"head\":\"50 m\",\"power\":\"3 kW\"},{\"flow\":\"4 L/s\",\"head\":\"25 "
             "m\",\"power\":\"3 kW\"}],"
             "\"motor\":{\"power\":\"3 kW\",\"phases\":3,\"voltage\":\"400 V\"}}],"
             "\"vessels\":[{\"name\":\"vessel\",\"at\":\"shed\",\"volume\":\"100 L\",\"precharge\":\"180 kPa\"}],"
             "\"lines\":[{\"name\":\"main\",\"from\":\"shed\",\"to\":\"end\",\"pipe\":\"PE100 40 SDR "
             "11\",\"length\":\"200 m\"}],"
             "\"outlets\":[{\"name\":\"tap\",\"at\":\"end\",\"needs\":\"10 kPa\"}]," SENSOR SETTINGS;
    kit quick;
    kit exact;
    (void)state;
    kit_load(&quick, json, false);
    kit_load(&exact, json, true);
    const double stated = pw_model_table_error(quick.plant->model);
    assert_true(stated > 0.0 && stated < 1e-4);
    assert_true(pw_model_table_error(exact.plant->model) == 0.0);
    for (int i = 1; i < 400; i++) {
        const double draw = 2.2e-6 * i;
        pw_moment a;
        pw_moment b;
        solve_site(&quick, false, &draw, &a);
        solve_site(&exact, false, &draw, &b);
        const double lost_a = a.place_pa[1] - a.place_pa[2];
        const double lost_b = b.place_pa[1] - b.place_pa[2];
        assert_true(near(lost_a, lost_b, 2.0 * stated + 1e-7));
    }
    kit_close(&quick);
    kit_close(&exact);
}

/* A shut line, a non-return valve against the flow and a stopped pump let nothing through. */
static void test_nothing_passes_what_is_shut(void **state)
{
    static const char json[] =
        HEAD "\"places\":[{\"name\":\"dam\",\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"0 "
             "m\"},{\"name\":\"end\",\"level\":\"0 m\"}]," DAM
             "\"pumps\":[{\"name\":\"pump\",\"from\":\"dam\",\"to\":\"shed\",\"non-return valve\":true,\"curve\":["
             "{\"flow\":\"0 L/s\",\"head\":\"60 m\",\"power\":\"3 kW\"},"
             "{\"flow\":\"2 L/s\",\"head\":\"50 m\",\"power\":\"3 kW\"},{\"flow\":\"4 L/s\",\"head\":\"25 "
             "m\",\"power\":\"3 kW\"}],"
             "\"motor\":{\"power\":\"3 kW\",\"phases\":3,\"voltage\":\"400 V\"}}],"
             "\"vessels\":[{\"name\":\"vessel\",\"at\":\"shed\",\"volume\":\"100 L\",\"precharge\":\"180 kPa\"}],"
             "\"lines\":[{\"name\":\"main\",\"from\":\"shed\",\"to\":\"end\",\"pipe\":\"PE100 40 SDR "
             "11\",\"length\":\"200 m\",\"open\":%s},"
             "{\"name\":\"wrong way\",\"from\":\"end\",\"to\":\"shed\",\"pipe\":\"PE100 40 SDR 11\",\"length\":\"1 "
             "m\",\"non-return valve\":true}],"
             "\"outlets\":[{\"name\":\"tap\",\"at\":\"end\",\"needs\":\"10 kPa\"}]," SENSOR SETTINGS;
    const double draw = 0.3e-3;
    char text[4000];
    kit k;
    pw_moment moment;
    (void)state;
    snprintf(text, sizeof text, json, "0");
    kit_load(&k, text, true);
    solve_site(&k, false, &draw, &moment);
    assert_true(pw_abs(moment.outlet_m3s[0]) < 1e-11);
    assert_true(pw_abs(moment.pump_m3s[0]) < 1e-11);
    assert_true(pw_abs(moment.line_m3s[1]) < 1e-11);
    kit_close(&k);
    snprintf(text, sizeof text, json, "1");
    kit_load(&k, text, true);
    solve_site(&k, false, &draw, &moment);
    assert_true(near(moment.outlet_m3s[0], draw, 1e-9));
    kit_close(&k);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_pump_meets_system), cmocka_unit_test(test_parallel_lines),
                                       cmocka_unit_test(test_ring), cmocka_unit_test(test_table_error_is_honest),
                                       cmocka_unit_test(test_nothing_passes_what_is_shut)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
