/* The parts of the hand-over, in the order in which they stand. Shared inside core/paper only. */
#ifndef PW_PAPER_HANDOVER_PARTS_H
#define PW_PAPER_HANDOVER_PARTS_H

#include "paper/handover.h"

typedef struct handover_pen {
    pw_arena *arena;
    pw_document *document;
    const pw_voice *voice;
    const pw_handover *job;
    const pw_plant *plant;
} handover_pen;

/* section_svg.c: the site from the side, levels to scale, places numbered as in the sheet. width as for plots. */
void section_svg(const pw_site *site, const pw_voice *voice, int32_t number, int32_t width, pw_text *out);

/* Of the short paper each part puts only what is for everybody. */
void handover_put_who(handover_pen *p);       /* whom it is for, where, by whom, when */
void handover_put_section(handover_pen *p);   /* drawing, places with their levels, lines, equipment */
void handover_put_chart(handover_pen *p);     /* duty and NPSH */
void handover_put_settings(handover_pen *p);  /* as found, as left; each number with its tolerance and how to read it */
void handover_put_narrative(handover_pen *p); /* what the control does, in sentences */
void handover_put_matrix(handover_pen *p);    /* causes and effects */
void handover_put_proof(handover_pen *p);     /* what the settings catch, and blind bands */
void handover_put_tests(handover_pen *p);     /* commissioning: expected and measured */
void handover_put_owner(handover_pen *p);     /* one side for the owner */
void handover_put_photos(handover_pen *p);
void handover_put_assumed(handover_pen *p); /* what nobody measured */
void handover_put_cautions(handover_pen *p);
void handover_put_signatures(handover_pen *p);

/* Small builders. */
const char *handover_word(const handover_pen *p, const char *id);
const char *handover_say(const handover_pen *p, pw_fact fact);
/* columns: end with a NULL id */
typedef struct handover_column {
    const char *id; /* of its title */
    bool number;
} handover_column;
pw_grid *handover_grid(handover_pen *p, const char *caption, const handover_column *columns, int32_t rows);
void handover_cell(handover_pen *p, pw_grid *grid, int32_t row, int32_t column, const char *words);

#endif
