// Side 2: breakers as the pilot finds them, and how power gets to the buses.
#include <string.h>

#include "draw/board_words.h"
#include "draw/card_parts.h"
#include "draw/text_width.h"

enum { GUTTER = 20, NUMBER_WIDTH = 26, RATING_WIDTH = 36, BELOW = 7 };

// ---- breakers -----------------------------------------------------------------------------------
static const char *below_words(const card_pen *k, const card_breaker *b) {
    const char *carries = b->carries;
    // The map names its bus as well; else the bus stands here.
    if (*b->bus && k->level >= BACK_FEEDS_ONLY)
        carries = k->level > BACK_FEEDS_ONLY && k->level < BACK_NO_NOTES ? b->bus : "";
    const char *words[3] = {carries, *carries && *b->remark ? "; " : "", b->remark};
    return words_join(k->p->memory, words, 3);
}

static bool starts_group(const card *c, int which) {
    return which == 0 || strcmp(c->breakers[which].group, c->breakers[which - 1].group) != 0;
}

static const char *group_title(const card_pen *k, const card_breaker *b) {
    char *words = arena_text(k->p->memory, b->group, strlen(b->group));
    if (words && *words >= 'a' && *words <= 'z')
        *words = (char)(*words - 'a' + 'A');
    return words ? words : "";
}

// What it carries begins on the label's line, short of the rating, where a word fits there. Returns
// the y below.
static int put_run_in(card_pen *k, int x, int y, int width, const char *label, const char *words) {
    double taken = text_width_exact(label, k->type, true) + k->type * 0.35;
    size_t next = 0, word = strcspn(words, " ");
    double room = text_room(width - RATING_WIDTH - taken);
    picture_label(k->p, x, y, pen_bold(k), label);
    if (text_width_n(words, word, k->type, false) <= room) {
        size_t length = text_line(words, room, k->type, false, &next);
        const char *first = arena_text(k->p->memory, words, length);
        if (first)
            picture_label(k->p, x + taken, y, pen_plain(k), first);
    }
    y += k->line;
    return y + k->line * pen_lines(k, x, y, width, pen_plain(k), words + next);
}

// `x`, `width`: its column. Returns the y below.
static int put_breaker(card_pen *k, int which, bool title, int x, int y, int width) {
    const card_breaker *b = &k->c->breakers[which];
    if (title) {
        y += 4;
        y += k->line * pen_lines(k, x, y, width, pen_bold(k), group_title(k, b)) + 3;
    }
    picture_rule(k->p, x, y - k->type - 1, x + width, y - k->type - 1, false, false);
    label_style right = pen_plain(k);
    right.anchor = ANCHOR_END;
    int name = x + (b->number > 0 ? NUMBER_WIDTH : 0);
    if (b->number > 0) {
        text t = text_make(k->p->memory->memory);
        text_int(&t, b->number);
        picture_label(k->p, x + NUMBER_WIDTH - 7, y, right, words_keep(k->p->memory, &t));
    }
    picture_label(k->p, x + width, y, right, b->rating);
    int room = x + width - RATING_WIDTH - name;
    const char *words = below_words(k, b);
    if (k->run_in && *words && pen_line_count(k, room, true, b->label) == 1)
        return put_run_in(k, name, y, x + width - name, b->label, words) + 2;
    y += k->line * pen_lines(k, name, y, room, pen_bold(k), b->label);
    y += k->line * pen_lines(k, name, y, x + width - name, pen_plain(k), words);
    return y + 2;
}

// Heights without drawing: a scratch pen on a scratch picture.
static int breaker_height(const card_pen *k, int which, bool title, int width) {
    arena scratch = arena_make(k->p->memory->memory);
    picture p = {.memory = &scratch, .fitted = true};
    card_pen measured = *k;
    measured.p = &p;
    int height = put_breaker(&measured, which, title, 0, 0, width);
    k->p->memory->failed = k->p->memory->failed || scratch.failed;
    arena_free(&scratch);
    return height;
}

// Those with a place in the grid come first.
static int count_placed(const card *c) {
    int count = 0;
    while (count < c->breaker_count && *c->breakers[count].group)
        count++;
    return count;
}

// How many columns of at most `height` the breakers take; `lowest`: of the tallest column.
static int columns_needed(const card *c, const int *plain, const int *titled, int height,
                          int *lowest) {
    int columns = 1, y = 0, count = count_placed(c);
    *lowest = 0;
    for (int i = 0; i < count; i++) {
        bool title = starts_group(c, i) || y == 0;
        int one = title ? titled[i] : plain[i];
        if (y > 0 && y + one > height) {
            columns++;
            y = 0;
            one = titled[i];
        }
        y += one;
        *lowest = y > *lowest ? y : *lowest;
    }
    return columns;
}

// The least height of columns that holds them all.
static int balanced_height(const card_pen *k, const int *plain, const int *titled) {
    int low = 1, high = 1, tall, count = count_placed(k->c);
    for (int i = 0; i < count; i++)
        high = high < 1000000 ? high + titled[i] : high;
    while (low < high) {
        int middle = (low + high) / 2;
        bool held =
            columns_needed(k->c, plain, titled, middle, &tall) <= k->columns && tall <= middle;
        low = held ? low : middle + 1;
        high = held ? middle : high;
    }
    return low;
}

// A column that goes on in the midst of a group repeats its title.
static int put_columns(card_pen *k, int y, int height, const int *plain, const int *titled) {
    int width = (k->width - (k->columns - 1) * GUTTER) / k->columns, column = 0, at = 0, low = 0;
    int i = 0, count = count_placed(k->c);
    for (; i < count; i++) {
        bool title = starts_group(k->c, i) || at == 0;
        int one = title ? titled[i] : plain[i];
        if (at > 0 && at + one > height) {
            column++;
            at = 0;
            title = true;
            one = titled[i];
        }
        if (column >= k->columns || (at == 0 && one > height))
            break;
        put_breaker(k, i, title, k->left + column * (width + GUTTER), y + at, width);
        at += one;
        low = at > low ? at : low;
    }
    if (i < count)
        pen_leave(k, count - i, count - i > 1 ? "breakers" : "breaker");
    return y + low;
}

static int put_breakers(card_pen *k, int y, int low) {
    size_t room = (size_t)k->c->breaker_count + 1;
    int *plain = arena_new(k->p->memory, room, sizeof *plain);
    int *titled = arena_new(k->p->memory, room, sizeof *titled);
    if (!plain || !titled)
        return y;
    int width = (k->width - (k->columns - 1) * GUTTER) / k->columns;
    int count = count_placed(k->c);
    for (int i = 0; i < count; i++) {
        plain[i] = breaker_height(k, i, false, width);
        titled[i] = breaker_height(k, i, true, width);
    }
    int height = balanced_height(k, plain, titled);
    if (k->level == BACK_FEW && height > low - y)
        height = low - y;
    return put_columns(k, y, height, plain, titled) + k->gap;
}

// What has no place in the grid, in one paragraph.
static int put_elsewhere(card_pen *k, int y) {
    text t = text_make(k->p->memory->memory);
    bool away = true;
    for (int i = count_placed(k->c); i < k->c->breaker_count; i++) {
        const card_breaker *b = &k->c->breakers[i];
        text_all(&t, t.length ? ", " : "", b->label, " ", b->rating, NULL);
        away = away && strcmp(b->remark, "out of reach") == 0;
    }
    bool any = t.length > 0;
    text_put(&t, ".");
    const char *words = words_keep(k->p->memory, &t);
    const char *title = away ? "Out of reach:" : "Not in the grid:";
    return any ? pen_told(k, k->left, y, k->width, title, words) + k->gap : y;
}

// ---- the map ------------------------------------------------------------------------------------
static symbol_id symbol_of(const card_step *s) {
    switch (s->kind) {
    case KIND_BREAKER: return s->closed ? SYMBOL_BREAKER : SYMBOL_BREAKER_OUT;
    case KIND_FUSE: return SYMBOL_FUSE;
    case KIND_LIMITER: return SYMBOL_LIMITER;
    case KIND_SWITCH: return s->closed ? SYMBOL_SWITCH : SYMBOL_SWITCH_OPEN;
    case KIND_RELAY:
    case KIND_CONTACTOR: return s->closed ? SYMBOL_CONTACT : SYMBOL_CONTACT_OPEN;
    case KIND_DIODE: return SYMBOL_DIODE;
    case KIND_SHUNT: return SYMBOL_SHUNT;
    case KIND_RESISTOR: return SYMBOL_RESISTOR;
    case KIND_DIMMER: return SYMBOL_DIMMER;
    default: return SYMBOL_JOINT;
    }
}

typedef struct map_columns {
    int from, to;  // x of the wire's ends
} map_columns;

static double widest(const card_pen *k, bool ends) {
    double most = 0;
    for (int i = 0; i < k->c->feed_count; i++) {
        const card_feed *f = &k->c->feeds[i];
        double one = text_width(ends ? f->to : f->from, k->type, true);
        most = one > most ? one : most;
    }
    return most > k->width * 0.27 ? k->width * 0.27 : most;
}

enum { STEM = 10, AFTER_SYMBOL = 6, BAR_WIDTH = 8 };

static int reach_of(const card_step *s) { return symbol_form_of(symbol_of(s))->reach; }

// How wide the line's symbols are with their names beside them.
static double step_room(const card_pen *k, const card_feed *f) {
    double sum = STEM;
    for (int i = 0; i < f->step_count; i++)
        sum += 2 * reach_of(&f->steps[i]) + 2 * AFTER_SYMBOL + 2 * STEM +
               text_width(f->steps[i].name, k->type, false);
    return sum;
}

static void put_step_symbol(card_pen *k, const card_step *s, int x, int y, power w) {
    symbol_id id = symbol_of(s);
    if (id != SYMBOL_JOINT)
        picture_symbol(
            k->p, (symbol_shape){.id = id,
                                 .x = x,
                                 .y = y,
                                 .power = w,
                                 .turns = id == SYMBOL_CONTACT || id == SYMBOL_CONTACT_OPEN ? 2 : 0,
                                 .part = -1});
    else
        picture_wire(k->p, x - reach_of(s), y, x + reach_of(s), y, w);
}

static const char *step_names(const card_pen *k, const card_feed *f) {
    text t = text_make(k->p->memory->memory);
    for (int i = 0; i < f->step_count; i++)
        text_all(&t, i ? ", " : "", f->steps[i].name, NULL);
    return words_keep(k->p->memory, &t);
}

// Returns the y below the words; their baseline is `y`, the wire runs through their middle.
static int put_feed(card_pen *k, const card_feed *f, map_columns at, int y) {
    int wire = y - k->type / 3, x = at.from;
    bool beside = step_room(k, f) <= at.to - at.from;
    power w = f->live ? POWER_LIVE : POWER_DEAD;
    int lines = pen_lines(k, k->left, y, at.from - k->left - 8, pen_bold(k), f->from);
    for (int i = 0; i < f->step_count; i++) {
        const card_step *s = &f->steps[i];
        int reach = reach_of(s);
        picture_wire(k->p, x, wire, x + STEM, wire, w);
        x += STEM + reach;
        if (x + reach > at.to)
            break;  // more parts than the line holds: their names say it
        w = s->closed ? w : POWER_DEAD;
        put_step_symbol(k, s, x, wire, w);
        x += reach;
        if (beside) {
            picture_wire(k->p, x, wire, x + AFTER_SYMBOL, wire, w);
            picture_label(k->p, x + AFTER_SYMBOL + 4, y, pen_plain(k), s->name);
            x += 2 * AFTER_SYMBOL + (int)text_width(s->name, k->type, false) + STEM / 2;
        }
    }
    picture_wire(k->p, x, wire, at.to > x ? at.to : x, wire, w);
    picture_bar(k->p, at.to, wire - 9, BAR_WIDTH, 18, POWER_LIVE, -1);
    int own = pen_lines(k, at.to + BAR_WIDTH + 6, y, k->left + k->width - at.to - BAR_WIDTH - 6,
                        pen_bold(k), f->to);
    lines = own > lines ? own : lines;
    if (!beside) {
        own = 1 + pen_lines(k, at.from + STEM, y + k->line, at.to - at.from - STEM - 8,
                            pen_plain(k), step_names(k, f));
        lines = own > lines ? own : lines;
    }
    return y + (lines > 1 ? lines : 1) * k->line + 3;
}

static bool is_worked_or_opens(const card_step *s) {
    return s->kind == KIND_BREAKER || s->kind == KIND_FUSE || s->kind == KIND_LIMITER ||
           s->kind == KIND_SWITCH || s->kind == KIND_RELAY || s->kind == KIND_CONTACTOR;
}

static void feed_in_words(const card_feed *f, text *t) {
    text_put(t, f->from);
    const char *before = " by ";
    for (int i = 0; i < f->step_count; i++) {
        const card_step *s = &f->steps[i];
        if (!is_worked_or_opens(s))
            continue;
        text_all(t, before, s->name, s->closed ? "" : " (open)", NULL);
        before = ", ";
    }
}

// Bus by bus in the order of the file, without what only lies in a wire and without sources that
// aren't there in flight.
static int put_map_in_words(card_pen *k, int y) {
    const card *c = k->c;
    text t = text_make(k->p->memory->memory);
    for (int bus = 0; bus < c->aircraft->part_count; bus++) {
        bool begun = false;
        for (int i = 0; i < c->feed_count; i++) {
            const card_feed *f = &c->feeds[i];
            if (f->bus != bus || !f->live)
                continue;
            if (begun)
                text_put(&t, "; ");
            else
                text_all(&t, t.length ? ". " : "", f->to, ": ", NULL);
            begun = true;
            feed_in_words(f, &t);
        }
    }
    bool any = t.length > 0;
    text_put(&t, ".");
    const char *title[3] = {"Feeds, ", c->phase, ":"};
    const char *words = words_keep(k->p->memory, &t);
    title[0] = words_join(k->p->memory, title, 3);
    return any ? pen_told(k, k->left, y, k->width, title[0], words) + k->gap : y;
}

static int put_map(card_pen *k, int y, int low) {
    if (k->level >= BACK_NO_MAP || (k->level == BACK_PART_MAP && y + 4 * k->line > low)) {
        pen_leave(k, 0,
                  k->level < BACK_NO_NOTES ? "map of feeds (see wall diagram)" : "map of feeds");
        return y;
    }
    if (k->c->feed_count == 0)
        return y;
    if (k->level == BACK_MAP_IN_WORDS || k->level == BACK_FEEDS_ONLY)
        return put_map_in_words(k, y);
    const char *words[2] = {"How power gets there, ", k->c->phase};
    y = pen_heading(k, k->left, y, words_join(k->p->memory, words, 2));
    map_columns at = {.from = k->left + (int)widest(k, false) + 12,
                      .to = k->left + k->width - (int)widest(k, true) - BAR_WIDTH - 8};
    int put = 0;
    for (; put < k->c->feed_count; put++) {
        if (k->level == BACK_PART_MAP && y + 2 * k->line > low)
            break;
        y = put_feed(k, &k->c->feeds[put], at, y);
    }
    if (put < k->c->feed_count)
        pen_leave(k, k->c->feed_count - put,
                  k->c->feed_count - put > 1 ? "feeds of the map" : "feed of the map");
    return y + k->gap;
}

static int put_notes(card_pen *k, int y) {
    for (int i = 0; i < k->c->note_count; i++)
        y = pen_paragraph(k, y, pen_plain(k), k->c->notes[i]);
    return k->level < BACK_NO_ALIKE ? pen_paragraph(k, y, pen_plain(k), card_alike) : y;
}

static bool is_shortened(const card_breaker *b) {
    return *b->bus && strcmp(b->bus, b->carries) != 0;
}

const char *card_back_title(const card_pen *k) {
    bool any = false;
    for (int i = 0; i < count_placed(k->c) && k->level >= BACK_FEEDS_ONLY; i++)
        any = any || is_shortened(&k->c->breakers[i]);
    return any ? "What each carries beyond its label; feeders: see wall diagram"
               : "What each carries beyond its label";
}

int card_back(card_pen *k, int y) {
    y = put_breakers(k, y, k->low - BELOW * k->line);
    y = put_elsewhere(k, y);
    if (k->lists_behind)
        y = card_lists(k, y);
    y = put_map(k, y, k->low - (4 + k->c->note_count) * k->line);
    if (k->level < BACK_NO_NOTES)
        y = put_notes(k, y);
    else
        pen_leave(k, 0, "notes on relays (see wall diagram)");
    return pen_told(k, k->left, y, k->width, "Behind this card:", k->c->counts);
}
