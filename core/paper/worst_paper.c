/* The worst that settings allow: for each pump what never happens, in lines; then the day books that show how far it
 * can come. */
#include "paper/worst_paper.h"

#include "paper/handover_parts.h"
#include "paper/say.h"

static void put_fact(handover_pen *p, pw_tone tone, pw_fact fact)
{
    if (fact.id != NULL) {
        say_block(p->document, p->voice, tone == PW_TONE_PLAIN ? PW_BLOCK_WORDS : PW_BLOCK_NOTE, tone, fact);
    }
}

static pw_tone tone_of(const pw_worst_answer *answer)
{
    return answer->end == PW_WORST_BOUND ? PW_TONE_GOOD : PW_TONE_CAUTION;
}

static void put_lines(handover_pen *p, const pw_worst *worst)
{
    const pw_settings *settings = p->plant->settings;
    const bool stuck = worst->stuck.end == PW_WORST_BOUND && worst->stuck.value > 0;
    put_fact(p, tone_of(&worst->starts), pw_worst_starts_fact(worst));
    put_fact(p, tone_of(&worst->run), pw_worst_run_fact(worst));
    for (int32_t i = 0; i < worst->sense_count; i++) {
        put_fact(p, tone_of(&worst->senses[i].longest), pw_worst_sense_fact(p->arena, settings, worst, i));
    }
    put_fact(p, stuck ? PW_TONE_BAD : tone_of(&worst->stuck), pw_worst_stuck_fact(p->arena, settings, worst));
    put_fact(p, PW_TONE_PLAIN, pw_worst_person_fact(p->arena, settings, worst));
    put_fact(p, PW_TONE_PLAIN, pw_fact_of("worst.locked"));
    put_fact(p, PW_TONE_PLAIN, pw_worst_left_out_fact(p->arena, settings, worst));
}

static void put_book(handover_pen *p, pw_fact title, const pw_worst_book *book)
{
    static const handover_column columns[] = {{"worst.after", true}, {"worst.what", false}, {NULL, false}};
    if (book->count == 0) {
        return;
    }
    pw_document_heading(p->document, 3, handover_say(p, title));
    pw_grid *grid = handover_grid(p, "", columns, book->count + (book->left_out > 0 ? 1 : 0));
    for (int32_t i = 0; i < book->count; i++) {
        const pw_worst_line *line = &book->lines[i];
        const bool same = i > 0 && book->lines[i - 1].at_ms == line->at_ms;
        handover_cell(
            p, grid, i, 0,
            same ? ""
                 : handover_say(p, pw_fact_of("base.value", pw_quantity(PW_DIM_TIME, 1e-3 * (double)line->at_ms))));
        handover_cell(p, grid, i, 1, handover_say(p, pw_worst_line_fact(p->arena, p->plant->settings, line)));
    }
    if (book->left_out > 0) {
        handover_cell(p, grid, book->count, 0, "");
        handover_cell(p, grid, book->count, 1, handover_say(p, pw_fact_of("worst.more", pw_count(book->left_out))));
    }
}

static void put_books(handover_pen *p, const pw_worst *worst)
{
    put_book(p, pw_fact_of("worst.book-starts"), &worst->starts.book);
    put_book(p, pw_fact_of("worst.book-run"), &worst->run.book);
    for (int32_t i = 0; i < worst->sense_count; i++) {
        const pw_fact says = pw_worst_says_fact(p->arena, p->plant->settings, worst, i);
        put_book(p, pw_fact_of("worst.book-dry", pw_fact_inside(p->arena, says)), &worst->senses[i].longest.book);
    }
    put_book(p, pw_fact_of("worst.book-stuck"), &worst->stuck.book);
}

void worst_put_short(pw_document *document, const pw_voice *voice, const pw_guarantees *guarantees)
{
    if (guarantees == NULL || guarantees->count == 0) {
        return;
    }
    for (int32_t i = 0; i < guarantees->count; i++) {
        const pw_guarantee *one = &guarantees->items[i];
        if (one->words.id != NULL) {
            say_block(document, voice, PW_BLOCK_NOTE, one->holds ? PW_TONE_GOOD : PW_TONE_CAUTION, one->words);
        }
        if (one->open.id != NULL) {
            say_block(document, voice, PW_BLOCK_WORDS, PW_TONE_CAUTION, one->open);
        }
    }
    say_block(document, voice, PW_BLOCK_WORDS, PW_TONE_MUTED, pw_fact_of("worst.short-means"));
}

pw_status pw_paper_worst(pw_arena *arena, const pw_plant *plant, const pw_worst *worsts, int32_t count,
                         const pw_voice *voice, pw_document **out)
{
    *out = NULL;
    pw_document *document = say_new_paper(arena, voice, "worst.title", plant->site->name, plant->site->invented);
    if (document == NULL) {
        return PW_MEMORY;
    }
    handover_pen p = {arena, document, voice, NULL, plant};
    (void)say_invented(document, voice, plant->site);
    for (int32_t i = 0; i < count; i++) {
        say_block(document, voice, PW_BLOCK_LEAD, PW_TONE_PLAIN,
                  pw_fact_of("worst.lead", pw_named(plant->site->pumps[worsts[i].pump].name)));
        put_lines(&p, &worsts[i]);
        put_books(&p, &worsts[i]);
    }
    say_block(document, voice, PW_BLOCK_WORDS, PW_TONE_MUTED, pw_fact_of("worst.how"));
    say_heading(document, voice, 2, "paper.check-settings");
    say_settings(document, voice, plant->settings);
    if (document->failed) {
        return PW_MEMORY;
    }
    *out = document;
    return PW_OK;
}
