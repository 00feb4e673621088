/* "book add", "book file" and "diagnose --book": a visit. */
#define _XOPEN_SOURCE 700
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "adapt/files.h"
#include "cli/book.h"
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

/* Readings as the door judged them; reads: the member that has each as it was read, of the other list where that is
 * given, side by side. */
static cli_exit take_readings(const pw_json *judged, const pw_json *written, const char *reads, book_visit *visit)
{
    pw_arena arena;
    const size_t count = judged ? (size_t)judged->count : 0;
    cli_arena(&arena, (count + 1) * sizeof(book_reading) + 4096);
    book_reading *readings = PW_NEW(&arena, count + 1, book_reading);
    const pw_json *words = written ? written->first : NULL;
    for (const pw_json *one = judged ? judged->first : NULL; one && readings; one = one->next) {
        const pw_json *si = pw_json_get(one, "si");
        readings[visit->reading_count++] =
            (book_reading){book_text_at(one, "what"), book_text_at(words ? words : one, reads),
                           book_text_at(one, "verdict"), si ? si->number : 0.0};
        words = words ? words->next : NULL;
    }
    visit->readings = readings;
    return readings ? CLI_EXIT_FINE : CLI_EXIT_INTERNAL;
}

/* All that were typed, or none: each with the words of its file. */
static cli_exit take_typed_readings(const pw_json *judged, const char *list, book_visit *visit)
{
    pw_arena arena;
    const pw_json *written = NULL;
    cli_arena(&arena, 64 * strlen(list) + ((size_t)1 << 20));
    if (!judged || pw_json_read(&arena, list, strlen(list), &written, NULL) != PW_OK ||
        written->count != judged->count) {
        return CLI_EXIT_INTERNAL;
    }
    return take_readings(judged, written, "reads", visit);
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

/* The sheet with its name and fingerprint; fetched: room for the one it was made from. */
static cli_exit take_sheet(const cli_sheet *sheet, char *fetched, size_t size, book_visit *visit)
{
    static cli_answer about;
    const cli_exit code = ask_good("handover", sheet, NULL, &about);
    if (code != CLI_EXIT_FINE) {
        return code;
    }
    visit->site = book_text_at(about.tree, "name");
    visit->mark = book_text_at(about.tree, "mark");
    visit->sheet = sheet->json;
    visit->typed = take_typed(sheet->text, fetched, size);
    visit->fetched = fetched[0] != 0 ? fetched : NULL;
    return CLI_EXIT_FINE;
}

static cli_exit ask_all(const cli_options *options, book_visit *visit)
{
    static cli_sheet sheet, other;
    static cli_answer judged;
    static char fetched[64];
    const char *list = NULL;
    if (cli_sheet_load(options->operands[2], false, &sheet) != CLI_LOADED) {
        return CLI_EXIT_PROBLEMS;
    }
    cli_exit code = take_sheet(&sheet, fetched, sizeof fetched, visit);
    if (code != CLI_EXIT_FINE) {
        return code;
    }
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
    return code == CLI_EXIT_FINE ? take_typed_readings(pw_json_get(judged.tree, "readings"), list, visit) : code;
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

static const char *name_of(const char *path)
{
    const char *name = strrchr(path, '/');
    return name ? name + 1 : path;
}

/* A file as one more document of a visit. */
static cli_exit take_file(const char *path, book_visit *visit)
{
    const char *why = "";
    size_t length = 0;
    char *bytes = cli_keep(pw_file_read(path, MOST_DOCUMENT, &length, &why));
    if (!bytes) {
        cli_tell(pw_fact_of("cli.cannot-read", pw_named(path), pw_word(why)));
        return CLI_EXIT_FILE;
    }
    visit->documents[visit->document_count++] = (book_paper){name_of(path), bytes, length};
    return CLI_EXIT_FINE;
}

cli_exit book_cli_file(const cli_options *options, const char *where)
{
    char today[16] = "";
    book_visit visit = visit_of(options, today);
    const cli_exit code = take_file(options->operands[3], &visit);
    visit.site = options->operands[2];
    return code == CLI_EXIT_FINE ? book_with(where, BOOK_CHANGES, put_visit, &visit) : code;
}

/* ---- a diagnosis ---- */

/* What was found, in a line: a person's own words first. */
static const char *why_of(const cli_options *options, const pw_json *answer)
{
    const pw_json *list = pw_json_get(answer, "hypotheses"), *explained = pw_json_get(answer, "explained");
    const pw_json *first = list ? list->first : NULL, *share = pw_json_get(first, "probability");
    const bool holds = explained && explained->truth;
    return cli_keep(strdup(cli_words(
        pw_fact_of("book.diagnosed", pw_named(options->why ? options->why : ""), pw_named(book_text_at(first, "words")),
                   pw_count(share ? (int64_t)(100.0 * share->number + 0.5) : 0), pw_truth(holds)))));
}

cli_exit cli_book_keep(const cli_options *options, const cli_sheet *sheet, const pw_json *answer)
{
    static char fetched[64], verdict[512];
    char today[16] = "";
    book_visit visit = visit_of(options, today);
    const char *text = book_text_at(answer, "text");
    cli_exit code = book_signed(options, options->book, "diagnose");
    code = code == CLI_EXIT_FINE ? take_sheet(sheet, fetched, sizeof fetched, &visit) : code;
    code = code == CLI_EXIT_FINE ? take_readings(pw_json_get(answer, "readings"), NULL, "value", &visit) : code;
    code = code == CLI_EXIT_FINE && options->log ? take_file(options->log, &visit) : code;
    if (code != CLI_EXIT_FINE) {
        return code;
    }
    visit.why = why_of(options, answer);
    snprintf(verdict, sizeof verdict, "%s.txt", options->log ? name_of(options->log) : "diagnosis");
    visit.documents[visit.document_count++] = (book_paper){verdict, text, strlen(text)};
    return book_with(options->book, BOOK_BEGINS, put_visit, &visit);
}
