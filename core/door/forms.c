/* "forms": how sentences are typed, and conditions for this site's own sensors. */
#include "door/inside.h"

static void put_shape(door *d, const pw_site *site, const pw_sentence_shape *shape,
                      const pw_condition_example *conditions, int32_t count)
{
    const char *pumps[PW_MAX_PUMPS];
    for (int32_t p = 0; p < site->pump_count; p++) {
        pumps[p] = site->pumps[p].name;
    }
    pw_text time, example;
    pw_text_init(&time, d->arena);
    pw_text_put(&time, "");
    if (shape->usual_ms > 0) {
        pw_text_span(&time, shape->usual_ms);
    }
    pw_text_init(&example, d->arena);
    pw_settings_example(shape, conditions, count, pumps, site->pump_count, &example);
    pw_json_open(d->answer, NULL, '{');
    pw_json_string(d->answer, "kind", pw_control_kind_name(shape->kind));
    pw_json_string(d->answer, "form", shape->words);
    pw_json_string(d->answer, "about", shape->of_signals ? "signals" : "anything");
    pw_json_string(d->answer, "time", time.failed ? "" : time.data);
    pw_json_string(d->answer, "example", example.failed ? "" : example.data);
    pw_json_close(d->answer, '}');
}

pw_status door_forms(door *d)
{
    pw_site *site = door_site(d);
    pw_condition_example *conditions = NULL;
    int32_t count = 0;
    if (!site || door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    if (pw_site_examples(d->arena, site, &d->units, &conditions, &count) != PW_OK) {
        return pw_problem_tell(d->problems, PW_MEMORY, "", pw_no_fact(), pw_fact_of("input.more-memory"), pw_no_fact());
    }
    pw_json_string(d->answer, "name", site->name);
    pw_json_open(d->answer, "actions", '[');
    pw_sentence_shape shape;
    for (int32_t i = 0; pw_settings_shape(i, &shape); i++) {
        if (!shape.of_several_pumps || site->pump_count > 1) {
            put_shape(d, site, &shape, conditions, count);
        }
    }
    pw_json_close(d->answer, ']');
    pw_json_open(d->answer, "conditions", '[');
    for (int32_t i = 0; i < count; i++) {
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "about", conditions[i].about);
        pw_json_string(d->answer, "words", conditions[i].words);
        pw_json_bool(d->answer, "signal", conditions[i].of_signal);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
    return PW_OK;
}
