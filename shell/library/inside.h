/* Private to shell/library: the library for others, as include/pumpwright.h describes it.
 */
#ifndef PW_LIBRARY_INSIDE_H
#define PW_LIBRARY_INSIDE_H

#include "adapt/sheet.h"
#include "base/status.h"
#include "pumpwright.h"

struct pumpwright_sheet {
    pw_sheet sheet;
    char name[]; /* of the file */
};

/* problems.c. A list of its own from drafts whose texts are somebody else's; NULL when count is 0 or memory is out. */
pumpwright_problems *library_problems(const pumpwright_problem *drafts, int32_t count, int32_t lost);
/* The same from what a reader of the core found; line and column as they stand there. why (may be NULL): a first
 * problem of the status "file". *out may be given as NULL; then nothing is kept. */
void library_tell(const pw_problems *problems, const char *why, pumpwright_problems **out);

#endif
