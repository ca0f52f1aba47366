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

// A column of m off-diagonals u: divides them by the pivot (l = u / d) and takes l u^T off what is
// left. `steps`: entries to update, in the program's order.
INLINE void eliminate_column(vd *entries, vd *u, vd inverse, const uint32_t *steps, int m) {
    for (int j = 0; j < m; j++) {
        vd l = u[j] * inverse;
        for (int i = j; i < m; i++)
            take_off(entries, *steps++, l * u[i]);
        u[j] = l;
    }
}

// Where an elimination stands: its next column, that column's off-diagonals and its program.
typedef struct elimination_place {
    vd *entries, *x, *u;
    const uint32_t *steps;
    int k;
    vm signs;  // of all pivots, or-ed together
} elimination_place;

INLINE vd next_pivot(elimination_place *at) {
    vd pivot = at->entries[at->k];
    at->signs |= as_bits(pivot);
    at->steps++;  // m
    return 1.0 / pivot;
}

INLINE void eliminate_1(elimination_place *at) {
    vd inverse = next_pivot(at), y = at->x[at->k];
    vd u = at->u[0], l = u * inverse;
    take_off(at->x, at->steps[0], l * y);
    take_off(at->entries, at->steps[1], l * u);
    at->u[0] = l;
    at->x[at->k++] = y * inverse;
    at->u++;
    at->steps += 2;
}

INLINE void eliminate_2(elimination_place *at) {
    vd inverse = next_pivot(at), y = at->x[at->k];
    const uint32_t *steps = at->steps;
    vd u0 = at->u[0], u1 = at->u[1];
    vd l0 = u0 * inverse, l1 = u1 * inverse;
    take_off(at->x, steps[0], l0 * y);
    take_off(at->x, steps[1], l1 * y);
    take_off(at->entries, steps[2], l0 * u0);
    take_off(at->entries, steps[3], l0 * u1);
    take_off(at->entries, steps[4], l1 * u1);
    at->u[0] = l0;
    at->u[1] = l1;
    at->x[at->k++] = y * inverse;
    at->u += 2;
    at->steps += 5;
}

INLINE void eliminate_m(elimination_place *at, int m) {
    vd inverse = next_pivot(at), y = at->x[at->k];
    eliminate_column(at->entries, at->u, inverse, at->steps + m, m);
    for (int j = 0; j < m; j++)
        take_off(at->x, at->steps[j], at->u[j] * y);
    at->x[at->k++] = y * inverse;
    at->u += m;
    at->steps += m + m * (m + 1) / 2;
}

// Core columns with the right-hand side x: forward elimination and division by the pivots.
// Returns the signs of all pivots or-ed together.
INLINE vm factor_core(const columns *p, vd *entries, vd *x) {
    elimination_place at = {entries, x, entries + p->count, p->program, 0, all_masks(0)};
    for (int r = 0; r < p->run_count; r++) {
        int m = p->runs[r].m, count = p->runs[r].count;
        if (m == 1)
            for (; count > 0; count--)
                eliminate_1(&at);
        else if (m == 2)
            for (; count > 0; count--)
                eliminate_2(&at);
        else
            for (; count > 0; count--)
                eliminate_m(&at, m);
    }
    return at.signs;
}

// x_k -= sum of l x over the rows of column k, last column first. `off`: the l of these columns.
INLINE void back_substitute(const columns *p, const vd *restrict off, vd *x) {
    const uint32_t *row = p->row + p->off_count;
    const vd *l = off + p->off_count;
    vd *at = x + p->count;
    for (int r = p->run_count - 1; r >= 0; r--) {
        int m = p->runs[r].m, count = p->runs[r].count;
        if (m == 1) {
            for (; count > 0; count--)
                *--at -= *--l * at_offset(x, *--row);
        } else if (m == 2) {
            for (; count > 0; count--) {
                vd sum = *--at - l[-1] * at_offset(x, row[-1]);
                *at = sum - l[-2] * at_offset(x, row[-2]);
                l -= 2;
                row -= 2;
            }
        } else {
            for (; count > 0; count--) {
                vd sum = *--at;
                for (int i = 0; i < m; i++)
                    sum -= *--l * at_offset(x, *--row);
                *at = sum;
            }
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
