#include "ask/card_content.h"

#include <string.h>

#include "base/stable_sort.h"
#include "model/part_words.h"
#include "report/outcome_parts.h"

const char card_title[] = "System notes, not a checklist";
const char card_first[] =
    "For teaching. The approved handbook, the maintenance manual, local rules "
    "and licensed people come first.";
const char card_void[] = "Void after any equipment change.";
const char card_alike[] = "A tripped and a pulled breaker look alike from the seat: both are out.";
const char card_computed[] = "Normal here, computed from the file";

const char *card_keep(arena *memory, text *t) {
    char *kept = t->failed ? NULL : arena_text(memory, text_get(t), t->length);
    if (!kept)
        memory->failed = true;
    text_free(t);
    return kept ? kept : "";
}

const char *card_part(const card_source *from, int which, bool inside) {
    text t = text_make(from->memory->memory);
    if (which < 0)
        text_put(&t, inside ? "the airframe" : "Airframe");
    else
        part_sentence_name(from->aircraft, which, &t);
    if (inside && !t.failed && t.length > 1 && t.data[0] >= 'A' && t.data[0] <= 'Z' &&
        t.data[1] >= 'a' && t.data[1] <= 'z')
        t.data[0] = (char)(t.data[0] - 'A' + 'a');
    return card_keep(from->memory, &t);
}

bool card_is_meter(const part *p) {
    return p->kind == KIND_AMMETER || p->kind == KIND_LOADMETER || p->kind == KIND_VOLTMETER;
}

static const char *copied(arena *memory, const char *words) {
    text t = text_make(memory->memory);
    text_put_forward(&t, words ? words : "", words ? strlen(words) : 0);
    return card_keep(memory, &t);
}

// ---- normal readings ----------------------------------------------------------------------------
static const char *lights_lit(const card_source *from, const outcome *o) {
    text t = text_make(from->memory->memory);
    for (int i = 0; i < o->indication_count; i++) {
        const indication *one = &o->indications[i];
        const part *p = &from->aircraft->parts[one->part];
        if ((p->kind != KIND_LIGHT && p->kind != KIND_SOUNDER) || !one->valid || one->figure <= 0)
            continue;
        text_all(&t, t.length ? ", " : "", p->label, NULL);
    }
    if (!t.length)
        text_put(&t, "none");
    return card_keep(from->memory, &t);
}

// Without the unit, which stands over the column.
static const char *plain_reading(arena *memory, const indication *one) {
    const char *words = one->reading ? one->reading : "";
    // "reads its left stop": what a meter does goes without saying in a column of readings.
    if (strncmp(words, "reads ", 6) == 0)
        words += strncmp(words + 6, "its ", 4) == 0 ? 10 : 6;
    size_t length = strlen(words), unit = one->unit ? strlen(one->unit) : 0;
    if (unit && length > unit + 1 && strcmp(words + length - unit, one->unit) == 0 &&
        words[length - unit - 1] == ' ')
        length -= unit + 1;
    const char *kept = arena_text(memory, words, length);
    return kept ? kept : "";
}

static bool same_readings(const card *made, const card_phase *x, const card_phase *y) {
    for (int m = 0; m < made->meter_count; m++)
        if (!text_equal(x->readings[m], y->readings[m]))
            return false;
    return text_equal(x->lights, y->lights);
}

// Phases in a row that read the same stand in one line.
static void add_phase(const card_source *from, card *made, card_phase *list, card_phase one) {
    card_phase *last = made->phase_count ? &list[made->phase_count - 1] : NULL;
    if (!last || !same_readings(made, last, &one)) {
        list[made->phase_count++] = one;
        return;
    }
    text t = text_make(from->memory->memory);
    text_all(&t, last->name, ", ", one.name, NULL);
    last->name = card_keep(from->memory, &t);
}

static void make_phases(const card_source *from, card *made) {
    const aircraft *a = from->aircraft;
    card_phase *list = arena_new(from->memory, (size_t)a->phase_count + 1, sizeof *list);
    for (int n = 0; list && n < a->phase_count; n++) {
        const outcome *o = from->phases[n];
        const char **readings =
            arena_new(from->memory, (size_t)made->meter_count + 1, sizeof *readings);
        if (!readings)
            return;
        for (int m = 0; m < made->meter_count; m++)
            readings[m] = "";
        int count = 0;
        for (int i = 0; i < o->indication_count && count < made->meter_count; i++)
            if (card_is_meter(&a->parts[o->indications[i].part]))
                readings[count++] = plain_reading(from->memory, &o->indications[i]);
        add_phase(from, made, list,
                  (card_phase){.name = a->phases[n].name,
                               .readings = readings,
                               .lights = lights_lit(from, o)});
    }
    made->phases = list;
}

// "voltmeter 28.0 V in cruise, 2026-03-02".
static const char *confirmed_words(const card_source *from) {
    const aircraft *a = from->aircraft;
    text t = text_make(from->memory->memory);
    for (int n = 0; n < a->phase_count; n++)
        for (int i = 0; i < a->phases[n].read_count; i++) {
            int part = a->phases[n].reads[i].part;
            const figure *f = &a->phases[n].reads[i].figure;
            // A phase that is like another has its readings too.
            bool told = n > 0 && i < a->phases[n - 1].read_count &&
                        a->phases[n - 1].reads[i].part == part &&
                        a->phases[n - 1].reads[i].figure.span.line == f->span.line;
            if (told)
                continue;
            text_all(&t, t.length ? "; " : "", card_part(from, part, true), " ", NULL);
            words_figure(&t, f->value, f->unit == UNIT_VOLT ? 1 : 0,
                         f->unit == UNIT_VOLT ? "V" : "A");
            text_all(&t, " in ", a->phases[n].name, f->where && *f->where ? ", " : "",
                     f->where ? f->where : "", NULL);
        }
    return card_keep(from->memory, &t);
}

// ---- what works with everything dead ------------------------------------------------------------
static const char *own_battery_of(const card_source *from, const function_outcome *f) {
    bool all = f->by_count > 0;
    for (int i = 0; i < f->by_count; i++)
        all = all && part_value_of(&from->aircraft->parts[f->by[i]], KEY_OWN_BATTERY);
    return all ? card_part(from, f->by[0], true) : "";
}

static const char *dead_words(const card_source *from) {
    const aircraft *a = from->aircraft;
    if (!from->dead)
        return "not worked out: this file has more sources than can be failed at a time.";
    text t = text_make(from->memory->memory);
    for (int i = 0; i < a->function_count; i++) {
        const function_outcome *f = &from->dead->functions[i];
        if (f->status == FUNCTION_LOST)
            continue;
        text_put(&t, t.length ? ", " : "");
        words_of_id(a->functions[i].name, &t);
        const char *own = own_battery_of(from, f);
        if (*own)
            text_all(&t, " (", own, ", own battery", NULL);
        if (f->status == FUNCTION_REDUCED)
            text_put(&t, *own ? ", in part" : " (in part");
        text_put(&t, *own || f->status == FUNCTION_REDUCED ? ")" : "");
    }
    text_put(&t, t.length ? "." : "nothing that the file names.");
    for (int i = 0; i < a->part_count; i++)
        if (a->parts[i].kind == KIND_ENGINE && from->usual->parts[i].works &&
            !from->dead->parts[i].works)
            text_all(&t, " ", card_part(from, i, false), " stops: it needs volts.", NULL);
    return card_keep(from->memory, &t);
}

// ---- eaters -------------------------------------------------------------------------------------
static void take_eater(card *made, card_eater one) {
    int at = made->eater_count;
    while (at > 0 && made->eaters[at - 1].amps < one.amps)
        at--;
    if (at == CARD_EATERS)
        return;
    int last = made->eater_count < CARD_EATERS ? made->eater_count++ : CARD_EATERS - 1;
    for (int i = last; i > at; i--)
        made->eaters[i] = made->eaters[i - 1];
    made->eaters[at] = one;
}

static double amps_of(const aircraft *a, const figure *f) {
    double volts = f->at_unit == UNIT_VOLT && f->at > 0 ? f->at : a->nominal;
    return f->unit == UNIT_WATT ? f->value / volts : f->value;
}

// Behind a converter the same power is another current: what is drawn from the bus counts.
static double bus_amps(const aircraft *a, const part *p, const figure *f) {
    const reference_list *fed = part_references(p, KEY_FROM);
    if (!fed || fed->count != 1 || fed->items[0].part < 0)
        return amps_of(a, f);
    const part *converter = &a->parts[fed->items[0].part];
    const figure *volts = part_figure(converter, KEY_VALUE);
    const figure *efficiency = part_figure(converter, KEY_EFFICIENCY);
    if (converter->kind != KIND_CONVERTER || !volts || !efficiency)
        return amps_of(a, f);
    double watts = f->unit == UNIT_WATT ? f->value : f->value * volts->value;
    return watts / (a->nominal * efficiency->value);
}

// What draws most while it is in use, at nominal volts. What turns the engine isn't used in flight.
static void make_eaters(const card_source *from, card *made) {
    const aircraft *a = from->aircraft;
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        const figure *draw = p->electric && kind_class(p->kind) == CLASS_ITEM ? part_draw(p) : NULL;
        if (!draw || (p->fitted & (FITTED_ABSENT | FITTED_INOPERATIVE)) ||
            part_value_of(p, KEY_TURNS) || (draw->unit != UNIT_AMP && draw->unit != UNIT_WATT))
            continue;
        const figure *sends = part_figure(p, KEY_TRANSMIT);
        bool sending = sends && amps_of(a, sends) > amps_of(a, draw);
        double amps = bus_amps(a, p, sending ? sends : draw);
        if (made->eater_count == CARD_EATERS && made->eaters[CARD_EATERS - 1].amps >= amps)
            continue;
        text t = text_make(from->memory->memory);
        text_all(&t, card_part(from, i, false), sending ? ", transmitting" : "",
                 p->kind == KIND_MOTOR ? ", while it runs" : "", NULL);
        take_eater(made, (card_eater){.name = card_keep(from->memory, &t),
                                      .amps = amps,
                                      .basis = (sending ? sends : draw)->basis});
    }
}

// ---- fading -------------------------------------------------------------------------------------
typedef struct limit {
    int part;
    double volts;
    bool sends, assumed;
} limit;

static int by_volts(const void *x, const void *y, const void *ctx) {
    (void)ctx;
    const limit *a = x;
    const limit *b = y;
    if (a->volts != b->volts)
        return a->volts > b->volts ? -1 : 1;
    if (a->assumed != b->assumed)
        return a->assumed ? 1 : -1;
    return (int)b->sends - (int)a->sends;
}

static int take_limit(limit *list, int count, int which, const figure *f, bool sends) {
    if (!f)
        return count;
    list[count] = (limit){which, f->value, sends, f->basis == BASIS_ASSUMED};
    return count + 1;
}

static const char *limit_names(const card_source *from, const limit *list, int count) {
    int assumed = 0;
    text t = text_make(from->memory->memory);
    for (int i = 0; i < count; i++) {
        assumed += list[i].assumed;
        if (list[i].assumed)
            continue;
        bool more = i + 1 < count && !list[i + 1].assumed && list[i + 1].sends;
        text_all(&t, t.length ? ", " : "", card_part(from, list[i].part, t.length > 0),
                 list[i].sends && !more ? " transmitting" : "", NULL);
    }
    if (assumed) {
        bool more = t.length > 0;
        text_put(&t, more ? ", and " : "");
        text_int(&t, assumed);
        text_put(&t, more ? " more, assumed" : assumed > 1 ? " items, assumed" : " item, assumed");
    }
    return card_keep(from->memory, &t);
}

// Of what is in use in the usual phase, by the limits that the file gives or that are assumed.
static void make_fading(const card_source *from, card *made) {
    const aircraft *a = from->aircraft;
    limit *list = arena_new(from->memory, 2 * (size_t)a->part_count + 1, sizeof *list);
    card_fading *told = arena_new(from->memory, 2 * (size_t)a->part_count + 1, sizeof *told);
    if (!list || !told)
        return;
    int count = 0;
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        item_status s = from->usual->parts[i].status;
        if (!p->electric || p->section != SECTION_PARTS || (s != ITEM_ON && s != ITEM_WEAK))
            continue;
        count = take_limit(list, count, i, part_figure(p, KEY_TRANSMITS_ABOVE), true);
        count = take_limit(list, count, i, part_figure(p, KEY_WORKS_ABOVE), false);
    }
    stable_sort(list, (size_t)count, sizeof *list, NULL, by_volts, NULL);
    for (int i = 0; i < count;) {
        int end = i + 1;
        while (end < count && list[end].volts == list[i].volts)
            end++;
        told[made->fading_count++] = (card_fading){.names = limit_names(from, list + i, end - i),
                                                   .volts = list[i].volts,
                                                   .assumed = list[i].assumed};
        i = end;
    }
    made->fading = told;
}

// ---- the rest -----------------------------------------------------------------------------------
static void put_share(text *t, int count, const char *words) {
    if (count == 0)
        return;
    text_put(t, t->length ? ", " : "");
    text_int(t, count);
    text_all(t, " ", words, NULL);
}

static const char *count_words(const card_source *from) {
    const int *basis = from->usual->basis;
    text t = text_make(from->memory->memory);
    put_share(&t, basis[BASIS_ASSUMED], "assumed");
    put_share(&t, basis[BASIS_GUESS], "guessed");
    put_share(&t, basis[BASIS_UNSTATED], "unstated");
    put_share(&t, basis[BASIS_BOOK], "book");
    put_share(&t, basis[BASIS_MEASURED], "measured");
    text_put(&t, t.length ? "; of " : "none of ");
    text_int(&t, outcome_basis_total(from->usual));
    text_put(&t, " figures.");
    return card_keep(from->memory, &t);
}

static const char *handbook_words(const card_source *from) {
    const aircraft *a = from->aircraft;
    text t = text_make(from->memory->memory);
    for (int i = 0; i < a->part_count; i++) {
        const char *page = part_text(&a->parts[i], KEY_HANDBOOK);
        if (!page || a->parts[i].implied == IMPLIED_WIRE)
            continue;
        text_all(&t, t.length ? "; " : "", a->parts[i].label, " ", page, NULL);
    }
    return card_keep(from->memory, &t);
}

static void make_notes(const card_source *from, card *made) {
    const aircraft *a = from->aircraft;
    const char **list = arena_new(from->memory, (size_t)a->part_count + 1, sizeof *list);
    for (int i = 0; list && i < a->part_count; i++) {
        const char *rests = part_text(&a->parts[i], KEY_RESTS);
        if (a->parts[i].kind != KIND_RELAY || !rests || strcmp(rests, "closed") != 0)
            continue;
        text t = text_make(from->memory->memory);
        text_all(&t, card_part(from, i, false),
                 " rests closed: with its coil lost, what it feeds stays on.", NULL);
        list[made->note_count++] = card_keep(from->memory, &t);
    }
    made->notes = list;
}

static const char *paper_of(const aircraft *a, const char *key) {
    for (int i = 0; i < a->paper_count; i++)
        if (strcmp(a->papers[i].key, key) == 0)
            return a->papers[i].value;
    return "";
}

static const char *hash_words(const card_source *from) {
    char shown[REVISION_SIZE];
    aircraft_revision(from->aircraft, shown);
    return copied(from->memory, shown);
}

// The first of what must stay that has such a time in the low case, -1: none within the run.
static int first_of(const endurance *e, const double *times, int function_count) {
    int first = -1;
    for (int i = 0; i < function_count; i++)
        if (e->must_stay[i] && e->function_counts[i] && times[i] >= 0 &&
            (first < 0 || times[i] < times[first]))
            first = i;
    return first;
}

// No minutes are promised: it takes less than so many. Where nothing goes, no more is said.
static void make_lasts(const card_source *from, card *made) {
    const aircraft *a = from->aircraft;
    made->lasts = made->goes_first = "";
    if (!from->lasts)
        return;
    const endurance_times *low = &from->lasts->of[ENDURANCE_LOW];
    const double *times = low->reduced;  // or lost: the same question as `endurance` leads with
    int first = first_of(from->lasts, times, a->function_count);
    if (first < 0)
        return;
    made->lost = low->functions[first] >= 0 && low->functions[first] <= times[first];
    made->goes_first = a->functions[first].name;
    made->less_than = 1 + (int)(times[first] / 60.0);
    text t = text_make(from->memory->memory);
    text_all(&t, "Source lost in ", made->phase, ", nothing shed: ", NULL);
    words_of_id(made->goes_first, &t);
    text_put(&t, made->lost ? " is lost in less than " : " is reduced in less than ");
    text_int(&t, made->less_than);
    text_all(&t, " min, low case, if the battery passed its capacity test on ",
             *made->capacity_test ? made->capacity_test : "____________", ".", NULL);
    made->lasts = card_keep(from->memory, &t);
}

status card_make(const card_source *from, card *made) {
    const aircraft *a = from->aircraft;
    bus_map map;
    status r = bus_map_make(a, from->memory, &map);
    if (r != STATUS_OK)
        return r;
    *made = (card){.aircraft = a,
                   .name = copied(from->memory, a->name && *a->name ? a->name : "Aeroplane"),
                   .tail = copied(from->memory, a->tail),
                   .equipment_date = paper_of(a, "equipment-list"),
                   .capacity_test = paper_of(a, "capacity-test"),
                   .hash = hash_words(from),
                   .phase = a->phases[from->usual->state.phase].name,
                   .dead = dead_words(from),
                   .counts = count_words(from),
                   .handbook = handbook_words(from),
                   .confirmed = confirmed_words(from)};
    card_make_meters(from, made);
    make_phases(from, made);
    make_eaters(from, made);
    make_fading(from, made);
    make_notes(from, made);
    make_lasts(from, made);
    card_make_breakers(from, &map, made);
    card_make_feeds(from, &map, made);
    return from->memory->failed ? STATUS_NO_MEMORY : STATUS_OK;
}
