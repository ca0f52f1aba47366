// Bus, outlet and ground: points where others join.
#include "part/kind_rows.h"

#define STRAP_OHMS 1e-3  // design choice

void point_nodes(builder *b, int part) { builder_map(b, part)->own = builder_node(b, part); }

void point_build(builder *b, int part) {
    part_map *m = builder_map(b, part);
    const struct part *p = builder_part(b, part);
    m->from = m->to = m->own;
    if (p->kind == KIND_GROUND) {
        m->to = AIRFRAME_NODE;
        m->path = builder_conductance(b, part, ROLE_PATH, m->own, AIRFRAME_NODE, SIGNAL_TRUE);
        return;
    }
    m->fault_short = builder_conductance(b, part, ROLE_SHORT, m->own, AIRFRAME_NODE, SIGNAL_TRUE);
    if (part_references(p, KEY_FROM) == NULL)
        return;
    m->from = builder_feed(b, part, KEY_FROM, m->own);
    m->path = builder_conductance(b, p->wire >= 0 ? p->wire : part, ROLE_PATH, m->from, m->own,
                                  SIGNAL_TRUE);
    if (p->wire < 0)
        return;
    part_map *strap = builder_map(b, p->wire);
    strap->path = m->path;
    strap->from = m->from;
    strap->to = m->own;
}

void point_bind(binder *b, int part) {
    const struct part *p = &binder_aircraft(b)->parts[part];
    const part_map *m = binder_map(b, part);
    double nominal = binder_aircraft(b)->nominal;
    if (p->kind == KIND_GROUND) {
        double ohms = part_number(p, KEY_RESISTANCE, STRAP_OHMS);
        if (binder_fault(b, part, FAULT_RESISTIVE))
            ohms += 0.1 * nominal / binder_load_below(b, part);
        bind_ohms(b, m->path, binder_fault(b, part, FAULT_OPEN) ? -1.0 : ohms);
        return;
    }
    bind_ohms(b, m->fault_short, binder_fault(b, part, FAULT_SHORT) ? SHORT_OHMS : -1.0);
    const struct part *strap = p->wire >= 0 ? &binder_aircraft(b)->parts[p->wire] : NULL;
    double ohms = strap != NULL ? part_number(strap, KEY_RESISTANCE, STRAP_OHMS) : STRAP_OHMS;
    if (p->wire >= 0 && binder_fault(b, p->wire, FAULT_RESISTIVE))
        ohms += 0.1 * nominal / binder_load_below(b, part);
    bool open = p->wire >= 0 && binder_fault(b, p->wire, FAULT_OPEN);
    bind_ohms(b, m->path, open ? -1.0 : ohms);
    if (p->wire >= 0 && binder_fault(b, p->wire, FAULT_SHORT))
        bind_ohms(b, m->fault_short, SHORT_OHMS);
}
