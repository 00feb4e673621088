/* What a proof says of the settings alone: the words, what they are held against, and that little work claims nothing
 * that more work does not find. The answers themselves stand against hand and brute force in tests/unit/control. */
#include "farm.h"
#include "study/guarantee.h"

static kit k;
static pw_guarantees *made;

static void look_at_with(const char *sensors, const char *settings)
{
    char json[8192];
    snprintf(json, sizeof json, "%s%s%s%s%s",
             FARM_HEAD FARM_BORE FARM_PUMP FARM_LINE FARM_VESSEL FARM_TAPS
             "\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\",\"from\":\"0 "
             "kPa\",\"to\":\"1000 kPa\"}",
             sensors,
             "]," FARM_DEMAND
             "\"settings\":[\"start when pressure below 200 kPa for 1 s\",\"stop when pressure above 350 kPa\"",
             settings, "]}");
    kit_load(&k, json, false);
    assert_int_equal(pw_guarantees_of(&k.arena, k.plant, &made, &k.problems), PW_OK);
    assert_int_equal(made->count, 1);
}

static void look_at(const char *settings)
{
    look_at_with("", settings);
}

static void says(const char *words)
{
    const char *told = english_fact(made->items[0].words);
    if (strstr(told, words) == NULL) {
        print_error("\"%s\" is not in: %s\n", words, told);
    }
    assert_non_null(strstr(told, words));
}

/* 20 starts in an hour is what the farm's sheet assumes that a pump bears. */
static void bounds_are_held_against_what_the_pump_bears(void **state)
{
    (void)state;
    look_at(",\"lock out when starts reach 15 in 1 h\",\"lock out when running for 90 min\"");
    says("Whatever the sensors say, pump: never more than 14 starts in any hour (a pump bears 20), "
         "no run longer than 1 h 30 min, "
         "a call for water ends every standstill, but a lock out that waits for a person.");
    assert_null(made->items[0].open.id);
    assert_true(made->items[0].holds);
    kit_close(&k);
    look_at(",\"start at most 20 times in 1 h\",\"stop when running for 2 h\"");
    says("never more than 20 starts");
    says("a call for water ends every standstill.");
    assert_true(made->items[0].holds);
    kit_close(&k);
    look_at(",\"start at most 21 times in 1 h\",\"stop when running for 2 h\"");
    says("never more than 21 starts");
    assert_false(made->items[0].holds);
    kit_close(&k);
}

static void what_nothing_limits_is_told(void **state)
{
    (void)state;
    look_at(",\"rest 1 s after stop\"");
    says("more than 120 starts in an hour cannot be ruled out (a pump bears 20), nothing limits a run, ");
    assert_false(made->items[0].holds);
    kit_close(&k);
    look_at(",\"rest 10 s after stop, then wait for a new call\",\"start at most 6 times in 1 h\","
            "\"stop when running for 2 h\"");
    says("it can come to a standstill that no call for water ends, because of \"rest 10 s after stop, then wait for a "
         "new call\"");
    assert_false(made->items[0].holds);
    kit_close(&k);
}

/* Thirteen contacts, each of which stops the pump: 2^13 readings are more than is gone through. Then nothing is
 * claimed, and it is said. */
static void what_is_not_decided_is_told(void **state)
{
    (void)state;
    char sensors[4096] = "", settings[2048] = "";
    for (int32_t i = 0; i < 13; i++) {
        snprintf(sensors + strlen(sensors), sizeof sensors - strlen(sensors),
                 ",{\"name\":\"door %d\",\"kind\":\"contact\",\"closed\":[{\"from\":\"06:00\",\"to\":\"22:00\"}]}", i);
        snprintf(settings + strlen(settings), sizeof settings - strlen(settings), ",\"stop when contact door %d open\"",
                 i);
    }
    look_at_with(sensors, settings);
    const pw_guarantee *one = &made->items[0];
    assert_non_null(one->open.id);
    assert_false(one->holds);
    assert_non_null(strstr(english_fact(one->open), "starts in an hour"));
    kit_close(&k);
}

/* Little work finds the same as all of it, or says that it does not know. */
static void little_work_claims_no_more_than_much(void **state)
{
    (void)state;
    static const int32_t works[] = {200, 2000, 20000, PW_WORST_WAYS_BESIDES};
    pw_worst much, little;
    pw_table *table = NULL;
    int32_t known = 0, open = 0;
    look_at(",\"lock out when starts reach 15 in 1 h\",\"lock out when running for 90 min\",\"rest 7 s after stop\","
            "\"retry after 5 min up to 3 times\",\"lock out when pressure below 100 kPa for 20 s\"");
    assert_int_equal(pw_table_build(&k.arena, k.plant->settings, NULL, &table, &k.problems), PW_OK);
    assert_int_equal(pw_worst_of(&k.arena, k.plant->settings, table, &k.plant->facts, 0, PW_WORST_WAYS, &much), PW_OK);
    for (size_t i = 0; i < sizeof works / sizeof works[0]; i++) {
        assert_int_equal(pw_worst_of(&k.arena, k.plant->settings, table, &k.plant->facts, 0, works[i], &little), PW_OK);
        const pw_worst_answer *pairs[][2] = {
            {&much.starts, &little.starts}, {&much.run, &little.run}, {&much.stuck, &little.stuck}};
        for (size_t p = 0; p < 3; p++) {
            const bool decided = pairs[p][1]->end != PW_WORST_TOO_LARGE && !pairs[p][1]->cut;
            assert_true(!decided || pairs[p][0]->end == pairs[p][1]->end);
            assert_true(!decided || pairs[p][0]->value == pairs[p][1]->value);
            known += decided ? 1 : 0;
            open += decided ? 0 : 1;
        }
    }
    assert_true(known > 0 && open > 0);
    kit_close(&k);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bounds_are_held_against_what_the_pump_bears),
        cmocka_unit_test(what_nothing_limits_is_told),
        cmocka_unit_test(what_is_not_decided_is_told),
        cmocka_unit_test(little_work_claims_no_more_than_much),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
