/* What feeds a pump: the source or tank that it stands in, or else the stores at the far ends of its suction lines. */
#include "element/bore.h"
#include "element/model_impl.h"
#include "site/topology.h"

static void find_far(const pw_model *model, int32_t pump, pump_feed *out)
{
    static const pw_walk_rules against_water = {.way = PW_WALK_UP, .ends = PW_TANKS | PW_SOURCES};
    const pw_site *site = model->site;
    pw_reach reach = {0};
    pw_walk(site, &against_water, site->pumps[pump].from, &reach);
    for (int32_t i = 0; i < reach.count; i++) {
        if (pw_site_pump_into(site, reach.order[i]) >=
            0) { /* another pump feeds it, and that one knows its own store */
            out->from_sources = 0;
            out->from_tanks = 0;
            return;
        }
        const pw_node *at = &model->nodes[reach.order[i]];
        out->from_sources |= at->source >= 0 ? (uint32_t)1 << at->source : 0;
        out->from_tanks |= at->tank >= 0 ? (uint32_t)1 << at->tank : 0;
    }
}

void pw_feeds_find(const pw_model *model, int32_t pump, pump_feed *out)
{
    const pw_node *at = &model->nodes[model->site->pumps[pump].from];
    const pw_source *source = at->source >= 0 ? &model->site->sources[at->source] : NULL;
    *out = (pump_feed){.source = at->source, .tank = at->tank};
    if (at->source < 0 && at->tank < 0) {
        find_far(model, pump, out);
    }
    out->falls = at->tank >= 0 || (source != NULL && source->kind == PW_SOURCE_MAINS);
}

double pw_feeds_wet(const pump_feed *feed, const setting *at)
{
    double most = 0.0;
    if (feed->source >= 0) {
        return at->source_wet[feed->source];
    }
    if (feed->tank >= 0) {
        return at->tank_wet[feed->tank];
    }
    if (feed->from_sources == 0 && feed->from_tanks == 0) {
        return 1.0;
    }
    for (int32_t s = 0; s < PW_MAX_SOURCES; s++) {
        most = ((feed->from_sources >> s) & 1) != 0 && at->source_wet[s] > most ? at->source_wet[s] : most;
    }
    for (int32_t t = 0; t < PW_MAX_TANKS; t++) {
        most = ((feed->from_tanks >> t) & 1) != 0 && at->tank_wet[t] > most ? at->tank_wet[t] : most;
    }
    return most;
}
