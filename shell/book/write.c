/* What is written: a visit with all that belongs to it. */
#define _DEFAULT_SOURCE /* getentropy */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <zlib.h>

#include "book/store.h"

/* An identity that no other visit of any book has. */
static bool new_uid(char out[33])
{
    unsigned char bytes[16];
    if (getentropy(bytes, sizeof bytes) != 0) {
        return false;
    }
    for (size_t i = 0; i < sizeof bytes; i++) {
        snprintf(out + 2 * i, 3, "%02x", bytes[i]);
    }
    return true;
}

book_end book_put_visit(book *b, const book_visit *visit, const char *uid, int64_t *number)
{
    int64_t site = 0;
    char fresh[33] = "";
    const book_value name = book_text(visit->site);
    if (uid[0] == 0 && !new_uid(fresh)) {
        return BOOK_OTHER;
    }
    book_end end = BOOK_FINE;
    if (visit->sheet) { /* without one its name may be a slip */
        end = book_ask(b, "INSERT INTO site(name) VALUES($1) ON CONFLICT DO NOTHING", &name, 1, NULL, NULL);
    }
    end = end == BOOK_FINE ? book_ask_number(b, "SELECT id FROM site WHERE name=$1", &name, 1, &site) : end;
    end = end == BOOK_FINE && site == 0 ? BOOK_NOT_THERE : end;
    const book_value row[] = {book_whole(site), book_text(visit->day), book_text(visit->who), book_text(visit->why),
                              book_text(uid[0] != 0 ? uid : fresh)};
    return end == BOOK_FINE ? book_ask_number(b,
                                              "INSERT INTO visit(site,day,who,why,uid) VALUES($1,$2,$3,$4,$5)"
                                              " RETURNING id",
                                              row, 5, number)
                            : end;
}

book_end book_put_sheet(book *b, const book_visit *visit, int64_t number)
{
    int64_t sheet = 0;
    const book_value row[] = {book_whole(number), book_text(visit->mark), book_text(visit->sheet),
                              book_text(visit->typed ? visit->typed : "")};
    book_end end =
        book_ask_number(b, "INSERT INTO sheet(visit,mark,json,typed) VALUES($1,$2,$3,$4) RETURNING id", row, 4, &sheet);
    for (int32_t i = 0; i < visit->made_from_count && end == BOOK_FINE; i++) {
        const book_value from[] = {book_whole(sheet), book_text(visit->made_from[i])};
        end = book_ask(b, "INSERT INTO made_from(sheet,mark) VALUES($1,$2)", from, 2, NULL, NULL);
    }
    return end;
}

book_end book_put_reading(book *b, const book_reading *reading, int64_t number)
{
    const book_value row[] = {book_whole(number),
                              book_text(reading->what),
                              {.kind = BOOK_REAL, .real = reading->si},
                              book_text(reading->words),
                              book_text(reading->verdict)};
    return book_ask(b, "INSERT INTO reading(visit,what,si,words,verdict) VALUES($1,$2,$3,$4,$5)", row, 5, NULL, NULL);
}

book_end book_put_bytes(book *b, const char *name, const void *bytes, size_t length, int64_t whole, int64_t number)
{
    const book_value row[] = {book_whole(number),
                              book_text(name),
                              {.kind = BOOK_BYTES, .bytes = length > 0 ? bytes : "", .length = length},
                              book_whole(whole)};
    return book_ask(b, "INSERT INTO document(visit,name,bytes,packed) VALUES($1,$2,$3,$4)", row, 4, NULL, NULL);
}

/* A logger's file is mostly the same again and again; what packing does not make smaller is kept as it is. */
static book_end put_document(book *b, const book_paper *paper, int64_t number)
{
    uLongf length = compressBound((uLong)paper->length);
    Bytef *packed = malloc(length);
    const bool smaller =
        packed && compress(packed, &length, paper->bytes, (uLong)paper->length) == Z_OK && length < paper->length;
    const book_end end = smaller ? book_put_bytes(b, paper->name, packed, length, (int64_t)paper->length, number)
                                 : book_put_bytes(b, paper->name, paper->bytes, paper->length, 0, number);
    free(packed);
    return end;
}

/* ---- which sheet a sheet was made from ---- */

typedef struct found {
    int64_t id;
    char mark[64];
} found;

static bool keep_found(void *user, int count, const char *const *texts, const size_t *lengths)
{
    found *out = user;
    (void)count, (void)lengths;
    out->id = book_number(texts[0]);
    snprintf(out->mark, sizeof out->mark, "%s", texts[1]);
    return false;
}

/* The last sheet of a site of which a text is so; id 0: there is none. */
static book_end last_sheet(book *b, const char *site, const char *condition, const char *text, found *out)
{
    char sql[256];
    const book_value values[] = {book_text(site), book_text(text)};
    *out = (found){0, ""};
    snprintf(sql, sizeof sql,
             "SELECT sheet.id, mark FROM sheet JOIN visit ON visit.id=sheet.visit JOIN site ON site.id=visit.site"
             " WHERE site.name=$1%s ORDER BY sheet.id DESC LIMIT 1",
             condition);
    return book_ask(b, sql, values, text ? 2 : 1, keep_found, out);
}

/* What its author did not say: the later of the sheet that was fetched and the last one of the same person. */
static book_end suppose(book *b, book_visit *visit, found *known)
{
    found fetched = {0, ""};
    book_end end = visit->fetched ? last_sheet(b, visit->site, " AND mark=$2", visit->fetched, &fetched) : BOOK_FINE;
    end = end == BOOK_FINE ? last_sheet(b, visit->site, " AND who=$2", visit->who, known) : end;
    *known = fetched.id > known->id ? fetched : *known;
    if (known->id > 0) {
        visit->made_from_count = 1;
        visit->made_from[0] = known->mark;
    }
    return end;
}

static book_end all_known(book *b, const book_visit *visit)
{
    book_end end = BOOK_FINE;
    for (int32_t i = 0; i < visit->made_from_count && end == BOOK_FINE; i++) {
        found one;
        end = last_sheet(b, visit->site, " AND mark=$2", visit->made_from[i], &one);
        end = end == BOOK_FINE && one.id == 0 ? BOOK_NO_SHEET : end;
    }
    return end;
}

/* Is the last sheet this one to the letter? */
static book_end is_written(book *b, const book_visit *visit, bool *out)
{
    int64_t same = 0;
    const book_value values[] = {book_text(visit->site), book_text(visit->mark), book_text(visit->typed)};
    const book_end end = book_ask_number(b,
                                         "SELECT count(*) FROM (SELECT mark, typed FROM sheet"
                                         " JOIN visit ON visit.id=sheet.visit JOIN site ON site.id=visit.site"
                                         " WHERE site.name=$1 ORDER BY sheet.id DESC LIMIT 1) AS last"
                                         " WHERE mark=$2 AND typed=$3",
                                         values, 3, &same);
    *out = same > 0;
    return end;
}

static book_end add_sheet(book *b, const book_visit *visit, int64_t number)
{
    book_visit made = *visit;
    found last = {0, ""}, known = {0, ""};
    bool written = false;
    if (visit->made_from_count > 0) {
        const book_end end = all_known(b, visit);
        return end == BOOK_FINE ? book_put_sheet(b, visit, number) : end;
    }
    book_end end = is_written(b, visit, &written);
    if (end != BOOK_FINE || written) {
        return end;
    }
    end = last_sheet(b, visit->site, "", NULL, &last);
    if (end == BOOK_FINE && strcmp(last.mark, visit->mark) == 0) { /* other remarks in it, nothing else */
        made.made_from_count = 1;
        made.made_from[0] = last.mark;
    } else if (end == BOOK_FINE) {
        end = suppose(b, &made, &known);
    }
    return end == BOOK_FINE ? book_put_sheet(b, &made, number) : end;
}

book_end book_add(book *b, const book_visit *visit, int64_t *number)
{
    book_end end = book_run(b, b->store->begin_writing);
    end = end == BOOK_FINE ? book_put_visit(b, visit, "", number) : end;
    end = end == BOOK_FINE && visit->sheet ? add_sheet(b, visit, *number) : end;
    for (int32_t i = 0; i < visit->reading_count && end == BOOK_FINE; i++) {
        end = book_put_reading(b, &visit->readings[i], *number);
    }
    for (int32_t i = 0; i < visit->document_count && end == BOOK_FINE; i++) {
        end = put_document(b, &visit->documents[i], *number);
    }
    return book_finish(b, end);
}
