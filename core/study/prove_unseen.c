/* What the settings of a proof cannot see: blind bands of leaks, and each sort of fault that no watch caught. */
#include "base/num.h"
#include "study/prove_inside.h"
#include "study/prove_words.h"

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
    if (most->m3d > PROVE_NOTHING_M3) {
        pw_tell(&list, "prove.most-lost-a-day", pw_quantity(PW_DIM_VOLUME, most->m3d));
    }
    if (most->dry_s > PROVE_NOTHING_DRY_S) {
        pw_tell(&list, "prove.most-dry", pw_quantity(PW_DIM_TIME, most->dry_s));
    }
    if (most->dead_s > PROVE_DEADHEAD_S) {
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
