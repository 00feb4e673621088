/* Which hypothesis the readings speak for, and which reading would tell them apart. */
#include "study/diagnose.h"

#include <string.h>

#include "base/num.h"
#include "formula/vessel.h"
#include "study/diagnose_inside.h"

/* What is held against the readings, and how often it is what is wrong when somebody is called out (own choice, no
 * source; a share of the sum over what is possible on the site). */
typedef struct hypothesis_row {
    pw_fault_kind fault;
    double prior;
} hypothesis_row;
static const hypothesis_row rows[] = {
    {PW_FAULT_NONE, 0.25},           {PW_FAULT_SLOW_LEAK, 0.20},    {PW_FAULT_LOST_AIR, 0.15},
    {PW_FAULT_BACKFLOW, 0.07},       {PW_FAULT_WORN, 0.05},         {PW_FAULT_FLOAT_PASSING, 0.05},
    {PW_FAULT_FALLING_LEVEL, 0.04},  {PW_FAULT_BURST, 0.03},        {PW_FAULT_BLOCKED_INTAKE, 0.03},
    {PW_FAULT_HIGH_PRECHARGE, 0.02}, {PW_FAULT_VALVE_CLOSED, 0.02}, {PW_FAULT_SCALED, 0.02},
    {PW_FAULT_CLOGGED, 0.02},        {PW_FAULT_READS_HIGH, 0.01},   {PW_FAULT_READS_LOW, 0.01},
};
static const double more_use_prior = 0.10;
static const double more_uses[] = {1.3, 1.7, 2.2, 3.0, 4.0, 6.0};

_Static_assert(sizeof rows / sizeof rows[0] + 1 <= PW_MAX_HYPOTHESES, "every row has room");

/* 99.9 % points of chi-squared by degrees of freedom 1 .. 16 (Abramowitz and Stegun, Table 26.8, from memory). */
static const double chi_999[] = {10.828, 13.816, 16.266, 18.467, 20.515, 22.458, 24.322, 26.125,
                                 27.877, 29.588, 31.264, 32.909, 34.528, 36.123, 37.697, 39.252};

/* ---- what each hypothesis foretells ---- */

static void list_hypotheses(pw_diagnosing *w)
{
    pw_diagnosis *out = w->out;
    const pw_site *site = w->bench.site;
    double sum = 0.0;
    for (size_t i = 0; i <= sizeof rows / sizeof rows[0]; i++) {
        const bool more = i == sizeof rows / sizeof rows[0];
        const pw_fault_kind kind = more ? PW_FAULT_NONE : rows[i].fault;
        if (more ? site->demand_count == 0 : kind != PW_FAULT_NONE && !pw_fault_possible(site, kind)) {
            continue;
        }
        pw_trial *t = &w->trials[out->hypothesis_count];
        pw_hypothesis *hypothesis = &out->hypotheses[out->hypothesis_count];
        hypothesis->fault = kind;
        hypothesis->more_use = more;
        t->prior = more ? more_use_prior : rows[i].prior;
        t->supposed = (pw_supposed){.fault = {.kind = kind, .where = -1}, .more_use = 1.0};
        if (more) {
            t->severity_count = (int32_t)(sizeof more_uses / sizeof more_uses[0]);
            memcpy(t->severity, more_uses, sizeof more_uses);
        } else if (kind != PW_FAULT_NONE) {
            t->severity_count =
                pw_fault_severities(site, kind, w->bench.quiet->full_m3s, t->severity, PW_MOST_ON_SCALE);
        }
        hypothesis->has_severity = t->severity_count > 0;
        t->severity_count = t->severity_count > 0 ? t->severity_count : 1;
        for (int32_t s = 0; s < t->severity_count; s++) {
            t->place[s] = (double)s;
        }
        sum += t->prior;
        out->hypothesis_count++;
    }
    for (int32_t i = 0; i < out->hypothesis_count; i++) {
        w->trials[i].prior /= sum;
    }
}

pw_supposed pw_trial_suppose(const pw_trial *t, bool more_use, double severity)
{
    pw_supposed supposed = t->supposed;
    if (more_use) {
        supposed.more_use = severity;
    } else {
        supposed.fault.severity = severity;
    }
    return supposed;
}

/* One severity through all readings. */
static pw_status foretell(pw_diagnosing *w, int32_t hypothesis, int32_t severity)
{
    pw_trial *t = &w->trials[hypothesis];
    const pw_supposed supposed = pw_trial_suppose(t, w->out->hypotheses[hypothesis].more_use, t->severity[severity]);
    for (int32_t r = 0; r < w->out->reading_count; r++) {
        const pw_reading *read = &w->out->readings[r];
        for (int32_t use = 0; use < pw_reading_uses(read); use++) {
            pw_windows windows;
            const pw_status status = pw_bench_repeat(&w->bench, w->arena, read, &supposed, use, &windows, w->problems);
            if (status != PW_OK) {
                return status;
            }
            memcpy(t->mean[r][use][severity], windows.mean, sizeof windows.mean);
            t->freedom[r] += windows.count - 1;
            for (int32_t k = 0; k < 3; k++) {
                t->square[r][k] += windows.square[k];
            }
        }
        for (int32_t k = 0; k < 3; k++) {
            t->spread[r][k] = t->freedom[r] > 0 ? t->square[r][k] / (double)t->freedom[r] : 0.0;
        }
    }
    return PW_OK;
}

/* ---- what follows from it ---- */

double pw_reading_back(pw_reading_kind kind, int32_t part, double y)
{
    if (pw_reading_is_gauge(kind)) {
        return pw_max(part == 0 ? y : 0.0, 0.0);
    }
    return pw_max(pw_exp(y) - (part == 0 ? 0.5 : 5.0), 0.0);
}

/* Mean and spread of one part of what is foretold, over the uses. */
static void moments(const pw_reading *reading, double mean[PW_USES][2], const double spread[3], int32_t part,
                    double *middle, double *deviation)
{
    double sum = 0.0, square = 0.0, weight = 0.0;
    for (int32_t use = 0; use < pw_reading_uses(reading); use++) {
        const double share = pw_reading_uses(reading) > 1 ? pw_use_weight[use] : 1.0;
        double error[2];
        pw_reading_error(reading, mean[use], error);
        const double own = spread[part == 0 ? 0 : 2] + error[part];
        sum += share * mean[use][part];
        square += share * (mean[use][part] * mean[use][part] + own);
        weight += share;
    }
    *middle = sum / weight;
    *deviation = pw_sqrt(pw_max(square / weight - *middle * *middle, 0.0));
}

static pw_estimate estimate_of(const pw_reading *reading, double mean[PW_USES][2], const double spread[3], int32_t part)
{
    double middle, deviation;
    moments(reading, mean, spread, part, &middle, &deviation);
    return (pw_estimate){pw_reading_back(reading->kind, part, middle - 1.645 * deviation),
                         pw_reading_back(reading->kind, part, middle),
                         pw_reading_back(reading->kind, part, middle + 1.645 * deviation)};
}

static void conclude(pw_diagnosing *w, pw_hypothesis *hypothesis, const pw_trial *t, double log_all)
{
    const double best = pw_trial_likeliest(t);
    hypothesis->probability = pw_exp(t->log_evidence - log_all);
    hypothesis->misfit = t->fine_misfit[(int32_t)(best * PW_STEPS_BETWEEN)];
    if (hypothesis->has_severity) {
        hypothesis->severity =
            (pw_estimate){pw_trial_severity(t, pw_trial_quantile(t, 0.05)), pw_trial_severity(t, best),
                          pw_trial_severity(t, pw_trial_quantile(t, 0.95))};
        /* of a part that is left less is worse, so the later quantile may be the lower one */
        pw_estimate *severity = &hypothesis->severity;
        const double low = pw_min(severity->low, severity->high), high = pw_max(severity->low, severity->high);
        severity->low = pw_min(low, severity->best); /* the likeliest may lie at the very end of the scale */
        severity->high = pw_max(high, severity->best);
    }
    for (int32_t r = 0; r < w->out->reading_count; r++) {
        const pw_reading *reading = &w->out->readings[r];
        double mean[PW_USES][2];
        for (int32_t use = 0; use < pw_reading_uses(reading); use++) {
            pw_trial_mean(t, r, use, best, mean[use]);
        }
        hypothesis->foretold[r].first = estimate_of(reading, mean, t->spread[r], 0);
        if (!pw_reading_is_gauge(reading->kind)) {
            hypothesis->foretold[r].second = estimate_of(reading, mean, t->spread[r], 1);
        }
    }
}

/* A place between, tried as well: what is foretold is then no straight line from one severity of the scale to the next.
 */
static pw_status insert(pw_diagnosing *w, int32_t hypothesis, double place)
{
    pw_trial *t = &w->trials[hypothesis];
    const double severity = pw_trial_severity(t, place);
    const int32_t at = pw_trial_below(t, place) + 1;
    if (t->severity_count == PW_MAX_SEVERITIES_TRIED) {
        return PW_OK;
    }
    for (int32_t s = t->severity_count; s > at; s--) {
        t->severity[s] = t->severity[s - 1];
        t->place[s] = t->place[s - 1];
        for (int32_t r = 0; r < w->out->reading_count; r++) {
            for (int32_t use = 0; use < PW_USES; use++) {
                memcpy(t->mean[r][use][s], t->mean[r][use][s - 1], sizeof t->mean[r][use][s]);
            }
        }
    }
    t->severity[at] = severity;
    t->place[at] = place;
    t->severity_count++;
    return foretell(w, hypothesis, at);
}

/* On both sides of the likeliest severity, half as far away each time. */
static pw_status refine(pw_diagnosing *w, int32_t hypothesis)
{
    pw_trial *t = &w->trials[hypothesis];
    double distance = 0.5;
    for (int32_t round = 0; round < PW_REFINED; round++, distance *= 0.5) {
        const double best = pw_trial_likeliest(t), last = t->place[t->severity_count - 1];
        const double beside[2] = {best - distance, best + distance};
        for (int32_t i = 0; i < 2; i++) {
            const double place = pw_floor(beside[i] * PW_STEPS_BETWEEN + 0.5) / PW_STEPS_BETWEEN;
            bool there = place <= 0.0 || place >= last;
            for (int32_t s = 0; s < t->severity_count; s++) {
                there = there || t->place[s] == place;
            }
            const pw_status status = there ? PW_OK : insert(w, hypothesis, place);
            if (status != PW_OK) {
                return status;
            }
        }
        pw_trial_weigh(w, t);
    }
    return PW_OK;
}

static double weigh_all(pw_diagnosing *w)
{
    double log_all = -PW_INF;
    for (int32_t i = 0; i < w->out->hypothesis_count; i++) {
        pw_trial_weigh(w, &w->trials[i]);
        log_all = pw_trial_log_sum(log_all, w->trials[i].log_evidence);
    }
    return log_all;
}

/* Far from all others: no refinement would bring it back (own choice). */
static const double worth_refining = 1e-6;

static pw_status rank(pw_diagnosing *w)
{
    pw_diagnosis *out = w->out;
    double log_all = weigh_all(w);
    for (int32_t i = 0; i < out->hypothesis_count; i++) {
        const bool worth = w->trials[i].log_evidence - log_all > pw_log(worth_refining);
        const pw_status status = worth && out->hypotheses[i].has_severity ? refine(w, i) : PW_OK;
        if (status != PW_OK) {
            return status;
        }
    }
    log_all = weigh_all(w);
    for (int32_t i = 0; i < out->hypothesis_count; i++) {
        conclude(w, &out->hypotheses[i], &w->trials[i], log_all);
    }
    for (int32_t i = 1; i < out->hypothesis_count; i++) {
        for (int32_t k = i; k > 0 && out->hypotheses[k].probability > out->hypotheses[k - 1].probability; k--) {
            const pw_hypothesis hypothesis = out->hypotheses[k];
            const pw_trial t = w->trials[k];
            out->hypotheses[k] = out->hypotheses[k - 1];
            out->hypotheses[k - 1] = hypothesis;
            w->trials[k] = w->trials[k - 1];
            w->trials[k - 1] = t;
        }
    }
    int32_t freedom = 0;
    for (int32_t r = 0; r < out->reading_count; r++) {
        freedom += pw_reading_is_gauge(out->readings[r].kind) ? 1 : 2;
    }
    double least = PW_INF;
    for (int32_t i = 0; i < out->hypothesis_count; i++) {
        least = pw_min(least, out->hypotheses[i].misfit);
    }
    out->explained = least <= chi_999[freedom - 1];
    return PW_OK;
}

/* ---- what the counters of a quiet time say by themselves ---- */

/* Mean flow between cut-in and cut-out, by the rule of Simpson over the pressure. */
static pw_status mean_flow(pw_diagnosing *w, int32_t pump, double *out_m3s)
{
    const pw_plant *plant = w->bench.quiet;
    const double part[3] = {1.0 / 6.0, 4.0 / 6.0, 1.0 / 6.0};
    *out_m3s = 0.0;
    for (int32_t i = 0; i < 3; i++) {
        const double pa = plant->cut_in_pa + 0.5 * i * (plant->cut_out_pa - plant->cut_in_pa);
        pw_duty duty;
        const pw_status status = pw_model_duty(plant->model, w->arena, pump, pa, &duty, w->problems);
        if (status != PW_OK) {
            return status;
        }
        *out_m3s += part[i] * duty.flow_m3s;
    }
    return PW_OK;
}

static pw_status balance(pw_diagnosing *w, int32_t reading)
{
    const pw_reading *read = &w->out->readings[reading];
    pw_quiet_balance *out = &w->out->quiet[reading];
    if (read->kind != PW_READING_QUIET || read->starts == 0 || w->bench.quiet->cut_out_pa <= 0.0) {
        return PW_OK;
    }
    pw_status status = mean_flow(w, read->pump, &out->pumped_m3s);
    if (status == PW_OK) {
        status = pw_bench_drawdown(&w->bench, w->arena, read->pump, &out->sheet_m3, w->problems);
    }
    if (status != PW_OK) {
        return status;
    }
    const double curve = 0.09, half = 0.5 / (double)read->starts; /* pump's flow; turns cut by the ends */
    const double leak = pw_cycle_leak_m3s(out->pumped_m3s, read->ran_s, read->over_s);
    const double drawdown = pw_cycle_drawdown_m3(out->pumped_m3s, read->ran_s, read->over_s, (double)read->starts);
    const double apart = pw_sqrt(curve * curve + half * half);
    out->known = out->pumped_m3s > 0.0;
    out->leak_m3s = (pw_estimate){leak * (1.0 - apart), leak, leak * (1.0 + apart)};
    out->drawdown_m3 = (pw_estimate){drawdown * (1.0 - apart), drawdown, drawdown * (1.0 + apart)};
    return PW_OK;
}

/* ---- the whole ---- */

static pw_status check_readings(const pw_site *site, const pw_reading *readings, int32_t count, pw_problems *problems)
{
    bool fine = count >= 1 && count <= PW_MAX_READINGS;
    for (int32_t i = 0; fine && i < count; i++) {
        const pw_reading *r = &readings[i];
        fine = r->over_s > 0.0 && r->over_s <= 3660.0 * 86400.0;
        if (pw_reading_is_gauge(r->kind)) {
            fine = fine && r->from_pa >= r->to_pa;
        } else {
            fine = fine && r->pump >= 0 && r->pump < site->pump_count && r->starts >= 0 && r->ran_s >= 0.0 &&
                   r->ran_s <= r->over_s;
        }
    }
    return fine ? PW_OK : pw_problem_add(problems, PW_RANGE, "readings", "", "", "");
}

/* Long times are simulated by a part of them: rates do not change, the spread falls with the length. */
static void shorten(pw_reading *reading)
{
    const double longest_s = (reading->kind == PW_READING_COUNTERS ? 14.0 : 3.0) * 86400.0;
    if (!pw_reading_is_gauge(reading->kind) && reading->over_s > longest_s) {
        const double part = longest_s / reading->over_s;
        reading->over_s = longest_s;
        reading->ran_s *= part;
        reading->starts = (int64_t)pw_floor((double)reading->starts * part + 0.5);
    }
}

static void plan(pw_diagnosing *w)
{
    for (int32_t i = 0; i < w->out->hypothesis_count; i++) {
        for (int32_t r = 0; r < w->out->reading_count; r++) {
            w->bench.planned += (int64_t)pw_reading_uses(&w->out->readings[r]) * w->trials[i].severity_count;
        }
    }
    w->bench.planned += 3 * (int64_t)w->out->hypothesis_count;
}

pw_status pw_diagnose(pw_arena *arena, const pw_site *site, const pw_reading *readings, int32_t count,
                      const pw_diagnose_options *options, pw_diagnosis **out, pw_problems *problems)
{
    pw_status status = check_readings(site, readings, count, problems);
    if (status != PW_OK) {
        return status;
    }
    pw_diagnosing w = {.arena = arena, .problems = problems, .out = PW_NEW(arena, 1, pw_diagnosis)};
    w.trials = PW_NEW(arena, PW_MAX_HYPOTHESES, pw_trial);
    if (w.out == NULL || w.trials == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", "", "", "");
    }
    w.out->reading_count = count;
    memcpy(w.out->readings, readings, (size_t)count * sizeof readings[0]);
    for (int32_t r = 0; r < count; r++) {
        shorten(&w.out->readings[r]);
    }
    status = pw_bench_make(arena, site, options, &w.bench, problems);
    if (status != PW_OK) {
        return status;
    }
    list_hypotheses(&w);
    plan(&w);
    for (int32_t i = 0; i < w.out->hypothesis_count && status == PW_OK; i++) {
        for (int32_t s = 0; s < w.trials[i].severity_count && status == PW_OK; s++) {
            status = foretell(&w, i, s);
        }
    }
    if (status == PW_OK) {
        status = rank(&w);
    }
    for (int32_t r = 0; r < count && status == PW_OK; r++) {
        status = balance(&w, r);
    }
    if (status == PW_OK) {
        status = pw_diagnose_next(&w);
    }
    w.out->simulated_ms = w.bench.simulated_ms;
    *out = w.out;
    return status;
}
