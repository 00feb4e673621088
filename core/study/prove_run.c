/* The simulations of a proof: one healthy one to each onset, and from there a copy for each fault. */
#include "base/num.h"
#include "study/prove_inside.h"

#include <string.h>

/* Lock outs before the fault, and false stops of a healthy year, are released by a person after this long, so that the
 * rest of the time can be judged too. */
static const int64_t release_after_ms = (int64_t)3600 * 1000;

/* A watch that fires in health so near to the same time is no catch: its hour of the day is the healthy site's. */
static const int64_t same_hour_ms = (int64_t)3600 * 1000;

enum { MARKS = 240, MOST_USUAL = 2048 };

/* What the healthy site does from an onset to the horizon. */
typedef struct usual_firing {
    int32_t sentence;
    int64_t t_ms;
} usual_firing;
typedef struct healthy_course {
    pw_observer observer;
    int64_t from_ms, every_ms;
    pw_totals marks[MARKS + 1]; /* since the onset, every_ms apart */
    int32_t fired;
    usual_firing firings[MOST_USUAL]; /* the first of them */
} healthy_course;

/* A healthy simulation that stands at an onset, with its totals. Where it hunts it ended before. */
typedef struct stand {
    int64_t onset_ms;
    pw_sim *sim;
    pw_tally *tally;
    healthy_course *healthy;
} stand;

struct pw_proof_starts {
    int32_t count;
    stand at[PW_MAX_ONSETS];
    const pw_plant *moved_plants[PW_MOVES]; /* NULL: not prepared */
    stand moved[PW_MOVES];                  /* at the onset of faults at their usual time */
};

static pw_status out_of_memory(pw_problems *problems)
{
    return pw_problem_tell(problems, PW_MEMORY, "", pw_no_fact(), pw_fact_of("input.more-memory"), pw_no_fact());
}

static pw_status create(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                        uint64_t seed, stand *out, pw_problems *problems)
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
        return out_of_memory(problems);
    }
    pw_sim_attach(out->sim, &out->tally->observer);
    return PW_OK;
}

static void note_firing(pw_observer *self, pw_sim *sim, const pw_event *event)
{
    healthy_course *course = (healthy_course *)(void *)self;
    (void)sim;
    if ((event->kind == PW_ENTRY_LOCK || event->kind == PW_ENTRY_WARN) && course->fired < MOST_USUAL) {
        course->firings[course->fired] = (usual_firing){event->sentence, event->t_ms};
        course->fired++;
    }
}

static bool fires_in_health(const void *user, int32_t sentence, int64_t t_ms)
{
    const healthy_course *course = user;
    for (int32_t i = 0; i < course->fired; i++) {
        const int64_t apart_ms = t_ms - course->firings[i].t_ms;
        if (course->firings[i].sentence == sentence && apart_ms <= same_hour_ms && apart_ms >= -same_hour_ms) {
            return true;
        }
    }
    return false;
}

/* A copy goes on in health from the onset: what it does is no fault's doing. */
static pw_status follow_health(pw_arena *arena, const pw_proof_options *options, stand *at, pw_problems *problems)
{
    healthy_course *course = PW_NEW(arena, 1, healthy_course);
    const size_t mark = pw_arena_mark(arena);
    pw_sim *sim = pw_sim_copy(at->sim, arena);
    pw_tally *tally = sim != NULL ? pw_tally_new(arena, sim) : NULL;
    if (course == NULL || tally == NULL) {
        return out_of_memory(problems);
    }
    course->observer.event = note_firing;
    course->from_ms = at->onset_ms;
    course->every_ms = (int64_t)(options->horizon_s * 1000.0) / MARKS;
    pw_sim_attach(sim, &tally->observer);
    pw_sim_attach(sim, &course->observer);
    course->marks[0] = pw_tally_totals(tally, sim, false);
    for (int32_t i = 1; i <= MARKS; i++) {
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

/* Sums between two marks along a straight line; extremes as far as the later one. */
static pw_totals usual_at(const healthy_course *course, int64_t t_ms)
{
    const double place = pw_clamp((double)(t_ms - course->from_ms) / (double)course->every_ms, 0.0, MARKS);
    const int32_t i = (int32_t)pw_min(pw_floor(place), MARKS - 1);
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

/* One seed for all faults: neighbours of a sweep then differ by their leak alone. */
static pw_status walk_to(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                         int64_t onset_ms, stand *out, pw_problems *problems)
{
    out->onset_ms = onset_ms;
    pw_status status = create(arena, plant, options, jobs, options->seed, out, problems);
    if (status == PW_OK) {
        status = pw_sim_advance(out->sim, onset_ms, problems);
    }
    return status == PW_OK ? follow_health(arena, options, out, problems) : status;
}

static const stand *find(const pw_proof_starts *starts, int64_t onset_ms)
{
    for (int32_t i = 0; starts != NULL && i < starts->count; i++) {
        if (starts->at[i].onset_ms == onset_ms) {
            return &starts->at[i];
        }
    }
    return NULL;
}

/* The stand of a moved site at an onset: made when it is first asked for. `starts` keeps it for the jobs to
 * come, or is the caller's own. */
static pw_status stand_moved(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options,
                             const pw_jobs *jobs, pw_move move, int64_t onset_ms, pw_proof_starts *starts,
                             pw_problems *problems)
{
    pw_plant *moved = NULL;
    if (starts->moved_plants[move] != NULL) {
        return PW_OK;
    }
    pw_status status = pw_move_plant(arena, plant, move, 1.0, &moved, problems);
    if (status == PW_OK) {
        status = walk_to(arena, moved, options, jobs, onset_ms, &starts->moved[move], problems);
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
            stand_moved(arena, plant, options, jobs, (pw_move)move, options->onset_ms, starts, problems);
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
        return out_of_memory(problems);
    }
    for (int32_t i = index; i < jobs->count; i += every) {
        const int64_t onset_ms = jobs->jobs[i].fault.onset_ms;
        if (!has_fault(&jobs->jobs[i]) || find(starts, onset_ms) != NULL || starts->count >= PW_MAX_ONSETS) {
            continue;
        }
        const pw_status status = walk_to(arena, plant, options, jobs, onset_ms, &starts->at[starts->count], problems);
        if (status != PW_OK) {
            return status;
        }
        starts->count++;
    }
    return prepare_moved(arena, plant, options, jobs, index, every, starts, problems);
}

static void collect(const stand *at, const pw_firings *firings, prove_found *out)
{
    const pw_retyped *typed = pw_sim_retyped(at->sim);
    out->ending = at->tally->hunts ? PW_END_HUNTING : firings->watched ? PW_END_WATCH : PW_END_TIME;
    out->length_ms = pw_sim_time_ms(at->sim);
    out->totals = pw_tally_totals(at->tally, at->sim, false);
    out->at_fault = at->tally->at_fault;
    out->burnt_ms = at->tally->burnt_ms;
    out->lock_count = firings->lock_count;
    out->typed_refused = typed == NULL || typed->refused;
    out->typed_about_it = typed != NULL && typed->about_it;
    for (int32_t i = 0; i < PW_MAX_SENTENCES; i++) {
        out->firings[i] = firings->first[i];
        out->fired[i] = firings->fired[i];
    }
}

/* ---- protection that is lost ---- */

/* A watch was typed otherwise than it stands on the sheet. */
static bool watch_mistyped(pw_arena *arena, const pw_plant *plant, const pw_settings *typed)
{
    bool other = false;
    for (int32_t i = 0; i < pw_settings_count(plant->settings) && i < pw_settings_count(typed); i++) {
        pw_text was, is;
        if (!pw_settings_is_watch(plant->settings, i)) {
            continue;
        }
        pw_text_init(&was, arena);
        pw_settings_put(plant->settings, i, &was);
        pw_text_init(&is, arena);
        pw_settings_put(typed, i, &is);
        other = other || (!was.failed && !is.failed && strcmp(was.data, is.data) != 0);
    }
    return other;
}

/* Some watch looks at this signal. */
static bool is_watched(const pw_settings *settings, int32_t signal)
{
    for (int32_t i = 0; i < pw_settings_count(settings); i++) {
        pw_look look;
        for (int32_t n = 0; pw_settings_is_watch(settings, i) && pw_settings_look(settings, i, n, &look); n++) {
            if (look.signal == signal) {
                return true;
            }
        }
    }
    return false;
}

/* A sensor that a watch looks at tells what it is held at; or a contactor opens no more; or the watch itself was typed
 * wrongly. Nothing need come of it until something else goes wrong. */
static bool lost_protection(pw_arena *arena, const pw_plant *plant, const pw_sim *sim)
{
    const pw_condition *c = pw_sim_condition(sim);
    const pw_retyped *typed = pw_sim_retyped(sim);
    bool lost = typed != NULL && typed->settings != NULL && watch_mistyped(arena, plant, typed->settings);
    for (int32_t s = 0; s < plant->site->sensor_count; s++) {
        lost = lost || (c->sensor_hold[s] != PW_HOLD_FREE && is_watched(plant->settings, s));
    }
    for (int32_t p = 0; p < plant->site->pump_count; p++) {
        lost = lost || c->welded[p];
    }
    return lost;
}

/* A healthy time of this plant, with the demand of one year. */
static pw_status healthy(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                         int32_t year, int64_t length_ms, bool stop_at_lock, prove_found *out, pw_problems *problems)
{
    stand at;
    pw_firings firings;
    pw_status status = create(arena, plant, options, jobs, options->seed + 1 + (uint64_t)year, &at, problems);
    if (status != PW_OK) {
        return status;
    }
    pw_firings_begin(&firings, at.tally);
    firings.stop_at_lock = stop_at_lock;
    pw_sim_attach(at.sim, &firings.observer);
    status = pw_sim_advance(at.sim, length_ms, problems);
    if (status == PW_OK) {
        collect(&at, &firings, out);
    }
    return status;
}

/* Of a move that stops the healthy site: the least part of it that does so, in eighths, by halves. The first year's
 * demand again, until twice the time of the stop that the whole move brought and a month more. */
static pw_status least_part(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options,
                            const pw_jobs *jobs, pw_move move, int64_t length_ms, prove_found *out,
                            pw_problems *problems)
{
    const size_t mark = pw_arena_mark(arena);
    prove_found *trial = PW_NEW(arena, 1, prove_found);
    if (trial == NULL) {
        return out_of_memory(problems);
    }
    double none = 0.0, stops = 1.0;
    int64_t first_ms = length_ms;
    for (int32_t i = 0; i < PW_MAX_SENTENCES; i++) {
        if (out->firings[i].t_ms >= 0 && i < pw_settings_count(plant->settings) &&
            pw_settings_kind(plant->settings, i) == PW_SENTENCE_LOCK && out->firings[i].t_ms < first_ms) {
            first_ms = out->firings[i].t_ms;
        }
    }
    const int64_t tried_ms = 2 * first_ms + (int64_t)30 * 86400 * 1000;
    for (int32_t step = 0; step < 3; step++) {
        const size_t here = pw_arena_mark(arena);
        const double part = 0.5 * (none + stops);
        pw_plant *moved = NULL;
        pw_status status = pw_move_plant(arena, plant, move, part, &moved, problems);
        if (status == PW_OK) {
            status = healthy(arena, moved, options, jobs, 0, tried_ms < length_ms ? tried_ms : length_ms, true, trial,
                             problems);
        }
        if (status != PW_OK) {
            return status;
        }
        if (trial->lock_count > 0) {
            stops = part;
        } else {
            none = part;
        }
        pw_arena_back(arena, here);
    }
    out->edge_part = stops;
    pw_arena_back(arena, mark);
    return PW_OK;
}

/* A twentieth of the healthy years' time, a year at most. */
static pw_status margin(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                        const pw_job *job, prove_found *out, pw_problems *problems)
{
    const double share = pw_min(1.0, 0.05 * (double)options->healthy_years);
    const int64_t length_ms = (int64_t)(PW_HEALTHY_YEAR_S * share) * 1000;
    pw_plant *moved = NULL;
    pw_status status = pw_move_plant(arena, plant, (pw_move)job->year, 1.0, &moved, problems);
    if (status == PW_OK) {
        status = healthy(arena, moved, options, jobs, 0, length_ms, false, out, problems);
    }
    if (status != PW_OK || out->lock_count == 0 || !options->edges) {
        return status;
    }
    return least_part(arena, plant, options, jobs, (pw_move)job->year, length_ms, out, problems);
}

static pw_status befall(pw_arena *arena, pw_sim *sim, const pw_job *job, pw_problems *problems)
{
    const pw_status status = pw_sim_befall(sim, arena, &job->fault, problems);
    return status == PW_OK && job->second.kind != PW_FAULT_NONE ? pw_sim_befall(sim, arena, &job->second, problems)
                                                                : status;
}

static pw_status faulty(pw_arena *arena, const stand *from, double horizon_s, const pw_job *job, prove_found *out,
                        pw_problems *problems)
{
    stand here = {.sim = pw_sim_copy(from->sim, arena), .tally = pw_tally_copy(from->tally, arena)};
    pw_firings firings;
    if (here.sim == NULL || here.tally == NULL) {
        return out_of_memory(problems);
    }
    pw_firings_begin(&firings, here.tally);
    firings.stop_at_watch = true;
    firings.expected = fires_in_health;
    firings.user = from->healthy;
    pw_sim_attach(here.sim, &here.tally->observer);
    pw_sim_attach(here.sim, &firings.observer);
    pw_status status = PW_OK;
    if (!here.tally->hunts) {
        status = befall(arena, here.sim, job, problems);
        if (status == PW_OK) {
            status = pw_sim_advance(here.sim, job->fault.onset_ms + (int64_t)(horizon_s * 1000.0), problems);
        }
    }
    if (status == PW_OK) {
        collect(&here, &firings, out);
        out->unprotected = lost_protection(arena, pw_sim_plant(here.sim), here.sim);
        out->usual = usual_at(from->healthy, out->length_ms);
        const double stored_m3 = out->totals.stored_change_m3 - out->at_fault.stored_change_m3;
        out->behind_m3 = pw_max(out->usual.stored_change_m3 - stored_m3, 0.0);
    }
    return status;
}

pw_status prove_simulate(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                         const pw_proof_starts *starts, const pw_job *job, prove_found *out, pw_problems *problems)
{
    if (job->kind == PW_JOB_HEALTHY) {
        return healthy(arena, plant, options, jobs, job->year, (int64_t)PW_HEALTHY_YEAR_S * 1000, false, out, problems);
    }
    if (job->kind == PW_JOB_MARGIN) {
        return margin(arena, plant, options, jobs, job, out, problems);
    }
    const stand *from = find(starts, job->fault.onset_ms);
    stand own;
    if (from == NULL) {
        const pw_status status = walk_to(arena, plant, options, jobs, job->fault.onset_ms, &own, problems);
        if (status != PW_OK) {
            return status;
        }
        from = &own;
    }
    return faulty(arena, from, options->horizon_s, job, out, problems);
}

/* ---- edges ---- */

/* Is it still caught from this stand, within four times as long and a day more, and stopped where it was stopped? */
static pw_status still_caught(pw_arena *arena, const stand *from, const pw_proof_options *options, const pw_job *job,
                              const pw_outcome *outcome, bool *out, pw_problems *problems)
{
    const size_t mark = pw_arena_mark(arena);
    prove_found *found = PW_NEW(arena, 1, prove_found);
    if (found == NULL) {
        return out_of_memory(problems);
    }
    const double horizon_s = pw_min(options->horizon_s, 4.0 * outcome->seconds + 86400.0);
    const pw_status status = faulty(arena, from, horizon_s, job, found, problems);
    if (status == PW_OK) {
        const pw_settings *settings = pw_sim_plant(from->sim)->settings;
        const int32_t by = prove_first_firing(pw_sim_plant(from->sim), found);
        *out = by >= 0 && (!outcome->stopped || pw_settings_kind(settings, by) == PW_SENTENCE_LOCK);
    }
    pw_arena_back(arena, mark);
    return status;
}

/* The same hole at the next place where one can be; false: there is none. */
static bool elsewhere(const pw_site *site, const pw_job *job, pw_job *out)
{
    int32_t wheres[2];
    *out = *job;
    if (!pw_fault_row_of(job->fault.kind)->hole || pw_fault_wheres(site, job->fault.kind, wheres, 2) < 2) {
        return false;
    }
    out->fault.where = wheres[1];
    return true;
}

pw_status prove_edges(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                      const pw_proof_starts *starts, const pw_job *job, const pw_outcome *outcome, uint32_t *out,
                      pw_problems *problems)
{
    pw_proof_starts *own = PW_NEW(arena, 1, pw_proof_starts);
    const stand *from = find(starts, job->fault.onset_ms);
    pw_job other;
    if (own == NULL) {
        return out_of_memory(problems);
    }
    *out = 0;
    for (int32_t move = 0; move < PW_MOVES; move++) {
        const size_t mark = pw_arena_mark(arena);
        bool caught = true;
        pw_status status = PW_OK;
        if (move == PW_MOVE_PLACE && elsewhere(plant->site, job, &other)) {
            if (from == NULL) {
                status = walk_to(arena, plant, options, jobs, job->fault.onset_ms, &own->at[0], problems);
                from = &own->at[0];
            }
            if (status == PW_OK) {
                status = still_caught(arena, from, options, &other, outcome, &caught, problems);
            }
        } else if (pw_move_possible(plant->site, (pw_move)move)) {
            const bool ready = starts != NULL && starts->moved_plants[move] != NULL &&
                               starts->moved[move].onset_ms == job->fault.onset_ms;
            if (!ready) {
                status = stand_moved(arena, plant, options, jobs, (pw_move)move, job->fault.onset_ms, own, problems);
            }
            if (status == PW_OK) {
                status = still_caught(arena, ready ? &starts->moved[move] : &own->moved[move], options, job, outcome,
                                      &caught, problems);
            }
        }
        if (status != PW_OK) {
            return status;
        }
        *out |= caught ? 0u : 1u << move;
        pw_arena_back(arena, mark);
    }
    return PW_OK;
}
