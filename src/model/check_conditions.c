// Conditions that hang on each other with nothing to decide them.
#include <string.h>

#include "model/reader.h"

static const part_key WORKED_BY[] = {KEY_CLOSES_WHEN, KEY_OPENS_WHEN, KEY_RUNS_WHEN, KEY_LIT_WHEN,
                                     KEY_SOUNDS_WHEN};
enum { WORKED_BY_COUNT = sizeof WORKED_BY / sizeof WORKED_BY[0], LONGEST = 64 };

typedef enum visit { NOT_SEEN, ON_THE_WAY, DONE } visit;

typedef struct search {
    reader *r;
    visit *visits;
    int way[LONGEST];
    int length;
} search;

static void visit_part(search *s, int index);

static bool has_condition(const part *p) {
    for (int k = 0; k < WORKED_BY_COUNT; k++) {
        if (part_condition(p, WORKED_BY[k]) >= 0)
            return true;
    }
    return false;
}

// Only what is known at once makes a circle: voltages and currents settle in the circuit, and a
// delay breaks it (a relay that opens some time after it has closed is a timer).
static void visit_condition(search *s, int index) {
    const condition *c = &s->r->a->conditions[index];
    switch (c->op) {
    case CONDITION_FOR: return;
    case CONDITION_AND:
    case CONDITION_OR:
    case CONDITION_LATCH:
        visit_condition(s, c->a);
        visit_condition(s, c->b);
        return;
    case CONDITION_NOT: visit_condition(s, c->a); return;
    case CONDITION_CLOSED:
    case CONDITION_ON:
    case CONDITION_RUNNING:
    case CONDITION_STOPPED:
    case CONDITION_WORKS:
        if (c->ref.part >= 0 && has_condition(&s->r->a->parts[c->ref.part]))
            visit_part(s, c->ref.part);
        return;
    default: return;
    }
}

static void say_circle(search *s, int index) {
    reader *r = s->r;
    int start = s->length - 1;
    while (start > 0 && s->way[start] != index)
        start--;
    const char *list = "";
    for (int i = start; i < s->length; i++)
        list = join(r, (const char *const[]){list, *list ? ", which waits for " : "", "'",
                                             r->a->parts[s->way[i]].id, "'", NULL});
    say_error(r, r->a->parts[index].span, "condition-circle",
              "let one of them depend on volts, a switch or a delay",
              "conditions in a circle: ", list, ", which waits for the first", NULL);
}

static void visit_part(search *s, int index) {
    if (s->visits[index] == ON_THE_WAY)
        say_circle(s, index);
    if (s->visits[index] != NOT_SEEN || s->length >= LONGEST)
        return;
    s->visits[index] = ON_THE_WAY;
    s->way[s->length++] = index;
    for (int k = 0; k < WORKED_BY_COUNT; k++) {
        int c = part_condition(&s->r->a->parts[index], WORKED_BY[k]);
        if (c >= 0)
            visit_condition(s, c);
    }
    s->length--;
    s->visits[index] = DONE;
}

// An item that needs itself never works.
static void check_needs(reader *r, int index) {
    const part_value *needs = part_value_of(&r->a->parts[index], KEY_NEEDS);
    for (int i = 0; needs && i < needs->as.conditions.count; i++) {
        const condition *c = &r->a->conditions[needs->as.conditions.items[i]];
        if (c->op == CONDITION_WORKS && c->ref.part == index)
            say_error(r, c->span, "needs-itself", "", "'", r->a->parts[index].id, "' needs itself",
                      NULL);
    }
}

void check_conditions(reader *r) {
    search s = {.r = r};
    s.visits = arena_new(r->scratch, (size_t)r->a->part_count + 1, sizeof *s.visits);
    if (!s.visits)
        return;
    for (int i = 0; i < r->a->part_count && !reader_failed(r); i++) {
        visit_part(&s, i);
        check_needs(r, i);
    }
}
