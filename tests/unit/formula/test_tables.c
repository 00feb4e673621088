/* Tables of pipes and fittings: every name is found again, no two names are alike, values make sense. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "unit/formula/kit.h"
#include "formula/fitting.h"
#include "formula/pipe.h"

static void every_pipe_is_found_under_its_name(void **state)
{
    pw_pipe_size a;
    pw_pipe_size b;
    char name[64];
    (void)state;
    assert_true(pw_pipe_count() > 60);
    for (int32_t i = 0; i < pw_pipe_count(); i++) {
        assert_true(pw_pipe_at(i, &a));
        assert_true(pw_pipe_find(pw_pipe_name(i, name), &b));
        assert_memory_equal(&a, &b, sizeof a); /* and not under another row's */
        assert_true(pw_pipe_find(a.name, &b));
        assert_memory_equal(&a, &b, sizeof a);
        assert_int_equal(strncmp(name, a.name, strlen("PVC-U 20")), 0);
        assert_true(a.bore_m > 0.0 && a.wall_m > 0.0 && a.bore_m < a.outer_m);
        ASSERT_NEAR(a.bore_m + 2.0 * a.wall_m, a.outer_m, 1e-12, 0.0);
        assert_true(a.rough_m > 0.0 && a.modulus_pa > 1e8 && a.hazen_c >= 100.0);
    }
    assert_false(pw_pipe_at(-1, &a));
    assert_false(pw_pipe_at(pw_pipe_count(), &a));
    assert_string_equal(pw_pipe_name(pw_pipe_count(), name), "");
}

static void people_write_it_in_many_ways(void **state)
{
    static const char *const same[][2] = {
        {"PVC-U 63 PN10", "upvc 63 pn 10"},
        {"PVC-U 110 PN16", "PVC-U 110 SDR 17"},
        {"PVC-U 50 PN16", "PVC-U 50 x 3.7"},
        {"PE100 40 SDR 11", "pe100 40 sdr11"},
        {"PE100 63 SDR 11", "PE 100 63 PN 16"},
        {"PE100 63 SDR 17", "PE100 63mm PN10"},
        {"PE100 63 SDR 13.6", "PE 100 63 PN 12.5"},
        {"PE100 63 SDR 17", "PE100 63 SDR 17 PN10"},
        {"PE100 50 SDR 9", "PE100 50 PN20"},
        {"PE100 50 SDR 7.4", "PE100 50 x 6.9"},
        {"PE100 63 SDR 17", "PE100 SDR 17 63"},
        {"PE100 40 SDR 11", "PE100 40 x 3.7"},
        {"steel DN40", "Steel DN 40"},
        {"steel DN40", "medium steel DN40"},
        {"steel DN40 heavy", "steel dn40 Heavy"},
        {"galvanised DN25", "galvanized steel DN25"},
        {"copper 22", "Copper 22 x 0.9"},
        {"copper 22", "copper 22mm"},
        {"copper 22 x 1.2", "copper 22 mm x 1.2 mm"},
        {"schedule 40 PVC 1-1/2 in", "1-1/2 inch sch 40 PVC"},
        {"schedule 40 steel 2 in", "2\" steel schedule 40"},
    };
    pw_pipe_size size;
    (void)state;
    for (size_t i = 0; i < sizeof same / sizeof same[0]; i++) {
        if (!pw_pipe_find(same[i][1], &size)) {
            fail_msg("\"%s\" was not found", same[i][1]);
        }
        assert_string_equal(size.name, same[i][0]);
    }
}

/* ISO 4065: d/(2S+1) with the exact series number 10^(k/10), to two decimals, then up to the next tenth. */
static double wall_mm(double outer_mm, int k)
{
    const double plain = outer_mm / (2.0 * pow(10.0, k / 10.0) + 1.0);
    return ceil(round(plain * 100.0) / 10.0 - 1e-9) / 10.0;
}

/* The rule against walls that were read, then the walls of PVC-U against the rule. */
static void walls_of_pvc_u_follow_iso_4065(void **state)
{
    static const double read[][3] = {/* MS 1058-2:2005, copy: series 6.3 and 8, above and at 90 mm */
                                     {90, 8, 6.7},
                                     {110, 8, 8.1},
                                     {125, 8, 9.2},
                                     {140, 8, 10.3},
                                     {160, 8, 11.8},
                                     {200, 8, 14.7},
                                     {90, 9, 5.4},
                                     {110, 9, 6.6},
                                     {125, 9, 7.4},
                                     {140, 9, 8.3},
                                     {160, 9, 9.5},
                                     {200, 9, 11.9},
                                     /* AS/NZS 4130, as an open table has it: series 10 */
                                     {32, 10, 1.6},
                                     {40, 10, 1.9},
                                     {50, 10, 2.4},
                                     {63, 10, 3.0},
                                     {75, 10, 3.6},
                                     {90, 10, 4.3},
                                     {110, 10, 5.3},
                                     {125, 10, 6.0},
                                     {140, 10, 6.7},
                                     {160, 10, 7.7},
                                     /* ISO 4427-2, SDR 11: series 5 */
                                     {63, 7, 5.8},
                                     {75, 7, 6.8},
                                     {90, 7, 8.2},
                                     {110, 7, 10.0},
                                     {125, 7, 11.4},
                                     {160, 7, 14.6}};
    int32_t found = 0;
    (void)state;
    for (size_t i = 0; i < sizeof read / sizeof read[0]; i++) {
        assert_float_equal(wall_mm(read[i][0], (int)read[i][1]), read[i][2], 1e-9);
    }
    for (int32_t i = 0; i < pw_pipe_count(); i++) {
        pw_pipe_size size;
        assert_true(pw_pipe_at(i, &size));
        if (strncmp(size.name, "PVC-U ", 6) != 0) {
            continue;
        }
        const bool ten = strstr(size.name, "PN10") != NULL;
        const bool wide = size.outer_m > 0.0905;
        const int k = ten ? (wide ? 11 : 10) : (wide ? 9 : 8);
        assert_float_equal(size.wall_m * 1e3, wall_mm(size.outer_m * 1e3, k), 1e-9);
        assert_true(size.wall_m >= 1.5e-3);
        found++;
    }
    assert_int_equal(found, 22);
}

static void what_is_no_pipe_is_not_found(void **state)
{
    static const char *const none[] = {
        "",
        " ",
        "PE100",
        "PE100 40",
        "PE100 41 SDR 11",
        "PE100 25 SDR 17",
        "steel",
        "steel DN41",
        "copper",
        "copper 23",
        "PVC-U 63",
        "40",
        "mmmm",
        "inininin",
        "a text that is far longer than any name of a pipe that we have in our table of pipes"};
    pw_pipe_size size;
    (void)state;
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
        memset(&size, 0x55, sizeof size);
        assert_false(pw_pipe_find(none[i], &size));
        assert_true(size.outer_m != 0.0); /* untouched */
    }
    assert_false(pw_pipe_find(NULL, &size));
}

static void every_fitting_is_found_under_its_name(void **state)
{
    (void)state;
    for (int32_t i = 0; i < pw_fitting_count(); i++) {
        assert_int_equal(pw_fitting_find(pw_fitting_name(i)), i);
        assert_true(strlen(pw_fitting_row(i)->source) > 0);
    }
    assert_int_equal(pw_fitting_find("Elbows 90"), pw_fitting_find("elbow 90"));
    assert_int_equal(pw_fitting_find("elbow-90s"), pw_fitting_find("elbow 90"));
    assert_int_equal(pw_fitting_find("Gate  Valves"), pw_fitting_find("gate valve"));
    assert_int_equal(pw_fitting_find("nonreturn valve"), pw_fitting_find("non-return valve"));
    assert_int_equal(pw_fitting_find("elbow"), -1);
    assert_int_equal(pw_fitting_find(""), -1);
    assert_int_equal(pw_fitting_find(NULL), -1);
    assert_null(pw_fitting_row(-1));
    assert_null(pw_fitting_row(pw_fitting_count()));
    assert_string_equal(pw_fitting_name(-1), "");
}

static void coefficients_fall_with_flow_and_size(void **state)
{
    (void)state;
    for (int32_t i = 0; i < pw_fitting_count(); i++) {
        double last = 1e300;
        for (double re = 0.1; re < 1e9; re *= 4.0) {
            const double k = pw_fitting_k(i, 0.04, re);
            assert_true(k <= last && k >= pw_fitting_k_turbulent(i, 0.04));
            last = k;
        }
        ASSERT_NEAR(last, pw_fitting_k_turbulent(i, 0.04), 0.001, 0.0);
        assert_true(pw_fitting_k_turbulent(i, 0.02) >= pw_fitting_k_turbulent(i, 0.1));
    }
    assert_true(pw_fitting_k(-1, 0.04, 1e5) == 0.0);
    assert_true(pw_fitting_k_turbulent(999, 0.04) == 0.0);
    /* handbook order for a two inch line: ball < gate < elbow < tee branch < globe */
    const double settings[] = {pw_fitting_k_turbulent(pw_fitting_find("ball valve"), 0.0508),
                               pw_fitting_k_turbulent(pw_fitting_find("gate valve"), 0.0508),
                               pw_fitting_k_turbulent(pw_fitting_find("elbow 90"), 0.0508),
                               pw_fitting_k_turbulent(pw_fitting_find("tee branch"), 0.0508),
                               pw_fitting_k_turbulent(pw_fitting_find("globe valve"), 0.0508)};
    for (int i = 0; i < 4; i++) {
        assert_true(settings[i] < settings[i + 1]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_pipe_is_found_under_its_name),    cmocka_unit_test(people_write_it_in_many_ways),
        cmocka_unit_test(walls_of_pvc_u_follow_iso_4065),        cmocka_unit_test(what_is_no_pipe_is_not_found),
        cmocka_unit_test(every_fitting_is_found_under_its_name), cmocka_unit_test(coefficients_fall_with_flow_and_size),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
