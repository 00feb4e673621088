/* Whole books: "book export", "backup", "import", "check" and "rescue". */
#include <stdlib.h>
#include <string.h>

#include "adapt/files.h"
#include "base/text.h"
#include "cli/book_inside.h"
#include "cli/voice.h"

/* A field of a table (RFC 4180): in quotation marks, those inside doubled. */
static void put_field(pw_text *text, const char *field)
{
    pw_text_put(text, "\"");
    for (const char *at = field; *at != 0; at++) {
        pw_text_put_n(text, at, 1);
        pw_text_put(text, *at == '"' ? "\"" : "");
    }
    pw_text_put(text, "\"");
}

static bool put_table_row(void *user, int count, const char *const *texts, const size_t *lengths)
{
    static const int order[] = {6, 1, 2, 3, 4, 5}; /* site, day, what, si, words, verdict */
    (void)count, (void)lengths;
    for (int i = 0; i < 6; i++) {
        pw_text_put(user, i > 0 ? "," : "");
        put_field(user, texts[order[i]]);
    }
    pw_text_put(user, "\r\n");
    return true;
}

static book_end export_table(book *b, const char *to, cli_exit *code)
{
    pw_arena arena;
    pw_text text;
    const char *why = "";
    cli_arena(&arena, (size_t)256 << 20);
    pw_text_init(&text, &arena);
    pw_text_put(&text, "site,day,what,si,words,verdict\r\n");
    const book_end end = book_readings(b, NULL, put_table_row, &text);
    if (end != BOOK_FINE || text.failed) {
        return text.failed ? BOOK_OTHER : end;
    }
    if (!pw_file_write(to, text.data, text.length, &why)) {
        cli_tell(pw_fact_of("cli.cannot-write", pw_named(to), pw_word(why)));
        *code = CLI_EXIT_FILE;
    }
    return BOOK_FINE;
}

static book_end export_to(book *b, void *user, cli_exit *code)
{
    const char *to = user;
    const size_t length = strlen(to);
    if (length > 4 && strcmp(to + length - 4, ".csv") == 0) {
        return export_table(b, to, code);
    }
    const book_end end = book_copy(b, to);
    *code = end == BOOK_FINE ? CLI_EXIT_FINE : book_refused(to, end);
    return BOOK_FINE;
}

/* Also the backup: one file, made while others write. */
cli_exit book_cli_export(const cli_options *options, const char *where)
{
    return book_with(where, BOOK_READS, export_to, (char *)(uintptr_t)options->operands[2]);
}

static book_end import_from(book *b, void *user, cli_exit *code)
{
    int64_t visits = 0;
    const book_end end = book_take(b, user, &visits);
    if (end != BOOK_FINE) {
        *code = book_refused(user, end);
    } else {
        printf("%s\n", cli_words(pw_fact_of("book.taken", pw_count(visits))));
    }
    return BOOK_FINE;
}

cli_exit book_cli_import(const cli_options *options, const char *where)
{
    return book_with(where, BOOK_BEGINS, import_from, (char *)(uintptr_t)options->operands[2]);
}

static book_end check_all(book *b, void *user, cli_exit *code)
{
    char *first = NULL;
    (void)user, (void)code;
    const book_end end = book_check(b, &first);
    const bool sound = first == NULL;
    free(first);
    if (end == BOOK_FINE && sound) {
        printf("%s\n", pw_say_word(cli_voice(), "book.sound"));
    }
    return end == BOOK_FINE && !sound ? BOOK_DAMAGED : end;
}

cli_exit book_cli_check(const cli_options *options, const char *where)
{
    (void)options;
    return book_with(where, BOOK_READS, check_all, NULL);
}

cli_exit book_cli_rescue(const cli_options *options, const char *where)
{
    int64_t saved = 0, lost = 0;
    const book_end end = book_rescue(where, options->operands[2], &saved, &lost);
    if (end != BOOK_FINE) {
        return book_refused(end == BOOK_STANDS ? options->operands[2] : where, end);
    }
    printf("%s\n", cli_words(pw_fact_of("book.rescued", pw_count(saved), pw_count(lost))));
    return CLI_EXIT_FINE;
}
