/* Single formulas by name:
 *   {"do":"reckon","what":"friction factor","given":{"reynolds":1e5,"relative roughness":0.001}}
 * A given value is a quantity with its unit as text ("45 L/min") or a number in SI;
 * docs/verification.md shows most of them at work.
 */
#ifndef PW_DOOR_RECKON_H
#define PW_DOOR_RECKON_H

#include "base/json.h"
#include "base/status.h"
#include "say/say.h"

/* request: the whole request object. Writes into the answer object that the caller has opened:
 *   "what": name, "outputs": {name: number in SI or null when unlimited}, "units": {name: SI unit},
 *   "words": {name: as a person writes it, in this language and these units}
 * Without "what": "formulas": [{name, title, says, source, inputs, outputs}], the registry of core/formula: with the
 *   unit, range, default and help of each input; "hand calculation" says why nothing else needs a formula.
 * On failure nothing is written and at least one problem is added, its path beginning with what, given or
 * given.<name>. */
pw_status pw_reckon(const pw_json *request, const pw_voice *voice, pw_json_writer *answer, pw_problems *problems);

#endif
