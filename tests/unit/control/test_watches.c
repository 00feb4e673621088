/* Watches, one timeline each: what is counted, when it locks out or warns, how a lock out ends. Each runs with the
 * clock at zero and just before its 32-bit wrap.
 */
#include "kit.h"

static kit_bench b;

static void cycle(uint64_t at_ms)
{
    kit_set(&b, at_ms, P_PRESSURE, 200e3);
    kit_set(&b, at_ms + 500, P_PRESSURE, 450e3);
}

static void starts_reach_counts_a_rolling_window(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           "warn when starts reach 4 in 1 h", "lock out when starts reach 5 in 1 h",
                                           NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        b.in[P_PRESSURE] = 450e3;
        for (uint64_t i = 0; i < 8; i++) {
            cycle((i * 15 + 1) * MIN); /* the fifth start comes when the first is 1 h old, and out of the window */
            assert_false(b.out.locked[0]);
            assert_int_equal(pw_control_starts(b.table, b.control, 0, b.epoch + (uint32_t)b.t_ms, HOUR),
                             i < 4 ? (int)i + 1 : 4);
        }
        /* starts at 61, 76, 91, 106 min; the last of the four turned the warning on; it goes when the first is 1 h old
         */
        assert_int_equal(b.out.warned, 4);
        kit_to(&b, 121 * MIN - 1);
        assert_int_equal(b.out.warned, 4);
        kit_to(&b, 121 * MIN);
        assert_int_equal(b.out.warned, 0);
        cycle(122 * MIN); /* 76, 91, 106, 122 */
        kit_clear(&b);
        kit_set(&b, 135 * MIN, P_PRESSURE, 200e3); /* the fifth in one hour meets the limit itself: it never runs */
        assert_true(b.out.locked[0]);
        assert_false(b.out.run[0]);
        assert_int_equal(b.events[0].kind, PW_CONTROL_STARTED);
        assert_int_equal(b.events[1].kind, PW_CONTROL_LOCKED);
        assert_int_equal(b.events[2].kind, PW_CONTROL_STOPPED);
        pw_control_release(b.table, b.control, 0, b.epoch + (uint32_t)b.t_ms);
        assert_int_equal(pw_control_starts(b.table, b.control, 0, b.epoch + (uint32_t)b.t_ms, HOUR), 0);
        kit_to(&b, 136 * MIN);
        assert_true(b.out.run[0]); /* the count began anew */
    }
}

/* Two starts in 1 h: the third waits until the first is 1 h old, and is told once. */
static void a_start_too_many_waits(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           "start at most 2 times in 1 h", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        b.in[P_PRESSURE] = 450e3;
        cycle(1 * MIN);
        cycle(31 * MIN);
        kit_clear(&b);
        kit_set(&b, 45 * MIN, P_PRESSURE, 200e3);
        assert_false(b.out.run[0]);
        assert_int_equal(b.event_count, 1);
        assert_int_equal(b.events[0].kind, PW_CONTROL_HELD);
        assert_string_equal(pw_control_held_id(b.events[0].held_by), "day.held-at-most");
        kit_to(&b, 61 * MIN - 1);
        assert_false(b.out.run[0]);
        kit_to(&b, 61 * MIN);
        assert_true(b.out.run[0]);
        kit_set(&b, 62 * MIN, P_PRESSURE, 450e3);
        kit_clear(&b);
        kit_set(&b, 63 * MIN, P_PRESSURE, 200e3); /* 31 and 61 min: until the one of 31 min is out of the window */
        kit_to(&b, 91 * MIN - 1);
        assert_false(b.out.run[0]);
        kit_to(&b, 91 * MIN);
        assert_true(b.out.run[0]);
    }
}

/* 1,800 in the window: the 1,799th start does nothing, the 1,800th locks; also after the ring has gone round and the
 * clock wrapped. */
static void the_largest_limit(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           "lock out when starts reach 1800 in 100 h", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        b.in[P_PRESSURE] = 450e3;
        uint64_t t_ms = 0;
        for (int32_t i = 0; i < 4000; i++) { /* one start each 200 s and 1 ms: just 1,799.99 in 100 h */
            t_ms += 200 * S + 112;
            kit_clear(&b);
            cycle(t_ms);
            if (b.out.locked[0]) {
                printf("locked at start %d\n", i);
            }
            assert_false(b.out.locked[0]);
        }
        assert_int_equal(pw_control_starts(b.table, b.control, 0, b.epoch + (uint32_t)b.t_ms, 100 * HOUR), 1799);
        kit_set(&b, t_ms + 600, P_PRESSURE, 200e3);
        assert_true(b.out.locked[0]);
        kit_begin(&b, settings, epochs[e]);
        b.in[P_PRESSURE] = 450e3;
        for (uint64_t i = 1; i <= 1799; i++) {
            kit_clear(&b);
            cycle(i * 2 * S);
            assert_false(b.out.locked[0]);
        }
        kit_set(&b, 1800 * 2 * S, P_PRESSURE, 200e3);
        assert_true(b.out.locked[0]);
    }
}

/* A window older than the clock's turn holds nothing, however still the site was. */
static void old_starts_do_not_come_back(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           "lock out when starts reach 2 in 100 h", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        b.in[P_PRESSURE] = 450e3;
        cycle(1000);
        cycle((uint64_t)UINT32_MAX + 1 + 1000); /* the very same clock, 49.7 days later */
        assert_false(b.out.locked[0]);
        cycle((uint64_t)UINT32_MAX + 1 + 1000 + 100ull * HOUR - 1);
        assert_true(b.out.locked[0]);
    }
}

static void running_for_counts_from_the_last_start(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           "lock out when running for 100 h", "warn when running for 90 min and flow",
                                           NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 1 * S, P_PRESSURE, 200e3);
        kit_set(&b, 1 * S + 99ull * HOUR, P_PRESSURE, 450e3);
        kit_set(&b, 2 * S + 99ull * HOUR, P_PRESSURE, 200e3);
        kit_set(&b, 5 * S + 99ull * HOUR, P_FLOW, 1);
        assert_int_equal(b.out.warned, 0);
        kit_to(&b, 2 * S + 99ull * HOUR + 90 * MIN - 1);
        assert_int_equal(b.out.warned, 0);
        kit_to(&b, 2 * S + 99ull * HOUR + 90 * MIN);
        assert_int_equal(b.out.warned, 8);
        kit_locks(&b, 2 * S + 199ull * HOUR, 2);
    }
}

static void watches_look_also_while_stopped(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa",
                                           "stop when pressure above 400 kPa",
                                           "warn when pressure above 500 kPa",
                                           "lock out when flow and stopped for 1 min",
                                           "warn when stopped and flow for 30 s",
                                           "warn when stopped for 24 h",
                                           NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 10 * S, P_PRESSURE, 501e3);
        assert_int_equal(b.out.warned, 4);
        kit_set(&b, 20 * S, P_PRESSURE, 300e3);
        assert_int_equal(b.out.warned, 0);
        kit_set(&b, 50 * S, P_FLOW, 1); /* stopped since 0: the minute belongs to "stopped" */
        kit_locks(&b, 60 * S, 3);
        kit_to(&b, 80 * S - 1);
        assert_int_equal(b.out.warned, 0); /* the 30 s belong to both together */
        kit_to(&b, 80 * S);
        assert_int_equal(b.out.warned, 16);
        kit_to(&b, 24ull * HOUR - 1);
        assert_int_equal(b.out.warned, 16);
        kit_to(&b, 24ull * HOUR); /* locked out is stopped, too */
        assert_int_equal(b.out.warned, 48);
    }
}

/* "no flow" and "current below" tell of a running pump only. */
static void no_flow_means_a_running_pump(void **state)
{
    (void)state;
    static const char *const settings[] = {
        "start when pressure below 250 kPa",     "stop when pressure above 400 kPa",
        "lock out when no flow for 30 s",        "lock out when current below 2 A for 10 s",
        "warn when stopped and no flow for 5 s", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_to(&b, 1000 * S);
        assert_false(b.out.locked[0]);
        assert_int_equal(b.out.warned, 16);
        kit_set(&b, 1000 * S, P_PRESSURE, 200e3);
        kit_set(&b, 1001 * S, P_CURRENT, 5);
        kit_locks(&b, 1030 * S, 2); /* counted from the start */
        pw_control_release(b.table, b.control, 0, b.epoch + (uint32_t)b.t_ms);
        b.in[P_CURRENT] = 0;
        b.in[P_FLOW] = 1;
        kit_to(&b, 1031 * S);
        kit_locks(&b, 1041 * S, 3);
    }
}

static void retries_come_one_after_the_other(void **state)
{
    (void)state;
    static const char *const settings[] = {
        "start when pressure below 250 kPa", "stop when pressure above 400 kPa",
        "lock out when no flow for 10 s",    "retry after 30 s, then 5 min up to 3 times when locked out by no flow",
        "lock out when contact gate closed", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 0, P_PRESSURE, 200e3);
        kit_locks(&b, 10 * S, 2);
        kit_turns(&b, 40 * S, true);
        assert_int_equal(kit_events(&b, PW_CONTROL_RETRIED), 1);
        kit_locks(&b, 50 * S, 2);
        kit_turns(&b, 350 * S, true);
        kit_locks(&b, 360 * S, 2);
        kit_turns(&b, 660 * S, true);
        kit_locks(&b, 670 * S, 2);
        kit_to(&b, 200ull * HOUR); /* used up */
        assert_true(b.out.locked[0]);
        assert_int_equal(kit_events(&b, PW_CONTROL_RETRIED), 3);
        pw_control_release(b.table, b.control, 0, b.epoch + (uint32_t)b.t_ms); /* a person gives all of them back */
        const uint64_t t = b.t_ms + 1;
        kit_to(&b, t);
        kit_clear(&b);
        kit_locks(&b, t + 10 * S, 2);
        kit_turns(&b, t + 40 * S, true);
        b.in[P_FLOW] = 1;
        kit_set(&b, t + 41 * S, P_PRESSURE, 450e3); /* an ordinary stop, too */
        b.in[P_FLOW] = 0;
        kit_set(&b, t + 60 * S, P_PRESSURE, 200e3);
        kit_locks(&b, t + 70 * S, 2);
        kit_turns(&b, t + 100 * S, true);
        kit_set(&b, t + 101 * S, P_CONTACT, 1); /* another lock out: no retry for it */
        assert_int_equal(b.out.locked_by[0], 4);
        b.in[P_CONTACT] = 0;
        kit_to(&b, t + 100ull * HOUR);
        assert_true(b.out.locked[0]);
    }
}

static void release_by_itself_without_end(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           "lock out when starts reach 1 in 1 h", "release by itself after 10 min",
                                           NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 10 * S, P_PRESSURE, 200e3);
        assert_true(b.out.locked[0]);
        kit_to(&b, 10 * S + 50 * 10 * MIN);
        assert_int_equal(kit_events(&b, PW_CONTROL_RETRIED), 50);
        assert_true(b.out.locked[0]);
        assert_int_equal(b.event_ms[b.event_count - 1], 10 * S + 50 * 10 * MIN);
    }
}

/* The warning comes with the second retry, stays over the lock outs that follow, and ends with a run that ends well. */
static void retries_reach_a_number(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           "lock out when contact gate closed", "retry after 10 min up to 3 times",
                                           "warn when retries reach 2",         NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        const uint64_t min = 60 * S;
        assert_string_equal(kit_words(b.settings, 4), "warn when retries reach 2");
        kit_set(&b, 1 * S, P_PRESSURE, 200e3);
        kit_set(&b, 2 * S, P_CONTACT, 1);
        kit_to(&b, 2 * S + 10 * min);
        assert_int_equal(b.out.warned, 0);
        kit_to(&b, 2 * S + 20 * min - 1);
        assert_int_equal(b.out.warned, 0);
        kit_to(&b, 2 * S + 20 * min);
        assert_int_equal(b.out.warned, 16);
        assert_true(b.out.locked[0]); /* the cause is still there */
        kit_set(&b, 25 * min, P_CONTACT, 0);
        kit_to(&b, 2 * S + 30 * min);
        assert_true(b.out.run[0] && b.out.warned == 16);
        kit_set(&b, 40 * min, P_PRESSURE, 450e3);
        assert_true(!b.out.run[0] && b.out.warned == 0);
    }
}

/* More warnings at once than there is room for: the rest is told one millisecond later, none is lost. */
static void no_warning_is_lost(void **state)
{
    (void)state;
    static char words[40][48];
    static const char *settings[43];
    for (int32_t i = 0; i < 40; i++) {
        snprintf(words[i], sizeof words[i], "warn when pressure above %d kPa", 500 + i);
        settings[i] = words[i];
    }
    settings[40] = "start when pressure below 250 kPa";
    settings[41] = "stop when pressure above 400 kPa";
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 10 * S, P_PRESSURE, 900e3);
        assert_true(b.out.warned == ((uint64_t)1 << 40) - 1);
        assert_int_equal(b.out.event_count, PW_MAX_CONTROL_EVENTS);
        assert_int_equal(b.out.next_due_ms, 1);
        kit_to(&b, 11 * S);
        assert_int_equal(b.event_count, 40);
        assert_int_equal(b.event_ms[39], 10 * S + 1);
        for (int32_t i = 0; i < 40; i++) {
            assert_int_equal(b.events[i].sentence, i);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(starts_reach_counts_a_rolling_window),
        cmocka_unit_test(a_start_too_many_waits),
        cmocka_unit_test(the_largest_limit),
        cmocka_unit_test(old_starts_do_not_come_back),
        cmocka_unit_test(running_for_counts_from_the_last_start),
        cmocka_unit_test(watches_look_also_while_stopped),
        cmocka_unit_test(no_flow_means_a_running_pump),
        cmocka_unit_test(retries_come_one_after_the_other),
        cmocka_unit_test(release_by_itself_without_end),
        cmocka_unit_test(retries_reach_a_number),
        cmocka_unit_test(no_warning_is_lost),
    };
    return cmocka_run_group_tests_name("settings: watches", tests, NULL, NULL);
}
