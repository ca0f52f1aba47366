#include "circuit/part_groups.h"

#include "part/part_kind.h"

// While groups are found each part names another of its group, or itself.
static int root_of(const int *group, int part) {
    while (group[part] != part)
        part = group[part];
    return part;
}

static void join(int *group, int part, int other) {
    if (other >= 0)
        group[root_of(group, other)] = root_of(group, part);
}

static void join_ids(int *group, const part *parts, int part, part_key key) {
    const part_value *v = part_value_of(&parts[part], key);
    for (int i = 0; v != NULL && i < v->as.ids.count; i++)
        join(group, part, v->as.ids.items[i]);
}

// What runs while something moves draws by that one's place.
static void join_moving(int *group, const aircraft *a, int part, int condition) {
    const struct condition *c = condition >= 0 ? &a->conditions[condition] : NULL;
    if (c != NULL && c->op == CONDITION_MOVING)
        join(group, part, c->ref.part);
    if (c == NULL || (c->op != CONDITION_AND && c->op != CONDITION_OR))
        return;
    join_moving(group, a, part, c->a);
    join_moving(group, a, part, c->b);
}

// One of the sources; NOWHERE: there is none.
static int join_all(const aircraft *a, const part_map *maps, int *group) {
    int source = NOWHERE;
    for (int i = 0; i < a->part_count; i++)
        group[i] = i;
    for (int i = 0; i < a->part_count; i++) {
        const part_map *m = &maps[i];
        join(group, i, a->parts[i].wire);
        join(group, i, m->selector);
        join(group, i, m->dimmer);
        join(group, i, m->converter);
        join(group, i, m->regulator);
        join_moving(group, a, i, part_condition(&a->parts[i], KEY_RUNS_WHEN));
        if (kind_class(a->parts[i].kind) == CLASS_GROUP)
            join_ids(group, a->parts, i, KEY_CARRIES);
        if (kind_class(a->parts[i].kind) != CLASS_SOURCE)
            continue;
        join_ids(group, a->parts, i, KEY_TURNED_BY);
        join(group, i, source);
        source = i;
    }
    return source;
}

// Roots become numbers of groups, in order of their first part. `number`: scratch of `parts`.
static int number_groups(int *of, const int *group, int *number, int parts) {
    int count = 0;
    for (int i = 0; i < parts; i++)
        number[i] = NOWHERE;
    for (int i = 0; i < parts; i++) {
        int root = root_of(group, i);
        if (number[root] == NOWHERE)
            number[root] = count++;
        of[i] = number[root];
    }
    return count;
}

// Parts sorted by group; first[g] is where group g starts. `next`: scratch of `parts`.
static void list_members(const int *of, int parts, int count, int *first, int *next, int *members) {
    for (int i = 0; i < parts; i++)
        first[of[i] + 1]++;
    for (int g = 0; g < count; g++) {
        first[g + 1] += first[g];
        next[g] = first[g];
    }
    for (int i = 0; i < parts; i++)
        members[next[of[i]]++] = i;
}

bool part_groups_make(arena *keep, const aircraft *a, const part_map *maps, part_groups *made) {
    size_t parts = (size_t)a->part_count + 1;
    int *of = arena_new(keep, parts, sizeof *of), *first = arena_new(keep, parts, sizeof *first);
    int *members = arena_new(keep, parts, sizeof *members);
    int *group = arena_new(keep, parts, sizeof *group);
    if (of == NULL || first == NULL || members == NULL || group == NULL)
        return false;
    int source = join_all(a, maps, group);
    int count = number_groups(of, group, members, a->part_count);
    int *next = group;  // not needed any more
    list_members(of, a->part_count, count, first, next, members);
    *made = (part_groups){count, of, first, members, source < 0 ? NOWHERE : of[source]};
    return true;
}
