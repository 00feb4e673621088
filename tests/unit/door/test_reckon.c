/* Every formula of pw_reckon with corner and random values of its stated ranges: an answer or a problem, never a NaN
 * (an assert in reckon.c stands guard), and the list of formulas is what the formulas take. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/num.h"
#include "base/random.h"
#include "door/reckon.h"
#include "english.h"

#ifndef ROUNDS
#define ROUNDS 400
#endif
enum { BLOCK = 8 * 1024 * 1024 };

static pw_arena arena;
static pw_problems problems;

/* Ask once; the answer as JSON, NULL when refused. */
static const pw_json *ask(const char *request, pw_status *status)
{
    const pw_json *read;
    const pw_json *answer = NULL;
    pw_text text;
    pw_json_writer writer;
    memset(&problems, 0, sizeof problems);
    assert_int_equal(pw_json_read(&arena, request, strlen(request), &read, NULL), PW_OK);
    pw_text_init(&text, &arena);
    pw_json_writer_init(&writer, &text, 0);
    pw_json_open(&writer, NULL, '{');
    const pw_units units = pw_units_metric();
    const pw_voice voice = {PW_ENGLISH, &units};
    *status = pw_reckon(read, &voice, &writer, &problems);
    pw_json_close(&writer, '}');
    assert_int_equal(pw_json_read(&arena, text.data, text.length, &answer, NULL), PW_OK);
    if (*status != PW_OK) {
        assert_true(problems.count > 0);
        assert_int_equal(answer->count, 0); /* nothing is written on failure */
    }
    return answer;
}

static double any_value(pw_random *random, double low, double high)
{
    const double pick = pw_random_unit(random);
    if (pick < 0.15) {
        return low;
    }
    if (pick < 0.3) {
        return high;
    }
    if (pick < 0.65 && high > 0.0) {
        const double least = low > 0.0 ? low : high * 1e-12;
        return pw_min(high, pw_max(low, least * pow(high / least, pw_random_unit(random))));
    }
    return pw_clamp(low + (high - low) * pw_random_unit(random), low, high);
}

static void put_list(pw_json_writer *w, const char *name, double low, double high, pw_random *random)
{
    double value = 0.0;
    const bool falls = strcmp(name, "heads") == 0;
    value = falls ? 80.0 : pw_max(low, 0.0);
    pw_json_open(w, name, '[');
    for (int i = 0; i < 5; i++) {
        pw_json_number(w, NULL, pw_clamp(value, low, high));
        const double step = pow(10.0, -3.0 + 4.0 * pw_random_unit(random));
        value += falls ? -pw_min(step, 16.0) : step;
    }
    pw_json_close(w, ']');
}

/* Inputs that are a word of a list, or a row of a table. */
static const char *any_word(const char *name, bool first)
{
    static const char *const words[][3] = {
        {"flush", "tank", "valve"}, {"fixture", "bath", "washbasin"},    {"animal", "sheep", "lactating cow"},
        {"grade", "2B", "class 1"}, {"fitting", "elbow 90", "elbow 90"}, {"pipe", "copper 22", "steel DN40"},
        {"laying", "B2", "D1"},     {"clogs", "straight", "closing"}};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (strcmp(words[i][0], name) == 0) {
            return words[i][first ? 1 : 2];
        }
    }
    return first ? "elbow 90" : "copper 22";
}

static double row_value(const char *formula, const char *name, bool first, double otherwise)
{
    static const struct {
        const char *formula, *name;
        double first, second;
    } rows[] = {{"current by table", "power", 5, 0.5},
                {"current by table", "voltage", 230, 230},
                {"locked rotor current by table", "power", 5, 1},
                {"efficiency class IE3", "power", 1500, 7500},
                {"efficiency class IE3", "poles", 2, 4},
                {"motor starts", "poles", 2, 4},
                {"flexible cable", "section", 1.5, 10},
                {"cable ampacity", "section", 1.5, 10},
                {"cable ampacity", "loaded", 2, 3},
                {"equivalent length", "size", 0.0254, 0.1016},
                {"fixtures in use", "fixtures", 1, 1000}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (strcmp(rows[i].formula, formula) == 0 && strcmp(rows[i].name, name) == 0) {
            return first ? rows[i].first : rows[i].second;
        }
    }
    return otherwise;
}

static const char *any_request(const pw_json *formula, pw_random *random)
{
    pw_text text;
    pw_json_writer w;
    pw_text_init(&text, &arena);
    pw_json_writer_init(&w, &text, 0);
    pw_json_open(&w, NULL, '{');
    pw_json_string(&w, "what", pw_json_get(formula, "name")->string);
    pw_json_open(&w, "given", '{');
    for (const pw_json *in = pw_json_get(formula, "inputs")->first; in != NULL; in = in->next) {
        const char *name = pw_json_get(in, "name")->string;
        const char *kind = pw_json_get(in, "kind")->string;
        if (strcmp(kind, "words") == 0) {
            pw_json_string(&w, name, any_word(name, pw_random_unit(random) < 0.5));
            continue;
        }
        const double low = pw_json_get(in, "low")->number;
        const double high = pw_json_get(in, "high")->number;
        if (strcmp(kind, "list") == 0) {
            put_list(&w, name, low, high, random);
        } else if (pw_json_get(in, "default") == NULL || pw_random_unit(random) < 0.6) {
            double value = any_value(random, low, high);
            if (strcmp(name, "phases") == 0) {
                value = pw_random_unit(random) < 0.5 ? 3.0 : 1.0;
            } else if (strcmp(name, "section") == 0 && pw_random_unit(random) < 0.8) {
                value = pw_random_unit(random) < 0.5 ? 1.5 : 6.0;
            }
            value = row_value(pw_json_get(formula, "name")->string, name, pw_random_unit(random) < 0.5, value);
            pw_json_number(&w, name, value);
        }
    }
    pw_json_close(&w, '}');
    pw_json_close(&w, '}');
    return text.data;
}

static void every_formula_answers_in_its_whole_range(void **state)
{
    pw_status status;
    pw_random random;
    (void)state;
    pw_random_seed(&random, 31, 1);
    const pw_json *list = pw_json_get(ask("{}", &status), "formulas");
    assert_int_equal(status, PW_OK);
    assert_true(list->count > 40);
    const size_t mark = pw_arena_mark(&arena);
    for (const pw_json *formula = list->first; formula != NULL; formula = formula->next) {
        int answered = 0;
        for (int i = 0; i < ROUNDS; i++) {
            const char *request = any_request(formula, &random);
            const pw_json *answer = ask(request, &status);
            if (status == PW_OK) {
                answered++;
                assert_int_equal(pw_json_get(answer, "outputs")->count, pw_json_get(formula, "outputs")->count);
            }
            pw_arena_back(&arena, mark);
        }
        if (answered < ROUNDS / 8) {
            fail_msg("%s: only %d of %d answered", pw_json_get(formula, "name")->string, answered, ROUNDS);
        }
    }
}

/* What the trade calls it leads to the same formula. */
static void other_names_are_understood(void **state)
{
    static const char *const names[][2] = {{"NPSH", "suction head available"},
                                           {"hazen-williams", "pipe loss, Hazen and Williams"},
                                           {"Hunter", "flow of fixture units"},
                                           {"voltage drop", "cable drop"},
                                           {"Specific-Speed", "specific speed"}};
    pw_status status;
    (void)state;
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        char request[128];
        snprintf(request, sizeof request, "{\"what\":\"%s\"}", names[i][0]);
        (void)ask(request, &status);
        assert_int_equal(status, PW_MISSING); /* found, and nothing was given */
        const pw_status by_other = problems.items[0].status;
        char path[PW_PATH_SIZE];
        pw_copy(path, sizeof path, problems.items[0].path);
        snprintf(request, sizeof request, "{\"what\":\"%s\"}", names[i][1]);
        (void)ask(request, &status);
        assert_int_equal(by_other, problems.items[0].status);
        assert_string_equal(path, problems.items[0].path);
    }
    const pw_json *answer =
        ask("{\"what\":\"Darcy-Weisbach\",\"given\":{\"bore\":0.05,\"length\":1,\"flow\":0.001}}", &status);
    assert_int_equal(status, PW_OK);
    assert_string_equal(pw_json_get(answer, "what")->string, "pipe loss");
}

static void what_is_wrong_is_said_with_its_place(void **state)
{
    static const struct {
        const char *request;
        pw_status status;
        const char *path, *hint;
    } wrong[] = {
        {"{\"what\":7}", PW_TYPE, "what", ""},
        {"{\"what\":\"frictoin factor\"}", PW_UNSUPPORTED, "what", "friction factor"},
        {"{\"what\":\"water\",\"given\":[]}", PW_TYPE, "given", ""},
        {"{\"what\":\"water\"}", PW_MISSING, "given.temperature", ""},
        {"{\"what\":\"water\",\"given\":{\"temperature\":\"warm\"}}", PW_SYNTAX, "given.temperature", ""},
        {"{\"what\":\"water\",\"given\":{\"temperature\":\"20 m\"}}", PW_UNIT, "given.temperature", ""},
        {"{\"what\":\"water\",\"given\":{\"temperature\":true}}", PW_TYPE, "given.temperature", ""},
        {"{\"what\":\"water\",\"given\":{\"temperature\":101}}", PW_RANGE, "given.temperature", ""},
        {"{\"what\":\"water\",\"given\":{\"temperature\":20,\"tempratur\":1}}", PW_UNKNOWN_KEY, "given.tempratur",
         "temperature"},
        {"{\"what\":\"pipe\",\"given\":{\"pipe\":4}}", PW_TYPE, "given.pipe", ""},
        {"{\"what\":\"viscosity\",\"given\":{\"temperature\":20,\"density\":\"998 kg\"}}", PW_TYPE, "given.density",
         "give a number in this unit"},
        {"{\"what\":\"curve\",\"given\":{\"x\":3,\"y\":[1],\"at\":0}}", PW_TYPE, "given.x", ""},
        {"{\"what\":\"curve\",\"given\":{\"x\":[0,\"a\"],\"y\":[1,2],\"at\":0}}", PW_SYNTAX, "given.x[1]", ""},
        {"{\"what\":\"curve\",\"given\":{\"x\":[0,1],\"y\":[1],\"at\":0}}", PW_CONFLICT, "given", ""},
        {"{\"what\":\"curve\",\"given\":{\"x\":[1,0],\"y\":[1,2],\"at\":0}}", PW_RANGE, "given", ""},
        {"{\"what\":\"motor current\",\"given\":{\"shaft power\":1,\"voltage\":1,\"phases\":2,\"efficiency\":1}}",
         PW_RANGE, "given.phases", ""},
    };
    pw_status status;
    (void)state;
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        ask(wrong[i].request, &status);
        const pw_problem *first = &problems.items[0];
        if (status != wrong[i].status || strcmp(first->path, wrong[i].path) != 0) {
            fail_msg("%s: got %s at %s", wrong[i].request, pw_status_id(status), first->path);
        }
        assert_true(wrong[i].hint[0] == '\0' || strcmp(english(&first->hint), wrong[i].hint) == 0);
    }
}

static void too_many_values_are_refused(void **state)
{
    char request[600] = "{\"what\":\"curve\",\"given\":{\"y\":[1],\"at\":0,\"x\":[0";
    pw_status status;
    (void)state;
    for (int i = 0; i < PW_MAX_CURVE; i++) {
        strcat(request, ",1");
    }
    strcat(request, "]}}");
    ask(request, &status);
    assert_int_equal(status, PW_LIMIT);
    assert_string_equal(problems.items[0].path, "given.x");
}

/* Text with units and the same number in SI give the same bits. */
static void units_are_only_another_spelling(void **state)
{
    pw_status status;
    (void)state;
    const pw_json *a = ask("{\"what\":\"air pressure\",\"given\":{\"altitude\":\"1.5 km\"}}", &status);
    const pw_json *b = ask("{\"what\":\"air pressure\",\"given\":{\"altitude\":1500}}", &status);
    assert_true(pw_json_get(a, "outputs")->first->number == pw_json_get(b, "outputs")->first->number);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_formula_answers_in_its_whole_range), cmocka_unit_test(other_names_are_understood),
        cmocka_unit_test(what_is_wrong_is_said_with_its_place),     cmocka_unit_test(too_many_values_are_refused),
        cmocka_unit_test(units_are_only_another_spelling),
    };
    void *block = malloc(BLOCK);
    if (block == NULL) {
        return 1;
    }
    pw_arena_init(&arena, block, BLOCK);
    const int code = cmocka_run_group_tests(tests, NULL, NULL);
    free(block);
    return code;
}
