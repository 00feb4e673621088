/* Registry: supplies that give way under load. */
#include <stddef.h>

#include "base/num.h"
#include "formula/rows.h"
#include "formula/supply.h"

static pw_status generator_runs(pw_reckoning *r)
{
    const double frequency = pw_generator_frequency(r->in[0] / r->in[1], r->in[2]);
    r->out[0] = frequency;
    r->out[1] = pw_generator_volts(frequency);
    r->out[2] = r->in[1] * pw_generator_most(frequency);
    return PW_OK;
}

static pw_status generator_dips(pw_reckoning *r)
{
    r->out[0] = pw_generator_start_part(r->in[0], r->in[1], r->in[2]);
    return PW_OK;
}

static pw_status battery(pw_reckoning *r)
{
    if (r->in[1] > r->in[0]) {
        return pw_rows_refuse(r, "given.empty", "not more than the full voltage");
    }
    const double emf_v = pw_battery_v(r->in[1], r->in[0], r->in[2]);
    const double current_a = pw_battery_a(emf_v, r->in[3], r->in[4]);
    r->out[0] = emf_v;
    r->out[1] = current_a;
    r->out[2] = emf_v - r->in[3] * current_a;
    r->out[3] = pw_battery_w(emf_v, r->in[3], r->out[2]);
    return PW_OK;
}

/* clang-format off: one entry a row reads better than one a line. */
static const pw_formula rows[] = {
    {.id = "generator under load",
     .title = "Generator under load",
     .says = "f = 1 + droop (1 - load); voltage whole down to 95 % of it, then in proportion; most 1.1 f.",
     .in = {PW_NEED("load", POWER, 0, 1e7, "on its terminals"), PW_NEED("power", POWER, 1, 1e7, "rated, real"),
            PW_NEED("droop", FRACTION, 0.001, 0.2, "of the governor, from no load to full load")},
     .out = {PW_GIVE("frequency", FRACTION, "of the rated one"), PW_GIVE("voltage", FRACTION, "of the rated one"),
             PW_GIVE("most", POWER, "that its engine holds at this frequency")},
     .source = "ISO 8528-5 (droop), ISO 8528-1 (a tenth over the rating), from memory; regulator: common practice",
     .work = generator_runs},
    {.id = "generator at a start",
     .title = "Voltage of a generator while a motor starts",
     .says = "1 / (1 + X' S_start / S).",
     .in = {PW_NEED_IN("start", "VA", 0, 1e7, "that the motor takes at its full voltage, locked"),
            PW_NEED_IN("rating", "VA", 1, 1e7, "of the generator"),
            PW_NEED("reactance", FRACTION, 0.01, 1, "transient, per unit")},
     .out = {PW_GIVE("voltage", FRACTION, "of the rated one")},
     .source = "standby-generator application manual, 2007, read in a copy; voltage divider",
     .work = generator_dips},
    {.id = "battery under load",
     .title = "Battery under load",
     .says = "E straight from empty to full; I = (E - sqrt(E^2 - 4 R P)) / (2 R), at most E / (2 R).",
     .in = {PW_NEED("full", VOLTAGE, 1, 1000, "voltage at rest, full"),
            PW_NEED("empty", VOLTAGE, 1, 1000, "voltage at rest, empty"),
            PW_NEED("charge", FRACTION, 0, 1, "state of charge"),
            PW_NEED_IN("resistance", "ohm", 1e-5, 10, "inner, with its leads"),
            PW_NEED("power", POWER, 0, 1e6, "taken at its terminals")},
     .out = {PW_GIVE("at rest", VOLTAGE, "without a load"), PW_GIVE("current", CURRENT, "it gives"),
             PW_GIVE("voltage", VOLTAGE, "under that load"),
             PW_GIVE("power", POWER, "it gives: less than was asked for when it cannot")},
     .source = "Ohm's law, most power at half the voltage; voltage by charge as a straight line: common practice",
     .work = battery},
};
/* clang-format on */
const pw_formula_table pw_rows_supply = {"Supplies", "power", rows, (int32_t)(sizeof rows / sizeof rows[0])};
