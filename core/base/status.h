/* Statuses and problems: how the core says what is wrong.
 *
 * Two sorts of wrong: bad input returns a status and adds a problem to the list that the caller passed in;
 * a broken invariant is an assert. Nothing is printed, nothing is kept globally.
 */
#ifndef PW_BASE_STATUS_H
#define PW_BASE_STATUS_H

#include <stdbool.h>
#include <stdint.h>

#include "base/limits.h"

/* One list, expanded into the enum, the names that tests expect, and the sentences. */
#define PW_STATUS_LIST(X)                                                          \
    X(OK, "ok", "all is well")                                                     \
    X(SYNTAX, "syntax", "the text is not well formed")                             \
    X(TYPE, "type", "this is the wrong kind of value")                             \
    X(UNKNOWN_KEY, "unknown-key", "this key is not known here")                    \
    X(MISSING, "missing", "something that is needed was not given")                \
    X(DUPLICATE, "duplicate", "this was given twice")                              \
    X(UNIT, "unit", "this quantity has no unit, or the wrong kind of unit")        \
    X(RANGE, "range", "this value is outside what is possible")                    \
    X(REFERENCE, "reference", "this names something that does not exist")          \
    X(CONFLICT, "conflict", "these two things cannot both be so")                  \
    X(WORD, "word", "this word of a sentence was not understood")                  \
    X(LIMIT, "limit", "this is more than the program holds")                       \
    X(MEMORY, "memory", "the memory given to the core is used up")                 \
    X(NO_SOLUTION, "no-solution", "the hydraulic equations have no solution here") \
    X(CANCELLED, "cancelled", "the work was stopped on request")                   \
    X(UNSUPPORTED, "unsupported", "this is not known here")

typedef enum pw_status {
#define PW_X(name, id, words) PW_##name,
    PW_STATUS_LIST(PW_X)
#undef PW_X
        PW_STATUS_COUNT
} pw_status;

/* Short id ("range") and sentence of a status. Never NULL. */
const char *pw_status_id(pw_status status);
const char *pw_status_words(pw_status status);

/* One thing wrong with the input. All texts are NUL-terminated UTF-8, cut at a character boundary.
 *   path      where in the input: site.pumps[0].curve[2].head; "" is the whole input
 *   line, column   1-based place in the text the core itself read (JSON, sentence); 0 when not known.
 *                  For a sentence, column is the place of the word in the sentence.
 *   found     what stood there
 *   expected  what would be right
 *   hint      near match or advice, "" when there is none
 */
typedef struct pw_problem {
    pw_status status;
    bool warning; /* true: the site is still usable */
    int32_t line, column;
    char path[PW_PATH_SIZE];
    char found[PW_WORDS_SIZE];
    char expected[PW_WORDS_SIZE];
    char hint[PW_WORDS_SIZE];
} pw_problem;

typedef struct pw_problems {
    int32_t count;  /* kept in items */
    int32_t lost;   /* found after the list was full */
    int32_t errors; /* how many of all were not warnings */
    pw_problem items[PW_MAX_PROBLEMS];
} pw_problems;

/* Add a problem. problems may be NULL (then nothing is kept). Returns the status, so that a caller can write
 * return pw_problem_add(...). Every text may be NULL, which means "". */
pw_status pw_problem_add(pw_problems *problems, pw_status status, const char *path, const char *found,
                         const char *expected, const char *hint);
pw_status pw_warning_add(pw_problems *problems, pw_status status, const char *path, const char *found,
                         const char *expected, const char *hint);

/* Copy text into a fixed buffer, cut at a UTF-8 boundary; always terminated. Returns dst. */
char *pw_copy(char *dst, int32_t dst_size, const char *src);
/* Pieces joined into a message buffer of PW_WORDS_SIZE; the list ends with NULL. Returns the buffer. */
const char *pw_say(char *buffer, ...);

/* Nearest of the words to the given one by edit distance with swaps (Damerau, optimal string alignment), case
 * ignored; -1 when none is near enough (distance over 1 + length/3; over 1 up to four letters). */
int32_t pw_near_match(const char *word, const char *const *words, int32_t count);

#endif
