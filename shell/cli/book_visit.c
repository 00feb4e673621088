/* "book add" and "book file": a visit. */
#define _XOPEN_SOURCE 700
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "adapt/files.h"
#include "cli/book_inside.h"
#include "cli/handover.h"
#include "cli/sheet.h"
#include "cli/voice.h"

enum { MOST_DOCUMENT = 64 << 20 };

/* When, who and why, as written; today, and "" for the others without. */
static book_visit visit_of(const cli_options *options, char today[16])
{
    const time_t now = time(NULL);
    const struct tm *date = localtime(&now);
    if (!options->date && date) {
        strftime(today, 16, "%Y-%m-%d", date);
    }
    return (book_visit){.day = options->date ? options->date : today,
                        .who = options->by ? options->by : "",
                        .why = options->why ? options->why : ""};
}

/* Readings as the door judged them, with the words of their file beside. */
static cli_exit take_readings(const pw_json *judged, const char *list, book_visit *visit)
{
    pw_arena arena;
    const pw_json *written = NULL;
    cli_arena(&arena, 64 * strlen(list) + ((size_t)1 << 20));
    if (!judged || pw_json_read(&arena, list, strlen(list), &written, NULL) != PW_OK) {
        return CLI_EXIT_INTERNAL;
    }
    book_reading *readings = PW_NEW(&arena, written->count + 1, book_reading);
    const pw_json *words = written->first;
    for (const pw_json *one = judged->first; readings && one && words; one = one->next, words = words->next) {
        const pw_json *si = pw_json_get(one, "si");
        readings[visit->reading_count] = (book_reading){book_text_at(one, "what"), book_text_at(words, "reads"),
                                                        book_text_at(one, "verdict"), si ? si->number : 0.0};
        visit->reading_count++;
    }
    visit->readings = readings;
    return visit->reading_count == written->count ? CLI_EXIT_FINE : CLI_EXIT_INTERNAL; /* all of them, or none */
}

/* A question that the door may refuse. */
static cli_exit ask_good(const char *what, const cli_sheet *sheet, const char *list, cli_answer *answer)
{
    const cli_exit code = book_ask_door(what, sheet->json, list ? "readings" : NULL, list, answer);
    return code != CLI_EXIT_FINE || answer->ok ? code : cli_refused(answer, sheet, false);
}

/* The first line, as "book sheet" writes it, says which sheet the file was made from; the rest is what was typed. */
static const char *take_typed(const char *text, char *mark, size_t size)
{
    const size_t length = strlen(BOOK_SHEET_LINE);
    const size_t line = strcspn(text, "\n");
    if (strncmp(text, BOOK_SHEET_LINE, length) != 0 || line - length >= size || text[line] == 0) {
        return text;
    }
    memcpy(mark, text + length, line - length);
    mark[line - length] = 0;
    return text + line + 1;
}

/* "MARK,MARK" into its parts, in place. */
static void take_marks(char *list, book_visit *visit)
{
    while (list && *list != 0 && visit->made_from_count < BOOK_MOST_MARKS) {
        char *end = list + strcspn(list, ",");
        const bool more = *end != 0;
        *end = 0;
        visit->made_from[visit->made_from_count] = list;
        visit->made_from_count++;
        list = more ? end + 1 : end;
    }
}

static cli_exit ask_all(const cli_options *options, book_visit *visit)
{
    static cli_sheet sheet, other;
    static cli_answer about, judged;
    static char fetched[64];
    const char *list = NULL;
    if (cli_sheet_load(options->operands[2], false, &sheet) != CLI_LOADED) {
        return CLI_EXIT_PROBLEMS;
    }
    cli_exit code = ask_good("handover", &sheet, NULL, &about);
    if (code != CLI_EXIT_FINE) {
        return code;
    }
    visit->site = book_text_at(about.tree, "name");
    visit->mark = book_text_at(about.tree, "mark");
    visit->sheet = sheet.json;
    visit->typed = take_typed(sheet.text, fetched, sizeof fetched);
    visit->fetched = fetched[0] != 0 ? fetched : NULL;
    if (options->made_from) {
        take_marks(cli_keep(strdup(options->made_from)), visit);
    }
    if (options->operand_count < 4) {
        return CLI_EXIT_FINE;
    }
    if (cli_readings_load(options->operands[3], false, &other, &list) != CLI_LOADED) {
        return CLI_EXIT_PROBLEMS;
    }
    code = ask_good("commission", &sheet, list, &judged);
    return code == CLI_EXIT_FINE ? take_readings(pw_json_get(judged.tree, "readings"), list, visit) : code;
}

/* Once it is acknowledged it is said whether another sheet stands beside the one of this visit. */
static book_end put_visit(book *b, void *user, cli_exit *code)
{
    const book_visit *visit = user;
    int64_t number = 0;
    book_end end = book_add(b, visit, &number);
    if (end != BOOK_FINE) {
        return end;
    }
    printf("%s\n", cli_words(pw_fact_of("book.added", pw_count(number), pw_named(visit->site),
                                        pw_count(visit->reading_count))));
    fflush(stdout);
    if (visit->sheet && book_print_conflict(b, visit->site, &end)) {
        *code = CLI_EXIT_PROBLEMS;
    }
    return end;
}

cli_exit book_cli_add(const cli_options *options, const char *where)
{
    char today[16] = "";
    book_visit visit = visit_of(options, today);
    const cli_exit code = ask_all(options, &visit);
    return code == CLI_EXIT_FINE ? book_with(where, BOOK_BEGINS, put_visit, &visit) : code;
}

cli_exit book_cli_file(const cli_options *options, const char *where)
{
    char today[16] = "";
    const char *why = "", *path = options->operands[3], *name = strrchr(path, '/');
    book_visit visit = visit_of(options, today);
    char *bytes = cli_keep(pw_file_read(path, MOST_DOCUMENT, &visit.length, &why));
    if (!bytes) {
        cli_tell(pw_fact_of("cli.cannot-read", pw_named(path), pw_word(why)));
        return CLI_EXIT_FILE;
    }
    visit.site = options->operands[2];
    visit.document = name ? name + 1 : path;
    visit.bytes = bytes;
    return book_with(where, BOOK_CHANGES, put_visit, &visit);
}
