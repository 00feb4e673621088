/* Common to the tests of the elements: near or not. */
#ifndef ELEMENT_KIT_H
#define ELEMENT_KIT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/num.h"
#include "element/condition.h"

static inline void near_at(double got, double expected, double relative, const char *file, int line)
{
    if (!(pw_abs(got - expected) <= relative * pw_max(pw_abs(expected), 1e-12))) {
        print_error("got %.15g, expected %.15g\n", got, expected);
        _fail(file, line);
    }
}
#define NEAR(got, expected, relative) near_at((got), (expected), (relative), __FILE__, __LINE__)

/* The slope that a law tells against the one that its values show. */
#define SLOPE_FITS(low, high, step, slope, relative) NEAR(((high) - (low)) / (step), (slope), (relative))

#endif
