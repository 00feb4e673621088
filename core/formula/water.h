/* Properties of liquid water by temperature.
 * Sources (read or remembered, each confirmed by its release's own verification values,
 * tests/cases/formula/water.case): density, heat capacity               IAPWS R7-97(2012) (IF97), region 1 sound speed
 * at one atmosphere Marczak, J. Acoust. Soc. Am. 102 (1997), from memory, agrees with IAPWS-95; under pressure
 * (pw_water_state) IF97, up to 0.2 % high vapour pressure, boiling point       IF97, region 4, equations 30 and 31
 *   viscosity                            IAPWS R12-08, without the critical enhancement (below 0.01 % here)
 * Stated errors against IAPWS-95 at 101.325 kPa, 0..60 C: density 0.002 %, sound speed 0.01 %, heat capacity 0.06 %,
 * viscosity 0.05 %, vapour pressure 0.01 %.
 */
#ifndef PW_FORMULA_WATER_H
#define PW_FORMULA_WATER_H

#include <stdbool.h>

typedef struct pw_water {
    double temperature_c;
    double density_kgm3;
    double viscosity_pas; /* dynamic */
    double vapour_pa;     /* absolute saturation pressure */
    double bulk_pa;       /* isentropic bulk modulus, density times sound speed squared: what wave speed needs */
    double sound_ms;      /* in unconfined water */
    double cp_jkgk;       /* isobaric heat capacity */
} pw_water;

/* Water at one standard atmosphere (above 99.97 C at its vapour pressure). temperature_c is held within 0..100;
 * false (and the value at the nearest end) when it was outside or not finite. */
bool pw_water_at(double temperature_c, pw_water *out);

/* The same at an absolute pressure up to 10 MPa: W16 of the verification. temperature_c 0..100. False when out of
 * range. */
bool pw_water_state(double temperature_c, double absolute_pa, pw_water *out);
/* IAPWS R12-08 viscosity, Pa s, for temperature_c 0..100 and a density near that of the liquid. */
double pw_water_viscosity_pas(double temperature_c, double density_kgm3);
/* Absolute saturation pressure, Pa, 0..350 C (held within). */
double pw_vapour_pa(double temperature_c);
/* Boiling point, C, at an absolute pressure of 611.213 Pa .. 16.5 MPa (held within). */
double pw_boiling_c(double absolute_pa);
/* Pressure under a metre of water, Pa/m: density times g. */
double pw_pa_per_m(double density_kgm3);
/* Density for bounds and scales that need not know the temperature. */
#define PW_COLD_WATER_KGM3 1000.0

#endif
