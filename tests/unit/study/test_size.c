/* Sizing as a whole: against the model, against hand calculation, and what must hold of every answer. */
#include "farm.h"

#include <math.h>

#include "base/num.h"
#include "element/model.h"
#include "study/size_inside.h"
#include "formula/friction.h"
#include "formula/registry.h"
#include "formula/vessel.h"

/* The pump by itself follows the same rules as in core/element. */
static void duties_are_those_of_the_model(void **state)
{
    (void)state;
    kit k;
    const pw_sizing *sizing = farm_size(&k, FARM, false);
    for (int32_t i = 0; i < 3; i++) { /* those with the water as stated */
        pw_duty duty;
        const pw_size_duty *mine = &sizing->duties[i];
        assert_int_equal(pw_model_duty(k.plant->model, &k.arena, 0, mine->pressure_pa, &duty, &k.problems), PW_OK);
        close_to(mine->flow_m3s, duty.flow_m3s, 1e-4, "flow");
        close_to(mine->shaft_w, duty.shaft_w, 1e-4, "shaft power");
        size_machine m;
        assert_true(size_machine_of(&k.site->pumps[0], pw_model_pa_per_m(k.plant->model), 10.1, &m));
        close_to(size_machine_shaft_w(&m, duty.flow_m3s), duty.shaft_w, 1e-9, "shaft power of the curve");
        close_to(size_machine_head(&m, duty.flow_m3s), duty.head_m, 1e-6, "head of the curve");
    }
    free(k.block);
}

/* A line names the formula that gave it, and the registry knows it: reckoned by itself it gives the line's value. */
static void lines_name_their_formulas(void **state)
{
    (void)state;
    kit k;
    const pw_sizing *sizing = farm_size(&k, FARM, false);
    int32_t named = 0;
    for (int32_t i = 0; i < sizing->line_count; i++) {
        const char *formula = sizing->lines[i].formula;
        named += formula[0] != '\0' ? 1 : 0;
        if (formula[0] != '\0' && pw_formula_find(formula) == NULL) {
            fail_msg("%s: the registry has no formula \"%s\"", sizing->lines[i].id, formula);
        }
    }
    assert_true(named >= 20);
    const pw_size_line *line = pw_size_find(sizing, PW_SIZE_HEAD, "drawdown");
    assert_string_equal(line->formula, "bore drawdown");
    pw_reckoning r = {.problems = &k.problems};
    r.in[0] = sizing->design_flow_m3s;
    r.in[1] = k.site->sources[0].capacity_m2s.v;
    r.in[2] = k.site->sources[0].yield_m3s.v;
    assert_int_equal(pw_formula_find(line->formula)->work(&r), PW_OK);
    assert_true(r.out[0] == line->value);
    free(k.block);
}

/* Where the pump meets the system curve is where the model says that it works. */
static void system_curve_meets_where_the_model_works(void **state)
{
    (void)state;
    kit k;
    const pw_sizing *sizing = farm_size(&k, FARM, false);
    pw_curve system;
    size_machine m;
    assert_true(pw_curve_build(sizing->usual.count, sizing->usual.flow_m3s, sizing->usual.head_m, &system));
    assert_true(size_machine_of(&k.site->pumps[0], pw_model_pa_per_m(k.plant->model), 10.1, &m));
    close_to(size_machine_meet(&m, &system), sizing->duties[1].flow_m3s, 2e-3, "flow where they meet");
    free(k.block);
}

/* Head by hand: levels, drawdown, pressure. The pump stands next to the vessel: no friction between. */
static void design_head_by_hand(void **state)
{
    (void)state;
    kit k;
    const pw_sizing *sizing = farm_size(&k, FARM, false);
    const double pa_per_m = pw_model_pa_per_m(k.plant->model);
    const double flow = sizing->design_flow_m3s;
    const double drawdown = flow / (20e-3 / 60.0);
    const double need = farm_value(sizing, PW_SIZE_HEAD, "needed pressure");
    const double pressure = need > 200e3 ? need : 200e3;
    close_to(sizing->design_head_m, 12.0 + 4.5 + 2.0 + drawdown + pressure / pa_per_m, 1e-6, "design head");
    close_to(flow, 15e-3 / 60.0, 1e-9, "design flow: the one draw there is");
    /* needed pressure: 3 m up, 100 kPa there, friction of the aged line */
    pw_water water;
    double loss;
    pw_water_at(15.0, &water);
    const pw_size_pipe *pipe = &sizing->pipes[0].choices[0];
    for (int32_t i = 0; i < sizing->pipes[0].count; i++) {
        pipe = sizing->pipes[0].choices[i].present ? &sizing->pipes[0].choices[i] : pipe;
    }
    pw_pipe_loss(pipe->bore_m, 80.0, 0.01e-3, 0.0, &water, flow, &loss, NULL);
    assert_true(pipe->loss_aged_m > loss);
    close_to(need, 100e3 + (3.0 + pipe->loss_aged_m) * pa_per_m, 2e-3, "needed pressure");
    free(k.block);
}

static void pipe_choice_keeps_its_limits(void **state)
{
    (void)state;
    static const char *const flows[] = {"3 L/min", "30 L/min", "90 L/min", "300 L/min", "900 L/min", "5000 L/min"};
    for (size_t f = 0; f < sizeof flows / sizeof flows[0]; f++) {
        char json[6000];
        snprintf(json, sizeof json, "%s,\"design\":{\"uses\":[{\"at\":\"taps\",\"flow\":\"%s\"}]}}",
                 FARM_HEAD FARM_BORE FARM_PUMP FARM_LINE FARM_VESSEL FARM_TAPS FARM_SENSOR FARM_SETTINGS, flows[f]);
        kit k;
        const pw_sizing *sizing = farm_size(&k, json, false);
        const pw_size_run_of_pipe *run = &sizing->pipes[0];
        const pw_size_pipe *chosen = &run->choices[run->chosen];
        if (chosen->fits) {
            assert_true(chosen->velocity_ms <= 2.0 && chosen->gradient_new <= 0.05);
        } else {
            assert_string_equal(chosen->name, "PE100 160 SDR 11"); /* the largest there is */
        }
        if (run->chosen > 0) {
            assert_false(run->choices[run->chosen - 1].fits);
            assert_true(run->choices[run->chosen - 1].bore_m < chosen->bore_m);
        }
        close_to(chosen->velocity_ms * pw_bore_area_m2(chosen->bore_m), run->flow_m3s, 1e-9, "continuity");
        free(k.block);
    }
}

static void every_line_is_complete(void **state)
{
    (void)state;
    kit k;
    const pw_sizing *sizing = farm_size(&k, FARM, true);
    for (int32_t i = 0; i < sizing->line_count; i++) {
        const pw_size_line *line = &sizing->lines[i];
        assert_true(line->id[0] != '\0' && english_fact(line->what)[0] != '\0' && english_fact(line->how)[0] != '\0' &&
                    english_fact(line->source)[0] != '\0');
        assert_false(isnan(line->value));
        assert_ptr_equal(pw_size_find(sizing, line->part, line->id), line); /* unique */
        if (line->most != NULL) {
            assert_true(line->moved != 0.0);
        }
    }
    for (int32_t i = 1; i < sizing->check_count; i++) {
        assert_true(sizing->checks[i - 1].guide < sizing->checks[i].guide ||
                    sizing->checks[i - 1].margin <= sizing->checks[i].margin);
    }
    int32_t first = 0;
    while (sizing->checks[first].guide) { /* a table made for other motors is no weakest point */
        first++;
    }
    assert_non_null(strstr(english_fact(sizing->weakest), english_fact(sizing->checks[first].words)));
    free(k.block);
}

/* What the sensitivity says is what a sheet with that change gives. */
static void sensitivity_is_a_real_change(void **state)
{
    (void)state;
    kit k;
    kit other;
    const pw_sizing *sizing = farm_size(&k, FARM, true);
    const pw_size_line *line = pw_size_find(sizing, PW_SIZE_VESSEL, "drawdown");
    assert_string_equal(line->most, "size.gas-exponent");
    static const char changed[] = FARM_HEAD FARM_BORE FARM_PUMP FARM_LINE
        "\"vessels\":[{\"name\":\"vessel\",\"at\":\"shed\",\"volume\":\"100 L\",\"precharge\":\"180 kPa\",\"gas "
        "exponent\":1.1}]," FARM_TAPS FARM_SENSOR FARM_DEMAND FARM_SETTINGS FARM_END;
    const pw_sizing *again = farm_size(&other, changed, false);
    close_to(farm_value(again, PW_SIZE_VESSEL, "drawdown") - line->value, line->moved, 1e-9, "change of the drawdown");
    const pw_size_line *drawdown = pw_size_find(sizing, PW_SIZE_HEAD, "drawdown");
    assert_string_equal(drawdown->most, "size.capacity-less");
    close_to(drawdown->moved, drawdown->value * (1.0 / 0.9 - 1.0), 1e-6, "change of the drawdown of the bore");
    free(k.block);
    free(other.block);
}

static void surface_pumps_are_judged_by_their_lift(void **state)
{
    (void)state;
    kit k;
    static const char json[] =
        FARM_HEAD FARM_DAM FARM_PUMP FARM_LINE FARM_VESSEL FARM_TAPS FARM_SENSOR FARM_DEMAND FARM_SETTINGS
        ",\"design\":{\"season\":\"1 m\",\"suction\":{\"pump\":\"surface\",\"height\":\"4 m\",\"bore\":\"40 "
        "mm\",\"length\":\"9 m\"}}}";
    const pw_sizing *sizing = farm_size(&k, json, false);
    close_to(farm_value(sizing, PW_SIZE_SUCTION, "lift"), 6.0, 1e-9, "lift: 4 m up, 1 m down, 1 m season");
    const double available = farm_value(sizing, PW_SIZE_SUCTION, "available");
    const double most = farm_value(sizing, PW_SIZE_SUCTION, "largest lift");
    const double required = farm_value(sizing, PW_SIZE_SUCTION, "required");
    /* at the largest lift, what is available is what is required and the margin */
    close_to(available + 6.0 - most, required + 0.5, 1e-9, "largest lift");
    /* warmer and higher is less */
    for (int32_t t = 0; t + 1 < PW_SIZE_TEMPERATURES; t++) {
        for (int32_t a = 0; a + 1 < PW_SIZE_ALTITUDES; a++) {
            assert_true(sizing->npsh_m[t + 1][a] < sizing->npsh_m[t][a] &&
                        sizing->npsh_m[t][a + 1] < sizing->npsh_m[t][a]);
        }
    }
    free(k.block);
}

/* A tank: the model's own duty lies on the system curve. */
static void system_meets_duty(const pw_sizing *sizing, const pw_size_curve *points, const pw_size_duty *duty)
{
    pw_curve system;
    (void)sizing;
    assert_true(pw_curve_build(points->count, points->flow_m3s, points->head_m, &system));
    close_to(pw_curve_at(&system, duty->flow_m3s, NULL), duty->head_m, 3e-3, "head of the system at the model's duty");
}

/* A direct system at its duty: the model, with that flow drawn, gives the outlet what it needs. */
static void settled_by_the_model(kit *k, const pw_size_duty *duty)
{
    pw_condition condition;
    pw_drive drive;
    pw_moment moment;
    double state[PW_MAX_STATES];
    memset(&drive, 0, sizeof drive);
    pw_warm *warm = pw_warm_new(&k->arena, k->plant->model);
    pw_condition_healthy(k->plant->model, &condition);
    pw_model_start(k->plant->model, 0.0, state);
    state[0] -= duty->flow_m3s / (20e-3 / 60.0) * 0.25 * PW_PI * 0.15 * 0.15; /* the bore drawn down as it settles */
    drive.speed[0] = 1.0;
    drive.draw_m3s[0] = duty->flow_m3s;
    assert_int_equal(pw_model_settle(k->plant->model, &condition, &drive, state, warm, &k->problems), PW_OK);
    assert_int_equal(pw_model_moment(k->plant->model, &condition, &drive, state, warm, &moment, &k->problems), PW_OK);
    close_to(moment.pump_m3s[0], duty->flow_m3s, 5e-3, "flow of the model");
    close_to(moment.place_pa[2], 100e3, 2e-2, "pressure at the outlet");
}

static void other_kinds_of_site(void **state)
{
    (void)state;
    kit k;
    static const char direct[] =
        FARM_HEAD FARM_BORE FARM_PUMP FARM_LINE FARM_TAPS FARM_SENSOR FARM_DEMAND FARM_SETTINGS FARM_END;
    const pw_sizing *sizing = farm_size(&k, direct, false);
    assert_int_equal(sizing->kind, PW_SIZE_DIRECT);
    assert_int_equal(sizing->effect_count, 0);
    assert_true(sizing->duties[0].flow_m3s > sizing->duties[1].flow_m3s);
    /* with the draw of the duty, the model finds the pump there and the outlet just served */
    settled_by_the_model(&k, &sizing->duties[0]);
    /* at the duty the pump's head is what the system asks there */
    pw_curve system;
    assert_true(pw_curve_build(sizing->easy.count, sizing->easy.flow_m3s, sizing->easy.head_m, &system));
    close_to(pw_curve_at(&system, sizing->duties[0].flow_m3s, NULL), sizing->duties[0].head_m, 5e-3,
             "head of the direct duty");
    free(k.block);
    static const char tank[] = FARM_HEAD FARM_BORE FARM_PUMP FARM_LINE
        "\"tanks\":[{\"name\":\"tank\",\"at\":\"house\",\"area\":\"2 m2\",\"depth\":\"1.5 m\",\"float "
        "valve\":{\"bore\":\"20 mm\"}}]," FARM_TAPS
        "\"sensors\":[{\"name\":\"level\",\"kind\":\"level\",\"at\":\"house\"}]," FARM_DEMAND
        "\"settings\":[\"start when level below 0.8 m\",\"stop when level above 1.3 m\"]}";
    sizing = farm_size(&k, tank, false);
    assert_int_equal(sizing->kind, PW_SIZE_WITH_TANK);
    assert_true(sizing->duties[0].flow_m3s > 0.0);
    assert_true(sizing->duties[0].flow_m3s > sizing->duties[1].flow_m3s);
    system_meets_duty(sizing, &sizing->easy, &sizing->duties[0]);
    system_meets_duty(sizing, &sizing->hard, &sizing->duties[1]);
    free(k.block);
}

/* Every size of memory: an answer, or PW_MEMORY; never anything else, never a write behind the block. */
static void too_little_memory(void **state)
{
    (void)state;
    kit k;
    kit_load(&k, FARM, false);
    const size_t all = k.arena.size;
    const size_t used = k.arena.used;
    int refused = 0;
    bool answered = false;
    for (size_t more = 0; more < ((size_t)24 << 20) && !answered; more += 300000) {
        const pw_size_options options = farm_options(true, 3600000);
        pw_sizing *sizing = NULL;
        k.arena.used = used;
        k.arena.size = used + more < all ? used + more : all;
        const pw_status status = pw_size(&k.arena, k.plant, &options, &sizing, &k.problems);
        answered = status == PW_OK;
        refused += status == PW_MEMORY ? 1 : 0;
        assert_true(answered || status == PW_MEMORY);
        assert_true(answered == (sizing != NULL));
    }
    assert_true(answered);
    assert_true(refused > 3);
    free(k.block);
}

static bool stop_at_once(void *user, double done)
{
    (void)done;
    (void)user;
    return true;
}

static void stops_when_asked(void **state)
{
    (void)state;
    kit k;
    pw_sizing *sizing = NULL;
    pw_size_options options = farm_options(true, (int64_t)365 * 86400000);
    kit_load(&k, FARM, false);
    options.cancelled = stop_at_once;
    assert_int_equal(pw_size(&k.arena, k.plant, &options, &sizing, &k.problems), PW_CANCELLED);
    assert_null(sizing);
    free(k.block);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(duties_are_those_of_the_model),
        cmocka_unit_test(lines_name_their_formulas),
        cmocka_unit_test(system_curve_meets_where_the_model_works),
        cmocka_unit_test(design_head_by_hand),
        cmocka_unit_test(pipe_choice_keeps_its_limits),
        cmocka_unit_test(every_line_is_complete),
        cmocka_unit_test(sensitivity_is_a_real_change),
        cmocka_unit_test(surface_pumps_are_judged_by_their_lift),
        cmocka_unit_test(other_kinds_of_site),
        cmocka_unit_test(too_little_memory),
        cmocka_unit_test(stops_when_asked),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
