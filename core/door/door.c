/* The door: read the request, find its handler, answer; whatever goes wrong becomes a list of problems. */
#include "door/door.h"

#include <string.h>

#include "door/inside.h"
#include "door/log.h"
#include "door/follow.h"

/* {"ok":false,...}; what the handler had made was given up before, so there is room. NULL when there is not. */
static const char *refuse(pw_arena *arena, const pw_voice *voice, const pw_problems *problems, const pw_json *request,
                          size_t *answer_length)
{
    pw_text text;
    pw_json_writer writer;
    pw_text_init(&text, arena);
    pw_json_writer_init(&writer, &text, 0);
    pw_json_open(&writer, NULL, '{');
    pw_json_bool(&writer, "ok", false);
    door_put_problems(&writer, voice, "problems", problems, request, true);
    pw_json_int(&writer, "lost", problems->lost);
    pw_json_close(&writer, '}');
    *answer_length = text.length;
    return text.failed ? NULL : text.data;
}

/* The least that can be said, without help of anything that takes memory. */
static const char *out_of_memory(pw_arena *arena, size_t mark, size_t *answer_length)
{
    static const char words[] =
        "{\"ok\":false,\"problems\":[{\"status\":\"memory\",\"warning\":false,\"path\":\"\",\"line\":0,\"column\":0,"
        "\"found\":\"\",\"expected\":\"a larger block of memory\",\"hint\":\"\",\"words\":\"The memory given to the "
        "core is used up: it is out of memory.\"}],\"lost\":0}";
    pw_arena_back(arena, mark);
    char *answer = pw_strdup(arena, words, sizeof words - 1);
    *answer_length = answer ? sizeof words - 1 : 0;
    return answer;
}

static pw_status find_request(door *d, const door_request **out)
{
    *out = NULL;
    if (d->request->kind != PW_JSON_OBJECT) {
        return door_wrong_type(d, d->request, "", pw_fact_of("door.request-object", pw_named("{\"do\": \"about\"}")));
    }
    const pw_json *name = pw_json_get(d->request, "do");
    if (!name) {
        return pw_problem_tell(d->problems, PW_MISSING, "do", pw_fact_of("door.nothing"), pw_fact_of("door.what-to-do"),
                               pw_fact_of("door.requests-listed", pw_named("{\"do\": \"about\"}")));
    }
    if (name->kind != PW_JSON_STRING) {
        return door_wrong_type(d, name, "do", pw_fact_of("door.what-to-do"));
    }
    *out = door_request_find(door_present_word(d, "do", name->string));
    if (!*out) {
        const char *names[32];
        int32_t count = door_request_count() < 32 ? door_request_count() : 32;
        for (int32_t i = 0; i < count; i++) {
            names[i] = door_request_at(i)->name;
        }
        const pw_fact near = pw_near_fact(name->string, names, count);
        return pw_problem_tell(
            d->problems, PW_UNSUPPORTED, "do", pw_verbatim(name->string), pw_fact_of("door.one-of-requests"),
            near.id != NULL ? near : pw_fact_of("door.requests-listed", pw_named("{\"do\": \"about\"}")));
    }
    return PW_OK;
}

static pw_status answer_request(door *d)
{
    const door_request *request;
    pw_status status = find_request(d, &request);
    if (status != PW_OK) {
        return status;
    }
    door_check_keys(d, d->request, "", request->keys, request->more_keys);
    const char *units = door_string(d, d->request, "", "units", "metric");
    if (pw_units_read(units, &d->units, d->problems) != PW_OK) {
        d->units = pw_units_metric(); /* for the words of further problems */
    }
    const char *language = door_string(d, d->request, "", "language", "en");
    if (!pw_language_read(language, &d->voice.language)) {
        pw_problem_tell(d->problems, PW_UNSUPPORTED, "language", pw_verbatim(language), pw_fact_of("door.languages"),
                        pw_no_fact());
    }
    pw_json_open(d->answer, NULL, '{');
    pw_json_bool(d->answer, "ok", true);
    pw_json_string(d->answer, "do", request->name);
    status = request->answer(d);
    if (status == PW_OK) {
        status = door_problem(d);
    }
    if (status != PW_OK) {
        return status;
    }
    door_put_problems(d->answer, &d->voice, "warnings", d->problems, d->request, false);
    pw_json_close(d->answer, '}');
    return d->answer->text->failed ? PW_MEMORY : PW_OK;
}

/* lent: what the caller lends besides the request (log, follow). */
static const char *answer_with(pw_arena *arena, const char *request, size_t length, const pw_door_host *host,
                               const door *lent, size_t *answer_length)
{
    pw_problems problems; /* on the stack: it must survive when the arena is given up */
    pw_text text;
    pw_json_writer writer;
    size_t ignored;
    size_t mark = pw_arena_mark(arena);
    size_t *out_length = answer_length ? answer_length : &ignored;
    memset(&problems, 0, sizeof problems);
    door d = *lent;
    d.arena = arena;
    d.host = host;
    d.answer = &writer;
    d.problems = &problems;
    d.units = pw_units_metric();
    d.voice.language = PW_ENGLISH;
    d.voice.units = &d.units;
    pw_status status = pw_json_read(arena, request, length, &d.request, &problems);
    size_t read_mark = pw_arena_mark(arena);
    if (status == PW_OK) {
        pw_text_init(&text, arena);
        pw_json_writer_init(&writer, &text, 0);
        status = answer_request(&d);
        if (status == PW_OK) {
            *out_length = text.length;
            return text.data;
        }
    }
    const char *refusal = NULL;
    if (status != PW_MEMORY) {
        pw_arena_back(arena, read_mark);
        if (problems.errors == 0) {
            pw_problem_add(&problems, status, "", "", "", "");
        }
        refusal = refuse(arena, &d.voice, &problems, d.request, out_length);
    }
    return refusal ? refusal : out_of_memory(arena, mark, out_length);
}

const char *pw_door_with_log(pw_arena *arena, const char *request, size_t length, const pw_door_host *host,
                             const pw_record *log, size_t *answer_length)
{
    return answer_with(arena, request, length, host, &(door){.log = log}, answer_length);
}

const char *pw_door_follow_begin(pw_arena *arena, const char *request, size_t length, const pw_door_host *host,
                                 const bool has[PW_LOG_SIGNALS], pw_door_follow **out)
{
    *out = NULL;
    return answer_with(arena, request, length, host, &(door){.follow = out, .follow_has = has}, NULL);
}

const char *pw_door(pw_arena *arena, const char *request, size_t length, const pw_door_host *host,
                    size_t *answer_length)
{
    return pw_door_with_log(arena, request, length, host, NULL, answer_length);
}
