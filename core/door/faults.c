/* "faults": what can go wrong, in general or on one site. */
#include <string.h>

#include "base/candidates.h"
#include "door/inside.h"

enum { MOST_SEVERITIES = 16 };

static void put_on_site(door *d, const pw_site *site, pw_fault_kind kind, double pump_m3s)
{
    bool possible = pw_fault_possible(site, kind);
    pw_json_bool(d->answer, "possible", possible);
    if (!possible) {
        return;
    }
    const pw_fact at = pw_fault_where_fact(site, kind, -1);
    door_put_fact(d, "at", &at);
    double severities[MOST_SEVERITIES];
    pw_dimension dimension = pw_fault_dimension(kind);
    int32_t count = pw_fault_severities(site, kind, pump_m3s, severities, MOST_SEVERITIES);
    pw_json_open(d->answer, "severities", '[');
    for (int32_t i = 0; i < count && i < MOST_SEVERITIES && dimension != PW_DIM_NONE; i++) {
        pw_json_open(d->answer, NULL, '{');
        door_put_number(d, "si", severities[i]);
        door_put_quantity(d, "words", dimension, severities[i]);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
}

/* What the row of a kind says, whatever the site. */
static void put_row(door *d, pw_fault_kind kind)
{
    const bool severity = pw_fault_dimension(kind) != PW_DIM_NONE;
    pw_json_string(d->answer, "what", pw_fault_id(kind));
    pw_json_string(d->answer, "title", pw_say_word(&d->voice, pw_fault_title(kind)));
    pw_json_string(d->answer, "severity", severity ? pw_say_word(&d->voice, pw_fault_severity_words(kind)) : NULL);
    pw_json_string(d->answer, "dimension", severity ? door_dimension_id(pw_fault_dimension(kind)) : NULL);
    pw_json_string(d->answer, "unit", severity ? pw_unit_name(&d->units, pw_fault_dimension(kind)) : NULL);
    for (int32_t severe = 0; severity && severe < 2; severe++) {
        const pw_fact end = pw_fault_end_fact(kind, severe > 0);
        door_put_fact(d, severe > 0 ? "severe" : "mild", &end);
    }
    pw_json_string(d->answer, "where", pw_say_word(&d->voice, pw_fault_usual_words(kind)));
}

/* An example as one types it. */
static void put_example(door *d, pw_fault_kind kind)
{
    const bool severity = pw_fault_dimension(kind) != PW_DIM_NONE;
    const pw_fact of = severity ? pw_fact_of("door.fault-typed", pw_named(pw_fault_id(kind)),
                                             pw_quantity(pw_fault_dimension(kind), pw_fault_example(kind)))
                                : pw_verbatim(pw_fault_id(kind));
    door_put_fact(d, "example", &of);
}

pw_status door_faults(door *d)
{
    const char *what = door_string(d, d->request, "", "what", NULL);
    const int32_t only = what != NULL ? pw_fault_find(what) : PW_FAULT_NONE;
    if (what != NULL && only <= PW_FAULT_NONE) {
        return pw_problem_tell(d->problems, PW_REFERENCE, "what", pw_verbatim(what), pw_fact_of("door.fault-name"),
                               pw_fault_near(what, (char[PW_WORDS_SIZE]){0}));
    }
    const pw_site *site = NULL;
    pw_jobs *jobs = NULL;
    if (pw_json_get(d->request, "site")) {
        pw_plant *plant = door_plant(d);
        if (!plant) {
            return door_problem(d);
        }
        pw_proof_options options;
        pw_proof_defaults(&options);
        pw_status status = pw_proof_plan(d->arena, plant, &options, &jobs, d->problems);
        if (status != PW_OK) {
            return status;
        }
        site = plant->site;
        pw_json_string(d->answer, "name", site->name);
    }
    pw_json_open(d->answer, "faults", '[');
    for (int32_t i = PW_FAULT_NONE + 1; i < PW_FAULT_COUNT; i++) {
        pw_fault_kind kind = (pw_fault_kind)i;
        if (only > PW_FAULT_NONE && i != only) {
            continue;
        }
        pw_json_open(d->answer, NULL, '{');
        put_row(d, kind);
        put_example(d, kind);
        if (site) {
            put_on_site(d, site, kind, jobs->pump_m3s);
        }
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
    return PW_OK;
}
