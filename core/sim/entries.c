/* The entries of the day book, and which of them stay when there is not room for all: those that tell (a fault, a
 * lock out, a warning) push out those of routine, draws before starts and stops (sieve.c). */
#include "sim/observers.h"

#include <string.h>

enum { MOST_RESERVED = 64 }; /* for what is never left out: every kind once before and after each fault */

/* The next entry of the book, with what was left out before it. */
static void put_down(pw_entries *book, const pw_entry *entry)
{
    pw_entry *place = &book->entries[book->count];
    *place = *entry;
    place->left_out = book->left_out;
    place->left_routine = book->left_routine;
    book->left_out = 0;
    book->left_routine = 0;
    book->minor_kept += entry->weight <= PW_ENTRY_ROUTINE ? 1 : 0;
    book->count++;
}

/* Once in a while some tell the most important thing, and may come with every start otherwise. */
static pw_entry_weight weight_of(pw_entries *book, pw_entry_kind kind)
{
    const uint64_t mask = (uint64_t)1 << kind;
    const bool first = (book->seen & mask) == 0;
    book->seen |= mask;
    switch (kind) {
    case PW_ENTRY_FAULT: book->seen = mask; return PW_ENTRY_NEVER_LEFT;
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
    case PW_ENTRY_CAVITATES_END:
    case PW_ENTRY_AIR_OUT:
    case PW_ENTRY_HOT_END: return PW_ENTRY_PASSING;
    case PW_ENTRY_SHORT:
    case PW_ENTRY_CAVITATES:
    case PW_ENTRY_HOT:
    case PW_ENTRY_BOILS:
    case PW_ENTRY_TORN:
    case PW_ENTRY_SIPHON:
    case PW_ENTRY_AIR_IN:
    case PW_ENTRY_SLAM: return first ? PW_ENTRY_NEVER_LEFT : PW_ENTRY_PASSING;
    case PW_ENTRY_DRY:
    case PW_ENTRY_SPILL:
    case PW_ENTRY_STALL:
    case PW_ENTRY_NO_PRIME:
    case PW_ENTRY_PRIME_LOST:
    case PW_ENTRY_NO_CLOSE: return first ? PW_ENTRY_NEVER_LEFT : PW_ENTRY_ROUTINE;
    default: return PW_ENTRY_ROUTINE;
    }
}

static void count_left_out(pw_entries *book, const pw_entry *entry)
{
    book->lost++;
    book->left_out++;
    book->left_routine += entry->weight > PW_ENTRY_PASSING ? 1 : 0;
}

/* Keep what the sieve does, and of routine and passing no more than so many; the gaps are counted where they are. */
static void sift(pw_entries *book, int32_t most)
{
    const int32_t before = book->count, left_out = book->left_out, left_routine = book->left_routine;
    book->count = 0;
    book->left_out = 0;
    book->left_routine = 0;
    book->minor_kept = 0;
    for (int32_t i = 0; i < before; i++) {
        pw_entry entry = book->entries[i];
        const bool minor = entry.weight <= PW_ENTRY_ROUTINE;
        book->left_out += entry.left_out;
        book->left_routine += entry.left_routine;
        if (minor && (book->minor_kept >= most || !pw_sieve_keeps(&book->sieve, &entry))) {
            count_left_out(book, &entry);
            continue;
        }
        put_down(book, &entry);
    }
    book->left_out += left_out;
    book->left_routine += left_routine;
}

/* A coarser sieve, until there is room for one at least; it seldom happens, however much there is to tell. */
static void make_room(pw_entries *book, int32_t most)
{
    const int64_t length_ms = book->length_ms;
    while (book->count >= most && pw_sieve_coarser(&book->sieve, length_ms)) {
        sift(book, book->minor_kept);
    }
}

static bool has_room(pw_entries *book, const pw_entry *entry)
{
    const int32_t capacity = book->capacity;
    const int32_t reserved = capacity / 4 < MOST_RESERVED ? capacity / 4 : MOST_RESERVED;
    const int32_t most = entry->weight == PW_ENTRY_NEVER_LEFT ? capacity : capacity - reserved;
    const bool minor = entry->weight <= PW_ENTRY_ROUTINE;
    if (minor && (book->routine_over || !pw_sieve_keeps(&book->sieve, entry))) {
        return false;
    }
    if (book->minor_kept > 0 || minor) {
        make_room(book, most);
    }
    if (minor) { /* no sieve is coarse enough: the first of what the coarsest keeps stay */
        book->routine_over = book->count >= most;
        return !book->routine_over && pw_sieve_keeps(&book->sieve, entry);
    }
    if (book->count >= most && book->minor_kept > 0) {
        book->routine_over = true;
        sift(book, book->minor_kept / 2);
    }
    return book->count < most;
}

static void event(pw_observer *self, pw_sim *sim, const pw_event *event)
{
    pw_entries *book = (pw_entries *)(void *)self;
    const pw_entry_weight weight = weight_of(book, event->kind);
    const pw_entry entry = {.t_ms = event->t_ms,
                            .kind = (int16_t)event->kind,
                            .item = (int16_t)event->item,
                            .sentence = (int16_t)event->sentence,
                            .weight = (int8_t)weight,
                            .pressure_pa = pw_sim_pressure(sim),
                            .a = event->a,
                            .b = event->b,
                            .settings = event->settings};
    if (has_room(book, &entry)) {
        put_down(book, &entry);
    } else {
        count_left_out(book, &entry);
    }
}

pw_status pw_entries_begin(pw_entries *book, pw_arena *arena, int32_t capacity, int64_t length_ms)
{
    memset(book, 0, sizeof *book);
    book->observer.event = event;
    book->entries = PW_NEW(arena, capacity + 1, pw_entry);
    book->capacity = capacity;
    book->length_ms = length_ms;
    pw_sieve_open(&book->sieve);
    return book->entries != NULL ? PW_OK : PW_MEMORY;
}
