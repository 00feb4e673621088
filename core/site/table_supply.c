/* Rows of the site sheet: the electrical supply and what it does through the day; filters. */
#include "site/rows.h"

#define POINTS(type_, list, counter, block_)                                                          \
    .type = PW_ROW_LIST, AT(type_, list), .count_offset = (uint32_t)offsetof(type_, counter),         \
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
const pw_block pw_block_supply_point = {.id = "course",
                                        ROWS(supply_point_rows),
                                        .help = "Voltage of the supply at times of the day."};

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
const pw_block pw_block_solar_point = {.id = "day",
                                       ROWS(solar_point_rows),
                                       .help = "Power of solar panels at times of the day."};

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
     HELP("Solar panels and a drive in place of the mains: the pumps turn as fast as the power allows.")},
};
const pw_block pw_block_supply = {.id = "supply", ROWS(supply_rows), .help = "The electrical supply."};

static const char *const cloggings[] = {"straight", "growing", "closing", NULL};
static const pw_row filter_rows[] = {
    {NAME(pw_filter), EG("disc filter"), HELP("Name of the filter.")},
    {.key = "line",
     REFERENCE(pw_filter, line, LINES),
     NEEDED,
     EG("misting main"),
     HELP("The line that it is in, before or behind a pump; one filter in a line.")},
    {.key = "clean drop",
     FIELD(pw_filter, clean_pa, PRESSURE, 1, 1e6),
     NEEDED,
     EG("12 kPa"),
     HELP("Pressure drop of the clean filter, as its maker states it.")},
    {.key = "at flow",
     FIELD(pw_filter, at_m3s, FLOW, 1e-7, 1),
     NEEDED,
     EG("40 L/min"),
     HELP("Flow for which its drops are meant.")},
    {.key = "exponent",
     FIELD(pw_filter, exponent, NONE, 1, 2),
     EG("2"),
     DEFAULT(2, "the drop grows as the square of the flow: screens and discs (common practice); 1 for felt and cartridges"),
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
