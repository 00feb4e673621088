/* A site sheet as a person wrote it: its text, the same as JSON for the door, and where in the text each thing stands.
 * Used by the command line and by the library for others.
 */
#ifndef PW_ADAPT_SHEET_H
#define PW_ADAPT_SHEET_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "adapt/yaml.h"
#include "base/json.h"

typedef struct pw_sheet {
    const char *name; /* of the file, for messages; "standard input" for "-". The caller's, or static */
    char *text;       /* as read; from the system, NUL behind */
    size_t length;
    const char *json;    /* what goes into a request */
    const pw_json *tree; /* of a JSON sheet, for places; NULL for YAML */
    pw_yaml_map map;     /* of a YAML sheet */
    const pw_json *read; /* the sheet as it was read, before traces were filled in; NULL: not understood */
    void *block;         /* holds json, tree and map; from the system */
} pw_sheet;

typedef enum pw_sheet_end {
    PW_SHEET_READ,
    PW_SHEET_NO_FILE,       /* it cannot be read; text is NULL */
    PW_SHEET_NOT_UNDERSTOOD /* neither YAML nor JSON, or a trace is at fault: see the problems */
} pw_sheet_end;

/* Read the sheet at path ("-": standard input), YAML or JSON, and put the measured traces that it names into its JSON.
 * Problems (warnings, too) carry line and column where these are known. *why: why the file cannot be read. */
pw_sheet_end pw_sheet_load(const char *path, pw_sheet *out, pw_problems *problems, const char **why);
/* The same for a text in memory, any bytes. name: what messages call it; names of traces are seen from its folder. It
 * must outlive the sheet. */
pw_sheet_end pw_sheet_take(const char *text, size_t length, const char *name, pw_sheet *out, pw_problems *problems);
/* Give back what a sheet holds, also after a failure. */
void pw_sheet_free(pw_sheet *sheet);

/* Name of the file that this sheet was read from, itself or a measured trace that it names, and that `path` is too;
 * NULL: none. given: the path that pw_sheet_load had. */
const char *pw_sheet_reads(const pw_sheet *sheet, const char *given, const char *path);

/* Line and column (from 1, in characters) of what a path such as "pumps[0].curve[2].head" names, or of the nearest
 * thing around it. false: not known. */
bool pw_sheet_place(const pw_sheet *sheet, const char *path, int32_t *line, int32_t *column);
/* Of a JSON sheet: the value at a path, or NULL. */
const pw_json *pw_sheet_json(const pw_sheet *sheet, const char *path);
/* The core counts the column of a word inside its sentence: the column of that word in the sheet, for a sentence that
 * begins at line and column. */
int32_t pw_sheet_column_in_sentence(const pw_sheet *sheet, int32_t line, int32_t column, int32_t inside);

/* Text of a line without its line break, and its length; empty when there is no such line. */
const char *pw_sheet_line(const pw_sheet *sheet, int32_t line, size_t *length);
/* Where in a line the character of this column (from 1) begins. */
size_t pw_sheet_byte(const char *line, size_t length, int32_t column);

#endif
