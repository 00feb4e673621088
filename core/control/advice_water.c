/* What a lock out by pressure, flow or level tells. Common practice of the trade, in our own words. */
#include "control/parts.h"

static const char welded[] = "advice.goes-off";

static uint8_t looks_at(const pw_advised *a)
{
    int32_t signal = pw_term_signal(a->settings, a->term, a->pump);
    return signal >= 0 ? a->facts->signal_at[signal] : PW_AT_UNKNOWN;
}

static void low_before_pump(const pw_advised *a, pw_settings_advice *advice)
{
    advice->wrong = "advice.low-before";
    pw_advice_check(advice, a->facts->source == PW_FROM_MAINS ? "advice.gauge-main" : pw_advice_source(a->facts));
    pw_advice_check(advice, "advice.before-open");
    pw_advice_check(advice, a->settings->pump_count > 1 ? "advice.gauge-together" : "advice.gauge-small-pipe");
}

static void low_behind_pump(const pw_advised *a, pw_settings_advice *advice)
{
    const pw_pump_facts *f = a->facts;
    advice->wrong = "advice.low-behind";
    pw_advice_check(advice, pw_advice_turns);
    pw_advice_check(advice, f->fills && !f->serves ? "advice.walk-line-drain" : "advice.walk-lines");
    pw_advice_check(advice, pw_advice_source(f));
}

static void high_before_pump(const pw_advised *a, pw_settings_advice *advice)
{
    advice->wrong = "advice.high-before";
    pw_advice_check(advice, "advice.gauge-before");
    pw_advice_check(advice, a->facts->non_return ? "advice.water-back-high" : NULL);
    pw_advice_check(advice, a->facts->source == PW_FROM_MAINS ? "advice.reducing-valve" : "advice.feed-higher");
    pw_advice_check(advice, "advice.no-other-pushes");
}

static void high_behind_pump(const pw_advised *a, pw_settings_advice *advice)
{
    const pw_pump_facts *f = a->facts;
    advice->wrong = "advice.high-behind";
    if (!f->vessel) {
        pw_advice_check(advice, f->float_fills ? "advice.delivery-and-float" : "advice.delivery-open");
    }
    pw_advice_check(advice, "advice.sensing-pipe");
    pw_advice_check(advice, welded);
    pw_advice_check(advice, f->vessel ? "advice.precharge-jumps" : NULL);
}

void pw_advice_pressure(const pw_advised *a, pw_settings_advice *advice)
{
    bool before = looks_at(a) == PW_AT_SUCTION;
    if (a->term->above) {
        (before ? high_before_pump : high_behind_pump)(a, advice);
    } else {
        (before ? low_before_pump : low_behind_pump)(a, advice);
    }
}

void pw_advice_flow(const pw_advised *a, pw_settings_advice *advice)
{
    const pw_pump_facts *f = a->facts;
    if (!a->term->above) {
        advice->wrong = "advice.no-water-moved";
        pw_advice_check(advice, pw_advice_source(f));
        pw_advice_check(advice, pw_advice_turns);
        pw_advice_check(advice, f->non_return ? "advice.delivery-nrv-flow" : "advice.delivery-flow");
        return;
    }
    if (pw_advice_at_rest(a)) {
        advice->wrong = "advice.flowed-at-rest";
        pw_advice_check(advice, "advice.still-runs");
        pw_advice_check(advice, "advice.flow-switch-lets-go");
        pw_advice_check(advice, f->non_return ? "advice.runs-on-nrv" : "advice.runs-on");
        return;
    }
    advice->wrong = "advice.flowed-too-long";
    pw_advice_check(advice, f->float_fills ? "advice.outlet-leak-float" : "advice.outlet-leak");
    pw_advice_check(advice, "advice.close-lines");
    pw_advice_check(advice, "advice.flow-switch-lets-go");
}

static void low_water(const pw_advised *a, pw_settings_advice *advice)
{
    const pw_pump_facts *f = a->facts;
    bool probe = a->term->kind == PW_TERM_PROBE;
    const char *look = probe ? "advice.tank-probe-dry" : "advice.tank-compare";
    switch (looks_at(a)) {
    case PW_AT_SOURCE: {
        bool bore = f->source == PW_FROM_BORE;
        advice->wrong = bore ? "advice.bore-low" : "advice.source-low";
        pw_advice_check(advice, probe ? "advice.dip-probe" : "advice.dip-compare");
        pw_advice_check(advice, bore ? "advice.bore-recovers" : "advice.silt");
        pw_advice_check(advice, bore ? "advice.take-less" : "advice.rest-or-lower");
        return;
    }
    case PW_AT_TANK_TAKEN:
        advice->wrong = "advice.source-tank-low";
        pw_advice_check(advice, look);
        pw_advice_check(advice, f->float_feeds ? "advice.float-opens" : "advice.filler-runs");
        pw_advice_check(advice, "advice.tank-leak");
        return;
    case PW_AT_TANK_FILLED:
        advice->wrong = "advice.tank-low";
        pw_advice_check(advice, look);
        pw_advice_check(advice, pw_advice_turns);
        pw_advice_check(advice, "advice.tank-line-leak");
        return;
    default: break;
    }
    advice->wrong = probe ? "advice.probe-dry" : "advice.level-low";
    pw_advice_check(advice, probe ? "advice.find-level-probe" : "advice.find-level-compare");
    pw_advice_check(advice, "advice.store-filler");
    pw_advice_check(advice, "advice.store-emptied");
}

static void high_water(const pw_advised *a, pw_settings_advice *advice)
{
    const pw_pump_facts *f = a->facts;
    bool probe = a->term->kind == PW_TERM_PROBE;
    const char *sensor = probe ? "advice.clean-probe" : "advice.compare-level";
    switch (looks_at(a)) {
    case PW_AT_SOURCE:
        advice->wrong = f->source == PW_FROM_BORE ? "advice.bore-high" : "advice.source-high";
        pw_advice_check(advice, "advice.find-level");
        pw_advice_check(advice, "advice.surface-water");
        pw_advice_check(advice, probe ? sensor : "advice.sensor-slipped");
        return;
    case PW_AT_TANK_FILLED:
        advice->wrong = "advice.tank-overfilled";
        pw_advice_check(advice, "advice.went-off");
        pw_advice_check(advice, f->float_fills ? "advice.float-shuts" : "advice.should-have-stopped");
        pw_advice_check(advice, sensor);
        return;
    case PW_AT_TANK_TAKEN:
        advice->wrong = "advice.source-tank-overfilled";
        pw_advice_check(advice, f->float_feeds ? "advice.its-float-shuts" : "advice.filler-goes-off");
        pw_advice_check(advice, "advice.its-overflow-free");
        pw_advice_check(advice, sensor);
        return;
    default: break;
    }
    advice->wrong = probe ? "advice.probe-wet" : "advice.level-high";
    pw_advice_check(advice, "advice.filler-told-off");
    pw_advice_check(advice, "advice.overflow-free");
    pw_advice_check(advice, sensor);
}

/* Of a sensor of level, and of a probe. */
void pw_advice_level(const pw_advised *a, pw_settings_advice *advice)
{
    (a->term->above ? high_water : low_water)(a, advice);
}

void pw_advice_drop(const pw_advised *a, pw_settings_advice *advice)
{
    advice->wrong = a->term->above ? "advice.filter-full" : "advice.filter-passes";
    pw_advice_check(advice, a->term->above ? "advice.clean-filter" : "advice.filter-whole");
    pw_advice_check(advice, "advice.filter-tubes");
    pw_advice_check(advice, a->term->above ? "advice.what-dirties" : "advice.filter-flow");
}
