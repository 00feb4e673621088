/* Two texts line by line, as a person reads a change: the form that "patch" takes.
 */
#ifndef PW_CLI_DIFF_H
#define PW_CLI_DIFF_H

#include <stdbool.h>
#include <stdio.h>

/* false: no memory, or more than some thousand lines differ in a way that is not looked through. */
bool cli_diff(FILE *out, const char *name, const char *was, const char *is, bool colour);

#endif
