/* The paper of the worst that settings allow. */
#ifndef PW_PAPER_WORST_PAPER_H
#define PW_PAPER_WORST_PAPER_H

#include "control/worst.h"
#include "paper/paper.h"
#include "study/guarantee.h"

/* worsts: one for each of these pumps. */
pw_status pw_paper_worst(pw_arena *arena, const pw_plant *plant, const pw_worst *worsts, int32_t count,
                         const pw_voice *voice, pw_document **out);

/* The same in a line for each pump, for other papers. NULL: nothing. */
void worst_put_short(pw_document *document, const pw_voice *voice, const pw_guarantees *guarantees);

#endif
