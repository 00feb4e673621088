/* The paper of a sizing: in short, or line by line as a calculation sheet.
 */
#ifndef PW_PAPER_SIZE_PAPER_H
#define PW_PAPER_SIZE_PAPER_H

#include "paper/document.h"
#include "say/say.h"
#include "study/size_choose.h"
#include "study/size.h"

/* choice may be NULL. explain: the calculation sheet. PW_OK or PW_MEMORY; inputs must outlive the document. */
pw_status pw_paper_size(pw_arena *arena, const pw_sizings *all, const pw_choice *choice, bool explain,
                        const pw_voice *voice, pw_document **out);

#endif
