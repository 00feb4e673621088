/* "duty": where the pumps work, at the order's pressures or at one that was asked for. */
#include "base/num.h"
#include "door/inside.h"
#include "paper/paper.h"
#include "study/verdict.h"

static pw_status add_row(door *d, const pw_plant *plant, double pressure_pa, pw_duty_at at, pw_duty_row *rows,
                         int32_t *count, int32_t pump)
{
    pw_duty_row *row = &rows[*count];
    pw_duty none = {0};
    row->pump = pump;
    row->pressure_pa = pressure_pa;
    row->at = at;
    row->duty = none;
    pw_status status = pw_model_duty(plant->model, d->arena, pump, pressure_pa, &row->duty, d->problems);
    (*count)++;
    return status;
}

/* Texts of the same numbers, in the units asked for. */
static void put_words(door *d, const pw_duty *duty)
{
    pw_json_open(d->answer, "words", '{');
    door_put_quantity(d, "flow", PW_DIM_FLOW, duty->flow_m3s);
    door_put_quantity(d, "head", PW_DIM_LENGTH, duty->head_m);
    door_put_quantity(d, "pressure", PW_DIM_PRESSURE, duty->pressure_pa);
    door_put_quantity(d, "static", PW_DIM_LENGTH, duty->static_m);
    door_put_quantity(d, "friction", PW_DIM_LENGTH, duty->friction_m);
    door_put_quantity(d, "drawdown", PW_DIM_LENGTH, duty->drawdown_m);
    door_put_quantity(d, "efficiency", PW_DIM_FRACTION, duty->efficiency);
    door_put_quantity(d, "shaft", PW_DIM_POWER, duty->shaft_w);
    door_put_quantity(d, "input", PW_DIM_POWER, duty->input_w);
    door_put_quantity(d, "current", PW_DIM_CURRENT, duty->current_a);
    door_put_quantity(d, "npsh available", PW_DIM_LENGTH, duty->npsh_available_m);
    door_put_quantity(d, "npsh required", PW_DIM_LENGTH, duty->npsh_required_m < 0.0 ? PW_INF : duty->npsh_required_m);
    pw_json_close(d->answer, '}');
}

static const char *npsh_word(const pw_site *site, const pw_duty *duty)
{
    static const char *const words[] = {[PW_NPSH_NOT_STATED] = "not stated",
                                        [PW_NPSH_SHORT] = "short",
                                        [PW_NPSH_CLOSE] = "close",
                                        [PW_NPSH_ENOUGH] = "enough"};
    return words[pw_npsh_judge(duty->npsh_available_m, duty->npsh_required_m, site->design.suction.margin_m.v)];
}

static const char *charge_word(double precharge_pa, double cut_in_pa)
{
    static const char *const words[] = {[PW_CHARGE_NOT_KNOWN] = "not known",
                                        [PW_CHARGE_HIGH] = "high",
                                        [PW_CHARGE_LOW] = "low",
                                        [PW_CHARGE_GOOD] = "good"};
    return words[pw_charge_judge(precharge_pa, cut_in_pa)];
}

/* Keys of the answer, in no language. */
static const char *const at_words[] = {[PW_DUTY_CUT_IN] = "at cut-in",
                                       [PW_DUTY_CUT_OUT] = "at cut-out",
                                       [PW_DUTY_FREE] = "at free flow",
                                       [PW_DUTY_HELD] = "at a pressure",
                                       [PW_DUTY_WORK] = "at work"};
static const char *const way_words[] = {[PW_DUTY_FLOWS] = "flows",   [PW_DUTY_OVER] = "over a high point",
                                        [PW_DUTY_SIPHON] = "siphon", [PW_DUTY_TORN] = "torn column",
                                        [PW_DUTY_SHUT] = "shut",     [PW_DUTY_FULL] = "tank full",
                                        [PW_DUTY_LOW] = "too high",  [PW_DUTY_BLOCKED] = "blocked",
                                        [PW_DUTY_DRY] = "dry"};

static void put_row(door *d, const pw_plant *plant, const pw_duty_row *row)
{
    const pw_duty *duty = &row->duty;
    pw_json_open(d->answer, NULL, '{');
    pw_json_string(d->answer, "pump", plant->site->pumps[row->pump].name);
    pw_json_string(d->answer, "at", at_words[row->at]);
    const pw_fact told = pw_duty_at_fact(row);
    door_put_fact(d, "told", &told);
    pw_json_string(d->answer, "way", way_words[duty->way]);
    if (duty->summit >= 0) {
        pw_json_string(d->answer, "high point", pw_spot_name(plant->site, duty->summit));
        door_put_number(d, "high_point_m", duty->summit_m);
    }
    door_put_number(d, "vessel_pa", row->pressure_pa);
    door_put_number(d, "pressure_pa", duty->pressure_pa);
    door_put_number(d, "flow_m3s", duty->flow_m3s);
    door_put_number(d, "head_m", duty->head_m);
    door_put_number(d, "static_m", duty->static_m);
    door_put_number(d, "friction_m", duty->friction_m);
    door_put_number(d, "drawdown_m", duty->drawdown_m);
    door_put_number(d, "efficiency", duty->efficiency);
    door_put_number(d, "shaft_w", duty->shaft_w);
    door_put_number(d, "input_w", duty->input_w);
    door_put_number(d, "current_a", duty->current_a);
    door_put_number(d, "npsh_available_m", duty->npsh_available_m);
    door_put_number(d, "npsh_required_m", duty->npsh_required_m < 0.0 ? PW_INF : duty->npsh_required_m);
    door_put_number(d, "kwh_per_m3", duty->kwh_per_m3);
    pw_json_string(d->answer, "npsh", npsh_word(plant->site, duty));
    put_words(d, duty);
    pw_json_close(d->answer, '}');
}

/* Pressures that the order and the vessels set. */
static void put_pressures(door *d, const pw_plant *plant)
{
    const pw_site *site = plant->site;
    bool in = plant->cut_in_pa != 0.0, out = plant->cut_out_pa != 0.0;
    pw_json_open(d->answer, "pressures", '{');
    door_put_number(d, "cut_in_pa", in ? plant->cut_in_pa : PW_INF);
    door_put_quantity(d, "cut_in", PW_DIM_PRESSURE, in ? plant->cut_in_pa : PW_INF);
    door_put_number(d, "cut_out_pa", out ? plant->cut_out_pa : PW_INF);
    door_put_quantity(d, "cut_out", PW_DIM_PRESSURE, out ? plant->cut_out_pa : PW_INF);
    pw_json_open(d->answer, "vessels", '[');
    for (int32_t i = 0; i < site->vessel_count; i++) {
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "name", site->vessels[i].name);
        door_put_number(d, "precharge_pa", site->vessels[i].precharge_pa.v);
        door_put_quantity(d, "precharge", PW_DIM_PRESSURE, site->vessels[i].precharge_pa.v);
        const double cut_in_pa = pw_cut_in_at_vessel(plant, i);
        door_put_quantity(d, "cut_in", PW_DIM_PRESSURE, cut_in_pa > 0.0 ? cut_in_pa : PW_INF);
        pw_json_string(d->answer, "charge", charge_word(site->vessels[i].precharge_pa.v, cut_in_pa));
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
    pw_json_close(d->answer, '}');
}

/* A pump without a vessel works at one point, whatever the settings say of pressure. One with a vessel is looked at
 * where its own sentences start and stop it. */
static pw_status rows_of(door *d, const pw_plant *plant, double pressure_pa, pw_duty_row *rows, int32_t *count,
                         int32_t pump)
{
    const int32_t first = *count;
    pw_acts_at acts;
    pw_status status = add_row(d, plant, pw_max(pressure_pa, 0.0), PW_DUTY_WORK, rows, count, pump);
    if (status != PW_OK || !rows[first].duty.vessel) {
        return status;
    }
    rows[first].at = PW_DUTY_HELD;
    if (pressure_pa >= 0.0) {
        return PW_OK;
    }
    *count = first;
    if (pw_plant_acts_at(plant, PW_SENTENCE_START, pump, &acts)) {
        status = add_row(d, plant, acts.pa, PW_DUTY_CUT_IN, rows, count, pump);
    }
    if (status == PW_OK && pw_plant_acts_at(plant, PW_SENTENCE_STOP, pump, &acts)) {
        status = add_row(d, plant, acts.pa, PW_DUTY_CUT_OUT, rows, count, pump);
    }
    return status == PW_OK ? add_row(d, plant, 0.0, PW_DUTY_FREE, rows, count, pump) : status;
}

pw_status door_duty_rows(door *d, const pw_plant *plant, double pressure_pa, pw_duty_row *rows, int32_t *count)
{
    pw_status status = PW_OK;
    for (int32_t pump = 0; pump < plant->site->pump_count && status == PW_OK; pump++) {
        status = rows_of(d, plant, pressure_pa, rows, count, pump);
    }
    return status;
}

pw_status door_duty(door *d)
{
    door_papers wanted = door_papers_wanted(d, false, false);
    double pressure_pa = door_quantity(d, d->request, "", "pressure", PW_DIM_PRESSURE, 0.0, 1.0e7, -1.0);
    pw_plant *plant = door_plant(d);
    if (!plant || door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    pw_duty_row rows[DOOR_DUTY_ROWS];
    int32_t count = 0;
    pw_status status = door_duty_rows(d, plant, pressure_pa, rows, &count);
    if (status != PW_OK) {
        return status;
    }
    pw_json_string(d->answer, "name", plant->site->name);
    put_pressures(d, plant);
    pw_json_open(d->answer, "duties", '[');
    for (int32_t i = 0; i < count; i++) {
        put_row(d, plant, &rows[i]);
    }
    pw_json_close(d->answer, ']');
    if (wanted.text || wanted.html) {
        pw_document *document;
        status = pw_paper_duty(d->arena, plant, rows, count, &d->voice, &document);
        return status == PW_OK ? door_put_papers(d, &wanted, document) : status;
    }
    return PW_OK;
}
