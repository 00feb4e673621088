/* Stores against hand formulas: Boyle's law, depth times area, drawdown times specific capacity, Korteweg's stretch, a
 * broad-crested weir.
 */
#include "kit.h"

#include "element/bore.h"
#include "element/elastic.h"
#include "element/tank.h"
#include "element/vessel.h"

static uint8_t block[1 << 16];
static const double AIR_PA = 101325.0;

static pw_vessel_law vessel_of(double n)
{
    pw_vessel vessel;
    pw_vessel_law law;
    memset(&vessel, 0, sizeof vessel);
    vessel.volume_m3.v = 0.1;
    vessel.precharge_pa.v = 200e3;
    vessel.polytropic.v = n;
    pw_vessel_law_of(&vessel, AIR_PA, 0.0, &law);
    return law;
}

static void vessel_is_boyle(void **state)
{
    (void)state;
    pw_vessel_law law = vessel_of(1.0);
    pw_condition condition;
    pw_arena arena;
    double worst = 0.0;
    pw_condition_as_built(&condition);
    pw_arena_init(&arena, block, sizeof block);
    for (int32_t quick = 0; quick < 2; quick++) {
        for (double water = 0.001; water < 0.085; water += 0.0071) {
            const double boyle = (200e3 + AIR_PA) * 0.1 / (0.1 - water) - AIR_PA;
            NEAR(pw_vessel_gauge_pa(&law, &condition, 0, water), boyle, 1e-7);
            NEAR(pw_vessel_holds_m3(&law, &condition, 0, boyle), water, 1e-6);
        }
        assert_int_equal(pw_vessel_tabulate(&arena, &law, &worst), PW_OK);
    }
    assert_true(worst > 0.0 && worst < 1e-7);
    condition.vessel_air[0] = 0.5; /* half the gas in what is left of the space */
    NEAR(pw_vessel_gauge_pa(&law, &condition, 0, 0.06), (200e3 + AIR_PA) * 0.05 / 0.04 - AIR_PA, 1e-7);
    condition.vessel_air[0] = 1.0;
    condition.vessel_extra_pa[0] = 100e3;
    NEAR(pw_vessel_gauge_pa(&law, &condition, 0, 0.05), (300e3 + AIR_PA) * 2.0 - AIR_PA, 1e-7);
    NEAR(pw_vessel_gauge_pa(&law, &condition, 1, 0.05), (200e3 + AIR_PA) * 2.0 - AIR_PA, 1e-7);
    pw_arena_init(&arena, block, 64);
    assert_int_equal(pw_vessel_tabulate(&arena, &law, &worst), PW_MEMORY);
}

/* What an implicit step asks: the content at a pressure is that which has this pressure, full, empty and torn, and
 * `rises` is its slope. */
static void contents_of_pressures(void **state)
{
    (void)state;
    pw_vessel_law law = vessel_of(1.2);
    pw_condition condition;
    pw_arena arena;
    double rises, worst = 0.0;
    pw_condition_as_built(&condition);
    pw_arena_init(&arena, block, sizeof block);
    const double pressures[] = {-95e3, -5e3, 0.0, 20e3, 180e3, 199e3, 201e3, 350e3, 900e3};
    for (int32_t round = 0; round < 4; round++) {
        condition.vessel_air[0] = round % 2 == 0 ? 1.0 : 0.4;
        for (size_t i = 0; i < sizeof pressures / sizeof pressures[0]; i++) {
            const double at = pw_vessel_filled_m3(&law, &condition, 0, pressures[i], &rises);
            const double step = 1e-4 * rises;
            const double above = pw_vessel_gauge_pa(&law, &condition, 0, at + step);
            assert_true(pw_abs(pw_vessel_gauge_pa(&law, &condition, 0, at) - pressures[i]) < 1e-5);
            assert_true(above > pressures[i]);
        }
        if (round == 1) {
            assert_int_equal(pw_vessel_tabulate(&arena, &law, &worst), PW_OK);
        }
    }
    pw_elastic main = {.give_m3pa = 1e-9, .holds_m3 = 0.02, .torn_pa = -99e3};
    const double torn[] = {300e3, 1.0, 0.0, -1.0, -40e3, -90e3, -98.9e3, -98.99e3, -120e3};
    for (int32_t column = 0; column < 2; column++) {
        for (size_t i = 0; i < sizeof torn / sizeof torn[0]; i++) {
            const double at = pw_elastic_filled_m3(&main, torn[i], &rises);
            NEAR(pw_elastic_pa(&main, at) + 1e6, torn[i] + 1e6, 1e-12);
            const double below = pw_elastic_filled_m3(&main, torn[i] - 1e-2, &rises);
            assert_true(below < at);
            NEAR((at - below) / 1e-2, rises, 1e-2);
        }
        main.column.top_pa = 200e3; /* open to the air: an even rise that holds 10 L */
        for (int32_t k = 0; k <= PW_COLUMN_PARTS; k++) {
            main.column.out_m3[k] = 0.01 * (PW_COLUMN_PARTS - k) / PW_COLUMN_PARTS;
        }
    }
}

static void vessel_stretches(void **state)
{
    (void)state;
    pw_vessel vessel;
    pw_vessel_law law;
    memset(&vessel, 0, sizeof vessel);
    vessel.volume_m3.v = 0.1;
    vessel.precharge_pa.v = 200e3;
    vessel.polytropic.v = 1.0;
    /* gas of which x V p0 = p (x V p0/p) is left at 4 bar gives x V p0 / p^2 a Pa */
    const double give = 1e-9;
    pw_vessel_law_of(&vessel, AIR_PA, give, &law);
    NEAR(law.least_air * 0.1 * (200e3 + AIR_PA) / ((4e5 + AIR_PA) * (4e5 + AIR_PA)), give, 1e-12);
    pw_vessel_law_of(&vessel, AIR_PA, 0.0, &law);
    NEAR(law.least_air, 0.002, 1e-12);
    pw_vessel_law_of(&vessel, AIR_PA, 1.0, &law);
    NEAR(law.least_air, 0.05, 1e-12);
}

static void tank(void **state)
{
    (void)state;
    pw_tank tank = {.float_valve = false};
    tank.area_m2.v = 2.0;
    tank.depth_m.v = 1.5;
    NEAR(pw_tank_water_m(&tank, 1.0), 0.5, 1e-15);
    assert_true(pw_tank_spill_m3s(&tank, 3.0) == 0.0);
    NEAR(pw_tank_spill_m3s(&tank, 3.08), 1.7 * 0.2 * 0.04 * 0.2, 1e-12); /* 1.7 b h^1.5 with h = 4 cm */
    assert_true(pw_tank_wet(0.05) == 1.0 && pw_tank_wet(0.0) == 0.0);
    NEAR(pw_tank_wet(0.025), 0.5, 1e-12);
}

static void bore(void **state)
{
    (void)state;
    pw_source source;
    pw_condition condition;
    double wet;
    memset(&source, 0, sizeof source);
    source.kind = PW_SOURCE_BORE;
    source.bore_m.v = 0.1;
    source.intake_m.v = 38.0;
    source.standing_m.v = 14.0;
    source.capacity_m2s.v = 1e-4;
    source.yield_m3s.v = 2e-3;
    pw_condition_as_built(&condition);
    const double area = 0.25 * PW_PI * 0.01;
    NEAR(pw_bore_rest_m3(&source, &condition, 0), 24.0 * area, 1e-14);
    NEAR(pw_bore_gives_m3s(&source, &condition, 0, 19.0 * area), 5.0 * 1e-4, 1e-12); /* 5 m drawn down */
    NEAR(pw_source_head_m(&source, &condition, 0, 100.0, 9790.0, 19.0 * area, &wet), 100.0 - 38.0 + 19.0, 1e-14);
    assert_true(wet == 1.0);
    (void)pw_source_head_m(&source, &condition, 0, 100.0, 9790.0, 0.15 * area, &wet); /* half of the 0.3 m cover */
    NEAR(wet, 0.5, 1e-12);
    condition.source_fall_m[0] = 3.0;
    condition.source_yield[0] = 0.5;
    NEAR(pw_bore_rest_m3(&source, &condition, 0), 21.0 * area, 1e-14);
    NEAR(pw_bore_gives_m3s(&source, &condition, 0, 19.0 * area), 2.0 * 0.5e-4, 1e-12);
    condition.source_yield[0] = 0.0;
    assert_true(pw_bore_gives_m3s(&source, &condition, 0, 0.0) == 0.0);
}

static void open_water_and_mains(void **state)
{
    (void)state;
    pw_source dam, mains;
    pw_condition condition;
    double wet;
    memset(&dam, 0, sizeof dam);
    dam.kind = PW_SOURCE_OPEN;
    dam.standing_m.v = 2.0;
    dam.intake_m.v = 5.0;
    memset(&mains, 0, sizeof mains);
    mains.kind = PW_SOURCE_MAINS;
    mains.pressure_pa.v = 97900.0;
    pw_condition_as_built(&condition);
    NEAR(pw_source_head_m(&dam, &condition, 0, 10.0, 9790.0, 0.0, &wet), 8.0, 1e-14);
    assert_true(wet == 1.0);
    condition.source_fall_m[0] = 1.5;
    NEAR(pw_source_head_m(&dam, &condition, 0, 10.0, 9790.0, 0.0, &wet), 6.5, 1e-14);
    condition.source_fall_m[0] = 0.0;
    condition.source_yield[0] = 0.05; /* what covers the intake scales with what is left: 0.15 m of 3 m */
    NEAR(pw_source_head_m(&dam, &condition, 0, 10.0, 9790.0, 0.0, &wet), 5.15, 1e-14);
    NEAR(wet, 0.5, 1e-12);
    NEAR(pw_source_head_m(&mains, &condition, 1, 10.0, 9790.0, 0.0, &wet), 20.0, 1e-14);
    assert_true(wet == 1.0);
    NEAR(pw_source_head_m(&mains, &condition, 0, 10.0, 9790.0, 0.0, &wet), 10.5, 1e-14);
    condition.source_yield[0] = 0.0;
    (void)pw_source_head_m(&mains, &condition, 0, 10.0, 9790.0, 0.0, &wet);
    assert_true(wet == 0.0);
}

/* A rigid pipe gives by the water alone: V/K. Half of it for each of two mains. */
static void elastic_main(void **state)
{
    (void)state;
    static pw_site site;
    pw_water water;
    memset(&site, 0, sizeof site);
    (void)pw_water_at(20.0, &water);
    site.line_count = 2;
    for (int32_t l = 0; l < 2; l++) {
        site.lines[l].bore_m.v = 0.1;
        site.lines[l].length_m.v = 500.0;
    }
    const double volume = 2.0 * 500.0 * 0.25 * PW_PI * 0.01;
    const double wave = pw_sqrt(water.bulk_pa / water.density_kgm3);
    const pw_elastic whole = pw_elastic_of(&site, &water, -90e3);
    NEAR(whole.holds_m3, volume, 1e-13);
    NEAR(whole.give_m3pa, volume / (water.density_kgm3 * wave * wave), 1e-9);
    const pw_elastic half = pw_elastic_part(&whole, 2);
    NEAR(half.give_m3pa, 0.5 * whole.give_m3pa, 1e-14);
    NEAR(pw_elastic_pa(&half, 300e3 * half.give_m3pa), 300e3, 1e-14);
    NEAR(pw_elastic_m3(&half, 300e3), 300e3 * half.give_m3pa, 1e-14);
    NEAR(pw_elastic_pa(&half, -1.0 * half.give_m3pa), -1.0, 1e-5);   /* C1 at 0 */
    NEAR(pw_elastic_pa(&half, -0.5 * half.holds_m3), -90e3, 1e-6);   /* torn */
    assert_true(pw_elastic_pa(&half, -1.1 * half.holds_m3) < -91e3); /* empty: no more comes out */
    const pw_elastic none = {.torn_pa = -90e3};
    NEAR(pw_elastic_part(&none, 3).give_m3pa, 0.1e-3 / 100e3, 1e-14); /* at least 0.1 L per 100 kPa */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(vessel_is_boyle),
        cmocka_unit_test(contents_of_pressures),
        cmocka_unit_test(vessel_stretches),
        cmocka_unit_test(tank),
        cmocka_unit_test(bore),
        cmocka_unit_test(open_water_and_mains),
        cmocka_unit_test(elastic_main),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
