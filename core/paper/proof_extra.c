/* Proof paper: what was tried at other places and times, and two at once. */
#include "paper/proof_parts.h"
#include "paper/say.h"

enum { COLUMNS = 4 };

static bool is_pair(const pw_job *job)
{
    return job->second.kind != PW_FAULT_NONE;
}

static int32_t count_of(const pw_proof *proof, bool pairs)
{
    int32_t count = 0;
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        const pw_job *job = &proof->jobs->jobs[i];
        count += job->kind == PW_JOB_FAULT && job->extra && is_pair(job) == pairs ? 1 : 0;
    }
    return count;
}

static void put_row(proof_pen *p, pw_grid *grid, int32_t row, int32_t i)
{
    const pw_proof *proof = p->proof;
    const pw_job *job = &proof->jobs->jobs[i];
    const pw_outcome *outcome = &proof->outcomes[i];
    const pw_finding finding = pw_outcome_finding(proof->plant, job, outcome);
    const bool caught = outcome->caught_by >= 0;
    pw_text title;
    pw_text_init(&title, p->arena);
    pw_job_words(proof->plant, job, p->units, &title);
    const char *words[COLUMNS];
    words[0] = say_done(&title);
    words[1] = pw_finding_words(finding);
    words[2] = caught ? say_count(p->arena, (double)(outcome->caught_by + 1)) : "none";
    words[3] = caught ? say_quantity(p->arena, p->units, PW_DIM_TIME, outcome->seconds) : "never";
    for (int32_t c = 0; c < COLUMNS; c++) {
        p->document->failed = p->document->failed || words[c] == NULL;
        pw_grid_set(grid, row, c, words[c], c == 1 ? proof_tone_of(finding) : PW_TONE_PLAIN);
    }
}

static void put_table(proof_pen *p, bool pairs, const char *heading, const char *caption)
{
    static const pw_column columns[COLUMNS] = {
        {"Fault", "", false}, {"Found", "", false}, {"By sentence", "", true}, {"After", "", true}};
    const pw_proof *proof = p->proof;
    const int32_t count = count_of(proof, pairs);
    if (count == 0) {
        return;
    }
    pw_document_heading(p->document, 3, heading);
    pw_grid *grid = pw_document_grid(p->document, caption, columns, COLUMNS, count);
    int32_t row = 0;
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        const pw_job *job = &proof->jobs->jobs[i];
        if (job->kind == PW_JOB_FAULT && job->extra && is_pair(job) == pairs) {
            put_row(p, grid, row, i);
            row++;
        }
    }
}

/* Why each pair that was tried belongs together. */
static void put_reasons(proof_pen *p)
{
    const char *lines[64];
    int32_t count = 0;
    for (int32_t i = 0; i < pw_fault_pair_count() && count < 64; i++) {
        const pw_fault_pair *pair = pw_fault_pair_at(i);
        const pw_site *site = p->proof->plant->site;
        if (pw_fault_possible(site, pair->first) && pw_fault_possible(site, pair->second)) {
            lines[count] = say(p->arena, pw_fault_title(pair->first), " and ", pw_fault_title(pair->second), ": ",
                               pair->reason, NULL);
            count++;
        }
    }
    pw_document_lines(p->document, PW_BLOCK_LIST, lines, count);
}

void proof_put_extra(proof_pen *p)
{
    put_table(p, false, "At other places and times", "The same faults elsewhere, or begun at another time");
    if (count_of(p->proof, true) > 0) {
        put_table(p, true, "Two at once", "Faults that come together in practice, begun at the same moment");
        put_reasons(p);
    }
}
