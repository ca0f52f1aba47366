// Ends of a path: what its `from`, `to` and id stand for.
#ifndef DEADBUS_PART_PATH_ENDS_H
#define DEADBUS_PART_PATH_ENDS_H

#include "part/builder.h"

void path_nodes(builder *b, int part);  // the end that isn't named
void path_ends(builder *b, int part);   // map.from, map.to
// The conductance of the path itself, behind its own wire if it has one; sets map.path and
// map.wire.
void path_build(builder *b, int part, int gate);

#endif
