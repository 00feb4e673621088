/* "logic": the control settings as a program for another machine. */
#include <string.h>

#include "control/logic.h"
#include "door/inside.h"

static bool read_language(door *d, pw_logic_language *out)
{
    const char *as = door_string(d, d->request, "", "as", "st");
    *out = strcmp(as, "c") == 0 ? PW_LOGIC_C : PW_LOGIC_ST;
    if (strcmp(as, "c") != 0 && strcmp(as, "st") != 0) {
        pw_problem_tell(d->problems, PW_WORD, "as", pw_verbatim(as), pw_fact_of("door.logic-as"), pw_no_fact());
        return false;
    }
    return true;
}

/* Number of the pump asked for; -1 each; -2 after a problem was added. */
static int32_t read_pump(door *d, const pw_site *site)
{
    const char *names[PW_MAX_PUMPS];
    const char *name = door_string(d, d->request, "", "pump", "");
    pw_choices right = {{0}, 0, 0};
    for (int32_t i = 0; i < site->pump_count; i++) {
        names[i] = site->pumps[i].name;
        pw_choices_add(&right, names[i]);
        if (strcmp(names[i], name) == 0) {
            return i;
        }
    }
    if (name[0] == '\0') {
        return -1;
    }
    pw_problem_tell(d->problems, PW_REFERENCE, "pump", pw_verbatim(name), pw_verbatim(right.names),
                    pw_near_fact(name, names, site->pump_count));
    return -2;
}

pw_status door_logic(door *d)
{
    pw_logic_language language = PW_LOGIC_ST;
    const bool known = read_language(d, &language);
    pw_plant *plant = door_plant(d);
    if (!plant || !known || door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    const int32_t wanted = read_pump(d, plant->site);
    pw_table *table = NULL;
    pw_status status =
        wanted == -2 ? door_problem(d) : pw_table_build(d->arena, plant->settings, NULL, &table, d->problems);
    if (status != PW_OK) {
        return status;
    }
    pw_json_string(d->answer, "name", plant->site->name);
    const bool together = pw_logic_together(table);
    if (together && wanted >= 0) {
        return pw_problem_tell(d->problems, PW_CONFLICT, "pump", pw_verbatim(plant->site->pumps[wanted].name),
                               pw_fact_of("door.logic-together"), pw_no_fact());
    }
    pw_json_open(d->answer, "programs", '[');
    for (int32_t pump = 0; pump < (together ? 1 : plant->site->pump_count) && status == PW_OK; pump++) {
        if (wanted >= 0 && pump != wanted) {
            continue;
        }
        pw_text text;
        pw_text_init(&text, d->arena);
        status = pw_logic_put(d->arena, plant->settings, table, pump, language, &text);
        if (status == PW_OK) {
            pw_json_open(d->answer, NULL, '{');
            pw_json_string(d->answer, "pump", together ? NULL : plant->site->pumps[pump].name);
            status = door_put_text(d, "program", &text);
            pw_json_close(d->answer, '}');
        }
    }
    pw_json_close(d->answer, ']');
    return status;
}
