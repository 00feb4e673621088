/* Site to model: number the nodes and links, copy what the laws need, plan the sparse system, make the tables. */
#include "base/num.h"
#include "element/bore.h"
#include "element/model_impl.h"
#include "element/valve.h"
#include "formula/atmosphere.h"
#include "formula/pump.h"
#include "site/topology.h"

static bool gives_head(const pw_node *at)
{
    return at->source >= 0 || at->vessel >= 0 || at->tank >= 0;
}

/* Open pipe leads from this place to a pressure vessel: the vessel holds the pressure, and what the pipe takes up by
 * stretching is little beside it (a share of its gas: vessel_elastic). A main of its own would only be stiff. */
static bool joins_vessel(const pw_model *model, int32_t place)
{
    static const pw_walk_rules open_pipe = {
        .way = PW_WALK_JOINED, .open_pipe = true, .ends = PW_SOURCES | PW_VESSELS | PW_TANKS};
    pw_reach reach = {0};
    bool joins = false;
    pw_walk(model->site, &open_pipe, place, &reach);
    for (int32_t v = 0; v < model->site->vessel_count; v++) {
        joins = joins || reach.at[model->site->vessels[v].place];
    }
    return joins;
}

static void number_nodes(pw_model *model)
{
    const pw_site *site = model->site;
    model->node_count = site->place_count + site->tank_count + model->high_count;
    for (int32_t n = 0; n < model->node_count; n++) {
        pw_node *at = &model->nodes[n];
        at->level_m = n < site->place_count ? site->places[n].level_m.v : 0.0;
        at->source = -1;
        at->vessel = -1;
        at->tank = -1;
        at->elastic = -1;
        at->line = -1;
    }
    for (int32_t i = 0; i < model->high_count; i++) {
        pw_node *at = &model->nodes[pw_high_node(model, i)];
        at->line = model->highs[i].line;
        at->level_m = model->highs[i].height_m;
    }
    for (int32_t i = 0; i < site->source_count; i++) {
        model->nodes[site->sources[i].place].source = i;
        model->state_of_source[i] = -1;
        if (site->sources[i].kind == PW_SOURCE_BORE) {
            model->state_of_source[i] = model->bore_count;
            model->source_of_bore[model->bore_count] = i;
            model->bore_count++;
        }
    }
    for (int32_t i = 0; i < site->vessel_count; i++) {
        model->nodes[site->vessels[i].place].vessel = i;
    }
    for (int32_t i = 0; i < site->tank_count; i++) {
        pw_node *inlet = &model->nodes[site->place_count + i];
        model->nodes[site->tanks[i].place].tank = i;
        inlet->tank = i;
        inlet->inlet = true;
        inlet->level_m = site->places[site->tanks[i].place].level_m.v + site->tanks[i].inlet_m.v;
    }
    for (int32_t i = 0; i < site->pump_count; i++) {
        pw_node *to = &model->nodes[site->pumps[i].to];
        if (!gives_head(to) && to->elastic < 0 && !joins_vessel(model, site->pumps[i].to)) {
            to->elastic = model->elastic_count;
            model->elastic_place[model->elastic_count] = site->pumps[i].to;
            model->elastic_count++;
        }
    }
    for (int32_t kind = 0; kind < STORE_KINDS; kind++) {
        model->first_state[kind] = model->state_count;
        model->state_count += pw_store_kinds[kind].count(model);
    }
    for (int32_t n = 0; n < model->node_count; n++) {
        pw_node *at = &model->nodes[n];
        at->unknown = -1;
        if (!gives_head(at) && at->elastic < 0) {
            at->unknown = model->unknown_count;
            model->unknown_count++;
        }
    }
}

/* The node at which a link to this place ends: a tank's inlet. */
static int32_t end_at(const pw_model *model, int32_t place)
{
    const int32_t tank = model->nodes[place].tank;
    return tank >= 0 ? model->site->place_count + tank : place;
}

/* A link, cut at the high points of its line. */
static void number_parts(pw_model *model, const pw_link *whole)
{
    pw_link part = *whole;
    double from_part = 0.0;
    for (int32_t h = 0; h < model->high_count && whole->kind == LINK_LINE; h++) {
        const pw_high *high = &model->highs[h];
        if (high->line == whole->item) {
            part.to = pw_high_node(model, h);
            part.share = high->part - from_part;
            part.last = false;
            model->links[model->link_count] = part;
            model->link_count++;
            from_part = high->part;
            part.from = part.to;
            part.first = false;
        }
    }
    part.to = whole->to;
    part.last = true;
    part.share = 1.0 - from_part;
    model->links[model->link_count] = part;
    model->link_count++;
}

static void number_links(pw_model *model)
{
    for (int32_t kind = 0; kind < LINK_KINDS; kind++) {
        for (int32_t i = 0; i < pw_link_kinds[kind].count(model->site); i++) {
            pw_link whole = {.kind = (link_kind_id)kind, .item = i, .share = 1.0, .first = true, .last = true};
            int32_t to;
            pw_link_kinds[kind].places(model->site, i, &whole.from, &to);
            whole.to = end_at(model, to);
            number_parts(model, &whole);
        }
    }
}

static void lines_of(pw_model *model)
{
    for (int32_t i = 0; i < model->site->line_count; i++) {
        const pw_line *line = &model->site->lines[i];
        const int32_t into = model->nodes[line->to].tank;
        pw_pipe_of(line, &model->water, &model->pipes[i]);
        model->line_ends[i] = (line_ends){
            .into_tank = into,
            .out_of_tank = model->nodes[line->from].tank,
            .out_of_source = model->nodes[line->from].source,
            .float_k = into >= 0 ? pw_float_k_s2m5(&model->site->tanks[into]) : 0.0,
        };
    }
}

/* Elastic mains share what all pipes take up by stretching; so do the vessels where there are no mains to: a
 * waterlogged vessel still gives a little with pressure. */
static void stretch_of(pw_model *model)
{
    const pw_site *site = model->site;
    const pw_elastic whole = pw_elastic_of(site, &model->water, model->torn_pa);
    for (int32_t e = 0; e < model->elastic_count; e++) {
        model->mains[e] = pw_elastic_part(&whole, model->elastic_count);
        pw_column_of(site, model->elastic_place[e], model->pa_per_m, &model->mains[e].column);
    }
    for (int32_t v = 0; v < site->vessel_count; v++) {
        pw_vessel_law_of(&site->vessels[v], model->atmosphere_pa, whole.give_m3pa / site->vessel_count,
                         &model->vessels[v]);
    }
}

static pw_status tables_of(pw_arena *arena, pw_model *model)
{
    pw_status status = PW_OK;
    for (int32_t i = 0; i < model->site->line_count && status == PW_OK; i++) {
        status = pw_pipe_tabulate(arena, &model->pipes[i], &model->table_error);
    }
    for (int32_t p = 0; p < model->site->pump_count && status == PW_OK; p++) {
        status = model->suctions[p].own_pipe ? pw_pipe_tabulate(arena, &model->suctions[p].pipe, &model->table_error)
                                             : PW_OK;
    }
    for (int32_t v = 0; v < model->site->vessel_count && status == PW_OK; v++) {
        status = pw_vessel_tabulate(arena, &model->vessels[v], &model->table_error);
    }
    return status;
}

/* Every place must hang on some given head, or its pressure has no value. */
static bool reached(const pw_model *model, int32_t *lost)
{
    static const pw_walk_rules whatever = {.way = PW_WALK_JOINED, .through_pumps = true};
    pw_reach reach = {0};
    for (int32_t n = 0; n < model->site->place_count; n++) {
        if (model->nodes[n].unknown < 0) {
            pw_walk(model->site, &whatever, n, &reach);
        }
    }
    for (int32_t n = 0; n < model->site->place_count; n++) {
        if (!reach.at[n]) {
            *lost = n;
            return false;
        }
    }
    return true;
}

/* Unknown places that hang together get the lowest number among them as their mark. */
static void mark_clusters(const pw_model *model, int32_t *mark)
{
    bool given[PW_MAX_PLACES] = {false};
    const pw_walk_rules among_unknown = {
        .way = PW_WALK_JOINED, .through_pumps = true, .barred = PW_TANKS, .shut = given};
    pw_reach reach = {0};
    for (int32_t n = 0; n < model->node_count; n++) {
        mark[n] = n;
        if (n < model->site->place_count) {
            given[n] = model->nodes[n].unknown < 0;
        }
    }
    for (int32_t n = 0; n < model->site->place_count; n++) {
        const int32_t before = reach.count;
        if (!given[n]) {
            pw_walk(model->site, &among_unknown, n, &reach);
        }
        for (int32_t i = before; i < reach.count; i++) {
            mark[reach.order[i]] = n;
        }
    }
}

/* A high point hangs together with the ends of its line; between two given heads its high points are by themselves. */
static void mark_highs(const pw_model *model, int32_t *mark)
{
    for (int32_t h = 0; h < model->high_count; h++) {
        const pw_line *line = &model->site->lines[model->highs[h].line];
        const int32_t n = pw_high_node(model, h);
        const bool follows = h > 0 && model->highs[h - 1].line == model->highs[h].line;
        mark[n] = model->nodes[line->from].unknown >= 0                ? mark[line->from]
                  : model->nodes[end_at(model, line->to)].unknown >= 0 ? mark[line->to]
                  : follows                                            ? mark[n - 1]
                                                                       : n;
    }
}

/* The mark of the cluster that a link belongs to; -1: a link between two given heads, a cluster by itself. */
static int32_t mark_of_link(const pw_model *model, const int32_t *mark, int32_t l)
{
    const int32_t a = model->links[l].from;
    const int32_t b = model->links[l].to;
    return model->nodes[a].unknown >= 0 ? mark[a] : model->nodes[b].unknown >= 0 ? mark[b] : -1;
}

static void note_given(const pw_model *model, cluster *c, int32_t n, bool *first)
{
    if (model->nodes[n].unknown < 0) {
        c->given = *first || c->given == n ? n : -1;
        *first = false;
    }
}

static pw_status plan_cluster(pw_arena *arena, pw_model *model, cluster *c)
{
    int32_t a[PW_MAX_LINKS];
    int32_t b[PW_MAX_LINKS];
    int32_t edges = 0;
    bool first = true;
    c->given = -1;
    for (int32_t i = 0; i < c->node_count; i++) {
        model->nodes[model->cluster_nodes[c->first_node + i]].unknown = i;
    }
    for (int32_t i = 0; i < c->link_count; i++) {
        const int32_t l = model->cluster_links[c->first_link + i];
        const int32_t from = model->links[l].from;
        const int32_t to = model->links[l].to;
        note_given(model, c, from, &first);
        note_given(model, c, to, &first);
        c->has_pump = c->has_pump || model->links[l].kind == LINK_PUMP;
        if (model->nodes[from].unknown >= 0 && model->nodes[to].unknown >= 0) {
            a[edges] = model->nodes[from].unknown;
            b[edges] = model->nodes[to].unknown;
            edges++;
        }
    }
    return c->node_count > 0 ? pw_sparse_plan(arena, c->node_count, edges, a, b, &c->plan) : PW_OK;
}

pw_status pw_clusters_of(pw_arena *arena, pw_model *model)
{
    int32_t mark[PW_MAX_NODES];
    int32_t links = 0;
    int32_t nodes = 0;
    mark_clusters(model, mark);
    mark_highs(model, mark);
    for (int32_t n = 0; n < model->node_count + model->link_count; n++) {
        const int32_t lone = n - model->node_count; /* after the marks: links between given heads */
        cluster *c = &model->clusters[model->cluster_count];
        c->first_link = links;
        c->first_node = nodes;
        for (int32_t l = 0; l < model->link_count; l++) {
            const int32_t its = mark_of_link(model, mark, l);
            if (lone < 0 ? its == n : its < 0 && l == lone) {
                model->cluster_links[links] = l;
                links++;
            }
        }
        if (links == c->first_link) {
            continue;
        }
        for (int32_t i = 0; i < model->node_count && lone < 0; i++) {
            if (model->nodes[i].unknown >= 0 && mark[i] == n) {
                model->cluster_nodes[nodes] = i;
                nodes++;
            }
        }
        c->link_count = links - c->first_link;
        c->node_count = nodes - c->first_node;
        model->cluster_count++;
    }
    for (int32_t i = 0; i < model->cluster_count; i++) {
        const pw_status status = plan_cluster(arena, model, &model->clusters[i]);
        if (status != PW_OK) {
            return status;
        }
    }
    return PW_OK;
}

static pw_status no_memory(pw_problems *problems)
{
    return pw_problem_tell(problems, PW_MEMORY, "", pw_no_fact(), pw_fact_of("input.more-memory"), pw_no_fact());
}

pw_status pw_model_build(pw_arena *arena, const pw_site *site, bool exact, pw_model **out, pw_problems *problems)
{
    *out = NULL;
    pw_model *model = PW_NEW(arena, 1, pw_model);
    if (model == NULL) {
        return no_memory(problems);
    }
    model->site = site;
    model->exact = exact;
    (void)pw_water_at(site->water_c.v, &model->water);
    model->atmosphere_pa = pw_atmosphere_pa(site->altitude_m.v);
    model->pa_per_m = pw_pa_per_m(model->water.density_kgm3);
    model->torn_pa = model->water.vapour_pa - model->atmosphere_pa;
    if (!pw_ground_highs(model)) {
        return pw_problem_tell(problems, PW_LIMIT, "lines", pw_fact_of("sheet.high-points"),
                               pw_fact_of("sheet.at-most-of-them", pw_count(PW_MAX_HIGHS)), pw_no_fact());
    }
    const double barometer_m =
        pw_npsh_available_m(model->atmosphere_pa, model->water.vapour_pa, model->water.density_kgm3, 0.0, 0.0);
    for (int32_t l = 0; l < PW_MAX_LINES; l++) {
        model->filter_of_line[l] = -1;
    }
    for (int32_t f = 0; f < site->filter_count; f++) {
        model->filter_of_line[site->filters[f].line] = f;
    }
    number_nodes(model);
    number_links(model);
    lines_of(model);
    stretch_of(model);
    for (int32_t i = 0; i < site->pump_count; i++) {
        pw_feeds_find(model, i, &model->feeds[i]);
        if (!pw_pump_law_of(&site->pumps[i], model->pa_per_m, barometer_m, &model->pumps[i])) {
            return pw_problem_tell(problems, PW_RANGE, "pumps", pw_verbatim(site->pumps[i].name),
                                   pw_fact_of("input.curve-needed"), pw_no_fact());
        }
    }
    for (int32_t i = 0; i < site->pump_count; i++) {
        model->cables[i] = pw_motor_cable_of(site, i);
        pw_suction_of(model, i, &model->suctions[i]);
        model->feeds[i].lifts = model->suctions[i].lifts;
    }
    pw_suction_pushed(model);
    int32_t lost = 0;
    if (!reached(model, &lost)) {
        return pw_problem_tell(problems, PW_CONFLICT, "places", pw_verbatim(site->places[lost].name),
                               pw_fact_of("input.places-joined"), pw_no_fact());
    }
    if (pw_clusters_of(arena, model) != PW_OK || (!exact && tables_of(arena, model) != PW_OK) ||
        pw_ahead_of(arena, model) != PW_OK) {
        return no_memory(problems);
    }
    pw_spots_find(model);
    *out = model;
    return PW_OK;
}
