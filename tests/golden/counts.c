/* What a simulation takes, counted and not timed: rounds, steps, solutions of the network and Newton's steps in them,
 * for every site of examples/, healthy and with a fault. The counts are the same on every machine, and stand in
 * counts.txt beside this file: one that changes fails, and is taken over with a reason that is kept there:
 *
 *     PW_REWRITE=1 PW_REASON='why it takes more, or less' build/tests/golden/golden_counts
 */
#include "load.h"

#include "sim/observers.h"

enum { DAY_MS = 86400000, LINE = 200 };

static const char *const names[] = {"drip",    "flats",        "hill-tank",   "house",     "irrigation",
                                    "nursery", "solar-trough", "stock-water", "tap-stand", "transfer"};

typedef struct rounds {
    pw_observer observer;
    int64_t count;
} rounds;

static void count_round(pw_observer *self, pw_sim *sim, pw_at when)
{
    (void)sim;
    ((rounds *)(void *)self)->count += when == PW_AT_ROUND_END ? 1 : 0;
}

/* The first fault of a row of leaks that wastes water and lets the site go on: a tenth of what the pumps give. */
static void run_days(kit *k, const char *name, const char *how, double leak_part, double days, double tolerance,
                     char *line)
{
    const pw_sim_options options = {.seed = 1, .tolerance = tolerance};
    const size_t mark = pw_arena_mark(&k->arena);
    rounds seen = {.observer = {.at = count_round}};
    pw_sim *sim = NULL;
    assert_int_equal(pw_sim_create(&k->arena, k->plant, &options, &sim, &k->problems), PW_OK);
    if (leak_part > 0.0) {
        const pw_fault leak = {.kind = PW_FAULT_SLOW_LEAK,
                               .severity = leak_part * k->plant->full_m3s,
                               .where = -1,
                               .onset_ms = DAY_MS / 4};
        assert_int_equal(pw_sim_befall(sim, &k->arena, &leak, &k->problems), PW_OK);
    }
    pw_sim_attach(sim, &seen.observer);
    assert_int_equal(pw_sim_advance(sim, (int64_t)(days * DAY_MS), &k->problems), PW_OK);
    snprintf(line, LINE, "%-12s %-22s %8lld %8lld %9lld %9lld", name, how, (long long)seen.count,
             (long long)pw_sim_segments(sim), (long long)pw_sim_evaluations(sim), (long long)pw_sim_solves(sim));
    pw_arena_back(&k->arena, mark);
}

/* Both files line by line: says which differ. */
static int32_t differing(char *kept, char (*found)[LINE], int32_t count)
{
    int32_t wrong = 0, line = 0;
    for (char *next = strtok(kept, "\n"); next != NULL; next = strtok(NULL, "\n")) {
        if (next[0] == '#') {
            continue;
        }
        const char *now = line < count ? found[line] : "(no such line)";
        if (strcmp(next, now) != 0) {
            print_error("kept: %s\nnow:  %s\n", next, now);
            wrong++;
        }
        line++;
    }
    return wrong + (line < count ? count - line : 0);
}

static void rewrite(const char *path, const char *reason, char (*found)[LINE], int32_t count)
{
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    fprintf(file, "# What golden_counts counts. Last change: %s\n", reason);
    fprintf(file, "# site         run                      rounds    steps evaluations   solves\n");
    for (int32_t i = 0; i < count; i++) {
        fprintf(file, "%s\n", found[i]);
    }
    fclose(file);
}

static void test_counts(void **state)
{
    static char found[64][LINE];
    int32_t count = 0;
    (void)state;
    for (size_t n = 0; n < sizeof names / sizeof names[0]; n++) {
        kit k;
        golden_load(&k, names[n]);
        assert_int_equal(pw_plant_build(&k.arena, k.site, false, &k.plant, &k.problems), PW_OK);
        run_days(&k, names[n], "2 healthy days", 0.0, 2.0, 0.0, found[count++]);
        run_days(&k, names[n], "12 h, leak", 0.1, 0.5, 0.0, found[count++]);
        run_days(&k, names[n], "12 h, leak, 1e-6", 0.1, 0.5, 1e-6, found[count++]);
        run_days(&k, names[n], "12 h, leak, 1e-10", 0.1, 0.5, 1e-10, found[count++]);
        kit_close(&k);
    }
    const char *path = PW_SOURCE_DIR "/tests/golden/counts.txt", *why = "", *reason = getenv("PW_REASON");
    if (getenv("PW_REWRITE") != NULL) {
        if (reason == NULL || strlen(reason) < 10) {
            fail_msg("PW_REASON='...' says why the counts change");
        }
        rewrite(path, reason, found, count);
    }
    size_t length = 0;
    char *kept = pw_file_read(path, PW_MAX_INPUT, &length, &why);
    assert_non_null(kept);
    const int32_t wrong = differing(kept, found, count);
    free(kept);
    if (wrong > 0) {
        fail_msg("%d runs take another number of rounds, steps, evaluations or solves; is there a reason?", (int)wrong);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_counts)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
