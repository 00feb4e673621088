/* Expected readings: what a sound site, set as its sheet says, shows on the day of commissioning, how far a reading may
 * lie from it, and the verdict on a reading that was taken with a gauge of a known error.
 *
 * Where the pump decides (flow, shut-off pressure), the range is what the site does with a pump at either end of a
 * grade of ISO 9906 (its curve's flow and head moved by the grade's factors, formula/tables.h). The grade is that of a
 * works test: a pump in a bore is not tested by that standard, and the range says only that the pump is as sold.
 * Other ranges stand beside their rows in expect.c, each with where it comes from.
 */
#ifndef PW_STUDY_EXPECT_H
#define PW_STUDY_EXPECT_H

#include "formula/tables.h"
#include "sim/plant.h"

typedef enum pw_expect_kind {
    PW_EXPECT_LEVEL,     /* standing water level of a bore or open source */
    PW_EXPECT_MAINS,     /* pressure of a main, nothing running */
    PW_EXPECT_VOLTAGE,   /* of the supply, nothing running */
    PW_EXPECT_PRECHARGE, /* of a vessel, empty of water */
    PW_EXPECT_CUT_IN,    /* pressure at which a pump starts */
    PW_EXPECT_CUT_OUT,
    PW_EXPECT_DRAWDOWN, /* water drawn from a vessel between cut-out and cut-in */
    PW_EXPECT_LEAK,     /* flow out of a vessel with everything shut */
    PW_EXPECT_SHUT_OFF, /* pressure behind a pump against a shut valve */
    PW_EXPECT_FLOW,     /* of a pump with its delivery held at a pressure; without a vessel: as it works */
    PW_EXPECT_CURRENT,  /* of its motor then */
    PW_EXPECT_KINDS
} pw_expect_kind;

typedef struct pw_expect {
    pw_expect_kind kind;
    char what[PW_PATH_SIZE]; /* how a measured value names it: "precharge of shed vessel" */
    const char *name;        /* of the source, vessel, sensor or pump; "" the supply */
    const char *place;       /* where a gauge goes; "" it is not one */
    pw_dimension dimension;
    double held_pa;             /* of FLOW and CURRENT: gauge, below 0: nothing is held */
    double expected, low, high; /* SI; low < high */
    double gauge;               /* largest error of an instrument that can tell: (high - low) / 2 */
    bool assumed;               /* it rests on a number that the sheet does not give */
} pw_expect;

enum { PW_MAX_EXPECTS = 3 * PW_MAX_SOURCES + 3 * PW_MAX_VESSELS + 8 * PW_MAX_PUMPS + 1 };

typedef struct pw_expects {
    const pw_grade *grade;
    int32_t count;
    pw_expect items[PW_MAX_EXPECTS];
} pw_expects;

/* The ways a gauge is used, told as facts: how to read it, where the range comes from. */
pw_fact pw_expect_fact(const pw_expect *expect);                             /* "precharge of shed vessel" in words */
pw_fact pw_expect_how_fact(const pw_expect *expect);                         /* how to measure it */
pw_fact pw_expect_from_fact(const pw_expect *expect, const pw_grade *grade); /* where the range comes from */

/* All of a site, in the order in which they are measured. */
pw_status pw_expect_list(pw_arena *arena, const pw_plant *plant, const pw_grade *grade, pw_expects **out,
                         pw_problems *problems);

/* Decision rule of ISO 14253-1 (from memory): conformity is shown by a reading whose whole interval of error lies
 * within the range, nonconformity by one whose whole interval lies outside; else nothing is shown. */
typedef enum pw_reading_verdict {
    PW_READING_PASS,
    PW_READING_FAIL,
    PW_READING_UNSURE,
    PW_READING_BLIND
} pw_reading_verdict;
/* error >= 0, SI. BLIND: unsure, and with this gauge no reading could pass. */
pw_reading_verdict pw_expect_judge(const pw_expect *expect, double reads, double error);
const char *pw_reading_id(pw_reading_verdict verdict); /* "pass": for machines */

/* Error of an instrument that nobody stated: common practice, no source. A dial gauge of class 1.6 with a scale to
 * twice the reading: 3.2 % of it; a tape 1 cm in 10 m and 1 cm; a clamp meter and a voltmeter 2 %; a bucket and a watch
 * 5 %. */
double pw_expect_usual_error(pw_dimension dimension, double reads);

#endif
