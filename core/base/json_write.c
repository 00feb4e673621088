/* JSON writer: keeps track of commas, indents and escapes. What it writes, the reader reads. */
#include "base/json_inside.h"

#include <assert.h>
#include <string.h>

void pw_json_writer_init(pw_json_writer *writer, pw_text *text, int32_t indent)
{
    *writer = (pw_json_writer){.text = text, .indent = indent};
    writer->first[0] = true;
}

static void new_line(pw_json_writer *writer)
{
    if (writer->indent > 0) {
        pw_text_put(writer->text, "\n");
        for (int32_t i = 0; i < writer->depth * writer->indent; i++) {
            pw_text_put_n(writer->text, " ", 1);
        }
    }
}

static void put_control(pw_text *text, unsigned char c)
{
    static const char hex[] = "0123456789abcdef";
    char escape[7] = "\\u0000";
    escape[4] = hex[c >> 4];
    escape[5] = hex[c & 15u];
    pw_text_put(text, escape);
}

/* A byte that is no UTF-8 becomes U+FFFD, so that the output is always JSON. */
static void put_quoted(pw_text *text, const char *value)
{
    const unsigned char *p = (const unsigned char *)value;
    pw_text_put(text, "\"");
    while (*p) {
        size_t plain = 0;
        while (p[plain] >= 0x20 && p[plain] < 0x80 && p[plain] != '"' && p[plain] != '\\') {
            plain++;
        }
        if (plain > 0) {
            pw_text_put_n(text, (const char *)p, plain);
            p += plain;
            continue;
        }
        size_t n = pw_utf8_length((const char *)p, 4); /* the NUL at the end stops a cut character */
        switch (*p) {
        case '"': pw_text_put(text, "\\\""); break;
        case '\\': pw_text_put(text, "\\\\"); break;
        case '\n': pw_text_put(text, "\\n"); break;
        case '\r': pw_text_put(text, "\\r"); break;
        case '\t': pw_text_put(text, "\\t"); break;
        default:
            if (n == 0) {
                pw_text_put(text, "\xEF\xBF\xBD");
            } else if (n == 1) {
                put_control(text, *p);
            } else {
                pw_text_put_n(text, (const char *)p, n);
            }
            break;
        }
        p += n > 0 ? n : 1;
    }
    pw_text_put(text, "\"");
}

/* Everything that stands before a value: comma, new line, key. */
static void before(pw_json_writer *writer, const char *key)
{
    if (!writer->first[writer->depth]) {
        pw_text_put(writer->text, ",");
    }
    writer->first[writer->depth] = false;
    if (writer->depth > 0) {
        new_line(writer);
    }
    if (key) {
        put_quoted(writer->text, key);
        pw_text_put(writer->text, writer->indent > 0 ? ": " : ":");
    }
}

void pw_json_open(pw_json_writer *writer, const char *key, char bracket)
{
    assert(bracket == '{' || bracket == '[');
    assert(writer->depth < PW_MAX_JSON_DEPTH);
    before(writer, key);
    pw_text_put_n(writer->text, &bracket, 1);
    writer->depth++;
    writer->first[writer->depth] = true;
}

void pw_json_close(pw_json_writer *writer, char bracket)
{
    assert(bracket == '}' || bracket == ']');
    assert(writer->depth > 0);
    bool empty = writer->first[writer->depth];
    writer->depth--;
    if (!empty) {
        new_line(writer);
    }
    pw_text_put_n(writer->text, &bracket, 1);
}

void pw_json_string(pw_json_writer *writer, const char *key, const char *value)
{
    before(writer, key);
    if (value) {
        put_quoted(writer->text, value);
    } else {
        pw_text_put(writer->text, "null");
    }
}

void pw_json_number(pw_json_writer *writer, const char *key, double value)
{
    before(writer, key);
    pw_text_number(writer->text, value);
}

void pw_json_int(pw_json_writer *writer, const char *key, int64_t value)
{
    before(writer, key);
    pw_text_int(writer->text, value);
}

void pw_json_bool(pw_json_writer *writer, const char *key, bool value)
{
    before(writer, key);
    pw_text_put(writer->text, value ? "true" : "false");
}

void pw_json_null(pw_json_writer *writer, const char *key)
{
    before(writer, key);
    pw_text_put(writer->text, "null");
}

static void write_scalar(pw_json_writer *writer, const char *key, const pw_json *value)
{
    switch (value->kind) {
    case PW_JSON_BOOL: pw_json_bool(writer, key, value->truth); break;
    case PW_JSON_NUMBER: pw_json_number(writer, key, value->number); break;
    case PW_JSON_STRING: pw_json_string(writer, key, value->string); break;
    default: pw_json_null(writer, key); break;
    }
}

/* Walks the tree with its own stack; a tree is never deeper than the reader allows. */
void pw_json_value(pw_json_writer *writer, const char *key, const pw_json *value)
{
    const pw_json *stack[PW_MAX_JSON_DEPTH + 1];
    int32_t depth = 0;
    stack[0] = value;
    while (depth >= 0) {
        const pw_json *now = stack[depth];
        bool nested = now->kind == PW_JSON_OBJECT || now->kind == PW_JSON_ARRAY;
        const char *name = depth == 0 ? key : now->key;
        if (nested && writer->depth >= PW_MAX_JSON_DEPTH) {
            writer->text->failed =
                true; /* deeper than the reader would take: better no answer than an unreadable one */
            return;
        }
        if (nested) {
            pw_json_open(writer, name, now->kind == PW_JSON_OBJECT ? '{' : '[');
        } else {
            write_scalar(writer, name, now);
        }
        if (nested && now->first) {
            depth++;
            stack[depth] = now->first;
            continue;
        }
        if (nested) {
            pw_json_close(writer, now->kind == PW_JSON_OBJECT ? '}' : ']');
        }
        /* on to the next, closing what is finished */
        while (depth > 0 && stack[depth]->next == NULL) {
            depth--;
            pw_json_close(writer, stack[depth]->kind == PW_JSON_OBJECT ? '}' : ']');
        }
        if (depth == 0) {
            return;
        }
        stack[depth] = stack[depth]->next;
    }
}
