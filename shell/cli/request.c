#include "cli/request.h"

#include <ctype.h>
#include <string.h>

#include "base/json.h"
#include "base/num.h"

/* Copy words[from, to) without blanks at either end. */
static bool copy_part(const char *words, size_t from, size_t to, char *out, size_t size)
{
    while (from < to && words[from] == ' ') {
        from++;
    }
    while (to > from && words[to - 1] == ' ') {
        to--;
    }
    if (to - from >= size) {
        return false;
    }
    memcpy(out, words + from, to - from);
    out[to - from] = 0;
    return true;
}

/* Does a time stand there: "10 h", "12:10", "day 2 12:10"? */
static bool begins_time(const char *words)
{
    words += strspn(words, " ");
    if (strncmp(words, "day ", 4) == 0) {
        words += 4;
    }
    return isdigit((unsigned char)*words);
}

/* The last " from " that a time stands behind: a name may hold the word too. */
static size_t find_from(const char *words, size_t length)
{
    size_t found = length;
    for (const char *at = strstr(words, " from "); at; at = strstr(at + 1, " from ")) {
        const char *behind = at + strlen(" from ");
        if (begins_time(behind)) {
            found = (size_t)(at - words);
        }
    }
    return found;
}

bool cli_fault_split(const char *words, cli_fault *out)
{
    *out = (cli_fault){.what = ""};
    size_t length = strlen(words);
    size_t from = find_from(words, length);
    const char *at_words = strstr(words, " at ");
    size_t at = at_words && (size_t)(at_words - words) < from ? (size_t)(at_words - words) : from;
    size_t severity = 0; /* it begins with the first word that begins with a digit, or a sign and a digit */
    while (severity < at) {
        const size_t sign = words[severity] == '-' || words[severity] == '+' ? 1 : 0;
        if (isdigit((unsigned char)words[severity + sign]) && (severity == 0 || words[severity - 1] == ' ')) {
            break;
        }
        severity++;
    }
    size_t at_end = at < from ? at + strlen(" at ") : from;
    size_t from_end = from < length ? from + strlen(" from ") : length;
    return copy_part(words, 0, severity, out->what, sizeof out->what) && out->what[0] != 0 &&
           copy_part(words, severity, at, out->severity, sizeof out->severity) &&
           copy_part(words, at_end, from, out->at, sizeof out->at) &&
           copy_part(words, from_end, length, out->onset, sizeof out->onset);
}

bool cli_gauge_split(const char *words, cli_gauge *out)
{
    const char *to = strstr(words, " to "), *in = to != NULL ? strstr(to, " in ") : NULL;
    *out = (cli_gauge){.from = ""};
    if (in == NULL) {
        return false;
    }
    const size_t first = (size_t)(to - words), second = (size_t)(in - words);
    return copy_part(words, 0, first, out->from, sizeof out->from) &&
           copy_part(words, first + 4, second, out->to, sizeof out->to) &&
           copy_part(words, second + 4, strlen(words), out->over, sizeof out->over) && out->from[0] != 0 &&
           out->to[0] != 0 && out->over[0] != 0;
}

static void put_text(pw_json_writer *writer, const char *key, const char *value)
{
    if (value && value[0]) {
        pw_json_string(writer, key, value);
    }
}

static void put_count(pw_json_writer *writer, const char *key, int64_t value)
{
    if (value >= 0) {
        pw_json_int(writer, key, value);
    }
}

static void put_faults(pw_json_writer *writer, const cli_options *options)
{
    if (options->fault_count == 0) {
        return;
    }
    pw_json_open(writer, "faults", '[');
    for (int32_t i = 0; i < options->fault_count; i++) {
        cli_fault fault;
        cli_fault_split(options->faults[i], &fault); /* was checked with the options */
        pw_json_open(writer, NULL, '{');
        pw_json_string(writer, "what", fault.what);
        put_text(writer, "severity", fault.severity);
        put_text(writer, "at", fault.at);
        put_text(writer, "onset", fault.onset);
        pw_json_close(writer, '}');
    }
    pw_json_close(writer, ']');
}

/* "vessels[0].precharge=180 kPa": the path is the key. That both parts are there was checked with the options. */
static void put_set(pw_arena *arena, pw_json_writer *writer, const cli_options *options)
{
    if (options->set_count == 0) {
        return;
    }
    pw_json_open(writer, "set", '{');
    for (int32_t i = 0; i < options->set_count; i++) {
        const size_t length = strcspn(options->sets[i], "=");
        const char *path = pw_strdup(arena, options->sets[i], length);
        pw_json_string(writer, path != NULL ? path : "", options->sets[i] + length + 1);
    }
    pw_json_close(writer, '}');
}

/* The counters, then each look at the gauge. */
static void put_readings(pw_json_writer *writer, const cli_options *options)
{
    pw_json_open(writer, "readings", '[');
    if (options->starts >= 0 || options->ran != NULL || options->over != NULL || options->undrawn) {
        pw_json_open(writer, NULL, '{');
        pw_json_string(writer, "what", options->undrawn ? "quiet counters" : "counters");
        put_text(writer, "pump", options->pump);
        put_count(writer, "starts", options->starts);
        put_text(writer, "ran", options->ran);
        put_text(writer, "over", options->over);
        pw_json_close(writer, '}');
    }
    for (int32_t i = 0; i < options->gauge_count; i++) {
        cli_gauge gauge;
        cli_gauge_split(options->gauges[i], &gauge); /* was checked with the options */
        pw_json_open(writer, NULL, '{');
        pw_json_string(writer, "what", options->gauge_shut[i] ? "gauge with the pump shut off" : "gauge at rest");
        put_text(writer, "pump", options->gauge_shut[i] ? options->pump : NULL);
        pw_json_string(writer, "from", gauge.from);
        pw_json_string(writer, "to", gauge.to);
        pw_json_string(writer, "over", gauge.over);
        pw_json_close(writer, '}');
    }
    pw_json_close(writer, ']');
}

static void put_paths(pw_json_writer *writer, const cli_options *options)
{
    if (options->operand_count > 1) {
        pw_json_open(writer, "paths", '[');
        for (int32_t i = 1; i < options->operand_count; i++) {
            pw_json_string(writer, NULL, options->operands[i]);
        }
        pw_json_close(writer, ']');
    }
}

/* A list ("[1, 2]") goes in as it is, a bare number as a number in SI, everything else as words. */
static void put_value(pw_arena *arena, pw_json_writer *writer, const char *name, const char *value)
{
    double number = 0;
    const pw_json *list = NULL;
    size_t used = pw_num_read(value, strlen(value), &number);
    if (value[0] == '[' && pw_json_read(arena, value, strlen(value), &list, NULL) == PW_OK) {
        pw_json_value(writer, name, list);
    } else if (used > 0 && value[used] == 0) {
        pw_json_number(writer, name, number);
    } else {
        pw_json_string(writer, name, value);
    }
}

static void put_given(pw_arena *arena, pw_json_writer *writer, const cli_options *options)
{
    if (options->operand_count == 0) {
        return;
    }
    pw_json_string(writer, "what", options->operands[0]);
    pw_json_open(writer, "given", '{');
    for (int32_t i = 1; i < options->operand_count; i++) {
        const char *word = options->operands[i];
        size_t length = strcspn(word, "="); /* that one stands there was checked with the options */
        char name[64] = "";
        copy_part(word, 0, length, name, sizeof name);
        put_value(arena, writer, name, word + length + 1);
    }
    pw_json_close(writer, '}');
}

static void put_prove(pw_json_writer *writer, const cli_options *options, const cli_wish *wish)
{
    put_count(writer, "years", options->years);
    put_count(writer, "sweep", options->sweep);
    put_text(writer, "horizon", options->horizon);
    put_count(writer, "places", options->places);
    put_count(writer, "onsets", options->onsets);
    if (options->pairs) {
        pw_json_bool(writer, "pairs", true);
    }
    if (wish->part == CLI_PART_ONE) {
        pw_json_open(writer, "part", '[');
        pw_json_int(writer, NULL, wish->part_index);
        pw_json_int(writer, NULL, wish->part_count);
        pw_json_close(writer, ']');
    }
}

/* Of the papers that are left on site, the readings of the day, and programs. */
static void put_handover(pw_json_writer *writer, const cli_options *options, const cli_wish *wish)
{
    if (options->command == CLI_LOGIC) {
        put_text(writer, "as", options->as);
        put_text(writer, "pump", options->pump);
        return;
    }
    put_text(writer, "grade", options->grade);
    if (options->command == CLI_COMMISSION) {
        return;
    }
    put_count(writer, "years", options->years);
    put_count(writer, "sweep", options->sweep);
    put_text(writer, "horizon", options->horizon);
    put_text(writer, "date", options->date);
    put_text(writer, "installer", options->installer);
    put_text(writer, "owner", options->owner);
    put_text(writer, "call", options->call);
    put_text(writer, "address", options->site_address);
    pw_json_bool(writer, "short", options->short_paper);
    pw_json_bool(writer, "proof", !options->unproved);
    if (wish->document) {
        pw_json_bool(writer, "document", true);
    }
}

static void put_texts(pw_json_writer *writer, const char *key, const char *const *texts, int32_t count)
{
    if (count > 0) {
        pw_json_open(writer, key, '[');
        for (int32_t i = 0; i < count; i++) {
            pw_json_string(writer, NULL, texts[i]);
        }
        pw_json_close(writer, ']');
    }
}

static void put_price(pw_json_writer *writer, const char *key, const char *text)
{
    double number = 0.0;
    if (text && pw_num_read(text, strlen(text), &number) > 0) {
        pw_json_number(writer, key, number);
    }
}

static void put_times(pw_arena *arena, pw_json_writer *writer, const char *key, const char *times);

static void put_advise(pw_arena *arena, pw_json_writer *writer, const cli_options *options)
{
    put_texts(writer, "keep", options->keep, options->keep_count);
    put_texts(writer, "no sensor", options->no_sensor, options->no_sensor_count);
    if (options->able) {
        put_times(arena, writer, "able", options->able);
    }
    put_text(writer, "at most", options->at_most);
    put_price(writer, "water price", options->water_price);
    put_price(writer, "call-out price", options->visit_price);
    put_price(writer, "pump price", options->pump_price);
}

/* brief: the text is the verdict alone */
static void put_papers(pw_json_writer *writer, const cli_wish *wish, bool brief)
{
    if (wish->part == CLI_PART_ONE || !wish->papers) {
        return;
    }
    pw_json_bool(writer, "text", wish->text);
    pw_json_bool(writer, "html", wish->html);
    if (wish->text) {
        pw_json_bool(writer, "colour", wish->colour);
        pw_json_int(writer, "width", wish->width);
        if (brief) {
            pw_json_bool(writer, "brief", true);
        }
    }
}

/* "6 h, 30 h" */
static void put_times(pw_arena *arena, pw_json_writer *writer, const char *key, const char *times)
{
    pw_json_open(writer, key, '[');
    while (*times != 0) {
        size_t length = strcspn(times, ",");
        size_t blanks = strspn(times, " ");
        blanks = blanks < length ? blanks : length;
        char *one = pw_strdup(arena, times + blanks, length - blanks);
        pw_json_string(writer, NULL, one != NULL ? one : "");
        times += length + (times[length] == ',' ? 1 : 0);
    }
    pw_json_close(writer, ']');
}

/* The operands as one text; nothing without any. */
static void put_words(pw_arena *arena, pw_json_writer *writer, const char *key, const cli_options *options)
{
    pw_text text;
    pw_text_init(&text, arena);
    for (int32_t i = 0; i < options->operand_count; i++) {
        pw_text_puts(&text, i > 0 ? " " : "", options->operands[i], NULL);
    }
    if (options->operand_count > 0 && !text.failed) {
        pw_json_string(writer, key, text.data);
    }
}

static void put_run(pw_arena *arena, pw_json_writer *writer, const cli_options *options, const cli_wish *wish)
{
    put_text(writer, "length", options->length);
    const bool picture = options->svg || options->png;
    if (picture) {
        pw_json_bool(writer, "svg", true);
    }
    if (options->csv || options->every || wish->html || picture) {
        pw_json_string(writer, "samples", options->every ? options->every : "1 min");
    }
    if (options->state) {
        put_times(arena, writer, "states", options->state);
    }
    put_text(writer, "release after", options->release);
    if (options->reset) {
        put_times(arena, writer, "reset counters", options->reset);
    }
    put_faults(writer, options);
}

char *cli_request(pw_arena *arena, const cli_options *options, const cli_sheet *sheet, const cli_wish *wish)
{
    pw_text text;
    pw_text_init(&text, arena);
    pw_json_writer writer;
    pw_json_writer_init(&writer, &text, 0);
    pw_json_open(&writer, NULL, '{');
    pw_json_string(&writer, "do", wish->what);
    put_text(&writer, "units", options->units);
    put_text(&writer, "language", options->language);
    put_papers(&writer, wish, options->command == CLI_PROVE && !options->full);
    put_count(&writer, "seed", options->seed);
    put_set(arena, &writer, options);
    if (options->command == CLI_RUN) {
        put_run(arena, &writer, options, wish);
    } else if (options->command == CLI_PROVE) {
        put_prove(&writer, options, wish);
    } else if (options->command == CLI_HANDOVER || options->command == CLI_COMMISSION ||
               options->command == CLI_LOGIC) {
        put_handover(&writer, options, wish);
    } else if (options->command == CLI_ADVISE) {
        put_prove(&writer, options, wish);
        put_advise(arena, &writer, options);
    } else if (options->command == CLI_SIZE) {
        put_text(&writer, "length", options->length);
        put_text(&writer, "pump", options->pump);
        if (options->explain) {
            pw_json_bool(&writer, "explain", true);
        }
    } else if (options->command == CLI_DIAGNOSE && options->log == NULL) {
        put_readings(&writer, options);
    } else if (options->command == CLI_FIT) {
        put_texts(&writer, "numbers", options->numbers, options->number_count);
    } else if (options->command == CLI_PARAMETERS) {
        put_paths(&writer, options);
    } else if (options->command == CLI_PIPES || (options->command == CLI_FAULTS && !sheet)) {
        put_words(arena, &writer, options->command == CLI_PIPES ? "of" : "what", options);
    } else if (options->command == CLI_RECKON) {
        put_given(arena, &writer, options);
    }
    /* Text that is JSON already goes in as it is: the writer only knows values. */
    if (wish->outcomes) {
        pw_text_puts(&text, ",\"outcomes\":", wish->outcomes, NULL);
    }
    if (wish->again) {
        pw_text_puts(&text, ",\"outcomes again\":", wish->again, NULL);
    }
    if (wish->readings) {
        pw_text_puts(&text, ",\"readings\":", wish->readings, NULL);
    }
    if (wish->given) {
        pw_text_put(&text, wish->given);
    }
    if (wish->catalogue) {
        pw_text_puts(&text, ",\"catalogue\":", wish->catalogue, NULL);
    }
    if (sheet) {
        pw_text_puts(&text, ",\"site\":", sheet->json, NULL);
    }
    pw_text_put(&text, "}");
    return text.failed ? NULL : text.data;
}
