// Which parts' parameters hang on one another: a flap motor draws by its selector and by its own
// fault. A setting or a fault of a part changes parameters of its own group alone, but for a bus
// that came away, which opens whatever is joined to it.
#ifndef DEADBUS_CIRCUIT_PART_GROUPS_H
#define DEADBUS_CIRCUIT_PART_GROUPS_H

#include <stdbool.h>

#include "base/arena.h"
#include "model/aircraft.h"
#include "part/builder.h"

typedef struct part_groups {
    int count;
    const int *of;       // per part: its group
    const int *first;    // count + 1: where a group's parts start in `members`
    const int *members;  // in order of part
    int sources;         // the group of all sources, which decide the highest volts; NOWHERE: none
} part_groups;

// `maps`: per part. Everything lives in `keep`. False: no memory.
bool part_groups_make(arena *keep, const aircraft *a, const part_map *maps, part_groups *made);

#endif
