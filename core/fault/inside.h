/* Shared inside core/fault only. */
#ifndef PW_FAULT_INSIDE_H
#define PW_FAULT_INSIDE_H

#include "fault/fault.h"

/* Ends of the scales of leaks, common practice, no source: a leak that drips, in L/min; the largest leak and the
 * largest burst as parts of the pump's flow. docs/faults.md says what each end means on site. */
#define FAULT_LEAST_LPM          0.2
#define FAULT_LEAK_MOST_OF_PUMP  0.3
#define FAULT_BURST_MOST_OF_PUMP 1.5

bool fault_is_kind(pw_fault_kind kind);
int32_t fault_usual_leak_place(const pw_site *site);

#endif
