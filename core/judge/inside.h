/* Shared inside core/judge only. */
#ifndef PW_JUDGE_INSIDE_H
#define PW_JUDGE_INSIDE_H

#include "judge/proof.h"
#include "judge/words.h"

/* One trial of which is said what to do next. */
typedef struct judge_trial {
    pw_arena *arena;
    const pw_plant *plant;
    const pw_usual *usual; /* never NULL */
    const pw_job *job;
    const pw_outcome *outcome; /* NULL: of no one trial */
    int32_t where;             /* of the mishap; -1 unknown */
    int32_t pump;              /* that it concerns */
    int32_t tank;              /* that it concerns, -1 none */
    int32_t sensor, other;     /* that it, and the second mishap, befalls; -1 none */
} judge_trial;
judge_trial judge_trial_of(pw_arena *arena, const pw_plant *plant, const pw_usual *usual, const pw_job *job,
                           const pw_outcome *outcome);

/* What to do next; "" when there is nothing to say, NULL without memory. outcome: what happened, NULL: of no one trial;
 * usual NULL: not known. */
const char *judge_next_for(pw_arena *arena, const pw_plant *plant, const pw_usual *usual, const pw_job *job,
                           const pw_outcome *outcome);

/* Sentences that the order lacks, that this site's reader takes and that would see this trial (propose.c): at most two,
 * each with its reason. Nothing is written when there is none; true when something was. */
bool judge_propose(const judge_trial *t, pw_text *text);
/* What a person does on site about this mishap (by_hand.c). */
void judge_by_hand(const judge_trial *t, pw_text *text);

/* How many sensors of that kind there are; does the order start and stop by pressure. */
int32_t judge_sensors(const pw_site *site, pw_sensor_kind kind);
bool judge_by_pressure(const pw_plant *plant);

/* Do users miss water that they had before the mishap; does water run away. */
bool judge_misses_water(const pw_outcome *outcome);
bool judge_loses_water(const pw_outcome *outcome);
bool judge_overpressures(const pw_site *site, const pw_outcome *outcome);
/* Does it do harm to pump, pipes or water when the pump goes on? If not, users just lack water. */
bool judge_harms(const judge_trial *t);
/* A tank of this trial overflows. */
bool judge_spills(const judge_trial *t);

/* Entries for other places and times and for two at once, from number `count` on; the new count, -1 without memory. */
int32_t judge_extra_unseen(pw_arena *arena, const pw_proof *proof, const pw_units *units, pw_unseen *out, int32_t count,
                           int32_t capacity);

/* reference_pa: gauge, at which leaks are told, at the first vessel. */
pw_status judge_limits(pw_arena *arena, const pw_plant *plant, double pump_m3s, double reference_pa,
                       pw_limits_check *out);

#endif
