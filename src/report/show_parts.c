// The parts and phases for programs that let a person operate the aeroplane: what a hand can move
// and where to, what can fail, and how an instrument is scaled.
#include "model/part_words.h"
#include "report/show_report.h"

static void key_text(text *out, const char *key, const char *value) {
    text_char(out, ',');
    json_key(out, key);
    json_string(out, value);
}

static void key_number(text *out, const char *key, double value) {
    text_char(out, ',');
    json_key(out, key);
    json_number(out, value);
}

static void key_figure(text *out, const char *key, const part *p, part_key k) {
    const figure *f = part_figure(p, k);
    if (f)
        key_number(out, key, f->value);
}

// How a part's position is worded.
typedef enum wording {
    WORDED_NOT,
    WORDED_LABELS,  // the labels of its positions
    WORDED_IN_OUT,
    WORDED_ON_OFF,
    WORDED_SHARE,  // a percentage
    WORDED_ENGINE,
} wording;

static wording wording_of(const part *p) {
    const positions *list = part_positions(p);
    switch (p->kind) {
    case KIND_BREAKER:
    case KIND_FUSE:
    case KIND_LIMITER: return WORDED_IN_OUT;
    case KIND_DIMMER: return WORDED_SHARE;
    case KIND_EXTERNAL_POWER: return WORDED_ON_OFF;
    case KIND_ENGINE: return WORDED_ENGINE;
    case KIND_SWITCH: return !p->hand ? WORDED_NOT : list ? WORDED_LABELS : WORDED_ON_OFF;
    default: break;
    }
    if (list && list->sort == POSITIONS_SETTINGS)
        return WORDED_LABELS;
    return part_text(p, KEY_OWN_SWITCH) ? WORDED_ON_OFF : WORDED_NOT;
}

static void positions_json(const part *p, text *out) {
    static const char *const words[] = {
        [WORDED_IN_OUT] = "\"out\",\"in\"",
        [WORDED_ON_OFF] = "\"off\",\"on\"",
        [WORDED_SHARE] = "\"0%\",\"30%\",\"60%\",\"100%\"",
        [WORDED_ENGINE] = "\"stopped\",\"windmilling\",\"running\"",
    };
    wording w = wording_of(p);
    if (w == WORDED_NOT)
        return;
    text_put(out, ",\"positions\":[");
    if (w != WORDED_LABELS) {
        text_put(out, words[w]);
    } else {
        const positions *list = part_positions(p);
        for (int i = 0; i < list->count; i++) {
            text_put(out, i ? "," : "");
            json_string(out, list->labels[i]);
        }
    }
    text_char(out, ']');
}

// A position in the word that `--set` takes for it.
static void position_word(const part *p, double value, text *out) {
    wording w = wording_of(p);
    const positions *list = part_positions(p);
    int at = (int)value;
    if (w == WORDED_LABELS) {
        text_put(out, at >= 0 && at < list->count ? list->labels[at] : "");
    } else if (w == WORDED_IN_OUT) {
        text_put(out, value != 0 ? "in" : "out");
    } else if (w == WORDED_ON_OFF) {
        text_put(out, value != 0 ? "on" : "off");
    } else if (w == WORDED_SHARE || value > 0) {
        text_number(out, w == WORDED_SHARE ? value * 100 : value);
        text_put(out, w == WORDED_SHARE ? "%" : " rpm");
    } else {
        text_put(out, value < 0 ? "windmilling" : "stopped");
    }
}

void settings_json(const aircraft *a, const double *setting, text *out) {
    text word = text_make(out->memory);
    bool first = true;
    text_char(out, '{');
    for (int i = 0; i < a->part_count; i++) {
        if (wording_of(&a->parts[i]) == WORDED_NOT)
            continue;
        word.length = 0;
        position_word(&a->parts[i], setting[i], &word);
        text_put(out, first ? "" : ",");
        first = false;
        json_key(out, a->parts[i].id);
        json_string(out, text_get(&word));
    }
    text_char(out, '}');
    out->failed = out->failed || word.failed;
    text_free(&word);
}

static void faults_of(const part *p, text *out) {
    uint32_t can = p->fitted & FITTED_ABSENT ? 0 : kind_faults(p->kind, p->electric);
    text_put(out, ",\"faults\":[");
    bool first = true;
    for (int i = 1; i < FAULT_COUNT; i++) {
        if (!(can >> i & 1))
            continue;
        text_put(out, first ? "" : ",");
        json_string(out, fault_word((fault_kind)i));
        first = false;
    }
    text_char(out, ']');
}

// The two points that a meter sits between, or the one that it reads.
static void reads_json(const aircraft *a, const part *p, text *out) {
    if (p->kind != KIND_AMMETER && p->kind != KIND_LOADMETER && p->kind != KIND_VOLTMETER)
        return;
    const part_value *value = part_value_of(p, KEY_READS);
    if (!value || value->type != VALUE_READS || value->as.reads.count == 0)
        return;
    int which = value->as.reads.items[0].ref.part;
    if (which < 0)
        return;
    const part *read = &a->parts[which];
    const reference_list *from = part_references(read, KEY_FROM);
    const reference_list *to = part_references(read, KEY_TO);
    text between = text_make(out->memory);
    if (from && to && from->count && to->count && from->items[0].part >= 0 &&
        to->items[0].part >= 0) {
        part_short_name(a, from->items[0].part, &between);
        text_put(&between, " to ");
        part_short_name(a, to->items[0].part, &between);
    } else {
        part_short_name(a, which, &between);
    }
    key_text(out, "reads", text_get(&between));
    out->failed = out->failed || between.failed;
    text_free(&between);
}

static void part_json(const aircraft *a, int which, text *words, text *out) {
    const part *p = &a->parts[which];
    json_key(out, p->id);
    text_all(out, "{\"kind\":\"", kind_word(p->kind), "\"", NULL);
    words->length = 0;
    part_short_name(a, which, words);
    key_text(out, "label", text_get(words));
    words->length = 0;
    part_sentence_name(a, which, words);
    key_text(out, "name", text_get(words));
    if (p->row > 0 || p->number > 0 || (p->panel && *p->panel)) {
        text_put(out, ",\"place\":{\"panel\":");
        json_string(out, p->panel ? p->panel : "");
        key_number(out, "row", p->row);
        key_number(out, "number", p->number);
        text_char(out, '}');
    }
    if (p->kind == KIND_BREAKER || p->kind == KIND_FUSE || p->kind == KIND_LIMITER)
        key_figure(out, "rating", p, KEY_VALUE);
    if (part_text(p, KEY_HANDBOOK))
        key_text(out, "handbook", part_text(p, KEY_HANDBOOK));
    text_all(out, ",\"reach\":\"",
             p->fitted & FITTED_ABSENT    ? "absent"
             : p->fitted & FITTED_NO_PULL ? "no-pull"
             : p->reach != REACH_SEAT     ? "away"
                                          : "seat",
             "\",\"hand\":", p->hand ? "true" : "false", NULL);
    positions_json(p, out);
    reads_json(a, p, out);
    faults_of(p, out);
    text_char(out, '}');
}

static void flag(text *out, const char *key, bool value) {
    text_char(out, ',');
    json_key(out, key);
    text_put(out, value ? "true" : "false");
}

void parts_and_phases_json(const aircraft *a, text *out) {
    text words = text_make(out->memory);
    text_put(out, ",\n\"parts\":{");
    for (int i = 0; i < a->part_count; i++) {
        text_put(out, i ? ",\n" : "\n");
        part_json(a, i, &words, out);
    }
    text_put(out, "},\n\"phases\":[");
    for (int i = 0; i < a->phase_count; i++) {
        const phase *p = &a->phases[i];
        text_put(out, i ? ",\n{\"name\":" : "\n{\"name\":");
        json_string(out, p->name);
        flag(out, "airborne", p->airborne);
        flag(out, "night", p->night);
        flag(out, "cloud", p->cloud);
        flag(out, "icing", p->icing);
        key_number(out, "temperature", p->temperature);
        text_char(out, '}');
    }
    text_put(out, "],\n\"papers\":{");
    for (int i = 0; i < a->paper_count; i++) {
        text_put(out, i ? "," : "");
        json_key(out, a->papers[i].key);
        json_string(out, a->papers[i].value);
    }
    char revision[REVISION_SIZE];
    aircraft_revision(a, revision);
    text_put(out, "},\n\"revision\":");
    json_string(out, revision);
    out->failed = out->failed || words.failed;
    text_free(&words);
}
