/* What may be off in a sheet, and by how much it usually is. */
#include <string.h>

#include "study/fit_inside.h"

/* The usual unknowns. `usual`: how far sheet and site are apart before anybody looked, as a standard deviation of the
 * logarithm (own choices, no source): pumps 15 %, a precharge that nobody has checked 30 %, what people draw by a
 * factor of two; the roughness of a pipe in use by a factor of five. A Hazen-Williams coefficient moves a quarter as
 * far as roughness, the other way (own choice). */
enum { PATTERNS = 3 };
typedef struct unknown_row {
    const char *words;
    double usual;
    bool leak;
    const char *pattern[PATTERNS];
    double power[PATTERNS];
} unknown_row;
static const unknown_row rows[] = {
    {"fit.head", 0.15, false, {"pumps[*].curve[*].head", NULL, NULL}, {1.0, 0.0, 0.0}},
    {"fit.friction", 1.6, false, {"lines[*].roughness", "lines[*].Hazen-Williams C", NULL}, {1.0, -0.25, 0.0}},
    {"fit.precharge", 0.3, false, {"vessels[*].precharge", NULL, NULL}, {1.0, 0.0, 0.0}},
    {"fit.demand", 0.7, false, {"demand[*].per day", "demand[*].scale", "demand[*].daily"}, {1.0, 1.0, 1.0}},
    {"fit.leak", 2.0, true, {NULL, NULL, NULL}, {0.0, 0.0, 0.0}},
};
/* Any other number. */
#define USUAL_OTHER 0.4

/* "*" stands for one index. */
static bool matches(const char *pattern, const char *path)
{
    while (*pattern != '\0') {
        if (*pattern == '*') {
            const char *digit = path;
            while (*path >= '0' && *path <= '9') {
                path++;
            }
            if (path == digit) {
                return false;
            }
            pattern++;
        } else if (*pattern++ != *path++) {
            return false;
        }
    }
    return *path == '\0';
}

/* A number that a factor does not move, or that the formula of its line does not ask for, is none to fit. Nor is one of
 * a sentence: that is what was typed into the controller. */
static bool counts(const pw_site *site, const pw_param *param)
{
    const bool rough = matches("lines[*].roughness", param->path);
    if (rough || matches("lines[*].Hazen-Williams C", param->path)) {
        int32_t line = 0;
        for (const char *at = param->path + sizeof "lines[" - 1; *at != ']'; at++) {
            line = line * 10 + (*at - '0');
        }
        if (rough != (site->lines[line].friction == PW_FRICTION_DARCY)) {
            return false;
        }
    }
    return param->si > 0.0 && param->low < param->high;
}

static void take(pw_fit *out, const pw_param *param, double power)
{
    if (out->value_count < PW_FIT_VALUES) {
        out->values[out->value_count] = (pw_fit_value){.param = *param, .power = power, .is = param->si};
        out->value_count++;
    }
}

static void take_matching(const pw_site *site, const pw_param *list, int32_t count, const char *pattern, double power,
                          pw_fit *out)
{
    for (int32_t i = 0; i < count; i++) {
        if (list[i].form != PW_PARAM_SENTENCE && matches(pattern, list[i].path) && counts(site, &list[i])) {
            take(out, &list[i], power);
        }
    }
}

static pw_fit_unknown *next_unknown(pw_fit *out)
{
    pw_fit_unknown *u = &out->unknowns[out->unknown_count];
    memset(u, 0, sizeof *u);
    u->path = "";
    u->beside = -1;
    u->from = out->value_count;
    return u;
}

static void close_unknown(pw_fit *out, pw_fit_unknown *u)
{
    u->count = out->value_count - u->from;
    out->unknown_count += u->leak || u->count > 0 ? 1 : 0;
}

static void list_usual(const pw_site *site, const pw_param *list, int32_t count, pw_fit *out)
{
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (rows[i].leak && !pw_fault_possible(site, PW_FAULT_SLOW_LEAK)) {
            continue;
        }
        pw_fit_unknown *u = next_unknown(out);
        u->words = rows[i].words;
        u->usual = rows[i].usual;
        u->leak = rows[i].leak;
        for (int32_t k = 0; k < PATTERNS && rows[i].pattern[k] != NULL; k++) {
            take_matching(site, list, count, rows[i].pattern[k], rows[i].power[k], out);
        }
        close_unknown(out, u);
    }
}

/* One that was asked for by its path. The spread of a usual one holds for its own pattern, too. */
static pw_status list_asked(pw_arena *arena, const pw_site *site, const pw_param *list, int32_t count, const char *path,
                            pw_fit *out, pw_problems *problems)
{
    pw_fit_unknown *u = next_unknown(out);
    u->path = path;
    u->words = "fit.number";
    u->usual = USUAL_OTHER;
    u->leak = strcmp(path, "leak") == 0;
    if (u->leak) {
        u->words = "fit.leak";
        u->usual = rows[sizeof rows / sizeof rows[0] - 1].usual;
    } else if (strchr(path, '*') != NULL) {
        take_matching(site, list, count, path, 1.0, out);
    } else {
        pw_param param;
        const pw_status status = pw_number_find(arena, site, path, "numbers", &param, problems);
        if (status != PW_OK) {
            return status;
        }
        if (param.form != PW_PARAM_SENTENCE && param.origin != PW_ORIGIN_NONE && counts(site, &param)) {
            take(out, &param, 1.0);
        }
    }
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        for (int32_t k = 0; k < PATTERNS && rows[i].pattern[k] != NULL; k++) {
            const bool same =
                out->value_count > u->from && matches(rows[i].pattern[k], out->values[u->from].param.path);
            u->usual = same ? rows[i].usual * pw_abs(rows[i].power[k]) : u->usual;
        }
    }
    close_unknown(out, u);
    if (!u->leak && u->count == 0) {
        return pw_problem_tell(problems, PW_REFERENCE, "numbers", pw_verbatim(path), pw_fact_of("fit.number-to-fit"),
                               pw_no_fact());
    }
    return PW_OK;
}

pw_status pw_fit_list(pw_arena *arena, const pw_site *site, const pw_fit_options *options, pw_fit *out,
                      pw_problems *problems)
{
    pw_param *list = NULL;
    int32_t count = 0;
    if (pw_numbers_list(arena, site, &list, &count) != PW_OK) {
        return pw_problem_add(problems, PW_MEMORY, "", "", "", "");
    }
    if (options->path_count == 0) {
        list_usual(site, list, count, out);
    }
    for (int32_t i = 0; i < options->path_count; i++) {
        const pw_status status =
            i == PW_FIT_UNKNOWNS
                ? pw_problem_tell(problems, PW_LIMIT, "numbers", pw_no_fact(),
                                  pw_fact_of("fit.most-numbers", pw_count(PW_FIT_UNKNOWNS)), pw_no_fact())
                : list_asked(arena, site, list, count, options->paths[i], out, problems);
        if (status != PW_OK) {
            return status;
        }
    }
    return PW_OK;
}
