/* One job of a proof, its simulation made up here: what of it becomes an outcome. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "sheet.h"
#include "study/prove_inside.h"

#define DAY_S 86400.0

static prove_found found;

pw_status prove_edges(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                      const pw_proof_starts *starts, const pw_job *job, const pw_outcome *outcome, uint32_t *out,
                      pw_problems *problems)
{
    (void)arena, (void)plant, (void)options, (void)jobs, (void)starts, (void)job, (void)outcome, (void)problems;
    *out = 0;
    return PW_OK;
}

pw_status prove_simulate(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                         const pw_proof_starts *starts, const pw_job *job, prove_found *out, pw_problems *problems)
{
    (void)arena, (void)plant, (void)options, (void)jobs, (void)starts, (void)job, (void)problems;
    *out = found;
    return PW_OK;
}

static uint8_t block[64 * 1024 * 1024];
static pw_arena arena;
static pw_plant *plant;
enum { ONSET_H = 34, LOCK_STARTS = 2, LOCK_RUN = 3, WARN = 4 }; /* sentences of the sheet */

static int set_up(void **state)
{
    (void)state;
    pw_arena_init(&arena, block, sizeof block);
    plant = test_plant(&arena);
    return plant != NULL ? 0 : -1;
}

/* The same site whose warning stands before its lock out: sentences 2 and 3. */
static pw_plant *warned_first(void)
{
    static char text[6000];
    const pw_json *json = NULL;
    pw_site *site = NULL;
    pw_plant *other = NULL;
    const char *locks = strstr(test_sheet, "\"lock out when starts");
    assert_non_null(locks);
    snprintf(text, sizeof text, "%.*s\"warn when pressure below 100 kPa\",\"lock out when running for 90 min\"]}",
             (int)(locks - test_sheet), test_sheet);
    assert_int_equal(pw_json_read(&arena, text, strlen(text), &json, NULL), PW_OK);
    assert_int_equal(pw_site_read(&arena, json, "site", &site, NULL), PW_OK);
    assert_int_equal(pw_plant_build(&arena, site, false, &other, NULL), PW_OK);
    return other;
}

static void nothing_found(double simulated_s)
{
    memset(&found, 0, sizeof found);
    found.burnt_ms = -1;
    found.length_ms = (int64_t)(ONSET_H * 3600 + simulated_s) * 1000;
    for (int32_t i = 0; i < PW_MAX_SENTENCES; i++) {
        found.firings[i].t_ms = -1;
    }
}

static pw_outcome outcome_of(pw_fault_kind kind)
{
    pw_job job = {.kind = PW_JOB_FAULT,
                  .fault = {.kind = kind, .severity = 0.1, .where = -1, .onset_ms = (int64_t)ONSET_H * 3600000}};
    const pw_jobs jobs = {.count = 1, .jobs = &job, .pump_m3s = 1e-3, .reference_pa = 325e3};
    pw_proof_options options;
    pw_outcome out;
    pw_proof_defaults(&options);
    assert_int_equal(pw_proof_job(&arena, plant, &options, &jobs, NULL, 0, &out, NULL), PW_OK);
    return out;
}

/* Of two watches the one that fired first; in one and the same moment the lock out before the warning, whichever stands
 * first. */
static void who_caught_it(void **state)
{
    (void)state;
    const int64_t at_ms = (int64_t)ONSET_H * 3600000 + 500000;
    nothing_found(14.0 * DAY_S);
    assert_int_equal(outcome_of(PW_FAULT_SLOW_LEAK).caught_by, -1);
    found.firings[WARN].t_ms = at_ms;
    assert_int_equal(outcome_of(PW_FAULT_SLOW_LEAK).caught_by, WARN);
    assert_false(outcome_of(PW_FAULT_SLOW_LEAK).stopped);
    found.firings[LOCK_RUN].t_ms = at_ms + 1;
    assert_int_equal(outcome_of(PW_FAULT_SLOW_LEAK).caught_by, WARN);
    found.firings[LOCK_RUN].t_ms = at_ms;
    assert_int_equal(outcome_of(PW_FAULT_SLOW_LEAK).caught_by, LOCK_RUN);
    assert_true(outcome_of(PW_FAULT_SLOW_LEAK).stopped);
    assert_true(outcome_of(PW_FAULT_SLOW_LEAK).seconds == 500.0);
    assert_false(outcome_of(PW_FAULT_WELDED).stopped); /* locked out, and yet it runs */
    found.firings[LOCK_RUN].t_ms = -1;
    found.firings[LOCK_STARTS].t_ms = at_ms - 1;
    assert_int_equal(outcome_of(PW_FAULT_SLOW_LEAK).caught_by, LOCK_STARTS);
    pw_plant *const usual = plant;
    plant = warned_first();
    nothing_found(14.0 * DAY_S);
    found.firings[2].t_ms = at_ms; /* the warning */
    found.firings[3].t_ms = at_ms; /* the lock out of the same moment */
    assert_int_equal(outcome_of(PW_FAULT_SLOW_LEAK).caught_by, 3);
    found.firings[3].t_ms = at_ms + 1;
    assert_int_equal(outcome_of(PW_FAULT_SLOW_LEAK).caught_by, 2);
    plant = usual;
}

/* Nothing caught: what came after the onset only, a day's share of it, beside what the healthy site does as well. */
static void what_it_cost(void **state)
{
    (void)state;
    nothing_found(10.0 * DAY_S);
    found.at_fault = (pw_totals){.leaked_m3 = 1.0,
                                 .missing_m3 = 0.2,
                                 .wanted_m3 = 3.0,
                                 .dry_s = 10.0,
                                 .deadhead_s = 20.0,
                                 .starts = 40,
                                 .run_s = 1000.0,
                                 .pressure_top_pa = 400e3,
                                 .winding_max_c = 50.0,
                                 .water_max_c = 25.0,
                                 .most_starts_in_hour = 4};
    found.totals = (pw_totals){.leaked_m3 = 3.0,
                               .spilled_m3 = 0.5,
                               .missing_m3 = 0.7,
                               .wanted_m3 = 23.0,
                               .dry_s = 70.0,
                               .deadhead_s = 50.0,
                               .starts = 280,
                               .run_s = 9000.0,
                               .pressure_top_pa = 450e3,
                               .winding_max_c = 80.0,
                               .water_max_c = 40.0,
                               .most_starts_in_hour = 20};
    found.usual = (pw_totals){.leaked_m3 = 0.1,
                              .spilled_m3 = 0.2,
                              .missing_m3 = 0.05,
                              .dry_s = 3.0,
                              .deadhead_s = 4.0,
                              .pressure_top_pa = 410e3,
                              .winding_max_c = 45.0,
                              .water_max_c = 26.0,
                              .most_starts_in_hour = 6};
    found.behind_m3 = 0.4;
    const pw_outcome o = outcome_of(PW_FAULT_SLOW_LEAK);
    assert_true(fabs(o.lost_m3 - 2.5) < 1e-12);
    assert_true(fabs(o.lost_per_day_m3 - 0.25) < 1e-12);
    assert_true(fabs(o.missing_m3 - 0.5) < 1e-12 && fabs(o.wanted_m3 - 20.0) < 1e-12);
    assert_true(o.dry_s == 60.0 && o.deadhead_s == 30.0 && o.run_s == 8000.0);
    assert_true(o.starts == 240.0 && fabs(o.starts_per_hour - 1.0) < 1e-12);
    assert_true(fabs(o.usual_lost_m3 - 0.3) < 1e-12 && o.usual_m3 == 0.05);
    assert_true(o.usual_dry_s == 3.0 && o.usual_deadhead_s == 4.0);
    assert_true(o.usual_top_pa == 410e3 && o.usual_winding_c == 50.0 && o.usual_water_c == 26.0);
    assert_true(o.usual_starts_in_hour == 6.0 && o.behind_m3 == 0.4);
    assert_true(o.burnt_s == 0.0 && !o.unprotected);
}

/* A motor that burns out a minute after the onset; one that had before; one after the catch. */
static void burnt(void **state)
{
    (void)state;
    const int64_t onset_ms = (int64_t)ONSET_H * 3600000;
    nothing_found(DAY_S);
    found.burnt_ms = onset_ms + 60000;
    assert_true(outcome_of(PW_FAULT_OVERLOAD).burnt_s == 60.0);
    found.burnt_ms = onset_ms - 5000;
    assert_true(outcome_of(PW_FAULT_OVERLOAD).burnt_s == -5.0);
    found.burnt_ms = onset_ms + 60000;
    found.firings[LOCK_RUN].t_ms = onset_ms + 30000;
    assert_true(outcome_of(PW_FAULT_OVERLOAD).burnt_s == 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(who_caught_it), cmocka_unit_test(what_it_cost),
                                       cmocka_unit_test(burnt)};
    return cmocka_run_group_tests(tests, set_up, NULL);
}
