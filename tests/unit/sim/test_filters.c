/* Filters that clog and pressure switches: laws against closed forms and published values, days in which they act. */
#include <math.h>

#include "base/num.h"
#include "dam.h"
#include "formula/filter.h"
#include "run_kit.h"
#include "told.h"

#define LPM     (1.0e-3 / 60.0)
#define HOUR_MS 3600000LL
#define DAY_MS  86400000LL

/* A dam, a pump, a main with a filter up to a big tank; a tap beside the pump. */
static const char *const SITE =
    "{\"site\":\"filters\",\"invented\":true,\"altitude\":\"0 m\",\"water\":\"20 degC\","
    "\"supply\":{\"voltage\":\"230 V\",\"phases\":1}," DAM_WATER DAM_PUMP "}}]," DAM_MAIN ",\"open\":%s}],"
    "\"tanks\":[{\"name\":\"tank\",\"at\":\"hill\",\"area\":\"1000 m2\",\"depth\":\"5 m\",\"starts at\":\"1 "
    "m\"}]," DAM_TAP "%s" DAM_DESIGN "}";

static const char *const SETTINGS = "\"settings\":[\"start when level below 4 m\",\"stop when level above 4.5 m\"%s],";
static const char *const SENSORS =
    "\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\"},"
    "{\"name\":\"depth\",\"kind\":\"level\",\"at\":\"hill\"},"
    "{\"name\":\"gauge\",\"kind\":\"filter drop\",\"filter\":\"screen\",\"to\":\"300 kPa\"}],";

static kit k;

static void load(const char *filter, const char *sentence)
{
    static char text[8192], rest[4096], settings[1024];
    snprintf(settings, sizeof settings, SETTINGS, sentence);
    snprintf(rest, sizeof rest,
             "\"filters\":[{\"name\":\"screen\",\"line\":\"main\",\"clean drop\":\"10 kPa\",\"at flow\":\"40 "
             "L/min\"%s}],%s%s",
             filter, SENSORS, settings);
    snprintf(text, sizeof text, SITE, "1", rest);
    kit_load(&k, text, true);
}

static pw_daybook *days(double count)
{
    pw_run_options options = {.length_ms = (int64_t)(count * (double)DAY_MS), .entry_capacity = 1000};
    return kit_run(&k, &options);
}

static int32_t entries(const pw_daybook *book, pw_entry_kind kind, int64_t *first_ms)
{
    int32_t count = 0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        if (book->entries[i].kind == (int16_t)kind) {
            *first_ms = count == 0 ? book->entries[i].t_ms : *first_ms;
            count++;
        }
    }
    return count;
}

/* ---- laws ---- */

/* Idelchik, diagram 8-6, K = 1.3 (1 - f) + (1/f - 1)^2 (form from memory, values worked out by hand from it). */
static void screens(void **state)
{
    (void)state;
    static const double rows[][2] = {{0.7, 0.574}, {0.6, 0.964}, {0.5, 1.650},
                                     {0.4, 3.030}, {0.3, 6.354}, {0.25, 9.975}};
    static const double clogged[][2] = {{0.0, 0.964}, {0.25, 2.209}, {0.5, 6.354}, {0.75, 33.2}, {0.9, 246.7}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        assert_true(near(pw_screen_k(rows[i][0], 0.0), rows[i][1], 1e-3));
    }
    for (size_t i = 0; i < sizeof clogged / sizeof clogged[0]; i++) {
        assert_true(near(pw_screen_k(0.6, clogged[i][0]), clogged[i][1], 1e-3));
    }
}

/* Blocking laws: each is 1 clean and m full; growing is a geometric mean half way, closing a harmonic one of 1/rise. */
static void clogging_laws(void **state)
{
    (void)state;
    for (int32_t c = 0; c < PW_CLOGGINGS; c++) {
        assert_true(near(pw_filter_rise((pw_clogging)c, 5.0, 0.0), 1.0, 1e-12));
        assert_true(near(pw_filter_rise((pw_clogging)c, 5.0, 1.0), 5.0, 1e-12));
        assert_true(pw_filter_rise((pw_clogging)c, 5.0, 1e9) <= PW_FILTER_SHUT);
    }
    assert_true(near(pw_filter_rise(PW_CLOG_STRAIGHT, 5.0, 0.5), 3.0, 1e-12));
    assert_true(near(pw_filter_rise(PW_CLOG_GROWING, 5.0, 0.5), sqrt(5.0), 1e-9));
    assert_true(near(pw_filter_rise(PW_CLOG_CLOSING, 5.0, 0.5), 1.0 / 0.6, 1e-12));
    assert_true(pw_filter_rise(PW_CLOG_CLOSING, 5.0, 1.25) == PW_FILTER_SHUT); /* nothing is open */
    double slope;
    assert_true(near(pw_filter_loss(8.0, 2.0, 2.0, 3.0, &slope), 18.0, 1e-12) && near(slope, 12.0, 1e-12));
    assert_true(near(pw_filter_loss(8.0, 2.0, 1.0, -3.0, &slope), -12.0, 1e-12) && near(slope, 4.0, 1e-12));
    assert_true(near(pw_filter_loss(8.0, 2.0, 1.5, 8.0, &slope), 64.0, 1e-9) && near(slope, 12.0, 1e-9));
}

/* ---- in a site ---- */

/* A screen of 40 % open in a 40 mm line at 40 L/min: v = 0.5305 m/s, K = 1.3 x 0.6 + 1.5^2 = 3.03; 426 Pa. */
static void a_screen_by_its_open_part(void **state)
{
    (void)state;
    static char text[8192], rest[4096], settings[1024];
    snprintf(settings, sizeof settings, SETTINGS, "");
    snprintf(rest, sizeof rest,
             "\"filters\":[{\"name\":\"screen\",\"line\":\"main\",\"open part\":0.4,\"at flow\":\"40 L/min\"}],%s%s",
             SENSORS, settings);
    snprintf(text, sizeof text, SITE, "1", rest);
    kit_load(&k, text, true);
    const double v = 40.0 * LPM / (3.14159265358979 * 0.02 * 0.02);
    assert_true(near(k.site->filters[0].clean_pa.v, 3.03 * 500.0 * v * v, 1e-9));
    kit_close(&k);
}

static pw_moment pumping(double factor)
{
    static pw_moment moment;
    pw_condition c;
    double state[PW_MAX_STATES];
    pw_drive drive = {0};
    drive.speed[0] = 1.0;
    pw_condition_healthy(k.plant->model, &c);
    c.filter_clogged[0] = factor;
    pw_model_start(k.plant->model, 0.0, state);
    pw_model_settle(k.plant->model, &c, &drive, state, pw_warm_new(&k.arena, k.plant->model), NULL);
    pw_warm *warm = pw_warm_new(&k.arena, k.plant->model);
    assert_int_equal(pw_model_moment(k.plant->model, &c, &drive, state, warm, &moment, NULL), PW_OK);
    return moment;
}

/* Pressure in front of the main = static + friction + drop of the filter; the friction is that without a filter. */
static void a_filter_takes_what_its_sheet_says(void **state)
{
    (void)state;
    load("", "");
    const pw_moment clean = pumping(1.0), dirty = pumping(20.0);
    const double ratio = clean.line_m3s[0] / (40.0 * LPM);
    pw_condition c;
    pw_condition_healthy(k.plant->model, &c);
    assert_true(near(pw_model_filter_pa(k.plant->model, &c, 0, clean.line_m3s[0]), 10e3 * ratio * ratio, 1e-12));
    assert_true(dirty.line_m3s[0] < 0.85 * clean.line_m3s[0] && dirty.place_pa[1] > clean.place_pa[1]);
    c.filter_clogged[0] = 20.0;
    const double dirtier_pa = pw_model_filter_pa(k.plant->model, &c, 0, dirty.line_m3s[0]);
    const double friction_pa = dirty.place_pa[1] - dirtier_pa - 25.0 * pw_model_pa_per_m(k.plant->model);
    const double clean_friction_pa =
        clean.place_pa[1] - 10e3 * ratio * ratio - 25.0 * pw_model_pa_per_m(k.plant->model);
    assert_true(friction_pa > 0.0 && friction_pa < clean_friction_pa); /* less water, less friction */
    /* smooth pipe: between Blasius' 1.75 and the square */
    const double power = log(friction_pa / clean_friction_pa) / log(dirty.line_m3s[0] / clean.line_m3s[0]);
    assert_true(power > 1.7 && power < 2.0);
    kit_close(&k);
}

/* Straight: 10 kPa clean, 110 kPa after 50 m3, both at 40 L/min. */
static void it_clogs_by_the_water_that_passes(void **state)
{
    (void)state;
    load(",\"full drop\":\"110 kPa\",\"full after\":\"50 m3\",\"passed\":\"5 m3\"",
         ",\"warn when filter drop above 100 kPa\"");
    pw_run_options options = {
        .length_ms = 2 * DAY_MS, .entry_capacity = 1000, .sample_ms = 60000, .sample_capacity = 4000};
    const pw_daybook *book = kit_run(&k, &options);
    int64_t warned_ms = 0;
    assert_int_equal(entries(book, PW_ENTRY_WARN, &warned_ms), 1);
    /* by hand: so much water passed since 5 m3 that 10 kPa (1 + 10 x) (q / 40 L/min)^2 = 100 kPa */
    assert_true(warned_ms > HOUR_MS && warned_ms < 2 * DAY_MS);
    pw_run_options until = {.length_ms = warned_ms};
    pw_run_options beyond = {.length_ms = warned_ms + 1000};
    const double passed = kit_run(&k, &until)->totals.pumped_m3;
    const double flow = kit_run(&k, &beyond)->totals.pumped_m3 - passed; /* in a second */
    const double x = (5.0 + passed) / 50.0, part = flow / (40.0 * LPM);
    assert_true(fabs(10e3 * (1.0 + 10.0 * x) * part * part - 100e3) < 1100.0); /* a hundredth more or less */
    kit_close(&k);
}

static void it_is_cleaned(void **state)
{
    (void)state;
    load(",\"full drop\":\"110 kPa\",\"full after\":\"50 m3\",\"cleaned every\":\"1 d\",\"cleaned at\":\"07:00\"", "");
    int64_t first_ms = 0;
    const pw_daybook *book = days(4.0);
    assert_int_equal(entries(book, PW_ENTRY_CLEANED, &first_ms), 3);
    assert_int_equal(first_ms, DAY_MS + 7 * HOUR_MS);
    const double cleaned_m3 = book->totals.pumped_m3;
    kit_close(&k);
    load(",\"full drop\":\"110 kPa\",\"full after\":\"50 m3\"", "");
    const double left_m3 = days(4.0)->totals.pumped_m3;
    assert_true(cleaned_m3 > 1.05 * left_m3);
    kit_close(&k);
    load("", "");
    assert_true(days(4.0)->totals.pumped_m3 > cleaned_m3); /* one that stays as it is */
    kit_close(&k);
}

/* A tap that takes less than the pump gives, a vessel: the pump cycles between what the switch is set to. */
static void load_switch(const char *more, const char *closes, const char *opens)
{
    static char text[8192], rest[4096];
    const bool falls = strcmp(closes, opens) < 0;
    snprintf(
        rest, sizeof rest,
        "\"vessels\":[{\"name\":\"vessel\",\"at\":\"shed\",\"volume\":\"100 L\",\"precharge\":\"180 kPa\",\"gas "
        "exponent\":1}],\"demand\":[{\"outlet\":\"tap\",\"flow\":\"10 L/min\",\"for\":\"24 h\",\"at\":\"00:00\"}],"
        "\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\"},"
        "{\"name\":\"box\",\"kind\":\"pressure switch\",\"at\":\"shed\",\"closes at\":\"%s\",\"opens at\":\"%s\"%s}],"
        "\"settings\":[\"start when contact box %s\",\"stop when contact box %s\"],",
        closes, opens, more, falls ? "closed" : "open", falls ? "open" : "closed");
    snprintf(text, sizeof text, SITE, "0", rest);
    kit_load(&k, text, true);
}

/* Pressures at which the pump started last and stopped first. */
static void cycle(double *starts_pa, double *stops_pa)
{
    const pw_daybook *book = days(0.25);
    *starts_pa = -1.0;
    *stops_pa = -1.0;
    for (int32_t i = book->entry_count - 1; i >= 0; i--) {
        *starts_pa =
            book->entries[i].kind == PW_ENTRY_START && *starts_pa < 0.0 ? book->entries[i].pressure_pa : *starts_pa;
        *stops_pa = book->entries[i].kind == PW_ENTRY_STOP ? book->entries[i].pressure_pa : *stops_pa;
    }
    kit_close(&k);
}

static void a_switch_closes_and_opens_where_it_is_set(void **state)
{
    (void)state;
    double starts_pa, stops_pa;
    load_switch("", "200 kPa", "300 kPa");
    cycle(&starts_pa, &stops_pa);
    assert_true(near(starts_pa, 200e3, 1e-3) && near(stops_pa, 300e3, 1e-3));
    load_switch(",\"error\":\"15 kPa\"", "200 kPa", "300 kPa");
    cycle(&starts_pa, &stops_pa);
    assert_true(near(starts_pa, 215e3, 1e-3) && near(stops_pa, 315e3, 1e-3));
    load_switch(",\"height\":\"2 m\"", "200 kPa", "300 kPa"); /* it feels 2 m of water less: 19.58 kPa */
    cycle(&starts_pa, &stops_pa);
    assert_true(near(starts_pa, 219.58e3, 1e-3) && near(stops_pa, 319.58e3, 1e-3));
}

/* Set the other way round it closes as the pressure rises: the pump runs while it is open. */
static void a_switch_that_closes_on_rising_pressure(void **state)
{
    (void)state;
    double starts_pa, stops_pa;
    load_switch("", "320 kPa", "210 kPa");
    cycle(&starts_pa, &stops_pa);
    assert_true(near(stops_pa, 320e3, 1e-3));
}

/* The pressures that the pump works between are what its switch is set to, whichever way round; they are felt where it
 * hangs. */
static void the_pump_works_between_what_its_switch_is_set_to(void **state)
{
    (void)state;
    static const char *const ways[2][2] = {{"200 kPa", "300 kPa"}, {"300 kPa", "200 kPa"}};
    for (int32_t i = 0; i < 2; i++) {
        load_switch(",\"height\":\"2 m\"", ways[i][0], ways[i][1]);
        assert_true(k.plant->cut_in_pa == 200e3 && k.plant->cut_out_pa == 300e3);
        pw_acts_at acts;
        assert_true(pw_plant_acts_at(k.plant, PW_SENTENCE_STOP, 0, &acts));
        assert_int_equal(acts.sentence, 1);
        assert_int_equal(acts.sensor, 1);
        assert_true(acts.pa == 300e3);
        const double shed_m = k.site->places[k.site->sensors[1].place].level_m.v;
        assert_true(near(pw_plant_acts_m(k.plant, &acts), shed_m + 2.0, 1e-12));
        assert_false(pw_plant_acts_at(k.plant, PW_SENTENCE_LOCK, -1, &acts));
        kit_close(&k);
    }
}

static void faults_of_a_switch(void **state)
{
    (void)state;
    pw_run_options options = {.length_ms = DAY_MS, .entry_capacity = 1000, .fault_count = 1};
    load_switch("", "200 kPa", "300 kPa");
    const int64_t well = days(1.0)->totals.starts;
    assert_true(well > 20);
    options.faults[0] = (pw_fault){.kind = PW_FAULT_SWITCH_OPEN, .where = -1, .onset_ms = DAY_MS / 2};
    const pw_totals open = kit_run(&k, &options)->totals;
    assert_true(open.starts < well && open.missing_m3 > 1.0);
    options.faults[0].kind = PW_FAULT_SWITCH_CLOSED;
    const pw_totals closed = kit_run(&k, &options)->totals;
    assert_true(closed.longest_run_s > 0.45 * 86400.0 && closed.pressure_max_pa > 400e3);
    options.faults[0] = (pw_fault){.kind = PW_FAULT_SWITCH_DRIFTS, .severity = 50e3, .where = -1, .onset_ms = 0};
    options.length_ms = 12 * DAY_MS;
    assert_true(near(kit_run(&k, &options)->totals.pressure_max_pa, 350e3, 2e-3));
    kit_close(&k);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(screens),
        cmocka_unit_test(clogging_laws),
        cmocka_unit_test(a_screen_by_its_open_part),
        cmocka_unit_test(a_filter_takes_what_its_sheet_says),
        cmocka_unit_test(it_clogs_by_the_water_that_passes),
        cmocka_unit_test(it_is_cleaned),
        cmocka_unit_test(a_switch_closes_and_opens_where_it_is_set),
        cmocka_unit_test(a_switch_that_closes_on_rising_pressure),
        cmocka_unit_test(the_pump_works_between_what_its_switch_is_set_to),
        cmocka_unit_test(faults_of_a_switch),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
