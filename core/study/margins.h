/* Margins: what nobody knows exactly about a site is moved, one thing at a time, and the verdict looked at again. What
 * flips within them stands on the edge.
 *
 * Each move is a row of margins.c: numbers of the site by their path (site/params.h) and a factor. How far:
 *   pump's curve    flow 8 %, head 5 %: ISO 9906 grade 2B, what pumps of series are sold by (formula/tables.h)
 *   rate of draws   a tenth (own choice): a hose is no meter
 *   their length    a fifth longer (own choice)
 *   precharge       a fifth lower, as gas is lost between services; a tenth higher (own choices)
 *   pressure sensor 1 % of its range either way (common practice for what is built into controllers)
 *   place of a leak the next place where it can be
 */
#ifndef PW_STUDY_MARGINS_H
#define PW_STUDY_MARGINS_H

#include "sim/plant.h"

typedef enum pw_move {
    PW_MOVE_PUMP_WEAK,
    PW_MOVE_PUMP_STRONG,
    PW_MOVE_DRAWS_MORE,
    PW_MOVE_DRAWS_LESS,
    PW_MOVE_DRAWS_LONGER,
    PW_MOVE_CHARGE_LOW,
    PW_MOVE_CHARGE_HIGH,
    PW_MOVE_READS_LOW,
    PW_MOVE_READS_HIGH,
    PW_MOVE_PLACE, /* of a hole; not of the healthy site */
    PW_MOVES
} pw_move;

/* Has this site what it moves? */
bool pw_move_possible(const pw_site *site, pw_move move);
/* "pump weak", for machines; id of the words: "a pump {0} weaker"; how much of what was moved when a part of it was. */
const char *pw_move_id(pw_move move);
pw_fact pw_move_fact(const pw_site *site, pw_move move, double part);
/* The plant with a part (0 .. 1) of the move made. Not for PW_MOVE_PLACE. */
pw_status pw_move_plant(pw_arena *arena, const pw_plant *plant, pw_move move, double part, pw_plant **out,
                        pw_problems *problems);

#endif
