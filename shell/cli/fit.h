/* What a fit changes in the sheet: shown as a difference of its text, written where that was asked for.
 */
#ifndef PW_CLI_FIT_H
#define PW_CLI_FIT_H

#include "base/arena.h"
#include "base/json.h"
#include "cli/sheet.h"
#include "cli/terminal.h"

/* The sheet's text with the fitted numbers of an answer; NULL: nothing changes, or no memory. Numbers that have no
 * place in it are told on stderr. It lives as long as the program. */
const char *cli_fit_text(pw_arena *arena, const cli_sheet *sheet, const pw_json *answer);
/* The difference on standard output. */
void cli_fit_show(const cli_sheet *sheet, const char *text, bool colour);

#endif
