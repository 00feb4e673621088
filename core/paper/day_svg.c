/* The plots of a day as one SVG picture that stands by itself: its own colours, a title and a key over each strip. */
#include <string.h>

#include "base/num.h"
#include "paper/day_parts.h"
#include "paper/inside.h"
#include "paper/paper.h"
#include "paper/plot.h"
#include "paper/say.h"

#define MARGIN 20.0
#define TITLE  30.0 /* height of a strip's title */

static void put_number(pw_text *out, double value)
{
    char text[352];
    pw_text_put_n(out, text, pw_num_fixed(value, 1, text));
}

static void put_text(pw_text *out, double x, double y, const char *more, const char *words)
{
    pw_text_put(out, "<text x=\"");
    put_number(out, x);
    pw_text_put(out, "\" y=\"");
    put_number(out, y);
    pw_text_puts(out, "\" style=\"", more, "\">", NULL);
    pw_text_html(out, words);
    pw_text_put(out, "</text>\n");
}

/* Title of a strip and, where there are several lines, their names in their colours, in as many rows as that takes. */
static void put_title(pw_text *out, const pw_plot *plot, double *y)
{
    double x = MARGIN + 200.0;
    put_text(out, MARGIN, *y + 0.6 * TITLE, "font-weight:700", plot->title);
    for (int32_t i = 0; i < plot->series_count && plot->series_count > 1; i++) {
        pw_text colour;
        pw_text_init(&colour, out->arena);
        pw_text_puts(&colour, "fill:", svg_colours[plot->series[i].colour % PW_PLOT_COLOURS], NULL);
        const double wide = 9.4 * (double)paper_columns(plot->series[i].name);
        if (x + wide > MARGIN + (double)PW_PLOT_WIDE && x > MARGIN + 200.0) {
            x = MARGIN + 200.0;
            *y += 0.7 * TITLE;
        }
        put_text(out, x, *y + 0.6 * TITLE, colour.failed ? "" : colour.data, plot->series[i].name);
        x += wide + 24.0;
    }
    *y += TITLE;
}

static void put_strip(pw_text *out, const pw_plot *plot, int32_t number, double *y)
{
    pw_text drawing;
    pw_text_init(&drawing, out->arena);
    pw_plot_svg(plot, number, PW_PLOT_WIDE, &drawing);
    if (drawing.failed) {
        out->failed = true;
        return;
    }
    const double height = svg_height(drawing.data);
    put_title(out, plot, y);
    pw_text_put(out, "<svg x=\"");
    put_number(out, MARGIN);
    pw_text_put(out, "\" y=\"");
    put_number(out, *y);
    pw_text_put(out, "\" width=\"");
    put_number(out, (double)PW_PLOT_WIDE);
    pw_text_put(out, "\" height=\"");
    put_number(out, height);
    pw_text_puts(out, "\"", drawing.data + strlen("<svg"), "\n", NULL);
    *y += height + 8.0;
}

/* The site, and below it what happens. */
static void put_heading(pw_text *out, const char *site, const char *what)
{
    put_text(out, MARGIN, MARGIN + 8.0, "font-weight:700;font-size:19px", site);
    if (what[0] != '\0') {
        put_text(out, MARGIN, MARGIN + TITLE + 4.0, "font-size:18px", what);
    }
}

pw_status pw_paper_day_svg(pw_arena *arena, const pw_plant *plant, const pw_daybook *daybook, const char *what,
                           const pw_voice *voice, pw_text *out)
{
    pw_document *document = pw_document_new(arena, "", "", "");
    if (document == NULL) {
        return PW_MEMORY;
    }
    day_pen p = {arena, document, plant, daybook, voice->units, voice};
    if (daybook->sample_count > 1) {
        day_put_plots(&p);
    }
    if (document->failed) {
        return PW_MEMORY;
    }
    pw_text strips;
    pw_text_init(&strips, arena);
    double y = MARGIN + 2.0 * TITLE;
    int32_t number = 0;
    bool marked = false;
    pw_facts levels;
    pw_facts_init(&levels, arena);
    for (const pw_block *block = document->first; block != NULL; block = block->next) {
        if (block->kind == PW_BLOCK_PLOT) {
            number++;
            put_strip(&strips, block->plot, number, &y);
            marked = marked || plot_has_hatching(block->plot);
            for (int32_t i = 0; i < block->plot->level_count; i++) {
                pw_tell(&levels, "base.value", pw_named(block->plot->levels[i].words));
            }
        }
    }
    const char *key =
        say_fact(arena, voice,
                 pw_fact_of("day.key", pw_named(day_shading(&p)), marked ? pw_word("day.hatching") : pw_named("")));
    put_text(&strips, MARGIN, y + 8.0, "fill:#434a47", key != NULL ? key : "");
    if (levels.count > 0) {
        const char *dashed = say_fact(arena, voice, pw_fact_of("day.key-levels", pw_list(&levels, PW_JOIN_COMMA)));
        y += 22.0;
        put_text(&strips, MARGIN, y + 8.0, "fill:#434a47", dashed != NULL ? dashed : "");
    }
    const double width = (double)PW_PLOT_WIDE + 2.0 * MARGIN, height = y + MARGIN + 8.0;
    pw_text_put(out, "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"");
    put_number(out, width);
    pw_text_put(out, "\" height=\"");
    put_number(out, height);
    pw_text_put(out, "\" viewBox=\"0 0 ");
    put_number(out, width);
    pw_text_put(out, " ");
    put_number(out, height);
    pw_text_put(out, "\">\n");
    svg_put_style(out);
    pw_text_put(out, "<rect width=\"100%\" height=\"100%\" fill=\"#fbfaf5\"/>\n");
    put_heading(out, plant->site->name, what);
    pw_text_puts(out, strips.failed ? "" : strips.data, "</svg>\n", NULL);
    return strips.failed || out->failed ? PW_MEMORY : PW_OK;
}
