/* Healthy simulations that stand at the onsets of a proof, for each fault to go on from a copy, and what the healthy
 * site does from there on.
 */
#include "base/num.h"
#include "study/prove_stand.h"

/* Lock outs before the fault, and false stops of a healthy year, are released by a person after this long, so that the
 * rest of the time can be judged too. */
static const int64_t release_after_ms = (int64_t)3600 * 1000;

/* A watch that fires in health so near to the same time is no catch: its hour of the day is the healthy site's. */
static const int64_t same_hour_ms = (int64_t)3600 * 1000;

pw_status prove_no_memory(pw_problems *problems)
{
    return pw_problem_tell(problems, PW_MEMORY, "", pw_no_fact(), pw_fact_of("input.more-memory"), pw_no_fact());
}

pw_status prove_stand_new(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                          uint64_t seed, prove_stand *out, pw_problems *problems)
{
    const pw_sim_options how = {.seed = seed,
                                .reference_pa = jobs->reference_pa,
                                .release_after_ms = release_after_ms,
                                .cancelled = options->cancelled,
                                .user = options->user};
    const pw_status status = pw_sim_create(arena, plant, &how, &out->sim, problems);
    if (status != PW_OK) {
        return status;
    }
    out->tally = pw_tally_new(arena, out->sim);
    if (out->tally == NULL) {
        return prove_no_memory(problems);
    }
    pw_sim_attach(out->sim, &out->tally->observer);
    return PW_OK;
}

static void note_firing(pw_observer *self, pw_sim *sim, const pw_event *event)
{
    prove_course *course = (prove_course *)(void *)self;
    (void)sim;
    if ((event->kind == PW_ENTRY_LOCK || event->kind == PW_ENTRY_WARN) && course->fired < PROVE_MOST_USUAL) {
        course->firings[course->fired] = (prove_usual_firing){event->sentence, event->t_ms};
        course->fired++;
    }
}

bool prove_fires_in_health(const void *user, int32_t sentence, int64_t t_ms)
{
    const prove_course *course = user;
    for (int32_t i = 0; i < course->fired; i++) {
        const int64_t apart_ms = t_ms - course->firings[i].t_ms;
        if (course->firings[i].sentence == sentence && apart_ms <= same_hour_ms && apart_ms >= -same_hour_ms) {
            return true;
        }
    }
    return false;
}

/* A copy goes on in health from the onset: what it does is no fault's doing. */
static pw_status follow_health(pw_arena *arena, const pw_proof_options *options, prove_stand *at, pw_problems *problems)
{
    prove_course *course = PW_NEW(arena, 1, prove_course);
    const size_t mark = pw_arena_mark(arena);
    pw_sim *sim = pw_sim_copy(at->sim, arena);
    pw_tally *tally = sim != NULL ? pw_tally_new(arena, sim) : NULL;
    if (course == NULL || tally == NULL) {
        return prove_no_memory(problems);
    }
    course->observer.event = note_firing;
    course->from_ms = at->onset_ms;
    course->every_ms = (int64_t)(options->horizon_s * 1000.0) / PROVE_MARKS;
    pw_sim_attach(sim, &tally->observer);
    pw_sim_attach(sim, &course->observer);
    course->marks[0] = pw_tally_totals(tally, sim, false);
    for (int32_t i = 1; i <= PROVE_MARKS; i++) {
        const int64_t until_ms = at->onset_ms + i * course->every_ms;
        const pw_status status = tally->hunts || at->tally->hunts ? PW_OK : pw_sim_advance(sim, until_ms, problems);
        if (status != PW_OK) {
            return status;
        }
        course->marks[i] = pw_tally_totals(tally, sim, false);
    }
    at->healthy = course;
    pw_arena_back(arena, mark);
    return PW_OK;
}

pw_totals prove_usual_at(const prove_course *course, int64_t t_ms)
{
    const double place = pw_clamp((double)(t_ms - course->from_ms) / (double)course->every_ms, 0.0, PROVE_MARKS);
    const int32_t i = (int32_t)pw_min(pw_floor(place), PROVE_MARKS - 1);
    const double part = place - (double)i;
    const pw_totals *a = &course->marks[i];
    pw_totals out = course->marks[i + 1];
    out.wanted_m3 = a->wanted_m3 + part * (out.wanted_m3 - a->wanted_m3);
    out.missing_m3 = a->missing_m3 + part * (out.missing_m3 - a->missing_m3);
    out.leaked_m3 = a->leaked_m3 + part * (out.leaked_m3 - a->leaked_m3);
    out.spilled_m3 = a->spilled_m3 + part * (out.spilled_m3 - a->spilled_m3);
    out.stored_change_m3 = a->stored_change_m3 + part * (out.stored_change_m3 - a->stored_change_m3);
    out.dry_s = a->dry_s + part * (out.dry_s - a->dry_s);
    out.deadhead_s = a->deadhead_s + part * (out.deadhead_s - a->deadhead_s);
    out.short_s = a->short_s + part * (out.short_s - a->short_s);
    return out;
}

pw_status prove_walk_to(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                        int64_t onset_ms, prove_stand *out, pw_problems *problems)
{
    out->onset_ms = onset_ms;
    pw_status status = prove_stand_new(arena, plant, options, jobs, options->seed, out, problems);
    if (status == PW_OK) {
        status = pw_sim_advance(out->sim, onset_ms, problems);
    }
    return status == PW_OK ? follow_health(arena, options, out, problems) : status;
}

const prove_stand *prove_stand_at(const pw_proof_starts *starts, int64_t onset_ms)
{
    for (int32_t i = 0; starts != NULL && i < starts->count; i++) {
        if (starts->at[i].onset_ms == onset_ms) {
            return &starts->at[i];
        }
    }
    return NULL;
}

pw_status prove_stand_moved(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options,
                            const pw_jobs *jobs, pw_move move, int64_t onset_ms, pw_proof_starts *starts,
                            pw_problems *problems)
{
    pw_plant *moved = NULL;
    if (starts->moved_plants[move] != NULL) {
        return PW_OK;
    }
    pw_status status = pw_move_plant(arena, plant, move, 1.0, &moved, problems);
    if (status == PW_OK) {
        status = prove_walk_to(arena, moved, options, jobs, onset_ms, &starts->moved[move], problems);
    }
    starts->moved_plants[move] = status == PW_OK ? moved : NULL;
    return status;
}

/* Only where one of these jobs may be on an edge. */
static pw_status prepare_moved(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options,
                               const pw_jobs *jobs, int32_t index, int32_t every, pw_proof_starts *starts,
                               pw_problems *problems)
{
    bool any = false;
    for (int32_t i = index; i < jobs->count; i += every) {
        any = any || (jobs->jobs[i].kind == PW_JOB_FAULT && !jobs->jobs[i].extra);
    }
    for (int32_t move = 0; any && options->margins && options->edges && move < PW_MOVES; move++) {
        if (!pw_move_possible(plant->site, (pw_move)move)) {
            continue;
        }
        const pw_status status =
            prove_stand_moved(arena, plant, options, jobs, (pw_move)move, options->onset_ms, starts, problems);
        if (status != PW_OK) {
            return status;
        }
    }
    return PW_OK;
}

static bool has_fault(const pw_job *job)
{
    return job->kind == PW_JOB_FAULT || job->kind == PW_JOB_SWEEP;
}

pw_status pw_proof_prepare(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                           int32_t index, int32_t every, pw_proof_starts **out, pw_problems *problems)
{
    pw_proof_starts *starts = PW_NEW(arena, 1, pw_proof_starts);
    *out = starts;
    if (starts == NULL) {
        return prove_no_memory(problems);
    }
    for (int32_t i = index; i < jobs->count; i += every) {
        const int64_t onset_ms = jobs->jobs[i].fault.onset_ms;
        if (!has_fault(&jobs->jobs[i]) || prove_stand_at(starts, onset_ms) != NULL || starts->count >= PW_MAX_ONSETS) {
            continue;
        }
        const pw_status status =
            prove_walk_to(arena, plant, options, jobs, onset_ms, &starts->at[starts->count], problems);
        if (status != PW_OK) {
            return status;
        }
        starts->count++;
    }
    return prepare_moved(arena, plant, options, jobs, index, every, starts, problems);
}
