#include "adapt/doorway.h"

#include <stdlib.h>
#include <string.h>

#include "base/json.h"

/* true when a problem of the answer says that the memory lent was used up. */
static bool names_memory(const pw_json *answer)
{
    const pw_json *problems = pw_json_get(answer, "problems");
    for (const pw_json *problem = problems ? problems->first : NULL; problem; problem = problem->next) {
        const pw_json *status = pw_json_get(problem, "status");
        if (status && status->kind == PW_JSON_STRING && strcmp(status->string, pw_status_id(PW_MEMORY)) == 0) {
            return true;
        }
    }
    return false;
}

bool pw_doorway_granted(const char *answer)
{
    static const char granted[] = "{\"ok\":true";
    return strncmp(answer, granted, sizeof granted - 1) == 0;
}

/* Read the answer again, in memory of its own. Answers that are well are not looked into. */
static bool wants_more(const char *answer, size_t length)
{
    if (pw_doorway_granted(answer)) {
        return false;
    }
    size_t size = pw_json_room(answer, length) + 1;
    void *block = malloc(size);
    if (!block) {
        return false;
    }
    pw_arena arena;
    const pw_json *value;
    pw_arena_init(&arena, block, size);
    bool more = pw_json_read(&arena, answer, length, &value, NULL) == PW_OK && names_memory(value);
    free(block);
    return more;
}

static char *copy_of(const char *text, size_t length)
{
    char *copy = malloc(length + 1);
    if (copy) {
        memcpy(copy, text, length + 1);
    }
    return copy;
}

static char *within(const char *request, size_t length, const pw_door_host *host, const pw_record *log, size_t first,
                    size_t most)
{
    char *answer = NULL;
    size_t size = first;
    bool more = true;
    while (more) {
        void *block = malloc(size);
        if (!block) {
            return answer; /* what the smaller block could say */
        }
        pw_arena arena;
        pw_arena_init(&arena, block, size);
        size_t answer_length = 0;
        const char *words = pw_door_with_log(&arena, request, length, host, log, &answer_length);
        more = size < most && (!words || wants_more(words, answer_length));
        free(answer);
        answer = words ? copy_of(words, answer_length) : NULL;
        free(block);
        size = size > most / 4 ? most : size * 4;
    }
    return answer;
}

char *pw_doorway_within(const char *request, size_t length, const pw_door_host *host, size_t first, size_t most)
{
    return within(request, length, host, NULL, first, most);
}

char *pw_doorway_log(const char *request, size_t length, const pw_door_host *host, const pw_record *log)
{
    return within(request, length, host, log, PW_DOORWAY_FIRST, PW_DOORWAY_MOST);
}

char *pw_doorway(const char *request, size_t length, const pw_door_host *host)
{
    return pw_doorway_within(request, length, host, PW_DOORWAY_FIRST, PW_DOORWAY_MOST);
}
