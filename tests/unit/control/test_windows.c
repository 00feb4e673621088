/* Timelines of windows: a time within a time, the clock of the week, limits in a row, restarts that wait for a new
 * call, power cuts, relays, the supply, counters. With the clock at zero and just before its wrap, like
 * test_timelines.c.
 */
#include "kit.h"
#include "told.h"

#include <string.h>

static kit_bench b;

static const uint64_t DAY = 24 * (uint64_t)HOUR;

/* A switch that chatters with equal shares is flow; one that is silent 5 s of 8 s is not. */
static void chatter_is_filtered_and_a_real_loss_is_seen(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           "lock out when no flow for 5 s in 8 s",
                                           "ignore no flow for 10 s after start", NULL};
    for (uint64_t half_ms = 50; half_ms <= 1000; half_ms += 95) { /* 10 to 0.5 changes a second */
        FOR_EACH_EPOCH(b, settings)
        {
            kit_set(&b, 1 * S, P_PRESSURE, 200e3);
            assert_true(b.out.run[0]);
            bool flow = true;
            uint64_t t = 2 * S;
            for (; t < 120 * S; t += half_ms) {
                kit_set(&b, t, P_FLOW, flow);
                assert_false(b.out.locked[0]);
                flow = !flow;
            }
            kit_set(&b, t, P_FLOW, 0);
            kit_to(&b, t + 8 * S);
            assert_true(b.out.locked[0]);
            assert_int_equal(b.events[b.event_count - 2].kind, PW_CONTROL_LOCKED);
            uint64_t took_ms = b.event_ms[b.event_count - 2] - t;
            assert_true(took_ms >= 1 * S - half_ms && took_ms <= 5 * S); /* half the window was silent already */
        }
    }
}

/* Exact at the start of a window; forgotten a 64th of the window at a time. */
static void a_time_in_a_time_counts_what_is_left_of_it(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when flow", "stop when no flow for 1 s",
                                           "warn when contact closed for 3 s in 64 s", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 10 * S, P_CONTACT, 1); /* 2 s */
        kit_set(&b, 12 * S, P_CONTACT, 0);
        kit_set(&b, 40 * S, P_CONTACT, 1);
        kit_to(&b, 41 * S - 1);
        assert_int_equal(b.out.warned, 0);
        kit_to(&b, 41 * S);
        assert_int_equal(b.out.warned, 4);
        kit_set(&b, 41 * S, P_CONTACT, 0);
        kit_to(&b, 75 * S - 1); /* the part from 10 s to 11 s is forgotten when the window has passed it */
        assert_int_equal(b.out.warned, 4);
        kit_to(&b, 75 * S);
        assert_int_equal(b.out.warned, 0);
        assert_int_equal(kit_events(&b, PW_CONTROL_WARNED), 1);
    }
}

/* Run time of a day: a stop sentence with a window keeps the pump from starting until the window lets go. */
static void run_time_in_a_day(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           "stop when running for 2 h in 24 h", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 0, P_PRESSURE, 200e3);
        assert_true(b.out.run[0]);
        kit_turns(&b, 2 * (uint64_t)HOUR, false);
        kit_to(&b, DAY);
        assert_false(b.out.run[0]);
        kit_to(&b, DAY + 45 * MIN); /* a part is 22.5 min */
        assert_true(b.out.run[0]);
        kit_to(&b, 10 * DAY);
        uint32_t starts, run_s;
        pw_control_counts(b.control, 0, b.epoch + (uint32_t)b.t_ms, &starts, &run_s);
        assert_true(run_s <= 10 * 2 * 3600 && run_s >= 9 * 2 * 3600);
    }
}

static void start_at(kit_bench *bench, uint64_t t_ms)
{
    kit_set(bench, t_ms, P_PRESSURE, 200e3);
    kit_set(bench, t_ms + 20 * S, P_PRESSURE, 500e3);
}

/* Six starts in 10 min, three windows in a row: one burst of starts is no reason yet. */
static void starts_in_several_windows_in_a_row(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           "lock out when starts reach 6 in 10 min 3 times in a row", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        for (int i = 0; i < 12; i++) { /* 20 min of it */
            start_at(&b, 10 * (uint64_t)MIN + i * 100 * (uint64_t)S);
        }
        kit_to(&b, 2 * (uint64_t)HOUR);
        assert_false(b.out.locked[0]);
        for (int i = 0; i < 17; i++) {
            start_at(&b, 2 * (uint64_t)HOUR + i * 100 * (uint64_t)S);
            assert_false(b.out.locked[0]);
        }
        kit_set(&b, 2 * (uint64_t)HOUR + 1700 * S, P_PRESSURE, 200e3); /* the eighteenth */
        assert_true(b.out.locked[0]);
        assert_int_equal(b.out.locked_by[0], 2);
    }
}

/* Monday 00:00 is where the clock begins. */
static void time_of_day_and_day_of_week(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when time between 22:00 and 06:00 on Friday and Sunday",
                                           "stop when time not between 22:00 and 06:00 on Friday and Sunday", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        for (uint64_t week = 0; week < 3; week++) { /* the clock wraps in the fifth of the epochs, too */
            uint64_t monday = week * 7 * DAY;
            kit_to(&b, monday + 6 * (uint64_t)HOUR + 1);
            assert_false(b.out.run[0]);
            kit_turns(&b, monday + 4 * DAY + 22 * (uint64_t)HOUR, true);
            assert_int_equal(b.out.next_due_ms, 8 * HOUR); /* the very next edge, not this one again */
            kit_turns(&b, monday + 5 * DAY + 6 * (uint64_t)HOUR, false);
            kit_turns(&b, monday + 6 * DAY + 22 * (uint64_t)HOUR, true);
            kit_turns(&b, monday + 7 * DAY + 6 * (uint64_t)HOUR, false); /* Monday morning */
        }
        pw_control_clock(b.control, b.epoch + (uint32_t)b.t_ms, 4 * 86400000u + 23 * 3600000u);
        kit_to(&b, b.t_ms);
        assert_true(b.out.run[0]);
        assert_int_equal(b.out.next_due_ms, 7 * HOUR);
    }
}

static void whole_days(void **state)
{
    (void)state;
    static const char *const settings[] = {
        "start when pressure below 250 kPa and time between 00:00 and 24:00 on Saturday",
        "stop when pressure above 400 kPa", NULL};
    kit_begin(&b, settings, 0);
    kit_set(&b, 1 * S, P_PRESSURE, 200e3);
    assert_int_equal(b.out.next_due_ms, 5 * DAY - 1 * S);
    kit_turns(&b, 5 * DAY, true);
}

/* Held back after a stop: automatic when the rest is over, or only on a new call. */
static void a_rest_that_waits_for_a_new_call(void **state)
{
    (void)state;
    static const char *const automatic[] = {"start when contact closed", "stop when no flow for 5 s",
                                            "rest 100 h after stop", NULL};
    static const char *const anew[] = {"start when contact closed", "stop when no flow for 5 s",
                                       "rest 100 h after stop, then wait for a new call", NULL};
    for (int k = 0; k < 2; k++) {
        FOR_EACH_EPOCH(b, k ? anew : automatic)
        {
            kit_set(&b, 1 * S, P_CONTACT, 1);
            assert_true(b.out.run[0]);
            kit_turns(&b, 6 * S, false);
            const uint64_t over = 6 * S + 100 * (uint64_t)HOUR;
            if (k == 0) {
                kit_turns(&b, over, true);
                continue;
            }
            kit_to(&b, over + 50 * (uint64_t)HOUR);
            assert_false(b.out.run[0]);
            kit_set(&b, over + 51 * (uint64_t)HOUR, P_CONTACT, 0);
            assert_false(b.out.run[0]);
            kit_set(&b, over + 52 * (uint64_t)HOUR, P_CONTACT, 1);
            assert_true(b.out.run[0]);
        }
    }
}

static void a_call_that_ends_within_the_rest_may_come_again(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa for 2 s",
                                           "stop when pressure above 400 kPa",
                                           "rest 1 min after stop, then wait for a new call", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 0, P_PRESSURE, 200e3);
        kit_turns(&b, 2 * S, true);
        kit_set(&b, 10 * S, P_PRESSURE, 500e3);
        kit_set(&b, 69 * S, P_PRESSURE, 200e3); /* within the rest: stale */
        kit_to(&b, 5 * (uint64_t)MIN);
        assert_false(b.out.run[0]);
        kit_set(&b, 5 * (uint64_t)MIN, P_PRESSURE, 300e3);
        kit_set(&b, 5 * (uint64_t)MIN + 1, P_PRESSURE, 200e3);
        kit_turns(&b, 5 * (uint64_t)MIN + 2 * S + 1, true);
    }
}

static void a_relay_closes_while_its_warning_lasts(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa",
                                           "stop when pressure above 400 kPa",
                                           "lock out when running for 10 min",
                                           "warn by relay red lamp when locked out",
                                           "warn by relay horn when contact closed for 2 s",
                                           "warn by relay Red  Lamp when pressure above 600 kPa",
                                           NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        assert_int_equal(pw_settings_relay_count(b.settings), 2);
        assert_string_equal(pw_settings_relay(b.settings, 0), "red lamp");
        assert_string_equal(pw_settings_relay(b.settings, 1), "horn");
        kit_set(&b, 1 * S, P_CONTACT, 1);
        kit_to(&b, 3 * S);
        assert_int_equal(b.out.relays, 2);
        kit_set(&b, 4 * S, P_CONTACT, 0);
        assert_int_equal(b.out.relays, 0);
        kit_set(&b, 5 * S, P_PRESSURE, 700e3);
        assert_int_equal(b.out.relays, 1);
        kit_set(&b, 6 * S, P_PRESSURE, 200e3);
        assert_int_equal(b.out.relays, 0);
        kit_locks(&b, 10 * (uint64_t)MIN + 6 * S, 2);
        assert_int_equal(b.out.relays, 1);
        assert_true(kit_events(&b, PW_CONTROL_WARNED) == 3);
        pw_control_release(b.table, b.control, -1, b.epoch + (uint32_t)b.t_ms);
        kit_to(&b, b.t_ms);
        assert_int_equal(b.out.relays, 0);
    }
}

static void low_voltage_and_a_missing_phase(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa",
                                           "stop when pressure above 400 kPa",
                                           "lock out when supply below 200 V for 5 s",
                                           "lock out when phase missing for 1 s",
                                           "release by itself after 10 min when locked out by supply below 200 V",
                                           "run only while phases complete and supply above 205 V",
                                           NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 1 * S, P_PRESSURE, 200e3);
        assert_true(b.out.run[0]);
        kit_set(&b, 10 * S, P_SUPPLY, 190);
        assert_false(b.out.run[0]); /* "only while" stops at once, the lock out takes its time */
        kit_locks(&b, 15 * S, 2);
        kit_set(&b, 20 * S, P_SUPPLY, 203);
        kit_to(&b, 615 * S);
        assert_false(b.out.locked[0]);
        assert_false(b.out.run[0]); /* still below 205 V */
        kit_set(&b, 700 * S, P_SUPPLY, 230);
        assert_true(b.out.run[0]);
        kit_set(&b, 710 * S, P_PHASES, 0);
        kit_locks(&b, 711 * S, 3);
        kit_to(&b, 100 * (uint64_t)HOUR);
        assert_true(b.out.locked[0]);
    }
}

/* Power comes back: staggered by the sentence, lock outs and retries kept or cleared. */
static void power_cuts(void **state)
{
    (void)state;
    static const char *const cleared[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                          "lock out when running for 1 min", "wait 30 s after power on", NULL};
    static const char *const kept[] = {"start when pressure below 250 kPa",
                                       "stop when pressure above 400 kPa",
                                       "lock out when running for 1 min",
                                       "wait 30 s after power on",
                                       "keep lock outs over a power cut",
                                       "retry after 10 min up to 1 time",
                                       NULL};
    for (int k = 0; k < 2; k++) {
        FOR_EACH_EPOCH(b, k ? kept : cleared)
        {
            kit_set(&b, 0, P_PRESSURE, 200e3);
            kit_turns(&b, 30 * S, true); /* begin is power on, too */
            kit_locks(&b, 90 * S, 2);
            b.t_ms = 200 * S;
            pw_control_power(b.table, b.control, b.epoch + (uint32_t)b.t_ms);
            kit_step(&b);
            assert_int_equal(b.out.locked[0], k);
            assert_false(b.out.run[0]);
            if (k == 0) {
                kit_turns(&b, 230 * S, true);
            } else {
                kit_turns(&b, 690 * S, true); /* ten minutes after the lock out, over the cut */
                kit_locks(&b, 750 * S, 2);
                b.t_ms = 800 * S;
                pw_control_power(b.table, b.control, b.epoch + (uint32_t)b.t_ms);
                kit_step(&b);
                kit_to(&b, 90 * (uint64_t)HOUR); /* the retry is used up */
                assert_true(b.out.locked[0]);
            }
            uint32_t starts, run_s;
            pw_control_counts(b.control, 0, b.epoch + (uint32_t)b.t_ms, &starts, &run_s);
            assert_int_equal(starts, 2);
            assert_int_equal(run_s, k ? 120 : 60);
        }
    }
}

/* To the second over many wraps of nothing but the clock, at any time also between steps. */
static void counters(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when stopped for 50 h", "stop when running for 100 h", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        uint32_t starts, run_s;
        const uint64_t cycle = 150 * (uint64_t)HOUR;
        kit_to(&b, 20 * cycle + 60 * (uint64_t)HOUR);
        pw_control_counts(b.control, 0, b.epoch + (uint32_t)b.t_ms + 1234, &starts, &run_s);
        assert_int_equal(starts, 21);
        assert_int_equal(run_s, 20 * 360000 + 36000 + 1);
        pw_control_counts_reset(b.control, 0, b.epoch + (uint32_t)b.t_ms + 2000);
        pw_control_counts(b.control, 0, b.epoch + (uint32_t)b.t_ms + 2999, &starts, &run_s);
        assert_int_equal(starts, 0);
        assert_int_equal(run_s, 0);
        kit_to(&b, 21 * cycle + 50 * (uint64_t)HOUR);
        pw_control_counts(b.control, 0, b.epoch + (uint32_t)b.t_ms, &starts, &run_s);
        assert_int_equal(starts, 1);
        assert_int_equal(run_s, 90 * 3600 - 2);
        kit_to(&b, 21 * cycle + 60 * (uint64_t)HOUR); /* ten hours into its next run the supply goes, for one hour */
        pw_control_lost(b.table, b.control, b.epoch + (uint32_t)b.t_ms + 500);
        b.t_ms += HOUR;
        pw_control_power(b.table, b.control, b.epoch + (uint32_t)b.t_ms);
        pw_control_counts(b.control, 0, b.epoch + (uint32_t)b.t_ms, &starts, &run_s);
        assert_int_equal(run_s, 100 * 3600 - 2);
    }
}

/* Every millisecond of chatter keeps the state at its size: nothing is allocated, and the parts are all there is. */
static void the_window_forgets_in_bounded_memory(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           "warn when contact closed for 60 h in 100 h", NULL};
    kit_begin(&b, settings, UINT32_MAX - 1000);
    size_t used = pw_arena_mark(&b.arena);
    for (uint64_t i = 0; i < 100000; i++) { /* closed for 13 of each 20 s */
        kit_set(&b, i * 20 * S, P_CONTACT, 1);
        kit_set(&b, i * 20 * S + 13 * S, P_CONTACT, 0);
    }
    assert_int_equal(b.out.warned, 4);
    assert_true(b.event_ms[0] >= 90 * (uint64_t)HOUR && b.event_ms[0] <= 100 * (uint64_t)HOUR);
    assert_int_equal(kit_events(&b, PW_CONTROL_WARNED), 1);
    assert_int_equal(pw_arena_mark(&b.arena), used);
}

static bool says(const char *part)
{
    pw_arena scratch;
    static uint8_t block[1 << 18];
    pw_text text;
    pw_arena_init(&scratch, block, sizeof block);
    pw_text_init(&text, &scratch);
    pw_facts facts;
    pw_facts_init(&facts, text.arena);
    pw_control_tell(b.settings, NULL, b.table, b.control, 0, b.epoch + (uint32_t)b.t_ms, &facts);
    pw_say_lines(&text, &told_voice, &facts);
    if (strstr(text.data, part) == NULL) {
        printf("not found: %s\nin:\n%s", part, text.data);
    }
    return strstr(text.data, part) != NULL;
}

static void all_of_it_in_words(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa",
                                           "stop when pressure above 400 kPa",
                                           "run only while time not between 06:00 and 08:00 on Monday",
                                           "start when level below 1 m and time between 10:00 and 11:00",
                                           "lock out when no flow for 5 s in 8 s",
                                           "rest 1 h after stop, then wait for a new call",
                                           "wait 10 s after power on",
                                           "warn by relay horn when locked out",
                                           "retry after 3 h up to 1 time",
                                           NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        const uint64_t six = 6 * (uint64_t)HOUR;
        kit_set(&b, 4 * S, P_PRESSURE, 200e3);
        assert_true(says("It waits for another 6 s, because the power came on.\n"));
        assert_true(says("Pressure now 200 kPa, cut-in 250 kPa, cut-out 400 kPa.\n"));
        kit_set(&b, 5 * S, P_FLOW, 1);
        kit_to(&b, 11 * S);
        assert_true(b.out.run[0]);
        assert_true(says("It runs only while time not between 06:00 and 08:00 on Monday (holds now).\n"));
        kit_set(&b, 15 * S, P_FLOW, 0);
        kit_to(&b, 17 * S);
        assert_true(says("It locks out when no flow for 5 s in 8 s (so far 2 s).\n"));
        kit_set(&b, 18 * S, P_FLOW, 1);
        kit_set(&b, 20 * S, P_PRESSURE, 410e3);
        assert_true(says("Its counters stand at 1 start and 0 h 0 min 10 s of running.\n"));
        kit_set(&b, 40 * (uint64_t)MIN, P_PRESSURE, 240e3);
        kit_to(&b, 2 * (uint64_t)HOUR);
        assert_true(
            says("It starts when pressure below 250 kPa (holds since before the rest was over: it must cease, and "
                 "begin anew).\n"));
        assert_true(
            says("It starts when level below 1 m and time between 10:00 and 11:00 (the time changes in 8 h).\n"));
        kit_set(&b, 3 * (uint64_t)HOUR, P_PRESSURE, 300e3);
        kit_set(&b, six + 30 * MIN, P_PRESSURE, 240e3);
        assert_false(b.out.run[0]);
        assert_true(
            says("It may not start now: \"run only while time not between 06:00 and 08:00 on Monday\" is in the "
                 "way, for another 1 h 30 min.\n"));
        kit_set(&b, 8 * (uint64_t)HOUR, P_FLOW, 0);
        assert_true(b.out.run[0]);
        kit_locks(&b, 8 * (uint64_t)HOUR + 5 * S, 4);
        assert_true(says("pump has just been locked out, because of \"lock out when no flow for 5 s in 8 s\".\n"));
        assert_true(says("It warns: locked out; relay horn is closed.\n"));
        assert_true(says("It is released by itself in 3 h (retry 1 of 1).\n"));
    }
}

/* The third start meets its limit and never reaches the motor: the limit counts it, the person's counter does not. */
static void a_start_that_its_limit_ends_is_not_counted(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           "lock out when starts reach 3 in 10 min", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        for (int32_t i = 0; i < 3; i++) {
            kit_set(&b, (uint64_t)(1 + 20 * i) * S, P_PRESSURE, 200e3);
            assert_int_equal(b.out.run[0], i < 2);
            kit_set(&b, (uint64_t)(11 + 20 * i) * S, P_PRESSURE, 410e3);
        }
        assert_true(b.out.locked[0]);
        assert_int_equal(pw_control_starts(b.table, b.control, 0, b.epoch + (uint32_t)b.t_ms, 600 * S), 3);
        uint32_t starts, run_s;
        pw_control_counts(b.control, 0, b.epoch + (uint32_t)b.t_ms, &starts, &run_s);
        assert_int_equal(starts, 2);
        assert_int_equal(run_s, 20);
        assert_true(says("Its counters stand at 2 starts and 0 h 0 min 20 s of running.\n"));
    }
}

/* What stopped it was the supply: how long it was away, since when it stands, what it waits for now. */
static void a_power_cut_is_told(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           "lock out when running for 1 min", "wait 30 s after power on", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 0, P_PRESSURE, 200e3);
        kit_to(&b, 40 * S);
        assert_true(b.out.run[0]);
        pw_control_lost(b.table, b.control, b.epoch + (uint32_t)b.t_ms);
        b.t_ms = 640 * S;
        pw_control_power(b.table, b.control, b.epoch + (uint32_t)b.t_ms);
        kit_step(&b);
        assert_true(says("pump has been stopped for 10 min, because the supply was lost.\n"
                         "The supply was away for 10 min; it came back just now.\n"
                         "It waits for another 30 s, because the power came on.\n"));
        kit_to(&b, 645 * S);
        assert_true(says("pump has been stopped for 10 min 5 s, because the supply was lost.\n"
                         "The supply was away for 10 min; it came back 5 s ago.\n"
                         "It waits for another 25 s, because the power came on.\n"));
        kit_locks(&b, 730 * S, 2); /* it runs again from 670 s on */
        b.t_ms = 800 * S;
        pw_control_power(b.table, b.control, b.epoch + (uint32_t)b.t_ms);
        kit_set(&b, 802 * S, P_PRESSURE, 300e3);
        assert_true(says("pump has been stopped for 1 min 12 s, because of \"lock out when running for 1 min\".\n"
                         "How long the supply was away is not known; it came back 2 s ago.\n"
                         "Its lock out was forgotten with the supply.\n"));
        kit_set(&b, 850 * S, P_PRESSURE, 200e3);
        kit_set(&b, 860 * S, P_PRESSURE, 410e3);
        kit_to(&b, 870 * S);
        assert_true(says("pump has been stopped for 10 s, because of \"stop when pressure above 400 kPa\".\n"
                         "How long the supply was away is not known; it came back 1 min 10 s ago.\n"
                         "It may not start now: "));
    }
}

/* Readable at any time, with the span that they speak of. */
static void counters_tell_their_reset(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 0, P_PRESSURE, 200e3);
        kit_to(&b, 40 * S);
        pw_control_counts_reset(b.control, 0, b.epoch + (uint32_t)b.t_ms);
        assert_true(says("Its counters stand at 0 starts and 0 h 0 min 0 s of running, since they were reset "
                         "0 h 0 min 0 s ago.\n"));
        kit_set(&b, 60 * S, P_PRESSURE, 410e3);
        pw_control_lost(b.table, b.control, b.epoch + (uint32_t)b.t_ms + 20 * S);
        b.t_ms += 2 * (uint64_t)HOUR;
        pw_control_power(b.table, b.control, b.epoch + (uint32_t)b.t_ms);
        kit_set(&b, b.t_ms + 5 * S, P_PRESSURE, 300e3);
        assert_true(says("Its counters stand at 0 starts and 0 h 0 min 20 s of running, since they were reset "
                         "2 h 0 min 25 s ago.\n"));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(chatter_is_filtered_and_a_real_loss_is_seen),
        cmocka_unit_test(a_time_in_a_time_counts_what_is_left_of_it),
        cmocka_unit_test(run_time_in_a_day),
        cmocka_unit_test(starts_in_several_windows_in_a_row),
        cmocka_unit_test(time_of_day_and_day_of_week),
        cmocka_unit_test(whole_days),
        cmocka_unit_test(a_rest_that_waits_for_a_new_call),
        cmocka_unit_test(a_call_that_ends_within_the_rest_may_come_again),
        cmocka_unit_test(a_relay_closes_while_its_warning_lasts),
        cmocka_unit_test(low_voltage_and_a_missing_phase),
        cmocka_unit_test(power_cuts),
        cmocka_unit_test(counters),
        cmocka_unit_test(the_window_forgets_in_bounded_memory),
        cmocka_unit_test(all_of_it_in_words),
        cmocka_unit_test(a_start_that_its_limit_ends_is_not_counted),
        cmocka_unit_test(a_power_cut_is_told),
        cmocka_unit_test(counters_tell_their_reset),
    };
    return cmocka_run_group_tests_name("settings: windows", tests, NULL, NULL);
}
