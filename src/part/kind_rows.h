// The functions of every kind's file, gathered by part_kind.c into one row a kind.
#ifndef DEADBUS_PART_KIND_ROWS_H
#define DEADBUS_PART_KIND_ROWS_H

#include "part/binder.h"
#include "part/builder.h"

// A bolted short to the airframe (design choice). Negative ohms mean: open.
#define SHORT_OHMS 5e-3

void point_nodes(builder *b, int part);
void point_build(builder *b, int part);
void point_bind(binder *b, int part);

void contact_nodes(builder *b, int part);
void breaker_build(builder *b, int part);
void breaker_bind(binder *b, int part);
void plain_path_build(builder *b, int part);
void plain_path_bind(binder *b, int part);
void switch_nodes(builder *b, int part);
void switch_build(builder *b, int part);
void switch_bind(binder *b, int part);
void dimmer_build(builder *b, int part);
void dimmer_bind(binder *b, int part);
void relay_build(builder *b, int part);
void relay_bind(binder *b, int part);
void diode_build(builder *b, int part);
void diode_bind(binder *b, int part);

void battery_nodes(builder *b, int part);
void battery_build(builder *b, int part);
void battery_bind(binder *b, int part);
void machine_nodes(builder *b, int part);  // alternator and generator
void machine_build(builder *b, int part);
void machine_bind(binder *b, int part);
void external_power_nodes(builder *b, int part);
void external_power_build(builder *b, int part);
void external_power_bind(binder *b, int part);

void regulator_nodes(builder *b, int part);
void regulator_build(builder *b, int part);
void regulator_bind(binder *b, int part);

void item_nodes(builder *b, int part);  // all that uses power, converters too
void item_build(builder *b, int part);
void item_bind(binder *b, int part);

// Wire of its own, of an item or a path: resistance with the faults of id.wire (negative: open).
double own_wire_ohms(const binder *b, int wire, double item_amps);
// Stuck open, or opened by a connector that carries it.
bool cut_off(const binder *b, int part);
// The diodes of a list terminal: small ones, inside the part.
void list_diodes_bind(binder *b, int part);
// Silicon or Schottky junction as two pieces.
void junction_bind(binder *b, int piecewise, double knee, double ohms, bool open, bool shorted);

#endif
