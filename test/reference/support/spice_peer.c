#include "reference/support/spice_peer.h"

#include <math.h>
#include <ngspice/sharedspice.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { LINE_MOST = 512 };

static bool aborted;

static int hear(char *words, int id, void *ctx) {
    (void)id;
    (void)ctx;
    if (getenv("SPICE_VERBOSE"))
        fprintf(stderr, "%s\n", words);
    if (strstr(words, "aborted") || strstr(words, "Error") || strstr(words, "error"))
        aborted = true;
    return 0;
}

static int ignore_status(char *words, int id, void *ctx) {
    (void)words;
    (void)id;
    (void)ctx;
    return 0;
}

// ngspice wants to leave: it has met something it can't go on from. The test must not pass then.
static int leave(int status, NG_BOOL now, NG_BOOL asked, int id, void *ctx) {
    (void)now;
    (void)asked;
    (void)id;
    (void)ctx;
    fprintf(stderr, "ngspice gave up with status %d\n", status);
    abort();
}

// The library wants its commands writable.
static int command(const char *words) {
    char copy[64];
    snprintf(copy, sizeof copy, "%s", words);
    return ngSpice_Command(copy);
}

void spice_start(void) {
    static bool started;
    if (started)
        return;
    started = true;
    setenv("SPICE_SCRIPTS", "/nowhere", 1);  // no start-up file of the machine's
    ngSpice_Init(hear, ignore_status, leave, NULL, NULL, NULL, NULL);
    command("unset askquit");
    command("set ngbehavior=default");
}

// ---- the netlist --------------------------------------------------------------------------------
typedef struct deck {
    char **lines;
    int count, room;
} deck;

__attribute__((format(printf, 2, 3))) static void say(deck *d, const char *form, ...) {
    char line[LINE_MOST];
    va_list values;
    va_start(values, form);
    int length = vsnprintf(line, sizeof line, form, values);
    va_end(values);
    if (length < 0 || length >= LINE_MOST)
        abort();
    if (d->count == d->room) {
        d->room = d->room * 2 + 256;
        d->lines = realloc(d->lines, (size_t)d->room * sizeof *d->lines);
    }
    if (!d->lines || !(d->lines[d->count++] = strdup(line)))
        abort();
}

static void say_clamp(deck *d, int i, const plain_element *e) {
    char law[200];
    snprintf(law, sizeof law, "(v(n%d,n%d)-(%.17g))*%.17g", e->a, e->b, e->volts, e->siemens);
    bool out = isfinite(e->out), in = isfinite(e->in);
    if (e->piece == -1 || e->piece == 2)
        say(d, "b%d n%d n%d i=%.17g", i, e->a, e->b, e->piece == 2 ? e->in : -e->out);
    else if (e->piece == 1)
        say(d, "b%d n%d n%d i=%s", i, e->a, e->b, law);
    else if (out && in)
        say(d, "b%d n%d n%d i=min(max(%s,%.17g),%.17g)", i, e->a, e->b, law, -e->out, e->in);
    else if (out)
        say(d, "b%d n%d n%d i=max(%s,%.17g)", i, e->a, e->b, law, -e->out);
    else if (in)
        say(d, "b%d n%d n%d i=min(%s,%.17g)", i, e->a, e->b, law, e->in);
    else
        say(d, "b%d n%d n%d i=%s", i, e->a, e->b, law);
}

// Both laws are odd: the size of the current, with the sign of the volts; straight through zero.
// The size is `before` volts `after`.
static void say_odd(deck *d, int i, const plain_element *e, const char *before, const char *after,
                    double knee, double siemens) {
    char v[40], minus_v[40];
    snprintf(v, sizeof v, "v(n%d,n%d)", e->a, e->b);
    snprintf(minus_v, sizeof minus_v, "v(n%d,n%d)", e->b, e->a);
    say(d, "b%d n%d n%d i=(%s>%.17g)?(%s%s%s):((%s>%.17g)?(-(%s%s%s)):(%s*%.17g))", i, e->a, e->b,
        v, knee, before, v, after, minus_v, knee, before, minus_v, after, v, siemens);
}

static void say_watts(deck *d, int i, const plain_element *e) {
    char before[40], after[40];
    double knee = fmax(e->knee, 0.01);
    snprintf(before, sizeof before, "%.17g/max(", e->watts);
    snprintf(after, sizeof after, ",%.17g)", knee);
    say_odd(d, i, e, before, after, knee, e->watts / (knee * knee));
}

static void say_filament(deck *d, int i, const plain_element *e) {
    char before[60], after[60];
    double knee = 0.05 * e->volts;
    snprintf(before, sizeof before, "%.17g*exp(0.55*ln(max(", e->amps);
    snprintf(after, sizeof after, ",%.17g)/%.17g))", knee, e->volts);
    say_odd(d, i, e, before, after, knee, e->amps * pow(0.05, 0.55) / knee);
}

static void say_element(deck *d, int i, const plain_element *e) {
    switch (e->law) {
    case LAW_RESISTOR: say(d, "r%d n%d n%d %.17g", i, e->a, e->b, e->ohms); break;
    case LAW_CLAMP: say_clamp(d, i, e); break;
    case LAW_WATTS: say_watts(d, i, e); break;
    case LAW_FILAMENT: say_filament(d, i, e); break;
    }
}

static deck write_deck(const plain_network *n, const double *guess, const uint8_t *used) {
    deck d = {0};
    say(&d, "one state of an aircraft");
    for (int i = 0; i < n->element_count; i++)
        say_element(&d, i, &n->elements[i]);
    for (int p = 1; p < n->point_count; p++) {
        if (used[p])
            say(&d, "rleak%d n%d 0 1e9", p, p);
        if (used[p] && guess)
            say(&d, ".nodeset v(n%d)=%.12g", p, guess[p]);
    }
    say(&d, "vground n0 0 0");
    say(&d, ".options reltol=1e-6 abstol=1e-12 vntol=1e-9 gmin=1e-15 itl1=60 itl2=60");
    say(&d, ".end");
    return d;
}

static void mark_used(const plain_network *n, uint8_t *used) {
    for (int i = 0; i < n->element_count; i++)
        used[n->elements[i].a] = used[n->elements[i].b] = 1;
    used[0] = 0;
}

static bool value_of(const char *name, double *value) {
    char word[40];
    snprintf(word, sizeof word, "%s", name);
    vector_info *v = ngGet_Vec_Info(word);
    if (!v || v->v_length < 1 || !v->v_realdata)
        return false;
    *value = v->v_realdata[0];
    return isfinite(*value);
}

static bool read_answer(const plain_network *n, const uint8_t *used, spice_answer *answer) {
    char name[40];
    answer->volts[0] = 0;
    for (int p = 1; p < n->point_count; p++) {
        answer->volts[p] = 0;  // a point that nothing is joined to
        snprintf(name, sizeof name, "n%d", p);
        if (used[p] && !value_of(name, &answer->volts[p]))
            return false;
    }
    for (int i = 0; i < n->element_count; i++) {
        snprintf(name, sizeof name, "@%c%d[i]", n->elements[i].law == LAW_RESISTOR ? 'r' : 'b', i);
        if (!value_of(name, &answer->amps[i]))
            return false;
    }
    return true;
}

static double clock_seconds(void) {
    struct timespec t;
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

bool spice_solve(const plain_network *n, const double *guess, spice_answer *answer) {
    uint8_t *used = calloc((size_t)n->point_count, 1);
    if (!used)
        abort();
    mark_used(n, used);
    deck d = write_deck(n, guess, used);
    if (getenv("SPICE_DECK"))
        for (int i = 0; i < d.count; i++)
            fprintf(stderr, "%s\n", d.lines[i]);
    d.lines = realloc(d.lines, ((size_t)d.count + 1) * sizeof *d.lines);
    if (!d.lines)
        abort();
    d.lines[d.count] = NULL;
    aborted = false;
    bool solved = ngSpice_Circ(d.lines) == 0;
    double start = clock_seconds();
    solved = solved && command("op") == 0 && !aborted;
    answer->seconds = clock_seconds() - start;
    solved = solved && read_answer(n, used, answer);
    command("destroy all");
    command("remcirc");
    for (int i = 0; i < d.count; i++)
        free(d.lines[i]);
    free(d.lines);
    free(used);
    return solved;
}

enum { PIECE_MOVES = 60 };

// Whether any clamp's volts ask for a neighbor of the piece that it is held on; moves those.
static bool move_pieces(plain_network *n, const spice_answer *answer) {
    bool moved = false;
    for (int i = 0; i < n->element_count; i++) {
        plain_element *e = &n->elements[i];
        if (e->law != LAW_CLAMP)
            continue;
        double amps = (answer->volts[e->a] - answer->volts[e->b] - e->volts) * e->siemens;
        double slack = 1e-10 * (1 + fabs(amps));  // less than the leak takes at a diode
        int was = e->piece;
        if (was == 1)
            e->piece = amps < -e->out - slack ? -1 : amps > e->in + slack ? 2 : 1;
        else if (was == -1 ? amps > -e->out + slack : amps < e->in - slack)
            e->piece = 1;
        moved = moved || e->piece != was;
    }
    return moved;
}

// From nothing, then from a few voltages that every point begins at.
static bool solve_from_levels(const plain_network *n, spice_answer *answer) {
    static const double SHARES[] = {0.9, 1.0, 0.75, 0.5};
    if (spice_solve(n, NULL, answer))
        return true;
    double *guess = calloc((size_t)n->point_count, sizeof *guess);
    if (!guess)
        abort();
    bool solved = false;
    for (int i = 0; i < 4 && !solved; i++) {
        for (int p = 1; p < n->point_count; p++)
            guess[p] = SHARES[i] * n->aircraft->nominal;
        solved = spice_solve(n, guess, answer);
    }
    free(guess);
    return solved;
}

static plain_element *copy_elements(const plain_network *n) {
    size_t size = (size_t)n->element_count * sizeof *n->elements;
    plain_element *copy = malloc(size + 1);
    if (!copy)
        abort();
    memcpy(copy, n->elements, size);
    return copy;
}

bool spice_solve_held(const plain_network *n, const double *guess, spice_answer *answer) {
    plain_network held = *n;
    held.elements = copy_elements(n);
    bool solved = false, moved = true;
    for (int move = 0; move < PIECE_MOVES && moved; move++) {
        solved = guess ? spice_solve(&held, guess, answer) : solve_from_levels(&held, answer);
        if (!solved)
            break;
        moved = move_pieces(&held, answer);
    }
    free(held.elements);
    return solved && !moved;
}

bool spice_solve_anyhow(const plain_network *n, spice_answer *answer) {
    if (solve_from_levels(n, answer))
        return true;
    plain_network sloped = *n;
    sloped.elements = copy_elements(n);
    for (int i = 0; i < sloped.element_count; i++)
        sloped.elements[i].piece = sloped.elements[i].law == LAW_CLAMP;
    bool solved = spice_solve_held(&sloped, NULL, answer);
    free(sloped.elements);
    return solved;
}
