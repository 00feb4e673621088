/* Following: a log judged while it grows, with a verdict as soon as the evidence suffices and not before.
 *
 * Every hour of the log the verdict is worked out as if the log ended there (log_judge.h). One look can err by chance,
 * and there are many: so a verdict is raised when PW_FOLLOW_LOOKS looks in a row name the same, each with
 * PW_FOLLOW_SURE or more, and is taken back when as many in a row no longer do. What each hypothesis foretells is
 * simulated once, at the first look.
 *
 * Memory is of fixed size. Two records are kept, one PW_FOLLOW_EPOCH_S younger than the other; the older one is judged
 * and then gives way, so that what changes after a year is seen as soon as in the first week.
 */
#ifndef PW_STUDY_LOG_FOLLOW_H
#define PW_STUDY_LOG_FOLLOW_H

#include "study/log_judge.h"

/* Own choices. */
#define PW_FOLLOW_LOOK_S  3600.0
#define PW_FOLLOW_EPOCH_S (8.0 * 86400.0)
#define PW_FOLLOW_SURE    0.75
enum { PW_FOLLOW_LOOKS = 3 };

typedef enum pw_log_news {
    PW_FOLLOW_NOTHING_NEW,
    PW_FOLLOW_RAISED, /* verdict: what is wrong */
    PW_FOLLOW_OVER    /* it no longer is */
} pw_log_news;

typedef struct pw_log_follow {
    pw_arena *arena; /* holds what each hypothesis foretells */
    const pw_site *site;
    pw_diagnose_options options;
    pw_problems *problems;
    pw_log_bank *bank;
    bool has[PW_LOG_SIGNALS];
    pw_record record[2], room; /* room: a copy that is ended for a look */
    int32_t older;
    bool two; /* both have begun */
    double younger_s, look_s;
    bool any;
    int32_t same, other; /* looks in a row that name `named`, or do not name `raised_as` */
    int32_t named, raised_as;
    bool raised;
    double raised_s;
    pw_status status;       /* why it could not be judged */
    pw_log_verdict verdict; /* of the last look */
} pw_log_follow;

/* site: NULL without a sheet. Lives in the arena, and so does what it makes at the first look. */
pw_status pw_log_follow_begin(pw_arena *arena, const pw_site *site, const bool has[PW_LOG_SIGNALS],
                              const pw_diagnose_options *options, pw_log_follow **out, pw_problems *problems);
pw_log_news pw_log_follow_take(pw_log_follow *log, const pw_log_row *row);
/* A verdict as of now, raised or not: log->verdict. false: there are too few rows. */
bool pw_log_follow_look(pw_log_follow *log);

#endif
