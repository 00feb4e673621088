/* Judging by hand: what makes a fault harmless, late, seen or unseen; what ails a healthy site; edges of blind bands.
 * Each limit is tried from both sides, with numbers of this file.
 */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "base/num.h"
#include "sheet.h"
#include "study/prove_inside.h"

#define LPM     (1e-3 / 60.0)
#define DAY_S   86400.0
#define HORIZON (14.0 * DAY_S)

static uint8_t block[64 * 1024 * 1024];
static pw_arena arena;
static pw_plant *plant;

static int set_up(void **state)
{
    (void)state;
    pw_arena_init(&arena, block, sizeof block);
    plant = test_plant(&arena);
    return plant != NULL ? 0 : -1;
}

static pw_outcome quiet(void)
{
    pw_outcome outcome;
    memset(&outcome, 0, sizeof outcome);
    outcome.caught_by = -1;
    outcome.seconds = HORIZON;
    return outcome;
}

static pw_finding judged(const pw_outcome *outcome)
{
    const pw_job job = {.kind = PW_JOB_FAULT, .fault = {PW_FAULT_VALVE_CLOSED, 0.0, -1, 0}};
    return pw_outcome_finding(plant, &job, outcome);
}

/* The pressure counts from the limit on, and only where it is 2 % over what the healthy site has. */
static void pressure(void **state)
{
    (void)state;
    const double limit = plant->site->limits.highest_pa.v;
    pw_outcome o = quiet();
    o.pressure_top_pa = 0.999 * limit;
    assert_int_equal(judged(&o), PW_FINDING_HARMLESS);
    o.pressure_top_pa = 1.5 * limit;
    assert_int_equal(judged(&o), PW_FINDING_UNSEEN);
    o.usual_top_pa = limit; /* half as much again as usual */
    assert_int_equal(judged(&o), PW_FINDING_UNSEEN);
    o.usual_top_pa = 1.5 * limit / 1.03;
    assert_int_equal(judged(&o), PW_FINDING_UNSEEN);
    o.usual_top_pa = 1.5 * limit / 1.01;
    assert_int_equal(judged(&o), PW_FINDING_HARMLESS);
}

/* What the healthy site does as well is not the fault's doing. */
static void as_usual(void **state)
{
    (void)state;
    const double winding_c = plant->site->pumps[0].motor.winding_limit_c.v;
    pw_outcome o = quiet();
    o.water_max_c = 61.0;
    assert_int_equal(judged(&o), PW_FINDING_UNSEEN);
    o.usual_water_c = 60.5;
    assert_int_equal(judged(&o), PW_FINDING_HARMLESS);
    o = quiet();
    o.water_max_c = 59.0;
    assert_int_equal(judged(&o), PW_FINDING_HARMLESS);
    o.winding_max_c = winding_c + 1.0;
    assert_int_equal(judged(&o), PW_FINDING_UNSEEN);
    o.usual_winding_c = winding_c + 0.5;
    assert_int_equal(judged(&o), PW_FINDING_HARMLESS);
    o = quiet();
    o.lost_m3 = 1.0; /* 71 L a day */
    assert_int_equal(judged(&o), PW_FINDING_UNSEEN);
    o.usual_lost_m3 = 0.995; /* 5 L in a fortnight */
    assert_int_equal(judged(&o), PW_FINDING_HARMLESS);
    o.usual_lost_m3 = 0.98;
    assert_int_equal(judged(&o), PW_FINDING_UNSEEN);
    o = quiet();
    o.deadhead_s = 620.0;
    assert_int_equal(judged(&o), PW_FINDING_UNSEEN);
    o.usual_deadhead_s = 30.0;
    assert_int_equal(judged(&o), PW_FINDING_HARMLESS);
    o = quiet();
    o.dry_s = 3.0;
    assert_int_equal(judged(&o), PW_FINDING_UNSEEN);
    o.usual_dry_s = 1.5;
    assert_int_equal(judged(&o), PW_FINDING_HARMLESS);
}

static void starts(void **state)
{
    (void)state;
    const double limit = plant->site->limits.starts_per_hour.v;
    pw_outcome o = quiet();
    o.most_starts_in_hour = limit;
    assert_int_equal(judged(&o), PW_FINDING_HARMLESS);
    o.most_starts_in_hour = 1.5 * limit;
    assert_int_equal(judged(&o), PW_FINDING_UNSEEN);
    o.usual_starts_in_hour = 1.5 * limit / 1.3;
    assert_int_equal(judged(&o), PW_FINDING_UNSEEN);
    o.usual_starts_in_hour = 1.5 * limit / 1.2;
    assert_int_equal(judged(&o), PW_FINDING_HARMLESS);
    o.ending = PW_END_HUNTING;
    assert_int_equal(judged(&o), PW_FINDING_UNSEEN);
}

/* Caught: a lock out in time, one too late, a mere warning. Not caught: stores that outlast the horizon, protection. */
static void caught_or_not(void **state)
{
    (void)state;
    pw_outcome o = quiet();
    o.caught_by = 2;
    assert_int_equal(judged(&o), PW_FINDING_TOLD);
    o.stopped = true;
    assert_int_equal(judged(&o), PW_FINDING_STOPPED);
    o.winding_max_c = plant->site->pumps[0].motor.winding_limit_c.v + 1.0;
    assert_int_equal(judged(&o), PW_FINDING_TOO_LATE);
    o = quiet();
    o.unprotected = true;
    assert_int_equal(judged(&o), PW_FINDING_UNPROTECTED);
    o.lost_m3 = 1.0; /* harm goes before what may come */
    assert_int_equal(judged(&o), PW_FINDING_UNSEEN);
    o = quiet();
    o.wanted_m3 = 8.0;
    o.behind_m3 = 2.1; /* more than a quarter of what was drawn came out of stores */
    assert_int_equal(judged(&o), PW_FINDING_OUTLASTED);
    o.behind_m3 = 1.9;
    assert_int_equal(judged(&o), PW_FINDING_HARMLESS);
    o.typed = PW_TYPED_REFUSED;
    assert_int_equal(judged(&o), PW_FINDING_REFUSED);
    o.typed = PW_TYPED_WARNED;
    assert_int_equal(judged(&o), PW_FINDING_WARNED);
}

/* ---- the healthy site ---- */

/* What ails a site whose one healthy year found this, as bits. */
static uint32_t ails(const pw_outcome *year)
{
    pw_job job = {.kind = PW_JOB_HEALTHY};
    const pw_jobs jobs = {.count = 1, .jobs = &job};
    pw_proof proof;
    memset(&proof, 0, sizeof proof);
    proof.plant = plant;
    proof.jobs = &jobs;
    proof.outcomes = year;
    prove_healthy(&proof);
    assert_true(proof.healthy.known);
    return proof.healthy.fails;
}

static void healthy_site(void **state)
{
    (void)state;
    const pw_limits_of_site *limits = &plant->site->limits;
    pw_outcome fine = quiet();
    fine.seconds = 365.0 * DAY_S;
    fine.wanted_m3 = 100.0;
    fine.run_s = 1000.0 * 3600.0;
    assert_int_equal(ails(&fine), 0);
    const struct {
        size_t field;
        double good, bad;
        pw_ailment ailment;
    } rows[] = {
        {offsetof(pw_outcome, missing_m3), 0.9, 1.1, PW_AIL_MISSING}, /* of 100 */
        {offsetof(pw_outcome, dry_s), 0.99 * limits->dry_run_s.v, 1.01 * limits->dry_run_s.v, PW_AIL_DRY},
        {offsetof(pw_outcome, deadhead_s), 365.0 * 590.0, 365.0 * 610.0, PW_AIL_DEADHEAD},
        {offsetof(pw_outcome, cavitates_s), 99.0 * 3600.0, 101.0 * 3600.0, PW_AIL_CAVITATES}, /* of 1000 h */
        {offsetof(pw_outcome, water_max_c), 59.5, 60.5, PW_AIL_HOT_WATER},
        {offsetof(pw_outcome, winding_max_c), plant->site->pumps[0].motor.winding_limit_c.v - 0.5,
         plant->site->pumps[0].motor.winding_limit_c.v + 0.5, PW_AIL_WINDING},
        {offsetof(pw_outcome, pressure_top_pa), 0.99 * limits->highest_pa.v, 1.01 * limits->highest_pa.v,
         PW_AIL_PRESSURE},
        {offsetof(pw_outcome, most_starts_in_hour), limits->starts_per_hour.v, limits->starts_per_hour.v + 1.0,
         PW_AIL_STARTS},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        pw_outcome year = fine;
        double *field = (double *)(void *)((uint8_t *)&year + rows[i].field);
        *field = rows[i].good;
        assert_int_equal(ails(&year), 0);
        *field = rows[i].bad;
        assert_int_equal(ails(&year), 1u << rows[i].ailment);
    }
    pw_outcome year = fine;
    year.false_stops = 1;
    assert_int_equal(ails(&year), 0);
    year.false_stops = 2;
    assert_int_equal(ails(&year), 1u << PW_AIL_FALSE_STOPS);
    year = fine;
    year.ending = PW_END_HUNTING;
    assert_int_equal(ails(&year), 1u << PW_AIL_HUNTS);
    year = fine;
    year.burnt_s = 0.5 * year.seconds; /* half a year is all there was: one stop in it is two a year */
    year.false_stops = 1;
    assert_int_equal(ails(&year), 1u << PW_AIL_BURNS | 1u << PW_AIL_FALSE_STOPS);
}

/* ---- false stops, blind bands ---- */

/* Exact one-sided bounds of a Poisson mean at 95 %: 2.996 for none, 4.744 for one, 10.513 for five (Garwood 1936, as
 * in tables of half the chi-square quantile). They hold where each year draws by chance; the sheet's own
 * draws, the same each day, bound nothing. */
static void false_stops(void **state)
{
    (void)state;
    static const struct {
        int32_t stops;
        double upper;
    } rows[] = {{0, 2.995732}, {1, 4.743865}, {5, 10.513034}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        pw_job list[2] = {{.kind = PW_JOB_HEALTHY}, {.kind = PW_JOB_HEALTHY, .year = 1}};
        const pw_jobs jobs = {.count = 2, .jobs = list, .pump_m3s = 50.0 * LPM, .reference_pa = 325e3};
        pw_outcome years[2] = {quiet(), quiet()};
        pw_proof_options options;
        pw_proof *proof = NULL;
        years[1].job = 1;
        years[0].seconds = years[1].seconds = 365.0 * DAY_S;
        years[1].false_stops = rows[i].stops;
        pw_proof_defaults(&options);
        assert_int_equal(pw_proof_assemble(&arena, plant, &options, &jobs, years, &proof, NULL), PW_OK);
        assert_true(fabs(proof->healthy_years - 2.0) < 1e-12 && !(proof->false_upper_per_year < PW_INF));
        const pw_site *before = plant->site;
        pw_site by_chance = *before;
        by_chance.demands[0].kind = PW_DEMAND_RANDOM;
        plant->site = &by_chance;
        assert_int_equal(pw_proof_assemble(&arena, plant, &options, &jobs, years, &proof, NULL), PW_OK);
        plant->site = before;
        assert_true(fabs(proof->false_upper_per_year - 0.5 * rows[i].upper) < 1e-5);
    }
}

/* Leaks of 1, 2, 4 .. 32 L/min; 4 and 8 are not seen: the band reaches from the middle of 2 and 4 to that of 8 and 16
 * on the scale of ratios, 2.83 to 11.3. */
static void blind_band(void **state)
{
    (void)state;
    pw_job list[6];
    pw_outcome outcomes[6];
    pw_proof_options options;
    pw_proof *proof = NULL;
    memset(list, 0, sizeof list);
    for (int32_t i = 0; i < 6; i++) {
        list[i].kind = PW_JOB_SWEEP;
        list[i].fault = (pw_fault){.kind = PW_FAULT_SLOW_LEAK, .severity = (double)(1 << i) * LPM, .where = -1};
        outcomes[i] = quiet();
        outcomes[i].job = i;
        outcomes[i].caught_by = i == 2 || i == 3 ? -1 : i == 5 ? 1 : 2;
        outcomes[i].lost_per_day_m3 = list[i].fault.severity * DAY_S;
    }
    const pw_jobs jobs = {.count = 6, .jobs = list, .pump_m3s = 50.0 * LPM, .reference_pa = 325e3};
    pw_proof_defaults(&options);
    assert_int_equal(pw_proof_assemble(&arena, plant, &options, &jobs, outcomes, &proof, NULL), PW_OK);
    assert_int_equal(proof->band_count, 1);
    assert_true(fabs(proof->bands[0].from_m3s / LPM - 2.828427) < 1e-6);
    assert_true(fabs(proof->bands[0].to_m3s / LPM - 11.313708) < 1e-6);
    assert_true(fabs(proof->bands[0].lost_from_m3d - 5.76) < 1e-9); /* 4 L/min for a day */
    assert_int_equal(proof->bands[0].tried, 2);

    /* sentence 2, nobody, sentence 2, sentence 1: from end to end, no gap, the blind one exactly the band */
    static const struct {
        double from, to;
        int32_t by, tried;
    } rows[] = {
        {1.0, 2.828427, 2, 2}, {2.828427, 11.313708, -1, 2}, {11.313708, 22.627417, 2, 1}, {22.627417, 32.0, 1, 1}};
    pw_leak_stretch found[8];
    assert_int_equal(pw_proof_stretches(proof, found, 8), 4);
    for (int32_t i = 0; i < 4; i++) {
        assert_true(fabs(found[i].from_m3s / LPM - rows[i].from) < 1e-6 &&
                    fabs(found[i].to_m3s / LPM - rows[i].to) < 1e-6);
        assert_int_equal(found[i].caught_by, rows[i].by);
        assert_int_equal(found[i].tried, rows[i].tried);
    }
    assert_true(found[1].from_m3s == proof->bands[0].from_m3s && found[1].to_m3s == proof->bands[0].to_m3s);
    found[2].from_m3s = -1.0;
    assert_int_equal(pw_proof_stretches(proof, found, 2),
                     4); /* too little room: told how many, nothing written beyond */
    assert_true(found[1].to_m3s == proof->bands[0].to_m3s && found[2].from_m3s == -1.0);
}

/* The sweep: from 0.05 L/min in equal ratios up to the pump's flow; a quarter of the sizes close under that flow. */
static void sweep(void **state)
{
    (void)state;
    pw_proof_options options;
    pw_jobs *jobs = NULL;
    pw_proof_defaults(&options);
    options.sweep_count = 20;
    assert_int_equal(pw_proof_plan(&arena, plant, &options, &jobs, NULL), PW_OK);
    double sizes[20];
    int32_t count = 0;
    for (int32_t i = 0; i < jobs->count; i++) {
        if (jobs->jobs[i].kind == PW_JOB_SWEEP) {
            sizes[count] = jobs->jobs[i].fault.severity;
            count++;
        }
    }
    assert_int_equal(count, 20);
    const double ratio = pow(jobs->pump_m3s / (0.05 * LPM), 1.0 / 14.0); /* 15 in equal ratios */
    assert_true(fabs(sizes[0] / LPM - 0.05) < 1e-12);
    assert_true(fabs(sizes[1] / sizes[0] / ratio - 1.0) < 1e-9);
    assert_true(fabs(sizes[5] / sizes[4] / ratio - 1.0) < 1e-9);
    assert_true(sizes[19] == jobs->pump_m3s);
    double close = 0.0; /* 0.5 % of the flow left beside the largest leak under it */
    for (int32_t i = 0; i < 19; i++) {
        close = fmax(close, sizes[i]);
    }
    assert_true(fabs(close / jobs->pump_m3s - 0.995) < 1e-9);
}

/* ---- a limit of starts and one of run time ---- */

/* 28 L between cut-in and cut-out, a pump of 60 L/min, 15 starts in an hour: 14 whole turns an hour are needed.
 * q (Q - q) / (Q V) = 14/h gives q = 30 -+ sqrt(900 - 14 * 60 * 28 / 60) L/min; 40 min of running needs Q - 28/40. */
static void two_limits(void **state)
{
    (void)state;
    pw_limits_check c;
    memset(&c, 0, sizeof c);
    c.known = c.has_starts = c.has_run = true;
    c.starts_needed_per_hour = 14.0;
    c.run_s = 2400.0;
    c.pump_m3s = 60.0 * LPM;
    c.drawdown_m3 = 28e-3;
    pw_limits_solve(&c);
    const double root = sqrt(900.0 - 14.0 / 60.0 * 60.0 * 28.0);
    assert_true(fabs(c.starts_from_m3s / LPM - (30.0 - root)) < 1e-6);
    assert_true(fabs(c.starts_to_m3s / LPM - (30.0 + root)) < 1e-6);
    assert_true(fabs(c.run_from_m3s / LPM - (60.0 - 0.7)) < 1e-6);
    assert_true(fabs(c.most_starts_per_hour - 3600.0 * 1e-3 / (4.0 * 28e-3)) < 1e-6); /* Q / (4 V) */
    assert_true(c.gap);
    assert_true(fabs(pw_limits_run_s(&c, 30.0 * LPM) - 56.0) < 1e-9);
    c.run_s = 45.0; /* 28 L over 22.7 L/min is 74 s: the two limits overlap */
    pw_limits_solve(&c);
    assert_false(c.gap);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pressure),      cmocka_unit_test(as_usual),     cmocka_unit_test(starts),
        cmocka_unit_test(caught_or_not), cmocka_unit_test(healthy_site), cmocka_unit_test(false_stops),
        cmocka_unit_test(blind_band),    cmocka_unit_test(sweep),        cmocka_unit_test(two_limits),
    };
    return cmocka_run_group_tests(tests, set_up, NULL);
}
