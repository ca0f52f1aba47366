// What a student's page reads: the aeroplane as it carries it, and questions in JSON. Its module
// takes these in place of the readers of files (read_aircraft.c, yaml_tree.c).
#include "model/carried.h"
#include "model/json_tree.h"

status aircraft_read(allocator memory, const char *source, size_t length, aircraft **made,
                     findings *out) {
    return carried_read(memory, source, length, made, out);
}

status yaml_tree_read(arena *memory, const char *source, size_t length, findings *out,
                      yaml_tree *made) {
    return json_tree_read(memory, source, length, out, made);
}
