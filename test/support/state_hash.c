#include "support/state_hash.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "support/settled_check.h"

enum { FAULTS_MOST = 3, SEED = 4096 };

static bool draw_jobs(state_hasher *h, unsigned seed) {
    subject *s = &h->subject;
    int params = s->solver->made->circuit.param_count;
    double *block = arena_new(&s->memory, (size_t)HASHED_STATES * (size_t)params, sizeof *block);
    if (!block)
        return false;
    for (int i = 0; i < HASHED_STATES; i++) {
        double *mine = block + (size_t)i * (size_t)params;
        subject_draw(s, seed, i, FAULTS_MOST);
        bind_state(s->solver->made, &s->view.asked, s->base_amps, s->view.faults, mine);
        h->jobs[i] = (job){.params = mine, .start = s->start};
    }
    return true;
}

bool state_hasher_open(state_hasher *h, int index) {
    h->jobs = calloc(HASHED_STATES, sizeof *h->jobs);
    h->hashes = calloc(HASHED_STATES, sizeof *h->hashes);
    return subject_open_fleet(&h->subject, index) && h->jobs && h->hashes &&
           draw_jobs(h, SEED + (unsigned)index);
}

void state_hasher_close(state_hasher *h) {
    subject_close(&h->subject);
    free(h->jobs);
    free(h->hashes);
}

static void take(void *ctx, int index, const solution *s) {
    state_hasher *h = ctx;
    h->hashes[index] = hash_solution(&h->subject.solver->made->circuit, s, (uint64_t)index);
}

uint64_t state_hash(state_hasher *h, int lanes) {
    solve_many(h->subject.solver->work, lanes, h->jobs, HASHED_STATES, take, h);
    uint64_t hash = 0;
    for (int i = 0; i < HASHED_STATES; i++)
        hash = (hash ^ h->hashes[i]) * 0x9fb21c651e98df25u;
    return hash;
}

uint64_t state_hash_expected(int index) {
    FILE *f = fopen(DEADBUS_SOURCE_DIR "/test/reference/state_hashes.txt", "r");
    char word[64];
    uint64_t hash = 0, found = 0;
    while (f && fscanf(f, "%63s %" SCNx64, word, &hash) == 2)
        found = strcmp(word, fleet_names[index]) == 0 ? hash : found;
    if (f)
        fclose(f);
    return found;
}
