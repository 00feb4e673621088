/* Three sites on bad ground (examples/ground, docs/ground.md): their day books against figures by hand.
 *
 * By hand: water at 15 degC 999.10 kg/m3, 1.705 kPa of vapour, at 10 degC 999.70 and 1.228 (IAPWS tables); air of
 * 101.325 kPa; losses by Darcy and Weisbach with Colebrook's factor, written out here once more.
 */
#include "load.h"

#include <math.h>

#define G     9.80665
#define LPM   (1e-3 / 60.0)
#define PA_M  (999.10 * G)
#define PIPES 1.5e-6 /* m, roughness of plastic pipe */

static double lost_m(double bore_m, double rough_m, double length_m, double extra_k, double flow_m3s, double viscosity)
{
    const double speed = flow_m3s / (0.25 * 3.14159265358979 * bore_m * bore_m);
    const double reynolds = speed * bore_m / viscosity;
    double root = 7.0; /* 1 / sqrt(f) */
    for (int i = 0; i < 60; i++) {
        root = -2.0 * log10(rough_m / bore_m / 3.7 + 2.51 / reynolds * root);
    }
    return (length_m / bore_m / (root * root) + extra_k) * speed * speed / (2.0 * G);
}

static void is_near(double got, double hand, double within, const char *what)
{
    print_message("%s: %.4g, by hand %.4g\n", what, got, hand);
    assert_true(fabs(got - hand) <= within);
}

static pw_duty duty_at(kit *k, double pa)
{
    pw_duty duty;
    assert_int_equal(pw_model_duty(k->plant->model, &k->arena, 0, pa, &duty, &k->problems), PW_OK);
    return duty;
}

static const pw_daybook *two_days(kit *k)
{
    pw_run_options options = {.length_ms = 2 * 86400000, .seed = 1, .entry_capacity = 500};
    return kit_run(k, &options);
}

static const pw_entry *entry_of(const pw_daybook *book, pw_entry_kind kind, const pw_entry *after)
{
    for (const pw_entry *e = after != NULL ? after + 1 : book->entries; e < book->entries + book->entry_count; e++) {
        if (e->kind == (int16_t)kind) {
            return e;
        }
    }
    return NULL;
}

/* The ridge at 42 m stands higher over the tank's inlet than air pushes water: the pump lifts to the ridge, less the
 * barometer, and what falls behind it is lost. While air stands there, it lifts all of it. */
static void a_summit(void **state)
{
    kit k;
    (void)state;
    golden_load(&k, "ground/summit");
    golden_build(&k, "summit");
    const pw_duty duty = duty_at(&k, 0.0);
    const double up_m = lost_m(0.0408, PIPES, 300.0, 0.0, duty.flow_m3s, 1.1375e-3 / 999.10);
    assert_int_equal(duty.way, PW_DUTY_TORN);
    is_near(duty.summit_pa, 1705.0 - 101325.0, 50.0, "pressure at the ridge, Pa");
    is_near(duty.head_m, 42.0 + duty.summit_pa / PA_M + up_m, 0.05, "head, m");
    const pw_daybook *book = two_days(&k);
    const pw_entry *starts = entry_of(book, PW_ENTRY_START, NULL);
    const pw_entry *out = entry_of(book, PW_ENTRY_AIR_OUT, starts), *torn = entry_of(book, PW_ENTRY_TORN, out);
    const pw_entry *in = entry_of(book, PW_ENTRY_AIR_IN, torn), *stops = entry_of(book, PW_ENTRY_STOP, torn);
    assert_true(starts != NULL && out != NULL && torn != NULL && in != NULL && stops != NULL);
    assert_true(torn->t_ms == out->t_ms && in->t_ms == stops->t_ms);
    /* the falling pipe of 180 m holds 235 L: with 67.4 L/min it is full after 3.5 min, the air in the rise apart */
    assert_true(out->t_ms - starts->t_ms > 180000 && out->t_ms - starts->t_ms < 360000);
    assert_true(book->totals.missing_m3 == 0.0 && fabs(book->totals.balance_m3) < 1e-8);
    kit_close(&k);
}

/* 15 L/min to the summit, 60 m of 26 mm: the water's level, the climb and the loss give the pressure there. */
static void a_siphon(void **state)
{
    kit k;
    (void)state;
    golden_load(&k, "ground/siphon");
    golden_build(&k, "siphon");
    const pw_daybook *book = two_days(&k);
    const pw_entry *siphons = entry_of(book, PW_ENTRY_SIPHON, NULL);
    assert_non_null(siphons);
    const double loss_m = lost_m(0.026, PIPES, 60.0, 0.0, 15.0 * LPM, 1.1375e-3 / 999.10);
    is_near(siphons->a, (21.2 - 24.0 - loss_m) * PA_M, 150.0, "pressure at the summit, Pa");
    assert_null(entry_of(book, PW_ENTRY_TORN, NULL));
    assert_null(entry_of(book, PW_ENTRY_AIR_IN, NULL));
    is_near(book->totals.delivered_m3, 2.0 * 4.0 * 60.0 * 15.0e-3, 1e-6, "delivered, m3");
    kit_close(&k);
}

/* The air pushes cold water up 10.2 m; 9 m of them are the lift, some centimetres the suction pipe: about 1 m is left,
 * where the pump asks for 2.1 m. It keeps part of its head: x (2 - x) with x = NPSH there / (1.2095 x asked). */
static void nine_metres(void **state)
{
    kit k;
    (void)state;
    golden_load(&k, "ground/suction");
    golden_build(&k, "suction");
    const pw_duty duty = duty_at(&k, 150e3);
    const double pipe_m = lost_m(0.04, 0.05e-3, 12.0, 0.5 + 3.0 + 0.6 + 8.0, duty.flow_m3s, 1.3059e-3 / 999.70);
    const double column_m = (101325.0 - 1228.0) / (999.70 * G);
    is_near(duty.npsh_available_m, column_m - 9.0 - pipe_m, 0.02, "NPSH there, m");
    const double x = duty.npsh_available_m / (1.2095 * duty.npsh_required_m);
    const double whole_m = duty.head_m / (x * (2.0 - x));
    is_near(whole_m, 38.6, 0.6, "head on the maker's curve at 32 L/min, m");
    const pw_daybook *book = two_days(&k);
    const pw_entry *cavitates = entry_of(book, PW_ENTRY_CAVITATES, NULL);
    assert_true(cavitates != NULL && cavitates->a < cavitates->b);
    assert_true(book->totals.cavitates_s > 0.5 * book->totals.run_s);
    assert_true(book->totals.missing_m3 < 1e-6);
    kit_close(&k);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_summit), cmocka_unit_test(a_siphon),
                                       cmocka_unit_test(nine_metres)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
