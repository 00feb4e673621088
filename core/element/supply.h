/* Supply: what the sheet says of its voltage through the day, and what the pumps make of the power that is there.
 *
 * A course that is straight between its points is followed in steps, each at the mean of its stretch: at most
 * PW_SUPPLY_STEP of the nominal voltage, or PW_SOLAR_STEP of the day's greatest power (own choice). Between two steps
 * the supply holds, so that each is an event of the simulation like any other.
 */
#ifndef PW_ELEMENT_SUPPLY_H
#define PW_ELEMENT_SUPPLY_H

#include "element/model.h"

#define PW_SUPPLY_STEP 0.002
#define PW_SOLAR_STEP  0.04

/* t_ms: since the simulation began, which is at midnight. */

/* Voltage of the course, as a part of the supply's; 1 without a course. */
double pw_supply_part(const pw_site *site, int64_t t_ms);
/* Power that the pumps may take together, W; PW_INF where nothing limits it. */
double pw_supply_power_w(const pw_site *site, int64_t t_ms);
/* When either changes next, after t_ms; INT64_MAX: never. */
int64_t pw_supply_next_ms(const pw_site *site, int64_t t_ms);
/* A generator or a battery: its voltage follows the load, and the moment tells it. */
bool pw_supply_gives_way(const pw_site *site);
/* Part of the supply's voltage that it keeps while this motor starts; 1 where it holds. */
double pw_supply_start_part(const pw_model *model, const pw_condition *condition, int32_t pump);
/* How fast the charge of a battery changes, parts of its capacity a second; 0 without one. */
double pw_supply_charge_rate(const pw_site *site, const pw_condition *condition, const pw_moment *moment);
/* A drive turns the pumps (solar): they start without a surge of current and slow down instead of stalling. */
bool pw_supply_drives(const pw_site *site);

/* The voltage becomes this part of what it is; the speeds of the pumps follow. */
void pw_supply_voltage(const pw_model *model, double part, pw_condition *condition);
/* What the sheet says of this moment, into a healthy condition: faults come on top. */
void pw_supply_impose(const pw_model *model, int64_t t_ms, pw_condition *condition);

pw_condition_slots pw_supply_slots(void);

#endif
