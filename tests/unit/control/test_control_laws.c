/* Timelines by hand for what a slip in the step would change: retries that wait longer each time, nights that belong to
 * their day, thresholds that do not include themselves, a rest, a delay and a count to the millisecond.
 */
#include "kit.h"

static kit_bench b;

static void each_retry_has_its_own_wait(void **state)
{
    (void)state;
    static const char *const settings[] = {
        "start when pressure below 250 kPa", "stop when pressure above 400 kPa", "lock out when no flow for 10 s",
        "retry after 30 s, then 5 min, then 1 h up to 4 times when locked out by no flow", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 0, P_PRESSURE, 200e3);
        uint64_t t = 0;
        static const uint64_t waits[] = {30 * S, 5 * MIN, 60 * MIN, 60 * MIN};
        for (int32_t i = 0; i < 4; i++) {
            kit_locks(&b, t + 10 * S, 2);
            kit_turns(&b, t + 10 * S + waits[i], true);
            t += 10 * S + waits[i];
        }
        kit_locks(&b, t + 10 * S, 2);
        kit_to(&b, t + 100ull * HOUR);
        assert_true(b.out.locked[0]);
    }
}

/* From Friday 22:00 to Saturday 06:00, and no other night; the controller's clock begins on Monday at midnight. */
static void a_night_belongs_to_its_day(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when time between 22:00 and 06:00 on Friday",
                                           "stop when time not between 22:00 and 06:00 on Friday", NULL};
    const uint64_t day = 24 * (uint64_t)HOUR;
    FOR_EACH_EPOCH(b, settings)
    {
        for (uint64_t d = 0; d < 4; d++) { /* asked in the night, too, when nothing is due */
            kit_to(&b, d * day + 2 * (uint64_t)HOUR);
            assert_false(b.out.run[0]);
            kit_to(&b, d * day + 23 * (uint64_t)HOUR);
            assert_false(b.out.run[0]);
        }
        kit_to(&b, 4 * day + 5 * (uint64_t)HOUR); /* the morning of that day is the night before */
        assert_false(b.out.run[0]);
        kit_to(&b, 4 * day + 22 * (uint64_t)HOUR - 1);
        assert_int_equal(kit_events(&b, PW_CONTROL_STARTED), 0);
        kit_turns(&b, 4 * day + 22 * (uint64_t)HOUR, true);
        kit_to(&b, 5 * day + 3 * (uint64_t)HOUR);
        assert_true(b.out.run[0]);
        kit_turns(&b, 5 * day + 6 * (uint64_t)HOUR, false);
        kit_to(&b, 11 * day + 22 * (uint64_t)HOUR - 1);
        assert_int_equal(kit_events(&b, PW_CONTROL_STARTED), 1);
        kit_turns(&b, 11 * day + 22 * (uint64_t)HOUR, true);
    }
}

/* At 250 kPa itself nothing starts, at 400 kPa nothing stops; the smallest step beyond does. */
static void thresholds(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 1 * S, P_PRESSURE, 250e3);
        assert_false(b.out.run[0]);
        kit_set(&b, 2 * S, P_PRESSURE, 249999.0);
        assert_true(b.out.run[0]);
        kit_set(&b, 3 * S, P_PRESSURE, 400e3);
        assert_true(b.out.run[0]);
        kit_set(&b, 4 * S, P_PRESSURE, 400001.0);
        assert_false(b.out.run[0]);
    }
}

/* Delay 2 s, rest 30 s, run at least 20 s, run on 5 s: each to the millisecond, and no two of them added. */
static void times_to_the_millisecond(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa for 2 s",
                                           "stop when pressure above 400 kPa", "rest 30 s after stop",
                                           "run at least 20 s", NULL};
    FOR_EACH_EPOCH(b, settings)
    {
        kit_set(&b, 1 * S, P_PRESSURE, 200e3);
        kit_turns(&b, 3 * S, true);
        kit_set(&b, 4 * S, P_PRESSURE, 450e3);
        kit_turns(&b, 23 * S, false);
        kit_set(&b, 24 * S, P_PRESSURE, 200e3);
        kit_turns(&b, 53 * S, true);
    }
}

/* Three starts in a minute: the third locks out; when the first is a minute old, it no longer counts. */
static void starts_are_counted(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
                                           "lock out when starts reach 3 in 1 min", NULL};
    static const uint64_t third[] = {60 * S - 1, 60 * S};
    for (int32_t i = 0; i < 2; i++) {
        FOR_EACH_EPOCH(b, settings)
        {
            kit_set(&b, 10 * S, P_PRESSURE, 200e3);
            kit_set(&b, 15 * S, P_PRESSURE, 450e3);
            kit_set(&b, 40 * S, P_PRESSURE, 200e3);
            kit_set(&b, 45 * S, P_PRESSURE, 450e3);
            kit_set(&b, 10 * S + third[i], P_PRESSURE, 200e3);
            assert_int_equal(b.out.locked[0], i == 0);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_retry_has_its_own_wait),
        cmocka_unit_test(a_night_belongs_to_its_day),
        cmocka_unit_test(thresholds),
        cmocka_unit_test(times_to_the_millisecond),
        cmocka_unit_test(starts_are_counted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
