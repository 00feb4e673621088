/* What a person on site would ask about a sheet, in English. */
#include "say/catalogue.h"

static const say_row rows[] = {
    {"check.above-cut-in", "{0}, above the cut-in of {1}"},
    {"check.above-cut-out", "{0}, above the cut-out of {1}"},
    {"check.always-holds", "the sensor never reads anything else, so this always holds"},
    {"check.as-high-as-lifted", "at most {0}: as high as pumps and sources lift without any flow"},
    {"check.at-least-flow", "at least {0}, its least flow"},
    {"check.below-cut-in", "a little below the cut-in: {0}"},
    {"check.bore-for-switch", "a bore in which {0} runs faster than {1}"},
    {"check.bore-gives", "{0}: at most {1} with the water at the intake"},
    {"check.bore-runs-dry", "the bore runs dry at every start: a typing slip, or far too large a pump"},
    {"check.cut-out-of", "a cut-out of {0}"},
    {"check.ground-at", "ground at {0}"},
    {"check.inside-range", "a pressure inside the range of the sensor {0}, {1} to {2}"},
    {"check.it-cavitates", "it cavitates there: less head and flow, and its impeller wears"},
    {"check.less-than-shut", "less than {0}, what stands there with the pump against a shut valve"},
    {"check.lifts-at-most", "less than {0} over its water: as high as the air can push water here, without any flow"},
    {"check.lifts-by", "{0} over its water"},
    {"check.more-beside-pump", "more, beside a pump that gives up to {0}"},
    {"check.never-holds", "the sensor never reads that, so this never holds, whatever the pressure is"},
    {"check.never-stops", "the pump never reaches it, so this never stops it"},
    {"check.no-water-reaches", "no water ever reaches {0}: a typing slip, or too small a pump"},
    {"check.no-water-up", "no water comes up to it, and nothing is delivered"},
    {"check.not-over-summit",
     "water does not come over it to {0}: a typing slip, too small a pump, or a siphon that somebody has to "
     "fill first and that air ends"},
    {"check.npsh-there", "{0} of NPSH at {1}"},
    {"check.npsh-wanted", "at least the {0} that the pump asks for there"},
    {"check.pressure-above", "pressure above {0}"},
    {"check.pressure-below", "pressure below {0}"},
    {"check.pump-gives-at", "no more than {0} of this pump at {1}"},
    {"check.starts-in-hour", "{0}: up to {1} starts in an hour"},
    {"check.switch-makes", "{0}: it makes at {1}"},
    {"check.switch-never-makes", "this flow switch never makes"},
    {"check.under-least-flow",
     "a small draw holds the pump below its least flow: its water warms and it wears; a lower cut-out, a "
     "smaller pump or a larger vessel helps"},
    {"check.value", "{0}"},
    {"check.vessel-never-fills", "no water ever goes into this vessel: the pump starts and stops at once"},
    {"check.vessel-runs-empty", "the vessel is empty before the pump starts, and the pressure falls away"},
    {"check.vessel-too-small", "a vessel far too small: the pump hunts while a tap runs"},
    {"check.volume-for", "about {0} for {1} in an hour, the strictest limit of equipment and settings"},
    {"check.water-must-rise", "{0}, so that water must rise to {1}"},
};

SAY_CATALOGUE(say_en_check)
