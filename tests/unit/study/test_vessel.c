/* The vessel: sizing against the simulation, the simulation against the cycle formula. */
#include "farm.h"

#include "base/num.h"
#include "formula/vessel.h"

/* A site with a constant draw of this flow, simulated for hours; starts in an hour. */
static double simulated_starts_h(double draw_lpm, const char *volume, const char *exponent, const char *precharge,
                                 double hours)
{
    char json[8000];
    snprintf(json, sizeof json,
             "%s\"vessels\":[{\"name\":\"vessel\",\"at\":\"shed\",\"volume\":\"%s\",\"precharge\":\"%s\",\"gas "
             "exponent\":%s}],%s%s"
             "\"demand\":[{\"outlet\":\"taps\",\"kind\":\"trace\",\"times\":[0,1000000],\"flows\":[%.9f,0]}],%s}",
             FARM_HEAD FARM_BORE FARM_PUMP FARM_LINE, volume, precharge, exponent, FARM_TAPS, FARM_SENSOR,
             draw_lpm / 60.0,
             "\"settings\":[\"start when pressure below 200 kPa\",\"stop when pressure above 350 kPa\"]");
    kit k;
    kit_load(&k, json, false);
    pw_run_options options;
    pw_daybook *book = NULL;
    memset(&options, 0, sizeof options);
    options.length_ms = (int64_t)(hours * 3600e3);
    options.seed = 1;
    assert_int_equal(pw_run(&k.arena, k.plant, &options, &book, &k.problems), PW_OK);
    const double starts = (double)book->totals.starts / hours;
    free(k.block);
    return starts;
}

/* The most starts that the sizing promises come true in the simulation, at the draw that does it, and are hardly passed
 * at others: the casing of the bore gives a little at the beginning of each run, which the settled duties do not know.
 */
static void simulation_agrees_with_the_sizing(void **state)
{
    (void)state;
    static const struct {
        const char *volume, *exponent, *precharge;
    } cases[] = {{"100 L", "1", "180 kPa"}, {"60 L", "1.2", "180 kPa"}, {"150 L", "1.1", "230 kPa"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char json[8000];
        snprintf(json, sizeof json,
                 "%s\"vessels\":[{\"name\":\"vessel\",\"at\":\"shed\",\"volume\":\"%s\",\"precharge\":\"%s\",\"gas "
                 "exponent\":%s}],%s",
                 FARM_HEAD FARM_BORE FARM_PUMP FARM_LINE, cases[i].volume, cases[i].precharge, cases[i].exponent,
                 FARM_TAPS FARM_SENSOR FARM_DEMAND FARM_SETTINGS FARM_END);
        kit k;
        const pw_sizing *sizing = farm_size(&k, json, false);
        const double promised = farm_value(sizing, PW_SIZE_VESSEL, "most starts");
        double most = 0.0;
        for (double draw = 15.0; draw <= 36.0; draw += 3.0) {
            most = pw_max(most, simulated_starts_h(draw, cases[i].volume, cases[i].exponent, cases[i].precharge, 12.0));
        }
        print_message("%s, n = %s: sizing %.2f, simulation %.2f starts an hour\n", cases[i].volume, cases[i].exponent,
                      promised, most);
        assert_true(most > 0.0);
        close_to(most, promised, 0.03, "most starts");
        assert_true(most < promised * 1.03);
        free(k.block);
    }
}

/* The volume that the sizing asks for keeps the limit, and three quarters of it do not. */
static void needed_volume_keeps_the_limit(void **state)
{
    (void)state;
    kit k;
    static const char json[] =
        FARM_HEAD FARM_BORE FARM_PUMP FARM_LINE FARM_VESSEL FARM_TAPS FARM_SENSOR FARM_DEMAND FARM_SETTINGS
        ",\"design\":{\"starts per hour\":10,\"precharge below cut-in\":\"20 kPa\"}}";
    const pw_sizing *sizing = farm_size(&k, json, false);
    const double volume = farm_value(sizing, PW_SIZE_VESSEL, "needed volume");
    char litres[40];
    char less[40];
    snprintf(litres, sizeof litres, "%.6f L", volume * 1e3);
    snprintf(less, sizeof less, "%.6f L", volume * 750.0);
    double most = 0.0;
    double more = 0.0;
    for (double draw = 15.0; draw <= 36.0; draw += 3.0) {
        most = pw_max(most, simulated_starts_h(draw, litres, "1", "180 kPa", 24.0));
        more = pw_max(more, simulated_starts_h(draw, less, "1", "180 kPa", 24.0));
    }
    print_message("needed volume %.1f L: %.2f starts an hour; with three quarters %.2f\n", volume * 1e3, most, more);
    assert_true(most <= 10.2);
    assert_true(more > 12.0);
    free(k.block);
}

/* With a pump of nearly constant flow the published formula Q/(4V) holds in the simulation too. */
static void cycle_formula_holds_for_a_constant_pump(void **state)
{
    (void)state;
    static const char steep[] =
        "\"pumps\":[{\"name\":\"pump\",\"from\":\"well\",\"to\":\"shed\",\"curve\":[{\"flow\":\"0 "
        "L/min\",\"head\":\"1000 m\","
        "\"power\":\"3.5 kW\"},{\"flow\":\"20 L/min\",\"head\":\"500 m\",\"power\":\"3.5 kW\"},{\"flow\":\"40 "
        "L/min\",\"head\":\"0 m\","
        "\"power\":\"3.5 kW\"}],\"motor\":{\"power\":\"4 kW\",\"phases\":1,\"voltage\":\"230 V\"}}],";
    char json[8000];
    snprintf(json, sizeof json, "%s%s%s", FARM_HEAD FARM_BORE, steep,
             FARM_LINE FARM_VESSEL FARM_TAPS FARM_SENSOR FARM_DEMAND FARM_SETTINGS FARM_END);
    kit k;
    const pw_sizing *sizing = farm_size(&k, json, false);
    const double usable = farm_value(sizing, PW_SIZE_VESSEL, "drawdown");
    close_to(usable, 0.1 * pw_vessel_drawdown(180e3, 200e3, 350e3, 1.0, 101325.0), 1e-6, "drawdown by Boyle");
    const double flow = sizing->duties[1].flow_m3s;
    close_to(farm_value(sizing, PW_SIZE_VESSEL, "most starts"), 3600.0 * flow / (4.0 * usable), 2e-3, "Q/(4V)");
    free(k.block);
}

static void effects_of_a_wrong_charge(void **state)
{
    (void)state;
    kit k;
    const pw_sizing *sizing = farm_size(&k, FARM, false);
    assert_int_equal(sizing->effect_count, 8);
    close_to(sizing->effects[0].drawdown_m3, farm_value(sizing, PW_SIZE_VESSEL, "drawdown"), 1e-9,
             "the first row is the site");
    close_to(sizing->effects[0].starts_h, farm_value(sizing, PW_SIZE_VESSEL, "most starts"), 1e-9, "its starts");
    for (int32_t i = 1; i < sizing->effect_count; i++) { /* each of them costs drawdown: here the charge was right */
        assert_true(sizing->effects[i].drawdown_m3 < sizing->effects[0].drawdown_m3);
        assert_true(sizing->effects[i].starts_h > sizing->effects[0].starts_h);
    }
    /* acceptance is another number: more than the drawdown */
    assert_true(farm_value(sizing, PW_SIZE_VESSEL, "acceptance") > farm_value(sizing, PW_SIZE_VESSEL, "drawdown"));
    free(k.block);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(simulation_agrees_with_the_sizing),
        cmocka_unit_test(needed_volume_keeps_the_limit),
        cmocka_unit_test(cycle_formula_holds_for_a_constant_pump),
        cmocka_unit_test(effects_of_a_wrong_charge),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
