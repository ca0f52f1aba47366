// What is switched once a loss is noticed, and what must stay.
#include <string.h>

#include "ask/state_asker.h"
#include "base/text.h"

status state_after_shedding(const aircraft *a, const ask_options *o, const state *asked,
                            arena *memory, state *after, question_notes *notes, findings *f) {
    *after = (state){.setting = arena_new(memory, (size_t)a->part_count + 1, sizeof(double))};
    asker k = {a,     after, memory,
               notes, f,     arena_new(memory, (size_t)a->part_count + 1, sizeof *k.said)};
    if (!k.said || !after->setting)
        return STATUS_NO_MEMORY;
    int errors = f->errors;
    state_copy(a, asked, after);
    for (int i = 0; i < o->shed_count; i++) {
        state before = *after;
        asker_set(&k, &o->sheds[i]);
        bool weather = before.airborne != after->airborne || before.night != after->night ||
                       before.cloud != after->cloud || before.icing != after->icing ||
                       before.stall_near != after->stall_near ||
                       before.throttle != after->throttle || before.airspeed != after->airspeed;
        if (weather)
            asker_complain(&k, "no-switch", "It can be given with --set", "'", o->sheds[i].id,
                           "' is nothing to switch", NULL);
    }
    asker_follow(&k);
    if (memory->failed || f->memory.failed)
        return STATUS_NO_MEMORY;
    return f->errors > errors ? STATUS_BAD_REQUEST : STATUS_OK;
}

static int function_named(const aircraft *a, const char *name) {
    for (int i = 0; i < a->function_count; i++)
        if (text_equal(a->functions[i].name, name))
            return i;
    return -1;
}

static void unknown_function(const aircraft *a, const char *name, allocator memory, findings *f) {
    static const span nowhere = {0};
    const char *nearest = NULL;
    int least = 3;
    for (int i = 0; i < a->function_count; i++) {
        int edits = text_distance(name, a->functions[i].name, 2);
        if (edits < least) {
            least = edits;
            nearest = a->functions[i].name;
        }
    }
    text hint = text_make(memory);
    if (nearest)
        text_all(&hint, "Did you mean '", nearest, "'? ", NULL);
    text_put(&hint, a->function_count ? "There are: " : "The file gives no functions");
    for (int i = 0; i < a->function_count; i++)
        text_all(&hint, i ? ", " : "", a->functions[i].name, NULL);
    findings_say(f, SEVERITY_ERROR, nowhere, "unknown-function", text_get(&hint),
                 "there is no function '", name, "'", NULL);
    f->memory.failed = f->memory.failed || hint.failed;
    text_free(&hint);
}

// To fly and to speak: common practice, no source.
static const char *const USUALLY_KEPT[] = {"communication", "attitude", "heading",
                                           "airspeed",      "altitude", "power"};

bool *functions_to_keep(const aircraft *a, const ask_options *o, arena *memory, bool *assumed,
                        findings *f) {
    bool *keep = arena_new(memory, (size_t)a->function_count + 1, sizeof *keep);
    *assumed = o->keep_count == 0;
    if (!keep)
        return NULL;
    for (size_t i = 0; *assumed && i < sizeof USUALLY_KEPT / sizeof *USUALLY_KEPT; i++) {
        int at = function_named(a, USUALLY_KEPT[i]);
        if (at >= 0)
            keep[at] = true;
    }
    for (int i = 0; i < o->keep_count; i++) {
        int at = function_named(a, o->keeps[i]);
        if (at >= 0)
            keep[at] = true;
        else
            unknown_function(a, o->keeps[i], memory->memory, f);
    }
    return keep;
}

static void keep_named(const aircraft *a, const char *const *names, int count, bool *keep) {
    for (int i = 0; i < count; i++) {
        int at = function_named(a, names[i]);
        if (at >= 0)
            keep[at] = true;
    }
}

// Common practice, no source.
void keep_by_conditions(const aircraft *a, const state *s, bool *keep) {
    static const char *const night[] = {"navigation-lights", "panel-light"};
    static const char *const cloud[] = {"attitude", "heading", "altitude", "airspeed",
                                        "pitot-heat"};
    static const char *const ice[] = {"pitot-heat", "stall-heat", "windshield-ice",
                                      "propeller-ice"};
    static const char *const night_ice[] = {"wing-ice-light"};
    if (s->night)
        keep_named(a, night, 2, keep);
    if (s->cloud)
        keep_named(a, cloud, 5, keep);
    if (s->icing)
        keep_named(a, ice, 4, keep);
    if (s->icing && s->night)
        keep_named(a, night_ice, 1, keep);
}

// Common practice, no source.
const bool *functions_with_spare(const aircraft *a, const state *s, arena *memory) {
    static const char *const unseen[] = {"attitude"};
    bool *these = arena_new(memory, (size_t)a->function_count + 1, sizeof *these);
    if (these != NULL && (s->night || s->cloud))
        keep_named(a, unseen, 1, these);
    return these;
}
