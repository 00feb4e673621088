/* Statuses, problems and the search for a near match. */
#include "base/status.h"

#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include "base/text.h"

static const char *const STATUS_IDS[PW_STATUS_COUNT] = {
#define PW_X(name, id, words) id,
    PW_STATUS_LIST(PW_X)
#undef PW_X
};

static const char *const STATUS_WORDS[PW_STATUS_COUNT] = {
#define PW_X(name, id, words) words,
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

const char *pw_status_words(pw_status status)
{
    return status_known(status) ? STATUS_WORDS[status] : "this status is not known";
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

static void problem_keep(pw_problems *problems, bool warning, pw_status status, const char *path, const char *found,
                         const char *expected, const char *hint)
{
    if (!problems) {
        return;
    }
    if (!warning) {
        problems->errors++;
    }
    if (problems->count >= PW_MAX_PROBLEMS) {
        problems->lost++;
        return;
    }
    pw_problem *problem = &problems->items[problems->count];
    problems->count++;
    memset(problem, 0, sizeof *problem);
    problem->status = status;
    problem->warning = warning;
    pw_copy(problem->path, PW_PATH_SIZE, path);
    pw_copy(problem->found, PW_WORDS_SIZE, found);
    pw_copy(problem->expected, PW_WORDS_SIZE, expected);
    pw_copy(problem->hint, PW_WORDS_SIZE, hint);
}

pw_status pw_problem_add(pw_problems *problems, pw_status status, const char *path, const char *found,
                         const char *expected, const char *hint)
{
    problem_keep(problems, false, status, path, found, expected, hint);
    return status;
}

pw_status pw_warning_add(pw_problems *problems, pw_status status, const char *path, const char *found,
                         const char *expected, const char *hint)
{
    problem_keep(problems, true, status, path, found, expected, hint);
    return status;
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
