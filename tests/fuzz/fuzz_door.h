/* A request to the door from a fuzz target: little memory, and stopped after a while as an impatient person would. */
#ifndef PW_TESTS_FUZZ_DOOR_H
#define PW_TESTS_FUZZ_DOOR_H

#include "adapt/doorway.h"
#include "fuzz.h"

enum { FUZZ_PATIENCE = 8 };

static inline bool fuzz_impatient(void *user)
{
    int *asked = user;
    *asked += 1;
    return *asked > FUZZ_PATIENCE;
}

static inline void fuzz_progress(void *user, double done, const char *words)
{
    (void)user;
    MUST(done >= 0 && done <= 1);
    MUST(words != NULL);
}

/* The answer is JSON: {"ok":true,...} or {"ok":false,"problems":[at least one]}. */
static inline void fuzz_ask(const char *request, size_t length)
{
    int asked = 0;
    pw_door_host host = {&asked, fuzz_progress, fuzz_impatient};
    char *answer = pw_doorway_within(request, length, &host, 1 << 20, 64 << 20);
    MUST(answer != NULL);
    size_t answer_length = strlen(answer);
    pw_arena arena = fuzz_arena(answer_length * 64 + 65536);
    const pw_json *value = NULL;
    MUST(pw_json_read(&arena, answer, answer_length, &value, NULL) == PW_OK); /* so no NaN stands in it either */
    const pw_json *ok = pw_json_get(value, "ok");
    const pw_json *problems = pw_json_get(value, "problems");
    MUST(ok && ok->kind == PW_JSON_BOOL);
    MUST(ok->truth || (problems && problems->kind == PW_JSON_ARRAY && problems->count > 0));
    free(arena.base);
    free(answer);
}

#endif
