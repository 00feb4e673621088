/* "faults": what can go wrong, in general or on one site. */
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

pw_status door_faults(door *d)
{
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
        pw_json_open(d->answer, NULL, '{');
        put_row(d, kind);
        if (site) {
            put_on_site(d, site, kind, jobs->pump_m3s);
        }
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
    return PW_OK;
}
