/* A catalogue of pumps as a table: one row for each point of a curve, rows of one pump under each other.
 *
 * Headings, in any order, a unit behind in brackets or else in each field: name, flow, head, efficiency, power, NPSH,
 * motor power, phases, voltage, motor efficiency, power factor, price, diameter. What belongs to the pump is read in
 * its first row. Lines that begin with # are remarks. The form is described in docs/sizing.md.
 */
#ifndef PW_ADAPT_CSV_PUMPS_H
#define PW_ADAPT_CSV_PUMPS_H

#include "base/status.h"
#include "base/text.h"

/* Writes the list of pumps as JSON, as the door takes it. Problems have line and column. */
pw_status pw_csv_pumps(pw_arena *arena, const char *bytes, size_t length, pw_text *out, pw_problems *problems);

#endif
