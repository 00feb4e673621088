/* A pump whose curve is H = 60 - 1.5 Q^2 and P = 1000 + 200 Q (m, W, L/s; 25 points on the parabola), against these
 * formulas at full and at other speeds (affinity: H/s^2 and P/s^3 are functions of Q/s).
 */
#include "kit.h"

#include "element/pump.h"
#include "element/valve.h"

static double head_of(double speed, double ls)
{
    return speed * speed * 60.0 - 1.5 * ls * ls;
}

static pw_pump pump_of(double speed, bool non_return)
{
    pw_pump pump;
    memset(&pump, 0, sizeof pump);
    pump.point_count = 25;
    pump.speed.v = speed;
    pump.non_return = non_return;
    for (int32_t i = 0; i < 25; i++) {
        const double ls = 0.25 * i;
        pump.curve[i].flow_m3s.v = ls * 1e-3;
        pump.curve[i].head_m.v = 60.0 - 1.5 * ls * ls;
        pump.curve[i].power_w = (pw_field){.v = 1000.0 + 200.0 * ls, .given = true};
        pump.curve[i].npsh_m = (pw_field){.v = 1.0 + 0.5 * ls, .given = true};
    }
    pump.motor.power_w.v = 2500.0;
    pump.motor.phases = 3;
    return pump;
}

static pw_pump_law law_of(double speed, bool non_return)
{
    const pw_pump pump = pump_of(speed, non_return);
    pw_pump_law law;
    assert_true(pw_pump_law_of(&pump, 9790.0, 10.1, &law));
    return law;
}

static pw_pump_now now_of(double drive)
{
    pw_condition condition;
    pw_condition_as_built(&condition);
    return pw_pump_now_of(&condition, 0, drive, 1.0, false);
}

static double lifts(const pw_pump_law *law, const pw_pump_now *now, double ls)
{
    double loss, slope;
    pw_pump_loss(law, now, ls * 1e-3, &loss, &slope);
    assert_true(slope > 0.0);
    return -loss;
}

static void what_it_is(void **state)
{
    (void)state;
    const pw_pump_law law = law_of(0.9, true);
    NEAR(law.zero_head_m, 0.81 * 60.0, 1e-14);
    NEAR(law.most_m3s, 0.9 * 6e-3, 1e-14);
    NEAR(law.dry, 0.15, 1e-15);
    NEAR(pw_pump_npsh_m(&law, 1.8e-3), 0.81 * 2.0, 1e-9); /* 2 m at 2 L/s of the curve, by affinity */
    assert_true(law.non_return && law.motor.phases == 3);
    NEAR(law.through_k, 0.81 * 60.0 / (5.4e-3 * 5.4e-3), 1e-12); /* what it would lift, it loses at its largest flow */
    pw_pump none;
    pw_pump_law no_law;
    memset(&none, 0, sizeof none);
    assert_false(pw_pump_law_of(&none, 9790.0, 10.1, &no_law));
}

/* The drive's speed on top of the sheet's: 1 is the sheet's to the last bit, half lifts a quarter at half the flow. */
static void speed_follows_affinity(void **state)
{
    (void)state;
    static const double sheets[] = {1.0, 0.9};
    static const double drives[] = {1.0, 0.8, 0.5, 0.25, 1.2};
    for (int32_t i = 0; i < 2; i++) {
        const pw_pump_law law = law_of(sheets[i], false);
        for (int32_t k = 0; k < 5; k++) {
            const pw_pump_now now = now_of(drives[k]);
            const double s = sheets[i] * drives[k];
            for (double ls = 0.0; ls < 6.0 * s; ls += 0.4 * s) {
                NEAR(lifts(&law, &now, ls), head_of(s, ls), 1e-3);
                NEAR(pw_pump_inside_m(&law, &now, ls * 1e-3), head_of(s, ls), 1e-3);
                NEAR(pw_pump_load_w(&law, &now, 1.0, ls * 1e-3), s * s * s * (1000.0 + 200.0 * ls / s), 1e-9);
            }
            NEAR(lifts(&law, &now, 0.0), s * s * 60.0, 1e-12);
        }
    }
}

static void off_and_backwards(void **state)
{
    (void)state;
    const pw_pump_law plain = law_of(1.0, false), valved = law_of(1.0, true);
    const pw_pump_now off = now_of(0.0), on = now_of(1.0);
    double loss, slope;
    assert_false(off.turns);
    /* driven through a stopped pump: k Q^2, and a hundredth of it in a straight line that keeps the slope up */
    NEAR(-lifts(&plain, &off, 3.0), 60.0 * 0.25 + 0.01 * 60.0 * 0.5, 1e-12);
    NEAR(lifts(&plain, &off, -3.0), 60.0 * 0.25 + 0.01 * 60.0 * 0.5, 1e-12);
    pw_pump_loss(&valved, &off, -3e-3, &loss, &slope);
    NEAR(slope, PW_CLOSED_S_M2, 1e-15);
    pw_pump_loss(&plain, &on, -1e-12, &loss, &slope); /* nothing comes back through one that turns */
    NEAR(loss, -60.0 - 100.0, 1e-12);
    pw_pump_now passing = off;
    passing.back = 0.5;
    pw_pump_loss(&valved, &passing, -3e-3, &loss, &slope); /* the flap takes a hundredth of the pump's k, over 0.5^2 */
    NEAR(-loss, 60.0 * 0.25 + 0.3 + 4.0 * 0.01 * 60.0 * 0.25, 1e-12);
}

static void what_faults_make_of_it(void **state)
{
    (void)state;
    const pw_pump_law law = law_of(1.0, true);
    pw_condition condition;
    pw_condition_as_built(&condition);
    condition.pump_head[0] = 0.8;
    condition.pump_flow[0] = 0.5;
    condition.pump_speed[0] = 0.9;
    const pw_pump_now worn = pw_pump_now_of(&condition, 0, 1.0, 1.0, false);
    NEAR(lifts(&law, &worn, 1.5), 0.8 * head_of(0.9, 3.0), 1e-3);
    const pw_pump_now half_dry = pw_pump_now_of(&condition, 1, 1.0, 0.5, false);
    NEAR(lifts(&law, &half_dry, 2.0), 0.5 * head_of(1.0, 2.0), 1e-3);
    /* full losses, half the water's power: 0.15 + 0.85 / 2 of the shaft power; a load of 1.2 on top */
    NEAR(pw_pump_load_w(&law, &half_dry, 1.2, 2e-3), 1.2 * (0.15 + 0.85 * 0.5) * 1400.0, 1e-9);
    /* the same pump with nothing flowing is bound by its air */
    NEAR(pw_pump_load_w(&law, &half_dry, 1.0, 0.0), 150.0, 1e-9);
    condition.pump_empty[2] = true;
    const pw_pump_now empty = pw_pump_now_of(&condition, 2, 1.0, 1.0, true);
    assert_false(empty.turns);
    assert_true(empty.wet == 0.0);
    NEAR(pw_pump_load_w(&law, &empty, 1.0, 0.0), 150.0, 1e-9);
    condition.stalled[3] = true;
    assert_false(pw_pump_now_of(&condition, 3, 1.0, 1.0, false).turns);
    condition.pump_open[4] = 0.5;
    const pw_pump_now throttled = pw_pump_now_of(&condition, 4, 1.0, 1.0, false);
    NEAR(lifts(&law, &throttled, 3.0), head_of(1.0, 3.0) - 3.0 * 0.01 * 60.0 * 0.25, 1e-3);
    condition.pump_open[4] = 0.0;
    const pw_pump_now shut = pw_pump_now_of(&condition, 4, 0.5, 1.0, false);
    NEAR(lifts(&law, &shut, 0.0), 15.0, 1e-12); /* against a wall at half speed */
}

/* A blocked intake: loss like a gate until what can be sucked with is used up, then no more flow. */
static void intake(void **state)
{
    (void)state;
    const pw_pump_law law = law_of(1.0, false);
    pw_pump_now now = now_of(1.0);
    now.intake = 0.1;
    now.suction_m = 5.0;
    const double k = 99.0 * 0.01 * 60.0 / (6e-3 * 6e-3);
    const double most_ls = 1e3 * pw_sqrt(5.0 / k);
    NEAR(lifts(&law, &now, 0.9 * most_ls), head_of(1.0, 0.9 * most_ls) - 0.81 * 5.0, 1e-3);
    assert_true(lifts(&law, &now, 1.1 * most_ls) < 0.0); /* choked */
    now.suction_m = 50.0;
    assert_true(lifts(&law, &now, 1.1 * most_ls) > 0.0);
    now.intake = 1.0;
    NEAR(lifts(&law, &now, 1.1 * most_ls), head_of(1.0, 1.1 * most_ls), 1e-3);
}

/* Less NPSH than required: the parabola of 3 % at equality, nothing at the vapour limit; slopes as the values show. */
static void cavitates(void **state)
{
    (void)state;
    const pw_pump_law law = law_of(1.0, false);
    pw_pump_now now = now_of(1.0);
    const double needs_m = pw_pump_npsh_m(&law, 3e-3);
    now.tight = true;
    now.available_m = needs_m;
    NEAR(pw_pump_keeps(&law, &now, 3e-3, NULL), 0.97, 1e-6);
    NEAR(lifts(&law, &now, 3.0), 0.97 * head_of(1.0, 3.0), 1e-3);
    now.available_m = 1.3 * needs_m;
    NEAR(pw_pump_keeps(&law, &now, 3e-3, NULL), 1.0, 1e-15);
    now.available_m = 0.0;
    NEAR(pw_pump_keeps(&law, &now, 3e-3, NULL), 0.0, 1e-15);
    now.available_m = -4.0;
    NEAR(lifts(&law, &now, 3.0), 0.0, 1e-9);
    for (double at = 0.3; at < 1.2; at += 0.2) {
        pw_pump_now low = now, high = now;
        double slope;
        const double step = 1e-6;
        now.available_m = at * needs_m;
        now.available_slope = -300.0;
        low.available_m = now.available_m + 300.0 * step;
        high.available_m = now.available_m - 300.0 * step;
        (void)pw_pump_keeps(&law, &now, 3e-3, &slope);
        SLOPE_FITS(pw_pump_keeps(&law, &low, 3e-3 - step, NULL), pw_pump_keeps(&law, &high, 3e-3 + step, NULL),
                   2.0 * step, slope, 1e-4);
        assert_true(slope < 0.0);
    }
    now.tight = false; /* nobody asked: all of it */
    NEAR(pw_pump_keeps(&law, &now, 3e-3, NULL), 1.0, 1e-15);
}

/* A maker's NPSH rarely reaches down to no flow: what there is holds below it, and goes on straight beyond. */
static void npsh_over_its_range(void **state)
{
    (void)state;
    pw_pump pump = pump_of(1.0, false);
    pw_pump_law law;
    pump.curve[0].npsh_m.given = false;
    assert_true(pw_pump_law_of(&pump, 9790.0, 10.1, &law));
    NEAR(pw_pump_npsh_m(&law, 0.0), pump.curve[1].npsh_m.v, 1e-12);
    NEAR(pw_pump_npsh_m(&law, 3e-3), 2.5, 1e-9);
    NEAR(pw_pump_npsh_m(&law, 8e-3), 5.0, 1e-9);
    for (int32_t i = 0; i < pump.point_count; i++) {
        pump.curve[i].npsh_m.given = i == 1;
    }
    assert_true(pw_pump_law_of(&pump, 9790.0, 10.1, &law)); /* one point holds everywhere */
    NEAR(pw_pump_npsh_m(&law, 5e-3), pump.curve[1].npsh_m.v, 1e-12);
    for (int32_t i = 0; i < pump.point_count; i++) {
        pump.curve[i].npsh_m.given = false;
    }
    assert_true(pw_pump_law_of(&pump, 9790.0, 10.1, &law));
    assert_true(pw_pump_npsh_m(&law, 5e-3) < 0.0);
}

/* A jet pump: straight lines between the lifts of its table, and on beyond the last until nothing is left. */
static void jets(void **state)
{
    (void)state;
    pw_pump pump = pump_of(1.0, false);
    pw_pump_law law;
    static const double lifts_m[2] = {2.0, 6.0}, heads[2][2] = {{40.0, 20.0}, {30.0, 8.0}};
    pump.kind = PW_PUMP_JET;
    pump.lift_count = 2;
    for (int32_t i = 0; i < 2; i++) {
        pump.lifts[i].lift_m.v = lifts_m[i];
        pump.lifts[i].point_count = 2;
        for (int32_t k = 0; k < 2; k++) {
            pump.lifts[i].points[k].flow_m3s.v = 1e-3 * k;
            pump.lifts[i].points[k].head_m.v = heads[i][k];
        }
    }
    assert_true(pw_pump_law_of(&pump, 9790.0, 10.1, &law));
    pw_pump_now now = now_of(1.0);
    now.tight = true;
    now.available_m = 1.0; /* its table has its suction in it: NPSH counts for nothing */
    now.lift_m = 2.0;
    NEAR(lifts(&law, &now, 0.5), 30.0 + 2.0, 1e-12);
    now.lift_m = 4.0;
    NEAR(lifts(&law, &now, 0.5), 0.5 * (30.0 + 19.0) + 4.0, 1e-12);
    now.lift_m = 6.0;
    NEAR(lifts(&law, &now, 1.0), 8.0 + 6.0, 1e-12);
    now.lift_m = 8.0;
    NEAR(lifts(&law, &now, 1.0), 2.0 + 8.0, 1e-12);
    now.lift_m = 14.0;
    NEAR(lifts(&law, &now, 1.0), 0.0, 1e-9);
    now.lift_m = 0.0; /* less lift than its table knows: what it gains is the lift alone */
    NEAR(lifts(&law, &now, 1.0), 22.0, 1e-12);
    pump.lifts[1].lift_m.v = 2.0;
    assert_false(pw_pump_law_of(&pump, 9790.0, 10.1, &law)); /* lifts rise */
}

/* No machine but a question: the flow asked for passes, whatever the head. */
static void asked(void **state)
{
    (void)state;
    const pw_pump_law law = law_of(1.0, true);
    pw_pump_now now = now_of(0.0);
    double loss, slope;
    now.asks = true;
    now.asks_m3s = 2e-3;
    now.open = 0.0;
    pw_pump_loss(&law, &now, 2e-3, &loss, &slope);
    assert_true(loss == 0.0);
    NEAR(slope, PW_CLOSED_S_M2, 1e-15);
    pw_pump_loss(&law, &now, 2e-3 - 1e-12, &loss, &slope);
    NEAR(loss, -100.0, 1e-3);
}

/* Where water could fall through it, an empty store gives none. */
static void falls(void **state)
{
    (void)state;
    const pw_pump_law law = law_of(1.0, false);
    pw_condition condition;
    double loss, slope;
    pw_condition_as_built(&condition);
    const pw_pump_now under = pw_pump_now_of(&condition, 0, 0.0, 0.0, true);
    pw_pump_loss(&law, &under, 1e-3, &loss, &slope);
    NEAR(slope, PW_CLOSED_S_M2, 1e-15);
    const pw_pump_now in_bore = pw_pump_now_of(&condition, 0, 0.0, 0.0, false);
    pw_pump_loss(&law, &in_bore, 1e-3, &loss, &slope);
    assert_true(slope < 1e6);
}

/* The efficiency w Q H / P of these parabolas is highest where Q^3 + 7.5 Q^2 = 100, by its derivative: Q = 3.07502 L/s
 * (own derivation, the root by Newton). With the speed the flow of it changes, its height does not. */
static void best_point(void **state)
{
    (void)state;
    double q = 3.0;
    for (int32_t i = 0; i < 20; i++) {
        q -= (q * q * q + 7.5 * q * q - 100.0) / (3.0 * q * q + 15.0 * q);
    }
    const double peak = 9790.0 * q * 1e-3 * (60.0 - 1.5 * q * q) / (1000.0 + 200.0 * q);
    for (double speed = 0.8; speed < 1.3; speed += 0.2) {
        const pw_pump_law law = law_of(speed, true);
        double efficiency;
        const double best_m3s = pw_pump_best_m3s(&law, 9790.0, &efficiency);
        NEAR(best_m3s, speed * q * 1e-3, 5e-3); /* the top is flat, the curve goes through 25 points of it */
        NEAR(efficiency, peak, 1e-4);
        NEAR(efficiency, pw_pump_rated_efficiency(&law, best_m3s, 9790.0), 1e-15);
        assert_true(efficiency > pw_pump_rated_efficiency(&law, 0.97 * best_m3s, 9790.0));
        assert_true(efficiency > pw_pump_rated_efficiency(&law, 1.03 * best_m3s, 9790.0));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_it_is),
        cmocka_unit_test(speed_follows_affinity),
        cmocka_unit_test(off_and_backwards),
        cmocka_unit_test(what_faults_make_of_it),
        cmocka_unit_test(intake),
        cmocka_unit_test(cavitates),
        cmocka_unit_test(npsh_over_its_range),
        cmocka_unit_test(jets),
        cmocka_unit_test(asked),
        cmocka_unit_test(falls),
        cmocka_unit_test(best_point),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
