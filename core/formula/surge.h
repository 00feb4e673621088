/* Pressure waves in pipes. */
#ifndef PW_FORMULA_SURGE_H
#define PW_FORMULA_SURGE_H

#include "formula/water.h"

/* Speed of pressure waves in an elastic pipe, Korteweg: sqrt(K/rho) / sqrt(1 + c1 K D / (E e)); modulus 0 or wall 0:
 * rigid. c1 0 .. 2 by how the pipe is held (1: with joints that give). */
double pw_wave_speed_ms(const pw_water *water, double bore_m, double wall_m, double modulus_pa, double c1);
/* Pressure rise when a column is stopped at once: rho a v, Joukowsky (1898). */
double pw_joukowsky_pa(double density_kgm3, double wave_ms, double velocity_ms);
/* Time of a wave to the far end of a pipe and back: 2 L / a. */
double pw_wave_return_s(double length_m, double wave_ms);
/* Part of the Joukowsky rise that is left when the valve takes closing_s: the return time over it, Michaud's
 * 2 rho L v / t; 1 when it is quicker than the wave. */
double pw_slow_closing_part(double return_s, double closing_s);

/* Velocity that carries air down and out of a pipe which falls from a high point: sqrt(g D) (0.25 sqrt(sin a) + 0.825),
 * Wisner, Mohsen and Kouwen 1975 (from memory; an envelope of tests, so on the safe side). fall: sine of its slope,
 * held within 0 .. 1. A slower flow leaves the air where it is. */
double pw_air_clearing_ms(double bore_m, double fall);

#endif
