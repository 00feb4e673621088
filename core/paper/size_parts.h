/* Shared by the files of the sizing paper only. */
#ifndef PW_PAPER_SIZE_PARTS_H
#define PW_PAPER_SIZE_PARTS_H

#include "paper/say.h"
#include "paper/size_paper.h"

typedef struct size_pen {
    pw_arena *arena;
    pw_document *document;
    const pw_sizing *sizing;
    const pw_choice *choice; /* may be NULL */
    const pw_voice *voice;
    const pw_units *units; /* of the voice */
} size_pen;

/* Value of a line with its unit; "no limit" when it has none. */
const char *size_value(const size_pen *p, const pw_size_line *line);
/* A head in m or ft; "-" when there is none. */
const char *size_head_words(const size_pen *p, double head_m);
/* "10 % more friction: +1.2 m", "" when nothing moves it. */
const char *size_most(const size_pen *p, const pw_size_line *line);
/* A fact in words; the document fails when there is no memory for it. */
const char *size_words(const size_pen *p, pw_fact fact);
const char *size_amount(const size_pen *p, pw_dimension dimension, double si);
static inline const char *word(const size_pen *p, const char *id)
{
    return pw_say_word(p->voice, id);
}

void size_put_chart(size_pen *p);  /* pump's curve against the system */
void size_put_tables(size_pen *p); /* pipes, duties, NPSH, charge, cables */
void size_put_choice(size_pen *p); /* the catalogue */
void size_put_sheet(size_pen *p);  /* every line with its formula and source */

#endif
