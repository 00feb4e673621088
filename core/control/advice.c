/* What a lock out tells, and what to look at first, second and third: what is quick, safe and likely goes first. Common
 * practice of the trade, in our own words. What does not exist on the site is not spoken of.
 */
#include "control/parts.h"

const char pw_advice_turns[] = "advice.turns";

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
    case PW_FROM_BORE: return "advice.dip-bore";
    case PW_FROM_OPEN: return facts->lifts ? "advice.strainer-covered" : "advice.intake-covered";
    case PW_FROM_MAINS: return "advice.main-has-pressure";
    case PW_FROM_TANK: return "advice.look-into-source-tank";
    default: return "advice.source-covers";
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
        return f->non_return ? "advice.tight-tank-valve" : "advice.tight-tank";
    }
    return f->non_return ? "advice.tight-outlets-valve" : "advice.tight-outlets";
}

void pw_advice_starts(const pw_advised *a, pw_settings_advice *advice)
{
    const pw_pump_facts *f = a->facts;
    advice->wrong = "advice.too-often";
    switch (what_starts(a)) {
    case PW_BY_PRESSURE:
        pw_advice_check(advice, f->vessel ? "advice.precharge-lost-air" : NULL);
        pw_advice_check(advice, tightness(f));
        pw_advice_check(advice, f->float_fills && !f->vessel ? "advice.float-nearly-shut" : NULL);
        pw_advice_check(advice, "advice.cut-in-out-close");
        pw_advice_check(advice, "advice.compare-gauge");
        break;
    case PW_BY_LEVEL:
        pw_advice_check(advice, "advice.starting-sensor");
        pw_advice_check(advice, "advice.tank-emptied");
        pw_advice_check(advice, "advice.heights-close");
        break;
    case PW_BY_CONTACT:
        pw_advice_check(advice, "advice.watch-contact");
        pw_advice_check(advice, "advice.contact-wire");
        pw_advice_check(advice, "advice.which-stops");
        break;
    default:
        pw_advice_check(advice, "advice.what-asks");
        pw_advice_check(advice, "advice.which-stops");
        pw_advice_check(advice, "advice.supply-comes-goes");
        break;
    }
}

static const char *what_takes_it(const pw_pump_facts *f)
{
    if (f->fills && !f->serves) {
        return f->float_fills ? "advice.walk-line-float" : "advice.walk-line";
    }
    return f->float_fills ? "advice.outlet-leak-float" : "advice.outlet-leak";
}

void pw_advice_running(const pw_advised *a, pw_settings_advice *advice)
{
    advice->wrong = a->sentence->within_ms > 0 ? "advice.too-long-in-all" : "advice.too-long";
    switch (what_starts(a)) {
    case PW_BY_PRESSURE:
        pw_advice_check(advice, what_takes_it(a->facts));
        pw_advice_check(advice, "advice.reaches-cut-out");
        pw_advice_check(advice, "advice.turns-and-gauge");
        break;
    case PW_BY_LEVEL:
        pw_advice_check(advice, "advice.turns-and-fills");
        pw_advice_check(advice, "advice.taken-as-it-comes");
        pw_advice_check(advice, "advice.stopping-sensor");
        break;
    case PW_BY_CONTACT:
        pw_advice_check(advice, "advice.what-holds-contact");
        pw_advice_check(advice, "advice.contact-short");
        pw_advice_check(advice, what_takes_it(a->facts));
        break;
    default:
        pw_advice_check(advice, what_takes_it(a->facts));
        pw_advice_check(advice, "advice.stop-follows");
        pw_advice_check(advice, "advice.still-brings");
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
        put_three(advice, "advice.contact-closed", "advice.what-closes", "advice.wires-short", "advice.open-by-hand");
        return;
    }
    put_three(advice, "advice.contact-opened", "advice.what-opens", "advice.wire-broken", "advice.bridge");
}

void pw_advice_clock(const pw_advised *a, pw_settings_advice *advice)
{
    put_three(advice, a->term->above ? "advice.time-watched" : "advice.time-outside", "advice.clock-right",
              "advice.days-right", "advice.who-asked");
}

void pw_advice_stopped(const pw_advised *a, pw_settings_advice *advice)
{
    (void)a;
    put_three(advice, "advice.stood-too-long", "advice.anything-asks", "advice.start-follows", "advice.supply-on");
}

void pw_advice_locked(const pw_advised *a, pw_settings_advice *advice)
{
    (void)a;
    put_three(advice, "advice.pump-locked", "advice.read-why", "advice.others-carry", "advice.release");
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

void pw_settings_advise(const pw_settings *settings, const pw_site_facts *facts, int32_t sentence, int32_t pump,
                        uint8_t held, pw_facts *out)
{
    static const char *const leads[] = {"control.check-first", "control.check-second", "control.check-third"};
    const pw_sentence *read = &settings->sentences[sentence];
    bool more = false;
    held = held != 0 ? held : UINT8_MAX;
    for (int32_t k = 0; k < read->term_count; k++) {
        if (!is_cause(read, held, k)) {
            continue;
        }
        const pw_settings_advice advice = pw_term_advice(settings, facts, read, &read->terms[k], pump);
        pw_tell(out, "control.wrong", pw_truth(more), pw_word(advice.wrong));
        for (int32_t i = 0; i < advice.count; i++) {
            pw_tell(out, leads[i], pw_word(advice.checks[i]));
        }
        more = true;
    }
}
