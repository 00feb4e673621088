/* One simulation of advice, with every watch looking on; and one with the advised list at work. */
#include <string.h>

#include "base/num.h"
#include "base/random.h"
#include "study/advise_inside.h"

#define DAY_MS ((int64_t)86400 * 1000)

static pw_status out_of_memory(pw_problems *problems)
{
    return pw_problem_add(problems, PW_MEMORY, "", NULL, NULL, NULL);
}

bool pw_advise_does(const pw_advise_plan *plan, int32_t number)
{
    const pw_job *job = &plan->jobs->jobs[number];
    return job->kind == PW_JOB_HEALTHY ||
           !(pw_fault_of_settings(job->fault.kind) || pw_fault_of_settings(job->second.kind));
}

pw_reach *pw_reach_new(pw_arena *arena, const pw_advise_plan *plan, int32_t count)
{
    pw_reach *out = PW_NEW(arena, count, pw_reach);
    for (int32_t i = 0; out != NULL && i < count; i++) {
        out[i].job = i;
        out[i].first_ms = PW_NEW(arena, plan->limit_count, int64_t);
        out[i].lost_m3 = PW_NEW(arena, plan->limit_count, double);
        out[i].slack = PW_NEW(arena, plan->limit_count, uint8_t);
        if (out[i].first_ms == NULL || out[i].lost_m3 == NULL || out[i].slack == NULL) {
            return NULL;
        }
        out[i].harm_ms = -1;
        for (int32_t k = 0; k < plan->limit_count; k++) {
            out[i].first_ms[k] = -1;
        }
        for (int32_t k = 0; k < PW_MAX_SENTENCES; k++) {
            out[i].present_ms[k] = -1;
        }
    }
    return out;
}

/* A healthy year other than the first is of a site that nobody knows exactly: each move of the margins made by a part
 * of its own, one way or the other (study/margins.h). */
static pw_status moved(pw_arena *arena, const pw_plant *plant, const pw_advise_options *options, int32_t year,
                       const pw_plant **out, pw_problems *problems)
{
    static const pw_move moves[][2] = {{PW_MOVE_PUMP_WEAK, PW_MOVE_PUMP_STRONG},
                                       {PW_MOVE_DRAWS_LESS, PW_MOVE_DRAWS_MORE},
                                       {PW_MOVES, PW_MOVE_DRAWS_LONGER},
                                       {PW_MOVE_CHARGE_LOW, PW_MOVE_CHARGE_HIGH},
                                       {PW_MOVE_READS_LOW, PW_MOVE_READS_HIGH}};
    pw_random random;
    pw_random_seed(&random, options->proof.seed, 977u + (uint64_t)year);
    *out = plant;
    for (size_t i = 0; options->uncertain && year > 0 && i < sizeof moves / sizeof moves[0]; i++) {
        const double part = 2.0 * pw_random_unit(&random) - 1.0;
        const pw_move move = moves[i][part > 0.0 ? 1 : 0];
        pw_plant *next = NULL;
        if (move == PW_MOVES || !pw_move_possible(plant->site, move)) {
            continue;
        }
        const pw_status status = pw_move_plant(arena, *out, move, part < 0.0 ? -part : part, &next, problems);
        if (status != PW_OK) {
            return status;
        }
        *out = next;
    }
    return PW_OK;
}

/* A simulation that stands at the beginning of a healthy year, or at an onset, with what it has shown. */
typedef struct stand {
    pw_sim *sim;
    pw_tally *tally;
    advise_seen *seen; /* NULL: of the advised list */
    int64_t onset_ms, end_ms;
    const pw_job *job;
} stand;

struct pw_advise_starts {
    int32_t count;
    stand at[PW_MAX_ONSETS];
};

static bool is_healthy(const pw_job *job)
{
    return job->kind == PW_JOB_HEALTHY;
}

static pw_status create(pw_arena *arena, const pw_advise_plan *plan, const pw_plant *plant, uint64_t seed, stand *out,
                        pw_problems *problems)
{
    const pw_proof_options *options = &plan->options.proof;
    const pw_sim_options how = {
        .seed = seed, .reference_pa = plan->jobs->reference_pa, .cancelled = options->cancelled, .user = options->user};
    const pw_status status = pw_sim_create(arena, plant, &how, &out->sim, problems);
    if (status != PW_OK) {
        return status;
    }
    out->tally = pw_tally_new(arena, out->sim);
    return out->tally != NULL ? PW_OK : out_of_memory(problems);
}

static void attach(stand *at)
{
    pw_sim_attach(at->sim, &at->tally->observer);
    if (at->seen != NULL) {
        pw_sim_attach(at->sim, &at->seen->observer);
    }
}

static pw_status look_on(pw_arena *arena, const pw_advise_plan *plan, bool marks, stand *out, pw_problems *problems)
{
    out->seen = PW_NEW(arena, 1, advise_seen);
    if (out->seen == NULL) {
        return out_of_memory(problems);
    }
    advise_seen_begin(out->seen, arena, plan, out->tally, out->onset_ms, marks);
    return PW_OK;
}

/* In health up to an onset. advised: with the list at work, and nobody looking on. */
static pw_status walk_to(pw_arena *arena, const pw_advise_plan *plan, const pw_plant *advised, int64_t onset_ms,
                         stand *out, pw_problems *problems)
{
    out->onset_ms = onset_ms;
    pw_status status =
        create(arena, plan, advised != NULL ? advised : plan->trial, plan->options.proof.seed, out, problems);
    if (status == PW_OK && advised == NULL) {
        status = look_on(arena, plan, true, out, problems);
    }
    if (status == PW_OK) {
        attach(out);
        status = pw_sim_advance(out->sim, onset_ms, problems);
    }
    return status;
}

/* The beginning of a healthy year, or a copy of the stand at the onset with the fault to come. */
static pw_status begin(pw_arena *arena, const pw_advise_plan *plan, const pw_plant *advised,
                       const pw_advise_starts *starts, int32_t number, stand *out, pw_problems *problems)
{
    const pw_job *job = &plan->jobs->jobs[number];
    const pw_plant *plant = advised != NULL ? advised : plan->trial;
    pw_status status = PW_OK;
    memset(out, 0, sizeof *out);
    if (is_healthy(job)) {
        status = moved(arena, plant, &plan->options, job->year, &plant, problems);
        if (status == PW_OK) {
            status = create(arena, plan, plant, plan->options.proof.seed + 1 + (uint64_t)job->year, out, problems);
        }
        if (status == PW_OK && advised == NULL) {
            status = look_on(arena, plan, false, out, problems);
        }
    } else {
        const stand *from = NULL;
        stand own = {0};
        for (int32_t i = 0; starts != NULL && i < starts->count; i++) {
            from = starts->at[i].onset_ms == job->fault.onset_ms ? &starts->at[i] : from;
        }
        if (from == NULL) {
            status = walk_to(arena, plan, advised, job->fault.onset_ms, &own, problems);
            from = &own;
        }
        if (status != PW_OK) {
            return status;
        }
        out->sim = pw_sim_copy(from->sim, arena);
        out->tally = pw_tally_copy(from->tally, arena);
        if (out->sim == NULL || out->tally == NULL) {
            return out_of_memory(problems);
        }
        if (from->seen != NULL) {
            out->seen = advise_seen_copy(from->seen, arena, out->tally);
            status = out->seen != NULL ? PW_OK : out_of_memory(problems);
        }
        out->onset_ms = from->onset_ms;
    }
    if (status != PW_OK) {
        return status;
    }
    out->job = job;
    attach(out);
    const double length_s = is_healthy(job) ? PW_HEALTHY_YEAR_S : plan->options.proof.horizon_s;
    out->end_ms = out->onset_ms + (int64_t)(length_s * 1000.0);
    if (!is_healthy(job)) {
        status = pw_sim_befall(out->sim, arena, &job->fault, problems);
    }
    if (status == PW_OK && !is_healthy(job) && job->second.kind != PW_FAULT_NONE) {
        status = pw_sim_befall(out->sim, arena, &job->second, problems);
    }
    return status;
}

pw_status pw_advise_prepare(pw_arena *arena, const pw_advise_plan *plan, const pw_advice *advice, int32_t index,
                            int32_t every, pw_advise_starts **out, pw_problems *problems)
{
    pw_advise_starts *starts = PW_NEW(arena, 1, pw_advise_starts);
    *out = starts;
    pw_status status = starts != NULL ? PW_OK : out_of_memory(problems);
    for (int32_t i = index; i < plan->jobs->count && status == PW_OK; i += every) {
        const int64_t onset_ms = plan->jobs->jobs[i].fault.onset_ms;
        bool there = is_healthy(&plan->jobs->jobs[i]) || starts->count == PW_MAX_ONSETS;
        for (int32_t k = 0; k < starts->count; k++) {
            there = there || starts->at[k].onset_ms == onset_ms;
        }
        if (!there) {
            status = walk_to(arena, plan, advice != NULL ? advice->advised_plant : NULL, onset_ms,
                             &starts->at[starts->count], problems);
            starts->count++;
        }
    }
    return status;
}

/* How much stricter the limit could be and not act in this healthy year (pw_reach). A run lasts as long as a draw that
 * is nearly as large as what the pump gives, and how large draws are is known less well than how long they last. So a
 * limit of running time that is shorter than the longest draw stands at the edge, however short the runs were. */
static uint8_t slack_of(const advise_seen *seen, int32_t limit, int64_t end_ms)
{
    const pw_watch_form form = seen->plan->families[seen->plan->limits[limit].family].form;
    const bool runs = form == PW_WATCH_RUN || form == PW_WATCH_RUN_NIGHT;
    uint8_t slack = 0;
    while (slack < PW_SLACKS && advise_first_ms(seen, limit, slack, 0, end_ms) < 0 &&
           !(runs && slack > 0 && advise_drawn_ms(seen, limit, slack - 1, end_ms) >= 0)) {
        slack++;
    }
    return slack;
}

static void fill(const advise_seen *seen, const stand *at, pw_reach *out)
{
    const pw_advise_plan *plan = seen->plan;
    const bool healthy = at->job->kind == PW_JOB_HEALTHY;
    const int64_t end_ms = pw_sim_time_ms(at->sim), onset_ms = at->onset_ms;
    out->length_ms = end_ms - onset_ms;
    /* unseen it goes on as it did */
    const double longer = plan->options.unseen_s * 1000.0 / pw_max((double)out->length_ms, 1.0);
    out->end_lost_m3 = healthy ? 0.0 : longer * advise_lost_m3(seen, end_ms);
    out->harm_ms = seen->harm_ms < 0 ? -1 : seen->harm_ms - onset_ms;
    for (int32_t i = 0; i < plan->limit_count; i++) {
        /* one that had acted before the onset stands locked out, and sees nothing */
        const bool early = onset_ms > 0 && advise_first_ms(seen, i, 0, 0, onset_ms - 1) >= 0;
        const int64_t first_ms = early ? -1 : advise_first_ms(seen, i, 0, onset_ms, end_ms);
        out->first_ms[i] = first_ms < 0 ? -1 : first_ms - onset_ms;
        out->lost_m3[i] = healthy || first_ms < 0 ? 0.0 : advise_lost_m3(seen, first_ms);
        out->slack[i] = healthy ? slack_of(seen, i, end_ms) : 0;
    }
    for (int32_t i = 0; i < PW_MAX_SENTENCES; i++) {
        const bool there = plan->trial_of[i] >= 0;
        const bool early =
            there && seen->early[plan->trial_of[i]] && pw_settings_kind(plan->plant->settings, i) == PW_SENTENCE_LOCK;
        const int64_t t_ms = there && !early ? seen->trial_ms[plan->trial_of[i]] : -1;
        out->present_ms[i] = t_ms < 0 ? -1 : t_ms - onset_ms;
        out->present_m3[i] = healthy || t_ms < 0 ? 0.0 : advise_lost_m3(seen, t_ms);
    }
}

pw_status pw_advise_job(pw_arena *scratch, const pw_advise_plan *plan, const pw_advise_starts *starts, int32_t job,
                        pw_reach *out, pw_problems *problems)
{
    const size_t mark = pw_arena_mark(scratch);
    stand at;
    out->job = job;
    if (!pw_advise_does(plan, job)) {
        return PW_OK;
    }
    pw_status status = begin(scratch, plan, NULL, starts, job, &at, problems);
    if (status == PW_OK) {
        status = pw_sim_advance(at.sim, at.end_ms, problems);
    }
    if (status == PW_OK && at.seen->failed) {
        status = out_of_memory(problems);
    }
    if (status == PW_OK) {
        fill(at.seen, &at, out);
    }
    pw_arena_back(scratch, mark);
    return status;
}

/* ---- the advised list at work ---- */

typedef struct first_firing {
    pw_observer observer;
    const pw_advice *advice;
    int64_t onset_ms, first_ms;
    bool healthy;
} first_firing;

static void note(pw_observer *self, pw_sim *sim, const pw_event *event)
{
    first_firing *first = (first_firing *)(void *)self;
    (void)sim;
    const bool lock = event->kind == PW_ENTRY_LOCK, warn = event->kind == PW_ENTRY_WARN && !first->healthy;
    if (!(lock || warn) || event->t_ms < first->onset_ms || first->first_ms >= 0) {
        return;
    }
    const int32_t was = event->sentence >= 0 ? first->advice->was[event->sentence] : -1;
    const bool chosen = event->sentence >= 0 && first->advice->family[event->sentence] >= 0;
    if (chosen || (was >= 0 && first->advice->counts[was])) {
        first->first_ms = event->t_ms;
        self->stop = true;
    }
}

pw_status pw_advise_check_job(pw_arena *scratch, const pw_advice *advice, const pw_advise_starts *starts, int32_t job,
                              pw_reach_check *out, pw_problems *problems)
{
    const size_t mark = pw_arena_mark(scratch);
    const pw_advise_plan *plan = advice->plan;
    stand at;
    *out = (pw_reach_check){.job = job, .first_ms = -1};
    if (!pw_advise_checks(advice, job)) {
        return PW_OK;
    }
    pw_status status = begin(scratch, plan, advice->advised_plant, starts, job, &at, problems);
    if (status == PW_OK) {
        first_firing first = {.observer = {.event = note},
                              .advice = advice,
                              .onset_ms = at.onset_ms,
                              .first_ms = -1,
                              .healthy = at.job->kind == PW_JOB_HEALTHY};
        pw_sim_attach(at.sim, &first.observer);
        status = pw_sim_advance(at.sim, at.onset_ms + advice->reaches[job].length_ms, problems);
        out->first_ms = first.first_ms < 0 ? -1 : first.first_ms - at.onset_ms;
    }
    pw_arena_back(scratch, mark);
    return status;
}
