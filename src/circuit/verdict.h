// What the verdict on a settled circuit goes by: tables, made once, of every item's branch and of
// the routes to every function. verdict_block.h judges by them.
#ifndef DEADBUS_CIRCUIT_VERDICT_H
#define DEADBUS_CIRCUIT_VERDICT_H

#include "circuit/compiled.h"
#include "model/outcome.h"

// One path on an item's own branch, from the item up to the next point or source.
typedef struct branch_link {
    int conductance;  // NOWHERE: a diode, or a path without resistance of its own
    int hand;         // signal: the hand of its switch lets current pass; SIGNAL_ALWAYS: no hand
    int moved;        // signal: the contact of a switch that a condition moves; SIGNAL_ALWAYS
    int above;        // node at its upper end
    int feed;         // which of the item's feeds it belongs to
} branch_link;

typedef struct item_rule {
    int part;
    int inner, to, wire;         // NOWHERE: not electric
    int power;                   // its constant-power element, NOWHERE
    double works, off;           // volts
    int feeds, within;           // signals: its converter feeds it, in full; NOWHERE: it has none
    int whole, switched, needs;  // signals
    bool own_battery;
    int reserve;     // signal: its own battery isn't run down
    int needs_step;  // its needs as if it were asked for, NOWHERE if it has none
    int first_link, link_count;
    int feed_count;  // ways its power can come, each through a diode of its own if several
} item_rule;

// Functions and routes as a list of steps over item values: see verdict_functions.c.
typedef enum route_op {
    ROUTE_ITEM,
    ROUTE_PART,
    ROUTE_SUPPLY,
    ROUTE_NEVER,
    ROUTE_ALWAYS,
    ROUTE_AND,
    ROUTE_OR,
    ROUTE_NOT,
    ROUTE_CAP
} route_op;
typedef struct route_step {
    route_op op;
    int a,
        b;  // ITEM: rule; PART: signal and part; SUPPLY: signal; AND, OR, NOT, CAP: earlier steps
} route_step;

typedef struct verdict {
    const item_rule *rules;
    int rule_count;
    const branch_link *links;
    const int *rule_of;  // per part: its rule, NOWHERE
    const route_step *steps;
    int step_count;
    int needs_steps;           // steps up to here are the items' needs
    const int *function_step;  // per function: the step with its value
} verdict;

bool verdict_routes_make(arena *memory, const compiled *c, item_rule *rules,
                         verdict *v);              // the steps; false: no memory
void rule_volts(const compiled *c, item_rule *r);  // works and off, by its part's figures
bool verdict_has_rule(const part *p);              // items and converters
status verdict_make(arena *memory, const compiled *c, verdict *v);

// Node at which a rule's item is judged: its inside, or above the topmost switch on its branch that
// is off or that no condition closes now. Of several branches: its inside while one of them is
// switched on. NOWHERE if it isn't electric.
int verdict_node(const verdict *v, const item_rule *r, const uint8_t *signals);
// The same of one of its feeds alone.
int verdict_feed_node(const verdict *v, const item_rule *r, const uint8_t *signals, int feed);

#endif
