/* What the settings guarantee, in a line for each pump. */
#include "study/guarantee.h"

/* One line while it is put together. */
typedef struct telling {
    pw_arena *arena;
    const pw_plant *plant;
    const pw_worst *worst;
    pw_facts parts, open; /* what is told; what the work did not decide */
    bool holds;
} telling;

static pw_value ms_value(int64_t ms)
{
    return pw_quantity(PW_DIM_TIME, (double)ms / 1000.0);
}

static void tell_starts(telling *t)
{
    const pw_worst_answer *starts = &t->worst->starts;
    const double bears = t->plant->site->limits.starts_per_hour.v;
    if (starts->end == PW_WORST_BOUND && !starts->cut) {
        pw_tell(&t->parts, "worst.short-starts", pw_count(starts->value), pw_number(bears, 6));
        t->holds = t->holds && (double)starts->value <= bears;
    } else if (starts->end == PW_WORST_UNLIMITED && !starts->cut) {
        pw_tell(&t->parts, "worst.short-starts-endless", pw_count(PW_WORST_STARTS), pw_number(bears, 6));
        t->holds = false;
    } else {
        pw_tell(&t->open, "worst.of-starts");
    }
}

static void tell_run(telling *t)
{
    const pw_worst_answer *run = &t->worst->run;
    switch (run->end) {
    case PW_WORST_BOUND: pw_tell(&t->parts, "worst.short-run", ms_value(run->value)); break;
    case PW_WORST_UNLIMITED:
        pw_tell(&t->parts, "worst.short-run-endless");
        t->holds = false;
        break;
    case PW_WORST_TOO_LARGE: pw_tell(&t->open, "worst.of-run"); break;
    }
}

static void tell_dry(telling *t, int32_t sense)
{
    const pw_worst_answer *longest = &t->worst->senses[sense].longest;
    const double stands_s = t->plant->site->limits.dry_run_s.v;
    const pw_value says = pw_fact_inside(t->arena, pw_worst_says_fact(t->arena, t->plant->settings, t->worst, sense));
    switch (longest->end) {
    case PW_WORST_BOUND:
        pw_tell(&t->parts, "worst.short-dry", says, longest->value > 0 ? ms_value(longest->value) : pw_named(""),
                pw_quantity(PW_DIM_TIME, stands_s));
        t->holds = t->holds && (double)longest->value <= 1000.0 * stands_s;
        break;
    case PW_WORST_UNLIMITED:
        pw_tell(&t->parts, "worst.short-dry-endless", says, pw_quantity(PW_DIM_TIME, stands_s));
        t->holds = false;
        break;
    case PW_WORST_TOO_LARGE: pw_tell(&t->open, "worst.of-dry", says); break;
    }
}

static void tell_stuck(telling *t)
{
    const pw_worst *w = t->worst;
    if (w->stuck.end != PW_WORST_BOUND) {
        pw_tell(&t->open, "worst.of-stuck");
    } else if (w->stuck.value == 0) {
        pw_tell(&t->parts, "worst.short-wakes", pw_truth(w->waits_person != 0));
    } else {
        pw_tell(&t->parts, "worst.short-stuck",
                w->stuck_by >= 0 ? pw_sentence_value(t->arena, t->plant->settings, w->stuck_by) : pw_named(""));
        t->holds = false;
    }
}

static pw_guarantee tell(pw_arena *arena, const pw_plant *plant, const pw_worst *worst, const pw_facts *names,
                         bool *failed)
{
    telling t = {.arena = arena, .plant = plant, .worst = worst, .holds = true};
    pw_facts_init(&t.parts, arena);
    pw_facts_init(&t.open, arena);
    tell_starts(&t);
    tell_run(&t);
    for (int32_t i = 0; i < worst->sense_count; i++) {
        tell_dry(&t, i);
    }
    tell_stuck(&t);
    const pw_value who = pw_list(names, PW_JOIN_AND);
    pw_guarantee out = {pw_no_fact(), pw_no_fact(), t.holds && t.open.count == 0};
    if (t.parts.count > 0) {
        out.words = pw_fact_of("worst.short", who, pw_list(&t.parts, PW_JOIN_COMMA));
    }
    if (t.open.count > 0) {
        out.open = pw_fact_of("worst.short-open", who, pw_list(&t.open, PW_JOIN_COMMA));
    }
    *failed = t.parts.failed || t.open.failed;
    return out;
}

static bool same_answer(const pw_worst_answer *a, const pw_worst_answer *b)
{
    return a->end == b->end && a->value == b->value && a->cut == b->cut;
}

/* Would one line tell the same of both? */
static bool same(const pw_worst *a, const pw_worst *b)
{
    bool all = same_answer(&a->starts, &b->starts) && same_answer(&a->run, &b->run) &&
               same_answer(&a->stuck, &b->stuck) && a->stuck_by == b->stuck_by && a->sense_count == b->sense_count &&
               (a->waits_person != 0) == (b->waits_person != 0);
    for (int32_t i = 0; all && i < a->sense_count; i++) {
        all = a->senses[i].sentence == b->senses[i].sentence && a->senses[i].term == b->senses[i].term &&
              same_answer(&a->senses[i].longest, &b->senses[i].longest);
    }
    return all;
}

pw_status pw_guarantees_of(pw_arena *arena, const pw_plant *plant, pw_guarantees **out, pw_problems *problems)
{
    const int32_t pumps = plant->site->pump_count;
    pw_guarantees *made = PW_NEW(arena, 1, pw_guarantees);
    pw_worst *worsts = PW_NEW(arena, pumps + 1, pw_worst);
    pw_table *table = NULL;
    pw_status status =
        made == NULL || worsts == NULL ? PW_MEMORY : pw_table_build(arena, plant->settings, NULL, &table, problems);
    for (int32_t pump = 0; pump < pumps && status == PW_OK; pump++) {
        status = pw_worst_of(arena, plant->settings, table, &plant->facts, pump, PW_WORST_WAYS_BESIDES, &worsts[pump]);
    }
    for (int32_t pump = 0; pump < pumps && status == PW_OK; pump++) {
        pw_facts names;
        pw_facts_init(&names, arena);
        bool told = false;
        for (int32_t other = 0; other < pump && !told; other++) {
            told = same(&worsts[other], &worsts[pump]);
        }
        for (int32_t other = pump; other < pumps && !told; other++) {
            if (same(&worsts[pump], &worsts[other])) {
                pw_tell(&names, "base.value", pw_named(plant->site->pumps[other].name));
            }
        }
        if (!told) {
            bool failed = false;
            made->items[made->count] = tell(arena, plant, &worsts[pump], &names, &failed);
            made->count++;
            status = names.failed || failed ? PW_MEMORY : PW_OK;
        }
    }
    *out = made;
    return status;
}
