/* Mishaps: one thing going wrong physically. Each is a change of the physics or of a sensor, never a flag that the
 * controller can see.
 */
#ifndef PW_MISHAP_MISHAP_H
#define PW_MISHAP_MISHAP_H

#include "base/units.h"
#include "model/model.h"

/* name, id, dimension of the severity, words of the severity, title */
#define PW_MISHAP_LIST(X)                                                                                             \
    X(NONE, "none", NONE, "", "nothing wrong")                                                                        \
    X(SLOW_LEAK, "slow leak", FLOW, "flow through the hole at the reference pressure", "Slow leak")                   \
    X(BURST, "burst", FLOW, "flow through the hole at the reference pressure", "Burst")                               \
    X(DRY_SOURCE, "dry source", FRACTION, "part of the yield that is left", "Source runs dry")                        \
    X(LOST_AIR, "lost air", FRACTION, "part of the gas charge that is lost", "Vessel lost its air")                   \
    X(FLOAT_PASSING, "float valve passing", FRACTION, "opening that stays when it should be shut",                    \
      "Float valve passing")                                                                                          \
    X(CHATTER, "chattering flow switch", FREQUENCY, "changes per second while the pump runs", "Flow switch chatters") \
    X(VALVE_CLOSED, "closed delivery valve", FRACTION, "part of the opening that is left", "Delivery valve closed")   \
    X(WELDED, "contactor welded", NONE, "", "Contactor welded")

typedef enum pw_mishap_kind {
#define PW_X(name, id, dimension, severity, title) PW_MISHAP_##name,
    PW_MISHAP_LIST(PW_X)
#undef PW_X
        PW_MISHAP_COUNT
} pw_mishap_kind;

#define PW_MISHAP_LOWEST_HEAD_M  1.0 /* own choices, see pw_mishap_apply */
#define PW_MISHAP_LOWEST_DEPTH_M 0.1

typedef struct pw_mishap {
    pw_mishap_kind kind;
    double severity; /* SI, in the dimension of the list */
    int32_t where;   /* place (leak, burst), source, vessel, tank, sensor, pump; for a closed valve a line, or
                        PW_MAX_LINES + pump for the valve at a pump's outlet; -1: the usual one for this site */
    int64_t onset_ms; /* since the start of the simulation */
} pw_mishap;

const char *pw_mishap_id(pw_mishap_kind kind);
const char *pw_mishap_title(pw_mishap_kind kind);
const char *pw_mishap_severity_words(pw_mishap_kind kind);
pw_dimension pw_mishap_dimension(pw_mishap_kind kind);
/* -1 when the words are not a mishap. */
int32_t pw_mishap_find(const char *id);

/* Can it happen on this site at all? (No float valve, no float valve passing.) */
bool pw_mishap_possible(const pw_site *site, pw_mishap_kind kind);
/* Where it happens: `where` itself when it is 0 or more, else the usual one; -1 when it is not possible here.
 * And the words for it ("at shed", "header tank", "at the outlet of bore pump"). */
int32_t pw_mishap_where(const pw_site *site, pw_mishap_kind kind, int32_t where);
/* Index for `where` from the name of a place, source, vessel, tank, sensor, line or pump, as the kind needs it; -1: no
 * such name. */
int32_t pw_mishap_where_find(const pw_site *site, pw_mishap_kind kind, const char *name);
void pw_mishap_where_words(const pw_site *site, pw_mishap_kind kind, int32_t where, pw_text *text);
/* Severities tried by default, mild to severe; returns how many (at most capacity). pump_m3s: largest flow the pump can
 * give. */
int32_t pw_mishap_severities(const pw_site *site, pw_mishap_kind kind, double pump_m3s, double *out, int32_t capacity);
/* Change the condition. reference_pa: gauge pressure at which a leak's severity is meant (middle of cut-in and
 * cut-out), at the reference place: that of the first pressure sensor, else of the first vessel, else the first pump's
 * delivery place. At a leak's place the pressure differs from it by the levels; there Cd A sqrt(2 g h) = severity
 * (orifice, Torricelli 1644). h is at least PW_MISHAP_LOWEST_HEAD_M: a leak that stands too high for the reference
 * pressure gets the hole that this head would need. At a tank, h is the depth at the start (at least
 * PW_MISHAP_LOWEST_DEPTH_M). A mishap that is not possible here, or of kind NONE, changes nothing. Severities outside
 * their scale count as its end. */
void pw_mishap_apply(const pw_model *model, const pw_mishap *mishap, double reference_pa, pw_condition *condition);

#endif
