/* "worst": the worst that the settings allow, whatever the sensors say. */
#include "control/worst.h"
#include "door/inside.h"
#include "paper/worst_paper.h"

static void put_book(door *d, const pw_settings *settings, const pw_worst_book *book)
{
    pw_json_open(d->answer, "book", '[');
    for (int32_t i = 0; i < book->count; i++) {
        const pw_worst_line *line = &book->lines[i];
        const pw_fact fact = pw_worst_line_fact(d->arena, settings, line);
        pw_json_open(d->answer, NULL, '{');
        door_put_number(d, "at_s", (double)line->at_ms / 1000.0);
        door_put_count(d, "signal", line->reading ? line->signal : -1);
        if (line->reading) {
            door_put_number(d, "si", line->value);
        }
        door_put_fact(d, "words", &fact);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
    pw_json_int(d->answer, "book_left_out", book->left_out);
}

/* value: starts, or seconds; null without a limit, and where nothing is known. */
static void put_answer(door *d, const char *key, const pw_settings *settings, const pw_worst_answer *answer,
                       pw_fact fact, double per_unit)
{
    static const char *const ends[] = {
        [PW_WORST_BOUND] = "bound", [PW_WORST_UNLIMITED] = "unlimited", [PW_WORST_TOO_LARGE] = "undecided"};
    pw_json_open(d->answer, key, '{');
    pw_json_string(d->answer, "end", ends[answer->end]);
    door_put_number(d, "most", answer->end == PW_WORST_BOUND ? (double)answer->value / per_unit : PW_INF);
    door_put_number(d, "shown", (double)answer->shown / per_unit);
    pw_json_bool(d->answer, "reached", answer->reached);
    door_put_fact(d, "words", &fact);
    put_book(d, settings, &answer->book);
    pw_json_close(d->answer, '}');
}

static void put_sentences(door *d, const char *key, uint64_t which)
{
    pw_json_open(d->answer, key, '[');
    for (int32_t i = 0; i < PW_MAX_SENTENCES; i++) {
        if ((which >> i & 1u) != 0) {
            pw_json_int(d->answer, NULL, i);
        }
    }
    pw_json_close(d->answer, ']');
}

static void put_worst(door *d, const pw_plant *plant, const pw_worst *worst)
{
    const pw_settings *settings = plant->settings;
    pw_json_open(d->answer, NULL, '{');
    pw_json_string(d->answer, "pump", plant->site->pumps[worst->pump].name);
    put_answer(d, "starts", settings, &worst->starts, pw_worst_starts_fact(worst), 1.0);
    put_answer(d, "run", settings, &worst->run, pw_worst_run_fact(worst), 1000.0);
    pw_json_open(d->answer, "dry", '[');
    for (int32_t i = 0; i < worst->sense_count; i++) {
        put_answer(d, NULL, settings, &worst->senses[i].longest, pw_worst_sense_fact(d->arena, settings, worst, i),
                   1000.0);
    }
    pw_json_close(d->answer, ']');
    put_answer(d, "stuck", settings, &worst->stuck, pw_worst_stuck_fact(d->arena, settings, worst), 1.0);
    door_put_count(d, "stuck_by", worst->stuck_by);
    put_sentences(d, "waits_for_a_person", worst->waits_person);
    put_sentences(d, "left_out", worst->left_out);
    pw_json_close(d->answer, '}');
}

pw_status door_worst(door *d)
{
    const door_papers wanted = door_papers_wanted(d, false, false);
    pw_plant *plant = door_plant(d);
    if (!plant || door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    const int32_t count = plant->site->pump_count;
    pw_worst *worsts = PW_NEW(d->arena, count + 1, pw_worst);
    pw_table *table = NULL;
    pw_status status =
        worsts == NULL ? PW_MEMORY : pw_table_build(d->arena, plant->settings, NULL, &table, d->problems);
    for (int32_t pump = 0; pump < count && status == PW_OK; pump++) {
        status = door_cancelled(d)
                     ? PW_CANCELLED
                     : pw_worst_of(d->arena, plant->settings, table, &plant->facts, pump, PW_WORST_WAYS, &worsts[pump]);
    }
    if (status != PW_OK) {
        return status;
    }
    pw_json_string(d->answer, "name", plant->site->name);
    pw_json_open(d->answer, "pumps", '[');
    for (int32_t pump = 0; pump < count; pump++) {
        put_worst(d, plant, &worsts[pump]);
    }
    pw_json_close(d->answer, ']');
    pw_document *document = NULL;
    status = pw_paper_worst(d->arena, plant, worsts, count, &d->voice, &document);
    return status == PW_OK ? door_put_papers(d, &wanted, document) : status;
}
