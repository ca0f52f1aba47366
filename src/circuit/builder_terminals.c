// Which node a reference means.
#include "circuit/builder_state.h"

// A source that names its output is that point; everything else has an end or inside of its own.
static int self_node(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    int own = builder_map(b, part)->own;
    if (own != NOWHERE)
        return own;
    if (kind_class(p->kind) == CLASS_SOURCE) {
        const reference_list *to = part_references(p, KEY_TO);
        if (to != NULL && to->items[0].part != part)
            return builder_feed(b, part, KEY_TO, NOWHERE);
    }
    return builder_map(b, part)->own = builder_node(b, part);
}

static int contact_node(builder *b, const reference *r) {
    part_map *m = builder_map(b, r->part);
    if (m->contacts == NULL)
        return self_node(b, r->part);
    if (m->contacts[r->position] != NOWHERE)
        return m->contacts[r->position];
    return m->contacts[r->position] = builder_feed(b, r->part, KEY_TO, NOWHERE);
}

static int field_node(builder *b, int part) {
    part_map *m = builder_map(b, part);
    if (m->field == NOWHERE) {
        int output = self_node(b, part);
        m->field = builder_feed(b, part, KEY_FIELD_FROM, output);
    }
    return m->field;
}

static int sense_node(builder *b, int part) {
    part_map *m = builder_map(b, part);
    if (m->sense == NOWHERE) {
        int supply = builder_feed(b, part, KEY_FROM, NOWHERE);
        m->sense = builder_feed(b, part, KEY_SENSE_FROM, supply);
    }
    return m->sense;
}

int builder_terminal(builder *b, const reference *r, int asking) {
    if (r->part == PART_AIRFRAME)
        return AIRFRAME_NODE;
    if (r->part < 0 || r->terminal == TERMINAL_NONE)
        return builder_node(b, asking);
    switch (r->terminal) {
    case TERMINAL_FIELD: return field_node(b, r->part);
    case TERMINAL_SENSE: return sense_node(b, r->part);
    case TERMINAL_COIL: return builder_feed(b, r->part, KEY_COIL_FROM, NOWHERE);
    case TERMINAL_CONTACT: return contact_node(b, r);
    default: return self_node(b, r->part);
    }
}

// A list: a node of its own, with a diode from each reference.
static int list_node(builder *b, int part, const reference_list *list) {
    if (b->list_node[part] != NOWHERE)
        return b->list_node[part];
    int node = b->list_node[part] = builder_node(b, part);
    part_map *m = builder_map(b, part);
    m->list_count = list->count;
    for (int i = 0; i < list->count; i++)
        builder_terminal(b, &list->items[i], part);  // whatever
    // they make of their own stands before the diodes, which are counted on from the first
    for (int i = 0; i < list->count; i++) {
        int from = builder_terminal(b, &list->items[i], part);
        int d = builder_piecewise(b, part, ROLE_DIODE, from, node, 2, SIGNAL_TRUE);
        if (i == 0)
            m->list_diode = d;
    }
    return node;
}

int builder_feed(builder *b, int part, part_key key, int otherwise) {
    const reference_list *list = part_references(builder_part(b, part), key);
    if (list == NULL || list->count == 0)
        return otherwise != NOWHERE ? otherwise : builder_node(b, part);
    if (list->diodes)
        return list_node(b, part, list);
    return builder_terminal(b, &list->items[0], part);
}
