/* Shared inside core/judge only. */
#ifndef PW_JUDGE_INSIDE_H
#define PW_JUDGE_INSIDE_H

#include "judge/proof.h"

/* What to do next; "" when there is nothing to say. */
const char *judge_next_for(pw_mishap_kind kind);

pw_status judge_limits(pw_arena *arena, const pw_plant *plant, double pump_m3s, pw_limits_check *out);

#endif
