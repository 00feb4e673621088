/* Several pumps: sharing the work, roles, change-over, failover, interlocks, starts apart. Timelines with the clock at
 * zero and before its wrap; then six pumps under random driving against the rules of docs/settings.md.
 */
#include "kit.h"

#include "base/random.h"

enum { PUMPS = 6, PRESSURE = 0, FAULT = 1, TEAM_SIGNALS = 1 + PUMPS };

static const char *const pump_names[PUMPS] = {"one", "two", "three", "four", "five", "six"};
static pw_signal signals[TEAM_SIGNALS] = {{"pressure", PW_SIGNAL_PRESSURE}, {"fault 1", PW_SIGNAL_CONTACT},
                                          {"fault 2", PW_SIGNAL_CONTACT},   {"fault 3", PW_SIGNAL_CONTACT},
                                          {"fault 4", PW_SIGNAL_CONTACT},   {"fault 5", PW_SIGNAL_CONTACT},
                                          {"fault 6", PW_SIGNAL_CONTACT}};

static struct team {
    pw_arena arena;
    pw_settings *settings;
    pw_table *table;
    pw_control control;
    uint32_t epoch;
    int64_t t_ms, due_at_ms;
    double in[TEAM_SIGNALS];
    pw_outputs out;
    int64_t started_ms[PUMPS];
    int32_t starts[PUMPS];
} t;

static void step(void)
{
    pw_control_step(t.table, &t.control, t.in, t.epoch + (uint32_t)t.t_ms, &t.out);
    t.due_at_ms = t.t_ms + t.out.next_due_ms;
    for (int32_t i = 0; i < t.out.event_count; i++) {
        if (t.out.events[i].kind == PW_CONTROL_STARTED) {
            t.started_ms[t.out.events[i].pump] = t.t_ms;
            t.starts[t.out.events[i].pump]++;
        }
    }
    for (int32_t p = 0; p < PUMPS; p++) {
        assert_false(t.out.run[p] && t.out.locked[p]);
    }
}

static void begin(const char *const *sentences, int32_t pumps, uint32_t epoch)
{
    memset(&t, 0, sizeof t);
    t.arena = kit_arena();
    t.epoch = epoch;
    pw_status status = pw_settings_read(&t.arena, sentences, kit_count(sentences), signals, TEAM_SIGNALS, pump_names,
                                        pumps, "settings", &t.settings, &kit_problems);
    if (status != PW_OK) {
        kit_show_problems();
    }
    assert_int_equal(status, PW_OK);
    assert_int_equal(pw_table_build(&t.arena, t.settings, NULL, &t.table, &kit_problems), PW_OK);
    pw_control_begin(t.table, &t.control, epoch);
    t.in[PRESSURE] = 350e3;
    step();
}

static void to(int64_t t_ms)
{
    while (t.due_at_ms < t_ms) {
        t.t_ms = t.due_at_ms;
        step();
    }
    t.t_ms = t_ms;
    step();
}

static void set(int64_t t_ms, int32_t signal, double value)
{
    while (t.due_at_ms < t_ms) {
        t.t_ms = t.due_at_ms;
        step();
    }
    t.t_ms = t_ms;
    t.in[signal] = value;
    step();
}

/* "110": pumps one and two run. */
static void runs(const char *expected)
{
    char found[PUMPS + 1] = "";
    for (size_t p = 0; p < strlen(expected); p++) {
        found[p] = t.out.run[p] ? '1' : t.out.locked[p] ? 'x' : '0';
    }
    assert_string_equal(found, expected);
}

#define THREE                                                                                            \
    "share the work between one, two and three and change over at every stop",                           \
        "duty: start when pressure below 300 kPa", "duty: stop when pressure above 400 kPa",             \
        "assist: start when pressure below 270 kPa for 2 s", "assist: stop when pressure above 380 kPa", \
        "one: lock out when contact fault 1 closed", "two: lock out when contact fault 2 closed",        \
        "three: lock out when contact fault 3 closed"

static void duty_assist_and_change_over(void **state)
{
    (void)state;
    static const char *const settings[] = {THREE, NULL};
    for (size_t e = 0; e < EPOCHS; e++) {
        begin(settings, 3, epochs[e]);
        static const char *const alone[] = {"100", "010", "001"};
        static const char *const both[] = {"110", "011", "101"};
        for (int32_t k = 0; k < 6; k++) { /* duty goes round, and so does assist */
            int64_t at = (1 + k) * 10 * (int64_t)MIN;
            set(at, PRESSURE, 290e3);
            runs(alone[k % 3]);
            set(at + 10 * S, PRESSURE, 260e3);
            to(at + 12 * S - 1);
            runs(alone[k % 3]);
            to(at + 12 * S);
            runs(both[k % 3]);
            set(at + 60 * S, PRESSURE, 390e3); /* the assisting one goes first */
            runs(alone[k % 3]);
            set(at + 90 * S, PRESSURE, 410e3);
            runs("000");
        }
        assert_true(t.starts[0] == 4 && t.starts[1] == 4 && t.starts[2] == 4);
    }
}

static void failover_and_coming_back(void **state)
{
    (void)state;
    static const char *const settings[] = {THREE, NULL};
    for (size_t e = 0; e < EPOCHS; e++) {
        begin(settings, 3, epochs[e]);
        set(1 * S, PRESSURE, 290e3);
        runs("100");
        set(5 * S, FAULT + 0, 1); /* one fails: two takes over at once, three would assist */
        to(5 * S + 2);
        runs("x10");
        assert_int_equal(pw_control_role(t.table, &t.control, 0), -1);
        assert_int_equal(pw_control_role(t.table, &t.control, 1), 0);
        assert_int_equal(pw_control_role(t.table, &t.control, 2), 1);
        set(10 * S, PRESSURE, 260e3);
        to(12 * S);
        runs("x11");
        set(20 * S, FAULT + 1, 1); /* two fails as well: three is on duty, nobody assists */
        to(30 * S);
        runs("xx1");
        set(40 * S, FAULT + 0, 0);
        pw_control_release(t.table, &t.control, 0, t.epoch + (uint32_t)t.t_ms);
        to(41 * S);
        to(44 * S); /* one is back, behind the others: it assists */
        runs("1x1");
        assert_int_equal(pw_control_role(t.table, &t.control, 0), 1);
        set(50 * S, FAULT + 2, 1);
        to(51 * S);
        runs("1xx"); /* and is on duty now */
        set(60 * S, FAULT + 0, 1);
        to(61 * S);
        runs("xxx");
        for (int32_t p = 0; p < 3; p++) {
            assert_int_equal(pw_control_role(t.table, &t.control, p), -1);
        }
    }
}

static void change_over_by_time(void **state)
{
    (void)state;
    static const char *const settings[] = {"share the work between two and one and change over every 24 h",
                                           "duty: start when pressure below 300 kPa",
                                           "stop when pressure above 400 kPa", NULL};
    for (size_t e = 0; e < EPOCHS; e++) {
        begin(settings, 2, epochs[e]);
        for (int32_t k = 0; k < 20; k++) { /* every five hours: two, two, two, two, two, one ... */
            int64_t at = 1 + k * 5 * (int64_t)HOUR;
            set(at, PRESSURE, 290e3);
            runs(at / (24 * (int64_t)HOUR) % 2 == 0 ? "01" : "10");
            set(at + 60 * S, PRESSURE, 410e3);
        }
        /* while one runs the work does not change hands */
        int64_t at = 6 * 24 * (int64_t)HOUR - 60 * S;
        set(at, PRESSURE, 290e3);
        runs("10");
        to(at + 10 * (int64_t)HOUR);
        runs("10");
        set(at + 10 * (int64_t)HOUR, PRESSURE, 410e3);
        set(at + 11 * (int64_t)HOUR, PRESSURE, 290e3);
        runs("01");
    }
}

static void interlocks(void **state)
{
    (void)state;
    static const char *const settings[] = {"one: start when pressure below 300 kPa",
                                           "two: start when pressure below 300 kPa and one is running for 30 s",
                                           "three: start when pressure below 300 kPa",
                                           "stop when pressure above 400 kPa",
                                           "two: run only while one is running",
                                           "three: run only while one is stopped",
                                           "one: run only while three is stopped",
                                           "one: lock out when contact fault 1 closed",
                                           "four: start when one is locked out for 1 min",
                                           "four: warn when one is locked out",
                                           NULL};
    for (size_t e = 0; e < EPOCHS; e++) {
        begin(settings, 4, epochs[e]);
        set(1 * S, PRESSURE, 290e3);
        runs("1000"); /* three is shut out in the very same step */
        to(31 * S - 1);
        runs("1000");
        to(31 * S + 1);
        runs("1100");
        set(60 * S, FAULT + 0, 1);
        to(60 * S + 3);
        runs("x010");
        assert_true((t.out.warned >> 9 & 1u) != 0);
        to(120 * S + 1);
        runs("x011");
    }
}

static void starts_lie_apart(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 300 kPa", "stop when pressure above 400 kPa",
                                           "start pumps at least 7 s apart",    "wait 20 s after power on",
                                           "four: wait 1 min after power on",   NULL};
    for (size_t e = 0; e < EPOCHS; e++) {
        begin(settings, 4, epochs[e]);
        for (int32_t k = 0; k < 3; k++) {
            int64_t at = k * (int64_t)HOUR;
            if (k > 0) {
                to(at);
                pw_control_power(t.table, &t.control, t.epoch + (uint32_t)at);
            }
            set(at, PRESSURE, 200e3);
            to(at + 20 * S - 1);
            runs("0000");
            to(at + 20 * S);
            runs("1000");
            to(at + 27 * S - 1);
            runs("1000");
            to(at + 27 * S);
            runs("1100");
            to(at + 34 * S);
            runs("1110");
            to(at + 60 * S - 1);
            runs("1110");
            to(at + 60 * S);
            runs("1111");
        }
    }
}

/* Of several that wait for the start of another the lowest role goes first, wherever it stands in the sheet. */
static void the_lowest_role_starts_first(void **state)
{
    (void)state;
    static const char *const settings[] = {
        "share the work between three, one, four and two and change over at every stop",
        "duty: start when pressure below 300 kPa for 1 s",
        "assist: start when pressure below 290 kPa for 2 s",
        "second assist: start when pressure below 280 kPa for 3 s",
        "third assist: start when pressure below 270 kPa for 6 s",
        "five: start when pressure below 260 kPa",
        "stop when pressure above 400 kPa",
        "one: lock out when contact fault 1 closed",
        "start pumps at least 7 s apart",
        "wait 5 s after power on",
        NULL};
    static const char *const begins[] = {"00100", "10100", "10110", "11110", "11111"};
    static const char *const turned[] = {"10000", "10010", "11010", "11110", "11111"};
    for (size_t e = 0; e < EPOCHS; e++) {
        begin(settings, 5, epochs[e]);
        for (int32_t k = 0; k < 3; k++) {
            const int64_t at = k * (int64_t)HOUR;
            const char *const *expected = k == 0 ? begins : turned;
            if (k > 0) {
                to(at);
                pw_control_power(t.table, &t.control, t.epoch + (uint32_t)at);
            }
            set(at, PRESSURE, 200e3);
            t.in[PRESSURE] = 261e3; /* five follows by its own pressure, when those that share the work run */
            to(at + 5 * S - 1);
            runs("00000");
            for (int32_t i = 0; i < 4; i++) {
                to(at + 5 * S + i * 7 * S);
                runs(expected[i]);
                to(at + 12 * S + i * 7 * S - 1);
                runs(expected[i]);
            }
            set(at + 33 * S, PRESSURE, 200e3);
            to(at + 33 * S);
            runs(expected[4]);
            if (k == 0) { /* duty stops last: the work changes hands, and one is on duty */
                set(at + 60 * S, PRESSURE, 410e3);
                runs("00000");
            }
        }
    }
}

/* A pump does not wait for itself. */
static void its_own_start_does_not_count(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 300 kPa", "stop when pressure above 400 kPa",
                                           "two: run only while contact fault 1 closed",
                                           "start pumps at least 1 min apart", NULL};
    begin(settings, 2, UINT32_MAX - 5000);
    for (int32_t k = 0; k < 5; k++) {
        set((1 + 10 * k) * S, PRESSURE, 290e3);
        runs("10");
        set((4 + 10 * k) * S, PRESSURE, 410e3);
        runs("00");
    }
}

/* Six pumps, random faults, releases, power cuts and pressures: the rules hold at every step, and a controller that
 * steps each 10 ms more often sees the same. */
static void six_pumps_at_random(void **state)
{
    (void)state;
    static const char *const settings[] = {
        "share the work between six, one, five, two, four and three and change over at every stop",
        "duty: start when pressure below 300 kPa",
        "assist: start when pressure below 290 kPa for 50 ms",
        "second assist: start when pressure below 280 kPa for 100 ms",
        "third assist: start when pressure below 270 kPa for 20 ms",
        "fourth assist: start when pressure below 260 kPa",
        "stop when pressure above 400 kPa",
        "start pumps at least 70 ms apart",
        "rest 200 ms after stop",
        "one: lock out when contact fault 1 closed",
        "two: lock out when contact fault 2 closed for 30 ms",
        "three: lock out when contact fault 3 closed",
        "four: lock out when contact fault 4 closed",
        "five: lock out when contact fault 5 closed",
        "six: lock out when contact fault 6 closed",
        "retry after 300 ms, then 2 s up to 5 times",
        NULL};
    static pw_control often;
    pw_random random;
    pw_random_seed(&random, 77, 1);
    begin(settings, PUMPS, UINT32_MAX - 60000);
    memcpy(&often, &t.control, sizeof often);
    int64_t most_at_once = 0, started = 0;
    for (int64_t ms = 1; ms < 300000; ms++) {
        pw_outputs every;
        bool cut = pw_random_u32(&random) % 20000 == 0;
        bool must = ms >= t.due_at_ms || cut;
        t.t_ms = ms;
        if (pw_random_u32(&random) % 40 == 0) {
            t.in[PRESSURE] = 255e3 + 5e3 * (pw_random_u32(&random) % 32);
            must = true;
        }
        if (pw_random_u32(&random) % 60 == 0) {
            int32_t fault = FAULT + (int32_t)(pw_random_u32(&random) % PUMPS);
            t.in[fault] = t.in[fault] != 0 ? 0 : pw_random_u32(&random) % 3 == 0;
            must = true;
        }
        if (cut) {
            pw_control_power(t.table, &t.control, t.epoch + (uint32_t)ms);
            pw_control_power(t.table, &often, t.epoch + (uint32_t)ms);
        }
        if (pw_random_u32(&random) % 2000 == 0) {
            pw_control_release(t.table, &t.control, -1, t.epoch + (uint32_t)ms);
            pw_control_release(t.table, &often, -1, t.epoch + (uint32_t)ms);
            must = true;
        }
        if (must) {
            step();
            for (int32_t p = 0; p < PUMPS; p++) {
                started += t.started_ms[p] == ms;
                for (int32_t q = 0; q < PUMPS; q++) {
                    bool both = p != q && t.started_ms[p] == ms && t.starts[q] > 0;
                    assert_true(!both || ms - t.started_ms[q] >= 70);
                }
            }
        }
        pw_control_step(t.table, &often, t.in, t.epoch + (uint32_t)ms, &every);
        int32_t running = 0, roles = 0;
        for (int32_t p = 0; p < PUMPS; p++) {
            assert_int_equal(every.run[p], t.out.run[p]);
            assert_int_equal(every.locked[p], t.out.locked[p]);
            int32_t role = pw_control_role(t.table, &often, p);
            assert_int_equal(role < 0, every.locked[p]);
            assert_true(role < 0 || (roles >> role & 1) == 0);
            roles |= role < 0 ? 0 : 1 << role;
            running += every.run[p];
        }
        assert_true((roles & (roles + 1)) == 0); /* no role is skipped */
        most_at_once = running > most_at_once ? running : most_at_once;
    }
    assert_true(most_at_once >= 4 && most_at_once <= 5); /* the sixth has no role that starts */
    print_message("%d starts, %d pumps at once\n", (int)started, (int)most_at_once);
    assert_true(started > 500);
    for (int32_t p = 0; p < PUMPS; p++) {
        assert_true(t.starts[p] > started / 10); /* none is spared */
    }
}

static void problems_of_sharing(void **state)
{
    (void)state;
    static const struct {
        const char *sentence;
        pw_status status;
    } wrong[] = {{"duty: rest 5 s after stop", PW_MISSING},
                 {"share the work between one", PW_WORD},
                 {"share the work between one and one", PW_DUPLICATE},
                 {"share the work between one and seven", PW_REFERENCE},
                 {"share the work between one and two and change over at noon", PW_WORD},
                 {"one: share the work between one and two", PW_CONFLICT},
                 {"one: start pumps at least 5 s apart", PW_CONFLICT}};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        pw_arena arena = kit_arena();
        pw_settings *settings = NULL;
        const char *const sentences[] = {"start when pressure below 300 kPa", "stop when pressure above 400 kPa",
                                         wrong[i].sentence};
        pw_status status = pw_settings_read(&arena, sentences, 3, signals, TEAM_SIGNALS, pump_names, 3, "settings",
                                            &settings, &kit_problems);
        if (status != wrong[i].status) {
            print_error("%s\n", wrong[i].sentence);
            kit_show_problems();
        }
        assert_int_equal(status, wrong[i].status);
        assert_null(settings);
    }
    pw_arena arena = kit_arena();
    pw_settings *settings = NULL;
    const char *const twice[] = {"start when pressure below 300 kPa", "stop when pressure above 400 kPa",
                                 "share the work between one and two", "share the work between one and three"};
    assert_int_equal(
        pw_settings_read(&arena, twice, 4, signals, TEAM_SIGNALS, pump_names, 3, "settings", &settings, &kit_problems),
        PW_DUPLICATE);
    const char *const many[] = {"start when pressure below 300 kPa", "stop when pressure above 400 kPa",
                                "share the work between one and two", "second assist: rest 5 s after stop"};
    arena = kit_arena();
    assert_int_equal(
        pw_settings_read(&arena, many, 4, signals, TEAM_SIGNALS, pump_names, 3, "settings", &settings, &kit_problems),
        PW_RANGE);
}

/* What works, but not as its words promise, is told, and nothing of the kind where it does not apply. */
static void calls_and_counts(void **state)
{
    (void)state;
    static const struct {
        const char *start, *lock, *more;
        int32_t sentence; /* that is warned of; -1 none */
    } cases[] = {
        {"start when pressure below 300 kPa", "lock out when running for 1 h",
         "rest 2 h after stop, then wait for a new call", 3},
        {"start when contact fault 1 closed", "lock out when running for 1 h",
         "rest 2 h after stop, then wait for a new call", -1},
        {"start when pressure below 300 kPa", "lock out when running for 1 h", "rest 2 h after stop", -1},
        {"start when pressure below 300 kPa", "lock out when starts reach 10 in 1 h", "retry after 1 h up to 3 times",
         3},
        {"start when pressure below 300 kPa", "lock out when running for 1 h", "retry after 1 h up to 3 times", -1},
        {"start when pressure below 300 kPa", "lock out when starts reach 10 in 1 h or running for 1 h",
         "retry after 1 h up to 3 times when locked out by running for 1 h", -1},
        {"start when pressure below 300 kPa", "lock out when starts reach 1 in 1 h", "rest 1 s after stop", 2},
        {"start when pressure below 300 kPa", "lock out when starts reach 2 in 1 h", "rest 1 s after stop", -1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        pw_arena arena = kit_arena();
        pw_settings *settings = NULL;
        char path[32] = "";
        const char *const sentences[] = {cases[i].start, "stop when pressure above 400 kPa", cases[i].lock,
                                         cases[i].more};
        memset(&kit_problems, 0, sizeof kit_problems);
        const pw_status status = pw_settings_read(&arena, sentences, 4, signals, TEAM_SIGNALS, pump_names, 1,
                                                  "settings", &settings, &kit_problems);
        if (status != PW_OK) {
            kit_show_problems();
        }
        assert_int_equal(status, PW_OK);
        snprintf(path, sizeof path, "settings[%d]", cases[i].sentence);
        if (kit_problems.count != (cases[i].sentence >= 0 ? 1 : 0)) {
            fail_msg("case %zu: %d warnings", i, kit_problems.count);
        }
        if (cases[i].sentence >= 0) {
            assert_string_equal(kit_problems.items[0].path, path);
            assert_true(kit_problems.items[0].warning);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(duty_assist_and_change_over),
        cmocka_unit_test(failover_and_coming_back),
        cmocka_unit_test(change_over_by_time),
        cmocka_unit_test(interlocks),
        cmocka_unit_test(starts_lie_apart),
        cmocka_unit_test(the_lowest_role_starts_first),
        cmocka_unit_test(its_own_start_does_not_count),
        cmocka_unit_test(six_pumps_at_random),
        cmocka_unit_test(problems_of_sharing),
        cmocka_unit_test(calls_and_counts),
    };
    return cmocka_run_group_tests_name("settings: several pumps", tests, NULL, NULL);
}
