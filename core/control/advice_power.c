/* What a lock out by current, winding or supply tells. Common practice of the trade, in our own words. */
#include "control/parts.h"

static const char voltage_running[] = "advice.voltage-low-more";
static const char turns_freely[] = "advice.turns-freely";

static void low_current(const pw_advised *a, pw_settings_advice *advice)
{
    const pw_pump_facts *f = a->facts;
    advice->wrong = "advice.current-low";
    pw_advice_check(advice, "advice.measure-told");
    pw_advice_check(advice, pw_advice_source(f));
    if (f->feed == PW_FED_DC) {
        pw_advice_check(advice, "advice.voltage-dc-slow");
        return;
    }
    pw_advice_check(advice, f->non_return ? "advice.delivery-nrv-shaft" : "advice.delivery-shaft");
}

static void current_at_rest(pw_settings_advice *advice)
{
    advice->wrong = "advice.current-at-rest";
    pw_advice_check(advice, "advice.isolator");
    pw_advice_check(advice, "advice.renew-contactor");
    pw_advice_check(advice, "advice.current-nothing");
}

static void high_current(const pw_advised *a, pw_settings_advice *advice)
{
    uint8_t feed = a->facts->feed;
    advice->wrong = feed == PW_FED_DC ? "advice.overloaded" : "advice.overloaded-voltage";
    switch (feed) {
    case PW_FED_DC:
        pw_advice_check(advice, "advice.voltage-too-high");
        pw_advice_check(advice, turns_freely);
        pw_advice_check(advice, "advice.brushes");
        break;
    case PW_FED_SINGLE:
        pw_advice_check(advice, voltage_running);
        pw_advice_check(advice, "advice.capacitor");
        pw_advice_check(advice, turns_freely);
        break;
    case PW_FED_THREE:
        pw_advice_check(advice, "advice.each-phase");
        pw_advice_check(advice, voltage_running);
        pw_advice_check(advice, turns_freely);
        break;
    default:
        pw_advice_check(advice, "advice.each-line");
        pw_advice_check(advice, turns_freely);
        pw_advice_check(advice, "advice.plate");
        break;
    }
}

void pw_advice_winding(const pw_advised *a, pw_settings_advice *advice)
{
    advice->wrong = "advice.winding-hot";
    pw_advice_check(advice, "advice.count-starts");
    pw_advice_check(advice, a->facts->feed == PW_FED_THREE ? "advice.each-phase-both" : "advice.voltage-current");
    pw_advice_check(advice, a->facts->source == PW_FROM_BORE ? "advice.cooling-water" : "advice.cooling");
}

void pw_advice_supply(const pw_advised *a, pw_settings_advice *advice)
{
    bool above = a->term->above, dc = a->facts->feed == PW_FED_DC;
    advice->wrong = above ? "advice.supply-high" : "advice.supply-low";
    pw_advice_check(advice, "advice.voltage-board");
    if (dc) {
        pw_advice_check(advice, above ? "advice.charge-controller" : "advice.rusty-terminals");
        pw_advice_check(advice, above ? "advice.feeds-voltage" : "advice.battery");
        return;
    }
    pw_advice_check(advice, above ? "advice.generator" : "advice.loose-terminals");
    pw_advice_check(advice, !above                           ? "advice.what-else-runs"
                            : a->facts->feed == PW_FED_THREE ? "advice.loose-neutral-phase"
                                                             : "advice.loose-neutral");
}

void pw_advice_phases(const pw_advised *a, pw_settings_advice *advice)
{
    bool three = a->facts->feed == PW_FED_THREE || a->facts->feed == PW_FED_UNKNOWN;
    if (!a->term->above && three) {
        advice->wrong = "advice.phase-missing";
        pw_advice_check(advice, "advice.three-phases");
        pw_advice_check(advice, "advice.blown-fuse");
        pw_advice_check(advice, "advice.street");
        return;
    }
    advice->wrong = a->term->above ? "advice.phases-complete" : "advice.phase-reads-missing";
    pw_advice_check(advice, "advice.meant-for");
    pw_advice_check(advice, three ? "advice.three-phases" : "advice.take-out");
    pw_advice_check(advice, "advice.phase-monitor");
}

void pw_advice_current(const pw_advised *a, pw_settings_advice *advice)
{
    if (!a->term->above) {
        low_current(a, advice);
    } else if (pw_advice_at_rest(a)) {
        current_at_rest(advice);
    } else {
        high_current(a, advice);
    }
}
