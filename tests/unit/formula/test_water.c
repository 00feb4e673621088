/* Water and air: shape over the whole range, edges, and agreement of the two directions of saturation. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/num.h"
#include "unit/formula/kit.h"
#include "formula/atmosphere.h"
#include "formula/water.h"

static void density_is_greatest_at_4_degrees(void **state)
{
    pw_water w;
    double best_c = -1.0;
    double best = 0.0;
    (void)state;
    for (int i = 0; i <= 1000; i++) {
        assert_true(pw_water_at(0.01 * i, &w));
        if (w.density_kgm3 > best) {
            best = w.density_kgm3;
            best_c = 0.01 * i;
        }
    }
    ASSERT_NEAR(best_c, 3.98, 0.0, 0.05);
    ASSERT_NEAR(best, 999.975, 0.0, 0.003); /* SI handbook value of the greatest density */
}

static void properties_are_smooth_and_go_the_right_way(void **state)
{
    pw_water before;
    pw_water w;
    (void)state;
    pw_water_at(0.0, &before);
    for (int i = 1; i <= 1000; i++) {
        assert_true(pw_water_at(0.1 * i, &w));
        assert_true(w.viscosity_pas < before.viscosity_pas);
        assert_true(w.vapour_pa > before.vapour_pa);
        assert_true(fabs(w.density_kgm3 - before.density_kgm3) < 0.08);
        assert_true(fabs(w.sound_ms - before.sound_ms) < 0.6);
        assert_true(fabs(w.cp_jkgk - before.cp_jkgk) < 0.4);
        ASSERT_NEAR(w.bulk_pa, w.density_kgm3 * w.sound_ms * w.sound_ms, 1e-15, 0.0);
        before = w;
    }
}

static void outside_is_said_and_held(void **state)
{
    pw_water w;
    pw_water edge;
    (void)state;
    pw_water_at(0.0, &edge);
    assert_false(pw_water_at(-5.0, &w));
    assert_memory_equal(&w, &edge, sizeof w);
    pw_water_at(100.0, &edge);
    assert_false(pw_water_at(140.0, &w));
    assert_memory_equal(&w, &edge, sizeof w);
    assert_false(pw_water_at(NAN, &w));
    assert_true(pw_is_finite(w.density_kgm3));
    assert_false(pw_water_state(20.0, 2e7, &w));
    assert_false(pw_water_state(NAN, 1e5, &w));
}

static void boiling_point_and_vapour_pressure_are_inverse(void **state)
{
    (void)state;
    for (int c = 1; c <= 340; c++) {
        ASSERT_NEAR(pw_boiling_c(pw_vapour_pa(c)), c, 0.0, 2e-9);
    }
    assert_true(pw_boiling_c(-1.0) == pw_boiling_c(611.213));
    assert_true(pw_vapour_pa(-20.0) == pw_vapour_pa(0.0));
}

static void pressure_makes_water_denser(void **state)
{
    pw_water low;
    pw_water high;
    (void)state;
    assert_true(pw_water_state(20.0, 1e5, &low));
    assert_true(pw_water_state(20.0, 1e6, &high));
    /* compressed by dp / K_T, K_T = 2.179 GPa at 20 C (IAPWS-95, computed) */
    ASSERT_NEAR((high.density_kgm3 - low.density_kgm3) / low.density_kgm3, 9e5 / 2.1791e9, 0.005, 0.0);
}

static void air_thins_with_altitude(void **state)
{
    (void)state;
    assert_true(pw_atmosphere_pa(0.0) == PW_ATM_PA);
    for (int z = -2000; z < 11000; z += 50) {
        assert_true(pw_atmosphere_pa(z + 50.0) < pw_atmosphere_pa(z));
    }
    assert_true(pw_atmosphere_pa(20000.0) == pw_atmosphere_pa(11000.0));
    ASSERT_NEAR(pw_atmosphere_pa(11000.0), 22700.0, 0.001, 0.0); /* ISO 2533: 226.999 hPa at 11 km geometric */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(density_is_greatest_at_4_degrees),
        cmocka_unit_test(properties_are_smooth_and_go_the_right_way),
        cmocka_unit_test(outside_is_said_and_held),
        cmocka_unit_test(boiling_point_and_vapour_pressure_are_inverse),
        cmocka_unit_test(pressure_makes_water_denser),
        cmocka_unit_test(air_thins_with_altitude),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
