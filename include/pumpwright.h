/* Pumpwright as a library: small pumping systems, described once in a site sheet, then checked, sized, simulated and
 * proved. This header is all that another program includes; docs/library.md has runnable samples.
 *
 *   pkg-config --cflags --libs pumpwright                link with the shared library
 *   pkg-config --cflags --libs --static pumpwright       link with the static one
 *
 * Rules that hold for every function
 *   units      SI: m, m3, m3/s, Pa (gauge), W, J, s. Time within a simulation is int64_t milliseconds since its begin.
 *   text       UTF-8 with a NUL behind. A text that goes in is copied; one that comes out belongs to the handle that it
 *              was asked of, and is good until that handle is freed, unless its function says that the caller frees it.
 *   handles    what made a pumpwright_X is freed by pumpwright_X_free; NULL may be freed.
 *   errors     nothing is printed, and no input ends the program (a broken invariant of the library is an assert). What
 *              failed returns NULL or false; what was wrong with the input is told as a list of problems, all of them
 *              and not only the first.
 *   threads    there is no global state: different handles may be used in different threads at the same time, one
 *              handle in one thread at a time.
 *   sameness   the same input gives the same bytes, on every machine.
 */
#ifndef PW_INCLUDE_PUMPWRIGHT_H
#define PW_INCLUDE_PUMPWRIGHT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

#if defined(__GNUC__)
#define PUMPWRIGHT_API __attribute__((visibility("default")))
#else
#define PUMPWRIGHT_API
#endif

/* Of this header. While the first number is 0 a new second number may change anything; the third never does. */
#define PUMPWRIGHT_VERSION "0.1.0"

/* Of the library that is linked, in the same form: "0.1.0". */
PUMPWRIGHT_API const char *pumpwright_version(void);

/* ---- Problems: what is wrong with an input ---- */

typedef struct pumpwright_problems pumpwright_problems;

/* One thing that is wrong. No text is NULL; "" means that there is nothing to say.
 *   status     syntax, type, unknown-key, missing, duplicate, unit, range, reference, conflict, word, limit, memory,
 *              no-solution, cancelled, unsupported; or file: it cannot be read
 *   warning    true: the input could still be used
 *   path       where in the input: "pumps[0].curve[2].head" of a sheet, "seed" of a request
 *   line, column   of the sheet's text, from 1, the column in characters; 0 and 0: not known, or not in the sheet
 *   found      what stood there
 *   expected   what would be right
 *   hint       a near match, or advice
 *   words      all of it as a sentence */
typedef struct pumpwright_problem {
    const char *status;
    bool warning;
    int32_t line, column;
    const char *path, *found, *expected, *hint, *words;
} pumpwright_problem;

/* How many are kept (0 for NULL), and how many more there were. */
PUMPWRIGHT_API int32_t pumpwright_problems_count(const pumpwright_problems *problems);
PUMPWRIGHT_API int32_t pumpwright_problems_lost(const pumpwright_problems *problems);
/* Number index of them, from 0; its texts live as long as the list. false and an empty problem: there is none. */
PUMPWRIGHT_API bool pumpwright_problems_at(const pumpwright_problems *problems, int32_t index, pumpwright_problem *out);
PUMPWRIGHT_API void pumpwright_problems_free(pumpwright_problems *problems);

/* ---- The door: a request as JSON in, an answer as JSON out ----
 *
 * Everything that the program can do is a request; docs/door.md describes each. An answer is
 * {"ok":true,"do":...,...,"warnings":[...]} or {"ok":false,"problems":[...],"lost":0}. */

/* What the caller lends while a request is worked at; every pointer may be NULL.
 *   user       handed back to both functions
 *   progress   told now and then: part done, 0 to 1, and of what
 *   cancelled  asked now and then; true ends the work, and the answer is the problem "cancelled"
 * Both are called in the thread of the caller. */
typedef struct pumpwright_host {
    void *user;
    void (*progress)(void *user, double done, const char *words);
    bool (*cancelled)(void *user);
} pumpwright_host;

/* Answer a request: length bytes of JSON, any bytes at all. Memory comes from the system, 32 MB at first and up to 512
 * MB when the work needs it, and is given back before this returns. host may be NULL. The answer is the caller's:
 * pumpwright_text_free. NULL only when the system has no memory.
 *
 *   char *answer = pumpwright_ask("{\"do\":\"about\"}", 14, NULL);
 *   puts(answer);
 *   pumpwright_text_free(answer); */
PUMPWRIGHT_API char *pumpwright_ask(const char *request, size_t length, const pumpwright_host *host);

/* The same within memory that the caller lends: size bytes at block, any alignment, and nothing is taken from the
 * system. The answer lies in the block. When the block is too small the answer is the problem "memory"; NULL when it
 * cannot even hold that. 32 MB are enough for most requests. *answer_length (may be NULL): bytes without the NUL. */
PUMPWRIGHT_API const char *pumpwright_ask_within(void *block, size_t size, const char *request, size_t length,
                                                 const pumpwright_host *host, size_t *answer_length);

/* Was the request granted? NULL was not. */
PUMPWRIGHT_API bool pumpwright_granted(const char *answer);

PUMPWRIGHT_API void pumpwright_text_free(char *text);

/* ---- Site sheets: YAML or JSON ---- */

typedef struct pumpwright_sheet pumpwright_sheet;

/* Read the sheet in a file ("-": standard input), and the measured traces that it names. At most 32 MB. *problems
 * (problems may be NULL) is set to what is wrong, for the caller to free, or to NULL when that is nothing. NULL is
 * returned, with at least one problem that is no warning, when it cannot be read as YAML or JSON. Whether it makes
 * sense as a site is seen when a request or pumpwright_site_read takes it up. */
PUMPWRIGHT_API pumpwright_sheet *pumpwright_sheet_read(const char *path, pumpwright_problems **problems);
/* The same for a text of length bytes. name (NULL: "sheet"): what it is called; traces are seen from its folder. */
PUMPWRIGHT_API pumpwright_sheet *pumpwright_sheet_take(const char *text, size_t length, const char *name,
                                                       pumpwright_problems **problems);
PUMPWRIGHT_API void pumpwright_sheet_free(pumpwright_sheet *sheet);

/* As JSON: the value of "site" in a request. */
PUMPWRIGHT_API const char *pumpwright_sheet_json(const pumpwright_sheet *sheet);

/* Line and column (from 1, in characters) of what a path of the sheet names, or of the nearest thing around it:
 * "vessels[0].precharge". false: not known; both are 0 then. */
PUMPWRIGHT_API bool pumpwright_sheet_where(const pumpwright_sheet *sheet, const char *path, int32_t *line,
                                           int32_t *column);

/* Ask one request about a sheet. what: "check", "duty", "size", "run", "prove", ... options: the other keys of the
 * request as a JSON object, or NULL. Otherwise as pumpwright_ask.
 *
 *   char *answer = pumpwright_sheet_ask(sheet, "prove", "{\"years\": 3, \"horizon\": \"7 d\"}", NULL); */
PUMPWRIGHT_API char *pumpwright_sheet_ask(const pumpwright_sheet *sheet, const char *what, const char *options,
                                          const pumpwright_host *host);

/* The problems or warnings of an answer as a list, for the caller to free; NULL when there are none, or no memory.
 * With the sheet (may be NULL) that was asked about, those of the site have its lines and columns and paths without
 * "site.". */
PUMPWRIGHT_API pumpwright_problems *pumpwright_answer_problems(const char *answer, const pumpwright_sheet *sheet);

#ifdef __cplusplus
}
#endif

#endif
