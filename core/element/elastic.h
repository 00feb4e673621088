/* Elastic main: what the pipes of a delivery without a vessel take up by stretching. State: the water in it beyond that
 * at 0 gauge, m3; it may be negative: a column that tears, never below -90 kPa.
 *
 * dV/dp = pipe volume / (rho a^2) with the wave speed a after Korteweg. Without it the pressure behind a shut valve
 * would have no value of its own.
 */
#ifndef PW_ELEMENT_ELASTIC_H
#define PW_ELEMENT_ELASTIC_H

#include "formula/water.h"
#include "site/site.h"

/* Where a column tears, gauge. */
#define PW_TORN_PA (-90e3)

typedef struct pw_elastic {
    double give_m3pa; /* m3 per Pa */
    double holds_m3;  /* what its pipes hold */
} pw_elastic;

/* All lines of a site together. */
pw_elastic pw_elastic_of(const pw_site *site, const pw_water *water);
/* An equal part of it, of so many; at least 0.1 L per 100 kPa (hoses and trapped air; common practice, no source) and
 * 1 L. */
pw_elastic pw_elastic_part(const pw_elastic *whole, int32_t parts);
/* Gauge pressure, and the content at a gauge pressure >= 0. */
double pw_elastic_pa(const pw_elastic *main, double volume_m3);
double pw_elastic_m3(const pw_elastic *main, double gauge_pa);

#endif
