/* Every fault of one site, simulated twice: event by event as the program does it, and plainly every 10 ms.
 * Usage: plain SITE.yaml MINUTES [FAULT]
 * It begins at the hour in which the healthy site starts its pumps most often; faults begin after a sixth of the time,
 * where they usually happen, at the middle and at the worst of their scale; at the worst in another place, too; and
 * each pair of core/fault in the middle. A site whose pumps do not start within MINUTES gets up to eight times as
 * long, and then the worst where it usually happens only. What takes days: slow_main.c. How close the two must come:
 * compare.h.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "compare.h"
#include "../english.h"

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

typedef struct days {
    pw_arena *arena;
    const pw_plant *plant;
    pw_run_options options;
    int64_t onset_ms;
    tally sum;
} days;

static void befall(days *d, int32_t n, pw_fault_kind kind, double severity, int32_t where)
{
    d->options.fault_count = n + 1;
    d->options.faults[n] =
        (pw_fault){.kind = kind, .severity = severity, .where = where, .onset_ms = d->onset_ms + n * 60000};
}

static void compare(days *d, const char *title)
{
    twin_compare(d->arena, d->plant, &d->options, PLAIN_STEP_MS, title, &d->sum);
}

/* A fault where it usually happens, at the middle and at the worst; only the worst where `brief`. */
static void usual(days *d, pw_fault_kind kind, bool brief)
{
    double severities[16];
    const int32_t count = pw_fault_severities(d->plant->site, kind, 0.0, severities, 16);
    for (int32_t worst = brief || count < 2 ? 1 : 0; count > 0 && worst < 2; worst++) {
        char title[96];
        befall(d, 0, kind, severities[worst ? count - 1 : (count - 1) / 2], -1);
        snprintf(title, sizeof title, "%s %.4g", pw_fault_id(kind), d->options.faults[0].severity);
        compare(d, title);
    }
}

/* At its worst in the place that is furthest from the usual one in the sheet. */
static void elsewhere(days *d, pw_fault_kind kind)
{
    double severities[16];
    int32_t wheres[PW_MAX_LINES + PW_MAX_PUMPS];
    const int32_t count = pw_fault_severities(d->plant->site, kind, 0.0, severities, 16);
    const int32_t places = pw_fault_wheres(d->plant->site, kind, wheres, PW_MAX_LINES + PW_MAX_PUMPS);
    if (count > 0 && places > 1) {
        char title[96];
        befall(d, 0, kind, severities[count - 1], wheres[places - 1]);
        snprintf(title, sizeof title, "%s %.4g, number %d", pw_fault_id(kind), severities[count - 1],
                 (int)wheres[places - 1]);
        compare(d, title);
    }
}

/* Two that come together, both at the middle of their scale, the second a minute later. */
static void pair(days *d, const pw_fault_pair *two)
{
    const pw_fault_kind kinds[] = {two->first, two->second};
    char title[96];
    for (int32_t n = 0; n < 2; n++) {
        double severities[16];
        const int32_t count = pw_fault_severities(d->plant->site, kinds[n], 0.0, severities, 16);
        if (count == 0 || !pw_fault_possible(d->plant->site, kinds[n])) {
            return;
        }
        befall(d, n, kinds[n], severities[(count - 1) / 2], -1);
    }
    snprintf(title, sizeof title, "%s, %s", pw_fault_id(two->first), pw_fault_id(two->second));
    compare(d, title);
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
    days d = {.arena = &arena, .plant = twin_load(&arena, argv[1], problems)};
    if (d.plant == NULL) {
        fprintf(stderr, "%s: %s, found %s\n", argv[1], problems->items[0].path, english(&problems->items[0].found));
        return 1;
    }
    const int64_t asked_ms = (int64_t)(atof(argv[2]) * 60000.0);
    int64_t length_ms = asked_ms;
    while (busiest(&arena, d.plant, length_ms, &d.options.begin_ms) < 1 && length_ms < 8 * asked_ms) {
        length_ms *= 2;
    }
    const bool brief = length_ms > asked_ms;
    printf("from %02d:00 for %g min\n", (int)(d.options.begin_ms / 3600000), (double)length_ms / 60000.0);
    d.options.length_ms = d.options.begin_ms + length_ms;
    d.options.seed = 3;
    d.options.release_after_ms = length_ms / 4;
    d.onset_ms = d.options.begin_ms + length_ms / 6 / 1000 * 1000;
    if (argc < 4) {
        compare(&d, "healthy");
    }
    for (int32_t kind = PW_FAULT_NONE + 1; kind < PW_FAULT_COUNT; kind++) {
        if (argc < 4 || strcmp(argv[3], pw_fault_id((pw_fault_kind)kind)) == 0) {
            usual(&d, (pw_fault_kind)kind, brief);
            if (!brief) {
                elsewhere(&d, (pw_fault_kind)kind);
            }
        }
    }
    for (int32_t i = 0; i < pw_fault_pair_count() && argc < 4 && !brief; i++) {
        pair(&d, pw_fault_pair_at(i));
    }
    free(problems);
    free(memory);
    return twin_end(&d.sum);
}
