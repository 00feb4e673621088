/* What feeds a pump that does not stand in its source or tank: the stores at the far ends of its suction lines. */
#include "element/model_impl.h"
#include "site/topology.h"

void pw_feeds_find(const pw_model *model, int32_t pump, pump_law *law)
{
    static const pw_walk_rules against_water = {.way = PW_WALK_UP, .ends = PW_TANKS | PW_SOURCES};
    const pw_site *site = model->site;
    pw_reach reach = {0};
    pw_walk(site, &against_water, site->pumps[pump].from, &reach);
    for (int32_t i = 0; i < reach.count; i++) {
        if (pw_site_pump_into(site, reach.order[i]) >=
            0) { /* another pump feeds it, and that one knows its own store */
            law->from_sources = 0;
            law->from_tanks = 0;
            return;
        }
        const pw_node *at = &model->nodes[reach.order[i]];
        law->from_sources |= at->source >= 0 ? (uint32_t)1 << at->source : 0;
        law->from_tanks |= at->tank >= 0 ? (uint32_t)1 << at->tank : 0;
    }
}

double pw_feeds_wet(const pump_law *law, const setting *at)
{
    double most = 0.0;
    if (law->source >= 0) {
        return at->source_wet[law->source];
    }
    if (law->tank >= 0) {
        return at->tank_wet[law->tank];
    }
    if (law->from_sources == 0 && law->from_tanks == 0) {
        return 1.0;
    }
    for (int32_t s = 0; s < PW_MAX_SOURCES; s++) {
        most = ((law->from_sources >> s) & 1) != 0 && at->source_wet[s] > most ? at->source_wet[s] : most;
    }
    for (int32_t t = 0; t < PW_MAX_TANKS; t++) {
        most = ((law->from_tanks >> t) & 1) != 0 && at->tank_wet[t] > most ? at->tank_wet[t] : most;
    }
    return most;
}
