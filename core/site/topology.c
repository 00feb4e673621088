/* Walks over a site: one queue of places, and one question for each way out of a place. */
#include "site/topology.h"

int32_t pw_site_tank_at(const pw_site *site, int32_t place)
{
    for (int32_t t = 0; t < site->tank_count; t++) {
        if (site->tanks[t].place == place) {
            return t;
        }
    }
    return -1;
}

int32_t pw_site_source_at(const pw_site *site, int32_t place)
{
    for (int32_t s = 0; s < site->source_count; s++) {
        if (site->sources[s].place == place) {
            return s;
        }
    }
    return -1;
}

int32_t pw_site_vessel_at(const pw_site *site, int32_t place)
{
    for (int32_t v = 0; v < site->vessel_count; v++) {
        if (site->vessels[v].place == place) {
            return v;
        }
    }
    return -1;
}

int32_t pw_site_outlet_at(const pw_site *site, int32_t place)
{
    for (int32_t o = 0; o < site->outlet_count; o++) {
        if (site->outlets[o].place == place) {
            return o;
        }
    }
    return -1;
}

int32_t pw_site_pump_into(const pw_site *site, int32_t place)
{
    for (int32_t p = 0; p < site->pump_count; p++) {
        if (site->pumps[p].to == place) {
            return p;
        }
    }
    return -1;
}

int32_t pw_lines_at(const pw_site *site, int32_t place, int32_t out[PW_MAX_LINES])
{
    int32_t count = 0;
    for (int32_t l = 0; l < site->line_count; l++) {
        if (site->lines[l].from == place || site->lines[l].to == place) {
            if (out != NULL) {
                out[count] = l;
            }
            count++;
        }
    }
    return count;
}

static bool holds(const pw_site *site, int32_t place, unsigned what)
{
    return ((what & PW_TANKS) != 0 && pw_site_tank_at(site, place) >= 0) ||
           ((what & PW_SOURCES) != 0 && pw_site_source_at(site, place) >= 0) ||
           ((what & PW_VESSELS) != 0 && pw_site_vessel_at(site, place) >= 0);
}

/* May a walk take this line along its direction, or back against it? */
static bool passes(const pw_site *site, const pw_line *line, bool along, const pw_walk_rules *rules)
{
    const bool into_tank = pw_site_tank_at(site, line->to) >= 0;
    if (rules->open_pipe && (line->non_return || line->open.v <= 0.0)) {
        return false;
    }
    if (!along && into_tank && ((rules->ends | rules->barred) & PW_TANKS) != 0) {
        return false;
    }
    if (rules->way == PW_WALK_JOINED) {
        return true;
    }
    const bool with_water = along == (rules->way == PW_WALK_DOWN);
    return with_water || (!line->non_return && !into_tank);
}

int32_t pw_line_leads(const pw_site *site, int32_t line, int32_t here, const pw_walk_rules *rules)
{
    const pw_line *made = &site->lines[line];
    if (made->from == here && passes(site, made, true, rules)) {
        return made->to;
    }
    return made->to == here && passes(site, made, false, rules) ? made->from : -1;
}

static int32_t pump_leads(const pw_site *site, int32_t pump, int32_t here, pw_walk_way way)
{
    const pw_pump *made = &site->pumps[pump];
    if (made->from == here && way != PW_WALK_UP) {
        return made->to;
    }
    return made->to == here && way != PW_WALK_DOWN ? made->from : -1;
}

static void arrive(const pw_site *site, const pw_walk_rules *rules, int32_t place, pw_reach *reach)
{
    if (place < 0 || reach->at[place] || holds(site, place, rules->barred) ||
        (rules->shut != NULL && rules->shut[place])) {
        return;
    }
    reach->at[place] = true;
    reach->order[reach->count] = place;
    reach->count++;
}

void pw_walk(const pw_site *site, const pw_walk_rules *rules, int32_t from, pw_reach *reach)
{
    if (from < 0 || reach->at[from]) {
        return;
    }
    const int32_t begin = reach->count;
    reach->at[from] = true;
    reach->order[reach->count] = from;
    reach->count++;
    for (int32_t i = begin; i < reach->count; i++) {
        const int32_t here = reach->order[i];
        if (holds(site, here, rules->ends | rules->barred)) {
            continue;
        }
        for (int32_t l = 0; l < site->line_count; l++) {
            const int32_t there = pw_line_leads(site, l, here, rules);
            const int32_t tank = site->lines[l].from == here && there >= 0 ? pw_site_tank_at(site, there) : -1;
            if (tank >= 0) {
                reach->inlet[tank] = true;
            }
            arrive(site, rules, there, reach);
        }
        for (int32_t p = 0; p < site->pump_count && rules->through_pumps; p++) {
            arrive(site, rules, pump_leads(site, p, here, rules->way), reach);
        }
    }
}

/* ---- leads ---- */

/* The only line that brings water to this place, -1: none, or several, or a pump does. */
static int32_t line_into(const pw_site *site, int32_t place, int32_t but)
{
    int32_t here[PW_MAX_LINES];
    const int32_t count = pw_lines_at(site, place, here);
    int32_t found = -1;
    if (pw_site_pump_into(site, place) >= 0) {
        return -1;
    }
    for (int32_t i = 0; i < count; i++) {
        const pw_line *line = &site->lines[here[i]];
        const bool brings = line->to == place || !line->non_return;
        if (here[i] == but || !brings) {
            continue;
        }
        if (found >= 0 && line->to != place) {
            continue; /* it more likely leads on to another pump */
        }
        if (found >= 0 && site->lines[found].to == place) {
            return -1;
        }
        found = here[i];
    }
    return found;
}

bool pw_lead_up(const pw_site *site, int32_t from, const bool *ends, pw_lead *out)
{
    int32_t last = -1;
    out->place = from;
    out->line_count = 0;
    while (!ends[out->place]) {
        const int32_t line = line_into(site, out->place, last);
        if (line < 0 || out->line_count == PW_MAX_LINES) {
            return false;
        }
        const bool along = site->lines[line].to == out->place;
        out->lines[out->line_count] = line;
        out->along[out->line_count] = along;
        out->line_count++;
        out->place = along ? site->lines[line].from : site->lines[line].to;
        last = line;
    }
    return true;
}
