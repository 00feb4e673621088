/* Whole files in and out. A written file is either there completely or not at all.
 */
#ifndef PW_ADAPT_FILES_H
#define PW_ADAPT_FILES_H

#include <stdbool.h>
#include <stddef.h>

/* Read a whole file; "-" is standard input. At most most_bytes. The caller frees the answer, which has a NUL behind.
 * NULL on failure; *why is then the id of a message that says why. */
char *pw_file_read(const char *path, size_t most_bytes, size_t *length, const char **why);

/* Is this name that of a regular file, or would it be? Nothing below /dev is, whatever it leads to. */
bool pw_file_plain(const char *path);

/* Are these two names of one regular file, or would they be? Devices, pipes and "-" are no files here. */
bool pw_file_same(const char *one, const char *other);

/* Write beside the target under another name, then rename. A device or pipe (/dev/stdout) is written straight.
 * false on failure, *why as above; nothing is left behind then. */
bool pw_file_write(const char *path, const char *bytes, size_t length, const char **why);

/* Id of a message for an error number of the system. */
const char *pw_file_why(int error);

#endif
