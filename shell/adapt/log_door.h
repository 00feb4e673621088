/* A logger's file for whoever holds its bytes but no files: the page asks it through the WebAssembly module, so that
 * there is one reader of such files (log_file.h).
 *
 *   request  {"columns": ["NAME=pressure kPa", ...], "only": "NAME=text", "steps": 600, "language": "en",
 *            "judge": "text of a request `diagnose` for the door"}; all but the braces may be left out
 *   bytes    of the file, unpacked
 *   answer   {"ok": true, "plan": how it was understood, "lines": lines read and passed over, "rows": N,
 *            "drawn": {"from_s", "until_s", "signals": [{"signal", "low": [...], "high": [...]}]}: least and greatest
 *            value (SI) of each of `steps` stretches of equal length, null where there is none,
 *            "diagnosis": the door's answer as text, with `judge` only}
 *            or {"ok": false, "problems": [...]} as in adapt/csv_door.h
 */
#ifndef PW_ADAPT_LOG_DOOR_H
#define PW_ADAPT_LOG_DOOR_H

#include <stddef.h>

/* NUL-terminated, the caller frees it; NULL when there is no memory. */
char *pw_log_door(const char *request, size_t length, const char *bytes, size_t count);

#endif
