/* Motor at part load and off its rated voltage. Model and its limits: docs/power.md, "Motor".
 *   losses          rated losses times (0.36 v^2 + 0.64 (load/v)^2): best efficiency at 3/4 load (common practice)
 *   reactive power  rated reactive power times (0.8 v^2 + 0.2 (load/v)^2): no-load current 0.35 to 0.57 of full load
 *                   for power factors of 0.9 to 0.7
 *   v = volts / rated volts, load = shaft power / rated shaft power. Own derivation from the equivalent circuit.
 */
#ifndef PW_FORMULA_MOTOR_H
#define PW_FORMULA_MOTOR_H

#include <stdint.h>

typedef struct pw_motor_data {
    double power_w;        /* rated shaft power, > 0 */
    double voltage_v;      /* rated, between phases for three-phase, > 0 */
    int32_t phases;        /* 0 DC, 1, 3 */
    double full_load_a;    /* 0: from power, efficiency and power factor */
    double locked_rotor_a; /* starting current at rated voltage */
    double efficiency;     /* at rated load, 0 < .. < 1 */
    double power_factor;   /* at rated load; used when full_load_a is 0 or does not fit power and efficiency */
} pw_motor_data;

/* shaft_w >= 0 (negative counts as 0), volts > 0 (otherwise everything is 0). Outputs may be NULL.
 * efficiency is 0 at no load, power_factor 1 for DC. */
void pw_motor_load(const pw_motor_data *motor, double shaft_w, double volts, double *input_w, double *current_a,
                   double *efficiency, double *power_factor);
/* Starting current at a voltage: locked-rotor current in proportion. */
double pw_motor_start_a(const pw_motor_data *motor, double volts);
/* Power factor at locked rotor by the rated power: 0.82 at 1/2 hp and below, 0.76 at 1 hp, 0.61 at 5 hp, 0.53 at 10 hp,
 * 0.39 at 40 hp and above, in straight lines between (three-phase motors, a standby-generator manual of 2007, Table 7,
 * read in a copy; single-phase motors taken alike: nothing was found for them). 1 for DC. */
double pw_motor_start_factor(int32_t phases, double power_w);
/* Torque at a part v of the rated voltage, as a part of that at rated voltage at the same speed: v^2 (equivalent
 * circuit; Kimberly, Electrical Engineering). */
double pw_motor_torque(double v);
/* A three-phase motor with one phase gone, as parts of the line currents that it had: turning with the same load it
 * takes sqrt(3) times the current (the same power through one pair of lines; the power factor is taken as it was);
 * standing it takes sqrt(3)/2 of its starting current (two windings in series between two lines). Own derivation;
 * handbooks have the same. */
double pw_motor_single_phased_turning(void);
double pw_motor_single_phased_standing(void);
/* Speed at a part v of the rated voltage, as a part of the rated speed, under the rated torque. DC: in proportion. AC:
 * the slip grows as 1/v^2, from 5 % at rated voltage (3 to 6 % is usual under 5 kW; common practice); 0 when the
 * pull-out torque, 2.4 times the rated one at rated voltage (IEC 60034-1 asks for 1.6 at least, NEMA MG 1 for about 2
 * and more; from memory), no longer carries the load: v < 0.645. */
double pw_motor_speed(int32_t phases, double v);
/* Time to run up at a part v of the rated voltage, from that at rated voltage: what is left of a mean starting torque
 * of 1.5 times the rated one over a mean load of 0.3 (common practice for centrifugal pumps), own derivation: (1.5 -
 * 0.3) / (1.5 v^2 - 0.3). PW_INF (base/num.h) when it never runs up: v <= 0.447. DC the same. */
double pw_motor_start_s(double rated_s, double v);
/* Apparent power m V I, VA, with m = sqrt(3) for three phases, 1 otherwise; volts between phases. */
double pw_apparent_va(int32_t phases, double volts, double current_a);
/* Voltage from one phase to the neutral: volts / sqrt(3) for three phases, volts otherwise. */
double pw_phase_v(int32_t phases, double volts);
/* P/(m V pf eff) with m = sqrt(3), 1 or (DC, power factor 1) 1. */
double pw_motor_current_a(int32_t phases, double shaft_w, double volts, double efficiency, double power_factor);
/* Apparent starting power in kVA for each horsepower (746 W), and the code letter of NEMA MG 1 for it ('A' .. 'V'). */
double pw_locked_rotor_kva_per_hp(int32_t phases, double power_w, double volts, double locked_rotor_a);
char pw_locked_rotor_letter(double kva_per_hp);

/* Rating of a generator so that a start of this apparent power dips its voltage by no more than `dip`: S_start X'
 * (1/dip - 1) (voltage divider, own derivation); VA. */
double pw_generator_start_va(double start_va, double reactance, double dip);
/* A generator's rating is at least this times the running load (common practice). */
#define PW_GENERATOR_SPARE 1.25

#endif
