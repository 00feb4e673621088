/* The fit of a sheet to a log, in English. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"fit.after", "as fitted"},
    {"fit.before", "as the sheet says"},
    {"fit.compare-heading", "Log and sheet"},
    {"fit.demand", "what is drawn"},
    {"fit.factor", "times the sheet's"},
    {"fit.friction", "roughness of the pipes"},
    {"fit.head", "pump's head"},
    {"fit.how", "Compared is what was found in the log with what the site would show with other numbers: who drew when "
                "is not in the sheet. Intervals hold 90 %, all unknowns together."},
    {"fit.interval", "90 % within"},
    {"fit.is", "fitted"},
    {"fit.lead", "{0} of {1} {1:unknown is|unknowns are} told by this log."},
    {"fit.leak", "leak"},
    {"fit.leak-flows",
     "A leak of about {0} ({1}) flows besides. It is none of the sheet's numbers and is not written there: "
     "find it and mend it."},
    {"fit.least-log", "a log of at least {0}"},
    {"fit.log-current", "the current"},
    {"fit.log-flow", "the flow"},
    {"fit.log-level", "the water level"},
    {"fit.log-power", "the power"},
    {"fit.log-pressure", "the pressure"},
    {"fit.misfit", "What was found lies {0} spreads from what the sheet says, and {1} from what was fitted (root mean "
                   "square)."},
    {"fit.most-numbers", "at most {0} unknowns at once"},
    {"fit.no", "not told"},
    {"fit.number", "{0}"},
    {"fit.number-to-fit", "the path of a number of the sheet above 0 (* for each index), or leak"},
    {"fit.off", "changes"},
    {"fit.path", "number"},
    {"fit.precharge", "precharge of the vessel"},
    {"fit.refused", "{0}: anything of {1} fits. No signal of a logger would tell it; measure it by itself."},
    {"fit.refused-beside",
     "{0}: anything of {1} fits, because it shows as {2} does. Measure one of the two by itself."},
    {"fit.refused-finer",
     "{0}: anything of {1} fits. The rows stand too far apart for runs as short as these: log in finer steps."},
    {"fit.refused-heading", "What this log cannot tell"},
    {"fit.refused-longer", "{0}: anything of {1} fits. A longer log of the same signals would tell it."},
    {"fit.refused-measure", "{0}: anything of {1} fits. Log {2} as well, and it is told."},
    {"fit.stands", "stands"},
    {"fit.title", "Fit to a log"},
    {"fit.told", "verdict"},
    {"fit.unexplained",
     "Even fitted, the sheet does not show what was found: something is different that was not fitted, or is "
     "wrong on the site (diagnose). Do not take these numbers over before that is known."},
    {"fit.values-heading", "Numbers of the sheet"},
    {"fit.was", "in the sheet"},
    {"fit.what", "unknown"},
};

SAY_CATALOGUE(say_en_fit)
