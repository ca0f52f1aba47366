// Endurance rests on the battery first, then on the largest draws: whatever of these nobody looked
// up is what to look up next.
#include "ask/check_weights.h"

#include "ask/state_question.h"
#include "base/stable_sort.h"
#include "report/figure_form.h"
#include "report/wrap.h"

enum { SHOWN_MOST = 8 };

static const double least_share = 0.005;  // less is 0 % in the answer

static bool is_open(const figure *f) {
    return f && (f->basis == BASIS_ASSUMED || f->basis == BASIS_GUESS);
}

static int by_share(const void *x, const void *y, const void *ctx) {
    (void)ctx;
    double p = ((const weight *)x)->share;
    double q = ((const weight *)y)->share;
    return (p < q) - (p > q);
}

// The phase with every source but the batteries gone. More sources than a state can fail are no
// aeroplane of this size; the first eight fail.
static void state_on_battery(const aircraft *a, int phase, state *s) {
    state_of_phase(a, phase, s);
    for (int i = 0; i < a->part_count; i++) {
        part_kind kind = a->parts[i].kind;
        if (kind == KIND_EXTERNAL_POWER)
            s->setting[i] = 0;
        else if ((kind == KIND_ALTERNATOR || kind == KIND_GENERATOR) &&
                 s->fault_count < STATE_FAULTS)
            s->faults[s->fault_count++] = (fault){i, FAULT_DEAD};
    }
}

static status list_batteries(const aircraft *a, arena *memory, weights *w) {
    static const part_key keys[] = {KEY_CAPACITY, KEY_RESISTANCE, KEY_CHARGE};
    enum { KEYS = sizeof keys / sizeof *keys };
    weight *list = arena_new(memory, (size_t)a->part_count * KEYS + 1, sizeof *list);
    if (!list)
        return STATUS_NO_MEMORY;
    for (int i = 0; i < a->part_count; i++) {
        if (a->parts[i].kind != KIND_BATTERY)
            continue;
        for (int k = 0; k < KEYS; k++) {
            const figure *f = part_figure(&a->parts[i], keys[k]);
            if (is_open(f))
                list[w->battery_count++] = (weight){i, key_word(keys[k]), f, 0, 0};
        }
    }
    w->batteries = list;
    return STATUS_OK;
}

// Volts at what feeds a field or coil: of several feeds the highest, as through diodes.
static double feed_volts(const outcome *o, const part *p, part_key from, double otherwise) {
    const reference_list *feeds = part_references(p, from);
    double most = 0;
    for (int i = 0; feeds && i < feeds->count; i++) {
        const reference *r = &feeds->items[i];
        double volts = 0;
        if (r->part >= 0)
            volts = r->terminal == TERMINAL_SELF ? o->parts[r->part].end_volts : otherwise;
        most = volts > most ? volts : most;
    }
    return most;
}

// What a part takes then by the figure `f` of `key`. Items are solved; fields and coils are plain
// resistances, so their figure goes with the volts of their feed.
static double amps_drawn(const outcome *o, int which, part_key key, const figure *f) {
    const aircraft *a = o->aircraft;
    const part *p = &a->parts[which];
    if (key == KEY_FIELD)
        return f->value * feed_volts(o, p, KEY_FIELD_FROM, a->nominal) / a->nominal;
    if (key == KEY_COIL)
        return !o->parts[which].energized
                   ? 0
                   : f->value * feed_volts(o, p, KEY_COIL_FROM, a->nominal) / a->nominal;
    return o->parts[which].status == ITEM_NONE ? 0 : o->parts[which].amps;
}

static const figure *drawing_figure(const part *p, part_key *key) {
    switch (p->kind) {
    case KIND_ALTERNATOR:
    case KIND_GENERATOR: *key = KEY_FIELD; return part_figure(p, KEY_FIELD);
    case KIND_RELAY:
    case KIND_CONTACTOR: *key = KEY_COIL; return part_figure(p, KEY_COIL);
    default: break;
    }
    const figure *f = part_draw(p);
    const part_value *v = part_value_of(p, KEY_VALUE);
    *key = v && f == &v->as.figure ? KEY_VALUE : KEY_AMPS;
    return f;
}

static status list_items(const outcome *o, const aircraft *a, arena *memory, weights *w) {
    weight *list = arena_new(memory, (size_t)a->part_count + 1, sizeof *list);
    weight *scratch = arena_new(memory, (size_t)a->part_count + 1, sizeof *list);
    if (!list || !scratch)
        return STATUS_NO_MEMORY;
    int found = 0;
    for (int i = 0; i < o->source_count; i++) {
        found += o->sources[i].battery;
        if (o->sources[i].battery && o->sources[i].amps > 0)
            w->amps += o->sources[i].amps;
    }
    w->several = found > 1;
    for (int i = 0; w->amps > 0 && i < a->part_count; i++) {
        part_key key;
        const figure *f = drawing_figure(&a->parts[i], &key);
        double amps = is_open(f) ? amps_drawn(o, i, key, f) : 0;
        if (amps < least_share * w->amps)
            continue;
        const char *name = key == KEY_VALUE ? kind_word(a->parts[i].kind) : key_word(key);
        list[w->item_count++] = (weight){i, name, f, amps, amps / w->amps};
    }
    stable_sort(list, (size_t)w->item_count, sizeof *list, scratch, by_share, NULL);
    w->items = list;
    return STATUS_OK;
}

status weights_find(solver *s, const aircraft *a, arena *memory, weights *w) {
    *w = (weights){.phase = phase_usual(a)};
    state asked = {.setting = arena_new(memory, (size_t)a->part_count + 1, sizeof(double))};
    if (!asked.setting)
        return STATUS_NO_MEMORY;
    state_on_battery(a, w->phase, &asked);
    outcome *o = NULL;
    status result = solver_outcome(s, &asked, (outcome_options){0}, &o);
    if (result == STATUS_OK)
        result = list_batteries(a, memory, w);
    if (result == STATUS_OK)
        result = list_items(o, a, memory, w);
    outcome_free(o);
    return result;
}

// ---- text ---------------------------------------------------------------------------------------

static void put_batteries(const aircraft *a, const weights *w, text *out) {
    for (int i = 0; i < w->battery_count;) {
        int which = w->batteries[i].part;
        size_t line = out->length;
        text words = text_make(out->memory);
        text_all(out, "  ", a->parts[which].id, NULL);
        for (const char *comma = ""; i < w->battery_count && w->batteries[i].part == which; i++) {
            const weight *x = &w->batteries[i];
            text_all(&words, comma, x->key, " ", NULL);
            figure_form(x->figure->value, x->figure->unit, &words);
            text_all(&words, " (", basis_word(x->figure->basis), ")", NULL);
            comma = ", ";
        }
        text_put(&words, ": how long it lasts rests on this first");
        wrap_words(out, line, 20, text_get(&words));
        out->failed = out->failed || words.failed;
        text_free(&words);
    }
}

static void put_items(const aircraft *a, const weights *w, text *out) {
    text words = text_make(out->memory);
    text_all(&words, "In ", a->phases[w->phase].name,
             w->several ? " with every source but the batteries lost, "
                        : " with every source but the battery lost, ",
             NULL);
    text_put(&words, w->item_count ? "of the load of " : "none of the load of ");
    text_digits(&words, w->amps, 3);
    text_put(&words, w->item_count ? " A these shares are assumed or guessed:"
                                   : " A is assumed or guessed.");
    wrap_words(out, out->length, 2, text_get(&words));
    out->failed = out->failed || words.failed;
    text_free(&words);
    double rest = 0;
    for (int i = 0; i < w->item_count; i++) {
        const weight *x = &w->items[i];
        if (i >= SHOWN_MOST) {
            rest += x->share;
            continue;
        }
        size_t line = out->length;
        text share = text_make(out->memory);
        text_fixed(&share, 100 * x->share, 0);
        text_put(&share, " %");
        wrap_right(out, line, 2, 5, text_get(&share));
        text_all(out, "  ", a->parts[x->part].id, ": ", NULL);
        if (text_equal(x->key, key_word(KEY_FIELD)) || text_equal(x->key, key_word(KEY_COIL)))
            text_all(out, x->key, " ", NULL);
        figure_form(x->figure->value, x->figure->unit, out);
        text_all(out, " ", basis_word(x->figure->basis), "\n", NULL);
        out->failed = out->failed || share.failed;
        text_free(&share);
    }
    if (w->item_count > SHOWN_MOST) {
        size_t line = out->length;
        text share = text_make(out->memory);
        text_fixed(&share, 100 * rest, 0);
        text_put(&share, " %");
        wrap_right(out, line, 2, 5, text_get(&share));
        text_put(out, "  ");
        text_int(out, w->item_count - SHOWN_MOST);
        text_put(out, " more\n");
        out->failed = out->failed || share.failed;
        text_free(&share);
    }
}

void weights_text(const aircraft *a, const weights *w, text *out) {
    if (!w->battery_count && !(w->amps > 0))
        return;
    text_put(out, "\nWhich of these matter most\n");
    put_batteries(a, w, out);
    if (w->amps > 0)
        put_items(a, w, out);
}

// ---- JSON ---------------------------------------------------------------------------------------

static void json_weights(const aircraft *a, const weight *list, int count, text *out) {
    text_char(out, '[');
    for (int i = 0; i < count; i++) {
        const weight *x = &list[i];
        text_put(out, i ? ",{" : "{");
        json_key(out, "part");
        json_string(out, a->parts[x->part].id);
        text_char(out, ',');
        json_key(out, "key");
        json_string(out, x->key);
        text_char(out, ',');
        json_key(out, "basis");
        json_string(out, basis_word(x->figure->basis));
        text_char(out, ',');
        json_key(out, "value");
        json_number(out, x->figure->value);
        if (x->amps > 0) {
            text_char(out, ',');
            json_key(out, "amps");
            json_number(out, x->amps);
            text_char(out, ',');
            json_key(out, "share");
            json_number(out, x->share);
        }
        text_char(out, '}');
    }
    text_char(out, ']');
}

void weights_json(const aircraft *a, const weights *w, text *out) {
    text_char(out, '{');
    json_key(out, "phase");
    json_string(out, a->phases[w->phase].name);
    text_char(out, ',');
    json_key(out, "amps");
    json_number(out, w->amps);
    text_char(out, ',');
    json_key(out, "batteries");
    json_weights(a, w->batteries, w->battery_count, out);
    text_char(out, ',');
    json_key(out, "items");
    json_weights(a, w->items, w->item_count, out);
    text_char(out, '}');
}
