/* Registry: cables. */
#include <stddef.h>
#include <string.h>

#include "formula/cable.h"
#include "formula/motor.h"
#include "formula/rows.h"

static pw_status no_section(pw_reckoning *r)
{
    return pw_rows_complain(r, PW_RANGE, "given.section", NULL, "a section of IEC 60228: 0.5 to 120 mm2",
                            "for instance 1.5, 2.5, 4, 6 or 10");
}

static pw_status cable(pw_reckoning *r)
{
    r->out[0] = pw_cable_ohm_m(r->in[0]);
    r->out[1] = r->out[0] * pw_copper_factor(r->in[1]);
    return r->out[0] > 0.0 ? PW_OK : no_section(r);
}

static pw_status flexible(pw_reckoning *r)
{
    r->out[0] = pw_flexible_ohm_m(r->in[0]);
    return r->out[0] > 0.0 ? PW_OK : pw_rows_refuse(r, "given.section", "1.5, 2.5, 4, 6 or 10");
}

static pw_status copper(pw_reckoning *r)
{
    r->out[0] = pw_copper_factor(r->in[0]);
    r->out[1] = pw_copper_correction(r->in[0]);
    return PW_OK;
}

static pw_status cable_drop(pw_reckoning *r)
{
    const pw_status status = pw_rows_phases(r, r->in[0]);
    const double ohm_m = pw_cable_ohm_m(r->in[4]) * pw_copper_factor(r->in[5]);
    if (status != PW_OK) {
        return status;
    }
    if (!(ohm_m > 0.0)) {
        return no_section(r);
    }
    r->out[0] = pw_cable_drop_v((int32_t)r->in[0], r->in[2], r->in[3], ohm_m, r->in[7], r->in[6]);
    r->out[1] = r->out[0] / r->in[1];
    return PW_OK;
}

static pw_status annex_drop(pw_reckoning *r)
{
    const pw_status status = pw_rows_phases(r, r->in[0]);
    if (status == PW_OK) {
        r->out[0] = pw_annex_g_drop_v((int32_t)r->in[0], r->in[1], r->in[2], r->in[3], r->in[4]);
    }
    return status;
}

static pw_status fault_section(pw_reckoning *r)
{
    r->out[0] = pw_fault_section_mm2(r->in[0], r->in[1], r->in[2]);
    return PW_OK;
}

static pw_status end_fault(pw_reckoning *r)
{
    const pw_status status = pw_rows_phases(r, r->in[0]);
    const double loop_ohm = 2.0 * r->in[3] * pw_cable_ohm_m(r->in[4]) * pw_copper_factor(r->in[5]);
    if (status != PW_OK) {
        return status;
    }
    r->out[0] = pw_end_fault_a(pw_phase_v((int32_t)r->in[0], r->in[1]), r->in[2], loop_ohm);
    return loop_ohm > 0.0 ? PW_OK : no_section(r);
}

static pw_status start_part(pw_reckoning *r)
{
    const pw_status status = pw_rows_phases(r, r->in[0]);
    const double ohm_m = pw_cable_ohm_m(r->in[5]) * pw_copper_factor(r->in[6]);
    if (status != PW_OK) {
        return status;
    }
    const double part =
        pw_cable_start_part((int32_t)r->in[0], r->in[1], r->in[2], r->in[3], r->in[4], ohm_m, PW_CABLE_OHM_M);
    r->out[0] = part;
    r->out[1] = pw_motor_torque(part);
    r->out[2] = part * r->in[2];
    return ohm_m > 0.0 ? PW_OK : no_section(r);
}

static pw_status ampacity(pw_reckoning *r)
{
    static const char *const layings[PW_LAYINGS] = {"A1", "A2", "B1", "B2", "C", "D1", "D2"};
    for (int32_t i = 0; i < PW_LAYINGS; i++) {
        if (strcmp(r->text[0], layings[i]) == 0) {
            const pw_laying laying = (pw_laying)i;
            r->out[1] = pw_cable_warmth_factor(laying, r->in[3]);
            r->out[0] = pw_cable_ampacity_a(laying, (int32_t)r->in[1], r->in[2]) * r->out[1];
            return PW_OK;
        }
    }
    return pw_rows_refuse(r, "given.laying", "A1, A2, B1, B2, C, D1 or D2");
}

/* clang-format off */
#define PHASES  PW_NEED("phases", NONE, 0, 3, "0 (DC), 1 or 3")
#define SECTION PW_NEED_IN("section", "mm2", 0.1, 1000, "nominal, of one conductor")
#define ONE_WAY PW_NEED("length", LENGTH, 0, 1e5, "one way")
#define HOT     PW_MAY("temperature", TEMPERATURE, -50, 120, 70, "of the conductor")

static const pw_formula rows[] = {
    {.id = "cable",
     .title = "Resistance of a copper conductor",
     .says = "Greatest resistance of class 2 at 20 degC, and at a temperature.",
     .in = {SECTION, PW_MAY("temperature", TEMPERATURE, -50, 120, 20, "of the conductor")},
     .out = {PW_GIVE_IN("resistance at 20 degC", "ohm/m", "of one conductor"),
             PW_GIVE_IN("resistance", "ohm/m", "at the temperature")},
     .source = "IEC 60228, Table 2; IEC 60287 for the temperature",
     .work = cable},
    {.id = "flexible cable",
     .title = "Resistance of a flexible conductor",
     .says = "Class 5 at 20 degC.",
     .in = {PW_NEED_IN("section", "mm2", 0.1, 1000, "1.5, 2.5, 4, 6 or 10")},
     .out = {PW_GIVE_IN("resistance at 20 degC", "ohm/m", "of one conductor")},
     .source = "IEC 60228",
     .hand = "sizing takes the laid cable, class 2; a flexible tail is short",
     .work = flexible},
    {.id = "copper",
     .title = "Copper by temperature",
     .says = "(234.5 + t)/254.5 from 20 degC, and 250/(230 + t) back to it.",
     .in = {PW_NEED("temperature", TEMPERATURE, -50, 150, "of the conductor")},
     .out = {PW_GIVE("factor", NONE, "from 20 degC to the temperature"),
             PW_GIVE("correction to 20 degC", NONE, "of a measured resistance")},
     .source = "IEC 60287; IEC 60228 Annex B",
     .hand = "the second brings a measured resistance to 20 degC; the product only goes from 20 degC",
     .work = copper},
    {.id = "cable drop",
     .title = "Voltage lost along a cable",
     .says = "sqrt(3) I L (R cos + X sin), 2 for one phase, 2 I L R for DC.",
     .in = {PHASES, PW_NEED("voltage", VOLTAGE, 1, 1e5, "of the supply, for the share"),
            PW_NEED("current", CURRENT, 0, 1e5, "of one line"), ONE_WAY, SECTION, HOT,
            PW_MAY("power factor", FRACTION, 0, 1, 1, "of the load"),
            PW_MAY_IN("reactance", "ohm/m", 0, 0.01, PW_CABLE_OHM_M, "of one conductor")},
     .out = {PW_GIVE("drop", VOLTAGE, "between phases, or both wires"), PW_GIVE("share", FRACTION, "of the supply")},
     .source = "IEC 60364-5-52 Annex G (form); IEC 60228",
     .work = cable_drop},
    {.id = "cable drop, Annex G",
     .title = "Voltage lost along a cable, with the annex's constants",
     .says = "b (rho L/S cos + lambda L sin) I to the neutral, rho 0.0225 ohm mm2/m, lambda 0.08 mohm/m.",
     .in = {PHASES, PW_NEED("current", CURRENT, 0, 1e5, "of one line"), ONE_WAY, SECTION,
            PW_MAY("power factor", FRACTION, 0, 1, 1, "of the load")},
     .out = {PW_GIVE("drop", VOLTAGE, "to the neutral for three phases, else between both wires")},
     .source = "IEC 60364-5-52 Annex G, constants from memory",
     .hand = "the same law with the constants of the annex; sizing takes the cable's own resistance",
     .work = annex_drop},
    {.id = "section for a short circuit",
     .title = "Least section for a short circuit",
     .says = "I sqrt(t) / k, adiabatic.",
     .in = {PW_NEED("current", CURRENT, 0, 1e6, "of the short circuit"),
            PW_NEED("time", TIME, 0, 5, "until it is cut off"),
            PW_MAY_IN("k", "A s^0.5/mm2", 10, 300, PW_COPPER_PVC_K, "115 copper in PVC, 143 in EPR or XLPE")},
     .out = {PW_GIVE_IN("section", "mm2", "of one conductor")},
     .source = "IEC 60364-4-43, Table 43A, from memory",
     .work = fault_section},
    {.id = "short circuit at the end",
     .title = "Short-circuit current at the end of a cable",
     .says = "Phase voltage over the source's and the loop's resistance.",
     .in = {PHASES, PW_NEED("voltage", VOLTAGE, 1, 1e5, "of the supply, between phases"),
            PW_NEED("current", CURRENT, 1, 1e6, "of a short circuit at its beginning"), ONE_WAY, SECTION, HOT},
     .out = {PW_GIVE("current", CURRENT, "of a short circuit at the end")},
     .source = "Ohm's law, resistances only",
     .work = end_fault},
    {.id = "start on a cable",
     .title = "Motor that starts on a long cable",
     .says = "|Zm / (Zm + Zc)|, the motor a constant impedance; torque by its square.",
     .in = {PHASES, PW_NEED("voltage", VOLTAGE, 1, 1e5, "of the supply, between phases"),
            PW_NEED("starting current", CURRENT, 0, 1e6, "at that voltage"),
            PW_NEED("power factor", NONE, 0.01, 1, "at locked rotor"), ONE_WAY, SECTION, HOT},
     .out = {PW_GIVE("voltage part", NONE, "of the supply's, at the motor"), PW_GIVE("torque", NONE, "of the rated"),
             PW_GIVE("current", CURRENT, "drawn")},
     .source = "voltage divider, own derivation; IEC 60228 for the copper",
     .work = start_part},
    {.id = "cable ampacity",
     .title = "Current that a laid cable carries",
     .says = "Table value times sqrt((70 - t)/(70 - 30 or 20)).",
     .in = {PW_WORDS("laying", "A1, A2, B1, B2, C, D1 or D2"), PW_NEED("loaded", NONE, 2, 3, "conductors: 2 or 3"),
            SECTION, PW_NEED("surroundings", TEMPERATURE, -40, 70, "air or ground; the tables are for 30 and 20 degC")},
     .out = {PW_GIVE("current", CURRENT, "copper, PVC, alone"), PW_GIVE("factor", NONE, "of the surroundings")},
     .source = "IEC 60364-5-52:2009 Tables B.52.2, B.52.4, B.52.14 in public copies; the local code decides",
     .work = ampacity},
};
/* clang-format on */
const pw_formula_table pw_rows_cable = {"Cables", "power", rows, (int32_t)(sizeof rows / sizeof rows[0])};
