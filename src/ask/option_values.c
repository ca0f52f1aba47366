#include "ask/option_values.h"

#include <string.h>

#include "base/number.h"
#include "model/state.h"

static const span nowhere = {0};

void option_complain(const option_reading *r, const char *expected) {
    findings_say(r->out, SEVERITY_ERROR, nowhere, "wrong-value", expected, "'", r->value,
                 "' is no value for ", r->option->name, NULL);
}

int option_number(const option_reading *r, const char *const units[], double *number,
                  const char *expected) {
    size_t length = strlen(r->value);
    int used = number_read(r->value, length, number);
    if (used > 0) {
        const char *rest = r->value + used;
        while (*rest == ' ')
            rest++;
        for (int i = 0; units[i]; i++)
            if (strcmp(rest, units[i]) == 0)
                return i;
    }
    option_complain(r, expected);
    return -1;
}

static void read_charge(const option_reading *r) {
    static const char *const units[] = {"%", NULL};
    static const char expected[] = "Write a percentage from 0% to 100%, such as --charge 80%";
    double percent;
    if (option_number(r, units, &percent, expected) < 0)
        return;
    if (percent < 0 || percent > 100)
        option_complain(r, expected);
    else
        r->o->charge = percent / 100;
}

static void read_temperature(const option_reading *r) {
    static const char *const units[] = {"C",
                                        "\xC2\xB0"
                                        "C",
                                        "F",
                                        "\xC2\xB0"
                                        "F",
                                        NULL};
    static const char expected[] =
        "Write degrees with their unit, from -60C to 60C, such as --temperature -10C or 14F";
    double degrees;
    int written = option_number(r, units, &degrees, expected);
    if (written < 0)
        return;
    double celsius = written >= 2 ? (degrees - 32) / 1.8 : degrees;
    if (celsius < -60 || celsius > 60)
        option_complain(r, expected);
    else
        r->o->temperature = celsius;
}

static void read_width(const option_reading *r) {
    static const char *const units[] = {"", "px", NULL};
    static const char expected[] = "Write whole pixels from 200 to 10000, such as --width 800";
    double pixels;
    if (option_number(r, units, &pixels, expected) < 0)
        return;
    if (pixels < 200 || pixels > 10000 || pixels != (double)(int)pixels)
        option_complain(r, expected);
    else
        r->o->width = (int)pixels;
}

int option_word(const option_reading *r, const char *expected) {
    size_t length = strlen(r->value);
    int index = 0;
    for (const char *word = r->option->words; *word; index++) {
        size_t size = strcspn(word, " ");
        if (size == length && memcmp(word, r->value, size) == 0)
            return index;
        word += size + (word[size] == ' ');
    }
    option_complain(r, expected);
    return -1;
}

static void read_theme(const option_reading *r) {
    int found = option_word(r, "There are light, dark, print and page");
    if (found >= 0)
        r->o->theme = (ask_theme)found;
}

void option_pair(const option_reading *r, const ask_pair **list, int *count, bool once) {
    const char *equals = strchr(r->value, '=');
    if (!equals || equals == r->value || equals[1] == 0) {
        option_complain(r, once ? "Write the part, an equals sign and its position, such as "
                                  "--set flap-switch=UP"
                                : "Write the part, an equals sign and what fails, such as "
                                  "--fail alternator=dead");
        return;
    }
    arena *memory = &r->o->memory;
    const char *id = arena_text(memory, r->value, (size_t)(equals - r->value));
    const char *word = arena_text(memory, equals + 1, strlen(equals + 1));
    ask_pair *grown = arena_new(memory, (size_t)*count + 1, sizeof *grown);
    if (!id || !word || !grown)
        return;
    for (int i = 0; i < *count; i++) {
        const ask_pair *earlier = &(*list)[i];
        grown[i] = *earlier;
        if (strcmp(earlier->id, id) != 0)
            continue;
        bool same_word = strcmp(earlier->word, word) == 0;
        if (once || same_word) {
            findings_say(r->out, SEVERITY_ERROR, nowhere, "given-twice", "Leave one out",
                         r->option->name, " is given twice for '", id, "'",
                         same_word ? "" : ", with different positions", NULL);
            return;
        }
    }
    grown[(*count)++] = (ask_pair){.id = id, .word = word};
    *list = grown;
}

static void read_fail(const option_reading *r) {
    if (r->o->fail_count == STATE_FAULTS) {
        findings_say(r->out, SEVERITY_ERROR, nowhere, "too-many-faults", "Leave some out", "'",
                     r->value, "' is one fault too many: at most 8 at a time", NULL);
        return;
    }
    option_pair(r, &r->o->fails, &r->o->fail_count, false);
}

// A span of time, up to a year: a battery on its hot line alone lasts for weeks.
void option_time(const option_reading *r, double least, double *seconds) {
    static const char *const units[] = {"min", "h", "s", "d", NULL};
    static const double factors[] = {60, 3600, 1, 86400};
    static const char expected[] =
        "Write a time with its unit, up to 366d, such as 5min, 90s, 3h or 60d";
    double number;
    int unit = option_number(r, units, &number, expected);
    if (unit < 0)
        return;
    number *= factors[unit];
    if (number < least || number > 366 * 86400.0)
        option_complain(r, expected);
    else
        *seconds = number;
}

bool option_value_of_state(const option_reading *r, option_id id) {
    ask_options *o = r->o;
    switch (id) {
    case OPTION_PHASE: o->phase = arena_text(&o->memory, r->value, strlen(r->value)); break;
    case OPTION_SET: option_pair(r, &o->sets, &o->set_count, true); break;
    case OPTION_FAIL: read_fail(r); break;
    case OPTION_AT: option_time(r, 0, &o->at); break;
    case OPTION_CHARGE: read_charge(r); break;
    case OPTION_TEMPERATURE: read_temperature(r); break;
    case OPTION_BEFORE_TRIP: o->before_trip = true; break;
    case OPTION_FAULTS: o->faults = true; break;
    case OPTION_NORMAL: o->normal = true; break;
    case OPTION_CHART: o->chart = true; break;
    case OPTION_WIDTH: read_width(r); break;
    case OPTION_THEME: read_theme(r); break;
    case OPTION_TOUCH: o->touch = true; break;
    case OPTION_JSON: o->json = true; break;
    case OPTION_CSV: o->csv = true; break;
    default: return false;
    }
    return true;
}
