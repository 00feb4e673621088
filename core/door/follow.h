/* A log that grows, followed: the caller takes its rows one at a time, and is told a verdict when it stands
 * (core/study/log_follow.h). For as long as it is followed the arena is its own. */
#ifndef PW_DOOR_FOLLOW_H
#define PW_DOOR_FOLLOW_H

#include "base/logged.h"
#include "door/door.h"

typedef struct pw_door_follow pw_door_follow;

/* request: of "diagnose" with site (or none), set, seed, units and language. has: which signals the rows will carry.
 * The answer is that of a request, {"ok":true,...} or what is wrong; *out is NULL then. */
const char *pw_door_follow_begin(pw_arena *arena, const char *request, size_t length, const pw_door_host *host,
                                 const bool has[PW_LOG_SIGNALS], pw_door_follow **out);
/* NULL: nothing new. Else an object as text, good until the next call: `news` (raised, over), `at_s`, `words`,
 * `hypotheses` as diagnose gives them. */
const char *pw_door_follow_take(pw_door_follow *log, const pw_log_row *row);
/* The verdict as of now, with `news` as of now; NULL: too few rows. */
const char *pw_door_follow_now(pw_door_follow *log);

#endif
