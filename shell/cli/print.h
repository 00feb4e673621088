/* A document (the door's "document") set on sheets of paper, as a PDF: real text with embedded fonts, vector figures,
 * page numbers, an outline, and the site's identity as a QR code on the first sheet; made fit for an archive
 * (cli/archive.h). Through cairo, pango, librsvg, gdk-pixbuf and libqrencode; without them *why says so.
 */
#ifndef PW_CLI_PRINT_H
#define PW_CLI_PRINT_H

#include "base/json.h"
#include "say/say.h"

typedef enum cli_paper { CLI_PAPER_A4, CLI_PAPER_LETTER } cli_paper;

/* The file's bytes, to be freed; NULL when it failed, then *why is the id of a message.
 *   identity  what the QR code says, and the foot of each sheet; author may be "" */
char *cli_print(const pw_json *document, cli_paper paper, const char *identity, const char *author,
                const pw_voice *voice, size_t *length, const char **why);

#endif
