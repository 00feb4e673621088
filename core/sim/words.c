/* Day book entries in words. */
#include "sim/run.h"

static const char *const ids[PW_ENTRY_COUNT] = {[PW_ENTRY_BEGIN] = "begin",
                                                [PW_ENTRY_START] = "start",
                                                [PW_ENTRY_STOP] = "stop",
                                                [PW_ENTRY_LOCK] = "lock out",
                                                [PW_ENTRY_WARN] = "warn",
                                                [PW_ENTRY_HELD] = "held",
                                                [PW_ENTRY_RELEASE] = "release",
                                                [PW_ENTRY_RETRY] = "retry",
                                                [PW_ENTRY_FAULT] = "fault",
                                                [PW_ENTRY_DRAW] = "draw",
                                                [PW_ENTRY_DRAW_END] = "draw end",
                                                [PW_ENTRY_FLOW] = "flow",
                                                [PW_ENTRY_NO_FLOW] = "no flow",
                                                [PW_ENTRY_DRY] = "dry",
                                                [PW_ENTRY_DRY_END] = "dry end",
                                                [PW_ENTRY_SHORT] = "short",
                                                [PW_ENTRY_SHORT_END] = "short end",
                                                [PW_ENTRY_SPILL] = "spill",
                                                [PW_ENTRY_SPILL_END] = "spill end",
                                                [PW_ENTRY_HUNTING] = "hunting",
                                                [PW_ENTRY_END] = "end",
                                                [PW_ENTRY_FAULT_END] = "fault end",
                                                [PW_ENTRY_STALL] = "stall",
                                                [PW_ENTRY_NO_PRIME] = "no prime",
                                                [PW_ENTRY_NO_CLOSE] = "not closed",
                                                [PW_ENTRY_SLAM] = "slam",
                                                [PW_ENTRY_TYPED] = "refused",
                                                [PW_ENTRY_HOT] = "hot",
                                                [PW_ENTRY_BOILS] = "boils",
                                                [PW_ENTRY_HOT_END] = "hot end",
                                                [PW_ENTRY_BURNT] = "burnt out",
                                                [PW_ENTRY_RESET] = "counters reset"};

const char *pw_entry_id(int32_t kind)
{
    return kind >= 0 && kind < PW_ENTRY_COUNT ? ids[kind] : "";
}

static void two_digits(pw_text *text, int64_t value)
{
    if (value < 10) {
        pw_text_put(text, "0");
    }
    pw_text_int(text, value);
}

/* Milliseconds only where the second does not tell two entries apart. */
static void clock_put(pw_text *text, int64_t t_ms, bool fine)
{
    const int64_t second = t_ms / 1000;
    pw_text_put(text, "day ");
    pw_text_int(text, second / 86400 + 1);
    pw_text_put(text, "  ");
    two_digits(text, second / 3600 % 24);
    pw_text_put(text, ":");
    two_digits(text, second / 60 % 60);
    pw_text_put(text, ":");
    two_digits(text, second % 60);
    if (fine) {
        pw_text_put(text, t_ms % 1000 < 100 ? ".0" : ".");
        two_digits(text, t_ms % 1000);
    }
    pw_text_put(text, "  ");
}

static void because(const pw_plant *plant, const pw_entry *entry, pw_text *text)
{
    const pw_settings *settings = entry->settings != (const pw_settings *)0 ? entry->settings : plant->settings;
    if (entry->sentence >= 0 && entry->sentence < pw_settings_count(settings)) {
        pw_text_put(text, ": ");
        pw_settings_put(settings, entry->sentence, text);
    }
}

static void named(pw_text *text, const char *name, const char *words)
{
    pw_text_puts(text, name, words, (const char *)0);
}

static void pressure_put(const pw_entry *entry, const pw_units *units, pw_text *text)
{
    pw_text_put(text, " at ");
    pw_quantity_put(text, units, PW_DIM_PRESSURE, entry->pressure_pa);
}

static const char *held_words(const pw_entry *entry)
{
    if (entry->a == (double)PW_WAIT_POWER) {
        return " would start, but waits first, because the power came on";
    }
    if (entry->a == (double)PW_WAIT_APART) {
        return " would start, but waits first, because another pump has just started";
    }
    return " would start, but rests first";
}

static void pump_put(const pw_plant *plant, const pw_entry *entry, const pw_units *units, pw_text *text)
{
    const char *name = entry->item >= 0 ? plant->site->pumps[entry->item].name : "every pump";
    switch (entry->kind) {
    case PW_ENTRY_START:
        named(text, name, " starts");
        pressure_put(entry, units, text);
        because(plant, entry, text);
        break;
    case PW_ENTRY_STOP:
        named(text, name, " stops after ");
        pw_quantity_put(text, units, PW_DIM_TIME, entry->a);
        pw_text_put(text, " and ");
        pw_quantity_put(text, units, PW_DIM_VOLUME, entry->b);
        pressure_put(entry, units, text);
        because(plant, entry, text);
        break;
    case PW_ENTRY_LOCK:
        named(text, name, " is locked out");
        because(plant, entry, text);
        break;
    case PW_ENTRY_WARN:
        pw_text_put(text, "warning");
        because(plant, entry, text);
        break;
    case PW_ENTRY_HELD:
        named(text, name, held_words(entry));
        because(plant, entry, text);
        break;
    case PW_ENTRY_RELEASE: named(text, name, " is released by a person"); break;
    case PW_ENTRY_RETRY:
        named(text, name, " is released by the order itself");
        because(plant, entry, text);
        break;
    case PW_ENTRY_DRY: named(text, name, " begins to take in air: the water stands at the intake"); break;
    case PW_ENTRY_DRY_END: named(text, name, " no longer runs dry"); break;
    case PW_ENTRY_HOT:
        pw_text_puts(text, "the water in ", name, " is above ", (const char *)0);
        pw_quantity_put(text, units, PW_DIM_TEMPERATURE, entry->a);
        pw_text_put(text, ": it scalds whoever lets it out");
        break;
    case PW_ENTRY_BOILS:
        pw_text_puts(text, "the water in ", name, " boils at ", (const char *)0);
        pw_quantity_put(text, units, PW_DIM_TEMPERATURE, entry->a);
        pw_text_put(text, ": steam drives it out, and seals and plastic parts give way");
        break;
    case PW_ENTRY_HOT_END:
        pw_text_puts(text, "the water in ", name, " has cooled below ", (const char *)0);
        pw_quantity_put(text, units, PW_DIM_TEMPERATURE, entry->a);
        break;
    case PW_ENTRY_BURNT:
        pw_text_puts(text, "the motor of ", name, " burns out, its winding at ", (const char *)0);
        pw_quantity_put(text, units, PW_DIM_TEMPERATURE, entry->a);
        pw_text_put(text, ": it does not turn again");
        break;
    case PW_ENTRY_STALL:
        named(text, name, " is switched on and does not turn: it draws its locked-rotor current");
        break;
    case PW_ENTRY_NO_PRIME: named(text, name, " turns without water: its suction pipe has drained"); break;
    case PW_ENTRY_NO_CLOSE: named(text, name, " is told to start, but its contactor does not close"); break;
    case PW_ENTRY_SLAM:
        pw_text_puts(text, "the non-return valve of ", name, " slams: the pressure in its pipe swings by ",
                     (const char *)0);
        pw_quantity_put(text, units, PW_DIM_PRESSURE, entry->a);
        pw_text_put(text, " up and down, ");
        pw_quantity_put(text, units, PW_DIM_TIME, entry->b);
        pw_text_put(text, " each way");
        break;
    default: named(text, name, " hunts: more than 1,800 starts in an hour. The simulation ends here"); break;
    }
}

/* b of a fault's entry is its kind, 0 where nobody said. */
static void fault_put(const pw_entry *entry, pw_text *text)
{
    const int32_t kind = entry->b >= 1.0 && entry->b < (double)PW_FAULT_COUNT ? (int32_t)entry->b : PW_FAULT_NONE;
    if (kind != PW_FAULT_NONE) {
        pw_text_puts(text, ": ", pw_fault_title((pw_fault_kind)kind), (const char *)0);
    }
}

static void draw_put(const pw_plant *plant, const pw_entry *entry, const pw_units *units, pw_text *text)
{
    named(text, plant->site->outlets[entry->item].name, ": a draw of ");
    pw_quantity_put(text, units, PW_DIM_FLOW, entry->a);
    pw_text_put(text, entry->kind == PW_ENTRY_DRAW ? " begins" : " ends");
}

void pw_entry_put(const pw_plant *plant, const pw_entry *entry, const pw_units *units, pw_text *text)
{
    const pw_site *site = plant->site;
    clock_put(text, entry->t_ms, entry->fine);
    switch (entry->kind) {
    case PW_ENTRY_BEGIN:
        pw_text_put(text, "begin");
        pressure_put(entry, units, text);
        break;
    case PW_ENTRY_END:
        pw_text_put(text, "end");
        pressure_put(entry, units, text);
        break;
    case PW_ENTRY_FAULT:
    case PW_ENTRY_FAULT_END:
        pw_text_put(text, entry->kind == PW_ENTRY_FAULT ? "the fault begins" : "the fault is over");
        fault_put(entry, text);
        break;
    case PW_ENTRY_TYPED:
        pw_text_put(text, "the order as it was typed now is refused: the old one stays in force");
        break;
    case PW_ENTRY_RESET: pw_text_put(text, "a person resets the counters of starts and run time"); break;
    case PW_ENTRY_DRAW:
    case PW_ENTRY_DRAW_END: draw_put(plant, entry, units, text); break;
    case PW_ENTRY_FLOW: named(text, site->sensors[entry->item].name, " makes: there is flow"); break;
    case PW_ENTRY_NO_FLOW: named(text, site->sensors[entry->item].name, " breaks: no flow"); break;
    case PW_ENTRY_SHORT: named(text, site->outlets[entry->item].name, " gets less than 80 % of what it wants"); break;
    case PW_ENTRY_SHORT_END:
        named(text, site->outlets[entry->item].name, " no longer gets too little, after ");
        pw_quantity_put(text, units, PW_DIM_TIME, entry->a);
        break;
    case PW_ENTRY_SPILL: named(text, site->tanks[entry->item].name, " overflows"); break;
    case PW_ENTRY_SPILL_END: named(text, site->tanks[entry->item].name, " no longer overflows"); break;
    default: pump_put(plant, entry, units, text); break;
    }
}
