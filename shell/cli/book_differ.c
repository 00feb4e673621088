/* What differs between two sheets of one site, a line for each place; things in lists are told by their names,
 * sentences by their words. */
#define _XOPEN_SOURCE 700
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "cli/book_inside.h"
#include "cli/voice.h"

enum { MOST_WORDS = 400, MOST_STANDING = 64 };

static bool differ(const char *path, const pw_json *from, const pw_json *to);

/* A value in one line, as short as it can be told. */
static const char *short_of(const pw_json *value, char out[MOST_WORDS])
{
    pw_arena arena;
    pw_text text;
    pw_json_writer writer;
    if (value->kind == PW_JSON_STRING || value->kind == PW_JSON_NUMBER) {
        snprintf(out, MOST_WORDS, "%s", value->string);
        return out;
    }
    cli_arena(&arena, (size_t)1 << 20);
    pw_text_init(&text, &arena);
    pw_json_writer_init(&writer, &text, 0);
    pw_json_value(&writer, NULL, value);
    snprintf(out, MOST_WORDS, "%s", text.failed ? "..." : text.data);
    return out;
}

static void tell(const char *id, const char *path, const pw_json *one, const pw_json *other)
{
    char words[2][MOST_WORDS] = {"", ""};
    const pw_value second = other ? pw_named(short_of(other, words[1])) : pw_named("");
    printf("%s\n", cli_words(pw_fact_of(id, pw_named(path), pw_named(short_of(one, words[0])), second)));
}

/* What a thing of a list is known by: its name, or a sentence by itself; "" by its place. */
static const char *name_of(const pw_json *item)
{
    return item->kind == PW_JSON_STRING ? item->string : book_text_at(item, "name");
}

/* The same thing in the other list, the same time that it stands there; NULL: it is not there. */
static const pw_json *fellow(const pw_json *list, const pw_json *item, int32_t index, const pw_json *in)
{
    const char *name = name_of(item);
    int32_t earlier = 0;
    if (name[0] == 0) {
        return pw_json_at(in, index);
    }
    for (const pw_json *one = list->first; one != item; one = one->next) {
        earlier += strcmp(name_of(one), name) == 0 ? 1 : 0;
    }
    for (const pw_json *one = in->first; one; one = one->next) {
        if (strcmp(name_of(one), name) == 0 && earlier-- == 0) {
            return one;
        }
    }
    return NULL;
}

static bool differ_lists(const char *path, const pw_json *from, const pw_json *to)
{
    bool any = false;
    int32_t index = 0;
    for (const pw_json *item = from->first; item; item = item->next, index++) {
        char inner[PW_PATH_SIZE];
        const pw_json *other = fellow(from, item, index, to);
        if (!other) {
            tell("book.without", path, item, NULL);
            any = true;
        } else if (item->kind != PW_JSON_STRING) {
            const char *name = name_of(item);
            if (name[0] != 0) {
                snprintf(inner, sizeof inner, "%s, %s", path, name);
            } else {
                snprintf(inner, sizeof inner, "%s[%d]", path, (int)index);
            }
            any = differ(inner, item, other) || any;
        }
    }
    index = 0;
    for (const pw_json *item = to->first; item; item = item->next, index++) {
        if (!fellow(to, item, index, from)) {
            tell("book.with", path, item, NULL);
            any = true;
        }
    }
    return any;
}

static bool differ_objects(const char *path, const pw_json *from, const pw_json *to)
{
    bool any = false;
    for (const pw_json *member = from->first; member; member = member->next) {
        char inner[PW_PATH_SIZE];
        const pw_json *other = pw_json_get(to, member->key);
        snprintf(inner, sizeof inner, "%s%s%s", path, path[0] != 0 ? ": " : "", member->key);
        if (!other) {
            tell("book.without", inner, member, NULL);
            any = true;
        } else {
            any = differ(inner, member, other) || any;
        }
    }
    for (const pw_json *member = to->first; member; member = member->next) {
        char inner[PW_PATH_SIZE];
        if (!pw_json_get(from, member->key)) {
            snprintf(inner, sizeof inner, "%s%s%s", path, path[0] != 0 ? ": " : "", member->key);
            tell("book.with", inner, member, NULL);
            any = true;
        }
    }
    return any;
}

static bool differ(const char *path, const pw_json *from, const pw_json *to)
{
    if (from->kind == to->kind && from->kind == PW_JSON_OBJECT) {
        return differ_objects(path, from, to);
    }
    if (from->kind == to->kind && from->kind == PW_JSON_ARRAY) {
        return differ_lists(path, from, to);
    }
    const bool words = from->kind == PW_JSON_STRING || from->kind == PW_JSON_NUMBER;
    const bool same =
        from->kind == to->kind && (words ? strcmp(from->string, to->string) == 0 : from->truth == to->truth);
    if (!same) {
        tell("book.changed", path, from, to);
    }
    return !same;
}

static const pw_json *read(const char *text)
{
    pw_arena arena;
    const pw_json *tree = NULL;
    const size_t length = strlen(text);
    cli_arena(&arena, pw_json_room(text, length) + 4096);
    return pw_json_read(&arena, text, length, &tree, NULL) == PW_OK ? tree : NULL;
}

bool book_print_changes(const char *from, const char *to)
{
    const pw_json *one = read(from), *other = read(to);
    return one && other && differ("", one, other);
}

typedef struct standing {
    int count;
    char *marks[MOST_STANDING], *days[MOST_STANDING], *who[MOST_STANDING], *sheets[MOST_STANDING];
} standing;

static bool keep_standing(void *user, int count, const char *const *texts, const size_t *lengths)
{
    standing *s = user;
    (void)count, (void)lengths;
    if (s->count == MOST_STANDING) {
        return false;
    }
    s->marks[s->count] = cli_keep(strdup(texts[0]));
    s->days[s->count] = cli_keep(strdup(texts[1]));
    s->who[s->count] = cli_keep(strdup(texts[2]));
    s->sheets[s->count] = cli_keep(strdup(texts[3]));
    s->count++;
    return true;
}

bool book_print_conflict(book *b, const char *site, book_end *end)
{
    standing s = {.count = 0};
    char marks[BOOK_MOST_MARKS * 24] = "";
    *end = book_standing(b, site, keep_standing, &s);
    if (*end != BOOK_FINE || s.count < 2) {
        return false;
    }
    const int last = s.count - 1;
    printf("\n%s\n", cli_words(pw_fact_of("book.conflict", pw_count(s.count))));
    for (int i = 0; i < last; i++) {
        printf("%s\n",
               cli_words(pw_fact_of("book.beside", pw_named(s.marks[i]), pw_named(s.days[i]), pw_named(s.who[i]),
                                    pw_named(s.marks[last]), pw_named(s.days[last]), pw_named(s.who[last]))));
        if (!book_print_changes(s.sheets[i], s.sheets[last])) {
            printf("%s\n", pw_say_word(cli_voice(), "book.same"));
        }
    }
    for (int i = 0; i < s.count && i < BOOK_MOST_MARKS; i++) {
        const size_t used = strlen(marks);
        snprintf(marks + used, sizeof marks - used, "%s%s", i > 0 ? "," : "", s.marks[i]);
    }
    printf("%s\n", cli_words(pw_fact_of("book.settle", pw_named(marks))));
    return true;
}
