/* Day book entries as facts. */
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
                                                [PW_ENTRY_CAVITATES] = "cavitates",
                                                [PW_ENTRY_CAVITATES_END] = "cavitates end",
                                                [PW_ENTRY_SHORT] = "short",
                                                [PW_ENTRY_SHORT_END] = "short end",
                                                [PW_ENTRY_SPILL] = "spill",
                                                [PW_ENTRY_SPILL_END] = "spill end",
                                                [PW_ENTRY_HUNTING] = "hunting",
                                                [PW_ENTRY_END] = "end",
                                                [PW_ENTRY_FAULT_END] = "fault end",
                                                [PW_ENTRY_STALL] = "stall",
                                                [PW_ENTRY_NO_PRIME] = "no prime",
                                                [PW_ENTRY_PRIME_LOST] = "prime lost",
                                                [PW_ENTRY_NO_CLOSE] = "not closed",
                                                [PW_ENTRY_SLAM] = "slam",
                                                [PW_ENTRY_TYPED] = "refused",
                                                [PW_ENTRY_HOT] = "hot",
                                                [PW_ENTRY_BOILS] = "boils",
                                                [PW_ENTRY_HOT_END] = "hot end",
                                                [PW_ENTRY_BURNT] = "burnt out",
                                                [PW_ENTRY_AIR_IN] = "air in",
                                                [PW_ENTRY_AIR_OUT] = "air out",
                                                [PW_ENTRY_TORN] = "column separates",
                                                [PW_ENTRY_SIPHON] = "siphon",
                                                [PW_ENTRY_CLEANED] = "filter cleaned",
                                                [PW_ENTRY_RESET] = "counters reset"};

const char *pw_entry_id(int32_t kind)
{
    return kind >= 0 && kind < PW_ENTRY_COUNT ? ids[kind] : "";
}

pw_fact pw_entry_when(const pw_entry *entry)
{
    const int64_t second = entry->t_ms / 1000;
    return pw_fact_of("day.when", pw_count(second / 86400 + 1), pw_clock_seconds(second % 86400));
}

/* The sentence that caused it; no value where there is none. */
static pw_value because(pw_arena *arena, const pw_plant *plant, const pw_entry *entry)
{
    const pw_settings *settings = entry->settings != (const pw_settings *)0 ? entry->settings : plant->settings;
    const bool known = entry->sentence >= 0 && entry->sentence < pw_settings_count(settings);
    return known ? pw_sentence_value(arena, settings, entry->sentence) : pw_named("");
}

static pw_fact pump_fact(pw_arena *arena, const pw_plant *plant, const pw_entry *entry)
{
    const pw_value name = entry->item >= 0 ? pw_named(plant->site->pumps[entry->item].name) : pw_word("day.every-pump");
    const pw_value pressure = pw_quantity(PW_DIM_PRESSURE, entry->pressure_pa);
    const pw_value warmth = pw_quantity(PW_DIM_TEMPERATURE, entry->a);
    const pw_value why = because(arena, plant, entry);
    switch (entry->kind) {
    case PW_ENTRY_START: return pw_fact_of("day.start", name, pressure, why);
    case PW_ENTRY_STOP:
        return pw_fact_of("day.stop", name, pw_quantity(PW_DIM_TIME, entry->a), pw_quantity(PW_DIM_VOLUME, entry->b),
                          pressure, why);
    case PW_ENTRY_LOCK: return pw_fact_of("day.lock", name, why);
    case PW_ENTRY_WARN: return pw_fact_of("day.warn", why);
    case PW_ENTRY_HELD: return pw_fact_of(pw_control_held_id((pw_sentence_kind)entry->a), name, why);
    case PW_ENTRY_RELEASE: return pw_fact_of("day.release", name);
    case PW_ENTRY_RETRY: return pw_fact_of("day.retry", name, why);
    case PW_ENTRY_DRY: return pw_fact_of(entry->a > 0.0 ? "day.lifts-too-high" : "day.dry", name);
    case PW_ENTRY_CAVITATES: return pw_fact_of("day.cavitates", name, pw_head(entry->a), pw_head(entry->b));
    case PW_ENTRY_CAVITATES_END: return pw_fact_of("day.cavitates-end", name);
    case PW_ENTRY_DRY_END: return pw_fact_of("day.dry-end", name);
    case PW_ENTRY_HOT: return pw_fact_of("day.hot", name, warmth);
    case PW_ENTRY_BOILS: return pw_fact_of("day.boils", name, warmth);
    case PW_ENTRY_HOT_END: return pw_fact_of("day.hot-end", name, warmth);
    case PW_ENTRY_BURNT: return pw_fact_of("day.burnt", name, warmth);
    case PW_ENTRY_STALL: return pw_fact_of("day.stall", name);
    case PW_ENTRY_NO_PRIME: return pw_fact_of("day.no-prime", name);
    case PW_ENTRY_PRIME_LOST: return pw_fact_of("day.prime-lost", name);
    case PW_ENTRY_NO_CLOSE: return pw_fact_of("day.not-closed", name);
    case PW_ENTRY_SLAM:
        return pw_fact_of("day.slam", name, pw_quantity(PW_DIM_PRESSURE, entry->a), pw_quantity(PW_DIM_TIME, entry->b));
    default: return pw_fact_of("day.hunting", name);
    }
}

/* b of a fault's entry is its kind, 0 where nobody said. */
static pw_fact fault_fact(const pw_entry *entry)
{
    const int32_t kind = entry->b >= 1.0 && entry->b < (double)PW_FAULT_COUNT ? (int32_t)entry->b : PW_FAULT_NONE;
    return pw_fact_of(entry->kind == PW_ENTRY_FAULT ? "day.fault" : "day.fault-end",
                      kind != PW_FAULT_NONE ? pw_word(pw_fault_title((pw_fault_kind)kind)) : pw_named(""));
}

static pw_fact spot_fact(const pw_site *site, const pw_entry *entry)
{
    const pw_value where = pw_named(pw_spot_name(site, entry->item));
    const pw_value pressure = pw_quantity(PW_DIM_PRESSURE, entry->a);
    switch (entry->kind) {
    case PW_ENTRY_AIR_IN: return pw_fact_of("day.air-in", where);
    case PW_ENTRY_AIR_OUT: return pw_fact_of("day.air-out", where);
    case PW_ENTRY_TORN: return pw_fact_of("day.torn", where, pressure);
    default: return pw_fact_of("day.siphon", where, pressure);
    }
}

pw_fact pw_entry_fact(pw_arena *arena, const pw_plant *plant, const pw_entry *entry)
{
    const pw_site *site = plant->site;
    const pw_value pressure = pw_quantity(PW_DIM_PRESSURE, entry->pressure_pa);
    switch (entry->kind) {
    case PW_ENTRY_BEGIN: return pw_fact_of("day.begin", pressure);
    case PW_ENTRY_END: return pw_fact_of("day.end", pressure);
    case PW_ENTRY_FAULT:
    case PW_ENTRY_FAULT_END: return fault_fact(entry);
    case PW_ENTRY_CLEANED: return pw_fact_of("day.cleaned", pw_named(site->filters[entry->item].name));
    case PW_ENTRY_TYPED: return pw_fact_of("day.refused");
    case PW_ENTRY_RESET: return pw_fact_of("day.reset");
    case PW_ENTRY_DRAW:
    case PW_ENTRY_DRAW_END:
        return pw_fact_of(entry->kind == PW_ENTRY_DRAW ? "day.draw" : "day.draw-end",
                          pw_named(site->outlets[entry->item].name), pw_quantity(PW_DIM_FLOW, entry->a));
    case PW_ENTRY_FLOW: return pw_fact_of("day.flow", pw_named(site->sensors[entry->item].name));
    case PW_ENTRY_NO_FLOW: return pw_fact_of("day.no-flow", pw_named(site->sensors[entry->item].name));
    case PW_ENTRY_SHORT: return pw_fact_of("day.short", pw_named(site->outlets[entry->item].name));
    case PW_ENTRY_SHORT_END:
        return pw_fact_of("day.short-end", pw_named(site->outlets[entry->item].name),
                          pw_quantity(PW_DIM_TIME, entry->a));
    case PW_ENTRY_AIR_IN:
    case PW_ENTRY_AIR_OUT:
    case PW_ENTRY_TORN:
    case PW_ENTRY_SIPHON: return spot_fact(site, entry);
    case PW_ENTRY_SPILL: return pw_fact_of("day.spill", pw_named(site->tanks[entry->item].name));
    case PW_ENTRY_SPILL_END: return pw_fact_of("day.spill-end", pw_named(site->tanks[entry->item].name));
    default: return pump_fact(arena, plant, entry);
    }
}

pw_fact pw_entry_line(pw_arena *arena, const pw_plant *plant, const pw_entry *entry)
{
    return pw_fact_of("day.line", pw_fact_inside(arena, pw_entry_when(entry)),
                      pw_fact_inside(arena, pw_entry_fact(arena, plant, entry)));
}
