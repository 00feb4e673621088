/* Small helpers for tests of formulas: closeness, and slopes checked against differences. */
#ifndef PW_TEST_WATER_KIT_H
#define PW_TEST_WATER_KIT_H

#include <math.h>
#include <stdio.h>

/* True when got is within relative * |want| + absolute of want; says so when not. */
static inline int near_to(double got, double want, double relative, double absolute)
{
    const int near = fabs(got - want) <= relative * fabs(want) + absolute;
    if (!near) {
        printf("got %.17g, wanted %.17g, off by %.3g\n", got, want, got - want);
    }
    return near;
}

#define ASSERT_NEAR(got, want, relative, absolute) assert_true(near_to((got), (want), (relative), (absolute)))

#endif
