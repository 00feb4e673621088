/* Runs the text cases of tests/cases through the door and compares (docs/verification.md explains the form of a case).
 *
 * usage: cases [--write FILE | --check FILE | --table | --requests | --answers] FOLDER
 *   nothing     one line for each failing check, and a count
 *   --write     the table of all checks into FILE
 *   --check     like nothing, and FILE must hold exactly that table
 *   --requests  the requests, one JSON text a line; --answers the answers (for the test native = WebAssembly)
 * Exit code 0: all pass. 1: a check fails or the table is not up to date. 2: a case is not well formed.
 */
#include <dirent.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/json.h"
#include "base/num.h"
#include "base/text.h"
#include "base/units.h"
#include "door/door.h"

enum {
    MOST_FILES = 200,
    MOST_EXPECTS = 24,
    MOST_GIVEN = 24,
    MOST_KNOWN = 16,
    LINE_SIZE = 4096,
    ARENA_SIZE = 64 * 1024 * 1024
};

typedef struct test_case {
    const char *file;
    int line;
    char name[200], source[400], known[80], ask[120];
    int given_count, expect_count;
    char given_name[MOST_GIVEN][80], given_value[MOST_GIVEN][600];
    char expect[MOST_EXPECTS][300];
    char request[LINE_SIZE]; /* a whole request instead of ask and given */
} test_case;

/* Checks whose expected value is known in one way ("read + computed"), by what they check. */
typedef struct tally {
    char known[80];
    int rows, formulas, runs, refusals;
} tally;

typedef struct case_run {
    const char *mode;
    pw_arena *arena;
    pw_text table;
    int cases, checks, failed;
    tally tallies[MOST_KNOWN];
    int tally_count;
    char seen[4000][200]; /* names, to refuse doubles */
} case_run;

static const char *const known_words[] = {"read", "computed", "from memory", "own derivation", "common practice"};

/* Formulas that only find a row of a table, or the class between two rows. */
static const char *const row_finders[] = {"acceptance grade",
                                          "cable",
                                          "current by table",
                                          "efficiency class IE3",
                                          "equivalent length",
                                          "fixture units",
                                          "flexible cable",
                                          "least cycle",
                                          "locked rotor current by table",
                                          "locked rotor letter",
                                          "loading unit",
                                          "motor starts",
                                          "pipe",
                                          "stock water"};

static void refuse(const test_case *c, const char *why)
{
    fprintf(stderr, "%s:%d: case \"%s\": %s\n", c->file, c->line, c->name, why);
    exit(2);
}

static char *trim(char *text)
{
    while (*text == ' ' || *text == '\t') {
        text++;
    }
    size_t length = strlen(text);
    while (length > 0 && strchr(" \t\r\n", text[length - 1]) != NULL) {
        length--;
        text[length] = '\0';
    }
    return text;
}

/* ---- reading ---------------------------------------------------------------------------------------------------- */

/* "source  words | how known": each part of the last, joined by +, must be one of the known words. */
static void read_source(test_case *c, char *rest)
{
    char parts[80];
    char *bar = strrchr(rest, '|');
    if (bar == NULL) {
        refuse(c, "the source does not say how it is known: source WORDS | read, computed, from memory, ...");
    }
    *bar = '\0';
    snprintf(c->source, sizeof c->source, "%s", trim(rest));
    snprintf(c->known, sizeof c->known, "%s", trim(bar + 1));
    if (c->source[0] == '\0') {
        refuse(c, "the source has no words");
    }
    snprintf(parts, sizeof parts, "%s", c->known);
    for (char *part = strtok(parts, "+"); part != NULL; part = strtok(NULL, "+")) {
        bool good = false;
        for (size_t i = 0; i < sizeof known_words / sizeof known_words[0]; i++) {
            good = good || strcmp(trim(part), known_words[i]) == 0;
        }
        if (!good) {
            refuse(c, "how the source is known must be read, computed, from memory, own derivation or common practice");
        }
    }
}

static void read_given(test_case *c, char *rest)
{
    for (char *next = rest; next != NULL && *trim(next) != '\0';) {
        char *item = next;
        char *end = strchr(item, ';');
        next = end == NULL ? NULL : end + 1;
        if (end != NULL) {
            *end = '\0';
        }
        char *equals = strchr(item, '=');
        if (equals == NULL || c->given_count == MOST_GIVEN) {
            refuse(c, "given wants NAME = VALUE; NAME = VALUE");
        }
        *equals = '\0';
        snprintf(c->given_name[c->given_count], sizeof c->given_name[0], "%s", trim(item));
        snprintf(c->given_value[c->given_count], sizeof c->given_value[0], "%s", trim(equals + 1));
        c->given_count++;
    }
}

static void check_complete(case_run *s, const test_case *c)
{
    if (c->source[0] == '\0') {
        refuse(c, "no source");
    }
    if (c->expect_count == 0) {
        refuse(c, "nothing is expected");
    }
    if ((c->ask[0] == '\0') == (c->request[0] == '\0')) {
        refuse(c, "either ask or request");
    }
    for (int i = 0; i < s->cases; i++) {
        if (strcmp(s->seen[i], c->name) == 0) {
            refuse(c, "another case has this name");
        }
    }
    if (s->cases >= (int)(sizeof s->seen / sizeof s->seen[0])) {
        refuse(c, "too many cases");
    }
    snprintf(s->seen[s->cases], sizeof s->seen[0], "%s", c->name);
    s->cases++;
}

/* ---- asking ----------------------------------------------------------------------------------------------------- */

static bool whole_number(const char *text, double *out)
{
    const size_t length = strlen(text);
    return length > 0 && pw_num_read(text, length, out) == length;
}

/* A value of a case as JSON: a number, a list [a, b], or words. */
static void put_value(pw_json_writer *w, const char *key, const char *text)
{
    double number;
    char copy[600];
    if (text[0] == '[') {
        snprintf(copy, sizeof copy, "%s", text + 1);
        char *end = strchr(copy, ']');
        if (end != NULL) {
            *end = '\0';
        }
        pw_json_open(w, key, '[');
        for (char *item = strtok(copy, ","); item != NULL; item = strtok(NULL, ",")) {
            put_value(w, NULL, trim(item));
        }
        pw_json_close(w, ']');
    } else if (whole_number(text, &number)) {
        pw_json_number(w, key, number);
    } else {
        pw_json_string(w, key, text);
    }
}

static const char *request_of(pw_arena *arena, const test_case *c)
{
    pw_text text;
    pw_json_writer w;
    if (c->request[0] != '\0') {
        return c->request;
    }
    pw_text_init(&text, arena);
    pw_json_writer_init(&w, &text, 0);
    pw_json_open(&w, NULL, '{');
    pw_json_string(&w, "do", "reckon");
    pw_json_string(&w, "what", c->ask);
    pw_json_open(&w, "given", '{');
    for (int i = 0; i < c->given_count; i++) {
        put_value(&w, c->given_name[i], c->given_value[i]);
    }
    pw_json_close(&w, '}');
    pw_json_close(&w, '}');
    return text.data;
}

/* ---- comparing -------------------------------------------------------------------------------------------------- */

static pw_dimension dimension_of(const char *unit)
{
    static const char *const units[PW_DIM_COUNT] = {
#define PW_X(name, id, si, words) si,
        PW_DIMENSION_LIST(PW_X)
#undef PW_X
    };
    for (int i = 0; unit != NULL && i < PW_DIM_COUNT; i++) {
        if (strcmp(units[i], unit) == 0) {
            return (pw_dimension)i;
        }
    }
    return PW_DIM_NONE;
}

/* Value of a case in SI: a quantity of this dimension, or a plain number for what has none. */
static double si_of(const test_case *c, const char *text, pw_dimension dimension)
{
    double value = 0.0;
    if (dimension == PW_DIM_NONE && whole_number(text, &value)) {
        return value;
    }
    if (pw_quantity_read(text, dimension, &value, NULL, "") != PW_OK) {
        char words[400];
        snprintf(words, sizeof words, "\"%s\" is not a quantity that fits", text);
        refuse(c, words);
    }
    return value;
}

/* The unit behind the number of "117 m": "m". */
static const char *unit_in(const char *text)
{
    const char *unit = text + strspn(text, "+-.0123456789eE");
    return unit + strspn(unit, " ");
}

/* An SI number in the unit that stands in the case ("117 m"). */
static void show_like(const char *like, pw_dimension dimension, double si, int digits, char *out, size_t size)
{
    char number[40];
    char probe[120];
    double one = 1.0;
    double two = 2.0;
    const char *unit = unit_in(like);
    if (dimension != PW_DIM_NONE && *unit != '\0') {
        snprintf(probe, sizeof probe, "1 %s", unit);
        pw_quantity_read(probe, dimension, &one, NULL, "");
        snprintf(probe, sizeof probe, "2 %s", unit);
        pw_quantity_read(probe, dimension, &two, NULL, "");
    }
    const double step = two - one;
    const double zero = one - step; /* degrees have their 0 elsewhere */
    pw_num_digits((si - zero) / step, digits, number);
    snprintf(out, size, "%s%s%s", number, *unit != '\0' ? " " : "", unit);
}

static bool only_finds_row(const test_case *c)
{
    for (size_t i = 0; i < sizeof row_finders / sizeof row_finders[0]; i++) {
        if (strcmp(c->ask, row_finders[i]) == 0) {
            return true;
        }
    }
    /* Hunter's curve at a point that is printed: exactly means that nothing was drawn between two rows */
    return strcmp(c->ask, "flow of fixture units") == 0 && strstr(c->expect[0], " exactly") != NULL;
}

static void count_check(case_run *s, const test_case *c, bool refusal)
{
    tally *t = s->tallies;
    while (t < s->tallies + s->tally_count && strcmp(t->known, c->known) != 0) {
        t++;
    }
    if (t == s->tallies + s->tally_count) {
        if (s->tally_count == MOST_KNOWN) {
            refuse(c, "too many ways of knowing");
        }
        snprintf(t->known, sizeof t->known, "%s", c->known);
        s->tally_count++;
    }
    t->refusals += refusal ? 1 : 0;
    t->runs += !refusal && c->request[0] != '\0' ? 1 : 0;
    t->rows += !refusal && c->request[0] == '\0' && only_finds_row(c) ? 1 : 0;
    t->formulas += !refusal && c->request[0] == '\0' && !only_finds_row(c) ? 1 : 0;
}

static void add_row(case_run *s, const test_case *c, const char *what, const char *expected, const char *got,
                    const char *difference, const char *allowed, bool pass)
{
    s->checks++;
    s->failed += pass ? 0 : 1;
    count_check(s, c, strcmp(what, "error") == 0);
    pw_text_puts(&s->table, "| ", c->name, " | ", what, " | ", expected, " | ", got, " | ", difference, " | ", allowed,
                 " | ", pass ? "PASS" : "**FAILING**", " | ", c->source, " | ", c->known, " |\n", NULL);
    if (!pass && (s->mode == NULL || strcmp(s->mode, "--check") == 0 || strcmp(s->mode, "--write") == 0)) {
        printf("FAILING %s:%d: %s: %s: expected %s, got %s, difference %s, allowed %s\n", c->file, c->line, c->name,
               what, expected, got, difference, allowed);
    }
}

/* Value at a path like outputs.head loss or points[2].flow. */
static const pw_json *at_path(const pw_json *value, const char *path)
{
    char copy[300];
    snprintf(copy, sizeof copy, "%s", path);
    for (char *part = copy; value != NULL && part != NULL && *part != '\0';) {
        char *dot = strchr(part, '.');
        if (dot != NULL) {
            *dot = '\0';
        }
        char *bracket = strchr(part, '[');
        if (bracket != NULL) {
            *bracket = '\0';
        }
        if (*part != '\0') {
            value = pw_json_get(value, part);
        }
        if (bracket != NULL) {
            value = pw_json_at(value, (int32_t)strtol(bracket + 1, NULL, 10));
        }
        part = dot == NULL ? NULL : dot + 1;
    }
    return value;
}

static void expect_error(case_run *s, const test_case *c, char *rest, const pw_json *answer)
{
    char got[300] = "no error";
    char wanted[300];
    char *at = strstr(rest, " at ");
    bool pass = false;
    if (at == NULL) {
        refuse(c, "expect error wants STATUS at PATH");
    }
    *at = '\0';
    snprintf(wanted, sizeof wanted, "%s at %s", trim(rest), trim(at + 4));
    const pw_json *problems = pw_json_get(answer, "problems");
    for (const pw_json *p = problems == NULL ? NULL : problems->first; p != NULL && !pass; p = p->next) {
        const pw_json *status = pw_json_get(p, "status");
        const pw_json *path = pw_json_get(p, "path");
        snprintf(got, sizeof got, "%s at %s", status == NULL ? "?" : status->string, path == NULL ? "" : path->string);
        pass = strcmp(got, wanted) == 0;
    }
    add_row(s, c, "error", wanted, got, "", "", pass);
}

static void compare_number(case_run *s, const test_case *c, const char *name, char *value, const char *tolerance,
                           const pw_json *got, pw_dimension dimension)
{
    if (dimension == PW_DIM_NONE && strchr(value, '%') != NULL) {
        dimension = PW_DIM_FRACTION; /* both have the unit 1 */
    }
    char shown[120];
    char difference[120];
    const double expected_si = si_of(c, value, dimension);
    if (got == NULL || got->kind != PW_JSON_NUMBER) {
        add_row(s, c, name, value, got == NULL ? "nothing" : pw_json_kind_message(got->kind), "", tolerance, false);
        return;
    }
    const double off = got->number - expected_si;
    const size_t length = strlen(tolerance);
    const pw_dimension step = dimension == PW_DIM_TEMPERATURE ? PW_DIM_TEMPERATURE_RISE : dimension;
    double allowed;
    bool relative = true;
    if (strcmp(tolerance, "exactly") == 0) {
        allowed = 1e-12 * pw_abs(expected_si);
    } else if (tolerance[length - 1] == '%') {
        allowed = si_of(c, tolerance, PW_DIM_FRACTION) * pw_abs(expected_si);
    } else {
        relative = false;
        allowed = si_of(c, tolerance, step);
    }
    if (!(allowed > 0.0) && expected_si != 0.0) {
        refuse(c, "the tolerance must be more than 0");
    }
    show_like(value, dimension, got->number, 6, shown, sizeof shown);
    if (pw_abs(off) <= 1e-12 * pw_abs(expected_si)) {
        snprintf(difference, sizeof difference, "0");
    } else if (relative) {
        char number[40];
        pw_num_digits(100.0 * off / pw_abs(expected_si), 2, number);
        snprintf(difference, sizeof difference, "%s %%", number);
    } else {
        show_like(tolerance, step, off, 2, difference, sizeof difference);
    }
    add_row(s, c, name, value, shown, difference, tolerance, pw_abs(off) <= allowed);
}

/* NAME = VALUE within TOLERANCE | NAME = VALUE exactly | NAME = never | NAME is WORDS */
static void expect_value(case_run *s, const test_case *c, char *rest, const pw_json *answer)
{
    char path[300];
    char *is = strstr(rest, " is ");
    char *equals = strstr(rest, " = ");
    char *separator = equals != NULL ? equals : is;
    if (separator == NULL) {
        refuse(c, "expect wants NAME = VALUE within TOLERANCE, NAME = VALUE exactly, NAME = never, or NAME is WORDS");
    }
    *separator = '\0';
    const char *name = trim(rest);
    char *value = trim(separator + (equals != NULL ? 3 : 4));
    snprintf(path, sizeof path, "%s%s", c->ask[0] != '\0' ? "outputs." : "", name);
    const pw_json *got = at_path(answer, path);
    if (equals == NULL) {
        const bool text = got != NULL && got->kind == PW_JSON_STRING;
        add_row(s, c, name, value, text ? got->string : "nothing", "", "the same words",
                text && strcmp(got->string, value) == 0);
        return;
    }
    if (strcmp(value, "never") == 0) {
        const bool never = got != NULL && got->kind == PW_JSON_NULL;
        add_row(s, c, name, "never", never ? "never" : "a number or nothing", "", "exactly", never);
        return;
    }
    char *within = strstr(value, " within ");
    char *exactly = strstr(value, " exactly");
    if (within == NULL && exactly == NULL) {
        refuse(c, "a value needs: within TOLERANCE, or: exactly");
    }
    *(within != NULL ? within : exactly) = '\0';
    const pw_json *unit = pw_json_get(pw_json_get(answer, "units"), name);
    compare_number(s, c, name, trim(value), within != NULL ? trim(within + 8) : "exactly", got,
                   dimension_of(unit == NULL ? NULL : unit->string));
}

static void run_case(case_run *s, const test_case *c)
{
    const size_t mark = pw_arena_mark(s->arena);
    size_t length;
    const pw_json *answer = NULL;
    check_complete(s, c);
    const char *request = request_of(s->arena, c);
    const char *text = pw_door(s->arena, request, strlen(request), NULL, &length);
    if (s->mode != NULL && strcmp(s->mode, "--requests") == 0) {
        puts(request);
    } else if (s->mode != NULL && strcmp(s->mode, "--answers") == 0) {
        puts(text);
    }
    if (pw_json_read(s->arena, text, length, &answer, NULL) != PW_OK) {
        refuse(c, "the answer is not JSON");
    }
    for (int i = 0; i < c->expect_count; i++) {
        char expect[300];
        snprintf(expect, sizeof expect, "%s", c->expect[i]);
        if (strncmp(expect, "error ", 6) == 0) {
            expect_error(s, c, expect + 6, answer);
        } else {
            expect_value(s, c, expect, answer);
        }
    }
    /* the table lives in an arena of its own */
    pw_arena_back(s->arena, mark);
}

/* ---- files ------------------------------------------------------------------------------------------------------ */

static void read_line(case_run *s, test_case *c, char *line)
{
    char *key = trim(line);
    if (*key == '\0' || *key == '#') {
        return;
    }
    char *rest = key + strcspn(key, " \t");
    if (*rest != '\0') {
        *rest = '\0';
        rest = trim(rest + 1);
    }
    if (strcmp(key, "case") == 0) {
        const char *file = c->file;
        const int at = c->line;
        if (c->name[0] != '\0') {
            run_case(s, c);
        }
        memset(c, 0, sizeof *c);
        c->file = file;
        c->line = at;
        snprintf(c->name, sizeof c->name, "%s", rest);
    } else if (strcmp(key, "source") == 0) {
        read_source(c, rest);
    } else if (strcmp(key, "ask") == 0) {
        snprintf(c->ask, sizeof c->ask, "%s", rest);
    } else if (strcmp(key, "given") == 0) {
        read_given(c, rest);
    } else if (strcmp(key, "request") == 0) {
        snprintf(c->request, sizeof c->request, "%s", rest);
    } else if (strcmp(key, "expect") == 0) {
        if (c->expect_count == MOST_EXPECTS) {
            refuse(c, "too many expectations");
        }
        snprintf(c->expect[c->expect_count], sizeof c->expect[0], "%s", rest);
        c->expect_count++;
    } else if (strcmp(key, "note") != 0) {
        refuse(c, "a line begins with case, source, note, ask, given, request or expect");
    }
}

static void run_file(case_run *s, const char *path, const char *shown)
{
    static test_case c;
    char line[LINE_SIZE];
    int number = 0;
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        fprintf(stderr, "%s: cannot be read\n", path);
        exit(2);
    }
    memset(&c, 0, sizeof c);
    c.file = path;
    pw_text_puts(&s->table, "\n## ", shown,
                 "\n\n| case | quantity | expected | got | difference | allowed | | source | known |\n",
                 "| --- | --- | --- | --- | --- | --- | --- | --- | --- |\n", NULL);
    while (fgets(line, sizeof line, file) != NULL) {
        number++;
        if (strncmp(line, "case", 4) != 0) {
            read_line(s, &c, line);
        } else {
            read_line(s, &c, line);
            c.line = number;
        }
    }
    fclose(file);
    if (c.name[0] != '\0') {
        run_case(s, &c);
    }
}

static int by_name(const void *a, const void *b)
{
    return strcmp(a, b);
}

static void find_files(const char *folder, char files[][300], int *count)
{
    DIR *dir = opendir(folder);
    if (dir == NULL) {
        return;
    }
    for (struct dirent *entry = readdir(dir); entry != NULL; entry = readdir(dir)) {
        char path[300];
        const size_t length = strlen(entry->d_name);
        const int needed = snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        if (entry->d_name[0] == '.' || needed < 0 || needed >= (int)sizeof path) {
            continue;
        }
        if (length > 5 && strcmp(entry->d_name + length - 5, ".case") == 0) {
            if (*count == MOST_FILES) {
                fprintf(stderr, "%s: too many files\n", folder);
                exit(2);
            }
            snprintf(files[*count], 300, "%s", path);
            (*count)++;
        } else if (strchr(entry->d_name, '.') == NULL) {
            find_files(path, files, count);
        }
    }
    closedir(dir);
}

static const char head[] =
    "# Verification\n"
    "\n"
    "Written by `tools/cases.c` from the text cases in `tests/cases`; the test `cases` fails when this page is not "
    "what the\n"
    "program computes now. Every check goes through the door like any other request. `known` says how the expected "
    "value\n"
    "is known: **read** in the source (or a copy of it), **computed** by another method from the stated inputs,\n"
    "**from memory** of the source, **own derivation**, **common practice**. Differences are got minus expected;\n"
    "`exactly` allows 1e-12 of the value, for the rounding of unit conversion.\n"
    "A check that does not hold stays here as FAILING and the test fails.\n"
    "\n"
    "A case is a few lines of text: `case` name, `source` words `|` how known, `ask` the name of a formula, `given`\n"
    "name = value; ..., `expect` name = value `within` tolerance (or `exactly`, `never`), or `expect error` status "
    "`at` path;\n"
    "`request` with a whole request instead of `ask` and `given`. A case without a source is refused.\n"
    "\n";

static void put_counts(pw_text *page, const char *known, const tally *t)
{
    const int counts[] = {t->rows, t->formulas, t->runs, t->refusals, t->rows + t->formulas + t->runs + t->refusals};
    pw_text_puts(page, "| ", known, NULL);
    for (size_t i = 0; i < sizeof counts / sizeof counts[0]; i++) {
        pw_text_put(page, " | ");
        pw_text_int(page, counts[i]);
    }
    pw_text_put(page, " |\n");
}

static int tally_by_name(const void *a, const void *b)
{
    return strcmp(((const tally *)a)->known, ((const tally *)b)->known);
}

static void put_tallies(case_run *s, pw_text *page)
{
    tally all = {0};
    pw_text_puts(page, "| known | rows of tables | formulas | whole runs | refusals | together |\n",
                 "| --- | ---: | ---: | ---: | ---: | ---: |\n", NULL);
    qsort(s->tallies, (size_t)s->tally_count, sizeof s->tallies[0], tally_by_name);
    for (int i = 0; i < s->tally_count; i++) {
        const tally *t = &s->tallies[i];
        put_counts(page, t->known, t);
        all.rows += t->rows;
        all.formulas += t->formulas;
        all.runs += t->runs;
        all.refusals += t->refusals;
    }
    put_counts(page, "all", &all);
    pw_text_put(page,
                "\nA row of a table only shows that the table was copied well; a formula is computed. \"read + "
                "computed\" and \"from "
                "memory + computed\": the\nsource prints the value (or the inputs) and it was computed again here by "
                "another program. A refusal is a request that must be refused.\n");
}

/* What `make mutants` wrote into the page stays as it is. */
static void keep_mutants(pw_text *page, const char *target)
{
    static char text[65536];
    FILE *file = target != NULL ? fopen(target, "rb") : NULL;
    const size_t length = file != NULL ? fread(text, 1, sizeof text - 1, file) : 0;
    text[length] = '\0';
    if (file != NULL) {
        fclose(file);
    }
    const char *begin = strstr(text, "<!-- mutants:");
    const char *last = begin != NULL ? strstr(begin, "<!-- mutants end -->\n") : NULL;
    if (last != NULL) {
        pw_text_put(page, "\n");
        pw_text_put_n(page, begin, (size_t)(last - begin) + strlen("<!-- mutants end -->\n"));
    }
}

/* Whole page: head, count, tables. */
static const char *page_of(case_run *s, const char *target, pw_arena *arena)
{
    pw_text page;
    pw_text_init(&page, arena);
    pw_text_put(&page, head);
    pw_text_int(&page, s->checks);
    pw_text_put(&page, " checks in ");
    pw_text_int(&page, s->cases);
    pw_text_put(&page, " cases, ");
    pw_text_int(&page, s->failed);
    pw_text_put(&page, " failing. How the expected values are known, and what is checked:\n\n");
    put_tallies(s, &page);
    keep_mutants(&page, target);
    pw_text_put(&page, s->table.data);
    return page.failed ? NULL : page.data;
}

static int finish(case_run *s, const char *target, const char *page)
{
    int code = s->failed > 0 ? 1 : 0;
    const bool check = strcmp(s->mode == NULL ? "" : s->mode, "--check") == 0;
    if (s->mode != NULL && strcmp(s->mode, "--table") == 0) {
        fputs(page, stdout);
    } else if (s->mode != NULL && strcmp(s->mode, "--write") == 0) {
        FILE *file = fopen(target, "wb");
        if (file == NULL || fputs(page, file) < 0 || fclose(file) != 0) {
            fprintf(stderr, "%s: cannot be written\n", target);
            return 2;
        }
    } else if (check) {
        FILE *file = fopen(target, "rb");
        const size_t length = strlen(page);
        char *old = calloc(length + 2, 1);
        const bool same =
            file != NULL && old != NULL && fread(old, 1, length + 1, file) == length && strcmp(old, page) == 0;
        if (file != NULL) {
            fclose(file);
        }
        free(old);
        if (!same) {
            printf("%s is not what the program computes now: run tools/cases --write %s tests/cases\n", target, target);
            code = 1;
        }
    }
    if (s->mode == NULL || check || strcmp(s->mode, "--write") == 0) {
        printf("%d checks in %d cases, %d failing\n", s->checks, s->cases, s->failed);
    }
    return code;
}

int main(int count, char **words)
{
    static case_run s;
    static char files[MOST_FILES][300];
    int file_count = 0;
    const char *target = NULL;
    int next = 1;
    if (next < count && strncmp(words[next], "--", 2) == 0) {
        s.mode = words[next];
        next++;
        if (strcmp(s.mode, "--write") == 0 || strcmp(s.mode, "--check") == 0) {
            target = next < count ? words[next] : NULL;
            next++;
        }
    }
    if (next != count - 1) {
        fprintf(stderr, "usage: cases [--write FILE | --check FILE | --table | --requests | --answers] FOLDER\n");
        return 2;
    }
    const char *folder = words[next];
    void *work_block = malloc(ARENA_SIZE);
    void *table_block = malloc(ARENA_SIZE);
    pw_arena work;
    pw_arena table;
    if (work_block == NULL || table_block == NULL) {
        fprintf(stderr, "not enough memory\n");
        return 2;
    }
    pw_arena_init(&work, work_block, ARENA_SIZE);
    pw_arena_init(&table, table_block, ARENA_SIZE);
    s.arena = &work;
    pw_text_init(&s.table, &table);
    find_files(folder, files, &file_count);
    qsort(files, (size_t)file_count, sizeof files[0], by_name);
    for (int i = 0; i < file_count; i++) {
        run_file(&s, files[i], files[i] + strlen(folder) + 1);
    }
    const char *page = page_of(&s, target, &table);
    const int code = page == NULL ? 2 : finish(&s, target, page);
    free(work_block);
    free(table_block);
    return code;
}
