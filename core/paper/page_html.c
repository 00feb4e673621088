/* A document as HTML: sections with headings, tables with scope, figures with words for those who cannot see them. No
 * script, nothing fetched from anywhere.
 */
#include <string.h>

#include "paper/inside.h"

typedef struct pen {
    pw_text *out;
    int32_t figures, tables;
} pen;

static const char *class_of(pw_tone tone)
{
    switch (tone) {
    case PW_TONE_GOOD: return "pw-good";
    case PW_TONE_BAD: return "pw-bad";
    case PW_TONE_CAUTION: return "pw-caution";
    case PW_TONE_MUTED: return "pw-muted";
    case PW_TONE_PLAIN: break;
    }
    return "";
}

/* Signs differ in shape, so that the tone does not hang on colour. */
static const char *sign_of(pw_tone tone)
{
    switch (tone) {
    case PW_TONE_GOOD: return "\xE2\x9C\x93";    /* check */
    case PW_TONE_BAD: return "\xE2\x9C\x95";     /* cross */
    case PW_TONE_CAUTION: return "\xE2\x96\xB2"; /* triangle */
    case PW_TONE_MUTED:
    case PW_TONE_PLAIN: break;
    }
    return "";
}

static void put_sign(pen *p, pw_tone tone)
{
    if (sign_of(tone)[0] == '\0') {
        return;
    }
    pw_text_puts(p->out, "<span class=\"pw-sign\" aria-hidden=\"true\">", sign_of(tone), "</span>", NULL);
}

/* <tag class="...">words</tag> */
static void put_element(pen *p, const char *tag, const char *class, const char *words)
{
    pw_text_puts(p->out, "<", tag, NULL);
    if (class[0] != '\0') {
        pw_text_puts(p->out, " class=\"", class, "\"", NULL);
    }
    pw_text_put(p->out, ">");
    pw_text_html(p->out, words);
    pw_text_puts(p->out, "</", tag, ">\n", NULL);
}

static void put_note(pen *p, const pw_block *block)
{
    pw_text_puts(p->out, "<p class=\"pw-note ", class_of(block->tone), "\">", NULL);
    put_sign(p, block->tone);
    pw_text_html(p->out, block->words);
    pw_text_put(p->out, "</p>\n");
}

static void put_list(pen *p, const pw_block *block)
{
    const char *tag = block->kind == PW_BLOCK_STEPS ? "ol" : "ul";
    pw_text_puts(p->out, "<", tag, ">\n", NULL);
    for (int32_t i = 0; i < block->line_count; i++) {
        put_element(p, "li", "", block->lines[i]);
    }
    pw_text_puts(p->out, "</", tag, ">\n", NULL);
}

static void put_facts(pen *p, const pw_block *block)
{
    pw_text_put(p->out, "<dl class=\"pw-facts\">\n");
    for (int32_t i = 0; i + 1 < block->line_count; i += 2) {
        pw_text_put(p->out, "<div><dt>");
        pw_text_html(p->out, block->lines[i]);
        pw_text_put(p->out, "</dt><dd>");
        pw_text_html(p->out, block->lines[i + 1]);
        pw_text_put(p->out, "</dd></div>\n");
    }
    pw_text_put(p->out, "</dl>\n");
}

static void put_head_row(pen *p, const pw_grid *grid)
{
    pw_text_put(p->out, "<thead role=\"rowgroup\"><tr role=\"row\">");
    for (int32_t c = 0; c < grid->column_count; c++) {
        const pw_column *column = &grid->columns[c];
        pw_text_puts(p->out, "<th scope=\"col\" role=\"columnheader\"", column->number ? " class=\"pw-n\"" : "", ">",
                     NULL);
        pw_text_html(p->out, column->title);
        if (column->unit[0] != '\0') {
            pw_text_put(p->out, "<span class=\"pw-unit\">");
            pw_text_html(p->out, column->unit);
            pw_text_put(p->out, "</span>");
        }
        pw_text_put(p->out, "</th>");
    }
    pw_text_put(p->out, "</tr></thead>\n");
}

/* How many letters wide a table wants to be: long texts wrap. */
static int32_t wanted_columns(const pw_grid *grid)
{
    int32_t all = 0;
    for (int32_t c = 0; c < grid->column_count; c++) {
        int32_t widest = paper_columns(grid->columns[c].title);
        for (int32_t r = 0; r < grid->row_count; r++) {
            const int32_t wide = paper_columns(grid->cells[r * grid->column_count + c].words);
            widest = wide > widest ? wide : widest;
        }
        all += (widest > 24 ? 24 : widest) + 3;
    }
    return all;
}

/* On a screen too narrow for it a table becomes one card for each row: its cells stand under each other, each with the
 * title of its column. The roles keep it a table for those who listen. */
static const char *stack_of(const pw_grid *grid)
{
    const int32_t wanted = wanted_columns(grid);
    return wanted > 84 ? " class=\"pw-stack pw-broad\"" : (wanted > 36 ? " class=\"pw-stack\"" : "");
}

static void put_cell(pen *p, const pw_column *column, const pw_cell *cell, bool head)
{
    const char *tag = head ? "th" : "td";
    pw_text_puts(p->out, "<", tag, head ? " scope=\"row\" role=\"rowheader\"" : " role=\"cell\"", NULL);
    if (!head) {
        pw_text_put(p->out, " data-t=\"");
        pw_text_html(p->out, column->title);
        pw_text_puts(p->out, column->unit[0] != '\0' ? ", " : "", NULL);
        pw_text_html(p->out, column->unit);
        pw_text_put(p->out, "\"");
    }
    if (cell->words[0] == '\0') {
        pw_text_put(p->out, " data-none=\"\"");
    }
    pw_text_put(p->out, " class=\"");
    const char *shape = column->number ? "pw-n" : (paper_columns(cell->words) > 24 ? "pw-w" : (head ? "" : "pw-s"));
    const char *tone = class_of(cell->tone);
    pw_text_puts(p->out, shape, shape[0] != '\0' && tone[0] != '\0' ? " " : "", tone, "\">", NULL);
    if (!column->number) {
        put_sign(p, cell->tone);
    }
    const char *second = strchr(cell->words, '\n');
    if (second != NULL) {
        const char *first = pw_strdup(p->out->arena, cell->words, (size_t)(second - cell->words));
        p->out->failed = p->out->failed || first == NULL;
        pw_text_html(p->out, first != NULL ? first : "");
        pw_text_put(p->out, "<span class=\"pw-br\">\n</span>"); /* a comma where the cells are stacked */
        pw_text_html(p->out, second + 1);
    } else {
        pw_text_html(p->out, cell->words);
    }
    pw_text_puts(p->out, "</", tag, ">", NULL);
}

static void put_grid(pen *p, const pw_grid *grid)
{
    p->tables++;
    if (grid->title[0] != '\0') {
        pw_text_put(p->out, "<p class=\"pw-cap\" id=\"pw-g");
        pw_text_int(p->out, p->tables);
        pw_text_put(p->out, "\">");
        pw_text_html(p->out, grid->title);
        pw_text_put(p->out, "</p>\n<div class=\"pw-scroll\" tabindex=\"0\" role=\"group\" aria-labelledby=\"pw-g");
        pw_text_int(p->out, p->tables);
        pw_text_puts(p->out, "\"><table role=\"table\"", stack_of(grid), " aria-labelledby=\"pw-g", NULL);
        pw_text_int(p->out, p->tables);
        pw_text_put(p->out, "\">");
    } else {
        pw_text_puts(p->out, "<div class=\"pw-scroll\" tabindex=\"0\" role=\"group\" aria-label=\"table\">",
                     "<table role=\"table\"", stack_of(grid), ">", NULL);
    }
    put_head_row(p, grid);
    pw_text_put(p->out, "<tbody role=\"rowgroup\">\n");
    for (int32_t r = 0; r < grid->row_count; r++) {
        pw_text_put(p->out, "<tr role=\"row\">");
        for (int32_t c = 0; c < grid->column_count; c++) {
            put_cell(p, &grid->columns[c], &grid->cells[r * grid->column_count + c], c == 0);
        }
        pw_text_put(p->out, "</tr>\n");
    }
    pw_text_put(p->out, "</tbody></table></div>\n");
}

static void put_key(pen *p, const pw_plot *plot)
{
    plot_key_entry entries[PLOT_KEYS];
    const int32_t count = plot_keys(plot, p->out->arena, entries);
    pw_text_put(p->out, "<ul class=\"pw-key\">\n");
    for (int32_t i = 0; i < count; i++) {
        if (entries[i].sign == NULL || entries[i].words == NULL) {
            p->out->failed = true;
            return;
        }
        pw_text_puts(p->out, "<li><svg viewBox=\"0 0 30 24\" aria-hidden=\"true\">", entries[i].sign, "</svg><span>",
                     NULL);
        pw_text_html(p->out, entries[i].words);
        pw_text_put(p->out, "</span></li>\n");
    }
    pw_text_put(p->out, "</ul>\n");
}

static void put_plot(pen *p, const pw_plot *plot)
{
    pw_text_put(p->out, "<figure>");
    put_element(p, "figcaption", "", plot->title);
    p->figures++;
    pw_plot_svg(plot, p->figures, PW_PLOT_WIDE, p->out);
    p->figures++;
    pw_plot_svg(plot, p->figures, PW_PLOT_NARROW, p->out);
    put_key(p, plot);
    pw_text_put(p->out, "</figure>\n");
}

static void put_drawing(pen *p, const pw_drawing *drawing)
{
    pw_text_put(p->out, "<figure>");
    put_element(p, "figcaption", "", drawing->title);
    pw_text_puts(p->out, drawing->wide, drawing->narrow, "</figure>\n", NULL);
}

static void put_photo(pen *p, const pw_block *block)
{
    pw_text_puts(p->out, "<figure class=\"pw-photo\"><img src=\"", block->lines[0], "\" alt=\"", NULL);
    pw_text_html(p->out, block->words);
    pw_text_put(p->out, "\">");
    put_element(p, "figcaption", "", block->words);
    pw_text_put(p->out, "</figure>\n");
}

static void put_block(pen *p, const pw_block *block)
{
    switch (block->kind) {
    case PW_BLOCK_HEADING: put_element(p, block->level <= 2 ? "h2" : "h3", "", block->words); break;
    case PW_BLOCK_WORDS: put_element(p, "p", class_of(block->tone), block->words); break;
    case PW_BLOCK_LEAD: put_element(p, "p", "pw-lead", block->words); break;
    case PW_BLOCK_NOTE: put_note(p, block); break;
    case PW_BLOCK_LIST:
    case PW_BLOCK_STEPS: put_list(p, block); break;
    case PW_BLOCK_FACTS: put_facts(p, block); break;
    case PW_BLOCK_TABLE: put_grid(p, block->grid); break;
    case PW_BLOCK_PLOT: put_plot(p, block->plot); break;
    case PW_BLOCK_DRAWING: put_drawing(p, block->drawing); break;
    case PW_BLOCK_PHOTO: put_photo(p, block); break;
    case PW_BLOCK_PAGE: pw_text_put(p->out, "<hr class=\"pw-page\">\n"); break;
    }
}

pw_status pw_document_html_part(const pw_document *document, pw_text *out)
{
    if (document->failed) {
        return PW_MEMORY;
    }
    pen p = {out, 0, 0};
    pw_text_put(out, "<style>");
    for (int32_t i = 0; paper_style[i] != NULL; i++) {
        pw_text_put(out, paper_style[i]);
    }
    pw_text_put(out, "</style>\n<article class=\"pw-paper\">\n<header class=\"pw-top\">");
    put_element(&p, "p", "", document->title);
    put_element(&p, "h1", "", document->subject);
    if (document->mark[0] != '\0') {
        put_element(&p, "span", "pw-stamp", document->mark);
    }
    pw_text_put(out, "</header>\n");
    for (const pw_block *block = document->first; block != NULL; block = block->next) {
        put_block(&p, block);
    }
    pw_text_put(out, "</article>\n");
    return out->failed ? PW_MEMORY : PW_OK;
}

pw_status pw_document_html(const pw_document *document, pw_text *out)
{
    pw_text_puts(out, "<!DOCTYPE html>\n<html lang=\"", document->language, NULL);
    pw_text_put(out, "\"><head><meta charset=\"utf-8\">\n"
                     "<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\n"
                     "<meta name=\"color-scheme\" content=\"light dark\">\n<title>");
    pw_text_html(out, document->title);
    pw_text_put(out, ": ");
    pw_text_html(out, document->subject);
    pw_text_put(out,
                "</title>\n<style>html{background:#fbfaf5}@media (prefers-color-scheme:dark){html{background:#161a1a}}"
                "@media print{html{background:#fff}}body{margin:0}</style></head><body><main>\n");
    pw_status status = pw_document_html_part(document, out);
    pw_text_put(out, "</main></body></html>\n");
    if (status != PW_OK) {
        return status;
    }
    return out->failed ? PW_MEMORY : PW_OK;
}
