/* What can be typed: the forms of sentences, and conditions with usual numbers for a site's own signals. */
#include "control/action.h"

#include <string.h>

bool pw_settings_shape(int32_t index, pw_sentence_shape *out)
{
    for (int32_t kind = 0; kind < PW_SENTENCE_COUNT; kind++) {
        const pw_action *action = pw_action_of((uint8_t)kind);
        for (int32_t i = 0; action->begins[i] != NULL; i++, index--) {
            if (index == 0) {
                *out = (pw_sentence_shape){.kind = (pw_sentence_kind)kind,
                                           .words = action->shapes[i],
                                           .usual_ms = strstr(action->shapes[i], "{time}") ? action->usual_ms : 0,
                                           .of_signals = action->of_signals,
                                           .of_several_pumps = action->sets_whole};
                return true;
            }
        }
    }
    return false;
}

/* ---- conditions ---- */

typedef struct list {
    pw_arena *arena;
    const pw_settings *settings;
    const pw_units *units;
    pw_condition_example *items;
    int32_t count, capacity; /* capacity 0: they are only counted */
    bool failed;
} list;

static void add(list *l, pw_term_kind kind, int32_t signal, const pw_term *usual)
{
    const pw_term_form *form = pw_form_of((uint8_t)kind);
    if (l->count >= l->capacity) {
        l->count++;
        return;
    }
    pw_term term = *usual;
    term.kind = (uint8_t)kind;
    term.signal = (int16_t)signal;
    term.of_pump = -1;
    pw_text text;
    pw_text_init(&text, l->arena);
    if (form->signal && !form->yes_no) {
        pw_measured_put(l->settings, &term, l->units, &text);
    } else {
        pw_term_put(l->settings, &term, &text);
    }
    l->items[l->count] = (pw_condition_example){kind, form->words, text.data, form->signal};
    l->failed = l->failed || text.failed;
    l->count++;
}

/* All of one form for one signal; -1: it needs none, or means the pump's own. */
static void add_form(list *l, pw_term_kind kind, int32_t signal)
{
    static const pw_term states[2] = {{.above = false}, {.above = true}};
    const pw_term_form *form = pw_form_of((uint8_t)kind);
    const int32_t count = form->usual_count > 0 ? form->usual_count : form->yes_no ? 2 : 1;
    for (int32_t i = 0; i < count; i++) {
        add(l, kind, signal, form->usual_count > 0 ? &form->usual[i] : &states[i]);
    }
}

static void add_all(list *l)
{
    for (int32_t kind = 0; kind < PW_TERM_COUNT; kind++) {
        const pw_term_form *form = pw_form_of((uint8_t)kind);
        if (!form->signal || form->own) {
            add_form(l, (pw_term_kind)kind, -1);
            continue;
        }
        for (int32_t i = 0; i < l->settings->signal_count; i++) {
            if (l->settings->signals[i].kind == (pw_signal_kind)kind) {
                add_form(l, (pw_term_kind)kind, i);
            }
        }
    }
}

pw_status pw_settings_examples(pw_arena *arena, const pw_signal *signals, int32_t signal_count, const pw_units *units,
                               pw_condition_example **out, int32_t *count)
{
    pw_settings *settings = PW_NEW(arena, 1, pw_settings);
    pw_signal *own = PW_NEW(arena, signal_count + 1, pw_signal);
    if (settings == NULL || own == NULL) {
        return PW_MEMORY;
    }
    memcpy(own, signals, (size_t)signal_count * sizeof *own);
    settings->signals = own;
    settings->signal_count = signal_count;
    list l = {.arena = arena, .settings = settings, .units = units};
    add_all(&l);
    l.capacity = l.count;
    l.count = 0;
    l.items = PW_NEW(arena, l.capacity, pw_condition_example);
    if (l.items == NULL) {
        return PW_MEMORY;
    }
    add_all(&l);
    *out = l.items;
    *count = l.count;
    return l.failed ? PW_MEMORY : PW_OK;
}

/* ---- whole sentences ---- */

/* The first condition that suits it; its second direction where the form says so. */
static const char *condition_for(const pw_sentence_shape *shape, const pw_condition_example *conditions, int32_t count)
{
    for (int32_t i = 0; i < count; i++) {
        if (shape->of_signals && !conditions[i].of_signal) {
            continue;
        }
        const bool second = pw_action_of((uint8_t)shape->kind)->shown_above && i + 1 < count &&
                            conditions[i + 1].kind == conditions[i].kind;
        return conditions[second ? i + 1 : i].words;
    }
    return "";
}

static void put_pumps(const char *const *pumps, int32_t count, pw_text *text)
{
    for (int32_t i = 0; i < count; i++) {
        pw_text_puts(text, i == 0 ? "" : i + 1 < count ? ", " : " and ", pumps[i], (const char *)NULL);
    }
}

void pw_settings_example(const pw_sentence_shape *shape, const pw_condition_example *conditions, int32_t count,
                         const char *const *pumps, int32_t pump_count, pw_text *text)
{
    static const char condition[] = "{condition}", time[] = "{time}", for_time[] = " for {time}", all[] = "{pumps}";
    const char *at = shape->words;
    while (*at != '\0') {
        if (strncmp(at, condition, sizeof condition - 1) == 0) {
            pw_text_put(text, condition_for(shape, conditions, count));
            at += sizeof condition - 1;
        } else if (shape->usual_ms == 0 && strncmp(at, for_time, sizeof for_time - 1) == 0) {
            at += sizeof for_time - 1;
        } else if (strncmp(at, time, sizeof time - 1) == 0) {
            pw_text_span(text, shape->usual_ms);
            at += sizeof time - 1;
        } else if (strncmp(at, all, sizeof all - 1) == 0) {
            put_pumps(pumps, pump_count, text);
            at += sizeof all - 1;
        } else {
            pw_text_put_n(text, at, 1);
            at++;
        }
    }
}
