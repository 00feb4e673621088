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

double pw_outcome_winding_limit_c(const pw_site *site)
{
    double limit_c = PW_INF;
    for (int32_t i = 0; i < site->pump_count; i++)
        limit_c = pw_min(limit_c, site->pumps[i].motor.winding_limit_c.v);
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
    return outcome->dry_s > site->limits.dry_run_s.v || outcome->water_max_c > PW_SCALD_C ||
           outcome->winding_max_c > pw_outcome_winding_limit_c(site) || prove_overpressures(site, outcome);
}

/* Do users miss water that they had before the fault? */
bool prove_misses_water(const pw_outcome *outcome)
{
    double extra_m3 = outcome->missing_m3 - MISSED_USUAL * outcome->usual_m3;
    if (!(extra_m3 > MISSED_M3))
        return false;
    return extra_m3 > MISSED_PART * outcome->wanted_m3 || outcome->short_s * extra_m3 > MISSED_S * outcome->missing_m3;
}

bool prove_loses_water(const pw_outcome *outcome)
{
    return outcome->lost_m3 > NOTHING_M3 && outcome->lost_m3 * 86400.0 > NOTHING_DAY_M3 * outcome->seconds;
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
        if (!outcome->stopped)
            return PW_FINDING_TOLD;
        return passed_a_limit(site, outcome) ? PW_FINDING_TOO_LATE : PW_FINDING_STOPPED;
    }
    if (pw_outcome_typed(outcome))
        return outcome->typed == PW_TYPED_REFUSED ? PW_FINDING_REFUSED : PW_FINDING_WARNED;
    bool costs = prove_loses_water(outcome) || outcome->dry_s > NOTHING_DRY_S || passed_a_limit(site, outcome) ||
                 wears(site, outcome) || outcome->ending == PW_END_HUNTING || outcome->deadhead_s > DEADHEAD_S ||
                 prove_misses_water(outcome);
    return costs ? PW_FINDING_UNSEEN : PW_FINDING_HARMLESS;
}

const char *pw_finding_words(pw_finding finding)
{
    switch (finding) {
    case PW_FINDING_STOPPED: return "stopped";
    case PW_FINDING_TOLD: return "seen, not stopped";
    case PW_FINDING_TOO_LATE: return "stopped too late";
    case PW_FINDING_REFUSED: return "refused as typed";
    case PW_FINDING_WARNED: return "warned of as typed";
    case PW_FINDING_UNSEEN: return "never seen";
    case PW_FINDING_HARMLESS: return "not seen, no harm";
    }
    return "";
}

static void put_fault(const pw_plant *plant, const pw_fault *fault, const pw_units *units, pw_text *text)
{
    pw_text_put(text, pw_fault_title(fault->kind));
    if (pw_fault_dimension(fault->kind) != PW_DIM_NONE) {
        pw_text_put(text, ", ");
        pw_quantity_put(text, units, pw_fault_dimension(fault->kind), fault->severity);
    }
    pw_text where;
    pw_text_init(&where, text->arena);
    pw_fault_where_words(plant->site, fault->kind, fault->where, &where);
    if (where.length > 0)
        pw_text_puts(text, ", ", where.data, NULL);
}

/* ", from Tuesday 10:00": the simulation begins on a Monday. */
static void put_onset(int64_t onset_ms, pw_text *text)
{
    static const char *const days[7] = {"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"};
    int64_t minute = onset_ms / 60000;
    pw_text_puts(text, ", from ", days[minute / 1440 % 7], minute % 1440 / 60 < 10 ? " 0" : " ", NULL);
    pw_text_int(text, minute % 1440 / 60);
    pw_text_put(text, minute % 60 < 10 ? ":0" : ":");
    pw_text_int(text, minute % 60);
}

void pw_job_words(const pw_plant *plant, const pw_job *job, const pw_units *units, pw_text *text)
{
    if (job->kind == PW_JOB_HEALTHY) {
        pw_text_put(text, "Healthy year ");
        pw_text_int(text, job->year + 1);
        return;
    }
    put_fault(plant, &job->fault, units, text);
    if (job->second.kind != PW_FAULT_NONE) {
        pw_text_put(text, " and ");
        put_fault(plant, &job->second, units, text);
    } else if (job->extra) {
        put_onset(job->fault.onset_ms, text);
    }
}

static void put_cost(const pw_site *site, const pw_outcome *outcome, const pw_units *units, pw_text *text)
{
    int32_t said = 0;
    if (outcome->lost_m3 > NOTHING_M3) {
        pw_quantity_put(text, units, PW_DIM_VOLUME, outcome->lost_m3);
        pw_text_put(text, " of water lost");
        said++;
    }
    if (outcome->dry_s > NOTHING_DRY_S) {
        pw_text_put(text, said > 0 ? ", " : "");
        pw_quantity_put(text, units, PW_DIM_TIME, outcome->dry_s);
        pw_text_put(text, " of dry running");
        said++;
    }
    if (outcome->deadhead_s > DEADHEAD_S) {
        pw_text_put(text, said > 0 ? ", " : "");
        pw_quantity_put(text, units, PW_DIM_TIME, outcome->deadhead_s);
        pw_text_put(text, " of running with next to no flow");
        said++;
    }
    if (outcome->water_max_c > PW_SCALD_C) {
        pw_text_put(text, said > 0 ? ", water of " : "water of ");
        pw_quantity_put(text, units, PW_DIM_TEMPERATURE, outcome->water_max_c);
        pw_text_put(text, " in a pump");
        said++;
    }
    if (prove_overpressures(site, outcome)) {
        pw_text_put(text, said > 0 ? ", up to " : "up to ");
        pw_quantity_put(text, units, PW_DIM_PRESSURE, outcome->pressure_top_pa);
        pw_text_put(text, " where the weakest part stands ");
        pw_quantity_put(text, units, PW_DIM_PRESSURE, site->limits.highest_pa.v);
        said++;
    }
    if (outcome->burnt_s > 0.0) {
        pw_text_put(text, said > 0 ? ", a motor burnt out after " : "a motor burnt out after ");
        pw_quantity_put(text, units, PW_DIM_TIME, outcome->burnt_s);
        said++;
    }
    if (outcome->burnt_s < 0.0) {
        pw_text_put(text, said > 0 ? ", a motor" : "a motor");
        pw_text_put(text, " had burnt out before the fault began, without it");
        said++;
    }
    if (prove_misses_water(outcome)) {
        pw_text_put(text, said > 0 ? ", " : "");
        pw_quantity_put(text, units, PW_DIM_VOLUME, outcome->missing_m3);
        pw_text_put(text, " missing of the ");
        pw_quantity_put(text, units, PW_DIM_VOLUME, outcome->wanted_m3);
        pw_text_put(text, " that users wanted");
        said++;
    }
    pw_text_put(text, said > 0 ? ", " : "");
    pw_text_digits(text, outcome->starts, 6);
    pw_text_put(text, outcome->starts == 1.0 ? " start" : " starts");
}

/* Which limit was passed before the lock out. */
static const char *too_late_words(const pw_site *site, const pw_outcome *outcome)
{
    if (outcome->dry_s > site->limits.dry_run_s.v)
        return " That is longer dry than the pump stands.";
    if (prove_overpressures(site, outcome))
        return " The pressure was above what the weakest part stands.";
    if (outcome->burnt_s > 0.0)
        return " By then the motor had burnt out.";
    if (outcome->winding_max_c > pw_outcome_winding_limit_c(site))
        return " The motor's winding was hotter than its insulation stands.";
    return " The water in the pump had become hot enough to scald and to soften plastic.";
}

void pw_outcome_words(const pw_plant *plant, const pw_job *job, const pw_outcome *outcome, const pw_units *units,
                      pw_text *text)
{
    pw_job_words(plant, job, units, text);
    pw_text_put(text, ": ");
    if (job->kind == PW_JOB_HEALTHY) {
        pw_text_int(text, outcome->false_stops);
        pw_text_put(text, outcome->false_stops == 1 ? " false stop." : " false stops.");
        return;
    }
    pw_finding finding = pw_outcome_finding(plant, job, outcome);
    if (outcome->caught_by >= 0) {
        pw_text_put(text, "seen after ");
        pw_quantity_put(text, units, PW_DIM_TIME, outcome->seconds);
        pw_text_put(text, " by \"");
        pw_settings_put(plant->settings, outcome->caught_by, text);
        pw_text_put(text, "\"; by then ");
        put_cost(plant->site, outcome, units, text);
        pw_text_put(text, ".");
        if (finding == PW_FINDING_TOLD) {
            bool welded = !pw_fault_heeds_stop(job->fault.kind) || !pw_fault_heeds_stop(job->second.kind);
            pw_text_put(text, welded ? " The lock out cannot stop this pump: its contactor is welded and stays closed."
                                     : " It only warns: pump and water go on.");
        }
        if (finding == PW_FINDING_TOO_LATE) {
            pw_text_put(text, too_late_words(plant->site, outcome));
        }
        return;
    }
    if (pw_outcome_typed(outcome)) {
        pw_text_put(text, finding == PW_FINDING_REFUSED
                              ? "refused as it is typed: the order's reader does not take it, and the old order stays."
                              : "warned of as it is typed: the order's reader takes it, but tells of that sentence.");
        return;
    }
    pw_text_put(text, outcome->ending == PW_END_HUNTING ? "no watch saw it; a pump started more than 1,800 times in an "
                                                          "hour and the trial ended; until then "
                                                        : "no watch saw it within ");
    if (outcome->ending != PW_END_HUNTING) {
        pw_quantity_put(text, units, PW_DIM_TIME, outcome->seconds);
        pw_text_put(text, "; in that time ");
    }
    put_cost(plant->site, outcome, units, text);
    pw_text_put(text, finding == PW_FINDING_HARMLESS ? ". No limit of the site was passed." : ".");
}

pw_count_of_faults pw_proof_counts(const pw_proof *proof)
{
    pw_count_of_faults counts;
    memset(&counts, 0, sizeof counts);
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        const pw_job *job = &proof->jobs->jobs[i];
        if (job->kind != PW_JOB_FAULT)
            continue;
        counts.tried++;
        switch (pw_outcome_finding(proof->plant, job, &proof->outcomes[i])) {
        case PW_FINDING_STOPPED: counts.stopped++; break;
        case PW_FINDING_TOLD: counts.told++; break;
        case PW_FINDING_TOO_LATE: counts.too_late++; break;
        case PW_FINDING_REFUSED: counts.refused++; break;
        case PW_FINDING_WARNED: counts.warned++; break;
        case PW_FINDING_UNSEEN: counts.unseen++; break;
        case PW_FINDING_HARMLESS: counts.harmless++; break;
        }
    }
    counts.caught = counts.stopped + counts.told + counts.too_late;
    return counts;
}

static const char *band_words(pw_arena *arena, const pw_proof *proof, const pw_band *band, const pw_units *units)
{
    pw_text text;
    pw_text_init(&text, arena);
    if (band->tried == 1 && band->below_m3s <= 0.0 && band->above_m3s <= 0.0) {
        pw_text_put(&text, "A leak of ");
        pw_quantity_put(&text, units, PW_DIM_FLOW, band->first_m3s);
    } else {
        pw_text_put(&text, "Leaks from ");
        pw_quantity_put(&text, units, PW_DIM_FLOW, band->from_m3s);
        pw_text_put(&text, band->below_m3s > 0.0 ? "" : " (and less)");
        pw_text_put(&text, " to ");
        pw_quantity_put(&text, units, PW_DIM_FLOW, band->to_m3s);
        pw_text_put(&text, band->above_m3s > 0.0 ? "" : " (and more)");
    }
    pw_text_put(&text, ": up to ");
    pw_quantity_put(&text, units, PW_DIM_VOLUME, band->lost_most_m3d);
    pw_text_put(&text, " a day, for as long as nobody looks.");
    (void)proof;
    return text.failed ? NULL : text.data;
}

/* Where no time of a fall can be told beforehand. */
static const char *leak_next(pw_arena *arena, const pw_proof *proof)
{
    const pw_job job = {.kind = PW_JOB_FAULT, .fault = {.kind = PW_SWEPT_FAULT, .where = -1}};
    return prove_next_for(arena, proof->plant, NULL, &job, NULL);
}

/* A sentence for the largest leak of the band, when one would see it. */
static void put_band_sentence(pw_arena *arena, const pw_proof *proof, const pw_band *band, pw_text *text)
{
    const pw_usual usual = pw_proof_usual(proof);
    int32_t leaks[PW_MAX_TRIED_LEAKS];
    const int32_t count = pw_proof_leaks(proof->jobs, leaks, PW_MAX_TRIED_LEAKS);
    for (int32_t i = 0; i < count; i++) {
        const pw_job *job = &proof->jobs->jobs[leaks[i]];
        if (job->fault.severity < band->last_m3s)
            continue;
        const prove_trial trial = prove_trial_of(arena, proof->plant, &usual, job, &proof->outcomes[leaks[i]]);
        pw_text said;
        pw_text_init(&said, arena);
        if (prove_propose(&trial, &said) && said.data != NULL)
            pw_text_puts(text, " A sentence would see the largest of them. ", said.data, NULL);
        text->failed = text->failed || said.failed;
        return;
    }
}

/* The test a person can make with a watch and a pressure gauge: pump off, outlets shut, time the fall. */
static const char *band_next(pw_arena *arena, const pw_proof *proof, const pw_band *band, const pw_units *units)
{
    const pw_limits_check *check = &proof->check;
    if (!check->known)
        return leak_next(arena, proof);
    pw_text text;
    pw_text_init(&text, arena);
    pw_text_puts(&text, "Shut every outlet", proof->plant->facts.pumps[0].fills ? " and tank inlet" : "",
                 ", wait until the pump stops, and time the fall to cut-in: a leak of ", NULL);
    pw_quantity_put(&text, units, PW_DIM_FLOW, band->first_m3s);
    pw_text_put(&text, " takes about ");
    pw_quantity_put(&text, units, PW_DIM_TIME, check->drawdown_m3 / band->first_m3s);
    if (band->tried > 1) {
        pw_text_put(&text, ", one of ");
        pw_quantity_put(&text, units, PW_DIM_FLOW, band->last_m3s);
        pw_text_put(&text, " about ");
        pw_quantity_put(&text, units, PW_DIM_TIME, check->drawdown_m3 / band->last_m3s);
    }
    pw_text_put(&text, ".");
    put_band_sentence(arena, proof, band, &text);
    return text.failed ? NULL : text.data;
}

static void put_most(pw_text *text, const pw_units *units, double time_s, double nothing_s, const char *what)
{
    if (time_s <= nothing_s)
        return;
    pw_text_put(text, "; up to ");
    pw_quantity_put(text, units, PW_DIM_TIME, time_s);
    pw_text_put(text, what);
}

/* Is this job one of that kind at its usual place and time, and was it never seen? */
static bool unseen_of(const pw_proof *proof, pw_fault_kind kind, int32_t i)
{
    const pw_job *job = &proof->jobs->jobs[i];
    return job->kind == PW_JOB_FAULT && !job->extra && job->fault.kind == kind &&
           pw_outcome_finding(proof->plant, job, &proof->outcomes[i]) == PW_FINDING_UNSEEN;
}

/* All severities of one kind of fault that were not seen, in one line; NULL when there are none (or no memory:
 * *failed). */
static const char *kind_words(pw_arena *arena, const pw_proof *proof, pw_fault_kind kind, const pw_units *units,
                              bool *failed)
{
    pw_text text;
    pw_text_init(&text, arena);
    int32_t found = 0;
    double most_m3d = 0.0, most_dry_s = 0.0, most_dead_s = 0.0, most_missing_m3 = 0.0, most_water_c = 0.0;
    bool burnt = false, burnt_before = false;
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        const pw_job *job = &proof->jobs->jobs[i];
        const pw_outcome *outcome = &proof->outcomes[i];
        bool in_band =
            pw_fault_row_of(kind)->hole && proof->band_count > 0 && job->fault.severity <= proof->jobs->pump_m3s;
        if (in_band || !unseen_of(proof, kind, i))
            continue;
        if (found == 0)
            pw_text_put(&text, pw_fault_title(kind));
        if (pw_fault_dimension(kind) != PW_DIM_NONE) {
            pw_text_put(&text, found == 0 ? " at " : ", ");
            pw_quantity_put(&text, units, pw_fault_dimension(kind), job->fault.severity);
        }
        most_m3d = pw_max(most_m3d, outcome->lost_per_day_m3);
        most_dry_s = pw_max(most_dry_s, outcome->dry_s);
        most_dead_s = pw_max(most_dead_s, outcome->deadhead_s);
        most_water_c = pw_max(most_water_c, outcome->water_max_c);
        burnt = burnt || outcome->burnt_s > 0.0;
        burnt_before = burnt_before || outcome->burnt_s < 0.0;
        if (prove_misses_water(outcome))
            most_missing_m3 = pw_max(most_missing_m3, outcome->missing_m3);
        found++;
    }
    if (found == 0)
        return NULL;
    if (pw_fault_dimension(kind) != PW_DIM_NONE)
        pw_text_puts(&text, " (", pw_fault_severity_words(kind), ")", NULL);
    pw_text_put(&text, ": no watch fires");
    if (most_m3d > NOTHING_M3) {
        pw_text_put(&text, "; up to ");
        pw_quantity_put(&text, units, PW_DIM_VOLUME, most_m3d);
        pw_text_put(&text, " lost a day");
    }
    put_most(&text, units, most_dry_s, NOTHING_DRY_S, " of dry running in the time tried");
    put_most(&text, units, most_dead_s, DEADHEAD_S, " of running with next to no flow");
    if (most_water_c > PW_SCALD_C) {
        pw_text_put(&text, "; up to ");
        pw_quantity_put(&text, units, PW_DIM_TEMPERATURE, most_water_c);
        pw_text_put(&text, " in the water of a pump");
    }
    pw_text_put(&text, burnt ? "; the motor burns out" : "");
    pw_text_put(&text, burnt_before ? "; the motor had burnt out before, without it" : "");
    if (most_missing_m3 > 0.0) {
        pw_text_put(&text, "; users miss up to ");
        pw_quantity_put(&text, units, PW_DIM_VOLUME, most_missing_m3);
    }
    pw_text_put(&text, ".");
    *failed = *failed || text.failed;
    return text.failed ? NULL : text.data;
}

/* The unseen trial of a kind that keeps most water from its users; of equal ones that which loses most; -1 none. */
static int32_t worst_of(const pw_proof *proof, pw_fault_kind kind)
{
    int32_t worst = -1;
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        if (!unseen_of(proof, kind, i))
            continue;
        const pw_outcome *outcome = &proof->outcomes[i];
        const pw_outcome *so_far = worst >= 0 ? &proof->outcomes[worst] : NULL;
        if (so_far == NULL || outcome->missing_m3 > so_far->missing_m3 ||
            (outcome->missing_m3 >= so_far->missing_m3 && outcome->lost_m3 > so_far->lost_m3))
            worst = i;
    }
    return worst;
}

int32_t pw_proof_unseen(pw_arena *arena, const pw_proof *proof, const pw_units *units, pw_unseen *out, int32_t capacity)
{
    const pw_usual usual = pw_proof_usual(proof);
    int32_t count = 0;
    for (int32_t i = 0; i < proof->band_count && count < capacity; i++) {
        out[count].what = band_words(arena, proof, &proof->bands[i], units);
        out[count].next = band_next(arena, proof, &proof->bands[i], units);
        if (out[count].what == NULL || out[count].next == NULL)
            return -1;
        count++;
    }
    bool failed = false;
    for (int32_t kind = PW_FAULT_NONE + 1; kind < PW_FAULT_COUNT && count < capacity; kind++) {
        if (kind == PW_SWEPT_FAULT && proof->band_count > 0)
            continue; /* the bands say it better */
        const char *words = kind_words(arena, proof, (pw_fault_kind)kind, units, &failed);
        if (failed)
            return -1;
        if (words == NULL)
            continue;
        const int32_t worst = worst_of(proof, (pw_fault_kind)kind);
        out[count].what = words;
        out[count].next =
            prove_next_for(arena, proof->plant, &usual, &proof->jobs->jobs[worst], &proof->outcomes[worst]);
        if (out[count].next == NULL)
            return -1;
        count++;
    }
    return prove_extra_unseen(arena, proof, units, out, count, capacity);
}
