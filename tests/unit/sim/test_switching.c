/* What a motor, its contactor and the water in its pump do when it is switched, against closed forms. A pump of
 * constant flow (30 L/min) and power (2 kW) fills a vessel of 100 L (Boyle) against a constant draw, or stands behind
 * mains.
 */
#include <math.h>

#include "run_kit.h"

#define LPM (1e-3 / 60.0)

typedef struct sheet {
    int phases;
    const char *source, *vessel, *sensors, *settings, *more, *draw; /* NULL: as usual */
} sheet;

static void load(kit *k, sheet s)
{
    static char json[6000];
    snprintf(json, sizeof json,
             "{\"site\":\"switching\",\"invented\":true,\"altitude\":\"0 m\",\"water\":\"20 degC\",\"supply\":"
             "{\"voltage\":\"%s\",\"phases\":%d},\"places\":[{\"name\":\"dam\",\"level\":\"0 m\"},{\"name\":\"shed\","
             "\"level\":\"0 m\"}],\"sources\":[{\"name\":\"dam\",\"at\":\"dam\",%s}],\"pumps\":[{\"name\":\"pump\","
             "\"from\":\"dam\",\"to\":\"shed\",\"non-return valve\":true,\"curve\":[{\"flow\":\"0 L/min\",\"head\":"
             "\"300 m\",\"power\":\"2 kW\"},{\"flow\":\"29.9997 L/min\",\"head\":\"250 m\",\"power\":\"2 kW\"},"
             "{\"flow\":\"30.0003 L/min\",\"head\":\"1 m\",\"power\":\"2 kW\"}],\"motor\":{\"power\":\"2.2 kW\","
             "\"phases\":%d,\"voltage\":\"%s\",\"efficiency\":0.75,\"full-load current\":\"%s\",\"locked-rotor "
             "current\":\"%s\",\"starting time\":\"2 s\",\"service factor\":1.15,\"heating time\":\"10 min\",\"cooling "
             "time\":\"30 min\",\"winding rise\":\"60 K\"}}],%s\"outlets\":[{\"name\":\"tap\",\"at\":\"shed\","
             "\"needs\":\"10 kPa\"}],\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\","
             "\"from\":\"0 kPa\",\"to\":\"1000 kPa\",\"resolution\":\"0 kPa\"}%s],\"demand\":[{\"outlet\":\"tap\","
             "\"flow\":\"%s\",\"for\":\"24 h\",\"at\":\"00:00\"}],\"settings\":[\"start when pressure below 200 "
             "kPa\",\"stop when pressure above 350 kPa\"%s]%s}",
             s.phases == 3 ? "400 V" : "230 V", s.phases == 3 ? 3 : 1,
             s.source != NULL ? s.source : "\"kind\":\"open\",\"standing water level\":\"1 m\",\"intake\":\"3 m\"",
             s.phases == 3 ? 3 : 1, s.phases == 3 ? "400 V" : "230 V", s.phases == 3 ? "5 A" : "15 A",
             s.phases == 3 ? "30 A" : "60 A",
             s.vessel != NULL ? s.vessel
                              : "\"vessels\":[{\"name\":\"vessel\",\"at\":\"shed\",\"volume\":\"100 L\",\"precharge\":"
                                "\"150 kPa\",\"gas exponent\":1}],",
             s.sensors != NULL ? s.sensors : "", s.draw != NULL ? s.draw : "15 L/min",
             s.settings != NULL ? s.settings : "", s.more != NULL ? s.more : "");
    kit_load(k, json, true);
}

static const pw_fault none = {.kind = PW_FAULT_NONE, .where = -1};

static pw_daybook *run_s(kit *k, double seconds, int64_t release_after_ms, pw_fault fault)
{
    pw_run_options options;
    memset(&options, 0, sizeof options);
    options.length_ms = (int64_t)(seconds * 1e3);
    options.entry_capacity = 20000;
    options.release_after_ms = release_after_ms;
    options.faults[0] = fault;
    options.fault_count = fault.kind == PW_FAULT_NONE ? 0 : 1;
    return kit_run(k, &options);
}

static int32_t count_of(const pw_daybook *book, pw_entry_kind kind)
{
    int32_t count = 0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        count += book->entries[i].kind == (int16_t)kind ? 1 : 0;
    }
    return count;
}

static const pw_entry *first(const pw_daybook *book, pw_entry_kind kind)
{
    for (int32_t i = 0; i < book->entry_count; i++) {
        if (book->entries[i].kind == (int16_t)kind) {
            return &book->entries[i];
        }
    }
    fail_msg("no entry %d", (int)kind);
    return NULL;
}

static double seconds(const pw_entry *entry)
{
    return 1e-3 * (double)entry->t_ms;
}

/* A simulation of its own, with a fault from its beginning. */
static pw_sim *begin(kit *k, pw_fault fault)
{
    const pw_sim_options options = {.seed = 1};
    pw_sim *sim = NULL;
    assert_int_equal(pw_sim_create(&k->arena, k->plant, &options, &sim, &k->problems), PW_OK);
    if (fault.kind != PW_FAULT_NONE) {
        assert_int_equal(pw_sim_befall(sim, &k->arena, &fault, &k->problems), PW_OK);
    }
    return sim;
}

static double value_at(kit *k, pw_sim *sim, double at_s, pw_quantity_of what)
{
    assert_int_equal(pw_sim_advance(sim, (int64_t)(at_s * 1e3), &k->problems), PW_OK);
    return pw_sim_value(sim, (pw_watched){what, 0});
}

/* With one phase gone a motor at rest does not turn: locked-rotor current until the winding is gone, and a motor that
 * burnt never runs again. */
static void two_phases(void **state)
{
    (void)state;
    kit k;
    load(&k, (sheet){.phases = 3});
    const pw_daybook *book =
        run_s(&k, 3600.0, 0, (pw_fault){.kind = PW_FAULT_PHASE_LOSS, .severity = 1.0, .where = -1});
    const pw_entry *start = first(book, PW_ENTRY_START);
    assert_int_equal(first(book, PW_ENTRY_STALL)->t_ms, start->t_ms);
    assert_true(book->totals.pumped_m3 == 0.0);
    const double burnt_s = seconds(first(book, PW_ENTRY_BURNT)) - seconds(start);
    assert_true(burnt_s > 5.0 && burnt_s < 1800.0);
    assert_true(near(book->totals.run_s, burnt_s, 1e-3));
    assert_int_equal(count_of(book, PW_ENTRY_START), 1);
    kit_close(&k);
}

/* Torque goes with the square of the voltage: a motor of 1.5 times its torque against a load of 0.3 runs up at 80 % in
 * (1.5 - 0.3) / (1.5 x 0.64 - 0.3) times 2 s, 3.636 s (tests/cases/fault/motors.case). No water flows before. */
static void weak_supply(void **state)
{
    (void)state;
    kit k;
    load(&k, (sheet){.phases = 3});
    const pw_fault low = {.kind = PW_FAULT_BROWN_OUT, .severity = 0.8, .where = -1};
    const double start_s = seconds(first(run_s(&k, 600.0, 0, low), PW_ENTRY_START));
    pw_sim *sim = begin(&k, low);
    assert_true(value_at(&k, sim, start_s + 0.1, PW_OF_PUMP_FLOW) < 1e-9);
    assert_true(value_at(&k, sim, start_s + 3.6, PW_OF_PUMP_FLOW) < 1e-9);
    assert_true(value_at(&k, sim, start_s + 3.7, PW_OF_PUMP_FLOW) > 25.0 * LPM);
    kit_close(&k);
}

/* At 40 % of the voltage a sixth of the torque carries no load: a motor that runs stalls at once. */
static void stalls_while_running(void **state)
{
    (void)state;
    kit k;
    load(&k, (sheet){.phases = 3});
    const double start_s = seconds(first(run_s(&k, 600.0, 0, none), PW_ENTRY_START));
    pw_fault low = {.kind = PW_FAULT_BROWN_OUT, .severity = 0.4, .where = -1};
    low.onset_ms = (int64_t)(1e3 * start_s) + 20000;
    const pw_daybook *book = run_s(&k, start_s + 40.0, 0, low);
    assert_int_equal(first(book, PW_ENTRY_STALL)->t_ms, low.onset_ms);
    assert_true(near(book->totals.pumped_m3, 20.0 * 30.0 * LPM, 1e-3));
    kit_close(&k);
}

/* A start of 2 s cut after one leaves half of its heat: (60 / 17.25)^2 (1 - e^(-2 / 600)) (IEC 60255-149). */
static void a_start_cut_short(void **state)
{
    (void)state;
    kit k;
    load(&k, (sheet){.settings = ",\"lock out when running for 1 s\""});
    const pw_entry *lock = first(run_s(&k, 600.0, 0, none), PW_ENTRY_LOCK);
    pw_sim *sim = begin(&k, none);
    const double whole = pow(60.0 / 17.25, 2.0) * (1.0 - exp(-2.0 / 600.0));
    const double winding_c = value_at(&k, sim, seconds(lock) + 0.1, PW_OF_WINDING);
    /* a second of running warms by less than 1/600 of what it settles at */
    const double rise = 60.0 * 1.15 * 1.15;
    assert_true(winding_c - 20.0 > 0.49 * whole * rise && winding_c - 20.0 < (0.51 * whole + 1.0 / 600.0) * rise);
    kit_close(&k);
}

/* A contactor that welds keeps its pump running whatever the settings say. */
static void welded(void **state)
{
    (void)state;
    kit k;
    load(&k, (sheet){.phases = 1});
    const pw_daybook *book = run_s(&k, 1800.0, 0, (pw_fault){.kind = PW_FAULT_WELDED, .severity = 1.0, .where = -1});
    assert_int_equal(count_of(book, PW_ENTRY_START), 1);
    assert_int_equal(count_of(book, PW_ENTRY_STOP), 0);
    assert_true(near(book->totals.run_s, 1800.0 - seconds(first(book, PW_ENTRY_START)), 1e-6));
    kit_close(&k);
}

/* The person comes 20 min after the lock out. */
static void a_person_comes(void **state)
{
    (void)state;
    kit k;
    load(&k, (sheet){.settings = ",\"lock out when running for 30 s\""});
    const pw_daybook *book = run_s(&k, 3000.0, 1200000, none);
    assert_true(near(seconds(first(book, PW_ENTRY_RELEASE)) - seconds(first(book, PW_ENTRY_LOCK)), 1200.0, 1e-5));
    kit_close(&k);
}

/* Boyle: 100 L charged to 150 kPa give 27.7 L between 200 and 350 kPa: out with 15 L/min, in with 15, a start every
 * two times that. */
static void starts_of_an_hour(void **state)
{
    (void)state;
    kit k;
    load(&k, (sheet){.phases = 1});
    const double cycle_s = 2.0 * 0.1 * 251.325 * (1.0 / 301.325 - 1.0 / 451.325) / (15.0 * LPM);
    const pw_daybook *book = run_s(&k, 3.0 * 3600.0, 0, none);
    assert_true(fabs((double)book->totals.most_starts_in_hour - 3600.0 / cycle_s) <= 1.0);
    kit_close(&k);
}

/* A pump without water neither gives nor heats any: that is dry running, and no dead-heading. */
static void dry_is_not_dead(void **state)
{
    (void)state;
    kit k;
    load(&k, (sheet){.phases = 1});
    const pw_daybook *book =
        run_s(&k, 1800.0, 0, (pw_fault){.kind = PW_FAULT_DRY_SOURCE, .severity = 0.0, .where = -1});
    assert_true(book->totals.dry_s > 600.0);
    assert_true(book->totals.deadhead_s == 0.0);
    kit_close(&k);
}

/* A flow switch that changes twice a second reads half a second of flow and half of none. */
static void chatter(void **state)
{
    (void)state;
    kit k;
    load(&k, (sheet){.sensors = ",{\"name\":\"flow\",\"kind\":\"flow switch\",\"pump\":\"pump\",\"bore\":\"32 mm\"}",
                     .settings = ",\"warn when running and no flow for 0.4 s\",\"warn when running and no flow for 0.7 "
                                 "s\",\"ignore no flow for 5 s after start\""});
    const pw_daybook *book = run_s(&k, 300.0, 0, (pw_fault){.kind = PW_FAULT_CHATTER, .severity = 2.0, .where = -1});
    assert_true(book->fired[2] > 5);
    assert_int_equal(book->fired[3], 0);
    kit_close(&k);
}

/* What the shaft gives and the water does not carry as pressure warms it: 2 kW less 0.5 L/s x 200 kPa and 1 m, into
 * 0.5 L/s and 40 W/K to the surroundings. At 200 kPa it is most; it follows within 4 s, 5 kPa later. */
static void water_warms_on_its_way(void **state)
{
    (void)state;
    kit k;
    load(&k, (sheet){.more = ",\"design\":{\"water in the pump\":\"2 L\",\"heat loss\":40}"});
    const double weight = 998.2 * 9.80665, flow = 30.0 * LPM;
    const double warms_k = (2000.0 - flow * (206e3 + weight)) / (flow * 998.2 * 4184.0 + 40.0);
    assert_true(near(run_s(&k, 1800.0, 0, none)->totals.water_max_c - 20.0, warms_k, 1e-2));
    kit_close(&k);
}

/* Behind a shut valve water of 2 L gives 40 W/K away: from where the pump stops down to 55 degC, 5 K under what scalds,
 * in tau ln(.../35), tau 209 s. With 5 W/K it would come to 420 degC, and boils under 300 m of its own head instead, at
 * 3.03 MPa: 234 degC (steam tables: 233.9 at 3 MPa). */
static void shut_water_cools_and_boils(void **state)
{
    (void)state;
    kit k;
    const pw_fault shut = {.kind = PW_FAULT_VALVE_CLOSED, .severity = 0.0, .where = PW_MAX_LINES};
    load(&k, (sheet){.settings = ",\"lock out when running for 15 min\"",
                     .more = ",\"design\":{\"water in the pump\":\"2 L\",\"heat loss\":40}"});
    const pw_daybook *book = run_s(&k, 1800.0, 0, shut);
    const double tau = 2e-3 * 998.2 * 4184.0 / 40.0, cools_s = tau * log((book->totals.water_max_c - 20.0) / 35.0);
    assert_true(near(seconds(first(book, PW_ENTRY_HOT_END)) - seconds(first(book, PW_ENTRY_LOCK)), cools_s, 1e-2));
    kit_close(&k);
    load(&k, (sheet){.more = ",\"design\":{\"water in the pump\":\"2 L\",\"heat loss\":5}"});
    book = run_s(&k, 7200.0, 0, shut);
    assert_true(fabs(book->totals.water_max_c - 234.4) < 1.0);
    kit_close(&k);
}

/* Mains of 900 kPa push through a pump that never starts: water that passes is not pumped. */
static void water_passes_a_pump_at_rest(void **state)
{
    (void)state;
    kit k;
    load(&k, (sheet){.source = "\"kind\":\"mains\",\"pressure\":\"900 kPa\"", .vessel = "", .draw = "3 L/min"});
    const pw_totals *t = &run_s(&k, 600.0, 0, none)->totals;
    assert_int_equal(t->starts, 0);
    assert_true(near(t->delivered_m3, 600.0 * 3.0 * LPM, 1e-6));
    assert_true(t->pumped_m3 == 0.0);
    kit_close(&k);
}

/* The controller is told of the supply: 80 % of 400 V is below 350 V, 90 % is not; a phase that is missing is missing
 * from the moment that it goes. */
static void supply_is_told(void **state)
{
    (void)state;
    static const char watches[] = ",\"warn when supply below 350 V\",\"warn when phase missing\"";
    const struct {
        pw_fault_kind kind;
        double severity;
        int32_t low, missing;
    } rows[] = {{PW_FAULT_BROWN_OUT, 0.8, 1, 0}, {PW_FAULT_BROWN_OUT, 0.9, 0, 0}, {PW_FAULT_PHASE_LOSS, 1.0, 0, 1}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        kit k;
        load(&k, (sheet){.phases = 3, .settings = watches});
        const pw_fault fault = {.kind = rows[i].kind, .severity = rows[i].severity, .where = -1, .onset_ms = 50000};
        const pw_daybook *book = run_s(&k, 100.0, 0, fault);
        assert_int_equal(book->fired[2], rows[i].low);
        assert_int_equal(book->fired[3], rows[i].missing);
        if (rows[i].low + rows[i].missing > 0) {
            assert_in_range(first(book, PW_ENTRY_WARN)->t_ms, 50000, 50001);
        }
        kit_close(&k);
    }
}

/* A contact closed from 22:00 to midnight and from there to 02:00 closes twice a day, and is open by day. */
static void windows_of_a_contact(void **state)
{
    (void)state;
    kit k;
    load(&k, (sheet){.sensors = ",{\"name\":\"gate\",\"kind\":\"contact\",\"closed\":[{\"from\":\"00:00\",\"to\":\"02:"
                                "00\"},{\"from\":\"22:00\",\"to\":\"24:00\"}]}",
                     .settings = ",\"warn when contact gate closed\"",
                     .draw = "0.1 L/min"});
    const pw_daybook *book = run_s(&k, 86400.0, 0, none);
    int64_t at_ms[2] = {-1, -1};
    int32_t count = 0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        if (book->entries[i].kind == PW_ENTRY_WARN && count < 2) {
            at_ms[count++] = book->entries[i].t_ms;
        }
    }
    assert_int_equal(book->fired[2], 2);
    assert_in_range(at_ms[0], 0, 1);
    assert_in_range(at_ms[1], 22 * 3600000, 22 * 3600000 + 1);
    kit_close(&k);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_phases),
        cmocka_unit_test(weak_supply),
        cmocka_unit_test(stalls_while_running),
        cmocka_unit_test(a_start_cut_short),
        cmocka_unit_test(welded),
        cmocka_unit_test(a_person_comes),
        cmocka_unit_test(starts_of_an_hour),
        cmocka_unit_test(dry_is_not_dead),
        cmocka_unit_test(chatter),
        cmocka_unit_test(water_warms_on_its_way),
        cmocka_unit_test(shut_water_cools_and_boils),
        cmocka_unit_test(water_passes_a_pump_at_rest),
        cmocka_unit_test(supply_is_told),
        cmocka_unit_test(windows_of_a_contact),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
