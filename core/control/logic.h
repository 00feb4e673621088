/* Control settings as a program for another machine: portable C99, or structured text of IEC 61131-3 with its standard
 * function blocks. The same step as step.c; one program for each pump, or one for all of them when what one does bears
 * on another.
 *
 * Without "keep lock outs over a power cut" the program begins anew with the power. With it everything outlasts the cut
 * (VAR RETAIN; in C the caller's memory) but what a cut ends: runs, timers of conditions, parts of windows.
 */
#ifndef PW_CONTROL_LOGIC_H
#define PW_CONTROL_LOGIC_H

#include "control/table.h"

typedef enum pw_logic_language { PW_LOGIC_C, PW_LOGIC_ST } pw_logic_language;

/* Do the pumps belong into one program: do they share the work, or do sentences of one speak of another? */
bool pw_logic_together(const pw_table *table);

/* The program of one pump, or of all when they belong together. Inputs are in SI, named after the signals; yes and no
 * are truths; `week` is the clock: ms since Monday 00:00. With several pumps what belongs to pump n ends in _n.
 * PW_MEMORY, else PW_OK. */
pw_status pw_logic_put(pw_arena *arena, const pw_settings *settings, const pw_table *table, int32_t pump,
                       pw_logic_language language, pw_text *out);

#endif
