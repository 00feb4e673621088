/* JSON reader. Three passes over the text, none of them recursive:
 *   check  (json_check.c) strict grammar, so that every mistake is told with line and column; counts what must be
 * stored split  jsmn cuts the checked text into tokens build  tokens become a tree of pw_json jsmn alone is lax (it
 * passes bare words, missing colons and doubled commas), hence the first pass.
 */
#include "base/json_inside.h"

#include <assert.h>
#include <string.h>

#include "base/num.h"

#define JSMN_STATIC
#define JSMN_PARENT_LINKS /* without them a long list takes quadratic time */
#if defined(__GNUC__)
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wconversion"
#pragma GCC diagnostic ignored "-Wsign-compare"
#endif
#include <jsmn.h>
#if defined(__GNUC__)
#pragma GCC diagnostic pop
#endif

typedef pw_json_check reader;

/* ---- build ---- */

static char *put_code_point(char *out, int32_t code)
{
    uint32_t c = (uint32_t)code;
    size_t n = pw_utf8_size(code);
    if (n == 1) {
        out[0] = (char)c;
        return out + 1;
    }
    static const uint32_t lead[5] = {0, 0, 0xC0u, 0xE0u, 0xF0u};
    for (size_t i = n - 1; i > 0; i--) {
        out[i] = (char)(0x80u | (c & 0x3Fu));
        c >>= 6;
    }
    out[0] = (char)(lead[n] | c);
    return out + n;
}

/* Decode the checked inside of a text into out; returns the byte behind the NUL. */
static char *decode(const char *p, size_t length, char *out)
{
    static const char from[] = "\"\\/bfnrt", to[] = "\"\\/\b\f\n\r\t";
    size_t i = 0;
    while (i < length) {
        if (p[i] != '\\') {
            *out = p[i];
            out++;
            i++;
        } else if (p[i + 1] == 'u') {
            size_t used;
            int32_t code = pw_json_unicode(p + i, length - i, &used);
            out = put_code_point(out, code);
            i += used;
        } else {
            *out = to[strchr(from, p[i + 1]) - from];
            out++;
            i += 2;
        }
    }
    *out = '\0';
    return out + 1;
}

typedef struct builder {
    reader *r;
    pw_json *values;
    int32_t value_count;
    char *strings;
    size_t at; /* byte whose line and column are these */
    int32_t line, column;
    int32_t depth;
    pw_json *open[PW_MAX_JSON_DEPTH];
    pw_json *last[PW_MAX_JSON_DEPTH]; /* last child of it so far */
    size_t end[PW_MAX_JSON_DEPTH];
    const char *key;
} builder;

static void move_to(builder *b, size_t at)
{
    for (; b->at < at; b->at++) {
        unsigned char c = (unsigned char)b->r->text[b->at];
        if (c == '\n') {
            b->line++;
            b->column = 1;
        } else if ((c & 0xC0u) != 0x80u) {
            b->column++;
        }
    }
}

static void hang(builder *b, pw_json *value)
{
    if (b->depth == 0) {
        return;
    }
    pw_json *parent = b->open[b->depth - 1];
    value->key = b->key;
    b->key = NULL;
    parent->count++;
    if (b->last[b->depth - 1]) {
        b->last[b->depth - 1]->next = value;
    } else {
        parent->first = value;
    }
    b->last[b->depth - 1] = value;
}

static void fill_scalar(builder *b, pw_json *value, const jsmntok_t *token)
{
    const char *p = b->r->text + token->start;
    size_t n = (size_t)(token->end - token->start);
    if (token->type == JSMN_STRING) {
        value->kind = PW_JSON_STRING;
        value->string = b->strings;
        b->strings = decode(p, n, b->strings);
        value->length = (size_t)(b->strings - value->string) - 1;
    } else if (p[0] == 't' || p[0] == 'f') {
        value->kind = PW_JSON_BOOL;
        value->truth = p[0] == 't';
    } else if (p[0] == 'n') {
        value->kind = PW_JSON_NULL;
    } else {
        value->kind = PW_JSON_NUMBER;
        pw_num_read(p, n, &value->number);
        memcpy(b->strings, p, n);
        b->strings[n] = '\0';
        value->string = b->strings;
        value->length = n;
        b->strings += n + 1;
    }
}

static void build_token(builder *b, const jsmntok_t *token)
{
    size_t begin = (size_t)token->start - (token->type == JSMN_STRING ? 1 : 0);
    while (b->depth > 0 && begin >= b->end[b->depth - 1]) {
        b->depth--;
    }
    bool wants_key = b->depth > 0 && b->open[b->depth - 1]->kind == PW_JSON_OBJECT && b->key == NULL;
    if (wants_key) {
        b->key = b->strings;
        b->strings = decode(b->r->text + token->start, (size_t)(token->end - token->start), b->strings);
        return;
    }
    pw_json *value = &b->values[b->value_count];
    b->value_count++;
    move_to(b, begin);
    value->line = b->line;
    value->column = b->column;
    hang(b, value);
    if (token->type == JSMN_OBJECT || token->type == JSMN_ARRAY) {
        value->kind = token->type == JSMN_OBJECT ? PW_JSON_OBJECT : PW_JSON_ARRAY;
        b->open[b->depth] = value;
        b->last[b->depth] = NULL;
        b->end[b->depth] = (size_t)token->end;
        b->depth++;
    } else {
        fill_scalar(b, value, token);
    }
}

/* ---- doubled keys ---- */

/* Order by key, then by place, so that the later of two equal keys is the one reported. */
static bool key_before(const pw_json *a, const pw_json *b)
{
    int settings = strcmp(a->key, b->key);
    return settings != 0 ? settings < 0 : a < b;
}

static void sift(const pw_json **heap, int32_t root, int32_t count)
{
    for (;;) {
        int32_t child = 2 * root + 1;
        if (child >= count) {
            return;
        }
        if (child + 1 < count && key_before(heap[child], heap[child + 1])) {
            child++;
        }
        if (!key_before(heap[root], heap[child])) {
            return;
        }
        const pw_json *swap = heap[root];
        heap[root] = heap[child];
        heap[child] = swap;
        root = child;
    }
}

static void sort_by_key(const pw_json **list, int32_t count)
{
    for (int32_t i = count / 2 - 1; i >= 0; i--) {
        sift(list, i, count);
    }
    for (int32_t i = count - 1; i > 0; i--) {
        const pw_json *swap = list[0];
        list[0] = list[i];
        list[i] = swap;
        sift(list, 0, i);
    }
}

/* scratch holds as many pointers as there are values. */
static pw_status check_keys(reader *r, const pw_json *object, const pw_json **scratch)
{
    int32_t count = 0;
    for (const pw_json *member = object->first; member; member = member->next) {
        scratch[count] = member;
        count++;
    }
    sort_by_key(scratch, count);
    for (int32_t i = 1; i < count; i++) {
        if (strcmp(scratch[i - 1]->key, scratch[i]->key) == 0) {
            int32_t kept = r->problems ? r->problems->count : 0;
            pw_problem_tell(r->problems, PW_DUPLICATE, "", pw_verbatim(scratch[i]->key), pw_fact_of("input.key-once"),
                            pw_fact_of("input.second-place"));
            if (r->problems && r->problems->count > kept) {
                r->problems->items[kept].line = scratch[i]->line;
                r->problems->items[kept].column = scratch[i]->column;
            }
            return PW_DUPLICATE;
        }
    }
    return PW_OK;
}

static pw_status out_of_memory(reader *r)
{
    return pw_json_wrong(r, PW_MEMORY, 0, pw_fact_of("input.text-too-large"), pw_fact_of("input.more-memory"),
                         pw_no_fact());
}

/* Split the checked text and build; scratch memory is given back by the caller. */
static pw_status split_and_build(pw_arena *arena, reader *r, pw_json *values, char *strings)
{
    jsmntok_t *tokens = PW_NEW(arena, r->token_count, jsmntok_t);
    const pw_json **scratch = PW_NEW(arena, r->value_count, const pw_json *);
    if (!tokens || !scratch) {
        return out_of_memory(r);
    }
    jsmn_parser parser;
    jsmn_init(&parser);
    int split = jsmn_parse(&parser, r->text, r->length, tokens, (unsigned)r->token_count);
    if (split != r->token_count) {
        /* cannot happen after the check; refused rather than trusted */
        return pw_json_wrong(r, PW_SYNTAX, 0, pw_fact_of("input.other-pieces"), pw_verbatim("JSON"), pw_no_fact());
    }
    builder b = {.r = r, .values = values, .strings = strings, .line = 1, .column = 1};
    for (int32_t i = 0; i < r->token_count; i++) {
        build_token(&b, &tokens[i]);
    }
    assert(b.value_count == r->value_count);
    assert((size_t)(b.strings - strings) == r->string_bytes);
    for (int32_t i = 0; i < r->value_count; i++) {
        if (values[i].kind == PW_JSON_OBJECT && values[i].count > 1) {
            pw_status status = check_keys(r, &values[i], scratch);
            if (status != PW_OK) {
                return status;
            }
        }
    }
    return PW_OK;
}

size_t pw_json_room(const char *text, size_t length)
{
    enum { ALIGNING = 4 * 64 }; /* of the four lists, generously */
    reader r = {.text = text, .length = length};
    if (length > PW_MAX_INPUT || pw_json_check_text(&r) != PW_OK) {
        return 0;
    }
    return (size_t)r.value_count * (sizeof(pw_json) + sizeof(const pw_json *)) +
           (size_t)r.token_count * sizeof(jsmntok_t) + r.string_bytes + 1 + ALIGNING;
}

pw_status pw_json_read(pw_arena *arena, const char *text, size_t length, const pw_json **out, pw_problems *problems)
{
    reader r = {.text = text, .length = length, .problems = problems};
    *out = NULL;
    if (length > PW_MAX_INPUT) {
        return pw_json_wrong(&r, PW_LIMIT, 0, pw_fact_of("input.over-32-mib"), pw_fact_of("input.at-most-32-mib"),
                             pw_no_fact());
    }
    pw_status status = pw_json_check_text(&r);
    if (status != PW_OK) {
        return status;
    }
    size_t start = pw_arena_mark(arena);
    pw_json *values = PW_NEW(arena, r.value_count, pw_json);
    char *strings = PW_NEW(arena, r.string_bytes + 1, char);
    if (!values || !strings) {
        pw_arena_back(arena, start);
        return out_of_memory(&r);
    }
    size_t scratch = pw_arena_mark(arena);
    status = split_and_build(arena, &r, values, strings);
    pw_arena_back(arena, status == PW_OK ? scratch : start);
    if (status == PW_OK) {
        *out = values;
    }
    return status;
}

const pw_json *pw_json_get(const pw_json *value, const char *key)
{
    if (!value || value->kind != PW_JSON_OBJECT) {
        return NULL;
    }
    const pw_json *member = value->first;
    while (member && strcmp(member->key, key) != 0) {
        member = member->next;
    }
    return member;
}

const pw_json *pw_json_at(const pw_json *value, int32_t index)
{
    if (!value || value->kind != PW_JSON_ARRAY || index < 0) {
        return NULL;
    }
    const pw_json *item = value->first;
    for (int32_t i = 0; i < index && item; i++) {
        item = item->next;
    }
    return item;
}

const char *pw_json_kind_message(pw_json_kind kind)
{
    static const char *const ids[] = {"input.kind-null", "input.kind-truth", "input.kind-number",
                                      "input.kind-text", "input.kind-list",  "input.kind-object"};
    assert(kind >= PW_JSON_NULL && kind <= PW_JSON_OBJECT);
    return ids[kind];
}
