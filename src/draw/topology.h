// What stands where in the drawing, before any measure is taken: which points are bars and columns,
// which runs of parts join them, and the rows that hang from each.
//
// Every part between two points is owned by exactly one run, feeder or row, so that nothing is
// drawn twice and nothing is left out; what no place is found for is in `also`.
#ifndef DEADBUS_DRAW_TOPOLOGY_H
#define DEADBUS_DRAW_TOPOLOGY_H

#include "draw/power_graph.h"

enum { RUN_MOST = 8, GROUP_MOST = 6, MAINS_MOST = 2, VIA_MOST = 6 };

typedef enum strip_role {
    STRIP_MAIN,    // a bar with a down-stroke that the sources stand on
    STRIP_CHAIN,   // a point on the way from the battery to the main bus
    STRIP_SOURCE,  // a point between another source and its bus
    STRIP_BUS,     // every other bus
} strip_role;

// A bus, or a point that rows hang from.
typedef struct strip {
    strip_role role;
    int point;
    int part;   // bus or source; -1: a mere joint
    int after;  // a mere joint: the part before it, -1
    int first_row, row_count;
} strip;

typedef enum row_end {
    END_ITEM,
    END_SECOND,
    END_COIL,
    END_FIELD,
    END_SENSE,
    END_SOURCE,
    END_STRIP,    // goes on to another strip: `part` is that strip's index
    END_PATH,     // a part with more behind it, named and followed by rows under it
    END_JOIN,     // meets a point that is already drawn
    END_GROUND,   // the airframe
    END_NOTHING,  // a breaker with nothing behind it
} row_end;

typedef enum row_joint {
    JOINT_BAR,     // starts at the strip
    JOINT_FIRST,   // branches behind the first symbol of row `from`
    JOINT_SECOND,  // branches behind the second symbol of row `from`
    JOINT_UNDER,   // hangs under row `from`
} row_joint;

typedef struct row {
    int strip;
    row_joint joint;
    int from;
    int level;          // 0; 1 and more: indented under another
    int first, second;  // edges drawn as symbols, -1
    int third;          // a further one, right before the name, -1
    int last;           // edge that feeds the end, -1: the strip itself
    bool alone;         // nothing else hangs behind `last`
    bool parent;        // rows hang under it
    row_end end;
    int part;
    int point;          // where it ends
    int field;          // regulator: the source whose field it feeds, -1
    int via[VIA_MOST];  // parts of its way back to the airframe
    int via_count;
} row;

// Parts in line, from a source or bus to another.
typedef struct run {
    int part;  // the source, -1
    int count;
    int edges[RUN_MOST];
    int points[RUN_MOST + 1];  // points[0] is the source's or bus's
    int strips[RUN_MOST + 1];  // strip at each point, -1
} run;

// A feeder, or one that parts into several behind its stem.
typedef struct feed_group {
    int main;  // strip
    run stem;  // from the main bus; may be empty
    int count;
    run members[GROUP_MOST];  // each ends at a strip: strips[count]
} feed_group;

// A second mention: strip `strip` is also fed from `from`, where the parts in between are drawn.
typedef struct cross_feed {
    int strip, from, row;
} cross_feed;

typedef struct topology {
    const aircraft *aircraft;
    const power_graph *graph;
    strip *strips;
    int strip_count;
    row *rows;
    int row_count;
    int mains[MAINS_MOST], main_count;  // strips
    bool has_chain;
    run chain;     // from the battery to mains[0]
    run *sources;  // the others that stand on a main bus or hang on the chain
    int source_count;
    bool has_tie;
    run tie;  // from mains[0] to mains[1]
    feed_group *groups;
    int group_count;
    int *free_strips;  // buses that no feeder leads to from a main bus
    int free_count;
    cross_feed *crosses;
    int cross_count;
    int *also;  // parts on board that have no place above
    int also_count;
} topology;

// `columns`: 1 keeps every other source as a row, and one main bus. NULL: no memory.
const topology *topology_make(arena *memory, const aircraft *a, int columns);

#endif
