/* What the files of the command "book" share, and nobody else. */
#ifndef PW_CLI_BOOK_INSIDE_H
#define PW_CLI_BOOK_INSIDE_H

#include "book/book.h"
#include "cli/ask.h"
#include "cli/options.h"

/* Tells why, and gives the exit code that belongs to it. */
cli_exit book_refused(const char *where, book_end end);

typedef enum book_use { BOOK_READS, BOOK_CHANGES, BOOK_BEGINS } book_use;
/* Opens the book, does the work and closes it; what the store refused is told. user: the work's own. The work tells
 * what else is wrong, and gives the exit code for it. */
typedef book_end (*book_work)(book *b, void *user, cli_exit *code);
cli_exit book_with(const char *where, book_use use, book_work work, void *user);

/* When and who, as a visit needs them; word: what writes to the book, NULL where nothing does. */
cli_exit book_signed(const cli_options *options, const char *where, const char *word);

/* A question about one sheet; more: text of a further key; both NULL: none. */
cli_exit book_ask_door(const char *what, const char *sheet, const char *key, const char *more, cli_answer *answer);
const char *book_text_at(const pw_json *object, const char *key); /* "" when it is not there */

/* What changed from one sheet (JSON) to another, a line each. False: nothing did. */
bool book_print_changes(const char *from, const char *to);
/* The sheets of a site that stand side by side, if there are several, and how they differ. True: there are. */
bool book_print_conflict(book *b, const char *site, book_end *end);

cli_exit book_cli_add(const cli_options *options, const char *where); /* book_visit.c */
cli_exit book_cli_file(const cli_options *options, const char *where);
cli_exit book_cli_list(const cli_options *options, const char *where); /* book_show.c */
cli_exit book_cli_show(const cli_options *options, const char *where);
cli_exit book_cli_search(const cli_options *options, const char *where);
cli_exit book_cli_sheet(const cli_options *options, const char *where);
cli_exit book_cli_document(const cli_options *options, const char *where);
cli_exit book_cli_export(const cli_options *options, const char *where); /* book_whole.c */
cli_exit book_cli_import(const cli_options *options, const char *where);
cli_exit book_cli_check(const cli_options *options, const char *where);
cli_exit book_cli_rescue(const cli_options *options, const char *where);

#endif
