/* The one entrance: a request as JSON text in, an answer as JSON text out (docs/door.md).
 * Everything that the program can do is reachable here; the command line, the server and the page use nothing else.
 * No I/O, no clock, no global state: the same request gives the same bytes on every machine.
 */
#ifndef PW_DOOR_DOOR_H
#define PW_DOOR_DOOR_H

#include <stddef.h>
#include <stdbool.h>

#include "base/arena.h"
#include "base/status.h"
#include "base/text.h"
#include "base/units.h"

/* What the caller lends. Both may be NULL.
 *   progress  called now and then with a part done of 0..1 and what is being done
 *   cancelled asked now and then; true stops the work with the problem "cancelled"
 */
typedef struct pw_door_host {
    void *user;
    void (*progress)(void *user, double done, const char *words);
    bool (*cancelled)(void *user);
} pw_door_host;

/* request: length bytes of JSON. The answer is NUL-terminated text inside the arena, never NULL unless the arena cannot
 * even hold the words "out of memory". {"ok":true,...} or {"ok":false,"problems":[...]}. */
const char *pw_door(pw_arena *arena, const char *request, size_t length, const pw_door_host *host,
                    size_t *answer_length);

/* The SI unit of a dimension as text: "Pa", "m3/s", "1". */
const char *pw_door_si(pw_dimension dimension);

#endif
