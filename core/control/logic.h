/* Control settings as a program for another machine: portable C99, or structured text of IEC 61131-3 with its standard
 * function blocks. The same step as step.c, one program for each pump.
 *
 * Written are: start, stop, lock out, warn, run only while, keep running while, ignore, rest, run at least, run on and
 * wait after power on; conditions on signals, on running and stopped, and on starts in one window. Other sentences are
 * refused, by name: a program that left one out would be another control. Power cuts are not part of it: the program
 * begins anew with the power.
 */
#ifndef PW_CONTROL_LOGIC_H
#define PW_CONTROL_LOGIC_H

#include "control/table.h"

typedef enum pw_logic_language { PW_LOGIC_C, PW_LOGIC_ST } pw_logic_language;

/* The program of one pump. Inputs are in SI, named after the signals; yes and no are truths. Refused sentences are
 * told as problems with the path base_path[i]. */
pw_status pw_logic_put(pw_arena *arena, const pw_settings *settings, const pw_table *table, int32_t pump,
                       pw_logic_language language, const char *base_path, pw_text *out, pw_problems *problems);

#endif
