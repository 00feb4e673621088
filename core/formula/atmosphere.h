/* Air pressure by altitude: ISO 2533:1975 standard atmosphere, troposphere (-2,000 .. 11,000 m, held within).
 * altitude_m is geometric; geopotential height h = r z / (r + z) with r = 6,356,766 m.
 */
#ifndef PW_FORMULA_ATMOSPHERE_H
#define PW_FORMULA_ATMOSPHERE_H

double pw_atmosphere_pa(double altitude_m); /* absolute */

#endif
