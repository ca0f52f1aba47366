// Looking into a tree that has been read.
#include <string.h>

#include "model/yaml_tree.h"

node *node_entry(const node *map, const char *key) {
    if (!map || map->type != NODE_MAP)
        return NULL;
    for (node *n = map->first; n; n = n->next) {
        if (strcmp(n->key->text, key) == 0)
            return n;
    }
    return NULL;
}

span node_part(const node *n, size_t start, size_t length) {
    if (!n->copied || start > n->length)
        return n->span;
    span s = n->span;
    s.column += (uint32_t)utf8_columns(n->text, start);
    s.offset += (uint32_t)start;
    s.length = (uint32_t)(length < n->length - start ? length : n->length - start);
    return s;
}

bool node_is(const node *n, const char *text) {
    return n && n->type == NODE_TEXT && strcmp(n->text, text) == 0;
}
