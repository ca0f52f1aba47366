// A diagram put together and looked at: valid XML, every electric part named, no label on another,
// no wire through a bar or a label, nothing off the page, and the same bytes twice.
#ifndef DEADBUS_TEST_DRAWN_H
#define DEADBUS_TEST_DRAWN_H

#include "circuit/solver.h"
#include "draw/theme.h"

#define DRAWN_CAUTION "For teaching; the approved handbook comes first."

typedef struct drawn {
    aircraft *aircraft;
    solver *solver;
    outcome *outcome;
    double *setting;
} drawn;

// The last phase of the file at `path`, with `fail` (an id, or NULL) failed as `kind`.
drawn drawn_solve(const char *path, const char *fail, fault_kind kind);
// The same of a file's bytes.
drawn drawn_solve_bytes(const char *bytes, size_t length, const char *fail, fault_kind kind);
void drawn_forget(drawn *s);
// How much is wrong with it at this width; each is told.
int drawn_check(const drawn *s, int width, theme_id theme, const char *where);

#endif
