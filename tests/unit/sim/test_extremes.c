/* Highest and lowest values within a step: against a closed form, and the same at any tolerance, that is however the
 * steps fall.
 *
 * Two tanks: the upper one runs into the lower one through a pipe whose loss is all in its fittings, and falls in
 * freely; from the lower one a constant flow is drawn. So the root of the upper level falls in proportion to time
 * (Torricelli), and the lower tank stands highest when what runs in is what is drawn: nothing happens at that moment,
 * no step ends.
 */
#include <math.h>

#include "run_kit.h"

#include "sim/observers.h"

#define BEGINS_M  3.0          /* of the upper tank, over the inlet of the lower one */
#define DRAWN_M3S (36.0 / 6e4) /* from the lower one, that begins at 1 m; both have 1 m2 */

static const char *const TANKS =
    "{\"site\":\"two tanks\",\"invented\":true,\"water\":\"15 degC\",\"places\":["
    "{\"name\":\"dam\",\"level\":\"0 m\"},{\"name\":\"upper\",\"level\":\"3.2 m\"},"
    "{\"name\":\"lower\",\"level\":\"0 m\"}],"
    "\"sources\":[{\"name\":\"dam\",\"at\":\"dam\",\"kind\":\"open\",\"standing water level\":\"0 m\",\"intake\":\"2 "
    "m\"}],"
    "\"pumps\":[{\"name\":\"pump\",\"from\":\"dam\",\"to\":\"upper\",\"non-return valve\":true,\"curve\":["
    "{\"flow\":\"0 L/min\",\"head\":\"40 m\",\"power\":\"1 kW\"},"
    "{\"flow\":\"30 L/min\",\"head\":\"36 m\",\"power\":\"1 kW\"},"
    "{\"flow\":\"50 L/min\",\"head\":\"30 m\",\"power\":\"1 kW\"}],"
    "\"motor\":{\"power\":\"1.1 kW\",\"phases\":1,\"voltage\":\"230 V\"}}],"
    "\"tanks\":[{\"name\":\"upper\",\"at\":\"upper\",\"area\":\"1 m2\",\"depth\":\"4 m\",\"starts at\":\"3 m\"},"
    "{\"name\":\"lower\",\"at\":\"lower\",\"area\":\"1 m2\",\"depth\":\"3 m\",\"starts at\":\"1 m\",\"inlet\":\"3.2 "
    "m\"}],"
    "\"lines\":[{\"name\":\"fall\",\"from\":\"upper\",\"to\":\"lower\",\"bore\":\"90 mm\",\"roughness\":\"0.01 mm\","
    "\"length\":\"1 m\",\"extra K\":3000}],"
    "\"outlets\":[{\"name\":\"tap\",\"at\":\"lower\",\"needs\":\"0 kPa\"}],"
    "\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"lower\",\"from\":\"0 kPa\",\"to\":\"1000 "
    "kPa\"}],"
    "\"demand\":[{\"outlet\":\"tap\",\"flow\":\"36 L/min\",\"for\":\"24 h\",\"at\":\"00:00\"}],"
    "\"settings\":[\"start when pressure below 1 kPa\",\"stop when pressure above 900 kPa\"]}";

typedef struct found {
    pw_totals totals;
    double runs_m3s; /* through the pipe at the beginning */
    int64_t steps;
} found;

static found run_tanks(kit *k, double tolerance)
{
    const pw_sim_options options = {.seed = 1, .tolerance = tolerance};
    pw_sim *sim = NULL;
    found out;
    assert_int_equal(pw_sim_create(&k->arena, k->plant, &options, &sim, &k->problems), PW_OK);
    out.runs_m3s = pw_sim_moment(sim)->line_m3s[0];
    pw_tally *tally = pw_tally_new(&k->arena, sim);
    assert_non_null(tally);
    pw_sim_attach(sim, &tally->observer);
    assert_int_equal(pw_sim_advance(sim, 3000000, &k->problems), PW_OK);
    out.totals = pw_tally_totals(tally, sim, false);
    out.steps = pw_sim_segments(sim);
    return out;
}

/* Source: Torricelli's law for a vessel that empties through a fixed resistance; continuity. Own derivation:
 * Q = c sqrt(h), sqrt(h) = sqrt(h0) - c t / 2; highest where c sqrt(h) = q. */
static void test_closed_form(void **state)
{
    kit k;
    (void)state;
    kit_load(&k, TANKS, true);
    const double pa_per_m = pw_model_pa_per_m(k.plant->model);
    double before_pa = 0.0;
    int64_t first_steps = 0, last_steps = 0;
    for (int32_t i = 0; i < 4; i++) {
        static const double tolerances[] = {1e-4, 1e-6, 1e-8, 1e-10};
        const found f = run_tanks(&k, tolerances[i]);
        const double c = f.runs_m3s / sqrt(BEGINS_M), root = DRAWN_M3S / c;
        const double highest_s = 2.0 / c * (sqrt(BEGINS_M) - root);
        const double expected_pa = (1.0 + BEGINS_M - root * root - DRAWN_M3S * highest_s) * pa_per_m;
        assert_true(f.runs_m3s > 1.3 * DRAWN_M3S && highest_s > 1000.0 && highest_s < 2900.0);
        assert_true(
            near(f.totals.pressure_max_pa, expected_pa, 2e-5)); /* the pipe's friction is no square of the flow */
        assert_true(i == 0 || near(f.totals.pressure_max_pa, before_pa, 1e-6)); /* 13 mPa */
        before_pa = f.totals.pressure_max_pa;
        first_steps = i == 0 ? f.steps : first_steps;
        last_steps = f.steps;
    }
    assert_true(last_steps > first_steps); /* other steps, the same height */
    kit_close(&k);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_closed_form)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
