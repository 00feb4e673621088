/* What happens in time, against closed forms that are written down here: sensors that err and round, prime that drains,
 * windings and the water of a pump that warm, energy, bores that recover, the moment at which a controller sees.
 * A pump of constant flow (30 L/min) and power (2 kW) fills a vessel of 100 L (Boyle) against a constant draw.
 */
#include <math.h>

#include "run_kit.h"

#define LPM (1e-3 / 60.0)

typedef struct sheet {
    const char *sensor, *draw, *settings, *more; /* "" : as usual */
    const char *needs;                           /* NULL: 10 kPa */
    const char *ends;                            /* NULL: the sensor's range ends at 1000 kPa */
} sheet;

static void load(kit *k, sheet s)
{
    static char json[6000];
    snprintf(
        json, sizeof json,
        "{\"site\":\"closed form\",\"invented\":true,\"altitude\":\"0 m\",\"water\":\"20 degC\",\"places\":["
        "{\"name\":\"dam\",\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"0 m\"}],\"sources\":[{\"name\":"
        "\"dam\",\"at\":\"dam\",\"kind\":\"open\",\"standing water level\":\"1 m\",\"intake\":\"3 m\"}],\"pumps\":"
        "[{\"name\":\"pump\",\"from\":\"dam\",\"to\":\"shed\",\"non-return valve\":true,\"curve\":[{\"flow\":\"0 "
        "L/min\",\"head\":\"300 m\",\"power\":\"2 kW\"},{\"flow\":\"29.9997 L/min\",\"head\":\"250 m\",\"power\":"
        "\"2 kW\"},{\"flow\":\"30.0003 L/min\",\"head\":\"1 m\",\"power\":\"2 kW\"}],\"motor\":{\"power\":\"2.2 "
        "kW\",\"phases\":1,\"voltage\":\"230 V\",\"efficiency\":0.75,\"full-load current\":\"15 A\",\"locked-rotor "
        "current\":\"60 A\",\"starting time\":\"2 s\",\"service factor\":1.15,\"heating time\":\"10 min\",\"cooling "
        "time\":\"30 min\",\"winding rise\":\"60 K\"}}],\"vessels\":[{\"name\":\"vessel\",\"at\":\"shed\","
        "\"volume\":\"100 L\",\"precharge\":\"150 kPa\",\"gas exponent\":1}],\"outlets\":[{\"name\":\"tap\",\"at\":"
        "\"shed\",\"needs\":\"%s\"}],\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\","
        "\"from\":\"0 kPa\",\"to\":\"%s\",%s}],\"demand\":[{\"outlet\":\"tap\",\"flow\":\"%s\",\"for\":\"24 "
        "h\",\"at\":\"00:00\"}],\"settings\":[\"start when pressure below 200 kPa\",\"stop when pressure above "
        "350 kPa\"%s]%s}",
        s.needs != NULL ? s.needs : "10 kPa", s.ends != NULL ? s.ends : "1000 kPa",
        s.sensor[0] != '\0' ? s.sensor : "\"resolution\":\"0 kPa\"", s.draw, s.settings, s.more);
    kit_load(k, json, true);
}

static const sheet usual = {"", "15 L/min", "", "", NULL, NULL};

static pw_daybook *run_s(kit *k, double seconds, pw_fault fault)
{
    pw_run_options options;
    memset(&options, 0, sizeof options);
    options.length_ms = (int64_t)(seconds * 1e3);
    options.entry_capacity = 20000;
    options.faults[0] = fault;
    options.fault_count = fault.kind == PW_FAULT_NONE ? 0 : 1;
    return kit_run(k, &options);
}

static const pw_fault none = {.kind = PW_FAULT_NONE, .where = -1};

/* The n-th entry of a kind, from 0; NULL when there are fewer. */
static const pw_entry *nth(const pw_daybook *book, pw_entry_kind kind, int32_t n)
{
    for (int32_t i = 0; i < book->entry_count; i++) {
        if (book->entries[i].kind == (int16_t)kind && n-- == 0) {
            return &book->entries[i];
        }
    }
    return NULL;
}

/* Boyle: 100 L charged to 150 kPa give this between two pressures. */
static double gives_m3(double on_kpa, double off_kpa)
{
    return 0.1 * 251.325 * (1.0 / (on_kpa + 101.325) - 1.0 / (off_kpa + 101.325));
}

/* From the second start on: falls and runs as between these true pressures. */
static void cycles_between(const char *sensor, double on_kpa, double off_kpa)
{
    kit k;
    sheet s = usual;
    s.sensor = sensor;
    load(&k, s);
    const pw_daybook *book = run_s(&k, 3600.0, none);
    const double time_s = gives_m3(on_kpa, off_kpa) / (15.0 * LPM); /* to fall, and to fill against the draw */
    const pw_entry *stop = nth(book, PW_ENTRY_STOP, 1), *again = nth(book, PW_ENTRY_START, 2);
    assert_non_null(stop);
    assert_non_null(again);
    assert_true(near(stop->a, time_s, 3e-4));
    assert_true(near((double)(again->t_ms - stop->t_ms) * 1e-3, time_s, 3e-4));
    assert_true(near(book->totals.pressure_max_pa, off_kpa * 1e3, 1e-3));
    assert_true(near(book->totals.pressure_min_pa, on_kpa * 1e3, 1e-3));
    kit_close(&k);
}

/* A sensor that reads 10 kPa too much starts and stops at 10 kPa less; one that shows whole 10 kPa passes half way. */
static void sensors_err_and_round(void **state)
{
    (void)state;
    cycles_between("\"resolution\":\"0 kPa\"", 200.0, 350.0);
    cycles_between("\"resolution\":\"0 kPa\",\"error\":\"10 kPa\"", 190.0, 340.0);
    cycles_between("\"resolution\":\"0 kPa\",\"error\":\"-10 kPa\"", 210.0, 360.0);
    cycles_between("\"resolution\":\"10 kPa\"", 195.0, 355.0);
    cycles_between("\"resolution\":\"10 kPa\",\"error\":\"5 kPa\"", 190.0, 350.0);
}

/* The day's rest is 116 s: a pump whose prime drains within 100 s has lost it at the next start, one of 150 s keeps it.
 * A fall takes gives_m3(200, 350) / 15 L/min. */
static void prime_drains(void **state)
{
    (void)state;
    const double rest_s = gives_m3(200.0, 350.0) / (15.0 * LPM);
    const double drains[] = {0.9 * rest_s, 1.1 * rest_s};
    for (int32_t i = 0; i < 2; i++) {
        kit k;
        load(&k, usual);
        const pw_fault fault = {.kind = PW_FAULT_LOST_PRIME, .severity = drains[i], .where = -1};
        const pw_daybook *book = run_s(&k, 1800.0, fault);
        assert_true((nth(book, PW_ENTRY_NO_PRIME, 0) != NULL) == (i == 0));
        kit_close(&k);
    }
}

/* Motor: constant losses 0.36 and load losses 0.64 of the rated ones (best at three quarters of the load); reactive
 * power likewise 0.8 and 0.2. */
static double input_w(double shaft_w)
{
    const double load = shaft_w / 2200.0;
    return shaft_w + (2200.0 / 0.75 - 2200.0) * (0.36 + 0.64 * load * load);
}

static double current_a(double shaft_w)
{
    const double load = shaft_w / 2200.0, rated = 2200.0 / 0.75, apparent = 230.0 * 15.0;
    const double reactive = sqrt(apparent * apparent - rated * rated) * (0.8 + 0.2 * load * load);
    return sqrt(input_w(shaft_w) * input_w(shaft_w) + reactive * reactive) / 230.0;
}

/* Thermal replica (IEC 60255-149): heat towards (I / k I_B)^2, with 10 min while running and 30 min at rest. */
static void windings_warm_and_energy(void **state)
{
    (void)state;
    kit k;
    load(&k, usual);
    const double run = gives_m3(200.0, 350.0) / (15.0 * LPM), rest = run;
    const double settled = pow(current_a(2000.0) / (1.15 * 15.0), 2.0);
    double heat = 0.0, hottest = 0.0;
    const pw_daybook *book = run_s(&k, 3600.0, none);
    int32_t runs = 0;
    while (nth(book, PW_ENTRY_STOP, runs) != NULL) {
        heat = heat * (runs > 0 ? exp(-rest / 1800.0) : 1.0);
        heat += pow(60.0 / (1.15 * 15.0), 2.0) * (1.0 - exp(-2.0 / 600.0)); /* the start */
        heat = settled + (heat - settled) * exp(-run / 600.0);
        hottest = fmax(hottest, heat);
        runs++;
    }
    assert_true(runs > 10);
    assert_true(near(book->totals.winding_max_c - 20.0, 60.0 * 1.15 * 1.15 * hottest, 6e-3));
    assert_true(near(book->totals.energy_j / book->totals.run_s, input_w(2000.0), 1e-4));
    assert_true(near(book->totals.pumped_m3 / book->totals.run_s, 30.0 * LPM, 1e-4));
    assert_true(near(book->totals.delivered_m3, 3600.0 * 15.0 * LPM, 1e-6));
    kit_close(&k);
}

/* Against a shut valve 2 kW go into 2 L of water (998.2 kg/m3, 4184 J/kgK) that give 40 W/K to their surroundings:
 * 20 + 50 (1 - e^(-t / 209 s)) degC. */
static void shut_pump_warms(void **state)
{
    (void)state;
    sheet s = usual;
    s.more = ",\"design\":{\"water in the pump\":\"2 L\",\"heat loss\":40}";
    const double tau = 2e-3 * 998.2 * 4184.0 / 40.0;
    kit k;
    load(&k, s);
    const pw_fault fault = {.kind = PW_FAULT_VALVE_CLOSED, .severity = 0.0, .where = PW_MAX_LINES};
    const pw_entry *start = nth(run_s(&k, 600.0, fault), PW_ENTRY_START, 0);
    assert_non_null(start);
    const double begin_s = (double)start->t_ms * 1e-3;
    for (int32_t i = 1; i <= 3; i++) {
        const pw_daybook *book = run_s(&k, begin_s + 0.7 * i * tau, fault);
        assert_true(near(book->totals.water_max_c - 20.0, 50.0 * (1.0 - exp(-0.7 * i)), 2e-3));
        assert_true(near(book->totals.deadhead_s, 0.7 * i * tau, 1e-3));
        assert_true(book->totals.dry_s == 0.0);
    }
    kit_close(&k);
}

/* A valve nearly shut before the pump of 30 L/min: its loss is 0.01 H0/Qmax^2 (1/o^2 - 1) Q^2, so that against 270 m
 * 0.105 % of opening passes 1 % of the flow and 0.42 % passes 4 %. Below 2 % a pump counts as dead-heading. */
static void dead_heading(void **state)
{
    (void)state;
    static const double open[] = {1.05e-3, 4.2e-3};
    for (int32_t i = 0; i < 2; i++) {
        kit k;
        load(&k, usual);
        const pw_fault fault = {.kind = PW_FAULT_VALVE_CLOSED, .severity = open[i], .where = PW_MAX_LINES};
        const pw_daybook *book = run_s(&k, 900.0, fault);
        const pw_totals *t = &book->totals;
        assert_true(t->run_s > 500.0);
        assert_true(near(t->pumped_m3 / t->run_s / (30.0 * LPM), i == 0 ? 0.01 : 0.04, 0.1));
        assert_true(i == 0 ? near(t->deadhead_s, t->run_s, 1e-6) : t->deadhead_s == 0.0);
        kit_close(&k);
    }
}

/* A sensor whose range ends at 340 kPa never tells of 350: the pump that it should stop runs on, also when something
 * else makes the controller look, as 5 min of running do. */
static void range_of_a_sensor(void **state)
{
    (void)state;
    sheet s = usual;
    kit k;
    s.ends = "340 kPa";
    s.settings = ",\"warn when running for 5 min\"";
    load(&k, s);
    const pw_daybook *book = run_s(&k, 1800.0, none);
    assert_int_equal(book->fired[2], 1);
    assert_non_null(nth(book, PW_ENTRY_START, 0));
    assert_null(nth(book, PW_ENTRY_STOP, 0));
    assert_true(book->totals.pressure_max_pa > 500e3);
    kit_close(&k);
}

/* A tap that needs 500 kPa gets the square root of its share of it: 63 % at 200 kPa, 84 % at 350; under 80 %, which is
 * below 320 kPa, it is short. One that needs 250 kPa never is: 89 % at least. */
static void short_of_water(void **state)
{
    (void)state;
    sheet s = usual;
    kit k;
    s.needs = "500 kPa";
    load(&k, s);
    pw_daybook *book = run_s(&k, 3600.0, none);
    assert_true(book->totals.short_s > 0.6 * 3600.0 && book->totals.short_s < 0.95 * 3600.0);
    assert_true(book->totals.delivered_m3 > 0.64 * book->totals.wanted_m3);
    assert_true(book->totals.delivered_m3 < 0.83 * book->totals.wanted_m3);
    kit_close(&k);
    s.needs = "250 kPa";
    load(&k, s);
    book = run_s(&k, 3600.0, none);
    assert_true(book->totals.short_s == 0.0);
    assert_true(book->totals.delivered_m3 > 0.9 * book->totals.wanted_m3);
    kit_close(&k);
}

/* A watch on the current sees the start in the next millisecond: the pump has run for one. */
static void sees_at_once(void **state)
{
    (void)state;
    sheet s = usual;
    s.settings = ",\"lock out when current above 1 A\"";
    kit k;
    load(&k, s);
    const pw_daybook *book = run_s(&k, 600.0, none);
    const pw_entry *start = nth(book, PW_ENTRY_START, 0), *lock = nth(book, PW_ENTRY_LOCK, 0);
    assert_non_null(start);
    assert_non_null(lock);
    assert_int_equal(lock->t_ms - start->t_ms, 1);
    kit_close(&k);
    s.settings = ",\"lock out when current above 1 A for 7 s\"";
    load(&k, s);
    book = run_s(&k, 600.0, none);
    assert_int_equal(nth(book, PW_ENTRY_LOCK, 0)->t_ms - nth(book, PW_ENTRY_START, 0)->t_ms, 7001);
    kit_close(&k);
}

/* The controller is told the current that the power asks for: above 98 % of it, not above 102 %. */
static void current_is_told(void **state)
{
    (void)state;
    sheet s = usual;
    kit k;
    char settings[200];
    snprintf(settings, sizeof settings, ",\"warn when current above %.3f A\",\"warn when current above %.3f A\"",
             0.98 * current_a(2000.0), 1.02 * current_a(2000.0));
    s.settings = settings;
    load(&k, s);
    const pw_daybook *book = run_s(&k, 600.0, none);
    assert_true(book->fired[2] > 0);
    assert_int_equal(book->fired[3], 0);
    kit_close(&k);
}

/* What is wanted and does not come is missing: the supply is gone, the vessel gives what it holds, and the tap thins by
 * the square root under 10 kPa. */
static void water_is_missed(void **state)
{
    (void)state;
    kit k;
    load(&k, usual);
    const pw_fault fault = {.kind = PW_FAULT_SUPPLY_LOST, .severity = 7200.0, .where = -1};
    const pw_daybook *book = run_s(&k, 3600.0, fault);
    const pw_totals *t = &book->totals;
    assert_true(near(t->wanted_m3, 3600.0 * 15.0 * LPM, 1e-9));
    assert_true(near(t->missing_m3, t->wanted_m3 - t->delivered_m3, 1e-9));
    /* from 275 kPa, in the middle of its settings, down to the charge; the last litre runs out slowly */
    assert_true(near(t->delivered_m3, 0.1 * (1.0 - 251.325 / 376.325), 1e-2));
    kit_close(&k);
}

/* ---- a bore that recovers ---- */

/* Casing of 500 mm, 10 L/min for each metre: tau = area / capacity = 1178 s. Pumped with 30 L/min it falls towards
 * 3 m. */
static void bore_level(const char *error, double stops_m, double starts_m)
{
    static char json[4000];
    kit k;
    snprintf(json, sizeof json,
             "{\"site\":\"bore\",\"invented\":true,\"altitude\":\"0 m\",\"water\":\"20 degC\",\"places\":[{\"name\":"
             "\"well\",\"level\":\"0 m\"},{\"name\":\"pond\",\"level\":\"0 m\"}],\"sources\":[{\"name\":\"bore\","
             "\"at\":\"well\",\"kind\":\"bore\",\"standing water level\":\"10 m\",\"specific capacity\":\"10 L/min per "
             "m\",\"yield\":\"300 L/min\",\"casing\":\"500 mm\",\"intake\":\"30 m\"}],\"pumps\":[{\"name\":\"pump\","
             "\"from\":\"well\",\"to\":\"pond\",\"non-return valve\":true,\"curve\":[{\"flow\":\"0 L/min\",\"head\":"
             "\"300 m\",\"power\":\"2 kW\"},{\"flow\":\"29.9997 L/min\",\"head\":\"250 m\",\"power\":\"2 kW\"},"
             "{\"flow\":\"30.0003 L/min\",\"head\":\"1 m\",\"power\":\"2 kW\"}],\"motor\":{\"power\":\"2.2 kW\","
             "\"phases\":1,\"voltage\":\"230 V\"}}],\"tanks\":[{\"name\":\"pond\",\"at\":\"pond\",\"area\":\"100 "
             "m2\",\"depth\":\"5 m\",\"inlet\":\"5.1 m\",\"starts at\":\"0.5 m\"}],\"outlets\":[{\"name\":\"tap\","
             "\"at\":\"pond\",\"needs\":\"0 kPa\"}],\"sensors\":[{\"name\":\"well level\",\"kind\":\"level\",\"at\":"
             "\"well\",\"resolution\":\"0 m\",\"error\":\"%s\"}],\"settings\":[\"start when level above 19 m\",\"stop "
             "when level below 18 m\"]}",
             error);
    kit_load(&k, json, true);
    const pw_daybook *book = run_s(&k, 1.9 * 3600.0, none);
    const double tau = 0.25 * 3.14159265358979 * 0.25 / (10.0 * LPM);
    const pw_entry *stop = nth(book, PW_ENTRY_STOP, 1), *again = nth(book, PW_ENTRY_START, 2);
    assert_non_null(stop);
    assert_non_null(again);
    assert_true(near((double)(again->t_ms - stop->t_ms) * 1e-3, tau * log(stops_m / starts_m), 3e-4));
    assert_true(near(stop->a, tau * log((3.0 - starts_m) / (3.0 - stops_m)), 1e-3));
    kit_close(&k);
}

static void bores_recover(void **state)
{
    (void)state;
    bore_level("0 m", 2.0, 1.0);
    bore_level("0.25 m", 2.25, 1.25); /* it reads too much: stops later, starts sooner */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sensors_err_and_round),
        cmocka_unit_test(prime_drains),
        cmocka_unit_test(windings_warm_and_energy),
        cmocka_unit_test(shut_pump_warms),
        cmocka_unit_test(dead_heading),
        cmocka_unit_test(short_of_water),
        cmocka_unit_test(range_of_a_sensor),
        cmocka_unit_test(sees_at_once),
        cmocka_unit_test(current_is_told),
        cmocka_unit_test(water_is_missed),
        cmocka_unit_test(bores_recover),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
