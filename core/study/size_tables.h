/* Published tables of the trade. Where a value is known from is said beside each table in tables.c and in data/ (the
 * CSV files there are held equal to these tables by tests/unit/study).
 */
#ifndef PW_STUDY_SIZE_TABLES_H
#define PW_STUDY_SIZE_TABLES_H

#include <stdbool.h>
#include <stdint.h>

#include "site/design.h"

/* Hunter's curve: fixture units to design flow, straight between the points of IPC Table E103.3(3). From 0 to the first
 * point a straight line from 0; beyond 5,000 units the last slope goes on. */
double pw_hunter_m3s(double units, pw_flush flush);
/* One point of the table; false when i is out of range. */
bool pw_hunter_point(pw_flush flush, int32_t i, double *units, double *gpm);
/* Fixture units of one private fixture. */
double pw_fixture_units(pw_fixture fixture, pw_flush flush);
const char *pw_fixture_word(int32_t i); /* NULL when out of range */

/* EN 806-3 loading units; 1 unit is a draw-off of 0.1 L/s. */
typedef struct pw_loading_row {
    const char *word;
    double units, draw_m3s, least_m3s;
} pw_loading_row;
const pw_loading_row *pw_loading_at(int32_t i); /* NULL when out of range */
/* Flow that happens together of a sum of draw-offs, residential: a V^b - c with 1.48, 0.19, 0.94 (L/s; DIN
 * 1988-300:2012, from memory), never above the sum, never below the largest single one. */
double pw_simultaneous_m3s(double sum_m3s, double largest_m3s);

/* Water that one animal needs on a winter and a summer day, m3. */
double pw_stock_m3(pw_stock stock, bool summer);
const char *pw_stock_word(int32_t i);

/* NEMA MG 10 Table 2-3: most starts in an hour A, most starts times load inertia B (lb ft2), least rest C (s). The row
 * of the next larger motor is taken; false above 20 hp or for poles other than 2 and 4. */
bool pw_motor_starts(double power_w, int32_t poles, double *most, double *inertia_lbft2, double *rest_s);
bool pw_motor_starts_row(int32_t i, double *hp, double row[6]); /* A, B, C of 2 poles, then of 4 */
#define PW_LBFT2_KGM2 (0.45359237 * 0.3048 * 0.3048)
/* Starts allowed in an hour: the lesser of A and B over the load's inertia (0: not known, A). */
double pw_allowed_starts(double most, double inertia_lbft2, double load_kgm2);

/* Least cycle time of a motor by its power (US Army EI 11C201, Table 7-1), s; upper end of each band. 0 above 185 kW.
 */
double pw_least_cycle_s(double power_w, double *upper_s);

/* Full-load current by table: NEC 430.248 (one phase, 115 or 230 V), 430.250 (three phases, 230 or 460 V), and locked
 * rotor by 430.251(A) and (B) at 230 V; exact rows only, in hp. 0 when there is no such row. */
double pw_nec_current_a(double hp, int32_t phases, double volts);
double pw_nec_locked_a(double hp, int32_t phases);
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
