/* The verdict in a few lines. */
#include "study/brief.h"

#include <string.h>

#include "base/num.h"
#include "study/proposal.h"
#include "study/prove_inside.h"

/* ---- the healthy site ---- */

/* The number of the sentence that stops the healthy site most often, from 1; 0 none. */
static int32_t worst_sentence(const pw_healthy *h)
{
    int32_t worst = 0;
    for (int32_t s = 0; s < PW_MAX_SENTENCES; s++) {
        if (h->stops_by[s] > 0 && (worst == 0 || h->stops_by[s] > h->stops_by[worst - 1])) {
            worst = s + 1;
        }
    }
    return worst;
}

static int64_t rounded(double value)
{
    return (int64_t)pw_floor(value + 0.5);
}

pw_fact pw_ailment_fact(const pw_site *site, const pw_healthy *healthy, pw_ailment ailment)
{
    const pw_healthy *h = healthy;
    const int32_t worst = worst_sentence(h);
    switch (ailment) {
    case PW_AIL_HUNTS: return pw_fact_of("paper.healthy-hunts");
    case PW_AIL_BURNS: return pw_fact_of("paper.healthy-burns");
    case PW_AIL_FALSE_STOPS:
        return pw_fact_of("paper.healthy-stops", pw_count(rounded((double)h->false_stops / h->years)),
                          worst > 0 ? pw_count(worst) : pw_named(""));
    case PW_AIL_MISSING:
        return pw_fact_of("paper.healthy-misses", pw_count(rounded(100.0 * h->missing_m3 / h->wanted_m3)));
    case PW_AIL_DRY:
        return pw_fact_of("paper.healthy-dry", pw_quantity(PW_DIM_TIME, h->dry_s),
                          pw_quantity(PW_DIM_TIME, site->limits.dry_run_s.v));
    case PW_AIL_DEADHEAD: return pw_fact_of("paper.healthy-deadhead", pw_quantity(PW_DIM_TIME, h->deadhead_day_s));
    case PW_AIL_HOT_WATER:
        return pw_fact_of("paper.healthy-hot-water", pw_quantity(PW_DIM_TEMPERATURE, h->water_max_c));
    case PW_AIL_WINDING:
        return pw_fact_of("paper.healthy-winding", pw_quantity(PW_DIM_TEMPERATURE, h->winding_max_c),
                          pw_quantity(PW_DIM_TEMPERATURE, pw_outcome_winding_limit_c(site)));
    case PW_AIL_PRESSURE:
        return pw_fact_of("paper.healthy-pressure", pw_quantity(PW_DIM_PRESSURE, h->pressure_top_pa),
                          pw_quantity(PW_DIM_PRESSURE, site->limits.highest_pa.v));
    case PW_AIL_CAVITATES: return pw_fact_of("paper.healthy-cavitates", pw_count(rounded(100.0 * h->cavitates_part)));
    case PW_AIL_STARTS:
    case PW_AILMENTS: break;
    }
    return pw_fact_of("paper.healthy-starts", pw_number(h->most_starts_in_hour, 6),
                      pw_number(site->limits.starts_per_hour.v, 6));
}

static void put_healthy_facts(const pw_proof *proof, const pw_usual *usual, pw_brief *out)
{
    const pw_healthy *h = &proof->healthy;
    if (!h->known) {
        out->healthy = pw_fact_of("paper.healthy-unknown");
        return;
    }
    for (int32_t i = 0; i < PW_AILMENTS; i++) {
        if (h->fails >> i & 1u) {
            pw_facts_add(&out->why, pw_ailment_fact(proof->plant->site, h, (pw_ailment)i));
        }
    }
    if (h->fails != 0) {
        out->healthy = pw_fact_of("paper.healthy-fails");
    } else {
        const pw_demand_basis_kind basis = proof->basis.kind;
        const bool trace = basis == PW_BASIS_TRACE, bound = usual->random || trace;
        out->healthy = pw_fact_of("prove.healthy-in-order", pw_count(proof->false_stops), pw_count(proof->years),
                                  bound ? pw_number(proof->false_upper_per_year, 2) : pw_named(""),
                                  trace ? pw_quantity(PW_DIM_TIME, 86400.0 * proof->basis.days) : pw_named(""),
                                  pw_named(basis == PW_BASIS_HOMES ? "homes" : ""));
    }
}

/* ---- edges ---- */

/* What one move makes of the healthy site; no fact: nothing that it was not before. */
static pw_fact moved_fact(pw_arena *arena, const pw_proof *proof, int32_t i)
{
    const pw_site *site = proof->plant->site;
    const pw_outcome *outcome = &proof->outcomes[i];
    const pw_move move = (pw_move)proof->jobs->jobs[i].year;
    pw_healthy moved;
    prove_healthy_moved(proof, i, &moved);
    const double usual = proof->healthy_years > 0.0 ? proof->false_per_year : 0.0;
    const double a_year = moved.years > 0.0 ? (double)moved.false_stops / moved.years : 0.0;
    if (moved.false_stops > 0 && a_year > 2.0 * usual) {
        const double least = outcome->edge_part > 0.0 ? outcome->edge_part : 1.0;
        const pw_value how = pw_fact_inside(arena, pw_move_fact(site, move, least));
        return pw_fact_of("prove.edge-stops", how, pw_count(worst_sentence(&moved)), pw_count(rounded(a_year)),
                          pw_fact_inside(arena, pw_move_fact(site, move, 1.0)), pw_truth(least < 1.0));
    }
    for (int32_t a = 0; a < PW_AILMENTS; a++) {
        if (a != PW_AIL_FALSE_STOPS && ((moved.fails & ~proof->healthy.fails) >> a & 1u)) {
            return pw_fact_of("prove.edge-ails", pw_fact_inside(arena, pw_move_fact(site, move, 1.0)),
                              pw_fact_inside(arena, pw_ailment_fact(site, &moved, (pw_ailment)a)));
        }
    }
    return pw_no_fact();
}

pw_fact pw_edge_fact(pw_arena *arena, const pw_plant *plant, const pw_outcome *outcome)
{
    pw_facts moves;
    pw_facts_init(&moves, arena);
    for (int32_t m = 0; m < PW_MOVES; m++) {
        if (outcome->edge >> m & 1u) {
            pw_facts_add(&moves, pw_move_fact(plant->site, (pw_move)m, 1.0));
        }
    }
    return moves.count > 0 ? pw_fact_of("prove.edge", pw_list(&moves, PW_JOIN_OR)) : pw_no_fact();
}

/* Catches that each move loses, in one line: how many, and the move that loses most. */
static void put_catches(pw_arena *arena, const pw_proof *proof, pw_facts *out)
{
    int32_t flips[PW_MOVES] = {0}, all = 0, worst = 0;
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        const uint32_t edge = proof->jobs->jobs[i].kind == PW_JOB_FAULT ? proof->outcomes[i].edge : 0;
        all += edge != 0 ? 1 : 0;
        for (int32_t m = 0; m < PW_MOVES; m++) {
            flips[m] += edge >> m & 1u ? 1 : 0;
        }
    }
    for (int32_t m = 1; m < PW_MOVES; m++) {
        worst = flips[m] > flips[worst] ? m : worst;
    }
    if (all > 0) {
        pw_tell(out, "prove.edge-catches", pw_count(all), pw_count(pw_proof_counts(proof).caught),
                pw_count(flips[worst]), pw_fact_inside(arena, pw_move_fact(proof->plant->site, (pw_move)worst, 1.0)));
    }
}

static void put_edges(pw_arena *arena, const pw_proof *proof, pw_brief *out)
{
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        if (proof->jobs->jobs[i].kind != PW_JOB_MARGIN) {
            continue;
        }
        const pw_fact fact = moved_fact(arena, proof, i);
        if (fact.id != NULL) {
            pw_facts_add(&out->edges, fact);
        }
    }
    put_catches(arena, proof, &out->edges);
}

/* ---- holes ---- */

/* Worse than any water: what is broken, then limits passed. Own choice. */
#define BURNT_M3D  1e6
#define BROKEN_M3D 1e4

typedef struct hole {
    int32_t job;
    double worth; /* water a day lost and missing, m3; more for what is broken */
} hole;

static double day_of(const pw_outcome *outcome, double m3)
{
    return outcome->seconds > 0.0 ? pw_max(0.0, m3) * 86400.0 / outcome->seconds : 0.0;
}

static double worth_of(const pw_proof *proof, const pw_outcome *outcome)
{
    const pw_site *site = proof->plant->site;
    double worth = day_of(outcome, outcome->lost_m3 - outcome->usual_lost_m3) +
                   day_of(outcome, prove_misses_water(outcome) ? outcome->missing_m3 - outcome->usual_m3 : 0.0);
    if (outcome->burnt_s > 0.0) {
        worth += BURNT_M3D;
    } else if (outcome->dry_s - outcome->usual_dry_s > site->limits.dry_run_s.v || prove_overpressures(site, outcome) ||
               (outcome->water_max_c > PW_SCALD_C && outcome->usual_water_c <= PW_SCALD_C)) {
        worth += BROKEN_M3D;
    }
    return worth;
}

/* Holes are one sort, whatever made them. */
static int32_t sort_of(const pw_job *job)
{
    return pw_fault_row_of(job->fault.kind)->hole ? (int32_t)PW_SWEPT_FAULT : (int32_t)job->fault.kind;
}

/* Money for the energy that lifts so much lost water a day; 0: no price is known. */
static double money_a_day(const pw_proof *proof, double lost_m3d)
{
    const pw_site *site = proof->plant->site;
    const pw_motor *motor = &site->pumps[0].motor;
    const double watts = motor->efficiency.v > 0.0 ? motor->power_w.v / motor->efficiency.v : motor->power_w.v;
    const double flow_m3s = proof->plant->full_m3s;
    return flow_m3s > 0.0 ? lost_m3d / flow_m3s * watts / 3.6e6 * site->design.energy_price.v : 0.0;
}

static pw_fact hole_fact(pw_arena *arena, const pw_proof *proof, int32_t i)
{
    const pw_job *job = &proof->jobs->jobs[i];
    const pw_outcome *o = &proof->outcomes[i];
    const pw_site *site = proof->plant->site;
    const double lost_m3d = prove_loses_water(o) ? day_of(o, o->lost_m3 - o->usual_lost_m3) : 0.0;
    const double missing_m3d = prove_misses_water(o) ? day_of(o, o->missing_m3 - o->usual_m3) : 0.0;
    const double money = money_a_day(proof, lost_m3d);
    pw_facts costs;
    pw_facts_init(&costs, arena);
    if (o->burnt_s > 0.0) {
        pw_tell(&costs, "prove.burnt-out", pw_quantity(PW_DIM_TIME, o->burnt_s));
    }
    if (lost_m3d > 0.0) {
        pw_tell(&costs, "prove.hole-lost", pw_quantity(PW_DIM_VOLUME, lost_m3d),
                money > 0.0 ? pw_number(money, 2) : pw_named(""), pw_named(site->design.currency));
    }
    if (missing_m3d > 0.0) {
        pw_tell(&costs, "prove.hole-missing", pw_quantity(PW_DIM_VOLUME, missing_m3d));
    }
    if (o->dry_s - o->usual_dry_s > 2.0) {
        pw_tell(&costs, "prove.dry-running", pw_quantity(PW_DIM_TIME, o->dry_s));
    }
    if (o->deadhead_s - o->usual_deadhead_s > 600.0) {
        pw_tell(&costs, "prove.next-to-no-flow", pw_quantity(PW_DIM_TIME, o->deadhead_s));
    }
    if (o->water_max_c > PW_SCALD_C && o->usual_water_c <= PW_SCALD_C) {
        pw_tell(&costs, "prove.hot-water", pw_quantity(PW_DIM_TEMPERATURE, o->water_max_c));
    }
    if (prove_overpressures(site, o)) {
        pw_tell(&costs, "prove.pressure-over", pw_quantity(PW_DIM_PRESSURE, o->pressure_top_pa),
                pw_quantity(PW_DIM_PRESSURE, site->limits.highest_pa.v));
    }
    if (costs.count == 0) {
        pw_tell(&costs, "prove.hole-starts", pw_number(o->most_starts_in_hour, 4));
    }
    return pw_fact_of("prove.hole", pw_fact_inside(arena, pw_job_fact(arena, proof->plant, job)),
                      pw_list(&costs, PW_JOIN_COMMA));
}

static void put_holes(pw_arena *arena, const pw_proof *proof, pw_brief *out)
{
    hole worst[PW_FAULT_COUNT];
    for (int32_t s = 0; s < PW_FAULT_COUNT; s++) {
        worst[s] = (hole){-1, 0.0};
    }
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        const pw_job *job = &proof->jobs->jobs[i];
        const bool trial = (job->kind == PW_JOB_FAULT && !job->extra) || job->kind == PW_JOB_SWEEP;
        if (!trial || pw_outcome_finding(proof->plant, job, &proof->outcomes[i]) != PW_FINDING_UNSEEN) {
            continue;
        }
        hole *h = &worst[sort_of(job)];
        const double worth = worth_of(proof, &proof->outcomes[i]);
        out->hole_count += h->job < 0 ? 1 : 0;
        if (h->job < 0 || worth > h->worth) {
            *h = (hole){i, worth};
        }
    }
    for (int32_t n = 0; n < PW_BRIEF_HOLES; n++) {
        int32_t best = -1;
        for (int32_t s = 0; s < PW_FAULT_COUNT; s++) {
            if (worst[s].job >= 0 && (best < 0 || worst[s].worth > worst[best].worth)) {
                best = s;
            }
        }
        if (best < 0) {
            return;
        }
        pw_facts_add(&out->holes, hole_fact(arena, proof, worst[best].job));
        worst[best].job = -1;
    }
}

/* ---- what to type ---- */

static pw_fact counts_fact(pw_arena *arena, const pw_proof *proof)
{
    const pw_count_of_faults c = pw_proof_counts(proof);
    const struct {
        const char *id;
        int32_t count;
    } kinds[] = {{"prove.count-stopped", c.stopped},     {"prove.count-late", c.too_late},
                 {"prove.count-told", c.told},           {"prove.count-typed", c.refused + c.warned},
                 {"prove.count-unseen", c.unseen},       {"prove.count-unprotected", c.unprotected},
                 {"prove.count-outlasted", c.outlasted}, {"prove.count-harmless", c.harmless}};
    pw_facts parts;
    pw_facts_init(&parts, arena);
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        if (kinds[i].count > 0) {
            pw_tell(&parts, kinds[i].id, pw_count(kinds[i].count));
        }
    }
    return pw_fact_of("prove.counts", pw_count(c.tried), pw_list(&parts, PW_JOIN_COMMA));
}

static void put_proposal(pw_arena *arena, const pw_proof *proof, const pw_usual *usual, pw_brief *out)
{
    const pw_proposal *p = proof->proposal;
    if (p == NULL) {
        return;
    }
    if (usual->seen_briefly) {
        out->unproposed = pw_fact_of("prove.seen-briefly", pw_quantity(PW_DIM_TIME, 86400.0 * proof->basis.days));
    }
    if (!p->changes || !p->better) {
        out->proposal = pw_fact_of(proof->healthy.fails != 0 ? "prove.proposal-healthy-first"
                                   : p->changes              ? "prove.proposal-no-better"
                                                             : "prove.proposal-none");
        return;
    }
    const pw_count_of_faults was = pw_proof_counts(proof), is = pw_proof_counts(p->proof);
    out->proposal =
        pw_fact_of("prove.proposal", pw_count(p->gained), pw_count(p->given_up), pw_count(p->proof->false_stops),
                   pw_count(proof->false_stops), pw_count(is.unseen), pw_count(was.unseen), pw_count(proof->years));
    const pw_settings *present = proof->plant->settings, *settings = p->proof->plant->settings;
    for (int32_t i = 0; i < pw_settings_count(present); i++) {
        if (!p->kept[i]) {
            pw_tell(&out->type, "prove.type-out", pw_count(i + 1), pw_sentence_value(arena, present, i));
        }
    }
    for (int32_t i = 0; i < p->count; i++) {
        if (!p->differs[i]) {
            continue;
        }
        const pw_value sentence = pw_sentence_value(arena, settings, i);
        if (p->was[i] >= 0) {
            pw_tell(&out->type, "prove.type-instead", pw_count(p->was[i] + 1), sentence);
        } else {
            pw_tell(&out->type, "prove.type-new", sentence);
        }
    }
}

bool pw_brief_of(pw_arena *arena, const pw_proof *proof, pw_brief *out)
{
    memset(out, 0, sizeof *out);
    pw_facts_init(&out->why, arena);
    pw_facts_init(&out->edges, arena);
    pw_facts_init(&out->holes, arena);
    pw_facts_init(&out->type, arena);
    const pw_usual usual = pw_proof_usual(proof);
    put_healthy_facts(proof, &usual, out);
    put_edges(arena, proof, out);
    out->counts = counts_fact(arena, proof);
    put_holes(arena, proof, out);
    put_proposal(arena, proof, &usual, out);
    return !out->why.failed && !out->edges.failed && !out->holes.failed && !out->type.failed;
}
