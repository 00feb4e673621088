/* The parts of the day book's paper. Shared inside core/paper only. */
#ifndef PW_PAPER_DAY_PARTS_H
#define PW_PAPER_DAY_PARTS_H

#include "base/units.h"
#include "paper/document.h"
#include "run/run.h"

typedef struct day_pen {
    pw_arena *arena;
    pw_document *document;
    const pw_plant *plant;
    const pw_daybook *book;
    const pw_units *units;
} day_pen;

/* A quantity in words; "" and a failed document without memory. */
const char *day_words(day_pen *p, pw_dimension dimension, double si);
/* Strips under each other: pressure, flow, depth of the first tank, water over the first bore's intake, winding. There
 * must be two samples or more. */
void day_put_plots(day_pen *p);

#endif
