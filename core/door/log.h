/* A log for the door that is too long for a request: the caller takes its rows one at a time, in memory of his own and
 * of fixed size, and lends what came of it to the request "diagnose". */
#ifndef PW_DOOR_LOG_H
#define PW_DOOR_LOG_H

#include "base/logged.h"
#include "door/door.h"

typedef struct pw_record pw_record;

size_t pw_door_log_size(void);
/* memory: so many bytes, aligned to 16. has: which signals the rows will carry. */
pw_record *pw_door_log_begin(void *memory, const bool has[PW_LOG_SIGNALS]);
/* Rows of time that rises; one that steps back is counted and passed over. */
void pw_door_log_take(pw_record *log, const pw_log_row *row);
void pw_door_log_end(pw_record *log);

/* As pw_door. log: ended, or NULL. */
const char *pw_door_with_log(pw_arena *arena, const char *request, size_t length, const pw_door_host *host,
                             const pw_record *log, size_t *answer_length);

#endif
