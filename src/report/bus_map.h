// What hangs where: one row for every end of every line that starts at a bus or a source.
#ifndef DEADBUS_REPORT_BUS_MAP_H
#define DEADBUS_REPORT_BUS_MAP_H

#include "base/text.h"
#include "model/aircraft.h"

typedef enum map_end {
    MAP_ITEM,     // an item that uses power
    MAP_UNIT,     // a regulator or converter
    MAP_FEEDS,    // another bus or point, or a source
    MAP_COIL,     // the coil of a relay or contactor
    MAP_FIELD,    // the field of an alternator or generator
    MAP_SENSE,    // the sense wire of a regulator
    MAP_CHARGES,  // a battery charged from here
    MAP_NOTHING,  // a line that ends
} map_end;

enum { MAP_THROUGH_MOST = 12 };

typedef struct map_step {
    int part;
    int position;  // of a switch with positions: the contact that leads on; else -1
} map_step;

typedef struct map_row {
    int root;                            // bus, outlet or source where it starts
    int protector;                       // breaker, fuse or limiter nearest to the root; PART_NONE
    map_step through[MAP_THROUGH_MOST];  // all else on the way, from the root on
    int through_count;
    map_end end;
    int part;  // what is at the end
    bool has_amps;
    double amps;  // at nominal volts, while it runs
    basis basis;  // of that figure
} map_row;

typedef struct bus_map {
    const aircraft *aircraft;
    map_row *rows;  // roots in the order of the file, rows in that of the lines
    int count, capacity;
} bus_map;

status bus_map_make(const aircraft *a, arena *memory, bus_map *m);
const char *map_end_word(map_end e);  // "item", "unit", "feeds", "coil"...

#endif
