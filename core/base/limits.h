/* Every limit of the core in one place. A site that needs more is refused with a clear problem.
 * Counts are chosen from the trade: the largest small site we know of uses a third of each.
 */
#ifndef PW_BASE_LIMITS_H
#define PW_BASE_LIMITS_H

enum {
    PW_NAME_SIZE = 64,    /* bytes of a name with its NUL */
    PW_PATH_SIZE = 160,   /* bytes of a path into the input, for instance pump.curve[2].head */
    PW_WORDS_SIZE = 240,  /* bytes of one message */
    PW_MAX_PROBLEMS = 32, /* problems kept of one reading; the rest are counted */
    PW_MAX_PLACES = 64,
    PW_MAX_LINES = 96,
    PW_MAX_SOURCES = 8,
    PW_MAX_PUMPS = 6,
    PW_MAX_VESSELS = 8,
    PW_MAX_TANKS = 8,
    PW_MAX_OUTLETS = 32,
    PW_MAX_SENSORS = 32,
    PW_MAX_DEMANDS = 64,
    PW_MAX_SENTENCES = 64,
    PW_MAX_CURVE = 32,       /* points of one pump curve */
    PW_MAX_LIFTS = 6,        /* suction lifts that a jet pump's delivery is known for */
    PW_MAX_LIFT_POINTS = 12, /* points of each */
    PW_MAX_FITTINGS = 24,    /* kinds of fitting on one line */
    PW_MAX_PROFILE = 12,     /* points of the ground along one line */
    PW_MAX_FILTERS = 8,
    PW_MAX_COURSE = 48,     /* points of the day of one supply */
    PW_MAX_HIGHS = 32,      /* high points between the ends of all lines */
    PW_MAX_DEFAULTS = 1536, /* defaults listed for one site; more than the largest site has (tests/unit/site) */
    PW_MAX_STARTS = 3600,   /* start limits: 1 to 3,600 in their window (own choice, wider than any one device) */
    PW_MAX_JSON_DEPTH = 32,
    PW_MAX_INPUT = 32 * 1024 * 1024 /* bytes of one JSON text */
};

#endif
