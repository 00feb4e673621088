/* Margins: the rows of what is moved, and the plant with a move made. */
#include "study/margins.h"

#include <string.h>

#include "base/num.h"
#include "site/params.h"

enum { MOST_PATHS = 2 };

/* '#' in a path stands for any number. */
typedef struct moved_path {
    const char *path;
    double factor;
} moved_path;

typedef struct margin_row {
    const char *id, *words;
    double shown; /* how far, for words */
    moved_path paths[MOST_PATHS];
    double sensor; /* of a pressure sensor's range */
} margin_row;

static const margin_row rows[PW_MOVES] = {
    [PW_MOVE_PUMP_WEAK] = {.id = "pump weak",
                           .words = "prove.move-pump-weak",
                           .shown = 0.08,
                           .paths = {{"pumps[#].curve[#].flow", 0.92}, {"pumps[#].curve[#].head", 0.95}}},
    [PW_MOVE_PUMP_STRONG] = {.id = "pump strong",
                             .words = "prove.move-pump-strong",
                             .shown = 0.08,
                             .paths = {{"pumps[#].curve[#].flow", 1.08}, {"pumps[#].curve[#].head", 1.05}}},
    [PW_MOVE_DRAWS_MORE] = {.id = "draws more",
                            .words = "prove.move-draws-more",
                            .shown = 0.1,
                            .paths = {{"demand[#].flow", 1.1}, {"demand[#].scale", 1.1}}},
    [PW_MOVE_DRAWS_LESS] = {.id = "draws less",
                            .words = "prove.move-draws-less",
                            .shown = 0.1,
                            .paths = {{"demand[#].flow", 0.9}, {"demand[#].scale", 0.9}}},
    [PW_MOVE_DRAWS_LONGER] = {.id = "draws longer",
                              .words = "prove.move-draws-longer",
                              .shown = 0.2,
                              .paths = {{"demand[#].for", 1.2}}},
    [PW_MOVE_CHARGE_LOW] = {.id = "precharge low",
                            .words = "prove.move-charge-low",
                            .shown = 0.2,
                            .paths = {{"vessels[#].precharge", 0.8}}},
    [PW_MOVE_CHARGE_HIGH] = {.id = "precharge high",
                             .words = "prove.move-charge-high",
                             .shown = 0.1,
                             .paths = {{"vessels[#].precharge", 1.1}}},
    [PW_MOVE_READS_LOW] = {.id = "sensor low", .words = "prove.move-reads-low", .shown = 0.01, .sensor = -0.01},
    [PW_MOVE_READS_HIGH] = {.id = "sensor high", .words = "prove.move-reads-high", .shown = 0.01, .sensor = 0.01},
    [PW_MOVE_PLACE] = {.id = "leak elsewhere", .words = "prove.move-place"},
};

/* Does the path follow the pattern? */
static bool follows(const char *pattern, const char *path)
{
    while (*pattern != '\0') {
        if (*pattern == '#') {
            if (*path < '0' || *path > '9') {
                return false;
            }
            while (*path >= '0' && *path <= '9') {
                path++;
            }
        } else if (*path != *pattern) {
            return false;
        } else {
            path++;
        }
        pattern++;
    }
    return *path == '\0';
}

static bool measures_pressure(const pw_sensor *sensor)
{
    return sensor->kind == PW_SENSOR_PRESSURE && sensor->high_pa.v > sensor->low_pa.v;
}

bool pw_move_possible(const pw_site *site, pw_move move)
{
    bool possible = false;
    switch (move) {
    case PW_MOVE_PUMP_WEAK:
    case PW_MOVE_PUMP_STRONG: return site->pump_count > 0;
    case PW_MOVE_DRAWS_MORE:
    case PW_MOVE_DRAWS_LESS: return site->demand_count > 0;
    case PW_MOVE_DRAWS_LONGER:
        for (int32_t i = 0; i < site->demand_count; i++) {
            possible = possible || site->demands[i].kind != PW_DEMAND_TRACE;
        }
        return possible;
    case PW_MOVE_CHARGE_LOW:
    case PW_MOVE_CHARGE_HIGH: return site->vessel_count > 0;
    case PW_MOVE_READS_LOW:
    case PW_MOVE_READS_HIGH:
        for (int32_t i = 0; i < site->sensor_count; i++) {
            possible = possible || measures_pressure(&site->sensors[i]);
        }
        return possible;
    case PW_MOVE_PLACE:
    case PW_MOVES: break;
    }
    return false;
}

const char *pw_move_id(pw_move move)
{
    return rows[move].id;
}

/* The steady draw that takes most at once of those that last longest: the one that a limit of run time meets. -1: none.
 */
static int32_t longest_draw(const pw_site *site)
{
    int32_t best = -1;
    for (int32_t i = 0; i < site->demand_count; i++) {
        const pw_demand *d = &site->demands[i];
        if (d->kind == PW_DEMAND_DRAW &&
            (best < 0 ||
             d->duration_s.v * d->flow_m3s.v > site->demands[best].duration_s.v * site->demands[best].flow_m3s.v)) {
            best = i;
        }
    }
    return best;
}

pw_fact pw_move_fact(const pw_site *site, pw_move move, double part)
{
    const margin_row *row = &rows[move];
    const int32_t draw = longest_draw(site);
    const pw_value much = pw_quantity(PW_DIM_FRACTION, row->shown * part);
    const bool rate = move == PW_MOVE_DRAWS_MORE || move == PW_MOVE_DRAWS_LESS;
    if (draw < 0 || !(rate || move == PW_MOVE_DRAWS_LONGER)) {
        return pw_fact_of(row->words, much, pw_named(""));
    }
    const pw_demand *d = &site->demands[draw];
    const double factor = 1.0 + (row->paths[0].factor - 1.0) * part;
    const pw_dimension dimension = rate ? PW_DIM_FLOW : PW_DIM_TIME;
    const double was = rate ? d->flow_m3s.v : d->duration_s.v;
    return pw_fact_of(row->words, much, pw_named(site->outlets[d->outlet].name), pw_quantity(dimension, was * factor),
                      pw_quantity(dimension, was));
}

pw_status pw_move_plant(pw_arena *arena, const pw_plant *plant, pw_move move, double part, pw_plant **out,
                        pw_problems *problems)
{
    const margin_row *row = &rows[move];
    pw_site *site = PW_NEW(arena, 1, pw_site);
    pw_problems *told = PW_NEW(arena, 1, pw_problems);
    if (site == NULL || told == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", NULL, NULL, NULL);
    }
    *site = *plant->site;
    const size_t mark = pw_arena_mark(arena);
    pw_param *params = NULL;
    int32_t count = 0;
    if (pw_params_list(arena, site, &params, &count) != PW_OK) {
        return pw_problem_add(problems, PW_MEMORY, "", NULL, NULL, NULL);
    }
    for (int32_t i = 0; i < count; i++) {
        for (int32_t p = 0; p < MOST_PATHS && row->paths[p].path != NULL; p++) {
            if (follows(row->paths[p].path, params[i].path)) {
                (void)pw_param_put(site, &params[i],
                                   pw_param_get(site, &params[i]) * (1.0 + (row->paths[p].factor - 1.0) * part));
            }
        }
    }
    pw_arena_back(arena, mark);
    for (int32_t i = 0; i < site->sensor_count; i++) {
        pw_sensor *sensor = &site->sensors[i];
        if (measures_pressure(sensor)) {
            sensor->error_pa = row->sensor * part * (sensor->high_pa.v - sensor->low_pa.v);
        }
    }
    /* what it warns of was told of the site as it is */
    const pw_status status = pw_plant_build(arena, site, false, out, told);
    return status == PW_OK ? status : pw_problem_add(problems, status, "", NULL, NULL, NULL);
}
