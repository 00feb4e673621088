/* Heat: the water in a pump against a shut valve, as a run tells it and as sizing reckons it; the rise in a pump that
 * delivers; a motor that burns out.
 */
#include <math.h>

#include "study/prove_words.h"
#include "load.h"
#include "formula/thermal.h"
#include "study/size.h"
#include "formula/pump.h"

enum { HOUR_MS = 3600000 };

static const pw_entry *find(const pw_daybook *book, pw_entry_kind kind, int64_t from_ms)
{
    for (int32_t i = 0; i < book->entry_count; i++) {
        if (book->entries[i].kind == (int16_t)kind && book->entries[i].t_ms >= from_ms) {
            return &book->entries[i];
        }
    }
    fail_msg("no such entry");
    return NULL;
}

static double sized(const pw_sizing *sizing, const char *id)
{
    const pw_size_line *line = pw_size_find(sizing, PW_SIZE_STANDSTILL, id);
    assert_non_null(line);
    return line->value;
}

/* The nursery under cut-in and cut-out alone, its delivery valve shut: scald and boil come when sizing says. In the
 * bore's water its pump gives off too much to boil; here it is one that gives off 1 W/K. */
static void a_shut_valve_scalds_and_boils_when_sizing_says(void **state)
{
    (void)state;
    kit k;
    bool keep[PW_MAX_SENTENCES] = {true, true};
    golden_load(&k, "nursery");
    k.site->pumps[0].heat_loss_wk.v = 1.0;
    k.site->pumps[0].heat_loss_wk.given = true;
    golden_build(&k, "nursery");
    pw_size_options sizing_options = {.pump = 0};
    pw_sizing *sizing = NULL;
    assert_int_equal(pw_size(&k.arena, k.plant, &sizing_options, &sizing, &k.problems), PW_OK);
    pw_run_options options = {.length_ms = 24 * HOUR_MS, .entry_capacity = 4000, .keep = keep, .fault_count = 1};
    options.faults[0] = (pw_fault){PW_FAULT_VALVE_CLOSED, 0.0, -1, 10 * HOUR_MS};
    const pw_daybook *book = kit_run(&k, &options);
    const pw_entry *start = find(book, PW_ENTRY_START, 10 * HOUR_MS);
    const pw_entry *hot = find(book, PW_ENTRY_HOT, start->t_ms), *boils = find(book, PW_ENTRY_BOILS, start->t_ms);
    const double scalds_s = (double)(hot->t_ms - start->t_ms) * 1e-3,
                 boils_s = (double)(boils->t_ms - start->t_ms) * 1e-3;
    print_message("scalds after %.1f s, sizing says %.1f s; boils after %.1f s, sizing says %.1f s; at %.2f degC\n",
                  scalds_s, sized(sizing, "time to scalding"), boils_s, sized(sizing, "time to boiling"), boils->a);
    /* it was a little warm from the morning's work */
    assert_true(scalds_s > 0.99 * sized(sizing, "time to scalding") && scalds_s <= sized(sizing, "time to scalding"));
    assert_true(boils_s > 0.99 * sized(sizing, "time to boiling") && boils_s <= sized(sizing, "time to boiling"));
    assert_true(fabs(boils->a - sized(sizing, "boiling")) < 0.01);
    assert_true(fabs(book->totals.water_max_c - boils->a) < 0.01); /* and stays there */
    kit_close(&k);
}

/* What is not water power stays in the water: (1 - eta) g H / (c eta), as long as it flows. */
static void a_delivering_pump_warms_by_its_losses(void **state)
{
    (void)state;
    kit k;
    golden_load(&k, "nursery");
    golden_build(&k, "nursery");
    pw_duty duty;
    assert_int_equal(pw_model_duty(k.plant->model, &k.arena, 0, k.plant->cut_in_pa, &duty, &k.problems), PW_OK);
    const double cp = pw_model_water(k.plant->model)->cp_jkgk;
    const double rise = pw_pump_rise_k(duty.head_m, duty.efficiency, cp);
    pw_run_options options = {.length_ms = 9 * HOUR_MS};
    const pw_daybook *book = kit_run(&k, &options);
    const double got = book->totals.water_max_c - k.site->water_c.v;
    print_message("rise at cut-in %.4f K by the formula, %.4f K at most in a run\n", rise, got);
    assert_true(got > 0.9 * rise && got < 1.6 * rise); /* runs end at cut-out, with less flow and more head */
    kit_close(&k);
}

/* A weak generator: the motor stands under its locked-rotor current until the enamel gives way. */
static void a_stalled_motor_burns_out(void **state)
{
    (void)state;
    kit k;
    golden_load(&k, "nursery");
    golden_build(&k, "nursery");
    pw_run_options options = {
        .length_ms = 24 * HOUR_MS, .entry_capacity = 4000, .sample_ms = 1000, .sample_capacity = 200000};
    options.fault_count = 1;
    options.faults[0] = (pw_fault){PW_FAULT_GENERATOR_SAG, 0.4, -1, 10 * HOUR_MS};
    const pw_daybook *book = kit_run(&k, &options);
    const pw_motor *motor = &k.site->pumps[0].motor;
    const pw_entry *stall = find(book, PW_ENTRY_BURNT, 0);
    const pw_entry *start = NULL;
    for (int32_t i = 0; i < book->entry_count && book->entries[i].t_ms < stall->t_ms; i++) {
        start = book->entries[i].kind == PW_ENTRY_START ? &book->entries[i] : start;
    }
    assert_non_null(start);
    int32_t s = 0;
    while (s < book->sample_count && book->samples[s].t_ms <= start->t_ms) {
        s++;
    }
    const int32_t at = s - 1; /* the last at the start itself */
    const double around = k.site->water_c.v, rise = motor->winding_rise_k.v;
    const double per_theta = rise * motor->service_factor.v * motor->service_factor.v;
    const double current_a = (double)pw_sample_value(book, at + 1, pw_column_pump(0, PW_PUMP_CURRENT));
    const double winding_c = (double)pw_sample_value(book, at, pw_column_pump(0, PW_PUMP_WINDING));
    const double ratio = current_a / (motor->full_load_a.v * motor->service_factor.v);
    const double settled = ratio * ratio, from = (winding_c - around) / per_theta;
    const double to = (motor->winding_limit_c.v + PW_BURNT_OVER_K - around) / per_theta;
    const double expected_s = motor->heat_time_s.v * log((settled - from) / (settled - to));
    const double took_s = (double)(stall->t_ms - start->t_ms) * 1e-3;
    print_message("burnt out %.2f s after the start, %.2f s by the replica of IEC 60255-149\n", took_s, expected_s);
    assert_true(fabs(took_s - expected_s) < 0.02 * expected_s + 0.01);
    assert_true(book->burnt_ms == stall->t_ms && book->burnt_pump == 0);
    for (int32_t i = 0; i < book->entry_count; i++) { /* for good */
        assert_false(book->entries[i].kind == PW_ENTRY_START && book->entries[i].t_ms > stall->t_ms);
    }
    assert_true(book->totals.winding_max_c < motor->winding_limit_c.v + PW_BURNT_OVER_K + 1.0);
    kit_close(&k);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_shut_valve_scalds_and_boils_when_sizing_says),
                                       cmocka_unit_test(a_delivering_pump_warms_by_its_losses),
                                       cmocka_unit_test(a_stalled_motor_burns_out)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
