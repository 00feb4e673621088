/* "size": from demand and levels to pump, pipes, vessel and cable; with a catalogue, which pumps fit. */
#include <string.h>

#include "door/size_inside.h"
#include "paper/size_paper.h"

static int32_t which_pump(door *d, const pw_site *site)
{
    const char *name = door_string(d, d->request, "", "pump", NULL);
    const char *names[PW_MAX_PUMPS];
    for (int32_t i = 0; i < site->pump_count; i++) {
        names[i] = site->pumps[i].name;
        if (name != NULL && strcmp(names[i], name) == 0) {
            return i;
        }
    }
    if (name != NULL) {
        pw_problem_tell(d->problems, PW_REFERENCE, "pump", pw_verbatim(name), pw_fact_of("door.pump-name"),
                        pw_near_fact(name, names, site->pump_count));
    }
    return -1;
}

static void put_said(door *d, const char *key, pw_fact fact)
{
    door_put_fact(d, key, &fact);
}

static void put_value(door *d, const pw_size_line *line)
{
    if (line->value >= PW_INF) {
        pw_json_null(d->answer, "words");
        return;
    }
    put_said(d, "words", pw_size_value(line, line->value, false));
}

static void put_lines(door *d, const pw_sizing *sizing)
{
    pw_json_open(d->answer, "lines", '[');
    for (int32_t i = 0; i < sizing->line_count; i++) {
        const pw_size_line *line = &sizing->lines[i];
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "part", pw_size_part_id(line->part));
        pw_json_string(d->answer, "id", line->id);
        put_said(d, "what", line->what);
        door_put_number(d, "value", line->value);
        pw_json_string(d->answer, "unit", line->unit != NULL ? line->unit : door_si_unit(line->dimension));
        put_value(d, line);
        put_said(d, "how", line->how);
        put_said(d, "source", line->source);
        if (line->formula[0] != '\0') {
            pw_json_string(d->answer, "formula", line->formula);
        }
        if (line->most != NULL) {
            pw_json_open(d->answer, "most", '{');
            pw_json_string(d->answer, "assumption", pw_say_word(&d->voice, line->most));
            door_put_number(d, "change", line->moved);
            pw_json_close(d->answer, '}');
        }
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
}

/* One that the sheet states by its bore has no name of its own. */
static const char *pipe_name(const door *d, const pw_size_pipe *pipe)
{
    return strcmp(pipe->name, PW_SIZE_OWN_PIPE) == 0 ? pw_say_word(&d->voice, "size.own-pipe") : pipe->name;
}

static void put_pipes(door *d, const pw_sizing *sizing)
{
    pw_json_open(d->answer, "pipes", '[');
    for (int32_t i = 0; i < sizing->pipe_count; i++) {
        const pw_size_run_of_pipe *run = &sizing->pipes[i];
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "line", sizing->site->lines[run->line].name);
        door_put_number(d, "flow_m3s", run->flow_m3s);
        pw_json_string(d->answer, "chosen", pipe_name(d, &run->choices[run->chosen]));
        pw_json_open(d->answer, "sizes", '[');
        for (int32_t c = 0; c < run->count; c++) {
            const pw_size_pipe *pipe = &run->choices[c];
            pw_json_open(d->answer, NULL, '{');
            pw_json_string(d->answer, "pipe", pipe_name(d, pipe));
            door_put_number(d, "bore_m", pipe->bore_m);
            door_put_number(d, "velocity_ms", pipe->velocity_ms);
            door_put_number(d, "friction_m_per_m", pipe->gradient_new);
            door_put_number(d, "loss_new_m", pipe->loss_new_m);
            door_put_number(d, "loss_aged_m", pipe->loss_aged_m);
            door_put_number(d, "cost", pipe->cost);
            pw_json_bool(d->answer, "fits", pipe->fits);
            pw_json_bool(d->answer, "present", pipe->present);
            pw_json_close(d->answer, '}');
        }
        pw_json_close(d->answer, ']');
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
}

static void put_duties(door *d, const pw_sizing *sizing)
{
    pw_json_open(d->answer, "duties", '[');
    for (int32_t i = 0; i < sizing->duty_count; i++) {
        const pw_size_duty *duty = &sizing->duties[i];
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "at", pw_say_word(&d->voice, duty->words));
        door_put_number(d, "pressure_pa", duty->pressure_pa);
        door_put_number(d, "flow_m3s", duty->flow_m3s);
        door_put_number(d, "head_m", duty->head_m);
        door_put_number(d, "efficiency", duty->efficiency);
        door_put_number(d, "shaft_w", duty->shaft_w);
        door_put_number(d, "input_w", duty->input_w);
        door_put_number(d, "current_a", duty->current_a);
        door_put_number(d, "power_factor", duty->power_factor);
        door_put_number(d, "npsh_available_m", duty->npsh_available_m);
        door_put_number(d, "npsh_required_m", duty->npsh_required_m < 0.0 ? PW_INF : duty->npsh_required_m);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
}

static void put_curve(door *d, const char *key, const pw_size_curve *curve)
{
    pw_json_open(d->answer, key, '[');
    for (int32_t i = 0; i < curve->count; i++) {
        pw_json_open(d->answer, NULL, '[');
        pw_json_number(d->answer, NULL, curve->flow_m3s[i]);
        pw_json_number(d->answer, NULL, curve->head_m[i]);
        pw_json_close(d->answer, ']');
    }
    pw_json_close(d->answer, ']');
}

static void put_tables(door *d, const pw_sizing *sizing)
{
    pw_json_open(d->answer, "curves", '{');
    put_curve(d, "pump", &sizing->pump_curve);
    put_curve(d, "easy", &sizing->easy);
    put_curve(d, "usual", &sizing->usual);
    put_curve(d, "hard", &sizing->hard);
    pw_json_close(d->answer, '}');
    pw_json_open(d->answer, "npsh", '[');
    for (int32_t t = 0; t < PW_SIZE_TEMPERATURES; t++) {
        for (int32_t a = 0; a < PW_SIZE_ALTITUDES; a++) {
            pw_json_open(d->answer, NULL, '{');
            pw_json_number(d->answer, "temperature_c", sizing->temperatures_c[t]);
            pw_json_number(d->answer, "altitude_m", sizing->altitudes_m[a]);
            pw_json_number(d->answer, "available_m", sizing->npsh_m[t][a]);
            pw_json_close(d->answer, '}');
        }
    }
    pw_json_close(d->answer, ']');
    pw_json_open(d->answer, "charge", '[');
    for (int32_t i = 0; i < sizing->effect_count; i++) {
        const pw_size_effect *effect = &sizing->effects[i];
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "charge", pw_say_word(&d->voice, effect->words));
        door_put_number(d, "precharge_pa", effect->precharge_pa);
        door_put_number(d, "air", effect->air);
        door_put_number(d, "drawdown_m3", effect->drawdown_m3);
        door_put_number(d, "starts_per_hour", effect->starts_h);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
    pw_json_open(d->answer, "cables", '[');
    for (int32_t i = 0; i < sizing->cable_count; i++) {
        const pw_size_cable *cable = &sizing->cables[i];
        pw_json_open(d->answer, NULL, '{');
        door_put_number(d, "section_mm2", cable->section_mm2);
        door_put_number(d, "drop", cable->drop);
        door_put_number(d, "starting_drop", cable->start_drop);
        door_put_number(d, "ampacity_a", cable->ampacity_a);
        pw_json_bool(d->answer, "fault_ok", cable->fault_ok);
        pw_json_bool(d->answer, "fits", cable->fits);
        pw_json_bool(d->answer, "chosen", cable->chosen);
        pw_json_bool(d->answer, "present", cable->present);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
}

/* Guides are no limits: one that is not kept is only told. */
static bool all_kept(const pw_sizing *sizing)
{
    for (int32_t i = 0; i < sizing->check_count; i++) {
        if (!(sizing->checks[i].margin >= 0.0) && !sizing->checks[i].guide) {
            return false;
        }
    }
    return true;
}

static void put_checks(door *d, const pw_sizing *sizing)
{
    pw_json_bool(d->answer, "kept", all_kept(sizing));
    put_said(d, "weakest", sizing->weakest);
    pw_json_open(d->answer, "checks", '[');
    for (int32_t i = 0; i < sizing->check_count; i++) {
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "id", sizing->checks[i].id);
        put_said(d, "words", sizing->checks[i].words);
        door_put_number(d, "margin", sizing->checks[i].margin);
        pw_json_bool(d->answer, "kept", sizing->checks[i].margin >= 0.0);
        if (sizing->checks[i].guide) {
            pw_json_bool(d->answer, "guide", true);
        }
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
}

static void put_sizing(door *d, const pw_plant *plant, const pw_sizings *all, int32_t which)
{
    static const char *const kinds[] = {"pressure vessel", "tank", "direct"};
    const pw_sizing *sizing = all->of[which];
    pw_json_string(d->answer, "pump", plant->site->pumps[sizing->pump].name);
    pw_json_open(d->answer, "alike", '[');
    for (int32_t p = 0; p < plant->site->pump_count; p++) {
        if (all->like[p] == which && p != sizing->pump) {
            pw_json_string(d->answer, NULL, plant->site->pumps[p].name);
        }
    }
    pw_json_close(d->answer, ']');
    pw_json_string(d->answer, "kind", kinds[sizing->kind]);
    put_checks(d, sizing);
    put_lines(d, sizing);
    put_pipes(d, sizing);
    put_duties(d, sizing);
    put_tables(d, sizing);
}

pw_status door_size(door *d)
{
    pw_size_options options;
    pw_sizings all;
    memset(&options, 0, sizeof options);
    const door_papers wanted = door_papers_wanted(d, false, false);
    const bool explain = door_truth(d, d->request, "", "explain", false);
    options.length_ms = door_time_ms(d, d->request, "", "length", 0.0, 3660.0 * 86400.0, 365.0 * 86400.0);
    options.seed = (uint64_t)door_whole(d, d->request, "", "seed", 0, 9007199254740991, 1);
    options.sense = door_truth(d, d->request, "", "sensitivity", true);
    pw_plant *plant = door_plant(d);
    if (plant != NULL) {
        options.pump = which_pump(d, plant->site);
    }
    const pw_json *catalogue = door_list(d, "catalogue");
    if (plant == NULL || door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    options.cancelled = door_stop_asked;
    options.user = d;
    pw_status status = pw_size_each(d->arena, plant, &options, &all, d->problems);
    pw_choice *choice = NULL;
    if (status == PW_OK && catalogue != NULL) { /* of the pump that was asked for, or else the first */
        status = door_size_choose(d, plant, all.of[0], catalogue, &choice);
    }
    if (status != PW_OK) {
        return status;
    }
    pw_json_string(d->answer, "name", plant->site->name);
    put_sizing(d, plant, &all, 0);
    pw_json_open(d->answer, "others", '[');
    for (int32_t i = 1; i < all.count; i++) {
        pw_json_open(d->answer, NULL, '{');
        put_sizing(d, plant, &all, i);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
    door_put_defaults(d, plant->site->design_defaults, plant->site->design_default_count);
    if (choice != NULL) {
        door_size_put_choice(d, choice);
    }
    if (wanted.text || wanted.html) {
        pw_document *document;
        status = pw_paper_size(d->arena, &all, choice, explain, &d->voice, &document);
        return status == PW_OK ? door_put_papers(d, &wanted, document) : status;
    }
    return PW_OK;
}
