/* Actions of the command "book" are rows. What readings mean is asked of the door. */
#define _XOPEN_SOURCE 700
#include "cli/book.h"

#include <string.h>

#include "cli/voice.h"

#ifdef PW_HAS_BOOK

#include "base/text.h"
#include "cli/book_inside.h"

typedef struct action {
    const char *word;
    int least, most; /* operands, the action and the book counted */
    bool signs;      /* on a server it must be said who does it */
    cli_exit (*run)(const cli_options *options, const char *where);
} action;

static const action actions[] = {{"add", 3, 4, true, book_cli_add},
                                 {"file", 4, 4, true, book_cli_file},
                                 {"list", 2, 2, false, book_cli_list},
                                 {"show", 3, 3, false, book_cli_show},
                                 {"search", 3, 3, false, book_cli_search},
                                 {"sheet", 4, 5, false, book_cli_sheet},
                                 {"document", 5, 5, false, book_cli_document},
                                 {"export", 3, 3, false, book_cli_export},
                                 {"backup", 3, 3, false, book_cli_export},
                                 {"import", 3, 3, false, book_cli_import},
                                 {"check", 2, 2, false, book_cli_check},
                                 {"rescue", 3, 3, false, book_cli_rescue}};
enum { ACTIONS = sizeof actions / sizeof actions[0] };

cli_exit book_refused(const char *where, book_end end)
{
    char name[512];
    book_name(where, name, sizeof name);
    cli_tell(pw_fact_of("book.refused", pw_named(name), pw_word(book_why(end)), pw_named(book_said())));
    return end == BOOK_NOT_THERE || end == BOOK_NO_SHEET || end == BOOK_NO_PAPER ? CLI_EXIT_PROBLEMS : CLI_EXIT_FILE;
}

cli_exit book_with(const char *where, book_use use, book_work work, void *user)
{
    book *b = NULL;
    cli_exit code = CLI_EXIT_FINE;
    book_end end = book_open(where, use == BOOK_BEGINS, use == BOOK_READS, &b);
    end = end == BOOK_FINE ? work(b, user, &code) : end;
    book_close(b);
    return end == BOOK_FINE ? code : book_refused(where, end);
}

cli_exit book_ask_door(const char *what, const char *sheet, const char *key, const char *more, cli_answer *answer)
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

const char *book_text_at(const pw_json *object, const char *key)
{
    const pw_json *value = pw_json_get(object, key);
    return value && value->kind == PW_JSON_STRING ? value->string : "";
}

static bool day_is_right(const char *day)
{
    int year = 0, month = 0, date = 0, used = 0;
    return sscanf(day, "%4d-%2d-%2d%n", &year, &month, &date, &used) == 3 && used == 10 && day[10] == 0 && month >= 1 &&
           month <= 12 && date >= 1 && date <= 31;
}

static cli_exit wrong(const char *id, const char *found)
{
    cli_tell(pw_fact_of(id, pw_named(found)));
    return CLI_EXIT_USAGE;
}

cli_exit book_signed(const cli_options *options, const char *where, const char *word)
{
    if (options->date && !day_is_right(options->date)) {
        return wrong("book.wants-day", options->date);
    }
    return word && book_is_server(where) && !options->by ? wrong("book.wants-by", word) : CLI_EXIT_FINE;
}

cli_exit cli_book(const cli_options *options)
{
    const char *word = options->operand_count > 0 ? options->operands[0] : "";
    const action *wanted = NULL;
    for (int i = 0; i < ACTIONS; i++) {
        wanted = strcmp(actions[i].word, word) == 0 ? &actions[i] : wanted;
    }
    if (!wanted || options->operand_count < wanted->least || options->operand_count > wanted->most) {
        return wrong("book.usage", word);
    }
    const char *where = options->operands[1];
    const cli_exit code = book_signed(options, where, wanted->signs ? word : NULL);
    return code == CLI_EXIT_FINE ? wanted->run(options, where) : code;
}

#else

cli_exit cli_book(const cli_options *options)
{
    (void)options;
    cli_tell(pw_fact_of("book.built-without"));
    return CLI_EXIT_FILE;
}

cli_exit cli_book_keep(const cli_options *options, const cli_sheet *sheet, const pw_json *answer)
{
    (void)sheet, (void)answer;
    return cli_book(options);
}

#endif
