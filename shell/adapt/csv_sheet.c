/* From a demand's `trace` to its `times` and `flows`. */
#include "adapt/csv_sheet.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "adapt/csv.h"
#include "adapt/files.h"
#include "base/units.h"

enum { FILE_PATH = 1024 };

static const char *words_at(const pw_json *trace, const char *key)
{
    const pw_json *value = pw_json_get(trace, key);
    return value != NULL && value->kind == PW_JSON_STRING ? value->string : NULL;
}

/* The trace of a demand that is to be read now, or NULL. */
static const pw_json *open_trace(const pw_json *demand)
{
    const pw_json *trace = pw_json_get(demand, "trace");
    bool formed = trace != NULL && trace->kind == PW_JSON_OBJECT && words_at(trace, "file") != NULL &&
                  words_at(trace, "time") != NULL && words_at(trace, "flow") != NULL && words_at(trace, "unit") != NULL;
    bool filled = pw_json_get(demand, "times") != NULL || pw_json_get(demand, "flows") != NULL;
    return formed && !filled ? trace : NULL;
}

static const pw_json *demands_of(const pw_json *site)
{
    const pw_json *demands = pw_json_get(site, "demand");
    return demands != NULL && demands->kind == PW_JSON_ARRAY ? demands : NULL;
}

bool pw_csv_sheet_needs(const pw_json *site)
{
    const pw_json *demands = demands_of(site);
    for (const pw_json *item = demands != NULL ? demands->first : NULL; item != NULL; item = item->next) {
        if (open_trace(item) != NULL) {
            return true;
        }
    }
    return false;
}

/* file as seen from the folder of sheet_path. False: too long. */
static bool full_path(const char *sheet_path, const char *file, char *out)
{
    const char *slash = sheet_path != NULL ? strrchr(sheet_path, '/') : NULL;
    int32_t folder = file[0] == '/' || slash == NULL ? 0 : (int32_t)(slash + 1 - sheet_path);
    int32_t length = snprintf(out, FILE_PATH, "%.*s%s", (int)folder, folder > 0 ? sheet_path : "", file);
    return length > 0 && length < FILE_PATH;
}

bool pw_csv_sheet_reads(const pw_json *site, const char *sheet_path, const char *path)
{
    const pw_json *demands = demands_of(site);
    for (const pw_json *item = demands != NULL ? demands->first : NULL; item != NULL; item = item->next) {
        const pw_json *trace = pw_json_get(item, "trace");
        const char *file = trace != NULL && trace->kind == PW_JSON_OBJECT ? words_at(trace, "file") : NULL;
        char full[FILE_PATH];
        if (file != NULL && full_path(sheet_path, file, full) && pw_file_same(full, path)) {
            return true;
        }
    }
    return false;
}

/* Hand on what the file's reader said: the path becomes that of the sheet, the place in the file stands beside it. */
static void pass_on(const pw_problems *from, const char *file, const char *path, pw_problems *to)
{
    for (int32_t i = 0; i < from->count; i++) {
        const pw_problem *p = &from->items[i];
        const pw_fact found = pw_remark_fact(&p->found);
        const pw_fact expected = pw_remark_fact(&p->expected);
        const pw_fact hint = pw_remark_fact(&p->hint);
        const int32_t at = to != NULL ? to->count : 0;
        if (p->warning) {
            pw_warning_tell(to, p->status, path, found, expected, hint);
        } else {
            pw_problem_tell(to, p->status, path, found, expected, hint);
        }
        if (to != NULL && at < to->count) {
            const pw_fact place =
                p->line > 0 ? pw_fact_of("input.in-file", pw_named(file), pw_count(p->line), pw_count(p->column))
                            : pw_verbatim(file);
            to->items[at].place = pw_remark_of(&place);
        }
    }
}

static pw_status read_step(const pw_json *trace, const char *path, double *step_s, pw_problems *problems)
{
    char step_path[PW_PATH_SIZE];
    *step_s = 0.0;
    const char *step = words_at(trace, "step");
    if (step == NULL) {
        return PW_OK;
    }
    snprintf(step_path, sizeof step_path, "%.140s.step", path);
    pw_status status = pw_quantity_read(step, PW_DIM_TIME, step_s, problems, step_path);
    if (status == PW_OK && !(*step_s >= 0.001 && *step_s <= 86400.0)) {
        status = pw_problem_tell(problems, PW_RANGE, step_path, pw_verbatim(step), pw_fact_of("input.csv-step-between"),
                                 pw_no_fact());
    }
    return status;
}

static pw_status read_file(const pw_json *trace, const char *sheet_path, const char *path, pw_csv_trace *out,
                           pw_problems *problems)
{
    char name[FILE_PATH], file_path[PW_PATH_SIZE];
    const char *file = words_at(trace, "file"), *why = "";
    pw_csv_ask ask = {.time = words_at(trace, "time"),
                      .flow = words_at(trace, "flow"),
                      .unit = words_at(trace, "unit"),
                      .values = words_at(trace, "values"),
                      .stamp = words_at(trace, "stamp"),
                      .end = words_at(trace, "end"),
                      .lasts = words_at(trace, "lasts"),
                      .lasts_unit = words_at(trace, "lasts unit"),
                      .column = words_at(trace, "column"),
                      .only = words_at(trace, "only"),
                      .time_unit = words_at(trace, "time unit"),
                      .zone = words_at(trace, "zone")};
    pw_status status = read_step(trace, path, &ask.step_s, problems);
    if (status != PW_OK) {
        return status;
    }
    snprintf(file_path, sizeof file_path, "%.140s.file", path);
    if (!full_path(sheet_path, file, name)) {
        return pw_problem_tell(problems, PW_LIMIT, file_path, pw_verbatim(file), pw_fact_of("input.csv-shorter-path"),
                               pw_no_fact());
    }
    size_t length;
    char *bytes = pw_file_read(name, PW_CSV_MAX_BYTES, &length, &why);
    if (bytes == NULL) {
        return pw_problem_tell(problems, PW_REFERENCE, file_path,
                               pw_fact_of("adapt.file-why", pw_named(name), pw_word(why)),
                               pw_fact_of("adapt.csv-to-read"), pw_fact_of("adapt.seen-from-sheet"));
    }
    pw_problems *own = calloc(1, sizeof *own);
    if (own == NULL) {
        free(bytes);
        return pw_problem_tell(problems, PW_MEMORY, path, pw_verbatim(file), pw_fact_of("input.more-memory"),
                               pw_no_fact());
    }
    status = pw_csv_trace_read(file, bytes, length, &ask, out, own);
    if (status == PW_OK) {
        pw_warning_tell(problems, PW_OK, path, pw_csv_echo(out), pw_no_fact(), pw_csv_echo_more(out));
    }
    pass_on(own, file, path, problems);
    free(own);
    free(bytes);
    return status;
}

static void write_numbers(pw_json_writer *writer, const char *key, const double *values, int32_t count, double factor)
{
    pw_json_open(writer, key, '[');
    for (int32_t i = 0; i < count; i++) {
        pw_json_number(writer, NULL, values[i] * factor);
    }
    pw_json_close(writer, ']');
}

static pw_status write_demand(pw_json_writer *writer, const pw_json *demand, const char *sheet_path, const char *path,
                              pw_problems *problems)
{
    const pw_json *trace = open_trace(demand);
    if (trace == NULL) {
        pw_json_value(writer, NULL, demand);
        return PW_OK;
    }
    pw_csv_trace measured;
    pw_status status = read_file(trace, sheet_path, path, &measured, problems);
    if (status != PW_OK) {
        pw_json_value(writer, NULL, demand);
        return status;
    }
    pw_json_open(writer, NULL, '{');
    for (const pw_json *member = demand->first; member != NULL; member = member->next) {
        pw_json_value(writer, member->key, member);
    }
    write_numbers(writer, "times", measured.times_s, measured.count, 1.0);
    write_numbers(writer, "flows", measured.flows_m3s, measured.count, 1000.0);
    pw_json_close(writer, '}');
    pw_csv_trace_free(&measured);
    return PW_OK;
}

static pw_status write_demands(pw_json_writer *writer, const pw_json *demands, const char *sheet_path,
                               pw_problems *problems)
{
    pw_status first = PW_OK;
    int32_t index = 0;
    pw_json_open(writer, demands->key, '[');
    for (const pw_json *item = demands->first; item != NULL; item = item->next) {
        char path[64];
        snprintf(path, sizeof path, "demand[%d].trace", (int)index);
        pw_status status = write_demand(writer, item, sheet_path, path, problems);
        first = first == PW_OK ? status : first;
        index++;
    }
    pw_json_close(writer, ']');
    return first;
}

pw_status pw_csv_sheet_fill(pw_arena *arena, const pw_json *site, const char *sheet_path, pw_text *out,
                            pw_problems *problems)
{
    pw_json_writer writer;
    pw_status status = PW_OK;
    const pw_json *demands = demands_of(site);
    pw_text_init(out, arena);
    pw_json_writer_init(&writer, out, 0);
    if (site->kind != PW_JSON_OBJECT) {
        pw_json_value(&writer, NULL, site);
        return PW_OK;
    }
    pw_json_open(&writer, NULL, '{');
    for (const pw_json *member = site->first; member != NULL; member = member->next) {
        if (member == demands) {
            status = write_demands(&writer, demands, sheet_path, problems);
        } else {
            pw_json_value(&writer, member->key, member);
        }
    }
    pw_json_close(&writer, '}');
    if (out->failed) {
        return pw_problem_tell(problems, PW_MEMORY, "demand", pw_no_fact(), pw_fact_of("input.more-memory"),
                               pw_fact_of("input.csv-fewer-changes"));
    }
    return status;
}
