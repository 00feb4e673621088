/* The program's way of a day against the plain one: what is compared, and how close it must come.
 *
 * Equal: starts in all and of each pump, lock outs, whether a motor burnt out, whether a mistyped order was read.
 * Within bounds, h being the step of the plain simulation (10 ms, where nothing else is said):
 *   run time, in all and of each pump, and times of dry running and dead-heading: h at each end of each run (2 h a
 *     start), RELATIVE, and SECONDS: where the pressure falls slowly a look that came later meets its threshold later
 *     by far more than h, and the end of the comparison cuts off the run that began so;
 *   energy, volume pumped: the most that a pump takes in or gives, for as long as its run times may be apart (and
 * LITRES); volumes delivered, leaked, spilled: RELATIVE and LITRES; highest and lowest pressure at the first pressure
 * sensor: the most that the plain simulation saw it move within one step, and PASCALS; temperatures of windings and of
 * water in pumps: RELATIVE and KELVINS; the moment a motor burns out: a second. A start more or less makes two days
 * different; bounds do not widen for it.
 */
#ifndef PW_TEST_TWIN_COMPARE_H
#define PW_TEST_TWIN_COMPARE_H

#include "plain.h"

#define RELATIVE 0.002
#define SECONDS  1.0
#define LITRES   0.5e-3
#define PASCALS  200.0
#define KELVINS  0.5

typedef struct tally {
    int32_t same, apart, left_out;
    int64_t laws; /* looks at the plain simulation's own laws */
    double worst; /* part of a bound that a day that agrees took up */
} tally;

/* A site sheet with its measured traces, or NULL with what is wrong in `problems`. */
pw_plant *twin_load(pw_arena *arena, const char *path, pw_problems *problems);

/* Simulates both ways, prints a line and counts it. */
void twin_compare(pw_arena *arena, const pw_plant *plant, const pw_run_options *options, int64_t step_ms,
                  const char *title, tally *sum);

/* The last line; exit code. */
int twin_end(const tally *sum);

#endif
