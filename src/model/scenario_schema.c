// The JSON Schema of scenario files, their reference page and the fuzzer's dictionary, all from the
// one table.
#include <string.h>

#include "model/scenario_table.h"
#include "model/units.h"

static const char *type_words(scenario_type t) {
    switch (t) {
    case SCENARIO_VERSION: return "1";
    case SCENARIO_TEXT: return "text";
    case SCENARIO_NOTE: return "text, also a block";
    case SCENARIO_SECTION: return "keys of its own";
    case SCENARIO_STEPS: return "list of entries";
    case SCENARIO_FIGURE: return "figure";
    case SCENARIO_WORD: return "";
    case SCENARIO_PHASE: return "a phase of the aircraft";
    case SCENARIO_SETTINGS: return "map of ids and conditions to positions";
    case SCENARIO_OUTSIDE: return "map of conditions to figures, or to yes or no";
    case SCENARIO_FAULTS: return "map of ids to faults";
    case SCENARIO_MOMENT: return "a moment";
    case SCENARIO_WATCH: return "a watch";
    case SCENARIO_THINGS: return "list of ids and functions";
    case SCENARIO_RECORDS: return "list";
    }
    return "";
}

// ---- schema -------------------------------------------------------------------------------------
static void properties(text *out, scenario_place place);

static void enumeration(text *out, const char *words) {
    text_put(out, "\"enum\":[");
    for (const char *w = words; *w;) {
        size_t n = strcspn(w, " ");
        text_char(out, '"');
        text_put_n(out, w, n);
        text_char(out, '"');
        w += n;
        if (*w)
            text_char(out, ',');
        w += *w != 0;
    }
    text_char(out, ']');
}

static void type_of(text *out, const scenario_field *f) {
    static const char ITEMS[] = "\"type\":[\"array\",\"string\"],\"items\":{\"type\":\"string\"}";
    switch (f->type) {
    case SCENARIO_VERSION: text_put(out, "\"enum\":[1,\"1\"]"); return;
    case SCENARIO_WORD: enumeration(out, f->words); return;
    case SCENARIO_SECTION:
        properties(out, strcmp(f->name, "start") == 0 ? PLACE_START : PLACE_ENDS);
        return;
    case SCENARIO_STEPS:
        text_put(out, "\"type\":\"array\",\"items\":{");
        properties(out, PLACE_STEP);
        text_char(out, '}');
        return;
    case SCENARIO_SETTINGS:
    case SCENARIO_OUTSIDE:
    case SCENARIO_FAULTS:
        text_put(out, "\"type\":\"object\",\"additionalProperties\":{\"type\":[\"string\","
                      "\"number\",\"boolean\"]}");
        return;
    case SCENARIO_THINGS:
    case SCENARIO_RECORDS: text_put(out, ITEMS); return;
    default: text_put(out, "\"type\":[\"string\",\"number\"]"); return;
    }
}

static void properties(text *out, scenario_place place) {
    bool first = true;
    text_put(out, "\"type\":\"object\",\"additionalProperties\":false,\"required\":[");
    for (int k = 0; k < SCENARIO_KEYS; k++) {
        const scenario_field *f = scenario_field_at((scenario_key)k);
        if (f->place != place || !f->needed)
            continue;
        text_put(out, first ? "" : ",");
        json_string(out, f->name);
        first = false;
    }
    text_put(out, "],\"properties\":{");
    first = true;
    for (int k = 0; k < SCENARIO_KEYS; k++) {
        const scenario_field *f = scenario_field_at((scenario_key)k);
        if (f->place != place)
            continue;
        text_put(out, first ? "\n" : ",\n");
        first = false;
        json_key(out, f->name);
        text_char(out, '{');
        type_of(out, f);
        text_put(out, ",\"description\":");
        json_string(out, f->doc);
        text_put(out, ",\"examples\":[");
        json_string(out, f->example);
        text_put(out, "]}");
    }
    text_char(out, '}');
}

status scenario_schema_write(text *out) {
    text_put(out, "{\"$schema\":\"https://json-schema.org/draft/2020-12/schema\",\n"
                  "\"title\":\"Deadbus scenario file, version 1\",\n");
    properties(out, PLACE_TOP);
    text_put(out, "}\n");
    return out->failed ? STATUS_NO_MEMORY : STATUS_OK;
}

// ---- page ---------------------------------------------------------------------------------------
static void range(text *out, const scenario_field *f) {
    unit u = UNIT_NONE;
    for (int i = 1; i <= UNIT_RATIO && u == UNIT_NONE; i++)
        if (f->figure.units >> i & 1)
            u = (unit)i;
    // Hours tell more than 172800 s.
    double factor = u == UNIT_SECOND ? 3600 : unit_factor(u);
    const char *word = u == UNIT_SECOND ? "h" : unit_usual(u);
    text_short(out, f->figure.low / factor, 6);
    text_put(out, " to ");
    text_short(out, f->figure.high / factor, 6);
    text_all(out, " ", word, NULL);
}

static void keys_table(text *out, scenario_place place) {
    text_put(out, "| key | value | if left out | meaning | example |\n|---|---|---|---|---|\n");
    for (int k = 0; k < SCENARIO_KEYS; k++) {
        const scenario_field *f = scenario_field_at((scenario_key)k);
        if (f->place != place)
            continue;
        text_all(out, "| `", f->name, "` | ", type_words(f->type), NULL);
        if (f->type == SCENARIO_WORD)
            text_all(out, "one of ", f->words, NULL);
        if (f->type == SCENARIO_FIGURE) {
            text_put(out, ", ");
            range(out, f);
        }
        text_all(out, " | ",
                 f->needed      ? "must be given"
                 : f->otherwise ? f->otherwise
                                : "",
                 " | ", f->doc, " | `", f->example, "` |\n", NULL);
    }
}

static void watches_table(text *out) {
    text_put(out,
             "| written | true when |\n|---|---|\n"
             "| `ID above 24 V`, `ID below 24 V` | of an item or battery the volts across "
             "it, of everything else to the airframe |\n"
             "| `ID above 40 A`, `ID below 40 A` | amps through it, as the aircraft file signs "
             "them |\n"
             "| `battery below 20 %`, `battery above 20 %` | a battery's charge |\n");
    for (int i = 0; watch_word_at(i); i++) {
        const watch_word *w = watch_word_at(i);
        text_all(out, "| `", w->op == WATCH_FUNCTION ? "NAME " : "ID ", w->word, "` (", w->said_of,
                 ") | ", w->doc, " |\n", NULL);
    }
}

status scenario_page_write(text *out) {
    text_put(
        out,
        "# The scenario file\n\n"
        "Written from the program's own table of keys; a test compares. Don't edit it by hand.\n\n"
        "A scenario is what happens to one aeroplane on a time line: a lesson. `deadbus run "
        "AIRCRAFT SCENARIO`\n"
        "plays it. It is YAML in the manner of the [aircraft file](format.md): the same units, the "
        "same words for\n"
        "positions (`--set`) and faults (`show FILE --faults`), everything is text until this "
        "table gives it a type.\n"
        "The guide has [Write a lesson](guide/write-a-lesson.md).\n\n"
        "For teaching. The approved flight manual, the maintenance manual, local rules and "
        "licensed people come\nbefore anything computed from such a file.\n\n"
        "## The file\n\n");
    keys_table(out, PLACE_TOP);
    text_put(out, "\n## `start`\n\n");
    keys_table(out, PLACE_START);
    text_put(out, "\n## An entry of `happens`\n\n");
    keys_table(out, PLACE_STEP);
    text_put(out,
             "\nIn one entry the question comes first, then `say`, then `phase`, `set`, `outside`, "
             "`fail`, `repair`, all at one\ninstant. `outside` takes `temperature`, `airspeed`, "
             "`throttle`, and `night day cloud icing airborne stall-near` (yes or no).\n"
             "`set` also takes the conditions `airborne night day cloud icing stall-near` (yes or "
             "no), `throttle` and\n`airspeed`. Halves of a rocker switch go along by themselves. "
             "At most 8 faults in one scenario.\n"
             "\n## `ends`\n\n");
    keys_table(out, PLACE_ENDS);
    text_put(out, "\n## Moments\n\n"
                  "| written | means |\n|---|---|\n"
                  "| `6 min` | so long after the start |\n"
                  "| `low-volts lit` | a watch: as soon as it first holds |\n"
                  "| `3 min after low-volts lit` | so long after that |\n"
                  "\n## Watches\n\n");
    watches_table(out);
    text_put(out, "\nA watch that holds from the beginning holds at 0 s. One that never holds "
                  "never happens.\n");
    return out->failed ? STATUS_NO_MEMORY : STATUS_OK;
}

// ---- dictionary ---------------------------------------------------------------------------------
static void entry(text *out, const char *before, const char *word, const char *after) {
    text_all(out, "\"", before, word, after, "\"\n", NULL);
}

status scenario_dictionary_write(text *out) {
    static const char *const WORDS[] = {" after ", " above ", " below ", " volts", " amps",
                                        " charge", " V",      " A",      " %",     " min",
                                        " s",      " C",      "yes",     "no",     "running"};
    text_put(out, "# Words of the scenario file; written from its table of keys.\n");
    for (int k = 0; k < SCENARIO_KEYS; k++) {
        const scenario_field *f = scenario_field_at((scenario_key)k);
        entry(out, "", f->name, ": ");
        entry(out, "", f->example, "");
    }
    for (int i = 0; watch_word_at(i); i++)
        entry(out, " ", watch_word_at(i)->word, "");
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++)
        entry(out, "", WORDS[i], "");
    return out->failed ? STATUS_NO_MEMORY : STATUS_OK;
}
