/* Expected readings: a row for each kind, and the site asked for each. */
#include "study/expect.h"

#include <string.h>

#include "base/num.h"
#include "study/verdict.h"

/* Ranges that no pump decides. */
#define LEVEL_M        0.5  /* a water level differs so much from week to week: own choice */
#define MAINS_PART     0.1  /* own choice */
#define VOLTAGE_PART   0.1  /* IEC 60038: 230 V within 10 % at the supply terminals (from memory) */
#define PRECHARGE_PART 0.05 /* common practice, no source */
#define SENSOR_PART    0.01 /* of a pressure sensor's range (study/margins.h: common practice) */
#define SWITCH_PART    0.05 /* of what a pressure switch is set to: its scale is coarse (common practice, no source) */
#define DRAWDOWN_PART  0.1  /* own choice: volume on the plate and both pressures add up to that */
#define TIGHT_M3S      (0.05e-3 / 60.0) /* 0.05 L/min: a tap that drips fast (common practice, no source) */
#define CURRENT_PART   0.1              /* motors are sold with no narrower promise: common practice, no source */

typedef struct maker {
    pw_arena *arena;
    const pw_plant *plant;
    pw_plant *weak, *strong; /* its pumps at either end of the grade */
    pw_expects *list;
    pw_problems *problems;
} maker;

typedef struct kind_row {
    const char *typed, *behind; /* "flow of NAME at cut-in": words before and behind the name */
    const char *words, *how, *from;
    pw_dimension dimension;
} kind_row;

static const kind_row kinds[PW_EXPECT_KINDS] = {
    [PW_EXPECT_LEVEL] = {"standing water level of ", "", "handover.what-level", "handover.how-level",
                         "handover.from-level", PW_DIM_LENGTH},
    [PW_EXPECT_MAINS] = {"pressure of ", "", "handover.what-mains", "handover.how-mains", "handover.from-own",
                         PW_DIM_PRESSURE},
    [PW_EXPECT_VOLTAGE] = {"supply voltage", "", "handover.what-voltage", "handover.how-voltage",
                           "handover.from-voltage", PW_DIM_VOLTAGE},
    [PW_EXPECT_PRECHARGE] = {"precharge of ", "", "handover.what-precharge", "handover.how-precharge",
                             "handover.from-precharge", PW_DIM_PRESSURE},
    [PW_EXPECT_CUT_IN] = {"cut-in of ", "", "handover.what-cut-in", "handover.how-cut-in", "handover.from-sensor",
                          PW_DIM_PRESSURE},
    [PW_EXPECT_CUT_OUT] = {"cut-out of ", "", "handover.what-cut-out", "handover.how-cut-out", "handover.from-sensor",
                           PW_DIM_PRESSURE},
    [PW_EXPECT_DRAWDOWN] = {"drawdown of ", "", "handover.what-drawdown", "handover.how-drawdown", "handover.from-own",
                            PW_DIM_VOLUME},
    [PW_EXPECT_LEAK] = {"leak of ", "", "handover.what-leak", "handover.how-leak", "handover.from-leak", PW_DIM_FLOW},
    [PW_EXPECT_SHUT_OFF] = {"shut-off pressure of ", "", "handover.what-shut-off", "handover.how-shut-off",
                            "handover.from-grade", PW_DIM_PRESSURE},
    [PW_EXPECT_FLOW] = {"flow of ", " at ", "handover.what-flow", "handover.how-flow", "handover.from-grade",
                        PW_DIM_FLOW},
    [PW_EXPECT_CURRENT] = {"current of ", " at ", "handover.what-current", "handover.how-current",
                           "handover.from-current", PW_DIM_CURRENT},
};

pw_fact pw_expect_fact(const pw_expect *expect)
{
    return pw_fact_of(kinds[expect->kind].words, pw_named(expect->name),
                      expect->held_pa >= 0.0 ? pw_quantity(PW_DIM_PRESSURE, expect->held_pa) : pw_named(""));
}

pw_fact pw_expect_how_fact(const pw_expect *expect)
{
    return pw_fact_of(kinds[expect->kind].how, pw_named(expect->place),
                      expect->held_pa >= 0.0 ? pw_quantity(PW_DIM_PRESSURE, expect->held_pa) : pw_named(""));
}

pw_fact pw_expect_from_fact(const pw_expect *expect, const pw_grade *grade)
{
    return pw_fact_of(kinds[expect->kind].from, pw_named(grade->name));
}

/* The next row, with its name as it is typed; behind: what follows that for FLOW and CURRENT, "" nothing. */
static pw_expect *add(maker *m, pw_expect_kind kind, const char *name, const char *behind, const char *place)
{
    pw_expect *out = &m->list->items[m->list->count];
    pw_text text;
    pw_text_init(&text, m->arena);
    pw_text_puts(&text, kinds[kind].typed, name, behind[0] != '\0' ? kinds[kind].behind : "", behind, NULL);
    if (text.failed) {
        return NULL;
    }
    *out = (pw_expect){.kind = kind, .name = name, .place = place, .dimension = kinds[kind].dimension, .held_pa = -1.0};
    pw_copy(out->what, sizeof out->what, text.data);
    m->list->count++;
    return out;
}

static void set_range(pw_expect *out, double expected, double below, double above)
{
    if (out != NULL) {
        out->expected = expected;
        out->low = expected - below;
        out->high = expected + above;
        out->gauge = 0.5 * (below + above);
    }
}

static void add_sources(maker *m)
{
    const pw_site *site = m->plant->site;
    for (int32_t i = 0; i < site->source_count; i++) {
        const pw_source *source = &site->sources[i];
        const char *place = site->places[source->place].name;
        const bool main = source->kind == PW_SOURCE_MAINS;
        pw_expect *out = add(m, main ? PW_EXPECT_MAINS : PW_EXPECT_LEVEL, source->name, "", place);
        const double value = main ? source->pressure_pa.v : source->standing_m.v;
        const double range = main ? MAINS_PART * value : LEVEL_M;
        set_range(out, value, range, range);
        if (out != NULL) {
            out->assumed = !(main ? source->pressure_pa.given : source->standing_m.given);
        }
    }
    pw_expect *volts = add(m, PW_EXPECT_VOLTAGE, "", "", "");
    set_range(volts, site->supply_v.v, VOLTAGE_PART * site->supply_v.v, VOLTAGE_PART * site->supply_v.v);
    if (volts != NULL) {
        volts->assumed = !site->supply_v.given;
    }
}

/* What a pressure reading may be out by, from the sensor. */
static double sensor_error(const pw_sensor *sensor)
{
    return SENSOR_PART * (sensor->high_pa.v - sensor->low_pa.v) + 0.5 * sensor->resolution.v;
}

static double add_turn(maker *m, int32_t pump, bool start)
{
    const pw_site *site = m->plant->site;
    pw_acts_at acts;
    if (!pw_plant_acts_at(m->plant, start ? PW_SENTENCE_START : PW_SENTENCE_STOP, pump, &acts)) {
        return 0.0;
    }
    const pw_sensor *sensor = &site->sensors[acts.sensor];
    pw_expect *out = add(m, start ? PW_EXPECT_CUT_IN : PW_EXPECT_CUT_OUT, site->pumps[pump].name, "",
                         site->places[sensor->place].name);
    const bool by_switch = (int32_t)sensor->kind == PW_SENSOR_SWITCH;
    const double error = by_switch ? SWITCH_PART * acts.pa : pw_max(sensor_error(sensor), 0.0);
    set_range(out, acts.pa, error, error);
    return acts.pa;
}

static void add_vessels(maker *m)
{
    const pw_site *site = m->plant->site;
    pw_condition healthy;
    pw_condition_healthy(m->plant->model, &healthy);
    for (int32_t i = 0; i < site->vessel_count; i++) {
        const pw_vessel *vessel = &site->vessels[i];
        const char *place = site->places[vessel->place].name;
        pw_expect *charge = add(m, PW_EXPECT_PRECHARGE, vessel->name, "", place);
        const double part = PRECHARGE_PART * vessel->precharge_pa.v;
        set_range(charge, vessel->precharge_pa.v, part, part);
        if (charge != NULL) {
            charge->assumed = !vessel->precharge_pa.given;
        }
        const double in_pa = pw_cut_in_at_vessel(m->plant, i);
        const double out_pa = in_pa + m->plant->cut_out_pa - m->plant->cut_in_pa;
        if (in_pa > 0.0 && out_pa > in_pa) {
            const double m3 = pw_model_vessel_m3(m->plant->model, &healthy, i, out_pa) -
                              pw_model_vessel_m3(m->plant->model, &healthy, i, in_pa);
            if (m3 > 0.0) {
                set_range(add(m, PW_EXPECT_DRAWDOWN, vessel->name, "", place), m3, DRAWDOWN_PART * m3,
                          DRAWDOWN_PART * m3);
                set_range(add(m, PW_EXPECT_LEAK, vessel->name, "", place), 0.0, 0.0, TIGHT_M3S);
            }
        }
    }
}

static pw_status duty_of(maker *m, const pw_plant *plant, int32_t pump, double pa, pw_duty *out)
{
    *out = (pw_duty){0};
    const size_t mark = pw_arena_mark(m->arena);
    const pw_status status = pw_model_duty(plant->model, m->arena, pump, pa, out, m->problems);
    pw_arena_back(m->arena, mark);
    return status;
}

/* Flow and current at one pressure, from the pump as drawn and from both ends of its grade. */
static pw_status add_duty(maker *m, int32_t pump, double pa, const char *at)
{
    const pw_pump *p = &m->plant->site->pumps[pump];
    const char *place = m->plant->site->places[p->to].name;
    pw_duty duty, weak, strong;
    pw_status status = duty_of(m, m->plant, pump, pa, &duty);
    status = status == PW_OK ? duty_of(m, m->weak, pump, pa, &weak) : status;
    status = status == PW_OK ? duty_of(m, m->strong, pump, pa, &strong) : status;
    if (status != PW_OK || !(duty.flow_m3s > 0.0)) {
        return status;
    }
    pw_expect *flow = add(m, PW_EXPECT_FLOW, p->name, at, place);
    set_range(flow, duty.flow_m3s, pw_max(duty.flow_m3s - weak.flow_m3s, 0.0),
              pw_max(strong.flow_m3s - duty.flow_m3s, 0.0));
    pw_expect *current = add(m, PW_EXPECT_CURRENT, p->name, at, place);
    set_range(current, duty.current_a, CURRENT_PART * duty.current_a, CURRENT_PART * duty.current_a);
    if (flow == NULL || current == NULL) {
        return PW_MEMORY;
    }
    current->assumed = !p->motor.full_load_a.given;
    flow->held_pa = current->held_pa = duty.vessel ? pa : -1.0;
    return PW_OK;
}

static pw_status add_pump(maker *m, int32_t pump)
{
    const pw_site *site = m->plant->site;
    const pw_pump *p = &site->pumps[pump];
    const double cut_in_pa = add_turn(m, pump, true), cut_out_pa = add_turn(m, pump, false);
    const double shut_pa = pw_model_shut_off_pa(m->plant->model, pump);
    /* A displacement pump has no shut-off pressure that anybody should look for. */
    if (p->kind != PW_PUMP_DISPLACEMENT && shut_pa > 0.0) {
        set_range(add(m, PW_EXPECT_SHUT_OFF, p->name, "", site->places[p->to].name), shut_pa,
                  pw_max(shut_pa - pw_model_shut_off_pa(m->weak->model, pump), 0.0),
                  pw_max(pw_model_shut_off_pa(m->strong->model, pump) - shut_pa, 0.0));
    }
    pw_duty duty;
    pw_status status = duty_of(m, m->plant, pump, cut_in_pa, &duty);
    if (status != PW_OK || !duty.vessel) {
        return status == PW_OK ? add_duty(m, pump, 0.0, "work") : status;
    }
    status = cut_in_pa > 0.0 ? add_duty(m, pump, cut_in_pa, "cut-in") : PW_OK;
    return status == PW_OK && cut_out_pa > 0.0 ? add_duty(m, pump, cut_out_pa, "cut-out") : status;
}

/* The plant with the curves of its pumps moved by these parts. */
static pw_status moved(maker *m, double flow, double head, pw_plant **out)
{
    pw_site *site = PW_NEW(m->arena, 1, pw_site);
    pw_problems *told = PW_NEW(m->arena, 1, pw_problems); /* of the site as it is: told already */
    if (site == NULL || told == NULL) {
        return PW_MEMORY;
    }
    *site = *m->plant->site;
    for (int32_t i = 0; i < site->pump_count; i++) {
        for (int32_t k = 0; k < site->pumps[i].point_count; k++) {
            site->pumps[i].curve[k].flow_m3s.v *= 1.0 + flow;
            site->pumps[i].curve[k].head_m.v *= 1.0 + head;
        }
    }
    return pw_plant_build(m->arena, site, false, out, told);
}

pw_status pw_expect_list(pw_arena *arena, const pw_plant *plant, const pw_grade *grade, pw_expects **out,
                         pw_problems *problems)
{
    *out = NULL;
    maker m = {arena, plant, NULL, NULL, PW_NEW(arena, 1, pw_expects), problems};
    if (m.list == NULL) {
        return PW_MEMORY;
    }
    m.list->grade = grade;
    pw_status status = moved(&m, grade->flow_low, grade->head_low, &m.weak);
    status = status == PW_OK ? moved(&m, grade->flow_high, grade->head_high, &m.strong) : status;
    if (status != PW_OK) {
        return status;
    }
    add_sources(&m);
    add_vessels(&m);
    for (int32_t pump = 0; pump < plant->site->pump_count && status == PW_OK; pump++) {
        status = add_pump(&m, pump);
    }
    *out = m.list;
    return status;
}

pw_reading_verdict pw_expect_judge(const pw_expect *expect, double reads, double error)
{
    if (reads - error > expect->high || reads + error < expect->low) {
        return PW_READING_FAIL;
    }
    if (reads - error >= expect->low && reads + error <= expect->high) {
        return PW_READING_PASS;
    }
    return error > expect->gauge ? PW_READING_BLIND : PW_READING_UNSURE;
}

const char *pw_reading_id(pw_reading_verdict verdict)
{
    static const char *const ids[] = {[PW_READING_PASS] = "pass",
                                      [PW_READING_FAIL] = "fail",
                                      [PW_READING_UNSURE] = "cannot tell",
                                      [PW_READING_BLIND] = "cannot tell with this gauge"};
    return ids[verdict];
}

double pw_expect_usual_error(pw_dimension dimension, double reads)
{
    const double size = pw_abs(reads);
    switch (dimension) {
    case PW_DIM_PRESSURE: return 0.032 * size;
    case PW_DIM_LENGTH: return 0.01 + 0.001 * size;
    case PW_DIM_CURRENT:
    case PW_DIM_VOLTAGE: return 0.02 * size;
    default: return 0.05 * size;
    }
}
