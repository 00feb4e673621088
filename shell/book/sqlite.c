/* A book in one SQLite file. */
#define _XOPEN_SOURCE 700
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "book/sqlite.h"

book_end sqlite_end(int code)
{
    switch (code & 0xff) {
    case SQLITE_OK:
    case SQLITE_DONE:
    case SQLITE_ROW: return BOOK_FINE;
    case SQLITE_CANTOPEN: return BOOK_NO_FILE;
    case SQLITE_READONLY: return BOOK_READ_ONLY;
    case SQLITE_FULL:
    case SQLITE_IOERR: return BOOK_FULL; /* a write that the disk refuses */
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB: return BOOK_DAMAGED;
    case SQLITE_BUSY:
    case SQLITE_LOCKED: return BOOK_BUSY;
    default: return BOOK_OTHER;
    }
}

static book_end run(void *at, const char *sql)
{
    return sqlite_end(sqlite3_exec(at, sql, NULL, NULL, NULL));
}

static int bind(sqlite3_stmt *statement, int number, const book_value *v)
{
    char name[16];
    snprintf(name, sizeof name, "$%d", number);
    const int place = sqlite3_bind_parameter_index(statement, name);
    if (v->kind == BOOK_REAL) {
        return sqlite3_bind_double(statement, place, v->real);
    }
    if (v->kind == BOOK_WHOLE) {
        return sqlite3_bind_int64(statement, place, v->whole);
    }
    if (v->bytes == NULL) {
        return sqlite3_bind_null(statement, place);
    }
    return v->kind == BOOK_TEXT
               ? sqlite3_bind_text64(statement, place, v->bytes, v->length, SQLITE_TRANSIENT, SQLITE_UTF8)
               : sqlite3_bind_blob64(statement, place, v->bytes, v->length, SQLITE_TRANSIENT);
}

/* One row as texts: numbers with all their digits. */
static bool give(sqlite3_stmt *statement, book_row row, void *user)
{
    const char *texts[BOOK_MOST_TEXTS] = {""};
    size_t lengths[BOOK_MOST_TEXTS] = {0};
    char numbers[BOOK_MOST_TEXTS][32];
    const int all = sqlite3_column_count(statement), count = all < BOOK_MOST_TEXTS ? all : BOOK_MOST_TEXTS;
    for (int i = 0; i < count; i++) {
        const char *text = NULL;
        if (sqlite3_column_type(statement, i) == SQLITE_FLOAT) {
            snprintf(numbers[i], sizeof numbers[i], "%.17g", sqlite3_column_double(statement, i));
            text = numbers[i];
        } else if (sqlite3_column_type(statement, i) == SQLITE_BLOB) {
            text = sqlite3_column_blob(statement, i);
        } else {
            text = (const char *)sqlite3_column_text(statement, i);
        }
        texts[i] = text ? text : "";
        lengths[i] = text == numbers[i] ? strlen(text) : (size_t)sqlite3_column_bytes(statement, i);
    }
    return row(user, count, texts, lengths);
}

static book_end ask(void *at, const char *sql, const book_value *values, int count, book_row row, void *user)
{
    sqlite3_stmt *statement = NULL;
    int code = sqlite3_prepare_v2(at, sql, -1, &statement, NULL);
    for (int i = 0; i < count && code == SQLITE_OK; i++) {
        code = bind(statement, i + 1, &values[i]);
    }
    while (code == SQLITE_OK || code == SQLITE_ROW) {
        code = sqlite3_step(statement);
        if (code == SQLITE_ROW && row && !give(statement, row, user)) {
            break;
        }
    }
    sqlite3_finalize(statement);
    return sqlite_end(code);
}

static bool take_number(void *user, int count, const char *const *texts, const size_t *lengths)
{
    (void)count, (void)lengths;
    *(int64_t *)user = book_number(texts[0]);
    return false;
}

static book_end version(void *at, int64_t *out)
{
    *out = 0;
    return ask(at, "PRAGMA user_version", NULL, 0, take_number, out);
}

static book_end set_version(void *at, int number)
{
    char sql[64];
    snprintf(sql, sizeof sql, "PRAGMA user_version=%d", number);
    return run(at, sql);
}

/* Small letters of German, too: SQLite's own knows those of English alone. */
static void lower(sqlite3_context *context, int count, sqlite3_value **values)
{
    (void)count;
    const char *text = (const char *)sqlite3_value_text(values[0]);
    char *out = text ? strdup(text) : NULL;
    if (!out) {
        sqlite3_result_null(context);
        return;
    }
    for (unsigned char *c = (unsigned char *)out; *c != 0; c++) {
        if (*c >= 'A' && *c <= 'Z') {
            *c = (unsigned char)(*c + 32);
        } else if (*c == 0xC3 && c[1] >= 0x80 && c[1] <= 0x9E && c[1] != 0x97) { /* U+00C0 to U+00DE in UTF-8 */
            c++;
            *c = (unsigned char)(*c + 32);
        }
    }
    sqlite3_result_text(context, out, -1, free);
}

/* A file on a disk that cannot be written has no room for SQLite's log beside it. When there is no log the file alone
 * is the whole book, and can be read as one that nobody changes. */
static int open_unchanging(const char *path, sqlite3 **db)
{
    char log[4096];
    snprintf(log, sizeof log, "%s-wal", path);
    if (access(log, F_OK) == 0 || access(path, R_OK) != 0) {
        return SQLITE_CANTOPEN;
    }
    sqlite3_str *uri = sqlite3_str_new(NULL);
    sqlite3_str_appendall(uri, "file:");
    for (const char *c = path; *c != 0; c++) {
        sqlite3_str_appendf(uri, strchr("%?#", *c) ? "%%%02X" : "%c", *c);
    }
    sqlite3_str_appendall(uri, "?immutable=1");
    char *name = sqlite3_str_finish(uri);
    sqlite3_close(*db);
    *db = NULL;
    const int code = name ? sqlite3_open_v2(name, db, SQLITE_OPEN_READONLY | SQLITE_OPEN_URI, NULL) : SQLITE_NOMEM;
    sqlite3_free(name);
    return code;
}

static int open_file(const char *path, int flags, sqlite3 **db)
{
    int code = sqlite3_open_v2(path, db, flags, NULL);
    if (code == SQLITE_OK && (flags & SQLITE_OPEN_READONLY) != 0) { /* nothing is read before the first question */
        code = sqlite3_exec(*db, "SELECT count(*) FROM sqlite_master", NULL, NULL, NULL);
        code = (code & 0xff) == SQLITE_CANTOPEN || (code & 0xff) == SQLITE_READONLY ? open_unchanging(path, db) : code;
    }
    return code;
}

static book_end open(const char *path, bool make, bool only_read, void **at)
{
    sqlite3 *db = NULL;
    const int flags = only_read ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE | (make ? SQLITE_OPEN_CREATE : 0);
    book_end end = sqlite_end(open_file(path, flags, &db));
    end = end == BOOK_FINE && !only_read && sqlite3_db_readonly(db, "main") == 1 ? BOOK_READ_ONLY : end;
    if (end == BOOK_FINE) {
        sqlite3_busy_timeout(db, 10000);
        sqlite3_create_function(db, "lower", 1, SQLITE_UTF8 | SQLITE_DETERMINISTIC, NULL, lower, NULL, NULL);
        end = run(db, "PRAGMA foreign_keys=ON;PRAGMA synchronous=FULL");
    }
    end = end == BOOK_FINE && !only_read ? run(db, "PRAGMA journal_mode=WAL") : end;
    *at = db;
    return end;
}

static void close_file(void *at)
{
    sqlite3_close(at);
}

/* Migrations are never changed once they are out. A visit of an early book gets an identity that two copies of the book
 * agree on. */
const book_store book_sqlite = {
    .begin_writing = "BEGIN IMMEDIATE",
    .begin_reading = "BEGIN",
    .gather = "group_concat",
    .check = "PRAGMA integrity_check(1)",
    .open = open,
    .close = close_file,
    .run = run,
    .ask = ask,
    .version = version,
    .set_version = set_version,
    .migrations = {
        "CREATE TABLE site(id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE);"
        "CREATE TABLE visit(id INTEGER PRIMARY KEY, site INTEGER NOT NULL REFERENCES site(id), day TEXT NOT NULL,"
        " who TEXT NOT NULL, why TEXT NOT NULL);"
        "CREATE TABLE sheet(id INTEGER PRIMARY KEY, visit INTEGER NOT NULL REFERENCES visit(id), mark TEXT NOT NULL,"
        " json TEXT NOT NULL);"
        "CREATE TABLE reading(id INTEGER PRIMARY KEY, visit INTEGER NOT NULL REFERENCES visit(id), what TEXT NOT NULL,"
        " si REAL NOT NULL, words TEXT NOT NULL);"
        "CREATE INDEX visit_of_site ON visit(site, day);",
        "ALTER TABLE reading ADD COLUMN verdict TEXT NOT NULL DEFAULT '';"
        "CREATE TABLE document(id INTEGER PRIMARY KEY, visit INTEGER NOT NULL REFERENCES visit(id), name TEXT NOT NULL,"
        " bytes BLOB NOT NULL);",
        "ALTER TABLE visit ADD COLUMN uid TEXT NOT NULL DEFAULT '';"
        "UPDATE visit SET uid='old '||day||' '||who||' '||why||' '||(SELECT name FROM site WHERE site.id=visit.site)"
        "||' '||(SELECT count(*) FROM visit AS e WHERE e.site=visit.site AND e.day=visit.day AND e.who=visit.who"
        " AND e.why=visit.why AND e.id<visit.id);"
        "CREATE UNIQUE INDEX visit_uid ON visit(uid);"
        "ALTER TABLE sheet ADD COLUMN typed TEXT NOT NULL DEFAULT '';"
        "CREATE TABLE made_from(sheet INTEGER NOT NULL REFERENCES sheet(id), mark TEXT NOT NULL);"
        "CREATE INDEX made_from_mark ON made_from(mark);"
        "INSERT INTO made_from SELECT id, was FROM (SELECT s.id AS id, (SELECT p.mark FROM sheet AS p JOIN visit AS w"
        " ON w.id=p.visit WHERE w.site=v.site AND p.id<s.id ORDER BY p.id DESC LIMIT 1) AS was FROM sheet AS s"
        " JOIN visit AS v ON v.id=s.visit) AS made WHERE was IS NOT NULL;"
        "ALTER TABLE document ADD COLUMN packed INTEGER NOT NULL DEFAULT 0;",
    }};
