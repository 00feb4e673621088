/* Numbers of a site by path: names, what a wrong path is told, what follows from a change, what does not. Every number
 * of every example: tests/golden/parameters.c. */
#include "kit.h"

#include "site/params.h"

static pw_param found(const pw_site *site, const char *path)
{
    pw_param param;
    if (pw_param_find(&kit_arena, site, path, "site", &param, &kit_problems) != PW_OK) {
        kit_print_problems();
        fail_msg("%s is not found", path);
    }
    return param;
}

static const pw_problem *refused(const pw_site *site, const char *path, pw_status status)
{
    pw_param param;
    kit_problems.count = 0;
    assert_int_equal(pw_param_find(&kit_arena, site, path, "site", &param, &kit_problems), status);
    assert_int_equal(kit_problems.count, 1);
    assert_int_equal(kit_problems.items[0].status, status);
    return &kit_problems.items[0];
}

static pw_site *changed(const pw_site *site, const char *path, double si)
{
    pw_site *out = NULL;
    const pw_param param = found(site, path);
    const pw_param_change change = {.param = &param, .si = si};
    pw_site_change(&kit_arena, site, &change, 1, "site", &out, &kit_problems);
    return out;
}

static void a_path_leads_by_number_and_by_name(void **state)
{
    (void)state;
    const pw_site *site = kit_read_ok(full_sheet);
    const pw_param param = found(site, "vessels[vessel].precharge");
    assert_string_equal(param.path, "vessels[0].precharge");
    assert_int_equal(param.dimension, PW_DIM_PRESSURE);
    assert_int_equal(param.origin, PW_ORIGIN_GIVEN);
    assert_true(param.si == 230e3 && param.low == 0 && param.high == 2e6);
    assert_string_equal(param.help, "Pressure of its gas when it is empty of water.");
    assert_true(found(site, "lines[shed-house].fittings.elbow 90").si == 5);
    assert_string_equal(found(site, "lines[shed-house].fittings.ELBOW 90").path, "lines[0].fittings.elbow 90");
    assert_true(found(site, "pumps[pump].curve[2].NPSH").si == 2);
    assert_true(found(site, "sensors[night].closed[1].to").si == 6.5 * 3600);
    assert_true(found(site, "demand[1].pattern[1]").si == 0.5);
    assert_true(found(site, "demand[0].at").si == 8 * 3600);
    assert_true(found(site, "design.uses[taps].fixtures.water closet").si == 1);
    assert_true(found(site, "design.pipe prices[PE100 40 SDR 11].each metre").si == 2.9);
    assert_true(found(site, "supply.phases").si == 3);
    assert_true(found(site, "tanks[tank].float valve.closes at").si == 1.5);
    assert_int_equal(found(site, "lines[0].bore").origin, PW_ORIGIN_PIPE);
    /* `starts per hour` twice, and `starts at`: the whole key counts */
    assert_true(found(site, "limits.starts per hour").si == 30);
    assert_true(found(site, "design.starts per hour").si == 12);
}

static void what_is_left_out_can_be_found_but_is_not_listed(void **state)
{
    (void)state;
    const pw_site *site = kit_read_ok(least_sheet);
    assert_int_equal(found(site, "pumps[0].curve[1].NPSH").origin, PW_ORIGIN_NONE);
    assert_int_equal(found(site, "design.flow").origin, PW_ORIGIN_NONE);
    assert_int_equal(found(site, "design.suction.bore").origin, PW_ORIGIN_NONE); /* the pump is submerged */
    const pw_param yield = found(site, "sources[0].yield");
    assert_int_equal(yield.origin, PW_ORIGIN_DEFAULT);
    assert_string_equal(yield.reason,
                        "specific capacity times the depth of water over the intake: the most that can flow in");
    pw_param *list = NULL;
    int32_t count = 0;
    assert_int_equal(pw_params_list(&kit_arena, site, &list, &count), PW_OK);
    for (int32_t i = 0; i < count; i++) {
        assert_int_not_equal(list[i].origin, PW_ORIGIN_NONE);
        assert_string_not_equal(list[i].path, "design.flow");
    }
    const pw_site *with = changed(site, "design.flow", 1e-3);
    assert_non_null(with);
    assert_true(with->design.flow_m3s.v == 1e-3 && with->design.flow_m3s.given);
    assert_true(site->design.flow_m3s.v == 0);
}

static void a_wrong_path_is_told(void **state)
{
    (void)state;
    const pw_site *site = kit_read_ok(full_sheet);
    const pw_problem *p = refused(site, "vessels[0].prechrage", PW_UNKNOWN_KEY);
    assert_string_equal(p->path, "site.vessels[0].prechrage");
    assert_string_equal(english(&p->hint), "did you mean \"precharge\"?");
    p = refused(site, "vessels[3].precharge", PW_REFERENCE);
    assert_string_equal(p->path, "site.vessels");
    assert_string_equal(english(&p->found), "[3].precharge");
    assert_string_equal(english(&p->expected), "a number from 0 to 0, or a name: vessel");
    assert_string_equal(english(&refused(site, "demand[taps].flow", PW_REFERENCE)->expected), "the item's number");
    assert_string_equal(english(&refused(site, "sources[mains].yield", PW_UNKNOWN_KEY)->hint),
                        "this key is not used with kind mains");
    assert_string_equal(english(&refused(site, "pumps[0].name", PW_REFERENCE)->expected),
                        "a number of the site: this is none");
    assert_string_equal(english(&refused(site, "pumps[0].motor", PW_REFERENCE)->expected), "a dot and a key");
    assert_string_equal(english(&refused(site, "pumps", PW_REFERENCE)->found), "the end of the path");
    assert_string_equal(english(&refused(site, "pumps[0]", PW_REFERENCE)->expected), "a dot and a key");
    assert_string_equal(english(&refused(site, "pumps[0].speed.x", PW_REFERENCE)->expected), "the end of the path");
    refused(site, "", PW_UNKNOWN_KEY);
    refused(site, "demand[1].pattern[24]", PW_REFERENCE);
    refused(site, "demand[1].pattern[2]x", PW_REFERENCE);
    refused(site, "demand[0].pattern[2]", PW_UNKNOWN_KEY); /* draws at stated times have none */
    refused(site, "demand[2].trace.step", PW_REFERENCE);
    refused(site, "demand[2].times[1]", PW_REFERENCE);
    refused(site, "sensors[night].closed[0].till", PW_REFERENCE);
    refused(site, "lines[0].fittings.elbow 91", PW_REFERENCE);
    refused(site, "vessels[99999999999999999999].precharge", PW_REFERENCE);
}

static void what_follows_from_a_number_follows(void **state)
{
    (void)state;
    const pw_site *site = kit_read_ok(least_sheet);
    const double yield = site->sources[0].yield_m3s.v;
    const pw_site *more = changed(site, "sources[0].specific capacity", 2 * site->sources[0].capacity_m2s.v);
    assert_non_null(more);
    assert_true(more->sources[0].yield_m3s.v == 2 * yield);
    assert_false(more->sources[0].yield_m3s.given);
    assert_true(more->sources[0].capacity_m2s.given);
    const pw_site *motor = changed(site, "pumps[0].motor.full-load current", 9);
    assert_true(motor->pumps[0].motor.locked_rotor_a.v == 45);
    const pw_site *three = changed(site, "supply.phases", 3);
    assert_int_equal(three->pumps[0].motor.phases, 3);
    assert_true(three->supply_v.v == 400);
    /* a number that was a default and now is given no longer stands among the defaults */
    assert_non_null(kit_default(site, "sources[0].yield"));
    const pw_site *stated = changed(site, "sources[0].yield", 1e-3);
    for (int32_t i = 0; i < stated->default_count; i++) {
        assert_string_not_equal(stated->defaults[i].path, "site.sources[0].yield");
    }
}

static void what_must_agree_is_held(void **state)
{
    (void)state;
    const pw_site *site = kit_read_ok(full_sheet);
    assert_null(changed(site, "sources[bore].intake", 13));
    assert_string_equal(kit_problems.items[0].path, "site.sources[0].intake");
    assert_int_equal(kit_problems.items[0].status, PW_CONFLICT);
    kit_problems.count = 0;
    assert_null(changed(site, "pumps[0].curve[1].head", 81));
    assert_string_equal(kit_problems.items[0].path, "site.pumps[0].curve[1].head");
    kit_problems.count = 0;
    assert_null(changed(site, "lines[0].bore", 0.03)); /* the pipe's name says it */
    assert_int_equal(kit_problems.items[0].status, PW_CONFLICT);
    /* two that only agree together */
    const pw_param low = found(site, "limits.lowest pressure");
    const pw_param high = found(site, "limits.highest pressure");
    const pw_param_change both[] = {{&low, 1.1e6}, {&high, 1.2e6}};
    pw_site *out = NULL;
    assert_null(changed(site, "limits.lowest pressure", 1.1e6));
    assert_int_equal(pw_site_change(&kit_arena, site, both, 2, "site", &out, &kit_problems), PW_OK);
    assert_true(out->limits.lowest_pa.v == 1.1e6 && out->limits.highest_pa.v == 1.2e6);
}

static void odd_numbers_are_refused(void **state)
{
    (void)state;
    const pw_site *site = kit_read_ok(full_sheet);
    static const struct {
        const char *path;
        double si;
    } odd[] = {{"lines[0].fittings.elbow 90", 1.5},
               {"demand[0].at", 0.5},
               {"demand[0].at", 86401},
               {"supply.phases", 2},
               {"vessels[0].precharge", PW_INF},
               {"sensors[night].closed[0].from", -1}};
    for (size_t i = 0; i < sizeof odd / sizeof odd[0]; i++) {
        kit_problems.count = 0;
        assert_null(changed(site, odd[i].path, odd[i].si));
        assert_int_equal(kit_problems.items[0].status, PW_RANGE);
    }
    volatile double zero = 0;
    assert_null(changed(site, "vessels[0].precharge", zero / zero));
}

static void to_put_a_number_moves_nothing_else(void **state)
{
    (void)state;
    pw_site *site = kit_read_ok(least_sheet);
    pw_site before = *site;
    const pw_param capacity = found(site, "sources[0].specific capacity");
    const double si = pw_param_put(site, &capacity, 2 * capacity.si);
    assert_true(si == 2 * capacity.si && pw_param_get(site, &capacity) == si);
    assert_true(site->sources[0].yield_m3s.v == before.sources[0].yield_m3s.v);
    assert_true(pw_param_put(site, &capacity, 1e9) == capacity.high);
    assert_true(pw_param_put(site, &capacity, -1) == capacity.low);
    pw_param_put(site, &capacity, capacity.si);
    assert_memory_equal(site, &before, sizeof before);
}

static void memory_that_runs_out_is_told(void **state)
{
    (void)state;
    const pw_site *site = kit_read_ok(full_sheet);
    const pw_param param = found(site, "design.uses[0].fixtures.bidet");
    const pw_param_change change = {.param = &param, .si = 3};
    const size_t size = kit_arena.size;
    const size_t used = kit_arena.used;
    bool done = false;
    for (size_t room = 0; !done; room += 4096) {
        pw_site *out = NULL;
        kit_arena.size = used + room;
        pw_arena_back(&kit_arena, used);
        const pw_status status = pw_site_change(&kit_arena, site, &change, 1, "site", &out, NULL);
        assert_true(status == PW_OK || status == PW_MEMORY);
        assert_int_equal(status == PW_OK, out != NULL);
        done = status == PW_OK;
        assert_true(room < size - used);
    }
    kit_arena.size = size;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_path_leads_by_number_and_by_name),
        cmocka_unit_test(what_is_left_out_can_be_found_but_is_not_listed),
        cmocka_unit_test(a_wrong_path_is_told),
        cmocka_unit_test(what_follows_from_a_number_follows),
        cmocka_unit_test(what_must_agree_is_held),
        cmocka_unit_test(odd_numbers_are_refused),
        cmocka_unit_test(to_put_a_number_moves_nothing_else),
        cmocka_unit_test(memory_that_runs_out_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
