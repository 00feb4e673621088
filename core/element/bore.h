/* Sources: bores, open waters and mains. A bore has a state: the water in its casing above the intake, m3; the others
 * hold their level or pressure whatever is drawn.
 */
#ifndef PW_ELEMENT_BORE_H
#define PW_ELEMENT_BORE_H

#include "element/condition.h"
#include "site/site.h"

/* Height of the bore's water over its intake for what its casing holds, m. */
double pw_bore_over_m(const pw_source *source, double volume_m3);
/* What the casing holds over the intake when nobody draws; below 0 when the level stands below the intake. */
double pw_bore_rest_m3(const pw_source *source, const pw_condition *condition, int32_t item);
/* What the aquifer gives at this content. */
double pw_bore_gives_m3s(const pw_source *source, const pw_condition *condition, int32_t item, double volume_m3);

/* Head of the source's water, m, with its place at place_m: of a main its pressure as a height. volume_m3 is a bore's.
 * wet: how far the water covers the intake, 1 .. 0; of a main whether pressure is left. */
double pw_source_head_m(const pw_source *source, const pw_condition *condition, int32_t item, double place_m,
                        double pa_per_m, double volume_m3, double *wet);

pw_condition_slots pw_bore_slots(void);

#endif
