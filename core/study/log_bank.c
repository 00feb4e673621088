/* Every hypothesis simulated, its logs taken by the code that takes the real one. */
#include <string.h>

#include "study/diagnose_inside.h"
#include "study/log_foretell.h"

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

/* Two parts tell the mean and what differs from day to day. */
enum { PARTS = 2 };

typedef struct filler {
    pw_arena *arena;
    const pw_site *site;
    const pw_log_bank_options *options;
    pw_bench bench;
    pw_diagnose_options bench_options;
    pw_log_bank *bank;
    pw_log_rig rig;
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
    out.at_switch = log->switch_rows * 2 > log->switches;
    out.of_draw = log->rest_flowing * 20 > log->rest_rows;
    memcpy(out.noise, log->noise, sizeof out.noise);
    return out;
}

/* ---- one cell ---- */

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
    status = status == PW_OK ? pw_log_foretell(&f->rig, plant, &fault, &supposed->cell[severity][use].mean) : status;
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
    f->bench_options = (pw_diagnose_options){.seed = options->seed};
    pw_status status = pw_log_rig_make(&f->rig, arena, options, PARTS, problems);
    f->rig.stop = ask_to_stop;
    f->rig.user = f;
    status = status == PW_OK ? pw_bench_make(arena, site, &f->bench_options, &f->bench, problems) : status;
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
        f->bank->variance[i] = pw_log_rig_variance(&f->rig, i);
    }
    f->bank->simulated_ms = f->rig.simulated_ms;
    return status;
}
