// Sums that stand on the picture: what a main bus hands on.
#include "draw/layout_parts.h"

// A sum in words as it is now, and the longest that it can become.
typedef struct summed {
    text now, longest;
    int tenths, terms, possible;
} summed;

static void add_term(layout *l, summed *s, int tenths, const char *where) {
    text_all(&s->longest, s->possible++ ? " + " : "", "88.8", where, NULL);
    if (tenths <= 0 && s->terms > 0)
        return;
    text_all(&s->now, s->now.length ? " + " : "", words_tenths(l->memory, tenths), where, NULL);
    s->tenths += tenths;
    s->terms++;
}

static bool chain_ends_at(const layout *l, int which) {
    const run *r = &l->t->chain;
    return l->t->has_chain && r->count && r->strips[r->count] == which;
}

// Whether amps may go from a main bus to the battery: something else may feed it.
static bool may_charge(const layout *l, int which) {
    bool fed = l->t->has_tie || l->b->charge > 0;
    for (int i = 0; i < l->t->source_count; i++)
        fed = fed || l->t->sources[i].strips[l->t->sources[i].count] == which;
    return fed;
}

double layout_chain_flow(const layout *l) {
    const run *r = &l->t->chain;
    if (!r->count)
        return l->b->outcome->parts[r->part].amps;
    return -board_amps_from(l->b, r->edges[r->count - 1], r->points[r->count]);
}

// Positive: out of the bus.
static int tie_out(const layout *l, int which_main) {
    const run *r = &l->t->tie;
    if (!l->t->has_tie)
        return 0;
    int edge = which_main ? r->edges[r->count - 1] : r->edges[0];
    double out = board_amps_from(l->b, edge, l->t->strips[l->t->mains[which_main]].point);
    int tenths = l->b->tie > 0 ? l->b->tie : 0;
    return out > 0 ? tenths : -tenths;
}

int layout_tie_tenths(const layout *l, int which_main) {
    int out = tie_out(l, which_main);
    return out < 0 ? -out : 0;
}

static void add_feeders(layout *l, int which, summed *s) {
    for (int i = 0; i < l->t->group_count; i++) {
        const feed_group *g = &l->t->groups[i];
        for (int m = 0; g->main == which && m < g->count; m++) {
            const run *r = &g->members[m];
            const char *name[2] = {" to ", l->b->strips[r->strips[r->count]].name};
            add_term(l, s, layout_run_tenths(l, r), words_join(l->memory, name, 2));
        }
    }
}

int layout_main_sum(layout *l, int which_main, const char **words, const char **longest) {
    int which = l->t->mains[which_main];
    summed s = {.now = text_make(l->memory->memory), .longest = text_make(l->memory->memory)};
    add_term(l, &s, l->b->strips[which].total, " in its rows");
    add_feeders(l, which, &s);
    if (l->t->has_tie)
        add_term(l, &s, tie_out(l, which_main), " over the tie");
    if (chain_ends_at(l, which) && may_charge(l, which))
        add_term(l, &s, l->b->charge, " to the battery's side");
    const char *equal = "\xC2\xA0"
                        "A = ";
    const char *all[3] = {words_tenths(l->memory, s.tenths), equal, words_keep(l->memory, &s.now)};
    const char *most[3] = {"88.8", equal, words_keep(l->memory, &s.longest)};
    *words = s.terms > 1 ? words_join(l->memory, all, 3) : "";
    *longest = s.possible > 1 ? words_join(l->memory, most, 3) : "";
    return s.tenths;
}
