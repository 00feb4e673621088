/* "handover": the paper that is left on site. */
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
    if (!door_truth(d, d->request, "", "proof", false) || door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    const pw_status status = door_prove_here(d, plant, &options, &proof);
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

pw_status door_handover(door *d)
{
    const pw_json *r = d->request;
    door_papers wanted = door_papers_wanted(d, false, false);
    const bool tree = door_truth(d, r, "", "document", false);
    const pw_grade *grade = door_grade(d);
    char mark[17];
    pw_handover job = {.mark = mark,
                       .date = door_string(d, r, "", "date", ""),
                       .installer = door_string(d, r, "", "installer", ""),
                       .owner = door_string(d, r, "", "owner", ""),
                       .call = door_string(d, r, "", "call", "")};
    pw_plant *plant = door_plant(d);
    if (!plant || door_problem(d) != PW_OK) {
        return door_problem(d);
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
