// Sums that stand on the picture: what a main bus hands on.
#include "draw/layout_parts.h"

static void add_term(layout *l, text *t, int tenths, const char *where) {
    text_all(t, t->length ? " + " : "", words_tenths(l->memory, tenths), where, NULL);
}

// Amps into the chain at a main bus: the battery is being charged.
static int charging(const layout *l, int which) {
    const run *r = &l->t->chain;
    bool here = l->t->has_chain && r->count && r->strips[r->count] == which;
    return here && l->b->charge > 0 ? l->b->charge : 0;
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

int layout_main_sum(layout *l, int which_main, const char **words) {
    int which = l->t->mains[which_main], sum = l->b->strips[which].total, terms = 1;
    text t = text_make(l->memory->memory);
    add_term(l, &t, sum, " in its rows");
    for (int i = 0; i < l->t->group_count; i++) {
        const feed_group *g = &l->t->groups[i];
        for (int m = 0; g->main == which && m < g->count; m++) {
            int tenths = layout_run_tenths(l, &g->members[m]);
            const char *name[2] = {" to ",
                                   l->b->strips[g->members[m].strips[g->members[m].count]].name};
            if (tenths <= 0)
                continue;
            terms++;
            sum += tenths;
            add_term(l, &t, tenths, words_join(l->memory, name, 2));
        }
    }
    int over = tie_out(l, which_main);
    if (over > 0) {
        sum += over;
        terms++;
        add_term(l, &t, over, " over the tie");
    }
    int up = charging(l, which);
    if (up) {
        sum += up;
        terms++;
        add_term(l, &t, up, " to the battery's side");
    }
    const char *list = words_keep(l->memory, &t);
    const char *all[3] = {words_tenths(l->memory, sum),
                          "\xC2\xA0"
                          "A = ",
                          list};
    *words = terms > 1 ? words_join(l->memory, all, 3) : "";
    return sum;
}
