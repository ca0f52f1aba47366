// Binding: a state's positions, faults and conditions as the circuit's parameters.
#include "circuit/compiled.h"
#include "part/binder.h"
#include "part/item_draw.h"
#include "part/part_kind.h"

#define BUNDLE_SHORT_OHMS 5e-3  // as any bolted short: design choice

struct binder {
    const compiled *made;
    const state *state;
    const uint32_t *faults;
    const double *base_amps;
    double *params;
    double top;
};

const aircraft *binder_aircraft(const binder *b) { return b->made->aircraft; }
const part_map *binder_map(const binder *b, int part) { return &b->made->maps[part]; }
const state *binder_state(const binder *b) { return b->state; }

uint32_t binder_faults(const binder *b, int part) { return b->faults[part]; }

const uint32_t *binder_all_faults(const binder *b) { return b->faults; }

bool binder_fault(const binder *b, int part, fault_kind f) {
    return (b->faults[part] >> f & 1u) != 0;
}

double binder_load_below(const binder *b, int part) {
    double base = b->base_amps != NULL ? b->base_amps[part] : 0.0;
    if (base < 0)
        base = -base;
    if (base < b->made->load_below[part])
        base = b->made->load_below[part];
    if (base > 0.05)
        return base;
    const struct part *p = &b->made->aircraft->parts[part];
    bool rated = p->kind == KIND_BREAKER || p->kind == KIND_FUSE || p->kind == KIND_LIMITER;
    return rated ? 0.5 * part_number(p, KEY_VALUE, 5.0) : 1.0;
}

void bind_conductance(binder *b, int element, double siemens) {
    if (element >= 0)
        b->params[b->made->circuit.conductances[element].slot] = siemens;
}

void bind_ohms(binder *b, int element, double ohms) {
    double raised = ohms < LEAST_OHMS ? LEAST_OHMS : ohms;
    bind_conductance(b, element, ohms < 0 ? 0.0 : 1.0 / raised);
}

void bind_pieces(binder *b, int element, int pieces, const double *breaks, const double *slopes,
                 const double *offsets) {
    if (element < 0)
        return;
    double *p = b->params + b->made->circuit.piecewises[element].slot;
    for (int i = 0; i < pieces - 1; i++)
        p[i] = breaks[i];
    for (int i = 0; i < pieces; i++)
        p[pieces - 1 + i] = slopes[i];
    for (int i = 0; i < pieces; i++)
        p[2 * pieces - 1 + i] = offsets[i];
}

void bind_power(binder *b, int element, double watts) {
    if (element >= 0)
        b->params[b->made->circuit.powers[element].slot] = watts;
}

void bind_lamp(binder *b, int element, double amps) {
    if (element >= 0)
        b->params[b->made->circuit.lamps[element].slot] = amps;
}

void bind_rating(binder *b, int element, double amps) {
    if (element >= 0)
        b->params[b->made->circuit.breakers[element].slot] = amps;
}

void bind_top(binder *b, double volts) {
    if (volts > b->top)
        b->top = volts;
}

// ---- inputs
// --------------------------------------------------------------------------------------- Where a
// welded switch stands: where it springs back from, ON, or the first that isn't OFF.
static int welded_position(const part *p) {
    const positions *s = part_positions(p);
    if (s == NULL)
        return 1;
    const char *back = part_text(p, KEY_SPRINGS_BACK);
    for (int i = 0; i < s->count && back != NULL; i++) {
        size_t n = 0;
        while (s->labels[i][n] != 0 && s->labels[i][n] == back[n])
            n++;
        if (s->labels[i][n] == 0 && back[n] == ' ')
            return i;
    }
    for (int i = 0; i < s->count; i++)
        if (text_equal(s->labels[i], "ON"))
            return i;
    for (int i = 0; i < s->count; i++)
        if (!text_equal(s->labels[i], "OFF"))
            return i;
    return 0;
}

static bool at_position(const binder *b, int part, int position) {
    if ((int)b->state->setting[part] == position)
        return true;
    return binder_fault(b, part, FAULT_STUCK_CLOSED) &&
           welded_position(&b->made->aircraft->parts[part]) == position;
}

static bool condition_holds(const binder *b, const condition *c) {
    const state *s = b->state;
    const aircraft *a = b->made->aircraft;
    double x = 0.0;
    switch (c->op) {
    case CONDITION_AIRBORNE: return s->airborne;
    case CONDITION_NIGHT: return s->night;
    case CONDITION_CLOUD: return s->cloud;
    case CONDITION_ICING: return s->icing;
    case CONDITION_STALL_NEAR: return s->stall_near;
    case CONDITION_MOVING:
        return item_moving(a, s, c->ref.part, b->made->maps[c->ref.part].selector);
    case CONDITION_AT: {
        double away = s->setting[c->ref.part] - c->place;
        return away < 1e-6 && away > -1e-6;
    }
    case CONDITION_CHARGE: x = state_charge(a, s, c->ref.part); break;
    case CONDITION_TRAVEL:
    case CONDITION_RPM: x = s->setting[c->ref.part]; break;
    case CONDITION_THROTTLE: x = s->throttle; break;
    case CONDITION_AIRSPEED: x = s->airspeed; break;
    case CONDITION_TEMPERATURE: x = s->temperature; break;
    default: return false;
    }
    return c->below ? x < c->value : x > c->value;
}

// Faults with which a part doesn't do its work whatever its supply.
static bool whole(const binder *b, int part, int detail) {
    const struct part *p = &b->made->aircraft->parts[part];
    if (p->fitted & (FITTED_ABSENT | FITTED_INOPERATIVE))
        return false;
    uint32_t none = 1u << FAULT_OPEN | 1u << FAULT_DEAD | 1u << FAULT_FAILED | 1u << FAULT_SHORT |
                    1u << FAULT_COIL_OPEN | 1u << FAULT_TRIPPED | 1u << FAULT_BLOWN |
                    1u << FAULT_STUCK_OPEN;
    if (p->kind == KIND_ENGINE)
        none |= 1u << FAULT_WINDMILLING;
    if (p->kind == KIND_MECHANISM || p->kind == KIND_LEVER || p->kind == KIND_MOTOR)
        none |= 1u << FAULT_STUCK;
    if (p->kind == KIND_REGULATOR && detail == 1)
        none = 1u << FAULT_SENSE_OPEN;
    return (b->faults[part] & none) == 0;
}

static bool input_holds(const binder *b, const input *in) {
    const state *s = b->state;
    int part = in->part;
    switch (in->kind) {
    case INPUT_FALSE: return false;
    case INPUT_TRUE:
    case INPUT_ELAPSED:
    case INPUT_STARTED:
    case INPUT_RESERVE: return true;  // instant answers: that time is over, and this one isn't
    case INPUT_POSITION: return at_position(b, part, in->detail);
    case INPUT_ON: return s->setting[part] > 0;
    case INPUT_IN: return s->setting[part] > 0 && whole(b, part, 0);
    case INPUT_WHOLE: return whole(b, part, in->detail);
    case INPUT_WELDED: return binder_fault(b, part, FAULT_STUCK_CLOSED);
    case INPUT_CONDITION: return condition_holds(b, &b->made->aircraft->conditions[in->detail]);
    case INPUT_TURNS: return s->setting[part] != 0;
    case INPUT_RUNS: return s->setting[part] > 0;
    case INPUT_GROUNDABLE: return !binder_fault(b, part, FAULT_P_LEAD_OPEN);
    case INPUT_WINDMILLS: return s->setting[part] < 0 || binder_fault(b, part, FAULT_WINDMILLING);
    case INPUT_AIRBORNE: return s->airborne;
    case INPUT_GIVEN:
        return converter_loaded(b->made->aircraft, s, b->faults, part).share >=
               (in->detail ? 1.0 : CONVERTER_GIVES_UP);
    case INPUT_SHARE: return item_duty(b->made->aircraft, s, part) > 0;
    }
    return false;
}

// ---- a bus whose bar has come away: everything joined to it is opened
// ---------------------------------
static void open_node(binder *b, int node) {
    const circuit *c = &b->made->circuit;
    for (int i = 0; i < c->conductance_count; i++)
        if (c->conductances[i].a == node || c->conductances[i].b == node)
            b->params[c->conductances[i].slot] = 0.0;
    for (int i = 0; i < c->piecewise_count; i++) {
        if (c->piecewises[i].a != node && c->piecewises[i].b != node)
            continue;
        int pieces = c->piecewises[i].pieces;
        double *p = b->params + c->piecewises[i].slot + pieces - 1;
        for (int k = 0; k < 2 * pieces; k++)
            p[k] = 0.0;
    }
}

// Paths that a shorted bundle carries.
static void bind_bundle_shorts(binder *b) {
    const aircraft *a = b->made->aircraft;
    for (int i = 0; i < a->part_count; i++)
        if (kind_class(a->parts[i].kind) == CLASS_PATH && a->parts[i].kind != KIND_WIRE &&
            binder_fault(b, i, FAULT_SHORT))
            bind_ohms(b, b->made->maps[i].fault_short, BUNDLE_SHORT_OHMS);
}

void spread_faults(const aircraft *a, const state *s, uint32_t *faults) {
    for (int i = 0; i < a->part_count; i++)
        faults[i] = 0;
    for (int i = 0; i < s->fault_count; i++) {
        const fault *f = &s->faults[i];
        faults[f->part] |= 1u << f->kind;
        const struct part *p = &a->parts[f->part];
        const part_value *v = part_value_of(p, KEY_CARRIES);
        if (kind_class(p->kind) != CLASS_GROUP || v == NULL)
            continue;
        for (int k = 0; k < v->as.ids.count; k++) {
            int carried = v->as.ids.items[k];
            int wire = a->parts[carried].wire;
            faults[wire >= 0 ? wire : carried] |= 1u << f->kind;
        }
    }
}

static void bind_inputs(binder *b) {
    int count = b->made->circuit.input_count;
    for (int i = 0; i < count; i++)
        b->params[i] = input_holds(b, &b->made->inputs[i]) ? 1.0 : 0.0;
}

static void bind_part(binder *b, int part) {
    const part_row *row = part_row_of(b->made->aircraft->parts[part].kind);
    if (row->bind != NULL)
        row->bind(b, part);
}

// Faults that reach beyond the part that has them.
static void bind_spreading_faults(binder *b) {
    const aircraft *a = b->made->aircraft;
    for (int i = 0; i < a->part_count; i++)
        if (kind_class(a->parts[i].kind) == CLASS_POINT && a->parts[i].kind != KIND_GROUND &&
            binder_fault(b, i, FAULT_OPEN))
            open_node(b, b->made->maps[i].own);
    bind_bundle_shorts(b);
}

void bind_state(const compiled *c, const state *s, const double *base_amps, uint32_t *faults,
                double *params) {
    const aircraft *a = c->aircraft;
    spread_faults(a, s, faults);
    binder b = {.made = c, .state = s, .faults = faults, .base_amps = base_amps, .params = params};
    for (int i = 0; i < c->circuit.param_count; i++)
        params[i] = 0.0;
    bind_inputs(&b);
    for (int i = 0; i < a->part_count; i++)
        bind_part(&b, i);
    bind_spreading_faults(&b);
    params[c->circuit.slot_top] = b.top;
}

static bool is_first_of_group(const part_groups *g, const int *parts, int i) {
    for (int k = 0; k < i; k++)
        if (g->of[parts[k]] == g->of[parts[i]])
            return false;
    return true;
}

void bind_parts(const compiled *c, const state *s, const double *base_amps, const int *parts,
                int count, uint32_t *faults, double *params) {
    const part_groups *g = &c->groups;
    spread_faults(c->aircraft, s, faults);
    binder b = {.made = c, .state = s, .faults = faults, .base_amps = base_amps, .params = params};
    bind_inputs(&b);
    for (int i = 0; i < count; i++) {
        if (!is_first_of_group(g, parts, i))
            continue;
        int group = g->of[parts[i]];
        for (int k = g->first[group]; k < g->first[group + 1]; k++)
            bind_part(&b, g->members[k]);
        if (group == g->sources)
            params[c->circuit.slot_top] = b.top;
    }
    bind_spreading_faults(&b);
}
