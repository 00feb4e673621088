/* What a lock out tells, and what to look at first, second and third: what is quick, safe and likely goes first. Common
 * practice of the trade, in our own words. What does not exist on the site is not spoken of.
 */
#include "control/parts.h"

const char pw_advice_turns[] =
    "see that the contactor closes and the motor turns when the pump is told to run: if not, "
    "look at breaker, fuses and the coil";

void pw_advice_check(pw_settings_advice *advice, const char *check)
{
    if (check != NULL && advice->count < 3) {
        advice->checks[advice->count++] = check;
    }
}

bool pw_advice_at_rest(const pw_advised *a)
{
    for (int32_t k = 0; k < a->sentence->term_count; k++) {
        if (a->sentence->terms[k].kind == PW_TERM_STOPPED) {
            return true;
        }
    }
    return false;
}

const char *pw_advice_source(const pw_pump_facts *facts)
{
    switch (facts->source) {
    case PW_FROM_BORE:
        return "dip the water level in the bore, at rest and while the pump runs: it must stay above the intake";
    case PW_FROM_OPEN:
        return facts->lifts ? "see that water covers the strainer, and that pump and suction pipe are full of water"
                            : "see that water covers the intake and nothing blocks it";
    case PW_FROM_MAINS:
        return "see that the main has pressure, and that valves and strainer before the pump are open and clean";
    case PW_FROM_TANK:
        return "look into the tank that the pump takes from: water must stand in it, and the valve behind it be open";
    default: return "see that the source covers the intake";
    }
}

/* What starts a pump, of several the most telling. */
static pw_started_by what_starts(const pw_advised *a)
{
    pw_started_by best = PW_BY_OTHER;
    for (int32_t i = 0; i < a->settings->count; i++) {
        const pw_sentence *sentence = &a->settings->sentences[i];
        if (sentence->kind != PW_SENTENCE_START || !pw_sentence_for(sentence, a->pump)) {
            continue;
        }
        for (int32_t k = 0; k < sentence->term_count; k++) {
            const pw_started_by by = (pw_started_by)pw_form_of(sentence->terms[k].kind)->started_by;
            best = by > best ? by : best;
        }
    }
    return best;
}

/* A rising main to a tank has no outlets that could be left open. */
static const char *tightness(const pw_pump_facts *f)
{
    if (f->fills && !f->serves) {
        return f->non_return
                   ? "shut the valve before the tank and watch whether the pressure still falls: then there is "
                     "a leak, or a non-return valve that passes"
                   : "shut the valve before the tank and watch whether the pressure still falls: then there is "
                     "a leak";
    }
    return f->non_return ? "shut every outlet and watch whether the pressure still falls: then there is a leak, or a "
                           "non-return valve that passes"
                         : "shut every outlet and watch whether the pressure still falls: then there is a leak";
}

void pw_advice_starts(const pw_advised *a, pw_settings_advice *advice)
{
    const pw_pump_facts *f = a->facts;
    advice->wrong = "the pump started too often";
    switch (what_starts(a)) {
    case PW_BY_PRESSURE:
        pw_advice_check(advice, f->vessel ? "check the precharge of the vessel, with the pump switched off and the "
                                            "water let out: lost air is the usual cause"
                                          : NULL);
        pw_advice_check(advice, tightness(f));
        pw_advice_check(advice, f->float_fills && !f->vessel
                                    ? "watch the float valve: one that hangs nearly shut drives the pressure up and "
                                      "lets it fall again"
                                    : NULL);
        pw_advice_check(advice, "see whether cut-in and cut-out stand too close together");
        pw_advice_check(advice, "compare the pressure sensor with a gauge");
        break;
    case PW_BY_LEVEL:
        pw_advice_check(advice,
                        "watch the sensor or probe that starts it beside the water: waves, dirt or a loose wire "
                        "make it come and go");
        pw_advice_check(advice, "look for a leak, a drain or an outlet left open that empties the tank");
        pw_advice_check(advice, "see whether the heights at which it starts and stops stand too close together");
        break;
    case PW_BY_CONTACT:
        pw_advice_check(advice, "watch the contact: see whether what closes it goes on and off");
        pw_advice_check(advice, "check its wire and terminals: a loose one makes it chatter");
        pw_advice_check(advice, "see which sentence stops the pump each time, and look at what that one watches");
        break;
    default:
        pw_advice_check(advice, "see what asks for a start so often");
        pw_advice_check(advice, "see which sentence stops the pump each time, and look at what that one watches");
        pw_advice_check(advice, "see whether the supply comes and goes");
        break;
    }
}

static const char *what_takes_it(const pw_pump_facts *f)
{
    if (f->fills && !f->serves) {
        return f->float_fills ? "walk the line to the tank for a burst or a leak, and see that the float valve shuts"
                              : "walk the line to the tank for a burst or a leak";
    }
    return f->float_fills ? "look for an outlet left open, a leak, or a float valve that passes"
                          : "look for an outlet left open or a leak";
}

void pw_advice_running(const pw_advised *a, pw_settings_advice *advice)
{
    advice->wrong = a->sentence->within_ms > 0 ? "the pump ran for longer in all than it should"
                                               : "the pump ran for longer than it should in one go";
    switch (what_starts(a)) {
    case PW_BY_PRESSURE:
        pw_advice_check(advice, what_takes_it(a->facts));
        pw_advice_check(advice, "see whether the pump still reaches its cut-out: a worn pump, a low source or a valve "
                                "half shut keep it below");
        pw_advice_check(advice, "see that the motor really turns, and compare the pressure sensor with a gauge: a "
                                "contactor that does not close and a blocked sensor leave the reading low");
        break;
    case PW_BY_LEVEL:
        pw_advice_check(advice, "see that the motor really turns and that water comes into the tank: a contactor that "
                                "does not close or a burst line leaves it empty");
        pw_advice_check(advice, "look for an outlet left open or a leak that takes the water away as it comes");
        pw_advice_check(advice, "see that the sensor or probe that should stop it follows the water, and that the pump "
                                "still fills as fast as it did");
        break;
    case PW_BY_CONTACT:
        pw_advice_check(advice, "see what holds the contact that keeps the pump running");
        pw_advice_check(advice, "check the wires of that contact for a short: it also reads closed");
        pw_advice_check(advice, what_takes_it(a->facts));
        break;
    default:
        pw_advice_check(advice, what_takes_it(a->facts));
        pw_advice_check(advice, "see that what the stop sentence looks at follows the real value");
        pw_advice_check(advice, "see whether the pump still brings what it did: a worn pump, a low source or a valve "
                                "half shut make runs long");
        break;
    }
}

static void put_three(pw_settings_advice *advice, const char *wrong, const char *first, const char *second,
                      const char *third)
{
    advice->wrong = wrong;
    pw_advice_check(advice, first);
    pw_advice_check(advice, second);
    pw_advice_check(advice, third);
}

void pw_advice_contact(const pw_advised *a, pw_settings_advice *advice)
{
    if (a->term->above) {
        put_three(advice, "the contact closed", "find out what closes this contact and look at that first",
                  "check the wires for a short: it also reads closed",
                  "open the contact by hand and see whether the input follows");
        return;
    }
    put_three(advice, "the contact opened", "find out what opens this contact and look at that first",
              "check the wire and its terminals: a broken wire also reads open",
              "bridge the contact for a moment with the pump switched off, and see whether the input follows");
}

void pw_advice_clock(const pw_advised *a, pw_settings_advice *advice)
{
    put_three(advice,
              a->term->above ? "the time of day is one that this order watches for"
                             : "the time of day was outside what this order allows",
              "see that the clock of the controller is right", "see that the days of the week are right",
              "see whether something else asked for water then");
}

void pw_advice_stopped(const pw_advised *a, pw_settings_advice *advice)
{
    (void)a;
    put_three(advice, "the pump stood for longer than it should", "see whether anything asks for water at all",
              "see that what the start sentence looks at follows the real value",
              "see that the supply is on and no other sentence keeps the pump from starting");
}

void pw_advice_locked(const pw_advised *a, pw_settings_advice *advice)
{
    (void)a;
    put_three(advice, "a pump is locked out", "read why that pump was locked out, and see to that first",
              "see whether the other pumps carry the load meanwhile", "release it when its cause is gone");
}

pw_settings_advice pw_term_advice(const pw_settings *settings, const pw_site_facts *facts, const pw_sentence *sentence,
                                  const pw_term *term, int32_t pump)
{
    static const pw_pump_facts none = {0};
    const pw_advised a = {settings, sentence, term, facts != NULL ? &facts->pumps[pump] : &none, pump};
    pw_settings_advice advice = {.wrong = ""};
    pw_form_of(term->kind)->advise(&a, &advice);
    return advice;
}

/* Running and stopped are only named as the cause when the sentence names nothing else. */
static bool is_cause(const pw_sentence *sentence, uint8_t held, int32_t k)
{
    if ((held >> k & 1) == 0) {
        return false;
    }
    bool side = pw_form_of(sentence->terms[k].kind)->side;
    for (int32_t i = 0; i < sentence->term_count; i++) {
        const pw_term *other = &sentence->terms[i];
        if ((held >> i & 1) == 0) {
            continue;
        }
        if (side && !pw_form_of(other->kind)->side) {
            return false;
        }
        if (i < k && other->kind == sentence->terms[k].kind && other->above == sentence->terms[k].above) {
            return false; /* told already */
        }
    }
    return true;
}

void pw_settings_put_advice(const pw_settings *settings, const pw_site_facts *facts, int32_t sentence, int32_t pump,
                            uint8_t held, pw_text *text)
{
    static const char *const leads[] = {"Check first: ", "Check second: ", "Check third: "};
    const pw_sentence *read = &settings->sentences[sentence];
    bool first = true;
    held = held != 0 ? held : UINT8_MAX;
    for (int32_t k = 0; k < read->term_count; k++) {
        if (!is_cause(read, held, k)) {
            continue;
        }
        const pw_settings_advice advice = pw_term_advice(settings, facts, read, &read->terms[k], pump);
        pw_text_puts(text, first ? "What went wrong: " : "Or: ", advice.wrong, ".\n", (const char *)NULL);
        for (int32_t i = 0; i < advice.count; i++) {
            pw_text_puts(text, leads[i], advice.checks[i], ".\n", (const char *)NULL);
        }
        first = false;
    }
}
