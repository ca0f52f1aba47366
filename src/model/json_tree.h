// JSON as the tree that the YAML reader makes of it. A student's page reads nothing else, and
// leaves the whole YAML reader out.
#ifndef DEADBUS_MODEL_JSON_TREE_H
#define DEADBUS_MODEL_JSON_TREE_H

#include "model/yaml_tree.h"

// As yaml_tree_read. What isn't JSON is one finding, and no tree.
status json_tree_read(arena *memory, const char *source, size_t length, findings *out,
                      yaml_tree *made);

#endif
