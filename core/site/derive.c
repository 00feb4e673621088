/* Defaults of the site sheet that are worked out from the rest of it. Each returns PW_UNKNOWN when what it needs is not
 * known. The motor figures are for a first estimate: name plates win. Their reasons stand in the table (table_pump.c).
 */
#include "site/table.h"
#include "formula/pipe.h"
#include "formula/bore.h"
#include "formula/friction.h"
#include "formula/motor.h"
#include "formula/pump.h"
#include "formula/thermal.h"

static bool broken(double value)
{
    return value == PW_UNKNOWN;
}

double pw_derive_supply_phases(const pw_site *site, const void *item)
{
    (void)item;
    for (int32_t i = 0; i < site->pump_count; i++) {
        if (site->pumps[i].motor.phases >= 0) {
            return site->pumps[i].motor.phases;
        }
    }
    return 1;
}

double pw_derive_supply_voltage(const pw_site *site, const void *item)
{
    for (int32_t i = 0; i < site->pump_count; i++) {
        if (site->pumps[i].motor.voltage_v.given) {
            return site->pumps[i].motor.voltage_v.v;
        }
    }
    double phases = site->supply_phases >= 0 ? site->supply_phases : pw_derive_supply_phases(site, item);
    if (phases == 0) {
        return PW_UNKNOWN; /* DC comes in every voltage */
    }
    return phases == 3 ? 400 : 230; /* IEC 60038 */
}

/* Of a casing that the sheet does not state: as its row has it. */
#define USUAL_CASING_M 0.1

/* PW_UNKNOWN without a test, or where the water did not fall in it. */
double pw_derive_capacity(const pw_site *site, const void *item)
{
    (void)site;
    const pw_source *source = item;
    const pw_bore_test *test = &source->test;
    const double before_m = test->standing_m.given ? test->standing_m.v : source->standing_m.v;
    if (!test->flow_m3s.given || !test->pumping_m.given || !test->time_s.given || !pw_known(source->standing_m) ||
        !(test->pumping_m.v > before_m)) {
        return PW_UNKNOWN;
    }
    const double casing_m = source->bore_m.given && pw_known(source->bore_m) ? source->bore_m.v : USUAL_CASING_M;
    return pw_tested_capacity_m2s(test->flow_m3s.v, test->pumping_m.v - before_m, test->time_s.v,
                                  pw_bore_area_m2(casing_m));
}

/* Never more than flows in at the deepest drawdown. */
double pw_derive_yield(const pw_site *site, const void *item)
{
    (void)site;
    const pw_source *source = item;
    if (!pw_known(source->capacity_m2s) || !pw_known(source->intake_m) || !pw_known(source->standing_m)) {
        return PW_UNKNOWN;
    }
    return source->capacity_m2s.v * (source->intake_m.v - source->standing_m.v);
}

double pw_derive_motor_voltage(const pw_site *site, const void *item)
{
    (void)item;
    return site->supply_v.v;
}

double pw_derive_motor_phases(const pw_site *site, const void *item)
{
    (void)item;
    return site->supply_phases;
}

/* Straight between points in the logarithm of the power, level outside. */
static double between(const double (*points)[2], int32_t count, double power_w)
{
    if (power_w <= points[0][0]) {
        return points[0][1];
    }
    for (int32_t i = 1; i < count; i++) {
        if (power_w <= points[i][0]) {
            double part = pw_log(power_w / points[i - 1][0]) / pw_log(points[i][0] / points[i - 1][0]);
            return points[i - 1][1] + part * (points[i][1] - points[i - 1][1]);
        }
    }
    return points[count - 1][1];
}

/* Wet motors, common practice. For comparison the least IE3 efficiencies of dry two-pole motors, IEC 60034-30-1 (from
 * memory): 0.75 kW 80.7 %, 1.5 kW 84.2 %, 2.2 kW 85.9 %, 4 kW 88.1 %, 7.5 kW 90.1 %. */
double pw_derive_motor_efficiency(const pw_site *site, const void *item)
{
    (void)site;
    static const double single[][2] = {{250, 0.52},  {370, 0.56},  {550, 0.60}, {750, 0.64},
                                       {1100, 0.68}, {1500, 0.71}, {2200, 0.74}};
    static const double three[][2] = {{370, 0.62},  {550, 0.66},  {750, 0.69},  {1100, 0.73}, {1500, 0.75},
                                      {2200, 0.77}, {4000, 0.80}, {7500, 0.83}, {15e3, 0.86}, {37e3, 0.88}};
    static const double direct[][2] = {{100, 0.70}, {500, 0.78}, {2000, 0.84}, {5000, 0.87}};
    const pw_motor *motor = item;
    if (!pw_known(motor->power_w)) {
        return PW_UNKNOWN;
    }
    switch (motor->phases) {
    case 1: return between(single, (int32_t)(sizeof(single) / sizeof(single)[0]), motor->power_w.v);
    case 3: return between(three, (int32_t)(sizeof(three) / sizeof(three)[0]), motor->power_w.v);
    case 0: return between(direct, (int32_t)(sizeof(direct) / sizeof(direct)[0]), motor->power_w.v);
    default: return PW_UNKNOWN;
    }
}

double pw_derive_motor_power_factor(const pw_site *site, const void *item)
{
    (void)site;
    const pw_motor *motor = item;
    if (motor->phases == 0) {
        return 1;
    }
    return motor->phases == 3 ? 0.80 : 0.90;
}

double pw_derive_full_load_current(const pw_site *site, const void *item)
{
    (void)site;
    const pw_motor *motor = item;
    bool known = pw_known(motor->power_w) && pw_known(motor->voltage_v) && pw_known(motor->efficiency) &&
                 pw_known(motor->power_factor);
    if (!known || motor->phases < 0) {
        return PW_UNKNOWN;
    }
    return pw_motor_current_a(motor->phases, motor->power_w.v, motor->voltage_v.v, motor->efficiency.v,
                              motor->power_factor.v);
}

double pw_derive_locked_rotor_current(const pw_site *site, const void *item)
{
    (void)site;
    const pw_motor *motor = item;
    if (!pw_known(motor->full_load_a) || motor->phases < 0) {
        return PW_UNKNOWN;
    }
    double times = motor->phases == 3 ? 6 : 5;
    return motor->full_load_a.v * (motor->phases == 0 ? 1 : times);
}

double pw_derive_cooling_time(const pw_site *site, const void *item)
{
    (void)site;
    const pw_motor *motor = item;
    return pw_known(motor->heat_time_s) ? 2 * motor->heat_time_s.v : PW_UNKNOWN;
}

double pw_derive_roughness(const pw_site *site, const void *item)
{
    (void)site;
    const pw_line *line = item;
    pw_pipe_size size;
    if (pw_pipe_find(line->pipe, &size)) {
        return size.rough_m;
    }
    return line->friction == PW_FRICTION_HAZEN ? PW_NOT_USED : PW_UNKNOWN;
}

double pw_derive_hazen(const pw_site *site, const void *item)
{
    (void)site;
    const pw_line *line = item;
    if (line->friction != PW_FRICTION_HAZEN) {
        return PW_NOT_USED;
    }
    pw_pipe_size size;
    return pw_pipe_find(line->pipe, &size) ? size.hazen_c : 140;
}

double pw_derive_float_closes(const pw_site *site, const void *item)
{
    (void)site;
    const pw_tank *tank = item;
    return pw_known(tank->depth_m) ? pw_max(tank->depth_m.v - 0.1, 0.9 * tank->depth_m.v) : PW_UNKNOWN;
}

double pw_derive_tank_start(const pw_site *site, const void *item)
{
    const pw_tank *tank = item;
    if (!tank->float_valve) {
        return tank->depth_m.v;
    }
    double closes = tank->closes_m.given ? tank->closes_m.v : pw_derive_float_closes(site, item);
    return broken(closes) || !pw_known(tank->depth_m) ? PW_UNKNOWN : pw_min(closes, tank->depth_m.v);
}

double pw_derive_tank_inlet(const pw_site *site, const void *item)
{
    (void)site;
    const pw_tank *tank = item;
    return tank->depth_m.v;
}

double pw_derive_switch_bore(const pw_site *site, const void *item)
{
    const pw_sensor *sensor = item;
    int32_t line = sensor->line;
    if (line < 0 && sensor->pump >= 0) { /* the only line that leaves the pump's outlet */
        for (int32_t i = 0; i < site->line_count; i++) {
            bool leaves = site->lines[i].from == site->pumps[sensor->pump].to;
            if (leaves && line >= 0) {
                return PW_UNKNOWN;
            }
            line = leaves ? i : line;
        }
    }
    return line < 0 ? PW_UNKNOWN : site->lines[line].bore_m.v;
}

/* For sizing. The first source that has an intake stands for the site. */
static const pw_source *first_intake(const pw_site *site)
{
    for (int32_t i = 0; i < site->source_count; i++) {
        const pw_source *source = &site->sources[i];
        const bool deep = source->kind == PW_SOURCE_BORE || source->kind == PW_SOURCE_OPEN;
        if (deep && pw_known(source->intake_m) && pw_known(source->standing_m)) {
            return source;
        }
    }
    return NULL;
}

/* What a use does not speak of needs no assumption. */
double pw_derive_person(const pw_site *site, const void *item)
{
    (void)site;
    return ((const pw_use *)item)->people.v > 0 ? 310e-3 / 86400.0 : PW_NOT_USED;
}

double pw_derive_peak(const pw_site *site, const void *item)
{
    (void)site;
    return ((const pw_use *)item)->people.v > 0 ? 4 : PW_NOT_USED;
}

double pw_derive_drinking(const pw_site *site, const void *item)
{
    (void)site;
    const pw_use *use = item;
    for (int32_t i = 0; i < PW_STOCK_COUNT; i++) {
        if (use->stock[i].v > 0) {
            return 14400;
        }
    }
    return PW_NOT_USED;
}

double pw_derive_at_once(const pw_site *site, const void *item)
{
    (void)site;
    return ((const pw_use *)item)->zones.v > 0 ? 1 : PW_NOT_USED;
}

double pw_derive_season(const pw_site *site, const void *item)
{
    (void)item;
    const pw_source *source = first_intake(site);
    return source == NULL ? 0.0 : pw_max(0.25 * (source->intake_m.v - source->standing_m.v), 0.0);
}

static const pw_source *source_of_first_pump(const pw_site *site)
{
    for (int32_t s = 0; s < site->source_count && site->pump_count > 0; s++) {
        if (site->sources[s].place >= 0 && site->sources[s].place == site->pumps[0].from) {
            return &site->sources[s];
        }
    }
    return NULL;
}

/* As core/element takes it: such a pump sucks, and can draw air. */
double pw_derive_stand(const pw_site *site, const void *item)
{
    const pw_suction *said = item;
    const pw_source *source = source_of_first_pump(site);
    const bool over = source != NULL && pw_pump_stands_over(&site->pumps[0], source);
    const bool pipe = said != NULL && (said->height_m.given || said->bore_m.given || said->length_m.given);
    return over || pipe ? PW_STAND_SURFACE : PW_STAND_SUBMERGED;
}

double pw_derive_suction_bore(const pw_site *site, const void *item)
{
    (void)item;
    const pw_pump *pump = &site->pumps[0];
    if (site->pump_count == 0 || pump->point_count == 0 || !pw_known(pump->speed) ||
        !pw_known(pump->curve[pump->point_count - 1].flow_m3s)) {
        return PW_UNKNOWN;
    }
    return pw_usual_suction_bore_m(pump->speed.v * pump->curve[pump->point_count - 1].flow_m3s.v);
}

double pw_derive_suction_height(const pw_site *site, const void *item)
{
    (void)item;
    const pw_source *source = source_of_first_pump(site);
    const int32_t to = site->pump_count > 0 ? site->pumps[0].to : -1;
    if (source == NULL || to < 0 || to >= site->place_count) {
        return 0.0;
    }
    for (int32_t t = 0; t < site->tank_count; t++) {
        if (site->tanks[t].place == to) {
            return 0.0; /* it pumps up to the tank: where it stands is not said */
        }
    }
    const double up = site->places[to].level_m.v - site->places[source->place].level_m.v;
    return pw_known(site->places[to].level_m) && pw_known(site->places[source->place].level_m)
               ? pw_clamp(up, -50.0, 50.0)
               : 0.0;
}

double pw_derive_suction_length(const pw_site *site, const void *item)
{
    const pw_suction *suction = item;
    const pw_source *source = first_intake(site);
    const double depth = source == NULL ? 0.0 : source->intake_m.v;
    return pw_known(suction->height_m) ? pw_max(depth + suction->height_m.v, 0.0) + 2.0 : PW_UNKNOWN;
}

double pw_derive_cable_length(const pw_site *site, const void *item)
{
    (void)item;
    const pw_source *source = first_intake(site);
    return source == NULL ? 20.0 : source->intake_m.v + 20.0;
}

double pw_derive_cable_around(const pw_site *site, const void *item)
{
    (void)site;
    return pw_laying_around_c(((const pw_supply_cable *)item)->laying);
}

double pw_derive_design_starts(const pw_site *site, const void *item)
{
    (void)item;
    return site->limits.starts_per_hour.v;
}

double pw_derive_casing(const pw_site *site, const void *item)
{
    (void)item;
    const bool known = site->pump_count > 0 && pw_known(site->pumps[0].motor.power_w);
    return known ? pw_casing_holds_m3(site->pumps[0].motor.power_w.v) : PW_UNKNOWN;
}

double pw_derive_heat_loss(const pw_site *site, const void *item)
{
    const pw_design *design = item;
    const pw_source *source = source_of_first_pump(site);
    const bool surface =
        design->suction.stand == PW_STAND_SURFACE || pw_derive_stand(site, &design->suction) == PW_STAND_SURFACE;
    const bool in_water = source != NULL && source->kind != PW_SOURCE_MAINS && !surface;
    return pw_known(design->casing_m3) ? pw_casing_loss_wk(design->casing_m3.v, in_water) : PW_UNKNOWN;
}

static void fill_field(pw_field *field, double value)
{
    if (!field->given) {
        field->v = value;
    }
}

void pw_motor_defaults(const pw_site *site, pw_motor *motor)
{
    if (motor->phases < 0) {
        motor->phases = site->supply_phases;
    }
    fill_field(&motor->voltage_v, site->supply_v.v);
    fill_field(&motor->efficiency, pw_derive_motor_efficiency(site, motor));
    fill_field(&motor->power_factor, pw_derive_motor_power_factor(site, motor));
    fill_field(&motor->full_load_a, pw_derive_full_load_current(site, motor));
    fill_field(&motor->locked_rotor_a, pw_derive_locked_rotor_current(site, motor));
    for (int32_t i = 0; i < pw_block_motor.row_count; i++) {
        const pw_row *row = &pw_block_motor.rows[i];
        if (row->need == PW_DEFAULT && row->type == PW_ROW_QUANTITY) {
            fill_field((pw_field *)(void *)((uint8_t *)motor + row->offset), row->value);
        }
    }
    fill_field(&motor->cool_time_s, pw_derive_cooling_time(site, motor));
}
