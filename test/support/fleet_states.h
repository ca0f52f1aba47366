// The demo aircraft for tests: one read, compiled and ready to settle, and random states of it.
#ifndef DEADBUS_TEST_FLEET_STATES_H
#define DEADBUS_TEST_FLEET_STATES_H

#include "base/rng.h"
#include "circuit/solver_state.h"

enum { FLEET_COUNT = 5 };
extern const char *const fleet_names[FLEET_COUNT];

// One aircraft with a solver, its bases settled, and a view of its own to settle states in.
typedef struct subject {
    aircraft *aircraft;
    solver *solver;
    findings findings;
    arena memory;
    view view;
    const solution *start;  // of the state last drawn: the base of its phase
    const double *base_amps;
} subject;

// Reads the file at `path` (under the project's folder). False: it isn't there or has an error.
bool subject_open(subject *s, const char *path);
// The same of a file's bytes; `name` is for complaints.
bool subject_open_bytes(subject *s, const char *name, const char *bytes, size_t length);
bool subject_open_fleet(subject *s, int index);
void subject_close(subject *s);

// State number `index` of the stream `seed`, into view.asked: a phase, some positions moved, up to
// `faults_most` faults. The first fault goes through all kinds of faults of all kinds of parts in
// turn.
void subject_draw(subject *s, uint64_t seed, int index, int faults_most);
// Some fault that some part can have.
fault subject_any_fault(const subject *s, rng *r);
// Settles view.asked from the base of its phase.
void subject_settle(subject *s);
// One line that says what was asked, for messages; valid until the next call.
const char *subject_words(const subject *s);

#endif
