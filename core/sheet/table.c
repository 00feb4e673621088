/* Rows of the site sheet: the site itself, its places, sources, lines, storages and limits. Pumps, sensors and demand are in
 * table_parts.c. Ranges are wide enough for any small site and narrow enough to catch a wrong unit. Defaults marked
 * "common practice" have no published source; each says so in its reason, which the user sees. */
#include "sheet/rows.h"

static const pw_row supply_rows[] = {
    {.key = "voltage", FIELD(pw_site, supply_v, VOLTAGE, 6, 1000), EG("230 V"),
     DERIVED(pw_derive_supply_voltage, "voltage of the first motor that states one, or else the standard low voltage of IEC 60038"),
     HELP("Voltage of the supply; between phases for three-phase.")},
    {.key = "phases", .type = PW_ROW_PHASES, AT(pw_site, supply_phases), EG("1"),
     DERIVED(pw_derive_supply_phases, "phases of the first motor that states them, or else single-phase"),
     HELP("1, 3 or DC.")},
    {.key = "frequency", FIELD(pw_site, supply_hz, FREQUENCY, 0, 400), EG("50 Hz"),
     DEFAULT(50, "the more common frequency in the world"),
     HELP("Frequency of the supply.")},
};
const pw_block pw_block_supply = {.id = "supply", ROWS(supply_rows), .help = "The electrical supply."};

static const pw_row limits_rows[] = {
    {.key = "starts per hour", FIELD(pw_limits_of_site, starts_per_hour, NONE, 1, PW_MAX_STARTS), EG("20"),
     DEFAULT(20, "common practice for small pump motors, no source: read the motor's own limit"),
     HELP("Most starts in an hour that motor and switchgear stand.")},
    {.key = "dry running", FIELD(pw_limits_of_site, dry_run_s, TIME, 0, 86400), EG("60 s"),
     DEFAULT(60, "common practice, no source: seals and bearings without water seldom stand more than a minute"),
     HELP("Longest dry running that does no harm.")},
    {.key = "highest pressure", FIELD(pw_limits_of_site, highest_pa, PRESSURE, 1e4, 4e6), EG("1000 kPa"),
     DEFAULT(1e6, "nominal pressure PN 10, the lowest common rating of fittings and vessels"),
     HELP("Rated pressure of the weakest part.")},
    {.key = "lowest pressure", FIELD(pw_limits_of_site, lowest_pa, PRESSURE, 0, 1.5e6), EG("50 kPa"),
     DEFAULT(5e4, "common practice, no source: below this most users say there is no water"),
     HELP("Pressure at an outlet that its users notice as no water.")},
};
const pw_block pw_block_limits = {.id = "limits", ROWS(limits_rows), .help = "What the site and its users stand."};

static const pw_row place_rows[] = {
    {NAME(pw_place), EG("shed"), HELP("Name of the place; other parts of the sheet refer to it.")},
    {.key = "level", FIELD(pw_place, level_m, LENGTH, -500, 5000), NEEDED, EG("2 m"),
     HELP("Height above any one point of the site that you choose as zero.")},
};
const pw_block pw_block_place = {
    .id = "places", ROWS(place_rows), .help = "Points of the site with a level, where lines, pumps, storages and outlets meet."};

static const char *const source_kinds[] = {"bore", "open", "mains", NULL};
enum { BORE = BIT(PW_SOURCE_BORE), OPEN = BIT(PW_SOURCE_OPEN), MAINS = BIT(PW_SOURCE_MAINS) };
static const pw_row source_rows[] = {
    {NAME(pw_source), EG("bore"), HELP("Name of the source.")},
    {.key = "at", REFERENCE(pw_source, place, PLACES), NEEDED, EG("bore head"), HELP("The place where it is.")},
    {.key = "kind", CHOICE(pw_source, kind, source_kinds), NEEDED, EG("bore"),
     HELP("bore: the water level falls with pumping. open: dam, river or big tank at a fixed level. mains: a fixed pressure.")},
    {.key = "standing water level", KINDS(BORE | OPEN), FIELD(pw_source, standing_m, LENGTH, 0, 500), NEEDED, EG("14 m"),
     HELP("Depth of the water below the place when nothing is pumped.")},
    {.key = "specific capacity", KINDS(BORE), FIELD(pw_source, capacity_m2s, SPECIFIC_CAPACITY, 1e-7, 1), NEEDED,
     EG("14 L/min per m"), HELP("Flow into the bore for each metre that its water level is drawn down.")},
    {.key = "yield", KINDS(BORE), FIELD(pw_source, yield_m3s, FLOW, 1e-7, 1), EG("70 L/min"),
     DERIVED(pw_derive_yield, "specific capacity times the depth of water over the intake: the most that can flow in"),
     HELP("Most the bore delivers for long.")},
    {.key = "casing", KINDS(BORE), FIELD(pw_source, bore_m, LENGTH, 0.04, 3), EG("150 mm"),
     DEFAULT(0.1, "common practice, no source: a narrow casing holds little water, which errs on the safe side"),
     HELP("Inner diameter of the casing.")},
    {.key = "intake", KINDS(BORE | OPEN), FIELD(pw_source, intake_m, LENGTH, 0, 600), NEEDED, EG("38 m"),
     HELP("Depth of the pump's intake or foot valve below the place.")},
    {.key = "pressure", KINDS(MAINS), FIELD(pw_source, pressure_pa, PRESSURE, 0, 2e6), NEEDED, EG("350 kPa"),
     HELP("Pressure at the place.")},
};
const pw_block pw_block_source = {
    .id = "sources", ROWS(source_rows), .kind = &source_rows[2], .help = "Where the water comes from."};

static const char *const friction_words[] = {"Darcy-Weisbach", "Hazen-Williams", NULL};
static const pw_row line_rows[] = {
    {.key = "name", .type = PW_ROW_NAME, AT(pw_line, name), MAY, EG("misting main"),
     HELP("Name of the line. Left out, it is the two places with a dash between: shed-cottage.")},
    {.key = "from", REFERENCE(pw_line, from, PLACES), NEEDED, EG("shed"), HELP("The place where it begins.")},
    {.key = "to", REFERENCE(pw_line, to, PLACES), NEEDED, EG("cottage"), HELP("The place where it ends.")},
    {.key = "pipe", .type = PW_ROW_PIPE, AT(pw_line, pipe), MAY, EG("PE100 40 SDR 11"),
     HELP("Pipe by material and size, from the pipe table. Either this or `bore`.")},
    {.key = "bore", FIELD(pw_line, bore_m, LENGTH, 0.003, 1), MAY, EG("32.6 mm"), HELP("Inner diameter, when `pipe` is not given.")},
    {.key = "wall", FIELD(pw_line, wall_m, LENGTH, 0, 0.1), EG("3.7 mm"),
     DEFAULT(0, "not known; matters only for pressure surges"), HELP("Wall thickness, when `pipe` is not given.")},
    {.key = "stiffness", FIELD(pw_line, modulus_pa, PRESSURE, 1e7, 3e11), EG("3000000 kPa"),
     DEFAULT(2e11, "steel, the stiffest common pipe; matters only for pressure surges, and errs on the safe side"),
     HELP("Modulus of elasticity of the pipe's material, when `pipe` is not given.")},
    {.key = "roughness", FIELD(pw_line, rough_m, LENGTH, 0, 0.01), EG("0.007 mm"), .value = 1.5e-6,
     DERIVED(pw_derive_roughness, "new pipe of this material, from the pipe table"),
     HELP("Absolute roughness of the inner wall. Needed with `bore`; with `pipe` it replaces the table's.")},
    {.key = "friction", CHOICE(pw_line, friction, friction_words), DEFAULT(PW_FRICTION_DARCY, "valid for every flow and size"),
     EG("Darcy-Weisbach"), HELP("Formula of the friction loss.")},
    {.key = "Hazen-Williams C", FIELD(pw_line, hazen_c, NONE, 40, 160), EG("140"), .value = 140,
     DERIVED(pw_derive_hazen, "new pipe of this material, from the pipe table, or else 140 for smooth pipe (common practice)"),
     HELP("Coefficient C; used only with the Hazen-Williams formula.")},
    {.key = "length", FIELD(pw_line, length_m, LENGTH, 0.01, 20000), NEEDED, EG("120 m"), HELP("Length of the line.")},
    {.key = "fittings", .type = PW_ROW_FITTINGS, AT(pw_line, fittings), MAY, EG("{\"elbow 90\": 4, \"gate valve\": 1}"),
     HELP("Fittings by name, with how many there are of each.")},
    {.key = "extra K", FIELD(pw_line, extra_k, NONE, 0, 10000), EG("2.5"),
     DEFAULT(0, "no further losses were stated"), HELP("Further loss coefficient, on the velocity in this line.")},
    {.key = "non-return valve", .type = PW_ROW_YES_NO, AT(pw_line, non_return), EG("yes"),
     DEFAULT(0, "no: none was stated"), HELP("yes: water can only go from its first place to its second.")},
    {.key = "open", FIELD(pw_line, open, FRACTION, 0, 1), EG("100 %"),
     DEFAULT(1, "valves of a line stand open unless stated otherwise"), HELP("How far its valve is open: 100 % open, 0 % shut.")},
};
const pw_block pw_block_line = {.id = "lines", ROWS(line_rows), .help = "What carries water between two places."};

static const pw_row vessel_rows[] = {
    {NAME(pw_vessel), EG("shed vessel"), HELP("Name of the pressure vessel.")},
    {.key = "at", REFERENCE(pw_vessel, place, PLACES), NEEDED, EG("shed"), HELP("The place where it is.")},
    {.key = "volume", FIELD(pw_vessel, volume_m3, VOLUME, 0.001, 20), NEEDED, EG("100 L"), HELP("Volume of the whole vessel.")},
    {.key = "precharge", FIELD(pw_vessel, precharge_pa, PRESSURE, 0, 2e6), NEEDED, EG("230 kPa"),
     HELP("Pressure of its gas when it is empty of water.")},
    {.key = "gas exponent", FIELD(pw_vessel, polytropic, NONE, 1, 1.4), EG("1.1"),
     DEFAULT(1.1, "between 1.0 (slow, gas at the water's temperature) and 1.2 (cycles of a minute or so); common practice"),
     HELP("Exponent n of p V^n: 1 slow filling and emptying, 1.4 very quick.")},
};
const pw_block pw_block_vessel = {.id = "vessels", ROWS(vessel_rows), .help = "Pressure vessels."};

static const pw_row float_rows[] = {
    {.key = "closes at", FIELD(pw_tank, closes_m, LENGTH, 0.01, 50), EG("1.5 m"),
     DERIVED(pw_derive_float_closes, "100 mm below the overflow, or 90 % of the depth of a shallow tank (common practice)"),
     HELP("Water depth at which the float valve is shut.")},
    {.key = "band", FIELD(pw_tank, band_m, LENGTH, 0.001, 5), EG("150 mm"),
     DEFAULT(0.15, "common practice, no source: travel of a usual float arm"),
     HELP("It opens over this depth below the shutting level.")},
    {.key = "bore", FIELD(pw_tank, valve_bore_m, LENGTH, 0.002, 0.5), NEEDED, EG("12 mm"), HELP("Bore of the valve's seat.")},
};
const pw_block pw_block_float = {.id = "float valve", ROWS(float_rows), .help = "The float valve at the inlet of a tank."};

static const pw_row tank_rows[] = {
    {NAME(pw_tank), EG("header tank"), HELP("Name of the tank.")},
    {.key = "at", REFERENCE(pw_tank, place, PLACES), NEEDED, EG("header tank"),
     HELP("The place where it is; the level of the place is the tank's floor.")},
    {.key = "area", FIELD(pw_tank, area_m2, AREA, 0.01, 1e5), NEEDED, EG("2.2 m2"), HELP("Area of the tank seen from above.")},
    {.key = "depth", FIELD(pw_tank, depth_m, LENGTH, 0.05, 50), NEEDED, EG("1.6 m"), HELP("Height from floor to overflow.")},
    {.key = "starts at", FIELD(pw_tank, start_m, LENGTH, 0, 50), EG("1.4 m"),
     DERIVED(pw_derive_tank_start, "full: to the float valve's shutting level, or else to the overflow"),
     HELP("Water depth when the simulation begins.")},
    {.key = "inlet", FIELD(pw_tank, inlet_m, LENGTH, 0, 60), EG("1.7 m"),
     DERIVED(pw_derive_tank_inlet, "the height of the overflow: water enters over the top"),
     HELP("Height of the inlet above the floor.")},
    {.key = "float valve", GROUP(pw_block_float), MAY, EG("{\"closes at\": \"1.5 m\", \"bore\": \"12 mm\"}"),
     HELP("The float valve at the inlet. Left out, there is none.")},
};
const pw_block pw_block_tank = {.id = "tanks", ROWS(tank_rows), .help = "Tanks open to the air."};

static const pw_row outlet_rows[] = {
    {NAME(pw_outlet), EG("cottage taps"), HELP("Name of the outlet.")},
    {.key = "at", REFERENCE(pw_outlet, place, PLACES), NEEDED, EG("cottage"), HELP("The place where it is.")},
    {.key = "needs", FIELD(pw_outlet, needs_pa, PRESSURE, 0, 1.5e6), EG("100 kPa"),
     DEFAULT(1e5, "common practice, no source: least pressure at which taps and sprinklers give their flow"),
     HELP("Pressure at which it gives its full flow; below, the flow falls with the root of the pressure.")},
};
const pw_block pw_block_outlet = {.id = "outlets", ROWS(outlet_rows), .help = "Where water leaves the site."};

/* The order of these rows is the order of reading: what is referred to comes first. */
static const pw_row site_rows[] = {
    {.key = "site", .type = PW_ROW_NAME, AT(pw_site, name), NEEDED, EG("Hillside plant nursery"), HELP("Name of the site.")},
    {.key = "invented", .type = PW_ROW_YES_NO, AT(pw_site, invented), EG("yes"),
     DEFAULT(0, "no: a sheet is taken to describe a real site"), HELP("yes: an example, no real site stands behind it.")},
    {.key = "note", .type = PW_ROW_TEXT, AT(pw_site, note), MAY, EG("Bore in the valley, tank on the hill."),
     HELP("A sentence about the site.")},
    {.key = "water", FIELD(pw_site, water_c, TEMPERATURE, 0, 60), EG("15 degC"),
     DEFAULT(15, "common temperature of ground water in temperate climates (common practice)"), HELP("Temperature of the water.")},
    {.key = "altitude", FIELD(pw_site, altitude_m, LENGTH, -450, 5500), EG("240 m"),
     DEFAULT(0, "sea level; suction is judged with full air pressure"), HELP("Height of the site above the sea.")},
    {.key = "supply", GROUP(pw_block_supply), DEFAULT(0, ""), HELP("The electrical supply.")},
    {.key = "places", LIST(places, place_count, pw_place, pw_block_place, 1, PW_MAX_PLACES), NEEDED,
     HELP("Points of the site with a level.")},
    {.key = "sources", LIST(sources, source_count, pw_source, pw_block_source, 1, PW_MAX_SOURCES), NEEDED,
     HELP("Where the water comes from.")},
    {.key = "pumps", LIST(pumps, pump_count, pw_pump, pw_block_pump, 1, PW_MAX_PUMPS), NEEDED, HELP("The pumps.")},
    {.key = "lines", LIST(lines, line_count, pw_line, pw_block_line, 0, PW_MAX_LINES), MAY,
     HELP("What carries water between two places.")},
    {.key = "vessels", LIST(vessels, vessel_count, pw_vessel, pw_block_vessel, 0, PW_MAX_VESSELS), MAY, HELP("Pressure vessels.")},
    {.key = "tanks", LIST(tanks, tank_count, pw_tank, pw_block_tank, 0, PW_MAX_TANKS), MAY, HELP("Tanks open to the air.")},
    {.key = "outlets", LIST(outlets, outlet_count, pw_outlet, pw_block_outlet, 0, PW_MAX_OUTLETS), MAY,
     HELP("Where water leaves the site.")},
    {.key = "sensors", LIST(sensors, sensor_count, pw_sensor, pw_block_sensor, 0, PW_MAX_SENSORS), MAY,
     HELP("What the controller can see.")},
    {.key = "demand", LIST(demands, demand_count, pw_demand, pw_block_demand, 0, PW_MAX_DEMANDS), MAY, HELP("What is drawn when.")},
    {.key = "order", .type = PW_ROW_SENTENCES, AT(pw_site, sentences), .least = 1, .most = PW_MAX_SENTENCES, NEEDED,
     EG("[\"start when pressure below 250 kPa for 1 s\", \"stop when pressure above 400 kPa\"]"),
     HELP("What the controller is told to do, in sentences.")},
    {.key = "limits", GROUP(pw_block_limits), AT(pw_site, limits), DEFAULT(0, ""), HELP("What the site and its users stand.")},
};
const pw_block pw_block_site = {.id = "site sheet", ROWS(site_rows), .help = "The whole sheet."};
