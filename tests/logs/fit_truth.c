/* How often the intervals of a fit hold the truth: logs of invented sites whose pump, precharge, use and leak differ
 * from their sheets by known amounts, the rest by a few per cent, and what the fit says of them.
 *
 * usage: fit_truth SITES [FIRST] [check | table]
 *   check  fails below the least that is promised
 */
#include <stdlib.h>

#include "log_make.h"
#include "study/fit.h"
#include "study/fit_inside.h"

enum { ROOM = 256 << 20, UNKNOWNS = 5 };

typedef struct tally {
    int fits, failed;
    int told[UNKNOWNS], held[UNKNOWNS], asked[UNKNOWNS];
    double square[UNKNOWNS], width[UNKNOWNS]; /* of the logarithm, of those told */
} tally;

/* Of each unknown: as its usual spread says, but a leak in half of the sites only. */
static void choose_truth(pw_random *random, const pw_fit *list, double *x)
{
    for (int i = 0; i < list->unknown_count; i++) {
        const pw_fit_unknown *u = &list->unknowns[i];
        x[i] = u->usual * 0.8 * pw_random_normal(random);
        if (u->leak) {
            x[i] = pw_random_unit(random) < 0.5 ? 0.0 : 0.5 + 3.0 * pw_random_unit(random);
        }
    }
}

static pw_sim *real_site(pw_arena *arena, const char *json, const pw_fit *list, const double *x, double full_m3s,
                         uint64_t seed, double *leak_m3s)
{
    pw_problems *problems = PW_NEW(arena, 1, pw_problems);
    pw_param_change changes[PW_FIT_VALUES];
    pw_site *site = read_site(arena, json, problems), *changed = NULL;
    pw_plant *plant = NULL;
    pw_sim *sim = NULL;
    int count = 0;
    *leak_m3s = 0.0;
    for (int i = 0; site != NULL && i < list->unknown_count; i++) {
        const pw_fit_unknown *u = &list->unknowns[i];
        *leak_m3s = u->leak ? PW_FIT_LEAK_STEP * full_m3s * (pw_exp(x[i]) - 1.0) : *leak_m3s;
        for (int k = u->from; k < u->from + u->count; k++) {
            const pw_param *param = &list->values[k].param;
            changes[count].param = param;
            changes[count].si =
                pw_clamp(pw_param_get(site, param) * pw_exp(list->values[k].power * x[i]), param->low, param->high);
            count++;
        }
    }
    const pw_sim_options options = {.seed = seed, .release_after_ms = 3600000};
    if (site == NULL || pw_site_change(arena, site, changes, count, "site", &changed, problems) != PW_OK ||
        pw_plant_build(arena, changed, false, &plant, problems) != PW_OK ||
        pw_sim_create(arena, plant, &options, &sim, problems) != PW_OK) {
        return NULL;
    }
    const pw_fault fault = {.kind = PW_FAULT_SLOW_LEAK, .severity = *leak_m3s, .where = -1};
    if (*leak_m3s > 0.0 && pw_sim_befall(sim, arena, &fault, problems) != PW_OK) {
        return NULL;
    }
    return pw_sim_advance(sim, 86400000, problems) == PW_OK ? sim : NULL;
}

static void count(tally *t, const pw_fit *fit, const double *x, double leak_m3s)
{
    t->fits++;
    for (int i = 0; i < fit->unknown_count; i++) {
        const pw_fit_unknown *u = &fit->unknowns[i];
        const double truth = u->leak ? leak_m3s : pw_exp(x[i]);
        t->asked[i]++;
        if (u->told) {
            t->told[i]++;
            t->held[i] += u->factor.low <= truth && truth <= u->factor.high;
            t->square[i] += (u->x - x[i]) * (u->x - x[i]);
            t->width[i] += u->deviation;
        }
    }
}

static void try_site(void *block, uint64_t seed, tally *t)
{
    static char sheet[8192], real[8192];
    pw_arena arena;
    pw_random random;
    logger how;
    pw_arena_init(&arena, block, ROOM);
    pw_random_seed(&random, seed, 31);
    choose_logger(&random, &how);
    log_site(seed, 0.0, 0, 1.0, sheet, sizeof sheet);
    log_site(seed, 0.02, pw_random_u32(&random), 1.0, real, sizeof real);
    pw_problems *problems = PW_NEW(&arena, 1, pw_problems);
    const pw_fit_options options = {.seed = seed};
    pw_fit *list = PW_NEW(&arena, 1, pw_fit), *fit = NULL;
    pw_site *site = read_site(&arena, sheet, problems);
    pw_record *record = PW_NEW(&arena, 1, pw_record);
    pw_plant *plant = NULL;
    double x[PW_FIT_UNKNOWNS], leak_m3s;
    pw_log_sampler sampler;
    if (site == NULL || pw_fit_list(&arena, site, &options, list, problems) != PW_OK ||
        pw_plant_build(&arena, site, false, &plant, problems) != PW_OK) {
        t->failed++;
        return;
    }
    choose_truth(&random, list, x);
    pw_sim *sim = real_site(&arena, real, list, x, plant->full_m3s, pw_random_u32(&random), &leak_m3s);
    if (sim == NULL) {
        t->failed++;
        return;
    }
    log_attach(sim, &how, seed, record, &sampler);
    const double days = 2.0 + 5.0 * pw_random_unit(&random);
    const pw_status status = pw_sim_advance(sim, 86400000 + (int64_t)(days * 86400000.0), problems);
    pw_log_end(record);
    if (status != PW_OK || pw_fit_log(&arena, site, record, &options, &fit, problems) != PW_OK) {
        t->failed++;
        return;
    }
    count(t, fit, x, leak_m3s);
}

static void print_table(const tally *t)
{
    static const char *const names[] = {"pump's head", "roughness", "precharge", "demand", "leak"};
    printf("%d fits.\n\n| unknown | told | interval held the truth | off, of those told | interval, half |\n"
           "| --- | ---: | ---: | ---: | ---: |\n",
           t->fits);
    for (int i = 0; i < UNKNOWNS; i++) {
        const double told = t->told[i] > 0 ? t->told[i] : 1.0;
        printf("| %s | %.0f %% | %.0f %% | %.2f | %.2f |\n", names[i], 100.0 * t->told[i] / t->asked[i],
               100.0 * t->held[i] / told, pw_sqrt(t->square[i] / told), 1.645 * t->width[i] / told);
    }
}

int main(int argc, char **argv)
{
    static tally t;
    const int sites = argc > 1 ? atoi(argv[1]) : 2;
    const uint64_t first = argc > 2 ? (uint64_t)atoi(argv[2]) : 0;
    const bool checks = argc > 3 && strcmp(argv[3], "check") == 0;
    void *block = malloc(ROOM);
    for (int i = 0; block != NULL && i < sites; i++) {
        try_site(block, 400001u + 19u * (first + (uint64_t)i), &t);
    }
    free(block);
    if (t.fits == 0) {
        return 2;
    }
    print_table(&t);
    fprintf(stderr, "%d could not be simulated\n", t.failed);
    int told = 0, held = 0;
    for (int i = 0; i < UNKNOWNS; i++) {
        told += t.told[i];
        held += t.held[i];
    }
    return !checks || (told > 0 && held >= 0.7 * told) ? 0 : 1;
}
