// The linear part: LDL^T over the fixed pattern, replaying the pattern's program.
#ifndef DEADBUS_CIRCUIT_KERNEL_LINEAR_H
#define DEADBUS_CIRCUIT_KERNEL_LINEAR_H

#include "circuit/kernel_vector.h"
#include "circuit/pattern.h"

// Where an elimination stands: its next column, that column's off-diagonals and its program.
typedef struct elimination_place {
    vd *entries, *x, *u;
    const uint32_t *steps;
    int k;
    vm signs;  // of all pivots, or-ed together
} elimination_place;

// The next column, of m off-diagonals u and the pivot d: l = u / d, and l u^T comes off what is
// left. Where m is a constant the loops are none.
INLINE void eliminate_column(elimination_place *at, int m, vd inverse) {
    const uint32_t *places = at->steps + 1, *updates = places + m;
    vd *u = at->u;
    vd pivot = at->entries[at->k], y = at->x[at->k];
    at->signs |= as_bits(pivot);
    for (int j = 0; j < m; j++) {
        vd l = u[j] * inverse;
        take_off(at->x, places[j], l * y);
        for (int i = j; i < m; i++)
            take_off(at->entries, *updates++, l * u[i]);
        u[j] = l;
    }
    at->x[at->k++] = y * inverse;
    at->u += m;
    at->steps = updates;
}

// The column before: x_k -= sum of l x over its rows, the last one first.
typedef struct substitution_place {
    vd *x, *at;
    const vd *l;
    const uint32_t *row;
} substitution_place;

INLINE void substitute_column(substitution_place *s, int m, bool from_zero) {
    --s->at;
    vd sum = from_zero ? all_lanes(0) : *s->at;
    for (int i = 1; i <= m; i++)
        sum -= s->l[-i] * at_offset(s->x, s->row[-i]);
    *s->at = sum;
    s->l -= m;
    s->row -= m;
}

// Four columns, none of which reaches another: their pivots share one division, which takes longer
// than all multiplications of a short column.
INLINE void eliminate_four(elimination_place *at, int m) {
    const vd *d = at->entries + at->k;
    vd d01 = d[0] * d[1], d23 = d[2] * d[3];
    vd inverse = 1.0 / (d01 * d23);
    vd first = inverse * d23, last = inverse * d01;
    vd inverses[4] = {first * d[1], first * d[0], last * d[3], last * d[2]};
    UNROLLED
    for (int i = 0; i < 4; i++)
        eliminate_column(at, m, inverses[i]);
}

INLINE void eliminate_each(elimination_place *at, int m, int count) {
    for (; count > 0; count--)
        eliminate_column(at, m, 1.0 / at->entries[at->k]);
}

INLINE void eliminate_run(elimination_place *at, int m, int count) {
    for (; count >= 4; count -= 4)
        eliminate_four(at, m);
    eliminate_each(at, m, count);
}

INLINE void substitute_run(substitution_place *at, int m, int count, bool from_zero) {
    for (; count > 0; count--)
        substitute_column(at, m, from_zero);
}

// Core columns with the right-hand side x: forward elimination and division by the pivots.
// Returns the signs of all pivots or-ed together. Nearly all columns have one or two off-diagonals.
INLINE vm factor_core(const columns *p, vd *entries, vd *x) {
    elimination_place at = {entries, x, entries + p->count, p->program, 0, all_masks(0)};
    for (int r = 0; r < p->run_count; r++) {
        int m = p->runs[r].m, count = p->runs[r].count;
        switch (m) {
        case 1: eliminate_run(&at, 1, count); break;
        case 2: eliminate_run(&at, 2, count); break;
        default: eliminate_each(&at, m, count);  // few are so long, fewer in a row
        }
    }
    return at.signs;
}

// x_k -= sum of l x over the rows of column k, last column first. `off`: the l of these columns.
// from_zero: without sources, x_k is taken for 0 before.
INLINE void back_substitute(const columns *p, const vd *off, vd *x, bool from_zero) {
    substitution_place at = {x, x + p->count, off + p->off_count, p->row + p->off_count};
    for (int r = p->run_count - 1; r >= 0; r--) {
        int m = p->runs[r].m, count = p->runs[r].count;
        switch (m) {
        case 1: substitute_run(&at, 1, count, from_zero); break;
        case 2: substitute_run(&at, 2, count, from_zero); break;
        default: substitute_run(&at, m, count, from_zero);
        }
    }
}

INLINE void add_stamp(vd *entries, const device_stamp *s, vd g) {
    if (s->ends == ENDS_A_GROUND) {  // nearly all
        add_to(entries, s->aa, g);
        return;
    }
    if (s->ends == ENDS_A_B) {
        add_to(entries, s->aa, g);
        take_off(entries, s->ab, g);
    }
    if (s->ends != ENDS_NOWHERE)
        add_to(entries, s->bb, g);
}

// A current that leaves a and enters b.
INLINE void add_source(vd *x, const device_stamp *s, vd i) {
    if (s->ends & ENDS_A_GROUND)
        take_off(x, s->a, i);
    if (s->ends & ENDS_GROUND_B)
        add_to(x, s->b, i);
}

#endif
