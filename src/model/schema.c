// The JSON Schema, from the table of fields.
#include "model/schema.h"

#include <string.h>

#include "model/field_table.h"
#include "model/units.h"

static void words_array(text *out, const char *words) {
    text_char(out, '[');
    for (const char *w = words; *w;) {
        const char *end = strchr(w, ' ');
        size_t length = end ? (size_t)(end - w) : strlen(w);
        text_put(out, w == words ? "\"" : ",\"");
        // `goes on` stands as goes-on in a list whose words are parted by spaces.
        bool two = length == 7 && memcmp(w, "goes-on", 7) == 0;
        text_put_n(out, two ? "goes on" : w, length);
        text_char(out, '"');
        w += length + (end ? 1 : 0);
    }
    text_char(out, ']');
}

// A pattern for figures in these units: enough to catch a slip while typing; the program knows
// more.
static void figure_pattern(text *out, uint32_t units, bool rest) {
    text pattern = text_make(out->memory);
    text_put(&pattern, "^[-+\xE2\x88\x92]?[0-9.]+( to [-+\xE2\x88\x92]?[0-9.]+)? ?(");
    bool first = true;
    for (int i = 0; unit_word_at(i); i++) {
        if (!(units >> unit_word_at(i)->unit & 1))
            continue;
        text_put(&pattern, first ? "" : "|");
        text_put(&pattern, unit_word_at(i)->word);
        first = false;
    }
    text_put(&pattern, rest ? ")( .+)?$" : ")$");
    text_put(out, "\"pattern\":");
    json_string(out, text_get(&pattern));
    out->failed = out->failed || pattern.failed;
    text_free(&pattern);
}

static void text_or_list(text *out) {
    text_put(out, "\"type\":[\"string\",\"number\",\"array\"],"
                  "\"items\":{\"type\":[\"string\",\"number\"]}");
}

static void type_of(text *out, const field *f) {
    switch (f->type) {
    case FIELD_FIGURE:
    case FIELD_ROW_FIGURE:
        text_put(out, "\"type\":\"string\",");
        figure_pattern(out, f->units, true);
        break;
    case FIELD_WORD:
        text_put(out, "\"enum\":");
        words_array(out, f->words);
        break;
    case FIELD_YES: text_put(out, "\"enum\":[\"yes\",\"no\",true,false]"); break;
    case FIELD_REFERENCES:
    case FIELD_CHOICES:
    case FIELD_IDS:
    case FIELD_NEEDS:
    case FIELD_NAMES: text_or_list(out); break;
    case FIELD_FITTED:
        text_put(out, "\"anyOf\":[{\"enum\":");
        words_array(out, f->words);
        text_put(out, "},{\"type\":\"array\",\"items\":{\"enum\":");
        words_array(out, f->words);
        text_put(out, "}}]");
        break;
    case FIELD_WIRE:
        text_put(out, "\"type\":\"string\",\"pattern\":"
                      "\"^([1-4]/0|[0-9]+) AWG [0-9.]+ ?(ft|m|in)( .+)?$\"");
        break;
    case FIELD_POSITIONS:
    case FIELD_READS:
    case FIELD_RIGHT: text_put(out, "\"type\":[\"string\",\"number\",\"array\",\"object\"]"); break;
    case FIELD_FIGURE_OR_TEXT:
    case FIELD_TEXT:
    case FIELD_REFERENCE:
    case FIELD_ID:
    case FIELD_CONDITION:
    case FIELD_WIRE_OR_TEXT:
    case FIELD_SPRING:
    case FIELD_BASIS:
    case FIELD_PLACE:
    case FIELD_ROW_TEXT:
    case FIELD_DERIVED: text_put(out, "\"type\":[\"string\",\"number\",\"boolean\"]"); break;
    }
}

static void property(text *out, const char *name, const field *f) {
    json_key(out, name);
    text_char(out, '{');
    type_of(out, f);
    text_put(out, ",\"description\":");
    json_string(out, f->doc);
    text_put(out, ",\"examples\":[");
    json_string(out, f->example);
    text_put(out, "]}");
}

static void kind_definition(text *out, part_kind kind) {
    const field *own = field_find(kind, KEY_VALUE);
    json_key(out, kind_word(kind));
    text_put(out, "{\"type\":\"object\",\"description\":");
    json_string(out, own->doc);
    text_put(out, ",\"required\":[");
    json_string(out, kind_word(kind));
    text_put(out, "],\"additionalProperties\":false,\"properties\":{");
    property(out, kind_word(kind), own);
    for (int i = 0; i < field_count(); i++) {
        const field *f = field_at(i);
        if (!(f->kinds >> kind & 1) || f->key == KEY_VALUE || !field_written(f))
            continue;
        text_put(out, ",\n");
        property(out, key_word(f->key), f);
    }
    text_put(out, "}}");
}

static void top(text *out) {
    text_put(
        out,
        "\"type\":\"object\",\"required\":[\"deadbus\",\"aircraft\",\"parts\"],\n"
        "\"additionalProperties\":false,\"properties\":{\n"
        "\"deadbus\":{\"description\":\"the version; the first key of the file\","
        "\"enum\":[1,\"1\"]},\n"
        "\"aircraft\":{\"type\":\"object\",\"required\":[\"nominal\"],"
        "\"additionalProperties\":false,\"properties\":{"
        "\"name\":{\"type\":[\"string\",\"number\"]},\"tail\":{\"type\":[\"string\",\"number\"]},"
        "\"nominal\":{\"type\":\"string\",");
    figure_pattern(out, UINT32_C(1) << UNIT_VOLT, true);
    text_put(
        out,
        ",\"description\":\"running volts; 14 V or 28 V are usual\"},"
        "\"seats\":{\"type\":[\"integer\",\"string\"]},\"note\":{\"type\":\"string\"}}},\n"
        "\"papers\":{\"type\":\"object\"},\n"
        "\"parts\":{\"$ref\":\"#/$defs/lines\"},\n"
        "\"seen\":{\"$ref\":\"#/$defs/lines\"},\n"
        "\"together\":{\"$ref\":\"#/$defs/lines\"},\n"
        "\"functions\":{\"type\":\"object\",\"additionalProperties\":{\"type\":\"object\","
        "\"additionalProperties\":false,\"properties\":{"
        "\"kept-by\":{\"$ref\":\"#/$defs/texts\"},\"partly-by\":{\"$ref\":\"#/$defs/texts\"}}}},\n"
        "\"questions\":{\"type\":\"object\",\"additionalProperties\":{\"type\":\"object\","
        "\"additionalProperties\":false,\"properties\":{"
        "\"found\":{\"type\":\"string\"},\"but\":{\"type\":\"string\"},"
        "\"by\":{\"type\":\"string\"},\"asked\":{\"type\":\"string\"}}}},\n"
        "\"phases\":{\"type\":\"object\",\"additionalProperties\":{\"$ref\":\"#/$defs/phase\"}}\n"
        "},\n");
}

static void phase_definition(text *out) {
    static const char *const FLAGS[] = {"airborne", "night", "cloud", "icing", "stall-near"};
    static const char *const TEXTS[] = {"like",     "engine",      "throttle",
                                        "airspeed", "temperature", "lasts"};
    text_put(out, "\"phase\":{\"type\":\"object\",\"additionalProperties\":false,\"properties\":{"
                  "\"on\":{\"$ref\":\"#/$defs/texts\"},\"off\":{\"$ref\":\"#/$defs/texts\"},"
                  "\"set\":{\"type\":\"object\"},\"duty\":{\"type\":\"object\"},"
                  "\"reads\":{\"type\":\"object\"}");
    for (int i = 0; i < 5; i++)
        text_all(out, ",\"", FLAGS[i], "\":{\"enum\":[\"yes\",\"no\",true,false]}", NULL);
    for (int i = 0; i < 6; i++)
        text_all(out, ",\"", TEXTS[i], "\":{\"type\":\"string\"}", NULL);
    text_put(out, "}}");
}

status schema_write(text *out) {
    text_put(out, "{\"$schema\":\"https://json-schema.org/draft/2020-12/schema\",\n"
                  "\"title\":\"Deadbus aircraft file, version 1\",\n");
    top(out);
    text_put(out, "\"$defs\":{\n\"texts\":{");
    text_or_list(out);
    text_put(out, "},\n\"lines\":{\"type\":\"object\",\"propertyNames\":{\"pattern\":"
                  "\"^[a-z][a-z0-9]*(-[a-z0-9]+)*$\",\"maxLength\":40},"
                  "\"additionalProperties\":{\"anyOf\":[");
    for (int k = 0; k < KIND_COUNT; k++)
        text_all(out, k ? ",\n" : "\n", "{\"$ref\":\"#/$defs/", kind_word((part_kind)k), "\"}",
                 NULL);
    text_put(out, "]}},\n");
    phase_definition(out);
    for (int k = 0; k < KIND_COUNT; k++) {
        text_put(out, ",\n");
        kind_definition(out, (part_kind)k);
    }
    text_put(out, "}}\n");
    return out->failed ? STATUS_NO_MEMORY : STATUS_OK;
}
