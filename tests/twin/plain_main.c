/* Every mishap of one site, simulated twice: event by event as the program does it, and plainly every 10 ms.
 * Usage: plain SITE.yaml MINUTES [MISHAP]
 * It begins at the hour in which the healthy site starts its pumps most often; mishaps begin after a sixth of the time,
 * at the middle and at the worst of their scale. Starts and lock outs must be equal, run time, volumes and energy
 * within the bounds below.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "adapt/csv_sheet.h"
#include "adapt/files.h"
#include "adapt/yaml.h"
#include "plain.h"

/* Run time may differ by the wait for the next look, 10 ms at each end of a run, and what follows from it. */
#define RELATIVE 0.005
#define SECONDS  0.5
#define LITRES   0.5e-3
/* Where a watch or a threshold is met or missed by a hair, one start more or less is no fault. */
enum { STARTS_APART = 1 };

static pw_plant *load(pw_arena *arena, const char *path, pw_problems *problems)
{
    size_t length = 0;
    const char *why = "";
    char *yaml = pw_file_read(path, (size_t)1 << 20, &length, &why);
    pw_text json;
    pw_yaml_map map;
    const pw_json *read = NULL;
    pw_site *site = NULL;
    pw_plant *plant = NULL;
    pw_text_init(&json, arena);
    if (yaml == NULL || pw_yaml_to_json(arena, yaml, length, &json, &map, problems) != PW_OK ||
        pw_json_read(arena, json.data, json.length, &read, problems) != PW_OK ||
        (pw_csv_sheet_needs(read) && (pw_csv_sheet_fill(arena, read, path, &json, problems) != PW_OK ||
                                      pw_json_read(arena, json.data, json.length, &read, problems) != PW_OK)) ||
        pw_site_read(arena, read, "site", &site, problems) != PW_OK) {
        return NULL;
    }
    free(yaml);
    return pw_plant_build(arena, site, true, &plant, problems) == PW_OK ? plant : NULL;
}

typedef struct tally {
    int32_t same, apart, left_out;
    double worst;
} tally;

static bool close_to(double a, double b, double absolute, double *worst)
{
    const double off = fabs(a - b), allowed = absolute + RELATIVE * fmax(fabs(a), fabs(b));
    *worst = fmax(*worst, off / allowed);
    return off <= allowed;
}

/* bounds: of what one start more or less brings along */
static bool agrees(const pw_daybook *book, const plain_result *plain, double start_s, double start_m3, double *worst)
{
    const pw_totals *t = &book->totals;
    const int64_t apart = llabs(t->starts - plain->starts);
    const double s = SECONDS + (double)apart * start_s, m3 = LITRES + (double)apart * start_m3;
    *worst = 0.0;
    bool good = apart <= STARTS_APART && book->lock_count == plain->locks && !plain->lost;
    good = close_to(t->run_s, plain->run_s, s + 0.02 * (double)t->starts, worst) && good;
    good = close_to(t->pumped_m3, plain->pumped_m3, m3, worst) && good;
    good = close_to(t->delivered_m3, plain->delivered_m3, m3, worst) && good;
    good = close_to(t->leaked_m3, plain->leaked_m3, m3, worst) && good;
    good = close_to(t->spilled_m3, plain->spilled_m3, m3, worst) && good;
    good = close_to(t->water_max_c, plain->water_max_c, 0.5, worst) && good;
    good = (book->burnt_ms < 0) == (plain->burnt_ms < 0) && good;
    good = close_to((double)book->burnt_ms, (double)plain->burnt_ms, 1000.0, worst) && good;
    return close_to(t->winding_max_c, plain->winding_max_c, 0.5, worst) && good;
}

static void compare(pw_arena *arena, const pw_plant *plant, pw_run_options *options, const char *title, tally *sum)
{
    pw_problems *problems = calloc(1, sizeof *problems);
    const size_t mark = pw_arena_mark(arena);
    pw_daybook *book = NULL;
    plain_result plain;
    double worst = INFINITY;
    const clock_t begun = clock();
    if (pw_run(arena, plant, options, &book, problems) != PW_OK) {
        printf("%-46s could not be simulated\n", title);
        sum->apart++;
    } else if (book->ending == PW_END_HUNTING || (book->typed_refused == false && options->mishap_count > 0 &&
                                                  pw_mishap_of_settings(options->mishaps[0].kind))) {
        printf("%-46s left out: %s\n", title,
               book->ending == PW_END_HUNTING ? "it hunts, faster than steps of 10 ms can tell"
                                              : "it changes the order alone");
        sum->left_out++;
    } else {
        const double eventful_s = (double)(clock() - begun) / CLOCKS_PER_SEC;
        plain_run(plant, options, &plain);
        const double starts = fmax((double)book->totals.starts, 1.0);
        const bool good =
            agrees(book, &plain, book->totals.longest_run_s, 2.0 * book->totals.pumped_m3 / starts, &worst);
        printf("%-46s starts %lld %lld  run %.2f %.2f s  pumped %.2f %.2f L  lost %.2f %.2f L  worst %.3f of the bound "
               " %.0f : 1  %s\n",
               title, (long long)book->totals.starts, (long long)plain.starts, book->totals.run_s, plain.run_s,
               1e3 * book->totals.pumped_m3, 1e3 * plain.pumped_m3,
               1e3 * (book->totals.leaked_m3 + book->totals.spilled_m3), 1e3 * (plain.leaked_m3 + plain.spilled_m3),
               worst, ((double)(clock() - begun) / CLOCKS_PER_SEC - eventful_s) / fmax(eventful_s, 1e-4),
               good ? "same" : "DIFFERENT");
        sum->same += good ? 1 : 0;
        sum->apart += good ? 0 : 1;
        sum->worst = good ? fmax(sum->worst, worst) : sum->worst;
    }
    pw_arena_back(arena, mark);
    free(problems);
}

/* The hour of the day from which the healthy site starts its pumps most often within length_ms: a night in which
 * nothing happens would be a comparison of nothing. Returns how often. */
static int64_t busiest(pw_arena *arena, const pw_plant *plant, int64_t length_ms, int64_t *begin_ms)
{
    int64_t most = -1;
    for (int64_t hour = 0; hour < 24; hour++) {
        pw_run_options options;
        pw_daybook *book = NULL;
        pw_problems *problems = calloc(1, sizeof *problems);
        const size_t mark = pw_arena_mark(arena);
        memset(&options, 0, sizeof options);
        options.begin_ms = hour * 3600000;
        options.length_ms = options.begin_ms + length_ms;
        options.seed = 3;
        if (pw_run(arena, plant, &options, &book, problems) == PW_OK && book->totals.starts > most) {
            most = book->totals.starts;
            *begin_ms = options.begin_ms;
        }
        pw_arena_back(arena, mark);
        free(problems);
    }
    return most;
}

int main(int argc, char **argv)
{
    if (argc < 3) {
        return 2;
    }
    const size_t size = (size_t)256 << 20;
    void *memory = malloc(size);
    pw_arena arena;
    pw_arena_init(&arena, memory, size);
    pw_problems *problems = calloc(1, sizeof *problems);
    const pw_plant *plant = load(&arena, argv[1], problems);
    if (plant == NULL) {
        fprintf(stderr, "%s: %s, found %s\n", argv[1], problems->items[0].path, problems->items[0].found);
        return 1;
    }
    pw_run_options options;
    memset(&options, 0, sizeof options);
    int64_t length_ms = (int64_t)(atof(argv[2]) * 60000.0);
    const int64_t longest_ms = 8 * length_ms;
    while (busiest(&arena, plant, length_ms, &options.begin_ms) < 1 && length_ms < longest_ms) {
        length_ms *= 2;
    }
    printf("from %02d:00 for %g min\n", (int)(options.begin_ms / 3600000), (double)length_ms / 60000.0);
    options.length_ms = options.begin_ms + length_ms;
    options.seed = 3;
    options.release_after_ms = length_ms / 4;
    tally sum = {0, 0, 0, 0.0};
    if (argc < 4) {
        compare(&arena, plant, &options, "healthy", &sum);
    }
    for (int32_t kind = PW_MISHAP_NONE + 1; kind < PW_MISHAP_COUNT; kind++) {
        double severities[16];
        const int32_t count = pw_mishap_severities(plant->site, (pw_mishap_kind)kind, 0.0, severities, 16);
        if (argc > 3 && strcmp(argv[3], pw_mishap_id((pw_mishap_kind)kind)) != 0) {
            continue;
        }
        for (int32_t worst = count > 1 ? 0 : 1; count > 0 && worst < 2; worst++) {
            char title[96];
            options.mishap_count = 1;
            options.mishaps[0].kind = (pw_mishap_kind)kind;
            options.mishaps[0].severity = severities[worst ? count - 1 : (count - 1) / 2];
            options.mishaps[0].where = -1;
            options.mishaps[0].onset_ms = options.begin_ms + length_ms / 6 / 1000 * 1000;
            snprintf(title, sizeof title, "%s %.4g", pw_mishap_id((pw_mishap_kind)kind), options.mishaps[0].severity);
            compare(&arena, plant, &options, title, &sum);
        }
    }
    printf("%d same (worst %.2f of the bound), %d different, %d left out\n", sum.same, sum.worst, sum.apart,
           sum.left_out);
    free(problems);
    free(memory);
    return sum.apart > 0;
}
