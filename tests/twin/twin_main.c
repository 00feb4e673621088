/* One site, some days, perhaps a fault: prints starts, run time, volumes. Linked once with our integrator, once with
 * CVODE. Usage: twin [--reduced] [--tolerance X] SITE.yaml DAYS SEED [FAULT SEVERITY ONSET_H]
 *   --reduced      line losses and gas law from tables, as the program itself has them; otherwise the full formulas
 *   --tolerance X  of the integrator, relative; 1e-9
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "sim/run.h"
#include "adapt/yaml.h"
#include "../english.h"

static char *slurp(const char *path, size_t *length)
{
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        return NULL;
    }
    fseek(file, 0, SEEK_END);
    const long size = ftell(file);
    rewind(file);
    char *text = malloc((size_t)size + 1);
    *length = fread(text, 1, (size_t)size, file);
    text[*length] = '\0';
    fclose(file);
    return text;
}

static int complain(const pw_problems *problems)
{
    for (int32_t i = 0; i < problems->count; i++) {
        fprintf(stderr, "%s: found %s, expected %s\n", problems->items[i].path, english(&problems->items[i].found),
                english(&problems->items[i].expected));
    }
    return 1;
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
    size_t length = 0;
    char *yaml = slurp(argv[1], &length);
    const size_t size = (size_t)256 << 20;
    pw_arena arena;
    void *block = malloc(size);
    pw_arena_init(&arena, block, size);
    static pw_problems problems;
    pw_text json;
    pw_yaml_map map;
    pw_text_init(&json, &arena);
    const pw_json *read = NULL;
    pw_site *site = NULL;
    pw_plant *plant = NULL;
    if (yaml == NULL || pw_yaml_to_json(&arena, yaml, length, &json, &map, &problems) != PW_OK ||
        pw_json_read(&arena, json.data, json.length, &read, &problems) != PW_OK ||
        pw_site_read(&arena, read, "site", &site, &problems) != PW_OK ||
        pw_plant_build(&arena, site, exact, &plant, &problems) != PW_OK) {
        return complain(&problems);
    }
    pw_run_options options;
    memset(&options, 0, sizeof options);
    options.length_ms = (int64_t)(atof(argv[2]) * 86400000.0);
    options.seed = (uint64_t)atoll(argv[3]);
    options.tolerance = tolerance;
    if (argc == 7) {
        options.fault_count = 1;
        options.faults[0].kind = (pw_fault_kind)pw_fault_find(argv[4]);
        options.faults[0].severity = atof(argv[5]);
        options.faults[0].where = -1;
        options.faults[0].onset_ms = (int64_t)(atof(argv[6]) * 3600000.0);
    }
    pw_daybook *book = NULL;
    const clock_t begun = clock();
    if (pw_run(&arena, plant, &options, &book, &problems) != PW_OK) {
        return complain(&problems);
    }
    const double seconds = (double)(clock() - begun) / CLOCKS_PER_SEC;
    const pw_totals *t = &book->totals;
    printf("%lld %.9g %.9g %.9g %.9g %.9g %d %.3f %lld\n", (long long)t->starts, t->run_s, t->pumped_m3,
           t->delivered_m3, t->leaked_m3, t->winding_max_c, book->lock_count, seconds, (long long)t->evaluations);
    free(yaml);
    free(block);
    return 0;
}
