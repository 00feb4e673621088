/* Pressure vessel: its gas, by the formula or, quicker, from a table of it. State: the water in it, m3. */
#ifndef PW_ELEMENT_VESSEL_H
#define PW_ELEMENT_VESSEL_H

#include "base/arena.h"
#include "base/status.h"
#include "element/condition.h"
#include "site/site.h"

typedef struct pw_vessel_law {
    double volume_m3, precharge_pa, polytropic, atmosphere_pa;
    double least_air;  /* least gas fraction: stands for the stretch of the pipes (pw_vessel_stretch) */
    const double *gas; /* table of absolute pressure and slope against filling, healthy charge; NULL: the formula */
} pw_vessel_law;

/* give_m3pa: what the pipes beside it take up, m3 per Pa; it counts as gas with the same give at 4 bar. */
void pw_vessel_law_of(const pw_vessel *vessel, double atmosphere_pa, double give_m3pa, pw_vessel_law *out);
/* worst_error, if not NULL, is raised to the largest relative error of the table. PW_MEMORY when the arena is full. */
pw_status pw_vessel_tabulate(pw_arena *arena, pw_vessel_law *law, double *worst_error);

/* Gauge pressure of the gas for a volume of water, and the volume for a pressure. */
double pw_vessel_gauge_pa(const pw_vessel_law *law, const pw_condition *condition, int32_t item, double water_m3);
/* The inverse of pw_vessel_gauge_pa to its last digits, and how it rises with the pressure, m3 per Pa. */
double pw_vessel_filled_m3(const pw_vessel_law *law, const pw_condition *condition, int32_t item, double gauge_pa,
                           double *rises);
double pw_vessel_holds_m3(const pw_vessel_law *law, const pw_condition *condition, int32_t item, double gauge_pa);

pw_condition_slots pw_vessel_slots(void);

#endif
