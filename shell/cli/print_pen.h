/* One PDF being set: shared by the files that set it, and nobody else. Lengths in points. */
#ifndef PW_CLI_PRINT_PEN_H
#define PW_CLI_PRINT_PEN_H

#include <cairo-pdf.h>
#include <librsvg/rsvg.h>
#include <pango/pangocairo.h>
#include <stdbool.h>

#include "cli/print.h"

#define PEN_MARGIN 50.0
#define PEN_HEAD   26.0 /* height of what stands over and under the text */
#define PEN_TEXT   9.2  /* size of letters */
#define PEN_CELL   7.9
#define PEN_SMALL  7.2

typedef struct pen {
    cairo_surface_t *surface;
    cairo_t *cr;
    const pw_json *document;
    const pw_voice *voice;
    const char *identity;
    double width, height; /* of the sheet */
    double y;             /* where the next thing begins */
    double scale;         /* of letters: below 1 where something must fit on one sheet */
    int page, pages;      /* pages 0: not known yet */
    bool measures;        /* nothing is drawn; sheets are only counted */
    bool failed;
} pen;

typedef struct pen_colour {
    double red, green, blue;
} pen_colour;
extern const pen_colour pen_ink, pen_soft, pen_rule, pen_good, pen_bad, pen_caution;
const pen_colour *pen_tone(const pw_json *tone);
const char *pen_sign(const pw_json *tone); /* "" or a sign with a space behind it */

double pen_room(const pen *p); /* left on this sheet */
double pen_inner(const pen *p);
void pen_new_sheet(pen *p);
void pen_need(pen *p, double height); /* a new sheet when less is left */
void pen_use(pen *p, const pen_colour *colour);
void pen_line(pen *p, double x1, double y1, double x2, double y2, double width, const pen_colour *colour);

/* Letters of this size in a column; to be given back with g_object_unref. */
PangoLayout *pen_layout(pen *p, const char *words, double size, bool bold, double width);
double pen_height(PangoLayout *layout);
void pen_show(pen *p, PangoLayout *layout, double x, double y, const pen_colour *colour);
/* A paragraph from x on, over as many sheets as it takes. */
void pen_paragraph(pen *p, const char *words, double x, double size, bool bold, const pen_colour *colour);

const char *pen_text(const pw_json *object, const char *key);

void pen_table(pen *p, const pw_json *block);  /* print_table.c */
void pen_figure(pen *p, const pw_json *block); /* print_figure.c */
void pen_photo(pen *p, const pw_json *block);
void pen_code(pen *p, const char *words, double x, double y, double side);

#endif
