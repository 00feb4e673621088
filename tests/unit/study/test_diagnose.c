/* Diagnosis from readings: what is simulated with a known fault is read off and given back, and the fault must be
 * found, its size within the stated interval. Balances and rules of integration are held against closed forms.
 */
#include "farm.h"
#include "walked.h"

#include "base/num.h"
#include "formula/vessel.h"
#include "study/diagnose.h"
#include "study/diagnose_inside.h"

static const int64_t hour_ms = 3600000;

/* ---- parts ---- */

/* Moments of the standard normal distribution: 1, 0, 1, 0, 3, 0 (any table), with x = ln(factor) / 0.35. */
static void the_uses_have_the_moments_of_a_normal_spread(void **state)
{
    (void)state;
    const double expected[] = {1.0, 0.0, 1.0, 0.0, 3.0, 0.0};
    for (int32_t power = 0; power < 6; power++) {
        double sum = 0.0;
        for (int32_t i = 0; i < PW_USES; i++) {
            const double x = pw_log(pw_use_factor[i]) / 0.35;
            double term = pw_use_weight[i];
            for (int32_t k = 0; k < power; k++) {
                term *= x;
            }
            sum += term;
        }
        assert_true(pw_abs(sum - expected[power]) < 1e-6 * (1.0 + expected[power]));
    }
}

/* 60 L/min for 10 min in 8 h, 12 starts: 600 L in 480 min leave 1.25 L/min, and (60 - 1.25) * 10 / 12 L is one turn. */
static void counters_balance_by_hand(void **state)
{
    (void)state;
    const double l_min = 1e-3 / 60.0;
    close_to(pw_cycle_leak_m3s(60.0 * l_min, 600.0, 28800.0), 1.25 * l_min, 1e-12, "leak");
    close_to(pw_cycle_drawdown_m3(60.0 * l_min, 600.0, 28800.0, 12.0), 48.958333333333e-3, 1e-12, "drawdown");
    assert_true(pw_cycle_drawdown_m3(1e-3, 600.0, 28800.0, 0.0) == PW_INF);
}

/* ---- a site that has something ---- */

/* Seconds for each diagnosis: under sanitizers a leak and the valve walk what the others would. */
static void walks_what_others_do(void)
{
    if (WALKED) {
        skip();
    }
}

typedef struct counted {
    int64_t starts;
    double ran_s;
} counted;

/* Watches are none of the farm's, so a plain run is what the counters of the real site would tell. */
static counted count_on(const kit *k, const pw_fault *fault, bool drawn, int64_t from_ms, int64_t over_ms)
{
    kit other;
    kit_open(&other, (size_t)64 << 20);
    pw_site *site = PW_NEW(&other.arena, 1, pw_site);
    *site = *k->site;
    site->demand_count = drawn ? site->demand_count : 0;
    pw_run_options early = {.seed = 77, .length_ms = from_ms}, late = {.seed = 77, .length_ms = from_ms + over_ms};
    if (fault != NULL) {
        early.faults[0] = late.faults[0] = *fault;
        early.fault_count = late.fault_count = 1;
    }
    pw_plant *plant = NULL;
    pw_daybook *a = NULL, *b = NULL;
    assert_int_equal(pw_plant_build(&other.arena, site, false, &plant, &other.problems), PW_OK);
    assert_int_equal(pw_run(&other.arena, plant, &early, &a, &other.problems), PW_OK);
    assert_int_equal(pw_run(&other.arena, plant, &late, &b, &other.problems), PW_OK);
    const counted out = {b->totals.starts - a->totals.starts, b->totals.run_s - a->totals.run_s};
    free(other.block);
    return out;
}

static pw_diagnosis *diagnose(kit *k, const pw_reading *readings, int32_t count)
{
    const pw_diagnose_options options = {.seed = 5};
    pw_diagnosis *found = NULL;
    const pw_status status = pw_diagnose(&k->arena, k->site, readings, count, &options, &found, &k->problems);
    kit_say(k);
    assert_int_equal(status, PW_OK);
    double sum = 0.0;
    for (int32_t i = 0; i < found->hypothesis_count; i++) {
        assert_true(found->hypotheses[i].probability >= 0.0);
        assert_true(i == 0 || found->hypotheses[i].probability <= found->hypotheses[i - 1].probability);
        sum += found->hypotheses[i].probability;
    }
    assert_true(pw_abs(sum - 1.0) < 1e-9);
    return found;
}

static const pw_hypothesis *of(const pw_diagnosis *found, pw_fault_kind kind)
{
    for (int32_t i = 0; i < found->hypothesis_count; i++) {
        if (found->hypotheses[i].fault == kind && !found->hypotheses[i].more_use) {
            return &found->hypotheses[i];
        }
    }
    fail_msg("no such hypothesis");
    return NULL;
}

static pw_reading quiet_night(const counted *seen)
{
    return (pw_reading){.kind = PW_READING_QUIET, .starts = seen->starts, .ran_s = seen->ran_s, .over_s = 8.0 * 3600.0};
}

static void a_quiet_night_of_a_healthy_site_is_healthy(void **state)
{
    (void)state;
    walks_what_others_do();
    kit k;
    kit_load(&k, FARM, false);
    const counted seen = count_on(&k, NULL, false, 24 * hour_ms, 8 * hour_ms);
    const pw_reading night = quiet_night(&seen);
    const pw_diagnosis *found = diagnose(&k, &night, 1);
    assert_int_equal(seen.starts, 0);
    assert_int_equal(found->hypotheses[0].fault, PW_FAULT_NONE);
    assert_true(found->explained);
    assert_true(of(found, PW_FAULT_SLOW_LEAK)->probability < of(found, PW_FAULT_NONE)->probability);
    free(k.block);
}

/* Leaks of sizes that no severity of the scale hits: the interval must hold each, and the balance agree. */
static void a_leak_shows_in_a_quiet_night_with_its_size(void **state)
{
    (void)state;
    const double sizes[] = {0.37, 2.3};
    for (size_t i = WALKED ? 1 : 0; i < sizeof sizes / sizeof sizes[0]; i++) {
        kit k;
        kit_load(&k, FARM, false);
        const double leak_m3s = sizes[i] * 1e-3 / 60.0;
        const pw_fault fault = {.kind = PW_FAULT_SLOW_LEAK, .severity = leak_m3s, .where = -1};
        const counted seen = count_on(&k, &fault, false, 24 * hour_ms, 8 * hour_ms);
        const pw_reading night = quiet_night(&seen);
        const pw_diagnosis *found = diagnose(&k, &night, 1);
        const pw_hypothesis *leak = of(found, PW_FAULT_SLOW_LEAK);
        assert_true(seen.starts > 0);
        assert_true(found->explained);
        assert_true(of(found, PW_FAULT_NONE)->probability < 0.05);
        assert_true(leak->probability > 0.3);
        assert_true(leak->severity.low <= leak_m3s && leak_m3s <= leak->severity.high);
        assert_true(found->quiet[0].known && found->quiet[0].sheet_m3 > 0.0);
        /* the balance tells the mean over the turn, the hole its flow at the reference pressure */
        assert_true(found->quiet[0].leak_m3s.low < 1.1 * leak_m3s && found->quiet[0].leak_m3s.high > 0.9 * leak_m3s);
        if (seen.starts > 3) {
            close_to(found->quiet[0].drawdown_m3.best, found->quiet[0].sheet_m3, 0.2, "drawdown");
        }
        free(k.block);
    }
}

/* A vessel without most of its air starts the pump many times as often for the same water. */
static void lost_air_shows_in_the_counters_of_usual_days(void **state)
{
    (void)state;
    walks_what_others_do();
    kit k;
    kit_load(&k, FARM, false);
    const pw_fault fault = {.kind = PW_FAULT_LOST_AIR, .severity = 0.8, .where = -1};
    const counted seen = count_on(&k, &fault, true, 48 * hour_ms, 24 * hour_ms);
    const counted well = count_on(&k, NULL, true, 48 * hour_ms, 24 * hour_ms);
    const pw_reading days = {
        .kind = PW_READING_COUNTERS, .starts = seen.starts, .ran_s = seen.ran_s, .over_s = 24.0 * 3600.0};
    const pw_diagnosis *found = diagnose(&k, &days, 1);
    assert_true(seen.starts > 2 * well.starts);
    assert_true(found->explained);
    assert_true(of(found, PW_FAULT_LOST_AIR)->probability > 0.3);
    assert_true(of(found, PW_FAULT_NONE)->probability < 0.05);
    free(k.block);
}

/* A gauge that falls with the pump's valve shut is no valve that passes back; one that stands then, and falls with it
 * open, is. */
static void the_valve_behind_the_pump_parts_leak_and_non_return_valve(void **state)
{
    (void)state;
    for (int32_t leaks = WALKED ? 1 : 0; leaks < 2; leaks++) {
        kit k;
        kit_load(&k, FARM, false);
        const pw_reading readings[] = {
            {.kind = PW_READING_REST, .from_pa = 330e3, .to_pa = 290e3, .over_s = 600.0},
            {.kind = PW_READING_ISOLATED, .from_pa = 330e3, .to_pa = leaks ? 290e3 : 330e3, .over_s = 600.0}};
        const pw_diagnosis *found = diagnose(&k, readings, 2);
        const double leak = of(found, PW_FAULT_SLOW_LEAK)->probability;
        if (pw_fault_possible(k.site, PW_FAULT_BACKFLOW)) {
            const double back = of(found, PW_FAULT_BACKFLOW)->probability;
            assert_true(leaks ? leak > 20.0 * back : back > 20.0 * leak);
        } else {
            assert_true(leaks && leak > 0.5);
        }
        free(k.block);
    }
}

static void readings_that_nothing_foretells_are_said_to_be_so(void **state)
{
    (void)state;
    walks_what_others_do();
    kit k;
    kit_load(&k, FARM, false);
    const pw_reading absurd = {.kind = PW_READING_QUIET, .starts = 4000, .ran_s = 10.0, .over_s = 8.0 * 3600.0};
    assert_false(diagnose(&k, &absurd, 1)->explained);
    free(k.block);
}

/* And the same readings give the same bits. */
static void the_next_reading_is_one_that_was_not_made(void **state)
{
    (void)state;
    walks_what_others_do();
    kit a, b;
    kit_load(&a, FARM, false);
    kit_load(&b, FARM, false);
    const pw_reading night = {.kind = PW_READING_QUIET, .starts = 9, .ran_s = 500.0, .over_s = 8.0 * 3600.0};
    const pw_diagnosis *found = diagnose(&a, &night, 1);
    assert_int_equal(found->next_count, 2);
    assert_true(found->next[0].bits >= found->next[1].bits && found->next[1].bits >= 0.0);
    assert_int_not_equal(found->next[0].reading.kind, PW_READING_QUIET);
    assert_memory_equal(found, diagnose(&b, &night, 1), sizeof(pw_diagnosis));
    free(a.block);
    free(b.block);
}

static void readings_out_of_range_are_refused(void **state)
{
    (void)state;
    kit k;
    kit_load(&k, FARM, false);
    const pw_diagnose_options options = {.seed = 1};
    const pw_reading bad[] = {
        {.kind = PW_READING_QUIET, .starts = 1, .ran_s = 100.0, .over_s = 50.0},
        {.kind = PW_READING_QUIET, .starts = -1, .ran_s = 1.0, .over_s = 50.0},
        {.kind = PW_READING_QUIET, .starts = 1, .ran_s = 1.0, .over_s = 50.0, .pump = 1},
        {.kind = PW_READING_REST, .from_pa = 100e3, .to_pa = 200e3, .over_s = 60.0},
        {.kind = PW_READING_REST, .from_pa = 100e3, .to_pa = 50e3, .over_s = 0.0},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        pw_diagnosis *found = NULL;
        assert_int_equal(pw_diagnose(&k.arena, k.site, &bad[i], 1, &options, &found, &k.problems), PW_RANGE);
    }
    free(k.block);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_uses_have_the_moments_of_a_normal_spread),
        cmocka_unit_test(counters_balance_by_hand),
        cmocka_unit_test(a_quiet_night_of_a_healthy_site_is_healthy),
        cmocka_unit_test(a_leak_shows_in_a_quiet_night_with_its_size),
        cmocka_unit_test(lost_air_shows_in_the_counters_of_usual_days),
        cmocka_unit_test(the_valve_behind_the_pump_parts_leak_and_non_return_valve),
        cmocka_unit_test(readings_that_nothing_foretells_are_said_to_be_so),
        cmocka_unit_test(the_next_reading_is_one_that_was_not_made),
        cmocka_unit_test(readings_out_of_range_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
