/* Facts and their values. */
#include "base/fact.h"

#include <assert.h>
#include <stdarg.h>
#include <string.h>

pw_value pw_quantity(pw_dimension dimension, double si)
{
    return (pw_value){.kind = PW_VALUE_QUANTITY, .dimension = (int16_t)dimension, .si = si};
}

pw_value pw_head(double head_m)
{
    return (pw_value){.kind = PW_VALUE_HEAD, .si = head_m};
}

pw_value pw_exactly(pw_dimension dimension, double si)
{
    return (pw_value){.kind = PW_VALUE_EXACT, .dimension = (int16_t)dimension, .si = si};
}

pw_value pw_duration(uint32_t span_ms)
{
    return (pw_value){.kind = PW_VALUE_SPAN, .whole = span_ms};
}

pw_value pw_count(int64_t count)
{
    return (pw_value){.kind = PW_VALUE_COUNT, .whole = count};
}

pw_value pw_number(double value, int32_t digits)
{
    return (pw_value){.kind = PW_VALUE_NUMBER, .join = (uint8_t)digits, .si = value};
}

pw_value pw_named(const char *name)
{
    return (pw_value){.kind = PW_VALUE_NAME, .text = name != NULL ? name : ""};
}

pw_value pw_word(const char *id)
{
    return (pw_value){.kind = PW_VALUE_WORD, .text = id};
}

pw_value pw_row_text(const char *text)
{
    return (pw_value){.kind = PW_VALUE_ROW, .text = text != NULL ? text : ""};
}

pw_value pw_nested(const pw_fact *fact)
{
    return (pw_value){.kind = PW_VALUE_FACT, .facts = fact};
}

pw_value pw_list(const pw_facts *list, pw_join join)
{
    return (pw_value){
        .kind = PW_VALUE_LIST, .join = (uint8_t)join, .count = list->failed ? -1 : list->count, .facts = list->items};
}

pw_value pw_clock(int64_t seconds)
{
    return (pw_value){.kind = PW_VALUE_CLOCK, .whole = seconds};
}

pw_value pw_clock_seconds(int64_t seconds)
{
    return (pw_value){.kind = PW_VALUE_CLOCK_SECONDS, .whole = seconds};
}

pw_value pw_weekday(int64_t weekday)
{
    return (pw_value){.kind = PW_VALUE_WEEKDAY, .whole = weekday};
}

pw_value pw_truth(bool truth)
{
    return (pw_value){.kind = PW_VALUE_TRUTH, .whole = truth ? 1 : 0};
}

pw_value pw_in_us_units(void)
{
    return (pw_value){.kind = PW_VALUE_IN_US_UNITS};
}

pw_value pw_no_value(void)
{
    return (pw_value){.kind = PW_VALUE_END};
}

pw_fact pw_fact_of_all(const char *id, ...)
{
    pw_fact fact;
    memset(&fact, 0, sizeof fact);
    fact.id = id;
    va_list values;
    va_start(values, id);
    pw_value value = va_arg(values, pw_value);
    for (int32_t i = 0; value.kind != PW_VALUE_END; i++) {
        assert(i < PW_FACT_VALUES);
        fact.values[i] = value;
        value = va_arg(values, pw_value);
    }
    va_end(values);
    return fact;
}

pw_fact pw_no_fact(void)
{
    pw_fact fact;
    memset(&fact, 0, sizeof fact);
    return fact;
}

const pw_fact *pw_fact_keep(pw_arena *arena, pw_fact fact)
{
    pw_fact *kept = PW_NEW(arena, 1, pw_fact);
    if (kept != NULL) {
        *kept = fact;
    }
    return kept;
}

pw_value pw_fact_inside(pw_arena *arena, pw_fact fact)
{
    return pw_nested(pw_fact_keep(arena, fact));
}

void pw_facts_init(pw_facts *list, pw_arena *arena)
{
    memset(list, 0, sizeof *list);
    list->arena = arena;
}

void pw_facts_add(pw_facts *list, pw_fact fact)
{
    if (list->failed) {
        return;
    }
    if (list->count == list->capacity) {
        const int32_t capacity = list->capacity > 0 ? 2 * list->capacity : 4;
        pw_fact *items = PW_NEW(list->arena, capacity, pw_fact);
        if (items == NULL) {
            list->failed = true;
            return;
        }
        if (list->count > 0) {
            memcpy(items, list->items, (size_t)list->count * sizeof *items);
        }
        list->items = items;
        list->capacity = capacity;
    }
    list->items[list->count] = fact;
    list->count++;
}
