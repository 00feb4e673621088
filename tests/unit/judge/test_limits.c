/* Closed form of a limit of starts with a limit of run time. Every expected number: own derivation, worked by hand
 * beside it. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/num.h"
#include "judge/proof.h"

#define LPM (1e-3 / 60.0)

/* Q = 60 L/min, V = 25 L: Q / (4 V) = 60 / 100 per minute = 36 an hour. */
static pw_limits_check with(int32_t starts, double window_s, double run_s)
{
    pw_limits_check check;
    memset(&check, 0, sizeof check);
    check.known = true;
    check.pump_m3s = 60.0 * LPM;
    check.drawdown_m3 = 0.025;
    check.has_starts = starts > 0;
    check.starts_count = starts;
    check.starts_window_s = window_s;
    check.starts_per_hour = 3600.0 * starts / window_s;
    check.starts_needed_per_hour = 3600.0 * (starts - 1) / window_s;
    check.has_run = run_s > 0.0;
    check.run_s = run_s;
    pw_limits_solve(&check);
    return check;
}

static void near(double got, double expected)
{
    assert_true(fabs(got - expected) <= 1e-6 * fabs(expected));
}

/* 13 in 1 h need 12 turns an hour, a third of 36: q = 30 (1 -+ sqrt(2/3)) = 5.505103 and 54.494897 L/min.
 * 10 min of run: Q - V/R = 60 - 2.5 = 57.5 L/min. 54.49 < 57.5: a gap. */
static void test_gap(void **state)
{
    (void)state;
    pw_limits_check check = with(13, 3600.0, 600.0);
    near(check.most_starts_per_hour, 36.0);
    near(check.starts_from_m3s / LPM, 5.505103);
    near(check.starts_to_m3s / LPM, 54.494897);
    near(check.run_from_m3s / LPM, 57.5);
    assert_true(check.gap);
}

/* 4 min of run: 60 - 6.25 = 53.75 L/min, below 54.49: no gap. */
static void test_no_gap(void **state)
{
    (void)state;
    pw_limits_check check = with(13, 3600.0, 240.0);
    near(check.run_from_m3s / LPM, 53.75);
    assert_false(check.gap);
}

/* 37 in 1 h need 36 turns: only q = Q/2 gives them. 38 need 37: none, so everything below the run limit is unseen. */
static void test_edge(void **state)
{
    (void)state;
    pw_limits_check check = with(37, 3600.0, 600.0);
    near(check.starts_from_m3s / LPM, 30.0);
    near(check.starts_to_m3s / LPM, 30.0);
    check = with(38, 3600.0, 600.0);
    assert_true(check.starts_from_m3s > check.starts_to_m3s);
    assert_true(check.gap);
}

/* At q = 15: turn = 25/15 + 25/45 min = 2.2222 min, 27 an hour; run 25/45 min = 33.33 s. */
static void test_forms(void **state)
{
    (void)state;
    pw_limits_check check = with(13, 3600.0, 600.0);
    near(pw_limits_starts_per_hour(&check, 15.0 * LPM), 27.0);
    near(pw_limits_run_s(&check, 15.0 * LPM), 100.0 / 3.0);
    assert_true(pw_limits_starts_per_hour(&check, 60.0 * LPM) == 0.0);
    assert_true(pw_limits_starts_per_hour(&check, 0.0) == 0.0);
    assert_true(pw_limits_run_s(&check, 60.0 * LPM) >= PW_INF);
    assert_true(pw_limits_run_s(&check, 90.0 * LPM) >= PW_INF);
}

/* Slow twin: fill and empty the vessel turn by turn and count starts in a sliding window. The limit fires exactly
 * between the two edges of the closed form. */
static bool twin_fires(double q, double full, double volume, int32_t starts, double window_s)
{
    double at[64] = {0.0}, t = 0.0;
    for (int32_t i = 0; i < 64; i++) {
        at[i] = t;
        t += volume / (full - q) + volume / q;
        if (i + 1 >= starts && at[i] - at[i + 1 - starts] <= window_s)
            return true;
    }
    return false;
}

static void test_twin(void **state)
{
    (void)state;
    static const int32_t counts[] = {2, 5, 13, 30, 36};
    for (size_t i = 0; i < 5; i++) {
        pw_limits_check check = with(counts[i], 3600.0, 600.0);
        for (double q = 0.05; q < 59.9; q += 0.05) {
            double leak = q * LPM;
            if (fabs(leak / check.starts_from_m3s - 1.0) < 1e-9 || fabs(leak / check.starts_to_m3s - 1.0) < 1e-9)
                continue;
            bool closed = leak >= check.starts_from_m3s && leak <= check.starts_to_m3s;
            assert_int_equal(closed, twin_fires(leak, check.pump_m3s, check.drawdown_m3, counts[i], 3600.0));
        }
    }
}

/* One start is enough: needs no whole turn, every leak is seen. Unknown plant: nothing is claimed. */
static void test_ends(void **state)
{
    (void)state;
    pw_limits_check check = with(1, 3600.0, 600.0);
    assert_true(check.starts_from_m3s == 0.0);
    near(check.starts_to_m3s / LPM, 60.0);
    assert_false(check.gap);
    memset(&check, 0, sizeof check);
    pw_limits_solve(&check);
    assert_false(check.gap);
    assert_true(check.most_starts_per_hour == 0.0);
    /* a run limit so long that even no leak reaches it gives nearly Q, one shorter than V/Q gives 0 */
    check = with(0, 1.0, 20.0);
    assert_true(check.run_from_m3s == 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_gap),  cmocka_unit_test(test_no_gap),
                                       cmocka_unit_test(test_edge), cmocka_unit_test(test_forms),
                                       cmocka_unit_test(test_twin), cmocka_unit_test(test_ends)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
