/* Pipe size of each line: the smallest of its family that keeps the velocity and the friction, with its neighbours. */
#include <string.h>

#include "study/size_inside.h"
#include "formula/tables.h"
#include "formula/fitting.h"
#include "formula/friction.h"
#include "formula/pipe.h"

enum { MOST_OF_FAMILY = 24, KEY = 64 };

static bool starts_with_digit(const char *word)
{
    return word[0] >= '0' && word[0] <= '9';
}

/* The name without its size: "PE100 40 SDR 11" and "PE100 63 SDR 11" are one family, "copper 22 x 1.2" another than
 * "copper 22". Words that begin with a digit (or DN and a digit) are the size, but for the class behind "SDR", "PN" and
 * "schedule". */
static void family_of(const char *name, char key[KEY])
{
    size_t used = 0;
    bool keep_next = false;
    key[0] = '\0';
    while (*name != '\0') {
        const size_t length = strcspn(name, " ");
        const bool size = starts_with_digit(name) || (strncmp(name, "DN", 2) == 0 && starts_with_digit(name + 2));
        if ((!size || keep_next) && used + length + 2 < KEY) {
            memcpy(key + used, name, length);
            used += length;
            key[used] = ' ';
            used++;
            key[used] = '\0';
        }
        keep_next = strncmp(name, "SDR", 3) == 0 || strncmp(name, "schedule", 8) == 0;
        name += length;
        name += strspn(name, " ");
    }
}

/* Sizes of one family by rising bore. */
static int32_t sizes_of(const char *pipe, pw_pipe_size out[MOST_OF_FAMILY])
{
    char wanted[KEY];
    char known[KEY];
    int32_t count = 0;
    family_of(pipe, wanted);
    for (int32_t i = 0; i < pw_pipe_count(); i++) {
        pw_pipe_size size;
        if (!pw_pipe_at(i, &size)) {
            continue;
        }
        family_of(size.name, known);
        if (strcmp(wanted, known) != 0 || count == MOST_OF_FAMILY) {
            continue;
        }
        int32_t at = count;
        while (at > 0 && out[at - 1].bore_m > size.bore_m) {
            out[at] = out[at - 1];
            at--;
        }
        out[at] = size;
        count++;
    }
    return count;
}

static double price_of(const size_work *w, const char *name)
{
    const pw_design *design = &w->site->design;
    for (int32_t i = 0; i < design->price_count; i++) {
        pw_pipe_size size;
        if (pw_pipe_find(design->prices[i].pipe, &size) && strcmp(size.name, name) == 0) {
            return design->prices[i].per_m.v;
        }
    }
    return PW_INF;
}

static double k_of(const pw_line *line, double bore_m, double reynolds)
{
    double k = line->extra_k.v;
    for (int32_t f = 0; f < line->fitting_count; f++) {
        k += line->fittings[f].count * pw_fitting_k(line->fittings[f].kind, bore_m, reynolds);
    }
    return k;
}

static void prove_size(const size_work *w, const pw_line *line, const pw_pipe_size *size, double flow_m3s,
                       pw_size_pipe *out)
{
    const pw_design *design = &w->site->design;
    const double reynolds = pw_reynolds(size->bore_m, &w->water, flow_m3s);
    const double k = k_of(line, size->bore_m, reynolds);
    const double aged = design->aged_rough_m.v > 0.0 ? pw_max(design->aged_rough_m.v, size->rough_m)
                                                     : pw_aged_rough_m(size->name, size->rough_m);
    double straight;
    pw_copy(out->name, sizeof out->name, size->name);
    out->bore_m = size->bore_m;
    out->velocity_ms = flow_m3s / pw_bore_area_m2(size->bore_m);
    pw_pipe_loss(size->bore_m, 100.0, size->rough_m, 0.0, &w->water, flow_m3s, &straight, NULL);
    out->gradient_new = straight / 100.0;
    pw_pipe_loss(size->bore_m, line->length_m.v, size->rough_m, k, &w->water, flow_m3s, &out->loss_new_m, NULL);
    pw_pipe_loss(size->bore_m, line->length_m.v, aged, k, &w->water, flow_m3s, &out->loss_aged_m, NULL);
    const double price = price_of(w, size->name);
    out->cost = price < PW_INF ? price * line->length_m.v : PW_INF;
    out->fits = out->velocity_ms <= design->velocity_ms.v && out->gradient_new <= design->gradient.v;
    out->present = pw_abs(size->bore_m - line->bore_m.v) < 1e-6;
}

static void add_choice(pw_size_run_of_pipe *run, const pw_size_pipe *pipe)
{
    for (int32_t i = 0; i < run->count; i++) {
        if (strcmp(run->choices[i].name, pipe->name) == 0) {
            return;
        }
    }
    if (run->count < PW_SIZE_CHOICES) {
        run->choices[run->count] = *pipe;
        run->count++;
    }
}

static void size_line(size_work *w, int32_t index, double flow_m3s)
{
    const pw_line *line = &w->site->lines[index];
    pw_size_run_of_pipe *run = &w->out->pipes[w->out->pipe_count];
    pw_pipe_size sizes[MOST_OF_FAMILY];
    pw_size_pipe judged[MOST_OF_FAMILY];
    pw_pipe_size known;
    memset(run, 0, sizeof *run);
    run->line = index;
    run->falls = w->falls[index];
    run->flow_m3s = flow_m3s;
    const bool named = line->pipe[0] != '\0' && pw_pipe_find(line->pipe, &known);
    const int32_t count = sizes_of(named ? known.name : "PE100 40 SDR 11", sizes);
    int32_t chosen = count - 1;
    int32_t present = -1;
    for (int32_t i = 0; i < count; i++) {
        prove_size(w, line, &sizes[i], flow_m3s, &judged[i]);
        present = judged[i].present ? i : present;
    }
    while (chosen > 0 && judged[chosen - 1].fits) {
        chosen--;
    }
    if (chosen > 0) {
        add_choice(run, &judged[chosen - 1]);
    }
    run->chosen = run->count;
    add_choice(run, &judged[chosen]);
    if (chosen + 1 < count) {
        add_choice(run, &judged[chosen + 1]);
    }
    if (present >= 0) {
        add_choice(run, &judged[present]);
    } else { /* a pipe of its own, not in the table */
        pw_pipe_size own;
        pw_size_pipe mine;
        memset(&own, 0, sizeof own);
        pw_copy(own.name, sizeof own.name, PW_SIZE_OWN_PIPE);
        own.bore_m = line->bore_m.v;
        own.rough_m = line->rough_m.v;
        prove_size(w, line, &own, flow_m3s, &mine);
        add_choice(run, &mine);
    }
    w->out->pipe_count++;
}

/* "4.59 m in 100 m": a ratio, so the same number in feet. */
static pw_value size_gradient(size_work *w, double gradient)
{
    return size_nested(w, pw_fact_of("size.gradient", size_n(w, 100.0 * gradient), pw_in_us_units()));
}

static void put_line(size_work *w, const pw_size_run_of_pipe *run)
{
    const pw_line *line = &w->site->lines[run->line];
    const pw_size_pipe *chosen = &run->choices[run->chosen];
    const pw_design *design = &w->site->design;
    const pw_size_pipe *present = chosen;
    for (int32_t i = 0; i < run->count; i++) {
        present = run->choices[i].present ? &run->choices[i] : present;
    }
    size_add(w, PW_SIZE_PIPES, size_id(w, "flow, ", line->name), pw_fact_of("size.flow-in", pw_named(line->name)),
             PW_DIM_FLOW, run->flow_m3s, run->falls ? pw_fact_of("size.flow-falls") : pw_fact_of("size.flow-larger"),
             pw_fact_of("size.docs-network"));
    size_add(w, PW_SIZE_PIPES, size_id(w, "velocity, ", line->name),
             pw_fact_of("size.velocity-in", pw_named(line->name)), PW_DIM_VELOCITY, present->velocity_ms,
             pw_fact_of("size.through-bore", size_q(w, PW_DIM_FLOW, run->flow_m3s),
                        size_q(w, PW_DIM_LENGTH, present->bore_m)),
             pw_fact_of("size.definition"));
    size_add(w, PW_SIZE_PIPES, size_id(w, "loss, ", line->name), pw_fact_of("size.loss-in", pw_named(line->name)),
             PW_DIM_LENGTH, present->loss_new_m,
             pw_fact_of("size.loss-how", size_gradient(w, present->gradient_new),
                        size_q(w, PW_DIM_LENGTH, line->length_m.v), size_h(w, present->loss_aged_m)),
             pw_fact_of("size.loss-source"));
    const double slack = pw_min(design->velocity_ms.v / pw_max(present->velocity_ms, 1e-9),
                                design->gradient.v / pw_max(present->gradient_new, 1e-9));
    if (run->falls) {
        return; /* no design flow of its own */
    }
    size_check(w, "pipe", slack - 1.0,
               pw_fact_of("size.check-pipe", pw_named(line->name), size_q(w, PW_DIM_FLOW, run->flow_m3s),
                          size_q(w, PW_DIM_VELOCITY, present->velocity_ms), size_gradient(w, present->gradient_new),
                          pw_named(chosen == present ? "" : chosen->name)));
}

/* The pipe's pressure class beside what stands at its lowest ground with the pump against a shut valve. */
static void check_class(size_work *w, int32_t index)
{
    const pw_site *site = w->site;
    const pw_line *line = &site->lines[index];
    const int32_t from = site->pumps[w->out->pump].from;
    const double source_m =
        w->source >= 0 ? site->places[site->sources[w->source].place].level_m.v : site->places[from].level_m.v;
    pw_pipe_size pipe;
    if (!w->behind[line->from] || line->pipe[0] == '\0' || !pw_pipe_find(line->pipe, &pipe) || !(pipe.class_pa > 0.0)) {
        return;
    }
    double lowest_m = pw_min(site->places[line->from].level_m.v, site->places[line->to].level_m.v);
    for (int32_t i = 0; i < line->profile_count; i++) {
        lowest_m = pw_min(lowest_m, line->profile[i].height_m.v);
    }
    const double top_m = source_m - size_water_depth_m(w, SIZE_EASY) + size_machine_head(&w->machine, 0.0);
    const double most_pa = (top_m - lowest_m) * w->pa_per_m;
    size_check(w, "pressure class", pipe.class_pa / pw_max(most_pa, 1.0) - 1.0,
               pw_fact_of("size.check-class", pw_named(line->name), pw_named(line->pipe),
                          size_q(w, PW_DIM_PRESSURE, pipe.class_pa), size_q(w, PW_DIM_PRESSURE, most_pa)));
}

static pw_status prices_are_known(size_work *w)
{
    const pw_design *design = &w->site->design;
    for (int32_t i = 0; i < design->price_count; i++) {
        pw_pipe_size size;
        if (!pw_pipe_find(design->prices[i].pipe, &size)) {
            return pw_problem_tell(w->problems, PW_REFERENCE, "site.design.pipe prices",
                                   pw_verbatim(design->prices[i].pipe), pw_fact_of("sheet.pipe"), pw_no_fact());
        }
    }
    return PW_OK;
}

pw_status size_lines(size_work *w)
{
    const size_t mark = pw_arena_mark(w->arena);
    double flow[PW_MAX_LINES];
    pw_moment *drawn = PW_NEW(w->arena, 1, pw_moment);
    pw_moment *pumped = PW_NEW(w->arena, 1, pw_moment);
    if (drawn == NULL || pumped == NULL) {
        return PW_MEMORY;
    }
    pw_status status = prices_are_known(w);
    status = status == PW_OK ? size_line_flows(w, drawn, pumped) : status;
    if (status != PW_OK) {
        return status;
    }
    for (int32_t l = 0; l < w->site->line_count; l++) {
        flow[l] = pw_max(pw_abs(drawn->line_m3s[l]), pw_abs(pumped->line_m3s[l]));
    }
    pw_arena_back(w->arena, mark);
    for (int32_t l = 0; l < w->site->line_count; l++) {
        check_class(w, l);
        if (flow[l] > 1e-7) {
            size_line(w, l, flow[l]);
            put_line(w, &w->out->pipes[w->out->pipe_count - 1]);
        }
    }
    return PW_OK;
}
