/* What is found in a log: sketches, bad readings, runs, flow that never ends, and a change. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/random.h"
#include "study/log_judge.h"

static pw_record *begin(pw_log_signal first, pw_log_signal second)
{
    bool has[PW_LOG_SIGNALS] = {false};
    pw_record *log = malloc(sizeof *log);
    assert_non_null(log);
    has[first] = has[second] = true;
    pw_log_begin(log, has);
    return log;
}

static void take(pw_record *log, double t_s, pw_log_signal first, double a, pw_log_signal second, double b)
{
    pw_log_row row = {.t_s = t_s};
    for (int32_t s = 0; s < PW_LOG_SIGNALS; s++) {
        row.value[s] = PW_LOG_MISSING;
    }
    row.value[first] = a;
    row.value[second] = b;
    pw_log_take(log, &row);
}

static void near(double got, double expected, double within)
{
    if (!(pw_abs(got - expected) <= within)) {
        fail_msg("%g instead of %g", got, expected);
    }
}

/* Quantiles of 1 .. 1000 lie within a bin, which is a 63rd of the range's logarithm: e^(ln(2e6) / 63), 26 %. */
static void test_sketch(void **state)
{
    const pw_log_scale scale = pw_log_scale_of(PW_LOG_RUN), of_start = pw_log_scale_of(PW_LOG_AT_START);
    pw_sketch sketch, other, all;
    (void)state;
    memset(&sketch, 0, sizeof sketch);
    memset(&other, 0, sizeof other);
    for (int i = 1; i <= 1000; i++) {
        pw_sketch_add(i % 2 ? &sketch : &other, &scale, i);
    }
    all = sketch;
    pw_sketch_join(&all, &other);
    assert_int_equal(all.count, 1000);
    near(pw_sketch_quantile(&all, 0.5), 500, 130);
    near(pw_sketch_quantile(&all, 0.1), 100, 26);
    memset(&sketch, 0, sizeof sketch);
    for (int i = 0; i < 100; i++) {
        pw_sketch_add(&sketch, &of_start, 219e3 + i);
    }
    near(pw_sketch_quantile(&sketch, 0.5), 219050, 60); /* what lies close together is told exactly */
    memset(&sketch, 0, sizeof sketch);
    assert_true(pw_sketch_quantile(&sketch, 0.5) == 0.0);
}

/* A pump that runs 60 s of each 600 s between 200 and 400 kPa, by its contact and by the turns of the pressure alone.
 * At rest the gauge falls by 200 kPa in 540 s. */
static void cycle(bool by_contact)
{
    pw_record *log = begin(PW_LOG_PRESSURE, by_contact ? PW_LOG_RUNNING : PW_LOG_PRESSURE);
    pw_log_features found;
    for (int t = 0; t < 86400; t += 2) {
        const int phase = t % 600;
        const double pa = phase < 60 ? 200e3 + 200e3 * phase / 60.0 : 400e3 - 200e3 * (phase - 60) / 540.0;
        take(log, t, PW_LOG_PRESSURE, pa, by_contact ? PW_LOG_RUNNING : PW_LOG_PRESSURE, by_contact ? phase < 60 : pa);
    }
    pw_log_end(log);
    pw_log_features_of(log, 0, log->block_count, &found);
    near(found.value[PW_FOUND_RUN_USUAL], 60, 4);
    near(found.value[PW_FOUND_REST_USUAL], 540, 4);
    near(found.value[PW_FOUND_CUT_IN], 200e3, 8e3);
    near(found.value[PW_FOUND_CUT_OUT], 400e3, 8e3);
    near(found.value[PW_FOUND_STARTS_DAY], 144, 2);
    near(found.value[PW_FOUND_SHARE], 0.1, 0.005);
    near(found.value[PW_FOUND_FALL_QUIET], 200e3 / 540.0, 60);
    near(found.value[PW_FOUND_RISING], 200e3 / 60.0, 300);
    free(log);
}

static void test_runs(void **state)
{
    (void)state;
    cycle(true);
    cycle(false);
}

/* A home's hourly counter: use by day, none at night. With a leak of 2 L/h from hour `from` to hour `to`, and what a
 * counter suffers: a step back, a jump that is taken back. */
static pw_record *meter(int from, int to, bool bad)
{
    pw_record *log = begin(PW_LOG_VOLUME, PW_LOG_VOLUME);
    double m3 = 100.0;
    pw_random random;
    pw_random_seed(&random, 4, 1);
    for (int h = 0; h < 24 * 60; h++) {
        const int hour = h % 24;
        const bool used = hour >= 6 && hour < 23 && pw_random_unit(&random) < 0.6;
        m3 += used ? 0.001 * (5.0 + 40.0 * pw_random_unit(&random)) : 0.0;
        m3 += h >= from && h < to ? 0.002 : 0.0;
        const double shown = bad && h == 500 ? m3 - 3.0 : bad && h == 900 ? m3 + 250.0 : m3;
        take(log, 3600.0 * h, PW_LOG_VOLUME, shown, PW_LOG_VOLUME, shown);
    }
    pw_log_end(log);
    return log;
}

static void test_leak_of_a_meter(void **state)
{
    (void)state;
    pw_record *log = meter(480, 720, true);
    assert_int_equal(log->meter.count, 1);
    const pw_log_standing *leak = &log->meter.list[0];
    near(leak->begin_s / 3600.0, 480, 8); /* use of the evening may come before it */
    near(leak->end_s / 3600.0, 720, 8);
    near(leak->size_m3s * 3.6e6, 2.0, 0.3);
    assert_true(leak->probability > 0.95);
    assert_int_equal(log->bad.back, 2); /* one step back, and the way back from the jump */
    assert_int_equal(log->bad.jumps, 1);
    free(log);
    log = meter(0, 0, true);
    assert_int_equal(log->meter.count, 0); /* neither the step back nor the jump is a leak */
    free(log);
}

/* A garden that is watered for 20 hours at one go is no leak: an hour without flow comes before a day is over. */
static void test_long_draw(void **state)
{
    (void)state;
    pw_record *log = begin(PW_LOG_FLOW, PW_LOG_FLOW);
    for (int h = 0; h < 24 * 20; h++) {
        const double flow = h >= 100 && h < 120 ? 1e-4 : h % 24 == 8 ? 5e-5 : 0.0;
        take(log, 3600.0 * h, PW_LOG_FLOW, flow, PW_LOG_FLOW, flow);
    }
    pw_log_end(log);
    assert_int_equal(log->meter.count, 0);
    free(log);
}

static void test_bad_readings(void **state)
{
    (void)state;
    pw_record *log = begin(PW_LOG_PRESSURE, PW_LOG_CURRENT);
    for (int t = 0; t < 20000; t += 10) {
        double pa = 300e3 + 1e3 * (t / 10 % 3);
        pa = t == 5000 ? 3e6 : t == 6000 ? 9e9 : t == 7000 ? PW_LOG_MISSING : pa;
        take(log, t == 8000 ? 100 : t, PW_LOG_PRESSURE, pa, PW_LOG_CURRENT, 5.0);
    }
    take(log, 50000, PW_LOG_PRESSURE, 300e3, PW_LOG_CURRENT, 5.0);
    take(log, 50000, PW_LOG_PRESSURE, 300e3, PW_LOG_CURRENT, 5.0);
    pw_log_end(log);
    assert_int_equal(log->bad.jumps, 1);
    assert_int_equal(log->bad.out_of_range, 1);
    assert_int_equal(log->bad.missing, 1);
    assert_int_equal(log->bad.time_back, 1);
    assert_int_equal(log->bad.time_same, 1);
    assert_int_equal(log->bad.gaps, 1);
    assert_true(log->most[PW_LOG_PRESSURE] < 1e6);
    free(log);
}

/* The flow falls by three tenths in the middle: told, where and how much; steady, it is not. */
static pw_log_verdict *throttled(double part)
{
    pw_record *log = begin(PW_LOG_FLOW, PW_LOG_CURRENT);
    pw_log_verdict *v = calloc(1, sizeof *v);
    pw_random random;
    pw_random_seed(&random, 3, 1);
    for (int t = 0; t < 1200; t++) {
        const double now = t >= 600 ? part : 1.0;
        take(log, t, PW_LOG_FLOW, 5e-4 * now * (1.0 + 0.01 * pw_random_normal(&random)), PW_LOG_CURRENT,
             5.0 * (1.0 + 0.05 * pw_random_normal(&random)) * (0.5 + 0.5 * now));
    }
    pw_log_end(log);
    pw_log_judge_alone(log, v);
    free(log);
    return v;
}

static void test_change_alone(void **state)
{
    (void)state;
    pw_log_verdict *v = throttled(1.0);
    assert_int_equal(v->from_block, 0);
    assert_int_equal(v->hypotheses[0].fault, PW_FAULT_NONE);
    free(v);
    v = throttled(0.7);
    near(v->since_s, 600, 130); /* within two of sixteen stretches */
    assert_int_not_equal(v->hypotheses[0].fault, PW_FAULT_NONE);
    assert_int_not_equal(v->hypotheses[0].fault, PW_FAULT_SLOW_LEAK);
    near(v->features.value[PW_FOUND_FLOW], 3.5e-4, 0.2e-4);
    double sum = 0.0;
    for (int32_t i = 0; i < v->count; i++) {
        sum += v->hypotheses[i].probability;
    }
    near(sum, 1.0, 1e-9);
    free(v);
}

/* Any numbers are safe. */
static void test_any_numbers(void **state)
{
    (void)state;
    pw_random random;
    pw_random_seed(&random, 11, 1);
    for (int round = 0; round < 8; round++) {
        bool has[PW_LOG_SIGNALS];
        pw_record *log = malloc(sizeof *log);
        pw_log_verdict *v = malloc(sizeof *v);
        assert_non_null(log);
        for (int32_t s = 0; s < PW_LOG_SIGNALS; s++) {
            has[s] = pw_random_u32(&random) % 2;
        }
        pw_log_begin(log, has);
        for (int i = 0; i < 4000; i++) {
            pw_log_row row;
            uint64_t bits = ((uint64_t)pw_random_u32(&random) << 32) | pw_random_u32(&random);
            memcpy(&row.t_s, &bits, sizeof bits);
            row.t_s = i % 7 ? i * 10.0 : row.t_s;
            for (int32_t s = 0; s < PW_LOG_SIGNALS; s++) {
                bits = ((uint64_t)pw_random_u32(&random) << 32) | pw_random_u32(&random);
                memcpy(&row.value[s], &bits, sizeof bits);
                row.value[s] = i % 3 ? 100.0 * pw_random_unit(&random) : row.value[s];
            }
            pw_log_take(log, &row);
        }
        pw_log_end(log);
        pw_log_judge_alone(log, v);
        for (int32_t i = 0; i < v->count; i++) {
            assert_true(v->hypotheses[i].probability >= 0.0 && v->hypotheses[i].probability <= 1.0);
        }
        free(v);
        free(log);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_sketch),      cmocka_unit_test(test_runs),         cmocka_unit_test(test_leak_of_a_meter),
        cmocka_unit_test(test_long_draw),   cmocka_unit_test(test_bad_readings), cmocka_unit_test(test_change_alone),
        cmocka_unit_test(test_any_numbers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
