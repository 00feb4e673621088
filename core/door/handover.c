/* "handover": the paper that is left on site. */
#include <string.h>

#include "base/num.h"
#include "door/inside.h"
#include "paper/handover.h"

/* A short proof, own choice: enough to show blind bands within half a minute. */
enum { SHORT_YEARS = 1, SHORT_SWEEP = 16 };
#define SHORT_HORIZON_S (7.0 * 86400.0)

static const char hex[] = "0123456789abcdef";

/* FNV-1a (64 bit) of the sheet as it was read: which sheet a paper belongs to. No secret and no seal. */
static bool fingerprint(door *d, const pw_site *site, char out[17])
{
    pw_text text;
    pw_json_writer writer;
    pw_text_init(&text, d->arena);
    pw_json_writer_init(&writer, &text, 0);
    pw_json_value(&writer, NULL, site->sheet);
    uint64_t sum = 14695981039346656037u;
    for (size_t i = 0; !text.failed && i < text.length; i++) {
        sum = (sum ^ (uint8_t)text.data[i]) * 1099511628211u;
    }
    for (int32_t i = 0; i < 16; i++) {
        out[i] = hex[sum >> (60 - 4 * i) & 15u];
    }
    out[16] = '\0';
    return !text.failed;
}

const pw_grade *door_grade(door *d)
{
    const char *name = door_string(d, d->request, "", "grade", "2B");
    const pw_grade *grade = pw_grade_find(name);
    if (grade == NULL) {
        pw_problem_tell(d->problems, PW_WORD, "grade", pw_verbatim(name), pw_fact_of("door.grades"), pw_no_fact());
    }
    return grade;
}

/* Its options are read in any case, so that a slip in one of them is told. */
static pw_status prove_shortly(door *d, const pw_plant *plant, const pw_proof **out)
{
    pw_proof_options options;
    pw_proof *proof = NULL;
    pw_proof_defaults(&options);
    options.margins = false;
    options.healthy_years = SHORT_YEARS;
    options.sweep_count = SHORT_SWEEP;
    options.horizon_s = SHORT_HORIZON_S;
    door_read_proof(d, 0, 1000, PW_MAX_SWEEP, &options);
    const bool proposes = door_truth(d, d->request, "", "propose", false);
    const pw_json *given = door_list(d, "outcomes"), *again = door_list(d, "outcomes again");
    const bool wanted = door_truth(d, d->request, "", "proof", given != NULL);
    if (!wanted || door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    pw_status status = door_prove_here(d, plant, &options, given, &proof);
    if (status == PW_OK && proposes) {
        status = door_find_proposal(d, proof, again);
    }
    *out = proof;
    return status;
}

void door_put_expects(door *d, const pw_expects *list)
{
    pw_json_string(d->answer, "grade", list->grade->name);
    pw_json_open(d->answer, "expected", '[');
    for (int32_t i = 0; i < list->count; i++) {
        const pw_expect *expect = &list->items[i];
        const pw_fact words = pw_expect_fact(expect);
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "what", expect->what);
        pw_json_string(d->answer, "dimension", door_dimension_id(expect->dimension));
        door_put_fact(d, "words", &words);
        door_put_number(d, "si", expect->expected);
        door_put_number(d, "low", expect->low);
        door_put_number(d, "high", expect->high);
        door_put_quantity(d, "value", expect->dimension, expect->expected);
        pw_json_bool(d->answer, "assumed", expect->assumed);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
}

/* ---- what a person gave ---- */

enum { MOST_TEXTS = 200 };

static bool is_letter_of_base64(char c)
{
    return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '+' || c == '/' ||
           c == '=';
}

/* A JPEG as a data address, and nothing that a page would take for more. */
static bool is_picture(const pw_json *value)
{
    static const char head[] = "data:image/jpeg;base64,";
    const size_t length = sizeof head - 1;
    if (value == NULL || value->kind != PW_JSON_STRING || value->length <= length ||
        memcmp(value->string, head, length) != 0) {
        return false;
    }
    for (size_t i = length; i < value->length; i++) {
        if (!is_letter_of_base64(value->string[i])) {
            return false;
        }
    }
    return true;
}

static bool read_photos(door *d, pw_handover *job)
{
    static const door_key keys[] = {{"words", ""}, {"picture", ""}, {NULL, NULL}};
    const pw_json *list = door_list(d, "photos");
    pw_photo *photos = PW_NEW(d->arena, PW_MOST_PHOTOS, pw_photo);
    for (const pw_json *item = list ? list->first : NULL; item && photos; item = item->next) {
        char path[PW_PATH_SIZE], inside[PW_PATH_SIZE];
        door_path_index(path, "photos", job->photo_count);
        if (item->kind != PW_JSON_OBJECT || job->photo_count == PW_MOST_PHOTOS) {
            door_wrong_type(d, item, path, pw_fact_of("door.photos", pw_count(PW_MOST_PHOTOS)));
            return true;
        }
        door_check_keys(d, item, path, keys, NULL);
        const pw_json *picture = pw_json_get(item, "picture");
        if (!is_picture(picture)) {
            pw_problem_tell(d->problems, PW_WORD, door_path_key(inside, path, "picture"), pw_fact_of("door.no-picture"),
                            pw_fact_of("door.picture"), pw_no_fact());
            return true;
        }
        photos[job->photo_count++] = (pw_photo){door_string(d, item, path, "words", ""), picture->string};
    }
    job->photos = photos;
    return photos != NULL;
}

static bool read_texts(door *d, const char *key, const char *const **list, int32_t *count)
{
    const char **texts = PW_NEW(d->arena, MOST_TEXTS, const char *);
    *count = texts ? door_texts(d, key, MOST_TEXTS, texts) : 0;
    *list = texts;
    return texts != NULL;
}

/* False: the memory ran out. */
static bool read_given(door *d, pw_handover *job)
{
    const pw_json *r = d->request;
    job->is_short = door_truth(d, r, "", "short", false);
    job->date = door_string(d, r, "", "date", "");
    job->installer = door_string(d, r, "", "installer", "");
    job->owner = door_string(d, r, "", "owner", "");
    job->address = door_string(d, r, "", "address", "");
    job->call = door_string(d, r, "", "call", "");
    return read_texts(d, "found", &job->found, &job->found_count) &&
           read_texts(d, "assumed", &job->assumed, &job->assumed_count) && read_photos(d, job);
}

pw_status door_handover(door *d)
{
    door_papers wanted = door_papers_wanted(d, false, false);
    const bool tree = door_truth(d, d->request, "", "document", false);
    const pw_grade *grade = door_grade(d);
    char mark[17];
    pw_handover job = {.mark = mark};
    const bool given = read_given(d, &job);
    pw_plant *plant = door_plant(d);
    if (!given || !plant || door_problem(d) != PW_OK) {
        return given ? door_problem(d) : PW_MEMORY;
    }
    pw_duty_row rows[DOOR_DUTY_ROWS];
    pw_expects *expects = NULL;
    pw_guarantees *guarantees = NULL;
    pw_status status = prove_shortly(d, plant, &job.proof);
    status = status == PW_OK ? door_duty_rows(d, plant, -1.0, rows, &job.duty_count) : status;
    status = status == PW_OK ? pw_expect_list(d->arena, plant, grade, &expects, d->problems) : status;
    status = status == PW_OK ? pw_guarantees_of(d->arena, plant, &guarantees, d->problems) : status;
    if (status != PW_OK || !fingerprint(d, plant->site, mark)) {
        return status != PW_OK ? status : PW_MEMORY;
    }
    job.plant = plant;
    job.expects = expects;
    job.guarantees = guarantees;
    job.duties = rows;
    pw_json_string(d->answer, "name", plant->site->name);
    pw_json_string(d->answer, "mark", mark);
    door_put_expects(d, expects);
    pw_document *document = NULL;
    status = pw_paper_handover(d->arena, &job, &d->voice, &document);
    if (status == PW_OK && tree) {
        status = pw_document_json(document, d->answer, "document");
    }
    return status == PW_OK ? door_put_papers(d, &wanted, document) : status;
}
