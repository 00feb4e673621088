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

static bool locks(const prove_proposal *p)
{
    return strstr(p->sentence, "lock out when ") != NULL;
}

/* The condition alone, to compare: behind "when ". */
static const char *condition(const char *sentence)
{
    const char *at = strstr(sentence, " when ");
    return at != NULL ? at : sentence;
}

static void merge(merged *all, const prove_proposal *p)
{
    for (int32_t i = 0; i < all->count; i++) {
        prove_proposal *have = &all->list[i];
        const bool limit = p->at > 0.0 && have->by == p->by;
        if (!limit && strcmp(condition(have->sentence), condition(p->sentence)) != 0)
            continue;
        if (limit ? p->at < have->at || (p->at <= have->at && locks(p) && !locks(have)) : locks(p) && !locks(have))
            *have = *p;
        return;
    }
    if (all->count < MOST_MERGED) {
        all->list[all->count] = *p;
        all->count++;
    }
}

/* A warning that saw harm and let it go on, as a lock out. */
static void merge_lock(const prove_trial *t, merged *all)
{
    static const char warn[] = "warn when ";
    prove_proposal p;
    pw_text text;
    memset(&p, 0, sizeof p);
    pw_text_init(&text, t->arena);
    pw_settings_put(t->plant->settings, t->outcome->caught_by, &text);
    char *at = text.failed ? NULL : strstr(text.data, warn);
    if (at == NULL || !prove_may_lock(t))
        return;
    const size_t before = (size_t)(at - text.data);
    pw_copy(p.sentence, (int32_t)pw_min((double)sizeof p.sentence, (double)before + 1.0), text.data);
    prove_put(p.sentence, sizeof p.sentence, "lock out when ");
    prove_put(p.sentence, sizeof p.sentence, at + sizeof warn - 1);
    p.instead_of = t->outcome->caught_by + 1;
    merge(all, &p);
}

static void take_trial(pw_arena *arena, const pw_proof *proof, const pw_usual *usual, int32_t i, merged *all)
{
    const pw_job *job = &proof->jobs->jobs[i];
    const pw_finding finding = pw_outcome_finding(proof->plant, job, &proof->outcomes[i]);
    prove_proposal list[PROVE_CANDIDATES];
    if (finding != PW_FINDING_UNSEEN && finding != PW_FINDING_TOO_LATE && finding != PW_FINDING_TOLD)
        return;
    const prove_trial t = prove_trial_of(arena, proof->plant, usual, job, &proof->outcomes[i]);
    if (finding == PW_FINDING_TOLD) {
        if (prove_harms(&t))
            merge_lock(&t, all);
        return;
    }
    const int32_t count = prove_candidates(&t, list);
    for (int32_t k = 0; k < count; k++)
        merge(all, &list[k]);
}

/* How often a sentence stops the healthy site, with and without a move of its margins. */
static int32_t stops_health(const pw_proof *proof, int32_t sentence)
{
    int32_t stops = 0;
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        if (proof->jobs->jobs[i].kind == PW_JOB_HEALTHY || proof->jobs->jobs[i].kind == PW_JOB_MARGIN)
            stops += proof->outcomes[i].false_by[sentence];
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
    if (list->was[at] >= 0)
        list->kept[list->was[at]] = false;
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
    if (sentence[0] == '\0' || list->count == PW_MAX_SENTENCES || kept == NULL)
        return;
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
        if (kept == NULL)
            continue;
        out->sentences[p->instead_of - 1] = kept;
        out->differs[p->instead_of - 1] = true;
        out->changes = true;
    }
}

pw_status pw_proposal_draft(pw_arena *arena, const pw_proof *proof, pw_proposal *out)
{
    memset(out, 0, sizeof *out);
    put_present(proof, out);
    if (!proof->healthy.known || !proof->options.margins)
        return PW_OK; /* nothing is known of health: no proposal keeps its distance from it */
    for (int32_t i = out->count - 1; i >= 0; i--) {
        if (stops_health(proof, i) > 0)
            take_out(out, i);
    }
    out->takes_out = out->changes;
    if (out->changes)
        return PW_OK;
    merged *all = PW_NEW(arena, 1, merged);
    if (all == NULL)
        return PW_MEMORY;
    const pw_usual usual = pw_proof_usual(proof);
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        if (proof->jobs->jobs[i].kind == PW_JOB_FAULT || proof->jobs->jobs[i].kind == PW_JOB_SWEEP)
            take_trial(arena, proof, &usual, i, all);
    }
    put_merged(arena, all, out);
    return PW_OK;
}
