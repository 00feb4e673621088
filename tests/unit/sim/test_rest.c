/* A site at rest begins in equilibrium, at a pressure that it could have; and only what a pump pumps counts as pumped.
 * Expected pressures: hydrostatics, own derivation.
 */
#include "run_kit.h"

#include "base/num.h"

typedef struct sheet {
    double dam_m;         /* level of the source */
    const char *source;   /* its kind and what belongs to it */
    bool valve;           /* the pump has a non-return valve */
    bool vessels;         /* at the shed, and another at the house; else a riser into a tank */
    const char *settings; /* two sentences */
    const char *demand;
} sheet;

#define OPEN     "\"kind\":\"open\",\"standing water level\":\"0 m\",\"intake\":\"5 m\""
#define BY_LEVEL "\"start when level below 0.1 m\",\"stop when level above 0.9 m\""

static void load(kit *k, const sheet *s)
{
    static char json[6000];
    snprintf(json, sizeof json,
             "{\"site\":\"rest\",\"invented\":true,\"altitude\":\"0 m\",\"water\":\"20 degC\","
             "\"places\":[{\"name\":\"dam\",\"level\":\"%.1f m\"},{\"name\":\"shed\",\"level\":\"0 m\"},"
             "{\"name\":\"house\",\"level\":\"10 m\"},{\"name\":\"top\",\"level\":\"19 m\"}],"
             "\"sources\":[{\"name\":\"dam\",\"at\":\"dam\",%s}],"
             "\"pumps\":[{\"name\":\"pump\",\"from\":\"dam\",\"to\":\"shed\",\"non-return valve\":%s,"
             "\"curve\":[{\"flow\":\"0 L/min\",\"head\":\"60 m\",\"power\":\"1 kW\"},"
             "{\"flow\":\"60 L/min\",\"head\":\"40 m\",\"power\":\"1 kW\"},{\"flow\":\"100 L/min\",\"head\":\"10 m\","
             "\"power\":\"1 kW\"}],\"motor\":{\"power\":\"1.5 kW\",\"phases\":1,\"voltage\":\"230 V\"}}],"
             "\"lines\":[{\"name\":\"main\",\"from\":\"shed\",\"to\":\"house\",\"bore\":\"40 mm\",\"roughness\":"
             "\"0.01 mm\",\"length\":\"50 m\"},{\"name\":\"riser\",\"from\":\"house\",\"to\":\"top\",\"bore\":\"40 "
             "mm\",\"roughness\":\"0.01 mm\",\"length\":\"20 m\"%s}],"
             "%s\"tanks\":[{\"name\":\"tank\",\"at\":\"top\",\"area\":\"4 m2\",\"depth\":\"1.5 m\",\"starts at\":\"0.5 "
             "m\",\"inlet\":\"1 m\"}],"
             "\"outlets\":[{\"name\":\"tap\",\"at\":\"house\",\"needs\":\"0 kPa\"}],"
             "\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\",\"from\":\"0 kPa\",\"to\":"
             "\"2000 kPa\"},{\"name\":\"level\",\"kind\":\"level\",\"at\":\"top\"}],"
             "%s\"settings\":[%s]}",
             s->dam_m, s->source, s->valve ? "true" : "false", s->vessels ? ",\"open\":0" : "",
             s->vessels ? "\"vessels\":[{\"name\":\"a\",\"at\":\"shed\",\"volume\":\"60 L\",\"precharge\":\"80 kPa\"},"
                          "{\"name\":\"b\",\"at\":\"house\",\"volume\":\"40 L\",\"precharge\":\"50 kPa\"}],"
                        : "",
             s->demand, s->settings);
    kit_load(k, json, true);
}

/* Pressure at the shed at the very beginning; nothing may flow then, nor in the minutes after it. */
static double begins_at_m(const sheet *s)
{
    kit k;
    load(&k, s);
    pw_run_options options;
    memset(&options, 0, sizeof options);
    options.length_ms = 300000;
    options.seed = 1;
    options.entry_capacity = 100;
    options.sample_ms = 1000;
    options.sample_capacity = 1000;
    const pw_daybook *book = kit_run(&k, &options);
    const double pa_per_m = pw_model_pa_per_m(k.plant->model);
    const double first_pa = book->entries[0].pressure_pa;
    const int32_t runs = pw_column_pump(0, PW_PUMP_RUNS), flow = pw_column_pump(0, PW_PUMP_FLOW);
    for (int32_t i = 0; i < book->sample_count && pw_sample_value(book, i, runs) == 0.0f; i++) {
        /* where a drained main ends, the last mL of its pipe goes to and fro within the integrator's tolerance: 3.9e-7
         * m3/s at most, measured */
        assert_true(pw_abs((double)pw_sample_value(book, i, flow)) < (s->valve ? 1e-8 : 5e-7));
        assert_true(pw_abs((double)book->samples[i].pressure_pa - first_pa) < 1.0);
    }
    if (book->totals.starts == 0) {
        assert_true(book->totals.pumped_m3 == 0.0);
        assert_true(pw_abs(book->totals.stored_change_m3) < 1e-7);
    }
    kit_close(&k);
    return first_pa / pa_per_m;
}

static void test_a_riser_is_full(void **state)
{
    (void)state;
    assert_true(near(begins_at_m(&(sheet){0.0, OPEN, true, false, BY_LEVEL, ""}), 20.0, 1e-6)); /* the tank's inlet */
    assert_true(pw_abs(begins_at_m(&(sheet){0.0, OPEN, false, false, BY_LEVEL, ""})) < 1e-3);   /* it drains back */
    assert_true(near(begins_at_m(&(sheet){4.0, OPEN, false, false, BY_LEVEL, ""}), 4.0, 1e-3)); /* as far as the dam */
}

static void test_no_pressure_that_no_pump_makes(void **state)
{
    (void)state;
    static const char usual[] = "\"start when pressure below 200 kPa\",\"stop when pressure above 300 kPa\"";
    static const char absurd[] = "\"start when pressure below 1500 kPa\",\"stop when pressure above 1800 kPa\"";
    const double usual_m = begins_at_m(&(sheet){0.0, OPEN, true, true, usual, ""});
    assert_true(near(usual_m, 250e3 / (998.2 * 9.80665), 1e-3));
    assert_true(near(begins_at_m(&(sheet){0.0, OPEN, true, true, absurd, ""}), 60.0, 1e-3));
}

/* A main that has more pressure than the order asks for fills the vessels through the standing pump. */
static void test_the_mains_push_through(void **state)
{
    (void)state;
    static const char settings[] = "\"start when pressure below 100 kPa\",\"stop when pressure above 200 kPa\"";
    static const char mains[] = "\"kind\":\"mains\",\"pressure\":\"300 kPa\"";
    assert_true(near(begins_at_m(&(sheet){0.0, mains, true, true, settings, ""}), 300e3 / (998.2 * 9.80665), 1e-3));
}

/* What the dam on the hill sends through the standing pump is delivered, but not pumped. */
static void test_gravity_is_not_pumped(void **state)
{
    (void)state;
    static const char demand[] =
        "\"demand\":[{\"outlet\":\"tap\",\"flow\":\"10 L/min\",\"for\":\"5 min\",\"at\":\"00:02\"},"
        "{\"outlet\":\"tap\",\"flow\":\"60 L/min\",\"for\":\"1 min\",\"at\":\"00:10\"}],";
    static const char settings[] = "\"start when pressure below 120 kPa\",\"stop when pressure above 300 kPa\"";
    kit k;
    load(&k, &(sheet){17.0, OPEN, true, true, settings, demand});
    pw_run_options options;
    memset(&options, 0, sizeof options);
    options.seed = 1;
    for (int32_t i = 0; i < 2; i++) {
        options.length_ms = i == 0 ? 480000 : 3600000;
        const pw_totals *totals = &kit_run(&k, &options)->totals;
        assert_true(near(totals->delivered_m3, i == 0 ? 0.050 : 0.110, 1e-2));
        assert_true(i == 0 ? totals->pumped_m3 == 0.0 : totals->pumped_m3 > 0.01);
        assert_int_equal(totals->starts > 0, i);
        assert_true(pw_abs(totals->balance_m3) < 1e-9);
        assert_true(i == 0 ? totals->source_m3 > 0.03 : totals->source_m3 > totals->pumped_m3 + 0.03);
    }
    kit_close(&k);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_riser_is_full),
        cmocka_unit_test(test_no_pressure_that_no_pump_makes),
        cmocka_unit_test(test_the_mains_push_through),
        cmocka_unit_test(test_gravity_is_not_pumped),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
