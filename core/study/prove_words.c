/* Plain words for what a proof found. */
#include <string.h>

#include "base/num.h"
#include "study/prove_inside.h"
#include "study/prove_words.h"

/* What users notice: more than a jug is missing, and that is either more than a thousandth of what they wanted or they
 * stood for ten minutes in all before an outlet that gave too little. Beyond half as much again as was missing before
 * the fault (own choices). */
#define MISSED_M3    1e-3
#define MISSED_PART  1e-3
#define MISSED_S     600.0
#define MISSED_USUAL 1.5
/* Starts over the limit of the site are the fault's doing when a pump did not start nearly as often before it (own
 * choice). */
#define STARTS_USUAL 1.25
/* So does pressure that the healthy site has as well. */
#define TOP_USUAL 1.02
/* A site that had drawn at least this part of its demand from what its healthy self has in store lives on its stores
 * (own choice). */
#define FROM_STORES 0.25

double pw_outcome_winding_limit_c(const pw_site *site)
{
    double limit_c = PW_INF;
    for (int32_t i = 0; i < site->pump_count; i++) {
        limit_c = pw_min(limit_c, site->pumps[i].motor.winding_limit_c.v);
    }
    return limit_c;
}

/* Is the pressure above what the weakest part stands, because of the fault? */
bool prove_overpressures(const pw_site *site, const pw_outcome *outcome)
{
    return outcome->pressure_top_pa > site->limits.highest_pa.v &&
           outcome->pressure_top_pa > TOP_USUAL * outcome->usual_top_pa;
}

static bool passed_a_limit(const pw_site *site, const pw_outcome *outcome)
{
    const bool hot = outcome->water_max_c > PW_SCALD_C && outcome->usual_water_c <= PW_SCALD_C;
    const double limit_c = pw_outcome_winding_limit_c(site);
    const bool winding = outcome->winding_max_c > limit_c && outcome->usual_winding_c <= limit_c;
    return outcome->dry_s - outcome->usual_dry_s > site->limits.dry_run_s.v || hot || winding ||
           prove_overpressures(site, outcome);
}

/* Do users miss water that they had before the fault? */
bool prove_misses_water(const pw_outcome *outcome)
{
    double extra_m3 = outcome->missing_m3 - MISSED_USUAL * outcome->usual_m3;
    if (!(extra_m3 > MISSED_M3)) {
        return false;
    }
    return extra_m3 > MISSED_PART * outcome->wanted_m3 || outcome->short_s * extra_m3 > MISSED_S * outcome->missing_m3;
}

bool prove_loses_water(const pw_outcome *outcome)
{
    const double lost_m3 = outcome->lost_m3 - outcome->usual_lost_m3;
    return lost_m3 > PROVE_NOTHING_M3 && lost_m3 * 86400.0 > PROVE_NOTHING_DAY_M3 * outcome->seconds;
}

/* Does a pump start more often than it may, because of the fault? */
static bool wears(const pw_site *site, const pw_outcome *outcome)
{
    return outcome->most_starts_in_hour > site->limits.starts_per_hour.v &&
           outcome->most_starts_in_hour > STARTS_USUAL * outcome->usual_starts_in_hour;
}

bool pw_outcome_typed(const pw_outcome *outcome)
{
    return outcome->typed != PW_TYPED_SILENT;
}

pw_finding pw_outcome_finding(const pw_plant *plant, const pw_job *job, const pw_outcome *outcome)
{
    const pw_site *site = plant->site;
    (void)job;
    if (outcome->caught_by >= 0) {
        if (!outcome->stopped) {
            return PW_FINDING_TOLD;
        }
        return passed_a_limit(site, outcome) ? PW_FINDING_TOO_LATE : PW_FINDING_STOPPED;
    }
    if (pw_outcome_typed(outcome)) {
        return outcome->typed == PW_TYPED_REFUSED ? PW_FINDING_REFUSED : PW_FINDING_WARNED;
    }
    bool costs = prove_loses_water(outcome) || outcome->dry_s - outcome->usual_dry_s > PROVE_NOTHING_DRY_S ||
                 passed_a_limit(site, outcome) || wears(site, outcome) || outcome->ending == PW_END_HUNTING ||
                 outcome->deadhead_s - outcome->usual_deadhead_s > PROVE_DEADHEAD_S || prove_misses_water(outcome);
    if (costs) {
        return PW_FINDING_UNSEEN;
    }
    if (outcome->unprotected) {
        return PW_FINDING_UNPROTECTED;
    }
    const bool lives_on_stores = outcome->behind_m3 > MISSED_M3 &&
                                 outcome->behind_m3 > FROM_STORES * outcome->wanted_m3 && outcome->wanted_m3 > 0.0;
    return lives_on_stores ? PW_FINDING_OUTLASTED : PW_FINDING_HARMLESS;
}

const char *pw_finding_id(pw_finding finding)
{
    switch (finding) {
    case PW_FINDING_STOPPED: return "stopped";
    case PW_FINDING_TOLD: return "seen, not stopped";
    case PW_FINDING_TOO_LATE: return "stopped too late";
    case PW_FINDING_REFUSED: return "refused as typed";
    case PW_FINDING_WARNED: return "warned of as typed";
    case PW_FINDING_UNSEEN: return "never seen";
    case PW_FINDING_UNPROTECTED: return "protection lost";
    case PW_FINDING_OUTLASTED: return "no harm within the horizon";
    case PW_FINDING_HARMLESS: return "not seen, no harm";
    }
    return "";
}

const char *pw_finding_word(pw_finding finding)
{
    switch (finding) {
    case PW_FINDING_STOPPED: return "prove.stopped";
    case PW_FINDING_TOLD: return "prove.alarm-only";
    case PW_FINDING_TOO_LATE: return "prove.too-late";
    case PW_FINDING_REFUSED: return "prove.refused";
    case PW_FINDING_WARNED: return "prove.warned";
    case PW_FINDING_UNSEEN: return "prove.never-seen";
    case PW_FINDING_UNPROTECTED: return "prove.unprotected";
    case PW_FINDING_OUTLASTED: return "prove.outlasted";
    case PW_FINDING_HARMLESS: return "prove.no-harm";
    }
    return "";
}

/* "Slow leak, 5 L/min, at shed" */
static pw_fact fault_fact(pw_arena *arena, const pw_plant *plant, const pw_fault *fault)
{
    const bool measured = pw_fault_dimension(fault->kind) != PW_DIM_NONE;
    return pw_fact_of("prove.fault", pw_word(pw_fault_title(fault->kind)),
                      measured ? pw_quantity(pw_fault_dimension(fault->kind), fault->severity) : pw_named(""),
                      pw_fact_inside(arena, pw_fault_where_fact(plant->site, fault->kind, fault->where)));
}

pw_fact pw_job_fact(pw_arena *arena, const pw_plant *plant, const pw_job *job)
{
    if (job->kind == PW_JOB_HEALTHY) {
        return pw_fact_of("prove.healthy-year", pw_count(job->year + 1));
    }
    if (job->kind == PW_JOB_MARGIN) {
        return pw_fact_of("prove.healthy-moved",
                          pw_fact_inside(arena, pw_move_fact(plant->site, (pw_move)job->year, 1.0)));
    }
    const pw_fact first = fault_fact(arena, plant, &job->fault);
    if (job->second.kind != PW_FAULT_NONE) {
        return pw_fact_of("prove.two-faults", pw_fact_inside(arena, first),
                          pw_fact_inside(arena, fault_fact(arena, plant, &job->second)));
    }
    if (!job->extra) {
        return first;
    }
    const int64_t minute = job->fault.onset_ms / 60000; /* the simulation begins on a Monday */
    return pw_fact_of("prove.fault-from", pw_fact_inside(arena, first), pw_weekday(minute / 1440),
                      pw_clock(minute % 1440 * 60));
}

static pw_value cost_list(pw_arena *arena, const pw_site *site, const pw_outcome *outcome)
{
    pw_facts costs;
    pw_facts_init(&costs, arena);
    if (outcome->lost_m3 > PROVE_NOTHING_M3) {
        pw_tell(&costs, "prove.water-lost", pw_quantity(PW_DIM_VOLUME, outcome->lost_m3));
    }
    if (outcome->dry_s > PROVE_NOTHING_DRY_S) {
        pw_tell(&costs, "prove.dry-running", pw_quantity(PW_DIM_TIME, outcome->dry_s));
    }
    if (outcome->deadhead_s > PROVE_DEADHEAD_S) {
        pw_tell(&costs, "prove.next-to-no-flow", pw_quantity(PW_DIM_TIME, outcome->deadhead_s));
    }
    if (outcome->water_max_c > PW_SCALD_C) {
        pw_tell(&costs, "prove.hot-water", pw_quantity(PW_DIM_TEMPERATURE, outcome->water_max_c));
    }
    if (prove_overpressures(site, outcome)) {
        pw_tell(&costs, "prove.pressure-over", pw_quantity(PW_DIM_PRESSURE, outcome->pressure_top_pa),
                pw_quantity(PW_DIM_PRESSURE, site->limits.highest_pa.v));
    }
    if (outcome->burnt_s > 0.0) {
        pw_tell(&costs, "prove.burnt-out", pw_quantity(PW_DIM_TIME, outcome->burnt_s));
    }
    if (outcome->burnt_s < 0.0) {
        pw_tell(&costs, "prove.burnt-before");
    }
    if (prove_misses_water(outcome)) {
        pw_tell(&costs, "prove.water-missing", pw_quantity(PW_DIM_VOLUME, outcome->missing_m3),
                pw_quantity(PW_DIM_VOLUME, outcome->wanted_m3));
    }
    pw_tell(&costs, "prove.starts", pw_count((int64_t)outcome->starts));
    return pw_list(&costs, PW_JOIN_COMMA);
}

/* Which limit was passed before the lock out. */
static const char *too_late_id(const pw_site *site, const pw_outcome *outcome)
{
    if (outcome->dry_s > site->limits.dry_run_s.v) {
        return "prove.too-late-dry";
    }
    if (prove_overpressures(site, outcome)) {
        return "prove.too-late-pressure";
    }
    if (outcome->burnt_s > 0.0) {
        return "prove.too-late-burnt";
    }
    if (outcome->winding_max_c > pw_outcome_winding_limit_c(site)) {
        return "prove.too-late-winding";
    }
    return "prove.too-late-water";
}

/* What the finding adds to "seen after ...". */
static pw_value afterwards(const pw_plant *plant, const pw_job *job, const pw_outcome *outcome, pw_finding finding)
{
    if (finding == PW_FINDING_TOLD) {
        const bool welded = !pw_fault_heeds_stop(job->fault.kind) || !pw_fault_heeds_stop(job->second.kind);
        return pw_word(welded ? "prove.cannot-stop" : "prove.only-warns");
    }
    return finding == PW_FINDING_TOO_LATE ? pw_word(too_late_id(plant->site, outcome)) : pw_named("");
}

/* What the finding adds to "no watch saw it ...". */
static pw_value for_now(pw_arena *arena, const pw_outcome *outcome, pw_finding finding)
{
    if (finding == PW_FINDING_UNPROTECTED) {
        return pw_word("prove.next-fault-is-free");
    }
    if (finding == PW_FINDING_OUTLASTED) {
        return pw_fact_inside(arena,
                              pw_fact_of("prove.stores-outlast", pw_quantity(PW_DIM_VOLUME, outcome->behind_m3)));
    }
    return pw_named("");
}

static pw_fact happened(pw_arena *arena, const pw_plant *plant, const pw_job *job, const pw_outcome *outcome)
{
    const pw_finding finding = pw_outcome_finding(plant, job, outcome);
    if (job->kind == PW_JOB_HEALTHY || job->kind == PW_JOB_MARGIN) {
        return pw_fact_of("prove.false-stops", pw_count(outcome->false_stops));
    }
    const pw_value costs = cost_list(arena, plant->site, outcome);
    const pw_value time = pw_quantity(PW_DIM_TIME, outcome->seconds);
    if (outcome->caught_by >= 0) {
        return pw_fact_of("prove.seen-after", time, pw_sentence_value(arena, plant->settings, outcome->caught_by),
                          costs, afterwards(plant, job, outcome, finding));
    }
    if (pw_outcome_typed(outcome)) {
        return pw_fact_of(finding == PW_FINDING_REFUSED ? "prove.refused-as-typed" : "prove.warned-as-typed");
    }
    return pw_fact_of(outcome->ending == PW_END_HUNTING ? "prove.hunting" : "prove.not-seen-within", time, costs,
                      pw_truth(finding != PW_FINDING_UNSEEN), for_now(arena, outcome, finding));
}

pw_fact pw_outcome_fact(pw_arena *arena, const pw_plant *plant, const pw_job *job, const pw_outcome *outcome)
{
    return pw_fact_of("prove.outcome", pw_fact_inside(arena, pw_job_fact(arena, plant, job)),
                      pw_fact_inside(arena, happened(arena, plant, job, outcome)));
}

pw_count_of_faults pw_proof_counts(const pw_proof *proof)
{
    pw_count_of_faults counts;
    memset(&counts, 0, sizeof counts);
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        const pw_job *job = &proof->jobs->jobs[i];
        if (job->kind != PW_JOB_FAULT) {
            continue;
        }
        counts.tried++;
        switch (pw_outcome_finding(proof->plant, job, &proof->outcomes[i])) {
        case PW_FINDING_STOPPED: counts.stopped++; break;
        case PW_FINDING_TOLD: counts.told++; break;
        case PW_FINDING_TOO_LATE: counts.too_late++; break;
        case PW_FINDING_REFUSED: counts.refused++; break;
        case PW_FINDING_WARNED: counts.warned++; break;
        case PW_FINDING_UNSEEN: counts.unseen++; break;
        case PW_FINDING_UNPROTECTED: counts.unprotected++; break;
        case PW_FINDING_OUTLASTED: counts.outlasted++; break;
        case PW_FINDING_HARMLESS: counts.harmless++; break;
        }
    }
    counts.caught = counts.stopped + counts.told + counts.too_late;
    return counts;
}
