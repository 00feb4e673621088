/* Lists of problems: from readers of the core, and from answers of the door. */
#include <stdlib.h>
#include <string.h>

#include "adapt/doorway.h"
#include "base/json.h"
#include "library/inside.h"
#include "say/problem.h"

struct pumpwright_problems {
    int32_t count, lost;
    int32_t languages;          /* 1: in the language of the request that they were an answer to */
    pumpwright_problem items[]; /* count in each language; the texts follow */
};

enum { TEXTS = 6 };

static void texts_of(pumpwright_problem *problem, const char **out[TEXTS])
{
    const char **all[TEXTS] = {&problem->status,   &problem->path, &problem->found,
                               &problem->expected, &problem->hint, &problem->words};
    memcpy(out, all, sizeof all);
}

/* drafts: count of them in each language. */
static size_t room_for(const pumpwright_problem *drafts, int32_t count)
{
    size_t room = sizeof(pumpwright_problems) + (size_t)count * sizeof *drafts;
    for (int32_t i = 0; i < count; i++) {
        pumpwright_problem one = drafts[i];
        const char **texts[TEXTS];
        texts_of(&one, texts);
        for (int32_t k = 0; k < TEXTS; k++) {
            room += strlen(*texts[k]) + 1;
        }
    }
    return room;
}

/* A list of its own from drafts whose texts are somebody else's: count of them in each of so many languages. NULL when
 * count is 0 or memory is out. */
static pumpwright_problems *kept(const pumpwright_problem *drafts, int32_t count, int32_t languages, int32_t lost)
{
    const int32_t all = count * languages;
    pumpwright_problems *list = count > 0 ? malloc(room_for(drafts, all)) : NULL;
    if (!list) {
        return NULL;
    }
    list->count = count;
    list->languages = languages;
    list->lost = lost;
    char *at = (char *)&list->items[all];
    for (int32_t i = 0; i < all; i++) {
        list->items[i] = drafts[i];
        const char **texts[TEXTS];
        texts_of(&list->items[i], texts);
        for (int32_t k = 0; k < TEXTS; k++) {
            size_t size = strlen(*texts[k]) + 1;
            memcpy(at, *texts[k], size);
            *texts[k] = at;
            at += size;
        }
    }
    return list;
}

/* In metric units; "" when the arena is full. */
static const char *in_words(pw_arena *arena, pw_language language, const pw_problem *problem,
                            void (*put)(pw_text *text, const pw_voice *voice, const pw_problem *problem))
{
    const pw_units units = pw_units_metric();
    const pw_voice voice = {language, &units};
    pw_text words;
    pw_text_init(&words, arena);
    put(&words, &voice, problem);
    return words.failed ? "" : words.data;
}

static void put_expected(pw_text *text, const pw_voice *voice, const pw_problem *problem)
{
    pw_say_remark(text, voice, &problem->expected);
}

static void put_hint(pw_text *text, const pw_voice *voice, const pw_problem *problem)
{
    pw_say_remark(text, voice, &problem->hint);
}

static int32_t draft_all(pw_arena *arena, pw_language language, const pw_problems *problems, const char *why,
                         pumpwright_problem *out)
{
    int32_t count = 0;
    if (why) {
        const pw_voice voice = {language, NULL};
        const char *words = pw_say_word(&voice, why);
        out[count++] =
            (pumpwright_problem){"file", false, 0, 0, "", words, pw_say_word(&voice, "adapt.file-to-read"), "", words};
    }
    for (int32_t i = 0; i < problems->count; i++) {
        const pw_problem *one = &problems->items[i];
        out[count++] = (pumpwright_problem){pw_status_id(one->status),
                                            one->warning,
                                            one->line,
                                            one->column,
                                            one->path,
                                            in_words(arena, language, one, pw_say_found),
                                            in_words(arena, language, one, put_expected),
                                            in_words(arena, language, one, put_hint),
                                            in_words(arena, language, one, pw_say_problem)};
    }
    return count;
}

void library_tell(const pw_problems *problems, const char *why, pumpwright_problems **out)
{
    if (!out) {
        return;
    }
    pumpwright_problem drafts[PW_LANGUAGE_COUNT * (1 + PW_MAX_PROBLEMS)];
    int32_t count = 0;
    size_t size = (size_t)PW_LANGUAGE_COUNT * PW_MAX_PROBLEMS * 8192;
    void *block = malloc(size);
    pw_arena arena;
    pw_arena_init(&arena, block, block ? size : 0);
    for (int32_t i = 0; i < PW_LANGUAGE_COUNT; i++) {
        count = draft_all(&arena, (pw_language)i, problems, why, drafts + i * count);
    }
    *out = kept(drafts, count, PW_LANGUAGE_COUNT, problems->lost);
    free(block);
}

static const char *text_of(const pw_json *object, const char *key)
{
    const pw_json *value = pw_json_get(object, key);
    return value && value->kind == PW_JSON_STRING ? value->string : "";
}

static int32_t whole_of(const pw_json *object, const char *key)
{
    const pw_json *value = pw_json_get(object, key);
    return value && value->kind == PW_JSON_NUMBER ? (int32_t)value->number : 0;
}

/* Is it one of the site's? */
static bool of_site(const char *path)
{
    return strncmp(path, "site", 4) == 0 && (path[4] == '.' || path[4] == '[' || path[4] == 0);
}

const char *library_path_in_sheet(const char *path)
{
    return of_site(path) ? path + 4 + (path[4] == '.') : path;
}

/* The door counts lines in the request; a person has the sheet before them. */
static void place_in_sheet(const pumpwright_sheet *sheet, pumpwright_problem *problem)
{
    int32_t inside = problem->line == 0 ? problem->column : 0; /* of a sentence: counted within it */
    if (!sheet || !of_site(problem->path)) {
        return;
    }
    problem->path = library_path_in_sheet(problem->path);
    problem->line = 0;
    problem->column = 0;
    if (pw_sheet_place(&sheet->sheet, problem->path, &problem->line, &problem->column) && inside > 0) {
        problem->column = pw_sheet_column_in_sentence(&sheet->sheet, problem->line, problem->column, inside);
    }
}

static pumpwright_problems *read_problems(const pw_json *answer, const pumpwright_sheet *sheet)
{
    const pw_json *list = pw_json_get(answer, "problems");
    list = list ? list : pw_json_get(answer, "warnings");
    pumpwright_problem drafts[PW_MAX_PROBLEMS];
    int32_t count = 0;
    for (const pw_json *one = list ? list->first : NULL; one && count < PW_MAX_PROBLEMS; one = one->next) {
        const pw_json *warning = pw_json_get(one, "warning");
        drafts[count] =
            (pumpwright_problem){text_of(one, "status"),   warning && warning->truth, whole_of(one, "line"),
                                 whole_of(one, "column"),  text_of(one, "path"),      text_of(one, "found"),
                                 text_of(one, "expected"), text_of(one, "hint"),      text_of(one, "words")};
        place_in_sheet(sheet, &drafts[count]);
        count++;
    }
    return kept(drafts, count, 1, whole_of(answer, "lost"));
}

pumpwright_problems *pumpwright_answer_problems(const char *answer, const pumpwright_sheet *sheet)
{
    size_t length = answer ? strlen(answer) : 0;
    size_t size = pw_json_room(answer, length);
    void *block = size > 0 ? malloc(size) : NULL;
    pw_arena arena;
    const pw_json *tree = NULL;
    pw_arena_init(&arena, block, block ? size : 0);
    pumpwright_problems *list = NULL;
    if (block && pw_json_read(&arena, answer, length, &tree, NULL) == PW_OK) {
        list = read_problems(tree, sheet);
    }
    free(block);
    return list;
}

int32_t pumpwright_problems_count(const pumpwright_problems *problems)
{
    return problems ? problems->count : 0;
}

int32_t pumpwright_problems_lost(const pumpwright_problems *problems)
{
    return problems ? problems->lost : 0;
}

bool pumpwright_problems_at(const pumpwright_problems *problems, int32_t index, pumpwright_problem *out)
{
    return pumpwright_problems_in(problems, "en", index, out);
}

bool pumpwright_problems_in(const pumpwright_problems *problems, const char *language, int32_t index,
                            pumpwright_problem *out)
{
    pw_language asked = PW_ENGLISH;
    const bool there =
        problems && index >= 0 && index < problems->count && language && pw_language_read(language, &asked);
    const int32_t before = there && problems->languages > 1 ? (int32_t)asked * problems->count : 0;
    *out = there ? problems->items[before + index] : (pumpwright_problem){"", false, 0, 0, "", "", "", "", ""};
    return there;
}

void pumpwright_problems_free(pumpwright_problems *problems)
{
    free(problems);
}
