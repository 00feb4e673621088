/* Observers never change a simulation, whichever are attached; first passages and residuals find what is there. */
#include "random_site.h"
#include "walked.h"

#include "sim/run.h"

enum { HOUR = 3600000 };

static void open_site(kit *k, int number, pw_random *random)
{
    char json[8192];
    pw_random_seed(random, 20261130, (uint64_t)number);
    write_site(random, json, sizeof json);
    kit_open(k, (size_t)32 << 20);
    assert_true(kit_read(k, json, false));
}

static const double levels[] = {150e3, 250e3, 1e9};

/* Every observer that there is, each attached when its bit is set. */
typedef struct crowd {
    pw_entries entries;
    pw_tally *tally;
    pw_firings firings;
    pw_samples samples;
    pw_teller teller;
    pw_passages passages;
    pw_residuals residuals;
    int64_t asked_ms[3], logged_ms[400];
    double logged[400], residual[400];
} crowd;

static void attach(crowd *c, kit *k, pw_sim *sim, int which)
{
    const pw_watched pressure = {PW_OF_PLACE_PRESSURE, 1};
    for (int i = 0; i < 400; i++) {
        c->logged_ms[i] = 61001 * (int64_t)i;
        c->logged[i] = 200e3;
    }
    c->asked_ms[0] = 4 * HOUR + 11;
    c->asked_ms[1] = 4 * HOUR + 12;
    c->asked_ms[2] = 7 * HOUR;
    c->tally = pw_tally_new(&k->arena, sim);
    assert_int_equal(pw_entries_begin(&c->entries, &k->arena, 500, 9 * HOUR), PW_OK);
    pw_firings_begin(&c->firings, c->tally);
    assert_int_equal(pw_samples_begin(&c->samples, &k->arena, sim, 13007, 500, true, true), PW_OK);
    assert_int_equal(pw_teller_begin(&c->teller, &k->arena, sim, c->asked_ms, 3, 9 * HOUR, true), PW_OK);
    pw_passages_begin(&c->passages, sim, pressure, levels, 3);
    pw_residuals_begin(&c->residuals, sim, pressure, c->logged_ms, c->logged, 400, c->residual);
    pw_observer *all[] = {&c->entries.observer, &c->tally->observer,   &c->firings.observer,  &c->samples.observer,
                          &c->teller.observer,  &c->passages.observer, &c->residuals.observer};
    for (int i = 0; i < 7; i++) {
        if (which >> i & 1 && !(i == 2 && !(which & 2))) { /* firings stand on the totals */
            pw_sim_attach(sim, all[i]);
        }
    }
}

static void test_change_nothing(void **state)
{
    (void)state;
    for (int i = 1; i < (WALKED ? 5 : 13); i += WALKED ? 2 : 4) {
        kit k;
        pw_random random;
        pw_sim *bare = NULL;
        open_site(&k, i, &random);
        const pw_sim_options options = {.seed = 4, .release_after_ms = HOUR};
        const pw_fault leak = {PW_FAULT_SLOW_LEAK, 5e-5, -1, 3 * HOUR + 5};
        assert_int_equal(pw_sim_create(&k.arena, k.plant, &options, &bare, &k.problems), PW_OK);
        assert_int_equal(pw_sim_befall(bare, &k.arena, &leak, &k.problems), PW_OK);
        const pw_sim *fresh = pw_sim_copy(bare, &k.arena);
        assert_int_equal(pw_sim_advance(bare, 9 * HOUR, &k.problems), PW_OK);
        /* each observer alone on every third site, all together and a part of them on every site */
        for (int set = 0; set < 9; set++) {
            if (set < 7 && (set + i / 2) % 3 != 0) {
                continue;
            }
            const size_t mark = pw_arena_mark(&k.arena);
            crowd *c = PW_NEW(&k.arena, 1, crowd);
            pw_sim *watched = pw_sim_copy(fresh, &k.arena);
            attach(c, &k, watched, set < 7 ? 1 << set : set == 7 ? 0x7f : 0x55);
            assert_int_equal(pw_sim_advance(watched, 9 * HOUR, &k.problems), PW_OK);
            assert_true(pw_sim_same(watched, bare));
            assert_true(set != 7 || (c->entries.count > 3 && c->samples.count > 100 && c->teller.count >= 3 &&
                                     c->residuals.compared == 400 && c->tally->begun));
            pw_arena_back(&k.arena, mark);
        }
        kit_close(&k);
    }
}

/* A tank of 2 m2 that an open tap empties with 0.3 L/s through a full bore: the depth falls along a straight line. */
static const char *const TANK =
    "{\"site\":\"tank\",\"invented\":true,\"places\":[{\"name\":\"dam\",\"level\":\"0 "
    "m\"},{\"name\":\"hill\",\"level\":"
    "\"20 m\"},{\"name\":\"house\",\"level\":\"0 m\"}],"
    "\"sources\":[{\"name\":\"dam\",\"at\":\"dam\",\"kind\":\"open\",\"standing water level\":\"0 m\",\"intake\":\"2 "
    "m\"}],"
    "\"pumps\":[{\"name\":\"pump\",\"from\":\"dam\",\"to\":\"hill\",\"non-return valve\":true,\"curve\":["
    "{\"flow\":\"0 L/min\",\"head\":\"60 m\",\"power\":\"1.5 kW\"},{\"flow\":\"40 L/min\",\"head\":\"50 "
    "m\",\"power\":\"1.6 kW\"},{\"flow\":\"80 L/min\",\"head\":\"20 "
    "m\",\"power\":\"1.7 kW\"}],\"motor\":{\"power\":\"1.5 kW\",\"phases\":1,\"voltage\":\"230 V\"}}],"
    "\"lines\":[{\"name\":\"main\",\"from\":\"hill\",\"to\":\"house\",\"pipe\":\"PE100 63 SDR 11\",\"length\":\"60 "
    "m\"}],"
    "\"tanks\":[{\"name\":\"tank\",\"at\":\"hill\",\"area\":\"2 m2\",\"depth\":\"2 m\",\"starts at\":\"1.5 m\"}],"
    "\"outlets\":[{\"name\":\"tap\",\"at\":\"house\",\"needs\":\"10 kPa\"}],"
    "\"demand\":[{\"outlet\":\"tap\",\"flow\":\"18 L/min\",\"for\":\"2 h\",\"at\":\"01:00\"}],"
    "\"sensors\":[{\"name\":\"level\",\"kind\":\"level\",\"at\":\"hill\"}],"
    "\"settings\":[\"start when level below 100 mm\",\"stop when level above 1.8 m\"]}";

/* 0.3 L/s out of 2 m2 from 01:00 on: 0.15 mm a second. 1.4 m is passed after 666.67 s, 1.0 m after 3333.33 s. */
static void test_first_passage(void **state)
{
    kit k;
    pw_sim *sim = NULL;
    pw_passages p;
    const double depths[] = {1.4, 1.0, 0.1, 1.6};
    (void)state;
    kit_load(&k, TANK, true);
    const pw_sim_options options = {.seed = 1};
    assert_int_equal(pw_sim_create(&k.arena, k.plant, &options, &sim, &k.problems), PW_OK);
    pw_passages_begin(&p, sim, (pw_watched){PW_OF_TANK_DEPTH, 0}, depths, 4);
    pw_sim_attach(sim, &p.observer);
    assert_int_equal(pw_sim_advance(sim, 3 * HOUR, &k.problems), PW_OK);
    const double at_1400 = (double)(p.first_ms[0] - HOUR) * 1e-3, at_1000 = (double)(p.first_ms[1] - HOUR) * 1e-3;
    print_message("1.4 m after %.3f s, 1.0 m after %.3f s\n", at_1400, at_1000);
    assert_true(pw_abs(at_1400 - 2000.0 / 3.0) < 0.02 && pw_abs(at_1000 - 10000.0 / 3.0) < 0.02);
    assert_true(p.reached[0] < 1.4 && p.reached[0] > 1.4 - 2e-7); /* the first millisecond beyond */
    assert_true(p.first_ms[2] < 0 && p.first_ms[3] < 0 && p.open == 2);
    assert_true(near(p.low, 1.5 - 2.16 / 2.0, 1e-3) && p.high == 1.5);
    kit_close(&k);
}

/* It stops at the first passage, and goes on as if it had not. */
static void test_stops_and_goes_on(void **state)
{
    kit k;
    pw_sim *sim = NULL;
    pw_passages p;
    const double depth = 1.4;
    (void)state;
    kit_load(&k, TANK, true);
    const pw_sim_options options = {.seed = 1};
    assert_int_equal(pw_sim_create(&k.arena, k.plant, &options, &sim, &k.problems), PW_OK);
    pw_sim *free_of_it = pw_sim_copy(sim, &k.arena);
    pw_passages_begin(&p, sim, (pw_watched){PW_OF_TANK_DEPTH, 0}, &depth, 1);
    p.stop_at_first = true;
    pw_sim_attach(sim, &p.observer);
    assert_int_equal(pw_sim_advance(sim, 3 * HOUR, &k.problems), PW_OK);
    assert_true(p.observer.stop && pw_sim_time_ms(sim) >= p.first_ms[0] && pw_sim_time_ms(sim) < 3 * HOUR);
    assert_int_equal(pw_sim_advance(sim, 3 * HOUR, &k.problems), PW_OK);
    assert_int_equal(pw_sim_advance(free_of_it, 3 * HOUR, &k.problems), PW_OK);
    assert_true(pw_sim_same(sim, free_of_it));
    kit_close(&k);
}

/* A log that is the closed form of the fall has no residuals; one that stands 5 mm higher has 5 mm everywhere. */
static void test_residuals(void **state)
{
    kit k;
    int64_t t_ms[60];
    double log[60], out[60];
    (void)state;
    kit_load(&k, TANK, true);
    const pw_sim_options options = {.seed = 1};
    for (int i = 0; i < 60; i++) {
        t_ms[i] = HOUR + 100007 * (int64_t)i;
        log[i] = 1.5 - 0.15e-3 * 100.007 * i;
    }
    for (int high = 0; high < 2; high++) {
        pw_sim *sim = NULL;
        pw_residuals r;
        assert_int_equal(pw_sim_create(&k.arena, k.plant, &options, &sim, &k.problems), PW_OK);
        pw_residuals_begin(&r, sim, (pw_watched){PW_OF_TANK_DEPTH, 0}, t_ms, log, 60, out);
        pw_sim_attach(sim, &r.observer);
        assert_int_equal(pw_sim_advance(sim, 3 * HOUR, &k.problems), PW_OK);
        assert_int_equal(r.compared, 60);
        assert_true(pw_abs(out[7] - 5e-3 * high) < 1e-6 && pw_abs(r.largest - 5e-3 * high) < 1e-6);
        assert_true(pw_abs(r.sum - 0.3 * high) < 1e-5);
        assert_true(pw_abs(r.sum_of_squares - 60 * 25e-6 * high) < 1e-6);
        for (int i = 0; i < 60; i++) {
            log[i] += 5e-3;
        }
    }
    kit_close(&k);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_change_nothing), cmocka_unit_test(test_first_passage),
                                       cmocka_unit_test(test_stops_and_goes_on), cmocka_unit_test(test_residuals)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
