/* The job book: sites, visits, sheets with their history, readings with their verdicts, documents; one SQLite file.
 *
 * Invariants
 *  - a visit with all that belongs to it is written in one transaction: it is there completely or not at all
 *  - what was acknowledged outlives the death of the program and the loss of power (WAL, synchronous FULL)
 *  - rows are added, never changed: the history is the data
 */
#ifndef PW_BOOK_BOOK_H
#define PW_BOOK_BOOK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct book book;

typedef enum book_end {
    BOOK_FINE,
    BOOK_NO_FILE,   /* it is not there, or cannot be opened */
    BOOK_READ_ONLY, /* it cannot be written */
    BOOK_FULL,      /* no room on the disk */
    BOOK_DAMAGED,   /* no book, or a damaged one */
    BOOK_NEWER,     /* of a later version of this program */
    BOOK_BUSY,      /* another program writes, for longer than 10 s */
    BOOK_NOT_THERE, /* no such site */
    BOOK_OTHER,     /* anything else that the system or SQLite refuses */
    BOOK_ENDS
} book_end;
const char *book_why(book_end end); /* id of a message */

enum { BOOK_VERSION = 2 };

/* make: it is begun when it is not there. An earlier version is brought up to this one, unless only read. */
book_end book_open(const char *path, bool make, bool only_read, book **out);
void book_close(book *b);

typedef struct book_reading {
    const char *what, *words, *verdict; /* verdict "" when none was given */
    double si;
} book_reading;

typedef struct book_visit {
    const char *site, *day, *who, *why; /* day: YYYY-MM-DD */
    const char *mark, *sheet;           /* fingerprint and JSON of the sheet; NULL: the visit brings none */
    int32_t reading_count;
    const book_reading *readings;
    const char *document; /* name of a file, NULL none */
    const void *bytes;
    size_t length;
} book_visit;
/* One transaction. *number: of the visit. A sheet with the mark of the last one is not written again. */
book_end book_add(book *b, const book_visit *visit, int64_t *number);

/* Rows of a question, as text; NULL texts are "". Returning false ends it. */
typedef bool (*book_row)(void *user, int count, const char *const *texts);
book_end book_sites(book *b, book_row row, void *user);                    /* name, visits, last day, mark */
book_end book_visits(book *b, const char *site, book_row row, void *user); /* number, day, who, why, mark, documents */
book_end book_readings(book *b, const char *site, book_row row,
                       void *user); /* visit, day, what, si, words, verdict, days
                                                                               since 1970-01-01, site */
book_end book_search(book *b, const char *words, book_row row,
                     void *user); /* site, day, who, why, where it was found */
/* The last sheet of a site, to be freed; NULL: there is none. */
char *book_sheet(book *b, const char *site, book_end *end);

/* The whole book as one file, also while others write; nothing may stand there yet. */
book_end book_copy(book *b, const char *path);
/* What another book has and this one lacks: visits by site, day, who and why. */
book_end book_take(book *b, const char *path, int64_t *visits);
/* Are all pages sound? *first: what is wrong first, to be freed; NULL when nothing is. */
book_end book_check(book *b, char **first);
/* Row by row into a new book, without what cannot be read. */
book_end book_rescue(const char *from, const char *to, int64_t *saved, int64_t *lost);

#endif
