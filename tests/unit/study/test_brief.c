/* The small parts of a verdict, directly: what each margin moves, how what fails in health is told, the plant under a
 * proposed list. Papers and proofs show them together. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "sheet.h"

#include "base/num.h"
#include "study/brief.h"
#include "study/margins.h"
#include "study/proposal.h"

static void *block;
enum { BLOCK = 64 << 20 };

static pw_arena fresh(void)
{
    pw_arena arena;
    pw_arena_init(&arena, block, BLOCK);
    return arena;
}

static void is(double got, double expected)
{
    if (!(pw_abs(got - expected) <= 1e-9 * pw_abs(expected))) {
        fail_msg("%.12g is not %.12g", got, expected);
    }
}

/* ISO 9906 grade 2B: flow 8 %, head 5 % (Table 8, from memory; docs/verification.md has the same); the others are
 * own choices that margins.h states. Half a move is half the way. */
static void each_move_moves_its_own(void **state)
{
    (void)state;
    static const struct {
        pw_move move;
        double flow, head, draw, length, charge, reads_pa;
    } rows[] = {{PW_MOVE_PUMP_WEAK, 0.92, 0.95, 1, 1, 1, 0}, {PW_MOVE_PUMP_STRONG, 1.08, 1.05, 1, 1, 1, 0},
                {PW_MOVE_DRAWS_MORE, 1, 1, 1.1, 1, 1, 0},    {PW_MOVE_DRAWS_LESS, 1, 1, 0.9, 1, 1, 0},
                {PW_MOVE_DRAWS_LONGER, 1, 1, 1, 1.2, 1, 0},  {PW_MOVE_CHARGE_LOW, 1, 1, 1, 1, 0.8, 0},
                {PW_MOVE_CHARGE_HIGH, 1, 1, 1, 1, 1.1, 0},   {PW_MOVE_READS_LOW, 1, 1, 1, 1, 1, -10e3},
                {PW_MOVE_READS_HIGH, 1, 1, 1, 1, 1, 10e3}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        for (double part = 0.5; part <= 1.0; part += 0.5) {
            pw_arena arena = fresh();
            const pw_plant *plant = test_plant(&arena);
            pw_plant *moved = NULL;
            assert_true(pw_move_possible(plant->site, rows[i].move));
            assert_int_equal(pw_move_plant(&arena, plant, rows[i].move, part, &moved, NULL), PW_OK);
            const pw_site *a = plant->site, *b = moved->site;
            is(b->pumps[0].curve[2].flow_m3s.v, a->pumps[0].curve[2].flow_m3s.v * (1 + part * (rows[i].flow - 1)));
            is(b->pumps[0].curve[2].head_m.v, a->pumps[0].curve[2].head_m.v * (1 + part * (rows[i].head - 1)));
            is(b->demands[0].flow_m3s.v, a->demands[0].flow_m3s.v * (1 + part * (rows[i].draw - 1)));
            is(b->demands[0].duration_s.v, a->demands[0].duration_s.v * (1 + part * (rows[i].length - 1)));
            is(b->vessels[0].precharge_pa.v, a->vessels[0].precharge_pa.v * (1 + part * (rows[i].charge - 1)));
            is(b->sensors[0].error_pa, part * rows[i].reads_pa); /* of a range of 1000 kPa */
        }
    }
}

/* Every ailment has words of its own, and the counts in them are those of the year. */
static void what_fails_is_told(void **state)
{
    (void)state;
    pw_arena arena = fresh();
    const pw_plant *plant = test_plant(&arena);
    pw_healthy h = {.known = true, .years = 4.0, .false_stops = 10, .missing_m3 = 5.0, .wanted_m3 = 100.0};
    h.stops_by[2] = 3;
    h.stops_by[4] = 7;
    for (int32_t a = 0; a < PW_AILMENTS; a++) {
        const pw_fact one = pw_ailment_fact(plant->site, &h, (pw_ailment)a);
        assert_non_null(one.id);
        for (int32_t b = 0; b < a; b++) {
            assert_string_not_equal(one.id, pw_ailment_fact(plant->site, &h, (pw_ailment)b).id);
        }
    }
    const pw_fact stops = pw_ailment_fact(plant->site, &h, PW_AIL_FALSE_STOPS);
    assert_int_equal(stops.values[0].whole, 3); /* 2.5 a year, rounded */
    assert_int_equal(stops.values[1].whole, 5); /* the sentence that stops most often, from 1 */
    assert_int_equal(pw_ailment_fact(plant->site, &h, PW_AIL_MISSING).values[0].whole, 5); /* per cent */
}

static void an_edge_names_its_moves(void **state)
{
    (void)state;
    pw_arena arena = fresh();
    const pw_plant *plant = test_plant(&arena);
    pw_outcome outcome = {.edge = 0};
    assert_null(pw_edge_fact(&arena, plant, &outcome).id);
    outcome.edge = 1u << PW_MOVE_CHARGE_LOW | 1u << PW_MOVE_READS_HIGH;
    const pw_fact edge = pw_edge_fact(&arena, plant, &outcome);
    assert_int_equal(edge.values[0].count, 2);
}

static void the_list_is_the_plants(void **state)
{
    (void)state;
    pw_arena arena = fresh();
    const pw_plant *plant = test_plant(&arena);
    pw_plant *under = NULL;
    pw_proposal list = {.count = 2,
                        .sentences = {"start when pressure below 200 kPa", "stop when pressure above 390 kPa"}};
    assert_int_equal(pw_proposal_plant(&arena, plant, &list, &under, NULL), PW_OK);
    assert_int_equal(pw_settings_count(under->settings), 2);
    is(under->cut_in_pa, 200e3);
    is(under->cut_out_pa, 390e3);
    is(plant->cut_in_pa, 250e3); /* as it was */
    assert_int_equal(pw_settings_count(plant->settings), 5);
    list.sentences[1] = "stop when presure above 390 kPa";
    assert_int_not_equal(pw_proposal_plant(&arena, plant, &list, &under, NULL), PW_OK);
    const pw_proof_options options = {.edges = true, .healthy_years = 7};
    assert_false(pw_proposal_options(&options).edges);
    assert_int_equal(pw_proposal_options(&options).healthy_years, 7);
}

/* A lock out that fires every day is worth taking out where the site is in order without it, and is right where the
 * site stays sick: a motor that never turns, say. */
static void a_sick_site_keeps_its_stops(void **state)
{
    (void)state;
    static const struct {
        uint32_t fails;
        bool better;
    } rows[] = {{0, true},
                {1u << PW_AIL_STARTS, true},
                {1u << PW_AIL_MISSING, false},
                {1u << PW_AIL_MISSING | 1u << PW_AIL_WINDING, false},
                {1u << PW_AIL_BURNS, false}};
    const pw_jobs none = {0};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        pw_proof present = {.jobs = &none, .false_stops = 1750};
        pw_proof without = {.jobs = &none, .false_stops = 0};
        present.healthy.fails = 1u << PW_AIL_FALSE_STOPS | rows[i].fails;
        without.healthy.fails = rows[i].fails;
        pw_proposal list = {.proof = &without};
        pw_proposal_judge(&present, &list);
        assert_int_equal(list.better, rows[i].better);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(each_move_moves_its_own), cmocka_unit_test(what_fails_is_told),
                                       cmocka_unit_test(an_edge_names_its_moves),
                                       cmocka_unit_test(the_list_is_the_plants),
                                       cmocka_unit_test(a_sick_site_keeps_its_stops)};
    block = malloc(BLOCK);
    const int failed = cmocka_run_group_tests(tests, NULL, NULL);
    free(block);
    return failed;
}
