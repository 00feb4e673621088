/* The supply through the day: courses against closed forms, what motors make of their voltage, and pumps that turn as
 * fast as the sun lets them. */
#include <math.h>

#include "base/num.h"
#include "dam.h"
#include "element/supply.h"
#include "formula/supply.h"
#include "run_kit.h"
#include "told.h"

#define LPM     (1.0e-3 / 60.0)
#define HOUR_MS 3600000LL
#define DAY_S   86400.0

/* A dam, a pump at its edge, a tank on a hill; the supply and the settings are put in. */
static const char *const SITE =
    "{\"site\":\"supply\",\"invented\":true,\"altitude\":\"0 m\",\"water\":\"20 degC\",\"supply\":%s," DAM_WATER
        DAM_PUMP ",\"phases\":%s,\"starting time\":\"1 s\"}}]," DAM_MAIN "}],"
    "\"tanks\":[{\"name\":\"tank\",\"at\":\"hill\",\"area\":\"100 m2\",\"depth\":\"5 m\",\"starts at\":\"1 "
    "m\"}]," DAM_TAP "\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\"},"
    "{\"name\":\"depth\",\"kind\":\"level\",\"at\":\"hill\"}],"
    "\"settings\":[\"start when level below 4 m\",\"stop when level above 4.5 m\"%s]," DAM_DESIGN "}";

static kit k;

static void load(const char *supply, const char *phases, const char *settings)
{
    static char text[8192];
    snprintf(text, sizeof text, SITE, supply, phases, settings);
    kit_load(&k, text, true);
}

/* ---- courses ---- */

/* Each part of a straight stretch is the mean of the line over it, and none changes by more than a step. */
static void straight_courses_are_followed_in_small_parts(void **state)
{
    (void)state;
    load("{\"voltage\":\"230 V\",\"phases\":1,\"course\":[{\"at\":\"06:00\",\"voltage\":\"230 V\"},"
         "{\"at\":\"12:00\",\"voltage\":\"207 V\"}]}",
         "1", "");
    int64_t t = 0;
    int32_t parts = 0;
    double integral = 0.0;
    while (t < 24 * HOUR_MS) {
        const int64_t next = pw_supply_next_ms(k.site, t);
        const int64_t end = next < 24 * HOUR_MS ? next : 24 * HOUR_MS;
        const double part = pw_supply_part(k.site, t), middle = 0.5 * (double)(t + next) / (double)HOUR_MS;
        const double line = middle >= 6.0 && middle <= 12.0 ? 230.0 - 23.0 * (middle - 6.0) / 6.0
                                                            : 207.0 + 23.0 * fmod(middle + 12.0, 24.0) / 18.0;
        assert_true(next > t);
        assert_true(pw_supply_part(k.site, next - 1) == part); /* it holds until then */
        assert_true(fabs(pw_supply_part(k.site, next) - part) <= 1.0001 * PW_SUPPLY_STEP);
        if (t > 0 && next < 24 * HOUR_MS) { /* whole parts */
            assert_true(fabs(part * 230.0 - line) < 1e-3);
        }
        integral += part * (double)(end - t);
        t = next;
        parts++;
    }
    assert_true(parts >= 100 && parts <= 102);                          /* a tenth each way, by a five-hundredth */
    assert_true(near(integral / (24.0 * (double)HOUR_MS), 0.95, 1e-5)); /* mean of two straight lines */
    kit_close(&k);
}

static void steps_hold_until_the_next_point(void **state)
{
    (void)state;
    load("{\"voltage\":\"230 V\",\"phases\":1,\"steps\":true,\"course\":[{\"at\":\"06:00\",\"voltage\":\"230 V\"},"
         "{\"at\":\"18:00\",\"voltage\":\"200 V\"}]}",
         "1", "");
    assert_true(near(pw_supply_part(k.site, 0), 200.0 / 230.0, 1e-12)); /* since yesterday evening */
    assert_int_equal(pw_supply_next_ms(k.site, 0), 6 * HOUR_MS);
    assert_true(pw_supply_part(k.site, 6 * HOUR_MS - 1) < 0.9 && pw_supply_part(k.site, 6 * HOUR_MS) == 1.0);
    assert_int_equal(pw_supply_next_ms(k.site, 6 * HOUR_MS), 18 * HOUR_MS);
    assert_int_equal(pw_supply_next_ms(k.site, 18 * HOUR_MS), 30 * HOUR_MS);
    kit_close(&k);
}

static void a_steady_supply_has_no_events(void **state)
{
    (void)state;
    load("{\"voltage\":\"230 V\",\"phases\":1}", "1", "");
    assert_true(pw_supply_part(k.site, 12345) == 1.0);
    assert_true(pw_supply_next_ms(k.site, 0) == INT64_MAX);
    assert_true(pw_supply_power_w(k.site, 0) == PW_INF);
    kit_close(&k);
}

/* ---- voltage in a simulation ---- */

static pw_daybook *days(double seconds)
{
    pw_run_options options = {.length_ms = (int64_t)(seconds * 1e3), .entry_capacity = 1000};
    return kit_run(&k, &options);
}

static const pw_entry *entry_of(const pw_daybook *book, pw_entry_kind kind)
{
    for (int32_t i = 0; i < book->entry_count; i++) {
        if (book->entries[i].kind == (int16_t)kind) {
            return &book->entries[i];
        }
    }
    return NULL;
}

/* From 230 V at 06:00 straight down to 170 V at 12:00: below 200 V after half the way, 09:00; 30 s later it locks. */
static void a_watch_of_the_supply_sees_its_course(void **state)
{
    (void)state;
    load("{\"voltage\":\"230 V\",\"phases\":1,\"course\":[{\"at\":\"00:00\",\"voltage\":\"230 V\"},"
         "{\"at\":\"06:00\",\"voltage\":\"230 V\"},{\"at\":\"12:00\",\"voltage\":\"170 V\"},"
         "{\"at\":\"18:00\",\"voltage\":\"230 V\"}]}",
         "1", ",\"lock out when supply below 200 V for 30 s\"");
    const pw_daybook *book = days(DAY_S);
    const pw_entry *lock = entry_of(book, PW_ENTRY_LOCK);
    assert_non_null(lock);
    const double part_s = 6.0 * 3600.0 / (60.0 / (PW_SUPPLY_STEP * 230.0)); /* how long one step holds */
    assert_true(fabs((double)lock->t_ms * 1e-3 - 9.0 * 3600.0 - 30.0) <= part_s);
    kit_close(&k);
}

/* Pull-out 2.4 times the rated torque falls with the square of the voltage: at 0.645 of it the motor stands still. What
 * a standing motor needs to start is more: 1.5 v^2 > 0.3, v > 0.447, but it must carry its load, too. */
static void a_motor_stalls_and_starts_again_by_its_voltage(void **state)
{
    (void)state;
    load("{\"voltage\":\"230 V\",\"phases\":1,\"steps\":true,\"course\":[{\"at\":\"00:00\",\"voltage\":\"230 V\"},"
         "{\"at\":\"02:00\",\"voltage\":\"150 V\"},{\"at\":\"03:00\",\"voltage\":\"140 V\"},"
         "{\"at\":\"03:01\",\"voltage\":\"200 V\"}]}",
         "1", "");
    const pw_daybook *book = days(4.0 * 3600.0);
    const pw_entry *stall = entry_of(book, PW_ENTRY_STALL);
    assert_non_null(stall);
    assert_int_equal(stall->t_ms, 3 * HOUR_MS); /* 140 V: 0.609; not at 150 V: 0.652 */
    /* on 0.87 of its voltage it is up 1.2/(1.5 0.756 - 0.3) = 1.44 s later, and pumps on */
    assert_true(book->totals.pumped_m3 > 0.0);
    kit_close(&k);
}

/* A weak supply all day is that fault all day: the same water to the last digit. */
static void a_low_course_is_a_brown_out(void **state)
{
    (void)state;
    load("{\"voltage\":\"230 V\",\"phases\":1,\"course\":[{\"at\":\"00:00\",\"voltage\":\"207 V\"}]}", "1", "");
    const double low_m3 = days(3600.0)->totals.pumped_m3;
    kit_close(&k);
    load("{\"voltage\":\"230 V\",\"phases\":1}", "1", "");
    const double full_m3 = days(3600.0)->totals.pumped_m3;
    pw_fault fault = {.kind = PW_FAULT_BROWN_OUT, .severity = 0.9, .where = -1, .onset_ms = 0};
    pw_run_options options = {.length_ms = HOUR_MS, .fault_count = 1};
    options.faults[0] = fault;
    assert_true(near(kit_run(&k, &options)->totals.pumped_m3, low_m3, 1e-9));
    assert_true(low_m3 < 0.999 * full_m3);
    kit_close(&k);
    /* and both together multiply: 0.9 of 0.8 is 0.72 */
    load("{\"voltage\":\"230 V\",\"phases\":1,\"course\":[{\"at\":\"00:00\",\"voltage\":\"184 V\"}]}", "1", "");
    pw_condition c;
    pw_condition_healthy(k.plant->model, &c);
    pw_supply_impose(k.plant->model, 0, &c);
    pw_fault_apply(k.plant->model, &fault, 1.0, 275e3, &c);
    assert_true(near(c.supply, 0.72, 1e-12));
    assert_true(near(c.pump_speed[0], (1.0 - 0.05 / (0.72 * 0.72)) / 0.95, 1e-12));
    kit_close(&k);
}

/* ---- the sun ---- */

static const char *const SUN = "{\"voltage\":\"230 V\",\"phases\":1,\"solar\":{\"least power\":\"100 W\",\"day\":["
                               "{\"at\":\"06:00\",\"power\":\"0 W\"},{\"at\":\"12:00\",\"power\":\"1200 W\"},"
                               "{\"at\":\"18:00\",\"power\":\"0 W\"}]}}";

static pw_moment pumping(double power_w, double open)
{
    static pw_moment moment;
    pw_condition c;
    double state[PW_MAX_STATES];
    pw_drive drive = {0};
    drive.speed[0] = 1.0;
    pw_condition_healthy(k.plant->model, &c);
    c.power_w = power_w;
    c.pump_open[0] = open;
    pw_model_start(k.plant->model, 0.0, state);
    pw_warm *warm = pw_warm_new(&k.arena, k.plant->model);
    assert_int_equal(pw_model_moment(k.plant->model, &c, &drive, state, warm, &moment, NULL), PW_OK);
    return moment;
}

/* What is there is what is taken; with enough of it the pump turns at its full speed, and with nothing not at all. */
static void pumps_take_the_power_that_is_there(void **state)
{
    (void)state;
    load(SUN, "1", "");
    const pw_moment full = pumping(PW_INF, 1.0);
    double before = full.pump_m3s[0];
    assert_true(full.driven == 1.0 && full.input_w[0] > 1000.0);
    assert_true(near(pumping(1.01 * full.input_w[0], 1.0).pump_m3s[0], full.pump_m3s[0], 1e-9));
    for (double part = 0.9; part > 0.15; part -= 0.1) {
        const pw_moment m = pumping(part * full.input_w[0], 1.0);
        assert_true(near(m.input_w[0], part * full.input_w[0], 1e-8));
        assert_true(m.pump_m3s[0] < before && m.driven < 1.0);
        before = m.pump_m3s[0];
    }
    assert_true(pumping(0.0, 1.0).input_w[0] == 0.0 && pumping(0.0, 1.0).pump_m3s[0] <= 1e-9);
    kit_close(&k);
}

/* Against a shut valve the affinity laws are all there is: shaft power P0 s^3, and a motor on voltage by frequency
 * whose losses are L (0.36 s^2 + 0.64 (P0/Pr)^2 s^4). */
static void shut_in_the_affinity_laws_give_the_speed(void **state)
{
    (void)state;
    load(SUN, "1", "");
    const pw_motor_data *motor = pw_model_motor(k.plant->model, 0);
    const double losses_w = motor->power_w / motor->efficiency - motor->power_w, load = 700.0 / motor->power_w;
    for (double s = 0.3; s < 0.95; s += 0.2) {
        const double input_w = 700.0 * s * s * s + losses_w * s * s * (0.36 + 0.64 * load * load * s * s);
        const pw_moment m = pumping(input_w, 0.0);
        assert_true(near(m.driven, s, 1e-6));
        assert_true(near(m.shaft_w[0], 700.0 * s * s * s, 1e-5));
    }
    kit_close(&k);
}

/* Least power 100 W of 1,200 W on straight sides: from 06:30 to 17:30. Energy: nothing more than the day gave. */
static void a_day_of_sun(void **state)
{
    (void)state;
    load(SUN, "1", "");
    assert_true(pw_supply_power_w(k.site, 6 * HOUR_MS + 25 * 60000) == 0.0);
    assert_true(pw_supply_power_w(k.site, 6 * HOUR_MS + 36 * 60000) >= 100.0);
    assert_true(pw_supply_power_w(k.site, 0) == 0.0);
    const pw_daybook *book = days(DAY_S);
    const double given_j = 1200.0 * 6.0 * 3600.0;
    assert_true(book->totals.energy_j < given_j && book->totals.energy_j > 0.9 * given_j);
    assert_int_equal(book->totals.starts, 1);
    assert_true(book->totals.deadhead_s == 0.0);                     /* weak sun is no shut valve */
    assert_true(pw_abs(book->totals.run_s - 11.0 * 3600.0) < 600.0); /* called all day, it stands at night */
    assert_true(pw_abs(book->totals.longest_run_s - book->totals.run_s) < 1.0);
    assert_null(entry_of(book, PW_ENTRY_STALL));
    kit_close(&k);
}

/* ---- generator ---- */

/* ISO 8528-5, frequency droop of classes G1, G2 and G3: 8, 5 and 3 % (from memory), so 54, 52.5 and 51.5 Hz at no load
 * of a 50 Hz set and 50 Hz at its rating. The voltage divider is that of pw_generator_start_va, turned round. */
static void laws_of_a_generator(void **state)
{
    (void)state;
    static const double droops[][2] = {{0.08, 54.0}, {0.05, 52.5}, {0.03, 51.5}};
    for (size_t i = 0; i < 3; i++) {
        assert_true(near(50.0 * pw_generator_frequency(0.0, droops[i][0]), droops[i][1], 1e-12));
        assert_true(pw_generator_frequency(1.0, droops[i][0]) == 1.0);
    }
    for (double dip = 0.1; dip < 0.5; dip += 0.1) { /* G1 25 %, G2 20 %, G3 15 % are what ISO 8528-5 lets it dip */
        const double rating = pw_generator_start_va(7000.0, 0.2, dip);
        assert_true(near(pw_generator_start_part(7000.0, rating, 0.2), 1.0 - dip, 1e-12));
    }
    assert_true(pw_generator_volts(0.97) == 1.0 && near(pw_generator_volts(0.76), 0.8, 1e-12));
    assert_true(near(pw_generator_most(0.9), 0.99, 1e-12));
}

static const char *const SET = "{\"voltage\":\"230 V\",\"phases\":1,\"generator\":{\"rating\":%s,\"power\":\"%s\"}}";

static void load_set(const char *rating, const char *power, const char *settings)
{
    static char supply[512];
    snprintf(supply, sizeof supply, SET, rating, power);
    load(supply, "1", settings);
}

static void a_generator_droops_and_is_overloaded(void **state)
{
    (void)state;
    load_set("6000", "4.8 kW", "");
    const pw_moment easy = pumping(PW_INF, 1.0);
    assert_true(near(easy.frequency, 1.0 + 0.05 * (1.0 - easy.input_w[0] / 4800.0), 1e-9));
    assert_true(easy.supply == 1.0);
    kit_close(&k);
    load_set("6000", "900 W", "");
    const pw_moment hard = pumping(PW_INF, 1.0);
    assert_true(near(hard.input_w[0], 1.1 * hard.frequency * 900.0, 1e-8)); /* full fuel: torque is what it has */
    assert_true(hard.frequency < 1.0 && hard.pump_m3s[0] < easy.pump_m3s[0]);
    kit_close(&k);
}

/* The motor's starting power is 230 V times its locked-rotor current. With X' 0.2 the voltage keeps 1 / (1 + 0.2 S/Sr);
 * below 0.447 nothing starts, and stalling of what runs begins at 0.645. */
static void a_small_generator_does_not_start_it(void **state)
{
    (void)state;
    load_set("6000", "4.8 kW", ",\"warn when supply below 200 V\"");
    const pw_motor_data *motor = pw_model_motor(k.plant->model, 0);
    const double part = 1.0 / (1.0 + 0.2 * 230.0 * motor->locked_rotor_a / 6000.0);
    pw_condition c;
    pw_condition_healthy(k.plant->model, &c);
    assert_true(near(pw_supply_start_part(k.plant->model, &c, 0), part, 1e-12));
    const pw_daybook *book = days(600.0);
    assert_null(entry_of(book, PW_ENTRY_STALL));
    const pw_entry *warned = entry_of(book, PW_ENTRY_WARN);
    assert_true(part * 230.0 < 200.0 ? warned != NULL && warned->t_ms < 2000 : warned == NULL);
    kit_close(&k);
    load_set("900", "700 W", ",\"warn when supply below 110 V\"");
    bool asked = false; /* the sheet's own check says so */
    for (int32_t i = 0; i < k.problems.count; i++) {
        asked = asked || strstr(k.problems.items[i].path, "supply.generator.rating") != NULL;
    }
    assert_true(asked);
    book = days(600.0);
    assert_non_null(entry_of(book, PW_ENTRY_STALL));
    assert_non_null(entry_of(book, PW_ENTRY_WARN)); /* it stands at its starting current: the watch sees that */
    assert_true(book->totals.pumped_m3 < 1e-6 && book->totals.run_s > 590.0);
    assert_true(book->totals.deadhead_s == 0.0); /* what does not turn works against nothing */
    kit_close(&k);
}

/* ---- battery ---- */

static const char *const CELLS =
    "{\"voltage\":\"230 V\",\"phases\":\"DC\",\"battery\":{\"full\":\"250 V\",\"empty\":\"220 V\",\"resistance\":2,"
    "\"capacity\":10,\"charge\":\"90 %%\"}%s}";

static void load_cells(const char *more, const char *settings)
{
    static char supply[1024];
    snprintf(supply, sizeof supply, CELLS, more);
    load(supply, "\"DC\"", settings);
}

/* Ohm: E = 220 + 0.9 30 = 247 V, V = E - R I and V I is what the pump takes at the speed that V gives it. */
static void a_battery_gives_way_by_its_resistance(void **state)
{
    (void)state;
    assert_true(near(pw_battery_v(220.0, 250.0, 0.9), 247.0, 1e-12));
    assert_true(near(pw_battery_a(25.0, 0.5, 300.0), 20.0, 1e-12)); /* 15 V x 20 A, 25 V - 0.5 x 20 */
    assert_true(near(pw_battery_w(25.0, 0.5, 15.0), 300.0, 1e-12));
    load_cells("", "");
    pw_condition c;
    pw_condition_healthy(k.plant->model, &c);
    c.charge = 0.9;
    double at[PW_MAX_STATES];
    pw_drive drive = {0};
    static pw_moment m;
    drive.speed[0] = 1.0;
    pw_model_start(k.plant->model, 0.0, at);
    assert_int_equal(pw_model_moment(k.plant->model, &c, &drive, at, pw_warm_new(&k.arena, k.plant->model), &m, NULL),
                     PW_OK);
    const double volts = 230.0 * m.supply;
    assert_true(near(volts, 247.0 - 2.0 * m.battery_a, 1e-9));
    assert_true(near(volts * m.battery_a, m.input_w[0], 1e-7));
    assert_true(near(m.current_a[0], m.battery_a, 0.2)); /* as far as its nameplate fits */
    drive.speed[0] = 0.0;
    assert_int_equal(pw_model_moment(k.plant->model, &c, &drive, at, pw_warm_new(&k.arena, k.plant->model), &m, NULL),
                     PW_OK);
    assert_true(near(230.0 * m.supply, 247.0, 1e-12) && m.battery_a == 0.0);
    kit_close(&k);
}

/* 9 Ah at some 5 A are gone within two hours; the settings see the voltage fall, and panels fill it again. */
static void a_battery_runs_down_and_is_charged(void **state)
{
    (void)state;
    load_cells("", ",\"lock out when supply below 212 V for 5 s\"");
    const pw_daybook *book = days(6.0 * 3600.0);
    const pw_entry *lock = entry_of(book, PW_ENTRY_LOCK);
    assert_non_null(lock);
    const double given_as = 0.9 * 10.0 * 3600.0;
    const double mean_a = book->totals.energy_j / 230.0 / ((double)lock->t_ms * 1e-3);
    assert_true((double)lock->t_ms * 1e-3 * mean_a < 1.05 * given_as && lock->t_ms > 10 * 60000);
    kit_close(&k);
    load_cells(",\"solar\":{\"day\":[{\"at\":\"00:00\",\"power\":\"3000 W\"},{\"at\":\"12:00\",\"power\":\"3000 W\"}]}",
               ",\"lock out when supply below 212 V for 5 s\"");
    book = days(6.0 * 3600.0);
    assert_null(entry_of(book, PW_ENTRY_LOCK)); /* 3 kW go in, some 1.2 kW come out */
    kit_close(&k);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(straight_courses_are_followed_in_small_parts),
        cmocka_unit_test(steps_hold_until_the_next_point),
        cmocka_unit_test(a_steady_supply_has_no_events),
        cmocka_unit_test(a_watch_of_the_supply_sees_its_course),
        cmocka_unit_test(a_motor_stalls_and_starts_again_by_its_voltage),
        cmocka_unit_test(a_low_course_is_a_brown_out),
        cmocka_unit_test(pumps_take_the_power_that_is_there),
        cmocka_unit_test(shut_in_the_affinity_laws_give_the_speed),
        cmocka_unit_test(a_day_of_sun),
        cmocka_unit_test(laws_of_a_generator),
        cmocka_unit_test(a_generator_droops_and_is_overloaded),
        cmocka_unit_test(a_small_generator_does_not_start_it),
        cmocka_unit_test(a_battery_gives_way_by_its_resistance),
        cmocka_unit_test(a_battery_runs_down_and_is_charged),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
