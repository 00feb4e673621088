/* What the settings guarantee by themselves, whatever the sensors say, told in a line beside a proof: the worst of
 * control/worst.h, found with little work, held against what the site's pumps bear. What that work does not decide is
 * said so; nothing is claimed then. */
#ifndef PW_STUDY_GUARANTEE_H
#define PW_STUDY_GUARANTEE_H

#include "control/worst.h"
#include "sim/plant.h"

/* Pumps that have the same answers share one. */
typedef struct pw_guarantee {
    pw_fact words, open; /* what is decided; what is not. No fact: nothing is */
    bool holds;          /* all is decided, bounded, and within what the site's limits say */
} pw_guarantee;

typedef struct pw_guarantees {
    int32_t count;
    pw_guarantee items[PW_MAX_PUMPS];
} pw_guarantees;

/* What is found lies in the arena. PW_MEMORY; settings that do not compile are told in `problems`. */
pw_status pw_guarantees_of(pw_arena *arena, const pw_plant *plant, pw_guarantees **out, pw_problems *problems);

#endif
