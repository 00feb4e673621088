/* Days of docs/settings.md: several pumps, contacts from outside, tanks, the supply (days.c). */
#include "days.h"

static void outside_contacts_and_probe_pairs(void **state)
{
    (void)state;
    static const char *const program[] = {"start when contact program closed", "stop when contact program open",
                                          "rest 1 min after stop", NULL};
    static const char *const probes[] = {"share the work between lift pump 1 and lift pump 2",
                                         "duty: start when probe tower low dry", "stop when probe tower high wet",
                                         "run only while contact remote stop closed", NULL};
    begin("irrigation");
    draw(0, 150, 4 * HOUR + 30 * MIN, 3 * HOUR + 20 * MIN, 0);
    run_under(program, 2 * DAY, NULL);
    for (int32_t n = 0; n < 2; n++) {
        assert_int_equal(entry(PW_ENTRY_START, 0, n)->t_ms, n * DAY + 4 * HOUR + 30 * MIN);
        assert_int_equal(entry(PW_ENTRY_STOP, 0, n)->t_ms, n * DAY + 7 * HOUR + 50 * MIN);
    }
    end();
    begin("transfer");
    draw(0, 20, 0, 30 * MIN, HOUR); /* also in the night, when the remote stop is open */
    run_under(probes, 2 * DAY, NULL);
    int32_t held_off = 0;
    for (int32_t n = 0; n < count_of(PW_ENTRY_START, -1); n++) {
        const int64_t in_day = entry(PW_ENTRY_START, -1, n)->t_ms % DAY;
        assert_true(in_day >= 5 * HOUR && in_day < 23 * HOUR);
        held_off += in_day == 5 * HOUR;
    }
    assert_int_equal(held_off, 2); /* the tank waited for the key switch in the morning */
    assert_true(count_of(PW_ENTRY_STOP, -1) > 6);
    end();
}

/* The second pump helps only while the first runs; a third keeps the pressure only while both rest. */
static void interlocks_between_pumps(void **state)
{
    (void)state;
    static const char *const settings[] = {
        "booster 1: start when pressure at manifold below 420 kPa",
        "booster 2: start when booster 1 is running for 20 s",
        "booster 2: run only while booster 1 is running",
        "booster 3: start when pressure at manifold below 470 kPa and booster 1 is stopped for 5 min",
        "booster 3: run only while booster 1 is stopped and booster 2 is stopped",
        "booster 3: stop when pressure at manifold above 500 kPa",
        "booster 1: stop when pressure at manifold above 550 kPa",
        "booster 2: stop when pressure at manifold above 540 kPa",
        NULL};
    begin("flats");
    draw(0, 110, 6 * HOUR, 10 * MIN, HOUR);
    run_under(settings, DAY, NULL);
    bool running[3] = {false};
    int32_t together = 0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        const pw_entry *e = &book->entries[i];
        if (e->kind != PW_ENTRY_START && e->kind != PW_ENTRY_STOP) {
            continue;
        }
        running[e->item] = e->kind == PW_ENTRY_START;
        int32_t next = i + 1; /* a pump before another in the sheet follows a millisecond later */
        while (next < book->entry_count && book->entries[next].kind != PW_ENTRY_START &&
               book->entries[next].kind != PW_ENTRY_STOP) {
            next++;
        }
        const bool settled = next >= book->entry_count || book->entries[next].t_ms > e->t_ms + 1;
        assert_true(!settled || !running[1] || running[0]);
        assert_true(!settled || !running[2] || (!running[0] && !running[1]));
        together += settled && running[0] && running[1];
    }
    assert_true(together > 5);
    assert_true(count_of(PW_ENTRY_START, 2) > 5);
    end();
}

static void duty_assist_standby_and_failover(void **state)
{
    (void)state;
    static const char *const settings[] = {
        "share the work between booster 1, booster 2 and booster 3 and change over at every stop",
        "duty: start when pressure at manifold below 420 kPa",
        "duty: stop when pressure at manifold above 550 kPa",
        "assist: start when pressure at manifold below 390 kPa for 2 s",
        "assist: stop when pressure at manifold above 510 kPa",
        "start pumps at least 3 s apart",
        "lock out when current below 0.5 A for 10 s",
        "ignore current below 0.5 A for 3 s after start",
        "ignore no flow at flow 1 for 10 s after start",
        "booster 1: lock out when no flow at flow 1 for 10 s",
        NULL};
    static const pw_fault stuck = {.kind = PW_FAULT_FLOW_OFF, .where = 2, .onset_ms = 12 * HOUR};
    begin("flats");
    draw(0, 110, 0, 12 * MIN, 30 * MIN); /* more than one can bring, less than two */
    run_under(settings, DAY, &stuck);
    int32_t before[3] = {0}, after[3] = {0};
    for (int32_t n = 0; n < count_of(PW_ENTRY_START, -1); n++) {
        const pw_entry *e = entry(PW_ENTRY_START, -1, n);
        int32_t *which = e->t_ms < 12 * HOUR ? before : after;
        which[e->item]++;
    }
    assert_true(before[0] >= 10 && before[1] >= 10 && before[2] >= 10); /* all take their turn */
    assert_true(abs(before[0] - before[1]) <= 2 && abs(before[1] - before[2]) <= 2);
    assert_int_equal(book->lock_count, 1);
    assert_int_equal(entry(PW_ENTRY_LOCK, -1, 0)->item, 0);
    assert_true(after[0] <= 1); /* out of it */
    assert_true(after[1] >= 20 && after[2] >= 20);
    assert_true(book->totals.short_s < 60.0); /* nobody upstairs noticed */
    int64_t last = -DAY;
    for (int32_t n = 0; n < count_of(PW_ENTRY_START, -1); n++) {
        const pw_entry *e = entry(PW_ENTRY_START, -1, n);
        assert_true(e->t_ms - last >= 3 * S);
        last = e->t_ms;
    }
    end();
}

static void tanks_filled_by_level_by_pressure_and_by_time(void **state)
{
    (void)state;
    static const char *const level[] = {"start when level of hill level below 1.5 m",
                                        "stop when level of hill level above 1.8 m", NULL};
    static const char *const pressure[] = {"start when pressure below 450 kPa for 1 min",
                                           "stop when pressure above 700 kPa for 2 s", "rest 4 h after stop", NULL};
    static const char *const time[] = {"start when time between 01:00 and 01:01", "stop when running for 90 min", NULL};
    begin("stock-water");
    draw(0, 30, 0, 10 * MIN, HOUR);
    run_under(level, 2 * DAY, NULL);
    assert_true(count_of(PW_ENTRY_START, 0) >= 2);
    assert_true(book->totals.spilled_m3 == 0.0);
    end();
    begin("hill-tank");
    draw(0, 18, 0, 12 * MIN, HOUR);
    run_under(pressure, 3 * DAY, NULL);
    assert_true(count_of(PW_ENTRY_STOP, 0) >= 12);
    assert_true(book->totals.spilled_m3 == 0.0 && book->totals.short_s == 0.0);
    for (int32_t n = 0; n < count_of(PW_ENTRY_STOP, 0); n++) {
        assert_true(entry(PW_ENTRY_STOP, 0, n)->pressure_pa > 700e3); /* the float valve at the far end shut it off */
    }
    end();
    begin("hill-tank");
    draw(0, 18, 0, 12 * MIN, HOUR);
    run_under(time, 3 * DAY, NULL);
    assert_int_equal(count_of(PW_ENTRY_START, 0), 3);
    for (int32_t n = 0; n < 3; n++) {
        assert_int_equal(entry(PW_ENTRY_START, 0, n)->t_ms, n * DAY + HOUR);
        assert_int_equal(entry(PW_ENTRY_STOP, 0, n)->t_ms, n * DAY + 2 * HOUR + 30 * MIN);
    }
    end();
}

#define TEAM_ORDER                                                                                          \
    "start when pressure at manifold below 420 kPa", "stop when pressure at manifold above 550 kPa",        \
        "booster 1: lock out when pressure at manifold below 200 kPa for 10 s", "wait 20 s after power on", \
        "start pumps at least 7 s apart"

/* The supply goes for ten minutes; the draw goes on, so the pressure is gone when it comes back. */
static void supply_lost_and_back(void **state)
{
    (void)state;
    static const char *const cleared[] = {TEAM_ORDER, NULL};
    static const char *const kept[] = {TEAM_ORDER, "keep lock outs over a power cut",
                                       "booster 1: lock out when stopped for 5 h", NULL};
    static const pw_fault cut = {.kind = PW_FAULT_SUPPLY_LOST, .severity = 600.0, .where = -1, .onset_ms = 8 * HOUR};
    begin("flats");
    draw(0, 40, 7 * HOUR, 2 * HOUR, 0);
    run_under(cleared, DAY, &cut);
    const int64_t back = entry(PW_ENTRY_FAULT_END, -1, 0)->t_ms;
    assert_int_equal(back, 8 * HOUR + 10 * MIN);
    static const int64_t waits[] = {20 * S, 27 * S, 34 * S};
    for (int32_t p = 0; p < 3; p++) { /* staggered */
        int32_t n = 0;
        while (entry(PW_ENTRY_START, p, n)->t_ms < back) {
            n++;
        }
        assert_int_equal(entry(PW_ENTRY_START, p, n)->t_ms, back + waits[p]);
    }
    assert_int_equal(book->lock_count, 0);
    end();
    begin("flats");
    draw(0, 40, 7 * HOUR, 2 * HOUR, 0);
    run_under(kept, DAY, &cut);
    assert_int_equal(book->lock_count, 1); /* stood for 5 h at 05:00, and the power cut released nothing */
    assert_int_equal(entry(PW_ENTRY_LOCK, 0, 0)->t_ms, 5 * HOUR);
    assert_int_equal(count_of(PW_ENTRY_START, 0), 0);
    assert_true(count_of(PW_ENTRY_START, 1) > 2);
    assert_true(book->locked_at_end);
    end();
}

/* Six equal pumps, each called 15 kPa below the one before. */
static void six_pumps_from_duty_to_fifth_assist(void **state)
{
    (void)state;
    static const char *const settings[] = {
        "share the work between booster 1, booster 2, booster 3, booster 4, booster 5 and booster 6 and change over at "
        "every stop",
        "duty: start when pressure at manifold below 420 kPa",
        "assist: start when pressure at manifold below 405 kPa for 2 s",
        "second assist: start when pressure at manifold below 390 kPa for 2 s",
        "third assist: start when pressure at manifold below 375 kPa for 2 s",
        "fourth assist: start when pressure at manifold below 360 kPa for 2 s",
        "fifth assist: start when pressure at manifold below 345 kPa for 2 s",
        "stop when pressure at manifold above 550 kPa",
        "start pumps at least 3 s apart",
        "lock out when current below 0.5 A for 10 s",
        "ignore current below 0.5 A for 3 s after start",
        NULL};
    static const pw_fault dead = {.kind = PW_FAULT_NOT_CLOSING, .severity = 1.0, .where = 2, .onset_ms = 12 * HOUR};
    static const char *const names[] = {"booster 4", "booster 5", "booster 6"};
    begin("flats");
    for (int32_t p = 3; p < 6; p++) {
        k.site->pumps[p] = k.site->pumps[0];
        strcpy(k.site->pumps[p].name, names[p - 3]);
    }
    k.site->pump_count = 6;
    draw(0, 60, 0, 3 * MIN, 30 * MIN);
    draw(0, 500, 6 * HOUR, 10 * MIN, 0); /* a hose that calls all of them */
    draw(1, 300, 6 * HOUR, 10 * MIN, 0);
    run_under(settings, DAY, &dead);
    int32_t before[6] = {0}, after[6] = {0}, running = 0, most = 0;
    int64_t last = -DAY;
    for (int32_t i = 0; i < book->entry_count; i++) {
        const pw_entry *e = &book->entries[i];
        running += e->kind == PW_ENTRY_START ? 1 : e->kind == PW_ENTRY_STOP ? -1 : 0;
        most = running > most ? running : most;
        if (e->kind == PW_ENTRY_START) {
            (e->t_ms < 12 * HOUR ? before : after)[e->item]++;
            assert_true(e->t_ms - last >= 3 * S);
            last = e->t_ms;
        }
    }
    assert_int_equal(most, 6);
    for (int32_t p = 0; p < 6; p++) {
        assert_true(before[p] >= 3);
        assert_true(abs(before[p] - before[(p + 1) % 6]) <= 2); /* all take their turn */
    }
    assert_int_equal(book->lock_count, 1);
    assert_int_equal(entry(PW_ENTRY_LOCK, -1, 0)->item, 2);
    assert_int_equal(after[2], 0); /* its contactor never closed: out of it */
    for (int32_t p = 0; p < 6; p++) {
        assert_true(p == 2 || after[p] >= 3);
    }
    end();
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(outside_contacts_and_probe_pairs),
        cmocka_unit_test(interlocks_between_pumps),
        cmocka_unit_test(duty_assist_standby_and_failover),
        cmocka_unit_test(tanks_filled_by_level_by_pressure_and_by_time),
        cmocka_unit_test(supply_lost_and_back),
        cmocka_unit_test(six_pumps_from_duty_to_fifth_assist),
    };
    return cmocka_run_group_tests_name("golden: days with several pumps and tanks", tests, NULL, NULL);
}
