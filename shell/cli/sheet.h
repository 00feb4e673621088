/* The site sheet that a command was given: read, and complained of.
 */
#ifndef PW_CLI_SHEET_H
#define PW_CLI_SHEET_H

#include "adapt/sheet.h"

typedef pw_sheet cli_sheet;

typedef enum cli_loaded { CLI_LOADED, CLI_NOT_READ, CLI_NOT_UNDERSTOOD } cli_loaded;

/* Read SITE, and the measured traces that it names. NOT_READ: the file cannot be read; NOT_UNDERSTOOD: it is neither
 * YAML nor JSON, or a trace is at fault. Either way the reason has been printed on stderr. The sheet lives as long as
 * the program. */
cli_loaded cli_sheet_load(const char *path, bool colour, cli_sheet *out);

#endif
