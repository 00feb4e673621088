/* Shared by the files of "advise" only. */
#ifndef PW_DOOR_ADVISE_INSIDE_H
#define PW_DOOR_ADVISE_INSIDE_H

#include "door/inside.h"
#include "study/advise.h"

/* What one job came to, as it is carried from a part to the whole (advise_parts.c). */
void door_put_reach(door *d, const pw_advise_plan *plan, const pw_reach *reach);
/* All of them; NULL: a problem is told, or there is no memory. */
pw_reach *door_read_reaches(door *d, const pw_json *list, const pw_advise_plan *plan);
/* The second time: what the choice came to when it was simulated itself. */
pw_reach_check *door_read_checks(door *d, const pw_json *list, const pw_advise_plan *plan);

#endif
