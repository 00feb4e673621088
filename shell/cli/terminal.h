/* What the program knows of the terminal and of the person at it: colour, width, progress, Ctrl-C.
 */
#ifndef PW_CLI_TERMINAL_H
#define PW_CLI_TERMINAL_H

#include <stdbool.h>
#include <stdio.h>

#include "cli/options.h"

/* Colour on this stream? auto: only on a terminal that is not "dumb", and only without NO_COLOR. */
bool cli_colour_on(cli_colour choice, FILE *stream);
/* Columns of standard output, 60 to 120: COLUMNS where it is set, else the terminal's, else 80. */
int cli_width(void);

/* Progress on one line of stderr: only on a terminal, only when the work takes longer than a second. */
typedef struct cli_progress {
    bool on, shown;
    double began_s, drawn_s;
} cli_progress;
void cli_progress_begin(cli_progress *progress, bool quiet);
/* done: part of the whole, 0 to 1. words: what is being done; may be NULL. */
void cli_progress_show(cli_progress *progress, double done, const char *words);
/* Remove the line. */
void cli_progress_end(cli_progress *progress);

/* From now on an interrupt or a request to end only sets a flag. */
void cli_watch_interrupt(void);
bool cli_interrupted(void);

#endif
