/* The state in words over power cuts and releases, what is told of readings, and which advice a lock out gives. With
 * the clock at zero and before its wrap.
 */
#include "kit.h"
#include "told.h"

static kit_bench b;

static const char *words(void)
{
    static uint8_t block[1 << 18];
    pw_arena scratch;
    pw_text text;
    pw_arena_init(&scratch, block, sizeof block);
    pw_text_init(&text, &scratch);
    pw_facts facts;
    pw_facts_init(&facts, text.arena);
    pw_control_tell(b.settings, NULL, b.table, b.control, 0, b.epoch + (uint32_t)b.t_ms, &facts);
    pw_say_lines(&text, &told_voice, &facts);
    assert_false(text.failed);
    return text.data;
}

static void begins(const char *expected)
{
    if (strncmp(words(), expected, strlen(expected)) != 0) {
        fail_msg("expected:\n%s\nfound:\n%s", expected, words());
    }
}

static void says(const char *part, bool wanted)
{
    if ((strstr(words(), part) != NULL) != wanted) {
        fail_msg("%s: %s\nin:\n%s", wanted ? "not found" : "found", part, words());
    }
}

static void lose(uint64_t t_ms)
{
    kit_to(&b, t_ms);
    pw_control_lost(b.table, b.control, b.epoch + (uint32_t)b.t_ms);
}

static void come_back(uint64_t t_ms)
{
    b.t_ms = t_ms;
    pw_control_power(b.table, b.control, b.epoch + (uint32_t)b.t_ms);
    kit_step(&b);
}

static void release(void)
{
    pw_control_release(b.table, b.control, 0, b.epoch + (uint32_t)b.t_ms);
    kit_step(&b);
}

#define LOCK "because of \"lock out when contact gate closed\".\n"

static void a_lock_out_is_kept_over_a_cut(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           "lock out when contact gate closed", "keep lock outs over a power cut",
                                           NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 0, P_PRESSURE, 200e3);
        kit_set(&b, 10 * S, P_CONTACT, 1);
        kit_set(&b, 15 * S, P_PRESSURE, 300e3);
        says("The supply was away", false);
        lose(20 * S);
        begins("pump has just lost its power, and so has its controller.\n");
        b.t_ms = 80 * S;
        begins("pump has had no power for 1 min, and nor has its controller.\n"
               "It is locked out, and stays so over the cut, " LOCK
               "Lock outs, the retries used up and the starts counted for them are kept over the cut.\n"
               "Its counters are kept, and its clock goes on.\n");
        come_back(620 * S);
        begins("pump has been locked out for 10 min 10 s, " LOCK
               "The supply was away for 10 min; it came back just now.\n"
               "Its lock out was kept over the cut.\n"
               "What went wrong: the contact closed.\n");
        kit_set(&b, 650 * S, P_CONTACT, 0);
        release();
        begins("pump has been stopped for 10 min 40 s, " LOCK "A person released it just now.\n"
               "The supply was away for 10 min; it came back 30 s ago.\n"
               "It starts when pressure below 250 kPa.\n");
        kit_to(&b, 4280 * S); /* an hour and a minute after it, but it has not started yet */
        says("A person released it 1 h 1 min ago.\nThe supply was away for 10 min; it came back 1 h 1 min ago.\n",
             true);
        kit_set(&b, 4290 * S, P_PRESSURE, 200e3);
        assert_true(b.out.run[0]);
        says("The supply was away", false);
        kit_set(&b, 4300 * S, P_PRESSURE, 410e3);
        begins("pump has been stopped for 0 s, because of \"stop when pressure above 400 kPa\".\nIt may not start now");
    }
}

static void a_cut_is_told_for_an_hour_of_every_pump(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           "rest 30 s after stop", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 0, P_PRESSURE, 200e3);
        lose(50 * S);
        b.t_ms = 60 * S;
        begins("pump has had no power for 10 s, and nor has its controller.\n"
               "It was running then; when the supply comes back it is stopped and rests for 30 s.\n"
               "Its counters are kept, and its clock goes on.\n");
        come_back(110 * S);
        kit_set(&b, 150 * S, P_PRESSURE, 300e3);
        begins("pump has been running for 10 s, because of \"start when pressure below 250 kPa\".\n"
               "The supply was away for 1 min; it came back 40 s ago.\n");
        kit_set(&b, 200 * S, P_PRESSURE, 410e3);
        kit_set(&b, 210 * S, P_PRESSURE, 300e3);
        lose(300 * S);
        says("It was stopped then.\n", true);
        come_back(420 * S); /* stopped before, and after */
        kit_to(&b, 430 * S);
        begins("pump has been stopped for 3 min 50 s, because of \"stop when pressure above 400 kPa\".\n"
               "The supply was away for 2 min; it came back 10 s ago.\n");
        kit_set(&b, 500 * S, P_PRESSURE, 200e3);
        kit_to(&b, 420 * S + HOUR - 1);
        says("The supply was away for 2 min; it came back 1 h ago.\n", true);
        kit_to(&b, 420 * S + HOUR);
        says("The supply was away", false);
    }
}

static void a_release_is_told_until_the_next_start(void **state)
{
    (void)state;
    static const char *const settings[] = {
        "start when pressure below 250 kPa",           "stop when pressure above 400 kPa",
        "lock out when contact gate closed",           "rest 1 h after stop",
        "retry after 1 min, then 5 min up to 3 times", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 0, P_PRESSURE, 200e3);
        kit_set(&b, 10 * S, P_CONTACT, 1);
        kit_set(&b, 20 * S, P_CONTACT, 0);
        says("released it", false);
        kit_to(&b, 75 * S);
        begins("pump has been stopped for 1 min 5 s, " LOCK
               "It was released by itself 5 s ago, by \"retry after 1 min, then 5 min up to 3 times\", retry 1 of 3.\n"
               "It rests for another 58 min 55 s.\n");
        kit_set(&b, HOUR + 10 * S, P_PRESSURE, 200e3);
        assert_true(b.out.run[0]);
        says("released", false);
        kit_set(&b, HOUR + 20 * S, P_PRESSURE, 410e3);
        kit_set(&b, HOUR + 30 * S, P_CONTACT, 1); /* locked out while it stands */
        kit_set(&b, HOUR + 40 * S, P_CONTACT, 0);
        release();
        kit_to(&b, HOUR + 45 * S);
        begins("pump has been stopped for 25 s, because of \"stop when pressure above 400 kPa\".\n"
               "A person released it 5 s ago; it had been locked out, " LOCK);
        kit_set(&b, HOUR + 50 * S, P_CONTACT, 1);
        says("A person released it", false);
    }
}

static void advice_is_on_what_held(void **state)
{
    (void)state;
    static const char *const settings[] = {
        "start when pressure below 250 kPa", "stop when pressure above 400 kPa",
        "lock out when probe low dry or contact gate closed and flow or level above 2 m for 2 s", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 1 * S, P_CONTACT, 1);
        kit_set(&b, 2 * S, P_FLOW, 1);
        kit_locks(&b, 4 * S, 2);
        says("What went wrong: the contact closed.\n", true);
        says("Or: there is flow", false);
        const char *told = strstr(words(), "What went wrong");
        assert_null(strstr(told, "robe"));
        assert_null(strstr(told, "level"));
        kit_set(&b, 5 * S, P_FLOW, 0);
        release();
        kit_set(&b, 6 * S, P_PROBE, 0);
        kit_set(&b, 7 * S, P_LEVEL, 3);
        kit_locks(&b, 8 * S, 2); /* two held together */
        told = strstr(words(), "What went wrong");
        assert_null(strstr(told, "contact closed"));
        assert_non_null(strstr(told, "Or: "));
    }
}

/* What no sentence looks at is told all the same. */
static void the_pressure_is_told_without_a_sentence(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when level below 1 m", "stop when level above 2 m", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 1 * S, P_PRESSURE, 217e3);
        says("Pressure now 217 kPa.\n", true);
        says("cut-in", false);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_lock_out_is_kept_over_a_cut),
        cmocka_unit_test(a_cut_is_told_for_an_hour_of_every_pump),
        cmocka_unit_test(a_release_is_told_until_the_next_start),
        cmocka_unit_test(advice_is_on_what_held),
        cmocka_unit_test(the_pressure_is_told_without_a_sentence),
    };
    return cmocka_run_group_tests_name("settings: words", tests, NULL, NULL);
}
