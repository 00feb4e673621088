/* Tables on sheets of paper. */
#include "cli/print.h"

#include "cli/print.h"

#ifdef PW_HAS_PRINT

#include "cli/print_pen.h"

#include <string.h>

enum { MOST_COLUMNS = 16 };
#define GAP           7.0
#define MOST_UNBROKEN 130.0

typedef struct columns {
    int count;
    bool number[MOST_COLUMNS];
    double width[MOST_COLUMNS], wish[MOST_COLUMNS], least[MOST_COLUMNS];
} columns;

/* Width of words in one line, and of their longest word. */
static void measure(pen *p, const char *words, double size, bool bold, double *wish, double *least)
{
    PangoLayout *layout = pen_layout(p, words, size, bold, -1.0);
    int width = 0, height = 0;
    pango_layout_get_size(layout, &width, &height);
    const double wide = (double)width / PANGO_SCALE;
    *wish = wide > *wish ? wide : *wish;
    for (const char *at = words; *at != 0;) {
        const size_t length = strcspn(at, " \n");
        pango_layout_set_text(layout, at, (int)length);
        pango_layout_get_size(layout, &width, &height);
        const double word = (double)width / PANGO_SCALE;
        *least = word > *least ? word : *least;
        at += length + (at[length] != 0 ? 1 : 0);
    }
    g_object_unref(layout);
}

/* Every column gets its longest word; what is left goes to those that wish for more, by how much they do. */
static void share_width(columns *c, double whole)
{
    double least = 0.0, more = 0.0;
    for (int i = 0; i < c->count; i++) {
        least += c->least[i] + GAP;
        more += c->wish[i] - c->least[i];
    }
    const double room = whole - least;
    for (int i = 0; i < c->count; i++) {
        const double part = more > 0.0 ? (c->wish[i] - c->least[i]) / more : 1.0 / c->count;
        c->width[i] = room >= 0.0 ? c->least[i] + (more > room ? room * part : c->wish[i] - c->least[i])
                                  : c->least[i] * (whole - GAP * c->count) / (least - GAP * c->count);
    }
    double sum = 0.0;
    int wordy = 0;
    for (int i = 0; i < c->count; i++) {
        sum += c->width[i] + GAP;
        wordy += c->number[i] ? 0 : 1;
    }
    for (int i = 0; i < c->count && sum < whole && wordy > 0; i++) { /* the rest to columns of words */
        c->width[i] += c->number[i] ? 0.0 : (whole - sum) / wordy;
    }
}

static void title_of(const pw_json *column, char *out, size_t size)
{
    const char *unit = pen_text(column, "unit");
    snprintf(out, size, "%s%s%s", pen_text(column, "title"), unit[0] ? ", " : "", unit);
}

static void find_columns(pen *p, const pw_json *block, columns *c)
{
    char title[256];
    const pw_json *list = pw_json_get(block, "columns"), *rows = pw_json_get(block, "rows");
    for (const pw_json *column = list ? list->first : NULL; column && c->count < MOST_COLUMNS; column = column->next) {
        const pw_json *number = pw_json_get(column, "number");
        c->number[c->count] = number && number->truth;
        title_of(column, title, sizeof title);
        measure(p, title, PEN_SMALL, true, &c->wish[c->count], &c->least[c->count]);
        c->count++;
    }
    for (const pw_json *row = rows ? rows->first : NULL; row; row = row->next) {
        int i = 0;
        for (const pw_json *cell = row->first; cell && i < c->count; cell = cell->next, i++) {
            char words[1024];
            snprintf(words, sizeof words, "%s%s", pen_sign(pw_json_get(cell, "tone")), pen_text(cell, "words"));
            measure(p, words, PEN_CELL, i == 0, &c->wish[i], &c->least[i]);
            if (c->number[i] && c->least[i] < c->wish[i] && c->wish[i] < MOST_UNBROKEN) { /* a number keeps its unit */
                c->least[i] = c->wish[i];
            }
        }
    }
    share_width(c, pen_inner(p));
}

static void put_cell(pen *p, const columns *c, int i, const char *words, double size, bool bold, double y,
                     const pen_colour *colour, double *height)
{
    double x = PEN_MARGIN;
    for (int k = 0; k < i; k++) {
        x += c->width[k] + GAP;
    }
    PangoLayout *layout = pen_layout(p, words, size, bold, c->width[i]);
    if (c->number[i]) {
        pango_layout_set_alignment(layout, PANGO_ALIGN_RIGHT);
    }
    const double high = pen_height(layout);
    *height = high > *height ? high : *height;
    if (colour) {
        pen_show(p, layout, x, y, colour);
    }
    g_object_unref(layout);
}

/* draw false: only its height. */
static double put_head(pen *p, const pw_json *block, const columns *c, bool draw)
{
    char title[256];
    double height = 0.0;
    int i = 0;
    const pw_json *list = pw_json_get(block, "columns");
    for (const pw_json *column = list ? list->first : NULL; column && i < c->count; column = column->next, i++) {
        title_of(column, title, sizeof title);
        put_cell(p, c, i, title, PEN_SMALL, true, p->y + 2.0, draw ? &pen_soft : NULL, &height);
    }
    if (draw) {
        pen_line(p, PEN_MARGIN, p->y, p->width - PEN_MARGIN, p->y, 1.2, &pen_ink);
        pen_line(p, PEN_MARGIN, p->y + height + 5.0, p->width - PEN_MARGIN, p->y + height + 5.0, 0.5, &pen_rule);
        p->y += height + 6.0;
    }
    return height + 6.0;
}

static double put_row(pen *p, const pw_json *row, const columns *c, bool draw)
{
    char words[1024];
    double height = 0.0;
    int i = 0;
    for (const pw_json *cell = row->first; cell && i < c->count; cell = cell->next, i++) {
        const pw_json *tone = pw_json_get(cell, "tone");
        snprintf(words, sizeof words, "%s%s", pen_sign(tone), pen_text(cell, "words"));
        put_cell(p, c, i, words, PEN_CELL, i == 0, p->y + 2.5, draw ? pen_tone(tone) : NULL, &height);
    }
    if (draw) {
        p->y += height + 6.0;
        pen_line(p, PEN_MARGIN, p->y, p->width - PEN_MARGIN, p->y, 0.3, &pen_rule);
    }
    return height + 6.0;
}

void pen_table(pen *p, const pw_json *block)
{
    columns c = {0};
    const pw_json *rows = pw_json_get(block, "rows");
    find_columns(p, block, &c);
    if (c.count == 0) {
        return;
    }
    const double head = put_head(p, block, &c, false);
    const double first = rows && rows->first ? put_row(p, rows->first, &c, false) : 0.0;
    const char *caption = pen_text(block, "title");
    double whole = head + (caption[0] ? 16.0 : 0.0) + 8.0;
    for (const pw_json *row = rows ? rows->first : NULL; row; row = row->next) {
        whole += put_row(p, row, &c, false);
    }
    const bool kept = whole < 0.4 * p->height; /* a small table is not torn apart */
    pen_need(p, kept ? whole : head + first + (caption[0] ? 16.0 : 0.0) + 8.0);
    p->y += 3.0;
    if (caption[0]) {
        pen_paragraph(p, caption, PEN_MARGIN, PEN_CELL, false, &pen_soft);
    }
    put_head(p, block, &c, true);
    for (const pw_json *row = rows ? rows->first : NULL; row; row = row->next) {
        if (put_row(p, row, &c, false) > pen_room(p)) {
            pen_new_sheet(p);
            put_head(p, block, &c, true);
        }
        put_row(p, row, &c, true);
    }
    p->y += 8.0;
}

#endif
