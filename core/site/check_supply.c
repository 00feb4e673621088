/* Third pass over a site sheet: what must agree within the supply, and what its pumps would ask of it. */
#include "formula/motor.h"
#include "formula/supply.h"
#include "site/table.h"

/* A start that dips a generator's voltage further than this is questioned (ISO 8528-5 lets class G1 dip by a quarter;
 * from memory). */
#define DEEP_DIP 0.3

static void check_battery(pw_sheet_reader *reader, const pw_battery *battery)
{
    const int32_t mark = pw_path_key(reader, "battery");
    if (battery->full_v.given && battery->empty_v.given && battery->empty_v.v >= battery->full_v.v) {
        pw_sheet_error_at(reader, "empty", PW_CONFLICT,
                          pw_fact_of("sheet.value", pw_quantity(PW_DIM_VOLTAGE, battery->empty_v.v)),
                          pw_fact_of("sheet.below-full", pw_quantity(PW_DIM_VOLTAGE, battery->full_v.v)), pw_no_fact());
    }
    pw_path_back(reader, mark);
}

/* The same divider as in a simulation's start. */
static void check_generator(pw_sheet_reader *reader, const pw_generator *generator)
{
    const int32_t mark = pw_path_key(reader, "generator");
    for (int32_t p = 0; p < reader->site->pump_count; p++) {
        const pw_motor *motor = &reader->site->pumps[p].motor;
        if (!pw_known(motor->locked_rotor_a) || !pw_known(motor->voltage_v) || motor->phases < 0) {
            continue;
        }
        const double start_va = pw_apparent_va(motor->phases, motor->voltage_v.v, motor->locked_rotor_a.v);
        const double part = pw_generator_start_part(start_va, generator->rating_va.v, generator->reactance.v);
        const double asked_va = pw_generator_start_va(start_va, generator->reactance.v, DEEP_DIP);
        if (part < 1.0 - DEEP_DIP) {
            pw_sheet_warning_at(
                reader, "rating", pw_fact_of("sheet.generator-dips", pw_quantity(PW_DIM_FRACTION, part)),
                pw_fact_of("sheet.generator-rating", pw_count((int64_t)(asked_va / 100.0 + 1.0) * 100)),
                pw_fact_of(pw_motor_start_s(1.0, part) < PW_INF ? "sheet.starts-slowly" : "sheet.never-starts",
                           pw_named(reader->site->pumps[p].name)));
        }
    }
    pw_path_back(reader, mark);
}

static void check_solar(pw_sheet_reader *reader, const pw_solar *solar)
{
    const int32_t mark = pw_path_key(reader, "solar");
    bool enough = solar->point_count == 0 || !solar->least_w.given;
    for (int32_t i = 0; i < solar->point_count; i++) {
        enough = enough || solar->points[i].power_w.v >= solar->least_w.v;
    }
    if (!enough) {
        pw_sheet_warning_at(reader, "least power",
                            pw_fact_of("sheet.value", pw_quantity(PW_DIM_POWER, solar->least_w.v)),
                            pw_fact_of("sheet.within-the-day"), pw_fact_of("sheet.drive-rests-all-day"));
    }
    pw_path_back(reader, mark);
}

void pw_sheet_check_supply(pw_sheet_reader *reader)
{
    const pw_supply *supply = &reader->site->supply;
    const int32_t mark = pw_path_key(reader, "supply");
    check_battery(reader, &supply->battery);
    check_solar(reader, &supply->solar);
    if (supply->generator.rating_va.given && pw_known(supply->generator.reactance) && !supply->battery.full_v.given) {
        check_generator(reader, &supply->generator);
    }
    pw_path_back(reader, mark);
}
