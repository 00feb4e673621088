/* Every hypothesis simulated, its logs taken by the code that takes the real one. */
#include <string.h>

#include "study/diagnose_inside.h"
#include "study/log_judge.h"

/* How often each is what is wrong when somebody reads a log (own choice, no source; shares of the sum over what is
 * possible on the site). */
typedef struct prior_row {
    pw_fault_kind fault;
    double prior;
} prior_row;
static const prior_row rows[] = {
    {PW_FAULT_NONE, 0.30},          {PW_FAULT_SLOW_LEAK, 0.13},      {PW_FAULT_LOST_AIR, 0.09},
    {PW_FAULT_BACKFLOW, 0.05},      {PW_FAULT_WORN, 0.05},           {PW_FAULT_FLOAT_PASSING, 0.04},
    {PW_FAULT_BURST, 0.03},         {PW_FAULT_BLOCKED_INTAKE, 0.03}, {PW_FAULT_FALLING_LEVEL, 0.03},
    {PW_FAULT_DRY_SOURCE, 0.03},    {PW_FAULT_VALVE_CLOSED, 0.03},   {PW_FAULT_HIGH_PRECHARGE, 0.02},
    {PW_FAULT_RUPTURED_CELL, 0.02}, {PW_FAULT_CLOGGED, 0.02},        {PW_FAULT_SCALED, 0.02},
    {PW_FAULT_READS_HIGH, 0.015},   {PW_FAULT_READS_LOW, 0.015},     {PW_FAULT_SENSOR_STUCK, 0.01},
    {PW_FAULT_SWITCH_DRIFTS, 0.02}, {PW_FAULT_AIR_DRAWN_IN, 0.02},   {PW_FAULT_ENTRAINED_GAS, 0.01},
    {PW_FAULT_BROWN_OUT, 0.02},     {PW_FAULT_FILTER_CLOGGED, 0.02}, {PW_FAULT_TAPPING, 0.01},
    {PW_FAULT_FLOAT_OPEN, 0.01},    {PW_FAULT_FLOAT_SHUT, 0.01},     {PW_FAULT_CHATTER, 0.01},
    {PW_FAULT_RELIEF, 0.01},        {PW_FAULT_WELDED, 0.01},
};
static const double more_use_prior = 0.05;
static const double more_uses[] = {1.7, 2.5, 4.0};
_Static_assert(sizeof rows / sizeof rows[0] + 1 <= PW_LOG_HYPOTHESES, "every row has room");

static const int64_t day_ms = 24 * (int64_t)3600000;
static const int64_t released_ms = 3600000; /* people without water release a lock out after an hour (own choice) */

static const double loose = 1e-5; /* of the integrator: far below what a logger tells apart */

enum { HALVES = 2, MOST_ROWS = 5760 }; /* rows of a stretch: one each 15 s of a day */

/* A site that starts its pump without end is followed until there is enough to tell (own choices). */
enum { ENOUGH_STARTS = 150, ENOUGH_STEPS = 12000 };
typedef struct pacer {
    pw_observer observer;
    int32_t starts, steps;
    bool enough;
} pacer;

static void at_event(pw_observer *self, pw_sim *sim, const pw_event *event)
{
    pacer *p = (pacer *)(void *)self;
    (void)sim;
    p->starts += event->kind == PW_ENTRY_START ? 1 : 0;
    p->enough = p->enough || p->starts >= ENOUGH_STARTS || event->kind == PW_ENTRY_HUNTING;
    self->stop = self->stop || p->enough;
}

static void at_step(pw_observer *self, pw_sim *sim, int64_t h_ms)
{
    pacer *p = (pacer *)(void *)self;
    (void)sim;
    (void)h_ms;
    p->steps++;
    p->enough = p->enough || p->steps >= ENOUGH_STEPS;
    self->stop = self->stop || p->enough;
}

typedef struct filler {
    pw_arena *arena;
    const pw_site *site;
    const pw_log_bank_options *options;
    pw_bench bench;
    pw_diagnose_options bench_options;
    pw_log_bank *bank;
    pw_record *record;
    double half_s, step_s;
    double square[PW_LOG_FEATURES], freedom[PW_LOG_FEATURES];
    int32_t planned, made;
    pw_problems *problems;
} filler;

static bool ask_to_stop(void *user, double done)
{
    const filler *f = (const filler *)user;
    (void)done;
    return f->options->cancelled != NULL &&
           f->options->cancelled(f->options->user, (double)f->made / (double)(f->planned > 0 ? f->planned : 1));
}

pw_log_bank_options pw_log_bank_asks(const pw_record *log, int32_t from, uint64_t seed)
{
    pw_log_bank_options out = {.step_s = log->step_s, .seed = seed};
    const double begin_s = pw_log_block_begin_s(log, from);
    out.length_s = log->last_s - begin_s;
    out.first_s = begin_s - 86400.0 * pw_floor(begin_s / 86400.0);
    out.told_by = log->told_by;
    out.of_draw = log->rest_flowing * 20 > log->rest_rows;
    memcpy(out.noise, log->noise, sizeof out.noise);
    return out;
}

/* ---- one cell ---- */

static void take_half(filler *f, pw_log_features *out)
{
    pw_log_end(f->record);
    pw_log_features_of(f->record, 0, f->record->block_count, out);
    for (int32_t i = 0; i < PW_LOG_FEATURES; i++) {
        if (out->known[i]) {
            out->value[i] = pw_log_compared((pw_log_feature)i, out->value[i]);
        }
    }
}

/* Both halves of one cell: their mean, and what they differ by. */
static void join_halves(filler *f, const pw_log_features half[HALVES], pw_log_cell *cell)
{
    for (int32_t i = 0; i < PW_LOG_FEATURES; i++) {
        const bool first = half[0].known[i], second = half[1].known[i];
        cell->mean.known[i] = first || second;
        cell->mean.count[i] = half[0].count[i] + half[1].count[i];
        if (first && second) {
            const double apart = half[1].value[i] - half[0].value[i];
            cell->mean.value[i] = 0.5 * (half[0].value[i] + half[1].value[i]);
            f->square[i] += 0.5 * pw_min(apart * apart, 1.0);
            f->freedom[i] += 1.0;
        } else {
            cell->mean.value[i] = first ? half[0].value[i] : half[1].value[i];
        }
    }
}

/* Until then, or until there is enough. */
static pw_status paced(filler *f, pw_sim *sim, int64_t until_ms)
{
    pacer p = {.observer = {.event = at_event, .within = at_step}};
    pw_sim_attach(sim, &p.observer);
    const pw_status status = pw_sim_advance(sim, until_ms, f->problems);
    pw_sim_detach(sim, &p.observer);
    return status;
}

static pw_status record_half(filler *f, pw_sim *sim, int32_t half, pw_log_features *out)
{
    pw_log_sampler sampler;
    bool has[PW_LOG_SIGNALS];
    const int64_t begin_ms = pw_sim_time_ms(sim);
    const int64_t until_ms = begin_ms + (int64_t)(f->half_s * 1000.0);
    for (int32_t s = 0; s < PW_LOG_SIGNALS; s++) {
        has[s] = s != PW_LOG_VIBRATION && s != PW_LOG_VOLUME && s != PW_LOG_STARTS && s != PW_LOG_RAN;
    }
    pw_log_begin(f->record, has);
    f->record->told_by = f->options->told_by != PW_LOG_BY_NOTHING ? f->options->told_by : PW_LOG_BY_CONTACT;
    pw_log_sampler_begin(&sampler, f->record, f->step_s, (double)begin_ms / 1000.0, f->options->seed + (uint64_t)half);
    sampler.of_draw = f->options->of_draw;
    memcpy(sampler.noise, f->options->noise, sizeof sampler.noise);
    pw_sim_attach(sim, &sampler.observer);
    const pw_status status = paced(f, sim, until_ms);
    pw_sim_detach(sim, &sampler.observer);
    f->bank->simulated_ms += pw_sim_time_ms(sim) - begin_ms;
    take_half(f, out);
    return status;
}

static pw_status simulate(filler *f, const pw_plant *plant, const pw_fault *fault, pw_log_cell *cell)
{
    const pw_sim_options how = {.seed = f->options->seed,
                                .release_after_ms = released_ms,
                                .tolerance = loose,
                                .cancelled = ask_to_stop,
                                .user = f};
    pw_log_features half[HALVES];
    pw_sim *sim = NULL;
    int64_t now_ms = day_ms / 4;
    pw_status status = pw_sim_create(f->arena, plant, &how, &sim, f->problems);
    if (status == PW_OK && fault->kind != PW_FAULT_NONE) {
        const pw_fault_course course = pw_fault_course_of(fault);
        now_ms += course.parts * course.part_ms;
        status = pw_sim_befall(sim, f->arena, fault, f->problems);
    }
    now_ms = (now_ms + day_ms - 1) / day_ms * day_ms + (int64_t)(f->options->first_s * 1000.0);
    memset(half, 0, sizeof half);
    for (int32_t i = 0; i < HALVES && status == PW_OK; i++) {
        if (pw_sim_time_ms(sim) < now_ms) {
            status = paced(f, sim, now_ms);
        }
        status = status == PW_OK ? record_half(f, sim, i, &half[i]) : status;
        now_ms += day_ms;
    }
    join_halves(f, half, cell);
    return status;
}

/* A log that hunts stops growing; what cannot be simulated foretells nothing and is never the best. */
static pw_status fill_cell(filler *f, pw_log_supposed *supposed, int32_t severity, int32_t use)
{
    const size_t mark = pw_arena_mark(f->arena);
    const pw_plant *plant = f->bench.usual[use];
    const pw_fault fault = {.kind = supposed->fault, .severity = supposed->severity[severity], .where = -1};
    pw_status status = PW_OK;
    if (supposed->more_use) {
        status =
            pw_bench_plant(f->arena, f->site, pw_use_factor[use] * supposed->severity[severity], &plant, f->problems);
    }
    status = status == PW_OK ? simulate(f, plant, &fault, &supposed->cell[severity][use]) : status;
    f->made++;
    pw_arena_back(f->arena, mark);
    return status;
}

/* How a feature follows the use is taken from the healthy site, but for what is more of the same: so each severity is
 * simulated once. */
static bool every_use(const pw_log_supposed *s)
{
    return s->fault == PW_FAULT_NONE;
}

static void follow_use(const pw_log_supposed *healthy, pw_log_supposed *s, int32_t severity)
{
    const pw_log_cell middle = s->cell[severity][1];
    for (int32_t use = 0; use < PW_LOG_USES; use += 2) {
        pw_log_cell *cell = &s->cell[severity][use];
        const pw_log_features *usual = &healthy->cell[0][1].mean, *other = &healthy->cell[0][use].mean;
        *cell = middle;
        for (int32_t i = 0; i < PW_LOG_FEATURES; i++) {
            if (cell->mean.known[i] && usual->known[i] && other->known[i]) {
                cell->mean.value[i] += other->value[i] - usual->value[i];
            }
        }
    }
}

/* ---- all of them ---- */

static void list_supposed(filler *f)
{
    pw_log_bank *bank = f->bank;
    double sum = 0.0;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (rows[i].fault != PW_FAULT_NONE && !pw_fault_possible(f->site, rows[i].fault)) {
            continue;
        }
        pw_log_supposed *s = &bank->supposed[bank->count];
        s->fault = rows[i].fault;
        s->prior = rows[i].prior;
        if (s->fault != PW_FAULT_NONE) {
            s->severity_count =
                pw_fault_severities(f->site, s->fault, f->bench.quiet->full_m3s, s->severity, PW_LOG_SEVERITIES);
        }
        s->has_severity = s->severity_count > 1;
        s->severity_count = s->severity_count > 0 ? s->severity_count : 1;
        bank->count++;
    }
    if (f->site->demand_count > 0) {
        pw_log_supposed *s = &bank->supposed[bank->count];
        s->more_use = s->has_severity = true;
        s->prior = more_use_prior;
        s->severity_count = (int32_t)(sizeof more_uses / sizeof more_uses[0]);
        memcpy(s->severity, more_uses, sizeof more_uses);
        bank->count++;
    }
    for (int32_t i = 0; i < bank->count; i++) {
        sum += bank->supposed[i].prior;
        f->planned += bank->supposed[i].severity_count * (every_use(&bank->supposed[i]) ? PW_LOG_USES : 1);
    }
    for (int32_t i = 0; i < bank->count; i++) {
        bank->supposed[i].prior /= sum;
    }
}

pw_status pw_log_bank_fill(pw_arena *arena, const pw_site *site, const pw_log_bank_options *options, pw_log_bank **out,
                           pw_problems *problems)
{
    filler *f = PW_NEW(arena, 1, filler);
    *out = PW_NEW(arena, 1, pw_log_bank);
    if (f == NULL || *out == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", "", "", "");
    }
    f->arena = arena;
    f->site = site;
    f->options = options;
    f->bank = *out;
    f->problems = problems;
    f->record = PW_NEW(arena, 1, pw_record);
    f->half_s = pw_clamp(options->length_s, 6.0 * 3600.0, 86400.0);
    f->step_s = pw_max(options->step_s, f->half_s / MOST_ROWS);
    f->bench_options = (pw_diagnose_options){.seed = options->seed};
    if (f->record == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", "", "", "");
    }
    pw_status status = pw_bench_make(arena, site, &f->bench_options, &f->bench, problems);
    if (status == PW_OK) {
        list_supposed(f);
    }
    for (int32_t i = 0; i < f->bank->count; i++) {
        pw_log_supposed *s = &f->bank->supposed[i];
        for (int32_t k = 0; k < s->severity_count * PW_LOG_USES && status == PW_OK; k++) {
            const int32_t use = k % PW_LOG_USES;
            if (use == 1 || every_use(s)) {
                status = fill_cell(f, s, k / PW_LOG_USES, use);
            }
        }
        for (int32_t k = 0; k < s->severity_count && !every_use(s); k++) {
            follow_use(&f->bank->supposed[0], s, k);
        }
    }
    for (int32_t i = 0; i < PW_LOG_FEATURES; i++) {
        f->bank->variance[i] = f->freedom[i] > 0.0 ? f->square[i] / f->freedom[i] : 0.0;
    }
    return status;
}
