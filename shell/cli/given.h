/* What a person gives to the papers that are left on site, besides the sheet: the settings as they were found, photos,
 * and what the sheet marks as assumed.
 */
#ifndef PW_CLI_GIVEN_H
#define PW_CLI_GIVEN_H

#include "cli/options.h"
#include "cli/sheet.h"

/* Members of the request as JSON, each with a comma before it; they live as long as the program. When a file was not
 * read, or is not what it should be, that was told. */
cli_loaded cli_given_load(const cli_options *options, const cli_sheet *sheet, bool colour, const char **out);

#endif
