/* Days of docs/settings.md: rests, times of day, limits of starts and run time, counters (days.c). */
#include "days.h"
#include "told.h"

static void timed_running_and_resting(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when stopped for 50 min", "stop when running for 10 min", NULL};
    static const char *const longest[] = {"start when stopped for 100 h", "stop when running for 100 h", NULL};
    static const char *const shortest[] = {"start when stopped for 1 min", "stop when running for 1 min", NULL};
    begin("tap-stand");
    run_under(settings, DAY, NULL);
    assert_int_equal(count_of(PW_ENTRY_START, 0), 24);
    for (int32_t n = 0; n < 23; n++) {
        assert_int_equal(entry(PW_ENTRY_START, 0, n)->t_ms, 50 * MIN + n * HOUR);
        assert_int_equal(entry(PW_ENTRY_STOP, 0, n)->t_ms, HOUR + n * HOUR);
    }
    end();
    begin("tap-stand");
    run_under(longest, 40 * (int64_t)DAY, NULL);
    assert_int_equal(count_of(PW_ENTRY_START, 0), 5);
    for (int32_t n = 0; n < 4; n++) {
        assert_int_equal(entry(PW_ENTRY_START, 0, n)->t_ms, (2 * n + 1) * 100 * (int64_t)HOUR);
        assert_int_equal(entry(PW_ENTRY_STOP, 0, n)->t_ms, (2 * n + 2) * 100 * (int64_t)HOUR);
    }
    end();
    begin("tap-stand");
    run_under(shortest, HOUR, NULL);
    assert_int_equal(count_of(PW_ENTRY_START, 0), 30);
    end();
}

/* Cheap hours: nights of the working days, and the weekend. The simulation begins on Monday 00:00. */
static void time_of_day_and_day_of_week(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when level of hill level below 1.6 m",
                                           "stop when level of hill level above 1.9 m",
                                           "run only while time not between 06:00 and 22:00 on Monday to Friday", NULL};
    begin("stock-water");
    draw(0, 30, 30 * MIN, 8 * MIN, 30 * MIN);
    draw(1, 26, 40 * MIN, 8 * MIN, 30 * MIN);
    run_under(settings, 14 * (int64_t)DAY, NULL);
    int32_t at_edge = 0, weekend = 0;
    for (int32_t n = 0; n < count_of(PW_ENTRY_START, 0); n++) {
        const int64_t t = entry(PW_ENTRY_START, 0, n)->t_ms;
        const bool working = t / DAY % 7 < 5;
        assert_true(!working || t % DAY < 6 * HOUR || t % DAY >= 22 * HOUR);
        at_edge += t % DAY == 22 * HOUR;
        weekend += !working;
    }
    assert_true(at_edge >= 5); /* at ten o'clock to the millisecond */
    assert_true(weekend >= 2);
    int32_t cut_off = 0;
    for (int32_t n = 0; n < count_of(PW_ENTRY_STOP, 0); n++) {
        cut_off += entry(PW_ENTRY_STOP, 0, n)->t_ms % DAY == 6 * HOUR;
    }
    assert_true(cut_off >= 3);
    end();
}

static void restart_held_back(void **state)
{
    (void)state;
    static const char *const automatic[] = {"start when pressure below 220 kPa", "stop when running for 1 min",
                                            "rest 2 h after stop", NULL};
    static const char *const on_call[] = {"start when pressure below 220 kPa", "stop when running for 1 min",
                                          "rest 2 h after stop, then wait for a new call", NULL};
    for (int32_t i = 0; i < 2; i++) {
        begin("house");
        draw(0, 25, 6 * HOUR, 10 * MIN, 0); /* empties the vessel: the pressure stays low */
        warned = i;                         /* the pressure stays low: it waits for ever */
        run_under(i == 0 ? automatic : on_call, DAY, NULL);
        const int64_t stop = entry(PW_ENTRY_STOP, 0, 0)->t_ms;
        if (i == 0) {
            assert_int_equal(entry(PW_ENTRY_START, 0, 1)->t_ms, stop + 2 * HOUR);
        } else {
            assert_int_equal(count_of(PW_ENTRY_START, 0), 1); /* the pressure never fell anew */
        }
        end();
    }
}

static void limits_of_starts_and_run_time(void **state)
{
    (void)state;
    static const char *const hour[] = {"start when pressure below 220 kPa", "stop when pressure above 380 kPa",
                                       "lock out when starts reach 12 in 1 h", NULL};
    static const char *const ten_min[] = {"start when pressure below 220 kPa", "stop when pressure above 380 kPa",
                                          "lock out when starts reach 3 in 10 min", NULL};
    static const char *const in_a_row[] = {"start when pressure below 220 kPa", "stop when pressure above 380 kPa",
                                           "lock out when starts reach 3 in 10 min 4 times in a row", NULL};
    static const char *const run_time[] = {"start when pressure below 220 kPa", "stop when pressure above 380 kPa",
                                           "lock out when running for 20 min", NULL};
    static const char *const both[] = {"start when pressure below 220 kPa", "stop when pressure above 380 kPa",
                                       "lock out when starts reach 5 in 1 h and running for 3 min", NULL};
    static const char *const in_a_day[] = {"start when pressure below 220 kPa", "stop when pressure above 380 kPa",
                                           "lock out when running for 40 min in 12 h", NULL};
    static const struct {
        const char *const *settings;
        double l_min;
        bool locks;
        int64_t low_ms, high_ms; /* of the lock out, after the draw began */
    } cases[] = {{hour, 25, true, 10 * MIN, 2 * HOUR},
                 {ten_min, 25, true, 2 * MIN, 30 * MIN},
                 {in_a_row, 25, true, 30 * MIN, HOUR},
                 {in_a_row, 3, false, 0, 0},
                 {run_time, 75, true, 20 * MIN, HOUR},
                 {run_time, 25, false, 0, 0},
                 {both, 25, false, 0, 0},
                 {in_a_day, 25, true, 50 * MIN, 3 * HOUR}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        begin("house");
        k.site->vessels[0].volume_m3.v = 0.08; /* a small one: it cycles */
        draw(0, cases[i].l_min, 6 * HOUR, 4 * HOUR, 0);
        run_under(cases[i].settings, DAY, NULL);
        if (book->lock_count != (cases[i].locks ? 1 : 0)) {
            print_error("case %d: %s\n", (int)i, cases[i].settings[2]);
        }
        assert_int_equal(book->lock_count, cases[i].locks ? 1 : 0);
        if (cases[i].locks) {
            AT(entry(PW_ENTRY_LOCK, 0, 0), 6 * HOUR + cases[i].low_ms, 6 * HOUR + cases[i].high_ms);
        }
        end();
    }
}

/* A rolling hour holds from 1 start to 1,800. */
static void starts_from_one_to_eighteen_hundred(void **state)
{
    (void)state;
    static const char *const one[] = {"start when pressure below 220 kPa", "stop when pressure above 380 kPa",
                                      "lock out when starts reach 1 in 1 h", NULL};
    static const char *const most[] = {"start when stopped for 1 s", "stop when running for 1 s",
                                       "lock out when starts reach 1800 in 1 h", NULL};
    begin("house");
    draw(0, 25, 6 * HOUR, 10 * MIN, 0);
    warned = 1; /* it never lets the pump run */
    run_under(one, DAY, NULL);
    assert_int_equal(book->lock_count, 1);
    assert_true(book->totals.run_s == 0.0); /* met by the start itself, before the pump turns */
    end();
    begin("house");
    run_under(most, 2 * HOUR, NULL);
    assert_int_equal(book->lock_count, 1);
    AT(entry(PW_ENTRY_LOCK, 0, 0), HOUR - 2 * S, HOUR);
    end();
}

static void a_relay_for_alarms(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 220 kPa",
                                           "stop when pressure above 380 kPa",
                                           "lock out when running for 20 min",
                                           "warn by relay horn when locked out",
                                           "warn by relay lamp when pressure below 150 kPa for 1 min",
                                           NULL};
    static const pw_fault burst = {
        .kind = PW_FAULT_BURST, .severity = 80.0 / 60000.0, .where = -1, .onset_ms = 8 * HOUR};
    begin("house");
    run_under(settings, DAY, &burst);
    assert_int_equal(book->lock_count, 1);
    assert_int_equal(book->fired[3], 1);
    assert_int_equal(book->fired[4], 1);
    assert_true(book->firings[3].t_ms == entry(PW_ENTRY_LOCK, 0, 0)->t_ms);
    assert_non_null(strstr(told_lines(&k.arena, &book->told[0].facts), "It warns: locked out; relay horn is closed."));
    end();
}

static void low_voltage_and_a_lost_phase(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when contact program closed",
                                           "stop when contact program open",
                                           "lock out when supply below 350 V for 5 s",
                                           "lock out when phase missing for 1 s",
                                           "release by itself after 10 min when locked out by supply below 350 V",
                                           NULL};
    static const pw_fault weak = {.kind = PW_FAULT_BROWN_OUT, .severity = 0.8, .where = -1, .onset_ms = 5 * HOUR};
    static const pw_fault phase = {.kind = PW_FAULT_PHASE_LOSS, .where = -1, .onset_ms = 5 * HOUR};
    begin("irrigation");
    draw(0, 150, 4 * HOUR + 30 * MIN, 3 * HOUR + 20 * MIN, 0);
    run_under(settings, 6 * HOUR, &weak);
    assert_int_equal(entry(PW_ENTRY_LOCK, 0, 0)->t_ms, 5 * HOUR + 5 * S);
    assert_int_equal(entry(PW_ENTRY_LOCK, 0, 0)->sentence, 2);
    assert_int_equal(entry(PW_ENTRY_RETRY, 0, 0)->t_ms, 5 * HOUR + 10 * MIN + 5 * S);
    assert_true(book->lock_count >= 5); /* still weak */
    end();
    begin("irrigation");
    draw(0, 150, 4 * HOUR + 30 * MIN, 3 * HOUR + 20 * MIN, 0);
    run_under(settings, 6 * HOUR, &phase);
    assert_int_equal(book->lock_count, 1);
    assert_int_equal(entry(PW_ENTRY_LOCK, 0, 0)->t_ms, 5 * HOUR + S);
    assert_int_equal(entry(PW_ENTRY_LOCK, 0, 0)->sentence, 3);
    end();
}

/* Counters, read at any time, agree with the day book to the second. */
static void counters_to_the_second(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 220 kPa", "stop when pressure above 380 kPa",
                                           NULL};
    static const int64_t moments[] = {5 * HOUR, 9 * HOUR + 1234, 20 * HOUR};
    begin("house");
    draw(0, 25, 6 * HOUR, 10 * MIN, HOUR);
    run_under(settings, DAY, NULL);
    pw_run_options options = {
        .length_ms = DAY, .seed = 1, .entry_capacity = MOST_ENTRIES, .state_ms = moments, .state_count = 3};
    book = kit_run(&k, &options);
    assert_int_equal(book->told_count, 3);
    for (int32_t i = 0; i < 3; i++) {
        int64_t run_ms = 0, since = -1;
        int32_t starts = 0;
        for (int32_t n = 0; n < book->entry_count && book->entries[n].t_ms <= moments[i]; n++) {
            const pw_entry *e = &book->entries[n];
            starts += e->kind == PW_ENTRY_START;
            since = e->kind == PW_ENTRY_START ? e->t_ms : since;
            run_ms += e->kind == PW_ENTRY_STOP ? e->t_ms - since : 0;
            since = e->kind == PW_ENTRY_STOP ? -1 : since;
        }
        run_ms += since >= 0 ? moments[i] - since : 0;
        char expected[128];
        const int32_t s = (int32_t)(run_ms / 1000);
        snprintf(expected, sizeof expected, "Its counters stand at %d start%s and %d h %d min %d s of running.\n",
                 (int)starts, starts == 1 ? "" : "s", (int)(s / 3600), (int)(s / 60 % 60), (int)(s % 60));
        if (strstr(told_lines(&k.arena, &book->told[i].facts), expected) == NULL) {
            print_error("%s not in\n%s", expected, told_lines(&k.arena, &book->told[i].facts));
        }
        assert_non_null(strstr(told_lines(&k.arena, &book->told[i].facts), expected));
    }
    end();
}

/* From the shortest rest to the longest: the pressure calls all the time, and is answered to the millisecond. */
static void rests_of_a_minute_and_of_a_hundred_hours(void **state)
{
    (void)state;
    static const char *const minute[] = {"start when pressure below 220 kPa", "stop when running for 1 min",
                                         "rest 1 min after stop", NULL};
    static const char *const longest[] = {"start when pressure below 220 kPa", "stop when running for 1 min",
                                          "rest 100 h after stop", NULL};
    begin("house");
    draw(0, 80, 6 * HOUR, HOUR, 0); /* more than the pump brings */
    run_under(minute, 8 * HOUR, NULL);
    assert_true(within(count_of(PW_ENTRY_START, 0), 30, 32));
    for (int32_t n = 1; n < 30; n++) {
        assert_int_equal(entry(PW_ENTRY_START, 0, n)->t_ms, entry(PW_ENTRY_STOP, 0, n - 1)->t_ms + MIN);
    }
    end();
    begin("house");
    draw(0, 80, 6 * HOUR, HOUR, 0);
    run_under(longest, 10 * (int64_t)DAY, NULL);
    assert_int_equal(count_of(PW_ENTRY_START, 0), 3);
    for (int32_t n = 1; n < 3; n++) {
        assert_int_equal(entry(PW_ENTRY_START, 0, n)->t_ms, entry(PW_ENTRY_STOP, 0, n - 1)->t_ms + 100 * HOUR);
    }
    end();
}

/* The program closes its contact for 3 h 20 min. What it asks for within the rest is lost; the next day's call counts.
 */
static void a_new_call_by_contact(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when contact program closed", "stop when running for 1 h",
                                           "rest 1 h after stop, then wait for a new call", NULL};
    static const char *const automatic[] = {"start when contact program closed", "stop when running for 1 h",
                                            "rest 1 h after stop", NULL};
    begin("irrigation");
    draw(0, 150, 4 * HOUR + 30 * MIN, 3 * HOUR + 20 * MIN, 0);
    run_under(settings, 2 * DAY, NULL);
    assert_int_equal(count_of(PW_ENTRY_START, 0), 2);
    for (int32_t n = 0; n < 2; n++) {
        assert_int_equal(entry(PW_ENTRY_START, 0, n)->t_ms, n * DAY + 4 * HOUR + 30 * MIN);
    }
    end();
    begin("irrigation");
    draw(0, 150, 4 * HOUR + 30 * MIN, 3 * HOUR + 20 * MIN, 0);
    run_under(automatic, 2 * DAY, NULL);
    assert_int_equal(count_of(PW_ENTRY_START, 0), 4);
    assert_int_equal(entry(PW_ENTRY_START, 0, 1)->t_ms, 6 * HOUR + 30 * MIN);
    end();
}

/* Another pump brings the pressure back in the rest of the first, whose call ends so; when it falls anew after the rest
 * the first one starts. */
static void a_new_call_by_pressure(void **state)
{
    (void)state;
    static const char *const settings[] = {"booster 1: start when pressure at manifold below 420 kPa",
                                           "booster 1: stop when running for 1 min",
                                           "booster 1: rest 1 h after stop, then wait for a new call",
                                           "booster 2: start when pressure at manifold below 380 kPa",
                                           "booster 2: stop when pressure at manifold above 550 kPa",
                                           "booster 3: start when pressure at manifold below 100 kPa",
                                           "booster 3: stop when pressure at manifold above 550 kPa",
                                           NULL};
    begin("flats");
    draw(0, 40, 6 * HOUR, 20 * MIN, 0);
    draw(0, 40, 10 * HOUR, 20 * MIN, 0);
    warned = 1; /* it may wait for ever */
    run_under(settings, 12 * HOUR, NULL);
    assert_int_equal(count_of(PW_ENTRY_START, 0), 2);
    AT(entry(PW_ENTRY_START, 0, 0), 6 * HOUR, 6 * HOUR + 10 * MIN);
    AT(entry(PW_ENTRY_START, 0, 1), 10 * HOUR, 10 * HOUR + 10 * MIN);
    assert_true(entry(PW_ENTRY_START, 0, 1)->pressure_pa > 415e3); /* as it fell, not below what the other one keeps */
    assert_true(count_of(PW_ENTRY_START, 1) >= 2);
    end();
}

/* The pressure is reached again and again, but the tap is open: no stop until the water stands still. */
static void keep_running_while_there_is_flow(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when pressure below 220 kPa", "stop when pressure above 300 kPa",
                                           "keep running while flow", NULL};
    static const char *const locks[] = {"start when pressure below 220 kPa", "stop when pressure above 300 kPa",
                                        "keep running while flow", "lock out when running for 30 min", NULL};
    begin("house");
    draw(0, 15, 6 * HOUR, 40 * MIN, 0);
    run_under(settings, DAY, NULL);
    assert_int_equal(count_of(PW_ENTRY_START, 0), 1);
    const pw_entry *stop = entry(PW_ENTRY_STOP, 0, 0);
    assert_true(stop->pressure_pa > 400e3);
    assert_true(stop->t_ms > 6 * HOUR + 40 * MIN);
    assert_true(stop->t_ms - entry(PW_ENTRY_NO_FLOW, 1, 0)->t_ms <= 1);
    end();
    begin("house");
    draw(0, 15, 6 * HOUR, 40 * MIN, 0);
    run_under(locks, DAY, NULL);
    assert_int_equal(entry(PW_ENTRY_LOCK, 0, 0)->t_ms, entry(PW_ENTRY_START, 0, 0)->t_ms + 30 * MIN);
    end();
}

/* The millisecond clock of a controller has 32 bits and begins again after 49 d 17 h 2 min 47.296 s: in the middle of a
 * run here, of a rest there. */
static void across_the_wrap_of_the_clock(void **state)
{
    (void)state;
    static const char *const running[] = {"start when stopped for 100 h", "stop when running for 100 h", NULL};
    static const char *const resting[] = {"start when stopped for 99 h", "stop when running for 1 h",
                                          "lock out when starts reach 2 in 100 h", NULL};
    begin("tap-stand");
    run_under(running, 60 * (int64_t)DAY, NULL);
    assert_int_equal(count_of(PW_ENTRY_START, 0), 7);
    for (int32_t n = 0; n < 7; n++) {
        assert_int_equal(entry(PW_ENTRY_START, 0, n)->t_ms, (2 * n + 1) * 100 * (int64_t)HOUR);
    }
    for (int32_t n = 0; n < 6; n++) { /* the sixth run spans the wrap at 1,193 h */
        assert_int_equal(entry(PW_ENTRY_STOP, 0, n)->t_ms, (2 * n + 2) * 100 * (int64_t)HOUR);
    }
    end();
    begin("tap-stand");
    run_under(resting, 60 * (int64_t)DAY, NULL);
    for (int32_t n = 0; n < count_of(PW_ENTRY_START, 0); n++) {
        assert_int_equal(entry(PW_ENTRY_START, 0, n)->t_ms, (99 + 100 * n) * (int64_t)HOUR);
    }
    assert_int_equal(count_of(PW_ENTRY_START, 0), 14);
    assert_int_equal(book->lock_count, 0); /* a start as old as its window is forgotten */
    end();
}

/* A person reads the counters and sets them to zero: what they tell next counts from there, in the midst of a run too.
 */
static void counters_after_a_reset(void **state)
{
    (void)state;
    static const char *const settings[] = {"start when stopped for 50 min", "stop when running for 10 min", NULL};
    static const int64_t resets[] = {10 * HOUR + 55 * MIN}; /* five minutes into a run */
    static const int64_t moments[] = {10 * HOUR + 54 * MIN, 10 * HOUR + 57 * MIN, 13 * HOUR + 30 * MIN};
    static const char *const told[] = {"Its counters stand at 11 starts and 1 h 44 min 0 s of running",
                                       "Its counters stand at 0 starts and 0 h 2 min 0 s of running",
                                       "Its counters stand at 2 starts and 0 h 25 min 0 s of running"};
    begin("tap-stand");
    run_under(settings, DAY, NULL);
    pw_run_options options = {.length_ms = DAY,
                              .seed = 1,
                              .entry_capacity = MOST_ENTRIES,
                              .state_ms = moments,
                              .state_count = 3,
                              .reset_ms = resets,
                              .reset_count = 1};
    book = kit_run(&k, &options);
    assert_int_equal(count_of(PW_ENTRY_RESET, -1), 1);
    assert_int_equal(book->told_count, 3);
    for (int32_t i = 0; i < 3; i++) {
        if (strstr(told_lines(&k.arena, &book->told[i].facts), told[i]) == NULL) {
            print_error("%s not in\n%s", told[i], told_lines(&k.arena, &book->told[i].facts));
        }
        assert_non_null(strstr(told_lines(&k.arena, &book->told[i].facts), told[i]));
    }
    end();
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(timed_running_and_resting),
        cmocka_unit_test(time_of_day_and_day_of_week),
        cmocka_unit_test(restart_held_back),
        cmocka_unit_test(limits_of_starts_and_run_time),
        cmocka_unit_test(starts_from_one_to_eighteen_hundred),
        cmocka_unit_test(a_relay_for_alarms),
        cmocka_unit_test(low_voltage_and_a_lost_phase),
        cmocka_unit_test(counters_to_the_second),
        cmocka_unit_test(rests_of_a_minute_and_of_a_hundred_hours),
        cmocka_unit_test(a_new_call_by_contact),
        cmocka_unit_test(a_new_call_by_pressure),
        cmocka_unit_test(keep_running_while_there_is_flow),
        cmocka_unit_test(across_the_wrap_of_the_clock),
        cmocka_unit_test(counters_after_a_reset),
    };
    return cmocka_run_group_tests_name("golden: days with limits and times", tests, NULL, NULL);
}
