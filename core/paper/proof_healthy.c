/* Proof paper, first of all: the verdict in a few lines. Where the healthy site fails, that is the verdict, whatever
 * the faults do. */
#include "paper/paper.h"
#include "paper/proof_parts.h"
#include "paper/say.h"
#include "paper/worst_paper.h"
#include "study/brief.h"

/* Facts as a list; at most `most` of them, all for -1. */
static void put_list(proof_pen *p, const pw_facts *facts, int32_t most)
{
    const int32_t count = most >= 0 && facts->count > most ? most : facts->count;
    const char **lines = PW_NEW(p->arena, count + 1, const char *);
    for (int32_t i = 0; lines != NULL && i < count; i++) {
        lines[i] = say_fact(p->arena, p->voice, facts->items[i]);
        p->document->failed = p->document->failed || lines[i] == NULL;
    }
    p->document->failed = p->document->failed || lines == NULL;
    if (lines != NULL && count > 0) {
        pw_document_lines(p->document, PW_BLOCK_LIST, lines, count);
    }
}

static void put_healthy(proof_pen *p, const pw_brief *brief)
{
    const pw_healthy *h = &p->proof->healthy;
    const bool fails = h->known && h->fails != 0;
    say_block(p->document, p->voice, fails ? PW_BLOCK_LEAD : PW_BLOCK_NOTE,
              fails      ? PW_TONE_BAD
              : h->known ? PW_TONE_GOOD
                         : PW_TONE_CAUTION,
              brief->healthy);
    put_list(p, &brief->why, -1);
}

static void put_holes(proof_pen *p, const pw_brief *brief)
{
    const int32_t count = brief->hole_count;
    if (count == 0) {
        return;
    }
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN,
              pw_fact_of("paper.brief-holes", count > brief->holes.count ? pw_count(count) : pw_named("")));
    put_list(p, &brief->holes, -1);
}

static void put_proposal(proof_pen *p, const pw_brief *brief)
{
    if (brief->proposal.id == NULL) {
        return;
    }
    say_block(p->document, p->voice, PW_BLOCK_NOTE, brief->type.count > 0 ? PW_TONE_GOOD : PW_TONE_CAUTION,
              brief->proposal);
    put_list(p, &brief->type, -1);
    if (brief->unproposed.id != NULL) {
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_MUTED, brief->unproposed);
    }
}

static bool judges_edges(const pw_proof *proof)
{
    return proof->options.margins && proof->healthy.known;
}

static void put_edges(proof_pen *p, const pw_brief *brief, int32_t most)
{
    if (brief->edges.count == 0) {
        say_block(p->document, p->voice, PW_BLOCK_NOTE, PW_TONE_GOOD, pw_fact_of("paper.nothing-on-edge"));
    }
    put_list(p, &brief->edges, most);
}

static bool brief_of(proof_pen *p, pw_brief *brief)
{
    const bool good = pw_brief_of(p->arena, p->proof, brief);
    p->document->failed = p->document->failed || !good;
    return good;
}

void proof_put_verdict(proof_pen *p)
{
    pw_brief brief;
    if (!brief_of(p, &brief)) {
        return;
    }
    put_healthy(p, &brief);
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, brief.counts);
    put_holes(p, &brief);
    worst_put_short(p->document, p->voice, p->proof->guarantees);
    if (brief.proposal.id != NULL) {
        say_heading(p->document, p->voice, 2, "paper.one-proposal");
    }
    put_proposal(p, &brief);
    if (!judges_edges(p->proof)) {
        return;
    }
    say_heading(p->document, p->voice, 2, "paper.on-the-edge");
    put_edges(p, &brief, -1);
    for (int32_t i = 0; i < p->proof->jobs->count; i++) {
        const pw_job *job = &p->proof->jobs->jobs[i];
        const pw_fact edge = pw_edge_fact(p->arena, p->proof->plant, &p->proof->outcomes[i]);
        if (job->kind != PW_JOB_FAULT || edge.id == NULL) {
            continue;
        }
        const pw_fact title = pw_job_fact(p->arena, p->proof->plant, job);
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_CAUTION,
                  pw_fact_of("prove.outcome", pw_fact_inside(p->arena, title), pw_fact_inside(p->arena, edge)));
    }
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_MUTED, pw_fact_of("paper.on-the-edge-how"));
}

pw_status pw_paper_brief(pw_arena *arena, const pw_proof *proof, const pw_voice *voice, pw_document **out)
{
    enum { MOST_EDGES = 2 };
    *out = NULL;
    const pw_site *site = proof->plant->site;
    pw_document *document = say_new_paper(arena, voice, "paper.protection", site->name, site->invented);
    if (document == NULL) {
        return PW_MEMORY;
    }
    proof_pen p = {arena, document, proof, voice};
    pw_brief brief;
    if (!brief_of(&p, &brief)) {
        return PW_MEMORY;
    }
    put_healthy(&p, &brief);
    if (judges_edges(proof)) {
        put_edges(&p, &brief, MOST_EDGES);
    }
    if (brief.edges.count > MOST_EDGES) {
        say_block(document, voice, PW_BLOCK_WORDS, PW_TONE_MUTED,
                  pw_fact_of("paper.brief-edges-more", pw_count(brief.edges.count - MOST_EDGES)));
    }
    say_block(document, voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, brief.counts);
    put_holes(&p, &brief);
    worst_put_short(document, voice, proof->guarantees);
    put_proposal(&p, &brief);
    say_block(document, voice, PW_BLOCK_WORDS, PW_TONE_MUTED, pw_fact_of("paper.brief-full"));
    if (document->failed) {
        return PW_MEMORY;
    }
    *out = document;
    return PW_OK;
}
