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
#include "study/prove_inside.h"
#include "run_kit.h"

#define LPM         (1e-3 / 60.0)
#define WITHIN_OPEN 0.002
#define WITHIN_BORE 0.03

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

static void close_to(double got, double expected)
{
    assert_true(fabs(got - expected) <= 1e-6 * fabs(expected));
}

/* 13 in 1 h need 12 turns an hour, a third of 36: q = 30 (1 -+ sqrt(2/3)) = 5.505103 and 54.494897 L/min.
 * 10 min of run: Q - V/R = 60 - 2.5 = 57.5 L/min. 54.49 < 57.5: a gap. */
static void test_gap(void **state)
{
    (void)state;
    pw_limits_check check = with(13, 3600.0, 600.0);
    close_to(check.most_starts_per_hour, 36.0);
    close_to(check.starts_from_m3s / LPM, 5.505103);
    close_to(check.starts_to_m3s / LPM, 54.494897);
    close_to(check.run_from_m3s / LPM, 57.5);
    assert_true(check.gap);
}

/* 4 min of run: 60 - 6.25 = 53.75 L/min, below 54.49: no gap. */
static void test_no_gap(void **state)
{
    (void)state;
    pw_limits_check check = with(13, 3600.0, 240.0);
    close_to(check.run_from_m3s / LPM, 53.75);
    assert_false(check.gap);
}

/* 37 in 1 h need 36 turns: only q = Q/2 gives them. 38 need 37: none, so everything below the run limit is unseen. */
static void test_edge(void **state)
{
    (void)state;
    pw_limits_check check = with(37, 3600.0, 600.0);
    close_to(check.starts_from_m3s / LPM, 30.0);
    close_to(check.starts_to_m3s / LPM, 30.0);
    check = with(38, 3600.0, 600.0);
    assert_true(check.starts_from_m3s > check.starts_to_m3s);
    assert_true(check.gap);
}

/* At q = 15: turn = 25/15 + 25/45 min = 2.2222 min, 27 an hour; run 25/45 min = 33.33 s. */
static void test_forms(void **state)
{
    (void)state;
    pw_limits_check check = with(13, 3600.0, 600.0);
    close_to(pw_limits_starts_per_hour(&check, 15.0 * LPM), 27.0);
    close_to(pw_limits_run_s(&check, 15.0 * LPM), 100.0 / 3.0);
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
        if (i + 1 >= starts && at[i] - at[i + 1 - starts] <= window_s) {
            return true;
        }
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
            if (fabs(leak / check.starts_from_m3s - 1.0) < 1e-9 || fabs(leak / check.starts_to_m3s - 1.0) < 1e-9) {
                continue;
            }
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
    close_to(check.starts_to_m3s / LPM, 60.0);
    assert_false(check.gap);
    memset(&check, 0, sizeof check);
    pw_limits_solve(&check);
    assert_false(check.gap);
    assert_true(check.most_starts_per_hour == 0.0);
    /* a run limit so long that even no leak reaches it gives nearly Q, one shorter than V/Q gives 0 */
    check = with(0, 1.0, 20.0);
    assert_true(check.run_from_m3s == 0.0);
}

/* A pump on an open water, a vessel and a sensor beside it, a leak and nothing else. */
static void load_named(kit *k, const char *volume, const char *precharge, const char *exponent, const char *source,
                       const char *pump, const char *limits)
{
    static char json[4000];
    snprintf(json, sizeof json,
             "{\"site\":\"limits\",\"invented\":true,\"places\":[{\"name\":\"dam\",\"level\":\"0 m\"},"
             "{\"name\":\"shed\",\"level\":\"3 m\"}],\"sources\":[{\"name\":\"dam\",\"at\":\"dam\",%s}],"
             "\"pumps\":[{\"name\":\"%s\",\"from\":\"dam\",\"to\":\"shed\",\"non-return valve\":true,"
             "\"curve\":[{\"flow\":\"0 L/min\",\"head\":\"62 m\",\"power\":\"1 kW\"},"
             "{\"flow\":\"30 L/min\",\"head\":\"54 m\",\"power\":\"1 kW\"},{\"flow\":\"60 L/min\",\"head\":\"34 m\","
             "\"power\":\"1 kW\"},{\"flow\":\"80 L/min\",\"head\":\"12 m\",\"power\":\"1 kW\"}],"
             "\"motor\":{\"power\":\"1.5 kW\",\"phases\":1,\"voltage\":\"230 V\"}}],"
             "\"vessels\":[{\"name\":\"vessel\",\"at\":\"shed\",\"volume\":\"%s\",\"precharge\":\"%s\",\"gas "
             "exponent\":%s}],\"outlets\":[{\"name\":\"tap\",\"at\":\"shed\",\"needs\":\"0 kPa\"}],"
             "\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\",\"from\":\"0 kPa\",\"to\":"
             "\"1000 kPa\",\"resolution\":\"0.001 kPa\"}],\"settings\":[\"start when pressure below 200 kPa\","
             "\"stop when pressure above 420 kPa\",%s]}",
             source, pump, volume, precharge, exponent, limits);
    kit_load(k, json, false);
}

static void load(kit *k, const char *volume, const char *precharge, const char *exponent, const char *source)
{
    load_named(k, volume, precharge, exponent, source, "pump",
               "\"lock out when starts reach 13 in 1 h\",\"lock out when running for 10 min\"");
}

/* Limits are what the sentences mean, however the pump is called and however they are worded. */
static void test_found(void **state)
{
    (void)state;
    static const struct {
        const char *pump, *limits;
        int32_t starts, starts_sentence, run_sentence;
        double run_s;
    } cases[] = {
        {"bore and hill pump",
         "\"bore and hill pump: lock out when starts reach 15 in 1 h\",\"bore and hill pump: lock out when running for "
         "90 "
         "min\"",
         15, 2, 3, 5400.0},
        {"starts reach 4 in 1 h", "\"lock out when running for 20 min\"", 0, -1, 2, 1200.0},
        {"pump", "\"lock out when starts reach 5 in 10 min 3 times in a row\"", 0, -1, -1, 0.0},
        {"pump",
         "\"lock out when running for 9 min and pressure below 100 kPa\",\"warn when starts reach 7 in 30 min\"", 7, 3,
         -1, 0.0},
        {"pump", "\"lock out when pressure below 50 kPa or running for 30 min\"", 0, -1, 2, 1800.0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        kit k;
        pw_limits_check check;
        load_named(&k, "100 L", "180 kPa", "1.0",
                   "\"kind\":\"open\",\"standing water level\":\"0 m\",\"intake\":\"3 m\"", cases[i].pump,
                   cases[i].limits);
        assert_int_equal(prove_limits(&k.arena, k.plant, 1e-3, 310e3, &check), PW_OK);
        assert_int_equal(check.has_starts, cases[i].starts > 0);
        assert_int_equal(check.starts_count, cases[i].starts);
        assert_int_equal(check.starts_sentence, cases[i].starts_sentence);
        assert_int_equal(check.run_sentence, cases[i].run_sentence);
        assert_int_equal(check.has_run, cases[i].run_s > 0.0);
        assert_true(check.run_s == cases[i].run_s);
        kit_close(&k);
    }
}

/* What a leak does in a simulation: starts an hour over whole turns, and the longest run. */
static void trial(kit *k, double leak_m3s, double reference_pa, double *starts_h, double *run_s)
{
    static bool keep[PW_MAX_SENTENCES] = {true, true};
    pw_run_options options;
    memset(&options, 0, sizeof options);
    options.length_ms = 86400000;
    options.seed = 1;
    options.entry_capacity = 200000;
    options.keep = keep;
    options.reference_pa = reference_pa;
    options.fault_count = 1;
    options.faults[0] = (pw_fault){.kind = PW_FAULT_SLOW_LEAK, .severity = leak_m3s, .where = -1, .onset_ms = 0};
    const pw_daybook *book = kit_run(k, &options);
    int64_t first_ms = -1, last_ms = -1, turns = -1;
    for (int32_t i = 0; i < book->entry_count; i++) {
        if (book->entries[i].kind == PW_ENTRY_START && book->entries[i].t_ms > 3600000) {
            first_ms = first_ms < 0 ? book->entries[i].t_ms : first_ms;
            last_ms = book->entries[i].t_ms;
            turns++;
        }
    }
    assert_true(turns > 3);
    *starts_h = 3.6e6 * (double)turns / (double)(last_ms - first_ms);
    *run_s = book->totals.longest_run_s;
}

static void test_trials(void **state)
{
    (void)state;
    static const char open_water[] = "\"kind\":\"open\",\"standing water level\":\"0 m\",\"intake\":\"3 m\"";
    static const char bore[] = "\"kind\":\"bore\",\"standing water level\":\"0 m\",\"intake\":\"30 m\",\"casing\":"
                               "\"110 mm\",\"yield\":\"90 L/min\",\"specific capacity\":\"25 L/min per m\"";
    static const struct {
        const char *volume, *precharge, *exponent, *source;
        double within; /* of starts and of runs */
    } sites[] = {{"24 L", "180 kPa", "1.0", open_water, WITHIN_OPEN},
                 {"100 L", "180 kPa", "1.2", open_water, WITHIN_OPEN},
                 {"300 L", "120 kPa", "1.0", open_water, WITHIN_OPEN},
                 {"100 L", "180 kPa", "1.0", bore, WITHIN_BORE}};
    static const double leaks_lpm[] = {0.7, 3.0, 9.0, 20.0, 30.0};
    double worst_open = 0.0, worst_bore = 0.0;
    for (size_t i = 0; i < sizeof sites / sizeof sites[0]; i++) {
        kit k;
        pw_limits_check check;
        load(&k, sites[i].volume, sites[i].precharge, sites[i].exponent, sites[i].source);
        pw_duty duty;
        const double reference_pa = 310e3;
        assert_int_equal(pw_model_duty(k.plant->model, &k.arena, 0, reference_pa, &duty, NULL), PW_OK);
        assert_int_equal(prove_limits(&k.arena, k.plant, duty.flow_m3s, reference_pa, &check), PW_OK);
        assert_int_equal(check.part_count, PW_LIMIT_PARTS);
        for (size_t l = 0; l < sizeof leaks_lpm / sizeof leaks_lpm[0]; l++) {
            const double leak_m3s = leaks_lpm[l] * LPM;
            const size_t mark = pw_arena_mark(&k.arena);
            double starts_h, run_s;
            trial(&k, leak_m3s, reference_pa, &starts_h, &run_s);
            pw_arena_back(&k.arena, mark);
            const double a = fabs(starts_h / pw_limits_starts_per_hour(&check, leak_m3s) - 1.0);
            const double b = fabs(run_s / pw_limits_run_s(&check, leak_m3s) - 1.0);
            double *worst = sites[i].source == bore ? &worst_bore : &worst_open;
            *worst = fmax(*worst, fmax(a, b));
            if (!(a <= sites[i].within && b <= sites[i].within)) {
                print_error("%s, %g L/min: starts off by %g, run by %g\n", sites[i].volume, leaks_lpm[l], a, b);
            }
            assert_true(a <= sites[i].within && b <= sites[i].within);
        }
        /* the edges are where the two sums say they are */
        const double nudge = 1e-6;
        assert_int_equal(check.starts_from_m3s <= check.starts_to_m3s, check.most_starts_per_hour >= 12.0);
        if (check.most_starts_per_hour >= 12.0) {
            assert_true(pw_limits_starts_per_hour(&check, check.starts_from_m3s * (1.0 + nudge)) >= 12.0);
            assert_true(pw_limits_starts_per_hour(&check, check.starts_from_m3s * (1.0 - nudge)) < 12.0);
            assert_true(pw_limits_starts_per_hour(&check, check.starts_to_m3s * (1.0 - nudge)) >= 12.0);
            assert_true(pw_limits_starts_per_hour(&check, check.starts_to_m3s * (1.0 + nudge)) < 12.0);
        }
        assert_true(pw_limits_run_s(&check, check.run_from_m3s * (1.0 + nudge)) >= 600.0);
        assert_true(pw_limits_run_s(&check, check.run_from_m3s * (1.0 - nudge)) < 600.0);
        kit_close(&k);
    }
    print_message("limits against trials: off by %.3g (open water), %.3g (bore)\n", worst_open, worst_bore);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_gap),    cmocka_unit_test(test_no_gap),
                                       cmocka_unit_test(test_edge),   cmocka_unit_test(test_forms),
                                       cmocka_unit_test(test_twin),   cmocka_unit_test(test_ends),
                                       cmocka_unit_test(test_trials), cmocka_unit_test(test_found)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
