#include "support/fleet_states.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FILE_MOST = 1 << 22, CLASSES_MOST = 256 };

const char *const fleet_names[FLEET_COUNT] = {"bowline", "reef", "sheetbend", "clove", "halyard"};

static char *file_bytes(const char *path, size_t *length) {
    char full[512];
    snprintf(full, sizeof full, "%s/%s", DEADBUS_SOURCE_DIR, path);
    FILE *f = fopen(full, "rb");
    if (!f)
        return NULL;
    char *bytes = malloc(FILE_MOST);
    *length = bytes ? fread(bytes, 1, FILE_MOST, f) : 0;
    fclose(f);
    return bytes;
}

static void complain(const subject *s, const char *path) {
    text t = text_make(allocator_default());
    findings_write(&s->findings, path, &t);
    fputs(text_get(&t), stderr);
    text_free(&t);
}

bool subject_open_bytes(subject *s, const char *name, const char *bytes, size_t length) {
    *s = (subject){0};
    allocator memory = allocator_default();
    s->findings = findings_make(memory);
    s->memory = arena_make(memory);
    bool open = bytes &&
                aircraft_read(memory, bytes, length, &s->aircraft, &s->findings) == STATUS_OK &&
                solver_make(memory, s->aircraft, &s->findings, &s->solver) == STATUS_OK &&
                view_make(&s->view, s->solver->made, &s->memory);
    if (!open)
        complain(s, name);
    return open;
}

bool subject_open(subject *s, const char *path) {
    size_t length = 0;
    char *bytes = file_bytes(path, &length);
    bool open = subject_open_bytes(s, path, bytes, length);
    free(bytes);
    return open;
}

bool subject_open_fleet(subject *s, int index) {
    char path[64];
    snprintf(path, sizeof path, "aircraft/%s.yaml", fleet_names[index]);
    return subject_open(s, path);
}

void subject_close(subject *s) {
    solver_free(s->solver);
    aircraft_free(s->aircraft);
    arena_free(&s->memory);
    findings_free(&s->findings);
}

// ---- positions ----------------------------------------------------------------------------------
static double engine_setting(rng *r) {
    static const double RPM[] = {0, -1, 600, 700, 1000, 1400, 2000, 2500};
    return RPM[rng_below(r, sizeof RPM / sizeof RPM[0])];
}

static void move_part(const aircraft *a, state *s, int i, rng *r) {
    const part *p = &a->parts[i];
    const positions *places = part_positions(p);
    double *set = &s->setting[i];
    switch (p->kind) {
    case KIND_SWITCH:
        if (p->hand)
            *set = places ? (double)rng_below(r, (uint64_t)places->count) : (double)rng_below(r, 2);
        break;
    case KIND_BREAKER:
    case KIND_FUSE:
    case KIND_LIMITER: *set = rng_below(r, 3) > 0; break;
    case KIND_DIMMER: *set = (double)rng_below(r, 11) / 10; break;
    case KIND_EXTERNAL_POWER: *set = (double)rng_below(r, 2); break;
    case KIND_ENGINE: *set = engine_setting(r); break;
    case KIND_MECHANISM: *set = (double)rng_below(r, 3) / 2; break;
    default:
        if (places && places->sort == POSITIONS_SETTINGS)
            *set = (double)rng_below(r, (uint64_t)places->count);
        else if (part_value_of(p, KEY_FOLLOWS))
            *set = (double)rng_below(r, 3) / 2;
        else if (part_text(p, KEY_OWN_SWITCH))
            *set = (double)rng_below(r, 2);
    }
}

static void draw_positions(const aircraft *a, state *s, rng *r) {
    int moves = (int)rng_below(r, 9);
    for (int i = 0; i < moves; i++)
        move_part(a, s, (int)rng_below(r, (uint64_t)a->part_count), r);
    for (int i = 0; i < a->part_count; i++) {
        part_kind k = a->parts[i].kind;
        bool rare = k == KIND_EXTERNAL_POWER || k == KIND_ENGINE || k == KIND_MECHANISM;
        if (rare && rng_below(r, 5) == 0)
            move_part(a, s, i, r);
    }
    if (rng_below(r, 3) == 0)
        s->charge = 0.02 + 0.98 * rng_uniform(r);
    if (rng_below(r, 4) == 0)
        s->temperature = -30 + 70 * rng_uniform(r);
    if (rng_below(r, 6) == 0)
        s->stall_near = !s->stall_near;
    if (rng_below(r, 6) == 0)
        s->airborne = !s->airborne;
}

// ---- faults -------------------------------------------------------------------------------------
typedef struct fault_class {
    part_kind part;
    fault_kind fault;
} fault_class;

static int fault_classes(const aircraft *a, fault_class *list) {
    int count = 0;
    for (int k = 0; k < KIND_COUNT; k++) {
        uint32_t kinds = 0;
        for (int i = 0; i < a->part_count; i++) {
            if ((int)a->parts[i].kind == k)
                kinds |= kind_faults((part_kind)k, a->parts[i].electric);
        }
        for (int f = 1; f < FAULT_COUNT; f++) {
            if ((kinds >> f & 1u) && count < CLASSES_MOST)
                list[count++] = (fault_class){(part_kind)k, (fault_kind)f};
        }
    }
    return count;
}

static fault part_of_class(const aircraft *a, fault_class c, rng *r) {
    for (;;) {
        int i = (int)rng_below(r, (uint64_t)a->part_count);
        const part *p = &a->parts[i];
        if (p->kind == c.part && (kind_faults(p->kind, p->electric) >> c.fault & 1u))
            return (fault){i, c.fault};
    }
}

static void draw_faults(const aircraft *a, state *s, rng *r, int index, int most) {
    fault_class classes[CLASSES_MOST];
    int count = fault_classes(a, classes);
    int faults = count > 0 ? (int)rng_below(r, (uint64_t)most + 1) : 0;
    if (faults == 0 && index < count)
        faults = 1;  // every kind of fault at least once
    for (int i = 0; i < faults; i++) {
        int which = i == 0 ? index % count : (int)rng_below(r, (uint64_t)count);
        s->faults[s->fault_count++] = part_of_class(a, classes[which], r);
    }
}

fault subject_any_fault(const subject *s, rng *r) {
    fault_class classes[CLASSES_MOST];
    int count = fault_classes(s->aircraft, classes);
    return part_of_class(s->aircraft, classes[rng_below(r, (uint64_t)count)], r);
}

void subject_draw(subject *s, uint64_t seed, int index, int faults_most) {
    const aircraft *a = s->aircraft;
    state *asked = &s->view.asked;
    rng r = rng_make(rng_at(seed, (uint64_t)index, 0));
    state_of_phase(a, (int)rng_below(&r, (uint64_t)a->phase_count), asked);
    draw_positions(a, asked, &r);
    draw_faults(a, asked, &r, index, faults_most);
    s->start = &s->solver->bases[asked->phase].view.solution;
    s->base_amps = s->solver->bases[asked->phase].amps;
}

void subject_settle(subject *s) {
    view_settle(&s->view, s->solver->work, s->base_amps, s->start, false);
}

const char *subject_words(const subject *s) {
    static char words[2048];
    const aircraft *a = s->aircraft;
    const state *now = &s->view.asked;
    const double *phase = a->phases[now->phase].setting;
    size_t used =
        (size_t)snprintf(words, sizeof words, "%s, phase %s, charge %.3f, %.1f C:", a->name,
                         a->phases[now->phase].name, now->charge, now->temperature);
    for (int i = 0; i < a->part_count && used < sizeof words; i++) {
        if (now->setting[i] != phase[i])
            used += (size_t)snprintf(words + used, sizeof words - used, " %s=%g", a->parts[i].id,
                                     now->setting[i]);
    }
    for (int i = 0; i < now->fault_count && used < sizeof words; i++)
        used += (size_t)snprintf(words + used, sizeof words - used, " %s=%s",
                                 a->parts[now->faults[i].part].id, fault_word(now->faults[i].kind));
    return words;
}
