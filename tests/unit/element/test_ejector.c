/* Ejectors: an impeller with a straight curve, whose nozzle's flow at no water drawn is the root of a quadratic, the
 * head ratio by momentum and energy written out here, and what must hold at every lift.
 */
#include "kit.h"

#include "element/ejector.h"

#define H0        45.0   /* m of the impeller against a shut valve */
#define QM        2e-3   /* m3/s at which it has none */
#define NOZZLE    0.007  /* m */
#define THROAT    0.012  /* m */
#define BAROMETER 10.1   /* m */
#define PA_PER_M  9789.0 /* of water at 20 degC */
#define K_NOZZLE  0.05   /* losses as parts of velocity heads; Gosline and O'Brien, Cunningham: from memory */
#define K_THROAT  0.20

static void make(pw_pump *pump, double nozzle_m)
{
    memset(pump, 0, sizeof *pump);
    pump->kind = PW_PUMP_JET;
    pump->speed.v = 1.0;
    pump->point_count = 3;
    for (int32_t i = 0; i < 3; i++) {
        pump->curve[i].flow_m3s.v = QM * 0.5 * i;
        pump->curve[i].head_m.v = H0 * (1.0 - 0.5 * i);
        pump->curve[i].power_w = (pw_field){500.0 + 100.0 * i, true};
    }
    pump->motor.power_w.v = 750.0;
    pump->motor.voltage_v.v = 230.0;
    pump->ejector.nozzle_m = (pw_field){nozzle_m, true};
    pump->ejector.throat_m = (pw_field){THROAT, true};
}

/* With nothing drawn: N by momentum in the throat, (2R - (1+Kt) R^2) / (1 + Kn - 2R + (1+Kt) R^2); the nozzle's flow
 * where (1 + N) H0 (1 - q/QM) = (1 + Kn) q^2 / (2 g A^2). */
static void nothing_drawn(double *q_m3s, double *head_m)
{
    const double r = NOZZLE * NOZZLE / (THROAT * THROAT);
    const double gains = 2.0 * r - (1.0 + K_THROAT) * r * r;
    const double n = gains / (1.0 + K_NOZZLE - gains);
    const double area = 0.25 * PW_PI * NOZZLE * NOZZLE;
    const double a = (1.0 + K_NOZZLE) / (2.0 * PW_G * area * area);
    const double b = (1.0 + n) * H0 / QM;
    const double c = -(1.0 + n) * H0;
    *q_m3s = (-b + pw_sqrt(b * b - 4.0 * a * c)) / (2.0 * a);
    *head_m = (1.0 + n) * H0 * (1.0 - *q_m3s / QM);
}

static void the_nozzles_flow_is_a_root(void **state)
{
    (void)state;
    pw_pump pump;
    pw_pump_law law;
    double q, head;
    make(&pump, NOZZLE);
    assert_true(pw_pump_law_of(&pump, PA_PER_M, BAROMETER, &law));
    nothing_drawn(&q, &head);
    NEAR(law.zero_head_m, head, 1e-6);
    NEAR(pw_pump_rated_w(&law, 0.0), 500.0 + 200.0 * q / QM, 1e-6); /* what the impeller takes for the nozzle alone */
    assert_true(head > H0 * (1.0 - q / QM));                        /* the throat's gain on top of the impeller's */
}

/* Delivered and lifted together are the same at every lift; a greater lift leaves less flow before the throat
 * cavitates, and an ejector at the pump never counts on more than the air's push. */
static void lifts_share_one_head(void **state)
{
    (void)state;
    pw_pump pump;
    pw_pump_law law;
    make(&pump, NOZZLE);
    assert_true(pw_pump_law_of(&pump, PA_PER_M, BAROMETER, &law));
    double last_m3s = PW_INF;
    for (int32_t i = 0; i < law.lift_count; i++) {
        const pw_curve *at = &law.by_lift[i];
        const double most_m3s = at->x[at->n - 2];
        NEAR(pw_curve_at(at, 0.0, NULL) + law.lift_m[i], law.zero_head_m, 1e-9);
        assert_true(most_m3s <= last_m3s && most_m3s > 0.0);
        /* the drawn water gets no more than the impeller gives: rho g Q (H + lift) under its shaft power */
        assert_true(PA_PER_M * most_m3s * (pw_curve_at(at, most_m3s, NULL) + law.lift_m[i]) <
                    pw_pump_rated_w(&law, most_m3s));
        last_m3s = most_m3s;
    }
    assert_true(law.lift_m[law.lift_count - 1] <= 0.95 * BAROMETER + 1e-12);
    assert_true(last_m3s < 0.9 * law.most_m3s);
}

static void a_deep_one_lifts_more(void **state)
{
    (void)state;
    pw_pump pump;
    pw_pump_law law;
    make(&pump, NOZZLE);
    pump.ejector.pressure_bore_m = pump.ejector.riser_bore_m = (pw_field){0.032, true};
    pump.ejector.pressure_length_m = pump.ejector.riser_length_m = (pw_field){16.0, true};
    assert_true(pw_pump_law_of(&pump, PA_PER_M, BAROMETER, &law));
    assert_true(law.lift_m[law.lift_count - 1] > BAROMETER);
    double q, head;
    nothing_drawn(&q, &head);
    assert_true(law.zero_head_m < head); /* its pipes take something */
}

static void no_room_in_the_throat(void **state)
{
    (void)state;
    pw_pump pump;
    pw_pump_law law;
    make(&pump, 0.95 * THROAT); /* nine tenths of its area, and a little more */
    assert_false(pw_pump_law_of(&pump, PA_PER_M, BAROMETER, &law));
    make(&pump, 0.0);
    assert_false(pw_pump_law_of(&pump, PA_PER_M, BAROMETER, &law));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_nozzles_flow_is_a_root),
        cmocka_unit_test(lifts_share_one_head),
        cmocka_unit_test(a_deep_one_lifts_more),
        cmocka_unit_test(no_room_in_the_throat),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
