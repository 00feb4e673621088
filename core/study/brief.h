/* The verdict of a proof in a few lines, as facts: is the healthy site in order, what stands on the edge, how many
 * faults ended how, the worst holes, what to type. Papers, the first screen and the door tell the same. */
#ifndef PW_STUDY_BRIEF_H
#define PW_STUDY_BRIEF_H

#include "study/prove_words.h"

enum { PW_BRIEF_HOLES = 3 };

typedef struct pw_brief {
    pw_fact healthy;    /* in order, failing, or not judged */
    pw_facts why;       /* each thing that fails in health, worst first */
    pw_facts edges;     /* what flips within the margins, and with which move */
    pw_fact counts;     /* how the faults ended: the numbers add up to those tried */
    pw_facts holes;     /* the worst that no watch sees: PW_BRIEF_HOLES at most, one of a sort */
    int32_t hole_count; /* sorts of faults that go unseen, in all */
    pw_fact proposal;   /* what the one proposal gains and costs, or that there is none; no fact: none was looked for */
    pw_facts type;      /* what to change, a line each */
    pw_fact unproposed; /* why limits of running and of starts are not proposed; no fact: they are */
} pw_brief;

/* false: the memory ran out. */
bool pw_brief_of(pw_arena *arena, const pw_proof *proof, pw_brief *out);
/* One thing that fails in health, of this site. */
pw_fact pw_ailment_fact(const pw_site *site, const pw_healthy *healthy, pw_ailment ailment);
/* One fault whose catch stands on the edge: with which moves it flips; no fact: it does not. */
pw_fact pw_edge_fact(pw_arena *arena, const pw_plant *plant, const pw_outcome *outcome);

#endif
