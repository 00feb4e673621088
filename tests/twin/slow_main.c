/* Faults that take long, once from end to end: event by event, and plainly every 100 ms, beyond a week every 250 ms.
 * Each begins after an hour.
 * Usage: slow EXAMPLES [HOURS] (each at most so long)
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "compare.h"
#include "../english.h"

enum { STEP_MS = 100, LONG_STEP_MS = 250, MINUTE_MS = 60000, HOUR_MS = 60 * MINUTE_MS, DAY_MS = 24 * HOUR_MS };

typedef struct course {
    const char *site;
    pw_fault_kind kind;
    double severity;
    int32_t from_h;
    int64_t length_ms;
} course;

/* A level falls and a sensor drifts in 120 parts within ten days; a vessel loses its air in 40 within 40 minutes; the
 * longest cut and the longest frost of the scales end. */
static const course courses[] = {
    {"house", PW_FAULT_FALLING_LEVEL, 12.0, 0, 10 * (int64_t)DAY_MS + 12 * HOUR_MS},
    {"house", PW_FAULT_READS_HIGH, 60e3, 0, 10 * (int64_t)DAY_MS + 12 * HOUR_MS},
    {"house", PW_FAULT_READS_LOW, 100e3, 0, 10 * (int64_t)DAY_MS + 12 * HOUR_MS},
    {"house", PW_FAULT_LOST_AIR, 0.95, 16, 4 * HOUR_MS},
    {"house", PW_FAULT_HIGH_PRECHARGE, 60e3, 16, 4 * HOUR_MS},
    {"house", PW_FAULT_SUPPLY_LOST, 2.0 * 86400.0, 0, 3 * (int64_t)DAY_MS},
    {"house", PW_FAULT_FROZEN, 5.0 * 86400.0, 0, 6 * (int64_t)DAY_MS},
    {"tap-stand", PW_FAULT_FALLING_LEVEL, 30.0, 0, 10 * (int64_t)DAY_MS + 12 * HOUR_MS},
    {"tap-stand", PW_FAULT_SUPPLY_LOST, 2.0 * 86400.0, 0, 3 * (int64_t)DAY_MS},
};

int main(int argc, char **argv)
{
    if (argc < 2) {
        return 2;
    }
    const size_t size = (size_t)256 << 20;
    void *memory = malloc(size);
    tally sum = {.same = 0};
    for (size_t i = 0; i < sizeof courses / sizeof courses[0]; i++) {
        const course *c = &courses[i];
        static pw_problems problems;
        char path[512], title[96];
        pw_arena arena;
        pw_arena_init(&arena, memory, size);
        snprintf(path, sizeof path, "%s/%s.yaml", argv[1], c->site);
        const pw_plant *plant = twin_load(&arena, path, &problems);
        if (plant == NULL) {
            fprintf(stderr, "%s: %s, found %s\n", path, problems.items[0].path, english(&problems.items[0].found));
            return 1;
        }
        const int64_t begin_ms = (int64_t)c->from_h * HOUR_MS, most_ms = argc > 2 ? atoi(argv[2]) * HOUR_MS : INT64_MAX;
        const pw_run_options options = {
            .begin_ms = begin_ms,
            .length_ms = begin_ms + (c->length_ms < most_ms ? c->length_ms : most_ms),
            .seed = 3,
            .release_after_ms = 6 * HOUR_MS,
            .fault_count = 1,
            .faults[0] = {.kind = c->kind, .severity = c->severity, .where = -1, .onset_ms = begin_ms + HOUR_MS}};
        snprintf(title, sizeof title, "%s: %s %.4g", c->site, pw_fault_id(c->kind), c->severity);
        const int64_t step_ms = c->length_ms > 7 * (int64_t)DAY_MS ? LONG_STEP_MS : STEP_MS;
        twin_compare(&arena, plant, &options, step_ms, title, &sum);
    }
    free(memory);
    return twin_end(&sum);
}
