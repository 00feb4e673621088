/* The least that a machine needs for an evaluation and for a round: one vessel that fills and empties in turn, its rate
 * a cubic of its content looked up in a table, followed by the same Dormand-Prince steps as core/sim/integrate.c, its
 * crossings located from the content alone. No network, controller, books: what a site's physics would cost were it a
 * table. Prints nanoseconds an evaluation and a round. Usage: floor ROUNDS
 */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { PARTS = 256, STAGES = 7 };
typedef struct table {
    double value[PARTS + 1][4];
} table;

static const double A[6][6] = {{1.0 / 5.0},
                               {3.0 / 40.0, 9.0 / 40.0},
                               {44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0},
                               {19372.0 / 6561.0, -25360.0 / 2187.0, 64448.0 / 6561.0, -212.0 / 729.0},
                               {9017.0 / 3168.0, -355.0 / 33.0, 46732.0 / 5247.0, 49.0 / 176.0, -5103.0 / 18656.0},
                               {35.0 / 384.0, 0.0, 500.0 / 1113.0, 125.0 / 192.0, -2187.0 / 6784.0, 11.0 / 84.0}};

static double at(const table *t, double y)
{
    const double x = y * PARTS;
    const int part = x < 0.0 ? 0 : x >= PARTS ? PARTS - 1 : (int)x;
    const double u = x - part, *c = t->value[part];
    return c[0] + u * (c[1] + u * (c[2] + u * c[3]));
}

/* Fills at about 1 % a second, less as it fills; empties likewise. */
static void make(table *t, double sign)
{
    for (int i = 0; i <= PARTS; i++) {
        const double y = (double)i / PARTS, step = 1.0 / PARTS;
        t->value[i][0] = sign * 0.01 * (1.0 - 0.5 * y * y);
        t->value[i][1] = -sign * 0.01 * y * step;
        t->value[i][2] = -sign * 0.005 * step * step;
        t->value[i][3] = 0.0;
    }
}

static double step(const table *t, double y, double h, double *k)
{
    double end = y;
    k[0] = at(t, y);
    for (int s = 0; s < 6; s++) {
        double sum = 0.0;
        for (int j = 0; j <= s; j++) {
            sum += A[s][j] * k[j];
        }
        end = y + h * sum;
        k[s + 1] = at(t, end);
    }
    return end;
}

/* From one end to the other: a step and a half, and a crossing by Newton on the cubic through both ends. */
static double one_round(const table *t, double y, double target)
{
    double k[STAGES];
    const double h = 0.8 * (target - y) / at(t, y);
    const double there = step(t, y, h, k);
    double part = (target - there) / k[6];
    for (int i = 0; i < 3; i++) {
        const double now = there + part * (k[6] + 0.5 * part * (k[6] - k[0]) / h);
        part += (target - now) / k[6];
    }
    return step(t, there, part, k);
}

int main(int count, char **words)
{
    static table tables[2];
    const long rounds = count > 1 ? atol(words[1]) : 1000000;
    double y = 0.2, sum = 0.0;
    make(&tables[0], 1.0);
    make(&tables[1], -1.0);
    clock_t begun = clock();
    for (long i = 0; i < rounds * 8; i++) { /* each waits for the one before, as in a step */
        sum = at(&tables[i & 1], 0.5 + sum);
    }
    const double evaluation_ns = (double)(clock() - begun) / CLOCKS_PER_SEC * 1e9 / (double)(rounds * 8);
    begun = clock();
    for (long i = 0; i < rounds; i++) {
        y = one_round(&tables[i & 1], y, i & 1 ? 0.2 : 0.8);
    }
    const double round_ns = (double)(clock() - begun) / CLOCKS_PER_SEC * 1e9 / (double)rounds;
    fprintf(stderr, "%g %g\n", sum, y); /* asked for, so that the work is done */
    printf("%.1f %.0f\n", evaluation_ns, round_ns);
    return 0;
}
