/* The plan of advice: what may take the place of which sentence, and the settings under which the simulations are done:
 * every watch as a warning, so that it acts on nothing, and a warning for each level that is looked at (a probe).
 */
#include <string.h>

#include "study/advise_inside.h"
#include "study/proposal.h"

const double advise_slacks[PW_SLACKS] = {1.0, 1.25, 1.5, 2.0, 3.0};

static const char *const ids[PW_WATCH_FORMS] = {
    [PW_WATCH_STARTS] = "starts",
    [PW_WATCH_STARTS_NIGHT] = "starts at night",
    [PW_WATCH_STARTS_ROW] = "starts in a row",
    [PW_WATCH_RUN] = "running",
    [PW_WATCH_RUN_NIGHT] = "running at night",
    [PW_WATCH_NO_FLOW] = "no flow",
    [PW_WATCH_LOW_CURRENT] = "current below",
    [PW_WATCH_LOW_PRESSURE] = "pressure below",
    [PW_WATCH_HIGH_PRESSURE] = "pressure above",
    [PW_WATCH_HIGH_CURRENT] = "current above",
};

const char *pw_watch_form_id(pw_watch_form form)
{
    return ids[form];
}

void pw_advise_defaults(pw_advise_options *out)
{
    memset(out, 0, sizeof *out);
    pw_proof_defaults(&out->proof);
    out->proof.margins = false;
    out->proof.sweep_count = 24;
    out->proof.horizon_s = 3.0 * 86400.0;
    out->unseen_s = 14.0 * 86400.0;
    out->at_most = 1;
    out->at_most_s = 2.0 * PW_HEALTHY_YEAR_S;
    out->water_per_m3 = 2.0;
    out->call_out = 200.0;
    out->pump = 1500.0;
    out->sentence = 1.0;
    out->fault_years = 10.0;
    out->uncertain = true;
    out->able = (1u << PW_WATCH_FORMS) - 1u;
}

/* ---- the settings as they are ---- */

/* A limit for one pump takes the place of no sentence that is for another one, too; pump -1: every pump. */
static bool only_for(const pw_plant *plant, int32_t sentence, int32_t pump)
{
    bool only = true;
    for (int32_t p = 0; p < plant->site->pump_count && pump >= 0; p++) {
        only = only && pw_settings_is_for(plant->settings, sentence, p) == (p == pump);
    }
    return only;
}

/* The family whose limit this watch is; -1: none, it stays as it is. */
static int16_t family_of(const pw_advise_plan *plan, int32_t sentence)
{
    pw_look one, two;
    const pw_settings *settings = plan->plant->settings;
    if (pw_settings_kind(settings, sentence) != PW_SENTENCE_LOCK || !pw_settings_look(settings, sentence, 0, &one)) {
        return -1;
    }
    const bool more = pw_settings_look(settings, sentence, 1, &two),
               third = pw_settings_look(settings, sentence, 2, &two);
    (void)pw_settings_look(settings, sentence, 1, &two);
    const bool night = more && two.kind == PW_TERM_CLOCK;
    const bool runs = more && (one.kind == PW_TERM_RUNNING || two.kind == PW_TERM_RUNNING);
    if (third || one.at_rest || (more && (!pw_settings_needs_all(settings, sentence) || !(night || runs)))) {
        return -1;
    }
    const pw_look *look = runs && one.kind == PW_TERM_RUNNING && !night ? &two : &one;
    /* what is added up within a window ("for 5 h in 24 h") sees what no single stretch shows: another form */
    const bool at_a_stretch = look->time_s > 0.0;
    int32_t starts_reach = 0;
    double window_s = 0.0, running_s = 0.0;
    const bool one_window =
        pw_settings_limit(settings, sentence, &starts_reach, &window_s, &running_s) && starts_reach > 0;
    for (int16_t f = 0; f < plan->family_count; f++) {
        const pw_family *family = &plan->families[f];
        bool is = false;
        if (!only_for(plan->plant, sentence, family->pump)) {
            continue;
        }
        switch (family->form) {
        case PW_WATCH_STARTS: is = look->kind == PW_TERM_STARTS && !more && one_window; break;
        case PW_WATCH_STARTS_NIGHT: is = look->kind == PW_TERM_STARTS && night && one_window; break;
        case PW_WATCH_STARTS_ROW: is = look->kind == PW_TERM_STARTS && !more && !one_window; break;
        case PW_WATCH_RUN: is = look->kind == PW_TERM_RUNNING && !more && at_a_stretch; break;
        case PW_WATCH_RUN_NIGHT: is = look->kind == PW_TERM_RUNNING && night && at_a_stretch; break;
        case PW_WATCH_NO_FLOW:
            is = look->kind == PW_TERM_FLOW && !look->above && look->signal == family->signal && at_a_stretch;
            break;
        case PW_WATCH_LOW_CURRENT: is = look->kind == PW_TERM_CURRENT && !look->above; break;
        case PW_WATCH_HIGH_CURRENT: is = look->kind == PW_TERM_CURRENT && look->above; break;
        case PW_WATCH_LOW_PRESSURE:
            is = look->kind == PW_TERM_PRESSURE && !look->above && look->signal == family->signal && runs;
            break;
        case PW_WATCH_HIGH_PRESSURE:
            is = look->kind == PW_TERM_PRESSURE && look->above && look->signal == family->signal && !more;
            break;
        case PW_WATCH_FORMS: break;
        }
        if (is) {
            return f;
        }
    }
    return -1;
}

static bool is_kept(const pw_advise_plan *plan, const char *words)
{
    for (int32_t i = 0; i < plan->options.keep_count; i++) {
        if (strncmp(words, plan->options.keep[i], strlen(plan->options.keep[i])) == 0) {
            return true;
        }
    }
    return false;
}

/* It looks at a sensor that is not to count. */
static bool is_dropped(const advise_planner *m, int32_t sentence)
{
    pw_look look;
    const pw_plant *plant = m->plan->plant;
    for (int32_t k = 0;
         pw_settings_is_watch(plant->settings, sentence) && pw_settings_look(plant->settings, sentence, k, &look);
         k++) {
        if (look.signal >= 0 && !advise_counts(m, plant->signals[look.signal].name)) {
            return true;
        }
        for (int32_t p = 0; look.kind == PW_TERM_CURRENT && p < plant->site->pump_count; p++) {
            if (!advise_counts(m, plant->site->pumps[p].name)) {
                return true;
            }
        }
    }
    return false;
}

/* A watch as the warning that it would be: acts on nothing. */
static const char *as_warning(advise_planner *m, const char *words)
{
    const char *at = strstr(words, "lock out when ");
    pw_text text;
    if (at == NULL) {
        return words;
    }
    pw_text_init(&text, m->arena);
    pw_text_put_n(&text, words, (size_t)(at - words));
    pw_text_puts(&text, "warn when ", at + strlen("lock out when "), (const char *)NULL);
    return advise_text(m, &text);
}

static void look_at_present(advise_planner *m)
{
    pw_advise_plan *plan = m->plan;
    for (int32_t i = 0; i < pw_settings_count(plan->plant->settings); i++) {
        pw_text text;
        pw_text_init(&text, m->arena);
        pw_settings_put(plan->plant->settings, i, &text);
        plan->dropped[i] = is_dropped(m, i);
        plan->family_of[i] = is_kept(plan, advise_text(m, &text)) || plan->dropped[i] ? -1 : family_of(plan, i);
        plan->keeps_starts = plan->keeps_starts || pw_settings_kind(plan->plant->settings, i) == PW_SENTENCE_KEEP_LOCKS;
    }
}

/* Under what the simulations are done. */
static pw_status build_trial(advise_planner *m, pw_problems *problems)
{
    pw_advise_plan *plan = m->plan;
    const pw_settings *settings = plan->plant->settings;
    pw_proposal *list = PW_NEW(m->arena, 1, pw_proposal);
    pw_plant *trial = NULL;
    if (list == NULL) {
        return PW_MEMORY;
    }
    for (int32_t i = 0; i < pw_settings_count(settings); i++) {
        const bool watch = pw_settings_is_watch(settings, i);
        const pw_sentence_kind kind = pw_settings_kind(settings, i);
        plan->trial_of[i] = -1;
        if (kind == PW_SENTENCE_RETRY || kind == PW_SENTENCE_KEEP_LOCKS) {
            continue; /* nothing is locked out */
        }
        pw_text text;
        pw_text_init(&text, m->arena);
        pw_settings_put(settings, i, &text);
        plan->trial_of[i] = (int16_t)(watch ? list->count : -1);
        list->sentences[list->count] = watch ? as_warning(m, advise_text(m, &text)) : advise_text(m, &text);
        list->count++;
    }
    plan->first_probe = list->count;
    for (int32_t i = 0; i < plan->probe_count; i++) {
        list->sentences[list->count] = m->probes[i];
        list->count++;
    }
    list->sentences[list->count] = "warn when running"; /* the last probe */
    list->count++;
    const pw_status status = pw_proposal_plant(m->arena, plan->plant, list, &trial, problems);
    plan->trial = trial;
    return status;
}

pw_status pw_advise_plan_of(pw_arena *arena, const pw_plant *plant, const pw_advise_options *options,
                            pw_advise_plan **out, pw_problems *problems)
{
    pw_jobs *jobs = NULL;
    pw_advise_plan *plan = PW_NEW(arena, 1, pw_advise_plan);
    advise_planner *m = PW_NEW(arena, 1, advise_planner);
    *out = plan;
    if (plan == NULL || m == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", NULL, NULL, NULL);
    }
    plan->plant = plant;
    plan->options = *options;
    plan->limits = PW_NEW(arena, PW_MAX_LIMITS, pw_limit);
    const int32_t room = PW_MAX_SENTENCES - 1 - pw_settings_count(plant->settings);
    *m = (advise_planner){.arena = arena, .plan = plan, .room = room < PW_MAX_PROBES ? room : PW_MAX_PROBES};
    if (plan->limits == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", NULL, NULL, NULL);
    }
    pw_status status = pw_proof_plan(arena, plant, &options->proof, &jobs, problems);
    if (status != PW_OK) {
        return status;
    }
    plan->jobs = jobs;
    const pw_demand_basis basis = pw_demand_basis_of(plant->site);
    if (pw_demand_seen_briefly(&basis)) { /* it shows neither how long a hose may run nor how busy a day can be */
        plan->options.able &= ~(1u << PW_WATCH_STARTS | 1u << PW_WATCH_STARTS_NIGHT | 1u << PW_WATCH_STARTS_ROW |
                                1u << PW_WATCH_RUN | 1u << PW_WATCH_RUN_NIGHT);
    }
    advise_families(m);
    look_at_present(m);
    status = m->failed ? PW_MEMORY : build_trial(m, problems);
    return status == PW_OK && !m->failed ? PW_OK : pw_problem_add(problems, PW_MEMORY, "", NULL, NULL, NULL);
}
