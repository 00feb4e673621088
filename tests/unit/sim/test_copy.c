/* A simulation as a value: copies of random sites, faults set on a copy, other settings on a copy, and what is refused.
 */
#include "copies.h"
#include "random_site.h"
#include "walked.h"

#include "sim/run.h"

/* Three busy hours of the morning; the fault comes within them. */
enum { HOUR = 3600000, MORNING = 6 * HOUR, ONSET = 7 * HOUR + 17, LATE = 9 * HOUR };

static void open_site(kit *k, int number, pw_random *random)
{
    char json[8192];
    pw_random_seed(random, 20261130, (uint64_t)number);
    write_site(random, json, sizeof json);
    kit_open(k, (size_t)32 << 20);
    const bool good = kit_read(k, json, number % 4 == 0);
    if (!good) {
        kit_say(k);
    }
    assert_true(good);
}

static pw_fault fault_for(const kit *k, pw_random *random, int32_t kind)
{
    double severities[16];
    pw_fault fault = {.kind = PW_FAULT_NONE, .where = -1, .onset_ms = ONSET};
    const int32_t count = pw_fault_severities(k->site, (pw_fault_kind)kind, 0.0, severities, 16);
    if (count > 0) {
        fault.kind = (pw_fault_kind)kind;
        fault.severity = severities[pick(random, count)];
    }
    return fault;
}

static void test_random_sites(void **state)
{
    met all = {0};
    (void)state;
    for (int i = 0; i < PW_FAULT_COUNT; i += WALKED ? 9 : 3) {
        kit k;
        pw_random random;
        open_site(&k, i, &random);
        const pw_sim_options options = {.begin_ms = MORNING, .seed = (uint64_t)i, .release_after_ms = HOUR};
        const pw_fault fault = fault_for(&k, &random, i);
        copies_go_on(&k, &options, &fault, fault.kind != PW_FAULT_NONE ? 1 : 0, LATE, 2, &random, &all);
        kit_close(&k);
    }
    print_message("%d copies, %d running, %d drawing, %d locked, %d surging, %d between steps\n", all.copies,
                  all.running, all.drawing, all.locked, all.surging, all.under_way);
    assert_true(all.copies > (WALKED ? 12 : 40) && (all.locked > 0 || WALKED) && all.under_way > (WALKED ? 1 : 5));
}

/* A fault that is set on a copy of the healthy simulation at its onset is that of a run that had it from the start. */
static void test_fault_from_a_copy(void **state)
{
    (void)state;
    int32_t faults = 0;
    for (int i = 1; i < PW_FAULT_COUNT; i += WALKED ? 3 : 1) {
        kit k;
        pw_random random;
        open_site(&k, i, &random);
        const pw_sim_options options = {.begin_ms = MORNING, .seed = 1, .release_after_ms = HOUR};
        const pw_fault fault = fault_for(&k, &random, i);
        if (fault.kind == PW_FAULT_NONE) {
            kit_close(&k);
            continue;
        }
        faults++;
        whole one, healthy;
        open_whole(&one, &k, &options, &fault, 1);
        open_whole(&healthy, &k, &options, NULL, 0);
        assert_int_equal(pw_sim_advance(one.sim, LATE, &k.problems), PW_OK);
        assert_int_equal(pw_sim_advance(healthy.sim, fault.onset_ms, &k.problems), PW_OK);
        pw_sim *copy = pw_sim_copy(healthy.sim, &k.arena);
        assert_int_equal(pw_sim_befall(copy, &k.arena, &fault, &k.problems), PW_OK);
        pw_sim_attach(copy, &healthy.tally->observer);
        pw_sim_attach(copy, &healthy.notes.observer);
        assert_int_equal(pw_sim_advance(copy, LATE, &k.problems), PW_OK);
        assert_int_equal(healthy.notes.count, one.notes.count);
        assert_memory_equal(healthy.notes.noted, one.notes.noted, (size_t)one.notes.count * sizeof(uint64_t));
        const pw_totals a = pw_tally_totals(healthy.tally, copy, true), b = pw_tally_totals(one.tally, one.sim, true);
        assert_memory_equal(&a, &b, sizeof a);
        free(one.notes.noted);
        free(healthy.notes.noted);
        kit_close(&k);
    }
    assert_true(faults > (WALKED ? 5 : 15));
}

/* Under other settings a copy does as they say; the original is as it was. */
static void test_other_settings(void **state)
{
    kit k;
    pw_random random;
    (void)state;
    open_site(&k, 3, &random);
    const pw_sim_options options = {.seed = 1};
    whole w, same;
    open_whole(&w, &k, &options, NULL, 0);
    open_twin(&same, &k, &w);
    assert_int_equal(pw_sim_advance(w.sim, 9 * HOUR, &k.problems), PW_OK);
    assert_int_equal(pw_sim_advance(same.sim, 9 * HOUR, &k.problems), PW_OK);
    const char *never[] = {"start when pressure below 1 kPa", "stop when pressure above 1000 kPa",
                           "lock out when running for 1 s"};
    pw_settings *settings = NULL;
    assert_int_equal(pw_plant_read(&k.arena, k.plant, never, 3, &settings, &k.problems), PW_OK);
    pw_sim *copy = NULL;
    assert_int_equal(pw_sim_copy_under(w.sim, &k.arena, settings, NULL, &copy, &k.problems), PW_OK);
    assert_true(pw_sim_time_ms(copy) == 9 * HOUR);
    pw_tally *tally = pw_tally_new(&k.arena, copy);
    pw_sim_attach(copy, &tally->observer);
    assert_int_equal(pw_sim_advance(copy, 12 * HOUR, &k.problems), PW_OK);
    const pw_totals t = pw_tally_totals(tally, copy, false);
    assert_true(t.starts <= 1 && t.run_s <= 1.01);
    assert_true(pw_sim_same(w.sim, same.sim));
    assert_int_equal(pw_sim_advance(w.sim, 12 * HOUR, &k.problems), PW_OK);
    assert_int_equal(pw_sim_advance(same.sim, 12 * HOUR, &k.problems), PW_OK);
    assert_true(pw_sim_same(w.sim, same.sim));
    free(w.notes.noted);
    free(same.notes.noted);
    kit_close(&k);
}

static void test_refuses(void **state)
{
    kit k;
    pw_random random;
    (void)state;
    open_site(&k, 1, &random);
    const pw_sim_options options = {.seed = 1};
    whole w;
    open_whole(&w, &k, &options, NULL, 0);
    pw_fault leak = {PW_FAULT_SLOW_LEAK, 1e-5, -1, HOUR};
    assert_int_equal(pw_sim_advance(w.sim, 2 * HOUR, &k.problems), PW_OK);
    assert_int_equal(pw_sim_befall(w.sim, &k.arena, &leak, &k.problems), PW_RANGE);
    leak.onset_ms = 2 * HOUR;
    assert_int_equal(pw_sim_befall(w.sim, &k.arena, &leak, &k.problems), PW_OK);
    assert_int_equal(pw_sim_befall(w.sim, &k.arena, &leak, &k.problems), PW_OK);
    assert_int_equal(pw_sim_befall(w.sim, &k.arena, &leak, &k.problems), PW_LIMIT);
    pw_arena small;
    char block[1000];
    pw_arena_init(&small, block, sizeof block);
    assert_null(pw_sim_copy(w.sim, &small));
    free(w.notes.noted);
    kit_close(&k);
}

/* What a copy costs, for docs/verification.md: printed, and bounded so that it stays cheap. */
static void test_size(void **state)
{
    kit k;
    pw_random random;
    (void)state;
    open_site(&k, 2, &random);
    const pw_sim_options options = {.seed = 1};
    whole w;
    open_whole(&w, &k, &options, NULL, 0);
    print_message("a copy takes %zu bytes\n", pw_sim_size(w.sim));
    assert_true(pw_sim_size(w.sim) < 216 * 1024);
    free(w.notes.noted);
    kit_close(&k);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_random_sites), cmocka_unit_test(test_fault_from_a_copy),
                                       cmocka_unit_test(test_other_settings), cmocka_unit_test(test_refuses),
                                       cmocka_unit_test(test_size)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
