/* What a book is written to: shared by the files of this folder, and by nobody else.
 *
 * The statements are the same for both stores, in the SQL that both know; their values stand for $1, $2 ... What
 * differs is a slot of book_store: how to open, to ask, and to begin a transaction that writes.
 */
#ifndef PW_BOOK_STORE_H
#define PW_BOOK_STORE_H

#include "book/book.h"

typedef struct book_value {
    enum { BOOK_TEXT, BOOK_WHOLE, BOOK_REAL, BOOK_BYTES } kind;
    const void *bytes; /* of text, too; NULL: no value */
    size_t length;
    int64_t whole;
    double real;
} book_value;

enum { BOOK_MOST_VALUES = 8, BOOK_MOST_TEXTS = 8 };

typedef struct book_store {
    const char *begin_writing; /* from here on no other program writes */
    const char *begin_reading; /* what is read from here on is of one moment */
    const char *gather;        /* aggregate that joins texts: gather(x, ', ') */
    const char *check;         /* answers "ok", or what is wrong first; NULL: each table is read whole */
    book_end (*open)(const char *where, bool make, bool only_read, void **at);
    void (*close)(void *at);
    book_end (*run)(void *at, const char *sql); /* several statements, without values */
    /* One statement; row NULL: its rows are not wanted. */
    book_end (*ask)(void *at, const char *sql, const book_value *values, int count, book_row row, void *user);
    book_end (*version)(void *at, int64_t *out); /* 0: nothing is there yet */
    book_end (*set_version)(void *at, int version);
    const char *migrations[BOOK_VERSION]; /* each from the version before to its own */
} book_store;

extern const book_store book_sqlite;
extern const book_store book_postgres; /* only where PW_HAS_POSTGRES */

struct book {
    const book_store *store;
    void *at;
};

book_value book_text(const char *text);
book_value book_whole(int64_t whole);
/* book_ask of one number: the first of the first row; 0 when there is none. */
book_end book_ask(book *b, const char *sql, const book_value *values, int count, book_row row, void *user);
book_end book_ask_number(book *b, const char *sql, const book_value *values, int count, int64_t *out);
book_end book_run(book *b, const char *sql);
/* Ends a transaction: it is kept when all was fine, else taken back. */
book_end book_finish(book *b, book_end end);

/* The rows of a visit; in a transaction that writes. uid "": a new one. */
book_end book_put_visit(book *b, const book_visit *visit, const char *uid, int64_t *number);
book_end book_put_sheet(book *b, const book_visit *visit, int64_t number);
book_end book_put_reading(book *b, const book_reading *reading, int64_t number);
/* Bytes as they are stored; whole: their length unpacked, 0 when they are not packed. */
book_end book_put_bytes(book *b, const char *name, const void *bytes, size_t length, int64_t whole, int64_t number);

void book_keep_said(const char *words);

/* Numbers of a row. */
int64_t book_number(const char *text);

#endif
