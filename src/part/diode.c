// Diode as a part, and the small ones inside a list terminal.
#include "part/kind_rows.h"
#include "part/path_ends.h"

#define KNEE            0.70  // volts, silicon: design choice
#define DROP_AT_RATING  0.2   // volts above the knee: design choice
#define LIST_DIODE_AMPS 3.0
#define SHORTED_OHMS    10e-3

void diode_build(builder *b, int part) {
    part_map *m = builder_map(b, part);
    path_ends(b, part);
    m->piecewise = builder_piecewise(b, part, ROLE_DIODE, m->from, m->to, 2, SIGNAL_TRUE);
}

void junction_bind(binder *b, int piecewise, double knee, double ohms, bool open, bool shorted) {
    double g = 1.0 / ohms;
    double breaks[1] = {knee};
    double slopes[2] = {0.0, g};
    double offsets[2] = {0.0, -knee * g};
    if (open)
        slopes[1] = offsets[1] = 0.0;
    if (shorted) {
        slopes[0] = slopes[1] = 1.0 / SHORTED_OHMS;
        offsets[1] = 0.0;
    }
    bind_pieces(b, piecewise, 2, breaks, slopes, offsets);
}

void diode_bind(binder *b, int part) {
    double rating = part_number(&binder_aircraft(b)->parts[part], KEY_VALUE, 3.0);
    junction_bind(b, binder_map(b, part)->piecewise, KNEE, DROP_AT_RATING / rating,
                  binder_fault(b, part, FAULT_OPEN), binder_fault(b, part, FAULT_SHORTED));
}

void list_diodes_bind(binder *b, int part) {
    const part_map *m = binder_map(b, part);
    for (int i = 0; i < m->list_count; i++)
        junction_bind(b, m->list_diode + i, KNEE, DROP_AT_RATING / LIST_DIODE_AMPS, false, false);
}
