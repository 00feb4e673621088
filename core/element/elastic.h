/* Elastic main: what the pipes of a delivery without a vessel take up by stretching. State: the water in it beyond that
 * at 0 gauge, m3.
 *
 * dV/dp = pipe volume / (rho a^2) with the wave speed a after Korteweg. Without it the pressure behind a shut valve
 * would have no value of its own. Below 0 gauge it is one of two:
 *   - closed to the air: a column that tears. Its pressure nears that of vapour while the pipes run empty.
 *   - open to the air at its upper end (the inlet of a tank): the water stands as high in its rising pipes as the
 *     pressure says, and what is above has run out of them: a main that drains, and has to be filled again before
 *     anything arrives at its upper end. Empty, it stands at 0 gauge.
 */
#ifndef PW_ELEMENT_ELASTIC_H
#define PW_ELEMENT_ELASTIC_H

#include "formula/water.h"
#include "site/site.h"

enum { PW_COLUMN_PARTS = 32 };

/* What has run out of the rising pipes of a main that is open to the air, while water stands this high in them. */
typedef struct pw_column {
    double top_pa; /* pressure at the foot of the full column; 0: closed to the air, there is no column */
    double out_m3[PW_COLUMN_PARTS + 1]; /* at equal steps of pressure from 0 to top_pa; the last is 0 */
    bool at_place[PW_MAX_PLACES], in_line[PW_MAX_LINES]; /* that it fills */
} pw_column;

typedef struct pw_elastic {
    double give_m3pa; /* m3 per Pa */
    double holds_m3;  /* what its pipes hold */
    double torn_pa;   /* gauge pressure of vapour there, < 0 */
    pw_column column;
} pw_elastic;

/* All lines of a site together; torn_pa < 0. */
pw_elastic pw_elastic_of(const pw_site *site, const pw_water *water, double torn_pa);
/* An equal part of it, of so many; at least 0.1 L per 100 kPa (hoses and trapped air; common practice, no source) and
 * 1 L. Without a column. */
pw_elastic pw_elastic_part(const pw_elastic *whole, int32_t parts);
/* Some of its column has run out, and air stands in its place. */
bool pw_elastic_drained(const pw_elastic *main, double volume_m3);
/* Gauge pressure, and the content at a gauge pressure >= 0. */
double pw_elastic_pa(const pw_elastic *main, double volume_m3);
double pw_elastic_m3(const pw_elastic *main, double gauge_pa);
/* The inverse of pw_elastic_pa at any pressure, and how it rises with the pressure, m3 per Pa. */
double pw_elastic_filled_m3(const pw_elastic *main, double gauge_pa, double *rises);

/* The column of a main at a place: the rising parts of all lines that open pipe joins to it, where a tank's inlet is
 * among their ends; else none. Each line counts from its near end up to its highest point; what lies beyond a summit
 * runs on to the other side. */
void pw_column_of(const pw_site *site, int32_t place, double pa_per_m, pw_column *out);

#endif
