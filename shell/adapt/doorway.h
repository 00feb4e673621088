/* The door with memory: lends the core a block, and a larger one when that was too small. Used by every shell, native
 * and WebAssembly, so that all of them answer the same.
 */
#ifndef PW_ADAPT_DOORWAY_H
#define PW_ADAPT_DOORWAY_H

#include <stdbool.h>
#include <stddef.h>

#include "door/door.h"
#include "door/log.h"

/* Bytes lent at first and at most; each retry lends four times as much. Pages that are not touched cost nothing. */
#define PW_DOORWAY_FIRST ((size_t)32 << 20)
#define PW_DOORWAY_MOST  ((size_t)512 << 20)

/* The answer as NUL-terminated text that the caller frees; NULL only when the system has no memory left. host may be
 * NULL. */
char *pw_doorway(const char *request, size_t length, const pw_door_host *host);
/* The same with a log that was taken (door/log.h); NULL: without. */
char *pw_doorway_log(const char *request, size_t length, const pw_door_host *host, const pw_record *log);
/* The first with other bounds; first >= 1, most >= first. */
char *pw_doorway_within(const char *request, size_t length, const pw_door_host *host, size_t first, size_t most);
/* Is it the answer of a request that was granted? It says so in its first bytes: however long it is, it need not be
 * read for that. */
bool pw_doorway_granted(const char *answer);

#endif
