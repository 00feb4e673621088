/* Vessels, tanks, bores, holes: C1 at every joint, inverse functions, rising
 * where they must rise. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/num.h"
#include "base/random.h"
#include "formula/bore.h"
#include "formula/orifice.h"
#include "formula/tank.h"
#include "formula/vessel.h"
#include "unit/formula/kit.h"

enum { ATM = 101325 };

static void vessel_pressure_rises_and_comes_back(void **state)
{
    pw_random random;
    (void)state;
    pw_random_seed(&random, 21, 1);
    for (int run = 0; run < 300; run++) {
        const double volume = 0.005 + pw_random_unit(&random);
        const double precharge = 4e5 * pw_random_unit(&random);
        const double n = 1.0 + 0.4 * pw_random_unit(&random);
        const double air = run % 5 == 0 ? 0.0 : pw_random_unit(&random);
        double last = -1e300;
        for (int i = -40; i <= 440; i++) {
            const double water = volume * (i < 0 ? 1e-4 * i : i / 400.0);
            double slope;
            const double p = pw_vessel_pa(volume, precharge, n, air, ATM, water, &slope);
            assert_true(pw_is_finite(p) && slope > 0.0 && p > last);
            last = p;
            ASSERT_NEAR(pw_vessel_water_m3(volume, precharge, n, air, ATM, p), water, 1e-9, 1e-12 * volume);
        }
    }
}

static void vessel_pressure_has_no_corner(void **state)
{
    const double air[] = {1.0, 0.3, 0.01, 0.0};
    (void)state;
    for (int a = 0; a < 4; a++) {
        const double share = air[a] < PW_VESSEL_LEAST_AIR ? PW_VESSEL_LEAST_AIR : air[a];
        const double edge = 0.1 * (1.0 - share * pow(1000.0, -1.0 / 1.2));
        const double joints[] = {0.0, edge};
        for (int j = 0; j < 2; j++) {
            const double h = j == 0 ? 1e-20 : 1e-15;
            double before[2];
            double after[2];
            before[0] = pw_vessel_pa(0.1, 2e5, 1.2, air[a], ATM, joints[j] - h, &before[1]);
            after[0] = pw_vessel_pa(0.1, 2e5, 1.2, air[a], ATM, joints[j] + h, &after[1]);
            ASSERT_NEAR(after[0], before[0], 1e-6, 1e-3);
            ASSERT_NEAR(after[1], before[1], 1e-6, 0.0);
        }
    }
}

static void vessel_without_air_holds_almost_nothing(void **state)
{
    const double healthy =
        pw_vessel_water_m3(0.1, 2e5, 1.0, 1.0, ATM, 4e5) - pw_vessel_water_m3(0.1, 2e5, 1.0, 1.0, ATM, 2.5e5);
    const double flat =
        pw_vessel_water_m3(0.1, 2e5, 1.0, 0.0, ATM, 4e5) - pw_vessel_water_m3(0.1, 2e5, 1.0, 0.0, ATM, 2.5e5);
    (void)state;
    ASSERT_NEAR(flat, healthy * PW_VESSEL_LEAST_AIR, 1e-9, 0.0);
    ASSERT_NEAR(healthy, 0.1 * pw_vessel_drawdown(2e5, 2.5e5, 4e5, 1.0, ATM), 1e-12, 0.0);
}

static void cycles_agree_with_counting(void **state)
{
    (void)state;
    for (double draw = 0.02; draw < 1.0; draw += 0.02) {
        const double hz = pw_cycle_starts_hz(0.03, 1e-3, draw * 1e-3);
        ASSERT_NEAR(1.0 / hz, 0.03 / (draw * 1e-3) + 0.03 / ((1.0 - draw) * 1e-3), 1e-12, 0.0);
        assert_true(hz <= pw_cycle_most_hz(0.03, 1e-3) * (1.0 + 1e-12));
    }
    ASSERT_NEAR(pw_cycle_most_hz(pw_cycle_volume_m3(1e-3, 0.002), 1e-3), 0.002, 1e-12, 0.0);
    assert_true(pw_cycle_starts_hz(0.0, 1e-3, 5e-4) == PW_INF);
    assert_true(pw_cycle_volume_m3(1e-3, 0.0) == PW_INF);
    assert_true(pw_cycle_starts_hz(0.03, 1e-3, 1e-3) == 0.0);
}

/* The slow twin of the leak time: small steps of the vessel's own law. */
static void leak_time_agrees_with_stepping(void **state)
{
    const double area = pw_hole_cd_area_m2(1e-3, 0.6);
    double water = pw_vessel_water_m3(0.1, 1.8e5, 1.0, 1.0, ATM, 3.5e5);
    const double end = pw_vessel_water_m3(0.1, 1.8e5, 1.0, 1.0, ATM, 2.0e5);
    double time = 0.0;
    (void)state;
    while (water > end) {
        const double half =
            water - 0.25 * pw_hole_m3s(area, pw_vessel_pa(0.1, 1.8e5, 1.0, 1.0, ATM, water, NULL), 998.2);
        water -= 0.5 * pw_hole_m3s(area, pw_vessel_pa(0.1, 1.8e5, 1.0, 1.0, ATM, half, NULL), 998.2);
        time += 0.5;
    }
    ASSERT_NEAR(pw_vessel_leak_time_s(0.1, 1.8e5, ATM, 998.2, area, 3.5e5, 2.0e5), time, 0.0, 0.6);
    assert_true(pw_vessel_leak_time_s(0.1, 1.8e5, ATM, 998.2, 0.0, 3.5e5, 2.0e5) == PW_INF);
    assert_true(pw_vessel_leak_time_s(0.1, 1.8e5, ATM, 998.2, area, 2.0e5, 3.5e5) == 0.0);
}

static void orifice_is_odd_smooth_and_right(void **state)
{
    (void)state;
    for (double head = 1e-9; head < 200.0; head *= 1.7) {
        double slope;
        const double q = pw_orifice_m3s(1e-6, head, &slope);
        assert_true(q > 0.0 && slope > 0.0);
        assert_true(pw_orifice_m3s(1e-6, -head, NULL) == -q);
        const double h = 1e-5 * head;
        ASSERT_NEAR((pw_orifice_m3s(1e-6, head + h, NULL) - pw_orifice_m3s(1e-6, head - h, NULL)) / (2.0 * h), slope,
                    1e-6, 0.0);
        if (head > 1.0) {
            ASSERT_NEAR(q, 1e-6 * sqrt(2.0 * PW_G * head), 3e-7, 0.0);
        }
    }
    double slope;
    assert_true(pw_orifice_m3s(1e-6, 0.0, &slope) == 0.0 && slope > 0.0);
    assert_true(pw_hole_m3s(1e-6, -1e5, 1000.0) == -pw_hole_m3s(1e-6, 1e5, 1000.0));
    assert_true(pw_leak_ratio(1e5, 0.0, 0.5) == 0.0);
}

static void bore_inflow_settles_at_the_yield(void **state)
{
    const double capacity = 2e-4;
    const double yield = 1e-3;
    double last = -1.0;
    (void)state;
    for (double s = -1.0; s < 8.0; s += 0.01) {
        double slope;
        const double q = pw_bore_inflow_m3s(s, capacity, yield, &slope);
        assert_true(q >= last && slope >= 0.0 && q <= yield);
        last = q;
        const double quotient = (pw_bore_inflow_m3s(s + 1e-6, capacity, yield, NULL) -
                                 pw_bore_inflow_m3s(s - 1e-6, capacity, yield, NULL)) /
                                2e-6;
        ASSERT_NEAR(quotient, slope, 0.0, 1e-9);
        if (q < yield * (1.0 - 1e-9)) {
            ASSERT_NEAR(pw_bore_drawdown_m(q, capacity, yield), s, 1e-6, 1e-9);
        }
    }
    assert_true(pw_bore_drawdown_m(yield, capacity, yield) == PW_INF);
    assert_true(pw_bore_drawdown_m(1e-4, 0.0, 0.0) == PW_INF);
    assert_true(pw_bore_drawdown_m(0.0, capacity, yield) == 0.0);
    assert_true(pw_bore_inflow_m3s(3.0, 0.0, 0.0, NULL) == 0.0);
}

/* E1 by Simpson in long double over the tail e^-t/t, t = u .. u + 60, with t =
 * u e^z. */
static double well_function_slowly(double u)
{
    const int parts = 20000;
    const long double top = logl((u + 60.0L) / u);
    long double sum = 0.0L;
    for (int i = 0; i <= parts; i++) {
        const long double value = expl(-(long double)u * expl(top * i / parts));
        sum += value * (i == 0 || i == parts ? 1.0L : (i % 2 ? 4.0L : 2.0L));
    }
    return (double)(sum * top / parts / 3.0L);
}

static void well_function_agrees_with_its_integral(void **state)
{
    (void)state;
    for (double u = 1e-8; u < 30.0; u *= 2.3) {
        ASSERT_NEAR(pw_well_function(u), well_function_slowly(u), 1e-12, 1e-18);
    }
    ASSERT_NEAR(pw_well_function(1.0), pw_well_function(1.0 + 1e-13), 1e-12, 0.0);
    assert_true(pw_well_function(0.0) == PW_INF);
    assert_true(pw_is_finite(pw_well_function(1e6)));
}

/* Superposition (Theis 1935): a bore that ran for t and rests since t' stands
 * as if it ran on and another one gave back. */
static void recovery_goes_back_to_rest(void **state)
{
    double last = 1e300;
    (void)state;
    for (double rest = 600.0; rest < 1e8; rest *= 3.0) {
        const double left = pw_theis_drawdown_m(1e-3, 3e-3, 1e-4, 0.1, 86400.0 + rest, 0.0) -
                            pw_theis_drawdown_m(1e-3, 3e-3, 1e-4, 0.1, rest, 0.0);
        assert_true(left > 0.0 && left < last);
        last = left;
    }
    assert_true(last < 1e-4);
}

static void float_valve_and_intake_are_smooth_steps(void **state)
{
    (void)state;
    for (double d = 1.2; d < 1.6; d += 0.003) {
        double slope;
        const double open = pw_float_opening(d, 1.5, 0.15, 0.1, &slope);
        assert_true(open >= 0.1 && open <= 1.0 && slope <= 0.0);
        const double quotient =
            (pw_float_opening(d + 1e-7, 1.5, 0.15, 0.1, NULL) - pw_float_opening(d - 1e-7, 1.5, 0.15, 0.1, NULL)) /
            2e-7;
        ASSERT_NEAR(quotient, slope, 1e-5, 1e-4);
        const double wet = pw_intake_wet(d - 1.3, 0.1, &slope);
        assert_true(wet >= 0.0 && wet <= 1.0 && slope >= 0.0);
    }
    assert_true(pw_float_opening(1.5, 1.5, 0.15, 0.0, NULL) == 0.0);
    assert_true(pw_float_opening(1.35, 1.5, 0.15, 0.0, NULL) == 1.0);
    assert_true(pw_intake_wet(0.0, 0.1, NULL) == 0.0 && pw_intake_wet(0.1, 0.1, NULL) == 1.0);
    assert_true(pw_tank_depth_m(2.0, -1.0) == -0.5 && pw_tank_depth_m(2.0, 3.0) == 1.5);
    assert_true(pw_weir_m3s(0.2, -0.1) == 0.0 && pw_weir_m3s(0.2, 0.0) == 0.0);
    ASSERT_NEAR(pw_weir_m3s(0.2, 0.04), 1.7 * 0.2 * 0.008, 1e-15, 0.0);
}

/* What the cycle tells of a leak, against its own starts and runs. */
static void leaks_lie_between_their_bounds(void **state)
{
    (void)state;
    double from;
    double to;
    for (double share = 0.1; share < 1.0; share += 0.2) {
        const double hz = share * pw_cycle_most_hz(0.02, 1e-3);
        assert_true(pw_cycle_draws(0.02, 1e-3, hz, &from, &to));
        assert_true(from < 0.5e-3 && to > 0.5e-3);
        ASSERT_NEAR(pw_cycle_starts_hz(0.02, 1e-3, from), hz, 1e-12, 0.0);
        ASSERT_NEAR(pw_cycle_starts_hz(0.02, 1e-3, to), hz, 1e-12, 0.0);
        const double run = pw_cycle_run_s(0.02, 1e-3, to);
        ASSERT_NEAR(pw_cycle_long_run_m3s(0.02, 1e-3, run), to, 1e-12, 0.0);
    }
    assert_false(pw_cycle_draws(0.02, 1e-3, 1.01 * pw_cycle_most_hz(0.02, 1e-3), &from, &to));
    assert_true(pw_cycle_run_s(0.02, 1e-3, 1e-3) == PW_INF && pw_cycle_run_s(0.02, 1e-3, 2e-3) == PW_INF);
    assert_true(pw_cycle_long_run_m3s(0.02, 1e-3, 10.0) == 0.0); /* even without a leak a run takes 20 s */
}

/* Less air and another charge change all absolute pressures in the same
 * proportion. */
static void pressure_part_is_the_gas_law(void **state)
{
    (void)state;
    const double whole = pw_vessel_pa(0.1, 1.8e5, 1.2, 1.0, ATM, 0.04, NULL) + ATM;
    const double less = pw_vessel_pa(0.1, 1.8e5 + 3e4, 1.2, 0.4, ATM, 0.04, NULL) + ATM;
    ASSERT_NEAR(less / whole, pw_vessel_pressure_part(0.4, 1.2, 1.8e5 + ATM, 3e4), 1e-13, 0.0);
    assert_true(pw_vessel_pressure_part(1.0, 1.2, 2e5, 0.0) == 1.0);
}

static void intakes_stay_covered(void **state)
{
    (void)state;
    assert_true(pw_covered_depth_m(12.0, 10.0, 30.0) == 12.0);
    assert_true(pw_covered_depth_m(29.9, 10.0, 30.0) == 30.0 - PW_INTAKE_COVER_M);
    assert_true(pw_covered_depth_m(32.0, 29.8, 30.0) == 29.8); /* it stood lower from the first */
    ASSERT_NEAR(pw_intake_room_m(30.0, 20.0), 9.7, 1e-14, 0.0);
    assert_true(pw_intake_wet(PW_INTAKE_COVER_M, PW_INTAKE_COVER_M, NULL) == 1.0);
    /* a hole found from its flow lets that flow out */
    ASSERT_NEAR(pw_orifice_m3s(pw_orifice_cd_area_m2(2e-4, 25.0), 25.0, NULL), 2e-4, 1e-8, 0.0);
    ASSERT_NEAR(pw_leak_ratio(1e5, 4e5, 0.5), 2.0, 1e-15, 0.0);
    ASSERT_NEAR(pw_leak_ratio(1e5, 4e5, 1.5), 8.0, 1e-14, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(vessel_pressure_rises_and_comes_back),
        cmocka_unit_test(vessel_pressure_has_no_corner),
        cmocka_unit_test(vessel_without_air_holds_almost_nothing),
        cmocka_unit_test(cycles_agree_with_counting),
        cmocka_unit_test(leak_time_agrees_with_stepping),
        cmocka_unit_test(orifice_is_odd_smooth_and_right),
        cmocka_unit_test(bore_inflow_settles_at_the_yield),
        cmocka_unit_test(well_function_agrees_with_its_integral),
        cmocka_unit_test(recovery_goes_back_to_rest),
        cmocka_unit_test(float_valve_and_intake_are_smooth_steps),
        cmocka_unit_test(leaks_lie_between_their_bounds),
        cmocka_unit_test(pressure_part_is_the_gas_law),
        cmocka_unit_test(intakes_stay_covered),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
