/* One simulated day for each way to run a pump that docs/settings.md tells of: a site of examples/ under settings of
 * its own, and the events that matter. Here protection and starts and stops; days_limits.c: times, limits and counters;
 * days_several.c: several pumps and tanks.
 */
#include "days.h"
#include "told.h"
#include "english.h"

static void dry_run_with_retries_and_a_final_lock_out(void **state)
{
    (void)state;
    static const char *const settings[] = {
        "start when pressure below 220 kPa for 1 s",
        "stop when pressure above 380 kPa",
        "ignore no flow for 20 s after start",
        "lock out when no flow for 10 s",
        "retry after 10 min, then 1 h, then 4 h up to 3 times when locked out by no flow",
        NULL};
    static const pw_fault dry = {.kind = PW_FAULT_DRY_SOURCE, .severity = 0.0, .where = -1, .onset_ms = 5 * HOUR};
    begin("house");
    draw(0, 20, 6 * HOUR, 20 * MIN, 30 * MIN);
    run_under(settings, DAY, &dry);
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
    assert_non_null(
        strstr(told_lines(&k.arena, &book->told[0].facts), "It is released by itself in 10 min (retry 1 of 3)"));
    assert_non_null(strstr(told_lines(&k.arena, &book->told[3].facts), "until a person releases it"));
    assert_non_null(strstr(told_lines(&k.arena, &book->told[3].facts), "Check first: "));
    end();
}

static void start_and_stop_on_pressure_over_the_whole_range(void **state)
{
    (void)state;
    static const char *const high[] = {"start when pressure below 1850 kPa", "stop when pressure above 2000 kPa", NULL};
    static const char *const low[] = {"start when pressure below 1 kPa", "stop when pressure above 20 kPa", NULL};
    static const char *const narrow[] = {"start when pressure below 399 kPa", "stop when pressure above 400 kPa", NULL};
    static const struct {
        const char *const *settings;
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
        run_under(cases[i].settings, DAY, NULL);
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
    static const char *const settings[] = {"start when pressure below 300 kPa", "stop when no flow for 15 s",
                                           "ignore no flow for 10 s after start", NULL};
    begin("house");
    draw(0, 15, 6 * HOUR, 40 * MIN, 0);
    run_under(settings, DAY, NULL);
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
    static const char *const settings[] = {"start when pressure below 220 kPa", "stop when pressure above 300 kPa",
                                           "run on 40 s after stop condition", "run at least 2 min", NULL};
    static const char *const plain[] = {"start when pressure below 220 kPa", "stop when pressure above 300 kPa", NULL};
    begin("house");
    draw(0, 30, 6 * HOUR, 5 * MIN, HOUR);
    run_under(settings, DAY, NULL);
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
        const pw_fault chatter = {.kind = PW_FAULT_CHATTER, .severity = rates_hz[i], .where = -1, .onset_ms = HOUR};
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
            .fault_count = 2,
            .faults = {chatter, {.kind = PW_FAULT_DRY_SOURCE, .severity = 0.0, .where = -1, .onset_ms = 12 * HOUR}}};
        book = kit_run(&k, &both);
        assert_int_equal(book->lock_count, 1);
        const pw_entry *lock = entry(PW_ENTRY_LOCK, 0, 0);
        assert_true(lock->t_ms - entry(PW_ENTRY_DRY, 0, 0)->t_ms <= 30 * S);
        end();
    }
}

/* Low pressures are possible as psi, too: 200 psi are 1379 kPa, more than the pump can bring and the sensor can tell.
 */
static void a_mistaken_unit_on_a_low_site(void **state)
{
    (void)state;
    golden_load(&k, "../docs/pictures/glasshouse");
    golden_build(&k, "glasshouse");
    pw_run_options options = {.length_ms = DAY,
                              .seed = 1,
                              .entry_capacity = MOST_ENTRIES,
                              .fault_count = 1,
                              .faults = {{.kind = PW_FAULT_PSI_TYPED, .where = -1, .onset_ms = 8 * HOUR}}};
    static const char *const unused[] = {"the order of the sheet", NULL};
    orders = unused;
    book = kit_run(&k, &options);
    assert_false(book->typed_refused);
    assert_int_equal(book->lock_count, 0); /* nothing of this order sees it */
    for (int32_t n = 0; n < count_of(PW_ENTRY_STOP, 0); n++) {
        const pw_entry *stop = entry(PW_ENTRY_STOP, 0, n);
        assert_true(
            within(stop->pressure_pa, stop->t_ms < 8 * HOUR ? 200e3 : 820e3, stop->t_ms < 8 * HOUR ? 201e3 : 840e3));
    }
    assert_true(count_of(PW_ENTRY_STOP, 0) > 40);
    assert_true(within(book->totals.pressure_max_pa, 827e3, 829e3)); /* shut-off: 86 m less the 1.5 m that it lifts */
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
    pw_settings *settings = NULL;
    memset(&k.problems, 0, sizeof k.problems);
    const pw_status status = flats
                                 ? pw_settings_read(&k.arena, sentences, count, k.plant->signals, k.plant->signal_count,
                                                    three, 3, "settings", &settings, &k.problems)
                                 : pw_settings_read(&k.arena, sentences, count, signals_of_document, plain, alone, 1,
                                                    "settings", &settings, &k.problems);
    for (int32_t i = 0; i < k.problems.count; i++) {
        print_error("%s: %s; expected %s (%s)\n", k.problems.items[i].path, english(&k.problems.items[i].found),
                    english(&k.problems.items[i].expected), english(&k.problems.items[i].hint));
    }
    assert_int_equal(status, PW_OK);
    assert_int_equal(k.problems.count, 0);
    for (int32_t i = 0; i < count; i++) { /* and they stand there in their canonical form */
        pw_text words;
        pw_text_init(&words, &k.arena);
        pw_settings_put(settings, i, &words);
        assert_string_equal(words.data, sentences[i]);
    }
}

/* Every block "yaml settings" of docs/settings.md can be read without a warning. */
static void the_orders_of_the_document(void **state)
{
    (void)state;
    begin("flats");
    golden_build(&k, "flats");
    size_t length = 0;
    const char *why = "";
    char *text = pw_file_read(PW_SOURCE_DIR "/docs/settings.md", 1 << 20, &length, &why);
    assert_non_null(text);
    int32_t blocks = 0;
    static const char fence[] = "```yaml settings";
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
        cmocka_unit_test(a_mistaken_unit_on_a_low_site),
        cmocka_unit_test(the_orders_of_the_document),
    };
    return cmocka_run_group_tests_name("golden: a day for each way to run a pump", tests, NULL, NULL);
}
