#define _XOPEN_SOURCE 700
/* Actions are rows; each opens the book, asks it, and prints. What readings mean is asked of the door. */
#include "cli/book.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

#ifdef PW_HAS_BOOK

#include "adapt/files.h"
#include "base/text.h"
#include "book/book.h"
#include "cli/handover.h"
#include "cli/sheet.h"
#include "cli/voice.h"

enum { MOST_READINGS = 512, MOST_DOCUMENT = 64 << 20 };

typedef struct action {
    const char *word;
    int least, most; /* operands, the action and the book counted */
    cli_exit (*run)(const cli_options *options, const char *path);
} action;

static cli_exit refused(const char *path, book_end end)
{
    cli_tell(pw_fact_of("book.refused", pw_named(path), pw_word(book_why(end))));
    return end == BOOK_NOT_THERE ? CLI_EXIT_PROBLEMS : CLI_EXIT_FILE;
}

static bool day_is_right(const char *day)
{
    int year = 0, month = 0, date = 0, used = 0;
    return sscanf(day, "%4d-%2d-%2d%n", &year, &month, &date, &used) == 3 && used == 10 && day[10] == 0 && month >= 1 &&
           month <= 12 && date >= 1 && date <= 31;
}

/* As it was written, else today. */
static const char *day_of(const cli_options *options, char out[16])
{
    const time_t now = time(NULL);
    const struct tm *today = localtime(&now);
    if (!options->date && today) {
        strftime(out, 16, "%Y-%m-%d", today);
    }
    return options->date ? options->date : out;
}

static bool print_row(void *user, int count, const char *const *texts)
{
    (void)user;
    for (int i = 0; i < count; i++) {
        printf("%s%s", i > 0 ? "  " : "", texts[i]);
    }
    putchar('\n');
    return true;
}

/* ---- add ---- */

/* A question about one sheet; more: further keys with their commas. */
static cli_exit ask_of(const char *what, const char *sheet, const char *key, const char *more, cli_answer *answer)
{
    pw_arena arena;
    pw_text text;
    cli_arena(&arena, strlen(sheet) + (more ? strlen(more) : 0) + ((size_t)1 << 20));
    pw_text_init(&text, &arena);
    pw_text_puts(&text, "{\"do\":\"", what, "\",\"language\":\"", pw_language_id(cli_voice()->language), "\"", NULL);
    if (more) {
        pw_text_puts(&text, ",\"", key, "\":", more, NULL);
    }
    pw_text_puts(&text, ",\"site\":", sheet, "}", NULL);
    return text.failed ? CLI_EXIT_INTERNAL : cli_ask(text.data, true, answer);
}

static const char *text_at(const pw_json *object, const char *key)
{
    const pw_json *value = pw_json_get(object, key);
    return value && value->kind == PW_JSON_STRING ? value->string : "";
}

/* Readings as the door judged them, with the words of their file beside. */
static int32_t take_readings(const pw_json *judged, const char *list, book_reading *out)
{
    pw_arena arena;
    const pw_json *written = NULL;
    int32_t count = 0;
    cli_arena(&arena, 64 * strlen(list) + ((size_t)1 << 20));
    if (pw_json_read(&arena, list, strlen(list), &written, NULL) != PW_OK) {
        return 0;
    }
    const pw_json *words = written->first;
    for (const pw_json *one = judged ? judged->first : NULL; one && words && count < MOST_READINGS; one = one->next) {
        const pw_json *si = pw_json_get(one, "si");
        out[count++] = (book_reading){text_at(one, "what"), text_at(words, "reads"), text_at(one, "verdict"),
                                      si ? si->number : 0.0};
        words = words->next;
    }
    return count;
}

static cli_exit ask_all(const cli_options *options, book_visit *visit, book_reading *readings)
{
    static cli_sheet sheet, other;
    static cli_answer about, judged;
    const char *list = NULL;
    if (cli_sheet_load(options->operands[2], false, &sheet) != CLI_LOADED) {
        return CLI_EXIT_PROBLEMS;
    }
    cli_exit code = ask_of("handover", sheet.json, NULL, NULL, &about);
    if (code != CLI_EXIT_FINE || !about.ok) {
        return code != CLI_EXIT_FINE ? code : cli_refused(&about, &sheet, false);
    }
    visit->site = text_at(about.tree, "name");
    visit->mark = text_at(about.tree, "mark");
    visit->sheet = sheet.json;
    if (options->operand_count < 4) {
        return CLI_EXIT_FINE;
    }
    if (cli_readings_load(options->operands[3], false, &other, &list) != CLI_LOADED) {
        return CLI_EXIT_PROBLEMS;
    }
    code = ask_of("commission", sheet.json, "readings", list, &judged);
    if (code != CLI_EXIT_FINE || !judged.ok) {
        return code != CLI_EXIT_FINE ? code : cli_refused(&judged, &sheet, false);
    }
    visit->readings = readings;
    visit->reading_count = take_readings(pw_json_get(judged.tree, "readings"), list, readings);
    return CLI_EXIT_FINE;
}

static cli_exit put_visit(const char *path, const book_visit *visit, bool make)
{
    book *b = NULL;
    int64_t number = 0;
    book_end end = book_open(path, make, false, &b);
    end = end == BOOK_FINE ? book_add(b, visit, &number) : end;
    book_close(b);
    if (end != BOOK_FINE) {
        return refused(path, end);
    }
    printf("%s\n", cli_words(pw_fact_of("book.added", pw_count(number), pw_named(visit->site),
                                        pw_count(visit->reading_count))));
    return CLI_EXIT_FINE;
}

static cli_exit add(const cli_options *options, const char *path)
{
    static book_reading readings[MOST_READINGS];
    char today[16] = "";
    book_visit visit = {
        .day = day_of(options, today), .who = options->by ? options->by : "", .why = options->why ? options->why : ""};
    const cli_exit code = ask_all(options, &visit, readings);
    return code == CLI_EXIT_FINE ? put_visit(path, &visit, true) : code;
}

static cli_exit file_document(const cli_options *options, const char *path)
{
    char today[16] = "";
    size_t length = 0;
    const char *why = "", *name = strrchr(options->operands[3], '/');
    char *bytes = pw_file_read(options->operands[3], MOST_DOCUMENT, &length, &why);
    if (!bytes) {
        cli_tell(pw_fact_of("cli.cannot-read", pw_named(options->operands[3]), pw_word(why)));
        return CLI_EXIT_FILE;
    }
    const book_visit visit = {.site = options->operands[2],
                              .day = day_of(options, today),
                              .who = options->by ? options->by : "",
                              .why = options->why ? options->why : "",
                              .document = name ? name + 1 : options->operands[3],
                              .bytes = bytes,
                              .length = length};
    const cli_exit code = put_visit(path, &visit, false);
    free(bytes);
    return code;
}

/* ---- show ---- */

typedef struct history {
    pw_arena arena;
    pw_text text;
    pw_json_writer writer;
    int count;
} history;

static bool print_visit(void *user, int count, const char *const *texts)
{
    int *visits = user;
    (void)count;
    (*visits)++;
    const pw_fact words = pw_fact_of("book.visit", pw_named(texts[1]), pw_named(texts[2]), pw_named(texts[3]),
                                     pw_named(texts[4]), pw_named(texts[5]), pw_named(texts[0]));
    printf("%s\n", cli_words(words));
    return true;
}

static bool keep_reading(void *user, int count, const char *const *texts)
{
    history *h = user;
    (void)count;
    printf("%s\n", cli_words(pw_fact_of("book.reading", pw_named(texts[1]), pw_named(texts[2]), pw_named(texts[4]),
                                        pw_named(texts[5]))));
    pw_json_open(&h->writer, NULL, '{');
    pw_json_string(&h->writer, "what", texts[2]);
    pw_json_number(&h->writer, "day", strtod(texts[6], NULL));
    pw_json_number(&h->writer, "si", strtod(texts[3], NULL));
    pw_json_close(&h->writer, '}');
    h->count++;
    return true;
}

static cli_exit print_trends(const char *sheet, const history *h)
{
    static cli_answer answer;
    const cli_exit code = ask_of("trend", sheet, "readings", h->text.data, &answer);
    if (code != CLI_EXIT_FINE || !answer.ok) {
        return code != CLI_EXIT_FINE ? code : cli_refused(&answer, NULL, false);
    }
    const pw_json *trends = pw_json_get(answer.tree, "trends");
    printf("\n%s\n", pw_say_word(cli_voice(), "book.trends"));
    for (const pw_json *one = trends ? trends->first : NULL; one; one = one->next) {
        printf("  %s: %s\n", text_at(one, "what"), text_at(one, "words"));
    }
    return CLI_EXIT_FINE;
}

static cli_exit show(const cli_options *options, const char *path)
{
    book *b = NULL;
    int visits = 0;
    history h = {.count = 0};
    const char *site = options->operands[2];
    cli_arena(&h.arena, (size_t)64 << 20);
    pw_text_init(&h.text, &h.arena);
    pw_json_writer_init(&h.writer, &h.text, 0);
    pw_json_open(&h.writer, NULL, '[');
    book_end end = book_open(path, false, true, &b);
    end = end == BOOK_FINE ? book_visits(b, site, print_visit, &visits) : end;
    end = end == BOOK_FINE ? book_readings(b, site, keep_reading, &h) : end;
    pw_json_close(&h.writer, ']');
    char *sheet = end == BOOK_FINE ? book_sheet(b, site, &end) : NULL;
    book_close(b);
    end = end == BOOK_FINE && visits == 0 ? BOOK_NOT_THERE : end;
    const cli_exit code = end != BOOK_FINE                         ? refused(path, end)
                          : sheet && h.count > 0 && !h.text.failed ? print_trends(sheet, &h)
                                                                   : CLI_EXIT_FINE;
    free(sheet);
    return code;
}

static cli_exit list_sites(const cli_options *options, const char *path)
{
    book *b = NULL;
    (void)options;
    book_end end = book_open(path, false, true, &b);
    end = end == BOOK_FINE ? book_sites(b, print_row, NULL) : end;
    book_close(b);
    return end == BOOK_FINE ? CLI_EXIT_FINE : refused(path, end);
}

static cli_exit search(const cli_options *options, const char *path)
{
    book *b = NULL;
    book_end end = book_open(path, false, true, &b);
    end = end == BOOK_FINE ? book_search(b, options->operands[2], print_row, NULL) : end;
    book_close(b);
    return end == BOOK_FINE ? CLI_EXIT_FINE : refused(path, end);
}

/* ---- whole books ---- */

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

static bool put_table_row(void *user, int count, const char *const *texts)
{
    static const int order[] = {7, 1, 2, 3, 4, 5}; /* site, day, what, si, words, verdict */
    (void)count;
    for (int i = 0; i < 6; i++) {
        pw_text_put(user, i > 0 ? "," : "");
        put_field(user, texts[order[i]]);
    }
    pw_text_put(user, "\r\n");
    return true;
}

static cli_exit export_table(book *b, const char *path, const char *to)
{
    pw_arena arena;
    pw_text text;
    const char *why = "";
    cli_arena(&arena, (size_t)256 << 20);
    pw_text_init(&text, &arena);
    pw_text_put(&text, "site,day,what,si,words,verdict\r\n");
    const book_end end = book_readings(b, NULL, put_table_row, &text);
    if (end != BOOK_FINE || text.failed) {
        return refused(path, text.failed ? BOOK_OTHER : end);
    }
    if (!pw_file_write(to, text.data, text.length, &why)) {
        cli_tell(pw_fact_of("cli.cannot-write", pw_named(to), pw_word(why)));
        return CLI_EXIT_FILE;
    }
    return CLI_EXIT_FINE;
}

/* Also the backup: one file, made while others write. */
static cli_exit export_book(const cli_options *options, const char *path)
{
    book *b = NULL;
    const char *to = options->operands[2];
    const size_t length = strlen(to);
    const book_end end = book_open(path, false, false, &b);
    if (end != BOOK_FINE) {
        return refused(path, end);
    }
    cli_exit code = CLI_EXIT_FINE;
    if (length > 4 && strcmp(to + length - 4, ".csv") == 0) {
        code = export_table(b, path, to);
    } else {
        const book_end copied = book_copy(b, to);
        code = copied == BOOK_FINE ? CLI_EXIT_FINE : refused(to, copied);
    }
    book_close(b);
    return code;
}

static cli_exit import_book(const cli_options *options, const char *path)
{
    book *b = NULL;
    int64_t visits = 0;
    book_end end = book_open(path, true, false, &b);
    if (end != BOOK_FINE) {
        return refused(path, end);
    }
    end = book_take(b, options->operands[2], &visits);
    book_close(b);
    if (end != BOOK_FINE) {
        return refused(options->operands[2], end);
    }
    printf("%s\n", cli_words(pw_fact_of("book.taken", pw_count(visits))));
    return CLI_EXIT_FINE;
}

static cli_exit check(const cli_options *options, const char *path)
{
    book *b = NULL;
    char *first = NULL;
    (void)options;
    book_end end = book_open(path, false, true, &b);
    end = end == BOOK_FINE ? book_check(b, &first) : end;
    book_close(b);
    if (end != BOOK_FINE || first) {
        free(first);
        return refused(path, end != BOOK_FINE ? end : BOOK_DAMAGED);
    }
    printf("%s\n", pw_say_word(cli_voice(), "book.sound"));
    return CLI_EXIT_FINE;
}

static cli_exit rescue(const cli_options *options, const char *path)
{
    int64_t saved = 0, lost = 0;
    const book_end end = book_rescue(path, options->operands[2], &saved, &lost);
    if (end != BOOK_FINE) {
        return refused(path, end);
    }
    printf("%s\n", cli_words(pw_fact_of("book.rescued", pw_count(saved), pw_count(lost))));
    return CLI_EXIT_FINE;
}

static const action actions[] = {{"add", 3, 4, add},
                                 {"file", 4, 4, file_document},
                                 {"list", 2, 2, list_sites},
                                 {"show", 3, 3, show},
                                 {"search", 3, 3, search},
                                 {"export", 3, 3, export_book},
                                 {"backup", 3, 3, export_book},
                                 {"import", 3, 3, import_book},
                                 {"check", 2, 2, check},
                                 {"rescue", 3, 3, rescue}};
enum { ACTIONS = sizeof actions / sizeof actions[0] };

cli_exit cli_book(const cli_options *options)
{
    const char *word = options->operand_count > 0 ? options->operands[0] : "";
    for (int i = 0; i < ACTIONS; i++) {
        if (strcmp(actions[i].word, word) != 0) {
            continue;
        }
        if (options->date && !day_is_right(options->date)) {
            cli_tell(pw_fact_of("book.wants-day", pw_named(options->date)));
            return CLI_EXIT_USAGE;
        }
        if (options->operand_count < actions[i].least || options->operand_count > actions[i].most) {
            break;
        }
        return actions[i].run(options, options->operands[1]);
    }
    cli_tell(pw_fact_of("book.usage", pw_named(word)));
    return CLI_EXIT_USAGE;
}

#else

#include "cli/voice.h"

cli_exit cli_book(const cli_options *options)
{
    (void)options;
    cli_tell(pw_fact_of("book.built-without"));
    return CLI_EXIT_FILE;
}

#endif
