// The static part brought to a job must have the bits of one worked out from the job's parameters
// from the start, and taking the job out must leave no trace.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "circuit/static_part.h"
#include "support/random_circuit.h"

enum { STATES = 300 };

typedef struct pair {
    random_circuit *r;
    void *blocks[3];
    static_part brought, whole;
    static_changes changes;
    double *params;
    patch *patches;
} pair;

static void *block_of(size_t size) {
    void *block = calloc(1, size + 1);
    assert_non_null(block);
    return block;
}

static pair open_pair(int nodes, uint64_t seed) {
    pair p = {.r = random_circuit_make(nodes, seed)};
    assert_non_null(p.r);
    const circuit *c = p.r->c;
    p.blocks[0] = block_of(static_part_size(c));
    p.blocks[1] = block_of(static_part_size(c));
    p.blocks[2] = block_of(static_changes_size(c));
    p.brought = static_part_carve(c, p.blocks[0]);
    p.whole = static_part_carve(c, p.blocks[1]);
    p.changes = static_changes_carve(c, p.blocks[2]);
    p.params = block_of((size_t)c->param_count * sizeof(double));
    p.patches = block_of((size_t)random_patches_most(p.r) * sizeof(patch));
    return p;
}

static void close_pair(pair *p) {
    random_circuit_free(p->r);
    for (int i = 0; i < 3; i++)
        free(p->blocks[i]);
    free(p->params);
    free(p->patches);
}

static void assert_same(const pair *p) {
    const circuit *c = p->r->c;
    size_t entries = (size_t)c->pattern->static_entries + (size_t)c->pattern->core_entries;
    size_t lower = (size_t)c->pattern->fixed.off_count;
    assert_memory_equal(p->brought.entries, p->whole.entries, entries * sizeof(double));
    if (lower > 0)
        assert_memory_equal(p->brought.lower, p->whole.lower, lower * sizeof(double));
    for (int s = 0; s < c->input_count; s++)
        assert_int_equal(p->brought.signal[s], p->whole.signal[s]);
    for (int i = 0; i < c->pattern->static_gate_count; i++) {
        int s = circuit_signal_of_gate(c, c->pattern->static_gates[i]);
        assert_int_equal(p->brought.signal[s], p->whole.signal[s]);
    }
}

// `whole` from the start, without what it held before.
static void work_out_whole(pair *p) {
    p->whole = static_part_carve(p->r->c, p->blocks[1]);
    static_part_rebase(&p->whole, p->params);
}

static void patch_params(pair *p, int patch_count) {
    memcpy(p->params, p->r->b.params, (size_t)p->r->c->param_count * sizeof(double));
    for (int k = 0; k < patch_count; k++)
        p->params[p->patches[k].slot] = p->patches[k].value;
}

static void a_job_has_the_bits_of_a_new_base(void **state) {
    (void)state;
    static const int NODES[] = {30, 119, 600};
    for (int n = 0; n < 3; n++) {
        pair p = open_pair(NODES[n], (uint64_t)n + 1);
        int changed = 0;
        static_part_rebase(&p.brought, p.r->b.params);
        for (int i = 0; i < STATES; i++) {
            job j = {.params = p.r->b.params, .patches = p.patches};
            j.patch_count = random_state(p.r, 7, i, p.patches);
            patch_params(&p, j.patch_count);
            work_out_whole(&p);
            static_part_apply(&p.brought, &j, NULL, &p.changes);
            assert_same(&p);
            changed += p.changes.column_count;
            static_part_undo(&p.brought, &j, NULL, &p.changes);
        }
        assert_true(changed > 0);
        patch_params(&p, 0);
        work_out_whole(&p);
        assert_same(&p);
        close_pair(&p);
    }
}

// A base that differs in little from the one before is reached from there; one that differs in much
// is worked out anew.
static void a_moved_base_has_the_bits_of_a_new_one(void **state) {
    (void)state;
    pair p = open_pair(119, 4);
    static_part_rebase(&p.brought, p.r->b.params);
    for (int i = 0; i < STATES; i++) {
        int count = i % 2 ? random_state(p.r, 7, i, p.patches)
                          : random_faults(p.r, 7, i, 1 + i % 3, p.patches);
        patch_params(&p, count);
        for (int k = p.r->c->input_count; i % 20 == 0 && k < p.r->c->param_count; k++)
            p.params[k] *= 1.125;
        work_out_whole(&p);
        static_part_rebase(&p.brought, p.params);
        assert_same(&p);
    }
    close_pair(&p);
}

// A breaker that has opened is a conductance of 0.
static void an_opened_breaker_is_no_conductance(void **state) {
    (void)state;
    pair p = open_pair(119, 9);
    const circuit *c = p.r->c;
    uint8_t *tripped = block_of((size_t)c->breaker_count);
    static_part_rebase(&p.brought, p.r->b.params);
    assert_true(c->breaker_count > 0);
    for (int b = 0; b < c->breaker_count; b++) {
        job j = {.params = p.r->b.params};
        tripped[b] = 1;
        memcpy(p.params, p.r->b.params, (size_t)c->param_count * sizeof(double));
        p.params[c->conductances[c->breakers[b].conductance].slot] = 0;
        work_out_whole(&p);
        static_part_apply(&p.brought, &j, tripped, &p.changes);
        assert_same(&p);
        static_part_undo(&p.brought, &j, tripped, &p.changes);
        tripped[b] = 0;
    }
    free(tripped);
    close_pair(&p);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_job_has_the_bits_of_a_new_base),
        cmocka_unit_test(a_moved_base_has_the_bits_of_a_new_one),
        cmocka_unit_test(an_opened_breaker_is_no_conductance),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
