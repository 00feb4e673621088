/* What can be read of a damaged file, row by row into a new one. */
#define _XOPEN_SOURCE 700
#include <sqlite3.h>
#include <stdio.h>
#include <unistd.h>

#include "book/sqlite.h"

typedef struct rescued {
    sqlite3 *from, *to;
    int64_t saved, lost;
} rescued;

/* A column that an earlier version did not have yet gets what its migration would give it. */
typedef struct table {
    const char *name, *columns;
    int count; /* of the columns */
} table;

/* Last number of a table's rows; where not even that can be read a round number. */
static int64_t last_row(sqlite3 *db, const char *name)
{
    enum { BLIND_ROWS = 100000 };
    char sql[128];
    sqlite3_stmt *most = NULL;
    int64_t last = BLIND_ROWS;
    snprintf(sql, sizeof sql, "SELECT max(rowid) FROM %s", name);
    if (sqlite3_prepare_v2(db, sql, -1, &most, NULL) == SQLITE_OK && sqlite3_step(most) == SQLITE_ROW) {
        last = sqlite3_column_int64(most, 0);
    }
    sqlite3_finalize(most);
    return last;
}

/* What cannot be read is counted and left. */
static void rescue_table(rescued *r, const table *t)
{
    enum { MOST_GAP = 100000 }; /* rows in a row that are not there */
    char ask[256], put[256];
    sqlite3_stmt *read = NULL, *write = NULL;
    const int64_t last = last_row(r->from, t->name);
    snprintf(ask, sizeof ask, "SELECT %s FROM %s WHERE rowid=?", t->columns, t->name);
    snprintf(put, sizeof put, "INSERT INTO %s(%s) VALUES(?%s)", t->name, t->columns, &",?,?,?,?,?"[2 * (6 - t->count)]);
    const bool ready = sqlite3_prepare_v2(r->from, ask, -1, &read, NULL) == SQLITE_OK &&
                       sqlite3_prepare_v2(r->to, put, -1, &write, NULL) == SQLITE_OK;
    int64_t gap = 0;
    for (int64_t row = 1; ready && row <= last && gap < MOST_GAP; row++) {
        sqlite3_bind_int64(read, 1, row);
        const int code = sqlite3_step(read);
        for (int i = 0; i < t->count && code == SQLITE_ROW; i++) {
            sqlite3_bind_value(write, i + 1, sqlite3_column_value(read, i));
        }
        const bool good = code == SQLITE_ROW && sqlite3_step(write) == SQLITE_DONE;
        r->saved += good ? 1 : 0;
        r->lost += !good && code != SQLITE_DONE ? 1 : 0;
        gap = good ? 0 : gap + 1;
        sqlite3_reset(read);
        sqlite3_reset(write);
    }
    sqlite3_finalize(read);
    sqlite3_finalize(write);
}

/* The tables as they were in the version of the damaged book; what later ones added is done by the migrations, so the
 * new book begins at that version. */
static void rescue_tables(rescued *r, int64_t version)
{
    static const table tables[][6] = {
        {{"site", "id,name", 2},
         {"visit", "id,site,day,who,why", 5},
         {"sheet", "id,visit,mark,json", 4},
         {"reading", "id,visit,what,si,words", 5}},
        {{"site", "id,name", 2},
         {"visit", "id,site,day,who,why", 5},
         {"sheet", "id,visit,mark,json", 4},
         {"reading", "id,visit,what,si,words,verdict", 6},
         {"document", "id,visit,name,bytes", 4}},
        {{"site", "id,name", 2},
         {"visit", "id,site,day,who,why,uid", 6},
         {"sheet", "id,visit,mark,json,typed", 5},
         {"made_from", "sheet,mark", 2},
         {"reading", "id,visit,what,si,words,verdict", 6},
         {"document", "id,visit,name,bytes,packed", 5}},
    };
    for (size_t i = 0; i < 6 && tables[version - 1][i].name; i++) {
        rescue_table(r, &tables[version - 1][i]);
    }
}

/* Where even the version cannot be read the file is taken as one of today. */
static int64_t version_of(sqlite3 *db)
{
    int64_t version = 0;
    const bool read = book_sqlite.version(db, &version) == BOOK_FINE;
    return read && version >= 1 && version <= BOOK_VERSION ? version : BOOK_VERSION;
}

/* A new book as that version had it. */
static book_end begin(const char *path, int64_t version, void **at)
{
    book_end end = book_sqlite.open(path, true, false, at);
    for (int64_t next = 0; next < version && end == BOOK_FINE; next++) {
        end = book_sqlite.run(*at, book_sqlite.migrations[next]);
    }
    end = end == BOOK_FINE ? book_sqlite.set_version(*at, (int)version) : end;
    /* a visit whose site is lost is kept all the same */
    return end == BOOK_FINE ? book_sqlite.run(*at, "PRAGMA foreign_keys=OFF;BEGIN") : end;
}

book_end book_rescue(const char *from, const char *to, int64_t *saved, int64_t *lost)
{
    rescued r = {NULL, NULL, 0, 0};
    void *target = NULL;
    book *up = NULL;
    *saved = *lost = 0;
    if (book_is_server(from) || book_is_server(to)) {
        return BOOK_SERVER;
    }
    if (access(to, F_OK) == 0) {
        return BOOK_STANDS;
    }
    book_end end = access(from, R_OK) == 0 ? BOOK_FINE : BOOK_NO_FILE;
    end = end == BOOK_FINE ? sqlite_end(sqlite3_open_v2(from, &r.from, SQLITE_OPEN_READONLY, NULL)) : end;
    const int64_t version = end == BOOK_FINE ? version_of(r.from) : BOOK_VERSION;
    end = end == BOOK_FINE ? begin(to, version, &target) : end;
    if (end == BOOK_FINE) {
        r.to = target;
        rescue_tables(&r, version);
        end = book_sqlite.run(target, "COMMIT");
    }
    sqlite3_close(r.from);
    sqlite3_close(target);
    end = end == BOOK_FINE ? book_open(to, false, false, &up) : end; /* brought up */
    book_close(up);
    *saved = r.saved;
    *lost = r.lost;
    return end;
}
