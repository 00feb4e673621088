/* Exhaustive driving: short orders with times of milliseconds, and every sequence there is of inputs, releases and
 * power cuts up to a depth, millisecond by millisecond. In each of the millions of moments: a locked pump does not run
 * and is not started, it is unlocked by a person, a retry or a power cut only, and what the outputs say is what the
 * events say.
 */
#include "kit.h"

enum { DEPTH = 6, ACTIONS = 10, RELEASE = 8, CUT = 9 };

static pw_control levels[DEPTH + 1];
static int64_t moments, locked_moments, unlocked;

typedef struct seen {
    bool run, locked, keeps;
} seen;

static seen step(const pw_table *table, pw_control *control, int32_t action, uint32_t now_ms, seen before)
{
    static const double pressures[] = {200e3, 500e3};
    double in[PLAIN_SIGNALS] = {0};
    pw_outputs out;
    const int32_t inputs = action < 8 ? action : 0;
    in[P_PRESSURE] = pressures[inputs & 1];
    in[P_FLOW] = inputs >> 1 & 1;
    in[P_CONTACT] = inputs >> 2 & 1;
    in[P_SUPPLY] = 230;
    in[P_PHASES] = 1;
    in[P_WINDING] = 20;
    if (action == RELEASE) {
        pw_control_release(table, control, -1, now_ms);
    } else if (action == CUT) {
        pw_control_power(table, control, now_ms);
        before.run = false;
        before.locked = before.locked && before.keeps;
    }
    pw_control_step(table, control, in, now_ms, &out);
    bool run = before.run, locked = before.locked;
    for (int32_t i = 0; i < out.event_count; i++) { /* the events alone tell the state */
        switch (out.events[i].kind) {
        case PW_CONTROL_STARTED:
            assert_false(locked || run);
            run = true;
            break;
        case PW_CONTROL_STOPPED:
            assert_true(run);
            run = false;
            break;
        case PW_CONTROL_LOCKED:
            assert_false(locked);
            locked = true;
            break;
        case PW_CONTROL_RELEASED:
            assert_true(action == RELEASE);
            assert_true(locked);
            locked = false;
            unlocked++;
            break;
        case PW_CONTROL_RETRIED:
            assert_true(locked);
            locked = false;
            unlocked++;
            break;
        default: break;
        }
    }
    assert_int_equal(out.run[0], run);
    assert_int_equal(out.locked[0], locked);
    assert_false(run && locked);
    assert_true(out.next_due_ms >= 1);
    moments++;
    locked_moments += locked;
    return (seen){.run = run, .locked = locked, .keeps = before.keeps};
}

static void drive(const pw_table *table, int32_t depth, uint32_t now_ms, seen before)
{
    for (int32_t action = 0; depth < DEPTH && action < ACTIONS; action++) {
        memcpy(&levels[depth + 1], &levels[depth], sizeof levels[0]);
        seen after = step(table, &levels[depth + 1], action, now_ms, before);
        drive(table, depth + 1, now_ms + 1, after);
    }
}

static void drive_all(const char *const *sentences, uint32_t epoch)
{
    pw_arena arena = kit_arena();
    pw_table *table = NULL;
    pw_settings *settings = kit_plain(&arena, sentences);
    assert_int_equal(pw_table_build(&arena, settings, NULL, &table, &kit_problems), PW_OK);
    pw_control_begin(table, &levels[0], epoch);
    moments = locked_moments = unlocked = 0;
    drive(table, 0, epoch, (seen){.keeps = table->pumps[0].set[PW_SENTENCE_KEEP_LOCKS].there});
    print_message("%lld moments, %lld locked out, %lld released: %s\n", (long long)moments, (long long)locked_moments,
                  (long long)unlocked, sentences[2]);
    assert_true(moments == 1111110);
    assert_true(locked_moments > moments / 50);
    assert_true(unlocked > 5000);
}

static void every_sequence(void **state)
{
    (void)state;
    static const char *const orders[][10] = {
        {"start when pressure below 250 kPa", "stop when pressure above 400 kPa", "lock out when no flow for 1 ms",
         "retry after 1 ms, then 2 ms up to 2 times"},
        {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
         "lock out when starts reach 2 in 4 ms", "release by itself after 1 ms", "keep lock outs over a power cut"},
        {"start when pressure below 250 kPa for 1 ms", "stop when no flow for 2 ms", "lock out when contact closed",
         "rest 1 ms after stop, then wait for a new call", "run at least 2 ms"},
        {"start when contact closed", "stop when contact open", "lock out when flow for 2 ms in 3 ms",
         "run only while pressure below 250 kPa", "keep lock outs over a power cut", "retry after 1 ms up to 1 time"},
        {"start when stopped for 1 ms", "stop when running for 1 ms", "lock out when running for 1 ms in 3 ms",
         "wait 1 ms after power on", "warn by relay horn when locked out", "run on 1 ms after stop condition"},
        {"start when pressure below 250 kPa", "stop when pressure above 400 kPa",
         "lock out when starts reach 1 in 1 ms 2 times in a row or contact closed and stopped",
         "keep running while flow", "release by itself after 2 ms when locked out by contact closed"},
    };
    for (size_t i = 0; i < sizeof orders / sizeof orders[0]; i++) {
        drive_all(orders[i], i % 2 ? UINT32_MAX - 1 : 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_sequence)};
    return cmocka_run_group_tests_name("settings: exhaustive driving", tests, NULL, NULL);
}
