/* Formulas of core/study for pw_reckon: demand, tanks, motors, cables. */
#include "door/reckon_inside.h"

#include <stddef.h>
#include <string.h>

#include "base/num.h"
#include "formula/thermal.h"
#include "formula/cable.h"
#include "formula/demand.h"
#include "formula/motor.h"
#include "formula/tables.h"
#include "formula/vessel.h"

static pw_status wrong_word(pw_reckoning *r, const char *path, const char *found, const char *expected)
{
    return pw_problem_add(r->problems, PW_WORD, path, found, expected, NULL);
}

static pw_status read_flush(pw_reckoning *r, const char *word, pw_flush *out)
{
    *out = strcmp(word, "valve") == 0 ? PW_FLUSH_VALVE : PW_FLUSH_TANK;
    if (strcmp(word, "tank") != 0 && strcmp(word, "valve") != 0) {
        return wrong_word(r, "given.flush", word, "tank or valve");
    }
    return PW_OK;
}

static pw_status fixture_flow(pw_reckoning *r)
{
    pw_flush flush;
    const pw_status status = read_flush(r, r->text[1], &flush);
    r->out[0] = pw_hunter_m3s(r->in[0], flush);
    return status;
}

static pw_status fixture_units(pw_reckoning *r)
{
    pw_flush flush;
    const pw_status status = read_flush(r, r->text[0], &flush);
    for (int32_t i = 0; i < PW_FIXTURE_COUNT; i++) {
        r->out[0] += r->in[i + 1] * pw_fixture_units((pw_fixture)i, flush);
    }
    r->out[1] = pw_hunter_m3s(r->out[0], flush);
    return status;
}

static pw_status loading_units(pw_reckoning *r)
{
    double sum = 0.0;
    double largest = 0.0;
    for (int32_t i = 0; i < PW_LOADING_COUNT; i++) {
        const pw_loading_row *row = pw_loading_at(i);
        r->out[0] += r->in[i] * row->units;
        sum += r->in[i] * row->draw_m3s;
        largest = r->in[i] > 0.0 ? pw_max(largest, row->draw_m3s) : largest;
    }
    r->out[1] = sum;
    r->out[2] = pw_simultaneous_m3s(sum, largest);
    return PW_OK;
}

static pw_status loading_unit(pw_reckoning *r)
{
    for (int32_t i = 0; i < PW_LOADING_COUNT; i++) {
        const pw_loading_row *row = pw_loading_at(i);
        if (strcmp(row->word, r->text[0]) == 0) {
            r->out[0] = row->units;
            r->out[1] = row->draw_m3s;
            r->out[2] = row->least_m3s;
            return PW_OK;
        }
    }
    return wrong_word(r, "given.fixture", r->text[0], "a fixture of EN 806-3, such as washbasin");
}

static pw_status in_use(pw_reckoning *r)
{
    if (r->in[0] != pw_floor(r->in[0])) {
        return pw_problem_add(r->problems, PW_RANGE, "given.fixtures", NULL, "a whole number", NULL);
    }
    const int32_t m = pw_in_use((int32_t)r->in[0], r->in[1], r->in[2]);
    r->out[0] = (double)m;
    r->out[1] = (double)m * r->in[3];
    return PW_OK;
}

static pw_status stock_water(pw_reckoning *r)
{
    for (int32_t i = 0; i < PW_STOCK_COUNT; i++) {
        if (strcmp(pw_stock_word(i), r->text[0]) == 0) {
            r->out[0] = pw_stock_m3((pw_stock)i, false);
            r->out[1] = pw_stock_m3((pw_stock)i, true);
            return PW_OK;
        }
    }
    return wrong_word(r, "given.animal", r->text[0], "an animal of the table, such as sheep");
}

static pw_status check_band(pw_reckoning *r, double on_pa, double off_pa)
{
    return on_pa < off_pa ? PW_OK
                          : pw_problem_add(r->problems, PW_CONFLICT, "given.cut-in", NULL, "below the cut-out", NULL);
}

static pw_status plain_tank(pw_reckoning *r)
{
    r->out[0] = pw_plain_tank_m3(r->in[1], r->in[0], r->in[4], r->in[2], r->in[3] / 3600.0, r->in[5]);
    return check_band(r, r->in[0], r->in[1]);
}

static pw_status bladder_tanks(pw_reckoning *r)
{
    r->out[0] =
        pw_bladder_tanks(r->in[1], r->in[0], r->in[4], r->in[5], r->in[2], r->in[3] / 3600.0, r->in[6], &r->out[1]);
    r->out[1] /= 60.0; /* minutes, as the manual prints it */
    return check_band(r, r->in[0], r->in[1]);
}

static pw_status cycle_time(pw_reckoning *r)
{
    const double hz = pw_cycle_starts_hz(r->in[0], r->in[1], r->in[2]);
    r->out[0] = hz > 0.0 && hz < PW_INF ? 1.0 / hz : PW_INF;
    return PW_OK;
}

static pw_status least_cycle(pw_reckoning *r)
{
    r->out[0] = pw_least_cycle_s(r->in[0], &r->out[1]);
    return PW_OK;
}

static pw_status motor_starts(pw_reckoning *r)
{
    double most = 0.0;
    double inertia = 0.0;
    if (!pw_motor_starts(r->in[0] * PW_HORSEPOWER_W, (int32_t)r->in[1], &most, &inertia, &r->out[2])) {
        return pw_problem_add(r->problems, PW_RANGE, "given.poles", NULL, "2 or 4", NULL);
    }
    r->out[0] = most;
    r->out[1] = inertia;
    r->out[3] = pw_allowed_starts(most, inertia, r->in[2] * PW_LBFT2_KGM2);
    return PW_OK;
}

static pw_status thermal_starts(pw_reckoning *r)
{
    const pw_thermal thermal = {r->in[0], r->in[1], r->in[2], r->in[3]};
    r->out[0] = pw_thermal_starts(&thermal, r->in[4], r->in[5], r->in[6], r->in[7]);
    r->out[1] = r->in[8] > 0.0 ? pw_thermal_cycle(&thermal, r->in[8], r->in[4], r->in[5], r->in[6], r->in[7]) : 0.0;
    return PW_OK;
}

static pw_status no_row(pw_reckoning *r, const char *path, const char *expected)
{
    return pw_problem_add(r->problems, PW_RANGE, path, NULL, expected, NULL);
}

static pw_status table_current(pw_reckoning *r)
{
    r->out[0] = pw_nec_current_a(r->in[0], (int32_t)r->in[1], r->in[2]);
    r->out[1] = PW_CONDUCTOR_FACTOR * r->out[0];
    return r->out[0] > 0.0 ? PW_OK : no_row(r, "given.power", "a row of NEC 430.248 or 430.250: 0.5 to 20 hp");
}

static pw_status table_locked(pw_reckoning *r)
{
    r->out[0] = pw_nec_locked_a(r->in[0], (int32_t)r->in[1]);
    return r->out[0] > 0.0 ? PW_OK : no_row(r, "given.power", "a row of NEC 430.251: 0.5 to 20 hp");
}

static pw_status efficiency_class(pw_reckoning *r)
{
    r->out[0] = pw_ie3_efficiency(r->in[0], (int32_t)r->in[1]);
    return r->out[0] > 0.0 ? PW_OK : no_row(r, "given.power", "0.75, 1.5, 2.2, 4 or 7.5 kW with 2 or 4 poles");
}

static pw_status annex_drop(pw_reckoning *r)
{
    if (r->in[0] != 0.0 && r->in[0] != 1.0 && r->in[0] != 3.0) {
        return no_row(r, "given.phases", "0 (DC), 1 or 3");
    }
    r->out[0] = pw_annex_g_drop_v((int32_t)r->in[0], r->in[1], r->in[2], r->in[3], r->in[4]);
    return PW_OK;
}

static pw_status fault_section(pw_reckoning *r)
{
    r->out[0] = pw_fault_section_mm2(r->in[0], r->in[1], r->in[2]);
    return PW_OK;
}

static pw_status generator(pw_reckoning *r)
{
    r->out[0] = pw_generator_start_va(r->in[0], r->in[1], r->in[2]);
    return PW_OK;
}

static pw_status flexible(pw_reckoning *r)
{
    r->out[0] = pw_flexible_ohm_m(r->in[0]);
    return r->out[0] > 0.0 ? PW_OK : no_row(r, "given.section", "1.5, 2.5, 4, 6 or 10");
}

/* clang-format off */
#define COUNT(name) PW_MAY(name, NONE, 0, 100000, 0)
#define FLUSH PW_WORDS("flush")
#define HP PW_NEED_IN("power", "hp", 0.1, 1000)
#define BAND                                                                                                     \
    PW_NEED("cut-in", PRESSURE, 0, 1e7), PW_NEED("cut-out", PRESSURE, 0, 1e7),                                    \
        PW_NEED("pump flow", FLOW, 0, 100), PW_NEED("starts", RATE, 1e-3, 1800)
#define AIR PW_MAY("air pressure", PRESSURE, 1e4, 2e5, PW_ATM_PA)

const pw_formula pw_formulas_size[] = {
    {"flow of fixture units",
     {PW_NEED("units", NONE, 0, 1e6), FLUSH},
     {PW_GIVE("flow", FLOW)},
     fixture_flow},
    {"fixture units",
     {FLUSH, COUNT("bathroom group"), COUNT("water closet"), COUNT("bathtub"), COUNT("shower"), COUNT("lavatory"),
      COUNT("bidet"), COUNT("kitchen sink"), COUNT("dishwasher"), COUNT("washing machine"), COUNT("laundry tray")},
     {PW_GIVE("units", NONE), PW_GIVE("flow", FLOW)},
     fixture_units},
    {"loading units",
     {COUNT("washbasin"), COUNT("cistern"), COUNT("bidet"), COUNT("kitchen sink"), COUNT("washing machine"),
      COUNT("dishwasher"), COUNT("shower"), COUNT("urinal valve"), COUNT("bath"), COUNT("garden tap"),
       COUNT("large sink"),
      COUNT("flush valve")},
     {PW_GIVE("units", NONE), PW_GIVE("sum", FLOW), PW_GIVE("together", FLOW)},
     loading_units},
    {"loading unit",
     {PW_WORDS("fixture")},
     {PW_GIVE("units", NONE), PW_GIVE("draw-off", FLOW), PW_GIVE("least", FLOW)},
     loading_unit},
    {"fixtures in use",
     {PW_NEED("fixtures", NONE, 1, 10000), PW_NEED("share", FRACTION, 0, 1),
      PW_MAY("chance", FRACTION, 1e-12, 0.5, 0.01),
      PW_MAY("flow", FLOW, 0, 10, 0)},
     {PW_GIVE("in use", NONE), PW_GIVE("flow", FLOW)},
     in_use},
    {"stock water",
     {PW_WORDS("animal")},
     {PW_GIVE("winter", VOLUME), PW_GIVE("summer", VOLUME)},
     stock_water},
    {"tank for starts",
     {BAND, AIR, PW_MAY("factor", NONE, 1, 10, 1)},
     {PW_GIVE("volume", VOLUME)},
     plain_tank},
    {"bladder tanks for starts",
     {BAND, PW_MAY("precharge below cut-in", PRESSURE, 0, 1e6, 34473.786466), AIR, PW_NEED("each", VOLUME, 1e-4, 1000)},
     {PW_GIVE("tanks", NONE), PW_GIVE_IN("ratio", "min")},
     bladder_tanks},
    {"cycle time",
     {PW_NEED("volume", VOLUME, 0, 1e6), PW_NEED("pump flow", FLOW, 0, 1000), PW_NEED("draw", FLOW, 0, 1000)},
     {PW_GIVE("time", TIME)},
     cycle_time},
    {"least cycle",
     {PW_NEED("power", POWER, 0, 185e3)},
     {PW_GIVE("from", TIME), PW_GIVE("to", TIME)},
     least_cycle},
    {"motor starts",
     {PW_NEED_IN("power", "hp", 0.01, 20), PW_NEED("poles", NONE, 2, 4),
      PW_MAY_IN("load inertia", "lb ft2", 0, 1e6, 0)},
     {PW_GIVE("most", RATE), PW_GIVE_IN("inertia", "lb ft2"), PW_GIVE("rest", TIME), PW_GIVE("allowed", RATE)},
     motor_starts},
    {"starts by heat",
     {PW_NEED("full-load current", CURRENT, 1e-6, 1e5), PW_NEED("service factor", NONE, 0.5, 2),
      PW_NEED("heating time", TIME, 1, 1e6), PW_NEED("cooling time", TIME, 1, 1e6),
      PW_NEED("starting current", CURRENT, 0, 1e6), PW_NEED("starting time", TIME, 0, 1000),
      PW_NEED("running current", CURRENT, 0, 1e6), PW_MAY("running share", FRACTION, 0, 1, 0.5),
      PW_MAY("starts", RATE, 0, 1800, 0)},
     {PW_GIVE("most", RATE), PW_GIVE("heat", NONE)},
     thermal_starts},
    {"current by table",
     {HP, PW_NEED("phases", NONE, 1, 3), PW_NEED("voltage", VOLTAGE, 100, 500)},
     {PW_GIVE("current", CURRENT), PW_GIVE("conductor", CURRENT)},
     table_current},
    {"locked rotor current by table",
     {HP, PW_NEED("phases", NONE, 1, 3)},
     {PW_GIVE("current", CURRENT)},
     table_locked},
    {"efficiency class IE3",
     {PW_NEED("power", POWER, 1, 1e6), PW_NEED("poles", NONE, 2, 4)},
     {PW_GIVE("efficiency", FRACTION)},
     efficiency_class},
    {"cable drop, Annex G",
     {PW_NEED("phases", NONE, 0, 3), PW_NEED("current", CURRENT, 0, 1e5), PW_NEED("length", LENGTH, 0, 1e5),
      PW_NEED_IN("section", "mm2", 0.1, 1000), PW_MAY("power factor", FRACTION, 0, 1, 1)},
     {PW_GIVE("drop", VOLTAGE)},
     annex_drop},
    {"section for a short circuit",
     {PW_NEED("current", CURRENT, 0, 1e6), PW_NEED("time", TIME, 0, 5), PW_MAY_IN("k", "A s^0.5/mm2", 10, 300, 115)},
     {PW_GIVE_IN("section", "mm2")},
     fault_section},
    {"generator for a start",
     {PW_NEED_IN("starting power", "VA", 0, 1e9), PW_MAY("reactance", NONE, 0.01, 2, 0.2),
      PW_MAY("dip", FRACTION, 0.01, 0.9, 0.2)},
     {PW_GIVE_IN("rating", "VA")},
     generator},
    {"flexible cable",
     {PW_NEED_IN("section", "mm2", 0.1, 1000)},
     {PW_GIVE_IN("resistance at 20 degC", "ohm/m")},
     flexible},
};
/* clang-format on */
const int32_t pw_formulas_size_count = (int32_t)(sizeof pw_formulas_size / sizeof pw_formulas_size[0]);
