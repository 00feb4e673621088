/* Open tank with straight sides, its float valve and its overflow. */
#ifndef PW_FORMULA_TANK_H
#define PW_FORMULA_TANK_H

/* Depth of water for a volume; area_m2 > 0. Below 0 for a negative volume, which a solver may try. */
double pw_tank_depth_m(double area_m2, double volume_m3);

/* Opening of a float valve at a depth of water: 1 at and below closes - band, 0 at and above closes,
 * C1 between (smooth step; the true law of each valve differs: own form). `passing` is the least opening of a worn
 * valve, 0 .. 1. slope is d opening/d depth, may be NULL. */
double pw_float_opening(double depth_m, double closes_m, double band_m, double passing, double *slope);

/* Loss coefficient on the seat's velocity of a fully open float valve, its jet into the air included: 1/Cd^2 with Cd
 * = 0.6 (sharp edge, common practice). */
#define PW_FLOAT_VALVE_K 2.78

/* Flow over a broad-crested weir, 1.7 b h^1.5 (handbook coefficient, from memory), 0 for h <= 0. b in m, h the height
 * of the water over its crest. */
double pw_weir_m3s(double width_m, double over_m);

#endif
