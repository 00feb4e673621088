/* Whole books: taken over from another, copied into one file, checked. Either may be a file or on a server. */
#define _XOPEN_SOURCE 700
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <zlib.h>

#include "book/store.h"

typedef struct taking {
    book *from, *to;
    int64_t number, visits; /* of the visit that is taken, in the other book; taken */
    book_visit visit;
    book_end end;
} taking;

typedef struct marks {
    int32_t count;
    char *items[BOOK_MOST_MARKS];
} marks;

static bool take_mark(void *user, int count, const char *const *texts, const size_t *lengths)
{
    marks *m = user;
    (void)count, (void)lengths;
    if (m->count < BOOK_MOST_MARKS) {
        m->items[m->count] = strdup(texts[0]);
        m->count++;
    }
    return true;
}

static bool take_sheet(void *user, int count, const char *const *texts, const size_t *lengths)
{
    taking *t = user;
    (void)count, (void)lengths;
    book_visit visit = {.mark = texts[1], .sheet = texts[2], .typed = texts[3]};
    marks made_from = {.count = 0};
    const book_value sheet = book_whole(book_number(texts[0]));
    t->end =
        book_ask(t->from, "SELECT mark FROM made_from WHERE sheet=$1 ORDER BY mark", &sheet, 1, take_mark, &made_from);
    for (int32_t i = 0; i < made_from.count; i++) {
        visit.made_from[i] = made_from.items[i] ? made_from.items[i] : "";
    }
    visit.made_from_count = made_from.count;
    t->end = t->end == BOOK_FINE ? book_put_sheet(t->to, &visit, t->number) : t->end;
    for (int32_t i = 0; i < made_from.count; i++) {
        free(made_from.items[i]);
    }
    return t->end == BOOK_FINE;
}

static bool take_reading(void *user, int count, const char *const *texts, const size_t *lengths)
{
    taking *t = user;
    (void)count, (void)lengths;
    const book_reading reading = {texts[0], texts[2], texts[3], strtod(texts[1], NULL)};
    t->end = book_put_reading(t->to, &reading, t->number);
    return t->end == BOOK_FINE;
}

static bool take_document(void *user, int count, const char *const *texts, const size_t *lengths)
{
    taking *t = user;
    (void)count;
    t->end = book_put_bytes(t->to, texts[0], texts[1], lengths[1], book_number(texts[2]), t->number);
    return t->end == BOOK_FINE;
}

static void take_parts(taking *t, int64_t was)
{
    static const struct {
        const char *sql;
        book_row row;
    } parts[] = {{"SELECT id, mark, json, typed FROM sheet WHERE visit=$1 ORDER BY id", take_sheet},
                 {"SELECT what, si, words, verdict FROM reading WHERE visit=$1 ORDER BY id", take_reading},
                 {"SELECT name, bytes, packed FROM document WHERE visit=$1 ORDER BY id", take_document}};
    const book_value visit = book_whole(was);
    for (size_t i = 0; i < sizeof parts / sizeof parts[0] && t->end == BOOK_FINE; i++) {
        const book_end asked = book_ask(t->from, parts[i].sql, &visit, 1, parts[i].row, t);
        t->end = t->end == BOOK_FINE ? asked : t->end;
    }
}

static bool take_visit(void *user, int count, const char *const *texts, const size_t *lengths)
{
    taking *t = user;
    int64_t there = 0;
    (void)count, (void)lengths;
    const book_value uid = book_text(texts[5]);
    t->end = book_ask_number(t->to, "SELECT count(*) FROM visit WHERE uid=$1", &uid, 1, &there);
    if (t->end != BOOK_FINE || there > 0) {
        return t->end == BOOK_FINE;
    }
    const book_visit visit = {.site = texts[1], .day = texts[2], .who = texts[3], .why = texts[4]};
    t->end = book_put_visit(t->to, &visit, texts[5], &t->number);
    if (t->end == BOOK_FINE) {
        take_parts(t, book_number(texts[0]));
        t->visits++;
    }
    return t->end == BOOK_FINE;
}

static bool take_site(void *user, int count, const char *const *texts, const size_t *lengths)
{
    taking *t = user;
    (void)count, (void)lengths;
    const book_value name = book_text(texts[0]);
    t->end = book_ask(t->to, "INSERT INTO site(name) VALUES($1) ON CONFLICT DO NOTHING", &name, 1, NULL, NULL);
    return t->end == BOOK_FINE;
}

/* All that one book has of one moment, into another, in one transaction. */
static book_end take_all(book *from, book *to, int64_t *visits)
{
    taking t = {.from = from, .to = to, .end = BOOK_FINE};
    book_end end = book_run(to, to->store->begin_writing);
    const book_end read = end == BOOK_FINE ? book_run(from, from->store->begin_reading) : BOOK_OTHER;
    end = end == BOOK_FINE ? read : end;
    end = end == BOOK_FINE ? book_ask(from, "SELECT name FROM site ORDER BY id", NULL, 0, take_site, &t) : end;
    end = end == BOOK_FINE ? t.end : end;
    end = end == BOOK_FINE ? book_ask(from,
                                      "SELECT visit.id, site.name, day, who, why, uid FROM visit"
                                      " JOIN site ON site.id=visit.site ORDER BY visit.id",
                                      NULL, 0, take_visit, &t)
                           : end;
    end = end == BOOK_FINE ? t.end : end;
    if (read == BOOK_FINE) {
        (void)book_run(from, "ROLLBACK"); /* it was only read */
    }
    *visits = t.visits;
    return book_finish(to, end);
}

book_end book_take(book *b, const char *where, int64_t *visits)
{
    book *other = NULL;
    *visits = 0;
    book_end end = book_open(where, false, true, &other);
    end = end == BOOK_OLDER ? book_open(where, false, false, &other) : end; /* brought up to this version */
    end = end == BOOK_FINE ? take_all(other, b, visits) : end;
    book_close(other);
    return end;
}

book_end book_copy(book *b, const char *path)
{
    book *copy = NULL;
    int64_t visits = 0;
    if (book_is_server(path)) {
        return BOOK_STANDS;
    }
    if (access(path, F_OK) == 0) {
        return BOOK_STANDS;
    }
    if (b->store == &book_sqlite) {
        const book_value to = book_text(path);
        return book_ask(b, "VACUUM INTO $1", &to, 1, NULL, NULL);
    }
    book_end end = book_open(path, true, false, &copy);
    end = end == BOOK_FINE ? take_all(b, copy, &visits) : end;
    book_close(copy);
    if (end != BOOK_FINE) {
        (void)unlink(path); /* half a copy is none */
    }
    return end;
}

/* ---- checking ---- */

static bool keep_text(void *user, int count, const char *const *texts, const size_t *lengths)
{
    (void)count, (void)lengths;
    *(char **)user = strdup(texts[0]);
    return false;
}

/* Packed documents are unpacked: noise in them is seen by its check sum. */
static bool unpacks(void *user, int count, const char *const *texts, const size_t *lengths)
{
    char **first = user;
    uLongf length = (uLongf)book_number(texts[2]);
    (void)count;
    Bytef *bytes = malloc(length + 1);
    const uLongf whole = length;
    if (!bytes || uncompress(bytes, &length, (const Bytef *)texts[1], (uLong)lengths[1]) != Z_OK || length != whole) {
        *first = strdup(texts[0]);
    }
    free(bytes);
    return *first == NULL;
}

book_end book_check(book *b, char **first)
{
    static const char *const tables[] = {
        "SELECT count(*), max(length(name)) FROM site",
        "SELECT count(*), max(length(day || who || why || uid)) FROM visit",
        "SELECT count(*), max(length(mark || json || typed)) FROM sheet",
        "SELECT count(*), max(length(mark)) FROM made_from",
        "SELECT count(*), max(length(what || words || verdict)), max(si) FROM reading"};
    book_end end = BOOK_FINE;
    *first = NULL;
    if (b->store->check) {
        end = book_ask(b, b->store->check, NULL, 0, keep_text, first);
        if (*first && strcmp(*first, "ok") == 0) {
            free(*first);
            *first = NULL;
        }
    }
    for (size_t i = 0; i < sizeof tables / sizeof tables[0] && end == BOOK_FINE && !*first; i++) {
        int64_t rows = 0;
        end = book_ask_number(b, tables[i], NULL, 0, &rows);
    }
    return end == BOOK_FINE && !*first
               ? book_ask(b, "SELECT name, bytes, packed FROM document WHERE packed>0", NULL, 0, unpacks, first)
               : end;
}
