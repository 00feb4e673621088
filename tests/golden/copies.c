/* Copies of simulations go on like the original, byte for byte: every site of examples/, healthy and with faults that
 * lock out, slam, are typed, lag and come back (copies.h).
 */
#include "load.h"

#include "copies.h"
#include "walked.h"

static const char *const names[] = {"flats",   "hill-tank",   "house",     "irrigation",
                                    "nursery", "stock-water", "tap-stand", "transfer"};

enum { HOUR = 3600000 };

static const pw_fault tried[] = {{PW_FAULT_NONE, 0.0, -1, 7 * HOUR},
                                 {PW_FAULT_DRY_SOURCE, 0.0, -1, 7 * HOUR + 123},
                                 {PW_FAULT_SLAM, 0.3, -1, 6 * HOUR},
                                 {PW_FAULT_TAPPING, 30.0, -1, 6 * HOUR},
                                 {PW_FAULT_SETTINGS_SWAPPED, 1.0, -1, 8 * HOUR},
                                 {PW_FAULT_SUPPLY_LOST, 2.0 * 3600.0, -1, 7 * HOUR},
                                 {PW_FAULT_CHATTER, 1.0, -1, 7 * HOUR}};

static void test_examples(void **state)
{
    met all = {0};
    pw_random random;
    (void)state;
    pw_random_seed(&random, 15, 5);
    for (size_t s = 0; s < sizeof names / sizeof names[0]; s++) {
        kit k;
        golden_load(&k, names[s]);
        golden_build(&k, names[s]);
        for (size_t f = WALKED ? s % 2 : 0; f < sizeof tried / sizeof tried[0]; f += WALKED ? 2 : 1) {
            const bool happens = f == 0 || pw_fault_possible(k.site, tried[f].kind);
            const pw_sim_options options = {.seed = 3 + f, .release_after_ms = 2 * HOUR};
            if (happens) {
                copies_go_on(&k, &options, &tried[f], f > 0 ? 1 : 0, 14 * HOUR, 3, &random, &all);
            }
        }
        kit_close(&k);
    }
    print_message(
        "%d copies: %d while a pump runs, %d while water is drawn, %d locked out, %d in a surge, %d between two "
        "steps\n",
        all.copies, all.running, all.drawing, all.locked, all.surging, all.under_way);
    const int enough = WALKED ? 5 : 20;
    assert_true(all.running > enough && all.drawing > enough && all.under_way > enough);
    assert_true((all.locked > 3 && all.surging > 2) || WALKED);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_examples)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
