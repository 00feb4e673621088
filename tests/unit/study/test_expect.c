/* Expected readings: the list of a small site, ranges by grade, and the verdicts of the decision rule. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "study/expect.h"
#include "unit/study/sheet.h"

#define LPM (1e-3 / 60.0)

typedef struct kit {
    void *block;
    pw_arena arena;
    pw_plant *plant;
    pw_problems problems;
} kit;

static int begin(void **state)
{
    kit *k = calloc(1, sizeof *k);
    const size_t size = (size_t)128 << 20;
    k->block = malloc(size);
    pw_arena_init(&k->arena, k->block, size);
    k->plant = test_plant(&k->arena);
    *state = k;
    return k->plant == NULL;
}

static int end(void **state)
{
    kit *k = *state;
    free(k->block);
    free(k);
    return 0;
}

static const pw_expect *find(const pw_expects *list, const char *what)
{
    for (int32_t i = 0; i < list->count; i++) {
        if (strcmp(list->items[i].what, what) == 0) {
            return &list->items[i];
        }
    }
    fail_msg("%s is not expected", what);
    return NULL;
}

static const pw_expects *list_of(kit *k, const char *grade)
{
    pw_expects *list = NULL;
    assert_int_equal(pw_expect_list(&k->arena, k->plant, pw_grade_find(grade), &list, &k->problems), PW_OK);
    return list;
}

/* What the sheet states is expected as it stands. */
static void states_the_sheet(void **state)
{
    const pw_expects *list = list_of(*state, "2B");
    assert_int_equal(list->count, 12);
    const pw_expect *level = find(list, "standing water level of bore");
    assert_true(level->expected == 14.0 && level->low == 13.5 && level->high == 14.5 && !level->assumed);
    const pw_expect *charge = find(list, "precharge of shed vessel");
    assert_true(charge->expected == 230e3);
    assert_float_equal(charge->high - charge->low, 0.1 * 230e3, 1e-6);
    const pw_expect *cut_in = find(list, "cut-in of bore pump");
    assert_float_equal(cut_in->low, 240e3, 1e-6); /* 1 % of 0 to 1000 kPa */
    assert_float_equal(cut_in->high, 260e3, 1e-6);
    assert_true(find(list, "current of bore pump at cut-in")->assumed); /* no full-load current in the sheet */
}

/* Boyle: the vessel of 100 L at 230 kPa holds water between 250 and 400 kPa. By hand with 101.325 kPa of air:
 * 100 L (331.325 / 351.325 - 331.325 / 501.325) = 28.22 L for n = 1; the sheet's n moves it by less than a sixth. */
static void drawdown_is_that_of_the_gas(void **state)
{
    const pw_expect *drawdown = find(list_of(*state, "2B"), "drawdown of shed vessel");
    assert_true(drawdown->expected > 0.84 * 28.22e-3 && drawdown->expected < 1.01 * 28.22e-3);
    assert_float_equal(drawdown->high / drawdown->expected, 1.1, 1e-9);
}

/* A tight site loses nothing; a reading passes up to a tap that drips fast, also with the error of bucket and watch. */
static void leak_passes_up_to_a_dripping_tap(void **state)
{
    const pw_expect *leak = find(list_of(*state, "2B"), "leak of shed vessel");
    const double litre_min = 1e-3 / 60.0;
    assert_true(leak->expected == 0.0 && leak->low == 0.0 && leak->dimension == PW_DIM_FLOW);
    assert_float_equal(leak->high, 0.05 * litre_min, 1e-15);
    assert_int_equal(pw_expect_judge(leak, 0.0, pw_expect_usual_error(PW_DIM_FLOW, 0.0)), PW_READING_PASS);
    const double reads = 0.04 * litre_min;
    assert_int_equal(pw_expect_judge(leak, reads, pw_expect_usual_error(PW_DIM_FLOW, reads)), PW_READING_PASS);
    assert_int_equal(pw_expect_judge(leak, 2.0 * reads, pw_expect_usual_error(PW_DIM_FLOW, reads)), PW_READING_FAIL);
}

/* Shut-off: the head of the curve at no flow, less the lift from the water; both ends move by the factor of head:
 * 5 % of 86 m either way. */
static void shut_off_moves_with_the_head(void **state)
{
    kit *k = *state;
    const pw_expect *shut = find(list_of(k, "2B"), "shut-off pressure of bore pump");
    const double metre = pw_model_pa_per_m(k->plant->model);
    assert_float_equal(shut->expected, (86.0 - 14.0 - 2.0) * metre, 2.0 * metre);
    assert_float_equal(shut->high - shut->expected, 0.05 * 86.0 * metre, 0.05 * metre);
    assert_float_equal(shut->expected - shut->low, 0.05 * 86.0 * metre, 0.05 * metre);
}

/* A grade that promises at least the curve has nothing below it; a narrower grade gives a narrower range. */
static void range_follows_the_grade(void **state)
{
    kit *k = *state;
    const pw_expect *at_least = find(list_of(k, "1U"), "flow of bore pump at cut-in");
    assert_true(at_least->low == at_least->expected && at_least->high > at_least->expected);
    const pw_expect *wide = find(list_of(k, "2B"), "flow of bore pump at cut-in");
    const pw_expect *narrow = find(list_of(k, "1B"), "flow of bore pump at cut-in");
    assert_true(narrow->expected == wide->expected);
    assert_true(narrow->low > wide->low && narrow->high < wide->high);
    assert_true(wide->held_pa == 250e3);
}

static void verdicts_follow_the_rule(void **state)
{
    (void)state;
    const pw_expect range = {.low = 100.0, .high = 120.0, .gauge = 10.0};
    static const struct {
        double reads, error;
        pw_reading_verdict verdict;
    } rows[] = {{110.0, 10.0, PW_READING_PASS}, {110.0, 10.5, PW_READING_BLIND}, {105.0, 6.0, PW_READING_UNSURE},
                {105.0, 5.0, PW_READING_PASS},  {95.0, 4.9, PW_READING_FAIL},    {95.0, 5.1, PW_READING_UNSURE},
                {126.0, 5.0, PW_READING_FAIL},  {90.0, 40.0, PW_READING_BLIND},  {120.0, 0.0, PW_READING_PASS},
                {120.5, 0.0, PW_READING_FAIL}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        assert_int_equal(pw_expect_judge(&range, rows[i].reads, rows[i].error), rows[i].verdict);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(states_the_sheet),
                                       cmocka_unit_test(drawdown_is_that_of_the_gas),
                                       cmocka_unit_test(leak_passes_up_to_a_dripping_tap),
                                       cmocka_unit_test(shut_off_moves_with_the_head),
                                       cmocka_unit_test(range_follows_the_grade),
                                       cmocka_unit_test(verdicts_follow_the_rule)};
    return cmocka_run_group_tests(tests, begin, end);
}
