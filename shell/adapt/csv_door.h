/* A measured flow for whoever holds the text of its file but no files: JSON in, JSON out, as the door does it. The page
 * asks it through the WebAssembly module, so that there is one reader of such files.
 *
 *   request  {"csv": "text of the file", "file": "its name", "time": "...", "flow": "...", "unit": "...",
 *            "step": "4 s"}, as in a sheet's `trace` (docs/demand.md); `file` and `step` may be left out
 *   answer   {"ok": true, "times": [s...], "flows": [L/s...], "warnings": [...]}, or {"ok": false, "problems": [...]};
 *            each problem has status, warning, path (the file's name), line, column, found, expected and hint
 *
 * With {"of": "pumps", "csv": ...} a catalogue of pumps (adapt/csv_pumps.h): {"ok": true, "catalogue": [...]}, or
 * problems.
 */
#ifndef PW_ADAPT_CSV_DOOR_H
#define PW_ADAPT_CSV_DOOR_H

#include <stddef.h>

/* NUL-terminated, the caller frees it; NULL when there is no memory. */
char *pw_csv_door(const char *request, size_t length);

#endif
