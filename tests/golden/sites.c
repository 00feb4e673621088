/* Every site of examples/: it reads without a warning, says that it is invented, runs weeks in health without a lock
 * out or a warning and without a fault of the site itself, and its water balances. Then the table of all sites against
 * all faults, which stands in docs/examples.md: with PW_REWRITE=1 in the environment it is written anew.
 */
#include <math.h>

#include "load.h"
#include "walked.h"

#define DOCUMENT PW_SOURCE_DIR "/docs/examples.md"

static const char *const names[] = {"house",       "nursery",   "hill-tank", "irrigation",
                                    "stock-water", "tap-stand", "flats",     "transfer"};
enum { SITES = sizeof names / sizeof names[0], DAY_MS = 86400000, ONSET_MS = 34 * 3600000, MOST_SEVERITIES = 16 };

static kit sites[SITES];

static int load_all(void **state)
{
    (void)state;
    for (int32_t s = 0; s < SITES; s++) {
        golden_load(&sites[s], names[s]);
        golden_build(&sites[s], names[s]);
    }
    return 0;
}

static int close_all(void **state)
{
    (void)state;
    for (int32_t s = 0; s < SITES; s++) {
        kit_close(&sites[s]);
    }
    return 0;
}

/* ---- health ---- */

static void healthy_week(kit *k, const char *name, uint64_t seed)
{
    pw_run_options options = {.length_ms = 7 * (int64_t)DAY_MS, .seed = seed};
    const size_t mark = pw_arena_mark(&k->arena);
    const pw_daybook *book = kit_run(k, &options);
    const pw_totals *t = &book->totals;
    print_message(
        "%-12s seed %d: %5.1f m3 pumped, %4.0f %% of what was wanted, %4d starts (most %2d in 1 h), %5.1f h run, "
        "%5.1f kWh, balance %8.1e m3\n",
        name, (int)seed, t->pumped_m3, 100.0 * t->delivered_m3 / t->wanted_m3, (int)t->starts,
        (int)t->most_starts_in_hour, t->run_s / 3600.0, t->energy_j / 3.6e6, t->balance_m3);
    assert_int_equal(book->ending, PW_END_TIME);
    assert_int_equal(book->lock_count, 0);
    for (int32_t i = 0; i < PW_MAX_SENTENCES; i++) {
        assert_int_equal(book->fired[i], 0);
    }
    assert_true(fabs(t->balance_m3) < 1e-9);
    assert_true(t->starts > 5);
    assert_true(t->delivered_m3 > 0.98 * t->wanted_m3);
    assert_true(t->dry_s == 0.0);
    assert_true(t->deadhead_s <= 0.01 * t->run_s);
    assert_true(t->spilled_m3 == 0.0);
    assert_true(t->most_starts_in_hour <= k->site->limits.starts_per_hour.v);
    assert_true(t->pressure_max_pa < k->site->limits.highest_pa.v);
    for (int32_t p = 0; p < k->site->pump_count; p++) {
        assert_true(t->winding_max_c < k->site->pumps[p].motor.winding_limit_c.v - 30.0);
    }
    pw_arena_back(&k->arena, mark);
}

static void every_site_runs_weeks_in_health(void **state)
{
    (void)state;
    for (int32_t s = 0; s < SITES; s++) {
        for (uint64_t seed = 1; seed <= (WALKED ? 1 : 3); seed++) {
            healthy_week(&sites[s], names[s], seed);
        }
    }
}

/* ---- the table ---- */

/* One letter for what a watch looks at; capital: it locks out. A state before "and" is only its circumstance. */
static char letter_of(const pw_settings *settings, int32_t sentence)
{
    static const struct {
        const char *word;
        char letter;
    } looks[] = {{"pressure", 'p'}, {"no flow", 'f'}, {"flow", 'f'},   {"level", 'l'},   {"probe", 'l'},
                 {"current", 'c'},  {"winding", 'h'}, {"supply", 'v'}, {"phase", 'v'},   {"starts", 's'},
                 {"running", 't'},  {"stopped", 't'}, {"locked", 'k'}, {"contact", 'k'}, {"time", 't'}};
    static uint8_t block[8192];
    pw_arena arena;
    pw_text words;
    pw_arena_init(&arena, block, sizeof block);
    pw_text_init(&words, &arena);
    pw_settings_put(settings, sentence, &words);
    assert_false(words.failed);
    const char *at = strstr(words.data, " when ");
    assert_non_null(at);
    at += strlen(" when ");
    at += strncmp(at, "running and ", 12) == 0 || strncmp(at, "stopped and ", 12) == 0 ? 12 : 0;
    for (size_t i = 0; i < sizeof looks / sizeof looks[0]; i++) {
        if (strncmp(at, looks[i].word, strlen(looks[i].word)) == 0) {
            return pw_settings_kind(settings, sentence) == PW_SENTENCE_LOCK ? (char)(looks[i].letter - 'a' + 'A')
                                                                            : looks[i].letter;
        }
    }
    fail_msg("no letter for \"%s\"", words.data);
    return '?';
}

static double largest_flow(const pw_site *site)
{
    double largest = 0.0;
    for (int32_t p = 0; p < site->pump_count; p++) {
        const pw_pump *pump = &site->pumps[p];
        largest = fmax(largest, pump->curve[pump->point_count - 1].flow_m3s.v * pump->speed.v);
    }
    return largest;
}

/* First watch that fires within three days; '.' none, '!' the pump hunts. */
static char outcome_of(kit *k, pw_fault_kind kind, double severity)
{
    pw_run_options options = {.length_ms = ONSET_MS + (WALKED ? DAY_MS / 4 : 3 * (int64_t)DAY_MS),
                              .seed = 1,
                              .fault_count = 1,
                              .stop_at_watch = true,
                              .faults = {{.kind = kind, .severity = severity, .where = -1, .onset_ms = ONSET_MS}}};
    const size_t mark = pw_arena_mark(&k->arena);
    const pw_daybook *book = kit_run(k, &options);
    char letter = '.';
    for (int32_t i = 0; i < pw_settings_count(k->plant->settings) && book->ending == PW_END_WATCH; i++) {
        if (book->firings[i].t_ms != book->length_ms) {
            continue;
        }
        /* of several at that moment a lock out, as in a proof: another may only tell of it */
        const char one = letter_of(k->plant->settings, i);
        letter = letter == '.' || (letter >= 'a' && one <= 'Z') ? one : letter;
    }
    letter = book->ending == PW_END_HUNTING ? '!' : letter;
    assert_true(fabs(book->totals.balance_m3) < 1e-8);
    pw_arena_back(&k->arena, mark);
    return letter;
}

static void outcomes_of(kit *k, pw_fault_kind kind, char out[MOST_SEVERITIES + 1])
{
    double severities[MOST_SEVERITIES];
    out[0] = 0;
    if (!pw_fault_possible(k->site, kind)) {
        return;
    }
    int32_t count = 1;
    severities[0] = 0.0;
    if (pw_fault_dimension(kind) != PW_DIM_NONE) {
        count = pw_fault_severities(k->site, kind, largest_flow(k->site), severities, MOST_SEVERITIES);
    }
    for (int32_t i = WALKED ? count - 1 : 0; i < count; i++) { /* walked: the worst alone */
        const size_t told = strlen(out);
        out[told] = outcome_of(k, kind, severities[i]);
        out[told + 1] = 0;
    }
}

static void put_table(char *out, size_t size)
{
    size_t used = (size_t)snprintf(out, size, "| fault |");
    for (int32_t s = 0; s < SITES; s++) {
        used += (size_t)snprintf(out + used, size - used, " %s |", names[s]);
    }
    used += (size_t)snprintf(out + used, size - used, "\n| --- |");
    for (int32_t s = 0; s < SITES; s++) {
        used += (size_t)snprintf(out + used, size - used, " --- |");
    }
    used += (size_t)snprintf(out + used, size - used, "\n");
    for (int32_t kind = PW_FAULT_NONE + 1; kind < PW_FAULT_COUNT; kind++) {
        used += (size_t)snprintf(out + used, size - used, "| %s |", pw_fault_id((pw_fault_kind)kind));
        for (int32_t s = 0; s < SITES; s++) {
            char cell[MOST_SEVERITIES + 1];
            outcomes_of(&sites[s], (pw_fault_kind)kind, cell);
            used += (size_t)snprintf(out + used, size - used, cell[0] ? " `%s` |" : " %s |", cell);
        }
        used += (size_t)snprintf(out + used, size - used, "\n");
        assert_true(used < size);
    }
}

static void the_table_of_sites_and_faults(void **state)
{
    (void)state;
    static char table[64 << 10];
    put_table(table, sizeof table);
    print_message("%s", table);
    if (WALKED) {
        return; /* a part of it */
    }
    size_t length = 0;
    const char *why = "";
    static const char begin[] = "<!-- table of sites and faults -->\n", end[] = "<!-- end of the table -->";
    char *document = pw_file_read(DOCUMENT, 1 << 20, &length, &why);
    assert_non_null(document);
    char *from = strstr(document, begin);
    assert_non_null(from);
    from += strlen(begin);
    char *to = strstr(from, end);
    assert_non_null(to);
    const bool same = (size_t)(to - from) == strlen(table) && memcmp(from, table, strlen(table)) == 0;
    if (!same && getenv("PW_REWRITE") != NULL) {
        const size_t size = length + strlen(table) + 1;
        char *fresh = malloc(size);
        assert_non_null(fresh);
        snprintf(fresh, size, "%.*s%s%s", (int)(from - document), document, table, to);
        assert_true(pw_file_write(DOCUMENT, fresh, strlen(fresh), &why));
        free(fresh);
    } else if (!same) {
        fail_msg("the table of docs/examples.md is not what the program finds; run this test with PW_REWRITE=1");
    }
    free(document);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_site_runs_weeks_in_health),
        cmocka_unit_test(the_table_of_sites_and_faults),
    };
    return cmocka_run_group_tests_name("golden: the sites of examples", tests, load_all, close_all);
}
