#include "adapt/side_door.h"

#include <stdlib.h>
#include <string.h>

const char *pw_side_text(const pw_json *request, const char *key, const char *otherwise)
{
    const pw_json *value = request != NULL ? pw_json_get(request, key) : NULL;
    return value != NULL && value->kind == PW_JSON_STRING ? value->string : otherwise;
}

static void put_remark(pw_json_writer *writer, const char *key, const pw_voice *voice, const pw_remark *remark)
{
    const pw_fact fact = pw_remark_fact(remark);
    pw_text text;
    pw_text_init(&text, writer->text->arena);
    pw_say_put(&text, voice, &fact);
    pw_json_string(writer, key, text.failed || text.length == 0 ? "" : text.data);
}

void pw_side_put_problems(pw_json_writer *writer, const char *key, const pw_voice *voice, const pw_problems *problems)
{
    pw_json_open(writer, key, '[');
    for (int32_t i = 0; i < problems->count; i++) {
        const pw_problem *p = &problems->items[i];
        pw_json_open(writer, NULL, '{');
        pw_json_string(writer, "status", pw_status_id(p->status));
        pw_json_bool(writer, "warning", p->warning);
        pw_json_string(writer, "path", p->path);
        pw_json_int(writer, "line", p->line);
        pw_json_int(writer, "column", p->column);
        put_remark(writer, "found", voice, &p->found);
        put_remark(writer, "expected", voice, &p->expected);
        put_remark(writer, "hint", voice, &p->hint);
        pw_json_close(writer, '}');
    }
    pw_json_close(writer, ']');
}

char *pw_side_answer(const char *request, size_t length, size_t room, pw_side_put put, void *user)
{
    const size_t size = pw_json_room(request, length) + 4 * length + room; /* its values, its strings */
    void *block = malloc(size);
    pw_problems *problems = calloc(1, sizeof *problems);
    char *answer = NULL;
    if (block != NULL && problems != NULL) {
        pw_arena arena;
        const pw_json *value = NULL;
        pw_text text;
        pw_json_writer writer;
        pw_arena_init(&arena, block, size);
        (void)pw_json_read(&arena, request, length, &value, problems);
        pw_text_init(&text, &arena);
        pw_json_writer_init(&writer, &text, 0);
        put(user, &writer, value, problems);
        answer = text.failed ? NULL : malloc(text.length + 1);
        if (answer != NULL) {
            memcpy(answer, text.data, text.length + 1);
        }
    }
    free(problems);
    free(block);
    return answer;
}
