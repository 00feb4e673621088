/* A log that grows, followed: a line for each verdict as soon as it stands.
 */
#ifndef PW_CLI_FOLLOW_H
#define PW_CLI_FOLLOW_H

#include "cli/ask.h"
#include "cli/options.h"

/* options->log, "-" is standard input; request: of diagnose. Until the input ends (standard input), or someone ends it.
 */
cli_exit cli_follow(const cli_options *options, const char *request, bool colour);

#endif
