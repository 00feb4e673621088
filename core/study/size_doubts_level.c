/* Levels of the settings beside what the tank under their sensor can show. */
#include "study/doubts_inside.h"

#include "site/topology.h"

/* Another sentence that stops the pumps of this one, for a reason of its own. */
static bool stops_otherwise(const doubt *d, int32_t sentence)
{
    const pw_settings *settings = d->plant->settings;
    for (int32_t i = 0; i < pw_settings_count(settings); i++) {
        if (i == sentence || pw_settings_kind(settings, i) != PW_SENTENCE_STOP) {
            continue;
        }
        for (int32_t p = 0; p < d->site->pump_count; p++) {
            if (pw_settings_is_for(settings, i, p) && pw_settings_is_for(settings, sentence, p)) {
                return true;
            }
        }
    }
    return false;
}

static void tell(doubt *d, int32_t sentence, const pw_look *look, pw_fact right, const char *hint)
{
    pw_warning_tell(d->problems, PW_CONFLICT, doubt_path(d, "settings", sentence, ""),
                    pw_fact_of(look->above ? "check.level-above" : "check.level-below", pw_head(look->threshold)),
                    right, pw_fact_of(hint));
}

/* A stop at a level that is never reached: the water runs over first, or the float valve shuts and leaves the pump
 * working against it. Over a float valve a stop may stand as a second one; alone it is a slip. */
static void doubt_stop(doubt *d, int32_t sentence, const pw_look *look, const pw_tank *tank)
{
    if (look->threshold >= tank->depth_m.v) {
        tell(d, sentence, look, pw_fact_of("check.below-overflow", pw_head(tank->depth_m.v), pw_named(tank->name)),
             "check.runs-over");
    } else if (tank->float_valve && look->threshold >= tank->closes_m.v && !stops_otherwise(d, sentence)) {
        tell(d, sentence, look, pw_fact_of("check.below-float", pw_head(tank->closes_m.v), pw_named(tank->name)),
             "check.float-shuts-first");
    }
}

void doubt_tank_levels(doubt *d)
{
    const pw_site *site = d->site;
    for (int32_t i = 0; i < pw_settings_count(d->plant->settings); i++) {
        const pw_sentence_kind kind = pw_settings_kind(d->plant->settings, i);
        pw_look look;
        for (int32_t k = 0; pw_settings_look(d->plant->settings, i, k, &look); k++) {
            const bool level = look.kind == PW_TERM_LEVEL && look.signal >= 0 && look.signal < site->sensor_count;
            const int32_t at = level ? pw_site_tank_at(site, site->sensors[look.signal].place) : -1;
            if (at >= 0 && kind == PW_SENTENCE_STOP && look.above) {
                doubt_stop(d, i, &look, &site->tanks[at]);
            } else if (at >= 0 && kind == PW_SENTENCE_START && !look.above && !(look.threshold > 0.0)) {
                tell(d, i, &look, pw_fact_of("check.above-floor", pw_named(site->tanks[at].name)),
                     "check.never-starts");
            }
        }
    }
}
