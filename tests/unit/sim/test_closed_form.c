/* Simulation against closed-form cases: a pump of constant flow, an isothermal vessel, a constant draw.
 * Source: starts per hour q (Q - q) / (Q V), at most Q / (4 V): MIL-HDBK-1005/9A Eq. (1) and (2), read (copy); drawdown
 * after Boyle.
 */
#include "run_kit.h"

/* 30 L/min from 250 m down to almost nothing: constant to 1 part in 5,000 over the band of pressures. */
static const char *const PLANT =
    "{\"site\":\"closed form\",\"invented\":true,\"altitude\":\"0 m\",\"water\":\"20 degC\","
    "\"places\":[{\"name\":\"dam\",\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"0 m\"}],"
    "\"sources\":[{\"name\":\"dam\",\"at\":\"dam\",\"kind\":\"open\",\"standing water level\":\"0 m\",\"intake\":\"2 "
    "m\"}],"
    "\"pumps\":[{\"name\":\"pump\",\"from\":\"dam\",\"to\":\"shed\",\"non-return valve\":true,\"curve\":["
    "{\"flow\":\"0 L/min\",\"head\":\"300 m\",\"power\":\"2 kW\"},{\"flow\":\"29.9997 L/min\",\"head\":\"250 "
    "m\",\"power\":\"2 kW\"},"
    "{\"flow\":\"30.0003 L/min\",\"head\":\"1 m\",\"power\":\"2 kW\"}],\"motor\":{\"power\":\"2.2 "
    "kW\",\"phases\":1,\"voltage\":\"230 V\"}}],"
    "\"vessels\":[{\"name\":\"vessel\",\"at\":\"shed\",\"volume\":\"100 L\",\"precharge\":\"180 kPa\",\"gas "
    "exponent\":1}],"
    "\"outlets\":[{\"name\":\"tap\",\"at\":\"shed\",\"needs\":\"10 kPa\"}],"
    "\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\",\"from\":\"0 kPa\",\"to\":\"1000 "
    "kPa\",\"resolution\":\"0 kPa\"}],"
    "\"demand\":[{\"outlet\":\"tap\",\"flow\":\"%s\",\"for\":\"24 h\",\"at\":\"00:00\"}],"
    "\"settings\":[\"start when pressure below 200 kPa\",\"stop when pressure above 350 kPa\"]}";

/* Boyle: (precharge + air) (1/(on + air) - 1/(off + air)) of 100 L; reference value V5 computed 0.3103. */
static const double DRAWDOWN_M3 = 0.1 * (180.0 + 101.325) * (1.0 / (200.0 + 101.325) - 1.0 / (350.0 + 101.325));

static pw_daybook *steady(kit *k, const char *draw, double days)
{
    char json[4096];
    pw_run_options options;
    snprintf(json, sizeof json, PLANT, draw);
    kit_load(k, json, true);
    memset(&options, 0, sizeof options);
    options.length_ms = (int64_t)(days * 86400000.0);
    options.entry_capacity = 20000;
    return kit_run(k, &options);
}

/* Time from the first start to the last one, and how many cycles lie between. */
static double period_s(const pw_daybook *book, double *run_s)
{
    int64_t first = -1;
    int64_t last = -1;
    int64_t cycles = -1;
    double sum = 0.0;
    int64_t stops = 0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        const pw_entry *entry = &book->entries[i];
        if (entry->kind == PW_ENTRY_START) {
            first = first < 0 ? entry->t_ms : first;
            last = entry->t_ms;
            cycles++;
        } else if (entry->kind == PW_ENTRY_STOP && cycles >= 1) {
            sum += entry->a;
            stops++;
        }
    }
    assert_true(cycles > 10);
    assert_true(stops > 10);
    *run_s = sum / (double)stops;
    return (double)(last - first) * 1e-3 / (double)cycles;
}

static void check_draw(const char *words, double draw_lpm)
{
    kit k;
    double run_s = 0.0;
    const pw_daybook *book = steady(&k, words, 0.9);
    const double pump = 30.0 / 60000.0;
    const double draw = draw_lpm / 60000.0;
    const double period = period_s(book, &run_s);
    assert_true(near(period, DRAWDOWN_M3 / draw + DRAWDOWN_M3 / (pump - draw), 3e-4));
    assert_true(near(run_s, DRAWDOWN_M3 / (pump - draw), 3e-4));
    const double per_hour = 3600.0 / period;
    assert_true(near(per_hour, 3600.0 * draw * (pump - draw) / (pump * DRAWDOWN_M3), 3e-4));
    assert_true(per_hour <= 3600.0 * pump / (4.0 * DRAWDOWN_M3) * 1.0003);
    assert_true(near(book->totals.balance_m3 + 1.0, 1.0, 1e-9));
    kit_close(&k);
}

static void test_cycles(void **state)
{
    (void)state;
    assert_true(near(DRAWDOWN_M3, 0.03103, 1e-3)); /* reference value V5, middle case: 0.3103 of the vessel's volume */
    check_draw("0.5 L/min", 0.5);
    check_draw("7.5 L/min", 7.5);
    check_draw("15 L/min", 15.0);
    check_draw("22.5 L/min", 22.5);
    check_draw("28 L/min", 28.0);
}

/* Reference value V15: 100 L, 0.5 L/min, 30 L/min: off 62.06 min, on 1.052 min, 0.951 starts/h. */
static void test_reference_cycle(void **state)
{
    kit k;
    double run_s = 0.0;
    (void)state;
    const pw_daybook *book = steady(&k, "0.5 L/min", 0.9);
    const double period = period_s(book, &run_s);
    assert_true(near((period - run_s) / 60.0, 62.06, 1e-3));
    assert_true(near(run_s / 60.0, 1.052, 1e-3));
    assert_true(near(3600.0 / period, 0.951, 1e-3));
    kit_close(&k);
}

/* A draw beyond the pump's flow: one start, no stop, pressure settles where the outlet gets what the pump gives. */
static void test_never_stops(void **state)
{
    kit k;
    (void)state;
    const pw_daybook *book = steady(&k, "40 L/min", 0.9);
    assert_int_equal(book->totals.starts, 1);
    assert_true(book->totals.short_s > 70000.0);
    assert_true(near(book->totals.delivered_m3, 30.0 / 60000.0 * 0.9 * 86400.0, 2e-3));
    kit_close(&k);
}

/* The 1 ms law: the entry's pressure is past the threshold, by less than the pressure moves in a millisecond or so. */
static void test_crossings_are_located(void **state)
{
    kit k;
    (void)state;
    const pw_daybook *book = steady(&k, "7.5 L/min", 0.5);
    int32_t seen = 0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        const pw_entry *entry = &book->entries[i];
        if (entry->kind == PW_ENTRY_START) {
            assert_true(entry->pressure_pa < 200e3 && entry->pressure_pa > 200e3 - 5.0);
            seen++;
        } else if (entry->kind == PW_ENTRY_STOP) {
            assert_true(entry->pressure_pa > 350e3 && entry->pressure_pa < 350e3 + 10.0);
            seen++;
        }
    }
    assert_true(seen > 20);
    kit_close(&k);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_cycles), cmocka_unit_test(test_reference_cycle),
                                       cmocka_unit_test(test_never_stops),
                                       cmocka_unit_test(test_crossings_are_located)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
