/* JSON checked: the strict grammar of RFC 8259, so that every mistake is told with line, column and plain words.
 * Also counts what must be stored, so that the tree is one allocation.
 * Source: RFC 8259 (JSON), RFC 3629 (UTF-8), both from memory.
 */
#include "base/json_inside.h"

#include <string.h>

#include "base/num.h"

typedef pw_json_check reader;

/* What may come next. */
typedef enum expect {
    EXPECT_VALUE,       /* outermost, behind a colon, behind a comma in a list */
    EXPECT_ITEM_OR_END, /* behind [ */
    EXPECT_KEY_OR_END,  /* behind { */
    EXPECT_KEY,         /* behind a comma in an object */
    EXPECT_COLON,
    EXPECT_COMMA_OR_END,
    EXPECT_NOTHING, /* the value is complete */
    EXPECT_COUNT
} expect;

static const char *const expect_messages[EXPECT_COUNT] = {
    "input.value", "input.item-or-end",      "input.key-or-end",   "input.quoted-key",
    "input.colon", "input.comma-or-bracket", "input.nothing-more",
};

/* ---- where and what ---- */

/* 1-based line and column (in characters) of a byte. */
static void place_of(const char *text, size_t at, int32_t *line, int32_t *column)
{
    *line = 1;
    *column = 1;
    for (size_t i = 0; i < at; i++) {
        unsigned char c = (unsigned char)text[i];
        if (c == '\n') {
            *line += 1;
            *column = 1;
        } else if ((c & 0xC0u) != 0x80u) {
            *column += 1;
        }
    }
}

pw_status pw_json_wrong(reader *r, pw_status status, size_t at, pw_fact found, pw_fact expected, pw_fact hint)
{
    int32_t kept = r->problems ? r->problems->count : 0;
    pw_problem_tell(r->problems, status, "", found, expected, hint);
    if (r->problems && r->problems->count > kept) {
        pw_problem *problem = &r->problems->items[kept];
        place_of(r->text, at, &problem->line, &problem->column);
    }
    return status;
}

static bool is_space(char c)
{
    return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_word_byte(char c)
{
    return is_digit(c) || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '+' || c == '-' || c == '.' ||
           c == '_' || c == '$';
}

static size_t word_length(const reader *r, size_t at)
{
    size_t n = 0;
    while (at + n < r->length && is_word_byte(r->text[at + n])) {
        n++;
    }
    return n;
}

static const char hex_digits[] = "0123456789abcdef";

/* What stands at a byte; out holds 64 bytes, for as long as the fact is used. */
static pw_fact thing_at(const reader *r, size_t at, char *out)
{
    if (at >= r->length) {
        return pw_fact_of("input.end-of-text");
    }
    size_t n = word_length(r, at);
    if (n > 0) {
        size_t shown = n < 40 ? n : 40;
        memcpy(out, r->text + at, shown);
        out[shown] = '\0';
        return pw_verbatim(out);
    }
    unsigned char c = (unsigned char)r->text[at];
    if (c == '"') {
        return pw_fact_of("input.quoted-text");
    }
    if (c > ' ' && c < 0x7F) {
        out[0] = (char)c;
        out[1] = '\0';
        return pw_verbatim(out);
    }
    out[0] = hex_digits[c >> 4];
    out[1] = hex_digits[c & 15u];
    out[2] = '\0';
    return pw_fact_of("input.byte", pw_named(out));
}

/* ---- check ---- */

/* Bytes of the well-formed UTF-8 character at p (no overlong forms, no surrogates, at most U+10FFFF); 0 when malformed.
 */
size_t pw_utf8_length(const char *p, size_t left)
{
    const unsigned char *b = (const unsigned char *)p;
    if (b[0] < 0x80) {
        return 1;
    }
    size_t n = b[0] >= 0xF0 ? 4 : b[0] >= 0xE0 ? 3 : 2;
    if (b[0] < 0xC2 || b[0] > 0xF4 || n > left) {
        return 0;
    }
    for (size_t i = 1; i < n; i++) {
        if ((b[i] & 0xC0u) != 0x80u) {
            return 0;
        }
    }
    bool overlong = (b[0] == 0xE0 && b[1] < 0xA0) || (b[0] == 0xF0 && b[1] < 0x90);
    bool outside = (b[0] == 0xED && b[1] > 0x9F) || (b[0] == 0xF4 && b[1] > 0x8F);
    return overlong || outside ? 0 : n;
}

/* Four hex digits at p; -1 when they are not. */
static int32_t read_hex4(const char *p, size_t left)
{
    if (left < 4) {
        return -1;
    }
    int32_t value = 0;
    for (int i = 0; i < 4; i++) {
        char c = p[i];
        int32_t digit = is_digit(c)            ? c - '0'
                        : c >= 'a' && c <= 'f' ? c - 'a' + 10
                        : c >= 'A' && c <= 'F' ? c - 'A' + 10
                                               : -1;
        if (digit < 0) {
            return -1;
        }
        value = value * 16 + digit;
    }
    return value;
}

size_t pw_utf8_size(int32_t code)
{
    return code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
}

/* The code point of a \uXXXX (or a surrogate pair of two) whose backslash is at p; used = bytes of it. -1 malformed. */
int32_t pw_json_unicode(const char *p, size_t left, size_t *used)
{
    int32_t high = left >= 6 ? read_hex4(p + 2, left - 2) : -1;
    *used = 6;
    if (high < 0 || (high >= 0xDC00 && high <= 0xDFFF)) {
        return -1;
    }
    if (high < 0xD800 || high > 0xDBFF) {
        return high;
    }
    if (left < 12 || p[6] != '\\' || p[7] != 'u') {
        return -1;
    }
    int32_t low = read_hex4(p + 8, left - 8);
    if (low < 0xDC00 || low > 0xDFFF) {
        return -1;
    }
    *used = 12;
    return 0x10000 + (high - 0xD800) * 0x400 + (low - 0xDC00);
}

/* One escape whose backslash is at r->at. */
static pw_status check_escape(reader *r, size_t *decoded)
{
    const char *p = r->text + r->at;
    size_t left = r->length - r->at;
    if (left >= 2 && strchr("\"\\/bfnrt", p[1]) != NULL && p[1] != '\0') {
        r->at += 2;
        *decoded += 1;
        return PW_OK;
    }
    if (left >= 2 && p[1] == 'u') {
        size_t used;
        int32_t code = pw_json_unicode(p, left, &used);
        if (code == 0) {
            return pw_json_wrong(r, PW_SYNTAX, r->at, pw_verbatim("\\u0000"), pw_fact_of("input.no-zero"),
                                 pw_fact_of("input.leave-out"));
        }
        if (code > 0) {
            r->at += used;
            *decoded += pw_utf8_size(code);
            return PW_OK;
        }
        return pw_json_wrong(r, PW_SYNTAX, r->at, pw_fact_of("input.bad-code"), pw_fact_of("input.code"),
                             pw_fact_of("input.for-instance", pw_named("\\u00b0")));
    }
    return pw_json_wrong(r, PW_SYNTAX, r->at, pw_fact_of("input.bad-escape"), pw_fact_of("input.escape"),
                         pw_fact_of("input.backslash"));
}

/* A text whose opening quote is at r->at. */
static pw_status check_string(reader *r)
{
    size_t begin = r->at;
    size_t decoded = 0;
    r->at++;
    while (r->at < r->length && r->text[r->at] != '"') {
        unsigned char c = (unsigned char)r->text[r->at];
        if (c < 0x20) {
            return pw_json_wrong(r, PW_SYNTAX, r->at,
                                 pw_fact_of(c == '\n' ? "input.line-in-text" : "input.control-in-text"),
                                 pw_fact_of("input.closing-quote"), pw_fact_of("input.line-and-tab"));
        }
        if (c == '\\') {
            pw_status status = check_escape(r, &decoded);
            if (status != PW_OK) {
                return status;
            }
            continue;
        }
        size_t n = pw_utf8_length(r->text + r->at, r->length - r->at);
        if (n == 0) {
            char found[64];
            return pw_json_wrong(r, PW_SYNTAX, r->at, thing_at(r, r->at, found), pw_fact_of("input.utf8"),
                                 pw_fact_of("input.save-utf8"));
        }
        r->at += n;
        decoded += n;
    }
    if (r->at >= r->length) {
        return pw_json_wrong(r, PW_SYNTAX, begin, pw_fact_of("input.text-never-ends"), pw_fact_of("input.double-quote"),
                             pw_no_fact());
    }
    r->at++;
    r->token_count++;
    r->string_bytes += decoded + 1;
    return PW_OK;
}

/* Length of the longest number of RFC 8259 at p, 0 when there is none. */
static size_t number_length(const char *p, size_t left)
{
    size_t i = 0;
    if (i < left && p[i] == '-') {
        i++;
    }
    size_t digits = i;
    while (i < left && is_digit(p[i])) {
        i++;
    }
    if (i == digits) {
        return 0;
    }
    if (p[digits] == '0') {
        i = digits + 1; /* a zero in front stands alone */
    }
    size_t good = i;
    if (i + 1 < left && p[i] == '.' && is_digit(p[i + 1])) {
        for (i++; i < left && is_digit(p[i]); i++) {
        }
        good = i;
    }
    if (i < left && (p[i] == 'e' || p[i] == 'E')) {
        i++;
        if (i < left && (p[i] == '+' || p[i] == '-')) {
            i++;
        }
        for (; i < left && is_digit(p[i]); i++) {
            good = i + 1;
        }
    }
    return good;
}

static bool same_word(const char *p, size_t n, const char *word)
{
    return strlen(word) == n && memcmp(p, word, n) == 0;
}

static pw_fact word_hint(const char *p, size_t n)
{
    static const struct {
        const char *word, *hint;
    } hints[] = {
        {"True", "input.write-true"},       {"TRUE", "input.write-true"},   {"yes", "input.write-true"},
        {"False", "input.write-false"},     {"FALSE", "input.write-false"}, {"no", "input.write-false"},
        {"None", "input.write-null"},       {"NULL", "input.write-null"},   {"Null", "input.write-null"},
        {"nil", "input.write-null"},        {"NaN", "input.no-nan"},        {"Infinity", "input.no-infinity"},
        {"-Infinity", "input.no-infinity"},
    };
    for (size_t i = 0; i < sizeof hints / sizeof hints[0]; i++) {
        if (same_word(p, n, hints[i].word)) {
            return pw_fact_of(hints[i].hint);
        }
    }
    if (p[0] == '+') {
        return pw_fact_of("input.no-plus");
    }
    if (p[0] == '.') {
        return pw_fact_of("input.zero-before-point");
    }
    size_t sign = n > 0 && p[0] == '-' ? 1 : 0;
    if (sign + 1 < n && p[sign] == '0' && is_digit(p[sign + 1])) {
        return pw_fact_of("input.no-leading-zero");
    }
    if (p[n - 1] == '.') {
        return pw_fact_of("input.digit-after-point");
    }
    return pw_fact_of(is_digit(p[sign < n ? sign : 0]) ? "input.quote-quantity" : "input.quote-text");
}

/* A number or one of the three words. */
static pw_status check_word(reader *r)
{
    char found[64];
    const char *p = r->text + r->at;
    size_t n = word_length(r, r->at);
    if (n == 0) {
        const char *hint = p[0] == '\''                 ? "input.not-single-quotes"
                           : p[0] == '/' || p[0] == '#' ? "input.no-comments"
                           : p[0] == ','                ? "input.comma-too-many"
                                                        : NULL;
        return pw_json_wrong(r, PW_SYNTAX, r->at, thing_at(r, r->at, found), pw_fact_of(expect_messages[EXPECT_VALUE]),
                             pw_fact_of(hint));
    }
    if (!same_word(p, n, "true") && !same_word(p, n, "false") && !same_word(p, n, "null")) {
        if (number_length(p, n) != n) {
            return pw_json_wrong(r, PW_SYNTAX, r->at, thing_at(r, r->at, found),
                                 pw_fact_of(expect_messages[EXPECT_VALUE]), word_hint(p, n));
        }
        double value;
        if (pw_num_read(p, n, &value) != n) {
            return pw_json_wrong(r, PW_RANGE, r->at, thing_at(r, r->at, found), pw_fact_of("input.below-limit"),
                                 pw_no_fact());
        }
        r->string_bytes += n + 1;
    }
    r->at += n;
    r->token_count++;
    return PW_OK;
}

static pw_status check_open(reader *r, expect *next)
{
    if (r->depth >= PW_MAX_JSON_DEPTH) {
        return pw_json_wrong(r, PW_LIMIT, r->at, pw_fact_of("input.too-deep"), pw_fact_of("input.levels"),
                             pw_no_fact());
    }
    char bracket = r->text[r->at];
    r->brackets[r->depth] = bracket;
    r->depth++;
    r->token_count++;
    r->value_count++;
    r->at++;
    *next = bracket == '{' ? EXPECT_KEY_OR_END : EXPECT_ITEM_OR_END;
    return PW_OK;
}

static pw_status check_value(reader *r, expect *next)
{
    char c = r->text[r->at];
    if (c == '{' || c == '[') {
        return check_open(r, next);
    }
    r->value_count++;
    *next = r->depth == 0 ? EXPECT_NOTHING : EXPECT_COMMA_OR_END;
    return c == '"' ? check_string(r) : check_word(r);
}

static pw_status check_close(reader *r, expect *next)
{
    char open = r->brackets[r->depth - 1];
    char right = open == '{' ? '}' : ']';
    if (r->text[r->at] != right) {
        return pw_json_wrong(r, PW_SYNTAX, r->at, pw_verbatim(right == '}' ? "]" : "}"),
                             pw_verbatim(right == '}' ? "}" : "]"), pw_fact_of("input.closes-last"));
    }
    r->depth--;
    r->at++;
    *next = r->depth == 0 ? EXPECT_NOTHING : EXPECT_COMMA_OR_END;
    return PW_OK;
}

/* The key, colon and comma part of the grammar. */
static pw_status check_between(reader *r, expect *next)
{
    char found[64];
    char c = r->text[r->at];
    bool in_object = r->depth > 0 && r->brackets[r->depth - 1] == '{';
    switch (*next) {
    case EXPECT_KEY:
    case EXPECT_KEY_OR_END:
        if (c == '"') {
            *next = EXPECT_COLON;
            return check_string(r);
        }
        if (*next == EXPECT_KEY && c == '}') {
            return pw_json_wrong(r, PW_SYNTAX, r->at, pw_verbatim("}"), pw_fact_of(expect_messages[*next]),
                                 pw_fact_of("input.comma-before-bracket"));
        }
        return pw_json_wrong(r, PW_SYNTAX, r->at, thing_at(r, r->at, found), pw_fact_of(expect_messages[*next]),
                             pw_fact_of(word_length(r, r->at) > 0 || c == '\'' ? "input.quote-keys" : NULL));
    case EXPECT_COLON:
        if (c == ':') {
            r->at++;
            *next = EXPECT_VALUE;
            return PW_OK;
        }
        break;
    case EXPECT_COMMA_OR_END:
        if (c == ',') {
            r->at++;
            *next = in_object ? EXPECT_KEY : EXPECT_VALUE;
            return PW_OK;
        }
        break;
    default: break;
    }
    return pw_json_wrong(r, PW_SYNTAX, r->at, thing_at(r, r->at, found), pw_fact_of(expect_messages[*next]),
                         pw_fact_of(c == '/' || c == '#' ? "input.no-comments" : NULL));
}

pw_status pw_json_check_text(reader *r)
{
    expect next = EXPECT_VALUE;
    if (r->length >= 3 && memcmp(r->text, "\xEF\xBB\xBF", 3) == 0) {
        return pw_json_wrong(r, PW_SYNTAX, 0, pw_fact_of("input.byte-order-mark"), pw_fact_of("input.json-from-start"),
                             pw_fact_of("input.save-no-mark"));
    }
    for (;;) {
        while (r->at < r->length && is_space(r->text[r->at])) {
            r->at++;
        }
        if (r->at >= r->length) {
            return next == EXPECT_NOTHING
                       ? PW_OK
                       : pw_json_wrong(r, PW_SYNTAX, r->length, pw_fact_of("input.end-of-text"),
                                       pw_fact_of(expect_messages[next]),
                                       pw_fact_of(r->depth > 0 ? "input.bracket-never-closed" : NULL));
        }
        char c = r->text[r->at];
        bool may_end = next == EXPECT_ITEM_OR_END || next == EXPECT_KEY_OR_END || next == EXPECT_COMMA_OR_END;
        pw_status status;
        if (may_end && (c == ']' || c == '}')) {
            status = check_close(r, &next);
        } else if (next == EXPECT_VALUE || next == EXPECT_ITEM_OR_END) {
            status = check_value(r, &next);
        } else {
            status = check_between(r, &next);
        }
        if (status != PW_OK) {
            return status;
        }
    }
}
