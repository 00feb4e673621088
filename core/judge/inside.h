/* Shared inside core/judge only. */
#ifndef PW_JUDGE_INSIDE_H
#define PW_JUDGE_INSIDE_H

#include "judge/proof.h"
#include "judge/words.h"

/* What to do next; "" when there is nothing to say. outcome: what happened, NULL: of no one trial. */
const char *judge_next_for(const pw_plant *plant, pw_mishap_kind kind, const pw_outcome *outcome);

/* Entries for other places and times and for two at once, from number `count` on; the new count, -1 without memory. */
int32_t judge_extra_unseen(pw_arena *arena, const pw_proof *proof, const pw_units *units, pw_unseen *out, int32_t count,
                           int32_t capacity);

pw_status judge_limits(pw_arena *arena, const pw_plant *plant, double pump_m3s, pw_limits_check *out);

#endif
