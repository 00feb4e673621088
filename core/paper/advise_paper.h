/* The paper of advice: what to type, why, what it costs, what stays blind. */
#ifndef PW_PAPER_ADVISE_PAPER_H
#define PW_PAPER_ADVISE_PAPER_H

#include "paper/document.h"
#include "say/say.h"
#include "study/advise.h"

pw_status pw_paper_advice(pw_arena *arena, const pw_advice *advice, const pw_voice *voice, pw_document **out);

#endif
