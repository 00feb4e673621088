/* The ground that lines cross, by geometry: which points stand over the straight line between their neighbours, and how
 * low the head of a place can come.
 */
#include "kit.h"

#include "element/model_impl.h"

static pw_site site;
static pw_model model;

static void begin(void)
{
    memset(&site, 0, sizeof site);
    memset(&model, 0, sizeof model);
    model.site = &site;
    site.place_count = 2;
    site.places[1].level_m.v = 10.0;
    site.line_count = 1;
    site.lines[0] = (pw_line){.from = 0, .to = 1, .length_m.v = 100.0};
}

static void ground(int32_t count, const double *distance_m, const double *height_m)
{
    site.lines[0].profile_count = count;
    for (int32_t i = 0; i < count; i++) {
        site.lines[0].profile[i].distance_m.v = distance_m[i];
        site.lines[0].profile[i].height_m.v = height_m[i];
    }
    model.high_count = 0;
    assert_true(pw_ground_highs(&model));
}

static void points_over_the_chord_are_high(void **state)
{
    (void)state;
    begin();
    ground(1, (const double[]){30.0}, (const double[]){3.0}); /* on the straight line from 0 to 10 m */
    assert_int_equal(model.high_count, 0);
    ground(1, (const double[]){30.0}, (const double[]){3.005}); /* half a centimetre over it */
    assert_int_equal(model.high_count, 0);
    ground(1, (const double[]){30.0}, (const double[]){3.02});
    assert_int_equal(model.high_count, 1);
    NEAR(model.highs[0].part, 0.3, 1e-14);
    NEAR(model.highs[0].height_m, 3.02, 1e-14);
    /* a dip, then a knee where the climb gets less steep: 8 m at 80 m is over the line from -5 m at 50 m to 10 m */
    ground(2, (const double[]){50.0, 80.0}, (const double[]){-5.0, 8.0});
    assert_int_equal(model.high_count, 1);
    NEAR(model.highs[0].part, 0.8, 1e-14);
}

static void a_point_of_its_own_and_an_inlet(void **state)
{
    (void)state;
    begin();
    site.lines[0].over_m = (pw_field){6.0, true}; /* half way, where the straight line is at 5 m */
    assert_true(pw_ground_highs(&model));
    assert_int_equal(model.high_count, 1);
    NEAR(model.highs[0].part, 0.5, 1e-14);
    site.tank_count = 1; /* its inlet 3 m over the place: the straight line is at 6.5 m there */
    site.tanks[0].place = 1;
    site.tanks[0].inlet_m.v = 3.0;
    model.high_count = 0;
    assert_true(pw_ground_highs(&model));
    assert_int_equal(model.high_count, 0);
}

/* A head cannot fall below the place's level less the air's push over vapour; with air in, not below the level. */
static void floors(void **state)
{
    (void)state;
    static setting at;
    static pw_condition condition;
    static pw_outlet tap;
    begin();
    memset(&at, 0, sizeof at);
    pw_condition_as_built(&condition);
    at.condition = &condition;
    model.node_count = 2;
    model.nodes[0] = (pw_node){.level_m = 0.0, .line = -1};
    model.nodes[1] = (pw_node){.level_m = 10.0, .line = -1};
    model.pa_per_m = 9806.65 * 0.9982; /* 998.2 kg/m3 at 20 degC */
    model.torn_pa = 2339.0 - 101325.0; /* vapour at 20 degC (IAPWS) against standard air */
    pw_ground_floors(&model, &at);
    NEAR(at.floor_m[1], 10.0 - 10.112, 2e-3); /* 98.986 kPa are 10.11 m of it */
    condition.place_air[1] = true;
    pw_ground_floors(&model, &at);
    assert_true(at.floor_m[1] == 10.0);
    assert_true(at.floor_m[0] < -10.0);
    at.taker_count = 1; /* an open tap lets air in */
    at.takers[0] = (taker){.place = 0, .outlet = &tap};
    pw_ground_floors(&model, &at);
    assert_true(at.floor_m[0] == 0.0);
    const pw_leak hole = {.place = 0, .area_m2 = 1e-5};
    const pw_leak relief = {.place = 0, .area_m2 = 1e-5, .opens_pa = 6e5};
    at.takers[0] = (taker){.place = 0, .leak = &hole};
    pw_ground_floors(&model, &at);
    assert_true(at.floor_m[0] == 0.0);
    at.takers[0].leak = &relief; /* shut at 0 gauge: no air comes in */
    pw_ground_floors(&model, &at);
    assert_true(at.floor_m[0] < -10.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(points_over_the_chord_are_high),
        cmocka_unit_test(a_point_of_its_own_and_an_inlet),
        cmocka_unit_test(floors),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
