#include "model/condition_table.h"

#include <string.h>

#include "base/text.h"

const char outside_words[] = "airborne, night, day, cloud, icing, stall-near, always, never";

static const outside_word OUTSIDE_WORDS[] = {
    {"airborne", CONDITION_AIRBORNE, false, "the phase says `airborne: yes`"},
    {"night", CONDITION_NIGHT, false, "the phase says `night: yes`"},
    {"day", CONDITION_NIGHT, true, "the phase doesn't say `night: yes`"},
    {"cloud", CONDITION_CLOUD, false, "the phase says `cloud: yes`"},
    {"icing", CONDITION_ICING, false, "the phase says `icing: yes`"},
    {"stall-near", CONDITION_STALL_NEAR, false, "the phase says `stall-near: yes`"},
    {"always", CONDITION_ALWAYS, false, "at all times"},
    {"never", CONDITION_NEVER, false, "at no time"},
};

#define KINDS(k) (UINT64_C(1) << KIND_##k)

static const status_word STATUS_WORDS[] = {
    {"on", CONDITION_ON, false, 0, "a switch, an item or a source",
     "switch: not at OFF; item: it works; source: joined, turning and excited"},
    {"off", CONDITION_ON, true, 0, "a switch, an item or a source", "the contrary of `on`"},
    {"in", CONDITION_IN, false, KINDS(BREAKER) | KINDS(FUSE) | KINDS(LIMITER), "a breaker or fuse",
     "it is in and whole"},
    {"out", CONDITION_IN, true, KINDS(BREAKER) | KINDS(FUSE) | KINDS(LIMITER), "a breaker or fuse",
     "it is out or blown"},
    {"closed", CONDITION_CLOSED, false, KINDS(RELAY) | KINDS(CONTACTOR) | KINDS(SWITCH),
     "a relay, contactor or switch", "its contact is closed"},
    {"open", CONDITION_CLOSED, true, KINDS(RELAY) | KINDS(CONTACTOR) | KINDS(SWITCH),
     "a relay, contactor or switch", "its contact is open"},
    {"running", CONDITION_RUNNING, false, KINDS(ENGINE) | KINDS(MOTOR), "an engine or motor",
     "it runs"},
    {"windmilling", CONDITION_WINDMILLING, false, KINDS(ENGINE), "an engine",
     "the air turns it, it gives no power"},
    {"stopped", CONDITION_STOPPED, false, KINDS(ENGINE) | KINDS(MOTOR), "an engine or motor",
     "it doesn't turn"},
    {"moving", CONDITION_MOVING, false, KINDS(MOTOR) | KINDS(SOLENOID) | KINDS(MECHANISM),
     "a thing with places", "it isn't yet where its selector asks"},
};

const outside_word *outside_word_at(int index) {
    int count = (int)(sizeof OUTSIDE_WORDS / sizeof OUTSIDE_WORDS[0]);
    return index >= 0 && index < count ? &OUTSIDE_WORDS[index] : NULL;
}

const status_word *status_word_at(int index) {
    int count = (int)(sizeof STATUS_WORDS / sizeof STATUS_WORDS[0]);
    return index >= 0 && index < count ? &STATUS_WORDS[index] : NULL;
}

const char *outside_word_near(const char *written, int most) {
    const char *nearest = NULL;
    size_t length = strlen(written);
    for (int i = 0; outside_word_at(i); i++) {
        const char *word = outside_word_at(i)->word;
        if (length >= 3 && strncmp(word, written, length) == 0)
            return word;
        int distance = most < 0 ? 1 : text_distance(written, word, most);
        if (distance > most)
            continue;
        most = distance - 1;
        nearest = word;
    }
    return nearest;
}
