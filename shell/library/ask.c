/* The door with its coat on, and site sheets. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "adapt/doorway.h"
#include "library/inside.h"

const char *pumpwright_version(void)
{
    return PUMPWRIGHT_VERSION;
}

void pumpwright_text_free(char *text)
{
    free(text);
}

bool pumpwright_granted(const char *answer)
{
    return answer && pw_doorway_granted(answer);
}

static pw_door_host host_of(const pumpwright_host *host)
{
    return host ? (pw_door_host){host->user, host->progress, host->cancelled} : (pw_door_host){NULL, NULL, NULL};
}

char *pumpwright_ask(const char *request, size_t length, const pumpwright_host *host)
{
    pw_door_host lent = host_of(host);
    return pw_doorway(request, length, &lent);
}

const char *pumpwright_ask_within(void *block, size_t size, const char *request, size_t length,
                                  const pumpwright_host *host, size_t *answer_length)
{
    pw_door_host lent = host_of(host);
    size_t unused;
    pw_arena arena;
    pw_arena_init(&arena, block, block ? size : 0);
    return pw_door(&arena, request, length, &lent, answer_length ? answer_length : &unused);
}

static pumpwright_sheet *new_sheet(const char *name)
{
    size_t size = strlen(name) + 1;
    pumpwright_sheet *sheet = malloc(sizeof *sheet + size);
    if (sheet) {
        memcpy(sheet->name, name, size);
    }
    return sheet;
}

static pumpwright_sheet *finished(pumpwright_sheet *sheet, pw_sheet_end end, const pw_problems *found, const char *why,
                                  pumpwright_problems **problems)
{
    library_tell(found, end == PW_SHEET_NO_FILE ? why : NULL, problems);
    if (end != PW_SHEET_READ) {
        pumpwright_sheet_free(sheet);
        return NULL;
    }
    return sheet;
}

pumpwright_sheet *pumpwright_sheet_read(const char *path, pumpwright_problems **problems)
{
    pw_problems found = {0};
    const char *why = "";
    pumpwright_sheet *sheet = new_sheet(path);
    if (!sheet) {
        pw_problem_add(&found, PW_MEMORY, "", "", "", "");
        library_tell(&found, NULL, problems);
        return NULL;
    }
    pw_sheet_end end = pw_sheet_load(sheet->name, &sheet->sheet, &found, &why);
    return finished(sheet, end, &found, why, problems);
}

pumpwright_sheet *pumpwright_sheet_take(const char *text, size_t length, const char *name,
                                        pumpwright_problems **problems)
{
    pw_problems found = {0};
    pumpwright_sheet *sheet = new_sheet(name ? name : "sheet");
    if (!sheet) {
        pw_problem_add(&found, PW_MEMORY, "", "", "", "");
        library_tell(&found, NULL, problems);
        return NULL;
    }
    pw_sheet_end end = pw_sheet_take(text, length, sheet->name, &sheet->sheet, &found);
    return finished(sheet, end, &found, "", problems);
}

void pumpwright_sheet_free(pumpwright_sheet *sheet)
{
    if (sheet) {
        pw_sheet_free(&sheet->sheet);
        free(sheet);
    }
}

const char *pumpwright_sheet_json(const pumpwright_sheet *sheet)
{
    return sheet->sheet.json;
}

bool pumpwright_sheet_where(const pumpwright_sheet *sheet, const char *path, int32_t *line, int32_t *column)
{
    *line = 0;
    *column = 0;
    return pw_sheet_place(&sheet->sheet, path, line, column);
}

char *pumpwright_sheet_ask(const pumpwright_sheet *sheet, const char *what, const char *options,
                           const pumpwright_host *host)
{
    static const char blanks[] = " \t\r\n";
    const char *rest = options ? options + strspn(options, blanks) : "{}";
    bool object = rest[0] == '{';
    rest += object;
    rest += strspn(rest, blanks);
    const char *comma = object && rest[0] != '}' ? "," : ""; /* what is no object is for the door to refuse */
    size_t size = strlen(what) + strlen(sheet->sheet.json) + strlen(rest) + 32;
    char *request = malloc(size);
    if (!request) {
        return NULL;
    }
    int length = snprintf(request, size, "{\"do\":\"%s\",\"site\":%s%s%s", what, sheet->sheet.json, comma, rest);
    char *answer = length > 0 ? pumpwright_ask(request, (size_t)length, host) : NULL;
    free(request);
    return answer;
}
