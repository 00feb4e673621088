/* Loss coefficients of fittings, on the velocity in the line's own bore.
 * Methods: 3K  K = K1/Re + Ki (1 + Kd / d^0.3)  d in inches, Darby, Chem. Eng. April 2001
 *          2K  K = K1/Re + Kinf (1 + 1/d)      Hooper, Chem. Eng. 24 August 1981
 *          fixed K from a handbook, with the source in the table.
 */
#ifndef PW_FORMULA_FITTING_H
#define PW_FORMULA_FITTING_H

#include <stdint.h>

typedef enum pw_fitting_method { PW_FITTING_3K, PW_FITTING_2K, PW_FITTING_FIXED } pw_fitting_method;

typedef struct pw_fitting_kind {
    const char *name; /* our plain English: "elbow 90" */
    pw_fitting_method method;
    double k1, ki, kd; /* fixed: ki is K */
    const char *source;
} pw_fitting_kind;

int32_t pw_fitting_count(void);
const pw_fitting_kind *pw_fitting_row(int32_t kind); /* NULL when out of range */
const char *pw_fitting_name(int32_t kind);           /* "" when out of range */
/* Row of a name; case, spaces, hyphens and a plural s do not matter. -1 when there is none. */
int32_t pw_fitting_find(const char *name);

/* The two methods; reynolds held at 1 and above, bore at 0.1 mm. */
double pw_fitting_2k(double k1, double k_infinite, double bore_m, double reynolds);
double pw_fitting_3k(double k1, double ki, double kd, double bore_m, double reynolds);

/* K at this bore and Reynolds number (held at 1 and above). 0 for a kind out of range. */
double pw_fitting_k(int32_t kind, double bore_m, double reynolds);
/* K for fully turbulent flow. */
double pw_fitting_k_turbulent(int32_t kind, double bore_m);

/* K from the flow coefficient Kv (m3/h at 1 bar): K = 2 dp/(rho v^2) = 1.5992e-3 d_mm^4/Kv^2 (IEC 60534 definition with
 * 1000 kg/m3, own derivation). */
double pw_k_of_kv(double kv_m3h, double bore_m);

#endif
