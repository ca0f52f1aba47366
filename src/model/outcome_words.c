// The fixed words of an outcome, the same in every answer.
#include "model/outcome.h"

const char *item_status_word(item_status s) {
    switch (s) {
    case ITEM_NONE: return "";
    case ITEM_ON: return "on";
    case ITEM_WEAK: return "weak";
    case ITEM_OFF: return "off";
    case ITEM_NO_DATA: return "no-data";
    case ITEM_UNUSED: return "unused";
    }
    return "";
}

const char *function_status_word(function_status s) {
    switch (s) {
    case FUNCTION_KEPT: return "kept";
    case FUNCTION_REDUCED: return "reduced";
    case FUNCTION_LOST: return "lost";
    }
    return "";
}

const char *source_mode_word(source_mode m) {
    switch (m) {
    case SOURCE_OFF: return "off";
    case SOURCE_NO_FIELD: return "no field";
    case SOURCE_TRIPPED: return "tripped";
    case SOURCE_IDLE: return "idle";
    case SOURCE_REGULATING: return "regulating";
    case SOURCE_LIMITED: return "at its limit";
    case SOURCE_CHARGING: return "charging";
    case SOURCE_DISCHARGING: return "discharging";
    }
    return "";
}

bool source_residual_only(const aircraft *a, const source_outcome *s) {
    bool asleep = s->mode == SOURCE_OFF || s->mode == SOURCE_NO_FIELD || s->mode == SOURCE_TRIPPED;
    return asleep && a->parts[s->part].kind == KIND_GENERATOR && s->volts > 0.05 && s->amps >= 0;
}

const char *outcome_settled_word(outcome_settled s) {
    switch (s) {
    case OUTCOME_SETTLED: return "yes";
    case OUTCOME_CHATTERS: return "chatters";
    case OUTCOME_COLLAPSED: return "collapsed";
    }
    return "";
}
