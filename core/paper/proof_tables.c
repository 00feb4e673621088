/* Proof paper: fault by severity, and the false stops. */
#include "base/num.h"
#include "paper/proof_parts.h"
#include "paper/say.h"

enum { MOST_SEVERITIES = 16 };

pw_tone proof_tone_of(pw_finding finding)
{
    switch (finding) {
    case PW_FINDING_STOPPED:
    case PW_FINDING_REFUSED: return PW_TONE_GOOD;
    case PW_FINDING_WARNED:
    case PW_FINDING_TOLD:
    case PW_FINDING_TOO_LATE: return PW_TONE_CAUTION;
    case PW_FINDING_UNPROTECTED:
    case PW_FINDING_UNSEEN: return PW_TONE_BAD;
    case PW_FINDING_OUTLASTED: return PW_TONE_CAUTION;
    case PW_FINDING_HARMLESS: break;
    }
    return PW_TONE_MUTED;
}

/* Jobs of one kind of fault, in order of the plan (mild to severe). */
static int32_t jobs_of(const pw_proof *proof, int32_t kind, int32_t *out)
{
    int32_t count = 0;
    for (int32_t i = 0; i < proof->jobs->count && count < MOST_SEVERITIES; i++) {
        const pw_job *job = &proof->jobs->jobs[i];
        if (job->kind != PW_JOB_FAULT || job->extra || (int32_t)job->fault.kind != kind) {
            continue;
        }
        out[count] = i;
        count++;
    }
    return count;
}

pw_grid *proof_grid(proof_pen *p, const char *caption, const pw_column *columns, int32_t column_count, int32_t rows)
{
    pw_column *kept = PW_NEW(p->arena, column_count, pw_column);
    if (kept == NULL) {
        p->document->failed = true;
        return NULL;
    }
    for (int32_t i = 0; i < column_count; i++) {
        kept[i] = columns[i];
    }
    return pw_document_grid(p->document, caption[0] != '\0' ? pw_say_word(p->voice, caption) : "", kept, column_count,
                            rows);
}

static const char *severity_words(proof_pen *p, const pw_job *job)
{
    pw_dimension dimension = pw_fault_dimension(job->fault.kind);
    if (dimension == PW_DIM_NONE) {
        return pw_say_word(p->voice, "paper.as-it-is");
    }
    return say_amount(p->arena, p->voice, dimension, job->fault.severity);
}

/* Two lines: "by 6", "1.2 L/min" */
static const char *glance_words(proof_pen *p, int32_t i, pw_finding finding)
{
    const pw_outcome *outcome = &p->proof->outcomes[i];
    pw_facts first;
    pw_facts_init(&first, p->arena);
    if (finding == PW_FINDING_UNSEEN) {
        pw_tell(&first, "paper.never");
    }
    if (finding == PW_FINDING_HARMLESS) {
        pw_tell(&first, "paper.glance-no-harm");
    }
    if (finding == PW_FINDING_UNPROTECTED) {
        pw_tell(&first, "paper.glance-unprotected");
    }
    if (finding == PW_FINDING_OUTLASTED) {
        pw_tell(&first, "paper.glance-outlasted");
    }
    if (pw_outcome_typed(outcome)) {
        pw_tell(&first, finding == PW_FINDING_REFUSED ? "paper.glance-refused" : "paper.glance-warned");
    }
    if (outcome->caught_by >= 0) {
        pw_tell(&first, "paper.glance-by", pw_count(outcome->caught_by + 1), pw_truth(finding == PW_FINDING_TOO_LATE),
                pw_truth(finding == PW_FINDING_TOLD));
    }
    pw_text text;
    pw_text_init(&text, p->arena);
    pw_say_list(&text, p->voice, &first, PW_JOIN_NOTHING);
    pw_text_puts(&text, "\n", severity_words(p, &p->proof->jobs->jobs[i]), NULL);
    return say_done(&text);
}

static void put_glance(proof_pen *p)
{
    const pw_proof *proof = p->proof;
    int32_t jobs[MOST_SEVERITIES], rows = 0, most = 0;
    for (int32_t kind = PW_FAULT_NONE + 1; kind < PW_FAULT_COUNT; kind++) {
        int32_t count = jobs_of(proof, kind, jobs);
        rows += count > 0;
        most = count > most ? count : most;
    }
    if (rows == 0) {
        return;
    }
    pw_column columns[MOST_SEVERITIES + 1] = {{pw_say_word(p->voice, "paper.fault"), "", false}};
    for (int32_t c = 1; c <= most; c++) {
        columns[c].title = c == 1      ? pw_say_word(p->voice, "paper.mild")
                           : c == most ? pw_say_word(p->voice, "paper.severe")
                                       : "...";
        columns[c].unit = "";
    }
    pw_grid *grid = proof_grid(p, "paper.at-a-glance", columns, most + 1, rows);
    int32_t row = 0;
    for (int32_t kind = PW_FAULT_NONE + 1; kind < PW_FAULT_COUNT; kind++) {
        int32_t count = jobs_of(proof, kind, jobs);
        if (count == 0) {
            continue;
        }
        pw_grid_set(grid, row, 0, pw_say_word(p->voice, pw_fault_title((pw_fault_kind)kind)), PW_TONE_PLAIN);
        for (int32_t c = 0; c < count; c++) {
            pw_finding finding =
                pw_outcome_finding(proof->plant, &proof->jobs->jobs[jobs[c]], &proof->outcomes[jobs[c]]);
            const char *words = glance_words(p, jobs[c], finding);
            if (words == NULL) {
                p->document->failed = true;
            }
            pw_grid_set(grid, row, c + 1, words, proof_tone_of(finding));
        }
        row++;
    }
}

/* ---- one kind of fault ---- */

typedef struct detail {
    const char *title;
    bool right, always; /* else only where some severity has something to say */
    const char *(*words)(proof_pen *p, const pw_job *job, const pw_outcome *outcome);
} detail;

static const char *severity_of(proof_pen *p, const pw_job *job, const pw_outcome *outcome)
{
    (void)outcome;
    return severity_words(p, job);
}

static const char *found_of(proof_pen *p, const pw_job *job, const pw_outcome *outcome)
{
    if (outcome->ending == PW_END_HUNTING && outcome->caught_by < 0) {
        return pw_say_word(p->voice, "paper.never-seen-hunts");
    }
    return pw_say_word(p->voice, pw_finding_word(pw_outcome_finding(p->proof->plant, job, outcome)));
}

static const char *sentence_of(proof_pen *p, const pw_job *job, const pw_outcome *outcome)
{
    (void)job;
    return outcome->caught_by >= 0 ? say_count(p->arena, (double)(outcome->caught_by + 1))
                                   : pw_say_word(p->voice, "paper.none");
}

static const char *after_of(proof_pen *p, const pw_job *job, const pw_outcome *outcome)
{
    (void)job;
    if (pw_outcome_typed(outcome)) {
        return pw_say_word(p->voice, "paper.at-once");
    }
    return outcome->caught_by >= 0 ? say_amount(p->arena, p->voice, PW_DIM_TIME, outcome->seconds)
                                   : pw_say_word(p->voice, "paper.never");
}

/* What it cost until it was seen; of one that never was, what it costs a day. "": nothing. */
static const char *lost_of(proof_pen *p, const pw_job *job, const pw_outcome *outcome)
{
    (void)job;
    if (outcome->lost_m3 < 1e-4) {
        return "";
    }
    if (outcome->caught_by >= 0) {
        return say_amount(p->arena, p->voice, PW_DIM_VOLUME, outcome->lost_m3);
    }
    return say_fact(p->arena, p->voice,
                    pw_fact_of("paper.a-day", pw_quantity(PW_DIM_VOLUME, outcome->lost_per_day_m3)));
}

static const char *missed_of(proof_pen *p, const pw_job *job, const pw_outcome *outcome)
{
    (void)job;
    return outcome->missing_m3 < 1e-4 ? "" : say_amount(p->arena, p->voice, PW_DIM_VOLUME, outcome->missing_m3);
}

static const char *starts_of(proof_pen *p, const pw_job *job, const pw_outcome *outcome)
{
    (void)job;
    return say_count(p->arena, outcome->starts);
}

static const char *dry_of(proof_pen *p, const pw_job *job, const pw_outcome *outcome)
{
    (void)job;
    return outcome->dry_s > 0.0 ? say_amount(p->arena, p->voice, PW_DIM_TIME, outcome->dry_s) : "";
}

/* Water in a pump is worth a column where it warms at all. */
static const char *water_of(proof_pen *p, const pw_job *job, const pw_outcome *outcome)
{
    (void)job;
    const bool warm = outcome->water_max_c > p->proof->plant->site->water_c.v + 20.0;
    return warm ? say_amount(p->arena, p->voice, PW_DIM_TEMPERATURE, outcome->water_max_c) : "";
}

/* "over 155 degC: burnt out after 3 min"; "-": it never ran under it. */
static const char *winding_of(proof_pen *p, const pw_job *job, const pw_outcome *outcome)
{
    (void)job;
    if (pw_outcome_typed(outcome)) {
        return "-";
    }
    if (outcome->burnt_s < 0.0) {
        return pw_say_word(p->voice, "paper.burnt-before");
    }
    if (!(outcome->burnt_s > 0.0)) {
        return say_amount(p->arena, p->voice, PW_DIM_TEMPERATURE, outcome->winding_max_c);
    }
    const double limit_c = pw_outcome_winding_limit_c(p->proof->plant->site);
    return say_fact(p->arena, p->voice,
                    pw_fact_of("paper.burnt-after", pw_quantity(PW_DIM_TEMPERATURE, limit_c),
                               pw_quantity(PW_DIM_TIME, outcome->burnt_s)));
}

static const detail details[] = {
    {"paper.severity", true, true, severity_of},    {"paper.found", false, true, found_of},
    {"paper.by-sentence", true, true, sentence_of}, {"paper.after", true, true, after_of},
    {"paper.water-lost", true, false, lost_of},     {"paper.users-miss", true, false, missed_of},
    {"paper.starts", true, true, starts_of},        {"paper.ran-dry", true, false, dry_of},
    {"paper.hottest-water", true, false, water_of}, {"paper.hottest-winding", true, true, winding_of}};
enum { DETAILS = sizeof details / sizeof details[0] };

/* Which columns say something about these jobs; returns how many. */
static int32_t choose_details(proof_pen *p, const int32_t *jobs, int32_t count, int32_t *chosen)
{
    const pw_proof *proof = p->proof;
    int32_t columns = 0;
    for (int32_t d = 0; d < DETAILS; d++) {
        bool says = details[d].always;
        for (int32_t i = 0; i < count && !says; i++) {
            const char *words = details[d].words(p, &proof->jobs->jobs[jobs[i]], &proof->outcomes[jobs[i]]);
            says = words == NULL || words[0] != '\0';
        }
        chosen[columns] = d;
        columns += says ? 1 : 0;
    }
    return columns;
}

static void put_detail_row(proof_pen *p, pw_grid *grid, int32_t row, int32_t i, const int32_t *chosen, int32_t columns)
{
    const pw_job *job = &p->proof->jobs->jobs[i];
    const pw_outcome *outcome = &p->proof->outcomes[i];
    const pw_tone tone = proof_tone_of(pw_outcome_finding(p->proof->plant, job, outcome));
    for (int32_t c = 0; c < columns; c++) {
        const char *words = details[chosen[c]].words(p, job, outcome);
        p->document->failed = p->document->failed || words == NULL;
        words = words != NULL && words[0] == '\0' ? pw_say_word(p->voice, "paper.none") : words;
        pw_grid_set(grid, row, c, words, details[chosen[c]].words == found_of ? tone : PW_TONE_PLAIN);
    }
}

static const char *detail_title(proof_pen *p, const pw_job *job)
{
    const pw_fact where = pw_fault_where_fact(p->proof->plant->site, job->fault.kind, job->fault.where);
    return say_fact(p->arena, p->voice,
                    pw_fact_of("prove.fault", pw_word(pw_fault_title(job->fault.kind)), pw_named(""),
                               pw_fact_inside(p->arena, where)));
}

static void put_detail(proof_pen *p, int32_t kind)
{
    int32_t jobs[MOST_SEVERITIES], chosen[DETAILS];
    pw_column columns[DETAILS];
    const int32_t count = jobs_of(p->proof, kind, jobs);
    if (count == 0) {
        return;
    }
    pw_document_heading(p->document, 3, detail_title(p, &p->proof->jobs->jobs[jobs[0]]));
    const char *meaning = pw_fault_severity_words((pw_fault_kind)kind);
    const char *caption =
        meaning[0] != '\0' ? say_fact(p->arena, p->voice, pw_fact_of("paper.severity-is", pw_word(meaning))) : "";
    p->document->failed = p->document->failed || caption == NULL;
    const int32_t wide = choose_details(p, jobs, count, chosen);
    for (int32_t c = 0; c < wide; c++) {
        columns[c] = (pw_column){pw_say_word(p->voice, details[chosen[c]].title), "", details[chosen[c]].right};
    }
    pw_grid *grid = pw_document_grid(p->document, caption != NULL ? caption : "", columns, wide, count);
    for (int32_t row = 0; row < count; row++) {
        put_detail_row(p, grid, row, jobs[row], chosen, wide);
    }
}

void proof_put_faults(proof_pen *p)
{
    put_glance(p);
    for (int32_t kind = PW_FAULT_NONE + 1; kind < PW_FAULT_COUNT; kind++) {
        put_detail(p, kind);
    }
}

/* ---- false stops ---- */

static void put_false_by(proof_pen *p)
{
    const pw_proof *proof = p->proof;
    const char *lines[PW_MAX_SENTENCES];
    int32_t count = 0;
    for (int32_t s = 0; s < pw_settings_count(proof->plant->settings); s++) {
        int32_t stops = 0;
        for (int32_t i = 0; i < proof->jobs->count; i++) {
            if (proof->jobs->jobs[i].kind == PW_JOB_HEALTHY) {
                stops += proof->outcomes[i].false_by[s];
            }
        }
        if (stops == 0) {
            continue;
        }
        lines[count] = say_fact(p->arena, p->voice,
                                pw_fact_of("paper.stops-by", pw_count(stops), pw_count(s + 1),
                                           pw_sentence_value(p->arena, proof->plant->settings, s)));
        count++;
    }
    pw_document_lines(p->document, PW_BLOCK_LIST, lines, count);
}

/* What the years have in common, and what the bound therefore stands on. */
static pw_fact basis_of(const pw_proof *proof)
{
    switch (proof->basis.kind) {
    case PW_BASIS_YEARS: break;
    case PW_BASIS_HOMES:
        return pw_fact_of("paper.false-stops-homes", pw_count(proof->years), pw_count(proof->homes_stopped),
                          pw_count(proof->most_in_home));
    case PW_BASIS_TRACE: return pw_fact_of("paper.false-stops-seen", pw_number(proof->basis.days, 3));
    case PW_BASIS_REPEATS: return pw_fact_of("paper.false-stops-repeat");
    }
    return pw_fact_of("paper.false-stops-bound");
}

void proof_put_false_stops(proof_pen *p)
{
    const pw_proof *proof = p->proof;
    say_heading(p->document, p->voice, 2, "paper.false-stops");
    if (proof->years == 0) {
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_fact_of("paper.no-healthy-year"));
        return;
    }
    const bool shorter = proof->healthy_years < 0.9999 * (double)proof->years;
    const pw_value lasted = pw_quantity(PW_DIM_TIME, PW_HEALTHY_YEAR_S * proof->healthy_years);
    const bool bound = proof->basis.kind != PW_BASIS_REPEATS;
    const pw_tone tone = proof->false_stops == 0 && bound ? PW_TONE_GOOD : PW_TONE_CAUTION;
    const pw_value count = pw_count(proof->false_stops), a_year = pw_number(proof->false_per_year, 3);
    say_block(p->document, p->voice, PW_BLOCK_NOTE, tone,
              bound ? pw_fact_of("paper.false-stops-were", pw_count(proof->years), shorter ? lasted : pw_named(""),
                                 count, a_year, pw_number(100.0 * proof->options.confidence, 4),
                                 pw_number(proof->false_upper_per_year, 3))
                    : pw_fact_of("paper.false-stops-alike", pw_count(proof->years), count, a_year));
    put_false_by(p);
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_MUTED, basis_of(proof));
}
