/* Control settings as a program for another machine: portable C99, or structured text of IEC 61131-3 with its standard
 * function blocks. The same step as step.c; one program for each pump, or one for all of them when what one does bears
 * on another.
 *
 * Not written are: a condition "for TIME in TIME", starts in several windows in a row, and lock outs kept over a power
 * cut. Such a sentence is refused, by its words: a program that left it out would be another control. Power cuts are no
 * part of it: the program begins anew with the power.
 */
#ifndef PW_CONTROL_LOGIC_H
#define PW_CONTROL_LOGIC_H

#include "control/table.h"

typedef enum pw_logic_language { PW_LOGIC_C, PW_LOGIC_ST } pw_logic_language;

/* Do the pumps belong into one program: do they share the work, or do sentences of one speak of another? */
bool pw_logic_together(const pw_table *table);

/* The program of one pump, or of all when they belong together. Inputs are in SI, named after the signals; yes and no
 * are truths; `week` is the clock: ms since Monday 00:00. With several pumps what belongs to pump n ends in _n. Refused
 * sentences are told as problems with the path base_path[i]. */
pw_status pw_logic_put(pw_arena *arena, const pw_settings *settings, const pw_table *table, int32_t pump,
                       pw_logic_language language, const char *base_path, pw_text *out, pw_problems *problems);

#endif
