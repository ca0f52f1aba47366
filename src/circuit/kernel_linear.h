// The linear part: LDL^T over the fixed pattern, replaying the pattern's program.
#ifndef DEADBUS_CIRCUIT_KERNEL_LINEAR_H
#define DEADBUS_CIRCUIT_KERNEL_LINEAR_H

#include "circuit/kernel_vector.h"
#include "circuit/pattern.h"

// A column of m off-diagonals u: divides them by the pivot (l = u / d) and takes l u^T off what is
// left. `steps`: entries to update, in the program's order.
INLINE void eliminate_column(vd *restrict entries, vd *restrict u, vd inverse, const int *steps,
                             int m) {
    for (int j = 0; j < m; j++) {
        vd l = u[j] * inverse;
        entries[steps[0]] -= l * u[j];
        for (int i = j + 1; i < m; i++)
            entries[steps[i - j]] -= l * u[i];
        steps += m - j;
        u[j] = l;
    }
}

// Core columns with the right-hand side x: forward elimination and division by the pivots.
// Returns the signs of all pivots or-ed together.
INLINE vm factor_core(const columns *p, vd *restrict entries, vd *restrict x) {
    vd *restrict u = entries + p->count;
    const int *restrict steps = p->program;
    vm signs = all_masks(0);
    int count = p->count;
    for (int k = 0; k < count; k++) {
        int m = *steps++;
        vd pivot = entries[k];
        vd inverse = 1.0 / pivot;
        vd y = x[k];
        signs |= as_bits(pivot);
        if (m == 1) {
            vd l = u[0] * inverse;
            x[steps[0]] -= l * y;
            entries[steps[1]] -= l * u[0];
            u[0] = l;
        } else if (m == 2) {
            vd l0 = u[0] * inverse;
            vd l1 = u[1] * inverse;
            x[steps[0]] -= l0 * y;
            x[steps[1]] -= l1 * y;
            entries[steps[2]] -= l0 * u[0];
            entries[steps[3]] -= l0 * u[1];
            entries[steps[4]] -= l1 * u[1];
            u[0] = l0;
            u[1] = l1;
        } else {
            eliminate_column(entries, u, inverse, steps + m, m);
            for (int j = 0; j < m; j++)
                x[steps[j]] -= u[j] * y;
        }
        x[k] = y * inverse;
        steps += m + m * (m + 1) / 2;
        u += m;
    }
    return signs;
}

// x_k -= sum of l x over the rows of column k, last column first. `off`: the l of these columns.
INLINE void back_substitute(const columns *p, const vd *restrict off, vd *restrict x) {
    const int *restrict start = p->start, *restrict place = p->place;
    int t = p->off_count;
    for (int k = p->count - 1; k >= 0; k--) {
        vd sum = x[k];
        for (int first = start[k]; t > first;) {
            t--;
            sum -= off[t] * x[place[t]];
        }
        x[k] = sum;
    }
}

INLINE void add_stamp(vd *entries, const stamp *s, vd g) {
    if (s->aa >= 0)
        entries[s->aa] += g;
    if (s->bb >= 0)
        entries[s->bb] += g;
    if (s->ab >= 0)
        entries[s->ab] -= g;
}

// A current that leaves a and enters b.
INLINE void add_source(vd *x, const stamp *s, vd i) {
    if (s->aa >= 0)
        x[s->a] -= i;
    if (s->bb >= 0)
        x[s->b] += i;
}

#endif
