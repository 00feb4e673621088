/* Tank: open to the air, straight sides. State: the water in it, m3. Its float valve is in element/valve.h; no fault
 * changes the tank itself.
 */
#ifndef PW_ELEMENT_TANK_H
#define PW_ELEMENT_TANK_H

#include "site/site.h"

double pw_tank_water_m(const pw_tank *tank, double volume_m3); /* depth */
/* How far water covers the outlet at the floor: it runs part full over the last 5 cm (own choice). 1 .. 0 */
double pw_tank_wet(double depth_m);
/* Over the overflow, as a broad-crested weir 0.2 m wide (own choice): what matters is that it carries any inflow within
 * a few centimetres. */
double pw_tank_spill_m3s(const pw_tank *tank, double volume_m3);

#endif
