/* What a proof found and what to do next, in English. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"propose.add", "{0?Or add|Add} \"{1}\"{2? with \"{2}\"}{3?: {3}}."},
    {"propose.lock-instead", "The warning leaves the pump running: let it stop it, \"{0}\"."},
    {"propose.more-room", "Find the sentence that stopped it and give it more room."},
    {"propose.relief-valve", "Sentence {0} comes after the harm: a pressure relief valve is what protects the pipes."},
    {"propose.shorten", "{0?Or shorten|Shorten} sentence {1}: \"{2}\"{3?: {3}}."},
    {"propose.sooner", "Sentence {0} comes after the harm: shorten its time."},
    {"propose.sooner-dry",
     "Sentence {0} sees it, but the pump stands only {1} dry, all tries together: shorten its time and what "
     "is ignored after a start."},
    {"propose.warning-heard", "A person must see to it: let the warning be heard by day and night."},
    {"propose.why-at-rest", "a pump that is told to stop and still takes current"},
    {"propose.why-high-current", "a tenth over the current on its plate"},
    {"propose.why-low-current", "it takes about {0} with water and {1} without: measure both"},
    {"propose.why-pressure", "the pressure stays below {0} in health, here it reaches {1}"},
    {"propose.why-run", "the longest healthy run is {0}, here one lasts {1}"},
    {"propose.why-standing", "it never starts, so no limit of its run sees it"},
    {"propose.why-starts", "a healthy hour has {0} at most, here one has {1}"},
    {"propose.why-winding", "its insulation stands {0}"},
};
/* clang-format on */

SAY_CATALOGUE(say_en_propose)
