/* Shared by the units files and by nobody else. */
#ifndef PW_BASE_UNITS_INSIDE_H
#define PW_BASE_UNITS_INSIDE_H

#include "base/units.h"

enum { PW_UNIT_NAME_SIZE = 32 };

/* The row of a canonical spelling, NULL when there is none. With any_case, also when only case differs, as long as all
 * rows so found mean the same and no leading m stands for M. */
const pw_unit *pw_unit_find(const char *canonical, bool any_case);
/* Longest unit at the start of text: bytes used (0: none) and its row. */
size_t pw_unit_scan(const char *text, bool any_case, const pw_unit **out);
/* The whole of text as one canonical spelling, for near matches; false when it is not made of unit words. */
bool pw_unit_canonical(const char *text, char *out, int32_t out_size);
/* The row as seen by a dimension: m and ft of water for a pressure, a difference for a temperature rise; NULL when the
 * unit does not belong to it. */
bool pw_unit_fits(const pw_unit *unit, pw_dimension dimension, pw_unit *out);
double pw_unit_si(const pw_unit *unit, double value);

/* An example: "250 kPa" */
const char *pw_dimension_example(pw_dimension dimension);

#endif
