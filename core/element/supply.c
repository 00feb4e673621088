#include "element/supply.h"

#include "base/num.h"
#include "element/model_impl.h"
#include "formula/supply.h"

/* Where a motor stalls (pw_model_stalls) its speed has no meaning; it only must not be 0. */
#define LEAST_SPEED 0.05
/* Power and what the pumps take of it agree to this part. */
#define AGREES     1e-9
#define LEAST_PART 1e-13 /* of the speed, that a search looks at */
enum { LEAST_STEP_MS = 1000, DAY_MS = 86400000, ROUNDS = 60 };

static const pw_condition_slot slots[] = {
    PW_SLOT_ONE(supply, PW_SLOT_NUMBER, "", 1.0, 0.0, 2.0),
    PW_SLOT_ONE(power_w, PW_SLOT_NUMBER, "W", PW_INF, 0.0, PW_INF),
    PW_SLOT_ONE(charge, PW_SLOT_NUMBER, "", 1.0, 0.0, 1.0),
    PW_SLOT_ONE(phase_lost, PW_SLOT_FLAG, "", 0.0, 0.0, 1.0),
    PW_SLOT_ONE(supply_lost, PW_SLOT_FLAG, "", 0.0, 0.0, 1.0),
};

pw_condition_slots pw_supply_slots(void)
{
    return (pw_condition_slots){"supply", slots, sizeof slots / sizeof slots[0]};
}

/* ---- courses ---- */

/* Points of a period, each `stride` bytes after the one before. */
typedef struct course {
    const double *at_s, *value;
    size_t stride;
    int32_t count;
    int64_t period_ms;
    double step; /* a straight stretch is cut in parts that change by no more than this */
    bool holds;
} course;

static double nth(const double *first, size_t stride, int32_t i)
{
    return *(const double *)(const void *)((const uint8_t *)first + stride * (size_t)i);
}

static int64_t at_ms(const course *c, int32_t i)
{
    return (int64_t)(nth(c->at_s, c->stride, i) * 1e3 + 0.5);
}

static course voltage_of(const pw_site *site)
{
    const pw_supply *supply = &site->supply;
    return (course){&supply->points[0].at_s.v,
                    &supply->points[0].voltage_v.v,
                    sizeof(pw_supply_point),
                    supply->point_count,
                    DAY_MS,
                    PW_SUPPLY_STEP * site->supply_v.v,
                    supply->steps};
}

static course solar_of(const pw_site *site)
{
    const pw_solar *solar = &site->supply.solar;
    double most_w = 0.0;
    for (int32_t i = 0; i < solar->point_count; i++) {
        most_w = pw_max(most_w, solar->points[i].power_w.v);
    }
    return (course){
        &solar->points[0].at_s.v, &solar->points[0].power_w.v, sizeof(pw_supply_point), solar->point_count, DAY_MS,
        PW_SOLAR_STEP * most_w,   site->supply.steps};
}

/* Value at a moment, and how long it holds. */
static double follow(const course *c, int64_t t_ms, int64_t *left_ms)
{
    const int64_t now_ms = t_ms % c->period_ms;
    int32_t i = c->count - 1;
    while (i > 0 && at_ms(c, i) > now_ms) {
        i--;
    }
    int64_t from_ms = at_ms(c, i);
    const bool before = from_ms > now_ms; /* the first point of the day: still on the way from the last of yesterday */
    if (before) {
        i = c->count - 1;
        from_ms = at_ms(c, i) - c->period_ms;
    }
    const int32_t next = i + 1 < c->count ? i + 1 : 0;
    const int64_t to_ms = at_ms(c, next) + (next > i || before ? 0 : c->period_ms);
    const double value = nth(c->value, c->stride, i);
    const double rise = nth(c->value, c->stride, next) - value;
    const int64_t long_ms = to_ms - from_ms;
    int64_t parts = c->step > 0.0 ? (int64_t)pw_ceil(pw_abs(rise) / c->step) : 1;
    parts = parts > long_ms / LEAST_STEP_MS ? long_ms / LEAST_STEP_MS : parts;
    parts = c->holds || parts < 1 ? 1 : parts;
    const int64_t part = (now_ms - from_ms) * parts / long_ms;
    const int64_t end_ms = from_ms + ((part + 1) * long_ms + parts - 1) / parts;
    *left_ms = end_ms - now_ms;
    return c->holds ? value : value + ((double)part + 0.5) / (double)parts * rise;
}

double pw_supply_part(const pw_site *site, int64_t t_ms)
{
    const course volts = voltage_of(site);
    int64_t left_ms;
    return volts.count > 0 ? follow(&volts, t_ms, &left_ms) / site->supply_v.v : 1.0;
}

double pw_supply_power_w(const pw_site *site, int64_t t_ms)
{
    const course power = solar_of(site);
    int64_t left_ms;
    if (power.count == 0) {
        return PW_INF;
    }
    const double there_w = follow(&power, t_ms, &left_ms);
    return there_w < site->supply.solar.least_w.v ? 0.0 : there_w;
}

int64_t pw_supply_next_ms(const pw_site *site, int64_t t_ms)
{
    const course courses[] = {voltage_of(site), solar_of(site)};
    int64_t next = INT64_MAX;
    for (size_t i = 0; i < sizeof courses / sizeof courses[0]; i++) {
        int64_t left_ms;
        if (courses[i].count > 1) { /* a single point holds all day */
            (void)follow(&courses[i], t_ms, &left_ms);
            next = t_ms + left_ms < next ? t_ms + left_ms : next;
        }
    }
    return next;
}

/* ---- into a condition ---- */

void pw_supply_voltage(const pw_model *model, double part, pw_condition *condition)
{
    const pw_site *site = pw_model_site(model);
    condition->supply *= part;
    for (int32_t p = 0; p < site->pump_count; p++) {
        const pw_motor_data *motor = pw_model_motor(model, p);
        const double rated = site->supply_v.v / motor->voltage_v;
        const double healthy = pw_motor_speed(motor->phases, rated);
        const double now = pw_motor_speed(motor->phases, rated * condition->supply);
        condition->pump_speed[p] = healthy > 0.0 ? pw_max(now / healthy, LEAST_SPEED) : 1.0;
    }
}

void pw_supply_impose(const pw_model *model, int64_t t_ms, pw_condition *condition)
{
    const pw_site *site = pw_model_site(model);
    if (pw_supply_drives(site)) { /* the drive makes the motor's voltage: the course is only what is measured */
        condition->supply = pw_supply_part(site, t_ms);
    } else if (site->supply.point_count > 0) {
        pw_supply_voltage(model, pw_supply_part(site, t_ms), condition);
    }
    if (site->supply.solar.point_count > 0) {
        condition->power_w = pw_supply_power_w(site, t_ms);
    }
}

/* ---- supplies that give way ---- */

typedef enum way { WAY_NONE, WAY_DRIVE, WAY_GENERATOR, WAY_BATTERY } way;

/* A question to the network: how much do the pumps take at this part of their speed, or of the voltage? */
typedef struct asked {
    const pw_model *model;
    const pw_condition *condition;
    const pw_drive *drive;
    const double *state;
    pw_warm *warm;
    pw_moment *out;
    pw_problems *problems;
    way way;
    double start_part; /* of a generator's voltage, with the motors that start now */
    pw_condition at;   /* the same, with the voltage that goes with the part */
    pw_drive driven;
} asked;

static way way_of(const pw_site *site)
{
    const pw_supply *supply = &site->supply;
    return supply->battery.full_v.given        ? WAY_BATTERY
           : supply->generator.rating_va.given ? WAY_GENERATOR
           : supply->solar.point_count > 0     ? WAY_DRIVE
                                               : WAY_NONE;
}

bool pw_supply_drives(const pw_site *site)
{
    return way_of(site) == WAY_DRIVE;
}

bool pw_supply_gives_way(const pw_site *site)
{
    return site->supply.battery.full_v.given || site->supply.generator.rating_va.given;
}

static bool inverted(const pw_site *site)
{
    return site->supply.battery.inverter.given;
}

/* Voltage of the battery at rest, as a part of what the pumps are to have. */
static double emf_v(const pw_site *site, const pw_condition *condition)
{
    const pw_battery *battery = &site->supply.battery;
    return pw_battery_v(battery->empty_v.v, battery->full_v.v, condition->charge) * condition->supply;
}

/* What there is at this part. */
static double there_w(const asked *a, double part)
{
    const pw_supply *supply = &a->model->site->supply;
    const pw_generator *generator = &supply->generator;
    if (a->way == WAY_DRIVE) {
        return a->condition->power_w;
    }
    if (a->way == WAY_GENERATOR) { /* on the governor's line, or at full fuel */
        const double load = pw_generator_load(part, generator->droop.v);
        return generator->power_w.v * pw_max(pw_min(load, pw_generator_most(part)), 0.0);
    }
    return pw_battery_w(emf_v(a->model->site, a->condition), supply->battery.ohm.v, part * a->model->site->supply_v.v);
}

/* The moment, and what the pumps take together, W. */
static pw_status ask(const asked *a, const pw_condition *condition, const pw_drive *drive, double *taken)
{
    const pw_status status = pw_moment_at(a->model, condition, drive, a->state, a->warm, a->out, a->problems);
    *taken = 0.0;
    for (int32_t p = 0; p < a->model->site->pump_count && status == PW_OK; p++) {
        *taken += a->out->input_w[p];
    }
    return status;
}

static pw_status taken_w(asked *a, double part, double *taken)
{
    const int32_t pumps = a->model->site->pump_count;
    const double speed = a->way == WAY_BATTERY ? 1.0 : part;
    for (int32_t p = 0; p < pumps; p++) {
        a->driven.speed[p] = a->drive->speed[p] * speed;
    }
    if (a->way == WAY_DRIVE) {
        a->at.supply = part; /* voltage by frequency, as a drive does, whatever feeds it */
    } else {
        const double volts = a->way == WAY_GENERATOR ? pw_generator_volts(part) * a->start_part : part;
        a->at.supply = a->way == WAY_GENERATOR ? a->condition->supply : 1.0;
        pw_supply_voltage(a->model, volts, &a->at);
    }
    const pw_status status = ask(a, &a->at, &a->driven, taken);
    a->out->driven = a->way == WAY_DRIVE ? part : 1.0;
    return status;
}

/* The search: where the pumps take less (low) and more (high) than there is, and the last two answers. */
typedef struct search {
    double low, high;
    bool capped; /* high is full speed, where nobody has asked yet */
    double part[2], over_w[2];
    int32_t known;
} search;

static void note(search *s, double part, double over_w)
{
    s->part[0] = s->part[1];
    s->over_w[0] = s->over_w[1];
    s->part[1] = part;
    s->over_w[1] = over_w;
    s->known++;
    if (over_w > 0.0) {
        s->high = part;
        s->capped = false;
    } else {
        s->low = part;
    }
}

/* Where to ask next: after one answer by the affinity laws (power as the cube of the speed) or a little aside, then
 * along the secant; in the middle when that leads out, or takes long. */
static double next_part(const asked *a, const search *s)
{
    const double rise = s->over_w[1] - s->over_w[0];
    double part = s->part[1] + (s->over_w[1] > 0.0 ? -0.01 : 0.01) * s->part[1];
    if (a->way == WAY_DRIVE) {
        const double given_w = a->condition->power_w;
        part = s->part[1] * pw_pow(given_w / pw_max(s->over_w[1] + given_w, 1e-9), 1.0 / 3.0);
    }
    if (s->known > 1) {
        part = s->part[1] - s->over_w[1] * (s->part[1] - s->part[0]) / (pw_abs(rise) > 0.0 ? rise : 1.0);
    }
    if (part >= s->high && s->capped) {
        return 1.0;
    }
    return part > s->low && part < s->high && s->known < ROUNDS / 3 ? part : 0.5 * (s->low + s->high);
}

/* Between which parts it is, and where to begin. */
static search begin_search(const asked *a, double *part)
{
    const pw_site *site = a->model->site;
    search s = {.high = 1.0, .capped = a->way == WAY_DRIVE};
    double guess = a->condition->power_w > 0.0 ? 1.0 : 0.0;
    if (a->way == WAY_GENERATOR) {
        s.high = 1.0 + site->supply.generator.droop.v;
    } else if (a->way == WAY_BATTERY) {
        s.high = emf_v(site, a->condition) / site->supply_v.v;
        s.low = 0.5 * s.high; /* it gives most there */
        guess = 0.98 * s.high;
    }
    const bool warm = a->warm->driven > s.low && a->warm->driven < s.high && guess > 0.0;
    *part = warm ? a->warm->driven : guess;
    return s;
}

static pw_status settle_part(asked *a, double *found)
{
    double part;
    search s = begin_search(a, &part);
    for (int32_t i = 0; i < ROUNDS; i++) {
        double taken;
        const pw_status status = taken_w(a, part, &taken);
        const double given_w = there_w(a, part);
        const double over_w = taken - given_w;
        if (status != PW_OK) {
            return status;
        }
        if (pw_abs(over_w) <= AGREES * pw_max(taken, given_w) || (s.capped && part >= 1.0 && over_w <= 0.0)) {
            break;
        }
        note(&s, part, over_w);
        if (s.high - s.low < LEAST_PART) {
            break;
        }
        part = next_part(a, &s);
    }
    a->warm->driven = part;
    *found = part;
    return PW_OK;
}

/* Apparent power of the motors that stand and start, or are stalled. */
static double starting_va(const pw_model *model, const pw_condition *condition, const pw_drive *drive)
{
    double va = 0.0;
    for (int32_t p = 0; p < model->site->pump_count; p++) {
        const pw_motor_data *motor = &model->pumps[p].motor;
        if (drive->speed[p] > 0.0 && condition->stalled[p]) {
            va += pw_apparent_va(motor->phases, motor->voltage_v, motor->locked_rotor_a);
        }
    }
    return va;
}

/* A battery behind an inverter: the pumps have their voltage, the battery gives the power and the inverter's loss. */
static pw_status behind_inverter(asked *a)
{
    const pw_battery *battery = &a->model->site->supply.battery;
    const double emf = emf_v(a->model->site, a->condition);
    double taken;
    pw_status status = ask(a, a->condition, a->drive, &taken);
    const double current_a = pw_battery_a(emf, battery->ohm.v, taken / battery->inverter.v);
    const double volts = emf - battery->ohm.v * current_a;
    a->out->battery_a = current_a;
    a->out->supply = a->condition->supply;
    if (status == PW_OK && volts < battery->cut_v.v && taken > 0.0) { /* it gives nothing: they stand */
        pw_drive none = *a->drive;
        for (int32_t p = 0; p < PW_MAX_PUMPS; p++) {
            none.speed[p] = 0.0;
        }
        status = ask(a, a->condition, &none, &taken);
        a->out->driven = 0.0;
        a->out->battery_a = 0.0;
        a->out->supply = 0.0;
    }
    return status;
}

pw_status pw_supply_moment(const pw_model *model, const pw_condition *condition, const pw_drive *drive,
                           const double *state, pw_warm *warm, pw_moment *out, pw_problems *problems)
{
    const pw_site *site = model->site;
    asked a = {model, condition, drive, state, warm, out, problems, way_of(site), 1.0, *condition, *drive};
    double part = 1.0;
    if (a.way == WAY_BATTERY && inverted(site)) {
        return behind_inverter(&a);
    }
    a.start_part =
        pw_generator_start_part(starting_va(model, condition, drive), pw_max(site->supply.generator.rating_va.v, 1.0),
                                site->supply.generator.reactance.v);
    const pw_status status = settle_part(&a, &part);
    if (status == PW_OK && a.way == WAY_GENERATOR) {
        out->supply = a.at.supply;
        out->frequency = part;
    } else if (status == PW_OK && a.way == WAY_BATTERY) {
        out->supply = part;
        out->battery_a = (emf_v(site, condition) - part * site->supply_v.v) / site->supply.battery.ohm.v;
    } else if (status == PW_OK) {
        out->supply = condition->supply;
    }
    return status;
}

void pw_supply_rest(const pw_model *model, const pw_condition *condition, pw_moment *out)
{
    const pw_site *site = model->site;
    if (way_of(site) == WAY_GENERATOR) {
        out->frequency = pw_generator_frequency(0.0, site->supply.generator.droop.v);
    } else if (way_of(site) == WAY_BATTERY) {
        out->supply = inverted(site) ? condition->supply : emf_v(site, condition) / site->supply_v.v;
    }
}

double pw_supply_charge_rate(const pw_site *site, const pw_condition *condition, const pw_moment *moment)
{
    const pw_battery *battery = &site->supply.battery;
    if (way_of(site) != WAY_BATTERY) {
        return 0.0;
    }
    const double full_c = battery->capacity_ah.v * 3600.0;
    const double given_w = condition->power_w < PW_INF ? condition->power_w : 0.0;
    const double in_a = given_w * battery->charging.v / emf_v(site, condition);
    const double rate = (in_a - moment->battery_a) / full_c;
    return rate > 0.0 && condition->charge >= 1.0 ? 0.0 : rate;
}

double pw_supply_start_part(const pw_model *model, const pw_condition *condition, int32_t pump)
{
    const pw_site *site = model->site;
    const pw_motor_data *motor = &model->pumps[pump].motor;
    if (way_of(site) == WAY_GENERATOR) {
        return pw_generator_start_part(pw_apparent_va(motor->phases, motor->voltage_v, motor->locked_rotor_a),
                                       site->supply.generator.rating_va.v, site->supply.generator.reactance.v);
    }
    if (way_of(site) == WAY_BATTERY && !inverted(site)) { /* a resistance behind a resistance */
        const double start_ohm = motor->voltage_v / motor->locked_rotor_a;
        return emf_v(site, condition) / site->supply_v.v * start_ohm / (start_ohm + site->supply.battery.ohm.v);
    }
    return 1.0;
}
