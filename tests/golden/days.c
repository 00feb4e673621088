/* One simulated day for each way to run a pump that docs/orders.md tells of: a site of examples/ under an order of its
 * own, and the events that matter.
 */
#include <math.h>

#include "load.h"

enum { S = 1000, MIN = 60 * S, HOUR = 60 * MIN, DAY = 24 * HOUR, MOST_ENTRIES = 60000 };

static kit k;
static pw_daybook *book;
static const char *const *orders;

static void begin(const char *site)
{
    golden_load(&k, site);
    k.site->demand_count = 0; /* each day has its own draws */
}

/* A draw on every day. */
static void draw(int32_t outlet, double l_min, int32_t from_ms, int32_t lasts_ms, int32_t every_ms)
{
    pw_demand *d = &k.site->demands[k.site->demand_count];
    memset(d, 0, sizeof *d);
    d->outlet = outlet;
    d->kind = PW_DEMAND_DRAW;
    d->flow_m3s.v = l_min / 60000.0;
    d->duration_s.v = lasts_ms / 1000.0;
    d->at_s.v = from_ms / 1000.0;
    d->every_s.v = every_ms / 1000.0;
    d->until_s.v = 86400.0;
    d->weekdays = 0x7f;
    d->trace_scale.v = 1.0;
    k.site->demand_count++;
}

static void run_under(const char *const *order, int64_t length_ms, const pw_mishap *mishap)
{
    pw_run_options options = {.length_ms = length_ms, .seed = 1, .entry_capacity = MOST_ENTRIES, .tell_locks = true};
    int32_t count = 0;
    for (; order[count] != NULL; count++) {
        k.site->sentences[count] = order[count];
    }
    k.site->sentence_count = count;
    orders = order;
    if (mishap != NULL) {
        options.mishaps[0] = *mishap;
        options.mishap_count = 1;
    }
    golden_build(&k, order[0]);
    book = kit_run(&k, &options);
    assert_int_equal(book->entries_lost, 0);
    assert_true(fabs(book->totals.balance_m3) < 1e-9);
}

static void end(void)
{
    kit_close(&k);
}

/* ---- what is in the day book ---- */

static int32_t count_of(pw_entry_kind kind, int32_t item)
{
    int32_t count = 0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        count += book->entries[i].kind == (int16_t)kind && (item < 0 || book->entries[i].item == item);
    }
    return count;
}

/* The n-th entry (from 0) of a kind for an item (-1 any). */
static const pw_entry *entry(pw_entry_kind kind, int32_t item, int32_t n)
{
    for (int32_t i = 0; i < book->entry_count; i++) {
        const pw_entry *e = &book->entries[i];
        if (e->kind == (int16_t)kind && (item < 0 || e->item == item) && n-- == 0) {
            return e;
        }
    }
    fail_msg("no entry \"%s\" number %d in the day of \"%s\"", pw_entry_id(kind), n, orders[0]);
    return NULL;
}

static bool within(double value, double low, double high)
{
    if (!(value >= low && value <= high)) {
        print_error("%g is not in %g to %g, in the day of \"%s\"\n", value, low, high, orders[0]);
        return false;
    }
    return true;
}

#define AT(e, low_ms, high_ms) assert_true(within((double)(e)->t_ms, (double)(low_ms), (double)(high_ms)))

/* ---- the days ---- */

static void dry_run_with_retries_and_a_final_lock_out(void **state)
{
    (void)state;
    static const char *const order[] = {
        "start when pressure below 220 kPa for 1 s",
        "stop when pressure above 380 kPa",
        "ignore no flow for 20 s after start",
        "lock out when no flow for 10 s",
        "retry after 10 min, then 1 h, then 4 h up to 3 times when locked out by no flow",
        NULL};
    static const pw_mishap dry = {.kind = PW_MISHAP_DRY_SOURCE, .severity = 0.0, .where = -1, .onset_ms = 5 * HOUR};
    begin("house");
    draw(0, 20, 6 * HOUR, 20 * MIN, 30 * MIN);
    run_under(order, DAY, &dry);
    assert_int_equal(count_of(PW_ENTRY_LOCK, 0), 4);
    assert_int_equal(count_of(PW_ENTRY_RETRY, 0), 3);
    static const int64_t waits[] = {10 * MIN, HOUR, 4 * HOUR};
    for (int32_t i = 0; i < 3; i++) {
        const int64_t waited = entry(PW_ENTRY_RETRY, 0, i)->t_ms - entry(PW_ENTRY_LOCK, 0, i)->t_ms;
        assert_int_equal(waited, waits[i]);
        const int64_t dry_ms = entry(PW_ENTRY_LOCK, 0, i + 1)->t_ms - entry(PW_ENTRY_RETRY, 0, i)->t_ms;
        assert_true(within((double)dry_ms, 30 * S, 40 * S)); /* 20 s are ignored, 10 s are enough */
    }
    assert_true(book->locked_at_end);
    assert_true(within(book->totals.dry_s, 30, 160)); /* four tries, instead of 18 hours */
    assert_int_equal(book->told_count, 4);
    assert_non_null(strstr(book->told[0].words, "It is released by itself in 10 min (retry 1 of 3)"));
    assert_non_null(strstr(book->told[3].words, "until a person releases it"));
    assert_non_null(strstr(book->told[3].words, "Check first: "));
    end();
}

static void start_and_stop_on_pressure_over_the_whole_range(void **state)
{
    (void)state;
    static const char *const high[] = {"start when pressure below 1850 kPa", "stop when pressure above 2000 kPa", NULL};
    static const char *const low[] = {"start when pressure below 1 kPa", "stop when pressure above 20 kPa", NULL};
    static const char *const narrow[] = {"start when pressure below 399 kPa", "stop when pressure above 400 kPa", NULL};
    static const struct {
        const char *const *order;
        double in_pa, out_pa, precharge_pa, head_factor;
    } cases[] = {{high, 1850e3, 2000e3, 1700e3, 5}, {low, 1e3, 20e3, 0, 1}, {narrow, 399e3, 400e3, 300e3, 1}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        begin("house");
        for (int32_t p = 0; p < k.site->pumps[0].point_count; p++) {
            k.site->pumps[0].curve[p].head_m.v *= cases[i].head_factor;
        }
        pw_motor *motor = &k.site->pumps[0].motor; /* a motor to match, or it burns out */
        motor->power_w.v *= cases[i].head_factor;
        motor->full_load_a.v *= cases[i].head_factor;
        motor->locked_rotor_a.v *= cases[i].head_factor;
        motor->start_time_s.v = 0.01; /* hundreds of starts an hour would burn it out, too */
        k.site->vessels[0].precharge_pa.v = cases[i].precharge_pa;
        k.site->places[3].level_m.v = k.site->places[2].level_m.v; /* the house as high as the shed */
        k.site->outlets[0].needs_pa.v = 500;
        k.site->sensors[0].high_pa.v = 2500e3;
        k.site->sensors[0].resolution.v = 0;
        draw(0, 12, 6 * HOUR, 10 * MIN, HOUR);
        run_under(cases[i].order, DAY, NULL);
        const int32_t starts = count_of(PW_ENTRY_START, 0);
        assert_true(within(starts, 2, 10000));
        for (int32_t n = 0; n < starts; n++) {
            assert_true(within(entry(PW_ENTRY_START, 0, n)->pressure_pa, cases[i].in_pa - 600, cases[i].in_pa));
        }
        for (int32_t n = 0; n < count_of(PW_ENTRY_STOP, 0); n++) {
            assert_true(within(entry(PW_ENTRY_STOP, 0, n)->pressure_pa, cases[i].out_pa, cases[i].out_pa + 600));
        }
        end();
    }
}

static void start_on_pressure_and_run_while_flow_lasts(void **state)
{
    (void)state;
    static const char *const order[] = {"start when pressure below 300 kPa", "stop when no flow for 15 s",
                                        "ignore no flow for 10 s after start", NULL};
    begin("house");
    draw(0, 15, 6 * HOUR, 40 * MIN, 0);
    run_under(order, DAY, NULL);
    assert_int_equal(count_of(PW_ENTRY_START, 0), 1); /* one start for the whole draw, no cycling */
    AT(entry(PW_ENTRY_START, 0, 0), 6 * HOUR, 6 * HOUR + 10 * MIN);
    const pw_entry *stop = entry(PW_ENTRY_STOP, 0, 0);
    AT(stop, 6 * HOUR + 40 * MIN + 15 * S, 6 * HOUR + 46 * MIN); /* the vessel is filled meanwhile */
    assert_true(stop->t_ms - entry(PW_ENTRY_NO_FLOW, 1, 0)->t_ms == 15 * S);
    end();
}

static void run_on_and_least_run(void **state)
{
    (void)state;
    static const char *const order[] = {"start when pressure below 220 kPa", "stop when pressure above 300 kPa",
                                        "run on 40 s after stop condition", "run at least 2 min", NULL};
    static const char *const plain[] = {"start when pressure below 220 kPa", "stop when pressure above 300 kPa", NULL};
    begin("house");
    draw(0, 30, 6 * HOUR, 5 * MIN, HOUR);
    run_under(order, DAY, NULL);
    for (int32_t n = 0; n < count_of(PW_ENTRY_STOP, 0); n++) {
        assert_true(entry(PW_ENTRY_STOP, 0, n)->a >= 120.0);
        assert_true(entry(PW_ENTRY_STOP, 0, n)->pressure_pa > 310e3);
    }
    const int32_t calm = count_of(PW_ENTRY_START, 0);
    assert_true(calm > 10);
    end();
    begin("house");
    draw(0, 30, 6 * HOUR, 5 * MIN, HOUR);
    run_under(plain, DAY, NULL);
    assert_true(count_of(PW_ENTRY_START, 0) > calm);
    end();
}

/* A chattering switch, 0.5 to 10 changes a second: the plain sentence stops for nothing, the window does not. A source
 * that runs dry while it chatters is still seen. */
static void chatter_filtered_without_going_blind(void **state)
{
    (void)state;
    static const char *const window[] = {"start when pressure below 220 kPa for 1 s",
                                         "stop when pressure above 380 kPa", "ignore no flow for 15 s after start",
                                         "lock out when no flow for 6 s in 8 s", NULL};
    static const char *const quick[] = {"start when pressure below 220 kPa for 1 s", "stop when pressure above 380 kPa",
                                        "ignore no flow for 15 s after start", "lock out when no flow for 50 ms", NULL};
    static const double rates_hz[] = {0.5, 1, 3, 10};
    for (size_t i = 0; i < sizeof rates_hz / sizeof rates_hz[0]; i++) {
        const pw_mishap chatter = {.kind = PW_MISHAP_CHATTER, .severity = rates_hz[i], .where = -1, .onset_ms = HOUR};
        begin("house");
        draw(0, 25, 6 * HOUR, 8 * MIN, HOUR);
        run_under(window, DAY, &chatter);
        assert_int_equal(book->lock_count, 0);
        assert_true(count_of(PW_ENTRY_START, 0) > 10);
        end();
        begin("house");
        draw(0, 25, 6 * HOUR, 8 * MIN, HOUR);
        run_under(quick, DAY, &chatter);
        assert_true(book->lock_count > 0);
        end();
        begin("house"); /* both at once */
        draw(0, 25, 6 * HOUR, 8 * MIN, HOUR);
        run_under(window, 5 * HOUR, &chatter);
        pw_run_options both = {
            .length_ms = DAY,
            .seed = 1,
            .entry_capacity = MOST_ENTRIES,
            .mishap_count = 2,
            .mishaps = {chatter, {.kind = PW_MISHAP_DRY_SOURCE, .severity = 0.0, .where = -1, .onset_ms = 12 * HOUR}}};
        book = kit_run(&k, &both);
        assert_int_equal(book->lock_count, 1);
        const pw_entry *lock = entry(PW_ENTRY_LOCK, 0, 0);
        assert_true(lock->t_ms - entry(PW_ENTRY_DRY, 0, 0)->t_ms <= 30 * S);
        end();
    }
}

static void timed_running_and_resting(void **state)
{
    (void)state;
    static const char *const order[] = {"start when stopped for 50 min", "stop when running for 10 min", NULL};
    static const char *const longest[] = {"start when stopped for 100 h", "stop when running for 100 h", NULL};
    static const char *const shortest[] = {"start when stopped for 1 min", "stop when running for 1 min", NULL};
    begin("tap-stand");
    run_under(order, DAY, NULL);
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
    static const char *const order[] = {"start when level of hill level below 1.6 m",
                                        "stop when level of hill level above 1.9 m",
                                        "run only while time not between 06:00 and 22:00 on Monday to Friday", NULL};
    begin("stock-water");
    draw(0, 30, 30 * MIN, 8 * MIN, 30 * MIN);
    draw(1, 26, 40 * MIN, 8 * MIN, 30 * MIN);
    run_under(order, 14 * (int64_t)DAY, NULL);
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
        const char *const *order;
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
        run_under(cases[i].order, DAY, NULL);
        if (book->lock_count != (cases[i].locks ? 1 : 0)) {
            print_error("case %d: %s\n", (int)i, cases[i].order[2]);
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
    static const char *const order[] = {"start when pressure below 220 kPa",
                                        "stop when pressure above 380 kPa",
                                        "lock out when running for 20 min",
                                        "warn by relay horn when locked out",
                                        "warn by relay lamp when pressure below 150 kPa for 1 min",
                                        NULL};
    static const pw_mishap burst = {
        .kind = PW_MISHAP_BURST, .severity = 80.0 / 60000.0, .where = -1, .onset_ms = 8 * HOUR};
    begin("house");
    run_under(order, DAY, &burst);
    assert_int_equal(book->lock_count, 1);
    assert_int_equal(book->fired[3], 1);
    assert_int_equal(book->fired[4], 1);
    assert_true(book->firings[3].t_ms == entry(PW_ENTRY_LOCK, 0, 0)->t_ms);
    assert_non_null(strstr(book->told[0].words, "It warns: locked out; relay horn is closed."));
    end();
}

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
    static const char *const order[] = {
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
    run_under(order, DAY, NULL);
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
    static const char *const order[] = {
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
    static const pw_mishap stuck = {.kind = PW_MISHAP_FLOW_OFF, .where = 2, .onset_ms = 12 * HOUR};
    begin("flats");
    draw(0, 110, 0, 12 * MIN, 30 * MIN); /* more than one can bring, less than two */
    run_under(order, DAY, &stuck);
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
    static const pw_mishap cut = {.kind = PW_MISHAP_SUPPLY_LOST, .severity = 600.0, .where = -1, .onset_ms = 8 * HOUR};
    begin("flats");
    draw(0, 40, 7 * HOUR, 2 * HOUR, 0);
    run_under(cleared, DAY, &cut);
    const int64_t back = entry(PW_ENTRY_MISHAP_END, -1, 0)->t_ms;
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

static void low_voltage_and_a_lost_phase(void **state)
{
    (void)state;
    static const char *const order[] = {"start when contact program closed",
                                        "stop when contact program open",
                                        "lock out when supply below 350 V for 5 s",
                                        "lock out when phase missing for 1 s",
                                        "release by itself after 10 min when locked out by supply below 350 V",
                                        NULL};
    static const pw_mishap weak = {.kind = PW_MISHAP_BROWN_OUT, .severity = 0.8, .where = -1, .onset_ms = 5 * HOUR};
    static const pw_mishap phase = {.kind = PW_MISHAP_PHASE_LOSS, .where = -1, .onset_ms = 5 * HOUR};
    begin("irrigation");
    draw(0, 150, 4 * HOUR + 30 * MIN, 3 * HOUR + 20 * MIN, 0);
    run_under(order, 6 * HOUR, &weak);
    assert_int_equal(entry(PW_ENTRY_LOCK, 0, 0)->t_ms, 5 * HOUR + 5 * S);
    assert_int_equal(entry(PW_ENTRY_LOCK, 0, 0)->sentence, 2);
    assert_int_equal(entry(PW_ENTRY_RETRY, 0, 0)->t_ms, 5 * HOUR + 10 * MIN + 5 * S);
    assert_true(book->lock_count >= 5); /* still weak */
    end();
    begin("irrigation");
    draw(0, 150, 4 * HOUR + 30 * MIN, 3 * HOUR + 20 * MIN, 0);
    run_under(order, 6 * HOUR, &phase);
    assert_int_equal(book->lock_count, 1);
    assert_int_equal(entry(PW_ENTRY_LOCK, 0, 0)->t_ms, 5 * HOUR + S);
    assert_int_equal(entry(PW_ENTRY_LOCK, 0, 0)->sentence, 3);
    end();
}

/* Counters, read at any time, agree with the day book to the second. */
static void counters_to_the_second(void **state)
{
    (void)state;
    static const char *const order[] = {"start when pressure below 220 kPa", "stop when pressure above 380 kPa", NULL};
    static const int64_t moments[] = {5 * HOUR, 9 * HOUR + 1234, 20 * HOUR};
    begin("house");
    draw(0, 25, 6 * HOUR, 10 * MIN, HOUR);
    run_under(order, DAY, NULL);
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
        if (strstr(book->told[i].words, expected) == NULL) {
            print_error("%s not in\n%s", expected, book->told[i].words);
        }
        assert_non_null(strstr(book->told[i].words, expected));
    }
    end();
}

/* ---- the document ---- */

static const pw_signal signals_of_document[] = {
    {"pressure", PW_SIGNAL_PRESSURE}, {"flow switch", PW_SIGNAL_FLOW},    {"tank", PW_SIGNAL_LEVEL},
    {"low", PW_SIGNAL_PROBE},         {"tower low", PW_SIGNAL_PROBE},     {"tower high", PW_SIGNAL_PROBE},
    {"ground low", PW_SIGNAL_PROBE},  {"remote stop", PW_SIGNAL_CONTACT}, {"pump", PW_SIGNAL_CURRENT},
    {"pump", PW_SIGNAL_WINDING},      {"supply", PW_SIGNAL_SUPPLY},       {"phases", PW_SIGNAL_PHASES}};

static void read_block(const char *const *sentences, int32_t count, bool flats)
{
    static const char *const alone[] = {"pump"};
    static const char *const three[] = {"booster 1", "booster 2", "booster 3"};
    const int32_t plain = sizeof signals_of_document / sizeof signals_of_document[0];
    pw_order *order = NULL;
    memset(&k.problems, 0, sizeof k.problems);
    const pw_status status = flats ? pw_order_read(&k.arena, sentences, count, k.plant->signals, k.plant->signal_count,
                                                   three, 3, "order", &order, &k.problems)
                                   : pw_order_read(&k.arena, sentences, count, signals_of_document, plain, alone, 1,
                                                   "order", &order, &k.problems);
    for (int32_t i = 0; i < k.problems.count; i++) {
        print_error("%s: %s; expected %s (%s)\n", k.problems.items[i].path, k.problems.items[i].found,
                    k.problems.items[i].expected, k.problems.items[i].hint);
    }
    assert_int_equal(status, PW_OK);
    assert_int_equal(k.problems.count, 0);
    for (int32_t i = 0; i < count; i++) { /* and they stand there in their canonical form */
        pw_text words;
        pw_text_init(&words, &k.arena);
        pw_order_put(order, i, &words);
        assert_string_equal(words.data, sentences[i]);
    }
}

/* Every block "yaml order" of docs/orders.md can be read without a warning. */
static void the_orders_of_the_document(void **state)
{
    (void)state;
    begin("flats");
    golden_build(&k, "flats");
    size_t length = 0;
    const char *why = "";
    char *text = pw_file_read(PW_SOURCE_DIR "/docs/orders.md", 1 << 20, &length, &why);
    assert_non_null(text);
    int32_t blocks = 0;
    static const char fence[] = "```yaml order";
    for (char *at = strstr(text, fence); at != NULL; at = strstr(at, fence)) {
        const char *sentences[PW_MAX_SENTENCES];
        int32_t count = 0;
        at += strlen(fence);
        const bool flats = strncmp(at, " flats", 6) == 0;
        at = strchr(at, '\n') + 1;
        while (strncmp(at, "```", 3) != 0) {
            char *line_end = strchr(at, '\n');
            *line_end = 0;
            assert_true(strncmp(at, "- ", 2) == 0);
            at += 2;
            if (at[0] == '"') {
                at++;
                line_end[-1] = 0;
            }
            sentences[count++] = at;
            at = line_end + 1;
        }
        read_block(sentences, count, flats);
        blocks++;
    }
    free(text);
    print_message("%d orders of the document\n", (int)blocks);
    assert_true(blocks >= 18);
    end();
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(dry_run_with_retries_and_a_final_lock_out),
        cmocka_unit_test(start_and_stop_on_pressure_over_the_whole_range),
        cmocka_unit_test(start_on_pressure_and_run_while_flow_lasts),
        cmocka_unit_test(run_on_and_least_run),
        cmocka_unit_test(chatter_filtered_without_going_blind),
        cmocka_unit_test(timed_running_and_resting),
        cmocka_unit_test(time_of_day_and_day_of_week),
        cmocka_unit_test(restart_held_back),
        cmocka_unit_test(limits_of_starts_and_run_time),
        cmocka_unit_test(starts_from_one_to_eighteen_hundred),
        cmocka_unit_test(a_relay_for_alarms),
        cmocka_unit_test(outside_contacts_and_probe_pairs),
        cmocka_unit_test(interlocks_between_pumps),
        cmocka_unit_test(duty_assist_standby_and_failover),
        cmocka_unit_test(tanks_filled_by_level_by_pressure_and_by_time),
        cmocka_unit_test(supply_lost_and_back),
        cmocka_unit_test(low_voltage_and_a_lost_phase),
        cmocka_unit_test(counters_to_the_second),
        cmocka_unit_test(the_orders_of_the_document),
    };
    return cmocka_run_group_tests_name("golden: a day for each way to run a pump", tests, NULL, NULL);
}
