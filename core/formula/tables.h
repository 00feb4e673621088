/* Published tables of the trade. Where a value is known from is said in tables.c and in data/ (the
 * CSV files there are held equal to these tables by tests/unit/study).
 */
#ifndef PW_FORMULA_TABLES_H
#define PW_FORMULA_TABLES_H

#include <stdbool.h>
#include <stdint.h>

/* NEMA MG 10 Table 2-3: most starts in an hour A, most starts times load inertia B (lb ft2), least rest C (s). The row
 * of the next larger motor is taken; false above 20 hp or for poles other than 2 and 4. */
bool pw_motor_starts(double power_w, int32_t poles, double *most, double *inertia_lbft2, double *rest_s);
bool pw_motor_starts_row(int32_t i, double *hp, double row[6]); /* A, B, C of 2 poles, then of 4 */
#define PW_HORSEPOWER_W 745.69987158227022                      /* 550 ft lbf/s */
#define PW_LBFT2_KGM2   (0.45359237 * 0.3048 * 0.3048)
/* Starts allowed in an hour: the lesser of A and B over the load's inertia (0: not known, A). */
double pw_allowed_starts(double most, double inertia_lbft2, double load_kgm2);

/* Least cycle time of a motor by its power (US Army EI 11C201, Table 7-1), s; upper end of each band. 0 above 185 kW.
 */
double pw_least_cycle_s(double power_w, double *upper_s);

/* Full-load current by table: NEC 430.248 (one phase, 115 or 230 V), 430.250 (three phases, 230 or 460 V), and locked
 * rotor by 430.251(A) and (B) at 230 V; exact rows only, in hp. 0 when there is no such row. */
double pw_nec_current_a(double hp, int32_t phases, double volts);
double pw_nec_locked_a(double hp, int32_t phases);
/* The conductor of one continuous motor carries at least this times its full-load current: NEC 430.22. */
#define PW_CONDUCTOR_FACTOR 1.25
/* Least efficiency of class IE3 at 50 Hz (IEC 60034-30-1:2014, from memory), 0.75 .. 7.5 kW; 0 when there is no row. */
double pw_ie3_efficiency(double power_w, int32_t poles);

/* Roughness of a pipe material new and after years. */
typedef struct pw_rough_row {
    const char
        *material; /* begins the names of the pipe table: "PE100", "steel", "galvanised", "copper", "schedule 40 .." */
    double new_m, aged_m;
    const char *source;
} pw_rough_row;
const pw_rough_row *pw_rough_at(int32_t i);
/* Aged roughness for a pipe by its name, "" for an unnamed one: never below new_m. */
double pw_aged_rough_m(const char *pipe, double new_m);

/* Equivalent length of a fitting in metres of straight steel pipe, C = 120 (NFPA 13 chart); 0 when there is none. */
double pw_equivalent_m(const char *fitting, double nominal_in);
/* Rows and columns of that table: NULL and 0 behind the last. */
const char *pw_equivalent_fitting(int32_t i);
double pw_equivalent_in(int32_t i);

/* Tolerances of ISO 9906, as fractions. grade: "class 1", "class 2" (1999 edition), "1B", "1E", "1U", "2B", "2U", "3B"
 * (2012). */
typedef struct pw_grade {
    const char *name;
    double flow_low, flow_high, head_low, head_high, power_high, efficiency_low; /* power 0: not stated */
} pw_grade;
const pw_grade *pw_grade_find(const char *name);

#endif
