/* Plan: the list of jobs of a proof. Healthy years come first because they take longest, so that shells that share jobs
 * out over cores finish evenly.
 */
#include <string.h>

#include "base/num.h"
#include "study/prove.h"

enum { MAX_SEVERITIES = 16, MOST_JOBS = 20000 };
#define DAY_MS        ((int64_t)86400 * 1000)
#define SWEEP_LOW_M3S (0.05e-3 / 60.0) /* 0.05 L/min: a tap that drips fast, about 70 L a day (common practice) */
/* part of the pump's flow that is left beside a large leak: 0.5 % to 40 % */
#define LEFT_LEAST 0.005
#define LEFT_MOST  0.4

void pw_proof_defaults(pw_proof_options *out)
{
    memset(out, 0, sizeof *out);
    out->healthy_years = 10;
    out->horizon_s = 14.0 * 86400.0;
    out->sweep_count = 48;
    out->seed = 1;
    out->onset_ms = (int64_t)34 * 3600 * 1000; /* Tuesday 10:00: the simulation begins on a Monday at midnight */
    out->confidence = 0.95;
    out->places = 1;
    out->onsets = 1;
    out->margins = true;
    out->edges = true;
}

static pw_status check_options(const pw_proof_options *options, pw_problems *problems)
{
    if (options->healthy_years < 0 || options->healthy_years > 1000) {
        return pw_problem_add(problems, PW_RANGE, "options.healthy_years", NULL, "0 to 1000 years", NULL);
    }
    if (!(options->horizon_s >= 60.0 && options->horizon_s <= 366.0 * 86400.0)) {
        return pw_problem_add(problems, PW_RANGE, "options.horizon_s", NULL, "1 min to 366 days", NULL);
    }
    if (options->sweep_count < 0 || options->sweep_count > PW_MAX_SWEEP) {
        return pw_problem_add(problems, PW_RANGE, "options.sweep_count", NULL, "0 to 400 leak sizes", NULL);
    }
    if (options->onset_ms < 0 || options->onset_ms > (int64_t)366 * 86400 * 1000) {
        return pw_problem_add(problems, PW_RANGE, "options.onset_ms", NULL, "within the first year", NULL);
    }
    if (options->places < 1 || options->places > PW_MAX_PLACES_TRIED) {
        return pw_problem_add(problems, PW_RANGE, "options.places", NULL, "1 to 100 places", NULL);
    }
    if (options->onsets < 1 || options->onsets > PW_MAX_ONSETS) {
        return pw_problem_add(problems, PW_RANGE, "options.onsets", NULL, "1 to 24 times of the day", NULL);
    }
    if (!(options->confidence > 0.0 && options->confidence < 1.0)) {
        return pw_problem_add(problems, PW_RANGE, "options.confidence", NULL, "between 0 and 1", "0.95 is usual");
    }
    return PW_OK;
}

static void add_job(pw_jobs *jobs, pw_job_kind kind, pw_fault_kind fault, double severity, int64_t onset_ms,
                    int32_t year)
{
    pw_job *job = &jobs->jobs[jobs->count];
    job->kind = kind;
    job->fault.kind = fault;
    job->fault.severity = severity;
    job->fault.where = -1;
    job->fault.onset_ms = onset_ms;
    job->year = year;
    jobs->count++;
}

static void add_sorted(double *sizes, int32_t count, double size)
{
    int32_t at = count;
    for (; at > 0 && sizes[at - 1] > size; at--) {
        sizes[at] = sizes[at - 1];
    }
    sizes[at] = size;
}

/* Three quarters of the sizes in equal ratios over the whole range, where small leaks are told apart; the last quarter
 * in equal ratios of what is left of the pump's flow, because a gap between a limit of starts and one of run time lies
 * close under that flow. */
static void add_sweep(pw_jobs *jobs, const pw_proof_options *options)
{
    double sizes[PW_MAX_SWEEP];
    int32_t close = options->sweep_count >= 8 ? options->sweep_count / 4 : 0, even = options->sweep_count - close;
    double top = jobs->pump_m3s, step = pw_log(top / SWEEP_LOW_M3S) / (double)(even - 1);
    for (int32_t i = 0; i < even; i++) {
        sizes[i] = i == even - 1 ? top : SWEEP_LOW_M3S * pw_exp(step * (double)i);
    }
    step = close > 1 ? pw_log(LEFT_MOST / LEFT_LEAST) / (double)(close - 1) : 0.0;
    for (int32_t i = 0; i < close; i++) {
        add_sorted(sizes, even + i, top * (1.0 - LEFT_LEAST * pw_exp(step * (double)i)));
    }
    for (int32_t i = 0; i < options->sweep_count; i++) {
        add_job(jobs, PW_JOB_SWEEP, PW_SWEPT_FAULT, sizes[i], options->onset_ms, 0);
    }
}

/* Upper bound of the jobs that add_kind adds for all kinds. */
static int32_t count_faults(const pw_site *site, const pw_proof_options *options)
{
    int32_t sum = 0;
    for (int32_t kind = PW_FAULT_NONE + 1; kind < PW_FAULT_COUNT; kind++) {
        double severities[MAX_SEVERITIES];
        int32_t wheres[PW_MAX_PLACES_TRIED];
        sum += pw_fault_severities(site, (pw_fault_kind)kind, 0.0, severities, MAX_SEVERITIES) *
               pw_fault_wheres(site, (pw_fault_kind)kind, wheres, options->places) * options->onsets;
    }
    return sum;
}

/* One kind at all its severities, at the places and times that the options ask for. */
static void add_kind(pw_jobs *jobs, const pw_site *site, const pw_proof_options *options, pw_fault_kind kind)
{
    double severities[MAX_SEVERITIES];
    int32_t wheres[PW_MAX_PLACES_TRIED];
    int32_t count = pw_fault_severities(site, kind, jobs->pump_m3s, severities, MAX_SEVERITIES);
    int32_t places = pw_fault_wheres(site, kind, wheres, options->places);
    for (int32_t w = 0; w < places; w++) {
        for (int32_t o = 0; o < options->onsets; o++) {
            for (int32_t i = 0; i < count && i < MAX_SEVERITIES; i++) {
                add_job(jobs, PW_JOB_FAULT, kind, severities[i], options->onset_ms + o * (DAY_MS / options->onsets), 0);
                pw_job *job = &jobs->jobs[jobs->count - 1];
                job->fault.where = w > 0 ? wheres[w] : -1;
                job->extra = w > 0 || o > 0;
            }
        }
    }
}

/* Two at once, each at the middle of its scale, and each at its worst. */
static void add_pairs(pw_jobs *jobs, const pw_site *site, const pw_proof_options *options)
{
    for (int32_t p = 0; p < pw_fault_pair_count(); p++) {
        const pw_fault_pair *pair = pw_fault_pair_at(p);
        double first[MAX_SEVERITIES], second[MAX_SEVERITIES];
        int32_t firsts = pw_fault_severities(site, pair->first, jobs->pump_m3s, first, MAX_SEVERITIES);
        int32_t seconds = pw_fault_severities(site, pair->second, jobs->pump_m3s, second, MAX_SEVERITIES);
        for (int32_t worst = firsts > 0 && seconds > 0 ? 0 : 2; worst < 2; worst++) {
            int32_t a = worst == 1 ? firsts - 1 : (firsts - 1) / 2, b = worst == 1 ? seconds - 1 : (seconds - 1) / 2;
            if (worst == 1 && firsts == 1 && seconds == 1) {
                continue; /* the same again */
            }
            add_job(jobs, PW_JOB_FAULT, pair->first, first[a], options->onset_ms, 0);
            pw_job *job = &jobs->jobs[jobs->count - 1];
            job->extra = true;
            job->second = job->fault;
            job->second.kind = pair->second;
            job->second.severity = second[b];
        }
    }
}

pw_status pw_proof_plan(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, pw_jobs **out,
                        pw_problems *problems)
{
    *out = NULL;
    pw_status status = check_options(options, problems);
    if (status != PW_OK) {
        return status;
    }
    int32_t room = options->healthy_years + PW_MOVES + options->sweep_count + 2 * pw_fault_pair_count() +
                   count_faults(plant->site, options);
    if (room > MOST_JOBS) {
        return pw_problem_add(problems, PW_LIMIT, "options.places", NULL, "fewer places or times: at most 20000 trials",
                              NULL);
    }
    pw_jobs *jobs = PW_NEW(arena, 1, pw_jobs);
    pw_job *list = PW_NEW(arena, room, pw_job);
    if (jobs == NULL || list == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", NULL, NULL, NULL);
    }
    jobs->jobs = list;
    jobs->reference_pa = plant->reference_pa;
    jobs->pump_m3s = plant->full_m3s;

    for (int32_t year = 0; year < options->healthy_years; year++) {
        add_job(jobs, PW_JOB_HEALTHY, PW_FAULT_NONE, 0.0, 0, year);
    }
    for (int32_t move = 0; move < PW_MOVES && options->margins && options->healthy_years > 0; move++) {
        if (pw_move_possible(plant->site, (pw_move)move)) {
            add_job(jobs, PW_JOB_MARGIN, PW_FAULT_NONE, 0.0, 0, move);
        }
    }
    for (int32_t kind = PW_FAULT_NONE + 1; kind < PW_FAULT_COUNT; kind++) {
        if (!pw_fault_possible(plant->site, (pw_fault_kind)kind)) {
            continue;
        }
        add_kind(jobs, plant->site, options, (pw_fault_kind)kind);
    }
    if (options->pairs) {
        add_pairs(jobs, plant->site, options);
    }
    if (pw_fault_possible(plant->site, PW_SWEPT_FAULT) && jobs->pump_m3s > 2.0 * SWEEP_LOW_M3S &&
        options->sweep_count >= 2) {
        add_sweep(jobs, options);
    }
    *out = jobs;
    return PW_OK;
}
