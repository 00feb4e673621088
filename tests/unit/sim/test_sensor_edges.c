/* Where sensors change their mind, against closed forms: a flow switch between its two velocities, a probe in a tank
 * that empties along a straight line, a pressure sensor in a surge (Joukowsky) that dies away end by end.
 */
#include <math.h>

#include "run_kit.h"

enum { HOUR_MS = 3600000 };

/* A tank of 2 m2, 20 m up, that taps empty through a wide main; the pump fills it from a dam, without a vessel. */
static void load(kit *k, const char *starts_at, const char *rise, const char *sensors, const char *demand,
                 const char *settings)
{
    static char json[6000];
    snprintf(json, sizeof json,
             "{\"site\":\"tank\",\"invented\":true,\"places\":[{\"name\":\"dam\",\"level\":\"0 m\"},{\"name\":\"shed\","
             "\"level\":\"0 m\"},{\"name\":\"hill\",\"level\":\"20 m\"},{\"name\":\"house\",\"level\":\"0 m\"}],"
             "\"sources\":[{\"name\":\"dam\",\"at\":\"dam\",\"kind\":\"open\",\"standing water level\":\"0 m\","
             "\"intake\":\"2 m\"}],\"pumps\":[{\"name\":\"pump\",\"from\":\"dam\",\"to\":\"shed\",\"non-return valve\":"
             "true,\"curve\":[{\"flow\":\"0 L/min\",\"head\":\"60 m\",\"power\":\"1.5 kW\"},{\"flow\":\"40 L/min\","
             "\"head\":\"50 m\",\"power\":\"1.6 kW\"},{\"flow\":\"80 L/min\",\"head\":\"20 m\",\"power\":\"1.7 kW\"}],"
             "\"motor\":{\"power\":\"2.2 kW\",\"phases\":1,\"voltage\":\"230 V\"}}],\"lines\":[{\"name\":\"rise\","
             "\"from\":\"shed\",\"to\":\"hill\",\"pipe\":\"PE100 %s SDR 11\",\"length\":\"60 m\"},{\"name\":\"main\","
             "\"from\":\"hill\",\"to\":\"house\",\"pipe\":\"PE100 63 SDR 11\",\"length\":\"60 m\"}],\"tanks\":"
             "[{\"name\":\"tank\",\"at\":\"hill\",\"area\":\"2 m2\",\"depth\":\"2 m\",\"starts at\":\"%s\"}],"
             "\"outlets\":[{\"name\":\"tap\",\"at\":\"house\",\"needs\":\"10 kPa\"}],\"demand\":[%s],"
             "\"sensors\":[{\"name\":\"level\",\"kind\":\"level\",\"at\":\"hill\"}%s],"
             "\"settings\":[\"start when level below %s\",\"stop when level above 1.2 m\"%s]}",
             rise, starts_at, demand, sensors, strcmp(starts_at, "0.9 m") == 0 ? "1 m" : "100 mm", settings);
    kit_load(k, json, true);
}

static const pw_daybook *hours(kit *k, int64_t length_h, pw_fault fault)
{
    pw_run_options options;
    memset(&options, 0, sizeof options);
    options.length_ms = length_h * HOUR_MS;
    options.entry_capacity = 2000;
    options.faults[0] = fault;
    options.fault_count = fault.kind == PW_FAULT_NONE ? 0 : 1;
    return kit_run(k, &options);
}

static const pw_fault none = {.kind = PW_FAULT_NONE, .where = -1};

/* The moment of the only entry of a kind. */
static double only_s(const pw_daybook *book, pw_entry_kind kind)
{
    int32_t count = 0;
    double at_s = 0.0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        if (book->entries[i].kind == (int16_t)kind) {
            at_s = 1e-3 * (double)book->entries[i].t_ms;
            count++;
        }
    }
    assert_int_equal(count, 1);
    return at_s;
}

/* 32 mm: 9 L/min are 0.187 m/s, 18 are 0.373, 3 are 0.062. It makes at 0.3 and breaks at 0.1: what lies between changes
 * nothing, whichever way it came. */
static void flow_switch(void **state)
{
    (void)state;
    kit k;
    load(&k, "1.9 m", "63",
         ",{\"name\":\"flow\",\"kind\":\"flow switch\",\"line\":\"main\",\"bore\":\"32 mm\",\"makes at\":\"0.3 m/s\","
         "\"breaks at\":\"0.1 m/s\"}",
         "{\"outlet\":\"tap\",\"flow\":\"9 L/min\",\"for\":\"3 h\",\"at\":\"01:00\"},{\"outlet\":\"tap\",\"flow\":\"9 "
         "L/min\",\"for\":\"1 h\",\"at\":\"02:00\"},{\"outlet\":\"tap\",\"flow\":\"3 L/min\",\"for\":\"1 h\",\"at\":"
         "\"04:00\"}",
         "");
    const pw_daybook *book = hours(&k, 6, none);
    assert_true(fabs(only_s(book, PW_ENTRY_FLOW) - 7200.0) < 0.01);
    assert_true(fabs(only_s(book, PW_ENTRY_NO_FLOW) - 14400.0) < 0.01);
    kit_close(&k);
}

/* 0.3 L/s out of 2 m2 from 01:00 on is 0.15 mm a second: from 1.9 m down to a probe at 0.8 m in 7333.3 s. */
static void probe(void **state)
{
    (void)state;
    kit k;
    load(&k, "1.9 m", "63", ",{\"name\":\"low\",\"kind\":\"probe\",\"at\":\"hill\",\"height\":\"0.8 m\"}",
         "{\"outlet\":\"tap\",\"flow\":\"18 L/min\",\"for\":\"3 h\",\"at\":\"01:00\"}", ",\"warn when probe low dry\"");
    const pw_daybook *book = hours(&k, 5, none);
    assert_true(fabs(only_s(book, PW_ENTRY_WARN) - (3600.0 + 1.1 / 0.15e-3)) < 0.05);
    kit_close(&k);
}

/* After a stop the shed stands under 22 m of water, up to the inlet over the tank. The valve that slams sends a surge
 * of rho a v, which keeps 0.6 of itself at each end (common practice, no source): up by all of it, then down by 0.6,
 * then up by 0.36. A watch half of it over rest sees the first alone, one 0.3 of it over rest the second, too;
 * without the fault neither. */
static void surge_at_a_sensor(void **state)
{
    (void)state;
    double pa = 0.0, half_s = 0.0;
    for (int32_t slams = -1; slams < 2; slams++) {
        kit k;
        char settings[300];
        const double rest_pa = 22.0 * 999.10 * 9.80665;
        snprintf(settings, sizeof settings,
                 ",\"warn when pressure above %.2f kPa\",\"warn when pressure above %.2f kPa\"",
                 1e-3 * (rest_pa + 0.5 * pa) + 1.0, 1e-3 * (rest_pa + 0.3 * pa) + 1.0);
        load(&k, "0.9 m", "63",
             ",{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\",\"from\":\"0 kPa\",\"to\":\"1000 kPa\","
             "\"resolution\":\"0 kPa\"}",
             "{\"outlet\":\"tap\",\"flow\":\"1 L/min\",\"for\":\"1 min\",\"at\":\"20:00\"}", settings);
        if (slams < 0) { /* to know the surge */
            pw_model_surge(k.plant->model, 0, 1.0, &pa, &half_s);
            assert_true(pa > 100e3);
        } else {
            const pw_daybook *book =
                hours(&k, 1, slams ? (pw_fault){.kind = PW_FAULT_SLAM, .severity = 1.0, .where = -1} : none);
            assert_int_equal(book->totals.starts, 1);
            assert_int_equal(book->fired[2], slams);
            assert_int_equal(book->fired[3], 2 * slams);
        }
        kit_close(&k);
    }
}

/* Behind a clogged tapping the reading follows with 30 s: after the stop, when the friction of the rise is gone,
 * it falls from 20 kPa to 5 kPa over the rest of 22 m in 30 s x ln 4. */
static void clogged_tapping(void **state)
{
    (void)state;
    kit k;
    char settings[300];
    const double rest_kpa = 22.0e-3 * 999.10 * 9.80665;
    snprintf(settings, sizeof settings, ",\"warn when pressure below %.3f kPa\",\"warn when pressure below %.3f kPa\"",
             rest_kpa + 20.0, rest_kpa + 5.0);
    load(&k, "0.9 m", "32",
         ",{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\",\"from\":\"0 kPa\",\"to\":\"1000 kPa\","
         "\"resolution\":\"0 kPa\"}",
         "{\"outlet\":\"tap\",\"flow\":\"1 L/min\",\"for\":\"1 min\",\"at\":\"20:00\"}", settings);
    const pw_daybook *book = hours(&k, 1, (pw_fault){.kind = PW_FAULT_TAPPING, .severity = 30.0, .where = -1});
    double last_s[2] = {0.0, 0.0};
    for (int32_t i = 0; i < book->entry_count; i++) {
        const pw_entry *entry = &book->entries[i];
        if (entry->kind == PW_ENTRY_WARN && entry->sentence >= 2) {
            last_s[entry->sentence - 2] = 1e-3 * (double)entry->t_ms;
        }
    }
    assert_int_equal(book->totals.starts, 1);
    assert_true(last_s[0] > book->totals.run_s);
    assert_true(fabs(last_s[1] - last_s[0] - 30.0 * log(4.0)) < 0.4);
    kit_close(&k);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(flow_switch),
        cmocka_unit_test(probe),
        cmocka_unit_test(surge_at_a_sensor),
        cmocka_unit_test(clogged_tapping),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
