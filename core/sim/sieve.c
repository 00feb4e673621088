/* What of the routine is kept where there is not room for all of it: at first all; then no draws and the like; then the
 * starts and stops of every second day or hour only, of every fourth, and so on. So what is kept spans the whole time,
 * and what was kept by a finer sieve holds all that a coarser one keeps. */
#include "sim/observers.h"

enum { HOUR_MS = 3600000, DAY_HOURS = 24 };
/* Of the hours the one that stays longest begins at 06:00, when a household draws most (common practice, no source). */
enum { BUSY_HOUR = 6 };

void pw_sieve_open(pw_sieve *sieve)
{
    *sieve = (pw_sieve){.no_passing = false, .days = 1, .hours = 1};
}

bool pw_sieve_keeps(const pw_sieve *sieve, const pw_entry *entry)
{
    if (entry->weight > PW_ENTRY_ROUTINE) {
        return true;
    }
    if (entry->weight == PW_ENTRY_PASSING) {
        return !sieve->no_passing;
    }
    const int64_t hour = entry->t_ms / HOUR_MS;
    return hour / DAY_HOURS % sieve->days == 0 && hour % DAY_HOURS % sieve->hours == BUSY_HOUR % sieve->hours;
}

/* How many of the first `hours` hours of a day are kept when it is every so-manieth. */
static int64_t hours_kept(int64_t hours, int64_t every)
{
    const int64_t first = BUSY_HOUR % every;
    return hours > first ? (hours - first + every - 1) / every : 0;
}

bool pw_sieve_coarser(pw_sieve *sieve, int64_t length_ms)
{
    if (!sieve->no_passing) {
        sieve->no_passing = true;
        return true;
    }
    const int64_t length_h = (length_ms + HOUR_MS - 1) / HOUR_MS;
    const int64_t days = (length_h + DAY_HOURS - 1) / DAY_HOURS, hours = length_h < DAY_HOURS ? length_h : DAY_HOURS;
    const int64_t days_left = (days + sieve->days - 1) / sieve->days, hours_left = hours_kept(hours, sieve->hours);
    if (days_left > 1 && days_left >= hours_left) {
        sieve->days *= 2;
        return true;
    }
    if (hours_left > 1 && hours_kept(hours, (int64_t)2 * sieve->hours) > 0) {
        sieve->hours *= 2;
        return true;
    }
    if (days_left > 1) {
        sieve->days *= 2;
        return true;
    }
    return false;
}
