// The reference page and the fuzzer's dictionary, from the table of fields.
#include <string.h>

#include "model/condition_table.h"
#include "model/field_table.h"
#include "model/schema.h"
#include "model/units.h"

// Six digits, no trailing zeros: a conversion's rounding must not show.
static void plain_number(text *out, double value) { text_short(out, value, 6); }

static void in_units(text *out, double value, unit u) {
    plain_number(out, value / unit_factor(u));
    text_all(out, u == UNIT_NONE ? "" : " ", unit_usual(u), NULL);
}

static void put_units(text *out, uint32_t units) {
    bool first = true;
    for (int u = 1; u <= UNIT_RATIO; u++) {
        if (units >> u & 1) {
            text_all(out, first ? "" : " or ", unit_usual((unit)u), NULL);
            first = false;
        }
    }
}

static unit first_unit(uint32_t units) {
    for (int u = 1; u <= UNIT_RATIO; u++) {
        if (units >> u & 1)
            return (unit)u;
    }
    return UNIT_NONE;
}

static const char *type_words(field_type t) {
    switch (t) {
    case FIELD_FIGURE: return "figure";
    case FIELD_FIGURE_OR_TEXT: return "figure, or a name";
    case FIELD_TEXT:
    case FIELD_ROW_TEXT: return "text";
    case FIELD_WORD:
    case FIELD_FITTED: return "";
    case FIELD_YES: return "yes or no";
    case FIELD_REFERENCE: return "a terminal";
    case FIELD_REFERENCES: return "a terminal, or a list";
    case FIELD_CHOICES: return "list of terminals";
    case FIELD_ID: return "an id";
    case FIELD_IDS: return "list of ids";
    case FIELD_CONDITION: return "a condition";
    case FIELD_NEEDS: return "list of conditions";
    case FIELD_NAMES: return "list of names";
    case FIELD_WIRE: return "a wire";
    case FIELD_WIRE_OR_TEXT: return "a wire, or a name";
    case FIELD_POSITIONS: return "labels, or label: % or A";
    case FIELD_SPRING: return "yes, X to Y, to Y";
    case FIELD_READS: return "an id, or position: id";
    case FIELD_RIGHT: return "towards ID";
    case FIELD_BASIS: return "book, survey, measured, guess";
    case FIELD_PLACE: return "panel, row N, no N";
    case FIELD_ROW_FIGURE: return "figure, then its placard";
    case FIELD_DERIVED: return "(never written)";
    }
    return "";
}

static void put_value(text *out, const field *f) {
    text_put(out, type_words(f->type));
    if (f->words) {
        text_put(out, *type_words(f->type) ? ": " : "");
        for (const char *w = f->words; *w; w++)
            text_put_n(out, *w == ' ' ? ", " : w, *w == ' ' ? 2 : 1);
    }
    if (!f->units || f->type == FIELD_DERIVED)
        return;
    text_put(out, " in ");
    put_units(out, f->units);
    unit u = first_unit(f->units);
    text_put(out, ", ");
    plain_number(out, f->low / unit_factor(u));
    text_put(out, " to ");
    in_units(out, f->high, u);
    if (f->at_units) {
        text_put(out, ", may be `at` ");
        put_units(out, f->at_units);
    }
}

static void put_default(text *out, const field *f) {
    if (f->fallback) {
        text_put(out, f->fallback);
    } else if (f->assumed) {
        in_units(out, f->default_28, f->default_unit);
        if (f->default_28 != f->default_14) {
            text_put(out, " (28 V), ");
            in_units(out, f->default_14, f->default_unit);
            text_put(out, " (14 V)");
        }
    } else {
        text_put(out, "none");
        return;
    }
    bool given = f->fallback && strcmp(f->fallback, "must be given") == 0;
    if (f->source)
        text_all(out, "; ", f->source, NULL);
    else if (!given)
        text_put(out, " *");
}

static void put_kinds(text *out, uint64_t kinds) {
    int count = 0;
    for (int k = 0; k < KIND_COUNT; k++)
        count += kinds >> k & 1;
    if (count == KIND_COUNT) {
        text_put(out, "all");
        return;
    }
    bool first = true;
    for (int k = 0; k < KIND_COUNT; k++) {
        if (kinds >> k & 1) {
            text_all(out, first ? "" : ", ", kind_word((part_kind)k), NULL);
            first = false;
        }
    }
}

static void put_faults(text *out, part_kind k) {
    part_class class = kind_class(k);
    uint32_t faults = kind_faults(k, class == CLASS_ITEM || class == CLASS_UNIT);
    bool first = true;
    for (int i = 1; i < FAULT_COUNT; i++) {
        if (faults >> i & 1) {
            text_all(out, first ? "" : ", ", fault_word((fault_kind)i), NULL);
            first = false;
        }
    }
}

// Lets a cell hold a bar.
static void cell(text *out, const char *s) {
    for (; *s; s++)
        text_put_n(out, *s == '|' ? "\\|" : s, *s == '|' ? 2 : 1);
}

static void kinds_table(text *out) {
    text_put(out, "## Kinds\n\n| kind | its value | default | example | faults |\n"
                  "|---|---|---|---|---|\n");
    for (int k = 0; k < KIND_COUNT; k++) {
        const field *f = field_find((part_kind)k, KEY_VALUE);
        text_all(out, "| `", kind_word((part_kind)k), "` ", f->doc, " | ", NULL);
        put_value(out, f);
        text_put(out, " | ");
        put_default(out, f);
        text_all(out, " | `", kind_word((part_kind)k), ": ", f->example, "` | ", NULL);
        put_faults(out, (part_kind)k);
        text_put(out, " |\n");
    }
}

static void keys_table(text *out) {
    text_put(out, "\n## Keys\n\n| key | on | value | default | example |\n|---|---|---|---|---|\n");
    for (int i = 0; i < field_count(); i++) {
        const field *f = field_at(i);
        if (f->key == KEY_VALUE)
            continue;
        text_all(out, "| `", key_word(f->key), "` ", NULL);
        cell(out, f->doc);
        text_put(out, " | ");
        put_kinds(out, f->kinds);
        text_put(out, " | ");
        put_value(out, f);
        text_put(out, " | ");
        put_default(out, f);
        text_all(out, " | `", key_word(f->key), ": ", f->example, "` |\n", NULL);
    }
}

// Keys of one sort: "`a`, `b`".
static void keys_of_type(text *out, field_type type) {
    bool first = true;
    for (int k = 0; k < KEY_COUNT; k++) {
        bool found = false;
        for (int i = 0; i < field_count() && !found; i++)
            found = field_at(i)->key == (part_key)k && field_at(i)->type == type;
        if (!found)
            continue;
        text_all(out, first ? "`" : ", `", key_word((part_key)k), "`", NULL);
        first = false;
    }
}

static void conditions_table(text *out) {
    text_put(out, "\n## Conditions\n\nOne text in words, without commas, after ");
    keys_of_type(out, FIELD_CONDITION);
    text_put(out, ",\nand in the lists of ");
    keys_of_type(out, FIELD_NEEDS);
    text_put(out, ", `kept-by` and `partly-by`. `<` and `>` aren't understood.\n\n"
                  "| written | true when |\n|---|---|\n"
                  "| `main-bus below 25 V` | the volts from there to the airframe, of an item or "
                  "battery across it; `above` is the other way |\n"
                  "| `shunt above 40 A` | amps through it from its `from` to its `to` |\n"
                  "| `generator above main-bus by 0.5 V` | one point has more volts than another; "
                  "`by` may be left out |\n"
                  "| `battery below 30 %`, `flaps above 10 %` | charge; place |\n"
                  "| `engine above 1200 rpm` | its speed |\n"
                  "| `airspeed below 60 kt`, `temperature below 4 C`, `throttle below 20 %` | as "
                  "the phase says |\n"
                  "| `key at START`, `gear not at DOWN` | a switch stands there; a thing with "
                  "places has got there |\n"
                  "| an id or a supply alone | the part works; the supply is present |\n"
                  "| `NAME present`, `NAME low` | something that `makes` it works; nothing that "
                  "makes it works |\n");
    for (int i = 0; status_word_at(i); i++) {
        const status_word *w = status_word_at(i);
        text_all(out, "| `ID ", w->word, "` (", w->said_of, ") | ", w->doc, " |\n", NULL);
    }
    for (int i = 0; outside_word_at(i); i++)
        text_all(out, "| `", outside_word_at(i)->word, "` | ", outside_word_at(i)->doc, " |\n",
                 NULL);
    text_put(out,
             "| `A and B`, `A or B`, `not A` | both, one of them, the contrary; `and` together "
             "with `or` needs brackets |\n"
             "| `A for 2 s` | it has lasted that long; an answer for one instant takes the time "
             "as over |\n"
             "| `A until B` | it comes with A and stays until B, though A ends |\n"
             "\n`is` may stand after an id or a name: it changes nothing. Without `until` a "
             "comparison ends with a\ndead band of 1 %, at least 0.1 V or 0.1 A *.\n");
}

status format_page_write(text *out) {
    text_put(
        out,
        "# The aircraft file\n\n"
        "Written from the program's own table of fields; a test compares. Don't edit it by "
        "hand.\n\n"
        "One file is one aeroplane. One line is one part: `id: {KIND: value, key: value, ...}`; "
        "the\n"
        "first key is always the kind. The first key of the file is `deadbus: 1`; then the "
        "sections\n"
        "`aircraft`, `papers`, `parts`, `seen`, `functions`, `together`, `questions`, `phases`.\n\n"
        "What isn't known is left out. A default then fills in and is marked *assumed* in every\n"
        "answer. A `*` here: a design choice, no source.\n\n"
        "For teaching. The approved flight manual, the maintenance manual, local rules and "
        "licensed\n"
        "people come before anything computed from such a file.\n\n"
        "A figure is `[NUMBER to] NUMBER UNIT [at NUMBER UNIT] [measured | book | guess "
        "[where]]`.\n"
        "Units: ");
    for (int i = 0; unit_word_at(i); i++) {
        if (strcmp(unit_word_at(i)->word, "to 1") != 0)
            text_all(out, i ? ", " : "", "`", unit_word_at(i)->word, "`", NULL);
    }
    text_put(out, ", and `to 1` for ratios.\n\n");
    kinds_table(out);
    keys_table(out);
    conditions_table(out);
    return out->failed ? STATUS_NO_MEMORY : STATUS_OK;
}

static void entry(text *out, const char *word) {
    text_put(out, "\"");
    for (; *word; word++) {
        unsigned char c = (unsigned char)*word;
        if (c >= 0x80) {
            static const char HEX[] = "0123456789ABCDEF";
            text_put(out, "\\x");
            text_char(out, HEX[c >> 4]);
            text_char(out, HEX[c & 15]);
        } else if (c == '"' || c == '\\') {
            text_char(out, '\\');
            text_char(out, *word);
        } else {
            text_char(out, *word);
        }
    }
    text_put(out, "\"\n");
}

status dictionary_write(text *out) {
    static const char *const WORDS[] = {
        "deadbus: 1\n", "aircraft:",  "papers:",    "parts:",        "seen:",         "functions:",
        "together:",    "questions:", "phases:",    "nominal: 28 V", "nominal: 14 V", "kept-by",
        "partly-by",    " at ",       " for ",      " until ",       " above ",       " below ",
        " and ",        " or ",       "not ",       "ground",        "unknown",       "airborne",
        "night",        "icing",      "stall-near", "always",        "never",         "measured ",
        "book ",        "guess",      "like: ",     "on: [",         "off: [",        "set: {",
        "duty: {",      "engine: ",   "lasts: ",    "reads: {"};
    text_put(out, "# Words of the aircraft file; written from the table of fields.\n");
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++) {
        if (strchr(WORDS[i], '\n'))
            text_put(out, "\"deadbus: 1\\x0A\"\n");
        else
            entry(out, WORDS[i]);
    }
    for (int k = 0; k < KIND_COUNT; k++)
        text_all(out, "\"", kind_word((part_kind)k), ": \"\n", NULL);
    for (int k = 1; k < KEY_COUNT; k++) {
        if (k == KEY_ROW_BREAKER || k == KEY_ROW_FUSE || k == KEY_ROW_SWITCH)
            continue;  // kinds too
        text_all(out, "\"", key_word((part_key)k), ": \"\n", NULL);
    }
    for (int i = 0; unit_word_at(i); i++) {
        text with_space = text_make(out->memory);
        text_all(&with_space, " ", unit_word_at(i)->word, NULL);
        entry(out, text_get(&with_space));
        out->failed = out->failed || with_space.failed;
        text_free(&with_space);
    }
    for (int i = 0; i < field_count(); i++) {
        if (field_at(i)->key != KEY_VALUE && field_written(field_at(i)))
            entry(out, field_at(i)->example);
    }
    return out->failed ? STATUS_NO_MEMORY : STATUS_OK;
}
