/* The site sheet as the person wrote it: its text, the same as JSON for the door, and where in the text each thing
 * stands.
 */
#ifndef PW_CLI_SHEET_H
#define PW_CLI_SHEET_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "adapt/yaml.h"
#include "base/arena.h"
#include "base/json.h"

typedef struct cli_sheet {
    const char *name; /* of the file, for messages; "standard input" for "-" */
    const char *text; /* as read */
    size_t length;
    const char *json;    /* what goes into the request */
    const pw_json *tree; /* of a JSON sheet, for places; NULL for YAML */
    pw_yaml_map map;     /* of a YAML sheet */
} cli_sheet;

typedef enum cli_loaded { CLI_LOADED, CLI_NOT_READ, CLI_NOT_UNDERSTOOD } cli_loaded;

/* Read SITE, and the measured traces that it names. NOT_READ: the file cannot be read; NOT_UNDERSTOOD: it is neither
 * YAML nor JSON, or a trace is at fault. Either way the reason has been printed on stderr. The sheet lives as long as
 * the program. */
cli_loaded cli_sheet_load(const char *path, bool colour, cli_sheet *out);

/* Line and column (from 1, in characters) of what a path such as "pumps[0].curve[2].head" names, or of the nearest
 * thing around it. false: not known. */
bool cli_sheet_place(const cli_sheet *sheet, const char *path, int32_t *line, int32_t *column);

/* Text of a line without its line break, and its length; empty when there is no such line. */
const char *cli_sheet_line(const cli_sheet *sheet, int32_t line, size_t *length);

#endif
