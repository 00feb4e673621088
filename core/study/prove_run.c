/* The simulations of a proof: healthy ones, a copy of them for each fault from its onset, and what moves of the site
 * make of it.
 */
#include "base/num.h"
#include "study/prove_stand.h"

#include <string.h>

static void collect(const prove_stand *at, const pw_firings *firings, prove_found *out)
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
    prove_stand at;
    pw_firings firings;
    pw_status status = prove_stand_new(arena, plant, options, jobs, options->seed + 1 + (uint64_t)year, &at, problems);
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
        return prove_no_memory(problems);
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

static pw_status faulty(pw_arena *arena, const prove_stand *from, double horizon_s, const pw_job *job, prove_found *out,
                        pw_problems *problems)
{
    prove_stand here = {.sim = pw_sim_copy(from->sim, arena), .tally = pw_tally_copy(from->tally, arena)};
    pw_firings firings;
    if (here.sim == NULL || here.tally == NULL) {
        return prove_no_memory(problems);
    }
    pw_firings_begin(&firings, here.tally);
    firings.stop_at_watch = true;
    firings.expected = prove_fires_in_health;
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
        out->usual = prove_usual_at(from->healthy, out->length_ms);
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
    const prove_stand *from = prove_stand_at(starts, job->fault.onset_ms);
    prove_stand own;
    if (from == NULL) {
        const pw_status status = prove_walk_to(arena, plant, options, jobs, job->fault.onset_ms, &own, problems);
        if (status != PW_OK) {
            return status;
        }
        from = &own;
    }
    return faulty(arena, from, options->horizon_s, job, out, problems);
}

/* ---- edges ---- */

/* Is it still caught from this stand, within four times as long and a day more, and stopped where it was stopped? */
static pw_status still_caught(pw_arena *arena, const prove_stand *from, const pw_proof_options *options,
                              const pw_job *job, const pw_outcome *outcome, bool *out, pw_problems *problems)
{
    const size_t mark = pw_arena_mark(arena);
    prove_found *found = PW_NEW(arena, 1, prove_found);
    if (found == NULL) {
        return prove_no_memory(problems);
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
    const prove_stand *from = prove_stand_at(starts, job->fault.onset_ms);
    pw_job other;
    if (own == NULL) {
        return prove_no_memory(problems);
    }
    *out = 0;
    for (int32_t move = 0; move < PW_MOVES; move++) {
        const size_t mark = pw_arena_mark(arena);
        bool caught = true;
        pw_status status = PW_OK;
        if (move == PW_MOVE_PLACE && elsewhere(plant->site, job, &other)) {
            if (from == NULL) {
                status = prove_walk_to(arena, plant, options, jobs, job->fault.onset_ms, &own->at[0], problems);
                from = &own->at[0];
            }
            if (status == PW_OK) {
                status = still_caught(arena, from, options, &other, outcome, &caught, problems);
            }
        } else if (pw_move_possible(plant->site, (pw_move)move)) {
            const bool ready = starts != NULL && starts->moved_plants[move] != NULL &&
                               starts->moved[move].onset_ms == job->fault.onset_ms;
            if (!ready) {
                status =
                    prove_stand_moved(arena, plant, options, jobs, (pw_move)move, job->fault.onset_ms, own, problems);
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
