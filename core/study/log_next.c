/* What to do on site next: the information about which hypothesis is right that each thing a person can do is expected
 * to give, I = H(outcome) - sum p H(outcome | hypothesis), by the outcomes foretold. */
#include <string.h>

#include "study/diagnose_inside.h"
#include "study/log_judge_inside.h"

enum { GRID = 81, LOOKED_AT = 6 };
#define WORTH_BITS 0.05
#define LN2        0.6931471805599453

/* What anybody can measure without the logger. */
static const pw_log_feature measurable[] = {PW_FOUND_CURRENT, PW_FOUND_FLOW, PW_FOUND_WATER, PW_FOUND_MIDDLE,
                                            PW_FOUND_CUT_OUT};

typedef struct outcome {
    bool known;
    double mean, spread;
} outcome;

static double bits_of(const pw_log_verdict *verdict, const outcome *outcomes, int32_t count)
{
    double low = PW_INF, high = -PW_INF, weight = 0.0, all[GRID], bits = 0.0;
    for (int32_t h = 0; h < count; h++) {
        if (outcomes[h].known) {
            low = pw_min(low, outcomes[h].mean - 4.0 * outcomes[h].spread);
            high = pw_max(high, outcomes[h].mean + 4.0 * outcomes[h].spread);
            weight += verdict->hypotheses[h].probability;
        }
    }
    if (!(weight > 0.0) || !(high > low)) {
        return 0.0;
    }
    memset(all, 0, sizeof all);
    for (int pass = 0; pass < 2; pass++) {
        for (int32_t h = 0; h < count; h++) {
            double density[GRID], sum = 0.0;
            const double share = verdict->hypotheses[h].probability / weight;
            for (int32_t i = 0; i < GRID && outcomes[h].known; i++) {
                const double y = low + (high - low) * (double)i / (GRID - 1);
                const double z = (y - outcomes[h].mean) / pw_max(outcomes[h].spread, (high - low) / GRID);
                density[i] = pw_exp(-0.5 * z * z);
                sum += density[i];
            }
            for (int32_t i = 0; i < GRID && sum > 0.0; i++) {
                const double p = density[i] / sum;
                if (pass == 0) {
                    all[i] += share * p;
                } else if (p > 1e-12) {
                    bits += share * p * pw_log(p / all[i]) / LN2;
                }
            }
        }
    }
    return bits;
}

static void keep(pw_log_verdict *verdict, const pw_log_next *next)
{
    int32_t at = verdict->next_count;
    while (at > 0 && verdict->next[at - 1].bits < next->bits) {
        at--;
    }
    if (at >= PW_LOG_NEXT || next->bits < WORTH_BITS) {
        return;
    }
    for (int32_t i = verdict->next_count < PW_LOG_NEXT ? verdict->next_count : PW_LOG_NEXT - 1; i > at; i--) {
        verdict->next[i] = verdict->next[i - 1];
    }
    verdict->next[at] = *next;
    verdict->next_count += verdict->next_count < PW_LOG_NEXT ? 1 : 0;
}

static void try_feature(const pw_log_bank *bank, const pw_log_ranked *ranked, pw_log_feature f, pw_log_verdict *verdict)
{
    outcome outcomes[PW_LOG_HYPOTHESES] = {{0}};
    pw_log_next next = {.measured = true, .feature = f};
    const double add = pw_log_feature_of(f)->add;
    if (verdict->features.able[f]) {
        return; /* the log has it */
    }
    for (int32_t h = 0; h < verdict->count; h++) {
        outcome *o = &outcomes[h];
        o->known = pw_log_foretold(ranked[h].supposed, ranked[h].place.fine, ranked[h].place.use, f, &o->mean);
        o->spread = pw_log_spread(bank, f);
        next.known[h] = o->known;
        if (o->known) {
            next.outcome[h] = (pw_estimate){pw_exp(o->mean - 1.645 * o->spread) - add, pw_exp(o->mean) - add,
                                            pw_exp(o->mean + 1.645 * o->spread) - add};
        }
    }
    next.bits = bits_of(verdict, outcomes, verdict->count);
    keep(verdict, &next);
}

/* ---- readings, repeated in the simulation ---- */

static double severity_of(const pw_log_hypothesis *h)
{
    return h->has_severity ? h->severity.best : 1.0;
}

static pw_status try_reading(pw_arena *arena, pw_bench *bench, const pw_reading *reading, pw_log_verdict *verdict,
                             pw_problems *problems)
{
    outcome outcomes[PW_LOG_HYPOTHESES] = {{0}};
    pw_log_next next = {.reading = *reading};
    for (int32_t h = 0; h < verdict->count && h < LOOKED_AT; h++) {
        const pw_log_hypothesis *one = &verdict->hypotheses[h];
        const pw_supposed supposed = {.fault = {.kind = one->fault, .severity = severity_of(one), .where = -1},
                                      .more_use = one->more_use ? severity_of(one) : 1.0};
        pw_windows windows;
        double error[2];
        const pw_status status = pw_bench_repeat(bench, arena, reading, &supposed, 1, &windows, problems);
        if (status != PW_OK) {
            return status;
        }
        pw_reading_error(reading, windows.mean, error);
        outcome *o = &outcomes[h];
        o->known = next.known[h] = true;
        o->mean = windows.mean[0];
        o->spread = pw_sqrt(error[0]);
        const double low = o->mean - 1.645 * o->spread, high = o->mean + 1.645 * o->spread;
        const bool gauge = pw_reading_is_gauge(reading->kind);
        next.outcome[h] = gauge ? (pw_estimate){pw_max(low, 0.0), o->mean, pw_max(high, 0.0)}
                                : (pw_estimate){pw_max(pw_exp(low) - 0.5, 0.0), pw_max(pw_exp(o->mean) - 0.5, 0.0),
                                                pw_max(pw_exp(high) - 0.5, 0.0)};
    }
    next.bits = bits_of(verdict, outcomes, verdict->count < LOOKED_AT ? verdict->count : LOOKED_AT);
    keep(verdict, &next);
    return PW_OK;
}

pw_status pw_log_find_next(pw_arena *arena, const pw_site *site, const pw_log_bank *bank, uint64_t seed,
                           const pw_log_ranked *ranked, pw_log_verdict *verdict, pw_problems *problems)
{
    const pw_diagnose_options options = {.seed = seed};
    pw_bench bench;
    pw_plant *plant = NULL;
    for (size_t i = 0; i < sizeof measurable / sizeof measurable[0]; i++) {
        try_feature(bank, ranked, measurable[i], verdict);
    }
    pw_status status = pw_bench_make(arena, site, &options, &bench, problems);
    status = status == PW_OK ? pw_plant_build(arena, site, false, &plant, problems) : status;
    if (status != PW_OK) {
        return status;
    }
    const double from_pa = plant->cut_out_pa > 0.0 ? plant->cut_out_pa : plant->reference_pa;
    const pw_reading readings[] = {{.kind = PW_READING_REST, .over_s = 300.0, .from_pa = from_pa, .to_pa = from_pa},
                                   {.kind = PW_READING_ISOLATED, .over_s = 300.0, .from_pa = from_pa, .to_pa = from_pa},
                                   {.kind = PW_READING_QUIET, .over_s = 8.0 * 3600.0}};
    const bool gauge = site->vessel_count > 0;
    for (int32_t i = gauge ? 0 : 2; i < 3 && status == PW_OK; i++) {
        status = try_reading(arena, &bench, &readings[i], verdict, problems);
    }
    verdict->simulated_ms += bench.simulated_ms;
    return status;
}
