/* Jobs of a proof that begin from a copy of the healthy simulation at their onset find, to the last byte, what they
 * find when each simulates its healthy part itself, and what one run with the fault from the start finds; whatever jobs
 * are done together.
 */
#include "load.h"

#include "study/prove.h"

static const char *const names[] = {"house", "nursery", "stock-water", "transfer"};

static void same_as_whole_run(kit *k, const pw_proof_options *options, const pw_jobs *jobs, const pw_job *job,
                              const pw_outcome *outcome)
{
    pw_run_options run = {.length_ms = job->fault.onset_ms + (int64_t)(options->horizon_s * 1e3),
                          .seed = options->seed,
                          .faults = {job->fault, job->second},
                          .fault_count = job->second.kind == PW_FAULT_NONE ? 1 : 2,
                          .reference_pa = jobs->reference_pa,
                          .release_after_ms = 3600000,
                          .stop_at_watch = true};
    const pw_daybook *book = kit_run(k, &run);
    assert_int_equal(book->ending, outcome->ending);
    assert_true(book->totals.balance_m3 == outcome->balance_m3);
    if (outcome->caught_by >= 0) {
        const pw_firing *firing = &book->firings[outcome->caught_by];
        assert_true(outcome->seconds == (double)(firing->t_ms - job->fault.onset_ms) / 1000.0);
        assert_true(outcome->run_s == firing->totals.run_s);
        assert_true(outcome->winding_max_c == firing->totals.winding_max_c);
    }
}

static void test_same(void **state)
{
    (void)state;
    for (size_t s = 0; s < sizeof names / sizeof names[0]; s++) {
        kit k;
        pw_proof_options options;
        pw_jobs *jobs = NULL;
        pw_proof_starts *starts = NULL;
        golden_load(&k, names[s]);
        golden_build(&k, names[s]);
        pw_proof_defaults(&options);
        options.healthy_years = 0;
        options.sweep_count = 4;
        options.horizon_s = 5.0 * 3600.0;
        options.onsets = 3;
        options.pairs = true;
        assert_int_equal(pw_proof_plan(&k.arena, k.plant, &options, &jobs, &k.problems), PW_OK);
        const int32_t every = 7; /* a share as a process has it */
        assert_int_equal(pw_proof_prepare(&k.arena, k.plant, &options, jobs, 2, every, &starts, &k.problems), PW_OK);
        for (int32_t i = 2; i < jobs->count; i += every) {
            const size_t mark = pw_arena_mark(&k.arena);
            pw_outcome with, alone;
            assert_int_equal(pw_proof_job(&k.arena, k.plant, &options, jobs, starts, i, &with, &k.problems), PW_OK);
            assert_int_equal(pw_proof_job(&k.arena, k.plant, &options, jobs, NULL, i, &alone, &k.problems), PW_OK);
            assert_memory_equal(&with, &alone, sizeof with);
            same_as_whole_run(&k, &options, jobs, &jobs->jobs[i], &with);
            pw_arena_back(&k.arena, mark);
        }
        kit_close(&k);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_same)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
