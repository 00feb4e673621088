/* Readings of the day held against what was expected: a row each, and the verdict in one line. */
#include "paper/handover_parts.h"
#include "paper/say.h"

static pw_tone tone_of(pw_reading_verdict verdict)
{
    switch (verdict) {
    case PW_READING_PASS: return PW_TONE_GOOD;
    case PW_READING_FAIL: return PW_TONE_BAD;
    case PW_READING_UNSURE:
    case PW_READING_BLIND: break;
    }
    return PW_TONE_CAUTION;
}

static const char *const verdicts[] = {[PW_READING_PASS] = "handover.pass",
                                       [PW_READING_FAIL] = "handover.fail",
                                       [PW_READING_UNSURE] = "handover.unsure",
                                       [PW_READING_BLIND] = "handover.blind"};

static void put_row(handover_pen *p, pw_grid *grid, int32_t row, const pw_measured *reading)
{
    const pw_expect *expect = reading->expect;
    handover_cell(p, grid, row, 0, handover_say(p, pw_expect_fact(expect)));
    handover_cell(p, grid, row, 1,
                  handover_say(p, pw_fact_of("handover.range", pw_quantity(expect->dimension, expect->low),
                                             pw_quantity(expect->dimension, expect->high))));
    handover_cell(p, grid, row, 2,
                  handover_say(p, pw_fact_of("base.value", pw_quantity(expect->dimension, reading->reads))));
    handover_cell(p, grid, row, 3,
                  handover_say(p, pw_fact_of(reading->usual ? "handover.usual-error" : "handover.plus-minus",
                                             pw_quantity(expect->dimension, reading->error))));
    handover_cell(
        p, grid, row, 4,
        handover_say(p, pw_fact_of(verdicts[reading->verdict], pw_quantity(expect->dimension, expect->gauge))));
    if (grid != NULL) {
        grid->cells[row * grid->column_count + 4].tone = tone_of(reading->verdict);
    }
}

/* What nobody measured. */
static void put_left(handover_pen *p, const pw_expects *expects, const pw_measured *readings, int32_t count)
{
    const char *lines[PW_MAX_EXPECTS];
    int32_t left = 0;
    for (int32_t i = 0; i < expects->count; i++) {
        bool measured = false;
        for (int32_t k = 0; k < count; k++) {
            measured = measured || readings[k].expect == &expects->items[i];
        }
        if (!measured) {
            lines[left++] = handover_say(p, pw_expect_fact(&expects->items[i]));
        }
    }
    if (left > 0) {
        say_heading(p->document, p->voice, 2, "handover.not-measured");
        pw_document_lines(p->document, PW_BLOCK_LIST, lines, left);
    }
}

pw_status pw_paper_commission(pw_arena *arena, const pw_plant *plant, const pw_expects *expects,
                              const pw_measured *readings, int32_t count, const pw_voice *voice, pw_document **out)
{
    static const handover_column columns[] = {{"handover.test", false},    {"handover.between", true},
                                              {"handover.measured", true}, {"handover.error", true},
                                              {"handover.verdict", false}, {NULL, false}};
    *out = NULL;
    pw_document *document =
        say_new_paper(arena, voice, "handover.commissioning", plant->site->name, plant->site->invented);
    if (document == NULL) {
        return PW_MEMORY;
    }
    handover_pen p = {arena, document, voice, NULL, plant};
    int32_t passed = 0, failed = 0;
    for (int32_t i = 0; i < count; i++) {
        passed += readings[i].verdict == PW_READING_PASS ? 1 : 0;
        failed += readings[i].verdict == PW_READING_FAIL ? 1 : 0;
    }
    say_block(document, voice, PW_BLOCK_LEAD, PW_TONE_PLAIN,
              pw_fact_of("handover.commission-lead", pw_count(count), pw_count(passed), pw_count(failed),
                         pw_count(count - passed - failed)));
    (void)say_invented(document, voice, plant->site);
    pw_grid *grid = handover_grid(&p, "handover.commission-caption", columns, count);
    for (int32_t i = 0; i < count; i++) {
        put_row(&p, grid, i, &readings[i]);
    }
    for (int32_t i = 0; i < count; i++) {
        if (readings[i].verdict == PW_READING_FAIL) {
            const pw_fact what = pw_expect_fact(readings[i].expect);
            say_block(
                document, voice, PW_BLOCK_NOTE, PW_TONE_BAD,
                pw_fact_of("handover.fails", pw_nested(&what), pw_truth(readings[i].reads > readings[i].expect->high)));
        }
    }
    put_left(&p, expects, readings, count);
    say_block(document, voice, PW_BLOCK_WORDS, PW_TONE_MUTED, pw_fact_of("handover.tests-verdict"));
    say_block(document, voice, PW_BLOCK_WORDS, PW_TONE_MUTED,
              pw_fact_of("handover.tests-grade", pw_named(expects->grade->name)));
    say_block(document, voice, PW_BLOCK_WORDS, PW_TONE_MUTED, pw_fact_of("handover.usual-how"));
    if (document->failed) {
        return PW_MEMORY;
    }
    *out = document;
    return PW_OK;
}
