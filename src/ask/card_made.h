// A card solved, then written in one form or another. Only for this room.
#ifndef DEADBUS_ASK_CARD_MADE_H
#define DEADBUS_ASK_CARD_MADE_H

#include "ask/options.h"
#include "base/arena.h"
#include "base/findings.h"
#include "base/status.h"
#include "base/text.h"
#include "circuit/solver.h"
#include "report/card_result.h"
#include "study/endurance_result.h"

typedef struct card_maker {
    const aircraft *aircraft;
    const ask_options *options;
    solver *solver;
    arena *memory;
    outcome **phases;
    outcome *dead;
    endurance lasts;
} card_maker;

typedef status card_writer(const card_maker *k, const card *c, text *out, findings *f);

status card_answer(const aircraft *a, const ask_options *o, card_writer *write, text *out,
                   findings *f);

#endif
