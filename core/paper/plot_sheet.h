/* One plot being drawn as SVG: shared by the files that draw it, inside core/paper only. */
#ifndef PW_PAPER_PLOT_SHEET_H
#define PW_PAPER_PLOT_SHEET_H

#include "paper/inside.h"

/* 16 px letters of a sans-serif: 0.6 em covers the mean width of digits and lower case with room to spare. */
#define LETTER_PX 9.4
#define LINE_PX   20.0
#define ROW_PX    42.0 /* a row's name and its bar */
enum { MAX_BOXES = 256, MAX_TICKS = 24, MAX_TITLE_LINES = 3 };

typedef struct box {
    double left, top, right, bottom;
} box;

typedef struct sheet {
    const pw_plot *plot;
    pw_text *out;
    int32_t number;
    double width, height, left, top, right, bottom; /* of the field between the axes */
    int32_t box_count;
    box boxes[MAX_BOXES];
} sheet;

void plot_px(pw_text *out, double value); /* a length, to a tenth of a pixel */
void plot_line(pw_text *out, const char *class, double x1, double y1, double x2, double y2);
/* anchor: "start", "middle", "end"; y is the baseline */
void plot_words(pw_text *out, const char *class, const char *anchor, double x, double y, const char *words);
void plot_attribute(pw_text *out, const char *name, double value);
/* Labels are boxes that do not touch: is this place free, take it, write words there when it is. */
bool plot_is_free(const sheet *s, box b);
void plot_take_box(sheet *s, box b);
bool plot_try_words(sheet *s, const char *class, const char *anchor, double x, double y, const char *words);
double plot_x(const sheet *s, double value);
double plot_y(const sheet *s, double value);

/* plot_areas.c: what lies behind the curves, and the words of bands, which come after them. */
void plot_put_shading(sheet *s);
void plot_put_fill(sheet *s);
void plot_put_hatching(sheet *s);
void plot_put_rows(sheet *s);
void plot_put_band_words(sheet *s);

#endif
