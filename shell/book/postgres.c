/* A book on a PostgreSQL server, in a schema of its own: job_book. */
#include <libpq-fe.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "book/store.h"

enum { BYTES_TYPE = 17 }; /* OID of bytea in PostgreSQL's pg_type */

/* By the class of SQLSTATE, or all of it (PostgreSQL 15, appendix A: from memory). */
static book_end end_of_state(const char *state)
{
    static const struct {
        const char *begins;
        book_end end;
    } ends[] = {{"53100", BOOK_FULL},      {"55P03", BOOK_BUSY},      {"40", BOOK_BUSY},       {"57014", BOOK_BUSY},
                {"25006", BOOK_READ_ONLY}, {"42501", BOOK_READ_ONLY}, {"3F000", BOOK_NO_FILE}, {"42P01", BOOK_NO_FILE},
                {"XX001", BOOK_DAMAGED},   {"XX002", BOOK_DAMAGED},   {"08", BOOK_CUT},        {"57P", BOOK_CUT}};
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++) {
        if (strncmp(state, ends[i].begins, strlen(ends[i].begins)) == 0) {
            return ends[i].end;
        }
    }
    return BOOK_OTHER;
}

static book_end end_of(PGconn *server, const PGresult *result)
{
    const ExecStatusType status = PQresultStatus(result);
    if (status == PGRES_COMMAND_OK || status == PGRES_TUPLES_OK || status == PGRES_EMPTY_QUERY) {
        return BOOK_FINE;
    }
    const char *state = PQresultErrorField(result, PG_DIAG_SQLSTATE);
    const char *words = PQresultErrorField(result, PG_DIAG_MESSAGE_PRIMARY);
    book_keep_said(words ? words : PQerrorMessage(server));
    return PQstatus(server) != CONNECTION_OK ? BOOK_CUT : end_of_state(state ? state : "");
}

static book_end run(void *at, const char *sql)
{
    PGresult *result = PQexec(at, sql);
    book_end end = end_of(at, result);
    /* a transaction that failed earlier is taken back at COMMIT without an error */
    end =
        end == BOOK_FINE && strcmp(sql, "COMMIT") == 0 && strcmp(PQcmdStatus(result), "COMMIT") != 0 ? BOOK_OTHER : end;
    PQclear(result);
    return end;
}

/* Values as the server takes them: bytes as they are, all else as text. */
typedef struct sent {
    Oid types[BOOK_MOST_VALUES];
    const char *values[BOOK_MOST_VALUES];
    int lengths[BOOK_MOST_VALUES], formats[BOOK_MOST_VALUES];
    char numbers[BOOK_MOST_VALUES][32];
} sent;

static void send_value(sent *s, int i, const book_value *v)
{
    s->values[i] = v->bytes;
    if (v->kind == BOOK_WHOLE) {
        snprintf(s->numbers[i], sizeof s->numbers[i], "%lld", (long long)v->whole);
        s->values[i] = s->numbers[i];
    } else if (v->kind == BOOK_REAL) {
        snprintf(s->numbers[i], sizeof s->numbers[i], "%.17g", v->real);
        s->values[i] = s->numbers[i];
    } else if (v->kind == BOOK_BYTES) {
        s->types[i] = BYTES_TYPE;
        s->lengths[i] = (int)v->length;
        s->formats[i] = 1;
    }
}

static bool give(const PGresult *result, int number, book_row row, void *user)
{
    const char *texts[BOOK_MOST_TEXTS] = {""};
    size_t lengths[BOOK_MOST_TEXTS] = {0};
    unsigned char *unpacked[BOOK_MOST_TEXTS] = {0};
    const int all = PQnfields(result), count = all < BOOK_MOST_TEXTS ? all : BOOK_MOST_TEXTS;
    for (int i = 0; i < count; i++) {
        texts[i] = PQgetvalue(result, number, i); /* "" of NULL */
        lengths[i] = (size_t)PQgetlength(result, number, i);
        if (PQftype(result, i) == BYTES_TYPE) {
            unpacked[i] = PQunescapeBytea((const unsigned char *)texts[i], &lengths[i]);
            texts[i] = unpacked[i] ? (const char *)unpacked[i] : "";
            lengths[i] = unpacked[i] ? lengths[i] : 0;
        }
    }
    const bool on = row(user, count, texts, lengths);
    for (int i = 0; i < count; i++) {
        PQfreemem(unpacked[i]);
    }
    return on;
}

static book_end ask(void *at, const char *sql, const book_value *values, int count, book_row row, void *user)
{
    sent s;
    memset(&s, 0, sizeof s);
    for (int i = 0; i < count; i++) {
        send_value(&s, i, &values[i]);
    }
    PGresult *result = PQexecParams(at, sql, count, s.types, s.values, s.lengths, s.formats, 0);
    const book_end end = end_of(at, result);
    for (int i = 0; end == BOOK_FINE && row && i < PQntuples(result); i++) {
        if (!give(result, i, row, user)) {
            break;
        }
    }
    PQclear(result);
    return end;
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
    int64_t there = 0;
    book_end end = ask(at, "SELECT count(*) FROM pg_tables WHERE schemaname='job_book' AND tablename='version'", NULL,
                       0, take_number, &there);
    return end == BOOK_FINE && there > 0 ? ask(at, "SELECT number FROM version", NULL, 0, take_number, out) : end;
}

static book_end set_version(void *at, int number)
{
    const book_value value = book_whole(number);
    return ask(at, "UPDATE version SET number=$1", &value, 1, NULL, NULL);
}

static void close_server(void *at)
{
    PQfinish(at);
}

static void no_notice(void *user, const char *message)
{
    (void)user, (void)message;
}

/* What the string says goes before what is usual here. */
static book_end open(const char *where, bool make, bool only_read, void **at)
{
    static const char *const words[] = {"connect_timeout", "application_name", "dbname", NULL};
    const char *const values[] = {"10", "pumpwright", where, NULL};
    (void)make;
    PGconn *server = PQconnectdbParams(words, values, 1);
    *at = server;
    if (PQstatus(server) != CONNECTION_OK) {
        book_keep_said(PQerrorMessage(server));
        return BOOK_NO_FILE;
    }
    PQsetNoticeProcessor(server, no_notice, NULL);
    return run(server, only_read
                           ? "SET client_encoding TO UTF8; SET search_path TO job_book; SET lock_timeout TO '10s';"
                             "SET default_transaction_read_only TO on"
                           : "SET client_encoding TO UTF8; SET search_path TO job_book; SET lock_timeout TO '10s';"
                             "SET synchronous_commit TO on");
}

/* The first version that servers know is the third of files. */
const book_store book_postgres = {
    .begin_writing = "BEGIN; SELECT pg_advisory_xact_lock(7382190465)", /* a number that other programs will not take */
    .begin_reading = "BEGIN ISOLATION LEVEL REPEATABLE READ",
    .gather = "string_agg",
    .check = NULL,
    .open = open,
    .close = close_server,
    .run = run,
    .ask = ask,
    .version = version,
    .set_version = set_version,
    .migrations = {
        "",
        "",
        "CREATE SCHEMA job_book;"
        "CREATE TABLE version(number INTEGER NOT NULL); INSERT INTO version VALUES(0);"
        "CREATE TABLE site(id BIGINT GENERATED BY DEFAULT AS IDENTITY PRIMARY KEY,"
        " name TEXT NOT NULL UNIQUE);"
        "CREATE TABLE visit(id BIGINT GENERATED BY DEFAULT AS IDENTITY PRIMARY KEY,"
        " site BIGINT NOT NULL REFERENCES site(id), day TEXT NOT NULL, who TEXT NOT NULL,"
        " why TEXT NOT NULL, uid TEXT NOT NULL UNIQUE);"
        "CREATE TABLE sheet(id BIGINT GENERATED BY DEFAULT AS IDENTITY PRIMARY KEY,"
        " visit BIGINT NOT NULL REFERENCES visit(id), mark TEXT NOT NULL, json TEXT NOT NULL, typed TEXT NOT NULL);"
        "CREATE TABLE made_from(sheet BIGINT NOT NULL REFERENCES sheet(id), mark TEXT NOT NULL);"
        "CREATE TABLE reading(id BIGINT GENERATED BY DEFAULT AS IDENTITY PRIMARY KEY,"
        " visit BIGINT NOT NULL REFERENCES visit(id), what TEXT NOT NULL, si DOUBLE PRECISION NOT NULL,"
        " words TEXT NOT NULL, verdict TEXT NOT NULL);"
        "CREATE TABLE document(id BIGINT GENERATED BY DEFAULT AS IDENTITY PRIMARY KEY,"
        " visit BIGINT NOT NULL REFERENCES visit(id), name TEXT NOT NULL, bytes BYTEA NOT NULL,"
        " packed BIGINT NOT NULL);"
        "CREATE INDEX visit_of_site ON visit(site, day);"
        "CREATE INDEX made_from_mark ON made_from(mark);",
    }};
