/* Soak: random valid sites, most of them with the most extreme numbers that the sheet allows, each simulated for a day
 * in health and with a fault, and proved. It must come to an end, close its balances, and hold no number that is none.
 *
 *   soak FIRST COUNT       sites FIRST .. FIRST + COUNT - 1
 *   soak FIRST COUNT each  the same, with the cost of each
 *   soak SITE show         the sheet of one site
 *
 * A site that fails is printed with its number, which replays it. Its cost is bounded in solutions of the flows, and
 * not in seconds: so many for a day, and some for each entry of the day book.
 */
#include <time.h>

#include "extreme_site.h"
#include "random_site.h"
#include "stretched_site.h"
#include "study/prove.h"

#define EVALUATIONS_PER_DAY   400000
#define EVALUATIONS_PER_EVENT 500
enum { MEMORY = 240 << 20, SEGMENTS_A_LOOK = 256, MOST_LOOKS = 40000, SWEPT = 4 };
#define PROOF_FROM_MS   ((int64_t)3600000)
#define PROOF_HORIZON_S 600.0

typedef struct tally {
    bool each; /* print what each site costs */
    int64_t evaluations;
    int sites, refused, starts, faults, jobs, hunting, bad;
    double dearest; /* solutions in a day, in parts of what is allowed */
    int dearest_site;
} tally;

/* In turn: usual, extreme, usual but stretched, extreme and stretched. */
static void sheet_of(int number, char *json, size_t size, pw_random *random)
{
    pw_random_seed(random, 20261130, (uint64_t)number);
    if (number % 2 == 0) {
        write_site(random, json, size);
    } else {
        write_extreme_site(random, json, size);
    }
}

/* The site of a number, as read; NULL: refused. */
static bool read_site(kit *k, int number, char *json, size_t size)
{
    const pw_json *read = NULL;
    pw_random random;
    sheet_of(number, json, size, &random);
    if (pw_json_read(&k->arena, json, strlen(json), &read, &k->problems) != PW_OK ||
        pw_site_read(&k->arena, read, "site", &k->site, &k->problems) != PW_OK) {
        return false;
    }
    if (number % 4 >= 2) {
        k->site = stretch_site(&k->arena, &random, k->site, 4 + pick(&random, MOST_STRETCHED - 4));
    }
    return k->site != NULL && pw_plant_build(&k->arena, k->site, number % 8 == 0, &k->plant, &k->problems) == PW_OK;
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
    return ++*(int *)user > MOST_LOOKS;
}

/* What so much of a day may cost. */
static double allowed(const pw_daybook *book)
{
    return EVALUATIONS_PER_DAY + EVALUATIONS_PER_EVENT * (double)(book->entry_count + book->entries_lost);
}

static bool failed(kit *k, int number, pw_fault_kind kind, const char *what, pw_status status)
{
    printf("site %d, fault %s: %s: %s\n", number, pw_fault_id(kind), what, pw_status_id(status));
    kit_say(k);
    return false;
}

/* One day; false: something is wrong with it. */
static bool day(kit *k, int number, pw_fault_kind kind, tally *sum)
{
    double severities[16];
    int looks = 0;
    pw_daybook *book = NULL;
    pw_run_options options;
    memset(&options, 0, sizeof options);
    options.length_ms = 86400000;
    options.seed = (uint64_t)number;
    options.release_after_ms = 4 * 3600000;
    options.entry_capacity = 1000;
    options.cancelled = too_long;
    options.user = &looks;
    const int32_t count = kind == PW_FAULT_NONE ? 0 : pw_fault_severities(k->plant->site, kind, 0.0, severities, 16);
    if (count > 0) {
        options.fault_count = 1;
        options.faults[0] = (pw_fault){.kind = kind, .where = -1, .severity = severities[number % count]};
        options.faults[0].onset_ms = 36000123;
        sum->faults++;
    }
    const pw_status status = pw_run(&k->arena, k->plant, &options, &book, &k->problems);
    if (status != PW_OK) {
        return failed(k, number, kind, "a day", status);
    }
    sum->evaluations += book->totals.evaluations;
    const double cost = (double)book->totals.evaluations / allowed(book);
    sum->starts += (int)book->totals.starts;
    sum->hunting += book->ending == PW_END_HUNTING;
    if (cost > sum->dearest) {
        sum->dearest = cost;
        sum->dearest_site = number;
    }
    if (!sound(&book->totals) || cost > 1.0) {
        printf("site %d, fault %s: balance %g m3, %lld solutions in %d entries\n", number, pw_fault_id(kind),
               book->totals.balance_m3, (long long)book->totals.evaluations,
               (int)(book->entry_count + book->entries_lost));
        return false;
    }
    return true;
}

static bool sound_outcome(const pw_outcome *o)
{
    const double all[] = {o->seconds,    o->lost_m3,         o->starts,          o->water_max_c, o->burnt_s,
                          o->run_s,      o->winding_max_c,   o->lost_per_day_m3, o->wanted_m3,   o->missing_m3,
                          o->balance_m3, o->pressure_max_pa, o->pressure_top_pa, o->behind_m3,   o->usual_m3};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        if (!pw_is_finite(all[i])) {
            return false;
        }
    }
    return true;
}

/* A short proof: every fault that can happen there, ten minutes long; false: something is wrong with it. */
static bool proof(kit *k, int number, tally *sum)
{
    pw_proof_options options;
    pw_jobs *jobs = NULL;
    pw_proof_starts *starts = NULL;
    pw_proof *proved = NULL;
    int looks = 0;
    pw_proof_defaults(&options);
    options.healthy_years = 0;
    options.onset_ms = PROOF_FROM_MS;
    options.horizon_s = PROOF_HORIZON_S;
    options.sweep_count = SWEPT;
    options.margins = number % 16 == 1;
    options.seed = (uint64_t)number;
    options.cancelled = too_long;
    options.user = &looks;
    pw_status status = pw_proof_plan(&k->arena, k->plant, &options, &jobs, &k->problems);
    if (status == PW_OK) {
        status = pw_proof_prepare(&k->arena, k->plant, &options, jobs, 0, 1, &starts, &k->problems);
    }
    if (status != PW_OK) {
        return failed(k, number, PW_FAULT_NONE, "the plan of a proof", status);
    }
    pw_outcome *outcomes = PW_NEW(&k->arena, jobs->count, pw_outcome);
    for (int32_t j = 0; j < jobs->count; j++) {
        looks = 0;
        status = pw_proof_job(&k->arena, k->plant, &options, jobs, starts, j, &outcomes[j], &k->problems);
        if (status != PW_OK || !sound_outcome(&outcomes[j])) {
            printf("job %d, severity %g\n", (int)j, jobs->jobs[j].fault.severity);
            return failed(k, number, jobs->jobs[j].fault.kind, "a job of a proof", status);
        }
    }
    sum->jobs += jobs->count;
    status = pw_proof_assemble(&k->arena, k->plant, &options, jobs, outcomes, &proved, &k->problems);
    return status == PW_OK || failed(k, number, PW_FAULT_NONE, "the proof", status);
}

static void try_site(int number, char *json, size_t size, tally *sum)
{
    kit k;
    kit_open(&k, MEMORY);
    if (!read_site(&k, number, json, size)) {
        printf("site %d is refused\n", number);
        kit_say(&k);
        sum->refused++;
    } else {
        const int64_t before = sum->evaluations;
        const clock_t from = clock();
        sum->sites++;
        bool good = day(&k, number, PW_FAULT_NONE, sum);
        good = day(&k, number, (pw_fault_kind)(1 + number % (PW_FAULT_COUNT - 1)), sum) && good;
        sum->bad += !(good && proof(&k, number, sum));
        if (sum->each) {
            printf("site %d: %lld solutions, %.2f s, %d jobs so far\n", number, (long long)(sum->evaluations - before),
                   (double)(clock() - from) / CLOCKS_PER_SEC, sum->jobs);
        }
    }
    kit_close(&k);
    fflush(stdout);
}

int main(int count, char **word)
{
    static char json[65536];
    const int first = count > 1 ? atoi(word[1]) : 0;
    if (count > 2 && strcmp(word[2], "show") == 0) {
        kit k;
        kit_open(&k, MEMORY);
        const bool good = read_site(&k, first, json, sizeof json);
        if (k.site != NULL) {
            pw_text room;
            pw_json_writer out;
            pw_text_init(&room, &k.arena);
            pw_json_writer_init(&out, &room, 1);
            pw_json_value(&out, NULL, k.site->sheet);
            puts(room.data);
        } else {
            puts(json);
        }
        kit_say(&k);
        kit_close(&k);
        return good ? 0 : 1;
    }
    const int sites = count > 2 ? atoi(word[2]) : 40;
    tally sum = {.each = count > 3};
    for (int i = first; i < first + sites; i++) {
        try_site(i, json, sizeof json, &sum);
    }
    printf("%d sites, %d refused, %d with a fault, %d starts, %d hunt, %d jobs of proofs; dearest day: %.2f of what is "
           "allowed, site %d; %d bad\n",
           sum.sites, sum.refused, sum.faults, sum.starts, sum.hunting, sum.jobs, sum.dearest, sum.dearest_site,
           sum.bad);
    return sum.bad > 0 || sum.refused > 0 ? 1 : 0;
}
