/* Opening a book, bringing it up, and asking it. What is written stands in write.c, whole books in take.c. */
#define _XOPEN_SOURCE 700
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <zlib.h>

#include "book/store.h"

const char *book_why(book_end end)
{
    static const char *const ids[BOOK_ENDS] = {[BOOK_FINE] = "book.fine",
                                               [BOOK_NO_FILE] = "book.no-file",
                                               [BOOK_READ_ONLY] = "book.read-only",
                                               [BOOK_FULL] = "book.full",
                                               [BOOK_DAMAGED] = "book.damaged",
                                               [BOOK_NEWER] = "book.newer",
                                               [BOOK_OLDER] = "book.older",
                                               [BOOK_BUSY] = "book.busy",
                                               [BOOK_NOT_THERE] = "book.not-there",
                                               [BOOK_NO_SHEET] = "book.no-sheet",
                                               [BOOK_NO_PAPER] = "book.no-paper",
                                               [BOOK_STANDS] = "book.stands",
                                               [BOOK_NO_SERVERS] = "book.no-servers",
                                               [BOOK_SERVER] = "book.server",
                                               [BOOK_CUT] = "book.cut",
                                               [BOOK_OTHER] = "book.other"};
    return ids[end];
}

static char said[256]; /* the reason would be lost with a book that could not be opened */

void book_keep_said(const char *words)
{
    snprintf(said, sizeof said, "%.*s", (int)strcspn(words, "\n"), words);
}

const char *book_said(void)
{
    return said;
}

bool book_is_server(const char *where)
{
    return strncmp(where, "postgresql://", 13) == 0 || strncmp(where, "postgres://", 11) == 0;
}

void book_name(const char *where, char *out, size_t size)
{
    const char *begin = book_is_server(where) ? strstr(where, "://") + 3 : where;
    const char *host = book_is_server(where) ? strchr(begin, '@') : NULL;
    const char *colon = host ? memchr(begin, ':', (size_t)(host - begin)) : NULL;
    const char *query = book_is_server(where) ? strchr(begin, '?') : NULL; /* a password may stand there, too */
    const int first = (int)(colon ? colon - where : (host ? host - where : 0));
    const char *rest = host ? host : where;
    const int second = (int)(query && query > rest ? query - rest : (int)strlen(rest));
    snprintf(out, size, "%.*s%.*s", first, where, second, rest);
}

book_value book_text(const char *text)
{
    return (book_value){.kind = BOOK_TEXT, .bytes = text, .length = text ? strlen(text) : 0};
}

book_value book_whole(int64_t whole)
{
    return (book_value){.kind = BOOK_WHOLE, .whole = whole};
}

int64_t book_number(const char *text)
{
    return strtoll(text, NULL, 10);
}

book_end book_run(book *b, const char *sql)
{
    return b->store->run(b->at, sql);
}

book_end book_ask(book *b, const char *sql, const book_value *values, int count, book_row row, void *user)
{
    return b->store->ask(b->at, sql, values, count, row, user);
}

static bool take_number(void *user, int count, const char *const *texts, const size_t *lengths)
{
    (void)count, (void)lengths;
    *(int64_t *)user = book_number(texts[0]);
    return false;
}

book_end book_ask_number(book *b, const char *sql, const book_value *values, int count, int64_t *out)
{
    *out = 0;
    return book_ask(b, sql, values, count, take_number, out);
}

book_end book_finish(book *b, book_end end)
{
    end = end == BOOK_FINE ? book_run(b, "COMMIT") : end;
    if (end != BOOK_FINE) {
        (void)book_run(b, "ROLLBACK");
    }
    return end;
}

/* From the version it has to this one, in one transaction. */
static book_end bring_up(book *b)
{
    int64_t version = 0;
    book_end end = book_run(b, b->store->begin_writing);
    end = end == BOOK_FINE ? b->store->version(b->at, &version) : end; /* another may have been quicker */
    for (int64_t next = version; next < BOOK_VERSION && end == BOOK_FINE; next++) {
        end = book_run(b, b->store->migrations[next]);
    }
    end = end == BOOK_FINE && version < BOOK_VERSION ? b->store->set_version(b->at, BOOK_VERSION) : end;
    return book_finish(b, end);
}

static book_end migrate(book *b, bool make, bool only_read)
{
    const bool server = b->store != &book_sqlite;
    int64_t version = 0;
    const book_end end = b->store->version(b->at, &version);
    if (end != BOOK_FINE || version == BOOK_VERSION) {
        return end;
    }
    if (version > BOOK_VERSION) {
        return BOOK_NEWER;
    }
    if (version == 0 && server && !make) {
        return BOOK_NO_FILE;
    }
    if (only_read) {
        return version == 0 ? BOOK_DAMAGED : BOOK_OLDER;
    }
    return bring_up(b);
}

book_end book_open(const char *where, bool make, bool only_read, book **out)
{
    const book_store *store = &book_sqlite;
    *out = NULL;
    if (book_is_server(where)) {
#ifdef PW_HAS_POSTGRES
        store = &book_postgres;
#else
        return BOOK_NO_SERVERS;
#endif
    }
    book *b = calloc(1, sizeof *b);
    if (!b) {
        return BOOK_OTHER;
    }
    b->store = store;
    book_end end = store->open(where, make, only_read, &b->at);
    end = end == BOOK_FINE ? migrate(b, make, only_read) : end;
    if (end != BOOK_FINE) {
        book_close(b);
        return end;
    }
    *out = b;
    return BOOK_FINE;
}

void book_close(book *b)
{
    if (b) {
        b->store->close(b->at);
        free(b);
    }
}

/* ---- asking ---- */

/* One text as value; NULL: no value. */
static book_end ask_text(book *b, const char *sql, const char *text, book_row row, void *user)
{
    const book_value value = book_text(text);
    return book_ask(b, sql, &value, 1, row, user);
}

book_end book_sites(book *b, book_row row, void *user)
{
    return book_ask(
        b,
        "SELECT name, count(visit.id), max(day), (SELECT mark FROM sheet JOIN visit AS v ON v.id=sheet.visit"
        " WHERE v.site=site.id ORDER BY sheet.id DESC LIMIT 1) FROM site LEFT JOIN visit"
        " ON visit.site=site.id GROUP BY site.id ORDER BY name",
        NULL, 0, row, user);
}

book_end book_visits(book *b, const char *site, book_row row, void *user)
{
    char sql[512];
    snprintf(sql, sizeof sql,
             "SELECT visit.id, day, who, why, (SELECT mark FROM sheet WHERE sheet.visit=visit.id),"
             " (SELECT %s(document.name, ', ') FROM document WHERE document.visit=visit.id)"
             " FROM visit JOIN site ON site.id=visit.site WHERE site.name=$1 ORDER BY day, visit.id",
             b->store->gather);
    return ask_text(b, sql, site, row, user);
}

book_end book_readings(book *b, const char *site, book_row row, void *user)
{
    return ask_text(b,
                    "SELECT visit.id, day, what, si, words, verdict, site.name FROM reading"
                    " JOIN visit ON visit.id=reading.visit JOIN site ON site.id=visit.site"
                    " WHERE CAST($1 AS TEXT) IS NULL OR site.name=$1 ORDER BY site.name, what, day, reading.id",
                    site, row, user);
}

book_end book_search(book *b, const char *words, book_row row, void *user)
{
    const size_t length = strlen(words);
    char *pattern = malloc(2 * length + 3), *to = pattern;
    if (!pattern) {
        return BOOK_OTHER;
    }
    *to++ = '%';
    for (const char *at = words; *at != 0; at++) {
        if (strchr("%_\\", *at)) {
            *to++ = '\\';
        }
        *to++ = *at;
    }
    *to++ = '%';
    *to = 0;
    const book_end end = ask_text(b,
                                  "SELECT site.name, day, who, why FROM visit JOIN site ON site.id=visit.site"
                                  " WHERE lower(site.name || '\n' || who || '\n' || why) LIKE lower($1) ESCAPE '\\'"
                                  " OR EXISTS(SELECT 1 FROM sheet WHERE sheet.visit=visit.id"
                                  " AND lower(json || '\n' || typed) LIKE lower($1) ESCAPE '\\')"
                                  " OR EXISTS(SELECT 1 FROM document WHERE document.visit=visit.id"
                                  " AND lower(name) LIKE lower($1) ESCAPE '\\')"
                                  " OR EXISTS(SELECT 1 FROM reading WHERE reading.visit=visit.id"
                                  " AND lower(what) LIKE lower($1) ESCAPE '\\')"
                                  " ORDER BY site.name, day, visit.id",
                                  pattern, row, user);
    free(pattern);
    return end;
}

book_end book_standing(book *b, const char *site, book_row row, void *user)
{
    return ask_text(b,
                    "SELECT s.mark, v.day, v.who, s.json FROM sheet AS s JOIN visit AS v ON v.id=s.visit"
                    " JOIN site ON site.id=v.site WHERE site.name=$1 AND NOT EXISTS(SELECT 1 FROM made_from AS m"
                    " JOIN sheet AS t ON t.id=m.sheet JOIN visit AS w ON w.id=t.visit"
                    " WHERE w.site=v.site AND m.mark=s.mark AND t.id>s.id) ORDER BY s.id",
                    site, row, user);
}

book_end book_change(book *b, int64_t visit, book_row row, void *user)
{
    const book_value value = book_whole(visit);
    return book_ask(b,
                    "SELECT s.json, (SELECT p.json FROM made_from AS m JOIN sheet AS p ON p.mark=m.mark"
                    " JOIN visit AS w ON w.id=p.visit WHERE m.sheet=s.id AND w.site=v.site AND p.id<s.id"
                    " ORDER BY p.id DESC LIMIT 1) FROM sheet AS s JOIN visit AS v ON v.id=s.visit WHERE s.visit=$1",
                    &value, 1, row, user);
}

static bool keep_sheet(void *user, int count, const char *const *texts, const size_t *lengths)
{
    book_sheet *out = user;
    (void)count, (void)lengths;
    *out = (book_sheet){strdup(texts[0]), strdup(texts[1]), strdup(texts[2])};
    return false;
}

book_end book_sheet_of(book *b, const char *site, const char *mark, book_sheet *out)
{
    const book_value values[] = {book_text(site), book_text(mark)};
    *out = (book_sheet){NULL, NULL, NULL};
    const book_end end = book_ask(
        b,
        "SELECT mark, json, typed FROM sheet JOIN visit ON visit.id=sheet.visit JOIN site ON site.id=visit.site"
        " WHERE site.name=$1 AND (CAST($2 AS TEXT) IS NULL OR mark=$2) ORDER BY sheet.id DESC LIMIT 1",
        values, 2, keep_sheet, out);
    const bool kept = out->mark && out->json && out->typed;
    if (end == BOOK_FINE && !kept) {
        book_sheet_free(out);
    }
    return end == BOOK_FINE && !kept ? BOOK_NO_SHEET : end;
}

void book_sheet_free(book_sheet *sheet)
{
    free(sheet->mark);
    free(sheet->json);
    free(sheet->typed);
    *sheet = (book_sheet){NULL, NULL, NULL};
}

typedef struct paper {
    char *bytes;
    size_t length;
    bool broken;
} paper;

static bool keep_paper(void *user, int count, const char *const *texts, const size_t *lengths)
{
    paper *out = user;
    const int64_t whole = book_number(texts[1]); /* of what was packed; 0: it was not */
    uLongf length = whole > 0 ? (uLongf)whole : (uLongf)lengths[0];
    (void)count;
    out->bytes = malloc(length + 1);
    out->length = length;
    if (out->bytes && whole > 0) {
        out->broken = uncompress((Bytef *)out->bytes, &length, (const Bytef *)texts[0], (uLong)lengths[0]) != Z_OK ||
                      length != out->length;
    } else if (out->bytes) {
        memcpy(out->bytes, texts[0], length);
    }
    return false;
}

book_end book_document(book *b, const char *site, const char *name, char **bytes, size_t *length)
{
    const book_value values[] = {book_text(site), book_text(name)};
    paper out = {NULL, 0, false};
    book_end end = book_ask(b,
                            "SELECT bytes, packed FROM document JOIN visit ON visit.id=document.visit"
                            " JOIN site ON site.id=visit.site WHERE site.name=$1 AND document.name=$2"
                            " ORDER BY document.id DESC LIMIT 1",
                            values, 2, keep_paper, &out);
    end = end == BOOK_FINE && !out.bytes ? BOOK_NO_PAPER : end;
    end = end == BOOK_FINE && out.broken ? BOOK_DAMAGED : end;
    if (end != BOOK_FINE) {
        free(out.bytes);
        out.bytes = NULL;
    }
    *bytes = out.bytes;
    *length = out.length;
    return end;
}
