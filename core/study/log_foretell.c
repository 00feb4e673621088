#include "study/log_foretell.h"

#include <string.h>

static const int64_t day_ms = 24 * (int64_t)3600000;
static const int64_t released_ms = 3600000; /* people without water release a lock out after an hour (own choice) */

static const double loose = 1e-5; /* of the integrator: far below what a logger tells apart */

enum {
    MOST_ROWS = 43200
}; /* rows of a part: one each 2 s of a day, so that a run of some seconds shows as it does in the log */

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

/* Until then, or until there is enough. */
static pw_status paced(const pw_log_rig *rig, pw_sim *sim, int64_t until_ms)
{
    pacer p = {.observer = {.event = at_event, .within = at_step}};
    pw_sim_attach(sim, &p.observer);
    const pw_status status = pw_sim_advance(sim, until_ms, rig->problems);
    pw_sim_detach(sim, &p.observer);
    return status;
}

/* ---- parts ---- */

static void take_part(pw_log_rig *rig, pw_log_features *out)
{
    pw_log_end(rig->record);
    pw_log_features_of(rig->record, 0, rig->record->block_count, out);
    for (int32_t i = 0; i < PW_LOG_FEATURES; i++) {
        if (out->known[i]) {
            out->value[i] = pw_log_compared((pw_log_feature)i, out->value[i]);
        }
    }
}

static pw_status record_part(pw_log_rig *rig, pw_sim *sim, int32_t part, pw_log_features *out)
{
    const pw_log_bank_options *options = rig->options;
    pw_log_sampler sampler;
    bool has[PW_LOG_SIGNALS];
    const int64_t begin_ms = pw_sim_time_ms(sim);
    for (int32_t s = 0; s < PW_LOG_SIGNALS; s++) {
        has[s] = s != PW_LOG_VIBRATION && s != PW_LOG_VOLUME && s != PW_LOG_STARTS && s != PW_LOG_RAN;
    }
    pw_log_begin(rig->record, has);
    rig->record->told_by = options->told_by != PW_LOG_BY_NOTHING ? options->told_by : PW_LOG_BY_CONTACT;
    pw_log_sampler_begin(&sampler, rig->record, rig->step_s, (double)begin_ms / 1000.0, options->seed + (uint64_t)part);
    sampler.of_draw = options->of_draw;
    sampler.at_switch = options->at_switch;
    memcpy(sampler.noise, options->noise, sizeof sampler.noise);
    pw_sim_attach(sim, &sampler.observer);
    const pw_status status = paced(rig, sim, begin_ms + (int64_t)(rig->part_s * 1000.0));
    pw_sim_detach(sim, &sampler.observer);
    rig->simulated_ms += pw_sim_time_ms(sim) - begin_ms;
    take_part(rig, out);
    return status;
}

/* All parts of one simulation: their mean, and what each differs by from the one before. */
static void join_parts(pw_log_rig *rig, const pw_log_features *part, pw_log_features *out)
{
    memset(out, 0, sizeof *out);
    for (int32_t f = 0; f < PW_LOG_FEATURES; f++) {
        int32_t last = -1;
        double sum = 0.0, n = 0.0;
        for (int32_t i = 0; i < rig->parts; i++) {
            out->count[f] += part[i].count[f];
            if (!part[i].known[f]) {
                continue;
            }
            if (last >= 0) {
                const double apart = part[i].value[f] - part[last].value[f];
                rig->square[f] += 0.5 * pw_min(apart * apart, 1.0);
                rig->freedom[f] += 1.0;
            }
            sum += part[i].value[f];
            n += 1.0;
            last = i;
        }
        out->known[f] = n > 0.0;
        out->value[f] = n > 0.0 ? sum / n : 0.0;
    }
}

pw_status pw_log_foretell(pw_log_rig *rig, const pw_plant *plant, const pw_fault *fault, pw_log_features *out)
{
    const size_t mark = pw_arena_mark(rig->arena);
    const pw_sim_options how = {.seed = rig->options->seed,
                                .release_after_ms = released_ms,
                                .tolerance = loose,
                                .cancelled = rig->stop,
                                .user = rig->user};
    pw_log_features part[PW_LOG_MOST_PARTS];
    pw_sim *sim = NULL;
    int64_t now_ms = day_ms / 4;
    pw_status status = pw_sim_create(rig->arena, plant, &how, &sim, rig->problems);
    if (status == PW_OK && fault->kind != PW_FAULT_NONE) {
        const pw_fault_course course = pw_fault_course_of(fault);
        now_ms += course.parts * course.part_ms;
        status = pw_sim_befall(sim, rig->arena, fault, rig->problems);
    }
    now_ms = (now_ms + day_ms - 1) / day_ms * day_ms + (int64_t)(rig->options->first_s * 1000.0);
    memset(part, 0, sizeof part);
    for (int32_t i = 0; i < rig->parts && status == PW_OK; i++) {
        if (pw_sim_time_ms(sim) < now_ms) {
            status = paced(rig, sim, now_ms);
        }
        status = status == PW_OK ? record_part(rig, sim, i, &part[i]) : status;
        now_ms += day_ms;
    }
    join_parts(rig, part, out);
    pw_arena_back(rig->arena, mark);
    return status;
}

double pw_log_rig_variance(const pw_log_rig *rig, int32_t feature)
{
    return rig->freedom[feature] > 0.0 ? rig->square[feature] / rig->freedom[feature] : 0.0;
}

pw_status pw_log_rig_make(pw_log_rig *rig, pw_arena *arena, const pw_log_bank_options *options, int32_t parts,
                          pw_problems *problems)
{
    memset(rig, 0, sizeof *rig);
    rig->arena = arena;
    rig->options = options;
    rig->parts = parts;
    rig->part_s = pw_clamp(options->length_s, 6.0 * 3600.0, 86400.0);
    rig->step_s = pw_max(options->step_s, rig->part_s / MOST_ROWS);
    rig->problems = problems;
    rig->record = PW_NEW(arena, 1, pw_record);
    return rig->record != NULL ? PW_OK : pw_problem_add(problems, PW_MEMORY, "", "", "", "");
}
