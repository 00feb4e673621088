/* The proof as members of an answer, and its papers. */
#include <string.h>

#include "door/inside.h"
#include "study/brief.h"
#include "study/guarantee.h"
#include "study/proposal.h"
#include "paper/paper.h"

static void put_options(door *d, const pw_proof_options *options)
{
    pw_json_open(d->answer, "options", '{');
    pw_json_int(d->answer, "years", options->healthy_years);
    door_put_number(d, "horizon_s", options->horizon_s);
    pw_json_int(d->answer, "sweep", options->sweep_count);
    pw_json_int(d->answer, "seed", (int64_t)options->seed);
    pw_json_int(d->answer, "onset_ms", options->onset_ms);
    door_put_number(d, "confidence", options->confidence);
    pw_json_int(d->answer, "places", options->places);
    pw_json_int(d->answer, "onsets", options->onsets);
    pw_json_bool(d->answer, "pairs", options->pairs);
    pw_json_bool(d->answer, "margins", options->margins);
    pw_json_close(d->answer, '}');
}

static void put_counts(door *d, const pw_proof *proof)
{
    pw_count_of_faults counts = pw_proof_counts(proof);
    pw_json_open(d->answer, "counts", '{');
    pw_json_int(d->answer, "tried", counts.tried);
    pw_json_int(d->answer, "caught", counts.caught);
    pw_json_int(d->answer, "stopped", counts.stopped);
    pw_json_int(d->answer, "told", counts.told);
    pw_json_int(d->answer, "too_late", counts.too_late);
    pw_json_int(d->answer, "refused", counts.refused);
    pw_json_int(d->answer, "warned", counts.warned);
    pw_json_int(d->answer, "unseen", counts.unseen);
    pw_json_int(d->answer, "unprotected", counts.unprotected);
    pw_json_int(d->answer, "outlasted", counts.outlasted);
    pw_json_int(d->answer, "harmless", counts.harmless);
    pw_json_close(d->answer, '}');
}

static void put_healthy(door *d, const pw_healthy *healthy)
{
    pw_json_open(d->answer, "healthy", '{');
    pw_json_bool(d->answer, "known", healthy->known);
    pw_json_bool(d->answer, "fails", healthy->fails != 0);
    pw_json_open(d->answer, "why", '[');
    for (int32_t i = 0; i < PW_AILMENTS; i++) {
        if (healthy->fails >> i & 1u) {
            pw_json_string(d->answer, NULL, pw_ailment_id((pw_ailment)i));
        }
    }
    pw_json_close(d->answer, ']');
    door_put_number(d, "years", healthy->years);
    pw_json_int(d->answer, "false_stops", healthy->false_stops);
    door_put_number(d, "wanted_m3", healthy->wanted_m3);
    door_put_number(d, "missing_m3", healthy->missing_m3);
    door_put_number(d, "dry_s", healthy->dry_s);
    door_put_number(d, "deadhead_day_s", healthy->deadhead_day_s);
    door_put_number(d, "cavitates_part", healthy->cavitates_part);
    door_put_number(d, "winding_max_c", healthy->known ? healthy->winding_max_c : PW_INF);
    door_put_number(d, "water_max_c", healthy->known ? healthy->water_max_c : PW_INF);
    door_put_number(d, "pressure_top_pa", healthy->known ? healthy->pressure_top_pa : PW_INF);
    door_put_number(d, "most_starts_in_hour", healthy->most_starts_in_hour);
    pw_json_close(d->answer, '}');
}

/* How it ended, in the four ways that a reader of the table has to tell apart. */
static const char *mark_word(pw_finding finding)
{
    switch (finding) {
    case PW_FINDING_STOPPED:
    case PW_FINDING_REFUSED: return "caught";
    case PW_FINDING_TOLD:
    case PW_FINDING_TOO_LATE:
    case PW_FINDING_WARNED: return "late";
    case PW_FINDING_UNPROTECTED:
    case PW_FINDING_UNSEEN: return "unseen";
    case PW_FINDING_OUTLASTED:
    case PW_FINDING_HARMLESS: return "harmless";
    }
    return "";
}

static void put_fault(door *d, const pw_proof *proof, int32_t number)
{
    const pw_plant *plant = proof->plant;
    const pw_job *job = &proof->jobs->jobs[number];
    const pw_outcome *outcome = &proof->outcomes[number];
    const pw_fact title = pw_job_fact(d->arena, plant, job);
    const pw_fact words = pw_outcome_fact(d->arena, plant, job, outcome);
    bool severity = pw_fault_dimension(job->fault.kind) != PW_DIM_NONE;
    pw_json_open(d->answer, NULL, '{');
    pw_json_int(d->answer, "job", number);
    pw_json_string(d->answer, "what", pw_fault_id(job->fault.kind));
    bool two = job->second.kind != PW_FAULT_NONE;
    pw_json_string(d->answer, "second", two ? pw_fault_id(job->second.kind) : NULL);
    const pw_fact at = pw_fault_where_fact(plant->site, job->fault.kind, job->fault.where);
    door_put_fact(d, "at", &at);
    pw_json_int(d->answer, "onset_ms", job->fault.onset_ms);
    door_put_number(d, "severity", severity ? job->fault.severity : PW_INF);
    door_put_fact(d, "title", &title);
    pw_json_string(d->answer, "finding", pw_finding_id(pw_outcome_finding(plant, job, outcome)));
    pw_json_string(d->answer, "mark", mark_word(pw_outcome_finding(plant, job, outcome)));
    pw_json_bool(d->answer, "typed", outcome->caught_by < 0 && pw_outcome_typed(outcome));
    door_put_quantity(d, "severity_words", severity ? pw_fault_dimension(job->fault.kind) : PW_DIM_NONE,
                      severity ? job->fault.severity : PW_INF);
    door_put_count(d, "caught_by", outcome->caught_by);
    pw_json_bool(d->answer, "stopped", outcome->stopped);
    bool seen = outcome->caught_by >= 0 || pw_outcome_typed(outcome);
    door_put_number(d, "seconds", seen ? outcome->seconds : PW_INF);
    door_put_quantity(d, "after", PW_DIM_TIME, seen ? outcome->seconds : PW_INF);
    door_put_number(d, "lost_m3", outcome->lost_m3);
    door_put_quantity(d, "lost", PW_DIM_VOLUME, outcome->lost_m3);
    door_put_number(d, "lost_per_day_m3", outcome->lost_per_day_m3);
    door_put_number(d, "wanted_m3", outcome->wanted_m3);
    door_put_number(d, "missing_m3", outcome->missing_m3);
    door_put_quantity(d, "missing", PW_DIM_VOLUME, outcome->missing_m3);
    door_put_number(d, "short_s", outcome->short_s);
    door_put_number(d, "starts", outcome->starts);
    door_put_number(d, "run_s", outcome->run_s);
    door_put_number(d, "dry_s", outcome->dry_s);
    door_put_number(d, "winding_max_c", pw_outcome_typed(outcome) ? PW_INF : outcome->winding_max_c);
    door_put_number(d, "water_max_c", pw_outcome_typed(outcome) ? PW_INF : outcome->water_max_c);
    door_put_number(d, "burnt_s", outcome->burnt_s != 0.0 ? outcome->burnt_s : PW_INF);
    door_put_fact(d, "words", &words);
    const pw_usual usual = pw_proof_usual(proof);
    pw_facts next;
    pw_facts_init(&next, d->arena);
    pw_outcome_next(d->arena, plant, &usual, job, outcome, false, &next);
    door_put_facts(d, "next", &next);
    pw_json_close(d->answer, '}');
}

static void put_sweep(door *d, const pw_proof *proof, int32_t number)
{
    const pw_outcome *outcome = &proof->outcomes[number];
    double leak_m3s = proof->jobs->jobs[number].fault.severity;
    pw_json_open(d->answer, NULL, '{');
    pw_json_int(d->answer, "job", number);
    door_put_number(d, "leak_m3s", leak_m3s);
    door_put_quantity(d, "leak", PW_DIM_FLOW, leak_m3s);
    door_put_count(d, "caught_by", outcome->caught_by);
    door_put_number(d, "seconds", outcome->caught_by >= 0 ? outcome->seconds : PW_INF);
    door_put_number(d, "lost_m3", outcome->lost_m3);
    door_put_number(d, "lost_per_day_m3", outcome->lost_per_day_m3);
    door_put_number(d, "starts_per_hour", outcome->starts_per_hour);
    door_put_number(d, "longest_run_s", outcome->longest_run_s);
    pw_json_close(d->answer, '}');
}

static void put_jobs(door *d, const pw_proof *proof)
{
    pw_json_open(d->answer, "faults", '[');
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        if (proof->jobs->jobs[i].kind == PW_JOB_FAULT) {
            put_fault(d, proof, i);
        }
    }
    pw_json_close(d->answer, ']');
    pw_json_open(d->answer, "sweep", '[');
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        if (proof->jobs->jobs[i].kind == PW_JOB_SWEEP) {
            put_sweep(d, proof, i);
        }
    }
    pw_json_close(d->answer, ']');
}

static void put_false_stops(door *d, const pw_proof *proof)
{
    pw_json_open(d->answer, "false_stops", '{');
    pw_json_int(d->answer, "years", proof->years);
    door_put_number(d, "simulated_years", proof->healthy_years);
    pw_json_int(d->answer, "count", proof->false_stops);
    door_put_number(d, "per_year", proof->years > 0 ? proof->false_per_year : PW_INF);
    door_put_number(d, "upper_per_year", proof->years > 0 ? proof->false_upper_per_year : PW_INF);
    door_put_number(d, "confidence", proof->options.confidence);
    static const char *const bases[] = {"years", "homes", "trace", "repeats"};
    pw_json_string(d->answer, "basis", bases[proof->basis.kind]);
    if (proof->basis.kind == PW_BASIS_TRACE) {
        door_put_number(d, "days_seen", proof->basis.days);
    }
    pw_json_int(d->answer, "years_with_stops", proof->homes_stopped);
    pw_json_int(d->answer, "most_in_a_year", proof->most_in_home);
    pw_json_open(d->answer, "by", '[');
    for (int32_t sentence = 0; sentence < pw_settings_count(proof->plant->settings); sentence++) {
        int32_t count = 0;
        for (int32_t i = 0; i < proof->jobs->count; i++) {
            count += proof->jobs->jobs[i].kind == PW_JOB_HEALTHY ? proof->outcomes[i].false_by[sentence] : 0;
        }
        pw_json_int(d->answer, NULL, count);
    }
    pw_json_close(d->answer, ']');
    pw_json_close(d->answer, '}');
}

static void put_bands(door *d, const pw_proof *proof)
{
    pw_json_open(d->answer, "bands", '[');
    for (int32_t i = 0; i < proof->band_count; i++) {
        const pw_band *band = &proof->bands[i];
        pw_json_open(d->answer, NULL, '{');
        door_put_number(d, "from_m3s", band->from_m3s);
        door_put_quantity(d, "from", PW_DIM_FLOW, band->from_m3s);
        door_put_number(d, "to_m3s", band->to_m3s);
        door_put_quantity(d, "to", PW_DIM_FLOW, band->to_m3s);
        door_put_number(d, "first_m3s", band->first_m3s);
        door_put_number(d, "last_m3s", band->last_m3s);
        door_put_number(d, "below_m3s", band->below_m3s > 0.0 ? band->below_m3s : PW_INF);
        door_put_number(d, "above_m3s", band->above_m3s > 0.0 ? band->above_m3s : PW_INF);
        door_put_number(d, "lost_from_m3d", band->lost_from_m3d);
        door_put_number(d, "lost_to_m3d", band->lost_to_m3d);
        door_put_number(d, "lost_most_m3d", band->lost_most_m3d);
        pw_json_int(d->answer, "tried", band->tried);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
}

/* Who sees which sizes of leak, over the whole range tried. */
static void put_stretches(door *d, const pw_proof *proof)
{
    pw_leak_stretch stretches[PW_MAX_TRIED_LEAKS];
    const int32_t count = pw_proof_stretches(proof, stretches, PW_MAX_TRIED_LEAKS);
    pw_json_open(d->answer, "stretches", '[');
    for (int32_t i = 0; i < count; i++) {
        pw_json_open(d->answer, NULL, '{');
        door_put_number(d, "from_m3s", stretches[i].from_m3s);
        door_put_quantity(d, "from", PW_DIM_FLOW, stretches[i].from_m3s);
        door_put_number(d, "to_m3s", stretches[i].to_m3s);
        door_put_quantity(d, "to", PW_DIM_FLOW, stretches[i].to_m3s);
        door_put_count(d, "caught_by", stretches[i].caught_by);
        pw_json_int(d->answer, "tried", stretches[i].tried);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
}

static void put_limits(door *d, const pw_limits_check *check)
{
    pw_json_open(d->answer, "limits", '{');
    pw_json_bool(d->answer, "known", check->known);
    pw_json_bool(d->answer, "has_starts", check->has_starts);
    pw_json_bool(d->answer, "has_run", check->has_run);
    door_put_count(d, "starts_sentence", check->has_starts ? check->starts_sentence : -1);
    door_put_count(d, "run_sentence", check->has_run ? check->run_sentence : -1);
    pw_json_int(d->answer, "starts_count", check->starts_count);
    door_put_number(d, "starts_window_s", check->starts_window_s);
    door_put_number(d, "starts_needed_per_hour", check->starts_needed_per_hour);
    door_put_number(d, "starts_per_hour", check->starts_per_hour);
    door_put_number(d, "run_s", check->run_s);
    door_put_number(d, "pump_m3s", check->pump_m3s);
    door_put_number(d, "drawdown_m3", check->drawdown_m3);
    door_put_number(d, "starts_from_m3s", check->starts_from_m3s);
    door_put_number(d, "starts_to_m3s", check->starts_to_m3s);
    door_put_number(d, "run_from_m3s", check->run_from_m3s);
    pw_json_bool(d->answer, "gap", check->gap);
    door_put_number(d, "most_starts_per_hour", check->most_starts_per_hour);
    pw_json_close(d->answer, '}');
}

static pw_status put_unseen(door *d, const pw_proof *proof)
{
    pw_unseen *unseen = PW_NEW(d->arena, PW_MAX_UNSEEN, pw_unseen);
    if (unseen == NULL) {
        return PW_MEMORY;
    }
    const int32_t count = pw_proof_unseen(d->arena, proof, unseen, PW_MAX_UNSEEN);
    pw_json_open(d->answer, "unseen", '[');
    for (int32_t i = 0; i < count; i++) {
        pw_json_open(d->answer, NULL, '{');
        door_put_fact(d, "what", &unseen[i].what);
        door_put_facts(d, "next", &unseen[i].next);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
    return PW_OK;
}

/* The list as it would be typed: all of it, with what each sentence takes the place of. */
static void put_proposal(door *d, const pw_proof *proof)
{
    const pw_proposal *list = proof->proposal;
    if (list == NULL || !list->changes) {
        return;
    }
    const pw_settings *settings = list->proof->plant->settings;
    pw_json_open(d->answer, "proposal", '{');
    pw_json_open(d->answer, "settings", '[');
    for (int32_t i = 0; i < list->count; i++) {
        pw_text text;
        pw_text_init(&text, d->arena);
        pw_settings_put(settings, i, &text);
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "words", text.failed ? "" : text.data);
        door_put_count(d, "was", list->was[i]);
        pw_json_bool(d->answer, "differs", list->differs[i]);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
    pw_json_bool(d->answer, "better", list->better);
    pw_json_int(d->answer, "gained", list->gained);
    pw_json_int(d->answer, "given_up", list->given_up);
    put_counts(d, list->proof);
    put_false_stops(d, list->proof);
    pw_json_close(d->answer, '}');
}

/* What the settings allow at worst: a text for each pump, another for what was not decided. */
static void put_guarantees(door *d, const pw_guarantees *list)
{
    bool holds = list != NULL;
    pw_json_open(d->answer, "worst", '[');
    for (int32_t i = 0; list != NULL && i < list->count; i++) {
        const pw_fact *told[2] = {&list->items[i].words, &list->items[i].open};
        for (int32_t k = 0; k < 2; k++) {
            if (told[k]->id != NULL) {
                door_put_fact(d, NULL, told[k]);
            }
        }
        holds = holds && list->items[i].holds;
    }
    pw_json_close(d->answer, ']');
    pw_json_bool(d->answer, "worst_holds", holds);
}

/* The verdict as words for people: what papers and the first screen say, too. */
static pw_status put_verdict(door *d, const pw_proof *proof)
{
    pw_brief brief;
    if (!pw_brief_of(d->arena, proof, &brief)) {
        return PW_MEMORY;
    }
    pw_json_open(d->answer, "verdict", '{');
    door_put_fact(d, "healthy", &brief.healthy);
    door_put_fact_list(d, "why", &brief.why);
    door_put_fact_list(d, "edges", &brief.edges);
    door_put_fact(d, "counts", &brief.counts);
    put_guarantees(d, proof->guarantees);
    door_put_fact_list(d, "holes", &brief.holes);
    pw_json_int(d->answer, "hole_count", brief.hole_count);
    if (brief.proposal.id != NULL) {
        door_put_fact(d, "proposal", &brief.proposal);
    }
    door_put_fact_list(d, "type", &brief.type);
    if (brief.unproposed.id != NULL) {
        door_put_fact(d, "unproposed", &brief.unproposed);
    }
    pw_json_close(d->answer, '}');
    return PW_OK;
}

pw_status door_put_proof(door *d, const pw_proof *proof, const door_papers *wanted)
{
    const pw_site *site = proof->plant->site;
    pw_json_string(d->answer, "name", site->name);
    pw_json_bool(d->answer, "invented", site->invented);
    put_options(d, &proof->options);
    pw_json_int(d->answer, "jobs", proof->jobs->count);
    door_put_number(d, "pump_m3s", proof->jobs->pump_m3s);
    door_put_number(d, "reference_pa", proof->jobs->reference_pa);
    door_put_settings(d, "settings", proof->plant->settings);
    const pw_status told = put_verdict(d, proof);
    if (told != PW_OK) {
        return told;
    }
    put_proposal(d, proof);
    put_healthy(d, &proof->healthy);
    put_counts(d, proof);
    put_jobs(d, proof);
    put_false_stops(d, proof);
    put_bands(d, proof);
    put_stretches(d, proof);
    put_limits(d, &proof->check);
    pw_status status = put_unseen(d, proof);
    if (status != PW_OK || !(wanted->text || wanted->html)) {
        return status;
    }
    pw_document *document;
    if (wanted->text && door_truth(d, d->request, "", "brief", false)) {
        const door_papers text = {.text = true, .colour = wanted->colour, .width = wanted->width};
        door_papers rest = *wanted;
        rest.text = false;
        status = pw_paper_brief(d->arena, proof, &d->voice, &document);
        status = status == PW_OK ? door_put_papers(d, &text, document) : status;
        if (status != PW_OK || !wanted->html) {
            return status;
        }
        status = pw_paper_proof(d->arena, proof, &d->voice, &document);
        return status == PW_OK ? door_put_papers(d, &rest, document) : status;
    }
    status = pw_paper_proof(d->arena, proof, &d->voice, &document);
    return status == PW_OK ? door_put_papers(d, wanted, document) : status;
}
