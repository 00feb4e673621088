/* Rows of the site sheet: the electrical supply, and what it does through the day. */
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
