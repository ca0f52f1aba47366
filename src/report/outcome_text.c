// The answer to one state as a page of plain text. The sentence first, what the pilot sees
// second; an instructor reads it aloud, so every part of it is words or a figure rounded to
// what a gauge shows.
#include <math.h>
#include <string.h>

#include "model/part_words.h"
#include "report/outcome_parts.h"
#include "report/wrap.h"

// Columns of the lists.
enum { NAME_AT = 2, REASON_AT = 6, NAME_LEAST = 16, NAME_MOST = 22, READING_WIDTH = 13 };

typedef struct page {
    const outcome_report *report;
    const outcome *now;
    const aircraft *aircraft;
    text *out;
    text words;  // where a line is put together
} page;

static const char *name(page *p, int which) {
    p->words.length = 0;
    part_short_name(p->aircraft, which, &p->words);
    return text_get(&p->words);
}

static void start_words(page *p) {
    p->words.length = 0;
    text_put(&p->words, "");
}

// Writes the words put together, wrapped, at an indent.
static void put_words(page *p, size_t line, size_t indent) {
    wrap_words(p->out, line, indent, text_get(&p->words));
}

// ---- head ---------------------------------------------------------------------------------------
static void head(page *p) {
    const aircraft *a = p->aircraft;
    start_words(p);
    text *t = &p->words;
    text_put(t, a->name && a->name[0] ? a->name : "Aeroplane without a name");
    if (a->tail && a->tail[0])
        text_all(t, " (", a->tail, ")", NULL);
    text_all(t, ", ", a->phases[p->now->state.phase].name, ". ", NULL);
    size_t before = t->length;
    outcome_deviations(p->now, t);
    if (t->length > before && t->data[before] >= 'a' && t->data[before] <= 'z')
        t->data[before] = (char)(t->data[before] - 'a' + 'A');
    text_put(t, t->length > before ? "." : "As the phase says, nothing failed.");
    if (p->report->before_trip)
        text_put(t, " The first instant: no breaker has opened yet.");
    put_words(p, p->out->length, 0);
    start_words(p);
    assumed_words(p->now->basis, t);  // first, as a reader must know it before all figures
    put_words(p, p->out->length, 0);
    text_char(p->out, '\n');
    wrap_words(p->out, p->out->length, 0, p->now->sentence ? p->now->sentence : "");
    for (int i = 0; i < p->report->note_count; i++)
        wrap_words(p->out, p->out->length, 0, p->report->notes[i]);
}

// ---- what the pilot sees ------------------------------------------------------------------------
static bool is_lamp(const aircraft *a, const indication *i) {
    return a->parts[i->part].kind == KIND_LIGHT || a->parts[i->part].kind == KIND_SOUNDER;
}

// A light that is out, would come on if it had to, and is out normally: no news.
static bool quiet(const aircraft *a, const indication *i) {
    return is_lamp(a, i) && i->valid && i->figure == 0 && !i->soon &&
           (!i->normal_valid || i->normal == 0);
}

// Column of the readings: behind the longest name there is.
static size_t reading_column(page *p) {
    size_t longest = NAME_LEAST;
    for (int i = 0; i < p->now->indication_count; i++) {
        size_t wide = strlen(name(p, p->now->indications[i].part));
        if (wide > longest && wide <= NAME_MOST)
            longest = wide;
    }
    return NAME_AT + longest + 2;
}

static void seen(page *p) {
    const outcome *o = p->now;
    if (o->indication_count == 0)
        return;
    size_t reading_at = reading_column(p), says_at = reading_at + READING_WIDTH;
    wrap_heading(p->out, "What the pilot sees");
    int still = 0;
    const indication *before = NULL;
    for (int i = 0; i < o->indication_count; i++) {
        const indication *one = &o->indications[i];
        if (quiet(p->aircraft, one)) {
            still++;
            continue;
        }
        size_t line = p->out->length;
        wrap_left(p->out, line, NAME_AT, name(p, one->part));
        wrap_left(p->out, line, reading_at, one->reading);
        bool again = before && text_equal(before->says, one->says);
        wrap_words(p->out, line, says_at, again ? "as above." : one->says);
        before = one;
    }
    if (!still)
        return;
    start_words(p);
    for (int i = 0, n = 0; i < o->indication_count; i++) {
        if (!quiet(p->aircraft, &o->indications[i]))
            continue;
        text_put(&p->words, n++ ? ", " : "");
        part_short_name(p->aircraft, o->indications[i].part, &p->words);
    }
    text_char(&p->words, '.');
    size_t line = p->out->length;
    wrap_left(p->out, line, NAME_AT, "out or silent:");
    put_words(p, line, reading_at);
}

// ---- items --------------------------------------------------------------------------------------
typedef bool (*choose)(const part_outcome *p);

static bool is_lost(const part_outcome *p) {
    return p->status == ITEM_OFF && p->base_status != ITEM_OFF;
}
static bool is_dead_anyway(const part_outcome *p) {
    bool gone = p->status == ITEM_OFF || p->status == ITEM_NO_DATA;
    return gone && p->status == p->base_status;
}
static bool is_weak(const part_outcome *p) { return p->status == ITEM_WEAK; }
static bool is_blind(const part_outcome *p) {
    return p->status == ITEM_NO_DATA && p->base_status != ITEM_NO_DATA;
}

static int count(const page *p, choose chosen) {
    int n = 0;
    for (int i = 0; i < p->aircraft->part_count; i++)
        n += chosen(&p->now->parts[i]);
    return n;
}

static const char *reason_of(const part_outcome *p) { return p->reason ? p->reason : ""; }

// Items that one reason took are said together, in the place of the first.
static bool said_before(const page *p, int which, choose chosen) {
    for (int i = 0; i < which; i++)
        if (chosen(&p->now->parts[i]) &&
            text_equal(reason_of(&p->now->parts[i]), reason_of(&p->now->parts[which])))
            return true;
    return false;
}

static void items_of_reason(page *p, int first, choose chosen, bool volts) {
    const char *reason = reason_of(&p->now->parts[first]);
    int n = 0;
    start_words(p);
    for (int i = first; i < p->aircraft->part_count; i++) {
        const part_outcome *one = &p->now->parts[i];
        if (!chosen(one) || !text_equal(reason_of(one), reason))
            continue;
        text_put(&p->words, n++ ? ", " : "");
        part_short_name(p->aircraft, i, &p->words);
        if (volts) {
            text_char(&p->words, ' ');
            words_figure(&p->words, one->volts, 1, "V");
        }
    }
    text_char(&p->words, reason[0] ? ':' : '.');
    put_words(p, p->out->length, NAME_AT);
    if (!reason[0])
        return;
    start_words(p);
    text_put(&p->words, reason);
    if (reason[strlen(reason) - 1] != '.')
        text_char(&p->words, '.');
    put_words(p, p->out->length, REASON_AT);
}

static void items_with_reason(page *p, const char *heading, choose chosen, bool volts) {
    if (!count(p, chosen))
        return;
    wrap_heading(p->out, heading);
    for (int i = 0; i < p->aircraft->part_count; i++)
        if (chosen(&p->now->parts[i]) && !said_before(p, i, chosen))
            items_of_reason(p, i, chosen, volts);
}

static void items_in_a_row(page *p, const char *heading, choose chosen) {
    if (!count(p, chosen))
        return;
    wrap_heading(p->out, heading);
    start_words(p);
    for (int i = 0, n = 0; i < p->aircraft->part_count; i++) {
        if (!chosen(&p->now->parts[i]))
            continue;
        text_put(&p->words, n++ ? ", " : "");
        part_short_name(p->aircraft, i, &p->words);
    }
    text_char(&p->words, '.');
    put_words(p, p->out->length, NAME_AT);
}

// ---- functions ----------------------------------------------------------------------------------
static void function_name(page *p, int which, bool providers) {
    const function_outcome *f = &p->now->functions[which];
    const char *id = p->aircraft->functions[which].name;
    words_of_id(id, &p->words);
    bool itself = f->by_count == 1 && text_equal(p->aircraft->parts[f->by[0]].id, id);
    if (!providers || f->by_count == 0 || itself)
        return;
    text_put(&p->words, " (");
    for (int i = 0; i < f->by_count; i++) {
        text_put(&p->words, i ? ", " : "");
        part_short_name(p->aircraft, f->by[i], &p->words);
    }
    text_char(&p->words, ')');
}

static void functions_of(page *p, function_status s) {
    int n = 0;
    start_words(p);
    for (int i = 0; i < p->aircraft->function_count; i++) {
        if (p->now->functions[i].status != s)
            continue;
        text_put(&p->words, n++ ? "; " : "");
        function_name(p, i, s != FUNCTION_LOST);
    }
    if (!n)
        return;
    text_char(&p->words, '.');
    size_t line = p->out->length;
    wrap_left(p->out, line, NAME_AT, function_status_word(s));
    put_words(p, line, 11);
}

static void functions(page *p) {
    if (p->aircraft->function_count == 0)
        return;
    wrap_heading(p->out, "Functions (and what still gives them)");
    functions_of(p, FUNCTION_LOST);
    functions_of(p, FUNCTION_REDUCED);
    functions_of(p, FUNCTION_KEPT);
}

// ---- buses and sources --------------------------------------------------------------------------
static void figure_right(page *p, size_t line, size_t from, double value, int decimals) {
    start_words(p);
    words_figure(&p->words, value, decimals, "");
    wrap_right(p->out, line, from, 8, text_get(&p->words));
}

static void bus_volts(page *p, size_t line, size_t from, const part_outcome *bus) {
    if (bus->live)
        figure_right(p, line, from, bus->volts, 1);
    else
        wrap_right(p->out, line, from, 8, "dead");
}

static void buses(page *p) {
    bool any = false;
    for (int i = 0; i < p->aircraft->part_count; i++) {
        if (p->aircraft->parts[i].kind != KIND_BUS)
            continue;
        if (!any) {
            size_t line = p->out->length + 1;
            text_put(p->out, "\nBuses");
            wrap_right(p->out, line, 26, 8, "V now");
            wrap_right(p->out, line, 36, 13, "V normal here");
            text_char(p->out, '\n');
        }
        any = true;
        const part_outcome *now = &p->now->parts[i];
        size_t line = p->out->length;
        wrap_left(p->out, line, NAME_AT, name(p, i));
        bus_volts(p, line, 26, now);
        if (p->report->base)
            bus_volts(p, line, 41, &p->report->base->parts[i]);
        // What swings drains a battery for half of its cycle at most: the swing alone is said.
        if (now->highest - now->lowest > 0.05) {
            start_words(p);
            text_put(&p->words, "swings ");
            words_figure(&p->words, now->lowest, 1, "");
            text_put(&p->words, " to ");
            words_figure(&p->words, now->highest, 1, "V");
            wrap_left(p->out, line, 52, text_get(&p->words));
        } else if (now->live && now->draining) {
            wrap_left(p->out, line, 52, "battery only");
        }
        text_char(p->out, '\n');
    }
}

static void sources(page *p) {
    if (p->now->source_count == 0)
        return;
    size_t line = p->out->length + 1;
    text_put(p->out, "\nSources");
    wrap_right(p->out, line, 26, 8, "V");
    wrap_right(p->out, line, 36, 8, "A");
    text_char(p->out, '\n');
    for (int i = 0; i < p->now->source_count; i++) {
        const source_outcome *s = &p->now->sources[i];
        // A plug with no cart on it is no source.
        if (p->aircraft->parts[s->part].kind == KIND_EXTERNAL_POWER && s->mode == SOURCE_OFF)
            continue;
        line = p->out->length;
        wrap_left(p->out, line, NAME_AT, name(p, s->part));
        figure_right(p, line, 26, s->volts, 1);
        figure_right(p, line, 36, s->battery ? fabs(s->amps) : s->amps, fabs(s->amps) < 10 ? 1 : 0);
        start_words(p);
        bool rests = s->battery && fabs(s->amps) < 0.05;
        bool gone = s->battery && !p->now->parts[s->part].closed;
        text_put(&p->words, gone    ? "has disconnected itself"
                            : rests ? "at rest"
                                    : source_mode_word(s->mode));
        if (source_residual_only(p->aircraft, s))
            text_put(&p->words, ", residual volts only: nothing useful");
        if (s->battery) {
            text_put(&p->words, ", charge ");
            words_figure(&p->words, s->charge * 100, 0, "%");
        }
        put_words(p, line, 48);
    }
}

// ---- breakers -----------------------------------------------------------------------------------
static void breaker_words(page *p, int which) {
    const part *b = &p->aircraft->parts[which];
    text *t = &p->words;
    part_name(p->aircraft, which, t);
    const figure *rating = part_figure(b, KEY_VALUE);
    if (rating) {
        text_put(t, ", ");
        text_number(t, rating->value);
        text_put(t, " A");
    }
    if (b->row > 0 || b->number > 0 || (b->panel && b->panel[0])) {
        text_put(t, ", ");
        place_words(b, t);
    } else if (b->reach == REACH_TOOLS) {
        text_put(t, part_value_of(b, KEY_REACH) ? ", out of reach" : ", no place written");
    }
}

static void reset_words(page *p, int which) {
    const part *b = &p->aircraft->parts[which];
    text page_words = text_make(p->words.memory);
    handbook_page(b, &page_words);
    if (page_words.length)
        text_all(&p->words, ". Your handbook page ", text_get(&page_words), " decides.", NULL);
    else
        text_put(&p->words, ". It stays out.");
    text_free(&page_words);
}

// UL/CSA 248-14: a fuse must open within an hour at 135 % of its rating; no breaker promises that.
static bool fuse_opens(const part *p, double amps) {
    return p->kind == KIND_FUSE && amps >= 1.35 * part_number(p, KEY_VALUE, 5.0);
}

// Those that are open because the question says so: as for the others, who may reset them.
static void open_by_fault(page *p) {
    const state *s = &p->now->state;
    bool first = true;
    for (int i = 0; i < s->fault_count; i++) {
        if (s->faults[i].kind != FAULT_TRIPPED && s->faults[i].kind != FAULT_BLOWN)
            continue;
        if (first)
            wrap_heading(p->out, "Open");
        first = false;
        start_words(p);
        breaker_words(p, s->faults[i].part);
        reset_words(p, s->faults[i].part);
        put_words(p, p->out->length, NAME_AT);
    }
}

static bool any_open(const outcome *o) {
    bool any = o->trip_count > 0;
    for (int i = 0; i < o->state.fault_count; i++)
        any = any || o->state.faults[i].kind == FAULT_TRIPPED ||
              o->state.faults[i].kind == FAULT_BLOWN;
    return any;
}

static void opened(page *p) {
    const outcome *o = p->now;
    if (o->trip_count > 0)
        wrap_heading(p->out, "Opened by their own current, in this order");
    for (int i = 0; i < o->trip_count; i++) {
        size_t line = p->out->length;
        start_words(p);
        text_int(&p->words, i + 1);
        text_char(&p->words, '.');
        wrap_left(p->out, line, NAME_AT, text_get(&p->words));
        start_words(p);
        breaker_words(p, o->trips[i]);
        reset_words(p, o->trips[i]);
        put_words(p, line, 5);
    }
    open_by_fault(p);
    bool first = true;
    for (int i = 0; i < p->aircraft->part_count; i++) {
        if (!o->parts[i].may_trip)
            continue;
        if (first)
            wrap_heading(p->out, "May trip within the hour");
        first = false;
        start_words(p);
        breaker_words(p, i);
        text_put(&p->words, ": carries ");
        words_figure(&p->words, fabs(o->parts[i].amps), 0, "A.");
        if (fuse_opens(&p->aircraft->parts[i], fabs(o->parts[i].amps)))
            text_put(&p->words, " A fuse that carries 135 % opens within the hour.");
        put_words(p, p->out->length, NAME_AT);
    }
}

// ---- foot ---------------------------------------------------------------------------------------
static void basis_share(page *p, const char *word, basis b, const char *join) {
    text_put(&p->words, join);
    text_int(&p->words, p->now->basis[b]);
    text_all(&p->words, " ", word, NULL);
}

static void foot(page *p) {
    wrap_heading(p->out, "What this rests on");
    start_words(p);
    text_put(&p->words, "Of ");
    text_int(&p->words, outcome_basis_total(p->now));
    text_put(&p->words, " figures ");
    basis_share(p, "are assumed", BASIS_ASSUMED, "");
    basis_share(p, "guessed", BASIS_GUESS, ", ");
    basis_share(p, "written without saying where from", BASIS_UNSTATED, ", ");
    basis_share(p, "from a book", BASIS_BOOK, ", ");
    basis_share(p, "measured.", BASIS_MEASURED, ", ");
    put_words(p, p->out->length, NAME_AT);
    text_char(p->out, '\n');
    wrap_words(p->out, p->out->length, 0, p->report->caution);
    if (any_open(p->now))
        wrap_words(p->out, p->out->length, 0, caution_reset);
    if (outcome_heats_wires(p->now))
        wrap_words(p->out, p->out->length, 0, caution_heat);
    if (outcome_any_trouble(p->now))
        wrap_words(p->out, p->out->length, 0, caution_smoke);
}

void outcome_text(const outcome_report *r, text *out) {
    page p = {r, r->now, r->now->aircraft, out, text_make(out->memory)};
    head(&p);
    seen(&p);
    items_with_reason(&p, "Lost", is_lost, false);
    items_with_reason(&p, "Without data", is_blind, false);
    items_with_reason(&p, "Weak", is_weak, true);
    items_in_a_row(&p, "Dead or without data in this phase anyway", is_dead_anyway);
    functions(&p);
    opened(&p);
    buses(&p);
    sources(&p);
    foot(&p);
    if (p.words.failed)
        out->failed = true;
    text_free(&p.words);
}
