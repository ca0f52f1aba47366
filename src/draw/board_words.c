#include "draw/board_words.h"

#include <string.h>

#include "base/number.h"
#include "model/part_words.h"

const char *words_keep(arena *memory, text *t) {
    const char *copy = t->failed ? NULL : arena_text(memory, text_get(t), t->length);
    if (!copy)
        memory->failed = true;
    text_free(t);
    return copy ? copy : "";
}

const char *words_join(arena *memory, const char *const parts[], int count) {
    text t = text_make(memory->memory);
    for (int i = 0; i < count; i++)
        text_put(&t, parts[i]);
    return words_keep(memory, &t);
}

static void raise_first(text *t) {
    if (t->length && t->data[0] >= 'a' && t->data[0] <= 'z')
        t->data[0] = (char)(t->data[0] - 'a' + 'A');
}

const char *words_part(const board *b, int which) {
    text t = text_make(b->memory->memory);
    part_name(b->aircraft, which, &t);
    if (!t.failed)
        raise_first(&t);
    return words_keep(b->memory, &t);
}

// Equal but for the case of the first letter.
static bool words_same(const char *a, const char *b) {
    char x = *a >= 'A' && *a <= 'Z' ? (char)(*a - 'A' + 'a') : *a;
    char y = *b >= 'A' && *b <= 'Z' ? (char)(*b - 'A' + 'a') : *b;
    return x == y && (x == 0 || strcmp(a + 1, b + 1) == 0);
}

const char *words_full(const board *b, int which) {
    const char *name = words_part(b, which), *label = b->aircraft->parts[which].label;
    const part *p = &b->aircraft->parts[which];
    if (strcmp(p->label, p->id) == 0 || strstr(name, label) || words_same(name, label) ||
        p->kind == KIND_BUS)
        return name;
    return words_join(b->memory, (const char *const[]){name, ", ", label}, 3);
}

const char *words_label(const board *b, int which) {
    text t = text_make(b->memory->memory);
    part_short_name(b->aircraft, which, &t);
    return words_keep(b->memory, &t);
}

const char *words_strip(const board *b, int which) {
    const strip *s = &b->topology->strips[which];
    text t = text_make(b->memory->memory);
    if (s->part >= 0 && b->aircraft->parts[s->part].kind == KIND_BUS) {
        part_sentence_name(b->aircraft, s->part, &t);
    } else if (s->part >= 0) {
        bool battery = b->aircraft->parts[s->part].kind == KIND_BATTERY;
        text_put(&t, battery ? "Hot line" : "");
        if (!battery) {
            part_sentence_name(b->aircraft, s->part, &t);
            text_put(&t, " terminal");
        }
    } else if (s->after >= 0) {
        text_put(&t, "Behind ");
        part_name(b->aircraft, s->after, &t);
    } else {
        text_put(&t, "Common point");
    }
    return words_keep(b->memory, &t);
}

const char *words_fixed(arena *memory, double value, int decimals, const char *sign) {
    text t = text_make(memory->memory);
    double shown = value < 0 ? -value : value;
    char digits[NUMBER_ROOM];
    number_write_fixed(digits, shown, decimals);
    bool zero = strspn(digits, "0.") == strlen(digits);
    if (value < 0 && !zero)
        text_put(&t, "\xE2\x88\x92");
    text_put(&t, digits);
    text_put(&t, sign);
    return words_keep(memory, &t);
}

const char *words_tenths(arena *memory, int tenths) {
    return words_fixed(memory, tenths / 10.0, 1, "");
}

const char *words_small_amps(arena *memory, double amps) {
    double milli = (amps < 0 ? -amps : amps) * 1000;
    return words_fixed(memory, milli, milli < 1 ? 1 : 0, "\xC2\xA0mA");
}

const char *words_volts(arena *memory, double volts) {
    return words_fixed(memory, volts, 1, "\xC2\xA0V");
}

const char *words_rating(const board *b, int which) {
    const part *p = &b->aircraft->parts[which];
    if (p->kind != KIND_BREAKER && p->kind != KIND_FUSE && p->kind != KIND_LIMITER)
        return "";
    char digits[NUMBER_ROOM];
    number_write_shortest(digits, part_number(p, KEY_VALUE, 0));
    return words_join(b->memory, (const char *const[]){digits}, 1);
}

static char lower(char c) { return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c; }

static bool breaks(char c) { return c == ' ' || c == '-' || c == 0; }

// One word as an abbreviation of another: same first letter, its letters in the other's order.
static bool shortens(const char *word, const char *of) {
    if (lower(*word) != lower(*of))
        return false;
    for (; !breaks(*word); of++) {
        if (breaks(*of))
            return false;
        if (lower(*word) == lower(*of))
            word++;
    }
    return true;
}

static const char *next_word(const char *s) {
    while (!breaks(*s))
        s++;
    while (*s && breaks(*s))
        s++;
    return s;
}

bool words_alike(const char *label, const char *name) {
    for (const char *word = label; *word; word = next_word(word)) {
        bool found = false;
        for (const char *of = name; *of && !found; of = next_word(of))
            found = shortens(word, of);
        if (!found)
            return false;
    }
    return *label != 0;
}

// ---- rows ----------------------------------------
static const char *join_name(const board *b, const row *r) {
    const power_graph *g = b->topology->graph;
    for (int i = g->first[r->point]; i < g->first[r->point + 1]; i++) {
        int k = g->at[i];
        if (graph_is_edge(g, k) && k != r->last)
            return words_join(
                b->memory,
                (const char *const[]){"Joins the line of ", words_label(b, g->edges[k].part)}, 2);
    }
    return "Joins the line above";
}

// Words in capitals, as they stand beside a light: its value says that it is one.
static bool placard(const char *s) {
    for (; *s; s++)
        if (*s >= 'a' && *s <= 'z')
            return false;
    return true;
}

static const char *row_name(const board *b, const row *r) {
    const char *before = "", *after = "", *name = "";
    switch (r->end) {
    case END_STRIP: before = "To "; break;
    case END_COIL: before = "Coil of "; break;
    case END_FIELD: before = "Field of "; break;
    case END_SENSE: before = "Sense wire of "; break;
    case END_SECOND: after = ", second feed"; break;
    case END_JOIN: return join_name(b, r);
    case END_GROUND: return "To the airframe";
    default: break;
    }
    bool light = r->end == END_ITEM && b->aircraft->parts[r->part].kind == KIND_LIGHT;
    if (r->end == END_STRIP)
        name = b->strips[r->part].name;
    else if (r->end == END_COIL || r->end == END_FIELD || r->end == END_SENSE ||
             (light && placard(words_label(b, r->part))))
        name = words_label(b, r->part);
    else if (r->part >= 0)
        name = words_part(b, r->part);
    return words_join(b->memory, (const char *const[]){before, name, after}, 3);
}

static void add_note(text *note, const char *word, const char *label) {
    if (note->length)
        text_put(note, ", ");
    text_all(note, word, label, NULL);
}

// "left starter contactor" of "Left starter": its name is told by its symbol.
static bool own_path(const char *label, const char *name) {
    static const char *const kinds[] = {" contactor", " relay", " switch", " breaker", " fuse"};
    size_t n = strlen(name);
    if (!n || lower(*label) != lower(*name) || strncmp(label + 1, name + 1, n - 1) != 0)
        return false;
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (strcmp(label + n, kinds[i]) == 0)
            return true;
    return false;
}

static void note_edge(const board *b, const row_view *v, int edge, text *note) {
    const part *p = &b->aircraft->parts[b->topology->graph->edges[edge].part];
    const char *label = words_label(b, b->topology->graph->edges[edge].part);
    const row *r = &b->topology->rows[v - b->rows];
    bool same = edge != r->first && r->first >= 0 &&
                strcmp(label, words_label(b, b->topology->graph->edges[r->first].part)) == 0;
    if (words_alike(label, v->name) || own_path(label, v->name) || (same && note->length))
        return;
    const char *word = "by ";
    switch (p->kind) {
    case KIND_BREAKER: word = "on "; break;
    case KIND_FUSE: word = strstr(label, "fuse") ? "on " : "on fuse "; break;
    case KIND_LIMITER: word = strstr(label, "limiter") ? "on " : "on limiter "; break;
    case KIND_DIODE: word = strstr(label, "diode") ? "through " : "through diode "; break;
    case KIND_WIRE: word = "over "; break;
    case KIND_SHUNT:
    case KIND_RESISTOR: word = "through "; break;
    case KIND_SWITCH: word = "by "; break;
    default: break;
    }
    add_note(note, word, label);
    int contact = b->topology->graph->edges[edge].position;
    const positions *at = part_positions(p);
    if (contact >= 0 && at && contact < at->count)
        text_all(note, " at ", at->labels[contact], NULL);
    if (p->kind != KIND_BREAKER && *words_rating(b, b->topology->graph->edges[edge].part) &&
        edge != r->first)
        text_all(note, " ", words_rating(b, b->topology->graph->edges[edge].part),
                 "\xC2\xA0"
                 "A",
                 NULL);
}

static void write_title(const board *b, const row *r, row_view *v) {
    const power_graph *g = b->topology->graph;
    text t = text_make(b->memory->memory);
    text_put(&t, v->name);
    if (r->end == END_ITEM || r->end == END_SOURCE) {
        const char *full = words_full(b, r->part), *plain = words_part(b, r->part);
        if (strlen(plain) > strlen(v->name))
            text_put(&t, plain + strlen(v->name));
        if (strlen(full) > strlen(plain))
            text_put(&t, full + strlen(plain));
    }
    for (int i = 0; i < r->via_count; i++)
        text_all(&t, "; back through ", words_full(b, r->via[i]), NULL);
    const int edges[3] = {r->first, r->second, r->third};
    for (int i = 0; i < 3; i++) {
        if (edges[i] < 0)
            continue;
        int which = g->edges[edges[i]].part;
        text_all(&t, "; ", words_full(b, which), NULL);
        if (*words_rating(b, which))
            text_all(&t, " ", words_rating(b, which), " A", NULL);
        const char *word = board_path_word(b, edges[i]);
        if (*word)
            text_all(&t, " ", word, NULL);
    }
    if (*v->value)
        text_all(&t, "; ", v->value, v->numeric && v->tenths ? " A" : "", NULL);
    v->title = words_keep(b->memory, &t);
}

void words_row(const board *b, int which, row_view *v) {
    const row *r = &b->topology->rows[which];
    v->name = row_name(b, r);
    text note = text_make(b->memory->memory);
    if (r->first >= 0 && r->joint == JOINT_BAR && !(r->end == END_NOTHING && r->second < 0))
        note_edge(b, v, r->first, &note);
    if (r->second >= 0 && r->joint != JOINT_SECOND && !(r->end == END_NOTHING))
        note_edge(b, v, r->second, &note);
    if (r->third >= 0)
        note_edge(b, v, r->third, &note);
    if (r->field >= 0)
        add_note(&note, "field of ", words_label(b, r->field));
    for (int i = 0; i < r->via_count; i++)
        if (i)
            text_all(&note, " and ", words_label(b, r->via[i]), NULL);
        else
            add_note(&note, "back through ", words_label(b, r->via[i]));
    if (r->end == END_ITEM && b->outcome->parts[r->part].status == ITEM_NO_DATA)
        add_note(&note, "on, but no data", "");
    if (r->end == END_ITEM && b->outcome->parts[r->part].status == ITEM_WEAK)
        add_note(&note, "weak at ", words_volts(b->memory, b->outcome->parts[r->part].volts));
    v->note = words_keep(b->memory, &note);
    write_title(b, r, v);
}
