/* What is taken at a place: outlets and holes. Heads over the place, m of the water; slopes d flow / d head, m2/s. */
#ifndef PW_ELEMENT_OUTLET_H
#define PW_ELEMENT_OUTLET_H

#include "element/condition.h"
#include "site/site.h"

/* An outlet, pump or valve that needs no pressure still fades over this head, so that flows stop at empty rather than
 * jump. */
#define PW_FADE_M 0.05

/* The head from which on an outlet is served in full. */
double pw_outlet_needs_m(const pw_outlet *outlet, double pa_per_m);
/* Full flow from the needed head up, less below: pw_tap_m3s (formula/orifice.h). */
double pw_outlet_m3s(const pw_outlet *outlet, double pa_per_m, double wanted_m3s, double over_m, double *slope);

/* A hole; below the air's pressure it takes in air, no water. A relief valve lifts over a tenth of its pressure. */
double pw_leak_m3s(const pw_leak *leak, double pa_per_m, double over_m, double *slope);

#endif
