/* Choosing: the site's own pump comes out as the sizing says, every refusal can happen, ranking is in order. */
#include "farm.h"

#include "base/num.h"
#include "study/size_choose.h"

#define CASES 16

typedef struct maker {
    pw_curve_point points[CASES][7];
    pw_candidate list[CASES];
    int32_t count;
} maker;

static pw_field given(double value)
{
    return (pw_field){value, true};
}

/* H = h0 (1 - 0.72 x^1.9), efficiency a parabola with its top at 0.68. */
static pw_candidate *make(maker *m, const pw_site *site, const char *name, double h0_m, double most_lpm, double power_w)
{
    pw_candidate *c = &m->list[m->count];
    memset(c, 0, sizeof *c);
    for (int32_t i = 0; i < 7; i++) {
        const double x = i / 6.0;
        pw_curve_point *p = &m->points[m->count][i];
        memset(p, 0, sizeof *p);
        p->flow_m3s = given(most_lpm * x / 60000.0);
        p->head_m = given(h0_m * (1.0 - 0.72 * pw_pow(x > 0.0 ? x : 1e-9, 1.9)));
        p->efficiency = given(0.55 * (1.0 - (x / 0.68 - 1.0) * (x / 0.68 - 1.0)));
        p->npsh_m = given(1.5 + 2.0 * x * x);
    }
    c->name = name;
    c->curve = m->points[m->count];
    c->point_count = 7;
    c->motor.phases = -1;
    c->motor.power_w = given(power_w);
    pw_motor_defaults(site, &c->motor);
    m->count++;
    return c;
}

static const pw_judged *find(const pw_choice *choice, const char *name)
{
    for (int32_t i = 0; i < choice->count; i++) {
        if (strcmp(choice->candidates[choice->ranked[i].candidate].name, name) == 0) {
            return &choice->ranked[i];
        }
    }
    fail_msg("%s is not in the choice", name);
    return NULL;
}

/* The demand is 40 L/min so that there is something to refuse. */
static const char site_text[] = FARM_HEAD FARM_BORE FARM_PUMP FARM_LINE FARM_VESSEL FARM_TAPS FARM_SENSOR FARM_SETTINGS
    ",\"design\":{\"uses\":[{\"at\":\"taps\",\"flow\":\"40 L/min\"}]}}";

static void refusals(void **state)
{
    (void)state;
    kit k;
    maker m;
    pw_choice *choice = NULL;
    memset(&m, 0, sizeof m);
    const pw_sizing *sizing = farm_size(&k, site_text, false);
    make(&m, k.site, "good", 95, 85, 1500);
    make(&m, k.site, "low", 40, 85, 1500);
    make(&m, k.site, "small", 95, 30, 1500);
    make(&m, k.site, "weak motor", 95, 85, 550);
    make(&m, k.site, "too strong", 400, 85, 3000);
    make(&m, k.site, "other supply", 95, 85, 1500)->motor.phases = 3;
    make(&m, k.site, "other voltage", 95, 85, 1500)->motor.voltage_v.v = 400;
    make(&m, k.site, "thick", 95, 85, 1500)->diameter_m = 0.148;
    make(&m, k.site, "slim", 95, 85, 1500)->diameter_m = 0.144;
    make(&m, k.site, "thirsty", 100, 300, 5500);
    pw_candidate *flat = make(&m, k.site, "no end", 95, 44, 1500);
    for (int32_t i = 0; i < 7; i++) {
        m.points[flat - m.list][i].head_m.v = 95.0 - i;
    }
    make(&m, k.site, "cavitating", 95, 85, 1500);
    for (int32_t i = 0; i < 7; i++) {
        m.points[m.count - 1][i].npsh_m.v = 45.0;
    }
    make(&m, k.site, "broken curve", 95, 85, 1500)->point_count = 2;
    assert_int_equal(pw_choose(&k.arena, k.plant, sizing, m.list, m.count, &choice, &k.problems), PW_OK);
    static const struct {
        const char *name;
        pw_refusal refusal;
    } expected[] = {{"good", PW_FITS},
                    {"low", PW_REFUSED_HEAD},
                    {"small", PW_REFUSED_FLOW},
                    {"weak motor", PW_REFUSED_MOTOR},
                    {"too strong", PW_REFUSED_PRESSURE},
                    {"other supply", PW_REFUSED_SUPPLY},
                    {"other voltage", PW_REFUSED_SUPPLY},
                    {"thick", PW_REFUSED_DIAMETER},
                    {"slim", PW_FITS},
                    {"thirsty", PW_REFUSED_SOURCE},
                    {"no end", PW_REFUSED_RUN_OUT},
                    {"cavitating", PW_REFUSED_NPSH},
                    {"broken curve", PW_REFUSED_CURVE}};
    for (size_t i = 0; i < sizeof expected / sizeof expected[0]; i++) {
        const pw_judged *one = find(choice, expected[i].name);
        if (one->refusal != expected[i].refusal) {
            fail_msg("%s: %s", expected[i].name, pw_refusal_id(one->refusal));
        }
    }
    assert_int_equal(choice->count, m.count);
    assert_int_equal(choice->fitting, 2);
    free(k.block);
}

/* The pump that stands in the sheet, taken as a candidate, uses the energy that the sizing and the model find. */
static void own_pump_as_candidate(void **state)
{
    (void)state;
    kit k;
    pw_choice *choice = NULL;
    const pw_sizing *sizing = farm_size(&k, site_text, false);
    const pw_pump *pump = &k.site->pumps[0];
    const pw_candidate own = {pump->name, pump->point_count, pump->curve, pump->motor, 0.0, 0.0};
    assert_int_equal(pw_choose(&k.arena, k.plant, sizing, &own, 1, &choice, &k.problems), PW_OK);
    const pw_judged *one = &choice->ranked[0];
    assert_int_equal(one->refusal, PW_FITS);
    close_to(one->flow_m3s, sizing->duties[1].flow_m3s, 5e-3, "usual flow");
    close_to(one->hard_flow_m3s, sizing->duties[3].flow_m3s, 5e-3, "hard flow");
    close_to(one->kwh_m3, farm_value(sizing, PW_SIZE_DUTY, "energy of a cubic metre"), 2e-2, "energy");
    assert_int_equal(choice->by_cost, false);
    free(k.block);
}

static void ranked_in_order(void **state)
{
    (void)state;
    kit k;
    pw_choice *choice = NULL;
    enum { MANY = 500 };
    const pw_sizing *sizing = farm_size(&k, FARM, false);
    static pw_curve_point points[MANY][4];
    static pw_candidate list[MANY];
    for (int32_t i = 0; i < MANY; i++) {
        const double h0 = 60.0 + (i * 37 % 60);
        const double most = (30.0 + (i * 53 % 90)) / 60000.0;
        for (int32_t j = 0; j < 4; j++) {
            memset(&points[i][j], 0, sizeof points[i][j]);
            points[i][j].flow_m3s = given(most * j / 3.0);
            points[i][j].head_m = given(h0 * (1.0 - 0.08 * j * j));
            points[i][j].efficiency = given(0.2 + 0.01 * (i * 7 % 30));
        }
        memset(&list[i], 0, sizeof list[i]);
        list[i].name = "p";
        list[i].point_count = 4;
        list[i].curve = points[i];
        list[i].motor.phases = -1;
        list[i].motor.power_w = given(2200);
        pw_motor_defaults(k.site, &list[i].motor);
    }
    assert_int_equal(pw_choose(&k.arena, k.plant, sizing, list, MANY, &choice, &k.problems), PW_OK);
    bool seen[MANY] = {false};
    print_message("%d of %d fit\n", choice->fitting, MANY);
    assert_in_range(choice->fitting, 20, MANY - 20);
    for (int32_t i = 0; i < MANY; i++) {
        const pw_judged *one = &choice->ranked[i];
        assert_false(seen[one->candidate]);
        seen[one->candidate] = true;
        assert_true((one->refusal == PW_FITS) == (i < choice->fitting));
        if (i > 0 && i < choice->fitting) {
            assert_true(choice->ranked[i - 1].kwh_year <= one->kwh_year);
        }
        if (i > choice->fitting) {
            assert_true(choice->ranked[i - 1].candidate < one->candidate);
        }
    }
    free(k.block);
}

/* Better efficiency alone, all else equal, never ranks lower. */
static void efficiency_pays(void **state)
{
    (void)state;
    kit k;
    maker m;
    pw_choice *choice = NULL;
    memset(&m, 0, sizeof m);
    const pw_sizing *sizing = farm_size(&k, FARM, false);
    for (int32_t i = 0; i < 5; i++) {
        make(&m, k.site, "p", 95, 60, 2200);
        for (int32_t j = 0; j < 7; j++) {
            m.points[i][j].efficiency.v *= 0.8 + 0.05 * i;
        }
    }
    assert_int_equal(pw_choose(&k.arena, k.plant, sizing, m.list, m.count, &choice, &k.problems), PW_OK);
    assert_int_equal(choice->fitting, 5);
    for (int32_t i = 0; i < 5; i++) {
        assert_int_equal(choice->ranked[i].candidate, 4 - i);
    }
    free(k.block);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(refusals),
        cmocka_unit_test(own_pump_as_candidate),
        cmocka_unit_test(ranked_in_order),
        cmocka_unit_test(efficiency_pays),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
