/* Soak: random valid sites, half of them with the most extreme numbers that the sheet allows, each simulated for a day
 * in health and with a fault. It must come to an end, close its balances, and hold no number that is none.
 *
 *   soak FIRST COUNT [DUMP]     sites FIRST .. FIRST + COUNT - 1; DUMP: print the sheet of site FIRST instead
 *
 * A site that fails is printed with its number, which replays it.
 */
#include <time.h>

#include "extreme_site.h"
#include "random_site.h"

#define MOST_EVALUATIONS 20000000 /* solutions of the flows in a day */
enum { MEMORY = 160 << 20, MOST_S = 8 };

typedef struct tally {
    int sites, refused, starts, faults, slow;
    double slowest_s;
    int slowest;
} tally;

static void sheet_of(int number, char *json, size_t size)
{
    pw_random random;
    pw_random_seed(&random, 20261130, (uint64_t)number);
    if (number % 2 == 0) {
        write_site(&random, json, size);
    } else {
        write_extreme_site(&random, json, size);
    }
}

static bool sound(const pw_totals *t)
{
    const double all[] = {t->pumped_m3, t->delivered_m3,  t->leaked_m3,       t->spilled_m3,      t->source_m3,
                          t->run_s,     t->balance_m3,    t->energy_j,        t->winding_max_c,   t->pressure_max_pa,
                          t->short_s,   t->longest_run_s, t->pressure_min_pa, t->stored_change_m3};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        if (!pw_is_finite(all[i])) {
            return false;
        }
    }
    const double moved = pw_abs(t->source_m3) + t->delivered_m3 + t->leaked_m3 + t->spilled_m3 + 0.05;
    return pw_abs(t->balance_m3) <= 1e-8 * moved;
}

static bool too_long(void *user, double done)
{
    (void)done;
    return (double)(clock() - *(const clock_t *)user) / CLOCKS_PER_SEC > MOST_S;
}

/* One day; false: something is wrong with it. */
static bool day(kit *k, int number, pw_fault_kind kind, tally *sum)
{
    double severities[16];
    pw_daybook *book = NULL;
    pw_run_options options;
    memset(&options, 0, sizeof options);
    options.length_ms = 86400000;
    options.seed = (uint64_t)number;
    options.release_after_ms = 4 * 3600000;
    options.entry_capacity = 1000;
    const int32_t count = kind == PW_FAULT_NONE ? 0 : pw_fault_severities(k->plant->site, kind, 0.0, severities, 16);
    if (count > 0) {
        options.fault_count = 1;
        options.faults[0] = (pw_fault){.kind = kind, .where = -1, .severity = severities[number % count]};
        options.faults[0].onset_ms = 36000123;
        sum->faults++;
    }
    clock_t from = clock();
    options.cancelled = too_long;
    options.user = &from;
    const pw_status status = pw_run(&k->arena, k->plant, &options, &book, &k->problems);
    const double took_s = (double)(clock() - from) / CLOCKS_PER_SEC;
    if (took_s > sum->slowest_s) {
        sum->slowest_s = took_s;
        sum->slowest = number;
    }
    if (status != PW_OK) {
        printf("site %d, fault %s: status %d\n", number, pw_fault_id(kind), (int)status);
        kit_say(k);
        return false;
    }
    sum->starts += (int)book->totals.starts;
    if (!sound(&book->totals) || book->totals.evaluations > MOST_EVALUATIONS) {
        printf("site %d, fault %s: balance %g m3, %lld solutions\n", number, pw_fault_id(kind), book->totals.balance_m3,
               (long long)book->totals.evaluations);
        return false;
    }
    if (took_s > 2.0) {
        printf("site %d, fault %s: %.1f s, %lld solutions\n", number, pw_fault_id(kind), took_s,
               (long long)book->totals.evaluations);
        sum->slow++;
    }
    return true;
}

int main(int count, char **word)
{
    static char json[65536];
    const int first = count > 1 ? atoi(word[1]) : 0;
    const int sites = count > 2 ? atoi(word[2]) : 40;
    tally sum = {0};
    int bad = 0;
    if (count > 3) {
        sheet_of(first, json, sizeof json);
        puts(json);
        return 0;
    }
    for (int i = first; i < first + sites; i++) {
        kit k;
        sheet_of(i, json, sizeof json);
        kit_open(&k, MEMORY);
        if (!kit_read(&k, json, i % 8 == 0)) {
            printf("site %d is refused\n", i);
            kit_say(&k);
            sum.refused++;
        } else {
            sum.sites++;
            bad += !day(&k, i, PW_FAULT_NONE, &sum);
            bad += !day(&k, i, (pw_fault_kind)(1 + i % (PW_FAULT_COUNT - 1)), &sum);
        }
        kit_close(&k);
        fflush(stdout);
    }
    printf("%d sites, %d refused, %d with a fault, %d starts; %d slow, slowest site %d with %.2f s; %d bad\n",
           sum.sites, sum.refused, sum.faults, sum.starts, sum.slow, sum.slowest, sum.slowest_s, bad);
    return bad > 0 || sum.refused > 0 || sum.slow > 0 ? 1 : 0;
}
