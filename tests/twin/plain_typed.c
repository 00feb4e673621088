/* The plain simulation: an order as a person typed it wrongly, word by word. A sentence is cut at its blanks; a number
 * is a word that begins with a digit, and its unit is the word behind it. Not for sentences that write 10s as one word.
 */
#include <ctype.h>
#include <string.h>

#include "plain_impl.h"

enum { MOST_WORDS = 80, WORD = 64 };

typedef struct words {
    int32_t count;
    char word[MOST_WORDS][WORD];
} words;

static void cut(const char *text, words *out)
{
    memset(out, 0, sizeof *out);
    for (int32_t length = 0; *text != '\0'; text++) {
        if (*text != ' ') {
            out->count += length == 0 ? 1 : 0;
            out->word[out->count - 1][length++] = *text;
        } else {
            length = 0;
        }
    }
}

static const char *joined(pw_arena *arena, const words *w)
{
    pw_text text;
    pw_text_init(&text, arena);
    for (int32_t i = 0; i < w->count; i++) {
        pw_text_puts(&text, i > 0 ? " " : "", w->word[i], (const char *)NULL);
    }
    return text.data;
}

static int32_t place_of(const words *w, const char *first, const char *second)
{
    for (int32_t i = 0; i < w->count; i++) {
        if (strcmp(w->word[i], first) == 0 && (second == NULL || strcmp(w->word[i + 1], second) == 0)) {
            return i;
        }
    }
    return -1;
}

static void other_unit(words *w, const char *was, const char *is)
{
    for (int32_t i = 1; i < w->count; i++) {
        if (isdigit((unsigned char)w->word[i - 1][0]) && strcmp(w->word[i], was) == 0) {
            strcpy(w->word[i], is);
        }
    }
}

static void exchange(words *a, int32_t at_a, words *b, int32_t at_b, int32_t count)
{
    for (int32_t i = 0; i < count; i++) {
        char kept[WORD];
        memcpy(kept, a->word[at_a + i], WORD);
        memcpy(a->word[at_a + i], b->word[at_b + i], WORD);
        memcpy(b->word[at_b + i], kept, WORD);
    }
}

static int32_t first_with(const words *all, int32_t count, const char *act, const char *kind, const char *condition)
{
    for (int32_t i = 0; i < count; i++) {
        if (place_of(&all[i], act, "when") >= 0 && place_of(&all[i], kind, NULL) >= 0 &&
            place_of(&all[i], condition, NULL) >= 0) {
            return i;
        }
    }
    return -1;
}

/* The limits of the first start and the first stop by a pressure, else by a level: number and unit. Else those of a
 * pair of probes: the two words of their names. */
static void swap(words *all, int32_t count)
{
    static const char *const kinds[][3] = {
        {"pressure", "below", "above"}, {"level", "below", "above"}, {"probe", "dry", "wet"}};
    for (size_t k = 0; k < sizeof kinds / sizeof kinds[0]; k++) {
        const int32_t start = first_with(all, count, "start", kinds[k][0], kinds[k][1]);
        const int32_t stop = first_with(all, count, "stop", kinds[k][0], kinds[k][2]);
        if (start >= 0 && stop >= 0) {
            const char *const *at = k < 2 ? &kinds[k][1] : NULL;
            const int32_t a = place_of(&all[start], at != NULL ? at[0] : "probe", NULL) + 1;
            const int32_t b = place_of(&all[stop], at != NULL ? at[1] : "probe", NULL) + 1;
            exchange(&all[start], a, &all[stop], b, 2);
            return;
        }
    }
}

bool plain_type(plain *p, pw_fault_kind kind, pw_table **out)
{
    static words all[PW_MAX_SENTENCES];
    static pw_problems problems;
    const char *sentences[PW_MAX_SENTENCES];
    const int32_t count = p->site->sentence_count;
    pw_settings *settings = NULL;
    memset(&problems, 0, sizeof problems);
    for (int32_t i = 0; i < count; i++) {
        cut(p->site->sentences[i], &all[i]);
        if (kind == PW_FAULT_PSI_TYPED) {
            other_unit(&all[i], "kPa", "psi");
        } else if (kind == PW_FAULT_MINUTES_TYPED) {
            other_unit(&all[i], "s", "min");
        }
    }
    if (kind == PW_FAULT_SETTINGS_SWAPPED) {
        swap(all, count);
    }
    for (int32_t i = 0; i < count; i++) {
        sentences[i] = joined(&p->arena, &all[i]);
    }
    return pw_plant_read(&p->arena, p->plant, sentences, count, &settings, &problems) == PW_OK &&
           pw_table_build(&p->arena, settings, p->options->keep, out, &problems) == PW_OK;
}
