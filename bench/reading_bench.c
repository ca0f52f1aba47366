// How long files of 5,000 parts and of 5,000 lines take to read and check, and what of it is
// libyaml's own parsing.
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include <yaml.h>

#include "base/text.h"
#include "measured.h"
#include "model/aircraft.h"

// A line stands for 2.2 parts: its item, and the breaker, switch and wire that it implies.
enum { LINES = 5000, LINES_OF_5000_PARTS = 2275, HEAD_LINES = 6, RUNS = 15 };

static const char HEAD[] =
    "deadbus: 1\n"
    "aircraft: {name: Large, nominal: 28 V}\n"
    "parts:\n"
    "  battery: {battery: 24 V, capacity: 10 Ah at 1 h}\n"
    "  battery-switch: {switch: BAT, from: battery}\n"
    "  main-bus: {bus: MAIN BUS, from: battery-switch}\n"
    "  alternator: {alternator: 60 A, to: main-bus, field-from: field-switch, turned-by: engine}\n"
    "  field-switch: {switch: ALT, from: main-bus}\n"
    "  engine: {engine: four cylinders}\n";
static const char TAIL[] = "phases:\n"
                           "  parked: {engine: stopped}\n"
                           "  cruise: {engine: 2400 rpm, airborne: yes, on: [battery-switch]}\n";

// Lines as they stand in the demo aircraft; # becomes the number of the group.
static const char *const GROUP[] = {
    "  feeder-#: {breaker: 20 A, from: main-bus, to: bus-#, label: RADIO #, basis: book 24-30}\n",
    "  bus-#:       {bus: RADIO BUS #}\n",
    "  flap-breaker-#: {breaker: 10 A, from: bus-#, label: FLAP #}\n",
    "  flap-switch-#: {switch: FLAP SEL #, from: flap-breaker-#, positions: {UP: 0 %, TAKE-OFF: 30 "
    "%, "
    "FULL:"
    " 100 %}}\n",
    "  flaps-#: {motor: 7 A, from: flap-switch-#, stall: 30 A book, travel: 9 s, when-dead: stays,"
    " wire: 16 AWG 12 ft}\n",
    "  pitot-heat-#: {heater: 6.2 A measured 2026-03-02, from: bus-#, breaker: 10 A PITOT HT #, "
    "switch:"
    " PITOT HEAT #, wire: 16 AWG 14 ft}\n",
    "  pump-#:      {motor: 2.6 A, from: bus-#, breaker: 5 A FUEL PUMP #, switch: FUEL PUMP #, "
    "makes:"
    " pressure-#}\n",
    "  turn-#:      {instrument: 0.35 A, from: bus-#, breaker: 3 A TURN CRD #, when-dead: flag}\n",
    "  sender-#:    {probe: fuel float}\n",
    "  gauge-#:     {instrument: 80 mA, from: flap-breaker-#, needs: sender-#, when-dead: reads"
    " empty}\n",
    "  landing-#:   {lamp: 100 W, from: bus-#, breaker: 10 A LANDING #, switch: LANDING #, wire: "
    "16 AWG"
    " 18 ft}\n",
    "  beacon-#:    {led: 14 W, from: bus-#, breaker: 5 A BEACON #, switch: BEACON #, flashes: 45 "
    "per"
    " min}\n",
    "  dimmer-#:    {dimmer: PANEL LIGHTS #, from: flap-breaker-#}\n",
    "  panel-#:     {lamp: 22 W, from: dimmer-#}\n",
    "  relay-#:     {relay: 40 A, from: bus-#, rests: closed, coil-from: flap-breaker-#}\n",
    "  com-#:       {radio: 0.6 A measured, transmit: 5.5 A book, from: relay-#, breaker: 10 A COM "
    "#,"
    " own-switch: PWR, works-above: 20.5 V}\n",
    "  nav-#:       {radio: 0.7 A, from: relay-#, breaker: 3 A NAV #, own-switch: PWR, when-dead:"
    " flag}\n",
    "  low-volts-#: {light: LOW VOLTS #, from: flap-breaker-#, lit-when: bus-# below 25 V for 2 "
    "s}\n",
    "  ammeter-#:   {ammeter: left-zero, reads: feeder-#, scale: 60 A}\n",
    "  fan-#:       {motor: 0.4 A, from: bus-#, breaker: 2 A FAN #, gives: cooling}\n",
};
enum { IN_GROUP = sizeof GROUP / sizeof GROUP[0] };

static text large_file(int lines) {
    text t = text_make(allocator_default());
    text_put(&t, HEAD);
    for (int line = HEAD_LINES; line < lines; line++) {
        for (const char *c = GROUP[(line - HEAD_LINES) % IN_GROUP]; *c; c++) {
            if (*c == '#')
                text_int(&t, (line - HEAD_LINES) / IN_GROUP);
            else
                text_char(&t, *c);
        }
    }
    text_put(&t, TAIL);
    need(t.length ? &t : NULL);
    return t;
}

static int parse_alone(const text *t) {
    yaml_parser_t parser;
    int events = 0, kind;
    if (!yaml_parser_initialize(&parser))
        exit(1);
    yaml_parser_set_encoding(&parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&parser, (const unsigned char *)text_get(t), t->length);
    do {
        yaml_event_t e;
        if (!yaml_parser_parse(&parser, &e))
            exit(1);
        kind = (int)e.type;
        yaml_event_delete(&e);
        events++;
    } while (kind != YAML_STREAM_END_EVENT);
    yaml_parser_delete(&parser);
    return events;
}

static int read_whole(const text *t) {
    findings f = findings_make(allocator_default());
    aircraft *a = NULL;
    if (aircraft_read(allocator_default(), text_get(t), t->length, &a, &f) != STATUS_OK) {
        text said = text_make(allocator_default());
        findings_write(&f, "large", &said);
        fprintf(stderr, "%.2000s", text_get(&said));
        exit(1);
    }
    int parts = a->part_count;
    aircraft_free(a);
    findings_free(&f);
    return parts;
}

static double best_of(int (*run)(const text *), const text *t, int *result) {
    double best = INFINITY;
    for (int i = 0; i < RUNS; i++) {
        double start = seconds_now();
        *result = run(t);
        best = fmin(best, seconds_now() - start);
    }
    return best;
}

static void bench_file(const char *name, int lines) {
    text t = large_file(lines);
    int events, parts;
    double alone = best_of(parse_alone, &t, &events), whole = best_of(read_whole, &t, &parts);
    char remark[96];
    measured parser = {.value = alone * 1e3, .unit = "ms"};
    snprintf(parser.name, sizeof parser.name, "%s, libyaml's events alone", name);
    snprintf(remark, sizeof remark, "%zu kB, %d events", t.length / 1024, events);
    measured_add(&parser, remark);
    measured file = {.value = whole * 1e3,
                     .unit = "ms",
                     .against = "libyaml's events alone",
                     .ratio = alone / whole};
    snprintf(file.name, sizeof file.name, "%s, read and checked", name);
    snprintf(remark, sizeof remark, "%d parts, those that a line implies counted", parts);
    measured_add(&file, remark);
    text_free(&t);
}

int main(void) {
    measured_title("Large files, read and checked");
    bench_file("5,000 parts", LINES_OF_5000_PARTS);
    bench_file("5,000 lines", LINES);
    measured_end();
    return 0;
}
