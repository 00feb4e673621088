/* Elastic mains against closed forms: Korteweg's give of a pipe with a wall, the torn column's exponential and its
 * inverse, a rising column that drains in proportion to its height.
 */
#include "kit.h"

#include "element/elastic.h"

#define TORN_PA (-99e3)

/* Volume over rho a^2 is V (1/K + D/(E e)): both the water and the wall give. Korteweg (1878), thin wall, from memory.
 */
static void water_and_wall_give(void **state)
{
    (void)state;
    static pw_site site;
    pw_water water;
    memset(&site, 0, sizeof site);
    (void)pw_water_at(15.0, &water);
    site.line_count = 1;
    site.lines[0] = (pw_line){.bore_m.v = 0.05, .length_m.v = 200.0, .wall_m.v = 0.004, .modulus_pa.v = 1e9};
    const double volume = 0.25 * PW_PI * 0.05 * 0.05 * 200.0;
    const pw_elastic whole = pw_elastic_of(&site, &water, TORN_PA);
    NEAR(whole.holds_m3, volume, 1e-13);
    NEAR(whole.give_m3pa, volume * (1.0 / water.bulk_pa + 0.05 / (1e9 * 0.004)), 1e-12);
}

static void a_torn_column_empties_by_an_exponential(void **state)
{
    (void)state;
    const pw_elastic main = {.give_m3pa = 1e-9, .holds_m3 = 0.2, .torn_pa = TORN_PA};
    const double soft_m3 = 1e-9 * 99e3;
    NEAR(pw_elastic_pa(&main, -soft_m3), TORN_PA * (1.0 - 1.0 / 2.718281828459045), 2e-6);
    NEAR(pw_elastic_pa(&main, -2.0 * soft_m3), TORN_PA * (1.0 - 1.0 / 7.38905609893065), 2e-6);
    static const double contents[] = {3e-4, 1e-6, 0.0, -1e-6, -1e-4, -5e-4, -0.05, -0.19, -0.21};
    for (size_t i = 0; i < sizeof contents / sizeof contents[0]; i++) {
        double rises;
        double ignored;
        const double pa = pw_elastic_pa(&main, contents[i]);
        NEAR(pw_elastic_filled_m3(&main, pa, &rises), contents[i], 1e-6);
        if (i != 2) { /* away from the corner at 0; a step up in pressure and one down */
            const double step_pa = 1e-7 * (pa > 0.0 ? pa : pa - TORN_PA > 1.0 ? TORN_PA - pa : pa);
            const double up = pw_elastic_filled_m3(&main, pa + step_pa, &ignored);
            const double down = pw_elastic_filled_m3(&main, pa - step_pa, &ignored);
            if (pa > TORN_PA + 1.0) { /* where digits are left to see a slope with */
                SLOPE_FITS(down, up, 2.0 * step_pa, rises, 1e-3);
            }
        }
    }
}

/* Up an even hill of 20 m into a tank: the upper half of the pipe twice as wide as the lower one. */
static void a_rising_column_drains_by_its_height(void **state)
{
    (void)state;
    static pw_site site;
    memset(&site, 0, sizeof site);
    site.place_count = 3;
    site.places[1].level_m.v = 10.0;
    site.places[2].level_m.v = 20.0;
    site.line_count = 2;
    site.lines[0] = (pw_line){.from = 0, .to = 1, .bore_m.v = 0.05, .length_m.v = 100.0, .open.v = 1.0};
    site.lines[1] = (pw_line){.from = 1, .to = 2, .bore_m.v = 0.10, .length_m.v = 100.0, .open.v = 1.0};
    site.tank_count = 1;
    site.tanks[0].place = 2;
    const double lower = 0.25 * PW_PI * 0.05 * 0.05 * 100.0;
    pw_elastic main = {.give_m3pa = 1e-9, .holds_m3 = 5.0 * lower, .torn_pa = TORN_PA};
    pw_column_of(&site, 0, 9800.0, &main.column);
    NEAR(main.column.top_pa, 20.0 * 9800.0, 1e-13);
    NEAR(main.column.out_m3[0], 5.0 * lower, 1e-13);
    NEAR(pw_elastic_m3(&main, 5.0 * 9800.0), 1e-9 * 5.0 * 9800.0 - 4.5 * lower, 1e-12);
    NEAR(pw_elastic_m3(&main, 15.0 * 9800.0), 1e-9 * 15.0 * 9800.0 - 2.0 * lower, 1e-12);
    NEAR(pw_elastic_pa(&main, 1e-9 * 15.0 * 9800.0 - 2.0 * lower), 15.0 * 9800.0, 1e-12);
    assert_true(pw_elastic_drained(&main, 0.0) && !pw_elastic_drained(&main, 1e-9 * main.column.top_pa));
    site.lines[1].non_return = true; /* nothing comes back out of it: no way to the air */
    pw_column_of(&site, 0, 9800.0, &main.column);
    assert_true(main.column.top_pa == 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(water_and_wall_give),
        cmocka_unit_test(a_torn_column_empties_by_an_exponential),
        cmocka_unit_test(a_rising_column_drains_by_its_height),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
