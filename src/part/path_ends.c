#include "part/path_ends.h"

void path_nodes(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    bool from = part_references(p, KEY_FROM) != NULL;
    bool to = part_references(p, KEY_TO) != NULL;
    if (!(from && to))
        builder_map(b, part)->own = builder_node(b, part);
}

void path_ends(builder *b, int part) {
    part_map *m = builder_map(b, part);
    m->from = builder_feed(b, part, KEY_FROM, m->own);
    m->to = builder_feed(b, part, KEY_TO, m->own);
}

void path_build(builder *b, int part, int gate) {
    part_map *m = builder_map(b, part);
    path_ends(b, part);
    int start = m->from;
    const struct part *p = builder_part(b, part);
    if (p->wire >= 0) {
        m->inner = builder_node(b, part);
        m->wire = builder_conductance(b, p->wire, ROLE_PATH, m->from, m->inner, SIGNAL_TRUE);
        part_map *w = builder_map(b, p->wire);
        w->path = m->wire;
        w->from = m->from;
        w->to = m->inner;
        w->fault_short =
            builder_conductance(b, p->wire, ROLE_SHORT, m->inner, AIRFRAME_NODE, SIGNAL_TRUE);
        start = m->inner;
    }
    m->path = builder_conductance(b, part, ROLE_PATH, start, m->to, gate);
}
