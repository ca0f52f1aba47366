// What a student's page reads: the aeroplane as it carries it, and questions in JSON. Its module
// takes these in place of the readers of files (read_aircraft.c, yaml_tree.c), and of what is said
// of mistakes (scenario_hints.c): a page writes its scenarios itself, in words that are there, and
// waits for no watch (scenario_watch.c).
#include "model/carried.h"
#include "model/json_tree.h"
#include "model/scenario_reader.h"

status aircraft_read(allocator memory, const char *source, size_t length, aircraft **made,
                     findings *out) {
    return carried_read(memory, source, length, made, out);
}

status yaml_tree_read(arena *memory, const char *source, size_t length, findings *out,
                      yaml_tree *made) {
    return json_tree_read(memory, source, length, out, made);
}

const char *scenario_nearest(scenario_reader *s, const char *word, const char *words) {
    (void)s, (void)word, (void)words;
    return "";
}

const char *scenario_nearest_id(scenario_reader *s, const char *id, bool functions) {
    (void)s, (void)id, (void)functions;
    return "";
}

static void wrong(scenario_reader *s, const node *n) {
    say_error(&s->r, n->span, "unknown-word", "", "'", n->text, "' doesn't fit here", NULL);
}

void scenario_wrong_phase(scenario_reader *s, const node *n, const char *name) {
    (void)name;
    wrong(s, n);
}

void scenario_wrong_position(scenario_reader *s, const node *n, int part) {
    (void)part;
    wrong(s, n);
}

void scenario_wrong_fault(scenario_reader *s, const node *n, const part *p, uint32_t can) {
    (void)p, (void)can;
    wrong(s, n);
}

bool scenario_odd_moment(scenario_reader *s, const node *n) {
    (void)s, (void)n;
    return false;
}

int scenario_watch_read(scenario_reader *s, const node *n, size_t start) {
    (void)start;
    wrong(s, n);
    return -1;
}

void scenario_look_over(scenario_reader *s, const node *happens) { (void)s, (void)happens; }
