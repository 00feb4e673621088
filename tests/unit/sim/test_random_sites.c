/* Random valid sites under random orders, healthy and with faults: the mass balance closes, nothing is NaN, it ends,
 * and the same seed gives the same bits. A failing site is printed with its number, which replays it.
 */
#include "run_kit.h"

#include "base/num.h"
#include "random_site.h"
#include "walked.h"

/* Every fault some times, and healthy. */
#define SITES (2 * EARLIER)

/* Half a day: faults begin in the middle of it. */
#define LENGTH_MS 43200000

/* Solutions of the flows in it: what a site may cost however odd it is. The dearest of ten times as many
 * sites starts every half minute and takes a million. */
#define MOST_EVALUATIONS 2000000

static bool totals_are_numbers(const pw_totals *t)
{
    const double all[] = {t->pumped_m3,       t->delivered_m3,     t->wanted_m3,  t->leaked_m3,     t->spilled_m3,
                          t->source_m3,       t->stored_change_m3, t->balance_m3, t->run_s,         t->dry_s,
                          t->deadhead_s,      t->energy_j,         t->short_s,    t->winding_max_c, t->pressure_max_pa,
                          t->pressure_min_pa, t->longest_run_s};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        if (!pw_is_finite(all[i])) {
            print_error("total %d is not a number\n", (int)i);
            return false;
        }
    }
    return true;
}

/* What moved through the site, for a relative balance; a site where next to nothing moved is measured against 50 L in
 * store. */
static double moved_m3(const pw_totals *t)
{
    return pw_max(pw_abs(t->source_m3) + t->delivered_m3 + t->leaked_m3 + t->spilled_m3, 0.05);
}

/* Each run has its own copy of an order that a fault mistypes: its address is no part of what happened. */
static void forget_orders(const pw_daybook *book)
{
    for (int32_t i = 0; i < book->entry_count; i++) {
        book->entries[i].settings = NULL;
    }
}

/* One of its severities on this site, or anything between two of them; a fault that cannot happen there: none. */
static void choose_fault(const kit *k, pw_random *random, pw_fault_kind kind, pw_run_options *options)
{
    double severities[16];
    const int32_t count = kind == PW_FAULT_NONE ? 0 : pw_fault_severities(k->plant->site, kind, 0.0, severities, 16);
    pw_fault *fault = &options->faults[options->fault_count];
    fault->kind = kind;
    fault->where = -1;
    fault->onset_ms = 21600123;
    if (count > 0) {
        fault->severity = between(random, severities[pick(random, count)], severities[pick(random, count)]);
        options->fault_count++;
    } else {
        fault->kind = PW_FAULT_NONE;
    }
}

/* Faults of filters and pressure switches, which these sites do not have, came later: the numbers of the sites keep
 * theirs. They are met in test_filters.c. */
enum { LATER = 4, EARLIER = PW_FAULT_COUNT - LATER };

static bool came_later(int kind)
{
    return kind == PW_FAULT_FILTER_CLOGGED || kind == PW_FAULT_SWITCH_CLOSED || kind == PW_FAULT_SWITCH_OPEN ||
           kind == PW_FAULT_SWITCH_DRIFTS;
}

/* The nth of the earlier ones; 0 none. */
static pw_fault_kind earlier(int nth)
{
    int kind = 0;
    for (int left = nth; left > 0; left -= came_later(kind) ? 0 : 1) {
        kind++;
    }
    return (pw_fault_kind)kind;
}

/* Every second site suffers two at once, whatever they are; half of these begin an hour apart. */
static void choose_faults(const kit *k, pw_random *random, int i, pw_run_options *options)
{
    /* In turn; over-voltage came later, too, and is met as a second one. */
    int turn = i % (EARLIER - 1);
    for (int n = 1; n <= turn; n++) {
        if (earlier(n) == PW_FAULT_OVER_VOLTAGE) {
            turn++;
        }
    }
    choose_fault(k, random, earlier(turn), options);
    if (i % 2 == 1 && options->fault_count == 1) {
        for (int tries = 0; tries < 3 && options->fault_count == 1; tries++) {
            choose_fault(k, random, earlier(1 + pick(random, EARLIER - 1)), options);
        }
        options->faults[1].onset_ms += pick(random, 2) * 3600000;
    }
}

/* What the site did is what its pumps did. */
static void pumps_add_up(const pw_daybook *book, int32_t pumps)
{
    pw_pump_totals sum;
    memset(&sum, 0, sizeof sum);
    for (int32_t p = 0; p < pumps; p++) {
        sum.starts += book->pumps[p].starts;
        sum.run_s += book->pumps[p].run_s;
        sum.pumped_m3 += book->pumps[p].pumped_m3;
        sum.energy_j += book->pumps[p].energy_j;
        sum.winding_max_c = pw_max(sum.winding_max_c, book->pumps[p].winding_max_c);
    }
    assert_int_equal(sum.starts, book->totals.starts);
    assert_true(pw_abs(sum.run_s - book->totals.run_s) <= 1e-9 * sum.run_s);
    assert_true(pw_abs(sum.pumped_m3 - book->totals.pumped_m3) <= 1e-9 * pw_abs(sum.pumped_m3));
    assert_true(pw_abs(sum.energy_j - book->totals.energy_j) <= 1e-9 * sum.energy_j);
    assert_true(pumps == 0 || sum.winding_max_c == book->totals.winding_max_c);
}

static void no_tank_below_its_floor(const pw_daybook *book, const pw_site *site)
{
    for (int32_t i = 0; i < book->sample_count; i++) {
        for (int32_t t = 0; t < site->tank_count; t++) {
            assert_true(pw_sample_value(book, i, pw_column_tank(site, t)) >= -1e-6f);
        }
    }
}

static void test_random_sites(void **state)
{
    int64_t dearest = 0;
    int32_t hunting = 0;
    int32_t starts = 0;
    int32_t pairs = 0;
    (void)state;
    /* Beyond the row: small vessels run empty, whose last drops leave within a tenth of a millisecond. They once swung
     * over and back, millisecond by millisecond, for hours. */
    static const int once_slow[] = {57, 250, 252};
    const int more = (int)(sizeof once_slow / sizeof once_slow[0]);
    for (int n = 0; n < SITES + more; n += WALKED ? 3 : 1) {
        const int i = n < SITES ? n : once_slow[n - SITES];
        char json[8192];
        pw_random random;
        pw_run_options options;
        kit k;
        pw_random_seed(&random, 20261125, (uint64_t)i);
        write_site(&random, json, sizeof json);
        kit_open(&k, (size_t)32 << 20);
        if (!kit_read(&k, json, i % 4 == 0)) {
            kit_say(&k);
            print_error("site %d: %s\n", i, json);
            fail();
        }
        memset(&options, 0, sizeof options);
        options.length_ms = LENGTH_MS;
        options.seed = (uint64_t)i;
        options.release_after_ms = 4 * 3600000;
        options.entry_capacity = 3000;
        options.sample_ms = 600000;
        options.sample_capacity = 1000;
        choose_faults(&k, &random, i, &options);
        pairs += options.fault_count == 2 ? 1 : 0;
        const pw_daybook *first = kit_run(&k, &options);
        /* healthy, with one fault, with two: all of them are among every fifth */
        const pw_daybook *again = n % 5 == 0 && !WALKED ? kit_run(&k, &options) : first;
        const pw_totals *t = &first->totals;
        if (!totals_are_numbers(t) || pw_abs(t->balance_m3) > 1e-9 * moved_m3(t)) {
            print_error("site %d, fault %d: balance %g of %g m3\n%s\n", i, (int)options.faults[0].kind, t->balance_m3,
                        moved_m3(t), json);
            fail();
        }
        assert_int_equal(first->entry_count, again->entry_count);
        forget_orders(first);
        forget_orders(again);
        assert_memory_equal(first->entries, again->entries, (size_t)first->entry_count * sizeof(pw_entry));
        assert_memory_equal(&first->totals, &again->totals, sizeof(pw_totals));
        if (t->evaluations > MOST_EVALUATIONS) {
            print_error("site %d, fault %d: %lld solutions\n%s\n", i, (int)options.faults[0].kind,
                        (long long)t->evaluations, json);
            fail();
        }
        dearest = t->evaluations > dearest ? t->evaluations : dearest;
        pumps_add_up(first, k.site->pump_count);
        no_tank_below_its_floor(first, k.site);
        assert_true(first->ending == PW_END_HUNTING || first->length_ms == options.length_ms);
        hunting += first->ending == PW_END_HUNTING ? 1 : 0;
        starts += (int32_t)t->starts;
        kit_close(&k);
    }
    print_message("%d sites, %d with two faults, %d starts, %d ended as hunting, %lld solutions at most\n", (int)SITES,
                  pairs, starts, hunting, (long long)dearest);
    const int walked = WALKED ? SITES / 3 : SITES;
    assert_true(pairs > walked / 4);
    assert_true(starts > 10 * walked);
    assert_true(hunting < walked / 3);
}

/* No vessel, no rest, one kilopascal between cut-in and cut-out: the site hunts, and the day book says so instead of
 * running on. */
static const char hunting_site[] =
    "{\"site\":\"hunting\",\"invented\":true,\"places\":[{\"name\":\"dam\",\"level\":\"0 "
    "m\"},{\"name\":\"shed\",\"level\":\"0 m\"}],"
    "\"sources\":[{\"name\":\"dam\",\"at\":\"dam\",\"kind\":\"open\",\"standing water level\":\"0 "
    "m\",\"intake\":\"2 m\"}],"
    "\"pumps\":[{\"name\":\"pump\",\"from\":\"dam\",\"to\":\"shed\",\"non-return valve\":true,\"curve\":["
    "{\"flow\":\"0 L/min\",\"head\":\"50 m\",\"power\":\"1 kW\"},{\"flow\":\"30 L/min\",\"head\":\"40 "
    "m\",\"power\":\"1 kW\"},"
    "{\"flow\":\"60 L/min\",\"head\":\"10 m\",\"power\":\"1 kW\"}],\"motor\":{\"power\":\"1.1 "
    "kW\",\"phases\":1,\"voltage\":\"230 V\"}}],"
    "\"outlets\":[{\"name\":\"tap\",\"at\":\"shed\",\"needs\":\"10 kPa\"}],"
    "\"sensors\":[{\"name\":\"pressure\",\"kind\":\"pressure\",\"at\":\"shed\",\"from\":\"0 kPa\",\"to\":\"1000 "
    "kPa\"}],"
    "\"demand\":[{\"outlet\":\"tap\",\"flow\":\"5 L/min\",\"for\":\"1 h\",\"at\":\"01:00\"}],"
    "\"settings\":[\"start when pressure below 200 kPa\",\"stop when pressure above 201 kPa\"%s]}";

static void test_hunting_is_told(void **state)
{
    char json[4096];
    pw_run_options options;
    kit k;
    (void)state;
    snprintf(json, sizeof json, hunting_site, "");
    kit_load(&k, json, true);
    memset(&options, 0, sizeof options);
    options.length_ms = 86400000;
    options.entry_capacity = 1000;
    const pw_daybook *book = kit_run(&k, &options);
    assert_int_equal(book->ending, PW_END_HUNTING);
    assert_true(book->length_ms < 2 * 3600000);
    bool told = false;
    for (int32_t i = 0; i < book->entry_count; i++) {
        told = told || book->entries[i].kind == PW_ENTRY_HUNTING;
    }
    assert_true(told);
    assert_int_equal(book->totals.most_starts_in_hour, PW_HUNT_STARTS + 1);
    kit_close(&k);
}

/* Every limit of starts that the trade has stops a site that hunts, before the simulation gives up. */
static void test_a_lock_out_ends_hunting(void **state)
{
    static const int32_t limits[] = {1, 60, 61, 120, 1000, PW_HUNT_STARTS};
    (void)state;
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++) {
        char json[4096], lock[64];
        pw_run_options options;
        kit k;
        snprintf(lock, sizeof lock, ",\"lock out when starts reach %d in 1 h\"", (int)limits[i]);
        snprintf(json, sizeof json, hunting_site, lock);
        kit_load(&k, json, true);
        memset(&options, 0, sizeof options);
        options.length_ms = 86400000;
        options.entry_capacity = 1000;
        const pw_daybook *book = kit_run(&k, &options);
        assert_int_equal(book->ending, PW_END_TIME);
        assert_int_equal(book->lock_count, 1);
        assert_true(book->locked_at_end);
        assert_int_equal(book->totals.starts, limits[i] - 1); /* the start that reaches the limit is not made */
        kit_close(&k);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_random_sites), cmocka_unit_test(test_hunting_is_told),
                                       cmocka_unit_test(test_a_lock_out_ends_hunting)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
