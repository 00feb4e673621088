#include "door/follow.h"

#include "door/inside.h"
#include "paper/log_paper.h"
#include "study/log_follow.h"

struct pw_door_follow {
    pw_log_follow *log;
    pw_problems problems;
    pw_units units;
    pw_voice voice;
    const pw_door_host *host;
    double last_s;
};

/* Rivals below are not told (own choice). */
#define WORTH_NAMING 0.1

static bool tell_and_ask(void *user, double done)
{
    const pw_door_follow *w = (const pw_door_follow *)user;
    door d = {.host = w->host, .voice = w->voice};
    return door_simulating(&d, done);
}

pw_status door_begin_follow(door *d)
{
    pw_door_follow *w = PW_NEW(d->arena, 1, pw_door_follow);
    const bool has_site = pw_json_get(d->request, "site") != NULL;
    const pw_plant *plant = has_site ? door_plant(d) : NULL;
    if (w == NULL) {
        return PW_MEMORY;
    }
    const pw_diagnose_options options = {.seed =
                                             (uint64_t)door_whole(d, d->request, "", "seed", 0, (int64_t)1 << 53, 1),
                                         .cancelled = tell_and_ask,
                                         .user = w};
    if (door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    w->units = d->units;
    w->voice = d->voice;
    w->voice.units = &w->units;
    w->host = d->host;
    const pw_status status =
        pw_log_follow_begin(d->arena, has_site ? plant->site : NULL, d->follow_has, &options, &w->log, &w->problems);
    *d->follow = status == PW_OK ? w : NULL;
    return status;
}

/* ---- news ---- */

static pw_fact news_fact(pw_arena *arena, const pw_log_verdict *v, pw_log_news news)
{
    const pw_log_hypothesis *best = &v->hypotheses[0];
    const pw_value what = pw_fact_inside(arena, pw_log_hypothesis_fact(arena, best));
    const pw_value percent = pw_quantity(PW_DIM_FRACTION, best->probability);
    pw_facts rivals;
    pw_facts_init(&rivals, arena);
    for (int32_t i = 1; i < v->count; i++) {
        if (v->hypotheses[i].twin || v->hypotheses[i].probability >= WORTH_NAMING) {
            pw_facts_add(&rivals, pw_log_hypothesis_fact(arena, &v->hypotheses[i]));
        }
    }
    if (news == PW_FOLLOW_OVER) {
        return pw_fact_of("log.follow-over", what, percent);
    }
    return rivals.count > 0 ? pw_fact_of("log.follow-rivals", what, percent, pw_list(&rivals, PW_JOIN_AND))
                            : pw_fact_of("log.follow", what, percent);
}

static const char *told(pw_door_follow *w, pw_log_news news, const char *name)
{
    pw_arena *arena = w->log->arena;
    const pw_log_verdict *v = &w->log->verdict;
    pw_text text;
    pw_json_writer writer;
    pw_text_init(&text, arena);
    pw_json_writer_init(&writer, &text, 0);
    door d = {.arena = arena, .answer = &writer, .problems = &w->problems, .units = w->units, .voice = w->voice};
    const pw_fact words = news_fact(arena, v, news);
    pw_json_open(&writer, NULL, '{');
    pw_json_string(&writer, "news", name);
    door_put_number(&d, "at_s", w->last_s);
    door_put_number(&d, "since_s", v->since_s);
    door_put_fact(&d, "words", &words);
    door_put_log_hypotheses(&d, v);
    pw_json_close(&writer, '}');
    return text.failed ? NULL : text.data;
}

const char *pw_door_follow_take(pw_door_follow *w, const pw_log_row *row)
{
    w->last_s = row->t_s;
    const pw_log_news news = pw_log_follow_take(w->log, row);
    if (news == PW_FOLLOW_NOTHING_NEW) {
        return NULL;
    }
    const size_t mark = pw_arena_mark(w->log->arena);
    const char *text = told(w, news, news == PW_FOLLOW_RAISED ? "raised" : "over");
    pw_arena_back(w->log->arena, mark);
    return text;
}

const char *pw_door_follow_now(pw_door_follow *w)
{
    if (!pw_log_follow_look(w->log)) {
        return NULL;
    }
    const size_t mark = pw_arena_mark(w->log->arena);
    const char *text = told(w, PW_FOLLOW_NOTHING_NEW, "as of now");
    pw_arena_back(w->log->arena, mark);
    return text;
}
