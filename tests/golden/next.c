/* What a proof says to do next, on every site of examples/: sentences that the reader takes, nothing that the site does
 * not have or has already; and that a sentence proposed for a fault really sees it.
 */
#include "load.h"
#include "told_proof.h"

#include "study/prove_words.h"
#include "vocabulary.h"
#include "english.h"

/* The sentences in quotation marks. */
static int32_t quoted(const char *text, char out[][512], int32_t capacity)
{
    int32_t count = 0;
    for (const char *at = strchr(text, '"'); at != NULL; at = strchr(at + 1, '"')) {
        const char *end = strchr(at + 1, '"');
        assert_non_null(end);
        assert_true(count < capacity);
        snprintf(out[count], 512, "%.*s", (int)(end - at - 1), at + 1);
        count++;
        at = end;
    }
    return count;
}

/* A proposed watch, number `from` and up, that looks as one of the order does already. Limits of starts and of run time
 * may be stricter, and a warning may be made a lock out. */
static void has_none_like_it(const char *name, const pw_settings *settings, int32_t from, const char *next)
{
    pw_look is, other;
    for (int32_t i = from; strstr(next, "let it stop it") == NULL && i < pw_settings_count(settings); i++) {
        for (int32_t k = 0; pw_settings_is_watch(settings, i) && pw_settings_look(settings, i, k, &is); k++) {
            for (int32_t s = 0; s < from; s++) {
                for (int32_t n = 0; pw_settings_is_watch(settings, s) && pw_settings_look(settings, s, n, &other);
                     n++) {
                    if (is.kind <= PW_TERM_PHASES && is.kind == other.kind && is.above == other.above &&
                        is.at_rest == other.at_rest && is.signal == other.signal) {
                        fail_msg("%s looks so already: %s", name, next);
                    }
                }
            }
        }
    }
}

/* The site's order with the sentences proposed; the whole plant when wanted. */
static void takes(kit *k, const char *name, const char *next, pw_plant *with)
{
    static char words[8][512];
    static pw_problems before, after;
    const char *sentences[PW_MAX_SENTENCES];
    const int32_t count = k->site->sentence_count, more = quoted(next, words, 8);
    pw_settings *settings = NULL;
    for (int32_t i = 0; i < count; i++) {
        sentences[i] = k->site->sentences[i];
    }
    for (int32_t i = 0; i < more; i++) {
        sentences[count + i] = words[i];
        for (int32_t s = 0; s < count; s++) {
            pw_text has;
            pw_text_init(&has, &k->arena);
            pw_settings_put(k->plant->settings, s, &has);
            if (strcmp(has.data, words[i]) == 0) {
                fail_msg("%s has it already: %s", name, next);
            }
        }
    }
    memset(&before, 0, sizeof before);
    memset(&after, 0, sizeof after);
    assert_int_equal(pw_plant_read(&k->arena, k->plant, sentences, count, &settings, &before), PW_OK);
    const pw_status status = pw_plant_read(&k->arena, k->plant, sentences, count + more, &settings, &after);
    if (status != PW_OK || before.count != after.count) {
        fail_msg("%s, the reader does not take it: %s (%s)", name, next,
                 after.count > 0 ? english(&after.items[after.count - 1].hint) : "");
    }
    has_none_like_it(name, settings, count, next);
    if (with != NULL) {
        *with = *k->plant;
        with->settings = settings;
    }
}

/* A sensor in that tank, other than the one that fails, stands against another probe. */
static void fits_no_second_probe(const kit *k, const char *name, int32_t failing, const char *next)
{
    for (int32_t t = 0; t < k->site->tank_count; t++) {
        char words[128];
        snprintf(words, sizeof words, "Fit a probe in %s ", k->site->tanks[t].name);
        for (int32_t i = 0; strstr(next, words) != NULL && i < k->site->sensor_count; i++) {
            const pw_sensor *sensor = &k->site->sensors[i];
            const bool looks = sensor->kind == PW_SENSOR_LEVEL || sensor->kind == PW_SENSOR_PROBE;
            if (i != failing && looks && sensor->place == k->site->tanks[t].place) {
                fail_msg("%s has %s: %s", name, sensor->name, next);
            }
        }
    }
}

/* Outcomes of every sort, made up: what they cost, whether and by what they were seen. */
static pw_outcome made_up(const pw_plant *plant, int32_t mix)
{
    pw_outcome out;
    memset(&out, 0, sizeof out);
    out.seconds = 14.0 * 86400.0;
    out.caught_by = -1;
    out.wanted_m3 = 10.0;
    out.missing_m3 = mix & 1 ? 5.0 : 0.0;
    out.lost_m3 = mix & 2 ? 5.0 : 0.0;
    out.dry_s = mix & 4 ? 2000.0 : 0.0;
    out.starts = mix & 8 ? 500.0 : 0.0;
    out.run_s = mix & 8 ? 1e5 : 0.0;
    out.longest_run_s = mix & 8 ? 7e4 : 0.0;
    out.most_starts_in_hour = mix & 8 ? 40.0 : 0.0;
    out.deadhead_s = mix & 16 ? 1e4 : 0.0;
    out.winding_max_c = mix & 16 ? 200.0 : 30.0;
    out.pressure_max_pa = mix & 16 ? 900e3 : 0.0;
    out.pressure_top_pa = out.pressure_max_pa;
    if (mix & 32) { /* by the first or the last watch */
        for (int32_t i = 0; i < pw_settings_count(plant->settings); i++) {
            if (pw_settings_is_watch(plant->settings, i) && (out.caught_by < 0 || (mix & 64))) {
                out.caught_by = i;
            }
        }
        out.stopped = pw_settings_kind(plant->settings, out.caught_by) == PW_SENTENCE_LOCK;
        out.seconds = 600.0;
    }
    return out;
}

static void never_says_what_is_wrong_here(void **state)
{
    (void)state;
    int32_t said = 0, proposed = 0;
    for (int32_t s = 0; vocabulary_sites[s] != NULL; s++) {
        const char *name = vocabulary_sites[s];
        kit k;
        golden_load(&k, name);
        golden_build(&k, name);
        const pw_usual usual = {.years = 3,
                                .longest_run_s = 3000.0,
                                .most_starts_in_hour = 3.0,
                                .pressure_max_pa = k.plant->cut_out_pa > 0.0 ? k.plant->cut_out_pa : 450e3,
                                .winding_max_c = 60.0,
                                .starts_per_day = 12.0,
                                .reference_pa = 300e3};
        const size_t mark = pw_arena_mark(&k.arena);
        for (int32_t kind = PW_FAULT_NONE + 1; kind < PW_FAULT_COUNT; kind++) {
            int32_t wheres[PW_MAX_PLACES];
            const int32_t places = pw_fault_wheres(k.site, (pw_fault_kind)kind, wheres, PW_MAX_PLACES);
            for (int32_t i = 0; i < places * 128; i++) {
                const pw_job job = {.kind = PW_JOB_FAULT,
                                    .fault = {.kind = (pw_fault_kind)kind, .severity = 0.5, .where = wheres[i / 128]}};
                const pw_outcome outcome = made_up(k.plant, i % 128);
                const char *next = told_next(&k.arena, k.plant, &usual, &job, &outcome);
                assert_non_null(next);
                vocabulary_check(&k, name, next);
                takes(&k, name, next, NULL);
                fits_no_second_probe(&k, name, wheres[i / 128], next);
                assert_null(strstr(next, "  "));
                said += next[0] != '\0';
                proposed += strchr(next, '"') != NULL;
                pw_arena_back(&k.arena, mark);
            }
        }
        kit_close(&k);
    }
    assert_true(said > 10000 && proposed > 1000);
}

/* From one healthy year and one trial of the site. */
typedef struct bench {
    kit k;
    pw_proof_options options;
    pw_jobs *jobs;
    pw_usual usual;
    bool seen_briefly; /* as the site is */
} bench;

static void bench_open(bench *b, const char *site)
{
    static pw_outcome outcomes[1000];
    golden_load(&b->k, site);
    golden_build(&b->k, site);
    pw_proof_defaults(&b->options);
    b->options.healthy_years = 1;
    b->options.sweep_count = 0;
    assert_int_equal(pw_proof_plan(&b->k.arena, b->k.plant, &b->options, &b->jobs, NULL), PW_OK);
    assert_true(b->jobs->count <= 1000);
    memset(outcomes, 0, sizeof outcomes);
    for (int32_t i = 0; i < b->jobs->count; i++) {
        if (b->jobs->jobs[i].kind == PW_JOB_HEALTHY) {
            assert_int_equal(pw_proof_job(&b->k.arena, b->k.plant, &b->options, b->jobs, NULL, i, &outcomes[i], NULL),
                             PW_OK);
        }
    }
    const pw_proof proof = {.plant = b->k.plant, .jobs = b->jobs, .outcomes = outcomes};
    b->usual = pw_proof_usual(&proof);
    assert_int_equal(b->usual.years, 1);
    b->seen_briefly = b->usual.seen_briefly;
    b->usual.seen_briefly = false; /* what longer use of the same kind would propose */
    b->usual.random = true;
}

/* A proposal from a trial that went unseen, or was seen too late, is tried: the same trial is then stopped or told of,
 * within the limits of the site where it is a lock out. */
static void what_is_proposed_sees_it(void **state)
{
    (void)state;
    static const struct {
        const char *site, *fault, *says;
        double severity;
    } cases[] = {
        {"house", "stuck sensor", "Add \"warn when stopped for 24 h\"", 1.0},
        {"house", "contactor welded", "Add \"warn when stopped and current above", 1.0},
        {"house", "high precharge", "Add \"lock out when starts reach", 150e3},
        {"house", "blocked impeller", "Add \"warn when running for", 0.15},
        {"house", "falling water level", "Add \"lock out when current below", 30.0},
        {"nursery", "contactor not closing", "Add \"lock out when current below", 0.5},
        {"nursery", "dry source", "Add \"lock out when current below", 0.0},
        {"nursery", "sagging generator", "Add \"lock out when current above", 0.4},
        {"nursery", "burst", "Shorten sentence 7: \"lock out when running for", 43.9 / 60000.0},
        {"tap-stand", "stuck sensor", "Shorten sentence 10: \"lock out when running for", 1.0},
        {"hill-tank", "dry source", "Add \"lock out when current below", 0.0},
        {"hill-tank", "falling water level", "Add \"lock out when current below", 12.0},
    };
    static bench b;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        if (i == 0 || strcmp(cases[i].site, cases[i - 1].site) != 0) {
            if (i > 0) {
                kit_close(&b.k);
            }
            bench_open(&b, cases[i].site);
        }
        const size_t mark = pw_arena_mark(&b.k.arena);
        pw_job job = {.kind = PW_JOB_FAULT,
                      .fault = {.kind = (pw_fault_kind)pw_fault_find(cases[i].fault),
                                .severity = cases[i].severity,
                                .where = -1,
                                .onset_ms = b.options.onset_ms}};
        const pw_jobs one = {
            .count = 1, .jobs = &job, .pump_m3s = b.jobs->pump_m3s, .reference_pa = b.jobs->reference_pa};
        pw_outcome outcome;
        assert_int_equal(pw_proof_job(&b.k.arena, b.k.plant, &b.options, &one, NULL, 0, &outcome, NULL), PW_OK);
        const pw_finding before = pw_outcome_finding(b.k.plant, &job, &outcome);
        const char *next = told_next(&b.k.arena, b.k.plant, &b.usual, &job, &outcome);
        if (strstr(next, cases[i].says) == NULL) {
            fail_msg("%s, %s (%s): %s", cases[i].site, cases[i].fault, pw_finding_id(before), next);
        }
        pw_usual brief = b.usual;
        brief.seen_briefly = b.seen_briefly;
        const bool of_use =
            strstr(cases[i].says, "starts reach") != NULL || strstr(cases[i].says, "running for") != NULL;
        const char *briefly = told_next(&b.k.arena, b.k.plant, &brief, &job, &outcome);
        assert_true((strstr(briefly, cases[i].says) == NULL) == (of_use && b.seen_briefly)); /* two days bound no use */
        pw_plant with;
        takes(&b.k, cases[i].site, next, &with);
        assert_int_equal(pw_proof_job(&b.k.arena, &with, &b.options, &one, NULL, 0, &outcome, NULL), PW_OK);
        const pw_finding after = pw_outcome_finding(&with, &job, &outcome);
        const bool better = after == PW_FINDING_STOPPED || (after == PW_FINDING_TOLD && before == PW_FINDING_UNSEEN);
        if (!better || before == PW_FINDING_STOPPED) {
            fail_msg("%s, %s: %s, with it %s (%g s dry, by %d): %s", cases[i].site, cases[i].fault,
                     pw_finding_id(before), pw_finding_id(after), outcome.dry_s, outcome.caught_by, next);
        }
        for (int32_t h = 0; h < b.jobs->count; h++) { /* and it leaves a healthy year alone */
            if (b.jobs->jobs[h].kind == PW_JOB_HEALTHY) {
                assert_int_equal(pw_proof_job(&b.k.arena, &with, &b.options, b.jobs, NULL, h, &outcome, NULL), PW_OK);
                if (outcome.false_stops != 0) {
                    fail_msg("%s: %d false stops: %s", cases[i].site, outcome.false_stops, next);
                }
            }
        }
        pw_arena_back(&b.k.arena, mark);
    }
    kit_close(&b.k);
}

/* Words that follow what happened, of trials made up. */
static void words_follow_the_outcome(void **state)
{
    (void)state;
    static const struct {
        const char *site, *fault;
        double severity;
        int32_t caught_by; /* sentence from 1; 0 none */
        double dry_s, lost_m3, missing_m3, deadhead_s;
        const char *says, *not ;
    } cases[] = {
        {"irrigation", "dry source", 0.1, 9, 120.0, 0.0, 0.0, 0.0,
         "Sentence 9 sees it, but the pump stands only 1 min dry", "Add"},
        {"tap-stand", "stuck sensor", 1.0, 0, 0.0, 20.0, 0.0, 0.0, "Fit a probe in tank a little below its overflow",
         "gauge"},
        {"tap-stand", "dry source", 0.1, 11, 0.0, 0.0, 1.0, 0.0, "A person must see to it", "lock out"},
        {"tap-stand", "worn impeller", 0.6, 11, 0.0, 0.0, 1.0, 9000.0, "time how fast the pump fills the tank",
         "lock out when level"},
        {"tap-stand", "supply lost", 1e5, 0, 0.0, 0.0, 5.0, 0.0, "more water in the tank", "generator"},
        {"tap-stand", "sagging generator", 0.4, 0, 0.0, 0.0, 5.0, 0.0, "A stronger supply", "generator"},
        {"tap-stand", "contactor welded", 1.0, 0, 0.0, 5.0, 0.0, 0.0, "fit a second one in series, and", "relief"},
        {"transfer", "float valve stuck open", 1.0, 20, 0.0, 50.0, 0.0, 0.0, "Look at the overflow of ground tank",
         "Fit"},
        {"stock-water", "float valve passing", 0.1, 0, 0.0, 50.0, 0.0, 0.0, "Fit a probe in creek trough", "lock out"},
        {"hill-tank", "pressure sensor reads high", 1e5, 0, 0.0, 0.0, 5.0, 0.0, "Fit a probe in tank well below",
         "overflow"},
        {"irrigation", "slow leak", 1e-5, 0, 0.0, 5.0, 0.0, 0.0, "the pressure holds when the line is tight", "cut-in"},
        {"house", "slow leak", 1e-5, 0, 0.0, 5.0, 0.0, 0.0, "time the fall from cut-out to cut-in", "tank"},
        {"flats", "dry source", 0.1, 24, 0.0, 0.0, 5.0, 0.0, "Read the pressure of the main", "probe"},
        {"flats", "pressure sensor reads low", 1e5, 24, 0.0, 5.0, 0.0, 0.0,
         "let it stop it, \"lock out when pressure at manifold below 330 kPa for 5 min\"", "relay"},
        {"irrigation", "burst", 1e-3, 0, 0.0, 5.0, 0.0, 0.0, "Walk the lines", "Add"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        kit k;
        golden_load(&k, cases[i].site);
        golden_build(&k, cases[i].site);
        const pw_job job = {.kind = PW_JOB_FAULT,
                            .fault = {.kind = (pw_fault_kind)pw_fault_find(cases[i].fault),
                                      .severity = cases[i].severity,
                                      .where = -1}};
        pw_outcome outcome = made_up(k.plant, 0);
        outcome.caught_by = cases[i].caught_by - 1;
        outcome.stopped =
            cases[i].caught_by > 0 && pw_settings_kind(k.plant->settings, outcome.caught_by) == PW_SENTENCE_LOCK;
        outcome.dry_s = cases[i].dry_s;
        outcome.lost_m3 = cases[i].lost_m3;
        outcome.missing_m3 = cases[i].missing_m3;
        outcome.deadhead_s = cases[i].deadhead_s;
        outcome.starts = 30.0;
        outcome.run_s = 3600.0;
        const char *next = told_next(&k.arena, k.plant, NULL, &job, &outcome);
        if (strstr(next, cases[i].says) == NULL || strstr(next, cases[i].not ) != NULL) {
            fail_msg("%s, %s: %s", cases[i].site, cases[i].fault, next);
        }
        kit_close(&k);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(never_says_what_is_wrong_here),
        cmocka_unit_test(what_is_proposed_sees_it),
        cmocka_unit_test(words_follow_the_outcome),
    };
    return cmocka_run_group_tests_name("golden: next", tests, NULL, NULL);
}
