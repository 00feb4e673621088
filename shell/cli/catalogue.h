/* The file behind --catalogue: pumps as YAML, JSON or a table (CSV).
 */
#ifndef PW_CLI_CATALOGUE_H
#define PW_CLI_CATALOGUE_H

#include "cli/sheet.h"

/* The list of pumps as JSON in *out. A YAML or JSON file holds the list itself, or an object with the list as
 * `catalogue`. What is wrong was printed. */
cli_loaded cli_catalogue_load(const char *path, bool colour, const char **out);

#endif
