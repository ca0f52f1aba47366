// The file as a tree of texts, lists and maps, each with its place: what libyaml's parser tells,
// and nothing that it decides about types. What the format doesn't use is refused here.
#ifndef DEADBUS_MODEL_YAML_TREE_H
#define DEADBUS_MODEL_YAML_TREE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/findings.h"
#include "base/status.h"
#include "model/name_table.h"

typedef enum node_type { NODE_TEXT, NODE_LIST, NODE_MAP } node_type;
typedef enum node_style { STYLE_PLAIN, STYLE_QUOTED, STYLE_BLOCK, STYLE_FLOW } node_style;

typedef struct node node;
struct node {
    node_type type;
    node_style style;  // lists and maps: STYLE_FLOW or STYLE_BLOCK
    bool refused;      // something about it has been found wrong already: say no more
    bool copied;  // text: its bytes in the file are exactly `text`, so places inside can be told
    span span;    // of a map or list: where it starts to where it ends
    const char *text;  // NODE_TEXT; ends with 0
    size_t length;
    node *key;  // an entry of a map: its key, a NODE_TEXT
    node *first, *next;
    int count;  // entries of a list or map
};

enum {
    YAML_LARGEST = 4 << 20,  // bytes
    YAML_DEEPEST = 6,        // levels that the format uses
};

typedef struct yaml_tree {
    node *root;       // NULL: nothing readable
    name_table lost;  // first words of lines that couldn't be read: not to be called unknown
    bool broken;      // some line couldn't be read
} yaml_tree;

// Builds the tree in `memory`. Mistakes go to `out`; a line that can't be read is left out and
// reading goes on. STATUS_NO_MEMORY, or STATUS_OK with whatever could be read.
status yaml_tree_read(arena *memory, const char *source, size_t length, findings *out,
                      yaml_tree *made);

// The entry of a map with this key, NULL if there is none.
node *node_entry(const node *map, const char *key);
// A place inside a text: `length` bytes from byte `start` of it (the whole if that can't be told).
span node_part(const node *n, size_t start, size_t length);
bool node_is(const node *n, const char *text);

#endif
