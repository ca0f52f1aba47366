#include "circuit/redraw.h"

#include "circuit/verdict.h"
#include "part/item_draw.h"

void loads_below(const aircraft *a, double *amps) {
    for (int i = 0; i < a->part_count; i++)
        amps[i] = 0.0;
    for (int i = 0; i < a->part_count; i++) {
        if (kind_class(a->parts[i].kind) != CLASS_ITEM)
            continue;
        const reference_list *r = part_references(&a->parts[i], KEY_FROM);
        for (int steps = 0; r != NULL && r->count > 0 && steps < 16; steps++) {
            int above = r->items[0].part;
            if (above < 0 || kind_class(a->parts[above].kind) != CLASS_PATH)
                break;
            amps[above] += item_amps(a, &a->parts[i]);
            r = part_references(&a->parts[above], KEY_FROM);
        }
    }
}

static void redraw_comparator(const compiled *c, int k) {
    int part = c->drawn->supply_of[k];
    if (part == NOWHERE)
        return;
    comparator *h = &c->drawn->comparators[k];
    int power = c->maps[part].power;
    h->set = h->reset = item_off_volts(c->aircraft, &c->aircraft->parts[part]);
    if (power == NOWHERE)
        return;
    h->set = c->circuit.powers[power].restart;
    h->reset = c->circuit.powers[power].dropout;
}

void compiled_redraw(compiled *c) {
    const aircraft *a = c->aircraft;
    for (int k = 0; k < c->circuit.power_count; k++) {
        power_load *p = &c->drawn->powers[k];
        p->dropout = item_dropout_volts(a, &a->parts[c->power_owner[k]]);
        p->restart = item_restart_volts(p->dropout);
    }
    for (int k = 0; k < c->circuit.comparator_count; k++)
        redraw_comparator(c, k);
    for (int i = 0; i < c->verdict->rule_count; i++)
        rule_volts(c, &c->drawn->rules[i]);
    loads_below(a, c->drawn->load_below);
    c->circuit.drawn++;
}
