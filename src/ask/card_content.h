// Gathers what a card says from the aircraft and its solved phases. Only for this room.
#ifndef DEADBUS_ASK_CARD_CONTENT_H
#define DEADBUS_ASK_CARD_CONTENT_H

#include "base/text.h"
#include "model/outcome.h"
#include "report/bus_map.h"
#include "report/card_result.h"
#include "study/endurance_result.h"

// What a card is made from. All texts of the card go into `memory`.
typedef struct card_source {
    const aircraft *aircraft;
    arena *memory;
    outcome *const *phases;  // as they should be
    const outcome *usual;    // one of them
    const outcome *dead;     // the usual phase with every source dead; NULL: too many of them
    const endurance *lasts;  // the usual phase, its sources lost, nothing shed; NULL: not asked
} card_source;

// STATUS_OK or STATUS_NO_MEMORY.
status card_make(const card_source *from, card *made);

// The pieces: each fills its part of the card.
void card_make_meters(const card_source *from, card *made);
void card_make_breakers(const card_source *from, const bus_map *map, card *made);
void card_make_feeds(const card_source *from, const bus_map *map, card *made);

bool card_is_meter(const part *p);
// The text under work, moved into the arena; "" if memory fails.
const char *card_keep(arena *memory, text *t);
// "Pitot heat"; in the midst of a sentence (`inside`) "pitot heat", but "ESS FEED".
const char *card_part(const card_source *from, int which, bool inside);

#endif
