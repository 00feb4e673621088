/* Holes: leaks, seats, nozzles. */
#ifndef PW_FORMULA_ORIFICE_H
#define PW_FORMULA_ORIFICE_H

/* Flow through a hole, Torricelli: Cd A sqrt(2 g h), odd in head. Near 0 sqrt(h) is replaced by h (h^2 +
 * h0^2)^(-1/4) with h0 = 1 mm, so that it is C1 with a finite slope > 0; 2.5e-7 low at 1 m.
 *   cd_area_m2 >= 0; slope (m2/s, may be NULL) dq/dh. */
double pw_orifice_m3s(double cd_area_m2, double head_m, double *slope);
/* Same for a pressure difference, Cd A sqrt(2 dp/rho), without the smoothing; negative dp gives negative flow. */
double pw_hole_m3s(double cd_area_m2, double pressure_pa, double density_kgm3);
/* Cd times area of a round hole. */
double pw_hole_cd_area_m2(double bore_m, double cd);
/* Cd times area of the hole that lets out flow_m3s under head_m > 0: Q / sqrt(2 g h). */
double pw_orifice_cd_area_m2(double flow_m3s, double head_m);
/* Flow of a tap that gives full_m3s from need_m (> 0) of head up: the square root of the head's part below (Wagner,
 * Shamir and Marks, J. Water Resour. Plann. Manage. 114(3), 1988, from memory); 0 at no head and under it. Below a
 * twentieth of need_m a parabola with the root's value and slope there takes over (own form), so that the slope stays
 * finite at zero. slope (m2/s) dq/dh: 0 where the flow is full or none. */
double pw_tap_m3s(double full_m3s, double need_m, double head_m, double *slope);
/* Ratio of leakage after and before a change of pressure: (after/before)^exponent; exponent 0.5 (fixed hole) .. 1.5
 * (soft pipe); both pressures > 0, else 0. */
double pw_leak_ratio(double before_pa, double after_pa, double exponent);

#endif
