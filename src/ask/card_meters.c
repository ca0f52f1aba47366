// How to read the meters of this aeroplane, in the words of the trade (common practice, no source).
#include <string.h>

#include "ask/card_content.h"
#include "circuit/meter.h"
#include "model/part_words.h"

static void tell(card_meter *m, const char *where, const char *means) {
    if (m->told_count < CARD_TOLD_MOST)
        m->told[m->told_count++] = (card_told){where, means};
}

static const char *between(const card_source *from, int a, int b) {
    text t = text_make(from->memory->memory);
    text_all(&t, card_part(from, a, true), " to ", card_part(from, b, true), NULL);
    return card_keep(from->memory, &t);
}

static const char *place_of(const card_source *from, const reference *r) {
    if (r->part < 0)
        return "";
    const part *at = &from->aircraft->parts[r->part];
    const reference_list *begins = part_references(at, KEY_FROM);
    const reference_list *ends = part_references(at, KEY_TO);
    bool two = kind_class(at->kind) == CLASS_PATH && begins && begins->count && ends &&
               ends->count && begins->items[0].part >= 0 && ends->items[0].part >= 0;
    return two ? between(from, begins->items[0].part, ends->items[0].part)
               : card_part(from, r->part, true);
}

// A selector's positions that aren't the usual one: "at LEFT: left alternator to left bus".
static const char *other_places(const card_source *from, const part *p, const reference *usual) {
    const part_value *v = part_value_of(p, KEY_READS);
    int by = part_id(p, KEY_SELECTED_BY);
    const positions *list = by >= 0 ? part_positions(&from->aircraft->parts[by]) : NULL;
    if (!v || v->type != VALUE_READS || !list)
        return "";
    text t = text_make(from->memory->memory);
    for (int i = 0; i < v->as.reads.count; i++) {
        const reading *one = &v->as.reads.items[i];
        if (one->position < 0 || one->position >= list->count || one->ref.part == usual->part)
            continue;
        text_all(&t, t.length ? "; at " : "At ", list->labels[one->position], ": ",
                 place_of(from, &one->ref), NULL);
    }
    return card_keep(from->memory, &t);
}

// "Left of 0", "Below 0" on a meter without a needle.
static const char *side(const card_meter *m, bool right) {
    if (m->high <= m->low)
        return right ? "Above 0" : "Below 0";
    return right ? "Right of 0" : "Left of 0";
}

static void tell_battery(const meter *m, card_meter *made) {
    bool charge_right = m->sign * m->place.charging > 0;
    tell(made, side(made, !charge_right),
         "the battery carries the loads: their amps, not full scale.");
    tell(
        made, "At 0",
        "source on, battery full; battery off the line; meter or its fuse dead; source off, almost "
        "nothing on. Voltmeter and one load tell which.");
    tell(made,
         made->high <= made->low ? (charge_right ? "High, stays" : "Far below 0, stays")
         : charge_right          ? "Far right, stays"
                                 : "Far left, stays",
         m->place.fed_before ? "regulator; flat or failing battery; starter still turning."
                             : "regulator; flat or failing battery.");
}

static void tell_source(card_meter *made) {
    tell(made, "At 0", "the source gives nothing. It never shows what the battery gives.");
    tell(made, "High, stays", "a flat or failing battery takes much.");
}

// 24 to 25 V of a 28 V system, half that of a 14 V one.
static void tell_volts(const aircraft *a, card_meter *made) {
    bool is_28 = aircraft_is_28(a);
    tell(made, is_28 ? "24 to 25 V, engine running" : "12 to 12.5 V, engine running",
         "battery only.");
}

static bool make_one(const card_source *from, const meter_graph *g, const indication *in,
                     card_meter *made) {
    const part *p = &from->aircraft->parts[in->part];
    meter m;
    if (meter_make(g, from->usual, in->part, from->memory, &m) != STATUS_OK)
        return false;
    *made = (card_meter){.part = in->part,
                         .name = card_part(from, in->part, false),
                         .unit = in->unit ? in->unit : "",
                         .place = place_of(from, &m.reads),
                         .others = other_places(from, p, &m.reads),
                         .low = in->low,
                         .high = in->high,
                         .usual = in->figure,
                         .usual_valid = in->valid};
    if (m.volts)
        tell_volts(from->aircraft, made);
    else if (m.place.lead == LEAD_BATTERY)
        tell_battery(&m, made);
    else if (m.place.lead == LEAD_SOURCE)
        tell_source(made);
    return true;
}

void card_make_meters(const card_source *from, card *made) {
    const outcome *o = from->usual;
    meter_graph *g = meter_graph_make(from->aircraft, from->memory);
    card_meter *list = arena_new(from->memory, (size_t)o->indication_count + 1, sizeof *list);
    for (int i = 0; g && list && i < o->indication_count; i++) {
        const indication *in = &o->indications[i];
        if (card_is_meter(&from->aircraft->parts[in->part]) &&
            make_one(from, g, in, &list[made->meter_count]))
            made->meter_count++;
    }
    made->meters = list;
}
