/* The highest values of whole days on every site of examples/ do not hang on where the steps end: at the usual
 * tolerance as at a hundredth of it, healthy and with a leak. Pressures of a main that settles within milliseconds
 * after a pump has switched hang on the implicit steps, whose tolerance is 1e-6: 3e-4 of a pressure.
 */
#include <math.h>

#include "load.h"

#include "sim/observers.h"

static const char *const names[] = {"drip",    "flats",        "hill-tank",   "house",     "irrigation",
                                    "nursery", "solar-trough", "stock-water", "tap-stand", "transfer"};

static pw_totals run_day(kit *k, bool leaks, double tolerance)
{
    const pw_sim_options options = {.seed = 1, .tolerance = tolerance};
    const size_t mark = pw_arena_mark(&k->arena);
    pw_sim *sim = NULL;
    assert_int_equal(pw_sim_create(&k->arena, k->plant, &options, &sim, &k->problems), PW_OK);
    if (leaks) {
        const pw_fault leak = {PW_FAULT_SLOW_LEAK, 0.1 * k->plant->full_m3s, -1, 6 * 3600000};
        assert_int_equal(pw_sim_befall(sim, &k->arena, &leak, &k->problems), PW_OK);
    }
    pw_tally *tally = pw_tally_new(&k->arena, sim);
    assert_non_null(tally);
    pw_sim_attach(sim, &tally->observer);
    assert_int_equal(pw_sim_advance(sim, 86400000, &k->problems), PW_OK);
    const pw_totals totals = pw_tally_totals(tally, sim, false);
    pw_arena_back(&k->arena, mark);
    return totals;
}

static double apart(double a, double b)
{
    return fabs(a - b) / (fabs(b) > 1.0 ? fabs(b) : 1.0);
}

static void test_tolerances(void **state)
{
    int32_t wrong = 0;
    (void)state;
    for (size_t n = 0; n < sizeof names / sizeof names[0]; n++) {
        kit k;
        golden_load(&k, names[n]);
        assert_int_equal(pw_plant_build(&k.arena, k.site, false, &k.plant, &k.problems), PW_OK);
        for (int32_t leaks = 0; leaks < 2; leaks++) {
            const pw_totals fine = run_day(&k, leaks == 1, 1e-10);
            const pw_totals usual = run_day(&k, leaks == 1, 0.0);
            const double highest = apart(usual.pressure_max_pa, fine.pressure_max_pa);
            const double top = apart(usual.pressure_top_pa, fine.pressure_top_pa);
            const double winding = apart(usual.winding_max_c, fine.winding_max_c);
            const double water = apart(usual.water_max_c, fine.water_max_c);
            if (usual.starts != fine.starts || highest > 3e-4 || top > 3e-4 || winding > 1e-5 || water > 1e-4) {
                print_error("%s%s: highest %.1e top %.1e winding %.1e water %.1e apart\n", names[n],
                            leaks == 1 ? ", leak" : "", highest, top, winding, water);
                wrong++;
            }
        }
        kit_close(&k);
    }
    assert_int_equal(wrong, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_tolerances)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
