/* What advice says, in English. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"advise.axis-lost", "water lost a year"},
    {"advise.axis-stops", "part of the healthy years that are stopped"},
    {"advise.basis", "What this rests on"},
    {"advise.blind", "What stays blind"},
    {"advise.blind-from-to",
     "Leaks from {0} to {1}: up to {2} a day. None of the limits tried sees them without stopping a healthy "
     "site."},
    {"advise.blind-none", "No leak that was tried goes unseen."},
    {"advise.blind-test",
     "What closes such a band is no limit but a test: shut every outlet, wait until the pump stops, and time "
     "the fall to cut-in. Do it at every visit."},
    {"advise.blind-unknown", "No leak sizes were tried."},
    {"advise.blind-up-to",
     "Leaks up to {1}: up to {2} a day. None of the limits tried sees them without stopping a healthy site."},
    {"advise.chart", "Healthy years stopped, and water lost before a fault is seen"},
    {"advise.chart-best", "best that these forms can do"},
    {"advise.chart-words",
     "The least water that must be lost for so many healthy years stopped. The present settings lose {0} a "
     "year, the advised ones {1}."},
    {"advise.checked",
     "The advised list was simulated at work: the first watch acted when it was foretold in {0} of {1} "
     "simulations."},
    {"advise.column-cost", "cost a year"},
    {"advise.column-lost", "water lost a year"},
    {"advise.column-settings", "settings"},
    {"advise.column-stopped", "healthy years stopped"},
    {"advise.column-unseen", "faults unseen"},
    {"advise.costs", "What it costs"},
    {"advise.costs-caption", "Present and advised settings on the same simulations"},
    {"advise.earns", "It earns {0} a year."},
    {"advise.extra-current", "Measuring the motor current, which this site does not, would spare at most {0} a year."},
    {"advise.extra-flow", "A flow switch, which this site lacks, would spare at most {0} a year."},
    {"advise.extra-level", "A level sensor in the tank, which this site lacks, would spare at most {0} a year."},
    {"advise.extra-pressure", "A pressure sensor, which this site lacks, would spare at most {0} a year."},
    {"advise.extra-supply", "Measuring the supply voltage, which this site does not, would spare at most {0} a year."},
    {"advise.extra-test",
     "A test each day, as a meter read at night and in the morning with every outlet shut, would spare at "
     "most {0} a year of what unseen leaks cost."},
    {"advise.extra-winding", "A sensor in the motor winding, which this site lacks, would spare at most {0} a year."},
    {"advise.goes", "{1?Goes, because its sensor does not count|Goes, because it earns nothing}: {0}"},
    {"advise.keep", "Keep the settings as they are: nothing that was tried is better."},
    {"advise.kind", "{0} ({1} of {2})"},
    {"advise.kinds-more", "{0:one kind of fault|{0} kinds of fault} more"},
    {"advise.leaks", "leaks from {0} to {1}"},
    {"advise.left", "What stays as it is, and why"},
    {"advise.left-at-most",
     "At most so many starts in a time: a start too many waits, and taps run dry meanwhile. It spares the "
     "motor and tells nobody of a fault; the watch on starts does that."},
    {"advise.left-rest",
     "Rests and least running times spare motor and vessel, not water: they come from the limits of the "
     "equipment."},
    {"advise.left-retry",
     "{0?Retries stay: a fault that comes and goes is tried again as before|No retry is proposed}. Whether a "
     "pump may start by itself after a lock out depends on who can be hurt and who can come, not on these "
     "sums."},
    {"advise.left-start",
     "What starts and stops the pump: it follows from what the outlets need, the vessel and the pump, and so "
     "from sizing. Where no watch sees a fault, another cut-in or cut-out would not show it either; it would "
     "only move the count of starts."},
    {"advise.left-starts",
     "No healthy year had {0} starts of a pump in an hour; the equipment bears {1}. {2?So no start needs to "
     "wait|So it may be started oftener than it bears: that needs a larger vessel or a wider span from cut-in "
     "to cut-out, no watch}."},
    {"advise.left-window",
     "Hours in which the pump may run: they come from tariffs, quiet and habits, which the sheet does not "
     "price."},
    {"advise.list", "Type these settings"},
    {"advise.method",
     "{0} limits were tried on {1:one healthy year|{1} healthy years}, {2} faults and {3} sizes of leak: each "
     "was simulated once with every watch looking on, which answers all limits at once."},
    {"advise.misses-from", "From {0} on something would be missed that is seen now."},
    {"advise.new-line", "{0}   <- {1?new|changed}"},
    {"advise.no-miss", "None of the looser ones tried would miss more."},
    {"advise.no-stop", "None of the stricter ones tried would stop the healthy site."},
    {"advise.not-shown",
     "So few healthy years, or so little in them that differs, cannot show at most {0:one false stop|{0} "
     "false stops} in {1} years, so the limits keep more distance than they otherwise would. Ask for more "
     "with --years."},
    {"advise.of", "{0} of {1}"},
    {"advise.of-homes", "{0:one year of one household|{0} years of {0} different households}"},
    {"advise.of-repeats", "{0:one year|{0} years} of the same week over and over"},
    {"advise.of-trace", "{0:one year|{0} years} of a record of {1} days over and over"},
    {"advise.of-years", "{0:one year|{0} years} of different draws"},
    {"advise.prices",
     "Water at {0} a cubic metre, a call-out at {1}, a new pump at {2}, in one currency; each kind of fault "
     "once in {3} years, its severities alike (own choices: set yours). A fault that nobody sees goes on for "
     "{4}, and costs a call-out more."},
    {"advise.prove-it", "Before you type them: prove the list, and try each watch on site."},
    {"advise.row-advised", "advised"},
    {"advise.row-nothing", "without the watches chosen here"},
    {"advise.row-present", "present"},
    {"advise.seen-briefly",
     "Use was measured for {0} only: that shows neither how long a hose may run nor how often a pump starts "
     "on a busy day, so limits of running time and starts stay as they are. A household or random draws in "
     "the sheet would let them be chosen."},
    {"advise.sees-first", "Of what was tried it is the first to see {0}."},
    {"advise.slack",
     "The healthy years stay as they are with every chosen limit {0} times as strict. {1?The choice may be "
     "{2} a year from the best|The choice is the best there is among these limits}."},
    {"advise.stands-behind",
     "Whatever it would see another one sees first: it is there for the day on which that one fails."},
    {"advise.stops", "The advised settings stopped {0} of {1} for nothing: at most {2} false stops a year with {3} % "
                     "confidence."},
    {"advise.stops-from", "From {0} on it would stop the healthy site."},
    {"advise.stops-no-bound",
     "The advised settings stopped {0} of {1} for nothing. That repeats too soon to bound other weeks."},
    {"advise.title", "Advice"},
    {"advise.type",
     "Type these settings: {0:one sentence|{0} sentences} of {2} new or changed, {1:one|{1}} taken out."},
    {"advise.why", "Why, and how far from the edges"},
    {"advise.why-high-current", "A jammed or overloaded pump takes more current."},
    {"advise.why-high-pressure", "A closed valve or a stop that fails lets the pressure rise."},
    {"advise.why-low-current", "A pump without water takes less current."},
    {"advise.why-low-pressure", "A burst keeps the pressure down while the pump runs."},
    {"advise.why-no-flow", "A pump that moves no water runs dry or against a closed valve."},
    {"advise.why-run", "A large leak, a burst or a lost stop keeps the pump running."},
    {"advise.why-run-night", "At night nobody draws for so long: what keeps the pump running is a leak."},
    {"advise.why-starts", "A leak, or a vessel without air, starts the pump again and again."},
    {"advise.why-starts-night", "At night nobody draws: a small leak shows in the starts that are left."},
    {"advise.why-starts-row", "A leak starts the pump at even intervals, night and day; people pause."},
};
/* clang-format on */

SAY_CATALOGUE(say_en_advise)
