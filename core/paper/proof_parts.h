/* The parts of the proof paper, in the order in which they stand. Shared inside core/paper only. */
#ifndef PW_PAPER_PROOF_PARTS_H
#define PW_PAPER_PROOF_PARTS_H

#include "study/prove.h"
#include "study/prove_words.h"
#include "paper/document.h"
#include "say/say.h"

typedef struct proof_pen {
    pw_arena *arena;
    pw_document *document;
    const pw_proof *proof;
    const pw_voice *voice;
} proof_pen;

void proof_put_verdict(proof_pen *p); /* first of all */
void proof_put_faults(proof_pen *p);  /* at a glance, then one table for each kind */
void proof_put_extra(proof_pen *p);   /* other places and times, two at once; nothing when none were tried */
/* caption: id, "" none; the columns are copied */
pw_grid *proof_grid(proof_pen *p, const char *caption, const pw_column *columns, int32_t column_count, int32_t rows);
pw_tone proof_tone_of(pw_finding finding);
void proof_put_false_stops(proof_pen *p);
void proof_put_bands(proof_pen *p);  /* chart and words */
void proof_put_limits(proof_pen *p); /* closed form next to simulated */

#endif
