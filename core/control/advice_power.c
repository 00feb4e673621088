/* What a lock out by current, winding or supply tells. Common practice of the trade, in our own words. */
#include "control/parts.h"

static const char voltage_running[] =
    "measure the voltage at the motor while it runs: when it is low, the motor draws more";
static const char turns_freely[] = "see, with the supply off and locked, that the pump turns freely: sand or a worn "
                                   "bearing brakes it";

static void low_current(const pw_advised *a, pw_settings_advice *advice)
{
    const pw_pump_facts *f = a->facts;
    advice->wrong = "the motor took too little current: it ran with next to no load, or did not run at all";
    pw_advice_check(advice,
                    "measure its current while it is told to run: none at all is a contactor that does not close, "
                    "a blown fuse or a broken wire; a little is a pump without water");
    pw_advice_check(advice, pw_advice_source(f));
    if (f->feed == PW_FED_DC) {
        pw_advice_check(advice,
                        "measure the voltage at the motor while it runs: when it is low, a DC motor turns slowly "
                        "and takes little current");
        return;
    }
    pw_advice_check(advice, f->non_return
                                ? "see that the delivery valve is open and the non-return valve free; after "
                                  "that a broken shaft or coupling, or a worn pump, is left"
                                : "see that the delivery valve is open; after that a broken shaft or coupling, "
                                  "or a worn pump, is left");
}

static void current_at_rest(pw_settings_advice *advice)
{
    advice->wrong = "the motor took current although it was told to stop: its contactor does not open";
    pw_advice_check(advice, "switch the pump off at its isolator: the controller cannot stop it");
    pw_advice_check(advice,
                    "look at the contacts with the supply off and locked, and renew a contactor that has welded "
                    "shut");
    pw_advice_check(advice, "see that the current reads nothing when the supply is off");
}

static void high_current(const pw_advised *a, pw_settings_advice *advice)
{
    uint8_t feed = a->facts->feed;
    advice->wrong = feed == PW_FED_DC ? "the motor took too much current: it is overloaded"
                                      : "the motor took too much current: it is overloaded or short of voltage";
    switch (feed) {
    case PW_FED_DC:
        pw_advice_check(advice,
                        "measure the voltage at the motor while it runs: too high a voltage drives it too fast");
        pw_advice_check(advice, turns_freely);
        pw_advice_check(advice, "look at what drives it: brushes or electronics wear out");
        break;
    case PW_FED_SINGLE:
        pw_advice_check(advice, voltage_running);
        pw_advice_check(advice, "check the run capacitor where the motor has one: a weak one makes it draw more");
        pw_advice_check(advice, turns_freely);
        break;
    case PW_FED_THREE:
        pw_advice_check(advice, "measure the current of each phase: a lost or weak phase overloads the others");
        pw_advice_check(advice, voltage_running);
        pw_advice_check(advice, turns_freely);
        break;
    default:
        pw_advice_check(advice, "measure its voltage and the current of each of its lines while it runs");
        pw_advice_check(advice, turns_freely);
        pw_advice_check(advice, "compare the measured current with the one on the motor's plate");
        break;
    }
}

void pw_advice_winding(const pw_advised *a, pw_settings_advice *advice)
{
    advice->wrong = "the winding grew too hot";
    pw_advice_check(advice, "count the starts of the last hour: each one heats the winding");
    pw_advice_check(advice, a->facts->feed == PW_FED_THREE ? "measure voltage and current of each phase while it runs"
                                                           : "measure its voltage and current while it runs");
    pw_advice_check(advice,
                    a->facts->source == PW_FROM_BORE
                        ? "see that water flows past the motor and cools it: sand or slime around it keeps it hot"
                        : "see that what cools the motor reaches it: water past one that is under water, air past "
                          "one that stands dry");
}

void pw_advice_supply(const pw_advised *a, pw_settings_advice *advice)
{
    bool above = a->term->above, dc = a->facts->feed == PW_FED_DC;
    advice->wrong = above ? "the supply voltage rose too far" : "the supply voltage fell too far";
    pw_advice_check(advice, "measure the voltage at the board, at rest and while the pump runs");
    if (dc) {
        pw_advice_check(advice, above
                                    ? "see that the charge controller or regulator works"
                                    : "look for loose or rusty terminals and for a cable that is too long or too thin");
        pw_advice_check(advice, above ? "see that what feeds it has the voltage on the motor's plate"
                                      : "look at what feeds it: an empty or old battery, or panels in dirt or shade");
        return;
    }
    pw_advice_check(advice, above ? "see that a generator holds its speed and its regulator works"
                                  : "look for loose terminals and for a cable that is too long or too thin");
    pw_advice_check(advice, !above ? "see what else runs on this supply, and whether a generator holds its speed"
                            : a->facts->feed == PW_FED_THREE
                                ? "look for a loose neutral: it lets the voltage of one phase rise"
                                : "look for a loose neutral: it lets the voltage rise");
}

void pw_advice_phases(const pw_advised *a, pw_settings_advice *advice)
{
    bool three = a->facts->feed == PW_FED_THREE || a->facts->feed == PW_FED_UNKNOWN;
    if (!a->term->above && three) {
        advice->wrong = "a phase of the supply is missing";
        pw_advice_check(advice, "measure all three phases at the board");
        pw_advice_check(advice, "look for a blown fuse or a burnt contact of the contactor");
        pw_advice_check(advice, "ask the supplier whether a phase is lost in the street");
        return;
    }
    advice->wrong = a->term->above ? "the phases are complete" : "a phase reads as missing";
    pw_advice_check(advice, "see what this sentence is meant for");
    pw_advice_check(advice, three ? "measure all three phases at the board"
                                  : "take the sentence out: this motor does not run on three phases");
    pw_advice_check(advice, "see that the phase monitor is wired to the right input");
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
