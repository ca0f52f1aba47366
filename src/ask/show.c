// `show`: what is on which breaker, on which bus; with --faults, what can fail.
#include "ask/ask_commands.h"
#include "report/show_report.h"

status ask_show(const aircraft *a, const ask_options *o, text *out, findings *f,
                deadbus_exit *exit) {
    (void)f;
    (void)exit;
    if (!a)
        return STATUS_BAD_FILE;
    if (o->faults) {
        if (o->json)
            faults_json(a, out);
        else if (o->csv)
            faults_csv(a, out);
        else
            faults_text(a, out);
        return out->failed ? STATUS_NO_MEMORY : STATUS_OK;
    }
    arena memory = arena_make(o->memory.memory);
    bus_map map;
    status result = bus_map_make(a, &memory, &map);
    if (result == STATUS_OK && o->json)
        show_json(&map, caution_line, out);
    else if (result == STATUS_OK && o->csv)
        show_csv(&map, out);
    else if (result == STATUS_OK)
        show_text(&map, caution_line, out);
    arena_free(&memory);
    return result == STATUS_OK && out->failed ? STATUS_NO_MEMORY : result;
}
