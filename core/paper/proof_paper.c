/* The proof as a paper: what these settings catch, what they cannot see, what to do next. */
#include "base/num.h"
#include "paper/paper.h"
#include "paper/proof_parts.h"
#include "paper/say.h"

/* " It can never see leaks up to 0.4 L/min and from ...: up to ... a day." */
static pw_value band_list(proof_pen *p)
{
    const pw_proof *proof = p->proof;
    double most_m3d = 0.0;
    pw_facts list;
    pw_facts_init(&list, p->arena);
    for (int32_t i = 0; i < proof->band_count; i++) {
        const pw_band *band = &proof->bands[i];
        const pw_value from = pw_quantity(PW_DIM_FLOW, band->from_m3s), to = pw_quantity(PW_DIM_FLOW, band->to_m3s);
        if (band->below_m3s <= 0.0) {
            pw_tell(&list, "paper.leaks-up-to", to);
        } else if (band->above_m3s > 0.0) {
            pw_tell(&list, "paper.leaks-from-to", from, to);
        } else {
            pw_tell(&list, "paper.leaks-from-up", from);
        }
        most_m3d = pw_max(most_m3d, band->lost_most_m3d);
    }
    const pw_fact bands =
        pw_fact_of("paper.never-sees-leaks", pw_list(&list, PW_JOIN_AND), pw_quantity(PW_DIM_VOLUME, most_m3d));
    return pw_fact_inside(p->arena, bands);
}

static void put_headline(proof_pen *p)
{
    const pw_proof *proof = p->proof;
    const pw_count_of_faults counts = pw_proof_counts(proof);
    bool swept = false;
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        swept = swept || proof->jobs->jobs[i].kind == PW_JOB_SWEEP;
    }
    say_block(p->document, p->voice, PW_BLOCK_LEAD, PW_TONE_PLAIN,
              pw_fact_of("paper.catches", pw_count(counts.caught), pw_count(counts.tried),
                         pw_count(counts.refused + counts.warned), proof->band_count > 0 ? band_list(p) : pw_named(""),
                         pw_truth(swept && proof->band_count == 0)));
}

typedef struct summary {
    proof_pen *p;
    const char *lines[18];
    int32_t count;
} summary;

static void put_count(summary *s, int32_t number, const char *name, const char *words)
{
    s->lines[s->count] = pw_say_word(s->p->voice, name);
    s->lines[s->count + 1] = say_fact(s->p->arena, s->p->voice, pw_fact_of(words, pw_count(number)));
    s->count += 2;
}

static void put_summary(proof_pen *p)
{
    const pw_count_of_faults counts = pw_proof_counts(p->proof);
    summary s = {.p = p};
    put_count(&s, counts.stopped, "paper.stopped", "paper.stopped-how");
    put_count(&s, counts.too_late, "paper.too-late", "paper.too-late-how");
    put_count(&s, counts.told, "paper.alarm-only", "paper.alarm-only-how");
    if (counts.refused > 0) {
        put_count(&s, counts.refused, "paper.refused", "paper.refused-how");
    }
    if (counts.warned > 0) {
        put_count(&s, counts.warned, "paper.warned", "paper.warned-how");
    }
    put_count(&s, counts.unseen, "paper.never-seen", "paper.never-seen-how");
    if (counts.unprotected > 0) {
        put_count(&s, counts.unprotected, "paper.unprotected", "paper.unprotected-how");
    }
    if (counts.outlasted > 0) {
        put_count(&s, counts.outlasted, "paper.outlasted", "paper.outlasted-how");
    }
    put_count(&s, counts.harmless, "paper.no-harm", "paper.no-harm-how");
    pw_document_lines(p->document, PW_BLOCK_FACTS, s.lines, s.count);
}

static void put_trial(proof_pen *p)
{
    const pw_proof *proof = p->proof;
    const int64_t minute = proof->options.onset_ms / 60000;
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN,
              pw_fact_of("paper.trial", pw_weekday(minute / 1440), pw_clock(minute % 1440 * 60),
                         pw_quantity(PW_DIM_TIME, proof->options.horizon_s),
                         pw_quantity(PW_DIM_PRESSURE, proof->jobs->reference_pa),
                         pw_quantity(PW_DIM_FLOW, proof->jobs->pump_m3s), pw_count((int64_t)proof->options.seed)));
}

static void put_outside(proof_pen *p)
{
    const pw_proof_options *options = &p->proof->options;
    const char *outside[8];
    int32_t count = 0;
    if (!options->pairs) {
        outside[count++] = pw_say_word(p->voice, "paper.outside-pairs");
    }
    if (options->places <= 1) {
        outside[count++] = pw_say_word(p->voice, "paper.outside-places");
    }
    if (options->onsets <= 1) {
        outside[count++] = pw_say_word(p->voice, "paper.outside-times");
    }
    outside[count++] = pw_say_word(p->voice, "paper.outside-suction-leak");
    outside[count++] = pw_say_word(p->voice, "paper.outside-electric");
    outside[count++] = pw_say_word(p->voice, "paper.outside-surge");
    outside[count++] = pw_say_word(p->voice, "paper.outside-sizes");
    say_heading(p->document, p->voice, 3, "paper.outside");
    pw_document_lines(p->document, PW_BLOCK_LIST, outside, count);
}

static void put_unseen(proof_pen *p)
{
    say_heading(p->document, p->voice, 2, "paper.cannot-see");
    pw_unseen *unseen = PW_NEW(p->arena, PW_MAX_UNSEEN, pw_unseen);
    if (unseen == NULL) {
        p->document->failed = true;
        return;
    }
    const int32_t count = pw_proof_unseen(p->arena, p->proof, unseen, PW_MAX_UNSEEN);
    if (count == 0) {
        say_block(p->document, p->voice, PW_BLOCK_NOTE, PW_TONE_GOOD, pw_fact_of("paper.nothing-unseen"));
    }
    for (int32_t i = 0; i < count; i++) {
        say_block(p->document, p->voice, PW_BLOCK_NOTE, PW_TONE_BAD, unseen[i].what);
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN,
                  pw_fact_of("paper.action", pw_list(&unseen[i].next, PW_JOIN_SPACE)));
    }
    put_outside(p);
}

pw_status pw_paper_proof(pw_arena *arena, const pw_proof *proof, const pw_voice *voice, pw_document **out)
{
    *out = NULL;
    const pw_site *site = proof->plant->site;
    pw_document *document = say_new_paper(arena, voice, "paper.protection", site->name, site->invented);
    if (document == NULL) {
        return PW_MEMORY;
    }
    proof_pen p = {arena, document, proof, voice};
    proof_put_verdict(&p);
    put_headline(&p);
    (void)say_invented(document, voice, site);
    put_summary(&p);
    say_heading(document, voice, 2, "paper.the-site");
    say_site(document, voice, site);
    say_heading(document, voice, 2, "paper.the-settings");
    say_settings(document, voice, proof->plant->settings);
    say_heading(document, voice, 2, "paper.faults-tried");
    put_trial(&p);
    proof_put_faults(&p);
    proof_put_extra(&p);
    proof_put_false_stops(&p);
    proof_put_bands(&p);
    proof_put_limits(&p);
    put_unseen(&p);
    say_defaults(document, voice, site);
    say_cautions(document, voice);
    if (document->failed) {
        return PW_MEMORY;
    }
    *out = document;
    return PW_OK;
}
