/* The longest common part of the lines between the first and the last that differ, by dynamic programming (Wagner and
 * Fischer 1974, from memory): what changes in a sheet is short. */
#include "cli/diff.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { CONTEXT = 2, MOST = 3000 };

typedef struct lines {
    const char **at;
    int32_t count;
} lines;

static bool cut(const char *text, lines *out)
{
    int32_t count = 1;
    for (const char *at = text; *at; at++) {
        count += *at == '\n';
    }
    *out = (lines){malloc((size_t)(count + 1) * sizeof *out->at), 0};
    while (out->at != NULL && *text) {
        const char *stop = strchr(text, '\n');
        out->at[out->count++] = text;
        text = stop != NULL ? stop + 1 : text + strlen(text);
    }
    if (out->at != NULL) {
        out->at[out->count] = text;
    }
    return out->at != NULL;
}

static size_t length_of(const lines *of, int32_t i)
{
    size_t length = (size_t)(of->at[i + 1] - of->at[i]);
    return length > 0 && of->at[i][length - 1] == '\n' ? length - 1 : length;
}

static bool same(const lines *a, int32_t i, const lines *b, int32_t k)
{
    const size_t length = length_of(a, i);
    return length == length_of(b, k) && memcmp(a->at[i], b->at[k], length) == 0;
}

/* What becomes of the lines, one letter each: ' ' both, '-' the old, '+' the new. */
static char *script_of(const lines *a, const lines *b)
{
    int32_t head = 0, tail = 0;
    while (head < a->count && head < b->count && same(a, head, b, head)) {
        head++;
    }
    while (tail < a->count - head && tail < b->count - head && same(a, a->count - 1 - tail, b, b->count - 1 - tail)) {
        tail++;
    }
    const int32_t n = a->count - head - tail, m = b->count - head - tail;
    if (n > MOST || m > MOST) {
        return NULL;
    }
    const size_t wide = (size_t)m + 1;
    int32_t *common = calloc(((size_t)n + 1) * wide, sizeof *common);
    char *out = malloc((size_t)(a->count + b->count) + 1), *at = out;
    if (common == NULL || out == NULL) {
        free(common);
        free(out);
        return NULL;
    }
    for (int32_t i = n - 1; i >= 0; i--) {
        for (int32_t k = m - 1; k >= 0; k--) {
            const int32_t below = common[(size_t)(i + 1) * wide + (size_t)k];
            const int32_t beside = common[(size_t)i * wide + (size_t)k + 1];
            common[(size_t)i * wide + (size_t)k] = same(a, head + i, b, head + k)
                                                       ? common[(size_t)(i + 1) * wide + (size_t)k + 1] + 1
                                                   : below > beside ? below
                                                                    : beside;
        }
    }
    memset(at, ' ', (size_t)head);
    at += head;
    for (int32_t i = 0, k = 0; i < n || k < m;) {
        if (i < n && k < m && same(a, head + i, b, head + k)) {
            *at++ = ' ';
            i++;
            k++;
        } else if (i < n &&
                   (k == m || common[(size_t)(i + 1) * wide + (size_t)k] >= common[(size_t)i * wide + (size_t)k + 1])) {
            *at++ = '-';
            i++;
        } else {
            *at++ = '+';
            k++;
        }
    }
    memset(at, ' ', (size_t)tail);
    at[tail] = 0;
    free(common);
    return out;
}

/* Does a change stand so near that this line is shown? */
static bool near_change(const char *script, size_t length, size_t at)
{
    const size_t from = at > CONTEXT ? at - CONTEXT : 0, to = at + CONTEXT < length ? at + CONTEXT : length - 1;
    for (size_t i = from; i <= to; i++) {
        if (script[i] != ' ') {
            return true;
        }
    }
    return false;
}

static void print_hunk(FILE *out, const char *script, size_t from, size_t to, const lines *a, int32_t i, const lines *b,
                       int32_t k, bool colour)
{
    int32_t old = 0, new = 0;
    for (size_t at = from; at < to; at++) {
        old += script[at] != '+';
        new += script[at] != '-';
    }
    fprintf(out, "@@ -%d,%d +%d,%d @@\n", old > 0 ? i + 1 : i, old, new > 0 ? k + 1 : k, new);
    for (size_t at = from; at < to; at++) {
        const bool added = script[at] == '+';
        const lines *of = added ? b : a;
        const int32_t line = added ? k : i;
        const char *tint = !colour || script[at] == ' ' ? "" : added ? "\033[32m" : "\033[31m";
        fprintf(out, "%s%c%.*s%s\n", tint, script[at], (int)length_of(of, line), of->at[line],
                tint[0] ? "\033[0m" : "");
        i += script[at] != '+';
        k += script[at] != '-';
    }
}

static void print_all(FILE *out, const char *script, const lines *a, const lines *b, bool colour)
{
    const size_t length = strlen(script);
    int32_t i = 0, k = 0;
    for (size_t at = 0; at < length;) {
        size_t to = at;
        while (to < length && near_change(script, length, to)) {
            to++;
        }
        if (to > at) {
            print_hunk(out, script, at, to, a, i, b, k, colour);
        } else {
            to = at + 1;
        }
        for (; at < to; at++) {
            i += script[at] != '+';
            k += script[at] != '-';
        }
    }
}

bool cli_diff(FILE *out, const char *name, const char *was, const char *is, bool colour)
{
    lines a = {NULL, 0}, b = {NULL, 0};
    char *script = cut(was, &a) && cut(is, &b) ? script_of(&a, &b) : NULL;
    if (script != NULL) {
        fprintf(out, "--- %s\n+++ %s\n", name, name);
        print_all(out, script, &a, &b, colour);
    }
    const bool good = script != NULL;
    free(script);
    free(a.at);
    free(b.at);
    return good;
}
