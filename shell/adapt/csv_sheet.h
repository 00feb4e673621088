/* Puts measured traces into a site sheet: the core reads no files, so each demand with a `trace` gets its `times` and
 * `flows` here.
 */
#ifndef PW_ADAPT_CSV_SHEET_H
#define PW_ADAPT_CSV_SHEET_H

#include "base/arena.h"
#include "base/json.h"
#include "base/status.h"
#include "base/text.h"

/* Does any demand name a file that is still to be read? Without one the sheet can go to the core as it is. */
bool pw_csv_sheet_needs(const pw_json *site);

/* Is path the file of one of its traces? file names are seen from the folder of sheet_path, as below. */
bool pw_csv_sheet_reads(const pw_json *site, const char *sheet_path, const char *path);

/* Write the site again as JSON into out (begun by this call, in the arena), each demand that has a `trace` but no
 * `times` with `times` (s) and `flows` (L/s) from its file. File names are seen from the folder of sheet_path ("-" and
 * NULL: the working folder). Problems have the path of the demand's trace (demand[2].trace) and say file, line and
 * column in words; rows passed over give warnings. What was read is told as a warning with the status PW_OK: a note.
 * A trace that is not formed as the sheet wants it is left as it is: the core's reader says what is wrong with it.
 * Returns PW_OK (also with warnings) or the first failure. */
pw_status pw_csv_sheet_fill(pw_arena *arena, const pw_json *site, const char *sheet_path, pw_text *out,
                            pw_problems *problems);

#endif
