/* A line against Hagen-Poiseuille (h = 128 nu L Q / (pi g d^4)), against a pure loss coefficient (K v^2/2g), and its
 * table against the formula.
 */
#include "kit.h"

#include "element/pipe.h"
#include "element/valve.h"
#include "formula/friction.h"

static pw_water water;
static uint8_t block[1 << 20];

static pw_pipe pipe_of(double bore_m, double length_m, double k)
{
    pw_line line;
    pw_pipe pipe;
    memset(&line, 0, sizeof line);
    line.bore_m.v = bore_m;
    line.length_m.v = length_m;
    line.rough_m.v = 7e-6;
    line.extra_k.v = k;
    (void)pw_water_at(20.0, &water);
    pw_pipe_of(&line, &water, &pipe);
    return pipe;
}

static pw_line_now well(void)
{
    return (pw_line_now){.open = 1.0, .friction = 1.0, .back = 0.0, .wet = 1.0, .float_open = 1.0};
}

static void laminar(void **state)
{
    (void)state;
    const pw_pipe pipe = pipe_of(0.02, 100.0, 0.0);
    const pw_line_now now = well();
    const double nu = water.viscosity_pas / water.density_kgm3;
    const double flow = 1000.0 * nu * 0.25 * PW_PI * 0.02; /* Reynolds 1000 */
    double loss, slope;
    pw_line_loss(&pipe, &now, flow, &loss, &slope);
    const double poiseuille = 128.0 * nu * 100.0 / (PW_PI * PW_G * 0.02 * 0.02 * 0.02 * 0.02);
    NEAR(loss, poiseuille * flow, 1e-9);
    NEAR(slope, poiseuille, 1e-9);
}

static void coefficient_only(void **state)
{
    (void)state;
    const double area = 0.25 * PW_PI * 0.03 * 0.03;
    const pw_pipe pipe = pipe_of(0.03, 0.001, 400.0);
    pw_line_now now = well();
    double loss, slope;
    pw_line_loss(&pipe, &now, 2.0 * area, &loss, &slope); /* 2 m/s */
    NEAR(loss, 400.0 * 4.0 / (2.0 * PW_G), 1e-5);
    NEAR(pipe.velocity_k, 1.0 / (2.0 * PW_G * area * area), 1e-14);
    now.friction = 3.0;
    double thrice;
    pw_line_loss(&pipe, &now, 2.0 * area, &thrice, &slope);
    NEAR(thrice, 3.0 * loss, 1e-14);
}

static void valves_in_it(void **state)
{
    (void)state;
    const pw_pipe pipe = pipe_of(0.03, 10.0, 0.0);
    const double flow = 1e-3, square = pipe.velocity_k * flow * flow;
    double plain, loss, slope;
    pw_line_now now = well();
    pw_line_loss(&pipe, &now, flow, &plain, &slope);
    now.open = 0.5;
    pw_line_loss(&pipe, &now, flow, &loss, &slope);
    NEAR(loss - plain, 3.0 * square, 1e-12);
    now = well();
    now.wet = 0.25;
    pw_line_loss(&pipe, &now, flow, &loss, &slope);
    NEAR(loss - plain, 15.0 * square, 1e-12);
    pw_line_loss(&pipe, &now, -flow, &loss, &slope);
    NEAR(loss, -plain, 1e-14); /* water can flow back into what is nearly dry */
    now = well();
    now.float_k = 7e6;
    now.float_open = 0.5;
    pw_line_loss(&pipe, &now, flow, &loss, &slope);
    NEAR(loss - plain, 28e6 * flow * flow, 1e-12);
    now = well();
    now.non_return = true;
    pw_line_loss(&pipe, &now, -flow, &loss, &slope);
    NEAR(loss, -PW_CLOSED_S_M2 * flow, 1e-15);
    now.back = 0.1;
    pw_line_loss(&pipe, &now, -flow, &loss, &slope);
    NEAR(-loss - plain, 100.0 * square, 1e-12);
    now.one_way = true; /* into a tank: nothing, however worn the valve */
    pw_line_loss(&pipe, &now, -flow, &loss, &slope);
    NEAR(slope, PW_CLOSED_S_M2, 1e-15);
    pw_line_loss(&pipe, &now, flow, &loss, &slope);
    NEAR(loss, plain, 1e-15);
    now = well();
    now.open = 0.0;
    pw_line_loss(&pipe, &now, flow, &loss, &slope);
    NEAR(slope, PW_CLOSED_S_M2, 1e-15);
    now = well();
    now.wet = 0.0;
    pw_line_loss(&pipe, &now, flow, &loss, &slope);
    NEAR(slope, PW_CLOSED_S_M2, 1e-15);
}

/* Table and formula at flows that no step of the table hits, from a trickle to over its end; the slopes agree. */
static void table_is_the_formula(void **state)
{
    (void)state;
    pw_pipe quick = pipe_of(0.0324, 55.0, 2.0);
    const pw_pipe exact = quick;
    pw_arena arena;
    double worst = 0.0;
    pw_arena_init(&arena, block, sizeof block);
    assert_int_equal(pw_pipe_tabulate(&arena, &quick, &worst), PW_OK);
    assert_true(quick.table.count > 100 && worst > 0.0 && worst < 1e-4);
    for (double flow = 1.234e-8; flow < 0.02; flow *= 1.07) {
        double a, b, slope, rest, slightly;
        pw_pipe_friction(&exact, flow, &a, &rest);
        pw_pipe_friction(&quick, flow, &b, &slope);
        NEAR(b, a, worst + 1e-12);
        NEAR(slope, rest, 3e-3);
        pw_pipe_friction(&quick, -flow, &slightly, &rest);
        assert_true(slightly == -b);
    }
    pw_arena_init(&arena, block, 64);
    assert_int_equal(pw_pipe_tabulate(&arena, &quick, &worst), PW_MEMORY);
}

static void fittings_add_up(void **state)
{
    (void)state;
    pw_line line;
    pw_pipe bare, fitted;
    memset(&line, 0, sizeof line);
    line.bore_m.v = 0.03;
    line.length_m.v = 1.0;
    line.extra_k.v = 1.5;
    (void)pw_water_at(20.0, &water);
    pw_pipe_of(&line, &water, &bare);
    line.fitting_count = 1;
    line.fittings[0].kind = 0;
    line.fittings[0].count = 4;
    pw_pipe_of(&line, &water, &fitted);
    NEAR(bare.k_sum, 1.5, 1e-15);
    line.fittings[0].count = 8;
    pw_pipe twice;
    pw_pipe_of(&line, &water, &twice);
    assert_true(fitted.k_sum > bare.k_sum);
    NEAR(twice.k_sum - bare.k_sum, 2.0 * (fitted.k_sum - bare.k_sum), 1e-14);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(laminar), cmocka_unit_test(coefficient_only),
                                       cmocka_unit_test(valves_in_it), cmocka_unit_test(table_is_the_formula),
                                       cmocka_unit_test(fittings_add_up)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
