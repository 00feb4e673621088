/* What is taken: the square root of pressure below the need (Wagner, Shamir and Marks), Torricelli for a hole. */
#include "kit.h"

#include "element/outlet.h"

static void outlet(void **state)
{
    (void)state;
    pw_outlet tap = {.place = 0};
    double slope;
    tap.needs_pa.v = 97900.0; /* 10 m */
    assert_true(pw_outlet_m3s(&tap, 9790.0, 1e-3, 12.0, &slope) == 1e-3);
    assert_true(slope == 0.0);
    NEAR(pw_outlet_m3s(&tap, 9790.0, 1e-3, 2.5, &slope), 0.5e-3, 1e-14);
    NEAR(slope, 1e-3 * 0.5 / (0.5 * 10.0), 1e-14);
    NEAR(pw_outlet_m3s(&tap, 9790.0, 1e-3, 9.0, &slope), 1e-3 * pw_sqrt(0.9), 1e-14);
    assert_true(pw_outlet_m3s(&tap, 9790.0, 1e-3, 0.0, &slope) == 0.0);
    assert_true(pw_outlet_m3s(&tap, 9790.0, 1e-3, -1.0, &slope) == 0.0);
    assert_true(pw_outlet_m3s(&tap, 9790.0, 0.0, 20.0, &slope) == 0.0);
    /* value and slope join at a twentieth of the need, and the slope at nothing is finite and above zero */
    double below, above, steep;
    const double left = pw_outlet_m3s(&tap, 9790.0, 1e-3, 0.5 * (1.0 - 1e-9), &below);
    const double right = pw_outlet_m3s(&tap, 9790.0, 1e-3, 0.5 * (1.0 + 1e-9), &above);
    NEAR(left, right, 1e-8);
    NEAR(below, above, 1e-7);
    (void)pw_outlet_m3s(&tap, 9790.0, 1e-3, 1e-9, &steep);
    assert_true(steep > above && steep < 1e-2);
    tap.needs_pa.v = 0.0; /* fades over 5 cm all the same */
    NEAR(pw_outlet_m3s(&tap, 9790.0, 1e-3, 0.0125, &slope), 0.5e-3, 1e-14);
}

static void hole(void **state)
{
    (void)state;
    pw_leak leak = {.place = 0, .area_m2 = 1e-5};
    double slope;
    NEAR(pw_leak_m3s(&leak, 9790.0, 20.0, &slope), 1e-5 * pw_sqrt(2.0 * PW_G * 20.0), 1e-8);
    NEAR(slope, 0.5e-5 * pw_sqrt(2.0 * PW_G / 20.0), 1e-7);
    assert_true(pw_leak_m3s(&leak, 9790.0, -3.0, &slope) == 0.0 && slope == 0.0);
}

static void relief(void **state)
{
    (void)state;
    const pw_leak valve = {.place = 0, .area_m2 = 1e-5, .opens_pa = 9790.0 * 30.0};
    double slope;
    assert_true(pw_leak_m3s(&valve, 9790.0, 29.9, &slope) == 0.0);
    NEAR(pw_leak_m3s(&valve, 9790.0, 31.5, &slope), 0.5e-5 * pw_sqrt(2.0 * PW_G * 31.5), 1e-8); /* half way up */
    NEAR(pw_leak_m3s(&valve, 9790.0, 33.0, &slope), 1e-5 * pw_sqrt(2.0 * PW_G * 33.0), 1e-8);
    double rest;
    const double low = pw_leak_m3s(&valve, 9790.0, 31.0, &slope),
                 high = pw_leak_m3s(&valve, 9790.0, 31.0 + 1e-6, &rest);
    SLOPE_FITS(low, high, 1e-6, slope, 1e-5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(outlet), cmocka_unit_test(hole), cmocka_unit_test(relief)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
