/* Plan, jobs and assembling, with a run that the test makes up: what a watch sees is then known beforehand. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/num.h"
#include "formula/rare.h"
#include "told_proof.h"
#include "study/prove_inside.h"
#include "sheet.h"

#define LPM (1e-3 / 60.0)

static pw_job last_job;
static int64_t burns_ms = -1;

/* A weaker pump, and no other move, hides what the vessel's lost air shows. */
pw_status prove_edges(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                      const pw_proof_starts *starts, const pw_job *job, const pw_outcome *outcome, uint32_t *out,
                      pw_problems *problems)
{
    (void)arena, (void)plant, (void)options, (void)jobs, (void)starts, (void)outcome, (void)problems;
    *out = job->fault.kind == PW_FAULT_LOST_AIR ? 1u << PW_MOVE_PUMP_WEAK : 0;
    return PW_OK;
}

/* Sentence 2 (from 0) sees leaks from 5 to 45 L/min after 1000 s, sentence 3 those from 50 L/min after 5400 s, sentence
 * 4 only warns: of a vessel that lost its air. A welded contactor is seen by sentence 3. Nothing else is ever seen.
 * The reader refuses psi, warns of the swapped sentences, and of another one where minutes are typed.
 * Healthy years: year n (from its seed) has n lock outs by sentence 2. */
pw_status prove_simulate(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                         const pw_proof_starts *starts, const pw_job *job, prove_found *book, pw_problems *problems)
{
    (void)arena, (void)plant, (void)jobs, (void)starts, (void)problems;
    last_job = *job;
    const int64_t length_ms = job->kind == PW_JOB_HEALTHY ? (int64_t)PW_HEALTHY_YEAR_S * 1000
                                                          : job->fault.onset_ms + (int64_t)(options->horizon_s * 1e3);
    memset(book, 0, sizeof *book);
    for (int32_t i = 0; i < PW_MAX_SENTENCES; i++) {
        book->firings[i].t_ms = -1;
    }
    book->length_ms = length_ms;
    book->burnt_ms = burns_ms;
    book->totals.winding_max_c = 40.0;
    if (job->kind == PW_JOB_MARGIN) { /* only larger draws are stopped, from a quarter more of them on */
        book->length_ms = (int64_t)PW_HEALTHY_YEAR_S * 500;
        book->lock_count = job->year == PW_MOVE_DRAWS_MORE ? 180 : 0;
        book->fired[3] = book->lock_count;
        book->edge_part = book->lock_count > 0 ? 0.25 : 0.0;
        return PW_OK;
    }
    if (job->kind == PW_JOB_HEALTHY) {
        book->lock_count = (int32_t)((options->seed + 1 + (uint64_t)job->year) % 10);
        book->fired[2] = book->lock_count;
        book->fired[4] = 99; /* warnings are no false stops */
        return PW_OK;
    }
    const pw_fault *fault = &job->fault;
    int32_t by = -1;
    double after_s = 0.0, leak = fault->severity / LPM;
    bool leaks = fault->kind == PW_FAULT_SLOW_LEAK || fault->kind == PW_FAULT_BURST;
    book->typed_refused = fault->kind == PW_FAULT_PSI_TYPED;
    book->typed_about_it = fault->kind == PW_FAULT_SETTINGS_SWAPPED;
    if (leaks && leak >= 5.0 && leak <= 45.0) {
        by = 2;
    }
    if (leaks && leak >= 50.0) {
        by = 3;
    }
    if (fault->kind == PW_FAULT_LOST_AIR) {
        by = 4;
    }
    if (fault->kind == PW_FAULT_WELDED) {
        by = 3;
    }
    after_s = by == 3 ? 5400.0 : 1000.0;
    pw_totals since;
    memset(&since, 0, sizeof since);
    since.winding_max_c = 40.0;
    if (by >= 0) {
        since.leaked_m3 = leaks ? fault->severity * after_s : 0.0;
        since.starts = 7;
        book->firings[by].t_ms = fault->onset_ms + (int64_t)(after_s * 1000.0);
        book->firings[by].totals = since;
        book->ending = PW_END_WATCH;
        book->length_ms = book->firings[by].t_ms;
    } else {
        book->at_fault.leaked_m3 = 0.5;
        book->at_fault.starts = 30;
        double rest_s = (double)(length_ms - fault->onset_ms) / 1000.0;
        book->totals.leaked_m3 = 0.5 + (leaks ? fault->severity * rest_s : 0.0);
        book->totals.starts = 330;
    }
    return PW_OK;
}

typedef struct kit {
    void *block;
    pw_arena arena;
    pw_plant *plant;
    pw_proof_options options;
    pw_jobs *jobs;
    pw_outcome *outcomes;
    pw_proof *proof;
} kit;

static int set_up(void **state)
{
    kit *k = calloc(1, sizeof *k);
    size_t size = (size_t)64 << 20;
    k->block = malloc(size);
    pw_arena_init(&k->arena, k->block, size);
    k->plant = test_plant(&k->arena);
    assert_non_null(k->plant);
    pw_proof_defaults(&k->options);
    assert_int_equal(pw_proof_plan(&k->arena, k->plant, &k->options, &k->jobs, NULL), PW_OK);
    k->outcomes = calloc((size_t)k->jobs->count, sizeof *k->outcomes);
    /* backwards: the order must not matter */
    for (int32_t i = k->jobs->count - 1; i >= 0; i--) {
        size_t mark = pw_arena_mark(&k->arena);
        assert_int_equal(pw_proof_job(&k->arena, k->plant, &k->options, k->jobs, NULL, i, &k->outcomes[i], NULL),
                         PW_OK);
        assert_int_equal(pw_arena_mark(&k->arena), mark);
    }
    assert_int_equal(pw_proof_assemble(&k->arena, k->plant, &k->options, k->jobs, k->outcomes, &k->proof, NULL), PW_OK);
    *state = k;
    return 0;
}

static int tear_down(void **state)
{
    kit *k = *state;
    free(k->outcomes);
    free(k->block);
    free(k);
    return 0;
}

static void test_defaults(void **state)
{
    (void)state;
    pw_proof_options options;
    pw_proof_defaults(&options);
    assert_int_equal(options.healthy_years, 10);
    assert_true(options.horizon_s == 14.0 * 86400.0);
    assert_int_equal(options.onset_ms, (24 + 10) * 3600 * 1000);
    assert_true(options.confidence == 0.95);
}

static void test_plan(void **state)
{
    kit *k = *state;
    int32_t years = 0, sweep = 0, faults = 0;
    double last = 0.0;
    for (int32_t i = 0; i < k->jobs->count; i++) {
        const pw_job *job = &k->jobs->jobs[i];
        if (job->kind == PW_JOB_HEALTHY) {
            assert_int_equal(job->year, years++);
        }
        if (job->kind == PW_JOB_FAULT) {
            faults++;
            assert_true(job->fault.kind != PW_FAULT_FLOAT_PASSING); /* there is no float valve here */
            assert_true(job->fault.onset_ms == k->options.onset_ms);
        }
        if (job->kind == PW_JOB_SWEEP) {
            sweep++;
            assert_true(job->fault.severity > last);
            last = job->fault.severity;
        }
    }
    assert_int_equal(years, 10);
    assert_int_equal(sweep, 48);
    assert_true(faults > 20);
    assert_true(last == k->jobs->pump_m3s);
    assert_true(k->jobs->reference_pa == 325e3);
    /* The pump's curve at 325 kPa: (325 kPa + 2 m + 14 m and the bore's drawdown) is about 53 m; between 30 and 75
     * L/min */
    assert_true(k->jobs->pump_m3s > 45.0 * LPM && k->jobs->pump_m3s < 65.0 * LPM);
}

static void test_refuses(void **state)
{
    kit *k = *state;
    pw_proof_options wrong[6];
    for (int32_t i = 0; i < 6; i++) {
        pw_proof_defaults(&wrong[i]);
    }
    wrong[0].healthy_years = -1;
    wrong[1].sweep_count = PW_MAX_SWEEP + 1;
    wrong[2].horizon_s = 0.0;
    wrong[3].confidence = 1.0;
    wrong[4].onset_ms = -1;
    wrong[5].horizon_s = NAN;
    for (int32_t i = 0; i < 6; i++) {
        pw_jobs *jobs = k->jobs;
        assert_int_equal(pw_proof_plan(&k->arena, k->plant, &wrong[i], &jobs, NULL), PW_RANGE);
        assert_null(jobs);
    }
    pw_proof_options most = k->options;
    most.sweep_count = PW_MAX_SWEEP;
    pw_jobs *jobs = NULL;
    assert_int_equal(pw_proof_plan(&k->arena, k->plant, &most, &jobs, NULL), PW_OK);
}

static const pw_outcome *outcome_of(kit *k, pw_fault_kind kind)
{
    for (int32_t i = 0; i < k->jobs->count; i++) {
        if (k->jobs->jobs[i].kind == PW_JOB_FAULT && k->jobs->jobs[i].fault.kind == kind) {
            return &k->outcomes[i];
        }
    }
    fail_msg("no such fault");
    return NULL;
}

static void test_outcomes(void **state)
{
    kit *k = *state;
    const pw_outcome *leak = outcome_of(k, PW_FAULT_SLOW_LEAK); /* the mildest: 0.2 L/min, never seen */
    assert_int_equal(leak->caught_by, -1);
    assert_true(leak->seconds == k->options.horizon_s);
    assert_true(leak->starts == 300.0);
    assert_true(fabs(leak->lost_per_day_m3 - 0.2 * 1.44) < 1e-9); /* 0.2 L/min is 288 L a day */
    const pw_outcome *air = outcome_of(k, PW_FAULT_LOST_AIR);
    assert_int_equal(air->caught_by, 4);
    assert_false(air->stopped); /* it only warns */
    const pw_outcome *welded = outcome_of(k, PW_FAULT_WELDED);
    assert_int_equal(welded->caught_by, 3);
    assert_true(welded->seconds == 5400.0);
    assert_false(welded->stopped); /* locked out, yet it runs */
    const pw_outcome *burst = outcome_of(k, PW_FAULT_BURST);
    assert_int_equal(burst->caught_by, 2);
    assert_true(burst->stopped);
    assert_true(burst->starts == 7.0);
}

/* Blind below 5, and between 45 and 50 L/min: edges lie between neighbours, and the truth lies within. */
static void test_bands(void **state)
{
    kit *k = *state;
    const pw_proof *proof = k->proof;
    assert_int_equal(proof->band_count, 2);
    const pw_band *low = &proof->bands[0], *high = &proof->bands[1];
    assert_true(low->below_m3s == 0.0);
    assert_true(low->from_m3s == low->first_m3s);
    assert_true(fabs(low->first_m3s / LPM - 0.05) < 1e-9);
    assert_true(low->last_m3s < 5.0 * LPM && low->above_m3s >= 5.0 * LPM);
    assert_true(fabs(low->to_m3s - sqrt(low->last_m3s * low->above_m3s)) < 1e-15);
    assert_true(high->below_m3s <= 45.0 * LPM && high->first_m3s > 45.0 * LPM);
    assert_true(high->last_m3s < 50.0 * LPM && high->above_m3s >= 50.0 * LPM);
    assert_true(fabs(low->lost_to_m3d - low->last_m3s * 86400.0) < 1e-9);
    assert_true(low->lost_most_m3d == low->lost_to_m3d);
    assert_true(low->tried > 20);
}

/* Seeds 2 .. 11 give 2 + 3 + ... + 9 + 0 + 1 = 45 lock outs in 10 years. */
static void test_false_stops(void **state)
{
    kit *k = *state;
    assert_int_equal(k->proof->years, 10);
    assert_int_equal(k->proof->false_stops, 45);
    assert_true(k->proof->false_per_year == 4.5);
    assert_int_equal(k->proof->homes_stopped, 9);
    assert_int_equal(k->proof->most_in_home, 9);
    assert_int_equal(k->outcomes[0].false_by[2], 2);
    assert_int_equal(k->outcomes[0].false_by[4], 0);
}

/* The bound of the same counts stands on what the demand shows: repeated days nothing, years and homes all of it (homes
 * as heaps of 2.04 stops, the variance of 0, 1 .. 9 by their mean), a trace of two days the two days, on which 45 stops
 * in ten years leave at most one. */
static void test_bound_stands_on_demand(void **state)
{
    kit *k = *state;
    static const double times_s[] = {0, 43200, 172800}, flows_m3s[] = {0, 1e-4, 0};
    const pw_site *before = k->plant->site;
    pw_site *site = malloc(sizeof *site);
    pw_proof *proof;
    const double all = pw_poisson_upper(45, 0.95) / 10.0, heap = (285.0 - 202.5) / 9.0 / 4.5;
    assert_non_null(site);
    *site = *before;
    k->plant->site = site;
    assert_true(k->proof->basis.kind == PW_BASIS_REPEATS && !(k->proof->false_upper_per_year < PW_INF));
    site->demand_count = 1;
    site->demands[0] = (pw_demand){.kind = PW_DEMAND_RANDOM};
    assert_int_equal(pw_proof_assemble(&k->arena, k->plant, &k->options, k->jobs, k->outcomes, &proof, NULL), PW_OK);
    assert_true(proof->basis.kind == PW_BASIS_YEARS && proof->false_upper_per_year == all);
    site->demands[0].kind = PW_DEMAND_HOUSEHOLD;
    assert_int_equal(pw_proof_assemble(&k->arena, k->plant, &k->options, k->jobs, k->outcomes, &proof, NULL), PW_OK);
    assert_true(proof->basis.kind == PW_BASIS_HOMES);
    assert_float_equal(proof->false_upper_per_year, heap * pw_poisson_upper(23, 0.95) / 10.0, 1e-9);
    assert_true(proof->false_upper_per_year > all);
    site->demands[1] = (pw_demand){
        .kind = PW_DEMAND_TRACE, .trace_count = 3, .trace_s = times_s, .trace_m3s = flows_m3s, .trace_scale = {.v = 1}};
    site->demand_count = 2;
    assert_int_equal(pw_proof_assemble(&k->arena, k->plant, &k->options, k->jobs, k->outcomes, &proof, NULL), PW_OK);
    assert_true(proof->basis.kind == PW_BASIS_TRACE && proof->basis.days == 2.0);
    assert_true(fabs(proof->false_upper_per_year - pw_poisson_upper(1, 0.95) * 365.0 / 2.0) < 1e-9);
    k->plant->site = before;
    free(site);
}

/* 100 L vessel, precharge 230 kPa, between 250 and 400 kPa at 101.325 kPa of air, p V^n constant: the site's n from the
 * sheet. For n = 1: 100 (331.325/351.325 - 331.325/501.325) = 28.22 L; for n = 1.2 it is 100 ((.)^(1/1.2) -
 * (.)^(1/1.2)). */
static void test_limits(void **state)
{
    kit *k = *state;
    const pw_limits_check *check = &k->proof->check;
    assert_true(check->known && check->has_starts && check->has_run);
    assert_int_equal(check->starts_sentence, 2);
    assert_int_equal(check->run_sentence, 3);
    assert_int_equal(check->starts_count, 15);
    assert_true(check->starts_window_s == 3600.0);
    assert_true(check->starts_needed_per_hour == 14.0);
    assert_true(check->run_s == 5400.0);
    double n = k->plant->site->vessels[0].polytropic.v;
    double air = PW_ATM_PA * pow(1.0 - 2.25577e-5 * k->plant->site->altitude_m.v, 5.25588);
    double hand = 0.1 * (pow((230e3 + air) / (250e3 + air), 1.0 / n) - pow((230e3 + air) / (400e3 + air), 1.0 / n));
    assert_true(fabs(check->drawdown_m3 / hand - 1.0) < 0.01);
    assert_true(check->gap);
}

static void test_words(void **state)
{
    kit *k = *state;
    for (int32_t i = 0; i < k->jobs->count; i++) {
        const char *words =
            told_fact(&k->arena, pw_outcome_fact(&k->arena, k->plant, &k->jobs->jobs[i], &k->outcomes[i]));
        assert_non_null(words);
        assert_null(strstr(words, "nan"));
        if (k->jobs->jobs[i].kind != PW_JOB_FAULT) {
            continue;
        }
        pw_finding finding = pw_outcome_finding(k->plant, &k->jobs->jobs[i], &k->outcomes[i]);
        bool fine = finding == PW_FINDING_STOPPED || finding == PW_FINDING_REFUSED || finding == PW_FINDING_HARMLESS;
        const pw_usual usual = pw_proof_usual(k->proof);
        const char *next = told_next(&k->arena, k->plant, &usual, &k->jobs->jobs[i], &k->outcomes[i]);
        assert_int_equal(fine, next[0] == '\0');
        if (k->jobs->jobs[i].fault.kind == PW_FAULT_WELDED) {
            assert_int_equal(finding, PW_FINDING_TOLD);
            assert_non_null(strstr(words, "seen after 1 h 30 min"));
            assert_non_null(strstr(words, "welded and stays closed"));
        }
        if (k->jobs->jobs[i].fault.kind == PW_FAULT_LOST_AIR) {
            assert_non_null(strstr(words, "only warns"));
        }
        if (k->jobs->jobs[i].fault.kind == PW_FAULT_PSI_TYPED) {
            assert_int_equal(finding, PW_FINDING_REFUSED);
        }
        if (k->jobs->jobs[i].fault.kind == PW_FAULT_SETTINGS_SWAPPED) {
            assert_int_equal(finding, PW_FINDING_WARNED);
        }
        if (k->jobs->jobs[i].fault.kind == PW_FAULT_MINUTES_TYPED) {
            assert_false(pw_outcome_typed(&k->outcomes[i])); /* a warning of another sentence */
        }
        assert_false(pw_outcome_typed(&k->outcomes[i]) && k->outcomes[i].stopped);
    }
    pw_count_of_faults counts = pw_proof_counts(k->proof);
    assert_int_equal(counts.caught, counts.stopped + counts.told + counts.too_late);
    assert_int_equal(counts.tried, counts.caught + counts.refused + counts.warned + counts.unseen + counts.harmless);
    assert_int_equal(counts.told, 8); /* 7 severities of lost air and the welded contactor */
}

/* A limit is proposed when the trial stands out from the healthy years, and only then; the order's own one is
 * shortened.
 */
static void test_next(void **state)
{
    kit *k = *state;
    pw_job job = {.kind = PW_JOB_FAULT, .fault = {PW_FAULT_SENSOR_STUCK, 0.0, -1, 0}};
    pw_usual usual = {
        .years = 10, .random = true, .longest_run_s = 600.0, .most_starts_in_hour = 4.0, .starts_per_day = 20.0};
    pw_outcome out;
    memset(&out, 0, sizeof out);
    out.caught_by = -1;
    out.lost_m3 = 1.0;
    out.seconds = 14.0 * 86400.0;
    assert_non_null(strstr(told_next(&k->arena, k->plant, &usual, &job, &out), "\"warn when stopped for 24 h\""));
    assert_null(strchr(told_next(&k->arena, k->plant, NULL, &job, &out), '"')); /* nothing is known to compare with */
    out.starts = 1.0;
    out.run_s = 60.0;
    out.longest_run_s = 850.0; /* not long enough to tell it from a healthy run */
    assert_null(strchr(told_next(&k->arena, k->plant, &usual, &job, &out), '"'));
    out.longest_run_s = 2400.0;
    const char *ran = told_next(&k->arena, k->plant, &usual, &job, &out);
    assert_non_null(
        strstr(ran, "Shorten sentence 4: \"lock out when running for 20 min\": the longest healthy run is 10 min, "
                    "here one lasts 40 min."));
    out.longest_run_s = 20000.0;
    usual.longest_run_s = 5000.0; /* the order's 90 min are shorter than what could be proposed */
    assert_null(strstr(told_next(&k->arena, k->plant, &usual, &job, &out), "running for"));
    job.fault.kind = PW_FAULT_LOST_AIR;
    out.most_starts_in_hour = 10.0;
    assert_non_null(strstr(told_next(&k->arena, k->plant, &usual, &job, &out),
                           "\"lock out when starts reach 7 in 1 h\": a healthy hour has 4 at most, here one has 10."));
    out.most_starts_in_hour = 30.0; /* the order's 15 see that */
    assert_null(strchr(told_next(&k->arena, k->plant, &usual, &job, &out), '"'));
}

/* Each limit of the site makes an outcome a cost: each alone is enough. */
static void test_findings(void **state)
{
    kit *k = *state;
    pw_job job = {.kind = PW_JOB_FAULT, .fault = {PW_FAULT_VALVE_CLOSED, 0.0, -1, 0}};
    pw_outcome fine;
    memset(&fine, 0, sizeof fine);
    fine.caught_by = -1;
    fine.seconds = 14.0 * 86400.0;
    assert_int_equal(pw_outcome_finding(k->plant, &job, &fine), PW_FINDING_HARMLESS);
    pw_outcome bad[7];
    for (int32_t i = 0; i < 7; i++) {
        bad[i] = fine;
    }
    bad[0].lost_m3 = 0.015; /* a litre a day and a little */
    bad[1].dry_s = 5.0;
    bad[2].winding_max_c = 1000.0;
    bad[3].pressure_top_pa = k->plant->site->limits.highest_pa.v + 1.0;
    bad[4].deadhead_s = 3600.0;
    bad[5].wanted_m3 = 10.0;
    bad[5].missing_m3 = 0.1;
    bad[6].most_starts_in_hour = k->plant->site->limits.starts_per_hour.v + 1.0;
    for (int32_t i = 0; i < 7; i++) {
        assert_int_equal(pw_outcome_finding(k->plant, &job, &bad[i]), PW_FINDING_UNSEEN);
    }
    bad[0].lost_m3 = 0.013;
    assert_int_equal(pw_outcome_finding(k->plant, &job, &bad[0]), PW_FINDING_HARMLESS);
    bad[6].usual_starts_in_hour = bad[6].most_starts_in_hour - 1.0; /* the healthy site is over its limit as well */
    assert_int_equal(pw_outcome_finding(k->plant, &job, &bad[6]), PW_FINDING_HARMLESS);
    bad[6].most_starts_in_hour *= 1.5;
    assert_int_equal(pw_outcome_finding(k->plant, &job, &bad[6]), PW_FINDING_UNSEEN);
    bad[1].caught_by = 2;
    bad[1].stopped = true;
    assert_int_equal(pw_outcome_finding(k->plant, &job, &bad[1]), PW_FINDING_STOPPED);
    bad[1].dry_s = k->plant->site->limits.dry_run_s.v + 1.0;
    assert_int_equal(pw_outcome_finding(k->plant, &job, &bad[1]), PW_FINDING_TOO_LATE);
}

/* Users notice a jug and more: a thousandth of what they want, or ten minutes in all. What was missing before the
 * fault too is no harm of its own. */
static void test_missing_water(void **state)
{
    static const struct {
        double missing_l, usual_l, short_s;
        bool harm;
    } cases[] = {
        {0.9, 0.0, 86400.0, false}, /* less than a jug */
        {9.0, 0.0, 599.0, false},   /* of 10 m3: less than a thousandth, less than ten minutes */
        {9.0, 0.0, 601.0, true},      {11.0, 0.0, 60.0, true},      {1000.0, 1000.0, 86400.0, false},
        {1499.0, 1000.0, 1e6, false}, {1520.0, 1000.0, 60.0, true},
    };
    kit *k = *state;
    pw_job job = {.kind = PW_JOB_FAULT, .fault = {PW_FAULT_SUPPLY_LOST, 3600.0, -1, 0}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        pw_outcome outcome;
        memset(&outcome, 0, sizeof outcome);
        outcome.caught_by = -1;
        outcome.seconds = 14.0 * 86400.0;
        outcome.wanted_m3 = 10.0;
        outcome.missing_m3 = 1e-3 * cases[i].missing_l;
        outcome.usual_m3 = 1e-3 * cases[i].usual_l;
        outcome.short_s = cases[i].short_s;
        assert_int_equal(pw_outcome_finding(k->plant, &job, &outcome),
                         cases[i].harm ? PW_FINDING_UNSEEN : PW_FINDING_HARMLESS);
    }
}

static void test_unseen(void **state)
{
    kit *k = *state;
    pw_unseen unseen[PW_MAX_UNSEEN];
    int32_t count = pw_proof_unseen(&k->arena, k->proof, unseen, PW_MAX_UNSEEN);
    assert_true(count >= 2);
    assert_non_null(strstr(told_fact(&k->arena, unseen[0].what), "0.05 L/min (and less)"));
    assert_non_null(strstr(told_facts(&k->arena, &unseen[0].next), "time the fall to cut-in"));
    assert_non_null(strstr(told_fact(&k->arena, unseen[1].what), "Leaks from 4"));
    for (int32_t i = 0; i < count; i++) {
        assert_null(strstr(told_fact(&k->arena, unseen[i].what), "Slow leak")); /* the bands say it */
    }
    assert_int_equal(pw_proof_unseen(&k->arena, k->proof, unseen, 1), 1);
}

static void test_run_options(void **state)
{
    kit *k = *state;
    pw_outcome outcome;
    int32_t i = 0;
    while (k->jobs->jobs[i].kind != PW_JOB_FAULT) {
        i++;
    }
    assert_int_equal(pw_proof_job(&k->arena, k->plant, &k->options, k->jobs, NULL, i, &outcome, NULL), PW_OK);
    assert_int_equal(last_job.kind, k->jobs->jobs[i].kind);
    assert_memory_equal(&last_job.fault, &k->jobs->jobs[i].fault, sizeof last_job.fault);
    assert_int_equal(pw_proof_job(&k->arena, k->plant, &k->options, k->jobs, NULL, 3, &outcome, NULL), PW_OK);
    assert_int_equal(last_job.kind, PW_JOB_HEALTHY);
    assert_int_equal(last_job.year, 3); /* each year its own seed */
}

/* Without enough memory: PW_MEMORY and no result, at every size. */
static void test_memory(void **state)
{
    kit *k = *state;
    static uint8_t block[1 << 18];
    bool done = false;
    for (size_t size = 0; size <= sizeof block && !done; size += 1021) {
        pw_arena small;
        pw_arena_init(&small, block, size);
        pw_proof *proof = k->proof;
        pw_status status = pw_proof_assemble(&small, k->plant, &k->options, k->jobs, k->outcomes, &proof, NULL);
        done = status == PW_OK;
        assert_true(done || (status == PW_MEMORY && proof == NULL));
    }
    assert_true(done);
}

/* Places, times and pairs add jobs, and leave those of the plain proof as they were. */
static void test_extra(void **state)
{
    kit *k = *state;
    pw_proof_options options;
    pw_proof_defaults(&options);
    pw_jobs *plain = NULL, *more = NULL;
    assert_int_equal(pw_proof_plan(&k->arena, k->plant, &options, &plain, NULL), PW_OK);
    options.places = 3;
    options.onsets = 4;
    options.pairs = true;
    assert_int_equal(pw_proof_plan(&k->arena, k->plant, &options, &more, NULL), PW_OK);
    int32_t kept = 0, pairs = 0, leaks = 0;
    for (int32_t i = 0; i < more->count; i++) {
        const pw_job *job = &more->jobs[i];
        kept += job->extra ? 0 : 1;
        pairs += job->second.kind != PW_FAULT_NONE ? 1 : 0;
        leaks +=
            job->kind == PW_JOB_FAULT && job->fault.kind == PW_FAULT_SLOW_LEAK && job->second.kind == PW_FAULT_NONE;
        assert_true(job->kind != PW_JOB_FAULT ||
                    pw_fault_where(k->plant->site, job->fault.kind, job->fault.where) >= 0);
    }
    assert_int_equal(kept, plain->count);
    assert_true(pairs > 10);
    int32_t wheres[3];
    const int32_t places = pw_fault_wheres(k->plant->site, PW_FAULT_SLOW_LEAK, wheres, 3);
    assert_int_equal(places, 2); /* not at the bore */
    assert_int_equal(leaks, 8 * places * 4);
    int32_t numbers[PW_MAX_TRIED_LEAKS], before[PW_MAX_TRIED_LEAKS];
    assert_int_equal(pw_proof_leaks(more, numbers, PW_MAX_TRIED_LEAKS),
                     pw_proof_leaks(plain, before, PW_MAX_TRIED_LEAKS));
    /* one pair, run */
    for (int32_t i = 0; i < more->count; i++) {
        if (more->jobs[i].second.kind == PW_FAULT_WELDED) {
            pw_outcome outcome;
            options.horizon_s = 86400.0;
            assert_int_equal(pw_proof_job(&k->arena, k->plant, &options, more, NULL, i, &outcome, NULL), PW_OK);
            assert_false(outcome.stopped); /* a lock out stops no welded contactor */
            const char *words = told_fact(&k->arena, pw_job_fact(&k->arena, k->plant, &more->jobs[i]));
            assert_non_null(strstr(words, " and Contactor welded"));
            break;
        }
    }
    options.places = 0;
    assert_int_equal(pw_proof_plan(&k->arena, k->plant, &options, &more, NULL), PW_RANGE);
    options.places = 1;
    options.onsets = 25;
    assert_int_equal(pw_proof_plan(&k->arena, k->plant, &options, &more, NULL), PW_RANGE);
}

/* A motor that burnt out without the fault is no cost of the fault, and is told so. */
static void test_burnt_before(void **state)
{
    kit *k = *state;
    for (int32_t i = 0; i < k->jobs->count; i++) {
        const pw_job *job = &k->jobs->jobs[i];
        if (job->kind != PW_JOB_FAULT || job->fault.kind != PW_FAULT_LOST_AIR) {
            continue;
        }
        for (int32_t after = 0; after < 2; after++) {
            pw_outcome outcome;
            burns_ms = job->fault.onset_ms + (after ? 60000 : -60000);
            assert_int_equal(pw_proof_job(&k->arena, k->plant, &k->options, k->jobs, NULL, i, &outcome, NULL), PW_OK);
            burns_ms = -1;
            assert_true(outcome.burnt_s == (after ? 60.0 : -60.0));
            const char *words = told_fact(&k->arena, pw_outcome_fact(&k->arena, k->plant, job, &outcome));
            const char *expected =
                after ? "a motor burnt out after 1 min" : "a motor had burnt out before the fault began, without it";
            assert_non_null(strstr(words, expected));
        }
        return;
    }
    fail();
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_defaults),
                                       cmocka_unit_test(test_plan),
                                       cmocka_unit_test(test_refuses),
                                       cmocka_unit_test(test_outcomes),
                                       cmocka_unit_test(test_bands),
                                       cmocka_unit_test(test_false_stops),
                                       cmocka_unit_test(test_bound_stands_on_demand),
                                       cmocka_unit_test(test_limits),
                                       cmocka_unit_test(test_words),
                                       cmocka_unit_test(test_next),
                                       cmocka_unit_test(test_findings),
                                       cmocka_unit_test(test_unseen),
                                       cmocka_unit_test(test_run_options),
                                       cmocka_unit_test(test_memory),
                                       cmocka_unit_test(test_extra),
                                       cmocka_unit_test(test_missing_water),
                                       cmocka_unit_test(test_burnt_before)};
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
