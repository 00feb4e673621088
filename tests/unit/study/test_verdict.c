/* Judgements that papers, page and choice share: at and beside each of their limits. */
#include "farm.h"

#include "study/verdict.h"

static void suction_is_short_close_or_enough(void **state)
{
    (void)state;
    assert_int_equal(pw_npsh_judge(3.0, -1.0, 0.5), PW_NPSH_NOT_STATED);
    assert_int_equal(pw_npsh_judge(2.99, 3.0, 0.5), PW_NPSH_SHORT);
    assert_int_equal(pw_npsh_judge(3.0, 3.0, 0.5), PW_NPSH_CLOSE);
    assert_int_equal(pw_npsh_judge(3.49, 3.0, 0.5), PW_NPSH_CLOSE);
    assert_int_equal(pw_npsh_judge(3.5, 3.0, 0.5), PW_NPSH_ENOUGH);
    assert_int_equal(pw_npsh_judge(3.0, 3.0, 0.0), PW_NPSH_ENOUGH);
    assert_int_equal(pw_npsh_judge(1.0, 0.0, 0.5), PW_NPSH_ENOUGH);
}

static void precharge_is_high_low_or_good(void **state)
{
    (void)state;
    assert_int_equal(pw_charge_judge(180e3, 0.0), PW_CHARGE_NOT_KNOWN);
    assert_int_equal(pw_charge_judge(200.1e3, 200e3), PW_CHARGE_HIGH);
    assert_int_equal(pw_charge_judge(200e3, 200e3), PW_CHARGE_GOOD);
    assert_int_equal(pw_charge_judge(131e3, 200e3), PW_CHARGE_GOOD);
    assert_int_equal(pw_charge_judge(129e3, 200e3), PW_CHARGE_LOW);
}

/* The vessel of the farm stands at the sensor's place; lifted by 10 m it feels less. */
static void the_cut_in_is_told_as_it_stands_at_the_vessel(void **state)
{
    (void)state;
    kit k;
    farm_size(
        &k,
        FARM_HEAD FARM_BORE FARM_PUMP FARM_LINE FARM_VESSEL FARM_TAPS FARM_SENSOR FARM_DEMAND FARM_SETTINGS FARM_END,
        false);
    const double here_pa = pw_cut_in_at_vessel(k.plant, 0);
    assert_true(here_pa == k.plant->cut_in_pa && here_pa > 0.0);
    pw_site *site = k.site;
    const int32_t other = site->vessels[0].place == 0 ? 1 : 0;
    site->places[other].level_m.v = site->places[site->sensors[0].place].level_m.v + 10.0;
    site->vessels[0].place = other;
    close_to(pw_cut_in_at_vessel(k.plant, 0), here_pa - 98e3, 0.01, "cut-in 10 m higher");
    free(k.block);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(suction_is_short_close_or_enough),
        cmocka_unit_test(precharge_is_high_low_or_good),
        cmocka_unit_test(the_cut_in_is_told_as_it_stands_at_the_vessel),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
