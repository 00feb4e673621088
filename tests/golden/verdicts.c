/* Verdicts that the people of a site would accept: whoever stood before a dry tap or trough had harm, and whoever
 * noticed nothing had none. On the sites of examples/, each fault for the two weeks that a proof gives it.
 */
#include "study/prove.h"
#include "study/prove_words.h"
#include "load.h"
#include "told_proof.h"

enum { ONSET_MS = 34 * 3600000 };

typedef struct verdict {
    const char *site;
    pw_fault_kind kind;
    double severity;
    bool harm;             /* when no watch sees it: never seen, not "no harm" */
    double missing_from_l; /* users miss at least this much of what they want */
} verdict;

static const verdict verdicts[] = {
    /* two days without power: longer than every tank and vessel of these sites lasts */
    {"house", PW_FAULT_SUPPLY_LOST, 172800.0, true, 1000.0},
    {"flats", PW_FAULT_SUPPLY_LOST, 172800.0, true, 1000.0},
    {"tap-stand", PW_FAULT_SUPPLY_LOST, 172800.0, true, 1000.0},
    {"stock-water", PW_FAULT_SUPPLY_LOST, 172800.0, true, 1000.0},
    {"irrigation", PW_FAULT_SUPPLY_LOST, 172800.0, true, 1000.0},
    {"nursery", PW_FAULT_SUPPLY_LOST, 172800.0, true, 1000.0},
    /* a blink of the supply: the vessel or the tank covers it */
    {"house", PW_FAULT_SUPPLY_LOST, 1.0, false, 0.0},
    {"nursery", PW_FAULT_SUPPLY_LOST, 1.0, false, 0.0},
    {"stock-water", PW_FAULT_SUPPLY_LOST, 3600.0, false, 0.0},
    /* a float valve that no longer opens: the trough or the tank behind it runs empty */
    {"stock-water", PW_FAULT_FLOAT_SHUT, 0.0, true, 10000.0},
    {"hill-tank", PW_FAULT_FLOAT_SHUT, 0.0, true, 10000.0},
    {"transfer", PW_FAULT_FLOAT_SHUT, 0.0, true, 10000.0},
    {"nursery", PW_FAULT_FLOAT_SHUT, 0.0, true, 100.0},
    /* one that still opens by a fifth fills slowly, and nobody goes without */
    {"stock-water", PW_FAULT_FLOAT_SHUT, 0.2, false, 0.0},
    {"nursery", PW_FAULT_FLOAT_SHUT, 0.2, false, 0.0},
    /* a valve left shut behind the pump */
    {"hill-tank", PW_FAULT_VALVE_CLOSED, 0.0, true, 1000.0},
    {"tap-stand", PW_FAULT_VALVE_CLOSED, 0.0, true, 1000.0},
};

static void judge(kit *k, const verdict *v)
{
    pw_job job = {.kind = PW_JOB_FAULT, .fault = {v->kind, v->severity, -1, ONSET_MS}};
    pw_jobs jobs = {1, &job, 1e-3, 0.0};
    pw_proof_options options;
    pw_outcome outcome;
    const size_t mark = pw_arena_mark(&k->arena);
    pw_proof_defaults(&options);
    options.onset_ms = ONSET_MS;
    assert_int_equal(pw_proof_job(&k->arena, k->plant, &options, &jobs, NULL, 0, &outcome, &k->problems), PW_OK);
    const pw_finding finding = pw_outcome_finding(k->plant, &job, &outcome);
    const char *words = told_fact(&k->arena, pw_outcome_fact(&k->arena, k->plant, &job, &outcome));
    print_message("%-12s %-18s %s\n", v->site, pw_finding_id(finding), words);
    assert_true(outcome.missing_m3 >= 0.0);
    assert_true(outcome.missing_m3 <= outcome.wanted_m3);
    if (outcome.caught_by < 0) {
        assert_true(1e3 * outcome.missing_m3 >= v->missing_from_l);
        assert_int_equal(finding, v->harm ? PW_FINDING_UNSEEN : PW_FINDING_HARMLESS);
        assert_true((strstr(words, "that users wanted") != NULL) == v->harm);
    } else {
        assert_true(finding != PW_FINDING_HARMLESS);
    }
    pw_arena_back(&k->arena, mark);
}

static void users_who_miss_water_had_harm(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof verdicts / sizeof verdicts[0]; i++) {
        kit k;
        golden_load(&k, verdicts[i].site);
        golden_build(&k, verdicts[i].site);
        judge(&k, &verdicts[i]);
        kit_close(&k);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(users_who_miss_water_had_harm)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
