/* Suction: how a pump draws its water, and the one figure of NPSH that the network, a moment, a duty, sizing and a
 * check of the sheet all ask for.
 *
 * A pump draws either through its own suction pipe (a surface pump straight at a source: `design.suction`, or the
 * pump's own keys), or through lines of the sheet, or it hangs in the water. Lines that lead one after the other from
 * the store to the pump are followed; where two ways join, or another pump feeds it, the losses before that are not
 * counted in what limits its head, though the figure of a moment has them. Lines that several pumps share carry their
 * flows in proportion to the ends of their curves (own choice: exact for equal pumps).
 */
#ifndef PW_ELEMENT_SUCTION_H
#define PW_ELEMENT_SUCTION_H

#include "element/pipe.h"

enum { PW_MAX_SUCTION_LINES = 8 };

typedef struct pw_suction_law {
    double eye_m;  /* level of the pump's eye (of its intake, where it hangs in the water; of a deep ejector) */
    double pump_m; /* level of the pump itself */
    bool own_pipe; /* a suction pipe that is no line of the sheet */
    pw_pipe pipe;  /* the own one, with strainer, foot valve, elbow and entry */
    double bore_m; /* of the pipe that it sucks through; 0: it hangs in the water or stands at it */
    bool foot_valve;
    bool lifts;    /* the eye stands over the water at rest: it needs a prime */
    bool deep;     /* an ejector in the water pushes it up: no column hangs on the air's push */
    int32_t store; /* node whose head is given, at the far end of the suction; -1: none (another pump) */
    int32_t line_count, lines[PW_MAX_SUCTION_LINES]; /* from the pump to the store */
    double ways[PW_MAX_SUCTION_LINES];               /* 1 along the line to the pump, -1 against it */
    double assumed_m;                                /* NPSH required, where the curve says nothing */
} pw_suction_law;

/* What a surface pump's own suction pipe loses beside its wall, on its velocity: entry, strainer, one elbow, foot
 * valve. Handbook values, from memory. */
#define PW_SUCTION_ENTRY_K      0.5
#define PW_SUCTION_STRAINER_K   3.0
#define PW_SUCTION_ELBOW_K      0.6
#define PW_SUCTION_FOOT_VALVE_K 8.0

/* A water column ends where less than this is left of the air's push (own choice): the pump loses its water over it. */
#define PW_COLUMN_BAND_M 0.3

/* What stands of a pump's suction at a flow. Heads in m of the water. */
typedef struct pw_suction_figure {
    double over_m;      /* water over the eye, negative: it lifts */
    double loss_m;      /* from the water to the eye */
    double available_m; /* NPSH */
    double required_m;  /* NPSH; by the curve, or assumed */
    bool assumed;
    double column_m; /* NPSH available with nothing flowing: below 0 no water stands up to the eye */
} pw_suction_figure;

/* Does this pump of the sheet draw through a suction pipe of its own? */
bool pw_suction_own_pipe(const pw_site *site, int32_t pump);

#endif
