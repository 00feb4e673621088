/* A site with some of its numbers changed: the numbers are written into a copy of the sheet's JSON, and that is read.
 * So whatever the reader checks is checked, and whatever follows follows, without a second way through the rules.
 * Only what lies on the way to a number is copied: a list of a thousand flows is shared by both sheets. */
#include <string.h>

#include "site/params.h"
#include "site/table.h"

/* One piece of a path: a key, or an index. */
typedef struct piece {
    char key[PW_PATH_SIZE];
    int32_t index; /* -1: a key */
} piece;

/* The next piece of a path of ours; where the text goes on. The last piece of a fitting may hold any character but
 * those that end a key: no fitting's name has them. */
static const char *next_piece(const char *path, piece *out)
{
    size_t length = 0;
    if (path[0] == '[') {
        out->index = 0;
        for (path++; *path != ']'; path++) {
            out->index = out->index * 10 + (*path - '0');
        }
        return path + 1;
    }
    path += path[0] == '.' ? 1 : 0;
    while (path[length] != '.' && path[length] != '[' && path[length] != '\0') {
        length++;
    }
    memcpy(out->key, path, length);
    out->key[length] = '\0';
    out->index = -1;
    return path + length;
}

static bool is_piece(const pw_json *member, int32_t index, const piece *wanted)
{
    return wanted->index >= 0 ? index == wanted->index : strcmp(member->key, wanted->key) == 0;
}

/* A copy of `from` (NULL: an empty object) in which the piece holds `value`. Members are copied, what they hold is
 * shared. NULL without memory. */
static pw_json *with_piece(pw_arena *arena, const pw_json *from, const piece *wanted, const pw_json *value)
{
    pw_json *copy = PW_NEW(arena, 1, pw_json);
    pw_json *items = PW_NEW(arena, from == NULL ? 1 : from->count + 1, pw_json);
    const char *key = pw_strdup(arena, wanted->key, strlen(wanted->key));
    if (copy == NULL || items == NULL || key == NULL) {
        return NULL;
    }
    *copy = from == NULL ? (pw_json){.kind = PW_JSON_OBJECT} : *from;
    int32_t count = 0;
    bool put = false;
    for (const pw_json *member = copy->first; member != NULL; member = member->next) {
        items[count] = *member;
        if (is_piece(member, count, wanted)) {
            items[count] = *value;
            items[count].key = member->key;
            put = true;
        }
        count++;
    }
    if (!put) {
        items[count] = *value;
        items[count].key = key;
        count++;
    }
    for (int32_t i = 0; i < count; i++) {
        items[i].next = i + 1 < count ? &items[i + 1] : NULL;
    }
    copy->first = items;
    copy->count = count;
    return copy;
}

/* A copy of the sheet in which the path holds the value; NULL without memory. */
static const pw_json *with_value(pw_arena *arena, const pw_json *sheet, const char *path, const pw_json *value)
{
    enum { DEEPEST = 12 }; /* design.uses[0].fixtures.bath has five pieces */
    piece *pieces = PW_NEW(arena, DEEPEST, piece);
    const pw_json *holders[DEEPEST];
    int32_t depth = 0;
    if (pieces == NULL) {
        return NULL;
    }
    for (const char *rest = path; *rest != '\0' && depth < DEEPEST; depth++) {
        rest = next_piece(rest, &pieces[depth]);
    }
    const pw_json *at = sheet;
    for (int32_t i = 0; i < depth; i++) {
        holders[i] = at;
        at = at == NULL             ? NULL
             : pieces[i].index >= 0 ? pw_json_at(at, pieces[i].index)
                                    : pw_json_get(at, pieces[i].key);
    }
    for (int32_t i = depth - 1; i >= 0 && value != NULL; i--) {
        value = with_piece(arena, holders[i], &pieces[i], value);
    }
    return value;
}

/* The text of a sentence with all of its numbers that change. */
static void put_sentence(pw_text *text, const char *sentence, int32_t index, const pw_param_change *changes,
                         int32_t count)
{
    int32_t at = 0;
    for (;;) {
        const pw_param_change *next = NULL;
        for (int32_t i = 0; i < count; i++) {
            const pw_param *param = changes[i].param;
            const bool here = param->form == PW_PARAM_SENTENCE && param->sentence == index && param->at >= at;
            next = here && (next == NULL || param->at < next->param->at) ? &changes[i] : next;
        }
        if (next == NULL) {
            break;
        }
        pw_text_put_n(text, sentence + at, (size_t)(next->param->at - at));
        pw_param_exact(text, next->param, next->si);
        at = next->param->at + next->param->length;
    }
    pw_text_put(text, sentence + at);
}

/* The path of a sentence in this sheet: settings[2].pressure stands in settings[2], or under the key's old name. */
static void sentence_path(const pw_json *sheet, const pw_param *param, char path[PW_PATH_SIZE])
{
    const pw_row *row = NULL;
    const char *bracket = strchr(param->path, '[');
    const size_t length = (size_t)(bracket - param->path);
    for (int32_t i = 0; i < pw_block_site.row_count; i++) {
        const pw_row *one = &pw_block_site.rows[i];
        row = strlen(one->key) == length && strncmp(one->key, param->path, length) == 0 ? one : row;
    }
    const bool was = row != NULL && row->was != NULL && pw_json_get(sheet, row->key) == NULL;
    pw_copy(path, PW_PATH_SIZE, was ? row->was : "");
    pw_copy(path + strlen(path), PW_PATH_SIZE - (int32_t)strlen(path), was ? bracket : param->path);
    *(strchr(path, ']') + 1) = '\0';
}

/* The value that a change puts into the sheet, and its path there. */
static bool put_value(pw_arena *arena, const pw_site *site, const pw_param_change *changes, int32_t count, int32_t i,
                      pw_json *value, char path[PW_PATH_SIZE])
{
    const pw_param *param = changes[i].param;
    const bool plain = param->form == PW_PARAM_COUNT || param->form == PW_PARAM_PATTERN;
    pw_text text;
    pw_text_init(&text, arena);
    pw_copy(path, PW_PATH_SIZE, param->path);
    if (param->form == PW_PARAM_SENTENCE) {
        put_sentence(&text, site->sentences[param->sentence], param->sentence, changes, count);
        sentence_path(site->sheet, param, path);
    } else {
        pw_param_exact(&text, param, changes[i].si);
    }
    *value = (pw_json){.kind = plain ? PW_JSON_NUMBER : PW_JSON_STRING,
                       .string = text.data,
                       .length = text.length,
                       .number = plain ? changes[i].si : 0};
    return !text.failed;
}

/* A number of a sentence is read where sentences are: its bounds are those of its form. */
static pw_status check_sentence(pw_arena *arena, const pw_param_change *change, const char *path, pw_problems *problems)
{
    const pw_param *param = change->param;
    if (change->si >= param->low && change->si <= param->high) {
        return PW_OK;
    }
    const bool count = param->dimension == PW_DIM_NONE;
    pw_text found;
    pw_text_init(&found, arena);
    if (count) {
        pw_text_number(&found, change->si);
    } else {
        pw_quantity_exact(&found, param->dimension, change->si);
    }
    const pw_value low = count ? pw_count((int64_t)param->low) : pw_quantity(param->dimension, param->low);
    const pw_value high = count ? pw_count((int64_t)param->high) : pw_quantity(param->dimension, param->high);
    return pw_problem_tell(problems, PW_RANGE, path, pw_verbatim(found.failed ? "" : found.data),
                           pw_fact_of(count ? "sheet.whole-number" : "sheet.from-to", low, high), pw_no_fact());
}

/* What the reader could not see: a time of day has no words outside its day. */
static pw_status check_bounds(pw_arena *arena, const pw_param_change *change, const char *base_path,
                              pw_problems *problems)
{
    const pw_param *param = change->param;
    const bool clock = param->form == PW_PARAM_CLOCK || param->form == PW_PARAM_WINDOW || param->clock;
    const bool finite = pw_is_finite(change->si);
    const bool whole = !param->whole || (finite && pw_floor(change->si) == change->si);
    const bool based = base_path != NULL && base_path[0] != '\0';
    char path[PW_WORDS_SIZE];
    pw_say(path, based ? base_path : "", based ? "." : "", param->path, NULL);
    if (param->form == PW_PARAM_SENTENCE && finite && whole && !clock) {
        return check_sentence(arena, change, path, problems);
    }
    if (finite && whole && !(clock && (change->si < param->low || change->si > param->high))) {
        return PW_OK;
    }
    char found[40];
    pw_num_text(finite ? change->si : 0, found);
    return pw_problem_tell(problems, PW_RANGE, path, finite ? pw_verbatim(found) : pw_fact_of("input.no-finite-number"),
                           pw_fact_of(clock   ? "input.clock-seconds"
                                      : whole ? "input.kind-number"
                                              : "input.a-whole-number"),
                           pw_no_fact());
}

pw_status pw_site_change(pw_arena *arena, const pw_site *site, const pw_param_change *changes, int32_t count,
                         const char *base_path, pw_site **out, pw_problems *problems)
{
    const pw_json *sheet = site->sheet;
    pw_status status = PW_OK;
    *out = NULL;
    for (int32_t i = 0; i < count; i++) {
        const pw_status bounds = check_bounds(arena, &changes[i], base_path, problems);
        status = status == PW_OK ? bounds : status;
    }
    for (int32_t i = 0; i < count && status == PW_OK; i++) {
        pw_json value;
        char path[PW_PATH_SIZE];
        const bool put = put_value(arena, site, changes, count, i, &value, path);
        sheet = put ? with_value(arena, sheet, path, &value) : NULL;
        if (sheet == NULL) {
            return pw_problem_add(problems, PW_MEMORY, base_path, "", "", "");
        }
    }
    return status == PW_OK ? pw_site_read(arena, sheet, base_path, out, problems) : status;
}
