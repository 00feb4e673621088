#include "compare.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "adapt/csv_sheet.h"
#include "adapt/files.h"
#include "adapt/yaml.h"

pw_plant *twin_load(pw_arena *arena, const char *path, pw_problems *problems)
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

/* What was furthest apart, as a part of its bound. */
typedef struct verdict {
    bool good;
    double worst;
    char what[32];
} verdict;

static void close_to(verdict *v, const char *what, double a, double b, double absolute)
{
    const double off = fabs(a - b), allowed = absolute + RELATIVE * fmax(fabs(a), fabs(b));
    const double part = off > 0.0 ? off / allowed : 0.0;
    if (!(part <= v->worst)) {
        v->worst = part;
        snprintf(v->what, sizeof v->what, "%s", what);
    }
    v->good = v->good && part <= 1.0;
}

static void equal(verdict *v, const char *what, int64_t a, int64_t b)
{
    if (a != b) {
        v->good = false;
        v->worst = INFINITY;
        snprintf(v->what, sizeof v->what, "%s", what);
    }
}

static void judge(const pw_plant *plant, const pw_daybook *book, const plain_result *plain, int64_t step_ms, verdict *v)
{
    const pw_totals *t = &book->totals;
    const double a_start_s = 2e-3 * (double)step_ms, s = SECONDS + a_start_s * (double)t->starts;
    double energy_j = 0.0, pumped_m3 = LITRES;
    memset(v, 0, sizeof *v);
    v->good = !plain->lost;
    for (int32_t i = 0; i < plant->site->pump_count; i++) {
        const pw_pump_totals *pump = &book->pumps[i];
        const double own_s = SECONDS + a_start_s * (double)pump->starts;
        equal(v, "starts of a pump", pump->starts, plain->pump_starts[i]);
        close_to(v, "run time of a pump", pump->run_s, plain->pump_run_s[i], own_s);
        energy_j += plain->power_w[i] * (own_s + RELATIVE * pump->run_s);
        pumped_m3 += plain->flow_m3s[i] * (own_s + RELATIVE * pump->run_s);
    }
    close_to(v, "run time", t->run_s, plain->run_s, s);
    close_to(v, "dry time", t->dry_s, plain->dry_s, s);
    close_to(v, "dead-head time", t->deadhead_s, plain->deadhead_s, s);
    close_to(v, "energy", t->energy_j, plain->energy_j, energy_j);
    close_to(v, "pumped", t->pumped_m3, plain->pumped_m3, pumped_m3);
    close_to(v, "delivered", t->delivered_m3, plain->delivered_m3, LITRES);
    close_to(v, "leaked", t->leaked_m3, plain->leaked_m3, LITRES);
    close_to(v, "spilled", t->spilled_m3, plain->spilled_m3, LITRES);
    close_to(v, "highest pressure", t->pressure_max_pa, plain->pressure_max_pa, plain->swing_pa + PASCALS);
    close_to(v, "lowest pressure", t->pressure_min_pa, plain->pressure_min_pa, plain->swing_pa + PASCALS);
    close_to(v, "water in a pump", t->water_max_c, plain->water_max_c, KELVINS);
    close_to(v, "winding", t->winding_max_c, plain->winding_max_c, KELVINS);
    close_to(v, "burnt", (double)book->burnt_ms, (double)plain->burnt_ms, 1000.0);
    equal(v, "burnt or not", book->burnt_ms < 0, plain->burnt_ms < 0);
    equal(v, "lock outs", book->lock_count, plain->locks);
    equal(v, "starts", t->starts, plain->starts);
    equal(v, "laws", 0, plain->law_breaches);
}

static bool settings_among(const pw_run_options *options)
{
    for (int32_t i = 0; i < options->fault_count; i++) {
        if (pw_fault_of_settings(options->faults[i].kind)) {
            return true;
        }
    }
    return false;
}

static void tell(const char *title, const pw_daybook *book, const plain_result *plain, const verdict *v, double times,
                 tally *sum)
{
    printf("%-46s starts %lld %lld  locks %d %lld  run %.2f %.2f s  pumped %.2f %.2f L  lost %.2f %.2f L  "
           "%.1f %.1f kJ  %.1f to %.1f kPa, %.1f to %.1f kPa  worst %.3f of the bound (%s)  %.0f : 1  %s\n",
           title, (long long)book->totals.starts, (long long)plain->starts, (int)book->lock_count,
           (long long)plain->locks, book->totals.run_s, plain->run_s, 1e3 * book->totals.pumped_m3,
           1e3 * plain->pumped_m3, 1e3 * (book->totals.leaked_m3 + book->totals.spilled_m3),
           1e3 * (plain->leaked_m3 + plain->spilled_m3), 1e-3 * book->totals.energy_j, 1e-3 * plain->energy_j,
           1e-3 * book->totals.pressure_min_pa, 1e-3 * book->totals.pressure_max_pa, 1e-3 * plain->pressure_min_pa,
           1e-3 * plain->pressure_max_pa, v->worst, v->what, times, v->good ? "same" : "DIFFERENT");
    if (plain->law_breaches > 0) {
        printf("    %lld of %lld looks at the laws differ, first: %s\n", (long long)plain->law_breaches,
               (long long)plain->law_checks, plain->law);
    }
    sum->laws += plain->law_checks;
    sum->same += v->good ? 1 : 0;
    sum->apart += v->good ? 0 : 1;
    sum->worst = v->good ? fmax(sum->worst, v->worst) : sum->worst;
}

/* False: they count differently, and nothing was told yet. With `last` it is told in any case. */
static bool compare_once(pw_arena *arena, const pw_plant *plant, const pw_run_options *options, int64_t step_ms,
                         const char *title, bool last, tally *sum)
{
    bool told = true;
    pw_problems *problems = calloc(1, sizeof *problems);
    const size_t mark = pw_arena_mark(arena);
    pw_daybook *book = NULL;
    plain_result plain;
    const clock_t begun = clock();
    if (pw_run(arena, plant, options, &book, problems) != PW_OK) {
        printf("%-46s could not be simulated\n", title);
        sum->apart++;
    } else if (book->ending == PW_END_HUNTING) {
        printf("%-46s left out: it hunts, faster than steps of %d ms can tell\n", title, (int)step_ms);
        sum->left_out++;
    } else {
        const double eventful_s = (double)(clock() - begun) / CLOCKS_PER_SEC;
        verdict v;
        plain_run(plant, options, step_ms, &plain);
        judge(plant, book, &plain, step_ms, &v);
        if (settings_among(options)) {
            equal(&v, "order refused", book->typed_refused, plain.refused);
        }
        told = last || v.good || v.worst < INFINITY;
        if (told) {
            const double plain_s = (double)(clock() - begun) / CLOCKS_PER_SEC - eventful_s;
            tell(title, book, &plain, &v, plain_s / fmax(eventful_s, 1e-4), sum);
        }
    }
    pw_arena_back(arena, mark);
    free(problems);
    return told;
}

void twin_compare(pw_arena *arena, const pw_plant *plant, const pw_run_options *options, int64_t step_ms,
                  const char *title, tally *sum)
{
    if (!compare_once(arena, plant, options, step_ms, title, false, sum)) {
        /* A start or a stop within a step of the end counts in one of them only: a second more has it in both. */
        pw_run_options longer = *options;
        longer.length_ms += 1000;
        (void)compare_once(arena, plant, &longer, step_ms, title, true, sum);
    }
}

int twin_end(const tally *sum)
{
    printf("%d same (worst %.2f of the bound), %d different, %d left out, %lld looks at the laws\n", sum->same,
           sum->worst, sum->apart, sum->left_out, (long long)sum->laws);
    return sum->apart > 0 || sum->same == 0 || sum->laws == 0;
}
