/* Statuses and problems: how the core says what is wrong.
 *
 * Two sorts of wrong: bad input returns a status and adds a problem to the list that the caller passed in;
 * a broken invariant is an assert. Nothing is printed, nothing is kept globally. A problem holds facts; words are made
 * of them where they are told (core/say), in the language of whoever reads.
 */
#ifndef PW_BASE_STATUS_H
#define PW_BASE_STATUS_H

#include <stdbool.h>
#include <stdint.h>

#include "base/fact.h"
#include "base/limits.h"

/* One list, expanded into the enum, the names that tests expect, and the messages. */
#define PW_STATUS_LIST(X)                                     \
    X(OK, "ok", "input.status-ok")                            \
    X(SYNTAX, "syntax", "input.status-syntax")                \
    X(TYPE, "type", "input.status-type")                      \
    X(UNKNOWN_KEY, "unknown-key", "input.status-unknown-key") \
    X(MISSING, "missing", "input.status-missing")             \
    X(DUPLICATE, "duplicate", "input.status-duplicate")       \
    X(UNIT, "unit", "input.status-unit")                      \
    X(RANGE, "range", "input.status-range")                   \
    X(REFERENCE, "reference", "input.status-reference")       \
    X(CONFLICT, "conflict", "input.status-conflict")          \
    X(WORD, "word", "input.status-word")                      \
    X(LIMIT, "limit", "input.status-limit")                   \
    X(MEMORY, "memory", "input.status-memory")                \
    X(NO_SOLUTION, "no-solution", "input.status-no-solution") \
    X(CANCELLED, "cancelled", "input.status-cancelled")       \
    X(UNSUPPORTED, "unsupported", "input.status-unsupported")

typedef enum pw_status {
#define PW_X(name, id, message) PW_##name,
    PW_STATUS_LIST(PW_X)
#undef PW_X
        PW_STATUS_COUNT
} pw_status;

/* Short id ("range") and the id of its sentence. Never NULL. */
const char *pw_status_id(pw_status status);
const char *pw_status_message(pw_status status);

/* A fact that needs no arena: the names in it are copied, cut at a character boundary where there is no room. Facts and
 * lists inside a fact are not kept. */
enum { PW_REMARK_VALUES = 5 };
typedef struct pw_remark {
    const char *id; /* as of a fact; NULL: nothing is said */
    pw_value values[PW_REMARK_VALUES];
    char names[PW_WORDS_SIZE];
} pw_remark;

pw_remark pw_remark_of(const pw_fact *fact);
/* The fact again; its names stand in the remark. */
pw_fact pw_remark_fact(const pw_remark *remark);

/* One thing wrong with the input. All texts are NUL-terminated UTF-8, cut at a character boundary.
 *   path      where in the input: site.pumps[0].curve[2].head; "" is the whole input
 *   line, column   1-based place in the text the core itself read (JSON, sentence); 0 when not known.
 *                  For a sentence, column is the place of the word in the sentence.
 *   place     where found stands when it is not the input itself: a file that the input names; mostly no fact
 *   found     what stood there; what a person typed is told verbatim
 *   expected  what would be right
 *   hint      near match or advice
 */
typedef struct pw_problem {
    pw_status status;
    bool warning; /* true: the site is still usable */
    int32_t line, column;
    char path[PW_PATH_SIZE];
    pw_remark place, found, expected, hint;
} pw_problem;

typedef struct pw_problems {
    int32_t count;  /* kept in items */
    int32_t lost;   /* found after the list was full */
    int32_t errors; /* how many of all were not warnings */
    pw_problem items[PW_MAX_PROBLEMS];
} pw_problems;

/* Add a problem. problems may be NULL (then nothing is kept). Returns the status, so that a caller can write
 * return pw_problem_tell(...). pw_no_fact() where there is nothing to tell. */
pw_status pw_problem_tell(pw_problems *problems, pw_status status, const char *path, pw_fact found, pw_fact expected,
                          pw_fact hint);
pw_status pw_warning_tell(pw_problems *problems, pw_status status, const char *path, pw_fact found, pw_fact expected,
                          pw_fact hint);
/* The same with texts as they are, in no language: what a person typed, a symbol. Every text may be NULL, which means
 * "". */
pw_status pw_problem_add(pw_problems *problems, pw_status status, const char *path, const char *found,
                         const char *expected, const char *hint);
pw_status pw_warning_add(pw_problems *problems, pw_status status, const char *path, const char *found,
                         const char *expected, const char *hint);
/* One that was told elsewhere, as it is. */
void pw_problem_again(pw_problems *problems, const pw_problem *one);
/* A text as it is, as a fact; no fact for NULL and "". */
pw_fact pw_verbatim(const char *text);
/* "did you mean "X"?" for the nearest of the words, or no fact. */
pw_fact pw_near_fact(const char *word, const char *const *words, int32_t count);

/* Names to choose from, "a, b, c" in a buffer of PW_WORDS_SIZE, never cut inside a name: what there is no room for is
 * counted. Begin with {0}. */
typedef struct pw_choices {
    char names[PW_WORDS_SIZE - 40]; /* so that a remark has room for more than them */
    int32_t length, more;
} pw_choices;
void pw_choices_add(pw_choices *choices, const char *name);
/* "one of: a, b and 3 more" */
pw_fact pw_choices_fact(const pw_choices *choices);

/* Copy text into a fixed buffer, cut at a UTF-8 boundary; always terminated. Returns dst. */
char *pw_copy(char *dst, int32_t dst_size, const char *src);
/* Pieces joined into a message buffer of PW_WORDS_SIZE; the list ends with NULL. Returns the buffer. */
const char *pw_say(char *buffer, ...);

/* Nearest of the words to the given one by edit distance with swaps (Damerau, optimal string alignment), case
 * ignored; -1 when none is near enough (distance over 1 + length/3; over 1 up to four letters). */
int32_t pw_near_match(const char *word, const char *const *words, int32_t count);

#endif
