/* What feeds a pump that does not stand in its source or tank: the stores at the far ends of its suction lines. */
#include "element/model_impl.h"

static void take(const pw_model *model, int32_t place, pump_law *law)
{
    const pw_node *at = &model->nodes[place];
    law->from_sources |= at->source >= 0 ? (uint32_t)1 << at->source : 0;
    law->from_tanks |= at->tank >= 0 ? (uint32_t)1 << at->tank : 0;
}

/* The other end of a line, where water can come from there to here; -1. None comes back out of an inlet over a tank's
 * water, nor through a non-return valve. */
static int32_t far_end(const pw_model *model, const pw_line *line, int32_t here)
{
    if (line->to == here && model->nodes[here].tank < 0) {
        return line->from;
    }
    const bool back = line->from == here && !line->non_return && model->nodes[line->to].tank < 0;
    return back ? line->to : -1;
}

void pw_feeds_find(const pw_model *model, int32_t pump, pump_law *law)
{
    const pw_site *site = model->site;
    bool seen[PW_MAX_PLACES] = {false};
    int32_t list[PW_MAX_PLACES] = {site->pumps[pump].from};
    int32_t count = 1;
    seen[list[0]] = true;
    for (int32_t i = 0; i < count; i++) {
        const int32_t here = list[i];
        for (int32_t p = 0; p < site->pump_count; p++) {
            if (site->pumps[p].to == here) { /* another pump feeds it, and that one knows its own store */
                law->from_sources = 0;
                law->from_tanks = 0;
                return;
            }
        }
        take(model, here, law);
        for (int32_t l = 0; l < site->line_count && model->nodes[here].source < 0 && model->nodes[here].tank < 0; l++) {
            const int32_t there = far_end(model, &site->lines[l], here);
            if (there >= 0 && !seen[there]) {
                seen[there] = true;
                list[count++] = there;
            }
        }
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
