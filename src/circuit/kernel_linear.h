// The linear part: LDL^T over the fixed pattern, replaying the pattern's program.
#ifndef DEADBUS_CIRCUIT_KERNEL_LINEAR_H
#define DEADBUS_CIRCUIT_KERNEL_LINEAR_H

#include "circuit/kernel_vector.h"
#include "circuit/pattern.h"

// The program's offsets are bytes of one lane: an address is one multiplication by a power of two,
// which the processor does on the way.
INLINE void take_off(vd *base, uint32_t offset, vd amount) {
    vd *at = (vd *)(void *)((char *)base + (size_t)offset * LANES);
    *at -= amount;
}

INLINE vd at_offset(const vd *base, uint32_t offset) {
    return *(const vd *)(const void *)((const char *)base + (size_t)offset * LANES);
}

// Where an elimination stands: its next column, that column's off-diagonals and its program.
typedef struct elimination_place {
    vd *entries, *x, *u;
    const uint32_t *steps;
    int k;
    vm signs;  // of all pivots, or-ed together
} elimination_place;

// The next column, of m off-diagonals u: divides them by the pivot (l = u / d) and takes l u^T off
// what is left. Where m is a constant the loops are none.
INLINE void eliminate_column(elimination_place *at, int m) {
    const uint32_t *places = at->steps + 1, *updates = places + m;
    vd *u = at->u;
    vd pivot = at->entries[at->k], y = at->x[at->k];
    vd inverse = 1.0 / pivot;
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

INLINE void substitute_column(substitution_place *s, int m) {
    vd sum = *--s->at;
    for (int i = 1; i <= m; i++)
        sum -= s->l[-i] * at_offset(s->x, s->row[-i]);
    *s->at = sum;
    s->l -= m;
    s->row -= m;
}

INLINE void eliminate_run(elimination_place *at, int m, int count) {
    for (; count > 0; count--)
        eliminate_column(at, m);
}

INLINE void substitute_run(substitution_place *at, int m, int count) {
    for (; count > 0; count--)
        substitute_column(at, m);
}

// Core columns with the right-hand side x: forward elimination and division by the pivots.
// Returns the signs of all pivots or-ed together. Nearly all columns have few off-diagonals.
INLINE vm factor_core(const columns *p, vd *entries, vd *x) {
    elimination_place at = {entries, x, entries + p->count, p->program, 0, all_masks(0)};
    for (int r = 0; r < p->run_count; r++) {
        int m = p->runs[r].m, count = p->runs[r].count;
        switch (m) {
        case 1: eliminate_run(&at, 1, count); break;
        case 2: eliminate_run(&at, 2, count); break;
        case 3: eliminate_run(&at, 3, count); break;
        case 4: eliminate_run(&at, 4, count); break;
        default: eliminate_run(&at, m, count);
        }
    }
    return at.signs;
}

// x_k -= sum of l x over the rows of column k, last column first. `off`: the l of these columns.
INLINE void back_substitute(const columns *p, const vd *off, vd *x) {
    substitution_place at = {x, x + p->count, off + p->off_count, p->row + p->off_count};
    for (int r = p->run_count - 1; r >= 0; r--) {
        int m = p->runs[r].m, count = p->runs[r].count;
        switch (m) {
        case 1: substitute_run(&at, 1, count); break;
        case 2: substitute_run(&at, 2, count); break;
        case 3: substitute_run(&at, 3, count); break;
        case 4: substitute_run(&at, 4, count); break;
        default: substitute_run(&at, m, count);
        }
    }
}

INLINE void add_stamp(vd *entries, const stamp *s, vd g) {
    if (s->grounded) {  // nearly all
        entries[s->aa] += g;
        return;
    }
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
    if (!s->grounded && s->bb >= 0)
        x[s->b] += i;
}

#endif
