/* Checks within one item of a site sheet, right after it was read and before defaults come in. See check.c for the
 * rest. */
#include "site/table.h"
#include "formula/pump.h"
#include "formula/water.h"

static void check_ends(pw_sheet_reader *reader, int32_t from, int32_t to)
{
    if (from >= 0 && from == to) {
        int32_t mark = pw_path_key(reader, "to");
        pw_sheet_error(reader, PW_CONFLICT, pw_verbatim(reader->site->places[to].name), pw_fact_of("sheet.other-place"),
                       pw_no_fact());
        pw_path_back(reader, mark);
    }
}

static void finish_line(pw_sheet_reader *reader, const pw_json *json, pw_line *line)
{
    if (pw_json_get(json, "name") == NULL && line->from >= 0 && line->to >= 0) {
        char name[PW_WORDS_SIZE];
        const pw_place *places = reader->site->places;
        pw_copy(line->name, PW_NAME_SIZE, pw_say(name, places[line->from].name, "-", places[line->to].name, NULL));
    }
    check_ends(reader, line->from, line->to);
    const char *const beside[] = {"bore", "wall", "stiffness"};
    bool pipe = pw_json_get(json, "pipe") != NULL;
    for (int32_t i = 0; i < 3 && pipe; i++) {
        if (pw_json_get(json, beside[i]) != NULL) {
            pw_sheet_error_at(reader, beside[i], PW_CONFLICT, pw_fact_of("sheet.pipe-and-this"),
                              pw_fact_of("sheet.only-one-of-them"), pw_fact_of("sheet.pipe-says-size"));
        }
    }
    if (!pipe && pw_json_get(json, "bore") == NULL) {
        line->bore_m.v = PW_UNKNOWN;
        pw_sheet_error_at(reader, "pipe", PW_MISSING, pw_fact_of("sheet.nothing"), pw_fact_of("sheet.pipe-or-bore"),
                          pw_fact_of("sheet.for-instance-key", pw_named("pipe"), pw_named("PE100 40 SDR 11")));
    } else if (!pipe && pw_json_get(json, "roughness") == NULL && line->friction == PW_FRICTION_DARCY) {
        line->rough_m.v = PW_UNKNOWN;
        pw_sheet_error_at(reader, "roughness", PW_MISSING, pw_fact_of("sheet.nothing"),
                          pw_fact_of("sheet.roughness-too"),
                          pw_fact_of("sheet.for-instance-key", pw_named("roughness"), pw_named("0.007 mm")));
    }
}

/* One point of the ground against the one before it: further on, within the line, and no steeper than its pipe. */
static void check_ground_point(pw_sheet_reader *reader, const char *key, const pw_line *line,
                               const pw_ground_point *before, const pw_ground_point *point)
{
    const double run_m = point->distance_m.v - before->distance_m.v;
    const double climb_m = pw_abs(point->height_m.v - before->height_m.v);
    if (run_m <= 0.0 || point->distance_m.v >= line->length_m.v) {
        pw_sheet_error_at(reader, key, PW_CONFLICT,
                          pw_fact_of("sheet.after", pw_quantity(PW_DIM_LENGTH, point->distance_m.v),
                                     pw_quantity(PW_DIM_LENGTH, before->distance_m.v)),
                          pw_fact_of("sheet.ground-further", pw_quantity(PW_DIM_LENGTH, line->length_m.v)),
                          pw_no_fact());
    } else if (climb_m > run_m) {
        pw_sheet_error_at(
            reader, key, PW_CONFLICT,
            pw_fact_of("sheet.ground-steep", pw_quantity(PW_DIM_LENGTH, climb_m), pw_quantity(PW_DIM_LENGTH, run_m)),
            pw_fact_of("sheet.ground-not-steeper"), pw_no_fact());
    }
}

static void finish_ground(pw_sheet_reader *reader, const pw_json *json, const pw_line *line)
{
    const bool over = line->over_m.given;
    const bool known = pw_known(line->length_m) && line->length_m.given && line->from >= 0 && line->to >= 0;
    if (over && pw_json_get(json, "profile") != NULL) {
        pw_sheet_error_at(reader, "over", PW_CONFLICT, pw_fact_of("sheet.over-and-profile"),
                          pw_fact_of("sheet.only-one-of-them"), pw_no_fact());
        return;
    }
    if (!over && pw_json_get(json, "over after") != NULL && pw_json_get(json, "over") == NULL) {
        pw_sheet_error_at(reader, "over", PW_MISSING, pw_fact_of("sheet.nothing"), pw_fact_of("sheet.over-too"),
                          pw_fact_of("sheet.for-instance-key", pw_named("over"), pw_named("38 m")));
        return;
    }
    if (!known) {
        return;
    }
    pw_ground_point before = {{0}, reader->site->places[line->from].level_m};
    const pw_ground_point end = {line->length_m, reader->site->places[line->to].level_m};
    for (int32_t i = 0; i < (over ? 1 : line->profile_count); i++) {
        const pw_ground_point point =
            over ? (pw_ground_point){{.v = pw_line_over_after_m(line), .given = true}, line->over_m} : line->profile[i];
        if (!point.distance_m.given || !point.height_m.given) {
            return;
        }
        check_ground_point(reader, over ? "over" : "profile", line, &before, &point);
        before = point;
    }
    const double run_m = end.distance_m.v - before.distance_m.v;
    const double climb_m = pw_abs(end.height_m.v - before.height_m.v);
    if ((over || line->profile_count > 0) && run_m > 0.0 && climb_m > run_m) {
        pw_sheet_error_at(
            reader, over ? "over" : "profile", PW_CONFLICT,
            pw_fact_of("sheet.ground-steep", pw_quantity(PW_DIM_LENGTH, climb_m), pw_quantity(PW_DIM_LENGTH, run_m)),
            pw_fact_of("sheet.ground-not-steeper"), pw_no_fact());
    }
}

/* What the shaft takes must follow from the curve; efficiency at no flow says nothing. */
static void check_given_points(pw_sheet_reader *reader, int32_t points, int32_t powers, int32_t efficiencies)
{
    if (powers != points && efficiencies < 2) {
        pw_sheet_error(reader, PW_MISSING,
                       powers > 0 ? pw_fact_of("sheet.power-in-some") : pw_fact_of("sheet.no-power-no-efficiency"),
                       pw_fact_of("sheet.power-or-efficiency"), pw_fact_of("sheet.in-data-sheet"));
    } else if (powers > 0 && powers < points) {
        pw_sheet_warning(reader, pw_fact_of("sheet.power-in-some"), pw_fact_of("sheet.power-everywhere"),
                         pw_fact_of("sheet.efficiency-instead"));
    }
}

/* One point of a curve against the one before it; NULL for the first. */
static void check_against(pw_sheet_reader *reader, const pw_curve_point *before, const pw_curve_point *point)
{
    if (before == NULL && point->flow_m3s.given && point->flow_m3s.v > 0) {
        pw_sheet_error_at(reader, "flow", PW_CONFLICT,
                          pw_fact_of("sheet.value", pw_quantity(PW_DIM_FLOW, point->flow_m3s.v)),
                          pw_fact_of("sheet.first-point"), pw_fact_of("sheet.add-shut-off"));
    }
    if (before == NULL) {
        return;
    }
    if (point->flow_m3s.given && before->flow_m3s.given && point->flow_m3s.v <= before->flow_m3s.v) {
        pw_sheet_error_at(reader, "flow", PW_CONFLICT,
                          pw_fact_of("sheet.after", pw_quantity(PW_DIM_FLOW, point->flow_m3s.v),
                                     pw_quantity(PW_DIM_FLOW, before->flow_m3s.v)),
                          pw_fact_of("sheet.flow-rises"), pw_no_fact());
    }
    if (point->head_m.given && before->head_m.given && point->head_m.v > before->head_m.v) {
        pw_sheet_error_at(reader, "head", PW_CONFLICT,
                          pw_fact_of("sheet.after", pw_quantity(PW_DIM_LENGTH, point->head_m.v),
                                     pw_quantity(PW_DIM_LENGTH, before->head_m.v)),
                          pw_fact_of("sheet.head-falls"), pw_fact_of("sheet.drooping-curve"));
    }
}

static void finish_curve(pw_sheet_reader *reader, const pw_json *curve, const pw_pump *pump)
{
    int32_t powers = 0;
    int32_t efficiencies = 0;
    int32_t curve_mark = pw_path_key(reader, "curve");
    for (int32_t i = 0; i < pump->point_count; i++) {
        const pw_curve_point *point = &pump->curve[i];
        const pw_curve_point *before = i > 0 ? &pump->curve[i - 1] : NULL;
        int32_t mark = pw_path_index(reader, i);
        check_against(reader, before, point);
        powers += pw_json_get(pw_json_at(curve, i), "power") != NULL;
        efficiencies += pw_json_get(pw_json_at(curve, i), "efficiency") != NULL && i > 0;
        /* cold water is near enough for a bound */
        double water_w = pw_hydraulic_w(pw_pa_per_m(PW_COLD_WATER_KGM3), point->flow_m3s.v, point->head_m.v);
        if (point->power_w.given && point->flow_m3s.given && point->head_m.given && water_w > point->power_w.v) {
            pw_sheet_error_at(reader, "power", PW_CONFLICT, pw_fact_of("sheet.less-than-water-power"),
                              pw_fact_of("sheet.below-100"), pw_no_fact());
        }
        pw_path_back(reader, mark);
    }
    if (pump->point_count > 0) {
        check_given_points(reader, pump->point_count, powers, efficiencies);
    }
    pw_path_back(reader, curve_mark);
}

/* A switch with less between its two pressures would flutter (own choice). */
#define LEAST_DIFFERENTIAL_PA 1000.0

static void finish_sensor(pw_sheet_reader *reader, const pw_json *json, const pw_sensor *sensor)
{
    bool line = pw_json_get(json, "line") != NULL;
    bool pump = pw_json_get(json, "pump") != NULL;
    if ((int32_t)sensor->kind == PW_SENSOR_SWITCH && sensor->closes_pa.given && sensor->opens_pa.given &&
        pw_abs(sensor->closes_pa.v - sensor->opens_pa.v) < LEAST_DIFFERENTIAL_PA) {
        pw_sheet_error_at(reader, "opens at", PW_CONFLICT,
                          pw_fact_of("sheet.after", pw_quantity(PW_DIM_PRESSURE, sensor->opens_pa.v),
                                     pw_quantity(PW_DIM_PRESSURE, sensor->closes_pa.v)),
                          pw_fact_of("sheet.switch-differential", pw_quantity(PW_DIM_PRESSURE, LEAST_DIFFERENTIAL_PA)),
                          pw_no_fact());
    }
    if ((int32_t)sensor->kind == PW_SENSOR_FLOW && line == pump) {
        pw_sheet_error_at(reader, "line", line ? PW_CONFLICT : PW_MISSING,
                          line ? pw_fact_of("sheet.line-and-pump") : pw_fact_of("sheet.nothing"),
                          pw_fact_of("sheet.line-or-pump"), pw_no_fact());
    }
}

/* A trace that changes many times a second, over and over, is no use of water: nobody measures or means that, and a day
 * of it is millions of changes. */
#define LEAST_STEP_S 0.1

static void check_trace_steps(pw_sheet_reader *reader, const pw_demand *demand)
{
    const int32_t steps = demand->trace_count - 1;
    if (steps > 0 && demand->trace_s[steps] < LEAST_STEP_S * (double)steps) {
        pw_sheet_error_at(
            reader, "times", PW_RANGE,
            pw_fact_of("sheet.trace-steps", pw_count(steps), pw_quantity(PW_DIM_TIME, demand->trace_s[steps])),
            pw_fact_of("sheet.trace-slower", pw_quantity(PW_DIM_TIME, LEAST_STEP_S)), pw_no_fact());
    }
}

static void finish_demand(pw_sheet_reader *reader, const pw_json *json, pw_demand *demand)
{
    if ((int32_t)demand->kind != PW_DEMAND_TRACE) {
        return;
    }
    const pw_json *times = pw_json_get(json, "times");
    const pw_json *flows = pw_json_get(json, "flows");
    if (times == NULL || flows == NULL) {
        const pw_json *trace = pw_json_get(json, "trace");
        bool file = trace != NULL;
        if (file && trace->kind != PW_JSON_OBJECT) {
            return; /* told already */
        }
        pw_sheet_error_at(reader, times == NULL ? "times" : "flows", PW_MISSING,
                          file ? pw_fact_of("sheet.file-not-read") : pw_fact_of("sheet.nothing"),
                          pw_fact_of("sheet.times-and-flows"),
                          file ? pw_fact_of("sheet.files-are-read-outside") : pw_no_fact());
        return;
    }
    if (times->count != flows->count) {
        pw_sheet_error_at(reader, "flows", PW_CONFLICT, pw_fact_of("sheet.other-number-of-flows"),
                          pw_fact_of("sheet.flow-for-each-time"), pw_no_fact());
    }
    demand->trace_count =
        demand->trace_s != NULL && demand->trace_m3s != NULL && times->count == flows->count ? times->count : 0;
    check_trace_steps(reader, demand);
}

/* Times of a course rise within the day, and something must come of it. */
static void check_points(pw_sheet_reader *reader, const char *key, const pw_supply_point *points, int32_t count)
{
    const int32_t list = pw_path_key(reader, key);
    for (int32_t i = 1; i < count; i++) {
        const int32_t mark = pw_path_index(reader, i);
        if (points[i].at_s.given && points[i - 1].at_s.given && points[i].at_s.v <= points[i - 1].at_s.v) {
            pw_sheet_error_at(
                reader, "at", PW_CONFLICT,
                pw_fact_of("sheet.after", pw_clock((int64_t)points[i].at_s.v), pw_clock((int64_t)points[i - 1].at_s.v)),
                pw_fact_of("sheet.points-rise"), pw_no_fact());
        }
        pw_path_back(reader, mark);
    }
    pw_path_back(reader, list);
}

static void finish_filter(pw_sheet_reader *reader, const pw_json *json, const pw_filter *filter)
{
    const bool volume = pw_json_get(json, "full after") != NULL;
    const bool drop = pw_json_get(json, "full drop") != NULL;
    if (volume != drop) {
        pw_sheet_error_at(reader, volume ? "full drop" : "full after", PW_MISSING, pw_fact_of("sheet.nothing"),
                          pw_fact_of("sheet.full-both"), pw_no_fact());
    } else if (filter->full_pa.given && filter->clean_pa.given && filter->full_pa.v < filter->clean_pa.v) {
        pw_sheet_error_at(reader, "full drop", PW_CONFLICT,
                          pw_fact_of("sheet.value", pw_quantity(PW_DIM_PRESSURE, filter->full_pa.v)),
                          pw_fact_of("sheet.full-not-less"), pw_no_fact());
    }
    for (const pw_filter *other = reader->site->filters; other < filter; other++) {
        if (filter->line >= 0 && other->line == filter->line) {
            pw_sheet_error_at(reader, "line", PW_DUPLICATE, pw_verbatim(reader->site->lines[filter->line].name),
                              pw_fact_of("sheet.one-filter"), pw_no_fact());
        }
    }
}

static void finish_solar(pw_sheet_reader *reader, const pw_solar *solar)
{
    bool any = solar->point_count == 0;
    check_points(reader, "day", solar->points, solar->point_count);
    for (int32_t i = 0; i < solar->point_count; i++) {
        any = any || !solar->points[i].power_w.given || solar->points[i].power_w.v > 0.0;
    }
    if (!any) {
        pw_sheet_error_at(reader, "day", PW_RANGE, pw_fact_of("sheet.only-zeros"), pw_fact_of("sheet.one-above-zero"),
                          pw_no_fact());
    }
}

void pw_sheet_check_item(pw_sheet_reader *reader, const pw_block *block, const pw_json *json, void *item)
{
    if (block == &pw_block_line) {
        finish_line(reader, json, item);
        finish_ground(reader, json, item);
    } else if (block == &pw_block_pump) {
        const pw_pump *pump = item;
        check_ends(reader, pump->from, pump->to);
        finish_curve(reader, pw_json_get(json, "curve"), pump);
    } else if (block == &pw_block_tank) {
        pw_tank *tank = item;
        tank->float_valve = pw_json_get(json, "float valve") != NULL;
    } else if (block == &pw_block_sensor) {
        finish_sensor(reader, json, item);
    } else if (block == &pw_block_supply) {
        const pw_site *site = item;
        check_points(reader, "course", site->supply.points, site->supply.point_count);
    } else if (block == &pw_block_filter) {
        finish_filter(reader, json, item);
    } else if (block == &pw_block_solar) {
        finish_solar(reader, item);
    } else if (block == &pw_block_demand) {
        finish_demand(reader, json, item);
    }
}
