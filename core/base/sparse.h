/* Sparse symmetric positive definite systems with a fixed pattern: plan once, solve often.
 *
 * Method: minimum-degree ordering, then L D L' without pivoting (George and Liu, Computer Solution of Large Sparse
 * Positive Definite Systems, 1981). The plan holds every index that the numbers need, so that a solve is straight
 * arithmetic: for a tree, which most sites are, it costs about ten operations a place. Workload: 2 to 70 unknowns,
 * solved a million times for one simulated year.
 */
#ifndef PW_BASE_SPARSE_H
#define PW_BASE_SPARSE_H

#include "base/arena.h"
#include "base/status.h"

typedef struct pw_sparse {
    int32_t n, entry_count; /* unknowns; entries of L below the diagonal, fill included */
    int32_t *settings;      /* order[k]: unknown eliminated as k-th */
    int32_t *column;        /* n + 1: where column k of L starts */
    int32_t *row;           /* entry_count: its row, as elimination number, rising within a column */
    int32_t *target;        /* for each column, each pair (i, j < i) of its rows: the entry that the product goes to */
    int32_t *target_start;  /* n + 1 */
    int32_t *edge_entry;    /* edge_count: the entry of L that an edge adds to; -1 for an edge from a node to itself */
} pw_sparse;

/* Edges join unknowns a[e] and b[e], 0 <= a, b < n; doubled edges share an entry. n <= 4096. PW_MEMORY when the arena
 * is full. */
pw_status pw_sparse_plan(pw_arena *arena, int32_t n, int32_t edge_count, const int32_t *a, const int32_t *b,
                         pw_sparse **out);

/* Solve A x = rhs in place, A with no entry above 0 beside its diagonal.
 *   excess    n, by unknown, >= 0: by how much the diagonal is more than the entries of its row together; destroyed
 *   entries   entry_count, values of A below the diagonal, <= 0; destroyed
 *   rhs       n, by unknown; becomes x        work      n doubles
 * However small the excess is beside the entries, x is right to its last digits: no difference is taken (Grassmann,
 * Taksar and Heyman, Operations Research 33, 1985, from memory).
 * Returns false when a pivot is not positive (the matrix is singular); *bad is then the unknown. */
bool pw_sparse_solve(const pw_sparse *plan, double *excess, double *entries, double *rhs, double *work, int32_t *bad);

#endif
