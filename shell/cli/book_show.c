/* What a book holds: "book list", "show", "search", "sheet" and "document". */
#define _XOPEN_SOURCE 700
#include <stdlib.h>
#include <string.h>

#include "adapt/files.h"
#include "base/text.h"
#include "cli/book_inside.h"
#include "cli/voice.h"

static bool print_row(void *user, int count, const char *const *texts, const size_t *lengths)
{
    (void)user, (void)lengths;
    for (int i = 0; i < count; i++) {
        printf("%s%s", i > 0 ? "  " : "", texts[i]);
    }
    putchar('\n');
    return true;
}

static book_end print_sites(book *b, void *user, cli_exit *code)
{
    (void)code;
    return book_sites(b, print_row, user);
}

cli_exit book_cli_list(const cli_options *options, const char *where)
{
    (void)options;
    return book_with(where, BOOK_READS, print_sites, NULL);
}

static book_end print_found(book *b, void *user, cli_exit *code)
{
    (void)code;
    return book_search(b, user, print_row, NULL);
}

cli_exit book_cli_search(const cli_options *options, const char *where)
{
    return book_with(where, BOOK_READS, print_found, (char *)(uintptr_t)options->operands[2]);
}

/* ---- show ---- */

typedef struct history {
    book *b;
    const char *site;
    book_end end;
    int visits, readings;
    pw_arena arena;
    pw_text text; /* the readings as a question of the door */
    pw_json_writer writer;
} history;

static bool print_change(void *user, int count, const char *const *texts, const size_t *lengths)
{
    (void)user, (void)count, (void)lengths;
    if (texts[1][0] != 0) {
        book_print_changes(texts[1], texts[0]);
    }
    return false;
}

static bool print_visit(void *user, int count, const char *const *texts, const size_t *lengths)
{
    history *h = user;
    (void)count, (void)lengths;
    h->visits++;
    const pw_fact words = pw_fact_of("book.visit", pw_named(texts[1]), pw_named(texts[2]), pw_named(texts[3]),
                                     pw_named(texts[4]), pw_named(texts[5]), pw_named(texts[0]));
    printf("%s\n", cli_words(words));
    h->end = book_change(h->b, strtoll(texts[0], NULL, 10), print_change, NULL);
    return h->end == BOOK_FINE;
}

/* Days since 1970-01-01 of YYYY-MM-DD: years begin in March, so a leap day is the last of its year (own derivation). */
static double days_of(const char *day)
{
    long year = 1970, month = 1, date = 1;
    if (sscanf(day, "%4ld-%2ld-%2ld", &year, &month, &date) != 3) {
        return 0.0;
    }
    const long since_march = (month + 9) % 12; /* March 0 */
    year -= month <= 2 ? 1 : 0;
    return (double)(365 * year + year / 4 - year / 100 + year / 400 + (153 * since_march + 2) / 5 + date - 1 - 719468);
}

static bool keep_reading(void *user, int count, const char *const *texts, const size_t *lengths)
{
    history *h = user;
    (void)count, (void)lengths;
    printf("%s\n", cli_words(pw_fact_of("book.reading", pw_named(texts[1]), pw_named(texts[2]), pw_named(texts[4]),
                                        pw_named(texts[5]))));
    pw_json_open(&h->writer, NULL, '{');
    pw_json_string(&h->writer, "what", texts[2]);
    pw_json_number(&h->writer, "day", days_of(texts[1]));
    pw_json_number(&h->writer, "si", strtod(texts[3], NULL));
    pw_json_close(&h->writer, '}');
    h->readings++;
    return true;
}

static cli_exit print_trends(const char *sheet, const history *h)
{
    static cli_answer answer;
    if (h->text.failed) {
        return CLI_EXIT_INTERNAL;
    }
    const cli_exit code = book_ask_door("trend", sheet, "readings", h->text.data, &answer);
    if (code != CLI_EXIT_FINE || !answer.ok) {
        return code != CLI_EXIT_FINE ? code : cli_refused(&answer, NULL, false);
    }
    const pw_json *trends = pw_json_get(answer.tree, "trends");
    printf("\n%s\n", pw_say_word(cli_voice(), "book.trends"));
    for (const pw_json *one = trends ? trends->first : NULL; one; one = one->next) {
        printf("  %s: %s\n", book_text_at(one, "what"), book_text_at(one, "words"));
    }
    return CLI_EXIT_FINE;
}

static book_end show_site(book *b, void *user, cli_exit *code)
{
    history *h = user;
    book_sheet sheet = {NULL, NULL, NULL};
    h->b = b;
    pw_json_open(&h->writer, NULL, '[');
    book_end end = book_visits(b, h->site, print_visit, h);
    end = end == BOOK_FINE ? h->end : end;
    end = end == BOOK_FINE && h->visits == 0 ? BOOK_NOT_THERE : end;
    end = end == BOOK_FINE ? book_readings(b, h->site, keep_reading, h) : end;
    pw_json_close(&h->writer, ']');
    if (end == BOOK_FINE && h->readings > 0) {
        end = book_sheet_of(b, h->site, NULL, &sheet);
        *code = end == BOOK_FINE ? print_trends(sheet.json, h) : *code;
        end = end == BOOK_NO_SHEET ? BOOK_FINE : end; /* rescued without it */
        book_sheet_free(&sheet);
    }
    if (end == BOOK_FINE && book_print_conflict(b, h->site, &end) && *code == CLI_EXIT_FINE) {
        *code = CLI_EXIT_PROBLEMS;
    }
    return end;
}

cli_exit book_cli_show(const cli_options *options, const char *where)
{
    history h = {.site = options->operands[2], .end = BOOK_FINE};
    cli_arena(&h.arena, (size_t)64 << 20);
    pw_text_init(&h.text, &h.arena);
    pw_json_writer_init(&h.writer, &h.text, 0);
    return book_with(where, BOOK_READS, show_site, &h);
}

/* ---- what was filed, as a file again ---- */

typedef struct wanted {
    const char *site, *name, *path; /* name: of the document; mark of the sheet, NULL the last */
} wanted;

static cli_exit write_out(const char *path, const char *bytes, size_t length)
{
    const char *why = "";
    if (!pw_file_write(path, bytes, length, &why)) {
        cli_tell(pw_fact_of("cli.cannot-write", pw_named(path), pw_word(why)));
        return CLI_EXIT_FILE;
    }
    return CLI_EXIT_FINE;
}

/* With a line on top that says which sheet it is: what is made from it then names it by itself. */
static book_end fetch_sheet(book *b, void *user, cli_exit *code)
{
    const wanted *w = user;
    book_sheet sheet;
    pw_arena arena;
    pw_text text;
    const book_end end = book_sheet_of(b, w->site, w->name, &sheet);
    if (end != BOOK_FINE) {
        return end;
    }
    const char *words = sheet.typed[0] != 0 ? sheet.typed : sheet.json; /* JSON is YAML, too */
    cli_arena(&arena, strlen(words) + 4096);
    pw_text_init(&text, &arena);
    pw_text_puts(&text, BOOK_SHEET_LINE, sheet.mark, "\n", words, NULL);
    *code = text.failed ? CLI_EXIT_INTERNAL : write_out(w->path, text.data, text.length);
    book_sheet_free(&sheet);
    return BOOK_FINE;
}

cli_exit book_cli_sheet(const cli_options *options, const char *where)
{
    wanted w = {options->operands[2], options->operand_count > 4 ? options->operands[4] : NULL, options->operands[3]};
    return book_with(where, BOOK_READS, fetch_sheet, &w);
}

static book_end fetch_document(book *b, void *user, cli_exit *code)
{
    const wanted *w = user;
    char *bytes = NULL;
    size_t length = 0;
    const book_end end = book_document(b, w->site, w->name, &bytes, &length);
    *code = end == BOOK_FINE ? write_out(w->path, bytes, length) : *code;
    free(bytes);
    return end;
}

cli_exit book_cli_document(const cli_options *options, const char *where)
{
    wanted w = {options->operands[2], options->operands[3], options->operands[4]};
    return book_with(where, BOOK_READS, fetch_document, &w);
}
