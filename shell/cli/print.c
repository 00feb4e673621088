/* Sheets of paper from a document: blocks in their order, a new sheet where one is full. Everything is set twice: first
 * to count the sheets, then with "3 of 9" on each. */
#include "cli/print.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#ifdef PW_HAS_PRINT

#include "cli/archive.h"
#include "cli/print_pen.h"

#include "base/fact.h"
#include "cli/voice.h"

/* The paper's light colours (core/paper/style.c). */
const pen_colour pen_ink = {0.11, 0.14, 0.13}, pen_soft = {0.26, 0.29, 0.28}, pen_rule = {0.55, 0.56, 0.53},
                 pen_good = {0.08, 0.32, 0.18}, pen_bad = {0.55, 0.08, 0.08}, pen_caution = {0.39, 0.23, 0.0};

static const struct {
    const char *id, *sign;
    const pen_colour *colour;
} tones[] = {{"good", "\xE2\x9C\x93 ", &pen_good},
             {"bad", "\xE2\x9C\x95 ", &pen_bad},
             {"caution", "\xE2\x96\xB2 ", &pen_caution},
             {"muted", "", &pen_soft},
             {"plain", "", &pen_ink}};
enum { TONES = sizeof tones / sizeof tones[0] };

static int find_tone(const pw_json *tone)
{
    int found = TONES - 1;
    for (int i = 0; i < TONES && tone && tone->kind == PW_JSON_STRING; i++) {
        found = strcmp(tones[i].id, tone->string) == 0 ? i : found;
    }
    return found;
}

const pen_colour *pen_tone(const pw_json *tone)
{
    return tones[find_tone(tone)].colour;
}

const char *pen_sign(const pw_json *tone)
{
    return tones[find_tone(tone)].sign;
}

const char *pen_text(const pw_json *object, const char *key)
{
    const pw_json *value = pw_json_get(object, key);
    return value && value->kind == PW_JSON_STRING ? value->string : "";
}

double pen_inner(const pen *p)
{
    return p->width - 2.0 * PEN_MARGIN;
}

double pen_room(const pen *p)
{
    return p->height - PEN_MARGIN - PEN_HEAD - p->y;
}

void pen_use(pen *p, const pen_colour *colour)
{
    cairo_set_source_rgb(p->cr, colour->red, colour->green, colour->blue);
}

void pen_line(pen *p, double x1, double y1, double x2, double y2, double width, const pen_colour *colour)
{
    if (p->measures) {
        return;
    }
    pen_use(p, colour);
    cairo_set_line_width(p->cr, width);
    cairo_move_to(p->cr, x1, y1);
    cairo_line_to(p->cr, x2, y2);
    cairo_stroke(p->cr);
}

PangoLayout *pen_layout(pen *p, const char *words, double size, bool bold, double width)
{
    PangoLayout *layout = pango_cairo_create_layout(p->cr);
    PangoFontDescription *font = pango_font_description_from_string("DejaVu Sans, Noto Sans, sans-serif");
    pango_font_description_set_absolute_size(font, size * p->scale * PANGO_SCALE);
    pango_font_description_set_weight(font, bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_layout_set_font_description(layout, font);
    pango_font_description_free(font);
    pango_layout_set_text(layout, words, -1);
    pango_layout_set_spacing(layout, (int)(0.12 * size * p->scale * PANGO_SCALE));
    if (width >= 0.0) {
        pango_layout_set_width(layout, (int)(width * PANGO_SCALE));
        pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    }
    return layout;
}

double pen_height(PangoLayout *layout)
{
    int width = 0, height = 0;
    pango_layout_get_size(layout, &width, &height);
    return (double)height / PANGO_SCALE;
}

void pen_show(pen *p, PangoLayout *layout, double x, double y, const pen_colour *colour)
{
    if (p->measures) {
        return;
    }
    pen_use(p, colour);
    cairo_move_to(p->cr, x, y);
    pango_cairo_show_layout(p->cr, layout);
}

static void put_line(pen *p, const char *words, double x, double y, double size, int from_right)
{
    PangoLayout *layout = pen_layout(p, words, size, false, -1.0);
    int width = 0, height = 0;
    pango_layout_get_size(layout, &width, &height);
    pen_show(p, layout, from_right ? x - (double)width / PANGO_SCALE : x, y, &pen_soft);
    g_object_unref(layout);
}

/* What stands over and under the text of each sheet. */
static void put_margins(pen *p)
{
    char title[512];
    const double scale = p->scale, right = p->width - PEN_MARGIN, foot = p->height - PEN_MARGIN - 10.0;
    p->scale = 1.0;
    const char *mark = pen_text(p->document, "mark");
    snprintf(title, sizeof title, "%s: %s%s%s%s", pen_text(p->document, "title"), pen_text(p->document, "subject"),
             mark[0] ? "  [" : "", mark, mark[0] ? "]" : "");
    put_line(p, title, PEN_MARGIN, PEN_MARGIN - 14.0, PEN_SMALL, 0);
    const pw_fact number = pw_fact_of("cli.sheet-of", pw_count(p->page), pw_count(p->pages));
    put_line(p, cli_words(number), right, foot, PEN_SMALL, 1);
    put_line(p, p->identity, PEN_MARGIN, foot, PEN_SMALL, 0);
    pen_line(p, PEN_MARGIN, foot - 4.0, right, foot - 4.0, 0.5, &pen_rule);
    p->scale = scale;
}

void pen_new_sheet(pen *p)
{
    if (p->page > 0 && !p->measures) {
        cairo_show_page(p->cr);
    }
    p->page++;
    p->y = PEN_MARGIN;
    if (!p->measures) {
        put_margins(p);
    }
}

void pen_need(pen *p, double height)
{
    if (pen_room(p) < height && p->y > PEN_MARGIN) {
        pen_new_sheet(p);
    }
}

void pen_paragraph(pen *p, const char *words, double x, double size, bool bold, const pen_colour *colour)
{
    PangoLayout *layout = pen_layout(p, words, size, bold, p->width - PEN_MARGIN - x);
    const double line = 1.35 * size * p->scale;
    for (int i = 0; i < pango_layout_get_line_count(layout); i++) {
        PangoRectangle box;
        PangoLayoutLine *at = pango_layout_get_line_readonly(layout, i);
        pango_layout_line_get_extents(at, NULL, &box);
        if (line > pen_room(p)) {
            pen_new_sheet(p);
        }
        if (!p->measures) {
            pen_use(p, colour);
            cairo_move_to(p->cr, x, p->y + (double)PANGO_ASCENT(box) / PANGO_SCALE);
            pango_cairo_show_layout_line(p->cr, at);
        }
        p->y += line;
    }
    p->y += 0.35 * size * p->scale;
    g_object_unref(layout);
}

static void put_heading(pen *p, const pw_json *block)
{
    const pw_json *level = pw_json_get(block, "level");
    const bool first = !level || level->number <= 2;
    const char *words = pen_text(block, "words");
    pen_need(p, first ? 90.0 : 60.0);
    p->y += p->y > PEN_MARGIN + 1.0 ? (first ? 10.0 : 5.0) : 0.0;
    if (first && !p->measures && p->pages > 0) {
        char where[80];
        snprintf(where, sizeof where, "page=%d pos=[%d %d]", p->page, (int)PEN_MARGIN, (int)p->y);
        cairo_pdf_surface_add_outline(p->surface, CAIRO_PDF_OUTLINE_ROOT, words, where, 0);
    }
    pen_paragraph(p, words, PEN_MARGIN, first ? 13.0 : 10.0, true, &pen_ink);
}

static void put_note(pen *p, const pw_json *block)
{
    char words[4096];
    const pw_json *tone = pw_json_get(block, "tone");
    snprintf(words, sizeof words, "%s%s", pen_sign(tone), pen_text(block, "words"));
    pen_need(p, 3.0 * PEN_TEXT);
    const double top = p->y;
    const int sheet = p->page;
    pen_paragraph(p, words, PEN_MARGIN + 10.0, PEN_TEXT, false, &pen_ink);
    if (p->page == sheet) {
        pen_line(p, PEN_MARGIN + 2.0, top, PEN_MARGIN + 2.0, p->y - 2.0, 3.0, pen_tone(tone));
    }
    p->y += 3.0;
}

static void put_list(pen *p, const pw_json *block, bool numbered)
{
    const pw_json *lines = pw_json_get(block, "lines");
    int number = 1;
    for (const pw_json *line = lines ? lines->first : NULL; line; line = line->next, number++) {
        char mark[16];
        snprintf(mark, sizeof mark, numbered ? "%d" : "\xE2\x80\xA2", number);
        pen_need(p, 2.7 * PEN_TEXT * p->scale);
        put_line(p, mark, PEN_MARGIN + 12.0, p->y, PEN_TEXT, 1);
        pen_paragraph(p, line->string, PEN_MARGIN + 18.0, PEN_TEXT, false, &pen_ink);
    }
}

static void put_facts(pen *p, const pw_json *block)
{
    const pw_json *lines = pw_json_get(block, "lines");
    for (const pw_json *name = lines ? lines->first : NULL; name && name->next; name = name->next->next) {
        pen_need(p, 2.7 * PEN_TEXT * p->scale);
        put_line(p, name->string, PEN_MARGIN, p->y, PEN_CELL, 0);
        pen_paragraph(p, name->next->string, PEN_MARGIN + 110.0, PEN_TEXT, false, &pen_ink);
    }
    p->y += 4.0;
}

static void put_block(pen *p, const pw_json *block)
{
    const char *kind = pen_text(block, "kind");
    const pw_json *tone = pw_json_get(block, "tone");
    if (strcmp(kind, "heading") == 0) {
        put_heading(p, block);
    } else if (strcmp(kind, "lead") == 0) {
        pen_paragraph(p, pen_text(block, "words"), PEN_MARGIN, 11.0, false, &pen_ink);
    } else if (strcmp(kind, "note") == 0) {
        put_note(p, block);
    } else if (strcmp(kind, "list") == 0 || strcmp(kind, "steps") == 0) {
        put_list(p, block, kind[0] == 's');
    } else if (strcmp(kind, "facts") == 0) {
        put_facts(p, block);
    } else if (strcmp(kind, "table") == 0) {
        pen_table(p, block);
    } else if (strcmp(kind, "figure") == 0) {
        pen_figure(p, block);
    } else if (strcmp(kind, "photo") == 0) {
        pen_photo(p, block);
    } else {
        pen_paragraph(p, pen_text(block, "words"), PEN_MARGIN, PEN_TEXT, false, pen_tone(tone));
    }
}

static bool is_page(const pw_json *block)
{
    return strcmp(pen_text(block, "kind"), "page") == 0;
}

static void put_section(pen *p, const pw_json *block)
{
    for (; block && !is_page(block); block = block->next) {
        put_block(p, block);
    }
}

/* The largest letters with which all up to the next sheet fits on one: 1.4 to 0.6 of the usual ones. */
static double fitting(const pen *p, const pw_json *block)
{
    double scale = 1.4;
    for (; scale > 0.6; scale -= 0.04) {
        pen trial = *p;
        trial.measures = true;
        trial.scale = scale;
        trial.page = 1;
        trial.y = PEN_MARGIN;
        put_section(&trial, block);
        if (trial.page == 1) {
            break;
        }
    }
    return scale;
}

/* The head of the first sheet, with the code on the right. */
static void put_title(pen *p)
{
    const double side = 74.0, right = p->width;
    pen_code(p, p->identity, p->width - PEN_MARGIN - side + 6.0, PEN_MARGIN - 6.0, side);
    p->width -= side; /* the title keeps clear of it */
    pen_paragraph(p, pen_text(p->document, "title"), PEN_MARGIN, 11.0, false, &pen_soft);
    pen_paragraph(p, pen_text(p->document, "subject"), PEN_MARGIN, 20.0, true, &pen_ink);
    pen_paragraph(p, pen_text(p->document, "mark"), PEN_MARGIN, 10.0, true, &pen_bad);
    p->width = right;
    p->y = p->y > PEN_MARGIN + side ? p->y : PEN_MARGIN + side;
    pen_line(p, PEN_MARGIN, p->y, p->width - PEN_MARGIN, p->y, 2.0, &pen_ink);
    p->y += 8.0;
}

static void put_all(pen *p)
{
    const pw_json *blocks = pw_json_get(p->document, "blocks");
    pen_new_sheet(p);
    put_title(p);
    for (const pw_json *block = blocks ? blocks->first : NULL; block; block = block->next) {
        if (!is_page(block)) {
            put_block(p, block);
            continue;
        }
        p->scale = pen_text(block, "words")[0] ? fitting(p, block->next) : 1.0;
        if (p->y > PEN_MARGIN) {
            pen_new_sheet(p);
        }
    }
    if (!p->measures) {
        cairo_show_page(p->cr);
    }
}

typedef struct bytes {
    char *data;
    size_t length, room;
} bytes;

static cairo_status_t take(void *closure, const unsigned char *data, unsigned int length)
{
    bytes *to = closure;
    if (to->length + length > to->room) {
        const size_t room = 2 * (to->length + length);
        char *larger = realloc(to->data, room);
        if (!larger) {
            return CAIRO_STATUS_NO_MEMORY;
        }
        to->data = larger;
        to->room = room;
    }
    memcpy(to->data + to->length, data, length);
    to->length += length;
    return CAIRO_STATUS_SUCCESS;
}

static void name_it(cairo_surface_t *surface, const pw_json *document, const char *identity, const char *author)
{
    char title[512];
    snprintf(title, sizeof title, "%s: %s", pen_text(document, "title"), pen_text(document, "subject"));
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, title);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_SUBJECT, identity);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "pumpwright");
    if (author[0]) {
        cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_AUTHOR, author);
    }
}

char *cli_print(const pw_json *document, cli_paper paper, const char *identity, const char *author,
                const pw_voice *voice, size_t *length, const char **why)
{
    /* ISO 216 A4 and ANSI Letter, in points */
    const double width = paper == CLI_PAPER_LETTER ? 612.0 : 595.276,
                 height = paper == CLI_PAPER_LETTER ? 792.0 : 841.89;
    bytes file = {NULL, 0, 0};
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(take, &file, width, height);
    pen p = {.surface = surface,
             .cr = cairo_create(surface),
             .document = document,
             .voice = voice,
             .identity = identity,
             .width = width,
             .height = height,
             .scale = 1.0,
             .measures = true};
    name_it(surface, document, identity, author);
    put_all(&p);
    p.pages = p.page;
    p.page = 0;
    p.scale = 1.0;
    p.measures = false;
    put_all(&p);
    cairo_destroy(p.cr);
    cairo_surface_finish(surface);
    const bool good = cairo_surface_status(surface) == CAIRO_STATUS_SUCCESS && !p.failed && p.page == p.pages;
    cairo_surface_destroy(surface);
    char *out = good ? cli_archive(file.data, file.length, pen_text(document, "language"), length) : NULL;
    free(file.data);
    if (!out) {
        *why = "cli.no-sheets";
    }
    return out;
}

#else

char *cli_print(const pw_json *document, cli_paper paper, const char *identity, const char *author,
                const pw_voice *voice, size_t *length, const char **why)
{
    (void)document, (void)paper, (void)identity, (void)author, (void)voice;
    *length = 0;
    *why = "cli.built-without-print";
    return NULL;
}

#endif
