/* The entries of the day book, and which of them stay when there is not room for all: those that tell (a mishap, a
 * lock out, a warning) push out those of routine (starts, stops, draws). */
#include "run/run_impl.h"

enum { MOST_RESERVED = 64 }; /* for what is never left out: every kind once before and after each mishap */

/* Once in a while they tell the most important thing, and may come with every start otherwise. */
static bool tells_the_first_time(pw_entry_kind kind)
{
    switch (kind) {
    case PW_ENTRY_DRY:
    case PW_ENTRY_SHORT:
    case PW_ENTRY_SPILL:
    case PW_ENTRY_STALL:
    case PW_ENTRY_NO_PRIME:
    case PW_ENTRY_NO_CLOSE:
    case PW_ENTRY_SLAM:
    case PW_ENTRY_HOT: return true;
    default: return false;
    }
}

static pw_entry_weight weight_of(run_state *run, pw_entry_kind kind)
{
    const uint64_t mask = (uint64_t)1 << kind;
    const bool first = (run->seen & mask) == 0;
    run->seen |= mask;
    switch (kind) {
    case PW_ENTRY_MISHAP: run->seen = mask; return PW_ENTRY_NEVER_LEFT;
    case PW_ENTRY_BEGIN:
    case PW_ENTRY_MISHAP_END:
    case PW_ENTRY_HUNTING:
    case PW_ENTRY_BURNT:
    case PW_ENTRY_TYPED:
    case PW_ENTRY_END: return PW_ENTRY_NEVER_LEFT;
    case PW_ENTRY_LOCK:
    case PW_ENTRY_WARN:
    case PW_ENTRY_RELEASE:
    case PW_ENTRY_RETRY:
    case PW_ENTRY_RESET:
    case PW_ENTRY_BOILS: return first ? PW_ENTRY_NEVER_LEFT : PW_ENTRY_TELLING;
    default: return first && tells_the_first_time(kind) ? PW_ENTRY_NEVER_LEFT : PW_ENTRY_ROUTINE;
    }
}

/* The later half of the routine goes, one entry at least: so this happens seldom, however much there is to tell. */
static void make_room(run_state *run)
{
    pw_daybook *book = run->book;
    const int32_t stay = run->routine_kept / 2;
    int32_t routine = 0, left = 0, count = 0;
    for (int32_t i = 0; i < book->entry_count; i++) {
        const pw_entry entry = book->entries[i];
        const bool is_routine = entry.weight == PW_ENTRY_ROUTINE;
        routine += is_routine ? 1 : 0;
        left += entry.left_out;
        if (is_routine && routine > stay) {
            left++;
            book->entries_lost++;
            continue;
        }
        book->entries[count] = entry;
        book->entries[count].left_out = left;
        left = 0;
        count++;
    }
    book->entry_count = count;
    run->left_out += left;
    run->routine_kept = stay;
    run->routine_over = true;
}

static bool has_room(run_state *run, pw_entry_weight weight)
{
    const int32_t capacity = run->options->entry_capacity;
    const int32_t reserved = capacity / 4 < MOST_RESERVED ? capacity / 4 : MOST_RESERVED;
    const int32_t most = weight == PW_ENTRY_NEVER_LEFT ? capacity : capacity - reserved;
    if (weight == PW_ENTRY_ROUTINE) {
        return !run->routine_over && run->book->entry_count < most;
    }
    if (run->book->entry_count >= most && run->routine_kept > 0) {
        make_room(run);
    }
    return run->book->entry_count < most;
}

void pw_book_entry(run_state *run, pw_entry_kind kind, int32_t item, int32_t sentence, double a, double b)
{
    pw_daybook *book = run->book;
    const pw_entry_weight weight = weight_of(run, kind);
    const bool same_second = run->entry_ms >= 0 && run->t_ms / 1000 == run->entry_ms / 1000;
    run->entry_fine = same_second && (run->entry_fine || run->t_ms != run->entry_ms);
    run->entry_ms = run->t_ms;
    if (!has_room(run, weight)) {
        book->entries_lost++;
        run->left_out++;
        return;
    }
    pw_entry *entry = &book->entries[book->entry_count];
    entry->t_ms = run->t_ms;
    entry->kind = (int16_t)kind;
    entry->item = (int16_t)item;
    entry->sentence = (int16_t)sentence;
    entry->weight = (int8_t)weight;
    entry->fine = run->entry_fine;
    entry->left_out = run->left_out;
    entry->pressure_pa = pw_book_pressure(run);
    entry->a = a;
    entry->b = b;
    entry->order = run->order_in_force;
    run->left_out = 0;
    run->routine_kept += weight == PW_ENTRY_ROUTINE ? 1 : 0;
    book->entry_count++;
}
