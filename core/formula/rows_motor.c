/* Registry: motors, their heat, their starts, and what feeds them. */
#include <stddef.h>

#include "base/num.h"
#include "formula/motor.h"
#include "formula/rows.h"
#include "formula/tables.h"
#include "formula/thermal.h"

static pw_status motor_load(pw_reckoning *r)
{
    const pw_motor_data motor = {r->in[0], r->in[1], (int32_t)r->in[2], r->in[3], 0.0, r->in[4], r->in[5]};
    const pw_status status = pw_rows_phases(r, r->in[2]);
    if (status == PW_OK) {
        const double volts = r->in[7] > 0.0 ? r->in[7] : r->in[1];
        pw_motor_load(&motor, r->in[6], volts, &r->out[0], &r->out[1], &r->out[2], &r->out[3]);
    }
    return status;
}

static pw_status motor_current(pw_reckoning *r)
{
    const pw_status status = pw_rows_phases(r, r->in[2]);
    if (status == PW_OK) {
        r->out[0] = pw_motor_current_a((int32_t)r->in[2], r->in[0], r->in[1], r->in[3], r->in[4]);
    }
    return status;
}

static pw_status start_factor(pw_reckoning *r)
{
    r->out[0] = pw_motor_start_factor((int32_t)r->in[0], r->in[1]);
    return PW_OK;
}

static pw_status motor_at_voltage(pw_reckoning *r)
{
    const pw_status status = pw_rows_phases(r, r->in[0]);
    if (status != PW_OK) {
        return status;
    }
    const pw_motor_data motor = {.voltage_v = 1.0, .phases = (int32_t)r->in[0], .locked_rotor_a = r->in[3]};
    r->out[0] = pw_motor_torque(r->in[1]);
    r->out[1] = pw_motor_speed(motor.phases, r->in[1]);
    r->out[2] = pw_motor_start_s(r->in[2], r->in[1]);
    r->out[3] = pw_motor_start_a(&motor, r->in[1]);
    return PW_OK;
}

static pw_status single_phasing(pw_reckoning *r)
{
    r->out[0] = r->in[0] * pw_motor_single_phased_turning();
    r->out[1] = r->in[1] * pw_motor_single_phased_standing();
    return PW_OK;
}

static pw_status locked_rotor(pw_reckoning *r)
{
    const pw_status status = pw_rows_phases(r, r->in[2]);
    if (status == PW_OK) {
        r->out[0] = pw_locked_rotor_kva_per_hp((int32_t)r->in[2], r->in[0], r->in[1], r->in[3]);
        r->words[1][0] = pw_locked_rotor_letter(r->out[0]);
    }
    return status;
}

static pw_status trip_time(pw_reckoning *r)
{
    const pw_thermal thermal = {r->in[0], r->in[1], r->in[2], r->in[2]};
    r->out[0] = pw_thermal_trip_s(&thermal, pw_thermal_settled(&thermal, r->in[4]), r->in[3]);
    return PW_OK;
}

static pw_status winding(pw_reckoning *r)
{
    const pw_thermal thermal = {r->in[0], r->in[1], r->in[2], r->in[2]};
    const double start = pw_thermal_settled(&thermal, r->in[4]);
    const double theta = pw_thermal_step(&thermal, start, r->in[3], true, r->in[5]);
    r->out[0] = theta;
    r->out[1] = pw_winding_c(&thermal, theta, r->in[6], r->in[7]);
    return PW_OK;
}

static pw_status cooling(pw_reckoning *r)
{
    const pw_thermal thermal = {1.0, 1.0, r->in[0], r->in[0]};
    r->out[0] = pw_thermal_cool_s(&thermal, r->in[1], r->in[2]);
    return PW_OK;
}

static pw_status start_heat(pw_reckoning *r)
{
    const pw_thermal thermal = {r->in[0], r->in[1], r->in[2], r->in[2]};
    r->out[0] = pw_thermal_start(&thermal, r->in[3], r->in[4]);
    return PW_OK;
}

static pw_status thermal_starts(pw_reckoning *r)
{
    const pw_thermal thermal = {r->in[0], r->in[1], r->in[2], r->in[3]};
    r->out[0] = pw_thermal_starts(&thermal, r->in[4], r->in[5], r->in[6], r->in[7]);
    r->out[1] = r->in[8] > 0.0 ? pw_thermal_cycle(&thermal, r->in[8], r->in[4], r->in[5], r->in[6], r->in[7]) : 0.0;
    return PW_OK;
}

static pw_status motor_starts(pw_reckoning *r)
{
    double most = 0.0;
    double inertia = 0.0;
    if (!pw_motor_starts(r->in[0] * PW_HORSEPOWER_W, (int32_t)r->in[1], &most, &inertia, &r->out[2])) {
        return pw_rows_refuse(r, "given.poles", "2 or 4");
    }
    r->out[0] = most;
    r->out[1] = inertia;
    r->out[3] = pw_allowed_starts(most, inertia, r->in[2] * PW_LBFT2_KGM2);
    return PW_OK;
}

static pw_status least_cycle(pw_reckoning *r)
{
    r->out[0] = pw_least_cycle_s(r->in[0], &r->out[1]);
    return PW_OK;
}

static pw_status table_current(pw_reckoning *r)
{
    r->out[0] = pw_nec_current_a(r->in[0], (int32_t)r->in[1], r->in[2]);
    r->out[1] = PW_CONDUCTOR_FACTOR * r->out[0];
    return r->out[0] > 0.0 ? PW_OK : pw_rows_refuse(r, "given.power", "a row of NEC 430.248 or 430.250: 0.5 to 20 hp");
}

static pw_status table_locked(pw_reckoning *r)
{
    r->out[0] = pw_nec_locked_a(r->in[0], (int32_t)r->in[1]);
    return r->out[0] > 0.0 ? PW_OK : pw_rows_refuse(r, "given.power", "a row of NEC 430.251: 0.5 to 20 hp");
}

static pw_status efficiency_class(pw_reckoning *r)
{
    r->out[0] = pw_ie3_efficiency(r->in[0], (int32_t)r->in[1]);
    return r->out[0] > 0.0 ? PW_OK : pw_rows_refuse(r, "given.power", "0.75, 1.5, 2.2, 4 or 7.5 kW with 2 or 4 poles");
}

static pw_status generator(pw_reckoning *r)
{
    r->out[0] = pw_generator_start_va(r->in[0], r->in[1], r->in[2]);
    return PW_OK;
}

/* clang-format off */
#define PHASES PW_NEED("phases", NONE, 0, 3, "0 (DC), 1 or 3")
#define HP     PW_NEED_IN("power", "hp", 0.1, 1000, "rated")
#define FULL   PW_NEED("full-load current", CURRENT, 1e-6, 1e5, "I_B")
#define FACTOR PW_NEED("service factor", NONE, 0.5, 2, "k: the motor holds k I_B for ever")
#define TAU    PW_NEED("time constant", TIME, 1e-3, 1e6, "while running")
#define RELAY                                                                                                     \
    FULL, FACTOR, TAU, PW_NEED("current", CURRENT, 0, 1e6, "drawn from now on"),                                  \
        PW_MAY("preload", CURRENT, 0, 1e6, 0, "drawn for long before")

static const pw_formula rows[] = {
    {.id = "motor load",
     .title = "Motor at part load",
     .says = "Losses 0.36 v^2 + 0.64 (load/v)^2 of the rated ones, reactive power 0.8 v^2 + 0.2 (load/v)^2.",
     .in = {PW_NEED("rated power", POWER, 1e-3, 1e7, "at the shaft"),
            PW_NEED("rated voltage", VOLTAGE, 1, 1e5, "between phases"), PHASES,
            PW_MAY("full-load current", CURRENT, 0, 1e5, 0, "where 0, from power, efficiency and power factor"),
            PW_NEED("efficiency", FRACTION, 0.01, 0.999, "at rated load"),
            PW_MAY("power factor", FRACTION, 0.05, 1, 0.85, "at rated load"),
            PW_NEED("shaft power", POWER, 0, 1e7, "asked of it"),
            PW_MAY("voltage", VOLTAGE, 0, 1e5, 0, "at its terminals; where 0, rated")},
     .out = {PW_GIVE("input power", POWER, "at the terminals"), PW_GIVE("current", CURRENT, "of one line"),
             PW_GIVE("efficiency", FRACTION, "at this load"), PW_GIVE("power factor", FRACTION, "at this load")},
     .source = "equivalent circuit, own derivation; best efficiency at 3/4 load common practice",
     .work = motor_load},
    {.id = "motor current",
     .title = "Current of a motor",
     .says = "P / (m V pf eff), m = sqrt(3) for three phases.",
     .in = {PW_NEED("shaft power", POWER, 0, 1e7, "at the shaft"),
            PW_NEED("voltage", VOLTAGE, 1, 1e5, "between phases"),
            PHASES, PW_NEED("efficiency", FRACTION, 0.01, 1, "at that load"),
            PW_MAY("power factor", FRACTION, 0.05, 1, 1, "at that load; DC: 1")},
     .out = {PW_GIVE("current", CURRENT, "of one line")},
     .source = "definition",
     .work = motor_current},
    {.id = "starting power factor",
     .title = "Power factor of a motor that starts",
     .says = "0.82 at half a horsepower, falling to 0.39 at 40 hp.",
     .in = {PW_NEED("phases", NONE, 0, 3, "0 (DC), 1 or 3"), PW_NEED("power", POWER, 1, 1e6, "rated, at the shaft")},
     .out = {PW_GIVE("power factor", NONE, "at locked rotor")},
     .source = "standby-generator application manual, 2007, Table 7, read in a copy; three-phase motors",
     .work = start_factor},
    {.id = "motor at a voltage",
     .title = "Motor on a weak supply",
     .says = "Torque v^2, slip 1/v^2, starting current v, starting time 1.2 / (1.5 v^2 - 0.3).",
     .in = {PW_NEED("phases", NONE, 0, 3, "0 (DC), 1 or 3"),
            PW_NEED("voltage", FRACTION, 0.01, 1.5, "v, of the rated one"),
            PW_MAY("start time", TIME, 0, 1e3, 1, "at rated voltage"),
            PW_MAY("starting current", CURRENT, 0, 1e6, 0, "at rated voltage")},
     .out = {PW_GIVE("torque", FRACTION, "of the rated one"), PW_GIVE("speed", FRACTION, "of the rated one"),
             PW_GIVE("start time", TIME, "unlimited when it never runs up"),
             PW_GIVE("starting current", CURRENT, "then")},
     .source = "equivalent circuit; mean torques common practice, own derivation (motor.h)",
     .work = motor_at_voltage},
    {.id = "one phase gone",
     .title = "Three-phase motor on two lines",
     .says = "Turning sqrt(3) times its current, standing sqrt(3)/2 of its starting current.",
     .in = {PW_MAY("current", CURRENT, 0, 1e6, 0, "before"),
            PW_MAY("starting current", CURRENT, 0, 1e6, 0, "on three lines")},
     .out = {PW_GIVE("current", CURRENT, "turning"), PW_GIVE("standing current", CURRENT, "that does not start")},
     .source = "own derivation; handbooks have the same",
     .work = single_phasing},
    {.id = "locked rotor letter",
     .title = "Starting power and code letter",
     .says = "Apparent power at locked rotor for each 746 W.",
     .in = {PW_NEED("power", POWER, 1, 1e7, "rated"), PW_NEED("voltage", VOLTAGE, 1, 1e5, "rated"), PHASES,
            PW_NEED("current", CURRENT, 0, 1e6, "at locked rotor")},
     .out = {PW_GIVE_IN("start power", "kVA/hp", "for each horsepower"), PW_GIVE("letter", NONE, "A to V")},
     .source = "NEMA MG 1",
     .hand = "sizing shows the starting power itself; the letter is for reading a nameplate",
     .work = locked_rotor},
    {.id = "thermal trip",
     .title = "Trip time of an overload",
     .says = "tau ln((I^2 - Ip^2) / (I^2 - (k I_B)^2)).",
     .in = {RELAY},
     .out = {PW_GIVE("time", TIME, "until the trip; unlimited at or below k I_B")},
     .source = "IEC 60255-149",
     .hand = "the simulation steps the same body through the currents of each moment (see winding)",
     .work = trip_time},
    {.id = "winding",
     .title = "Heat of a winding",
     .says = "One body: d theta/dt = ((I/(k I_B))^2 - theta)/tau, temperature by the rise at full load.",
     .in = {RELAY, PW_NEED("time", TIME, 0, 1e9, "from now on"),
            PW_MAY("surroundings", TEMPERATURE, -50, 100, 20, "the water around the motor"),
            PW_NEED("rise", TEMPERATURE_RISE, 0, 300, "at full-load current")},
     .out = {PW_GIVE("heat", NONE, "theta; the trip is at 1"), PW_GIVE("temperature", TEMPERATURE, "of the winding")},
     .source = "IEC 60255-149",
     .work = winding},
    {.id = "cooling of a winding",
     .title = "Time a winding needs to cool",
     .says = "tau ln(theta / end).",
     .in = {PW_NEED("time constant", TIME, 1e-3, 1e6, "at rest"), PW_NEED("heat", NONE, 0, 100, "theta now"),
            PW_NEED("end heat", NONE, 0, 100, "theta asked for")},
     .out = {PW_GIVE("time", TIME, "until then")},
     .source = "IEC 60255-149",
     .hand = "the simulation steps the same body at rest (see winding)",
     .work = cooling},
    {.id = "heat of a start",
     .title = "Heat that one start leaves",
     .says = "theta after the starting time at the starting current, from cold.",
     .in = {FULL, FACTOR, TAU, PW_NEED("starting current", CURRENT, 0, 1e6, "while it runs up"),
            PW_NEED("start time", TIME, 0, 1e3, "until it is up")},
     .out = {PW_GIVE("heat", NONE, "theta")},
     .source = "IEC 60255-149",
     .work = start_heat},
    {.id = "starts by heat",
     .title = "Starts an hour that a winding stands",
     .says = "Most starts whose settled cycle stays below the trip.",
     .in = {FULL, FACTOR, PW_NEED("heating time", TIME, 1, 1e6, "time constant while running"),
            PW_NEED("cooling time", TIME, 1, 1e6, "time constant at rest"),
            PW_NEED("starting current", CURRENT, 0, 1e6, "while it runs up"),
            PW_NEED("starting time", TIME, 0, 1000, "until it is up"),
            PW_NEED("running current", CURRENT, 0, 1e6, "after that"),
            PW_MAY("running share", FRACTION, 0, 1, 0.5, "of the cycle"),
            PW_MAY("starts", RATE, 0, 1800, 0, "for the heat asked for")},
     .out = {PW_GIVE("most", RATE, "whole starts, up to 1,800"), PW_GIVE("heat", NONE, "hottest theta at `starts`")},
     .source = "IEC 60255-149; the settled cycle is an own derivation",
     .work = thermal_starts},
    {.id = "motor starts",
     .title = "Starts an hour by the table",
     .says = "Most starts A, starts times load inertia B, least rest C of the next larger motor.",
     .in = {PW_NEED_IN("power", "hp", 0.01, 20, "rated"), PW_NEED("poles", NONE, 2, 4, "2 or 4"),
            PW_MAY_IN("load inertia", "lb ft2", 0, 1e6, 0, "where 0, not known")},
     .out = {PW_GIVE("most", RATE, "A"), PW_GIVE_IN("inertia", "lb ft2", "B"), PW_GIVE("rest", TIME, "C"),
             PW_GIVE("allowed", RATE, "the lesser of A and B over the inertia")},
     .source = "NEMA MG 10 Table 2-3",
     .work = motor_starts},
    {.id = "least cycle",
     .title = "Least cycle time by power",
     .says = "Band of cycle times for motors up to 185 kW.",
     .in = {PW_NEED("power", POWER, 0, 185e3, "rated")},
     .out = {PW_GIVE("from", TIME, "of the band"), PW_GIVE("to", TIME, "of the band")},
     .source = "US Army EI 11C201 (1997), Table 7-1",
     .hand = "a rule for large dry motors; sizing takes NEMA MG 10 and the winding's heat",
     .work = least_cycle},
    {.id = "current by table",
     .title = "Full-load current by table",
     .says = "Exact rows only, in horsepower.",
     .in = {HP, PW_NEED("phases", NONE, 1, 3, "1 or 3"),
            PW_NEED("voltage", VOLTAGE, 100, 500, "115 or 230, 230 or 460 V")},
     .out = {PW_GIVE("current", CURRENT, "at full load"), PW_GIVE("conductor", CURRENT, "1.25 times that")},
     .source = "NEC Tables 430.248 (1999), 430.250; 430.22",
     .hand = "the sheet has the nameplate's current, or its power, efficiency and power factor",
     .work = table_current},
    {.id = "locked rotor current by table",
     .title = "Locked-rotor current by table",
     .says = "At 230 V, exact rows only, in horsepower.",
     .in = {HP, PW_NEED("phases", NONE, 1, 3, "1 or 3")},
     .out = {PW_GIVE("current", CURRENT, "at locked rotor")},
     .source = "NEC Table 430.251 (2008)",
     .hand = "the sheet has the nameplate's current, or the usual multiple of full load",
     .work = table_locked},
    {.id = "efficiency class IE3",
     .title = "Least efficiency of class IE3",
     .says = "At 50 Hz, for powers of the table.",
     .in = {PW_NEED("power", POWER, 1, 1e6, "0.75, 1.5, 2.2, 4 or 7.5 kW"), PW_NEED("poles", NONE, 2, 4, "2 or 4")},
     .out = {PW_GIVE("efficiency", FRACTION, "at rated load")},
     .source = "IEC 60034-30-1:2014, from memory",
     .hand = "of dry motors; the sheet's defaults are for wet ones, which are worse",
     .work = efficiency_class},
    {.id = "generator for a start",
     .title = "Generator that starts a motor",
     .says = "S X' (1/dip - 1).",
     .in = {PW_NEED_IN("starting power", "VA", 0, 1e9, "S, apparent"),
            PW_MAY("reactance", NONE, 0.01, 2, 0.2, "X', transient, of its rating"),
            PW_MAY("dip", FRACTION, 0.01, 0.9, 0.2, "of the voltage, allowed")},
     .out = {PW_GIVE_IN("rating", "VA", "of the generator")},
     .source = "voltage divider, own derivation",
     .work = generator},
};
/* clang-format on */
const pw_formula_table pw_rows_motor = {"Motors", "power", rows, (int32_t)(sizeof rows / sizeof rows[0])};
