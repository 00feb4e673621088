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

/* Usual reactance of one conductor of a cable (IEC 60364-5-52 Annex G, from memory). */
#define PW_CABLE_OHM_M 0.08e-3
/* IEC 60364-5-52 Annex G drop of one phase: b (rho1 L/S cos + lambda L sin) I, b 1 for three phases (line to neutral),
 * 2 otherwise; rho1 0.0225 ohm mm2/m, lambda 0.08 mohm/m (constants from memory). The same law as pw_cable_drop_v with
 * these constants, to the neutral. */
double pw_annex_g_drop_v(int32_t phases, double current_a, double length_m, double section_mm2, double power_factor);
/* Least section by a short circuit, adiabatic: I sqrt(t)/k; k of copper 115 (PVC), 143 (EPR, XLPE) A s^0.5/mm2, IEC
 * 60364-4-43 Table 43A (from memory). */
double pw_fault_section_mm2(double fault_a, double fault_s, double k);
#define PW_COPPER_PVC_K 115.0
/* Short-circuit current at the end of a cable from that at its beginning and the resistance of the loop, all as
 * resistances: Ohm's law. phase_v: to the neutral, or between both wires. */
double pw_end_fault_a(double phase_v, double fault_a, double loop_ohm);
/* Part of the supply voltage that reaches a motor while it stands and starts, its winding taken as a constant impedance
 * of volts and locked_rotor_a at start_factor: |Zm / (Zm + Zc)|. Voltage between phases, or both wires; ohm_m and
 * reactance_ohm_m of one conductor. 1 where nothing is drawn. */
double pw_cable_start_part(int32_t phases, double volts, double locked_rotor_a, double start_factor, double length_m,
                           double ohm_m, double reactance_ohm_m);
/* How a cable is laid: the methods of IEC 60364-5-52. */
typedef enum pw_laying {
    PW_LAID_A1, /* single wires in conduit in an insulating wall */
    PW_LAID_A2, /* a cable in it */
    PW_LAID_B1, /* single wires in conduit on a wall */
    PW_LAID_B2, /* a cable in conduit on a wall */
    PW_LAID_C,  /* a cable on a wall */
    PW_LAID_D1, /* in a duct in the ground */
    PW_LAID_D2, /* straight in the ground */
    PW_LAYINGS
} pw_laying;
/* Current that a copper cable with PVC insulation (70 degC) carries, A, with 2 or 3 loaded conductors, alone, in air of
 * 30 or ground of 20 degC and 2.5 K m/W: IEC 60364-5-52:2009 Tables B.52.2 and B.52.4, 1.5 to 35 mm2, read in public
 * copies, not in the standard; between and beyond in straight lines of the logarithms (own choice). 0 for a section
 * below 1 mm2. A guide: the local code decides, and bunching, thermal insulation and lengths in the water of a bore are
 * not in it. */
double pw_cable_ampacity_a(pw_laying laying, int32_t loaded, double section_mm2);
/* Factor for other surroundings: sqrt((70 - t)/40) in air, sqrt((70 - t)/50) in the ground, within 0.006 of the tables
 * B.52.14 and B.52.15; 0 from 70 degC on. */
double pw_cable_warmth_factor(pw_laying laying, double around_c);
double pw_laying_around_c(pw_laying laying); /* what the tables are for: 30 or 20 degC */
/* Resistance of a class 5 (flexible) copper conductor at 20 C, ohm/m: IEC 60228, 1.5 .. 10 mm2; 0 when not in the
 * table. */
double pw_flexible_ohm_m(double section_mm2);

#endif
