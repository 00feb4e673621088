/* What to do next about a fault that was not stopped, or too late. It follows what happened: seen or not, by which
 * sentence, how soon against the harm. Practice of the trade (common practice).
 */
#include <string.h>

#include "base/num.h"
#include "study/propose_watch.h"
#include "sim/demand.h"
#include "site/topology.h"

pw_usual pw_proof_usual(const pw_proof *proof)
{
    pw_usual usual;
    memset(&usual, 0, sizeof usual);
    usual.reference_pa = proof->jobs->reference_pa;
    double starts = 0.0, seconds = 0.0;
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        const pw_outcome *outcome = &proof->outcomes[i];
        const pw_job_kind kind = proof->jobs->jobs[i].kind;
        if (kind != PW_JOB_HEALTHY && kind != PW_JOB_MARGIN) {
            continue;
        }
        usual.longest_run_s = pw_max(usual.longest_run_s, outcome->longest_run_s);
        usual.most_starts_in_hour = pw_max(usual.most_starts_in_hour, outcome->most_starts_in_hour);
        usual.pressure_max_pa = pw_max(usual.pressure_max_pa, outcome->pressure_max_pa);
        usual.winding_max_c = pw_max(usual.winding_max_c, outcome->winding_max_c);
        if (kind == PW_JOB_MARGIN) {
            continue;
        }
        usual.years++;
        starts += outcome->starts;
        seconds += outcome->seconds;
    }
    const pw_demand_basis basis = pw_demand_basis_of(proof->plant->site);
    usual.random = basis.kind == PW_BASIS_YEARS || basis.kind == PW_BASIS_HOMES;
    usual.seen_briefly = pw_demand_seen_briefly(&basis);
    if (seconds > 0.0) {
        usual.starts_per_day = starts * 86400.0 / seconds;
    }
    return usual;
}

/* ---- what the trial is about ---- */

static int32_t sensor_of(const pw_site *site, const pw_fault *fault)
{
    return pw_fault_thing_of(fault->kind) == PW_THING_SENSOR ? pw_fault_where(site, fault->kind, fault->where) : -1;
}

/* The tank that a pump fills, as far as sensors tell; else the only one. */
static int32_t tank_filled_by(const pw_plant *plant, int32_t pump)
{
    const pw_site *site = plant->site;
    for (int32_t i = 0; i < site->sensor_count; i++) {
        if (plant->facts.pumps[pump].signal_at[i] == PW_AT_TANK_FILLED) {
            return pw_site_tank_at(site, site->sensors[i].place);
        }
    }
    return site->tank_count == 1 && plant->facts.pumps[pump].fills ? 0 : -1;
}

prove_trial prove_trial_of(pw_arena *arena, const pw_plant *plant, const pw_usual *usual, const pw_job *job,
                           const pw_outcome *outcome)
{
    static const pw_usual nothing = {0};
    const pw_site *site = plant->site;
    const pw_fault_kind kind = job->fault.kind;
    const pw_fault_thing thing = pw_fault_thing_of(kind);
    prove_trial t = {arena, plant, usual != NULL ? usual : &nothing, job, outcome, -1, 0, -1, -1, -1, false};
    t.where = pw_fault_where(site, kind, job->fault.where);
    t.sensor = sensor_of(site, &job->fault);
    t.other = sensor_of(site, &job->second);
    if (t.where >= 0 && thing == PW_THING_PUMP) {
        t.pump = t.where;
    }
    if (t.where >= PW_MAX_LINES && thing == PW_THING_VALVE) {
        t.pump = t.where - PW_MAX_LINES;
    }
    if (t.sensor >= 0 && site->sensors[t.sensor].pump >= 0) {
        t.pump = site->sensors[t.sensor].pump;
    }
    if (thing == PW_THING_TANK) {
        t.tank = t.where;
    } else if (t.sensor >= 0 && site->sensors[t.sensor].place >= 0) {
        t.tank = pw_site_tank_at(site, site->sensors[t.sensor].place);
    }
    if (t.tank < 0) {
        t.tank = tank_filled_by(plant, t.pump);
    }
    return t;
}

bool prove_spills(const prove_trial *t)
{
    /* of these faults none opens a hole: what is lost ran over the brim of a tank */
    const pw_fault_kind kind = t->job->fault.kind;
    const pw_fault_thing thing = pw_fault_thing_of(kind);
    const bool tight = thing == PW_THING_SENSOR || thing == PW_THING_TANK || !pw_fault_heeds_stop(kind);
    return tight && t->tank >= 0 && t->outcome != NULL && prove_loses_water(t->outcome);
}

/* Does the tank of this trial get its water from a pump? */
static bool pumped(const prove_trial *t)
{
    return t->tank >= 0 && t->tank == tank_filled_by(t->plant, t->pump);
}

bool prove_harms(const prove_trial *t)
{
    const pw_outcome *outcome = t->outcome;
    if (prove_spills(t) && !pumped(t)) {
        return false; /* to stop the pump does not stop the water */
    }
    return outcome != NULL && (prove_loses_water(outcome) || outcome->dry_s > 2.0 || outcome->deadhead_s > 600.0 ||
                               outcome->water_max_c > PW_SCALD_C || outcome->burnt_s > 0.0 ||
                               prove_overpressures(t->plant->site, outcome) ||
                               outcome->winding_max_c > pw_outcome_winding_limit_c(t->plant->site));
}

/* ---- the outcome ---- */

/* A tank that is nearly empty is no reason to stop the pump that fills it. */
static bool of_empty_tank(const prove_trial *t)
{
    pw_look look;
    for (int32_t k = 0; pw_settings_look(t->plant->settings, t->outcome->caught_by, k, &look); k++) {
        const bool level = look.kind == PW_TERM_LEVEL || look.kind == PW_TERM_PROBE;
        if (level && !look.above && look.signal >= 0 &&
            t->plant->facts.pumps[t->pump].signal_at[look.signal] != PW_AT_SOURCE) {
            return true;
        }
    }
    return false;
}

/* Does the sentence speak of a pump that stands or is locked out? Then a lock out in its place would be senseless. */
static bool of_pump_at_rest(const prove_trial *t)
{
    pw_look look;
    for (int32_t k = 0; pw_settings_look(t->plant->settings, t->outcome->caught_by, k, &look); k++) {
        if (look.kind == PW_TERM_STOPPED || look.kind == PW_TERM_LOCKED) {
            return true;
        }
    }
    return false;
}

/* A warning cannot end what a lock out would: the same sentence with "lock out when". */
bool prove_may_lock(const prove_trial *t)
{
    return pw_fault_heeds_stop(t->job->fault.kind) && pw_fault_heeds_stop(t->job->second.kind) &&
           pw_settings_kind(t->plant->settings, t->outcome->caught_by) == PW_SENTENCE_WARN && !of_empty_tank(t) &&
           !of_pump_at_rest(t);
}

static bool tell_lock_instead(const prove_trial *t, pw_facts *out)
{
    if (!prove_may_lock(t)) {
        return false;
    }
    const pw_fact lock = pw_settings_lock_fact(t->arena, t->plant->settings, t->outcome->caught_by);
    pw_tell(out, "propose.lock-instead", pw_fact_inside(t->arena, lock));
    return true;
}

static void tell_told(const prove_trial *t, pw_facts *out)
{
    const bool heeds = pw_fault_heeds_stop(t->job->fault.kind);
    if (t->sentences && prove_harms(t) && (tell_lock_instead(t, out) || (heeds && prove_propose(t, out)))) {
        return;
    }
    if (heeds) {
        pw_tell(out, "propose.warning-heard");
    }
}

static void tell_too_late(const prove_trial *t, pw_facts *out)
{
    const pw_limits_of_site *limits = &t->plant->site->limits;
    const pw_outcome *outcome = t->outcome;
    if (t->sentences && prove_propose(t, out)) {
        return;
    }
    const pw_value sentence = pw_count(outcome->caught_by + 1);
    if (outcome->dry_s > limits->dry_run_s.v) {
        pw_tell(out, "propose.sooner-dry", sentence, pw_quantity(PW_DIM_TIME, limits->dry_run_s.v));
    } else if (prove_overpressures(t->plant->site, outcome)) {
        pw_tell(out, "propose.relief-valve", sentence);
    } else {
        pw_tell(out, "propose.sooner", sentence);
    }
}

void prove_next_for(pw_arena *arena, const pw_plant *plant, const pw_usual *usual, const pw_job *job,
                    const pw_outcome *outcome, bool sentences, pw_facts *out)
{
    prove_trial t = prove_trial_of(arena, plant, usual, job, outcome);
    t.sentences = sentences;
    const pw_finding finding = outcome != NULL ? pw_outcome_finding(plant, job, outcome) : PW_FINDING_UNSEEN;
    switch (finding) {
    case PW_FINDING_TOLD: tell_told(&t, out); break;
    case PW_FINDING_TOO_LATE: tell_too_late(&t, out); break;
    case PW_FINDING_UNSEEN:
        if (sentences) {
            (void)prove_propose(&t, out);
        }
        break;
    default: break;
    }
    prove_by_hand(&t, out);
}

void pw_outcome_next(pw_arena *arena, const pw_plant *plant, const pw_usual *usual, const pw_job *job,
                     const pw_outcome *outcome, bool sentences, pw_facts *out)
{
    if (job->kind == PW_JOB_HEALTHY) {
        if (outcome->false_stops > 0) {
            pw_tell(out, "propose.more-room");
        }
        return;
    }
    const pw_finding finding = pw_outcome_finding(plant, job, outcome);
    if (finding == PW_FINDING_STOPPED || finding == PW_FINDING_REFUSED || finding == PW_FINDING_HARMLESS) {
        return;
    }
    prove_next_for(arena, plant, usual, job, outcome, sentences, out);
}
