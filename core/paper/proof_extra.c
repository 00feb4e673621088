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
    const char *words[COLUMNS];
    words[0] = say_fact(p->arena, p->voice, pw_job_fact(p->arena, proof->plant, job));
    words[1] = pw_say_word(p->voice, pw_finding_word(finding));
    words[2] = caught ? say_count(p->arena, (double)(outcome->caught_by + 1)) : pw_say_word(p->voice, "paper.none");
    words[3] =
        caught ? say_amount(p->arena, p->voice, PW_DIM_TIME, outcome->seconds) : pw_say_word(p->voice, "paper.never");
    for (int32_t c = 0; c < COLUMNS; c++) {
        p->document->failed = p->document->failed || words[c] == NULL;
        pw_grid_set(grid, row, c, words[c], c == 1 ? proof_tone_of(finding) : PW_TONE_PLAIN);
    }
}

static void put_table(proof_pen *p, bool pairs, const char *heading, const char *caption)
{
    const pw_column columns[COLUMNS] = {{pw_say_word(p->voice, "paper.fault"), "", false},
                                        {pw_say_word(p->voice, "paper.found"), "", false},
                                        {pw_say_word(p->voice, "paper.by-sentence"), "", true},
                                        {pw_say_word(p->voice, "paper.after"), "", true}};
    const pw_proof *proof = p->proof;
    const int32_t count = count_of(proof, pairs);
    if (count == 0) {
        return;
    }
    say_heading(p->document, p->voice, 3, heading);
    pw_grid *grid = proof_grid(p, caption, columns, COLUMNS, count);
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
            lines[count] = say_fact(p->arena, p->voice,
                                    pw_fact_of("paper.pair-reason", pw_word(pw_fault_title(pair->first)),
                                               pw_word(pw_fault_title(pair->second)), pw_word(pair->reason)));
            count++;
        }
    }
    pw_document_lines(p->document, PW_BLOCK_LIST, lines, count);
}

void proof_put_extra(proof_pen *p)
{
    put_table(p, false, "paper.elsewhere", "paper.elsewhere-caption");
    if (count_of(p->proof, true) > 0) {
        put_table(p, true, "paper.two-at-once", "paper.two-at-once-caption");
        put_reasons(p);
    }
}
