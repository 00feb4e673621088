/* The hand-over as a paper: its parts in their order, and the small builders that they share. */
#include "paper/handover_parts.h"
#include "paper/plot.h"
#include "paper/say.h"
#include "site/topology.h"

enum { MOST_COLUMNS = 10 };

const char *handover_word(const handover_pen *p, const char *id)
{
    return pw_say_word(p->voice, id);
}

const char *handover_say(const handover_pen *p, pw_fact fact)
{
    const char *words = say_fact(p->arena, p->voice, fact);
    if (words == NULL) {
        p->document->failed = true;
    }
    return words != NULL ? words : "";
}

pw_grid *handover_grid(handover_pen *p, const char *caption, const handover_column *columns, int32_t rows)
{
    pw_column made[MOST_COLUMNS];
    int32_t count = 0;
    while (columns[count].id != NULL && count < MOST_COLUMNS) {
        made[count] = (pw_column){handover_word(p, columns[count].id), "", columns[count].number};
        count++;
    }
    return pw_document_grid(p->document, caption[0] != '\0' ? handover_word(p, caption) : "", made, count, rows);
}

void handover_cell(handover_pen *p, pw_grid *grid, int32_t row, int32_t column, const char *words)
{
    if (words == NULL) {
        p->document->failed = true;
        return;
    }
    pw_grid_set(grid, row, column, words, PW_TONE_PLAIN);
}

/* What stands at a place: the names of all things there. */
static const char *things_at(handover_pen *p, int32_t place)
{
    const pw_site *site = p->plant->site;
    pw_facts list;
    pw_facts_init(&list, p->arena);
    const int32_t source = pw_site_source_at(site, place), tank = pw_site_tank_at(site, place);
    const int32_t vessel = pw_site_vessel_at(site, place);
    const struct {
        const char *id, *name;
    } stores[] = {{"handover.is-source", source >= 0 ? site->sources[source].name : NULL},
                  {"handover.is-tank", tank >= 0 ? site->tanks[tank].name : NULL},
                  {"handover.is-vessel", vessel >= 0 ? site->vessels[vessel].name : NULL}};
    for (size_t i = 0; i < sizeof stores / sizeof stores[0]; i++) {
        if (stores[i].name != NULL) {
            pw_tell(&list, stores[i].id, pw_named(stores[i].name));
        }
    }
    for (int32_t i = 0; i < site->outlet_count; i++) {
        if (site->outlets[i].place == place) {
            pw_tell(&list, "handover.is-outlet", pw_named(site->outlets[i].name));
        }
    }
    for (int32_t i = 0; i < site->sensor_count; i++) {
        if (site->sensors[i].place == place) {
            pw_tell(&list, "handover.is-sensor", pw_named(site->sensors[i].name));
        }
    }
    return list.count > 0 ? handover_say(p, pw_fact_of("handover.list", pw_list(&list, PW_JOIN_COMMA))) : "";
}

static void put_places(handover_pen *p)
{
    static const handover_column columns[] = {{"handover.number", true},
                                              {"handover.place", false},
                                              {"handover.level", true},
                                              {"handover.there", false},
                                              {NULL, false}};
    const pw_site *site = p->plant->site;
    pw_grid *grid = handover_grid(p, "handover.places", columns, site->place_count);
    for (int32_t i = 0; i < site->place_count; i++) {
        handover_cell(p, grid, i, 0, say_count(p->arena, i + 1));
        handover_cell(p, grid, i, 1, site->places[i].name);
        handover_cell(p, grid, i, 2, handover_say(p, pw_fact_of("base.value", pw_head(site->places[i].level_m.v))));
        handover_cell(p, grid, i, 3, things_at(p, i));
    }
}

static void put_lines(handover_pen *p)
{
    static const handover_column columns[] = {{"handover.line", false},
                                              {"handover.from-to", false},
                                              {"handover.pipe", false},
                                              {"handover.length", true},
                                              {NULL, false}};
    const pw_site *site = p->plant->site;
    if (site->line_count == 0) {
        return;
    }
    pw_grid *grid = handover_grid(p, "handover.lines", columns, site->line_count);
    for (int32_t i = 0; i < site->line_count; i++) {
        const pw_line *line = &site->lines[i];
        handover_cell(p, grid, i, 0, line->name);
        handover_cell(p, grid, i, 1,
                      handover_say(p, pw_fact_of("handover.way", pw_named(site->places[line->from].name),
                                                 pw_named(site->places[line->to].name))));
        handover_cell(p, grid, i, 2,
                      line->pipe[0] != '\0'
                          ? line->pipe
                          : handover_say(p, pw_fact_of("handover.bore", pw_quantity(PW_DIM_LENGTH, line->bore_m.v))));
        handover_cell(p, grid, i, 3, handover_say(p, pw_fact_of("base.value", pw_head(line->length_m.v))));
    }
}

static void put_motors(handover_pen *p)
{
    static const handover_column columns[] = {{"paper.pump", false},           {"handover.power", true},
                                              {"handover.voltage", true},      {"handover.full-load", true},
                                              {"handover.locked-rotor", true}, {NULL, false}};
    const pw_site *site = p->plant->site;
    pw_grid *grid = handover_grid(p, "handover.motors", columns, site->pump_count);
    for (int32_t i = 0; i < site->pump_count; i++) {
        const pw_motor *motor = &site->pumps[i].motor;
        const struct {
            pw_dimension dimension;
            const pw_field *field;
        } values[] = {{PW_DIM_POWER, &motor->power_w},
                      {PW_DIM_VOLTAGE, &motor->voltage_v},
                      {PW_DIM_CURRENT, &motor->full_load_a},
                      {PW_DIM_CURRENT, &motor->locked_rotor_a}};
        handover_cell(p, grid, i, 0, site->pumps[i].name);
        for (int32_t k = 0; k < 4; k++) {
            handover_cell(p, grid, i, k + 1,
                          handover_say(p, pw_fact_of(values[k].field->given ? "handover.given" : "handover.assumed",
                                                     pw_quantity(values[k].dimension, values[k].field->v))));
        }
    }
}

void handover_put_section(handover_pen *p)
{
    pw_drawing *drawing = PW_NEW(p->arena, 1, pw_drawing);
    pw_text wide, narrow;
    pw_text_init(&wide, p->arena);
    section_svg(p->plant->site, p->voice, 901, PW_PLOT_WIDE, &wide);
    pw_text_init(&narrow, p->arena);
    section_svg(p->plant->site, p->voice, 902, PW_PLOT_NARROW, &narrow);
    say_heading(p->document, p->voice, 2, "handover.site");
    if (drawing == NULL || wide.failed || narrow.failed) {
        p->document->failed = true;
        return;
    }
    *drawing = (pw_drawing){handover_word(p, "handover.section"),
                            handover_say(p, pw_fact_of("handover.section-words", pw_truth(p->job->is_short))),
                            wide.data, narrow.data};
    pw_document_drawing(p->document, drawing);
    if (p->job->is_short) {
        return;
    }
    put_places(p);
    put_lines(p);
    say_heading(p->document, p->voice, 3, "handover.equipment");
    say_site(p->document, p->voice, p->plant->site);
    put_motors(p);
}

void handover_put_cautions(handover_pen *p)
{
    static const char *const ids[] = {
        "paper.caution-mains",    "paper.caution-starts",      "paper.caution-pressure", "handover.caution-confined",
        "handover.caution-scald", "handover.caution-drinking", "paper.caution-licensed", "paper.caution-computed"};
    enum { COUNT = sizeof ids / sizeof ids[0] };
    const char *lines[COUNT];
    for (int32_t i = 0; i < COUNT; i++) {
        lines[i] = handover_word(p, ids[i]);
    }
    say_heading(p->document, p->voice, 2, "paper.cautions");
    pw_document_lines(p->document, PW_BLOCK_LIST, lines, COUNT);
}

void handover_put_signatures(handover_pen *p)
{
    static const handover_column columns[] = {{"handover.who", false},
                                              {"handover.name", false},
                                              {"handover.signature", false},
                                              {"handover.date", false},
                                              {NULL, false}};
    static const char room[] = "\n____________________";
    say_heading(p->document, p->voice, 2, "handover.signatures");
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_fact_of("handover.signed-for"));
    pw_grid *grid = handover_grid(p, "", columns, 2);
    const char *names[2] = {p->job->installer, p->job->owner};
    for (int32_t i = 0; i < 2; i++) {
        handover_cell(p, grid, i, 0, handover_word(p, i == 0 ? "handover.installer" : "handover.owner"));
        handover_cell(p, grid, i, 1, names[i][0] != '\0' ? names[i] : room);
        handover_cell(p, grid, i, 2, room);
        handover_cell(p, grid, i, 3, p->job->date[0] != '\0' ? p->job->date : room);
    }
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_MUTED,
              pw_fact_of("handover.mark", pw_named(p->job->mark)));
}

static const char blank[] = "____________________";

static const char *or_blank(const char *words)
{
    return words[0] != '\0' ? words : blank;
}

void handover_put_who(handover_pen *p)
{
    const pw_handover *job = p->job;
    const char *const lines[] = {handover_word(p, "handover.owner"),     or_blank(job->owner),
                                 handover_word(p, "handover.address"),   or_blank(job->address),
                                 handover_word(p, "handover.installer"), or_blank(job->installer),
                                 handover_word(p, "handover.date"),      or_blank(job->date)};
    pw_document_lines(p->document, PW_BLOCK_FACTS, lines, sizeof lines / sizeof lines[0]);
}

void handover_put_photos(handover_pen *p)
{
    if (p->job->photo_count == 0) {
        return;
    }
    say_heading(p->document, p->voice, 2, "handover.photos");
    for (int32_t i = 0; i < p->job->photo_count; i++) {
        const pw_photo *photo = &p->job->photos[i];
        pw_document_photo(p->document,
                          handover_say(p, pw_fact_of("handover.photo", pw_count(i + 1), pw_named(photo->words))),
                          photo->picture);
    }
}

void handover_put_assumed(handover_pen *p)
{
    if (p->job->assumed_count > 0) {
        say_heading(p->document, p->voice, 2, "handover.not-measured-here");
        pw_document_lines(p->document, PW_BLOCK_LIST, p->job->assumed, p->job->assumed_count);
    }
}

static void put_defaults(handover_pen *p)
{
    say_defaults(p->document, p->voice, p->plant->site);
}

/* The parts in their order. The owner's side comes last: it is handed over by itself, too. */
static const struct {
    void (*put)(handover_pen *p);
    bool in_short;
} parts[] = {{handover_put_who, true},        {handover_put_section, true},    {handover_put_chart, false},
             {handover_put_settings, true},   {handover_put_narrative, false}, {handover_put_matrix, false},
             {handover_put_proof, true},      {handover_put_photos, true},     {handover_put_tests, false},
             {handover_put_assumed, true},    {put_defaults, false},           {handover_put_cautions, true},
             {handover_put_signatures, true}, {handover_put_owner, true}};

pw_status pw_paper_handover(pw_arena *arena, const pw_handover *job, const pw_voice *voice, pw_document **out)
{
    *out = NULL;
    const pw_site *site = job->plant->site;
    pw_document *document = say_new_paper(arena, voice, "handover.title", site->name, site->invented);
    if (document == NULL) {
        return PW_MEMORY;
    }
    handover_pen p = {arena, document, voice, job, job->plant};
    say_block(document, voice, PW_BLOCK_LEAD, PW_TONE_PLAIN, pw_fact_of("handover.lead", pw_truth(job->is_short)));
    (void)say_invented(document, voice, site);
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        if (parts[i].in_short || !job->is_short) {
            parts[i].put(&p);
        }
    }
    if (document->failed) {
        return PW_MEMORY;
    }
    *out = document;
    return PW_OK;
}
