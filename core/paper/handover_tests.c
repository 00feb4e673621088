/* What was shown and is to be measured: the proof in short, the sheet of commissioning tests, and the owner's page. */
#include "base/num.h"
#include "paper/handover_parts.h"
#include "paper/say.h"
#include "paper/worst_paper.h"
#include "study/brief.h"

static void put_facts(handover_pen *p, const pw_facts *facts)
{
    const char **lines = PW_NEW(p->arena, facts->count + 1, const char *);
    if (lines == NULL) {
        p->document->failed = true;
        return;
    }
    for (int32_t i = 0; i < facts->count; i++) {
        lines[i] = handover_say(p, facts->items[i]);
    }
    pw_document_lines(p->document, PW_BLOCK_LIST, lines, facts->count);
}

/* "Leaks up to 3.7 L/min are seen by no sentence, ..." */
static void put_bands(handover_pen *p)
{
    const pw_proof *proof = p->job->proof;
    for (int32_t i = 0; i < proof->band_count; i++) {
        const pw_band *band = &proof->bands[i];
        say_block(p->document, p->voice, PW_BLOCK_NOTE, PW_TONE_BAD,
                  pw_fact_of("handover.band",
                             band->below_m3s > 0.0 ? pw_quantity(PW_DIM_FLOW, band->from_m3s) : pw_named(""),
                             band->above_m3s > 0.0 ? pw_quantity(PW_DIM_FLOW, band->to_m3s) : pw_named(""),
                             pw_quantity(PW_DIM_VOLUME, band->lost_most_m3d)));
    }
    if (proof->options.sweep_count == 0) {
        say_block(p->document, p->voice, PW_BLOCK_NOTE, PW_TONE_CAUTION, pw_fact_of("handover.no-sweep"));
    } else if (proof->band_count == 0) {
        say_block(p->document, p->voice, PW_BLOCK_NOTE, PW_TONE_GOOD, pw_fact_of("paper.no-blind-band"));
    }
}

/* What would be typed to see more; it is not what was left. */
static void put_proposal(handover_pen *p, const pw_brief *brief)
{
    if (brief->proposal.id == NULL) {
        return;
    }
    say_heading(p->document, p->voice, 3, "paper.one-proposal");
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, brief->proposal);
    put_facts(p, &brief->type);
}

/* Each sort of fault that goes unseen, with what to do about it by hand. */
static void put_unseen(handover_pen *p)
{
    pw_unseen *unseen = PW_NEW(p->arena, PW_MAX_UNSEEN, pw_unseen);
    if (unseen == NULL) {
        p->document->failed = true;
        return;
    }
    const int32_t count = pw_proof_unseen(p->arena, p->job->proof, unseen, PW_MAX_UNSEEN);
    if (count > 0) {
        say_heading(p->document, p->voice, 3, "handover.by-hand");
    }
    for (int32_t i = 0; i < count; i++) {
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_BAD, unseen[i].what);
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN,
                  pw_fact_of("paper.action", pw_list(&unseen[i].next, PW_JOIN_SPACE)));
    }
}

void handover_put_proof(handover_pen *p)
{
    say_heading(p->document, p->voice, 2, "handover.protection");
    if (p->job->proof == NULL) {
        say_block(p->document, p->voice, PW_BLOCK_NOTE, PW_TONE_CAUTION, pw_fact_of("handover.no-proof"));
        worst_put_short(p->document, p->voice, p->job->guarantees);
        return;
    }
    pw_brief brief;
    if (!pw_brief_of(p->arena, p->job->proof, &brief)) {
        p->document->failed = true;
        return;
    }
    const pw_healthy *healthy = &p->job->proof->healthy;
    say_block(p->document, p->voice, PW_BLOCK_NOTE,
              !healthy->known        ? PW_TONE_CAUTION
              : healthy->fails != 0u ? PW_TONE_BAD
                                     : PW_TONE_GOOD,
              brief.healthy);
    put_facts(p, &brief.why);
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, brief.counts);
    say_heading(p->document, p->voice, 3, "handover.not-seen");
    put_bands(p);
    put_facts(p, &brief.holes);
    worst_put_short(p->document, p->voice, p->job->guarantees);
    put_proposal(p, &brief);
    if (!p->job->is_short) {
        put_unseen(p);
    }
    const pw_proof_options *options = &p->job->proof->options;
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_MUTED,
              pw_fact_of("handover.proof-how", pw_count(options->healthy_years), pw_count(options->sweep_count),
                         pw_quantity(PW_DIM_TIME, options->horizon_s)));
}

/* ---- commissioning ---- */

void handover_put_tests(handover_pen *p)
{
    static const handover_column columns[] = {{"handover.number", true},   {"handover.test", false},
                                              {"handover.expected", true}, {"handover.between", true},
                                              {"handover.gauge", true},    {"handover.measured", false},
                                              {"handover.passes", false},  {NULL, false}};
    const pw_expects *list = p->job->expects;
    (void)pw_document_add(p->document, PW_BLOCK_PAGE, PW_TONE_PLAIN, "");
    say_heading(p->document, p->voice, 2, "handover.tests");
    say_block(p->document, p->voice, PW_BLOCK_NOTE, PW_TONE_CAUTION, pw_fact_of("handover.tests-caution"));
    pw_grid *grid = handover_grid(p, "handover.tests-caption", columns, list->count);
    for (int32_t i = 0; i < list->count; i++) {
        const pw_expect *expect = &list->items[i];
        handover_cell(p, grid, i, 0, say_count(p->arena, i + 1));
        handover_cell(p, grid, i, 1, handover_say(p, pw_expect_fact(expect)));
        handover_cell(p, grid, i, 2,
                      handover_say(p, pw_fact_of(expect->assumed ? "handover.assumed" : "handover.given",
                                                 pw_quantity(expect->dimension, expect->expected))));
        handover_cell(p, grid, i, 3,
                      handover_say(p, pw_fact_of("handover.range", pw_quantity(expect->dimension, expect->low),
                                                 pw_quantity(expect->dimension, expect->high))));
        handover_cell(
            p, grid, i, 4,
            handover_say(p, pw_fact_of("handover.plus-minus", pw_quantity(expect->dimension, expect->gauge))));
        handover_cell(p, grid, i, 5, "______________");
        handover_cell(p, grid, i, 6, "____");
    }
    say_heading(p->document, p->voice, 3, "handover.tests-how");
    const char *lines[PW_MAX_EXPECTS];
    for (int32_t i = 0; i < list->count; i++) {
        const pw_fact what = pw_expect_fact(&list->items[i]), how = pw_expect_how_fact(&list->items[i]);
        const pw_fact from = pw_expect_from_fact(&list->items[i], list->grade);
        lines[i] =
            handover_say(p, pw_fact_of("handover.test-line", pw_nested(&what), pw_nested(&how), pw_nested(&from)));
    }
    pw_document_lines(p->document, PW_BLOCK_STEPS, lines, list->count);
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_MUTED, pw_fact_of("handover.tests-verdict"));
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_MUTED,
              pw_fact_of("handover.tests-grade", pw_named(list->grade->name)));
}

/* ---- the owner ---- */

/* What owners may look at by themselves: nothing that is opened, and nothing electrical. By what the sentence looks at;
 * NULL: that is for whoever is called. */
static const char *owner_check(const pw_look *look)
{
    switch (look->kind) {
    case PW_TERM_STARTS: return "handover.look-starts";
    case PW_TERM_RUNNING: return "handover.look-running";
    case PW_TERM_FLOW: return look->above ? NULL : "handover.look-no-flow";
    case PW_TERM_PRESSURE: return look->above ? "handover.look-high" : "handover.look-low";
    case PW_TERM_LEVEL:
    case PW_TERM_PROBE: return "handover.look-level";
    default: return NULL;
    }
}

/* What one stop means, and the first thing to look at. */
static void put_stop(handover_pen *p, pw_grid *grid, int32_t row, int32_t sentence, int32_t pump)
{
    const pw_settings *settings = p->plant->settings;
    const bool locks = pw_settings_kind(settings, sentence) == PW_SENTENCE_LOCK;
    pw_look look;
    pw_facts facts;
    pw_facts_init(&facts, p->arena);
    pw_settings_advise(settings, &p->plant->facts, sentence, pump, 0, &facts);
    const char *check = pw_settings_look(settings, sentence, 0, &look) ? owner_check(&look) : NULL;
    const pw_value condition = pw_fact_inside(p->arena, pw_settings_condition(p->arena, settings, sentence));
    handover_cell(p, grid, row, 0,
                  handover_say(p, pw_fact_of(locks ? "handover.stop-lock" : "handover.stop-warn",
                                             pw_count(sentence + 1), condition)));
    handover_cell(p, grid, row, 1, facts.count > 0 ? handover_say(p, facts.items[0]) : "");
    handover_cell(p, grid, row, 2, handover_word(p, check != NULL ? check : "handover.no-check"));
    p->document->failed = p->document->failed || facts.failed;
}

static int32_t first_pump(const handover_pen *p, int32_t sentence)
{
    for (int32_t pump = 0; pump < p->plant->site->pump_count; pump++) {
        if (pw_settings_is_for(p->plant->settings, sentence, pump)) {
            return pump;
        }
    }
    return 0;
}

void handover_put_owner(handover_pen *p)
{
    static const handover_column columns[] = {{"handover.owner-stop", false},
                                              {"handover.owner-means", false},
                                              {"handover.owner-first", false},
                                              {NULL, false}};
    static const char *const calls[] = {"handover.call-again", "handover.call-electric", "handover.call-water",
                                        "handover.call-noise"};
    const pw_settings *settings = p->plant->settings;
    int32_t rows = 0;
    for (int32_t i = 0; i < pw_settings_count(settings); i++) {
        rows += pw_settings_is_watch(settings, i) ? 1 : 0;
    }
    (void)pw_document_add(p->document, PW_BLOCK_PAGE, PW_TONE_PLAIN, handover_word(p, "handover.owner-page"));
    say_heading(p->document, p->voice, 2, "handover.owner-page");
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_fact_of("handover.owner-lead"));
    say_block(p->document, p->voice, PW_BLOCK_NOTE, PW_TONE_CAUTION, pw_fact_of("handover.owner-caution"));
    if (rows > 0) {
        pw_grid *grid = handover_grid(p, "", columns, rows);
        int32_t row = 0;
        for (int32_t i = 0; i < pw_settings_count(settings); i++) {
            if (pw_settings_is_watch(settings, i)) {
                put_stop(p, grid, row, i, first_pump(p, i));
                row++;
            }
        }
    } else {
        say_block(p->document, p->voice, PW_BLOCK_NOTE, PW_TONE_BAD, pw_fact_of("handover.owner-unwatched"));
    }
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_fact_of("handover.owner-release"));
    say_heading(p->document, p->voice, 3, "handover.owner-call");
    const char *lines[4];
    for (int32_t i = 0; i < 4; i++) {
        lines[i] = handover_word(p, calls[i]);
    }
    pw_document_lines(p->document, PW_BLOCK_LIST, lines, 4);
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN,
              pw_fact_of("handover.call-number", pw_named(p->job->call)));
}
