/* Proof paper: mishap by severity, and the false stops. */
#include "base/num.h"
#include "paper/proof_parts.h"
#include "paper/say.h"

enum { MOST_SEVERITIES = 16, DETAILS = 8 };

pw_tone proof_tone_of(pw_finding finding)
{
    switch (finding) {
    case PW_FINDING_STOPPED: return PW_TONE_GOOD;
    case PW_FINDING_TOLD:
    case PW_FINDING_TOO_LATE: return PW_TONE_CAUTION;
    case PW_FINDING_UNSEEN: return PW_TONE_BAD;
    case PW_FINDING_HARMLESS: break;
    }
    return PW_TONE_MUTED;
}

/* Jobs of one kind of mishap, in order of the plan (mild to severe). */
static int32_t jobs_of(const pw_proof *proof, int32_t kind, int32_t *out)
{
    int32_t count = 0;
    for (int32_t i = 0; i < proof->jobs->count && count < MOST_SEVERITIES; i++) {
        const pw_job *job = &proof->jobs->jobs[i];
        if (job->kind != PW_JOB_MISHAP || job->extra || (int32_t)job->mishap.kind != kind)
            continue;
        out[count] = i;
        count++;
    }
    return count;
}

static const char *severity_words(proof_pen *p, const pw_job *job)
{
    pw_dimension dimension = pw_mishap_dimension(job->mishap.kind);
    if (dimension == PW_DIM_NONE)
        return "as it is";
    return say_quantity(p->arena, p->units, dimension, job->mishap.severity);
}

/* Two lines: "by 6", "1.2 L/min" */
static const char *glance_words(proof_pen *p, int32_t i, pw_finding finding)
{
    const pw_outcome *outcome = &p->proof->outcomes[i];
    pw_text text;
    pw_text_init(&text, p->arena);
    if (finding == PW_FINDING_UNSEEN)
        pw_text_put(&text, "never");
    if (finding == PW_FINDING_HARMLESS)
        pw_text_put(&text, "no harm");
    if (pw_outcome_typed(outcome))
        pw_text_put(&text, "as typed");
    if (outcome->caught_by >= 0) {
        pw_text_put(&text, "by ");
        pw_text_int(&text, outcome->caught_by + 1);
        if (finding == PW_FINDING_TOO_LATE)
            pw_text_put(&text, ", late");
        if (finding == PW_FINDING_TOLD)
            pw_text_put(&text, ", goes on");
    }
    pw_text_put(&text, "\n");
    pw_text_put(&text, severity_words(p, &p->proof->jobs->jobs[i]));
    return say_done(&text);
}

static void put_glance(proof_pen *p)
{
    const pw_proof *proof = p->proof;
    int32_t jobs[MOST_SEVERITIES], rows = 0, most = 0;
    for (int32_t kind = PW_MISHAP_NONE + 1; kind < PW_MISHAP_COUNT; kind++) {
        int32_t count = jobs_of(proof, kind, jobs);
        rows += count > 0;
        most = count > most ? count : most;
    }
    if (rows == 0)
        return;
    pw_column columns[MOST_SEVERITIES + 1] = {{"Mishap", "", false}};
    for (int32_t c = 1; c <= most; c++) {
        columns[c].title = c == 1 ? "mild" : (c == most ? "severe" : "...");
        columns[c].unit = "";
    }
    pw_grid *grid =
        pw_document_grid(p->document, "At a glance: who sees which mishap at which severity (number of the sentence)",
                         columns, most + 1, rows);
    int32_t row = 0;
    for (int32_t kind = PW_MISHAP_NONE + 1; kind < PW_MISHAP_COUNT; kind++) {
        int32_t count = jobs_of(proof, kind, jobs);
        if (count == 0)
            continue;
        pw_grid_set(grid, row, 0, pw_mishap_title((pw_mishap_kind)kind), PW_TONE_PLAIN);
        for (int32_t c = 0; c < count; c++) {
            pw_finding finding =
                pw_outcome_finding(proof->plant, &proof->jobs->jobs[jobs[c]], &proof->outcomes[jobs[c]]);
            const char *words = glance_words(p, jobs[c], finding);
            if (words == NULL)
                p->document->failed = true;
            pw_grid_set(grid, row, c + 1, words, proof_tone_of(finding));
        }
        row++;
    }
}

/* What it cost until it was seen; of one that never was, what it costs a day. */
static const char *lost_words(proof_pen *p, const pw_outcome *outcome)
{
    if (outcome->lost_m3 < 1e-4)
        return "none";
    if (outcome->caught_by >= 0)
        return say_quantity(p->arena, p->units, PW_DIM_VOLUME, outcome->lost_m3);
    const char *volume = say_quantity(p->arena, p->units, PW_DIM_VOLUME, outcome->lost_per_day_m3);
    return volume != NULL ? say(p->arena, volume, " a day", NULL) : NULL;
}

static void put_detail_row(proof_pen *p, pw_grid *grid, int32_t row, int32_t i)
{
    const pw_proof *proof = p->proof;
    const pw_job *job = &proof->jobs->jobs[i];
    const pw_outcome *outcome = &proof->outcomes[i];
    pw_finding finding = pw_outcome_finding(proof->plant, job, outcome);
    bool caught = outcome->caught_by >= 0;
    const char *words[DETAILS];
    words[0] = severity_words(p, job);
    words[1] = outcome->ending == PW_END_HUNTING && !caught ? "never seen, pump hunts" : pw_finding_words(finding);
    bool typed = pw_outcome_typed(outcome);
    words[2] = caught ? say_count(p->arena, (double)(outcome->caught_by + 1)) : "none";
    words[3] = typed    ? "at once, as typed"
               : caught ? say_quantity(p->arena, p->units, PW_DIM_TIME, outcome->seconds)
                        : "never";
    words[4] = lost_words(p, outcome);
    words[5] = say_count(p->arena, outcome->starts);
    words[6] = say_quantity(p->arena, p->units, PW_DIM_TIME, outcome->dry_s);
    words[7] = say_quantity(p->arena, p->units, PW_DIM_TEMPERATURE, outcome->winding_max_c);
    for (int32_t c = 0; c < DETAILS; c++) {
        if (words[c] == NULL)
            p->document->failed = true;
        pw_grid_set(grid, row, c, words[c], c == 1 ? proof_tone_of(finding) : PW_TONE_PLAIN);
    }
}

static void put_detail(proof_pen *p, int32_t kind)
{
    static const pw_column columns[DETAILS] = {
        {"Severity", "", true},   {"Found", "", false}, {"By sentence", "", true}, {"After", "", true},
        {"Water lost", "", true}, {"Starts", "", true}, {"Ran dry", "", true},     {"Hottest winding", "", true}};
    int32_t jobs[MOST_SEVERITIES];
    int32_t count = jobs_of(p->proof, kind, jobs);
    if (count == 0)
        return;
    const pw_job *first = &p->proof->jobs->jobs[jobs[0]];
    pw_text title;
    pw_text_init(&title, p->arena);
    pw_text_put(&title, pw_mishap_title((pw_mishap_kind)kind));
    pw_text where;
    pw_text_init(&where, p->arena);
    pw_mishap_where_words(p->proof->plant->site, first->mishap.kind, first->mishap.where, &where);
    if (where.length > 0)
        pw_text_puts(&title, ", ", where.data, NULL);
    pw_document_heading(p->document, 3, say_done(&title));
    const char *meaning = pw_mishap_severity_words((pw_mishap_kind)kind);
    const char *caption = meaning[0] != '\0' ? say(p->arena, "Severity: ", meaning, NULL) : "";
    if (caption == NULL)
        p->document->failed = true;
    pw_grid *grid = pw_document_grid(p->document, caption != NULL ? caption : "", columns, DETAILS, count);
    for (int32_t row = 0; row < count; row++)
        put_detail_row(p, grid, row, jobs[row]);
}

void proof_put_mishaps(proof_pen *p)
{
    put_glance(p);
    for (int32_t kind = PW_MISHAP_NONE + 1; kind < PW_MISHAP_COUNT; kind++)
        put_detail(p, kind);
}

/* ---- false stops ---- */

static void put_false_by(proof_pen *p)
{
    const pw_proof *proof = p->proof;
    const char *lines[PW_MAX_SENTENCES];
    int32_t count = 0;
    for (int32_t s = 0; s < pw_order_count(proof->plant->order); s++) {
        int32_t stops = 0;
        for (int32_t i = 0; i < proof->jobs->count; i++) {
            if (proof->jobs->jobs[i].kind == PW_JOB_HEALTHY)
                stops += proof->outcomes[i].false_by[s];
        }
        if (stops == 0)
            continue;
        const char *sentence = say_sentence(p->arena, proof->plant->order, s);
        const char *number = say_count(p->arena, (double)stops);
        lines[count] = sentence == NULL || number == NULL
                           ? NULL
                           : say(p->arena, number, stops == 1 ? " stop by " : " stops by ", sentence, NULL);
        count++;
    }
    pw_document_lines(p->document, PW_BLOCK_LIST, lines, count);
}

void proof_put_false_stops(proof_pen *p)
{
    const pw_proof *proof = p->proof;
    pw_document_heading(p->document, 2, "False stops");
    if (proof->years == 0) {
        pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_PLAIN,
                        "No healthy year was tried, so nothing is known about false stops.");
        return;
    }
    pw_text text;
    pw_text_init(&text, p->arena);
    pw_text_put(&text, "In ");
    pw_text_int(&text, proof->years);
    pw_text_put(&text, proof->years == 1 ? " healthy year the order stopped the site "
                                         : " healthy years the order stopped the site ");
    pw_text_int(&text, proof->false_stops);
    pw_text_put(&text, proof->false_stops == 1 ? " time for nothing: " : " times for nothing: ");
    pw_text_digits(&text, proof->false_per_year, 3);
    pw_text_put(&text, " a year. With ");
    pw_text_digits(&text, 100.0 * proof->options.confidence, 4);
    pw_text_put(&text, " % confidence the true number is not above ");
    pw_text_digits(&text, proof->false_upper_per_year, 3);
    pw_text_put(&text, " a year, as long as the site is used as its sheet says.");
    pw_tone tone = proof->false_stops == 0 ? PW_TONE_GOOD : PW_TONE_CAUTION;
    pw_document_add(p->document, PW_BLOCK_NOTE, tone, say_done(&text));
    put_false_by(p);
    pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_MUTED,
                    "Each year has its own random demand; a person releases a lock out after one hour. Bound: exact, "
                    "one-sided, for "
                    "counts that follow Poisson's law (Garwood 1936).");
}
