/* The proof as a paper: what this order catches, what it cannot see, what to do next. */
#include "base/num.h"
#include "paper/paper.h"
#include "paper/proof_parts.h"
#include "paper/say.h"

static void put_volume(proof_pen *p, double m3, pw_text *text)
{
    pw_quantity_put(text, p->units, PW_DIM_VOLUME, m3);
}

static void put_band_list(proof_pen *p, pw_text *text)
{
    const pw_proof *proof = p->proof;
    double most_m3d = 0.0;
    pw_text_put(text, " It can never see leaks ");
    for (int32_t i = 0; i < proof->band_count; i++) {
        const pw_band *band = &proof->bands[i];
        pw_text_put(text, i == 0 ? "" : (i + 1 == proof->band_count ? " and " : ", "));
        if (band->below_m3s <= 0.0) {
            pw_text_put(text, "up to ");
        } else {
            pw_text_put(text, "from ");
            pw_quantity_put(text, p->units, PW_DIM_FLOW, band->from_m3s);
            pw_text_put(text, band->above_m3s > 0.0 ? " to " : " up");
        }
        if (band->above_m3s > 0.0 || band->below_m3s <= 0.0)
            pw_quantity_put(text, p->units, PW_DIM_FLOW, band->to_m3s);
        most_m3d = pw_max(most_m3d, band->lost_most_m3d);
    }
    pw_text_put(text, ": up to ");
    put_volume(p, most_m3d, text);
    pw_text_put(text, " a day.");
}

static void put_headline(proof_pen *p)
{
    const pw_proof *proof = p->proof;
    pw_count_of_faults counts = pw_proof_counts(proof);
    pw_text text;
    pw_text_init(&text, p->arena);
    pw_text_put(&text, "This order catches ");
    pw_text_int(&text, counts.caught);
    pw_text_put(&text, " of ");
    pw_text_int(&text, counts.tried);
    pw_text_put(&text, " faults tried.");
    if (counts.refused + counts.warned > 0) {
        pw_text_put(&text, " Its reader tells of ");
        pw_text_int(&text, counts.refused + counts.warned);
        pw_text_put(&text, " more as they are typed.");
    }
    if (proof->band_count > 0)
        put_band_list(p, &text);
    bool swept = false;
    for (int32_t i = 0; i < proof->jobs->count; i++)
        swept = swept || proof->jobs->jobs[i].kind == PW_JOB_SWEEP;
    if (swept && proof->band_count == 0)
        pw_text_put(&text, " It saw every size of leak tried.");
    pw_document_add(p->document, PW_BLOCK_LEAD, PW_TONE_PLAIN, say_done(&text));
}

static void put_count_item(proof_pen *p, const char **lines, int32_t *count, int32_t number, const char *name,
                           const char *words)
{
    lines[*count] = name;
    lines[*count + 1] = say(p->arena, say_count(p->arena, (double)number), words, NULL);
    *count += 2;
}

static void put_summary(proof_pen *p)
{
    pw_count_of_faults counts = pw_proof_counts(p->proof);
    const char *lines[14];
    int32_t count = 0;
    put_count_item(p, lines, &count, counts.stopped, "Stopped",
                   " by a lock out, before a limit of the site was passed");
    put_count_item(
        p, lines, &count, counts.too_late, "Stopped too late",
        " by a lock out, after dry running, hot water, winding temperature or pressure had passed its limit");
    put_count_item(p, lines, &count, counts.told, "Seen, not stopped", " by a watch that cannot end it");
    if (counts.refused > 0)
        put_count_item(p, lines, &count, counts.refused, "Refused as typed",
                       " by the order's reader: the old order stays in force");
    if (counts.warned > 0)
        put_count_item(p, lines, &count, counts.warned, "Warned of as typed",
                       " by the order's reader, which takes them: they are as good as the person who reads it");
    put_count_item(p, lines, &count, counts.unseen, "Never seen",
                   " by any watch, and it costs water, wear, or users their water");
    put_count_item(p, lines, &count, counts.harmless, "Not seen, no harm", ": nothing lost or missed, no limit passed");
    pw_document_lines(p->document, PW_BLOCK_FACTS, lines, count);
}

static void put_trial(proof_pen *p)
{
    const pw_proof *proof = p->proof;
    const pw_jobs *jobs = proof->jobs;
    pw_text text;
    pw_text_init(&text, p->arena);
    pw_text_put(&text, "Each fault was let happen alone, on an otherwise healthy site with its usual demand, from ");
    int64_t minute = proof->options.onset_ms / 60000;
    static const char *const days[7] = {"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"};
    pw_text_puts(&text, days[minute / 1440 % 7], minute % 1440 / 60 < 10 ? " 0" : " ", NULL);
    pw_text_int(&text, minute % 1440 / 60);
    pw_text_put(&text, minute % 60 < 10 ? ":0" : ":");
    pw_text_int(&text, minute % 60);
    pw_text_put(&text, ", and counts as never seen when no watch fires within ");
    pw_quantity_put(&text, p->units, PW_DIM_TIME, proof->options.horizon_s);
    pw_text_put(&text, ". Leaks are meant at ");
    pw_quantity_put(&text, p->units, PW_DIM_PRESSURE, jobs->reference_pa);
    pw_text_put(&text, ", where the pump gives ");
    pw_quantity_put(&text, p->units, PW_DIM_FLOW, jobs->pump_m3s);
    pw_text_put(&text, ". Random demand from seed ");
    pw_text_int(&text, (int64_t)proof->options.seed);
    pw_text_put(&text, ": the same sheet and seed give this same paper.");
    pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_PLAIN, say_done(&text));
}

static void put_outside(proof_pen *p)
{
    const pw_proof_options *options = &p->proof->options;
    const char *outside[8];
    int32_t count = 0;
    if (!options->pairs)
        outside[count++] = "two faults at once (an option of the proof)";
    if (options->places <= 1)
        outside[count++] = "the same faults at other places (an option of the proof)";
    if (options->onsets <= 1)
        outside[count++] = "the same faults begun at another time of the day (an option of the proof)";
    outside[count++] = "a leak between the source and the pump's non-return valve";
    outside[count++] = "faults of insulation and earthing, lightning, and a controller that is itself broken";
    outside[count++] =
        "surge (water hammer) beyond that of a slamming valve, pipes split by frost, damage to the well itself";
    outside[count++] = "leaks smaller than the smallest and larger than the largest tried";
    pw_document_heading(p->document, 3, "Not tried here, so nothing is said about it");
    pw_document_lines(p->document, PW_BLOCK_LIST, outside, count);
}

static void put_unseen(proof_pen *p)
{
    pw_document_heading(p->document, 2, "What this order cannot see");
    pw_unseen unseen[PW_MAX_UNSEEN];
    int32_t count = pw_proof_unseen(p->arena, p->proof, p->units, unseen, PW_MAX_UNSEEN);
    if (count < 0)
        p->document->failed = true;
    if (count == 0) {
        pw_document_add(p->document, PW_BLOCK_NOTE, PW_TONE_GOOD,
                        "Nothing of what was tried here went unseen and did harm.");
    }
    for (int32_t i = 0; i < count; i++) {
        pw_document_add(p->document, PW_BLOCK_NOTE, PW_TONE_BAD, unseen[i].what);
        pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_PLAIN, say(p->arena, "To do: ", unseen[i].next, NULL));
    }
    put_outside(p);
}

pw_status pw_paper_proof(pw_arena *arena, const pw_proof *proof, const pw_units *units, pw_document **out)
{
    *out = NULL;
    const pw_site *site = proof->plant->site;
    pw_document *document = pw_document_new(arena, "Proof", site->name, site->invented ? "INVENTED" : "");
    if (document == NULL)
        return PW_MEMORY;
    proof_pen p = {arena, document, proof, units};
    put_headline(&p);
    (void)say_invented(document, site);
    put_summary(&p);
    pw_document_heading(document, 2, "The site");
    say_site(document, site, units);
    pw_document_heading(document, 2, "The order");
    say_settings(document, proof->plant->settings);
    pw_document_heading(document, 2, "Faults tried");
    put_trial(&p);
    proof_put_faults(&p);
    proof_put_extra(&p);
    proof_put_false_stops(&p);
    proof_put_bands(&p);
    proof_put_limits(&p);
    put_unseen(&p);
    say_defaults(document, site, units);
    say_cautions(document);
    if (document->failed)
        return PW_MEMORY;
    *out = document;
    return PW_OK;
}
