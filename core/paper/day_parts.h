/* The parts of the day book's paper. Shared inside core/paper only. */
#ifndef PW_PAPER_DAY_PARTS_H
#define PW_PAPER_DAY_PARTS_H

#include "base/units.h"
#include "paper/document.h"
#include "paper/plot.h"
#include "sim/run.h"
#include "say/say.h"

typedef struct day_pen {
    pw_arena *arena;
    pw_document *document;
    const pw_plant *plant;
    const pw_daybook *book;
    const pw_units *units;
    const pw_voice *voice;
} day_pen;

/* A quantity in words; "" and a failed document without memory. */
const char *day_words(day_pen *p, pw_dimension dimension, double si);
/* "pump runs", or "a pump runs" where there are several. */
const char *day_shading(day_pen *p);
/* What a curve shows: a column of the day book's rows, or one of these. */
enum { DAY_PRESSURE = -1, DAY_DRAWN = -2, DAY_PUMPED = -3 /* by all pumps together */ };

/* In the shown units, over seconds; low and high are its least and largest value. x NULL: no memory. */
typedef struct day_curve {
    const double *x, *y;
    double low, high;
} day_curve;

double day_value(const day_pen *p, int32_t sample, int32_t what); /* SI */
day_curve day_make_curve(day_pen *p, int32_t what, pw_dimension dimension);
pw_series day_line(const day_pen *p, const day_curve *c, const char *name, int32_t colour, bool step);
/* y: its title, unit, and what it must span. NULL without memory. */
pw_plot *day_new_strip(day_pen *p, const char *title, const char *words, pw_axis y, int32_t series_count);
/* Shade it where a pump runs (with rows: each in its own row), mark faults, and put it into the document. */
void day_put_strip(day_pen *p, pw_plot *plot, const pw_series *series);

/* Strips under each other: pressure, flow, which of several pumps runs, depth of each tank, water over each bore's
 * intake, windings, and the water inside pumps where it warmed. There must be two samples or more. */
void day_put_plots(day_pen *p);

#endif
