/* From what all jobs reached to the advice: pure, whatever the order in which the jobs were done. */
#include <string.h>

#include "base/num.h"
#include "formula/rare.h"
#include "study/advise_inside.h"

bool advise_stays(const pw_advise_plan *plan, int32_t sentence)
{
    return pw_settings_is_watch(plan->plant->settings, sentence) && plan->family_of[sentence] < 0 &&
           !plan->dropped[sentence];
}

static bool is_lock(const pw_advise_plan *plan, int32_t sentence)
{
    return pw_settings_kind(plan->plant->settings, sentence) == PW_SENTENCE_LOCK;
}

/* What a fault costs when it is seen then (-1: never), having lost that. */
static double cost_of(const advise_maker *m, const pw_reach *reach, int64_t first_ms, double lost_m3)
{
    const pw_advise_options *options = &m->plan->options;
    const bool seen = first_ms >= 0;
    const bool harmed = reach->harm_ms >= 0 && (!seen || reach->harm_ms <= first_ms);
    return options->water_per_m3 * (seen ? lost_m3 : reach->end_lost_m3) + (harmed ? options->pump : 0.0) +
           (seen ? 0.0 : options->call_out);
}

/* ---- the tables ---- */

static bool list_jobs(advise_maker *m)
{
    const pw_jobs *jobs = m->plan->jobs;
    advise_tables *t = &m->tables;
    int32_t *faults = PW_NEW(m->arena, jobs->count, int32_t);
    double *weight = PW_NEW(m->arena, jobs->count, double);
    int32_t of_kind[PW_FAULT_COUNT + 1] = {0};
    m->years = PW_NEW(m->arena, jobs->count, int32_t);
    if (faults == NULL || weight == NULL || m->years == NULL) {
        return false;
    }
    for (int32_t i = 0; i < jobs->count; i++) {
        const pw_job *job = &jobs->jobs[i];
        if (job->kind == PW_JOB_HEALTHY) {
            m->years[t->years] = i;
            t->years++;
        } else if (pw_advise_does(m->plan, i)) {
            faults[t->faults] = i;
            t->faults++;
            of_kind[job->kind == PW_JOB_SWEEP ? PW_FAULT_COUNT : job->fault.kind]++;
            m->out->faults += job->kind == PW_JOB_FAULT ? 1 : 0;
            m->out->sizes += job->kind == PW_JOB_SWEEP ? 1 : 0;
        }
    }
    for (int32_t i = 0; i < t->faults; i++) {
        const pw_job *job = &jobs->jobs[faults[i]];
        const int32_t alike = of_kind[job->kind == PW_JOB_SWEEP ? PW_FAULT_COUNT : job->fault.kind];
        weight[i] = 1.0 / (m->plan->options.fault_years * (double)alike);
    }
    t->plan = m->plan;
    t->jobs = faults;
    t->weight = weight;
    m->out->years = t->years;
    return true;
}

/* A warning that comes in health, too, is no catch; a lock out that does is a false stop. */
static void judge_present(advise_maker *m)
{
    for (int32_t i = 0; i < pw_settings_count(m->plan->plant->settings); i++) {
        bool in_health = false;
        for (int32_t y = 0; y < m->tables.years && m->plan->trial_of[i] >= 0; y++) {
            in_health = in_health || m->reaches[m->years[y]].present_ms[i] >= 0;
        }
        m->out->counts[i] = m->plan->trial_of[i] >= 0 && (is_lock(m->plan, i) || !in_health);
    }
}

/* It stays as it is, whatever is chosen. */
static bool stands(const pw_advice *advice, int32_t sentence)
{
    return advise_stays(advice->plan, sentence) || advice->held[sentence];
}

/* The first of the present watches that counts; only those that stay, or all. */
static int64_t first_present(const pw_advice *advice, const pw_reach *reach, bool all, double *lost_m3)
{
    int64_t first_ms = -1;
    for (int32_t i = 0; i < pw_settings_count(advice->plan->plant->settings); i++) {
        const int64_t t_ms = reach->present_ms[i];
        if (advice->counts[i] && (all || stands(advice, i)) && t_ms >= 0 && (first_ms < 0 || t_ms < first_ms)) {
            first_ms = t_ms;
            *lost_m3 = reach->present_m3[i];
        }
    }
    return first_ms;
}

static bool stops_year(const advise_maker *m, const pw_reach *year, bool all)
{
    for (int32_t i = 0; i < pw_settings_count(m->plan->plant->settings); i++) {
        if (m->plan->trial_of[i] >= 0 && is_lock(m->plan, i) && year->present_ms[i] >= 0 &&
            (all || stands(m->out, i))) {
            return true;
        }
    }
    return false;
}

static void note_year(advise_years *years, int32_t y)
{
    years->bits[y / 64] |= (uint64_t)1 << (y % 64);
}

/* What faults cost with nothing but what stays. */
void advise_fill_stays(advise_maker *m)
{
    advise_tables *t = &m->tables;
    for (int32_t f = 0; f < t->faults; f++) {
        const pw_reach *reach = &m->reaches[t->jobs[f]];
        double lost_m3 = 0.0;
        const int64_t first_ms = first_present(m->out, reach, false, &lost_m3);
        t->stays[f] = cost_of(m, reach, first_ms, lost_m3);
    }
}

static bool fill_tables(advise_maker *m)
{
    advise_tables *t = &m->tables;
    const int32_t limits = m->plan->limit_count;
    t->loss = PW_NEW(m->arena, (size_t)limits * (size_t)t->faults + 1, double);
    t->stays = PW_NEW(m->arena, t->faults + 1, double);
    t->near_a = PW_NEW(m->arena, limits + 1, double);
    if (t->loss == NULL || t->stays == NULL || t->near_a == NULL) {
        return false;
    }
    for (int32_t s = 0; s < PW_SLACKS; s++) {
        t->stopped[s] = PW_NEW(m->arena, limits, advise_years);
        if (t->stopped[s] == NULL) {
            return false;
        }
        for (int32_t i = 0; i < limits; i++) {
            for (int32_t y = 0; y < t->years; y++) {
                if (m->reaches[m->years[y]].slack[i] <= s) {
                    note_year(&t->stopped[s][i], y);
                }
            }
        }
    }
    for (int32_t y = 0; y < t->years; y++) {
        if (stops_year(m, &m->reaches[m->years[y]], false)) {
            note_year(&t->kept, y);
        }
    }
    for (int32_t i = 0; i < limits; i++) {
        t->near_a[i] = advise_near_a(m, advise_distance(t, i));
    }
    advise_fill_stays(m);
    for (int32_t f = 0; f < t->faults; f++) {
        const pw_reach *reach = &m->reaches[t->jobs[f]];
        for (int32_t i = 0; i < limits; i++) {
            t->loss[i * t->faults + f] = cost_of(m, reach, reach->first_ms[i], reach->lost_m3[i]);
        }
    }
    return true;
}

/* ---- judged ---- */

/* When a fault is first seen under a choice, with what stays; -1 never. */
static int64_t first_of(const pw_advice *advice, const pw_reach *reach, const int32_t *pick, double *lost_m3)
{
    int64_t first_ms = first_present(advice, reach, advice->keeps, lost_m3);
    for (int32_t f = 0; f < advice->plan->family_count; f++) {
        const int64_t t_ms = pick[f] >= 0 ? reach->first_ms[pick[f]] : -1;
        if (t_ms >= 0 && (first_ms < 0 || t_ms < first_ms)) {
            first_ms = t_ms;
            *lost_m3 = reach->lost_m3[pick[f]];
        }
    }
    return first_ms;
}

/* False stops a year that are to be feared of what was not counted; pick NULL: under the settings as they are. */
static double near_of(const advise_maker *m, const int32_t *pick)
{
    double near_a = 0.0;
    for (int32_t f = 0; pick != NULL && f < m->plan->family_count; f++) {
        near_a += pick[f] >= 0 ? m->tables.near_a[pick[f]] : 0.0;
    }
    for (int32_t i = 0; i < pw_settings_count(m->plan->plant->settings); i++) {
        const bool there = m->plan->family_of[i] >= 0 && (pick == NULL || m->out->held[i]);
        near_a += there ? advise_near_a(m, advise_present_distance(m, i)) : 0.0;
    }
    return near_a;
}

/* pick NULL: the settings as they are. */
static pw_trade trade_of(const advise_maker *m, const int32_t *pick)
{
    const advise_tables *t = &m->tables;
    const pw_advise_options *options = &m->plan->options;
    pw_trade out = {0};
    for (int32_t f = 0; f < t->faults; f++) {
        const pw_reach *reach = &m->reaches[t->jobs[f]];
        double lost_m3 = 0.0;
        const int64_t first_ms =
            pick != NULL ? first_of(m->out, reach, pick, &lost_m3) : first_present(m->out, reach, true, &lost_m3);
        out.unseen += first_ms < 0 && m->plan->jobs->jobs[t->jobs[f]].kind == PW_JOB_FAULT ? 1 : 0;
        out.lost_m3_a += t->weight[f] * (first_ms < 0 ? reach->end_lost_m3 : lost_m3);
        out.cost_a += t->weight[f] * cost_of(m, reach, first_ms, lost_m3);
    }
    advise_years stopped = t->kept;
    for (int32_t y = 0; y < t->years; y++) {
        bool stops = pick == NULL && stops_year(m, &m->reaches[m->years[y]], true);
        for (int32_t f = 0; pick != NULL && f < m->plan->family_count; f++) {
            stops = stops || (pick[f] >= 0 && m->reaches[m->years[y]].slack[pick[f]] == 0);
        }
        if (stops) {
            note_year(&stopped, y);
        }
    }
    out.stopped = advise_count_years(&stopped);
    out.cost_a += options->call_out * ((double)out.stopped / pw_max((double)t->years, 1.0) + near_of(m, pick));
    return out;
}

static double upper_of(const advise_maker *m, int32_t stopped)
{
    const double years = (double)m->tables.years, seen = pw_demand_years_seen(&m->out->basis, years);
    if (!(seen > 0.0)) {
        return PW_INF;
    }
    const double count = pw_ceil((double)stopped * seen / years - 1e-9);
    return pw_poisson_upper((int32_t)count, m->plan->options.proof.confidence) / seen;
}

/* ---- the choice ---- */

static void allow(advise_maker *m)
{
    const pw_advise_options *options = &m->plan->options;
    const double most_a = (double)options->at_most / (options->at_most_s / PW_HEALTHY_YEAR_S);
    m->out->allowed = 0;
    m->out->shown = upper_of(m, 0) <= most_a;
    while (m->out->allowed + 1 < m->tables.years && upper_of(m, m->out->allowed + 1) <= most_a) {
        m->out->allowed++;
    }
}

/* With one more of the healthy years stopped each time, until nothing is gained any more. */
static pw_status trade(advise_maker *m)
{
    pw_advice *out = m->out;
    pw_advise_plan plan = *m->plan; /* what a call-out costs is the other axis */
    advise_tables tables = m->tables;
    plan.options.call_out = 0.0;
    tables.plan = &plan;
    for (int32_t allowed = 0; allowed <= m->tables.years && out->trade_count < PW_MAX_TRADES; allowed++) {
        advise_choice one;
        const pw_status status = advise_search(m->arena, &tables, allowed, -1, &one);
        if (status != PW_OK) {
            return status;
        }
        const pw_trade point = trade_of(m, one.pick);
        const pw_trade *last = out->trade_count > 0 ? &out->trades[out->trade_count - 1] : NULL;
        if (last == NULL || point.stopped > last->stopped) {
            out->trades[out->trade_count] = point;
            memcpy(out->trades[out->trade_count].pick, one.pick, sizeof one.pick);
            out->trade_count++;
        }
    }
    return PW_OK;
}

/* ---- margins ---- */

static int32_t unseen_with(const advise_maker *m, const int32_t *pick)
{
    int32_t unseen = 0;
    for (int32_t f = 0; f < m->tables.faults; f++) {
        double lost_m3 = 0.0;
        unseen += first_of(m->out, &m->reaches[m->tables.jobs[f]], pick, &lost_m3) < 0 ? 1 : 0;
    }
    return unseen;
}

static pw_status find_margins(advise_maker *m, const advise_choice *best)
{
    const pw_advise_plan *plan = m->plan;
    const int32_t unseen = unseen_with(m, best->pick);
    for (int32_t f = 0; f < plan->family_count; f++) {
        pw_chosen *chosen = &m->out->chosen[f];
        const int32_t mine = best->pick[f];
        *chosen = (pw_chosen){mine, -1, -1, 0.0};
        if (mine < 0) {
            continue;
        }
        const pw_family *family = &plan->families[f];
        for (int32_t i = family->first; i < family->first + family->count; i++) {
            if (advise_alike(plan, &plan->limits[i], &plan->limits[mine]) && i > mine && chosen->stops_from < 0 &&
                advise_count_years(&m->tables.stopped[0][i]) > advise_count_years(&m->tables.stopped[0][mine])) {
                chosen->stops_from = i;
            }
        }
        for (int32_t i = mine - 1; i >= family->first && chosen->misses_from < 0; i--) {
            int32_t pick[PW_MAX_FAMILIES];
            memcpy(pick, best->pick, sizeof pick);
            pick[f] = i;
            if (advise_alike(plan, &plan->limits[i], &plan->limits[mine]) && unseen_with(m, pick) > unseen) {
                chosen->misses_from = i;
            }
        }
        advise_choice without;
        const pw_status status = advise_search(m->arena, &m->tables, m->out->allowed, f, &without);
        if (status != PW_OK) {
            return status;
        }
        chosen->earns_a = pw_max(without.cost_a - best->cost_a, 0.0) + plan->options.sentence;
    }
    return PW_OK;
}

/* ---- blind bands ---- */

static void find_bands(advise_maker *m, const int32_t *pick)
{
    pw_advice *out = m->out;
    const pw_jobs *jobs = m->plan->jobs;
    pw_leak_band *open = NULL;
    int32_t last = -1;
    for (int32_t i = 0; i < jobs->count; i++) {
        double lost_m3 = 0.0;
        if (jobs->jobs[i].kind != PW_JOB_SWEEP) {
            continue;
        }
        if (first_of(m->out, &m->reaches[i], pick, &lost_m3) >= 0) {
            open = NULL;
        } else if (open != NULL || out->band_count < PW_MAX_BANDS) {
            const double size = jobs->jobs[i].fault.severity;
            const double day_m3 = m->reaches[i].end_lost_m3 * 86400.0 / m->plan->options.unseen_s;
            if (open == NULL) {
                open = &out->bands[out->band_count];
                out->band_count++;
                *open = (pw_leak_band){.from_m3s = size, .open_below = last < 0};
            }
            open->to_m3s = size;
            open->lost_m3d = pw_max(open->lost_m3d, day_m3);
        }
        last = i;
    }
    if (open != NULL) {
        open->open_above = true;
    }
}

/* Cheaper than what there is, or it stops fewer healthy years. */
static bool is_better(const pw_advice *advice)
{
    for (int32_t i = 0; i < pw_settings_count(advice->plan->plant->settings); i++) {
        if (advice->plan->dropped[i]) {
            return true; /* the present settings cannot stay */
        }
    }
    return advice->advised.stopped < advice->present.stopped || advice->advised.cost_a < advice->present.cost_a;
}

static void keep_present(advise_maker *m, advise_choice *best)
{
    m->out->keeps = true;
    m->out->advised = m->out->present;
    m->out->upper_a = m->out->present_upper_a;
    for (int32_t f = 0; f < PW_MAX_FAMILIES; f++) {
        best->pick[f] = -1;
        m->out->chosen[f] = (pw_chosen){-1, -1, -1, 0.0};
    }
}

pw_status pw_advise_assemble(pw_arena *arena, const pw_advise_plan *plan, const pw_reach *reaches, pw_advice **out,
                             pw_problems *problems)
{
    advise_maker *m = PW_NEW(arena, 1, advise_maker);
    *out = PW_NEW(arena, 1, pw_advice);
    if (m == NULL || *out == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", NULL, NULL, NULL);
    }
    *m = (advise_maker){.arena = arena, .plan = plan, .reaches = reaches, .out = *out};
    (*out)->plan = plan;
    (*out)->reaches = reaches;
    (*out)->basis = pw_demand_basis_of(plan->plant->site);
    advise_choice best;
    pw_status status = list_jobs(m) ? PW_OK : PW_MEMORY;
    if (status == PW_OK) {
        judge_present(m);
        status = fill_tables(m) ? PW_OK : PW_MEMORY;
    }
    if (status == PW_OK) {
        allow(m);
        status = advise_choose(m, &best);
    }
    if (status == PW_OK) {
        int32_t none[PW_MAX_FAMILIES];
        memset(none, -1, sizeof none);
        (*out)->advised = trade_of(m, best.pick);
        (*out)->present = trade_of(m, NULL);
        (*out)->nothing = trade_of(m, none);
        (*out)->upper_a = upper_of(m, (*out)->advised.stopped);
        (*out)->present_upper_a = upper_of(m, (*out)->present.stopped);
        status = find_margins(m, &best);
    }
    if (status == PW_OK) {
        status = trade(m);
    }
    if (status == PW_OK && !is_better(*out)) {
        keep_present(m, &best);
    }
    if (status == PW_OK) {
        find_bands(m, best.pick);
        status = advise_make_list(m, problems);
    }
    return status == PW_OK ? PW_OK : pw_problem_add(problems, status, "", NULL, NULL, NULL);
}

/* ---- the list at work ---- */

int64_t pw_advise_foretold_ms(const pw_advice *advice, int32_t job)
{
    const bool healthy = advice->plan->jobs->jobs[job].kind == PW_JOB_HEALTHY;
    const pw_reach *reach = &advice->reaches[job];
    int64_t first_ms = -1;
    double lost_m3 = 0.0;
    if (!pw_advise_does(advice->plan, job)) {
        return -1;
    }
    if (!healthy) {
        int32_t pick[PW_MAX_FAMILIES];
        for (int32_t f = 0; f < advice->plan->family_count; f++) {
            pick[f] = advice->chosen[f].limit;
        }
        return first_of(advice, reach, pick, &lost_m3);
    }
    for (int32_t i = 0; i < pw_settings_count(advice->plan->plant->settings); i++) {
        const bool stays = advice->keeps || stands(advice, i);
        const int64_t t_ms = stays && is_lock(advice->plan, i) ? reach->present_ms[i] : -1;
        first_ms = t_ms >= 0 && (first_ms < 0 || t_ms < first_ms) ? t_ms : first_ms;
    }
    for (int32_t f = 0; f < advice->plan->family_count; f++) {
        const int32_t limit = advice->chosen[f].limit;
        const int64_t t_ms = limit >= 0 ? reach->first_ms[limit] : -1;
        first_ms = t_ms >= 0 && (first_ms < 0 || t_ms < first_ms) ? t_ms : first_ms;
    }
    return first_ms;
}

bool pw_advise_checks(const pw_advice *advice, int32_t job)
{
    const pw_job *of = &advice->plan->jobs->jobs[job];
    return pw_advise_does(advice->plan, job) &&
           (of->kind != PW_JOB_HEALTHY || of->year < PW_YEARS_AT_WORK || pw_advise_foretold_ms(advice, job) >= 0);
}

/* The same when both never, or within a second: a probe ends steps of the integrator where the list has none. */
void pw_advise_checked(pw_advice *advice, const pw_reach_check *checks)
{
    advice->checked = true;
    for (int32_t i = 0; i < advice->plan->jobs->count; i++) {
        if (!pw_advise_checks(advice, i)) {
            continue;
        }
        const int64_t foretold_ms = pw_advise_foretold_ms(advice, i), is_ms = checks[i].first_ms;
        const int64_t apart_ms = foretold_ms - is_ms;
        const bool both = foretold_ms >= 0 && is_ms >= 0;
        advice->checked_jobs++;
        advice->checked_same += both ? (apart_ms <= 1000 && apart_ms >= -1000) : foretold_ms < 0 && is_ms < 0;
        advice->checked_stops += advice->plan->jobs->jobs[i].kind == PW_JOB_HEALTHY && is_ms >= 0 ? 1 : 0;
    }
}
