/* The entries of the day book, and which of them stay when there is not room for all: those that tell (a fault, a
 * lock out, a warning) push out those of routine, draws before starts and stops (sieve.c). */
#include "sim/run_impl.h"

enum { MOST_RESERVED = 64 }; /* for what is never left out: every kind once before and after each fault */

/* The next entry of the book, with what was left out before it. */
static void put_down(run_state *run, const pw_entry *entry)
{
    pw_entry *place = &run->book->entries[run->book->entry_count];
    *place = *entry;
    place->left_out = run->left_out;
    place->left_routine = run->left_routine;
    run->left_out = 0;
    run->left_routine = 0;
    run->minor_kept += entry->weight <= PW_ENTRY_ROUTINE ? 1 : 0;
    run->book->entry_count++;
}

/* Once in a while some tell the most important thing, and may come with every start otherwise. */
static pw_entry_weight weight_of(run_state *run, pw_entry_kind kind)
{
    const uint64_t mask = (uint64_t)1 << kind;
    const bool first = (run->seen & mask) == 0;
    run->seen |= mask;
    switch (kind) {
    case PW_ENTRY_FAULT: run->seen = mask; return PW_ENTRY_NEVER_LEFT;
    case PW_ENTRY_BEGIN:
    case PW_ENTRY_FAULT_END:
    case PW_ENTRY_HUNTING:
    case PW_ENTRY_BURNT:
    case PW_ENTRY_TYPED:
    case PW_ENTRY_END: return PW_ENTRY_NEVER_LEFT;
    case PW_ENTRY_LOCK:
    case PW_ENTRY_WARN:
    case PW_ENTRY_RELEASE:
    case PW_ENTRY_RETRY:
    case PW_ENTRY_RESET: return first ? PW_ENTRY_NEVER_LEFT : PW_ENTRY_TELLING;
    case PW_ENTRY_DRAW:
    case PW_ENTRY_DRAW_END:
    case PW_ENTRY_FLOW:
    case PW_ENTRY_NO_FLOW:
    case PW_ENTRY_SHORT_END:
    case PW_ENTRY_HOT_END: return PW_ENTRY_PASSING;
    case PW_ENTRY_SHORT:
    case PW_ENTRY_HOT:
    case PW_ENTRY_BOILS:
    case PW_ENTRY_SLAM: return first ? PW_ENTRY_NEVER_LEFT : PW_ENTRY_PASSING;
    case PW_ENTRY_DRY:
    case PW_ENTRY_SPILL:
    case PW_ENTRY_STALL:
    case PW_ENTRY_NO_PRIME:
    case PW_ENTRY_NO_CLOSE: return first ? PW_ENTRY_NEVER_LEFT : PW_ENTRY_ROUTINE;
    default: return PW_ENTRY_ROUTINE;
    }
}

static void count_left_out(run_state *run, const pw_entry *entry)
{
    run->book->entries_lost++;
    run->left_out++;
    run->left_routine += entry->weight > PW_ENTRY_PASSING ? 1 : 0;
}

/* Keep what the sieve does, and of routine and passing no more than so many; the gaps are counted where they are. */
static void sift(run_state *run, int32_t most)
{
    pw_daybook *book = run->book;
    const int32_t before = book->entry_count, left_out = run->left_out, left_routine = run->left_routine;
    book->entry_count = 0;
    run->left_out = 0;
    run->left_routine = 0;
    run->minor_kept = 0;
    for (int32_t i = 0; i < before; i++) {
        pw_entry entry = book->entries[i];
        const bool minor = entry.weight <= PW_ENTRY_ROUTINE;
        run->left_out += entry.left_out;
        run->left_routine += entry.left_routine;
        if (minor && (run->minor_kept >= most || !pw_sieve_keeps(&run->sieve, &entry))) {
            count_left_out(run, &entry);
            continue;
        }
        put_down(run, &entry);
    }
    run->left_out += left_out;
    run->left_routine += left_routine;
}

/* A coarser sieve, until there is room for one at least; it seldom happens, however much there is to tell. */
static void make_room(run_state *run, int32_t most)
{
    const int64_t length_ms = run->options->length_ms;
    while (run->book->entry_count >= most && pw_sieve_coarser(&run->sieve, length_ms)) {
        sift(run, run->minor_kept);
    }
}

static bool has_room(run_state *run, const pw_entry *entry)
{
    const int32_t capacity = run->options->entry_capacity;
    const int32_t reserved = capacity / 4 < MOST_RESERVED ? capacity / 4 : MOST_RESERVED;
    const int32_t most = entry->weight == PW_ENTRY_NEVER_LEFT ? capacity : capacity - reserved;
    const bool minor = entry->weight <= PW_ENTRY_ROUTINE;
    if (minor && (run->routine_over || !pw_sieve_keeps(&run->sieve, entry))) {
        return false;
    }
    if (run->minor_kept > 0 || minor) {
        make_room(run, most);
    }
    if (minor) { /* no sieve is coarse enough: the first of what the coarsest keeps stay */
        run->routine_over = run->book->entry_count >= most;
        return !run->routine_over && pw_sieve_keeps(&run->sieve, entry);
    }
    if (run->book->entry_count >= most && run->minor_kept > 0) {
        run->routine_over = true;
        sift(run, run->minor_kept / 2);
    }
    return run->book->entry_count < most;
}

void pw_book_entry(run_state *run, pw_entry_kind kind, int32_t item, int32_t sentence, double a, double b)
{
    const pw_entry_weight weight = weight_of(run, kind);
    const bool same_second = run->entry_ms >= 0 && run->t_ms / 1000 == run->entry_ms / 1000;
    run->entry_fine = same_second && (run->entry_fine || run->t_ms != run->entry_ms);
    run->entry_ms = run->t_ms;
    const pw_entry entry = {.t_ms = run->t_ms,
                            .kind = (int16_t)kind,
                            .item = (int16_t)item,
                            .sentence = (int16_t)sentence,
                            .weight = (int8_t)weight,
                            .fine = run->entry_fine,
                            .pressure_pa = pw_book_pressure(run),
                            .a = a,
                            .b = b,
                            .settings = run->settings_in_force};
    if (has_room(run, &entry)) {
        put_down(run, &entry);
    } else {
        count_left_out(run, &entry);
    }
}
