/* Problems for people: FILE:LINE:COLUMN, where, what was found, what would be right, the line itself and a caret.
 */
#ifndef PW_CLI_COMPLAIN_H
#define PW_CLI_COMPLAIN_H

#include <stdbool.h>

#include "base/json.h"
#include "cli/sheet.h"

/* problems: the list of a door's answer; may be NULL. sheet: NULL when the request had no site. Printed on stderr; with
 * `errors_only`, warnings are left out. */
void cli_complain(const pw_json *problems, const cli_sheet *sheet, bool colour, bool errors_only);

/* "--horizon" for "horizon", "--fault" for "faults[0].what"; NULL when no option stands behind the path. */
const char *cli_option_of(const char *path);

/* The file whose list stands in the request as "readings": its problems are told with their place there. NULL: none. */
void cli_complain_readings(const cli_sheet *sheet);

/* The same for one problem that has a place already. */
void cli_complain_at(const cli_sheet *sheet, int32_t line, int32_t column, const char *where, const char *found,
                     const char *expected, const char *hint, bool warning, bool colour);

/* What was read of a file that the sheet names: a line on stderr. */
void cli_note_at(const cli_sheet *sheet, const char *where, const char *first, const char *more);

#endif
