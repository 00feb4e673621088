/* The draft of the one proposal: what single trials would have, merged. Of limits of one sort the strictest stays,
 * since each of them keeps its distance from health; a lock out stays before a warning of the same. */
#include "study/proposal.h"

#include <string.h>

#include "base/num.h"
#include "study/propose_watch.h"

enum { MOST_MERGED = 24 };

typedef struct merged {
    int32_t count;
    prove_proposal list[MOST_MERGED];
} merged;

/* Limits of one sort, one sentence changed, or one condition. */
static bool same(const prove_proposal *a, const prove_proposal *b)
{
    if (a->at > 0.0 && b->by == a->by) {
        return true;
    }
    return a->when[0] != '\0' && b->when[0] != '\0' ? strcmp(a->when, b->when) == 0 : a->instead_of == b->instead_of;
}

static void merge(merged *all, const prove_proposal *p)
{
    for (int32_t i = 0; i < all->count; i++) {
        prove_proposal *have = &all->list[i];
        if (!same(p, have)) {
            continue;
        }
        const bool limit = p->at > 0.0 && have->by == p->by, harder = p->locks && !have->locks;
        if (limit ? p->at < have->at || (p->at <= have->at && harder) : harder) {
            *have = *p;
        }
        return;
    }
    if (all->count < MOST_MERGED) {
        all->list[all->count] = *p;
        all->count++;
    }
}

/* A warning that saw harm and let it go on, as a lock out; not one that closes a relay, which then would stay open. */
static void merge_lock(const prove_trial *t, merged *all)
{
    const pw_settings *settings = t->plant->settings;
    const int32_t warning = t->outcome->caught_by;
    prove_proposal p = {.locks = true, .instead_of = warning + 1};
    pw_text text;
    pw_text_init(&text, t->arena);
    if (!prove_may_lock(t) || pw_settings_kind(settings, warning) != PW_SENTENCE_WARN ||
        pw_settings_closes(settings, warning) >= 0) {
        return;
    }
    pw_settings_put_lock(settings, warning, &text);
    if (text.failed) {
        return;
    }
    pw_copy(p.sentence, sizeof p.sentence, text.data);
    merge(all, &p);
}

static void take_trial(pw_arena *arena, const pw_proof *proof, const pw_usual *usual, int32_t i, merged *all)
{
    const pw_job *job = &proof->jobs->jobs[i];
    const pw_finding finding = pw_outcome_finding(proof->plant, job, &proof->outcomes[i]);
    prove_proposal list[PROVE_CANDIDATES];
    if (finding != PW_FINDING_UNSEEN && finding != PW_FINDING_TOO_LATE && finding != PW_FINDING_TOLD) {
        return;
    }
    const prove_trial t = prove_trial_of(arena, proof->plant, usual, job, &proof->outcomes[i]);
    if (finding == PW_FINDING_TOLD) {
        if (prove_harms(&t)) {
            merge_lock(&t, all);
        }
        return;
    }
    const int32_t count = prove_candidates(&t, list);
    for (int32_t k = 0; k < count; k++) {
        merge(all, &list[k]);
    }
}

/* How often a sentence stops the healthy site, with and without a move of its margins. */
static int32_t stops_health(const pw_proof *proof, int32_t sentence)
{
    int32_t stops = 0;
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        if (proof->jobs->jobs[i].kind == PW_JOB_HEALTHY || proof->jobs->jobs[i].kind == PW_JOB_MARGIN) {
            stops += proof->outcomes[i].false_by[sentence];
        }
    }
    return stops;
}

static void put_present(const pw_proof *proof, pw_proposal *out)
{
    const pw_site *site = proof->plant->site;
    out->count = site->sentence_count;
    for (int32_t i = 0; i < out->count; i++) {
        out->sentences[i] = site->sentences[i];
        out->was[i] = i;
        out->kept[i] = true;
    }
}

static void take_out(pw_proposal *list, int32_t at)
{
    if (list->was[at] >= 0) {
        list->kept[list->was[at]] = false;
    }
    for (int32_t i = at; i + 1 < list->count; i++) {
        list->sentences[i] = list->sentences[i + 1];
        list->was[i] = list->was[i + 1];
        list->differs[i] = list->differs[i + 1];
    }
    list->count--;
    list->changes = true;
}

static void append(pw_arena *arena, pw_proposal *list, const char *sentence)
{
    const char *kept = pw_strdup(arena, sentence, strlen(sentence));
    if (sentence[0] == '\0' || list->count == PW_MAX_SENTENCES || kept == NULL) {
        return;
    }
    list->sentences[list->count] = kept;
    list->was[list->count] = -1;
    list->differs[list->count] = true;
    list->count++;
    list->changes = true;
}

static void put_merged(pw_arena *arena, const merged *all, pw_proposal *out)
{
    for (int32_t i = 0; i < all->count; i++) {
        const prove_proposal *p = &all->list[i];
        if (p->instead_of == 0) {
            append(arena, out, p->first);
            append(arena, out, p->sentence);
            continue;
        }
        const char *kept = pw_strdup(arena, p->sentence, strlen(p->sentence));
        if (kept == NULL) {
            continue;
        }
        out->sentences[p->instead_of - 1] = kept;
        out->differs[p->instead_of - 1] = true;
        out->changes = true;
    }
}

pw_status pw_proposal_draft(pw_arena *arena, const pw_proof *proof, pw_proposal *out)
{
    memset(out, 0, sizeof *out);
    put_present(proof, out);
    if (!proof->healthy.known || !proof->options.margins) {
        return PW_OK; /* nothing is known of health: no proposal keeps its distance from it */
    }
    for (int32_t i = out->count - 1; i >= 0; i--) {
        if (stops_health(proof, i) > 0) {
            take_out(out, i);
        }
    }
    out->takes_out = out->changes;
    if (out->changes) {
        return PW_OK;
    }
    merged *all = PW_NEW(arena, 1, merged);
    if (all == NULL) {
        return PW_MEMORY;
    }
    const pw_usual usual = pw_proof_usual(proof);
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        if (proof->jobs->jobs[i].kind == PW_JOB_FAULT || proof->jobs->jobs[i].kind == PW_JOB_SWEEP) {
            take_trial(arena, proof, &usual, i, all);
        }
    }
    put_merged(arena, all, out);
    return PW_OK;
}
