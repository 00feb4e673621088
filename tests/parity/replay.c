/* Requests in, answers out, natively: one JSON request a line on standard input, one answer a line on standard output.
 * A line that begins with # names what follows and is skipped.
 */
#define _GNU_SOURCE
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "adapt/doorway.h"

static int answer_line(const char *line, size_t length)
{
    char *answer = pw_doorway(line, length, NULL);
    if (!answer) {
        fprintf(stderr, "replay: out of memory\n");
        return 1;
    }
    int bad = strchr(answer, '\n') != NULL;
    if (bad) {
        fprintf(stderr, "replay: an answer of more than one line\n");
    } else {
        puts(answer);
    }
    free(answer);
    return bad;
}

int main(void)
{
    char *line = NULL;
    size_t room = 0;
    int bad = 0;
    ssize_t length;
    while ((length = getline(&line, &room, stdin)) >= 0) {
        if (length > 0 && line[length - 1] == '\n') {
            length--;
        }
        if (length > 0 && line[0] != '#') {
            bad |= answer_line(line, (size_t)length);
        }
    }
    free(line);
    return bad || fflush(stdout) != 0;
}
