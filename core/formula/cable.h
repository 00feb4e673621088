/* Copper cables: resistance and voltage drop. Sources: IEC 60228 (table, 20 C), IEC 60287 (temperature), IEC
 * 60364-5-52 Annex G (form of the drop).
 */
#ifndef PW_FORMULA_CABLE_H
#define PW_FORMULA_CABLE_H

#include <stdint.h>

/* Greatest DC resistance of a class 2 plain copper conductor at 20 C, ohm/m, by nominal section in mm2 (0.5 .. 120).
 * 0 when the section is not in the table. */
double pw_cable_ohm_m(double section_mm2);
int32_t pw_cable_count(void);
double pw_cable_section_mm2(int32_t i); /* 0 when out of range */
/* Resistance factor from 20 C: (234.5 + t)/254.5. */
double pw_copper_factor(double temperature_c);
/* IEC 60228 Annex B factor that brings a resistance measured at t to 20 C: 250/(230 + t). */
double pw_copper_correction(double temperature_c);
/* Voltage drop along a cable (one way length), at the far end between phases (three-phase) or between both wires.
 *   phases 0 DC, 1, 3; ohm_m of one conductor at its temperature; reactance_ohm_m of one conductor (usual: 0.08e-3) */
double pw_cable_drop_v(int32_t phases, double current_a, double length_m, double ohm_m, double reactance_ohm_m,
                       double power_factor);

#endif
