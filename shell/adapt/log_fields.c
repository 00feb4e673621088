/* The fields of a logger's line: where they end, and the numbers in them. */
#include <string.h>

#include "adapt/log_inside.h"

/* ---- fields ---- */

pw_log_piece pw_log_trimmed(const char *from, const char *to)
{
    while (from < to && (*from == ' ' || *from == '"')) {
        from++;
    }
    while (to > from && (to[-1] == ' ' || to[-1] == '"' || to[-1] == '\r')) {
        to--;
    }
    return (pw_log_piece){from, (size_t)(to - from)};
}

const char *pw_log_field_end(const char *at, const char *end, char separator, bool quoted)
{
    if (quoted && at < end && *at == '"') {
        const char *shut = memchr(at + 1, '"', (size_t)(end - at - 1));
        at = shut != NULL ? shut + 1 : at;
    }
    while (at < end && *at != separator) {
        at++;
    }
    return at;
}

int32_t pw_log_cut(const char *line, size_t length, char separator, pw_log_piece *out, int32_t most)
{
    const char *at = line, *end = line + length;
    int32_t count = 0;
    while (separator == ' ' && at < end && *at == ' ') {
        at++;
    }
    while (at <= end && count < most) {
        const char *stop = pw_log_field_end(at, end, separator, true);
        out[count] = pw_log_trimmed(at, stop);
        count++;
        at = stop + 1;
        while (separator == ' ' && at < end && *at == ' ') {
            at++;
        }
        if (separator == ' ' && at >= end) {
            break;
        }
    }
    return count;
}

/* ---- numbers ---- */

static bool slow_number(const char *at, size_t length, bool comma, double *out)
{
    char words[64];
    if (length >= sizeof words) {
        return false;
    }
    memcpy(words, at, length);
    words[length] = '\0';
    return pw_csv_number(words, comma, out);
}

/* Up to fifteen digits are exact. The rest goes the long way. */
bool pw_log_number(const char *at, size_t length, bool comma, double *out)
{
    static const double power[] = {1.0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                   1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
    const char *const begin = at, *const end = at + length;
    const char sign = comma ? ',' : '.';
    int64_t digits = 0;
    int32_t count = 0, behind = -1;
    const bool minus = at < end && *at == '-';
    at += minus ? 1 : 0;
    for (; at < end; at++) {
        const unsigned digit = (unsigned)(unsigned char)*at - '0';
        if (digit <= 9) {
            digits = digits * 10 + (int64_t)digit;
            count++;
        } else if (*at == sign && behind < 0) {
            behind = count;
        } else {
            return slow_number(begin, length, comma, out);
        }
        if (count > 15) {
            return slow_number(begin, length, comma, out);
        }
    }
    if (count == 0) {
        return false;
    }
    const double value = (double)digits / power[behind >= 0 ? count - behind : 0];
    *out = minus ? -value : value;
    return true;
}
