#include "adapt/csv_door.h"

#include <string.h>

#include "adapt/csv.h"
#include "adapt/csv_pumps.h"
#include "adapt/side_door.h"
#include "base/units.h"

static void put_numbers(pw_json_writer *writer, const char *key, const double *values, int32_t count, double factor)
{
    pw_json_open(writer, key, '[');
    for (int32_t i = 0; i < count; i++) {
        pw_json_number(writer, NULL, values[i] * factor);
    }
    pw_json_close(writer, ']');
}

/* PW_OK: out is to be freed. */
static pw_status read_trace(const pw_json *request, pw_csv_trace *out, pw_problems *problems)
{
    const pw_json *csv = pw_json_get(request, "csv");
    const char *step = pw_side_text(request, "step", NULL);
    pw_csv_ask ask = {.time = pw_side_text(request, "time", NULL),
                      .flow = pw_side_text(request, "flow", NULL),
                      .unit = pw_side_text(request, "unit", NULL),
                      .values = pw_side_text(request, "values", NULL),
                      .stamp = pw_side_text(request, "stamp", NULL),
                      .end = pw_side_text(request, "end", NULL),
                      .lasts = pw_side_text(request, "lasts", NULL),
                      .lasts_unit = pw_side_text(request, "lasts unit", NULL),
                      .column = pw_side_text(request, "column", NULL),
                      .only = pw_side_text(request, "only", NULL),
                      .time_unit = pw_side_text(request, "time unit", NULL),
                      .zone = pw_side_text(request, "zone", NULL)};
    const bool whole = csv != NULL && csv->kind == PW_JSON_STRING && ask.time && ask.flow && ask.unit;
    if (!whole) {
        return pw_problem_tell(problems, PW_MISSING, "", pw_no_fact(), pw_fact_of("input.csv-keys-needed"),
                               pw_no_fact());
    }
    if (step != NULL && pw_quantity_read(step, PW_DIM_TIME, &ask.step_s, problems, "step") != PW_OK) {
        return PW_UNIT;
    }
    if (step != NULL && !(ask.step_s >= 0.001 && ask.step_s <= 86400.0)) {
        return pw_problem_tell(problems, PW_RANGE, "step", pw_verbatim(step), pw_fact_of("input.csv-step-between"),
                               pw_no_fact());
    }
    return pw_csv_trace_read(pw_side_text(request, "file", "file"), csv->string, csv->length, &ask, out, problems);
}

static void put_echo(pw_json_writer *writer, const pw_voice *voice, const pw_csv_trace *trace)
{
    const pw_fact first = pw_csv_echo(trace), more = pw_csv_echo_more(trace);
    pw_text text;
    pw_text_init(&text, writer->text->arena);
    pw_say_put(&text, voice, &first);
    pw_text_put(&text, "; ");
    pw_say_put(&text, voice, &more);
    pw_json_string(writer, "read", text.failed ? "" : text.data);
}

/* A catalogue: the list as JSON, in the arena of the answer. */
static pw_status read_pumps(pw_json_writer *writer, const pw_json *request, const pw_json **out, pw_problems *problems)
{
    const pw_json *csv = pw_json_get(request, "csv");
    pw_text list;
    if (csv == NULL || csv->kind != PW_JSON_STRING) {
        return pw_problem_tell(problems, PW_MISSING, "", pw_no_fact(), pw_fact_of("input.csv-keys-needed"),
                               pw_no_fact());
    }
    const pw_status status = pw_csv_pumps(writer->text->arena, csv->string, csv->length, &list, problems);
    return status != PW_OK ? status : pw_json_read(writer->text->arena, list.data, list.length, out, problems);
}

static bool asks_for_pumps(const pw_json *request)
{
    return request != NULL && strcmp(pw_side_text(request, "of", ""), "pumps") == 0;
}

static void put_answer(void *user, pw_json_writer *writer, const pw_json *request, pw_problems *problems)
{
    (void)user;
    pw_csv_trace trace;
    const pw_json *pumps = NULL;
    const pw_units units = pw_units_metric();
    pw_voice voice = {PW_ENGLISH, &units};
    if (request != NULL) {
        (void)pw_language_read(pw_side_text(request, "language", "en"), &voice.language);
    }
    pw_json_open(writer, NULL, '{');
    if (asks_for_pumps(request) && read_pumps(writer, request, &pumps, problems) == PW_OK) {
        pw_json_bool(writer, "ok", true);
        pw_json_value(writer, "catalogue", pumps);
    } else if (!asks_for_pumps(request) && read_trace(request, &trace, problems) == PW_OK) {
        pw_json_bool(writer, "ok", true);
        put_numbers(writer, "times", trace.times_s, trace.count, 1.0);
        put_numbers(writer, "flows", trace.flows_m3s, trace.count, 1000.0);
        put_echo(writer, &voice, &trace);
        pw_side_put_problems(writer, "warnings", &voice, problems);
        pw_csv_trace_free(&trace);
    } else {
        pw_json_bool(writer, "ok", false);
        pw_side_put_problems(writer, "problems", &voice, problems);
    }
    pw_json_close(writer, '}');
}

char *pw_csv_door(const char *request, size_t length)
{
    /* an answer of 200,000 changes, doubled while it grows */
    return pw_side_answer(request, length, (size_t)64 << 20, put_answer, NULL);
}
