/* The door itself: refusals, too little memory, cancelling, progress, parts of a proof, same bytes twice. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/json.h"
#include "door/door.h"
#include "farm.h"

enum { MEMORY = 64 * 1024 * 1024 };

typedef struct asked {
    void *memory;
    pw_arena arena;
    const char *text;
    size_t length;
    const pw_json *json;
} asked;

static asked ask_host(const char *request, const pw_door_host *host)
{
    asked a;
    memset(&a, 0, sizeof a);
    a.memory = malloc(MEMORY);
    assert_non_null(a.memory);
    pw_arena_init(&a.arena, a.memory, MEMORY);
    a.text = pw_door(&a.arena, request, strlen(request), host, &a.length);
    assert_non_null(a.text);
    assert_int_equal(strlen(a.text), a.length);
    if (pw_json_read(&a.arena, a.text, a.length, &a.json, NULL) != PW_OK) {
        print_error("not JSON: %.2000s\n", a.text);
        fail();
    }
    return a;
}

static asked ask(const char *request)
{
    return ask_host(request, NULL);
}

static bool is_ok(const pw_json *answer)
{
    return pw_json_get(answer, "ok")->truth;
}

static const char *text_of(const pw_json *object, const char *key)
{
    const pw_json *value = pw_json_get(object, key);
    return value && value->string ? value->string : "";
}

/* Does the answer refuse with this status at this path, among others perhaps? */
static bool refuses(const pw_json *answer, const char *status, const char *path)
{
    const pw_json *problems = pw_json_get(answer, "problems");
    bool found = false;
    for (const pw_json *p = problems ? problems->first : NULL; p; p = p->next) {
        found = found || (strcmp(text_of(p, "status"), status) == 0 && strcmp(text_of(p, "path"), path) == 0);
        assert_true(strlen(text_of(p, "words")) > 10); /* each problem is a sentence */
    }
    return !is_ok(answer) && found;
}

static const struct {
    const char *request, *status, *path;
} bad_requests[] = {
    {"", "syntax", ""},
    {"   ", "syntax", ""},
    {"{", "syntax", ""},
    {"not json", "syntax", ""},
    {"{\"do\":\"about\"} x", "syntax", ""},
    {"{\"do\":\"about\",}", "syntax", ""},
    {"{\"do\":\"about\",\"do\":\"about\"}", "duplicate", ""},
    {"[]", "type", ""},
    {"\"about\"", "type", ""},
    {"null", "type", ""},
    {"{}", "missing", "do"},
    {"{\"do\":5}", "type", "do"},
    {"{\"do\":null}", "type", "do"},
    {"{\"do\":\"\"}", "unsupported", "do"},
    {"{\"do\":\"About\"}", "unsupported", "do"},
    {"{\"do\":\"prove it\"}", "unsupported", "do"},
    {"{\"do\":\"about\",\"site\":{}}", "unknown-key", "site"},
    {"{\"do\":\"about\",\"units\":5}", "type", "units"},
    {"{\"do\":\"about\",\"units\":\"furlong\"}", "unit", "units"},
    {"{\"do\":\"pipes\",\"of\":\"PVC 51\"}", "reference", "of"},
    {"{\"do\":\"pipes\",\"of\":50}", "type", "of"},
    {"{\"do\":\"check\"}", "missing", "site"},
    {"{\"do\":\"check\",\"site\":null}", "missing", "site"},
    {"{\"do\":\"check\",\"site\":5}", "type", "site"},
    {"{\"do\":\"check\",\"site\":{}}", "missing", "site.settings"},
    {"{\"do\":\"check\",\"site\":" FARM ",\"text\":1}", "type", "text"},
    {"{\"do\":\"check\",\"site\":" FARM ",\"width\":20}", "range", "width"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"states\":[\"2 d\"]}", "range", "states[0]"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"states\":[\"1 h\",\"5 kPa\"]}", "unit", "states[1]"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"states\":[7]}", "type", "states[0]"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"states\":\"1 h\"}", "type", "states"},
    {"{\"do\":\"check\",\"site\":" FARM ",\"width\":60.5}", "type", "width"},
    {"{\"do\":\"habits\"}", "missing", "site"},
    /* errors of the sheet and of its sentences together */
    {"{\"do\":\"check\",\"site\":{" FARM_BODY "\"colour\":1,\"settings\":[\"start when pressure under 200 kPa\"]}}",
     "word", "site.settings[0]"},
    {"{\"do\":\"check\",\"site\":{" FARM_BODY "\"colour\":1,\"settings\":[\"start when pressure under 200 kPa\"]}}",
     "unknown-key", "site.colour"},
    {"{\"do\":\"faults\",\"what\":\"leak\"}", "reference", "what"},
    {"{\"do\":\"pipes\",\"of\":\"poly 999\"}", "reference", "of"},
    {"{\"do\":\"check\",\"site\":{" FARM_BODY "\"settings\":[\"start when pressure under 200 kPa\"]}}", "word",
     "site.settings[0]"},
    {"{\"do\":\"duty\",\"site\":" FARM ",\"pressure\":300}", "unit", "pressure"},
    {"{\"do\":\"duty\",\"site\":" FARM ",\"pressure\":\"300\"}", "unit", "pressure"},
    {"{\"do\":\"duty\",\"site\":" FARM ",\"pressure\":\"3 L/min\"}", "unit", "pressure"},
    {"{\"do\":\"duty\",\"site\":" FARM ",\"pressure\":\"-3 kPa\"}", "range", "pressure"},
    {"{\"do\":\"duty\",\"site\":" FARM ",\"pressure\":true}", "type", "pressure"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"length\":\"0 s\"}", "range", "length"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"length\":\"20 years\"}", "unit", "length"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"length\":\"5000 d\"}", "range", "length"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"seed\":-1}", "range", "seed"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"seed\":0.5}", "type", "seed"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"seed\":\"1\"}", "type", "seed"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"entries\":1e9}", "range", "entries"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"without\":[3]}", "reference", "without[0]"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"without\":[0,-1]}", "reference", "without[1]"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"without\":[\"2\"]}", "type", "without[0]"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"without\":2}", "type", "without"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"faults\":{}}", "type", "faults"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"faults\":[{},{},{}]}", "limit", "faults"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"faults\":[5]}", "type", "faults[0]"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"faults\":[{}]}", "missing", "faults[0].what"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"faults\":[{\"what\":\"none\"}]}", "reference", "faults[0].what"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"faults\":[{\"what\":\"slow laek\"}]}", "reference", "faults[0].what"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"faults\":[{\"what\":\"slow leak\"}]}", "missing", "faults[0].severity"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"faults\":[{\"what\":\"slow leak\",\"severity\":\"2 kPa\"}]}", "unit",
     "faults[0].severity"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"faults\":[{\"what\":\"lost air\",\"severity\":\"120 %\"}]}", "range",
     "faults[0].severity"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"faults\":[{\"what\":\"float valve passing\",\"severity\":\"10 %\"}]}",
     "conflict", "faults[0].what"},
    {"{\"do\":\"run\",\"site\":" FARM ",\"faults\":[{\"what\":\"contactor welded\",\"severity\":\"10 %\"}]}",
     "conflict", "faults[0].severity"},
    {"{\"do\":\"run\",\"site\":" FARM
     ",\"faults\":[{\"what\":\"slow leak\",\"severity\":\"2 L/min\",\"at\":\"moon\"}]}",
     "reference", "faults[0].at"},
    {"{\"do\":\"run\",\"site\":" FARM
     ",\"faults\":[{\"what\":\"slow leak\",\"severity\":\"2 L/min\",\"when\":\"now\"}]}",
     "unknown-key", "faults[0].when"},
    {"{\"do\":\"run\",\"site\":" FARM
     ",\"length\":\"1 h\",\"faults\":[{\"what\":\"slow leak\",\"severity\":\"2 L/min\","
     "\"onset\":\"2 h\"}]}",
     "range", "faults[0].onset"},
    {"{\"do\":\"prove\",\"site\":" FARM ",\"years\":1001}", "range", "years"},
    {"{\"do\":\"prove\",\"site\":" FARM ",\"horizon\":\"1 s\"}", "range", "horizon"},
    {"{\"do\":\"prove\",\"site\":" FARM ",\"sweep\":-1}", "range", "sweep"},
    {"{\"do\":\"prove\",\"site\":" FARM ",\"confidence\":\"100 %\"}", "range", "confidence"},
    {"{\"do\":\"prove\",\"site\":" FARM ",\"part\":[2,2]}", "range", "part"},
    {"{\"do\":\"prove\",\"site\":" FARM ",\"part\":[0,0]}", "range", "part"},
    {"{\"do\":\"prove\",\"site\":" FARM ",\"part\":[0]}", "range", "part"},
    {"{\"do\":\"prove\",\"site\":" FARM ",\"part\":[0,2,3]}", "range", "part"},
    {"{\"do\":\"prove\",\"site\":" FARM ",\"part\":[0.5,2]}", "range", "part"},
    {"{\"do\":\"prove\",\"site\":" FARM ",\"part\":[0,1],\"outcomes again\":[]}", "conflict", "outcomes again"},
    {"{\"do\":\"prove\",\"site\":" FARM ",\"outcomes\":[]}", "conflict", "outcomes"},
    {"{\"do\":\"prove\",\"site\":" FARM ",\"outcomes\":{}}", "type", "outcomes"},
    {"{\"do\":\"settings\",\"sentences\":[]}", "missing", "site"},
    {"{\"do\":\"settings\",\"site\":" FARM ",\"sentences\":[]}", "missing", "sentences"},
    {"{\"do\":\"settings\",\"site\":" FARM ",\"sentences\":[5]}", "type", "sentences[0]"},
    {"{\"do\":\"settings\",\"site\":" FARM ",\"sentences\":\"stop\"}", "type", "sentences"},
    {"{\"do\":\"settings\",\"site\":" FARM
     ",\"sentences\":[\"start when pressure below 1 bar\",\"stop when presure above 2 "
     "bar\"]}",
     "word", "sentences[1]"},
    {"{\"do\":\"faults\",\"site\":[]}", "type", "site"},
    {"{\"do\":\"reckon\",\"what\":\"perpetual motion\",\"given\":{}}", "unsupported", "what"},
};

static void bad_requests_are_refused(void **state)
{
    (void)state;
    int wrong = 0;
    for (size_t i = 0; i < sizeof bad_requests / sizeof bad_requests[0]; i++) {
        asked a = ask(bad_requests[i].request);
        if (!refuses(a.json, bad_requests[i].status, bad_requests[i].path)) {
            print_error("%zu: %.60s ... %s: wanted %s at \"%s\", got %.400s\n", i, bad_requests[i].request,
                        bad_requests[i].request +
                            (strlen(bad_requests[i].request) > 60 ? strlen(bad_requests[i].request) - 60 : 0),
                        bad_requests[i].status, bad_requests[i].path, a.text);
            wrong++;
        }
        free(a.memory);
    }
    assert_int_equal(wrong, 0);
}

static void problems_tell_place_and_hint(void **state)
{
    (void)state;
    asked a = ask("{\n  \"do\": \"run\",\n  \"lenght\": \"1 h\",\n  \"seed\": -5,\n  \"site\": " FARM "}");
    const pw_json *problems = pw_json_get(a.json, "problems");
    assert_int_equal(problems->count, 2);
    const pw_json *key = pw_json_at(problems, 0), *range = pw_json_at(problems, 1);
    assert_true(pw_json_get(key, "line")->number == 3.0);
    assert_string_equal(text_of(key, "hint"), "did you mean \"length\"?");
    assert_true(pw_json_get(range, "line")->number == 4.0);
    assert_true(pw_json_get(range, "column")->number == 11.0);
    assert_string_equal(text_of(range, "found"), "-5");
    assert_non_null(strstr(text_of(range, "words"), "found -5"));
    free(a.memory);
    a = ask("{\"do\":\n\"about\",\n  bad}"); /* the place of a syntax error is that of the text */
    const pw_json *first = pw_json_at(pw_json_get(a.json, "problems"), 0);
    assert_true(pw_json_get(first, "line")->number == 3.0);
    assert_true(pw_json_get(first, "column")->number == 3.0);
    free(a.memory);
}

/* A site with forty problems: all are counted, 32 are told. */
static void many_problems_are_counted(void **state)
{
    (void)state;
    char request[8192] = "{\"do\":\"about\"";
    for (int i = 0; i < 40; i++) {
        char key[32];
        snprintf(key, sizeof key, ",\"key%d\":0", i);
        strcat(request, key);
    }
    strcat(request, "}");
    asked a = ask(request);
    assert_int_equal(pw_json_get(a.json, "problems")->count, 32);
    assert_true(pw_json_get(a.json, "lost")->number == 8.0);
    free(a.memory);
}

static const char *const good_requests[] = {
    "{\"do\":\"about\"}",
    "{\"do\":\"units\"}",
    "{\"do\":\"schema\"}",
    "{\"do\":\"pipes\"}",
    "{\"do\":\"pipes\",\"of\":\"50 pvc\"}",
    "{\"do\":\"faults\"}",
    "{\"do\":\"faults\",\"site\":" FARM "}",
    "{\"do\":\"reckon\"}",
    "{\"do\":\"settings\",\"site\":" FARM "}",
    "{\"do\":\"check\",\"site\":" FARM ",\"text\":true,\"html\":true}",
    "{\"do\":\"duty\",\"site\":" FARM ",\"text\":true,\"html\":true,\"units\":\"us\"}",
    "{\"do\":\"run\",\"site\":" FARM ",\"length\":\"3 h\",\"samples\":\"10 min\",\"html\":true,"
    "\"faults\":[{\"what\":\"slow leak\",\"severity\":\"2 L/min\"}]}",
    "{\"do\":\"prove\",\"site\":" FARM ",\"years\":0,\"sweep\":3,\"horizon\":\"1 h\"}",
    "{\"do\":\"report\",\"site\":" FARM ",\"years\":1,\"sweep\":2,\"horizon\":\"1 h\",\"colour\":true,\"width\":80}",
    "{\"do\":\"prove\",\"site\":" FARM ",\"years\":1,\"sweep\":3,\"horizon\":\"1 h\",\"part\":[0,9]}",
};
enum { GOOD = sizeof good_requests / sizeof good_requests[0] };

/* The escape of a line's end before "an" is none. */
static bool holds_nan(const char *text)
{
    const char *at = strstr(text, "nan");
    while (at != NULL && at > text && at[-1] == '\\') {
        at = strstr(at + 1, "nan");
    }
    return at != NULL;
}

/* Asked once for all tests that hold something against it. */
static const asked *right_answer(int i)
{
    static asked answers[GOOD];
    if (answers[i].text == NULL) {
        answers[i] = ask(good_requests[i]);
    }
    return &answers[i];
}

static void good_requests_are_answered(void **state)
{
    (void)state;
    for (int i = 0; i < GOOD; i++) {
        const asked *a = right_answer(i);
        if (!is_ok(a->json)) {
            print_error("%s\n", a->text);
        }
        assert_true(is_ok(a->json));
        assert_non_null(pw_json_get(a->json, "warnings"));
        assert_false(holds_nan(a->text));
    }
}

/* Blocks of growing size, each exactly as large as it says, so that a sanitizer sees every step outside: the answer is
 * none, the problem "memory", or the right one, in the same bytes as from a large block at another place. */
static void the_same_request_gives_the_same_bytes_or_the_problem_memory(void **state)
{
    (void)state;
    for (int i = 0; i < GOOD; i++) {
        const asked *right = right_answer(i);
        size_t enough = 0;
        int told = 0;
        for (size_t size = 0; enough == 0 && size < MEMORY; size += 64 + size / 9) {
            void *memory = malloc(size > 0 ? size : 1);
            pw_arena arena;
            pw_arena_init(&arena, memory, size);
            size_t length = 7;
            const char *answer = pw_door(&arena, good_requests[i], strlen(good_requests[i]), NULL, &length);
            if (!answer) {
                assert_true(size < 400);
                assert_int_equal(length, 0);
            } else if (length == right->length && memcmp(answer, right->text, length) == 0) {
                enough = size;
            } else {
                const pw_json *json;
                pw_arena other;
                void *more = malloc(1 << 20);
                pw_arena_init(&other, more, 1 << 20);
                assert_int_equal(pw_json_read(&other, answer, length, &json, NULL), PW_OK);
                bool memory_told = false;
                const pw_json *problems = pw_json_get(json, "problems");
                for (const pw_json *p = problems ? problems->first : NULL; p; p = p->next) {
                    memory_told = memory_told || strcmp(text_of(p, "status"), "memory") == 0;
                }
                if (is_ok(json) || !memory_told) {
                    print_error("%d, %zu bytes: %.500s\n", i, size, answer);
                }
                assert_false(is_ok(json));
                assert_true(memory_told);
                told++;
                free(more);
            }
            free(memory);
        }
        assert_true(enough > 0 && told > 0);
    }
}

typedef struct watcher {
    int asked, stop_at, told;
    double last;
} watcher;

static bool stop_now(void *user)
{
    watcher *w = user;
    w->asked++;
    return w->stop_at > 0 && w->asked >= w->stop_at;
}

static void note_progress(void *user, double done, const char *words)
{
    watcher *w = user;
    assert_true(done >= w->last && done <= 1.0);
    assert_true(words && words[0]);
    w->last = done;
    w->told++;
}

static void work_can_be_watched_and_stopped(void **state)
{
    (void)state;
    const char *request = "{\"do\":\"prove\",\"site\":" FARM ",\"years\":0,\"sweep\":3,\"horizon\":\"1 h\"}";
    watcher w = {0, 0, 0, 0.0};
    pw_door_host host = {&w, note_progress, stop_now};
    asked plain = ask(request), watched = ask_host(request, &host);
    assert_string_equal(plain.text, watched.text); /* being watched changes nothing */
    assert_true(w.asked > 10 && w.told > 10 && w.last == 1.0);
    const int told = w.told;
    assert_true(w.asked > told); /* within a job, too */
    free(plain.memory);
    free(watched.memory);
    watcher early = {0, 5, 0, 0.0};
    pw_door_host stopping = {&early, note_progress, stop_now};
    asked stopped = ask_host(request, &stopping);
    assert_true(refuses(stopped.json, "cancelled", ""));
    assert_int_equal(early.asked, 5);
    free(stopped.memory);
    watcher year = {0, 40, 0, 0.0};
    pw_door_host in_year = {&year, NULL, stop_now};
    stopped = ask_host("{\"do\":\"prove\",\"site\":" FARM ",\"years\":1,\"sweep\":0,\"horizon\":\"1 h\"}", &in_year);
    assert_true(refuses(stopped.json, "cancelled", ""));
    assert_int_equal(year.asked, 40);
    free(stopped.memory);
    watcher run = {0, 20, 0, 0.0};
    pw_door_host run_host = {&run, note_progress, stop_now};
    stopped = ask_host("{\"do\":\"run\",\"site\":" FARM ",\"length\":\"1000 d\"}", &run_host);
    assert_true(refuses(stopped.json, "cancelled", ""));
    free(stopped.memory);
}

static const char *const prove_options = ",\"years\":1,\"sweep\":3,\"horizon\":\"3 h\",\"seed\":7";

/* The outcomes of an answer as text, without the brackets. */
static void add_outcomes(char *list, const char *answer)
{
    const char *from = strstr(answer, "\"outcomes\":[") + strlen("\"outcomes\":[");
    const char *to = strstr(from, "],\"warnings\"");
    assert_non_null(to);
    if (list[0] != '\0' && to > from) {
        strcat(list, ",");
    }
    strncat(list, from, to - from);
}

static void a_proof_in_parts_equals_the_whole(void **state)
{
    (void)state;
    char *request = malloc(1 << 20), *list = calloc(1, 1 << 20);
    snprintf(request, 1 << 20, "{\"do\":\"prove\",\"site\":%s%s,\"text\":true}", FARM, prove_options);
    asked whole = ask(request);
    assert_true(is_ok(whole.json));
    int jobs = 0;
    for (int i = 2; i >= 0; i--) { /* any order */
        snprintf(request, 1 << 20, "{\"do\":\"prove\",\"site\":%s%s,\"part\":[%d,3]}", FARM, prove_options, i);
        asked part = ask(request);
        assert_true(is_ok(part.json));
        jobs += pw_json_get(part.json, "outcomes")->count;
        assert_true(pw_json_get(part.json, "jobs")->number == pw_json_get(whole.json, "jobs")->number);
        add_outcomes(list, part.text);
        free(part.memory);
    }
    assert_true(jobs == (int)pw_json_get(whole.json, "jobs")->number);
    snprintf(request, 1 << 20, "{\"do\":\"prove\",\"site\":%s%s,\"text\":true,\"outcomes\":[%s]}", FARM, prove_options,
             list);
    asked assembled = ask(request);
    assert_string_equal(assembled.text, whole.text);
    free(assembled.memory);
    /* other options, other jobs; a job twice; a value out of its range */
    snprintf(request, 1 << 20, "{\"do\":\"prove\",\"site\":%s,\"years\":3,\"outcomes\":[%s]}", FARM, list);
    asked other = ask(request);
    assert_true(refuses(other.json, "conflict", "outcomes"));
    free(other.memory);
    char *job = strstr(list, "\"job\":1,");
    assert_non_null(job);
    job[strlen("\"job\":")] = '0';
    snprintf(request, 1 << 20, "{\"do\":\"prove\",\"site\":%s%s,\"outcomes\":[%s]}", FARM, prove_options, list);
    other = ask(request);
    assert_false(is_ok(other.json));
    assert_non_null(strstr(other.text, "\"status\":\"duplicate\""));
    free(other.memory);
    job[strlen("\"job\":")] = '1';
    char *caught = strstr(list, "\"caught_by\":-1");
    memcpy(caught, "\"caught_by\":77", strlen("\"caught_by\":77"));
    snprintf(request, 1 << 20, "{\"do\":\"prove\",\"site\":%s%s,\"outcomes\":[%s]}", FARM, prove_options, list);
    other = ask(request);
    assert_false(is_ok(other.json));
    assert_non_null(strstr(other.text, "\"status\":\"range\""));
    free(other.memory);
    free(whole.memory);
    free(request);
    free(list);
}

/* With "pressures" each place has its own column: at the vessel's place that of the pressure sensor there. */
static void a_run_tells_pressures(int32_t count)
{
    asked a = ask("{\"do\":\"run\",\"site\":" FARM
                  ",\"length\":\"1 d\",\"samples\":\"5 min\",\"text\":false,\"pressures\":true,"
                  "\"faults\":[{\"what\":\"burst\",\"severity\":\"50 L/min\",\"onset\":\"3 h\"}]}");
    assert_true(is_ok(a.json));
    const pw_json *samples = pw_json_get(a.json, "samples"), *places = pw_json_get(samples, "places_pa");
    assert_int_equal(places->count, 3);
    const pw_json *shed = pw_json_at(places, 1), *sensor = pw_json_get(samples, "pressure_pa");
    assert_int_equal(shed->count, count);
    for (int32_t i = 0; i < count; i++) {
        assert_true(pw_json_at(shed, i)->number == pw_json_at(sensor, i)->number);
    }
    free(a.memory);
}

/* With "flows" each line and each outlet has its own column: the outlet's is what is drawn (there is one only). */
static void a_run_tells_flows(void **state)
{
    (void)state;
    asked a = ask("{\"do\":\"run\",\"site\":" FARM
                  ",\"length\":\"1 d\",\"samples\":\"5 min\",\"text\":false,\"flows\":true}");
    assert_true(is_ok(a.json));
    const pw_json *samples = pw_json_get(a.json, "samples");
    const pw_json *lines = pw_json_get(samples, "lines_m3s"), *outlets = pw_json_get(samples, "outlets_m3s");
    assert_null(pw_json_get(samples, "places_pa"));
    assert_int_equal(lines->count, 1);
    assert_int_equal(outlets->count, 1);
    const pw_json *line = pw_json_at(lines, 0), *outlet = pw_json_at(outlets, 0),
                  *drawn = pw_json_get(samples, "draw_m3s");
    assert_int_equal(line->count, drawn->count);
    bool flows = false;
    for (int32_t i = 0; i < line->count; i++) { /* the line leads to the outlet, and nothing else stands at its end */
        const double at_outlet = pw_json_at(outlet, i)->number;
        assert_true(at_outlet == pw_json_at(drawn, i)->number);
        assert_true(fabs(pw_json_at(line, i)->number - at_outlet) <= 1e-6 * fabs(at_outlet) + 1e-12);
        flows = flows || at_outlet > 0.0;
    }
    assert_true(flows);
    free(a.memory);
}

/* The controller is asked at the moments given, in the order of time, and in every lock out. */
static void a_run_tells_states(void **state)
{
    (void)state;
    asked a = ask("{\"do\":\"run\",\"site\":" FARM ",\"length\":\"1 d\",\"states\":[\"20 h\",\"1 h\"],"
                  "\"faults\":[{\"what\":\"burst\",\"severity\":\"50 L/min\",\"onset\":\"3 h\"}]}");
    assert_true(is_ok(a.json));
    const pw_json *states = pw_json_get(a.json, "states");
    assert_int_equal(states->count, 3);
    static const bool at_lock[] = {false, true, false};
    double last = 0.0;
    for (int32_t i = 0; i < 3; i++) {
        const pw_json *one = pw_json_at(states, i);
        assert_true(pw_json_get(one, "t_ms")->number > last);
        last = pw_json_get(one, "t_ms")->number;
        assert_int_equal(pw_json_get(one, "at_lock")->truth, at_lock[i]);
        assert_string_equal(text_of(one, "pump"), "pump");
        assert_non_null(strstr(text_of(one, "words"), "Pressure now "));
        assert_true((strstr(text_of(one, "words"), "Check first: ") != NULL) == (i > 0));
    }
    assert_true(last == 20 * 3600e3);
    assert_non_null(strstr(text_of(a.json, "text"), "What the controller tells"));
    assert_true(pw_json_get(a.json, "states_lost")->number == 0.0);
    free(a.memory);
}

static void a_run_tells_what_happens(void **state)
{
    (void)state;
    asked a = ask("{\"do\":\"run\",\"site\":" FARM ",\"length\":\"1 d\",\"samples\":\"5 min\",\"text\":false,"
                  "\"faults\":[{\"what\":\"burst\",\"severity\":\"50 L/min\",\"onset\":\"3 h\"}]}");
    assert_true(is_ok(a.json));
    assert_null(pw_json_get(a.json, "text"));
    const pw_json *samples = pw_json_get(a.json, "samples"), *times = pw_json_get(samples, "t_ms");
    assert_true(times->count > 100);
    assert_int_equal(samples->count, 7); /* times, pressure, draw-off, of all pumps, pumps, tanks, bores */
    double last = -1.0;
    for (const pw_json *t = times->first; t; t = t->next) {
        assert_true(t->number >= last);
        last = t->number;
    }
    assert_int_equal(pw_json_get(samples, "pressure_pa")->count, times->count);
    assert_int_equal(pw_json_get(samples, "draw_m3s")->count, times->count);
    const pw_json *pump = pw_json_at(pw_json_get(samples, "pumps"), 0);
    const pw_json *together = pw_json_get(samples, "pumps_m3s"), *alone = pw_json_get(pump, "flow_m3s");
    bool flows = false;
    for (int32_t i = 0; i < times->count; i++) { /* there is one pump only */
        assert_string_equal(pw_json_at(together, i)->string, pw_json_at(alone, i)->string);
        flows = flows || pw_json_at(together, i)->number > 0;
    }
    assert_true(flows);
    assert_int_equal(pump->count, 6); /* its name and five columns */
    for (const pw_json *column = pump->first->next; column; column = column->next) {
        assert_int_equal(column->count, times->count);
    }
    a_run_tells_pressures(times->count);
    /* the burst takes nearly all that the pump gives: the run limit fires, 20 min after a start */
    const pw_json *firing = pw_json_at(pw_json_get(a.json, "firings"), 0);
    assert_non_null(firing);
    assert_true(pw_json_get(firing, "sentence")->number == 2.0);
    assert_true(pw_json_get(firing, "t_ms")->number >= 3 * 3600e3 + 20 * 60e3);
    assert_true(pw_json_get(a.json, "locked_at_end")->truth);
    free(a.memory);
    a = ask("{\"do\":\"run\",\"site\":" FARM ",\"length\":\"1 d\",\"without\":[2],"
            "\"faults\":[{\"what\":\"burst\",\"severity\":\"50 L/min\",\"onset\":\"3 h\"}]}");
    assert_true(is_ok(a.json));
    assert_int_equal(pw_json_get(a.json, "firings")->count, 0); /* without the watch nothing fires */
    assert_false(pw_json_get(a.json, "locked_at_end")->truth);
    assert_true(strlen(text_of(a.json, "text")) > 200);
    free(a.memory);
    a = ask("{\"do\":\"run\",\"site\":" FARM ",\"entries\":3}");
    assert_true(pw_json_get(a.json, "entries")->count <= 3);
    assert_true(pw_json_get(a.json, "entries_lost")->number > 0.0);
    assert_string_equal(text_of(pw_json_at(pw_json_get(a.json, "warnings"), 0), "path"), "entries");
    free(a.memory);
}

/* The room for samples counts columns: what fits for time, pressure, draw-off and a pump is too much with each place.
 */
static void samples_are_bounded_with_their_columns(void **state)
{
    (void)state;
    enum { ROOM = 256 * 1024 * 1024, COLUMNS = 3 + 5 + 3, MOST_VALUES = 1600000 };
    static const char request[] = "{\"do\":\"run\",\"site\":" FARM ",\"length\":\"20 d\",\"samples\":\"10 s\","
                                  "\"text\":false,\"entries\":0,\"pressures\":true}";
    void *memory = malloc(ROOM);
    pw_arena arena;
    assert_non_null(memory);
    pw_arena_init(&arena, memory, ROOM);
    const char *answer = pw_door(&arena, request, strlen(request), NULL, NULL);
    assert_non_null(answer);
    const char *at = strstr(answer, "\"samples\":{\"t_ms\":[");
    assert_non_null(at);
    int32_t count = 1;
    for (at = strchr(at, '['); *at != ']'; at++) {
        count += *at == ',' ? 1 : 0;
    }
    assert_true(count * COLUMNS <= MOST_VALUES);
    assert_true(count * COLUMNS > MOST_VALUES / 4);
    assert_non_null(strstr(answer, "more samples than there is room for"));
    assert_null(strstr(answer, "\"samples_every_ms\":10000}"));
    free(memory);
}

static void the_version_is_that_of_the_build(void **state)
{
    (void)state;
    char line[256], want[128];
    FILE *file = fopen(PW_SOURCE_DIR "/CMakeLists.txt", "r");
    assert_non_null(file);
    asked a = ask("{\"do\":\"about\"}");
    snprintf(want, sizeof want, "VERSION %s ", text_of(a.json, "version"));
    bool found = false;
    while (fgets(line, sizeof line, file)) {
        found = found || (strncmp(line, "project(", 8) == 0 && strstr(line, want));
    }
    fclose(file);
    assert_true(found);
    free(a.memory);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bad_requests_are_refused),
        cmocka_unit_test(problems_tell_place_and_hint),
        cmocka_unit_test(many_problems_are_counted),
        cmocka_unit_test(good_requests_are_answered),
        cmocka_unit_test(the_same_request_gives_the_same_bytes_or_the_problem_memory),
        cmocka_unit_test(work_can_be_watched_and_stopped),
        cmocka_unit_test(a_proof_in_parts_equals_the_whole),
        cmocka_unit_test(a_run_tells_what_happens),
        cmocka_unit_test(a_run_tells_flows),
        cmocka_unit_test(a_run_tells_states),
        cmocka_unit_test(samples_are_bounded_with_their_columns),
        cmocka_unit_test(the_version_is_that_of_the_build),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
