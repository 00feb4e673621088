/* Supplies that give way under load: a generator, a battery. */
#ifndef PW_FORMULA_SUPPLY_H
#define PW_FORMULA_SUPPLY_H

/* Voltage that a generator keeps, as a part of its own, while motors start: 1 / (1 + X' S_start / S), the voltage
 * divider behind pw_generator_start_va. X' transient, per unit; powers in VA. */
double pw_generator_start_part(double start_va, double rating_va, double reactance);
/* Its frequency at a load, as a part of the rated one: 1 + droop (1 - load), droop as ISO 8528-5 has it (from no load
 * to full load, as a part of the rated frequency; classes G1 8, G2 5, G3 3 % at most; from memory). */
double pw_generator_frequency(double load, double droop);
/* Its load at a frequency: the other way round. */
double pw_generator_load(double frequency, double droop);
/* Most power at a frequency, as a part of the rated power: an engine at full fuel holds its torque, and gives a tenth
 * over its rating for a while (ISO 8528-1, from memory). */
double pw_generator_most(double frequency);
/* Voltage that its regulator holds at a frequency: all of it down to 95 %, from there in proportion (common practice).
 */
double pw_generator_volts(double frequency);

/* A battery at rest: straight from empty to full; charge 0 .. 1, held beyond. */
double pw_battery_v(double empty_v, double full_v, double charge);
/* Power at its terminals when they stand at a voltage: V (E - V) / R. */
double pw_battery_w(double emf_v, double ohm, double volts);
/* Current for a power: (E - sqrt(E^2 - 4 R P)) / (2 R); E / (2 R), its most, when it cannot give that much. */
double pw_battery_a(double emf_v, double ohm, double power_w);

#endif
