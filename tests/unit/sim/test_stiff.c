/* The implicit steps of core/sim/stiff.c: their order on a smooth stretch, their calm on a stiff one, and the water
 * balance of both.
 */
#include "run_kit.h"

#include "base/num.h"
#include "sim/step.h"

static const char *const SITE =
    "{\"site\":\"stiff\",\"invented\":true,\"altitude\":\"0 m\",\"water\":\"20 degC\","
    "\"places\":[{\"name\":\"dam\",\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"1 "
    "m\"},{\"name\":\"top\",\"level\":\"9 m\"}],"
    "\"sources\":[{\"name\":\"dam\",\"at\":\"dam\",\"kind\":\"open\",\"standing water level\":\"0 m\",\"intake\":\"2 "
    "m\"}],"
    "\"pumps\":[{\"name\":\"pump\",\"from\":\"dam\",\"to\":\"shed\",\"non-return valve\":true,\"curve\":["
    "{\"flow\":\"0 L/min\",\"head\":\"60 m\",\"power\":\"1.5 kW\"},{\"flow\":\"40 L/min\",\"head\":\"50 "
    "m\",\"power\":\"1.6 kW\"},"
    "{\"flow\":\"80 L/min\",\"head\":\"20 m\",\"power\":\"1.7 kW\"}],\"motor\":{\"power\":\"1.5 "
    "kW\",\"phases\":1,\"voltage\":\"230 V\"}}],"
    "\"lines\":[{\"name\":\"filling\",\"from\":\"shed\",\"to\":\"top\",\"pipe\":\"PE100 32 SDR 11\",\"length\":\"120 "
    "m\"}],"
    "\"vessels\":[{\"name\":\"vessel\",\"at\":\"shed\",\"volume\":\"60 L\",\"precharge\":\"150 kPa\",\"gas "
    "exponent\":1.2}],"
    "\"tanks\":[{\"name\":\"tank\",\"at\":\"top\",\"area\":\"1 m2\",\"depth\":\"1.5 m\",\"starts at\":\"1.2 "
    "m\",\"inlet\":\"1.6 m\","
    "\"float valve\":{\"closes at\":\"1.4 m\",\"band\":\"150 mm\",\"bore\":\"12 mm\"}}],"
    "\"outlets\":[{\"name\":\"tap\",\"at\":\"shed\",\"needs\":\"10 kPa\"}],"
    "\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\",\"from\":\"0 kPa\",\"to\":\"1000 "
    "kPa\"}],"
    "\"settings\":[\"start when pressure below 200 kPa\",\"stop when pressure above 350 kPa\"]}";

static pw_sim *stand(kit *k, const pw_sim_options *options, bool pump, double draw_m3s)
{
    pw_sim *run = NULL;
    assert_int_equal(pw_sim_create(&k->arena, k->plant, options, &run, &k->problems), PW_OK);
    run->drive.speed[0] = pump ? 1.0 : 0.0;
    run->drive.draw_m3s[0] = draw_m3s;
    assert_int_equal(pw_run_moment(run, &run->now), PW_OK);
    return run;
}

static double total_storage_of(const pw_sim *run)
{
    double sum = 0.0;
    for (int32_t i = 0; i < run->storages; i++) {
        sum += run->now.y[i];
    }
    return sum;
}

/* Error of the step in units of the tolerance; `trial` is its end. */
static double try_implicit(pw_sim *run, double h_s)
{
    stretch step;
    double error = 0.0;
    memset(&step, 0, sizeof step);
    step.h_s = h_s;
    pw_step_rates(run, &step, run->now.y, &run->now.moment, run->k[0]);
    assert_int_equal(pw_step_stiff(run, &step, 1e-6, &error), PW_OK);
    return error;
}

static void implicit_step(pw_sim *run, double h_s)
{
    (void)try_implicit(run, h_s);
    run->now = run->trial;
}

/* Vessel content after 8 s in so many equal steps, the pump filling it. */
static double filled(kit *k, const pw_sim_options *options, int steps)
{
    pw_sim *run = stand(k, options, true, 1e-4);
    for (int i = 0; i < steps; i++) {
        implicit_step(run, 8.0 / steps);
    }
    return run->now.y[0];
}

static void test_third_order(void **state)
{
    kit k;
    pw_sim_options options;
    (void)state;
    memset(&options, 0, sizeof options);
    kit_load(&k, SITE, true);
    const double truth = filled(&k, &options, 512);
    const double coarse = filled(&k, &options, 4) - truth;
    const double fine = filled(&k, &options, 8) - truth;
    const double finer = filled(&k, &options, 16) - truth;
    print_message("errors %.3e %.3e %.3e, ratios %.2f %.2f\n", coarse, fine, finer, coarse / fine, fine / finer);
    assert_true(pw_abs(coarse) < 1e-6);
    assert_true(coarse / fine > 6.0 && coarse / fine < 12.0); /* 2^3 = 8 for order 3 */
    assert_true(fine / finer > 6.0 && fine / finer < 12.0);
    kit_close(&k);
}

/* An empty vessel at an open tap settles within milliseconds; an hour of it takes a few dozen steps, where the explicit
 * method would need millions. */
static void test_few_steps_on_a_stiff_stretch(void **state)
{
    kit k;
    pw_sim_options options;
    (void)state;
    memset(&options, 0, sizeof options);
    kit_load(&k, SITE, true);
    pw_sim *run = stand(&k, &options, false, 0.5e-3);
    run->now.y[0] = 1e-6; /* next to empty */
    assert_int_equal(pw_run_moment(run, &run->now), PW_OK);
    const double before = total_storage_of(run);
    const double delivered_before = run->now.y[run->sums + SUM_DELIVERED];
    double passed_s = 0.0;
    double h_s = 1e-3;
    int steps = 0;
    while (passed_s < 3600.0) {
        const double error = try_implicit(run, h_s);
        if (error <= 1.0) {
            run->now = run->trial;
            passed_s += h_s;
        }
        h_s *= pw_clamp(0.9 * pw_pow(pw_max(error, 1e-9), -1.0 / 3.0), 0.2, 5.0);
        steps++;
        assert_true(steps < 300);
    }
    print_message("%d steps, pressure %.3g Pa, rate %.3g m3/s\n", steps, run->now.moment.place_pa[1],
                  run->now.moment.rate_m3s[0]);
    assert_true(pw_abs(run->now.moment.place_pa[1]) < 5e3);
    assert_true(pw_abs(run->now.moment.rate_m3s[0]) < 1e-7);
    const double *y = run->now.y;
    const double balance = y[run->sums + SUM_SOURCE] - (y[run->sums + SUM_DELIVERED] - delivered_before) -
                           y[run->sums + SUM_LEAKED] - y[run->sums + SUM_SPILLED] - (total_storage_of(run) - before);
    assert_true(pw_abs(balance) < 1e-12);
    kit_close(&k);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_third_order),
                                       cmocka_unit_test(test_few_steps_on_a_stiff_stretch)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
