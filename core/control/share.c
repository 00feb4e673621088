/* "for TIME in TIME": a condition that holds for a part of a window, with a memory of fixed size.
 *
 * The window is cut into equal parts (at most PW_SHARE_PARTS), and for each part that is over only the time held in it
 * is kept. What is counted: all parts that are over, and the part that goes on. So a part is forgotten as a whole when
 * the next begins, and the window reaches back at least its time and at most one part (1/64, or 1 ms) more. Parts begin
 * at the moment the controller began and every part_ms from there.
 */
#include "control/parts.h"

#include <string.h>

void pw_share_clear(pw_share *share)
{
    share->going_ms = 0;
    share->sum_ms = 0;
    memset(share->held_ms, 0, sizeof share->held_ms);
}

static void close_part(pw_share *share, const pw_row *row)
{
    share->newest = share->newest + 1 < (int32_t)row->parts ? share->newest + 1 : 0;
    share->sum_ms += share->going_ms - share->held_ms[share->newest];
    share->held_ms[share->newest] = share->going_ms;
    share->going_ms = 0;
    share->part_at_ms += row->part_ms;
    share->at_ms = share->part_at_ms;
}

void pw_share_pass(pw_share *share, const pw_row *row, bool held, uint32_t now_ms)
{
    for (uint32_t i = 0; i <= row->parts && now_ms - share->part_at_ms >= row->part_ms; i++) {
        share->going_ms += held ? share->part_at_ms + row->part_ms - share->at_ms : 0;
        close_part(share, row);
    }
    uint32_t skipped = (now_ms - share->part_at_ms) / row->part_ms; /* by now all parts are alike */
    if (skipped > 0) {
        share->part_at_ms += skipped * row->part_ms;
        share->at_ms = share->part_at_ms;
    }
    share->going_ms += held ? now_ms - share->at_ms : 0;
    share->at_ms = now_ms;
}

uint32_t pw_share_held(const pw_share *share)
{
    return share->sum_ms + share->going_ms;
}

uint32_t pw_share_left(const pw_share *share, const pw_row *row, bool holds, uint32_t now_ms)
{
    uint32_t held_ms = pw_share_held(share);
    bool due = held_ms >= row->time_ms;
    uint32_t to_end_ms = row->part_ms - (now_ms - share->part_at_ms);
    uint32_t first_ms = share->going_ms + (holds ? to_end_ms : 0); /* of the part that goes on, when it is over */
    uint32_t left_ms = 0;
    for (uint32_t i = 0; i <= row->parts + 1; i++) {
        if (holds && !due && row->time_ms - held_ms < to_end_ms) {
            return left_ms + (row->time_ms - held_ms);
        }
        left_ms += to_end_ms;
        held_ms += holds ? to_end_ms : 0;
        uint32_t oldest = ((uint32_t)share->newest + 1 + i) % row->parts;
        held_ms -= i < row->parts ? share->held_ms[oldest] : i == row->parts ? first_ms : holds ? row->part_ms : 0;
        if ((held_ms >= row->time_ms) != due) {
            return left_ms;
        }
        to_end_ms = row->part_ms;
    }
    return PW_NEVER_MS;
}
