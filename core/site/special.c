/* Keys of the site sheet that are more than one value: pipe, fittings, pattern, days, windows, traces, the order. */
#include <string.h>

#include "base/candidates.h"
#include "site/table.h"
#include "formula/fitting.h"
#include "formula/pipe.h"

static void read_pipe(pw_sheet_reader *reader, const pw_json *json, pw_line *line)
{
    pw_pipe_size size;
    bool text = json->kind == PW_JSON_STRING;
    if (text && json->length < PW_NAME_SIZE && pw_pipe_find(json->string, &size)) {
        pw_copy(line->pipe, PW_NAME_SIZE, json->string);
        line->bore_m = (pw_field){.v = size.bore_m, .given = true}; /* given with the pipe's name */
        line->wall_m = (pw_field){.v = size.wall_m, .given = true};
        line->modulus_pa = (pw_field){.v = size.modulus_pa, .given = true};
        return;
    }
    line->bore_m.v = PW_UNKNOWN;
    char words[PW_WORDS_SIZE];
    const pw_fact near =
        text ? pw_candidates_fact(json->string, pw_pipe_count(), pw_pipe_name, pw_pipe_present, words) : pw_no_fact();
    pw_sheet_error(reader, text ? PW_REFERENCE : PW_TYPE, pw_sheet_found(json), pw_fact_of("sheet.pipe"),
                   near.id != NULL ? near : pw_fact_of("sheet.pipe-not-in-table"));
}

/* A whole number within limits, or -1 (and the problem is added). */
static int32_t read_count(pw_sheet_reader *reader, const pw_json *json, int32_t least, int32_t most)
{
    bool whole = json->kind == PW_JSON_NUMBER && json->number >= least && json->number <= most &&
                 pw_floor(json->number) == json->number;
    if (whole) {
        return (int32_t)json->number;
    }
    pw_sheet_error(reader, json->kind == PW_JSON_NUMBER ? PW_RANGE : PW_TYPE, pw_sheet_found(json),
                   pw_fact_of("sheet.whole-number", pw_count(least), pw_count(most)), pw_no_fact());
    return -1;
}

pw_status pw_sheet_unknown_fitting(pw_sheet_reader *reader, const char *key)
{
    const char *names[64];
    int32_t count = 0;
    for (; count < pw_fitting_count() && count < 64; count++) {
        names[count] = pw_fitting_name(count);
    }
    pw_choices choices = {{0}, 0, 0};
    for (int32_t i = 0; i < count; i++) {
        pw_choices_add(&choices, names[i]);
    }
    pw_sheet_error(reader, PW_REFERENCE, pw_verbatim(key), pw_choices_fact(&choices), pw_near_fact(key, names, count));
    return PW_REFERENCE;
}

static void read_fittings(pw_sheet_reader *reader, const pw_json *json, pw_line *line)
{
    if (json->kind != PW_JSON_OBJECT) {
        pw_sheet_error(reader, PW_TYPE, pw_sheet_found(json), pw_fact_of("sheet.fittings"),
                       pw_fact_of("input.for-instance", pw_named("{elbow 90: 4}")));
        return;
    }
    for (const pw_json *member = json->first; member != NULL; member = member->next) {
        int32_t mark = pw_path_key(reader, member->key);
        int32_t kind = pw_fitting_find(member->key);
        int32_t count = -1;
        if (kind < 0) {
            pw_sheet_unknown_fitting(reader, member->key);
        } else {
            count = read_count(reader, member, 0, PW_FITTINGS_MOST);
        }
        bool doubled = false; /* the same fitting in two spellings */
        for (int32_t i = 0; i < line->fitting_count; i++) {
            doubled = doubled || line->fittings[i].kind == kind;
        }
        if (doubled) {
            pw_sheet_error(reader, PW_DUPLICATE, pw_verbatim(member->key), pw_fact_of("sheet.fitting-once"),
                           pw_fact_of("sheet.add-counts"));
        } else if (count > 0 && line->fitting_count == PW_MAX_FITTINGS) {
            pw_sheet_error(reader, PW_LIMIT, pw_verbatim(member->key), pw_fact_of("sheet.fitting-kinds"), pw_no_fact());
        } else if (count > 0) {
            line->fittings[line->fitting_count] = (pw_fitting){.kind = kind, .count = count};
            line->fitting_count++;
        }
        pw_path_back(reader, mark);
    }
}

static void read_pattern(pw_sheet_reader *reader, const pw_json *json, pw_demand *demand)
{
    if (json->kind != PW_JSON_ARRAY || json->count != 24) {
        pw_sheet_error(reader, json->kind == PW_JSON_ARRAY ? PW_RANGE : PW_TYPE,
                       pw_fact_of(pw_json_kind_message(json->kind)), pw_fact_of("sheet.hours-list"), pw_no_fact());
        return;
    }
    double sum = 0;
    int32_t hour = 0;
    for (const pw_json *item = json->first; item != NULL; item = item->next) {
        bool sound = item->kind == PW_JSON_NUMBER && item->number >= 0 && item->number <= PW_PATTERN_MOST;
        if (!sound) {
            int32_t mark = pw_path_index(reader, hour);
            pw_sheet_error(reader, item->kind == PW_JSON_NUMBER ? PW_RANGE : PW_TYPE, pw_sheet_found(item),
                           pw_fact_of("sheet.hour-number"), pw_no_fact());
            pw_path_back(reader, mark);
        }
        demand->pattern[hour] = sound ? item->number : 1;
        sum += demand->pattern[hour];
        hour++;
    }
    if (!(sum > 0)) {
        pw_sheet_error(reader, PW_RANGE, pw_fact_of("sheet.only-zeros"), pw_fact_of("sheet.one-above-zero"),
                       pw_no_fact());
    }
    demand->has_pattern = true;
}

const char *const pw_sheet_days[8] = {"Monday", "Tuesday",  "Wednesday", "Thursday",
                                      "Friday", "Saturday", "Sunday",    NULL};

static int32_t day_of(const char *word)
{
    for (int32_t day = 0; day < 7; day++) {
        if (strcmp(word, pw_sheet_days[day]) == 0) {
            return day;
        }
    }
    return -1;
}

static void read_days(pw_sheet_reader *reader, const pw_json *json, pw_demand *demand)
{
    if (json->kind != PW_JSON_ARRAY || json->count < 1 || json->count > 7) {
        pw_sheet_error(reader, json->kind == PW_JSON_ARRAY ? PW_RANGE : PW_TYPE, pw_sheet_found(json),
                       pw_fact_of("sheet.days-list"), pw_fact_of("input.for-instance", pw_named("[Monday, Thursday]")));
        return;
    }
    demand->weekdays = 0;
    int32_t index = 0;
    for (const pw_json *item = json->first; item != NULL; item = item->next) {
        int32_t mark = pw_path_index(reader, index);
        int32_t day = item->kind == PW_JSON_STRING ? day_of(item->string) : -1;
        if (day < 0) {
            pw_sheet_error(reader, item->kind == PW_JSON_STRING ? PW_RANGE : PW_TYPE, pw_sheet_found(item),
                           pw_fact_of("sheet.day-names"),
                           item->kind == PW_JSON_STRING ? pw_near_fact(item->string, pw_sheet_days, 7) : pw_no_fact());
        } else if ((demand->weekdays & (1u << day)) != 0) {
            pw_sheet_error(reader, PW_DUPLICATE, pw_sheet_found(item), pw_fact_of("sheet.day-once"), pw_no_fact());
        } else {
            demand->weekdays = (uint8_t)(demand->weekdays | (1u << day));
        }
        pw_path_back(reader, mark);
        index++;
    }
}

void pw_sheet_read_clock(pw_sheet_reader *reader, const pw_json *json, double *out_s)
{
    *out_s = PW_UNKNOWN;
    if (json->kind != PW_JSON_STRING || !pw_clock_read(json->string, out_s)) {
        pw_sheet_error(reader, json->kind == PW_JSON_STRING ? PW_RANGE : PW_TYPE, pw_sheet_found(json),
                       pw_fact_of("sheet.time-of-day"), pw_fact_of("input.for-instance", pw_named("06:30")));
    }
}

static int32_t window_end(pw_sheet_reader *reader, const pw_json *window, const char *key)
{
    const pw_json *json = pw_json_get(window, key);
    int32_t mark = pw_path_key(reader, key);
    double seconds = PW_UNKNOWN;
    if (json == NULL) {
        pw_sheet_error(reader, PW_MISSING, pw_fact_of("sheet.nothing"), pw_fact_of("sheet.a-time-of-day"),
                       pw_fact_of("input.for-instance", pw_named("06:30")));
    } else {
        pw_sheet_read_clock(reader, json, &seconds);
    }
    pw_path_back(reader, mark);
    return seconds == PW_UNKNOWN ? -1 : (int32_t)seconds;
}

static void read_window(pw_sheet_reader *reader, const pw_json *json, pw_sensor *sensor)
{
    if (json->kind != PW_JSON_OBJECT) {
        pw_sheet_error(reader, PW_TYPE, pw_sheet_found(json), pw_fact_of("sheet.from-and-to"),
                       pw_fact_of("input.for-instance", pw_named("{from: 06:00, to: 08:30}")));
        return;
    }
    for (const pw_json *member = json->first; member != NULL; member = member->next) {
        if (strcmp(member->key, "from") != 0 && strcmp(member->key, "to") != 0) {
            int32_t mark = pw_path_key(reader, member->key);
            pw_sheet_error(reader, PW_UNKNOWN_KEY, pw_verbatim(member->key),
                           pw_fact_of("sheet.one-of", pw_named("from, to")), pw_no_fact());
            pw_path_back(reader, mark);
        }
    }
    int32_t from = window_end(reader, json, "from");
    int32_t to = window_end(reader, json, "to");
    if (from >= 0 && to >= 0 && from >= to) {
        pw_sheet_error(reader, PW_CONFLICT, pw_fact_of("sheet.end-not-after"), pw_fact_of("sheet.within-day"),
                       pw_fact_of("sheet.two-windows"));
    }
    sensor->window_from_s[sensor->window_count] = from;
    sensor->window_to_s[sensor->window_count] = to;
    sensor->window_count++;
}

static void read_windows(pw_sheet_reader *reader, const pw_row *row, const pw_json *json, pw_sensor *sensor)
{
    if (json->kind != PW_JSON_ARRAY || json->count < row->least || json->count > row->most) {
        pw_sheet_error(reader, json->kind == PW_JSON_ARRAY ? PW_LIMIT : PW_TYPE,
                       pw_fact_of(pw_json_kind_message(json->kind)), pw_fact_of("sheet.windows-list"),
                       pw_fact_of("input.for-instance", pw_named("[{from: 06:00, to: 08:30}]")));
        return;
    }
    int32_t index = 0;
    for (const pw_json *item = json->first; item != NULL; item = item->next) {
        int32_t mark = pw_path_index(reader, index);
        read_window(reader, item, sensor);
        pw_path_back(reader, mark);
        index++;
    }
}

/* A list of numbers from low to high into the arena, times factor; NULL when it is not sound. */
static const double *read_numbers(pw_sheet_reader *reader, const pw_json *json, double high, double factor, bool rising)
{
    if (json->kind != PW_JSON_ARRAY || json->count < 2) {
        pw_sheet_error(reader, json->kind == PW_JSON_ARRAY ? PW_MISSING : PW_TYPE, pw_sheet_found(json),
                       pw_fact_of("sheet.numbers-list"), pw_no_fact());
        return NULL;
    }
    double *out = PW_NEW(reader->arena, json->count, double);
    if (out == NULL) {
        reader->no_memory = true;
        return NULL;
    }
    int32_t index = 0;
    for (const pw_json *item = json->first; item != NULL; item = item->next) {
        bool number = item->kind == PW_JSON_NUMBER && item->number >= 0 && item->number <= high;
        double value = number ? item->number * factor : 0;
        bool settings = !rising || (index == 0 ? value == 0 : value > out[index - 1]);
        if (!number || !settings) { /* one report is enough for a long list */
            int32_t mark = pw_path_index(reader, index);
            pw_sheet_error(reader, item->kind == PW_JSON_NUMBER ? PW_RANGE : PW_TYPE, pw_sheet_found(item),
                           rising ? pw_fact_of("sheet.rising-seconds") : pw_fact_of("sheet.flows"), pw_no_fact());
            pw_path_back(reader, mark);
            return NULL;
        }
        out[index] = value;
        index++;
    }
    return out;
}

static void read_sentences(pw_sheet_reader *reader, const pw_row *row, const pw_json *json, pw_site *site)
{
    if (json->kind != PW_JSON_ARRAY) {
        pw_sheet_error(reader, PW_TYPE, pw_sheet_found(json), pw_fact_of("sheet.sentences-list"),
                       pw_fact_of("sheet.dash-sentences"));
        return;
    }
    if (json->count < row->least || json->count > row->most) {
        pw_sheet_error(reader, json->count < row->least ? PW_MISSING : PW_LIMIT,
                       json->count == 0 ? pw_fact_of("sheet.none") : pw_fact_of("sheet.more"),
                       pw_fact_of("sheet.sentence-count", pw_count(PW_MAX_SENTENCES)), pw_no_fact());
        return;
    }
    for (const pw_json *item = json->first; item != NULL; item = item->next) {
        int32_t mark = pw_path_index(reader, site->sentence_count);
        const char *sentence = "";
        if (item->kind != PW_JSON_STRING || item->length == 0) {
            pw_sheet_error(reader, item->kind == PW_JSON_STRING ? PW_MISSING : PW_TYPE, pw_sheet_found(item),
                           pw_fact_of("sheet.a-sentence"),
                           item->kind == PW_JSON_STRING ? pw_fact_of("sheet.leave-line-out")
                                                        : pw_fact_of("sheet.quote-sentence"));
        } else {
            sentence = pw_strdup(reader->arena, item->string, item->length);
        }
        reader->no_memory = reader->no_memory || sentence == NULL;
        site->sentences[site->sentence_count] = sentence;
        site->sentence_count++;
        pw_path_back(reader, mark);
    }
}

void pw_sheet_read_special(pw_sheet_reader *reader, const pw_row *row, const pw_json *json, void *item)
{
    pw_demand *demand = item;
    switch (row->type) {
    case PW_ROW_PIPE: read_pipe(reader, json, item); break;
    case PW_ROW_FITTINGS: read_fittings(reader, json, item); break;
    case PW_ROW_PATTERN: read_pattern(reader, json, item); break;
    case PW_ROW_DAYS: read_days(reader, json, item); break;
    case PW_ROW_WINDOWS: read_windows(reader, row, json, item); break;
    case PW_ROW_TIMES: demand->trace_s = read_numbers(reader, json, 1e9, 1, true); break;
    case PW_ROW_FLOWS: demand->trace_m3s = read_numbers(reader, json, 1000, 1e-3, false); break;
    default: read_sentences(reader, row, json, item); break;
    }
}
