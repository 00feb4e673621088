/* A site whose sheet is wrong by known amounts is logged, and the fit must find them: the truth within its intervals,
 * the sheet left alone where it is right, and what no log can tell refused.
 */
#include "farm.h"
#include "walked.h"

#include "base/num.h"
#include "study/fit.h"
#include "study/fit_inside.h"

/* A (a, b; b, c) times its inverse by hand: a c - b b = 4 * 3 - 1 = 11. */
static void a_matrix_is_inverted(void **state)
{
    (void)state;
    double a[PW_FIT_UNKNOWNS][PW_FIT_UNKNOWNS] = {{4.0, 1.0}, {1.0, 3.0}}, out[PW_FIT_UNKNOWNS][PW_FIT_UNKNOWNS];
    assert_true(pw_fit_invert(2, a, out));
    close_to(out[0][0], 3.0 / 11.0, 1e-12, "00");
    close_to(out[1][1], 4.0 / 11.0, 1e-12, "11");
    assert_true(pw_abs(out[0][1] + 1.0 / 11.0) < 1e-12 && out[0][1] == out[1][0]);
    double bad[PW_FIT_UNKNOWNS][PW_FIT_UNKNOWNS] = {{1.0, 2.0}, {2.0, 1.0}};
    assert_false(pw_fit_invert(2, bad, out));
}

/* The site with some of its numbers so many times as large, and a leak, logged each 5 s from the second day on. */
static pw_record *log_of(kit *k, const char *const *paths, const double *factor, int32_t count, double leak_m3s,
                         int32_t days)
{
    pw_param param[8];
    pw_param_change changes[8];
    pw_site *site = NULL;
    pw_plant *plant = NULL;
    pw_sim *sim = NULL;
    for (int32_t i = 0; i < count; i++) {
        assert_int_equal(pw_number_find(&k->arena, k->site, paths[i], "", &param[i], &k->problems), PW_OK);
        changes[i] = (pw_param_change){&param[i], param[i].si * factor[i]};
    }
    const pw_sim_options how = {.seed = 99};
    assert_int_equal(pw_site_change(&k->arena, k->site, changes, count, "site", &site, &k->problems), PW_OK);
    assert_int_equal(pw_plant_build(&k->arena, site, false, &plant, &k->problems), PW_OK);
    assert_int_equal(pw_sim_create(&k->arena, plant, &how, &sim, &k->problems), PW_OK);
    const pw_fault leak = {.kind = PW_FAULT_SLOW_LEAK, .severity = leak_m3s, .where = -1};
    if (leak_m3s > 0.0) {
        assert_int_equal(pw_sim_befall(sim, &k->arena, &leak, &k->problems), PW_OK);
    }
    assert_int_equal(pw_sim_advance(sim, 86400000, &k->problems), PW_OK);
    pw_record *record = PW_NEW(&k->arena, 1, pw_record);
    bool has[PW_LOG_SIGNALS] = {false};
    has[PW_LOG_PRESSURE] = has[PW_LOG_RUNNING] = has[PW_LOG_CURRENT] = has[PW_LOG_FLOW] = true;
    pw_log_begin(record, has);
    pw_log_sampler sampler;
    pw_log_sampler_begin(&sampler, record, 5.0, 86400.0, 3);
    sampler.noise[PW_LOG_PRESSURE] = 500.0;
    pw_sim_attach(sim, &sampler.observer);
    assert_int_equal(pw_sim_advance(sim, (1 + days) * (int64_t)86400000, &k->problems), PW_OK);
    pw_log_end(record);
    return record;
}

static pw_fit *fit(kit *k, const pw_record *log, const char *const *paths, int32_t count)
{
    const pw_fit_options options = {.seed = 5, .paths = paths, .path_count = count};
    pw_fit *out = NULL;
    const pw_status status = pw_fit_log(&k->arena, k->site, log, &options, &out, &k->problems);
    kit_say(k);
    assert_int_equal(status, PW_OK);
    return out;
}

/* Half the precharge shows in the vessel, if not very surely; the leak plainly. */
static void a_precharge_and_a_leak_are_found(void **state)
{
    (void)state;
    kit k;
    kit_load(&k, FARM, false);
    const char *const wrong[] = {"vessels[0].precharge"};
    const double factor[] = {0.5}, leak_m3s = 0.8e-3 / 60.0;
    const char *const asked[] = {"vessels[0].precharge", "leak"};
    const pw_fit *found = fit(&k, log_of(&k, wrong, factor, 1, leak_m3s, 2), asked, 2);
    const pw_fit_unknown *precharge = &found->unknowns[0], *leak = &found->unknowns[1];
    assert_true(precharge->factor.low <= 0.5 && 0.5 <= precharge->factor.high && precharge->x < -0.2);
    assert_true(leak->told && leak->factor.low <= leak_m3s && leak_m3s <= leak->factor.high);
    assert_true(found->misfit_after < found->misfit_before && found->explained);
    free(k.block);
}

/* A pump that lifts a quarter less: its curve is lowered as one, and what is written is what was fitted. */
static void a_worn_pump_is_found(void **state)
{
    (void)state;
    kit k;
    kit_load(&k, FARM, false);
    const char *const wrong[] = {"pumps[0].curve[0].head", "pumps[0].curve[1].head", "pumps[0].curve[2].head",
                                 "pumps[0].curve[3].head"};
    const double factor[] = {0.75, 0.75, 0.75, 0.75};
    const char *const asked[] = {"pumps[0].curve[*].head", "leak"};
    const pw_fit *found = fit(&k, log_of(&k, wrong, factor, 4, 0.0, 2), asked, 2);
    const pw_fit_unknown *head = &found->unknowns[0];
    assert_int_equal(head->count, 4);
    assert_true(head->told && head->off && head->factor.low <= 0.75 && 0.75 <= head->factor.high);
    for (int32_t i = 0; i < head->count; i++) {
        close_to(found->values[i].is, found->values[i].param.si * head->factor.best, 2e-3, "what is written");
    }
    free(k.block);
}

/* A log of a site that is as its sheet says: nothing changes, the roughness of new plastic pipe is refused, and a
 * leak that is not there is bounded. */
static void a_right_sheet_stands(void **state)
{
    (void)state;
    kit k;
    kit_load(&k, FARM, false);
    const char *const asked[] = {"pumps[*].curve[*].head", "lines[*].roughness", "leak"};
    const pw_fit *found = fit(&k, log_of(&k, NULL, NULL, 0, 0.0, 2), asked, 3);
    for (int32_t i = 0; i < found->value_count; i++) {
        assert_true(found->values[i].is == found->values[i].param.si);
    }
    assert_true(found->unknowns[0].count > 2);
    assert_false(found->unknowns[1].told);
    assert_true(found->unknowns[2].factor.low == 0.0);
    free(k.block);
}

static void paths_that_lead_nowhere_are_refused(void **state)
{
    (void)state;
    kit k;
    kit_load(&k, FARM, false);
    const char *const paths[] = {"vessels[0].precharg", "pumps[*].heads", "settings[0].pressure"};
    pw_record *record = log_of(&k, NULL, NULL, 0, 0.0, 0);
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        const pw_fit_options options = {.seed = 1, .paths = &paths[i], .path_count = 1};
        pw_fit *out = NULL;
        assert_int_not_equal(pw_fit_log(&k.arena, k.site, record, &options, &out, &k.problems), PW_OK);
    }
    free(k.block);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_matrix_is_inverted),
        cmocka_unit_test(a_precharge_and_a_leak_are_found),
        cmocka_unit_test(a_worn_pump_is_found),
        cmocka_unit_test(a_right_sheet_stands),
        cmocka_unit_test(paths_that_lead_nowhere_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
