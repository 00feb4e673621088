/* Suction in simulations: one figure of NPSH at a moment, a duty and a question; what a pump too high over its water
 * does; what loses its prime; jet pumps; the heat of that very pump.
 */
#include "run_kit.h"

#include "base/num.h"
#include "fault/fault.h"
#include "formula/thermal.h"

/* A pump over a dug well, straight at it or through a suction line, into a vessel. */
static const char well_site[] =
    "{\"site\":\"well\",\"invented\":true,\"altitude\":\"%s\",\"water\":\"15 degC\","
    "\"places\":[{\"name\":\"well\",\"level\":\"0 "
    "m\"},{\"name\":\"eye\",\"level\":\"%s\"},{\"name\":\"shed\",\"level\":"
    "\"%s\"}],\"sources\":[{\"name\":\"well\",\"at\":\"well\",%s}],"
    "\"pumps\":[{\"name\":\"pump\",\"from\":\"%s\",\"to\":\"shed\",%s\"curve\":[{\"flow\":\"0 L/min\",\"head\":\"45 "
    "m\"},"
    "{\"flow\":\"30 L/min\",\"head\":\"40 m\",\"efficiency\":\"45 %%\",\"NPSH\":\"2 m\"},{\"flow\":\"60 "
    "L/min\",\"head\":"
    "\"25 m\",\"efficiency\":\"50 %%\",\"NPSH\":\"4 m\"}],\"motor\":{\"power\":\"0.75 kW\"}}],"
    "\"lines\":[{\"name\":\"suction\",\"from\":\"well\",\"to\":\"eye\",\"pipe\":\"PE100 40 SDR 11\",\"length\":\"12 "
    "m\","
    "\"non-return valve\":true}],"
    "\"vessels\":[{\"name\":\"vessel\",\"at\":\"shed\",\"volume\":\"50 L\",\"precharge\":\"130 kPa\"}],"
    "\"outlets\":[{\"name\":\"taps\",\"at\":\"shed\",\"needs\":\"20 kPa\"}],"
    "\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\"}],"
    "\"demand\":[{\"outlet\":\"taps\",\"flow\":\"15 L/min\",\"for\":\"20 min\",\"at\":\"06:00\",\"every\":\"1 h\"}],"
    "\"settings\":[\"start when pressure below 150 kPa\",\"stop when pressure above 250 kPa\"]%s}";

static const char open_well[] = "\"kind\":\"open\",\"standing water level\":\"4 m\",\"intake\":\"6 m\"";
static const char bore_well[] =
    "\"kind\":\"bore\",\"standing water level\":\"4 m\",\"intake\":\"6 m\",\"casing\":\"1 m\","
    "\"specific capacity\":\"40 L/min per m\"";
static const char surface[] = ",\"design\":{\"suction\":{\"pump\":\"surface\",\"height\":\"1 m\",\"bore\":\"32 mm\","
                              "\"length\":\"8 m\"}}";

static void load(kit *k, const char *altitude, const char *eye_m, const char *source, const char *from,
                 const char *keys, const char *design)
{
    static char json[4096];
    snprintf(json, sizeof json, well_site, altitude, eye_m, "1 m", source, from, keys, design);
    kit_load(k, json, true);
}

static pw_run_options half_day(pw_fault_kind kind, double severity)
{
    pw_run_options options = {.length_ms = 12 * 3600000, .seed = 1};
    options.entry_capacity = 2000;
    options.fault_count = kind == PW_FAULT_NONE ? 0 : 1;
    options.faults[0] = (pw_fault){.kind = kind, .severity = severity, .where = -1, .onset_ms = 7 * 3600000};
    return options;
}

static int32_t entries(const pw_daybook *book, pw_entry_kind kind)
{
    int32_t count = 0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        count += book->entries[i].kind == (int16_t)kind ? 1 : 0;
    }
    return count;
}

/* Of a duty at 200 kPa, and of the question with its flow and the water that the duty left. */
static void same_figure(kit *k, double more_m)
{
    pw_duty duty;
    pw_condition healthy;
    pw_suction_figure at;
    pw_condition_healthy(k->plant->model, &healthy);
    assert_int_equal(pw_model_duty(k->plant->model, &k->arena, 0, 200e3, &duty, NULL), PW_OK);
    assert_true(duty.flow_m3s > 2e-4);
    const double water_m = pw_model_water_head_m(k->plant->model, 0, duty.drawdown_m);
    assert_true(pw_abs(water_m - (-4.0 - more_m)) < 0.02);
    pw_model_suction(k->plant->model, &healthy, 0, duty.flow_m3s, water_m, &at);
    assert_true(pw_abs(at.available_m - duty.npsh_available_m) < 0.02);
    assert_true(pw_abs(at.loss_m - duty.suction_m) < 1e-3 && at.loss_m > 0.1);
    assert_true(pw_abs(at.required_m - duty.npsh_required_m) < 1e-9 && !at.assumed);
    assert_true(pw_abs(at.column_m - at.loss_m - at.available_m) < 1e-12);
    assert_true(duty.friction_m >= duty.suction_m &&
                pw_abs(duty.static_m - (5.0 + 200e3 / pw_model_pa_per_m(k->plant->model))) < 0.02);
}

static void one_figure(void **state)
{
    kit k;
    pw_duty duty;
    (void)state;
    load(&k, "0 m", "1 m", open_well, "well", "", surface);
    same_figure(&k, 0.0);
    kit_close(&k);
    load(&k, "0 m", "1 m", open_well, "eye", "", "");
    same_figure(&k, 0.0);
    kit_close(&k);
    load(&k, "0 m", "1 m", bore_well, "eye", "", "");
    assert_int_equal(pw_model_duty(k.plant->model, &k.arena, 0, 200e3, &duty, NULL), PW_OK);
    assert_true(duty.drawdown_m > 0.3);
    same_figure(&k, duty.drawdown_m);
    assert_true(pw_model_pump_lifts(k.plant->model, 0)); /* a surface pump on a bore needs a prime */
    kit_close(&k);
    load(&k, "0 m", "1 m", bore_well, "well", "", "");
    assert_false(pw_model_pump_lifts(k.plant->model, 0)); /* one that hangs in it does not */
    kit_close(&k);
    load(&k, "0 m", "1 m", bore_well, "well", "\"type\":\"jet\",", "");
    assert_true(pw_model_pump_lifts(k.plant->model, 0)); /* no jet pump hangs in a well */
    kit_close(&k);
    load(&k, "0 m", "1 m", "\"kind\":\"open\",\"standing water level\":\"0 m\",\"intake\":\"1 m\"", "well", "",
         ",\"design\":{\"suction\":{\"height\":\"2.5 m\",\"bore\":\"32 mm\"}}");
    assert_true(pw_model_pump_lifts(k.plant->model, 0)); /* its suction pipe is stated: it has one */
    kit_close(&k);
}

/* Too high: nothing comes, whatever the curve says, and the day book tells why; on a mountain less lift is too much. */
static void too_high(void **state)
{
    static const struct {
        const char *altitude, *eye;
        bool delivers;
    } sites[] = {{"0 m", "1 m", true}, {"0 m", "7 m", false}, {"0 m", "4.6 m", true}, {"2500 m", "4.6 m", false}};
    (void)state;
    for (int i = 0; i < 4; i++) {
        kit k;
        load(&k, sites[i].altitude, sites[i].eye, open_well, "eye", "", "");
        pw_run_options options = half_day(PW_FAULT_NONE, 0.0);
        const pw_daybook *book = kit_run(&k, &options);
        print_message("%s up, eye at %s: %.0f L\n", sites[i].altitude, sites[i].eye, 1e3 * book->totals.pumped_m3);
        assert_true(sites[i].delivers ? book->totals.pumped_m3 > 0.3 : book->totals.pumped_m3 < 1e-3);
        assert_true(sites[i].delivers == (entries(book, PW_ENTRY_PRIME_LOST) == 0));
        assert_true(pw_abs(book->totals.balance_m3) < 1e-9);
        kit_close(&k);
    }
}

/* A well that falls dry and recovers: the surface pump has lost its prime, the self-priming one and the jet not. */
static void loses_its_prime(void **state)
{
    static const char *const keys[] = {"", "\"self-priming\":true,", "\"type\":\"jet\","};
    (void)state;
    for (int i = 0; i < 3; i++) {
        kit k;
        load(&k, "0 m", "1 m", bore_well, "eye", keys[i], "");
        pw_run_options options = half_day(PW_FAULT_DRY_SOURCE, 0.0);
        const pw_daybook *book = kit_run(&k, &options);
        assert_true(book->totals.dry_s > 600.0);
        assert_int_equal(entries(book, PW_ENTRY_PRIME_LOST), i == 0 ? 1 : 0);
        kit_close(&k);
    }
}

/* The duty with less NPSH than required stays below that with plenty, and the day book has its figures. */
static void cavitation_costs_flow(void **state)
{
    pw_duty plenty, short_of;
    kit k;
    (void)state;
    load(&k, "0 m", "-3 m", open_well, "eye", "", "");
    assert_int_equal(pw_model_duty(k.plant->model, &k.arena, 0, 100e3, &plenty, NULL), PW_OK);
    kit_close(&k);
    load(&k, "0 m", "3.2 m", open_well, "eye", "", "");
    assert_int_equal(pw_model_duty(k.plant->model, &k.arena, 0, 100e3, &short_of, NULL), PW_OK);
    pw_run_options options = half_day(PW_FAULT_NONE, 0.0);
    const pw_daybook *book = kit_run(&k, &options);
    int32_t told = 0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        const pw_entry *entry = &book->entries[i];
        told += entry->kind == PW_ENTRY_CAVITATES ? 1 : 0;
        assert_true(entry->kind != PW_ENTRY_CAVITATES || entry->a < entry->b);
    }
    assert_true(told > 0);
    assert_true(short_of.npsh_available_m < short_of.npsh_required_m);
    assert_true(short_of.flow_m3s < 0.97 * plenty.flow_m3s && short_of.flow_m3s > 0.5 * plenty.flow_m3s);
    kit_close(&k);
}

/* A jet with its ejector in a well of 14 m: it lifts what no air could push; the head over the water is N's. */
static void deep_jet(void **state)
{
    static const char deep[] = "\"kind\":\"open\",\"standing water level\":\"14 m\",\"intake\":\"18 m\"";
    static const char ejector[] =
        "\"type\":\"jet\",\"ejector\":{\"nozzle\":\"6 mm\",\"throat\":\"12 mm\",\"pressure bore\":"
        "\"28 mm\",\"pressure length\":\"20 m\",\"riser bore\":\"35 mm\",\"riser length\":\"20 m\"},";
    pw_duty duty;
    kit k;
    (void)state;
    load(&k, "0 m", "1 m", deep, "eye", "", "");
    assert_int_equal(pw_model_duty(k.plant->model, &k.arena, 0, 100e3, &duty, NULL), PW_OK);
    assert_true(duty.flow_m3s < 1e-9);
    kit_close(&k);
    load(&k, "0 m", "1 m", deep, "eye", ejector, "");
    assert_int_equal(pw_model_duty(k.plant->model, &k.arena, 0, 100e3, &duty, NULL), PW_OK);
    assert_true(duty.flow_m3s > 5e-5 && duty.flow_m3s < 1e-3);
    assert_true(pw_abs(duty.head_m - (15.0 + 100e3 / pw_model_pa_per_m(k.plant->model) + duty.suction_m)) < 0.05);
    assert_true(duty.npsh_available_m > 10.0); /* its eye is the ejector */
    kit_close(&k);
}

/* Content and heat loss are the pump's own: by its motor and where it stands, or as it says. */
static void own_heat(void **state)
{
    kit k;
    (void)state;
    load(&k, "0 m", "1 m", bore_well, "well", "", "");
    const pw_casing hangs = pw_model_casing(k.plant->model, 0);
    kit_close(&k);
    load(&k, "0 m", "1 m", bore_well, "eye", "", "");
    const pw_casing stands = pw_model_casing(k.plant->model, 0);
    kit_close(&k);
    load(&k, "0 m", "1 m", bore_well, "eye", "\"water inside\":\"3 L\",\"heat loss\":7,", "");
    const pw_casing stated = pw_model_casing(k.plant->model, 0);
    const double density = pw_model_water(k.plant->model)->density_kgm3;
    kit_close(&k);
    assert_true(pw_abs(stands.mass_kg - density * (0.5e-3 + 1.3e-6 * 750.0)) < 1e-9);
    assert_true(pw_abs(hangs.mass_kg - stands.mass_kg) < 1e-12);
    assert_true(pw_abs(hangs.ua_wk / stands.ua_wk - 20.0) < 1e-9); /* water takes twenty times what air does */
    assert_true(pw_abs(stands.ua_wk - 100.0 * pw_pow(1.475e-3, 2.0 / 3.0)) < 1e-9);
    assert_true(stated.ua_wk == 7.0 && pw_abs(stated.mass_kg - 3e-3 * density) < 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_figure),      cmocka_unit_test(too_high),
        cmocka_unit_test(loses_its_prime), cmocka_unit_test(cavitation_costs_flow),
        cmocka_unit_test(deep_jet),        cmocka_unit_test(own_heat),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
