// What each kind of part becomes, by the format's table of kinds and the words with numbers.
// Figures that the file leaves out are the aircraft's assumed ones; choices of the design are
// marked "choice".
#ifndef DEADBUS_TEST_PLAIN_ELEMENTS_H
#define DEADBUS_TEST_PLAIN_ELEMENTS_H

#include "reference/support/plain_network.h"

typedef struct plain_context {
    plain_network *n;
    const aircraft *a;
    const state *s;
    const device_modes *m;
    const double *base_amps;
} plain_context;

void plain_add(plain_network *n, plain_element e);
void plain_elements_of(const plain_context *x, int part);
void plain_sources_of(const plain_context *x, int part);
void plain_items_of(const plain_context *x, int part);
bool plain_is_selector(const part *p);
int plain_on_position(const part *p);  // the position labelled ON; -1

bool plain_fault(const plain_context *x, int part, fault_kind f);
// A resistor between two points of a part; below 0.1 mohm it is raised to that.
void plain_resistor(const plain_context *x, element_use use, int part, int detail, int a, int b,
                    double ohms);
// The wire of a part's own, id.wire, from `a` to `b`, with its faults.
void plain_own_wire(const plain_context *x, int part, int a, int b, double amps);
void plain_list_diodes(const plain_context *x, int part, part_key key, point_name to);
// Amps that an item draws at nominal volts by its figure.
double plain_item_amps(const aircraft *a, const part *p);

#endif
