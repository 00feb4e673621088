/* A log that grows, watched: the caller takes its rows one at a time, and is told a verdict when it stands (core/study/
 * log_watch.h). For as long as it is watched the arena is the watch's. */
#ifndef PW_DOOR_WATCH_H
#define PW_DOOR_WATCH_H

#include "base/logged.h"
#include "door/door.h"

typedef struct pw_door_watch pw_door_watch;

/* request: of "diagnose" with site (or none), set, seed, units and language. has: which signals the rows will carry.
 * The answer is that of a request, {"ok":true,...} or what is wrong; *out is NULL then. */
const char *pw_door_watch_begin(pw_arena *arena, const char *request, size_t length, const pw_door_host *host,
                                const bool has[PW_LOG_SIGNALS], pw_door_watch **out);
/* NULL: nothing new. Else an object as text, good until the next call: `news` (raised, over), `at_s`, `words`,
 * `hypotheses` as diagnose gives them. */
const char *pw_door_watch_take(pw_door_watch *watch, const pw_log_row *row);
/* The verdict as of now, with `news` as of now; NULL: too few rows. */
const char *pw_door_watch_now(pw_door_watch *watch);

#endif
