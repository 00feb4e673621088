/* The job book: sites, visits, sheets with their history, readings with their verdicts, documents; one SQLite file, or
 * a PostgreSQL server that several people write to.
 *
 * Invariants
 *  - a visit with all that belongs to it is written in one transaction: it is there completely or not at all
 *  - what was acknowledged outlives the death of the program and the loss of power (WAL, synchronous writing)
 *  - rows are added, never changed: the history is the data
 *  - a sheet says from which sheets it was made; one that no later sheet was made from stands. Two that stand are a
 *    conflict: both are kept, and both are shown until a sheet is made from both
 */
#ifndef PW_BOOK_BOOK_H
#define PW_BOOK_BOOK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct book book;

typedef enum book_end {
    BOOK_FINE,
    BOOK_NO_FILE,    /* it is not there, or cannot be opened or reached */
    BOOK_READ_ONLY,  /* it cannot be written */
    BOOK_FULL,       /* no room on the disk */
    BOOK_DAMAGED,    /* no book, or a damaged one */
    BOOK_NEWER,      /* of a later version of this program */
    BOOK_OLDER,      /* of an earlier version, and only read */
    BOOK_BUSY,       /* another program writes, for longer than 10 s */
    BOOK_NOT_THERE,  /* no such site */
    BOOK_NO_SHEET,   /* no sheet with this fingerprint, or none at all */
    BOOK_NO_PAPER,   /* no document of this name */
    BOOK_STANDS,     /* a file is there already */
    BOOK_NO_SERVERS, /* built without PostgreSQL */
    BOOK_SERVER,     /* only a file can be asked that */
    BOOK_CUT,        /* the server was lost: whether the visit was written is not known */
    BOOK_OTHER,      /* anything else that the system or the store refuses */
    BOOK_ENDS
} book_end;
const char *book_why(book_end end); /* id of a message */
/* What the server said last when it refused, in its own words, one line; "" when there was no server. */
const char *book_said(void);

enum { BOOK_VERSION = 3, BOOK_MOST_MARKS = 8, BOOK_MOST_PAPERS = 2 };

/* Is it the connection string of a server ("postgresql://...") rather than the name of a file? */
bool book_is_server(const char *where);
/* The same for messages: without the password, if there is one. */
void book_name(const char *where, char *out, size_t size);

/* make: it is begun when it is not there. An earlier version is brought up to this one, unless only read. */
book_end book_open(const char *where, bool make, bool only_read, book **out);
void book_close(book *b);

typedef struct book_reading {
    const char *what, *words, *verdict; /* verdict "" when none was given */
    double si;
} book_reading;

/* A document: name of its file, and what stands in it. */
typedef struct book_paper {
    const char *name;
    const void *bytes;
    size_t length;
} book_paper;

typedef struct book_visit {
    const char *site, *day, *who, *why; /* day: YYYY-MM-DD */
    const char *mark, *sheet, *typed;   /* fingerprint, JSON and text of the sheet; NULL: the visit brings none */
    int32_t made_from_count;            /* of the sheet: fingerprints of those it was made from, as its author says */
    const char *made_from[BOOK_MOST_MARKS];
    const char *fetched; /* else: fingerprint of the sheet that its file was fetched as; NULL not known */
    int32_t reading_count;
    const book_reading *readings;
    int32_t document_count;
    book_paper documents[BOOK_MOST_PAPERS];
} book_visit;
/* The first line of a file that was fetched; the fingerprint of its sheet follows, and the line ends. */
#define BOOK_SHEET_LINE "# job book, sheet "

/* One transaction. *number: of the visit. Only a sheet makes a new site. A sheet that is the last one to the letter is
 * not written again. Where nothing is said it was made from the later of the sheet that was fetched and the last one of
 * the same person. */
book_end book_add(book *b, const book_visit *visit, int64_t *number);

/* Rows of a question, as text; NULL is "". lengths: bytes of each. Returning false ends it. */
typedef bool (*book_row)(void *user, int count, const char *const *texts, const size_t *lengths);
/* name, visits, last day, mark */
book_end book_sites(book *b, book_row row, void *user);
/* number, day, who, why, mark, documents */
book_end book_visits(book *b, const char *site, book_row row, void *user);
/* site NULL: all. visit, day, what, si, words, verdict, site */
book_end book_readings(book *b, const char *site, book_row row, void *user);
/* site, day, who, why */
book_end book_search(book *b, const char *words, book_row row, void *user);
/* The sheets that stand, oldest first: mark, day, who, JSON. */
book_end book_standing(book *b, const char *site, book_row row, void *user);

/* The sheet of a visit, and the one that it was made from ("" none): JSON of both. */
book_end book_change(book *b, int64_t visit, book_row row, void *user);

/* The last sheet of a site, or the one with this mark (NULL: the last). All are to be freed. */
typedef struct book_sheet {
    char *mark, *json, *typed; /* typed: "" when it was written by an earlier version */
} book_sheet;
book_end book_sheet_of(book *b, const char *site, const char *mark, book_sheet *out);
void book_sheet_free(book_sheet *sheet);
/* The last document of this name, to be freed. */
book_end book_document(book *b, const char *site, const char *name, char **bytes, size_t *length);

/* The whole book as one file, also while others write; nothing may stand there yet. */
book_end book_copy(book *b, const char *path);
/* What another book (file or server) has and this one lacks. */
book_end book_take(book *b, const char *where, int64_t *visits);
/* Is all of it readable and sound? *first: what is wrong first, to be freed; NULL when nothing is. */
book_end book_check(book *b, char **first);
/* Row by row into a new book, without what cannot be read. */
book_end book_rescue(const char *from, const char *to, int64_t *saved, int64_t *lost);

#endif
