#include "door/reckon.h"

#include <assert.h>
#include <stddef.h>
#include <string.h>

#include "base/num.h"
#include "formula/registry.h"

/* "given." + name, or with an index behind. */
static void path_of(const char *name, int32_t index, char out[PW_PATH_SIZE])
{
    char digits[32];
    int32_t length;
    pw_copy(out, PW_PATH_SIZE, "given.");
    pw_copy(out + 6, PW_PATH_SIZE - 6, name);
    length = (int32_t)strlen(out);
    if (index >= 0 && length < PW_PATH_SIZE - 36) {
        const size_t used = pw_num_text((double)index, digits);
        out[length] = '[';
        memcpy(out + length + 1, digits, used);
        out[length + 1 + (int32_t)used] = ']';
        out[length + 2 + (int32_t)used] = '\0';
    }
}

static pw_status check_range(const pw_formula_input *slot, double value, const char *path, pw_problems *problems)
{
    char found[40];
    char low[40];
    char high[40];
    if (value >= slot->low && value <= slot->high) {
        return PW_OK;
    }
    found[pw_num_digits(value, 6, found)] = '\0';
    low[pw_num_digits(slot->low, 6, low)] = '\0';
    high[pw_num_digits(slot->high, 6, high)] = '\0';
    return pw_problem_tell(problems, PW_RANGE, path, pw_verbatim(found),
                           pw_fact_of("door.range-unit", pw_named(low), pw_named(high),
                                      pw_named(pw_formula_unit(slot->dimension, slot->unit))),
                           pw_no_fact());
}

/* "5 hp" or "5" where the unit is hp; "13.6 kVA" where it is VA. */
static bool number_in_unit(const char *text, const char *unit, double *out)
{
    const size_t length = strlen(text);
    const size_t used = pw_num_read(text, length, out);
    const char *rest = text + used;
    rest += strspn(rest, " ");
    if (used > 0 && rest[0] == 'k' && strcmp(rest + 1, unit) == 0) {
        *out *= 1e3;
        rest++;
    }
    return used > 0 && pw_is_finite(*out) && (rest[0] == '\0' || strcmp(rest, unit) == 0);
}

static pw_status read_number(const pw_formula_input *slot, const pw_json *value, const char *path, double *out,
                             pw_problems *problems)
{
    if (value->kind == PW_JSON_NUMBER) {
        *out = value->number;
    } else if (value->kind == PW_JSON_STRING && strcmp(slot->name, "phases") == 0 && strcmp(value->string, "DC") == 0) {
        *out = 0.0; /* as a site sheet has it */
    } else if (value->kind == PW_JSON_STRING && slot->unit == NULL) {
        const pw_status status = pw_quantity_read(value->string, slot->dimension, out, problems, path);
        if (status != PW_OK) {
            return status;
        }
    } else if (value->kind != PW_JSON_STRING || !number_in_unit(value->string, slot->unit, out)) {
        return pw_problem_tell(problems, PW_TYPE, path, pw_fact_of(pw_json_kind_message(value->kind)),
                               pw_formula_expects(slot), pw_fact_of(slot->unit != NULL ? "door.number-in-unit" : NULL));
    }
    return check_range(slot, *out, path, problems);
}

/* "0 L/s, 5 L/s, 10 L/s" */
static pw_status read_row(const pw_formula_input *slot, const char *text, int32_t place, pw_reckoning *r)
{
    char path[PW_PATH_SIZE];
    char one[64];
    int32_t count = 0;
    while (*text != '\0') {
        size_t length = strcspn(text, ",");
        const char *next = text[length] == ',' ? text + length + 1 : text + length;
        while (length > 0 && *text == ' ') {
            text++;
            length--;
        }
        while (length > 0 && text[length - 1] == ' ') {
            length--;
        }
        path_of(slot->name, count, path);
        if (count == PW_MAX_CURVE || length >= sizeof one) {
            return pw_problem_tell(r->problems, PW_LIMIT, path, pw_no_fact(),
                                   pw_fact_of("door.most-values", pw_count(PW_MAX_CURVE)), pw_no_fact());
        }
        memcpy(one, text, length);
        one[length] = '\0';
        const pw_json item = {.kind = PW_JSON_STRING, .string = one};
        const pw_status status = read_number(slot, &item, path, &r->list[place][count], r->problems);
        if (status != PW_OK) {
            return status;
        }
        count++;
        text = next;
    }
    r->list_count[place] = count;
    return PW_OK;
}

static pw_status read_list(const pw_formula_input *slot, const pw_json *value, int32_t place, pw_reckoning *r)
{
    char path[PW_PATH_SIZE];
    path_of(slot->name, -1, path);
    if (value->kind == PW_JSON_STRING) {
        return read_row(slot, value->string, place, r);
    }
    if (value->kind != PW_JSON_ARRAY) {
        return pw_problem_tell(r->problems, PW_TYPE, path, pw_fact_of(pw_json_kind_message(value->kind)),
                               pw_fact_of("input.kind-list"), pw_no_fact());
    }
    if (value->count > PW_MAX_CURVE) {
        return pw_problem_tell(r->problems, PW_LIMIT, path, pw_no_fact(),
                               pw_fact_of("door.most-values", pw_count(PW_MAX_CURVE)), pw_no_fact());
    }
    int32_t count = 0;
    for (const pw_json *item = value->first; item != NULL; item = item->next) {
        path_of(slot->name, count, path);
        const pw_status status = read_number(slot, item, path, &r->list[place][count], r->problems);
        if (status != PW_OK) {
            return status;
        }
        count++;
    }
    r->list_count[place] = count;
    return PW_OK;
}

static pw_status read_slot(const pw_formula_input *slot, const pw_json *value, int32_t place, pw_reckoning *r)
{
    char path[PW_PATH_SIZE];
    path_of(slot->name, -1, path);
    if (value == NULL) {
        r->in[place] = slot->value;
        return slot->need == PW_FORMULA_DEFAULT || slot->need == PW_FORMULA_MAYBE_WORDS
                   ? PW_OK
                   : pw_problem_tell(r->problems, PW_MISSING, path, pw_fact_of("door.nothing"),
                                     pw_formula_expects(slot), pw_no_fact());
    }
    if (slot->need == PW_FORMULA_LIST) {
        return read_list(slot, value, place, r);
    }
    if (slot->need == PW_FORMULA_WORDS || slot->need == PW_FORMULA_MAYBE_WORDS) {
        if (value->kind != PW_JSON_STRING) {
            return pw_problem_tell(r->problems, PW_TYPE, path, pw_fact_of(pw_json_kind_message(value->kind)),
                                   pw_fact_of("input.words"), pw_no_fact());
        }
        r->text[place] = value->string;
        return PW_OK;
    }
    return read_number(slot, value, path, &r->in[place], r->problems);
}

/* A key that no slot has. */
static pw_status check_keys(const pw_formula *formula, const pw_json *given, pw_problems *problems)
{
    const char *names[PW_FORMULA_INPUTS];
    int32_t count = 0;
    pw_status worst = PW_OK;
    for (const pw_formula_input *slot = formula->in; slot->need != PW_FORMULA_END; slot++) {
        names[count] = slot->name;
        count++;
    }
    for (const pw_json *member = given == NULL ? NULL : given->first; member != NULL; member = member->next) {
        bool known = false;
        for (int32_t i = 0; i < count; i++) {
            known = known || strcmp(names[i], member->key) == 0;
        }
        if (!known) {
            char path[PW_PATH_SIZE];
            const int32_t near = pw_near_match(member->key, names, count);
            path_of(member->key, -1, path);
            worst = pw_problem_tell(problems, PW_UNKNOWN_KEY, path, pw_verbatim(member->key),
                                    pw_fact_of("door.formula-input"), pw_verbatim(near >= 0 ? names[near] : NULL));
        }
    }
    return worst;
}

/* The same results as a person writes them, in the units asked for. */
static void write_words(const pw_formula *formula, const pw_reckoning *r, const pw_voice *voice, pw_json_writer *answer)
{
    pw_json_open(answer, "words", '{');
    for (int32_t i = 0; formula->out[i].name != NULL; i++) {
        const pw_formula_output *result = &formula->out[i];
        const double value = r->out[i];
        pw_text text;
        pw_text_init(&text, answer->text->arena);
        if (r->words[i][0] != '\0') {
            pw_text_put(&text, pw_say_row(voice, r->words[i]));
        } else if (value >= PW_INF || !pw_is_finite(value)) {
            pw_text_put(&text, pw_say_word(voice, "door.unlimited"));
        } else if (result->unit != NULL || result->dimension == PW_DIM_NONE) {
            pw_say_number(&text, voice, value, 5);
            pw_text_puts(&text, result->unit != NULL ? " " : NULL, result->unit, NULL);
        } else {
            pw_say_amount(&text, voice, result->dimension, value);
        }
        answer->text->failed = answer->text->failed || text.failed;
        pw_json_string(answer, result->name, text.failed ? NULL : text.data);
    }
    pw_json_close(answer, '}');
}

static void write_results(const pw_formula *formula, const pw_reckoning *r, const pw_voice *voice,
                          pw_json_writer *answer)
{
    pw_json_string(answer, "what", formula->id);
    pw_json_open(answer, "outputs", '{');
    for (int32_t i = 0; formula->out[i].name != NULL; i++) {
        const char *name = formula->out[i].name;
        assert(r->out[i] == r->out[i]); /* no NaN: tests/unit/door/test_reckon.c */
        if (r->words[i][0] != '\0') {
            pw_json_string(answer, name, r->words[i]);
        } else if (r->out[i] >= PW_INF || !pw_is_finite(r->out[i])) {
            pw_json_null(answer, name);
        } else {
            pw_json_number(answer, name, r->out[i]);
        }
    }
    pw_json_close(answer, '}');
    pw_json_open(answer, "units", '{');
    for (int32_t i = 0; formula->out[i].name != NULL; i++) {
        const pw_formula_output *result = &formula->out[i];
        pw_json_string(answer, result->name, pw_formula_unit(result->dimension, result->unit));
    }
    pw_json_close(answer, '}');
    write_words(formula, r, voice, answer);
}

static void write_slot(const pw_formula_input *slot, const pw_voice *voice, pw_json_writer *answer)
{
    pw_json_open(answer, NULL, '{');
    pw_json_string(answer, "name", slot->name);
    if (slot->need == PW_FORMULA_WORDS || slot->need == PW_FORMULA_MAYBE_WORDS) {
        pw_json_string(answer, "kind", "words");
    } else {
        pw_json_string(answer, "kind", slot->need == PW_FORMULA_LIST ? "list" : "quantity");
        pw_json_string(answer, "unit", pw_formula_unit(slot->dimension, slot->unit));
        pw_json_number(answer, "low", slot->low);
        pw_json_number(answer, "high", slot->high);
        if (slot->need == PW_FORMULA_DEFAULT) {
            pw_json_number(answer, "default", slot->value);
        }
    }
    pw_json_string(answer, "help", pw_say_row(voice, slot->help));
    pw_json_close(answer, '}');
}

static pw_status write_list(const pw_voice *voice, pw_json_writer *answer)
{
    pw_json_open(answer, "formulas", '[');
    for (int32_t i = 0; pw_formula_at(i) != NULL; i++) {
        const pw_formula *formula = pw_formula_at(i);
        pw_json_open(answer, NULL, '{');
        pw_json_string(answer, "name", formula->id);
        pw_json_string(answer, "title", pw_say_row(voice, formula->title));
        pw_json_string(answer, "says", pw_say_row(voice, formula->says));
        pw_json_string(answer, "source", pw_say_row(voice, formula->source));
        if (formula->hand != NULL) {
            pw_json_string(answer, "hand calculation", pw_say_row(voice, formula->hand));
        }
        pw_json_open(answer, "inputs", '[');
        for (const pw_formula_input *slot = formula->in; slot->need != PW_FORMULA_END; slot++) {
            write_slot(slot, voice, answer);
        }
        pw_json_close(answer, ']');
        pw_json_open(answer, "outputs", '[');
        for (const pw_formula_output *result = formula->out; result->name != NULL; result++) {
            pw_json_open(answer, NULL, '{');
            pw_json_string(answer, "name", result->name);
            pw_json_string(answer, "unit", pw_formula_unit(result->dimension, result->unit));
            pw_json_string(answer, "help", pw_say_row(voice, result->help));
            pw_json_close(answer, '}');
        }
        pw_json_close(answer, ']');
        pw_json_close(answer, '}');
    }
    pw_json_close(answer, ']');
    return PW_OK;
}

static pw_status unknown_formula(const char *name, pw_problems *problems)
{
    enum { MOST = 96 };
    const char *names[MOST];
    int32_t count = 0;
    while (count < MOST && pw_formula_at(count) != NULL) {
        names[count] = pw_formula_at(count)->id;
        count++;
    }
    const int32_t near = pw_near_match(name, names, count);
    return pw_problem_tell(problems, PW_UNSUPPORTED, "what", pw_verbatim(name), pw_fact_of("door.formula-name"),
                           pw_verbatim(near >= 0 ? names[near] : NULL));
}

pw_status pw_reckon(const pw_json *request, const pw_voice *voice, pw_json_writer *answer, pw_problems *problems)
{
    const pw_json *what = pw_json_get(request, "what");
    const pw_json *given = pw_json_get(request, "given");
    if (what == NULL) {
        return write_list(voice, answer);
    }
    if (what->kind != PW_JSON_STRING) {
        return pw_problem_tell(problems, PW_TYPE, "what", pw_fact_of(pw_json_kind_message(what->kind)),
                               pw_fact_of("door.formula-name"), pw_no_fact());
    }
    if (given != NULL && given->kind != PW_JSON_OBJECT) {
        return pw_problem_tell(problems, PW_TYPE, "given", pw_fact_of(pw_json_kind_message(given->kind)),
                               pw_fact_of("input.kind-object"), pw_no_fact());
    }
    const pw_formula *formula = pw_formula_find(what->string);
    if (formula == NULL) {
        return unknown_formula(what->string, problems);
    }
    pw_reckoning r;
    memset(&r, 0, sizeof r);
    r.problems = problems;
    pw_status worst = check_keys(formula, given, problems);
    for (int32_t i = 0; formula->in[i].need != PW_FORMULA_END; i++) {
        const pw_status status = read_slot(&formula->in[i], pw_json_get(given, formula->in[i].name), i, &r);
        worst = worst == PW_OK ? status : worst;
    }
    if (worst == PW_OK) {
        worst = formula->work(&r);
    }
    if (worst == PW_OK) {
        write_results(formula, &r, voice, answer);
    }
    return worst;
}
