/* What of a plant a person on site would ask about, although it can be simulated: a charge above the cut-in, a cut-out
 * that no pump reaches, a tank that no pump lifts to, a flow switch that never makes, a bore that hardly gives, a
 * vessel far too small, a level at which a tank has long run over, a cable on which a motor
 * never runs up. Told as warnings. One duty is solved for each pump; nothing is simulated.
 */
#ifndef PW_STUDY_SIZE_DOUBTS_H
#define PW_STUDY_SIZE_DOUBTS_H

#include "sim/run.h"

/* PW_OK or PW_MEMORY. Paths begin with "site". */
pw_status pw_size_doubts(pw_arena *arena, const pw_plant *plant, pw_problems *problems);

#endif
