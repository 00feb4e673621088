/* What is wrong with an input, in words. */
#ifndef PW_SAY_PROBLEM_H
#define PW_SAY_PROBLEM_H

#include "base/status.h"
#include "say/say.h"

/* Id of what sort of wrong it is; of a warning that something does not go well together, a milder one. */
const char *pw_problem_message(const pw_problem *problem);
/* A remark in words; nothing where nothing was remarked. */
void pw_say_remark(pw_text *text, const pw_voice *voice, const pw_remark *remark);
/* What stood there, with the place of it when that is another file: "flow.csv, line 3, column 7: abc". */
void pw_say_found(pw_text *text, const pw_voice *voice, const pw_problem *problem);
/* Whole sentences: "At site.pumps[0].speed: this value is outside what is possible; found 7, expected 0.2 to 1.5. Did
 * you mean ...?" */
void pw_say_problem(pw_text *text, const pw_voice *voice, const pw_problem *problem);

#endif
