// Whether a source is joined to anything: "alternator off" also when its output breaker is out.
#include "circuit/builder_state.h"

enum { NONE_THERE = -2 };

// What isolates a source. A battery's hot fuse doesn't join it to the buses.
static bool isolates(part_kind kind, bool battery) {
    bool fused = kind == KIND_BREAKER || kind == KIND_FUSE || kind == KIND_LIMITER;
    return kind == KIND_CONTACTOR || kind == KIND_RELAY || kind == KIND_SWITCH ||
           (fused && !battery);
}

static bool ends_at(const struct part *p, part_key key, int part) {
    const reference_list *r = part_references(p, key);
    return r != NULL && r->items[0].part == part && r->items[0].terminal == TERMINAL_SELF;
}

// Any of what isolates, at the end that has this part's id or beyond a shunt or a wire from there.
// A contactor that is just being built asks for itself: it closes when its source is on.
static int joined_at(builder *b, int end, bool battery) {
    int joined = NONE_THERE;
    for (int i = 0; i < b->aircraft->part_count; i++) {
        const struct part *p = builder_part(b, i);
        if (kind_class(p->kind) != CLASS_PATH || i == end ||
            (!ends_at(p, KEY_FROM, end) && !ends_at(p, KEY_TO, end)))
            continue;
        bool carries_on = part_references(p, KEY_TO) == NULL && ends_at(p, KEY_FROM, end);
        int way = NONE_THERE;
        if (isolates(p->kind, battery))
            way = b->built[i] == 1 ? SIGNAL_TRUE : builder_closed(b, i);
        else if (carries_on && (p->kind == KIND_SHUNT || p->kind == KIND_WIRE))
            way = joined_at(b, i, battery);
        if (way != NONE_THERE)
            joined = joined == NONE_THERE ? way : builder_or(b, joined, way);
    }
    return joined;
}

int builder_joined(builder *b, int source) {
    int joined = joined_at(b, source, builder_part(b, source)->kind == KIND_BATTERY);
    return joined == NONE_THERE ? SIGNAL_TRUE : joined;
}
