/* A fault by its words, as a request or another program gives them. */
#include "fault/fault.h"

#include "base/text.h"

bool pw_fault_take_kind(const pw_site *site, const char *what, const char *path, pw_fault *fault, pw_problems *problems)
{
    const int32_t kind = pw_fault_find(what);
    if (kind <= PW_FAULT_NONE) {
        const char *names[PW_FAULT_COUNT];
        for (int32_t i = 1; i < PW_FAULT_COUNT; i++) {
            names[i - 1] = pw_fault_id((pw_fault_kind)i);
        }
        pw_problem_tell(problems, PW_REFERENCE, path, pw_verbatim(what), pw_fact_of("door.fault-name"),
                        pw_near_fact(what, names, PW_FAULT_COUNT - 1));
        return false;
    }
    if (!pw_fault_possible(site, (pw_fault_kind)kind)) {
        pw_problem_tell(problems, PW_CONFLICT, path, pw_verbatim(what), pw_fact_of("door.fault-possible"),
                        pw_fact_of("door.fault-needs", pw_word(pw_fault_needs((pw_fault_kind)kind))));
        return false;
    }
    fault->kind = (pw_fault_kind)kind;
    return true;
}

bool pw_fault_take_place(const pw_site *site, const char *at, const char *path, pw_fault *fault, pw_problems *problems)
{
    fault->where = at != NULL ? pw_fault_where_find(site, fault->kind, at) : -1;
    if (at != NULL && fault->where < 0) {
        pw_problem_tell(problems, PW_REFERENCE, path, pw_verbatim(at), pw_fact_of("door.fault-at"), pw_no_fact());
    }
    return at == NULL || fault->where >= 0;
}
