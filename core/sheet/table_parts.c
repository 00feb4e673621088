/* Rows of the site sheet: pumps, motors, sensors and demand. See table.c. */
#include "sheet/rows.h"

static const pw_row point_rows[] = {
    {.key = "flow", FIELD(pw_curve_point, flow_m3s, FLOW, 0, 1), NEEDED, EG("45 L/min"), HELP("Flow; the first point has 0 L/min.")},
    {.key = "head", FIELD(pw_curve_point, head_m, LENGTH, 0, 1000), NEEDED, EG("65 m"), HELP("Head at this flow.")},
    {.key = "efficiency", FIELD(pw_curve_point, efficiency, FRACTION, 0, 0.95), MAY, EG("56 %"),
     HELP("Efficiency of the pump alone, without its motor.")},
    {.key = "power", FIELD(pw_curve_point, power_w, POWER, 0, 500e3), MAY, EG("0.85 kW"),
     HELP("Power at the pump's shaft; wins over efficiency.")},
    {.key = "NPSH", FIELD(pw_curve_point, npsh_m, LENGTH, 0, 50), MAY, EG("2.1 m"), HELP("NPSH that the pump requires.")},
};
const pw_block pw_block_point = {
    .id = "curve", ROWS(point_rows), .help = "Points of a pump's curve: at least three, flow rising from 0, head never rising."};

static const pw_row motor_rows[] = {
    {.key = "power", FIELD(pw_motor, power_w, POWER, 10, 200e3), NEEDED, EG("1.1 kW"), HELP("Rated power at the shaft.")},
    {.key = "voltage", FIELD(pw_motor, voltage_v, VOLTAGE, 6, 1000), EG("230 V"),
     DERIVED(pw_derive_motor_voltage, "the voltage of the supply"), HELP("Rated voltage; between phases for three-phase.")},
    {.key = "phases", .type = PW_ROW_PHASES, AT(pw_motor, phases), EG("1"),
     DERIVED(pw_derive_motor_phases, "as many as the supply has"), HELP("1, 3 or DC.")},
    {.key = "efficiency", FIELD(pw_motor, efficiency, FRACTION, 0.1, 0.99), EG("68 %"),
     DERIVED(pw_derive_motor_efficiency,
             "usual for the rated power and phases of a wet motor (common practice; some points below IEC 60034-30-1)"),
     HELP("Efficiency of the motor at rated load.")},
    {.key = "power factor", FIELD(pw_motor, power_factor, FRACTION, 0.2, 1), EG("0.9"),
     DERIVED(pw_derive_motor_power_factor, "usual: 0.90 with a running capacitor, 0.80 three-phase, 1 for DC (common practice)"),
     HELP("Power factor at rated load.")},
    {.key = "full-load current", FIELD(pw_motor, full_load_a, CURRENT, 0.05, 2000), EG("7.9 A"),
     DERIVED(pw_derive_full_load_current, "rated power / (voltage x power factor x efficiency), and / 1.732 for three-phase"),
     HELP("Current at rated load.")},
    {.key = "locked-rotor current", FIELD(pw_motor, locked_rotor_a, CURRENT, 0.05, 20000), EG("34 A"),
     DERIVED(pw_derive_locked_rotor_current,
             "full-load current x 5 single-phase, x 6 three-phase, x 1 for DC with electronics (common practice)"),
     HELP("Current at the moment of starting.")},
    {.key = "service factor", FIELD(pw_motor, service_factor, NONE, 1, 1.5), EG("1.05"),
     DEFAULT(1.05, "the usual factor k of a thermal replica after IEC 60255-149 (common practice)"),
     HELP("Factor k: this many times full-load current can flow for ever.")},
    {.key = "heating time", FIELD(pw_motor, heat_time_s, TIME, 5, 14400), EG("10 min"),
     DEFAULT(600, "common practice for small motors, no source"), HELP("Thermal time constant while running.")},
    {.key = "cooling time", FIELD(pw_motor, cool_time_s, TIME, 5, 43200), EG("20 min"),
     DERIVED(pw_derive_cooling_time, "twice the heating time: at rest no water flows past the motor (common practice)"),
     HELP("Thermal time constant at rest.")},
    {.key = "starting time", FIELD(pw_motor, start_time_s, TIME, 0, 30), EG("0.5 s"),
     DEFAULT(0.5, "common practice for small pumps on direct starting, no source"),
     HELP("Time at locked-rotor current in each start.")},
    {.key = "winding limit", FIELD(pw_motor, winding_limit_c, TEMPERATURE, 80, 250), EG("155 degC"),
     DEFAULT(155, "insulation class F of IEC 60034-1"), HELP("Highest temperature that the winding's insulation stands.")},
    {.key = "winding rise", FIELD(pw_motor, winding_rise_k, TEMPERATURE_RISE, 1, 200), EG("80 K"),
     DEFAULT(80, "class F insulation used to the rise of class B, IEC 60034-1 (common practice)"),
     HELP("How much warmer than the water the winding is at full-load current.")},
};
const pw_block pw_block_motor = {.id = "motor", ROWS(motor_rows), .help = "The motor of a pump."};

static const pw_row pump_rows[] = {
    {NAME(pw_pump), EG("bore pump"), HELP("Name of the pump.")},
    {.key = "from", REFERENCE(pw_pump, from, PLACES), NEEDED, EG("bore head"), HELP("The place it draws from.")},
    {.key = "to", REFERENCE(pw_pump, to, PLACES), NEEDED, EG("shed"), HELP("The place it delivers to.")},
    {.key = "curve", .type = PW_ROW_LIST, AT(pw_pump, curve), .count_offset = (uint32_t)offsetof(pw_pump, point_count),
     .item_size = (uint32_t)sizeof(pw_curve_point), .block = &pw_block_point, .least = 3, .most = PW_MAX_CURVE, NEEDED,
     HELP("Points of the pump's curve.")},
    {.key = "speed", FIELD(pw_pump, speed, FRACTION, 0.2, 1.5), EG("100 %"),
     DEFAULT(1, "it turns at the speed of its curve"), HELP("Speed as a part of the speed that the curve was measured at.")},
    {.key = "non-return valve", .type = PW_ROW_YES_NO, AT(pw_pump, non_return), EG("yes"),
     DEFAULT(1, "yes: a pressure system does not hold without one"),
     HELP("yes: there is a non-return valve in the pump or next to it.")},
    {.key = "motor", GROUP(pw_block_motor), AT(pw_pump, motor), NEEDED, HELP("The motor.")},
};
const pw_block pw_block_pump = {.id = "pumps", ROWS(pump_rows), .help = "The pumps, each with its curve and motor."};

static const char *const sensor_kinds[] = {"pressure", "flow switch", "level", "probe", "contact", NULL};
enum {
    PRESSURE = BIT(PW_SENSOR_PRESSURE),
    SWITCH = BIT(PW_SENSOR_FLOW),
    LEVEL = BIT(PW_SENSOR_LEVEL),
    PROBE = BIT(PW_SENSOR_PROBE),
    CONTACT = BIT(PW_SENSOR_CONTACT)
};
static const pw_row sensor_rows[] = {
    {NAME(pw_sensor), EG("pressure"), HELP("Name of the sensor; sentences of the order refer to it.")},
    {.key = "kind", CHOICE(pw_sensor, kind, sensor_kinds), NEEDED, EG("pressure"),
     HELP("pressure: at a place. flow switch: in a line or at a pump. level: water depth of a tank, or height of water over a "
          "bore's intake. probe: wet or dry at one height. contact: an outside contact, closed in stated hours.")},
    {.key = "at", KINDS(PRESSURE | LEVEL | PROBE), REFERENCE(pw_sensor, place, PLACES), NEEDED, EG("shed"),
     HELP("The place where it is: of a tank or bore for level and probe.")},
    {.key = "line", KINDS(SWITCH), REFERENCE(pw_sensor, line, LINES), MAY, EG("misting main"),
     HELP("The line that the flow switch is in. Either this or `pump`.")},
    {.key = "pump", KINDS(SWITCH), REFERENCE(pw_sensor, pump, PUMPS), MAY, EG("bore pump"),
     HELP("The pump that the flow switch is at. Either this or `line`.")},
    {.key = "from", KINDS(PRESSURE), FIELD(pw_sensor, low_pa, PRESSURE, -1e5, 4e6), EG("0 kPa"),
     DEFAULT(0, "sensors usually begin at air pressure"), HELP("Low end of its range; below, it reads this.")},
    {.key = "to", KINDS(PRESSURE), FIELD(pw_sensor, high_pa, PRESSURE, 0, 4e6), EG("1000 kPa"),
     DEFAULT(1e6, "the most common range of small sensors is 10 bar (common practice)"),
     HELP("High end of its range; above, it reads this.")},
    {.key = "resolution", KINDS(PRESSURE), FIELD(pw_sensor, resolution, PRESSURE, 0, 1e5), EG("1 kPa"),
     DEFAULT(0, "taken as continuous"), HELP("Smallest step of its reading; 0 is continuous.")},
    {.key = "resolution", KINDS(LEVEL), FIELD(pw_sensor, resolution, LENGTH, 0, 1), EG("10 mm"),
     DEFAULT(0, "taken as continuous"), HELP("Smallest step of its reading; 0 is continuous.")},
    {.key = "error", KINDS(PRESSURE), FIELD(pw_sensor, error, PRESSURE, -5e5, 5e5), EG("5 kPa"),
     DEFAULT(0, "taken to read true"), HELP("How much more than the truth it reads.")},
    {.key = "error", KINDS(LEVEL), FIELD(pw_sensor, error, LENGTH, -10, 10), EG("20 mm"),
     DEFAULT(0, "taken to read true"), HELP("How much more than the truth it reads.")},
    {.key = "makes at", KINDS(SWITCH), FIELD(pw_sensor, makes_ms, VELOCITY, 0.005, 10), EG("0.30 m/s"),
     DEFAULT(0.30, "usual for small flow switches (common practice)"), HELP("Velocity of the water at which it makes.")},
    {.key = "breaks at", KINDS(SWITCH), FIELD(pw_sensor, breaks_ms, VELOCITY, 0.001, 10), EG("0.15 m/s"),
     DEFAULT(0.15, "usual for small flow switches (common practice)"), HELP("Velocity of the water at which it breaks.")},
    {.key = "bore", KINDS(SWITCH), FIELD(pw_sensor, bore_m, LENGTH, 0.003, 1), EG("32.6 mm"),
     DERIVED(pw_derive_switch_bore, "the bore of the line that it is in, or of the only line after the pump"), HELP("Bore of the pipe at the flow switch.")},
    {.key = "height", KINDS(PROBE), FIELD(pw_sensor, probe_m, LENGTH, 0, 600), NEEDED, EG("0.4 m"),
     HELP("Height of the probe: above the floor of a tank, or above a bore's intake.")},
    {.key = "closed", KINDS(CONTACT), .type = PW_ROW_WINDOWS, AT(pw_sensor, window_count), NEEDED, .least = 1, .most = 8,
     EG("[{\"from\": \"22:00\", \"to\": \"24:00\"}, {\"from\": \"00:00\", \"to\": \"06:00\"}]"),
     HELP("Times of the day in which the contact is closed. Past midnight takes two.")},
};
const pw_block pw_block_sensor = {
    .id = "sensors", ROWS(sensor_rows), .kind = &sensor_rows[1], .help = "What the controller can see."};

/* The shell reads the file and adds `times` and `flows`; the core only checks the form of this group. */
static const pw_row trace_file_rows[] = {
    {.key = "file", .type = PW_ROW_TEXT, NEEDED, EG("flow.csv"), HELP("Name of a CSV file, seen from the folder of the sheet.")},
    {.key = "time", .type = PW_ROW_TEXT, NEEDED, EG("time"), HELP("Heading of the column with the times, or its number, as column 1.")},
    {.key = "flow", .type = PW_ROW_TEXT, NEEDED, EG("flow"), HELP("Heading of the column with the flows, or its number, as column 2.")},
    {.key = "unit", .type = PW_ROW_TEXT, NEEDED, EG("L/min"),
     HELP("Unit of the flows; or the volume that one count of a meter stands for, as 0.5 L.")},
    {.key = "step", .type = PW_ROW_TEXT, MAY, EG("4 s"),
     HELP("A row of the file holds for this long and no longer. Left out, a flow holds until the next row.")},
};
const pw_block pw_block_trace_file = {.id = "trace", ROWS(trace_file_rows), .help = "A measured trace in a CSV file."};

static int32_t demand_kind_of(const pw_json *json) {
    bool trace = pw_json_get(json, "trace") != NULL || pw_json_get(json, "times") != NULL;
    return trace ? PW_DEMAND_TRACE : PW_DEMAND_DRAW;
}

static double derive_until(const pw_site *site, const void *item) {
    (void)site;
    const pw_demand *demand = item;
    return demand->every_s.given ? 86400 : PW_NOT_USED;
}

static const char *const demand_kinds[] = {"draw", "random", "trace", NULL};
enum { DRAW = BIT(PW_DEMAND_DRAW), RANDOM = BIT(PW_DEMAND_RANDOM), TRACE = BIT(PW_DEMAND_TRACE) };
static const pw_row demand_rows[] = {
    {.key = "outlet", REFERENCE(pw_demand, outlet, OUTLETS), NEEDED, EG("misting"), HELP("The outlet where it is drawn.")},
    {.key = "kind", CHOICE(pw_demand, kind, demand_kinds), DEFAULT(PW_DEMAND_DRAW, "draws at stated times, unless a trace is given"),
     EG("draw"),
     HELP("draw: at stated times. random: at random times, so many a day. trace: as measured.")},
    {.key = "flow", KINDS(DRAW | RANDOM), FIELD(pw_demand, flow_m3s, FLOW, 1e-7, 1), NEEDED, EG("24 L/min"),
     HELP("Flow of the draw; the mean of it for random draws.")},
    {.key = "flow spread", KINDS(RANDOM), FIELD(pw_demand, flow_cv, FRACTION, 0, 3), EG("45 %"),
     DEFAULT(0.3, "common practice, no source: taps are seldom opened alike"),
     HELP("Standard deviation of the flow as a part of its mean.")},
    {.key = "for", KINDS(DRAW | RANDOM), FIELD(pw_demand, duration_s, TIME, 0.1, 86400), NEEDED, EG("20 s"),
     HELP("How long a draw lasts; the mean of it for random draws.")},
    {.key = "for spread", KINDS(RANDOM), FIELD(pw_demand, duration_cv, FRACTION, 0, 5), EG("110 %"),
     DEFAULT(1, "durations spread as widely as their mean (common practice)"),
     HELP("Standard deviation of the duration as a part of its mean.")},
    {.key = "at", KINDS(DRAW), .type = PW_ROW_CLOCK, AT(pw_demand, at_s), NEEDED, EG("06:30"),
     HELP("Time of day of the first draw.")},
    {.key = "every", KINDS(DRAW), FIELD(pw_demand, every_s, TIME, 1, 86400), MAY, EG("12 min"),
     HELP("It repeats after this time. Left out, it is drawn once a day.")},
    {.key = "until", KINDS(DRAW), .type = PW_ROW_CLOCK, AT(pw_demand, until_s), EG("18:00"), .value = 86400,
     DERIVED(derive_until, "a repeated draw goes on to the end of the day"), HELP("Time of day after which it does not repeat.")},
    {.key = "days", KINDS(DRAW | RANDOM), .type = PW_ROW_DAYS, AT(pw_demand, weekdays), .value = 0x7f, MAY,
     EG("[\"Monday\", \"Thursday\"]"), HELP("Days of the week. Left out, every day.")},
    {.key = "per day", KINDS(RANDOM), FIELD(pw_demand, per_day, NONE, 0.001, 20000), NEEDED, EG("45"),
     HELP("Mean number of draws a day.")},
    {.key = "pattern", KINDS(RANDOM), .type = PW_ROW_PATTERN, AT(pw_demand, pattern), MAY,
     EG("[1, 1, 1, 1, 1, 3, 8, 10, 7, 5, 4, 4, 6, 4, 3, 3, 4, 6, 9, 8, 6, 5, 3, 2]"),
     HELP("How likely draws are in each of the 24 hours of the day, as any numbers. Left out, all hours are alike.")},
    {.key = "trace", KINDS(TRACE), GROUP(pw_block_trace_file), MAY,
     EG("{\"file\": \"flow.csv\", \"time\": \"time\", \"flow\": \"flow\", \"unit\": \"L/min\"}"),
     HELP("A CSV file with the measured flow.")},
    {.key = "times", KINDS(TRACE), .type = PW_ROW_TIMES, AT(pw_demand, trace_s), MAY, EG("[0, 60, 120]"),
     HELP("Times of a trace in seconds, rising from 0; taken from the file when a file is named.")},
    {.key = "flows", KINDS(TRACE), .type = PW_ROW_FLOWS, AT(pw_demand, trace_m3s), MAY, EG("[0, 0.2, 0]"),
     HELP("Flows of a trace in L/s, each from its time until the next; taken from the file when a file is named.")},
    {.key = "scale", KINDS(TRACE), FIELD(pw_demand, trace_scale, FRACTION, 0, 1000), EG("1"),
     DEFAULT(1, "the flows are used as measured"), HELP("The flows are multiplied by this.")},
};
const pw_block pw_block_demand = {
    .id = "demand", ROWS(demand_rows), .kind = &demand_rows[1], .kind_of = demand_kind_of, .help = "What is drawn when."};
