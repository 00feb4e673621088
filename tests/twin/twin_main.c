/* One site, some days, perhaps a fault: prints starts, run time, volumes, and what it took. Linked once with our
 * integrator, once with SUNDIALS CVODES. Usage: twin [--reduced] [--tolerance X] SITE.yaml DAYS SEED [FAULT SEVERITY
 * ONSET_H]
 *   --reduced      line losses and gas law from tables, as the program itself has them; otherwise the full formulas
 *   --tolerance X  of the integrator, relative; 1e-9
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "adapt/csv_sheet.h"
#include "adapt/files.h"
#include "adapt/yaml.h"
#include "sim/observers.h"
#include "../english.h"

static int complain(const pw_problems *problems)
{
    for (int32_t i = 0; i < problems->count; i++) {
        fprintf(stderr, "%s: found %s, expected %s\n", problems->items[i].path, english(&problems->items[i].found),
                english(&problems->items[i].expected));
    }
    return 1;
}

/* The plant of a sheet, with its measured traces. */
static pw_plant *load(pw_arena *arena, const char *path, bool exact, pw_problems *problems)
{
    size_t length = 0;
    const char *why = "";
    pw_text json, filled;
    pw_yaml_map map;
    const pw_json *read = NULL;
    pw_site *site = NULL;
    pw_plant *plant = NULL;
    char *yaml = pw_file_read(path, PW_MAX_INPUT, &length, &why);
    pw_text_init(&json, arena);
    if (yaml == NULL || pw_yaml_to_json(arena, yaml, length, &json, &map, problems) != PW_OK ||
        pw_json_read(arena, json.data, json.length, &read, problems) != PW_OK) {
        return NULL;
    }
    free(yaml);
    if (pw_csv_sheet_needs(read) && (pw_csv_sheet_fill(arena, read, path, &filled, problems) != PW_OK ||
                                     pw_json_read(arena, filled.data, filled.length, &read, problems) != PW_OK)) {
        return NULL;
    }
    if (pw_site_read(arena, read, "site", &site, problems) != PW_OK ||
        pw_plant_build(arena, site, exact, &plant, problems) != PW_OK) {
        return NULL;
    }
    return plant;
}

/* Counts rounds: each is what is due at one moment, and the way to the next. */
typedef struct rounds {
    pw_observer observer;
    long long count;
} rounds;

static void count_round(pw_observer *self, pw_sim *sim, pw_at when)
{
    (void)sim;
    ((rounds *)(void *)self)->count += when == PW_AT_ROUND_END ? 1 : 0;
}

typedef struct observers {
    pw_tally *tally;
    pw_firings firings;
    rounds rounds;
} observers;

static bool attach(observers *all, pw_arena *arena, pw_sim *sim)
{
    memset(all, 0, sizeof *all);
    all->tally = pw_tally_new(arena, sim);
    if (all->tally == NULL) {
        return false;
    }
    pw_firings_begin(&all->firings, all->tally);
    all->rounds.observer.at = count_round;
    pw_sim_attach(sim, &all->tally->observer);
    pw_sim_attach(sim, &all->firings.observer);
    pw_sim_attach(sim, &all->rounds.observer);
    return true;
}

static void print(const pw_sim *sim, const observers *all, double seconds)
{
    const pw_totals t = pw_tally_totals(all->tally, sim, false);
    printf("%lld %.12g %.12g %.12g %.12g %.12g %d %.4f %lld %lld %lld %.12g\n", (long long)t.starts, t.run_s,
           t.pumped_m3, t.delivered_m3, t.leaked_m3, t.winding_max_c, all->firings.lock_count, seconds,
           (long long)t.evaluations, (long long)pw_sim_segments(sim), all->rounds.count, t.energy_j);
}

int main(int argc, char **argv)
{
    bool exact = true;
    double tolerance = 1e-9;
    while (argc > 1 && strncmp(argv[1], "--", 2) == 0) {
        const bool reduced = strcmp(argv[1], "--reduced") == 0;
        exact = exact && !reduced;
        if (!reduced) {
            tolerance = argc > 2 ? atof(argv[2]) : 0.0;
            argv++;
            argc--;
        }
        argv++;
        argc--;
    }
    if ((argc != 4 && argc != 7) || tolerance <= 0.0) {
        return 2;
    }
    const size_t size = (size_t)256 << 20;
    pw_arena arena;
    static pw_problems problems;
    static observers all;
    pw_sim *sim = NULL;
    pw_arena_init(&arena, malloc(size), size);
    const pw_plant *plant = load(&arena, argv[1], exact, &problems);
    const pw_sim_options options = {.seed = (uint64_t)atoll(argv[3]), .tolerance = tolerance};
    const int64_t length_ms = (int64_t)(atof(argv[2]) * 86400000.0);
    const clock_t begun = clock();
    if (plant == NULL || pw_sim_create(&arena, plant, &options, &sim, &problems) != PW_OK) {
        return complain(&problems);
    }
    if (argc == 7) {
        const pw_fault fault = {.kind = (pw_fault_kind)pw_fault_find(argv[4]),
                                .severity = atof(argv[5]),
                                .where = -1,
                                .onset_ms = (int64_t)(atof(argv[6]) * 3600000.0)};
        if (pw_sim_befall(sim, &arena, &fault, &problems) != PW_OK) {
            return complain(&problems);
        }
    }
    if (!attach(&all, &arena, sim) || pw_sim_advance(sim, length_ms, &problems) != PW_OK) {
        return complain(&problems);
    }
    print(sim, &all, (double)(clock() - begun) / CLOCKS_PER_SEC);
    return 0;
}
