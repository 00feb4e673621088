/* Plot: lines and points over one axis each, as data; drawn as SVG (two sizes: for wide and for narrow pages) or with
 * characters. Series differ by mark as well as by colour. Labels that would overlap are moved or left out; whatever is
 * left out stands in the key below the plot, so nothing is lost.
 */
#ifndef PW_PAPER_PLOT_H
#define PW_PAPER_PLOT_H

#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/text.h"

typedef enum pw_axis_kind {
    PW_AXIS_LINEAR,
    PW_AXIS_LOG,  /* low and high > 0 */
    PW_AXIS_CLOCK /* values in seconds since midnight of the first day, ticks as days and times of day */
} pw_axis_kind;

typedef struct pw_axis {
    const char *title; /* "leak" */
    const char *unit;  /* "L/min", "" none */
    pw_axis_kind kind;
    double low, high; /* in the shown unit; low < high */
} pw_axis;

typedef enum pw_mark {
    PW_MARK_NONE,
    PW_MARK_DOT,
    PW_MARK_SQUARE,
    PW_MARK_TRIANGLE,
    PW_MARK_DIAMOND,
    PW_MARK_CROSS,
    PW_MARK_RING,
    PW_MARK_PLUS,
    PW_MARK_COUNT
} pw_mark;

enum { PW_PLOT_COLOURS = 6 }; /* colour 0 .. 5 */

typedef struct pw_series {
    const char *name; /* full name, for the key */
    const char *tag;  /* short name, drawn at the points; "" none */
    int32_t count;
    const double *x, *y; /* in the shown units; values outside the axes are clamped to them */
    bool line;           /* joined by a line */
    bool step;           /* the line holds its value until the next point */
    pw_mark mark;        /* NONE: no marks */
    int32_t colour;
} pw_series;

/* A range of x: hatched with words (a blind band), or lightly shaded (the pump runs), or a bar in a row. */
typedef struct pw_span {
    double from, to;
    const char *words; /* "" none */
    bool hatched;
    int32_t row; /* in a plot of rows, when not hatched: the row in which it is a bar */
} pw_span;

/* A horizontal line with words (cut-in, cut-out). */
typedef struct pw_level {
    double y;
    const char *words;
} pw_level;

typedef struct pw_plot {
    const char *title; /* figure caption */
    const char *words; /* what it shows, for those who cannot see it; whole sentences */
    pw_axis x, y;
    int32_t series_count, span_count, level_count;
    const pw_series *series;
    const pw_span *spans;
    const pw_level *levels;
    const char *shading;    /* what the lightly shaded spans mean, for the key; "" none */
    const char *hatching;   /* likewise of the hatched spans */
    bool filled;            /* the space between two lines is shaded ... */
    int32_t fill_a, fill_b; /* ... these series, both with rising x */
    bool small;             /* flat: for strips that stand under each other */
    int32_t row_count;      /* instead of series and a y axis: rows of bars, each under its name; 0: no */
    const char *const *rows;
    const struct pw_voice *voice; /* of its numbers and days; NULL: English */
} pw_plot;

/* Widths in CSS pixels at which the two drawings are made; text is 16 px in both. */
enum { PW_PLOT_WIDE = 760, PW_PLOT_NARROW = 328 };

/* One <svg> element. number makes its ids unique in the page. */
void pw_plot_svg(const pw_plot *plot, int32_t number, int32_t width, pw_text *out);
/* Characters; lines of at most `width` columns. */
void pw_plot_text(const pw_plot *plot, pw_arena *arena, int32_t width, pw_text *out);

/* Round steps for an axis: 1, 2, 5 times a power of ten; for clocks 1, 2, 5, 10, 15, 30 min, 1, 2, 3, 6, 12 h, days.
 * Writes at most capacity tick values inside [low, high]; returns how many. most: no more than this many are wanted. */
int32_t pw_plot_ticks(const pw_axis *axis, int32_t most, double *out, int32_t capacity);

#endif
