/* Plain words for what a proof found. */
#include <string.h>

#include "base/num.h"
#include "study/prove_inside.h"
#include "study/prove_words.h"

/* Under this much lost water, or less in a day (a tap that drips loses twenty times that), or this long dry, nobody
 * would call it a cost (own choices). */
#define NOTHING_M3     1e-4
#define NOTHING_DAY_M3 1e-3
#define NOTHING_DRY_S  2.0
/* A pump that runs longer than this in all with next to no flow heats the water inside it (common practice: minutes,
 * not hours). */
#define DEADHEAD_S 600.0
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
    return lost_m3 > NOTHING_M3 && lost_m3 * 86400.0 > NOTHING_DAY_M3 * outcome->seconds;
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
    bool costs = prove_loses_water(outcome) || outcome->dry_s - outcome->usual_dry_s > NOTHING_DRY_S ||
                 passed_a_limit(site, outcome) || wears(site, outcome) || outcome->ending == PW_END_HUNTING ||
                 outcome->deadhead_s - outcome->usual_deadhead_s > DEADHEAD_S || prove_misses_water(outcome);
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
    if (outcome->lost_m3 > NOTHING_M3) {
        pw_tell(&costs, "prove.water-lost", pw_quantity(PW_DIM_VOLUME, outcome->lost_m3));
    }
    if (outcome->dry_s > NOTHING_DRY_S) {
        pw_tell(&costs, "prove.dry-running", pw_quantity(PW_DIM_TIME, outcome->dry_s));
    }
    if (outcome->deadhead_s > DEADHEAD_S) {
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

static pw_fact band_fact(const pw_band *band)
{
    const pw_value most = pw_quantity(PW_DIM_VOLUME, band->lost_most_m3d);
    if (band->tried == 1 && band->below_m3s <= 0.0 && band->above_m3s <= 0.0) {
        return pw_fact_of("prove.leak-never-seen", pw_quantity(PW_DIM_FLOW, band->first_m3s), most);
    }
    return pw_fact_of("prove.leaks-never-seen", pw_quantity(PW_DIM_FLOW, band->from_m3s),
                      pw_quantity(PW_DIM_FLOW, band->to_m3s), most, pw_truth(band->below_m3s > 0.0),
                      pw_truth(band->above_m3s > 0.0));
}

/* Where no time of a fall can be told beforehand. */
static void leak_next(pw_arena *arena, const pw_proof *proof, pw_facts *out)
{
    const pw_job job = {.kind = PW_JOB_FAULT, .fault = {.kind = PW_SWEPT_FAULT, .where = -1}};
    prove_next_for(arena, proof->plant, NULL, &job, NULL, false, out);
}

/* The test a person can make with a watch and a pressure gauge: pump off, outlets shut, time the fall. */
static void band_next(pw_arena *arena, const pw_proof *proof, const pw_band *band, pw_facts *out)
{
    const pw_limits_check *check = &proof->check;
    if (!check->known) {
        leak_next(arena, proof, out);
        return;
    }
    const bool several = band->tried > 1;
    pw_tell(out, "prove.time-the-fall", pw_truth(proof->plant->facts.pumps[0].fills),
            pw_quantity(PW_DIM_FLOW, band->first_m3s), pw_quantity(PW_DIM_TIME, check->drawdown_m3 / band->first_m3s),
            several ? pw_quantity(PW_DIM_FLOW, band->last_m3s) : pw_named(""),
            several ? pw_quantity(PW_DIM_TIME, check->drawdown_m3 / band->last_m3s) : pw_named(""));
}

/* Is this job one of that kind at its usual place and time, and was it never seen? */
static bool unseen_of(const pw_proof *proof, pw_fault_kind kind, int32_t i)
{
    const pw_job *job = &proof->jobs->jobs[i];
    return job->kind == PW_JOB_FAULT && !job->extra && job->fault.kind == kind &&
           pw_outcome_finding(proof->plant, job, &proof->outcomes[i]) == PW_FINDING_UNSEEN;
}

/* The most that unseen trials of one kind cost. */
typedef struct most_of_kind {
    double m3d, dry_s, dead_s, missing_m3, water_c;
    bool burnt, burnt_before;
} most_of_kind;

static void count_in(const pw_outcome *outcome, most_of_kind *most)
{
    most->m3d = pw_max(most->m3d, outcome->lost_per_day_m3);
    most->dry_s = pw_max(most->dry_s, outcome->dry_s);
    most->dead_s = pw_max(most->dead_s, outcome->deadhead_s);
    most->water_c = pw_max(most->water_c, outcome->water_max_c);
    most->burnt = most->burnt || outcome->burnt_s > 0.0;
    most->burnt_before = most->burnt_before || outcome->burnt_s < 0.0;
    if (prove_misses_water(outcome)) {
        most->missing_m3 = pw_max(most->missing_m3, outcome->missing_m3);
    }
}

static pw_value most_list(pw_arena *arena, const most_of_kind *most)
{
    pw_facts list;
    pw_facts_init(&list, arena);
    if (most->m3d > NOTHING_M3) {
        pw_tell(&list, "prove.most-lost-a-day", pw_quantity(PW_DIM_VOLUME, most->m3d));
    }
    if (most->dry_s > NOTHING_DRY_S) {
        pw_tell(&list, "prove.most-dry", pw_quantity(PW_DIM_TIME, most->dry_s));
    }
    if (most->dead_s > DEADHEAD_S) {
        pw_tell(&list, "prove.most-no-flow", pw_quantity(PW_DIM_TIME, most->dead_s));
    }
    if (most->water_c > PW_SCALD_C) {
        pw_tell(&list, "prove.most-hot-water", pw_quantity(PW_DIM_TEMPERATURE, most->water_c));
    }
    if (most->burnt) {
        pw_tell(&list, "prove.motor-burns-out");
    }
    if (most->burnt_before) {
        pw_tell(&list, "prove.motor-burnt-before");
    }
    if (most->missing_m3 > 0.0) {
        pw_tell(&list, "prove.most-missing", pw_quantity(PW_DIM_VOLUME, most->missing_m3));
    }
    return pw_list(&list, PW_JOIN_NOTHING);
}

/* All severities of one kind of fault that were not seen, in one line; no fact when there are none. */
static pw_fact kind_fact(pw_arena *arena, const pw_proof *proof, pw_fault_kind kind)
{
    const bool measured = pw_fault_dimension(kind) != PW_DIM_NONE;
    pw_facts severities;
    pw_facts_init(&severities, arena);
    most_of_kind most = {0};
    int32_t found = 0;
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        const pw_job *job = &proof->jobs->jobs[i];
        bool in_band =
            pw_fault_row_of(kind)->hole && proof->band_count > 0 && job->fault.severity <= proof->jobs->pump_m3s;
        if (in_band || !unseen_of(proof, kind, i)) {
            continue;
        }
        if (measured) {
            pw_tell(&severities, "base.value", pw_quantity(pw_fault_dimension(kind), job->fault.severity));
        }
        count_in(&proof->outcomes[i], &most);
        found++;
    }
    if (found == 0) {
        return pw_no_fact();
    }
    return pw_fact_of("prove.no-watch-fires", pw_word(pw_fault_title(kind)), pw_list(&severities, PW_JOIN_COMMA),
                      pw_word(pw_fault_severity_words(kind)), most_list(arena, &most));
}

/* The unseen trial of a kind that keeps most water from its users; of equal ones that which loses most; -1 none. */
static int32_t worst_of(const pw_proof *proof, pw_fault_kind kind)
{
    int32_t worst = -1;
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        if (!unseen_of(proof, kind, i)) {
            continue;
        }
        const pw_outcome *outcome = &proof->outcomes[i];
        const pw_outcome *so_far = worst >= 0 ? &proof->outcomes[worst] : NULL;
        if (so_far == NULL || outcome->missing_m3 > so_far->missing_m3 ||
            (outcome->missing_m3 >= so_far->missing_m3 && outcome->lost_m3 > so_far->lost_m3)) {
            worst = i;
        }
    }
    return worst;
}

int32_t pw_proof_unseen(pw_arena *arena, const pw_proof *proof, pw_unseen *out, int32_t capacity)
{
    const pw_usual usual = pw_proof_usual(proof);
    int32_t count = 0;
    for (int32_t i = 0; i < proof->band_count && count < capacity; i++) {
        out[count].what = band_fact(&proof->bands[i]);
        pw_facts_init(&out[count].next, arena);
        band_next(arena, proof, &proof->bands[i], &out[count].next);
        count++;
    }
    for (int32_t kind = PW_FAULT_NONE + 1; kind < PW_FAULT_COUNT && count < capacity; kind++) {
        if (kind == PW_SWEPT_FAULT && proof->band_count > 0) {
            continue; /* the bands say it better */
        }
        out[count].what = kind_fact(arena, proof, (pw_fault_kind)kind);
        if (out[count].what.id == NULL) {
            continue;
        }
        const int32_t worst = worst_of(proof, (pw_fault_kind)kind);
        pw_facts_init(&out[count].next, arena);
        prove_next_for(arena, proof->plant, &usual, &proof->jobs->jobs[worst], &proof->outcomes[worst], false,
                       &out[count].next);
        count++;
    }
    return prove_extra_unseen(arena, proof, out, count, capacity);
}
