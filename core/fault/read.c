/* A fault by its words, as a request or another program gives them. */
#include "fault/fault.h"

#include "base/candidates.h"
#include "base/text.h"

pw_fact pw_fault_near(const char *what, char *words)
{
    const pw_fact near = pw_candidates_fact(what, PW_FAULT_COUNT - 1, pw_fault_name_at, NULL, words);
    return near.id != NULL ? near : pw_fact_of("door.list-of-faults");
}

bool pw_fault_take_kind(const pw_site *site, const char *what, const char *path, pw_fault *fault, pw_problems *problems)
{
    const int32_t kind = pw_fault_find(what);
    if (kind <= PW_FAULT_NONE) {
        char words[PW_WORDS_SIZE];
        pw_problem_tell(problems, PW_REFERENCE, path, pw_verbatim(what), pw_fact_of("door.fault-name"),
                        pw_fault_near(what, words));
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
