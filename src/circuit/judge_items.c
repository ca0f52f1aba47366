// Status of every item, and of the functions, as parts and functions of an outcome.
#include "circuit/judge.h"
#include "part/item_draw.h"

static const item_rule *rule_for(const settled_state *s, int part) {
    int rule = s->made->verdict->rule_of[part];
    return rule >= 0 ? &s->made->verdict->rules[rule] : NULL;
}

int judged_node(const settled_state *s, int part) {
    const item_rule *r = rule_for(s, part);
    return r != NULL ? verdict_node(s->made->verdict, r, s->signals) : NOWHERE;
}

static void judge_lit(const settled_state *s, const item_rule *r, part_outcome *o) {
    const struct part *p = &s->made->aircraft->parts[r->part];
    const part_map *m = &s->made->maps[r->part];
    if (p->kind != KIND_LIGHT && p->kind != KIND_SOUNDER)
        return;
    bool powered = r->inner < 0 || across(s, r->inner, r->to) >= r->off;
    o->lit = powered && signal_at(s, r->whole) && signal_at(s, r->needs) && signal_at(s, m->runs);
    o->flashing = o->lit && m->flashes >= 0 && signal_at(s, m->flashes);
}

// What a converter gives an item: its volts, less where its limit is passed.
static void judge_converted(const settled_state *s, const item_rule *r, part_outcome *o) {
    const aircraft *a = s->made->aircraft;
    int converter = s->made->maps[r->part].converter;
    if (converter < 0 || !signal_at(s, s->made->maps[converter].works))
        return;
    double share = converter_loaded(a, s->asked, s->faults, converter).share;
    o->volts = o->lowest = o->highest = share * part_number(&a->parts[converter], KEY_VALUE, 5.0);
    o->amps = share * converted_amps(a, s->asked, s->faults, r->part);
    o->live = true;
}

static void judge_volts(const settled_state *s, const item_rule *r, part_outcome *o) {
    judge_converted(s, r, o);
    if (r->inner < 0)
        return;
    o->volts = across(s, r->inner, r->to);
    o->end_volts = s->solution->volts[r->inner];
    o->lowest = o->highest = o->volts;
    o->live = s->live[r->inner] != 0;
    o->draining = o->live && !s->fed[r->inner];
    if (s->solution->settled != SETTLED_CHATTERS)
        return;
    o->lowest = s->solution->lowest[r->inner];
    o->highest = s->solution->highest[r->inner];
}

void judge_items(const settled_state *s, verdict_block *block, part_outcome *parts) {
    const aircraft *a = s->made->aircraft;
    const verdict *v = s->made->verdict;
    verdict_block_begin(block, s->job.params);
    int slot = verdict_block_add(block, &s->job, s->solution);
    verdict_block_judge(block);
    const item_verdict *items = verdict_block_items(block, slot);
    for (int i = 0; i < v->rule_count; i++) {
        const item_rule *r = &v->rules[i];
        part_outcome *o = &parts[r->part];
        judge_volts(s, r, o);
        o->wanted = items[i].wanted;
        o->available = items[i].available;
        o->works = o->available && o->wanted;
        o->status = (item_status)items[i].status;
        judge_lit(s, r, o);
    }
    for (int i = 0; i < a->part_count; i++)
        if (v->rule_of[i] < 0)
            parts[i].available = parts[i].works = signal_at(s, s->made->maps[i].works);
}

void judge_functions(const settled_state *s, verdict_block *block, function_outcome *functions) {
    const aircraft *a = s->made->aircraft;
    const uint8_t *statuses = verdict_block_functions(block, 0);
    for (int i = 0; i < a->function_count; i++) {
        functions[i] = (function_outcome){.status = (function_status)statuses[i]};
        verdict_block_givers(block, i, 0, functions[i].by, &functions[i].by_count, CAUSES_MOST);
    }
}
