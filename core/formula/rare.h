/* Counts of rare events. */
#ifndef PW_FORMULA_RARE_H
#define PW_FORMULA_RARE_H

#include <stdint.h>

/* Exact one-sided upper bound of a Poisson mean after k events (Garwood, Biometrika 28, 1936). confidence in (0, 1). */
double pw_poisson_upper(int32_t events, double confidence);

#endif
