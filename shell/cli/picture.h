/* A picture from SVG text: PNG through cairo. */
#ifndef PW_CLI_PICTURE_H
#define PW_CLI_PICTURE_H

#include <stdbool.h>
#include <stddef.h>

/* PNG of an SVG document at so many pixels for each of its own. The caller frees the answer; NULL on failure, *why then
 * is the id of a message that says why. */
char *cli_png(const char *svg, size_t length, double scale, size_t *png_length, const char **why);

#endif
