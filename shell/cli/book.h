/* The job book from the command line: "book ACTION BOOK ...".
 */
#ifndef PW_CLI_BOOK_H
#define PW_CLI_BOOK_H

#include "cli/ask.h"
#include "cli/options.h"

cli_exit cli_book(const cli_options *options);

#endif
