/* What the answers share: problems in words, numbers, papers. */
#include <string.h>

#include "door/inside.h"
#include "say/problem.h"

/* Value in the request that a path speaks of, or the nearest one around it. Keys may hold spaces, so members are tried
 * rather than the path split. */
static const pw_json *locate(const pw_json *value, const char *path)
{
    while (value && *path != '\0') {
        const pw_json *inner = NULL;
        size_t used = 0;
        if (*path == '.') {
            path++;
        }
        if (*path == '[' && value->kind == PW_JSON_ARRAY) {
            int32_t index = 0;
            for (used = 1; path[used] >= '0' && path[used] <= '9' && index < 100000000; used++) {
                index = index * 10 + (path[used] - '0');
            }
            used += path[used] == ']' ? 1 : 0;
            inner = pw_json_at(value, index);
        } else if (value->kind == PW_JSON_OBJECT) {
            for (const pw_json *member = value->first; member; member = member->next) {
                size_t length = strlen(member->key);
                bool fits = length > used && strncmp(path, member->key, length) == 0 &&
                            (path[length] == '\0' || path[length] == '.' || path[length] == '[');
                if (fits) {
                    used = length;
                    inner = member;
                }
            }
        }
        if (!inner) {
            break;
        }
        value = inner;
        path += used;
    }
    return value;
}

static void put_problem(pw_json_writer *answer, const pw_voice *voice, const pw_problem *problem,
                        const pw_json *request)
{
    int32_t line = problem->line, column = problem->column;
    bool sentence = strstr(problem->path, "settings[") != NULL || strstr(problem->path, "sentences[") != NULL;
    if (line == 0 && column == 0 && problem->path[0] != '\0' && !sentence) {
        const pw_json *at = locate(request, problem->path);
        line = at ? at->line : 0;
        column = at ? at->column : 0;
    }
    pw_text words;
    pw_text_init(&words, answer->text->arena);
    pw_say_problem(&words, voice, problem);
    pw_json_open(answer, NULL, '{');
    pw_json_string(answer, "status", pw_status_id(problem->status));
    pw_json_bool(answer, "warning", problem->warning);
    pw_json_string(answer, "path", problem->path);
    pw_json_int(answer, "line", line);
    pw_json_int(answer, "column", column);
    pw_text found, expected, hint;
    pw_text_init(&found, answer->text->arena);
    pw_text_init(&expected, answer->text->arena);
    pw_text_init(&hint, answer->text->arena);
    pw_say_found(&found, voice, problem);
    pw_say_remark(&expected, voice, &problem->expected);
    pw_say_remark(&hint, voice, &problem->hint);
    pw_json_string(answer, "found", found.data);
    pw_json_string(answer, "expected", expected.data);
    pw_json_string(answer, "hint", hint.data);
    answer->text->failed = answer->text->failed || found.failed || expected.failed || hint.failed;
    pw_json_string(answer, "words", words.failed ? pw_status_id(problem->status) : words.data);
    pw_json_close(answer, '}');
}

void door_put_problems(pw_json_writer *answer, const pw_voice *voice, const char *key, const pw_problems *problems,
                       const pw_json *request, bool errors_too)
{
    pw_json_open(answer, key, '[');
    for (int32_t i = 0; i < problems->count; i++) {
        if (errors_too || problems->items[i].warning) {
            put_problem(answer, voice, &problems->items[i], request);
        }
    }
    pw_json_close(answer, ']');
}

void door_put_number(door *d, const char *key, double value)
{
    if (!pw_is_finite(value) || value >= PW_INF || value <= -PW_INF) {
        pw_json_null(d->answer, key);
    } else {
        pw_json_number(d->answer, key, value);
    }
}

void door_put_count(door *d, const char *key, int32_t value)
{
    if (value < 0) {
        pw_json_null(d->answer, key);
    } else {
        pw_json_int(d->answer, key, value);
    }
}

void door_put_quantity(door *d, const char *key, pw_dimension dimension, double si)
{
    pw_text text;
    pw_text_init(&text, d->arena);
    if (!pw_is_finite(si) || si >= PW_INF || si <= -PW_INF) {
        pw_json_null(d->answer, key);
        return;
    }
    pw_say_amount(&text, &d->voice, dimension, si);
    (void)door_put_text(d, key, &text);
}

void door_put_fact(door *d, const char *key, const pw_fact *fact)
{
    pw_text text;
    pw_text_init(&text, d->arena);
    pw_say_put(&text, &d->voice, fact);
    (void)door_put_text(d, key, &text);
}

void door_put_facts(door *d, const char *key, const pw_facts *facts)
{
    pw_text text;
    pw_text_init(&text, d->arena);
    pw_say_list(&text, &d->voice, facts, PW_JOIN_SPACE);
    (void)door_put_text(d, key, &text);
}

void door_put_fact_list(door *d, const char *key, const pw_facts *facts)
{
    pw_json_open(d->answer, key, '[');
    for (int32_t i = 0; i < facts->count; i++) {
        door_put_fact(d, NULL, &facts->items[i]);
    }
    pw_json_close(d->answer, ']');
}

pw_status door_put_text(door *d, const char *key, const pw_text *text)
{
    if (text->failed) {
        d->answer->text->failed = true; /* the answer is worthless: it will be replaced by the problem */
        return PW_MEMORY;
    }
    pw_json_string(d->answer, key, text->data);
    return PW_OK;
}

void door_put_settings(door *d, const char *key, const pw_settings *settings)
{
    pw_json_open(d->answer, key, '[');
    for (int32_t i = 0; i < pw_settings_count(settings); i++) {
        pw_text words;
        pw_text_init(&words, d->arena);
        pw_settings_put(settings, i, &words);
        pw_json_open(d->answer, NULL, '{');
        pw_json_int(d->answer, "sentence", i);
        (void)door_put_text(d, "words", &words); /* in the sheet's own language, to be read again */
        if (d->voice.language != PW_ENGLISH) {
            const pw_fact told = pw_settings_fact(d->arena, settings, i);
            door_put_fact(d, "told", &told);
        }
        pw_json_string(d->answer, "kind", pw_control_kind_name(pw_settings_kind(settings, i)));
        pw_json_bool(d->answer, "watch", pw_settings_is_watch(settings, i));
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
}

const door_key door_paper_keys[] = {{"text", "true: the paper as text for a terminal"},
                                    {"html", "true: the paper as one self-contained HTML page"},
                                    {"width", "columns of the text, 40 to 200; 100"},
                                    {"colour", "true: the text with ANSI colours"},
                                    {NULL, NULL}};

door_papers door_papers_wanted(door *d, bool text, bool html)
{
    door_papers wanted;
    wanted.text = door_truth(d, d->request, "", "text", text);
    wanted.html = door_truth(d, d->request, "", "html", html);
    wanted.colour = door_truth(d, d->request, "", "colour", false);
    wanted.width = (int32_t)door_whole(d, d->request, "", "width", 40, 200, 100);
    return wanted;
}

pw_status door_put_papers(door *d, const door_papers *wanted, const pw_document *document)
{
    pw_text text;
    if (wanted->text) {
        pw_text_init(&text, d->arena);
        pw_status status = pw_document_text(document, wanted->width, wanted->colour, &text);
        if (status != PW_OK || door_put_text(d, "text", &text) != PW_OK) {
            return PW_MEMORY;
        }
    }
    if (wanted->html) {
        pw_text_init(&text, d->arena);
        pw_status status = pw_document_html(document, &text);
        if (status != PW_OK || door_put_text(d, "html", &text) != PW_OK) {
            return PW_MEMORY;
        }
    }
    return PW_OK;
}

void door_put_defaults(door *d, const pw_default *list, int32_t count)
{
    pw_json_open(d->answer, "defaults", '[');
    for (int32_t i = 0; i < count; i++) {
        const pw_default *taken = &list[i];
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "path", taken->path);
        door_put_number(d, "si", taken->si);
        if (pw_is_finite(taken->si) && pw_abs(taken->si) < PW_INF) {
            const pw_fact value = pw_default_fact(taken);
            door_put_fact(d, "value", &value);
        } else {
            pw_json_null(d->answer, "value");
        }
        pw_json_string(d->answer, "reason", pw_say_row(&d->voice, taken->reason));
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
}

void door_put_estimate(door *d, const char *key, const pw_estimate *estimate)
{
    pw_json_open(d->answer, key, '{');
    door_put_number(d, "low", estimate->low);
    door_put_number(d, "best", estimate->best);
    door_put_number(d, "high", estimate->high);
    pw_json_close(d->answer, '}');
}
