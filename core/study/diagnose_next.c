/* The reading that would tell best apart what may be wrong: its expected gain of information. */
#include "base/num.h"
#include "study/diagnose_inside.h"

static bool was_read(const pw_diagnosis *out, pw_reading_kind kind)
{
    for (int32_t r = 0; r < out->reading_count; r++) {
        if (out->readings[r].kind == kind) {
            return true;
        }
    }
    return false;
}

/* What there is to try that was not: a night of counters, ten minutes at the gauge. */
static int32_t candidates(const pw_diagnosing *w, pw_reading *list)
{
    const pw_plant *plant = w->bench.quiet;
    int32_t count = 0;
    if (!was_read(w->out, PW_READING_QUIET)) {
        list[count++] = (pw_reading){.kind = PW_READING_QUIET, .over_s = 8.0 * 3600.0};
    }
    const pw_reading_kind gauges[] = {PW_READING_REST, PW_READING_ISOLATED};
    for (int32_t i = 0; i < 2; i++) {
        const bool can = plant->site->vessel_count > 0 && plant->cut_out_pa > plant->cut_in_pa;
        if (can && !was_read(w->out, gauges[i])) {
            list[count++] = (pw_reading){.kind = gauges[i],
                                         .over_s = 600.0,
                                         .from_pa = plant->cut_in_pa + 0.75 * (plant->cut_out_pa - plant->cut_in_pa)};
        }
    }
    return count;
}

/* Normal density with a deviation. */
static double density(double x, double middle, double deviation)
{
    const double z = (x - middle) / deviation;
    return pw_exp(-0.5 * z * z) / (deviation * 2.5066282746310002);
}

/* Expected gain: the entropy of the mixture of outcomes less the mean of theirs, by the rule of Simpson. Bits. */
static double gain(const double *probability, const double *middle, const double *deviation, int32_t count)
{
    enum { PARTS = 2000 };
    double low = PW_INF, high = -PW_INF, own = 0.0, all = 0.0;
    for (int32_t i = 0; i < count; i++) {
        low = pw_min(low, middle[i] - 6.0 * deviation[i]);
        high = pw_max(high, middle[i] + 6.0 * deviation[i]);
        own += probability[i] * (0.5 * pw_log(17.079468445347132 * deviation[i] * deviation[i])); /* 2 pi e */
    }
    for (int32_t k = 0; k <= PARTS; k++) {
        const double x = low + (high - low) * (double)k / PARTS;
        const double weight = k == 0 || k == PARTS ? 1.0 : k % 2 == 1 ? 4.0 : 2.0;
        double p = 0.0;
        for (int32_t i = 0; i < count; i++) {
            p += probability[i] * density(x, middle[i], deviation[i]);
        }
        all -= p > 0.0 ? weight * p * pw_log(p) : 0.0;
    }
    all *= (high - low) / (3.0 * PARTS);
    return pw_max((all - own) / 0.6931471805599453, 0.0);
}

static const double worth_asking = 0.005; /* hypotheses less probable than that are not simulated again */

/* Outcomes of a candidate at the likeliest severity of each hypothesis. */
static pw_status try_next(pw_diagnosing *w, const pw_reading *reading, pw_next_reading *out)
{
    double probability[PW_MAX_HYPOTHESES], middle[PW_MAX_HYPOTHESES], deviation[PW_MAX_HYPOTHESES], sum = 0.0;
    int32_t count = 0;
    out->reading = *reading;
    for (int32_t i = 0; i < w->out->hypothesis_count; i++) {
        const pw_hypothesis *hypothesis = &w->out->hypotheses[i];
        if (hypothesis->probability < worth_asking) {
            continue;
        }
        const double at[3] = {hypothesis->severity.low, hypothesis->severity.best, hypothesis->severity.high};
        const double share[3] = {0.3, 0.4, 0.3};
        double first = 0.0, square = 0.0;
        out->outcome[i].low = PW_INF;
        for (int32_t k = hypothesis->has_severity ? 0 : 1; k < (hypothesis->has_severity ? 3 : 2); k++) {
            const pw_supposed supposed = pw_trial_suppose(&w->trials[i], hypothesis->more_use, at[k]);
            pw_windows windows;
            double error[2];
            const pw_status status = pw_bench_repeat(&w->bench, w->arena, reading, &supposed, 0, &windows, w->problems);
            if (status != PW_OK) {
                return status;
            }
            pw_reading_error(reading, windows.mean, error);
            const double y = windows.mean[0], part = hypothesis->has_severity ? share[k] : 1.0;
            first += part * y;
            square += part * (y * y + error[0]);
            out->outcome[i].low = pw_min(out->outcome[i].low, pw_reading_back(reading->kind, 0, y - pw_sqrt(error[0])));
            out->outcome[i].high =
                pw_max(out->outcome[i].high, pw_reading_back(reading->kind, 0, y + pw_sqrt(error[0])));
            if (k == 1) {
                out->outcome[i].best = pw_reading_back(reading->kind, 0, y);
            }
        }
        probability[count] = hypothesis->probability;
        middle[count] = first;
        deviation[count] = pw_sqrt(pw_max(square - first * first, 1e-12));
        sum += hypothesis->probability;
        count++;
    }
    for (int32_t i = 0; i < count; i++) {
        probability[i] /= sum;
    }
    out->bits = gain(probability, middle, deviation, count);
    return PW_OK;
}

pw_status pw_diagnose_next(pw_diagnosing *w)
{
    pw_reading list[PW_MAX_NEXT];
    const int32_t count = candidates(w, list);
    for (int32_t i = 0; i < count; i++) {
        pw_next_reading next = {0};
        const pw_status status = try_next(w, &list[i], &next);
        if (status != PW_OK) {
            return status;
        }
        int32_t at = w->out->next_count;
        for (; at > 0 && w->out->next[at - 1].bits < next.bits; at--) {
            w->out->next[at] = w->out->next[at - 1];
        }
        w->out->next[at] = next;
        w->out->next_count++;
    }
    return PW_OK;
}
