/* Words of programs, as C and as structured text spell them. */
#include "control/logic_parts.h"

#include <stdarg.h>
#include <string.h>

static const struct {
    const char *word, *c, *structured;
} words[] = {{"if", "if (", "IF "},
             {"then", ") {", " THEN"},
             {"elsif", "} else if (", "ELSIF "},
             {"else", "} else {", "ELSE"},
             {"end", "}", "END_IF;"},
             {"done", "}", "END_FOR;"},
             {"and", " && ", " AND "},
             {"or", " || ", " OR "},
             {"not", "!", "NOT "},
             {"is", " == ", " = "},
             {"isnt", " != ", " <> "},
             {"set", " = ", " := "},
             {"mod", " % ", " MOD "},
             {"true", "true", "TRUE"},
             {"false", "false", "FALSE"},
             {"Q", ".q", ".Q"},
             {"ET", ".et", ".ET"},
             {"in", "in->", ""},
             {"out", "out->", ""}};
enum { WORDS = sizeof words / sizeof words[0], INDENT = 4 };

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/* The longest word of the table that stands here, behind a $; returns its length. */
static size_t put_word(const logic_pen *p, const char *at)
{
    size_t longest = 0;
    const char *text = "";
    for (int32_t i = 0; i < WORDS; i++) {
        const size_t length = strlen(words[i].word);
        if (length > longest && strncmp(words[i].word, at, length) == 0) {
            longest = length;
            text = p->structured ? words[i].structured : words[i].c;
        }
    }
    pw_text_put(p->out, text);
    return longest;
}

static void put_unsigned(const logic_pen *p, uint32_t number, const char *before)
{
    pw_text_put(p->out, p->structured ? before : "");
    pw_text_int(p->out, number);
    if (!p->structured) {
        pw_text_put(p->out, "u");
    } else if (before[0] != '\0') {
        pw_text_put(p->out, "ms");
    }
}

static void put_form(const logic_pen *p, const char *form, va_list values)
{
    for (const char *at = form; *at != '\0'; at++) {
        if (*at == '$') {
            at += put_word(p, at + 1);
        } else if (*at == '@') {
            pw_text_put(p->out, p->structured ? "" : "c->");
        } else if (*at != '%') {
            pw_text_put_n(p->out, at, 1);
        } else {
            at++;
            switch (*at) {
            case 'd': pw_text_int(p->out, va_arg(values, int32_t)); break;
            case 's': pw_text_put(p->out, va_arg(values, const char *)); break;
            case 't': put_unsigned(p, va_arg(values, uint32_t), "T#"); break;
            default: put_unsigned(p, va_arg(values, uint32_t), ""); break;
            }
        }
    }
}

void logic_put(logic_pen *p, const char *form, ...)
{
    va_list values;
    va_start(values, form);
    put_form(p, form, values);
    va_end(values);
}

void logic_indent(logic_pen *p)
{
    for (int32_t i = 0; i < INDENT * p->depth; i++) {
        pw_text_put(p->out, " ");
    }
}

static bool begins(const char *form, const char *word)
{
    return strncmp(form, word, strlen(word)) == 0;
}

void logic_line(logic_pen *p, const char *form, ...)
{
    const char *then = strstr(form, "$then");
    const bool otherwise = begins(form, "$els");
    p->depth -= begins(form, "$end") || begins(form, "$done") || otherwise ? 1 : 0;
    logic_indent(p);
    va_list values;
    va_start(values, form);
    put_form(p, form, values);
    va_end(values);
    pw_text_put(p->out, "\n");
    p->depth += then != NULL || begins(form, "$else") ? 1 : 0;
}

void logic_for(logic_pen *p, const char *variable, const char *from, int32_t to)
{
    logic_indent(p);
    if (p->structured) {
        logic_put(p, "FOR %s := ", variable);
        logic_put(p, from);
        logic_put(p, " TO %d DO\n", to);
    } else {
        logic_put(p, "for (@%s = ", variable);
        logic_put(p, from);
        logic_put(p, "; @%s <= %d; @%s++) {\n", variable, to, variable);
    }
    p->depth++;
}

void logic_for_below(logic_pen *p, const char *variable, const char *end, int32_t pump)
{
    logic_indent(p);
    logic_put(p, p->structured ? "FOR %s := 0 TO " : "for (@%s = 0; @%s < ", variable, variable);
    logic_put(p, end, pump);
    logic_put(p, p->structured ? " - 1 DO\n" : "; @%s++) {\n", variable);
    p->depth++;
}

void logic_call(logic_pen *p, const char *block, const char *form, ...)
{
    va_list values;
    va_start(values, form);
    logic_indent(p);
    logic_put(p, p->structured ? "" : "%s(&", block);
    put_form(p, form, values);
    pw_text_put(p->out, p->structured ? "(IN := " : ", ");
    va_end(values);
}

void logic_called(logic_pen *p, uint32_t time_ms)
{
    logic_put(p, p->structured ? ", PT := %t);\n" : ", %t, now);\n", time_ms);
}

void logic_restart(logic_pen *p, const char *timer, int32_t pump)
{
    static const char *const in[] = {"$false", "$true"};
    for (int32_t i = 0; i < 2; i++) {
        logic_call(p, "ton", pump >= 0 ? "@%s_%d" : "@%s", timer, pump);
        logic_put(p, in[i]);
        logic_called(p, LOGIC_LONG_MS);
    }
}

void logic_put_name(pw_text *out, const char *name)
{
    bool low = false;
    pw_text_put(out, is_letter(name[0]) ? "" : "x_");
    for (const char *at = name; *at != '\0'; at++) {
        const bool plain = is_letter(*at) || (*at >= '0' && *at <= '9');
        const char one[2] = {plain ? pw_lower(*at) : '_', '\0'};
        if (plain || !low) {
            pw_text_put(out, one);
        }
        low = !plain;
    }
    pw_text_put(out, low ? "x" : "");
}
