/* Several processes at one question: each asks the door for its part, the parent collects the answers.
 * Processes, not threads: the core needs no lock then, and an interrupt ends them at once.
 */
#ifndef PW_CLI_WORKERS_H
#define PW_CLI_WORKERS_H

#include <stdbool.h>
#include <stddef.h>

#include "cli/terminal.h"

typedef enum cli_work { CLI_WORK_DONE, CLI_WORK_INTERRUPTED, CLI_WORK_FAILED } cli_work;

/* requests[i] is asked in its own process; answers[i] is filled with text that the caller frees (also after a failure;
 * NULL where there is none). All processes have ended when this returns. */
cli_work cli_workers_ask(int count, char *const *requests, char **answers, cli_progress *progress);

/* Processor cores that this process may use, 1 to CLI_MAX_JOBS. */
int cli_cores(void);

#endif
