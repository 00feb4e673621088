/* The diagnosis from readings, in English. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"diagnose.balance",
     "By the counters alone {0} left while nothing was drawn, and the vessel gave {1} between a stop and the "
     "next start (pump {2} while it runs)."},
    {"diagnose.balance-agrees", "The sheet says {0}: both agree, the vessel is as it should be."},
    {"diagnose.balance-large",
     "The sheet says {0}, less than that: cut-in, cut-out or the vessel are not as the sheet says, or the "
     "pump gives less."},
    {"diagnose.balance-small",
     "The sheet says {0}, more than that: the vessel has lost air, its precharge is wrong, or cut-in and "
     "cut-out lie closer together than the sheet says."},
    {"diagnose.falls", "at most the first reading, {0}: the gauge falls"},
    {"diagnose.falls-by", "{0}: falls by {1}"},
    {"diagnose.fault", "{0}"},
    {"diagnose.fault-of", "{0}, {1} ({2})"},
    {"diagnose.healthy", "Nothing wrong"},
    {"diagnose.healthy-counters", "a healthy site: {0} starts, {1} running"},
    {"diagnose.healthy-rest", "a healthy site: falls by {0}"},
    {"diagnose.how",
     "Each possibility was simulated through the same readings, at every severity and with people drawing "
     "less or more than the sheet says. Faults that are not in the list were not considered."},
    {"diagnose.kinds", "counters, quiet counters, gauge at rest or gauge with the pump shut off"},
    {"diagnose.lead", "Most likely: {0}, {1}. The readings leave others open."},
    {"diagnose.lead-sure", "{0}: {1} by these readings."},
    {"diagnose.more-use", "More water is drawn, {0} times what the sheet says"},
    {"diagnose.needs", "a reading of this kind needs it"},
    {"diagnose.next-heading", "What to read next"},
    {"diagnose.next-isolated",
     "Switch the pump off, shut the valve behind it and every tap, and watch the gauge from {0} on for {1}. "
     "What falls now is lost on the house's side, not back through the pump."},
    {"diagnose.next-quiet",
     "Draw nothing for {0}, for instance overnight, and read the starts of {1} before and after."},
    {"diagnose.next-rest", "Switch the pump off, shut every tap, and watch the gauge from {0} on for {1}."},
    {"diagnose.no-next",
     "No reading of those that can be simulated is left. Look at the site with the list above in hand."},
    {"diagnose.probability", "probability"},
    {"diagnose.ran-most", "at most the time that it took, {0}"},
    {"diagnose.read-counters", "{0}: {1} {1:start|starts}, {2} running, in {3}, drawn as usual"},
    {"diagnose.read-isolated", "gauge with the pump shut off: {0} to {1} in {2}, all shut"},
    {"diagnose.read-quiet", "{0}: {1} {1:start|starts}, {2} running, in {3} while nothing was drawn"},
    {"diagnose.read-rest", "gauge at rest: {0} to {1} in {2}, pump off, all shut"},
    {"diagnose.reading", "an object with what, over, and starts and ran or from and to"},
    {"diagnose.readings", "1 to {0} readings"},
    {"diagnose.readings-heading", "What was read"},
    {"diagnose.rivals-heading", "What it speaks for"},
    {"diagnose.span", "{0} to {1}"},
    {"diagnose.starts-so", "{0}: {1} starts"},
    {"diagnose.title", "Diagnosis"},
    {"diagnose.unexplained",
     "None of the possibilities foretells these readings. Check the readings and the sheet before you believe "
     "the list."},
    {"diagnose.what", "possibility"},
};
SAY_CATALOGUE(say_en_diagnose)
