/* Registry: vessels and their cycling, tanks, bores, holes. */
#include <stddef.h>

#include "base/num.h"
#include "formula/bore.h"
#include "formula/friction.h"
#include "formula/orifice.h"
#include "formula/rows.h"
#include "formula/tank.h"
#include "formula/vessel.h"

#define PER_HOUR 3600.0

static pw_status drawdown(pw_reckoning *r)
{
    r->out[0] = pw_vessel_drawdown(r->in[0], r->in[1], r->in[2], r->in[3], r->in[4]);
    r->out[1] = r->out[0] * r->in[5];
    return PW_OK;
}

static pw_status acceptance(pw_reckoning *r)
{
    r->out[0] = pw_vessel_acceptance(r->in[0], r->in[1], r->in[2]);
    return PW_OK;
}

/* A tank without an air cell: air and water share it, `residual` of water is left at cut-in. */
static pw_status without_cell(pw_reckoning *r)
{
    const double air = 1.0 - r->in[0];
    r->out[0] = air * pw_vessel_acceptance(r->in[1], r->in[2], r->in[3]);
    r->out[1] = r->out[0] > 0.0 ? r->in[4] / r->out[0] : PW_INF;
    return PW_OK;
}

static pw_status vessel_pressure(pw_reckoning *r)
{
    r->out[0] = pw_vessel_pa(r->in[0], r->in[1], r->in[3], r->in[4], r->in[5], r->in[2], &r->out[1]);
    return PW_OK;
}

static pw_status vessel_water(pw_reckoning *r)
{
    r->out[0] = pw_vessel_water_m3(r->in[0], r->in[1], r->in[3], r->in[4], r->in[5], r->in[2]);
    return PW_OK;
}

static pw_status starts(pw_reckoning *r)
{
    const double usable = r->in[0];
    const double pump = r->in[1];
    const double draw = r->in[2];
    const double hz = pw_cycle_starts_hz(usable, pump, draw);
    r->out[0] = hz < PW_INF ? hz * PER_HOUR : PW_INF;
    r->out[1] = draw > 0.0 ? usable / draw : PW_INF;
    r->out[2] = pw_cycle_run_s(usable, pump, draw);
    r->out[3] = hz > 0.0 ? 1.0 / hz : PW_INF;
    r->out[4] = pw_cycle_most_hz(usable, pump) * PER_HOUR;
    return PW_OK;
}

static pw_status cycle_time(pw_reckoning *r)
{
    const double hz = pw_cycle_starts_hz(r->in[0], r->in[1], r->in[2]);
    r->out[0] = hz > 0.0 && hz < PW_INF ? 1.0 / hz : PW_INF;
    return PW_OK;
}

static pw_status volume_for_starts(pw_reckoning *r)
{
    r->out[0] = pw_cycle_volume_m3(r->in[0], r->in[1] / PER_HOUR);
    r->out[1] = PER_HOUR / r->in[1];
    return PW_OK;
}

static pw_status quiet_counters(pw_reckoning *r)
{
    if (r->in[1] > r->in[2]) {
        return pw_problem_add(r->problems, PW_CONFLICT, "given.ran", NULL, "at most the time that it took", NULL);
    }
    r->out[0] = pw_cycle_leak_m3s(r->in[0], r->in[1], r->in[2]);
    r->out[1] = pw_cycle_drawdown_m3(r->in[0], r->in[1], r->in[2], r->in[3]);
    return PW_OK;
}

static pw_status check_band(pw_reckoning *r, double on_pa, double off_pa)
{
    return on_pa < off_pa ? PW_OK : pw_rows_complain(r, PW_CONFLICT, "given.cut-in", NULL, "below the cut-out", NULL);
}

static pw_status plain_tank(pw_reckoning *r)
{
    r->out[0] = pw_plain_tank_m3(r->in[1], r->in[0], r->in[4], r->in[2], r->in[3] / PER_HOUR, r->in[5]);
    return check_band(r, r->in[0], r->in[1]);
}

static pw_status bladder_tanks(pw_reckoning *r)
{
    r->out[0] =
        pw_bladder_tanks(r->in[1], r->in[0], r->in[4], r->in[5], r->in[2], r->in[3] / PER_HOUR, r->in[6], &r->out[1]);
    r->out[1] /= 60.0; /* minutes, as the manual prints it */
    return check_band(r, r->in[0], r->in[1]);
}

static pw_status turns_of_leak(pw_reckoning *r)
{
    r->out[0] = pw_cycle_starts_hz(r->in[1], r->in[0], r->in[2]) * PER_HOUR;
    r->out[1] = pw_cycle_run_s(r->in[1], r->in[0], r->in[2]);
    return PW_OK;
}

static pw_status leaks_of_limits(pw_reckoning *r)
{
    r->out[0] = r->in[0];
    (void)pw_cycle_draws(r->in[1], r->in[0], r->in[2] / PER_HOUR, &r->out[0], &r->out[1]);
    r->out[2] = pw_cycle_long_run_m3s(r->in[1], r->in[0], r->in[3]);
    r->out[3] = pw_cycle_most_hz(r->in[1], r->in[0]) * PER_HOUR;
    return PW_OK;
}

static pw_status leak_time(pw_reckoning *r)
{
    if (r->in[4] < r->in[1]) {
        return pw_rows_complain(r, PW_CONFLICT, "given.low pressure", NULL, "at or above the precharge", NULL);
    }
    const double area = pw_hole_cd_area_m2(r->in[5], r->in[6]);
    r->out[0] = pw_vessel_leak_time_s(r->in[0], r->in[1], r->in[2], r->in[7], area, r->in[3], r->in[4]);
    return PW_OK;
}

static pw_status hole(pw_reckoning *r)
{
    r->out[0] = pw_hole_m3s(pw_hole_cd_area_m2(r->in[0], r->in[1]), r->in[2], r->in[3]);
    return PW_OK;
}

static pw_status orifice(pw_reckoning *r)
{
    r->out[0] = pw_orifice_m3s(r->in[1] * pw_bore_area_m2(r->in[0]), r->in[2], &r->out[1]);
    return PW_OK;
}

static pw_status tap(pw_reckoning *r)
{
    r->out[0] = pw_tap_m3s(r->in[0], r->in[1], r->in[2], &r->out[1]);
    return PW_OK;
}

static pw_status leak_ratio(pw_reckoning *r)
{
    r->out[0] = pw_leak_ratio(r->in[0], r->in[1], r->in[2]);
    return PW_OK;
}

static pw_status tank_depth(pw_reckoning *r)
{
    r->out[0] = pw_tank_depth_m(r->in[0], r->in[1]);
    return PW_OK;
}

static pw_status float_valve(pw_reckoning *r)
{
    r->out[0] = pw_float_opening(r->in[0], r->in[1], r->in[2], r->in[3], NULL);
    return PW_OK;
}

static pw_status weir(pw_reckoning *r)
{
    r->out[0] = pw_weir_m3s(r->in[0], r->in[1]);
    return PW_OK;
}

static pw_status bore_inflow(pw_reckoning *r)
{
    r->out[0] = pw_bore_inflow_m3s(r->in[0], r->in[1], r->in[2], NULL);
    return PW_OK;
}

static pw_status bore_drawdown(pw_reckoning *r)
{
    r->out[0] = pw_bore_drawdown_m(r->in[0], r->in[1], r->in[2]);
    return PW_OK;
}

static pw_status tested_capacity(pw_reckoning *r)
{
    r->out[0] = pw_tested_capacity_m2s(r->in[0], r->in[1], r->in[2], pw_bore_area_m2(r->in[3]));
    return PW_OK;
}

static pw_status well_function(pw_reckoning *r)
{
    r->out[0] = pw_well_function(r->in[0]);
    return PW_OK;
}

static pw_status theis(pw_reckoning *r)
{
    r->out[0] = pw_theis_drawdown_m(r->in[0], r->in[1], r->in[2], r->in[3], r->in[4], 0.0);
    r->out[1] = r->in[5] * r->in[0] * r->in[0];
    r->out[2] = r->out[0] + r->out[1];
    return PW_OK;
}

/* clang-format off */
#define AIR       PW_MAY("air pressure", PRESSURE, 1e4, 2e5, PW_ATM_PA, "absolute, of the place")
#define PRECHARGE PW_NEED("precharge", PRESSURE, 0, 1e7, "gauge, of the empty vessel")
#define CUT_IN    PW_NEED("cut-in", PRESSURE, 0, 1e7, "the pump starts")
#define CUT_OUT   PW_NEED("cut-out", PRESSURE, 0, 1e7, "the pump stops")
#define EXPONENT  PW_MAY("exponent", NONE, 1, 1.4, 1, "n of p V^n: 1 slow, 1.4 quick")
#define SIZE      PW_NEED("volume", VOLUME, 1e-6, 1e4, "of the whole vessel")
#define CHARGE    PW_MAY("air share", FRACTION, 0, 1, 1, "of the charge that is still there")
#define CD        PW_MAY("discharge coefficient", NONE, 0.01, 1, 0.6, "of the hole; 0.6 for a sharp edge")
#define DENSITY   PW_MAY_IN("density", "kg/m3", 1, 2e4, 998.2, "of the water")
#define USABLE    PW_NEED("usable volume", VOLUME, 1e-9, 1e4, "of water between cut-out and cut-in")
#define PUMP      PW_NEED("pump flow", FLOW, 1e-9, 1e3, "while it runs")
#define BAND      CUT_IN, CUT_OUT, PW_NEED("pump flow", FLOW, 0, 100, "while it runs"), \
                  PW_NEED("starts", RATE, 1e-3, 1800, "allowed")
#define CAPACITY  PW_NEED("specific capacity", SPECIFIC_CAPACITY, 0, 10, "flow for each metre of drawdown")
#define YIELD     PW_NEED("yield", FLOW, 0, 10, "the most it gives for long")

static const pw_formula rows[] = {
    {.id = "vessel drawdown",
     .title = "Water between cut-out and cut-in",
     .says = "(P0/P1)^(1/n) - (P0/P2)^(1/n) of the volume, absolute pressures.",
     .in = {PRECHARGE, CUT_IN, CUT_OUT, EXPONENT, AIR, PW_MAY("volume", VOLUME, 0, 1e4, 0, "of the whole vessel")},
     .out = {PW_GIVE("drawdown", FRACTION, "of the volume"), PW_GIVE("usable volume", VOLUME, "drawdown times volume")},
     .source = "Boyle's law and p V^n = constant",
     .work = drawdown},
    {.id = "vessel acceptance",
     .title = "Water from empty to cut-out",
     .says = "1 - P0/P2 of the volume, absolute pressures: another number than the drawdown.",
     .in = {PRECHARGE, CUT_OUT, AIR},
     .out = {PW_GIVE("acceptance", FRACTION, "of the volume")},
     .source = "Boyle's law",
     .work = acceptance},
    {.id = "tank without air cell",
     .title = "Drawdown of a tank that air and water share",
     .says = "(1 - residual) times the acceptance from cut-in to cut-out.",
     .in = {PW_NEED("residual", FRACTION, 0, 0.99, "of water left at cut-in"), CUT_IN, CUT_OUT, AIR,
            PW_NEED("withdrawal", VOLUME, 0, 1e4, "asked of it")},
     .out = {PW_GIVE("drawdown", FRACTION, "of the volume"), PW_GIVE("volume", VOLUME, "that gives the withdrawal")},
     .source = "Boyle's law",
     .hand = "vessels of a site have an air cell",
     .work = without_cell},
    {.id = "vessel pressure",
     .title = "Pressure of a vessel by its water",
     .says = "P = P0 (air V / (V - water))^n, absolute.",
     .in = {SIZE, PRECHARGE, PW_NEED("water", VOLUME, -1e4, 1e4, "in the vessel"), EXPONENT, CHARGE, AIR},
     .out = {PW_GIVE("pressure", PRESSURE, "gauge"), PW_GIVE_IN("slope", "Pa/m3", "of the pressure over the water")},
     .source = "p V^n = constant; ends for the solver are own forms (vessel.h)",
     .work = vessel_pressure},
    {.id = "vessel water",
     .title = "Water in a vessel by its pressure",
     .says = "The same the other way.",
     .in = {SIZE, PRECHARGE, PW_NEED("pressure", PRESSURE, -1e5, 1e9, "gauge"), EXPONENT, CHARGE, AIR},
     .out = {PW_GIVE("water", VOLUME, "in the vessel")},
     .source = "p V^n = constant; ends for the solver are own forms (vessel.h)",
     .work = vessel_water},
    {.id = "starts",
     .title = "Cycle of a pump on a store",
     .says = "q (Q - q) / (Q V) starts, most at q = Q/2 where it is Q/(4 V).",
     .in = {USABLE, PUMP, PW_NEED("draw", FLOW, 0, 1e3, "steady")},
     .out = {PW_GIVE("starts", RATE, "of the pump"), PW_GIVE("off time", TIME, "of each cycle"),
             PW_GIVE("on time", TIME, "of each cycle"), PW_GIVE("cycle", TIME, "both"),
             PW_GIVE("most starts", RATE, "at any draw")},
     .source = "water balance, own derivation; MIL-HDBK-1005/9A has the same",
     .work = starts},
    {.id = "cycle time",
     .title = "Cycle time of a store",
     .says = "V/Q (1/(1 - q/Q) + Q/q): one over the starts.",
     .in = {PW_NEED("volume", VOLUME, 0, 1e6, "between start and stop"),
            PW_NEED("pump flow", FLOW, 0, 1000, "of the pump"),
            PW_NEED("draw", FLOW, 0, 1000, "steady")},
     .out = {PW_GIVE("time", TIME, "of a cycle")},
     .source = "MIL-HDBK-1005/9A, Eq. 1",
     .work = cycle_time},
    {.id = "volume for starts",
     .title = "Usable volume for a limit of starts",
     .says = "Q / (4 n).",
     .in = {PUMP, PW_NEED("starts", RATE, 1e-6, 1e5, "allowed")},
     .out = {PW_GIVE("usable volume", VOLUME, "at any draw"), PW_GIVE("shortest cycle", TIME, "then")},
     .source = "MIL-HDBK-1005/9A, Eq. 2",
     .hand = "sizing takes the pump's flow at each pressure of the cycle instead of one flow",
     .work = volume_for_starts},
    {.id = "tank for starts",
     .title = "Hydropneumatic tank by the manual",
     .says = "(P1 + Pa)/(P1 - P2) x 15 min x Q/N x factor, with N starts an hour.",
     .in = {BAND, AIR, PW_MAY("factor", NONE, 1, 10, 1, "of the manual, for the tank's shape")},
     .out = {PW_GIVE("volume", VOLUME, "of the tank")},
     .source = "Washington State DOH, Water System Design Manual 2009, Eq. 11-1",
     .hand = "a rule of a manual, to compare; vessels of a site have an air cell",
     .work = plain_tank},
    {.id = "bladder tanks for starts",
     .title = "Bladder tanks by the manual",
     .says = "R Q / (N V) with R = 15 min (P1 + Pa)(P2 + Pa) / ((P1 - P2)(P2 - gap + Pa)).",
     .in = {BAND, PW_MAY("precharge below cut-in", PRESSURE, 0, 1e6, 34473.786466, "the gap; 5 psi in the manual"), AIR,
            PW_NEED("each", VOLUME, 1e-4, 1000, "volume of one tank")},
     .out = {PW_GIVE("tanks", NONE, "not rounded"), PW_GIVE_IN("ratio", "min", "R")},
     .source = "Washington State DOH, Water System Design Manual 2009, from memory",
     .hand = "a rule of a manual, to compare; sizing takes the pump's flow at each pressure of the cycle",
     .work = bladder_tanks},
    {.id = "turns of a leak",
     .title = "What a steady leak makes of a pump",
     .says = "Starts q (Q - q) / (Q V) and runs of V / (Q - q).",
     .in = {PUMP, USABLE, PW_NEED("leak", FLOW, 0, 1e3, "steady")},
     .out = {PW_GIVE("starts", RATE, "it causes"), PW_GIVE("run", TIME, "length of each")},
     .source = "water balance, own derivation",
     .work = turns_of_leak},
    {.id = "leaks that limits see",
     .title = "Leaks that a limit of starts and one of run time see",
     .says = "Between both roots of q (Q - q) = Q V n, and from Q - V/t on.",
     .in = {PUMP, USABLE, PW_NEED("starts", RATE, 0, 1e5, "from which the limit fires"),
            PW_NEED("longest run", TIME, 1e-3, 1e9, "allowed")},
     .out = {PW_GIVE("starts from", FLOW, "smallest leak that the starts tell"),
             PW_GIVE("starts to", FLOW, "largest; below the smallest: none"),
             PW_GIVE("run from", FLOW, "smallest leak that the run time tells"),
             PW_GIVE("most starts", RATE, "of any leak")},
     .source = "water balance, own derivation",
     .work = leaks_of_limits},
    {.id = "quiet counters",
     .title = "Leak and drawdown from counters",
     .says = "Nothing drawn: leak Q ran / over, drawdown (Q - leak) ran / starts.",
     .in = {PW_NEED("pump flow", FLOW, 0, 100, "Q, mean while it runs"),
            PW_NEED("ran", TIME, 0, 1e10, "running time since the reset"),
            PW_NEED("over", TIME, 1e-3, 1e10, "time since the reset"),
            PW_NEED("starts", NONE, 0, 1e9, "since the reset")},
     .out = {PW_GIVE("leak", FLOW, "that leaves while nothing is drawn"),
             PW_GIVE("drawdown", VOLUME, "between a stop and the next start")},
     .source = "own derivation, balance of mass",
     .work = quiet_counters},
    {.id = "vessel leak time",
     .title = "Time for a hole to take a vessel down",
     .says = "Isothermal gas law and the outflow of the hole, integrated.",
     .in = {SIZE, PRECHARGE, AIR, PW_NEED("high pressure", PRESSURE, 1, 1e7, "gauge, from here"),
            PW_NEED("low pressure", PRESSURE, 1, 1e7, "gauge, to here; not below the precharge"),
            PW_NEED("hole", LENGTH, 1e-6, 1, "its bore"), CD, DENSITY},
     .out = {PW_GIVE("time", TIME, "it takes")},
     .source = "Boyle's law and Torricelli, Simpson's rule; own derivation",
     .hand = "the simulation integrates the same two laws with everything else that draws",
     .work = leak_time},
    {.id = "hole",
     .title = "Flow through a hole by pressure",
     .says = "Cd A sqrt(2 dp / rho).",
     .in = {PW_NEED("bore", LENGTH, 0, 10, "of the hole"), CD, PW_NEED("pressure", PRESSURE, -1e8, 1e8, "across it"),
            DENSITY},
     .out = {PW_GIVE("flow", FLOW, "with the pressure")},
     .source = "Torricelli",
     .hand = "the simulation takes the orifice, the same law in heads with a finite slope at none",
     .work = hole},
    {.id = "orifice",
     .title = "Flow through a hole by head",
     .says = "Cd A sqrt(2 g h), rounded off below 1 mm of head.",
     .in = {PW_NEED("bore", LENGTH, 0, 10, "of the hole"), CD, PW_NEED("head", LENGTH, -1e5, 1e5, "across it")},
     .out = {PW_GIVE("flow", FLOW, "with the head"), PW_GIVE_IN("slope", "m2/s", "dQ/dh")},
     .source = "Torricelli; the rounding is an own form",
     .work = orifice},
    {.id = "tap",
     .title = "Flow of a tap short of pressure",
     .says = "Full flow from the needed head up, full sqrt(head / need) below; a parabola under a twentieth of it.",
     .in = {PW_NEED("full flow", FLOW, 0, 10, "at the head that it needs and above"),
            PW_NEED("need", LENGTH, 1e-3, 1e4, "head from which it gives its full flow"),
            PW_NEED("head", LENGTH, -1e5, 1e5, "that there is over it")},
     .out = {PW_GIVE("flow", FLOW, "that it gives"), PW_GIVE_IN("slope", "m2/s", "dQ/dh")},
     .source = "Wagner, Shamir and Marks 1988, from memory; the parabola is an own form",
     .work = tap},
    {.id = "leak ratio",
     .title = "Leakage after a change of pressure",
     .says = "(after / before)^exponent.",
     .in = {PW_NEED("pressure before", PRESSURE, 1, 1e8, "gauge"), PW_NEED("pressure after", PRESSURE, 1, 1e8, "gauge"),
            PW_NEED("exponent", NONE, 0, 3, "0.5 for a fixed hole, to 1.5 for one that opens in a soft pipe")},
     .out = {PW_GIVE("ratio", NONE, "leakage after over before")},
     .source = "Torricelli; exponents common practice, from memory",
     .work = leak_ratio},
    {.id = "tank depth",
     .title = "Depth of water in a tank",
     .says = "Volume over area.",
     .in = {PW_NEED("area", AREA, 1e-6, 1e6, "of the straight sides"), PW_NEED("volume", VOLUME, 0, 1e6, "of water")},
     .out = {PW_GIVE("depth", LENGTH, "of water")},
     .source = "definition",
     .work = tank_depth},
    {.id = "float valve",
     .title = "Opening of a float valve",
     .says = "A smooth step over its band.",
     .in = {PW_NEED("depth", LENGTH, 0, 100, "of water"), PW_NEED("closes", LENGTH, 0, 100, "depth at which it shuts"),
            PW_NEED("band", LENGTH, 0, 100, "below that, to full open"),
            PW_MAY("passing", FRACTION, 0, 1, 0, "least opening of a worn one")},
     .out = {PW_GIVE("opening", FRACTION, "of full")},
     .source = "own form",
     .work = float_valve},
    {.id = "overflow",
     .title = "Flow over an overflow",
     .says = "Broad-crested weir, 1.7 b h^1.5.",
     .in = {PW_NEED("width", LENGTH, 1e-3, 100, "b"),
            PW_NEED("height", LENGTH, 0, 10, "h, of the water over the crest")},
     .out = {PW_GIVE("flow", FLOW, "over it")},
     .source = "handbook coefficient, from memory",
     .work = weir},
    {.id = "bore inflow",
     .title = "What a bore gives at a drawdown",
     .says = "Specific capacity times drawdown up to 0.9 of the yield, the yield from 1.1 on, a parabola between.",
     .in = {PW_NEED("drawdown", LENGTH, -1e3, 1e3, "below the standing level"), CAPACITY, YIELD},
     .out = {PW_GIVE("flow", FLOW, "into the bore")},
     .source = "own form",
     .work = bore_inflow},
    {.id = "bore drawdown",
     .title = "Drawdown of a bore by the flow",
     .says = "The same the other way.",
     .in = {PW_NEED("flow", FLOW, 0, 10, "pumped"), CAPACITY, YIELD},
     .out = {PW_GIVE("drawdown", LENGTH, "unlimited from the yield on")},
     .source = "own form",
     .work = bore_drawdown},
    {.id = "pump test",
     .title = "Specific capacity by a pump test",
     .says = "s = Q/C (1 - exp(-C t/A)), solved for C.",
     .in = {PW_NEED("flow", FLOW, 1e-7, 1, "pumped"), PW_NEED("drawdown", LENGTH, 1e-3, 500, "at its end"),
            PW_NEED("time", TIME, 1, 1e8, "pumped"), PW_NEED("casing", LENGTH, 0.04, 3, "inner diameter")},
     .out = {PW_GIVE("specific capacity", SPECIFIC_CAPACITY, "of the bore")},
     .source = "linear inflow and the water in the casing, own derivation",
     .work = tested_capacity},
    {.id = "well function",
     .title = "Theis' well function",
     .says = "W(u) = E1(u).",
     .in = {PW_NEED("u", NONE, 1e-300, 700, "r^2 S / (4 T t)")},
     .out = {PW_GIVE("W", NONE, "of u")},
     .source = "Theis 1935; Wenzel, USGS Water-Supply Paper 887 (1942)",
     .hand = "a part of the next",
     .work = well_function},
    {.id = "well drawdown",
     .title = "Drawdown of an aquifer",
     .says = "Q/(4 pi T) W(r^2 S/(4 T t)) + C Q^2.",
     .in = {PW_NEED("flow", FLOW, 0, 100, "pumped"), PW_NEED_IN("transmissivity", "m2/s", 1e-12, 100, "T"),
            PW_NEED("storage", NONE, 1e-9, 1, "S"), PW_NEED("radius", LENGTH, 1e-3, 1e5, "r, from the bore's axis"),
            PW_NEED("time", TIME, 1, 1e11, "t, since pumping began"),
            PW_MAY_IN("well loss", "s2/m5", 0, 1e12, 0, "C")},
     .out = {PW_GIVE("aquifer drawdown", LENGTH, "by Theis"), PW_GIVE("well loss drawdown", LENGTH, "C Q^2"),
             PW_GIVE("drawdown", LENGTH, "both")},
     .source = "Theis 1935; well loss after Jacob 1947",
     .hand = "turns a test pumping into the specific capacity that the sheet takes",
     .work = theis},
};
/* clang-format on */
const pw_formula_table pw_rows_store = {"Vessels, tanks, bores and holes", "water", rows,
                                        (int32_t)(sizeof rows / sizeof rows[0])};
