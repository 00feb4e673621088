/* "check": what reading a site sheet found. */
#include "door/inside.h"
#include "paper/paper.h"
#include "study/size_doubts.h"

static void put_counts(door *d, const pw_site *site)
{
    pw_json_open(d->answer, "counts", '{');
    pw_json_int(d->answer, "places", site->place_count);
    pw_json_int(d->answer, "sources", site->source_count);
    pw_json_int(d->answer, "pumps", site->pump_count);
    pw_json_int(d->answer, "lines", site->line_count);
    pw_json_int(d->answer, "vessels", site->vessel_count);
    pw_json_int(d->answer, "tanks", site->tank_count);
    pw_json_int(d->answer, "outlets", site->outlet_count);
    pw_json_int(d->answer, "sensors", site->sensor_count);
    pw_json_int(d->answer, "demands", site->demand_count);
    pw_json_int(d->answer, "sentences", site->sentence_count);
    pw_json_close(d->answer, '}');
}

pw_status door_check(door *d)
{
    door_papers wanted = door_papers_wanted(d, false, false);
    pw_plant *plant = door_plant(d);
    if (!plant || door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    const pw_site *site = plant->site;
    if (pw_size_doubts(d->arena, plant, d->problems) != PW_OK) {
        return PW_MEMORY;
    }
    pw_json_string(d->answer, "name", site->name);
    pw_json_string(d->answer, "note", site->note);
    pw_json_bool(d->answer, "invented", site->invented);
    put_counts(d, site);
    door_put_defaults(d, site->defaults, site->default_count);
    door_put_settings(d, "settings", plant->settings);
    if (wanted.text || wanted.html) {
        pw_document *document;
        pw_status status =
            pw_paper_check(d->arena, site->name, site, plant->settings, d->problems, &d->voice, &document);
        if (status != PW_OK) {
            return status;
        }
        return door_put_papers(d, &wanted, document);
    }
    return PW_OK;
}
