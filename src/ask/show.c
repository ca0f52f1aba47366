// `show`: what is on which breaker, on which bus; with --faults, what can fail.
#include "ask/ask_commands.h"
#include "report/show_report.h"

typedef void map_writer(const bus_map *map, const char *caution, text *out);

static status answer(const aircraft *a, const ask_options *o,
                     void (*faults)(const aircraft *a, text *out), map_writer *write, text *out) {
    if (!a)
        return STATUS_BAD_FILE;
    if (o->faults) {
        faults(a, out);
        return out->failed ? STATUS_NO_MEMORY : STATUS_OK;
    }
    arena memory = arena_make(o->memory.memory);
    bus_map map;
    status result = bus_map_make(a, &memory, &map);
    if (result == STATUS_OK)
        write(&map, caution_line, out);
    arena_free(&memory);
    return result == STATUS_OK && out->failed ? STATUS_NO_MEMORY : result;
}

static void csv_without_caution(const bus_map *map, const char *caution, text *out) {
    (void)caution;  // a spreadsheet has no line for it
    show_csv(map, out);
}

status show_in_words(const aircraft *a, const ask_options *o, text *out, findings *f,
                     deadbus_exit *exit) {
    (void)f;
    (void)exit;
    return answer(a, o, faults_text, show_text, out);
}

status show_in_json(const aircraft *a, const ask_options *o, text *out, findings *f,
                    deadbus_exit *exit) {
    (void)f;
    (void)exit;
    return answer(a, o, faults_json, show_json, out);
}

status show_in_csv(const aircraft *a, const ask_options *o, text *out, findings *f,
                   deadbus_exit *exit) {
    (void)f;
    (void)exit;
    return answer(a, o, faults_csv, csv_without_caution, out);
}
