/* YAML to JSON, on libyaml's events. See yaml.h. */
#include "adapt/yaml.h"

#include <assert.h>
#include <string.h>
#include <yaml.h>

#include "adapt/yaml_inside.h"
#include "base/json.h"
#include "base/num.h"

/* Keys in one mapping are compared with each other; a site sheet has about 20. */
enum { MOST_KEYS = 256 };

/* One key with its value, or one list item. */
typedef struct pw_yaml_node {
    const char *key; /* NULL for a list item */
    int32_t line, column;
    int32_t from_line, from_column, to_line, to_column; /* of its value, a scalar; else 0 */
    bool mapping, flow;
    struct pw_yaml_node *first, *last, *next;
} pw_yaml_node;

typedef struct frame {
    pw_yaml_node *node;
    bool mapping;
    int32_t count;        /* keys of a mapping so far */
    pw_yaml_node *member; /* key that waits for its value */
} frame;

typedef struct converter {
    pw_arena *arena;
    pw_problems *problems;
    pw_json_writer writer;
    pw_yaml_node *root;
    frame stack[PW_MAX_JSON_DEPTH];
    int32_t depth;
    int32_t documents;
    bool failed, over;
    pw_status status;
} converter;

/* Messages of the catalogue by their ids; "": nothing is told. */
static pw_fact told(const char *id)
{
    return id[0] != '\0' ? pw_fact_of(id) : pw_no_fact();
}

static pw_status add(pw_problems *problems, pw_status status, int32_t line, int32_t column, pw_fact found,
                     const char *expected, const char *hint)
{
    int32_t before = problems == NULL ? 0 : problems->count;
    pw_problem_tell(problems, status, "", found, told(expected), told(hint));
    if (problems != NULL && problems->count > before) {
        problems->items[problems->count - 1].line = line;
        problems->items[problems->count - 1].column = column;
    }
    return status;
}

static void fail_at(converter *state, pw_status status, yaml_mark_t mark, pw_fact found, const char *expected,
                    const char *hint)
{
    state->failed = true;
    state->status =
        add(state->problems, status, (int32_t)mark.line + 1, (int32_t)mark.column + 1, found, expected, hint);
}

static void fail(converter *state, pw_status status, yaml_mark_t mark, const char *found, const char *expected,
                 const char *hint)
{
    fail_at(state, status, mark, told(found), expected, hint);
}

static void fail_memory(converter *state)
{
    state->failed = true;
    state->status = add(state->problems, PW_MEMORY, 0, 0, pw_no_fact(), "", "");
}

/* ---- the bytes ---- */

/* Length of the UTF-8 character at text, 0 when it is none that YAML allows. */
static size_t character(const unsigned char *text, size_t left)
{
    static const uint32_t least[5] = {0, 0, 0x80, 0x800, 0x10000};
    if (text[0] < 0x80) {
        return text[0] >= 0x20 ? text[0] != 0x7f : text[0] == '\t' || text[0] == '\n' || text[0] == '\r';
    }
    size_t length = text[0] >= 0xf0 ? 4 : text[0] >= 0xe0 ? 3 : 2;
    if (text[0] < 0xc2 || text[0] > 0xf4 || length > left) {
        return 0;
    }
    uint32_t code = text[0] & (0xffu >> (length + 1));
    for (size_t i = 1; i < length; i++) {
        if ((text[i] & 0xc0) != 0x80) {
            return 0;
        }
        code = code << 6 | (text[i] & 0x3fu);
    }
    bool allowed = code == 0x85 || (code >= 0xa0 && code <= 0xd7ff) ||
                   (code >= 0xe000 && code <= 0xfffd && code != 0xfeff) || (code >= 0x10000 && code <= 0x10ffff);
    return allowed && code >= least[length] ? length : 0;
}

static pw_status check_bytes(const char *text, size_t length, pw_problems *problems)
{
    int32_t line = 1;
    int32_t column = 1;
    if (length > PW_MAX_INPUT) {
        return add(problems, PW_LIMIT, 0, 0, told("input.over-32-mib"), "adapt.a-sheet", "");
    }
    for (size_t i = 0; i < length;) {
        const unsigned char *at = (const unsigned char *)text + i;
        size_t bytes = character(at, length - i);
        if (bytes == 0) {
            bool control = at[0] < 0x80;
            return add(problems, PW_SYNTAX, line, column, told(control ? "adapt.control-character" : "adapt.not-utf8"),
                       "input.utf8", control ? "adapt.remove-it" : "input.save-utf8");
        }
        bool end = at[0] == '\n' || (at[0] == '\r' && (i + 1 >= length || at[1] != '\n'));
        line += end;
        column = end ? 1 : column + 1;
        i += bytes;
    }
    return PW_OK;
}

/* ---- the events ---- */

static pw_yaml_node *new_node(converter *state, pw_yaml_node *parent, yaml_mark_t mark)
{
    pw_yaml_node *node = PW_NEW(state->arena, 1, pw_yaml_node);
    if (node == NULL) {
        fail_memory(state);
        return NULL;
    }
    node->line = (int32_t)mark.line + 1;
    node->column = (int32_t)mark.column + 1;
    if (parent != NULL && parent->last != NULL) {
        parent->last->next = node;
    } else if (parent != NULL) {
        parent->first = node;
    }
    if (parent != NULL) {
        parent->last = node;
    }
    return node;
}

static frame *top(converter *state)
{
    return state->depth > 0 ? &state->stack[state->depth - 1] : NULL;
}

static void read_key(converter *state, frame *mapping, const yaml_event_t *event)
{
    const char *key = (const char *)event->data.scalar.value;
    size_t length = event->data.scalar.length;
    bool plain = event->data.scalar.style == YAML_PLAIN_SCALAR_STYLE;
    if (plain && strcmp(key, "<<") == 0) {
        fail(state, PW_UNSUPPORTED, event->start_mark, "adapt.merge-key", "adapt.plain-keys", "adapt.write-keys-out");
        return;
    }
    if (length == 0 || memchr(key, '\0', length) != NULL) {
        fail(state, PW_SYNTAX, event->start_mark, "adapt.empty-key", "adapt.key-before-colon", "");
        return;
    }
    for (const pw_yaml_node *other = mapping->node->first; other != NULL; other = other->next) {
        if (strcmp(other->key, key) == 0) {
            fail_at(state, PW_DUPLICATE, event->start_mark, pw_verbatim(key), "adapt.key-once", "adapt.given-before");
            return;
        }
    }
    if (mapping->count >= MOST_KEYS) {
        fail(state, PW_LIMIT, event->start_mark, "adapt.most-keys", "adapt.fewer-keys", "");
        return;
    }
    mapping->count++;
    mapping->member = new_node(state, mapping->node, event->start_mark);
    if (mapping->member != NULL) {
        mapping->member->key = pw_strdup(state->arena, key, length);
        if (mapping->member->key == NULL) {
            fail_memory(state);
        }
    }
}

/* The node of a value that begins here, and its key; NULL when that failed. */
static pw_yaml_node *value_node(converter *state, const yaml_event_t *event, const char **key)
{
    frame *parent = top(state);
    *key = NULL;
    if (parent == NULL) {
        state->root = new_node(state, NULL, event->start_mark);
        return state->root;
    }
    if (!parent->mapping) {
        return new_node(state, parent->node, event->start_mark);
    }
    pw_yaml_node *member = parent->member;
    parent->member = NULL;
    *key = member->key;
    return member;
}

static bool is_word(const char *text, const char *word)
{
    while (*word != '\0' && (*text == *word || *text == *word - 'a' + 'A')) {
        text++;
        word++;
    }
    return *text == '\0' && *word == '\0';
}

static void write_plain(converter *state, const char *key, const char *text, size_t length)
{
    double number = 0;
    bool yes = is_word(text, "yes") || is_word(text, "true");
    bool no = is_word(text, "no") || is_word(text, "false");
    if (length == 0) {
        pw_json_null(&state->writer, key);
    } else if (yes || no) {
        pw_json_bool(&state->writer, key, yes);
    } else if (pw_num_read(text, length, &number) == length) {
        pw_json_number(&state->writer, key, number);
    } else {
        pw_json_string(&state->writer, key, text);
    }
}

static void read_scalar(converter *state, yaml_event_t *event)
{
    frame *parent = top(state);
    if (parent != NULL && parent->mapping && parent->member == NULL) {
        read_key(state, parent, event);
        return;
    }
    const char *key = NULL;
    pw_yaml_node *node = value_node(state, event, &key);
    if (node == NULL) {
        return;
    }
    node->from_line = (int32_t)event->start_mark.line + 1;
    node->from_column = (int32_t)event->start_mark.column + 1;
    node->to_line = (int32_t)event->end_mark.line + 1;
    node->to_column = (int32_t)event->end_mark.column + 1;
    char *text = (char *)event->data.scalar.value;
    size_t length = event->data.scalar.length;
    yaml_scalar_style_t style = event->data.scalar.style;
    if (memchr(text, '\0', length) != NULL) {
        fail(state, PW_SYNTAX, event->start_mark, "adapt.zero-in-text", "adapt.without-it", "");
    } else if (style == YAML_PLAIN_SCALAR_STYLE) {
        write_plain(state, key, text, length);
    } else {
        bool block = style == YAML_LITERAL_SCALAR_STYLE || style == YAML_FOLDED_SCALAR_STYLE;
        while (block && length > 0 &&
               text[length - 1] == '\n') { /* the last line break is the block's, not the text's */
            length--;
            text[length] = '\0';
        }
        pw_json_string(&state->writer, key, text);
    }
}

static void open_collection(converter *state, const yaml_event_t *event, bool mapping)
{
    frame *parent = top(state);
    if (parent != NULL && parent->mapping && parent->member == NULL) {
        fail(state, PW_UNSUPPORTED, event->start_mark, "adapt.list-as-key", "adapt.word-before-colon", "");
        return;
    }
    if (state->depth >= PW_MAX_JSON_DEPTH) {
        fail(state, PW_LIMIT, event->start_mark, "adapt.too-deep", "adapt.sheet-depth", "");
        return;
    }
    const char *key = NULL;
    pw_yaml_node *node = value_node(state, event, &key);
    if (node != NULL) {
        node->mapping = mapping;
        node->flow = mapping && event->data.mapping_start.style == YAML_FLOW_MAPPING_STYLE;
        pw_json_open(&state->writer, key, mapping ? '{' : '[');
        state->stack[state->depth] = (frame){.node = node, .mapping = mapping};
        state->depth++;
    }
}

static void close_collection(converter *state, bool mapping)
{
    pw_json_close(&state->writer, mapping ? '}' : ']');
    state->depth--;
}

/* Anchors and tags can stand on every kind of node. */
static bool plain_node(converter *state, const yaml_event_t *event)
{
    const yaml_char_t *anchor = NULL;
    const yaml_char_t *tag = NULL;
    if (event->type == YAML_SCALAR_EVENT) {
        anchor = event->data.scalar.anchor;
        tag = event->data.scalar.tag;
    } else if (event->type == YAML_SEQUENCE_START_EVENT) {
        anchor = event->data.sequence_start.anchor;
        tag = event->data.sequence_start.tag;
    } else if (event->type == YAML_MAPPING_START_EVENT) {
        anchor = event->data.mapping_start.anchor;
        tag = event->data.mapping_start.tag;
    } else if (event->type == YAML_ALIAS_EVENT) {
        anchor = event->data.alias.anchor;
    }
    if (anchor != NULL) {
        fail(state, PW_UNSUPPORTED, event->start_mark,
             event->type == YAML_ALIAS_EVENT ? "adapt.an-alias" : "adapt.an-anchor", "adapt.values-written-out",
             "adapt.quote-anchor");
    } else if (tag != NULL) {
        fail(state, PW_UNSUPPORTED, event->start_mark, "adapt.a-tag", "adapt.no-tags", "adapt.quote-tag");
    }
    return anchor == NULL && tag == NULL;
}

static void take_event(converter *state, yaml_event_t *event)
{
    if (!plain_node(state, event)) {
        return;
    }
    switch (event->type) {
    case YAML_DOCUMENT_START_EVENT:
        state->documents++;
        if (state->documents > 1) {
            fail(state, PW_UNSUPPORTED, event->start_mark, "adapt.second-document", "adapt.one-document",
                 "adapt.remove-dashes");
        }
        break;
    case YAML_SCALAR_EVENT: read_scalar(state, event); break;
    case YAML_SEQUENCE_START_EVENT: open_collection(state, event, false); break;
    case YAML_MAPPING_START_EVENT: open_collection(state, event, true); break;
    case YAML_SEQUENCE_END_EVENT: close_collection(state, false); break;
    case YAML_MAPPING_END_EVENT: close_collection(state, true); break;
    case YAML_STREAM_END_EVENT: state->over = true; break;
    default: break;
    }
}

static void parser_failed(converter *state, const yaml_parser_t *parser, const char *text, size_t length)
{
    if (parser->error == YAML_MEMORY_ERROR) {
        fail_memory(state);
        return;
    }
    yaml_mark_t mark = parser->problem_mark;
    bool tab = mark.index < length &&
               text[mark.index] == '\t'; /* index counts characters: right for a sheet in ASCII before it */
    fail(state, PW_SYNTAX, mark, tab ? "adapt.a-tab" : pw_yaml_message(parser->problem), "adapt.well-formed",
         tab ? "adapt.no-tabs" : pw_yaml_context(parser->context));
}

static void run(converter *state, yaml_parser_t *parser, const char *text, size_t length)
{
    while (!state->failed && !state->over) {
        yaml_event_t event;
        if (!yaml_parser_parse(parser, &event)) {
            parser_failed(state, parser, text, length);
            return;
        }
        take_event(state, &event);
        yaml_event_delete(&event);
    }
}

pw_status pw_yaml_to_json(pw_arena *arena, const char *text, size_t length, pw_text *json, pw_yaml_map *map,
                          pw_problems *problems)
{
    map->root = NULL;
    pw_text_init(json, arena);
    if (length >= 3 && memcmp(text, "\xef\xbb\xbf", 3) == 0) { /* byte order mark */
        text += 3;
        length -= 3;
    }
    pw_status status = check_bytes(text, length, problems);
    if (status != PW_OK) {
        return status;
    }
    yaml_parser_t parser;
    if (!yaml_parser_initialize(&parser)) {
        return add(problems, PW_MEMORY, 0, 0, pw_no_fact(), "", "");
    }
    yaml_parser_set_encoding(&parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&parser, (const unsigned char *)text, length);
    converter state = {.arena = arena, .problems = problems};
    pw_json_writer_init(&state.writer, json, 0);
    run(&state, &parser, text, length);
    yaml_parser_delete(&parser);
    if (!state.failed && json->failed) {
        fail_memory(&state);
    }
    if (!state.failed && state.documents == 0) {
        state.failed = true;
        state.status = add(problems, PW_MISSING, 1, 1, told("adapt.nothing"), "adapt.a-sheet", "");
    }
    if (state.failed) {
        pw_text_init(json, arena);
        return state.status;
    }
    map->root = state.root;
    return PW_OK;
}

/* ---- places ---- */

/* Does the path go on with this key? Returns the bytes it takes, 0 for no. */
static size_t key_at(const char *path, const char *key)
{
    size_t length = strlen(key);
    bool same = strncmp(path, key, length) == 0;
    char after = same ? path[length] : '?';
    return after == '\0' || after == '.' || after == '[' ? length : 0;
}

static const pw_yaml_node *step(const pw_yaml_node *node, const char **path)
{
    const char *at = *path;
    if (*at == '[') {
        int32_t index = 0;
        for (at++; *at >= '0' && *at <= '9' && index < 100000000; at++) {
            index = index * 10 + (*at - '0');
        }
        bool list = node->first != NULL && node->first->key == NULL;
        const pw_yaml_node *item = list && *at == ']' ? node->first : NULL; /* a path may have been cut */
        for (; item != NULL && index > 0; index--) {
            item = item->next;
        }
        *path = at + (*at == ']');
        return item;
    }
    at += *at == '.';
    const pw_yaml_node *best = NULL;
    size_t most = 0; /* keys may hold points: the longest that fits is meant */
    for (const pw_yaml_node *child = node->first; child != NULL && child->key != NULL; child = child->next) {
        size_t length = key_at(at, child->key);
        if (length > most) {
            most = length;
            best = child;
        }
    }
    *path = at + most;
    return best;
}

bool pw_yaml_value(const pw_yaml_map *map, const char *path, pw_yaml_span *out)
{
    const pw_yaml_node *node = map != NULL ? map->root : NULL;
    while (node != NULL && *path != '\0') {
        node = step(node, &path);
    }
    if (node == NULL) {
        return false;
    }
    *out = (pw_yaml_span){.line = node->from_line,
                          .column = node->from_column,
                          .end_line = node->to_line,
                          .end_column = node->to_column,
                          .scalar = node->from_line > 0,
                          .mapping = node->mapping,
                          .flow = node->flow};
    if (node->mapping && node->first != NULL) {
        out->first_line = node->first->line;
        out->first_column = node->first->column;
    }
    return true;
}

bool pw_yaml_where(const pw_yaml_map *map, const char *path, int32_t *line, int32_t *column)
{
    if (map == NULL || map->root == NULL) {
        return false;
    }
    const pw_yaml_node *node = map->root;
    while (*path != '\0') {
        const pw_yaml_node *next = step(node, &path);
        if (next == NULL) {
            break;
        }
        node = next;
    }
    *line = node->line;
    *column = node->column;
    return true;
}
