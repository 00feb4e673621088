/* "commission": readings of the day held against what was expected. */
#include <string.h>

#include "door/inside.h"
#include "paper/handover.h"

enum { MOST_READINGS = 2 * PW_MAX_EXPECTS };
static const door_key reading_keys[] = {{"what", ""}, {"reads", ""}, {"error", ""}, {NULL, NULL}};

/* The expected reading of that name; NULL after a problem was added. */
static const pw_expect *find_expect(door *d, const pw_expects *list, const char *what, const char *path)
{
    const char *names[PW_MAX_EXPECTS];
    for (int32_t i = 0; i < list->count; i++) {
        if (strcmp(list->items[i].what, what) == 0) {
            return &list->items[i];
        }
        names[i] = list->items[i].what;
    }
    pw_choices right = {{0}, 0, 0};
    for (int32_t i = 0; i < list->count; i++) {
        pw_choices_add(&right, names[i]);
    }
    pw_problem_tell(d->problems, PW_REFERENCE, path, pw_verbatim(what), pw_verbatim(right.names),
                    pw_near_fact(what, names, list->count));
    return NULL;
}

static void read_one(door *d, const pw_json *item, const pw_expects *list, int32_t index, pw_measured *out)
{
    char path[PW_PATH_SIZE], inner[PW_PATH_SIZE];
    door_path_index(path, "readings", index);
    if (item->kind != PW_JSON_OBJECT) {
        door_wrong_type(d, item, path, pw_fact_of("door.reading-object"));
        return;
    }
    door_check_keys(d, item, path, reading_keys, NULL);
    const char *what = door_string(d, item, path, "what", "");
    out->expect = find_expect(d, list, what, door_path_key(inner, path, "what"));
    if (out->expect == NULL) {
        return;
    }
    const pw_dimension dimension = out->expect->dimension;
    if (!door_member(item, "reads")) {
        pw_problem_tell(d->problems, PW_MISSING, door_path_key(inner, path, "reads"), pw_no_fact(),
                        pw_fact_of(pw_dimension_message(dimension)), pw_no_fact());
        return;
    }
    out->reads = door_quantity(d, item, path, "reads", dimension, -1e12, 1e12, 0.0);
    out->error = door_quantity(d, item, path, "error", dimension, 0.0, 1e12, -1.0);
    out->usual = out->error < 0.0;
    out->error = out->usual ? pw_expect_usual_error(dimension, out->reads) : out->error;
    out->verdict = pw_expect_judge(out->expect, out->reads, out->error);
}

static void put_readings(door *d, const pw_measured *readings, int32_t count)
{
    pw_json_open(d->answer, "readings", '[');
    for (int32_t i = 0; i < count; i++) {
        const pw_measured *reading = &readings[i];
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "what", reading->expect->what);
        door_put_number(d, "si", reading->reads);
        door_put_number(d, "error", reading->error);
        pw_json_bool(d->answer, "usual_error", reading->usual);
        pw_json_string(d->answer, "verdict", pw_reading_id(reading->verdict));
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
}

pw_status door_commission(door *d)
{
    door_papers wanted = door_papers_wanted(d, false, false);
    const pw_json *list = door_list(d, "readings");
    const pw_grade *grade = door_grade(d);
    pw_plant *plant = door_plant(d);
    if (!plant || door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    pw_expects *expects = NULL;
    pw_measured *readings = PW_NEW(d->arena, MOST_READINGS, pw_measured);
    pw_status status = readings == NULL ? PW_MEMORY : pw_expect_list(d->arena, plant, grade, &expects, d->problems);
    if (status != PW_OK) {
        return status;
    }
    int32_t count = 0;
    for (const pw_json *item = list ? list->first : NULL; item; item = item->next) {
        if (count == MOST_READINGS) {
            pw_problem_tell(d->problems, PW_LIMIT, "readings", pw_no_fact(),
                            pw_fact_of("door.most-readings", pw_count(MOST_READINGS)), pw_no_fact());
            break;
        }
        read_one(d, item, expects, count, &readings[count]);
        count++;
    }
    if (door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    pw_json_string(d->answer, "name", plant->site->name);
    door_put_expects(d, expects);
    put_readings(d, readings, count);
    pw_document *document = NULL;
    status = pw_paper_commission(d->arena, plant, expects, readings, count, &d->voice, &document);
    return status == PW_OK ? door_put_papers(d, &wanted, document) : status;
}
