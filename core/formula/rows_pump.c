/* Registry: curves, pumps, suction, the warming of water in a pump. */
#include <stddef.h>

#include "base/num.h"
#include "formula/atmosphere.h"
#include "formula/curve.h"
#include "formula/jet.h"
#include "formula/pump.h"
#include "formula/rows.h"
#include "formula/tables.h"
#include "formula/thermal.h"
#include "formula/water.h"

static pw_status curve_of(pw_reckoning *r, bool head, pw_curve *out)
{
    if (r->list_count[0] != r->list_count[1]) {
        return pw_rows_complain(r, PW_CONFLICT, "given", NULL, "two lists of the same length", NULL);
    }
    const bool built = head ? pw_curve_build_head(r->list_count[0], r->list[0], r->list[1], out)
                            : pw_curve_build(r->list_count[0], r->list[0], r->list[1], out);
    if (!built) {
        return pw_rows_refuse(r, "given",
                              head ? "2 points or more, flow rising, head never rising" : "2 points or more, x rising");
    }
    return PW_OK;
}

static pw_status curve(pw_reckoning *r)
{
    pw_curve c;
    const pw_status status = curve_of(r, false, &c);
    if (status == PW_OK) {
        r->out[0] = pw_curve_at(&c, r->in[2], &r->out[1]);
    }
    return status;
}

static pw_status pump_head(pw_reckoning *r)
{
    pw_curve c;
    const pw_status status = curve_of(r, true, &c);
    if (status == PW_OK) {
        r->out[0] = pw_pump_head(&c, r->in[2], r->in[3], &r->out[1]);
    }
    return status;
}

static pw_status pump_duty(pw_reckoning *r)
{
    pw_curve c;
    const pw_status status = curve_of(r, true, &c);
    if (status == PW_OK) {
        const double flow = pw_pump_duty_m3s(&c, (int32_t)r->in[3], (int32_t)r->in[4], r->in[2], r->in[5], r->in[6]);
        r->out[0] = flow;
        r->out[1] = r->in[5] + r->in[6] * flow * flow;
    }
    return status;
}

static pw_status affinity(pw_reckoning *r)
{
    const double ratio = r->in[1] / r->in[0];
    r->out[0] = pw_affinity_flow_m3s(r->in[2], ratio);
    r->out[1] = pw_affinity_head_m(r->in[3], ratio);
    r->out[2] = pw_affinity_power_w(r->in[4], ratio);
    return PW_OK;
}

static pw_status specific_speed(pw_reckoning *r)
{
    r->out[0] = pw_specific_speed(r->in[0], r->in[1], r->in[2]);
    return PW_OK;
}

static pw_status pump_power(pw_reckoning *r)
{
    pw_water w;
    pw_water_at(r->in[5], &w);
    r->out[0] = pw_hydraulic_w(pw_pa_per_m(r->in[6] > 0.0 ? r->in[6] : w.density_kgm3), r->in[0], r->in[1]);
    r->out[1] = r->out[0] / r->in[2];
    r->out[2] = r->out[1] / (r->in[3] * r->in[4]);
    return PW_OK;
}

static pw_status energy(pw_reckoning *r)
{
    const double input_w = pw_hydraulic_w(pw_pa_per_m(r->in[5]), 1.0, r->in[0]) / (r->in[1] * r->in[2]);
    const double kwh_m3 = pw_energy_kwh_m3(input_w, 1.0);
    r->out[0] = kwh_m3;
    r->out[1] = kwh_m3 * r->in[3] * 3.6e6;
    r->out[2] = kwh_m3 * r->in[3] * r->in[4];
    return PW_OK;
}

static pw_status npsh(pw_reckoning *r)
{
    pw_water w;
    pw_water_at(r->in[6], &w); /* what is not given is that of the altitude and the temperature */
    const double air_pa = r->in[0] > 0.0 ? r->in[0] : pw_atmosphere_pa(r->in[5]);
    const double vapour_pa = r->in[1] > 0.0 ? r->in[1] : w.vapour_pa;
    const double density = r->in[2] > 0.0 ? r->in[2] : w.density_kgm3;
    r->out[0] = pw_npsh_available_m(air_pa, vapour_pa, density, r->in[3], r->in[4]);
    return PW_OK;
}

static pw_status cavitating(pw_reckoning *r)
{
    r->out[0] = pw_cavitating_part(r->in[0] / r->in[1], NULL);
    return PW_OK;
}

static pw_status jet(pw_reckoning *r)
{
    const pw_jet_losses losses = {r->in[2], r->in[3], r->in[4]};
    r->out[0] = pw_jet_head_ratio(r->in[0], r->in[1], &losses);
    r->out[1] = r->in[1] * r->out[0];
    return PW_OK;
}

static pw_status jet_limit(pw_reckoning *r)
{
    r->out[0] = pw_jet_limit(r->in[0], r->in[1], r->in[2], r->in[3]);
    return PW_OK;
}

static pw_status largest_lift(pw_reckoning *r)
{
    pw_water water;
    pw_water_at(r->in[1], &water);
    r->out[0] = pw_largest_lift_m(pw_atmosphere_pa(r->in[0]), water.vapour_pa, water.density_kgm3, r->in[2], r->in[3],
                                  r->in[4]);
    return PW_OK;
}

static pw_status pump_rise(pw_reckoning *r)
{
    r->out[0] = pw_pump_rise_k(r->in[0], r->in[1], r->in[2]);
    return PW_OK;
}

static pw_status warming(pw_reckoning *r)
{
    r->out[0] = pw_loss_rise_k(r->in[0], r->in[1], r->in[2], r->in[3]);
    return PW_OK;
}

static pw_status least_flow(pw_reckoning *r)
{
    r->out[0] = pw_least_flow_m3s(r->in[0], r->in[2], r->in[3], r->in[1]);
    return PW_OK;
}

static pw_status heating(pw_reckoning *r)
{
    const pw_casing casing = {r->in[1], r->in[2], r->in[3], r->in[4]};
    r->out[0] = pw_heating_c(&casing, r->in[0], r->in[5], r->in[6]);
    return PW_OK;
}

static pw_status heating_time(pw_reckoning *r)
{
    const pw_casing casing = {r->in[1], r->in[2], r->in[3], r->in[4]};
    r->out[0] = pw_heating_time_s(&casing, r->in[0], r->in[5], r->in[6]);
    return PW_OK;
}

static pw_status grade(pw_reckoning *r)
{
    const pw_grade *g = pw_grade_find(r->text[0]);
    if (g == NULL) {
        return pw_rows_complain(r, PW_WORD, "given.grade", r->text[0], "class 1, class 2, 1B, 1E, 1U, 2B, 2U or 3B",
                                NULL);
    }
    r->out[0] = g->flow_low;
    r->out[1] = g->flow_high;
    r->out[2] = g->head_low;
    r->out[3] = g->head_high;
    r->out[4] = g->power_high;
    r->out[5] = g->efficiency_low;
    return PW_OK;
}

/* clang-format off */
#define FLOWS PW_LIST("flows", FLOW, 0, 1e3, "of the curve, rising")
#define HEADS PW_LIST("heads", LENGTH, 0, 1e5, "at these flows, never rising")
#define SPEED PW_MAY("speed", FRACTION, 0, 4, 1, "part of the speed of the curve")
#define HEAT  PW_MAY_IN("heat capacity", "J/(kg K)", 1, 1e5, 4184, "of the water")
#define ETA   PW_NEED("efficiency", FRACTION, 1e-6, 1, "of the pump")
#define BODY                                                                                                       \
    PW_NEED("power", POWER, 0, 1e7, "that warms the water"), PW_NEED_IN("mass", "kg", 1e-6, 1e6, "of the water"),  \
        HEAT, PW_MAY_IN("heat loss", "W/K", 0, 1e6, 0, "of the casing"),                                           \
        PW_MAY("surroundings", TEMPERATURE, -50, 200, 20, "around the casing"),                                    \
        PW_NEED("start temperature", TEMPERATURE, -50, 200, "of the water")

static const pw_formula rows[] = {
    {.id = "curve",
     .title = "Curve through points",
     .says = "Piecewise cubic that never leaves the range of two neighbours; beyond the ends a straight line.",
     .in = {PW_LIST("x", NONE, -1e300, 1e300, "rising"), PW_LIST("y", NONE, -1e300, 1e300, "at these x"),
            PW_NEED("at", NONE, -1e300, 1e300, "x asked for")},
     .out = {PW_GIVE("value", NONE, "y there"), PW_GIVE("slope", NONE, "dy/dx there")},
     .source = "Fritsch and Carlson, SIAM J. Numer. Anal. 17 (1980); Fritsch and Butland, SIAM J. Sci. Stat. Comput. 5 "
               "(1984)",
     .work = curve},
    {.id = "pump head",
     .title = "Head of a pump",
     .says = "H = s^2 h(Q/s) along the maker's curve.",
     .in = {FLOWS, HEADS, SPEED, PW_NEED("flow", FLOW, -1e3, 1e3, "through the pump")},
     .out = {PW_GIVE("head", LENGTH, "between outlet and inlet"), PW_GIVE_IN("slope", "s/m2", "dH/dQ")},
     .source = "affinity laws; curve as above",
     .work = pump_head},
    {.id = "pump duty",
     .title = "Where equal pumps meet a system",
     .says = "Flow at which parallel and serial pumps give static head + k Q^2.",
     .in = {FLOWS, HEADS, SPEED, PW_MAY("parallel", NONE, 1, 100, 1, "pumps side by side"),
            PW_MAY("series", NONE, 1, 100, 1, "pumps one after another"),
            PW_NEED("static head", LENGTH, -1e4, 1e4, "of the system at no flow"),
            PW_NEED_IN("system coefficient", "s2/m5", 0, 1e15, "k")},
     .out = {PW_GIVE("flow", FLOW, "of all; 0 when they cannot lift"), PW_GIVE("head", LENGTH, "of the system there")},
     .source = "balance of heads",
     .hand = "a site's system is its network, which the simulation solves with all its lines",
     .work = pump_duty},
    {.id = "affinity",
     .title = "Affinity laws",
     .says = "Flow goes with the speed, head with its square, power with its cube.",
     .in = {PW_NEED("speed", SPEED, 1, 1e6, "of what is given"), PW_NEED("new speed", SPEED, 0, 1e6, "asked for"),
            PW_MAY("flow", FLOW, 0, 1e3, 0, "at the given speed"), PW_MAY("head", LENGTH, 0, 1e5, 0, "likewise"),
            PW_MAY("power", POWER, 0, 1e9, 0, "at the shaft, likewise")},
     .out = {PW_GIVE("flow", FLOW, "at the new speed"), PW_GIVE("head", LENGTH, "likewise"),
             PW_GIVE("power", POWER, "likewise")},
     .source = "similarity, any handbook",
     .work = affinity},
    {.id = "specific speed",
     .title = "Specific speed",
     .says = "n sqrt(Q) / H^0.75 in rpm, m3/s and m.",
     .in = {PW_NEED("speed", SPEED, 1, 1e6, "of the shaft"), PW_NEED("flow", FLOW, 1e-12, 1e3, "at the best point"),
            PW_NEED("head", LENGTH, 1e-6, 1e5, "of one stage there")},
     .out = {PW_GIVE("specific speed", NONE, "in rpm, m3/s, m")},
     .source = "definition",
     .hand = "tells the kind of impeller; nothing is chosen by it",
     .work = specific_speed},
    {.id = "pump power",
     .title = "Power of a pump",
     .says = "rho g Q H in the water, over the efficiency at the shaft and at the terminals.",
     .in = {PW_NEED("flow", FLOW, 0, 1e3, "through the pump"), PW_NEED("head", LENGTH, 0, 1e5, "of the pump"), ETA,
            PW_MAY("motor efficiency", FRACTION, 1e-6, 1, 1, "of the motor"),
            PW_MAY("drive efficiency", FRACTION, 1e-6, 1, 1, "of belt, gear or inverter"),
            PW_MAY("temperature", TEMPERATURE, 0, 100, 20, "of the water"),
            PW_MAY_IN("density", "kg/m3", 0, 2e4, 0, "of another liquid; where 0, water")},
     .out = {PW_GIVE("water power", POWER, "rho g Q H"), PW_GIVE("shaft power", POWER, "at the pump"),
             PW_GIVE("input power", POWER, "at the terminals")},
     .source = "definition",
     .work = pump_power},
    {.id = "energy of pumping",
     .title = "Energy for each cubic metre",
     .says = "rho g H over the efficiencies.",
     .in = {PW_NEED("head", LENGTH, 0, 1e5, "of the pump"), ETA,
            PW_MAY("motor efficiency", FRACTION, 1e-6, 1, 1, "of the motor"),
            PW_MAY("volume", VOLUME, 0, 1e12, 1, "pumped"), PW_MAY("price", NONE, 0, 1e6, 0, "for each kWh"),
            PW_MAY_IN("density", "kg/m3", 1, 2e4, 998.2, "of the water")},
     .out = {PW_GIVE_IN("energy for each m3", "kWh/m3", "at the terminals"), PW_GIVE("energy", ENERGY, "of the volume"),
             PW_GIVE("cost", NONE, "of the volume")},
     .source = "definition",
     .work = energy},
    {.id = "suction head available",
     .title = "NPSH available",
     .says = "(air - vapour) / (rho g) + water over the pump - suction loss.",
     .in = {PW_MAY("absolute pressure", PRESSURE, 0, 1e8, 0, "on the water; where 0, the air's at the altitude"),
            PW_MAY("vapour pressure", PRESSURE, 0, 1e7, 0, "where 0, of water at the temperature"),
            PW_MAY_IN("density", "kg/m3", 0, 2e4, 0, "where 0, of water at the temperature"),
            PW_NEED("water over pump", LENGTH, -1e3, 1e3, "negative for a lift"),
            PW_MAY("suction loss", LENGTH, 0, 1e4, 0, "head lost in the suction line"),
            PW_MAY("altitude", LENGTH, -450, 5500, 0, "above sea level"),
            PW_MAY("temperature", TEMPERATURE, 0, 100, 20, "of the water")},
     .out = {PW_GIVE("head", LENGTH, "available at the eye of the impeller")},
     .source = "definition of NPSH; ISO 2533 for the air, IAPWS for the water",
     .work = npsh},
    {.id = "head under cavitation",
     .title = "Head that a pump keeps when it cavitates",
     .says = "x (2 - x), x = NPSH available / (1.2095 x required): 97 % where both are equal, 0 at the vapour limit.",
     .in = {PW_NEED("available", LENGTH, -100, 1000, "NPSH; 0 and below nothing is left"),
            PW_NEED("required", LENGTH, 0.01, 50, "NPSH at this flow")},
     .out = {PW_GIVE("part", FRACTION, "of the head of its curve")},
     .source = "definition of NPSH required (3 % of the head lost, ISO 9906); own derivation for the rest",
     .work = cavitating},
    {.id = "jet pump",
     .title = "Head and flow ratio of a jet pump",
     .says = "Momentum in the throat, energy elsewhere; N = (delivered - suction)/(driving - delivered).",
     .in = {PW_NEED("area ratio", NONE, 0.01, 0.95, "nozzle over throat"),
            PW_NEED("flow ratio", NONE, 0, 100, "drawn over driving flow"),
            PW_MAY("nozzle loss", NONE, 0, 10, 0.05, "on its velocity head"),
            PW_MAY("suction loss", NONE, 0, 10, 0.05, "at the throat's entry"),
            PW_MAY("throat loss", NONE, 0, 10, 0.2, "throat and diffuser")},
     .out = {PW_GIVE("head ratio", NONE, "of total heads"), PW_GIVE("efficiency", FRACTION, "flow ratio x head ratio")},
     .source = "Gosline and O'Brien (1934); Cunningham, Pump Handbook; derived again",
     .work = jet},
    {.id = "jet pump limit",
     .title = "Flow ratio at which a jet pump cavitates",
     .says = "(1 - R)/R sqrt((suction - vapour)/(1.35 jet)).",
     .in = {PW_NEED("area ratio", NONE, 0.01, 0.95, "nozzle over throat"),
            PW_NEED("suction head", LENGTH, 0, 1000, "absolute, at the throat's entry"),
            PW_NEED("vapour head", LENGTH, 0, 1000, "absolute"),
            PW_NEED("jet head", LENGTH, 0.01, 1e4, "velocity head of the jet")},
     .out = {PW_GIVE("flow ratio", NONE, "drawn over driving flow")},
     .source = "Cunningham, Hansen and Na, Trans. ASME 92 (1970), from memory",
     .work = jet_limit},
    {.id = "largest suction lift",
     .title = "Largest lift by suction",
     .says = "(air - vapour) / (rho g) - required - margin - losses.",
     .in = {PW_MAY("altitude", LENGTH, -450, 5500, 0, "above sea level"),
            PW_MAY("temperature", TEMPERATURE, 0, 100, 15, "of the water"),
            PW_NEED("required", LENGTH, 0, 50, "NPSH of the pump"), PW_MAY("margin", LENGTH, 0, 50, 0, "kept"),
            PW_MAY("losses", LENGTH, 0, 1000, 0, "head lost in the suction line")},
     .out = {PW_GIVE("lift", LENGTH, "from the water up to the pump; may be negative")},
     .source = "energy balance; ISO 2533 for the air, IAPWS for the water",
     .work = largest_lift},
    {.id = "temperature rise",
     .title = "Warming of the water through a pump",
     .says = "g H (1/efficiency - 1) / c.",
     .in = {PW_NEED("head", LENGTH, 0, 1e5, "of the pump"), ETA, HEAT},
     .out = {PW_GIVE("rise", TEMPERATURE_RISE, "of the water that passes")},
     .source = "energy balance, own derivation",
     .hand = "at any duty it is hundredths of a kelvin; the simulation follows the casing (see heating)",
     .work = pump_rise},
    {.id = "warming by losses",
     .title = "Warming of a flow by what is lost",
     .says = "P (1 - efficiency) / (m c).",
     .in = {PW_NEED("power", POWER, 0, 1e8, "put in"), PW_NEED("efficiency", FRACTION, 0, 1, "of what it is put into"),
            PW_NEED_IN("mass flow", "kg/s", 1e-9, 1e6, "that carries the heat off"), HEAT},
     .out = {PW_GIVE("rise", TEMPERATURE_RISE, "of that flow")},
     .source = "energy balance",
     .hand = "the simulation takes the power and the flow of each moment (see heating)",
     .work = warming},
    {.id = "least flow",
     .title = "Least flow of a pump by warming",
     .says = "P / (rho c dT).",
     .in = {PW_NEED("power", POWER, 0, 1e7, "at the shaft, nothing flowing"),
            PW_NEED("rise", TEMPERATURE_RISE, 0.01, 100, "allowed"),
            PW_MAY_IN("density", "kg/m3", 1, 2000, 998.2, "of the water"), HEAT},
     .out = {PW_GIVE("flow", FLOW, "that keeps the rise")},
     .source = "energy balance",
     .work = least_flow},
    {.id = "heating",
     .title = "Water warming in a shut casing",
     .says = "Exponential towards surroundings + P/UA, at the rate UA/(m c); a straight line without loss.",
     .in = {BODY, PW_NEED("time", TIME, 0, 1e9, "from then on")},
     .out = {PW_GIVE("temperature", TEMPERATURE, "then")},
     .source = "energy balance, own derivation",
     .work = heating},
    {.id = "heating time",
     .title = "Time to warm a shut casing",
     .says = "The same, for the time.",
     .in = {BODY, PW_NEED("end temperature", TEMPERATURE, -50, 400, "to reach")},
     .out = {PW_GIVE("time", TIME, "until then; unlimited when it is never reached")},
     .source = "energy balance, own derivation",
     .work = heating_time},
    {.id = "acceptance grade",
     .title = "Tolerance of a pump's curve",
     .says = "How far a delivered pump may be off its guarantee.",
     .in = {PW_WORDS("grade", "class 1, class 2, 1B, 1E, 1U, 2B, 2U or 3B")},
     .out = {PW_GIVE("least flow", FRACTION, "off the guarantee"), PW_GIVE("most flow", FRACTION, "likewise"),
             PW_GIVE("least head", FRACTION, "likewise"), PW_GIVE("most head", FRACTION, "likewise"),
             PW_GIVE("most power", FRACTION, "likewise; where 0, not stated"),
             PW_GIVE("least efficiency", FRACTION, "likewise")},
     .source = "ISO 9906:1999 classes; ISO 9906:2012 Table 8, from memory",
     .hand = "for the talk with a supplier; sizing moves each curve by 5 % to show what it does",
     .work = grade},
};
/* clang-format on */
const pw_formula_table pw_rows_pump = {"Pumps and suction", "water", rows, (int32_t)(sizeof rows / sizeof rows[0])};
