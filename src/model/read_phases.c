// Phases: `like`, then off, on, set, duty, resolved into one setting and one duty a part.
#include <string.h>

#include "model/reader.h"
#include "model/settings.h"

typedef enum progress { TO_READ, READING, READ } progress;

typedef struct phases {
    reader *r;
    const node **nodes;
    phase *made;
    double **settings, **duties;
    progress *progress;
    int count;
} phases;

#define BIT(u) (UINT32_C(1) << UNIT_##u)

static const field SPEED = {.units = BIT(RPM), .low = 0, .high = 10000};
static const field SHARE = {.units = BIT(PERCENT), .low = 0, .high = 1};
static const field KNOTS = {.units = BIT(KNOT), .low = 0, .high = 1000};
static const field OUTSIDE_AIR = {.units = BIT(CELSIUS), .low = -90, .high = 70};
static const field LASTS = {.units = BIT(SECOND), .low = 1, .high = 48 * 3600.0};
static const field ANY_READING = {.units =
                                      BIT(VOLT) | BIT(AMP) | BIT(PERCENT) | BIT(RPM) | BIT(CELSIUS),
                                  .low = -10000,
                                  .high = 10000};

#undef BIT

static bool figure_of(reader *r, const node *n, const field *f, const char *whose, double *value) {
    figure g;
    if (n->refused)
        return false;
    if (n->type != NODE_TEXT) {
        say_error(r, n->span, "not-text", "", "one figure stands here", NULL, NULL, NULL);
        return false;
    }
    if (!read_figure(r, n, 0, f, whose, &g))
        return false;
    *value = g.value;
    return true;
}

// ---- on and off ---------------------------------------------------------------------------------

static void set_with_partners(phases *p, double *setting, int part, double value) {
    const aircraft *a = p->r->a;
    setting[part] = value;
    for (int i = 0; i < a->part_count; i++) {
        int with = part_id(&a->parts[i], KEY_MOVES_WITH);
        if (with < 0 || (i != part && with != part))
            continue;
        setting[i] = value;
        setting[with] = value;
    }
}

// What `on: [id]` or `off: [id]` sets. False: it can't be switched.
static bool switch_to(phases *p, double *setting, int index, bool on, const node *n) {
    const part *d = &p->r->a->parts[index];
    if (d->kind == KIND_SWITCH) {
        int position = settings_switch_position(d, on);
        if (position < 0) {
            say_error(p->r, n->span, "no-position", "use `set:` with one of its positions", "'",
                      d->id, on ? "' has no position ON" : "' has no position OFF", NULL);
            return true;
        }
        if (part_condition(d, KEY_CLOSES_WHEN) >= 0)
            return false;
        set_with_partners(p, setting, index, position);
        return true;
    }
    bool switched = false;
    if (d->row_switch >= 0) {  // a phase may name the item itself
        setting[d->row_switch] = on;
        switched = true;
    }
    const char *used_as = part_text(d, KEY_USED_AS);
    if (part_text(d, KEY_OWN_SWITCH) || d->kind == KIND_EXTERNAL_POWER || used_as) {
        setting[index] = on;
        switched = true;
    }
    if (!switched && part_positions(d) && part_positions(d)->sort == POSITIONS_SETTINGS) {
        int position = settings_position(part_positions(d), on);
        setting[index] = position < 0 ? setting[index] : position;
        switched = position >= 0;
    }
    return switched;
}

static void read_switches(phases *p, int index, const node *n, bool on) {
    reader *r = p->r;
    const node **items = NULL;
    int count = 0;
    bool none = n && n->type == NODE_LIST && n->count == 0;  // nothing on, written out
    if (!n || none || !read_list(r, n, &items, &count))
        return;
    for (int i = 0; i < count; i++) {
        int part = need_id(r, items[i], 0, items[i]->length);
        if (part < 0 || switch_to(p, p->settings[index], part, on, items[i]))
            continue;
        const char *kind = with_article(r, kind_word(r->a->parts[part].kind));
        bool item = kind_class(r->a->parts[part].kind) == CLASS_ITEM && r->a->parts[part].electric;
        say_error(r, items[i]->span, "not-switched",
                  item ? "it is on when its bus is: leave it out here, or write its own knob on "
                         "its line, as `own-switch: PWR`"
                       : "switches, items with `own-switch` or a switch of their own, external "
                         "power and breakers used as switches can",
                  "'", items[i]->text, join(r, (const char *const[]){"' is ", kind, NULL}),
                  " that can't be switched on or off");
    }
}

// ---- set ----------------------------------------------------------------------------------------

static bool engine_speed(reader *r, const node *n, double *value) {
    if (node_is(n, "stopped")) {
        *value = 0;
        return true;
    }
    if (node_is(n, "windmilling")) {
        *value = SETTING_WINDMILLING;
        return true;
    }
    if (n->type == NODE_TEXT && !starts_like_figure(n->text)) {
        say_error(r, n->span, "engine", "", "'", n->text,
                  "' is not how an engine turns: stopped, windmilling or a speed in rpm", NULL);
        return false;
    }
    return figure_of(r, n, &SPEED, "an engine's speed", value);
}

static void set_position(phases *p, double *setting, int index, const node *n) {
    reader *r = p->r;
    const positions *places = places_for(r, index);
    const part *d = &r->a->parts[index];
    int position = places ? position_named(places, n->text, n->length) : -1;
    if (position >= 0) {
        bool moves = d->kind == KIND_MECHANISM || d->kind == KIND_MOTOR;
        double value =
            moves && places->sort == POSITIONS_PLACES ? places->figures[position] : position;
        if (d->kind == KIND_SWITCH)
            set_with_partners(p, setting, index, value);
        else
            setting[index] = value;
        return;
    }
    const char *list = "";
    for (int i = 0; places && i < places->count; i++)
        list = join(r, (const char *const[]){list, i ? ", " : "", places->labels[i], NULL});
    if (strcmp(n->text, "on") == 0 || strcmp(n->text, "off") == 0)
        list = join(r, (const char *const[]){list, " (capitals matter)", NULL});
    say_error(r, n->span, "no-position",
              *list ? join(r, (const char *const[]){"its positions: ", list, NULL}) : "", "'",
              d->id, "' has no position ", n->text);
}

static void set_one(phases *p, double *setting, const node *n) {
    reader *r = p->r;
    int index = need_id(r, n->key, 0, n->key->length);
    if (index < 0 || n->refused)
        return;
    const part *d = &r->a->parts[index];
    if (n->type != NODE_TEXT) {
        say_error(r, n->span, "not-text", "", "a position, a share or a speed stands here", NULL,
                  NULL, NULL);
    } else if (d->kind == KIND_ENGINE) {
        engine_speed(r, n, &setting[index]);
    } else if (d->kind == KIND_DIMMER) {
        figure_of(r, n, &SHARE, "a dimmer's setting", &setting[index]);
    } else if ((d->kind == KIND_MECHANISM || d->kind == KIND_MOTOR) &&
               starts_like_figure(n->text)) {
        figure_of(r, n, &SHARE, "a place", &setting[index]);
    } else if (places_for(r, index)) {
        set_position(p, setting, index, n);
    } else {
        say_error(r, n->span, "not-set", "switches use `on` and `off`", "'", d->id, "' is ",
                  join(r, (const char *const[]){with_article(r, kind_word(d->kind)),
                                                ": nothing of it can be set", NULL}));
    }
}

static void read_set(phases *p, int index, const node *n) {
    if (!n || n->refused)
        return;
    if (n->type != NODE_MAP) {
        say_error(p->r, n->span, "not-map", "", "`set` holds id: position", NULL, NULL, NULL);
        return;
    }
    for (const node *e = n->first; e; e = e->next) {
        if (e->key->length)
            set_one(p, p->settings[index], e);
    }
}

static void read_duty(phases *p, int index, const node *n) {
    if (!n || n->refused)
        return;
    if (n->type != NODE_MAP) {
        say_error(p->r, n->span, "not-map", "", "`duty` holds id: share in %", NULL, NULL, NULL);
        return;
    }
    for (const node *e = n->first; e; e = e->next) {
        int part = e->key->length ? need_id(p->r, e->key, 0, e->key->length) : -1;
        part_kind kind = part >= 0 ? p->r->a->parts[part].kind : KIND_BUS;
        if (part >= 0 && kind_class(kind) != CLASS_ITEM && kind != KIND_CONVERTER)
            say_error(p->r, e->key->span, "no-duty", "name what runs or transmits", "'",
                      e->key->text, "' draws nothing part of the time", NULL);
        else if (part >= 0)
            figure_of(p->r, e, &SHARE, "a duty", &p->duties[index][part]);
    }
}

static void read_engines(phases *p, int index, const node *n) {
    double speed = 0;
    if (!n || n->refused || !engine_speed(p->r, n, &speed))
        return;
    bool any = false;
    for (int i = 0; i < p->r->a->part_count; i++) {
        if (p->r->a->parts[i].kind == KIND_ENGINE) {
            p->settings[index][i] = speed;
            any = true;
        }
    }
    if (!any)
        say_warning(p->r, n->key->span, "no-engine", "", "the file has no engine", NULL, NULL,
                    NULL);
}

// ---- the rest of a phase ------------------------------------------------------------------------

static void read_outside(phases *p, phase *made, const node *n) {
    reader *r = p->r;
    struct {
        const char *key;
        bool *yes;
    } flags[] = {{"airborne", &made->airborne},
                 {"night", &made->night},
                 {"cloud", &made->cloud},
                 {"icing", &made->icing},
                 {"stall-near", &made->stall_near}};
    for (int i = 0; i < 5; i++) {
        const node *e = node_entry(n, flags[i].key);
        if (e)
            read_yes(r, e, flags[i].yes);
    }
    const node *e = node_entry(n, "throttle");
    if (e && figure_of(r, e, &SHARE, "the throttle", &made->throttle))
        made->has_throttle = true;
    e = node_entry(n, "airspeed");
    if (e && figure_of(r, e, &KNOTS, "the airspeed", &made->airspeed))
        made->has_airspeed = true;
    e = node_entry(n, "temperature");
    if (e)
        figure_of(r, e, &OUTSIDE_AIR, "the outside air", &made->temperature);
    e = node_entry(n, "lasts");
    if (e)
        figure_of(r, e, &LASTS, "how long a phase lasts", &made->lasts);
}

static void read_confirmed(phases *p, phase *made, const node *n) {
    reader *r = p->r;
    if (!n || n->refused)
        return;
    if (n->type != NODE_MAP) {
        say_error(r, n->span, "not-map", "", "`reads` holds id: what it shows", NULL, NULL, NULL);
        return;
    }
    struct confirmed *list = arena_new(r->keep, (size_t)n->count + 1, sizeof *list);
    int count = 0;
    for (const node *e = n->first; e && list; e = e->next) {
        int part = e->key->length ? need_id(r, e->key, 0, e->key->length) : -1;
        if (part < 0 || e->refused || e->type != NODE_TEXT)
            continue;
        part_kind k = r->a->parts[part].kind;
        if (k != KIND_AMMETER && k != KIND_LOADMETER && k != KIND_VOLTMETER &&
            k != KIND_INSTRUMENT && k != KIND_DISPLAY) {
            say_error(r, e->key->span, "wrong-kind", "", "'", e->key->text,
                      "' is no meter: it shows nothing that could be confirmed", NULL);
            continue;
        }
        list[count].part = part;
        if (read_figure(r, e, 0, &ANY_READING, "a reading", &list[count].figure))
            count++;
    }
    made->reads = list;
    made->read_count = count;
}

static void check_keys(phases *p, const node *n) {
    static const char *const KEYS[] = {
        "like",  "off",   "on",         "set",      "duty",     "engine",      "airborne", "night",
        "cloud", "icing", "stall-near", "throttle", "airspeed", "temperature", "lasts",    "reads"};
    enum { COUNT = sizeof KEYS / sizeof KEYS[0] };
    for (const node *e = n->first; e; e = e->next) {
        const char *nearest = NULL;
        bool known = e->key->length == 0;
        int most = near_enough(e->key->length);
        for (int i = 0; i < COUNT && !known; i++) {
            known = strcmp(KEYS[i], e->key->text) == 0;
            if (!nearest && text_distance(KEYS[i], e->key->text, most) <= most)
                nearest = KEYS[i];
        }
        if (known)
            continue;
        say_error(p->r, e->key->span, "unknown-key",
                  nearest
                      ? join(p->r, (const char *const[]){"did you mean `", nearest, "`?", NULL})
                      : "a phase may have: like, off, on, set, duty, engine, airborne, night, "
                        "cloud, icing, stall-near, throttle, airspeed, temperature, lasts, reads",
                  "'", e->key->text, "' is not a key of a phase", NULL);
    }
}

// Parts that follow a selector are where it says, unless the phase says where they are.
static void place_followers(phases *p, int index, const node *set) {
    const aircraft *a = p->r->a;
    for (int i = 0; i < a->part_count; i++) {
        int selector = part_id(&a->parts[i], KEY_FOLLOWS);
        if (selector < 0 || node_entry(set, a->parts[i].id))
            continue;
        const positions *places = part_positions(&a->parts[selector]);
        int position = (int)p->settings[index][selector];
        if (places && places->sort == POSITIONS_PLACES && position < places->count)
            p->settings[index][i] = places->figures[position];
    }
}

static void check_halves(phases *p, int index, const node *n) {
    const aircraft *a = p->r->a;
    const double *setting = p->settings[index];
    for (int i = 0; i < a->part_count; i++) {
        int with = part_id(&a->parts[i], KEY_ONLY_WITH);
        if (with < 0 || !settings_is_on(&a->parts[i], setting[i]) ||
            settings_is_on(&a->parts[with], setting[with]))
            continue;
        const node *on = node_entry(n, "on");
        say_warning(p->r, on ? on->span : n->key->span, "half-on", "", "'", a->parts[i].id,
                    join(p->r, (const char *const[]){"' is on here, but it can be on only with '",
                                                     a->parts[with].id, NULL}),
                    "', which is off");
    }
}

static bool read_phase(phases *p, int index);

static void take_over(phases *p, int index, const node *like) {
    reader *r = p->r;
    phase *made = &p->made[index];
    int other = -1;
    for (int i = 0; i < p->count; i++) {
        if (node_is(like, p->made[i].name))
            other = i;
    }
    if (like->refused)
        return;
    if (other < 0) {
        say_error(r, like->span, "unknown-phase", "", "'",
                  like->type == NODE_TEXT ? like->text : "", "' is not a phase of this file", NULL);
        return;
    }
    if (!read_phase(p, other)) {
        say_error(r, like->span, "like-circle", "", "'", made->name,
                  "' is like itself, through `like` of other phases", NULL);
        return;
    }
    phase own = *made;
    *made = p->made[other];
    made->name = own.name;
    made->span = own.span;
    made->setting = own.setting;
    made->duty = own.duty;
    made->lasts = 0;
    made->reads = NULL;
    made->read_count = 0;
    size_t bytes = (size_t)r->a->part_count * sizeof(double);
    memcpy(p->settings[index], p->settings[other], bytes);
    memcpy(p->duties[index], p->duties[other], bytes);
}

// False: it is being read already, a circle.
static bool read_phase(phases *p, int index) {
    if (p->progress[index] != TO_READ)
        return p->progress[index] == READ;
    p->progress[index] = READING;
    const node *n = p->nodes[index];
    phase *made = &p->made[index];
    if (n->type == NODE_MAP) {
        const node *like = node_entry(n, "like");
        if (like)
            take_over(p, index, like);
        check_keys(p, n);
        read_engines(p, index, node_entry(n, "engine"));
        read_switches(p, index, node_entry(n, "off"), false);
        read_switches(p, index, node_entry(n, "on"), true);
        read_set(p, index, node_entry(n, "set"));
        read_duty(p, index, node_entry(n, "duty"));
        read_outside(p, made, n);
        read_confirmed(p, made, node_entry(n, "reads"));
        place_followers(p, index, node_entry(n, "set"));
        check_halves(p, index, n);
    } else if (!n->refused) {
        say_error(p->r, n->span, "not-map", "", "a phase is {engine: ..., on: [...], ...}", NULL,
                  NULL, NULL);
    }
    p->progress[index] = READ;
    return true;
}

// Room for one phase, everything at rest.
static bool new_phase(phases *p, int index, const char *name, span where) {
    const aircraft *a = p->r->a;
    size_t count = (size_t)a->part_count + 1;
    double *setting = arena_new(p->r->keep, count, sizeof *setting);
    double *duty = arena_new(p->r->keep, count, sizeof *duty);
    if (!setting || !duty || !name)
        return false;
    for (int i = 0; i < a->part_count; i++) {
        setting[i] = settings_at_rest(&a->parts[i]);
        duty[i] = -1;
    }
    p->settings[index] = setting;
    p->duties[index] = duty;
    p->made[index] =
        (phase){.name = name, .span = where, .setting = setting, .duty = duty, .temperature = 15};
    return true;
}

void read_phases(reader *r) {
    const node *section = node_entry(r->tree.root, "phases");
    bool map = section && section->type == NODE_MAP && section->count > 0;
    if (section && !map && !section->refused)
        say_error(r, section->span, "not-map", "", "`phases` holds one entry for each phase", NULL,
                  NULL, NULL);
    size_t room = map ? (size_t)section->count : 1;
    phases p = {.r = r};
    p.nodes = arena_new(r->scratch, room, sizeof(void *));
    p.made = arena_new(r->keep, room, sizeof *p.made);
    p.settings = arena_new(r->scratch, room, sizeof *p.settings);
    p.duties = arena_new(r->scratch, room, sizeof *p.duties);
    p.progress = arena_new(r->scratch, room, sizeof *p.progress);
    if (!p.nodes || !p.made || !p.settings || !p.duties || !p.progress)
        return;
    for (const node *n = map ? section->first : NULL; n; n = n->next) {
        if (n->key->length == 0 || n->refused)
            continue;
        p.nodes[p.count] = n;
        if (!new_phase(&p, p.count, arena_text(r->keep, n->key->text, n->key->length),
                       n->key->span))
            return;
        p.count++;
    }
    for (int i = 0; i < p.count && !reader_failed(r); i++)
        read_phase(&p, i);
    if (p.count == 0) {
        if (!new_phase(&p, 0, "as-set", (span){0}))
            return;
        p.count = 1;
    }
    r->a->phases = p.made;
    r->a->phase_count = p.count;
}
