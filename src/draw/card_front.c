// Side 1: what works with everything dead, normal readings, how to read the meters, eaters, fading,
// and the places that are filled in by hand.
#include <string.h>

#include "draw/board_words.h"
#include "draw/card_parts.h"
#include "draw/meter_face.h"
#include "draw/text_width.h"

// BELOW: lines under the readings where all is left out that may be.
enum { LIGHTS_LEAST = 84, INSIDE = 10, BELOW = 8, FACE_LEAST = 192 };

// ---- the box ------------------------------------------------------------------------------------
static int put_dead(card_pen *k, int y) {
    int left = k->left, right = left + k->width, top = y - k->type - 2;
    k->left += INSIDE;
    k->width -= 2 * INSIDE;
    y = pen_heading(k, k->left, y + 4, "Everything electrical dead: still works");
    int most = k->most;
    // The first thing that one needs is the last that is cut.
    k->most = k->level < FRONT_FEW ? 12 : most;
    y = pen_paragraph(k, y, pen_plain(k), k->c->dead);
    k->most = most;
    k->left -= INSIDE;
    k->width += 2 * INSIDE;
    int low = y - k->line + k->gap;
    picture_rule(k->p, left, top, right, top, false, true);
    picture_rule(k->p, left, low, right, low, false, true);
    picture_rule(k->p, left, top - 1, left, low + 1, false, true);
    picture_rule(k->p, right, top - 1, right, low + 1, false, true);
    return low + k->gap + k->line;
}

// ---- normal readings ----------------------------------------------------------------------------
enum { COLUMNS_MOST = 12 };

typedef struct reading_table {
    int meters, name_width;
    int wide[COLUMNS_MOST];   // columns of figures, right-aligned
    int right[COLUMNS_MOST];  // x where their figures end
    int lights;  // x where they stand; they go into a line of their own where that is narrow
} reading_table;

static int widest_phase(const card_pen *k) {
    double widest = 0;
    for (int i = 0; i < k->c->phase_count; i++) {
        double one = text_width(k->c->phases[i].name, k->type, false);
        widest = one > widest ? one : widest;
    }
    widest = widest > k->width * 0.27 ? k->width * 0.27 : widest;
    return (int)widest + 12;
}

// What the longest word over a column takes, its unit with the last ("volts, V"), or the longest
// usual reading.
static int column_width(const card_pen *k, const card_meter *m) {
    double most = text_width("left stop", k->type, false);
    for (const char *word = m->name; *word;) {
        size_t length = strcspn(word, " ");
        double one = text_width_n(word, length, k->type, true);
        if (!word[length] && *m->unit)
            one += text_width(", ", k->type, true) + text_width(m->unit, k->type, true);
        most = one > most && one < k->width / 4.0 ? one : most;
        word += length + (word[length] == ' ');
    }
    return (int)most + 12;
}

static reading_table table_of(const card_pen *k, int name_width) {
    reading_table t = {.name_width = name_width};
    int count = k->c->meter_count < COLUMNS_MOST ? k->c->meter_count : COLUMNS_MOST;
    int x = k->left + name_width;
    for (int m = 0; m < count; m++)
        t.wide[m] = column_width(k, &k->c->meters[m]);
    for (; t.meters < count && x + t.wide[t.meters] <= k->left + k->width; t.meters++) {
        x += t.wide[t.meters];
        t.right[t.meters] = x - 8;
    }
    t.lights = x + 8;
    return t;
}

// Over each column the meter's name, wrapped, and its unit. Returns the y below.
static int put_table_head(card_pen *k, const reading_table *t, int y) {
    int most = k->most, tall = 1;
    k->most = 3;
    for (int pass = 0; pass < 2; pass++)
        for (int m = 0; m < t->meters; m++) {
            const card_meter *one = &k->c->meters[m];
            const char *words[3] = {one->name, *one->unit ? ", " : "", one->unit};
            const char *head = words_join(k->p->memory, words, 3);
            int room = t->wide[m] - 8, lines = pen_line_count(k, room, true, head);
            lines = lines > k->most ? k->most : lines;
            tall = lines > tall ? lines : tall;
            label_style s = pen_bold(k);
            s.anchor = ANCHOR_END;
            if (pass)
                pen_lines(k, t->right[m], y + (tall - lines) * k->line, room, s, head);
        }
    k->most = most;
    if (k->left + k->width - t->lights >= LIGHTS_LEAST)
        picture_label(k->p, t->lights, y + (tall - 1) * k->line, pen_bold(k), "Lights lit");
    return y + tall * k->line;
}

// `*unlit`: set where "none" found no place.
static int put_phase(card_pen *k, const reading_table *t, const card_phase *f, int y, bool *unlit) {
    picture_rule(k->p, k->left, y - k->type - 2, k->left + k->width, y - k->type - 2, false, false);
    int lines = pen_lines(k, k->left, y, t->name_width - 8, pen_plain(k), f->name);
    for (int m = 0; m < t->meters; m++) {
        label_style s = pen_plain(k);
        s.anchor = ANCHOR_END;
        int own =
            pen_lines(k, t->right[m], y, t->wide[m] - 8, s, f->readings[m] ? f->readings[m] : "");
        lines = own > lines ? own : lines;
    }
    int room = k->left + k->width - t->lights;
    bool beside = room >= LIGHTS_LEAST && pen_line_count(k, room, false, f->lights) <= 2;
    if (beside) {
        int own = pen_lines(k, t->lights, y, room, pen_plain(k), f->lights);
        lines = own > lines ? own : lines;
    } else if (strcmp(f->lights, "none") == 0) {
        *unlit = true;
    } else {
        y += (lines ? lines : 1) * k->line;
        int x = k->left + INSIDE;
        const char *words[2] = {"lit: ", f->lights};
        lines = pen_lines(k, x, y, k->left + k->width - x, pen_plain(k),
                          words_join(k->p->memory, words, 2));
    }
    return y + (lines ? lines : 1) * k->line + (k->gap > 5 ? 4 : 3);
}

// Of all its lines, without drawing.
static int table_height(const card_pen *k, const reading_table *t) {
    arena scratch = arena_make(k->p->memory->memory);
    picture p = {.memory = &scratch, .fitted = true};
    card_pen measured = *k;
    measured.p = &p;
    int y = 0;
    bool unlit;
    for (int i = 0; i < k->c->phase_count; i++)
        y = put_phase(&measured, t, &k->c->phases[i], y, &unlit);
    k->p->memory->failed = k->p->memory->failed || scratch.failed;
    arena_free(&scratch);
    return y;
}

// As many columns as there is room for, each wide enough for what stands over it. Names wrap where
// figures need the room, and where the lights then take fewer lines.
static reading_table plan_table(card_pen *k) {
    int widest = widest_phase(k), least = k->width / 5, all = 0;
    int count = k->c->meter_count < COLUMNS_MOST ? k->c->meter_count : COLUMNS_MOST;
    for (int m = 0; m < count; m++)
        all += column_width(k, &k->c->meters[m]);
    int left = k->width - all;
    widest = widest > left ? left > least ? left : least : widest;
    reading_table best = table_of(k, widest);
    int height = table_height(k, &best);
    for (int width = widest - 10; width >= least; width -= 10) {
        reading_table t = table_of(k, width);
        int own = table_height(k, &t);
        if (own < height) {
            height = own;
            best = t;
        }
    }
    if (best.meters < k->c->meter_count)
        pen_leave(k, k->c->meter_count - best.meters,
                  k->c->meter_count - best.meters > 1 ? "meters" : "meter");
    return best;
}

// `low`: where their room ends, if they may be fewer than there are.
static int put_readings(card_pen *k, int y, int low) {
    y = pen_heading(k, k->left, y, card_computed);
    reading_table table = plan_table(k);
    y = put_table_head(k, &table, y) + 3;
    int put = 0;
    bool unlit = false;
    for (; put < k->c->phase_count; put++) {
        if (k->level == FRONT_FEW && y + 3 * k->line > low)
            break;
        y = put_phase(k, &table, &k->c->phases[put], y, &unlit);
    }
    if (put < k->c->phase_count)
        pen_leave(k, k->c->phase_count - put, "lines of normal readings");
    text t = text_make(k->p->memory->memory);
    text_all(&t, *k->c->confirmed ? "Confirmed by hand: " : "", k->c->confirmed,
             *k->c->confirmed ? "." : "", NULL);
    if (unlit)
        text_put(&t, t.length ? " No light is lit where none is named."
                              : "No light is lit where none is named.");
    return pen_paragraph(k, y, pen_plain(k), words_keep(k->p->memory, &t)) + k->gap;
}

// ---- the meters ---------------------------------------------------------------------------------
static const char *meter_title(const card_pen *k, const card_meter *m) {
    const char *words[3] = {m->name, *m->place ? ": " : "", m->place};
    return words_join(k->p->memory, words, 3);
}

static int put_told(card_pen *k, const card_meter *m, int x, int y, int width) {
    for (int i = 0; i < m->told_count; i++) {
        const char *words[2] = {m->told[i].where, ":"};
        y = pen_told(k, x, y, width, words_join(k->p->memory, words, 2), m->told[i].means);
    }
    return y;
}

// The first with a needle and something to tell; -1.
static int drawn_meter(const card *c) {
    for (int i = 0; i < c->meter_count; i++)
        if (c->meters[i].high > c->meters[i].low && c->meters[i].told_count > 1)
            return i;
    return -1;
}

// Without a needle: what it shows in the usual phase is marked. Returns the y below.
static int put_face(card_pen *k, const card_meter *m, int y, int width) {
    face_shape f = {.x = k->left,
                    .y = y - k->type,
                    .width = width,
                    .radius_most = 110,
                    .low = m->low,
                    .high = m->high,
                    .figure = m->low,
                    .normal = m->usual,
                    .normal_valid = m->usual_valid,
                    .no_needle = true};
    y += picture_face(k->p, &f, pen_plain(k));
    const char *words[2] = {"mark: normal in ", k->c->phase};
    return y + 4 +
           k->line * pen_lines(k, k->left, y + 4, width, pen_plain(k),
                               words_join(k->p->memory, words, 2));
}

static bool told_before(const card *c, int which) {
    for (int i = 0; i < which; i++)
        if (c->meters[i].told_count == c->meters[which].told_count && c->meters[i].told_count &&
            strcmp(c->meters[i].told[0].means, c->meters[which].told[0].means) == 0)
            return true;
    return false;
}

static int face_width(const card_pen *k) {
    return k->level >= FRONT_NO_FACE      ? 0
           : k->level >= FRONT_SMALL_FACE ? FACE_LEAST
                                          : k->width * 2 / 5;
}

static int put_meters(card_pen *k, int y) {
    if (k->level == FRONT_FEW) {
        pen_leave(k, 0, "how to read the meters");
        return y;
    }
    int drawn = drawn_meter(k->c);
    if (drawn >= 0) {
        const card_meter *m = &k->c->meters[drawn];
        y += k->line * pen_lines(k, k->left, y, k->width, pen_bold(k), meter_title(k, m));
        int face = face_width(k), low = y;
        if (face)
            low = put_face(k, m, y, face);
        else
            pen_leave(k, 0, "the meter's face");
        int x = k->left + face + (face ? 16 : 0), room = k->left + k->width - x;
        y = put_told(k, m, x, y, room);
        // What else it may be set to: beside the face as long as that goes on.
        if (y + k->line * pen_line_count(k, room, false, m->others) > low) {
            y = y > low ? y : low;
            x = k->left;
            room = k->width;
        }
        y += k->line * pen_lines(k, x, y, room, pen_plain(k), m->others);
        y = (y > low ? y : low) + k->gap / 2;
    }
    for (int i = 0; i < k->c->meter_count; i++) {
        const card_meter *m = &k->c->meters[i];
        if (i == drawn || !m->told_count || told_before(k->c, i))
            continue;
        text t = text_make(k->p->memory->memory);
        for (int n = 0; n < m->told_count; n++)
            text_all(&t, n ? " " : "", m->told[n].where, ": ", m->told[n].means, NULL);
        const char *bold[2] = {meter_title(k, m), "."};
        y = pen_told(k, k->left, y, k->width, words_join(k->p->memory, bold, 2),
                     words_keep(k->p->memory, &t));
    }
    return y + k->gap;
}

// ---- eaters and fading --------------------------------------------------------------------------
static int put_eaters(card_pen *k, int y, int width) {
    y = pen_heading(k, k->left, y, "Biggest eaters") + 3;
    label_style right = pen_plain(k);
    right.anchor = ANCHOR_END;
    for (int i = 0; i < k->c->eater_count; i++) {
        const card_eater *e = &k->c->eaters[i];
        picture_rule(k->p, k->left, y - k->type - 2, k->left + width, y - k->type - 2, false,
                     false);
        bool soft = e->basis == BASIS_ASSUMED || e->basis == BASIS_GUESS;
        const char *name[2] = {e->name, soft ? ", assumed" : ""};
        int lines =
            pen_lines(k, k->left, y, width - 62, pen_plain(k), words_join(k->p->memory, name, 2));
        picture_label(k->p, k->left + width, y, right, words_fixed(k->p->memory, e->amps, 1, " A"));
        y += lines * k->line + 3;
    }
    return y;
}

static int put_fading(card_pen *k, int x, int y, int width) {
    y = pen_heading(k, x, y, "Fades as volts fall, in this order") + 3;
    int most = k->most;
    k->most = 3;
    for (int i = 0; i < k->c->fading_count; i++) {
        const card_fading *f = &k->c->fading[i];
        picture_rule(k->p, x, y - k->type - 2, x + width, y - k->type - 2, false, false);
        picture_label(k->p, x, y, pen_plain(k), words_fixed(k->p->memory, f->volts, 1, " V"));
        y += k->line * pen_lines(k, x + 58, y, width - 58, pen_plain(k), f->names) + 3;
    }
    k->most = most;
    return y;
}

static int put_eaters_run_in(card_pen *k, int y) {
    text t = text_make(k->p->memory->memory);
    for (int i = 0; i < k->c->eater_count; i++) {
        const card_eater *e = &k->c->eaters[i];
        bool soft = e->basis == BASIS_ASSUMED || e->basis == BASIS_GUESS;
        text_all(&t, i ? "; " : "", e->name, " ", words_fixed(k->p->memory, e->amps, 1, " A"),
                 soft ? ", assumed" : "", NULL);
    }
    text_put(&t, ".");
    return pen_told(k, k->left, y, k->width, "Biggest eaters:", words_keep(k->p->memory, &t)) + 2;
}

static int put_fading_run_in(card_pen *k, int y) {
    text t = text_make(k->p->memory->memory);
    for (int i = 0; i < k->c->fading_count; i++)
        text_all(&t, i ? "; " : "", words_fixed(k->p->memory, k->c->fading[i].volts, 1, " V"), " ",
                 k->c->fading[i].names, NULL);
    text_put(&t, ".");
    return pen_told(k, k->left, y, k->width, "Fades as volts fall:", words_keep(k->p->memory, &t)) +
           2;
}

int card_lists(card_pen *k, int y) {
    y = put_eaters_run_in(k, y);
    return put_fading_run_in(k, y) + 4;
}

static int put_pair(card_pen *k, int y) {
    if (k->lists_behind)
        return y;
    bool eaters = k->level < FRONT_NO_EATERS, fading = k->level < FRONT_NO_FADING;
    int half = k->width * 2 / 5, low = y;
    if (!eaters)
        pen_leave(k, 0, "the biggest eaters");
    if (!fading)
        pen_leave(k, 0, "the order of fading");
    if (k->level >= FRONT_RUN_IN) {
        y = eaters ? put_eaters_run_in(k, y) : y;
        return (fading ? put_fading_run_in(k, y) : y) + 4;
    }
    if (eaters)
        low = put_eaters(k, y, fading ? half : k->width);
    if (fading) {
        int other = put_fading(k, k->left + half + 24, y, k->width - half - 24);
        low = other > low ? other : low;
    }
    return low + (eaters ? k->gap : 0);
}

// ---- by hand ------------------------------------------------------------------------------------
static int put_endurance(card_pen *k, int y) {
    if (*k->c->lasts)
        return pen_paragraph(k, y, pen_plain(k), k->c->lasts) + 4;
    const char *source[3] = {"Source lost in ", k->c->phase, ", nothing shed: less than"};
    const char *before = words_join(k->p->memory, source, 3);
    int x = k->left + (int)text_width_exact(before, k->type, false) + 8, after = x + 66;
    picture_label(k->p, k->left, y, pen_plain(k), before);
    pen_blank(k, x, x + 60, y);
    const char *parts[3] = {"min, low case, if the battery passed its capacity test on ",
                            k->c->capacity_test, *k->c->capacity_test ? "." : "____________."};
    const char *words = words_join(k->p->memory, parts, 3);
    size_t next,
        length = text_line(words, text_room(k->left + k->width - after), k->type, false, &next);
    char *first = arena_text(k->p->memory, words, length);
    if (first)
        picture_label(k->p, after, y, pen_plain(k), first);
    return pen_paragraph(k, y + k->line, pen_plain(k), words + next) + 4;
}

static int put_handbook(card_pen *k, int y) {
    static const char before[] = "Procedures: the handbook's pages";
    if (*k->c->handbook) {
        const char *words[2] = {k->c->handbook, "."};
        return pen_told(k, k->left, y, k->width, "Procedures, by the handbook's pages:",
                        words_join(k->p->memory, words, 2)) +
               4;
    }
    picture_label(k->p, k->left, y, pen_bold(k), before);
    pen_blank(k, k->left + (int)text_width_exact(before, k->type, true) + 8, k->left + k->width, y);
    return y + k->line + 4;
}

int card_front(card_pen *k, int y) {
    y = put_dead(k, y);
    y = put_readings(k, y, k->low - BELOW * k->line);
    y = put_meters(k, y);
    y = put_pair(k, y);
    y = put_endurance(k, y);
    return put_handbook(k, y);
}
