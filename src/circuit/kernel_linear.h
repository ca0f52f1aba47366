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

// Core columns with the right-hand side x: forward elimination and division by the pivots.
// Returns the signs of all pivots or-ed together. Nearly all columns have one or two off-diagonals.
INLINE vm factor_core(const columns *p, vd *entries, vd *restrict x) {
    vd *u = entries + p->count;
    const uint32_t *steps = p->program;
    vm signs = all_masks(0);
    int count = p->count;
    for (int k = 0; k < count; k++) {
        int m = (int)*steps++;
        vd pivot = entries[k];
        vd inverse = 1.0 / pivot;
        vd y = x[k];
        signs |= as_bits(pivot);
        if (m == 1) {
            vd u0 = u[0];
            vd l0 = u0 * inverse;
            take_off(x, steps[0], l0 * y);
            take_off(entries, steps[1], l0 * u0);
            u[0] = l0;
            steps += 2;
        } else if (m == 2) {
            vd u0 = u[0], u1 = u[1];
            vd l0 = u0 * inverse, l1 = u1 * inverse;
            take_off(x, steps[0], l0 * y);
            take_off(x, steps[1], l1 * y);
            take_off(entries, steps[2], l0 * u0);
            take_off(entries, steps[3], l0 * u1);
            take_off(entries, steps[4], l1 * u1);
            u[0] = l0;
            u[1] = l1;
            steps += 5;
        } else {
            eliminate_column(entries, u, inverse, steps + m, m);
            for (int j = 0; j < m; j++)
                take_off(x, steps[j], u[j] * y);
            steps += m + m * (m + 1) / 2;
        }
        x[k] = y * inverse;
        u += m;
    }
    return signs;
}

// x_k -= sum of l x over the rows of column k, last column first. `off`: the l of these columns.
INLINE void back_substitute(const columns *p, const vd *restrict off, vd *restrict x) {
    const int *start = p->start;
    const uint32_t *row = p->row + p->off_count;
    const vd *l = off + p->off_count;
    int end = p->off_count;
    for (int k = p->count - 1; k >= 0; k--) {
        int m = end - start[k];
        end = start[k];
        vd sum = x[k];
        for (; m > 0; m--)
            sum -= *--l * at_offset(x, *--row);
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
