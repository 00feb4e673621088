/* One timeline for each kind of sentence, run with the clock at zero and with the clock just before its 32-bit wrap.
 * Steps happen only when an input changes, when next_due_ms says so, and at the moments asked about.
 */
#include "kit.h"
#include "told.h"

static kit_bench b;

static bool says(const char *part);

static void start_is_a_level_with_a_time(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa for 1 s",
                                           "stop when pressure above 400 kPa", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        assert_false(b.out.run[0]);
        kit_set(&b, 5 * S, P_PRESSURE, 250e3); /* not below */
        kit_to(&b, 20 * S);
        assert_false(b.out.run[0]);
        kit_set(&b, 20 * S, P_PRESSURE, 249.999e3);
        kit_turns(&b, 21 * S, true);
        kit_set(&b, 30 * S, P_PRESSURE, 400e3); /* not above */
        assert_true(b.out.run[0]);
        kit_set(&b, 31 * S, P_PRESSURE, 400.001e3);
        assert_false(b.out.run[0]);
        kit_set(&b, 32 * S, P_PRESSURE, 249e3);
        kit_set(&b, 32 * S + 999, P_PRESSURE, 251e3); /* fell 1 ms too soon */
        kit_to(&b, 60 * S);
        assert_false(b.out.run[0]);
        assert_int_equal(kit_events(&b, PW_CONTROL_STARTED), 1);
        assert_int_equal(kit_events(&b, PW_CONTROL_STOPPED), 1);
        assert_int_equal(b.event_count, 2);
        assert_int_equal(b.events[0].sentence, 0);
        assert_int_equal(b.events[1].sentence, 1);
    }
}

/* IEC 61131-3 TON as read in its function-block documentation (reference values C1, C2): PT = 5 s. C1: IN 1 at 0, 0 at
 * 8: Q 1 from 5 to 8. C2: IN 1 at 0, 0 at 3: Q never 1. Q is the warning. */
static void for_time_is_an_on_delay(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when flow", "stop when no flow for 1 s",
                                           "warn when contact gate closed for 5 s", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        const uint64_t zero = 100 * S;
        kit_set(&b, zero, P_CONTACT, 1);
        assert_int_equal(b.out.warned, 0);
        assert_int_equal(b.out.next_due_ms, 5 * S);
        kit_to(&b, zero + 5 * S - 1);
        assert_int_equal(b.out.warned, 0);
        kit_to(&b, zero + 5 * S);
        assert_int_equal(b.out.warned, 4);
        kit_to(&b, zero + 8 * S - 1);
        assert_int_equal(b.out.warned, 4);
        kit_set(&b, zero + 8 * S, P_CONTACT, 0);
        assert_int_equal(b.out.warned, 0);
        assert_int_equal(kit_events(&b, PW_CONTROL_WARNED), 1);
        const uint64_t second = 200 * S;
        kit_set(&b, second, P_CONTACT, 1);
        kit_set(&b, second + 3 * S, P_CONTACT, 0);
        kit_set(&b, second + 3 * S + 1, P_CONTACT, 1); /* begins anew */
        kit_to(&b, second + 8 * S);
        assert_int_equal(b.out.warned, 0);
        kit_to(&b, second + 8 * S + 1);
        assert_int_equal(b.out.warned, 4);
        assert_int_equal(kit_events(&b, PW_CONTROL_WARNED), 2);
    }
}

static void ignore_delays_the_timer(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when no flow for 10 s",
                                           "ignore no flow for 15 s after start", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 10 * S, P_PRESSURE, 240e3);
        assert_true(b.out.run[0]);
        kit_set(&b, 11 * S, P_PRESSURE, 300e3);
        kit_turns(&b, 35 * S, false); /* 10 + 15 + 10 */
        kit_set(&b, 50 * S, P_PRESSURE, 240e3);
        kit_set(&b, 52 * S, P_FLOW, 1);
        kit_set(&b, 53 * S, P_PRESSURE, 300e3);
        kit_set(&b, 100 * S, P_FLOW, 0); /* long after the window: the plain time */
        kit_turns(&b, 110 * S, false);
    }
}

static void rest_holds_a_start_and_tells_it_once(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when no flow for 2 s",
                                           "rest 10 s after stop", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 1 * S, P_PRESSURE, 200e3); /* nothing owed before the first stop */
        assert_true(b.out.run[0]);
        kit_turns(&b, 3 * S, false);
        assert_int_equal(kit_events(&b, PW_CONTROL_HELD), 1);
        assert_int_equal(b.out.next_due_ms, 10 * S);
        kit_set(&b, 5 * S, P_PRESSURE, 300e3);
        kit_set(&b, 6 * S, P_PRESSURE, 200e3);
        assert_int_equal(kit_events(&b, PW_CONTROL_HELD), 1);
        kit_turns(&b, 13 * S, true);
        kit_turns(&b, 15 * S, false);
        assert_int_equal(kit_events(&b, PW_CONTROL_HELD), 2);
        kit_set(&b, 16 * S, P_PRESSURE, 300e3);
        kit_set(&b, 60 * S, P_PRESSURE, 200e3); /* rested long since */
        assert_true(b.out.run[0]);
        assert_int_equal(kit_events(&b, PW_CONTROL_HELD), 2);
    }
}

static void least_run_and_run_on(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           "run at least 20 s", "run on 5 s after stop condition", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 1 * S, P_PRESSURE, 200e3);
        kit_set(&b, 2 * S, P_PRESSURE, 450e3);
        kit_turns(&b, 21 * S, false);
        kit_set(&b, 30 * S, P_PRESSURE, 200e3);
        kit_set(&b, 60 * S, P_PRESSURE, 450e3);
        kit_set(&b, 64 * S, P_PRESSURE, 390e3); /* the wish passed: the run-on begins anew */
        kit_set(&b, 70 * S, P_PRESSURE, 450e3);
        kit_turns(&b, 75 * S, false);
    }
}

static void hold_on_overrules_a_stop(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           "keep running while flow", "run on 3 s after stop condition", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 1 * S, P_PRESSURE, 200e3);
        kit_set(&b, 2 * S, P_FLOW, 1);
        kit_set(&b, 3 * S, P_PRESSURE, 450e3);
        kit_to(&b, 100 * S);
        assert_true(b.out.run[0]);
        kit_set(&b, 100 * S, P_FLOW, 0);
        kit_turns(&b, 103 * S, false);
    }
}

/* Invariant 6: the stop wins. */
static void no_start_into_a_stop(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when level below 1 m", "stop when level above 2 m or probe low dry",
                                           NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 1 * S, P_PROBE, 0);
        kit_set(&b, 2 * S, P_LEVEL, 0.5);
        kit_to(&b, 9 * S);
        assert_false(b.out.run[0]);
        assert_int_equal(b.event_count, 0);
        kit_set(&b, 10 * S, P_PROBE, 1);
        assert_true(b.out.run[0]);
        kit_set(&b, 11 * S, P_PROBE, 0);
        assert_false(b.out.run[0]);
    }
}

static void lock_out_wins_and_stays(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           "lock out when pressure above 400 kPa", "run at least 1 h", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 1 * S, P_PRESSURE, 200e3);
        kit_clear(&b);
        kit_set(&b, 2 * S, P_PRESSURE, 401e3);
        assert_true(b.out.locked[0]);
        assert_int_equal(b.out.locked_by[0], 2);
        assert_int_equal(b.event_count, 2);
        assert_int_equal(b.events[0].kind, PW_CONTROL_LOCKED);
        assert_int_equal(b.events[1].kind, PW_CONTROL_STOPPED);
        assert_int_equal(b.events[1].sentence, 2);
        kit_set(&b, 3 * S, P_PRESSURE, 100e3);
        kit_to(&b, 90ull * 24 * HOUR); /* longer than the clock's turn */
        assert_true(b.out.locked[0]);
        kit_clear(&b);
        pw_control_release(b.table, b.control, -1, b.epoch + (uint32_t)b.t_ms);
        kit_to(&b, b.t_ms);
        assert_int_equal(b.events[0].kind, PW_CONTROL_RELEASED);
        assert_int_equal(b.events[0].sentence, -1);
        assert_int_equal(b.events[1].kind, PW_CONTROL_STARTED);
        assert_true(b.out.run[0]);
        pw_control_release(b.table, b.control, 0, b.epoch + (uint32_t)b.t_ms); /* not locked: nothing happens */
        kit_clear(&b);
        kit_to(&b, b.t_ms + 1);
        assert_int_equal(b.event_count, 0);
        assert_true(b.out.run[0]);
    }
}

static void thirty_days(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when contact gate closed for 30 d",
                                           "stop when pressure above 400 kPa for 30 d", "rest 30 d after stop", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        const uint64_t longest = 30ull * 24ull * HOUR;
        kit_set(&b, 7, P_CONTACT, 1);
        kit_turns(&b, 7 + longest, true);
        kit_set(&b, 8 + longest, P_PRESSURE, 450e3);
        kit_turns(&b, 8 + 2 * longest, false);
        kit_turns(&b, 8 + 3 * longest, true);
    }
}

/* Nothing happens for longer than the clock's turn (49.7 days): what was long ago stays long ago. */
static void stillness_outlasts_the_clock(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa",
                                           "stop when pressure above 400 kPa",
                                           "warn when running for 30 d",
                                           "warn when stopped for 30 d",
                                           "rest 30 d after stop",
                                           "ignore flow for 30 d after start",
                                           "warn when flow",
                                           "lock out when contact gate closed",
                                           NULL};
    const uint64_t day = 24ull * HOUR;
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 1 * S, P_FLOW, 1);
        kit_set(&b, 2 * S, P_PRESSURE, 200e3);
        for (uint64_t d = 31; d < 120; d++) {
            kit_to(&b, d * day);
            assert_int_equal(b.out.warned, 4 + 64);
        }
        assert_true(says("more than "));
        kit_set(&b, 120 * day, P_PRESSURE, 450e3);
        for (uint64_t d = 151; d < 240; d++) {
            kit_to(&b, d * day);
            assert_int_equal(b.out.warned, 8 + 64);
        }
        kit_set(&b, 120 * day + ((uint64_t)UINT32_MAX + 1) * 3 + 5, P_PRESSURE,
                200e3); /* the clock of the stop again */
        assert_true(b.out.run[0]);
        kit_set(&b, 300 * day, P_CONTACT, 1);
        kit_to(&b, 300 * day + (uint64_t)UINT32_MAX + 1 + 5 * S);
        assert_true(says("pump has been locked out for more than "));
    }
}

/* Two pumps, each with its own sentences; a warning that is nobody's own is told once. */
static void pumps_have_their_own_machine(void **state)
{
    (void)state;
    static const char *const settings[] = {"bore pump: start when level below 1 m",
                                           "stop when level above 2 m",
                                           "feed pump: start when pressure at shed below 250 kPa",
                                           "warn when probe low dry",
                                           "warn when running for 10 s",
                                           "bore pump: rest 1 min after stop"};
    pw_arena arena = kit_arena();
    pw_settings *read = NULL;
    pw_table *table = NULL;
    pw_outputs out;
    double in[BENCH_SIGNALS] = {300e3, 300e3, 0, 3, 1, 1, 1, 0, 0, 0, 0};
    assert_int_equal(
        pw_settings_read(&arena, settings, 6, bench_signals, BENCH_SIGNALS, bench_pumps, 2, "o", &read, NULL), PW_OK);
    assert_int_equal(pw_table_build(&arena, read, NULL, &table, NULL), PW_OK);
    pw_control *control = pw_alloc(&arena, 1, pw_control_size());
    pw_control_begin(table, control, 0);
    in[3] = 0.5;
    pw_control_step(table, control, in, 0, &out);
    assert_true(out.run[0] && !out.run[1]);
    in[0] = 200e3;
    in[4] = 0;
    pw_control_step(table, control, in, 5 * S, &out);
    assert_true(out.run[0] && out.run[1]);
    assert_int_equal(out.event_count, 2); /* started, warned once */
    pw_control_step(table, control, in, 10 * S, &out);
    assert_int_equal(out.event_count, 1);
    pw_control_step(table, control, in, 15 * S, &out);
    assert_int_equal(out.event_count, 1); /* the other pump's own ten seconds */
    assert_int_equal(out.events[0].pump, 1);
    in[3] = 3;
    pw_control_step(table, control, in, 20 * S, &out);
    assert_true(!out.run[0] && !out.run[1]);
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

static void state_in_words(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa for 1 s",
                                           "stop when no flow for 10 s",
                                           "ignore no flow for 15 s after start",
                                           "rest 10 s after stop",
                                           "lock out when starts reach 2 in 1 h",
                                           "retry after 30 min up to 2 times",
                                           "run on 3 s after stop condition",
                                           "warn when level below 2 m",
                                           NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        assert_true(says("pump is stopped and has not run yet.\n"));
        assert_true(says("It starts when pressure below 250 kPa for 1 s.\n"));
        assert_true(says("It warns: level below 2 m.\n"));
        kit_set(&b, 1 * S, P_PRESSURE, 200e3);
        assert_true(says("It starts when pressure below 250 kPa for 1 s (holds now, 1 s to go).\n"));
        kit_to(&b, 6 * S);
        assert_true(says("pump has been running for 4 s, because of \"start when pressure below 250 kPa for 1 s\".\n"));
        assert_true(says("It stops when no flow for 10 s (no flow is ignored for another 11 s).\n"));
        kit_to(&b, 28 * S);
        assert_true(says("It is told to stop and runs on for another 2 s.\n"));
        kit_to(&b, 35 * S);
        assert_true(says(
            "pump has been stopped for 5 s, because of \"stop when no flow for 10 s\".\nIt rests for another 5 s.\n"));
        kit_to(&b, 60 * S);
        assert_true(b.out.locked[0]);
        assert_true(says("pump has been locked out for 20 s, because of \"lock out when starts reach 2 in 1 h\".\n"));
        assert_true(says("What went wrong: the pump started too often.\n"));
        assert_true(says("Check first: ") && says("Check second: ") && says("Check third: "));
        assert_true(says("(retry 1 of 2)"));
    }
}

/* Every kind of condition has its words after a lock out. */
/* Three checks that differ, whatever is known of the site. */
static void every_lock_out_has_advice(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when level below 1 m", "stop when level above 2 m", NULL};
    static pw_site_facts facts;
    pw_arena arena = kit_arena();
    pw_settings *read = kit_plain(&arena, settings);
    static const uint8_t kinds[] = {PW_TERM_PRESSURE, PW_TERM_FLOW,    PW_TERM_LEVEL,  PW_TERM_PROBE,  PW_TERM_CONTACT,
                                    PW_TERM_CURRENT,  PW_TERM_WINDING, PW_TERM_SUPPLY, PW_TERM_PHASES, PW_TERM_STARTS,
                                    PW_TERM_RUNNING,  PW_TERM_STOPPED, PW_TERM_LOCKED, PW_TERM_CLOCK};
    for (uint32_t mix = 0; mix < 1u << 15; mix++) {
        pw_pump_facts *f = &facts.pumps[0];
        f->source = (uint8_t)(mix % 5);
        f->feed = (uint8_t)(mix >> 3 & 3u);
        f->lifts = mix >> 5 & 1u;
        f->non_return = mix >> 6 & 1u;
        f->vessel = mix >> 7 & 1u;
        f->serves = mix >> 8 & 1u;
        f->fills = mix >> 9 & 1u;
        f->float_fills = mix >> 10 & 1u;
        f->float_feeds = mix >> 11 & 1u;
        for (int32_t i = 0; i < PW_MAX_SIGNALS; i++) {
            f->signal_at[i] = (uint8_t)((mix >> 12) % 6);
        }
        for (size_t k = 0; k < sizeof kinds; k++) {
            for (int32_t above = 0; above <= 1; above++) {
                const int16_t signal = kinds[k] <= PW_TERM_PHASES ? (int16_t)(kinds[k] - PW_TERM_PRESSURE) : -1;
                pw_sentence sentence = {.kind = PW_SENTENCE_LOCK, .pumps = 1, .term_count = 2};
                sentence.terms[0] =
                    (pw_term){.kind = kinds[k], .above = above, .signal = signal, .of_pump = -1, .in_a_row = 1};
                sentence.terms[1] = sentence.terms[0];
                sentence.terms[1].kind = mix & 1u ? PW_TERM_STOPPED : kinds[k];
                const pw_settings_advice said =
                    pw_term_advice(read, mix == 0 ? NULL : &facts, &sentence, &sentence.terms[0], 0);
                assert_true(strlen(said.wrong) > 10);
                assert_int_equal(said.count, 3);
                for (int32_t i = 0; i < 3; i++) {
                    assert_true(strlen(said.checks[i]) > 10);
                    assert_string_not_equal(said.checks[i], said.checks[(i + 1) % 3]);
                }
            }
        }
    }
}

static void the_state_is_plain_data(void **state)
{
    (void)state;
    assert_int_equal(pw_control_size(), sizeof(pw_control));
    assert_true(pw_control_size() < 130000);
    static const char *const settings[] = {"start when pressure below 250 kPa",
                                           "stop when pressure above 400 kPa for 3 s", NULL};
    kit_begin(&b, settings, 0);
    kit_set(&b, 1 * S, P_PRESSURE, 200e3);
    kit_set(&b, 2 * S, P_PRESSURE, 500e3);
    static pw_control copy;
    memcpy(&copy, b.control, pw_control_size());
    pw_outputs out;
    kit_to(&b, 5 * S);
    pw_control_step(b.table, &copy, b.in, 5 * S, &out);
    assert_memory_equal(&out, &b.out, sizeof out);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(start_is_a_level_with_a_time),
        cmocka_unit_test(for_time_is_an_on_delay),
        cmocka_unit_test(ignore_delays_the_timer),
        cmocka_unit_test(rest_holds_a_start_and_tells_it_once),
        cmocka_unit_test(least_run_and_run_on),
        cmocka_unit_test(hold_on_overrules_a_stop),
        cmocka_unit_test(no_start_into_a_stop),
        cmocka_unit_test(lock_out_wins_and_stays),
        cmocka_unit_test(thirty_days),
        cmocka_unit_test(stillness_outlasts_the_clock),
        cmocka_unit_test(pumps_have_their_own_machine),
        cmocka_unit_test(state_in_words),
        cmocka_unit_test(every_lock_out_has_advice),
        cmocka_unit_test(the_state_is_plain_data),
    };
    return cmocka_run_group_tests_name("settings: timelines", tests, NULL, NULL);
}
