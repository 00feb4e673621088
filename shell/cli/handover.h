/* What the hand-over and the commissioning need beside a question to the door: a folder of files, a file of readings.
 */
#ifndef PW_CLI_HANDOVER_H
#define PW_CLI_HANDOVER_H

#include "cli/ask.h"
#include "cli/options.h"
#include "cli/sheet.h"

/* handover.html, handover.txt and handover.pdf in options->folder, which is made when it is not there. */
cli_exit cli_handover_write(const cli_options *options, const pw_json *answer);

/* The list of readings of a file (YAML or JSON: `readings`, or the list itself) as JSON. What is wrong was printed. */
cli_loaded cli_readings_load(const char *path, bool colour, cli_sheet *sheet, const char **out);

#endif
