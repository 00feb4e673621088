/* What check, duty and sizing say of several pumps, vessels and outlets: each judged at the pressures of its own
 * sentences. Expected values are reckoned here: Q/(4V) with the gas law for the starts of a vessel, depth times weight
 * for a trough, PN of ISO 4427 (SDR 17: 10 bar) for a pipe.
 */
#include "farm.h"

#include "study/advise.h"
#include "study/size_doubts.h"

#define TANK_HEAD                                                                                                 \
    "{\"site\":\"Farm\",\"invented\":true,\"places\":[{\"name\":\"tank\",\"level\":\"0 m\"},{\"name\":\"house\"," \
    "\"level\":\"0 m\"},{\"name\":\"trough\",\"level\":\"2 m\"},{\"name\":\"street\",\"level\":\"0 "              \
    "m\"}],\"sources\":["                                                                                         \
    "{\"name\":\"main\",\"at\":\"street\",\"kind\":\"mains\",\"pressure\":\"200 "                                 \
    "kPa\"}],\"tanks\":[{\"name\":\"tank\","                                                                      \
    "\"at\":\"tank\",\"area\":\"9 m2\",\"depth\":\"2 m\",\"starts at\":\"1.5 m\"},{\"name\":\"trough\",\"at\":"   \
    "\"trough\",\"area\":\"2 m2\",\"depth\":\"0.5 m\",\"starts at\":\"0.5 m\",\"float valve\":{\"bore\":\"15 mm\"}}],"
#define ONE_PUMP(name, more)                                                                                          \
    "{\"name\":\"" name "\",\"from\":\"tank\",\"to\":\"house\",\"curve\":[{\"flow\":\"0 L/min\",\"head\":\"120 m\"}," \
    "{\"flow\":\"60 L/min\",\"head\":\"60 m\",\"efficiency\":\"50 %\"},{\"flow\":\"100 L/min\",\"head\":\"20 m\","    \
    "\"efficiency\":\"40 %\"}],\"motor\":{\"power\":\"2.2 kW\"}" more "}"
#define TANK_REST(pipe, needs)                                                                                       \
    "\"lines\":[{\"name\":\"fill\",\"from\":\"street\",\"to\":\"tank\",\"pipe\":\"copper 28\",\"length\":\"10 m\"}," \
    "{\"name\":\"pipe\",\"from\":\"house\",\"to\":\"trough\",\"pipe\":\"" pipe                                       \
    "\",\"length\":\"90 m\"}],\"vessels\":["                                                                         \
    "{\"name\":\"vessel\",\"at\":\"house\",\"volume\":\"100 L\",\"precharge\":\"280 kPa\",\"gas exponent\":1}],"     \
    "\"outlets\":[{\"name\":\"taps\",\"at\":\"house\",\"needs\":\"100 "                                              \
    "kPa\"},{\"name\":\"cows\",\"at\":\"trough\"" needs                                                              \
    "}],\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"house\",\"to\":\"16 bar\"}],"             \
    "\"demand\":[{\"outlet\":\"taps\",\"flow\":\"15 L/min\",\"for\":\"10 min\",\"at\":\"06:00\"}],"
#define SETTINGS(list) "\"settings\":[" list "],\"limits\":{\"highest pressure\":\"16 bar\",\"starts per hour\":12}}"
#define ONE            "\"pumps\":[" ONE_PUMP("a", "") "],"
#define SLOW           ",\"speed\":\"90 %\""
#define THREE          "\"pumps\":[" ONE_PUMP("a", "") "," ONE_PUMP("b", "") "," ONE_PUMP("jockey", SLOW) "],"
#define PLAIN          "\"start when pressure below 300 kPa\",\"stop when pressure above 400 kPa\""

static const pw_problem *told_at(const kit *k, const char *path)
{
    for (int32_t i = 0; i < k->problems.count; i++) {
        if (strcmp(k->problems.items[i].path, path) == 0) {
            return &k->problems.items[i];
        }
    }
    return NULL;
}

static bool doubted(const char *json, const char *path)
{
    kit k;
    kit_load(&k, json, false);
    assert_int_equal(pw_size_doubts(&k.arena, k.plant, &k.problems), PW_OK);
    const bool told = told_at(&k, path) != NULL;
    kit_close(&k);
    return told;
}

/* 100 L from 280 kPa between 300 and 400 kPa give 100 x 381.325 (1/401.325 - 1/501.325) = 18.95 L: with some 85 L/min
 * at 300 kPa 67 starts an hour, of which 12 are allowed. */
static void a_small_vessel_is_questioned_by_what_the_settings_allow(void **state)
{
    (void)state;
    static const char volume[] = "site.vessels[0].volume";
    static const char plain[] = TANK_HEAD ONE TANK_REST("PE100 32 SDR 11", ",\"needs\":\"0 kPa\"") SETTINGS(PLAIN);
    static const char least_run[] =
        TANK_HEAD ONE TANK_REST("PE100 32 SDR 11", ",\"needs\":\"0 kPa\"") SETTINGS(PLAIN ",\"run at least 5 min\"");
    static const char short_run[] =
        TANK_HEAD ONE TANK_REST("PE100 32 SDR 11", ",\"needs\":\"0 kPa\"") SETTINGS(PLAIN ",\"run at least 1 min\"");
    static const char stop_after[] = TANK_HEAD ONE TANK_REST("PE100 32 SDR 11", ",\"needs\":\"0 kPa\"")
        SETTINGS("\"start when pressure below 300 kPa\",\"stop when running for 5 min and pressure above 400 kPa\"");
    static const char or_pressure[] = TANK_HEAD ONE TANK_REST("PE100 32 SDR 11", ",\"needs\":\"0 kPa\"")
        SETTINGS("\"start when pressure below 300 kPa\",\"stop when running for 5 min or pressure above 400 kPa\"");
    static const char rest[] =
        TANK_HEAD ONE TANK_REST("PE100 32 SDR 11", ",\"needs\":\"0 kPa\"") SETTINGS(PLAIN ",\"rest 5 min after stop\"");
    assert_true(doubted(plain, volume));
    assert_false(doubted(least_run, volume));
    assert_true(doubted(short_run, volume));
    assert_false(doubted(stop_after, volume));
    assert_true(doubted(or_pressure, volume));
    assert_false(doubted(rest, volume));
}

static void pumps_that_take_turns_share_the_starts(void **state)
{
    (void)state;
    static const char volume[] = "site.vessels[0].volume";
    static const char turns[] = TANK_HEAD THREE TANK_REST("PE100 32 SDR 11", ",\"needs\":\"0 kPa\"")
        SETTINGS("\"share the work between a, b and jockey and change over at every stop\",\"duty: start when pressure "
                 "below 300 "
                 "kPa\",\"duty: stop when pressure above 400 kPa\"");
    static const char daily[] = TANK_HEAD THREE TANK_REST("PE100 32 SDR 11", ",\"needs\":\"0 kPa\"") SETTINGS(
        "\"share the work between a, b and jockey and change over every 24 h\",\"duty: start when pressure below 300 "
        "kPa\",\"duty: stop when pressure above 400 kPa\"");
    assert_false(doubted(turns, volume)); /* 67 / 3 is not 2.5 times 12 */
    assert_true(doubted(daily, volume));
}

/* Advice chooses a pump's limit of current anew, and no other's: a sentence for all pumps stays. */
static void a_watch_is_chosen_anew_for_its_own_pump(void **state)
{
    (void)state;
    static const char watches[] = TANK_HEAD THREE TANK_REST("PE100 32 SDR 11", ",\"needs\":\"0 kPa\"") SETTINGS(
        PLAIN ",\"b: lock out when current below 2 A for 10 s\",\"a: lock out when current below 2 A for 10 s\","
              "\"lock out when current above 9 A for 10 s\"");
    kit k;
    kit_load(&k, watches, false);
    pw_advise_options options;
    pw_advise_plan *plan = NULL;
    pw_advise_defaults(&options);
    assert_int_equal(pw_advise_plan_of(&k.arena, k.plant, &options, &plan, &k.problems), PW_OK);
    assert_true(plan->family_of[2] >= 0 && plan->family_of[3] >= 0);
    assert_int_equal(plan->families[plan->family_of[2]].pump, 1);
    assert_int_equal(plan->families[plan->family_of[3]].pump, 0);
    assert_int_equal(plan->family_of[4], -1);
    kit_close(&k);
}

static void an_outlet_wants_no_more_than_there_is(void **state)
{
    (void)state;
    static const char unsaid[] = TANK_HEAD ONE TANK_REST("PE100 32 SDR 11", "") SETTINGS(PLAIN);
    static const char little[] = TANK_HEAD ONE TANK_REST("PE100 32 SDR 11", ",\"needs\":\"4.8 kPa\"") SETTINGS(PLAIN);
    static const char more[] = TANK_HEAD ONE TANK_REST("PE100 32 SDR 11", ",\"needs\":\"5 kPa\"") SETTINGS(PLAIN);
    assert_true(doubted(unsaid, "site.outlets[1].needs")); /* 100 kPa is the default: 0.5 m of water are 4.9 kPa */
    assert_false(doubted(little, "site.outlets[1].needs"));
    assert_true(doubted(more, "site.outlets[1].needs"));
}

/* 2 m of water and 120 m of shut-off head: 1196 kPa. */
static void a_pipe_is_held_against_its_class(void **state)
{
    (void)state;
    static const char thin[] = TANK_HEAD ONE TANK_REST("PE100 40 SDR 17", ",\"needs\":\"0 kPa\"") SETTINGS(PLAIN);
    static const char thick[] = TANK_HEAD ONE TANK_REST("PE100 40 SDR 11", ",\"needs\":\"0 kPa\"") SETTINGS(PLAIN);
    assert_true(doubted(thin, "site.lines[1].pipe"));
    assert_false(doubted(thick, "site.lines[1].pipe"));
    assert_false(doubted(thick, "site.lines[0].pipe")); /* copper: no class by its size */
}

static void each_pump_is_sized_and_twins_once(void **state)
{
    (void)state;
    static const char json[] = TANK_HEAD THREE TANK_REST("PE100 32 SDR 11", ",\"needs\":\"0 kPa\"") SETTINGS(PLAIN);
    kit k;
    pw_sizings all;
    pw_size_options options = farm_options(false, 86400000);
    options.pump = -1;
    kit_load(&k, json, false);
    assert_int_equal(pw_size_each(&k.arena, k.plant, &options, &all, &k.problems), PW_OK);
    assert_int_equal(all.count, 2);
    assert_int_equal(all.like[0], 0);
    assert_int_equal(all.like[1], 0);
    assert_int_equal(all.like[2], 1);
    assert_int_equal(all.of[1]->pump, 2);
    assert_true(all.of[0]->has_year && !all.of[1]->has_year);
    options.pump = 1;
    assert_int_equal(pw_size_each(&k.arena, k.plant, &options, &all, &k.problems), PW_OK);
    assert_int_equal(all.count, 1);
    assert_int_equal(all.of[0]->pump, 1);
    assert_int_equal(all.like[0], -1);
    kit_close(&k);
}

static void a_full_tank_is_told_as_full(void **state)
{
    (void)state;
    static const char json[] =
        "{\"site\":\"T\",\"invented\":true,\"places\":[{\"name\":\"dam\",\"level\":\"0 m\"},{\"name\":\"shed\","
        "\"level\":\"0 m\"},{\"name\":\"tank\",\"level\":\"20 m\"}],\"sources\":[{\"name\":\"dam\",\"at\":\"dam\","
        "\"kind\":\"open\",\"standing water level\":\"0 m\",\"intake\":\"2 m\"}],\"pumps\":[{\"name\":\"pump\","
        "\"from\":\"dam\",\"to\":\"shed\",\"curve\":[{\"flow\":\"0 L/min\",\"head\":\"70 m\"},{\"flow\":\"40 L/min\","
        "\"head\":\"50 m\",\"efficiency\":\"40 %\"},{\"flow\":\"80 L/min\",\"head\":\"20 m\",\"efficiency\":\"40 %\"}],"
        "\"motor\":{\"power\":\"1.1 kW\"}}],\"lines\":[{\"name\":\"main\",\"from\":\"shed\",\"to\":\"tank\",\"pipe\":"
        "\"PE100 50 SDR 11\",\"length\":\"90 m\"}],\"tanks\":[{\"name\":\"tank\",\"at\":\"tank\",\"area\":\"9 m2\","
        "\"depth\":\"2 m\",\"starts at\":\"2 m\",\"float valve\":{\"bore\":\"25 mm\"}}],\"sensors\":[{\"name\":"
        "\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\"}],\"settings\":[\"start when pressure below 300 kPa\","
        "\"stop when pressure above 500 kPa\"]}";
    kit k;
    pw_duty duty = {0};
    kit_load(&k, json, false);
    assert_int_equal(pw_model_duty(k.plant->model, &k.arena, 0, 0.0, &duty, &k.problems), PW_OK);
    assert_int_equal(duty.way, PW_DUTY_FULL);
    assert_int_equal(duty.tank, 0);
    assert_false(duty.vessel);
    assert_true(duty.flow_m3s == 0.0);
    kit_close(&k);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_small_vessel_is_questioned_by_what_the_settings_allow),
        cmocka_unit_test(pumps_that_take_turns_share_the_starts),
        cmocka_unit_test(a_watch_is_chosen_anew_for_its_own_pump),
        cmocka_unit_test(an_outlet_wants_no_more_than_there_is),
        cmocka_unit_test(a_pipe_is_held_against_its_class),
        cmocka_unit_test(each_pump_is_sized_and_twins_once),
        cmocka_unit_test(a_full_tank_is_told_as_full),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
