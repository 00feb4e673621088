/* Rows of the site sheet: the electrical supply and what it does through the day; filters. */
#include "formula/friction.h"
#include "formula/water.h"
#include "site/rows.h"

#define POINTS(type_, list, counter, block_)                                                  \
    .type = PW_ROW_LIST, AT(type_, list), .count_offset = (uint32_t)offsetof(type_, counter), \
    .item_size = (uint32_t)sizeof(pw_supply_point), .block = &block_, .least = 1, .most = PW_MAX_COURSE

static const pw_row supply_point_rows[] = {
    {.key = "at",
     .type = PW_ROW_CLOCK,
     AT(pw_supply_point, at_s),
     NEEDED,
     EG("18:30"),
     HELP("Time of day; the points rise.")},
    {.key = "voltage",
     FIELD(pw_supply_point, voltage_v, VOLTAGE, 1, 1500),
     NEEDED,
     EG("212 V"),
     HELP("Voltage of the supply then; between phases for three-phase.")},
};
const pw_block pw_block_supply_point = {
    .id = "course", ROWS(supply_point_rows), .help = "Voltage of the supply at times of the day."};

static const pw_row solar_point_rows[] = {
    {.key = "at",
     .type = PW_ROW_CLOCK,
     AT(pw_supply_point, at_s),
     NEEDED,
     EG("09:00"),
     HELP("Time of day; the points rise.")},
    {.key = "power",
     FIELD(pw_supply_point, power_w, POWER, 0, 1e6),
     NEEDED,
     EG("620 W"),
     HELP("Electrical power that the panels give the pumps' drive then.")},
};
const pw_block pw_block_solar_point = {
    .id = "day", ROWS(solar_point_rows), .help = "Power of solar panels at times of the day."};

static const pw_row solar_rows[] = {
    {.key = "day",
     POINTS(pw_solar, points, point_count, pw_block_solar_point),
     NEEDED,
     EG("[{\"at\": \"06:00\", \"power\": \"0 W\"}, {\"at\": \"12:00\", \"power\": \"900 W\"}, "
        "{\"at\": \"18:00\", \"power\": \"0 W\"}]"),
     HELP("Power through the day, the same every day: of a bright day, or of a dull one to see what that leaves.")},
    {.key = "least power",
     FIELD(pw_solar, least_w, POWER, 0, 1e6),
     MAY,
     EG("80 W"),
     HELP("With less than this the drive rests. Left out, it turns the pump as slowly as the power makes it.")},
};
const pw_block pw_block_solar = {.id = "solar", ROWS(solar_rows), .help = "A day's solar power for the pumps."};

static double derive_generator_power(const pw_site *site, const void *item)
{
    const pw_generator *generator = item;
    (void)site;
    return generator->rating_va.v == PW_UNKNOWN ? PW_UNKNOWN : 0.8 * generator->rating_va.v;
}

static const pw_row generator_rows[] = {
    {.key = "rating",
     FIELD(pw_generator, rating_va, NONE, 100, 1e7),
     NEEDED,
     EG("6000"),
     HELP("Its rated apparent power in VA.")},
    {.key = "power",
     FIELD(pw_generator, power_w, POWER, 50, 1e7),
     EG("4.8 kW"),
     DERIVED(derive_generator_power, "rating at a power factor of 0.8, as generators are rated (common practice)"),
     HELP("Power that its engine gives for long.")},
    {.key = "reactance",
     FIELD(pw_generator, reactance, FRACTION, 0.01, 2),
     EG("20 %"),
     DEFAULT(0.2, "transient reactance of usual small generators, 15 to 30 % (common practice)"),
     HELP("Transient reactance of its own rating: how far its voltage dips when a motor starts.")},
    {.key = "droop",
     FIELD(pw_generator, droop, FRACTION, 0.001, 0.2),
     EG("5 %"),
     DEFAULT(0.05, "performance class G2 of ISO 8528-5, 5 % at most (from memory)"),
     HELP("How far its frequency falls from no load to full load.")},
};
const pw_block pw_block_generator = {
    .id = "generator", ROWS(generator_rows), .help = "A generator in place of the mains."};

static double derive_battery_cut(const pw_site *site, const void *item)
{
    (void)site;
    const pw_battery *battery = item;
    return battery->inverter.given && pw_known(battery->full_v) ? 0.5 * battery->full_v.v : PW_NOT_USED;
}

static const pw_row battery_rows[] = {
    {.key = "full",
     FIELD(pw_battery, full_v, VOLTAGE, 1, 1000),
     NEEDED,
     EG("25.4 V"),
     HELP("Its voltage at rest when it is full.")},
    {.key = "empty",
     FIELD(pw_battery, empty_v, VOLTAGE, 1, 1000),
     NEEDED,
     EG("23.4 V"),
     HELP("Its voltage at rest when it counts as empty.")},
    {.key = "resistance",
     FIELD(pw_battery, ohm, NONE, 1e-5, 10),
     NEEDED,
     EG("0.02"),
     HELP("Its inner resistance in ohm, with that of its leads.")},
    {.key = "capacity",
     FIELD(pw_battery, capacity_ah, NONE, 0.5, 1e5),
     NEEDED,
     EG("200"),
     HELP("What it gives from full to empty, in Ah.")},
    {.key = "charge",
     FIELD(pw_battery, charge, FRACTION, 0, 1),
     EG("80 %"),
     DEFAULT(1, "full when the simulation begins"),
     HELP("Its state of charge when the simulation begins.")},
    {.key = "charging",
     FIELD(pw_battery, charging, FRACTION, 0.1, 1),
     EG("85 %"),
     DEFAULT(0.85, "lead batteries give back 80 to 90 % of what is put in (common practice)"),
     HELP("Part of the panels' energy that comes out again. Panels are in `solar`; without them nothing charges it.")},
    {.key = "inverter",
     FIELD(pw_battery, inverter, FRACTION, 0.3, 1),
     MAY,
     EG("90 %"),
     HELP("Efficiency of an inverter between it and the pumps, which then have the supply's voltage. Left out, they "
          "hang on "
          "the battery itself.")},
    {.key = "cut-out",
     FIELD(pw_battery, cut_v, VOLTAGE, 0, 1000),
     EG("21 V"),
     DERIVED(derive_battery_cut,
             "half of its full voltage: an inverter without a limit of its own gives nothing there"),
     HELP("Voltage of the battery under which the inverter gives nothing; needs an inverter.")},
};
const pw_block pw_block_battery = {.id = "battery", ROWS(battery_rows), .help = "A battery that the pumps hang on."};

static const pw_row supply_rows[] = {
    {.key = "voltage",
     FIELD(pw_site, supply_v, VOLTAGE, 6, 1000),
     EG("230 V"),
     DERIVED(pw_derive_supply_voltage,
             "voltage of the first motor that states one, or else the standard low voltage of IEC 60038"),
     HELP("Voltage of the supply; between phases for three-phase.")},
    {.key = "phases",
     .type = PW_ROW_PHASES,
     AT(pw_site, supply_phases),
     EG("1"),
     DERIVED(pw_derive_supply_phases, "phases of the first motor that states them, or else single-phase"),
     HELP("1, 3 or DC.")},
    {.key = "frequency",
     FIELD(pw_site, supply_hz, FREQUENCY, 0, 400),
     EG("50 Hz"),
     DEFAULT(50, "the more common frequency in the world"),
     HELP("Frequency of the supply.")},
    {.key = "course",
     POINTS(pw_site, supply.points, supply.point_count, pw_block_supply_point),
     MAY,
     HELP("Voltage through the day, where it wanders: points by the time of day, the same every day. With "
          "solar panels it is only what a watch of the supply sees.")},
    {.key = "steps",
     .type = PW_ROW_YES_NO,
     AT(pw_site, supply.steps),
     MAY,
     EG("no"),
     HELP("yes: each point of a course holds until the next one. Left out, the course is straight between its points, "
          "also over midnight.")},
    {.key = "solar",
     GROUP(pw_block_solar),
     AT(pw_site, supply.solar),
     MAY,
     EG("{\"day\": [{\"at\": \"06:00\", \"power\": \"0 W\"}, {\"at\": \"12:00\", \"power\": \"900 W\"}, "
        "{\"at\": \"18:00\", \"power\": \"0 W\"}]}"),
     HELP("Solar panels and a drive in place of the mains: the pumps turn as fast as the power allows. With a "
          "battery they charge that.")},
    {.key = "generator",
     GROUP(pw_block_generator),
     AT(pw_site, supply.generator),
     MAY,
     EG("{\"rating\": 6000}"),
     HELP("A generator in place of the mains.")},
    {.key = "battery",
     GROUP(pw_block_battery),
     AT(pw_site, supply.battery),
     MAY,
     EG("{\"full\": \"25.4 V\", \"empty\": \"23.4 V\", \"resistance\": 0.02, \"capacity\": 200}"),
     HELP("A battery in place of the mains; it goes before a generator.")},
};
const pw_block pw_block_supply = {.id = "supply", ROWS(supply_rows), .help = "The electrical supply."};

static double derive_clean_drop(const pw_site *site, const void *item)
{
    const pw_filter *filter = item;
    if (!filter->open.given || !filter->at_m3s.given || filter->line < 0 ||
        !pw_known(site->lines[filter->line].bore_m)) {
        return PW_UNKNOWN;
    }
    const double velocity_ms = filter->at_m3s.v / pw_bore_area_m2(site->lines[filter->line].bore_m.v);
    return pw_screen_k(filter->open.v, 0.0) * 0.5 * PW_COLD_WATER_KGM3 * velocity_ms * velocity_ms;
}

static const char *const cloggings[] = {"straight", "growing", "closing", NULL};
static const pw_row filter_rows[] = {
    {NAME(pw_filter), EG("disc filter"), HELP("Name of the filter.")},
    {.key = "line",
     REFERENCE(pw_filter, line, LINES),
     NEEDED,
     EG("misting main"),
     HELP("The line that it is in, before or behind a pump; one filter in a line.")},
    {.key = "at flow",
     FIELD(pw_filter, at_m3s, FLOW, 1e-7, 1),
     NEEDED,
     EG("40 L/min"),
     HELP("Flow for which its drops are meant.")},
    {.key = "open part",
     FIELD(pw_filter, open, FRACTION, 0.01, 1),
     MAY,
     EG("40 %"),
     HELP("Open part of a woven screen as wide as its line, where its drop is not known.")},
    {.key = "clean drop",
     FIELD(pw_filter, clean_pa, PRESSURE, 0.01, 1e6),
     EG("12 kPa"),
     DERIVED(derive_clean_drop, "of a woven screen, by its open part and the velocity in its line (Idelchik)"),
     HELP("Pressure drop of the clean filter at that flow, as its maker states it.")},
    {.key = "exponent",
     FIELD(pw_filter, exponent, NONE, 1, 2),
     EG("2"),
     DEFAULT(
         2, "the drop grows as the square of the flow: screens and discs (common practice); 1 for felt and cartridges"),
     HELP("Power of the flow that its drop grows with, 1 to 2.")},
    {.key = "clogs",
     CHOICE(pw_filter, clogs, cloggings),
     DEFAULT(PW_CLOG_STRAIGHT, "a cake: so much more drop for each volume"),
     EG("closing"),
     HELP("How its drop grows with the water that has passed. straight: by so much for each volume (a cake on it). "
          "growing: by such a part. closing: slowly, then suddenly (openings shut one by one).")},
    {.key = "full drop",
     FIELD(pw_filter, full_pa, PRESSURE, 1, 2e6),
     MAY,
     EG("60 kPa"),
     HELP("Drop at the same flow where it counts as full.")},
    {.key = "full after",
     FIELD(pw_filter, full_m3, VOLUME, 0.1, 1e7),
     MAY,
     EG("300 m3"),
     HELP("Water that fills it. Left out, it stays as clean as it is.")},
    {.key = "passed",
     FIELD(pw_filter, passed_m3, VOLUME, 0, 1e7),
     MAY,
     EG("120 m3"),
     HELP("Water that has passed since it was clean, when the simulation begins. Left out, none.")},
    {.key = "cleaned every",
     FIELD(pw_filter, every_s, TIME, 3600, 31536000),
     MAY,
     EG("14 d"),
     HELP("It is cleaned so often. Left out, nobody cleans it.")},
    {.key = "cleaned at",
     .type = PW_ROW_CLOCK,
     AT(pw_filter, cleaned_s),
     MAY,
     EG("07:00"),
     HELP("Time of the day for that; midnight when it is left out.")},
};
const pw_block pw_block_filter = {.id = "filters", ROWS(filter_rows), .help = "Filters, each in a line."};
