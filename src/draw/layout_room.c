// The room that the diagram leaves: found from what is drawn, so that whatever stands there
// already is left alone.
#include "draw/layout_parts.h"

enum { SIDE_ROOM = 6 };

typedef struct box {
    double left, top, right, bottom;
} box;

static box box_of_wire(const wire_shape *w) {
    box b = {w->x1, w->y1, w->x2, w->y2};
    if (w->x1 > w->x2)
        b = (box){w->x2, b.top, w->x1, b.bottom};
    if (w->y1 > w->y2)
        b = (box){b.left, w->y2, b.right, w->y1};
    return (box){b.left - 3, b.top - 3, b.right + 3, b.bottom + 3};
}

static box box_of_symbol(const symbol_shape *s) {
    const symbol_form *f = symbol_form_of(s->id);
    int reach = f->reach > 10 ? f->reach : 10, tall = f->above > f->below ? f->above : f->below;
    int dx = s->turns % 2 ? tall : reach, dy = s->turns % 2 ? reach : tall;
    return (box){s->x - dx, s->y - dy, s->x + dx, s->y + dy};
}

static box box_of_gauge(const gauge_shape *g) {
    return (box){g->x - 0.75 * g->radius, g->y - g->radius, g->x + 0.75 * g->radius,
                 g->y - g->radius / 2};
}

// Shape number `i` of all that are drawn, in a fixed order; false past the last.
static bool shape_box(const picture *p, int i, box *b) {
    if (i < p->label_count) {
        const label_shape *s = &p->labels[i];
        *b = (box){s->left, s->top, s->right, s->bottom};
        return true;
    }
    i -= p->label_count;
    if (i < p->wire_count) {
        *b = box_of_wire(&p->wires[i]);
        return true;
    }
    i -= p->wire_count;
    if (i < p->bar_count) {
        const bar_shape *s = &p->bars[i];
        *b = (box){s->x, s->y, s->x + s->width, s->y + s->height};
        return true;
    }
    i -= p->bar_count;
    if (i < p->symbol_count) {
        *b = box_of_symbol(&p->symbols[i]);
        return true;
    }
    i -= p->symbol_count;
    if (i < p->rule_count) {
        const rule_shape *s = &p->rules[i];
        *b = (box){s->x1, s->y1, s->x2, s->y2};
        return true;
    }
    i -= p->rule_count;
    if (i >= p->gauge_count)
        return false;
    *b = box_of_gauge(&p->gauges[i]);
    return true;
}

int layout_free_from(const layout *l, int x1, int x2, int y, int height) {
    const int above = l->o.close ? 18 : 24, below = l->o.close ? 12 : 16;
    for (bool moved = true; moved;) {
        moved = false;
        box b;
        for (int i = 0; shape_box(l->p, i, &b); i++) {
            if (b.right < x1 - SIDE_ROOM || b.left > x2 + SIDE_ROOM)
                continue;
            if (b.bottom + above <= y || b.top - below >= y + height)
                continue;
            y = (int)b.bottom + above + 1;
            moved = true;
        }
    }
    return y;
}

int layout_clear_to(const layout *l, int x1, int x2, int y, int low) {
    box b;
    for (int i = 0; shape_box(l->p, i, &b); i++)
        if (b.right >= x1 - SIDE_ROOM && b.left <= x2 + SIDE_ROOM && b.top >= y && b.top < low)
            low = (int)b.top;
    return low;
}

int layout_low(const layout *l) {
    double low = 0;
    box b;
    for (int i = 0; shape_box(l->p, i, &b); i++)
        low = b.bottom > low ? b.bottom : low;
    return (int)low + 1;
}
