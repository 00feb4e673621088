/* Statuses, problems and the search for a near match. */
#include "base/status.h"

#include <assert.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include "base/text.h"

static const char *const STATUS_IDS[PW_STATUS_COUNT] = {
#define PW_X(name, id, message) id,
    PW_STATUS_LIST(PW_X)
#undef PW_X
};

static const char *const STATUS_MESSAGES[PW_STATUS_COUNT] = {
#define PW_X(name, id, message) message,
    PW_STATUS_LIST(PW_X)
#undef PW_X
};

static bool status_known(pw_status status)
{
    return (uint32_t)status < (uint32_t)PW_STATUS_COUNT;
}

const char *pw_status_id(pw_status status)
{
    return status_known(status) ? STATUS_IDS[status] : "unknown";
}

const char *pw_status_message(pw_status status)
{
    return STATUS_MESSAGES[status_known(status) ? status : PW_UNSUPPORTED];
}

char *pw_copy(char *dst, int32_t dst_size, const char *src)
{
    if (dst_size <= 0) {
        return dst;
    }
    size_t room = (size_t)dst_size - 1;
    size_t length = src ? strlen(src) : 0;
    if (length > room) {
        length = room;
        /* src[length] is the first byte that is left out: while it continues a character, that character goes too */
        while (length > 0 && ((unsigned char)src[length] & 0xC0) == 0x80) {
            length--;
        }
    }
    if (length > 0) {
        memmove(dst, src, length);
    }
    dst[length] = '\0';
    return dst;
}

const char *pw_say(char *buffer, ...)
{
    va_list pieces;
    va_start(pieces, buffer);
    int32_t length = 0;
    for (const char *piece = va_arg(pieces, const char *); piece != NULL; piece = va_arg(pieces, const char *)) {
        pw_copy(buffer + length, PW_WORDS_SIZE - length, piece);
        length += (int32_t)strlen(buffer + length);
    }
    va_end(pieces);
    buffer[length] = '\0';
    return buffer;
}

pw_remark pw_remark_of(const pw_fact *fact)
{
    pw_remark remark;
    int32_t used = 0;
    memset(&remark, 0, sizeof remark);
    remark.id = fact->id;
    for (int32_t i = 0; i < PW_FACT_VALUES; i++) {
        pw_value value = fact->values[i];
        assert(value.kind != PW_VALUE_FACT && value.kind != PW_VALUE_LIST);
        assert(value.kind == PW_VALUE_END || i < PW_REMARK_VALUES);
        if (value.kind == PW_VALUE_NAME) {
            pw_copy(remark.names + used, PW_WORDS_SIZE - used, value.text);
            value.whole = used; /* where it begins; an address would not survive a copy */
            used += (int32_t)strlen(remark.names + used);
            used += used < PW_WORDS_SIZE - 1 ? 1 : 0;
        }
        if (i < PW_REMARK_VALUES) {
            remark.values[i] = value;
        }
    }
    return remark;
}

pw_fact pw_remark_fact(const pw_remark *remark)
{
    pw_fact fact = pw_no_fact();
    fact.id = remark->id;
    for (int32_t i = 0; i < PW_REMARK_VALUES; i++) {
        fact.values[i] = remark->values[i];
        if (remark->values[i].kind == PW_VALUE_NAME) {
            fact.values[i].text = remark->names + remark->values[i].whole;
        }
    }
    return fact;
}

pw_fact pw_verbatim(const char *text)
{
    return text != NULL && text[0] != '\0' ? pw_fact_of("input.verbatim", pw_named(text)) : pw_no_fact();
}

/* Room for one more, counted; NULL: there is none, or nothing is kept. */
static pw_problem *problem_room(pw_problems *problems, bool warning)
{
    if (!problems) {
        return NULL;
    }
    if (!warning) {
        problems->errors++;
    }
    if (problems->count >= PW_MAX_PROBLEMS) {
        problems->lost++;
        return NULL;
    }
    problems->count++;
    return &problems->items[problems->count - 1];
}

void pw_problem_again(pw_problems *problems, const pw_problem *one)
{
    pw_problem *problem = problem_room(problems, one->warning);
    if (problem) {
        *problem = *one;
    }
}

static void problem_keep(pw_problems *problems, bool warning, pw_status status, const char *path, const pw_fact *found,
                         const pw_fact *expected, const pw_fact *hint)
{
    pw_problem *problem = problem_room(problems, warning);
    if (!problem) {
        return;
    }
    memset(problem, 0, sizeof *problem);
    problem->status = status;
    problem->warning = warning;
    pw_copy(problem->path, PW_PATH_SIZE, path);
    problem->found = pw_remark_of(found);
    problem->expected = pw_remark_of(expected);
    problem->hint = pw_remark_of(hint);
}

pw_status pw_problem_tell(pw_problems *problems, pw_status status, const char *path, pw_fact found, pw_fact expected,
                          pw_fact hint)
{
    problem_keep(problems, false, status, path, &found, &expected, &hint);
    return status;
}

pw_status pw_warning_tell(pw_problems *problems, pw_status status, const char *path, pw_fact found, pw_fact expected,
                          pw_fact hint)
{
    problem_keep(problems, true, status, path, &found, &expected, &hint);
    return status;
}

pw_status pw_problem_add(pw_problems *problems, pw_status status, const char *path, const char *found,
                         const char *expected, const char *hint)
{
    return pw_problem_tell(problems, status, path, pw_verbatim(found), pw_verbatim(expected), pw_verbatim(hint));
}

pw_status pw_warning_add(pw_problems *problems, pw_status status, const char *path, const char *found,
                         const char *expected, const char *hint)
{
    return pw_warning_tell(problems, status, path, pw_verbatim(found), pw_verbatim(expected), pw_verbatim(hint));
}

void pw_choices_add(pw_choices *choices, const char *name)
{
    const int32_t room = (int32_t)sizeof choices->names - choices->length;
    const int32_t comma = choices->length > 0 ? 2 : 0;
    const size_t length = strlen(name);
    if (choices->more > 0 || length + (size_t)comma >= (size_t)room) {
        choices->more++;
        return;
    }
    memcpy(choices->names + choices->length, ", ", (size_t)comma);
    memcpy(choices->names + choices->length + comma, name, length + 1);
    choices->length += comma + (int32_t)length;
}

pw_fact pw_choices_fact(const pw_choices *choices)
{
    return pw_fact_of("input.one-of", pw_named(choices->names), pw_count(choices->more));
}

static int32_t least(int32_t a, int32_t b)
{
    return a < b ? a : b;
}

/* Optimal string alignment distance, case ignored, by the usual table of which three rows are kept.
 * Source: R. A. Wagner and M. J. Fischer, J. ACM 21(1), 1974, with the transposition of F. J. Damerau, CACM 7(3), 1964
 * (from memory). Both texts shorter than PW_NAME_SIZE. */
static int32_t distance(const char *a, int32_t a_length, const char *b, int32_t b_length)
{
    int32_t rows[3][PW_NAME_SIZE + 1];
    int32_t *before = rows[0], *last = rows[1], *now = rows[2];
    for (int32_t j = 0; j <= b_length; j++) {
        last[j] = j;
        before[j] = 0;
    }
    for (int32_t i = 1; i <= a_length; i++) {
        now[0] = i;
        for (int32_t j = 1; j <= b_length; j++) {
            bool same = pw_lower(a[i - 1]) == pw_lower(b[j - 1]);
            int32_t best = last[j - 1] + (same ? 0 : 1);
            best = least(best, last[j] + 1);
            best = least(best, now[j - 1] + 1);
            if (i > 1 && j > 1 && pw_lower(a[i - 1]) == pw_lower(b[j - 2]) &&
                pw_lower(a[i - 2]) == pw_lower(b[j - 1])) {
                best = least(best, before[j - 2] + 1);
            }
            now[j] = best;
        }
        int32_t *spare = before;
        before = last;
        last = now;
        now = spare;
    }
    return last[b_length];
}

int32_t pw_near_match(const char *word, const char *const *words, int32_t count)
{
    size_t length = word ? strlen(word) : 0;
    if (length == 0 || length >= PW_NAME_SIZE) {
        return -1;
    }
    int32_t nearest = -1;
    /* one more than what is still near */
    int32_t best = length <= 4 ? 2 : 2 + (int32_t)length / 3;
    for (int32_t i = 0; i < count; i++) {
        size_t other = strlen(words[i]);
        if (other == 0 || other >= PW_NAME_SIZE) {
            continue;
        }
        int32_t far = distance(word, (int32_t)length, words[i], (int32_t)other);
        if (far < best) {
            best = far;
            nearest = i;
        }
    }
    return nearest;
}

pw_fact pw_near_fact(const char *word, const char *const *words, int32_t count)
{
    const int32_t near = pw_near_match(word, words, count);
    return near >= 0 ? pw_fact_of("input.did-you-mean", pw_named(words[near])) : pw_no_fact();
}
