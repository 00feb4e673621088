/* Faults at work: the water and the motor under each changed condition against formulas, and days in which each
 * happens. */
#include <math.h>

#include "told.h"
#include "run_kit.h"
#include "formula/surge.h"
#include "formula/pipe.h"
#include "formula/friction.h"
#include "formula/water.h"

#define LPM (1.0e-3 / 60.0)

/* A dam below a three-phase pump, a vessel, a line with a non-return valve up to a tank with float valve, level sensor
 * and probe. */
static const char *const SITE =
    "{\"site\":\"everything\",\"invented\":true,\"altitude\":\"0 m\",\"water\":\"20 degC\","
    "\"supply\":{\"voltage\":\"400 V\",\"phases\":3},"
    "\"places\":[{\"name\":\"dam\",\"level\":\"0 m\"},{\"name\":\"shed\",\"level\":\"0 "
    "m\"},{\"name\":\"hill\",\"level\":\"10 m\"}],"
    "\"sources\":[{\"name\":\"dam\",\"at\":\"dam\",\"kind\":\"open\",\"standing water level\":\"3 m\",\"intake\":\"5 "
    "m\"}],"
    "\"pumps\":[{\"name\":\"pump\",\"from\":\"dam\",\"to\":\"shed\",\"non-return valve\":true,\"curve\":["
    "{\"flow\":\"0 L/min\",\"head\":\"60 m\",\"power\":\"900 W\"},{\"flow\":\"40 L/min\",\"head\":\"50 "
    "m\",\"power\":\"1100 W\"},"
    "{\"flow\":\"80 L/min\",\"head\":\"20 m\",\"power\":\"1300 W\"}],\"motor\":{\"power\":\"1.5 "
    "kW\",\"phases\":3,\"voltage\":\"400 V\","
    "\"full-load current\":\"3.5 A\",\"locked-rotor current\":\"20 A\",\"starting time\":\"1 s\"}}],"
    "\"lines\":[{\"name\":\"hill line\",\"from\":\"shed\",\"to\":\"hill\",\"bore\":\"32 mm\",\"length\":\"100 "
    "m\",\"roughness\":\"0.01 "
    "mm\",\"non-return valve\":true}],"
    "\"vessels\":[{\"name\":\"vessel\",\"at\":\"shed\",\"volume\":\"100 L\",\"precharge\":\"180 kPa\",\"gas "
    "exponent\":1}],"
    "\"tanks\":[{\"name\":\"tank\",\"at\":\"hill\",\"area\":\"1 m2\",\"depth\":\"2 m\",\"starts at\":\"1 "
    "m\",\"inlet\":\"2.1 m\","
    "\"float valve\":{\"closes at\":\"1.5 m\",\"band\":\"200 mm\",\"bore\":\"12 mm\"}}],"
    "\"outlets\":[{\"name\":\"tap\",\"at\":\"shed\",\"needs\":\"100 "
    "kPa\"},{\"name\":\"trough\",\"at\":\"hill\",\"needs\":\"0 kPa\"}],"
    "\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\",\"from\":\"0 kPa\",\"to\":\"1000 "
    "kPa\",\"resolution\":\"0 "
    "kPa\"},{\"name\":\"switch\",\"kind\":\"flow switch\",\"pump\":\"pump\",\"bore\":\"32 mm\"},"
    "{\"name\":\"depth\",\"kind\":\"level\",\"at\":\"hill\"},{\"name\":\"low\",\"kind\":\"probe\",\"at\":\"hill\","
    "\"height\":\"0.5 m\"}],"
    "\"demand\":[{\"outlet\":\"tap\",\"flow\":\"20 L/min\",\"for\":\"5 min\",\"at\":\"00:10\",\"every\":\"20 "
    "min\",\"until\":\"23:50\"},"
    "{\"outlet\":\"trough\",\"flow\":\"10 L/min\",\"for\":\"30 min\",\"at\":\"01:00\",\"every\":\"2 "
    "h\",\"until\":\"23:00\"}],"
    "\"settings\":[\"start when pressure below 200 kPa for 1 s\",\"stop when pressure above 350 kPa\",\"stop when no "
    "flow "
    "for 20 s\","
    "\"ignore no flow for 15 s after start\",\"rest 10 s after stop\",\"warn when probe low dry\",\"warn when level "
    "below 0.6 m\","
    "\"lock out when running for 3 h\"],"
    /* a suction that costs nothing: the tests reckon with the curve alone */
    "\"design\":{\"suction\":{\"bore\":\"1 m\",\"length\":\"0.1 m\",\"foot valve\":false,\"strainer\":false}}}";

static kit k;
static pw_condition healthy;

static int load(void **state)
{
    (void)state;
    kit_load(&k, SITE, true);
    pw_condition_healthy(k.plant->model, &healthy);
    return 0;
}

static int unload(void **state)
{
    (void)state;
    kit_close(&k);
    return 0;
}

static pw_condition with(pw_fault_kind kind, double severity, int32_t where)
{
    pw_condition c = healthy;
    pw_fault fault = {.kind = kind, .severity = severity, .where = where};
    pw_fault_apply(k.plant->model, &fault, 1.0, 275e3, &c);
    return c;
}

/* The pump runs against a vessel held at this pressure; nothing is drawn. */
static pw_moment pumping(const pw_condition *c, double vessel_pa, bool runs)
{
    static pw_moment moment;
    double state[PW_MAX_STATES];
    pw_drive drive = {0};
    drive.speed[0] = runs ? 1.0 : 0.0;
    pw_model_start(k.plant->model, vessel_pa, state);
    pw_warm *warm = pw_warm_new(&k.arena, k.plant->model);
    assert_int_equal(pw_model_moment(k.plant->model, c, &drive, state, warm, &moment, NULL), PW_OK);
    return moment;
}

/* Head of the pump with its valve shut. */
static double shut_off(const pw_condition *c)
{
    pw_condition shut = *c;
    shut.pump_open[0] = 0.0;
    return pumping(&shut, 100e3, true).pump_head_m[0];
}

/* ---- pump and motor ---- */

static void curves_shrink(void **state)
{
    (void)state;
    pw_condition c = with(PW_FAULT_WORN, 0.35, -1);
    assert_true(near(c.pump_head[0], 0.65, 1e-12));
    const pw_moment well = pumping(&healthy, 250e3, true);
    const pw_moment worn = pumping(&c, 250e3, true);
    assert_true(worn.pump_m3s[0] < 0.9 * well.pump_m3s[0]);
    /* the same head at 40 % of the flow: pump law H(Q / 0.4) */
    c = with(PW_FAULT_CLOGGED, 0.4, -1);
    const pw_moment clogged = pumping(&c, 250e3, true);
    assert_true(near(clogged.pump_m3s[0], 0.4 * well.pump_m3s[0], 1e-6)); /* dam and vessel give the same head */
    c = with(PW_FAULT_BACKWARDS, 1.0, -1);
    assert_true(c.pump_head[0] == 0.5 && c.pump_flow[0] == 0.5);
    c = with(PW_FAULT_AIR_DRAWN_IN, 0.075, -1);
    assert_true(near(c.pump_head[0], 0.75, 1e-12)); /* half of 15 %: 1 - (1/2)^2 */
    assert_true(near(c.pump_flow[0], 0.925, 1e-12));
}

/* IEC equivalent circuit in its simplest form: slip as 1/v^2. At v = 0.8: (1 - 0.05/0.64)/(1 - 0.05). */
static void low_voltage(void **state)
{
    (void)state;
    assert_true(near(pw_motor_speed(3, 0.8), (1.0 - 0.05 / 0.64) / 0.95, 1e-12));
    assert_true(pw_motor_speed(3, 1.0) == 1.0);
    assert_true(pw_motor_speed(3, 0.6454) == 0.0); /* 1/sqrt(2.4) = 0.645497 */
    assert_true(pw_motor_speed(3, 0.6456) > 0.9);
    assert_true(pw_motor_speed(0, 0.6) == 0.6);
    assert_true(near(pw_motor_start_s(2.0, 1.0), 2.0, 1e-12));
    assert_true(near(pw_motor_start_s(2.0, 0.7), 2.0 * 1.2 / (1.5 * 0.49 - 0.3), 1e-12));
    assert_true(pw_motor_start_s(2.0, 0.44) > 1e300);
    const pw_condition c = with(PW_FAULT_BROWN_OUT, 0.8, -1);
    const double speed = pw_motor_speed(3, 0.8);
    const pw_moment well = pumping(&healthy, 250e3, true), low = pumping(&c, 250e3, true);
    assert_true(low.pump_m3s[0] < well.pump_m3s[0]);
    assert_true(near(c.pump_speed[0], speed, 1e-12));
    assert_true(low.current_a[0] > well.current_a[0]); /* the same work at less voltage */
    assert_true(pw_model_stalls(k.plant->model, 0, 0.6));
    assert_false(pw_model_stalls(k.plant->model, 0, 0.7));
    /* affinity law: shut-off head with the square of the speed */
    pw_condition shut = c;
    assert_true(shut_off(&shut) < 1e9);
}

/* Above its voltage a motor slips less, and at no load everything it draws is magnetising: in proportion to v. */
static void high_voltage(void **state)
{
    (void)state;
    const pw_condition c = with(PW_FAULT_OVER_VOLTAGE, 0.2, -1);
    const pw_moment well = pumping(&healthy, 250e3, true), high = pumping(&c, 250e3, true);
    assert_true(near(c.supply, 1.2, 1e-12));
    assert_true(near(c.pump_speed[0], (1.0 - 0.05 / 1.44) / 0.95, 1e-12));
    assert_true(high.pump_m3s[0] > well.pump_m3s[0] && high.shaft_w[0] > well.shaft_w[0]);
    const pw_motor_data *motor = pw_model_motor(k.plant->model, 0);
    double idle_a, high_a;
    pw_motor_load(motor, 0.0, motor->voltage_v, NULL, &idle_a, NULL, NULL);
    pw_motor_load(motor, 0.0, 1.2 * motor->voltage_v, NULL, &high_a, NULL, NULL);
    assert_true(near(high_a, 1.2 * idle_a, 1e-12));
    assert_false(pw_model_stalls(k.plant->model, 0, c.supply));
}

static void stalled_motor(void **state)
{
    (void)state;
    pw_condition c = with(PW_FAULT_BROWN_OUT, 0.5, -1);
    c.stalled[0] = true;
    const pw_moment m = pumping(&c, 250e3, true);
    assert_true(near(m.current_a[0], 10.0, 1e-9)); /* 20 A at half the voltage */
    assert_true(near(m.input_w[0], sqrt(3.0) * 200.0 * 10.0 * (0.70 + (1500.0 / 746.0 - 2.0) * -0.04), 1e-9));
    assert_true(m.pump_m3s[0] <= 1e-9);
    c = with(PW_FAULT_PHASE_LOSS, 1.0, -1);
    assert_true(
        near(pumping(&c, 250e3, true).current_a[0], sqrt(3.0) * pumping(&healthy, 250e3, true).current_a[0], 1e-9));
    c.stalled[0] = true;
    assert_true(near(pumping(&c, 250e3, true).current_a[0], 20.0 * sqrt(0.75), 1e-9)); /* handbooks: 87 % */
    c = with(PW_FAULT_OVERLOAD, 0.5, -1);
    assert_true(near(pumping(&c, 250e3, true).shaft_w[0], 1.5 * pumping(&healthy, 250e3, true).shaft_w[0], 1e-9));
}

/* ---- water ---- */

/* A pump at the dam's edge, 3 m over the water, has (101.3 - 2.3) kPa less 3 m to suck with, about 7.1 m. What the
 * intake does not take of it is NPSH: 3 m are assumed for want of a curve, and the pump keeps x (2 - x) of its head
 * with x = NPSH / (1.2095 x 3 m). Its curve is taken as flat: a seventy-fifth of its flows passes. */
static void choked_intake(void **state)
{
    (void)state;
    const double left_m = (101325.0 - 2339.0) / pw_model_pa_per_m(k.plant->model) - 3.0;
    const double most = 80.0 * LPM, k_full = 0.01 * 60.0 / (most * most);
    const double open = 0.01, k_intake = k_full * (1.0 / (open * open) - 1.0);
    const double asked_m = 150e3 / pw_model_pa_per_m(k.plant->model) + 3.0;
    double low = 0.0, high = left_m;
    while (high - low > 1e-9) { /* NPSH that is left: head made = head asked + lost in the intake */
        const double npsh = 0.5 * (low + high), x = npsh / (1.2095 * 3.0);
        const double made = 60.0 * (x < 1.0 ? x * (2.0 - x) : 1.0);
        *(made > asked_m + left_m - npsh ? &high : &low) = npsh;
    }
    const double choke = sqrt((left_m - low) / k_intake);
    const pw_condition c = with(PW_FAULT_BLOCKED_INTAKE, open, -1);
    assert_true(near(pumping(&c, 150e3, true).pump_m3s[0], choke, 0.02));
    const pw_condition mild = with(PW_FAULT_BLOCKED_INTAKE, 0.5, -1);
    assert_true(pumping(&mild, 250e3, true).pump_m3s[0] > 0.95 * pumping(&healthy, 250e3, true).pump_m3s[0]);
}

/* 7 m of lift is what handbooks give as the practical end; the pump here gives up when level and needs leave nothing.
 */
static void level_falls(void **state)
{
    (void)state;
    const pw_condition some = with(PW_FAULT_FALLING_LEVEL, 1.0, -1), more = with(PW_FAULT_FALLING_LEVEL, 2.5, -1);
    const double well = pumping(&healthy, 150e3, true).pump_m3s[0];
    assert_true(pumping(&some, 150e3, true).pump_m3s[0] < well);
    assert_true(pumping(&more, 150e3, true).pump_m3s[0] < 1e-6); /* below the intake at 5 m */
}

/* Backwards through the stopped pump and its valve: head = (k / open^2 + k of the pump) Q^2 and a bit for the still
 * pump. */
static void backflow(void **state)
{
    (void)state;
    const pw_condition c = with(PW_FAULT_BACKFLOW, 0.05, -1);
    const pw_moment m = pumping(&c, 300e3, false);
    const double most = 80.0 * LPM, through = 60.0 / (most * most);
    const double q = -m.pump_m3s[0], head = 300e3 / pw_model_pa_per_m(k.plant->model) + 3.0;
    assert_true(q > 0.0);
    assert_true(near(head, (0.01 * through / 0.0025 + through) * q * q + 0.01 * through * most * q, 1e-6));
    assert_true(pumping(&healthy, 300e3, false).pump_m3s[0] > -1e-9);
    /* and the line's: the tank's inlet lies above the water, so nothing comes back */
    const pw_condition line = with(PW_FAULT_BACKFLOW, 1.0, 0);
    assert_true(line.line_back[0] == 1.0 && line.pump_back[0] == 0.0);
}

/* Darcy-Weisbach: head lost at one flow as (1 / (1 - s))^5. */
static void scale_in_the_pipe(void **state)
{
    (void)state;
    const pw_condition c = with(PW_FAULT_SCALED, 0.25, -1);
    assert_true(near(c.line_friction[0], pow(0.75, -5.0), 1e-12));
    pw_condition open = c, clean = healthy;
    const double slow = pumping(&open, 300e3, false).line_m3s[0], fast = pumping(&clean, 300e3, false).line_m3s[0];
    assert_true(slow > 0.0 && slow < 0.8 * fast);
}

static void relief_valve(void **state)
{
    (void)state;
    const double opens = 300e3;
    const pw_condition c = with(PW_FAULT_RELIEF, opens, -1);
    assert_int_equal(c.leak_count, 1);
    assert_true(pumping(&c, 0.999 * opens, false).leak_m3s[0] == 0.0);
    assert_true(near(pumping(&c, 1.1 * opens, false).leak_m3s[0], 80.0 * LPM, 1e-6)); /* the end of the pump's curve */
    const double half = pumping(&c, 1.05 * opens, false).leak_m3s[0];
    assert_true(near(half, 0.5 * 80.0 * LPM * sqrt(1.05 / 1.1), 1e-6));
}

/* Joukowsky: rho a v; half a period 2 L / a, in the line of 100 m. */
static void surge(void **state)
{
    (void)state;
    double pa = 0.0, half_s = 0.0;
    pw_water water;
    const pw_line *line = &k.site->lines[0];
    (void)pw_water_at(20.0, &water);
    const double a = pw_wave_speed_ms(&water, line->bore_m.v, line->wall_m.v, line->modulus_pa.v, 1.0);
    pw_model_surge(k.plant->model, 0, 0.3, &pa, &half_s);
    assert_true(near(pa, water.density_kgm3 * a * 0.3, 1e-12));
    assert_true(near(half_s, 200.0 / a, 1e-12));
    const pw_condition c = with(PW_FAULT_SLAM, 0.3, -1);
    assert_true(c.slam_pa[0] == pa);
}

/* Boyle with a larger charge: p = (charge + more) V / (V - w). */
static void precharge(void **state)
{
    (void)state;
    const pw_condition c = with(PW_FAULT_HIGH_PRECHARGE, 60e3, -1);
    const double air = 101325.0, w = 0.03;
    const double got = pw_model_vessel_pa(k.plant->model, &c, 0, w);
    assert_true(near(got + air, (180e3 + 60e3 + air) * 0.1 / (0.1 - w), 1e-6));
    assert_true(near(pw_model_vessel_m3(k.plant->model, &c, 0, got), w, 1e-6));
}

/* ---- days ---- */

static pw_daybook *day(pw_fault_kind kind, double severity, double hours)
{
    pw_run_options options;
    memset(&options, 0, sizeof options);
    options.length_ms = (int64_t)(hours * 3600000.0);
    options.seed = 1;
    options.entry_capacity = 20000;
    options.sample_capacity = 20000;
    options.sample_ms = 60000;
    options.fault_count = 1;
    options.faults[0] = (pw_fault){.kind = kind, .severity = severity, .where = -1, .onset_ms = 3600000};
    return kit_run(&k, &options);
}

static int32_t entries(const pw_daybook *book, pw_entry_kind kind)
{
    int32_t count = 0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        count += book->entries[i].kind == (int16_t)kind ? 1 : 0;
    }
    return count;
}

static int32_t starts_after(const pw_daybook *book, int64_t t_ms)
{
    int32_t count = 0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        count += book->entries[i].kind == PW_ENTRY_START && book->entries[i].t_ms > t_ms ? 1 : 0;
    }
    return count;
}

/* With room for 48 entries of some hundreds the telling ones are those of the day with room for all; no draws stay, and
 * what is left out is counted where it was. */
static void telling_entries_stay(void **state)
{
    (void)state;
    const size_t mark = pw_arena_mark(&k.arena);
    pw_run_options options = {.length_ms = 24 * 3600000, .seed = 1};
    options.entry_capacity = 20000;
    options.release_after_ms = 1800000;
    options.fault_count = 1;
    options.faults[0] =
        (pw_fault){.kind = PW_FAULT_BURST, .severity = 60.0 * LPM, .where = -1, .onset_ms = 12 * 3600000};
    const pw_daybook *all = kit_run(&k, &options);
    options.entry_capacity = 48;
    const pw_daybook *few = kit_run(&k, &options);
    assert_true(all->entry_count > 150);
    assert_true(few->entry_count <= 48);
    assert_int_equal(few->entry_count + few->entries_lost, all->entry_count);
    assert_true(entries(all, PW_ENTRY_LOCK) > 1);
    static const pw_entry_kind telling[] = {PW_ENTRY_BEGIN,   PW_ENTRY_FAULT, PW_ENTRY_LOCK,
                                            PW_ENTRY_RELEASE, PW_ENTRY_WARN,  PW_ENTRY_END};
    for (size_t i = 0; i < sizeof telling / sizeof telling[0]; i++) {
        assert_int_equal(entries(few, telling[i]), entries(all, telling[i]));
    }
    assert_int_equal(entries(few, PW_ENTRY_DRAW), 0);
    int32_t at = 0; /* each entry lies where what is left out before it says */
    for (int32_t i = 0; i < few->entry_count; i++) {
        at += few->entries[i].left_out;
        assert_int_equal(few->entries[i].t_ms, all->entries[at].t_ms);
        assert_int_equal(few->entries[i].kind, all->entries[at].kind);
        at++;
    }
    assert_int_equal(at, all->entry_count);
    pw_arena_back(&k.arena, mark);
}

/* Of twenty days with a draw every few minutes: first the draws go, and every start and stop stays; with less room the
 * starts and stops of whole hours and days go, from the first day to the last, and each that stays is one of all. */
static void starts_outlast_draws(void **state)
{
    (void)state;
    const int64_t day_ms = 86400000;
    const size_t mark = pw_arena_mark(&k.arena);
    pw_run_options options = {.length_ms = 20 * day_ms, .seed = 1, .entry_capacity = 60000};
    const pw_daybook *all = kit_run(&k, &options);
    const int32_t starts = entries(all, PW_ENTRY_START), stops = entries(all, PW_ENTRY_STOP);
    assert_int_equal(all->entries_lost, 0);
    assert_true(starts > 300);
    assert_true(entries(all, PW_ENTRY_DRAW) > 20);
    options.entry_capacity = starts + stops + 100;
    const pw_daybook *most = kit_run(&k, &options);
    assert_int_equal(entries(most, PW_ENTRY_START), starts);
    assert_int_equal(entries(most, PW_ENTRY_STOP), stops);
    assert_int_equal(entries(most, PW_ENTRY_DRAW), 0);
    options.entry_capacity = 64 + (starts + stops) / 3;
    const pw_daybook *few = kit_run(&k, &options);
    assert_true(few->entry_count <= options.entry_capacity);
    assert_true(entries(few, PW_ENTRY_START) + entries(few, PW_ENTRY_STOP) > (starts + stops) / 9);
    assert_true(few->entries[1].t_ms < day_ms);
    assert_true(few->entries[few->entry_count - 2].t_ms > 16 * day_ms);
    int32_t at = 0, routine = 0;
    for (int32_t i = 0; i < few->entry_count; i++) {
        at += few->entries[i].left_out;
        routine += few->entries[i].left_routine;
        assert_int_equal(few->entries[i].t_ms, all->entries[at].t_ms);
        assert_int_equal(few->entries[i].kind, all->entries[at].kind);
        at++;
    }
    assert_int_equal(at, all->entry_count);
    assert_int_equal(routine + entries(few, PW_ENTRY_START) + entries(few, PW_ENTRY_STOP), starts + stops);
    pw_arena_back(&k.arena, mark);
}

/* Each step of the sieve keeps part of what the one before did, and some of it, whatever the length. */
static void sieves_are_nested(void **state)
{
    (void)state;
    static const int64_t lengths_h[] = {1, 2, 5, 7, 23, 24, 49, 24 * 7, 24 * 365};
    for (size_t l = 0; l < sizeof lengths_h / sizeof lengths_h[0]; l++) {
        pw_sieve fine, coarse;
        int32_t steps = 0;
        pw_sieve_open(&coarse);
        for (fine = coarse; pw_sieve_coarser(&coarse, lengths_h[l] * 3600000); fine = coarse) {
            int32_t kept = 0;
            for (int64_t h = 0; h < lengths_h[l]; h++) {
                const pw_entry start = {.t_ms = h * 3600000, .weight = PW_ENTRY_ROUTINE};
                kept += pw_sieve_keeps(&coarse, &start) ? 1 : 0;
                assert_true(pw_sieve_keeps(&fine, &start) || !pw_sieve_keeps(&coarse, &start));
            }
            assert_true(kept > 0);
            steps++;
            assert_true(steps < 24);
        }
        const pw_entry lock = {.t_ms = 5 * 3600000, .weight = PW_ENTRY_TELLING}, draw = {.weight = PW_ENTRY_PASSING};
        assert_true(pw_sieve_keeps(&coarse, &lock));
        assert_false(pw_sieve_keeps(&coarse, &draw));
    }
}

/* The day book tells each moment to the second, also where several fall into one: their lines stand in their order. */
static void told_to_the_second(void **state)
{
    (void)state;
    const size_t mark = pw_arena_mark(&k.arena);
    const pw_entry entry = {.t_ms = 86400000 + 7 * 3600000 + 5 * 60000 + 9007, .kind = PW_ENTRY_FAULT, .item = -1};
    const char *line = told_fact(&k.arena, pw_entry_line(&k.arena, k.plant, &entry));
    assert_non_null(strstr(line, "day 2  07:05:09  the"));
    pw_arena_back(&k.arena, mark);
}

/* With room for 100 samples a day of some thousand is thinned: from its beginning to its end, evenly, told. */
static void samples_span_the_whole_time(void **state)
{
    (void)state;
    const size_t mark = pw_arena_mark(&k.arena);
    pw_run_options options = {.length_ms = 24 * 3600000, .seed = 1};
    options.sample_ms = 60000;
    options.sample_places = true;
    options.sample_capacity = 20000;
    const pw_daybook *all = kit_run(&k, &options);
    assert_int_equal(all->samples_lost, 0);
    assert_int_equal(all->sample_every_ms, 60000);
    options.sample_capacity = 100;
    const pw_daybook *few = kit_run(&k, &options);
    const int64_t every = few->sample_every_ms;
    assert_true(few->sample_count >= 50 && few->sample_count <= 100);
    assert_true(few->samples_lost > 1000);
    assert_int_equal(every, 16 * 60000); /* the first doubling with which 24 h are 100 samples or fewer */
    assert_int_equal(few->samples[0].t_ms, 0);
    assert_true(few->samples[few->sample_count - 1].t_ms >= options.length_ms - every);
    for (int32_t i = 0; i < few->sample_count; i++) {
        const int64_t gap = i > 0 ? few->samples[i].t_ms - few->samples[i - 1].t_ms : every;
        if (gap < every || gap >= 2 * every) {
            fail_msg("%lld ms between samples", (long long)gap);
        }
        const int32_t place = few->first_place + k.site->sensors[0].place; /* moved with its sample */
        assert_true(pw_sample_value(few, i, place) == few->samples[i].pressure_pa);
    }
    pw_arena_back(&k.arena, mark);
}

/* Every kind at every severity: the day goes to its end or hunts, water is kept, numbers are numbers, and something is
 * different from a healthy day wherever the order or the water must notice. */
static void every_day(void **state)
{
    (void)state;
    const size_t mark = pw_arena_mark(&k.arena);
    const pw_totals well = day(PW_FAULT_NONE, 0.0, 12.0)->totals;
    assert_true(well.starts > 20);
    pw_arena_back(&k.arena, mark);
    int32_t tried = 0;
    for (int32_t kind = 1; kind < PW_FAULT_COUNT; kind++) {
        double severities[16];
        const int32_t count = pw_fault_severities(k.site, (pw_fault_kind)kind, 0.0, severities, 16);
        /* what this site does not have: a pump in a bore, a filter, a pressure switch */
        const bool elsewhere = kind == PW_FAULT_ENTRAINED_GAS || kind == PW_FAULT_FILTER_CLOGGED ||
                               kind == PW_FAULT_SWITCH_CLOSED || kind == PW_FAULT_SWITCH_OPEN ||
                               kind == PW_FAULT_SWITCH_DRIFTS;
        assert_int_equal(count == 0, elsewhere);
        for (int32_t i = 0; i < count; i++) {
            const pw_daybook *book = day((pw_fault_kind)kind, severities[i], 12.0);
            const pw_totals *t = &book->totals;
            if (fabs(t->balance_m3) > 1e-9 || !isfinite(t->winding_max_c) || !isfinite(t->energy_j) ||
                !(book->ending == PW_END_TIME || book->ending == PW_END_HUNTING)) {
                fail_msg("%s %g: balance %g", pw_fault_id((pw_fault_kind)kind), severities[i], t->balance_m3);
            }
            const bool same = t->starts == well.starts && t->run_s == well.run_s &&
                              t->winding_max_c == well.winding_max_c && t->pressure_max_pa == well.pressure_max_pa;
            const bool may_be_same = kind == PW_FAULT_FLOW_ON || kind == PW_FAULT_PROBE_WET ||
                                     kind == PW_FAULT_PROBE_DRY || kind == PW_FAULT_CHATTER ||
                                     kind == PW_FAULT_PSI_TYPED || kind == PW_FAULT_LOST_PRIME ||
                                     kind == PW_FAULT_RELIEF || kind == PW_FAULT_SUPPLY_LOST || kind == PW_FAULT_SLAM ||
                                     kind == PW_FAULT_MINUTES_TYPED || (i == 0 && count > 1);
            if (same && !may_be_same) {
                fail_msg("%s %g changes nothing", pw_fault_id((pw_fault_kind)kind), severities[i]);
            }
            assert_int_equal(entries(book, PW_ENTRY_FAULT), 1);
            tried++;
            pw_arena_back(&k.arena, mark);
        }
    }
    assert_true(tried > 100);
}

static void outage(void **state)
{
    (void)state;
    const pw_daybook *book = day(PW_FAULT_SUPPLY_LOST, 4.0 * 3600.0, 8.0);
    assert_int_equal(entries(book, PW_ENTRY_FAULT_END), 1);
    int32_t within = 0, after = 0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        const pw_entry *entry = &book->entries[i];
        const bool start = entry->kind == PW_ENTRY_START;
        within += start && entry->t_ms > 3600000 && entry->t_ms < 5 * 3600000 ? 1 : 0;
        after += start && entry->t_ms >= 5 * 3600000 ? 1 : 0;
    }
    assert_int_equal(within, 0);
    assert_true(after > 0);
}

/* Half of the orders to start are missed, evenly. */
static void contactor(void **state)
{
    (void)state;
    const pw_daybook *book = day(PW_FAULT_NOT_CLOSING, 0.5, 12.0);
    int32_t missed = entries(book, PW_ENTRY_NO_CLOSE), made = 0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        made += book->entries[i].kind == PW_ENTRY_START && book->entries[i].t_ms >= 3600000 ? 1 : 0;
    }
    assert_true(missed > 2 && abs(missed - made) <= 1);
    book = day(PW_FAULT_NOT_CLOSING, 1.0, 4.0);
    assert_true(entries(book, PW_ENTRY_NO_CLOSE) >= 1);
    assert_int_equal(starts_after(book, 3600000), 0);
}

/* It slams at every stop since the onset, with the surge of the severity, and counts for the highest pressure. */
static void slams(void **state)
{
    (void)state;
    double pa = 0.0, half_s = 0.0;
    pw_model_surge(k.plant->model, 0, 0.3, &pa, &half_s);
    const pw_daybook *book = day(PW_FAULT_SLAM, 0.3, 12.0);
    int32_t stops = 0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        const pw_entry *entry = &book->entries[i];
        stops += entry->kind == PW_ENTRY_STOP && entry->t_ms >= 3600000 ? 1 : 0;
        assert_true(entry->kind != PW_ENTRY_SLAM || (entry->a == pa && entry->b == half_s));
    }
    assert_true(stops > 2);
    assert_int_equal(entries(book, PW_ENTRY_SLAM), stops);
    assert_true(book->totals.pressure_max_pa > k.plant->cut_out_pa + 0.9 * pa);
}

static void prime(void **state)
{
    (void)state;
    const pw_daybook *book = day(PW_FAULT_LOST_PRIME, 60.0, 3.0);
    assert_true(entries(book, PW_ENTRY_NO_PRIME) >= 1);
    assert_true(book->totals.dry_s > 10.0); /* it runs dry until the order stops it for want of flow */
}

/* A reading that is held does not move; one that drifts is off by its part of ten days. */
static void sensors(void **state)
{
    (void)state;
    const pw_daybook *book = day(PW_FAULT_SENSOR_STUCK, 1.0, 12.0);
    assert_true(starts_after(book, 3600000) <= 1);
    const pw_daybook *low = day(PW_FAULT_READS_LOW, 240e3, 12.0);
    /* after 11 h: 6 of 120 parts of 240 kPa are 12 kPa; stops come that much later */
    assert_true(low->totals.pressure_max_pa > 350e3 + 11e3 && low->totals.pressure_max_pa < 350e3 + 13e3);
    const pw_daybook *late = day(PW_FAULT_TAPPING, 30.0, 12.0);
    assert_true(late->totals.pressure_max_pa > 400e3);
}

/* The frost ends: the day goes on as before. */
static void frost(void **state)
{
    (void)state;
    const pw_daybook *book = day(PW_FAULT_FROZEN, 2.0 * 3600.0, 12.0);
    assert_int_equal(entries(book, PW_ENTRY_FAULT_END), 1);
    int32_t after = 0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        after += book->entries[i].kind == PW_ENTRY_START && book->entries[i].t_ms > 3 * 3600000 ? 1 : 0;
    }
    assert_true(after > 5);
}

static void typed(void **state)
{
    (void)state;
    const pw_daybook *book = day(PW_FAULT_SETTINGS_SWAPPED, 1.0, 3.0);
    assert_true(book->typed_warned); /* the reader warns or refuses */
    assert_true(book->typed_warned);
    assert_true(book->typed_about_it); /* of the start sentence, which was typed otherwise */
    book =
        day(PW_FAULT_PSI_TYPED, 1.0, 3.0); /* 200 psi is 1379 kPa: the reader takes it, the sensor ends at 1000 kPa */
    assert_true(book->typed_refused || book->totals.pressure_max_pa > 400e3);
    for (int32_t i = 0; !book->typed_refused && i < book->entry_count; i++) {
        const pw_entry *entry = &book->entries[i];
        if (entry->t_ms > 3600000 && entry->kind == PW_ENTRY_START && entry->settings != NULL) {
            assert_non_null(strstr(told_fact(&k.arena, pw_entry_line(&k.arena, k.plant, entry)), "psi"));
        }
    }
}

/* Two at once work together: their changes multiply or stand beside each other. */
static void pairs(void **state)
{
    (void)state;
    pw_condition c = with(PW_FAULT_WORN, 0.2, -1);
    const pw_fault clog = {.kind = PW_FAULT_CLOGGED, .severity = 0.5, .where = -1};
    const pw_fault wear = {.kind = PW_FAULT_WORN, .severity = 0.5, .where = -1};
    pw_fault_apply(k.plant->model, &clog, 1.0, 275e3, &c);
    pw_fault_apply(k.plant->model, &wear, 1.0, 275e3, &c);
    assert_true(near(c.pump_head[0], 0.4, 1e-12) && near(c.pump_flow[0], 0.5, 1e-12));
    for (int32_t i = 0; i < pw_fault_pair_count(); i++) {
        const pw_fault_pair *pair = pw_fault_pair_at(i);
        assert_true(pair->first != pair->second && pair->reason[0] != '\0');
        pw_run_options options;
        memset(&options, 0, sizeof options);
        options.length_ms = 6 * 3600000;
        options.fault_count = 2;
        for (int32_t m = 0; m < 2; m++) {
            double severities[16];
            const pw_fault_kind kind = m == 0 ? pair->first : pair->second;
            const int32_t count = pw_fault_severities(k.site, kind, 0.0, severities, 16);
            options.faults[m] = (pw_fault){
                .kind = kind, .severity = count > 0 ? severities[count - 1] : 0.0, .where = -1, .onset_ms = 3600000};
        }
        const size_t mark = pw_arena_mark(&k.arena);
        assert_true(fabs(kit_run(&k, &options)->totals.balance_m3) < 1e-9);
        pw_arena_back(&k.arena, mark);
    }
    assert_null(pw_fault_pair_at(-1));
    assert_null(pw_fault_pair_at(pw_fault_pair_count()));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(curves_shrink),
        cmocka_unit_test(low_voltage),
        cmocka_unit_test(high_voltage),
        cmocka_unit_test(stalled_motor),
        cmocka_unit_test(choked_intake),
        cmocka_unit_test(level_falls),
        cmocka_unit_test(backflow),
        cmocka_unit_test(scale_in_the_pipe),
        cmocka_unit_test(relief_valve),
        cmocka_unit_test(surge),
        cmocka_unit_test(precharge),
        cmocka_unit_test(starts_outlast_draws),
        cmocka_unit_test(sieves_are_nested),
        cmocka_unit_test(telling_entries_stay),
        cmocka_unit_test(told_to_the_second),
        cmocka_unit_test(samples_span_the_whole_time),
        cmocka_unit_test(every_day),
        cmocka_unit_test(outage),
        cmocka_unit_test(contactor),
        cmocka_unit_test(slams),
        cmocka_unit_test(prime),
        cmocka_unit_test(sensors),
        cmocka_unit_test(frost),
        cmocka_unit_test(typed),
        cmocka_unit_test(pairs),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
