/* The language and the units that the command line itself speaks in. */
#ifndef PW_CLI_VOICE_H
#define PW_CLI_VOICE_H

#include <stdio.h>

#include "say/problem.h"

/* English and metric until cli_speak. */
const pw_voice *cli_voice(void);
/* NULL or a name that is none leaves what there is. */
void cli_speak(const char *language, const char *units);

/* To standard error, as a line of the program's own. */
void cli_tell(pw_fact fact);
/* A fact in words, for the next few calls: at most 4 kB. */
const char *cli_words(pw_fact fact);
/* Name of a sheet; "-" is standard input. */
const char *cli_name(const char *path);
/* The same of a problem: what stood there. */
const char *cli_found(const pw_problem *problem);

#endif
