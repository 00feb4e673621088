/* How often the verdict on a log is right: logs of invented sites that are a few per cent off their sheets, with a
 * known fault or none, drawn by a household that the sheet does not know, taken by a logger with noise; and what the
 * verdict says. Sites and seeds of the test are others than those that the temperature was fitted on.
 *
 * usage: log_truth SITES LOGS [fit | table | check | save FIRST | join PART...]
 *   fit    the likelihood of the truth by temperature, on the sites for fitting
 *   table  what docs/diagnosis.md shows
 *   save   to standard output what `join` adds up, of the sites from FIRST on: to work on several cores
 *   check  fails below the least that is promised
 */
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "log_make.h"

enum { ROOM = 256 << 20, KINDS = PW_FAULT_COUNT + 1, BINS = 10, MOST_DAYS = 3 };
static const double temperatures[] = {0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.5, 0.6, 0.8, 1.0};
enum { TEMPERATURES = sizeof temperatures / sizeof temperatures[0] };

typedef struct tally {
    int logs, right, second, healthy, alarms, failed, with_fault, fault_right, group_right; /* counts first: join() */
    double healthy_days, log_score[TEMPERATURES];
    int bin_count[BINS], bin_right[BINS];
    double bin_sum[BINS];
    int matrix[KINDS][KINDS]; /* truth, verdict */
} tally;

/* A fault among those that the bank knows, or none in three of ten; its severity anywhere on its scale. */
static const pw_log_supposed *choose_truth(pw_random *random, const pw_log_bank *bank, double *severity)
{
    const pw_log_supposed *s = &bank->supposed[0];
    *severity = 1.0;
    if (pw_random_unit(random) >= 0.3) {
        s = &bank->supposed[1 + pw_random_u32(random) % (uint32_t)(bank->count - 1)];
        const double place = pw_random_unit(random) * (s->severity_count - 1);
        const int below = (int)place < s->severity_count - 1 ? (int)place : s->severity_count - 1;
        const int above = below + 1 < s->severity_count ? below + 1 : below;
        const double a = s->severity[below], b = s->severity[above], part = place - below;
        *severity = a > 0.0 && b > 0.0 ? a * pw_exp(part * pw_log(b / a)) : a + part * (b - a);
    }
    return s;
}

/* One log; false: it could not be simulated. */
static bool make_log(pw_arena *arena, const pw_site *site, const logger *how, const pw_log_supposed *truth,
                     double severity, pw_random *random, pw_record *record, double *days)
{
    const int64_t day_ms = 86400000;
    pw_problems problems = {0};
    pw_plant *plant = NULL;
    pw_sim *sim = NULL;
    pw_log_sampler sampler;
    const bool before = pw_random_unit(random) < 0.5;
    *days = 1.0 + (double)(pw_random_u32(random) % MOST_DAYS);
    const pw_sim_options options = {.seed = pw_random_u32(random), .release_after_ms = 3600000};
    if (pw_plant_build(arena, site, false, &plant, &problems) != PW_OK ||
        pw_sim_create(arena, plant, &options, &sim, &problems) != PW_OK) {
        return false;
    }
    pw_fault fault = {.kind = truth->fault, .severity = severity, .where = -1};
    int64_t begin_ms = day_ms;
    if (truth->fault != PW_FAULT_NONE) {
        const pw_fault_course course = pw_fault_course_of(&fault);
        const int64_t takes_ms = course.parts * course.part_ms;
        begin_ms += (takes_ms + day_ms - 1) / day_ms * day_ms;
        /* it is all there before the log begins, or comes about within its first day and a half */
        fault.onset_ms = before || *days < 2.0 || takes_ms > day_ms
                             ? 0
                             : begin_ms + (int64_t)(pw_random_unit(random) * 1.2 * 86400000.0);
        if (pw_sim_befall(sim, arena, &fault, &problems) != PW_OK) {
            return false;
        }
    }
    pw_tally *seen = pw_tally_new(arena, sim);
    if (seen == NULL) {
        return false;
    }
    pw_sim_attach(sim, &seen->observer);
    if (pw_sim_advance(sim, begin_ms, &problems) != PW_OK) {
        return false;
    }
    log_attach(sim, how, options.seed, record, &sampler);
    const bool good = seen->hunts || pw_sim_advance(sim, begin_ms + (int64_t)(*days * 86400000.0), &problems) == PW_OK;
    pw_log_end(record);
    return good && record->rows > 10;
}

static int kind_of(pw_fault_kind fault, bool more_use)
{
    return more_use ? PW_FAULT_COUNT : (int)fault;
}

static void count(tally *t, const pw_log_verdict *v, const pw_log_supposed *truth, double days)
{
    const int true_kind = kind_of(truth->fault, truth->more_use);
    const int told = kind_of(v->hypotheses[0].fault, v->hypotheses[0].more_use);
    const int next = kind_of(v->hypotheses[1].fault, v->hypotheses[1].more_use);
    const double p = v->hypotheses[0].probability;
    const int bin = p >= 1.0 ? BINS - 1 : (int)(p * BINS);
    bool twin = false;
    for (int i = 0; i < v->count; i++) {
        twin =
            twin || (v->hypotheses[i].twin && kind_of(v->hypotheses[i].fault, v->hypotheses[i].more_use) == true_kind);
    }
    t->logs++;
    t->right += told == true_kind;
    t->second += told == true_kind || next == true_kind;
    t->group_right += told == true_kind || twin;
    t->matrix[true_kind][told]++;
    t->bin_count[bin]++;
    t->bin_right[bin] += told == true_kind;
    t->bin_sum[bin] += p;
    if (true_kind == PW_FAULT_NONE) {
        t->healthy++;
        t->healthy_days += days;
        t->alarms += told != true_kind && p >= 0.5;
    } else {
        t->with_fault++;
        t->fault_right += told == true_kind;
    }
}

static void score_temperatures(tally *t, const pw_log_bank *bank, const pw_log_features *seen,
                               const pw_log_supposed *truth)
{
    static pw_log_verdict v;
    for (int i = 0; i < TEMPERATURES; i++) {
        memset(&v, 0, sizeof v);
        pw_log_weigh(bank, seen, temperatures[i], &v);
        for (int h = 0; h < v.count; h++) {
            if (v.hypotheses[h].fault == truth->fault && v.hypotheses[h].more_use == truth->more_use) {
                t->log_score[i] += pw_log(pw_max(v.hypotheses[h].probability, 1e-9));
            }
        }
    }
}

static void try_log(pw_arena *arena, uint64_t seed, const pw_log_bank *bank, const logger *how, pw_random *random,
                    pw_record *record, bool fit, tally *t)
{
    static char json[8192];
    static pw_log_verdict v;
    double severity, days, apart;
    pw_problems problems = {0};
    const pw_log_supposed *truth = choose_truth(random, bank, &severity);
    const double use = pw_exp(0.35 * pw_random_normal(random)) * (truth->more_use ? severity : 1.0);
    log_site(seed, 0.03, pw_random_u32(random), use, json, sizeof json);
    pw_site *site = read_site(arena, json, &problems);
    if (site == NULL || !make_log(arena, site, how, truth, severity, random, record, &days)) {
        t->failed++;
        return;
    }
    pw_log_features seen;
    pw_log_features_of(record, pw_log_present(record, &apart), record->block_count, &seen);
    memset(&v, 0, sizeof v);
    pw_log_weigh(bank, &seen, 0.0, &v);
    count(t, &v, truth, days);
    if (fit) {
        score_temperatures(t, bank, &seen, truth);
    }
}

static bool try_site(void *block, uint64_t seed, int logs, bool fit, tally *t)
{
    static char json[8192];
    pw_arena arena;
    pw_random random;
    logger how;
    pw_problems problems = {0};
    pw_log_bank *bank = NULL;
    pw_arena_init(&arena, block, ROOM);
    pw_random_seed(&random, seed, 9);
    choose_logger(&random, &how);
    log_site(seed, 0.0, 0, 1.0, json, sizeof json);
    pw_site *site = read_site(&arena, json, &problems);
    pw_record *record = PW_NEW(&arena, 1, pw_record);
    if (site == NULL || record == NULL) {
        return false;
    }
    pw_log_begin(record, how.has);
    pw_log_bank_options asks = {.step_s = how.step_s, .length_s = 86400.0, .told_by = record->told_by, .seed = seed};
    memcpy(asks.noise, how.noise, sizeof asks.noise);
    if (pw_log_bank_fill(&arena, site, &asks, &bank, &problems) != PW_OK) {
        t->failed++;
        return true;
    }
    for (int i = 0; i < logs; i++) {
        const size_t mark = pw_arena_mark(&arena);
        try_log(&arena, seed, bank, &how, &random, record, fit, t);
        pw_arena_back(&arena, mark);
    }
    return true;
}

static const char *name_of(int kind)
{
    return kind == PW_FAULT_COUNT ? "more use" : kind == PW_FAULT_NONE ? "nothing" : pw_fault_id((pw_fault_kind)kind);
}

static void print_table(const tally *t)
{
    printf("%d logs; right: %.1f %%, first or second: %.1f %%, right or named as not to be told from it: %.1f %%; of "
           "%d with a fault "
           "%.1f %%.\n",
           t->logs, 100.0 * t->right / t->logs, 100.0 * t->second / t->logs, 100.0 * t->group_right / t->logs,
           t->with_fault, 100.0 * t->fault_right / t->with_fault);
    printf("%d healthy logs of %.0f days: a fault was called, at 50 %% or more, in %d: %.1f a site-year.\n\n",
           t->healthy, t->healthy_days, t->alarms, t->alarms * 365.0 / t->healthy_days);
    printf("| truth | logs | right | taken for instead, most often |\n| --- | ---: | ---: | --- |\n");
    for (int k = 0; k < KINDS; k++) {
        int sum = 0;
        for (int j = 0; j < KINDS; j++) {
            sum += t->matrix[k][j];
        }
        if (sum == 0) {
            continue;
        }
        printf("| %s | %d | %.0f %% |", name_of(k), sum, 100.0 * t->matrix[k][k] / sum);
        int told[KINDS] = {0};
        for (int n = 0; n < 3; n++) {
            int best = -1;
            for (int j = 0; j < KINDS; j++) {
                best = j != k && !told[j] && t->matrix[k][j] > 0 && (best < 0 || t->matrix[k][j] > t->matrix[k][best])
                           ? j
                           : best;
            }
            if (best >= 0) {
                printf("%s %s %d", n > 0 ? "," : "", name_of(best), t->matrix[k][best]);
                told[best] = 1;
            }
        }
        printf(" |\n");
    }
    printf("\n| probability told | logs | mean told | were right |\n| --- | ---: | ---: | ---: |\n");
    for (int b = 0; b < BINS; b++) {
        if (t->bin_count[b] > 0) {
            printf("| %d to %d %% | %d | %.0f %% | %.0f %% |\n", 10 * b, 10 * b + 10, t->bin_count[b],
                   100.0 * t->bin_sum[b] / t->bin_count[b], 100.0 * t->bin_right[b] / t->bin_count[b]);
        }
    }
}

/* The least that is promised: well below what docs/diagnosis.md shows of many more logs. */
static int check(const tally *t)
{
    const double right = (double)t->right / t->logs, second = (double)t->second / t->logs;
    const double alarms = t->healthy > 0 ? (double)t->alarms / t->healthy : 0.0;
    printf("%d logs: right %.2f, first or second %.2f, false alarms in %.2f of the healthy ones\n", t->logs, right,
           second, alarms);
    return t->logs > 0 && right >= 0.3 && second >= 0.45 && alarms <= 0.1 ? 0 : 1;
}

/* Parts that were saved, added up: every member is a sum. */
static bool join(int count, char **names, tally *t)
{
    for (int i = 0; i < count; i++) {
        static tally part;
        FILE *file = fopen(names[i], "rb");
        const bool good = file != NULL && fread(&part, sizeof part, 1, file) == 1;
        if (file != NULL) {
            fclose(file);
        }
        if (!good) {
            fprintf(stderr, "%s: no part of a table\n", names[i]);
            return false;
        }
        int *to = &t->logs;
        const int *from = &part.logs;
        for (size_t k = 0; k < offsetof(tally, healthy_days) / sizeof(int); k++) {
            to[k] += from[k];
        }
        t->healthy_days += part.healthy_days;
        for (int b = 0; b < BINS; b++) {
            t->bin_count[b] += part.bin_count[b];
            t->bin_right[b] += part.bin_right[b];
            t->bin_sum[b] += part.bin_sum[b];
        }
        for (int k = 0; k < KINDS * KINDS; k++) {
            t->matrix[k / KINDS][k % KINDS] += part.matrix[k / KINDS][k % KINDS];
        }
    }
    return true;
}

int main(int argc, char **argv)
{
    static tally t;
    const int sites = argc > 1 ? atoi(argv[1]) : 2, logs = argc > 2 ? atoi(argv[2]) : 20;
    const char *what = argc > 3 ? argv[3] : "table";
    const bool fit = strcmp(what, "fit") == 0, saves = strcmp(what, "save") == 0;
    const uint64_t first = saves && argc > 4 ? (uint64_t)atoi(argv[4]) : 0;
    if (strcmp(what, "join") == 0) {
        if (!join(argc - 4, argv + 4, &t) || t.logs == 0) {
            return 2;
        }
        print_table(&t);
        return 0;
    }
    void *block = malloc(ROOM);
    for (int i = 0; block != NULL && i < sites; i++) {
        if (!try_site(block, (fit ? 900001u : 1u) + 17u * (first + (uint64_t)i), logs, fit, &t)) {
            return 2;
        }
    }
    free(block);
    if (t.logs == 0) {
        return 2;
    }
    for (int i = 0; i < TEMPERATURES && fit; i++) {
        printf("temperature %.2f: %.4f a log\n", temperatures[i], t.log_score[i] / t.logs);
    }
    if (strcmp(what, "check") == 0) {
        return check(&t);
    }
    if (saves) {
        return fwrite(&t, sizeof t, 1, stdout) == 1 ? 0 : 2;
    }
    print_table(&t);
    fprintf(stderr, "%d could not be simulated\n", t.failed);
    return 0;
}
