/* The job book from the command line: "book ACTION BOOK ...".
 */
#ifndef PW_CLI_BOOK_H
#define PW_CLI_BOOK_H

#include "cli/ask.h"
#include "cli/options.h"
#include "cli/sheet.h"

cli_exit cli_book(const cli_options *options);
/* A diagnosis as a visit of options->book: the sheet, the log, the verdict, and what the log shows as readings. */
cli_exit cli_book_keep(const cli_options *options, const cli_sheet *sheet, const pw_json *answer);

#endif
