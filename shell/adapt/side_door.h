/* Requests beside the door, for whoever holds a file's bytes but no files (csv_door.h, log_door.h): JSON in, JSON out,
 * problems as the door tells them. */
#ifndef PW_ADAPT_SIDE_DOOR_H
#define PW_ADAPT_SIDE_DOOR_H

#include <stddef.h>

#include "base/json.h"
#include "say/say.h"

/* A text of the request; `otherwise` when it has none, or there is no request. */
const char *pw_side_text(const pw_json *request, const char *key, const char *otherwise);

/* What is wrong, as the answer's member `key`. */
void pw_side_put_problems(pw_json_writer *writer, const char *key, const pw_voice *voice, const pw_problems *problems);

/* Writes the whole answer; request: NULL when it could not be read, which problems tell. */
typedef void (*pw_side_put)(void *user, pw_json_writer *writer, const pw_json *request, pw_problems *problems);

/* room: of the answer and all that it takes, beside the request. NUL-terminated, the caller frees it; NULL when there
 * is no memory. */
char *pw_side_answer(const char *request, size_t length, size_t room, pw_side_put put, void *user);

#endif
