/* What is wrong with a sheet that cannot be used anyway, for those who read its files outside the core.
 */
#ifndef PW_DOOR_PROOFREAD_H
#define PW_DOOR_PROOFREAD_H

#include "base/arena.h"
#include "base/status.h"

/* Errors and warnings of the sheet (JSON text) and of the wording of its settings, as a request with it would tell
 * them. Paths begin with base_path. */
void pw_door_proofread(pw_arena *arena, const char *sheet, const char *base_path, pw_problems *problems);

#endif
