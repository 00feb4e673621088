#define _XOPEN_SOURCE 700
#include "book/book.h"

#include <errno.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

struct book {
    sqlite3 *db;
};

/* Each brings the book from the version before to its own; never changed once they are out. */
static const char *const migrations[BOOK_VERSION] = {
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
};

const char *book_why(book_end end)
{
    static const char *const ids[BOOK_ENDS] = {"book.fine", "book.no-file",   "book.read-only",
                                               "book.full", "book.damaged",   "book.newer",
                                               "book.busy", "book.not-there", "book.other"};
    return ids[end];
}

static book_end end_of(int code)
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

static book_end run(book *b, const char *sql)
{
    return end_of(sqlite3_exec(b->db, sql, NULL, NULL, NULL));
}

static book_end ask_number(book *b, const char *sql, int64_t *out)
{
    sqlite3_stmt *statement = NULL;
    int code = sqlite3_prepare_v2(b->db, sql, -1, &statement, NULL);
    code = code == SQLITE_OK ? sqlite3_step(statement) : code;
    *out = code == SQLITE_ROW ? sqlite3_column_int64(statement, 0) : 0;
    sqlite3_finalize(statement);
    return end_of(code);
}

/* From the version it has to this one, in one transaction. */
static book_end migrate(book *b, bool only_read)
{
    int64_t version = 0;
    book_end end = ask_number(b, "PRAGMA user_version", &version);
    if (end != BOOK_FINE || version == BOOK_VERSION) {
        return end;
    }
    if (version > BOOK_VERSION) {
        return BOOK_NEWER;
    }
    if (only_read) {
        return version == 0 ? BOOK_DAMAGED : BOOK_READ_ONLY;
    }
    end = run(b, "BEGIN IMMEDIATE");
    end = end == BOOK_FINE ? ask_number(b, "PRAGMA user_version", &version) : end; /* another may have been quicker */
    for (int64_t next = version; next < BOOK_VERSION && end == BOOK_FINE; next++) {
        char sql[64];
        end = run(b, migrations[next]);
        snprintf(sql, sizeof sql, "PRAGMA user_version=%d", (int)next + 1);
        end = end == BOOK_FINE ? run(b, sql) : end;
    }
    end = end == BOOK_FINE ? run(b, "COMMIT") : end;
    if (end != BOOK_FINE) {
        (void)run(b, "ROLLBACK");
    }
    return end;
}

book_end book_open(const char *path, bool make, bool only_read, book **out)
{
    book *b = calloc(1, sizeof *b);
    *out = NULL;
    if (!b) {
        return BOOK_OTHER;
    }
    const int flags = only_read ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE | (make ? SQLITE_OPEN_CREATE : 0);
    book_end end = end_of(sqlite3_open_v2(path, &b->db, flags, NULL));
    if (end == BOOK_FINE) {
        sqlite3_busy_timeout(b->db, 10000);
        end = run(b, "PRAGMA foreign_keys=ON;PRAGMA synchronous=FULL");
    }
    if (end == BOOK_FINE && !only_read) {
        end = sqlite3_db_readonly(b->db, "main") == 1 ? BOOK_READ_ONLY : run(b, "PRAGMA journal_mode=WAL");
    }
    end = end == BOOK_FINE ? migrate(b, only_read) : end;
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
        sqlite3_close(b->db);
        free(b);
    }
}

/* ---- adding ---- */

typedef struct value {
    enum { TEXT, WHOLE, REAL, BYTES } kind;
    const void *bytes;
    size_t length;
    int64_t whole;
    double real;
} value;

static value text_of(const char *text)
{
    return (value){.kind = TEXT, .bytes = text, .length = strlen(text)};
}

static value whole_of(int64_t whole)
{
    return (value){.kind = WHOLE, .whole = whole};
}

static int bind(sqlite3_stmt *statement, int place, const value *v)
{
    switch (v->kind) {
    case TEXT: return sqlite3_bind_text64(statement, place, v->bytes, v->length, SQLITE_TRANSIENT, SQLITE_UTF8);
    case BYTES: return sqlite3_bind_blob64(statement, place, v->bytes, v->length, SQLITE_TRANSIENT);
    case REAL: return sqlite3_bind_double(statement, place, v->real);
    case WHOLE: break;
    }
    return sqlite3_bind_int64(statement, place, v->whole);
}

/* One statement with its values; *out: its first number, or the new row when it has none. */
static book_end with_values(book *b, const char *sql, const value *values, int count, int64_t *out)
{
    sqlite3_stmt *statement = NULL;
    int code = sqlite3_prepare_v2(b->db, sql, -1, &statement, NULL);
    for (int i = 0; i < count && code == SQLITE_OK; i++) {
        code = bind(statement, i + 1, &values[i]);
    }
    code = code == SQLITE_OK ? sqlite3_step(statement) : code;
    if (out) {
        *out = code == SQLITE_ROW ? sqlite3_column_int64(statement, 0)
                                  : (code == SQLITE_DONE ? sqlite3_last_insert_rowid(b->db) : 0);
    }
    sqlite3_finalize(statement);
    return end_of(code);
}

static book_end add_sheet(book *b, const book_visit *visit, int64_t number)
{
    int64_t same = 0;
    const value of_site[] = {text_of(visit->site), text_of(visit->mark)};
    book_end end =
        with_values(b,
                    "SELECT count(*) FROM (SELECT mark FROM sheet JOIN visit ON visit.id=sheet.visit JOIN site"
                    " ON site.id=visit.site WHERE site.name=?1 ORDER BY sheet.id DESC LIMIT 1) WHERE mark=?2",
                    of_site, 2, &same);
    const value row[] = {whole_of(number), text_of(visit->mark), text_of(visit->sheet)};
    return end == BOOK_FINE && same == 0
               ? with_values(b, "INSERT INTO sheet(visit,mark,json) VALUES(?,?,?)", row, 3, NULL)
               : end;
}

static book_end add_rows(book *b, const book_visit *visit, int64_t *number)
{
    int64_t site = 0;
    const value name = text_of(visit->site);
    book_end end = with_values(b, "INSERT OR IGNORE INTO site(name) VALUES(?)", &name, 1, NULL);
    end = end == BOOK_FINE ? with_values(b, "SELECT id FROM site WHERE name=?", &name, 1, &site) : end;
    const value row[] = {whole_of(site), text_of(visit->day), text_of(visit->who), text_of(visit->why)};
    end =
        end == BOOK_FINE ? with_values(b, "INSERT INTO visit(site,day,who,why) VALUES(?,?,?,?)", row, 4, number) : end;
    end = end == BOOK_FINE && visit->sheet ? add_sheet(b, visit, *number) : end;
    for (int32_t i = 0; i < visit->reading_count && end == BOOK_FINE; i++) {
        const book_reading *reading = &visit->readings[i];
        const value values[] = {whole_of(*number),
                                text_of(reading->what),
                                {.kind = REAL, .real = reading->si},
                                text_of(reading->words),
                                text_of(reading->verdict)};
        end = with_values(b, "INSERT INTO reading(visit,what,si,words,verdict) VALUES(?,?,?,?,?)", values, 5, NULL);
    }
    if (end == BOOK_FINE && visit->document) {
        const value values[] = {whole_of(*number),
                                text_of(visit->document),
                                {.kind = BYTES, .bytes = visit->bytes, .length = visit->length}};
        end = with_values(b, "INSERT INTO document(visit,name,bytes) VALUES(?,?,?)", values, 3, NULL);
    }
    return end;
}

book_end book_add(book *b, const book_visit *visit, int64_t *number)
{
    book_end end = run(b, "BEGIN IMMEDIATE");
    if (end != BOOK_FINE) {
        return end;
    }
    end = add_rows(b, visit, number);
    end = end == BOOK_FINE ? run(b, "COMMIT") : end;
    if (end != BOOK_FINE) {
        (void)run(b, "ROLLBACK");
    }
    return end;
}

/* ---- asking ---- */

enum { MOST_TEXTS = 8 };

static book_end rows(book *b, const char *sql, const char *with, book_row row, void *user)
{
    sqlite3_stmt *statement = NULL;
    int code = sqlite3_prepare_v2(b->db, sql, -1, &statement, NULL);
    if (code == SQLITE_OK && with) {
        code = sqlite3_bind_text(statement, 1, with, -1, SQLITE_TRANSIENT);
    }
    while (code == SQLITE_OK || code == SQLITE_ROW) {
        const char *texts[MOST_TEXTS] = {""};
        code = sqlite3_step(statement);
        const int count = sqlite3_column_count(statement) < MOST_TEXTS ? sqlite3_column_count(statement) : MOST_TEXTS;
        for (int i = 0; i < count && code == SQLITE_ROW; i++) {
            const char *text = (const char *)sqlite3_column_text(statement, i);
            texts[i] = text ? text : "";
        }
        if (code == SQLITE_ROW && !row(user, count, texts)) {
            break;
        }
    }
    sqlite3_finalize(statement);
    return end_of(code);
}

book_end book_sites(book *b, book_row row, void *user)
{
    return rows(
        b,
        "SELECT name, count(visit.id), max(day), (SELECT mark FROM sheet JOIN visit AS v ON v.id=sheet.visit WHERE"
        " v.site=site.id ORDER BY sheet.id DESC LIMIT 1) FROM site LEFT JOIN visit ON visit.site=site.id"
        " GROUP BY site.id ORDER BY name",
        NULL, row, user);
}

book_end book_visits(book *b, const char *site, book_row row, void *user)
{
    return rows(b,
                "SELECT visit.id, day, who, why, (SELECT mark FROM sheet WHERE sheet.visit=visit.id),"
                " (SELECT group_concat(document.name, ', ') FROM document WHERE document.visit=visit.id)"
                " FROM visit JOIN site ON site.id=visit.site WHERE site.name=?1 ORDER BY day, visit.id",
                site, row, user);
}

/* site NULL: all. */
book_end book_readings(book *b, const char *site, book_row row, void *user)
{
    return rows(
        b,
        "SELECT visit.id, day, what, printf('%!.17g', si), words, verdict, CAST(julianday(day)-2440587.5 AS INTEGER),"
        " site.name FROM reading JOIN visit ON visit.id=reading.visit JOIN site ON site.id=visit.site"
        " WHERE ?1 IS NULL OR site.name=?1 ORDER BY site.name, what, day, reading.id",
        site, row, user);
}

book_end book_search(book *b, const char *words, book_row row, void *user)
{
    return rows(b,
                "SELECT site.name, day, who, why, CASE WHEN instr(lower(site.name),lower(?1)) THEN site.name"
                " WHEN instr(lower(why),lower(?1)) THEN why WHEN instr(lower(who),lower(?1)) THEN who ELSE ?1 END"
                " FROM visit JOIN site ON site.id=visit.site"
                " WHERE instr(lower(site.name),lower(?1)) OR instr(lower(why),lower(?1)) OR instr(lower(who),lower(?1))"
                " OR EXISTS(SELECT 1 FROM sheet WHERE sheet.visit=visit.id AND instr(lower(json),lower(?1)))"
                " OR EXISTS(SELECT 1 FROM document WHERE document.visit=visit.id AND instr(lower(name),lower(?1)))"
                " OR EXISTS(SELECT 1 FROM reading WHERE reading.visit=visit.id AND instr(lower(what),lower(?1)))"
                " ORDER BY site.name, day, visit.id",
                words, row, user);
}

static bool keep_text(void *user, int count, const char *const *texts)
{
    char **out = user;
    (void)count;
    *out = strdup(texts[0]);
    return false;
}

char *book_sheet(book *b, const char *site, book_end *end)
{
    char *text = NULL;
    *end = rows(b,
                "SELECT json FROM sheet JOIN visit ON visit.id=sheet.visit JOIN site ON site.id=visit.site"
                " WHERE site.name=?1 ORDER BY sheet.id DESC LIMIT 1",
                site, keep_text, &text);
    return text;
}

/* ---- whole books ---- */

book_end book_copy(book *b, const char *path)
{
    const value to = text_of(path);
    return with_values(b, "VACUUM INTO ?", &to, 1, NULL);
}

/* The parts of a visit under its new number. */
static const char *const taken[] = {
    "INSERT INTO sheet(visit,mark,json) SELECT ?2,mark,json FROM other.sheet WHERE visit=?1",
    "INSERT INTO reading(visit,what,si,words,verdict) SELECT ?2,what,si,words,verdict FROM other.reading WHERE "
    "visit=?1",
    "INSERT INTO document(visit,name,bytes) SELECT ?2,name,bytes FROM other.document WHERE visit=?1"};

static book_end take_visits(book *b, int64_t *visits)
{
    static const char missing[] =
        "SELECT v.id FROM other.visit v JOIN other.site s ON s.id=v.site WHERE NOT EXISTS(SELECT 1 FROM main.visit m "
        "JOIN"
        " main.site t ON t.id=m.site WHERE t.name=s.name AND m.day=v.day AND m.who=v.who AND m.why=v.why) LIMIT 1";
    book_end end = run(b, "INSERT OR IGNORE INTO site(name) SELECT name FROM other.site");
    for (*visits = 0; end == BOOK_FINE; (*visits)++) {
        int64_t was = 0, is = 0;
        end = ask_number(b, missing, &was);
        if (end != BOOK_FINE || was == 0) {
            break;
        }
        const value from = whole_of(was);
        end = with_values(b,
                          "INSERT INTO visit(site,day,who,why) SELECT t.id,v.day,v.who,v.why FROM other.visit v JOIN"
                          " other.site s ON s.id=v.site JOIN main.site t ON t.name=s.name WHERE v.id=?",
                          &from, 1, &is);
        const value both[] = {whole_of(was), whole_of(is)};
        for (size_t i = 0; i < sizeof taken / sizeof taken[0] && end == BOOK_FINE; i++) {
            end = with_values(b, taken[i], both, 2, NULL);
        }
    }
    return end;
}

book_end book_take(book *b, const char *path, int64_t *visits)
{
    book *other = NULL;
    book_end end = book_open(path, false, false, &other); /* brought up to this version */
    book_close(other);
    const value from = text_of(path);
    end = end == BOOK_FINE ? with_values(b, "ATTACH ? AS other", &from, 1, NULL) : end;
    if (end != BOOK_FINE) {
        return end;
    }
    end = run(b, "BEGIN IMMEDIATE");
    end = end == BOOK_FINE ? take_visits(b, visits) : end;
    end = end == BOOK_FINE ? run(b, "COMMIT") : end;
    if (end != BOOK_FINE) {
        (void)run(b, "ROLLBACK");
    }
    (void)run(b, "DETACH other");
    return end;
}

book_end book_check(book *b, char **first)
{
    *first = NULL;
    const book_end end = rows(b, "PRAGMA integrity_check(1)", NULL, keep_text, first);
    if (*first && strcmp(*first, "ok") == 0) {
        free(*first);
        *first = NULL;
    }
    return end;
}

/* One table, row by row: what cannot be read is counted and left. */
static void rescue_table(sqlite3 *from, sqlite3 *to, const char *table, int columns, int64_t *saved, int64_t *lost)
{
    enum { BLIND_ROWS = 100000 }; /* tried when not even the last number can be read */
    char ask[128], put[128];
    sqlite3_stmt *read = NULL, *write = NULL, *most = NULL;
    int64_t last = BLIND_ROWS, gap = 0;
    snprintf(ask, sizeof ask, "SELECT max(rowid) FROM %s", table);
    if (sqlite3_prepare_v2(from, ask, -1, &most, NULL) == SQLITE_OK && sqlite3_step(most) == SQLITE_ROW) {
        last = sqlite3_column_int64(most, 0);
    }
    sqlite3_finalize(most);
    snprintf(ask, sizeof ask, "SELECT * FROM %s WHERE rowid=?", table);
    snprintf(put, sizeof put, "INSERT INTO %s VALUES(?%s)", table, &",?,?,?,?,?"[2 * (6 - columns)]);
    const bool ready = sqlite3_prepare_v2(from, ask, -1, &read, NULL) == SQLITE_OK &&
                       sqlite3_prepare_v2(to, put, -1, &write, NULL) == SQLITE_OK;
    for (int64_t row = 1; ready && row <= last && gap < BLIND_ROWS; row++) {
        sqlite3_bind_int64(read, 1, row);
        const int code = sqlite3_step(read);
        for (int i = 0; i < columns && code == SQLITE_ROW; i++) {
            sqlite3_bind_value(write, i + 1, sqlite3_column_value(read, i));
        }
        const bool good = code == SQLITE_ROW && sqlite3_step(write) == SQLITE_DONE;
        *saved += good ? 1 : 0;
        *lost += !good && code != SQLITE_DONE ? 1 : 0;
        gap = good ? 0 : gap + 1;
        sqlite3_reset(read);
        sqlite3_reset(write);
    }
    sqlite3_finalize(read);
    sqlite3_finalize(write);
}

book_end book_rescue(const char *from, const char *to, int64_t *saved, int64_t *lost)
{
    static const struct {
        const char *table;
        int columns;
    } tables[] = {{"site", 2}, {"visit", 5}, {"sheet", 4}, {"reading", 6}, {"document", 4}};
    sqlite3 *source = NULL;
    book *target = NULL;
    *saved = *lost = 0;
    if (access(to, F_OK) == 0) {
        return BOOK_OTHER;
    }
    book_end end = end_of(sqlite3_open_v2(from, &source, SQLITE_OPEN_READONLY, NULL));
    end = end == BOOK_FINE ? book_open(to, true, false, &target) : end;
    if (end == BOOK_FINE) {
        (void)run(target, "PRAGMA foreign_keys=OFF;BEGIN"); /* a visit whose site is lost is kept all the same */
        for (size_t i = 0; i < sizeof tables / sizeof tables[0]; i++) {
            rescue_table(source, target->db, tables[i].table, tables[i].columns, saved, lost);
        }
        end = run(target, "COMMIT");
    }
    book_close(target);
    sqlite3_close(source);
    return end;
}
