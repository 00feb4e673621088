/* Third pass over a site sheet: what must agree between its parts. Errors make the site unusable (invariants S3 to S5,
 * and what the equations cannot stand); warnings are what a person on site would ask about. Numbers that could not be
 * read are left out here: their problem is reported already. */
#include <string.h>

#include "site/table.h"
#include "formula/pump.h"
#include "formula/water.h"
#include "site/topology.h"

static bool both(pw_field a, pw_field b)
{
    return pw_known(a) && pw_known(b);
}

/* Path of one item: "tanks[2]". */
static int32_t go(pw_sheet_reader *reader, const char *list, int32_t index)
{
    int32_t mark = pw_path_key(reader, list);
    pw_path_index(reader, index);
    return mark;
}

static void check_names(pw_sheet_reader *reader, const char *list, const void *items, size_t size, int32_t count)
{
    const char *base = items; /* the name is the first member of each */
    for (int32_t i = 1; i < count; i++) {
        const char *name = base + (size_t)i * size;
        for (int32_t k = 0; k < i && name[0] != '\0'; k++) {
            if (strcmp(name, base + (size_t)k * size) == 0) {
                int32_t mark = go(reader, list, i);
                pw_sheet_error_at(reader, "name", PW_DUPLICATE, pw_verbatim(name), pw_fact_of("sheet.own-name"),
                                  pw_fact_of("sheet.two-have-name"));
                pw_path_back(reader, mark);
                break;
            }
        }
    }
}

static void check_all_names(pw_sheet_reader *reader)
{
    const pw_site *site = reader->site;
    check_names(reader, "places", site->places, sizeof(pw_place), site->place_count);
    check_names(reader, "sources", site->sources, sizeof(pw_source), site->source_count);
    check_names(reader, "pumps", site->pumps, sizeof(pw_pump), site->pump_count);
    check_names(reader, "lines", site->lines, sizeof(pw_line), site->line_count);
    check_names(reader, "vessels", site->vessels, sizeof(pw_vessel), site->vessel_count);
    check_names(reader, "tanks", site->tanks, sizeof(pw_tank), site->tank_count);
    check_names(reader, "outlets", site->outlets, sizeof(pw_outlet), site->outlet_count);
    check_names(reader, "filters", site->filters, sizeof(pw_filter), site->filter_count);
    check_names(reader, "sensors", site->sensors, sizeof(pw_sensor), site->sensor_count);
}

/* S5: one storage on a place. held[] has the name of what is there. */
static void hold(pw_sheet_reader *reader, const char *held[PW_MAX_PLACES], const char *list, int32_t index,
                 int32_t place, const char *name)
{
    if (place < 0) {
        return;
    }
    if (held[place] == NULL) {
        held[place] = name;
        return;
    }
    int32_t mark = go(reader, list, index);
    pw_sheet_error_at(
        reader, "at", PW_CONFLICT,
        pw_fact_of("sheet.place-is-taken", pw_named(reader->site->places[place].name), pw_named(held[place])),
        pw_fact_of("sheet.one-storage"), pw_fact_of("sheet.add-place"));
    pw_path_back(reader, mark);
}

static void check_storages(pw_sheet_reader *reader, const char *held[PW_MAX_PLACES])
{
    const pw_site *site = reader->site;
    for (int32_t i = 0; i < site->source_count; i++) {
        hold(reader, held, "sources", i, site->sources[i].place, site->sources[i].name);
    }
    for (int32_t i = 0; i < site->vessel_count; i++) {
        hold(reader, held, "vessels", i, site->vessels[i].place, site->vessels[i].name);
    }
    for (int32_t i = 0; i < site->tank_count; i++) {
        hold(reader, held, "tanks", i, site->tanks[i].place, site->tanks[i].name);
    }
}

static void check_reached(pw_sheet_reader *reader)
{
    const pw_site *site = reader->site;
    static const pw_walk_rules whatever = {.way = PW_WALK_JOINED, .through_pumps = true};
    pw_reach reached = {0};
    for (int32_t i = 0; i < site->source_count; i++) {
        pw_walk(site, &whatever, site->sources[i].place, &reached);
    }
    for (int32_t i = 0; i < site->place_count; i++) {
        if (!reached.at[i] && site->places[i].name[0] != '\0') {
            int32_t mark = go(reader, "places", i);
            pw_sheet_error(reader, PW_CONFLICT, pw_verbatim(site->places[i].name), pw_fact_of("sheet.joined"),
                           pw_fact_of("sheet.join-it"));
            pw_path_back(reader, mark);
        }
    }
}

/* Something must stand or arrive at a pump's intake. */
static void check_fed(pw_sheet_reader *reader, const char *const held[PW_MAX_PLACES], int32_t pump)
{
    const pw_site *site = reader->site;
    int32_t place = site->pumps[pump].from;
    if (place < 0 || held[place] != NULL) {
        return;
    }
    static const pw_walk_rules against_water = {.way = PW_WALK_UP};
    bool fed = pw_site_pump_into(site, place) >= 0;
    for (int32_t i = 0; i < site->line_count; i++) {
        const pw_line *line = &site->lines[i];
        const bool other_unknown = (line->from == place || line->to == place) && (line->from < 0 || line->to < 0);
        fed = fed || other_unknown || pw_line_leads(site, i, place, &against_water) >= 0;
    }
    if (!fed) {
        pw_sheet_error_at(reader, "from", PW_CONFLICT, pw_verbatim(site->places[place].name),
                          pw_fact_of("sheet.fed-place"), pw_fact_of("sheet.nothing-feeds-pump"));
    }
}

/* Lift from the water at rest to the pump's outlet, with the vessel there at its precharge. */
static void check_lift(pw_sheet_reader *reader, const pw_pump *pump)
{
    const pw_site *site = reader->site;
    const int32_t at = pump->from >= 0 ? pw_site_source_at(site, pump->from) : -1;
    const pw_source *source = at >= 0 ? &site->sources[at] : NULL;
    if (source == NULL || pump->to < 0 || pump->point_count == 0 || !both(pump->curve[0].head_m, pump->speed) ||
        !both(site->places[pump->from].level_m, site->places[pump->to].level_m)) {
        return;
    }
    double lift_m = site->places[pump->to].level_m.v - site->places[pump->from].level_m.v;
    if (!both(source->standing_m, source->pressure_pa)) {
        return;
    }
    lift_m += source->standing_m.v - source->pressure_pa.v / pw_pa_per_m(PW_COLD_WATER_KGM3);
    for (int32_t i = 0; i < site->vessel_count; i++) {
        if (site->vessels[i].place == pump->to && pw_known(site->vessels[i].precharge_pa)) {
            lift_m += site->vessels[i].precharge_pa.v / pw_pa_per_m(PW_COLD_WATER_KGM3);
        }
    }
    double head_m = pw_affinity_head_m(pump->curve[0].head_m.v, pump->speed.v);
    if (head_m < lift_m) {
        pw_sheet_warning_at(reader, "curve", pw_fact_of("sheet.shut-off-head-of", pw_quantity(PW_DIM_LENGTH, head_m)),
                            pw_fact_of("sheet.more-than-lift", pw_quantity(PW_DIM_LENGTH, lift_m)),
                            pw_fact_of("sheet.never-delivers"));
    }
}

static void check_motor_supply(pw_sheet_reader *reader, const pw_motor *motor)
{
    const pw_site *site = reader->site;
    bool known = both(motor->voltage_v, site->supply_v) && motor->phases >= 0 && site->supply_phases >= 0;
    if (known && pw_abs(motor->voltage_v.v - site->supply_v.v) > 0.1 * site->supply_v.v) {
        pw_sheet_warning_at(reader, "voltage", pw_fact_of("sheet.voltage-off"), pw_fact_of("sheet.voltage-of-supply"),
                            pw_fact_of("sheet.no-drive-modelled"));
    }
    if (known && motor->phases != site->supply_phases) {
        pw_sheet_warning_at(reader, "phases", pw_fact_of("sheet.phases-off"), pw_fact_of("sheet.phases-of-supply"),
                            pw_fact_of("sheet.no-drive-between"));
    }
}

static void check_motor(pw_sheet_reader *reader, const pw_pump *pump)
{
    const pw_motor *motor = &pump->motor;
    int32_t mark = pw_path_key(reader, "motor");
    check_motor_supply(reader, motor);
    if (both(motor->locked_rotor_a, motor->full_load_a) && motor->locked_rotor_a.v < motor->full_load_a.v) {
        pw_sheet_error_at(reader, "locked-rotor current", PW_CONFLICT, pw_fact_of("sheet.below-full-load"),
                          pw_fact_of("sheet.at-least-full-load"), pw_no_fact());
    }
    double usual_a = pw_derive_full_load_current(reader->site, motor);
    bool odd = motor->full_load_a.given && usual_a != PW_UNKNOWN &&
               (motor->full_load_a.v > 2 * usual_a || motor->full_load_a.v < 0.5 * usual_a);
    if (odd) {
        pw_sheet_warning_at(reader, "full-load current", pw_fact_of("sheet.far-from-power"),
                            pw_fact_of("sheet.about", pw_quantity(PW_DIM_CURRENT, usual_a)),
                            pw_fact_of("sheet.name-plate"));
    }
    double most_w = 0;
    for (int32_t i = 0; i < pump->point_count; i++) {
        const pw_curve_point *point = &pump->curve[i];
        double shaft_w = point->power_w.given ? point->power_w.v : 0;
        bool sized = point->efficiency.given && point->efficiency.v > 0 && both(point->flow_m3s, point->head_m);
        if (!point->power_w.given && sized) {
            const double pa_per_m = pw_pa_per_m(PW_COLD_WATER_KGM3);
            shaft_w = pw_hydraulic_w(pa_per_m, point->flow_m3s.v, point->head_m.v) / point->efficiency.v;
        }
        most_w = pw_max(most_w, shaft_w);
    }
    double speed = pw_known(pump->speed) ? pump->speed.v : 1;
    most_w = pw_affinity_power_w(most_w, speed);
    if (motor->power_w.given && most_w > 1.15 * motor->power_w.v) {
        pw_sheet_warning_at(reader, "power", pw_fact_of("sheet.below-worst-point"),
                            pw_fact_of("sheet.about", pw_quantity(PW_DIM_POWER, most_w)),
                            pw_fact_of("sheet.motor-overloaded"));
    }
    pw_path_back(reader, mark);
}

static void check_pumps(pw_sheet_reader *reader, const char *const held[PW_MAX_PLACES])
{
    for (int32_t i = 0; i < reader->site->pump_count; i++) {
        int32_t mark = go(reader, "pumps", i);
        check_fed(reader, held, i);
        check_lift(reader, &reader->site->pumps[i]);
        check_motor(reader, &reader->site->pumps[i]);
        pw_path_back(reader, mark);
    }
}

static void check_sources(pw_sheet_reader *reader)
{
    const pw_site *site = reader->site;
    for (int32_t i = 0; i < site->source_count; i++) {
        const pw_source *source = &site->sources[i];
        int32_t mark = go(reader, "sources", i);
        if (source->standing_m.given && source->intake_m.given && source->intake_m.v <= source->standing_m.v) {
            pw_sheet_error_at(reader, "intake", PW_CONFLICT, pw_fact_of("sheet.above-standing"),
                              pw_fact_of("sheet.intake-deeper"), pw_fact_of("sheet.both-depths"));
        }
        pw_path_back(reader, mark);
    }
}

static void check_tanks(pw_sheet_reader *reader)
{
    const pw_site *site = reader->site;
    for (int32_t i = 0; i < site->tank_count; i++) {
        const pw_tank *tank = &site->tanks[i];
        int32_t mark = go(reader, "tanks", i);
        if (both(tank->start_m, tank->depth_m) && tank->start_m.v > tank->depth_m.v) {
            pw_sheet_error_at(reader, "starts at", PW_CONFLICT, pw_fact_of("sheet.above-overflow"),
                              pw_fact_of("sheet.at-most-depth"), pw_no_fact());
        }
        if (tank->float_valve && both(tank->closes_m, tank->depth_m) && tank->closes_m.v > tank->depth_m.v) {
            int32_t inner = pw_path_key(reader, "float valve");
            pw_sheet_warning_at(reader, "closes at", pw_fact_of("sheet.above-overflow"),
                                pw_fact_of("sheet.at-most-depth"), pw_fact_of("sheet.spills-first"));
            pw_path_back(reader, inner);
        }
        if (tank->float_valve && both(tank->closes_m, tank->band_m) && tank->band_m.v > tank->closes_m.v) {
            int32_t inner = pw_path_key(reader, "float valve");
            pw_sheet_warning_at(reader, "band", pw_fact_of("sheet.deeper-than-shut"), pw_fact_of("sheet.at-most-shut"),
                                pw_fact_of("sheet.never-opens"));
            pw_path_back(reader, inner);
        }
        pw_path_back(reader, mark);
    }
}

/* Level and probe: there must be a water level at the place, and the probe within it. */
static void check_level_sensor(pw_sheet_reader *reader, const pw_sensor *sensor)
{
    const pw_site *site = reader->site;
    double top_m = PW_UNKNOWN;
    for (int32_t i = 0; i < site->tank_count; i++) {
        if (site->tanks[i].place == sensor->place) {
            top_m = site->tanks[i].depth_m.v == PW_UNKNOWN ? PW_INF : site->tanks[i].depth_m.v;
        }
    }
    for (int32_t i = 0; i < site->source_count; i++) {
        const pw_source *source = &site->sources[i];
        if (source->place == sensor->place && (int32_t)source->kind == PW_SOURCE_BORE) {
            top_m = both(source->intake_m, source->standing_m) ? source->intake_m.v - source->standing_m.v : PW_INF;
        }
    }
    if (top_m == PW_UNKNOWN) {
        pw_sheet_error_at(reader, "at", PW_CONFLICT, pw_verbatim(site->places[sensor->place].name),
                          pw_fact_of("sheet.tank-or-bore"), pw_no_fact());
    } else if ((int32_t)sensor->kind == PW_SENSOR_PROBE && sensor->probe_m.given && sensor->probe_m.v > top_m) {
        pw_sheet_warning_at(reader, "height", pw_fact_of("sheet.above-highest-water"),
                            pw_fact_of("sheet.height-reached"), pw_fact_of("sheet.probe-always-dry"));
    }
}

static void check_sensors(pw_sheet_reader *reader)
{
    const pw_site *site = reader->site;
    for (int32_t i = 0; i < site->sensor_count; i++) {
        const pw_sensor *sensor = &site->sensors[i];
        int32_t kind = (int32_t)sensor->kind;
        int32_t mark = go(reader, "sensors", i);
        if (kind == PW_SENSOR_PRESSURE && both(sensor->low_pa, sensor->high_pa) &&
            sensor->low_pa.v >= sensor->high_pa.v) {
            pw_sheet_error_at(reader, "to", PW_CONFLICT, pw_fact_of("sheet.not-above-from"),
                              pw_fact_of("sheet.range-up"), pw_no_fact());
        }
        if (kind == PW_SENSOR_FLOW && both(sensor->makes_ms, sensor->breaks_ms) &&
            sensor->breaks_ms.v >= sensor->makes_ms.v) {
            pw_sheet_error_at(reader, "breaks at", PW_CONFLICT, pw_fact_of("sheet.not-below-makes"),
                              pw_fact_of("sheet.velocity-below-makes"), pw_no_fact());
        }
        if ((kind == PW_SENSOR_LEVEL || kind == PW_SENSOR_PROBE) && sensor->place >= 0) {
            check_level_sensor(reader, sensor);
        }
        pw_path_back(reader, mark);
    }
}

static void check_demands(pw_sheet_reader *reader)
{
    const pw_site *site = reader->site;
    for (int32_t i = 0; i < site->demand_count; i++) {
        const pw_demand *demand = &site->demands[i];
        int32_t mark = go(reader, "demand", i);
        bool repeats = (int32_t)demand->kind == PW_DEMAND_DRAW && demand->every_s.given;
        if (repeats && both(demand->at_s, demand->until_s) && demand->until_s.v <= demand->at_s.v) {
            pw_sheet_error_at(reader, "until", PW_CONFLICT, pw_fact_of("sheet.not-after-at"),
                              pw_fact_of("sheet.later-same-day"), pw_fact_of("sheet.two-draws"));
        }
        if (repeats && pw_known(demand->duration_s) && demand->duration_s.v > demand->every_s.v) {
            pw_sheet_warning_at(reader, "every", pw_fact_of("sheet.shorter-than-draw"),
                                pw_fact_of("sheet.at-least-for"), pw_fact_of("sheet.draws-overlap"));
        }
        pw_path_back(reader, mark);
    }
}

static void check_limits(pw_sheet_reader *reader)
{
    const pw_site *site = reader->site;
    int32_t mark = pw_path_key(reader, "limits");
    if (both(site->limits.lowest_pa, site->limits.highest_pa) &&
        site->limits.lowest_pa.v >= site->limits.highest_pa.v) {
        pw_sheet_error_at(reader, "lowest pressure", PW_CONFLICT, pw_fact_of("sheet.not-below-highest"),
                          pw_fact_of("sheet.lower-pressure"), pw_no_fact());
    }
    pw_path_back(reader, mark);
}

static bool empty(const pw_json *list)
{
    return list == NULL || (list->kind == PW_JSON_ARRAY && list->count == 0);
}

void pw_sheet_check(pw_sheet_reader *reader, const pw_json *json)
{
    const char *held[PW_MAX_PLACES] = {NULL};
    check_all_names(reader);
    check_storages(reader, held);
    if (empty(pw_json_get(json, "outlets")) && empty(pw_json_get(json, "tanks"))) {
        pw_sheet_error_at(reader, "outlets", PW_MISSING, pw_fact_of("sheet.nothing"),
                          pw_fact_of("sheet.outlet-or-tank"), pw_no_fact());
    }
    check_sources(reader);
    check_pumps(reader, held);
    pw_sheet_check_supply(reader);
    check_tanks(reader);
    check_sensors(reader);
    check_demands(reader);
    check_limits(reader);
    bool joined = !reader->dangling && !reader->broken[PW_TO_PLACES] && !reader->broken[PW_TO_PUMPS] &&
                  !reader->broken[PW_TO_LINES];
    if (joined) {
        check_reached(reader);
    }
}
