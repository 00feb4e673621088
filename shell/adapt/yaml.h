/* YAML to JSON, for the site sheet; and where in the YAML each thing stands.
 *
 * A plain subset: mappings, lists and scalars of one document in UTF-8. Refused, with line and column: keys given
 * twice, anchors and aliases, merge keys, tags, several documents, control characters, nesting over PW_MAX_JSON_DEPTH.
 * A plain scalar that is a JSON number becomes a number; yes, no, true, false (any case) become a boolean; nothing at
 * all becomes null; everything else is text: 08:00 stays 08:00.
 */
#ifndef PW_ADAPT_YAML_H
#define PW_ADAPT_YAML_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/status.h"
#include "base/text.h"

struct pw_yaml_node;

/* Places of a YAML text; lives in the arena of the reading. */
typedef struct pw_yaml_map {
    const struct pw_yaml_node *root;
} pw_yaml_map;

/* text: length bytes, need not end with a NUL. json is begun by this call (pw_text_init) in the arena. On failure one
 * problem with line and column is added, and json is empty. Returns PW_OK, PW_SYNTAX, PW_DUPLICATE, PW_UNSUPPORTED,
 * PW_LIMIT, PW_MISSING (there is nothing in the text) or PW_MEMORY. Any bytes may be given. */
pw_status pw_yaml_to_json(pw_arena *arena, const char *text, size_t length, pw_text *json, pw_yaml_map *map,
                          pw_problems *problems);

/* Line and column, 1-based, column in characters, of the key or list item that a path such as pumps[0].curve[2].head
 * names, or of the nearest thing around it that exists. false when nothing is known (map empty). */
bool pw_yaml_where(const pw_yaml_map *map, const char *path, int32_t *line, int32_t *column);

/* Where in the text a value stands, 1-based, columns in characters; the end is behind its last character. */
typedef struct pw_yaml_span {
    int32_t line, column, end_line, end_column; /* of a scalar, quotation marks with it */
    bool scalar, mapping, flow;                 /* flow: written in braces */
    int32_t first_line, first_column;           /* of a mapping: its first key; 0: it has none */
} pw_yaml_span;

/* The value that a path names; false: there is none. */
bool pw_yaml_value(const pw_yaml_map *map, const char *path, pw_yaml_span *out);

#endif
