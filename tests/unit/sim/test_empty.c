/* Stores that run empty give no more: to a pump in them, to a pump behind a suction line, to a line down from them; a
 * hole where no pressure stands lets no water in; and what the sizes of leaks and the highest pressure are told of. */
#include "run_kit.h"

#include "base/num.h"
#include "fault/fault.h"

/* A break tank of 0.5 m2 that the mains fill through a float valve; the pump stands in it, or behind a suction line. */
static const char tank_site[] =
    "{\"site\":\"tank\",\"invented\":true,\"places\":[{\"name\":\"mains\",\"level\":\"0 m\"},{\"name\":\"tank\","
    "\"level\":\"%s\"},{\"name\":\"eye\",\"level\":\"0 m\"},{\"name\":\"house\",\"level\":\"%s\"}],"
    "\"sources\":[{\"name\":\"mains\",\"at\":\"mains\",\"kind\":\"mains\",\"pressure\":\"200 kPa\"}],"
    "\"pumps\":[{\"name\":\"pump\",\"from\":\"%s\",\"to\":\"house\",\"curve\":[{\"flow\":\"0 L/min\",\"head\":\"45 "
    "m\"},"
    "{\"flow\":\"30 L/min\",\"head\":\"40 m\",\"efficiency\":\"45 %%\"},{\"flow\":\"60 L/min\",\"head\":\"25 m\","
    "\"efficiency\":\"50 %%\"}],\"motor\":{\"power\":\"0.75 kW\"}}],"
    "\"lines\":[{\"name\":\"service\",\"from\":\"mains\",\"to\":\"tank\",\"pipe\":\"PE100 32 SDR 11\",\"length\":\"20 "
    "m\"},{\"name\":\"suction\",\"from\":\"tank\",\"to\":\"eye\",\"pipe\":\"PE100 50 SDR 11\",\"length\":\"2 m\"}],"
    "\"tanks\":[{\"name\":\"tank\",\"at\":\"tank\",\"area\":\"0.5 m2\",\"depth\":\"1.2 m\",\"starts at\":\"1 m\","
    "\"float valve\":{\"closes at\":\"1 m\",\"bore\":\"15 mm\"}}],"
    "\"vessels\":[{\"name\":\"vessel\",\"at\":\"house\",\"volume\":\"50 L\",\"precharge\":\"180 kPa\"}],"
    "\"outlets\":[{\"name\":\"taps\",\"at\":\"house\",\"needs\":\"20 kPa\"}],"
    "\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"house\",\"from\":\"0 kPa\",\"to\":\"1000 "
    "kPa\"}],"
    "\"demand\":[{\"outlet\":\"taps\",\"flow\":\"15 L/min\",\"for\":\"40 min\",\"at\":\"06:00\",\"every\":\"1 h\"}],"
    "\"settings\":[\"start when pressure below 200 kPa\",\"stop when pressure above 350 kPa\"]}";

static pw_run_options day_with(pw_fault_kind kind, double severity, double hours)
{
    pw_run_options options = {.length_ms = (int64_t)(hours * 3600000.0), .seed = 1};
    options.entry_capacity = 1000;
    options.sample_ms = 60000;
    options.sample_capacity = 20000;
    options.fault_count = 1;
    options.faults[0] = (pw_fault){.kind = kind, .severity = severity, .where = -1, .onset_ms = 7 * 3600000};
    return options;
}

static double least_depth_m(const pw_daybook *book, const pw_site *site)
{
    double least = PW_INF;
    for (int32_t i = 0; i < book->sample_count; i++) {
        least = pw_min(least, (double)pw_sample_value(book, i, pw_column_tank(site, 0)));
    }
    return least;
}

/* The float valve sticks shut: the pump gives what stood in the tank and no more, and then it runs dry. */
static void a_tank_runs_empty(void **state)
{
    static const char *const from[] = {"tank", "eye"};
    static const char *const house[] = {"2 m", "-3 m"}; /* below the tank water could even fall through the pump */
    (void)state;
    for (int i = 0; i < 4; i++) {
        char json[4096];
        kit k;
        snprintf(json, sizeof json, tank_site, "0 m", house[i / 2], from[i % 2]);
        kit_load(&k, json, true);
        pw_run_options healthy = day_with(PW_FAULT_NONE, 0.0, 24.0);
        healthy.fault_count = 0;
        const pw_daybook *well = kit_run(&k, &healthy);
        assert_true(well->totals.dry_s == 0.0 && well->totals.missing_m3 == 0.0);
        pw_run_options options = day_with(PW_FAULT_FLOAT_SHUT, 0.0, 24.0);
        const pw_daybook *book = kit_run(&k, &options);
        const double stood_m3 = 0.5 * 1.0 + book->totals.source_m3;
        print_message("from %s: %.1f L pumped, %.1f L there were, least depth %.4f m, dry %.0f s\n", from[i % 2],
                      1e3 * book->totals.pumped_m3, 1e3 * stood_m3, least_depth_m(book, k.site), book->totals.dry_s);
        assert_true(least_depth_m(book, k.site) >= 0.0);
        assert_true(book->totals.pumped_m3 <= stood_m3 && book->totals.pumped_m3 > 0.9 * stood_m3);
        assert_true(book->totals.dry_s > 3600.0 && book->totals.missing_m3 > 1.0);
        assert_true(pw_abs(book->totals.balance_m3) < 1e-9);
        kit_close(&k);
    }
}

/* A main that fails altogether gives nothing, not even to a tank below it; at half its pressure it still fills. */
static void a_main_fails(void **state)
{
    char json[4096];
    kit k;
    (void)state;
    snprintf(json, sizeof json, tank_site, "-5 m", "2 m", "tank");
    kit_load(&k, json, true);
    pw_run_options half = day_with(PW_FAULT_DRY_SOURCE, 0.5, 24.0), none = day_with(PW_FAULT_DRY_SOURCE, 0.0, 24.0);
    assert_true(kit_run(&k, &half)->totals.missing_m3 == 0.0);
    const pw_daybook *book = kit_run(&k, &none);
    assert_true(book->totals.source_m3 - book->at_fault.source_m3 < 1e-8); /* a closed link lets a trace through */
    assert_true(book->totals.dry_s > 3600.0);
    kit_close(&k);
}

/* Where no pressure stands, no water comes in through a hole; nobody looks for a leak at the surface of a bore. */
static void a_hole_lets_no_water_in(void **state)
{
    char json[4096];
    kit k;
    (void)state;
    snprintf(json, sizeof json, tank_site, "0 m", "2 m", "tank");
    kit_load(&k, json, true);
    pw_run_options options = day_with(PW_FAULT_BURST, 60e-3 / 60.0, 12.0);
    options.faults[0].where = 2; /* the eye hangs at the tank: 1 m of water at most */
    const pw_daybook *book = kit_run(&k, &options);
    assert_true(book->totals.leaked_m3 > 0.0);
    for (int32_t p = 0; p < k.site->place_count; p++) {
        k.site->places[p].level_m.v += p == 2 ? 3.0 : 0.0; /* now the hole is over the water */
    }
    pw_plant *higher = NULL;
    assert_int_equal(pw_plant_build(&k.arena, k.site, true, &higher, &k.problems), PW_OK);
    k.plant = higher;
    assert_true(kit_run(&k, &options)->totals.leaked_m3 == 0.0);
    k.site->sources[0].kind = PW_SOURCE_BORE;
    assert_int_equal(pw_fault_where(k.site, PW_FAULT_BURST, k.site->sources[0].place), -1);
    kit_close(&k);
}

/* An order without pressures: leaks are told at what the pump's outlet shows while it runs. */
static void leaks_have_a_reference(void **state)
{
    static const char json[] =
        "{\"site\":\"fill\",\"invented\":true,\"places\":[{\"name\":\"dam\",\"level\":\"0 m\"},{\"name\":\"shed\","
        "\"level\":\"0 m\"},{\"name\":\"hill\",\"level\":\"30 "
        "m\"}],\"sources\":[{\"name\":\"dam\",\"at\":\"dam\",\"kind\":"
        "\"open\",\"standing water level\":\"1 m\",\"intake\":\"2 "
        "m\"}],\"pumps\":[{\"name\":\"pump\",\"from\":\"dam\","
        "\"to\":\"shed\",\"non-return valve\":true,\"curve\":[{\"flow\":\"0 L/min\",\"head\":\"50 m\",\"power\":\"1 "
        "kW\"},{"
        "\"flow\":\"60 L/min\",\"head\":\"35 m\",\"power\":\"1 kW\"},{\"flow\":\"90 L/min\",\"head\":\"10 "
        "m\",\"power\":\"1 "
        "kW\"}],\"motor\":{\"power\":\"1.1 kW\",\"phases\":1,\"voltage\":\"230 V\"}}],\"lines\":[{\"name\":\"rise\","
        "\"from\":\"shed\",\"to\":\"hill\",\"pipe\":\"PE100 50 SDR 11\",\"length\":\"100 m\"}],\"tanks\":[{\"name\":"
        "\"tank\",\"at\":\"hill\",\"area\":\"20 m2\",\"depth\":\"2 m\",\"inlet\":\"2 m\",\"starts at\":\"1 m\"}],"
        "\"settings\":[\"start when stopped for 1 min\",\"stop when running for 100 h\"]}";
    kit k;
    (void)state;
    kit_load(&k, json, true);
    pw_run_options options = day_with(PW_FAULT_SLOW_LEAK, 2e-3 / 60.0, 17.0);
    options.faults[0].where = 1;
    const pw_daybook *book = kit_run(&k, &options);
    /* the pump runs on all the time: ten hours of 2 L/min, a hair less for what the leak takes from the head */
    print_message("%.0f kPa, %.1f L in ten hours\n", k.plant->reference_pa / 1e3, 1e3 * book->totals.leaked_m3);
    assert_true(k.plant->reference_pa > 320e3 && k.plant->reference_pa < 420e3);
    assert_true(near(book->totals.leaked_m3, 1.2, 0.01));
    kit_close(&k);
}

/* The pressure in front of a shut valve counts, though no sensor sees it: shut-off head on top of the tank's water. */
static void the_highest_pressure_is_anywhere(void **state)
{
    char json[4096];
    kit k;
    (void)state;
    snprintf(json, sizeof json, tank_site, "0 m", "2 m", "tank");
    kit_load(&k, json, true);
    pw_run_options options = day_with(PW_FAULT_VALVE_CLOSED, 0.0, 9.0);
    options.faults[0].where = PW_MAX_LINES; /* at the pump's own outlet */
    const pw_daybook *book = kit_run(&k, &options);
    const double shut_off_pa = (45.0 + 1.0 - 2.0) * pw_model_pa_per_m(k.plant->model);
    print_message("%.0f kPa at the sensor, %.0f kPa anywhere, %.0f kPa by hand\n", book->totals.pressure_max_pa / 1e3,
                  book->totals.pressure_top_pa / 1e3, shut_off_pa / 1e3);
    assert_true(book->totals.pressure_max_pa < 360e3);
    assert_true(near(book->totals.pressure_top_pa, shut_off_pa, 0.01));
    kit_close(&k);
}

/* The house stands 14 m over the water of its bore, the pump's non-return valve passes, and nothing starts: the vessel
 * gives what it has, and what is left pulls no lower than the vapour of the water, 1.705 kPa at 15 degC (IAPWS) under
 * an atmosphere of 101.325 kPa, though 14 m of water would. */
static void an_empty_vessel_holds_vapour(void **state)
{
    static const char json[] =
        "{\"site\":\"bore\",\"invented\":true,\"water\":\"15 degC\",\"places\":[{\"name\":\"bore\",\"level\":\"0 m\"},"
        "{\"name\":\"house\",\"level\":\"2 m\"}],\"sources\":[{\"name\":\"bore\",\"at\":\"bore\",\"kind\":\"bore\","
        "\"standing water level\":\"12 m\",\"specific capacity\":\"20 L/min per m\",\"intake\":\"30 m\"}],\"pumps\":[{"
        "\"name\":\"pump\",\"from\":\"bore\",\"to\":\"house\",\"curve\":[{\"flow\":\"0 L/min\",\"head\":\"80 "
        "m\",\"power\":"
        "\"1 kW\"},{\"flow\":\"30 L/min\",\"head\":\"72 m\",\"power\":\"1 kW\"},{\"flow\":\"60 L/min\",\"head\":\"40 "
        "m\","
        "\"power\":\"1 kW\"}],\"motor\":{\"power\":\"1.1 kW\",\"phases\":1,\"voltage\":\"230 "
        "V\"}}],\"vessels\":[{\"name\":"
        "\"vessel\",\"at\":\"house\",\"volume\":\"100 L\",\"precharge\":\"200 kPa\"}],\"outlets\":[{\"name\":\"taps\","
        "\"at\":\"house\"}],\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"house\"}],\"settings\":["
        "\"start when time between 23:00 and 23:10\",\"stop when time not between 23:00 and 23:10\"]}";
    kit k;
    (void)state;
    kit_load(&k, json, true);
    pw_run_options options = day_with(PW_FAULT_BACKFLOW, 0.3, 12.0);
    const pw_daybook *book = kit_run(&k, &options);
    print_message("least pressure %.1f Pa\n", book->totals.pressure_min_pa);
    assert_true(pw_abs(book->totals.pressure_min_pa - (1705.0 - 101325.0)) < 20.0);
    kit_close(&k);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_tank_runs_empty),
                                       cmocka_unit_test(a_main_fails),
                                       cmocka_unit_test(an_empty_vessel_holds_vapour),
                                       cmocka_unit_test(a_hole_lets_no_water_in),
                                       cmocka_unit_test(leaks_have_a_reference),
                                       cmocka_unit_test(the_highest_pressure_is_anywhere)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
