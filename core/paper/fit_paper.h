/* The paper of a fit: what the log says of the sheet's numbers, what it cannot say and what would, and how sheet and
 * log compare before and after. */
#ifndef PW_PAPER_FIT_PAPER_H
#define PW_PAPER_FIT_PAPER_H

#include "paper/paper.h"
#include "study/fit.h"

/* "pump's head"; of an unknown that was asked for its path */
pw_fact pw_fit_unknown_fact(const pw_fit_unknown *unknown);
/* Why a number was refused, and what would tell it. */
pw_fact pw_fit_refusal_fact(pw_arena *arena, const pw_fit *fit, const pw_fit_unknown *unknown);

pw_status pw_paper_fit(pw_arena *arena, const pw_site *site, const pw_fit *fit, const pw_voice *voice,
                       pw_document **out);

#endif
