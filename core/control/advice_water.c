/* What a lock out by pressure, flow or level tells. Common practice of the trade, in our own words. */
#include "control/parts.h"

static const char welded[] = "see that the pump really goes off when it is told to: a contactor can weld shut";

static uint8_t looks_at(const pw_advised *a)
{
    int32_t signal = pw_term_signal(a->settings, a->term, a->pump);
    return signal >= 0 ? a->facts->signal_at[signal] : PW_AT_UNKNOWN;
}

static void low_before_pump(const pw_advised *a, pw_settings_advice *advice)
{
    advice->wrong = "the pressure before the pump fell too far: less water comes to it than it takes";
    pw_advice_check(advice,
                    a->facts->source == PW_FROM_MAINS
                        ? "read a gauge before the pump while nothing runs: a main that is low even then is the "
                          "supplier's matter"
                        : pw_advice_source(a->facts));
    pw_advice_check(advice, "see that every valve, meter and strainer before the pump is open and clean");
    pw_advice_check(advice,
                    a->settings->pump_count > 1
                        ? "compare the sensor with the gauge, and see whether the pumps together take more than "
                          "the pipe before them brings"
                        : "compare the sensor with the gauge: its small pipe may be blocked");
}

static void low_behind_pump(const pw_advised *a, pw_settings_advice *advice)
{
    const pw_pump_facts *f = a->facts;
    advice->wrong = "the pressure fell too far: more water leaves than the pump brings, or it brings none";
    pw_advice_check(advice, pw_advice_turns);
    pw_advice_check(advice, f->fills && !f->serves
                                ? "walk the line to the tank for a burst or a leak, and see that no drain stands open"
                                : "walk the lines for a burst, a leak or an outlet left open");
    pw_advice_check(advice, pw_advice_source(f));
}

static void high_before_pump(const pw_advised *a, pw_settings_advice *advice)
{
    advice->wrong = "the pressure before the pump rose too far";
    pw_advice_check(advice, "compare the sensor with a gauge before the pump");
    pw_advice_check(advice, a->facts->non_return
                                ? "see whether water comes back through the pump while it stands: then "
                                  "its non-return valve does not shut"
                                : NULL);
    pw_advice_check(advice, a->facts->source == PW_FROM_MAINS
                                ? "look at the pressure reducing valve where there is one, and ask the supplier"
                                : "see whether the water that feeds the pump stands higher than it did");
    pw_advice_check(advice, "see that no other pump or line pushes into this one");
}

static void high_behind_pump(const pw_advised *a, pw_settings_advice *advice)
{
    const pw_pump_facts *f = a->facts;
    advice->wrong = "the pressure rose too far: the pump pushed against a line that takes no water";
    if (!f->vessel) {
        pw_advice_check(advice, f->float_fills
                                    ? "see that the valves in the delivery line are open and the float valve "
                                      "is not stuck shut"
                                    : "see that every valve in the delivery line is open");
    }
    pw_advice_check(advice, "compare the pressure sensor with a gauge: a blocked sensing pipe keeps an old reading");
    pw_advice_check(advice, welded);
    pw_advice_check(advice, f->vessel ? "check the precharge of the vessel, with the pump switched off and the water "
                                        "let out: without air the pressure jumps"
                                      : NULL);
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
        advice->wrong = "the pump was told to run, but no water moved past the flow switch";
        pw_advice_check(advice, pw_advice_source(f));
        pw_advice_check(advice, pw_advice_turns);
        pw_advice_check(advice, f->non_return
                                    ? "see that the delivery valve is open, the non-return valve free, and the "
                                      "flow switch moves and is wired to the right input"
                                    : "see that the delivery valve is open, and the flow switch moves and is "
                                      "wired to the right input");
        return;
    }
    if (pw_advice_at_rest(a)) {
        advice->wrong = "water flowed although the pump was told to stop";
        pw_advice_check(advice, "see whether the pump still runs: a contactor that has welded shut keeps it going; "
                                "switch it off at its isolator");
        pw_advice_check(advice, "see that the flow switch lets go when no water moves");
        pw_advice_check(advice, f->non_return ? "see whether water runs on by itself or back through the pump: its "
                                                "non-return valve may not shut"
                                              : "see whether water runs on by itself or back through the pump");
        return;
    }
    advice->wrong = "water flowed when or for longer than it should";
    pw_advice_check(advice, f->float_fills ? "look for an outlet left open, a leak, or a float valve that passes"
                                           : "look for an outlet left open or a leak");
    pw_advice_check(advice, "close the lines one by one and see which one stops the flow: the leak is behind it");
    pw_advice_check(advice, "see that the flow switch lets go when no water moves");
}

static void low_water(const pw_advised *a, pw_settings_advice *advice)
{
    const pw_pump_facts *f = a->facts;
    bool probe = a->term->kind == PW_TERM_PROBE;
    const char *look =
        probe ? "look into the tank: is the water really below the probe? Dirt and a broken wire also read dry"
              : "look into the tank and compare its water with the level sensor";
    switch (looks_at(a)) {
    case PW_AT_SOURCE: {
        bool bore = f->source == PW_FROM_BORE;
        advice->wrong = bore ? "the water in the bore stands too low: the pump takes more than the bore brings"
                             : "the water that the pump takes from stands too low";
        pw_advice_check(advice, probe ? "dip the water level by hand: dirt on the probe and a broken wire also read dry"
                                      : "dip the water level by hand and compare it with the sensor");
        pw_advice_check(advice, bore ? "let the bore recover, see how fast it does, and keep a record of it"
                                     : "see that the intake is free of silt and weed, and how fast the water falls");
        pw_advice_check(advice, bore
                                    ? "let the pump take less, by a throttled valve or by shorter runs and longer rests"
                                    : "let the pump rest until water has come back, or lower its intake");
        return;
    }
    case PW_AT_TANK_TAKEN:
        advice->wrong = "the tank that the pump takes from ran low: it empties faster than it fills";
        pw_advice_check(advice, look);
        pw_advice_check(advice, f->float_feeds ? "see that its float valve opens and what feeds it has pressure"
                                               : "see that what fills it really runs");
        pw_advice_check(advice, "look for a leak or a drain left open at the tank");
        return;
    case PW_AT_TANK_FILLED:
        advice->wrong = "the tank ran low: more is drawn than the pump brings, or it brings none";
        pw_advice_check(advice, look);
        pw_advice_check(advice, pw_advice_turns);
        pw_advice_check(advice, "look for an outlet left open or a leak, at the tank and in the line that fills it");
        return;
    default: break;
    }
    advice->wrong = probe ? "the probe stands dry: the water is below it"
                          : "the level fell too far: the store empties faster than it fills";
    pw_advice_check(advice, probe ? "find the water level by hand: dirt on the probe and a broken wire also read dry"
                                  : "find the water level by hand and compare it with the sensor");
    pw_advice_check(advice, "see that what fills the store really runs");
    pw_advice_check(advice, "look for an outlet, a drain or a leak that empties it");
}

static void high_water(const pw_advised *a, pw_settings_advice *advice)
{
    const pw_pump_facts *f = a->facts;
    bool probe = a->term->kind == PW_TERM_PROBE;
    const char *sensor =
        probe ? "dry and clean the probe: a wet deposit also reads wet" : "compare the level sensor with the water";
    switch (looks_at(a)) {
    case PW_AT_SOURCE:
        advice->wrong = f->source == PW_FROM_BORE ? "the water in the bore stands higher than it should"
                                                  : "the water that the pump takes from stands higher than it should";
        pw_advice_check(advice, "find the water level by hand");
        pw_advice_check(advice, "see that no surface water runs in after rain");
        pw_advice_check(advice,
                        probe ? sensor : "see that the sensor hangs at its depth: one that has slipped reads high");
        return;
    case PW_AT_TANK_FILLED:
        advice->wrong = "the tank filled too far: what fills it did not stop";
        pw_advice_check(advice, "see that the pump really went off: a contactor that has welded shut keeps it going; "
                                "switch it off at its isolator");
        pw_advice_check(advice, f->float_fills
                                    ? "see that the float valve shuts"
                                    : "see that the sensor or probe that should have stopped it follows the water");
        pw_advice_check(advice, sensor);
        return;
    case PW_AT_TANK_TAKEN:
        advice->wrong = "the tank that the pump takes from filled too far: what fills it did not stop";
        pw_advice_check(advice, f->float_feeds ? "see that its float valve shuts" : "see that what fills it goes off");
        pw_advice_check(advice, "see that its overflow is free");
        pw_advice_check(advice, sensor);
        return;
    default: break;
    }
    advice->wrong = probe ? "the probe stands wet: the water has reached it"
                          : "the level rose too far: the store fills and does not stop";
    pw_advice_check(advice, "see that what fills it goes off when it is told to");
    pw_advice_check(advice, "see that the overflow is free");
    pw_advice_check(advice, sensor);
}

/* Of a sensor of level, and of a probe. */
void pw_advice_level(const pw_advised *a, pw_settings_advice *advice)
{
    (a->term->above ? high_water : low_water)(a, advice);
}
