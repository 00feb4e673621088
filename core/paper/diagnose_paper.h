/* The paper of a diagnosis, and the facts that the door tells of it, too. */
#ifndef PW_PAPER_DIAGNOSE_PAPER_H
#define PW_PAPER_DIAGNOSE_PAPER_H

#include "paper/paper.h"
#include "study/diagnose.h"

/* "a slow leak of 0.8 to 1.4 L/min", "nothing is wrong" */
pw_fact pw_hypothesis_fact(pw_arena *arena, const pw_hypothesis *hypothesis);
/* What to do: "draw nothing for 8 h and count the starts" */
pw_fact pw_next_reading_fact(pw_arena *arena, const pw_plant *plant, const pw_next_reading *next);

/* What was read, what it speaks for, what it leaves open, the next reading with what each outcome means, cautions. */
pw_status pw_paper_diagnosis(pw_arena *arena, const pw_plant *plant, const pw_diagnosis *found, const pw_voice *voice,
                             pw_document **out);

#endif
