/* Samples change nothing: a run with them has the totals, counts and entries of the same run without, to the last bit,
 * on every site of examples/, healthy and with a fault. And they are where they ought to be, with the values that a
 * denser row of samples has.
 */
#include "load.h"

#include "base/num.h"

static const char *const names[] = {"flats",   "hill-tank",   "house",     "irrigation",
                                    "nursery", "stock-water", "tap-stand", "transfer"};

static const pw_daybook *day(kit *k, const pw_fault *fault, int64_t sample_ms)
{
    pw_run_options options;
    memset(&options, 0, sizeof options);
    options.length_ms = (int64_t)30 * 3600 * 1000;
    options.seed = 3;
    options.entry_capacity = 20000;
    options.sample_ms = sample_ms;
    options.sample_capacity = 60000;
    options.fault_count = fault != NULL ? 1 : 0;
    options.faults[0] = fault != NULL ? *fault : options.faults[0];
    return kit_run(k, &options);
}

static void same(const pw_daybook *a, const pw_daybook *b)
{
    assert_memory_equal(&a->totals, &b->totals, sizeof a->totals);
    assert_memory_equal(a->pumps, b->pumps, sizeof a->pumps);
    assert_memory_equal(a->firings, b->firings, sizeof a->firings);
    assert_int_equal(a->entry_count, b->entry_count);
    for (int32_t i = 0; i < a->entry_count; i++) {
        assert_int_equal(a->entries[i].t_ms, b->entries[i].t_ms);
        assert_int_equal(a->entries[i].kind, b->entries[i].kind);
        assert_true(a->entries[i].pressure_pa == b->entries[i].pressure_pa);
        assert_true(a->entries[i].b == b->entries[i].b);
    }
}

/* Samples of two runs at the same moment, both not at an event. */
static int32_t alike(const pw_daybook *rough, const pw_daybook *fine)
{
    int32_t k = 0, met = 0;
    for (int32_t i = 1; i + 1 < rough->sample_count; i++) {
        const int64_t t_ms = rough->samples[i].t_ms;
        assert_true(t_ms - rough->samples[i - 1].t_ms <= 60000);
        while (k < fine->sample_count && fine->samples[k].t_ms < t_ms) {
            k++;
        }
        const bool alone = t_ms != rough->samples[i - 1].t_ms && t_ms != rough->samples[i + 1].t_ms &&
                           k + 1 < fine->sample_count && fine->samples[k].t_ms == t_ms &&
                           fine->samples[k + 1].t_ms != t_ms;
        if (!alone) {
            continue;
        }
        met++;
        assert_true(pw_abs((double)(rough->samples[i].pressure_pa - fine->samples[k].pressure_pa)) < 20.0);
        for (int32_t c = 0; c < rough->column_count; c++) {
            const double a = (double)pw_sample_value(rough, i, c), b = (double)pw_sample_value(fine, k, c);
            assert_true(pw_abs(a - b) <= 1e-3 * pw_max(pw_abs(a), 1.0));
        }
    }
    return met;
}

static void test_samples(void **state)
{
    (void)state;
    int32_t met = 0;
    for (size_t n = 0; n < sizeof names / sizeof names[0]; n++) {
        kit k;
        golden_load(&k, names[n]);
        golden_build(&k, names[n]);
        const pw_fault shut = {.kind = PW_FAULT_VALVE_CLOSED, .where = -1, .onset_ms = 7 * 3600 * 1000};
        for (int32_t m = 0; m < 2; m++) {
            const pw_fault *fault = m == 0 ? NULL : &shut;
            const size_t mark = pw_arena_mark(&k.arena);
            const pw_daybook *without = day(&k, fault, 0);
            const pw_daybook *rough = day(&k, fault, 60000);
            const pw_daybook *fine = day(&k, fault, 4000);
            same(without, rough);
            same(without, fine);
            met += alike(rough, fine);
            pw_arena_back(&k.arena, mark);
        }
        kit_close(&k);
    }
    print_message("%d samples compared\n", (int)met);
    assert_true(met > 1000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_samples)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
