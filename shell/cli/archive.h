/* A PDF made fit for an archive, in the manner of PDF/A-2b (ISO 19005-2, from memory; Debian 12 has no checker of it):
 * XMP metadata that repeat the file's own, the sRGB colour space as output intent, an identifier of the file, the
 * language, and for each font by glyph numbers the entry that says how they are counted. Text, fonts and drawings stay
 * as they are. Through qpdf and lcms2.
 */
#ifndef PW_CLI_ARCHIVE_H
#define PW_CLI_ARCHIVE_H

#include <stddef.h>

/* The new file's bytes, to be freed; NULL when it failed. language: as HTML names it. */
char *cli_archive(const char *pdf, size_t length, const char *language, size_t *out_length);

#endif
