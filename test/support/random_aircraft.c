#include "support/random_aircraft.h"

#include <math.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>

#include "base/rng.h"

enum {
    LINE_MOST = 512,
    ID_ROOM = 48,
    ITEM_ROOM = 24,
    BUSES_MOST = 10,
    SWITCHES_MOST = 80,
    CARRIED_MOST = 24
};

// An aeroplane in the making.
typedef struct maker {
    rng r;
    text *file;
    double volts;  // nominal
    char bus[BUSES_MOST][ID_ROOM];
    int bus_count;
    char hand[SWITCHES_MOST][ID_ROOM];  // switches, and items with a switch of their own
    int hand_count;
    char carried[CARRIED_MOST][ID_ROOM];  // by the stud behind the panel
    int carried_count;
    const char *machine;  // the first alternator or generator
    int items, items_planned;
    bool has_shunt;
} maker;

__attribute__((format(printf, 2, 3))) static void put(maker *m, const char *format, ...) {
    char line[LINE_MOST];
    va_list values;
    va_start(values, format);
    vsnprintf(line, sizeof line, format, values);
    va_end(values);
    text_put(m->file, line);
}

static int below(maker *m, int limit) { return (int)rng_below(&m->r, (uint64_t)limit); }
static bool one_in(maker *m, int n) { return below(m, n) == 0; }
static double between(maker *m, double low, double high) {
    return low + (high - low) * rng_uniform(&m->r);
}

static const char *any_bus(maker *m) { return m->bus[below(m, m->bus_count)]; }

static void add_hand(maker *m, const char *id) {
    if (m->hand_count < SWITCHES_MOST)
        snprintf(m->hand[m->hand_count++], ID_ROOM, "%s", id);
}

static const char *add_bus(maker *m, const char *stem) {
    char *id = m->bus[m->bus_count];
    if (m->bus_count == 0)
        snprintf(id, ID_ROOM, "%s", stem);
    else
        snprintf(id, ID_ROOM, "%s-%d", stem, m->bus_count);
    m->bus_count++;
    return id;
}

static double breaker_size(double amps) {
    static const double SIZES[] = {1, 2, 3, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 70, 100, 150, 200};
    for (size_t i = 0; i < sizeof SIZES / sizeof SIZES[0]; i++)
        if (SIZES[i] >= 1.3 * amps)
            return SIZES[i];
    return 400;
}

// Of a breaker through which everything may be fed.
static double feeder_size(const maker *m) {
    return breaker_size(2.5 * m->items_planned * 28 / m->volts);
}

// ---- sources ------------------------------------------------------------------------------------
// Amps that a source is made for: from too few to plenty for what hangs on the aeroplane.
static double source_amps(maker *m) {
    return (5 + m->items_planned * between(m, 1.2, 3.5)) * 28 / m->volts;
}

static const char *chemistry(maker *m) {
    static const char *const NAMES[] = {"sealed-lead-acid", "flooded-lead-acid", "nickel-cadmium",
                                        "lithium-iron-phosphate"};
    return NAMES[below(m, 4)];
}

// A battery, its switch and what joins it to `bus`.
static void battery(maker *m, const char *name, const char *bus) {
    put(m, "  %s: {battery: %g V, capacity: %.0f Ah at 1 h, chemistry: %s", name,
        m->volts > 20 ? 24.0 : 12.0, between(m, 6, 44), chemistry(m));
    if (one_in(m, 2))
        put(m, ", resistance: %.0f mohm", between(m, 5, 40));
    put(m, "}\n");
    char hand[ID_ROOM];
    snprintf(hand, sizeof hand, "%s-switch", name);
    add_hand(m, hand);
    switch (below(m, 3)) {
    case 0: put(m, "  %s: {switch: BAT, from: %s, to: %s}\n", hand, name, bus); break;
    case 1:
        put(m, "  %s: {switch: BAT, to: ground}\n", hand);
        put(m,
            "  %s-contactor: {contactor: continuous, from: %s, to: %s, coil-from: %s, coil-to: "
            "%s}\n",
            name, name, bus, name, hand);
        break;
    default:
        put(m, "  %s: {switch: BAT, from: %s}\n", hand, name);
        put(m, "  %s-contactor: {contactor: continuous, from: %s, to: %s, coil-from: %s}\n", name,
            name, bus, hand);
    }
}

static void regulation(maker *m, const char *name) {
    double volts = m->volts * between(m, 0.995, 1.02);
    if (one_in(m, 2)) {
        put(m, "  %s-unit: {regulator: %.2f V, from: %s-switch", name, volts, name);
        if (one_in(m, 2))
            put(m, ", sense-from: %s", any_bus(m));
        put(m, "}\n");
        put(m, "  %s: {alternator: %.0f A, field-from: %s-unit, turned-by: engine", name,
            source_amps(m), name);
    } else {
        put(m,
            "  %s: {alternator: %.0f A, field-from: %s-switch, regulated-at: %.2f V, turned-by: "
            "engine",
            name, source_amps(m), name, volts);
    }
}

static void alternator(maker *m, const char *name, const char *bus) {
    bool protected = one_in(m, 2);
    put(m, "  %s-field: {breaker: 5 A, from: %s}\n", name, bus);
    put(m, "  %s-switch: {switch: %s, from: %s-field%s}\n", name, name, name,
        one_in(m, 2) ? ", only-with: battery-switch" : "");
    regulation(m, name);
    put(m, protected ? "}\n" : ", to: %s}\n", bus);
    if (protected)
        put(m, "  %s-breaker: {%s: %.0f A, from: %s, to: %s}\n", name,
            one_in(m, 2) ? "breaker" : "limiter", fmin(1.8 * source_amps(m) + 30, 400), name, bus);
    char hand[ID_ROOM];
    snprintf(hand, sizeof hand, "%s-switch", name);
    add_hand(m, hand);
}

static void generator(maker *m, const char *name, const char *bus) {
    put(m, "  %s: {generator: %.0f A, regulated-at: %.2f V, turned-by: engine}\n", name,
        source_amps(m), m->volts * between(m, 0.995, 1.02));
    put(m,
        "  %s-cut-out: {relay: reverse current, from: %s, to: %s, closes-when: %s above %s by 0.5 "
        "V "
        "until %s-cut-out below -2 A}\n",
        name, name, bus, name, bus, name);
}

static void ground_power(maker *m, const char *bus) {
    put(m, "  cart: {external-power: %g V, limit: 300 A}\n", m->volts);
    if (one_in(m, 2)) {
        put(m, "  cart-diode: {diode: 3 A, from: cart sense}\n");
        put(m,
            "  cart-contactor: {contactor: intermittent, from: cart, to: %s, coil-from: "
            "cart-diode}\n",
            bus);
    } else {
        put(m,
            "  cart-contactor: {contactor: intermittent, from: cart, to: %s, closes-when: cart "
            "on}\n",
            bus);
    }
}

static void sources(maker *m) {
    put(m, "  engine: {engine: four cylinders, makes: oil-pressure, gives: power}\n");
    const char *main_bus = add_bus(m, "main-bus");
    bool has_feed = one_in(m, 2);
    const char *first = has_feed ? "feed" : main_bus;
    if (has_feed) {
        put(m, "  feed: {bus: feed stud}\n");
        m->has_shunt = one_in(m, 2);
        if (m->has_shunt)
            put(m, "  shunt: {shunt: 60 A, from: feed, to: main-bus}\n  main-bus: {bus: MAIN}\n");
        else
            put(m, "  main-bus: {bus: MAIN, from: feed}\n");
    } else {
        put(m, "  main-bus: {bus: MAIN}\n");
    }
    battery(m, "battery", first);
    m->machine = one_in(m, 4) ? "generator" : "alternator";
    if (m->machine[0] == 'g')
        generator(m, m->machine, main_bus);
    else
        alternator(m, m->machine, main_bus);
    if (one_in(m, 2))
        ground_power(m, first);
    if (one_in(m, 3)) {
        put(m, "  starter-button: {switch: START, from: main-bus, springs-back: yes}\n");
        put(m,
            "  starter-contactor: {contactor: intermittent, from: %s, coil-from: starter-button}\n",
            first);
        put(m, "  starter: {motor: %.0f A, from: starter-contactor, turns: engine}\n",
            between(m, 80, 200));
    }
}

// ---- buses and what feeds them ------------------------------------------------------------------
static void relay_feeder(maker *m, int n, const char *from, const char *to) {
    char hand[ID_ROOM];
    snprintf(hand, sizeof hand, "feed-switch-%d", n);
    bool rests_closed = one_in(m, 2);
    add_hand(m, hand);
    put(m, "  %s: {switch: FEED %d, from: %s}\n", hand, n, any_bus(m));
    put(m, "  feeder-%d: {relay: 40 A, from: %s, to: %s, %scoil-from: %s%s", n, from, to,
        rests_closed ? "rests: closed, " : "", hand, rests_closed ? " at OFF" : "");
    if (!rests_closed && one_in(m, 3))
        put(m, ", rests-on: battery");
    put(m, "}\n");
}

static void feeder(maker *m, int n, const char *from, const char *to) {
    char hand[ID_ROOM];
    switch (below(m, 8)) {
    case 0:
        put(m, "  feeder-%d: {breaker: %g A, from: %s, to: %s}\n", n, feeder_size(m), from, to);
        break;
    case 1:
        put(m, "  feeder-%d: {fuse: %g A, from: %s, to: %s}\n", n, feeder_size(m), from, to);
        break;
    case 2: put(m, "  feeder-%d: {diode: 35 A, from: %s, to: %s}\n", n, from, to); break;
    case 3:
        snprintf(hand, sizeof hand, "feeder-%d", n);
        add_hand(m, hand);
        put(m, "  feeder-%d: {switch: FEED %d, from: %s, to: %s}\n", n, n, from, to);
        break;
    case 4:
        put(m, "  feeder-%d: {wire: 8 AWG %.0f ft, from: %s, to: %s}\n", n, between(m, 2, 20), from,
            to);
        break;
    case 5:
        put(m,
            "  feeder-%d: {relay: 30 A, from: %s, to: %s, rests: closed, opens-when: %s below %.1f "
            "V "
            "for 5 s until %s above %.1f V}\n",
            n, from, to, any_bus(m), 0.86 * m->volts, any_bus(m), 0.95 * m->volts);
        break;
    default: relay_feeder(m, n, from, to);
    }
}

// A second way to a bus that has one already.
static void second_feeder(maker *m, int n, const char *to) {
    char hand[ID_ROOM];
    switch (below(m, 4)) {
    case 0:
        snprintf(hand, sizeof hand, "tie-%d", n);
        add_hand(m, hand);
        put(m, "  tie-%d: {switch: TIE %d, from: battery, to: %s}\n", n, n, to);
        break;
    case 1: put(m, "  tie-%d: {diode: 20 A, from: %s, to: %s}\n", n, m->bus[0], to); break;
    case 2:
        put(m, "  tie-%d: {contactor: continuous, from: %s, to: %s, closes-when: %s off}\n", n,
            m->bus[0], to, one_in(m, 2) ? m->machine : "battery");
        break;
    default:
        put(m, "  hot-fuse-%d: {fuse: %g A, from: battery}\n", n, feeder_size(m));
        put(m, "  tie-%d: {diode: 15 A, from: hot-fuse-%d, to: %s}\n", n, n, to);
    }
}

static void buses(maker *m) {
    int count = 1 + below(m, BUSES_MOST - 2);
    for (int i = 1; i <= count; i++) {
        char from[ID_ROOM];
        snprintf(from, sizeof from, "%s", one_in(m, 2) ? m->bus[0] : any_bus(m));
        const char *to = add_bus(m, "bus");
        put(m, "  %s: {bus: BUS %d}\n", to, i);
        feeder(m, i, from, to);
        if (one_in(m, 4))
            second_feeder(m, i, to);
    }
    if (one_in(m, 3)) {
        battery(m, "battery-2", m->bus[m->bus_count - 1]);
    }
    if (one_in(m, 3))
        alternator(m, "alternator-2", m->bus[m->bus_count - 1]);
}

// ---- what uses power ----------------------------------------------------------------------------
static const char *kind_of_item(maker *m, double *amps) {
    static const struct {
        const char *kind;
        double low, high;
    } KINDS[] = {{"equipment", 0.1, 4},     {"display", 0.5, 3}, {"radio", 0.4, 2},
                 {"instrument", 0.05, 0.8}, {"led", 0.1, 2},     {"lamp", 0.2, 8},
                 {"heater", 2, 12},         {"motor", 0.5, 8},   {"solenoid", 0.3, 2}};
    int k = below(m, (int)(sizeof KINDS / sizeof KINDS[0]));
    *amps = between(m, KINDS[k].low, KINDS[k].high) * 28 / m->volts;
    return KINDS[k].kind;
}

// How it is fed: its own breaker on a bus (perhaps with a switch), the same breaker as another, or
// two buses by diodes.
static void put_feed(maker *m, const char *id, double amps, const char *shared) {
    if (shared != NULL) {
        put(m, ", from: %s", shared);
    } else if (one_in(m, 12)) {
        put(m, ", from: [%s, %s]", m->bus[0], m->bus[m->bus_count - 1]);
    } else {
        put(m, ", from: %s, %s: %g A NO %d", any_bus(m), one_in(m, 5) ? "fuse" : "breaker",
            breaker_size(amps), m->items);
        if (one_in(m, 3)) {
            char hand[ID_ROOM];
            snprintf(hand, sizeof hand, "%s.switch", id);
            add_hand(m, hand);
            put(m, ", switch: S %d", m->items);
            return;
        }
    }
    if (one_in(m, 5)) {
        add_hand(m, id);
        put(m, ", own-switch: PWR");
    }
}

// Returns what it draws.
static double item(maker *m, const char *shared) {
    double amps = 0;
    char id[ITEM_ROOM];
    snprintf(id, sizeof id, "item-%d", ++m->items);
    const char *kind = kind_of_item(m, &amps);
    put(m, "  %s: {%s: %.3f A", id, kind, amps);
    if (kind[0] == 'r')
        put(m, ", transmit: %.1f A", 4 * amps);
    put_feed(m, id, amps, shared);
    if (one_in(m, 5))
        put(m, ", wire: %d AWG %.0f ft", 2 * (5 + below(m, 7)), between(m, 3, 40));
    if (one_in(m, 6))
        put(m, ", works-above: %.1f V", m->volts * between(m, 0.6, 0.9));
    if (one_in(m, 3))
        put(m, ", gives: function-%c", 'a' + below(m, 8));
    put(m, "}\n");
    bool returns = kind[0] == 'i' || one_in(m, 8);
    if (returns && m->carried_count < CARRIED_MOST)
        snprintf(m->carried[m->carried_count++], ID_ROOM, "%s", id);
    return amps;
}

static void shared_breaker(maker *m) {
    char id[ID_ROOM];
    snprintf(id, sizeof id, "shared-%d", m->items);
    double amps = 0;
    for (int i = 1 + below(m, 3); i >= 0; i--)
        amps += item(m, id);
    put(m, "  %s: {breaker: %g A, from: %s}\n", id, breaker_size(amps), any_bus(m));
}

static void dimmed_lamps(maker *m) {
    int n = ++m->items;
    put(m, "  dimmer-%d-breaker: {breaker: 5 A, from: %s}\n", n, any_bus(m));
    put(m, "  dimmer-%d: {dimmer: DIM %d, from: dimmer-%d-breaker}\n", n, n, n);
    for (int i = below(m, 2); i >= 0; i--)
        put(m, "  dimmed-%d-%d: {lamp: %.0f W, from: dimmer-%d}\n", n, i, between(m, 2, 25), n);
}

static void converted(maker *m) {
    int n = ++m->items;
    put(m, "  converter-%d: {converter: 5 V, from: %s, breaker: 5 A USB %d, limit: 4 A}\n", n,
        any_bus(m), n);
    put(m, "  charged-%d: {equipment: %.1f A, from: converter-%d, own-switch: plugged in}\n", n,
        between(m, 0.2, 3), n);
}

static void moved(maker *m) {
    int n = ++m->items;
    put(m,
        "  places-%d: {switch: MOVE %d, from: %s, positions: {UP: 0 %%, HALF: 50 %%, DOWN: 100 "
        "%%}}\n",
        n, n, any_bus(m));
    put(m, "  moved-%d: {motor: %.1f A, from: places-%d, travel: %.0f s}\n", n, between(m, 2, 9), n,
        between(m, 3, 12));
}

static void items(maker *m) {
    while (m->items < m->items_planned) {
        switch (below(m, 12)) {
        case 0: shared_breaker(m); break;
        case 1: dimmed_lamps(m); break;
        case 2: converted(m); break;
        case 3: moved(m); break;
        default: item(m, NULL);
        }
    }
}

// ---- what is seen -------------------------------------------------------------------------------
static void condition(maker *m) {
    switch (below(m, 9)) {
    case 0: put(m, "%s below %.1f V for 2 s", any_bus(m), 0.9 * m->volts); break;
    case 6: put(m, "%s off", m->machine); break;
    case 7: put(m, "warning-breaker out or battery off"); break;
    case 8: put(m, "engine running and not %s on", m->machine); break;
    case 1: put(m, "%s above %.1f V", any_bus(m), 1.14 * m->volts); break;
    case 2: put(m, "battery above 5 A"); break;
    case 3: put(m, "engine running and %s below %.1f V", any_bus(m), 0.93 * m->volts); break;
    case 4: put(m, "not battery-switch on or battery below 30 %%"); break;
    default: put(m, "%s below %.1f V until battery-switch off", any_bus(m), 0.5 * m->volts);
    }
}

static void lights_and_meters(maker *m) {
    put(m, "seen:\n  warning-breaker: {breaker: 3 A, from: %s}\n", any_bus(m));
    for (int i = below(m, 4); i >= 0; i--) {
        put(m, "  light-%d: {light: W %d, from: warning-breaker, lit-when: ", i, i);
        condition(m);
        put(m, "}\n");
    }
    put(m, "  horn: {sounder: 0.3 A, from: warning-breaker, sounds-when: ");
    condition(m);
    put(m, "}\n  voltmeter: {voltmeter: digital, reads: %s%s}\n", any_bus(m),
        one_in(m, 2) ? ", from: warning-breaker" : "");
    if (m->has_shunt)
        put(m,
            "  ammeter: {ammeter: center-zero, reads: shunt, scale: 60 A, right: towards feed}\n");
    else if (one_in(m, 2))
        put(m, "  ammeter: {ammeter: digital, reads: battery}\n");
}

static void studs(maker *m) {
    if (m->carried_count == 0)
        return;
    put(m, "together:\n  stud: {ground: stud behind the panel, carries: [");
    for (int i = 0; i < m->carried_count; i++)
        put(m, "%s%s", i > 0 ? ", " : "", m->carried[i]);
    put(m, "]}\n");
    if (one_in(m, 2))
        put(m, "  plug: {connector: P1, carries: [%s]}\n", m->carried[0]);
}

// ---- phases -------------------------------------------------------------------------------------
static void put_on(maker *m, int in_four) {
    put(m, ", on: [battery-switch");
    for (int i = 0; i < m->hand_count; i++)
        if (below(m, 4) < in_four && i > 0)
            put(m, ", %s", m->hand[i]);
    put(m, "]}\n");
}

static void phases(maker *m) {
    put(m, "phases:\n  parked: {engine: stopped, on: []}\n");
    put(m, "  cruise: {engine: 2400 rpm, airborne: yes");
    put_on(m, 3);
    put(m, "  taxi: {engine: %.0f rpm, temperature: %.0f C", between(m, 600, 1200),
        between(m, -30, 35));
    put_on(m, 2);
}

void random_aircraft(uint64_t seed, text *file) {
    maker m = {.r = rng_make(seed), .file = file};
    m.volts = one_in(&m, 2) ? 28 : 14;
    m.items_planned = 6 + below(&m, 30);
    put(&m, "deadbus: 1\naircraft: {name: Random %llu, nominal: %g V}\nparts:\n",
        (unsigned long long)seed, m.volts);
    sources(&m);
    buses(&m);
    items(&m);
    lights_and_meters(&m);
    studs(&m);
    phases(&m);
}
