/* A logger's file: read, packed or not, and told how it was understood.
 */
#ifndef PW_CLI_LOG_H
#define PW_CLI_LOG_H

#include "adapt/log_file.h"
#include "cli/options.h"
#include "cli/sheet.h"
#include "door/log.h"

/* options->log, "-" is standard input. out is kept until the program ends. */
cli_loaded cli_log_load(const cli_options *options, bool colour, const pw_record **out);

/* The file behind a source: understood, and told how; columns read and saved as asked for. */
cli_loaded cli_log_open(const cli_options *options, const pw_log_source *source, bool colour, pw_log_file **out);

#endif
