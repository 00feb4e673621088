/* "pipes": the table of pipe sizes, or those whose name has all the words asked for. */
#include <string.h>

#include "base/candidates.h"
#include "door/inside.h"
#include "formula/pipe.h"

/* Does the name hold this word, from its beginning or behind a blank or a hyphen? "5" is no "50". */
static bool has_word(const char *name, const char *word, size_t length)
{
    for (const char *at = name; *at != '\0'; at++) {
        const bool begins = at == name || at[-1] == ' ' || at[-1] == '-';
        size_t same = 0;
        while (same < length && at[same] != '\0' && pw_lower(at[same]) == pw_lower(word[same])) {
            same++;
        }
        const char after = same == length ? at[length] : 'x';
        const bool digit = after >= '0' && after <= '9' && word[length - 1] >= '0' && word[length - 1] <= '9';
        if (begins && same == length && !digit) {
            return true;
        }
    }
    return false;
}

static bool has_all(const char *name, const char *words)
{
    while (*words != '\0') {
        char word[PW_CANDIDATE_ROOM];
        const size_t length = strcspn(words, " ");
        for (size_t i = 0; i < length && i < sizeof word - 1; i++) {
            word[i] = pw_lower(words[i]);
        }
        word[length < sizeof word - 1 ? length : sizeof word - 1] = '\0';
        const char *present = pw_pipe_present(word); /* "poly" is PE */
        if (length > 0 && !has_word(name, words, length) &&
            (present == word || !has_word(name, present, strlen(present)))) {
            return false;
        }
        words += length + (words[length] == ' ' ? 1 : 0);
    }
    return true;
}

static void put_pipe(door *d, const pw_pipe_size *pipe)
{
    pw_json_open(d->answer, NULL, '{');
    pw_json_string(d->answer, "name", pipe->name);
    door_put_number(d, "outer_m", pipe->outer_m);
    door_put_number(d, "wall_m", pipe->wall_m);
    door_put_number(d, "bore_m", pipe->bore_m);
    door_put_number(d, "roughness_m", pipe->rough_m);
    door_put_number(d, "hazen_c", pipe->hazen_c);
    if (pipe->class_pa > 0.0) {
        door_put_number(d, "nominal_pa", pipe->class_pa);
    }
    pw_json_close(d->answer, '}');
}

static pw_status fail_near(door *d, const char *asked)
{
    char words[PW_WORDS_SIZE];
    return pw_problem_tell(d->problems, PW_REFERENCE, "of", pw_verbatim(asked), pw_fact_of("door.words-of-a-pipe"),
                           pw_candidates_fact(asked, pw_pipe_count(), pw_pipe_name, pw_pipe_present, words));
}

pw_status door_pipes(door *d)
{
    const char *asked = door_string(d, d->request, "", "of", "");
    int32_t found = 0;
    if (door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    pw_json_open(d->answer, "pipes", '[');
    for (int32_t i = 0; i < pw_pipe_count(); i++) {
        pw_pipe_size pipe;
        char all_words[PW_CANDIDATE_ROOM];
        if (pw_pipe_at(i, &pipe) && has_all(pw_pipe_name(i, all_words), asked)) {
            put_pipe(d, &pipe);
            found++;
        }
    }
    pw_json_close(d->answer, ']');
    return found > 0 ? PW_OK : fail_near(d, asked);
}
